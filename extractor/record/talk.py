"""The talk after it has been read once, as spans over its text: what the talk stage gives and the specs stage takes.

All offsets are character offsets into `Transcript.text`; spans of one sort do not overlap and stand in order.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from extractor.record.measure import Measure
from extractor.record.words import Transcript

if TYPE_CHECKING:
    from extractor.lexicon import Entry


@dataclass(frozen=True, slots=True)
class Cue:
    """A phrase that tells what the speaker is doing: a new drink, a correction, a recap, an aside ..."""

    start: int
    end: int
    label: str
    """`file.section` of lexicon/talk/, e.g. "turns.correction"."""


@dataclass(frozen=True, slots=True)
class Clause:
    """The shortest stretch of talk that says one thing. `sentence` numbers the sentences it belongs to."""

    start: int
    end: int
    sentence: int


@dataclass(frozen=True, slots=True)
class Guess:
    """A name that the heard words may be."""

    name: str
    lexicon_id: str | None
    confidence: float


@dataclass(frozen=True, slots=True)
class Mention:
    """A thing named: an ingredient, a glass, a classic drink.

    `name` is the spelling to publish; `entry` is None where the lexicon has none. `corrected` where the heard words
    are something else than the name (see `confidence`, `apply`); `guesses` are the candidates, best first.
    """

    start: int
    end: int
    name: str
    heard: str
    group: str
    """ingredient, glass, classic."""
    entry: Entry | None
    how: str
    """exact, other name, misheard, sound, spelling, head, unknown."""
    confidence: float = 1.0
    apply: bool = True
    guesses: tuple[Guess, ...] = ()
    core: tuple[int, int] | None = None
    """The part of the span that the lexicon's name covers, where adjectives were added."""
    written: str = ""
    """What the captions ought to say there: `name`, or that other name of the thing which was heard."""


@dataclass(frozen=True, slots=True)
class Count:
    """A number of drinks, people or ingredients that the speaker promises: not an amount."""

    start: int
    end: int
    label: str
    """drinks, servings, ingredients."""
    number: int


@dataclass(frozen=True, slots=True)
class Technique:
    start: int
    end: int
    name: str


@dataclass(frozen=True)
class Talk:
    transcript: Transcript
    clauses: tuple[Clause, ...]
    measures: tuple[Measure, ...]
    mentions: tuple[Mention, ...]
    cues: tuple[Cue, ...]
    techniques: tuple[Technique, ...]
    counts: tuple[Count, ...] = field(default=())
    punctuated: bool = True

    @property
    def text(self) -> str:
        return self.transcript.text

    @cached_property
    def lower(self) -> str:
        """The text in lower case with plain apostrophes, offset for offset."""
        text = self.text.replace("’", "'")
        lower = text.lower()
        return lower if len(lower) == len(text) else "".join(c.lower() if len(c.lower()) == 1 else c for c in text)

    @cached_property
    def _clause_starts(self) -> list[int]:
        return [c.start for c in self.clauses]

    def clause_at(self, offset: int) -> int:
        """The number of the clause in which an offset lies."""
        return max(0, bisect_right(self._clause_starts, offset) - 1)

    def word_at(self, offset: int) -> int:
        """The number of the word in which an offset lies."""
        return max(0, bisect_right(self.transcript.starts, offset) - 1)

    def second(self, offset: int) -> float | None:
        words = self.transcript.words
        return words[self.word_at(offset)].start_s if words else None

    def second_after(self, offset: int) -> float | None:
        words = self.transcript.words
        return words[self.word_at(max(0, offset - 1))].end_s if words else None
