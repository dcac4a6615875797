"""SubRip as it is found: there is no standard, so each case names the report of a reader that stumbled over it."""

from __future__ import annotations

import pytest
import srt
from caption_files import Made, subrip_files
from hypothesis import given, settings

from extractor.captions import read_captions
from extractor.captions.subrip import read

TIMES = "00:00:01,000 --> 00:00:02,000"


def shown(text: str) -> list[str]:
    file = read_captions(text.encode())
    assert file.kind == "subrip"
    return [" ".join(t) for t in file.index.tokens]


@pytest.mark.parametrize(
    ("text", "cues"),
    [
        (f"1\n{TIMES}\none\n2\n{TIMES}\ntwo\n", ["one", "two"]),  # no blank line between: tkarabela/pysubs2#11
        (f"1\n{TIMES}\n1984\n\n2\n{TIMES}\ntwo\n", ["1984", "two"]),  # a number is text: cdown/srt#25
        (f"1\n{TIMES}\n1.567.202.\n\n2\n{TIMES}\ntwo\n", ["1.567.202.", "two"]),  # cdown/srt#92
        (f"1\n{TIMES}\n45\n2\n{TIMES}\ntwo\n", ["45", "two"]),
        (f"1\n{TIMES}\none\n45\n{TIMES}\ntwo\n", ["one 45", "two"]),  # not the number that is due
        (f"1\n{TIMES}\none\n\nmore\n\n2\n{TIMES}\ntwo\n", ["one more", "two"]),  # a blank line inside: byroot/pysrt#71
        (f"1\n{TIMES}\n\none\n\n2\n{TIMES}\ntwo\n", ["one", "two"]),  # blank after the times: osk/node-webvtt#4
        (f"1\n{TIMES}\none\n \n2\n{TIMES}\ntwo\n", ["one", "two"]),  # a space on it: captioning/captioning#10
        (f"\n\n\n1\n{TIMES}\none\n\n\n\n2\n{TIMES}\ntwo\n", ["one", "two"]),  # leading blank lines: cdown/srt#50
        (f"{TIMES}\none\n\n{TIMES}\ntwo\n", ["one", "two"]),  # no index: byroot/pysrt#29
        (f"0\n{TIMES}\none\n\n1\n{TIMES}\ntwo\n", ["one", "two"]),  # from 0: KBlixt/subcleaner#51
        (f"1\n{TIMES}\n\n2\n{TIMES}\ntwo\n", ["", "two"]),  # empty
        (f"1\n{TIMES}\na --> b\n\n2\n{TIMES}\ntwo\n", ["a --> b", "two"]),  # an arrow in the text
        (f"1\n{TIMES}\r\none\r\n\r\n2\r{TIMES}\rtwo", ["one", "two"]),
        (f"\ufeff1\n{TIMES}\none", ["one"]),  # byroot/pysrt#6
        (f"1\n{TIMES}\none\u2028two\n", ["one two"]),  # byroot/pysrt#87
        (f"1\n{TIMES}\n<i>one</i> <font color='red'>two</font> {{\\an8}}three\n", ["one two three"]),
        (f"1\n{TIMES}\n5 < 6 and I <3 you & me &amp; {{so}}\n", ["5 < 6 and I <3 you & me & {so}"]),
        (f"1\n{TIMES} X1:10 X2:20\none\n", ["one"]),
    ],
)
def test_captions_as_they_are_found(text: str, cues: list[str]) -> None:
    assert shown(text) == cues
    assert read_captions(text.encode()).well_formed


@pytest.mark.parametrize(
    ("time", "second"),
    [
        ("00:00:01.500", 1.5),  # a point: openai/whisper#197
        ("0:00:01,500", 1.5),  # shaka-project/shaka-player#521
        ("00:01,500", 1.5),  # no hours: glut23/webvtt-py#2
        ("100:00:00,000", 360000),  # sandflow/ttconv#346
        ("00:00:01", 1),  # no fraction: cdown/srt#55
        ("00:00:01,5", 1.5),
        ("00:00:01,249.0999999999999", None),  # gsantiago/subtitle.js#68
        ("00:00:01,2490", 1.249),
        ("-00:00:01,500", -1.5),  # tkarabela/pysubs2#8
        ("00: 00: 01, 500", 1.5),
        ("00:00:01:500", 1.5),
    ],
)
def test_times_as_they_are_found(time: str, second: float | None) -> None:
    file = read_captions(f"1\n{time} --> 00:10:00,000\none\n\n2\n{TIMES}\ntwo\n".encode())
    first = file.index.reading.cues[0]
    if second is None:
        assert not file.well_formed
        assert "Line 2" in file.notes[0]
    else:
        assert first.start_s == second


def test_times_that_cannot_be_read_spoil_one_caption_and_are_told() -> None:
    file = read_captions(f"1\n{TIMES}\none\n\n2\n00:00:0x,000 --> 00:00:03,000\ntwo\n\n3\n{TIMES}\nthree\n".encode())
    assert not file.well_formed
    assert "Line 6" in file.notes[0]
    assert [" ".join(t) for t in file.index.tokens] == ["one", "two", "three"]
    assert (file.words[1].start_s, file.words[1].end_s) == (2, 2)


def test_bytes_that_are_no_utf_8_are_shown_as_they_most_likely_are() -> None:
    file = read_captions(f"1\n{TIMES}\ncaf\xe9 \x93so\x94\n".encode("latin-1"))
    assert [w.text for w in file.words] == ["café", "“so”"]
    assert file.notes


@settings(max_examples=200, deadline=None)
@given(subrip_files())
def test_the_same_captions_as_a_general_library_reads(made: Made) -> None:
    """srt (PyPI) in its lenient way; it drops tags from nothing and keeps each text as it is."""
    text = made.text().removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if "\n\n" not in text or not text.startswith("1\n"):
        return
    try:
        theirs = list(srt.parse(text, ignore_errors=True))
    except ValueError:
        return
    ours = read(text).cues
    if len(theirs) != len(ours):  # without a blank line between, it takes captions for text
        return
    for one, two in zip(theirs, ours, strict=True):
        assert one.start.total_seconds() == two.start_s
        assert one.end.total_seconds() == two.end_s
        assert one.content.split() == text[two.offset : two.stop].split()
