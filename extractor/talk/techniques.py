"""Finds what is done to a drink: stir, shake, fine strain ...

Needs: `doc._.spoken`. Adds: `doc._.techniques` (tuple of record.talk.Technique), the longest phrase at each place.
A phrase begins with a verb; its other forms (stirs, stirred, stirring) are made by rule or given by the lexicon.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from spacy.language import Language
from spacy.tokens import Doc

from extractor.lexicon import Entry, plain
from extractor.record.talk import Technique
from extractor.talk.lexicons import lexicon_for
from extractor.talk.phrases import Element, Phrase, PhraseIndex, pieces

# What may stand between a verb and its particle or place: "shake IT dry", "double strain THAT".
OBJECTS = frozenset(("it", "this", "that", "them", "these", "those", "everything", "him", "her", "all"))


def verb_forms(verb: str) -> tuple[str, ...]:
    """stir -> stir, stirs, stirred, stirring. Regular English spelling rules; irregular forms come from the lexicon."""
    forms = [verb]
    forms.append(verb + ("es" if verb.endswith(("s", "sh", "ch", "x", "z")) else "s"))
    if verb.endswith("e"):
        forms += [verb + "d", verb[:-1] + "ing"]
    elif (
        len(verb) > 2 and verb[-1] not in "aeiouwxyrnlkhd" and verb[-2] in "aeiou" and verb[-3] not in "aeiou"
    ) or verb in ("stir", "rim"):
        forms += [verb + verb[-1] + "ed", verb + verb[-1] + "ing"]
    else:
        forms += [verb + "ed", verb + "ing"]
    return tuple(forms)


def _phrases(entry: Entry) -> Iterator[Phrase]:
    irregular = tuple(f.strip() for f in entry.forms)
    for spoken in (entry.name, *entry.others, *entry.misheard):
        words = [p for w in plain(spoken).split() for p in pieces(w)]
        first = verb_forms(words[0]) if words[0] not in ("in", "on", "with", "fine", "double", "dry") else (words[0],)
        if spoken == entry.name and len(words) == 1:
            first = (*first, *irregular)
        elements = [Element(frozenset(first))]
        for k, word in enumerate(words[1:], 1):
            last = k == len(words) - 1
            options = verb_forms(word) if words[0] in ("fine", "double", "dry", "reverse") and last else (word,)
            if word not in OBJECTS and words[k - 1] not in OBJECTS and k == 1:
                elements.append(Element(OBJECTS, (), 0, 1))
            elements.append(Element(frozenset(options)))
        yield Phrase(entry.name, tuple(elements))


@Language.factory(
    "pourword_techniques",
    requires=["doc._.spoken"],
    assigns=["doc._.techniques"],
    default_config={"lexicon": "", "own": []},
)
def make_techniques(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Techniques:
    return Techniques(lexicon_for(lexicon, own).techniques)


class Techniques:
    def __init__(self, entries: tuple[Entry, ...]) -> None:
        self.index = PhraseIndex(p for e in entries for p in _phrases(e))

    def __call__(self, doc: Doc) -> Doc:
        spoken = doc._.spoken
        found = self.index.find(spoken.words, spoken.stops)
        found.sort(key=lambda f: (f[1], -(f[2])))
        out: list[Technique] = []
        taken = 0
        for name, first, end in found:
            if first < taken:
                continue
            out.append(Technique(spoken.starts[first], spoken.ends[end - 1], name))
            taken = end
        doc._.techniques = tuple(out)
        return doc
