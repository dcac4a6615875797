"""A number whose unit neither is said nor follows from the talk around it.

Why: four of what? Centilitres and ounces are seven times apart.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.questions.context import Context, heard, question
from extractor.record.episode import Question, Suggestion

KIND = "unit-missing"
ASKS = "The first one is called Pale Harbour. Thirty mil of lemon juice, twenty mil of sugar syrup, and golden rum, four. Shake it and strain it into a coupe."
SILENT = "The first one is called Pale Harbour. Thirty mil of lemon juice, twenty mil of sugar syrup, and golden rum, forty. Shake it and strain it into a coupe."
UNITS = (("ml", "ml"), ("cl", "cl"), ("fl_oz", "oz"), ("tsp", "teaspoons"), ("dash", "dashes"))


def check(context: Context) -> Iterator[Question]:
    for drink in context.episode.drinks:
        for i in drink.ingredients:
            a = i.amount
            if a is None or a.unit is not None or a.low is None:
                continue
            entry = context.entry(i)
            usual = context.usual_ml(entry) if entry is not None else None
            offers = []
            for unit, word in UNITS:
                size = context.units.millilitres(a.low, a.high if a.high is not None else a.low, unit)
                if size is not None and usual is not None and usual[0] * 0.5 <= float(size[0]) <= usual[1] * 1.5:
                    offers.append(
                        Suggestion(
                            answer=f"{a.low:g} {word}", reason=f"{float(size[0]):.0f} ml, a usual amount of {i.name}"
                        )
                    )
            yield question(
                context, KIND, drink=drink.name, about=i.name, blocking=True, evidence=i.evidence, suggestions=offers,
                text=f"{a.low:g} of what, of {i.name} in {drink.name}? {heard(i.evidence)} gives a number without a unit.",
            )  # fmt: skip
