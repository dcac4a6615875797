"""The recipe card of a drink as one HTML page that needs nothing else: no font, style, script or picture from outside.

It prints on one page (Letter or A4), reads on a phone, and is legible in black and white. The text of the captions is
put in by a template that escapes everything; only the picture, the style sheet and the structured data are put in as
they are, and each of those escapes its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from extractor.publish.proportions import svg
from extractor.publish.sheet import Sheet
from extractor.publish.tables import Tables

if TYPE_CHECKING:
    from jinja2 import Environment

PageSize = Literal["letter", "a4"]
SIZES = ("roomy", "plain", "full", "small", "packed")
"""How large the print is, largest first: so many lines fit on a page with each."""
ROOM = {"roomy": 37.0, "plain": 41.0, "full": 48.0, "small": 58.0}


@lru_cache(maxsize=1)
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("extractor.publish"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )


def lines_of(sheet: Sheet, small: Sequence[str]) -> float:
    """About how many lines of print the card takes at its plain size."""

    def wrapped(text: str, letters: int) -> float:
        return 1 + len(text) // letters

    rows = sum(1.4 * wrapped(f"{i.name} {', '.join(i.details)} {' '.join(i.gaps)}", 44) for i in sheet.items)
    picture = 13.0 if sheet.proportions.drawn else 0.0
    total = 4 + wrapped(sheet.title, 40) + max(rows + 1.5 + len(sheet.garnishes) * 0.6, picture)
    total += sum(wrapped(s.text, 85) for s in sheet.steps) + (2 if sheet.steps else 0)
    for part in sheet.home_made:
        total += 3 + 1.4 * len(part.items) + sum(wrapped(s.text, 85) for s in part.steps)
    total += sum(wrapped(line, 85) for line in (*sheet.open, *sheet.remarks, *sheet.disclosures, *sheet.gaps))
    footer = (*sheet.allergens.lines(), *sheet.cautions, *((sheet.age_line,) if sheet.age_line else ()))
    total += 0.9 * (3 + sum(wrapped(line, 100) for line in footer)) + 0.75 * wrapped(" ".join(small), 125)
    return total


def size_of(lines: float) -> str:
    return next((size for size in SIZES if lines <= ROOM.get(size, lines)), SIZES[-1])


def small_print(sheet: Sheet, tables: Tables) -> tuple[str, ...]:
    said = {i.shown.said for i in sheet.items if i.shown.metric}
    first = (tables.say("bold as said"),) if said & {"ounces", "metric"} else ()
    food = (tables.lines["food code"],) if sheet.cautions else ()
    alcohol = (tables.lines["pregnancy"],) if sheet.alcohol else ()
    return (*first, *sheet.small, *alcohol, *food)


def card_html(
    sheet: Sheet, tables: Tables, *, page: PageSize = "letter", data: str = "", size: str | None = None
) -> str:
    """The page. `data`: a <script> element of structured data, made by `structured.script`, or nothing.

    `size`: one of SIZES; by default the largest in which the card is likely to fit on one page of print.
    """
    from markupsafe import Markup

    environment = _environment()
    small = small_print(sheet, tables)
    css = environment.get_template("card.css").render(page_size="A4" if page == "a4" else "letter")
    return environment.get_template("card.html").render(
        sheet=sheet,
        css=Markup(css),
        picture=Markup(svg(sheet.proportions, title=sheet.title)),
        data=Markup(data),
        size=size or size_of(lines_of(sheet, small)),
        small=small,
    )
