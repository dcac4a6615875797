"""What the page needs of the rest of the project. Other stages are never imported here: a `Job` is handed in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from extractor.record import Episode, Question
from extractor.record.talk import Talk


@dataclass(frozen=True, slots=True)
class Given:
    """One answer of the answers file. `earlier` is what stood there before, oldest first."""

    id: str
    given: str
    asked: str
    edit: bool
    revision: int
    by: str | None = None
    earlier: tuple[str, ...] = ()


@dataclass(frozen=True)
class State:
    """The record with all answers in it, as the file stands at this moment. `line` says whether it may be published."""

    episode: Episode
    revision: int
    given: tuple[Given, ...]
    may_publish: bool
    line: str


@dataclass(frozen=True, slots=True)
class Kept:
    """A change that was saved, and in words what it did."""

    id: str
    said: str


@dataclass(frozen=True, slots=True)
class Refused:
    """A change that was not saved."""

    why: str
    hint: str


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """Not saved: since the page was made, somebody else gave another answer to the same thing."""

    given: str
    by: str | None


@dataclass(frozen=True)
class Published:
    """`folder` and the paths in it that were written, or stood there unchanged."""

    folder: Path
    written: tuple[str, ...]
    unchanged: tuple[str, ...] = ()


class ShownAmount(Protocol):
    def together(self) -> str: ...


class ShownItem(Protocol):
    """One line of a recipe as a card shows it; `gaps` is what is not known of it."""

    @property
    def name(self) -> str: ...
    @property
    def shown(self) -> ShownAmount: ...
    @property
    def details(self) -> Sequence[str]: ...
    @property
    def gaps(self) -> Sequence[str]: ...


class ShownKit(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def items(self) -> Sequence[ShownItem]: ...
    @property
    def facts(self) -> Sequence[str]: ...
    @property
    def gaps(self) -> Sequence[str]: ...


class ShownSheet(Protocol):
    """A drink in words, as it is published."""

    @property
    def items(self) -> Sequence[ShownItem]: ...
    @property
    def garnishes(self) -> Sequence[ShownItem]: ...
    @property
    def home_made(self) -> Sequence[ShownKit]: ...
    @property
    def strength(self) -> str | None: ...
    @property
    def standard_drinks(self) -> str | None: ...
    @property
    def cautions(self) -> Sequence[str]: ...


@dataclass(frozen=True)
class Previews:
    """The files as they would be written now, gaps marked, and the words put right in the captions."""

    files: Mapping[str, bytes]
    problem: str | None = None
    notes: tuple[str, ...] = field(default=())


class Job(Protocol):
    """One episode being settled. Every change goes to the answers file at once; calls are never made side by side."""

    @property
    def name(self) -> str: ...
    @property
    def talk(self) -> Talk: ...
    @property
    def answers_file(self) -> Path: ...
    @property
    def folder(self) -> Path:
        """Where it publishes."""
        ...

    def state(self) -> State: ...
    def words(self, question: Question) -> str: ...
    def sheets(self, state: State) -> Sequence[ShownSheet]: ...
    def steps(self, names: Sequence[str]) -> Sequence[str]:
        """Each of a list's names as the step of a path that no other name of the list shares."""
        ...

    def answer(self, id: str, given: str, *, seen: int) -> Kept | Refused | Meanwhile: ...
    def edit(self, what: str, given: str, *, seen: int) -> Kept | Refused | Meanwhile: ...
    def undo(self, id: str | None) -> Kept | None:
        """Takes back the answer to `id`, or with None the last one given here. None where there is nothing."""
        ...

    def previews(self) -> Previews: ...
    def publish(self, as_heard: Sequence[str] = ()) -> Published:
        """`as_heard`: the changes of the captions not to be made this time, by id ("w44": by their first word).

        Raises PublishError or CaptionError, and then nothing was written."""
        ...
