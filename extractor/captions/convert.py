"""Captions of any of the formats as WebVTT or SubRip, cue for cue.

Times and words are kept, and line breaks, italics, bold and underline where both forms have them, and in WebVTT
who speaks. What only the other format knows (styles, positions, word times, ids) is left out. Captions without any
text are left out too: there is nothing to show, and SubRip readers stumble over them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import accumulate
from typing import Literal

from extractor.captions import subrip
from extractor.captions.cues import LETTERS_A_SECOND
from extractor.captions.edits import Edit, edits_of
from extractor.captions.file import CaptionFile
from extractor.captions.read import read_text
from extractor.captions.rewrite import as_file, edited_text, rewrite
from extractor.captions.words import Line
from extractor.errors import CaptionError, Where
from extractor.record import Correction, Transcript

_TAG = re.compile(r"<(/?)([biu])(?:\.[^<>]*)?>", re.I)
_LEAST_S = 0.001
_LONGEST_LINE = 42
"""Letters on a line, where the file has no lines of its own: a usual width of captions (common practice, no source)."""


def convert(
    captions: Transcript | bytes, edits: Iterable[Edit | Correction] = (), to: Literal["webvtt", "subrip"] = "webvtt"
) -> bytes:
    """The captions with the edits made, in another form, as UTF-8. Into its own form a file is only rewritten.

    A badly formed file is converted as far as it could be read. Raises CaptionError where there are no times.
    """
    if to not in ("webvtt", "subrip"):
        raise CaptionError(f"Captions are not written as {to!r}.", hint="Give webvtt or subrip.")
    file = as_file(captions)
    if file.kind == to and file.well_formed:
        return rewrite(file, edits)
    wanted = edits_of(edits)
    if wanted:
        file = read_text(edited_text(file, wanted), file.encoding, file.kind, file.path)
    times = _times(file)
    blocks = []
    for cue, (start_s, end_s) in enumerate(times):
        if start_s is None:
            continue
        text = _text(file, cue, to)
        if not text:
            continue
        end_s = max(end_s if end_s is not None else start_s, start_s + _LEAST_S)
        if to == "webvtt":
            blocks.append(f"{_clock(start_s, '.')} --> {_clock(end_s, '.')}\n{text}\n")
        else:
            blocks.append(f"{len(blocks) + 1}\n{_clock(start_s, ',')} --> {_clock(end_s, ',')}\n{text}\n")
    if not blocks:
        raise CaptionError(
            "The text has no times, so it cannot be made into captions.",
            where=Where(file.path),
            hint="Give a caption file, or a text with times such as [1:15] at the beginning of its lines.",
        )
    head = ["WEBVTT\n"] if to == "webvtt" else []
    return "\n".join([*head, *blocks]).encode("utf-8")


def _times(file: CaptionFile) -> list[tuple[float | None, float | None]]:
    """Each cue's times; an end that the file does not give is the next cue's start, or as long as the words take."""
    cues = file.index.reading.cues
    out: list[tuple[float | None, float | None]] = []
    for n, cue in enumerate(cues):
        end_s = cue.end_s
        if cue.start_s is not None and end_s is None:
            letters = sum(len(t) + 1 for t in file.index.tokens[n])
            end_s = cue.start_s + letters / LETTERS_A_SECOND
            after = cues[n + 1].start_s if n + 1 < len(cues) else None
            if after is not None and after > cue.start_s:
                end_s = min(end_s, after)
        out.append((cue.start_s, end_s))
    return out


def _clock(second: float, point: str) -> str:
    ms = max(0, round(second * 1000))
    return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}{point}{ms % 1000:03}"


def _text(file: CaptionFile, cue: int, to: str) -> str:
    """The cue's lines in the other form; empty lines, which would end it, are left out."""
    line = file.index.line(cue)
    if not line.words:
        return ""
    marks = _marks(file, cue, line, to)
    parts: list[str] = []
    at = 0
    for position, mark in [*marks, (len(line.text), "")]:
        parts.append(_escaped(line.text[at:position], to))
        parts.append(mark)
        at = position
    lines = [" ".join(part.split()) for part in re.split(r"[\r\n]+", "".join(parts))]
    lines = _without_empty(lines)
    if file.kind in ("segments", "timed-text") and len(lines) == 1:
        lines = _wrapped(lines[0])
    text = "\n".join(lines)
    speaker = file.index.reading.cues[cue].speaker
    if speaker and to == "webvtt" and not line.turns:
        return f"<v {_name(speaker)}>{text}"
    if speaker and file.index.reading.labelled:
        return f"{speaker}: {text}"
    return text


def _without_empty(lines: list[str]) -> list[str]:
    """Tags that stand alone on a line go to the next line, or to the last."""
    out: list[str] = []
    waiting = ""
    for line in lines:
        if re.sub(r"<[^<>]*>", "", line):
            out.append(waiting + line)
            waiting = ""
        else:
            waiting += line
    if waiting and out:
        out[-1] += waiting
    return out


def _name(speaker: str) -> str:
    return " ".join(speaker.replace("&", "&amp;").replace(">", "&gt;").replace("<", "&lt;").split())


def _marks(file: CaptionFile, cue: int, line: Line, to: str) -> list[tuple[int, str]]:
    """Tags that both forms have, and their places in the shown text."""
    out: list[tuple[int, str]] = []
    if file.kind in ("webvtt", "subrip"):
        where = file.index.reading.cues[cue]
        for m in _TAG.finditer(file.source, where.offset, where.stop):
            at = sum(len(p.text) for _, p in line.pieces if p.offset + p.length <= m.start())
            out.append((at, f"<{m[1]}{m[2].lower()}>"))
    if to == "webvtt":
        out += [(at, f"<v {_name(said)}>" if said else "</v>") for at, said in line.turns]
    return sorted(out, key=lambda mark: mark[0])


def _escaped(text: str, to: str) -> str:
    if to == "webvtt":
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return subrip.plain(text)


def _wrapped(line: str) -> list[str]:
    """A long line as two of like length, cut at a space; longer talk than two lines hold stays in as many lines."""
    tokens = line.split(" ")
    count = -(-len(line) // _LONGEST_LINE)
    if count < 2 or len(tokens) < 2 or "<" in line:
        return [line]
    size = len(line) / count
    out: list[list[str]] = [[]]
    for token, end in zip(tokens, accumulate(len(t) + 1 for t in tokens), strict=True):
        if out[-1] and end - 1 > size * len(out) + len(token) / 2 and len(out) < count:
            out.append([])
        out[-1].append(token)
    return [" ".join(words) for words in out]
