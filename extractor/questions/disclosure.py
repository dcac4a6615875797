"""A gift, a friend's product, a sponsor: the public must be told.

Why: 16 CFR 255.5(a): a material connection, free products included, is to be disclosed clearly and conspicuously.
Other places have rules of their own; ask someone who knows them.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question
from extractor.record.episode import Question, Suggestion

KIND = "disclosure"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of falernum. The falernum is from my friend Odo, who just started bottling it and sent me a whole case. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of falernum, which I bought at the shop on the corner. Shake it and strain it into a coupe."


def check(context: Context) -> Iterator[Question]:
    for f in context.findings("gift"):
        evidence = context.evidence(f)
        what = f"The {f.about}" if f.about != "episode" else "The episode"
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence,
            text=f"{what} seems to be a gift, a friend's product or paid for: {heard(evidence)}. How shall the public be told?",
            suggestions=[
                Suggestion(answer=f"The {f.about} was given to us free of charge.", reason="it was a gift"),
                Suggestion(answer=f"The {f.about} is made by a friend.", reason="it is a friend's product"),
                Suggestion(answer="leave as it is", reason="it was bought, and nobody is connected with us"),
            ],
        )  # fmt: skip
