"""The card as PDF, read back by pypdf: one page, the text in it, the same bytes each time, nothing fetched."""

from __future__ import annotations

import io
import sys

import pytest
from publish_kit import LEXICON, TABLES, crowd, episode, evening, pier_light

from extractor.errors import PublishError
from extractor.publish.card_pdf import available, card_pdf
from extractor.publish.sheet import sheet

pypdf = pytest.importorskip("pypdf")
needs_weasyprint = pytest.mark.skipif(not available(), reason="WeasyPrint or a system library of it is missing")


@needs_weasyprint
@pytest.mark.parametrize(("page", "size"), [("letter", (612, 792)), ("a4", (595, 842))])
@pytest.mark.parametrize("name", ["pier", "crowd"])
def test_one_page_with_every_line(page: str, size: tuple[int, int], name: str) -> None:
    one = pier_light() if name == "pier" else crowd()
    found = sheet(one, episode(one), LEXICON, TABLES)
    data = card_pdf(found, TABLES, page=page)  # type: ignore[arg-type]
    assert data == card_pdf(found, TABLES, page=page)  # type: ignore[arg-type]
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    # ISO 216: A4 is 210 by 297 mm; ANSI Y14.1: A (Letter) is 8.5 by 11 in. In points of 1/72 in.
    assert (round(box.width), round(box.height)) == size
    text = " ".join(reader.pages[0].extract_text().split())
    for item in found.items:
        assert item.name.split()[0] in text
    assert "52.5 ml" in text or name == "crowd"


def test_without_the_library_the_error_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    assert not available()
    with pytest.raises(PublishError) as caught:
        card_pdf(sheet(pier_light(), evening(), LEXICON, TABLES), TABLES)
    assert "pip install" in caught.value.hint
