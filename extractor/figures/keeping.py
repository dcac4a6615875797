"""How long something home-made keeps.

Source: lexicon/figures/keeps.txt, each row with its own: for eggs and oil the advice of public agencies (the strictest
where they differ), for the rest common practice. The shorter end is the one to follow.
"""

from __future__ import annotations

from dataclasses import dataclass

from extractor.figures.poured import entry_of, kind_in
from extractor.figures.tables import Tables
from extractor.lexicon import Lexicon, plain
from extractor.record import Component, Worked

# A plain syrup is called thick from here on: midway between one to one and two to one by weight.
THICK_BRIX = 58.0
KEEPING_ABV = 35.0


@dataclass(frozen=True)
class Keeping:
    case: str
    days: Worked
    note: str | None

    @property
    def words(self) -> str:
        low, high = self.days.low, self.days.high or self.days.low
        span = f"{low:g}" if low == high else f"{low:g}-{high:g}"
        end = f" ({self.note})" if self.note else ""
        return f"keeps {span} days in the refrigerator{end}"


def is_oil(component: Component, lexicon: Lexicon) -> bool:
    """Something steeped in oil alone: oil, and nothing with alcohol in it (fat-washed spirit is another thing)."""
    oil = alcohol = False
    for ingredient in component.ingredients:
        entry = entry_of(ingredient, lexicon)
        strength = None if entry is None else lexicon.figure(entry, "strength")
        alcohol = alcohol or (strength is not None and strength.high > 0)
        oil = oil or kind_in(entry, ("oil",), lexicon) or plain(ingredient.name).split()[-1:] == ["oil"]
    return oil and not alcohol


def _has(component: Component, kinds: tuple[str, ...], lexicon: Lexicon) -> bool:
    return any(kind_in(entry_of(i, lexicon), kinds, lexicon) for i in component.ingredients)


def keeping_case(component: Component, lexicon: Lexicon, *, abv: Worked | None, brix: Worked | None) -> str:
    """Which row of keeps.txt a component falls under; of two, the one that keeps less."""
    if is_oil(component, lexicon):
        return "oil infusion"
    strong = abv is not None and abv.low >= KEEPING_ABV
    if _has(component, ("egg", "dairy"), lexicon) and not strong:
        return "with egg or dairy"
    if component.kind == "infusion":
        return "infusion" if strong else "weak infusion"
    if component.kind == "syrup":
        plain_syrup = component.ingredients and all(
            kind_in(entry_of(i, lexicon), ("sweetener", "water"), lexicon) for i in component.ingredients
        )
        if not plain_syrup:
            return "syrup fresh"
        return "syrup 2:1" if brix is not None and brix.low >= THICK_BRIX else "syrup 1:1"
    return component.kind


def keeping(
    component: Component, lexicon: Lexicon, tables: Tables, *, abv: Worked | None, brix: Worked | None
) -> Keeping:
    """Days in the refrigerator for a component whose strength and Brix are these, as far as they are known."""
    case = keeping_case(component, lexicon, abv=abv, brix=brix)
    row = tables.keeps[case]
    days = row.figure("days")
    note = row.word("note")
    return Keeping(case, Worked(days.low, days.high, "days", (), days.source), note)
