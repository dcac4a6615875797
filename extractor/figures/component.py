"""Something home-made: what the batch yields, how strong, sweet and sour it is, how long it keeps.

Source: sums of its ingredients (contents.py); Brix and density of what is sugar and water from ICUMSA SPS-4. An
infusion keeps its spirit's strength less what dilutes it; what the solids hold back is not counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractor.figures import sucrose
from extractor.figures.allergens import allergens, says, unknown_allergens
from extractor.figures.cautions import cautions
from extractor.figures.contents import DISSOLVED_ML_PER_G, Contents, Totals, contents, totals
from extractor.figures.keeping import Keeping, keeping
from extractor.figures.makeup import PER_LITRE, Makeup, is_known, nothing_known
from extractor.figures.poured import (
    COUNTED,
    MASS,
    Part,
    UnitsTable,
    entry_of,
    is_liquid,
    kind_in,
    names_match,
    said_in_parts,
)
from extractor.figures.tables import Tables, tables_of
from extractor.figures.worked import either, exact, over, rounded, sources, times
from extractor.lexicon import Lexicon, plain
from extractor.record import Component, ComponentFigures, Drink, Ingredient, Worked


@dataclass(frozen=True)
class Made:
    """A component worked out: its makeup per litre for the drinks that use it, and its figures for the record."""

    component: Component
    makeup: Makeup
    volume_ml: Worked | None
    brix: Worked | None
    density: Worked | None
    keeping: Keeping
    notes: tuple[str, ...]


def _dissolving(lines: Sequence[Contents], lexicon: Lexicon, tables: Tables) -> list[Contents]:
    """The lines with each sweetener's volume as it is in that much water (0.625 ml a gram at 1:1, 0.630 at 2:1)."""
    solid = [
        c
        for c in lines
        if kind_in(c.entry, ("sweetener",), lexicon) and not is_liquid(c.entry, lexicon, tables) and c.ml.high
    ]
    wet = [c for c in lines if c not in solid]
    water = sum((c.ml.low + (c.ml.high or c.ml.low)) / 2 for c in wet)
    sugar = sum((c.sugar_g.low + (c.sugar_g.high or c.sugar_g.low)) / 2 for c in solid)
    if not water or not sugar or any(c.ml.high is None for c in lines):
        return list(lines)
    per_g = sucrose.dissolved_ml(sugar, water) / sugar
    out = []
    for c in lines:
        if c in solid:
            factor = per_g / (sum(DISSOLVED_ML_PER_G) / 2)
            c = replace(
                c,
                ml=times(c.ml, factor, "ml"),
                sugar=times(c.sugar, 1 / factor, PER_LITRE),
                energy=times(c.energy, 1 / factor, "kcal/l"),
            )
        out.append(c)
    return out


def _lines(
    component: Component,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    part: Part | None,
    others: Sequence[Made],
) -> list[Contents]:
    out = []
    for ingredient in component.ingredients:
        made = made_of(ingredient, others)
        if component.kind == "infusion" and made is None and _is_steeped(ingredient, lexicon):
            continue
        out.append(
            contents(
                ingredient,
                lexicon,
                units,
                tables,
                mixing=("muddle",) if component.kind in ("juice", "cordial", "shrub") else (),
                made=None if made is None else made.makeup,
                part=part,
                in_drink=False,
            )
        )
    return _dissolving(out, lexicon, tables)


def _is_steeped(ingredient: Ingredient, lexicon: Lexicon) -> bool:
    """In an infusion, a name that the lexicon does not have and nobody measured as a liquid: it is strained out."""
    if entry_of(ingredient, lexicon) is not None:
        return False
    return ingredient.amount is None or ingredient.amount.unit in (*MASS, *COUNTED)


def _boiled(component: Component, tables: Tables) -> tuple[Worked, tuple[str, ...]]:
    """What is left of the volume when something is boiled, and a note; 1 where nobody speaks of boiling."""
    told = [plain(step.text) for step in component.steps] + [plain(note) for note in component.notes]
    if component.evidence is not None:
        told.append(plain(component.evidence.text))
    for case in ("reduced", "simmered"):
        row = tables.syrups[case]
        if any(says(text, word) for text in told for word in row.listed("said")):
            left = row.figure("left")
            why = f"{component.name}: how much boils away"
            return Worked(left.low, left.high, "", (why,), left.source), (f"{why} is not known",)
    return exact(1.0, ""), ()


def _both(a: Worked | None, b: Worked | None, why: str) -> Worked | None:
    if a is None or b is None:
        return None
    return a if (a.low, a.high) == (b.low, b.high) else either(a, b, why)


def _sized(lines: Sequence[Contents]) -> bool:
    return all(c.sized for c in lines)


def _makeup(sums: Totals, name: str, tables: Tables) -> Makeup:
    lacking = nothing_known(f"{name}: its recipe", tables)
    kcal = sums.kcal_per_litre
    return Makeup(
        strength=sums.abv or lacking.strength,
        sugar=sums.sugar_per_litre or lacking.sugar,
        acid=sums.acid_per_litre or lacking.acid,
        energy=kcal,
        other_energy=exact(0.0, "kcal/l") if kcal is not None else lacking.other_energy,
    )


def _thickened(made: Makeup, left: Worked) -> Makeup:
    if left.low == left.high == 1:
        return made

    def up(a: Worked) -> Worked:
        return over(a, left, a.unit)

    energy = None if made.energy is None else up(made.energy)
    return Makeup(made.strength, up(made.sugar), up(made.acid), energy, made.other_energy)


def _is_sugar_and_water(lines: Sequence[Contents], made: Makeup) -> bool:
    """Near enough for a Brix: no alcohol, and nothing but sugar to speak of dissolved in it."""
    return made.strength.high == 0 and (made.acid.high or 0) < 20 and made.acid.high is not None and bool(lines)


def _brix(sugar: Worked) -> Worked | None:
    most = sucrose.sugar_per_ml(100) * 1000
    if sugar.high is None or sugar.high > most:
        return None
    low, high = (sucrose.brix_from_sugar_per_litre(s) for s in (sugar.low, sugar.high))
    return Worked(low, high, "Brix", sugar.rests_on, sources(sugar, sucrose.SOURCE))


def made(
    component: Component,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    *,
    others: Sequence[Made] = (),
) -> Made:
    """Work a component out. `others`: components already worked out that may be among its ingredients.

    Amounts in parts whose ratio was not said to be by weight or by volume give the range of the two.
    """
    parts = said_in_parts(component.ingredients)
    weight, volume = Part("g", 100.0), Part("ml", 100.0)
    if not parts:
        ways: tuple[Part | None, ...] = (None,)
    elif component.ratio_by is None:
        ways = (weight, volume)
    else:
        ways = (weight,) if component.ratio_by == "weight" else (volume,)
    left, notes = _boiled(component, tables)
    results = []
    for way in ways:
        lines = _lines(component, lexicon, units, tables, way, others)
        sums = totals(lines)
        makeup = _thickened(_makeup(sums, component.name, tables), left)
        # Parts give no size; nor do nothing but solids, which are strained out or filled with something not told.
        yields = times(sums.ml, left, "ml") if _sized(lines) and sums.ml.high != 0 else None
        brix = _brix(makeup.sugar) if _is_sugar_and_water(lines, makeup) else None
        results.append((lines, makeup, yields, brix))
    lines, makeup, yields, brix = results[0]
    if len(results) == 2:
        why = f"{component.name}: whether its ratio is by weight or by volume"
        _, other, other_yields, other_brix = results[1]
        makeup = Makeup(
            _both(makeup.strength, other.strength, why) or makeup.strength,
            _both(makeup.sugar, other.sugar, why) or makeup.sugar,
            _both(makeup.acid, other.acid, why) or makeup.acid,
            _both(makeup.energy, other.energy, why),
            makeup.other_energy,
        )
        yields, brix = _both(yields, other_yields, why), _both(brix, other_brix, why)
    if not component.ingredients:
        notes = (*notes, f"what goes into the {component.name} was not told")
    density = None
    if brix is not None and brix.high is not None:
        low, high = sucrose.density(brix.low), sucrose.density(brix.high)
        density = Worked(low, high, "g/ml", brix.rests_on, sucrose.SOURCE)
        if brix.high >= sucrose.saturation_brix(5.0, tables):
            notes = (*notes, f"{component.name} holds about all the sugar that cold water can: it may crystallise")
    keep = keeping(component, lexicon, tables, abv=makeup.strength, brix=brix)
    return Made(component, makeup, yields, brix, density, keep, notes)


def made_all(components: Sequence[Component], lexicon: Lexicon, units: UnitsTable, tables: Tables) -> tuple[Made, ...]:
    """All of them, in order; each may use those before it."""
    out: list[Made] = []
    for component in components:
        out.append(made(component, lexicon, units, tables, others=out))
    return tuple(out)


def made_of(ingredient: Ingredient, all_made: Sequence[Made]) -> Made | None:
    """The home-made thing that an ingredient is, by its name."""
    for one in reversed(all_made):
        if names_match(one.component.name, ingredient.name):
            return one
    return None


def _kept(worked: Worked | None, thing: str | None, tables: Tables) -> Worked | None:
    """A figure fit to keep: None for one of which nothing at all is known."""
    if worked is None or (worked.high is None and worked.low == 0):
        return None
    if thing is not None and not is_known(worked, thing, tables):
        return None
    return rounded(worked)


def figures_of(one: Made, lexicon: Lexicon, tables: Tables) -> ComponentFigures:
    """The record's figures of a component that was worked out."""
    component = one.component
    alone = Drink(
        name=component.name,
        name_heard=None,
        start_s=None,
        end_s=None,
        servings=None,
        glass=None,
        ice=None,
        steps=component.steps,
        notes=component.notes,
    )
    strength = one.makeup.strength
    warned = cautions(
        alone,
        lexicon,
        tables,
        kept={component.name: one.keeping},
        components=(component,),
        has_alcohol=strength.high is None or strength.high > 0,
    )
    lacking = unknown_allergens(component.ingredients, lexicon)
    return ComponentFigures(
        volume_ml=_kept(one.volume_ml, None, tables),
        abv=_kept(strength, "strength", tables),
        sugar_g_per_l=_kept(one.makeup.sugar, "sugar", tables),
        acid_g_per_l=_kept(one.makeup.acid, "acid", tables),
        energy_kcal_per_l=_kept(one.makeup.energy, None, tables),
        brix=_kept(one.brix, None, tables),
        density=_kept(one.density, None, tables),
        keeps_days=one.keeping.days,
        allergens=allergens(component.ingredients, lexicon, tables),
        cautions=warned,
        notes=(*one.notes, *((one.keeping.note,) if one.keeping.note else ()), *lacking),
    )


def component_figures(
    component: Component,
    lexicon: Lexicon,
    units: UnitsTable,
    *,
    others: Sequence[Component] = (),
) -> ComponentFigures:
    """The figures of something home-made. `others`: components that may be among its ingredients."""
    tables = tables_of(lexicon)
    before = made_all(others, lexicon, units, tables)
    return figures_of(made(component, lexicon, units, tables, others=before), lexicon, tables)
