"""A draft and its questions for a terminal, as rich renderables. Who prints them decides on colours and width."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING

from extractor.record import Episode, Question
from extractor.view.lines import (
    MUST,
    Fix,
    Row,
    counts,
    fixes,
    head,
    name_line,
    offers,
    part_of,
    part_rows,
    question_head,
    remarks,
    rows,
    short,
)  # fmt: skip
from extractor.view.sheets import HomeMade, Sheet
from extractor.visible import clock, line

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.text import Text

GAP, SAID, TITLE, LABEL, NEEDED = "bold yellow", "dim", "bold", "bold", "bold red"
NARROW = 64
"""Below this width what was said stands under its line, not beside it."""


def draft_view(episode: Episode, sheets: Sequence[Sheet], *, width: int) -> list[RenderableType]:
    """The whole draft: drinks, what was put right in the captions, and the questions. `width` in columns."""
    name = PurePath(line(episode.source.path or "")).name or "standard input"
    out: list[RenderableType] = [_text((name, TITLE), (f"  {head(episode)}", "")), _text((counts(episode), ""))]
    out += [_text(("Note  ", LABEL), (line(n), "")) for n in (*episode.source.notes, *episode.notes)]
    for number, (sheet, parts) in enumerate(zip(sheets, part_of(sheets), strict=True), 1):
        out += ["", *_drink(number, sheet, parts, episode, width)]
    out += _fixes(episode)
    if episode.disclosures:
        out += ["", _text(("To be told to the public", TITLE)), *(_hanging("  ", line(d)) for d in episode.disclosures)]
    return [*out, *questions_view(episode.questions)]


def questions_view(questions: Sequence[Question]) -> list[RenderableType]:
    """The questions in their order, each with its offers."""
    if not questions:
        return ["", _text(("Nothing is left to ask.", TITLE))]
    out: list[RenderableType] = ["", _text(("Questions", TITLE))]
    wide = len(str(len(questions)))
    for number, q in enumerate(questions, 1):
        *where, state = question_head(q)
        at = _text((" · ".join([*where, ""]), LABEL), (state, NEEDED if state == MUST else SAID))
        out.append(_columns((f"{number:>{wide}}", LABEL), at))
        pad = " " * wide
        out.append(_columns((pad, ""), line(q.text)))
        out += [_columns((pad, ""), r) for r in remarks(q)]
        out += [_columns((f"{pad}  {n})", SAID), offer) for n, offer in enumerate(offers(q), 1)]
    return out


def _drink(
    number: int, sheet: Sheet, parts: Sequence[HomeMade], episode: Episode, width: int
) -> Iterable[RenderableType]:
    drink = sheet.drink
    about = "  ".join(x for x in (clock(drink.start_s), name_line(drink)) if x)
    yield _text((f"{number}  ", LABEL), (sheet.title, TITLE), (f"  {about}", SAID))
    facts = [f"{f.label.lower()}: {f.text}" for f in sheet.facts]
    if facts:
        yield _columns(("  ", ""), " · ".join(facts))
    if sheet.gaps:
        yield _columns(("  ", ""), _text((" ".join(sheet.gaps), GAP)))
    yield _table(rows(sheet.items, drink.ingredients), width)
    if sheet.garnishes:
        words: list[tuple[str, str]] = []
        for g in sheet.garnishes:
            words += [("; " if words else "", ""), (g.garnish_words(), ""), *((f" {x}", GAP) for x in g.gaps)]
        yield _labelled("Garnish", _text(*words))
    if sheet.steps:
        yield _labelled("Method", " ".join(f"{n}. {s.text}" for n, s in enumerate(sheet.steps, 1)))
    for part in parts:
        yield _text(("   Home-made ", LABEL), (part.name, LABEL), *((f" {g}", GAP) for g in part.gaps))
        if part.items:
            yield _table(part_rows(part, episode), width)
        told = [*(f"{n}. {s.text}" for n, s in enumerate(part.steps, 1)), *(f"{f}." for f in part.facts)]
        if told:
            yield _columns(("      ", ""), " ".join(told))
    strength = "; ".join(x for x in (sheet.strength, sheet.standard_drinks) if x)
    if strength:
        yield _labelled("Strength", strength)
    yield _labelled("Allergens", " ".join(sheet.allergens.lines()))
    for n, caution in enumerate(dict.fromkeys(short(c) for c in sheet.cautions)):
        yield _labelled("" if n else "Caution", caution)


def _table(lines: Sequence[Row], width: int) -> RenderableType:
    """A list of a recipe: time, ounces, millilitres, name, and what was said."""
    from rich.table import Table

    if not lines:
        return ""
    beside = width >= NARROW
    grid = Table.grid(padding=(0, 2, 0, 0), expand=False)
    grid.add_column(justify="right", style=SAID, min_width=6)
    grid.add_column(justify="right", no_wrap=beside)
    grid.add_column(justify="right", no_wrap=beside)
    grid.add_column(ratio=3, overflow="fold")
    if beside:
        grid.add_column(style=SAID, ratio=2, overflow="fold")
    for row in lines:
        name = _text((row.words(), ""), *((f" {g}", GAP) for g in row.gaps))
        if not beside and row.told():
            name.append_text(_text((f" {row.told()}", SAID)))
        cells = [_text((row.at, SAID)), _text((row.ounces, "")), _text((row.metric, "")), name]
        grid.add_row(*cells, *([_text((row.told(), SAID))] if beside else []))
    return grid


def _fixes(episode: Episode) -> Iterable[RenderableType]:
    applied, left = fixes(episode.corrections)
    for title, found, arrow in (
        ("Put right in the captions", applied, "→"),
        ("Left as heard, being not sure enough", left, "may be"),
    ):
        if found:
            yield ""
            yield _text((title, TITLE))
            yield from (_fix(f, arrow) for f in found)


def _fix(fix: Fix, arrow: str) -> RenderableType:
    at = ", ".join(fix.at)
    return _columns((f"  {at}" if at else " ", SAID), _text((f"{fix.heard} {arrow} ", ""), (fix.written, LABEL)))


def _labelled(label: str, words: Text | str) -> RenderableType:
    return _columns((f"   {label:<9}", LABEL), words)


def _hanging(indent: str, words: str) -> RenderableType:
    return _columns((indent, ""), words)


def _columns(first: tuple[str, str], rest: Text | str) -> RenderableType:
    """A label and a text that hangs beside it."""
    from rich.table import Table

    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    grid.add_row(_text(first), rest if not isinstance(rest, str) else _text((rest, "")))
    return grid


def _text(*parts: tuple[str, str]) -> Text:
    """Words with their styles, as text: never as mark-up."""
    from rich.text import Text

    out = Text()
    for words, style in parts:
        out.append(words, style=style or None)
    return out
