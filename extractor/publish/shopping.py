"""What an episode asks for at the shop: summed over its drinks and home-made things, by kind, in the sizes that are
sold.

A range is bought at its larger end. Juice is told in fruit where the lexicon knows what one gives, and peels are cut
from the same fruit. What has no measure (a top-up, an amount that was not said) is listed with that said: nothing is
left out, and nothing is guessed.

Source: sizes sold, cuts from a fruit: lexicon/publish/shopping.txt. What a fruit gives: the lexicon's own figures.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from extractor.lexicon import Entry, Lexicon, plain
from extractor.publish import gaps
from extractor.publish.amounts import BAR_OUNCE, GRAMS, in_grams, in_millilitres, in_ounces
from extractor.publish.rounding import exact, spoken
from extractor.publish.safe_text import capital
from extractor.publish.sheet import component_of, plural
from extractor.publish.tables import Pack, Shelf, Tables
from extractor.publish.volumes import Making, makings
from extractor.record import Component, Drink, Episode, Evidence, Ingredient
from extractor.visible import line, markdown

ICE_FOR = frozenset(("shake", "stir", "throw", "roll", "swizzle", "blend"))
FEW_PACKS = 6


@dataclass(frozen=True, slots=True)
class Purchase:
    """One line of the list: what, how much is needed in words, how it is bought (None where it is not sold so), for
    what."""

    name: str
    need: tuple[str, ...]
    buy: str | None
    uses: tuple[str, ...]
    gaps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ShoppingPart:
    name: str
    purchases: tuple[Purchase, ...]


@dataclass(frozen=True, slots=True)
class ShoppingList:
    """`made` names the home-made things, and how often each is made."""

    parts: tuple[ShoppingPart, ...]
    made: tuple[str, ...]
    drinks: tuple[str, ...]


@dataclass
class _Sum:
    """All that is needed of one thing. Volumes and weights at the larger end of what was said."""

    name: str
    entry: Entry | None
    ml: Fraction = Fraction(0)
    grams: Fraction = Fraction(0)
    counts: dict[str, Fraction] = field(default_factory=dict)
    juice_ml: Fraction = Fraction(0)
    juice_of: Fraction = Fraction(0)
    """Fruit whose juice is told in fruit."""
    cuts: dict[str, Fraction] = field(default_factory=dict)
    parts: dict[str, Fraction] = field(default_factory=dict)
    """Of what it comes from: whites and yolks of eggs."""
    unmeasured: list[str] = field(default_factory=list)
    uses: list[str] = field(default_factory=list)
    gaps: list[str] = field(default_factory=list)
    details: list[str] = field(default_factory=list)


class _Collector:
    def __init__(self, lexicon: Lexicon, tables: Tables) -> None:
        self.lexicon, self.tables = lexicon, tables
        self.sums: dict[str, _Sum] = {}

    def sum_of(self, name: str, entry: Entry | None) -> _Sum:
        key = entry.id if entry is not None else f" {plain(name) or name}"
        if key not in self.sums:
            self.sums[key] = _Sum(entry.name if entry is not None else line(name), entry)
        return self.sums[key]

    def fruit(self, entry: Entry, word: str) -> Entry | None:
        """The fruit of "lemon juice" or "lemon peel"."""
        name, _, last = entry.name.rpartition(" ")
        found = self.lexicon.named(name) if last == word and name else None
        return found if found is not None and self.lexicon.is_a(found, "fruit") else None

    def add(self, ingredient: Ingredient, times: Fraction, use: str, *, garnish: bool, glasses: Fraction) -> None:
        entry = self.lexicon.by_id.get(ingredient.lexicon_id or "")
        thing = self._take(ingredient, entry, times, garnish=garnish, glasses=glasses)
        if use not in thing.uses:
            thing.uses.append(use)
        if ingredient.optional:
            thing.details.append("optional")
        thing.details += [f"or {line(a)}" for a in ingredient.alternatives]

    def _take(
        self, ingredient: Ingredient, entry: Entry | None, times: Fraction, *, garnish: bool, glasses: Fraction
    ) -> _Sum:
        amount = ingredient.amount
        unit = None if amount is None else amount.unit
        number = None if amount is None or amount.high is None else exact(amount.high) * times
        ml = None if amount is None or amount.millilitres is None else exact(amount.millilitres.high) * times
        if entry is not None:
            fruit = self.fruit(entry, "juice")
            if fruit is not None and self.lexicon.figure(entry, "piece") is not None:
                if ml is not None:
                    thing = self.sum_of(fruit.name, fruit)
                    thing.juice_ml += ml
                    return thing
                if unit == "piece" and number is not None:
                    thing = self.sum_of(fruit.name, fruit)
                    thing.juice_of += number
                    return thing
            for cut in self.tables.cuts:
                fruit = self.fruit(entry, cut)
                if fruit is None and unit == cut and self.lexicon.is_a(entry, "fruit"):
                    fruit = entry
                if fruit is not None and (unit in (cut, "piece") or amount is None):
                    thing = self.sum_of(fruit.name, fruit)
                    thing.cuts[cut] = thing.cuts.get(cut, Fraction(0)) + (number if number is not None else glasses)
                    return thing
            whole = self.lexicon.named(self.tables.comes_from.get(entry.name, ""))
            if whole is not None and (unit == "piece" or ml is not None):
                each = self.lexicon.figure(entry, "piece")
                pieces = number if unit == "piece" else None
                if pieces is None and ml is not None and each is not None:
                    pieces = ml / exact(each.low)
                if pieces is not None:
                    thing = self.sum_of(whole.name, whole)
                    thing.parts[entry.name] = thing.parts.get(entry.name, Fraction(0)) + pieces
                    return thing
        thing = self.sum_of(ingredient.name, entry)
        if amount is None or (number is None and unit is None):
            if garnish:
                thing.counts["piece"] = thing.counts.get("piece", Fraction(0)) + glasses
            elif amount is not None and line(amount.said):
                thing.unmeasured.append(f"“{line(amount.said)}”")
            else:
                thing.gaps.append(gaps.mark("amount-missing", self.tables))
        elif unit is None:
            thing.unmeasured.append(spoken(number or Fraction(0)))
            thing.gaps.append(gaps.mark("unit-missing", self.tables))
        elif unit in GRAMS and number is not None:
            thing.grams += number * GRAMS[unit]
        elif ml is not None:
            thing.ml += ml
        elif number is None or self.tables.units[unit].scales == "stays":
            words = self.tables.units[unit]
            thing.unmeasured.append(words.bare or words.few)
        else:
            thing.counts[unit] = thing.counts.get(unit, Fraction(0)) + number
        return thing


def _packs(need: Fraction, packs: Sequence[Pack], unit: str) -> str | None:
    """The packs of one size that leave least over, in small numbers: "2 bottles of 750 ml"."""
    fitting = [p for p in packs if p.unit == unit]
    if not fitting or need <= 0:
        return None
    counts = [(math.ceil(need / p.size), p) for p in fitting]
    few = [c for c in counts if c[0] <= FEW_PACKS] or [max(counts, key=lambda c: c[1].size)]
    number, pack = min(few, key=lambda c: (c[0] * c[1].size, c[0]))
    name = pack.name if number == 1 else f"{pack.name}s"
    size = f"{spoken(pack.size)} {pack.unit}"
    return f"{number} {name} of {size}"


def _fruit(thing: _Sum, lexicon: Lexicon, tables: Tables) -> tuple[Fraction, list[str]]:
    """(how many, what for) of a fruit: the juice, the cuts that come from the same fruit, and those that do not."""
    need = []
    pieces = thing.juice_of
    if thing.juice_of:
        need.append(f"juice of {spoken(thing.juice_of)}")
    if thing.juice_ml:
        juice = lexicon.named(f"{thing.name} juice")
        each = None if juice is None else lexicon.figure(juice, "piece")
        if each is not None:
            pieces += thing.juice_ml / exact(each.low)
        need.append(f"{_volume(thing.juice_ml, tables)} of juice")
    shared = Fraction(0)
    own = thing.counts.get("piece", Fraction(0))
    for cut, number in thing.cuts.items():
        words = tables.units.get(cut)
        word = cut if number <= 1 else (words.many if words is not None else f"{cut}s")
        need.append(f"{spoken(number)} {word}")
        if cut in tables.shared_cuts:
            shared += Fraction(math.ceil(number / tables.cuts[cut]))
        else:
            own += Fraction(math.ceil(number / tables.cuts[cut]))
    return max(Fraction(math.ceil(pieces)), shared) + own, need


def _volume(ml: Fraction, tables: Tables) -> str:
    return f"{in_millilitres(ml, ml, tables)} ({in_ounces(ml, ml, BAR_OUNCE, tables)})"


def _purchase(thing: _Sum, shelf: Shelf, us: bool, lexicon: Lexicon, tables: Tables) -> Purchase:
    need: list[str] = []
    buy = None
    name = thing.name
    if thing.juice_ml or thing.juice_of or thing.cuts:
        pieces, need = _fruit(thing, lexicon, tables)
        buy = spoken(pieces)
    elif thing.parts:
        whole = thing.counts.pop("piece", Fraction(0))
        pieces = max(Fraction(math.ceil(n)) for n in thing.parts.values()) + math.ceil(whole)
        need = [f"{spoken(n)} {part}{'s' if n > 1 else ''}" for part, n in thing.parts.items()]
        if whole:
            need.append(f"{spoken(whole)} whole")
        buy = spoken(Fraction(pieces))
    packs = shelf.us if us else shelf.metric
    if thing.ml:
        need.append(_volume(thing.ml, tables))
        buy = buy or _packs(thing.ml, packs, "ml")
    if thing.grams:
        ounces = thing.grams / GRAMS["oz_wt"]
        need.append(
            f"{in_grams(thing.grams, thing.grams, tables)} ({spoken(Fraction(round(ounces * 2), 2))} oz by weight)"
        )
        buy = buy or _packs(thing.grams, packs, "g")
    for unit, number in thing.counts.items():
        words = tables.units[unit]
        if unit == "piece":
            if thing.cuts or thing.juice_ml or thing.juice_of:
                need.append(f"{spoken(number)} whole")
            else:
                need.append(spoken(number))
        else:
            need.append(f"{spoken(number)} {words.one if number <= 1 else words.many}")
    need += dict.fromkeys(thing.unmeasured)
    many = buy is not None and buy != "1" and buy.isnumeric()
    if many and thing.entry is not None:
        name = thing.entry.fields.get("plural") or plural(name, _bare(thing), lexicon)
    details = list(dict.fromkeys(d for d in thing.details if d))
    shown = ", ".join((name, *details))
    return Purchase(shown, tuple(need), buy, tuple(thing.uses), tuple(dict.fromkeys(thing.gaps)))


def _bare(thing: _Sum) -> Ingredient:
    return Ingredient(
        name=thing.name, lexicon_id=thing.entry.id if thing.entry is not None else None, heard="", amount=None,
        at_s=None,
        evidence=Evidence(start_s=None, end_s=None, text=""),
    )  # fmt: skip


def _shelf(entry: Entry | None, lexicon: Lexicon, tables: Tables) -> Shelf:
    if entry is not None:
        for kind in lexicon.kind_chain(entry):
            for shelf in tables.shelves:
                if kind.name in shelf.kinds:
                    return shelf
    return tables.shelves[-1]


def shopping(
    drinks: Sequence[Drink],
    episode: Episode,
    lexicon: Lexicon,
    tables: Tables,
) -> ShoppingList:
    """The list for these drinks (those of the episode, or multiplied ones) with all their home-made things.

    Home-made things that stand with drinks of `episode` which are not among `drinks` are found there.
    """
    collector = _Collector(lexicon, tables)
    names = {d.name for d in drinks}
    others: list[Component] = [c for d in episode.drinks if d.name not in names for c in d.components]
    made: tuple[Making, ...] = makings(drinks, others, lexicon)
    components = [m.component for m in made]
    ice: dict[str, list[str]] = {}
    for drink in drinks:
        use = line(drink.name) or gaps.mark("no name", tables)
        glasses = exact(drink.servings or 1)
        for i in drink.ingredients:
            if component_of(i, components) is None:
                collector.add(i, Fraction(1), use, garnish=False, glasses=glasses)
        for i in drink.garnishes:
            if component_of(i, components) is None:
                collector.add(i, Fraction(1), use, garnish=True, glasses=glasses)
        if drink.ice is not None and line(drink.ice) and plain(drink.ice) not in ("no ice", "neat"):
            ice.setdefault(line(drink.ice), []).append(use)
        if ICE_FOR & set(drink.mixing):
            ice.setdefault("ice to mix with", []).append(use)
    for making in made:
        use = line(making.component.name)
        for i in making.component.ingredients:
            if component_of(i, [c for c in components if c is not making.component]) is None:
                collector.add(i, Fraction(making.times), use, garnish=False, glasses=Fraction(1))
    us = episode.source.locale in ("us", "bar")
    parts: dict[str, list[Purchase]] = {shelf.name: [] for shelf in tables.shelves}
    for thing in sorted(collector.sums.values(), key=lambda t: plain(t.name)):
        shelf = _shelf(thing.entry, lexicon, tables)
        parts[shelf.name].append(_purchase(thing, shelf, us, lexicon, tables))
    ice_part = next((s.name for s in tables.shelves if "ice" in s.kinds), tables.shelves[-1].name)
    for name, uses in ice.items():
        parts[ice_part].append(Purchase(name, (), None, tuple(dict.fromkeys(uses)), ()))
    return ShoppingList(
        tuple(ShoppingPart(name, tuple(found)) for name, found in parts.items() if found),
        tuple(_made(m, tables) for m in made),
        tuple(_drink(d) for d in drinks),
    )


def _drink(drink: Drink) -> str:
    number = exact(drink.servings or 1)
    told = f"{spoken(number)} {'serving' if number <= 1 else 'servings'}" if drink.servings else "as told"
    return f"{line(drink.name)} ({told})"


def _made(making: Making, tables: Tables) -> str:
    name = line(making.component.name)
    if not gaps.told(making.component):
        return f"{name} {gaps.mark('component-incomplete', tables)}"
    told = [f"{_volume(making.needed_ml, tables)} needed"] if making.needed_ml else []
    if making.times > 1:
        told.append(f"its recipe {making.times} times over")
    return f"{name} ({'; '.join(told)})" if told else name


def shopping_markdown(found: ShoppingList) -> str:
    """The list as Markdown that also reads well as plain text. Ends in a line break."""
    out = ["# Shopping list", "", f"For {'; '.join(markdown(d) for d in found.drinks)}.", ""]
    if found.made:
        out += ["To make at home, and counted in below: " + "; ".join(markdown(m) for m in found.made) + ".", ""]
    for part in found.parts:
        out += [f"## {markdown(part.name)}", ""]
        out += [f"- {_line(p)}" for p in part.purchases]
        out.append("")
    return "\n".join(out).rstrip("\n") + "\n"


def _line(purchase: Purchase) -> str:
    name = markdown(capital(purchase.name))
    if purchase.buy is not None and purchase.buy.isnumeric():
        text = f"{purchase.buy} {markdown(purchase.name)}"
    else:
        text = f"{name}: {purchase.buy}" if purchase.buy else name
    need = ", ".join(markdown(n) for n in purchase.need)
    uses = ", ".join(markdown(u) for u in purchase.uses)
    tail = f" ({'; '.join(x for x in (need, f'for {uses}' if uses else '') if x)})" if need or uses else ""
    return text + tail + "".join(f" **{markdown(g)}**" for g in purchase.gaps)
