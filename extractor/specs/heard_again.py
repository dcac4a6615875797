"""Which earlier drink a speaker goes back to, where its name was heard otherwise the second time, or not at all.

"Go back, cold feet, it gets two dashes of bitters", where the drink was heard as Gold Feet: by a name like it, behind
words of going back. "There's rhubarb bitters in that, three dashes, in with the gin": by what it goes in with, where
one earlier drink alone has that.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.drink_names import key_of
from extractor.specs.drinks import DrinkSpan
from extractor.specs.gaps import TalkReader
from extractor.specs.same import same_thing

LIKE_AGAIN = 80
"""How like two hearings of one name are at least (of 100). Lower than for two openings: here few names are possible."""
LEAST_LETTERS = 5
NAMED_WITHIN = 14
"""So many words behind "I forgot" or "go back" the drink is named."""
WITH_WITHIN = 180
"""So many characters behind the words of forgetting it may be said what the thing goes in with."""
_LEAD = frozenset(
    ("in", "on", "to", "into", "back", "the", "for", "see", "wait", "about", "of", "a", "that", "my", "our", "forgot",
     "up", "no", "oh", "shoot", "so", "okay")
)  # fmt: skip
"""A drink that is gone back to stands behind one of these."""
_WORD = re.compile(r"[\w']+")
_IN_WITH = re.compile(r"(?:\bin|\balong|\btogether|\bup|,) with (?:the |your |my |our )?$")


def named_like(reader: TalkReader, others: Sequence[DrinkSpan], start: int, end: int) -> tuple[int, int] | None:
    """(index, offset) of the one drink whose name sounds like words of text[start:end], if only one does."""
    from rapidfuzz import fuzz

    words = list(_WORD.finditer(reader.lower, start, end))[:NAMED_WITHIN]
    best: dict[int, tuple[float, int]] = {}
    for d in others:
        name = key_of(d.name) if d.name else ""
        letters = name.replace(" ", "")
        if len(letters) < LEAST_LETTERS:
            continue
        count = len(name.split())
        for size in {max(1, count - 1), count, count + 1}:
            for k in range(len(words) - size + 1):
                lead = reader.before(words[k].start(), 1)
                if not set(lead) <= _LEAD or words[k][0] in _LEAD:
                    continue
                said = "".join(w[0] for w in words[k : k + size]).replace("'", "")
                score = fuzz.ratio(letters, said)
                if score >= LIKE_AGAIN and score > best.get(d.index, (0.0, 0))[0]:
                    best[d.index] = score, words[k].start()
    if len(best) != 1:
        return None
    index, (_, at) = next(iter(best.items()))
    return index, at


def goes_in_with(reader: TalkReader, others: Sequence[DrinkSpan], here: DrinkSpan, start: int, end: int) -> int | None:
    """The one earlier drink that has what the forgotten thing "goes in with"; None where the drink in hand has it."""
    end = min(end, start + WITH_WITHIN)
    for m in reader.mentions_in(start, end):
        if m.group != "ingredient" or not _IN_WITH.search(reader.lower, max(0, m.start - 24), m.start):
            continue
        having = [d.index for d in others if _has(reader, d, m, start)]
        if len(having) == 1 and not _has(reader, here, m, start):
            return having[0]
    return None


BESIDE = 12


def _has(reader: TalkReader, drink: DrinkSpan, thing: Mention, stop: int) -> bool:
    """Is a thing poured in a drink before an offset: "gin", where that is its London dry gin?"""
    told = [x for x in reader.mentions_in(drink.start, min(drink.end, stop)) if _measured(x, reader)]
    return any(same_thing(x, thing) or plain(x.name).endswith(" " + plain(thing.name)) for x in told)


def _measured(mention: Mention, reader: TalkReader) -> bool:
    """Does an amount stand beside a thing? "It's like gin" pours none."""
    return mention.group == "ingredient" and any(
        0 <= mention.start - m.end <= BESIDE or 0 <= m.start - mention.end <= BESIDE // 2
        for m in reader.talk.measures
        if m.pours
    )
