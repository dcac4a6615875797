"""Any amount, said in any of the ways a person says it, comes back as the same amount.

The words for numbers are made by num2words (an open-source library), not by our
own grammar read backwards; only the frames around them are ours.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from extractor.measures import find_measures, read_amount, read_measure
from extractor.measures.numbers import read_number

UNITS = {
    "fl_oz": ("ounce", "ounces"),
    "ml": ("millilitre", "millilitres"),
    "cl": ("centilitre", "centilitres"),
    "tsp": ("teaspoon", "teaspoons"),
    "tbsp": ("tablespoon", "tablespoons"),
    "bar_spoon": ("bar spoon", "bar spoons"),
    "cup": ("cup", "cups"),
    "pint": ("pint", "pints"),
    "g": ("gram", "grams"),
    "kg": ("kilo", "kilos"),
}  # fmt: skip
COUNTS = {
    "dash": ("dash", "dashes"),
    "drop": ("drop", "drops"),
    "leaf": ("leaf", "leaves"),
    "sprig": ("sprig", "sprigs"),
    "slice": ("slice", "slices"),
    "part": ("part", "parts"),
    "scoop": ("scoop", "scoops"),
}  # fmt: skip
# The fractions that bars pour, in words. Their names are no library's: num2words has none for fractions.
FRACTIONS = {
    Fraction(1, 4): ("a quarter", "one quarter", "1/4", "¼"),
    Fraction(1, 3): ("a third", "one third", "1/3", "⅓"),
    Fraction(1, 2): ("a half", "one half", "1/2", "½"),
    Fraction(2, 3): ("two thirds", "2/3", "⅔"),
    Fraction(3, 4): ("three quarters", "three-quarters", "three fourths", "3/4", "¾"),
    Fraction(3, 8): ("three eighths", "3/8"),
}

unit_names = st.sampled_from(sorted(UNITS))
wholes = st.integers(min_value=1, max_value=999)
styles = st.sampled_from(("plain", "no hyphen", "no and", "neither"))


def words(n: int | float, style: str = "plain") -> str:
    """num2words' own words, with or without its hyphens and its "and"."""
    said = str(num2words(n)).replace(",", "")
    if style in ("no hyphen", "neither"):
        said = said.replace("-", " ")
    if style in ("no and", "neither"):
        said = said.replace(" and ", " ")
    return said


@given(st.integers(min_value=0, max_value=10**12 - 1), styles)
def test_a_whole_number_in_words(n: int, style: str) -> None:
    assert read_number(words(n, style)) == n


@given(st.integers(min_value=0, max_value=99), st.integers(min_value=1, max_value=999))
def test_a_decimal_in_words(whole: int, thousandths: int) -> None:
    exact = Fraction(whole) + Fraction(thousandths, 1000)
    assert read_number(words(float(exact))) == exact


@given(wholes, unit_names, styles)
def test_a_whole_number_and_a_unit(n: int, unit: str, style: str) -> None:
    said = f"{words(n, style)} {UNITS[unit][n > 1]}"
    got = read_measure(said)
    assert got is not None, said
    assert (got.low, got.high, got.unit) == (n, n, unit), said


@given(wholes, unit_names)
def test_digits_and_a_unit(n: int, unit: str) -> None:
    for said in (f"{n} {UNITS[unit][n > 1]}", f"{n}.0 {UNITS[unit][1]}"):
        got = read_measure(said)
        assert got is not None, said
        assert (got.low, got.unit) == (n, unit), said


@given(st.integers(min_value=1, max_value=40), st.sampled_from(sorted(FRACTIONS)), unit_names, st.data())
def test_a_mixed_number_on_either_side_of_the_unit(n: int, part: Fraction, unit: str, data: st.DataObject) -> None:
    fraction = data.draw(st.sampled_from(FRACTIONS[part]))
    one, many = UNITS[unit]
    forms = [
        f"{words(n)} and {fraction} {many}",
        f"{words(n)} {one if n == 1 else many} and {fraction}",
        f"{n} and {fraction} {many}",
    ]
    if "/" in fraction or len(fraction) == 1:
        forms += [f"{n} {fraction} {many}", f"{n}-{fraction} {many}"]
    if n == 1:
        forms += [f"{one} and {fraction}", f"a {one} and {fraction}"]
    for said in forms:
        got = read_measure(said)
        assert got is not None, said
        assert (got.low, got.high, got.unit) == (n + part, n + part, unit), said


@given(st.sampled_from(sorted(FRACTIONS)), unit_names, st.data())
def test_a_part_of_a_unit(part: Fraction, unit: str, data: st.DataObject) -> None:
    fraction = data.draw(st.sampled_from(FRACTIONS[part]))
    one = UNITS[unit][0]
    article = "an" if one[0] in "aeiou" else "a"
    for said in (f"{fraction} of {article} {one}", f"{fraction} {one}"):
        got = read_measure(said)
        assert got is not None, said
        assert (got.low, got.high, got.unit) == (part, part, unit), said


@given(st.integers(min_value=2, max_value=60), st.sampled_from(sorted(COUNTS)))
def test_a_count(n: int, unit: str) -> None:
    got = read_measure(f"{words(n)} {COUNTS[unit][1]}")
    assert got is not None
    assert (got.low, got.high, got.unit) == (n, n, unit)


@given(st.integers(min_value=1, max_value=300), st.integers(min_value=1, max_value=300), unit_names)
def test_a_range_in_each_of_its_words(a: int, b: int, unit: str) -> None:
    low, high = min(a, b), max(a, b) + 1
    many = UNITS[unit][1]
    for said in (
        f"{words(low)} to {words(high)} {many}",
        f"{words(low)} or {words(high)} {many}",
        f"between {words(low)} and {words(high)} {many}",
        f"{low}-{high} {many}",
        f"{low} to {high} {many}",
    ):
        got = read_measure(said)
        assert got is not None, said
        assert (got.low, got.high, got.unit) == (low, high, unit), said


@given(wholes, st.sampled_from(("about", "roughly", "a good", "at least", "just under", "up to")))
def test_a_leaning_leaves_the_number_alone(n: int, lean: str) -> None:
    plain, leaning = read_measure(f"{words(n)} millilitres"), read_measure(f"{lean} {words(n)} millilitres")
    assert plain is not None
    assert leaning is not None
    assert (plain.low, plain.high, plain.unit) == (leaning.low, leaning.high, leaning.unit)
    assert leaning.lean is not None


@given(st.integers(min_value=1, max_value=9), st.integers(min_value=1, max_value=9).map(lambda k: k * 10))
def test_digit_groups_are_one_number_before_millilitres_and_none_alone(hundreds: int, rest: int) -> None:
    if rest <= 2 * hundreds:
        return
    said = f"{words(hundreds)} {words(rest)}"
    got = read_measure(f"{said} millilitres")
    assert got is not None
    assert got.low == hundreds * 100 + rest
    assert read_number(said) is None
    assert read_amount(said) is None


@given(st.integers(min_value=1, max_value=40), unit_names, st.sampled_from(("uh", "um", "er")))
def test_a_filler_word_changes_nothing(n: int, unit: str, filler: str) -> None:
    got = read_measure(f"{words(n, 'neither')} {filler} {UNITS[unit][n > 1]}")
    assert got is not None
    assert (got.low, got.unit) == (n, unit)


@settings(max_examples=300)
@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=80))
def test_any_text_is_read_without_an_error_and_spans_are_in_order(text: str) -> None:
    check_spans(text)


PIECES = (
    "ounce", "ounces", "an", "a", "and", "half", "quarter", "three", "two", "one", "fifty", "hundred", "of", "to",
    "or", ",", ".",
    "dash", "dashes", "lime", "gin", "the", "juice", "1/2", "2", "30", "ml", "mil", "-", "about", "scant", "few",
    "same", "top",
    "with", "each", "another", "point", "five", "percent", "degrees", "minutes", "free", "announce", "for",
    "between", "part",
    "equal", "parts", "couple", "dozen", "million", "½", "more", "some", "little", "splash", "can", "have", "in",
    "plus",
)  # fmt: skip


@settings(max_examples=1500)
@given(st.lists(st.sampled_from(PIECES), max_size=16))
def test_any_order_of_the_words_of_measures_is_read_without_an_error(pieces: list[str]) -> None:
    check_spans(" ".join(pieces))


def check_spans(text: str) -> None:
    end = 0
    for m in find_measures(text):
        assert end <= m.start < m.end <= len(text)
        assert text[m.start : m.end] == m.said
        assert (m.low is None) == (m.high is None)
        if m.low is not None and m.high is not None:
            assert m.low <= m.high
        if m.thing is not None:
            assert 0 <= m.thing[0] < m.thing[1] <= len(text)
        end = m.end
    read_amount(text)


@pytest.mark.parametrize("locale", ["us", "bar", "metric", "uk", "au"])
def test_the_place_changes_no_number_but_those_of_conventions(locale: str) -> None:
    for said in ("an ounce and a half", "two dashes", "thirty mil", "half a teaspoon"):
        here, there = read_measure(said), read_measure(said, locale=locale)
        assert here is not None
        assert there is not None
        assert (here.low, here.high, here.unit) == (there.low, there.high, there.unit)
