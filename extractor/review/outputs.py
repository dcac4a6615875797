"""What gets published, as the page shows it before it is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from extractor.record import Correction, Episode
from extractor.review.job import Previews
from extractor.visible import clock, line, lines

SHOWN_BYTES = 400_000
"""A text file longer than this is shown as far as that."""
TYPES = {".html": "text/html; charset=utf-8", ".pdf": "application/pdf"}


@dataclass(frozen=True, slots=True)
class Output:
    """One file. `text` is None for what is shown in a frame."""

    path: str
    title: str
    text: str | None
    size: str


@dataclass(frozen=True, slots=True)
class Change:
    """`id` names it for `Job.publish`."""

    id: str
    clock: str
    at_s: float | None
    heard: str
    written: str


@dataclass(frozen=True)
class Outputs:
    cards: tuple[Output, ...]
    texts: tuple[Output, ...]
    captions: tuple[Output, ...]
    others: tuple[Output, ...]
    changes: tuple[Change, ...]
    problem: str | None
    notes: tuple[str, ...]


def media_type(path: str) -> str:
    return TYPES.get(PurePosixPath(path).suffix, "text/plain; charset=utf-8")


def outputs(previews: Previews, episode: Episode) -> Outputs:
    cards: list[Output] = []
    texts: list[Output] = []
    captions: list[Output] = []
    others: list[Output] = []
    for path, data in previews.files.items():
        suffix = PurePosixPath(path).suffix
        if path.startswith("cards/") and suffix == ".html":
            name = episode.drinks[len(cards)].name if len(cards) < len(episode.drinks) else ""
            cards.append(_output(path, data, framed=True, title=name))
        elif path.startswith("captions/"):
            captions.append(_output(path, data))
        elif suffix in (".txt", ".md") and not path.startswith("cards/"):
            texts.append(_output(path, data))
        else:
            others.append(_output(path, data, framed=True))
    return Outputs(
        tuple(cards), tuple(texts), tuple(captions), tuple(others), tuple(_changes(episode.corrections)),
        previews.problem, previews.notes,
    )  # fmt: skip


def _output(path: str, data: bytes, *, framed: bool = False, title: str = "") -> Output:
    name = PurePosixPath(path)
    text = None if framed else lines(data[:SHOWN_BYTES].decode("utf-8", "replace"))
    size = f"{len(data) / 1024:.0f} KB" if len(data) >= 1024 else f"{len(data)} bytes"
    return Output(path, title or line(name.stem.replace("-", " ")), text, size)


def _changes(corrections: Sequence[Correction]) -> list[Change]:
    applied = sorted((c for c in corrections if c.applied), key=lambda c: c.first_word)
    return [Change(f"w{c.first_word}", clock(c.start_s), c.start_s, c.heard, c.written) for c in applied]
