"""What is measured how: behind "a pinch of" stands a spice sooner than a rum, behind "thirty mil of" nothing solid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from extractor.errors import LexiconError
from extractor.lexicon import Entry, Lexicon, read_phrases
from extractor.names.rank import Match

LIQUID = "liquid"
FITS = 1.0
"""Added to the log odds of a thing that is told in the unit beside it."""
SOLID = -1.5
"""Added to the log odds of a thing that is not poured, in a unit that only liquids are told in."""
AS_COST = 0.077
"""What log odds of one are worth beside the costs of matches."""


@lru_cache(maxsize=4)
def load_measured(folder: Path) -> Mapping[str, tuple[str, ...]]:
    """The kinds of measured.txt by unit. Raises LexiconError with every line that cannot be read."""
    if not (folder / "measured.txt").is_file():
        return {}
    faults: list[str] = []
    data = read_phrases(folder / "measured.txt", faults)
    if faults:
        raise LexiconError(faults)
    return {unit: tuple(lines) for unit, lines in data.items()}


def fit(lexicon: Lexicon, measured: Mapping[str, Sequence[str]], entry: Entry, unit: str | None) -> float:
    """What a unit tells about `entry`: to be added to the log odds that it is meant."""
    kinds = measured.get(unit or "", ())
    liquid = LIQUID in kinds and lexicon.is_liquid(entry)
    if kinds == (LIQUID,):
        return 0.0 if liquid else SOLID
    return FITS if liquid or lexicon.is_any(entry, kinds) else 0.0


def fitted(
    lexicon: Lexicon, measured: Mapping[str, Sequence[str]], found: Sequence[Match], unit: str | None
) -> list[Match]:
    """The matches, the least cost first; where the nearest is a solid thing, and nobody tells one in that unit, with
    that counted in. A liquid that is nearest anyway is no surer for it."""
    if not found or tuple(measured.get(unit or "", ())) != (LIQUID,):
        return list(found)
    against = [fit(lexicon, measured, m.form.entry, unit) for m in found]
    if not against[0]:
        return list(found)
    costs = [m.cost - AS_COST * a for m, a in zip(found, against, strict=True)]
    return sorted((replace(m, cost=c) for m, c in zip(found, costs, strict=True)), key=lambda m: m.cost)
