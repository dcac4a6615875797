"""Which drink a place in the talk belongs to: the one in hand, unless the talk goes back to another for a moment."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractor.lexicon import plain
from extractor.specs.drinks import DrinkSpan
from extractor.specs.gaps import TalkReader

LONGEST = 5
"""A detour to another drink is at most so many sentences (of talk without full stops: twice as many)."""
_ORDER = {"first": 0, "one": 0, "second": 1, "two": 1, "third": 2, "three": 2, "fourth": 3, "four": 3}


@dataclass(frozen=True, slots=True)
class Detour:
    start: int
    end: int
    drink: int


def drink_named(reader: TalkReader, drinks: Sequence[DrinkSpan], start: int, end: int) -> tuple[int, int] | None:
    """(index, offset) of the first drink that is named in text[start:end], by name or by a word that only it has."""
    best: tuple[int, int] | None = None
    stretch = reader.lower[start:end]
    for d in drinks:
        for alias in sorted(d.aliases, key=len, reverse=True):
            pattern = r"(?<![\w'])" + re.escape(alias).replace(r"\ ", r"[\s'’s,-]+") + r"(?![\w])"
            m = re.search(pattern, stretch)
            if m is not None and (best is None or start + m.start() < best[1]):
                best = d.index, start + m.start()
    return best


def ordinal_named(reader: TalkReader, drinks: Sequence[DrinkSpan], start: int, end: int) -> int | None:
    """ "in the first one": the drink by its place in the order."""
    m = re.search(
        r"\b(?:in|on|for|of|to|gets?|into) (?:the |drink |number |my |our )*(first|second|third|fourth)\b|"
        r"\bthe (first|second|third|fourth) (?:one|drink) (?:gets|needs|wants|also|has|takes)|"
        r"\b(?:number|drink) (one|two|three|four)\b",
        reader.lower[start:end],
    )
    if m is None:
        return None
    index = _ORDER[next(g for g in m.groups() if g)]
    return index if index < len(drinks) else None


def detours(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> list[Detour]:
    """Stretches that belong to another drink than the one in hand, because something of it was forgotten."""
    out: list[Detour] = [Detour(a, b, d.index) for d in drinks for a, b in d.turns]
    if out or len(drinks) < 2:
        return sorted(out, key=lambda d: d.start)
    for cue in reader.cues("turns.forgotten"):
        here = next((d for d in reversed(drinks) if d.start <= cue.start), drinks[0])
        number = reader.sentence_number(cue.start)
        start = reader.sentence_span(max(0, number - (2 if reader.talk.punctuated else 1)))[0]
        look = reader.sentence_span(min(len(reader.sentences) - 1, number + (3 if reader.talk.punctuated else 4)))[1]
        others = [d for d in drinks if d.index != here.index and d.start < cue.start]
        named = drink_named(reader, others, cue.start, look)
        target = named[0] if named is not None else None
        if target is None:
            before = drink_named(reader, others, start, cue.start)
            target = before[0] if before is not None else None
        if target is None:
            ordinal = ordinal_named(reader, drinks, cue.start, look)
            target = ordinal if ordinal is not None and ordinal != here.index else None
        if target is None:
            continue
        begin = _interjection(reader, max(reader.sentence(cue.start)[0], cue.start - 60), cue.start)
        out.append(Detour(begin, _return(reader, drinks, here, cue.end, number), target))
    return out


_INTERJECTIONS = ("oh", "wait", "hold on", "stop", "ah", "actually", "damn", "oops", "hang on", "sorry", "and the", "no")


def _interjection(reader: TalkReader, start: int, end: int) -> int:
    """Where the speaker stops short before "I forgot": at the "oh", else right there."""
    found = [m.start() for w in _INTERJECTIONS for m in re.finditer(rf"(?<!\w){w}(?!\w)", reader.lower[start:end])]
    return start + min(found) if found else end


def _return(reader: TalkReader, drinks: Sequence[DrinkSpan], here: DrinkSpan, after: int, number: int) -> int:
    """Where the talk is back at the drink in hand."""
    longest = LONGEST if reader.talk.punctuated else 3 * LONGEST
    limit = reader.sentence_span(min(len(reader.sentences) - 1, number + longest))[1]
    ends = [limit]
    for cue in reader.cues_in("turns.return", after, limit):
        ends.append(reader.sentence(cue.start)[0])
    back = drink_named(reader, [here], after, limit)
    if back is not None:
        ends.append(reader.sentence(back[1])[0])
    following = [d.start for d in drinks if d.start > after]
    return max(after, min([*ends, *following]))


def drink_at(offset: int, drinks: Sequence[DrinkSpan], detours_: Sequence[Detour]) -> int | None:
    """The drink in hand at an offset; None before the first."""
    for d in detours_:
        if d.start <= offset < d.end:
            return d.drink
    found = None
    for s in drinks:
        if s.start <= offset:
            found = s.index
    return found


def recap_extents(reader: TalkReader, drinks_starts: Sequence[int]) -> list[tuple[int, int]]:
    """Stretches in which something is told again: from the words that say so to the next drink, or for a while."""
    out: list[tuple[int, int]] = []
    for cue in reader.cues("turns.recap"):
        words = plain(reader.lower[cue.start : cue.end]).split()
        # "three times, once more" with no name is no recap unless it stands at the head of a sentence.
        start, _ = reader.sentence(cue.start)
        end = min((s for s in drinks_starts if s > cue.end), default=len(reader.lower))
        if "again" in words and len(words) == 1 and len(reader.gap(start, cue.start).words) > 1:
            continue
        out.append((start, end))
    return out


def tail_of(reader: TalkReader) -> int:
    """Where the goodbye begins: the first words of leave-taking in the last quarter of the talk, else the end."""
    length = len(reader.lower)
    cues = [c.start for c in reader.cues("turns.closing") if c.start > 0.7 * length]
    return min(cues, default=length)
