"""Captions that roll up: each line is shown again below, above or inside the next, though it was spoken once.

Two or three lines that move up, a line that grows word by word, captions held for a hundredth of a second, and captions
sent again by the next piece of a stream. In each, the words that a caption shows first are the words that the caption
before it showed last. Talk hardly ever does that by itself, so it is decided for the whole file: where the overlaps are
many, they are copies; where they are few, somebody said "no" twice.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import islice, pairwise
from operator import lt
from typing import NamedTuple

from extractor.captions.cues import Cue

LEAST_SHARE = 0.3
"""Of the captions with words, so many begin with what the one before ended with."""
LEAST_PAIRS = 2
LEAST_WORDS = 4
"""Repeated in all: "Cheers." "Cheers." "Cheers." is no roll-up."""
LONGEST_GAP_S = 3.0
"""A caption that comes later than this after the one before shows nothing again: the screen was clear."""


class Shown(NamedTuple):
    """A caption shows the spoken words `low` to `high` (not included); those from `new` on for the first time."""

    low: int
    new: int
    high: int


MOST_WORDS = 200
"""One caption shows no more."""


def overlap(before: list[str], words: list[str], most: int) -> int:
    """How many of the first words, at most `most`, are the last words of the caption before."""
    first = words[0]
    if first not in before:
        return 0
    size = len(before)
    for k in range(min(size, most, MOST_WORDS), 0, -1):
        if before[size - k] == first and before[size - k :] == words[:k]:
            return k
    return 0


def shown(
    cues: Sequence[Cue], tokens: Sequence[list[str]], fresh: dict[int, int], first_line: Callable[[int], int]
) -> list[Shown] | None:
    """What each caption shows, as indexes of spoken words; None where no caption shows anything again.

    `tokens` are each caption's words; `fresh[i]` says how many words of caption i can be copies at most, where its
    word times tell; `first_line(i)` how many words stand on its first line.
    """
    sent = _sent_again(cues, tokens)
    overlaps = _overlaps(cues, tokens, fresh, sent)
    pairs = sum(map(bool, tokens)) - 1
    if len(overlaps) < max(LEAST_PAIRS, LEAST_SHARE * pairs) or sum(overlaps.values()) < LEAST_WORDS:
        overlaps = {}
    if not overlaps and not sent:
        return None
    out: list[Shown] = []
    high = 0
    last = -1
    for i, words in enumerate(tokens):
        if i in sent:
            low, _, top = out[sent[i]]
            out.append(Shown(low, top, top))
            continue
        k = overlaps.get(i, 0)
        if k == 1 and not (len(tokens[last]) == 1 or len(words) == 1 or first_line(i) == 1):
            k = 0
        if k and out[last].high != high:
            k = 0
        out.append(Shown(high - k, high, high + len(words) - k))
        high += len(words) - k
        if words:
            last = i
    return out


def _overlaps(
    cues: Sequence[Cue], tokens: Sequence[list[str]], fresh: dict[int, int], sent: dict[int, int]
) -> dict[int, int]:
    out: dict[int, int] = {}
    spoken = [i for i, words in enumerate(tokens) if words and i not in sent]
    # One pass for the few captions whose first word the one before has at all; most talk has hardly any.
    for last, i in [(a, b) for a, b in pairwise(spoken) if tokens[b][0] in tokens[a]]:
        words = tokens[i]
        k = overlap(tokens[last], words, fresh.get(i, len(words)))
        start_s, end_s = cues[i].start_s, cues[last].end_s
        if k and not (start_s is not None and end_s is not None and start_s - end_s > LONGEST_GAP_S):
            out[i] = k
    return out


def _sent_again(cues: Sequence[Cue], tokens: Sequence[list[str]]) -> dict[int, int]:
    """Captions with the very times and words of an earlier one: pieces of a stream repeat them at their seams."""
    out: dict[int, int] = {}
    starts = [cue[0] for cue in cues if cue[0] is not None]
    if all(map(lt, starts, islice(starts, 1, None))):
        return out
    seen: dict[tuple[float | None, float | None, tuple[str, ...]], int] = {}
    for i, cue in enumerate(cues):
        if cue.start_s is None or not tokens[i]:
            continue
        earlier = seen.setdefault((cue.start_s, cue.end_s, tuple(tokens[i])), i)
        if earlier != i:
            out[i] = earlier
    return out
