"""Everything that an episode publishes, as files in memory: pure, so that it can be looked at before anything is
written."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import PurePath
from typing import Literal

from extractor.errors import PublishError
from extractor.lexicon import Lexicon, plain
from extractor.publish.card_html import PageSize, card_html
from extractor.publish.card_markdown import card_markdown
from extractor.publish.card_pdf import available, card_pdf
from extractor.publish.description import Count, describe
from extractor.publish.file_names import stem, stems
from extractor.publish.gaps import blocking
from extractor.publish.rounding import exact, spoken
from extractor.publish.scaling import Scaled, scale
from extractor.publish.sheet import Sheet, sheet
from extractor.publish.shopping import shopping, shopping_markdown
from extractor.publish.structured import document, recipe, script, video_page
from extractor.publish.tables import Tables, load_tables
from extractor.publish.video import Video
from extractor.record import Episode
from extractor.visible import line

Part = Literal["captions", "cards", "pdf", "description", "data", "shopping"]
PARTS: tuple[Part, ...] = ("captions", "cards", "pdf", "description", "data", "shopping")


@dataclass(frozen=True)
class Wishes:
    """How an episode is to be published; every field may be left as it is.

    `parts`: which of PARTS; None for all that can be made here (without PDF where WeasyPrint is missing).
    `despite_open`: write although a blocking question is open, with every gap marked. `servings` or `litres`: further
    cards and the shopping list for so many, beside those of the recipe as told; `multiply` names the drinks that this
    is for, None for all. `opening`: the first line of the description; `limit` and `count` how long it may be.
    `page`: None for Letter in US episodes, else A4. `country`: whose standard drinks, age and allergens are shown (a
    key of lexicon/publish/places.txt); None for that of the record's locale.
    """

    parts: Collection[Part] | None = None
    despite_open: bool = False
    servings: float | None = None
    litres: float | None = None
    multiply: Collection[str] | None = None
    video: Video = field(default_factory=Video)
    opening: str | None = None
    limit: int | None = None
    count: Count = "characters"
    page: PageSize | None = None
    country: str | None = None


def default_parts() -> tuple[Part, ...]:
    """All parts that can be made here."""
    return tuple(p for p in PARTS if p != "pdf" or available())


def check_settled(episode: Episode) -> None:
    """Raises PublishError while a blocking question is open, naming each."""
    found = blocking(episode)
    if not found:
        return
    listed = "\n".join(f"  {line(q.id)}  {line(q.text)}" for q in found)
    what = "a question is open" if len(found) == 1 else f"{len(found)} questions are open"
    raise PublishError(
        f"Nothing was written: {what} that must be answered first:\n{listed}",
        hint="Answer them, or have it written with every gap marked (--despite-open).",
    )


def sheets_of(
    episode: Episode,
    lexicon: Lexicon,
    tables: Tables | None = None,
    *,
    mark_open: bool = False,
    country: str | None = None,
) -> tuple[Sheet, ...]:
    """The sheet of each drink, in the order of the episode."""
    words = tables or load_tables()
    return tuple(sheet(d, episode, lexicon, words, mark_open=mark_open, country=country) for d in episode.drinks)


def plan(
    episode: Episode,
    lexicon: Lexicon,
    wishes: Wishes | None = None,
    *,
    captions: Mapping[str, bytes] | None = None,
    tables: Tables | None = None,
) -> dict[str, bytes]:
    """Path in the folder -> bytes of each file, for `write.write_all`.

    `captions`: file name -> bytes of each caption file as it is to be published, made by the captions stage. Raises
    PublishError while a blocking question is open (unless `despite_open`), for a part that is not known or cannot be
    made, for a limit into which the description does not fit, and for a drink that cannot be multiplied as wished.
    """
    wishes = wishes or Wishes()
    tables = tables or load_tables()
    parts = tuple(wishes.parts) if wishes.parts is not None else default_parts()
    for part in parts:
        if part not in PARTS:
            raise PublishError(f"There is no part {part!r} to publish", hint=f"Choose from {', '.join(PARTS)}.")
    if wishes.country is not None and wishes.country not in tables.places:
        raise PublishError(f"Nothing is known of {wishes.country!r}", hint=f"Choose from {', '.join(tables.places)}.")
    if not wishes.despite_open:
        check_settled(episode)
    wishes.video.check()
    page: PageSize = wishes.page or ("letter" if episode.source.locale in ("us", "bar") else "a4")
    sheets = sheets_of(episode, lexicon, tables, mark_open=wishes.despite_open, country=wishes.country)
    names = stems(d.name for d in episode.drinks)
    out: dict[str, bytes] = {}
    if "captions" in parts:
        for name, data in (captions or {}).items():
            out[f"captions/{_caption_name(name)}"] = data
    scaled = _scaled(episode, lexicon, tables, wishes)
    for name, one in zip(names, sheets, strict=True):
        node = recipe(one, episode, sheets, tables, video=wishes.video)
        if "data" in parts:
            out[f"data/{name}.jsonld"] = document(node).encode()
        _cards(out, name, one, tables, parts, page, script(node))
    for name, more in zip(names, scaled, strict=True):
        if more is not None and ("cards" in parts or "pdf" in parts):
            multiplied = sheet(
                more.drink, episode, lexicon, tables, mark_open=wishes.despite_open, subtitle=more.title,
                remarks=more.remarks, country=wishes.country,
            )  # fmt: skip
            _cards(out, f"{name}-{_suffix(wishes)}", multiplied, tables, parts, page, "")
    if "description" in parts:
        text = describe(
            episode, sheets, tables, opening=wishes.opening, limit=wishes.limit, count=wishes.count,
            mark_open=wishes.despite_open,
        ).text  # fmt: skip
        out["description.txt"] = text.encode()
    if "data" in parts:
        out["data/video.jsonld"] = document(video_page(episode, sheets, tables, video=wishes.video)).encode()
    if "shopping" in parts:
        drinks = [d if more is None else more.drink for d, more in zip(episode.drinks, scaled, strict=True)]
        out["shopping-list.md"] = shopping_markdown(shopping(drinks, episode, lexicon, tables)).encode()
    return out


def _cards(
    out: dict[str, bytes], name: str, one: Sheet, tables: Tables, parts: Collection[Part], page: PageSize, data: str
) -> None:
    if "cards" in parts:
        out[f"cards/{name}.md"] = card_markdown(one, tables).encode()
        out[f"cards/{name}.html"] = card_html(one, tables, page=page, data=data).encode()
    if "pdf" in parts:
        out[f"cards/{name}.pdf"] = card_pdf(one, tables, page=page)


def _scaled(episode: Episode, lexicon: Lexicon, tables: Tables, wishes: Wishes) -> list[Scaled | None]:
    """Each drink multiplied, where that is wished for; None where it is not."""
    chosen = None if wishes.multiply is None else {plain(name) for name in wishes.multiply}
    if chosen is not None:
        missing = sorted(chosen - {plain(d.name) for d in episode.drinks})
        if missing:
            known = ", ".join(line(d.name) for d in episode.drinks)
            raise PublishError(f"No drink is called {', '.join(missing)}", hint=f"The drinks are: {known}.")
    out: list[Scaled | None] = []
    for drink in episode.drinks:
        if (wishes.servings is None and wishes.litres is None) or (
            chosen is not None and plain(drink.name) not in chosen
        ):
            out.append(None)
            continue
        others = [c for d in episode.drinks if d.name != drink.name for c in d.components]
        out.append(scale(drink, lexicon, tables, servings=wishes.servings, litres=wishes.litres, components=others))
    return out


def _suffix(wishes: Wishes) -> str:
    if wishes.servings is not None:
        return f"for-{_in_name(wishes.servings)}"
    return f"{_in_name(wishes.litres or 0)}-litres"


def _in_name(number: float) -> str:
    text = spoken(exact(number))
    return text if text.isascii() and text.isdigit() else f"{number:g}".replace(".", "-")


def _caption_name(name: str) -> str:
    """One name without folders; the endings (".en.vtt") stay."""
    base = PurePath(name.replace("\\", "/")).name
    first, *endings = base.split(".")
    kept = [e for e in (stem(e) for e in endings) if e.isascii()][-2:]
    return ".".join((stem(first), *kept))
