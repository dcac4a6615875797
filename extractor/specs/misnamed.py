"""A thing named wrongly and put right by its name: "I said lime, it is lemon"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.same import words_of

SAID_WITHIN = 6
"""Behind "what did I say to you" the wrong name follows within so many words."""
BACK = 900
"""The wrong name was told so many characters before."""
_IT_IS = frozenset(
    ("it", "is", "it's", "not", "but", "i", "meant", "mean", "should", "be", "no", "that's", "make", "a", "the", "was")
)


def renamed(mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> list[Mention]:
    """The mentions, those named wrongly before with the right name; the two of the correction itself are left out.

    "Twenty of lime juice. ... Wait, what did I say, lime? It is lemon." makes the lime juice lemon juice.
    """
    out = list(mentions)
    for cue in reader.cues("turns.said before"):
        behind = [m for m in out if cue.end <= m.start < cue.end + 120]
        if len(behind) < 2 or any(cue.end <= m.start < behind[1].start for m in reader.talk.measures):
            continue
        wrong, right = behind[:2]
        between = reader.gap(wrong.end, right.start).words
        if (
            len(reader.gap(cue.end, wrong.start).words) > SAID_WITHIN
            or not between or not set(between) <= _IT_IS or not {"is", "it's", "meant", "be", "that's"} & set(between)
            or words_of(wrong.heard) == words_of(right.heard)
        ):  # fmt: skip
            continue
        told = [m for m in out if cue.start - BACK < m.start < cue.start and words_of(wrong.heard) <= words_of(m.name)]
        if not told:
            continue
        put_right = _in_place(told[-1], wrong, right, lexicon)
        if put_right is not None:
            out = [put_right if m is told[-1] else m for m in out if m is not wrong and m is not right]
    return out


def _in_place(told: Mention, wrong: Mention, right: Mention, lexicon: Lexicon) -> Mention | None:
    """ "Lime juice" with lemon for lime."""
    name = plain(told.name).replace(plain(wrong.heard), plain(right.heard))
    entry = lexicon.named(name)
    if entry is None:
        return None
    return replace(told, name=entry.name, entry=entry, how="other name")
