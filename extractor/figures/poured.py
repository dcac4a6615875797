"""What one line of a recipe pours: millilitres of a liquid, grams of a solid, with bounds where something is not known.

Source: conversions from the units table passed in; piece, density and usual amounts from the lexicon; what unmeasured
amounts may come to from lexicon/figures/measures.txt (settings, common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Protocol

from extractor.figures.tables import Row, Tables, tables_of
from extractor.figures.worked import exact, over, perhaps, resting, sources, times, unknown
from extractor.lexicon import Entry, Lexicon, plain
from extractor.record import Amount, Ingredient, Worked

MASS = {"g": 1.0, "kg": 1000.0, "oz_wt": 28.349523125, "lb": 453.59237}
"""Grams: the international avoirdupois pound is 0.45359237 kg exactly (NIST SP 811)."""
VOLUMES = frozenset(["fl_oz", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "pint", "dash", "drop", "splash"])
# What of a plant or fruit is counted, not measured: it lies in the drink or is strained out.
COUNTED = frozenset(["leaf", "sprig", "slice", "wedge", "wheel", "peel", "cube", "piece", "scoop", "pinch"])


class UnitsTable(Protocol):
    """What converts an amount: `extractor.units.load_units(locale)`, or any object with this method."""

    def millilitres(self, low: float, high: float, unit: str) -> tuple[float, float] | None:
        """(low, high) in millilitres, None for a unit that is no volume."""


@lru_cache(maxsize=16384)
def flat(text: str) -> str:
    """`extractor.lexicon.plain`, kept: the same few names and words are compared over and over."""
    return plain(text)


@dataclass(frozen=True)
class Part:
    """How large "a part" is taken to be: by volume (`unit` ml) or by weight (`unit` g)."""

    unit: str
    size: float


@dataclass(frozen=True)
class Poured:
    """`ml` of a liquid, or `g` of a solid. One of them is None; both are where neither can be told."""

    ml: Worked | None
    g: Worked | None
    sized: bool = True
    """False where the amount is in parts: it stands in proportion to the others only."""


NOTHING = Poured(None, None)


def entry_of(ingredient: Ingredient, lexicon: Lexicon) -> Entry | None:
    if ingredient.lexicon_id is None:
        return None
    return lexicon.by_id.get(ingredient.lexicon_id)


def kind_in(entry: Entry | None, kinds: tuple[str, ...], lexicon: Lexicon) -> bool:
    return entry is not None and any(k.name in kinds for k in lexicon.kind_chain(entry))


def is_ice(ingredient: Ingredient, lexicon: Lexicon) -> bool:
    """Ice by its kind, or by a name of the lexicon's list of ices."""
    entry = entry_of(ingredient, lexicon)
    if entry is not None:
        return kind_in(entry, ("ice",), lexicon)
    name = flat(ingredient.name)
    return any(name == flat(n) for ice in lexicon.ices for n in (ice.name, *ice.others))


def is_liquid(entry: Entry | None, lexicon: Lexicon, tables: Tables) -> bool:
    """Liquids, what melts (ice cream, jam), and names that the lexicon does not have."""
    if entry is None:
        return True
    return lexicon.state(entry) == "liquid" or kind_in(entry, tables.contents["melts"], lexicon)


def figure(entry: Entry, key: str, unit: str, lexicon: Lexicon) -> Worked | None:
    """A figure of the lexicon as a worked number; None where it has none."""
    found = lexicon.figure(entry, key)
    return None if found is None else Worked(found.low, found.high, unit, (), found.source)


def usual_range(lexicon: Lexicon, entry: Entry, units: UnitsTable, *, tables: Tables | None = None) -> Worked | None:
    """The usual amount of `entry` in one drink: in ml of a liquid, in g of a solid; None where it cannot be told."""
    tables = tables or tables_of(lexicon)
    usual = lexicon.usual(entry)
    if usual is None:
        return None
    said = Amount(low=usual.low, high=usual.high, unit=usual.unit, millilitres=None, said="")  # type: ignore[arg-type]
    poured = _measured(said, entry, entry.name, lexicon, units, tables, None)
    worked = poured.ml or poured.g
    if worked is None or worked.rests_on:
        return None
    return replace(worked, source=sources(usual.source, worked))


def _of_table(row: Row, name: str, why: str, count: tuple[float, float] = (1.0, 1.0)) -> Worked:
    span = row.figure("millilitres")
    return Worked(span.low * count[0], span.high * count[1], "ml", (f"{name}: {why}",), span.source)


def _as_grams(ml: Worked, entry: Entry | None, name: str, lexicon: Lexicon, tables: Tables) -> Worked:
    """Millilitres of a solid (a teaspoon of sugar) in grams, by its bulk density."""
    bulk = None if entry is None else figure(entry, "density", "g/ml", lexicon)
    if bulk is None and entry is not None:
        for key in (entry.name, "granulated sugar" if kind_in(entry, ("sweetener",), lexicon) else ""):
            if key in tables.syrups:
                found = tables.syrups[key].figure("density")
                bulk = Worked(found.low, found.high, "g/ml", (), found.source)
                break
    if bulk is None:
        # Loosely heaped leaves to packed salt: wider than any kitchen solid.
        bulk = Worked(0.1, 1.4, "g/ml", (f"{name}: its density",), "memory")
    return times(ml, bulk, "g")


def liquid_density(entry: Entry | None, name: str, lexicon: Lexicon) -> Worked:
    """g/ml: the lexicon's, else from strength and sugar where it has them, else the bounds of anything drinkable."""
    from extractor.figures import ethanol, sucrose

    if entry is not None:
        own = figure(entry, "density", "g/ml", lexicon)
        if own is not None:
            return own
        strength, sugar = lexicon.figure(entry, "strength"), lexicon.figure(entry, "sugar")
        if strength is not None and strength.high == 0 and sugar is not None:
            low, high = (sucrose.density(sucrose.brix_from_sugar_per_litre(s)) for s in (sugar.low, sugar.high))
            return Worked(low, high, "g/ml", (), sources(sugar.source, sucrose.SOURCE))
        if strength is not None and sugar is not None and sugar.high == 0:
            low, high = ethanol.density_at(strength.high), ethanol.density_at(strength.low)
            return Worked(low, high, "g/ml", (), sources(strength.source, ethanol.SOURCE))
    return Worked(0.8, 1.45, "g/ml", (f"{name}: its density",), "memory")


def _count(amount: Amount, tables: Tables) -> tuple[float, float]:
    """The number said; "a few" where none was but the unit was."""
    if amount.low is not None and amount.high is not None:
        return amount.low, amount.high
    few = tables.measures["few"].figure("count")
    return few.low, few.high


def _measured(
    amount: Amount,
    entry: Entry | None,
    name: str,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    part: Part | None,
) -> Poured:
    liquid = is_liquid(entry, lexicon, tables)
    low, high = _count(amount, tables)
    vague = () if amount.low is not None else (f"{name}: how many ({amount.unit})",)
    unit = amount.unit
    if unit == "part":
        if part is None:
            return Poured(unknown("ml", f"{name}: how large a part is"), None)
        return _parts(low, high, part, entry, name, lexicon, tables)
    if unit in MASS:
        g = Worked(low * MASS[unit], high * MASS[unit], "g", vague)
        if not liquid:
            return Poured(None, g)
        return Poured(over(g, liquid_density(entry, name, lexicon), "ml"), None)
    if amount.millilitres is not None:
        ml = Worked(amount.millilitres.low, amount.millilitres.high, "ml", vague)
    else:
        found = None if unit is None else units.millilitres(low, high, unit)
        if found is None:
            return _counted(low, high, vague, unit, entry, name, lexicon, tables)
        ml = Worked(float(found[0]), float(found[1]), "ml", vague)
    return Poured(ml, None) if liquid else Poured(None, _as_grams(ml, entry, name, lexicon, tables))


def _parts(
    low: float, high: float, part: Part, entry: Entry | None, name: str, lexicon: Lexicon, tables: Tables
) -> Poured:
    said = Worked(low * part.size, high * part.size, part.unit)
    liquid = is_liquid(entry, lexicon, tables)
    if part.unit == "g":
        if not liquid:
            return Poured(None, said, sized=False)
        return Poured(over(said, liquid_density(entry, name, lexicon), "ml"), None, sized=False)
    if liquid:
        return Poured(said, None, sized=False)
    return Poured(None, _as_grams(said, entry, name, lexicon, tables), sized=False)


def _counted(
    low: float,
    high: float,
    vague: tuple[str, ...],
    unit: str | None,
    entry: Entry | None,
    name: str,
    lexicon: Lexicon,
    tables: Tables,
) -> Poured:
    """Pieces, cubes, cans: by what the lexicon says that one gives, else by the table, else not known."""
    liquid = is_liquid(entry, lexicon, tables)
    if unit in ("piece", "cube") and entry is not None:
        each = figure(entry, "piece", "ml" if liquid else "g", lexicon)
        if each is None and unit == "cube" and kind_in(entry, ("sweetener",), lexicon):
            cube = tables.measures["sugar cube"].figure("grams")
            each = Worked(cube.low, cube.high, "g", (), cube.source)
        if each is not None:
            number = Worked(low, high, "", vague)
            worked = times(number, each, each.unit)
            return Poured(worked, None) if liquid else Poured(None, worked)
    if unit is not None and unit in tables.measures and "millilitres" in tables.measures[unit].figures:
        ml = resting(_of_table(tables.measures[unit], name, f"the size of a {unit}", (low, high)), *vague)
        return Poured(ml, None) if liquid else Poured(None, _as_grams(ml, entry, name, lexicon, tables))
    if kind_in(entry, ("sweetener", "acid"), lexicon):
        return Poured(None, unknown("g", f"{name}: how much that is in grams"))
    if not liquid or unit in COUNTED - {"piece", "scoop"}:
        return NOTHING
    return Poured(unknown("ml", f"{name}: how much that is in millilitres"), None)


def _not_said(
    why: str,
    entry: Entry | None,
    name: str,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    *,
    in_drink: bool,
) -> Poured:
    """No amount that measures: what is usual for the thing in a drink where that is known, else anything."""
    liquid = is_liquid(entry, lexicon, tables)
    usual = usual_range(lexicon, entry, units, tables=tables) if entry is not None and in_drink else None
    if usual is not None:
        worked = resting(usual, f"{name}: {why}")
        return Poured(worked, None) if worked.unit == "ml" else Poured(None, worked)
    if liquid:
        return Poured(unknown("ml", f"{name}: {why}"), None)
    if kind_in(entry, ("sweetener", "acid"), lexicon):
        return Poured(None, unknown("g", f"{name}: {why}"))
    return NOTHING


def poured(
    ingredient: Ingredient,
    lexicon: Lexicon,
    units: UnitsTable,
    tables: Tables,
    *,
    part: Part | None = None,
    in_drink: bool = True,
) -> Poured:
    """What this line pours. `part`: the size of "a part", where amounts are in parts; without it a part is unknown.

    An amount that was not said is the lexicon's usual range and says so (`in_drink`; for a batch of something home-made
    nothing is usual); what is optional may be nothing.
    """
    entry, name, amount = entry_of(ingredient, lexicon), ingredient.name, ingredient.amount
    if amount is None:
        out = _not_said("no amount said", entry, name, lexicon, units, tables, in_drink=in_drink)
    elif amount.unit == "rim":
        out = NOTHING if not is_liquid(entry, lexicon, tables) else Poured(exact(0.0, "ml"), None)
    elif amount.unit == "rinse":
        out = Poured(_of_table(tables.measures["rinse"], name, "how much of the rinse stays in the glass"), None)
    elif amount.unit == "float" and amount.low is None and amount.millilitres is None:
        out = Poured(_of_table(tables.measures["float"], name, "how much is floated"), None)
    elif amount.unit == "top":
        out = _not_said("topped up, no amount said", entry, name, lexicon, units, tables, in_drink=in_drink)
    elif amount.unit == "to_taste":
        out = _not_said("to taste", entry, name, lexicon, units, tables, in_drink=in_drink)
        out = Poured(
            None if out.ml is None else perhaps(out.ml, f"{name}: to taste"),
            None if out.g is None else perhaps(out.g, f"{name}: to taste"),
        )
    elif amount.unit is None and amount.millilitres is None:
        number = "" if amount.low is None else f"{amount.low:g} of "
        out = _not_said(f"{number}what was not said", entry, name, lexicon, units, tables, in_drink=in_drink)
    elif amount.low is None and amount.unit in ("splash",):
        out = Poured(_of_table(tables.measures["splash"], name, "how much a splash is"), None)
    else:
        out = _measured(amount, entry, name, lexicon, units, tables, part)
    if ingredient.optional:
        why = f"{name}: optional"
        out = replace(
            out,
            ml=None if out.ml is None else perhaps(out.ml, why),
            g=None if out.g is None else perhaps(out.g, why),
        )
    return out


def said_in_parts(ingredients: tuple[Ingredient, ...]) -> bool:
    return any(i.amount is not None and i.amount.unit == "part" for i in ingredients)


def names_match(a: str, b: str) -> bool:
    """Whether two names are one thing: in plain form, without articles, "fresh", "our" and the like."""
    idle = {"a", "an", "the", "our", "my", "your", "that", "this", "some", "homemade", "home", "made", "house", "fresh"}

    def core(text: str) -> tuple[str, ...]:
        return tuple(w for w in flat(text).split() if w not in idle)

    return bool(core(a)) and core(a) == core(b)
