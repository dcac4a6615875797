"""A draft as a Markdown file (CommonMark with tables): what the terminal shows, to keep beside the captions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import PurePath

from extractor.record import Episode
from extractor.view.lines import MADE, Fix, Row, counts, fixes, head, name_line, part_of, part_rows, rows
from extractor.view.sheets import HomeMade, Sheet
from extractor.visible import clock, line, markdown


def draft_markdown(episode: Episode, sheets: Sequence[Sheet]) -> str:
    """The draft of an episode; ends in a line break. All text of the captions is escaped."""
    name = PurePath(line(episode.source.path or "")).name or "Draft"
    out = [f"# {markdown(name)}", "", f"{markdown(head(episode))}. {counts(episode).capitalize()}.", "", MADE, ""]
    out += [f"- {markdown(n)}" for n in (*episode.source.notes, *episode.notes)]
    out += [""] if out[-1] else []
    for sheet, parts in zip(sheets, part_of(sheets), strict=True):
        out += _drink(sheet, parts, episode)
    applied, left = fixes(episode.corrections)
    out += _fixes("Put right in the captions", applied, "→")
    out += _fixes("Left as heard, being not sure enough", left, "may be")
    if episode.disclosures:
        out += ["## To be told to the public", "", *(f"- {markdown(d)}" for d in episode.disclosures), ""]
    return "\n".join(out).rstrip("\n") + "\n"


def _drink(sheet: Sheet, parts: Iterable[HomeMade], episode: Episode) -> list[str]:
    drink = sheet.drink
    out = [f"## {markdown(sheet.title)}", ""]
    facts = [f"from {clock(drink.start_s)}"] if drink.start_s is not None else []
    facts += [markdown(name_line(drink))] if name_line(drink) else []
    facts += [f"{f.label.lower()}: {markdown(f.text)}" for f in sheet.facts]
    if facts:
        out += [" · ".join(facts), ""]
    if sheet.gaps:
        out += [f"**{markdown(' '.join(sheet.gaps))}**", ""]
    out += _table(rows(sheet.items, drink.ingredients))
    if sheet.garnishes:
        garnishes = "; ".join(f"{markdown(g.garnish_words())}{_gaps(g.gaps)}" for g in sheet.garnishes)
        out += [f"**Garnish** {garnishes}", ""]
    if sheet.steps:
        out += [*(f"{n}. {markdown(s.text)}" for n, s in enumerate(sheet.steps, 1)), ""]
    for part in parts:
        out += [f"### {markdown(part.name)} (home-made){_gaps(part.gaps)}", ""]
        out += _table(part_rows(part, episode))
        out += [*(f"{n}. {markdown(s.text)}" for n, s in enumerate(part.steps, 1)), ""] if part.steps else []
        out += [markdown(" · ".join(part.facts)), ""] if part.facts else []
    strength = "; ".join(x for x in (sheet.strength, sheet.standard_drinks) if x)
    about = [f"- Strength: {markdown(strength)}"] if strength else []
    about += [f"- {markdown(a)}" for a in sheet.allergens.lines()]
    about += [f"- {markdown(c)}" for c in dict.fromkeys(sheet.cautions)]
    return [*out, *about, ""]


def _table(lines: Sequence[Row]) -> list[str]:
    if not lines:
        return []
    out = ["| Ounces | Metric | Ingredient | As said | At |", "| :-- | :-- | :-- | :-- | :-- |"]
    for row in lines:
        name = f"{markdown(row.words())}{_gaps(row.gaps)}"
        out.append(f"| {markdown(row.ounces)} | {markdown(row.metric)} | {name} | {markdown(row.told())} | {row.at} |")
    return [*out, ""]


def _gaps(gaps: Iterable[str]) -> str:
    return "".join(f" **{markdown(g)}**" for g in gaps)


def _fixes(title: str, found: Sequence[Fix], arrow: str) -> list[str]:
    if not found:
        return []
    out = [f"## {title}", ""]
    for f in found:
        at = f"{', '.join(f.at)} " if f.at else ""
        out.append(f"- {at}{markdown(f.heard)} {arrow} **{markdown(f.written)}**")
    return [*out, ""]
