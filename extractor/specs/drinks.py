"""Where each drink begins, what it is called, and to which drink a place in the talk belongs.

A drink begins at words that open one ("the second one", "number three", "moving on to"), at words that name one
("this is
called the ..."), or at a sentence that is nothing but a name. Each such sign has a weight; signs close to each other
make one
opening; what reaches `ENOUGH` opens a drink. A drink before it that is finished (in its glass, garnished, tasted)
speaks for
an opening, one that is still being poured against it. An opening behind which nothing is poured before the next one
is no
drink, and a name said again opens none.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.drink_names import (
    Name,
    NameWords,
    alike,
    announced_labels,
    count_said,
    has_capitals,
    key_of,
    listed_names,
    names_at,
    poured_as,
    said_at,
    title_name,
)
from extractor.specs.gaps import TalkReader
from extractor.specs.modes import Extent, mode_at
from extractor.specs.same import same_thing
from extractor.specs.turns import find_turns

ENOUGH = 2.0
# Weights of the signs, set by hand against the written talks; only their order and their sums against ENOUGH matter.
STRONG_ORDER = 2.0
WEAK_ORDER = 0.9
CALLED = 2.0
"""The speaker says that it is a name: "called", "the name is"."""
NAMED = 1.5
"""What is named is a drink: "this one is", "number two is"."""
PRESENTED = 1.0
""" "This is", "it's": a name may follow, but so may much else."""
DIRECT = 1.1
"""A name right behind the words that open a drink: "first one's the spark gap"."""
TITLE = 1.7
"""A sentence that is nothing but a name."""
CAPITALS = 0.6
SEVERAL = 0.5
"""More for a name in several capitals."""
ALONE = 1.5
"""A sentence of one word in capitals that is said again."""
REPEATED = 0.6
LISTED = 0.5
"""More for a name that stands in a list of names ("the A, the B and the C")."""
FINISHED = 0.6
CLASSIC = -0.8
"""A classic is more often the model than the drink."""
INDEFINITE = -0.6
""" "It's a fizz" describes."""
POURED = -1.2
"""The name is that of a thing poured."""
LATE = -0.5
"""Amounts stand between the opening and the name."""
NEAR_WORDS = 45
"""Signs of one opening lie within so many words of each other."""
NOTHING_HEARD = ("history", "tasting", "aside")
SERVES = frozenset(("strain", "fine strain", "open pour", "top", "blend", "float"))

_ORDER = {
    "first": 1, "one": 1, "1": 1, "second": 2, "two": 2, "2": 2, "third": 3, "three": 3, "3": 3, "fourth": 4, "four": 4, "4": 4,
    "fifth": 5, "five": 5, "5": 5,
}  # fmt: skip
_ORDINALS = frozenset(
    ["first", "second", "third", "fourth", "fifth", "next", "last", "final", "finally", "lastly", "other"]
)
_OPENS = frozenset(
    [
        "one",
        "drink",
        "up",
        "round",
        "pour",
        "glass",
        "recipe",
        "cocktail",
        "mocktail",
        "patient",
        "course",
        "exhibit",
        "all",
        "least",
        "on",
        "with",
        "number",
        "guest",
        "stop",
        "act",
        "case",
        "comes",
        "for",
        "to",
    ]
)
# "The second one is ..." opens where the talk goes on so; in mid-sentence it must.
_GOES_ON = frozenset(["is", "up", "here", "tonight", "today", "we", "this", "i", "it", "it's", "comes", "called", "'s"])
_REFERS = frozenset(["of", "time", "in", "with", "for", "than", "as", "like"])
"""Words behind or before an order word with which it points at something else: "the first of them", "like the first
one"."""
_TOKEN = re.compile(r"[\w'’&]+")
_TALK_WORDS = re.compile(r"(?:(?:so|and|okay|ok|alright|right|now|well|then)[,.\s]+)+")


@dataclass
class Opening:
    """A sign, or signs near each other, of a new drink."""

    start: int
    order: float = 0.0
    name: Name | None = None
    name_weight: float = 0.0
    ordinal: str | None = None
    bonus: float = 0.0
    said: str | None = None
    kind: str = "order"
    """order, called, naming, presenting, title, direct."""

    @property
    def weight(self) -> float:
        return self.order + max(0.0, self.name_weight) + self.bonus

    @property
    def rank(self) -> int | None:
        return _ORDER.get(self.ordinal or "")


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
    order_said: str | None = None
    """The words that opened it, where they number it: "experiment one", "the first one"."""
    turns: list[tuple[int, int]] = field(default_factory=list)
    """Stretches in which it is in hand, where two drinks are told in turns."""


class DrinkFinder:
    """Finds the drinks of one talk.

    pours: the offsets of the amounts that may be pours. known: the classics' names, plain. tail: where the goodbye
    begins.
    """

    def __init__(
        self, reader: TalkReader, extents: Sequence[Extent], pours: Sequence[int], mentions: Sequence[Mention],
        known: frozenset[str], tail: int, words: NameWords,
    ) -> None:  # fmt: skip
        self.reader = reader
        self.extents = extents
        self.pours = sorted(pours)
        self.mentions = mentions
        self.known = known
        self.tail = tail
        self.words = words
        self.lists = listed_names(reader, mentions, words)
        self.labels = announced_labels(reader, words)
        self.listed = {key_of(n.text) for ns in self.lists for n in ns}
        self._served = sorted(
            [t.start for t in reader.talk.techniques if t.name in SERVES]
            + [m.start for m in mentions if m.group == "glass" and not (m.entry is not None and m.entry.everyday)]
            + [e.start for e in extents if e.mode == "tasting"]
            + [
                c.start
                for label in ("places.garnish", "places.garnished", "places.top", "places.float")
                for c in reader.cues(label)
            ]
        )

    # ---- measures of a stretch -----------------------------------------------------------------------------------

    def poured(self, start: int, end: int) -> int:
        """How many amounts are said in a stretch."""
        return bisect_left(self.pours, end) - bisect_left(self.pours, start)

    def said_amounts(self, start: int, end: int) -> int:
        """How many amounts are said in a stretch, of whatever the speaker only tells about too."""
        return sum(start <= m.start < end and m.kind in ("amount", "equal") for m in self.reader.talk.measures)

    def finished(self, start: int, end: int) -> bool:
        """Two amounts were poured since `start`, and behind the second the drink was served, garnished or tasted
        before `end`."""
        k = bisect_left(self.pours, start)
        if k + 1 >= len(self.pours) or self.pours[k + 1] >= end:
            return False
        j = bisect_left(self._served, self.pours[k + 1])
        return j < len(self._served) and self._served[j] < end

    # ---- names ---------------------------------------------------------------------------------------------------

    def worth(self, name: Name, base: float) -> float:
        """The weight of a name found in a place that weighs `base`."""
        value = base
        key = plain(name.text)
        count = count_said(self.reader, name.text)
        if name.capitals:
            value += CAPITALS + (SEVERAL if len(name.text.split()) > 1 or "-" in name.text else 0.0)
        elif name.article in ("a", "an") or (base < NAMED and name.article is None and count < 2):
            value += INDEFINITE
        if count > 1 and (name.capitals or len(key) > 4):
            value += REPEATED
        if key_of(name.text) in self.listed:
            value += LISTED
        if key in self.known:
            value += CLASSIC
        if poured_as(self.reader, name):
            value += POURED
        return value

    def best_at(self, start: int, limit: int, base: float, *, said_so: bool = False) -> tuple[Name, float] | None:
        names = names_at(self.reader, start, limit, self.mentions, self.words, said_so=said_so, firm=base >= DIRECT)
        found = [(n, self.worth(n, base)) for n in names]
        return max(found, key=lambda f: f[1], default=None)

    # ---- signs ---------------------------------------------------------------------------------------------------

    def signs(self) -> list[Opening]:
        out = [*self._order_signs(), *self._counted_signs(), *self._naming_signs(), *self._heads()]
        out += [*self._labelled_heads(), *self._then_signs()]
        return sorted(out, key=lambda o: (o.start, -o.weight))

    def _sentence_end(self, offset: int) -> int:
        if self.reader.talk.punctuated:
            return self.reader.sentence(offset)[1]
        return min(len(self.reader.lower), offset + 90)

    def _order_signs(self) -> Iterator[Opening]:
        """ "The second one is", "number three", "next,": order words at the head of what they open."""
        reader = self.reader
        for cue in reader.cues("turns.opening"):
            words = reader.gap(cue.start, cue.end).words
            at_start = self._at_head(cue.start)
            talk_words = _TALK_WORDS.match(reader.lower, cue.start)
            if talk_words is not None and talk_words.end() < cue.end:
                # "You are probably right, second drink is": the comma inside is where it begins.
                at_start = at_start or bool(re.search(r"[,.]", talk_words.group()))
            ordinal = next((w for w in words if w in _ORDINALS or w in _ORDER), None)
            if ordinal == "other" and words[-1] == "other":
                continue
            strong = (
                (ordinal is not None and len(words) >= 2 and self._strong(words))
                or words[-1:] == ("with",)
                or len(words) >= 4
            )
            after = reader.after(cue.end, 1)
            if mode_at(self.extents, cue.start) in NOTHING_HEARD or reader.before(cue.start, 1) in (
                ("a",),
                ("in",),
                ("like",),
                ("as",),
            ):
                continue
            if (
                any(t.start <= cue.end + 1 and t.end > cue.end for t in reader.talk.techniques)
                and words[-1] in _ORDINALS
            ):
                continue  # "first dry shake"
            if ordinal is not None and not strong and not self._weak_holds(cue.start, cue.end, at_start, words):
                continue
            if (
                strong
                and ordinal is not None
                and not at_start
                and not (after and after[0] in _GOES_ON)
                and words[-1] not in ("is", "up")
            ):
                continue
            if after and after[0] in _REFERS and strong and ordinal is not None and words[-1] == ordinal:
                continue
            sign = Opening(cue.start, STRONG_ORDER if strong else WEAK_ORDER, ordinal=ordinal)
            sign.said = _numbered(reader.lower[cue.start : cue.end]) if strong and sign.rank else None
            self._name_behind(sign, cue.end)
            yield sign

    def _at_head(self, offset: int) -> bool:
        """At the head of a sentence, or of what follows a comma: at most a few talk words before it."""
        reader = self.reader
        begin, _ = reader.sentence(offset)
        if len(reader.gap(begin, offset).words) <= 3:
            return True
        comma = max(reader.lower.rfind(c, begin, offset) for c in ",;:–—")
        if comma < 0:
            return False
        lead = reader.gap(comma + 1, offset).words
        return len(lead) <= 3 and set(lead) <= self.words.head_words | {"the", "our", "my", "number"}

    def _weak_holds(self, start: int, end: int, at_start: bool, words: Sequence[str]) -> bool:
        """ "Third," or "next." at the head of a sentence; "the first alarm" and "last week" are none."""
        reader = self.reader
        if not at_start or (words[:1] in (("the",), ("our",), ("my",)) and len(words) == 2):
            return False
        if reader.talk.punctuated:
            gap = reader.gap(end, end + 3)
            return gap.comma or gap.stop or words[0] in ("finally", "lastly") or words[-1] in ("up", "is", "comes")
        return reader.sentence(start)[0] >= start - 12 and reader.before(start, 1) not in (("the",), ("a",), ("my",))

    def _strong(self, words: Sequence[str]) -> bool:
        if words[0] in ("number", "drink") or words[-1] in (
            "one",
            "two",
            "three",
            "four",
            "five",
            "1",
            "2",
            "3",
            "4",
            "5",
        ):
            return True
        return words[-2:-1] == ("number",) or any(w in _OPENS for w in words)

    def counting_nouns(self) -> frozenset[str]:
        """What this speaker counts the drinks in: "bucket" of "three buckets ... the first bucket ... bucket two"."""
        lower = self.reader.lower
        numbers = "|".join(self.words.numbers_heard)
        head = r"(?:^|[.?!,]|\b(?:okay|so|and|then|now|right|alright))\s+(?:the |my |our )?"
        counted = {w[:-1] for w in re.findall(r"\b(?:two|three|four|five|six|[2-6]) (\w+s)\b", lower)}
        first = set(re.findall(rf"{head}(?:first|1st) (\w+)", lower)) | set(
            re.findall(rf"{head}(\w+) (?:number )?(?:one|1)\b", lower)
        )
        later = set(re.findall(rf"{head}(?:second|third|next|last|final) (\w+)", lower))
        later |= set(re.findall(rf"{head}(\w+) (?:number )?(?:two|three|four|[2-4])\b", lower))
        heard = set(re.findall(rf"{head}(\w+)(?: number)?[ -](?:{numbers})\b", lower))
        names = (first & later) | (counted & (later | (first & heard)))
        held = {w for w in names if len(w) > 2 and w not in self.words.no_counting and w not in self.words.stops}
        return frozenset(
            w for w in held if not any(m.group == "ingredient" and plain(m.name).startswith(w) for m in self.mentions)
        )

    def _counted_signs(self) -> Iterator[Opening]:
        reader = self.reader
        nouns = self.counting_nouns()
        if not nouns:
            return
        noun = "|".join(sorted(map(re.escape, nouns)))
        numbers = "|".join(self.words.numbers_heard)
        pattern = (
            rf"(?<![\w'])(?:(?:and |the |my |our |number )*(first|second|third|fourth|fifth|next|last|final) (?:{noun})"
            rf"|(?:{noun})(?: number)?[ -]({numbers}|[1-5]))(?!\w)"
        )
        for m in re.finditer(pattern, reader.lower):
            if not self._at_head(m.start()) or mode_at(self.extents, m.start()) in NOTHING_HEARD:
                continue
            if reader.before(m.start(), 1)[-1:] and reader.before(m.start(), 1)[0] in (
                "in",
                "for",
                "a",
                "from",
                "each",
                "per",
                "of",
            ):
                continue
            said = m[1] or m[2]
            sign = Opening(m.start(), STRONG_ORDER, ordinal=self.words.numbers_heard.get(said, said) if m[2] else said)
            sign.said = m.group() if sign.rank else None
            self._name_behind(sign, m.end())
            yield sign

    def _name_behind(self, sign: Opening, end: int) -> None:
        """The name right behind an opening ("first one's the spark gap"), or the first in capitals in its sentence."""
        reader = self.reader
        lower = reader.lower
        link = re.compile(
            r"(?:[\s,:–—-]|(?:is|'s|’s|up|comes|here|we have|we've got|there's|there is|it's|this is|on the docket)\b)*"
        )
        m = link.match(lower, end)
        at = m.end() if m is not None else end
        limit = self._sentence_end(max(sign.start, end - 1))
        found = self.best_at(at, limit, DIRECT) if at < limit else None
        if (
            found is not None
            and not found[0].capitals
            and lower[found[0].end : found[0].end + 1] != ","
            and reader.after(found[0].end, 1)[:1] in (("they",), ("who",), ("he",), ("she",), ("you",))
        ):
            found = None  # "second, the girls of the bakery, they ask me"
        if found is not None and (
            found[0].capitals
            or found[0].article in ("the", "my", "our")
            or self._ends_there(found[0])
            or found[1] > DIRECT
        ):
            sign.name, sign.name_weight = found
            return
        if has_capitals(reader.talk.text):
            self._name_by_capitals(sign, end, limit)

    def _ends_there(self, name: Name) -> bool:
        """ "Next, wet Monday." — nothing but the name up to the next comma or full stop."""
        return bool(re.match(r"\s?[,.!:]", self.reader.lower[name.end : name.end + 2])) and len(name.text.split()) > 1

    def _name_by_capitals(self, sign: Opening, start: int, end: int) -> None:
        """ "Next on the docket is the Codicil": the first name in capitals behind an opening, in its sentence."""
        at = start
        for _ in range(12):
            m = _TOKEN.search(self.reader.talk.text, at)
            if m is None or m.end() > end:
                return
            if m.group()[0].isupper():
                found = self.best_at(m.start(), end, DIRECT)
                if found is not None and self.reader.before(found[0].start, 1) not in (
                    ("from",),
                    ("in",),
                    ("at",),
                    ("near",),
                ):
                    sign.name, sign.name_weight = found
                    return
                titled = title_name(self.reader.talk.text, m.start(), end, self.words)
                at = titled.end if titled is not None else m.end()
            else:
                at = m.end()

    def _naming_signs(self) -> Iterator[Opening]:
        reader = self.reader
        for label, base in (("called", CALLED), ("naming", NAMED), ("presenting", PRESENTED)):
            for cue in reader.cues(f"turns.{label}"):
                told = mode_at(self.extents, cue.start) in NOTHING_HEARD
                mine = label == "called" and reader.after(cue.start, 1) in (("i",), ("we",))
                if (told and not mine) or self._not_of_a_drink(cue.start, cue.end, label):
                    continue
                end = self._sentence_end(cue.start)
                found = self.best_at(cue.end, end, base, said_so=label == "called")
                if found is None or (mode_at(self.extents, found[0].start) == "riff" and label != "called"):
                    continue
                name, weight = found
                if (
                    label == "presenting"
                    and reader.talk.punctuated
                    and not name.capitals
                    and (
                        name.article is None
                        or (count_said(reader, name.text) < 2 and (name.article != "the" or len(name.text.split()) < 2))
                    )
                ):
                    continue
                if (
                    label == "presenting"
                    and re.search(r"'s$|s'$", name.text.replace("’", "'"))
                    and len(name.text.split()) == 1
                ):
                    continue  # "that's Moira's grandson"
                yield Opening(cue.start, 0.0, name, weight, kind=label)

    def _not_of_a_drink(self, start: int, end: int, label: str) -> bool:
        """The name is the speaker's, a maker's, or that of a thing nobody knows the name of."""
        reader = self.reader
        begin, _ = reader.sentence(start)
        if reader.talk.text[end : end + 1].isalnum() or reader.has("promises.unsure name", start - 12, end):
            return True
        words = reader.gap(start, end).words
        if (
            label == "called"
            and (reader.before(start, 1) in (("my",), ("whose",), ("cat",), ("dog",)) or words[:1] == ("my",))
            and "name" in words
        ):
            return True
        if words[:1] in (("called",), ("named",)) and _of_a_thing(reader.before(start, 2), self.words):
            return True
        return any(reader.has(x, max(begin, start - 120), start) for x in ("promises.business", "promises.gift"))

    def _heads(self) -> Iterator[Opening]:
        """Sentences whose head is a name: nothing but it ("Ferry Red. I made this ..."), or a name said elsewhere
        too."""
        reader, text = self.reader, self.reader.talk.text
        if not reader.talk.punctuated:
            return
        for start, end in reader.sentences:
            name = self._head_name(start, end)
            if name is None or mode_at(self.extents, start) in NOTHING_HEARD:
                continue
            parts, key = plain(name.text).split(), plain(name.text)
            tail = reader.gap(name.end, end).words
            alone = not tail
            if reader.has("turns.return", start, name.end) or "?" in text[name.end : name.end + 2]:
                continue
            if any(t.start == name.start for t in reader.talk.techniques):
                continue
            inverted = re.match(
                r", (?:that is|that's what|it's called|it is called|we call it|i call it|is what)",
                reader.lower[name.end : name.end + 18],
            )
            if inverted:
                yield Opening(name.start, 0.0, name, self.worth(name, NAMED), kind="naming")
                continue
            if (
                key in self.known
                or all(p in self.words.chatter for p in parts)
                or reader.has("turns.greeting", start, name.end)
            ):
                continue
            said = count_said(reader, name.text)
            if alone:
                if len(parts) > 6 or any(m.start < name.end and name.start < m.end for m in reader.talk.measures):
                    continue
                if len(parts) < 2:
                    # One word alone may be anything; it names a drink that is opened.
                    yield Opening(start, 0.0, name, ALONE if said > 1 else ALONE / 2, kind="title")
                    continue
                if (
                    len(parts) >= 2
                    and said < 2
                    and parts[0] in self.words.chatter
                    and len(parts) == 2
                    and parts[0] not in self.words.order_words
                ):
                    continue
                yield Opening(
                    start,
                    0.0,
                    name,
                    max(ENOUGH if len(parts) > 1 else 0.0, self.worth(name, TITLE - CAPITALS)),
                    kind="title",
                )
            elif (
                said > 1
                and (len(tail) <= 3 or key_of(name.text) in self.listed or self._said_before(name))
                and len(parts) > 1
            ):
                if text[name.end : name.end + 1] in (",", ":") or key_of(name.text) in self.listed or len(tail) <= 3:
                    yield Opening(start, 0.0, name, self.worth(name, DIRECT), kind="title")

    def _labelled_heads(self) -> Iterator[Opening]:
        """ "Now, the queen.": what the speaker announced as a drink, in small letters, at the head of a sentence."""
        reader = self.reader
        for label in sorted({key_of(n.text) for ns in self.labels for n in ns}):
            for at in said_at(reader, label):
                begin, _ = reader.sentence(at)
                lead = reader.gap(begin, at).words
                behind = re.match(
                    r"\s*[.,:]|\s+(?:is|gets|starts|begins|has|takes)\b",
                    reader.lower[at + len(label) : at + len(label) + 8],
                )
                listed = any(ns[0].start <= at <= ns[-1].end for ns in self.labels)
                if (
                    listed
                    or lead[-1:] != ("the",)
                    or not behind
                    or not set(lead) <= self.words.head_words | self.words.order_words | {"the"}
                ):
                    continue
                yield Opening(
                    begin, STRONG_ORDER, Name(label, at, at + len(label), False, "the"), PRESENTED, kind="label"
                )

    def _then_signs(self) -> Iterator[Opening]:
        """ "..., and then Foreman's Breakfast.": a name and nothing else up to the full stop."""
        reader = self.reader
        if not reader.talk.punctuated:
            return
        for m in re.finditer(r"(?:^|(?<=[.?!,]))\s+(?:and |so |now )?then (?=[A-Z])", reader.talk.text):
            for n in names_at(reader, m.end(), self._sentence_end(m.end()), self.mentions, self.words, said_so=True):
                rest = _TOKEN.match(reader.lower, n.end + 1)
                end = rest.end() if rest is not None and reader.lower[n.end : n.end + 1] == " " else n.end
                alone = reader.lower[end : end + 1] == "." and len(reader.lower[n.start : end].split()) > 1
                if alone and not self._holds_more(n.start, end):
                    name = Name(reader.talk.text[n.start : end], n.start, end, True, None)
                    yield Opening(n.start, WEAK_ORDER, name, self.worth(name, DIRECT), kind="title")

    def _holds_more(self, start: int, end: int) -> bool:
        """A thing, an amount or a technique is named in a stretch."""
        talk = self.reader.talk
        spans = [
            *((m.start, m.end) for m in self.mentions), *((m.start, m.end) for m in talk.measures),
            *((t.start, t.end) for t in talk.techniques),
        ]  # fmt: skip
        return any(a < end and start < b for a, b in spans)

    def _said_before(self, name: Name) -> bool:
        return said_at(self.reader, name.text)[0] < name.start - 100

    def _head_name(self, start: int, end: int) -> Name | None:
        """The name at the head of a sentence, past talk words; an order word that belongs to it stays ("Last
        Local.")."""
        reader, words = self.reader, self.words
        at = start
        while True:
            m = _TOKEN.search(reader.talk.text, at)
            if m is None or m.end() > end:
                return None
            word = plain(m.group())
            if word in words.head_words or word in ("the", "a", "an"):
                at = m.end()
                continue
            if word in words.order_words:
                whole = title_name(reader.talk.text, m.start(), end, words)
                if whole is not None and len(whole.text.split()) > 1:
                    rest = whole.text.split(None, 1)[1]
                    if count_said(reader, whole.text) > 1 or len(rest.split()) == 1:
                        break
                at = m.end()
                continue
            break
        for n in names_at(reader, at, end, self.mentions, words, said_so=False):
            whole = all(w[0].isupper() or w[0].isdigit() or w.lower() in words.joiners for w in n.text.split())
            if n.capitals and whole and n.text.split()[-1].lower() not in words.joiners and n.start <= at + 8:
                return n
        return None

    # ---- openings ------------------------------------------------------------------------------------------------

    def openings(self) -> list[Opening]:
        """The signs that lie near each other joined; in order."""
        out: list[Opening] = []
        pending: list[Opening] = []
        for s in self.signs():
            last = out[-1] if out else None
            primary = s.kind != "presenting" or s.weight >= ENOUGH
            if not primary and s.name is not None and s.name.capitals and last is not None:
                primary = s.weight + FINISHED >= ENOUGH and self.finished(last.start, s.start)
            if last is not None and self._joins(last, s):
                self._join(last, s)
                continue
            if not primary:
                pending.append(s)
                continue
            opening = replace(s)
            if opening.name is None:
                before = [p for p in pending if len(self.reader.gap(p.start, s.start).words) <= 12 and _announces(p)]
                if before and self.poured(before[-1].start, s.start) == 0:
                    opening.name, opening.name_weight = before[-1].name, before[-1].name_weight
                    opening.start = before[-1].start
            out.append(opening)
        for k, o in enumerate(out):
            before_start = out[k - 1].start if k else 0
            if self.finished(before_start, o.start):
                o.bonus += FINISHED
        return out

    def _joins(self, last: Opening, s: Opening) -> bool:
        near = len(self.reader.gap(last.start, s.start).words) <= NEAR_WORDS
        if not near:
            return False
        if s.rank is not None and last.rank is not None and s.rank != last.rank:
            return False
        between = self.poured(last.start, s.start)
        if (
            s.order
            and between
            and (s.order >= STRONG_ORDER or self.finished(last.start, s.start))
            and not (s.rank and s.rank == last.rank)
        ):
            return False
        same = s.name is not None and last.name is not None and alike(key_of(s.name.text), key_of(last.name.text))
        if s.name is not None and last.name is not None and not same and s.kind in ("title", "called", "naming"):
            both_sure = s.name_weight >= ENOUGH and last.name_weight >= ENOUGH
            if both_sure and self.poured(last.start, s.start) > 0:
                return False
            if both_sure and s.kind == "title" and last.kind == "title":
                return False
        return True

    def _join(self, last: Opening, s: Opening) -> None:
        if (
            s.kind == "title"
            and s.name_weight < ENOUGH
            and last.order
            and len(self.reader.gap(last.start, s.start).words) <= 8
        ):
            s = replace(s, name_weight=NAMED + CAPITALS)  # "And so to the drone. Kifinas."
        last.order = max(last.order, s.order) + (0.3 if s.order and last.order else 0.0)
        last.ordinal, last.said = last.ordinal or s.ordinal, last.said or s.said
        if s.name is None:
            return
        same = last.name is not None and alike(key_of(s.name.text), key_of(last.name.text))
        weight = s.name_weight + (LATE * self.poured(last.start, s.name.start) if not same else 0.0)
        if same:
            last.name_weight = max(last.name_weight, weight) + 0.3
            if last.name is not None and len(s.name.text) > len(last.name.text):
                last.name = s.name
        elif last.name is None or weight > last.name_weight + 0.2:
            last.name, last.name_weight = s.name, weight

    # ---- drinks --------------------------------------------------------------------------------------------------

    def spans(self) -> tuple[list[DrinkSpan], list[DrinkSpan]]:
        """(the drinks of the talk in order, the drinks that were announced and never made)."""
        every = self.openings()
        lists = [(ns[0].start - 60, ns[-1].end) for ns in self.lists]
        found = [
            o for o in every
            if o.start < self.tail and (o.weight >= ENOUGH or self._in_order(o, every)) and not self._refers_back(o, every)
            and not (o.name is not None and o.order == 0 and any(a <= o.name.start < b for a, b in lists))
        ]  # fmt: skip
        turns = self._in_turns(found)
        if turns:
            found = [o for o in found if o.start > turns[-1].end and o.order >= STRONG_ORDER]
        spans, loose = self._poured_spans(found)
        spans = [*turns, *spans]
        announced = self._hand_on_names(spans, loose)
        told = {key_of(s.name) for s in spans if s.name}
        announced = [a for a in announced if a.name is None or not any(alike(key_of(a.name), t) for t in told)]
        self._first_unopened(spans, every)
        self._better_spelling(spans)
        for k, s in enumerate(spans):
            s.index = k
            s.end = (
                spans[k + 1].start
                if k + 1 < len(spans) and not s.turns
                else s.end
                if s.turns
                else len(self.reader.lower)
            )
            s.aliases = self._aliases(s.name, [x.name for x in spans if x is not s])
        return spans, announced

    def _in_order(self, o: Opening, every: Sequence[Opening]) -> bool:
        """A weak sign counts where the drink before is finished, two amounts follow, and it says the next number or
        "next"."""
        if not o.order or not o.bonus or o.weight < ENOUGH - FINISHED:
            return False
        surer = [x for x in every if x.weight >= ENOUGH]
        following = min((x.start for x in surer if x.start > o.start), default=self.tail)
        before = {x.rank for x in surer if x.start < o.start and x.rank is not None}
        right = o.rank is None or o.rank == max([*before, len([x for x in surer if x.start < o.start])], default=0) + 1
        return right and self.poured(o.start, following) >= 2

    def _refers_back(self, o: Opening, every: Sequence[Opening]) -> bool:
        """ "Load-In. I've just had another look, and I said half a part": something of a drink told before is put
        right."""
        if o.order or o.kind != "title" or o.name is None:
            return False
        number = self.reader.sentence_number(o.name.start)
        end = self.reader.sentence_span(min(number + 2, len(self.reader.sentences) - 1))[1]
        back = self.reader.has("turns.forgotten", o.start - 60, end) or self.reader.has(
            "turns.said before", o.start - 60, end
        )
        return back and self.poured(0, o.start) >= 2

    def _in_turns(self, found: Sequence[Opening]) -> list[DrinkSpan]:
        """The two drinks that are told in turns, if any are."""
        turns = find_turns(self.reader, self.mentions, self.words, self.lists, len(self.reader.lower))
        if turns is None:
            return []
        later = [
            o.start for o in found if o.order >= STRONG_ORDER and o.start > turns.switches[0][0] and (o.rank or 0) != 2
        ]
        end = min([*later, len(self.reader.lower)])
        out = []
        for k, name in enumerate(turns.names):
            stretches = []
            for j, (at, drink) in enumerate(turns.switches):
                until = turns.switches[j + 1][0] if j + 1 < len(turns.switches) else end
                if drink == k and at < end:
                    stretches.append((at, min(until, end)))
            span = DrinkSpan(-1, turns.start, end, name.text, name.start, name.end, turns=stretches)
            out.append(span)
        return out if all(s.turns for s in out) else []

    def retold(self, o: Opening, spans: Sequence[DrinkSpan], end: int, *, again: bool) -> DrinkSpan | None:
        """The drink of which an opening tells again what was poured: all but one of three things or more were said
        of it.

        again: another drink was just told again, so that fewer are enough.
        """
        here = [m for m in self._things(o.start, end) if m.how != "unknown"]
        for s in spans:
            before = self._things(s.start, min(s.end, o.start))
            same = [m for m in here if any(same_thing(m, b) for b in before)]
            if len(same) >= (2 if again else 3) and len(same) >= len(here) - 1 and self.finished(s.start, o.start):
                return s
        return None

    def _things(self, start: int, end: int) -> list[Mention]:
        return [m for m in self.mentions if m.group == "ingredient" and start <= m.start < end]

    def _poured_spans(self, found: Sequence[Opening]) -> tuple[list[DrinkSpan], list[tuple[DrinkSpan, bool]]]:
        """(the openings behind which something is poured, those behind which nothing is, each with whether it is
        ordered)."""
        spans: list[DrinkSpan] = []
        weights: list[float] = []
        loose: list[tuple[DrinkSpan, bool]] = []
        ranks: set[int] = set()
        telling_again = False
        for k, o in enumerate(found):
            end = found[k + 1].start if k + 1 < len(found) else self.tail
            key = key_of(o.name.text) if o.name is not None else None
            span = self._span(o, end)
            poured = self.poured(o.start, end)
            last = spans[-1] if spans else None
            if key is not None and any(s.name and _same_key(key, key_of(s.name)) for s in spans):
                telling_again = True
                continue  # named again: it goes on, or is told again
            if o.rank is not None and o.rank in ranks and (o.name_weight < ENOUGH or poured == 0):
                continue  # "the first one gets salt, too"
            if poured == 0 and not (
                o.order >= STRONG_ORDER and o.name_weight >= CALLED and self.said_amounts(o.start, end) >= 2
            ):
                if (
                    last is not None
                    and last.name is None
                    and o.order == 0
                    and o.name is not None
                    and self._names_before(o, last)
                ):
                    last.name, last.name_start, last.name_end = o.name.text, o.name.start, o.name.end
                else:
                    loose.append((span, o.order > 0))
                continue
            again = self.retold(o, spans, end, again=telling_again) if o.order == 0 and spans else None
            telling_again = again is not None
            if again is not None:
                if again.name is None and o.name is not None:
                    again.name = o.name.text
                continue
            if (
                last is not None
                and o.order < STRONG_ORDER
                and not self.finished(last.start, o.start)
                and self.poured(last.start, o.start)
            ):
                # Named while it is being poured: the name of the drink in hand, or of one of its parts.
                if last.name is None and o.name is not None and o.kind != "title":
                    last.name, last.name_start, last.name_end = o.name.text, o.name.start, o.name.end
                    continue
                if o.kind != "title" and o.weight < ENOUGH + REPEATED:
                    continue
            if last is not None and o.name is None and last.name is None and self.poured(last.start, o.start) < 2:
                last.end = end
                continue
            spans.append(span)
            weights.append(o.weight)
            if o.rank is not None:
                ranks.add(o.rank)
        return spans, loose

    def _names_before(self, o: Opening, last: DrinkSpan) -> bool:
        """A name told when the drink is made: "and that is what I call the Half Day"."""
        return self.poured(last.start, o.start) > 0

    def _span(self, o: Opening, end: int) -> DrinkSpan:
        n = o.name
        return DrinkSpan(
            -1, o.start, end, n.text if n else None, n.start if n else None, n.end if n else None, ordinal=o.ordinal,
            order_said=o.said,
        )  # fmt: skip

    def _hand_on_names(self, spans: Sequence[DrinkSpan], loose: Sequence[tuple[DrinkSpan, bool]]) -> list[DrinkSpan]:
        """An opening without a pour gives its name to the next one that has none (the intro of "the first one", told
        long)."""
        announced = [a for a, ordered in loose if ordered]
        for a in sorted((a for a, _ in loose), key=lambda x: x.start):
            follower = next((s for s in spans if s.start >= a.start), None)
            if follower is None or a.name is None:
                continue
            between = [x for x in announced if a.start < x.start < follower.start]
            if between or (follower.name is not None and not (a in announced and follower.ordinal is None)):
                continue
            if follower.name is None:
                follower.name, follower.name_start, follower.name_end = a.name, a.name_start, a.name_end
                follower.start = a.start
                if a in announced:
                    announced.remove(a)
        return announced

    def _first_unopened(self, spans: list[DrinkSpan], every: Sequence[Opening]) -> None:
        """A talk of one drink needs no opening; nor does the first of several."""
        first = spans[0].start if spans else self.tail
        made = any(t.start < first and t.name in (*SERVES, "shake", "stir") for t in self.reader.talk.techniques)
        if spans and not (self.poured(0, first) >= 3 and made):
            return
        signs = [
            s for s in (*every, *self.signs()) if s.name is not None and s.start < first and s.name_weight >= NAMED
        ]
        best = max(signs, key=lambda o: (o.name_weight, -o.start), default=None)
        name = best.name if best is not None else None
        if name is None:
            spans.insert(0, DrinkSpan(-1, 0, first, None))
        else:
            spans.insert(0, DrinkSpan(-1, 0, first, name.text, name.start, name.end))

    def _better_spelling(self, spans: Sequence[DrinkSpan]) -> None:
        """Of several spellings of one name the one written most often, and with capitals before without: "spark
        cap", "spark gap"."""
        from rapidfuzz import fuzz

        tokens = [(m.group(), m.start(), m.end()) for m in _TOKEN.finditer(self.reader.talk.text)]
        for s in spans:
            if not s.name or s.name_start is None or len(s.name) < 6:
                continue
            n = len(s.name.split())
            here = plain(s.name)
            best, count = s.name, self._spelt(s.name)
            for k in range(len(tokens) - n + 1):
                a, b = tokens[k][1], tokens[k + n - 1][2]
                other = self.reader.talk.text[a:b]
                if not 0.6 < len(other) / len(s.name) < 1.7 or re.search(r"[.,;:?!]", other):
                    continue
                if (
                    plain(other) == here
                    or fuzz.ratio(plain(other), here) < 75
                    or plain(other).split()[0] in self.words.stops
                ):
                    continue
                if plain(other).split()[-1] in self.words.stops or any(
                    m.group == "ingredient" and m.start <= a and b <= m.end for m in self.mentions
                ):
                    continue
                value = self._spelt(other)
                if value > count:
                    best, count = other, value
            s.name = best

    def _spelt(self, name: str) -> float:
        capital = all(w[:1].isupper() or w.lower() in self.words.joiners for w in name.split())
        return count_said(self.reader, name) + (0.5 if capital else 0.0)

    def _aliases(self, name: str | None, others: Sequence[str | None]) -> set[str]:
        """Ways in which a drink is named again: the whole, or a word of it that no other drink has."""
        if not name:
            return set()
        words = [w for w in plain(name).split() if len(w) > 3 and w not in self.words.joiners]
        taken = {w for o in others if o for w in plain(o).split()}
        out = {plain(name), key_of(name)}
        if (
            words
            and words[-1] not in taken
            and words[-1] not in self.words.common
            and words[-1] not in self.words.describing
        ):
            out.add(words[-1])
        return out


def _announces(sign: Opening) -> bool:
    """A name told right before the words that open its drink: "this is the Porch Light, number two"."""
    return sign.name is not None and sign.name_weight > PRESENTED and (sign.name.capitals or sign.name.article == "the")


def _numbered(said: str) -> str | None:
    """ "so the second one is" gives "the second one"; "number three" stays."""
    m = re.search(
        r"(?:the )?(?:first|second|third|fourth|fifth) (?!is|up|on)\w+|\w+ (?:number )?(?:one|two|three|four|five|[1-5])\b",
        said,
    )
    return m.group() if m is not None else None


def _of_a_thing(before: Sequence[str], words: NameWords) -> bool:
    """ "A lad called Radek", "a tree called ..."."""
    return len(before) == 2 and before[0] in ("a", "an", "some", "my", "our", "his", "her", "this", "the") and before[1] not in (
        "drink", "one", "cocktail", "mocktail", "recipe", "number", "thing",
    )  # fmt: skip


def _same_key(a: str, b: str) -> bool:
    return alike(a, b) or (len(a) > 3 and b.endswith(" " + a)) or (len(b) > 3 and a.endswith(" " + b))


def drink_spans(
    reader: TalkReader, extents: Sequence[Extent], pour_starts: Sequence[int], mentions: Sequence[Mention],
    known: frozenset[str], tail: int, words: NameWords,
) -> tuple[list[DrinkSpan], list[DrinkSpan]]:  # fmt: skip
    """(the drinks of the talk in order, the drinks that were announced and never made).

    pour_starts: offsets of the amounts that may be pours. tail: where the recap or the goodbye begins.
    """
    return DrinkFinder(reader, extents, pour_starts, mentions, known, tail, words).spans()
