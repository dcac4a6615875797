"""The recipe card of a drink as Markdown (CommonMark with tables). All text of the captions is escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from extractor.publish.card_html import small_print
from extractor.publish.proportions import bars
from extractor.publish.safe_text import capital
from extractor.publish.sheet import HomeMade, Item, Sentence, Sheet
from extractor.publish.tables import Tables
from extractor.visible import markdown


def _gaps(gaps: Iterable[str]) -> str:
    return "".join(f" **{markdown(g)}**" for g in gaps)


def _row(item: Item) -> str:
    ounces, metric = markdown(item.shown.ounces), markdown(item.shown.metric)
    if metric and item.shown.said == "ounces":
        ounces = f"**{ounces}**"
    elif metric and item.shown.said == "metric":
        metric = f"**{metric}**"
    details = f", *{markdown(', '.join(item.details))}*" if item.details else ""
    return f"| {ounces} | {metric} | {markdown(item.name)}{details}{_gaps(item.gaps)} |"


def _table(items: Sequence[Item]) -> list[str]:
    return ["| Ounces | Metric | Ingredient |", "| :-- | :-- | :-- |", *(_row(i) for i in items), ""]


def _numbered(steps: Sequence[Sentence]) -> list[str]:
    return [*(f"{n}. {markdown(s.text)}" for n, s in enumerate(steps, 1)), ""] if steps else []


def _picture(sheet: Sheet) -> list[str]:
    rows = bars(sheet.proportions)
    if not rows:
        return []
    fence = "`" * (max((len(m) for r in rows for m in re.findall("`+", r)), default=2) + 1)
    fence = max(fence, "```", key=len)
    out = [fence, *rows, fence, ""]
    if sheet.proportions.unmeasured:
        out += [f"Not poured by measure, so not drawn: {markdown(', '.join(sheet.proportions.unmeasured))}.", ""]
    return out


def _home_made(part: HomeMade) -> list[str]:
    out = [f"## {markdown(capital(part.name))} (home-made)", ""]
    if part.gaps:
        out += [_gaps(part.gaps).strip(), ""]
    if part.items:
        out += _table(part.items)
    out += _numbered(part.steps)
    if part.facts:
        out += [markdown(" · ".join(part.facts)), ""]
    return out


def _paragraphs(lines: Iterable[str]) -> list[str]:
    return [x for line in lines for x in (line, "")]


def card_markdown(sheet: Sheet, tables: Tables) -> str:
    """The card as a Markdown text that ends in a line break."""
    out = [f"# {markdown(sheet.title)}", ""]
    if sheet.subtitle:
        out += [f"*{markdown(sheet.subtitle)}*", ""]
    if sheet.facts:
        facts = (f"**{f.label}** {f'**{markdown(f.text)}**' if f.gap else markdown(f.text)}" for f in sheet.facts)
        out += [" · ".join(facts), ""]
    out += _paragraphs(f"> **{markdown(d)}**" for d in sheet.disclosures)
    if sheet.gaps:
        out += [_gaps(sheet.gaps).strip(), ""]
    if sheet.open:
        out += ["**Not settled:**", "", *(f"- {markdown(q)}" for q in sheet.open), ""]
    out += _table(sheet.items) if sheet.items else []
    if sheet.garnishes:
        garnishes = "; ".join(f"{markdown(g.garnish_words())}{_gaps(g.gaps)}" for g in sheet.garnishes)
        out += [f"**Garnish** {garnishes}", ""]
    out += _picture(sheet)
    if sheet.steps:
        out += ["## Method", "", *_numbered(sheet.steps)]
    for part in sheet.home_made:
        out += _home_made(part)
    if sheet.remarks:
        out += ["## To know", "", *(f"- {markdown(r)}" for r in sheet.remarks), ""]
    out += ["---", ""]
    strong = [f"Strength: {sheet.strength}"] if sheet.strength else []
    strong += [sheet.standard_drinks] if sheet.standard_drinks else []
    out += _paragraphs([f"**{markdown(' · '.join(strong))}**"] if strong else [])
    out += _paragraphs([markdown(" · ".join(sheet.more))] if sheet.more else [])
    out += _paragraphs(f"**{markdown(a)}**" for a in sheet.allergens.lines())
    out += _paragraphs(markdown(c) for c in sheet.cautions)
    out += _paragraphs([markdown(sheet.age_line)] if sheet.age_line else [])
    small = small_print(sheet, tables)
    out += _paragraphs([f"*{markdown(' '.join(small))}*"] if small else [])
    return "\n".join(out).rstrip("\n") + "\n"
