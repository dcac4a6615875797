"""Spoken numbers: one function a production, each given the terms and the place to begin, each giving a Number or None.

    number     = collective | decimal | mixed | fraction | digits | cardinal
    collective = [ARTICLE] (couple | pair) [OF] [HUNDRED | SCALE] | [number] dozen
    mixed      = cardinal AND fraction | cardinal written
    fraction   = written | [ARTICLE | cardinal] denominator
    decimal    = [cardinal] POINT (DIGIT+ | TEEN | TENS [DIGIT] | literal)
    digits     = DIGIT (TENS [DIGIT] | TEEN | oh DIGIT) | TEEN TENS
    cardinal   = [group] SCALE [[AND] cardinal of a smaller scale] | group
    group      = [small | literal | ARTICLE] HUNDRED [[AND] small] | small | literal
    small      = TENS [DIGIT] | TEEN | DIGIT

Fractions come before ordinals ("one third cup"). A plural denominator makes a fraction; a singular one only behind
one or a, before a unit, or before "of a unit". `digits` ("two fifty") is one number only where a metric unit follows:
elsewhere it may be a time, a price or two numbers, so it carries its form and the caller decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from extractor.measures.tokens import PAD, tokenize
from extractor.measures.words import (
    AND,
    ARTICLE,
    CARDINAL,
    DENOM,
    DESCRIBES,
    DIGIT,
    FRACTION,
    FUNCTION,
    GROUP,
    HUNDRED,
    HYPHEN,
    LITERAL,
    NEGATIVE,
    OF,
    OR,
    ORDINAL,
    PLUS,
    POINT,
    SCALE,
    TEEN,
    TENS,
    THE,
    TO,
    UNIT,
    Term,
    vocabulary,
)

HALF = Fraction(1, 2)
LIMIT = 10**40


class Number(NamedTuple):
    """`value` and the term after it. `form` is cardinal, literal, decimal, fraction, mixed, collective or digits."""

    value: Fraction
    next: int
    form: str


Terms = Sequence[Term]
Whole = Fraction | int


@lru_cache(maxsize=1024)
def exact(value: Whole) -> Fraction:
    """The number as a fraction: most that are said are small and the same."""
    return Fraction(value)


def small(w: Terms, i: int) -> tuple[int, int] | None:
    """small = TENS [DIGIT] | TEEN | DIGIT"""
    cls = w[i].cls
    value = w[i].num
    if not cls & (TENS | DIGIT | TEEN) or not isinstance(value, int):
        return None
    if cls & TENS:
        after = w[i + 1]
        if after.cls & DIGIT and isinstance(after.num, int) and after.num and not w[i + 2].cls & DENOM:
            return value + after.num, i + 2
    return value, i + 1


def group(w: Terms, i: int) -> tuple[Whole, int] | None:
    """group = [small | literal | ARTICLE] HUNDRED [[AND] small] | small | literal"""
    term = w[i]
    value: Whole
    if term.cls & HUNDRED:
        if term.text.endswith("s"):
            return None
        value, j = 1, i
    elif term.cls & ARTICLE and w[i + 1].cls & HUNDRED:
        value, j = 1, i + 1
    elif term.cls & LITERAL and term.num is not None:
        value, j = term.num, i + 1
    else:
        got = small(w, i)
        if got is None:
            return None
        value, j = got
    if not w[j].cls & HUNDRED:
        return value, j
    value, j = value * 100, j + 1
    k = j + 1 if w[j].cls & AND else j
    rest: tuple[Whole, int] | None = small(w, k)
    if rest is None and w[k].cls & LITERAL and isinstance(w[k].num, int):
        rest = w[k].num or 0, k + 1
    if rest is not None and 0 < rest[0] < 100 and not w[rest[1]].cls & (DENOM | HUNDRED):
        return value + rest[0], rest[1]
    return value, j


def cardinal(w: Terms, i: int) -> tuple[Whole, int] | None:
    """cardinal = [group | ARTICLE] SCALE [[AND] cardinal of a smaller scale] | group"""
    total: Whole = 0
    j = i
    limit: Whole = LIMIT
    first = True
    while True:
        k = j if first or not w[j].cls & AND else j + 1
        got: tuple[Whole, int] | None
        if first and w[k].cls & SCALE and not w[k].text.endswith("s"):
            got = 1, k
        elif first and w[k].cls & ARTICLE and w[k + 1].cls & SCALE:
            got = 1, k + 1
        else:
            got = group(w, k)
        if got is None:
            break
        value, k = got
        if not first and (value >= limit or value == 0 or w[k].cls & DENOM):
            break
        scale: Whole = 1
        while w[k].cls & SCALE and scale < 10**36:
            scale, k = scale * (w[k].num or 1), k + 1
        if scale > 1 and scale >= limit:
            break
        total, j, first = total + value * scale, k, False
        if scale == 1:
            break
        limit = scale
    return None if first else (total, j)


def behind_point(w: Terms, i: int) -> tuple[str, int] | None:
    """DIGIT+ | TEEN | TENS [DIGIT] | literal: what stands behind a spoken point, as written digits."""
    term = w[i]
    if term.cls & LITERAL and isinstance(term.num, int):
        return term.text, i + 1
    if term.cls & (TENS | TEEN):
        got = small(w, i)
        return None if got is None else (str(got[0]), got[1])
    out = ""
    while (w[i].cls & DIGIT or w[i].text == "o") and len(out) < 9 and not (out and w[i + 1].cls & DENOM):
        out += str(w[i].num or 0)
        i += 1
    return (out, i) if out else None


def decimal(w: Terms, i: int, whole: tuple[Whole, int] | None = None) -> Number | None:
    """decimal = [cardinal] POINT (DIGIT+ | TEEN | TENS [DIGIT] | literal)"""
    value, j = whole if whole is not None else (0, i)
    if not w[j].cls & POINT or isinstance(value, Fraction):
        return None
    if w[j].text == "comma" and whole is None:
        return None  # "one comma five", as many say it; "comma five" alone tells nothing
    behind = behind_point(w, j + 1)
    if behind is None:
        return None
    return Number(value + Fraction(int(behind[0]), 10 ** len(behind[0])), behind[1], "decimal")


def before_measure(w: Terms, i: int) -> bool:
    """Does a unit stand here, or "of a unit"?"""
    if w[i].cls & UNIT:
        return True
    if w[i].cls & OF:
        i += 1
        if w[i].cls & (ARTICLE | THE):
            i += 1
        return bool(w[i].cls & UNIT)
    return False


def fraction(w: Terms, i: int) -> Number | None:
    """fraction = written | [ARTICLE | cardinal] denominator

    A denominator in the singular is an ordinal ("the third drink") unless it is half or quarter, or one/a stands
    before it, or a unit or "of a unit" behind it.
    """
    term = w[i]
    cls = term.cls
    if cls & FRACTION and term.num is not None:
        return Number(Fraction(term.num), i + 1, "fraction")
    if cls & DENOM and term.den is not None:
        if term.text in ("half", "quarter"):
            return Number(term.den, i + 1, "fraction")
        if term.plural or not before_measure(w, i + 1) or (i > 0 and w[i - 1].cls & (THE | CARDINAL)):
            return None
        return Number(term.den, i + 1, "fraction")
    if cls & ARTICLE:
        after = w[i + 1]
        if not after.cls & DENOM or after.plural or after.den is None:
            return None
        if after.text in ("half", "quarter") or before_measure(w, i + 2) or w[i + 2].cls & OF:
            return Number(after.den, i + 2, "fraction")
        if w[i + 2].cls & (TO | OR | FUNCTION) or not w[i + 2].text.isalpha():
            return Number(after.den, i + 2, "fraction")
        return None
    top: tuple[Whole, int] | None = small(w, i)
    if top is None:
        if not (cls & LITERAL and isinstance(term.num, int)):
            return None
        top = term.num, i + 1
    value, j = top
    after = w[j]
    if not after.cls & DENOM or after.den is None or not 0 < value < 100:
        return None
    if after.plural or value == 1 or after.text == "quarter":
        return Number(value * after.den, j + 1, "fraction")
    if before_measure(w, j + 1) and value * after.den < 1:
        return Number(value * after.den, j + 1, "fraction")
    return None


def tail(w: Terms, i: int) -> Number | None:
    """tail = AND fraction   (behind a whole number or behind its unit: "two and a half", "ounce and three quarters")"""
    if not w[i].cls & AND:
        return None
    got = fraction(w, i + 1)
    return got if got is not None and 0 < got.value < 1 else None


def number(w: Terms, i: int) -> Number | None:
    """number = collective | decimal | mixed | fraction | digits | cardinal"""
    cls = w[i].cls
    if cls & ARTICLE:
        after = w[i + 1]
        if after.cls & GROUP:
            return collective(w, i + 1)
        if after.cls & DENOM:
            return multiplied(w, fraction(w, i))
        if not after.cls & (HUNDRED | SCALE):
            return None
    elif cls & GROUP:
        return collective(w, i)
    elif cls & (DENOM | FRACTION):
        return multiplied(w, fraction(w, i))
    elif cls & POINT:
        return multiplied(w, decimal(w, i))
    elif not cls & CARDINAL:
        return None
    if w[i].text == "one" and i > 1 and w[i - 1].cls & DESCRIBES and w[i - 2].cls & THE and w[i + 1].cls & CARDINAL:
        return None  # "vermouth, the red one sixty mil"
    whole = cardinal(w, i)
    if whole is None:
        return None
    value, j = whole
    after = w[j]
    acls = after.cls
    if acls & POINT:
        got = decimal(w, i, whole)
        if got is not None:
            return multiplied(w, got)
    if acls & DENOM:
        got = fraction(w, i)
        if got is not None:
            return multiplied(w, got)
        if after.text != "half":
            return None  # "twenty fifth": an ordinal
    if acls & ORDINAL and w[i].text != "one":
        return None
    if isinstance(value, int):
        if acls & AND:
            got = tail(w, j)
            if got is not None:
                return multiplied(w, Number(value + got.value, got.next, "mixed"))
        if acls & FRACTION and after.num is not None and after.num < 1:
            return multiplied(w, Number(value + Fraction(after.num), j + 1, "mixed"))
    if acls & GROUP and after.num == 12:
        return Number(Fraction(value * 12), j + 1, "collective")
    if j == i + 1 and acls & (TENS | TEEN | DIGIT) and value:
        got = digits(w, i)
        if got is not None:
            return got
    return Number(exact(value), j, "literal" if cls & LITERAL else "cardinal")


def digits(w: Terms, i: int) -> Number | None:
    """digits = DIGIT (TENS [DIGIT] | TEEN | oh DIGIT) | TEEN TENS [DIGIT]   ("two fifty", "one oh five", "twelve
    fifty")
    """
    first, after = w[i], w[i + 1]
    if not isinstance(first.num, int):
        return None
    if (first.cls & DIGIT and after.cls & (TENS | TEEN)) or (first.cls & TEEN and after.cls & TENS):
        got = small(w, i + 1)
        if got is not None and not w[got[1]].cls & (DENOM | HUNDRED | SCALE) and not 0 < got[0] <= 2 * first.num:
            return Number(Fraction(first.num * 100 + got[0]), got[1], "digits")
    last = w[i + 2]
    if (
        first.cls & DIGIT
        and after.text in ("oh", "zero")
        and last.cls & DIGIT
        and isinstance(last.num, int)
        and last.num
    ):
        return Number(Fraction(first.num * 100 + last.num), i + 3, "digits")
    return None


def year(w: Terms, i: int) -> int | None:
    """year = (TEEN | twenty) (TENS [DIGIT] | TEEN | oh DIGIT): the term after it. "nineteen thirty three", "twenty
    twelve".
    """
    first = w[i]
    if not (first.cls & TEEN and isinstance(first.num, int) and first.num >= 13) and first.text != "twenty":
        return None
    after = w[i + 1]
    if after.cls & (TENS | TEEN):
        got = small(w, i + 1)
        return None if got is None else got[1]
    if after.text == "oh" and w[i + 2].cls & DIGIT:
        return i + 3
    return None


def collective(w: Terms, i: int) -> Number | None:
    """collective = (couple | pair | dozen) [OF] [HUNDRED | SCALE]"""
    term = w[i]
    if not isinstance(term.num, int) or (term.plural and term.num == 12):
        return None
    j = i + 1
    k = j + 1 if w[j].cls & OF else j
    if w[k].cls & (HUNDRED | SCALE) and term.num == 2:
        return Number(Fraction(term.num * (w[k].num or 1)), k + 1, "cardinal")
    return Number(exact(term.num), j, "collective")


def multiplied(w: Terms, got: Number | None) -> Number | None:
    """multiplied = number [ARTICLE] (dozen | HUNDRED | SCALE)   ("half a dozen", "a quarter million", "two point one
    million")
    """
    if got is None:
        return None
    k = got.next
    if got.form == "fraction":
        if w[k].cls & OF and w[k + 1].cls & ARTICLE:
            k += 1
        if w[k].cls & ARTICLE:
            k += 1
    after = w[k]
    if after.cls & GROUP and after.num == 12:
        return Number(got.value * 12, k + 1, "collective")
    if after.cls & (SCALE | HUNDRED) and after.num is not None:
        return Number(got.value * after.num, k + 1, "cardinal")
    return got


def read_number(spoken: str) -> Fraction | tuple[Fraction, Fraction] | None:
    """The one number that the whole phrase says; (low, high) for a range; None where it is none, or more than one.

    "two hundred and fifty thousand" is 250000, "three and a half" 7/2, "minus two" -2; "twenty first" and "two fifty"
    are None.
    """
    tokens = tokenize(spoken, vocabulary())
    w = tokens.terms
    size = len(w) - PAD
    while size and not w[size - 1].text.isalnum() and not w[size - 1].cls & FRACTION and w[size - 1].num is None:
        size -= 1
    sign, i = 1, 0
    if w[0].cls & (NEGATIVE | HYPHEN):
        sign, i = -1, 1
    elif w[0].cls & PLUS:
        i = 1
    got = number(w, i)
    if got is None or got.form == "digits":
        return None
    if got.next == size:
        return sign * got.value
    if w[got.next].cls & (TO | OR | HYPHEN):
        more = number(w, got.next + 1)
        if more is not None and more.next == size and more.form != "digits" and got.value < more.value:
            return got.value, more.value
    return None
