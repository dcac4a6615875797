"""Sucrose and water: density, grams a litre, how much water can hold.

Source: ICUMSA SPS-4 (1998), density polynomial at 20 C after Bettin, Emmerich, Spieweck and Toth; degrees Brix are
grams of sucrose in 100 g of solution. Older tables (NBS Circular 440) differ by up to 0.0005 g/ml from 60 Brix on.
"""

from __future__ import annotations

from itertools import pairwise

from extractor.figures.tables import Tables

SOURCE = "icumsa-sps4"
_C = (998.2012, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890)


def density(brix: float) -> float:
    """g/ml at 20 C of a sucrose solution of `brix` (0-100). Source: ICUMSA SPS-4."""
    if not 0 <= brix <= 100:
        raise ValueError(f"Brix lies between 0 and 100, not {brix}")
    w = brix / 100
    return sum(c * w**k for k, c in enumerate(_C)) / 1000


def sugar_per_ml(brix: float) -> float:
    """Grams of sugar in a millilitre."""
    return brix / 100 * density(brix)


def brix_from_sugar_per_litre(grams: float) -> float:
    """Brix of a solution with `grams` of sucrose in a litre, by halving. Raises ValueError beyond pure sucrose."""
    if not 0 <= grams / 1000 <= sugar_per_ml(100):
        raise ValueError(f"{grams} g of sugar do not go into a litre")
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        if sugar_per_ml(middle) * 1000 < grams:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def dissolved_ml(sugar_g: float, in_ml: float) -> float:
    """How much `sugar_g` of sugar adds to the volume of `in_ml` of water: about 0.62 ml a gram, by the density."""
    water = in_ml * density(0)
    if sugar_g <= 0:
        return 0.0
    brix = 100 * sugar_g / (sugar_g + water)
    return (sugar_g + water) / density(brix) - in_ml


def saturation_brix(celsius: float, tables: Tables) -> float:
    """The Brix that water can hold at `celsius` (0-25), between the rows of the table. Source: Mohos (2010) A2.2."""
    rows = sorted((float(name), row.figure("grams").low) for name, row in tables.solubility.items())
    if not rows[0][0] <= celsius <= rows[-1][0]:
        raise ValueError(f"the table runs from {rows[0][0]:g} to {rows[-1][0]:g} C, not to {celsius:g}")
    for (cold, less), (warm, more) in pairwise(rows):
        if celsius <= warm:
            grams = less + (more - less) * (celsius - cold) / (warm - cold)
            return 100 * grams / (100 + grams)
    raise AssertionError("unreachable: the range was checked")
