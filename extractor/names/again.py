"""Hearing given windows of a talk's words: for places that a caller has picked himself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from extractor.lexicon import Entry
from extractor.names.decide import SAID_BEFORE, USUAL, Evidence, judged, log_odds, probability, worth_asking
from extractor.names.hearing import Hearing, plain_word
from extractor.names.measured import fit, load_measured
from extractor.names.rank import in_windows
from extractor.names.sounds import hearing_folder
from extractor.names.spans import NameSpan, span_of

ALIKE = 0.1
"""Up to this share of sounds off, words of a place where a name is needed are given."""
NEEDED = 0.6
"""So sure must other words of such a place be, however plain they are."""


@dataclass(frozen=True, slots=True)
class Window:
    """Tokens from `start` to each of `ends` (not included), in place number `place`, where a name is expected with
    strength `expects`. `unit`: that of the amount beside it. `needed`: a name must be there, and what sounds much like
    one is given however plain its words ("so tall")."""

    place: int
    start: int
    ends: tuple[int, ...]
    expects: float
    unit: str | None = None
    needed: bool = False


def hear_windows(
    words: Sequence[str], windows: Sequence[Window], hearing: Hearing, established: frozenset[int]
) -> Iterator[tuple[int, NameSpan, Evidence]]:
    """(place, span, its signs) of each window that sounds like a name, in the order of the windows and their ends.

    `established`: id() of the entries that the talk is sure to name elsewhere; they are heard sooner.
    """
    measured = load_measured(hearing_folder(hearing.lexicon.folder))
    plain = [plain_word(w) for w in words]

    def support(entry: Entry, unit: str | None) -> float:
        said = SAID_BEFORE if id(entry) in established else 0.0
        return said + (fit(hearing.lexicon, measured, entry, unit) if unit else 0.0)

    for n, end, found in in_windows(hearing, plain, [(w.start, w.ends, "ingredient") for w in windows]):
        w = windows[n]
        heard = " ".join(p for p in plain[w.start : end] if p)
        likely, signs = judged(hearing, heard, found, w.expects, [support(m.form.entry, w.unit) for m in found])
        if w.needed and w.expects < USUAL:
            # A name must be there: it is surer, but not put right any sooner.
            sure = probability(log_odds(likely[0].confidence) + log_odds(USUAL) - log_odds(w.expects))
            likely[0] = replace(likely[0], confidence=sure)
        alike = w.needed and end - w.start > 1 and signs.share <= ALIKE and not signs.common
        likeliest = w.needed and not signs.word and likely[0].confidence >= NEEDED
        if alike or likeliest or worth_asking(signs, likely[0].confidence):
            yield w.place, span_of(words, w.start, end, likely), signs
