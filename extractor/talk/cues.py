"""Finds the phrases of lexicon/talk/: what the speaker is doing.

Needs: `doc._.spoken`. Adds: `doc._.cues` (tuple of record.talk.Cue).
"""

from __future__ import annotations

from collections.abc import Sequence

from spacy.language import Language
from spacy.tokens import Doc

from extractor.record.talk import Cue
from extractor.talk.lexicons import lexicon_for
from extractor.talk.phrases import PhraseIndex, phrase_index

FILES = ("turns", "modes", "places", "homemade", "promises")


@Language.factory(
    "pourword_cues", requires=["doc._.spoken"], assigns=["doc._.cues"], default_config={"lexicon": "", "own": []}
)
def make_cues(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Cues:
    return Cues(phrase_index(lexicon_for(lexicon, own).phrases, FILES))


class Cues:
    def __init__(self, index: PhraseIndex) -> None:
        self.index = index

    def __call__(self, doc: Doc) -> Doc:
        spoken = doc._.spoken
        doc._.cues = tuple(
            Cue(spoken.starts[first], spoken.ends[end - 1], label)
            for label, first, end in self.index.find(spoken.words, spoken.stops)
        )
        return doc
