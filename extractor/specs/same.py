"""When two names mean one thing: "maraschino" and "maraschino liqueur", "the overproof" and "overproof rum"."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.apposed import HEADS_ALONE, of_a_kind
from extractor.specs.gaps import Gap, TalkReader

# Of these a speaker says "the brine", "my syrup" when the full name was said before.
MADE_HEADS = frozenset(
    [
        "brine", "syrup", "cordial", "shrub", "liqueur", "bitters", "puree", "juice", "infusion", "vinegar",
        "solution", "tincture", "tea", "orgeat", "foam",
    ]
)  # fmt: skip


@lru_cache(maxsize=8192)  # Every pair of names of a talk is compared.
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
    if not small < large:
        return False
    head = next(iter(small))
    longer = plain(a if large is wa else b).split()
    return not (len(small) == 1 and head in HEADS_ALONE and head in (longer[-1], longer[-1].rstrip("s")))


def resolve_heads(mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> list[Mention]:
    """ "The brine", "my syrup", "fifteen syrup": a bare head takes the full name said before (else right behind) it."""
    out: list[Mention] = []
    ends = {m.end for m in reader.talk.measures if m.kind in ("amount", "number")}
    for k, m in enumerate(mentions):
        head = plain(m.heard)
        definite = reader.before(m.start, 1) in (
            ("the",),
            ("my",),
            ("our",),
            ("your",),
            ("that",),
            ("this",),
            ("same",),
        ) or (m.start - 1 in ends or m.start - 4 in ends)
        if head not in MADE_HEADS or not definite:
            out.append(m)
            continue
        before = [x for x in reversed(out) if plain(x.name).endswith(" " + head) and plain(x.heard) != head]
        after = [x for x in mentions[k + 1 : k + 2] if plain(x.name).endswith(" " + head) and x.start - m.end < 40]
        full = next(iter([*before, *after]), None)
        out.append(replace(m, name=full.name, entry=full.entry, how="other name") if full is not None else m)
    return out


_I_SAY = re.compile(r"when i say (?:the |my )?([a-z' -]{3,30}?),? (?:i mean|it's|that's|i'm talking about) ")


_IS = frozenset(
    [
        "it", "is", "it's", "'s", "which", "that", "that's", "a", "an", "the", "kind", "of", "like", "sort",
        "basically", "just", "called", "small", "our", "local", "other",
    ]
)  # fmt: skip
_MUST_IS = frozenset(["is", "it's", "that's", "'s", "called"])


def _two_parts(made: Mention, pair: Sequence[Mention], reader: TalkReader) -> bool:
    """ "Raspberry syrup, which is raspberries and sugar": of what it is made, no second word for it."""
    words = plain(made.name).split()
    sweetened = words[-1:] == ["honey"] and len(words) > 1  # "thyme honey"
    if (words[-1:] not in [[h] for h in MADE_HEADS] and not sweetened) or len(pair) < 2:
        return False
    gap = reader.gap(pair[0].end, pair[1].start)
    listed = gap.comma and not gap.stop and gap.words in ((), ("it's",))  # "it's honey, it's hot water, it's thyme"
    return listed or gap == Gap(("and",), comma=False, stop=False)


def described(mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> list[Mention]:
    """Leaves out what only says what a thing is: the plum of "umeshu, it is plum, twenty mil"; "slivovitz, that is
    plum brandy".

    A measure between the two ("honey syrup, that's two parts honey") makes the second a part, not a description.
    """
    starts = sorted(m.start for m in measures if m.kind in ("amount", "vague", "number", "ratio"))
    ends = [m.end for m in measures if m.kind == "amount"]
    counted = {m.start for m in measures if m.said.lower() in ("a", "an")}
    mentions = of_a_kind(mentions, starts, reader)
    out: list[Mention] = []
    parts: set[int] = set()
    for k, m in enumerate(mentions):
        before = out[-1] if out else None
        if before is not None and m.start - before.end < 40 and _two_parts(before, mentions[k : k + 2], reader):
            parts |= {x.start for x in mentions[k : k + 3]}
        elif before is not None and m.start - before.end < 40 and m.start not in parts:
            gap = reader.gap(before.end, m.start)
            # "Naartjie juice, that's a mandarin to the rest of you": no mandarin.
            told = gap.comma and not gap.stop and gap.words[:1] in (("that's",), ("that", "is")) and len(gap.words) <= 2
            told = told and any(0 <= before.start - e <= 4 for e in ends)
            between = any(before.end <= s < m.start and not (told and s in counted) for s in starts)
            if told and not between and any(before.end <= s < m.start for s in counted):
                continue
            follows = any(m.end <= s <= m.end + 4 for s in starts)
            # "Twenty mil of honey syrup, which is honey, two parts": the second amount is of a part.
            part = follows and any(0 <= before.start - e <= 4 for e in ends)
            # "Honey water is honey two, hot water one"
            part = part or (follows and _shared(m, mentions[k + 1 : k + 2], measures))
            if (
                not between
                and not part
                and gap.words
                and set(gap.words) <= _IS
                and _MUST_IS & set(gap.words)
                and "just" not in gap.words
                and not ("it's" in gap.words and reader.before(before.start, 1) == ("it's",))  # "it's gin, it's port"
            ):
                continue
            # "Aquafaba, that is the water of the chickpeas, twenty mil"
            apposed = (
                gap.comma and not gap.stop and gap.words[:2] in (("that", "is"), ("which", "is"), ("it", "is"))
            ) or gap.words[:1] in (("that's",), ("it's",))
            unmarked = not reader.talk.punctuated and len(gap.words) > 2 and "the" in gap.words
            if not between and follows and not part and apposed and (gap.comma or unmarked) and len(gap.words) <= 7:
                continue
        out.append(m)
    return out


def _shared(first: Mention, others: Sequence[Mention], measures: Sequence[Measure]) -> bool:
    """Do bare numbers stand right behind this and the next: "honey two, hot water one"?"""
    return len(others) == 1 and all(
        any(v.kind == "number" and v.unit is None and 0 < v.start - n.end <= 2 for v in measures)
        for n in (first, *others)
    )


_OF_THAT = re.compile(
    r"^(?: of)? (that|it|this|those|them)(?=[,.;:!?]|$|"
    r" (?:and|then|in|into|goes|go|so|with|over|out|from|on|to|for|as|because|plus|but|we|you|i|is|now|here|first|per|"
    r"at|each|right|gets|get|down|if|when|while|next|before|after|a|an|one|two|three|half|too|also|again|just|only)\b)"
)


_BARE_HEAD = re.compile(
    r"^ (?:of (?:(?:the|that|this|my|our|your|said) )?(?:same |very )?)?([a-z]+)"
    r"(?=[,.;:!?]| (?:and|then|in|into|for|to) |$)"
)
_THAT_BEFORE = re.compile(
    r"\b(?:of|from) (that|this|it|them),?(?: (?:i|we|you)(?:'ll|'d| will| can)?"
    r"(?: (?:take|use|need|put|add|pour|want|go|give|have|measure))?(?: in| out| just| only)?)? $"
)


NAMED_WITHIN = 420
THAT_WITHIN = 34
"""How far before its amount "from that we take" may begin."""
POINTS_AHEAD = 160


def _beside(mention: Mention, reader: TalkReader) -> bool:
    """ "It is the clear one, with the caraway, not the old one": it only tells which thing is meant."""
    return bool({"with", "like", "not"} & set(reader.before(mention.start, 2)))


def _named_near(
    m: Measure, pronoun: str, mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader
) -> Mention | None:
    """ "A spoon of honey, off Ken ... So it's a tablespoon of that": the thing in hand, if it has no exact amount yet.

    "A tablespoon of this, which is either damson gin or ...": "this" points ahead.
    """
    if pronoun == "this":
        ahead = (x for x in mentions if m.end < x.start < m.end + POINTS_AHEAD and x.how != "unknown")
        behind = reader.after(m.end, 3)
        if "which" in behind or "it's" in behind:
            return next(ahead, None)
    near = [x for x in mentions if m.start - NAMED_WITHIN < x.end <= m.start and not _beside(x, reader)]
    if not near or near[-1].how == "unknown":
        return None
    exact = any(
        v is not m and v.kind == "amount" and v.low is not None and near[-1].start - 30 < v.start < m.start
        for v in measures
    )
    return None if exact else near[-1]


MADE = ("homemade.work", "homemade.steep words", "homemade.own")
MADE_WITHIN = 260
"""How far before "six cups of that" words of making may stand."""
BARE_PRONOUNS = ("that", "this", "it", "them", "these", "those")
POURED_HEADS = ("syrup", "cordial", "shrub", "orgeat", "bitters")
"""Bare heads that are poured though nobody named the thing: "sixty bourbon, twenty lemon, twenty syrup"."""


_OF_A_MAKING = ("g", "kg", "lb", "cup", "l", "pint", "part")
_OF_A_POUR = ("fl_oz", "ml", "cl", "tsp", "tbsp", "bar_spoon")


def _just_made(
    m: Measure, mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader,
    makeable: Callable[[Mention], bool],
) -> Mention | None:  # fmt: skip
    """ "Clove syrup, I tell you now: one cup sugar ... simmer five minutes. Three quarters of an ounce.": an amount by
    itself in its sentence, right behind a making, is of the thing made."""
    start, end = reader.sentence(m.start)
    alone = not reader.gap(start, m.start).words and not reader.gap(m.end, end).words
    if not alone or not reader.talk.punctuated or m.unit not in _OF_A_POUR or start == 0:
        return None
    topic = next((x for x in reversed(mentions) if m.start - NAMED_WITHIN < x.end <= m.start and makeable(x)), None)
    if topic is None:
        return None
    told = [x for x in measures if topic.end <= x.start < m.start]
    _, named_until = reader.sentence(topic.start)
    poured = any(x.unit in _OF_A_POUR and x.start < topic.end + 6 for x in told)
    before = [x for x in measures if x.pours and 0 <= topic.start - x.end <= 4]
    poured = poured or any(not reader.gap(x.end, topic.start).stop for x in before)
    last_start, _ = reader.sentence(max(0, start - 2))
    timed = any(x.kind == "time" and x.start >= last_start for x in told)
    worked = timed or (any(x.unit in _OF_A_MAKING and x.start >= last_start for x in told) and named_until > last_start)
    return topic if worked and not poured and any(x.unit in _OF_A_MAKING for x in told) else None


_HEAD_FIRST = re.compile(
    r"(?:^|(?<=[.,;:!?] )|\b(?:and|then|plus|with|now|also) |(?<=\w) )(?:(?:the|my|our) )?"
    r"(?P<head>" + "|".join(POURED_HEADS) + r")(?:,|:| is| at)? $"
)


def _stands_first(
    found: re.Match[str], m: Measure, mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader
) -> bool:
    """A bare head stands before its amount, and what is before it is no part of its name."""
    a, b = found.span("head")
    if any(x.start < b and a < x.end for x in reader.talk.mentions):
        return False
    lead = reader.lower[:a].removesuffix("the ").removesuffix("my ").removesuffix("our ")
    ends = any(x.end == len(lead.rstrip()) for x in measures)
    word = re.search(r"(\w+) $", lead)
    joined = word is None or word[1] in ("and", "then", "plus", "with", "now", "also")
    if not (ends or joined) or reader.after(m.end, 1) == ("of",):
        return False
    return not any(0 <= x.start - m.end <= 1 for x in mentions)


JUST_NAMED = 24
"""So many characters behind a thing "of that" is of it."""


def _just_named(mention: Mention, measure: Measure, measures: Sequence[Measure]) -> bool:
    """Named right before an amount, and with none of its own."""
    if not 0 <= measure.start - mention.end < JUST_NAMED:
        return False
    return not any(x is not measure and x.pours and -12 <= x.start - mention.start <= 0 for x in measures)


def pronouns(
    mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader, makeable: Callable[[Mention], bool]
) -> list[Mention]:
    """ "Two ounces of that": the pronoun as a naming of what was talked of, a home-made thing before anything else."""
    out = list(mentions)
    for m in measures:
        if m.kind not in ("amount", "number", "vague") or m.thing is not None:
            continue
        behind = reader.lower[m.end : m.end + 14]
        head = _BARE_HEAD.match(reader.lower[m.end : m.end + 40])
        if (
            m.kind != "vague"
            and head is not None
            and head[1] in MADE_HEADS
            and not any(m.end <= x.start <= m.end + 4 for x in mentions)
        ):
            # "Twenty lemon, fifteen syrup": the syrup named before.
            full = next(
                (x for x in reversed(mentions) if x.end <= m.start and plain(x.name).split()[-1:] == [head[1]]), None
            )
            a, b = m.end + head.start(1), m.end + head.end(1)
            if full is not None and len(plain(full.name).split()) > 1:
                out.append(replace(full, start=a, end=b, core=(a, b), how="pronoun"))
                continue
            if full is None and head[1] in POURED_HEADS:
                named = [x for x in mentions if x.start > b and plain(x.name).split()[-1:] == [head[1]]]
                if named and len({plain(x.name) for x in named}) == 1:
                    out.append(replace(named[0], start=a, end=b, core=(a, b), how="pronoun"))
                else:  # no one knows which: it is asked
                    out.append(Mention(a, b, head[1], reader.talk.text[a:b], "ingredient", None, "unknown"))
                continue
        made = _just_made(m, mentions, measures, reader, makeable)
        if made is not None:
            out.append(replace(made, start=m.start, end=m.end, core=(m.start, m.end), how="pronoun"))
            continue
        first = _HEAD_FIRST.search(reader.lower, max(0, m.start - 26), m.start)
        if first is not None and _stands_first(first, m, mentions, measures, reader):
            # "Gin, four centilitres. Lime, two. Syrup, one."
            a, b = first.span("head")
            head_word = first["head"]
            named = [x for x in mentions if plain(x.name).split()[-1:] == [head_word] and x.name != head_word]
            before_it = [x for x in named if x.end <= a] or named
            if before_it and len({plain(x.name) for x in named}) == 1:
                out.append(replace(before_it[-1], start=a, end=b, core=(a, b), how="pronoun"))
            else:
                out.append(Mention(a, b, head_word, reader.talk.text[a:b], "ingredient", None, "unknown"))
            continue
        found = _OF_THAT.match(behind)
        ahead = _THAT_BEFORE.search(reader.lower[max(0, m.start - THAT_WITHIN) : m.start])
        if (found is None or not behind.startswith(" of")) and ahead is None:
            continue
        if m.each or (ahead is not None and _OF_ALL.search(reader.lower[max(0, m.start - 24) : m.start])):
            continue  # "all of them three quarters", "an ounce of each of those" are of the whole list
        before = [x for x in mentions if m.start - 700 < x.end <= m.start]
        topic = next((x for x in reversed(before) if makeable(x)), None)
        start, _ = reader.sentence(m.start)
        last = next((x for x in reversed(before) if x.start >= start), None)
        just = bool(before) and not reader.gap(before[-1].end, m.start).stop
        if last is None and just and _just_named(before[-1], m, measures):
            last = before[-1]  # "on comes dark rum, and I want forty-five mil of that"
        if topic is None and last is None:
            topic = _named_near(m, found[1] if found is not None else "that", mentions, measures, reader)
        meant_ = last if last is not None and (topic is None or m.start - last.end < 40) else topic
        if meant_ is None and not _worked_before(m.start, measures, reader):
            continue
        if found is not None and behind.startswith(" of"):
            a, b = m.end + found.start(1), m.end + found.end(1)
        else:
            assert ahead is not None
            a, b = (max(0, m.start - THAT_WITHIN) + x for x in ahead.span(1))
        if meant_ is None:  # of what was just made, whatever it is: read once the makings are known
            said = reader.talk.text[a:b]
            out.append(Mention(a, b, said.lower(), said, "ingredient", None, "pronoun"))
            continue
        out.append(replace(meant_, start=a, end=b, core=(a, b), how="pronoun"))
    return sorted(out, key=lambda x: x.start)


def _worked_before(offset: int, measures: Sequence[Measure], reader: TalkReader) -> bool:
    """Was something cooked or steeped right before: words of making, or an amount or a time of the kitchen's?"""
    low = max(0, offset - MADE_WITHIN)
    if any(reader.has(label, low, offset) for label in MADE):
        return True
    near = (v for v in measures if low <= v.start < offset)
    return any(v.kind in ("time", "temperature") or v.unit in ("g", "kg") for v in near)


def told_of(m: Mention) -> bool:
    """Is it a pronoun of which nobody knows yet what it means?"""
    return m.how == "pronoun" and m.name in BARE_PRONOUNS


_OF_ALL = re.compile(
    r"\b(?:all|each|every one|both|two|three|four|five) (?:of )?(?:them|these|those|it|that)\b[^.?!]*$"
)
_TOLD_FIRST = re.compile(
    r"\b(?:the|my|our|this|that|one|a|for the|your) ("
    + "|".join(sorted(MADE_HEADS))
    + r")\b(?= first| now|[,:.?]|'s | is | goes | it's | that's | you | i | we )"
)
TOLD_WITHIN = 50


def told_first(mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> list[Mention]:
    """ "The syrup first: two hundred grams of sugar ...": a bare head before the only thing of that head is named."""
    out = list(mentions)
    for found in _TOLD_FIRST.finditer(reader.lower):
        a, b = found.span(1)
        if any(m.start < b and a < m.end for m in reader.mentions_in(max(0, a - 40), b)):
            continue
        full = [m for m in mentions if plain(m.name).endswith(" " + found[1])]
        weighed = any(
            (
                b <= m.start < b + TOLD_WITHIN
                and m.unit in ("g", "kg", "cup", "part", "ml", "l", "pint", "lb", "bottle", "can")
            )
            or m.kind in ("ratio", "equal")
            for m in measures
        )
        if not weighed or not full or min(m.start for m in full) < b or len({plain(m.name) for m in full}) > 1:
            continue
        out.append(replace(full[0], start=a, end=b, core=(a, b), how="pronoun"))
    return sorted(out, key=lambda x: x.start)


_LISTED_BARE = re.compile(
    r"(?:,|,? and|,? then|,? plus) (?:the|my|your|our|some) (" + "|".join(POURED_HEADS) + r")(?=[,.;:]| and | then |$)"
)
_HEADS_BARE = re.compile(
    r"(?:^|[.?!;] )(?:and |then |now |and then )?(?:the |my |your |our )?(" + "|".join(POURED_HEADS) + r")(?=, )"
)


def _told_an_amount(end: int, mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> bool:
    """ "Syrup, the plain one, three quarters.": an amount in its sentence, and no other name before it."""
    _, stop = reader.sentence(end)
    first = next((m for m in measures if end <= m.start < stop and m.kind in ("amount", "number")), None)
    return first is not None and not any(end <= x.start < first.end + 4 for x in mentions)


def listed_bare(mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader) -> list[Mention]:
    """ "The gin, the lemon and the syrup, an ounce of each": a bare head in a list is the thing named so in full, or
    one that must be asked for."""
    out = list(mentions)
    for found in [*_LISTED_BARE.finditer(reader.lower), *_HEADS_BARE.finditer(reader.lower)]:
        a, b = found.span(1)
        if any(m.start < b and a < m.end for m in reader.mentions_in(max(0, a - 40), b)):
            continue
        beside = [m for m in mentions if 0 <= found.start() - m.end <= 1]
        if not beside and not (found.re is _HEADS_BARE and _told_an_amount(b, mentions, measures, reader)):
            continue
        full = {plain(m.name): m for m in mentions if plain(m.name).endswith(" " + found[1]) and m.start < a}
        if len(full) == 1:
            out.append(replace(next(iter(full.values())), start=a, end=b, core=(a, b), how="pronoun"))
        elif not full:
            out.append(Mention(a, b, found[1], reader.talk.text[a:b], "ingredient", None, "unknown"))
    return sorted(out, key=lambda x: x.start)


def meant(mentions: Sequence[Mention], reader: TalkReader) -> list[Mention]:
    """ "When I say passion I mean passion fruit syrup": the short word stands for the full name in the whole talk."""
    out = list(mentions)
    for m in _I_SAY.finditer(reader.lower):
        said = m[1].strip(" ,")
        full = next((x for x in mentions if m.end() <= x.start <= m.end() + 6), None)
        if full is None:
            continue
        for k, x in enumerate(out):
            if plain(x.heard) == plain(said):
                out[k] = replace(
                    x, name=full.name, entry=full.entry, how="other name", confidence=1.0, apply=True, guesses=()
                )
    return out


# A fruit's parts, each a thing of its own.
_FRUIT_PARTS = frozenset(("peel", "juice", "zest", "wheel", "wedge", "slice", "leaf", "twist"))


def _part_of(name: str) -> str | None:
    last = plain(name).split()[-1:]
    word = last[0].rstrip("s") if last else ""
    word = {"leave": "leaf", "zest": "peel", "twist": "peel"}.get(word, word)
    return word if word in _FRUIT_PARTS else None


def same_thing(a: Mention, b: Mention, *, loose: bool = True) -> bool:
    """One thing under two names: the same entry, or one name holds all the words of the other.

    Where both are names of the lexicon in their own right ("orange", "orange bitters") they are one thing only if the
    shorter is the head of the longer and of its kind ("rum", "aged rum"), or its fruit ("lime", "lime juice").
    `loose` also
    takes the first word for the whole ("cinnamon" for "cinnamon syrup"), as people do when they tell it again.
    """
    if a.entry is not None and b.entry is not None and a.entry.id == b.entry.id:
        return words_of(a.name) == words_of(b.name) or same_name(a.name, b.name)
    if words_of(a.name) == words_of(b.name):
        return True
    if _part_of(a.name) and _part_of(b.name) and _part_of(a.name) != _part_of(b.name):
        return False  # "lemon peels" and "lemon juice", though "lemons" was heard
    if not (same_name(a.name, b.name) or same_name(a.heard, b.name) or same_name(a.name, b.heard)):
        return False
    short, long = (a, b) if len(words_of(a.name)) <= len(words_of(b.name)) else (b, a)
    short_words, long_words = plain(short.name).split(), plain(long.name).split()
    if long.how == "head" and short.how == "exact" and short.entry is not None:
        # "Butter" is not the "brown butter bourbon" made of it.
        return long_words[-1:] == short_words[-1:] or (loose and long_words[: len(short_words)] == short_words)
    if short.entry is None or long.entry is None or short.how not in ("exact", "spelling"):
        return True
    if long_words[-1:] == short_words[-1:]:
        return short.entry.kind == long.entry.kind
    if long_words[-1:] == ["juice"]:
        return True
    return loose and long_words[-1:] != ["bitters"] and long_words[: len(short_words)] == short_words
