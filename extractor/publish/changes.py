"""The words put right in the captions: what, where, and taking single ones back.

This tells of the record; what a caption file then looks like is the business of the captions stage. Taking one back
leaves the word as it was heard in the captions. It does not change the recipes: a name in them is changed by an
answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from extractor.errors import PublishError
from extractor.record import Correction, Episode, Transcript
from extractor.visible import clock, line


@dataclass(frozen=True, slots=True)
class CaptionChange:
    """`id` is the same whenever the same captions are read: "w128" for one that begins with word 128.

    `cue` counts from 1, and `copies` tells in how many places the word stands (roll-up captions repeat it); both are
    None where no transcript was given. `applied` False: it is only thought likely, and the captions keep what was
    heard.
    """

    id: str
    heard: str
    written: str
    at_s: float | None
    cue: int | None
    copies: int | None
    confidence: float
    applied: bool


def change_id(correction: Correction) -> str:
    return f"w{correction.first_word}"


def caption_changes(episode: Episode, transcript: Transcript | None = None) -> tuple[CaptionChange, ...]:
    """All corrections in the order of the talk, those that are not applied too."""
    out = []
    for c in sorted(episode.corrections, key=lambda c: c.first_word):
        word = None
        if transcript is not None and 0 <= c.first_word < len(transcript.words):
            word = transcript.words[c.first_word]
        out.append(
            CaptionChange(
                id=change_id(c), heard=line(c.heard), written=line(c.written), at_s=c.start_s,
                cue=None if word is None else word.cue + 1, copies=None if word is None else len(word.copies),
                confidence=c.confidence, applied=c.applied,
            )
        )  # fmt: skip
    return tuple(out)


def take_back(episode: Episode, ids: Iterable[str]) -> Episode:
    """The record with these corrections not applied. Raises PublishError for an id that is none of its corrections."""
    wanted = set(ids)
    missing = sorted(wanted - {change_id(c) for c in episode.corrections})
    if missing:
        known = ", ".join(change_id(c) for c in episode.corrections if c.applied) or "none"
        raise PublishError(f"No change is called {', '.join(map(line, missing))}", hint=f"The changes are: {known}.")
    return episode.model_copy(
        update={
            "corrections": tuple(
                c.model_copy(update={"applied": False}) if change_id(c) in wanted else c for c in episode.corrections
            )
        }
    )


def changes_text(found: Sequence[CaptionChange]) -> str:
    """One line a change, for a terminal; ends in a line break. No control code of the captions gets through."""
    if not found:
        return "No words of the captions are changed.\n"
    rows = []
    for c in found:
        where = [clock(int(c.at_s))] if c.at_s is not None else []
        where += [f"cue {c.cue}"] if c.cue is not None else []
        where += [f"in {c.copies} places"] if c.copies is not None and c.copies > 1 else []
        state = "" if c.applied else "  (not applied: kept as heard)"
        rows.append(f"{c.id:<7} {', '.join(where):<24} {c.heard} → {c.written}{state}")
    return "\n".join(rows) + "\n"
