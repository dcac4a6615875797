"""The page, made of templates. Every text is made visible (no control codes, no direction marks) and escaped on its
way out, whoever put it in: that is the templates' default here and needs no thought in any of them."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

from extractor.record import Question
from extractor.review.drink import DrinkSheet, sheets
from extractor.review.job import Given, Job, Previews, ShownSheet, State
from extractor.review.marks import Mark, Places, marks
from extractor.review.outputs import Outputs, outputs
from extractor.review.question import Asked, asked, in_order
from extractor.review.talk import Paragraph, paragraphs
from extractor.visible import clock, line

if TYPE_CHECKING:
    from jinja2 import Environment

VIEWS = ("questions", "talk", "drinks", "publish")


def visible(value: Any) -> Any:
    """For a plain string; what is markup already (it was escaped) and numbers stay."""
    return line(value) if type(value) is str else value


@lru_cache(maxsize=1)
def environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    made = Environment(
        loader=PackageLoader("extractor.review"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, finalize=visible, auto_reload=False,
    )  # fmt: skip
    made.filters["clock"] = clock
    made.filters["kept_lines"] = made.filters["exact"] = _as_it_is
    return made


def _as_it_is(text: str) -> Any:
    """Escaped and no more: for a file's text, made visible line by line before (outputs.py), and for an id or a path,
    which must come back letter for letter and is never read by anybody."""
    from markupsafe import escape

    return escape(text)


@dataclass(frozen=True, slots=True)
class Tick:
    """One question on the gauge: answered, or open, and whether it must be answered."""

    done: bool
    must: bool


class View:
    """Everything that is shown of one state; each part is worked out when it is asked for."""

    def __init__(self, job: Job, places: Places, state: State, *, question: str | None = None) -> None:
        self.job, self.places, self.state, self.wanted = job, places, state, question

    @cached_property
    def questions(self) -> list[Question]:
        return in_order(self.state.episode.questions)

    @cached_property
    def at_hand(self) -> Asked | None:
        if not self.questions:
            return None
        found = next((q for q in self.questions if q.id == self.wanted), self.questions[0])
        return asked(found, self.job.talk, self.places, self.job.words)

    @property
    def place(self) -> int:
        """The place of the question at hand in the list, from 0."""
        hand = self.at_hand
        return 0 if hand is None else next(n for n, q in enumerate(self.questions) if q.id == hand.id)

    @property
    def must(self) -> int:
        return sum(q.blocking for q in self.questions)

    @property
    def advice(self) -> int:
        return len(self.questions) - self.must

    @property
    def answered(self) -> tuple[Given, ...]:
        """What was answered, the last first; what was put off is not answered."""
        open_ids = {q.id for q in self.questions}
        found = [g for g in self.state.given if g.given and g.id not in open_ids]
        return tuple(sorted(found, key=lambda g: -g.revision))

    @property
    def ticks(self) -> list[Tick]:
        done = [Tick(True, False) for g in self.answered if not g.edit]
        return [*done, *(Tick(False, q.blocking) for q in self.questions)]

    @cached_property
    def shown(self) -> tuple[ShownSheet, ...]:
        return tuple(self.job.sheets(self.state))

    @cached_property
    def drinks(self) -> tuple[DrinkSheet, ...]:
        return sheets(self.state.episode, self.shown, self.job.steps)

    @cached_property
    def amounts(self) -> Mapping[int, str]:
        """id(ingredient) -> its amount as a card shows it."""
        out: dict[int, str] = {}
        for d, s in zip(self.state.episode.drinks, self.shown, strict=True):
            pairs = [*zip(d.ingredients, s.items, strict=False), *zip(d.garnishes, s.garnishes, strict=False)]
            out.update({id(i): shown.shown.together() for i, shown in pairs})
        return out

    @cached_property
    def marks(self) -> tuple[Mark, ...]:
        return marks(self.job.talk, self.state.episode, self.amounts, self.places)

    @cached_property
    def paragraphs(self) -> tuple[Paragraph, ...]:
        return paragraphs(self.job.talk, self.state.episode, self.marks, self.places)

    @property
    def talk_version(self) -> str:
        """Changes where the talk is to be shown anew: with its corrections, its questions and what the drinks hold."""
        e = self.state.episode
        parts: list[object] = [c.applied for c in e.corrections]
        parts += [c.written for c in e.corrections]
        parts += [q.id for q in e.questions]
        parts += [(d.name, d.glass, [(i.name, i.amount) for i in (*d.ingredients, *d.garnishes)]) for d in e.drinks]
        return hashlib.sha256(repr(parts).encode("utf-8", "replace")).hexdigest()[:16]

    def outputs(self, previews: Previews) -> Outputs:
        return outputs(previews, self.state.episode)


def render(template: str, **values: object) -> str:
    return environment().get_template(template).render(**values)
