"""Amounts: a number and a unit, in whatever order they are said.

amount   = {lean} [between | from] [ANOTHER] (counting | quantity) [range] [PLUS quantity] {lean} [EACH]
quantity = number with-unit | [ARTICLE] {lean} unit [tail] | [ARTICLE] FEW [OF] {lean} unit
with-unit = [OF [ARTICLE]] {lean} (unit [tail] | fraction unit | seconds-word)
range    = (TO | OR | HYPHEN | COMMA) quantity | quantity
tail     = AND fraction
"""

from __future__ import annotations

from fractions import Fraction

from extractor.measures.numbers import HALF, Number, tail
from extractor.measures.phrase import COUNTERS, MEASURED, METRIC, ONE, PARTIAL, Phrase, Reading, join, plain
from extractor.measures.things import find_thing, named_counter
from extractor.measures.times import is_past, one_time, seconds_of, timed
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    CARDINAL,
    COMMA,
    CONVENTION,
    DENOM,
    DIGIT,
    EACH,
    FEW,
    FRACTION,
    FUNCTION,
    HOLDER,
    HYPHEN,
    INNER,
    LITERAL,
    MARK,
    NOT_NOUN,
    NUMERIC,
    OF,
    OR,
    PEOPLE,
    PLUS,
    SECONDS,
    SIZE,
    STOP,
    TEEN,
    TENS,
    THE,
    TO,
    UNIT,
)

SHAKEN = frozenset(("dash", "drop", "splash", "pinch", "scoop", "sprig"))
SPOONS = frozenset(("bar_spoon", "tsp", "tbsp", "cup", "pint", "can", "bottle", "leaf"))
LISTED = frozenset(("fl_oz", "tsp", "tbsp", "bar_spoon", "dash", "splash", "pinch"))  # "ounce gin, dash bitters"
SWALLOWED = frozenset(("tsp", "tbsp", "bar_spoon", "dash"))
SUMMED = frozenset(("cup", "pint", "fl_oz", "tbsp", "tsp", "lb", "oz_wt"))
# Words of conventions.txt that also mean other things: "a double", "give it a shot".
LOOSE = frozenset(("~single", "~double", "~shot", "~measure", "~finger", "~nip", "~jigger", "~pony"))


def amount(p: Phrase, i: int) -> Reading | None:
    """amount = {lean} [BETWEEN | FROM] [ANOTHER] quantity [range] {lean} [PLUS quantity] [EACH]"""
    w = p.w
    first = i
    i, said, about = p.leans(i, p.v.leans_before)
    if said and said[0] == "like" and first > 0 and w[first - 1].text in p.v.near["liking"]:
        first, said, about = i, [], False
    opener = ""
    if w[i].text in ("anywhere", "somewhere") and w[i + 1].text in ("between", "from"):
        opener, i = w[i + 1].text, i + 2
    elif w[i].text in ("between", "from"):
        opener, i = w[i].text, i + 1
    relation = None
    if w[i].cls & ANOTHER:
        relation, i = "another", i + 1
    left = counting(p, i) or quantity(p, i)
    if left is None and relation:
        left = another_unit(p, i)
    if left is None:
        return None
    got = ranged(p, left, between=opener == "between")
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
    if relation or (got.lean is not None and (got.lean == "more" or got.lean.startswith("more "))):
        got.relation = "another"
    return trailing(p, summed(p, got))


def quantity(p: Phrase, i: int) -> Reading | None:
    """quantity = number with-unit | number | [ARTICLE] FEW few | [ARTICLE] {lean} (number with-unit | unit-alone)"""
    w = p.w
    cls = w[i].cls
    if cls & FEW:
        return few_of(p, i, i + 1)
    if cls & ARTICLE:
        if w[i + 1].cls & FEW:
            return few_of(p, i, i + 2)
        got = p.number(i)
        if got is not None:
            return with_unit(p, i, got, []) or bare_number(p, i, got, [])
        j, said = p.inner(i + 1)
        if said and w[j].cls & FEW:
            return few_of(p, i, j + 1)
        got = p.number(j) if w[j].cls & NUMERIC else None
        if got is not None:
            amount = with_unit(p, i, got, said)
            return amount if amount is not None or not said else bare_number(p, i, got, said)
        j, said, _unit = p.inner_unit(i + 1)
        return unit_alone(p, i, j, said)
    got = p.number(i)
    if got is not None:
        return hundreds(p, i) or with_unit(p, i, got, []) or bare_number(p, i, got, [])
    j, said = p.inner(i)
    if said:
        got = p.number(j)
        if got is not None:
            return with_unit(p, i, got, said)
        return unit_alone(p, i, j, said) if w[j].cls & UNIT else None
    return unit_alone(p, i, i, []) if cls & (UNIT | SECONDS) else None


def hundreds(p: Phrase, i: int) -> Reading | None:
    """hundreds = literal AND literal metric-unit: "100 and 20 mil" is most likely a hundred and twenty, cut in two"""
    w = p.w
    first, more = w[i], w[i + 2]
    if not (first.cls & LITERAL and w[i + 1].cls & AND and more.cls & LITERAL):
        return None
    if not (isinstance(first.num, int) and isinstance(more.num, int)) or first.num % 100 or not 0 < more.num < 100:
        return None
    unit = p.unit(i + 3)
    if unit is None or unit[0] not in METRIC:
        return None
    value, alone = Fraction(first.num + more.num), Fraction(more.num)
    others = ((alone, alone, unit[0]),)
    return Reading(i, unit[2], "amount", value, value, unit[0], doubtful=True, others=others, rule="hundreds")


def bare_number(p: Phrase, i: int, got: Number, said: list[str]) -> Reading:
    """A number without a unit, as far as it goes."""
    return Reading(i, got.next, "number", got.value, got.value, lean=join(said), rule=got.form)


def few_of(p: Phrase, i: int, j: int) -> Reading | None:
    """few = [OF] {lean} (unit | seconds-word | name{1,2} counter | thing): a unit without a number"""
    w = p.w
    if w[j].cls & OF:
        j += 1
    k, said = p.inner(j)
    unit = p.unit(k)
    if unit is not None and unit[1]:
        name = unit[0]
        if name.startswith(CONVENTION) or (name in ("part", "piece", "bottle", "can") and not w[unit[2]].cls & OF):
            return None
        return Reading(i, unit[2], "amount", unit=name, lean=join(said), rule="few")
    if w[k].cls & SECONDS and w[k].plural:
        return Reading(i, k + 1, "time", rule="few") if not is_past(p, k + 1, i) else None
    named = named_counter(p, i, k, None, None)
    if named is not None:
        named.lean = join(said)
        return named
    thing = find_thing(p, k)
    if thing is not None and thing[2]:
        return Reading(i, k, "vague", thing=(thing[0], thing[1]), lean=join(said), rule="few-things")
    return None


def with_unit(p: Phrase, i: int, got: Number, said: list[str]) -> Reading | None:
    """with-unit = [OF [ARTICLE | THE] | ARTICLE] {lean} (fraction unit | unit [tail] | seconds-word [tail])"""
    w = p.w
    j = got.next
    part = got.form in PARTIAL
    if w[j].cls & OF and (part or got.form == "collective"):
        j += 1
        the_unit = w[j].text == "the" and (p.unit(j + 1) or ("",))[0] in MEASURED  # "three quarters of the ounce"
        if w[j].cls & ARTICLE or (w[j].num == 1 and w[j + 1].cls & UNIT) or the_unit:
            j += 1
    elif part and (w[j].cls & ARTICLE or (w[j].text == "the" and (p.unit(j + 1) or ("",))[0] in MEASURED)):
        j += 1  # "half a teaspoon", also where it is heard as "half the teaspoon"
    elif w[j].text == "ish":
        j += 1
        said = [*said, "ish"]
    j, more, unit = p.inner_unit(j)
    said = [*said, *more]
    if got.form == "fraction" and j > got.next and not more:
        inner = p.number(j)
        if inner is not None and inner.form == "fraction":
            whole = p.unit(inner.next)
            if whole is not None and whole[0] in MEASURED:
                # "A half a half centiliter": without "of" the same share is only said twice.
                again = inner.value == got.value and not w[got.next].cls & OF
                value = inner.value if again else got.value * inner.value
                return Reading(i, whole[2], "amount", value, value, whole[0], lean=join(said), rule="part-of-part")
    if unit is None:
        long = timed(p, i, j, got) if w[j].cls & SECONDS else None
        if long is not None:
            long.lean = join(said)
        return long
    name, plural, k = unit
    if (got.form == "digits" and name not in METRIC) or not fits(p, name, plural, got, k):
        return None
    if i > 0 and w[i - 1].text in p.v.near["rate"]:
        return None
    if plural is False and w[k].cls & NOT_NOUN and name not in MEASURED:
        return None
    value = got.value
    doubtful = False
    rest = unit_tail(p, k, value, name)
    if rest is not None:
        value, k, doubtful = value + rest.value, rest.next, rest.form == "doubtful"
    if name in ("ml", "cl", "fl_oz") and w[k].text in ("can", "bottle") and not w[k + 1].cls & HOLDER:
        k += 1  # "a twelve ounce can": the measure is what is in it
    out = Reading(i, k, "amount", value, value, name, lean=join(said), rule="number-unit", doubtful=doubtful)
    if w[j].text == "pounds" and is_money(p, i, k):
        return None
    if "ish" in said:
        out.approximate = True
    if w[i].text == "one" and w[i + 1].cls & FRACTION and not doubtful:
        part_only = value - ONE
        out.doubtful, out.others = True, ((part_only, part_only, name),)  # "one 1/2 ounce": one half, or one and a half
    if doubtful:
        out.others = ((got.value, got.value, name),)
    return out


def fits(p: Phrase, name: str, plural: bool, got: Number, k: int) -> bool:
    """Can this number count this unit? "two can", "four leaf", "one part of me" are no measures."""
    w = p.w
    after = w[k]
    if name in MEASURED:
        return True
    if name in SHAKEN:
        return plural or got.value <= 1 or got.form == "mixed" or name in ("dash", "drop", "splash", "pinch")
    if name.startswith(CONVENTION):
        if name == "~finger":
            return bool(after.cls & (OF | STOP))
        if name == "~shot" and after.text == "at":
            return False  # "one shot at this"
        if name in ("~single", "~double") and not plural:
            return bool(after.cls & (OF | MARK))
        return plural or got.value <= 1 or got.form == "mixed" or name not in LOOSE
    if not plural and got.value > 1 and got.form != "mixed":
        # "Twenty leaf of red shiso": without the plural, as some speak, only where "of" tells what is counted.
        return name in ("leaf", "sprig", "slice", "cube", "part") and bool(after.cls & OF)
    if name in ("part", "piece", "bottle") and after.cls & OF and w[k + 1].cls & PEOPLE:
        # "One part of the maple syrup", "two parts of my cordial"; not "a part of me", "part of the fun".
        counted = name == "part" and got.form != "article" and not w[got.next - 1].cls & ARTICLE
        owned = w[k + 1].text in ("the", "my", "our", "your", "this", "that")
        return bool(counted and owned and plain(w[k + 2]) and not w[k + 2].cls & NOT_NOUN)
    if name == "part" and not plural and got.value == 1 and not (after.cls & (OF | MARK | AND | EACH) or plain(after)):
        return False
    if name == "bottle":
        return bool(after.cls & OF) or got.form in ("fraction", "mixed") or (got.value == 1 and bool(after.cls & STOP))
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


def unit_tail(p: Phrase, i: int, value: Fraction, unit: str) -> Number | None:
    """tail = AND fraction, unless that has a unit or a thing of its own ("an ounce and half a teaspoon", "and half a
    lime").
    """
    w = p.w
    if value.denominator != 1 or unit in COUNTERS or unit in ("can", "bottle"):
        return None
    if w[i].cls & COMMA and w[i + 1].cls & AND and w[i + 2].cls & ARTICLE:
        i += 1
    rest = tail(w, i)
    if rest is None:
        return dropped_and(p, i, value)
    j = rest.next
    of = bool(w[j].cls & OF)
    if of:
        j += 1
    article = bool(w[j].cls & ARTICLE)
    if article:
        j += 1
    own = p.unit(j)
    if own is not None and own[0] not in COUNTERS:
        if own[0] != unit or (not of and w[i - 1].cls & COMMA):
            return None
        if not of and article and w[own[2]].cls & OF and i > 2 and plain(w[i - 3]) and w[i].cls & AND:
            return None  # "cucumber juice one ounce and half an ounce of sugar syrup"
        if not of:
            return Number(rest.value, own[2], "doubtful")
        return Number(rest.value, own[2], rest.form)
    if (
        (article and find_thing(p, j) is not None)
        or w[j].cls & SECONDS
        or (not of and w[j].cls & SIZE and w[j].text == "whole")
    ):
        return None
    if not w[i + 1].cls & ARTICLE and not of and find_thing(p, j) is not None and rest.value == HALF:
        return None
    return rest


def dropped_and(p: Phrase, i: int, value: Fraction) -> Number | None:
    """ "an ounce three quarters": most likely the "and" was lost; only where no name follows, and in doubt"""
    if value != 1 or not p.w[i].cls & (DIGIT | FRACTION):
        return None
    part = p.number(i)
    if part is None or part.form != "fraction" or part.value != Fraction(3, 4) or not p.w[part.next].cls & MARK:
        return None
    return Number(part.value, part.next, "doubtful")


def unit_alone(p: Phrase, i: int, j: int, said: list[str]) -> Reading | None:
    """unit-alone = ARTICLE {lean} unit [tail] | {lean} unit (tail | OF name | name)"""
    w = p.w
    unit = p.unit(j)
    if unit is None or unit[1]:
        if unit is None and w[j].cls & SECONDS and (w[i].cls & ARTICLE or i == j):
            return one_time(p, i, j)
        return None
    name, _plural, k = unit
    article = bool(w[i].cls & ARTICLE)
    before = w[i - 1] if i else None
    rest = unit_tail(p, k, ONE, name)
    behind = w[k] if rest is None else w[rest.next]
    poured = name in ("fl_oz", "tsp", "tbsp", "bar_spoon") and (behind.cls & OF or said)
    if before is not None and (
        before.text in p.v.near["rate"]
        or (
            before.cls & (THE | EACH)
            and not article
            and not (before.cls & THE and (poured or listed_the(p, i, name, k)))
        )
    ):
        return None
    if rest is not None:
        value = ONE + rest.value
        out = Reading(i, rest.next, "amount", value, value, name, lean=join(said), rule="unit")
        if rest.form == "doubtful":
            out.doubtful, out.others = True, ((ONE, ONE, name),)
        return out
    after = w[k]
    of = bool(after.cls & OF)
    leaning = bool(said) and (name in MEASURED or name in SHAKEN)
    listed = not article and not of and name in LISTED and plain(after) and not after.cls & NOT_NOUN
    if listed and before is not None and before.cls & (NUMERIC | ARTICLE | THE | UNIT | OF):
        return None
    # "Coffee liqueur tablespoon, ...": the article is swallowed by the name before it.
    swallowed = name in SWALLOWED and before is not None and before.text in p.v.near["measured so"] and after.cls & MARK
    if not article and not of and not leaning and not listed and not swallowed:
        return None
    if of and w[k + 1].cls & NOT_NOUN:
        return None
    if not article and (name.startswith(CONVENTION) or name in COUNTERS or name in ("part", "can", "bottle", "pint")):
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
    if not of and not leaning and i > 0 and name in SPOONS and not plain(after) and is_tool(p, i):
        return None
    if before is not None and before.cls & OF and i > 1 and w[i - 2].text in p.v.near["edge"]:
        return None
    if name == "pinch" and not of and i > 0 and w[i - 1].text == "in" and is_tool(p, i):
        return None
    if name == "splash":
        return Reading(i, k, "vague", unit="splash", lean=join(said), rule="vague", whole=False)
    return Reading(i, k, "amount", ONE, ONE, name, lean=join(said), rule="unit", whole=False)


def listed_the(p: Phrase, i: int, name: str, k: int) -> bool:
    """ "And the pinch of salt", "then this splash of gin": a misheard "a", where a list goes on and a name follows."""
    w = p.w
    if name not in ("dash", "drop", "pinch", "splash") or w[i - 1].text not in ("the", "this"):
        return False
    goes_on = i < 2 or bool(w[i - 2].cls & (AND | MARK)) or w[i - 2].text in ("then", "in")
    return goes_on and bool(w[k].cls & OF) and plain(w[k + 1])


def is_tool(p: Phrase, i: int) -> bool:
    """Is the spoon or cup at i what one works with? "with a bar spoon", "in a cup"; not "put in a teaspoon", "go with
    a cup"
    """
    w = p.w
    if w[i - 1].text not in p.v.near["tool"]:
        return False
    return i < 2 or w[i - 2].text not in p.v.near["putting"]


def is_money(p: Phrase, i: int, k: int) -> bool:
    """Are these pounds money? "it cost twenty pounds"."""
    w = p.w
    if w[k].cls & OF:
        return False
    return any(w[n].text in p.v.near["paid"] for n in range(max(0, i - 4), i))


def another_unit(p: Phrase, i: int) -> Reading | None:
    """another-unit = ANOTHER {lean} unit [tail]"""
    j, said = p.inner(i)
    unit = p.unit(j)
    if unit is None:
        if p.w[j].cls & SECONDS and not p.w[j].plural and p.w[j].text != "day":
            value = ONE * p.w[j].seconds
            return Reading(i, j + 1, "time", value, value, rule="time")
        return None
    name, plural, k = unit
    if plural or ((name in ("part", "can", "bottle", "piece") or name in LOOSE) and not p.w[k].cls & OF):
        return None
    value = ONE
    rest = unit_tail(p, k, ONE, name)
    if rest is not None:
        value, k = value + rest.value, rest.next
    if name == "splash":
        return Reading(i, k, "vague", unit="splash", lean=join(said), rule="vague")
    return Reading(i, k, "amount", value, value, name, lean=join(said), rule="another")


def counting(p: Phrase, i: int) -> Reading | None:
    """counting = one [COMMA] two [COMMA] three ... unit: who counts aloud while pouring means the last number"""
    w = p.w
    if w[i].num != 1 or not w[i].cls & (DIGIT | LITERAL):
        return None
    last, j = 1, i + 1
    while last < 20:
        k = j + 1 if w[j].cls & COMMA else j
        if w[k].num != last + 1 or not w[k].cls & CARDINAL:
            break
        last, j = last + 1, k + 1
    unit = p.unit(j) if last > 1 else None
    if unit is None:
        return None
    value = Fraction(last)
    return Reading(i, unit[2], "amount", value, value, unit[0], rule="counting")


def summed(p: Phrase, got: Reading) -> Reading:
    """summed = amount (PLUS | AND) quantity of a smaller unit: "a tablespoon plus a teaspoon", "one pound four
    ounces"
    """
    w = p.w
    if got.kind != "amount" or got.unit not in SUMMED or got.low is None or got.low is not got.high:
        return got
    j = got.next
    plus = bool(w[j].cls & PLUS)
    if plus or w[j].cls & (AND | COMMA):
        j += 1
    elif got.unit != "lb":
        return got
    if not w[j].cls & (NUMERIC | ARTICLE) or not (plus or got.unit in ("lb", "cup", "pint", "tbsp")):
        return got
    more = quantity(p, j)
    if more is None or more.kind != "amount" or more.low is None or more.unit not in SUMMED:
        return got
    pound = got.unit == "lb"
    size = p.units.exact_grams if pound else p.units.exact_millilitres
    one, other = size(got.unit), size("oz_wt" if pound and more.unit == "fl_oz" else more.unit)
    if one is None or other is None or other > one or (not plus and (other == one or more.low * other >= one)):
        return got
    if w[got.next].cls & COMMA and not pound and w[more.next].cls & OF:
        return got
    listed = got.first > 0 and bool(w[got.first - 1].cls & COMMA) and plain(w[more.next])
    if w[got.next].cls & COMMA and not pound and listed:
        return got  # "sugar, one cup, two tablespoons sumac": the name of each stands beside it
    got.low = got.high = got.low + more.low * other / one
    got.next, got.rule = more.next, "plus"
    return got


def trailing(p: Phrase, got: Reading) -> Reading:
    """after = {lean} [each]   ("an ounce or so", "two ounces, heaping", "half an ounce of each")"""
    w = p.w
    j = got.next
    if got.kind in ("amount", "time", "number") and got.low is not None:
        k, said, about = p.leans(j, p.v.leans_after)
        if not said and w[j].cls & COMMA:
            k, said, about = p.leans(j + 1, p.v.leans_after)
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
        end = _each(p, j)
        if end is not None:
            got.next, got.each = end, True
    return got


def _each(p: Phrase, j: int) -> int | None:
    """each = [OF] EACH | OF (EACH | "every") "one" ["of" them] | OF "both" | OF "all" (number | "of" them)

    "An ounce each", "two parts of each one", "half an ounce of every one of them", "twenty mil of all three".
    """
    w = p.w
    of = bool(w[j].cls & OF)
    if of:
        j += 1
        if w[j].text == "both" and w[j + 1].cls & MARK:
            return j + 1
        if w[j].text == "all" and w[j + 1].cls & CARDINAL and w[j + 2].cls & MARK:
            return j + 2
        if w[j].text == "all" and _of_them(p, j + 1) > j + 1:
            return _of_them(p, j + 1)
        if w[j + 1].text == "one" and (w[j].cls & EACH or w[j].text == "every"):
            return _of_them(p, j + 2)
    if w[j].cls & EACH and w[j + 1].text not in ("time", "day", "week", "one"):
        return j + 1
    return None


def _of_them(p: Phrase, j: int) -> int:
    """["of" (them | these | those)]"""
    return j + 2 if p.w[j].cls & OF and p.w[j + 1].text in ("them", "these", "those") else j


def ranged(p: Phrase, left: Reading, *, between: bool) -> Reading | None:
    """range = quantity (TO | OR | HYPHEN | AND if between | COMMA) quantity | number quantity ("two three dashes")

    Without a word between the two, the second must be the greater and not much greater: "two, two and a half ounces".
    """
    w = p.w
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
        if w[j].text in p.v.near["possibly"]:
            j, loose = j + 1, False
    elif w[j].text in p.v.near["possibly"] and w[j + 1].cls & (CARDINAL | ARTICLE | DENOM):
        j += 1
    elif (left.kind == "number" and left.rule in ("cardinal", "literal") and cls & (DIGIT | TEEN | TENS)) or (
        cls & UNIT and left.kind == "amount" and (p.unit(j) or ("",))[0] == left.unit
    ):
        loose = True
    else:
        return None
    if not w[j].cls & (NUMERIC | ARTICLE | UNIT):
        return None
    right = quantity(p, j)
    if right is None or right.low is None or right.kind not in ("amount", "number", "time"):
        return None
    return ends_of_range(p, left, right, loose=loose, said=cls)


def ends_of_range(p: Phrase, left: Reading, right: Reading, *, loose: bool, said: int) -> Reading | None:
    """One reading of two quantities, if they are the ends of one range; `said` is what stands between them."""
    w = p.w
    if w[right.next].text == "if" or (w[right.next].cls & COMMA and w[right.next + 1].text == "if"):
        return None  # "half an ounce, maybe three quarters if it is a dry one": two amounts
    said_or = bool(said & (OR | COMMA))
    low, high = left.low, right.low
    if low is None or high is None or left.rule == "digits":
        return None
    if right.kind == "time":
        seconds = seconds_of(p, right)
        if left.kind == "number":
            low = low * seconds
        elif left.kind != "time":
            return None
    elif left.kind == "time":
        if right.kind != "number" or loose or right.rule not in ("cardinal", "literal") or not ends_here(p, right.next):
            return None
        high *= seconds_of(p, left)
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
        ) and (loose or not (right.rule in ("fraction", "mixed") and w[right.next].cls & OF)):
            return None
        if high <= low:
            return None
        if plain(w[right.next]) and not said_or and right.rule in ("cardinal", "literal"):
            return None
        return Reading(left.first, right.next, "amount", low, high, left.unit, lean=left.lean, rule="range")
    elif left.kind == "amount" and right.unit != left.unit:
        return None
    if (
        loose
        and said & COMMA
        and left.kind == "amount"
        and right.kind == "amount"
        and left.first > 1
        and w[right.next].cls & OF
    ):
        # "Peach liqueur, half an ounce, an ounce of lime": the first is told of what was named before it.
        named = w[left.first - 2] if w[left.first - 1].cls & (COMMA | AND) else w[left.first - 1]
        if named.cls & COMMA:
            named = w[left.first - 3]
        if plain(named) and not named.cls & NOT_NOUN:
            return None
    if high == low or (left.kind == "amount" and not left.whole and not right.whole):
        return None
    if loose:
        step = high - low
        # "A quarter, one dash": two amounts, where the list names the first thing before it.
        if not step > 0 or (high > 2 * low and (step > 1 or low < 1)):
            return None
    lean = join([left.lean] if left.lean else [], right.lean)
    return Reading(
        left.first, right.next, right.kind, min(low, high), max(low, high), right.unit, lean=lean, rule="range"
    )


def ends_here(p: Phrase, k: int) -> bool:
    """Does what is said end here: a mark, a function word, the end?"""
    return bool(p.w[k].cls & (MARK | FUNCTION | AND))
