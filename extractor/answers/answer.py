"""What an answer is: the words given, the question they belong to, and the ground on which they were given."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict

from extractor.visible import line

EDIT = "edit"
"""The kind of an answer that no question asked for: a field put right by hand."""
NOTHING = "nothing"
"""How an empty field of the record is written in a ground."""

clean = line
"""Everything that is kept is one visible line: nothing in it is obeyed by a terminal or breaks the file."""
Line = Annotated[str, AfterValidator(clean)]


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Offer(_Frozen):
    """One of the numbered answers that were offered, and why."""

    answer: Line
    reason: Line = ""


class Ground(_Frozen):
    """What an answer rests on: which thing of which drink, what was heard there, and what the record then held.

    Written beside every answer, so that when the captions are corrected or recognised again the answer finds its
    thing by several marks (name, words, place, neighbours), and shows whether what it rests on is still so.
    """

    role: Line = "episode"
    """episode, drink, ingredient, garnish, component, or part (an ingredient of a component)."""
    drink: Line | None = None
    unnamed: bool = False
    """The talk never named the drink: `drink` is a stopgap, and another drink that bears it need not be this one."""
    place: int | None = None
    """The drink's place in the episode, from 1."""
    besides: tuple[Line, ...] = ()
    """The names of the episode's other drinks: what bears one of them is not this drink."""
    within: tuple[Line, ...] = ()
    """The names of the drink's ingredients in order: what the drink is known by when its name was garbled."""
    component: Line | None = None
    about: Line = ""
    heard: Line = ""
    known: Line | None = None
    """The lexicon's id of the thing, where it has one: two known things of different id are never the same."""
    before: Line | None = None
    after: Line | None = None
    """The things told just before and after it in the same list."""
    turn: int | None = None
    turns: int | None = None
    """Which of several of the same name in that list, from 1, and how many there are of them."""
    held: Line = NOTHING
    """What the record held in the field that was asked about, in the record's own terms."""
    values: tuple[Line, ...] = ()
    """The values that stood against each other, where that was the question."""
    missing: Line | None = None
    """Which part of a home-made thing was asked for."""
    words: Line = ""
    at_s: int | None = None
    """The second of the question, to be shown."""
    told_s: int | None = None
    """The second at which the thing itself was told."""


class Answer(_Frozen):
    """An answer, or a question in a form that has none yet (`given` is empty then).

    `id` is the question's, or for an edit its verb and path (`set drink/Sunday Collar/glass`).
    `given` is what was answered, in the answerer's words: see `replies.py` for what it may be.
    `revision` is the file's revision in which this was written; for one not yet written, the revision last seen.
    """

    id: Line
    kind: Line
    given: Line = ""
    offers: tuple[Offer, ...] = ()
    ground: Ground | None = None
    asked: Line = ""
    blocking: bool = False
    revision: int = 0
    by: Line | None = None
    on: Line | None = None
    """When: ISO 8601, to the second, UTC."""
    earlier: tuple[Line, ...] = ()
    """What was answered before it, oldest first: an overwritten answer is kept, not lost."""
    comments: tuple[Line, ...] = ()
    """Comment lines that somebody wrote into the block by hand, without their `#`."""

    @property
    def is_edit(self) -> bool:
        return self.kind == EDIT


class Answers(_Frozen):
    """A whole answers file."""

    entries: tuple[Answer, ...] = ()
    revision: int = 0
    episode: Line | None = None
    comments: tuple[Line, ...] = ()

    def get(self, id: str) -> Answer | None:
        return next((a for a in self.entries if a.id == id), None)

    @property
    def given(self) -> tuple[Answer, ...]:
        """Those that were answered, in the order in which they are kept."""
        return tuple(a for a in self.entries if a.given)
