"""Which format a text is in, by its content and never by the ending of its name."""

from __future__ import annotations

import re
from typing import Literal

from extractor.captions import subrip, timed_text, webvtt
from extractor.captions.cues import line_number
from extractor.errors import CaptionError, Where

Kind = Literal["webvtt", "subrip", "ttml", "timed-text", "plain-text", "segments"]

EXPECTED = "WebVTT, SubRip, TTML, plain text with or without times, or JSON with segments"
_HINT = f"Give the captions as {EXPECTED}."
_MAGIC = (
    (b"\x89PNG", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"%PDF", "a PDF document"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"RIFF", "a RIFF media file"),
    (b"ID3", "an MP3 recording"),
    (b"OggS", "an Ogg recording"),
    (b"fLaC", "a FLAC recording"),
    (b"\x1aE\xdf\xa3", "a Matroska or WebM video"),
    (b"{\\rtf", "an RTF document"),
    (b"SQLite format 3", "an SQLite database"),
)
_SPACE = " \t\r\n\f\ufeff\u200b\u200e\u200f\u2060"
_CONTROL = bytes([*range(9), *range(14, 32), 127])
_MOST_CONTROL = 0.001
"""Of a text, so many may be control characters: a stray one does no harm."""
_JSON = re.compile(r'\{\s*(?:"|\}|\Z)|\[\s*(?:[{\["\]]|(?:true|false|null|-?[0-9.eE+-]+)\s*[,\]]|\Z)')
_MARKUP = re.compile(
    r"</?(?:!doctype|html|head|body|div|p|span|script|style|table|tr|td|ul|li|a|img|h[1-6])\b[^<>]*>", re.I
)
_OTHER = (
    (re.compile(r"\[Script Info\]", re.I), "Advanced SubStation captions"),
    (re.compile(r"\{[0-9]+\}\{[0-9]*\}"), "MicroDVD captions, which count frames"),
)
_WORDS_AFTER = re.compile(r"[ \t]+(?!X1:|[a-z]+:[^ \t]*(?:[ \t]|$))[^ \t\r\n]", re.M)
"""On a line of times: words, and neither the coordinates nor the settings that some files have there."""
_LEAST_LETTERS = 0.5
"""Of the characters of a talk, so many are letters; tables of numbers have fewer."""
_LONGEST_WORD = 60


def refuse(what: str, *, path: str | None, line: int | None = 1, hint: str = _HINT) -> CaptionError:
    return CaptionError(what, where=Where(file=path, line=line), hint=hint)


def recognise(data: bytes, source: str, encoding: str, path: str | None) -> Kind:
    """The format of a caption file. Raises CaptionError for a file that is none of the six."""
    for magic, name in _MAGIC:
        if data.startswith(magic):
            raise refuse(f"This is {name}, not captions. Expected {EXPECTED}.", path=path)
    body = source.lstrip(_SPACE)
    if not body:
        raise refuse(f"The file is empty. Expected {EXPECTED}.", path=path)
    start = len(source) - len(body)
    if webvtt.is_webvtt(source):
        return "webvtt"
    for pattern, name in _OTHER:
        if pattern.match(body):
            raise refuse(f"These are {name}, which are not read. Expected {EXPECTED}.", path=path)
    text = data if encoding == "utf-8" else source.encode("utf-8", "replace")
    if len(text) - len(text.translate(None, _CONTROL)) > _MOST_CONTROL * len(text) + 2:
        control = re.search(b"[%b]" % re.escape(_CONTROL), text)
        line = text.count(b"\n", 0, control.start() if control else 0) + 1
        raise refuse(f"This is not text: it holds control characters. Expected {EXPECTED}.", path=path, line=line)
    if body.startswith("WEBVTT") or (body[:6].upper() == "WEBVTT" and "-->" in source):
        raise refuse(
            f"The file begins as WebVTT does, but not as it must. Expected {EXPECTED}.",
            path=path,
            line=line_number(source, start),
            hint="The first line of a WebVTT file is WEBVTT in capitals; a space and a title may follow.",
        )
    if _JSON.match(body):
        return "segments"
    if body.startswith("<") and not re.match(r"<[0-9]", body):
        return "ttml"
    timing = subrip.first_timing(source)
    if timing is not None:
        return "timed-text" if _WORDS_AFTER.match(source, timing.end()) else "subrip"
    if "-->" in source:
        line = line_number(source, source.index("-->"))
        raise refuse(
            f"No line with --> has times that can be read. Expected {EXPECTED}.",
            path=path,
            line=line,
            hint="A line of times looks like 00:00:01,000 --> 00:00:03,500; a WebVTT file begins with WEBVTT.",
        )
    if timed_text.is_timed(source):
        return "timed-text"
    _talk(source, start, path)
    return "plain-text"


def _talk(source: str, start: int, path: str | None) -> None:
    """Raises unless the text could be somebody talking."""
    if len(_MARKUP.findall(source)) >= 3:
        line = line_number(source, start)
        raise refuse(f"This looks like a web page, not captions. Expected {EXPECTED}.", path=path, line=line)
    visible = "".join(source.split())
    if sum(map(str.isalpha, visible)) < _LEAST_LETTERS * len(visible):
        raise refuse(
            f"This does not read like talk: few of its characters are letters. Expected {EXPECTED}.", path=path
        )
    for m in re.finditer(rf"[!-~]{{{_LONGEST_WORD},}}", source):
        if "://" not in m[0]:
            line = line_number(source, m.start())
            raise refuse(
                f"This does not read like talk: it holds a word of {len(m[0])} letters. Expected {EXPECTED}.",
                path=path,
                line=line,
            )
