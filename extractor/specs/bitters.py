"""By the dash or drop a "bitter" is bitters, and "orange" those of the orange, where bitters are talked of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.talk import Mention
from extractor.specs.links import Linked

BY_EYE = ("dash", "drop")
NEAR = 90
"""How near, in characters, bitters must be named for "one dash orange" to be of them."""


def as_bitters(linked: Sequence[Linked], lexicon: Lexicon) -> None:
    """Names the bitters that were meant: "three drops bitter"; "bitters, one dash aromatic, three dashes orange"."""
    for one in linked:
        if not one.groups or not all(g.value.unit in BY_EYE for g in one.groups):
            continue
        name = plain(one.mention.name)
        if name == "bitter":
            one.mention = _named("bitters", one.mention, lexicon)
        elif name.split()[-1] != "bitters" and _is_food(one.mention) and _talked_of(one.mention, linked):
            one.mention = _named(f"{name.removesuffix(' peel')} bitters", one.mention, lexicon)


def _named(name: str, mention: Mention, lexicon: Lexicon) -> Mention:
    entry = lexicon.named(name)
    return mention if entry is None else replace(mention, name=entry.name, entry=entry, how="other name", apply=True)


def _talked_of(mention: Mention, linked: Sequence[Linked]) -> bool:
    return any(
        plain(x.mention.heard).split()[-1] in ("bitters", "bitter") and x.mention is not mention
        and abs(x.mention.start - mention.start) < NEAR for x in linked
    )  # fmt: skip


def _is_food(mention: Mention) -> bool:
    return mention.entry is not None and not mention.entry.everyday
