"""By the dash or drop a "bitter" is bitters, and "orange" those of the orange, where bitters are talked of."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.bare_kinds import kind_of
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Linked

BY_EYE = ("dash", "drop")
NEAR = 90
"""How near, in characters, bitters must be named for "one dash orange" to be of them."""
NEXT = 24
"""How near the bitters stand of which "and one of aromatic" goes on."""

_BARE = re.compile(r" (?:of )?(?:the )?(?P<word>[a-z]{4,})(?=[,.;:!?]| and | then |$)")


def bare_bitters(
    mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader, lexicon: Lexicon
) -> list[Mention]:
    """ "Three dashes of orange bitters and one of aromatic": a kind of bitters that names nothing by itself."""
    out = list(mentions)
    ends = [m.end for m in mentions if plain(m.name).split()[-1] == "bitters"]
    for m in measures:
        found = _BARE.match(reader.lower, m.end) if m.kind in ("amount", "number") and m.low is not None else None
        if found is None or not any(0 <= m.start - e <= NEXT for e in ends):
            continue
        bitters = kind_of(found["word"], "bitters", *found.span("word"), reader, lexicon)
        if bitters is not None and not any(x.start < bitters.end and bitters.start < x.end for x in mentions):
            out.append(bitters)
    return sorted(out, key=lambda x: x.start)


def as_bitters(linked: Sequence[Linked], reader: TalkReader, lexicon: Lexicon) -> None:
    """Names the bitters that were meant: "three drops bitter"; "bitters, one dash aromatic, three dashes orange".

    "Two dashes of orange bitters and one of aromatic": the number goes on in dashes.
    """
    before: Linked | None = None
    for one in linked:
        if before is not None and one.groups and _goes_on(before, one, reader):
            name = plain(one.mention.name)
            entry = lexicon.named(name if name.endswith("bitters") else f"{name} bitters")
            if entry is not None:
                unit = before.groups[-1].value.unit
                one.mention = replace(one.mention, name=entry.name, entry=entry, how="other name", apply=True)
                for g in one.groups:
                    g.value = replace(g.value, unit=unit, kind="amount")
        elif one.groups and all(g.value.unit in BY_EYE for g in one.groups):
            name = plain(one.mention.name)
            if name == "bitter":
                one.mention = _named("bitters", one.mention, lexicon)
            elif name.split()[-1] != "bitters" and _is_food(one.mention) and _talked_of(one.mention, linked):
                one.mention = _named(f"{name.removesuffix(' peel')} bitters", one.mention, lexicon)
        before = one


def _goes_on(before: Linked, one: Linked, reader: TalkReader) -> bool:
    """A bare number at once behind bitters by the dash."""
    bitters = plain(before.mention.name).split()[-1] == "bitters"
    if not bitters or not before.groups or before.groups[-1].value.unit not in BY_EYE:
        return False
    value = one.groups[0].value
    if len(one.groups) > 1 or value.kind != "number" or value.unit is not None or value.low is None:
        return False
    gap = reader.gap(max(before.mention.end, before.groups[-1].end), one.groups[0].start)
    behind = one.mention.start >= one.groups[0].end
    return behind and not gap.stop and set(gap.words) <= {"and", "then", "plus"} and value.low <= 4


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
