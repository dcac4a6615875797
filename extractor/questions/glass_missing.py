"""No glass said, or one that was misheard.

Why: the glass decides size, ice and garnish.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, clock, heard, question
from extractor.record.episode import Question, Suggestion

KIND = "glass-missing"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it into a coupe."


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        if drink.glass is not None:
            continue
        topped = any(i.amount is not None and i.amount.unit == "top" for i in drink.ingredients)
        offers = ["highball glass"] if topped else ["coupe", "rocks glass"]
        why = "common for a drink that is topped up" if topped else "common for a drink without a top-up"
        yield question(
            context, KIND, drink=drink.name, about=drink.name, blocking=False, evidence=drink.evidence,
            text=f"In which glass is {drink.name} served? None was named ({clock(drink.start_s)} to {clock(drink.end_s)}).",
            suggestions=[Suggestion(answer=o, reason=why) for o in offers],
        )  # fmt: skip
    for f in context.findings("glass"):
        evidence = context.evidence(f)
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=False, evidence=evidence,
            text=f"Is {f.drink} served in {f.values[0]}? Heard: {heard(evidence)}.",
            suggestions=[Suggestion(answer=v, reason="sounds like it") for v in f.values],
        )  # fmt: skip
