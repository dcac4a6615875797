"""Amounts told one behind the other of things listed before: "the gin and the vermouth, sixty mil and ten"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from extractor.numbers import NUMBER_WORDS, NUMBERS
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

_LISTING = frozenset(("and", "the", "a", "an", "some", "my", "our", "your", "then", "plus", "fresh", "good"))
# Between the list and its amounts: "the amaro and the rye, and those are one and one".
_LEAD = re.compile(
    r"[,:;.]?(?: (?:so|at|and|it's|that's|those|these|they|are|they're|respectively|it|is|i|we|do|put|take))*[,:]? "
)
_BETWEEN = re.compile(r", and |, then | and |, ")
_NUMBER = re.compile(rf"(?:\d+(?:\.\d+)?|{NUMBER_WORDS})(?!\w)")
_ENDS = re.compile(r"\s*(?:[.!?;,]|$)|\s+(?:and|then|shake|stir|shaken|stirred|respectively|over|on|in|into|with)\b")
FEWEST = 2


def respectively(
    measures: Sequence[Measure], things: Sequence[Mention], reader: TalkReader
) -> tuple[list[Measure], Mapping[int, Measure]]:
    """The measures that are left, and which amount each thing (by its place) has of such a list."""
    starts = {m.start: m for m in measures}
    named = sorted((m for m in things if m.group == "ingredient"), key=lambda m: m.start)
    given: dict[int, Measure] = {}
    used: list[Measure] = []
    k = 0
    while k < len(named):
        run = [named[k]]
        while k + len(run) < len(named) and _joined(run[-1], named[k + len(run)], measures, reader):
            run.append(named[k + len(run)])
        k += len(run)
        if len(run) < FEWEST or _amount_before(run[0], measures, reader):
            continue
        amounts = _amounts(run[-1].end, len(run), starts, reader)
        if amounts is None:
            continue
        for thing, amount in zip(run, amounts, strict=True):
            given[thing.start] = amount
        used += amounts
    left = [m for m in measures if not any(u.start < m.end and m.start < u.end for u in used)]
    return left, given


def _joined(a: Mention, b: Mention, measures: Sequence[Measure], reader: TalkReader) -> bool:
    gap = reader.gap(a.end, b.start)
    if gap.stop or not set(gap.words) <= _LISTING or not (gap.comma or "and" in gap.words):
        return False
    return not any(a.end <= m.start < b.start for m in measures)


def _amount_before(first: Mention, measures: Sequence[Measure], reader: TalkReader) -> bool:
    """ "Two ounces of gin and lime juice, one and one": the list has its amounts in front."""
    before = [m for m in measures if m.pours and m.end <= first.start]
    if not before:
        return False
    gap = reader.gap(before[-1].end, first.start)
    return not gap.stop and not gap.comma and len(gap.words) <= FEWEST


def _amounts(at: int, number: int, starts: Mapping[int, Measure], reader: TalkReader) -> list[Measure] | None:
    lead = _LEAD.match(reader.lower, at)
    if lead is None:
        return None
    at = lead.end()
    out: list[Measure] = []
    while len(out) < number:
        measure = starts.get(at)
        if measure is None:
            word = _NUMBER.match(reader.lower, at)
            if word is None:
                return None
            low = _value(word.group())
            said = reader.talk.text[at : word.end()]
            measure = Measure(at, word.end(), "number", low, low, None, said, rule="respective")
        if measure.kind not in ("amount", "number") or measure.low is None or measure.thing is not None or measure.each:
            return None
        out.append(measure)
        at = measure.end
        between = _BETWEEN.match(reader.lower, at)
        if len(out) < number:
            if between is None:
                return None
            at = between.end()
    if _ENDS.match(reader.lower, at) is None or any(
        0 <= m.start - at <= 5 and m.group == "ingredient" for m in reader.mentions_in(at, at + 6)
    ):
        return None
    more = _BETWEEN.match(reader.lower, at)
    if more is not None and (more.end() in starts or _NUMBER.match(reader.lower, more.end())):
        return None
    return _with_units(out)


def _value(word: str) -> Fraction:
    return Fraction(word) if word[0].isdigit() else Fraction(NUMBERS[word])


def _with_units(amounts: list[Measure]) -> list[Measure]:
    """A bare number takes the unit before it in the list, else the one behind."""
    units = [m.unit for m in amounts]
    said = [u for u in units if u is not None]
    if not said:
        return amounts
    out = []
    last = said[0]
    for m in amounts:
        last = m.unit or last
        out.append(m if m.unit is not None else replace(m, unit=last, kind="amount"))
    return out
