"""When two names mean one thing: "maraschino" and "maraschino liqueur", "the overproof" and "overproof rum"."""

from __future__ import annotations

from extractor.lexicon import plain
from extractor.record.talk import Mention

# A name that is only one of these words names nothing by itself, so it is the same as nothing longer.
HEADS_ALONE = frozenset(
    "juice syrup bitters liqueur water milk cream tea salt sugar oil peel twist wheel wedge slice sprig leaf leaves shrub cordial "
    "brine vinegar sauce ice rim puree solution".split()
)


def words_of(name: str) -> frozenset[str]:
    """The words of a name in plain form, plurals folded."""
    out = []
    for w in plain(name).split():
        if w in ("a", "an", "the", "of", "and"):
            continue
        if w.endswith("ies") and len(w) > 4:
            w = w[:-3] + "y"
        elif w.endswith("s") and not w.endswith("ss") and len(w) > 3:
            w = w[:-1]
        out.append(w)
    return frozenset(out)


def same_name(a: str, b: str) -> bool:
    wa, wb = words_of(a), words_of(b)
    if not wa or not wb:
        return False
    if wa == wb:
        return True
    small, large = (wa, wb) if len(wa) < len(wb) else (wb, wa)
    return small < large and not (len(small) == 1 and next(iter(small)) in HEADS_ALONE)


def same_thing(a: Mention, b: Mention) -> bool:
    """One thing under two names: the same entry, or one name holds all the words of the other."""
    if a.entry is not None and b.entry is not None and a.entry.id == b.entry.id:
        return words_of(a.name) == words_of(b.name) or same_name(a.name, b.name)
    return same_name(a.name, b.name) or same_name(a.heard, b.name) or same_name(a.name, b.heard)
