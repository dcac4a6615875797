"""All figures of one drink.

Source: each figure names its own; see the modules of this folder. Per cent by volume at 20 C; volumes are before ice
unless "diluted" stands beside them; water from ice is counted on the part of the drink that meets it, not on what tops
it up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from extractor.figures.allergens import allergens, unknown_allergens
from extractor.figures.balance import balance
from extractor.figures.cautions import cautions
from extractor.figures.component import Made, figures_of, made_all, made_of
from extractor.figures.contents import Contents, Totals, contents, totals
from extractor.figures.dilution import Uptake, drink_uptake, not_said
from extractor.figures.glass import capacity, glass_fill, never_iced
from extractor.figures.makeup import PERCENT
from extractor.figures.poured import Part, UnitsTable, said_in_parts
from extractor.figures.standard_drinks import ethanol_ml_of_one, standard_drinks
from extractor.figures.tables import Tables, tables_of
from extractor.figures.worked import exact, mean, merged, over, per, resting, rounded, sources, total
from extractor.lexicon import Lexicon
from extractor.record import Amount, Balance, Component, Dilution, Drink, Figures, Ingredient, Portion, Worked


@dataclass(frozen=True)
class Mixed:
    """A drink worked out line by line, before it is written down."""

    lines: tuple[Contents, ...]
    made: tuple[Made, ...]
    totals: Totals
    uptake: Uptake
    iced: Totals
    """Of what meets the ice."""
    diluted_ml: Worked
    diluted_abv: Worked | None
    sized: bool
    """False for a drink told in parts alone: strengths and ratios hold, sizes do not."""


def lines_of_drink(
    drink: Drink, lexicon: Lexicon, units: UnitsTable, tables: Tables, made: Sequence[Made] = ()
) -> tuple[Contents, ...]:
    """What each ingredient brings. Where all that is measured is in parts, a part counts as 30 ml (not `sized`)."""
    part = Part("ml", 30.0) if _all_in_parts(drink.ingredients) else None
    out = []
    for ingredient in drink.ingredients:
        one = made_of(ingredient, made)
        out.append(
            contents(
                ingredient,
                lexicon,
                units,
                tables,
                mixing=drink.mixing,
                made=None if one is None else one.makeup,
                part=part,
            )
        )
    return tuple(out)


def _all_in_parts(ingredients: Sequence[Ingredient]) -> bool:
    measured = [i.amount.unit for i in ingredients if i.amount is not None and i.amount.low is not None]
    small = {"part", "dash", "drop", "pinch", "leaf", "sprig", "piece", "peel", "slice", "wedge", "wheel"}
    return said_in_parts(tuple(ingredients)) and all(unit in small for unit in measured)


def _blended_ice(drink: Drink, lines: Sequence[Contents], iced: Totals, found: Uptake) -> Uptake:
    """A blended drink takes up all the ice that was measured into it: a gram is a millilitre of water."""
    ice = [c.ice_g for c in lines if c.is_ice and c.ice_g is not None]
    if found.method != "blend" or not ice or any(g.high is None for g in ice):
        return found
    water = total(ice, "g")
    return Uptake("blend", over(replace(water, unit="ml"), iced.ml, "of initial volume"), found.notes)


def mix(
    drink: Drink, lexicon: Lexicon, units: UnitsTable, tables: Tables, components: Sequence[Component] = ()
) -> Mixed:
    """Work the drink out. `components`: home-made things of other drinks of the same talk that it may use."""
    made = made_all((*components, *drink.components), lexicon, units, tables)
    lines = lines_of_drink(drink, lexicon, units, tables, made)
    with_ice = [c for c in lines if not c.after_ice]
    after = [c for c in lines if c.after_ice]
    iced = totals(with_ice)
    if iced.ml.high == 0:
        # Nothing but what fizzes: it is built.
        with_ice, after, iced = list(lines), [], totals(lines)
    found = drink_uptake(drink, iced.abv, tables) if lines else not_said(tables)
    found = _blended_ice(drink, lines, iced, found)
    water = found.of_initial
    diluted = _swollen(iced.ml, water)
    abv = None
    if iced.abv is not None:
        weaker = _weakened(drink, iced.abv, water, found, tables)
        abv = mean([diluted, *(c.ml for c in after)], [weaker, *(c.strength for c in after)], PERCENT)
    return Mixed(
        lines=lines,
        made=made,
        totals=totals(lines),
        uptake=found,
        iced=iced,
        diluted_ml=total([diluted, *(c.ml for c in after)], "ml"),
        diluted_abv=abv,
        sized=all(c.sized for c in lines),
    )


def _swollen(ml: Worked, water: Worked) -> Worked:
    high = None if ml.high is None or water.high is None else ml.high * (1 + water.high)
    return Worked(ml.low * (1 + water.low), high, "ml", merged(ml.rests_on, water.rests_on), sources(ml, water))


def _weakened(drink: Drink, abv: Worked, water: Worked, found: Uptake, tables: Tables) -> Worked:
    """Strength after ice. A stronger drink takes up more water, so each end is weighed with its own water."""
    low_water, high_water = water.high, water.low
    if found.method in ("stir", "shake"):
        at_low = drink_uptake(drink, exact(abv.low, PERCENT), tables).of_initial
        low_water = at_low.high
        if abv.high is not None:
            high_water = drink_uptake(drink, exact(abv.high, PERCENT), tables).of_initial.low
    low = 0.0 if low_water is None else abv.low / (1 + low_water)
    high = None if abv.high is None else abv.high / (1 + high_water)
    rests_on = () if high == 0 else merged(abv.rests_on, water.rests_on)
    return Worked(low, high, PERCENT, rests_on, sources(abv, water))


def _lean_notes(ingredients: Sequence[Ingredient]) -> list[str]:
    out = []
    for i in ingredients:
        if i.amount is not None and i.amount.lean is not None and i.amount.low is not None:
            out.append(f'{i.name}: "{i.amount.said}" is counted as the bare amount')
    return out


def _convention_notes(drink: Drink, units: UnitsTable) -> list[str]:
    """What a bar spoon or a dash was taken for, where practice differs: once a unit."""
    convention = getattr(units, "convention", None)
    out: dict[str, str] = {}
    for i in drink.ingredients:
        unit = None if i.amount is None else i.amount.unit
        found = convention(unit) if convention is not None and unit is not None else None
        if found is None or found.spread is None or found.millilitres is None or unit is None:
            continue
        low, high = (float(x) for x in found.spread)
        out.setdefault(
            unit,
            f"a {found.label} is taken as {float(found.millilitres):.3g} ml; practice runs from {low:g} to {high:g} ml",
        )
    return list(out.values())


def _kept(worked: Worked | None) -> Worked | None:
    """None for a figure of which nothing at all is known; else rounded, with its unknowns in order."""
    if worked is None or (worked.low == 0 and worked.high is None):
        return None
    return rounded(worked)


def _portion(mixed: Mixed, drinks: Mapping[str, Worked], servings: float) -> Portion:
    def share(worked: Worked) -> Worked | None:
        return _kept(per(worked, servings))

    return Portion(
        volume_ml=share(mixed.totals.ml),
        volume_diluted_ml=share(mixed.diluted_ml),
        alcohol_g=share(mixed.totals.alcohol_g),
        standard_drinks={c: k for c, w in drinks.items() if (k := share(w)) is not None},
        sugar_g=share(mixed.totals.sugar_g),
        acid_g=share(mixed.totals.acid_g),
        energy_kcal=share(mixed.totals.kcal),
    )


def _dilution(found: Uptake) -> Dilution:
    first = found.of_initial
    last = Worked(
        first.low / (1 + first.low),
        None if first.high is None else first.high / (1 + first.high),
        "of final volume",
        first.rests_on,
        first.source,
    )
    return Dilution(method=found.method, of_initial=rounded(first), of_final=rounded(last))


def _all_worked(figures: Figures) -> Iterable[Worked]:
    stack: list[object] = [figures]
    while stack:
        item = stack.pop()
        if isinstance(item, Worked):
            yield item
        elif isinstance(item, dict):
            stack += item.values()
        elif isinstance(item, tuple):
            stack += item
        elif hasattr(item, "__dict__"):
            stack += vars(item).values()


def _source_words(figures: Figures, lexicon: Lexicon, tables: Tables) -> dict[str, str]:
    """The words of every source key that a figure names. Raises LookupError for a key without words."""
    words = {**tables.sources, **lexicon.sources}
    keys = {k for w in _all_worked(figures) for k in w.source.split(", ") if k}
    missing = sorted(k for k in keys if k not in words)
    if missing:
        raise LookupError(f"no words for the sources {', '.join(missing)}")
    return {k: words[k] for k in sorted(keys)}


def drink_figures(
    drink: Drink,
    lexicon: Lexicon,
    units: UnitsTable,
    *,
    country: str = "us",
    components: Sequence[Component] = (),
) -> Figures:
    """Every figure of `drink`, for the whole recipe and, where servings were said, for one serving.

    `units` converts amounts (`extractor.units.load_units(locale)`). `country` is whose standard drink is to be shown
    first (a key of lexicon/figures/standard_drinks.txt; LookupError for another). `components` are home-made things of
    other drinks of the same talk: one that stands with the first drink that uses it serves the later ones too.
    """
    tables = tables_of(lexicon)
    ethanol_ml_of_one(country, tables)
    own = {c.name for c in drink.components}
    shared = [c for c in components if c.name not in own]
    mixed = mix(drink, lexicon, units, tables, shared)
    used = _used(drink, mixed.made)
    sums = mixed.totals
    notes = [*mixed.uptake.notes, *_lean_notes(drink.ingredients), *_convention_notes(drink, units)]
    has_alcohol = any(c.strength.high is None or c.strength.high > 0 for c in mixed.lines)
    drinks = standard_drinks(sums.ethanol_ml, tables)
    poured = bool(mixed.lines) and sums.ml.high != 0
    sized = poured and mixed.sized
    served = drink.servings if drink.servings is not None and drink.servings > 0 else None
    fill = None
    holds = capacity(lexicon, drink.glass)
    if sized and holds is not None:
        ice = "none" if never_iced(lexicon, drink.glass, tables) else drink.ice
        fill = glass_fill(per(mixed.diluted_ml, served or 1), holds, ice, tables)
        if served is None:
            notes.append("servings were not said: the fill of the glass counts the whole recipe as one drink")
    if poured and not mixed.sized:
        notes.append("told in parts: strengths and ratios hold, but how large a part is was not said")
    weighed = balance(mixed.lines, lexicon, tables) if poured else None
    if weighed is not None and not mixed.sized:
        weighed = weighed.model_copy(
            update={
                "sour_ml": resting(weighed.sour_ml, "how large a part is (here 30 ml)"),
                "sweet_ml": resting(weighed.sweet_ml, "how large a part is (here 30 ml)"),
            }
        )
    parts = [one.component for one in used]
    lacking = unknown_allergens(drink.ingredients, lexicon, garnishes=drink.garnishes, components=parts)
    figures = Figures(
        country=country,
        volume_ml=_kept(sums.ml) if sized else None,
        volume_diluted_ml=_kept(mixed.diluted_ml) if sized else None,
        dilution=_dilution(mixed.uptake) if poured else None,
        abv=_kept(sums.abv),
        abv_diluted=_kept(mixed.diluted_abv),
        alcohol_g=_kept(sums.alcohol_g) if sized else None,
        standard_drinks={c: k for c, w in drinks.items() if (k := _kept(w)) is not None} if sized else {},
        sugar_g=_kept(sums.sugar_g) if sized else None,
        acid_g=_kept(sums.acid_g) if sized else None,
        balance=weighed,
        energy_kcal=_kept(sums.kcal) if sized else None,
        glass_fill=_kept(fill),
        per_serving=_portion(mixed, drinks, served) if sized and served is not None else None,
        allergens=allergens(drink.ingredients, lexicon, tables, garnishes=drink.garnishes, components=parts),
        cautions=cautions(
            drink,
            lexicon,
            tables,
            components=parts,
            strengths={c.ingredient.name: c.strength for c in mixed.lines},
            kept={one.component.name: one.keeping for one in used},
            has_alcohol=has_alcohol,
        ),
        components={one.component.name: figures_of(one, lexicon, tables) for one in used},
        notes=tuple(dict.fromkeys((*notes, *lacking, *(n for one in used for n in one.notes)))),
    )
    return figures.model_copy(update={"sources": _source_words(figures, lexicon, tables)})


def _used(drink: Drink, made: Sequence[Made]) -> tuple[Made, ...]:
    """The drink's own components, and those of other drinks that its ingredients (or those of its own) name."""
    own = {c.name for c in drink.components}
    wanted = [one for one in made if one.component.name in own]
    lines = [*drink.ingredients, *drink.garnishes, *(i for c in drink.components for i in c.ingredients)]
    for ingredient in lines:
        one = made_of(ingredient, made)
        if one is not None and one not in wanted:
            wanted.append(one)
    return tuple(wanted)


def total_volume(
    drink: Drink,
    lexicon: Lexicon,
    units: UnitsTable,
    *,
    diluted: bool = False,
    components: Sequence[Component] = (),
) -> Worked:
    """Millilitres of the whole recipe before ice, or with the water from it."""
    mixed = mix(drink, lexicon, units, tables_of(lexicon), components)
    return mixed.diluted_ml if diluted else mixed.totals.ml


@dataclass(frozen=True)
class WithAlcohol:
    """An ingredient that has alcohol, or may: `strength` in % vol; `because` in words for a question."""

    ingredient: Ingredient
    strength: Worked
    surely: bool
    because: str


def alcohol_free_claim(
    drink: Drink,
    lexicon: Lexicon,
    units: UnitsTable,
    *,
    components: Sequence[Component] = (),
) -> tuple[WithAlcohol, ...]:
    """What in a drink that is said to be without alcohol has some, or (not `surely`) is not known to have none.

    Whether the talk makes that claim is for the caller. A dash of bitters counts: the claim is then not true as said.
    """
    tables = tables_of(lexicon)
    made = made_all((*components, *drink.components), lexicon, units, tables)
    out = []
    for line in lines_of_drink(drink, lexicon, units, tables, made):
        strength = line.strength
        if strength.high == 0:
            continue
        name = line.ingredient.name
        if strength.high is None and strength.low == 0:
            out.append(WithAlcohol(line.ingredient, strength, False, f"nothing is known of the strength of {name}"))
            continue
        high = strength.high if strength.high is not None else strength.low
        span = f"{strength.low:g}" if strength.low == high else f"{strength.low:g} to {high:g}"
        surely = strength.low > 0
        has = "has" if surely else "may have"
        out.append(WithAlcohol(line.ingredient, strength, surely, f"{name} {has} {span} % vol"))
    return tuple(out)


def amounts_in_millilitres(drink: Drink, units: UnitsTable) -> dict[str, tuple[float, float] | None]:
    """Millilitres of every amount said, by ingredient name, under the convention of `units`; None where it has none."""

    def one(amount: Amount | None) -> tuple[float, float] | None:
        if amount is None or amount.low is None or amount.high is None or amount.unit is None:
            return None
        if amount.millilitres is not None:
            return amount.millilitres.low, amount.millilitres.high
        return units.millilitres(amount.low, amount.high, amount.unit)

    return {i.name: one(i.amount) for i in drink.ingredients}


def sour_sweet_balance(
    drink: Drink, lexicon: Lexicon, units: UnitsTable, *, components: Sequence[Component] = ()
) -> Balance | None:
    """Sour against sweet of the drink as poured; `balance.is_unusual` judges it. None with nothing to weigh."""
    tables = tables_of(lexicon)
    made = made_all((*components, *drink.components), lexicon, units, tables)
    return balance(lines_of_drink(drink, lexicon, units, tables, made), lexicon, tables)
