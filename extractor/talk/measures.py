"""Finds the spoken measures, by extractor.measures.

Needs: the text. Adds: `doc._.measures` (tuple of record.measure.Measure).
"""

from __future__ import annotations

from spacy.language import Language
from spacy.tokens import Doc


@Language.factory("pourword_measures", assigns=["doc._.measures"], default_config={"locale": "us"})
def make_measures(nlp: Language, name: str, locale: str) -> Measures:
    return Measures(locale)


class Measures:
    def __init__(self, locale: str) -> None:
        self.locale = locale

    def __call__(self, doc: Doc) -> Doc:
        from extractor.measures import find_measures

        doc._.measures = tuple(find_measures(doc.text, locale=self.locale))
        return doc
