"""The grammar of measures: one function a production, its production in the docstring.

    measure     = ratio | equal | relation | juice-of | amount | time | temperature | strength | vague | counted | number
    amount      = {lean} quantity [range quantity] {lean} [each]
    quantity    = number [of [a]] {lean} unit [AND fraction] | [a] unit [AND fraction]

Every function takes the reader and the term to begin at and gives a Reading or None; none looks further ahead than a fixed
number of terms beyond what it reads, so that the whole is linear in the length of the text.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from extractor.measures.numbers import Number, number, tail
from extractor.measures.tokens import Tokens
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    CARDINAL,
    CELSIUS,
    COLON,
    COMMA,
    DEGREE,
    DENOM,
    DIGIT,
    EACH,
    FAHRENHEIT,
    FEW,
    FRACTION,
    GROUP,
    HYPHEN,
    NOT_NOUN,
    OF,
    OR,
    PERCENT,
    POINT,
    PROOF,
    SECONDS,
    TEEN,
    TENS,
    THE,
    TO,
    UNIT,
    Vocabulary,
    walk,
)

ONE = Fraction(1)
NUMERIC = CARDINAL | FRACTION | DENOM | GROUP | POINT
METRIC = frozenset(("ml", "g"))
COUNTERS = frozenset(("leaf", "sprig", "slice", "wedge", "wheel", "peel", "cube", "scoop", "piece"))


@dataclass(slots=True)
class Reading:
    """A measure while it is read: terms `first` up to `next`."""

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
    repaired: tuple[tuple[str, str], ...] = ()
    doubtful: bool = False
    others: tuple[tuple[Fraction | None, Fraction | None, str | None], ...] = ()
    rule: str = ""


class Reader:
    """One text being read."""

    __slots__ = ("t", "v", "w")

    def __init__(self, tokens: Tokens, known: Vocabulary) -> None:
        self.t = tokens
        self.w = tokens.terms
        self.v = known

    # -- small parts -------------------------------------------------------------------------------------------------

    def unit(self, i: int) -> tuple[str, bool, int] | None:
        """unit = one of the phrases of units.txt, the longest: (unit, plural, next)."""
        term = self.w[i]
        if not term.cls & UNIT:
            return None
        got = walk(self.v.units, self.w, i)
        if got is None:
            return None
        (name, plural), j = got
        return name, plural, j

    def leans(self, i: int, trie: dict[str, object]) -> tuple[int, list[str], bool]:
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

    # -- quantity ----------------------------------------------------------------------------------------------------

    def quantity(self, i: int) -> Reading | None:
        """quantity = number [OF [ARTICLE]] {lean} unit [tail] | FEW [OF] unit | [ARTICLE] {lean} unit [tail]"""
        w = self.w
        cls = w[i].cls
        if cls & ARTICLE and w[i + 1].cls & FEW:
            return self._few(i, i + 2)
        if cls & FEW:
            return self._few(i, i + 1)
        got = number(w, i)
        if got is None and cls & ARTICLE:
            j, leans, _about = self.leans(i + 1, self.v.leans_inner)
            got = number(w, j) if leans else None
            if got is None:
                return self._unit_alone(i, j, leans)
            inner = self._with_unit(i, got)
            if inner is not None:
                inner.lean = _join(leans, inner.lean)
                return inner
            return Reading(i, got.next, "number", got.value, got.value, lean=_join(leans, None), rule=got.form)
        if got is not None:
            amount = self._with_unit(i, got)
            if amount is not None:
                return amount
            return Reading(i, got.next, "number", got.value, got.value, rule=got.form)
        if cls & UNIT:
            return self._unit_alone(i, i, [])
        return None

    def _few(self, i: int, j: int) -> Reading | None:
        """few = [ARTICLE] FEW [OF] unit: a unit without a number"""
        if self.w[j].cls & OF:
            j += 1
        j, leans, _about = self.leans(j, self.v.leans_inner)
        unit = self.unit(j)
        if unit is not None:
            return Reading(i, unit[2], "amount", None, None, unit[0], lean=_join(leans, None), rule="few")
        if self.w[j].cls & SECONDS:
            return Reading(i, j + 1, "time", rule="few")
        return None

    def _with_unit(self, i: int, got: Number) -> Reading | None:
        """number [OF [ARTICLE]] {lean} unit [tail]"""
        w = self.w
        j = got.next
        if w[j].cls & OF and (got.form in ("fraction", "collective")):
            j += 1
            if w[j].cls & ARTICLE:
                j += 1
        elif w[j].cls & ARTICLE and got.form == "fraction":
            j += 1
        j, leans, _about = self.leans(j, self.v.leans_inner)
        if got.form == "fraction" and not leans:
            inner = number(w, j)
            if inner is not None and inner.form == "fraction" and j > got.next:
                unit = self.unit(inner.next)
                if unit is not None:
                    value = got.value * inner.value
                    return Reading(i, unit[2], "amount", value, value, unit[0], rule="part-of-part")
        seconds = w[j].cls & SECONDS
        unit = self.unit(j)
        if unit is None:
            if seconds:
                return self._time(i, j, got)
            return None
        name, _plural, k = unit
        if got.form == "digits" and name not in METRIC:
            return None
        value = got.value
        rest = self._tail(k, value, name)
        if rest is not None:
            value, k = value + rest.value, rest.next
        return Reading(i, k, "amount", value, value, name, lean=_join(leans, None), rule="number-unit")

    def _tail(self, i: int, value: Fraction, unit: str) -> Number | None:
        """tail = AND fraction, unless that fraction has another unit of its own ("an ounce and half a teaspoon")."""
        w = self.w
        if value.denominator != 1:
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
        if w[j].cls & ARTICLE:
            j += 1
        own = self.unit(j)
        if own is not None:
            if own[0] != unit:
                return None
            return Number(rest.value, own[2], rest.form)
        if w[j].cls & SECONDS:
            return None
        return rest

    def _unit_alone(self, i: int, j: int, leans: list[str]) -> Reading | None:
        """unit-alone = ARTICLE {lean} unit [tail] | unit (tail | OF)"""
        w = self.w
        unit = self.unit(j)
        if unit is None:
            return None
        name, plural, k = unit
        if plural:
            return None
        rest = self._tail(k, ONE, name)
        value = ONE
        if rest is not None:
            value, k = value + rest.value, rest.next
        elif (
            (i == j and not w[k].cls & OF)
            or (
                i == j
                and ((i > 0 and w[i - 1].cls & (THE | UNIT | SECONDS)) or name in ("can", "bottle", "part", "piece"))
            )
            or (name in ("can", "part") and i != j and name == "part")
        ):
            return None
        return Reading(i, k, "amount", value, value, name, lean=_join(leans, None), rule="unit")

    def _time(self, i: int, j: int, got: Number) -> Reading | None:
        """time = number seconds-word [AND fraction]"""
        w = self.w
        scale = w[j].seconds
        value = got.value
        k = j + 1
        rest = tail(w, k)
        if rest is not None and not w[rest.next].cls & UNIT:
            value, k = value + rest.value, rest.next
        return Reading(i, k, "time", value * scale, value * scale, rule="time")

    # -- amount ------------------------------------------------------------------------------------------------------

    def amount(self, i: int) -> Reading | None:
        """amount = {lean} [BETWEEN] quantity [range-word quantity] {lean} [EACH]"""
        w = self.w
        first = i
        i, leans, about = self.leans(i, self.v.leans_before)
        between = w[i].text == "between"
        if between:
            i += 1
        relation = None
        if w[i].cls & ANOTHER:
            relation = "another"
            i += 1
            if not w[i].cls & (NUMERIC | UNIT | FEW | FRACTION):
                j, inner, _ = self.leans(i, self.v.leans_inner)
                if not (inner and w[j].cls & (NUMERIC | UNIT)):
                    return None
        left = self.quantity(i)
        if left is None and relation is not None:
            j, inner, _ = self.leans(i, self.v.leans_inner)
            unit = self.unit(j)
            if unit is not None:
                left = Reading(i, unit[2], "amount", ONE, ONE, unit[0], lean=_join(inner, None), rule="another")
        if left is None:
            return None
        left.first = first if (leans or relation or between) else left.first
        got = self._range(left, between)
        if got is None:
            if between:
                return None
            got = left
        got.lean = _join(leans, got.lean)
        got.approximate = got.approximate or about
        if relation:
            got.relation = relation
        return self._after(got)

    def _after(self, got: Reading) -> Reading:
        """{lean} [EACH] behind an amount"""
        w = self.w
        j, leans, about = self.leans(got.next, self.v.leans_after)
        if leans and (about or got.kind == "amount"):
            got.next = j
            got.lean = _join([got.lean] if got.lean else [], _join(leans, None))
            got.approximate = got.approximate or about
        if w[got.next].cls & EACH:
            got.next += 1
            got.each = True
        elif w[got.next].text == "of" and w[got.next + 1].cls & EACH:
            got.each = True
            got.next += 2
        return got

    def _range(self, left: Reading, between: bool) -> Reading | None:
        """range = quantity (TO | OR | HYPHEN | COMMA) quantity | quantity quantity of the next number ("two three dashes")"""
        w = self.w
        j = left.next
        cls = w[j].cls
        comma = False
        if between:
            if not cls & (AND | TO):
                return None
            j += 1
        elif cls & (TO | OR | HYPHEN):
            j += 1
            if (cls & OR and w[j].text == "maybe") or w[j].text == "maybe":
                j += 1
        elif cls & COMMA:
            j += 1
            comma = True
            if w[j].cls & (OR | TO):
                j += 1
                comma = False
            if w[j].text == "maybe":
                j += 1
                comma = False
        elif left.kind == "number" and left.rule == "cardinal" and cls & (DIGIT | TEEN | TENS):
            comma = True
        else:
            return None
        right = self.quantity(j)
        if right is None or left.low is None or right.low is None or right.kind not in ("amount", "number", "time"):
            return None
        if left.kind == "number" and right.kind == "number":
            if comma or right.low <= left.low or not (cls & (OR | TO | HYPHEN) or between):
                return None
            return replace(left, high=right.high, next=right.next, rule="range")
        if left.kind == "number":
            if right.kind == "time":
                low = left.low * (w[right.next - 1].seconds or 1)
            else:
                low = left.low
            if comma and not (right.low > low and w[j].cls & (DIGIT | TEEN | TENS) and right.rule == "number-unit"):
                return None
            if comma and cls & COMMA:
                return None
            if right.low == low:
                return None
            low, high = min(low, right.low), max(low, right.high or right.low)
            return replace(
                right,
                first=left.first,
                low=low,
                high=high,
                rule="range",
                lean=_join([left.lean] if left.lean else [], right.lean),
            )
        if right.kind == "number":
            if left.kind != "amount" or comma:
                return None
            if right.low <= left.low:
                return None
            return replace(left, high=right.high, next=right.next, rule="range")
        if right.kind != left.kind or right.unit != left.unit or right.low == left.low:
            return None
        if comma and right.low < left.low:
            return None
        low, high = min(left.low, right.low), max(left.high or left.low, right.high or right.low)
        return replace(left, low=low, high=high, next=right.next, rule="range")

    # -- what follows a number and is no amount ------------------------------------------------------------------------

    def strength_or_heat(self, got: Reading) -> Reading | None:
        """strength = number PERCENT | number PROOF; temperature = number [DEGREE] [FAHRENHEIT | CELSIUS]"""
        w = self.w
        j = got.next
        cls = w[j].cls
        if cls & PERCENT:
            got.kind, got.next, got.rule = "strength", j + 1, "strength"
            if got.low is not None and (got.low >= 100 or (got.high or 0) >= 100):
                got.kind = "none"
            return got
        if cls & PROOF:
            got.kind, got.next, got.rule = "strength", j + 1, "proof"
            got.low = got.low / 2 if got.low is not None else None
            got.high = got.high / 2 if got.high is not None else None
            return got
        if cls & DEGREE:
            j += 1
            if w[j].cls & (FAHRENHEIT | CELSIUS):
                return self._heat(got, j + 1, fahrenheit=bool(w[j].cls & FAHRENHEIT))
            return self._heat(got, j, fahrenheit=None)
        if cls & (FAHRENHEIT | CELSIUS) and (len(w[j].text) > 1 or self.t.joined[j]):
            return self._heat(got, j + 1, fahrenheit=bool(cls & FAHRENHEIT))
        return None

    def _heat(self, got: Reading, j: int, *, fahrenheit: bool | None) -> Reading:
        if fahrenheit is None:
            got.doubtful = got.low is not None and got.low < 110
            fahrenheit = got.low is not None and got.low >= 110
        if fahrenheit and got.low is not None and got.high is not None:
            got.low, got.high = (got.low - 32) * 5 / 9, (got.high - 32) * 5 / 9
        got.kind, got.next, got.rule = "temperature", j, "temperature"
        return got

    # -- ratio, equal, relation, things --------------------------------------------------------------------------------

    def ratio(self, got: Number, i: int) -> Reading | None:
        """ratio = number (TO | COLON) number [(TO | COLON) number ...] [BY (weight | volume)], no unit behind it"""
        w = self.w
        values = [got.value]
        j = got.next
        while w[j].cls & (TO | COLON) and len(values) < 8:
            more = number(w, j + 1)
            if more is None:
                break
            values.append(more.value)
            j = more.next
        if len(values) < 2:
            return None
        by = None
        if w[j].text == "by" and w[j + 1].text in ("weight", "volume"):
            by = w[j + 1].text
            j += 2
        if self.unit(j) is not None or w[j].cls & (SECONDS | DEGREE | PERCENT | FAHRENHEIT | CELSIUS | PROOF):
            return None
        sure = by is not None or len(values) > 2 or values[0] >= values[1] or w[j].text in ("ratio", "ratios")
        if w[i - 1].text == "ratio" or (i > 1 and w[i - 2].text == "ratio"):
            sure = True
        if not sure:
            return None
        return Reading(i, j, "ratio", parts=tuple(values), by=by, rule="ratio")

    def equal(self, i: int) -> Reading | None:
        """equal = [IN] EQUAL (parts | measures | amounts) [COMMA] [amount [each]]"""
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
        if w[j].cls & COMMA:
            j += 1
        amount = self.amount(j)
        if amount is not None and amount.kind == "amount" and amount.low is not None:
            out.low, out.high, out.unit, out.each, out.next = amount.low, amount.high, amount.unit, True, amount.next
            out.lean, out.approximate = amount.lean, amount.approximate
        return out

    def relation(self, i: int) -> Reading | None:
        """relation = the same [amount | again | of] | same again | double that | twice that | half that"""
        w = self.w
        j = i + 1 if w[i].text == "the" else i
        text, after = w[j].text, w[j + 1].text
        if text == "same":
            if after == "again":
                return Reading(i, j + 2, "relation", relation="same", rule="relation")
            if after == "amount":
                return Reading(i, j + 2, "relation", relation="same", rule="relation")
            if after in ("of", "for", "with") and j > i:
                return Reading(i, j + 1, "relation", relation="same", rule="relation")
            return None
        if text in ("double", "twice") and after in ("that", "as"):
            if w[i - 1].text in ("could", "can", "might", "may", "would", "to"):
                return None
            return Reading(i, j + 2, "relation", relation="double", rule="relation")
        if text == "half" and after == "that":
            return Reading(i, j + 2, "relation", relation="half", rule="relation")
        return None

    def part_of_thing(self, i: int) -> Reading | None:
        """juice-of = [THE] (juice | zest | peel ...) OF number [size] thing"""
        w = self.w
        j = i + 1 if w[i].cls & THE else i
        if w[j].text not in self.v.parts or not w[j + 1].cls & OF:
            return None
        part = w[j].text
        got = self.counted(j + 2)
        if got is None or got.thing is None:
            return None
        return Reading(
            i, got.thing[1], "amount", got.low, got.high, "piece",
            thing=got.thing, thing_part=part, approximate=got.approximate, lean=got.lean, rule="juice-of",
        )  # fmt: skip

    def counted(self, i: int) -> Reading | None:
        """counted = (number | ARTICLE) [OF [ARTICLE]] {size} thing"""
        w = self.w
        first = i
        i, leans, about = self.leans(i, self.v.leans_before)
        got = number(w, i)
        if got is not None:
            low, high, j = got.value, got.value, got.next
            if w[j].cls & (TO | OR | HYPHEN):
                more = number(w, j + 1)
                if more is not None and more.value > low:
                    high, j = more.value, more.next
        elif w[i].cls & ARTICLE:
            low = high = ONE
            j = i + 1
        else:
            return None
        if w[j].cls & OF:
            j += 1
        if w[j].cls & (ARTICLE | THE):
            j += 1
        end = j
        while w[j].text in self.v.sizes and j - end < 3:
            j += 1
        thing = walk(self.v.things, w, j)
        if thing is None:
            return None
        k = thing[1]
        unit = self.unit(k)
        if unit is not None and unit[0] in COUNTERS:
            return Reading(
                first,
                unit[2],
                "amount",
                low,
                high,
                unit[0],
                thing=(j, k),
                lean=_join(leans, None),
                approximate=about,
                rule="counted",
            )
        if not thing[0] and w[k].text.isalpha() and not w[k].cls and w[k].text not in self.v.after_things:
            return None  # "four pineapple juice": the fruit is only part of a name
        return Reading(
            first, end, "number", low, high, thing=(j, k), lean=_join(leans, None), approximate=about, rule="thing"
        )

    def named_counter(self, i: int, got: Number | None) -> Reading | None:
        """named-counter = (number | ARTICLE) name name? counter   ("six mint leaves", "a rosemary sprig")"""
        w = self.w
        low = got.value if got is not None else ONE
        j = got.next if got is not None else i + 1
        k = j
        while k - j < 3 and w[k].text.isalpha() and not w[k].cls & ~NOT_NOUN:
            k += 1
            unit = self.unit(k)
            if unit is not None and unit[0] in COUNTERS:
                return Reading(i, unit[2], "amount", low, low, unit[0], thing=(j, k), rule="named-counter")
        return None


def _join(said: list[str], more: str | None) -> str | None:
    words = [*said, more] if more else said
    return " ".join(words) if words else None
