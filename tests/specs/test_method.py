"""The method as sentences, the ice, the glass and the garnish, on short invented talks.

Facts of the trade here (what is muddled goes in first, what goes in last is not shaken): common practice, no source."""

from __future__ import annotations

import pytest

from extractor import draft
from extractor.record import Drink


def only(talk: str) -> Drink:
    drinks = draft(talk + "\n").drinks
    assert len(drinks) == 1, [d.name for d in drinks]
    return drinks[0]


def method(talk: str) -> list[str]:
    return [s.text for s in only(talk).steps]


def test_what_is_in_by_then_is_muddled() -> None:
    assert method(
        "This one's the Tin Roof. In a rocks glass, one sugar cube, three dashes of Angostura bitters, and muddle "
        "that. Two ounces of rye. Big ice cube. Give it a stir."
    ) == [
        "Muddle sugar cube and Angostura bitters.",
        "Pour rye whiskey into the rocks glass over large cube.",
        "Stir.",
    ]


def test_what_goes_in_behind_the_straining_is_not_shaken() -> None:
    assert method(
        "First is the Ferry Bell. Forty mil of gin, twenty mil of lemon juice, ten mil of sugar syrup. Shake that, "
        "fine strain it into a flute. Then ten mil of crème de violette, and watch it sink."
    ) == [
        "Put gin, lemon juice and sugar syrup in a shaker.",
        "Shake with ice.",
        "Fine strain into the flute.",
        "Add crème de violette.",
    ]


def test_what_was_forgotten_goes_in_with_the_rest() -> None:
    steps = method(
        "First is the Ferry Bell. Forty mil of gin, twenty mil of lemon juice, ten mil of sugar syrup. Shake that, "
        "fine strain it into a coupe. Oh, I forgot, five mil of crème de violette goes in as well."
    )
    assert steps[0] == "Put gin, lemon juice, sugar syrup and crème de violette in a shaker."


def test_the_last_stir_is_told_last() -> None:
    steps = method(
        "This is the Slow Tide. Fifty mil of dark rum and twenty mil of lemon juice in a mug, top with hot water, stir."
    )
    assert steps[-2:] == ["Top up with hot water.", "Stir."]


@pytest.mark.parametrize(
    ("told", "ice"),
    [
        ("Shake with ice and strain it into a rocks glass over ice.", "ice"),
        ("Shake it with ice and strain it into a coupe.", None),
        ("Fill a highball with ice. Build it in there.", "ice"),
        ("Fill your tin with ice, shake, strain into a coupe.", None),
        ("Shake, strain it into a highball, no ice in the glass.", "no ice"),
        ("Stir it over ice, strain it up into a Nick and Nora glass.", None),
        ("Stir it over ice and strain it over one big cube in a rocks glass.", "large cube"),
        ("Shake, and pour it on crushed ice in a tumbler.", "crushed ice"),
        ("Pour that into a tumbler full of ice and stir it.", "ice"),
    ],
)
def test_ice_is_the_ice_in_the_glass(told: str, ice: str | None) -> None:
    assert only(f"Next up, the Sand Line. Two ounces of gin, one ounce of lime juice. {told}").ice == ice


@pytest.mark.parametrize(
    ("told", "glass"),
    [
        ("Warm your mug with boiling water and tip it out. Two ounces of rum, one ounce of lemon juice, stir.", "mug"),
        (
            "Two ounces of rum, one ounce of lemon juice. Salt half the rim of a Collins glass. Shake it.",
            "collins glass",
        ),
    ],
)
def test_a_glass_made_ready_is_the_glass(told: str, glass: str) -> None:
    assert only(f"Next up, the Sand Line. {told}").glass == glass


@pytest.mark.parametrize(
    ("told", "garnish"),
    [
        ("Stir, strain it into a rocks glass, flamed orange peel.", "flamed orange peel"),
        ("Stir, strain it into a coupe, lemon twist.", "lemon twist"),
        ("Stir, strain it into a rocks glass over ice with a lime wheel.", "lime wheel"),
        ("Stir, strain it into a coupe. I finish that with a grating of nutmeg.", "nutmeg"),
        ("Stir, strain it into a coupe. A twist of orange over the top.", "orange peel"),
        ("Shake, strain into a bowl. Float some orange slices.", "orange slice"),
    ],
)
def test_what_is_flamed_or_floats_garnishes(told: str, garnish: str) -> None:
    drink = only(f"Next up, the Sand Line. Two ounces of gin, one ounce of lime juice. {told}")
    assert [g.name for g in drink.garnishes] == [garnish]
    assert [i.name for i in drink.ingredients] == ["gin", "lime juice"]


def test_bitters_are_no_bitter() -> None:
    drink = only("Next up, the Sand Line. Two ounces of gin, three dashes of bitters. Stir it.")
    assert [i.name for i in drink.ingredients] == ["gin", "bitters"]
