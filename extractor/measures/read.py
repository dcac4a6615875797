"""From a text to its measures: tries the productions at each term, left to right, and keeps what the first of them reads."""

from __future__ import annotations

from fractions import Fraction

from extractor.measures.context import may_be_amount
from extractor.measures.grammar import Grammar, Reading
from extractor.measures.measure import Measure
from extractor.measures.numbers import number, year
from extractor.measures.repair import mend
from extractor.measures.tokens import PAD, tokenize
from extractor.measures.words import (
    ANOTHER,
    ARTICLE,
    CONVENTION,
    FEW,
    INNER,
    LEAN,
    NUMERIC,
    OPENER,
    PART,
    SECONDS,
    TEEN,
    TENS,
    THE,
    UNIT,
    VAGUE,
    WITH_VERB,
    vocabulary,
)
from extractor.units import load_units

ONE = Fraction(1)
STARTS = NUMERIC | SECONDS | ARTICLE | UNIT | FEW | ANOTHER | THE | LEAN | INNER | OPENER | PART | VAGUE | WITH_VERB


def reading(g: Grammar, i: int) -> Reading | None:
    """measure = relation | equal | part-of-thing | ratio | phrase | last-of | vague | amount | counted | named-counter | number"""
    w = g.w
    cls = w[i].cls
    text = w[i].text
    if cls & OPENER:
        if text == "overnight":
            return Reading(i, i + 1, "time", rule="overnight")
        if text == "some":
            return g.some(i)
        if text == "50/50":
            return Reading(i, i + 1, "ratio", parts=(ONE, ONE), rule="ratio")
        got = g.equal(i) or g.relation(i)
        if got is not None:
            return got
    elif cls & THE:
        got = g.relation(i) or g.part_of_thing(i)
        if got is not None:
            return got
    if cls & WITH_VERB:
        got = g.with_verb(i)
        if got is not None:
            return got
    if cls & PART or (cls & ARTICLE and w[i + 1].cls & PART):
        got = g.part_of_thing(i)
        if got is not None:
            return got
    n = number(w, i) if cls & NUMERIC or cls & ARTICLE else None
    if n is not None:
        got = g.ratio(n, i)
        if got is not None:
            return got
    if cls & (VAGUE | ARTICLE | FEW | NUMERIC | ANOTHER | INNER):
        got = g.vague(i)
        if got is not None:
            return got
    if cls & ARTICLE:
        got = g.last_of(i)
        if got is not None:
            return got
    amount = g.amount(i)
    if amount is not None and amount.kind not in ("number",):
        return amount
    if cls & (NUMERIC | ARTICLE | LEAN | ANOTHER):
        if amount is not None:
            heat = g.strength_or_heat(amount)
            if heat is not None:
                return heat
        counted = g.counted(i)
        if counted is not None:
            return counted if number_fits(g, counted) else None
        named = None
        if amount is not None and amount.low is not None:
            named = g.named_counter(amount.first, amount.next, amount.low, amount.high)
        elif amount is None and cls & ARTICLE:
            named = g.named_counter(i, i + 1, ONE, ONE)
        if named is not None:
            if amount is not None:
                named.lean, named.approximate, named.relation = amount.lean, amount.approximate, amount.relation
            return named
    if amount is not None and may_be_amount(g, amount):
        return amount
    return None


def number_fits(g: Grammar, got: Reading) -> bool:
    """Not the three limes of "these three limes", nor "number two" """
    return got.first == 0 or g.w[got.first - 1].text not in ("number", "#", "$")


def read_all(text: str, locale: str) -> list[Measure]:
    """All measures of the text, left to right, none over another."""
    known = vocabulary()
    tokens = mend(tokenize(text, known), known)
    g = Grammar(tokens, known)
    w = tokens.terms
    out: list[Measure] = []
    size = len(w) - PAD
    i = 0
    mends = 0
    while i < size:
        cls = w[i].cls
        if not cls & STARTS:
            i += 1
            continue
        if cls & (TENS | TEEN):
            end = year(w, i)
            if end is not None and g.amount(i) is None:
                i = end
                continue
        got = reading(g, i)
        if got is None or (got.kind in ("nothing", "number") and (got.low is None or got.next <= i)):
            i = max(i + 1, skip(g, i, got))
            continue
        measure, mends = _measure(g, got, locale, mends)
        out.append(measure)
        i = got.next
    return out


def skip(g: Grammar, i: int, got: Reading | None) -> int:
    """The term after what is no measure: a number is passed whole, its end is not read again as a number of its own."""
    if got is not None:
        return got.next
    n = number(g.w, i) if g.w[i].cls & (NUMERIC | ARTICLE) else None
    if n is None:
        return i + 1
    if n.form == "digits":
        second = g.quantity(i + 1)
        return i + 1 if second is not None and second.kind != "number" else n.next
    return n.next


def _measure(g: Grammar, got: Reading, locale: str, mends: int) -> tuple[Measure, int]:
    t = g.t
    start, end = t.starts[got.first], t.ends[got.next - 1]
    thing = None if got.thing is None else (t.starts[got.thing[0]], t.ends[got.thing[1] - 1])
    convention, counted = None, None
    low, high, unit = got.low, got.high, got.unit
    if unit is not None and unit.startswith(CONVENTION):
        convention = unit[1:]
        worth = load_units(locale).conventions[convention]
        if low is not None and high is not None:
            counted = low, high
            low, high = low * worth.number, high * worth.number
        unit = worth.unit
    repaired: tuple[tuple[str, str], ...] = ()
    doubtful, others = got.doubtful, got.others
    while mends < len(t.mends) and t.mends[mends].start < end:
        mend_ = t.mends[mends]
        mends += 1
        if mend_.end <= start:
            continue
        repaired += ((mend_.heard, mend_.meant),)
        if mend_.otherwise is not None:
            doubtful, others = True, (*others, (mend_.otherwise, mend_.otherwise, unit))
    measure = Measure(
        start=start, end=end, kind=got.kind, low=low, high=high, unit=unit, said=t.text[start:end],  # type: ignore[arg-type]
        approximate=got.approximate, lean=got.lean, relation=got.relation, each=got.each, thing=thing,  # type: ignore[arg-type]
        thing_part=got.thing_part, by=got.by, parts=got.parts, repaired=repaired, doubtful=doubtful,  # type: ignore[arg-type]
        others=others, convention=convention, counted=counted, rule=got.rule,
    )  # fmt: skip
    return measure, mends
