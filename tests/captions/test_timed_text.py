"""Plain text with times, in the forms in which people and programs write it."""

from __future__ import annotations

import pytest

from extractor.captions import read_captions


def read(text: str) -> list[tuple[str, float | None]]:
    return [(w.text, w.start_s) for w in read_captions(text.encode()).words]


@pytest.mark.parametrize(
    "text",
    [
        *("[1:15] so\n[1:20] shake", "1:15 so\n1:20 shake", "1:15\nso\n1:20\nshake", "1:15\tso\n1:20\tshake"),
        *("[1:15]so\n[1:20]shake", "(1:15) so\n(1:20) shake", "1:15: so\n1:20: shake", "01:15 - so\n01:20 - shake"),
        *("0:01:15 so\n0:01:20 shake", "[00:01:15.000] so\n[00:01:20.000] shake", "1:15\n\nso\n\n1:20\n\nshake\n\n"),
        *("[0:01:15 - 0:01:19] so\n[0:01:20 - 0:01:24] shake", "00:01:15 --> 00:01:19 so\n00:01:20 --> 00:01:24 shake"),
        "[1:15] so [1:20] shake",
    ],
)
def test_forms(text: str) -> None:
    assert read(text) == [("so", 75), ("shake", 80)]


def test_lines_without_a_time_go_on() -> None:
    assert [w for w, _ in read("[0:01] so we\nshake it\n\nwell\n[0:09] pour")] == [
        "so",
        "we",
        "shake",
        "it",
        "well",
        "pour",
    ]


def test_titles_between_times_with_a_tab_are_not_spoken() -> None:
    """jdepoix/youtube-transcript-api#234."""
    file = read_captions(b"The first drink\n0:00\tso we shake\nThe second\n0:05\tand pour\n")
    assert [w.text for w in file.words] == ["so", "we", "shake", "and", "pour"]
    assert file.notes


def test_a_range_gives_the_end() -> None:
    file = read_captions(b"[00:00:07 - 00:00:10] so shake\n[00:00:10 - 00:00:12] pour")
    assert [(w.start_s, w.end_s) for w in file.words][0::2] == [(7, 7.75), (10, 12)]


def test_words_are_not_drawn_out_over_a_pause() -> None:
    file = read_captions(b"[0:01] so we shake\n[2:00] and pour")
    assert file.words[2].end_s is not None
    assert file.words[2].end_s < 5


def test_words_before_the_first_time_have_none() -> None:
    assert read("welcome\n[0:05] so\n[0:07] shake")[0] == ("welcome", None)


def test_hours_and_minutes_beyond_sixty() -> None:
    assert read("[1:02:03] so\n[75:30] shake") == [("so", 3723), ("shake", 4530)]


def test_a_ratio_is_no_time() -> None:
    text = "so we make a syrup\n2:1 sugar to water\nand it keeps for a month"
    assert read_captions(text.encode()).kind == "plain-text"


def test_plain_text_has_paragraphs() -> None:
    file = read_captions(b"So this is one.\nStill one.\n\nAnd this is two.\n \nThree.")
    assert file.kind == "plain-text"
    assert [w.text for w in file.words if w.paragraph] == ["So", "And", "Three."]
    assert {w.start_s for w in file.words} == {None}
    assert file.cues == 3
