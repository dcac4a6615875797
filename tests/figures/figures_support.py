"""What the tests of the figures share: a small lexicon with set strengths, units by published sizes, short builders."""

from __future__ import annotations

import atexit
import shutil
import tempfile
from functools import lru_cache
from pathlib import Path

from extractor.figures import load_tables
from extractor.lexicon import Lexicon, identifier, load_lexicon
from extractor.record import Amount, Component, Drink, Evidence, Ingredient, Range, Step

# NIST SP 811, Appendix B.8 (US customary), definition of the litre; dash and bar spoon are common practice, no source.
MILLILITRES = {
    "fl_oz": 29.5735295625, "tsp": 4.92892159375, "tbsp": 14.78676478125, "cup": 236.5882365, "pint": 473.176473,
    "ml": 1.0, "cl": 10.0, "l": 1000.0, "dash": 0.92, "drop": 0.05, "bar_spoon": 2.5, "splash": 2.5,
}  # fmt: skip


class PublishedUnits:
    """The protocol of `extractor.figures.UnitsTable` by the sizes above."""

    def millilitres(self, low: float, high: float, unit: str) -> tuple[float, float] | None:
        size = MILLILITRES.get(unit)
        return None if size is None else (float(low) * size, float(high) * size)


UNITS = PublishedUnits()
TABLES = load_tables()

SOURCES = """\
[common]
Common practice of the trade, no source.
[memory]
From memory.
[set]
Set for this test.
[usda-sr]
USDA FoodData Central, SR Legacy.
"""
KINDS = """\
drinkable
  state: liquid
spirit
  parent: drinkable
  strength: 37.5-50 @set
  sugar: 0 @set
  usual: 0.5-2.5 fl_oz @common
gin
  parent: spirit
rum
  parent: spirit
whiskey
  parent: spirit
vodka
  parent: spirit
liqueur
  parent: drinkable
  strength: 15-40 @set
  sugar: 100-400 @set
  usual: 0.25-1.5 fl_oz @common
bitters
  parent: drinkable
  strength: 28-47 @common
  sugar: 0 @set
  usual: 1-6 dash @common
wine
  parent: drinkable
  strength: 9-15 @common
  sugar: 0-45 @memory
  allergens: sulphites
  usual: 1-5 fl_oz @common
sparkling wine
  parent: wine
vermouth
  parent: wine
beer
  parent: drinkable
  strength: 3.5-9 @common
  allergens: gluten
juice
  parent: drinkable
  strength: 0 @common
  usual: 0.5-4 fl_oz @common
sour juice
  parent: juice
  usual: 0.25-1.5 fl_oz @common
syrup
  parent: drinkable
  strength: 0 @common
  usual: 0.25-1 fl_oz @common
mixer
  parent: drinkable
  strength: 0 @common
  sugar: 0 @set
  acid: 0 @set
  usual: 1-6 fl_oz @common
water
  parent: drinkable
  strength: 0 @common
  sugar: 0 @common
  acid: 0 @common
tea
  parent: drinkable
  strength: 0 @common
coffee
  parent: drinkable
  strength: 0 @common
  sugar: 0 @set
dairy
  parent: drinkable
  strength: 0 @common
  sugar: 30 @set
  allergens: milk
plant milk
  parent: drinkable
  strength: 0 @common
egg
  parent: drinkable
  strength: 0 @common
  sugar: 0 @set
  allergens: egg
  cautions: raw egg
oil
  parent: drinkable
  strength: 0 @common
flavouring
  parent: drinkable
sauce
  parent: drinkable
  strength: 0 @common
sweetener
  state: solid
food
  state: solid
herb
  parent: food
spice
  parent: food
fruit
  parent: food
vegetable
  parent: food
nut
  parent: food
salt
  parent: food
acid
  parent: food
ice
  state: solid
garnish
  state: thing
"""
INGREDIENTS = """\
absinthe
  kind: spirit
  strength: 60 @set
almond
  kind: nut
  allergens: tree nut
aperitivo bitter
  kind: liqueur
  strength: 25 @set
  sugar: 200 @set
aromatic bitters
  kind: bitters
bourbon
  kind: whiskey
  strength: 40 @set
  allergens: gluten
citric acid
  kind: acid
  acid: 1000 @set
  sugar: 0 @set
coconut cream
  kind: plant milk
cognac
  kind: spirit
  strength: 40 @set
cream
  kind: dairy
cream liqueur
  kind: liqueur
  allergens: milk
crème de cassis
  kind: liqueur
  strength: 15 @set
  sugar: 400 @set
dry vermouth
  kind: vermouth
  strength: 18 @set
egg white
  kind: egg
  piece: 33 @usda-sr
espresso
  kind: coffee
garlic
  kind: vegetable
gin
  kind: gin
  strength: 40 @set
grapefruit juice
  kind: juice
hazelnut
  kind: nut
  allergens: tree nut
hazelnut liqueur
  kind: liqueur
  allergens: tree nut
lager
  kind: beer
lemon
  kind: fruit
lemon juice
  kind: sour juice
  sugar: 25.2 @memory
  acid: 48 @set
  piece: 48 @usda-sr
  energy: 22 @set
lime juice
  kind: sour juice
  sugar: 17.4 @set
  acid: 45.86 @set
  piece: 44 @usda-sr
  cautions: unpasteurised
mint
  kind: herb
oat milk
  kind: plant milk
  allergens: gluten
olive oil
  kind: oil
orange liqueur
  kind: liqueur
  strength: 40 @set
  sugar: 250 @set
orgeat
  kind: syrup
  sugar: 600 @set
  allergens: tree nut
  other: almond syrup
overproof rum
  kind: rum
  strength: 63 @set
peanut
  kind: food
  allergens: peanut
pine nut
  kind: nut
  allergens: tree nut
pine nut orgeat
  kind: syrup
  allergens: tree nut
red vermouth
  kind: vermouth
  strength: 16 @set
rum
  kind: rum
  strength: 40 @set
simple syrup
  kind: syrup
  sugar: 614.8 @set
soda water
  kind: mixer
squid ink
  kind: sauce
  allergens: mollusc
sugar
  kind: sweetener
  sugar: 1000 @set
  density: 0.8454 @usda-sr
tonic water
  kind: mixer
vodka
  kind: vodka
  strength: 40 @set
walnut bitters
  kind: bitters
  may_contain: tree nut
walnut vodka
  kind: vodka
  strength: 40 @set
  allergens: tree nut
water
  kind: water
wheat beer
  kind: beer
  allergens: wheat | gluten
whisky
  kind: whiskey
  strength: 40 @set
  allergens: gluten
white wine
  kind: wine
  strength: 12 @set
  sugar: 3 @set
  acid: 6 @set
worcestershire sauce
  kind: sauce
  allergens: fish
  may_contain: gluten
"""
GLASSES = """\
coupe
  other: coupe glass
  capacity: 150-240 @memory
rocks glass
  other: old-fashioned glass
  capacity: 180-300 @memory
"""
ICE = """\
crushed ice
  other: crushed
ice cubes
  other: ice
"""


@lru_cache(maxsize=1)
def lexicon() -> Lexicon:
    """The small lexicon, in a folder of its own that goes when the tests end; its rule tables are the project's."""
    folder = Path(tempfile.mkdtemp(prefix="figures-lexicon-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    (folder / "ingredients").mkdir()
    (folder / "ingredients" / "all.txt").write_text(INGREDIENTS, encoding="utf-8")
    for name, text in (("kinds", KINDS), ("sources", SOURCES), ("glasses", GLASSES), ("ice", ICE)):
        (folder / f"{name}.txt").write_text(text, encoding="utf-8")
    return load_lexicon(folder)


def ingredient(
    name: str,
    low: float | None = None,
    unit: str | None = None,
    high: float | None = None,
    *,
    listed: bool = True,
    **more: object,
) -> Ingredient:
    """`ingredient("gin", 2, "fl_oz")`; `listed=False`: a name that the lexicon does not have; no number: not said."""
    entry = lexicon().named(name)
    if listed and entry is None:
        raise LookupError(f"the test lexicon has no {name!r}")
    amount = None
    if low is not None or unit is not None:
        end = low if high is None else high
        amount = Amount(low=low, high=end, unit=unit, millilitres=None, said="")  # type: ignore[arg-type]
    return Ingredient(
        name=name,
        lexicon_id=identifier(entry.name) if listed and entry is not None else None,
        heard=name,
        amount=amount,
        at_s=None,
        evidence=Evidence(start_s=None, end_s=None, text=name),
        **more,  # type: ignore[arg-type]
    )


def drink(*ingredients: Ingredient, **more: object) -> Drink:
    fields: dict[str, object] = {
        "name": "Test", "name_heard": None, "start_s": None, "end_s": None, "servings": None, "glass": None,
        "ice": None,
    }  # fmt: skip
    return Drink(ingredients=ingredients, **{**fields, **more})  # type: ignore[arg-type]


def component(name: str, kind: str, *ingredients: Ingredient, **more: object) -> Component:
    return Component(name=name, kind=kind, ingredients=ingredients, **more)  # type: ignore[arg-type]


def step(text: str, **more: object) -> Step:
    return Step(text=text, at_s=None, **more)  # type: ignore[arg-type]


def minutes(low: float, high: float | None = None) -> Range:
    return Range(low=low, high=low if high is None else high)
