"""Amounts as they stand on a card: both measures, the one that was said told from the other, nothing invented."""

from __future__ import annotations

from fractions import Fraction

import pytest
from publish_kit import LEXICON, TABLES, amount, ingredient

from extractor.publish.amounts import GRAMS, ounce_of, show
from extractor.units import load_units


def shown(
    name: str, low: float | None, unit: str | None, high: float | None = None, **more: object
) -> tuple[str, str, str]:
    line = ingredient(name, low, unit, high, **more)  # type: ignore[arg-type]
    found = show(line, TABLES, ounce=ounce_of((line,), TABLES), lexicon=LEXICON)
    return found.ounces, found.metric, found.said


@pytest.mark.parametrize(
    ("low", "unit", "high", "ounces", "metric", "said"),
    [
        (1.75, "fl_oz", None, "1¾ oz", "52.5 ml", "ounces"),
        (0.5, "fl_oz", 0.75, "½–¾ oz", "15–22.5 ml", "ounces"),
        (0.3333, "fl_oz", None, "⅓ oz", "10 ml", "ounces"),
        (0.8, "fl_oz", None, "0.8 oz", "24 ml", "ounces"),
        (25, "ml", None, "⅞ oz", "25 ml", "metric"),
        (12.5, "ml", None, "2½ tsp", "12.5 ml", "metric"),
        (2, "cl", None, "⅔ oz", "2 cl", "metric"),
        (5, "ml", None, "1 tsp", "5 ml", "metric"),
        (1, "tsp", None, "1 tsp", "5 ml", "ounces"),
        (1, "bar_spoon", None, "1 bar spoon", "2.5 ml", "ounces"),
        (1.5, "cup", None, "1½ cups", "360 ml", "ounces"),
        (200, "g", None, "7 oz by weight", "200 g", "metric"),
        (1, "lb", None, "1 lb", "454 g", "ounces"),
        (2, "dash", None, "2 dashes", "", "both"),
        (1, "dash", 2, "1–2 dashes", "", "both"),
        (1, "dash", None, "1 dash", "", "both"),
        (2, "part", None, "2 parts", "", "both"),
        (8, "leaf", None, "8 leaves", "", "both"),
        (None, "top", None, "to top up", "", "both"),
        (None, "to_taste", None, "to taste", "", "both"),
        (None, "splash", None, "a splash", "", "both"),
        (2, None, None, "2", "", "both"),
    ],
)
def test_both_columns(
    low: float | None, unit: str | None, high: float | None, ounces: str, metric: str, said: str
) -> None:
    assert shown("gin", low, unit, high) == (ounces, metric, said)


def test_a_few_is_not_a_number() -> None:
    assert shown("gin", None, "dash", said="a few dashes")[0] == "a few dashes"


def test_words_that_measure_nothing_stay_the_speakers_own() -> None:
    assert shown("gin", None, None, said="a good glug") == ("“a good glug”", "", "both")


def test_the_juice_of_a_fruit_says_about_what_it_gives() -> None:
    line = ingredient("lime juice", 0.5, "piece")
    entry = LEXICON.by_id["lime-juice"]
    each = LEXICON.figure(entry, "piece")
    assert each is not None
    found = show(line, TABLES, lexicon=LEXICON)
    assert found.ounces == "juice of ½"
    assert found.metric == f"≈ {round(each.low / 2)} ml"


def test_an_imperial_ounce_is_not_called_thirty() -> None:
    # Weights and Measures Act 1985 (UK): one fluid ounce is 28.4130625 ml.
    assert shown("gin", 2, "fl_oz", locale="uk") == ("2 oz", "57 ml", "ounces")


@pytest.mark.parametrize("locale", ["us", "bar", "metric", "uk", "au"])
@pytest.mark.parametrize("unit", ["fl_oz", "ml", "cl", "tsp", "tbsp", "cup", "pint", "l"])
def test_the_metric_column_is_never_far_from_the_record(locale: str, unit: str) -> None:
    """The exact value stays in the record; what is written differs by no more than the table allows, 3 % and a
    step."""
    units = load_units(locale)
    for low in (0.25, 0.5, 1, 1.5, 2, 6, 12):
        ml = units.millilitres(low, low, unit)
        assert ml is not None
        text = shown("gin", low, unit, locale=locale)[1]
        number, name = text.split(" ")
        written = float(number) * {"ml": 1, "cl": 10, "l": 1000}[name]
        step = float(TABLES.rounding.millilitres.of(Fraction(ml[0])))
        assert abs(written - ml[0]) <= 0.03 * ml[0] + max(step, 5 if written >= 1000 else step) / 2, (text, ml)


def test_scant_and_about_stay() -> None:
    line = ingredient("gin", 0.5, "fl_oz")
    given = amount(0.5, "fl_oz")
    scant = line.model_copy(update={"amount": given.model_copy(update={"lean": "scant"})})
    about = line.model_copy(update={"amount": given.model_copy(update={"approximate": True})})
    assert show(scant, TABLES).ounces == "scant ½ oz"
    assert show(about, TABLES).ounces == "about ½ oz"


def test_the_pound_is_exact() -> None:
    # International Yard and Pound Agreement of 1959: 0.45359237 kg; 16 ounces.
    assert GRAMS["lb"] == Fraction(45359237, 100000)
    assert GRAMS["oz_wt"] * 16 == GRAMS["lb"]


def test_what_was_multiplied_is_rounded_and_what_was_said_is_not() -> None:
    assert shown("sugar", 33.3, "g") == ("1⅛ oz by weight", "33.3 g", "metric")
    assert shown("sugar", 333.333, "g", said="") == ("11¾ oz by weight", "333 g", "both")
    assert shown("sugar", 1500, "g", said="") == ("53 oz by weight", "1.5 kg", "both")
    assert shown("gin", 14.2, "fl_oz", said="") == ("14¼ oz", "425 ml", "both")
    assert shown("gin", 1234.5, "ml", said="") == ("41 oz", "1.23 l", "both")
