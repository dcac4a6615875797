"""The words of spoken measures, read from lexicon/measures/ once and kept frozen: which word is a number, a unit, a leaning.

A `Term` says all that one word can be; phrases of several words stand in tries (nested dicts, the end marked by END).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_phrases
from extractor.units import read_table

# What a word can be. One word can be several things: "second" is a time and an ordinal.
DIGIT = 1 << 0  # zero ... nine
TEEN = 1 << 1  # ten ... nineteen
TENS = 1 << 2  # twenty ... ninety
HUNDRED = 1 << 3
SCALE = 1 << 4  # thousand, million ...
LITERAL = 1 << 5  # 2, 2.5, 1,000
FRACTION = 1 << 6  # 1/2, ½
DENOM = 1 << 7  # half, quarter, thirds
GROUP = 1 << 8  # couple, pair, dozen
POINT = 1 << 9
AND = 1 << 10
ARTICLE = 1 << 11
OF = 1 << 12
THE = 1 << 13
TO = 1 << 14
OR = 1 << 15
FEW = 1 << 16
UNIT = 1 << 17
SECONDS = 1 << 18
DEGREE = 1 << 19
FAHRENHEIT = 1 << 20
CELSIUS = 1 << 21
PERCENT = 1 << 22
PROOF = 1 << 23
MONEY = 1 << 24
COMMA = 1 << 25
STOP = 1 << 26
HYPHEN = 1 << 27
ANOTHER = 1 << 28
EACH = 1 << 29
PLUS = 1 << 30
FILLER = 1 << 31
NOT_NOUN = 1 << 32  # a noun that a bare number before it counts, which makes it no measure
MISHEARD_NUMBER = 1 << 33
MISHEARD_UNIT = 1 << 34
FUNCTION = 1 << 35  # a word that cannot be part of a name: the, and, of, is, then, you ...
COLON = 1 << 36
OTHER_ORDINAL = 1 << 37  # 1st, 20th, 1990s, 5pm, 12:30
OVER = 1 << 38
NEGATIVE = 1 << 39

CARDINAL = DIGIT | TEEN | TENS | HUNDRED | SCALE | LITERAL
END = ""
OPENERS = ("between", "equal", "even", "same", "double", "twice", "overnight")
CONVENTION = "~"  # before a word of conventions.txt that is no unit of the record


@dataclass(frozen=True, slots=True)
class Term:
    """All that one word can be. `num` is its number, `den` its part of one, `unit` the record's unit, `seconds` its length."""

    text: str
    cls: int = 0
    num: Fraction | int | None = None
    den: Fraction | None = None
    plural: bool = False
    unit: str | None = None
    seconds: int = 0


Trie = dict[str, Any]


@dataclass(frozen=True)
class Vocabulary:
    terms: Mapping[str, Term]
    units: Trie
    leans_before: Trie
    leans_inner: Trie
    leans_after: Trie
    vague: Trie
    things: Trie
    firsts: frozenset[str]
    parts: frozenset[str]
    sizes: frozenset[str]
    after_things: frozenset[str]
    misheard_numbers: Mapping[str, int]
    misheard_units: Mapping[str, str]


LAST = Term("\0", STOP)


def grow(trie: Trie, phrase: Iterable[str], payload: object) -> None:
    """Adds a phrase to a trie; its payload stands under END."""
    node = trie
    for word in phrase:
        node = node.setdefault(word, {})
    node[END] = payload


def walk(trie: Trie, words: list[Term], i: int) -> tuple[Any, int] | None:
    """The longest phrase of the trie that begins at word i: its payload and the word after it."""
    node: Trie | None = trie.get(words[i].text)
    best: tuple[Any, int] | None = None
    while node is not None:
        i += 1
        if END in node:
            best = (node[END], i)
        node = node.get(words[i].text)
    return best


def _star(line: str) -> tuple[str, bool]:
    return (line[:-1].strip(), True) if line.endswith("*") else (line, False)


def _read(folder: Path, name: str, faults: list[str]) -> Mapping[str, tuple[str, ...]]:
    return read_phrases(folder / name, faults)


@lru_cache(maxsize=2)
def vocabulary(folder: Path | None = None) -> Vocabulary:
    """The words of `folder` (lexicon/measures by default). Raises LexiconError with every fault."""
    folder = folder or lexicon_folder() / "measures"
    faults: list[str] = []
    table: dict[str, dict[str, Any]] = {}

    def add(word: str, cls: int, **more: Any) -> None:
        entry = table.setdefault(word, {"cls": 0})
        entry["cls"] |= cls
        entry.update(more)

    for value, words in _read(folder, "numbers.txt", faults).items():
        n = int(value)
        cls = DIGIT if n < 10 else TEEN if n < 20 else TENS if n < 100 else HUNDRED if n == 100 else SCALE
        for word in words:
            add(word, cls, num=n)
    for value, words in _read(folder, "fractions.txt", faults).items():
        part = Fraction(value)
        for line in words:
            word, plural = _star(line)
            if part < 1:
                add(word, DENOM, den=part, plural=plural)
            else:
                add(word, GROUP, num=part)
    units: Trie = {}
    for unit, words in _read(folder, "units.txt", faults).items():
        for line in words:
            word, plural = _star(line)
            parts = word.split()
            grow(units, parts, (unit, plural))
            add(parts[0], UNIT)
            if len(parts) == 1:
                add(word, UNIT, unit=unit, plural=plural)
    for convention, said in read_table().said.items():
        for line in said:
            word, plural = _star(line)
            grow(units, word.split(), (CONVENTION + convention, plural))
            add(word.split()[0], UNIT)
    classes = _read(folder, "classes.txt", faults)
    simple = {
        "and": AND, "plus": PLUS, "article": ARTICLE, "of": OF, "the": THE, "point": POINT, "to": TO, "or": OR,
        "over": OVER, "few": FEW, "each": EACH, "another": ANOTHER, "filler": FILLER, "degree": DEGREE,
        "fahrenheit": FAHRENHEIT, "celsius": CELSIUS, "percent": PERCENT, "proof": PROOF, "money": MONEY,
        "function": FUNCTION, "negative": NEGATIVE,
    }  # fmt: skip
    for section, words in classes.items():
        if section.startswith("seconds "):
            for line in words:
                word, _plural = _star(line)
                add(word, SECONDS, seconds=int(section.split()[1]))
        elif section in simple:
            for line in words:
                add(line, simple[section])
        else:
            faults.append(f"classes.txt: unknown section [{section}]; expected one of {', '.join(sorted(simple))}")
    leans = _read(folder, "leans.txt", faults)
    tries: dict[str, Trie] = {"before": {}, "inner": {}, "after": {}}
    for section, words in leans.items():
        place, _, about = section.partition(" ")
        if place not in tries or about not in ("about", "lean"):
            faults.append(f"leans.txt: unknown section [{section}]; expected before|inner|after about|lean")
            continue
        for line in words:
            grow(tries[place], line.split(), about == "about")
    vague: Trie = {}
    for unit, words in _read(folder, "vague.txt", faults).items():
        for line in words:
            grow(vague, line.split(), None if unit == "none" else unit)
    things: Trie = {}
    thing_words = _read(folder, "things.txt", faults)
    for line in thing_words.get("thing", ()):
        word, plural = _star(line)
        grow(things, word.split(), plural)
    for words in _read(folder, "not_measures.txt", faults).values():
        for word in words:
            add(word, NOT_NOUN)
    misheard_numbers: dict[str, int] = {}
    misheard_units: dict[str, str] = {}
    for section, words in _read(folder, "misheard.txt", faults).items():
        kind, _, value = section.partition(" ")
        for word in words:
            if kind == "number":
                misheard_numbers[word] = int(value)
                add(word, MISHEARD_NUMBER)
            elif kind == "unit":
                misheard_units[word] = value
                add(word, MISHEARD_UNIT)
            else:
                faults.append(f"misheard.txt: unknown section [{section}]; expected number or unit")
    if faults:
        raise LexiconError(faults)
    return Vocabulary(
        terms={word: Term(word, **entry) for word, entry in table.items()},
        units=units,
        leans_before=tries["before"],
        leans_inner=tries["inner"],
        leans_after=tries["after"],
        vague=vague,
        things=things,
        firsts=frozenset((*tries["before"], *vague, *thing_words.get("part", ()), *OPENERS)),
        parts=frozenset(thing_words.get("part", ())),
        sizes=frozenset(thing_words.get("size", ())),
        after_things=frozenset(thing_words.get("after", ())),
        misheard_numbers=misheard_numbers,
        misheard_units=misheard_units,
    )
