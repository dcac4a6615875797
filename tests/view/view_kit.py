"""Records made by hand, and what the views make of them."""

from __future__ import annotations

import io
from collections.abc import Sequence

from rich.console import Console

from extractor.lexicon import load_lexicon
from extractor.publish import Sheet, sheets_of
from extractor.record import (
    Amount,
    Component,
    Correction,
    Drink,
    Episode,
    Evidence,
    Ingredient,
    Question,
    Range,
    Source,
    Step,
    Suggestion,
)  # fmt: skip
from extractor.view import draft_view


def told(text: str, at_s: float | None = 12.0) -> Evidence:
    return Evidence(start_s=at_s, end_s=None if at_s is None else at_s + 1, text=text)


def ingredient(name: str, amount: Amount | None, *, heard: str | None = None, id: str | None = None) -> Ingredient:
    return Ingredient(
        name=name, lexicon_id=id, heard=heard or name, amount=amount, at_s=12.0, evidence=told(heard or name)
    )


def ounces(number: float, said: str) -> Amount:
    ml = number * 29.5735295625
    return Amount(low=number, high=number, unit="fl_oz", millilitres=Range(low=ml, high=ml), said=said)


def episode(word: str = "Pale Harbour") -> Episode:
    """An episode in which `word` stands in every place where text of the captions can stand."""
    gin = ingredient("gin", ounces(2, f"two ounces {word}"), id="gin")
    odd = ingredient(f"oleo {word}", None, heard=f"holy o {word}").model_copy(
        update={"notes": (f"from {word}",), "alternatives": (f"or {word}",)}
    )
    syrup = Component(
        name=f"oleo {word}", kind="syrup", ingredients=(ingredient(f"sugar {word}", None),), elsewhere=f"there {word}",
        steps=(Step(text=f"Stir {word}.", at_s=14.0),), notes=(f"keeps {word}",),
    )  # fmt: skip
    drink = Drink(
        name=word, name_heard=f"heard {word}", start_s=10.0, end_s=60.0, servings=1, glass=f"glass {word}",
        ice=f"ice {word}", mixing=("stir",), ingredients=(gin, odd), garnishes=(ingredient(f"peel {word}", None),),
        components=(syrup,), steps=(Step(text=f"Stir with {word}.", at_s=20.0),), notes=(f"note {word}",),
    )  # fmt: skip
    question = Question(
        id="amount-missing/1/oleo", kind="amount-missing", drink=word, about=f"oleo {word}", blocking=True, at_s=12.0,
        text=f"How much {word}?", suggestions=(Suggestion(answer=f"1 oz {word}", reason=f"usual {word}"),),
        evidence=told(word), context={"changed": f"it is {word}", "earlier_answer": f"2 oz {word}"},
    )  # fmt: skip
    right = Correction(
        heard=f"heard {word}", written=f"right {word}", start_s=12.0, end_s=13.0, confidence=0.99, applied=True,
        first_word=1, last_word=2,
    )  # fmt: skip
    return Episode(
        source=Source(path=f"{word}.vtt", kind="webvtt", duration_s=90.0, cues=12, notes=(f"read {word}",)),
        drinks=(drink,),
        corrections=(right, right.model_copy(update={"applied": False, "start_s": 40.0})),
        questions=(question,),
        disclosures=(f"given by {word}",),
        notes=(f"all {word}",),
    )


def sheets(record: Episode) -> tuple[Sheet, ...]:
    return sheets_of(record, load_lexicon(), mark_open=True)


def printed(record: Episode, made: Sequence[Sheet] | None = None, *, width: int = 100, terminal: bool = False) -> str:
    """What the draft looks like in a file, or what a terminal is sent."""
    console = Console(
        file=io.StringIO(), width=width, force_terminal=terminal, color_system="standard" if terminal else None,
        highlight=False, markup=False, emoji=False, legacy_windows=False,
    )  # fmt: skip
    with console.capture() as captured:
        for part in draft_view(record, made if made is not None else sheets(record), width=width):
            console.print(part)
    return captured.get()
