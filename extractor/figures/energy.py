"""Energy from alcohol, sugar, acid and the rest by the factors of the law.

Source: Regulation (EU) No 1169/2011, Annex XIV (alcohol 7 kcal or 29 kJ a gram, carbohydrate 4 or 17, organic acid 3 or
13). Acid is not counted as carbohydrate: with 4 kcal/g on all of a lime's "carbohydrate" the published 25 kcal per
100 g of juice is overshot by about two fifths.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from extractor.figures.tables import Tables


def energy(grams: Mapping[str, float], tables: Tables, *, unit: Literal["kcal", "kj"] = "kcal") -> float:
    """Energy of so many grams of each thing of lexicon/figures/energy.txt ("alcohol", "organic acid" ...)."""
    return sum(amount * factor(thing, tables, unit=unit) for thing, amount in grams.items())


def factor(thing: str, tables: Tables, *, unit: Literal["kcal", "kj"] = "kcal") -> float:
    """Energy of a gram. Raises LookupError for a thing that the table does not have."""
    if thing not in tables.energy:
        raise LookupError(f"no energy factor is known for {thing!r}")
    return tables.energy[thing].figure(unit).low
