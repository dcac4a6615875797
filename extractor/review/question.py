"""A question with the words around it and the moment of the recording that is played for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from extractor.record import Question
from extractor.record.talk import Talk
from extractor.review.marks import Places
from extractor.review.talk import shown
from extractor.visible import clock

AROUND = 14
"""Words shown before and after those in question."""
BEFORE_S, AFTER_S, SHORTEST_S, LONGEST_S = 1.2, 1.2, 4.0, 14.0
"""Of the moment that is played."""


@dataclass(frozen=True, slots=True)
class Asked:
    """`from_s` to `to_s` is the moment to play, None where the captions have no times."""

    question: Question
    later: bool
    clock: str
    before: str
    words: str
    after: str
    from_s: float | None
    to_s: float | None
    remarks: tuple[str, ...]

    @property
    def id(self) -> str:
        return self.question.id


def in_order(questions: Sequence[Question]) -> list[Question]:
    """Those that must be answered first, each kind in the order of the recording; what was put off comes last."""
    return sorted(
        questions,
        key=lambda q: (_later(q), not q.blocking, q.at_s if q.at_s is not None else float("inf")),
    )


def _later(q: Question) -> bool:
    return bool(q.context.get("later"))


def asked(q: Question, talk: Talk, places: Places, words_of: Callable[[Question], str]) -> Asked:
    words = talk.transcript.words
    span = places.of(q.evidence)
    if span is None and q.at_s is not None and words:
        said = words_of(q).split()
        first = places.at(q.at_s)
        span = first, min(len(words), first + max(1, len(said))) - 1
    before = middle = after = ""
    start = end = None
    if span is not None:
        first, last = span
        texts = [shown(w.text) for w in words[max(0, first - AROUND) : last + 1 + AROUND]]
        lead = first - max(0, first - AROUND)
        before, middle = " ".join(texts[:lead]), " ".join(texts[lead : lead + last - first + 1])
        after = " ".join(texts[lead + last - first + 1 :])
        start, end = words[first].start_s, words[last].end_s
    if start is None:
        start = q.at_s
    remarks = []
    earlier = q.context.get("earlier_answer", "")
    for key, what in (("not_applied", "could not be put in"), ("changed", "was answered before, but")):
        if q.context.get(key):
            remarks.append(f"“{earlier}” {what}: {q.context[key]}")
    moment = _moment(start, end, talk.transcript.duration_s)
    return Asked(q, _later(q), clock(q.at_s), before, middle, after, *moment, tuple(remarks))


def _moment(start: float | None, end: float | None, duration: float | None) -> tuple[float | None, float | None]:
    if start is None:
        return None, None
    a, b = max(0.0, start - BEFORE_S), (end if end is not None else start) + AFTER_S
    if b - a < SHORTEST_S:
        b = a + SHORTEST_S
    b = min(b, a + LONGEST_S)
    if duration is not None and a < duration < b:
        b = duration
    return round(a, 2), round(b, 2)
