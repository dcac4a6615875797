"""`pourword measure` and `pourword name`: a look into the reading."""

from __future__ import annotations

import json

import pytest
from command_kit import Command

from extractor.measures import read_amount
from extractor.names import read_name


def test_measure_shows_amount_millilitres_and_why(command: Command) -> None:
    got = command("measure", "an ounce and three quarters")
    assert got.status == 0
    assert "1.75 fl_oz" in got.out
    assert "51.7537 ml" in got.out  # 1.75 x 29.5735295625 ml, the US fluid ounce of NIST Handbook 44, appendix C.
    assert "fluid ounce = 29.5735 ml (us)" in got.out
    assert "a published standard" in got.out
    assert "by the rule" in got.out


@pytest.mark.parametrize(
    ("spoken", "locale", "said"),
    [
        ("a jigger", "us", "practice, not a standard"),
        ("thirty mill", "us", "“mill” is ml"),
        ("a pint", "uk", "568.261 ml"),
        ("two to one by weight", "us", "2 to 1 by weight"),
        ("twenty minutes", "us", "1200 seconds"),
        ("a glug", "us", "cannot be measured"),
    ],
)
def test_measure_says_how_it_was_read(spoken: str, locale: str, said: str, command: Command) -> None:
    got = command("measure", spoken, "--locale", locale)
    assert said in got.out
    assert got.status == 0


def test_measure_that_is_none(command: Command) -> None:
    got = command("measure", "good evening")
    assert got.status == 1
    assert "not read as one amount" in got.out
    assert command("measure", "good evening", "--json").out == "null\n"


@pytest.mark.parametrize("spoken", ["an ounce and a half", "seven point five mil", "a couple of dashes", "half a cup"])
def test_measure_is_what_the_python_call_gives(spoken: str, command: Command) -> None:
    amount = read_amount(spoken)
    assert amount is not None
    assert json.loads(command("measure", spoken, "--json").out) == json.loads(amount.model_dump_json())


def test_name_shows_candidates_confidence_and_sound(command: Command) -> None:
    got = command("name", "fuller num", "--before", "half an ounce of", "--after", "into the shaker")
    assert got.status == 0
    first = next(x for x in got.out.splitlines() if x.lstrip().startswith("0."))
    candidate = read_name("fuller num", before="half an ounce of", after="into the shaker")[0]
    assert candidate.name == "falernum"
    assert first.split()[:2] == [f"{candidate.confidence:.3f}", "falernum"]
    assert "F UH L AH R N AH M" in got.out  # what was heard, in the phones of the CMU dictionary


def test_name_that_is_right_already(command: Command) -> None:
    assert "nothing to put right" in command("name", "falernum").out


def test_name_counts_the_words_around_it(command: Command) -> None:
    def confidence(*words: str) -> float:
        return float(json.loads(command("name", "fuller num", "--json", *words).out)[0]["confidence"])

    assert confidence("--before", "half an ounce of") > confidence("--before", "and then my uncle told")


def test_name_of_nothing(command: Command) -> None:
    got = command("name", "…")
    assert got.status == 1
    assert "no name is near it" in got.out
