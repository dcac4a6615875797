"""Hearing given windows of a talk's words: for places that a caller has picked himself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from extractor.names.decide import (
    SAID_BEFORE,
    Evidence,
    candidate,
    confidence,
    evidence,
    log_odds,
    may_apply,
    probability,
    worth_asking,
)
from extractor.names.hearing import Hearing, plain_word
from extractor.names.measured import fit, load_measured
from extractor.names.rank import Place, matches
from extractor.names.sounds import hearing_folder
from extractor.names.spans import NameSpan

KEEP = 5


@dataclass(frozen=True, slots=True)
class Window:
    """Tokens from `start` to each of `ends` (not included), in place number `place`, where a name is expected with
    strength `expects`. `unit`: that of the amount beside it."""

    place: int
    start: int
    ends: tuple[int, ...]
    expects: float
    unit: str | None = None


def hear_windows(
    words: Sequence[str], windows: Sequence[Window], hearing: Hearing, established: frozenset[int]
) -> Iterator[tuple[int, NameSpan, Evidence]]:
    """(place, span, its signs) of each window that sounds like a name, in the order of the windows and their ends.

    `established`: id() of the entries that the talk is sure to name elsewhere; they are heard sooner.
    """
    breath = hearing.words["breath"]
    measured = load_measured(hearing_folder(hearing.lexicon.folder))
    plain = [plain_word(w) for w in words]
    places: list[Place] = []
    whose: list[tuple[Window, tuple[int, ...]]] = []
    for w in windows:
        ends = tuple(e for e in w.ends if plain[e - 1] and plain[e - 1] not in breath)
        if ends and plain[w.start]:
            places.append(Place(tuple(plain[w.start : max(ends)]), tuple(e - w.start for e in ends)))
            whose.append((w, ends))
    for (w, ends), each in zip(whose, matches(hearing, places), strict=True):
        for end, found in zip(ends, each, strict=True):
            if not found:
                continue
            heard = " ".join(p for p in plain[w.start : end] if p)
            judged = []
            for k, match in enumerate(found):
                order = [match, *found[:k], *found[k + 1 :]]
                e = evidence(hearing, heard, order)
                sure = confidence(e, w.expects)
                more = fit(hearing.lexicon, measured, match.form.entry, w.unit) if w.unit else 0.0
                more += SAID_BEFORE if id(match.form.entry) in established else 0.0
                sure = probability(log_odds(sure) + more) if more else sure
                judged.append((sure, e, match))
            judged.sort(key=lambda j: -j[0])
            sure, e, top = judged[0]
            if not worth_asking(e, sure):
                continue
            first = candidate(top.form, sure, may_apply(e, sure, w.expects), "sound")
            rest = [candidate(m.form, min(s, 1 - sure), False, "sound") for s, _, m in judged[1:KEEP]]
            yield (
                w.place,
                NameSpan(
                    w.start, end, first.entry, "ingredient", first.name, heard, sure, "sound", first.apply,
                    (first, *rest), first.written,
                ),
                e,
            )  # fmt: skip
