"""Amounts that do not measure: a splash, a few glugs, "top with", "to taste", "an absinthe rinse".

vague     = (ARTICLE | FEW | number | ANOTHER) {lean} vague-noun [OF name] | vague-noun OF name | "a little" name
told      = (number | ARTICLE) (inch | count) (OF name | pour) | number inch counter
last-of   = ARTICLE name{1,3} (rinse | rim | float | splash)
with-verb = (top | fill | rinse | rim) up to four words "with"
"""

from __future__ import annotations

from extractor.measures.amounts import amount
from extractor.measures.phrase import COUNTERS, ONE, Phrase, Reading, Relation, join, plain
from extractor.measures.words import (
    AND,
    ANOTHER,
    ARTICLE,
    COMMA,
    DENOM,
    DIGIT,
    FEW,
    FRACTION,
    FUNCTION,
    GROUP,
    INNER,
    LAST_OF,
    LEAN,
    LITERAL,
    LITTLE,
    MARK,
    NOT_LITTLE,
    NOT_NOUN,
    NUMERIC,
    OF,
    SIZE,
    TEEN,
    THE,
    UNIT,
    VAGUE,
    Vague,
    walk,
)


def vague_amount(p: Phrase, i: int) -> Reading | None:
    """vague = (ARTICLE | FEW | number | ANOTHER | THE) {lean} vague-noun [OF name] | vague-noun OF name | a little
    name
    """
    w = p.w
    cls = w[i].cls
    j = i
    relation: Relation | None = None
    if cls & VAGUE:
        phrase = walk(p.v.phrases, w, i)
        if phrase is not None:
            return Reading(i, phrase[1], "vague", unit=phrase[0], rule="phrase")
    counted = False
    if cls & ARTICLE or cls & ANOTHER:
        relation = "another" if cls & ANOTHER else None
        j = i + 1
        if w[j].cls & (DIGIT | LITERAL) and w[j + 1].cls & VAGUE:
            j += 1
        elif w[j].cls & INNER and w[j + 1].cls & FEW:
            j += 2
        elif w[j].cls & FEW or w[j].text == "couple":
            j += 1
            if w[j].cls & OF:
                j += 1
        counted = True
    elif cls & (FEW | DIGIT | TEEN | GROUP | LITERAL | DENOM | FRACTION):
        got = p.number(i)
        j = got.next if got is not None else i + 1
        if got is not None and got.value == 1 and w[j].cls & (DIGIT | LITERAL) and w[j + 1].text == "inch":
            j += 1
        if w[j].cls & OF:
            j += 1
        counted = True
    k, said = p.inner(j)
    got_noun = vague_noun(p, k)
    if got_noun is None and said:
        got_noun, said, k = vague_noun(p, j), [], j
    if got_noun is None:
        return None
    noun, end = got_noun
    of = bool(w[end].cls & OF)
    if of and (w[end + 1].cls & ARTICLE or counts_people(p, end + 1)):
        return None
    if noun.needs == "told":
        return told_count(p, i, end, cls)
    if noun.needs == "of" and not of:
        return None
    if not counted and (not of or (i > 0 and w[i - 1].cls & (UNIT | NUMERIC))):
        return None
    if noun.needs.endswith("name") and not of:
        after = w[end]
        name = plain(after) and not after.cls & (NOT_NOUN | NOT_LITTLE)
        ends = after.cls & MARK and w[k].cls & LITTLE and i > 0 and not w[i - 1].cls & FUNCTION and w[i - 1].cls & COMMA
        if not (name or ends):
            return None
    if not of and w[end].cls & NOT_NOUN and noun.needs != "":
        return None
    return Reading(i, end, "vague", unit=noun.unit, lean=join(said), relation=relation, rule="vague")


def told_count(p: Phrase, i: int, end: int, cls: int) -> Reading | None:
    """told = (number | ARTICLE) (inch | count) (OF name | "pour" | the end) | [ARTICLE | one] number inch counter

    "a four count", "three inches of cucumber" have no unit of the record; "a two-inch piece of ginger" is one piece.
    """
    w = p.w
    unit = p.unit(end)
    if unit is not None and unit[0] in COUNTERS and not unit[1]:
        return Reading(
            i, unit[2], "amount", ONE, ONE, unit[0], lean=join([t.text for t in w[end - 2 : end]]), rule="told"
        )
    if w[end].text == "pour":
        return Reading(i, end + 1, "vague", rule="told")
    name = w[end].cls & OF and plain(w[end + 1]) and not w[end + 1].cls & NOT_NOUN
    return Reading(i, end, "vague", rule="told") if name else None


def vague_noun(p: Phrase, k: int) -> tuple[Vague, int] | None:
    if not p.w[k].cls & VAGUE:
        return None
    got = walk(p.v.vague, p.w, k)
    return None if got is None else (got[0], got[1])


def counts_people(p: Phrase, k: int) -> bool:
    """Is what follows no ingredient: "a lot of people", "a bunch of you" """
    w = p.w
    for n in range(k, k + 3):
        if w[n].cls & NOT_NOUN or (n == k and w[n].text in p.v.near["owned"]):
            return True
        if not plain(w[n]) and not w[n].cls & (THE | SIZE):
            return False
    return False


def some_of(p: Phrase, i: int) -> Reading | None:
    """some = "some" name"""
    w = p.w
    after = w[i + 1]
    j = i + 1
    if after.cls & SIZE:
        after, j = w[i + 2], i + 2
    named = (
        after.cls & NOT_LITTLE and plain(w[j + 1]) and not w[j + 1].cls & (NOT_NOUN | NOT_LITTLE)
    )  # "some hot sauce"
    if not plain(after) or after.cls & NOT_NOUN or (after.cls & NOT_LITTLE and not named) or counts_people(p, j):
        return None
    return Reading(i, i + 1, "vague", rule="some")


def last_of(p: Phrase, i: int) -> Reading | None:
    """last-of = ARTICLE name{1,3} (rinse | rim | float | splash)   ("an absinthe rinse", "a salt rim")"""
    w = p.w
    j = i + 1
    k = j
    while k - j < 3 and plain(w[k]) and not w[k].cls & (LAST_OF | INNER):
        k += 1
    if k == j or not w[k].cls & LAST_OF:
        if k == j and w[k].cls & LAST_OF and w[k + 1].cls & OF and not w[k + 2].cls & NOT_NOUN:
            return Reading(i, k + 1, "vague", unit=p.v.last_of[w[k].text], rule="last-of")
        return None
    return Reading(i, k + 1, "vague", unit=p.v.last_of[w[k].text], thing=(j, k), rule="last-of")


def with_verb(p: Phrase, i: int) -> Reading | None:
    """with-verb = (top | fill | rinse | rim) up to four words "with", unless an amount, ice or a garnish follows"""
    w = p.w
    unit = p.v.with_verbs[w[i].text]
    j = i + 1
    while j - i < 6 and w[j].text.isalpha() and w[j].text != "with" and not w[j].cls & NUMERIC:
        j += 1
    if w[j].text != "with" or (w[i - 1].cls & (THE | ARTICLE) and i > 0):
        return None
    k = j + 1
    if w[k].cls & THE:
        k += 1
    for n in range(k, k + 4):
        if w[n].text in p.v.near["no top"]:
            return None
        if w[n].cls & (MARK | AND):
            break
    if w[k].text in ("this", "that", "it", "them"):
        return None
    more = amount(p, k) if w[k].cls & (NUMERIC | ARTICLE | UNIT | INNER | LEAN) else None
    if more is not None and more.kind in ("amount", "vague"):
        return None
    if w[k].cls & (ARTICLE | NUMERIC) and vague_amount(p, k) is None and unit == "top":
        return None
    return Reading(i, j + 1, "vague", unit=unit, rule="with-verb")
