"""The record's amount for a phrase: unit by what is measured, millilitres by the place, one answer or none."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from extractor.measures import find_measures, read_amount, read_measure, to_amount
from extractor.record import Amount
from extractor.units import load_units


def short(spoken: str, locale: str = "us") -> tuple[float | None, float | None, str | None] | None:
    got = read_amount(spoken, locale=locale)
    return None if got is None else (got.low, got.high, got.unit)


@pytest.mark.parametrize(
    ("spoken", "expected"),
    [
        ("an ounce and three quarters", (1.75, 1.75, "fl_oz")),
        ("two or three dashes of bitters", (2, 3, "dash")),
        ("a few dashes", (None, None, "dash")),
        ("a couple of dashes", (2, 2, "dash")),
        ("a splash of soda", (None, None, "splash")),
        ("top with soda", (None, None, "top")),
        ("a handful of mint", (None, None, None)),
        ("salt to taste", (None, None, "to_taste")),
        ("one egg white", (1, 1, "piece")),
        ("an egg", (1, 1, "piece")),
        ("two lemons", (2, 2, "piece")),
        ("the juice of half a lime", (0.5, 0.5, "piece")),
        ("six mint leaves", (6, 6, "leaf")),
        ("three quarters of lime", (0.75, 0.75, None)),
        ("ten", (10, 10, None)),
        ("equal parts", (1, 1, "part")),
        ("equal parts, one ounce each", (1, 1, "fl_oz")),
        ("two jiggers of gin", (3, 3, "fl_oz")),
        ("a quart of water", (2, 2, "pint")),
        ("point five teaspoon, half a teaspoon", (0.5, 0.5, "tsp")),
        ("one tablespoon and half so one point five", (1.5, 1.5, "tbsp")),
        ("two, sorry, one and a half ounces", (1.5, 1.5, "fl_oz")),
        ("an ounce, no, make that half an ounce", (0.5, 0.5, "fl_oz")),
        ("an ounce or thirty mil", (1, 1, "fl_oz")),
        ("a float of rum, half an ounce", (0.5, 0.5, "fl_oz")),
        ("two hundred and fifty thousand", (250000, 250000, None)),
    ],
)
def test_a_phrase_gives_its_amount(spoken: str, expected: tuple[float | None, float | None, str | None]) -> None:
    assert short(spoken) == expected


def fresh() -> list[tuple[str, str]]:
    lines = Path(__file__).with_name("fresh_amounts.txt").read_text(encoding="utf-8").splitlines()
    pairs = (line.partition("|") for line in lines if line and not line.startswith("#"))
    return [(phrase.strip(), answer.strip()) for phrase, _, answer in pairs]


def test_phrases_written_after_the_rules_give_their_amounts() -> None:
    assert len(fresh()) > 150
    wrong = []
    for phrase, answer in fresh():
        number, _, unit = answer.partition(" ")
        low, _, high = number.partition("-")
        expected: tuple[float | None, float | None, str | None] | None = None
        if number == "none":
            expected = None, None, None if unit == "-" else unit
        elif answer:
            expected = float(Fraction(low)), float(Fraction(high or low)), None if unit == "-" else unit
        if short(phrase) != expected:
            wrong.append(f"{phrase}: {short(phrase)}, not {expected}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize(
    "spoken",
    [
        "", "   ", "gin", "four drinks", "one of my favourites", "twenty first", "nineteen thirty three",
        "two to one",
        "twelve seconds", "forty five percent", "eighty degrees", "an ounce of gin and half an ounce of lime",
        "two fifty",
        "double that", "half of you", "a second drink", "take two",
    ],
)  # fmt: skip
def test_what_is_no_amount_or_more_than_one_gives_none(spoken: str) -> None:
    assert read_amount(spoken) is None


@pytest.mark.parametrize(
    ("spoken", "unit"),
    [
        ("two ounces of sugar", "oz_wt"),
        ("two ounces of sugar syrup", "fl_oz"),
        ("four ounces of fresh ginger", "oz_wt"),
        ("four ounces of ginger beer", "fl_oz"),
        ("two ounces of coffee beans", "oz_wt"),
        ("two ounces of coffee", "fl_oz"),
        ("two fluid ounces of honey", "fl_oz"),
        ("an ounce", "fl_oz"),
        ("three ounces by weight", "oz_wt"),
    ],
)
def test_an_ounce_is_fluid_or_weight_by_what_is_measured(spoken: str, unit: str) -> None:
    got = read_amount(spoken)
    assert got is not None
    assert got.unit == unit
    assert (got.millilitres is None) == (unit == "oz_wt")


def test_the_caller_who_knows_what_is_measured_decides() -> None:
    measure = find_measures("two ounces of the usual")[0]
    units = load_units()
    assert to_amount(measure, units, liquid=True).unit == "fl_oz"
    assert to_amount(measure, units, liquid=None).unit == "fl_oz"
    assert to_amount(measure, units, liquid=False).unit == "oz_wt"


@pytest.mark.parametrize(
    ("locale", "spoken", "millilitres"),
    [
        ("us", "an ounce", 29.5735295625),
        ("bar", "an ounce", 30),
        ("uk", "an ounce", 28.4130625),
        ("us", "a tablespoon", 14.78676478125),
        ("au", "a tablespoon", 20),
        ("uk", "a pint", 568.26125),
        ("us", "a bar spoon", 2.464460796875),
        ("metric", "a bar spoon", 5),
        ("uk", "a single", 25),
        ("uk", "a double", 50),
        ("au", "a shot", 30),
        ("us", "a jigger", 44.36029434375),
    ],
)
def test_millilitres_follow_the_place(locale: str, spoken: str, millilitres: float) -> None:
    """Sizes: NIST SP 811 B.8, 21 CFR 101.9(b)(5)(viii), UK Act of 1985 and SI 1988/2039; bar spoon: common practice,
    no source.
    """
    got = read_amount(spoken, locale=locale)
    assert got is not None
    assert got.millilitres is not None
    assert got.millilitres.low == got.millilitres.high == millilitres
    assert got.convention is not None
    assert got.convention.endswith(f"/{locale}")


def test_a_users_own_jigger_is_put_in() -> None:
    measure = find_measures("two jiggers of gin")[0]
    got = to_amount(measure, load_units("us", overrides={"jigger": 50}))
    assert (got.low, got.high, got.unit) == (100, 100, "ml")
    assert got.convention == "jigger/us"


def test_the_amount_keeps_what_was_said_and_how_it_leans() -> None:
    got = read_amount("about a scant half ounce of lime")
    assert got == Amount(
        low=0.5,
        high=0.5,
        unit="fl_oz",
        millilitres=got.millilitres if got else None,
        said="about a scant half ounce",
        approximate=True,
        lean="about scant",
        convention="fl_oz/us",
    )


def test_a_repair_is_told_and_doubt_keeps_both_readings() -> None:
    sure, unsure = read_measure("free quarters of an ounce"), read_measure("have an ounce")
    assert sure is not None
    assert sure.repaired == (("free", "three"),)
    assert not sure.doubtful
    assert unsure is not None
    assert unsure.doubtful
    assert (unsure.low, unsure.others) == (Fraction(1, 2), ((Fraction(1), Fraction(1), "fl_oz"),))


@pytest.mark.parametrize(
    "text",
    [
        "to ounces", "convert that to ounces please", "free of charge", "for you", "the house",
        "i announce the winner",
        "a glass of milk", "i have an idea", "once upon a time", "too much", "a spring morning",
        "we have an ounce left",
    ],
)  # fmt: skip
def test_words_that_are_right_as_they_stand_are_left_alone(text: str) -> None:
    assert all(not m.repaired for m in find_measures("so " + text))


def test_reading_needs_neither_spacy_nor_pint() -> None:
    code = (
        "import sys; from extractor.measures import read_amount; a = read_amount('an ounce and three quarters');"
        "print(a.low, 'spacy' in sys.modules, 'pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["1.75", "False", "False"]
