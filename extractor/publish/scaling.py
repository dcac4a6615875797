"""A drink for more people, or as so many litres ready to pour.

Poured and weighed things are multiplied as they come. What is counted is not: an egg stays whole, a fruit is cut at
the half, a glass is rinsed once a glass; whatever is rounded or must go by taste is said, never done in silence. For
litres the water that ice would have given is worked out with the drink's own dilution, so that the batch is poured
cold as it is.

Source: the dilution is the figures' (with their sources); how dashes, eggs and the like are handled is common
practice, no source, as set out in lexicon/publish/units.txt and scaling.txt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from extractor.errors import PublishError
from extractor.lexicon import Lexicon
from extractor.publish.amounts import MULTIPLIED, in_millilitres, in_ounces, ounce_of
from extractor.publish.rounding import exact, spoken
from extractor.publish.safe_text import capital
from extractor.publish.tables import Tables
from extractor.publish.volumes import Making, entry_of, is_a, makings, volume_ml
from extractor.record import Amount, Component, Drink, Evidence, Figures, Ingredient, Range, Step, Worked
from extractor.visible import line

MOST = 1000.0
"""Servings or litres: more than that is a slip of the hand."""
MANY_DASHES = 2
"""A factor from which on dashes are left to the taste."""
MANY_SPOONS = 6
"""So many spoons are poured by the ounce or the millilitre instead."""
PART_ML = 30
"""For litres only the proportions of a drink told in parts matter; so a part may be any size."""


@dataclass(frozen=True)
class Scaled:
    """A drink multiplied by `factor`.

    `drink` holds the new amounts (`said` empty: nobody said them), steps and figures; `water_ml` the water that is in
    it for the ice, from low to high (the amount written is the middle), None where there is none; `remarks` say what
    was rounded, goes by taste, or stays out of the bottle.
    """

    drink: Drink
    factor: Fraction
    title: str
    water_ml: Range | None
    remarks: tuple[str, ...]


def scale(
    drink: Drink,
    lexicon: Lexicon,
    tables: Tables,
    *,
    servings: float | None = None,
    litres: float | None = None,
    components: Sequence[Component] = (),
) -> Scaled:
    """`drink` for so many servings, or as so many litres of finished drink with its water in it.

    `components` are home-made things of other drinks that it may use. Raises PublishError for a number that is not
    above zero, for both or neither, and for litres of a drink that cannot be bottled (it says why).
    """
    if (servings is None) == (litres is None):
        raise PublishError("A drink is scaled to servings or to litres", hint="Give one of the two.")
    wanted, what = (servings, "servings") if servings is not None else (litres, "litres")
    assert wanted is not None
    if math.isnan(wanted) or not 0 < wanted <= MOST:
        raise PublishError(f"{wanted:g} {what} cannot be made", hint=f"Give a number above 0, up to {MOST:g}.")
    if servings is not None:
        return _to_servings(drink, exact(servings), lexicon, tables, components)
    return _to_litres(drink, exact(wanted), lexicon, tables, components)


# ------------------------------------------------------------------------------------------------ one amount


@dataclass
class _Multiplier:
    """Multiplies the lines of one recipe and remembers what has to be said of it."""

    factor: Fraction
    lexicon: Lexicon
    tables: Tables
    remarks: list[str]
    dashes: list[str]

    def line(self, ingredient: Ingredient, *, garnish: bool = False, metric: bool = False) -> Ingredient:
        """`metric`: what pours is told in millilitres, the juice of a fruit too."""
        amount = ingredient.amount
        if amount is None or amount.low is None or amount.high is None or self.factor == 1:
            return ingredient
        name = line(ingredient.name)
        low, high = exact(amount.low) * self.factor, exact(amount.high) * self.factor
        if amount.unit is None:
            return self._with(ingredient, amount, low, high)
        if amount.unit == "part":
            self.remarks.append(self.tables.say("parts"))
            return ingredient
        if metric and amount.unit == "piece" and (ml := volume_ml(ingredient, self.lexicon)) is not None:
            size = Range(low=float(ml), high=float(ml))
            poured = amount.model_copy(update={"low": size.low, "high": size.high, "unit": "ml", "millilitres": size})
            return self._with(ingredient, poured, ml * self.factor, ml * self.factor)
        scales = self.tables.units[amount.unit].scales
        if scales == "stays" and amount.millilitres is None:
            return ingredient
        if scales in ("half", "whole"):
            step = Fraction(1) if scales == "whole" or garnish or self._whole(ingredient) else Fraction(1, 2)
            rounded = [self._rounded(v, step, up=garnish) for v in (low, high)]
            if (rounded[0], rounded[1]) != (low, high) and not garnish:
                by = spoken(low) if low == high else f"{spoken(low)} to {spoken(high)}"
                to = spoken(rounded[0]) if rounded[0] == rounded[1] else f"{spoken(rounded[0])} to {spoken(rounded[1])}"
                self.remarks.append(self.tables.say("whole", name=capital(name), exact=by, whole=to))
            return self._with(ingredient, amount, *rounded)
        if scales == "taste":
            if self.factor > MANY_DASHES:
                self.dashes.append(name)
            return self._with(ingredient, amount, *(self._rounded(v, Fraction(1), up=False) for v in (low, high)))
        return self._with(ingredient, amount, low, high, metric=metric)

    def _whole(self, ingredient: Ingredient) -> bool:
        return any(is_a(ingredient, kind, self.lexicon) for kind in self.tables.never_cut)

    @staticmethod
    def _rounded(value: Fraction, step: Fraction, *, up: bool) -> Fraction:
        steps = math.ceil(value / step) if up else math.floor(value / step + Fraction(1, 2))
        return max(steps, 1) * step

    def _with(
        self, ingredient: Ingredient, amount: Amount, low: Fraction, high: Fraction, *, metric: bool = False
    ) -> Ingredient:
        ml = amount.millilitres
        unit = amount.unit
        scaled_ml = None
        if ml is not None and amount.low and amount.high:
            # By what was multiplied in the end: dashes are whole.
            each = exact(ml.low) / exact(amount.low)
            scaled_ml = Range(low=float(each * low), high=float(each * high))
            if metric or (unit in ("tsp", "tbsp", "bar_spoon") and high > MANY_SPOONS):
                unit, low, high = "ml", each * low, each * high
        new = amount.model_copy(
            update={"low": float(low), "high": float(high), "unit": unit, "millilitres": scaled_ml, "said": MULTIPLIED}
        )
        return ingredient.model_copy(update={"amount": new})

    def finish(self) -> None:
        if self.dashes:
            self.remarks.append(self.tables.say("dashes", what=capital(", ".join(dict.fromkeys(self.dashes)))))


def _with_home_made(
    drink: Drink, components: Sequence[Component], lexicon: Lexicon, tables: Tables, remarks: list[str]
) -> Drink:
    """With its home-made things each made as often as it takes; what is enough stays as told."""
    out = []
    yields = {} if drink.figures is None else dict(drink.figures.components)
    for making in makings([drink], components, lexicon):
        remarks += _about(making, tables)
        made = making.component
        if making.times > 1:
            by = _Multiplier(Fraction(making.times), lexicon, tables, remarks, [])
            made = made.model_copy(update={"ingredients": tuple(by.line(i) for i in made.ingredients)})
            by.finish()
            if made.name in yields:
                more = _multiple(yields[made.name].volume_ml, by.factor)
                yields[made.name] = yields[made.name].model_copy(update={"volume_ml": more})
        out.append(made)
    figures = None if drink.figures is None else drink.figures.model_copy(update={"components": yields})
    return drink.model_copy(update={"components": tuple(out), "figures": figures})


def _about(making: Making, tables: Tables) -> list[str]:
    name = capital(line(making.component.name))
    if not making.sure or making.needed_ml is None or making.yield_ml is None:
        return [tables.say("made unknown", name=name)]
    needed, gives = (in_millilitres(v, v, tables) for v in (making.needed_ml, making.yield_ml))
    if making.times == 1:
        return [tables.say("made enough", name=name, needed=needed, gives=gives)]
    return [tables.say("made for", name=name, needed=needed, gives=gives, times=str(making.times))]


# ------------------------------------------------------------------------------------------------ by the glass


def _to_servings(
    drink: Drink, servings: Fraction, lexicon: Lexicon, tables: Tables, components: Sequence[Component]
) -> Scaled:
    remarks: list[str] = [] if drink.servings else [tables.say("servings assumed")]
    factor = servings / exact(drink.servings or 1)
    by = _Multiplier(factor, lexicon, tables, remarks, [])
    lines = tuple(by.line(i) for i in drink.ingredients)
    garnishes = tuple(by.line(i, garnish=True) for i in drink.garnishes)
    by.finish()
    update = {
        "ingredients": lines, "garnishes": garnishes, "servings": float(servings),
        "figures": None if drink.figures is None else _times(drink.figures, factor, known=bool(drink.servings)),
    }  # fmt: skip
    made = drink.model_copy(update=update)
    if factor != 1:
        made = _with_home_made(made, components, lexicon, tables, remarks)
    if factor > 1:
        remarks.append(tables.say("one by one"))
    return Scaled(made, factor, f"for {spoken(servings)}", None, tuple(dict.fromkeys(remarks)))


def _multiple(worked: Worked | None, factor: Fraction) -> Worked | None:
    if worked is None:
        return None
    by = float(factor)
    return replace(worked, low=worked.low * by, high=None if worked.high is None else worked.high * by)


def _times(figures: Figures, factor: Fraction, *, known: bool) -> Figures:
    """The figures of so many times the recipe. Strengths stay; a serving stays as large as it is, where it was
    known."""
    sums = {
        key: _multiple(getattr(figures, key), factor)
        for key in ("volume_ml", "volume_diluted_ml", "alcohol_g", "sugar_g", "acid_g", "energy_kcal")
    }
    drinks = {c: w for c, worked in figures.standard_drinks.items() if (w := _multiple(worked, factor)) is not None}
    return figures.model_copy(
        update={
            **sums,
            "standard_drinks": drinks,
            "per_serving": figures.per_serving if known else None,
            "balance": None,
        }
    )


# ------------------------------------------------------------------------------------------------ by the bottle


def _last(ingredient: Ingredient, lexicon: Lexicon, tables: Tables) -> bool:
    """What goes into each glass: what fizzes or floats, and what the glass is rinsed or rimmed with."""
    unit = None if ingredient.amount is None else ingredient.amount.unit
    if unit in ("top", "float", "rinse", "rim"):
        return True
    # The notes that the reading of the talk leaves with such a line.
    if any(word in note.lower() for note in ingredient.notes for word in ("float", "rinse")):
        return True
    return any(is_a(ingredient, kind, lexicon) for kind in tables.poured_last)


def _in_millilitres(drink: Drink) -> Drink:
    """A drink told in parts, with a size for a part, so that it can be multiplied to litres."""

    def one(i: Ingredient) -> Ingredient:
        a = i.amount
        if a is None or a.unit != "part" or a.low is None or a.high is None:
            return i
        ml = Range(low=a.low * PART_ML, high=a.high * PART_ML)
        amount = a.model_copy(update={"low": ml.low, "high": ml.high, "unit": "ml", "millilitres": ml})
        return i.model_copy(update={"amount": amount})

    return drink.model_copy(update={"ingredients": tuple(one(i) for i in drink.ingredients)})


def _refuse(drink: Drink, why: str, hint: str) -> PublishError:
    return PublishError(f"{line(drink.name)} cannot be made by the litre: {why}", hint=hint)


def _water_share(drink: Drink, tables: Tables) -> tuple[Fraction, Fraction]:
    """Water that ice would give, as a share of what is bottled: from low to high; (0, 0) for a drink that gets
    none."""
    dilution = drink.figures.dilution if drink.figures is not None else None
    if dilution is None:
        raise _refuse(drink, "its dilution was not worked out", "Draft the episode again, or scale it to servings.")
    if dilution.method == "none" or dilution.method in tables.over_ice:
        return Fraction(0), Fraction(0)
    if dilution.method not in tables.with_water or dilution.of_initial.high is None:
        why = "how it is mixed was not said" if dilution.method == "not said" else f"it is mixed so: {dilution.method}"
        raise _refuse(
            drink, f"{why}, and so its water is not known", "Answer how it is mixed, or scale it to servings."
        )
    return Fraction(repr(dilution.of_initial.low)), Fraction(repr(dilution.of_initial.high))


def _pours(ingredient: Ingredient, lexicon: Lexicon) -> bool:
    """Whether it may be a liquid."""
    entry = entry_of(ingredient, lexicon)
    return entry is None or lexicon.state(entry) == "liquid"


def _to_litres(
    drink: Drink, litres: Fraction, lexicon: Lexicon, tables: Tables, components: Sequence[Component]
) -> Scaled:
    sized = _in_millilitres(drink)
    last = [i for i in sized.ingredients if _last(i, lexicon, tables)]
    eggs = [i for i in sized.ingredients if i not in last and is_a(i, "egg", lexicon)]
    ice = [i for i in sized.ingredients if is_a(i, "ice", lexicon)]
    bottled = [i for i in sized.ingredients if i not in last and i not in eggs and i not in ice]
    volumes = [volume_ml(i, lexicon) for i in bottled]
    unknown = [line(i.name) for i, v in zip(bottled, volumes, strict=True) if v is None and _pours(i, lexicon)]
    if unknown:
        raise _refuse(
            drink,
            f"how much goes in is not known in millilitres of {', '.join(unknown)}",
            "Answer that, or scale it to servings.",
        )
    together = sum((v for v in volumes if v is not None), Fraction(0))
    if not together:
        raise _refuse(drink, "nothing of it that keeps in a bottle is poured by measure", "Scale it to servings.")
    low, high = _water_share(drink, tables)
    middle = (low + high) / 2
    factor = litres * 1000 / (together * (1 + middle))
    base = exact(drink.servings or 1)
    remarks: list[str] = [] if drink.servings else [tables.say("servings assumed")]
    each_ml = together * (1 + middle) / base
    ounce = ounce_of(drink.ingredients, tables)
    each = f"{in_millilitres(each_ml, each_ml, tables)} ({in_ounces(each_ml, each_ml, ounce, tables)})"
    count = math.floor(litres * 1000 / each_ml)
    if count:
        remarks.append(
            tables.say("batch servings", count=f"{count} {'serving' if count == 1 else 'servings'}", each=each)
        )

    by = _Multiplier(factor, lexicon, tables, remarks, [])
    lines = [by.line(i, metric=True) for i in bottled]
    by.finish()
    water = None
    if middle:
        before = together * factor
        water = Range(low=float(before * low), high=float(before * high))
        lines.append(_water(before * middle, lexicon, tables))
        remarks.append(tables.say("batch water", between=f" ({in_millilitres(before * low, before * high, tables)})"))
    glass = _Multiplier(1 / base, lexicon, tables, remarks, [])
    lines += [_in_each_glass(glass.line(i), tables) for i in (*last, *eggs)]
    if eggs:
        remarks.append(tables.say("batch egg"))
    dilution = drink.figures.dilution if drink.figures is not None else None
    if dilution is not None and dilution.method == "shake":
        remarks.append(tables.say("batch shaken"))
    if any(is_a(i, kind, lexicon) for i in bottled for kind in tables.fresh):
        remarks.append(tables.say("batch fresh"))
    pour = "batch pour over ice" if dilution is not None and dilution.method in tables.over_ice else "batch pour"
    steps = (tables.say("batch first"), tables.say(pour, each=each))
    made = drink.model_copy(
        update={
            "ingredients": tuple(lines), "servings": None, "mixing": (),
            "garnishes": tuple(glass.line(i, garnish=True) for i in drink.garnishes),
            "steps": tuple(Step(text=text, at_s=None) for text in steps),
            "figures": _of_batch(drink, whole=not (last or eggs), iced=middle > 0),
        }
    )  # fmt: skip
    # What goes into each glass is not in the bottle: its need is for a glass, and small beside the batch.
    made = _with_home_made(made, components, lexicon, tables, remarks)
    unit = "litre" if litres == 1 else "litres"
    return Scaled(made, factor, f"{spoken(litres)} {unit}, ready to pour", water, tuple(dict.fromkeys(remarks)))


def _water(ml: Fraction, lexicon: Lexicon, tables: Tables) -> Ingredient:
    entry = lexicon.named("water")
    size = Range(low=float(ml), high=float(ml))
    return Ingredient(
        name="cold water", lexicon_id=None if entry is None else entry.id, heard="", at_s=None,
        amount=Amount(low=size.low, high=size.high, unit="ml", millilitres=size, said=MULTIPLIED),
        notes=(tables.say("ice stays"),), evidence=Evidence(start_s=None, end_s=None, text=""),
    )  # fmt: skip


def _in_each_glass(ingredient: Ingredient, tables: Tables) -> Ingredient:
    return ingredient.model_copy(update={"notes": (*ingredient.notes, tables.say("each glass"))})


def _of_batch(drink: Drink, *, whole: bool, iced: bool) -> Figures | None:
    """What still holds in a bottle: allergens and cautions always; the strength where everything is in it."""
    figures = drink.figures
    if figures is None:
        return None
    strength = (figures.abv_diluted if iced else figures.abv) if whole else None
    nothing = figures.abv if figures.abv is not None and figures.abv.high == 0 else None
    return Figures(
        country=figures.country,
        abv=strength or nothing,
        allergens=figures.allergens,
        cautions=figures.cautions,
        components=figures.components,
        sources=figures.sources,
    )
