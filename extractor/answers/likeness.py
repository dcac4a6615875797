"""How like two names are, when either may be a recogniser's garble of the other. Spelling only, no lexicon."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from extractor.lexicon import plain

SAME_THING = 0.75
"""From here on two spellings in the same place are taken for one thing; below, place alone does not make them one."""
IN_PLACE = 0.6
"""From here on, where two signs of the place speak for it too. Of names of the trade as recognisers write them, 67 % of
the pairs that are one name reach it and 0.4 % of those that are two (tests/answers/heard_pairs.txt)."""
FIRM = 0.9
"""From here on two spellings are taken for one thing without help from their neighbours."""


@lru_cache(maxsize=20_000)
def bare(text: str) -> str:
    """Letters and digits alone: where the words break is what a recogniser is least sure of.

    A name in another script, of which `plain` leaves nothing, is compared as it stands.
    """
    return re.sub(r"[^a-z0-9%&]", "", plain(text)) or "".join(text.casefold().split())


@lru_cache(maxsize=50_000)
def alike(a: str | None, b: str | None) -> float:
    """0 to 1; 1 for the same letters in the same order. Two empty names are not alike."""
    if a is None or b is None:
        return 0.0
    a, b = bare(a), bare(b)
    if not a or not b:
        return 0.0
    if a == b:
        return 1.0
    from rapidfuzz.fuzz import ratio

    return min(ratio(a, b) / 100, 0.99)


def same_name(a: str | None, b: str | None) -> bool:
    return alike(a, b) == 1.0


def overlap(a: Sequence[str], b: Sequence[str]) -> float:
    """The share of the longer list whose names are found in the other, each once. 0 where either is empty."""
    if not a or not b:
        return 0.0
    left = list(b)
    found = 0
    for name in a:
        best = max(left, key=lambda other: alike(name, other), default=None)
        if best is not None and alike(name, best) >= SAME_THING:
            left.remove(best)
            found += 1
    return found / max(len(a), len(b))
