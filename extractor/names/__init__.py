"""Names heard in talk: what the captions say, and which name of the lexicon is meant.

`load_hearing(lexicon)` makes a lexicon's names ready, `find_names(words, slots, hearing)` reads a whole talk and
`read_name(heard, before=..., after=...)` one name. Heavy libraries are imported at the first call, not here.

    spans.py      what goes in and comes out
    exact.py      names that stand there letter for letter
    pronounce.py  words to sounds          sounds.py   how far apart sounds are
    hearing.py    the lexicon made ready   rank.py     which names sound most like what was heard
    decide.py     how sure that is         places.py   what the words around tell
    find.py       the whole talk           read.py     one name
    again.py      windows that a caller picks
    heads.py      last words of names as they are misheard
    measured.py   what a unit tells of the thing beside it
"""

from __future__ import annotations

from extractor.names.exact import exact_spans
from extractor.names.find import find_names, head_of
from extractor.names.hearing import Hearing, load_hearing
from extractor.names.read import read_name
from extractor.names.spans import Candidate, NameSpan, Slot

__all__ = [
    "Candidate",
    "Hearing",
    "NameSpan",
    "Slot",
    "exact_spans",
    "find_names",
    "head_of",
    "load_hearing",
    "read_name",
]
