"""The shopping list: sums over drinks and home-made things, in what is sold. Sizes sold and cuts: common practice, no
source."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from publish_kit import LEXICON, TABLES, crowd, drink, episode, evening, ingredient, pier_light
from test_cards import NASTY

from extractor.publish.scaling import scale
from extractor.publish.shopping import Purchase, ShoppingList, shopping, shopping_markdown
from extractor.record import Component, Drink, Episode, Source


def listed(*drinks: Drink, whole: Episode | None = None) -> ShoppingList:
    return shopping(drinks, whole or episode(*drinks), LEXICON, TABLES)


def purchases(found: ShoppingList) -> dict[str, Purchase]:
    return {p.name: p for part in found.parts for p in part.purchases}


def test_one_thing_of_several_drinks_is_bought_once() -> None:
    one = drink("A", ingredient("gin", 2, "fl_oz"), mixing=("build",))
    two = drink("B", ingredient("gin", 45, "ml"), mixing=("build",))
    gin = purchases(listed(one, two))["gin"]
    assert gin.uses == ("A", "B")
    assert gin.need == ("104 ml (3½ oz)",) or gin.need[0].startswith("105 ml")
    assert gin.buy == "1 bottle of 750 ml"


@settings(max_examples=50, deadline=None)
@given(st.integers(1, 120))
def test_enough_is_bought_and_not_a_pack_too_many(servings: int) -> None:
    one = scale(
        drink("A", ingredient("gin", 2, "fl_oz"), servings=1, mixing=("stir",)), LEXICON, TABLES, servings=servings
    ).drink
    buy = purchases(listed(one))["gin"].buy
    assert buy is not None
    bottles = int(buy.split()[0])
    # 2 US fluid ounces of 29.5735295625 ml (NIST SP 811) each, from bottles of 750 ml (27 CFR 5.203, from memory).
    assert bottles == math.ceil(servings * 2 * 29.5735295625 / 750)


def test_a_range_is_bought_at_its_larger_end() -> None:
    gin = purchases(listed(drink("A", ingredient("gin", 1, "fl_oz", 2))))["gin"]
    assert gin.need[0].startswith("59 ml")


def test_bottles_are_those_of_the_place() -> None:
    one = drink("A", ingredient("gin", 50, "ml", locale="uk"))
    uk = episode(one).model_copy(
        update={"source": Source(path=None, kind="webvtt", duration_s=None, cues=1, locale="uk")}
    )
    assert purchases(listed(one, whole=uk))["gin"].buy == "1 bottle of 700 ml"


def test_juice_is_bought_as_fruit_and_peels_come_from_it() -> None:
    one = drink("A", ingredient("lemon juice", 90, "ml"), garnishes=(ingredient("lemon peel", 1, "peel"),), servings=1)
    lemon = next(p for p in purchases(listed(one)).values() if "lemon" in p.name)
    entry = LEXICON.by_id["lemon-juice"]
    each = LEXICON.figure(entry, "piece")
    assert each is not None
    assert lemon.buy == str(math.ceil(90 / each.low))
    assert lemon.need == ("90 ml (3 oz) of juice", "1 peel")
    slices = drink(
        "A", ingredient("lemon juice", 40, "ml"), garnishes=(ingredient("lemon slice", 1, "slice"),), servings=1
    )
    found = next(p for p in purchases(listed(slices)).values() if "lemon" in p.name)
    assert found.buy == str(math.ceil(40 / each.low) + 1)


def test_whites_and_yolks_come_from_the_same_eggs() -> None:
    one = drink("A", ingredient("egg white", 3, "piece"), ingredient("egg yolk", 1, "piece"))
    egg = next(p for p in purchases(listed(one)).values() if "egg" in p.name)
    assert egg.buy == "3"
    assert egg.need == ("3 egg whites", "1 egg yolk")


def test_home_made_things_are_bought_as_what_they_are_made_of() -> None:
    found = purchases(listed(*evening().drinks, whole=evening()))
    assert "honey syrup" not in found
    assert found["honey"].need == ("200 g (7 oz by weight)",)
    assert found["honey"].uses == ("honey syrup",)
    many = purchases(listed(scale(pier_light(), LEXICON, TABLES, servings=40).drink, whole=evening()))
    assert many["honey"].need == ("800 g (28 oz by weight)",)


def test_a_home_made_thing_inside_another() -> None:
    syrup = Component(
        name="ginger syrup", kind="syrup", ingredients=(ingredient("sugar", 200, "g"), ingredient("water", 200, "g"))
    )
    cordial = Component(
        name="harbour cordial",
        kind="cordial",
        ingredients=(ingredient("ginger syrup", 600, "ml"), ingredient("lime juice", 100, "ml")),
    )
    one = drink("A", ingredient("harbour cordial", 30, "ml"), components=(cordial, syrup), servings=1)
    found = listed(one)
    assert {"ginger syrup", "harbour cordial"}.isdisjoint(purchases(found))
    # 200 g and 200 g give 325 ml (50 Brix: 1.2296 g/ml, ICUMSA SPS-4): 600 ml ask for two makings.
    assert purchases(found)["sugar"].need == ("400 g (14 oz by weight)",)


def test_what_has_no_measure_is_listed_and_says_so() -> None:
    one = drink(
        "A",
        ingredient("soda water", None, "top"),
        ingredient("gin", none=True),
        ingredient("mint", None, None, said="a good bunch"),
        ingredient("sugar", 2, None),
    )
    found = purchases(listed(one))
    assert found["soda water"].need == ("to top up",)
    assert found["gin"].gaps == ("[AMOUNT NOT SAID — ask]",)
    assert found["mint"].need == ("“a good bunch”",)
    assert found["sugar"].gaps == ("[UNIT NOT SAID — ask]",)


def test_nothing_is_left_out() -> None:
    """Every line of every drink is in the list, as itself or as what it comes from."""
    for whole in (evening(), episode(crowd())):
        uses = {
            u for part in shopping(whole.drinks, whole, LEXICON, TABLES).parts for p in part.purchases for u in p.uses
        }
        assert {d.name for d in whole.drinks} <= uses
    one = crowd()
    found = listed(one)
    count = sum(len(p.purchases) for p in found.parts) - len([p for p in purchases(found) if "ice" in p.split()])
    fruits = {LEXICON.by_id[i.lexicon_id].name for i in one.ingredients if i.lexicon_id}
    assert count == len({*fruits, *(i.name for i in one.ingredients if not i.lexicon_id)})


def test_parts_stand_in_their_order_and_kinds_in_their_part() -> None:
    found = listed(*evening().drinks, whole=evening())
    names = [p.name for p in found.parts]
    assert names == [s.name for s in TABLES.shelves if s.name in names]
    where = {p.name: part.name for part in found.parts for p in part.purchases}
    assert where["gin"] == "Spirits"
    assert where["honey"] == "Syrups and sweeteners"
    assert where["ginger beer"] == "Mixers and water"


def test_optional_and_alternatives_are_named() -> None:
    one = drink(
        "A", ingredient("gin", 1, "fl_oz", alternatives=("vodka",)), ingredient("soda water", 1, "fl_oz", optional=True)
    )
    names = set(purchases(listed(one)))
    assert {"gin, or vodka", "soda water, optional"} <= names


def test_foreign_text_is_only_text() -> None:
    one = drink(NASTY, ingredient(NASTY, 1, "fl_oz"), ingredient("gin", None, None, said=NASTY), ice=NASTY)
    text = shopping_markdown(listed(one))
    html = MarkdownIt("commonmark").render(text)
    assert "<script" not in html
    assert "<a " not in html
    assert "\x1b" not in text


@pytest.mark.parametrize("servings", [1, 8, 30])
def test_the_text_holds_every_purchase(servings: int) -> None:
    drinks = [scale(d, LEXICON, TABLES, servings=servings).drink for d in evening().drinks]
    found = shopping(drinks, evening(), LEXICON, TABLES)
    text = shopping_markdown(found).replace("\\", "").lower()
    for name in purchases(found):
        assert name.lower() in text
