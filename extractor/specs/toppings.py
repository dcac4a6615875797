"""What a drink is filled up with, told without "top": "soda on top", "lager the rest of the way", "tonic, fill it"."""

from __future__ import annotations

import re

from extractor.lexicon import Lexicon
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

LENGTHENERS = ("mixer", "beer", "cider", "sparkling wine", "water")
"""Kinds that fill a glass; a spirit "on top" floats, and nutmeg on top decorates."""
FILLERS = (*LENGTHENERS, "tea", "coffee", "juice", "wine", "plant milk")
"""What else may fill it, where that is told plainly: "hot coffee up to the line"."""
_VESSELS = (("glass",), ("glasses",), ("goblet",), ("goblets",), ("cup",), ("cups",), ("mug",), ("bottle",), ("flute",))
NEAR = 3
"""So many words at most stand between the name and the words that it fills up."""

_FIZZES = ("mixer", "beer", "sparkling wine")
GLASS_WITHIN = 60
"""What fizzes is named so many characters behind the glass at most, where no word says that it tops it up."""
_SERVED_BY = ("strain", "fine strain", "open pour")
_ENDS = re.compile(r"\s*(?:[,.;:!]|$)|\s+(?:and|then|on top|up|till|until|to)\b")
_BEGINS = re.compile(r"(?:[,.;:!?] |^)(?:(?:and|then|now|plus|cold|chilled|some|the|a little|a bit of) )*$|"
                     r"\b(?:and|then|now|plus) (?:(?:then|cold|chilled|some|the) )*$")  # fmt: skip


def fills_up(reader: TalkReader, mention: Mention, end: int, lexicon: Lexicon) -> bool:
    """Does a thing without an amount, whose name (and what is said with it) ends at `end`, fill the glass up?"""
    if not lexicon.is_any(mention.entry, FILLERS) or reader.after(mention.end, 1) in _VESSELS:
        return False
    if lexicon.is_any(mention.entry, LENGTHENERS) and _behind(reader, end, "places.last poured"):
        return True
    if _behind(reader, end, "places.fills up"):
        return True
    for c in reader.cues_in("places.filled up with", max(0, mention.start - 60), mention.start):
        gap = reader.gap(c.end, mention.start)
        if c.end <= mention.start and not gap.stop and len(gap.words) <= NEAR - 1:
            return True
    return False


def _behind(reader: TalkReader, end: int, label: str) -> bool:
    for c in reader.cues_in(label, end, end + 60):
        gap = reader.gap(end, c.start)
        if not gap.stop and len(gap.words) <= NEAR and not _names(reader, end, c.start):
            return True
    return False


def _names(reader: TalkReader, start: int, end: int) -> bool:
    return any(m.group == "ingredient" and start <= m.start < end for m in reader.mentions_in(start, end))


def stands_behind_glass(reader: TalkReader, mention: Mention, lexicon: Lexicon) -> bool:
    """ "Tall glass with ice, soda, a lime wheel", "Tonic on top.": what fizzes, named by itself behind the glass."""
    entry = mention.entry
    if entry is None or entry.everyday or mention.how not in ("exact", "other name", "pronoun"):
        return False
    if not lexicon.is_any(mention.entry, _FIZZES):
        return False
    before = reader.lower[max(0, mention.start - 30) : mention.start]
    if _BEGINS.search(before) is None or _ENDS.match(reader.lower, mention.end) is None:
        return False
    if reader.lower.startswith(" on top", mention.end):
        return True
    near = max(0, mention.start - GLASS_WITHIN)
    glass = any(m.group == "glass" for m in reader.mentions_in(near, mention.start))
    return glass or any(near <= t.start < mention.start and t.name in _SERVED_BY for t in reader.talk.techniques)
