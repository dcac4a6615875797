"""Plain text with times: `[1:15] words`, `1:15 words`, a time alone on a line, `0:00<TAB>words`, `[0:07 - 0:10] words`.

Lines without a time go on with the words before them; but where every time is followed by a tab, they are the titles
of chapters, which nobody spoke.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import NamedTuple

from extractor.captions.cues import LETTERS_A_SECOND, Cue, Reading

_CLOCK = r"(?:([0-9]{1,3}):)?([0-9]{1,3}):([0-5][0-9])(?:[.,]([0-9]{1,3}))?(?![0-9]|:[0-9])"
_STAMPED = re.compile(
    rf"[ \t\ufeff]*(?:(?P<open>[\[(<])[ \t]*)?{_CLOCK}(?:[ \t]*(?:-->|[-–—,]|to)[ \t]*{_CLOCK})?"
    r"(?(open)[ \t]*[\])>])(?P<gap>[ \t]*[:–—-]?[ \t]+|[ \t]*:?(?=[\r\n]|\Z)|(?(open)[ \t]*|(?!)))"
)
_LINE = re.compile(r"[^\r\n]+")
_INLINE = re.compile(rf"\[[ \t]*{_CLOCK}[ \t]*\]")
_LEAST_SHARE = 0.1
"""Of the lines with anything on them, so many must begin with a time: a single "10:30" in prose is not one."""
_SLOWEST = 6.0
"""Letters a second: a line is not drawn out over a pause before the next time."""


class _Stamp(NamedTuple):
    begin: int
    text: int
    start_s: float
    end_s: float | None
    tab: bool


def _seconds(hours: str | None, minutes: str, secs: str, fraction: str | None) -> float:
    return round(int(hours or 0) * 3600 + int(minutes) * 60 + int(secs) + float(f"0.{fraction or 0}"), 3)


def _stamp(m: re.Match[str]) -> _Stamp:
    g = m.groups()
    end = _seconds(*g[5:9]) if g[6] is not None else None
    return _Stamp(m.start(), m.end(), _seconds(*g[1:5]), end, "\t" in m["gap"])


def _stamps(source: str) -> tuple[list[_Stamp], int]:
    """The times at the beginning of lines, and how many lines have anything on them."""
    stamps, lines = [], 0
    for line in _LINE.finditer(source):
        if not line[0].strip("\ufeff \t"):
            continue
        lines += 1
        m = _STAMPED.match(source, line.start(), line.end())
        if m is not None:
            stamps.append(_stamp(m))
    return stamps, lines


def is_timed(source: str) -> bool:
    stamps, lines = _stamps(source)
    if not stamps or len(stamps) < _LEAST_SHARE * lines:
        return False
    backwards = sum(b.start_s < a.start_s for a, b in pairwise(stamps))
    return backwards <= len(stamps) // 4


def read(source: str) -> Reading:
    stamps, _ = _stamps(source)
    titles = all(s.tab for s in stamps)
    cues: list[Cue] = []
    reading = Reading("timed-text", cues)
    if not titles:
        stamps = sorted([*stamps, *_inline(source, stamps)])
    for i, stamp in enumerate(stamps):
        following = stamps[i + 1] if i + 1 < len(stamps) else None
        stop = following.begin if following else len(source)
        if titles:
            line = _LINE.match(source, stamp.text)
            stop = line.end() if line else stamp.text
        while stop > stamp.text and source[stop - 1].isspace():
            stop -= 1
        end_s = stamp.end_s
        if end_s is None:
            letters = stop - stamp.text
            if following and following.start_s > stamp.start_s:
                end_s = min(following.start_s, stamp.start_s + max(letters / _SLOWEST, 1.0))
            else:
                end_s = stamp.start_s + letters / LETTERS_A_SECOND
            end_s = round(end_s, 3)
        cues.append(Cue(stamp.start_s, end_s, stamp.text, max(stop, stamp.text)))
    first = stamps[0].begin
    if not titles and source[:first].strip("\ufeff \t\r\n"):
        head = len(source) - len(source.lstrip("\ufeff \t\r\n"))
        stop = len(source[:first].rstrip())
        cues.insert(0, Cue(None, None, head, stop))
    if titles and any(not _STAMPED.match(source, m.start(), m.end()) for m in _LINE.finditer(source) if m[0].strip()):
        reading.notes.append("Lines without a time were taken for titles, not for words that were spoken.")
    return reading


def _inline(source: str, stamps: list[_Stamp]) -> list[_Stamp]:
    """Times in square brackets in the middle of a line, where lines begin with such times too."""
    if not any(source[s.begin : s.text].lstrip("\ufeff \t").startswith("[") for s in stamps):
        return []
    known = [(s.begin, s.text) for s in stamps]
    out = []
    for m in _INLINE.finditer(source):
        if not any(a <= m.start() < b for a, b in known):
            out.append(_Stamp(m.start(), m.end(), _seconds(*m.groups()[:4]), None, False))
    return out
