"""An amount of others, or of once, and the one that holds: "the book says an ounce of lime, we do three quarters".

What a book, other people or the speaker's own past put in is only told about; the amount behind it, which names
nothing, is of the same thing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

# What ends right before the amount that holds: "now I put", "we only do", "this year's card says".
_HOLDS = re.compile(
    r"(?:"
    r"\b(?:i|we)(?:'ve)? (?:now |only |always |just |rather )?"
    r"(?:do|put|use|take|pour|give it|say|go|go with|go for|make it|write|have|keep it at|keep to|stay at)|"
    r"\b(?:card|book|page|label|recipe|note|paper|sheet|menu) (?:now |here |today )?(?:says|reads|has)|"
    r"\b(?:now|nowadays|these days|today|this year|this year's|tonight|here|with us|for (?:us|me|you)|mine is|"
    r"ours is|i'm at|we're at|"
    r"(?:i've|we've|i have|we have)? ?(?:cut|brought|taken|dropped|knocked|bring|take|drop|knock) (?:it|that) "
    r"(?:back |down )?to|"
    r"(?:ended up|settled|finished|landed) (?:up )?(?:at|on|with))"
    r"(?: it's| it is|,)?"
    r")(?: (?:about|with|for|at|just|only))?,? $|\bso(?: just| only)? $"
)
WITHIN = 10
"""Between the thing and the amount that holds are at most so many words."""


def holds_instead(reader: TalkReader, start: int, offset: int) -> bool:
    """Do the words right before an offset, behind `start`, say that what follows is the amount that holds?"""
    return _HOLDS.search(reader.lower, max(start, offset - 50), offset) is not None


def names_nothing(m: Measure, reader: TalkReader, mentions: Sequence[Mention]) -> bool:
    """No thing is named right behind an amount."""
    if reader.after(m.end, 1) == ("of",) and reader.after(m.end, 2)[1:] not in (("it",), ("that",), ("them",)):
        return False
    near = (x for x in mentions if m.end <= x.start < m.end + 30)
    return all(
        reader.gap(m.end, x.start).stop
        or len(reader.gap(m.end, x.start).words) > 2
        or any(m.end <= k.start < x.start and k.pours for k in reader.talk.measures)  # "so twenty and one egg white"
        for x in near
    )


def named_before(thing: Mention, offset: int) -> Mention:
    """A thing named anew, as by a pronoun, right before the amount that begins at an offset."""
    at = offset - 1
    return replace(thing, start=at - 1, end=at, core=(at - 1, at), how="pronoun")


def held_instead(
    told: Sequence[Mention], mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader,
    poured: Callable[[int], bool],
) -> list[Mention]:  # fmt: skip
    """The things that are only told about, named anew at the amount that holds of them.

    told: the things told about; mentions: all things named; poured: is an offset outside of what is told about?
    """
    out: list[Mention] = []
    for thing in told:
        for m in measures:
            if m.start <= thing.end or m.kind not in ("amount", "number") or not poured(m.start):
                continue
            gap = reader.gap(thing.end, m.start)
            if len(gap.words) > WITHIN or any(thing.end <= x.start < m.start for x in mentions):
                break
            if holds_instead(reader, thing.end, m.start) and names_nothing(m, reader, mentions):
                out.append(named_before(thing, m.start))
            break
    return out
