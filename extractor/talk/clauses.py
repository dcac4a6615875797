"""Cuts the talk into sentences and clauses.

Needs: the tokens. Adds: `doc._.clauses` (tuple of record.talk.Clause) and `doc._.punctuated`.

Where the captioner wrote punctuation, sentences end at full stops. Where it did not, or set a full stop here and there
only, a sentence is taken to begin at the words with which people begin one (lexicon/talk/clauses.txt). A clause is a
part of a sentence, cut at the words that turn it: "but", "because", "which", "if".
"""

from __future__ import annotations

from collections.abc import Sequence

from spacy.language import Language
from spacy.tokens import Doc

from extractor.record.talk import Clause
from extractor.talk.lexicons import lexicon_for
from extractor.talk.words import SpokenWords, spoken_words

# Below this many full stops per hundred words the captioner did not punctuate (common practice, no source: automatic
# captioners write none at all, people one in five to thirty words).
PUNCTUATED_PER_100 = 1.5


def is_punctuated(spoken: SpokenWords) -> bool:
    if not spoken.words:
        return True
    return 100 * sum(spoken.stops) / len(spoken.words) >= PUNCTUATED_PER_100 or len(spoken.words) < 25


# Above so many words to a full stop the captioner (a recogniser, mostly) sets them here and there, and a sentence may
# end without one. People write 7 to 18 words to a full stop (measured on our talks).
SPARSE = 18


def is_sparse(spoken: SpokenWords) -> bool:
    """There are full stops, and too few of them."""
    return len(spoken.words) > SPARSE * max(1, sum(spoken.stops))


# A sentence of more words than this is several that the captioner ran together with commas.
RUN_ON = 32


def _run_on(spoken: SpokenWords) -> list[bool]:
    """For each word: does it stand in a sentence too long to be one?"""
    out = [False] * len(spoken.words)
    start = 0
    for i in range(1, len(spoken.words) + 1):
        if i == len(spoken.words) or spoken.stops[i]:
            if i - start > RUN_ON:
                out[start:i] = [True] * (i - start)
            start = i
    return out


def _turns(spoken: SpokenWords, i: int, phrases: dict[str, frozenset[str]]) -> bool:
    """In a run-on sentence, behind a comma: does word i turn to something new ("so ice", "and then", "second
    drink", "strain it", "that's the")?"""
    openers, subjects = phrases["openers"], phrases["subjects"]
    word = spoken.words[i]
    following = spoken.words[i + 1] if i + 1 < len(spoken.words) else ""
    if word == "and":
        return following in openers or (following in subjects and following not in ("it", "that", "this"))
    if word in openers and following not in subjects:
        return True
    if word in _POINTS and following in ("'s", "is"):
        return True
    return word in ("i", "you", "we") or word in phrases["acts"]


def _begins_sentence(
    spoken: SpokenWords, i: int, openers: frozenset[str], subjects: frozenset[str], holders: frozenset[str]
) -> bool:
    """Without punctuation: does word i begin a new sentence?"""
    words = spoken.words
    word, before = words[i], words[i - 1]
    if before in holders:
        return False
    if word in openers:
        return before not in openers
    following = words[i + 1] if i + 1 < len(words) else ""
    if word == "and" and following:
        after = words[i + 2] if i + 2 < len(words) else ""
        return following in openers or (following in subjects and (following not in _OBJECTS or after in _VERBS))
    if word in subjects:
        return before not in openers and before != "and" and (word not in _OBJECTS or following in _VERBS)
    return False


# These are as often what a verb is done to ("leave it", "pour this") unless a verb of their own follows.
_OBJECTS = frozenset(["it", "this", "that", "there", "she", "he", "they", "my"])
_POINTS = frozenset(["it", "this", "that", "there"])
_VERBS = frozenset(
    [
        "is", "was", "has", "'s", "are", "will", "'ll", "would", "goes", "gets", "comes", "should", "does", "did",
        "makes", "looks", "tastes", "takes", "gives", "smells", "needs", "wants", "can", "could", "must", "says",
        "say", "had", "have", "gave", "works", "keeps", "means", "stays", "turns", "puts", "used", "use", "go",
        "gonna",
    ]
)  # fmt: skip


def cut(spoken: SpokenWords, length: int, phrases: dict[str, frozenset[str]], *, punctuated: bool) -> list[Clause]:
    """The clauses of a whole talk, end to end: each ends where the next begins, the last at `length`."""
    bounds: list[tuple[int, int]] = []
    sentence = 0
    run_on = _run_on(spoken)
    sparse = is_sparse(spoken)
    for i in range(len(spoken.words)):
        if i == 0:
            bounds.append((0, 0))
            continue
        of_a_number = spoken.words[i] == "mm" and spoken.words[i - 1][-1].isdigit()  # "35mm of aquavit"
        new_sentence = not of_a_number and (
            spoken.stops[i]
            or (
                (not punctuated or (sparse and run_on[i]))
                and _begins_sentence(spoken, i, phrases["openers"], phrases["subjects"], phrases["holders"])
            )
            or (run_on[i] and spoken.commas[i] and _turns(spoken, i, phrases))
        )
        if new_sentence:
            sentence += 1
            bounds.append((spoken.starts[i], sentence))
        elif (
            spoken.words[i] in phrases["turns"]
            and (not punctuated or spoken.commas[i] or spoken.words[i] in phrases["hard turns"])
        ) or (
            spoken.commas[i]
            and spoken.words[i] in ("and", "so", "then")
            and i + 1 < len(spoken.words)
            and spoken.words[i + 1] in phrases["subjects"]
        ):
            bounds.append((spoken.starts[i], sentence))
    return [
        Clause(start, bounds[k + 1][0] if k + 1 < len(bounds) else length, sentence)
        for k, (start, sentence) in enumerate(bounds)
    ]


@Language.factory(
    "pourword_clauses",
    assigns=["doc._.clauses", "doc._.punctuated", "doc._.spoken"],
    default_config={"lexicon": "", "own": []},
)
def make_clauses(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Clauses:
    sections = lexicon_for(lexicon, own).phrases["clauses"]
    return Clauses({k: frozenset(v) for k, v in sections.items()})


class Clauses:
    def __init__(self, phrases: dict[str, frozenset[str]]) -> None:
        self.phrases = phrases

    def __call__(self, doc: Doc) -> Doc:
        spoken = spoken_words(doc)
        punctuated = is_punctuated(spoken)
        doc._.spoken = spoken
        doc._.punctuated = punctuated
        doc._.clauses = tuple(cut(spoken, len(doc.text), self.phrases, punctuated=punctuated))
        return doc
