"""Names that stand in the talk letter for letter."""

from __future__ import annotations

import pytest

from extractor.names import Hearing, Slot, exact_spans
from extractor.names.exact import numbered
from extractor.names.hearing import folded


def found(hearing: Hearing, text: str, *slots: Slot) -> list[tuple[str, str, str]]:
    return [(s.heard, s.name, s.how) for s in exact_spans(text.split(), hearing, slots)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two ounces of gin,", [("gin,", "gin", "exact")]),
        ("Some Lime Juice.", [("Lime Juice.", "lime juice", "exact")]),
        ("a drop of rosewater", [("rosewater", "rose water", "other name")]),
        ("a drop of rose-water", [("rose-water", "rose water", "exact")]),
        ("a rose", []),
        ("cachaca and cachaça", [("cachaca", "cachaça", "exact"), ("cachaça", "cachaça", "exact")]),
        ("six raspberries", [("raspberries", "raspberry", "exact")]),
        ("eight mint leaves", [("mint leaves", "mint", "other name")]),
        ("a dash of fino", [("fino", "fino sherry", "other name")]),
        ("one chile and one chili", [("chile", "chilli", "other name"), ("chili", "chilli", "other name")]),
        ("some apple jack", [("apple jack", "applejack", "spelling")]),
        ("that over-proof stuff", [("over-proof", "overproof rum", "other name")]),
        ("all spice drummer", [("all spice drummer", "allspice dram", "misheard")]),
        ("a Nick & Nora", [("Nick & Nora", "Nick and Nora glass", "other name")]),
        ("the engine is gone", []),
        ("", []),
    ],
)
def test_names_are_found(small: Hearing, text: str, expected: list[tuple[str, str, str]]) -> None:
    assert found(small, text) == expected


def test_small_words_do_not_grow_together(small: Hearing) -> None:
    """ "ch illi", "or geat": a word break is free only between parts of three letters or more."""
    assert found(small, "or geat and mi nt") == []


def test_the_longest_name_wins(small: Hearing) -> None:
    assert found(small, "cherry syrup cherry")[0] == ("cherry syrup", "cherry syrup", "exact")


def test_the_slot_tells_a_glass_from_a_drink(small: Hearing) -> None:
    words = ["into", "a", "highball"]
    assert exact_spans(words, small, [Slot(2, 3, 0.6, "glass")])[0].group == "glass"
    assert exact_spans(words, small, [Slot(2, 3, 0.6, "classic")])[0].group == "classic"


def test_other_word_breaks_are_put_right_only_where_a_name_is_expected(small: Hearing) -> None:
    words = ["that", "apple", "jack"]
    assert not exact_spans(words, small, [])[0].apply
    assert exact_spans(words, small, [Slot(1, 3, 0.9)])[0].apply


@pytest.mark.parametrize(
    ("word", "one"),
    [
        ("cherries", "cherry"), ("leaves", "leaf"), ("peaches", "peach"), ("limes", "lime"), ("glass", "glass"),
        ("hibiscus", "hibiscus"), ("pastis", "pastis"), ("Tomatoes", "tomato"), ("açaí", "acai"), ("bitters", "bitter"),
    ],
)  # fmt: skip
def test_plurals_are_folded(word: str, one: str) -> None:
    assert folded(word) == one


@pytest.mark.parametrize(
    ("shown", "heard", "written"),
    [
        ("blackcurrants", "black current", "blackcurrant"),
        ("blackcurrants", "black currents", "blackcurrants"),
        ("pink grapefruit", "pink grape fruits", "pink grapefruits"),
        ("cacao nibs", "kake own ids", "cacao nibs"),
        ("lime juice", "lime jews", "lime juice"),
    ],
)
def test_the_number_that_was_heard_is_kept(shown: str, heard: str, written: str) -> None:
    assert numbered(shown, heard) == written
