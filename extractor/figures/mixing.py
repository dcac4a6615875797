"""Strength and volume after mixing; Pearson's square.

Volumes of drinks are simply added: where drinks of 40 % vol or less are let down with water the error is under 0.3 % of
volume (OIML R 22). That is not good enough for high-proof spirit, for which `let_down` keeps the books by mass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from extractor.figures import ethanol, sucrose


def mixed_abv(parts: Sequence[tuple[float, float]]) -> float:
    """% vol of (ml, % vol) parts poured together, volumes simply added: for drinks, not for high-proof spirit."""
    volume = sum(ml for ml, _ in parts)
    if volume <= 0:
        raise ValueError("nothing is mixed")
    return sum(ml * abv for ml, abv in parts) / volume


def blend_by_mass(parts: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """(ml, % vol) of (ml, % vol) parts of ethanol and water, with the shrinking on mixing. Source: OIML R 22."""
    mass = sum(ml * ethanol.density_at(abv) for ml, abv in parts)
    alcohol = sum(ml * abv / 100 * ethanol.ETHANOL_DENSITY for ml, abv in parts)
    if mass <= 0:
        raise ValueError("nothing is mixed")
    fraction = alcohol / mass
    return mass / ethanol.density(fraction), ethanol.abv_from_mass(100 * fraction)


def let_down(ml: float, abv: float, to_abv: float) -> tuple[float, float]:
    """Water to add to `ml` of spirit of `abv` % vol to bring it to `to_abv`: (water ml, ml in the end).

    By mass, so with the shrinking. Source: OIML R 22; the US Gauging Manual's table agrees within 0.5 in 100.
    """
    if not 0 < to_abv <= abv:
        raise ValueError(f"water cannot bring {abv} % vol to {to_abv} % vol")
    alcohol = ml * abv / 100 * ethanol.ETHANOL_DENSITY
    mass_after = alcohol / (ethanol.mass_from_abv(to_abv) / 100)
    water = (mass_after - ml * ethanol.density_at(abv)) / ethanol.WATER_DENSITY
    return water, mass_after / ethanol.density_at(to_abv)


@dataclass(frozen=True)
class Square:
    """Parts of the two to be mixed. `by` says what is to be measured out: volume for % vol, mass (grams) for Brix."""

    of_high: float
    of_low: float
    by: Literal["volume", "mass"]

    @property
    def share_of_high(self) -> float:
        return self.of_high / (self.of_high + self.of_low)


def pearson_square(high: float, low: float, target: float, *, by: Literal["volume", "mass"]) -> Square:
    """Parts of `high` and `low` that give `target`. By volume for % vol; by MASS for anything per mass such as Brix."""
    if not low <= target <= high or low == high:
        raise ValueError(f"no mixture of {low} and {high} gives {target}")
    return Square(target - low, high - target, by)


def brix_square(high: float, low: float, target: float) -> Square:
    """Pearson's square in degrees Brix: grams, for Brix is sugar per mass. By volume the parts would be wrong."""
    return pearson_square(high, low, target, by="mass")


def by_volume(square: Square, high_brix: float, low_brix: float) -> Square:
    """The same mixture of two sugar solutions in parts by volume, from their densities (ICUMSA SPS-4)."""
    if square.by != "mass":
        raise ValueError("parts are by volume already")
    return Square(square.of_high / sucrose.density(high_brix), square.of_low / sucrose.density(low_brix), "volume")
