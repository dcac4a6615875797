"""Twelve traps that were found while checking the sources, each held by a test against a published value."""

from __future__ import annotations

import pytest
from figures_support import TABLES, UNITS, component, drink, ingredient, lexicon

from extractor.figures import component_figures, drink_figures, mixing, sucrose
from extractor.figures.dilution import of_final, of_initial, uptake
from extractor.figures.energy import energy
from extractor.figures.makeup import citrus_acid
from extractor.figures.standard_drinks import ethanol_ml_of_one
from extractor.figures.syrup import syrup_of
from extractor.record import AllergenFound, Drink, Worked
from extractor.units import load_units


def on(list_name: str, found: tuple[AllergenFound, ...]) -> dict[str, str]:
    return {a.allergen: a.certainty for a in found if a.list == list_name}


def test_t1_the_two_dilution_percentages_are_one_water_under_two_names() -> None:
    # Arithmetic: 0.41 of the initial volume is 0.41 / 1.41 of the finished drink.
    assert of_final(0.41) == pytest.approx(0.2908, abs=0.0001)
    assert of_initial(of_final(0.41)) == pytest.approx(0.41)
    dilution = drink_figures(drink(ingredient("gin", 60, "ml"), mixing=("stir",)), lexicon(), UNITS).dilution
    assert dilution is not None
    assert dilution.of_initial.unit == "of initial volume"
    assert dilution.of_final.unit == "of final volume"
    assert dilution.of_final.low == pytest.approx(of_final(dilution.of_initial.low), abs=1e-3)
    assert dilution.of_final.high == pytest.approx(of_final(dilution.of_initial.high or 0), abs=1e-3)


def test_t2_lemon_and_lime_hold_less_acid_than_is_taught() -> None:
    # Penniston et al., J Endourol 2008;22:567: 48.0 and 45.86 g/l. Legal least for lemon juice: 4.5 % (21 CFR 146.114).
    assert citrus_acid("lemon juice", TABLES) == 48.0
    assert citrus_acid("lime juice", TABLES) == 45.86
    assert citrus_acid("lemon juice", TABLES) >= 45.0
    assert citrus_acid("lemon juice", TABLES, basis="taught") == 60.0
    assert TABLES.acids["lemon juice"].figure("taught").source == "taught-acid"
    # A drink that does not choose prints the range, from 22.5 ml x 48.0 g/l to 22.5 ml x 60 g/l.
    acid = drink_figures(drink(ingredient("lemon juice", 22.5, "ml")), lexicon(), UNITS).acid_g
    assert acid is not None
    assert (acid.low, acid.high) == (pytest.approx(1.08), pytest.approx(1.35))
    assert "penniston-2008" in acid.source
    assert "taught-acid" in acid.source


def test_t3_the_us_customary_ounce_and_the_ounce_of_30_ml_are_not_mixed() -> None:
    # NIST SP 811: 29.5735 ml; 21 CFR 101.9(b)(5)(viii): 30 ml; Weights and Measures Act 1985: 28.4131 ml.
    sour = drink(ingredient("rum", 2, "fl_oz"), ingredient("lime juice", 2, "fl_oz"))
    volumes = {}
    for locale in ("us", "bar", "uk"):
        volume = drink_figures(sour, lexicon(), load_units(locale)).volume_ml
        assert volume is not None
        volumes[locale] = volume.low / 2
    assert volumes["us"] == pytest.approx(2 * 29.5735, abs=0.001)
    assert volumes["bar"] == pytest.approx(60.0)
    assert volumes["uk"] == pytest.approx(2 * 28.4131, abs=0.001)
    assert volumes["bar"] - volumes["us"] == pytest.approx(0.85, abs=0.01)


def test_t4_thick_sucrose_solutions_agree_with_the_older_table_only_within_half_a_thousandth() -> None:
    # CRC Handbook below 60 Brix within 0.0002; NBS Circular 440 (memory) from 60 on within 0.0005.
    assert sucrose.density(50) == pytest.approx(1.2296, abs=0.0002)
    assert sucrose.density(65) == pytest.approx(1.3163, abs=0.0005)
    assert sucrose.density(65) != pytest.approx(1.3163, abs=0.0002)


def test_t5_a_two_to_one_syrup_is_more_than_cold_water_holds() -> None:
    # Mohos (2010), Table A2.2: 64.88 Brix at 5 C, 67.09 at 20 C.
    thick = syrup_of(200, 100, TABLES)
    assert sucrose.saturation_brix(5, TABLES) < thick.brix < sucrose.saturation_brix(20, TABLES)
    assert thick.may_crystallise
    assert not syrup_of(100, 100, TABLES).may_crystallise
    rich = component("rich syrup", "syrup", ingredient("sugar", 200, "g"), ingredient("water", 100, "ml"))
    plain = component("plain syrup", "syrup", ingredient("sugar", 100, "g"), ingredient("water", 100, "ml"))
    assert any("crystallise" in note for note in component_figures(rich, lexicon(), UNITS).notes)
    assert not any("crystallise" in note for note in component_figures(plain, lexicon(), UNITS).notes)


def test_t6_pearsons_square_in_brix_is_in_grams() -> None:
    # Pearson square analysis (foodrecap.net): 12 and 65 Brix to 24 are 41 : 12 parts. The parts are grams.
    square = mixing.brix_square(65, 12, 24)
    assert (square.of_low, square.of_high) == (41, 12)
    assert square.by == "mass"
    # The text ends "77 ml of juice and 23 ml of syrup": by volume that gives 26.5 Brix, not 24 (ICUMSA SPS-4).
    juice, syrup = 77 * sucrose.density(12), 23 * sucrose.density(65)
    assert (juice * 12 + syrup * 65) / (juice + syrup) == pytest.approx(26.5, abs=0.1)
    with pytest.raises(ValueError, match="no mixture"):
        mixing.brix_square(65, 12, 70)


@pytest.mark.parametrize(
    ("strong", "weak", "water"), [(40, 20, 100.09), (40, 30, 33.55), (30, 20, 49.90), (20, 10, 99.77)]
)
def test_t7_adding_volumes_is_good_enough_for_drinks_and_not_for_strong_spirit(
    strong: float, weak: float, water: float
) -> None:
    # OIML R 22; US Gauging Manual table: 100, 33.5, 49.9, 100.
    simple = 100 * strong / weak - 100
    exact, volume = mixing.let_down(100, strong, weak)
    assert exact == pytest.approx(water, abs=0.01)
    assert abs(100 + simple - volume) / volume <= 0.003
    # Ethanol and water halves shrink by 3.5 %: simple addition is wrong by far more there.
    assert mixing.blend_by_mass([(50, 100), (50, 0)])[0] == pytest.approx(96.46, abs=0.01)
    assert mixing.mixed_abv([(50, 100), (50, 0)]) == 50


def test_t8_coconut_is_on_neither_list_and_pine_nuts_on_one() -> None:
    # FDA guidance, 6 January 2025: twelve nuts, without coconut. Reg. (EU) 1169/2011 Annex II: eight, without pine nut.
    us = {row.name for row in TABLES.nuts.values() if row.word("us") == "yes"}
    eu = {row.name for row in TABLES.nuts.values() if row.word("eu") == "yes"}
    assert us == {
        "almond", "black walnut", "brazil nut", "california walnut", "cashew", "hazelnut", "heartnut", "macadamia",
        "pecan", "pine nut", "pistachio", "walnut",
    }  # fmt: skip
    assert eu == {"almond", "hazelnut", "walnut", "cashew", "pecan", "brazil nut", "pistachio", "macadamia"}
    off = {"coconut", "beech nut", "butternut", "chestnut", "chinquapin", "cola nut", "ginkgo nut", "hickory nut",
           "palm nut", "pili nut", "shea nut"}  # fmt: skip
    assert all(TABLES.nuts[nut].word("us") == "no" for nut in off)
    coconut = drink_figures(drink(ingredient("coconut cream", 30, "ml")), lexicon(), UNITS)
    assert coconut.allergens == ()
    unlisted = drink_figures(drink(ingredient("coconut milk", 30, "ml", listed=False)), lexicon(), UNITS)
    assert unlisted.allergens == ()
    pine = drink_figures(drink(ingredient("pine nut orgeat", 15, "ml")), lexicon(), UNITS)
    # An orgeat is of almonds unless it is said to be of another nut: then almonds only may be in it.
    assert on("us", pine.allergens) == {"tree nuts (pine nut)": "contains", "tree nuts (almond)": "may contain"}
    assert on("eu", pine.allergens) == {"nuts (almond)": "may contain"}
    seeds = drink_figures(drink(ingredient("pine nut", 5, "g")), lexicon(), UNITS)
    assert on("us", seeds.allergens) == {"tree nuts (pine nut)": "contains"}
    assert on("eu", seeds.allergens) == {}


def test_t9_a_whisky_is_not_gluten_and_a_nut_in_syrup_or_spirit_is_a_nut() -> None:
    # Reg. (EU) 1169/2011 Annex II: cereals, whey and nuts used for making alcoholic distillates are left out.
    whisky = drink_figures(drink(ingredient("whisky", 60, "ml")), lexicon(), UNITS)
    assert on("eu", whisky.allergens) == {}
    assert on("us", whisky.allergens) == {}
    syrup = drink_figures(drink(ingredient("orgeat", 15, "ml")), lexicon(), UNITS)
    assert on("eu", syrup.allergens) == {"nuts (almond)": "contains"}
    steeped = component("hazelnut vodka", "infusion", ingredient("hazelnut", 100, "g"), ingredient("vodka", 500, "ml"))
    infused = drink(ingredient("hazelnut vodka", 45, "ml", listed=False), components=(steeped,))
    assert on("eu", drink_figures(infused, lexicon(), UNITS).allergens) == {"nuts (hazelnut)": "contains"}
    # An entry that is itself a spirit named for the nut is no plain distillate either.
    assert on("eu", drink_figures(drink(ingredient("walnut vodka", 45, "ml")), lexicon(), UNITS).allergens) == {
        "nuts (walnut)": "contains"
    }


def test_t10_the_formula_holds_and_not_every_printed_cell() -> None:
    # Australian Government wallet card prints 1.6 for 300 ml of 7 %; its own formula, l x % x 0.789, gives 1.657.
    ml, source = ethanol_ml_of_one("au", TABLES)
    assert source == "au-standard"
    assert 300 * 0.07 / ml == pytest.approx(0.3 * 7 * 0.789)
    assert 300 * 0.07 / ml == pytest.approx(1.657, abs=0.001)
    assert 300 * 0.07 / ml == pytest.approx(1.6, abs=0.1)


def test_t11_acid_of_citrus_is_not_counted_as_carbohydrate() -> None:
    # USDA SR Legacy FDC 168156: 100 g of lime juice, 25 kcal, 8.42 g carbohydrate, 1.69 g sugars; a litre is 1.03 kg.
    by_parts = energy({"carbohydrate": 1.69, "organic acid": 45.86 / 10.3}, TABLES)
    as_carbohydrate = energy({"carbohydrate": 8.42}, TABLES)
    assert by_parts == pytest.approx(25, rel=0.4)
    assert abs(by_parts - 25) < abs(as_carbohydrate - 25)
    # Where the lexicon gives the table's own figure (22 kcal per 100 g of lemon juice in the test's), that counts.
    kcal = drink_figures(drink(ingredient("lemon juice", 100, "ml")), lexicon(), UNITS).energy_kcal
    assert kcal is not None
    assert kcal.low <= 22 * 1.03 <= (kcal.high or 0)


SOURS_2019: tuple[tuple[str, float, float, float], ...] = (
    # (name, ml of lemon or lime, ml of what sweetens, g of sugar in a ml of it): amounts of the open data set of the
    # International Bartenders Association's list as of June 2019; sugar of syrup ICUMSA SPS-4, of liqueurs from memory.
    ("Daiquiri", 25, 15, 0.615),
    ("Whiskey Sour", 30, 15, 0.615),
    ("Pisco Sour", 30, 20, 0.615),
    ("Sidecar", 20, 20, 0.25),
    ("White Lady", 20, 30, 0.25),
    ("Margarita", 15, 20, 0.25),
    ("Aviation", 15, 15, 0.35),
    ("Clover Club", 15, 15, 0.75),
    ("John Collins", 30, 15, 0.615),
)


def test_t12_the_2019_list_is_range_data_and_called_so() -> None:
    assert "June 2019" in TABLES.sources["iba-2019"]
    assert "official" not in TABLES.sources["iba-2019"]
    volume, ratio = (TABLES.balance["sour"].figure(k) for k in ("sweet_per_sour", "sugar_per_acid"))
    for name, sour, sweet, sugar in SOURS_2019:
        assert volume.low <= sweet / sour <= volume.high, name
        # Both ends: by the acid that was measured and by the acid that is taught.
        for acid in (0.0469, 0.060):
            assert ratio.low <= sweet * sugar / (sour * acid) <= ratio.high + 1e-9, name


def test_the_range_printed_for_dilution_is_wide_where_the_fit_is_from_memory() -> None:
    # Magazine experiment (ANI, 1 April 2012): 70 g of 40 % vodka took up 16 g stirred and 46 g shaken, which is 0.22
    # and 0.62 of its volume.
    strong = Worked(40, 40, "% vol")
    for method, water_g in (("stir", 16), ("shake", 46)):
        found = uptake(method, strong, TABLES).of_initial
        of_volume = water_g / (70 / 0.948)
        assert found.low <= of_volume <= (found.high or 0), method
        assert "arnold-2014" in found.source
    assert "from memory" in TABLES.sources["arnold-2014"]


def test_e18_two_bar_spoons_are_flagged() -> None:
    # Common practice, no source: 2.5 ml in US pages, 5 ml in European practice.
    spoons: Drink = drink(ingredient("orange liqueur", 2, "bar_spoon"))
    for locale, ml in (("us", 4.93), ("metric", 10.0)):
        figures = drink_figures(spoons, lexicon(), load_units(locale))
        assert figures.volume_ml is not None
        assert figures.volume_ml.low == pytest.approx(ml, abs=0.01)
        assert any("bar spoon is taken as" in note and "2.5 to 5 ml" in note for note in figures.notes)


@pytest.mark.parametrize(
    ("ounces", "us", "bar"),
    [(0.25, 7.39, 7.5), (0.5, 14.79, 15), (0.75, 22.18, 22.5), (1, 29.57, 30), (1.5, 44.36, 45), (2, 59.15, 60)],
)
def test_e20_ounces(ounces: float, us: float, bar: float) -> None:
    # NIST SP 811, Appendix B.8; 21 CFR 101.9(b)(5)(viii).
    one = drink(ingredient("gin", ounces, "fl_oz"))
    for locale, ml in (("us", us), ("bar", bar)):
        volume = drink_figures(one, lexicon(), load_units(locale)).volume_ml
        assert volume is not None
        assert volume.low == pytest.approx(ml, abs=0.005)
