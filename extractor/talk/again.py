"""Hears again what the first reading left: places where something was named that was not understood.

The first reading expects a name behind a measure and after words such as "add". It misses the name that stands before
its amount and was torn into small words ("dark or I'm, thirty mil"), the ruined word before a head that stands there
as it is ("salary bitters", "blank vermouth") and the solid thing that nobody pours by the ounce ("sixty mil of pickle
rind" is no pickle). Each such place is a gap: all windows of words in it are compared by sound, and the likeliest is
taken if it is likely enough for its sort of gap.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.talk.heads import names_by_head
from extractor.talk.mentions import LIST_WITHIN
from extractor.talk.nameless import nameless
from extractor.talk.understood import Understood, sure

if TYPE_CHECKING:
    from extractor.names import Hearing, NameSpan
    from extractor.names.decide import Evidence
    from extractor.talk.mentions import NameWords, Token

LONGEST = 6
"""A window has at most so many words."""
POURED = ("fl_oz", "ml", "cl", "dash", "part")
"""Nobody measures a solid thing in these."""
LIST_WORDS = 16
"""A list before the one amount of all has at most so many words."""


@dataclass(frozen=True, slots=True)
class Gap:
    """Where a name may begin and end (tokens, end not included).

    sort: behind ("an ounce of ..."), next ("an ounce ..."), before ("... an ounce"), head ("... bitters") or solid.
    unit: that of the amount beside it. bare: no name at all is left for that amount.
    """

    sort: str
    starts: tuple[int, ...]
    ends: tuple[int, ...]
    unit: str | None = None
    bare: bool = False
    comma: int | None = None
    """The first token behind a comma that the name may run over: a recogniser sets some inside names."""


# How strongly a name is expected in a gap, and how sure its hearing must be to be taken.
#  whole: "so to water", small words before a head that say nothing there.
EXPECTS = {"whole": 0.9, "behind": 0.9, "next": 0.9, "before": 0.8, "head": 0.9, "solid": 0.9, "list": 0.8}
LEAST = {"whole": 0.5, "behind": 0.6, "next": 0.85, "before": 0.7, "head": 0.8, "solid": 0.35, "list": 0.7}
WORD_BEFORE = 0.85
"""So sure must a single English word be that stands before such an amount."""
BARE_BEFORE = 0.7
"""So sure at least is what stands before such an amount."""
BETWEEN = ("a", "an", "and", "at", "about", "just", "is", "like", "in", "that's", "it's")
"""What is heard between a name and the amount behind it, for "an" most of all."""
BARE_NEXT, BARE_SHARE = 0.7, 0.2
"""Behind an amount that no name is left for, "one part verges", words must be so sure, and at most so much of their
sounds off, English or not."""
NEEDED = 0.5
"""So sure at least is what sounds alike where no name is left for an amount."""
SMALL_BEFORE, WHOLE_SHARE, WHOLE_BESIDE = 3, 0.14, 0.2
"""So many small words at most before a head may be a piece of its name, where so much of all sounds at most is off; and
the same beside an amount."""
DESCRIBED = 4
"""What tells how a thing is, between its name and its amount, has at most so many words."""
ARTICLES = ("the", "a", "an")
ENGLISH_NEXT = 0.9
"""Behind a measure without "of" words that are all English must be so sure."""
SMALL_WORDS = 0.75
"""The same where it is all English and begins or ends in a word as small as "or"."""
ALL_THE_SAME = frozenset([
    "all", "each", "everything", "every", "one", "of", "them", "these", "those", "it", "both", "two", "three", "four",
    "five", "the", "same", "equal", "is", "are", "at", "exactly", "they're", "that's", "it's",
])  # fmt: skip
"""What stands before the one amount of a list: "all of them the same, three quarters"."""
ALL_WITHIN = 6
CONTRACTION = re.compile(r"^(?:it|he|she|that|there|what|who|i|you|we|they)'")
PRONOUNS = frozenset(("i", "you", "it", "we", "they", "he", "she", "them", "this", "that", "which"))
TITLES = frozenset(("miss", "mr", "mrs", "ms", "dr", "doctor"))
OVER_COMMA = 0.85
"""So sure must a name be with a comma inside: "three ounces of alaro, so cherry"."""
LONGER = 0.2
"""So much less sure may a longer hearing be that begins with the words of the surest."""


def gaps_of(talk: Understood, measures: Sequence[Measure]) -> list[Gap]:
    out: list[Gap] = []
    listed = -LIST_WITHIN
    without = nameless(talk, measures)
    for m in measures:
        if not m.pours or m.thing is not None:
            continue
        in_list = m.kind == "number" and m.start - listed < LIST_WITHIN
        if (m.kind == "amount" and m.unit) or in_list:
            listed = m.end
        around = _around(talk, m, in_list)
        if id(m) in without:
            around = [replace(g, bare=g.sort != "before" or not talk.stops(g.ends[0] - 1)) for g in around]
        out += around
        end = _list_end(talk, m)
        if end is not None:
            out += _listed(talk, end)
    for start, end, mention in talk.mentions:
        gap = _before_head(talk, start, end, mention)
        if gap is not None:
            out.append(gap)
    return out


def _around(talk: Understood, m: Measure, in_list: bool) -> list[Gap]:
    tokens, words = talk.tokens, talk.words
    loose = (m.kind == "number" and not in_list) or (m.kind == "vague" and m.unit is None)
    before, after = bisect_left(talk.starts, m.start), bisect_left(talk.starts, m.end)
    closed = after > 0 and tokens[after - 1].closes
    at = after
    of = m.said.rstrip().lower().endswith(" of")
    if at < len(tokens) and tokens[at].clean == "of":
        of, at = True, at + 1
    name = at
    while (
        name < len(tokens)
        and (tokens[name].clean in words.drop or tokens[name].clean in ("and", "then"))
        and not tokens[name].closes
        and talk.open(name)
    ):
        name += 1
    found = talk.first.get(at) or talk.first.get(name)
    if found is None:
        behind = (talk.first.get(at + k) for k in (1, 2) if _before_solid(talk, at, at + k))
        found = next((x for x in behind if x is not None and x[1].how == "sound" and _solid(talk, x[1])), None)
    joined = {tokens[k].clean for k in range(at, name)} & {"and", "then"}
    # "Artichoke a marrow three quarters and coffee liqueur half": what is named behind "and" has its own amount.
    behind_and = bool(joined) and not of and at not in talk.first
    if not closed and found is not None and sure(found[1]) and not behind_and:
        end, mention = found
        poured = (m.kind == "amount" and m.unit in POURED) or in_list
        solid = _solid(talk, mention)
        first = bisect_left(talk.starts, mention.start)
        ends = _ends(talk, first, end) if poured and solid and not tokens[end - 1].closes else []
        # "Land go to keel" is more than "go to keel": no solid thing by the ounce, and the word before it in the air.
        if poured and solid and mention.how == "sound" and _before_solid(talk, at, first):
            ends = sorted({*ends, end})
            return [Gap("solid", (at, first), tuple(ends), m.unit)]
        return [Gap("solid", (first,), tuple(ends), m.unit)] if ends else []
    out = []
    if not closed and (of or not loose) and not (behind_and and found is not None and sure(found[1])):
        for start in sorted({at, name}):
            ends = _ends(talk, start, start)
            if ends:
                out.append(Gap("behind" if of else "next", (start,), tuple(ends), m.unit))
            comma = next((i + 1 for i in range(start, min(start + LONGEST, len(tokens))) if tokens[i].closes), None)
            if of and ends and comma is not None and talk.comma(comma - 1):
                over = _ends(talk, start, comma)
                out += [Gap("behind", (start,), tuple(over), m.unit, comma=comma)] if over else []
    told = talk.last.get(before)
    if told is None and before > 1 and tokens[before - 1].clean in ("a", "an", "about", "just", "and", "is", "like"):
        told = talk.last.get(before - 1)
    if not of and m.kind in ("amount", "number") and before > 0 and not (told is not None and sure(told[1])):
        if m.kind == "amount":
            before = _behind_name(talk, before)
        for end in (before, _undescribed(talk, before)):
            starts = _starts(talk, end)
            if starts and all(g.ends != (end,) for g in out):
                out.append(Gap("before", tuple(starts), (end,), m.unit))
    return out


def _undescribed(talk: Understood, end: int) -> int:
    """Where a name ends that is told how it is: "chammable tee, hot, six ounces", "blanch for muth, not the dry"."""
    tokens = talk.tokens
    first = end
    while first > 0 and talk.covered[first - 1] is None and end - first < DESCRIBED and (
        first == end or not tokens[first - 1].closes
    ):  # fmt: skip
        first -= 1
    said = [t.clean for t in tokens[first:end]]
    apart = first > 0 and tokens[first - 1].closes and not talk.stops(first - 1)
    if apart and said and (said[0] in ARTICLES or (said[0] == "not" and said[1:2] and said[1] in ARTICLES)):
        return first
    while end > 1 and talk.open(end - 1) and tokens[end - 1].clean in talk.words.keep and not tokens[end - 2].closes:
        end -= 1
    return end


def _solid(talk: Understood, mention: Mention) -> bool:
    entry = mention.entry
    return mention.group == "ingredient" and entry is not None and talk.lexicon.state(entry) != "liquid"


def _before_solid(talk: Understood, start: int, end: int) -> bool:
    """One or two words that nothing was made of stand between an amount and a name."""
    return (
        0 < end - start <= 2
        and end < len(talk.tokens)
        and all(talk.open(i) and not talk.tokens[i].closes and not _small(talk, i) for i in range(start, end))
    )


def _behind_name(talk: Understood, before: int) -> int:
    """Where the name before an amount ends: "so tall and ounce and a half" is "sotol, an ounce and a half"."""
    end = before
    while end > 1 and talk.tokens[end - 1].clean in BETWEEN and talk.open(end - 1) and not talk.tokens[end - 1].closes:
        end -= 1
    return end


def _list_end(talk: Understood, m: Measure) -> int | None:
    """Where the list ends that an amount is told for as a whole: "A and B, an ounce each", "all of them an ounce"."""
    end = bisect_left(talk.starts, m.start)
    if m.kind == "equal" or _each(talk, m):
        return end
    first = end
    while first > 0 and end - first < ALL_WITHIN and talk.tokens[first - 1].clean in ALL_THE_SAME and (
        first == end or not talk.stops(first - 1)
    ):  # fmt: skip
        first -= 1
    return first if any(t.clean in ("all", "each", "everything") for t in talk.tokens[first:end]) else None


def _each(talk: Understood, m: Measure) -> bool:
    """ "An ounce each", "one part of each"."""
    after = bisect_left(talk.starts, m.end)
    said = [t.clean for t in talk.tokens[after : after + 2]]
    return "each" in m.said.lower().split() or said[:1] == ["each"] or said == ["of", "each"]


def _listed(talk: Understood, end: int) -> list[Gap]:
    """The places of a list told in one breath before the one amount of all: "mess cow, sweet for mouth and ...".

    A name may begin at any of its words, and ends before the next name that is sure.
    """
    first = end
    while first > 0 and end - first < LIST_WORDS and talk.covered[first - 1] is None:
        if talk.tokens[first - 1].closes and first < end and talk.stops(first - 1):
            break
        first -= 1
    out = []
    for start in range(first, end):
        if not talk.open(start) or talk.tokens[start].clean in ("and", "or"):
            continue
        ends = [e for e in _ends(talk, start, start) if e <= end]
        if ends:
            out.append(Gap("list", (start,), tuple(ends), "fl_oz"))
    return out


def _ends(talk: Understood, start: int, end: int) -> list[int]:
    """Where a name from `start` on may end, if it is longer than to `end`."""
    out: list[int] = []
    while end < len(talk.tokens) and end - start < LONGEST:
        if not talk.open(end):
            head = talk.first.get(end)
            if end > start and talk.covered[end] is None and head is not None and head[0] - end == 1:
                out.append(head[0])
            break
        end += 1
        if not _small(talk, end - 1):
            out.append(end)
        if talk.tokens[end - 1].closes:
            break
    return out


def _starts(talk: Understood, end: int) -> list[int]:
    """Where a name may begin that ends at `end`."""
    out = []
    k = end - 1
    while k >= 0 and end - k < LONGEST and talk.open(k) and (k == end - 1 or not talk.tokens[k].closes):
        out.append(k)
        k -= 1
    return out


def _small(talk: Understood, i: int) -> bool:
    """No name ends in such a word."""
    word = talk.tokens[i].clean
    return word in talk.words.stop or word in talk.words.drop


def _before_head(talk: Understood, start: int, end: int, mention: Mention) -> Gap | None:
    """The ruined words before "bitters", or before the rest of a name that no lexicon has."""
    tokens, words = talk.tokens, talk.words
    if mention.group != "ingredient" or tokens[end - 1].clean not in words.heads:
        return None
    known = mention.entry is not None
    if known and (end - start > 1 or mention.how not in ("exact", "other name")):
        return None
    small = known and (start == 0 or _small(talk, start - 1) or tokens[start - 1].clean in words.keep)
    if small and (start == 0 or mention.entry is None or not talk.lexicon.is_liquid(mention.entry)):
        return None
    starts = [] if known else list(range(start, end - 1))
    k = start - 1
    while k >= 0 and start - k < LONGEST - 1 and talk.open(k) and not tokens[k].closes:
        starts.append(k)
        k -= 1
    if small:
        starts = [k for k in starts if start - k < SMALL_BEFORE]
    return Gap("whole" if small else "head", tuple(starts), (end,)) if starts else None


def hear_again(
    tokens: Sequence[Token], covered: Sequence[Measure | None], measures: Sequence[Measure],
    mentions: Sequence[Mention], words: NameWords, lexicon: Lexicon, hearing: Hearing, text: str,
) -> list[NameSpan]:  # fmt: skip
    """What was likely named in the gaps of the first reading, as spans over the tokens, none overlapping.

    `mentions` is what the first reading understood. The spans may lie over mentions of it: those are then worse.
    """
    from extractor.names.again import ALIKE, Window, hear_windows
    from extractor.names.spans import surest

    talk = Understood(tokens, covered, mentions, words, lexicon, hearing, text)
    gaps = gaps_of(talk, measures)
    established = frozenset(id(m.entry) for m in mentions if m.entry is not None and sure(m) and not m.entry.everyday)
    windows = [
        Window(
            n,
            start,
            tuple(e for e in gap.ends if start < e <= start + LONGEST),
            EXPECTS[gap.sort],
            gap.unit,
            gap.bare,
        )
        for n, gap in enumerate(gaps)
        for start in gap.starts
    ]
    plain_words = [t.clean for t in tokens]
    best: dict[int, NameSpan] = {}
    alike: set[int] = set()
    for n, span, signs in hear_windows(plain_words, windows, hearing, established):
        if not _fits(talk, gaps[n], span, signs, hearing):
            continue
        if span.apply and not _may_apply(talk, gaps[n], span, signs):
            span = replace(span, apply=False)
        old = best.get(n)
        if gaps[n].bare and signs.share <= ALIKE and span.end - span.start > 1:
            alike.add(n)
            span = replace(span, confidence=max(span.confidence, NEEDED))
        longer = old is not None and old.start == span.start and old.end < span.end
        if old is None or span.confidence > old.confidence - (LONGER if longer else 0):
            best[n] = span
    taken = [s for n, s in best.items() if s.confidence >= _least(gaps[n]) or n in alike]
    by_head = [
        h for h in names_by_head(talk, hearing, established)
        if not any(s.apply and s.entry is h.entry and s.start < h.end and h.start < s.end for s in taken)
    ]  # fmt: skip
    taken = [s for s in taken if not any(s.start < h.end and h.start < s.end for h in by_head)]
    return sorted([*surest(taken), *by_head], key=lambda s: s.start)


def _least(gap: Gap) -> float:
    if gap.bare and gap.sort in ("next", "before"):
        return BARE_NEXT if gap.sort == "next" else BARE_BEFORE
    return LEAST[gap.sort]


def _fits(talk: Understood, gap: Gap, span: NameSpan, signs: Evidence, hearing: Hearing) -> bool:
    """Whether a hearing may be right at all, by the words themselves."""
    tokens, words = talk.tokens, talk.words
    said = [tokens[i].clean for i in range(span.start, span.end)]
    name = plain(span.written or span.name).split()
    if any(w in TITLES or w[:1].isdigit() for w in said) or said[0] == "and":
        return False
    if said[-1] in talk.heads and [hearing.key(w) for w in name[-1:]] != [hearing.key(said[-1])]:
        return False  # "buchu gin" is a gin, and "honeybush honey" a honey
    if name == plain(" ".join(said)).split()[-len(name) :]:
        return False  # "love itch aquavit" is more than aquavit
    if _torn(talk, span, hearing.vocabulary):
        return False
    if gap.comma is not None and (span.confidence < OVER_COMMA or len(name) < 2):
        return False
    if gap.sort == "solid":
        return not any(w in PRONOUNS for w in said)  # "three calamansi you cut"
    if gap.sort == "whole":
        spoken = any(not _small(talk, i) for i in range(span.start, span.end - 1))
        most = WHOLE_BESIDE if spoken and _beside_measure(talk, span) else WHOLE_SHARE
        return signs.share <= most and len(name) > 1
    if signs.plausible:
        return False  # "brown butter bourbon" is no ruined name
    if gap.bare and gap.sort == "before" and len(said) == 1 and signs.word and span.confidence < WORD_BEFORE:
        return False
    if gap.bare and not signs.common and signs.share <= BARE_SHARE and said[-1] not in ("glass", "glasses"):
        return True
    if CONTRACTION.match(said[0]) and all(w in words.stop or w in hearing.words["common"] for w in said[1:]):
        return False
    if not signs.english:
        return True
    small = [
        _small(talk, i) or (tokens[i].clean in words.keep and gap.unit is None) for i in range(span.start, span.end)
    ]
    if all(small):
        return False
    if gap.sort == "next" and span.confidence < ENGLISH_NEXT:
        return False
    if said[0] in words.stop or said[-1] in words.stop:
        return span.confidence >= SMALL_WORDS
    return _beside_measure(talk, span) or said[0] not in hearing.words["common"]


def _torn(talk: Understood, span: NameSpan, vocabulary: frozenset[str]) -> bool:
    """Whether a name that goes on was cut: "camel meal" of "camel meal tea", "mertle syrup" of "lemon mertle syrup"."""
    tokens = talk.tokens
    if span.end < len(tokens) and not tokens[span.end - 1].closes and talk.covered[span.end] is None:
        behind = talk.first.get(span.end)
        if tokens[span.end].clean in talk.heads or (behind is not None and sure(behind[1])):
            return True
    if span.start in talk.owner and span.start not in talk.first and plain(tokens[span.start - 1].clean) in vocabulary:
        return True  # "lemon blorp syrup"
    led = talk.last.get(span.start)
    if led is None or tokens[span.start - 1].closes or tokens[span.start - 1].clean in talk.heads:
        return False
    entry = led[1].entry
    return led[1].group == "ingredient" and entry is not None and not talk.lexicon.is_liquid(entry)


def _beside_measure(talk: Understood, span: NameSpan) -> bool:
    before, tokens = span.start - 1, talk.tokens
    if span.end < len(tokens) and talk.covered[span.end] is not None:
        return True
    return before >= 0 and (talk.covered[before] is not None or tokens[before].clean == "of")


def _may_apply(talk: Understood, gap: Gap, span: NameSpan, signs: Evidence) -> bool:
    """Far from any amount English words stay as they are: "just a wet rum" is no white rum, and Donal is nobody's
    bottle."""
    return gap.unit is not None or (gap.sort == "head" and (not signs.english or _beside_measure(talk, span)))
