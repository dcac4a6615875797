"""Where each drink begins, what it is called, and to which drink a place in the talk belongs.

A drink begins at words that open one ("the second one", "number three", "moving on to"), at words that name one ("this is
called the ..."), or at a sentence that is nothing but a name. Each such sign has a weight; signs close to each other add
up; what reaches `ENOUGH` opens a drink. An opening behind which nothing is poured before the next one is no drink.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from extractor.lexicon import plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.modes import Extent, mode_at

ENOUGH = 2.0
STRONG_ORDER = 2.0
WEAK_ORDER = 0.9
STRONG_NAME = 2.0
TITLE_NAME = 1.6
PLAIN_NAME = 0.7
TITLE_SENTENCE = 1.7
REPEATED = 0.6
CAPITALS = 1.2
NEAR_WORDS = 45
"""Signs of one opening lie within so many words of each other."""

_ORDINALS = frozenset("first second third fourth fifth next last final finally lastly".split())
_NUMBERS = frozenset("one two three four five 1 2 3 4 5".split())
_STRONG_NAMING = ("call", "name", "titled", "goes by")
_JOINERS = frozenset("of the a an in on over under and to for at with by from de la le el di du des no & 'n' into my your our".split())
_NAME_STOPS = frozenset(
    "and because which that who it it's its but so i i'm we we're you he she they this that's there there's with is was are be "
    "for from where when if like or then now okay ok right alright as after to in on into today tonight here also not no just "
    "basically which's one's uh um please have has had do does did got get makes make said he's she's they're what why how since".split()
)
_DATES = frozenset(
    "monday tuesday wednesday thursday friday saturday sunday january february march april may june july august september "
    "october november december christmas easter".split()
)
NUMBERS_SAID = frozenset("one two three four five six seven eight nine ten eleven twelve".split())
_NOT_NAMES = frozenset(
    "one first second third fourth next last easy thing drink drinks good big small best worst same other only easy new old way "
    "part time day night question point idea reason trick secret recipe spec kind sort bit case it that this what how why where here there "
    "something anything nothing everything ones mine yours deal plan rule story truth fun safety business whole classic simple "
    "garnish head glass shaker ice method technique way blender jar bottle stuff".split()
)

# "A little bit like a dessert", "kind of a sour": these words describe and name nothing.
_GOES_ON = frozenset("is up here tonight today we this i it it's".split())
_VAGUE = frozenset("little bit kind sort lot bunch another more less very really super pretty quite all both each gonna going".split())


@dataclass
class Opening:
    start: int
    weight: float
    name: str | None = None
    name_start: int | None = None
    name_end: int | None = None
    name_weight: float = 0.0
    ordinal: str | None = None


@dataclass
class DrinkSpan:
    """One drink of the talk and the stretch in which it is the one in hand."""

    index: int
    start: int
    end: int
    name: str | None
    name_start: int | None = None
    name_end: int | None = None
    aliases: set[str] = field(default_factory=set)
    ordinal: str | None = None


_TOKEN = re.compile(r"[\w'’&é]+")


def title_name(text: str, start: int, limit: int) -> tuple[str, int, int] | None:
    """The run of capitalised words at an offset: "the Wasp in the Plum" gives "Wasp in the Plum"."""
    words: list[tuple[str, int, int]] = []
    at = start
    while at < limit and len(words) < 8:
        m = _TOKEN.search(text, at)
        if m is None or m.start() >= limit:
            break
        between = text[at : m.start()]
        if words and (re.search(r"[^\s\-]", between) is not None):
            break
        if not words and re.search(r"[.?!]", between):
            break
        word = m.group()
        capital = word[0].isupper() or (word[0].isdigit() and bool(words))
        if capital and word not in ("I", "I'm", "I'll", "I've", "I'd"):
            words.append((word, m.start(), m.end()))
        elif words and word.lower() in _JOINERS:
            words.append((word, m.start(), m.end()))
        elif not words and word.lower() in ("the", "a", "an", "our", "my", "him", "her", "it"):
            pass
        else:
            break
        at = m.end()
    while words and not words[-1][0][0].isupper() and not words[-1][0][0].isdigit():
        words.pop()
    if not words:
        return None
    return text[words[0][1] : words[-1][2]], words[0][1], words[-1][2]


def plain_name(reader: TalkReader, start: int, limit: int) -> tuple[str, int, int] | None:
    """Without capitals: the words up to one that no name goes on with, at most five."""
    text = reader.lower
    words: list[tuple[str, int, int]] = []
    at = start
    while at < limit and len(words) < 5:
        m = _TOKEN.search(text, at)
        if m is None or m.start() >= limit:
            break
        if words and re.search(r"[,.;:?!]", text[at : m.start()]):
            break
        word = m.group().replace("’", "'")
        if not words and word in ("the", "a", "an", "our", "my", "him", "her", "it"):
            at = m.end()
            continue
        if word in _NAME_STOPS:
            break
        words.append((word, m.start(), m.end()))
        at = m.end()
    if not words or (words[0][0] in _NOT_NAMES and len(words) == 1) or words[0][0] in _ORDINALS:
        return None
    if words[0][0] in _VAGUE or words[0][0] in NUMBERS_SAID or words[0][0].isdigit():
        return None
    if words[0][0].endswith("ing") and len(words) == 1:
        return None
    return text[words[0][1] : words[-1][2]], words[0][1], words[-1][2]


def _key(name: str) -> str:
    words = [w for w in plain(name).replace("'s", "s").split() if w not in ("the", "a", "an")]
    return " ".join(words)


def count_said(reader: TalkReader, name: str) -> int:
    """How often a name is said in the whole talk."""
    key = re.escape(name.lower().replace("’", "'"))
    return len(re.findall(rf"(?<!\w){key}(?!\w)", reader.lower))


def _ingredient_at(mentions: Sequence[Mention], start: int, end: int) -> Mention | None:
    for m in mentions:
        if m.start >= end:
            break
        if m.start <= start and m.end >= end and m.group == "ingredient" and m.entry is not None:
            return m
    return None


def name_after(
    reader: TalkReader, start: int, limit: int, mentions: Sequence[Mention], *, strong: bool = True
) -> tuple[str, int, int, float] | None:
    """(name, start, end, weight) of the name that follows a naming cue."""
    limit = min(limit, start + 90)
    titled = title_name(reader.talk.text, start, limit) if reader.talk.punctuated else None
    if titled is not None:
        name, a, b = titled
        if _ingredient_at(mentions, a, b) is None and plain(name) not in _NOT_NAMES and plain(name) not in _DATES:
            weight = TITLE_NAME + (REPEATED if count_said(reader, name) > 1 else 0.0)
            return name, a, b, weight
        return None
    if reader.talk.punctuated and not strong:
        return None
    found = plain_name(reader, start, limit)
    if found is None:
        return None
    name, a, b = found
    if _ingredient_at(mentions, a, b) is not None or any(m.start < b and a < m.end and m.group == "glass" for m in mentions):
        return None
    # The longest beginning of it that is said again is the name: "pool noodle" of "pool noodle and this does".
    words = name.split()
    for k in range(len(words), 0, -1):
        part = " ".join(words[:k])
        if count_said(reader, part) > 1 and (k > 1 or len(part) > 4):
            return part, a, a + len(part), PLAIN_NAME + REPEATED
    return name, a, b, PLAIN_NAME


def openings(reader: TalkReader, extents: Sequence[Extent], mentions: Sequence[Mention], known: frozenset[str]) -> list[Opening]:
    """All signs of a new drink with enough weight, in order."""
    talk = reader.talk
    text = talk.text
    signs: list[Opening] = []
    for cue in reader.cues("turns.opening"):
        words = reader.gap(cue.start, cue.end).words
        sentence_start, sentence_end = reader.sentence(cue.start)
        at_start = len(reader.gap(sentence_start, cue.start).words) <= 3
        ordinal = next((w for w in words if w in _ORDINALS or w in _NUMBERS), None)
        strong = (ordinal is not None and len(words) >= 2 and _strong(words)) or words[-1:] == ("with",) or len(words) >= 4
        after = reader.after(cue.end, 1)
        if ordinal is not None and not strong:
            # "third," or "next." at the head of a sentence; "the first alarm" and "first dry shake" are none.
            gap = reader.gap(cue.end, cue.end + 3)
            if not (at_start and (gap.comma or gap.stop or words[0] in ("last", "finally", "lastly"))):
                continue
        if mode_at(extents, cue.start) in ("history", "tasting", "aside") or reader.before(cue.start, 1) == ("a",):
            continue
        if strong and ordinal is not None and not at_start and not (after and after[0] in _GOES_ON):
            continue
        if after and after[0] in ("of", "i", "time") and strong and ordinal is not None and words[-1] == ordinal:
            continue
        sign = Opening(cue.start, STRONG_ORDER if strong else WEAK_ORDER, ordinal=ordinal)
        if talk.punctuated:
            _name_by_capitals(sign, cue.end, sentence_end, reader, mentions, known)
        signs.append(sign)
    for cue in reader.cues("turns.naming"):
        if mode_at(extents, cue.start) in ("tasting", "history", "aside"):
            continue
        words = reader.gap(cue.start, cue.end).words
        begin, end = reader.sentence(cue.start)
        if text[cue.end : cue.end + 1].isalnum() or reader.has("promises.unsure name", cue.start - 12, cue.end) or any(
            reader.has(label, max(begin, cue.start - 120), cue.start) for label in ("promises.business", "promises.gift")
        ):
            continue
        if not talk.punctuated:
            end = min(len(text), cue.end + 90)
        strong = any(any(w.startswith(s) for s in ("call", "name", "title")) for w in words)
        found = name_after(reader, cue.end, end, mentions, strong=strong or "with" in words or "one" in words)
        if found is None:
            continue
        name, a, b, weight = found
        if strong and plain(name) not in known:
            weight += STRONG_NAME - PLAIN_NAME
        if plain(name) in known:
            weight -= 0.8  # a classic is more often the model than the drink
        if mode_at(extents, a) == "riff" and not strong:
            continue
        signs.append(Opening(cue.start, weight, name, a, b, weight))
    if talk.punctuated:
        signs += _title_sentences(reader, extents, mentions, known)
    signs.sort(key=lambda o: o.start)
    return _joined(signs, reader)


def _name_by_capitals(
    sign: Opening, start: int, end: int, reader: TalkReader, mentions: Sequence[Mention], known: frozenset[str]
) -> None:
    """ "Next on the docket is the Codicil": the first name in capitals behind an opening, in its sentence."""
    at = start
    text = reader.talk.text
    for _ in range(12):
        found = title_name(text, at, end)
        if found is None:
            m = _TOKEN.search(text, at)
            if m is None or m.end() >= end:
                return
            at = m.end()
            continue
        name, a, b = found
        if reader.before(a, 1) in (("from",), ("in",), ("at",), ("near",)):
            at = b
            continue
        taken = any(m.start <= a and b <= m.end for m in mentions)
        if not taken and plain(name) not in known and plain(name) not in _NOT_NAMES and plain(name) not in _DATES:
            sign.name, sign.name_start, sign.name_end = name, a, b
            sign.name_weight = CAPITALS + (REPEATED if count_said(reader, name) > 1 else 0.0)
            sign.weight += sign.name_weight
            return
        at = b


def _strong(words: Sequence[str]) -> bool:
    if words[0] in ("number", "drink") or words[-1] in _NUMBERS or words[-2:-1] == ("number",):
        return True
    return any(
        w in ("one", "drink", "up", "round", "pour", "glass", "recipe", "cocktail", "mocktail", "patient", "course", "exhibit",
              "all", "least", "on", "with", "number", "guest", "stop", "act", "case")
        for w in words
    )  # fmt: skip


def _title_sentences(
    reader: TalkReader, extents: Sequence[Extent], mentions: Sequence[Mention], known: frozenset[str]
) -> list[Opening]:
    """Sentences, or their heads before a comma, that are nothing but a name in capitals: "Ferry Red. I made this ..."."""
    out = []
    chatter = frozenset(reader_chatter(reader))
    for start, end in reader.sentences:
        at = start
        # "And then Foreman's Breakfast." opens too: skip the talk words at the head.
        lead = start
        for m in _TOKEN.finditer(reader.talk.text, start, end):
            if plain(m.group()) not in chatter:
                lead = m.start()
                break
        found = title_name(reader.talk.text, lead, end)
        if found is None:
            continue
        name, a, b = found
        words = name.split()
        name = reader.talk.text[a:b]
        if not words or plain(name) in NUMBERS_SAID:
            continue
        tail = reader.gap(b, end).words
        comma = reader.talk.text[b : b + 1] in (",", ".", ":", "!")
        if plain(name) in known or plain(name) in chatter or not comma or (len(words) == 1 and tail):
            continue
        if len(words) > 6 or len(tail) > 3 or _ingredient_at(mentions, a, b) is not None:
            continue
        if any(m.start < b and a < m.end and m.group != "classic" for m in mentions) and len(words) < 2:
            continue
        if all(w.lower() in _JOINERS or not w[0].isupper() for w in words[1:]) and len(words) > 1 and tail:
            continue
        said = count_said(reader, name)
        if said < 2 and not (len(words) >= 2 and not tail):
            continue
        alone = len(words) >= 2 and not tail
        weight = max(ENOUGH if alone else 0.0, TITLE_SENTENCE + (REPEATED if said > 1 else 0.0))
        out.append(Opening(at, weight, name, a, b, TITLE_SENTENCE))
    return out


def reader_chatter(reader: TalkReader) -> tuple[str, ...]:
    return ("and", "then", "now", "so", "okay", "ok", "right", "next", "alright", "first", "second", "third", "last", "finally", "or", "but", "yes", "no", "the", "for", "up", "a", "to", "it", "this", "comes", "i", "we", "you", "oh", "well", "good", "hello", "thanks", "morning", "evening", "look", "listen", "ice", "anyway", "lovely", "perfect", "great", "done", "there", "mm", "mmm")  # fmt: skip


def _joined(signs: Sequence[Opening], reader: TalkReader) -> list[Opening]:
    """Signs near each other become one opening; what has not enough weight is dropped."""
    out: list[Opening] = []
    for s in signs:
        if out:
            last = out[-1]
            between = reader.gap(last.start, s.start).words
            near = len(between) <= NEAR_WORDS
            same_name = s.name is not None and last.name is not None and _key(s.name) == _key(last.name)
            other_order = s.ordinal is not None and last.ordinal is not None and not _same_order(s.ordinal, last.ordinal)
            other_name = (
                s.name is not None and last.name is not None and not same_name and s.name_weight >= ENOUGH and last.name_weight >= ENOUGH
            )
            if near and not other_order and not other_name:
                if s.name is not None and (last.name is None or s.name_weight > last.name_weight + 0.3):
                    last.name, last.name_start, last.name_end, last.name_weight = s.name, s.name_start, s.name_end, s.name_weight
                    last.weight += s.weight
                elif s.name is None or same_name:
                    last.weight += s.weight if s.ordinal != last.ordinal or s.name is not None else 0.0
                last.ordinal = last.ordinal or s.ordinal
                continue
        out.append(Opening(s.start, s.weight, s.name, s.name_start, s.name_end, s.name_weight, s.ordinal))
    return [o for o in out if o.weight >= ENOUGH]


def _same_order(a: str, b: str) -> bool:
    rank = {"first": 1, "one": 1, "1": 1, "second": 2, "two": 2, "2": 2, "third": 3, "three": 3, "3": 3, "fourth": 4, "four": 4,
            "4": 4, "fifth": 5, "five": 5, "5": 5}  # fmt: skip
    if a not in rank or b not in rank:
        return True
    return rank[a] == rank[b]


def drink_spans(
    reader: TalkReader, extents: Sequence[Extent], pour_starts: Sequence[int], mentions: Sequence[Mention],
    known: frozenset[str], tail: int,
) -> tuple[list[DrinkSpan], list[DrinkSpan]]:  # fmt: skip
    """(the drinks of the talk in order, the drinks that were announced and never made).

    pour_starts: offsets of the amounts that may be pours. tail: where the recap or the goodbye begins.
    """
    from bisect import bisect_left

    found = [o for o in openings(reader, extents, mentions, known) if o.start < tail]
    pours = sorted(pour_starts)

    def poured(start: int, end: int) -> int:
        return bisect_left(pours, end) - bisect_left(pours, start)

    spans: list[DrinkSpan] = []
    announced: list[DrinkSpan] = []
    unmade: list[DrinkSpan] = []
    seen: dict[str, DrinkSpan] = {}
    for k, o in enumerate(found):
        end = found[k + 1].start if k + 1 < len(found) else tail
        name = o.name
        key = _key(name) if name else None
        if key is not None and any(key == k or (len(key) > 3 and k.endswith(" " + key)) for k in seen):
            continue  # named again: it goes on, or is told again
        span = DrinkSpan(-1, o.start, end, name, o.name_start, o.name_end, ordinal=o.ordinal)
        if poured(o.start, end) == 0:
            if o.ordinal is not None:
                announced.append(span)
            elif name is not None:
                unmade.append(span)
            continue
        if spans and name is None and spans[-1].name is None and poured(spans[-1].start, o.start) < 2:
            spans[-1].end = end
            continue
        spans.append(span)
        if key is not None:
            seen[key] = span
    # An opening without a pour gives its name to the next one that has none (the intro of "the first one", told long).
    for a in sorted([*announced, *unmade], key=lambda x: x.start):
        follower = next((s for s in spans if s.start >= a.start), None)
        if follower is not None and follower.name is None and a.name is not None:
            between = [x for x in announced if a.start < x.start < follower.start]
            if not between:
                follower.name, follower.name_start, follower.name_end = a.name, a.name_start, a.name_end
                follower.start = a.start
                if a in announced:
                    announced.remove(a)
    told = {_key(s.name) for s in spans if s.name}
    announced = [a for a in announced if a.name is None or _key(a.name) not in told]
    first = spans[0].start if spans else tail
    made = any(t.start < first and t.name in ("shake", "stir", "strain", "fine strain", "blend", "top") for t in reader.talk.techniques)
    if (poured(0, first) >= 3 and made) or not spans:
        best = max(
            (o for o in openings(reader, extents, mentions, known) if o.name and o.start < first),
            key=lambda o: o.name_weight, default=None,
        )  # fmt: skip
        named = (best.name, best.name_start, best.name_end) if best is not None else (None, None, None)
        spans.insert(0, DrinkSpan(-1, 0, first, *named))
    for k, s in enumerate(spans):
        s.index = k
        s.end = spans[k + 1].start if k + 1 < len(spans) else len(reader.lower)
        s.aliases = _aliases(s.name, [x.name for x in spans if x is not s])
    return spans, announced


def _aliases(name: str | None, others: Sequence[str | None]) -> set[str]:
    """Ways in which a drink is named again: the whole, or a word of it that no other drink has."""
    if not name:
        return set()
    words = [w for w in plain(name).split() if len(w) > 3 and w not in _JOINERS]
    taken = {w for o in others if o for w in plain(o).split()}
    out = {plain(name), _key(name)}
    if words and words[-1] not in taken and words[-1] not in _NOT_NAMES:
        out.add(words[-1])
    return out
