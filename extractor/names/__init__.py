"""Names heard in talk: what the captions say, and which name of the lexicon is meant.

`load_hearing(lexicon)` makes a lexicon's names ready, `find_names(words, slots, hearing)` reads a whole talk and
`read_name(heard, before=..., after=...)` one name. Heavy libraries are imported at the first call, not here.
"""

from __future__ import annotations

from extractor.names.find import find_names, read_name
from extractor.names.hearing import Hearing, load_hearing
from extractor.names.spans import Candidate, NameSpan, Slot

__all__ = ["Candidate", "Hearing", "NameSpan", "Slot", "find_names", "load_hearing", "read_name"]
