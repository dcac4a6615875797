"""What we cannot go on from: what went wrong, where, and what to do about it.

An odd talk is never an error (it becomes a question); a file that cannot be read always is.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Where:
    """A place a user can go to: any of a file, a line (from 1), a cue (from 1) and a second of the recording."""

    file: str | None = None
    line: int | None = None
    cue: int | None = None
    second: float | None = None

    def __str__(self) -> str:
        parts = []
        if self.file:
            parts.append(self.file)
        if self.line is not None:
            parts.append(f"line {self.line}")
        if self.cue is not None:
            parts.append(f"cue {self.cue}")
        if self.second is not None:
            parts.append(f"second {self.second:g}")
        return ", ".join(parts)


class PourwordError(Exception):
    """An error that a user sees in words. `hint` says what to do; it is required, so that no error leaves one stuck."""

    def __init__(self, what: str, *, where: Where | None = None, hint: str) -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.hint = hint

    def __str__(self) -> str:
        place = f" ({self.where})" if self.where and str(self.where) else ""
        return f"{self.what}{place}\n{self.hint}"


class CaptionError(PourwordError):
    """A caption file that cannot be read, or must not be written over."""


class LexiconError(PourwordError):
    """A data file with faults. `faults` lists every one of them as `file:line: what`, not only the first."""

    def __init__(self, faults: list[str]) -> None:
        first = faults[0] if faults else "no fault named"
        more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
        super().__init__(
            f"The lexicon has {len(faults)} fault{'s' if len(faults) != 1 else ''}: {first}{more}",
            hint="Mend the named line; the head of each lexicon file shows its syntax.",
        )
        self.faults = faults


class AnswerError(PourwordError):
    """An answers file, or an answer in it, that cannot be understood."""


class PublishError(PourwordError):
    """Something that must not be published or written yet, and why."""
