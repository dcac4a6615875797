"""WebVTT: the cues that the standard's parser finds, and the pieces of a cue's text.

Source: W3C, WebVTT: The Web Video Text Tracks Format, "WebVTT file parsing" and "WebVTT cue text parsing rules".
Every line with `-->` after the header begins a cue (or spoils one, if its times cannot be read); the cue's text runs
to the next empty line or the next line with `-->`. Blocks without such a line (NOTE, STYLE, REGION) hold no words.
"""

from __future__ import annotations

import html
import re

from extractor.captions.cues import Cue, Piece, Reading, line_number

_TIME = r"(?:([0-9]{1,12}):)?([0-5][0-9]):([0-5][0-9])\.([0-9]{3})(?![0-9])"
_TIMING = re.compile(rf"[ \t\f]*{_TIME}[ \t\f]*-->[ \t\f]*{_TIME}")
_STAMP = re.compile(_TIME)
_EMPTY_LINE = re.compile(r"(?:\r\n|\n|\r(?!\n))(?=[\r\n])")
_SIGNATURE = re.compile("\ufeff?WEBVTT(?=[ \t\r\n]|\\Z)")
_LATE_SIGNATURE = re.compile("[\\s\ufeff\u200b\u200e\u200f\u2060]*WEBVTT(?=[ \t\r\n]|\\Z)")
_MARKUP = re.compile(r"<([^>]*)>?|(&(?:#[0-9]+;?|#[xX][0-9a-fA-F]+;?|[A-Za-z][A-Za-z0-9]*;?))")
_NAME = re.compile(r"(/?[^\s.]*)(?:\.[^\s]*)?(?:\s([\s\S]*))?")
_SPANS = ("c", "i", "b", "u", "ruby", "rt", "v", "lang")
_MOST_NOTES = 5


def is_webvtt(source: str) -> bool:
    return _LATE_SIGNATURE.match(source) is not None


def seconds(hours: str | None, minutes: str, secs: str, thousandths: str) -> float:
    return (((int(hours) if hours else 0) * 60 + int(minutes)) * 60000 + int(secs) * 1000 + int(thousandths)) / 1000


def read(source: str) -> Reading:
    cues: list[Cue] = []
    reading = Reading("webvtt", cues, pieces, "<&", escape=escape)
    signature = _SIGNATURE.match(source)
    if signature is None:
        signature = _LATE_SIGNATURE.match(source)
        reading.well_formed = False
        reading.notes.append("WEBVTT is not the very first thing in the file, as the format asks; read all the same.")
    find, rfind, match = source.find, source.rfind, _TIMING.match
    add, make = cues.append, tuple.__new__  # as Cue(...) makes them, at a third of the time
    returns = "\r" in source
    size = len(source)
    at = _line_end(source, signature.end() if signature else 0, returns)
    arrow = find("-->", at)
    bad: list[int] = []
    while arrow != -1:
        begin = max(rfind("\n", at, arrow), rfind("\r", at, arrow) if returns else -1) + 1
        end = _line_end(source, arrow, returns)
        timing = match(source, begin)
        # The text runs from the next line to an empty line, to the next line with an arrow, or to the end.
        if returns:
            text = end + 2 if source.startswith("\r\n", end) else end + 1
            empty = _EMPTY_LINE.search(source, end)
            stop = empty.start() if empty else size
        else:
            text = end + 1
            stop = find("\n\n", end)
            if stop == -1:
                stop = size
        at = end
        arrow = find("-->", end)
        if arrow != -1 and arrow < stop:
            line = max(rfind("\n", end, arrow), rfind("\r", end, arrow) if returns else -1)
            stop = line - 1 if returns and source.startswith("\r\n", line - 1) else line
        elif stop == size:
            while stop > text and source[stop - 1] in "\r\n":
                stop -= 1
        if stop < text:
            stop = text = min(text, size)
        if timing is None:
            bad.append(begin)
        else:
            h1, m1, s1, t1, h2, m2, s2, t2 = timing.groups()
            start_s = (((int(h1) if h1 else 0) * 60 + int(m1)) * 60000 + int(s1) * 1000 + int(t1)) / 1000
            end_s = (((int(h2) if h2 else 0) * 60 + int(m2)) * 60000 + int(s2) * 1000 + int(t2)) / 1000
            add(make(Cue, (start_s, end_s, text, stop, None, False)))
    _note_bad(reading, source, bad)
    return reading


def _line_end(source: str, at: int, returns: bool) -> int:
    end = source.find("\n", at)
    if end == -1:
        end = len(source)
    if returns:
        other = source.find("\r", at, end)
        if other != -1:
            end = other
    return end


def _note_bad(reading: Reading, source: str, bad: list[int]) -> None:
    if not bad:
        return
    reading.well_formed = False
    for begin in bad[:_MOST_NOTES]:
        line = line_number(source, begin)
        reading.notes.append(f"Line {line}: the times beside --> cannot be read, so this caption was left out.")
    if len(bad) > _MOST_NOTES:
        reading.notes.append(f"{len(bad) - _MOST_NOTES} more captions were left out for times that cannot be read.")


def escape(text: str, _: int) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def pieces(source: str, cue: Cue) -> list[Piece]:
    """The text of one cue as the standard's cue text tokenizer reads it: tags out, character references decoded."""
    out: list[Piece] = []
    open_tags: list[str] = []
    voices: list[str | None] = []
    at = cue.offset
    for m in _MARKUP.finditer(source, cue.offset, cue.stop):
        begin, end = m.span()
        reference = m[2]
        if reference is not None:
            shown = html.unescape(reference)
            if shown == reference:
                continue
            if begin > at:
                out.append(Piece(source[at:begin], at, begin - at))
            out.append(Piece(shown, begin, end - begin))
        else:
            if begin > at:
                out.append(Piece(source[at:begin], at, begin - at))
            tag = m[1]
            stamp = _STAMP.fullmatch(tag)
            if stamp is not None:
                out.append(Piece("", end, 0, stamp_s=seconds(*stamp.groups())))
            else:
                name, annotation = _tag(tag)
                if name in _SPANS:
                    open_tags.append(name)
                    if name == "v":
                        voices.append(annotation or None)
                        out.append(Piece("", end, 0, speaker=voices[-1], turn=True))
                elif name[:1] == "/" and open_tags and open_tags[-1] == name[1:]:
                    open_tags.pop()
                    if name == "/v":
                        voices.pop()
                        out.append(Piece("", end, 0, speaker=voices[-1] if voices else None, turn=True))
                if name in ("rt", "/rt"):
                    out.append(Piece(" ", end, 0))  # a reading beside its word, not a part of it
        at = end
    if at < cue.stop:
        out.append(Piece(source[at : cue.stop], at, cue.stop - at))
    return out


def _tag(tag: str) -> tuple[str, str]:
    """The name of a tag (with its slash if it is an end tag) and its annotation."""
    m = _NAME.match(tag)
    assert m is not None
    return m[1], " ".join(html.unescape(m[2] or "").split())
