"""Open questions, and where each stands in what gets published.

A blocking question stops the writing (plan.py). Written all the same, every open question is marked at the thing that
it is about and listed with its own words; what the record itself leaves empty is marked in any case.
"""

from __future__ import annotations

from collections.abc import Iterable

from extractor.lexicon import plain
from extractor.publish.tables import Tables
from extractor.record import Component, Drink, Episode, Ingredient, Question
from extractor.visible import line

AT_INGREDIENT = (
    "amount-missing", "amount-vague", "amount-conflict", "amount-unlikely", "unit-missing", "name-unsure",
    "choice-open",
)  # fmt: skip
AT_COMPONENT = ("component-incomplete", "elsewhere")


def mark(key: str, tables: Tables, about: str = "") -> str:
    """The words of a gap, in brackets: "[AMOUNT NOT SAID — ask]"."""
    return f"[{tables.gaps[key].replace('{}', line(about))}]"


def blocking(episode: Episode) -> tuple[Question, ...]:
    return tuple(q for q in episode.questions if q.blocking)


def of_drink(drink: Drink, questions: Iterable[Question]) -> tuple[Question, ...]:
    """The questions about this drink or about anything in it."""
    return tuple(q for q in questions if q.drink is not None and plain(q.drink) == plain(drink.name))


def _same(about: str, *names: str) -> bool:
    return bool(plain(about)) and plain(about) in {plain(n) for n in names}


def at_ingredient(ingredient: Ingredient, questions: Iterable[Question], tables: Tables) -> tuple[str, ...]:
    """The gaps of one line, each once."""
    found = [
        mark(q.kind, tables, q.about)
        for q in questions
        if q.kind in AT_INGREDIENT and _same(q.about, ingredient.name, ingredient.heard)
    ]
    amount = ingredient.amount
    empty = amount is None or (amount.low is None and amount.unit is None and not line(amount.said))
    if empty:
        found.append(mark("amount-missing", tables))
    elif amount is not None and amount.unit is None and amount.low is not None:
        found.append(mark("unit-missing", tables))
    return tuple(dict.fromkeys(found))


def at_garnish(ingredient: Ingredient, questions: Iterable[Question], tables: Tables) -> tuple[str, ...]:
    """As `at_ingredient`; a garnish needs no amount."""
    return tuple(
        dict.fromkeys(
            mark(q.kind, tables, q.about)
            for q in questions
            if q.kind in AT_INGREDIENT and _same(q.about, ingredient.name, ingredient.heard)
        )
    )


def at_component(component: Component, questions: Iterable[Question], tables: Tables) -> tuple[str, ...]:
    found = [
        mark(q.kind, tables, q.about) for q in questions if q.kind in AT_COMPONENT and _same(q.about, component.name)
    ]
    if not told(component):
        found.append(mark("elsewhere" if component.elsewhere else "component-incomplete", tables))
    return tuple(dict.fromkeys(found))


def told(component: Component) -> bool:
    """Whether anything of its recipe is known."""
    return bool(component.ingredients or component.steps)


def at_drink(kind: str, questions: Iterable[Question], tables: Tables) -> str | None:
    """The gap of a glass or a method that was asked for."""
    return next((mark(q.kind, tables, q.about) for q in questions if q.kind == kind), None)
