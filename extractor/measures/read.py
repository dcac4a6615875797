"""From a text to its measures: tries the productions at each term, left to right, and keeps what the first of them
reads.
"""

from __future__ import annotations

from extractor.measures.amounts import amount, quantity
from extractor.measures.context import may_be_amount
from extractor.measures.measure import Measure
from extractor.measures.numbers import year
from extractor.measures.phrase import NOTHING, ONE, Phrase, Reading, plain
from extractor.measures.ratios import equal_parts, ratio, related
from extractor.measures.repair import mend
from extractor.measures.things import counted_things, named_counter, part_of_thing
from extractor.measures.times import strength_or_heat
from extractor.measures.tokens import PAD, tokenize
from extractor.measures.vague import last_of, some_of, vague_amount, with_verb
from extractor.measures.words import (
    ANOTHER,
    ARTICLE,
    CARDINAL,
    COMMA,
    CONVENTION,
    FEW,
    INNER,
    LEAN,
    NUMERIC,
    OF,
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
from extractor.units import Units

STARTS = NUMERIC | SECONDS | ARTICLE | UNIT | FEW | ANOTHER | THE | LEAN | INNER | OPENER | PART | VAGUE | WITH_VERB


def reading(p: Phrase, i: int) -> Reading | None:
    """measure = opener | relation | part-of-thing | with-verb | ratio | vague | last-of | amount | strength |
    temperature | counted | named-counter | number   (the first that reads)"""
    w = p.w
    cls = w[i].cls
    if cls & OPENER:
        got = opener(p, i)
        if got is not None or w[i].text == "some":
            return got
    elif cls & ANOTHER and w[i + 1].cls & OF:
        return related(p, i)
    elif cls & THE:
        got = related(p, i) or part_of_thing(p, i)
        if got is not None:
            return got
    if cls & WITH_VERB:
        got = with_verb(p, i)
        if got is not None:
            return got
    if cls & PART or (cls & ARTICLE and w[i + 1].cls & PART):
        got = part_of_thing(p, i)
        if got is not None:
            return got
    if cls & (NUMERIC | ARTICLE):
        n = p.number(i)
        got = None if n is None else ratio(p, n, i)
        if got is not None:
            return got
    if cls & (VAGUE | ARTICLE | FEW | NUMERIC | ANOTHER | INNER):
        got = vague_amount(p, i)
        if got is not None:
            return got
    if cls & ARTICLE:
        got = last_of(p, i)
        if got is not None:
            return got
    found = amount(p, i)
    if found is not None and found.kind != "number":
        return found
    if not cls & (NUMERIC | ARTICLE | LEAN | ANOTHER | INNER):
        return None
    return numbered(p, i, found)


def opener(p: Phrase, i: int) -> Reading | None:
    """opener = "overnight" | "50/50" | some | equal | relation"""
    text = p.w[i].text
    if text == "overnight":
        return Reading(i, i + 1, "time", rule="overnight")
    if text == "some":
        return some_of(p, i)
    if text == "50/50":
        return Reading(i, i + 1, "ratio", parts=(ONE, ONE), rule="ratio")
    return equal_parts(p, i) or related(p, i)


def numbered(p: Phrase, i: int, found: Reading | None) -> Reading | None:
    """numbered = strength | temperature | counted | named-counter | number: what a number is that has no unit of
    amount
    """
    w = p.w
    if found is not None:
        heat = strength_or_heat(p, found)
        if heat is not None:
            return heat
    counted = counted_things(p, i)
    if counted is not None:
        return counted if i == 0 or w[i - 1].text not in ("number", "#", "$") else None
    if found is None:
        return named_counter(p, i, i + 1, ONE, ONE) if w[i].cls & ARTICLE else None
    j = found.next + 1 if found.rule == "collective" and w[found.next].cls & OF else found.next
    named = named_counter(p, found.first, j, found.low, found.high)
    if named is not None:
        named.lean, named.approximate, named.relation = found.lean, found.approximate, found.relation
        return named
    return spoken_range(p, found) or (found if may_be_amount(p, found) else None)


SMALL = 12


def spoken_range(p: Phrase, found: Reading) -> Reading | None:
    """spoken-range = number COMMA next-number name{1,3} counter: "five, six ice cubes" """
    w = p.w
    i, j = found.first, found.next
    if found.rule != "cardinal" or found.low is None or not 1 < found.low < SMALL or not w[j].cls & COMMA:
        return None
    # "Basil, two, three mint leaves": the first may be of what was named before it.
    named = i and (plain(w[i - 1]) or (i > 1 and bool(w[i - 1].cls & COMMA) and plain(w[i - 2])))
    more = p.number(j + 1) if w[j + 1].cls & CARDINAL else None
    if named or more is None or more.form != "cardinal" or more.value != found.low + 1:
        return None
    got = named_counter(p, i, more.next, found.low, more.value)
    if got is not None:
        got.lean, got.approximate = found.lean, found.approximate
    return got


def read_all(text: str, units: Units) -> list[Measure]:
    """All measures of the text, left to right, none over another."""
    known = vocabulary()
    p = Phrase(mend(tokenize(text, known), known), known, units)
    w = p.w
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
            if end is not None and not_measured(amount(p, i)):
                i = end
                continue
        got = reading(p, i)
        if got is None or got.rule == NOTHING or _sighed(p, got):
            i = max(i + 1, passed_over(p, i, got))
            continue
        measure, mends = _measure(p, got, mends)
        out.append(measure)
        i = got.next
    return out


def _sighed(p: Phrase, got: Reading) -> bool:
    """ "Oh" by itself is no amount of nothing."""
    return got.kind == "number" and got.next == got.first + 1 and p.w[got.first].text == "oh"


def not_measured(found: Reading | None) -> bool:
    return found is None or found.kind == "number"


def passed_over(p: Phrase, i: int, got: Reading | None) -> int:
    """The term after what is no measure: a number is passed whole, its end is not read again as a number of its own."""
    if got is not None:
        return got.next
    n = p.number(i) if p.w[i].cls & (NUMERIC | ARTICLE) else None
    if n is None:
        return i + 1
    if n.form == "digits":
        second = quantity(p, i + 1)
        return i + 1 if second is not None and second.kind != "number" else n.next
    return n.next


def _measure(p: Phrase, got: Reading, mends: int) -> tuple[Measure, int]:
    t = p.t
    start, end = t.starts[got.first], t.ends[got.next - 1]
    thing = None if got.thing is None else (t.starts[got.thing[0]], t.ends[got.thing[1] - 1])
    convention, counted = None, None
    low, high, unit = got.low, got.high, got.unit
    if unit is not None and unit.startswith(CONVENTION):
        convention = unit[1:]
        worth = p.units.conventions[convention]
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
        start=start,
        end=end,
        kind=got.kind,
        low=low,
        high=high,
        unit=unit,
        said=t.text[start:end],
        approximate=got.approximate,
        lean=got.lean,
        relation=got.relation,
        each=got.each,
        thing=thing,
        thing_part=got.thing_part,
        by=got.by,
        parts=got.parts,
        repaired=repaired,
        doubtful=doubtful,
        others=others,
        convention=convention,
        counted=counted,
        rule=got.rule,
    )
    return measure, mends
