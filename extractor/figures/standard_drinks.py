"""Standard drinks of several countries from millilitres of pure ethanol.

Source: each row of lexicon/figures/standard_drinks.txt (US 14 g, NIAAA; UK 10 ml, NHS; Australia 10 g with 0.789 g/ml).
"""

from __future__ import annotations

from collections.abc import Mapping

from extractor.figures.ethanol import ETHANOL_DENSITY
from extractor.figures.tables import Tables
from extractor.figures.worked import sources, times
from extractor.record import Worked


def ethanol_ml_of_one(country: str, tables: Tables) -> tuple[float, str]:
    """(millilitres of ethanol, source key) of one standard drink. Raises LookupError for a country not in the table."""
    if country not in tables.standard_drinks:
        known = ", ".join(sorted(tables.standard_drinks))
        raise LookupError(f"no standard drink is known for {country!r}; known are {known}")
    row = tables.standard_drinks[country]
    if "millilitres" in row.figures:
        ml = row.figure("millilitres")
        return ml.low, ml.source
    grams = row.figure("grams")
    density = row.figure("density").low if "density" in row.figures else ETHANOL_DENSITY
    return grams.low / density, grams.source


def standard_drinks(ethanol_ml: Worked, tables: Tables) -> Mapping[str, Worked]:
    """By country: how many standard drinks `ethanol_ml` of pure ethanol are."""
    out: dict[str, Worked] = {}
    for country in sorted(tables.standard_drinks):
        ml, source = ethanol_ml_of_one(country, tables)
        number = times(ethanol_ml, 1 / ml, f"{country} standard drinks")
        out[country] = Worked(number.low, number.high, number.unit, number.rests_on, sources(ethanol_ml, source))
    return out
