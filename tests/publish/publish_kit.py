"""Hand-made episodes for the tests of what gets published: our own invented drinks, with their figures worked out."""

from __future__ import annotations

from collections.abc import Sequence

from extractor.figures import drink_figures
from extractor.lexicon import load_lexicon
from extractor.publish.tables import load_tables
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
)
from extractor.units import load_units

LEXICON = load_lexicon()
TABLES = load_tables()
EVIDENCE = Evidence(start_s=None, end_s=None, text="")


def amount(
    low: float | None, unit: str | None, high: float | None = None, *, said: str = "as said", locale: str = "us"
) -> Amount:
    high = low if high is None else high
    ml = load_units(locale).millilitres(low, high, unit)
    return Amount.model_validate(
        {"low": low, "high": high, "unit": unit, "said": said, "millilitres": ml and {"low": ml[0], "high": ml[1]}}
    )


def ingredient(
    name: str,
    low: float | None = None,
    unit: str | None = None,
    high: float | None = None,
    *,
    said: str = "as said",
    locale: str = "us",
    none: bool = False,
    **more: object,
) -> Ingredient:
    """`none`: no amount was said."""
    entry = LEXICON.named(name)
    given = None if none else amount(low, unit, high, said=said, locale=locale)
    return Ingredient.model_validate(
        {
            "name": name,
            "lexicon_id": entry.id if entry else None,
            "heard": name,
            "amount": given,
            "at_s": None,
            "evidence": EVIDENCE,
            **more,
        }
    )


def step(text: str, at_s: float | None = None, seconds: float | None = None) -> Step:
    return Step(text=text, at_s=at_s, seconds=None if seconds is None else Range(low=seconds, high=seconds))


def drink(name: str, *ingredients: Ingredient, figures: bool = True, locale: str = "us", **more: object) -> Drink:
    fields = {
        "name": name,
        "name_heard": name,
        "start_s": None,
        "end_s": None,
        "servings": None,
        "glass": None,
        "ice": None,
        "ingredients": ingredients,
        **more,
    }
    made = Drink.model_validate(fields)
    if not figures:
        return made
    country = "uk" if locale == "uk" else "us"
    return made.model_copy(update={"figures": drink_figures(made, LEXICON, load_units(locale), country=country)})


def question(
    kind: str, drink: str | None, about: str, *, blocking: bool = True, id: str = "", text: str = ""
) -> Question:
    return Question.model_validate(
        {
            "id": id or f"{kind}-{about}".replace(" ", "-"),
            "kind": kind,
            "drink": drink,
            "about": about,
            "at_s": 30.0,
            "blocking": blocking,
            "text": text or f"What of {about}?",
        }
    )


def episode(
    *drinks: Drink, questions: Sequence[Question] = (), duration_s: float | None = 600, **more: object
) -> Episode:
    return Episode.model_validate(
        {
            "source": Source(path="pier.vtt", kind="webvtt", duration_s=duration_s, cues=120),
            "drinks": drinks,
            "questions": tuple(questions),
            **more,
        }
    )


def pier_light(**more: object) -> Drink:
    """Shaken, with an egg and a home-made syrup."""
    fields: dict[str, object] = {
        "start_s": 42.6,
        "end_s": 210.0,
        "servings": 1,
        "glass": "coupe",
        "mixing": ("dry shake", "shake", "fine strain"),
        "garnishes": (ingredient("lemon peel", 1, "peel"),),
        "components": (
            Component(
                name="honey syrup",
                kind="syrup",
                ingredients=(ingredient("honey", 200, "g"), ingredient("hot water", 100, "g")),
                minutes=Range(low=5, high=5),
                at_s=95.0,
                steps=(step("Stir the honey into the hot water until it is all one.", 95.0),),
            ),
        ),
        "steps": (
            step("Put the gin, lemon juice, honey syrup and egg white in a shaker.", 60.0),
            step("Shake without ice for 15 seconds.", 120.0, 15),
            step("Shake with ice.", 140.0),
            step("Fine strain into the coupe.", 170.0),
            step("Garnish with the lemon peel.", 185.0),
        ),
    }
    return drink(
        "Pier Light",
        ingredient("gin", 1.75, "fl_oz", at_s=55.0),
        ingredient("lemon juice", 0.75, "fl_oz", notes=("fresh",)),
        ingredient("honey syrup", 0.5, "fl_oz", 0.75),
        ingredient("egg white", 1, "piece"),
        ingredient("aromatic bitters", 2, "dash"),
        **{**fields, **more},
    )


def low_tide(**more: object) -> Drink:
    """Stirred, told in millilitres."""
    fields: dict[str, object] = {
        "start_s": 215.2,
        "end_s": 400.0,
        "servings": 1,
        "glass": "rocks glass",
        "ice": "large cube",
        "mixing": ("stir", "strain"),
        "garnishes": (ingredient("orange peel", 1, "peel"),),
        "steps": (
            step("Pour everything into a mixing glass.", 260.0),
            step("Stir with ice for 30 seconds.", 300.0, 30),
            step("Strain into the rocks glass over a large cube.", 340.0),
        ),
    }
    return drink(
        "Low Tide",
        ingredient("rye whiskey", 50, "ml"),
        ingredient("fino sherry", 25, "ml"),
        ingredient("maraschino liqueur", 1, "bar_spoon"),
        ingredient("saline solution", 3, "drop"),
        **{**fields, **more},
    )


def breakwater(**more: object) -> Drink:
    """Long, without alcohol, topped up."""
    fields: dict[str, object] = {
        "start_s": 405.9,
        "end_s": 600.0,
        "servings": 2,
        "glass": "highball glass",
        "ice": "crushed ice",
        "mixing": ("build", "top"),
        "garnishes": (ingredient("mint", 1, "sprig"),),
        "steps": (
            step("Pour the lime juice and simple syrup into the highball glass over crushed ice.", 440.0),
            step("Top up with ginger beer.", 480.0),
        ),
    }
    return drink(
        "Breakwater",
        ingredient("lime juice", 1, "piece"),
        ingredient("simple syrup", 1, "fl_oz"),
        ingredient("ginger beer", None, "top"),
        ingredient("mint", 8, "leaf"),
        **{**fields, **more},
    )


def evening(**more: object) -> Episode:
    return episode(pier_light(), low_tide(), breakwater(), **more)  # type: ignore[arg-type]


LONG_NAME = (
    "The Extraordinarily Long and Winding Promenade of the Retired Lighthouse Keepers' Benevolent Association No. 7"
)


def crowd(count: int = 40) -> Drink:
    """As many ingredients as nobody would pour, with long names."""
    names = [e.name for e in LEXICON.ingredients if e.kind in ("juice", "syrup") and len(e.name) > 12][: count - 2]
    lines = [
        ingredient(n, 0.25 + 0.25 * (k % 6), "fl_oz", notes=("shaken once, rested once",) if k % 7 == 0 else ())
        for k, n in enumerate(names)
    ]
    lines.append(
        ingredient(
            "Grandmother Wilhelmina's twice-clarified blackcurrant and elderflower vinegar cordial", 1, "bar_spoon"
        )
    )
    lines.append(ingredient("x" * 60, 2, "dash"))
    return drink(
        LONG_NAME,
        *lines,
        glass="highball glass",
        servings=12,
        mixing=("shake", "strain"),
        start_s=10.0,
        end_s=500.0,
        steps=tuple(step(f"Do the thing that comes as number {n}, and take your time over it.") for n in range(1, 9)),
    )


def correction(
    heard: str, written: str, first: int, last: int, *, applied: bool = True, at_s: float = 12.0
) -> Correction:
    return Correction(
        heard=heard,
        written=written,
        start_s=at_s,
        end_s=at_s + 1,
        confidence=0.97,
        applied=applied,
        first_word=first,
        last_word=last,
    )
