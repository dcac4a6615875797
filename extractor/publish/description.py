"""The description text of the video: opening, disclosure, chapters, each spec, what was promised, cautions, age.

Plain lines that any host takes as they are. Where a length is set, whole blocks are left out in a set order, least
needed first; a list of ingredients is never cut in part, and what was left out is said. The disclosure stands second,
above the fold: 16 CFR 255.5 asks that it be clear and conspicuous.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from extractor.errors import PublishError
from extractor.lexicon import plain
from extractor.publish import gaps
from extractor.publish.chapters import Chapter, chapters
from extractor.publish.safe_text import capital
from extractor.publish.safe_text import description as safe
from extractor.publish.sheet import HomeMade, Item, Sheet
from extractor.publish.tables import Tables
from extractor.record import Episode, Question
from extractor.visible import clock, line

Count = Literal["characters", "bytes"]
KEPT = 0
"""Blocks of this rank are never left out."""


@dataclass(frozen=True, slots=True)
class Block:
    """Some lines that stand or go together. The higher its `rank`, the sooner it goes; `name` says what is then
    missing.

    Among blocks of one rank those of a higher `order` go first. A block with `shorter` lines keeps those when it goes.
    """

    lines: tuple[str, ...]
    rank: int
    name: str
    order: int = 0
    shorter: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Description:
    """`left_out` names what did not fit, in the order of the text."""

    text: str
    left_out: tuple[str, ...]


# What goes first. The names of the ranks, from what goes first to what goes last.
METHOD_OF_PARTS, METHOD, FIGURES, PARTS, WORDS, SPEC, CHAPTERS = 7, 6, 5, 4, 3, 2, 1


def _measure(text: str, count: Count) -> int:
    return len(text.encode("utf-8")) if count == "bytes" else len(text)


def _listed(names: Sequence[str]) -> str:
    return "".join(names) if len(names) < 2 else f"{', '.join(names[:-1])} and {names[-1]}"


def _opening(sheets: Sequence[Sheet], tables: Tables) -> str:
    names = [s.title for s in sheets]
    if not names:
        return tables.say("opening none")
    if len(names) == 1:
        return tables.say("opening one", drinks=names[0])
    return tables.say("opening many", count=str(len(names)), drinks=_listed(names))


def _item(item: Item) -> str:
    return f"- {item.words()}"


def _spec(sheet: Sheet, number: int) -> list[Block]:
    """The blocks of one drink: its list, its method, its figures."""
    name = sheet.title
    head = [name.upper() if name.upper() != name else name]
    facts = [f"{f.label}: {f.text}" for f in sheet.facts]
    if facts:
        head.append(". ".join(facts) + ".")
    head += sheet.gaps
    head += [_item(i) for i in sheet.items]
    if sheet.garnishes:
        garnishes = "; ".join(g.garnish_words() + "".join(f" {x}" for x in g.gaps) for g in sheet.garnishes)
        head.append(f"Garnish: {garnishes}")
    out = [Block(tuple(head), SPEC, f"the recipe of {name}", number)]
    if sheet.steps:
        steps = tuple(f"{n}. {s.text}" for n, s in enumerate(sheet.steps, 1))
        out.append(Block(steps, METHOD, f"the method of {name}", number))
    figures = [f"Strength: {sheet.strength}"] if sheet.strength else []
    figures += [sheet.standard_drinks] if sheet.standard_drinks else []
    if figures:
        out.append(Block((f"{'; '.join(figures)}.",), FIGURES, f"the strength of {name}", number))
    return out


def _part(part: HomeMade, number: int) -> list[Block]:
    head = [f"{capital(part.name)} (home-made)", *part.gaps, *(_item(i) for i in part.items)]
    if part.facts:
        head.append(". ".join(part.facts) + ".")
    # What was promised here is kept as long as any recipe is.
    out = [
        Block(
            tuple(head), SPEC if part.promised else PARTS, f"the recipe of {part.name}", 0 if part.promised else number
        )
    ]
    if part.steps:
        rank = SPEC if part.promised else METHOD_OF_PARTS
        order = 0 if part.promised else number
        lines = tuple(f"{n}. {s.text}" for n, s in enumerate(part.steps, 1))
        out.append(Block(lines, rank, f"the method of {part.name}", order))
    return out


def _promised_elsewhere(episode: Episode, sheets: Sequence[Sheet], tables: Tables) -> tuple[str, ...]:
    """A loud gap for each recipe that is promised and belongs to no home-made thing of any drink."""
    known = {plain(p.name) for s in sheets for p in s.home_made}
    asked: list[Question] = [q for q in episode.questions if q.kind == "elsewhere" and plain(q.about) not in known]
    return tuple(dict.fromkeys(f"{capital(line(q.about))} {gaps.mark('elsewhere', tables)}" for q in asked))


def episode_chapters(episode: Episode, tables: Tables) -> tuple[Chapter, ...]:
    """The chapters of the episode; none where the rules cannot be kept."""
    starts = [
        (d.start_s, line(d.name) or gaps.mark("no name", tables)) for d in episode.drinks if d.start_s is not None
    ]
    return chapters(starts, episode.source.duration_s, start=tables.lines["chapter start"])


def _first_sentence(text: str) -> str:
    return re.split(r"(?<=[.!]) (?=[A-Z])", text, maxsplit=1)[0]


def _blocks(
    episode: Episode, sheets: Sequence[Sheet], tables: Tables, opening: str | None, mark_open: bool
) -> list[list[Block]]:
    """Paragraphs of blocks."""
    first = opening if opening is not None else _opening(sheets, tables)
    top = [Block((first,), KEPT, "the opening")]
    questions = episode.questions if mark_open else ()
    disclosures = [line(d) for d in episode.disclosures]
    disclosures += [gaps.mark(q.kind, tables, q.about) for q in questions if q.kind == "disclosure"]
    if disclosures:
        top.append(Block(tuple(dict.fromkeys(disclosures)), KEPT, "the disclosure"))
    out = [top]
    if questions:
        texts = dict.fromkeys(line(q.text) for q in questions)
        out.append([Block(("Not settled:", *(f"- {text}" for text in texts)), KEPT, "what is not settled")])
    found = episode_chapters(episode, tables)
    if found:
        hours = found[-1].second >= 3600
        lines = tuple(f"{clock(c.second, hours=hours)} {c.title}" for c in found)
        out.append([Block(lines, CHAPTERS, "the chapters")])
    told: set[str] = set()
    for n, sheet in enumerate(sheets):
        out.append(_spec(sheet, n))
        for part in sheet.home_made:
            if plain(part.name) not in told:
                told.add(plain(part.name))
                out.append(_part(part, n))
    promised = _promised_elsewhere(episode, sheets, tables)
    if promised:
        out.append([Block(promised, KEPT, "what was promised")])
    allergens = tuple(f"{s.title}: {' '.join(s.allergens.lines())}" for s in sheets)
    cautions = tuple(dict.fromkeys(c for s in sheets for c in s.cautions))
    if allergens:
        out.append([Block(allergens, KEPT, "the allergens")])
    if cautions:
        short = tuple(dict.fromkeys(_first_sentence(c) for c in cautions))
        closing = Block((tables.lines["food code"],), KEPT, "the food code")
        out.append([Block(cautions, WORDS, "the longer words of the cautions", shorter=short), closing])
    age = next((s.age_line for s in sheets if s.age_line), None)
    if age is not None:
        out.append([Block((age, tables.lines["pregnancy"]), KEPT, "the age line")])
    return out


def _plain(text: str, block: Block) -> str:
    """One line. Only a chapter begins as a chapter does: hosts would take any other for one."""
    out = safe(text)
    return f"· {out}" if block.rank != CHAPTERS and re.match(r"\(?\d+:\d\d", out) else out


def _text(paragraphs: Sequence[Sequence[Block]], gone: Sequence[Block], said: Sequence[str], tables: Tables) -> str:
    parts = []
    for paragraph in paragraphs:
        lines = [_plain(x, b) for b in paragraph for x in (b.shorter if b in gone else b.lines)]
        if lines:
            parts.append("\n".join(lines))
    if said:
        parts.append(safe(tables.say("left out", what=", ".join(said))))
    return "\n\n".join(parts) + "\n"


_SORTS = {
    METHOD_OF_PARTS: "the methods of home-made parts", METHOD: "the methods", FIGURES: "the strengths",
    PARTS: "the recipes of home-made parts",
}  # fmt: skip


def _summary(gone: Sequence[Block]) -> tuple[str, ...]:
    """What was left out: each by its name where there are few, else by sort; a whole recipe always by its name."""
    if len(gone) <= 3:
        return tuple(b.name for b in gone)
    return tuple(dict.fromkeys(_SORTS.get(b.rank, b.name) for b in gone))


def describe(
    episode: Episode,
    sheets: Sequence[Sheet],
    tables: Tables,
    *,
    opening: str | None = None,
    limit: int | None = None,
    count: Count = "characters",
    mark_open: bool = False,
) -> Description:
    """The description of an episode whose drinks are `sheets`.

    `limit`: how long it may be, line breaks counted, in characters (code points) or bytes of UTF-8. `mark_open`
    lists every open question. Raises PublishError where not even what may never be left out (opening,
    disclosure, promises, allergens, cautions, age) fits.
    """
    paragraphs = _blocks(episode, sheets, tables, opening, mark_open)
    # What may go, the first to go first.
    waiting = sorted((b for p in paragraphs for b in p if b.rank != KEPT), key=lambda b: (-b.rank, -b.order))
    gone: list[Block] = []
    while True:
        said = _summary(gone)
        text = _text(paragraphs, gone, said, tables)
        if limit is None or _measure(text, count) <= limit:
            return Description(text, said)
        if not waiting:
            raise PublishError(
                f"The description needs {_measure(text, count)} {count} even at its shortest, and the limit is {limit}",
                hint="Raise the limit: disclosure, promises, allergens, cautions and the age line are never left out.",
            )
        gone.append(waiting.pop(0))
