"""What a drink is filled up with, told without "top": "soda on top", "lager the rest of the way", "tonic, fill it"."""

from __future__ import annotations

from extractor.lexicon import Lexicon
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

LENGTHENERS = ("mixer", "beer", "cider", "sparkling wine", "water")
"""Kinds that fill a glass; a spirit "on top" floats, and nutmeg on top decorates."""
NEAR = 3
"""So many words at most stand between the name and the words that it fills up."""


def fills_up(reader: TalkReader, mention: Mention, end: int, lexicon: Lexicon) -> bool:
    """Does a thing without an amount, whose name (and what is said with it) ends at `end`, fill the glass up?"""
    if not _lengthens(mention, lexicon):
        return False
    for c in reader.cues_in("places.fills up", end, end + 60):
        gap = reader.gap(end, c.start)
        if not gap.stop and len(gap.words) <= NEAR and not _names(reader, end, c.start):
            return True
    for c in reader.cues_in("places.filled up with", max(0, mention.start - 60), mention.start):
        gap = reader.gap(c.end, mention.start)
        if c.end <= mention.start and not gap.stop and len(gap.words) <= NEAR - 1:
            return True
    return False


def _lengthens(mention: Mention, lexicon: Lexicon) -> bool:
    entry = mention.entry
    return entry is not None and any(lexicon.is_a(entry, k) for k in LENGTHENERS if k in lexicon.kinds)


def _names(reader: TalkReader, start: int, end: int) -> bool:
    return any(m.group == "ingredient" and start <= m.start < end for m in reader.mentions_in(start, end))
