"""Allergens by the US list and by the EU list, with what brings each."""

from __future__ import annotations

import pytest
from figures_support import TABLES, UNITS, component, drink, ingredient, lexicon

from extractor.figures import drink_figures
from extractor.figures.allergens import allergens_in_name, list_names, nuts_named
from extractor.lexicon import ALLERGENS
from extractor.record import Figures, Ingredient


def figures(*ingredients: Ingredient, **more: object) -> Figures:
    return drink_figures(drink(*ingredients, **more), lexicon(), UNITS)


def on(list_name: str, found: Figures) -> dict[str, str]:
    return {a.allergen: a.certainty for a in found.allergens if a.list == list_name}


def test_the_us_list_is_the_nine_of_the_law() -> None:
    # FD&C Act section 201(qq): eight, and sesame by the FASTER Act of 2021.
    assert set(list_names(TABLES)["us"]) == {
        "milk", "eggs", "fish", "crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame",
    }  # fmt: skip


def test_the_eu_list_is_the_fourteen_of_annex_ii() -> None:
    # Reg. (EU) No 1169/2011, Annex II.
    assert set(list_names(TABLES)["eu"]) == {
        "cereals containing gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk", "nuts", "celery",
        "mustard", "sesame", "sulphur dioxide and sulphites", "lupin", "molluscs",
    }  # fmt: skip


def test_every_allergen_of_the_lexicon_stands_in_the_table_and_no_other() -> None:
    assert set(TABLES.allergens) == set(ALLERGENS)
    assert {key.removeprefix("not ") for key in TABLES.allergen_words} <= set(ALLERGENS)


def test_each_allergen_of_the_issue() -> None:
    wine = figures(ingredient("white wine", 90, "ml"))
    assert (on("eu", wine), on("us", wine)) == ({"sulphur dioxide and sulphites": "contains"}, {})
    ink = figures(ingredient("squid ink", 1, "dash"))
    assert (on("eu", ink), on("us", ink)) == ({"molluscs": "contains"}, {})
    cream = figures(ingredient("cream liqueur", 30, "ml"))
    assert (on("eu", cream), on("us", cream)) == ({"milk": "contains"}, {"milk": "contains"})
    bitters = figures(ingredient("walnut bitters", 2, "dash"))
    assert (on("eu", bitters), on("us", bitters)) == (
        {"nuts (walnut)": "may contain"},
        {"tree nuts (walnut)": "may contain"},
    )
    beer = figures(ingredient("wheat beer", 300, "ml"))
    assert on("us", beer) == {"wheat": "contains"}
    assert on("eu", beer) == {"cereals containing gluten": "contains"}


def test_gluten_of_a_cereal_not_named_only_may_be_wheat() -> None:
    oats = figures(ingredient("oat milk", 30, "ml"))
    assert on("eu", oats) == {"cereals containing gluten": "contains"}
    assert on("us", oats) == {"wheat": "may contain"}


def test_contains_and_may_contain_are_kept_apart() -> None:
    sauce = figures(ingredient("worcestershire sauce", 3, "dash"))
    assert on("eu", sauce) == {"fish": "contains", "cereals containing gluten": "may contain"}
    both = figures(ingredient("hazelnut liqueur", 30, "ml"), ingredient("hazelnut", 5, "g", optional=True))
    assert on("eu", both) == {"nuts (hazelnut)": "contains"}
    assert next(a.because for a in both.allergens if a.list == "eu") == "hazelnut liqueur"


def test_the_reason_names_the_ingredient_and_the_thing_it_is_in() -> None:
    steeped = component("nut vodka", "infusion", ingredient("almond", 100, "g"), ingredient("vodka", 500, "ml"))
    found = figures(
        ingredient("nut vodka", 45, "ml", listed=False),
        garnishes=(ingredient("hazelnut", listed=True),),
        components=(steeped,),
    )
    because = {a.allergen: a.because for a in found.allergens if a.list == "eu"}
    assert because == {"nuts (almond)": "almond (in the nut vodka)", "nuts (hazelnut)": "hazelnut (garnish)"}


def test_an_alternative_only_may_bring_its_allergen() -> None:
    found = figures(ingredient("simple syrup", 15, "ml", alternatives=("orgeat",)))
    assert on("eu", found) == {"nuts (almond)": "may contain"}
    assert "if taken instead of simple syrup" in found.allergens[0].because


@pytest.mark.parametrize(
    ("name", "eu"),
    [
        ("pistachio syrup", {"nuts (pistachio)": "may contain"}),
        ("brown butter rum", {"milk": "may contain"}),
        ("sesame orgeat", {"sesame": "may contain", "nuts (almond)": "may contain"}),
        ("celery salt", {"celery": "may contain"}),
        ("coconut milk", {}),
        ("oat milk", {"cereals containing gluten": "may contain"}),
        ("soy milk", {"soybeans": "may contain"}),
        ("cream of coconut", {}),
        ("crème de cacao", {}),
        ("ginger beer", {}),
        ("butternut squash", {}),
        ("butterfly pea tea", {}),
        ("nutmeg", {}),
        ("eggplant water", {}),
        ("peanut butter bourbon", {"peanuts": "may contain"}),
    ],
)
def test_a_name_that_the_lexicon_does_not_have_is_judged_by_its_words(name: str, eu: dict[str, str]) -> None:
    found = figures(ingredient(name, 15, "ml", listed=False))
    assert on("eu", found) == eu
    assert any("guessed from its name" in note for note in found.notes)


def test_nuts_are_found_by_their_longest_name() -> None:
    assert nuts_named("black walnut bitters", TABLES).outright == ("black walnut",)
    assert nuts_named("Macadamias and pecans", TABLES).outright == ("macadamia", "pecan")
    assert nuts_named("cashew orgeat", TABLES).outright == ("cashew",)
    assert nuts_named("cashew orgeat", TABLES).by_product == ("almond",)
    assert not nuts_named("doughnut", TABLES)
    # Juglans nigra is not the Juglans regia of the EU list.
    black = figures(ingredient("black walnut bitters", 2, "dash", listed=False))
    assert on("eu", black) == {"nuts (black walnut)": "may contain"}


def test_words_of_other_things_give_no_allergen() -> None:
    assert allergens_in_name("almond milk", TABLES) == ()
    assert allergens_in_name("peanut butter", TABLES) == ("peanut",)
    assert allergens_in_name("egg white", TABLES) == ("egg",)
    assert allergens_in_name("cream soda", TABLES) == ()
    assert allergens_in_name("cream soda with cream", TABLES) == ("milk",)
