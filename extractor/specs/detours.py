"""Which drink a place in the talk belongs to: the one in hand, unless the talk goes back to another for a moment.

A talk goes back because something of an earlier drink was forgotten or has to be put right ("Hang on. Hosepipe Ban.
There's
rhubarb bitters in that"), or to tell the drinks again.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from extractor.lexicon import plain
from extractor.record.measure import Measure
from extractor.record.talk import Cue, Mention
from extractor.specs.drinks import DrinkSpan
from extractor.specs.gaps import TalkReader
from extractor.specs.heard_again import goes_in_with, named_like
from extractor.specs.same import same_thing

LONGEST = 5
"""A detour to another drink is at most so many sentences (of talk without full stops: three times as many)."""
RETOLD_WITHIN = 380
"""Behind a name told again its things follow within so many characters."""
RETOLD_THINGS = 2
"""So many things of the drink with an amount tell it again; more where the speaker stops short to put something
right."""
RETOLD_IN_SPITE = 4
CUE_BEFORE, CUE_AFTER = 70, 170
"""Words of forgetting or of putting right stand so near to the name of the drink they are about."""
STOPS_WITHIN = 40
"""So soon behind "hang on" the drink that is gone back to is named."""
QUOTED_WITHIN = 3
"""Behind "I said" the amount follows within so many words."""
TAKEN_UP_WITHIN = 60
"""A thing that was broken off stands so many characters before the words of going back."""
BACK_CUES = ("turns.forgotten", "turns.said before", "turns.stops short")
_ORDER = {"first": 0, "one": 0, "second": 1, "two": 1, "third": 2, "three": 2, "fourth": 3, "four": 3}
_LEADS = frozenset(
    [
        "and",
        "then",
        "now",
        "so",
        "okay",
        "ok",
        "right",
        "alright",
        "oh",
        "wait",
        "hang",
        "hold",
        "on",
        "no",
        "yes",
        "well",
        "the",
        "a",
        "in",
        "on",
        "to",
        "for",
        "into",
        "back",
        "with",
        "about",
        "oops",
        "whoops",
        "actually",
        "sorry",
        "listen",
        "look",
        "uh",
        "um",
        "up",
        "shoot",
    ]
)
_POURS = ("amount", "number", "vague", "equal")


@dataclass(frozen=True, slots=True)
class Detour:
    start: int
    end: int
    drink: int


def _alias_pattern(alias: str) -> str:
    return r"(?<![\w'])" + re.escape(alias).replace(r"\ ", r"[\s'’s,-]+") + r"(?![\w])"


def drink_named(reader: TalkReader, drinks: Sequence[DrinkSpan], start: int, end: int) -> tuple[int, int] | None:
    """(index, offset) of the first drink that is named in text[start:end], by name or by a word that only it has."""
    best: tuple[int, int] | None = None
    stretch = reader.lower[start:end]
    for d in drinks:
        for alias in sorted(d.aliases, key=len, reverse=True):
            m = re.search(_alias_pattern(alias), stretch)
            if m is not None and (best is None or start + m.start() < best[1]):
                best = d.index, start + m.start()
    return best


def ordinal_named(reader: TalkReader, drinks: Sequence[DrinkSpan], start: int, end: int) -> int | None:
    """ "in the first one": the drink by its place in the order."""
    m = re.search(
        r"\b(?:in|on|for|of|to|gets?|into|about|with|back) (?:the |drink |number |my |our )*"
        r"(first|second|third|fourth)\b|"
        r"\bthe (first|second|third|fourth) (?:one|drink) (?:gets|needs|wants|also|has|takes)|"
        r"\b(?:number|drink) (one|two|three|four)\b",
        reader.lower[start:end],
    )
    if m is None:
        here = _in_hand(drinks, start)
        earlier = [d.index for d in drinks if here is not None and d.start < start and d.index != here.index]
        other = re.search(r"\b(?:in|into|for|to) the other (?:one|drink|glass)\b", reader.lower[start:end])
        return earlier[0] if other is not None and len(earlier) == 1 else None
    index = _ORDER[next(g for g in m.groups() if g)]
    return index if index < len(drinks) else None


# ---- a drink named again ---------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Again:
    """A drink named again at the head of what is said about it."""

    start: int
    end: int
    drink: int


def _named_again(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> list[_Again]:
    """Every later naming of a drink at the head of a sentence (without full stops: anywhere)."""
    out: list[_Again] = []
    for d in drinks:
        if d.turns:
            continue
        said = {a for a in d.aliases if len(a.split()) > 1 or len(d.aliases) == 1 or a == plain(d.name or "")}
        if d.order_said:
            said |= {d.order_said, d.order_said.removeprefix("the ")}
        for alias in said:
            for m in re.finditer(_alias_pattern(alias), reader.lower[d.start + 1 :]):
                at = d.start + 1 + m.start()
                if d.name_start is not None and d.name_start <= at < (d.name_end or at):
                    continue
                s0, _ = reader.sentence(at)
                lead = reader.gap(s0, at).words
                if reader.talk.punctuated and not (len(lead) <= 5 and set(lead) <= _LEADS):
                    continue
                out.append(_Again(at, at + len(m.group()), d.index))
    out.sort(key=lambda a: (a.start, -a.end))
    kept: list[_Again] = []
    for a in out:
        if not kept or a.start >= kept[-1].end:
            kept.append(a)
    return kept


def _things(reader: TalkReader, start: int, end: int) -> list[Mention]:
    return [m for m in reader.mentions_in(start, end) if m.group == "ingredient"]


def _measured(reader: TalkReader, start: int, end: int) -> int:
    return sum(start <= m.start < end and m.kind in _POURS for m in reader.talk.measures)


def _in_hand(drinks: Sequence[DrinkSpan], offset: int) -> DrinkSpan | None:
    return next((d for d in reversed(drinks) if d.start <= offset), None)


def _tells_again(reader: TalkReader, drinks: Sequence[DrinkSpan], again: _Again, stop: int) -> bool:
    """Behind the name at least two things that were told of the drink stand with amounts."""
    d = drinks[again.drink]
    if _measured(reader, d.start, again.start) < RETOLD_THINGS:
        return False  # not told yet: "the last one, La Pepita. La pepita is the seed of"
    known = _things(reader, d.start, min(again.start, d.end))
    here = _things(reader, again.end, min(stop, again.end + RETOLD_WITHIN))
    same = [m for m in here if any(same_thing(m, k) for k in known)]
    least = RETOLD_IN_SPITE if _goes_back(reader, again, stop) else RETOLD_THINGS
    if len(same) < least or 3 * len(same) < len(here):
        return False
    return _measured(reader, again.end, min(stop, again.end + RETOLD_WITHIN)) >= RETOLD_THINGS


def _goes_back(reader: TalkReader, again: _Again, stop: int) -> bool:
    """The speaker stops short, has forgotten something or puts an amount right, near the name."""
    return any(reader.has(cue, again.start - CUE_BEFORE, min(stop, again.end + CUE_AFTER)) for cue in BACK_CUES)


def _again_stretches(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> Iterator[tuple[_Again, int, bool]]:
    """(a drink named again, where the next one is named or begins, whether it is told again there)."""
    named = _named_again(reader, drinks)
    starts = [d.start for d in drinks]
    for k, a in enumerate(named):
        next_name = next((x.start for x in named[k + 1 :] if x.drink != a.drink), len(reader.lower))
        next_start = min((s for s in starts if s > a.start), default=len(reader.lower))
        stop = min(next_name, next_start)
        yield a, stop, _tells_again(reader, drinks, a, stop)


# ---- detours ---------------------------------------------------------------------------------------------------------


def detours(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> list[Detour]:
    """Stretches that belong to another drink than the one in hand, because something of it was forgotten or is put
    right."""
    out: list[Detour] = [Detour(a, b, d.index) for d in drinks for a, b in d.turns]
    if out or len(drinks) < 2:
        return sorted(out, key=lambda d: d.start)
    out += _by_cues(reader, drinks)
    for again, stop, retold in _again_stretches(reader, drinks):
        here = _in_hand(drinks, again.start)
        if here is None or here.index == again.drink or retold or any(d.start <= again.start < d.end for d in out):
            continue
        number = reader.sentence_number(again.start)
        end = min(stop, _return(reader, drinks, here, again.end, number))
        if _goes_back(reader, again, stop) and _measured(reader, again.end, end):
            since = max(reader.sentence(again.start)[0], here.start, again.start - CUE_BEFORE)
            out.append(Detour(_interjection(reader, since, again.start), end, again.drink))
    for s in [*_by_stops(reader, drinks), *_by_place(reader, drinks)]:
        if not any(d.start < s.end and s.start < d.end for d in out):
            out.append(s)
    out += [q for q in _by_quotes(reader, drinks) if not any(d.start < q.end and q.start < d.end for d in out)]
    return sorted(out, key=lambda d: d.start)


def _by_cues(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> Iterator[Detour]:
    """ "I forgot the bitters in the first one": the words of forgetting, and near them a drink's name or place."""
    for cue in reader.cues("turns.forgotten"):
        if {"if", "don't", "you"} & set(reader.gap(reader.sentence(cue.start)[0], cue.start).words[-5:]):
            continue  # "If you're nervous, go back to number one": said to the viewers
        here = _in_hand(drinks, cue.start) or drinks[0]
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
            target = (
                ordinal if ordinal is not None and ordinal != here.index and drinks[ordinal].start < cue.start else None
            )
            if ordinal is None:
                # "Back on the first drink, I should have said half an ounce of syrup too."
                earlier = ordinal_named(reader, drinks, reader.sentence(cue.start)[0], cue.start)
                target = earlier if earlier in {d.index for d in others} else None
        if target is None:
            like = named_like(reader, others, cue.end, look)
            target = like[0] if like is not None else goes_in_with(reader, others, here, cue.end, look)
        if target is None:
            continue
        begin = _interjection(reader, max(reader.sentence(cue.start)[0], here.start, cue.start - 60), cue.start)
        yield Detour(begin, _return(reader, drinks, here, cue.end, number), target)


def _stops(
    reader: TalkReader, drinks: Sequence[DrinkSpan], label: str
) -> Iterator[tuple[Cue, DrinkSpan, list[DrinkSpan], int]]:
    """(the words, the drink in hand, those told before it, where the talk is back) of all places where a speaker may
    turn to an earlier drink."""
    for cue in reader.cues(label):
        here = _in_hand(drinks, cue.start)
        others = [d for d in drinks if here is not None and d.index != here.index and d.start < cue.start]
        if here is not None and others:
            yield cue, here, others, _return(reader, drinks, here, cue.end, reader.sentence_number(cue.start))


def _by_stops(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> Iterator[Detour]:
    """ "Hang on. How's it ban. There's rhubarb bitters in that": where the speaker stops short, by a name like that of
    an earlier drink, or by what the thing goes in with."""
    for cue, here, others, end in _stops(reader, drinks, "turns.stops short"):
        like = named_like(reader, others, cue.end, min(end, cue.end + STOPS_WITHIN))
        told = reader.has("turns.is in that", cue.end, min(end, cue.end + CUE_AFTER))
        target = like[0] if like is not None else goes_in_with(reader, others, here, cue.end, end) if told else None
        if target is not None and _measured(reader, cue.end, end):
            yield Detour(cue.start, end, target)


_THE_FIRST = re.compile(
    r"(?<![\w'])(?:(?:the|my|that) (first|second|third|fourth)(?: one| drink)?"
    r"|(?:number|drink) (one|two|three|four))(?!\w)"
)
PLACE_WITHIN = 110
"""So soon behind "stop" the earlier drink is named, or its place in the order."""
PLACE_WITHIN_NO = 50
"""The same behind words that put something right, which are said of the drink in hand mostly."""


def _by_place(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> Iterator[Detour]:
    """ "Stop, stop. In the first one you must put also salt.", "I said it wrong with the Lazy Canal": the speaker stops
    short, and an earlier drink is named next, or counted off, with an amount behind."""
    for label, within in (("turns.stops short", PLACE_WITHIN), ("turns.correction", PLACE_WITHIN_NO)):
        for cue, _, others, end in _stops(reader, drinks, label):
            bare = " " not in reader.lower[cue.start : cue.end] and reader.lower[cue.end : cue.end + 1].isspace()
            if reader.talk.punctuated and bare:
                continue  # "no body marches by himself"
            look = min(end, cue.end + within)
            named = drink_named(reader, others, cue.end, look)
            if named is None or not _gone_back_to(reader, cue.end, named[1]):
                place = _THE_FIRST.search(reader.lower, cue.end, look)
                index = _ORDER[next(g for g in place.groups() if g)] if place is not None else None
                named = (index, place.start()) if place is not None and index in {d.index for d in others} else None
            # "If you're pregnant don't go back to number one": said to the viewers.
            if named is not None and {"if", "don't", "you're"} & set(
                reader.gap(reader.sentence(cue.start)[0], named[1]).words
            ):
                continue
            if named is not None and _measured(reader, named[1], end):
                yield Detour(cue.start, end, named[0])


_TO = frozenset(("in", "on", "with", "to", "into", "about", "of", "for", "back"))


def _gone_back_to(reader: TalkReader, start: int, at: int) -> bool:
    """An earlier drink is named at the head of a sentence, or behind "in", "with", "back to"; no "like the Tin Hat"."""
    begin, _ = reader.sentence(at)
    lead = reader.gap(max(begin, start), at).words
    return set(lead) <= _LEADS or bool(set(lead[-2:]) & _TO)


def _by_quotes(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> Iterator[Detour]:
    """ "I said thirty of the cordial, didn't I": an amount told before of one earlier drink alone is put right there,
    whatever became of the drink's name.
    """
    for cue in reader.cues("turns.said before"):
        here = _in_hand(drinks, cue.start)
        # "Say two ounces": a leaning that belongs to the amount may be the last of the words before it.
        quoted = next((m for m in reader.talk.measures if m.end > cue.end), None)
        if here is None or quoted is None or quoted.low is None or quoted.kind not in ("amount", "number"):
            continue
        if len(reader.gap(cue.end, quoted.start).words) > QUOTED_WITHIN or reader.gap(cue.end, quoted.start).stop:
            continue
        if {"if", "don't", "you"} & set(reader.gap(reader.sentence(cue.start)[0], cue.start).words[-5:]):
            continue
        if _named_right_before(reader, cue.start):
            continue
        thing = next(iter(_things(reader, quoted.end, quoted.end + 30)), None)
        if thing is not None and len(reader.gap(quoted.end, thing.start).words) > 2:
            thing = None
        behind = reader.after(quoted.end, 3)
        head = behind[2] if behind[:2] in _OF_THE else behind[1] if behind[:1] == ("of",) and behind[1:] else ""
        told = [
            d
            for d in drinks
            if d.start < cue.start and _told_so(reader, d.start, min(d.end, cue.start), quoted, thing, head)
        ]
        if len(told) != 1 or told[0].index == here.index:
            continue
        number = reader.sentence_number(cue.start)
        begin = _interjection(reader, max(reader.sentence(cue.start)[0], here.start, cue.start - 60), cue.start)
        yield Detour(begin, _return(reader, drinks, here, quoted.end, number), told[0].index)


def _named_right_before(reader: TalkReader, at: int) -> bool:
    """ "Honey syrup... I had written down a half ounce": what was written is of the thing just named."""
    start, _ = reader.sentence(at)
    named = [m for m in _things(reader, max(0, start - 30), at) if m.end <= at]
    if not named or len(reader.gap(named[-1].end, at).words) > 2:
        return False
    return not any(named[-1].end <= m.start < at for m in reader.talk.measures)


_OF_THE = (("of", "the"), ("of", "my"), ("of", "your"), ("of", "our"))


def _told_so(reader: TalkReader, start: int, end: int, quoted: Measure, thing: Mention | None, head: str) -> bool:
    """Is the amount told in text[start:end], right beside the thing, or one that ends in the head, if that is known?"""
    for m in reader.talk.measures:
        if not start <= m.start < end or m.low != quoted.low or m.high != quoted.high:
            continue
        if m.unit != quoted.unit and m.unit is not None and quoted.unit is not None:
            continue
        if thing is None and m.unit is not None and m.unit == quoted.unit:
            return True
        for n in _things(reader, max(start, m.start - 60), min(end, m.end + 60)):
            gap = reader.gap(m.end, n.start) if n.start >= m.end else reader.gap(n.end, m.start)
            alike = same_thing(n, thing) if thing is not None else plain(n.name).split()[-1:] == [head]
            if len(gap.words) <= 6 and not gap.stop and alike:
                return True
    return False


_INTERJECTIONS = (
    "oh",
    "wait",
    "hold on",
    "stop",
    "ah",
    "actually",
    "damn",
    "oops",
    "hang on",
    "sorry",
    "and the",
    "no",
)


def _interjection(reader: TalkReader, start: int, end: int) -> int:
    """Where the speaker stops short before "I forgot": at the "oh", else right there."""
    # Without full stops "and the second is" may be the drink before.
    words = [w for w in _INTERJECTIONS if reader.talk.punctuated or w != "and the"]
    found = [m.start() for w in words for m in re.finditer(rf"(?<!\w){w}(?!\w)", reader.lower[start:end])]
    return start + min(found) if found else end


def _return(reader: TalkReader, drinks: Sequence[DrinkSpan], here: DrinkSpan, after: int, number: int) -> int:
    """Where the talk is back at the drink in hand."""
    longest = LONGEST if reader.talk.punctuated else 3 * LONGEST
    limit = reader.sentence_span(min(len(reader.sentences) - 1, number + longest))[1]
    ends = [limit, *_turned_back(reader, after, limit)]
    for cue in reader.cues_in("turns.return", after, limit):
        ends.append(reader.sentence(cue.start)[0])
    back = drink_named(reader, [here], after, limit)
    if back is not None:
        # Without full stops the words before the name may still be about the other drink.
        ends.append(reader.sentence(back[1])[0] if reader.talk.punctuated else back[1])
    following = [d.start for d in drinks if d.start > after]
    taken_up = _taken_up(reader, reader.sentence_span(number)[0], after, limit)
    return max(after, min([*ends, *following, *taken_up]))


_TURNS_BACK = re.compile(
    r"(?:so|okay|ok|right|alright|now|anyway)"
    r"(?:[,.] (?!(?:the|that|in the) first)| (?!that's|it's|the first|in the|i |a |an |one|two|three|half))"
)


def _turned_back(reader: TalkReader, after: int, limit: int) -> list[int]:
    """ "Two dashes of bitters in the Tin Hat, once it's stirred. So, him. The tea is in.": a sentence that begins so,
    behind an amount of what was forgotten."""
    if not reader.talk.punctuated:
        return []
    for a, _ in reader.sentences:
        if after < a < limit and _measured(reader, after, a) and _TURNS_BACK.match(reader.lower, a):
            return [a]
    return []


_TAKES_UP = frozenset(("okay", "ok", "so", "right", "anyway", "now", "alright", "then", "and", "the", "your", "where"))


def _taken_up(reader: TalkReader, number_start: int, after: int, limit: int) -> list[int]:
    """ "And then bourbon, an ounce and, wait, no, I forgot ... okay, bourbon, ounce and a half": the talk is back where
    the thing named last before is named again, behind "okay" or "so"."""
    before = _things(reader, max(0, number_start - TAKEN_UP_WITHIN), after)
    if not before:
        return []
    cut_off = before[-1]
    if not reader.gap(cut_off.end, after).words:
        return []
    out: list[int] = []
    for m in _things(reader, after, limit):
        lead = reader.before(m.start, 2)
        if same_thing(m, cut_off) and lead[-1:] and lead[-1] in _TAKES_UP and set(lead) & _TAKES_UP - {"the", "your"}:
            out.append(m.start)
    return out[:1]


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


# ---- recaps ----------------------------------------------------------------------------------------------------------


def recap_extents(reader: TalkReader, drinks: Sequence[DrinkSpan]) -> list[tuple[int, int]]:
    """Stretches in which something is told again: from the words that say so to the next drink, or from a drink's
    name on.

    They do not overlap; a stretch that begins with a name goes to the next name.
    """
    out: list[tuple[int, int]] = []
    starts = sorted(d.start for d in drinks)
    for cue in reader.cues("turns.recap"):
        words = plain(reader.lower[cue.start : cue.end]).split()
        # "three times, once more" with no name is no recap unless it stands at the head of a sentence.
        start, _ = reader.sentence(cue.start)
        if not any(m.start < start and m.kind in ("amount", "equal") for m in reader.talk.measures):
            continue  # nothing was told that could be told again
        k = bisect_left(starts, cue.end + 1)
        end = starts[k] if k < len(starts) else len(reader.lower)
        if "again" in words and len(words) == 1 and not set(reader.gap(start, cue.start).words) <= _LEADS | {"once"}:
            continue  # "Smell again.", "shake again"
        if words[-2:] == ["all", "together"] and not set(reader.gap(start, cue.start).words) <= _LEADS:
            continue  # "boil it all together"
        if _tells_new(reader, start, end):
            continue
        out.append((start, end))
    for again, stop, retold in _again_stretches(reader, drinks):
        if retold and not any(a <= again.start < b for a, b in out):
            out.append((again.start, stop))
    return sorted(out)


NEW_AT_LEAST = 2


def _tells_new(reader: TalkReader, start: int, end: int) -> bool:
    """Two things and more are measured in a stretch, and none of what is named there was named before."""
    things = [m for m in reader.talk.mentions if m.group == "ingredient"]
    before = {plain(m.name) for m in things if m.start < start}
    here = {plain(m.name) for m in things if start <= m.start < end}
    poured = sum(m.pours and m.kind == "amount" and start <= m.start < end for m in reader.talk.measures)
    return poured >= NEW_AT_LEAST and len(here) >= NEW_AT_LEAST and not here & before


def tail_of(reader: TalkReader) -> int:
    """Where the goodbye begins: the first words of leave-taking in the last quarter of the talk, else the end.

    Words of leave-taking behind which three amounts or more still follow, and no recap, take no leave ("that's it,
    the glass").
    """
    length = len(reader.lower)
    for cue in reader.cues("turns.closing"):
        if cue.start <= 0.7 * length:
            continue
        if any(cue.start < m.start <= cue.end < m.end and m.unit is not None for m in reader.talk.measures):
            continue  # "that's two ounces of"
        if reader.after(cue.end, 1) in (("to",), ("of",), ("in",), ("parts",)):
            continue  # "that's two to one, by weight"
        amounts = sum(m.start > cue.end and m.kind in ("amount", "equal") for m in reader.talk.measures)
        if amounts < 3 or reader.has("turns.recap", cue.start, length):
            return cue.start
    return length
