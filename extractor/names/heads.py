"""Head words as they are misheard behind the rest of a name ("hazel nut liquor", "honey's are up", "dark room")."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from extractor.errors import LexiconError
from extractor.lexicon import plain, read_phrases

SECTIONS = ("sure", "torn", "likely")


@dataclass(frozen=True, slots=True)
class MisheardHead:
    """What a head word was heard as. `sort`: the section of heads.txt."""

    head: str
    heard: tuple[str, ...]
    sort: str


@dataclass(frozen=True, slots=True)
class HeadPlace:
    """Tokens `start` to `end` (not included) that sound like a head word. `sort`: see MisheardHead."""

    start: int
    end: int
    head: str
    sort: str


@lru_cache(maxsize=4)
def load_heads(folder: Path) -> Mapping[str, tuple[MisheardHead, ...]]:
    """heads.txt by the first word heard, the longest first. Raises LexiconError with every line that cannot be read."""
    if not (folder / "heads.txt").is_file():
        return {}
    faults: list[str] = []
    data = read_phrases(folder / "heads.txt", faults)
    faults += [f"heads.txt: [{section}] is no section of it" for section in data if section not in SECTIONS]
    out: dict[str, list[MisheardHead]] = {}
    for section, lines in data.items():
        for line in lines:
            head, colon, heard = line.partition(":")
            every = [tuple(plain(h).split()) for h in heard.split("|")]
            if not colon or not all(every):
                faults.append(f"heads.txt: expected a head word, a colon and how it was heard, found {line!r}")
                continue
            for h in every:
                out.setdefault(h[0], []).append(MisheardHead(plain(head), h, section))
    if faults:
        raise LexiconError(faults)
    return {first: tuple(sorted(found, key=lambda f: -len(f.heard))) for first, found in out.items()}


def head_places(words: Sequence[str], heads: Mapping[str, Sequence[MisheardHead]]) -> list[HeadPlace]:
    """Where plain words sound like a head word. Places may overlap."""
    return [
        HeadPlace(i, i + len(h.heard), h.head, h.sort)
        for i, word in enumerate(words)
        for h in heads.get(word, ())
        if tuple(words[i : i + len(h.heard)]) == h.heard
    ]
