"""A home-made syrup of sugar and water for a spoken ratio: Brix, density, sugar, yield.

Source: arithmetic on ICUMSA SPS-4 densities; a cup of granulated sugar is 200 g (USDA SR Legacy), which is why one to
one by volume is only 46 Brix where by weight it is 50.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from extractor.figures import sucrose
from extractor.figures.tables import Tables

FRIDGE_C = 5.0


@dataclass(frozen=True)
class Syrup:
    """A batch: `volume_ml` of it from `sugar_g` and `water_g`. Density g/ml at 20 C."""

    sugar_g: float
    water_g: float
    brix: float
    density: float
    volume_ml: float
    sugar_per_ml: float
    may_crystallise: bool
    """At or over what cold water (5 C) holds: keep an eye on it in the refrigerator."""


def syrup_of(sugar_g: float, water_g: float, tables: Tables) -> Syrup:
    """From grams of sugar and of water."""
    if sugar_g < 0 or water_g <= 0:
        raise ValueError("a syrup needs some water and no negative sugar")
    brix = 100 * sugar_g / (sugar_g + water_g)
    density = sucrose.density(brix)
    return Syrup(
        sugar_g=sugar_g,
        water_g=water_g,
        brix=brix,
        density=density,
        volume_ml=(sugar_g + water_g) / density,
        sugar_per_ml=sucrose.sugar_per_ml(brix),
        may_crystallise=brix >= sucrose.saturation_brix(FRIDGE_C, tables),
    )


def syrup_ratio(
    sugar: float,
    water: float,
    tables: Tables,
    *,
    by: Literal["weight", "volume"],
    unit: float = 100.0,
    sugar_kind: str = "granulated sugar",
) -> tuple[Syrup, Syrup]:
    """`sugar` parts to `water` parts; a part is `unit` grams (by weight) or millilitres (by volume).

    Gives the thinnest and the thickest syrup it may be: the same twice unless the sugar's bulk density is a range.
    """
    if by == "weight":
        one = syrup_of(sugar * unit, water * unit, tables)
        return one, one
    bulk = tables.syrups[sugar_kind].figure("density")
    water_g = water * unit * sucrose.density(0)
    low, high = (syrup_of(sugar * unit * d, water_g, tables) for d in (bulk.low, bulk.high))
    return low, high
