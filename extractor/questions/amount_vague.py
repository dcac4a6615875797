"""An amount that cannot be measured, where it matters: "a glug", "a few shakes", ice by the handful in a blender.

Why: a glug is one ounce for one hand and three for another. A pinch, a splash or a garnish is fine as it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question, usual_suggestion
from extractor.record.episode import Question

KIND = "amount-vague"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice and a big glug of cream liqueur. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice and a pinch of salt. Shake it and strain it into a coupe."
# Units whose vague form is a measure of its own in the trade (common practice, no source).
FINE = ("top", "rinse", "rim", "float", "to_taste", "pinch", "splash")


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        for i in drink.ingredients:
            a = i.amount
            if a is None or a.low is not None or a.unit in FINE:
                continue
            yield question(
                context, KIND, drink=drink.name, about=i.name, blocking=False, evidence=i.evidence,
                text=f"“{a.said}” of {i.name} in {drink.name} cannot be measured: about how much is it? {heard(i.evidence)}",
                suggestions=usual_suggestion(context, i),
            )  # fmt: skip
