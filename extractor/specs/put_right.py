"""Bare numbers by which an amount told before is put right: "sorry, the lemon juice is fifteen", "I said twenty of the
lemon, and it is fifteen".

Such a number stands behind "is" and before a full stop, where the grammar of amounts reads none ("my daughter is
fifteen"); it is one where the thing named right before has an amount already.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from extractor.numbers import NUMBERS
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.own_way import WITHIN, holds_instead, named_before, names_nothing
from extractor.specs.same import same_thing

_TENS = "|".join(w for w, n in NUMBERS.items() if n >= 20 and n % 10 == 0)
_UNITS = "|".join(w for w, n in NUMBERS.items() if 0 < n < 10)
_WHOLE = "|".join(sorted((w for w, n in NUMBERS.items() if n and w not in ("dozen", "couple", "pair")), key=len)[::-1])
_PARTS = {
    "half": Fraction(1, 2), "a half": Fraction(1, 2), "a quarter": Fraction(1, 4), "quarter": Fraction(1, 4),
    "three quarters": Fraction(3, 4), "three-quarters": Fraction(3, 4), "a third": Fraction(1, 3),
}  # fmt: skip
_NUMBER = (
    rf"(?P<n>(?:(?:{_TENS})[ -](?:{_UNITS})|{_WHOLE}|\d+(?:\.\d+)?)(?: and (?:a half|a quarter|three quarters))?"
    rf"|{'|'.join(sorted(_PARTS, key=len, reverse=True))})"
)
_IS = (
    r"(?:is|'s|should be|should have been|should've been|must be|has to be|was meant to be|needs to be|ought to be|"
    r"will be|becomes|make it|make that)"
)
_SOFT = r"(?: (?:just|only|actually|really|about|in fact|of course|meant to be))?"
_ENDS = r"(?=[.,;:!?]|$| (?P=n)(?!\w)| (?:not|no|and|instead|i|sorry|then|so|shake|stir|of|with)\b)"
_THING_IS = re.compile(rf"(?: juice)?,? ?{_IS}{_SOFT} {_NUMBER}(?!\w){_ENDS}")
_IT_IS = re.compile(
    rf"[,.;]?(?: (?:and|but|no|so|now|sorry|wait))*,? (?:(?:it|that|this) {_IS}|it's|that's|i meant|make it|make that)"
    rf"{_SOFT} {_NUMBER}(?!\w){_ENDS}"
)
_SO_MANY = re.compile(rf"[^.?!;]{{0,60}}?[ ,](?:so|now)(?: (?:i|we) (?:do|use|put|say))?{_SOFT} {_NUMBER}(?=[.,;]|$)")
BESIDE = 14
"""An amount stands so near to the name that has it, in characters."""


def put_right(mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> list[Measure]:
    """The numbers of a talk, beside those in `measures`, that put right an amount told before them."""
    things = [m for m in mentions if m.group == "ingredient" and m.how != "unknown"]
    out = [*_of_a_thing(things, measures, reader), *_of_what_was_said(measures, reader)]
    out += [*_so_many(mentions, measures, reader), *_nowadays(measures, reader)]
    free = [m for m in out if not any(x.start < m.end and m.start < x.end for x in measures)]
    return [m for k, m in enumerate(free) if all(m.start != x.start for x in free[:k])]


def _of_a_thing(things: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> Iterator[Measure]:
    for m in things:
        found = _THING_IS.match(reader.lower, m.end)
        if found is None:
            continue
        told = any(x.end <= m.start and same_thing(x, m) and _has_amount(x, measures) for x in things)
        if told:
            yield _number(found, reader)


_LATER = re.compile(
    rf"\b(?:it's|it is|make it|make that|write|write down|should be|i meant|so it's|that's){_SOFT} {_NUMBER}"
    r"(?= (?:ml|mil|mils|mill|cl|ounces?|dashes|dash)\b|[.,;]|$)"
)
LATER_WITHIN = 150
"""So soon behind "I told you twenty" the number that holds is told, in characters."""
HELD_WITHIN = 20
"""At most so many words stand between a thing and the amount that holds, in one sentence; nearer ones are found when
amounts are given to things."""


def named_again(
    things: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader
) -> tuple[list[Mention], list[Measure]]:
    """The things of amounts that stand far behind them, named anew right before the amount; and numbers that are in
    no grammar: "fifty ml, no, fifty I was doing in May, now it's forty ml"; "I told you twenty of the syrup. For twenty
    I am fired, it's fifteen."
    """
    out: list[Mention] = []
    more: list[Measure] = []
    for m in measures:
        start = reader.sentence(m.start)[0] if reader.talk.punctuated else max(0, m.start - LATER_WITHIN)
        if m.low is None or m.kind not in ("amount", "number") or not holds_instead(reader, start, m.start):
            continue
        near = [x for x in things if start <= x.start < m.start and reader.before(x.start, 2) not in _AS_THE]
        near = near or _told_before(start, m.start, things, measures, reader)
        if not near or not names_nothing(m, reader, things):
            continue
        before = near[-1].end <= start
        far = WITHIN < len(reader.gap(near[-1].end, m.start).words) <= HELD_WITHIN
        if before or (far and _has_amount(near[-1], measures)):
            out.append(named_before(near[-1], m.start))
    for quoted in _quotes(measures, reader):
        thing = next((x for x in things if 0 <= x.start - quoted.end <= BESIDE), None)
        found = _LATER.search(reader.lower, thing.end, thing.end + LATER_WITHIN) if thing is not None else None
        if thing is None or found is None:
            continue
        if any(thing.end < x.start < found.start() and not same_thing(x, thing) for x in things):
            continue
        number = _number(found, reader)
        if not any(x.start < number.end and number.start < x.end for x in measures):
            more.append(number)
        out.append(named_before(thing, number.start))
    return [x for k, x in enumerate(out) if all(x.start != y.start for y in out[:k])], more


_WAS = re.compile(r" (?:was|were|used to be|had been|started at|started out at|began at) ")


def _told_before(
    start: int, at: int, things: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader
) -> list[Mention]:
    """The thing of a sentence before: "The honey was an ounce when I wrote this. It was too sweet, so cut it to half.";
    "After that lemon juice. I used to pour thirty there, so nowadays it is twenty-five."
    """
    before = [x for x in things if max(0, start - LATER_WITHIN - BESIDE) <= x.start and x.end <= start]
    if not before or any(start <= x.start < at for x in things):
        return []
    last = before[-1]
    was = _WAS.match(reader.lower, last.end) is not None and _has_amount(last, measures)
    gap = reader.gap(last.end, start)
    once = gap.stop and not gap.words and reader.has("modes.history", start, at)
    return [last] if was or once else []


_NOW = re.compile(
    rf"\b(?:nowadays|these days|now|today|this year),? (?:it's|it is|i do|i use|i put|we do)"
    rf"{_SOFT} {_NUMBER}(?=[.,;]|$)"
)


def _nowadays(measures: Sequence[Measure], reader: TalkReader) -> Iterator[Measure]:
    """ "I used to pour thirty, so nowadays it is twenty-five.": a bare number where one of once was said before."""
    for cue in reader.cues("modes.history"):
        _, end = reader.sentence(cue.end - 1)
        found = _NOW.search(reader.lower, cue.end, end)
        if found is not None and any(cue.end <= m.start < found.start() and m.low is not None for m in measures):
            yield _number(found, reader)


_AS_THE = (("as", "the"), ("like", "the"), ("than", "the"), ("to", "the"))


def _quotes(measures: Sequence[Measure], reader: TalkReader) -> Iterator[Measure]:
    """The twenty of every "I told you twenty"."""
    for cue in reader.cues("turns.said before"):
        quoted = next((m for m in measures if m.end > cue.end and m.low is not None), None)
        if quoted is not None and quoted.start - cue.end <= BESIDE:
            yield quoted


def _so_many(told: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> Iterator[Measure]:
    """ "I used to do two dashes of celery bitters but it's too much, so one.": of the same unit."""
    for cue in reader.cues("modes.history"):
        _, end = reader.sentence(cue.end - 1)
        was = next((m for m in measures if cue.end <= m.start < end and m.unit is not None and m.low is not None), None)
        thing = next((x for x in told if was is not None and was.end <= x.start < min(end, was.end + BESIDE)), None)
        found = _SO_MANY.match(reader.lower, thing.end, end) if thing is not None else None
        if found is not None and was is not None and not any(thing.end <= m.start < end for m in measures if thing):
            number = _number(found, reader)
            yield replace(number, unit=was.unit, kind=was.kind, convention=was.convention)


def _of_what_was_said(measures: Sequence[Measure], reader: TalkReader) -> Iterator[Measure]:
    for quoted in _quotes(measures, reader):
        ends = [quoted.end, *(m.end for m in reader.mentions_in(quoted.end, quoted.end + 2 * BESIDE))]
        found = next((f for f in (_IT_IS.match(reader.lower, e) for e in ends) if f is not None), None)
        if found is not None:
            yield _number(found, reader)


def _has_amount(mention: Mention, measures: Sequence[Measure]) -> bool:
    return any(
        m.pours and m.low is not None and (0 <= mention.start - m.end <= BESIDE or 0 <= m.start - mention.end <= BESIDE)
        for m in measures
    )


def _number(found: re.Match[str], reader: TalkReader) -> Measure:
    start, end = found.span("n")
    value = _value(found["n"])
    return Measure(start, end, "number", value, value, None, reader.talk.text[start:end], rule="put right")


def _value(said: str) -> Fraction:
    if said in _PARTS:
        return _PARTS[said]
    whole, _, part = said.partition(" and ")
    if whole.replace(".", "").isdigit():
        value = Fraction(whole)
    else:
        value = Fraction(sum(NUMBERS[w] for w in re.split(r"[ -]", whole)))
    return value + (_PARTS[part] if part else 0)
