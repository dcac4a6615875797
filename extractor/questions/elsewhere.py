"""A recipe is promised in the description, on a card, in another episode.

Why: the viewers will look for it there.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question
from extractor.record.episode import Question

KIND = "elsewhere"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of my cinnamon syrup, and the recipe for the cinnamon syrup is down in the description. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of cinnamon syrup. Shake it and strain it into a coupe. Links are in the description."


def check(context: Context) -> Iterator[Question]:
    for f in context.findings("elsewhere"):
        evidence = context.evidence(f)
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=False, evidence=evidence,
            text=f"The recipe for {f.about} is promised in another place: {heard(evidence)}. What is it, or where does it stand?",
        )  # fmt: skip
