"""Home-made things: where their making is told, and what is in them.

A making is told of a topic ("the cider syrup, I tell you how"; "my simple is one to one"; "for this we make a kokum
shrub"). The topic is a name that can be home-made, with words of making near it. Its stretch runs until the talk turns back
to the drink: a shaker, a glass, ice, the topic itself poured, the next drink.
"""

from __future__ import annotations

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
LOOK_AHEAD = 3
"""Words of making are looked for in the topic's sentence and so many after it."""
LOOK_AHEAD_CHARS = 320
# So many words without a word of making, and the making is over.
IDLE_WORDS = 30
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


def _evidence(reader: TalkReader, start: int, end: int, measures: Sequence[Measure]) -> int:
    """How much in a stretch speaks for a making being told."""
    score = 0
    score += 2 * len(reader.cues_in("homemade.maker", start, end)) + 2 * len(reader.cues_in("homemade.own", start, end))
    score += 2 * len(reader.cues_in("homemade.work", start, end))
    for m in measures:
        if start <= m.start < end:
            if m.kind == "ratio" or m.unit in ("g", "kg", "lb", "part", "cup", "pint", "l"):
                score += 2
            elif m.kind == "temperature" or (m.kind == "time" and (m.high or 0) >= 300):
                score += 2
    return score


def _against(reader: TalkReader, start: int, end: int) -> bool:
    """The talk is back at a drink."""
    talk = reader.talk
    if any(start <= t.start < end and t.name in OF_A_DRINK and not _negated(reader, t.start) for t in talk.techniques):
        return True
    if any(start <= m.start < end and m.group == "glass" and not m.entry_everyday for m in _glasses(talk.mentions)):
        return True
    return reader.has("homemade.done", start, end)


@dataclass(frozen=True)
class _Glass:
    start: int
    group: str
    entry_everyday: bool


def _glasses(mentions: Sequence[Mention]) -> list[_Glass]:
    return [_Glass(m.start, m.group, bool(m.entry and m.entry.everyday)) for m in mentions if m.group == "glass"]


def _negated(reader: TalkReader, offset: int) -> bool:
    return any(w in ("don't", "never", "no", "not", "without") for w in reader.before(offset, 3))


def makings(
    reader: TalkReader, linked: Sequence[Linked], extents: Sequence[Extent], lexicon: Lexicon, openings: Sequence[int],
) -> list[Making]:  # fmt: skip
    """All home-made things whose making is told, in order; their stretches do not overlap."""
    batch = frozenset(w for line in lexicon.phrases["homemade"]["made in batches"] for w in line.strip("()").split("|"))
    measures = [m for m in reader.talk.measures if mode_at(extents, m.start) not in ("hypothetical", "history", "riff")]
    out: list[Making] = []
    busy = 0
    for k, item in enumerate(linked):
        topic = item.mention
        if topic.start < busy or not makeable(topic, lexicon, batch) or mode_at(extents, topic.start) is not None:
            continue
        if left_out(reader, topic):
            continue
        end = _stretch(reader, topic, item, linked[k + 1 :], measures, openings)
        if end is None:
            continue
        start, stop = end
        making = _collect(reader, topic, start, stop, linked, measures, extents, lexicon)
        if not (making.parts or making.plain_parts or making.ratio is not None or making.work):
            continue
        # A thing without parts told is worth nothing here: it may only be named.
        if not making.parts and not making.plain_parts and making.ratio is None:
            continue
        out.append(making)
        busy = stop
    return out


def _inline(reader: TalkReader, topic: Mention, sentence_end: int) -> bool:
    """ "honey syrup, that's two parts honey, one part hot water"; "my simple is one to one"."""
    after = reader.after(topic.end, 3)
    return bool(after) and after[0] in ("that's", "which", "is", "it's", "just", "and", "that", "so")


def _stretch(
    reader: TalkReader, topic: Mention, item: Linked, later: Sequence[Linked], measures: Sequence[Measure],
    openings: Sequence[int],
) -> tuple[int, int] | None:  # fmt: skip
    """The stretch in which the making of the topic is told, or None."""
    number = reader.sentence_number(topic.start)
    start, end = reader.sentence_span(number)
    next_opening = min((o for o in openings if o > topic.end), default=len(reader.lower))
    # 1. Told in the same breath: parts or a ratio right behind the name.
    near = [m for m in measures if topic.end <= m.start < min(end, topic.end + 120) and (m.kind == "ratio" or m.unit == "part")]
    if near and len(reader.gap(topic.end, near[0].start).words) <= 8:
        stop = end
        done = reader.cues_in("homemade.done", near[-1].end, min(end + 160, len(reader.lower)))
        if not reader.talk.punctuated:
            stop = _unpunctuated_end(reader, near[-1].end, done[0].end if done else None, later, measures)
        else:
            # The next sentence may name what the ratio is of: "It's one to one. Sugar and hot water."
            pass
        return topic.end, min(stop, next_opening)
    # 2. A topic of its own: words of making around it, amounts behind it.
    ahead_number = min(number + LOOK_AHEAD, len(reader.sentences) - 1)
    while ahead_number + 1 < len(reader.sentences) and reader.sentence_span(ahead_number)[1] < topic.end + LOOK_AHEAD_CHARS:
        ahead_number += 1
    ahead = min(reader.sentence_span(ahead_number)[1], next_opening)
    back = max(start, topic.start - 60)
    maker_near = reader.has("homemade.own", back, min(topic.end + 110, ahead)) or reader.has("homemade.maker", back, min(topic.end + 110, ahead))
    alone = reader.talk.punctuated and len(reader.gap(start, topic.start).words) <= 2 and len(reader.gap(topic.end, end).words) <= 8
    own_near = reader.has("homemade.own", max(start, topic.start - 40), min(topic.end + 80, end))
    if item.groups and not own_near:
        return None
    if not (maker_near or alone):
        return None
    if _evidence(reader, topic.end, ahead, measures) < 4 and not (alone and _evidence(reader, topic.end, ahead, measures) >= 2):
        return None
    stop = _walk(reader, topic, number, later, measures, next_opening, measured=bool(item.groups))
    if stop <= topic.end + 10:
        return None
    return topic.end, stop


def _unpunctuated_end(
    reader: TalkReader, start: int, done: int | None, later: Sequence[Linked], measures: Sequence[Measure]
) -> int:
    """Without full stops an inline making ends at "that's the whole thing", or before the next amount in a drink's unit."""
    following = [
        m.start
        for m in measures
        if m.start > start and m.kind in ("amount", "number") and m.unit not in ("part", "g", "cup", "pint", "kg", "lb")
    ]
    limit = min(following, default=start + 160)
    names = [x.mention.start for x in later if x.groups and x.groups[0].start >= limit - 1 and x.mention.start > start]
    if names:
        limit = min(limit, min(names))
    return min(limit, done if done is not None else limit, start + 200)


def _walk(
    reader: TalkReader, topic: Mention, number: int, later: Sequence[Linked], measures: Sequence[Measure], limit: int,
    *, measured: bool,
) -> int:  # fmt: skip
    """Goes on sentence by sentence while the making is told.

    measured: the topic was just poured, so that an amount alone may as well be the next pour.
    """
    end = topic.end
    idle = 0
    for n in range(number, len(reader.sentences)):
        start, stop = reader.sentence_span(n)
        start = max(start, topic.end)
        if start >= limit:
            break
        stop = min(stop, limit)
        if n > number or not reader.talk.punctuated:
            poured = [
                x for x in later
                if start <= x.mention.start < stop and x.groups and is_topic(x.mention, topic)
            ]  # fmt: skip
            if poured:
                break
        if n > number and _against(reader, start, stop):
            done = reader.cues_in("homemade.done", start, stop)
            work = _evidence(reader, start, done[0].start if done else stop, measures)
            hard = any(
                start <= t.start < stop and t.name in OF_A_DRINK and not _negated(reader, t.start) for t in reader.talk.techniques
            )
            if not done or hard or work < 2:
                if done and not hard and len(reader.gap(start, done[0].start).words) > 3 and work:
                    end = done[0].start
                break
            end = done[0].start
            break
        evidence = _evidence(reader, start, stop, measures)
        things = any(start <= m.start < stop and m.kind in ("amount", "number") for m in measures)
        if evidence or (things and not (measured and n > number)):
            end = stop
            idle = 0
        else:
            idle += len(reader.gap(start, stop).words)
            if idle > IDLE_WORDS:
                break
    return end


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
