"""Times, temperatures and strengths: what a number may be besides an amount.

time        = number seconds-word [AND fraction] | ARTICLE seconds-word [AND fraction]
temperature = number [DEGREE] [FAHRENHEIT | CELSIUS]
strength    = number PERCENT | number PROOF
"""

from __future__ import annotations

from fractions import Fraction

from extractor.measures.numbers import Number, tail
from extractor.measures.phrase import NOTHING, ONE, Phrase, Reading
from extractor.measures.words import (
    CELSIUS,
    DEGREE,
    FAHRENHEIT,
    HYPHEN,
    NEGATIVE,
    NOT_NOUN,
    NUMERIC,
    OF,
    PERCENT,
    PROOF,
    SECONDS,
    UNIT,
)


def timed(p: Phrase, i: int, j: int, got: Number) -> Reading | None:
    """time = number seconds-word [tail]; never "two weeks ago", "one second", "three days old" """
    w = p.w
    term = w[j]
    if got.form == "digits" or is_past(p, j + 1, i) or (not term.plural and w[j + 1].cls & NOT_NOUN):
        return None
    if term.text == "day" and w[j + 1].text in p.v.near["dated"] and w[j + 2].cls & NUMERIC:
        return None  # "coconut cream 30 day syrup 15": of dates
    if not term.plural and got.value == 1 and term.text in ("second", "sec", "minute", "day"):
        return None
    value = got.value
    k = j + 1
    rest = tail(w, k)
    if rest is not None and not w[rest.next].cls & UNIT and not w[rest.next].cls & OF:
        value, k = value + rest.value, rest.next
    return Reading(i, k, "time", value * term.seconds, value * term.seconds, rule="time")


def one_time(p: Phrase, i: int, j: int) -> Reading | None:
    """one-time = ARTICLE seconds-word [tail], behind a word that makes it a length: "for an hour", "about a week" """
    w = p.w
    term = w[j]
    if term.plural or is_past(p, j + 1, i):
        return None
    before = w[i - 1].text if i else ""
    rest = tail(w, j + 1)
    if rest is not None and not w[rest.next].cls & (UNIT | OF):
        value = (ONE + rest.value) * term.seconds
        return Reading(i, rest.next, "time", value, value, rule="time")
    if term.text in ("second", "sec") or i == j:
        return None
    length = before in p.v.near["lasting"]
    if not length and term.text != "hour":
        return None
    return Reading(i, j + 1, "time", ONE * term.seconds, ONE * term.seconds, rule="time", whole=False)


def is_past(p: Phrase, k: int, i: int) -> bool:
    """Is this a time of life, not of work? "two weeks ago", "a six month old", "the last three days" """
    w = p.w
    if w[k].text in p.v.near["past behind"]:
        return True
    return i > 0 and w[i - 1].text in p.v.near["past before"]


def seconds_of(p: Phrase, right: Reading) -> int:
    """How many seconds the word of a time has."""
    for k in range(right.next - 1, right.first - 1, -1):
        if p.w[k].cls & SECONDS:
            return p.w[k].seconds
    return 1


def strength_or_heat(p: Phrase, got: Reading) -> Reading | None:
    """strength = number PERCENT | number PROOF; temperature = number [DEGREE] [FAHRENHEIT | CELSIUS]"""
    w = p.w
    j = got.next
    cls = w[j].cls
    if got.low is None or got.high is None:
        return None
    if cls & PERCENT or (w[j].text == "per" and w[j + 1].text == "cent"):
        if not cls & PERCENT:
            j += 1
        if got.high >= 100 or w[j + 1].cls & OF or w[j + 1].text in p.v.near["not strength"]:
            return Reading(got.first, j + 1, "number", rule=NOTHING)
        if w[j + 1].cls & (PERCENT | PROOF):
            j += 1
        got.kind, got.next, got.rule = "strength", j + 1, "percent"
        return got
    if cls & PROOF:
        if got.high <= 0:
            return Reading(got.first, j + 1, "number", rule=NOTHING)
        got.kind, got.next, got.rule = "strength", j + 1, "proof"
        got.low, got.high = got.low / 2, got.high / 2
        return got
    if cls & DEGREE:
        j += 1
        if w[j].cls & (FAHRENHEIT | CELSIUS):
            return heat(p, got, j + 1, fahrenheit=bool(w[j].cls & FAHRENHEIT))
        if w[j].text in p.v.near["not heat"]:
            return Reading(got.first, j, "number", rule=NOTHING)
        return heat(p, got, j, fahrenheit=None)
    if cls & (FAHRENHEIT | CELSIUS) and (len(w[j].text) > 1 or p.t.joined[j]):
        return heat(p, got, j + 1, fahrenheit=bool(cls & FAHRENHEIT))
    return None


def heat(p: Phrase, got: Reading, j: int, *, fahrenheit: bool | None) -> Reading:
    """Celsius of the number; where no scale is said, above 110 it is Fahrenheit and below both may be meant."""
    low, high = got.low or Fraction(0), got.high or Fraction(0)
    before = p.w[got.first - 1] if got.first else None
    if (
        before is not None
        and low == high
        and (before.cls & NEGATIVE or (before.cls & HYPHEN and p.t.joined[got.first]))
    ):
        got.first -= 1
        got.low = got.high = low = high = -low
    as_fahrenheit = ((low - 32) * 5 / 9, (high - 32) * 5 / 9)
    got.kind, got.next, got.rule = "temperature", j, "temperature"
    if fahrenheit is None:
        got.doubtful = low < 110 and p.units.locale in ("us", "bar")
        if got.doubtful:
            got.others = ((*as_fahrenheit, None),)
        fahrenheit = low >= 110 and p.units.locale in ("us", "bar")
    if fahrenheit:
        got.low, got.high = as_fahrenheit
    return got
