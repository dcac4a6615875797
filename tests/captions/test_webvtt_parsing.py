"""WebVTT as its standard has it.

Facts of the standard's parser, and of the Web Platform Tests for it (web-platform-tests/wpt, webvtt/parsing), put into
files of our own; and a reader written from the standard's steps, compared on files that a generator makes of the
signs that matter.
"""

from __future__ import annotations

import pytest
import webvtt_standard
from hypothesis import given, settings
from hypothesis import strategies as st

from extractor.captions import read_captions
from extractor.captions.cues import Cue
from extractor.captions.webvtt import pieces, read
from extractor.errors import CaptionError

TIMES = "00:00:00.000 --> 00:00:01.000"


def shown(data: str | bytes) -> list[str]:
    """The words of each cue."""
    file = read_captions(data.encode() if isinstance(data, str) else data)
    assert file.kind == "webvtt"
    return [" ".join(t) for t in file.index.tokens]


# What may stand as the first time of a line, and what may not (wpt: timings-too-short, timings-too-long, timings-60,
# timings-garbage, timings-negative, timings-omitted-hours).
@pytest.mark.parametrize(
    "time",
    ["0:00:00.000", "000:00:00.000", "00:00:00.000", "00:00.000", "59:59.999", "59:59:59.999", "99:00:00.000"],
)
def test_times_that_the_standard_takes(time: str) -> None:
    assert shown(f"WEBVTT\n\n{time} --> 100:00:00.000\nyes\n\n00:00.000 --> {time}\nyes too") == ["yes", "yes too"]


@pytest.mark.parametrize(
    "time",
    [
        *("0000:00.000", "00:0:00.000", "00:0000.000", "00:00:0.000", "00:00:00000", "00:00:00.00", "00:00:00."),
        *("00:00:00", "00:00", "0", "", "0:00.000", "0000.000", "00:0.000", "00:00000", "00:00.00", ":00.", "."),
        *("00::00:00.000", "00:000:00.000", "00:00:000.000", "00:00:00..000", "00:00:00.0000", "00:00.0000"),
        *("60:00.000", "00:60.000", "00:60:00.000", "00:00:60.000", "-00:00.000", "00:00,000", "x00:00.000"),
        *("00:00.000x", "0x:00.000", "٠٠:٠٠.٠٠٠"),
    ],
)
def test_times_that_the_standard_refuses(time: str) -> None:
    file = read_captions(f"WEBVTT\n\n{time} --> 00:00:01.000\nno\n\n{TIMES}\nyes".encode())
    assert [" ".join(t) for t in file.index.tokens] == ["yes"]
    assert not file.well_formed
    assert "Line 3" in file.notes[0]


@pytest.mark.parametrize("between", ["-->", " -->", "--> ", "\t-->\t\t", "  \f--> \f "])
def test_space_around_the_arrow_is_free(between: str) -> None:
    assert shown(f"WEBVTT\n\n  00:00.000{between}00:01.000 align:start\nyes") == ["yes"]


def test_a_vertical_tab_is_no_space() -> None:
    assert shown("WEBVTT\n\n00:00.000\v-->\v00:01.000\nno") == []


def test_times_after_which_something_stands() -> None:
    assert shown("WEBVTT\n\n00:00.000 --> 00:01.000garbage\nyes") == ["yes"]
    assert shown("WEBVTT\n\n00:00.000 --> 00:01.000 --> 00:02.000\nyes") == ["yes"]


def test_every_line_with_an_arrow_begins_a_cue_or_spoils_one() -> None:
    """wpt: arrows.vtt."""
    text = f"WEBVTT\n\n-->\n{TIMES}\ntext1\nfoo-->\n{TIMES}\ntext2\n-->-->\n{TIMES}\ntext3\n{TIMES}\ntext4"
    text += "\n\n00:00:00.000 -a -->\n\n00:00:00.000 -- -->\n"
    assert shown(text) == ["text1", "text2", "text3", "text4"]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_line_ends(ending: str) -> None:
    """wpt: newlines.vtt."""
    text = f"WEBVTT\n\nan id\n{TIMES}\none\ntwo\n\n{TIMES}\nthree\n\n\n\n{TIMES}\nfour".replace("\n", ending)
    assert shown(text) == ["one two", "three", "four"]


@pytest.mark.parametrize("sign", ["\x85", "\u2028", "\u2029", "\v", "\f", "\x1c"])
def test_nothing_else_ends_a_line(sign: str) -> None:
    file = read_captions(f"WEBVTT\n\n{TIMES}\none{sign}{sign}two".encode())
    assert [c.stop - c.offset for c in file.index.reading.cues] == [8]


def test_nul_is_shown_as_a_replacement_character() -> None:
    """wpt: nulls.vtt."""
    assert shown(f"WEBVTT\n\n{TIMES}\na\0b\n") == ["a\ufffdb"]


@pytest.mark.parametrize("head", ["WEBVTT", "WEBVTT\n", "WEBVTT ", "WEBVTT\ta note\n", "\ufeffWEBVTT", "WEBVTT\n\n\n"])
def test_a_signature_alone_is_a_file(head: str) -> None:
    """wpt: signature-*."""
    assert shown(head) == []


@pytest.mark.parametrize("head", ["WEBVTTx\n", "webvtt\n", "WEBVT\n", "WEB VTT\n"])
def test_no_signature_is_no_webvtt(head: str) -> None:
    try:
        assert read_captions(f"{head}\n00:00.000 --> 00:01.000\nx".encode()).kind != "webvtt"
    except CaptionError:
        pass


def test_the_first_line_is_never_times() -> None:
    """wpt: signature-timings."""
    assert shown(f"WEBVTT {TIMES}\nno\n\n{TIMES}\nyes") == ["yes"]


def test_the_header_ends_at_an_empty_line_or_an_arrow() -> None:
    """wpt: header-space, header-timings."""
    assert shown(f"WEBVTT\n{TIMES}\nyes") == ["yes"]
    assert shown(f"WEBVTT\nKind: captions\n \nStyle: x\n{TIMES}\nyes") == ["yes"]


def test_a_line_of_spaces_ends_no_cue() -> None:
    """wpt: ids.vtt; an id may be a space."""
    assert shown(f"WEBVTT\n\n \n{TIMES}\none\n \ntwo\n\n\t\n{TIMES}\nthree") == ["one two", "three"]


@pytest.mark.parametrize("name", [" leading", "trailing ", "-- >", "->", "NOTE me", "STYLE", "REGION", "WEBVTT"])
def test_ids_are_no_text(name: str) -> None:
    assert shown(f"WEBVTT\n\n{name}\n{TIMES}\nyes") == ["yes"]


def test_blocks_without_times_hold_no_words() -> None:
    text = f"WEBVTT\n\nNOTE one\ntwo\n\nSTYLE\n::cue {{ color: red }}\n\nREGION\nid:a\n\n{TIMES}\nyes\n\nNOTE end"
    assert shown(text) == ["yes"]


def test_times_two_lines_into_a_block_begin_a_cue_all_the_same() -> None:
    assert shown(f"WEBVTT\n\nNOTE\na comment\n{TIMES}\nyes") == ["yes"]


def test_empty_backward_and_overlapping_cues_are_cues_in_their_order() -> None:
    text = "WEBVTT\n\n00:05.000 --> 00:06.000\nlate\n\n00:01.000 --> 00:01.000\n\n00:03.000 --> 00:02.000\nback"
    file = read_captions(text.encode())
    assert [(c.start_s, c.end_s) for c in file.index.reading.cues] == [(5, 6), (1, 1), (3, 2)]
    assert [" ".join(t) for t in file.index.tokens] == ["late", "", "back"]
    assert file.words[1].start_s == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a &amp; b &lt;c&gt; &nbsp;d", "a & b <c> d"),
        ("caf&eacute; &#x2014; &#8212; &AMP &copy", "café — — & ©"),
        ("&unknown; &", "&unknown; &"),
        ("a <unknown>b</unknown> c", "a b c"),
        ("x <b", "x"),
        ("x <b\ny> z", "x z"),
        ("<v Ann>hello <i>there", "hello there"),
        ("<c.loud.red>OF</c><c>FICE</c>", "OFFICE"),
        ("<00:00:00.500>one <00:00.600>two <0:1>three", "one two three"),
        ("<>a</>b", "ab"),
        ("<ruby>base<rt>reading</rt></ruby>", "base reading"),
    ],
)
def test_cue_text(text: str, words: str) -> None:
    assert shown(f"WEBVTT\n\n{TIMES}\n{text}") == [words]


def test_voices_are_speakers() -> None:
    text = f"WEBVTT\n\n{TIMES}\n<v.loud Ann &amp; Bo>so <b>we</v> shake</b></v> it\n\n{TIMES}\nplain"
    words = read_captions(text.encode()).words
    assert [(w.text, w.speaker) for w in words] == [
        *(("so", "Ann & Bo"), ("we", "Ann & Bo"), ("shake", "Ann & Bo"), ("it", None), ("plain", None)),
    ]
    assert [w.paragraph for w in words] == [True, False, False, True, False]


SIGNS = [
    *("WEBVTT", "\n", "\n", "\n\n", "\r", "\r\n", "-->", " --> ", "00:00.000", "00:00:01.500", "1:02:03.004"),
    *("60:00.000", "00:00.000 --> 00:01.000", "00:00.000 --> 00:01.000\n", "NOTE", "STYLE", "id", " ", "\t"),
    *("\f", "\0", "text", "-", "\u2028"),
]


@settings(max_examples=1500, deadline=None)
@given(st.lists(st.sampled_from(SIGNS), max_size=30))
def test_the_same_cues_as_the_standards_own_steps(signs: list[str]) -> None:
    text = "WEBVTT" + "".join(signs)
    expected = webvtt_standard.parse(text.encode())
    if expected is None:
        return
    found = []
    for cue in read(text).cues:
        raw = text[cue.offset : cue.stop].replace("\r\n", "\n").replace("\r", "\n").replace("\0", "\ufffd")
        found.append((cue.start_s, cue.end_s, raw))
    assert found == expected


MARKS = [
    *("<", ">", "/", "v", "v Ann", "c", "i", ".x", "00:00:01.000", "1", "&amp;", "&lt;", "&", "#65;", "amp"),
    *(" ", "\n", "a", "<v Bo>"),
]


@settings(max_examples=1500, deadline=None)
@given(st.lists(st.sampled_from(MARKS), max_size=14))
def test_the_same_text_as_the_standards_own_steps(marks: list[str]) -> None:
    text = "".join(marks)
    wanted, stamps, voices = webvtt_standard.cue_text(text)
    found = pieces(text, Cue(None, None, 0, len(text)))
    out, at_stamps, at_voices = "", [], []
    for piece in found:
        if piece.stamp_s is not None:
            at_stamps.append((len(out), piece.stamp_s))
        elif piece.turn and piece.speaker:
            at_voices.append((len(out), piece.speaker))
        assert piece.length == 0 or text[piece.offset : piece.offset + piece.length]
        out += piece.text
    assert out == wanted
    assert at_stamps == stamps
    named = [v for v in voices if v[1]]
    assert set(named) <= set(at_voices)
