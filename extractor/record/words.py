"""The talk as timed words that know their place in the caption file."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in the decoded text of the file: `source[offset : offset + length]`."""

    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word, once, however often a roll-up caption repeats it.

    `text` is the word as shown to a viewer (entities decoded, tags left out, its punctuation kept).
    Times are seconds from the start of the recording, None where the file gives none; where a cue has times
    and its words have not, they are spread over the cue. `places` are its places in the file, first copy
    first; within one copy a word cut by tags has several places: `copies` groups them.
    """

    text: str
    start_s: float | None
    end_s: float | None
    cue: int
    copies: tuple[tuple[Place, ...], ...] = ()
    speaker: str | None = None
    paragraph: bool = False
    """True where the file starts a new paragraph or speaker with this word."""
    probability: float | None = None
    """The recogniser's own probability for the word, where the file gives one."""


@dataclass(frozen=True)
class Transcript:
    """A whole caption file, read. `text` is its words joined by one space; `starts[i]` is where word i begins there."""

    path: str | None
    kind: str
    """webvtt, subrip, ttml, timed-text, plain-text, segments."""
    source: str
    """The decoded text, to which all places refer."""
    encoding: str
    words: tuple[Word, ...]
    cues: int
    duration_s: float | None
    notes: tuple[str, ...] = field(default=())
    """What in the file was badly formed and how it was read, in words for the user."""
    well_formed: bool = True
    """False where the file breaks its format's rules: it is read as far as they say, and never written over."""

    @cached_property
    def text(self) -> str:
        return " ".join(w.text for w in self.words)

    @cached_property
    def starts(self) -> tuple[int, ...]:
        out, at = [], 0
        for w in self.words:
            out.append(at)
            at += len(w.text) + 1
        return tuple(out)
