"""Two different amounts were said for one thing, and the speaker never says which holds.

Why: one of them is wrong, and nobody but the speaker knows which.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, clock, question
from extractor.record.episode import Question, Suggestion

KIND = "amount-conflict"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it into a coupe. Quick recap. Two ounces of gin, one ounce of lemon juice."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce, sorry, one ounce of lemon juice. Shake it and strain it into a coupe. Quick recap. Two ounces of gin, one ounce of lemon juice."


def check(context: Context) -> Iterator[Question]:
    for f in context.findings("conflict"):
        evidence = context.evidence(f)
        first, *others = f.values
        text = (
            f"For {f.about} in {f.drink} both “{first}” and “{others[-1] if others else '?'}” were said. Which holds?"
        )
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence,
            text=f"{text} Listen at {clock(evidence.start_s)}.",
            suggestions=[
                Suggestion(answer=first, reason="said while making it"),
                *(Suggestion(answer=o, reason=f"said at {clock(evidence.start_s)}") for o in others),
            ],
        )  # fmt: skip
