"""Names told in passing, for a drink that nothing named for sure: "this is night bus, for when the train is gone".

A recogniser writes most names in small letters and without the article, so that "this is dead letter" looks like any
other sentence. Where a drink is left without a name, its stretch is read again: behind words that point at something,
and in what stands alone between commas where the drink begins, for words up to a comma or to a word such as "because".
What is found so is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from extractor.lexicon import plain
from extractor.numbers import is_number
from extractor.specs.drink_names import Name, could_be, count_said, is_speaker, key_of, poured_as
from extractor.specs.modes import mode_at

if TYPE_CHECKING:
    from extractor.specs.drink_signs import DrinkSigns

ENOUGH = 2.2
"""What a name told in passing must reach. Set by hand against the written talks, as the weights below."""
CALLED, POINTED, IS_THE, ALONE = 1.8, 1.2, 0.9, 0.6
AGAIN, CLOSED, SEVERAL, THE, AT_THE_BEGINNING, WHEN_MADE = 1.0, 0.4, 0.4, 0.3, 0.5, 0.6
ONE_WORD, INDEFINITE, WHILE_POURED, TOLD_ABOUT = -0.6, -0.3, -0.8, -0.5
BEGINNING = 320
"""A drink is named within so many characters of its beginning or its first amount, or when it is made."""
SHORTEST, LONGEST = 5, 4
_WORD = re.compile(r"[\w'’-]+")
_ARTICLE = re.compile(r"(?:(the|a|an|your|my|our)\s+)?")
_CLOSES = re.compile(r"\s*[,.;:!?]")


def loose_names(signs: DrinkSigns, start: int, end: int) -> list[tuple[float, Name]]:
    """The names that may be told in passing in a stretch, likeliest first."""
    found: dict[int, tuple[float, Name]] = {}
    for name, base in (*_pointed_at(signs, start, end), *_alone(signs, start, end)):
        value = _worth(signs, name, base, start, end)
        if value >= ENOUGH and value > found.get(name.start, (0.0, name))[0]:
            found[name.start] = (value, name)
    return sorted(found.values(), key=lambda f: (-f[0], f[1].start))


def _pointed_at(signs: DrinkSigns, start: int, end: int) -> Iterator[tuple[Name, float]]:
    lower = signs.reader.lower
    for section, base in (("names behind", CALLED), ("points at a name", POINTED), ("is the name", IS_THE)):
        phrases = signs.words.sections.get(section, ())
        pattern = "|".join(re.escape(p).replace(r"\ ", r",?\s+") for p in sorted(phrases, key=len, reverse=True))
        for m in re.finditer(rf"(?<![\w'])(?:{pattern})(?![\w']),?\s+", lower[start:end]):
            name = _words_at(signs, start + m.end(), end)
            if name is not None and (base > IS_THE or name.article in ("the", "your")):
                yield name, base


def _alone(signs: DrinkSigns, start: int, end: int) -> Iterator[tuple[Name, float]]:
    """What stands alone between two commas or full stops near the beginning."""
    lower = signs.reader.lower
    for m in re.finditer(
        r"[,.;:!?]\s+(?:(?:so|and|okay|right|now|then)\s+)?", lower[start : min(end, start + BEGINNING)]
    ):
        name = _words_at(signs, start + m.end(), end)
        if name is not None and _CLOSES.match(lower, name.end) and count_said(signs.reader, name.text) > 1:
            yield name, ALONE


def _words_at(signs: DrinkSigns, at: int, end: int) -> Name | None:
    """Up to four words that end at a comma or before a word that no name goes on with."""
    reader, words = signs.reader, signs.words
    article = _ARTICLE.match(reader.lower, at)
    begin = article.end() if article is not None else at
    stop, closed, count = begin, False, 0
    for m in _WORD.finditer(reader.lower, begin, end):
        gap = reader.lower[stop : m.start()]
        ends = m.group() in words.stops and m.group() not in words.joiners
        if count and (re.search(r"[,.;:!?]", gap) or ends):
            closed = True
            break
        if ends or count == LONGEST or m.start() in reader.measured or re.search(r"[.!?]", gap):
            break
        stop, count = m.end(), count + 1
    else:
        closed = count > 0
    if not closed or not count:
        return None
    text = reader.talk.text[begin:stop]
    while text and plain(text.split()[-1]) in words.joiners - {"nine"}:
        text = text.rpartition(" ")[0]  # "the spark gap and it's"
    stop, parts = begin + len(text), plain(text).split()
    if not parts or parts[0] in words.joiners:
        return None
    capitals = all(w[:1].isupper() for w in text.split())
    return Name(text, begin, stop, capitals, article[1] if article is not None else None)


def _worth(signs: DrinkSigns, name: Name, base: float, start: int, end: int) -> float:
    reader, words = signs.reader, signs.words
    parts = plain(name.text).split()
    again = count_said(reader, name.text) > 1
    used = words.describing | words.common | words.vague | words.generic | words.people | words.dates
    # "The night light", "it's called clinic day": an everyday word may end a name, not be all of it.
    titled = len(parts) > 1 and (base == CALLED or name.article in ("the", "your")) and parts[0] not in used
    if (
        (base == ALONE and parts[1:2] == ["and"])  # "ladies and gentlemen, boys and girls"
        or (parts[-1] in used and not (titled and parts[-1] not in words.generic))
        or (len(parts) == 1 and not ((again and len(parts[0]) >= SHORTEST) or name.capitals))
        or parts[0] in words.vague | words.titles
        or any(is_number(p) or p in ("half", "quarter", "past") for p in parts[:2])
        or all(p in words.chatter | words.describing | words.stops for p in parts)
        or key_of(name.text) in signs.known
        or not could_be(reader, name, signs.mentions, words, said_so=base == CALLED, firm=True)
        or is_speaker(reader, name, words, said_so=False)
        or poured_as(reader, name)
    ):
        return 0.0
    taken = [*((m.start, m.end) for m in signs.mentions), *((t.start, t.end) for t in reader.talk.techniques)]
    if any(a <= name.start < b or a < name.end <= b for a, b in taken):
        return 0.0
    before, behind = signs.poured(start, name.start), signs.poured(name.end, end)
    near = before == 0 and (name.start - start < BEGINNING or signs.poured(name.end, name.end + BEGINNING) > 0)
    made = behind == 0 and before > 1
    told = mode_at(signs.extents, name.start)
    return (
        base
        + AGAIN * again
        + CLOSED * (_CLOSES.match(reader.lower, name.end) is not None)
        + (SEVERAL if len(parts) > 1 else 0.0 if again else ONE_WORD)
        + THE * (name.article in ("the", "your") and len(parts) > 1)
        + INDEFINITE * (name.article in ("a", "an"))
        + (AT_THE_BEGINNING if near else WHEN_MADE if made else WHILE_POURED if before and behind else 0.0)
        + TOLD_ABOUT * (told is not None)
    )
