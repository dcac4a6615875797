"""What every format's reader gives: cues, and the pieces that a cue's text is made of, with their places."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

LETTERS_A_SECOND = 15.0
"""Of talk, where the file does not say when a line ends: about 160 words a minute (common practice, no source)."""


class Cue(NamedTuple):
    """One caption. Its text stands at `source[offset:stop]`; times are seconds, None where the file gives none."""

    start_s: float | None
    end_s: float | None
    offset: int
    stop: int
    speaker: str | None = None
    paragraph: bool = False
    """The file starts a new paragraph here."""


class Piece(NamedTuple):
    """A stretch of a cue's text as shown.

    Where `len(text) == length` it stands so in the source; else the source has it in another form (`&amp;`).
    A piece of length 0 is not in the source: a stamp, a change of speaker (both without text), or a space that
    a tag stands for.
    """

    text: str
    offset: int
    length: int
    stamp_s: float | None = None
    speaker: str | None = None
    turn: bool = False
    """A speaker's words begin or end here (`speaker` is None where they end)."""
    ends: bool = False
    """The stamp is the time at which the words before it end, not one at which words begin."""


@dataclass(slots=True)
class Reading:
    """A file's cues in the order of the file."""

    kind: str
    cues: list[Cue]
    pieces: Callable[[str, Cue], list[Piece]] | None = None
    """Gives the pieces of a cue whose text holds any of `marks`; None where text is always plain."""
    marks: str = ""
    """Characters without which a cue's text in the source is what is shown."""
    notes: list[str] = field(default_factory=list)
    well_formed: bool = True
    text: Callable[[Cue], str | None] | None = None
    """What a cue with `marks` shows, where that can be told faster than by its pieces; None where it cannot."""
    labelled: bool = False
    """Speakers are names that stood before a colon at the beginning of the text."""
    escape: Callable[[str, int], str] | None = None
    """How a new text is written at a place of this file; None where it is written as it is."""


def line_number(source: str, offset: int) -> int:
    """The line, from 1, of a place in the decoded text; CRLF, CR and LF each end one."""
    before = source[:offset]
    return before.count("\n") + before.count("\r") - before.count("\r\n") + 1
