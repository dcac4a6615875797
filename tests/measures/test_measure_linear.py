"""Reading takes time in proportion to the length of the text, whatever the text.

Work is counted, not timed: the lines of the package's own code that are run, so that a slow machine changes nothing.
"""

from __future__ import annotations

import sys
from itertools import pairwise
from types import FrameType
from typing import Any

import pytest

from extractor.measures import find_measures

TEXTS = (
    "one hundred and twenty two ", "a half of a half of ", "and ", "an ounce and ", "an ounce, ",
    "two or three or ", "9", "1,000,",
    "1/", "a ", "twenty ", "half half ", "to too for ", "mint leaves mint ", "top it up ", "- 2 ", "more ",
    "between ", "million ",
    "equal parts ", "the juice of ", "one, two, three, ", "announce and a ", "2:1:", "point one ", "big old ",
    "of ", "½", "x",
)  # fmt: skip


def work(text: str) -> int:
    """How many lines of extractor.measures are run to read the text."""
    count = 0

    def trace(frame: FrameType, event: str, arg: Any) -> Any:
        nonlocal count
        if "measures" not in frame.f_code.co_filename:
            return None
        count += 1
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        find_measures(text)
    finally:
        sys.settrace(before)
    return count


@pytest.mark.parametrize("piece", TEXTS)
def test_work_grows_with_the_length_and_no_faster(piece: str) -> None:
    find_measures(piece)  # reads the words once
    short, long = work(piece * 150), work(piece * 600)
    assert long <= 4.4 * short + 200, (short, long)


def test_a_megabyte_of_number_words_is_read() -> None:
    text = ("a half of a half of a hundred and twenty and " * 24_000)[:1_000_000]
    found = find_measures(text)
    assert all(a.end <= b.start for a, b in pairwise(found))


def test_long_rows_of_digits_are_no_number() -> None:
    """Python refuses to read more than 4300 digits as one integer (docs.python.org, integer string conversion length
    limitation).
    """
    assert find_measures("7" * 20_000) == []
