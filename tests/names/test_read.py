"""One name by itself."""

from __future__ import annotations

import pytest

from extractor.lexicon import lexicon_folder
from extractor.names import Hearing, read_name
from extractor.names.places import load_places

PLACES = load_places(lexicon_folder() / "hearing")


def test_a_right_name_stands(small: Hearing) -> None:
    first = read_name("lime juice", before="half an ounce of", lexicon=small.lexicon)[0]
    assert (first.name, first.confidence, first.apply, first.lexicon_id) == ("lime juice", 1.0, False, "lime-juice")


def test_behind_a_measure_a_poor_match_is_likely_in_chatter_it_is_not(small: Hearing) -> None:
    behind = read_name("tawny pork", before="half an ounce of", after="into the shaker", lexicon=small.lexicon)[0]
    chatter = read_name("tawny pork", before="my uncle once ate", after="with beans", lexicon=small.lexicon)[0]
    assert (behind.name, behind.apply) == ("tawny port", True)
    assert not chatter.apply
    assert chatter.confidence < behind.confidence


def test_a_word_of_breath_behind_a_name_is_no_part_of_it(small: Hearing) -> None:
    first = read_name("orange juice and", before="two ounces of", lexicon=small.lexicon)[0]
    assert (first.name, first.apply) == ("orange juice", True)


def test_a_small_word_that_may_be_a_piece_of_the_name_is_asked_about(small: Hearing) -> None:
    found = read_name("cherry are", before="two ounces of", lexicon=small.lexicon)
    assert not found[0].apply
    assert {"cherry", "cherry syrup"} <= {c.name for c in found}


def test_glasses_and_drinks_are_read_too(small: Hearing) -> None:
    glass = read_name("nick and laura glass", before="into a", lexicon=small.lexicon, group="glass")
    drink = read_name("nighroni", lexicon=small.lexicon, group="classic")
    assert glass[0].name == "Nick and Nora glass"
    assert drink[0].name == "Negroni"


@pytest.mark.parametrize("heard", ["", "   ", "...", "25", "%"])
def test_nothing_heard_gives_nothing(small: Hearing, heard: str) -> None:
    assert read_name(heard, lexicon=small.lexicon) == []


def test_confidences_are_parted_in_order(small: Hearing) -> None:
    for heard in ("sherri", "cream cherry", "fuller num", "cherry", "juice", "sweet remove"):
        found = read_name(heard, before="an ounce of", lexicon=small.lexicon)
        sure = [c.confidence for c in found]
        assert sure == sorted(sure, reverse=True), heard
        assert all(0 <= s <= 1 for s in sure)
        assert not any(c.apply for c in found[1:])


@pytest.mark.parametrize(
    ("before", "after", "expects"),
    [
        ("and then half an ounce of", "", 0.9),
        ("so two ounces", "", 0.85),
        ("garnish with a", "", 0.8),
        ("and a little", "", 0.8),
        ("you really can", "", 0.1),
        ("my uncle ate", "with beans", 0.1),
        ("", "", 0.6),
        ("she said", "into the shaker", 0.5),
        ("HALF AN OUNCE OF", "", 0.9),
    ],
)
def test_the_words_around_tell_how_much_a_name_is_expected(before: str, after: str, expects: float) -> None:
    """The numbers of lexicon/hearing/places.txt."""
    assert PLACES.expects(before, after) == expects
