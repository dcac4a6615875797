"""Never said how it is mixed.

Why: shaken and stirred are two drinks.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, clock, question
from extractor.record.episode import Ingredient, Question, Suggestion

KIND = "method-missing"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice, in a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it into a coupe."
WAYS = ("build", "stir", "shake", "dry shake", "reverse dry shake", "swizzle", "blend", "throw", "roll", "heat")


# With one of these a drink is built in its glass (common practice, no source).
LONG = ("mixer", "sparkling wine", "beer", "cider")


def _lengthens(context: Context, i: Ingredient) -> bool:
    entry = context.entry(i)
    topped = i.amount is not None and i.amount.unit == "top"
    return topped or context.lexicon.is_any(entry, LONG)


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        said = any(s.technique in WAYS and s.evidence is not None for s in drink.steps) or any(
            w in drink.mixing for w in WAYS if w != "build"
        )
        if said or ("build" in drink.mixing and any(_lengthens(context, i) for i in drink.ingredients)):
            continue
        sour = any(i.name.endswith("juice") or "egg" in i.name or "cream" in i.name for i in drink.ingredients)
        way, why = ("shake", "it holds juice, egg or cream") if sour else ("stir", "it holds no juice, egg or cream")
        yield question(
            context, KIND, drink=drink.name, about=drink.name, blocking=False, evidence=drink.evidence,
            text=f"How is {drink.name} mixed? Nothing was said of it ({clock(drink.start_s)} to {clock(drink.end_s)}).",
            suggestions=[Suggestion(answer=way, reason=f"common practice: {why}")],
        )  # fmt: skip
