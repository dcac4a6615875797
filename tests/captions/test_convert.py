"""Captions in another form: the same cues, as other programs read them.

Read back with webvtt-py and srt (PyPI) and with ffmpeg's own readers (through PyAV), where they are installed.
"""

from __future__ import annotations

import io
from typing import Literal

import pytest
import srt
import webvtt
from caption_files import ANY, Made, webvtt_files
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extractor.captions import Edit, convert, read_captions, rewrite
from extractor.errors import CaptionError

Form = Literal["webvtt", "subrip"]
TTML = b"""<tt xmlns="http://www.w3.org/ns/ttml"><body><div>
<p begin="1s" end="2.5s">two &amp; a half<br/>ounces</p>
<p begin="3s" end="3s">5 &lt; 6</p>
<p begin="4s" end="5s"> </p>
</div></body></tt>"""


def shown(data: bytes) -> list[tuple[float | None, float | None, str]]:
    file = read_captions(data)
    out = []
    for n, cue in enumerate(file.index.reading.cues):
        if file.index.tokens[n]:
            out.append((cue.start_s, cue.end_s, " ".join(file.index.tokens[n])))
    return out


def test_ttml_as_webvtt_and_subrip() -> None:
    assert convert(TTML, to="webvtt").decode() == (
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.500\ntwo &amp; a half\nounces\n\n00:00:03.000 --> 00:00:03.001\n5 &lt; 6\n"
    )
    assert convert(TTML, to="subrip").decode() == (
        "1\n00:00:01,000 --> 00:00:02,500\ntwo & a half\nounces\n\n2\n00:00:03,000 --> 00:00:03,001\n5 < 6\n"
    )


def test_edits_are_made_on_the_way() -> None:
    assert b"half\nounce\n" in convert(TTML, [Edit(4, 4, "ounce")], to="subrip")


def test_old_encodings_become_utf_8() -> None:
    text = '<?xml version="1.0" encoding="{}"?><tt><body><div><p begin="1s" end="2s">{} so</p></div></body></tt>'
    for name, word in (("ISO-8859-1", "café"), ("Shift_JIS", "ラム")):
        out = convert(text.format(name, word).encode(name), [Edit(1, 1, "curaçao")], to="webvtt")
        assert f"{word} curaçao\n".encode() in out


def test_tags_that_both_forms_have_stay() -> None:
    data = b"1\n00:00:01,000 --> 00:00:02,000\n<i>so</i> <font color='red'>we</font>\n<b>shake</b>\n"
    out = convert(data, to="webvtt")
    assert b"<i>so</i> we\n<b>shake</b>" in out
    back = convert(out, to="subrip")
    assert b"<i>so</i> we\n<b>shake</b>" in back


def test_speakers_become_voices() -> None:
    data = b'{"segments": [{"start": 0, "end": 1, "text": "so", "speaker": "Ann & Bo"}]}'
    out = convert(data, to="webvtt")
    assert b"<v Ann &amp; Bo>so" in out
    assert read_captions(out).words[0].speaker == "Ann & Bo"
    assert convert(out, to="subrip") == b"1\n00:00:00,000 --> 00:00:01,000\nso\n"


def test_times_that_are_missing() -> None:
    out = shown(convert(b"[0:01] so we shake\n[0:30] and pour\n", to="webvtt"))
    assert [(a, text) for a, _, text in out] == [(1, "so we shake"), (30, "and pour")]
    assert all(a is not None and b is not None and a < b for a, b, _ in out)
    with pytest.raises(CaptionError) as caught:
        convert(b"so we shake it and then we pour", to="webvtt")
    assert "times" in caught.value.what


def test_into_its_own_form_a_file_is_only_rewritten() -> None:
    data = b"WEBVTT\n\nid\n00:01.000 --> 00:02.000 align:start\n<c.x>so</c>\n"
    assert convert(data, [Edit(0, 0, "and")], to="webvtt") == rewrite(data, [Edit(0, 0, "and")])


def test_long_lines_are_wrapped() -> None:
    text = "so we shake it and then we pour it into a glass that was in the freezer all day"
    out = convert(f'{{"segments": [{{"start": 0, "end": 9, "text": "{text}"}}]}}'.encode(), to="subrip").decode()
    lines = out.splitlines()[2:]
    assert " ".join(lines) == text
    assert len(lines) == 2
    assert all(len(line) <= 42 for line in lines)


@pytest.mark.parametrize("form", ["webvtt", "subrip"])
def test_text_that_looks_like_the_forms_signs(form: Form) -> None:
    text = b"00:00:01,000 --&gt; 00:00:02,000 &lt;i&gt; &amp;amp; x"
    data = b"<tt><body><div><p begin='1s' end='2s'>" + text + b"</p></div></body></tt>"
    out = read_captions(convert(data, to=form))
    assert out.cues == 1
    assert out.words[-1].text == "x"
    assert "<i>" in [w.text for w in out.words]
    assert "&amp;" in [w.text for w in out.words]


SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]
QUIET = settings(max_examples=150, deadline=None, suppress_health_check=SLOW)


def written(made: Made, to: Form) -> bytes:
    """A file in the form, of which we wrote every line: by way of the other form where it is in this one."""
    data = made.data()
    if made.kind == to:
        data = convert(data, to="subrip" if to == "webvtt" else "webvtt")
    return convert(data, to=to)


@QUIET
@given(ANY.filter(lambda made: made.kind != "plain-text"))
def test_webvtt_py_finds_the_same_cues(made: Made) -> None:
    data = written(made, "webvtt")
    theirs = [(c.start_in_seconds, c.text) for c in webvtt.from_string(data.decode())]
    ours = shown(data)
    assert len(theirs) == len(ours)
    for (start, text), (start_s, _, words) in zip(theirs, ours, strict=True):
        assert start == int(start_s or 0)
        assert plain(text) == words


@QUIET
@given(ANY.filter(lambda made: made.kind != "plain-text"))
def test_srt_finds_the_same_cues(made: Made) -> None:
    data = written(made, "subrip")
    theirs = list(srt.parse(data.decode()))
    ours = shown(data)
    assert [s.index for s in theirs] == list(range(1, len(ours) + 1))
    for one, (start_s, end_s, words) in zip(theirs, ours, strict=True):
        assert (one.start.total_seconds(), one.end.total_seconds()) == (start_s, end_s)
        assert plain(one.content) == words


def plain(text: str) -> str:
    """The text without the tags that we write, and with the references that we write decoded."""
    for tag in ("<i>", "</i>", "<b>", "</b>", "<u>", "</u>", "</v>"):
        text = text.replace(tag, "")
    while "<v " in text:
        begin = text.index("<v ")
        text = text[:begin] + text[text.index(">", begin) + 1 :]
    return " ".join(text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&").split())


@QUIET
@given(ANY.filter(lambda made: made.kind != "plain-text"), st.sampled_from(["webvtt", "subrip"]))
def test_ffmpeg_finds_the_same_cues(made: Made, form: Form) -> None:
    av = pytest.importorskip("av")
    data = written(made, form)
    container = av.open(io.BytesIO(data), format="webvtt" if form == "webvtt" else "srt")
    theirs = [
        (float(p.pts * p.time_base), float((p.pts + p.duration) * p.time_base), plain(bytes(p).decode()))
        for p in container.demux()
        if p.pts is not None
    ]
    assert theirs == sorted(shown(data), key=lambda cue: cue[0] or 0)


@QUIET
@given(webvtt_files())
def test_ffmpeg_finds_the_same_cues_in_a_rewritten_file(made: Made) -> None:
    """What we did not write ourselves but one word: the times that ffmpeg finds are those of before."""
    av = pytest.importorskip("av")
    data = made.data()
    if not data.startswith((b"WEBVTT", b"\xef\xbb\xbf")):
        return

    def times(captions: bytes) -> list[float]:
        container = av.open(io.BytesIO(captions), format="webvtt")
        return [float(p.pts * p.time_base) for p in container.demux() if p.pts is not None]

    assert times(rewrite(data, [Edit(0, 0, "falernum")])) == times(data)
