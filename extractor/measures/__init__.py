"""Spoken measures: every way in which an amount is said.

`find_measures(text)` gives all measures of a talk with their places; `read_measure(spoken)` the one that a phrase is.
"""

from __future__ import annotations

from extractor.measures.measure import Measure, MeasureKind
from extractor.measures.read import read_all
from extractor.measures.read_amount import read_amount, to_amount
from extractor.units import load_units

__all__ = ["Measure", "MeasureKind", "find_measures", "read_amount", "read_measure", "to_amount"]


def find_measures(text: str, *, locale: str = "us") -> list[Measure]:
    """All measures of `text`, left to right, none over another; spans are character offsets of `text`."""
    return read_all(text, load_units(locale))


def read_measure(spoken: str, *, locale: str = "us") -> Measure | None:
    """The one reading that covers the whole phrase, or None."""
    found = read_all(spoken, load_units(locale))
    if len(found) != 1 or found[0].said.strip() != spoken.strip(" \t\n.,!?;:"):
        return None
    return found[0]
