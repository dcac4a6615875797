"""Things that are counted: "one egg white", "the juice of half a lime", "six mint leaves".

thing         = {size} one of things.txt | name{1,2} one of things.txt in the plural
counted       = {lean} (number [range] | ARTICLE) [OF [ARTICLE | THE]] thing [counter]
part-of-thing = [THE] (juice | zest | peel ...) (OF | from) (counted | number {size} [one | them])
named-counter = (number [range] | ARTICLE | FEW) name{1,3} counter
"""

from __future__ import annotations

from fractions import Fraction

from extractor.measures.phrase import COUNTERS, ONE, Phrase, Reading, Relation, join, plain
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    FUNCTION,
    HYPHEN,
    MANY,
    MARK,
    NOT_NOUN,
    OF,
    OR,
    PART,
    SIZE,
    THE,
    TO,
    walk,
)


def find_thing(p: Phrase, j: int) -> tuple[int, int, int] | None:
    """thing = {size} one of things.txt, or up to two names before one in the plural: (first, next, ONE | MANY |
    BOTH)
    """
    w = p.w
    start = j
    while w[j].cls & SIZE and j - start < 3:
        got = walk(p.v.things, w, j)
        if got is not None:
            break
        j += 1
    for k in range(j, j + 3):
        got = walk(p.v.things, w, k)
        if got is not None:
            plural, end = got
            after = w[end]
            if k > j and not plural:
                return None
            if not plural and plain(after) and after.text not in p.v.after_things:
                return None  # "four pineapple juice": the fruit is only part of a name
            if plural == MANY and plain(after) and after.text in p.v.near["juice"]:
                return None
            return j, end, plural
        if not plain(w[k]) or w[k].cls & NOT_NOUN:
            return None
    return None


def counted_things(p: Phrase, i: int, *, loose: bool = False) -> Reading | None:
    """counted = {lean} (number [range] | ARTICLE) [OF [ARTICLE | THE]] thing [counter]

    A part without an article ("half lime") counts a thing only where `loose`: behind "the juice of".
    """
    w = p.w
    first = i
    i, said, about = p.leans(i, p.v.leans_before)
    relation: Relation | None = None
    if w[i].cls & ANOTHER:
        relation, i = "another", i + 1
    got = p.number(i)
    if got is not None:
        low, high, j = got.value, got.value, got.next
        if got.form == "digits" or low > 200:
            return None
        if w[j].cls & (TO | OR | HYPHEN):
            k = j + 1 if w[j + 1].text not in ("maybe", "even") else j + 2
            more = p.number(k)
            if more is not None and more.value > low:
                high, j = more.value, more.next
        part = got.form == "fraction"
    elif w[i].cls & ARTICLE or relation:
        low = high = ONE
        j, part = (i + 1 if w[i].cls & ARTICLE else i), False
        got = None
    else:
        return None
    if w[j].cls & OF and (part or (got is not None and got.form == "collective")):
        j += 1
        if not w[j].cls & (ARTICLE | THE) and part and not loose and not (find_thing(p, j) or (0, 0, 0))[2]:
            return None  # "half of lime": the juice, in the unit of the talk
    end = j
    if w[j].cls & ARTICLE or (w[j].cls & THE and part):
        j += 1
        end = j
    thing = find_thing(p, j)
    if thing is None:
        return None
    if got is None and thing[2] == MANY:
        return None
    if got is not None and not thing[2] and high > 1 and got.form not in ("fraction", "mixed"):
        return None
    partial = (part or (got is not None and low.denominator > 1)) and not thing[2] and not loose
    if (
        partial
        and not w[end - 1].cls & (ARTICLE | THE)
        and p.unit(thing[1]) is None
        and not (w[thing[1]].text in p.v.after_things or w[j].cls & SIZE)
    ):
        return None  # "half lime, three quarters lemon": the juice, in the unit of the talk
    lean = join(said)
    unit = p.unit(thing[1])
    counter = unit is not None and unit[0] in COUNTERS and w[thing[1]].text not in ("stick", "sticks", "pod", "pods")
    if unit is not None and counter and (unit[1] or high <= 1):
        return Reading(
            first, unit[2], "amount", low, high, unit[0], about, lean, relation, thing=thing[:2], rule="counted"
        )
    return Reading(first, end, "number", low, high, None, about, lean, relation, thing=thing[:2], rule="thing")


def part_of_thing(p: Phrase, i: int) -> Reading | None:
    """part-of-thing = [THE] (juice | zest | peel ...) OF counted | counted 's (juice | zest)"""
    w = p.w
    j = i + 1 if w[i].cls & (THE | ARTICLE) else i
    if not w[j].cls & PART or not (w[j + 1].cls & OF or w[j + 1].text == "from"):
        return None
    got = counted_things(p, j + 2, loose=True)
    if got is None:
        return part_of_number(p, i, j)
    if got.thing is None:
        return None
    return Reading(
        i, got.thing[1], "amount", got.low, got.high, "piece", got.approximate, got.lean,
        thing=got.thing, thing_part=w[j].text,
        rule="part-of-thing",
    )  # fmt: skip


def part_of_number(p: Phrase, i: int, j: int) -> Reading | None:
    """part-of-number = [THE] (juice | zest | peel ...) OF number {size} [one | ones | [of] them], where what is said
    ends: "limes, the juice of four", "the juice of one whole one"
    """
    w = p.w
    got = p.number(j + 2)
    if got is None or got.form == "digits" or not 0 < got.value <= 40:
        return None
    k = got.next
    while w[k].cls & (SIZE | ARTICLE | OF) and k - got.next < 3:
        k += 1
    if w[k].text in ("one", "ones", "them", "those"):
        k += 1
    if not w[k].cls & (MARK | AND | FUNCTION):
        return None
    return Reading(
        i, k, "amount", got.value, got.value, "piece", thing_part=w[j].text, rule="part-of-number",
    )  # fmt: skip


def named_counter(p: Phrase, i: int, j: int, low: Fraction | None, high: Fraction | None) -> Reading | None:
    """named-counter = (number [range] | ARTICLE | FEW) name{1,3} counter   ("six mint leaves", "a rosemary sprig")"""
    w = p.w
    k = j
    while k - j < 3 and plain(w[k]) and not (w[k].cls & NOT_NOUN and not w[k].cls & PART):
        k += 1
        unit = p.unit(k)
        if unit is None or unit[0] not in COUNTERS:
            continue
        if not unit[1] and (high is None or high > 1):
            return None
        if w[unit[2]].cls & NOT_NOUN or (
            plain(w[unit[2]]) and unit[2] - k == 1 and not unit[1] and w[k].text in ("stick", "leaf", "peel", "slice")
        ):
            return None
        return Reading(i, unit[2], "amount", low, high, unit[0], thing=(j, k), rule="named-counter")
    return None
