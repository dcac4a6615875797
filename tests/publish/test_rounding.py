"""Rounding as bars round. Common practice, no source, but where a published value is named."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from publish_kit import TABLES

from extractor.publish.rounding import ABOUT, decimal, exact, in_fractions, in_steps, mixed, nearest, spoken

ROUNDING = TABLES.rounding
POSITIVE = st.fractions(min_value=Fraction(1, 100), max_value=Fraction(500), max_denominator=1000)


def value_of(text: str) -> Fraction:
    glyphs = {
        "½": "1/2",
        "⅓": "1/3",
        "⅔": "2/3",
        "¼": "1/4",
        "¾": "3/4",
        "⅛": "1/8",
        "⅜": "3/8",
        "⅝": "5/8",
        "⅞": "7/8",
    }
    text = text.removeprefix(ABOUT)
    if text[-1] in glyphs:
        return Fraction(text[:-1] or 0) + Fraction(glyphs[text[-1]])
    return Fraction(text)


@pytest.mark.parametrize(
    ("ounces", "ml"),
    # Common practice, no source: one ounce poured as 30 ml. In the record it stays 29.5735 ml (NIST SP 811, B.8).
    [
        ("1/8", "3.75"),
        ("1/4", "7.5"),
        ("1/3", "10"),
        ("1/2", "15"),
        ("3/4", "22.5"),
        ("1", "30"),
        ("3/2", "45"),
        ("2", "60"),
    ],
)
def test_ounces_as_bars_pour_them(ounces: str, ml: str) -> None:
    assert in_steps(Fraction(ounces) * 30, ROUNDING.millilitres) == ml


@pytest.mark.parametrize(
    ("ml", "ounces"),
    [
        (15, "½"),
        (20, "⅔"),
        (22.5, "¾"),
        (30, "1"),
        (40, "1⅓"),
        (45, "1½"),
        (50, "1⅔"),
        (60, "2"),
        (25, "⅞"),
        (35, "1⅛"),
        (12.5, "≈ ⅜"),
    ],
)
def test_millilitres_as_ounces(ml: float, ounces: str) -> None:
    assert in_fractions(exact(ml) / 30, ROUNDING) == ounces


@given(POSITIVE)
def test_a_fraction_is_near_or_marked_as_not(value: Fraction) -> None:
    text = in_fractions(value, ROUNDING)
    written = value_of(text)
    assert written > 0
    widest = max(row.within for row in ROUNDING.fractions)
    if not text.startswith(ABOUT):
        assert abs(written - value) <= widest * value
    else:
        assert not nearest(value, ROUNDING)[1]
        assert abs(written - value) <= Fraction(1, 8)


@given(POSITIVE)
def test_a_step_is_never_further_off_than_half_of_it(value: Fraction) -> None:
    written = Fraction(in_steps(value, ROUNDING.millilitres))
    step = ROUNDING.millilitres.of(value)
    assert written > 0
    assert abs(written - value) <= step / 2 or written == step


@given(st.fractions(min_value=0, max_value=1000, max_denominator=8))
def test_what_has_a_sign_is_written_exactly(value: Fraction) -> None:
    text = mixed(value)
    if text is not None:
        assert value_of(text) == value
    assert abs(Fraction(decimal(value)) - value) <= Fraction(1, 2000)


def test_thirds_of_the_record_are_thirds() -> None:
    assert exact(0.3333) == Fraction(1, 3)
    assert exact(1.6667) == Fraction(5, 3)
    assert exact(0.1) == Fraction(1, 10)
    assert exact(12.5) == Fraction(25, 2)
    assert spoken(exact(0.8)) == "0.8"
