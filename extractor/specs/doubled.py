"""A list that is doubled aloud: "there are two of us, so double that: four of the rum, two of the lime"."""

from __future__ import annotations

from extractor.record.measure import Measure
from extractor.specs.gaps import TalkReader

_DOUBLER = frozenset(("so", "we", "i", "i'll", "we'll", "let's", "then", "and", "just", "now", "okay", "gonna", "to"))


def doubles_all(m: Measure, reader: TalkReader) -> bool:
    """ "There are two of us, so double that: four of the rum, two of the lime": of all that was told, not of one."""
    if m.relation != "double" or not m.said.lower().startswith("double ") or reader.after(m.end, 1) == ("of",):
        return False
    follows = next((x for x in reader.talk.measures if x.start >= m.end), None)
    if follows is None or follows.low is None or follows.kind not in ("amount", "number"):
        return False
    start, _ = reader.sentence(m.start)
    lead = reader.before(m.start, 1)
    heads = reader.talk.punctuated and not reader.gap(start, m.start).words
    return (heads or bool(set(lead) & _DOUBLER)) and len(reader.gap(m.end, follows.start).words) <= DOUBLED_WITHIN


DOUBLED_WITHIN = 6


def is_doubled(first: Measure, m: Measure, reader: TalkReader) -> bool:
    """ "So double that: four of the rum": twice what was told, behind words that all is doubled."""
    if first.low is None or first.high is None or m.low != 2 * first.low or m.unit not in (None, first.unit):
        return False
    return any(first.end <= x.start < m.start and doubles_all(x, reader) for x in reader.talk.measures)
