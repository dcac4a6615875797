"""Something goes in and no amount was said.

Why: a reader would guess, and the drink would be another one.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question, said_elsewhere, usual_suggestion
from extractor.record.episode import Question

KIND = "amount-missing"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice, and then add the orgeat. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it, strain it into a coupe and top with soda water."


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        open_choice = {f.about for f in context.findings("choice") if f.drink == drink.name}
        for i in drink.ingredients:
            if i.amount is not None or (i.name in open_choice and i.alternatives == ()):
                continue
            if any(
                f.kind in ("unsure", "unknown") and f.about == i.name and f.drink == drink.name
                for f in context.draft.findings
            ):
                continue
            yield question(
                context, KIND, drink=drink.name, about=i.name, blocking=True, evidence=i.evidence,
                text=f"How much {i.name} goes into {drink.name}? {heard(i.evidence)} names it, and no amount was said.",
                suggestions=[*said_elsewhere(context, i, drink), *usual_suggestion(context, i)],
            )  # fmt: skip
