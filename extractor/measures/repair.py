"""Puts right what a recogniser makes of units and numbers, where the words around it leave no doubt.

Every section of lexicon/measures/misheard.txt has one rule here, which looks at the terms before and behind the
misheard words and says what they must mean, or nothing. A word that fits no rule stays as it is: "free" is a number
only before a unit, "announce" an ounce only where a part stands before it or "of" behind.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from extractor.measures.sounds import unit_by_sound
from extractor.measures.tokens import Mend, Tokens
from extractor.measures.words import (
    AND,
    ARTICLE,
    CARDINAL,
    COMMA,
    DENOM,
    DIGIT,
    EACH,
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
    THE,
    UNIT,
    Term,
    Vocabulary,
    walk,
)

# "Have a kilo of sugar": what one has half of, besides what is poured.
WEIGHED = frozenset(("l", "kg"))
HALVES = frozenset(("half", "quarter", "halves", "quarters", "third", "thirds"))
# Units that are poured: only these are looked for behind a misheard number.
POURED = frozenset(("fl_oz", "ml", "cl", "tsp", "tbsp", "bar_spoon", "cup", "dash", "drop"))
# Units of which a part is told, and what a written part is worth: "half a teaspoon", "and a quarter".
SHARED = frozenset(("fl_oz", "tsp", "tbsp", "bar_spoon", "cup", "cl", "l"))
HALF_VALUE = {"half": Fraction(1, 2), "quarter": Fraction(1, 4), "third": Fraction(1, 3), "quarters": Fraction(3, 4)}
SPOONS = frozenset(("tsp", "tbsp", "bar_spoon"))
# Units that are counted: "for sprigs of mint", "free slices of cucumber".
COUNTED = frozenset(("part", "leaf", "sprig", "slice", "wedge", "cube", "pinch", "piece", "scoop", "splash", "peel"))
# Vessels and large measures, counted before "of": "to bottles of sparkling wine".
FILLED = frozenset(("pint", "l", "bottle", "can"))
# More millilitres of one thing are told in litres.
MOST_SAID = 900
# What a recogniser also writes for these numbers without a number being meant, far more often than with.
SMALL_WORDS = frozenset(("to", "too", "for"))
# Misheard units that are also looked for behind a misheard number: "to ball spoons", "for sand dilators".
UNITS_BY_NAME = {"bar_spoon": "bar_spoon", "tsp": "tsp", "tbsp": "tbsp", "cl": "cl", "cl till": "cl", "l": "l"}


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
        heard = self.unit_heard(n, 0 if got is None else got[1])
        if heard is not None or got is None:
            return heard
        return got[0][0], got[0][1], got[1] - self.j

    def unit_heard(self, n: int, beyond: int) -> tuple[str, bool, int] | None:
        """The unit n terms ahead that is misheard or known by its sound, where it ends behind `beyond`."""
        at = self.j + n
        got = walk(self.v.misheard, self.w, at)
        if got is not None and got[1] > beyond:
            last = self.w[got[1] - 1].text
            for section in got[0]:
                if section in UNITS_BY_NAME:
                    return UNITS_BY_NAME[section], last.endswith("s"), got[1] - self.j
                if section == "dashes" and last in ("is", "as"):
                    return "dash", True, got[1] - self.j
        sound = None if beyond else unit_by_sound(self.w, at, self.v.sounds)
        return None if sound is None else (sound[0], True, sound[1] - self.j)

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
    heard = a.w[a.i].text
    if heard == "into":
        unit = a.unit()
        # "Strain it into cups of crushed ice" is where it goes.
        poured = unit is not None and unit[0] in POURED - {"cup"} and unit[1] and _of_name(a, unit[2])
        return Sense("in two") if poured else None
    if heard == "do" and a.back().text in a.v.near["subject"]:
        return None
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
    if got is not None and "and" in got[0] and nxt.text != "in" and a.half(got[1]) is not None:
        # "To end a half ounces": two words that are misheard one behind the other.
        end = a.half(got[1]) or 0
        unit = a.unit(end)
        return Sense(word) if (unit is not None and unit[0] in POURED) or _of_name(a, end) else None
    if nxt.cls & DENOM and nxt.plural and (a.unit(1) or ("",))[0] in POURED:
        return Sense(word)
    unit = a.unit()
    if unit is None and nxt.text in a.v.near["spooned"]:
        sized = a.unit(1)  # "to heaped teaspoons"
        if sized is not None and sized[0] in SPOONS and sized[1] == (value != 1) and heard not in ("do", "once"):
            return Sense(word)
    if unit is None:
        if heard == "do":
            return None
        return Sense(word) if value != 1 and (_things_ahead(a) or _of_poured(a)) else None
    told = a.ahead(unit[2]).cls & MARK and a.back().text in a.v.near["measured so"]  # "coffee liqueur to litters."
    if unit[0] in FILLED and (_of_name(a, unit[2]) or told):
        return Sense(word) if unit[1] and value != 1 else None
    several = unit[1] or (unit[0] == "fl_oz" and a.ahead(unit[2]).text == "is")  # "free ounce is pineapple juice"
    if unit[0] not in POURED | COUNTED or several != (value != 1):
        return None
    after = a.ahead(unit[2])
    known = walk(a.v.units, a.w, a.j)
    if (known is None or known[1] != a.j + unit[2]) and (unit[0] != "dash" or after.cls & (AND | OF)):
        return Sense(word)  # a misheard unit behind a misheard number: "for sand dilators", "to ball spoons"
    if unit[0] in COUNTED and not after.cls & OF:
        if heard in SMALL_WORDS:
            # "To parts gin one part lime": parts are said of every thing in turn.
            parted = unit[0] == "part" and any(
                (a.unit(n) or ("",))[0] == "part" for n in range(unit[2] + 1, unit[2] + 8)
            )
            # "Coconut water for parts, then": behind what is poured, and no more follows of what they are parts of.
            behind = unit[0] == "part" and a.back().text in a.v.near["measured so"] and not after.cls & PEOPLE
            return Sense(word) if (parted and _plain(after)) or behind else None
        return Sense(word) if after.cls & (MARK | AND | FUNCTION) or _plain(after) else None
    if heard in ("to", "for", "do") and not (
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
    if direct is not None and (direct[0] not in POURED | WEIGHED or direct[1]):
        direct = None
    n = 1 if a.ahead().cls & ARTICLE or a.ahead().text in ("in", "and", "on", "of") else 0
    there = a.unit(n) if n else direct
    if after_and and (a.unit() is not None or a.back(3).cls & UNIT):
        return Sense("half")
    got = a.misheard(0)
    announced = got is not None and "an ounce" in got[0]
    if there is None or there[0] not in POURED | WEIGHED or there[1]:
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
    listed = not _plain(back) and not back.cls & PEOPLE and back.text not in ("he", "she", "it", "who")
    if listed and heard.startswith("announce") and a.ahead().cls & EACH and a.ahead(1).cls & OF:
        return Sense("an ounce")  # "announced each of the rye and the port"
    if tail or (_of_name(a) and not (heard == "an out" or heard == "a bounce")):
        return Sense("an ounce")
    poured = back.text in a.v.near["measured so"] and a.back(2).text not in a.v.near["subject"]
    if heard.startswith("announce") and poured and a.ahead().cls & (MARK | AND):
        return Sense("an ounce")  # "then bourbon announced and stir it"
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
        behind = a.ahead(a.half(1) or 0)
        # "Hands and a half of gin"; what is a word of its own needs the amount to end behind it.
        return Sense("ounce") if "ounce of" not in _sections(a) or behind.cls & (OF | AND | MARK) else None
    if back.text == "half" or (back.cls & ARTICLE and a.back(2).cls & DENOM) or (back.cls & DENOM and not back.plural):
        return Sense("ounce") if _of_name(a) else None
    return None


def _sections(a: Around) -> tuple[str, ...]:
    got = walk(a.v.misheard, a.w, a.i)
    return () if got is None else got[0]


def _ounce_odd(a: Around) -> Sense | None:
    """ "Half an uns", "one uns": no word of the language, so a number or a part before it is enough."""
    back = a.back()
    if not (back.cls & (CARDINAL | GROUP | ARTICLE | DENOM) or (back.cls & OF and a.back(2).cls & DENOM)):
        return None
    return Sense("ounces" if back.cls & CARDINAL and back.num != 1 else "ounce")


def _ounce_of(a: Around) -> Sense | None:
    """ "One ends of pear brandy", "two answers of gin", "three quarters of innings of lime": words of their own, that
    count nothing that is poured.
    """
    back = a.back()
    named = a.ahead().cls & OF and _plain(a.ahead(1))
    part = back.cls & DENOM or (back.cls & OF and a.back(2).cls & DENOM)
    whole = back.cls & CARDINAL and a.w[a.i].text not in ("rounds", "hands") and not a.back(2).cls & THE
    if not named or not (part or whole):
        return None
    return Sense("ounces" if whole and back.num != 1 else "ounce")


def _ounce_and(a: Around) -> Sense | None:
    """ "An and a half of gin": the ounce is lost between the two; "it's and a half of gin" with it its article."""
    end = a.half(0)
    if end is None or not a.ahead().cls & (ARTICLE | DIGIT | LITERAL | FRACTION) or a.unit(end) is not None:
        return None
    if not _of_name(a, end):
        return None
    heard = a.w[a.i].text
    if heard == "an":
        return Sense("an ounce and")
    part = HALF_VALUE.get(a.ahead(end - 1).text)
    return None if part is None else Sense("an ounce and", part)


def _an(a: Around) -> Sense | None:
    """ "Half in ounce of lime", "three quarters and ounce": between a part and its unit only an article can stand."""
    back = a.back()
    if not back.cls & (DENOM | FRACTION):
        return _an_behind_name(a)
    n = 2 if a.back(2).cls & (ARTICLE | CARDINAL) else 1
    if n == 2 and a.back(3).cls & AND:
        return None  # "one and a half and ounce of lime": the part is told already
    unit = a.unit()
    cut = a.back(2).text == "in" and a.back(3).text not in a.v.near["putting"]  # "cut in half"
    if unit is None or unit[1] or unit[0] not in SHARED or (back.text == "half" and cut):
        return None
    if unit[0] == "cup" and a.w[a.i].text in ("in", "on"):
        return None
    tail = a.ahead(unit[2]).cls & AND and a.half(unit[2] + 1) is not None
    return None if tail else Sense("an")


def _an_behind_name(a: Around) -> Sense | None:
    """ "Lime juice and ounce and then ...": no name follows, so the ounce is that of the name before it."""
    unit = a.unit()
    if unit is None or unit[0] != "fl_oz" or unit[1] or not _plain(a.back()) or a.w[a.i].text not in ("and", "in"):
        return None
    end = a.half(unit[2] + 1) if a.ahead(unit[2]).cls & AND else None
    after = a.ahead(unit[2] if end is None else end)
    return Sense("an") if after.cls & (MARK | AND) else None


def _run_in(meant: str) -> Callable[[Around], Sense | None]:
    """ "An unsend a half of gin", "coffee liqueur duty spoons": words that ran together, and are never said so."""
    return lambda a: Sense(meant) if not meant.endswith("a") or a.half(0) is not None else None


def _forty(a: Around) -> Sense | None:
    """ "For tea millilitres of rum"."""
    unit = a.unit()
    return Sense("forty") if unit is not None and unit[0] in ("ml", "cl", "g") else None


def _part(a: Around) -> Sense | None:
    """ "Half apart of lemon juice"."""
    return Sense("a part" if a.back().cls & DENOM else "part") if _counts(a.back()) and _of_name(a) else None


def _pear(a: Around) -> Sense | None:
    """ "One and a half pair, half lime": a pair of what is always said."""
    return Sense("pear") if a.back().cls & (NUMERIC | UNIT) and not a.ahead().cls & OF else None


def _ounces(a: Around) -> Sense | None:
    back = a.back()
    if a.w[a.j - 1].text == "is":  # "three ounce is pineapple juice"
        return Sense("ounces") if back.cls & CARDINAL and back.num != 1 and _plain(a.ahead()) else None
    return (
        Sense("ounces")
        if back.cls & (CARDINAL | GROUP) and a.ahead().cls & OF and not a.ahead(1).cls & PEOPLE
        else None
    )


def _ml(a: Around) -> Sense | None:
    back = a.back()
    mixed = back.cls & DENOM and (a.back(2).cls & AND or (a.back(2).cls & ARTICLE and a.back(3).cls & AND))
    return Sense("ml") if back.cls & CARDINAL or mixed else None


def _ml_of(a: Around) -> Sense | None:
    value = a.back().num
    if not a.back().cls & CARDINAL or value is None or value < 5 or (value * 2) % 5:
        return None
    if _of_name(a):
        return Sense("ml")
    if a.w[a.i].text == "mm":  # "thirty five mm, then": not of a lens, nor thick
        return Sense("ml") if a.ahead().cls & (STOP | COMMA) else None
    loose = a.w[a.i].text in ("meal", "mail", "male")
    return Sense("ml") if loose and (_plain(a.ahead()) or a.ahead().cls & (STOP | COMMA)) else None


def _ml_million(a: Around) -> Sense | None:
    """ "Sixty million of gin", "lime juice, twenty million": what is poured is counted by no million."""
    value = a.back().num
    if not a.back().cls & CARDINAL or value is None or not MOST_SAID >= value >= 5 or (value * 2) % 5:
        return None
    if a.ahead().cls & (UNIT | PEOPLE | NOT_NOUN):
        return None  # "sixty million bottles of gin a year"
    name = a.back(3) if a.back(2).cls & COMMA else a.back(2)
    poured = any(a.ahead(n).text in a.v.near["measured so"] for n in range(4) if not a.ahead(n).cls & MARK)
    return Sense("ml") if poured or name.text in a.v.near["measured so"] else None


def _twenty(a: Around) -> Sense | None:
    """ "Lime juice went a mil": no verb stands before a unit."""
    unit = a.unit()
    got = a.misheard(0)
    small = unit is not None and unit[0] in ("ml", "cl", "g")
    if a.w[a.i].text == "wenty" and a.back().text in a.v.near["measured so"]:
        return Sense("twenty")  # no word of the language
    return Sense("twenty") if small or (got is not None and {"ml", "ml million"} & set(got[0])) else None


def _ten(a: Around) -> Sense | None:
    """ "An ml of honey": nobody pours one; most likely it was ten."""
    unit = a.unit()
    if unit is None or unit[0] != "ml" or unit[1] or a.back().cls & (NUMERIC | UNIT | DENOM):
        return None
    return Sense("ten", Fraction(1)) if _of_name(a, unit[2]) else None


def _cl_till(a: Around) -> Sense | None:
    return Sense("cl") if _counts(a.back()) else None


def _told_behind(a: Around) -> bool:
    """ "Ginger syrup, three lashes, ...": a name of what is poured, a number, the misheard unit, and no more."""
    if not a.ahead().cls & MARK or not a.back().cls & (CARDINAL | GROUP):
        return False
    name = a.back(3) if a.back(2).cls & COMMA else a.back(2)
    return name.text in a.v.near["measured so"]


def _l_of(a: Around) -> Sense | None:
    """ "Two litters of water": of what is poured."""
    back = a.back()
    counted = _counts(back) or back.cls & (ARTICLE | THE)
    poured = a.ahead().cls & OF and any(a.ahead(n).text in a.v.near["measured so"] for n in range(1, 5))
    if not (counted and (poured or _told_behind(a))):
        return None
    return Sense("liters" if back.cls & CARDINAL and back.num != 1 else "liter")


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
    if not many:
        return None
    bitters = any(a.ahead(n).text in a.v.near["measured so"] for n in range(3))
    # "Two tashes. A drop would do": what is no word of the language needs no name behind it.
    odd = bool(a.w[a.i].text in a.v.near["no word"] and a.ahead().cls & (MARK | AND | FUNCTION))
    odd = odd or bool(a.w[a.j - 1].text in ("is", "as") and a.ahead().cls & AND)
    odd = odd or _told_behind(a)
    return Sense("dashes") if _of_name(a) or (bitters and _plain(a.ahead())) or odd else None


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
    if heard == "end" and _of_name(a, end):  # "one end half of gin"
        return Sense("and")
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
    "ounce odd": _ounce_odd,
    "ounce of": _ounce_of,
    "an ounce and": _ounce_and,
    "ounce and a": _run_in("ounce and a"),
    "two teaspoons": _run_in("two teaspoons"),
    "forty": _forty,
    "an": _an,
    "part": _part,
    "pear": _pear,
    "l": _l_of,
    "cl till": _cl_till,
    "cl 1": _run_in("one cl"),
    "cl 4": _run_in("four cl"),
    "ml": _ml,
    "ml of": _ml_of,
    "ml million": _ml_million,
    "twenty": _twenty,
    "ten": _ten,
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
_ONLY_AND = frozenset(("and", "in", "end", "on", "under"))


def _may_be_and(before: Term, after: Term) -> bool:
    return after.text == "ounce" or bool(before.cls & (UNIT | DIGIT | LITERAL | MISHEARD)) or before.text in HALVES


def _may_sound(w: list[Term], i: int) -> bool:
    """The quick look: may an unknown word here be a unit, known by its sound?"""
    return w[i].text[0] in "cms" and len(w[i].text) > 3 and not w[i].cls & (NUMERIC | UNIT | FUNCTION | NOT_NOUN)


def _by_sound(a: Around) -> tuple[Sense | None, int]:
    """A unit known by its sound, behind a number, or behind an article and before "of"; and the term behind it."""
    back = a.back()
    got = unit_by_sound(a.w, a.i, a.v.sounds)
    if got is None or not (_counts(back) or back.cls & ARTICLE):
        return None, a.i + 1
    unit, end, exact = got
    after = a.w[end]
    if back.cls & ARTICLE and not after.cls & OF and not a.back(2).cls & DENOM:
        return None, a.i + 1
    if not exact and not (back.cls & CARDINAL and back.num is not None and back.num >= 5):
        return None, a.i + 1
    return Sense(unit), end


def mend(tokens: Tokens, v: Vocabulary) -> Tokens:
    """The same tokens with the misheard ones put right; the places stay those of what was heard."""
    w = tokens.terms
    out: Tokens | None = None  # made when the first misheard word is found: most texts have none
    i, size = 0, len(w)
    while i < size:
        term = w[i]
        sounds = _may_sound(w, i)
        if out is None and not term.cls & MISHEARD and not sounds:
            i += 1
            continue
        sense, j = None, i + 1
        if term.cls & MISHEARD and (term.text not in _ONLY_AND or _may_be_and(w[i - 1], w[i + 1])):
            got = walk(v.misheard, w, i)
            if got is not None:
                sections, j = got
                around = Around(w, i, j, w if out is None else out.terms, i if out is None else len(out.terms), v)
                for section in sections:
                    sense = RULES[section](around)
                    if sense is not None:
                        break
        if sense is None and sounds:
            before, at = (w, i) if out is None else (out.terms, len(out.terms))
            sense, j = _by_sound(Around(w, i, j, before, at, v))
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
