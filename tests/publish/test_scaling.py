"""Scaling: poured things by arithmetic, counted things whole, and everything that was rounded said.

How dashes, eggs and fruit are handled: common practice, no source. Arithmetic: exact.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from publish_kit import LEXICON, TABLES, amount, breakwater, drink, episode, evening, ingredient, low_tide, pier_light

from extractor.errors import PublishError
from extractor.publish.scaling import Scaled, scale
from extractor.publish.sheet import sheet
from extractor.record import Component, Drink, Ingredient


def line(found: Scaled, name: str) -> Ingredient:
    (one,) = [i for i in (*found.drink.ingredients, *found.drink.garnishes) if i.name == name]
    return one


def number(found: Scaled, name: str) -> tuple[float | None, str | None]:
    one = line(found, name).amount
    assert one is not None
    return one.low, one.unit


def ml(found: Scaled, name: str) -> float:
    one = line(found, name).amount
    assert one is not None
    assert one.millilitres is not None
    return (one.millilitres.low + one.millilitres.high) / 2


def test_eight_servings() -> None:
    found = scale(pier_light(), LEXICON, TABLES, servings=8)
    assert found.factor == 8
    assert number(found, "gin") == (14, "fl_oz")
    assert number(found, "lemon juice") == (6, "fl_oz")
    assert number(found, "egg white") == (8, "piece")
    assert number(found, "aromatic bitters") == (16, "dash")
    assert number(found, "lemon peel") == (8, "peel")
    assert found.drink.servings == 8
    honey = line(found, "honey syrup").amount
    assert honey is not None
    assert (honey.low, honey.high) == (4, 6)
    assert any("Aromatic bitters" in r and "taste" in r for r in found.remarks)
    assert any("one round at a time" in r for r in found.remarks)


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 60), st.sampled_from([1.0, 2.0, 3.0, None]))
def test_what_is_poured_is_multiplied_exactly(servings: int, base: float | None) -> None:
    one = drink(
        "A", ingredient("gin", 1.5, "fl_oz"), ingredient("lime juice", 22.5, "ml"), servings=base, figures=False
    )
    found = scale(one, LEXICON, TABLES, servings=servings)
    factor = Fraction(servings) / Fraction(base or 1)
    assert found.factor == factor
    assert number(found, "gin")[0] == pytest.approx(float(Fraction(3, 2) * factor))
    assert ml(found, "gin") / ml(found, "lime juice") == pytest.approx(1.5 * 29.5735295625 / 22.5, rel=2e-3)
    assert ("counted as one" in " ".join(found.remarks)) == (base is None)


@settings(max_examples=80, deadline=None)
@given(st.floats(0.5, 40).map(lambda x: round(x, 1)))
def test_an_egg_is_never_cut_and_a_rounding_never_silent(servings: float) -> None:
    found = scale(pier_light(), LEXICON, TABLES, servings=servings)
    eggs = number(found, "egg white")[0]
    assert eggs is not None
    assert eggs == int(eggs) >= 1
    said = [r for r in found.remarks if r.startswith("Egg white:")]
    assert bool(said) == (eggs != servings)


def test_fruit_is_cut_at_the_half() -> None:
    found = scale(breakwater(), LEXICON, TABLES, servings=3)
    assert number(found, "lime juice") == (1.5, "piece")
    assert not [r for r in found.remarks if r.startswith("Lime juice:")]
    found = scale(breakwater(), LEXICON, TABLES, servings=2.5)
    assert number(found, "lime juice") == (1.5, "piece")
    assert any(r.startswith("Lime juice: 1¼ by arithmetic, written as 1½") for r in found.remarks)


def test_no_glass_goes_without_its_garnish() -> None:
    found = scale(breakwater(), LEXICON, TABLES, servings=3)
    (sprig,) = found.drink.garnishes
    assert sprig.amount is not None
    assert sprig.amount.low == 2


def test_what_is_done_anew_for_each_glass_stays() -> None:
    one = drink(
        "A",
        ingredient("gin", 2, "fl_oz"),
        ingredient("absinthe", None, "rinse"),
        ingredient("soda water", None, "top"),
        ingredient("salt", None, "rim"),
        servings=1,
    )
    found = scale(one, LEXICON, TABLES, servings=6)
    for name, unit in (("absinthe", "rinse"), ("soda water", "top"), ("salt", "rim")):
        assert number(found, name) == (None, unit)


def test_what_is_not_known_stays_unknown() -> None:
    one = drink("A", ingredient("gin", none=True), ingredient("lime juice", 2, None), servings=1)
    found = scale(one, LEXICON, TABLES, servings=4)
    assert line(found, "gin").amount is None
    assert number(found, "lime juice") == (8, None)


def test_many_spoons_are_poured_by_the_measure() -> None:
    found = scale(low_tide(), LEXICON, TABLES, servings=10)
    assert number(found, "maraschino liqueur")[1] == "ml"
    assert ml(found, "maraschino liqueur") == pytest.approx(10 * 2.46446, rel=1e-3)  # Half a US teaspoon, NIST SP 811.


def test_parts_cannot_be_multiplied_and_it_says_so() -> None:
    one = drink("A", ingredient("gin", 2, "part"), ingredient("dry vermouth", 1, "part"), mixing=("stir",))
    found = scale(one, LEXICON, TABLES, servings=4)
    assert number(found, "gin") == (2, "part")
    assert any("parts are not multiplied" in r for r in found.remarks)
    litre = scale(one, LEXICON, TABLES, litres=1)
    assert ml(litre, "gin") == pytest.approx(2 * ml(litre, "dry vermouth"))


@settings(max_examples=40, deadline=None)
@given(st.floats(0.1, 30).map(lambda x: round(x, 2)), st.sampled_from(["pier", "tide"]))
def test_a_batch_comes_to_its_litres_with_the_water_of_its_dilution(litres: float, which: str) -> None:
    one = pier_light() if which == "pier" else low_tide()
    found = scale(one, LEXICON, TABLES, litres=litres)
    bottled = [i.name for i in found.drink.ingredients if TABLES.lines["each glass"] not in i.notes]
    assert "egg white" not in bottled
    total = sum(ml(found, name) for name in bottled)
    # Dashes and drops are whole: a small batch is off by less than one of each.
    assert total == pytest.approx(litres * 1000, abs=1.1 + litres * 2)
    water, rest = ml(found, "cold water"), total - ml(found, "cold water")
    dilution = one.figures.dilution.of_initial  # type: ignore[union-attr]
    assert dilution.low * rest - 1 <= water <= (dilution.high or 0) * rest + 1
    assert found.water_ml is not None
    assert found.water_ml.low <= water <= found.water_ml.high


def test_water_against_the_published_definition_of_dilution() -> None:
    """Dilution is counted on the volume before ice (see the figures): 0.25 of 80 ml is 20 ml, a fifth of what is
    poured."""
    one = drink("A", ingredient("gin", 50, "ml"), ingredient("dry vermouth", 30, "ml"), mixing=("stir",), servings=1)
    assert one.figures is not None
    assert one.figures.dilution is not None
    fixed = one.figures.dilution.model_copy(
        update={"of_initial": type(one.figures.dilution.of_initial)(0.25, 0.25, "of initial volume")}
    )
    one = one.model_copy(update={"figures": one.figures.model_copy(update={"dilution": fixed})})
    found = scale(one, LEXICON, TABLES, litres=1)
    assert ml(found, "gin") == pytest.approx(500)
    assert ml(found, "dry vermouth") == pytest.approx(300)
    assert ml(found, "cold water") == pytest.approx(200)


def test_nothing_is_lost_between_bottle_and_glass() -> None:
    one = drink(
        "A",
        ingredient("gin", 2, "fl_oz"),
        ingredient("lime juice", 1, "piece"),
        ingredient("egg white", 1, "piece"),
        ingredient("soda water", None, "top"),
        ingredient("dark rum", 0.25, "fl_oz", notes=("floated on top",)),
        ingredient("mint", 6, "leaf"),
        mixing=("shake",),
        servings=1,
    )
    found = scale(one, LEXICON, TABLES, litres=2)
    assert {i.name for i in found.drink.ingredients} == {i.name for i in one.ingredients} | {"cold water"}
    apart = {i.name for i in found.drink.ingredients if TABLES.lines["each glass"] in i.notes}
    assert apart == {"egg white", "soda water", "dark rum"}
    assert number(found, "dark rum") == (0.25, "fl_oz")
    assert number(found, "lime juice")[1] == "ml"
    assert found.drink.figures is not None
    assert found.drink.figures.allergens == one.figures.allergens  # type: ignore[union-attr]


def test_a_drink_that_is_served_on_ice_gets_no_water() -> None:
    one = drink(
        "A",
        ingredient("gin", 2, "fl_oz"),
        ingredient("sweet vermouth", 1, "fl_oz"),
        mixing=("build",),
        ice="large cube",
    )
    found = scale(one, LEXICON, TABLES, litres=1)
    assert found.water_ml is None
    assert "cold water" not in [i.name for i in found.drink.ingredients]
    assert any("over ice" in s.text for s in found.drink.steps)


@pytest.mark.parametrize(
    ("one", "why"),
    [
        (drink("A", ingredient("gin", 2, "fl_oz")), "how it is mixed was not said"),
        (drink("A", ingredient("gin", none=True), mixing=("stir",)), "gin"),
        (drink("A", ingredient("soda water", None, "top"), mixing=("build",)), "nothing of it"),
        (drink("A", ingredient("gin", 2, "fl_oz"), mixing=("stir",), figures=False), "dilution"),
        (drink("A", ingredient("gin", 2, "fl_oz"), mixing=("blend",)), "blend"),
    ],
)
def test_a_batch_that_would_be_a_guess_is_refused(one: Drink, why: str) -> None:
    with pytest.raises(PublishError, match=why) as caught:
        scale(one, LEXICON, TABLES, litres=1)
    assert caught.value.hint


@pytest.mark.parametrize(
    "wrong",
    [
        {"servings": 0},
        {"servings": -1},
        {"litres": 0},
        {"litres": float("nan")},
        {"servings": 1e9},
        {},
        {"servings": 2, "litres": 1},
    ],
)
def test_numbers_that_cannot_be_made(wrong: dict[str, float]) -> None:
    with pytest.raises(PublishError) as caught:
        scale(pier_light(), LEXICON, TABLES, **wrong)  # type: ignore[arg-type]
    assert caught.value.hint


def test_home_made_things_are_made_as_often_as_it_takes() -> None:
    few, many = scale(pier_light(), LEXICON, TABLES, servings=4), scale(pier_light(), LEXICON, TABLES, servings=40)
    (syrup,) = few.drink.components
    assert syrup.ingredients[0].amount == amount(200, "g")
    (syrup,) = many.drink.components
    # Needed at most 40 x 0.75 oz = 887 ml; the recipe gives at least 239 ml: four makings.
    assert [i.amount.low for i in syrup.ingredients if i.amount] == [800, 400]
    assert any("4 times" in r for r in many.remarks)
    shown = sheet(many.drink, evening(), LEXICON, TABLES)
    # 4 x 239.6 to 4 x 243.7 ml, rounded outward to tens.
    assert "Makes 950–980 ml" in shown.home_made[0].facts


def test_a_home_made_thing_of_unknown_yield_is_left_as_told_and_named() -> None:
    one = drink(
        "A",
        ingredient("gin", 2, "fl_oz"),
        ingredient("fig shrub", 1, "fl_oz"),
        servings=1,
        mixing=("shake",),
        components=(Component(name="fig shrub", kind="shrub", ingredients=(ingredient("fig", none=True),)),),
    )
    found = scale(one, LEXICON, TABLES, servings=10)
    assert any(r.startswith("Fig shrub:") and "not known" in r for r in found.remarks)


def test_figures_follow() -> None:
    one = low_tide()
    found = scale(one, LEXICON, TABLES, servings=5)
    before, after = one.figures, found.drink.figures
    assert before is not None
    assert after is not None
    assert after.abv == before.abv
    assert after.standard_drinks["us"].low == pytest.approx(5 * before.standard_drinks["us"].low)
    assert after.per_serving == before.per_serving
    assert episode(found.drink).drinks[0] == found.drink
