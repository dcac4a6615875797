"""Captions that roll up: each spoken word once, with all the places that show it."""

from __future__ import annotations

import pytest
from caption_files import Made, rollup_files
from hypothesis import given, settings

from extractor.captions import read_captions

BLANK = " "
TALK = "aa bb cc dd ee ff gg hh ii jj"
TWO_LINES = f"""WEBVTT
Kind: captions

00:00:00.160 --> 00:00:02.149 align:start position:0%
{BLANK}
two<00:00:00.500><c> ounces</c><00:00:01.000><c> of</c>

00:00:02.149 --> 00:00:02.159 align:start position:0%
two ounces of
{BLANK}

00:00:02.159 --> 00:00:04.150 align:start position:0%
two ounces of
gin<00:00:02.600><c> two</c><00:00:03.000><c> ounces</c>

00:00:04.150 --> 00:00:04.160 align:start position:0%
gin two ounces
{BLANK}

00:00:04.160 --> 00:00:06.150 align:start position:0%
gin two ounces
of<00:00:05.500><c> lime</c>
"""


def words(text: str) -> list[str]:
    return [w.text for w in read_captions(text.encode()).words]


def captions(*texts: str, seconds: float = 2.0) -> str:
    """SubRip captions one after the other."""
    blocks = []
    for n, text in enumerate(texts):
        a, b = n * seconds, (n + 1) * seconds
        times = f"00:00:{a:06.3f} --> 00:00:{b:06.3f}".replace(".", ",")
        blocks.append(f"{n + 1}\n{times}\n{text}\n")
    return "\n".join(blocks)


def test_two_lines_with_word_times_and_holds() -> None:
    """The commonest of all: yt-dlp/yt-dlp#1734, ytdl-org/youtube-dl#21914."""
    file = read_captions(TWO_LINES.encode())
    assert [w.text for w in file.words] == ["two", "ounces", "of", "gin", "two", "ounces", "of", "lime"]
    assert [len(w.copies) for w in file.words] == [3, 3, 3, 3, 3, 3, 1, 1]
    assert [w.start_s for w in file.words] == [0.16, 0.5, 1.0, 2.159, 2.6, 3.0, 4.16, 5.5]
    assert [w.end_s for w in file.words][:3] == [0.5, 1.0, 2.149]
    assert [w.cue for w in file.words] == [0, 0, 0, 2, 2, 2, 4, 4]
    for word in file.words:
        for copy in word.copies:
            assert "".join(file.source[p.offset : p.offset + p.length] for p in copy) == word.text


def test_three_lines() -> None:
    """CCExtractor/ccextractor#1044."""
    text = captions("aa bb", "aa bb\ncc dd", "aa bb\ncc dd\nee ff", "cc dd\nee ff\ngg hh", "ee ff\ngg hh\nii jj")
    assert words(text) == TALK.split()


def test_a_line_that_grows() -> None:
    assert words(captions("so", "so we", "so we shake", "so we shake it", "then", "then we", "then we pour")) == [
        *("so", "we", "shake", "it", "then", "we", "pour"),
    ]


def test_lines_joined_into_one() -> None:
    assert words(captions("aa bb", "aa bb cc dd", "cc dd ee ff", "ee ff gg hh")) == [
        "aa",
        "bb",
        "cc",
        "dd",
        "ee",
        "ff",
        "gg",
        "hh",
    ]


def test_words_that_were_said_twice_are_kept_twice() -> None:
    """Talk of which single captions happen to begin as the one before ended is no roll-up."""
    lines = [
        "it is very",
        "very good and",
        "so cheers",
        "cheers",
        "then we go on",
        "and shake it",
        "with the ice",
        "until cold",
    ]
    assert words(captions(*lines)) == " ".join(lines).split()
    assert words(captions("Cheers.", "Cheers.", "Cheers.")) == ["Cheers."] * 3


def test_a_roll_up_begins_anew_after_a_pause() -> None:
    text = captions("aa bb", "aa bb\ncc dd", "cc dd\nee ff")
    later = "4\n00:01:00,000 --> 00:01:02,000\nee ff\n\n5\n00:01:02,000 --> 00:01:04,000\nee ff\ngg\n"
    assert words(f"{text}\n{later}") == ["aa", "bb", "cc", "dd", "ee", "ff", "ee", "ff", "gg"]


def test_captions_sent_again_by_the_next_piece_of_a_stream() -> None:
    """tkarabela/pysubs2#34, video-dev/hls.js#6681."""
    one = "00:01.000 --> 00:03.000\nso we shake\n\n00:03.000 --> 00:05.000\nand pour\n\n"
    head = "WEBVTT\nX-TIMESTAMP-MAP=MPEGTS:900000,LOCAL:00:00:00.000\n\n"
    text = f"{head}{one}{head}{one}00:05.000 --> 00:06.000\ncheers\n"
    file = read_captions(text.encode())
    assert [w.text for w in file.words] == ["so", "we", "shake", "and", "pour", "cheers"]
    assert [len(w.copies) for w in file.words] == [2, 2, 2, 2, 2, 1]


@pytest.mark.parametrize("text", ["", " ", "\n"])
def test_captions_without_words_between(text: str) -> None:
    rolled = captions("aa bb", text, "aa bb\ncc dd", text, "cc dd\nee ff")
    assert words(rolled) == ["aa", "bb", "cc", "dd", "ee", "ff"]


@settings(max_examples=200, deadline=None)
@given(rollup_files())
def test_each_word_once_and_each_copy_known(made: Made) -> None:
    file = read_captions(made.data())
    assert [w.text for w in file.words] == made.words
    copies = [0] * len(made.words)
    for part in made.parts:
        if not isinstance(part, str):
            copies[part.word] += 1
    assert [len(w.copies) for w in file.words] == copies
