"""May a number without a unit be an amount whose unit the talk carries over?

"Three quarters of lime", "dry vermouth, ten", "another half" may; a year, a price, an age, "number two", "these
three", "four drinks", "one of my favourites", "half awake" may not. Fractions are hardly ever anything else; whole
numbers need a place that fits; "one" needs the most, since it also stands for a thing.
"""

from __future__ import annotations

from extractor.measures.amounts import quantity
from extractor.measures.phrase import Phrase, Reading, plain
from extractor.measures.words import (
    AND,
    ARTICLE,
    CARDINAL,
    CLOCK,
    COMMA,
    DENOM,
    EACH,
    FUNCTION,
    GROUP,
    HYPHEN,
    LEADS,
    MARK,
    MASS,
    MONEY,
    NEGATIVE,
    NOT_BEFORE,
    NOT_BEFORE_OF,
    NOT_HALF,
    NOT_NOUN,
    NUMERIC,
    OF,
    ORDINAL,
    PEOPLE,
    PLUS,
    SECONDS,
    SIZE,
    STOP,
    TENS,
    THE,
    TO,
    UNIT,
    Term,
    walk,
)

PARTS = frozenset(("fraction", "mixed", "decimal"))


def may_be_amount(g: Phrase, got: Reading) -> bool:
    """True where the bare number `got` may be an amount."""
    w = g.w
    i, j = got.first, got.next
    if got.rule == "digits" or got.low is None or not 0 < got.low < 1000:
        return False
    before = w[i - 1] if i else None
    after = w[j]
    dated = after.text == "day" and w[j + 1].text in g.v.near["dated"] and bool(w[j + 2].cls & NUMERIC)
    if dated and before is not None and plain(before):
        return True  # "coconut cream 30 day syrup 15": of dates
    if after.cls & (MONEY | SECONDS | CLOCK | ORDINAL) or (
        after.cls & UNIT and not got.each and walk(g.v.units, w, j) is not None
    ):
        return False
    if g.t.joined[j] and after.text.isalpha():
        return False  # "three-ingredient", "half-baked"
    if got.relation and not after.cls & OF and plain(after) and after.cls & NOT_NOUN:
        return False
    if before is not None and (
        before.cls & (MONEY | NEGATIVE) or (before.cls & HYPHEN and g.t.joined[i]) or before.text in ("#", "/")
    ):
        return False
    if w[i].cls & ARTICLE and got.lean is None and got.rule in ("collective", "cardinal"):
        # "Lemon juice, a hundred and eighty, fresh": large, and between a name and a comma.
        large = got.rule == "cardinal" and got.low >= 20 and before is not None and before.cls & COMMA
        # "A hundred and twenty of hot water".
        poured = got.rule == "cardinal" and got.low >= 20 and after.cls & OF
        if not (large and after.cls & MARK) and not poured and not _listed(g, got, before):
            return False
    if got.rule == "collective" and not after.cls & OF:
        return False
    if after.text in g.v.near["not amount"] or (after.text in ("in", "percent") and w[j + 1].cls & NUMERIC):
        return False
    if after.cls & OF:
        return _of(g, got, before)
    if got.rule in PARTS or got.low.denominator > 1:
        return _part(g, got, before, after)
    return _whole(g, got, before, after)


def _of(g: Phrase, got: Reading, before: Term | None) -> bool:
    """number OF name: "two of gin", "half of my syrup"; not "one of my favourites", "half of you" """
    w = g.w
    j = got.next + 1
    first = w[j]
    round_ = got.low is not None and got.low >= 10 and got.low % 5 == 0
    if before is not None and before.cls & NOT_BEFORE_OF and not (before.cls & THE and got.rule in PARTS):
        # "Your thirty of lemon": a round number of what is poured.
        return before.text in g.v.near["usual"] and round_ and plain(first) and not _counts(g, j, plurals=True)
    if first.cls & EACH:
        return True
    if (
        first.cls & ARTICLE
        and (got.rule in PARTS or round_)
        and plain(w[j + 1])
        and not w[j + 1].cls & (NOT_NOUN | PEOPLE | SECONDS)
    ):
        j += 1  # "three quarters of an artichoke amaro", "fifteen of a cherry liqueur"
        first = w[j]
    if first.cls & GROUP and w[j + 1].text in g.v.near["measured so"]:
        return True  # "ten of pair liqueur": the fruit
    if not first.cls & PEOPLE:
        # A fraction of a thing is an amount of it; what stands two words on may be another sentence ("store bought").
        within = 2 if got.rule in PARTS else 4
        return not first.cls & (NOT_NOUN | MARK) and not _counts(
            g, j, plurals=got.rule not in PARTS and got.low == 1, within=within
        )
    if first.text in g.v.near["owned"]:
        return False
    if first.cls & (ARTICLE | NUMERIC):
        return False
    if first.text == "that" and w[j + 1].cls & (MARK | FUNCTION | AND):
        # "Two and a half of that"; "verjuice, thirty of that": round numbers are poured, "three of that" is counted.
        return got.rule in PARTS or (got.low is not None and got.low >= 10 and got.low % 5 == 0)
    if not w[j + 1].text[0].isalpha() or w[j + 1].cls & (NOT_NOUN | NUMERIC):
        return False
    return not _counts(g, j + 1, plurals=got.rule not in PARTS)


def _counts(g: Phrase, j: int, *, plurals: bool, within: int = 4) -> bool:
    """Do the names from j on, so many at most, end in something that is counted, not poured?"""
    w = g.w
    for n in range(j, j + within):
        term = w[n]
        if not plain(term):
            return False
        if term.cls & NOT_NOUN or term.text in g.v.near["best"]:
            return True
        if plurals and _plural(term):
            return True
    return False


def _plural(term: Term) -> bool:
    text = term.text
    return len(text) > 3 and text.endswith("s") and not text.endswith(("ss", "us", "is")) and not term.cls & MASS


def _part(g: Phrase, got: Reading, before: Term | None, after: Term) -> bool:
    """A fraction, a mixed number or a decimal without "of" behind it."""
    w = g.w
    j = got.next
    if before is not None and ((before.cls & NOT_BEFORE_OF and before.text != "that") or before.cls & NUMERIC):
        return False
    if after.cls & ARTICLE and _half_a(g, got, before):
        return True
    if after.text == "in" and w[j + 1].text in ("total", "all"):
        return True  # "that makes three quarters in total"
    if w[j - 1].cls & DENOM:
        if before is not None and before.text == "at" and plain(after):
            return False  # "at half speed"
        if before is not None and before.text == "in" and got.first > 1 and got.rule == "fraction":
            put = w[got.first - 2].text in g.v.near["putting"]
            if not put and not (plain(after) and not after.cls & NOT_HALF):
                return False  # "cut in half"
        if after.cls & NOT_HALF and not (
            after.text in ("on", "in", "if", "so", "i", "you", "this", "that", "the", "a") and got.rule == "mixed"
        ):
            return bool(got.rule == "mixed" and after.cls & FUNCTION)
        if after.cls & TO and w[j + 1].cls & NUMERIC:
            return False
    if after.cls & ARTICLE:
        return _half_a(g, got, before)
    if after.cls & NOT_NOUN:
        return False
    # "In the best way and half falernum" begins a new amount.
    anew = w[got.first].text == "half" and plain(after) and not after.cls & NOT_NOUN
    if before is not None and before.cls & AND and got.first > 1 and w[got.first - 2].cls & NOT_NOUN and not anew:
        return False  # "time and a half"
    if after.cls & NUMERIC and quantity(g, j) is None:
        return False
    if after.cls & AND and w[j + 1].text == "half" and got.low is not None and got.low * 2 == 1:
        return False
    return not (w[j - 1].text == "half" and _counts(g, j, plurals=False))


def _half_a(g: Phrase, got: Reading, before: Term | None) -> bool:
    """ "lime juice, half a fallonum, a quarter of": most likely "half of", in a list of amounts"""
    w = g.w
    if before is None or not before.cls & (COMMA | STOP):
        return False
    for n in range(got.next + 1, got.next + 4):
        if w[n].cls & MARK:
            return n > got.next + 1
        if not plain(w[n]) or w[n].cls & NOT_NOUN:
            return False
    return False


def _whole(g: Phrase, got: Reading, before: Term | None, after: Term) -> bool:
    """A whole number without "of" behind it: it needs a place that fits."""
    w = g.w
    i, j = got.first, got.next
    if (
        before is not None
        and after.cls & MARK
        and (_apposed(g, i, before) or _at(g, got, before) or _each_at(g, i, before))
    ):
        return True
    if before is not None and after.cls & MARK and (_taken(g, i) or _gets(g, i) or _of_which(g, i)):
        return True
    if before is not None and _heads_list(g, got, before):
        return True
    if before is not None and before.text == "that" and i > 1 and w[i - 2].text == "make" and after.cls & MARK:
        return True  # "Make that fifty."
    if before is not None:
        if before.cls & (NOT_BEFORE | THE | OF | NUMERIC | NOT_NOUN):
            return False
        if before.cls & FUNCTION and not before.cls & (LEADS | AND) and not got.relation:
            return False
    if after.cls & CARDINAL:
        more = quantity(g, j)
        if more is None or (more.kind == "number" and not w[more.next].cls & OF):
            return False
    if after.cls & NOT_NOUN or _counts(g, j, plurals=True):
        return False
    if after.cls & DENOM or (after.cls & PLUS and w[j + 1].cls & NUMERIC) or (before is not None and before.cls & PLUS):
        return False
    if after.text == "for" or after.cls & ARTICLE:
        return False  # "two for a tenner"
    if after.text == "in" and w[j + 1].cls & THE:
        return False  # "two in the morning"
    if before is not None and before.cls & STOP and i > 1 and w[i - 2].text == "no":
        return False  # "no. 5"
    if got.low == 1 and got.high == 1:
        return _one(g, got, before, after)
    if after.text in ("or", "to") and w[j + 1].cls & NUMERIC:
        return False
    if before is None or before.cls & STOP:
        return plain(after) or bool(after.cls & (MARK | AND | EACH))
    return True


def _apposed(g: Phrase, i: int, before: Term) -> bool:
    """ "Apricot liqueur, that's fifteen.": said of the thing just named."""
    w = g.w
    start = i - 1
    if before.text in g.v.near["usual"] and start > 0:
        start -= 1  # "lime, that's your twenty"
        before = w[start]
    if before.text in ("is", "be", "'s") and start > 0:
        start -= 1
        before = w[start]
    if before.text not in ("that's", "it's", "that", "it", "that'll", "it'll", "goes") or start < 2:
        return False
    named = w[start - 2]
    if named.text == "sec" and start > 2 and w[start - 3].text == "triple":
        return bool(w[start - 1].cls & COMMA)  # no second
    return bool(w[start - 1].cls & COMMA) and plain(named) and not named.cls & (NUMERIC | NOT_NOUN | PEOPLE)


def _at(g: Phrase, got: Reading, before: Term) -> bool:
    """ "Lime juice at fifteen.": of a round number behind what may be a name; not "he left home at fifteen"."""
    w = g.w
    i = got.first
    if before.text != "at" or i < 3 or got.low is None or got.low < 5 or got.low % 5 or w[got.next].cls & CLOCK:
        return False
    return plain(w[i - 2]) and not w[i - 2].cls & (NOT_NOUN | PEOPLE) and w[i - 2].text in g.v.near["juice"]


BACK = 24
"""So many words back a list may have begun in which the number is the next."""


def _each_at(g: Phrase, i: int, before: Term) -> bool:
    """ "Brandy at fifty mil, triple sec at twenty.", "Lime comes in at one.": behind an amount told so, or a verb."""
    w = g.w
    if before.text != "at" or i < 3:
        return False
    k = i - 3 if w[i - 2].text == "in" else i - 2
    if w[k].text in g.v.near["stands at"]:
        return k > 0 and plain(w[k - 1]) and not w[k - 1].cls & (NOT_NOUN | PEOPLE)  # not "he comes in at nine"
    for k in range(i - 2, max(0, i - BACK), -1):
        if w[k].cls & STOP:
            return False
        if w[k].text == "at" and w[k + 1].cls & (NUMERIC | ARTICLE):
            told = quantity(g, k + 1)
            if told is not None and told.kind == "amount" and told.unit is not None:
                return plain(w[i - 2]) or bool(w[i - 2].cls & SECONDS)  # triple sec
    return False


def _taken(g: Phrase, i: int) -> bool:
    """ "The vermouth, there I take three,", "for syrup I only do fifteen": of the thing told right before it."""
    w = g.w
    k = i - 1
    while k > 0 and w[k].text in g.v.near["only"]:
        k -= 1
    if k < 3 or w[k].text not in g.v.near["taking"]:
        return False
    k -= 1
    while k > 0 and w[k].text in g.v.near["only"]:
        k -= 1
    if k < 2 or w[k].text not in g.v.near["taker"]:
        return False
    k -= 1
    if w[k].text in g.v.near["of it"]:
        k -= 1
        return k > 0 and bool(w[k].cls & COMMA) and plain(w[k - 1])
    if not plain(w[k]) or w[k].cls & (NOT_NOUN | PEOPLE | NUMERIC):
        return False
    # "Of the cardamom syrup you give her twenty."
    return any(w[n].text in g.v.near["told of"] for n in range(max(0, k - 4), k))


def _listed(g: Phrase, got: Reading, before: Term | None) -> bool:
    """ "Two hundred lemon juice, and a hundred sugar syrup.": the next of a list of numbers, each with its name."""
    w = g.w
    k = got.first - 1
    if before is None or not before.cls & (COMMA | AND) or not plain(w[got.next]) or w[got.next].cls & NOT_NOUN:
        return False
    if _counts(g, got.next, plurals=True):
        return False
    while k > 0 and w[k].cls & (COMMA | AND):
        k -= 1
    named = k
    while k > 0 and plain(w[k]) and not w[k].cls & (NOT_NOUN | PEOPLE | NUMERIC) and not _plural(w[k]):
        k -= 1
    return k < named and bool(w[k].cls & CARDINAL)


def _gets(g: Phrase, i: int) -> bool:
    """ "The vermouth gets twenty,", "the gin takes the sixty,": of a thing told so right before."""
    w = g.w
    k = i - 2 if w[i - 1].cls & THE else i - 1
    if k < 2 or w[k].text not in g.v.near["gets"]:
        return False
    if w[k].text == "is" and (w[i - 1].cls & THE or not (w[i].cls & TENS and w[i + 1].cls & MARK)):
        return False  # "the gin is fifty," but not "the plan is the fifty", "the lime is one"
    named = k - 1
    while named > 0 and k - named < 4 and plain(w[named]) and not w[named].cls & (NOT_NOUN | PEOPLE | NUMERIC):
        named -= 1
    # The article, or a sentence begun with the name: "Lemon juice gets twenty." No lone noun: "My boss takes ten".
    return named < k - 1 and (w[named].text in g.v.near["usual"] or (k - named > 2 and bool(w[named].cls & MARK)))


def _of_which(g: Phrase, i: int) -> bool:
    """ "Then lemon, of which twenty," """
    w = g.w
    return i > 3 and w[i - 1].text == "which" and bool(w[i - 2].cls & OF and w[i - 3].cls & COMMA) and plain(w[i - 4])


def _heads_list(g: Phrase, got: Reading, before: Term) -> bool:
    """ "That's three hundred gin, two hundred lemon juice": the first of a list of numbers, each with its name."""
    w = g.w
    if before.text not in g.v.near["heads list"] or got.rule not in ("cardinal", "literal"):
        return False
    k = got.next
    while k < got.next + 3 and plain(w[k]) and not w[k].cls & (NOT_NOUN | PEOPLE) and not _plural(w[k]):
        k += 1
    if k == got.next or not w[k].cls & (COMMA | AND):
        return False
    while w[k].cls & (COMMA | AND):
        k += 1
    more = quantity(g, k) if w[k].cls & (NUMERIC | ARTICLE) else None
    return (
        more is not None
        and more.kind in ("number", "amount")
        and plain(w[more.next])
        and not w[more.next].cls & (NOT_NOUN | PEOPLE)
        and not _plural(w[more.next])
    )


def _one(g: Phrase, got: Reading, before: Term | None, after: Term) -> bool:
    """ "One" as a number: behind a name or a comma, and not the "one" of "a good one", "that one", "one is" """
    w = g.w
    i = got.first
    if got.lean:
        return False
    if w[i].cls & TENS or (w[i].text not in ("one", "1") and not got.relation):
        return True
    if got.relation:
        return bool(after.cls & OF)
    if w[i].text == "1":
        return plain(after) or bool(after.cls & MARK)
    if before is None or not (after.cls & MARK or plain(after) or after.cls & AND):
        return False
    if before.cls & (FUNCTION | SIZE) or before.cls & STOP:
        return False
    if before.cls & COMMA:
        return bool(i > 1 and plain(w[i - 2]) and after.cls & MARK) or _listed(g, got, before)
    if not plain(before) or _plural(before):
        return False
    for n in range(i - 1, max(-1, i - 5), -1):
        if w[n].cls & (MARK | AND | NUMERIC):
            break
        if w[n].cls & (ARTICLE | THE | FUNCTION):
            return False
    return True


__all__ = ["may_be_amount"]
