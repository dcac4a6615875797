"""One heard name, by itself: what may be meant by it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, load_lexicon, plain
from extractor.names.decide import candidate, candidates
from extractor.names.exact import exact_span, may_stand, meant
from extractor.names.hearing import Form, Hearing, load_hearing
from extractor.names.places import load_places
from extractor.names.rank import Place, matches
from extractor.names.sounds import hearing_folder
from extractor.names.spans import Candidate

KEEP = 5
"""So many candidates are given."""
BREATH = 0.98
"""How sure an exact name is behind which only a word of breath ("and") stands."""
CUT = 0.6
"""How sure an exact name is behind which another small word stands, maybe a piece of it ("raspberries are")."""


def read_name(
    heard: str, *, before: str = "", after: str = "", lexicon: Lexicon | None = None, group: str = "ingredient"
) -> list[Candidate]:
    """The names that may be meant by `heard`, best first, at most KEEP of them; none where nothing is near.

    `before` and `after` are the words around it ("half an ounce of", "into the shaker"): behind a measure a poor match
    is likely, in chatter even a good one is not. `group`: "ingredient", "glass" or "classic".

    Where `heard` is the name of an entry as it stands, that entry comes first with confidence 1, and `apply` is False:
    there is nothing to put right. Otherwise `apply` says that the first candidate is written without asking.
    """
    lexicon = lexicon if lexicon is not None else load_lexicon()
    hearing = load_hearing(lexicon)
    words = plain(heard).split()
    if not words:
        return []
    expects = load_places(hearing_folder(lexicon.folder)).expects(before, after)
    out: list[Candidate] = []
    form = _exact(hearing, words, group)
    if form is not None:
        how = exact_span(words, 0, len(words), form, True).how
        out.append(candidate(form, 1.0, how != "exact", how))
    texts = [words]
    last, tail = words[-1], len(words) > 1 and words[-1] in hearing.words["tail"]
    if tail and last in hearing.words["breath"]:
        texts = [words[:-1]]
    if form is None and tail:
        form = _exact(hearing, words[:-1], group)
        if form is not None:
            breath = last in hearing.words["breath"]
            out.append(candidate(form, BREATH if breath else CUT, breath, form.how))
    if len(texts[0]) > 1 and words[0] in hearing.words["filler"]:
        texts.append(texts[0][1:])
        form = form or _exact(hearing, texts[1], group)
        if form is not None and not out:
            out.append(candidate(form, CUT, False, form.how))
    found = matches(hearing, [Place(tuple(t), (len(t),), group) for t in texts])
    read = [candidates(hearing, " ".join(t), f[0], expects) for t, f in zip(texts, found, strict=True)]
    read.sort(key=lambda cs: -cs[0].confidence if cs else 0.0)
    for c in (c for cs in read for c in cs):
        if all(c.entry is not o.entry for o in out):
            out.append(c)
    if not out:
        return []
    first = max(out, key=lambda c: c.confidence)
    # What the first leaves of certainty is the most that the others can have.
    rest = [replace(c, confidence=min(c.confidence, 1 - first.confidence), apply=False) for c in out if c is not first]
    return [first, *sorted(rest, key=lambda c: -c.confidence)][:KEEP]


def _exact(hearing: Hearing, words: Sequence[str], group: str) -> Form | None:
    forms = hearing.exact.get("".join(hearing.key(w) for w in words), ())
    if not forms or not may_stand(words, forms):
        return None
    return meant(forms, words, group)
