"""Names in whole talks, read against a small lexicon of known content."""

from __future__ import annotations

from itertools import pairwise

import pytest

from extractor.lexicon import Lexicon
from extractor.names import Hearing, NameSpan, Slot, find_names, load_hearing

BRACKETS = {"[": "ingredient", "{": "glass", "<": "classic"}


def read(hearing: Hearing, text: str, expects: float = 0.9) -> list[NameSpan]:
    """The spans of a talk in which [ ] mark places of ingredients, { } of glasses, < > of drinks."""
    words: list[str] = []
    slots: list[Slot] = []
    start, group = 0, ""
    for token in text.split():
        if token in BRACKETS:
            start, group = len(words), BRACKETS[token]
        elif token in ("]", "}", ">"):
            slots.append(Slot(start, len(words), expects, group))
        else:
            words.append(token)
    return find_names(words, slots, hearing)


def put_right(hearing: Hearing, text: str, expects: float = 0.9) -> dict[str, str]:
    """What is written anew: heard to written."""
    wrong = ("sound", "spelling", "misheard")
    return {s.heard: s.written for s in read(hearing, text, expects) if s.apply and s.how in wrong}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("half an ounce of [ tawny pork into the shaker ]", {"tawny pork": "tawny port"}),
        ("an ounce of [ fuller num then stir ]", {"fuller num": "falernum"}),
        ("a quarter of [ allspice drum ]", {"allspice drum": "allspice dram"}),
        ("a dash of [ a romantic bidders ]", {"romantic bidders": "aromatic bitters"}),
        ("an ounce of [ fino cherry ]", {"fino cherry": "fino sherry"}),
        ("two ounces of [ kachasa ]", {"kachasa": "cachaça"}),
        ("an ounce of [ month a yado sherry ]", {"month a yado sherry": "amontillado sherry"}),
        ("into a { nick and laura glass }", {"nick and laura glass": "Nick and Nora glass"}),
        ("it is a < negronie >", {"negronie": "Negroni"}),
        ("it is a < nighroni >", {"nighroni": "Negroni"}),
        ("an ounce of [ all spice drummer ]", {"all spice drummer": "allspice dram"}),
        ("a part of [ pimento drum ]", {"pimento drum": "pimento dram"}),
    ],
)
def test_ruined_names_are_put_right_where_one_is_expected(small: Hearing, text: str, expected: dict[str, str]) -> None:
    assert put_right(small, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "two ounces of [ gin and ] an ounce of [ sweet vermouth ]",
        "with pulled pork and a tawny owl",
        "half an ounce of [ rosewater ]",
        "half an ounce of [ cape brandy ]",
        "an ounce of [ smoked plum oleo ]",
        "two ounces of [ cacao nib rye ]",
        "a spoon of [ caramel tea ]",
        "an ounce of [ cherry vinegar ]",
        "put the [ do ] in and [ can be any ] of them",
        "a [ cherry ] on a stick",
        "i felt like a fuller num at the port",
        "half an ounce of [ lemon juice lime juice ]",
    ],
)
def test_what_may_be_right_is_left_alone(small: Hearing, text: str) -> None:
    assert put_right(small, text) == {}


def test_where_little_is_expected_the_same_garble_is_not_put_right(small: Hearing) -> None:
    assert put_right(small, "an ounce of [ fuller num ]", 0.95) == {"fuller num": "falernum"}
    assert put_right(small, "an ounce of [ fuller num ]", 0.2) == {}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("an ounce of [ cream cherry ]", "cream sherry"),
        ("two ounces of [ all are also cherry ]", "oloroso sherry"),
    ],
)
def test_doubt_is_told_with_candidates(small: Hearing, text: str, name: str) -> None:
    (span,) = read(small, text)
    assert (span.name, span.apply, span.how) == (name, False, "sound")
    assert span.candidates[0].name == name
    assert sum(c.confidence for c in span.candidates) <= 1.0 + 1e-9
    assert [c.confidence for c in span.candidates] == sorted((c.confidence for c in span.candidates), reverse=True)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("an ounce of [ demorera sugar ]", {"demorera sugar": "demerara sugar"}),
        ("an ounce of [ taragon syrup and then ]", {"taragon syrup": "tarragon syrup"}),
    ],
)
def test_the_whole_name_is_heard_not_its_beginning(lexicon: Lexicon, text: str, expected: dict[str, str]) -> None:
    assert put_right(load_hearing(lexicon), text) == expected


def test_an_unknown_compound_is_kept_as_said(small: Hearing) -> None:
    spans = read(small, "an ounce of [ smoked plum syrup ] and [ cacao nib rye ]")
    assert [(s.name, s.how, s.entry) for s in spans] == [
        ("smoked plum syrup", "head", None),
        ("cacao nib rye", "head", None),
    ]


def test_an_exact_name_is_no_part_of_a_longer_guess(small: Hearing) -> None:
    spans = read(small, "an ounce of [ lime juice actually just ]")
    assert [(s.heard, s.how) for s in spans] == [("lime juice", "exact")]


def test_a_sherry_talk_puts_cherry_in_doubt_but_changes_nothing(small: Hearing) -> None:
    talk = "an ounce of [ fino sherry ] and an ounce of [ cherry ] and [ amontillado sherry ]"
    cherry = next(s for s in read(small, talk) if s.heard == "cherry")
    assert cherry.name == "cherry"
    assert cherry.how == "exact"
    assert [c.name for c in cherry.candidates] == ["cherry", "sherry"]
    alone = next(s for s in read(small, "an ounce of [ cherry ] and [ gin ]") if s.heard == "cherry")
    assert alone.confidence == 1.0


def test_a_name_said_elsewhere_makes_a_hearing_surer(small: Hearing) -> None:
    garble = "and an ounce of [ fall earn em ] goes in"
    (once,) = read(small, garble, 0.5)
    twice = next(s for s in read(small, f"{garble} i love falernum", 0.5) if s.how == "sound")
    assert twice.confidence > once.confidence


def test_a_strange_word_in_a_drinks_talk_is_heard_outside_slots(small: Hearing) -> None:
    talk = "gin tequila falernum and orange juice and then some amontiyado sherri in the end"
    span = next(s for s in read(small, talk) if s.how == "sound")
    assert (span.heard, span.name) == ("amontiyado sherri", "amontillado sherry")
    assert not [s for s in read(small, "we met amontiyado sherri in town") if s.how == "sound"]


def test_a_name_of_several_words_is_known_again(small: Hearing) -> None:
    talk = "gin tequila orange flower water again the orange flour water"
    assert put_right(small, talk) == {"orange flour water": "orange flower water"}
    assert put_right(small, "gin tequila again the orange flour water") == {}


def test_a_long_talk_about_something_else_is_left_alone(small: Hearing) -> None:
    chatter = "we walked all the way home that night and nobody said a word "
    text = chatter * 30 + "with an ounce of [ fuller num ]"
    assert put_right(small, text) == {}
    assert put_right(small, chatter + "with an ounce of [ fuller num ]") == {"fuller num": "falernum"}


def test_spans_are_in_order_and_apart(small: Hearing) -> None:
    text = "[ gin sherry lime juice ] and [ fuller num tawny pork ] with orgeat { wine glass } < daiquiri >"
    spans = read(small, text)
    assert len(spans) >= 6
    for a, b in pairwise(spans):
        assert a.end <= b.start


@pytest.mark.parametrize("words", [[], [""], ["..."], ["25", "%", "&"], ["gin"], ["", "gin", ""]])
def test_odd_words_are_no_fault(small: Hearing, words: list[str]) -> None:
    slots = [Slot(0, len(words), 0.9), Slot(0, 99, 0.9), Slot(len(words), len(words) + 3, 0.9)]
    spans = find_names(words, slots, small)
    assert [s.name for s in spans] == (["gin"] if "gin" in words else [])


def test_the_same_talk_gives_the_same_names(small: Hearing) -> None:
    text = "an ounce of [ fuller num ] and [ cream cherry ] and [ all are also cherry ]"
    assert read(small, text) == read(small, text)
