"""How much of each line a recipe pours, and how much of each home-made thing some drinks need together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from extractor.lexicon import Entry, Lexicon
from extractor.publish.rounding import exact
from extractor.publish.sheet import component_of, core_name, home_made_of
from extractor.record import Component, Drink, Ingredient


def entry_of(ingredient: Ingredient, lexicon: Lexicon) -> Entry | None:
    return lexicon.by_id.get(ingredient.lexicon_id or "")


def is_a(ingredient: Ingredient, kind: str, lexicon: Lexicon) -> bool:
    entry = entry_of(ingredient, lexicon)
    return entry is not None and lexicon.is_a(entry, kind)


def volume_ml(ingredient: Ingredient, lexicon: Lexicon, *, most: bool = False) -> Fraction | None:
    """What a line pours, in millilitres: as measured, or the juice of a fruit or an egg by what one gives.

    The middle of a range, or its larger end (`most`). None where that is not known.
    """
    amount = ingredient.amount
    if amount is None or amount.low is None or amount.high is None:
        return None

    def of(low: float, high: float) -> Fraction:
        return exact(high) if most else (exact(low) + exact(high)) / 2

    if amount.millilitres is not None:
        return of(amount.millilitres.low, amount.millilitres.high)
    entry = entry_of(ingredient, lexicon)
    if amount.unit == "piece" and entry is not None and lexicon.state(entry) == "liquid":
        each = lexicon.figure(entry, "piece")
        if each is not None:
            return of(amount.low, amount.high) * (exact(each.low) + exact(each.high)) / 2
    return None


SHORT = Fraction(1, 50)
"""A share of one making that may be missing before it is made once more: what it yields is not known more closely."""


@dataclass(frozen=True)
class Making:
    """One home-made thing and how often its recipe is made.

    `needed_ml`: what the drinks pour of it, None where a line of it has no measure; `yield_ml`: what its recipe gives
    at least, None where that is not known. `times` is 1 where either is not known: `sure` is False then.
    """

    component: Component
    needed_ml: Fraction | None
    yield_ml: Fraction | None
    times: int
    sure: bool


def _yield(component: Component, drinks: Iterable[Drink]) -> Fraction | None:
    for drink in drinks:
        worked = drink.figures.components.get(component.name) if drink.figures is not None else None
        if worked is not None and worked.volume_ml is not None and worked.volume_ml.low > 0:
            return Fraction(repr(worked.volume_ml.low))
    return None


def makings(drinks: Sequence[Drink], others: Sequence[Component], lexicon: Lexicon) -> tuple[Making, ...]:
    """Every home-made thing that these drinks use, each once, and how often it must be made for all of them together.

    A thing that goes into another home-made thing counts for as often as that is made.
    """
    everything = [*others, *(c for d in drinks for c in d.components)]
    used: list[Component] = []
    for drink in drinks:
        for component in home_made_of(drink, everything):
            if component_of_name(component.name, used) is None:
                used.append(component)
    lines = [(i, Fraction(1)) for d in drinks for i in (*d.ingredients, *d.garnishes)]
    out: dict[int, Making] = {}
    # A thing must be counted after all that it goes into: as many rounds as there are things is enough for any order.
    for _ in range(len(used) + 1):
        for k, component in enumerate(used):
            inner = [
                (i, Fraction(out[n].times))
                for n, other in enumerate(used)
                if n != k and n in out
                for i in other.ingredients
            ]
            out[k] = _making(component, [*lines, *inner], used, drinks, lexicon)
    return tuple(out[k] for k in range(len(used)))


def _making(
    component: Component,
    lines: Sequence[tuple[Ingredient, Fraction]],
    used: Sequence[Component],
    drinks: Sequence[Drink],
    lexicon: Lexicon,
) -> Making:
    needed: Fraction | None = Fraction(0)
    for ingredient, times in lines:
        if component_of(ingredient, used) is not component:
            continue
        ml = volume_ml(ingredient, lexicon, most=True)
        needed = None if ml is None or needed is None else needed + ml * times
    gives = _yield(component, drinks)
    if needed is None or gives is None:
        return Making(component, needed, gives, 1, False)
    return Making(component, needed, gives, max(1, math.ceil(needed / gives - SHORT)), True)


def component_of_name(name: str, components: Iterable[Component]) -> Component | None:
    return next((c for c in components if core_name(c.name) == core_name(name)), None)
