"""Finds the phrases of lexicon/talk/: what the speaker is doing.

Needs: `doc._.spoken`, `doc._.measures`. Adds: `doc._.cues` (tuple of record.talk.Cue).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import TYPE_CHECKING

from spacy.language import Language
from spacy.tokens import Doc

from extractor.record.talk import Cue
from extractor.talk.lexicons import lexicon_for
from extractor.talk.phrases import PhraseIndex, phrase_index

if TYPE_CHECKING:
    from extractor.record.measure import Measure
    from extractor.talk.words import SpokenWords

CORRECTION = "turns.correction"
NO_HEARD_AS = frozenset(("know", "noah"))
FILES = ("turns", "modes", "places", "homemade", "promises")


@Language.factory(
    "pourword_cues",
    requires=["doc._.spoken", "doc._.measures"],
    assigns=["doc._.cues"],
    default_config={"lexicon": "", "own": []},
)
def make_cues(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Cues:
    return Cues(phrase_index(lexicon_for(lexicon, own).phrases, FILES))


class Cues:
    def __init__(self, index: PhraseIndex) -> None:
        self.index = index

    def __call__(self, doc: Doc) -> Doc:
        spoken = doc._.spoken
        cues = [
            Cue(spoken.starts[first], spoken.ends[end - 1], label)
            for label, first, end in self.index.find(spoken.words, spoken.stops)
        ]
        cues += _taken_back(spoken, doc._.measures, cues)
        cues.sort(key=lambda c: c.start)
        doc._.cues = tuple(cues)
        return doc


def _taken_back(spoken: SpokenWords, measures: Sequence[Measure], cues: Sequence[Cue]) -> list[Cue]:
    """ "Four ounces, know, that's last week's": right behind an amount no "know" is meant, but "no"."""
    taken = {c.start for c in cues if c.label == CORRECTION}
    out = []
    for m in measures:
        i = bisect_left(spoken.starts, m.end)
        if i < len(spoken.words) and spoken.words[i] in NO_HEARD_AS and spoken.starts[i] not in taken:
            out.append(Cue(spoken.starts[i], spoken.ends[i], CORRECTION))
    return out
