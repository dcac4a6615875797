"""Bare numbers that are shares of a home-made thing: "honey water is honey two, hot water one"."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from extractor.lexicon import Lexicon
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.made_names import word_list
from extractor.specs.stretches import BASES

MOST = 10
"""No recipe counts more parts of one thing."""
APART = 40
"""How far apart the two things may stand."""
TOLD_BEFORE = 90
"""How far before the first number the name of the thing, or its ratio, may stand."""

# "One" before a thing is mostly an article; as a share it is the number.
_ONE_BEFORE = re.compile(r"(?<![\w'])one(?: of)? $")
_ONE_BEHIND = re.compile(r",? one(?![\w'])")


def in_shares(
    measures: Sequence[Measure], mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon,
    makeable: Callable[[Mention], bool],
) -> list[Measure]:  # fmt: skip
    """The measures, with the bare numbers of two bases told side by side as parts.

    Only right behind the thing that is made of them, or behind its ratio: "The syrup? It's two to one. Two demerara
    sugar, one water." A drink's own list ("two rum, one water") is left alone.
    """
    shares: dict[int, Measure] = {}
    for x, y in pairwise(mentions):
        if y.start - x.end > APART or not (_is_base(x, lexicon) and _is_base(y, lexicon)):
            continue
        for number in (_before, _behind):
            a, b = number(x, measures, reader), number(y, measures, reader)
            if a is None or b is None or a.start == b.start or max(a.start, x.start) > min(b.start, y.start):
                continue
            if _told_right_before(min(a.start, x.start), measures, mentions, reader, lexicon, makeable):
                shares |= {a.start: a, b.start: b}
                break
    kept = [m for m in measures if m.start not in shares]
    told = [replace(m, kind="amount", unit="part") for m in shares.values()]
    return sorted([*kept, *told], key=lambda m: m.start)


def _before(thing: Mention, measures: Sequence[Measure], reader: TalkReader) -> Measure | None:
    """The two of "two sugar, one water"."""
    bare = (m for m in measures if _is_bare(m) and 0 < thing.start - m.end <= len(" of "))
    one = _ONE_BEFORE.search(reader.lower[max(0, thing.start - 8) : thing.start])
    return next(bare, None) or (_one(max(0, thing.start - 8) + one.start(), reader) if one is not None else None)


def _behind(thing: Mention, measures: Sequence[Measure], reader: TalkReader) -> Measure | None:
    """The two of "honey two, hot water one"."""
    bare = (m for m in measures if _is_bare(m) and 0 < m.start - thing.end <= len(", "))
    one = _ONE_BEHIND.match(reader.lower, thing.end)
    return next(bare, None) or (_one(one.end() - len("one"), reader) if one is not None else None)


def _one(start: int, reader: TalkReader) -> Measure:
    one = Fraction(1)
    return Measure(start, start + len("one"), "number", one, one, None, reader.talk.text[start : start + len("one")])


def _is_bare(m: Measure) -> bool:
    return m.kind == "number" and m.unit is None and m.low is not None and m.low <= MOST


def _is_base(m: Mention, lexicon: Lexicon) -> bool:
    return lexicon.is_any(m.entry, BASES)


def _told_right_before(
    first: int, measures: Sequence[Measure], mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon,
    makeable: Callable[[Mention], bool],
) -> bool:  # fmt: skip
    leads = word_list(lexicon, "leads to parts")
    if any(m.kind == "ratio" and 0 <= first - m.end < len(", so ") for m in measures):
        return True
    near = [n for n in mentions if n.end <= first and first - n.end < TOLD_BEFORE]
    return bool(near) and makeable(near[-1]) and set(reader.gap(near[-1].end, first).words) <= leads
