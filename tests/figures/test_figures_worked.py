"""Sums within bounds: whatever the operands really are, the result holds it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractor.figures.worked import exact, mean, over, perhaps, times, total, unknown
from extractor.record import Worked

VALUE = st.floats(0, 1000, allow_nan=False)
SHARE = st.floats(0, 1)


def _within(span: tuple[float, float], share: float) -> float:
    return span[0] + share * (span[1] - span[0])


SPAN = st.tuples(VALUE, VALUE).map(lambda p: (min(p), max(p)))
LINE = st.tuples(SPAN, SPAN, SHARE, SHARE)


def _worked(span: tuple[float, float], unit: str = "ml") -> Worked:
    return Worked(span[0], span[1], unit)


@given(st.lists(LINE, min_size=1, max_size=6))
@settings(max_examples=300)
def test_a_mean_holds_every_choice_of_weights_and_values(lines: list[tuple]) -> None:
    weights = [_within(w, a) for w, _, a, _ in lines]
    values = [_within(v, b) for _, v, _, b in lines]
    found = mean([_worked(w) for w, *_ in lines], [_worked(v, "%") for _, v, *_ in lines], "%")
    if sum(weights) <= 1e-6:
        return
    really = sum(w * v for w, v in zip(weights, values, strict=True)) / sum(weights)
    assert found is not None
    assert found.high is not None
    assert found.low - 1e-6 <= really <= found.high + 1e-6


@given(SPAN, SPAN, SHARE, SHARE)
def test_products_sums_and_quotients_hold_every_choice(a, b, i, j) -> None:  # type: ignore[no-untyped-def]
    x, y = _within(a, i), _within(b, j)
    product = times(_worked(a), _worked(b), "")
    assert product.low - 1e-6 <= x * y <= (product.high or 0) + 1e-6
    summed = total([_worked(a), _worked(b)], "ml")
    assert summed.low - 1e-6 <= x + y <= (summed.high or 0) + 1e-6
    quotient = over(_worked(a), _worked(b), "")
    if y > 1e-6:
        assert quotient.low <= x / y * (1 + 1e-9) + 1e-9
        assert quotient.high is None or x / y <= quotient.high * (1 + 1e-9) + 1e-9


def test_the_bounds_of_a_mean_are_tight() -> None:
    # 60 ml of 40 % with 0-60 ml of 0 %: from half strength to whole. (Arithmetic.)
    found = mean([exact(60, "ml"), Worked(0, 60, "ml")], [exact(40, "%"), exact(0, "%")], "%")
    assert found == Worked(20, 40, "%", (), "")


def test_the_unbounded_stays_unbounded_and_says_why() -> None:
    top = unknown("ml", "soda: topped up")
    assert total([exact(60, "ml"), top], "ml") == Worked(60, None, "ml", ("soda: topped up",), "")
    weaker = mean([exact(60, "ml"), top], [exact(40, "%"), exact(0, "%")], "%")
    assert weaker is not None
    assert weaker.low == pytest.approx(0, abs=1e-3)
    assert weaker.high == 40
    assert weaker.rests_on == ("soda: topped up",)


def test_nothing_times_the_unknown_is_nothing_and_rests_on_nothing() -> None:
    assert times(unknown("ml", "why"), exact(0, ""), "g") == Worked(0, 0, "g", (), "")


def test_an_unknown_too_small_to_matter_is_kept_in_the_bounds_but_not_told() -> None:
    summed = total([exact(100, "ml"), Worked(0.1, 0.3, "ml", ("how large a drop is",))], "ml")
    assert (summed.low, summed.high) == (100.1, 100.3)
    assert summed.rests_on == ()


def test_what_may_be_left_out_reaches_down_to_nothing() -> None:
    assert perhaps(exact(5, "ml"), "optional") == Worked(0, 5, "ml", ("optional",), "")


def test_units_are_not_mixed() -> None:
    with pytest.raises(ValueError, match="cannot add"):
        total([exact(1, "ml"), exact(1, "g")], "ml")
