"""The recipe card as PDF: the HTML card laid out by WeasyPrint, with nothing fetched."""

from __future__ import annotations

import hashlib

from extractor.errors import PublishError
from extractor.publish.card_html import SIZES, PageSize, card_html, lines_of, size_of, small_print
from extractor.publish.sheet import Sheet
from extractor.publish.tables import Tables

HINT = (
    "Install it with `pip install 'pourword[pdf]'`; it also needs Pango (Debian: libpango-1.0-0 libpangoft2-1.0-0). "
    "Or leave the PDF out: the HTML card prints on one page from any browser."
)


def available() -> bool:
    """Whether PDFs can be made here: WeasyPrint is there, and the system libraries that it needs."""
    try:
        import weasyprint  # noqa: F401
    except (ImportError, OSError):
        return False
    return True


def card_pdf(sheet: Sheet, tables: Tables, *, page: PageSize = "letter") -> bytes:
    """The card as PDF, in the largest print in which it fits on one page (on more where none does). Same card, same
    bytes.

    Raises PublishError where WeasyPrint, or a system library of it, is missing. Whatever the page would fetch is
    refused.
    """
    try:
        import weasyprint
    except (ImportError, OSError) as error:
        raise PublishError(f"A PDF needs WeasyPrint, which is not here ({error})", hint=HINT) from None

    class Nothing(weasyprint.URLFetcher):  # type: ignore[misc,unused-ignore]
        def fetch(self, url: str, headers: object = None) -> object:
            raise ValueError(f"a card fetches nothing, and this one asks for {url}")

    for size in SIZES[SIZES.index(size_of(lines_of(sheet, small_print(sheet, tables)))) :]:
        html = card_html(sheet, tables, page=page, size=size)
        document = weasyprint.HTML(string=html, url_fetcher=Nothing()).render()
        if len(document.pages) == 1:
            break
    mark = hashlib.sha256(html.encode("utf-8")).digest()[:16]
    data: bytes = document.write_pdf(pdf_identifier=mark)
    return data
