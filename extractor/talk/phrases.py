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
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractor.errors import LexiconError

ANY = "_"
NUMBER = "#"
NUMBERS: Mapping[str, int] = {
    **{w: n for n, w in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
        "seventeen eighteen nineteen twenty".split()
    )},
    "thirty": 30, "forty": 40, "fifty": 50, "dozen": 12, "couple": 2, "pair": 2,
}  # fmt: skip
_PIECE = re.compile(r"n't|'[a-z]+|[a-z0-9.&é-]+?(?=n't|'|$)|[^\s]")
_WHOLE = {"gonna": ("gon", "na"), "wanna": ("wan", "na"), "gotta": ("got", "ta"), "cannot": ("can", "not")}


@dataclass(frozen=True, slots=True)
class Element:
    options: tuple[tuple[Element, ...] | str, ...]
    """Each a plain word (or ANY or NUMBER), or a sequence of elements."""
    least: int = 1
    most: int = 1


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
        options: tuple[tuple[Element, ...] | str, ...]
        if c == "(":
            inner, at = _parse(text, at + 1, where)
            if at >= len(text):
                raise LexiconError([f"{where}: a bracket is not closed"])
            at += 1
            options = tuple(tuple(a) for a in inner)
        else:
            end = at
            while end < len(text) and text[end] not in " ()|?*":
                end += 1
            word = text[at:end]
            at = end
            if word == "__":
                options, least, most = (ANY,), 0, 3
            elif word in (ANY, NUMBER):
                options = (word,)
            else:
                parts = pieces(word)
                options = (parts[0],) if len(parts) == 1 else (tuple(Element((p,)) for p in parts),)
        if at < len(text) and text[at] in "?*":
            least, most = 0, 1 if text[at] == "?" else 3
            at += 1
        if any(o == () for o in options):
            options, least = tuple(o for o in options if o != ()), 0
        alternatives[-1].append(Element(options, least, most))
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
        for o in e.options:
            if isinstance(o, str):
                if o in (ANY, NUMBER):
                    return None
                out.add(o)
            else:
                inner = _firsts(o)
                if inner is None:
                    return None
                out |= inner
        if e.least:
            return out
    return out


def _seconds(elements: Sequence[Element]) -> set[str] | None:
    """The words that must stand second where a phrase is to match; None where that cannot be told."""
    first, rest = elements[0], elements[1:]
    one_word = first.least == first.most == 1 and all(isinstance(o, str) for o in first.options)
    if not one_word or not any(e.least for e in rest):
        return None
    return _firsts(rest)


def _ends(elements: Sequence[Element], words: Sequence[str], at: int, stops: Sequence[bool]) -> Iterator[int]:
    """All places where the elements, matched from `at`, can end."""
    if not elements:
        yield at
        return
    first, rest = elements[0], elements[1:]
    seen: set[int] = set()
    frontier = {at}
    for turn in range(first.most + 1):
        if turn >= first.least:
            for f in sorted(frontier, reverse=True):
                if f not in seen:
                    seen.add(f)
                    yield from _ends(rest, words, f, stops)
        if turn == first.most:
            break
        after: set[int] = set()
        for f in frontier:
            if f >= len(words) or (f > at and stops[f]):
                continue
            if f > 0 and f != at and stops[f]:
                continue
            for o in first.options:
                if isinstance(o, str):
                    word = words[f]
                    if o == word or o == ANY or (o == NUMBER and (word in NUMBERS or word.isdigit())):
                        after.add(f + 1)
                else:
                    after.update(_ends(o, words, f, stops))
        frontier = after
        if not frontier:
            break


class PhraseIndex:
    """All phrases of some sections, by the word that they begin with. `find` gives (section, first, end) in tokens."""

    def __init__(self, phrases: Iterable[Phrase]) -> None:
        self._by_first: dict[str, list[tuple[Phrase, set[str] | None]]] = {}
        self._any: list[tuple[Phrase, set[str] | None]] = []
        for p in phrases:
            firsts, seconds = _firsts(p.elements), _seconds(p.elements)
            if firsts is None:
                self._any.append((p, seconds))
            else:
                for w in firsts:
                    self._by_first.setdefault(w, []).append((p, seconds))

    def find(self, words: Sequence[str], stops: Sequence[bool]) -> list[tuple[str, int, int]]:
        """words: lower-case tokens without punctuation; stops[i]: a full stop stands before token i.

        Linear in the number of words for a given set of phrases.
        """
        out: list[tuple[str, int, int]] = []
        free: dict[str, int] = {}
        for i, word in enumerate(words):
            best: dict[str, int] = {}
            after = words[i + 1] if i + 1 < len(words) else ""
            for p, seconds in (*self._by_first.get(word, ()), *self._any):
                if (seconds is not None and after not in seconds) or free.get(p.section, 0) > i:
                    continue
                end = max((e for e in _ends(p.elements, words, i, stops) if not any(stops[i + 1 : e])), default=i)
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
