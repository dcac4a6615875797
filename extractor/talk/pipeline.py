"""The pipeline of the talk: its components in order, and the Doc turned into a Talk."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.lexicon import Lexicon
from extractor.record.talk import Talk
from extractor.record.words import Transcript

if TYPE_CHECKING:
    from spacy.language import Language

EXTENSIONS = ("spoken", "clauses", "punctuated", "cues", "techniques", "counts", "measures", "mentions")


@lru_cache(maxsize=4)
def build(lexicon_folder: str, own: tuple[str, ...], locale: str) -> Language:
    """The pipeline for one lexicon and locale. Built once, then kept: spaCy pipelines are made to be used again."""
    import spacy
    from spacy.tokens import Doc

    from extractor.talk import clauses, counts, cues, measures, mentions, techniques  # noqa: F401  (registers them)

    for key in EXTENSIONS:
        if not Doc.has_extension(key):
            Doc.set_extension(key, default=())
    nlp = spacy.blank("en")
    words = {"lexicon": lexicon_folder, "own": list(own)}
    nlp.add_pipe("pourword_clauses", config=words)
    nlp.add_pipe("pourword_measures", config={"locale": locale})
    nlp.add_pipe("pourword_cues", config=words)
    nlp.add_pipe("pourword_techniques", config=words)
    nlp.add_pipe("pourword_counts", config=words)
    nlp.add_pipe("pourword_mentions", config=words)
    nlp.max_length = 20_000_000
    return nlp


def read_talk(transcript: Transcript, lexicon: Lexicon, *, locale: str = "us", own: tuple[Path, ...] = ()) -> Talk:
    """The talk of a transcript, as spans over `transcript.text`."""
    nlp = build(lexicon.folder, tuple(str(p) for p in own), locale)
    doc = nlp(transcript.text)
    return Talk(
        transcript=transcript,
        clauses=doc._.clauses,
        measures=doc._.measures,
        mentions=doc._.mentions,
        cues=doc._.cues,
        techniques=doc._.techniques,
        counts=doc._.counts,
        punctuated=bool(doc._.punctuated),
    )
