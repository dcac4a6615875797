"""Where a promised drink begins that no sign opened: the speaker said three, and two were found.

The opening was misheard, or the captions lost it. Then the likeliest place is looked for: the drink before has been
served, things are poured that were not named before, and perhaps a weak sign stands there. Without a promise the same
place must be far likelier. A drink left undivided gives all that the second one holds to the first.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from extractor.numbers import NUMBERS
from extractor.specs.drink_names import alike, key_of
from extractor.specs.modes import mode_at
from extractor.specs.same import same_thing

if TYPE_CHECKING:
    from extractor.specs.drink_names import Name
    from extractor.specs.drink_signs import Opening
    from extractor.specs.drinks import DrinkFinder, DrinkSpan

PROMISED, UNPROMISED = 4.95, 7.3
"""So likely must a place be where a drink is wanting, and where none is. Set by hand against the written talks, as the
weights below; only their order matters."""
SERVED, GARNISHED, TASTED, FRESH, ORDERED, BEFORE_IT, MADE = 1.2, 0.5, 0.6, 0.5, 1.2, 1.0, 0.6
FAR, FARTHER = 220, 350
"""The amounts of two drinks are mostly so many characters apart."""
NEAREST = 100
LIKELY_NAME = 2.0
INTRO = 0.2
"""What the talk holds is promised in this share of it."""
_SERVING = frozenset(("strain", "fine strain", "open pour", "blend", "top"))
_MAKING = frozenset((*_SERVING, "shake", "stir", "build"))
_POURED = ("fl_oz", "ml", "cl", "l", "dash", "part", "tsp", "tbsp", "bar_spoon", "cup", "bottle", "can")
"""A drink begins with one of these sooner than with a weight (of something cooked) or a number of pieces (of ice)."""
# "I've got three", "free drinks tonight", "three samples on the table": as a hint, where it is not counted for sure.
_HINT = re.compile(
    r"\b(?:(?:i've|i have|we've|we have|i got|we got|there are|have|doing|making|make|today(?:'s| is)?|"
    r"tonight(?:'s| is)?|it's|got)(?: got)? (?:just |only )?(two|three|four|five|free|tree|2|3|4|5)"
    r"(?=[,.;]| (?:drinks|of them|tonight|today|for you|things today|samples|glasses|cocktails|recipes))|"
    r"(two|three|four|five|free|tree|for|2|3|4|5) (?:\w+ )?(?:drinks|cocktails|samples|things (?:today|tonight)))\b"
)
_HEARD = {"free": 3, "tree": 3, "for": 4}


@dataclass(frozen=True, slots=True)
class Place:
    """A place that may open a drink: which drink it would divide, where, and how likely it is."""

    drink: int
    start: int
    likely: float


def promised(finder: DrinkFinder) -> int:
    """How many drinks the talk promises; 0 where it promises none."""
    reader = finder.reader
    counted = [c.number for c in reader.talk.counts if c.label == "drinks" and c.start < 0.4 * len(reader.lower)]
    if counted:
        return counted[0]
    m = _HINT.search(reader.lower, 0, int(INTRO * len(reader.lower)))
    said = (m[1] or m[2]) if m is not None else ""
    return _HEARD.get(said) or (int(said) if said.isdigit() else int(NUMBERS.get(said) or 0))


def likeliest(finder: DrinkFinder, spans: Sequence[DrinkSpan], wanting: int) -> Place | None:
    """The likeliest place of a drink that no sign opened, if one is likely enough.

    wanting: how many drinks fewer than promised were found.
    """
    places = [
        p
        for k, s in enumerate(spans)
        if not s.turns
        for p in _places(finder, k, s, spans[k + 1].start if k + 1 < len(spans) else finder.tail)
    ]
    best = max(places, key=lambda p: p.likely, default=None)
    enough = PROMISED if wanting > 0 else UNPROMISED
    return best if best is not None and best.likely >= enough else None


def _places(finder: DrinkFinder, drink: int, span: DrinkSpan, end: int) -> list[Place]:
    pours = [p for p in finder.pours if span.start <= p < end]
    out = []
    for j in range(1, len(pours)):
        if pours[j] - pours[j - 1] < NEAREST:
            continue
        likely = _likely(finder, span, end, pours, j)
        if likely >= PROMISED:
            out.append(Place(drink, _opening(finder, span, pours[j - 1], pours[j]), likely))
    return out


def _likely(finder: DrinkFinder, span: DrinkSpan, end: int, pours: Sequence[int], j: int) -> float:
    reader, talk = finder.reader, finder.reader.talk
    a, b = pours[j - 1], pours[j]
    served = any(
        t.name in _SERVING and a < t.start < b and not _through(reader.after(t.end, 4)) for t in talk.techniques
    ) or any(m.group == "glass" and a < m.start < b for m in finder.mentions)
    garnished = any(reader.has(label, a, b) for label in ("places.garnish", "places.garnished"))
    tasted = any(e.mode in ("tasting", "sip") and a < e.start < b for e in finder.extents)
    old = [m for m in finder.mentions if m.group == "ingredient" and span.start <= m.start < a + 60]
    new = [
        m for m in finder.mentions
        if m.group == "ingredient" and a + 60 <= m.start < end and m.how != "unknown"
        and mode_at(finder.extents, m.start) is None
    ]  # fmt: skip
    fresh = [m for m in new if not any(same_thing(m, o) for o in old)]
    signs = _signs(finder, span, a, b)
    named = span.name_start is not None and a < span.name_start < b
    # What was named before it was poured, and not when it was made.
    only_named = named and not any(a < x < (span.name_start or 0) for x in finder.served)
    order = max((s.order for s in signs), default=0.0)
    name = max((s.name_weight for s in signs if s.name is not None), default=0.0)
    made = any(t.name in _MAKING and b < t.start < end for t in talk.techniques)
    first = next((m for m in talk.measures if m.start == b), None)
    back = any(reader.has(f"turns.{label}", a, b) for label in ("forgotten", "recap"))
    return (
        SERVED * served
        + GARNISHED * garnished
        + TASTED * tasted
        + FRESH * min(len(fresh), 4)
        + 0.8 * (b - a > FAR)
        + 0.5 * (b - a > FARTHER)
        + min(order, ORDERED)
        + min(name, 2 * BEFORE_IT) / 2
        + MADE * made
        + 0.3 * min(len(pours) - j, 3)
        - 2.0 * back
        - 1.5 * (2 * len(fresh) <= len(new))
        - 1.0 * (j < 2)
        - 1.5 * (first is not None and first.kind != "equal" and first.unit not in _POURED)
        - 1.5 * (len(fresh) < 2)
        - 2.0 * only_named
    )


def _signs(finder: DrinkFinder, span: DrinkSpan, start: int, end: int) -> list[Opening]:
    """The signs of another drink than the one in hand, or one that the talk goes back to."""
    return [
        s for s in finder.signs()
        if start < s.start < end and not (s.name and span.name and alike(key_of(s.name.text), key_of(span.name)))
        and not (s.name and _named_before(finder, s.name, span.start))
    ]  # fmt: skip


def _named_before(finder: DrinkFinder, name: Name, start: int) -> bool:
    """Is something opened by the same name before?"""
    key = key_of(name.text)
    return any(
        x.name is not None and x.name.start < start and (x.order or x.name_weight >= LIKELY_NAME)
        and key_of(x.name.text) == key
        for x in finder.signs()
    )  # fmt: skip


def _through(after: Sequence[str]) -> bool:
    """ "Strain it through a coffee filter" serves nothing."""
    return "through" in after and not {"into", "in", "over"} & set(after)


def _opening(finder: DrinkFinder, span: DrinkSpan, before: int, at: int) -> int:
    """Where the drink begins whose first amount stands at an offset: at a sign, else behind what serves the one before,
    at most four sentences before the amount."""
    reader = finder.reader
    signs = [s for s in _signs(finder, span, before, at) if s.order or s.name_weight >= BEFORE_IT]
    served = [x for x in finder.served if before < x < at]
    behind = [s for s in signs if not served or s.start > served[0]]
    if behind:
        return max(behind, key=lambda s: (s.weight, -s.start)).start
    number = reader.sentence_number(at)
    start = max(reader.sentence_span(max(0, number - 4))[0], span.name_end or 0 if (span.name_end or 0) < at else 0)
    last = reader.sentence_number(max((x for x in served if x < at), default=before))
    return max(start, min(reader.sentence_span(min(last + 1, number))[0], at))
