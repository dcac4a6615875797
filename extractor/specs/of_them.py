"""How many of a thing, told behind it: "strawberries, three of them", "curry leaves, take eight of those"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from extractor.lexicon import plain
from extractor.numbers import NUMBER_WORDS, NUMBERS
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

_OF_THEM = re.compile(
    rf",? (?:(?:you |i |we )?(?:take|use|want|need|put|add) )?(?:about |just |only |say |maybe |around )*"
    rf"(?P<said>(?P<n>{NUMBER_WORDS}|\d+) of (?:them|those|these))(?!\w)"
)
_LEAVES = ("leaf", "leaves")


def of_them(mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> list[Measure]:
    """The counts that are told so, in pieces or leaves; not where a measure stands there already."""
    out: list[Measure] = []
    for m in mentions:
        found = _OF_THEM.match(reader.lower, m.end) if m.group == "ingredient" else None
        if found is None:
            continue
        a, b = found.span("said")
        if any(x.start < b and a < x.end for x in measures if x.unit is not None):
            continue
        n = Fraction(int(found["n"]) if found["n"].isdigit() else NUMBERS[found["n"]])
        unit = "leaf" if plain(m.heard).split()[-1] in _LEAVES else "piece"
        out.append(Measure(a, b, "amount", n, n, unit, reader.talk.text[a:b], rule="of them"))
    return out
