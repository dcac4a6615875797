"""Water that a drink takes up from ice.

Everything here is water / volume BEFORE ice unless its name says "of final": two percentages go by the name "dilution",
and 0.41 of the initial volume is the same water as 0.29 of the final one.

Source: for stirring and shaking the fits against strength of D. Arnold, Liquid Intelligence (2014), from memory: they
are a setting with a range (lexicon/figures/dilution.txt), not a check value. For the rest common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractor.figures.tables import Row, Tables
from extractor.figures.worked import exact, merged
from extractor.record import Drink, Worked

# The one that takes up most water stands first: it decides where a drink is mixed in several ways.
_BY_TECHNIQUE = (
    ("blend", "blend"),
    ("swizzle", "swizzle"),
    ("shake", "shake"),
    ("reverse dry shake", "shake"),
    ("throw", "throw"),
    ("roll", "roll"),
    ("build", "build"),
    ("stir", "stir"),
)
NO_ICE = ("none", "no ice", "neat", "up", "without ice")
LATENT_HEAT = 333.55
"""J/g to melt ice (textbook value, from memory)."""
HEAT_CAPACITY = 4.3
"""J/(g K) of a drink of some 20-30 % vol (textbook value, from memory)."""


def of_final(of_initial: float) -> float:
    """Water as a share of the finished drink, from water / volume before ice."""
    return of_initial / (1 + of_initial)


def of_initial(share_of_final: float) -> float:
    """Water / volume before ice, from the share of the finished drink."""
    if not 0 <= share_of_final < 1:
        raise ValueError(f"a share of the finished drink lies between 0 and 1, not {share_of_final}")
    return share_of_final / (1 - share_of_final)


def fitted(method: str, strength: float, tables: Tables) -> float:
    """Water / volume before ice by the fit of `method` ("stir", "shake") at `strength` (a fraction: 0.27 is 27 % vol).

    Outside the strengths for which the fit holds it is held at the edge. Raises LookupError without a fit.
    """
    row = tables.dilution[method]
    held = row.figure("valid")
    return _fit(row, min(max(strength, held.low), held.high))


def fit_holds(method: str, strength: float, tables: Tables) -> bool:
    row = tables.dilution[method]
    if "fit" not in row.series:
        return True
    held = row.figure("valid")
    return held.low <= strength <= held.high


def _fit(row: Row, a: float) -> float:
    if "fit" not in row.series:
        raise LookupError(f"{row.where}: {row.name!r} has no fit")
    quadratic, linear, constant = row.series["fit"][0]
    return quadratic * a * a + linear * a + constant


@dataclass(frozen=True)
class Uptake:
    """How much water: `of_initial`, with what to tell about it."""

    method: str
    of_initial: Worked
    notes: tuple[str, ...] = ()


def uptake(method: str, abv: Worked | None, tables: Tables) -> Uptake:
    """The range of water / volume before ice for a way of mixing and the strength (% vol) of what is mixed.

    Raises LookupError for a way of mixing that the table does not have.
    """
    if method not in tables.dilution:
        raise LookupError(f"no dilution is known for {method!r}; known are {', '.join(sorted(tables.dilution))}")
    row = tables.dilution[method]
    if "range" in row.figures:
        span = row.figure("range")
        return Uptake(method, Worked(span.low, span.high, "of initial volume", (), span.source))
    held, spread = row.figure("valid"), row.figure("spread")
    strongest = held.high * 100
    low, high = (0.0, strongest) if abv is None else (abv.low, strongest if abv.high is None else abv.high)
    rests_on = ("the strength",) if abv is None else abv.rests_on
    # Held at the edge and, where it may be, followed beyond it: outside its range the fit is believed in neither way.
    values = [fitted(method, x / 100, tables) for x in (low, high)]
    values += [_fit(row, x / 100) for x in (low, high) if not fit_holds(method, x / 100, tables)]
    notes: tuple[str, ...] = ()
    if not all(fit_holds(method, x / 100, tables) for x in (low, high)):
        notes = (
            f"the {method} fit holds for {held.low * 100:g}-{held.high * 100:g} % vol and this lies outside: "
            "the dilution is less sure",
        )
    span_low, span_high = min(values) * spread.low, max(values) * spread.high
    source = ", ".join(merged((row.series["fit"][1], spread.source)))
    return Uptake(method, Worked(span_low, span_high, "of initial volume", rests_on, source), notes)


def without_ice() -> Uptake:
    return Uptake("none", exact(0.0, "of initial volume"))


def not_said(tables: Tables) -> Uptake:
    """Nobody said how it is mixed: anything from nothing to the most that any way but blending takes up."""
    highs = []
    for method, row in tables.dilution.items():
        if "range" in row.figures and method != "blend":
            highs.append(row.figure("range").high)
        elif "fit" in row.series:
            highs.append(_fit(row, row.figure("valid").high) * row.figure("spread").high)
    return Uptake("not said", Worked(0.0, max(highs), "of initial volume", ("how it is mixed",), "common"))


def method_of(mixing: Sequence[str]) -> str | None:
    """The way of mixing that decides, None where none of them has to do with ice (dry shake, muddle, strain ...)."""
    for technique, method in _BY_TECHNIQUE:
        if technique in mixing:
            return method
    return None


def is_without_ice(ice: str | None) -> bool:
    return ice is not None and ice.strip().lower() in NO_ICE


def drink_uptake(drink: Drink, abv: Worked | None, tables: Tables) -> Uptake:
    """Water taken up by the part of `drink` that is mixed with ice, whose strength before ice is `abv`."""
    method = method_of(drink.mixing)
    if method is None:
        if "heat" in drink.mixing or ("muddle" not in drink.mixing and is_without_ice(drink.ice)):
            return without_ice()
        if drink.mixing and set(drink.mixing) <= {"chill", "dry shake", "rinse", "rim", "flame"}:
            return without_ice()
        return not_said(tables)
    if method in ("build", "stir") and "heat" in drink.mixing:
        return without_ice()
    if method == "build" and is_without_ice(drink.ice):
        return without_ice()
    found = uptake(method, abv, tables)
    if method == "build" and drink.ice is None:
        water = Worked(0.0, found.of_initial.high, "of initial volume", ("whether it is built on ice",), "common")
        return Uptake(method, water, found.notes)
    return found


def least_melt(ml: float, abv: float, *, from_celsius: float, to_celsius: float) -> float:
    """Grams of ice at 0 C that must melt to cool `ml` of a drink: "no chilling without dilution".

    A floor, from heat alone (shaker and surroundings left out). Source: textbook calorimetry, constants from memory.
    """
    from extractor.figures.ethanol import density_at

    grams = ml * density_at(abv)
    return grams * HEAT_CAPACITY * (from_celsius - to_celsius) / LATENT_HEAT
