"""Amounts told by that of another thing: "cucumber juice, double of the lemon", "vermouth, the same as the gin".

The other thing is named only to hold the amount against; it is not poured a second time.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Literal

from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.same import same_thing

# Between the thing and the comparison: "cucumber juice is only the double of".
_LEAD = (
    r"^[,:;]?(?: (?:is|are|also|exactly|about|just|only|roughly|at|it's|that's|(?:i|we|you) (?:do|put|take)|"
    r"gets|wants|goes|to|with|say|like|in))*[,:;]? "
)
_AMOUNT = r"(?: (?:as|so) much| (?:the |an? )?(?:amounts?|measures?|quantity|much))?"
_TAIL = r"(?: (?:as|of|what|that|the|my|your|our|was|were|is|i|we|you|there|put|did|have|had|used|poured|for|with|in))"
_AGAINST = re.compile(
    rf"{_LEAD}(?:the )?(?:(?P<half>half)|(?P<double>double|twice|two times)){_AMOUNT}{_TAIL}+ $|"
    rf"{_LEAD}(?:the )?(?P<same>same|equal){_AMOUNT} (?:as|like|of){_TAIL}* $|"
    rf"{_LEAD}(?P<as>as much) as{_TAIL}* $"
)
# "Plum brandy, half of that": of the amount said last.
_HALF_OF_THAT = re.compile(rf"{_LEAD}(?:the )?half (?:of )?(?:that|it)(?=[,.;:!?]|$| (?:and|then|so) )")
_HALF_WHAT = re.compile(r"(?:half|double|twice) (?:of )?what (?:i|we|he|she|you|they|it|the)\b")
_NO_SHARE = re.compile(r"half of $")
"""Behind this a name may also be what is measured: "gin half of honey"."""
Relation = Literal["same", "double", "half"]
_SAYS_TOO = re.compile(
    rf",? (?:so|that's|it's|which is|just|exactly) (?:the |exactly )?(?:half|double|twice|the same|same)"
    rf"{_AMOUNT}{_TAIL}+ $"
)
LONGEST = 60
NEAR = 3
"""So many words at most between a thing and its amount."""


def _has_amount(thing: Mention, things: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> bool:
    """Was an amount said of the thing already, near its name?"""
    for x in things:
        if x.start >= thing.start or not same_thing(x, thing):
            continue
        for m in measures:
            if m.kind not in ("amount", "number", "relation") or m.start >= thing.start:
                continue
            gap = reader.gap(x.end, m.start) if m.start >= x.end else reader.gap(m.end, x.start)
            if (m.start >= x.end or m.end <= x.start) and len(gap.words) <= NEAR:
                return True
    return False


def _measured_before(thing: Mention, measures: Sequence[Measure], reader: TalkReader) -> bool:
    """ "Two ounces of gin, half of the syrup": the thing has its amount in front, so the half is no part of it."""
    near = [m for m in measures if m.pours and m.end <= thing.start and thing.start - m.end < LONGEST]
    if not near:
        return False
    gap = reader.gap(near[-1].end, thing.start)
    return not gap.stop and not gap.comma and len(gap.words) <= NEAR and "and" not in gap.words


def compared(
    measures: Sequence[Measure], things: Sequence[Mention], reader: TalkReader
) -> tuple[list[Measure], list[Mention]]:
    """The measures with those that are told by another thing's amount, and the things without the ones held against."""
    named = [m for m in things if m.group == "ingredient"]
    found: list[Measure] = []
    against: list[Mention] = []
    for thing, other in pairwise(named):
        if _measured_before(thing, measures, reader) or other.start - thing.end > LONGEST:
            continue
        between = reader.lower[thing.end : other.start]
        m = _AGAINST.search(between)
        if m is None or _NO_SHARE.search(between) or same_thing(thing, other):
            continue
        if not _has_amount(other, things, measures, reader):
            continue
        relation: Relation = "half" if m["half"] else "double" if m["double"] else "same"
        at = next(m.start(k) for k in ("half", "double", "same", "as") if m[k])
        start = thing.end + at
        against.append(other)
        # "Half of the bissap, so sixty": the amount is said as well, and is the better one.
        told = next((x for x in measures if other.end <= x.start and x.kind in ("amount", "number")), None)
        if told is not None and reader.gap(other.end, told.start).words in (("so",), ("that's",), ("which", "is"), ()):
            gap = reader.gap(other.end, told.start)
            if gap.words and not gap.stop:
                found.append(replace(told, start=start, said=reader.talk.text[start : told.end]))
                continue
        said = reader.talk.text[start : other.end]
        found.append(Measure(start, other.end, "relation", None, None, None, said, relation=relation, rule="compared"))
    for other in named:
        told_too = _SAYS_TOO.search(reader.lower, max(0, other.start - LONGEST), other.start)
        if told_too is None or not any(m.end == told_too.start() and m.pours for m in measures):
            continue
        if not _has_amount(other, things, measures, reader):
            continue
        # "Vermouth, three, so the half of the rye": the amount is said, and then only held against another.
        against.append(other)
        inside = [m for m in measures if told_too.start() < m.start < other.end]
        measures = [m for m in measures if not any(m is x for x in inside)]
    for thing in named:
        half = _HALF_OF_THAT.search(reader.lower[thing.end : thing.end + LONGEST])
        if half is None or _measured_before(thing, measures, reader):
            continue
        end = thing.end + half.end()
        start = reader.lower.rindex("half", thing.end, end)
        said = reader.talk.text[start:end]
        found.append(Measure(start, end, "relation", None, None, None, said, relation="half", rule="compared"))
    # "Only an ounce, half what I gave him": with nothing named it is no amount of its own.
    idle = [m for m in measures if m.kind == "number" and _HALF_WHAT.match(reader.lower, m.start)]
    measures = [m for m in measures if not any(m is x for x in idle)]
    if not found and not against:
        return list(measures), list(things)
    kept = [m for m in measures if not any(f.start < m.end and m.start < f.end for f in found)]
    gone = {id(x) for x in against}
    return sorted([*kept, *found], key=lambda m: m.start), [x for x in things if id(x) not in gone]
