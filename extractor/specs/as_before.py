"""A drink told by the one before it: "the second is the same thing, but you float mezcal on top and skip the salt"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.same import same_thing
from extractor.specs.statements import GARNISH, Statement

TOLD_WITHIN = 130
"""So soon behind its opening, in characters, a drink is said to be as the one before."""
LEAST = 2
"""The drink before has so many things at least."""


def told_as_before(
    reader: TalkReader, spans: Sequence[tuple[int, int, int]], statements: Sequence[Statement],
    left_out: Callable[[Mention], bool],
) -> list[Statement]:  # fmt: skip
    """Statements for what a drink takes over from the one before; `spans`: index, start, end of each drink, in order.

    What the drink names itself is its own; what it leaves out ("no gin", "skip the salt") is not taken over.
    """
    out: list[Statement] = []
    for (before, _, _), (index, start, end) in pairwise(spans):
        cue = next(iter(reader.cues_in("turns.as before", start, min(end, start + TOLD_WITHIN))), None)
        if cue is None:
            continue
        own = [s.mention for s in statements if s.drink == index and s.sure]
        without = [
            m for m in reader.talk.mentions if cue.end <= m.start < end and m.group == "ingredient" and left_out(m)
        ]  # fmt: skip
        taken = [
            s for s in [*statements, *out]
            if s.drink == before and s.sure and s.role != GARNISH and s.mode == "make" and not s.retold
        ]  # fmt: skip
        if len(taken) < LEAST:
            continue
        out += [
            replace(s, drink=index, at=cue.start, notes=list(s.notes), alternatives=list(s.alternatives))
            for s in taken
            if not any(same_thing(s.mention, m) for m in [*own, *without])
        ]
    return out
