"""Episodes made by hand, and readers that read just enough, for the tests of answers. The drinks are our own."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, get_args

from extractor.answers import Readers
from extractor.record import (
    Amount,
    Component,
    Drink,
    Episode,
    Evidence,
    Ingredient,
    Question,
    Range,
    Source,
    Suggestion,
)
from extractor.record.episode import QuestionKind, Unit

ML = {"fl_oz": 29.5735, "ml": 1.0, "cl": 10.0, "tsp": 4.92892, "cup": 236.588, "dash": 0.9}
_UNITS = {
    "oz": "fl_oz", "ounce": "fl_oz", "ounces": "fl_oz", "ml": "ml", "cl": "cl", "dash": "dash", "dashes": "dash",
    "part": "part", "parts": "part", "g": "g", "tsp": "tsp", "teaspoon": "tsp", "teaspoons": "tsp", "cup": "cup",
    "cups": "cup", "leaf": "leaf", "leaves": "leaf", "drops": "drop", "drop": "drop", "piece": "piece",
}  # fmt: skip
_NUMBERS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "six": 6.0, "eight": 8.0, "twenty": 20.0, "half": 0.5,
    "half a": 0.5, "half an": 0.5, "a half": 0.5, "quarter": 0.25, "three quarters": 0.75, "three quarters of an": 0.75,
    "one and a half": 1.5,
}  # fmt: skip
_NUMBER = "|".join(sorted(_NUMBERS, key=len, reverse=True)) + r"|\d+(?:\.\d+)?"
_AMOUNT = re.compile(
    rf"(?<!\S)(?:(about)\s+)?({_NUMBER})(?:\s*(?:to|-)\s*({_NUMBER}))?\s*(?<![a-z])(?:({'|'.join(_UNITS)})(?!\S))?(?=\W|$)",
    re.IGNORECASE,
)


def amount(low: float | None, unit: str | None, high: float | None = None, said: str = "") -> Amount:
    top = low if high is None else high
    size = ML.get(unit or "")
    ml = Range(low=low * size, high=top * size) if size and low is not None and top is not None else None
    assert unit is None or unit in get_args(Unit)
    return Amount(low=low, high=top, unit=unit, millilitres=ml, said=said or f"{low} {unit}")  # type: ignore[arg-type]


def read_amount(spoken: str) -> Amount | None:
    """Like the project's own: finds the first amount among other words, `said` being the words that it read."""
    found = _AMOUNT.search(spoken.strip())
    if found is None:
        return None
    low, high = (_NUMBERS.get(n.lower()) or float(n) if n else None for n in found.group(2, 3))
    unit = _UNITS[found[4].lower()] if found[4] else None
    return amount(low, unit, high, said=found[0].strip())


@dataclass(frozen=True)
class Name:
    name: str
    lexicon_id: str | None
    confidence: float


KNOWN = {
    "oloroso sherry": "oloroso-sherry", "lime juice": "lime-juice", "lemon juice": "lemon-juice", "gin": "gin",
    "simple syrup": "simple-syrup", "aged rum": "aged-rum", "falernum": "falernum", "orgeat": "orgeat",
    "crème de noyaux": "creme-de-noyaux", "sugar": "sugar", "water": "water", "maraschino cherry": "maraschino-cherry",
    "egg white": "egg-white", "orange bitters": "orange-bitters",
}  # fmt: skip
OTHER = {"oloroso": "oloroso sherry", "creme de noyaux": "crème de noyaux"}


def read_name(heard: str) -> Sequence[Name]:
    key = heard.casefold()
    if key in OTHER:
        return [Name(OTHER[key], KNOWN[OTHER[key]], 1.0)]
    return [Name(heard.casefold(), KNOWN[key], 1.0)] if key in KNOWN else []


READERS = Readers(read_amount, read_name)


def pour(name: str, low: float | None = None, unit: str | None = None, at: float = 0.0, **more: Any) -> Ingredient:
    heard = more.pop("heard", name)
    size = more.pop("amount", amount(low, unit) if low is not None or unit is not None else None)
    text = more.pop("text", f"and then {heard}")
    return Ingredient(
        name=name,
        lexicon_id=more.pop("lexicon_id", KNOWN.get(name)),
        heard=heard,
        amount=size,
        at_s=at,
        evidence=Evidence(start_s=at, end_s=at + 3, text=text),
        **more,
    )


def drink(name: str, *pours: Ingredient, at: float = 0.0, **more: Any) -> Drink:
    base: dict[str, Any] = {
        "name_heard": name.lower(),
        "start_s": at,
        "end_s": at + 100,
        "servings": None,
        "glass": None,
        "ice": None,
    }
    return Drink(name=name, ingredients=pours, **{**base, **more})


def ask(
    kind: QuestionKind, drink: str | None, about: str, *offers: str, id: str = "", at: float | None = None, **more: Any
) -> Question:
    base: dict[str, Any] = {"blocking": True, "text": f"{kind}: {about}?"}
    return Question(
        id=id or f"{kind}-{drink}-{about}".lower().replace(" ", "-"),
        kind=kind,
        drink=drink,
        about=about,
        at_s=at,
        suggestions=tuple(Suggestion(answer=o, reason="usual") for o in offers),
        **{**base, **more},
    )


def episode(*drinks: Drink, questions: Sequence[Question] = (), **more: Any) -> Episode:
    source = Source(path="brunch.vtt", kind="webvtt", duration_s=600, cues=10)
    return Episode(source=source, drinks=drinks, questions=tuple(questions), **more)


def brunch(**more: Any) -> Episode:
    """Two drinks and a home-made syrup, with a question of nearly every kind."""
    collar = drink(
        "Sunday Collar",
        pour("gin", 1.5, "fl_oz", 70),
        pour("lemon juice", 0.5, "fl_oz", 72),
        pour("simple syrup", at=75),
        pour("egg white", 1, "piece", 80),
        pour("all are also cherry", 0.5, "fl_oz", 85, lexicon_id=None),
        at=60,
        mixing=("shake",),
    )
    light = drink(
        "Porch Light",
        pour("aged rum", 2, "fl_oz", 170),
        pour("lime juice", 1, None, 172),
        pour("plum oleo", 0.5, "fl_oz", 175, lexicon_id=None),
        pour("orange bitters", 0.5, "cup", 178, alternatives=("falernum",)),
        at=160,
        glass="coupe",
        garnishes=(pour("lime wheel", at=190),),
        components=(
            Component(
                name="plum oleo",
                kind="other",
                ingredients=(pour("plum", at=176), pour("sugar", at=177)),
                at_s=176,
            ),
        ),
    )
    questions = (
        ask("amount-missing", "Sunday Collar", "simple syrup", "three quarters of an ounce", "half an ounce", at=75),
        ask("name-unsure", "Sunday Collar", "all are also cherry", "oloroso sherry", "maraschino cherry", at=85),
        ask("glass-missing", "Sunday Collar", "Sunday Collar", "coupe", at=60, blocking=False),
        ask("unit-missing", "Porch Light", "lime juice", "1 ounce", "1 teaspoon", at=172),
        ask("amount-unlikely", "Porch Light", "orange bitters", "2 dashes", at=178),
        ask("component-incomplete", "Porch Light", "plum oleo", at=176, context={"missing": "ratio"}),
        ask("method-missing", "Porch Light", "Porch Light", "shake, fine strain", at=160, blocking=False),
        ask("disclosure", "Porch Light", "aged rum", "The rum was a gift.", at=170,
            evidence=Evidence(start_s=170, end_s=175, text="the nice people at the distillery sent me this rum")),
        ask("claim-mismatch", None, "episode", at=5, blocking=False,
            text="Three drinks are promised (0:05), and there are two."),
    )  # fmt: skip
    return episode(collar, light, questions=questions, **more)
