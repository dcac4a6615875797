"""A fruit that is measured like a liquid is its juice: "three quarters of lemon", "an ounce of lime"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Group, Linked

POURED = ("fl_oz", "ml", "cl", "part", "bar_spoon")
_SQUEEZED = tuple(("squeezed", w) for w in ("in", "into", "on", "over", "onto"))
FEWEST = 5
"""So large a bare number counts no fruit: "twenty of lime" are millilitres."""


MAIN = ("fl_oz", "cl", "ml", "g", "part")
BY_FEW = ("fl_oz", "cl", "part")
"""Units of which one or two are poured: behind such, "lime, two" is juice."""
BY_THE_JUG = ("cup", "pint", "l")
CITRUS = ("lemon", "lime", "orange", "grapefruit", "mandarin", "yuzu")
"""By the cup these are squeezed: "a cup and a half of lemon"."""
_THE_JUICE = re.compile(r"(?:\b(?:the|some) |[,.;:] |^)juice,? (?:of |from )?(?:about )?$")


def as_juice(linked: Sequence[Linked], reader: TalkReader, lexicon: Lexicon, usual_unit: str | None = None) -> None:
    """Names the juice where a fruit of [juiced] in lexicon/talk/names.txt was given an amount that is poured."""
    for one in linked:
        pressed = [g for g in one.groups if _THE_JUICE.search(reader.lower, max(0, g.start - 24), g.start)]
        pressed += [g for g in one.groups if g.value.rule == "part-of-number" and g.value.thing_part == "juice"]
        if pressed and len(pressed) == len(one.groups):
            # "Limes, the juice, four limes", "lemon, the juice of half"
            one.mention = juice_of(one.mention, lexicon)
            for g in pressed:
                if g.value.unit is None and g.value.low is not None:
                    g.value = replace(g.value, unit="piece", kind="amount")
            continue
        if len(one.groups) == 1 and _listed_barely(one, linked, reader, usual_unit):
            one.mention = juice_of(one.mention, lexicon)
            continue
        if len(one.groups) == 1 and _counted_barely(one, linked, reader):
            one.mention = juice_of(one.mention, lexicon)
            value = one.groups[0].value
            one.groups[0].value = replace(value, thing=None, unit=None, kind="number")
            continue
        if one.groups and (reader.after(one.mention.end, 2) in _SQUEEZED or squeezed_in(reader, one.groups[0].value)):
            one.mention = juice_of(one.mention, lexicon)
            for g in one.groups:
                if g.value.unit is None and g.value.low is not None:
                    g.value = replace(g.value, unit="piece", kind="amount")  # half a lime's juice
        elif one.groups and all(
            g.value.kind == "relation"
            or _poured(g.value)
            or _of_fruit(g.value, one.mention)
            or (g.value.unit in BY_THE_JUG and plain(one.mention.name) in CITRUS)
            for g in one.groups
        ):
            one.mention = juice_of(one.mention, lexicon)


_SQUEEZE = re.compile(r"\bsqueeze(?:d|s)? (?:you |me |yourself )?(?P<in>in |into (?:it |that |there )|over (?:it )?)?$")
_IN = re.compile(r"[\w ]{0,20}? (?:in|into|over)\b")


def squeezed_in(reader: TalkReader, value: Measure) -> bool:
    """ "Squeeze in half a lemon", "squeeze half a lime into the tin": the juice of so many whole fruits."""
    if value.low is None or value.unit not in (None, "piece") or value.kind not in ("number", "amount"):
        return False
    lead = _SQUEEZE.search(reader.lower, max(0, value.start - 40), value.start)
    if lead is None:
        return False
    return lead["in"] is not None or _IN.match(reader.lower, value.end) is not None


def bare_juice(mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> list[Mention]:
    """ "The lemon, it is two and a half centilitres of juice": the juice of the fruit named before in the sentence."""
    out: list[Mention] = []
    for m in mentions:
        start, _ = reader.sentence(m.start)
        fruit = next((x for x in reversed(out) if max(start, m.start - FRUIT_BEFORE) <= x.start), None)
        if plain(m.heard) == "juice" and m.how == "unknown" and fruit is not None:
            entry = lexicon.named(f"{plain(fruit.name)} juice")
            out.append(m if entry is None else replace(m, name=entry.name, entry=entry, how="other name", apply=True))
        else:
            out.append(m)
    return out


FRUIT_BEFORE = 70
_STANDS_AT = frozenset(("comes", "goes", "in", "at", "sits", "stays"))
"""Between a fruit and its number: "lime comes in at one"."""


def _listed_barely(one: Linked, linked: Sequence[Linked], reader: TalkReader, usual_unit: str | None) -> bool:
    """ "Gin, four centilitres. Lime, two.": a bare number right behind a fruit, in a list by a unit of which one or two
    are poured. Not "limes, two"."""
    value, m = one.groups[0].value, one.mention
    if value.kind != "number" or value.unit is not None or value.thing is not None or value.low is None:
        return False
    if plain(m.heard).endswith("s") or value.start < m.end:
        return False
    if not set(reader.gap(m.end, value.start).words) <= _STANDS_AT:
        return False
    listed = [g.value for x in linked for g in x.groups if g.value is not value]
    before = [v.unit for v in listed if v.unit in MAIN and v.end <= m.start]
    unit = before[-1] if before else usual_unit
    if unit is None:
        # A list without any unit: "gin two, lime one, syrup three quarters".
        bare = [v for v in listed if v.kind == "number" and v.unit is None and v.low is not None and v.low < FEWEST]
        return len(bare) > 1 and not any(v.unit in MAIN for v in listed)
    return unit in BY_FEW


LISTED_WITHIN = 40


def _counted_barely(one: Linked, linked: Sequence[Linked], reader: TalkReader) -> bool:
    """ "Two gin, one lemon, one honey syrup.": a fruit between bare numbers of what is poured, each before its name.

    Also "two of gin, one of lemon", with or without full stops. Not "two limes"; nor where amounts have units in which
    one or two are seldom poured.
    """
    value, m = one.groups[0].value, one.mention
    if value.unit is not None or value.low is None or value.low.denominator > 1 or value.low >= FEWEST:
        return False
    inside = value.thing is not None and value.thing[0] <= m.start < value.thing[1]
    of = _names(value, m, reader) and m.start - value.end > 1
    if not inside and (value.thing is not None or value.kind != "number" or not _names(value, m, reader)):
        return False
    if plain(m.heard).endswith("s") or value.said.lower().startswith("a"):
        return False
    start, end = reader.sentence(m.start)
    told = [(x.mention, g.value) for x in linked for g in x.groups if g.value is not value]
    main = [v.unit for _, v in told if v.unit in MAIN]
    beside = [
        v for x, v in told
        if v.kind == "number" and v.unit is None and v.thing is None and v.low is not None and v.low < FEWEST
        and start <= v.start < end and abs(v.start - value.start) <= LISTED_WITHIN and _names(v, x, reader)
    ]  # fmt: skip
    return bool(beside) and (of or reader.talk.punctuated) and all(u in BY_FEW for u in main)


def _names(value: Measure, mention: Mention, reader: TalkReader) -> bool:
    """A name right behind its number, or behind "of": "one lemon", "one of lemon"."""
    behind = mention.start - value.end
    return behind == 1 or (behind > 1 and reader.gap(value.end, mention.start).words == ("of",))


def poured_juice(mention: Mention, measure: Measure, lexicon: Lexicon) -> Mention:
    """The juice of a fruit, where the measure is one that is poured."""
    return juice_of(mention, lexicon) if _poured(measure) else mention


def juice_of(mention: Mention, lexicon: Lexicon) -> Mention:
    """The juice of a fruit that is measured like a liquid; anything else as it is."""
    name = plain(mention.name).removeprefix("whole ")
    juice = lexicon.named(f"{name} juice") if name in lexicon.phrases["names"]["juiced"] else None
    return mention if juice is None else replace(mention, name=juice.name, entry=juice, how="other name")


def with_juice(linked: Sequence[Linked], reader: TalkReader, lexicon: Lexicon) -> list[Linked]:
    """ "The juice and zest of half an orange": the juice too, of as many."""
    out = list(linked)
    for one in linked:
        for g in one.groups:
            m = g.value
            other = _AND_PART.search(reader.lower, max(0, m.start - 24), m.start)
            if m.rule != "part-of-thing" or m.thing is None or other is None or other[1] == m.thing_part:
                continue
            fruit = plain(reader.lower[m.thing[0] : m.thing[1]])
            entry = next((e for f in (fruit, fruit.removesuffix("s")) if (e := lexicon.named(f"{f} {other[1]}"))), None)
            if entry is None:
                continue
            a, b = other.span(1)
            mention = replace(one.mention, start=a, end=b, name=entry.name, entry=entry, core=(a, b))
            out.append(Linked(mention, [Group(g.measures, replace(m, thing_part=other[1]))]))
    return sorted(out, key=lambda x: x.mention.start)


_AND_PART = re.compile(r"\b(juice|zest|peel)(?: and|,)(?: the)? $")


def _of_fruit(m: Measure, mention: Mention) -> bool:
    """ "Eight ounces of gin, four of lime": several of one fruit."""
    several = m.kind == "number" and m.unit is None and m.thing is None and m.low is not None and m.low > 1
    return several and mention.start - m.end == len(" of ") and not plain(mention.heard).endswith("s")


def _poured(m: Measure) -> bool:
    if m.thing is not None:
        return False
    if m.unit is not None:
        return m.unit in POURED
    if m.kind != "number" or m.low is None:
        return False
    return m.low >= FEWEST or m.low.denominator > 1
