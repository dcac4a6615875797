"""A drink's figures where something is not known: on which they rest, and between which bounds."""

from __future__ import annotations

import pytest
from figures_support import UNITS, component, drink, ingredient, lexicon, step

from extractor.figures import (
    alcohol_free_claim,
    amounts_in_millilitres,
    drink_figures,
    is_unusual,
    sour_sweet_balance,
    total_volume,
    usual_range,
)
from extractor.record import Amount, Balance, Figures, Range, Worked

GIN = ingredient("gin", 60, "ml")
LEMON = ingredient("lemon juice", 30, "ml")
SYRUP = ingredient("simple syrup", 30, "ml")


def figures(*ingredients, **more) -> Figures:  # type: ignore[no-untyped-def]
    return drink_figures(drink(*ingredients, **more), lexicon(), UNITS)


def some(worked: Worked | None) -> Worked:
    assert worked is not None
    return worked


def test_a_drink_of_which_all_is_known_has_one_value_and_rests_on_nothing() -> None:
    found = figures(GIN, LEMON, SYRUP, mixing=("shake", "strain"))
    assert some(found.volume_ml) == Worked(120, 120, "ml", (), some(found.volume_ml).source)
    assert (some(found.abv).low, some(found.abv).high) == (20, 20)
    assert some(found.alcohol_g).rests_on == ()


def test_an_amount_that_was_not_said_is_its_usual_range_and_says_so() -> None:
    found = figures(GIN, ingredient("dry vermouth"), mixing=("stir",))
    volume = some(found.volume_ml)
    # The lexicon's usual range of wine in the test's kinds: 1-5 US fl oz.
    assert (volume.low, volume.high) == (pytest.approx(60 + 29.5735, abs=0.01), pytest.approx(60 + 147.868, abs=0.01))
    assert volume.rests_on == ("dry vermouth: no amount said",)
    assert some(found.abv).low < some(found.abv).high  # type: ignore[operator]


def test_a_strength_that_only_its_kind_gives_is_a_range() -> None:
    found = figures(ingredient("hazelnut liqueur", 30, "ml"))
    assert (some(found.abv).low, some(found.abv).high) == (15, 40)


def test_a_name_that_the_lexicon_does_not_have_is_unknown_and_named() -> None:
    found = figures(GIN, ingredient("house cordial", 30, "ml", listed=False), mixing=("shake",))
    assert some(found.volume_ml).low == some(found.volume_ml).high == 90
    abv = some(found.abv)
    assert abv.low == pytest.approx(60 * 40 / 90, abs=1e-4)
    # No spirit can be stronger than the azeotrope, 97.2 % vol (memory).
    assert abv.high == pytest.approx((60 * 40 + 30 * 97.2) / 90, abs=1e-4)
    assert abv.rests_on == ("house cordial: not in the lexicon",)
    assert "house cordial: not in the lexicon" in some(found.sugar_g).rests_on
    assert any("house cordial" in note and "allergens" in note for note in found.notes)


def test_a_name_the_lexicon_does_not_have_without_an_amount_leaves_no_upper_bound() -> None:
    found = figures(GIN, ingredient("house cordial", listed=False))
    assert some(found.volume_ml).low == 60
    assert some(found.volume_ml).high is None


def test_a_strength_that_was_said_wins_over_the_lexicon() -> None:
    # 27 CFR 5.65: proof is twice the per cent by volume.
    assert some(figures(ingredient("bourbon", 60, "ml", notes=("100 proof",))).abv).low == 50
    assert some(figures(ingredient("rum", 60, "ml", notes=("57 % vol",))).abv).low == 57
    # Two per cent milk is no strength.
    assert some(figures(ingredient("cream", 60, "ml", notes=("20 % fat",)), GIN).abv).low == 20


def test_what_is_optional_may_be_nothing() -> None:
    found = figures(GIN, ingredient("egg white", 1, "piece", optional=True))
    assert (some(found.volume_ml).low, some(found.volume_ml).high) == (60, 93)
    assert some(found.volume_ml).rests_on == ("egg white: optional",)
    assert {a.certainty for a in found.allergens} == {"may contain"}


def test_a_choice_that_was_never_settled_is_either() -> None:
    found = figures(ingredient("vodka", 50, "ml", alternatives=("overproof rum",)))
    assert (some(found.abv).low, some(found.abv).high) == (40, 63)
    assert some(found.abv).rests_on == ("vodka or overproof rum",)


def test_pieces_are_turned_into_millilitres_by_the_lexicon() -> None:
    # USDA SR Legacy: one lime yields 44 g of juice; a large egg white is 33 g (memory).
    assert some(figures(ingredient("lime juice", 0.5, "piece")).volume_ml).low == 22


def test_a_few_is_a_range() -> None:
    dashes = Amount(low=None, high=None, unit="dash", millilitres=None, said="a few dashes")
    found = figures(GIN, ingredient("aromatic bitters").model_copy(update={"amount": dashes}))
    assert (some(found.volume_ml).low, some(found.volume_ml).high) == (
        pytest.approx(60 + 2 * 0.92), pytest.approx(60 + 5 * 0.92),
    )  # fmt: skip
    assert some(found.volume_ml).rests_on == ("aromatic bitters: how many (dash)",)


def test_a_number_without_a_unit_is_not_guessed() -> None:
    found = figures(ingredient("rum", 4))
    volume = some(found.volume_ml)
    assert volume.rests_on == ("rum: 4 of what was not said",)
    assert (volume.low, volume.high) == (pytest.approx(0.5 * 29.5735, abs=0.01), pytest.approx(2.5 * 29.5735, abs=0.01))


def test_topping_up_is_not_diluted_with_the_ice_of_the_shaker() -> None:
    found = figures(GIN, LEMON, ingredient("soda water", 60, "ml"), mixing=("shake", "top"))
    water = some(found.volume_diluted_ml)
    dilution = found.dilution
    assert dilution is not None
    # 90 ml meets the ice; 60 ml of soda comes after.
    assert water.low == pytest.approx(60 + 90 * (1 + dilution.of_initial.low), abs=0.01)
    assert water.high == pytest.approx(60 + 90 * (1 + (dilution.of_initial.high or 0)), abs=0.01)


def test_dilution_leaves_the_grams_of_alcohol_as_they_were() -> None:
    found = figures(GIN, LEMON, SYRUP, mixing=("shake",))
    diluted, volume = some(found.abv_diluted), some(found.volume_diluted_ml)
    grams = some(found.alcohol_g).low / 0.78924
    assert diluted.low * (volume.high or 0) / 100 == pytest.approx(grams, rel=0.002)
    assert (diluted.high or 0) * volume.low / 100 == pytest.approx(grams, rel=0.002)


def test_without_ice_nothing_is_taken_up_and_without_a_method_it_is_not_known() -> None:
    warm = figures(ingredient("rum", 50, "ml"), ingredient("water", 150, "ml"), mixing=("heat", "stir"))
    assert warm.dilution is not None
    assert (warm.dilution.of_initial.low, warm.dilution.of_initial.high) == (0, 0)
    untold = figures(GIN, LEMON)
    assert untold.dilution is not None
    assert untold.dilution.of_initial.rests_on == ("how it is mixed",)
    built = figures(GIN, LEMON, mixing=("build",))
    assert built.dilution is not None
    assert built.dilution.of_initial.low == 0
    assert built.dilution.of_initial.rests_on == ("whether it is built on ice",)
    dry = figures(GIN, LEMON, mixing=("dry shake",))
    assert dry.dilution is not None
    assert dry.dilution.of_initial.high == 0


def test_ice_that_is_blended_in_is_all_taken_up() -> None:
    ice = ingredient("crushed ice", 120, "g", listed=False)
    found = figures(ingredient("rum", 60, "ml"), LEMON, ice, mixing=("blend",))
    assert some(found.volume_ml).low == 90
    assert some(found.volume_diluted_ml).low == pytest.approx(210)
    assert some(found.volume_diluted_ml).high == pytest.approx(210)


def test_outside_the_fit_it_says_so() -> None:
    weak = figures(ingredient("white wine", 100, "ml"), mixing=("stir",))
    assert any("fit holds for" in note for note in weak.notes)
    assert not any("fit holds for" in note for note in figures(GIN, LEMON, mixing=("stir",)).notes)


def test_parts_give_strength_but_no_size() -> None:
    found = figures(*(ingredient(n, 1, "part") for n in ("gin", "aperitivo bitter", "red vermouth")), mixing=("stir",))
    assert some(found.abv).low == some(found.abv).high == 27
    assert found.volume_ml is None
    assert found.alcohol_g is None
    assert found.standard_drinks == {}
    assert any("parts" in note for note in found.notes)


def test_a_batch_is_told_for_all_and_for_one() -> None:
    batch = figures(ingredient("gin", 480, "ml"), ingredient("red vermouth", 240, "ml"), mixing=("stir",), servings=8)
    assert batch.per_serving is not None
    assert some(batch.per_serving.volume_ml).low == 90
    assert some(batch.per_serving.alcohol_g).low == pytest.approx(some(batch.alcohol_g).low / 8, abs=0.001)
    assert batch.per_serving.standard_drinks["uk"].low == pytest.approx(batch.standard_drinks["uk"].low / 8, abs=0.001)
    assert figures(GIN).per_serving is None


def test_a_drink_that_cannot_go_into_its_glass_overflows() -> None:
    big = figures(ingredient("gin", 300, "ml"), glass="coupe", mixing=("stir",))
    assert some(big.glass_fill).low > 1
    fits = figures(GIN, glass="coupe glass", mixing=("stir",))
    assert (some(fits.glass_fill).high or 9) < 1
    assert figures(GIN, glass="jam jar").glass_fill is None
    assert figures(GIN).glass_fill is None


def test_ice_in_the_glass_takes_room() -> None:
    with_ice = some(figures(GIN, glass="rocks glass", ice="large cube", mixing=("build",)).glass_fill)
    without = some(figures(GIN, glass="rocks glass", ice="none", mixing=("build",)).glass_fill)
    assert with_ice.low > without.low


def test_the_balance_tells_a_teaspoon_from_a_tablespoon() -> None:
    # Amounts of a Daiquiri in the list of June 2019, 45/25/15 ml, are usual; a third of its syrup is not.
    def sour(syrup_ml: float) -> Balance:
        lines = (
            ingredient("rum", 45, "ml"),
            ingredient("lime juice", 25, "ml"),
            ingredient("simple syrup", syrup_ml, "ml"),
        )
        found = sour_sweet_balance(drink(*lines, mixing=("shake",)), lexicon(), UNITS)
        assert found is not None
        return found

    assert is_unusual(sour(15)) is None
    assert is_unusual(sour(4.9)) == "too sour"
    assert is_unusual(sour(90)) == "too sweet"
    assert (sour(15).sour_ml.low, sour(15).sweet_ml.low) == (25, 15)
    assert sour_sweet_balance(drink(GIN), lexicon(), UNITS) is None


def test_what_has_alcohol_in_a_drink_said_to_have_none() -> None:
    punch = drink(
        LEMON, ingredient("soda water", 100, "ml"), ingredient("aromatic bitters", 2, "dash"),
        ingredient("house tincture", 1, "dash", listed=False),
    )  # fmt: skip
    found = alcohol_free_claim(punch, lexicon(), UNITS)
    assert [(w.ingredient.name, w.surely) for w in found] == [("aromatic bitters", True), ("house tincture", False)]
    assert "28 to 47 % vol" in found[0].because
    assert alcohol_free_claim(drink(LEMON, ingredient("soda water", 100, "ml")), lexicon(), UNITS) == ()
    hidden = component("rum cordial", "cordial", ingredient("rum", 100, "ml"), ingredient("lime juice", 100, "ml"))
    shy = drink(ingredient("rum cordial", 20, "ml", listed=False), LEMON, components=(hidden,))
    assert [w.ingredient.name for w in alcohol_free_claim(shy, lexicon(), UNITS)] == ["rum cordial"]


def test_helpers_for_the_questions() -> None:
    entry = lexicon().by_id["gin"]
    usual = some(usual_range(lexicon(), entry, UNITS))
    assert (usual.low, usual.high) == (pytest.approx(14.787, abs=0.001), pytest.approx(73.934, abs=0.001))
    assert total_volume(drink(GIN, LEMON), lexicon(), UNITS).low == 90
    assert amounts_in_millilitres(drink(GIN, ingredient("mint", 8, "leaf"), ingredient("rum", 4)), UNITS) == {
        "gin": (60, 60), "mint": None, "rum": None,
    }  # fmt: skip


def test_the_amount_as_the_record_has_it_is_not_converted_again() -> None:
    said = ingredient("gin", 2, "fl_oz")
    assert said.amount is not None
    settled = said.model_copy(update={"amount": said.amount.model_copy(update={"millilitres": Range(low=60, high=60)})})
    assert some(figures(settled).volume_ml).low == 60


def test_a_country_without_a_standard_drink_is_an_error() -> None:
    with pytest.raises(LookupError, match="known are"):
        drink_figures(drink(GIN), lexicon(), UNITS, country="atlantis")


def test_every_source_that_a_figure_names_has_its_words_and_the_record_reads_back() -> None:
    syrup = component("rich syrup", "syrup", ingredient("sugar", 2, "part"), ingredient("water", 1, "part"))
    found = figures(
        GIN, LEMON, ingredient("rich syrup", 15, "ml", listed=False), ingredient("egg white", 1, "piece"),
        mixing=("dry shake", "shake"), glass="coupe", servings=1, components=(syrup,),
        steps=(step("Light it: set fire to the peel"),),
    )  # fmt: skip
    named = {
        key
        for w in (found.volume_ml, found.abv, found.abv_diluted, found.sugar_g, found.glass_fill)
        for key in some(w).source.split(", ")
    }
    assert named - {""} <= set(found.sources)
    assert all(found.sources.values())
    assert Figures.model_validate_json(found.model_dump_json()) == found


def test_a_drink_with_nothing_in_it_has_no_figures() -> None:
    empty = figures()
    assert empty.volume_ml is None
    assert empty.abv is None
    assert empty.dilution is None
    assert empty.allergens == ()
