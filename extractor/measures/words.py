"""The words of spoken measures, read once from lexicon/measures/: what one word can be, and the phrases of several.

A `Term` says all that one word can be, as bits. Phrases stand in tries: nested dicts, the payload under END.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
THE = 1 << 13  # the, this, my ...
TO = 1 << 14
OR = 1 << 15
FEW = 1 << 16
UNIT = 1 << 17  # first word of a unit
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
FILLER = 1 << 31  # um: left out
COLON = 1 << 32
ORDINAL = 1 << 33  # 1st, 1990s, 5pm, 12:30
OVER = 1 << 34
NEGATIVE = 1 << 35
FUNCTION = 1 << 36  # a word that cannot be part of a name: then, into, you, shake
NOT_NOUN = 1 << 37  # what a bare number counts when it is no measure: drinks, people
NOT_BEFORE = 1 << 38  # "number two", "these three"
NOT_BEFORE_OF = 1 << 39
NOT_HALF = 1 << 40  # "half awake"
LEADS = 1 << 41  # "it's twelve"
MASS = 1 << 42  # ends in -s and is not counted: bitters
HOLDER = 1 << 43  # "a pint glass"
PEOPLE = 1 << 44  # "four of us"
VAGUE = 1 << 45  # first word of a vague amount
LITTLE = 1 << 46
LAST_OF = 1 << 47  # "an absinthe rinse"
WITH_VERB = 1 << 48  # "top that up with"
PART = 1 << 49  # juice, zest ... of a thing
SIZE = 1 << 50
LEAN = 1 << 51  # first word of a leaning that stands before
OPENER = 1 << 52  # between, equal, same, overnight ...
MISHEARD = 1 << 53
CLOCK = 1 << 54  # past, o'clock
NOT_LITTLE = 1 << 55
INNER = 1 << 56  # first word of a leaning that stands between number and unit
DESCRIBES = 1 << 57  # before "one": which of several, "the red one"

CARDINAL = DIGIT | TEEN | TENS | HUNDRED | SCALE | LITERAL
NUMERIC = CARDINAL | FRACTION | DENOM | GROUP | POINT
MARK = COMMA | STOP | HYPHEN | COLON
END = ""
LONE, MANY, BOTH = 0, 1, 2  # what a thing's word says: lime, limes, star anise
CONVENTION = "~"  # before a word of conventions.txt that is no unit of the record
OPENERS = (
    "between", "from", "anywhere", "somewhere", "equal", "even", "same", "double", "twice", "half", "overnight",
    "ditto", "some", "as",
)  # fmt: skip

NEAR = (
    "tool", "putting", "edge", "rate", "weak", "subject", "converting", "measured so", "adding", "behind counted",
    "whole of", "sizing", "dated", "herb", "powder", "liking", "paid", "past before", "past behind", "lasting",
    "not strength", "not heat", "not amount", "owned", "best", "possibly", "no top", "juice", "no word",
    "spooned", "usual", "stands at", "taking", "taker", "told of", "only", "of it", "gets", "heads list",
    "describes a thing",
)  # fmt: skip

Trie = dict[str, Any]


class Term:
    """All that one word can be: `cls` its bits, `num` its number, `den` its part of one, `seconds` its length of
    time.
    """

    __slots__ = ("cls", "den", "num", "plural", "seconds", "text")

    def __init__(
        self,
        text: str,
        cls: int = 0,
        num: Fraction | int | None = None,
        den: Fraction | None = None,
        plural: bool = False,
        seconds: int = 0,
    ) -> None:
        self.text = text
        self.cls = cls
        self.num = num
        self.den = den
        self.plural = plural
        self.seconds = seconds

    def __repr__(self) -> str:
        return f"Term({self.text!r}, {self.cls:#x}, {self.num})"


LAST = Term("\0", STOP)


@dataclass(frozen=True, slots=True)
class Vague:
    """A word or phrase for an amount that does not measure; `needs` is "", "of", "name", "of or name" or "told"."""

    unit: str | None
    needs: str
    plural: bool = False


@dataclass(frozen=True)
class Vocabulary:
    """Everything that lexicon/measures/ says, frozen."""

    terms: Mapping[str, Term]
    units: Trie
    leans_before: Trie
    leans_inner: Trie
    leans_after: Trie
    vague: Trie
    phrases: Trie
    things: Trie
    misheard: Trie
    sounds: Mapping[str, str]
    last_of: Mapping[str, str]
    with_verbs: Mapping[str, str]
    after_things: frozenset[str]
    near: Mapping[str, frozenset[str]]


def grow(trie: Trie, phrase: Iterable[str], payload: object) -> None:
    """Adds a phrase to a trie; its payload stands under END."""
    node = trie
    for word in phrase:
        node = node.setdefault(word, {})
    node[END] = payload


def walk(trie: Trie, words: Sequence[Term], i: int) -> tuple[Any, int] | None:
    """The longest phrase of the trie that begins at word i: its payload and the word after it."""
    node: Trie | None = trie.get(words[i].text)
    best: tuple[Any, int] | None = None
    while node is not None:
        i += 1
        if END in node:
            best = (node[END], i)
        node = node.get(words[i].text)
    return best


def starred(line: str) -> tuple[str, bool]:
    """`ounces *` is ("ounces", True)."""
    return (line.rstrip("*").strip(), True) if line.endswith("*") else (line, False)


_CLASSES = {
    "and": AND, "plus": PLUS, "article": ARTICLE, "of": OF, "the": THE, "point": POINT, "to": TO, "or": OR, "over":
    OVER, "few": FEW, "each": EACH, "another": ANOTHER, "filler": FILLER, "degree": DEGREE, "fahrenheit": FAHRENHEIT,
    "celsius": CELSIUS, "percent": PERCENT, "proof": PROOF, "money": MONEY, "function": FUNCTION, "negative": NEGATIVE,
    "clock": CLOCK, "describes": DESCRIBES,
}  # fmt: skip
_NOT = {
    "noun behind": NOT_NOUN, "word before": NOT_BEFORE, "word before of": NOT_BEFORE_OF, "behind half": NOT_HALF,
    "may stand before": LEADS, "mass plural": MASS, "holder": HOLDER, "people": PEOPLE,
}  # fmt: skip


class _Table:
    """Words and their bits while they are gathered."""

    def __init__(self) -> None:
        self.words: dict[str, dict[str, Any]] = {}

    def add(self, word: str, cls: int, **more: Any) -> None:
        entry = self.words.setdefault(word, {"cls": 0})
        entry["cls"] |= cls
        entry.update(more)


def _unknown(name: str, section: str, expected: Iterable[str]) -> str:
    return f"{name}: unknown section [{section}]; expected one of {', '.join(sorted(expected))}"


def _numbers(table: _Table, sections: Mapping[str, Sequence[str]]) -> None:
    for value, words in sections.items():
        n = int(value)
        cls = DIGIT if n < 10 else TEEN if n < 20 else TENS if n < 100 else HUNDRED if n == 100 else SCALE
        for word in words:
            table.add(word, cls, num=n)


def _fused(table: _Table) -> None:
    """ "twentyone" and the like, written as one word: each a number that nothing is added to, like a teen."""
    known = [(word, entry) for word, entry in table.words.items() if entry["cls"] & (TENS | DIGIT)]
    for tens, entry in known:
        for digit, other in known:
            if entry["cls"] & TENS and other["cls"] & DIGIT and other["num"]:
                table.add(tens + digit, TEEN, num=entry["num"] + other["num"])


def _fractions(table: _Table, sections: Mapping[str, Sequence[str]]) -> None:
    for value, words in sections.items():
        part = Fraction(value)
        for line in words:
            word, plural = starred(line)
            if part < 1:
                table.add(word, DENOM, den=part, plural=plural)
            else:
                table.add(word, GROUP, num=int(part), plural=plural)


def _units(table: _Table, sections: Mapping[str, Sequence[str]]) -> Trie:
    units: Trie = {}
    for unit, words in sections.items():
        for line in words:
            word, plural = starred(line)
            parts = word.split()
            grow(units, parts, (unit, plural))
            table.add(parts[0], UNIT)
    for convention, said in read_table().said.items():
        for line in said:
            word, plural = starred(line)
            grow(units, word.split(), (CONVENTION + convention, plural))
            table.add(word.split()[0], UNIT)
    return units


def _classes(table: _Table, sections: Mapping[str, Sequence[str]], faults: list[str]) -> None:
    for section, words in sections.items():
        if section.startswith("seconds "):
            for line in words:
                word, plural = starred(line)
                table.add(word, SECONDS, seconds=int(section.split()[1]), plural=plural)
        elif section in _CLASSES:
            for word in words:
                table.add(word, _CLASSES[section])
        else:
            faults.append(_unknown("classes.txt", section, _CLASSES))


def _leans(table: _Table, sections: Mapping[str, Sequence[str]], faults: list[str]) -> dict[str, Trie]:
    tries: dict[str, Trie] = {"before": {}, "inner": {}, "after": {}}
    for section, words in sections.items():
        place, _, about = section.partition(" ")
        if place not in tries or about not in ("about", "lean"):
            faults.append(_unknown("leans.txt", section, ("before about", "before lean", "inner lean", "after about")))
            continue
        for line in words:
            parts = line.split()
            grow(tries[place], parts, about == "about")
            if place == "before":
                table.add(parts[0], LEAN)
            elif place == "inner":
                table.add(parts[0], INNER)
    return tries


def _vague(
    table: _Table, sections: Mapping[str, Sequence[str]], faults: list[str]
) -> tuple[Trie, Trie, dict[str, str], dict[str, str]]:
    nouns: Trie = {}
    phrases: Trie = {}
    last_of: dict[str, str] = {}
    with_verbs: dict[str, str] = {}
    for section, words in sections.items():
        kind, _, unit = section.partition(" ")
        for line in words:
            word, plural = starred(line)
            parts = word.split()
            if section in ("noun", "noun of", "little"):
                needs = {"noun": "", "noun of": "of", "little": "name"}[section]
                before = walk(nouns, [Term(p) for p in parts] + [LAST], 0)
                if section == "little" and before is not None and before[1] == len(parts):
                    needs = "of or name" if before[0].needs == "of" else ""
                grow(nouns, parts, Vague(None, needs, plural))
                table.add(parts[0], VAGUE)
                if section == "little":
                    table.add(parts[0], LITTLE)
            elif section == "not little":
                table.add(word, NOT_LITTLE)
            elif section == "told":
                grow(nouns, parts, Vague(None, "told", plural))
                table.add(parts[0], VAGUE)
            elif kind == "phrase":
                grow(phrases, parts, None if unit == "none" else unit)
                table.add(parts[0], VAGUE)
            elif kind == "last":
                last_of[word] = unit
                table.add(word, LAST_OF)
            elif kind == "with":
                with_verbs[word] = unit
                table.add(word, WITH_VERB)
            else:
                faults.append(
                    _unknown("vague.txt", section, ("noun", "noun of", "little", "phrase U", "last U", "with U"))
                )
                break
    return nouns, phrases, last_of, with_verbs


@lru_cache(maxsize=2)
def vocabulary(folder: Path | None = None) -> Vocabulary:
    """The words of `folder` (lexicon/measures by default). Raises LexiconError with every fault."""
    folder = folder or lexicon_folder() / "measures"
    faults: list[str] = []

    def read(name: str) -> Mapping[str, tuple[str, ...]]:
        return read_phrases(folder / name, faults)

    table = _Table()
    _numbers(table, read("numbers.txt"))
    _fused(table)
    _fractions(table, read("fractions.txt"))
    units = _units(table, read("units.txt"))
    _classes(table, read("classes.txt"), faults)
    tries = _leans(table, read("leans.txt"), faults)
    nouns, phrases, last_of, with_verbs = _vague(table, read("vague.txt"), faults)
    things: Trie = {}
    thing_words = read("things.txt")
    for line in thing_words.get("thing", ()):
        word, plural = starred(line)
        grow(things, word.split(), BOTH if line.endswith("**") else MANY if plural else LONE)
    for word in thing_words.get("part", ()):
        table.add(word, PART)
    for word in thing_words.get("size", ()):
        table.add(word, SIZE)
    for section, words in read("not_measures.txt").items():
        if section not in _NOT:
            faults.append(_unknown("not_measures.txt", section, _NOT))
            continue
        for word in words:
            table.add(word, _NOT[section])
    near = {section: frozenset(words) for section, words in read("neighbours.txt").items()}
    faults += [f"neighbours.txt: section [{section}] is missing" for section in NEAR if section not in near]
    faults += [_unknown("neighbours.txt", section, NEAR) for section in near if section not in NEAR]
    misheard: Trie = {}
    for section, words in read("misheard.txt").items():
        for line in words:
            parts = line.split()
            node = walk(misheard, [Term(p) for p in parts] + [LAST], 0)
            sections = node[0] if node is not None and node[1] == len(parts) else ()
            grow(misheard, parts, (*sections, section))
            table.add(parts[0], MISHEARD)
    sounds = {word: unit for unit, words in read("sounds.txt").items() for word in words}
    for word in OPENERS:
        table.add(word, OPENER)
    if faults:
        raise LexiconError(faults)
    return Vocabulary(
        terms={word: Term(word, **entry) for word, entry in table.words.items()},
        units=units,
        leans_before=tries["before"],
        leans_inner=tries["inner"],
        leans_after=tries["after"],
        vague=nouns,
        phrases=phrases,
        things=things,
        misheard=misheard,
        sounds=sounds,
        last_of=last_of,
        with_verbs=with_verbs,
        after_things=frozenset(thing_words.get("after", ())),
        near=near,
    )
