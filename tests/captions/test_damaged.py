"""Damaged files: read or refused in words, never anything else; and what is written reads as it was meant."""

from __future__ import annotations

from caption_files import ANY, Made
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extractor.captions import Edit, convert, read_captions, rewrite
from extractor.errors import CaptionError
from extractor.record import Transcript

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]
MANY = settings(max_examples=300, deadline=None, suppress_health_check=SLOW)
SIGNS = [
    *(b"-->", b"\n", b"\n\n", b"\r", b"<", b">", b"&", b'"', b"\\", b"{", b"}", b"[", b"]", b"\0", b"\xff", b"\xc3"),
    *(
        b"<c>",
        b"</p>",
        b"1\n",
        b"00:00:01,000 --> 00:00:02,000",
        b"WEBVTT",
        b"-",
        b":",
        b"\xe2\x80\xa8",
        b"\xef\xbb\xbf",
    ),
    *(b"99999999999999999999", b"NaN", b"null", b"<![CDATA[", b"&#0;", b"\\ud83d", b'"text":', b"\x1b", b"[1:15]"),
]


@MANY
@given(ANY, st.data())
def test_a_damaged_file_is_read_or_refused(made: Made, data: st.DataObject) -> None:
    captions = made.data()
    for _ in range(data.draw(st.integers(1, 3))):
        begin = data.draw(st.integers(0, len(captions)))
        stop = min(len(captions), begin + data.draw(st.sampled_from([0, 0, 1, 2, 5, 40])))
        captions = captions[:begin] + data.draw(st.sampled_from([b"", *SIGNS])) + captions[stop:]
    check(captions, data)


@MANY
@given(st.lists(st.one_of(st.sampled_from(SIGNS), st.binary(max_size=6)), max_size=20), st.data())
def test_noise_is_read_or_refused(parts: list[bytes], data: st.DataObject) -> None:
    check(b"".join(parts), data)


def check(captions: bytes, data: st.DataObject) -> None:
    try:
        file = read_captions(captions)
    except CaptionError as error:
        hint = error.hint
    else:
        read(captions, file, data)
        return
    assert hint


def read(captions: bytes, file: Transcript, data: st.DataObject) -> None:
    words = [w.text for w in file.words]
    assert rewrite(captions, []) == captions
    "".join(words).encode()  # no lone surrogate among what is shown
    for word in file.words:
        for copy in word.copies:
            for place in copy:
                assert place.offset >= 0
                assert place.length > 0
                assert place.offset + place.length <= len(file.source)
    if not words:
        return
    n = data.draw(st.integers(0, len(words) - 1))
    edit = Edit(n, n, "falernum")
    try:
        out = rewrite(captions, [edit])
    except CaptionError:
        return
    again = [w.text for w in read_captions(out).words]
    assert len(again) == len(words)
    assert again[:n] == words[:n]
    assert again[n + 1 :] == words[n + 1 :]
    assert "falernum" in again[n].casefold()
    if any(w.start_s is not None for w in file.words):
        assert convert(captions, [edit], to="subrip")
        assert convert(captions, [edit], to="webvtt")
