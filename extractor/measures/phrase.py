"""What the productions share: one text as terms, the reading that grows over them, units and leanings.

The grammar of measures is spread over files by what is read, one function a production with the production in its
docstring:

    read.py      measure = relation | equal | part-of-thing | ratio | vague | amount | counted | number
    numbers.py   numbers in words and digits          amounts.py   amounts and ranges
    things.py    what is counted                      times.py     times, temperatures, strengths
    ratios.py    ratios, equal parts, relations       vague.py     splashes, "top with"
    context.py   may a bare number be an amount?      repair.py    misheard words, put right before all this
    sounds.py    long units, known by their sound

Small words of the notation: ARTICLE a, an; FEW a few, several; unit one of units.txt or a word of conventions.txt;
lean a leaning of leans.txt; name a word that none of the lists knows; [x] may be left out; {x} may be repeated. Every
function takes the term to begin at and gives a Reading or None. None looks further ahead than a fixed number of terms
beyond what it reads, so that the whole is linear in the length of the text.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from extractor.measures.measure import MeasureKind
from extractor.measures.numbers import Number, number
from extractor.measures.tokens import Tokens
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    CLOCK,
    EACH,
    FEW,
    FUNCTION,
    HOLDER,
    INNER,
    MONEY,
    NUMERIC,
    OF,
    OR,
    ORDINAL,
    PERCENT,
    PROOF,
    SECONDS,
    STOP,
    THE,
    TO,
    UNIT,
    WITH_VERB,
    Term,
    Trie,
    Vocabulary,
    walk,
)
from extractor.units import Units

ONE = Fraction(1)
Relation = Literal["same", "double", "half", "another", "each"]
By = Literal["weight", "volume"]
NOTHING = "nothing"  # the rule of a reading that only says how far there is no measure
PARTIAL = frozenset(("fraction", "mixed", "decimal"))
METRIC = frozenset(("ml", "g"))
# Units of pouring and weighing: a number before them may be anything, and they may stand in the singular ("two ounce").
MEASURED = frozenset(("fl_oz", "oz_wt", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "pint", "g", "kg", "lb"))
# Behind "a shot of coffee": a bottle, poured by the bar's shot and not by the machine's.
_OF_COFFEE = frozenset(("liqueur", "liquor", "cordial", "syrup", "vodka", "rum", "brandy", "tequila", "gin", "bitters"))
COUNTERS = frozenset(("leaf", "sprig", "slice", "wedge", "wheel", "peel", "cube", "scoop", "piece"))


@dataclass(slots=True)
class Reading:
    """A measure while it is read: the terms from `first` up to `next`."""

    first: int
    next: int
    kind: MeasureKind
    low: Fraction | None = None
    high: Fraction | None = None
    unit: str | None = None
    approximate: bool = False
    lean: str | None = None
    relation: Relation | None = None
    each: bool = False
    thing: tuple[int, int] | None = None
    thing_part: str | None = None
    by: By | None = None
    parts: tuple[Fraction, ...] = ()
    doubtful: bool = False
    others: tuple[tuple[Fraction | None, Fraction | None, str | None], ...] = ()
    rule: str = ""
    whole: bool = True
    """False where the number was not said but follows from "a" or from the unit alone."""


NOT_PLAIN = (
    NUMERIC | AND | ARTICLE | OF | THE | TO | OR | FEW | UNIT | SECONDS | PERCENT | PROOF | MONEY | ANOTHER | EACH |
    FUNCTION | ORDINAL | CLOCK | WITH_VERB | STOP
)  # fmt: skip


def plain(term: Term) -> bool:
    """Can this word be part of a name?"""
    return not term.cls & NOT_PLAIN and term.text[0].isalpha()


def join(said: list[str], more: str | None = None) -> str | None:
    words = [*said, more] if more else said
    return " ".join(words) if words else None


class Phrase:
    """One text being read: its terms, and the small parts that every production uses."""

    __slots__ = ("numbers", "t", "units", "v", "w")

    def __init__(self, tokens: Tokens, known: Vocabulary, units: Units) -> None:
        self.t = tokens
        self.w = tokens.terms
        self.v = known
        self.units = units
        self.numbers: dict[int, Number | None] = {}

    def unit(self, i: int) -> tuple[str, bool, int] | None:
        """unit = the longest phrase of units.txt or conventions.txt here: (unit, plural, next). No vessel ("a pint
        glass").
        """
        w = self.w
        if not w[i].cls & UNIT:
            return None
        got = walk(self.v.units, w, i)
        if got is None:
            return None
        (name, plural), j = got
        if w[j].cls & HOLDER and name not in COUNTERS:
            return None
        if name in ("~shot", "~single", "~double"):
            k = j + 1 if w[j].cls & OF else j
            if w[k].text in ("espresso", "coffee", "ristretto") and w[k + 1].text not in _OF_COFFEE:
                name = "~espresso_shot" if name != "~double" else name
        return name, plural, j

    def number(self, i: int) -> Number | None:
        """number, read once for each place: several productions begin with one."""
        try:
            return self.numbers[i]
        except KeyError:
            got = None if self._stands_for_a_thing(i) else number(self.w, i)
            self.numbers[i] = got
            return got

    def _stands_for_a_thing(self, i: int) -> bool:
        """ "Egg white, a fresh one and half an ounce of syrup": that "one" counts nothing."""
        w = self.w
        described = i > 1 and w[i].text == "one" and w[i - 1].text in self.v.near["describes a thing"]
        return described and bool(w[i - 2].cls & ARTICLE and w[i + 1].cls & AND)

    def leans(self, i: int, trie: Trie) -> tuple[int, list[str], bool]:
        """{lean}: the term after them, the words, and whether one of them makes the amount approximate."""
        said: list[str] = []
        about = False
        for _ in range(4):
            got = walk(trie, self.w, i)
            if got is None:
                break
            said.append(" ".join(t.text for t in self.w[i : got[1]]))
            about = about or bool(got[0])
            i = got[1]
        return i, said, about

    def inner(self, i: int) -> tuple[int, list[str]]:
        """{lean} between number and unit: "two heaping teaspoons"."""
        if not self.w[i].cls & INNER:
            return i, []
        j, said, _about = self.leans(i, self.v.leans_inner)
        return j, said

    def inner_unit(self, i: int) -> tuple[int, list[str], tuple[str, bool, int] | None]:
        """{lean} unit: where the unit begins, the leanings, the unit; "single" leans in "one single dash" and is one
        in "one single".
        """
        j, said = self.inner(i)
        unit = self.unit(j)
        if unit is None and said:
            alone = self.unit(i)
            if alone is not None:
                return i, [], alone
        return j, said, unit
