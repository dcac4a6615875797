"""Home-made syrups and infusions: yield, sugar, strength, how long they keep."""

from __future__ import annotations

import pytest
from figures_support import TABLES, UNITS, component, drink, ingredient, lexicon, step

from extractor.figures import component_figures, drink_figures
from extractor.record import Component, ComponentFigures, Ingredient, Worked


def figures(one: Component, *others: Component) -> ComponentFigures:
    return component_figures(one, lexicon(), UNITS, others=others)


def some(worked: Worked | None) -> Worked:
    assert worked is not None
    return worked


def test_a_syrup_by_weight() -> None:
    # ICUMSA SPS-4: 100 g of sugar and 100 g of water are 162.65 ml of 50 Brix with 0.6148 g of sugar in a ml.
    one = figures(component("syrup", "syrup", ingredient("sugar", 100, "g"), ingredient("water", 100.18, "ml")))
    assert some(one.volume_ml).low == pytest.approx(162.65, rel=0.003)
    assert some(one.brix).low == pytest.approx(50, abs=0.1)
    assert some(one.sugar_g_per_l).low == pytest.approx(614.8, rel=0.003)
    assert some(one.density).low == pytest.approx(1.2297, abs=0.0005)


def test_a_syrup_by_cups() -> None:
    # A cup of sugar is 200 g (USDA SR Legacy): 45.85 Brix and 361 ml, not 50 Brix (worked out by ICUMSA SPS-4).
    one = figures(component("syrup", "syrup", ingredient("sugar", 1, "cup"), ingredient("water", 1, "cup")))
    assert some(one.volume_ml).low == pytest.approx(361.3, rel=0.003)
    assert some(one.brix).low == pytest.approx(45.85, abs=0.1)


@pytest.mark.parametrize(
    ("sugar", "by", "brix", "sugar_per_ml"),
    [
        (1, "weight", 50.0, 0.6148),
        (2, "weight", 66.67, 0.8845),
        (1, "volume", 45.85, 0.5535),
        (2, "volume", 62.88, 0.8198),
    ],
)
def test_a_ratio_that_was_said_by_weight_or_by_volume(sugar: float, by: str, brix: float, sugar_per_ml: float) -> None:
    # Worked out by ICUMSA SPS-4 and a cup of sugar of 200 g (USDA SR Legacy).
    lines = (ingredient("sugar", sugar, "part"), ingredient("water", 1, "part"))
    one = figures(component("syrup", "syrup", *lines, ratio_by=by))
    assert some(one.brix).low == some(one.brix).high == pytest.approx(brix, abs=0.15)
    assert some(one.sugar_g_per_l).low == pytest.approx(1000 * sugar_per_ml, rel=0.003)
    assert one.volume_ml is None


def test_a_ratio_of_which_that_was_not_said_is_the_range_of_both() -> None:
    one = figures(component("syrup", "syrup", ingredient("sugar", 1, "part"), ingredient("water", 1, "part")))
    assert (some(one.brix).low, some(one.brix).high) == (pytest.approx(45.85, abs=0.1), pytest.approx(50, abs=0.1))
    assert some(one.brix).rests_on == ("syrup: whether its ratio is by weight or by volume",)


def test_an_infusion_keeps_the_strength_of_its_spirit() -> None:
    steeped = component("mint gin", "infusion", ingredient("mint", 20, "leaf"), ingredient("gin", 500, "ml"))
    assert some(figures(steeped).abv) == Worked(40, 40, "% vol", (), some(figures(steeped).abv).source)
    # Even where no amount was told, for nothing thins it.
    told_little = component("mint gin", "infusion", ingredient("mint"), ingredient("gin"))
    assert some(figures(told_little).abv).low == some(figures(told_little).abv).high == 40
    thinned = component("tea gin", "infusion", ingredient("gin", 500, "ml"), ingredient("water", 125, "ml"))
    assert some(figures(thinned).abv).low == 32


def test_what_boils_away_is_a_range() -> None:
    lines = (ingredient("sugar", 100, "g"), ingredient("water", 100, "ml"))
    still = figures(component("syrup", "syrup", *lines))
    simmered = figures(component("syrup", "syrup", *lines, steps=(step("Simmer for five minutes."),)))
    reduced = figures(component("syrup", "syrup", *lines, steps=(step("Reduce by half."),)))
    assert some(still.volume_ml).low == some(still.volume_ml).high
    assert some(simmered.volume_ml).low < some(still.volume_ml).low
    assert some(reduced.volume_ml).low < some(simmered.volume_ml).low
    assert some(reduced.volume_ml).rests_on == ("syrup: how much boils away",)


def test_a_recipe_that_was_not_told_gives_no_figures_but_says_so() -> None:
    one = figures(component("secret syrup", "syrup"))
    assert one.volume_ml is None
    assert one.abv is None
    assert one.sugar_g_per_l is None
    assert "what goes into the secret syrup was not told" in one.notes


def test_a_drink_takes_the_sugar_of_its_own_syrup() -> None:
    rich = component("rich syrup", "syrup", ingredient("sugar", 200, "g"), ingredient("water", 100, "ml"))
    sour = drink(ingredient("rum", 60, "ml"), ingredient("rich syrup", 15, "ml", listed=False), components=(rich,))
    # ICUMSA SPS-4: 15 ml of 2:1 syrup hold 13.27 g of sugar.
    assert some(drink_figures(sour, lexicon(), UNITS).sugar_g).low == pytest.approx(13.27, rel=0.003)


def test_a_home_made_thing_of_an_earlier_drink_serves_a_later_one() -> None:
    nutty = component(
        "nut syrup",
        "syrup",
        ingredient("almond", 50, "g"),
        ingredient("sugar", 100, "g"),
        ingredient("water", 100, "ml"),
    )
    later = drink(ingredient("rum", 60, "ml"), ingredient("nut syrup", 15, "ml", listed=False))
    alone = drink_figures(later, lexicon(), UNITS)
    knowing = drink_figures(later, lexicon(), UNITS, components=(nutty,))
    assert some(alone.sugar_g).rests_on == ("nut syrup: not in the lexicon",)
    assert some(knowing.sugar_g).rests_on == ()
    assert "almond (in the nut syrup)" in {a.because for a in knowing.allergens}
    # A thing of another drink that this one does not use has no part in it.
    other = drink(ingredient("rum", 60, "ml"))
    assert drink_figures(other, lexicon(), UNITS, components=(nutty,)).allergens == ()


SUGAR, WATER = ingredient("sugar", 100, "g"), ingredient("water", 100, "ml")
MINT = ingredient("mint", 9, "leaf")


@pytest.mark.parametrize(
    ("kind", "lines", "days"),
    [
        # Colorado State University Extension: eggnog 2-3 days.
        ("batter", (ingredient("egg white", 3, "piece"), ingredient("cream", 200, "ml")), (2, 3)),
        # Agencies differ (4 days, a week, 10 days); the strictest is taken.
        ("infusion", (ingredient("garlic", 3, "piece"), ingredient("olive oil", 200, "ml")), (0, 4)),
        # Common practice, no source.
        ("syrup", (SUGAR, WATER), (14, 28)),
        ("syrup", (SUGAR, SUGAR, WATER), (90, 180)),
        ("syrup", (SUGAR, WATER, MINT), (3, 14)),
        ("infusion", (ingredient("gin", 500, "ml"), MINT), (30, 365)),
        ("infusion", (ingredient("white wine", 500, "ml"), MINT), (1, 7)),
    ],
)
def test_how_long_it_keeps(kind: str, lines: tuple[Ingredient, ...], days: tuple[float, float]) -> None:
    kept = some(figures(component("thing", kind, *lines)).keeps_days)
    assert (kept.low, kept.high) == days


def test_every_kind_of_component_has_a_keeping_time() -> None:
    for kind in ("syrup", "infusion", "cordial", "shrub", "juice", "batter", "mix", "other"):
        kept = some(figures(component("thing", kind, ingredient("water", 1, "cup"))).keeps_days)
        assert kept.high is not None
        assert kept.low < kept.high
        assert kept.source in TABLES.sources


def test_components_in_components() -> None:
    syrup = component("plain syrup", "syrup", ingredient("sugar", 100, "g"), ingredient("water", 100, "ml"))
    mix = component(
        "sour mix", "mix", ingredient("lemon juice", 100, "ml"), ingredient("plain syrup", 100, "ml", listed=False)
    )
    knowing = figures(mix, syrup)
    assert some(knowing.sugar_g_per_l).low == pytest.approx((614.8 + 25.2) / 2, rel=0.01)
