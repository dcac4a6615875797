"""Said clearly, but cannot be meant: two cups of bitters; half a cup where a teaspoon is usual; 30 cl of lemon juice.

Why: a slip of the tongue or of the recogniser that reads like a real amount. The limits come from data: the usual amount of
the lexicon (each with its source), times `FAR`, a serving. A strong but sane drink is left alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.lexicon import Entry
from extractor.questions.context import Context, heard, question, said_elsewhere, usual_suggestion
from extractor.record.episode import Amount, Drink, Ingredient, Question, Suggestion

KIND = "amount-unlikely"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half a cup of aromatic bitters, half an ounce of lemon juice. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Three ounces of gin, four dashes of aromatic bitters, an ounce of lemon juice. Shake it and strain it into a coupe."
# So many times the usual most, a serving, nothing is meant (common practice, no source; set on the episodes with gold records).
FAR = 3.0
# Only what pours is told in these (common practice, no source).
LIQUID_UNITS = ("fl_oz", "ml", "cl", "dash")
DASHED = ("salt", "spice", "sweetener", "herb", "flavouring")
TEENS = (13, 14, 16, 17, 18, 19)
STRONG = ("spirit", "liqueur", "wine")
ABOVE_USUAL = 1.5
# How much more than what was heard the least that is usual must be for it to be too little.
LITTLE = 1.3
# Powders are weighed in grams: more than this of salt or spice in one serving is not meant.
SOLID_G = 12.0
# Above this, one drink's single pour is not meant, whatever it is (ml a serving).
ONE_POUR_ML = 400.0
# What is poured into one drink is seldom more than this; where most of what goes in is many times as much, it is a bowl, and
# its cups and bottles are meant though nobody said how many it serves (ml; common practice, no source).
ONE_SERVING_ML = 30.0
LEAST_ML = 5.0


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        for i in drink.ingredients:
            reason = _reason(context, drink, i, max(drink.servings or 1.0, _as_a_bowl(context, drink, i)))
            if reason is None or i.amount is None:
                continue
            yield question(
                context, KIND, drink=drink.name, about=i.name, blocking=True, evidence=i.evidence,
                text=f"“{i.amount.said}” of {i.name} in {drink.name}: {reason}. Is that meant? {heard(i.evidence)}",
                suggestions=[*said_elsewhere(context, i, drink), *usual_suggestion(context, i), *_slips(context, drink, i),
                             Suggestion(answer="leave as it is", reason="it is meant")],
            )  # fmt: skip


def _reason(context: Context, drink: Drink, i: Ingredient, servings: float) -> str | None:
    a = i.amount
    entry = context.entry(i)
    if a is None or a.low is None or a.unit in ("top", "piece", "part"):
        return None
    if a.unit in ("g", "oz_wt", "kg", "lb"):
        return _heavy(context, entry, a, servings)
    ml = context.millilitres(a)
    if entry is not None and a.unit in LIQUID_UNITS and _is_solid(context, entry, a.unit):
        return "nobody pours that, so a part of its name may be missing"
    if ml is None:
        return None
    tens = _sounds_like(context, drink, i)
    if tens is not None:
        return f"{a.low:g} and {tens:g} sound alike, and {tens:g} is the more usual"
    each = ml / servings
    if entry is not None:
        usual = context.usual_ml(entry)
        if usual is not None and each > FAR * usual[1] and each > 10:
            return f"{each:.0f} ml a serving, where {usual[0]:.0f} to {usual[1]:.0f} ml is usual"
        if context.lexicon.is_a(entry, "bitters") and each > 15:
            return f"{each:.0f} ml of bitters a serving"
        if context.lexicon.is_any(entry, ("salt", "spice")) and each > 15:
            return f"{each:.0f} ml of it a serving"
    if each > ONE_POUR_ML:
        return f"{each:.0f} ml a serving"
    return None


def _as_a_bowl(context: Context, drink: Drink, i: Ingredient) -> float:
    """For how many the rest of the drink is: one cup beside ounces is a slip, among bottles and cups it is not."""
    sizes = [context.millilitres(x.amount) for x in drink.ingredients if x is not i and x.amount is not None]
    poured = sorted(ml for ml in sizes if ml is not None and ml >= LEAST_ML)
    # The smaller ones tell: where the cups of a syrup were taken for the drink's, its ounces stand beside them.
    return poured[len(poured) // 4] / ONE_SERVING_ML if poured else 1.0


def _is_solid(context: Context, entry: Entry, unit: str | None) -> bool:
    """Nothing that is poured: "thirty mil of pickle" was pickle brine. Salt and spice do go in by the dash."""
    shaken = unit == "dash" and context.lexicon.is_any(entry, DASHED)
    return context.lexicon.state(entry) == "solid" and not shaken


def _sounds_like(context: Context, drink: Drink, i: Ingredient) -> float | None:
    """The tens for which a teen may have been heard ("seventeen mil" of gin), where they may be meant and it hardly is.

    13, 14 and 16 to 19 ml are hardly ever measured, of whatever it is (common practice, no source). 15 is: it is doubted
    only of a spirit, or where it is too little of the thing, and only if nothing strong goes in that is poured more of.
    """
    a, entry = i.amount, context.entry(i)
    if a is None or a.unit != "ml" or a.low is None or a.low != a.high:
        return None
    tens = (a.low - 10) * 10
    usual = None if entry is None else context.usual_ml(entry)
    if a.low in TEENS:
        return tens if usual is None or tens <= usual[1] * FAR else None
    if a.low != 15 or entry is None or usual is None or tens > usual[1] * ABOVE_USUAL:
        return None
    if not context.lexicon.is_a(entry, "spirit") and usual[0] < LITTLE * a.low:
        return None
    return None if any(_poured_more(context, other, a.low) for other in drink.ingredients) else tens


def _poured_more(context: Context, i: Ingredient, ml: float) -> bool:
    entry = context.entry(i)
    size = None if i.amount is None else context.millilitres(i.amount)
    strong = entry is not None and any(context.lexicon.is_a(entry, kind) for kind in STRONG)
    return strong and size is not None and size > ml


def _heavy(context: Context, entry: Entry | None, a: Amount, servings: float) -> str | None:
    factor = {"g": 1.0, "kg": 1000.0, "oz_wt": 28.3495, "lb": 453.592}
    grams = (a.high or a.low or 0.0) * factor[a.unit or "g"] / servings
    if entry is None:
        return None
    if context.lexicon.is_any(entry, ("salt", "spice", "acid", "thickener")) and grams > SOLID_G:
        return f"{grams:.0f} g a serving"
    return None


def _slips(context: Context, drink: Drink, i: Ingredient) -> list[Suggestion]:
    """The same number in a unit that gives a usual amount."""
    tens = _sounds_like(context, drink, i)
    if tens is not None:
        return [Suggestion(answer=f"{tens:g} ml", reason="sounds like it and is usual")]
    a, entry = i.amount, context.entry(i)
    if a is None or a.low is None or entry is None:
        return []
    usual = context.usual_ml(entry)
    if usual is None:
        return []
    out = []
    for unit, word in (
        ("ml", "ml"),
        ("tsp", "teaspoon"),
        ("tbsp", "tablespoon"),
        ("dash", "dashes"),
        ("drop", "drops"),
    ):
        size = context.units.millilitres(a.low, a.high if a.high is not None else a.low, unit)
        if unit != a.unit and size is not None and usual[0] * 0.7 <= float(size[0]) <= usual[1] * 1.3:
            out.append(
                Suggestion(answer=f"{a.low:g} {word}", reason="the same number in a unit that gives a usual amount")
            )
    return out[:2]
