"""The phrase language of lexicon/talk/: reading it, and finding its phrases in a spaCy Doc.

    phrase  = element+
    element = (word | "(" phrase ("|" phrase)* ")" | "_" | "__" | "#") ("?" | "*")?

`_` is any word, `__` up to three, `#` a small number in words or digits; `?` may be left out, `*` none to three times.
Words are compared in lower case, contractions as spaCy's tokenizer splits them ("it's" is "it" and "'s").
A match may run over commas and line breaks, never over a full stop. Of several matches of one section that begin at
one token the longest counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractor.errors import LexiconError
from extractor.numbers import NUMBERS as NUMBERS
from extractor.numbers import is_number

ANY = "_"
NUMBER = "#"
_PIECE = re.compile(r"n't|'[a-z]+|[a-z0-9.&é-]+?(?=n't|'|$)|[^\s]")
_WHOLE = {"gonna": ("gon", "na"), "wanna": ("wan", "na"), "gotta": ("got", "ta"), "cannot": ("can", "not")}


@dataclass(frozen=True, slots=True)
class Element:
    """One of several words (ANY and NUMBER among them) or sequences of elements, `least` to `most` times."""

    words: frozenset[str]
    sequences: tuple[tuple[Element, ...], ...] = ()
    least: int = 1
    most: int = 1

    def takes(self, word: str) -> bool:
        if word in self.words or ANY in self.words:
            return True
        return NUMBER in self.words and is_number(word)


@dataclass(frozen=True, slots=True)
class Phrase:
    section: str
    elements: tuple[Element, ...]


def pieces(word: str) -> tuple[str, ...]:
    """A word as spaCy's English tokenizer splits it."""
    if word in _WHOLE:
        return _WHOLE[word]
    return tuple(_PIECE.findall(word)) or (word,)


def _parse(text: str, at: int, where: str) -> tuple[list[list[Element]], int]:
    """alternatives = phrase ("|" phrase)* up to ")" or the end."""
    alternatives: list[list[Element]] = [[]]
    while at < len(text):
        c = text[at]
        if c.isspace():
            at += 1
            continue
        if c == ")":
            break
        if c == "|":
            alternatives.append([])
            at += 1
            continue
        least, most = 1, 1
        words: list[str] = []
        sequences: list[tuple[Element, ...]] = []
        if c == "(":
            inner, at = _parse(text, at + 1, where)
            if at >= len(text):
                raise LexiconError([f"{where}: a bracket is not closed"])
            at += 1
            for option in inner:
                if not option:
                    least = 0
                elif len(option) == 1 and option[0].least == option[0].most == 1:
                    words += option[0].words
                    sequences += option[0].sequences
                else:
                    sequences.append(tuple(option))
        else:
            end = at
            while end < len(text) and text[end] not in " ()|?*":
                end += 1
            word = text[at:end]
            at = end
            parts = (word,) if word in (ANY, NUMBER) else pieces(word)
            if word == "__":
                words, least, most = [ANY], 0, 3
            elif len(parts) == 1:
                words = list(parts)
            else:
                sequences = [tuple(Element(frozenset((p,))) for p in parts)]
        if at < len(text) and text[at] in "?*":
            least, most = 0, 1 if text[at] == "?" else 3
            at += 1
        alternatives[-1].append(Element(frozenset(words), tuple(sequences), least, most))
    return alternatives, at


def parse_phrase(text: str, section: str, where: str) -> Phrase:
    """One line of a phrase file. Raises LexiconError where a bracket is open."""
    alternatives, at = _parse(text, 0, where)
    if at < len(text) or len(alternatives) != 1:
        raise LexiconError([f"{where}: {text!r} has a stray `)` or `|`"])
    return Phrase(section, tuple(alternatives[0]))


def _firsts(elements: Sequence[Element]) -> set[str] | None:
    """The words that a phrase can begin with; None where it can begin with any."""
    out: set[str] = set()
    for e in elements:
        if ANY in e.words or NUMBER in e.words:
            return None
        out |= e.words
        for sequence in e.sequences:
            inner = _firsts(sequence)
            if inner is None:
                return None
            out |= inner
        if e.least:
            return out
    return out


def _ends(elements: Sequence[Element], words: Sequence[str], starts: set[int], limit: int) -> set[int]:
    """All places where the elements, matched from any of `starts`, can end; no word from `limit` on is taken."""
    for e in elements:
        ends = set(starts) if e.least == 0 else set()
        turn, frontier = 0, starts
        while frontier and turn < e.most:
            turn += 1
            after: set[int] = set()
            for f in frontier:
                if f < limit and e.takes(words[f]):
                    after.add(f + 1)
                if e.sequences and f < len(words):
                    for sequence in e.sequences:
                        after |= _ends(sequence, words, {f}, limit)
            if turn >= e.least:
                ends |= after
            frontier = after
        starts = ends
        if not starts:
            break
    return starts


class PhraseIndex:
    """All phrases of some sections, by the word that they begin with. `find` gives (section, first, end) in tokens."""

    def __init__(self, phrases: Iterable[Phrase]) -> None:
        self._by_first: dict[str, list[Phrase]] = {}
        self._any: list[Phrase] = []
        for p in phrases:
            firsts = _firsts(p.elements)
            if firsts is None:
                self._any.append(p)
            else:
                for w in firsts:
                    self._by_first.setdefault(w, []).append(p)

    def find(self, words: Sequence[str], stops: Sequence[bool]) -> list[tuple[str, int, int]]:
        """words: lower-case tokens without punctuation; stops[i]: a full stop stands before token i.

        Linear in the number of words for a given set of phrases.
        """
        out: list[tuple[str, int, int]] = []
        free: dict[str, int] = {}
        limit = 0
        for i, word in enumerate(words):
            if limit <= i:
                # The first full stop behind this word: no match runs over it.
                limit = next((k for k in range(i + 1, len(words)) if stops[k]), len(words))
            best: dict[str, int] = {}
            for p in (*self._by_first.get(word, ()), *self._any):
                if free.get(p.section, 0) > i:
                    continue
                end = max(_ends(p.elements, words, {i}, limit), default=i)
                if end > i and end > best.get(p.section, i):
                    best[p.section] = end
            for section, end in best.items():
                out.append((section, i, end))
                free[section] = end
        return out


@lru_cache(maxsize=8)
def _index(files: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]) -> PhraseIndex:
    phrases = [
        parse_phrase(line, f"{stem}.{section}", f"{stem}.txt [{section}]")
        for stem, sections in files
        for section, lines in sections
        for line in lines
    ]
    return PhraseIndex(phrases)


def phrase_index(phrases: Mapping[str, Mapping[str, Sequence[str]]], stems: Sequence[str]) -> PhraseIndex:
    """The index of the named files of lexicon/talk/. Built once for the same files."""
    return _index(tuple((s, tuple((k, tuple(v)) for k, v in phrases[s].items())) for s in stems))
