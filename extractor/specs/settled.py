"""Whether the speaker has said which of two amounts holds, or whether the second is no other amount at all.

"So it's three. Three ounces of the wine", "not the half", "scratch the two" put right; "one cup of lemon juice, and
that's about six lemons" says the same thing in another way. What is settled is not asked.
"""

from __future__ import annotations

import re

from extractor.numbers import NUMBERS
from extractor.record.measure import Measure
from extractor.specs.gaps import TalkReader

NEAR = 140
"""Characters around the second amount in which the first may be taken back in so many words. Our estimate."""
_WORD = re.compile(r"[\w'¼½¾⅓⅔]+")
_FRACTIONS = frozenset(("half", "quarter", "quarters", "third", "thirds", "and", "a", "an", "point"))
# Between an amount and the same one said again: "it wants two, so two ounces".
_AGAIN = frozenset(("so", "yes", "yeah", "and", "right", "okay", "that's"))
_ASSERTS = frozenset(
    ("it's", "is", "be", "that's", "so", "wants", "gets", "takes", "needs", "now", "was", "make", "it")
)
POURED = ("fl_oz", "ml", "cl", "l", "cup", "pint", "tbsp", "tsp", "bar_spoon")
COUNTED = ("piece", "slice", "wedge", "wheel", "peel", "leaf", "sprig")
BY_DROPS = ("dash", "drop")


def same_number(m: Measure, bare: Measure) -> bool:
    """ "Two of the sloe gin", where "two measures" was said: the same number, the second time without its unit."""
    return bare.unit is None and bare.low is not None and m.counted == (bare.low, bare.high)


def of_another_thing(first: Measure, again: Measure) -> bool:
    """Told again without its name, a dash stands behind what was poured: "barley tea, thirty. One dash"."""
    return again.unit in BY_DROPS and first.unit in POURED


def explains(first: Measure, second: Measure, reader: TalkReader, *, recap: bool) -> bool:
    """Is the second no other amount, but the first in other words: "that's about six lemons", "that's five mil"?

    A fruit with a mere article behind a volume of its juice ("careful, a lemon that comes here") counts nothing, unless
    the list is told again: there "a lemon" is another amount.
    """
    if first.unit not in POURED:
        return False
    near = reader.cues_in("turns.in other words", max(0, second.start - 40), second.start)
    joined = any(c.end <= second.start and not reader.gap(c.end, second.start).words for c in near)
    if second.unit in POURED:
        return joined and second.unit != first.unit
    if second.unit not in COUNTED and (second.unit is not None or second.thing is None):
        return False
    return joined or (not recap and second.low == 1 and second.said.lower().split()[:1] in (["a"], ["an"]))


def put_right(first: Measure, second: Measure, reader: TalkReader, at: int) -> bool:
    """Does the speaker say, where the second amount stands (`at`: with its name), that the first is off?"""
    return _denied(first, reader, max(first.end, at - NEAR), second.end + NEAR) or _said_twice(second, reader)


def _number_words(measure: Measure) -> list[str]:
    """The words of its number, without the unit and without an article before it: "half" of "a half ounce"."""
    words = _WORD.findall(measure.said.lower())
    while words and words[0] in ("a", "an", "the", "about", "around", "maybe"):
        words = words[1:]
    known = [w in NUMBERS or w in _FRACTIONS or w.isdigit() for w in words]
    words = words[: known.index(False)] if False in known else words
    while words and words[-1] in ("a", "an", "and"):
        words = words[:-1]
    return words


def _denied(first: Measure, reader: TalkReader, start: int, end: int) -> bool:
    """ "Not the half", "scratch the two": the first number is taken back by name."""
    number = tuple(_number_words(first))
    if not number:
        return False
    return any(reader.after(c.end, len(number)) == number for c in reader.cues_in("turns.denied", start, end))


def _said_twice(second: Measure, reader: TalkReader) -> bool:
    """ "It's three. Three fluid ounces": an amount that is insisted on is the one that holds."""
    number = _number_words(second)
    if second.low is None:
        return False
    full = _WORD.findall(second.said.lower())
    behind = reader.after(second.end, len(full) + 1)
    if _asserted(reader.before(second.start, 1)) and _begins_with(behind, full):
        return True
    before = list(reader.before(second.start, len(full) + 3))
    while before and before[-1] in _AGAIN:
        before.pop()
    for said in (full, full[1:] if full[:1] in (["a"], ["an"]) else full, number):
        if said and before[-len(said) :] == said and _asserted(before[: -len(said)][-1:]):
            return True
    return False


def _asserted(words: list[str] | tuple[str, ...]) -> bool:
    return bool(words) and words[-1] in _ASSERTS


def _begins_with(words: tuple[str, ...], said: list[str]) -> bool:
    shorter = said[1:] if said[:1] in (["a"], ["an"]) else said
    return list(words[: len(said)]) == said or list(words[: len(shorter)]) == shorter
