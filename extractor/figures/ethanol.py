"""Strength of ethanol and water: per cent by volume, per cent by mass, density, grams.

Source: OIML R 22 (1975), International alcoholometric tables, general formula at 20 C; the same formula and
coefficients in Council Directive 76/766/EEC, Annex. All volumes and strengths are at 20 C.
"""

from __future__ import annotations

SOURCE = "oiml-r22"
# kg/m3 by powers of the mass fraction: A1 ... A12 of the formula. At 20 C its temperature terms are nought.
_A = (
    998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
    306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
)  # fmt: skip


def density(mass_fraction: float) -> float:
    """g/ml at 20 C of ethanol and water, `mass_fraction` of it (0-1) ethanol. Source: OIML R 22."""
    if not 0 <= mass_fraction <= 1:
        raise ValueError(f"a mass fraction lies between 0 and 1, not {mass_fraction}")
    return sum(a * mass_fraction**k for k, a in enumerate(_A)) / 1000


ETHANOL_DENSITY = density(1.0)
"""g/ml at 20 C: 0.78924."""
WATER_DENSITY = density(0.0)
"""g/ml at 20 C: 0.99820."""


def abv_from_mass(mass_percent: float) -> float:
    """Per cent by volume from per cent by mass. Source: OIML R 22."""
    p = mass_percent / 100
    return 100 * p * density(p) / ETHANOL_DENSITY


def mass_from_abv(abv: float) -> float:
    """Per cent by mass from per cent by volume (0-100). Source: OIML R 22, inverted by halving."""
    if not 0 <= abv <= 100:
        raise ValueError(f"a strength lies between 0 and 100 % vol, not {abv}")
    low, high = 0.0, 100.0
    for _ in range(60):
        middle = (low + high) / 2
        if abv_from_mass(middle) < abv:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def density_at(abv: float) -> float:
    """g/ml at 20 C of ethanol and water of `abv` % vol. Source: OIML R 22."""
    return density(mass_from_abv(abv) / 100)


def grams(ethanol_ml: float) -> float:
    """Grams of `ethanol_ml` millilitres of pure ethanol at 20 C."""
    return ethanol_ml * ETHANOL_DENSITY
