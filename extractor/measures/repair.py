"""Puts right what a recogniser makes of units and numbers, where the words around it leave no doubt.

Every section of lexicon/measures/misheard.txt has one rule here, which looks at the terms before and behind the
misheard words and says what they must mean, or nothing. A word that fits no rule stays as it is: "free" is a number
only before a unit, "announce" an ounce only where a part stands before it or "of" behind.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from extractor.measures.tokens import Mend, Tokens
from extractor.measures.words import (
    AND,
    ARTICLE,
    CARDINAL,
    COMMA,
    DENOM,
    DIGIT,
    FEW,
    FRACTION,
    FUNCTION,
    GROUP,
    LITERAL,
    MANY,
    MARK,
    MISHEARD,
    NOT_NOUN,
    NUMERIC,
    OF,
    PEOPLE,
    SIZE,
    STOP,
    UNIT,
    Term,
    Vocabulary,
    walk,
)

HALVES = frozenset(("half", "quarter", "halves", "quarters", "third", "thirds"))
# Units that are poured: only these are looked for behind a misheard number.
POURED = frozenset(("fl_oz", "ml", "cl", "tsp", "tbsp", "bar_spoon", "cup", "dash", "drop"))
# Units that are counted: "for sprigs of mint", "free slices of cucumber".
COUNTED = frozenset(("part", "leaf", "sprig", "slice", "wedge", "cube", "pinch", "piece", "scoop", "splash", "peel"))
# What a recogniser also writes for these numbers without a number being meant, far more often than with.
SMALL_WORDS = frozenset(("to", "too", "for"))


class Sense(NamedTuple):
    """The words that are meant, and the number without them where both readings stand."""

    meant: str
    otherwise: Fraction | None = None


class Around:
    """The terms around misheard words `w[i:j]`; `before[:at]` are those before them, as mended."""

    __slots__ = ("at", "before", "i", "j", "v", "w")

    def __init__(self, w: list[Term], i: int, j: int, before: list[Term], at: int, v: Vocabulary) -> None:
        self.w, self.i, self.j, self.before, self.at, self.v = w, i, j, before, at, v

    def back(self, n: int = 1) -> Term:
        """The n-th term before, as mended."""
        return self.before[self.at - n] if self.at >= n else _NOTHING

    def ahead(self, n: int = 0) -> Term:
        return self.w[min(self.j + n, len(self.w) - 1)]

    def unit(self, n: int = 0) -> tuple[str, bool, int] | None:
        """The unit n terms ahead: name, plural, how many terms ahead it ends."""
        if self.j + n >= len(self.w) - 1:
            return None
        got = walk(self.v.units, self.w, self.j + n)
        return None if got is None else (got[0][0], got[0][1], got[1] - self.j)

    def misheard(self, n: int) -> tuple[tuple[str, ...], int] | None:
        if self.j + n >= len(self.w) - 1:
            return None
        got = walk(self.v.misheard, self.w, self.j + n)
        return None if got is None else (got[0], got[1] - self.j)

    def half(self, n: int) -> int | None:
        """How many terms ahead "[a] half", "three quarters" ends, also where the half is misheard."""
        if self.ahead(n).cls & ARTICLE:
            n += 1
        term = self.ahead(n)
        if term.text in ("half", "quarter", "third") or term.cls & FRACTION:
            return n + 1
        if term.cls & DIGIT and self.ahead(n + 1).text in HALVES:
            return n + 2
        got = self.misheard(n)
        return got[1] if got is not None and "half" in got[0] else None


_NOTHING = Term("\0", STOP)


def _counts(term: Term) -> bool:
    return bool(term.cls & (CARDINAL | GROUP | FRACTION | DENOM | FEW))


def _plain(term: Term) -> bool:
    return term.text.isalpha() and not term.cls & (FUNCTION | PEOPLE | NUMERIC | UNIT | NOT_NOUN)


def _of_name(a: Around, n: int = 0) -> bool:
    """Does "of" and a name stand n terms ahead?"""
    return bool(a.ahead(n).cls & OF) and not a.ahead(n + 1).cls & PEOPLE


def _number(a: Around, value: int) -> Sense | None:
    word = ("", "one", "two", "three", "four", "", "", "", "eight")[value]
    if a.back().cls & (NUMERIC | UNIT) or any(a.back(n).text in a.v.near["converting"] for n in (1, 2, 3)):
        return None
    nxt = a.ahead()
    if value == 3 and (nxt.text == "quarters" or (nxt.text == "quarter" and a.unit(1) is not None)):
        return Sense(word)
    got = a.misheard(0)
    if (
        value == 3
        and got is not None
        and "quarters" in got[0]
        and (a.ahead(got[1]).cls & OF or a.unit(got[1]) is not None)
    ):
        return Sense(word)
    if nxt.cls & AND and a.half(1) is not None:
        end = a.half(1) or 0
        unit = a.unit(end)
        return Sense(word) if unit is not None and unit[0] in POURED else None
    if nxt.cls & DENOM and nxt.plural and (a.unit(1) or ("",))[0] in POURED:
        return Sense(word)
    heard = a.w[a.i].text
    unit = a.unit()
    if unit is None:
        return Sense(word) if value != 1 and (_things_ahead(a) or _of_poured(a)) else None
    if unit[0] not in POURED | COUNTED or unit[1] != (value != 1):
        return None
    after = a.ahead(unit[2])
    if unit[0] in COUNTED and not after.cls & OF:
        if heard in SMALL_WORDS:
            # "To parts gin one part lime": parts are said of every thing in turn.
            parted = unit[0] == "part" and any(
                (a.unit(n) or ("",))[0] == "part" for n in range(unit[2] + 1, unit[2] + 8)
            )
            return Sense(word) if parted and _plain(after) else None
        return Sense(word) if after.cls & (MARK | AND | FUNCTION) or _plain(after) else None
    if heard in ("to", "for") and not (
        after.cls & OF
        or _plain(after)
        or (after.cls & STOP and (a.at == 0 or a.back().cls & COMMA))
        or (a.back().text in a.v.near["measured so"] and unit[0] in POURED)
    ):
        return None
    return Sense(word)


def _things_ahead(a: Around) -> bool:
    """ "For basil leaves", "to cloves", "free egg whites": what is counted stands ahead, where a list has got to.

    "To" and "for" begin so much else that a list must stand before them: its first word, "and", a mark, a verb that
    puts something in, or a name that another amount is said with.
    """
    w, v = a.w, a.v
    heard = w[a.i].text
    j = a.j
    while w[j].cls & SIZE and j - a.j < 3:
        j += 1
    end, counted = 0, False
    for k in range(j, j + 3):
        got = walk(v.things, w, k)
        if got is not None and got[0] == MANY:
            end = got[1]
        unit = walk(v.units, w, k) if k > j else None
        if unit is not None and unit[0][0] in COUNTED and unit[0][1] and unit[0][0] not in ("part", "pinch", "splash"):
            end, counted = unit[1], True
        if end:
            break
        if not _plain(w[k]):
            return False
    if not end:
        return False
    after = w[end]
    if _plain(after) and after.text not in v.after_things:
        return False  # "for sugar cubes fans"
    if heard not in SMALL_WORDS:
        return heard != "ate" or a.back().text not in v.near["subject"]
    back = a.back()
    if back.text in v.near["adding"]:
        return True
    opens = bool(back.cls & (AND | COMMA))
    if heard == "for" and opens and (counted or end - j > 1):
        # "For cherries I use the good ones" begins a sentence of its own.
        return bool(after.cls & (AND | OF | MARK)) or after.text in v.near["behind counted"]
    # "Apple juice to cloves one star anise": in a list the next thing has its number too.
    listed = bool(after.cls & (NUMERIC | ARTICLE)) and not after.cls & DENOM
    return listed and (opens or back.text in v.near["measured so"])


def _of_poured(a: Around) -> bool:
    """ "Twelve of whole milk, for of heavy cream": no "for" stands before "of", but a number does."""
    heard = a.w[a.i].text
    if not a.ahead().cls & OF or heard not in ("for", "fore", "to", "too", "free", "tree"):
        return False
    if a.ahead(1).cls & (PEOPLE | NOT_NOUN) or a.back().text in a.v.near["whole of"]:
        return False
    # "Free of charge", "the how-to of it": of these only before what is poured.
    poured = any(a.ahead(n).text in a.v.near["measured so"] for n in range(1, 5))
    return heard in ("for", "fore") or (poured and (heard not in ("free", "tree") or bool(a.back().cls & AND)))


def _quarters(a: Around) -> Sense | None:
    if a.back().num != 3 or not (a.ahead().cls & OF or a.unit() is not None):
        return None
    return Sense("quarters")


def _quarter(a: Around) -> Sense | None:
    unit = a.unit()
    if (a.back().cls & ARTICLE or a.back().num in (1, 3)) and unit is not None and unit[0] in ("fl_oz", "tsp", "cup"):
        return Sense("quarter")
    return None


def _half(a: Around) -> Sense | None:
    heard = a.w[a.i].text
    back = a.back()
    after_and = back.cls & ARTICLE and a.back(2).cls & AND
    direct = a.unit()
    if direct is not None and (direct[0] not in POURED or direct[1]):
        direct = None
    n = 1 if a.ahead().cls & ARTICLE or a.ahead().text in ("in", "and", "on", "of") else 0
    there = a.unit(n) if n else direct
    if after_and and (a.unit() is not None or a.back(3).cls & UNIT):
        return Sense("half")
    got = a.misheard(0)
    announced = got is not None and "an ounce" in got[0]
    if there is None or there[0] not in POURED or there[1]:
        return Sense("half") if announced and back.text not in a.v.near["subject"] else None
    if heard != "have":
        return Sense("half") if there[0] == "fl_oz" or back.cls & (COMMA | AND) else None
    if back.text in a.v.near["subject"] or (n and not a.ahead().cls & ARTICLE):
        return None
    return Sense("half") if direct is not None else Sense("half", Fraction(1))


def _an_ounce(a: Around) -> Sense | None:
    back = a.back()
    heard = a.w[a.i].text
    if back.text in ("half", "quarter", "quarters"):
        return Sense("an ounce")
    if back.cls & (DENOM | FRACTION) or (back.cls & OF and a.back(2).cls & DENOM):
        return Sense("ounce")
    tail = _tail_ahead(a)
    if back.cls & ARTICLE and (heard.startswith(("announce", "nounce"))):
        return Sense("ounce") if _of_name(a) or tail or a.ahead().cls & MARK else None
    if back.cls & (CARDINAL | GROUP) and not back.cls & ARTICLE and heard.startswith("announce"):
        return Sense("ounces") if a.ahead().cls & OF else None
    if heard.startswith("announce") and back.text in a.v.near["subject"] and not tail:
        return None
    if tail or (_of_name(a) and not (heard == "an out" or heard == "a bounce")):
        return Sense("an ounce")
    return None


def _tail_ahead(a: Around) -> bool:
    """Does "and a half" stand ahead, however it was heard?"""
    if a.ahead().cls & AND:
        return a.half(1) is not None
    got = a.misheard(0)
    return got is not None and "and" in got[0] and a.half(got[1]) is not None


def _ounce(a: Around) -> Sense | None:
    back = a.back()
    if _tail_ahead(a) and (a.w[a.i].text != "house" or back.text != "the"):
        return Sense("ounce")
    if back.text == "half" or (back.cls & ARTICLE and a.back(2).cls & DENOM) or (back.cls & DENOM and not back.plural):
        return Sense("ounce") if _of_name(a) else None
    return None


def _ounces(a: Around) -> Sense | None:
    back = a.back()
    return (
        Sense("ounces")
        if back.cls & (CARDINAL | GROUP) and a.ahead().cls & OF and not a.ahead(1).cls & PEOPLE
        else None
    )


def _ml(a: Around) -> Sense | None:
    return Sense("ml") if a.back().cls & CARDINAL else None


def _ml_of(a: Around) -> Sense | None:
    value = a.back().num
    if not a.back().cls & CARDINAL or value is None or value < 5 or (value * 2) % 5:
        return None
    if _of_name(a):
        return Sense("ml")
    loose = a.w[a.i].text in ("meal", "mail", "male")
    return Sense("ml") if loose and (_plain(a.ahead()) or a.ahead().cls & (STOP | COMMA)) else None


def _cl_of(a: Around) -> Sense | None:
    return Sense("cl") if a.back().cls & CARDINAL and _of_name(a) else None


def _dash(a: Around) -> Sense | None:
    back = a.back()
    return Sense("dash") if (back.cls & ARTICLE or back.num == 1) and _of_name(a) else None


def _dashes(a: Around) -> Sense | None:
    back = a.back()
    many = (
        back.cls & (FEW | GROUP) or (back.cls & CARDINAL and back.num != 1) or (back.cls & OF and a.back(2).cls & GROUP)
    )
    return Sense("dashes") if many and _of_name(a) else None


def _drops(a: Around) -> Sense | None:
    return Sense("drops") if a.back().cls & CARDINAL and a.back().num != 1 and _of_name(a) else None


def _sprig(a: Around) -> Sense | None:
    back = a.back()
    counted = back.cls & ARTICLE or back.cls & CARDINAL
    if counted and a.ahead().cls & OF and a.ahead(1).text in a.v.near["herb"]:
        return Sense("sprig")
    return Sense("sprig") if back.text in a.v.near["herb"] and a.back(2).cls & (ARTICLE | CARDINAL) else None


def _sprigs(a: Around) -> Sense | None:
    got = _sprig(a)
    return None if got is None else Sense("sprigs")


def _spoon(name: str) -> Callable[[Around], Sense | None]:
    def rule(a: Around) -> Sense | None:
        back = a.back()
        begins = a.ahead().cls & OF or _tail_ahead(a)
        counted = _counts(back) or back.cls & (ARTICLE | SIZE) or (back.cls & OF and a.back(2).cls & (DENOM | GROUP))
        return Sense(name) if counted or begins else None

    return rule


def _and(a: Around) -> Sense | None:
    back = a.back()
    heard = a.w[a.i].text
    end = a.half(0)
    if end is None:
        return None
    if back.cls & UNIT and _is_ounce(back):
        after = a.ahead(end)
        ends = after.cls & (OF | MARK) or _plain(after) or after.cls & FUNCTION
        return Sense("and") if ends and a.unit(end) is None else None
    if heard == "under" or not back.cls & (DIGIT | LITERAL):
        return None
    unit = a.unit(end)
    return Sense("and") if unit is not None and unit[0] in POURED else None


def _is_ounce(term: Term) -> bool:
    return term.text in ("ounce", "ounces", "teaspoon", "tablespoon", "cup", "tsp", "tbsp", "oz")


def _noun(name: str) -> Callable[[Around], Sense | None]:
    """ "A big lug of Irish cream": behind an article and before "of", with a word of size between or none."""

    def rule(a: Around) -> Sense | None:
        n = 2 if a.back().cls & SIZE or a.back().text in a.v.near["sizing"] else 1
        return Sense(name) if a.back(n).cls & ARTICLE and _of_name(a) else None

    return rule


def _quart(a: Around) -> Sense | None:
    """ "A quart of an ounce", "three quart ounces": no quart is measured in ounces or spoons."""
    n = 0
    if a.ahead(n).cls & OF:
        n += 1
    if a.ahead(n).cls & ARTICLE:
        n += 1
    unit = a.unit(n)
    if unit is None or unit[0] not in ("fl_oz", "tsp", "tbsp", "cup") or (a.ahead().cls & OF and n == 1):
        return None
    return Sense("quarters" if a.back().num == 3 else "quarter")


def _pinch(a: Around) -> Sense | None:
    one = a.back().cls & ARTICLE or a.back().num == 1
    return Sense("pinch") if one and a.ahead().cls & OF and a.ahead(1).text in a.v.near["powder"] else None


RULES: dict[str, Callable[[Around], Sense | None]] = {
    "number 1": lambda a: _number(a, 1),
    "number 2": lambda a: _number(a, 2),
    "number 3": lambda a: _number(a, 3),
    "number 4": lambda a: _number(a, 4),
    "number 8": lambda a: _number(a, 8),
    "quarters": _quarters,
    "quarter": _quarter,
    "half": _half,
    "an ounce": _an_ounce,
    "ounce": _ounce,
    "ounces": _ounces,
    "ml": _ml,
    "ml of": _ml_of,
    "cl": lambda a: Sense("cl") if a.back().cls & CARDINAL else None,
    "cl of": _cl_of,
    "dash": _dash,
    "dashes": _dashes,
    "drops": _drops,
    "sprig": _sprig,
    "sprigs": _sprigs,
    "bar_spoon": _spoon("bar spoon"),
    "tsp": _spoon("teaspoon"),
    "tbsp": _spoon("tablespoon"),
    "and": _and,
    "pinch": _pinch,
    "glug": _noun("glug"),
    "slosh": _noun("slosh"),
    "splash": _noun("splash"),
    "quart": _quart,
}


# The commonest of the misheard words, and the quick look that spares most of them the rest.
_ONLY_AND = frozenset(("in", "end", "under"))


def _may_be_and(before: Term) -> bool:
    return bool(before.cls & (UNIT | DIGIT | LITERAL | MISHEARD)) or before.text in HALVES


def mend(tokens: Tokens, v: Vocabulary) -> Tokens:
    """The same tokens with the misheard ones put right; the places stay those of what was heard."""
    w = tokens.terms
    out: Tokens | None = None  # made when the first misheard word is found: most texts have none
    i, size = 0, len(w)
    while i < size:
        term = w[i]
        if out is None and not term.cls & MISHEARD:
            i += 1
            continue
        sense, j = None, i + 1
        if term.cls & MISHEARD and (term.text not in _ONLY_AND or _may_be_and(w[i - 1])):
            got = walk(v.misheard, w, i)
            if got is not None:
                sections, j = got
                around = Around(w, i, j, w if out is None else out.terms, i if out is None else len(out.terms), v)
                for section in sections:
                    sense = RULES[section](around)
                    if sense is not None:
                        break
        if sense is None:
            if out is not None:
                out.add(term, tokens.starts[i], tokens.ends[i], tokens.joined[i])
            i += 1
            continue
        if out is None:
            out = Tokens(tokens.text, w[:i], tokens.starts[:i], tokens.ends[:i], tokens.joined[:i])
        start, end = tokens.starts[i], tokens.ends[j - 1]
        out.mends.append(Mend(start, end, tokens.text[start:end], sense.meant, sense.otherwise))
        for n, word in enumerate(sense.meant.split()):
            out.add(v.terms.get(word) or Term(word), start, end, tokens.joined[i] if n == 0 else False)
        i = j
    return tokens if out is None else out
