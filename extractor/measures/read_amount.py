"""From a measure to the record's amount: the unit by what is measured, the millilitres by the place."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from extractor.lexicon import lexicon_folder, read_phrases
from extractor.measures.measure import Measure
from extractor.measures.read import read_all
from extractor.record import Amount, Range
from extractor.units import Units, load_units

FIXED = frozenset(("ml", "cl", "l", "g", "kg", "oz_wt", "lb"))
KINDS = frozenset(("amount", "vague", "number", "equal"))


def to_amount(measure: Measure, units: Units, liquid: bool | None = None) -> Amount:
    """The amount of the record that a measure is: `liquid` says what is measured, None where that is not known.

    An ounce of a solid is `oz_wt`, else `fl_oz`. A word such as "jigger" is worked out anew with `units`, so that a user's own
    size holds. `convention` names the line of conventions.txt wherever places differ.
    """
    low, high, unit = measure.low, measure.high, measure.unit
    convention = units.convention(measure.convention) if measure.convention else None
    if convention is not None and measure.counted is not None:
        low, high = measure.counted[0] * convention.number, measure.counted[1] * convention.number
        unit = convention.unit
    if (
        unit == "fl_oz"
        and liquid is False
        and convention is None
        and "fl" not in measure.said.lower().replace("half", "")
    ):
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


@lru_cache(maxsize=1)
def _solids() -> frozenset[str]:
    faults: list[str] = []
    return frozenset(read_phrases(lexicon_folder() / "measures" / "solids.txt", faults).get("solid", ()))


def _liquid(rest: str) -> bool | None:
    """Is what is measured liquid, as far as its own words tell? `rest` is what stands behind the measure."""
    words = rest.lower().replace("-", " ").replace(",", " , ").split()
    if words[:1] == ["of"]:
        words = words[1:]
    head: str | None = None
    for word in words[:5]:
        if word in (",", "and", "or", "in", "for", "to", "with", "into", "then"):
            break
        head = word.strip(".!?;:")
    return None if head is None else head not in _solids()


def read_amount(spoken: str, *, locale: str = "us") -> Amount | None:
    """The amount that the phrase says, or None: "an ounce and three quarters" is 1.75 fl_oz.

    The phrase may name what is measured ("two ounces of gin"). A number without a unit has unit None; a counted thing
    ("one egg white") is `piece`. Where two amounts are said that differ, none is given.
    """
    units = load_units(locale)
    found = [m for m in read_all(spoken, locale) if m.kind in KINDS]
    if not found:
        return None
    measure = found[0]
    for other in found[1:]:
        if (other.low, other.high, other.unit) != (measure.low, measure.high, measure.unit):
            return None
    if measure.kind == "equal" and measure.low is None:
        return None
    amount = to_amount(measure, units, _liquid(spoken[measure.end :]))
    if measure.kind == "number" and measure.thing is not None:
        amount = amount.model_copy(update={"unit": "piece"})
    return amount


__all__ = ["Fraction", "read_amount", "to_amount"]
