"""Finds the numbers of drinks, people and ingredients that the speaker promises.

Needs: `doc._.spoken`. Adds: `doc._.counts` (tuple of record.talk.Count).
"""

from __future__ import annotations

from collections.abc import Sequence

from spacy.language import Language
from spacy.tokens import Doc

from extractor.numbers import NUMBERS
from extractor.record.talk import Count
from extractor.talk.lexicons import lexicon_for
from extractor.talk.phrases import PhraseIndex, phrase_index


@Language.factory(
    "pourword_counts", requires=["doc._.spoken"], assigns=["doc._.counts"], default_config={"lexicon": "", "own": []}
)
def make_counts(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Counts:
    return Counts(phrase_index(lexicon_for(lexicon, own).phrases, ("counts",)))


class Counts:
    def __init__(self, index: PhraseIndex) -> None:
        self.index = index

    def __call__(self, doc: Doc) -> Doc:
        spoken = doc._.spoken
        out = []
        for label, first, end in self.index.find(spoken.words, spoken.stops):
            words = spoken.words[first:end]
            # The last number counts: "this one is for four people".
            said = [w for w in words if _is_number(w)]
            if label.endswith("amount") or _apart(doc.text, spoken.ends[first:end], words):
                continue
            number = (NUMBERS.get(said[-1]) or int(said[-1] if said[-1].isdigit() else 0)) if said else None
            if number is not None:
                out.append(Count(spoken.starts[first], spoken.ends[end - 1], label.partition(".")[2], number))
        doc._.counts = tuple(out)
        return doc


def _apart(text: str, ends: Sequence[int], words: Sequence[str]) -> bool:
    """A comma right behind the last number parts it from what is counted: "this is notebook seven, drinks"."""
    at = [k for k, w in enumerate(words[:-1]) if _is_number(w)]
    return bool(at) and text[ends[at[-1]] : ends[at[-1]] + 1] == ","


def _is_number(word: str) -> bool:
    return word in NUMBERS or word.isdigit()
