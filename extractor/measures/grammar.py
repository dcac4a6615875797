"""The grammar of measures: one function a production, its production in the docstring.

    measure     = relation | equal | part-of-thing | ratio | phrase | last-of | vague | amount | counted | named-counter | number
    amount      = {lean} [BETWEEN | FROM] [ANOTHER] quantity [range] {lean} [PLUS quantity] [EACH]
    quantity    = number [OF [ARTICLE]] {lean} unit [tail] | [ARTICLE] {lean} unit [tail] | [ARTICLE] FEW [OF] {lean} unit
    range       = (TO | OR | HYPHEN | COMMA) quantity | quantity
    tail        = AND fraction

Small words of the notation: ARTICLE a, an; FEW a few, several; unit one of units.txt or a word of conventions.txt; lean a leaning
of leans.txt; name a word that none of the lists knows. Every function takes the term to begin at and gives a Reading or None.
None looks further ahead than a fixed number of terms beyond what it reads, so that the whole is linear in the text.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from extractor.measures.numbers import HALF, Number, number, tail
from extractor.measures.tokens import Tokens
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    CARDINAL,
    CELSIUS,
    CLOCK,
    COLON,
    COMMA,
    CONVENTION,
    DEGREE,
    DENOM,
    DIGIT,
    EACH,
    FAHRENHEIT,
    FEW,
    FRACTION,
    FUNCTION,
    GROUP,
    HOLDER,
    HYPHEN,
    INNER,
    LAST_OF,
    LEAN,
    LITERAL,
    LITTLE,
    MARK,
    MONEY,
    NEGATIVE,
    NOT_LITTLE,
    NOT_NOUN,
    NUMERIC,
    OF,
    OR,
    ORDINAL,
    PART,
    PEOPLE,
    PERCENT,
    PLUS,
    PROOF,
    SECONDS,
    SIZE,
    STOP,
    TEEN,
    TENS,
    THE,
    TO,
    UNIT,
    VAGUE,
    WITH_VERB,
    Term,
    Trie,
    Vague,
    Vocabulary,
    walk,
)

ONE = Fraction(1)
PARTIAL = frozenset(("fraction", "mixed", "decimal"))
METRIC = frozenset(("ml", "g"))
# Units of pouring and weighing: a number before them may be anything, and they may stand in the singular ("two ounce").
MEASURED = frozenset(("fl_oz", "oz_wt", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "pint", "g", "kg", "lb"))
SHAKEN = frozenset(("dash", "drop", "splash", "pinch", "scoop", "sprig"))
COUNTERS = frozenset(("leaf", "sprig", "slice", "wedge", "wheel", "peel", "cube", "scoop", "piece"))
# Words of conventions.txt that also mean other things: "a double", "give it a shot".
LOOSE = frozenset(("~single", "~double", "~shot", "~measure", "~finger", "~nip", "~jigger", "~pony"))
SIZES = {  # what a sum is worth in each other: "a tablespoon plus a teaspoon"
    "cup": 48, "pint": 96, "fl_oz": 6, "tbsp": 3, "tsp": 1,
}  # fmt: skip
WEIGHTS = {"lb": 16, "oz_wt": 1, "fl_oz": 1}
TOOLS = frozenset(("with", "using", "use", "in", "into", "grab", "get", "from", "back"))
PUTTING = frozenset(
    ("put", "puts", "putting", "go", "goes", "going", "add", "throw", "drop", "start", "finish", "pour", "come")
)
PLURAL_PARTS = frozenset(("peels", "zests", "skins", "rinds", "juices"))
SPOONS = frozenset(("bar_spoon", "tsp", "tbsp", "cup", "pint", "can", "bottle", "leaf"))
WEAK = frozenset(
    ("could", "can", "might", "may", "would", "you'd", "i'd", "could've", "gonna", "to", "they'd", "people")
)


@dataclass(slots=True)
class Reading:
    """A measure while it is read: the terms from `first` up to `next`."""

    first: int
    next: int
    kind: str
    low: Fraction | None = None
    high: Fraction | None = None
    unit: str | None = None
    approximate: bool = False
    lean: str | None = None
    relation: str | None = None
    each: bool = False
    thing: tuple[int, int] | None = None
    thing_part: str | None = None
    by: str | None = None
    parts: tuple[Fraction, ...] = ()
    doubtful: bool = False
    others: tuple[tuple[Fraction | None, Fraction | None, str | None], ...] = ()
    rule: str = ""
    whole: bool = True
    """False where the number was not said but follows from "a" or from the unit alone."""


NOT_PLAIN = (
    NUMERIC | AND | ARTICLE | OF | THE | TO | OR | FEW | UNIT | SECONDS | PERCENT | PROOF | MONEY | ANOTHER | EACH | FUNCTION
    | ORDINAL | CLOCK | WITH_VERB | STOP
)  # fmt: skip


def plain(term: Term) -> bool:
    """Can this word be part of a name?"""
    return not term.cls & NOT_PLAIN and term.text[0].isalpha()


def join(said: list[str], more: str | None = None) -> str | None:
    words = [*said, more] if more else said
    return " ".join(words) if words else None


class Grammar:
    """The productions over one text."""

    __slots__ = ("t", "v", "w")

    def __init__(self, tokens: Tokens, known: Vocabulary) -> None:
        self.t = tokens
        self.w = tokens.terms
        self.v = known

    # -- units and leanings ----------------------------------------------------------------------------------------------

    def unit(self, i: int) -> tuple[str, bool, int] | None:
        """unit = the longest phrase of units.txt or conventions.txt here: (unit, plural, next). No vessel ("a pint glass")."""
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
            if w[k].text in ("espresso", "coffee", "ristretto"):
                name = "~espresso_shot" if name != "~double" else name
        return name, plural, j

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
        """{lean} unit: where the unit begins, the leanings, the unit; "single" leans in "one single dash" and is one in "one single"."""
        j, said = self.inner(i)
        unit = self.unit(j)
        if unit is None and said:
            alone = self.unit(i)
            if alone is not None:
                return i, [], alone
        return j, said, unit

    # -- quantity --------------------------------------------------------------------------------------------------------

    def quantity(self, i: int) -> Reading | None:
        """quantity = number with-unit | number | [ARTICLE] FEW few | [ARTICLE] {lean} (number with-unit | unit-alone)"""
        w = self.w
        cls = w[i].cls
        if cls & FEW:
            return self.few(i, i + 1)
        if cls & ARTICLE:
            if w[i + 1].cls & FEW:
                return self.few(i, i + 2)
            got = number(w, i)
            if got is not None:
                return self.with_unit(i, got, []) or self.bare(i, got, [])
            j, said = self.inner(i + 1)
            if said and w[j].cls & FEW:
                return self.few(i, j + 1)
            got = number(w, j) if w[j].cls & NUMERIC else None
            if got is not None:
                amount = self.with_unit(i, got, said)
                return amount if amount is not None or not said else self.bare(i, got, said)
            j, said, _unit = self.inner_unit(i + 1)
            return self.unit_alone(i, j, said)
        got = number(w, i)
        if got is not None:
            return self.hundreds(i) or self.with_unit(i, got, []) or self.bare(i, got, [])
        j, said = self.inner(i)
        if said:
            got = number(w, j)
            if got is not None:
                return self.with_unit(i, got, said)
            return self.unit_alone(i, j, said) if w[j].cls & UNIT else None
        return self.unit_alone(i, i, []) if cls & (UNIT | SECONDS) else None

    def hundreds(self, i: int) -> Reading | None:
        """hundreds = literal AND literal metric-unit: "100 and 20 mil" is most likely a hundred and twenty, cut in two"""
        w = self.w
        first, more = w[i], w[i + 2]
        if not (first.cls & LITERAL and w[i + 1].cls & AND and more.cls & LITERAL):
            return None
        if not (isinstance(first.num, int) and isinstance(more.num, int)) or first.num % 100 or not 0 < more.num < 100:
            return None
        unit = self.unit(i + 3)
        if unit is None or unit[0] not in METRIC:
            return None
        value, alone = Fraction(first.num + more.num), Fraction(more.num)
        others = ((alone, alone, unit[0]),)
        return Reading(i, unit[2], "amount", value, value, unit[0], doubtful=True, others=others, rule="hundreds")

    def bare(self, i: int, got: Number, said: list[str]) -> Reading:
        """A number without a unit, as far as it goes."""
        return Reading(i, got.next, "number", got.value, got.value, lean=join(said), rule=got.form)

    def few(self, i: int, j: int) -> Reading | None:
        """few = [OF] {lean} (unit | seconds-word | name{1,2} counter | thing): a unit without a number"""
        w = self.w
        if w[j].cls & OF:
            j += 1
        k, said = self.inner(j)
        unit = self.unit(k)
        if unit is not None and unit[1]:
            name = unit[0]
            if name.startswith(CONVENTION) or (name in ("part", "piece", "bottle", "can") and not w[unit[2]].cls & OF):
                return None
            return Reading(i, unit[2], "amount", unit=name, lean=join(said), rule="few")
        if w[k].cls & SECONDS and w[k].plural:
            return Reading(i, k + 1, "time", rule="few") if not self.passed(k + 1, i) else None
        named = self.named_counter(i, k, None, None)
        if named is not None:
            named.lean = join(said)
            return named
        thing = self.thing(k)
        if thing is not None and thing[2]:
            return Reading(i, k, "vague", thing=(thing[0], thing[1]), lean=join(said), rule="few-things")
        return None

    def with_unit(self, i: int, got: Number, said: list[str]) -> Reading | None:
        """with-unit = [OF [ARTICLE | THE] | ARTICLE] {lean} (fraction unit | unit [tail] | seconds-word [tail])"""
        w = self.w
        j = got.next
        part = got.form in PARTIAL
        if w[j].cls & OF and (part or got.form == "collective"):
            j += 1
            if w[j].cls & ARTICLE or (w[j].num == 1 and w[j + 1].cls & UNIT):
                j += 1
        elif w[j].cls & ARTICLE and part:
            j += 1
        elif w[j].text == "ish":
            j += 1
            said = [*said, "ish"]
        j, more, unit = self.inner_unit(j)
        said = [*said, *more]
        if got.form == "fraction" and j > got.next and not more:
            inner = number(w, j)
            if inner is not None and inner.form == "fraction":
                whole = self.unit(inner.next)
                if whole is not None and whole[0] in MEASURED:
                    value = got.value * inner.value
                    return Reading(i, whole[2], "amount", value, value, whole[0], lean=join(said), rule="part-of-part")
        if unit is None:
            long = self.time(i, j, got) if w[j].cls & SECONDS else None
            if long is not None:
                long.lean = join(said)
            return long
        name, plural, k = unit
        if (got.form == "digits" and name not in METRIC) or not self.fits(name, plural, got, k):
            return None
        if i > 0 and w[i - 1].text in ("per", "every"):
            return None
        if plural is False and w[k].cls & NOT_NOUN and name not in MEASURED:
            return None
        value = got.value
        doubtful = False
        rest = self.tail(k, value, name)
        if rest is not None:
            value, k, doubtful = value + rest.value, rest.next, rest.form == "doubtful"
        if name in ("ml", "cl", "fl_oz") and w[k].text in ("can", "bottle") and not w[k + 1].cls & HOLDER:
            k += 1  # "a twelve ounce can": the measure is what is in it
        out = Reading(i, k, "amount", value, value, name, lean=join(said), rule="number-unit", doubtful=doubtful)
        if w[j].text == "pounds" and self.paid(i, k):
            return None
        if "ish" in said:
            out.approximate = True
        if doubtful:
            out.others = ((got.value, got.value, name),)
        return out

    def fits(self, name: str, plural: bool, got: Number, k: int) -> bool:
        """Can this number count this unit? "two can", "four leaf", "one part of me" are no measures."""
        w = self.w
        after = w[k]
        if name in MEASURED:
            return True
        if name in SHAKEN:
            return plural or got.value <= 1 or got.form == "mixed" or name in ("dash", "drop", "splash", "pinch")
        if name.startswith(CONVENTION):
            if name == "~finger":
                return bool(after.cls & (OF | STOP))
            if name in ("~single", "~double") and not plural:
                return bool(after.cls & (OF | MARK))
            return plural or got.value <= 1 or got.form == "mixed" or name not in LOOSE
        if not plural and got.value > 1 and got.form != "mixed":
            return False
        if name in ("part", "piece", "bottle") and after.cls & OF and w[k + 1].cls & PEOPLE:
            return False
        if name == "part" and not plural and got.value == 1 and not (after.cls & (OF | MARK | AND) or plain(after)):
            return False
        if name == "bottle":
            return (
                bool(after.cls & OF) or got.form in ("fraction", "mixed") or (got.value == 1 and bool(after.cls & STOP))
            )
        if name == "can":
            if w[k - 1].text in ("tin", "tins"):
                return bool(after.cls & OF)
            return (
                bool(after.cls & (OF | MARK | AND))
                or plural
                or got.form in PARTIAL
                or (got.form == "literal" and not plain(after))
            )
        if name == "piece" and w[k - 1].text in (
            "thumb",
            "thumbs",
            "stick",
            "sticks",
            "sheet",
            "sheets",
            "rib",
            "ribs",
        ):
            return bool(after.cls & OF)
        return not (after.cls & OF and w[k + 1].cls & NOT_NOUN)

    def tail(self, i: int, value: Fraction, unit: str) -> Number | None:
        """tail = AND fraction, unless that has a unit or a thing of its own ("an ounce and half a teaspoon", "and half a lime")."""
        w = self.w
        if value.denominator != 1 or unit in COUNTERS or unit in ("can", "bottle"):
            return None
        if w[i].cls & COMMA and w[i + 1].cls & AND and w[i + 2].cls & ARTICLE:
            i += 1
        rest = tail(w, i)
        if rest is None:
            return None
        j = rest.next
        of = bool(w[j].cls & OF)
        if of:
            j += 1
        article = bool(w[j].cls & ARTICLE)
        if article:
            j += 1
        own = self.unit(j)
        if own is not None and own[0] not in COUNTERS:
            if own[0] != unit or not of:
                return None if own[0] != unit else Number(rest.value, own[2], "doubtful")
            return Number(rest.value, own[2], rest.form)
        if (
            (article and self.thing(j) is not None)
            or w[j].cls & SECONDS
            or (not of and w[j].cls & SIZE and w[j].text == "whole")
        ):
            return None
        if not w[i + 1].cls & ARTICLE and not of and self.thing(j) is not None and rest.value == HALF:
            return None
        return rest

    def unit_alone(self, i: int, j: int, said: list[str]) -> Reading | None:
        """unit-alone = ARTICLE {lean} unit [tail] | {lean} unit (tail | OF name)"""
        w = self.w
        unit = self.unit(j)
        if unit is None or unit[1]:
            if unit is None and w[j].cls & SECONDS and (w[i].cls & ARTICLE or i == j):
                return self.one_time(i, j)
            return None
        name, _plural, k = unit
        article = bool(w[i].cls & ARTICLE)
        before = w[i - 1] if i else None
        if before is not None and (before.text in ("per", "every") or (before.cls & (THE | EACH) and not article)):
            return None
        rest = self.tail(k, ONE, name)
        if rest is not None:
            value = ONE + rest.value
            out = Reading(i, rest.next, "amount", value, value, name, lean=join(said), rule="unit")
            if rest.form == "doubtful":
                out.doubtful, out.others = True, ((ONE, ONE, name),)
            return out
        after = w[k]
        of = bool(after.cls & OF)
        leaning = bool(said) and (name in MEASURED or name in SHAKEN)
        if not article and not of and not leaning:
            return None
        if of and w[k + 1].cls & NOT_NOUN:
            return None
        if not article and (
            name.startswith(CONVENTION) or name in COUNTERS or name in ("part", "can", "bottle", "pint")
        ):
            return None
        if not article and before is not None and before.cls & (UNIT | SECONDS | NUMERIC) and not before.cls & AND:
            return None
        if name == "part":
            if not (of and not w[k + 1].cls & PEOPLE):
                return None
        elif name == "bottle":
            if not of or w[k + 1].cls & PEOPLE:
                return None
        elif name == "can":
            if not of:
                return None
        elif name == "piece":
            if not of or w[k + 1].cls & PEOPLE:
                return None
        elif name in LOOSE:
            if not of and (said or not (i == 0 and after.cls & STOP)) and not (name == "~shot" and plain(after)):
                return None
            if of and w[k + 1].cls & PEOPLE:
                return None
        if not of and not leaning and i > 0 and name in SPOONS and not plain(after) and self.as_tool(i):
            return None
        if (
            before is not None
            and before.cls & OF
            and i > 1
            and w[i - 2].text in ("back", "side", "bottom", "end", "tip")
        ):
            return None
        if name == "pinch" and not of and i > 0 and w[i - 1].text == "in" and self.as_tool(i):
            return None
        if name == "splash":
            return Reading(i, k, "vague", unit="splash", lean=join(said), rule="vague", whole=False)
        return Reading(i, k, "amount", ONE, ONE, name, lean=join(said), rule="unit", whole=False)

    def as_tool(self, i: int) -> bool:
        """Is the spoon or cup at i what one works with? "with a bar spoon", "in a cup"; not "put in a teaspoon", "go with a cup" """
        w = self.w
        if w[i - 1].text not in TOOLS:
            return False
        return i < 2 or w[i - 2].text not in PUTTING

    def paid(self, i: int, k: int) -> bool:
        """Are these pounds money? "it cost twenty pounds"."""
        w = self.w
        if w[k].cls & OF:
            return False
        return any(
            w[n].text in ("cost", "costs", "paid", "pay", "spent", "worth", "for", "price", "under")
            for n in range(max(0, i - 4), i)
        )

    # -- time --------------------------------------------------------------------------------------------------------------

    def time(self, i: int, j: int, got: Number) -> Reading | None:
        """time = number seconds-word [tail]; never "two weeks ago", "one second", "three days old" """
        w = self.w
        term = w[j]
        if got.form == "digits" or self.passed(j + 1, i) or (not term.plural and w[j + 1].cls & NOT_NOUN):
            return None
        if not term.plural and got.value == 1 and term.text in ("second", "sec", "minute", "day"):
            return None
        value = got.value
        k = j + 1
        rest = tail(w, k)
        if rest is not None and not w[rest.next].cls & UNIT and not w[rest.next].cls & OF:
            value, k = value + rest.value, rest.next
        return Reading(i, k, "time", value * term.seconds, value * term.seconds, rule="time")

    def one_time(self, i: int, j: int) -> Reading | None:
        """one-time = ARTICLE seconds-word [tail], behind a word that makes it a length: "for an hour", "about a week" """
        w = self.w
        term = w[j]
        if term.plural or self.passed(j + 1, i):
            return None
        before = w[i - 1].text if i else ""
        rest = tail(w, j + 1)
        if rest is not None and not w[rest.next].cls & (UNIT | OF):
            value = (ONE + rest.value) * term.seconds
            return Reading(i, rest.next, "time", value, value, rule="time")
        if term.text in ("second", "sec") or i == j:
            return None
        length = before in (
            "for",
            "about",
            "least",
            "another",
            "than",
            "over",
            "under",
            "half",
            "sit",
            "rest",
            "steep",
            "simmer",
            "it",
        )
        if not length and term.text != "hour":
            return None
        return Reading(i, j + 1, "time", ONE * term.seconds, ONE * term.seconds, rule="time", whole=False)

    def passed(self, k: int, i: int) -> bool:
        """Is this a time of life, not of work? "two weeks ago", "a six month old", "the last three days" """
        w = self.w
        if w[k].text in (
            "ago",
            "old",
            "later",
            "earlier",
            "straight",
            "running",
            "early",
            "late",
            "olds",
            "away",
            "back",
        ):
            return True
        return i > 0 and w[i - 1].text in ("last", "past", "next", "every", "first", "these", "those")

    # -- amount ------------------------------------------------------------------------------------------------------------

    def amount(self, i: int) -> Reading | None:
        """amount = {lean} [BETWEEN | FROM] [ANOTHER] quantity [range] {lean} [PLUS quantity] [EACH]"""
        w = self.w
        first = i
        i, said, about = self.leans(i, self.v.leans_before)
        if (
            said
            and said[0] == "like"
            and first > 0
            and w[first - 1].text in ("i", "you", "we", "they", "people", "would", "i'd")
        ):
            first, said, about = i, [], False
        opener = ""
        if w[i].text in ("anywhere", "somewhere") and w[i + 1].text in ("between", "from"):
            opener, i = w[i + 1].text, i + 2
        elif w[i].text in ("between", "from"):
            opener, i = w[i].text, i + 1
        relation = None
        if w[i].cls & ANOTHER:
            relation, i = "another", i + 1
        left = self.quantity(i)
        if left is None and relation:
            left = self.another_unit(i)
        if left is None:
            return None
        got = self.range(left, between=opener == "between")
        if got is None:
            if opener == "between":
                return None
            got = left
            if opener == "from":
                if said:
                    return None
                first = i
        got.first = first if (said or relation or opener) else left.first
        if said:
            got.lean = join(said, got.lean)
        got.approximate = got.approximate or about
        if relation:
            got.relation = relation
        elif got.lean is not None and (got.lean == "more" or got.lean.startswith("more ")):
            got.relation = "another"
        return self.after(self.plus(got))

    def another_unit(self, i: int) -> Reading | None:
        """another-unit = ANOTHER {lean} unit [tail]"""
        j, said = self.inner(i)
        unit = self.unit(j)
        if unit is None:
            if self.w[j].cls & SECONDS and not self.w[j].plural and self.w[j].text != "day":
                value = ONE * self.w[j].seconds
                return Reading(i, j + 1, "time", value, value, rule="time")
            return None
        name, plural, k = unit
        if plural or ((name in ("part", "can", "bottle", "piece") or name in LOOSE) and not self.w[k].cls & OF):
            return None
        value = ONE
        rest = self.tail(k, ONE, name)
        if rest is not None:
            value, k = value + rest.value, rest.next
        if name == "splash":
            return Reading(i, k, "vague", unit="splash", lean=join(said), rule="vague")
        return Reading(i, k, "amount", value, value, name, lean=join(said), rule="another")

    def plus(self, got: Reading) -> Reading:
        """plus = amount (PLUS | AND) quantity of a smaller unit: "a tablespoon plus a teaspoon", "one pound four ounces" """
        w = self.w
        if got.kind != "amount" or got.low is None or got.low != got.high or got.unit is None:
            return got
        j = got.next
        plus = bool(w[j].cls & PLUS)
        if plus or w[j].cls & (AND | COMMA):
            j += 1
        elif got.unit != "lb":
            return got
        if not w[j].cls & (NUMERIC | ARTICLE):
            return got
        table = WEIGHTS if got.unit == "lb" else SIZES
        if got.unit not in table or (not plus and got.unit not in ("lb", "cup", "pint", "tbsp")):
            return got
        more = self.quantity(j)
        if more is None or more.kind != "amount" or more.low is None or more.unit not in table:
            return got
        one, other = table[got.unit], table[more.unit]
        if other > one or (not plus and (other >= one or more.low * other >= one)):
            return got
        if not plus and got.unit != "lb" and w[more.next].cls & OF and w[got.next].cls & COMMA:
            return got
        value = got.low + more.low * Fraction(other, one)
        got.low = got.high = value
        got.next, got.rule = more.next, "plus"
        return got

    def after(self, got: Reading) -> Reading:
        """after = {lean} [[OF] EACH]   ("an ounce or so", "two ounces, heaping", "half an ounce of each")"""
        w = self.w
        j = got.next
        if got.kind in ("amount", "time", "number") and got.low is not None:
            k, said, about = self.leans(j, self.v.leans_after)
            if not said and w[j].cls & COMMA:
                k, said, about = self.leans(j + 1, self.v.leans_after)
                if said and not w[k].cls & (MARK | AND | FUNCTION | OF):
                    said = []
            loose = said and said[0] in (
                "about",
                "roughly",
                "approximately",
                "scant",
                "heaping",
                "heaped",
                "at least",
                "level",
                "tops",
            )
            if loose and w[k].cls & (NUMERIC | ARTICLE | UNIT | INNER):
                said = []
            if said and got.kind == "number" and not about:
                said = []
            if said:
                got.next = k
                got.lean = join([got.lean] if got.lean else [], join(said))
                got.approximate = got.approximate or about
        if got.kind in ("amount", "number"):
            j = got.next
            if w[j].cls & OF and w[j + 1].cls & EACH:
                j += 1
            if w[j].cls & EACH and w[j + 1].text not in ("time", "day", "week", "one"):
                got.next, got.each = j + 1, True
        return got

    def range(self, left: Reading, *, between: bool) -> Reading | None:
        """range = quantity (TO | OR | HYPHEN | AND if between | COMMA) quantity | number quantity ("two three dashes")

        Without a word between the two, the second must be the greater and not much greater: "two, two and a half ounces".
        """
        w = self.w
        j = left.next
        cls = w[j].cls
        loose = False
        if left.low is None or left.kind not in ("amount", "number", "time"):
            return None
        if between:
            if not cls & (AND | TO):
                return None
            j += 1
        elif w[j].text == "up" and w[j + 1].cls & TO:
            j += 2
        elif cls & (TO | OR | HYPHEN | COMMA):
            j += 1
            loose = bool(cls & COMMA)
            if w[j].cls & (OR | TO):
                j, loose = j + 1, False
            if w[j].text in ("maybe", "even", "possibly", "perhaps"):
                j, loose = j + 1, False
        elif w[j].text in ("maybe", "possibly", "perhaps") and w[j + 1].cls & (CARDINAL | ARTICLE | DENOM):
            j += 1
        elif left.kind == "number" and left.rule in ("cardinal", "literal") and cls & (DIGIT | TEEN | TENS):
            loose = True
        else:
            return None
        if not w[j].cls & (NUMERIC | ARTICLE | UNIT):
            return None
        right = self.quantity(j)
        if right is None or right.low is None or right.kind not in ("amount", "number", "time"):
            return None
        return self.joined(left, right, loose=loose, said_or=bool(cls & (OR | COMMA)))

    def joined(self, left: Reading, right: Reading, *, loose: bool, said_or: bool) -> Reading | None:
        """One reading of two quantities, if they are the ends of one range."""
        w = self.w
        low, high = left.low, right.low
        if low is None or high is None or left.rule == "digits":
            return None
        if right.kind == "time":
            seconds = self.seconds(right)
            if left.kind == "number":
                low = low * seconds
            elif left.kind != "time":
                return None
        elif left.kind == "time":
            if (
                right.kind != "number"
                or loose
                or right.rule not in ("cardinal", "literal")
                or not self.ends(right.next)
            ):
                return None
            high *= self.seconds(left)
            if high <= low:
                return None
            return Reading(left.first, right.next, "time", low, high, lean=left.lean, rule="range")
        elif left.kind == "number" and right.kind == "number":
            if loose or high <= low or (left.rule == "fraction" and high > 2):
                return None
            return Reading(left.first, right.next, "number", low, high, lean=left.lean, rule="range")
        elif right.kind == "number":
            if (
                loose
                or right.rule == "digits"
                or w[right.next].cls & (NOT_NOUN | SECONDS)
                or (w[right.next].cls & OF and not said_or)
            ):
                if loose or not (right.rule in ("fraction", "mixed") and w[right.next].cls & OF):
                    return None
            if high <= low:
                return None
            if plain(w[right.next]) and not said_or and right.rule in ("cardinal", "literal"):
                return None
            return Reading(left.first, right.next, "amount", low, high, left.unit, lean=left.lean, rule="range")
        elif left.kind == "amount" and right.unit != left.unit:
            return None
        if high == low or (left.kind == "amount" and not left.whole and not right.whole):
            return None
        if loose:
            step = high - low
            if not step > 0 or (high > 2 * low and step > 1):
                return None
        lean = join([left.lean] if left.lean else [], right.lean)
        return Reading(
            left.first, right.next, right.kind, min(low, high), max(low, high), right.unit, lean=lean, rule="range"
        )

    def ends(self, k: int) -> bool:
        """Does what is said end here: a mark, a function word, the end?"""
        return bool(self.w[k].cls & (MARK | FUNCTION | AND))

    def seconds(self, right: Reading) -> int:
        """How many seconds the word of a time has."""
        for k in range(right.next - 1, right.first - 1, -1):
            if self.w[k].cls & SECONDS:
                return self.w[k].seconds
        return 1

    # -- what a number may be besides an amount ------------------------------------------------------------------------------

    def strength_or_heat(self, got: Reading) -> Reading | None:
        """strength = number PERCENT | number PROOF; temperature = number [DEGREE] [FAHRENHEIT | CELSIUS]"""
        w = self.w
        j = got.next
        cls = w[j].cls
        if got.low is None or got.high is None:
            return None
        if cls & PERCENT or (w[j].text == "per" and w[j + 1].text == "cent"):
            if not cls & PERCENT:
                j += 1
            if got.high >= 100 or w[j + 1].cls & OF or w[j + 1].text in ("off", "sure", "more", "less"):
                return Reading(got.first, j + 1, "nothing")
            if w[j + 1].cls & (PERCENT | PROOF):
                j += 1
            got.kind, got.next, got.rule = "strength", j + 1, "percent"
            return got
        if cls & PROOF:
            if got.high <= 0:
                return Reading(got.first, j + 1, "nothing")
            got.kind, got.next, got.rule = "strength", j + 1, "proof"
            got.low, got.high = got.low / 2, got.high / 2
            return got
        if cls & DEGREE:
            j += 1
            if w[j].cls & (FAHRENHEIT | CELSIUS):
                return self.heat(got, j + 1, fahrenheit=bool(w[j].cls & FAHRENHEIT))
            if w[j].text in ("angle", "angles", "turn", "view", "weather", "outside", "north", "south"):
                return Reading(got.first, j, "nothing")
            return self.heat(got, j, fahrenheit=None)
        if cls & (FAHRENHEIT | CELSIUS) and (len(w[j].text) > 1 or self.t.joined[j]):
            return self.heat(got, j + 1, fahrenheit=bool(cls & FAHRENHEIT))
        return None

    def heat(self, got: Reading, j: int, *, fahrenheit: bool | None) -> Reading:
        """Celsius of the number; where no scale is said, above 110 it is Fahrenheit and below both may be meant."""
        low, high = got.low or Fraction(0), got.high or Fraction(0)
        before = self.w[got.first - 1] if got.first else None
        if (
            before is not None
            and low == high
            and (before.cls & NEGATIVE or (before.cls & HYPHEN and self.t.joined[got.first]))
        ):
            got.first -= 1
            got.low = got.high = low = high = -low
        as_fahrenheit = ((low - 32) * 5 / 9, (high - 32) * 5 / 9)
        got.kind, got.next, got.rule = "temperature", j, "temperature"
        if fahrenheit is None:
            got.doubtful = low < 110
            if got.doubtful:
                got.others = ((*as_fahrenheit, None),)
            fahrenheit = low >= 110
        if fahrenheit:
            got.low, got.high = as_fahrenheit
        return got

    # -- ratio, equal, relation ------------------------------------------------------------------------------------------------

    def ratio(self, got: Number, i: int) -> Reading | None:
        """ratio = number (TO | COLON) number ... [BY (weight | volume)], no unit behind it | fifty fifty | half AND half"""
        w = self.w
        j = got.next
        if got.value == HALF and w[j].cls & AND and w[j + 1].text == "half" and j == i + 1:
            return self.half_and_half(i)
        if not w[j].cls & (TO | COLON | HYPHEN | TENS) or got.value > 100 or got.form == "digits":
            return None
        if got.value == 50:
            k = j + 1 if w[j].cls & (HYPHEN | TO) else j
            if w[k].num == 50:
                return Reading(i, k + 1, "ratio", parts=(ONE, ONE), rule="ratio")
        values = [got.value]
        while w[j].cls & (TO | COLON) and len(values) < 8:
            more = number(w, j + 1)
            if more is None:
                break
            values.append(more.value)
            j = more.next
        if len(values) < 2:
            return None
        by = self.by(j)
        if by is not None:
            j += 2
        if self.unit(j) is not None or w[j].cls & (
            SECONDS | DEGREE | PERCENT | FAHRENHEIT | CELSIUS | PROOF | MARK & HYPHEN
        ):
            return None
        if w[j].cls & OF and self.unit(j + 1 + bool(w[j + 1].cls & ARTICLE)) is not None:
            return None
        sure = by is not None or len(values) > 2 or w[j].text in ("ratio", "ratios")
        sure = sure or (i > 0 and w[i - 1].text == "ratio") or (i > 1 and w[i - 2].text == "ratio")
        if not sure and (values[0] < values[1] or values[1] > 3 or values[0] > 20):
            return None
        if w[j].text in ("ratio", "ratios"):
            j += 1
            if self.by(j):
                by, j = self.by(j), j + 2
        return Reading(i, j, "ratio", parts=tuple(values), by=by, rule="ratio")

    def by(self, j: int) -> str | None:
        """by = "by" ("weight" | "volume")"""
        return self.w[j + 1].text if self.w[j].text == "by" and self.w[j + 1].text in ("weight", "volume") else None

    def half_and_half(self, i: int) -> Reading | None:
        """half-and-half = the ratio, unless an amount or an article stands before it, or hyphens make it the dairy"""
        w = self.w
        if self.t.joined[i + 1]:
            return Reading(i, i + 3, "nothing")
        before = w[i - 1] if i else None
        if w[i + 3].text in ("cream", "creamer", "dairy") or (
            before is not None
            and (before.cls & (OF | THE | UNIT | NUMERIC | ARTICLE) or before.text in ("some", "with"))
        ):
            return Reading(i, i + 3, "nothing")
        return Reading(i, i + 3, "ratio", parts=(ONE, ONE), rule="ratio")

    def equal(self, i: int) -> Reading | None:
        """equal = (equal | even) (parts | measures | amounts) [by weight] [COMMA] [amount]"""
        w = self.w
        if w[i].text not in ("equal", "even") or w[i + 1].text not in (
            "parts",
            "part",
            "measures",
            "amounts",
            "proportions",
        ):
            return None
        out = Reading(i, i + 2, "equal", rule="equal")
        j = i + 2
        by = self.by(j)
        if by is not None:
            out.by, out.next, j = by, j + 2, j + 2
        if w[j].cls & (COMMA | COLON):
            j += 1
        if w[j].text in ("so", "at"):
            j += 1
        amount = self.amount(j) if w[j].cls & (NUMERIC | ARTICLE | UNIT) else None
        if (
            amount is not None
            and amount.kind == "amount"
            and amount.low is not None
            and (amount.each or w[amount.next].cls & MARK)
        ):
            out.low, out.high, out.unit, out.each, out.next = amount.low, amount.high, amount.unit, True, amount.next
            out.lean, out.approximate = amount.lean, amount.approximate
        return out

    def relation(self, i: int) -> Reading | None:
        """relation = [the] same (again | amount [of] | of) | (double | twice | half) (that | it) | as much again | ditto"""
        w = self.w
        j = i + 1 if w[i].cls & THE else i
        text, after = w[j].text, w[j + 1].text
        weak = j > 0 and any(w[n].text in WEAK for n in range(max(0, i - 2), i))
        if text == "ditto":
            return Reading(i, j + 1, "relation", relation="same", rule="relation")
        if text == "same":
            if after in ("again", "amount", "amounts", "measure", "quantity"):
                return Reading(i, j + 2, "relation", relation="same", rule="relation")
            if (
                after in ("of", "for", "with")
                and (j > i or j == 0)
                and w[j + 2].text not in ("the", "you", "me", "us", "them", "it", "this", "that")
            ):
                return Reading(i, j + 1, "relation", relation="same", rule="relation")
            return None
        if text in ("double", "twice", "half"):
            if (after in ("that", "it") and text != "half") or after == "that":
                return (
                    None
                    if weak
                    else Reading(i, j + 2, "relation", relation="half" if text == "half" else "double", rule="relation")
                )
            if after == "as" and w[j + 2].text == "much":
                return Reading(i, j + 3, "relation", relation="half" if text == "half" else "double", rule="relation")
            if after == "the" and w[j + 2].text == "amount":
                return (
                    None
                    if weak
                    else Reading(i, j + 3, "relation", relation="half" if text == "half" else "double", rule="relation")
                )
        if text == "equal" and after in ("amount", "measure"):
            return Reading(i, j + 2, "relation", relation="same", rule="relation")
        return None

    # -- things ------------------------------------------------------------------------------------------------------------------

    def thing(self, j: int) -> tuple[int, int, bool] | None:
        """thing = {size} one of things.txt, or up to two names before one in the plural: (first, next, plural)"""
        w = self.w
        start = j
        while w[j].cls & SIZE and j - start < 3:
            got = walk(self.v.things, w, j)
            if got is not None:
                break
            j += 1
        for k in range(j, j + 3):
            got = walk(self.v.things, w, k)
            if got is not None:
                plural, end = got
                after = w[end]
                if k > j and not plural:
                    return None
                if not plural and plain(after) and after.text not in self.v.after_things:
                    return None  # "four pineapple juice": the fruit is only part of a name
                if plural and plain(after) and after.text in ("juice", "syrup", "liqueur", "brandy"):
                    return None
                return j, end, plural
            if not plain(w[k]) or w[k].cls & NOT_NOUN:
                return None
        return None

    def counted(self, i: int, *, loose: bool = False) -> Reading | None:
        """counted = {lean} (number [range] | ARTICLE) [OF [ARTICLE | THE]] thing [counter]

        A part without an article ("half lime") counts a thing only where `loose`: behind "the juice of".
        """
        w = self.w
        first = i
        i, said, about = self.leans(i, self.v.leans_before)
        relation = None
        if w[i].cls & ANOTHER:
            relation, i = "another", i + 1
        got = number(w, i)
        if got is not None:
            low, high, j = got.value, got.value, got.next
            if got.form == "digits" or low > 200:
                return None
            if w[j].cls & (TO | OR | HYPHEN):
                k = j + 1 if w[j + 1].text not in ("maybe", "even") else j + 2
                more = number(w, k)
                if more is not None and more.value > low:
                    high, j = more.value, more.next
            part = got.form == "fraction"
        elif w[i].cls & ARTICLE or relation:
            low = high = ONE
            j, part = (i + 1 if w[i].cls & ARTICLE else i), False
            got = None
        else:
            return None
        if w[j].cls & OF and (part or (got is not None and got.form == "collective")):
            j += 1
            if not w[j].cls & (ARTICLE | THE) and part and not loose and not (self.thing(j) or (0, 0, False))[2]:
                return None  # "half of lime": the juice, in the unit of the talk
        end = j
        if w[j].cls & ARTICLE or (w[j].cls & THE and part):
            j += 1
            end = j
        thing = self.thing(j)
        if thing is None:
            return None
        if got is None and thing[2]:
            return None
        if got is not None and not thing[2] and high > 1 and got.form not in ("fraction", "mixed"):
            return None
        if (part or (got is not None and got.form in PARTIAL)) and not thing[2] and not loose:
            if not w[end - 1].cls & (ARTICLE | THE) and self.unit(thing[1]) is None:
                if not (w[thing[1]].text in self.v.after_things or w[j].cls & SIZE):
                    return None  # "half lime, three quarters lemon": the juice, in the unit of the talk
        lean = join(said)
        unit = self.unit(thing[1])
        if unit is not None and unit[0] in COUNTERS and w[thing[1]].text not in ("stick", "sticks", "pod", "pods"):
            if unit[1] or high <= 1:
                return Reading(
                    first, unit[2], "amount", low, high, unit[0], about, lean, relation, thing=thing[:2], rule="counted"
                )
        return Reading(first, end, "number", low, high, None, about, lean, relation, thing=thing[:2], rule="thing")

    def part_of_thing(self, i: int) -> Reading | None:
        """part-of-thing = [THE] (juice | zest | peel ...) OF counted | counted 's (juice | zest)"""
        w = self.w
        j = i + 1 if w[i].cls & (THE | ARTICLE) else i
        if not w[j].cls & PART or not (w[j + 1].cls & OF or w[j + 1].text == "from"):
            return None
        got = self.counted(j + 2, loose=True)
        if got is None or got.thing is None:
            return None
        return Reading(
            i, got.thing[1], "amount", got.low, got.high, "piece", got.approximate, got.lean,
            thing=got.thing, thing_part=w[j].text.removesuffix("s") if w[j].text in PLURAL_PARTS else w[j].text,
            rule="part-of-thing",
        )  # fmt: skip

    def named_counter(self, i: int, j: int, low: Fraction | None, high: Fraction | None) -> Reading | None:
        """named-counter = (number [range] | ARTICLE | FEW) name{1,3} counter   ("six mint leaves", "a rosemary sprig")"""
        w = self.w
        k = j
        while k - j < 3 and plain(w[k]) and not (w[k].cls & NOT_NOUN and not w[k].cls & PART):
            k += 1
            unit = self.unit(k)
            if unit is None or unit[0] not in COUNTERS:
                continue
            if not unit[1] and (high is None or high > 1):
                return None
            if w[unit[2]].cls & NOT_NOUN or (
                plain(w[unit[2]])
                and unit[2] - k == 1
                and not unit[1]
                and w[k].text in ("stick", "leaf", "peel", "slice")
            ):
                return None
            return Reading(i, unit[2], "amount", low, high, unit[0], thing=(j, k), rule="named-counter")
        return None

    # -- vague -------------------------------------------------------------------------------------------------------------------

    def vague(self, i: int) -> Reading | None:
        """vague = (ARTICLE | FEW | number | ANOTHER | THE) {lean} vague-noun [OF name] | vague-noun OF name | a little name"""
        w = self.w
        cls = w[i].cls
        j = i
        relation = None
        if cls & VAGUE:
            phrase = walk(self.v.phrases, w, i)
            if phrase is not None:
                return Reading(i, phrase[1], "vague", unit=phrase[0], rule="phrase")
        counted = False
        if cls & ARTICLE or cls & ANOTHER:
            relation = "another" if cls & ANOTHER else None
            j = i + 1
            if w[j].cls & FEW or w[j].text == "couple":
                j += 1
                if w[j].cls & OF:
                    j += 1
            counted = True
        elif cls & (FEW | DIGIT | GROUP | LITERAL | DENOM):
            got = number(w, i)
            j = got.next if got is not None else i + 1
            if w[j].cls & OF:
                j += 1
            counted = True
        k, said = self.inner(j)
        got_noun = self.vague_noun(k)
        if got_noun is None and said:
            got_noun, said, k = self.vague_noun(j), [], j
        if got_noun is None:
            return None
        noun, end = got_noun
        of = bool(w[end].cls & OF)
        if of and (w[end + 1].cls & ARTICLE or self.counts_people(end + 1)):
            return None
        if noun.needs == "of" and not of:
            return None
        if not counted and not of:
            return None
        if noun.needs.endswith("name") and not of:
            after = w[end]
            name = plain(after) and not after.cls & (NOT_NOUN | NOT_LITTLE)
            ends = (
                after.cls & MARK
                and w[k].cls & LITTLE
                and i > 0
                and not w[i - 1].cls & FUNCTION
                and w[i - 1].cls & COMMA
            )
            if not (name or ends):
                return None
        if not of and w[end].cls & NOT_NOUN and noun.needs != "":
            return None
        return Reading(i, end, "vague", unit=noun.unit, lean=join(said), relation=relation, rule="vague")

    def vague_noun(self, k: int) -> tuple[Vague, int] | None:
        if not self.w[k].cls & VAGUE:
            return None
        got = walk(self.v.vague, self.w, k)
        return None if got is None else (got[0], got[1])

    def counts_people(self, k: int) -> bool:
        """Is what follows no ingredient: "a lot of people", "a bunch of you" """
        w = self.w
        for n in range(k, k + 3):
            if w[n].cls & NOT_NOUN or (n == k and w[n].text in ("you", "us", "them", "it", "these", "those", "which")):
                return True
            if not plain(w[n]) and not w[n].cls & (THE | SIZE):
                return False
        return False

    def some(self, i: int) -> Reading | None:
        """some = "some" name"""
        w = self.w
        after = w[i + 1]
        j = i + 1
        if after.cls & SIZE:
            after, j = w[i + 2], i + 2
        if not plain(after) or after.cls & (NOT_NOUN | NOT_LITTLE) or self.counts_people(j):
            return None
        return Reading(i, i + 1, "vague", rule="some")

    def last_of(self, i: int) -> Reading | None:
        """last-of = ARTICLE name{1,3} (rinse | rim | float | splash)   ("an absinthe rinse", "a salt rim")"""
        w = self.w
        j = i + 1
        k = j
        while k - j < 3 and plain(w[k]) and not w[k].cls & LAST_OF:
            k += 1
        if k == j or not w[k].cls & LAST_OF:
            if k == j and w[k].cls & LAST_OF and w[k + 1].cls & OF and not w[k + 2].cls & NOT_NOUN:
                return Reading(i, k + 1, "vague", unit=self.v.last_of[w[k].text], rule="last-of")
            return None
        return Reading(i, k + 1, "vague", unit=self.v.last_of[w[k].text], thing=(j, k), rule="last-of")

    def with_verb(self, i: int) -> Reading | None:
        """with-verb = (top | fill | rinse | rim) up to four words "with", unless an amount, ice or a garnish follows"""
        w = self.w
        unit = self.v.with_verbs[w[i].text]
        j = i + 1
        while j - i < 6 and w[j].text.isalpha() and w[j].text != "with" and not w[j].cls & NUMERIC:
            j += 1
        if w[j].text != "with" or (w[i - 1].cls & (THE | ARTICLE) and i > 0):
            return None
        k = j + 1
        if w[k].cls & THE:
            k += 1
        for n in range(k, k + 4):
            if w[n].text in ("ice", "cubes"):
                return None
            if w[n].cls & (MARK | AND):
                break
        if w[k].text in ("this", "that", "it", "them"):
            return None
        amount = self.amount(k) if w[k].cls & (NUMERIC | ARTICLE | UNIT | INNER | LEAN) else None
        if amount is not None and amount.kind in ("amount", "vague"):
            return None
        if w[k].cls & (ARTICLE | NUMERIC) and self.vague(k) is None and unit == "top":
            return None
        return Reading(i, j + 1, "vague", unit=unit, rule="with-verb")


__all__ = ["FRACTION", "FUNCTION", "Grammar", "Reading", "join", "plain"]
