"""From a measure to the record's amount: the unit by what is measured, the millilitres by the place."""

from __future__ import annotations

import re
from functools import lru_cache

from extractor.lexicon import lexicon_folder, read_phrases
from extractor.measures.measure import Measure
from extractor.measures.numbers import read_number
from extractor.measures.read import read_all
from extractor.record.episode import Amount, Range
from extractor.units import Units, load_units

FIXED = frozenset(("ml", "cl", "l", "g", "kg", "oz_wt", "lb"))
KINDS = frozenset(("amount", "vague", "number", "equal"))
# Two amounts in a row are one said twice where they are this near: "an ounce, thirty mil".
NEAR = 0.06


def to_amount(measure: Measure, units: Units, liquid: bool | None = None) -> Amount:
    """The amount of the record that a measure is: `liquid` says what is measured, None where that is not known.

    An ounce of a solid is `oz_wt`, else `fl_oz`; "fluid ounce" stays fluid. A word such as "jigger" is worked out
    anew with `units`, so that a user's own size holds. `convention` names the line of conventions.txt wherever places
    differ.
    """
    low, high, unit = measure.low, measure.high, measure.unit
    convention = units.convention(measure.convention) if measure.convention else None
    if convention is not None and measure.counted is not None:
        low, high = measure.counted[0] * convention.number, measure.counted[1] * convention.number
        unit = convention.unit
    elif unit == "fl_oz" and liquid is False and not _FLUID.search(measure.said):
        unit = "oz_wt"
    if convention is None and unit is not None and unit not in FIXED:
        convention = units.convention(unit)
    size = units.millilitres(low, high, unit)
    return Amount(
        low=None if low is None else float(low),
        high=None if high is None else float(high),
        unit=unit,  # type: ignore[arg-type]
        millilitres=None if size is None else Range(low=size[0], high=size[1]),
        said=measure.said,
        approximate=measure.approximate,
        lean=measure.lean,
        convention=None if convention is None or unit is None else convention.key,
    )


_FLUID = re.compile(r"\bfl", re.IGNORECASE)


@lru_cache(maxsize=1)
def _words() -> tuple[frozenset[str], re.Pattern[str]]:
    """The heads of solid names, and the words of a correction."""
    faults: list[str] = []
    folder = lexicon_folder() / "measures"
    solid = frozenset(read_phrases(folder / "solids.txt", faults).get("solid", ()))
    phrases = read_phrases(folder / "corrections.txt", faults).get("correction", ())
    return solid, re.compile(r"\b(?:" + "|".join(re.escape(p) for p in phrases) + r")\b", re.IGNORECASE)


_BREAKS = frozenset(("and", "or", "in", "for", "to", "with", "into", "then", "on", "over"))


def _liquid(rest: str) -> bool | None:
    """Is what is measured liquid, as far as its own words tell? `rest` is what stands behind the measure."""
    head: str | None = None
    for raw in rest.lower().replace("-", " ").split()[:6]:
        word = raw.strip(".,!?;:()")
        if word in _BREAKS:
            break
        if word and word != "of":
            head = word
        if raw[-1] in ".,;:!?":
            break
    return None if head is None else head not in _words()[0]


def _agree(a: Measure, b: Measure, units: Units) -> bool:
    """Are two amounts in a row the same one, said twice?"""
    if (a.low, a.high) == (b.low, b.high) and (a.unit == b.unit or a.unit is None or b.unit is None):
        return True
    one, other = units.millilitres(a.low, a.high, a.unit), units.millilitres(b.low, b.high, b.unit)
    if one is None or other is None or a.unit == b.unit:
        return False
    return abs(one[0] - other[0]) <= NEAR * one[0] and abs(one[1] - other[1]) <= NEAR * one[1]


def _choose(spoken: str, found: list[Measure], units: Units) -> Measure | None:
    """The one amount of the phrase: the last of a self-correction, the measured one of "a float, half an ounce"; else
    None.
    """
    measure = found[0]
    for other in found[1:]:
        if _words()[1].search(spoken, measure.end, other.start):
            measure = other
        elif _agree(measure, other, units):
            measure = other if measure.unit is None else measure
        elif measure.kind == "vague" and other.kind == "amount" and measure.unit != "to_taste":
            measure = other
        elif not (other.kind == "vague" and measure.kind == "amount"):
            return None
    return measure


def read_amount(spoken: str, *, locale: str = "us") -> Amount | None:
    """The amount that the phrase says, or None: "an ounce and three quarters" is 1.75 fl_oz.

    The phrase may name what is measured ("two ounces of gin"). A number without a unit has unit None; a counted thing
    ("one egg white") is `piece`; equal parts are one `part` each. A self-correction keeps its last word. Where two
    amounts are said that differ, none is given. Raises UnitError for a place that is not known.
    """
    units = load_units(locale)
    found = [m for m in read_all(spoken, units) if m.kind in KINDS]
    if not found:
        return _number(spoken)
    measure = found[0] if len(found) == 1 else _choose(spoken, found, units)
    if measure is None:
        return None
    amount = to_amount(measure, units, _liquid(spoken[measure.end :]) if measure.unit == "fl_oz" else None)
    if measure.unit is None and measure.kind != "amount":
        if measure.thing is not None:
            return amount.model_copy(update={"unit": "piece"})
        if measure.kind == "equal":
            return amount.model_copy(update={"low": 1.0, "high": 1.0, "unit": "part"})
    return amount


def _number(spoken: str) -> Amount | None:
    """A phrase that is a number and nothing else, also one that is too large for a drink."""
    got = read_number(spoken)
    if got is None:
        return None
    low, high = got if isinstance(got, tuple) else (got, got)
    return Amount(low=float(low), high=float(high), unit=None, millilitres=None, said=spoken.strip())
