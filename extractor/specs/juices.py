"""A fruit that is measured like a liquid is its juice: "three quarters of lemon", "an ounce of lime"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.specs.links import Linked

POURED = ("fl_oz", "ml", "cl", "part", "bar_spoon")
FEWEST = 5
"""So large a bare number counts no fruit: "twenty of lime" are millilitres."""


def as_juice(linked: Sequence[Linked], lexicon: Lexicon) -> None:
    """Names the juice where a fruit of [juiced] in lexicon/talk/names.txt was given an amount that is poured."""
    juiced = frozenset(lexicon.phrases["names"]["juiced"])
    for one in linked:
        name = plain(one.mention.name)
        if name not in juiced or not one.groups or not all(_poured(g.value) for g in one.groups):
            continue
        juice = lexicon.named(f"{name} juice")
        if juice is not None:
            one.mention = replace(one.mention, name=juice.name, entry=juice, how="other name")


def _poured(m: Measure) -> bool:
    if m.thing is not None:
        return False
    if m.unit is not None:
        return m.unit in POURED
    if m.kind != "number" or m.low is None:
        return False
    return m.low >= FEWEST or m.low.denominator > 1
