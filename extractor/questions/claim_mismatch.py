"""The talk promises what it does not hold: three drinks and there are two; equal parts that are not; no alcohol, and some is in.

Why: either the promise is wrong, or something of the drinks was missed. Alcohol in a drink promised without is a danger.
"""

from __future__ import annotations

from collections.abc import Iterator

from extractor.lexicon import plain
from extractor.questions.context import Context, clock, heard, question
from extractor.record.episode import Drink, Question, Suggestion

KIND = "claim-mismatch"
ASKS = "We're making three drinks tonight. The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it into a coupe. The second one is called Slate Roof. Two ounces of rye whiskey, one ounce of sweet vermouth. Stir it and strain it into a rocks glass."
SILENT = "We're making two drinks tonight. The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice. Shake it and strain it into a coupe. The second one is called Slate Roof. Two ounces of rye whiskey, one ounce of sweet vermouth. Stir it and strain it into a rocks glass."
EQUAL_UNITS = ("fl_oz", "ml", "cl", "part", "oz_wt")


def _unequal(drink: Drink) -> list[str]:
    """The amounts of a drink by volume, as said, where they are not all the same."""
    amounts = [
        i.amount for i in drink.ingredients if i.amount is not None and i.amount.unit in EQUAL_UNITS and i.amount.low
    ]
    sizes = {(a.low, a.unit) for a in amounts}
    return [a.said for a in amounts] if len(sizes) > 1 else []


def check(context: Context) -> Iterator[Question]:
    drinks = {d.name: d for d in context.episode.drinks}
    for f in context.findings("drinks"):
        if f.number is not None and f.number != len(drinks):
            evidence = context.evidence(f)
            never = f" Named and never made: {', '.join(context.draft.announced)}." if context.draft.announced else ""
            yield question(
                context, KIND, drink=None, about="episode", blocking=False, evidence=evidence,
                text=f"{heard(evidence)} promises {f.number} drinks, and {len(drinks)} were found.{never} Which is right?",
                suggestions=[Suggestion(answer="leave as it is", reason=f"{len(drinks)} were made")],
            )  # fmt: skip
    done: set[str] = set()
    for f in context.findings("equal"):
        drink = drinks.get(f.drink or "")
        if drink is None or drink.name in done:
            continue
        unequal = _unequal(drink)
        if unequal:
            done.add(drink.name)
            evidence = context.evidence(f)
            yield question(
                context, KIND, drink=drink.name, about=drink.name, blocking=True, evidence=evidence,
                text=f"{heard(evidence)} was said of {drink.name}, and the amounts are {', '.join(unequal)}. Which is right?",
                suggestions=[Suggestion(answer="leave as it is", reason="the amounts as they were said")],
            )  # fmt: skip
    for f in context.findings("ingredients"):
        drink = drinks.get(f.drink or "")
        if drink is None or f.number is None:
            continue
        poured = len([i for i in drink.ingredients if i.amount is None or i.amount.unit != "rim"])
        if f.number not in (poured, len(drink.ingredients), len(drink.ingredients) + len(drink.garnishes)):
            evidence = context.evidence(f)
            yield question(
                context, KIND, drink=drink.name, about=drink.name, blocking=False, evidence=evidence,
                text=f"{heard(evidence)} promises {f.number} ingredients of {drink.name}, and {poured} were found. Which is right?",
                suggestions=[Suggestion(answer="leave as it is", reason=f"{poured} go in")],
            )  # fmt: skip
    asked: set[str] = set()
    for f in context.findings("no alcohol"):
        for drink in context.episode.drinks:
            if f.drink is not None and f.drink != drink.name:
                continue
            strong = [i for i in drink.ingredients if _alcohol(context, i.lexicon_id)]
            if not strong or drink.name in asked:
                continue
            asked.add(drink.name)
            evidence = context.evidence(f)
            names = ", ".join(i.name for i in strong)
            yield question(
                context, KIND, drink=drink.name, about=drink.name, blocking=True, evidence=evidence,
                text=f"{heard(evidence)} promises a drink without alcohol, and {drink.name} holds {names} ({clock(strong[0].at_s)}).",
                suggestions=[Suggestion(answer=f"drop {plain(names)}", reason="then it has none")],
            )  # fmt: skip


def _alcohol(context: Context, lexicon_id: str | None) -> bool:
    entry = context.lexicon.by_id.get(lexicon_id) if lexicon_id is not None else None
    figure = context.lexicon.figure(entry, "strength") if entry is not None else None
    return figure is not None and figure.low > 0.5
