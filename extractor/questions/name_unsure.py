"""A name that is not known, that may be one of two, or of a drink and never said.

Why: a wrong ingredient is a wrong drink, and for some people a danger.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, clock, heard, question
from extractor.record.episode import Question, Suggestion

KIND = "name-unsure"
ASKS = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of blorptangle, half an ounce of lemon juice. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin, half an ounce of maraschino liqueur, half an ounce of lemon juice. Shake it and strain it into a coupe."


def check(context: Context) -> Iterator[Question]:
    for f in context.findings("unsure"):
        evidence = context.evidence(f)
        offers = [
            Suggestion(answer=v, reason="sounds like it" if k else "likeliest by its sound and place")
            for k, v in enumerate(f.values[:4])
        ]
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence, suggestions=offers,
            text=f"Is it {' or '.join(f.values[:2]) or f.about} in {f.drink}? Heard: {heard(evidence)}.",
        )  # fmt: skip
    for f in context.findings("unknown"):
        evidence = context.evidence(f)
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence,
            text=f"“{f.about}” in {f.drink} is in no lexicon. Is it spelt so, and what is it? Heard at {clock(evidence.start_s)}.",
            suggestions=[
                Suggestion(answer=f.about, reason="as heard"),
                *(Suggestion(answer=v, reason="sounds like it") for v in f.values[:3]),
            ],
        )  # fmt: skip
    for f in context.findings("unnamed"):
        evidence = context.evidence(f)
        text = f"What is the drink called that begins at {clock(evidence.start_s)}? No name was heard."
        if f.values:
            text = f"Is the drink called {f.values[0]}? It was only told in passing, at {clock(evidence.start_s)}."
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence, text=text,
            suggestions=[Suggestion(answer=v, reason="told in passing") for v in f.values],
        )  # fmt: skip
    for f in context.findings("unplaced"):
        evidence = context.evidence(f)
        where = f" in {f.drink}" if f.drink else ""
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=True, evidence=evidence,
            text=f"{heard(evidence)} was said{where}: of what, and does it go in?",
        )  # fmt: skip
