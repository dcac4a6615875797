"""Something home-made whose ratio, amounts or time is not said.

Why: it cannot be made from what was said.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.lexicon import plain
from extractor.questions.context import Context, clock, question
from extractor.record.episode import Question

KIND = "component-incomplete"
ASKS = "The first one is called Pale Harbour. For this I make my own walnut vodka. You take green walnuts, you cut them, you put them in a jar with vodka and you let it steep. Two ounces of the walnut vodka, half an ounce of lemon juice. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Two ounces of gin. Half an ounce of honey syrup, that's two parts honey, one part hot water. Shake it and strain it into a coupe."


def check(context: Context) -> Iterator[Question]:
    promised = {plain(f.about) for f in context.findings("elsewhere")}
    seen: set[str] = set()
    for f in [*context.findings("untold"), *context.findings("time")]:
        if plain(f.about) in promised or plain(f.about) in seen:
            continue
        seen.add(plain(f.about))
        evidence = context.evidence(f)
        if f.kind == "time":
            lack = "how long it stands is not said"
        elif f.values:
            lack = "no amount was said of " + ", ".join(f.values)
        else:
            lack = "how it is made is not said"
        yield question(
            context, KIND, drink=f.drink, about=f.about, blocking=False, evidence=evidence,
            text=f"{f.about} is home-made ({clock(evidence.start_s)}), and {lack}.",
        )  # fmt: skip
