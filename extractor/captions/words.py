"""From cues to spoken words: each once, with its times and the places of all its copies."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

from extractor.captions import rollup
from extractor.captions.cues import LETTERS_A_SECOND, Cue, Piece, Reading
from extractor.captions.decode import guessed
from extractor.record.words import Place, Word

WORD = re.compile(r"\S+")
# Characters that show nothing (zero-width space, marks of direction, byte-order mark) part words as a space does.
_BLANKS = "\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2060\u2066\u2067\u2068\u2069\ufeff"
_ODD = re.compile(f"[\x00\udc80-\udcff\ud800-\udfff{_BLANKS}]")
_NEW_SPEAKER = (">>", ">>>", "»")


@dataclass(frozen=True, slots=True)
class Line:
    """One cue as shown: its text, its words in it, and what stands between them. All positions are in `text`."""

    text: str
    pieces: tuple[tuple[int, Piece], ...]
    """Where each piece with text begins."""
    words: tuple[tuple[int, int], ...]
    stamps: tuple[tuple[int, float, bool], ...] = ()
    """Where, the time, and whether it is only the end of the words before."""
    turns: tuple[tuple[int, str | None], ...] = ()

    def places(self, begin: int, end: int) -> tuple[Place, ...]:
        """Where `text[begin:end]` stands in the source: one place, or several where tags cut it."""
        out: list[Place] = []
        for at, piece in self.pieces:
            if at >= end:
                break
            stop = at + len(piece.text)
            if stop <= begin or not piece.length:
                continue
            if len(piece.text) == piece.length:
                a, b = max(begin, at), min(end, stop)
                place = Place(piece.offset + a - at, b - a)
            else:
                place = Place(piece.offset, piece.length)
            if out and out[-1].offset + out[-1].length == place.offset:
                place = Place(out[-1].offset, out[-1].length + place.length)
                out.pop()
            out.append(place)
        return tuple(out)


@dataclass(slots=True)
class Index:
    """The words of a file by cue, before any Word is made."""

    source: str
    reading: Reading
    odd: bool
    tokens: list[list[str]]
    lines: dict[int, Line]
    """The cues that have been looked at, as shown."""
    marked: set[int]
    """The cues whose text in the source is not what is shown."""
    copied: list[rollup.Shown] | None
    """What each cue shows, where some words are shown more than once."""
    highs: list[int]
    """For each cue, how many words have been spoken when it has been shown."""

    @property
    def count(self) -> int:
        return self.highs[-1] if self.highs else 0

    def shown(self, cue: int) -> rollup.Shown:
        """What cue number `cue` shows, as indexes of spoken words."""
        if self.copied is not None:
            return self.copied[cue]
        low = self.highs[cue - 1] if cue else 0
        return rollup.Shown(low, low, self.highs[cue])

    def first_cue(self, word: int) -> int:
        """The cue that shows a spoken word for the first time."""
        return bisect_right(self.highs, word)

    def word(self, word: int) -> str:
        cue = self.first_cue(word)
        return self.tokens[cue][word - self.shown(cue).low]

    def cues_with(self, word: int) -> list[int]:
        """All cues that show a spoken word."""
        first = self.first_cue(word)
        if self.copied is None:
            return [first]
        return [i for i in range(first, len(self.copied)) if self.copied[i].low <= word < self.copied[i].high]

    def line(self, cue: int) -> Line:
        """Cue number `cue` as shown, with places."""
        line = self.lines.get(cue)
        if line is None:
            where = self.reading.cues[cue]
            if cue in self.marked and self.reading.pieces is not None:
                pieces = self.reading.pieces(self.source, where)
            else:
                text = self.source[where.offset : where.stop]
                pieces = [Piece(text, where.offset, where.stop - where.offset)]
            line = self.lines[cue] = _line(pieces, self.odd, self.reading.kind)
        return line


def has_odd(source: str) -> bool:
    """Whether `tidy` has anything to do: as `_ODD.search`, which is slow over a whole file."""
    if "\0" in source:
        return True
    if source.isascii():
        return False
    try:
        source.encode()
    except UnicodeEncodeError:  # a lone surrogate
        return True
    return any(c in source for c in _BLANKS)


def tidy(text: str, odd: bool, kind: str) -> str:
    """The text as shown, character for character: bytes that are no UTF-8 by the likeliest guess, NUL as U+FFFD."""
    if not odd:
        return text
    return _ODD.sub(lambda m: _shown(m[0], kind), text)


def _shown(character: str, kind: str) -> str:
    if character in _BLANKS:
        return " "
    if "\udc80" <= character <= "\udcff" and kind != "webvtt":
        return guessed(character)
    return "\ufffd"  # as the WebVTT standard asks


def index(source: str, reading: Reading) -> Index:
    odd = has_odd(source)
    kind = reading.kind
    cues = reading.cues
    fresh: dict[int, int] = {}
    texts = [source[offset:stop] for _, _, offset, stop, _, _ in cues]
    marked: set[int] = set()
    out = Index(source, reading, odd, [], {}, marked, None, [])
    pieces = reading.pieces
    if pieces is not None:
        for mark in reading.marks:
            if mark in source:
                marked.update([i for i, text in enumerate(texts) if mark in text])
        for i in marked:
            quick = reading.text(cues[i]) if reading.text is not None else None
            if quick is not None:
                texts[i] = quick
                continue
            found = pieces(source, cues[i])
            texts[i] = "".join([p[0] for p in found])
            if any(p[3] is not None for p in found):
                fresh[i] = _fresh(out.line(i))
    if odd:
        texts = [tidy(text, odd, kind) for text in texts]
    out.tokens = tokens = [text.split() for text in texts]

    def first_line(cue: int) -> int:
        return len(re.split(r"[\r\n]+", texts[cue].lstrip(), maxsplit=1)[0].split())

    copied = rollup.shown(cues, tokens, fresh, first_line) if kind != "plain-text" else None
    counts = map(len, tokens) if copied is None else (s.high - s.new for s in copied)
    out.copied, out.highs = copied, list(accumulate(counts))
    return out


def _line(pieces: list[Piece], odd: bool, kind: str) -> Line:
    parts: list[str] = []
    placed: list[tuple[int, Piece]] = []
    stamps: list[tuple[int, float, bool]] = []
    turns: list[tuple[int, str | None]] = []
    at = 0
    for piece in pieces:
        if piece.stamp_s is not None:
            if stamps and stamps[-1][0] == at and not stamps[-1][2] and not piece.ends:
                stamps.pop()  # nothing was shown at the earlier one
            stamps.append((at, piece.stamp_s, piece.ends))
        elif piece.turn:
            turns.append((at, piece.speaker))
        if piece.text:
            placed.append((at, piece))
            parts.append(tidy(piece.text, odd, kind))
            at += len(piece.text)
    text = "".join(parts)
    words = tuple(m.span() for m in WORD.finditer(text))
    return Line(text, tuple(placed), words, tuple(stamps), tuple(turns))


def _fresh(line: Line) -> int:
    """How many words stand on lines before the one that has the first word time: only those can be copies."""
    stamp = line.stamps[0][0]
    begin = max(line.text.rfind("\n", 0, stamp), line.text.rfind("\r", 0, stamp)) + 1
    return sum(1 for a, _ in line.words if a < begin)


def words(index: Index) -> tuple[Word, ...]:
    """Every spoken word once, in the order of the file."""
    copied = index.copied
    out: list[Word] = []
    copies: list[list[tuple[Place, ...]]] = []
    speaker: str | None = None
    turn = True
    source, odd = index.source, index.odd
    finditer = WORD.finditer
    add = out.append
    for i, cue in enumerate(index.reading.cues):
        shown = index.shown(i)
        if shown.low == shown.high:
            continue
        known = index.line(i) if i in index.marked else None
        said = cue.speaker
        turns = list(known.turns) if known is not None else []
        while turns and known is not None and turns[0][0] <= known.words[0][0]:
            said = turns.pop(0)[1]
        turn = turn or cue.paragraph or said != speaker
        speaker = said
        start_s, end_s = cue.start_s, cue.end_s
        if copied is None and not odd and known is None:
            spans = [m.span() for m in finditer(source, cue.offset, cue.stop)]
            texts = index.tokens[i]
            if start_s is None:
                for text, (a, b) in zip(texts, spans, strict=True):
                    turn = turn or text in _NEW_SPEAKER
                    add(Word(text, None, None, i, ((Place(a, b - a),),), speaker, turn))
                    turn = False
            else:
                origin = spans[0][0]
                if end_s is None:
                    end_s = start_s + (spans[-1][1] - origin) / LETTERS_A_SECOND
                elif end_s < start_s:
                    end_s = start_s
                rate = (end_s - start_s) / (spans[-1][1] - origin)
                for text, (a, b) in zip(texts, spans, strict=True):
                    turn = turn or text in _NEW_SPEAKER
                    add(
                        Word(
                            text,
                            round(start_s + rate * (a - origin), 3),
                            round(start_s + rate * (b - origin), 3),
                            i,
                            ((Place(a, b - a),),),
                            speaker,
                            turn,
                        )
                    )
                    turn = False
            continue
        line = index.line(i)
        for word, (a, b) in zip(range(shown.low, shown.new), line.words, strict=False):
            copies[word].append(line.places(a, b))
        skipped = shown.new - shown.low
        times = spread(line, cue, skipped)
        for n, (a, b) in enumerate(line.words):
            while turns and turns[0][0] <= a:
                said = turns.pop(0)[1]
                turn = turn or said != speaker
                speaker = said
            if n < skipped:
                turn = False
                continue
            text = line.text[a:b]
            first, last = next(times)
            place = line.places(a, b)
            if copied is not None:
                copies.append([place])
            add(Word(text, first, last, i, (place,), speaker, turn or text in _NEW_SPEAKER))
            turn = False
    if copied is not None:
        return tuple(
            Word(w.text, w.start_s, w.end_s, w.cue, tuple(c), w.speaker, w.paragraph)
            for w, c in zip(out, copies, strict=True)
        )
    return tuple(out)


def spread(line: Line, cue: Cue, skipped: int) -> Iterator[tuple[float | None, float | None]]:
    """The times of the cue's words after the first `skipped`: from its stamps, and between them by length."""
    spans = line.words[skipped:]
    start_s, end_s = cue.start_s, cue.end_s
    if not spans:
        return
    if start_s is None:
        for _ in spans:
            yield None, None
        return
    if end_s is None:
        end_s = start_s + (spans[-1][1] - spans[0][0]) / LETTERS_A_SECOND
    elif end_s < start_s:
        end_s = start_s
    anchors = _anchors(line, spans, start_s, end_s)
    n = 0
    for a, b in spans:
        while n + 2 < len(anchors) and anchors[n + 1][0] <= a:
            n += 1
        first = _at(anchors[n], anchors[n + 1], a)
        while n + 2 < len(anchors) and anchors[n + 1][0] < b:
            n += 1
        yield first, _at(anchors[n], anchors[n + 1], b)


def _anchors(line: Line, spans: tuple[tuple[int, int], ...], start_s: float, end_s: float) -> list[tuple[int, float]]:
    """Positions whose time is known, in order of both; positions between them have times between theirs.

    A stamp between two words is the end of the one (unless an earlier stamp is) and the beginning of the other.
    Stamps that run backwards or leave the caption tell nothing.
    """
    out = [(spans[0][0], start_s)]
    n = 0
    for at, stamp_s, ends in line.stamps:
        if not out[-1][1] <= stamp_s <= end_s:
            continue
        while n < len(spans) and spans[n][1] <= at:
            n += 1
        inside = n < len(spans) and spans[n][0] < at
        if n and not inside and out[-1][0] < spans[n - 1][1]:
            out.append((spans[n - 1][1], stamp_s))
        if n == len(spans):
            break
        if not ends:
            begin = at if inside else spans[n][0]
            if out[-1][0] == begin:
                out.pop()
            out.append((begin, stamp_s))
    if out[-1][0] < spans[-1][1]:
        out.append((spans[-1][1], end_s))
    if len(out) == 1:
        out.append(out[0])
    return out


def _at(before: tuple[int, float], after: tuple[int, float], position: int) -> float:
    (p0, t0), (p1, t1) = before, after
    if p1 <= p0:
        return round(t1, 3)
    return round(t0 + (t1 - t0) * min(1.0, (position - p0) / (p1 - p0)), 3)
