"""The allergens of a drink as its public is told them: contains, may contain, and what is not known."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from extractor.lexicon import Lexicon, plain
from extractor.publish.gaps import told
from extractor.record import AllergenFound, Component, Drink, Ingredient
from extractor.visible import line


@dataclass(frozen=True, slots=True)
class Allergens:
    """Each a list of "eggs (egg white)"; `unknown` names what is in no list of ours. `worked` False: nothing was
    looked up."""

    contains: tuple[str, ...]
    may_contain: tuple[str, ...]
    unknown: tuple[str, ...]
    worked: bool

    def lines(self) -> tuple[str, ...]:
        if not self.worked:
            return ("Allergens: not looked up.",)
        out = []
        if self.contains:
            out.append(f"Contains {', '.join(self.contains)}.")
        if self.may_contain:
            out.append(f"May contain {', '.join(self.may_contain)}.")
        if self.unknown:
            out.append(f"Allergens not known of: {', '.join(self.unknown)}.")
        if not out:
            out.append("No allergen of the US or EU lists is known in it.")
        return tuple(out)


def _chosen(found: Iterable[AllergenFound], country: str) -> list[AllergenFound]:
    """The list of the country; of the other list only what is in a thing of which the first says nothing."""
    own = "us" if country == "us" else "eu"
    first = [a for a in found if a.list == own]
    named = {a.because for a in first}
    return first + [a for a in found if a.list != own and a.because not in named]


def _grouped(found: Iterable[AllergenFound]) -> tuple[str, ...]:
    groups: dict[str, list[str]] = {}
    for a in found:
        because = groups.setdefault(line(a.allergen), [])
        if line(a.because) not in because:
            because.append(line(a.because))
    return tuple(f"{name} ({', '.join(because)})" for name, because in groups.items())


def allergens_of(drink: Drink, components: Iterable[Component], lexicon: Lexicon, country: str) -> Allergens:
    """What the figures found, with every name that no lexicon has and every home-made thing whose recipe is not
    told."""
    parts = tuple(components)
    made = {plain(c.name): c for c in parts}
    unknown: list[str] = []

    def look(ingredients: Iterable[Ingredient]) -> None:
        for i in ingredients:
            if plain(i.name) not in made and (i.lexicon_id is None or i.lexicon_id not in lexicon.by_id):
                unknown.append(line(i.name))

    look((*drink.ingredients, *drink.garnishes))
    for component in parts:
        look(component.ingredients)
        if not told(component):
            unknown.append(line(component.name))
    figures = drink.figures
    found = _chosen(figures.allergens, country) if figures is not None else []
    return Allergens(
        _grouped(a for a in found if a.certainty == "contains"),
        _grouped(a for a in found if a.certainty == "may contain"),
        tuple(dict.fromkeys(u for u in unknown if u)),
        worked=figures is not None,
    )
