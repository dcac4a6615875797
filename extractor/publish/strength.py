"""What was worked out of a drink, in words for its public: strength, standard drinks, sugar, energy.

A range is rounded outward, so that what is written still holds the value; nothing is written of what is not known.
"""

from __future__ import annotations

import math

from extractor.publish.tables import Tables
from extractor.record import Figures, Worked


def span(worked: Worked, step: float, unit: str) -> str | None:
    """ "10–15 % vol", "about 20 % vol", "at least 10 % vol"; None where nothing bounds it."""

    def text(value: float) -> str:
        return f"{value:.{max(0, -math.floor(math.log10(step)))}f}" if step < 1 else f"{value:.0f}"

    if worked.high is None:
        if worked.low <= 0:
            return None
        return f"at least {text(math.floor(worked.low / step + 1e-9) * step)} {unit}"
    if 0 < worked.high < step:
        return f"under {text(step)} {unit}"
    if worked.high - worked.low < step:
        return f"about {text(round((worked.low + worked.high) / 2 / step) * step)} {unit}"
    low, high = math.floor(worked.low / step + 1e-9) * step, math.ceil(worked.high / step - 1e-9) * step
    return f"{text(low)}–{text(high)} {unit}"


def has_no_alcohol(figures: Figures) -> bool:
    """Surely none: worked out as 0."""
    return figures.abv is not None and figures.abv.high == 0


def strength_line(figures: Figures) -> str | None:
    """ "10–15 % vol in the glass, 16–21 % vol before ice"."""
    if has_no_alcohol(figures):
        return "no alcohol"
    before = span(figures.abv, 1, "% vol") if figures.abv is not None else None
    after = span(figures.abv_diluted, 1, "% vol") if figures.abv_diluted is not None else None
    if after is None or before == after:
        return before
    return f"{after} in the glass" + (f", {before} before ice" if before else "")


def standard_drinks_line(figures: Figures, tables: Tables, country: str) -> str | None:
    """ "1.1–1.6 US standard drinks a serving": of the country, for a serving where servings are known.

    In grams of alcohol for a country that has no standard drink in the table.
    """
    if has_no_alcohol(figures):
        return None
    share, place = figures.per_serving, tables.places[country]
    if place.drink is None:
        grams, of = (
            (share.alcohol_g, " a serving") if share is not None else (figures.alcohol_g, " in the whole recipe")
        )
        text = span(grams, 1, "g of alcohol") if grams is not None else None
        return None if text is None else f"{text}{of}"
    worked, of = (share.standard_drinks.get(country) if share is not None else None), " a serving"
    if worked is None:
        worked, of = figures.standard_drinks.get(country), " in the whole recipe"
    if worked is None:
        return None
    one = worked.high is not None and worked.high <= 1
    text = span(worked, 0.1, place.drink[0] if one else place.drink[1])
    return None if text is None else f"{text}{of}"


def more_lines(figures: Figures) -> tuple[str, ...]:
    """Volume, sugar and energy, for a serving where servings are known."""
    share = figures.per_serving
    of = " a serving" if share is not None else " in the whole recipe"
    volume = (share.volume_diluted_ml or share.volume_ml) if share else (figures.volume_diluted_ml or figures.volume_ml)
    sugar, energy = (share.sugar_g, share.energy_kcal) if share else (figures.sugar_g, figures.energy_kcal)
    out = []
    for name, worked, step, unit in (
        ("Volume", volume, 5, "ml"),
        ("Sugar", sugar, 1, "g"),
        ("Energy", energy, 10, "kcal"),
    ):
        text = span(worked, step, unit) if worked is not None else None
        if text is not None:
            out.append(f"{name} {text}{of}")
    return tuple(out)


def unknowns(figures: Figures) -> tuple[str, ...]:
    """What the figures rest on and nobody said, each once."""
    found = [w for w in (figures.abv_diluted, figures.abv, figures.alcohol_g) if w]
    return tuple(dict.fromkeys(why for w in found for why in w.rests_on))
