"""What each line of a recipe brings into the drink: volume, alcohol, sugar, acid, energy; and the totals.

A solid that dissolves is treated as the volume that it adds (sugar: ICUMSA SPS-4, about 0.62 ml a gram), so that every
line is millilitres of something and a strength or a sweetness is a mean by volume. Volumes are simply added: for drinks
the error is under 0.3 % (OIML R 22, see mixing.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractor.figures.energy import factor
from extractor.figures.ethanol import ETHANOL_DENSITY
from extractor.figures.ethanol import SOURCE as R22
from extractor.figures.makeup import PER_LITRE, PERCENT, Makeup, makeup
from extractor.figures.poured import MASS, Part, UnitsTable, entry_of, is_ice, is_liquid, kind_in, poured
from extractor.figures.sucrose import SOURCE as SPS4
from extractor.figures.tables import Tables
from extractor.figures.worked import exact, mean, sources, times, total
from extractor.lexicon import Entry, Lexicon
from extractor.record import Ingredient, Worked

# Millilitres that a gram of sugar adds: 0.617 at 10 Brix, 0.630 at 66.7 (from the density of its solutions).
DISSOLVED_ML_PER_G = (0.615, 0.632)


@dataclass(frozen=True)
class Contents:
    """One line. `ml` is what it adds to the volume before ice; `strength` % vol, `sugar`, `acid` g/l and `energy`
    kcal/l are of that."""

    ingredient: Ingredient
    entry: Entry | None
    ml: Worked
    strength: Worked
    sugar: Worked
    acid: Worked
    energy: Worked
    is_ice: bool = False
    ice_g: Worked | None = None
    after_ice: bool = False
    sized: bool = True

    @property
    def ethanol_ml(self) -> Worked:
        return times(self.ml, times(self.strength, 0.01, ""), "ml")

    @property
    def kcal(self) -> Worked:
        return times(self.ml, times(self.energy, 0.001, ""), "kcal")

    @property
    def sugar_g(self) -> Worked:
        return times(self.ml, times(self.sugar, 0.001, ""), "g")

    @property
    def acid_g(self) -> Worked:
        return times(self.ml, times(self.acid, 0.001, ""), "g")


def _energy(made: Makeup, tables: Tables) -> Worked:
    """kcal/l. A table's figure for the whole thing where there is one and it has no alcohol, else by the factors."""
    if made.energy is not None and made.strength.high == 0:
        return made.energy
    parts = [
        # % vol is 10 ml a litre.
        times(made.strength, 10 * ETHANOL_DENSITY * factor("alcohol", tables), "kcal/l"),
        times(made.sugar, factor("carbohydrate", tables), "kcal/l"),
        times(made.acid, factor("organic acid", tables), "kcal/l"),
        made.other_energy,
    ]
    summed = total(parts, "kcal/l")
    return replace(summed, source=sources(summed, tables.energy["alcohol"].figure("kcal").source))


def _solid(
    ingredient: Ingredient,
    entry: Entry,
    g: Worked | None,
    made: Makeup,
    lexicon: Lexicon,
    tables: Tables,
    mixing: Sequence[str],
) -> tuple[Worked, Makeup]:
    """(ml it adds, its makeup per litre of that) of something that is not a liquid."""
    nothing = Makeup(exact(0, PERCENT), exact(0, PER_LITRE), exact(0, PER_LITRE), None, exact(0, "kcal/l"))
    if g is not None and kind_in(entry, tables.contents["dissolves"], lexicon):
        # Of a kilogram `sugar` grams are sugar and `acid` grams acid; the rest (water, molasses) adds about as much.
        low, high = DISSOLVED_ML_PER_G
        per_g = (low + high) / 2
        ml = Worked(g.low * per_g, None if g.high is None else g.high * per_g, "ml", g.rests_on, sources(g, SPS4))
        per_litre = replace(
            nothing, sugar=times(made.sugar, 1 / per_g, PER_LITRE), acid=times(made.acid, 1 / per_g, PER_LITRE)
        )
        return ml, per_litre
    if kind_in(entry, tables.contents["no volume"], lexicon):
        return exact(0.0, "ml"), nothing
    crushed = "blend" in mixing or "muddle" in mixing
    if not crushed or not kind_in(entry, ("fruit", "vegetable"), lexicon):
        return exact(0.0, "ml"), nothing
    why = f"{ingredient.name}: how much of it goes into the drink"
    amount = ingredient.amount
    if g is not None:
        # Blended, all of it; muddled, anything from nothing to all. A gram of fruit is about a millilitre.
        ml = Worked(0.9 * g.low if "blend" in mixing else 0.0, None if g.high is None else 1.1 * g.high, "ml", (why,))
    elif amount is not None and amount.high is not None and f"juice of a {amount.unit}" in tables.measures:
        span = tables.measures[f"juice of a {amount.unit}"].figure("millilitres")
        ml = Worked(0.0, span.high * amount.high, "ml", (why,), span.source)
    else:
        ml = Worked(0.0, None, "ml", (why,))
    per_litre = replace(made, strength=exact(0, PERCENT))
    return ml, per_litre


def _is_after_ice(ingredient: Ingredient, entry: Entry | None, lexicon: Lexicon, tables: Tables) -> bool:
    """Topped, floated and what fizzes: poured in when the ice is gone or the drink stands on it."""
    if ingredient.amount is not None and ingredient.amount.unit in ("top", "float", "rinse"):
        return True
    if any(word in note.lower() for note in ingredient.notes for word in ("top", "float", "rinse", "layer")):
        return True
    return kind_in(entry, tables.contents["after ice"], lexicon)


def contents(
    ingredient: Ingredient,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    *,
    mixing: Sequence[str] = (),
    made: Makeup | None = None,
    part: Part | None = None,
    in_drink: bool = True,
) -> Contents:
    """What one line brings. `made`: the makeup of the home-made thing that it is; `part`: see `poured`."""
    entry = entry_of(ingredient, lexicon)
    pour = poured(ingredient, lexicon, units, tables, part=part, in_drink=in_drink)
    if is_ice(ingredient, lexicon):
        return _ice(ingredient, entry, pour.ml, pour.g, tables)
    kinds = makeup(ingredient, lexicon, tables, made=made)
    if entry is not None and not is_liquid(entry, lexicon, tables):
        ml, kinds = _solid(ingredient, entry, pour.g, kinds, lexicon, tables, mixing)
    else:
        ml = pour.ml if pour.ml is not None else exact(0.0, "ml")
    return Contents(
        ingredient=ingredient,
        entry=entry,
        ml=ml,
        strength=kinds.strength,
        sugar=kinds.sugar,
        acid=kinds.acid,
        energy=_energy(kinds, tables),
        after_ice=_is_after_ice(ingredient, entry, lexicon, tables),
        sized=pour.sized,
    )


def _ice(ingredient: Ingredient, entry: Entry | None, ml: Worked | None, g: Worked | None, tables: Tables) -> Contents:
    """Ice is no volume before ice; its grams are kept for a blended drink, into which all of it goes."""
    amount = ingredient.amount
    if amount is not None and amount.unit in MASS and amount.low is not None and amount.high is not None:
        g = Worked(amount.low * MASS[amount.unit], amount.high * MASS[amount.unit], "g")
    elif g is None and ml is not None:
        crushed = "crush" in ingredient.name or "pebble" in ingredient.name
        heap = tables.ice["crushed ice" if crushed else "cubes"].figure("density")
        g = times(ml, Worked(heap.low, heap.high, "g/ml", (), heap.source), "g")
    zero = exact(0.0, "ml")
    none = exact(0.0, PER_LITRE)
    return Contents(ingredient, entry, zero, exact(0.0, PERCENT), none, none, exact(0.0, "kcal/l"), True, g)


@dataclass(frozen=True)
class Totals:
    """Of several lines together. `abv` and sugar, acid, kcal per litre are None where there is no volume at all."""

    ml: Worked
    ethanol_ml: Worked
    alcohol_g: Worked
    sugar_g: Worked
    acid_g: Worked
    kcal: Worked
    abv: Worked | None
    sugar_per_litre: Worked | None
    acid_per_litre: Worked | None
    kcal_per_litre: Worked | None


def totals(lines: Sequence[Contents]) -> Totals:
    """Sums and means, with bounds that hold whatever the amounts and strengths are within theirs."""
    weights = [c.ml for c in lines]
    ethanol_ml = total([c.ethanol_ml for c in lines], "ml")
    grams = times(ethanol_ml, ETHANOL_DENSITY, "g")
    if grams.high != 0:
        grams = replace(grams, source=sources(grams, R22))
    return Totals(
        ml=total(weights, "ml"),
        ethanol_ml=ethanol_ml,
        alcohol_g=grams,
        sugar_g=total([c.sugar_g for c in lines], "g"),
        acid_g=total([c.acid_g for c in lines], "g"),
        kcal=total([c.kcal for c in lines], "kcal"),
        abv=mean(weights, [c.strength for c in lines], PERCENT),
        sugar_per_litre=mean(weights, [c.sugar for c in lines], PER_LITRE),
        acid_per_litre=mean(weights, [c.acid for c in lines], PER_LITRE),
        kcal_per_litre=mean(weights, [c.energy for c in lines], "kcal/l"),
    )
