"""Cautions: what calls for each, and what does not."""

from __future__ import annotations

import dataclasses
from types import MappingProxyType

import pytest
from figures_support import TABLES, UNITS, component, drink, ingredient, lexicon, step

from extractor.figures import component_figures, drink_figures
from extractor.figures.cautions import CLOSING, quinine_mg, words_of
from extractor.record import Drink


def keys(one: Drink) -> dict[str, str]:
    return {c.key: c.because for c in drink_figures(one, lexicon(), UNITS).cautions}


GIN = ingredient("gin", 45, "ml")


@pytest.mark.parametrize(
    ("one", "key", "because"),
    [
        (drink(GIN, ingredient("egg white", 1, "piece")), "raw egg", "egg white"),
        (drink(GIN, ingredient("raw milk", 30, "ml", listed=False)), "unpasteurised", "raw milk"),
        (drink(GIN, garnishes=(ingredient("lemon"),), mixing=("stir", "flame")), "fire", "it is to flame"),
        (drink(GIN, steps=(step("Set the peel on fire: ignite it."),)), "fire", '"ignite" is spoken of'),
        (drink(GIN, steps=(step("Warm the rum.", technique="flame"),)), "fire", "it is to flame"),
        (drink(GIN, steps=(step("Drop a lump of dry ice under the glass."),)), "dry ice", '"dry ice" is spoken of'),
        (drink(GIN, ice="dry ice"), "dry ice", '"dry ice" is spoken of'),
        (
            drink(GIN, ingredient("activated charcoal", 1, "pinch", listed=False)),
            "activated charcoal",
            "activated charcoal",
        ),
        (drink(GIN, ingredient("grapefruit juice", 60, "ml")), "grapefruit", "grapefruit juice"),
        (drink(GIN, ingredient("tonic water", 120, "ml")), "quinine", "tonic water"),
        (drink(GIN, ingredient("tonka syrup", 15, "ml", listed=False)), "tonka", "tonka syrup"),
        (drink(ingredient("absinthe", 15, "ml")), "wormwood", "absinthe"),
        (drink(ingredient("overproof rum", 15, "ml")), "high proof", "overproof rum"),
        (drink(GIN, ingredient("espresso", 30, "ml")), "caffeine", "espresso"),
        (drink(GIN, ingredient("tobacco bitters", 1, "dash", listed=False)), "tobacco", "tobacco bitters"),
        (drink(GIN, ingredient("kava tea", 30, "ml", listed=False)), "botanical of concern", "kava tea"),
        (drink(GIN, garnishes=(ingredient("foxglove", listed=False),)), "toxic plant", "foxglove (garnish)"),
    ],
    ids=lambda x: x if isinstance(x, str) else "",
)  # fmt: skip
def test_each_caution_is_called_for(one: Drink, key: str, because: str) -> None:
    assert keys(one).get(key) == because


@pytest.mark.parametrize(
    "one",
    [
        drink(GIN, ingredient("pasteurised egg white", 30, "ml", listed=False)),
        drink(GIN, ingredient("aquafaba", 20, "ml", listed=False)),
        drink(GIN, garnishes=(ingredient("grapefruit peel", listed=False),)),
        drink(GIN, steps=(step("Do not set it on fire, and without a flame it is fine."),)),
        drink(ingredient("espresso", 30, "ml"), ingredient("tonic syrup free soda", 30, "ml", listed=False)).model_copy(
            update={"ingredients": (ingredient("espresso", 30, "ml"),)}
        ),
        drink(ingredient("lime juice", 30, "ml")),
        drink(ingredient("bourbon", 60, "ml")),
        drink(GIN, ingredient("charcoal filtered vodka", 30, "ml", listed=False)),
    ],
)
def test_none_is_called_for(one: Drink) -> None:
    assert keys(one) == {}


def test_a_spirit_of_which_only_the_kind_is_known_is_not_called_high_proof() -> None:
    # The kind's range reaches up to 50 % vol; that a bottle does is not known.
    assert "high proof" not in keys(drink(ingredient("hazelnut liqueur", 30, "ml")))
    assert "high proof" in keys(drink(ingredient("bourbon", 60, "ml", notes=("100 proof",))))


def test_caffeine_is_a_caution_only_with_alcohol() -> None:
    assert "caffeine" not in keys(drink(ingredient("espresso", 30, "ml"), ingredient("cream", 30, "ml")))
    assert "caffeine" in keys(drink(ingredient("espresso", 30, "ml"), ingredient("vodka", 30, "ml")))


def test_home_made_things_tell_how_long_they_keep() -> None:
    syrup = component("plain syrup", "syrup", ingredient("sugar", 100, "g"), ingredient("water", 100, "ml"))
    found = keys(drink(GIN, ingredient("plain syrup", 15, "ml", listed=False), components=(syrup,)))
    assert found == {"home preserve": "plain syrup keeps 14-28 days in the refrigerator"}


def test_an_infusion_in_oil_is_dangerous_and_one_in_spirit_is_not_one() -> None:
    oil = component("garlic oil", "infusion", ingredient("garlic", 3, "piece"), ingredient("olive oil", 200, "ml"))
    found = {c.key: c.because for c in component_figures(oil, lexicon(), UNITS).cautions}
    assert found["oil infusion"] == "garlic oil"
    assert "discard after 4 days" in found["home preserve"]
    washed = component("oil gin", "infusion", ingredient("gin", 500, "ml"), ingredient("olive oil", 100, "ml"))
    assert "oil infusion" not in {c.key for c in component_figures(washed, lexicon(), UNITS).cautions}


def test_a_raw_egg_in_a_component_is_found_in_the_drink() -> None:
    nog = component("nog batter", "batter", ingredient("egg white", 3, "piece"), ingredient("cream", 200, "ml"))
    found = keys(drink(GIN, ingredient("nog batter", 60, "ml", listed=False), components=(nog,)))
    assert found["raw egg"] == "egg white (in the nog batter)"


def test_every_caution_says_where_to_turn() -> None:
    for caution in drink_figures(drink(GIN, ingredient("egg white", 1, "piece")), lexicon(), UNITS).cautions:
        assert "local food code" in caution.text
        assert caution.source
        assert caution.because


def test_the_words_of_a_caution_come_with_their_source() -> None:
    section = ("Raw egg can make you ill.", "Use pasteurised eggs. @fda-egg", "source: Some agency, 2020")
    tables = dataclasses.replace(TABLES, cautions=MappingProxyType({"raw egg": section}))
    words = words_of("raw egg", tables, {"fda-egg": "FDA, on eggs"})
    assert words.text == f"Raw egg can make you ill. Use pasteurised eggs. {CLOSING}"
    assert words.source == "FDA, on eggs; Some agency, 2020"
    # One without words is not dropped.
    assert words_of("unheard of", tables, {}).text == f"Take care: unheard of. {CLOSING}"


def test_quinine_in_a_glass_of_tonic() -> None:
    # 21 CFR 172.575: at most 83 ppm; 150 g then hold 12.45 mg.
    assert quinine_mg(150) == pytest.approx(12.45)
