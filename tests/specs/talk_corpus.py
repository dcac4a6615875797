"""Reads the corpora of talks beside this file, and makes caption files of them.

A talk begins with a line `== id: what it is about`; facts stand below it, a line each, then a blank line and the talk.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

WORDS_IN_A_CUE = 12
SECONDS_A_CUE = 4


@dataclass(frozen=True)
class Block:
    """One talk. `facts` are (key, value) as they stand there."""

    id: str
    about: str
    facts: tuple[tuple[str, str], ...]
    text: str


def blocks(name: str) -> Iterator[Block]:
    """The talks of a corpus, named by its file."""
    path = Path(__file__).with_name(name)
    lines = [ln for ln in path.read_text(encoding="utf-8").splitlines() if not ln.startswith("#")]
    for block in "\n".join(lines).split("\n== ")[1:]:
        head, _, text = block.partition("\n\n")
        title, *facts = head.splitlines()
        id_, _, about = title.partition(": ")
        pairs = tuple((key, value) for key, _, value in (f.partition(": ") for f in facts))
        yield Block(id_, about, pairs, " ".join(text.split()))


def captions(text: str) -> str:
    """A talk as a WebVTT file, a dozen words a cue."""
    words = text.split()
    cues = [" ".join(words[k : k + WORDS_IN_A_CUE]) for k in range(0, len(words), WORDS_IN_A_CUE)]
    out = ["WEBVTT", ""]
    for k, cue in enumerate(cues):
        a, b = k * SECONDS_A_CUE, (k + 1) * SECONDS_A_CUE
        out += [f"00:{a // 60:02}:{a % 60:02}.000 --> 00:{b // 60:02}:{b % 60:02}.000", cue, ""]
    return "\n".join(out)
