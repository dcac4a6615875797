"""Allergens of a drink by the US list and by the EU list, with what brings each.

Source: US, FD&C Act section 201(qq) with FDA's list of tree nuts (guidance of 6 January 2025, coconut taken off); EU,
Regulation (EU) No 1169/2011, Annex II. The two lists are two columns of lexicon/figures/allergens.txt and nuts.txt;
neither is made from the other. EU Annex II leaves out what an alcoholic distillate is made from (a whisky is not
"gluten"); a nut steeped in spirit or boiled into a syrup is not left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from extractor.figures.poured import entry_of, flat, is_ice, kind_in, names_match
from extractor.figures.tables import Tables
from extractor.lexicon import Entry, Lexicon
from extractor.record import AllergenFound, Component, Ingredient

ListName = Literal["us", "eu"]
Certainty = Literal["contains", "may contain"]
LISTS: tuple[ListName, ...] = ("us", "eu")


@dataclass(frozen=True)
class _Hit:
    on: ListName
    allergen: str
    certainty: Certainty
    because: str


@lru_cache(maxsize=2048)
def whole_words(phrase: str) -> re.Pattern[str]:
    return re.compile(rf"\b{re.escape(phrase)}(?:s|es)?\b")


def says(text: str, phrase: str) -> bool:
    """Whether the plain `text` has the plain `phrase` as whole words, with or without a final s."""
    return whole_words(phrase).search(text) is not None


def without(text: str, phrases: Iterable[str]) -> str:
    """`text` with each of `phrases` (longest first) taken out."""
    for phrase in sorted(phrases, key=len, reverse=True):
        text = whole_words(phrase).sub(" ", text)
    return text


@dataclass(frozen=True)
class NutsNamed:
    """The nuts of nuts.txt that a name speaks of: by a name of the nut, and by a product that is usually made of it."""

    outright: tuple[str, ...]
    by_product: tuple[str, ...]

    def __bool__(self) -> bool:
        return bool(self.outright or self.by_product)


def nuts_named(text: str, tables: Tables) -> NutsNamed:
    """Longest names first: "black walnut" is not also "walnut"."""
    left = flat(text)
    outright: list[str] = []
    names = [(flat(word), row.name) for row in tables.nuts.values() for word in (row.name, *row.listed("words"))]
    for word, name in sorted(names, key=lambda pair: -len(pair[0])):
        if says(left, word):
            outright.append(name)
            left = without(left, (word,))
    products = [
        row.name for row in tables.nuts.values() if any(says(left, flat(word)) for word in row.listed("products"))
    ]
    return NutsNamed(tuple(dict.fromkeys(outright)), tuple(n for n in products if n not in outright))


def allergens_in_name(text: str, tables: Tables) -> tuple[str, ...]:
    """Allergens of the lexicon's list that the words of a name suggest; nuts apart (`nuts_named`)."""
    found = []
    for allergen in tables.allergens:
        left = without(flat(text), tables.allergen_words.get(f"not {allergen}", ()))
        if any(says(left, flat(word)) for word in tables.allergen_words.get(allergen, ())):
            found.append(allergen)
    return tuple(found)


def _names_it(entry: Entry, allergen: str, tables: Tables) -> bool:
    """Whether an entry's own name speaks of the allergen: then it is in it by more than what it was distilled from."""
    if allergen == "tree nut":
        return bool(nuts_named(entry.name, tables)) or allergen in allergens_in_name(entry.name, tables)
    words = [w for w in tables.allergen_words.get(allergen, ()) if w not in ("barley", "malt", "rye bread")]
    return any(says(flat(entry.name), flat(word)) for word in words)


def _nut_hits(nuts: NutsNamed, certainty: Certainty, because: str, tables: Tables) -> Iterator[_Hit]:
    tree_nut = tables.allergens["tree nut"]
    for nut in (*nuts.outright, *nuts.by_product):
        row = tables.nuts[nut]
        # An orgeat that is said to be of pistachio need not have almonds in it.
        guessed = nut in nuts.by_product and bool(nuts.outright)
        for on in LISTS:
            flag, called = row.word(on), tree_nut.word(on)
            if flag in ("yes", "may") and called is not None:
                sure: Certainty = certainty if flag == "yes" and not guessed else "may contain"
                yield _Hit(on, f"{called} ({nut})", sure, because)


def _entry_hits(
    entry: Entry, allergen: str, certainty: Certainty, because: str, lexicon: Lexicon, tables: Tables
) -> Iterator[_Hit]:
    row = tables.allergens[allergen]
    exempt = kind_in(entry, row.listed("eu_exempt"), lexicon) and not _names_it(entry, allergen, tables)
    if allergen == "tree nut":
        named = nuts_named(" | ".join((entry.name, *entry.others)), tables)
        hits = [h for h in _nut_hits(named, certainty, because, tables) if not (exempt and h.on == "eu")]
        yield from hits
        if hits:
            return
        if named:
            # Its name speaks only of what is on no list (coconut), yet the lexicon says a nut: which one is not known.
            certainty = "may contain"
    for on in LISTS:
        if exempt and on == "eu":
            continue
        called, may = row.word(on), row.word(f"{on}_may")
        if called is not None:
            yield _Hit(on, called, certainty, because)
        elif may is not None and not kind_in(entry, ("spirit",), lexicon):
            yield _Hit(on, may, "may contain", because)


def _of_entry(entry: Entry, because: str, sure: bool, lexicon: Lexicon, tables: Tables) -> Iterator[_Hit]:
    certain = lexicon.listed(entry, "allergens")
    possible = lexicon.listed(entry, "may_contain")
    for allergen in certain:
        yield from _entry_hits(entry, allergen, "contains" if sure else "may contain", because, lexicon, tables)
    for allergen in possible:
        if allergen not in certain:
            yield from _entry_hits(entry, allergen, "may contain", because, lexicon, tables)
    if "tree nut" not in (*certain, *possible) and entry.lists.get("allergens") != ("none",):
        # A safety net under the lexicon: a nut in the very name of an entry that lists none.
        is_nut = kind_in(entry, ("nut",), lexicon)
        named = NutsNamed(nuts_named(entry.name, tables).outright, ())
        yield from _nut_hits(named, "contains" if is_nut and sure else "may contain", because, tables)


def _of_name(name: str, because: str, tables: Tables) -> Iterator[_Hit]:
    """A name that the lexicon does not have: its words say what it may hold."""
    for allergen in allergens_in_name(name, tables):
        row = tables.allergens[allergen]
        for on in LISTS:
            called = row.word(on) or row.word(f"{on}_may")
            if called is not None:
                yield _Hit(on, called, "may contain", because)
    yield from _nut_hits(nuts_named(name, tables), "may contain", because, tables)


def _of_ingredient(ingredient: Ingredient, where: str, lexicon: Lexicon, tables: Tables) -> Iterator[_Hit]:
    because = f"{ingredient.name}{where}"
    entry = entry_of(ingredient, lexicon)
    sure = not ingredient.optional and not ingredient.alternatives
    if ingredient.optional:
        because += ", optional"
    if entry is None:
        yield from _of_name(ingredient.name, f"{because}, by its name", tables)
    else:
        yield from _of_entry(entry, because, sure, lexicon, tables)
    for name in ingredient.alternatives:
        other = lexicon.named(name)
        instead = f"{name}{where}, if taken instead of {ingredient.name}"
        if other is None:
            yield from _of_name(name, instead, tables)
        else:
            yield from _of_entry(other, instead, False, lexicon, tables)


def lines_of(
    ingredients: Sequence[Ingredient], garnishes: Sequence[Ingredient], components: Sequence[Component]
) -> Iterator[tuple[Ingredient, str]]:
    """Every line that goes into a drink, with the words for where it is: "" or " (in the orgeat)"."""
    for ingredient in ingredients:
        yield ingredient, ""
    for ingredient in garnishes:
        yield ingredient, " (garnish)"
    for component in components:
        for ingredient in component.ingredients:
            yield ingredient, f" (in the {component.name})"


def allergens(
    ingredients: Sequence[Ingredient],
    lexicon: Lexicon,
    tables: Tables,
    *,
    garnishes: Sequence[Ingredient] = (),
    components: Sequence[Component] = (),
) -> tuple[AllergenFound, ...]:
    """One row for each allergen of each list, "contains" winning over "may contain".

    `because` names all that bring it. Nuts stand one by one, as both laws want them named: "tree nuts (almond)".
    """
    hits: dict[tuple[ListName, str], dict[Certainty, list[str]]] = {}
    for ingredient, where in lines_of(ingredients, garnishes, components):
        for hit in _of_ingredient(ingredient, where, lexicon, tables):
            reasons = hits.setdefault((hit.on, hit.allergen), {}).setdefault(hit.certainty, [])
            if hit.because not in reasons:
                reasons.append(hit.because)
    out = []
    for (on, allergen), by_certainty in sorted(hits.items(), key=lambda kv: (LISTS.index(kv[0][0]), kv[0][1])):
        certainty: Certainty = "contains" if "contains" in by_certainty else "may contain"
        because = "; ".join(by_certainty[certainty])
        out.append(AllergenFound(list=on, allergen=allergen, certainty=certainty, because=because))
    return tuple(out)


def unknown_allergens(
    ingredients: Sequence[Ingredient],
    lexicon: Lexicon,
    *,
    garnishes: Sequence[Ingredient] = (),
    components: Sequence[Component] = (),
) -> tuple[str, ...]:
    """Notes on what the allergens above cannot cover: names not in the lexicon, recipes not told."""
    notes = []
    for ingredient, where in lines_of(ingredients, garnishes, components):
        home_made = any(names_match(c.name, ingredient.name) for c in components)
        if entry_of(ingredient, lexicon) is None and not home_made and not is_ice(ingredient, lexicon):
            notes.append(f"{ingredient.name}{where} is not in the lexicon: its allergens are guessed from its name")
    for component in components:
        if not component.ingredients:
            notes.append(f"what goes into the {component.name} was not told: its allergens are not known")
    return tuple(dict.fromkeys(notes))


def list_names(tables: Tables) -> Mapping[ListName, tuple[str, ...]]:
    """Every allergen that each list names, in order."""
    return {on: tuple(dict.fromkeys(w for row in tables.allergens.values() for w in row.listed(on))) for on in LISTS}
