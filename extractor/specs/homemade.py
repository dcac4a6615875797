"""Home-made things: where their making is told, and what is in them.

A making is told of a topic ("the cider syrup, I tell you how"; "my simple is one to one"; "for this we make a kokum
shrub"). The topic is a name that can be home-made, with words of making near it. Its stretch runs until the talk turns back
to the drink: a shaker, a glass, ice, the topic itself poured, the next drink.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Linked
from extractor.specs.modes import Extent, left_out, mode_at
from extractor.specs.same import same_thing, words_of

MAKEABLE_KINDS = ("syrup", "cordial", "shrub", "plant milk", "brine", "puree")
# A drink's own techniques: where one is told, the home-made thing is done.
OF_A_DRINK = frozenset(("shake", "dry shake", "reverse dry shake", "swizzle", "roll", "fine strain"))
STORAGE = ("holds", "keeps", "lasts", "good", "hold", "keep", "last", "fridge", "refrigerator", "up")


@dataclass
class Making:
    """One home-made thing as told: text[start:end] is about it."""

    topic: Mention
    start: int
    end: int
    parts: list[Linked] = field(default_factory=list)
    plain_parts: list[Mention] = field(default_factory=list)
    ratio: Measure | None = None
    time: Measure | None = None
    heat: Measure | None = None
    overnight: bool = False
    work: bool = False
    steep: bool = False


def makeable(mention: Mention, lexicon: Lexicon, batch_words: frozenset[str]) -> bool:
    """Can this be home-made? By its entry or kind, by its last word, or because it is a thing and a bottle in one name."""
    last = plain(mention.name).split()[-1:] or [""]
    if mention.entry is not None:
        if mention.entry.house:
            return True
        if any(lexicon.is_a(mention.entry, k) for k in MAKEABLE_KINDS if k in lexicon.kinds):
            return True
    if "infused" in plain(mention.name):
        return True
    if last[0] in batch_words and len(plain(mention.name).split()) > 1 and mention.entry is None:
        return True
    return mention.how == "head" or (last[0] == "honey" and len(plain(mention.name).split()) > 1)


# Evidence for a stretch of talk being about a making (> 0) or about the drink (< 0). Common practice, no source; set on
# the episodes with gold records.
BY_UNIT = {"g": 2.0, "kg": 2.0, "lb": 2.0, "part": 2.0, "cup": 0.8, "pint": 1.0, "l": 0.8, "can": 0.3}
WORK, MAKER, OWN = 1.3, 0.7, 1.5
LONG_TIME, HEAT, RATIO = 2.0, 2.0, 2.5
LONG_TIME_S = 100
STRONG_POUR, WEAK_POUR, DASHES = -2.2, -1.0, -1.6
DRINK_WORK, GLASS, BACK, ITSELF = -2.2, -2.0, -3.0, -2.5
ENTER, LEAVE = 1.2, 0.3
ENTER_POURED = 2.6
"""What it costs to begin right behind an amount of the thing itself, with no word that it is home-made."""
IDLE = 0.03
"""What each word costs that speaks neither for nor against."""
LEAST = 2.7
"""A making has at least so much evidence."""
MOST_WORK = 3.9


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch that says one thing. `topic`: the home-made thing that a making beginning here would be of."""

    start: int
    end: int
    score: float
    topic: Mention | None
    enter: float = ENTER


def _cuts(reader: TalkReader, topics: Sequence[Linked]) -> list[int]:
    """Where segments begin: at clauses, behind a topic (and its amount), and before words that lead back to the drink."""
    cuts = {c.start for c in reader.talk.clauses}
    for t in topics:
        cuts.add(max([t.mention.end, *(g.end for g in t.groups if g.end - t.mention.end < 40)]))
    cuts |= {c.start for c in reader.cues("homemade.done")}
    return sorted(cuts)


def _score(
    reader: TalkReader, start: int, end: int, measures: Sequence[Measure], linked: Sequence[Linked], topics: Sequence[Linked],
    lexicon: Lexicon, glasses: Sequence[int],
) -> float:  # fmt: skip
    score = min(
        MOST_WORK,
        WORK * len(reader.cues_in("homemade.work", start, end))
        + MAKER * len(reader.cues_in("homemade.maker", start, end))
        + OWN * len(reader.cues_in("homemade.own", start, end)),
    )
    for m in measures:
        if not start <= m.start < end:
            continue
        if m.kind == "ratio":
            score += RATIO
        elif m.kind == "temperature":
            score += HEAT
        elif m.kind == "time" and (m.high or 0) >= LONG_TIME_S:
            score += LONG_TIME
        elif m.kind in ("amount", "number"):
            score += BY_UNIT.get(m.unit or "", 0.0)
    for x in linked:
        for g in x.groups:
            if not start <= g.start < end:
                continue
            unit = g.value.unit
            if any(t is x for t in topics) and unit in ("fl_oz", "ml", "cl", "dash", "tsp", "bar_spoon", "drop"):
                score += ITSELF if any(is_topic(t.mention, x.mention) and t is not x for t in topics) else WEAK_POUR
            elif unit in ("fl_oz", "ml", "cl"):
                score += _pour(x.mention, lexicon)
            elif unit in ("dash", "drop"):
                score += DASHES
    for t in reader.talk.techniques:
        if start <= t.start < end and t.name in OF_A_DRINK and not _negated(reader, t.start):
            score += DRINK_WORK
    score += GLASS * sum(start <= g < end for g in glasses)
    score += BACK * len(reader.cues_in("homemade.done", start, end))
    return score


# What goes into a making by the millilitre as well as into a drink.
_BASES = ("water", "vinegar", "dairy", "sweetener", "sour juice")


def _pour(mention: Mention, lexicon: Lexicon) -> float:
    """How much a pour by volume speaks for the drink: spirits much, water not at all."""
    entry = mention.entry
    if entry is None:
        return WEAK_POUR
    figure = lexicon.figure(entry, "strength")
    if figure is not None and figure.low > 5:
        return STRONG_POUR
    return 0.0 if any(lexicon.is_a(entry, k) for k in _BASES if k in lexicon.kinds) else WEAK_POUR


def _negated(reader: TalkReader, offset: int) -> bool:
    return any(w in ("don't", "never", "no", "not", "without") for w in reader.before(offset, 3))


def batch_words(lexicon: Lexicon) -> frozenset[str]:
    """Last words of names of things that are made in batches."""
    return frozenset(w for line in lexicon.phrases["homemade"]["made in batches"] for w in line.strip("()").split("|"))


def makings(
    reader: TalkReader, linked: Sequence[Linked], extents: Sequence[Extent], lexicon: Lexicon, openings: Sequence[int],
) -> list[Making]:  # fmt: skip
    """All home-made things whose making is told, in order; their stretches do not overlap.

    The talk is cut into segments, each weighed for and against; then the likeliest run of "making" and "drink" over all
    segments is taken (Viterbi). A making may begin only where a thing that can be home-made is named, right before or in
    the segment, and ends at the latest where the next drink begins.
    """
    batch = batch_words(lexicon)
    measures = [m for m in reader.talk.measures if mode_at(extents, m.start) not in ("hypothetical", "history", "riff")]
    topics = [
        x for x in linked
        if makeable(x.mention, lexicon, batch) and mode_at(extents, x.mention.start) is None and not left_out(reader, x.mention)
    ]  # fmt: skip
    glasses = [
        m.start for m in reader.talk.mentions
        if m.group == "glass" and not (m.entry is not None and m.entry.everyday) and mode_at(extents, m.start) is None
    ]  # fmt: skip
    cuts = _cuts(reader, topics)
    segments: list[Segment] = []
    for k, start in enumerate(cuts):
        end = cuts[k + 1] if k + 1 < len(cuts) else len(reader.lower)
        score = _score(reader, start, end, measures, linked, topics, lexicon, glasses)
        topic = _topic_for(reader, start, end, topics)
        enter = ENTER if topic is None else _enter(reader, topic, end, topics)
        if score == 0.0:
            score = -IDLE * len(reader.gap(start, end).words)
        segments.append(Segment(start, end, score, topic, enter))
    out: list[Making] = []
    for first, last in _runs(segments, sorted(openings)):
        topic = segments[first].topic
        while last > first and segments[last].score <= 0:
            last -= 1
        if topic is None or sum(max(0.0, s.score) for s in segments[first : last + 1]) < LEAST:
            continue
        start = max(segments[first].start, topic.end if topic.start >= segments[first].start else 0)
        making = _collect(reader, topic, start, segments[last].end, linked, measures, extents, lexicon)
        told = making.parts or making.plain_parts
        if not told and making.ratio is None:
            continue
        if any(is_topic(topic, m.topic) for m in out) and not told:
            continue
        out.append(making)
    return out


def _enter(reader: TalkReader, topic: Mention, end: int, topics: Sequence[Linked]) -> float:
    """What it costs to begin a making of a topic here."""
    poured = any(t.mention is topic and t.groups for t in topics)
    start, _ = reader.sentence(topic.start)
    told = reader.has("homemade.own", max(start, topic.start - 50), topic.end + 90) or reader.has(
        "homemade.maker", topic.start, topic.end + 60
    )
    mine = reader.before(topic.start, 1)[-1:] in (("my",), ("our",))
    return ENTER_POURED if poured and not told and not mine else ENTER


def _topic_for(reader: TalkReader, start: int, end: int, topics: Sequence[Linked]) -> Mention | None:
    """The thing that a making which begins in a segment is of: named last before it (or in it), not long ago."""
    best: Mention | None = None
    for t in topics:
        m = t.mention
        if m.start < start - NAMED_BEFORE:
            continue
        if m.start >= end:
            # "... you stir until it's clear, and what you have now is acid-adjusted orange juice": named behind its making.
            result = m.start - end < NAMED_BEHIND and _RESULT.search(reader.lower[max(0, m.start - 32) : m.start]) is not None
            return m if best is None and result else best
        before = reader.before(m.start, 1)
        part = any(g.value.unit in ("g", "kg", "cup", "pint", "part", "l") for g in t.groups)
        if best is None or m.start < start or (not part and (before[-1:] in _MINE or len(reader.gap(start, m.start).words) <= 4)):
            best = m
    return best


NAMED_BEHIND = 300
_MINE = (("my",), ("our",), ("the",), ("this",), ("that",))
_RESULT = re.compile(r"(?:what you(?:'ve| have) (?:got )?(?:now )?(?:is|are)|now you(?:'ve| have)(?: got)?|that's (?:your|the|my|our)|"
                     r"that is (?:your|the|my)|gives you|you get|you end up with|call (?:it|that)|which is (?:my|your|the|our)|this is (?:my|the|our)|"
                     r"for (?:the|my|our)) (?:a |an |the |my |your )?$")  # fmt: skip


NAMED_BEFORE = 130
"""A making begins at most so many characters behind the name of its thing."""


def _runs(segments: Sequence[Segment], openings: Sequence[int]) -> list[tuple[int, int]]:
    """The likeliest stretches of making: pairs of first and last segment."""
    drink, making = 0.0, float("-inf")
    trail: list[tuple[bool, bool]] = []
    """For each segment: was it better to come from a making, if this one is (drink, making)?"""
    previous_end = 0
    for s in segments:
        opened = any(previous_end <= o <= s.start for o in openings)
        stay = making + (-4.0 if opened else 0.0)
        enter = drink - s.enter if s.topic is not None else float("-inf")
        leave = making - LEAVE
        trail.append((leave > drink, stay > enter))
        drink, making = max(drink, leave), max(stay, enter) + s.score
        previous_end = s.start + 1
    out: list[tuple[int, int]] = []
    in_making = making > drink
    last = len(segments) - 1
    for k in range(len(segments) - 1, -1, -1):
        came_from_making = trail[k][1] if in_making else trail[k][0]
        if in_making and not came_from_making:
            out.append((k, last))
        if not in_making and came_from_making:
            last = k - 1
        in_making = came_from_making
    out.reverse()
    return out


def is_topic(mention: Mention, topic: Mention) -> bool:
    """Is the home-made thing itself named? "Rye" in the making of "cacao nib rye" is not it."""
    if words_of(mention.name) == words_of(topic.name) or words_of(mention.heard) == words_of(topic.heard):
        return True
    if mention.entry is not None and mention.how == "exact":
        return False
    return words_of(topic.name) < words_of(mention.name)


def _collect(
    reader: TalkReader, topic: Mention, start: int, stop: int, linked: Sequence[Linked], measures: Sequence[Measure],
    extents: Sequence[Extent], lexicon: Lexicon,
) -> Making:  # fmt: skip
    making = Making(topic, start, stop)
    inside = [x for x in linked if start <= x.mention.start < stop and not is_topic(x.mention, topic)]
    for m in measures:
        if not start <= m.start < stop:
            continue
        if m.kind == "ratio" and making.ratio is None:
            making.ratio = m
        elif m.kind == "temperature" and making.heat is None:
            making.heat = m
        elif m.kind == "time":
            around = (*reader.before(m.start, 4), *reader.after(m.end, 3))
            if any(w in STORAGE for w in around) and "leave" not in around and "let" not in around:
                continue
            if m.said.lower().strip() in ("overnight", "over night"):
                making.overnight = True
                continue
            if making.time is None or (m.high or 0) > (making.time.high or 0):
                making.time = m
    making.work = reader.has("homemade.work", start, stop)
    making.steep = reader.has("homemade.steep words", start, stop)
    seen: list[Mention] = []
    for x in inside:
        if mode_at(extents, x.mention.start) is not None or left_out(reader, x.mention):
            continue
        if x.groups:
            making.parts.append(x)
            seen.append(x.mention)
    for x in inside:
        if x.groups or mode_at(extents, x.mention.start) is not None or left_out(reader, x.mention):
            continue
        if any(same_thing(x.mention, s) for s in seen):
            continue
        if not _goes_in(reader, x.mention, start):
            continue
        making.plain_parts.append(x.mention)
        seen.append(x.mention)
    return making


_GOVERNORS = frozenset(
    "put take takes with is it's just pour use and of add cut onto in into plus you're some boil heat start from your the "
    "get mix".split()
)


def _goes_in(reader: TalkReader, mention: Mention, start: int) -> bool:
    """An unmeasured name in a making that is put in: "it's sugar and hot water", "put it in a jar with vodka"."""
    before = reader.before(mention.start, 3)
    gap_start = reader.gap(start, mention.start)
    if not gap_start.words or (len(gap_start.words) <= 1 and not gap_start.stop):
        return True
    words = [w for w in before if w not in ("a", "an", "the", "some", "your", "my", "of", "small", "little", "bit")]
    sentence_start, _ = reader.sentence(mention.start)
    at_head = len(reader.gap(sentence_start, mention.start).words) == 0
    if at_head:
        after = reader.after(mention.end, 4)
        return "you" in after or "and" in after[:1]
    return bool(words) and words[-1] in _GOVERNORS and not any(w in ("like", "no", "not", "than", "until", "till") for w in before)
