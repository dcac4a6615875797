"""This or that, never settled.

Why: the recipe must say which was poured, or that both will do.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question
from extractor.record.episode import Question, Suggestion

KIND = "choice-open"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it, strain it into a highball glass and top it with tonic water or soda water."
SILENT = "The first one is called Pale Harbour. Two ounces of bourbon or rye whiskey, I'm using the rye. Half an ounce of lemon juice. Shake it and strain it into a coupe."


def check(context: Context) -> Iterator[Question]:
    for f in context.findings("choice"):
        evidence = context.evidence(f)
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=False, evidence=evidence,
            text=f"{f.values[0]} or {f.values[1]} in {f.drink}: which is it? {heard(evidence)}",
            suggestions=[
                Suggestion(answer=f.values[0], reason="said first"),
                Suggestion(answer=f.values[1], reason="said second"),
                Suggestion(answer="leave as it is", reason="both will do: the recipe names both"),
            ],
        )  # fmt: skip
