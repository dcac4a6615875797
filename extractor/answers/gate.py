"""Whether an episode may be published: one line for a person, one number for a script."""

from __future__ import annotations

from dataclasses import dataclass

from extractor.answers.answer import clean
from extractor.errors import PourwordError
from extractor.record import Episode, Question
from extractor.visible import clock

CLEAR, BLOCKED, UNREADABLE = 0, 1, 2


@dataclass(frozen=True, slots=True)
class Gate:
    """`status` is the exit status: 0 nothing that blocks is open, 1 something is, 2 it could not be read."""

    status: int
    line: str
    blocking: tuple[Question, ...] = ()
    advice: tuple[Question, ...] = ()

    @property
    def may_publish(self) -> bool:
        return self.status == CLEAR


def state_of(episode: Episode) -> Gate:
    """The state of a record with its answers in it (`apply_answers`)."""
    blocking = tuple(q for q in episode.questions if q.blocking)
    advice = tuple(q for q in episode.questions if not q.blocking)
    extra = f"; {_count(len(advice), 'piece')} of advice open" if advice else ""
    if not episode.drinks:
        return Gate(BLOCKED, f"Not to be published: no drink was found{extra}.", blocking, advice)
    if not blocking:
        return Gate(CLEAR, f"May be published: nothing that blocks is open{extra}.", blocking, advice)
    first = blocking[0]
    where = ", ".join(p for p in (clock(first.at_s), clean(first.drink or "")) if p)
    line = (
        f"Not to be published: {_count(len(blocking), 'question')} must be answered{extra}. "
        f"First{f' ({where})' if where else ''}: {clean(first.text)}"
    )
    return Gate(BLOCKED, line, blocking, advice)


def unreadable(error: PourwordError | OSError) -> Gate:
    """The gate for an episode that could not be read at all."""
    return Gate(UNREADABLE, clean(f"Could not be read: {error}"))


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}{'s' if number != 1 else ''}"
