"""The talk as paragraphs of timed words, with the marks in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractor.record import Episode, Word
from extractor.record.talk import Talk
from extractor.review.marks import Mark, Places
from extractor.visible import clock, line

SHORT, LONG, LONGEST = 8, 28, 60
"""Words: a paragraph ends at the first end of a sentence or of a cue behind LONG, and behind LONGEST in any case; but
not where fewer than SHORT would be left to the next."""
PAUSE_S = 2.5


@dataclass(frozen=True, slots=True)
class Piece:
    """Words of a paragraph, joined by single spaces; `mark` None where nothing was understood in them."""

    text: str
    mark: Mark | None


@dataclass(frozen=True, slots=True)
class Paragraph:
    """`seconds` are the starts of its words, one a word, with a space between; empty without times.

    `drink` is the name of a drink that begins with it.
    """

    at_s: float | None
    clock: str
    seconds: str
    speaker: str | None
    drink: str | None
    pieces: tuple[Piece, ...]


def shown(word: str) -> str:
    """A word as it is shown: never empty and without an ordinary space, so that the page can count the words."""
    return line(word).replace(" ", "\u00a0") or "\ufffd"


def paragraphs(talk: Talk, episode: Episode, found: Sequence[Mark], places: Places) -> tuple[Paragraph, ...]:
    words = talk.transcript.words
    begins = {places.at(d.start_s): d.name for d in reversed(episode.drinks) if d.start_s is not None} if words else {}
    by_first = {m.first: m for m in found}
    inside = {n for m in found for n in range(m.first + 1, m.last + 1)}
    out: list[Paragraph] = []
    first = 0
    for n in range(1, len(words) + 1):
        if n < len(words) and (n in inside or not _breaks(words, first, n, begins)):
            continue
        out.append(_paragraph(words, first, n, by_first, begins))
        first = n
    return tuple(out)


def _breaks(words: Sequence[Word], first: int, n: int, begins: dict[int, str]) -> bool:
    if _must_break(words, n, begins):
        return True
    size = n - first
    if size < LONG or any(_must_break(words, m, begins) for m in range(n + 1, min(n + SHORT, len(words)))):
        return False
    return size >= LONGEST or words[n - 1].text.endswith((".", "?", "!")) or words[n].cue != words[n - 1].cue


def _must_break(words: Sequence[Word], n: int, begins: dict[int, str]) -> bool:
    before, word = words[n - 1], words[n]
    if word.paragraph or word.speaker != before.speaker or n in begins:
        return True
    return word.start_s is not None and before.end_s is not None and word.start_s - before.end_s >= PAUSE_S


def _paragraph(
    words: Sequence[Word], first: int, end: int, by_first: dict[int, Mark], begins: dict[int, str]
) -> Paragraph:
    pieces: list[Piece] = []
    plain_words: list[str] = []
    n = first
    while n < end:
        mark = by_first.get(n)
        if mark is None:
            plain_words.append(shown(words[n].text))
            n += 1
            continue
        if plain_words:
            pieces.append(Piece(" ".join(plain_words), None))
            plain_words = []
        stop = min(mark.last + 1, end)
        pieces.append(Piece(" ".join(shown(w.text) for w in words[n:stop]), mark))
        n = stop
    if plain_words:
        pieces.append(Piece(" ".join(plain_words), None))
    at = words[first].start_s
    times = [w.start_s for w in words[first:end]]
    seconds = [f"{t:.2f}".rstrip("0").rstrip(".") for t in times if t is not None]
    drink = next((begins[i] for i in range(first, end) if i in begins), None)
    return Paragraph(
        at, clock(at), " ".join(seconds) if len(seconds) == len(times) else "",
        words[first].speaker, drink, tuple(pieces),
    )  # fmt: skip
