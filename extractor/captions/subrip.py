"""SubRip: an index, a line of times, lines of text, a blank line.

There is no standard. What the readers in wide use agree on is followed: a line of times begins a caption, a number
alone on the line before it is its index, and everything up to there is text, blank lines and all. Read all the same
(and common in real files): no index, no blank line between captions, a point for the comma, no hours, fractions
of any length, coordinates after the times.
"""

from __future__ import annotations

import html
import re

from extractor.captions.cues import Cue, Piece, Reading, line_number

_FRACTION = r"(?:[ \t]*[,.:][ \t]*([0-9]{0,18})[0-9]*)?"
_TIME = rf"(-?)(?:([0-9]{{1,12}})[ \t]*:[ \t]*)?([0-9]{{1,2}})[ \t]*:[ \t]*([0-9]{{1,2}}){_FRACTION}"
_TIMING = re.compile(rf"[ \t\ufeff]*{_TIME}[ \t]*-->[ \t]*{_TIME}(?=[ \t\r\n]|\Z)")
_CLOCK = r"([0-9]{1,12}):([0-9]{2}):([0-9]{2})[,.]([0-9]{3})"
_USUAL = re.compile(rf"{_CLOCK} --> {_CLOCK}(?=[ \t\r\n]|\Z)")
_INDEX = re.compile("[ \t\ufeff\u200b]*([0-9]+)[ \t]*")
_MARKUP = re.compile(
    r"(</?(?:[A-Za-z][^<>\r\n]*|[0-9:.]+)>|\{\\[^{}\r\n]*\})|(&(?:#[0-9]+|#[xX][0-9a-fA-F]+|[A-Za-z][A-Za-z0-9]*);)"
)
_REFERENCE = re.compile(r"&(?=(?:#[0-9]+|#[xX][0-9a-fA-F]+|[A-Za-z][A-Za-z0-9]*);)")
_TAG_START = re.compile(r"<(?=/?[A-Za-z0-9:.][^<>]*>)|\{(?=\\)")
_MOST_NOTES = 5


def first_timing(source: str) -> re.Match[str] | None:
    """The first line that holds a caption's times."""
    arrow = source.find("-->")
    while arrow != -1:
        begin = max(source.rfind("\n", 0, arrow), source.rfind("\r", 0, arrow)) + 1
        timing = _TIMING.match(source, begin)
        if timing is not None:
            return timing
        arrow = source.find("-->", arrow + 3)
    return None


def seconds(sign: str, hours: str | None, minutes: str, secs: str, fraction: str | None) -> float:
    whole = (int(hours) if hours else 0) * 3600 + int(minutes) * 60 + int(secs)
    value = whole + (round(float(f"0.{fraction}"), 3) if fraction else 0.0)
    return round(-value if sign else value, 3)


def read(source: str) -> Reading:
    cues: list[Cue] = []
    reading = Reading("subrip", cues, pieces, "<&{", escape=escape)
    size = len(source)
    returns = "\r" in source
    find, rfind, usual = source.find, source.rfind, _USUAL.match
    bad: list[int] = []
    spoilt: list[int] = []
    add, make = cues.append, tuple.__new__  # as Cue(...) makes them, at a third of the time
    blank, ending = ("\r\n\r\n", 2) if "\r\n\r\n" in source else ("\n\n", 1)
    opened = False
    start_s = end_s = 0.0
    offset = floor_of_text = 0
    index = -1
    floor = 0
    arrow = find("-->")
    while arrow != -1:
        begin = rfind("\n", floor, arrow) + 1  # the line break that ended the last line of times, if no other
        if returns:
            begin = max(begin, rfind("\r", floor, arrow) + 1)
        end = find("\n", arrow)
        if end == -1:
            end = size
        if returns:
            other = find("\r", arrow, end)
            if other != -1:
                end = other
        floor = end
        arrow = find("-->", end)
        timing = usual(source, begin)
        if timing is not None:
            h1, m1, s1, t1, h2, m2, s2, t2 = timing.groups()
            first_s = ((int(h1) * 60 + int(m1)) * 60000 + int(s1) * 1000 + int(t1)) / 1000
            last_s = ((int(h2) * 60 + int(m2)) * 60000 + int(s2) * 1000 + int(t2)) / 1000
        else:
            timing = _TIMING.match(source, begin)
            if timing is not None:
                g = timing.groups()
                first_s, last_s = seconds(*g[:5]), seconds(*g[5:])
            elif _spoilt(source, begin):
                bad.append(begin)
                spoilt.append(len(cues) + opened)
                first_s = last_s = 0.0
            else:
                continue
        # As a rule an index stands on the line above, and a blank line above that.
        above = max(rfind("\n", floor_of_text, begin - 1), floor_of_text - 1) + 1
        number = source[above : begin - ending]
        if number.isdecimal() and source.startswith(blank, above - len(blank)):
            before, index = above, int(number[:18])
        else:
            before, index = _head(source, begin, index, floor_of_text)
        if opened:
            stop = before - len(blank)
            if stop <= offset or source[stop - 1] in "\r\n" or not source.startswith(blank, stop):
                stop = before
                while stop > offset and source[stop - 1] in "\r\n":
                    stop -= 1
            add(make(Cue, (start_s, end_s, min(offset, stop), stop, None, False)))
        start_s, end_s = first_s, last_s
        offset = floor_of_text = min(end + 2 if source.startswith("\r\n", end) else end + 1, size)
        opened = True
    if opened:
        stop = size
        while stop > offset and source[stop - 1] in "\r\n":
            stop -= 1
        add(make(Cue, (start_s, end_s, min(offset, stop), stop, None, False)))
    if bad:
        reading.well_formed = False
        for n in spoilt:
            _between(cues, n)
        for begin in bad[:_MOST_NOTES]:
            what = "the times beside --> cannot be read; the caption was put between its neighbours."
            reading.notes.append(f"Line {line_number(source, begin)}: {what}")
        if len(bad) > _MOST_NOTES:
            reading.notes.append(f"{len(bad) - _MOST_NOTES} more lines have times that cannot be read.")
    return reading


def _between(cues: list[Cue], n: int) -> None:
    """Gives a caption whose times cannot be read the time between its neighbours."""
    begin = (cues[n - 1].end_s if n else 0.0) or 0.0
    end = (cues[n + 1].start_s if n + 1 < len(cues) else begin) or 0.0
    cues[n] = cues[n]._replace(start_s=begin, end_s=max(begin, end))


def _head(source: str, begin: int, index: int, floor: int) -> tuple[int, int]:
    """Where the caption whose times begin at `begin` starts (its index, if it has one), and its index.

    A number on the line above is an index if a blank line or nothing stands before it, or if it is the one that
    is due; else it is text of the caption before.
    """
    stop = begin
    if stop > floor and source[stop - 1] == "\n":
        stop -= 1
    if stop > floor and source[stop - 1] == "\r":
        stop -= 1
    if stop <= floor:
        return begin, index
    start = max(source.rfind("\n", floor, stop), source.rfind("\r", floor, stop), floor - 1) + 1
    number = _INDEX.fullmatch(source, start, stop)
    if number is None:
        return begin, index
    value = int(number[1][:18])
    if start <= floor or value == index + 1 or _blank_before(source, start, floor):
        return start, value
    return begin, index


def _blank_before(source: str, start: int, floor: int) -> bool:
    stop = start
    if source[stop - 1] == "\n":
        stop -= 1
    if stop > floor and source[stop - 1] == "\r":
        stop -= 1
    line = max(source.rfind("\n", floor, stop), source.rfind("\r", floor, stop), floor - 1) + 1
    return not source[line:stop].strip()


def _spoilt(source: str, begin: int) -> bool:
    """A line with an arrow where times are due (after a blank line, or after an index) and that has digits."""
    line = re.compile(r"[^\r\n]*").match(source, begin)
    assert line is not None
    if not re.match(r"[ \t]*[0-9-][^\r\n]*-->", line[0]):
        return False
    return begin == 0 or _blank_before(source, begin, 0) or _head(source, begin, -1, 0)[0] != begin


def escape(text: str, _: int) -> str:
    """SubRip has no escapes: only an ampersand that would be taken for a character reference is written as one."""
    return _REFERENCE.sub("&amp;", text)


def plain(text: str) -> str:
    """Text that is to be shown as it is: nothing in it is taken for a tag, a reference or a line of times."""
    text = _TAG_START.sub(lambda m: "&lt;" if m[0] == "<" else "{ ", escape(text, 0))
    return text.replace("-->", "->") if first_timing(text) else text


def pieces(source: str, cue: Cue) -> list[Piece]:
    """Tags (`<i>`, `<font ...>`, `{\\an8}`) left out, the few character references decoded that real files hold."""
    out: list[Piece] = []
    at = cue.offset
    for m in _MARKUP.finditer(source, cue.offset, cue.stop):
        begin, end = m.span()
        shown = ""
        if m[2] is not None:
            shown = html.unescape(m[2])
            if shown == m[2]:
                continue
        if begin > at:
            out.append(Piece(source[at:begin], at, begin - at))
        if shown:
            out.append(Piece(shown, begin, end - begin))
        at = end
    if at < cue.stop:
        out.append(Piece(source[at : cue.stop], at, cue.stop - at))
    return out
