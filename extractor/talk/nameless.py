"""Amounts that no name is left for: what was measured there was said, but not understood."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from extractor.record.measure import Measure
from extractor.talk.understood import Understood

COUNTED = ("leaf", "peel", "slice", "wedge", "wheel", "sprig", "cube", "piece")
"""In these English counts much besides: "a leaf floor"."""
WITHIN = 6
"""So many small words may stand between an amount and its name."""


def nameless(talk: Understood, measures: Sequence[Measure]) -> frozenset[int]:
    """id() of each amount that is left over when every other amount has a name of its own beside it.

    A name stands before or behind its amount, with nothing but small words between; one name serves one amount, so
    that of "one part vodka, two parts verges" the second is left, though the vodka stands before it.
    """
    pours = [m for m in measures if m.pours and m.thing is None and m.kind in ("amount", "number")]
    beside = [_beside(talk, m) for m in pours]
    owner: dict[int, int] = {}

    def serve(k: int, tried: set[int]) -> bool:
        for name in beside[k]:
            if name not in tried:
                tried.add(name)
                if name not in owner or serve(owner[name], tried):
                    owner[name] = k
                    return True
        return False

    for k in range(len(pours)):
        serve(k, set())
    served = set(owner.values())
    return frozenset(
        id(m) for k, m in enumerate(pours)
        if k not in served and m.kind == "amount" and m.unit is not None and m.unit not in COUNTED
    )  # fmt: skip


def _beside(talk: Understood, m: Measure) -> list[int]:
    """The first token of the name behind an amount, and of that before it, where there is one."""
    tokens = talk.tokens
    small = talk.words.stop | talk.words.drop | talk.words.keep
    out = []
    start = i = bisect_left(talk.starts, m.end)
    while i < len(tokens) and i not in talk.first and talk.covered[i] is None and tokens[i].clean in small:
        if i - start >= WITHIN:
            break
        i += 1
    if i in talk.first and _poured(talk, i):
        out.append(i)
    end = i = bisect_left(talk.starts, m.start)
    while i > 0 and i not in talk.last and talk.covered[i - 1] is None and tokens[i - 1].clean in small:
        if end - i >= WITHIN:
            break
        i -= 1
    if i in talk.last and _poured(talk, talk.last[i][0]):
        out.append(talk.last[i][0])
    return out


def _poured(talk: Understood, first: int) -> bool:
    """Not the glass, and not the ice, which is rarely measured: "up with ice and it's so tall, an ounce and a half"."""
    m = talk.first[first][1]
    return m.group == "ingredient" and not (m.entry is not None and talk.lexicon.is_a(m.entry, "ice"))
