"""Spoken numbers: one function a production, each given the terms and the place to begin, each giving a Number or None.

    number    = [negative] (fraction-written | collective | mixed | fraction | decimal | cardinal | digit-group)
    mixed     = cardinal AND fraction | cardinal fraction-written
    fraction  = [article] [cardinal] denominator
    decimal   = [cardinal] POINT digits
    cardinal  = group scale [AND] ... | group
    group     = small HUNDRED [AND] small | small
    small     = tens digit | tens | teen | digit

Fractions come before ordinals ("one third cup"); a plural denominator is a fraction, a singular one only behind one/a, before a
unit or before "of". Digit groups ("two fifty") are marked as such: only a unit behind them makes them one number.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from extractor.measures.tokens import Tokens, tokenize
from extractor.measures.words import (
    AND,
    ARTICLE,
    CARDINAL,
    DENOM,
    DIGIT,
    FRACTION,
    GROUP,
    HUNDRED,
    LITERAL,
    NEGATIVE,
    OF,
    OTHER_ORDINAL,
    OVER,
    POINT,
    SCALE,
    TEEN,
    TENS,
    THE,
    UNIT,
    Term,
    Vocabulary,
    vocabulary,
)

HALF = Fraction(1, 2)


class Number(NamedTuple):
    """`value` and the term after it. `form` is cardinal, decimal, fraction, mixed, written, collective or digits."""

    value: Fraction
    next: int
    form: str


def small(w: list[Term], i: int) -> tuple[int, int] | None:
    """small = TENS DIGIT | TENS | TEEN | DIGIT"""
    term = w[i]
    cls = term.cls
    if cls & TENS:
        after = w[i + 1]
        if after.cls & DIGIT and after.num and not w[i + 2].cls & DENOM:
            return term.num + after.num, i + 2  # type: ignore[operator, return-value]
        return term.num, i + 1  # type: ignore[return-value]
    if cls & (DIGIT | TEEN):
        return term.num, i + 1  # type: ignore[return-value]
    return None


def group(w: list[Term], i: int) -> tuple[Fraction | int, int] | None:
    """group = [small | literal | ARTICLE] HUNDRED [[AND] (small | literal)] | small | literal"""
    term = w[i]
    value: Fraction | int
    if term.cls & HUNDRED:
        value, j = 1, i
    elif term.cls & ARTICLE and w[i + 1].cls & HUNDRED:
        value, j = 1, i + 1
    elif term.cls & LITERAL:
        value, j = term.num, i + 1  # type: ignore[assignment]
    else:
        got = small(w, i)
        if got is None:
            return None
        value, j = got
    if not w[j].cls & HUNDRED:
        return value, j
    value, j = value * 100, j + 1
    k = j + 1 if w[j].cls & AND else j
    rest = small(w, k)
    if rest is None and w[k].cls & LITERAL and isinstance(w[k].num, int) and w[k].num < 100:  # type: ignore[operator]
        rest = w[k].num, k + 1  # type: ignore[assignment]
    if rest is not None and not w[rest[1]].cls & (DENOM | HUNDRED) and rest[0] > 0:
        return value + rest[0], rest[1]
    return value, j


def cardinal(w: list[Term], i: int) -> tuple[Fraction | int, int] | None:
    """cardinal = (group | ARTICLE | ) SCALE [[AND] cardinal of a smaller scale] | group"""
    total: Fraction | int = 0
    j = i
    limit: Fraction | int = 10**18
    first = True
    while True:
        k = j
        if not first and w[k].cls & AND:
            k += 1
        if first and w[k].cls & SCALE:
            got: tuple[Fraction | int, int] | None = (1, k)
        elif first and w[k].cls & ARTICLE and w[k + 1].cls & SCALE:
            got = (1, k + 1)
        else:
            got = group(w, k)
        if got is None or (not first and (got[0] >= limit or got[0] == 0 or w[got[1]].cls & DENOM)):
            break
        value, k = got
        scale: Fraction | int = 1
        while w[k].cls & SCALE and scale < 10**12:
            scale, k = scale * w[k].num, k + 1  # type: ignore[operator]
        if scale > 1 and scale >= limit:
            break
        total, j = total + value * scale, k
        first = False
        if scale == 1:
            break
        limit = scale
    return None if first else (total, j)


def digits(w: list[Term], i: int) -> tuple[str, int] | None:
    """digits = DIGIT+ | TEEN | TENS [DIGIT] | literal   (what stands behind a spoken point, as written digits)"""
    term = w[i]
    if term.cls & LITERAL and isinstance(term.num, int):
        return term.text, i + 1
    if term.cls & (TENS | TEEN):
        got = small(w, i)
        return None if got is None else (str(got[0]), got[1])
    out = ""
    while w[i].cls & DIGIT and len(out) < 9 and not (out and w[i + 1].cls & DENOM):
        out += str(w[i].num)
        i += 1
    return (out, i) if out else None


def decimal(w: list[Term], i: int) -> Number | None:
    """decimal = [cardinal] POINT digits"""
    whole: Fraction | int = 0
    j = i
    if not w[i].cls & POINT:
        got = cardinal(w, i)
        if got is None:
            return None
        whole, j = got
    if not w[j].cls & POINT or isinstance(whole, Fraction):
        return None
    behind = digits(w, j + 1)
    if behind is None:
        return None
    return Number(whole + Fraction(int(behind[0]), 10 ** len(behind[0])), behind[1], "decimal")


def fraction(w: list[Term], i: int) -> Number | None:
    """fraction = written | [ARTICLE | cardinal] denominator | cardinal OVER cardinal

    A denominator in the singular is an ordinal ("the third drink") unless it is half or quarter, or one/a stands before it,
    or a unit or "of a" behind it.
    """
    term = w[i]
    if term.cls & FRACTION:
        return Number(Fraction(term.num or 0), i + 1, "fraction")
    if term.cls & DENOM:
        if term.den in (HALF, QUARTER) and term.text != "fourth":
            return Number(term.den, i + 1, "fraction")  # type: ignore[arg-type]
        if _before_measure(w, i + 1) and (i == 0 or not w[i - 1].cls & (THE | CARDINAL)):
            return Number(term.den, i + 1, "fraction")  # type: ignore[arg-type]
        return None
    if term.cls & ARTICLE:
        after = w[i + 1]
        if after.cls & DENOM and not after.plural:
            if after.den in (HALF, QUARTER) and after.text != "fourth":
                return Number(after.den, i + 2, "fraction")  # type: ignore[arg-type]
            if _before_measure(w, i + 2) or w[i + 2].cls & OF or not w[i + 2].text.isalpha():
                return Number(after.den, i + 2, "fraction")  # type: ignore[arg-type]
        return None
    got = small(w, i)
    if got is None:
        if not (term.cls & LITERAL and isinstance(term.num, int)):
            return None
        got = term.num, i + 1
    top, j = got
    after = w[j]
    if after.cls & DENOM and 0 < top < 100:
        if after.plural or top == 1 or after.text == "quarter":
            return Number(top * after.den, j + 1, "fraction")  # type: ignore[operator]
        if _before_measure(w, j + 1) and top < 1 / after.den:  # type: ignore[operator]
            return Number(top * after.den, j + 1, "fraction")  # type: ignore[operator]
        return None
    if after.cls & OVER and 0 < top < 16:
        bottom = small(w, j + 1)
        if bottom is not None and bottom[0] in (2, 3, 4, 5, 6, 8, 10, 16) and bottom[0] > top:
            return Number(Fraction(top, bottom[0]), bottom[1], "fraction")
    return None


QUARTER = Fraction(1, 4)


def _before_measure(w: list[Term], i: int) -> bool:
    """Does a unit stand here, or "of a unit"?"""
    if w[i].cls & UNIT:
        return True
    if w[i].cls & OF:
        i += 1
        if w[i].cls & (ARTICLE | THE):
            i += 1
        return bool(w[i].cls & UNIT)
    return False


def tail(w: list[Term], i: int) -> Number | None:
    """tail = AND fraction   (behind a whole number or behind its unit: "two and a half", "ounce and three quarters")"""
    if not w[i].cls & AND:
        return None
    got = fraction(w, i + 1)
    return got if got is not None and 0 < got.value < 1 else None


def number(w: list[Term], i: int) -> Number | None:
    """number = collective | decimal | mixed | fraction | digit-group | cardinal"""
    cls = w[i].cls
    if cls & ARTICLE:
        after = w[i + 1]
        if after.cls & GROUP:
            return _collective(w, i + 1, 1)
        if after.cls & DENOM:
            got = fraction(w, i)
            return None if got is None else _of_dozen(w, got)
        if not after.cls & (HUNDRED | SCALE):
            return None
    elif cls & GROUP:
        return _collective(w, i, 1)
    elif cls & DENOM or cls & FRACTION:
        got = fraction(w, i)
        return None if got is None else _of_dozen(w, got)
    elif cls & POINT:
        return decimal(w, i)
    elif not cls & CARDINAL:
        return None
    whole = cardinal(w, i)
    if whole is None:
        return None
    value, j = whole
    after = w[j]
    acls = after.cls
    if acls & POINT:
        got = decimal(w, i)
        if got is not None:
            return _scaled(w, got)
    if acls & DENOM or acls & OVER:
        got = fraction(w, i)
        if got is not None:
            return _of_dozen(w, got)
        if acls & DENOM and after.den != HALF:
            return None  # "twenty fifth": an ordinal
    if acls & OTHER_ORDINAL:
        return None
    if acls & AND and not isinstance(value, Fraction):
        got = tail(w, j)
        if got is not None:
            return _scaled(w, Number(value + got.value, got.next, "mixed"))
    if acls & FRACTION and isinstance(value, int) and after.num is not None and after.num < 1:
        return Number(value + Fraction(after.num), j + 1, "mixed")
    if acls & GROUP and after.num == 12:
        return Number(Fraction(value * 12), j + 1, "collective")
    if cls & DIGIT and value and j == i + 1:
        got = digit_group(w, i)
        if got is not None:
            return got
    form = "written" if cls & LITERAL else "cardinal"
    return Number(Fraction(value), j, form)


def digit_group(w: list[Term], i: int) -> Number | None:
    """digit-group = DIGIT (TENS [DIGIT] | TEEN | "oh" DIGIT)   ("two fifty", "one twenty five", "one oh five")"""
    first, after = w[i], w[i + 1]
    if after.cls & (TENS | TEEN):
        got = small(w, i + 1)
        if got is not None and not w[got[1]].cls & (DENOM | HUNDRED | SCALE):
            return Number(Fraction(first.num * 100 + got[0]), got[1], "digits")  # type: ignore[operator]
    if after.text in ("oh", "zero") and w[i + 2].cls & DIGIT and w[i + 2].num:
        return Number(Fraction(first.num * 100 + w[i + 2].num), i + 3, "digits")  # type: ignore[operator]
    return None


def _collective(w: list[Term], i: int, times: int) -> Number | None:
    """collective = [ARTICLE] (couple | pair | dozen)"""
    value = w[i].num
    return None if value is None else Number(Fraction(value * times), i + 1, "collective")


def _of_dozen(w: list[Term], got: Number) -> Number:
    """ "half a dozen", "half a million", "a quarter million", "half of a quarter"."""
    j = got.next
    k = j + 1 if w[j].cls & ARTICLE else j
    after = w[k]
    if after.cls & GROUP and after.num == 12:
        return Number(got.value * 12, k + 1, "collective")
    if after.cls & (SCALE | HUNDRED):
        return Number(got.value * after.num, k + 1, "cardinal")  # type: ignore[operator]
    return got


def _scaled(w: list[Term], got: Number) -> Number:
    """scaled = (mixed | decimal) SCALE   ("two and a half million", "two point one million")"""
    if w[got.next].cls & (SCALE | HUNDRED):
        return Number(got.value * w[got.next].num, got.next + 1, "cardinal")  # type: ignore[operator]
    if w[got.next].cls & GROUP and w[got.next].num == 12:
        return Number(got.value * 12, got.next + 1, "collective")
    return got


def read_number(spoken: str, *, known: Vocabulary | None = None) -> Fraction | tuple[Fraction, Fraction] | None:
    """The one number that the whole phrase says; (low, high) for a range; None where it is no number."""
    tokens: Tokens = tokenize(spoken, known or vocabulary())
    w = tokens.terms
    size = len(w) - 6
    sign = -1 if w[0].cls & NEGATIVE else 1
    got = number(w, 1 if sign < 0 else 0)
    if got is None or got.next != size:
        return None
    return sign * got.value
