"""Ratios, equal parts, and amounts told by another amount.

ratio    = number (TO | COLON) number ... [by (weight | volume)] | fifty fifty | half AND half
equal    = (equal | even) (parts | measures | amounts) [by (weight | volume)] [COMMA] [amount]
relation = [the] same (again | amount | of) | (double | twice | half) (that | it) | [(twice | half)] as much | ditto
"""

from __future__ import annotations

from extractor.measures.amounts import amount
from extractor.measures.numbers import HALF, Number
from extractor.measures.phrase import NOTHING, ONE, By, Phrase, Reading, plain
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    CELSIUS,
    COLON,
    COMMA,
    DEGREE,
    FAHRENHEIT,
    HYPHEN,
    MARK,
    MASS,
    NOT_NOUN,
    NUMERIC,
    OF,
    PEOPLE,
    PERCENT,
    PROOF,
    SECONDS,
    TENS,
    THE,
    TO,
    UNIT,
)


def ratio(p: Phrase, got: Number, i: int) -> Reading | None:
    """ratio = number (TO | COLON) number ... [BY (weight | volume)], no unit behind it | fifty fifty | half AND half"""
    w = p.w
    j = got.next
    cls = w[j].cls
    if cls & AND:
        if w[j + 1].text == "half" and w[j - 1].text == "half" and got.value == HALF:
            return half_and_half(p, i, j + 2)
        return None
    if not cls & (TO | COLON | HYPHEN | TENS) or got.form == "digits" or got.value > 100:
        return None
    if got.value == 50:
        k = j + 1 if cls & (HYPHEN | TO) else j
        other = p.number(k)
        if other is not None and other.value == 50 and p.unit(other.next) is None:
            return Reading(i, other.next, "ratio", parts=(ONE, ONE), rule="ratio")
    values = [got.value]
    while w[j].cls & (TO | COLON) and len(values) < 8:
        more = p.number(j + 1)
        if more is None:
            break
        values.append(more.value)
        j = more.next
    if len(values) < 2:
        return None
    by = by_what(p, j)
    if by is not None:
        j += 2
    if p.unit(j) is not None or w[j].cls & (SECONDS | DEGREE | PERCENT | FAHRENHEIT | CELSIUS | PROOF | MARK & HYPHEN):
        return None
    if w[j].cls & OF and p.unit(j + 1 + bool(w[j + 1].cls & ARTICLE)) is not None:
        return None
    sure = by is not None or len(values) > 2 or w[j].text in ("ratio", "ratios")
    sure = sure or (i > 0 and w[i - 1].text == "ratio") or (i > 1 and w[i - 2].text == "ratio")
    if not sure and (values[0] < values[1] or values[1] > 3 or values[0] > 20):
        return None
    if w[j].text in ("ratio", "ratios"):
        j += 1
        if by_what(p, j):
            by, j = by_what(p, j), j + 2
    return Reading(i, j, "ratio", parts=tuple(values), by=by, rule="ratio")


def by_what(p: Phrase, j: int) -> By | None:
    """by = "by" ("weight" | "volume")"""
    if p.w[j].text != "by":
        return None
    text = p.w[j + 1].text
    return "weight" if text == "weight" else "volume" if text == "volume" else None


def half_and_half(p: Phrase, i: int, end: int) -> Reading | None:
    """half-and-half = the ratio, unless an amount or an article stands before it, or hyphens make it the dairy"""
    w = p.w
    before = w[i - 1] if i else None
    dairy = p.t.joined[end - 1] or w[end].text in ("cream", "creamer", "dairy")
    if before is not None and (before.cls & (OF | THE | UNIT | NUMERIC | ARTICLE) or before.text in ("some", "with")):
        dairy = True
    if w[i].cls & ARTICLE:
        dairy = w[end].text not in ("ratio", "mix", "split", "blend")
    heads = before is None or bool(before.cls & MARK)
    if heads and w[end].cls & COMMA and w[end + 1].cls & (NUMERIC | ARTICLE):
        dairy = True  # "Amaretto, an ounce. Half and half, an ounce."
    if dairy:
        return Reading(i, end, "number", rule=NOTHING)
    return Reading(i, end, "ratio", parts=(ONE, ONE), rule="ratio")


_EQUAL = ("parts", "part", "measures", "amounts", "proportions", "weights", "weight", "volumes", "quantities")
_BY: dict[str, By] = {"weight": "weight", "weights": "weight", "volume": "volume", "volumes": "volume"}


def _same_of_two(p: Phrase, i: int) -> Reading | None:
    """same-of-two = [the] same (weight | amount | volume ...) OF name{1,3} AND name: "the same weight of sugar and
    water"
    """
    w = p.w
    j = i + 1 if w[i].cls & THE else i
    if w[j].text != "same" or w[j + 1].text not in ("weight", "amount", "volume", "quantity") or not w[j + 2].cls & OF:
        return None
    k = j + 3
    while k - j < 6 and plain(w[k]):
        k += 1
    if k == j + 3 or not w[k].cls & AND or not plain(w[k + 1]):
        return None
    return Reading(i, j + 2, "equal", by=_BY.get(w[j + 1].text), rule="equal")


def equal_parts(p: Phrase, i: int) -> Reading | None:
    """equal = (equal | even) (parts | measures | amounts | weights) [by weight] [COMMA] [amount] | same-of-two"""
    w = p.w
    if w[i].text not in ("equal", "even") or w[i + 1].text not in _EQUAL:
        return _same_of_two(p, i)
    out = Reading(i, i + 2, "equal", by=_BY.get(w[i + 1].text), rule="equal")
    j = i + 2
    by = by_what(p, j)
    if by is not None:
        out.by, out.next, j = by, j + 2, j + 2
    if w[j].cls & (COMMA | COLON):
        j += 1
    if w[j].text in ("so", "at"):
        j += 1
    more = amount(p, j) if w[j].cls & (NUMERIC | ARTICLE | UNIT) else None
    if more is not None and more.kind == "amount" and more.low is not None and (more.each or w[more.next].cls & MARK):
        out.low, out.high, out.unit, out.each, out.next = more.low, more.high, more.unit, True, more.next
        out.lean, out.approximate = more.lean, more.approximate
    return out


def _behind_name(p: Phrase, i: int) -> bool:
    """ "... and of lemon juice the same": "of" and at most three words of a name stand right before."""
    w = p.w
    n = i - 1
    if n >= 0 and w[n].cls & COMMA:
        n -= 1
    for k in range(n, max(-1, n - 4), -1):
        if w[k].cls & OF:
            return k < n and (k == 0 or bool(w[k - 1].cls & (AND | MARK)))
        if not plain(w[k]):
            return False
    return False


_IS = ("is", "are", "at", "also", "exactly")
_AS_HALF = ("half", "twice", "double", "times")


def _said_of_name(p: Phrase, i: int) -> bool:
    """ "The sake is the same.", "lemon juice, the same,": said right behind a name, which begins a clause."""
    w = p.w
    n = i - 1
    if n < 1 or not (w[n].cls & COMMA or w[n].text in ("is", "are")):
        return False
    verb = not w[n].cls & COMMA
    for k in range(n - 1, max(-1, n - 5), -1):
        if w[k].cls & (MARK | AND):
            return k < n - 1
        if w[k].cls & THE:
            return verb and k < n - 1 and (k == 0 or bool(w[k - 1].cls & (MARK | AND)))
        if not plain(w[k]):
            return False
    return False


def _lists(p: Phrase, i: int) -> bool:
    """Does a new thing of a list begin here: behind a comma, a full stop, an "and" or "just"?"""
    return i == 0 or bool(p.w[i - 1].cls & (AND | MARK)) or p.w[i - 1].text in ("just", "then", "exactly")


def related(p: Phrase, i: int) -> Reading | None:
    """relation = [the] same (again | amount [of] | of) | (double | twice | half) (that | it) | as much again | ditto"""
    w = p.w
    j = i + 1 if w[i].cls & THE else i
    text, after = w[j].text, w[j + 1].text
    weak = j > 0 and any(w[n].text in p.v.near["weak"] for n in range(max(0, i - 2), i))
    if text == "ditto":
        return Reading(i, j + 1, "relation", relation="same", rule="relation")
    if text == "same":
        if after in ("again", "amount", "amounts", "measure", "quantity"):
            return Reading(i, j + 2, "relation", relation="same", rule="relation")
        heads = j > i or j == 0 or after == "of"
        if (
            after in ("of", "for", "with")
            and heads
            and w[j + 2].text not in ("the", "you", "me", "us", "them", "it", "this", "that")
        ):
            return Reading(i, j + 1, "relation", relation="same", rule="relation")
        if j > i and w[j + 1].cls & (MARK | AND) and (_behind_name(p, i) or _said_of_name(p, i)):
            return Reading(i, j + 1, "relation", relation="same", rule="relation")
        return None
    if w[i].cls & ANOTHER and after == "of" and _lists(p, i) and plain(w[i + 2]):
        # "An ounce of lime and another of yellow chartreuse"; not "another of my favourites", "another of those".
        named = w[i + 2]
        counted = named.cls & (NOT_NOUN | PEOPLE) or (named.text.endswith("s") and not named.cls & MASS)
        return None if counted else Reading(i, i + 1, "relation", relation="same", rule="relation")
    if text == "as" and after == "much" and (plain(w[j + 2]) or w[j + 2].cls & OF) and w[j - 1].text not in _AS_HALF:
        # "Gin, thirty mil. As much sake.": not "as much as you like", not "half as much".
        return Reading(i, j + 2, "relation", relation="same", rule="relation") if _lists(p, i) else None
    if text in ("double", "twice", "half"):
        if (after in ("that", "it") and text != "half") or after == "that":
            return (
                None
                if weak
                else Reading(i, j + 2, "relation", relation="half" if text == "half" else "double", rule="relation")
            )
        if text == "half" and after == "of" and w[j + 2].text == "that" and i > 0 and w[i - 1].text in _IS:
            return Reading(i, j + 3, "relation", relation="half", rule="relation")  # "the yuzu is half of that"
        if after == "as" and w[j + 2].text == "much":
            return Reading(i, j + 3, "relation", relation="half" if text == "half" else "double", rule="relation")
        if after == "the" and w[j + 2].text == "amount":
            return (
                None
                if weak
                else Reading(i, j + 3, "relation", relation="half" if text == "half" else "double", rule="relation")
            )
    if text == "equal" and after in ("amount", "measure"):
        return Reading(i, j + 2, "relation", relation="same", rule="relation")
    return None
