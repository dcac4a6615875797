"""What stands between two places of the talk: words, commas, full stops and cues."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from extractor.record.talk import Cue, Mention, Talk
from extractor.units import ABBREVIATED

_WORD = re.compile(r"[\w'¼½¾⅓⅔]+")
_FULL_STOP = re.compile(r"[.?!…](?=\s|$|[\"')])")

_ABBREVIATED = re.compile(rf"\b(?:{'|'.join(sorted(ABBREVIATED))})$")


@dataclass(frozen=True, slots=True)
class Gap:
    words: tuple[str, ...]
    comma: bool
    stop: bool


class TalkReader:
    """Quick looks into a Talk: the gap between two offsets, the cues in a stretch, the sentence around a place."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk
        self.lower = talk.lower
        by: dict[str, list[Cue]] = {}
        for c in talk.cues:
            by.setdefault(c.label, []).append(c)
        by["turns.correction"] = _that_correct(by.get("turns.correction", []), by.get("turns.no correction", []))
        self._cues: Mapping[str, list[Cue]] = by
        self._starts = {k: [c.start for c in v] for k, v in by.items()}
        self._mention_starts = [m.start for m in talk.mentions]
        self._sentences: list[tuple[int, int]] = []
        last = None
        for clause in talk.clauses:
            if clause.sentence == last:
                self._sentences[-1] = (self._sentences[-1][0], clause.end)
            else:
                self._sentences.append((clause.start, clause.end))
                last = clause.sentence
        self._sentence_starts = [s for s, _ in self._sentences]
        self.measured = frozenset(m.start for m in talk.measures if m.unit is not None)
        """Where an amount with its unit begins."""
        self._said: dict[str, tuple[int, ...]] = {}

    def gap(self, start: int, end: int) -> Gap:
        between = self.lower[start:end]
        return Gap(
            tuple(_WORD.findall(between)),
            any(c in between for c in ",;:–—"),
            _FULL_STOP.search(between, self._of_unit(start)) is not None,
        )

    def _of_unit(self, start: int) -> int:
        """1 where a full stop at an offset is the unit's: "16 oz. of gin". A capital behind it begins a sentence."""
        if not self.lower.startswith(". ", start) or not _ABBREVIATED.search(self.lower, max(0, start - 5), start):
            return 0
        return int(self.talk.transcript.text[start + 2 : start + 3].islower())

    def cues(self, label: str) -> Sequence[Cue]:
        return self._cues.get(label, ())

    def cues_in(self, label: str, start: int, end: int) -> list[Cue]:
        """The cues of a label that begin in [start, end)."""
        starts = self._starts.get(label)
        if not starts:
            return []
        return self._cues[label][bisect_left(starts, start) : bisect_left(starts, end)]

    def has(self, label: str, start: int, end: int) -> bool:
        return bool(self.cues_in(label, start, end))

    def sentence(self, offset: int) -> tuple[int, int]:
        """The sentence in which an offset lies."""
        if not self._sentences:
            return 0, len(self.lower)
        k = max(0, bisect_left(self._sentence_starts, offset + 1) - 1)
        return self._sentences[k]

    def sentence_number(self, offset: int) -> int:
        return max(0, bisect_left(self._sentence_starts, offset + 1) - 1)

    def sentence_span(self, number: int) -> tuple[int, int]:
        return self._sentences[number]

    @property
    def sentences(self) -> Sequence[tuple[int, int]]:
        return self._sentences

    def mentions_in(self, start: int, end: int) -> Sequence[Mention]:
        """The things named that begin in [start, end)."""
        return self.talk.mentions[bisect_left(self._mention_starts, start) : bisect_left(self._mention_starts, end)]

    def name_end(self, start: int) -> int:
        """The end of the name that begins at an offset."""
        k = bisect_left(self._mention_starts, start)
        return self.talk.mentions[k].end if k < len(self.talk.mentions) else start

    def before(self, offset: int, count: int) -> tuple[str, ...]:
        """The last `count` words before an offset."""
        return tuple(_WORD.findall(self.lower[max(0, offset - 16 * count - 16) : offset])[-count:])

    def after(self, offset: int, count: int) -> tuple[str, ...]:
        return tuple(_WORD.findall(self.lower[offset : offset + 16 * count + 16])[:count])

    def said_at(self, name: str) -> tuple[int, ...]:
        """The offsets at which a name is said, as words of their own.

        Every name that might be one is looked for in the whole talk, and most of them again and again: searched anew,
        or by a pattern, a long talk takes seconds.
        """
        sought = name.lower().replace("’", "'")
        if sought not in self._said:
            self._said[sought] = tuple(self._find(sought))
        return self._said[sought]

    def _find(self, sought: str) -> Iterator[int]:
        text = self.lower
        at = text.find(sought) if sought else -1
        while at >= 0:
            end = at + len(sought)
            alone = not (_in_word(text[at - 1 : at]) or text[at - 1 : at] == "'" or _in_word(text[end : end + 1]))
            if alone:
                yield at
            at = text.find(sought, end if alone else at + 1)


def _that_correct(corrections: Sequence[Cue], others: Sequence[Cue]) -> list[Cue]:
    """Without the "no" of "fifteen mil, no more", "no ice", and the "make that" of "I make that from peaches"."""
    ends = {c.start: c.end for c in others}
    return [
        c for c in corrections
        if c.start not in ends or (c.end - c.start > len("no") and not c.end < ends[c.start])
    ]  # fmt: skip


def _in_word(character: str) -> bool:
    return character.isalnum() or character == "_"
