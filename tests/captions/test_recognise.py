"""Each format is known by its content; anything else is refused with what was expected and where."""

from __future__ import annotations

import json
import struct
import zlib

import pytest

from extractor.captions import read_captions
from extractor.errors import CaptionError

TALK = "so today we are making a gin sour, and it starts with two ounces of gin."


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("WEBVTT\n\n00:00.000 --> 00:01.000\nso", "webvtt"),
        ("1\n00:00:00,000 --> 00:00:01,000\nso", "subrip"),
        ("00:00:00,000 --> 00:00:01,000\nso", "subrip"),
        ('<?xml version="1.0"?><tt xmlns="http://www.w3.org/ns/ttml"><body/></tt>', "ttml"),
        ("[1:15] so today\n[1:20] we shake", "timed-text"),
        ("1:15 so today\n1:20 we shake", "timed-text"),
        ("1:15\nso today\n1:20\nwe shake", "timed-text"),
        ("0:00\tso today\n0:04\twe shake", "timed-text"),
        ("[00:00:07 - 00:00:10] so today", "timed-text"),
        ("(0:07) so today\n(1:00:10) we shake", "timed-text"),
        ("00:00:01.500 so today", "timed-text"),
        ("0:00:01.000,0:00:03.000\nso today\n\n0:00:04.000,0:00:05.000\nwe shake", "timed-text"),
        (TALK, "plain-text"),
        (f"[Music] {TALK}", "plain-text"),
        (f"{{laughs}} {TALK}", "plain-text"),
        (f"At 10:30 it opens.\n{TALK}\n10:30 it said.\n" + f"{TALK}\n" * 20, "plain-text"),
        ('{"segments": [{"start": 0, "end": 1, "text": "so"}]}', "segments"),
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_each_format_in_each_encoding(text: str, kind: str, encoding: str, ending: str) -> None:
    if encoding in ("utf-16-le", "utf-16-be") and len(text) < 8:
        return
    file = read_captions(text.replace("\n", ending).encode(encoding), path="misleading.png")
    assert file.kind == kind


def png() -> bytes:
    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")


REFUSED = {
    "empty": b"",
    "only a mark": b"\xef\xbb\xbf",
    "only space": b" \n\t\r\n",
    "a picture": png(),
    "zeros": bytes(2000),
    "noise": bytes((n * 73 + n // 7 * 31) % 256 for n in range(4000)),
    "a gzip archive": b"\x1f\x8b\x08\0\0\0\0\0\0\x03",
    "an object": json.dumps({"id": "a", "script": TALK, "drinks": []}, indent=1).encode(),
    "a list": b'["so", "today"]',
    "a list of numbers": b"[1, 2, 3]",
    "segments that are none": b'{"segments": {"a": 1}}',
    "segments of strings": b'{"segments": ["so", "today"]}',
    "segments without words": b'{"segments": [{"start": 0, "end": 1}]}',
    "JSON that breaks off": b'{"segments": [{"start": 0, "end": 1, "text": "so',
    "lines of JSON": b'{"a": 1}\n{"b": 2}\n',
    "a web page": b"<!DOCTYPE html>\n<html><head><title>x</title></head><body><p>so</p></body></html>",
    "part of a web page": b"so <div>today</div> we <p>shake</p> it <br> all <span>up</span>",
    "another XML": b'<?xml version="1.0"?><feed><entry>so</entry></feed>',
    "numbers": b"a,b,c\n1,2,3\n4,5,6\n7,8,9\n",
    "arrows without times": b"a --> b\nc --> d\n",
    "bad signature": b"WEBVTTx\n\n00:00.0 -> 00:01.0\n<<<<",
    "other captions": b"[Script Info]\nTitle: x\n[Events]\nDialogue: 0,0:00:00.00,0:00:01.00,,,,,,,so",
    "captions by frame": b"{0}{25}so today\n{25}{50}we shake\n",
    "a long key": b"so " + b"Zm9v" * 100,
    "rich text": b"{\\rtf1\\ansi so today we shake}",
}


@pytest.mark.parametrize("name", REFUSED)
def test_anything_else_is_refused_in_words(name: str) -> None:
    with pytest.raises(CaptionError) as caught:
        read_captions(REFUSED[name], path="episode.vtt")
    error = caught.value
    assert "xpected" in error.what or "only TTML" in error.what
    assert error.where is not None
    assert error.where.file == "episode.vtt"
    assert error.where.line is not None
    assert error.hint


def test_where_reading_stopped() -> None:
    with pytest.raises(CaptionError) as caught:
        read_captions(b'{"segments": [\n{"start": 0, "end": 1, "text": "so"},\n{"start": 2 "end": 3}]}')
    assert caught.value.where is not None
    assert caught.value.where.line == 3
    with pytest.raises(CaptionError) as caught:
        read_captions(b'{"segments": [\n{"start": 0, "end": 1, "text": "so"},\n7]}')
    assert caught.value.where is not None
    assert (caught.value.where.line, caught.value.where.cue) == (3, 2)
    with pytest.raises(CaptionError) as caught:
        read_captions(TALK.encode() + b"\nthen --> this\n")
    assert caught.value.where is not None
    assert caught.value.where.line == 2


def test_a_late_signature_is_read_and_marked() -> None:
    data = b"\n\nWEBVTT\n\n00:00.000 --> 00:01.000\nso"
    file = read_captions(data)
    assert [w.text for w in file.words] == ["so"]
    assert not file.well_formed


def test_utf_16_that_breaks_off_is_read_and_marked() -> None:
    file = read_captions("\ufeffWEBVTT\n\n00:00.000 --> 00:01.000\nso we".encode("utf-16-le")[:-1])
    assert [w.text for w in file.words] == ["so", "w"]
    assert not file.well_formed
