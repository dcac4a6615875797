"""The signs of a new drink: words that open one, words that name one, sentences that are nothing but a name.

Each sign has a weight; drinks.py joins those near each other and opens a drink where the sum reaches `ENOUGH`.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.drink_names import (
    Name,
    NameWords,
    announced_kinds,
    announced_labels,
    could_be,
    count_said,
    first_of_two,
    has_capitals,
    key_of,
    listed_names,
    names_at,
    poured_as,
    starts_sentence,
    title_name,
)
from extractor.specs.gaps import TalkReader
from extractor.specs.modes import Extent, mode_at

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
SEEN = 1.45
"""A name of several capitals anywhere in the talk."""
SMALL = 1.5
"""A name at the head of a sentence in small letters that is said again."""
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
FRESH = 0.4
"""What is presented is poured at once."""
MODELLED = 0.5
"""A classic is told as the model of what is presented."""
LATE = -0.5
"""Amounts stand between the opening and the name."""
LIKELY = 1.4
"""A drink without a name takes a name so likely."""
NEAR_WORDS = 45
"""Signs of one opening lie within so many words of each other."""
CARRIED_WITHIN = 60
"""A bare number takes the unit of an amount so many characters before it."""
RUN_ON_TOLD = 60
"""A stretch that tells of something else has run on where an opening stands so many characters behind its beginning."""
NOTHING_HEARD = ("history", "tasting", "aside")
SERVES = frozenset(("strain", "fine strain", "open pour", "top", "blend", "float"))

_ORDER = {
    **dict.fromkeys(("first", "one", "1"), 1), **dict.fromkeys(("second", "two", "2"), 2),
    "secondly": 2, "thirdly": 3,
    **dict.fromkeys(("third", "three", "3"), 3), **dict.fromkeys(("fourth", "four", "4"), 4),
    **dict.fromkeys(("fifth", "five", "5"), 5),
}  # fmt: skip
COUNTED_UP = 3
"""A word with so many numbers behind it, from one up and each once, counts the drinks."""
_NAMED_FOR = frozenset(("off", "after", "for", "from"))
_ORDINALS = frozenset(
    [
        "first",
        "second",
        "third",
        "fourth",
        "fifth",
        "next",
        "last",
        "final",
        "finally",
        "lastly",
        "secondly",
        "thirdly",
        "other",
    ]
)
_TOKEN = re.compile(r"[\w'’&]+")
# Between the words that name a drink and its name: "she named it, it's the Passenger Seat".
_SAID_TWICE = re.compile(r"(?:[\s,:–—-]|(?:it's|it is|this is|that's|uh|um|er|like|the name is)\b)*")
# Behind a name: "Wheelbarrow, that is.", "the Hand on the Rail, so that is the name".
_INVERTED = re.compile(
    r",? (?:(?:so|and) )*(?:(?:that is|that's|this is|it is|it's)"
    r"(?: (?:what|how) (?:we|i|they)| (?:the|its|his|her) name| called|[.,])|"
    r"is (?:what (?:we|i|they) call|the name|its name)|(?:we|i|they) (?:call|called|named) (?:it|this|that))"
)
# "My daughter says Paper Screen is a bad name for a drink."
_IS_A_NAME = re.compile(
    r" (?:is|was|isn't|is not|sounds like|makes)(?: \w+)? (?:a|an|no|the|our|its|my) (?:\w+ ){0,2}"
    r"name for (?:a|an|the|this|it)\b"
)
_KIND_HEAD = re.compile(
    r"\b(?:okay|ok|alright|all right|right|now|so|then|and|next|start|begin|finish|well)[, ]+"
    r"(?:(?:then|now|so|for|to|with|on to|here's|next)[, ]+)*"
    r"(the |our |my )?([\w'-]+)( one| once| when| won)?(?![\w'])"
)
_THIS_ONE = re.compile(r"\bthis (?:one(?:'s| is| goes| comes| gets| i| we| you)|next one|here one)(?!\w)")
# "Blind hem, two, one, one": up to the first comma or full stop.
_SMALL_HEAD = re.compile(r"\s*([A-Z][\w'’]+(?: [a-z][\w'’]*){1,3})(?=[.,:])")
_ORDERED_TITLE = re.compile(
    r"\s*(?i:(?:(?:so|and|now|right|okay|then)[, ]+)*(?:the )?(first|second|third|fourth|fifth|next|last))"
    r"(?: [\w'’]+){1,6}[,:] (?:it's |that's |here's |comes )?(?=(?:the |our |my )?([A-Z]))"
)
_OTHERS = frozenset(("other", "same", "only", "right", "wrong", "good", "best", "big", "little", "small", "old", "new"))
""" "So, the big one" may be an ice cube or a bottle."""
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
    """order, kind (a weak order: "the long one", "this one's"), called, naming, presenting, title, direct."""

    @property
    def weight(self) -> float:
        return self.order + max(0.0, self.name_weight) + self.bonus

    @property
    def rank(self) -> int | None:
        return _ORDER.get(self.ordinal or "")


class DrinkSigns:
    """Finds the signs of a new drink in one talk.

    pours: the offsets of the amounts that may be pours. known: the classics' names, plain. tail: where the goodbye
    begins.
    """

    def __init__(
        self, reader: TalkReader, extents: Sequence[Extent], pours: Sequence[int], mentions: Sequence[Mention],
        known: frozenset[str], tail: int, words: NameWords,
    ) -> None:  # fmt: skip
        self.reader = reader
        self.extents = extents
        self.pours = sorted([*pours, *_carried(reader, extents, pours)])
        self.mentions = mentions
        self.known = known
        self.tail = tail
        self.words = words
        self.lists = listed_names(reader, mentions, words)
        self.labels = announced_labels(reader, words)
        self.listed = {key_of(n.text) for ns in self.lists for n in ns}
        self.served = sorted(
            [t.start for t in reader.talk.techniques if t.name in SERVES]
            + [
                m.start
                for m in mentions
                if m.group == "glass"
                and (
                    not (m.entry is not None and m.entry.everyday)
                    or {"into", "between"} & set(reader.before(m.start, 4))
                )
            ]
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
        j = bisect_left(self.served, self.pours[k + 1])
        return j < len(self.served) and self.served[j] < end

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
        # "Then exercise one": the word that counts the drinks is none of their names.
        found = [
            (n, self.worth(n, base)) for n in names
            # "Every one of them is named off the railway": nor what something is named for.
            if plain(n.text) not in self._counts_them and not (said_so and plain(n.text).split()[0] in _NAMED_FOR)
        ]  # fmt: skip
        return max(found, key=lambda f: f[1], default=None)

    # ---- signs ---------------------------------------------------------------------------------------------------

    def signs(self) -> list[Opening]:
        return self._signs

    @cached_property
    def _signs(self) -> list[Opening]:
        out = [
            *self._order_signs(),
            *self._bare_numbers(),
            *self._counted_signs(),
            *self._naming_signs(),
            *self._heads(),
        ]
        out += [*self._labelled_heads(), *self._listed_heads(), *self._then_signs(), *self._capital_signs()]
        out += [*self._kind_heads(), *self._this_one(), *self._small_heads(), *self._ordered_titles()]
        return sorted(out, key=lambda o: (o.start, o.order == 0, -o.weight))

    def _sentence_end(self, offset: int) -> int:
        if self.reader.talk.punctuated:
            return self.reader.sentence(offset)[1]
        return min(len(self.reader.lower), offset + 90)

    def _order_signs(self) -> Iterator[Opening]:
        """ "The second one is", "number three", "next,": order words at the head of what they open."""
        reader = self.reader
        for cue in reader.cues("turns.opening"):
            words = reader.gap(cue.start, cue.end).words
            if self._split_number(cue.start, cue.end):
                continue
            at_start = self._at_head(cue.start)
            talk_words = _TALK_WORDS.match(reader.lower, cue.start)
            if talk_words is not None and talk_words.end() < cue.end:
                # "You are probably right, second drink is": the comma inside is where it begins.
                at_start = at_start or bool(re.search(r"[,.]", talk_words.group()))
            ordinal = next((w for w in words if w in _ORDINALS or w in _ORDER), None)
            if ordinal is None and words[-2:-1] == ("number",):
                ordinal = self.words.numbers_heard.get(words[-1])  # "drink number won"
            if ordinal == "other" and words[-1] == "other":
                continue
            if words[-1:] in (("last",), ("lastly",), ("finally",)) and any(
                0 <= m.start - cue.end <= 2 and m.kind == "amount" for m in reader.talk.measures
            ):
                continue  # "And last, a quarter cup of limoncello."
            if words[:1] == ("to",) and words[-1:] == ("with",) and not at_start:
                continue  # "shake it without ice to begin with"
            strong = (
                (ordinal is not None and len(words) >= 2 and self._strong(words))
                or words[-1:] == ("with",)
                or len(words) >= 4
            )
            after = reader.after(cue.end, 1)
            # "The first glass that comes through", "last comes" open nothing where another thing is told.
            heads = strong and at_start and _ORDER.get(ordinal or "") != 1 and words[-1] != "comes"
            if self._told_at(cue.start, heads) or reader.before(cue.start, 1) in (
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
            if ordinal is not None and self._alone(cue.start, cue.end):
                strong = at_start = True
            if ordinal == "first" and not strong and self.finished(0, cue.start):
                continue  # "First comes the cherry": a first of something else, when a drink is made
            if ordinal is not None and not strong and not self._weak_holds(cue.start, cue.end, at_start, words):
                continue
            if (
                strong
                and ordinal is not None
                and not at_start
                and not (after and after[0] in self.words.goes_on)
                and words[-1] not in ("is", "up")
            ):
                continue
            if after and after[0] in self.words.refers and strong and ordinal is not None and words[-1] == ordinal:
                continue
            sign = Opening(cue.start, STRONG_ORDER if strong else WEAK_ORDER, ordinal=ordinal)
            sign.said = _numbered(reader.lower[cue.start : cue.end]) if strong and sign.rank else None
            self._name_behind(sign, cue.end)
            yield sign

    def _told_at(self, offset: int, heads: bool) -> bool:
        """Whether it is only told about there; where captions have few full stops a stretch of history runs on into
        the next drink, which an opening at the head of a clause ends."""
        if mode_at(self.extents, offset) not in NOTHING_HEARD:
            return False
        held = [e for e in self.extents if e.start <= offset < e.end]
        return not (heads and all(offset - e.start > RUN_ON_TOLD for e in held))

    def _split_number(self, start: int, end: int) -> bool:
        """ "Rocks glass, one big cube", "before any drink, one small job": the comma parts the number from the noun."""
        m = re.search(r"[,.;:]\s*(?:one|two|three|four|five|[1-5])\b[^,.;:]*$", self.reader.lower[start:end])
        return m is not None and re.search(r"\w", self.reader.lower[start : start + m.start()]) is not None

    def _alone(self, start: int, end: int) -> bool:
        """ "Okay, third." — a sentence of nothing but talk words and an order word, in captions with full stops."""
        reader = self.reader
        if not reader.talk.punctuated:
            return False
        a, b = reader.sentence(start)
        rest = [*reader.gap(a, start).words, *reader.gap(end, b).words]
        said = [w for w in reader.gap(start, end).words if w in self.words.order_words]
        return bool(said) and set(rest) <= self.words.head_words | {"the"} and "?" not in reader.lower[end : b + 1]

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
        ours = (("the",), ("our",), ("my",))
        if not reader.talk.punctuated and (words[:1] in ours or reader.before(start, 1) in ours):
            # "... and the second is the back gate thirty mil of"
            return reader.after(end, 2) in (("is", "the"), ("is", "called"), ("is", "my"), ("one", "is"), ("is", "our"))
        first = words[1:] if words[:1] in (("and",), ("so",), ("now",), ("okay",), ("right",)) else words
        if at_start and reader.talk.punctuated and first[:1] in ours and len(first) == 2:
            # "And the third is warm, and it's for two people"
            follows = reader.after(end, 2)
            return follows[:1] in (("is",), ("comes",), ("goes",), ("'s",)) and follows[1:] not in (
                ("that",), ("to",), ("because",), ("when",),
            )  # fmt: skip
        if not at_start or (words[:1] in ours and len(words) == 2):
            return False
        if reader.talk.punctuated:
            gap = reader.gap(end, end + 3)
            if reader.after(end, 1) in (("is",), ("comes",)):
                return True  # "Third is a long one"
            return (
                gap.comma
                or gap.stop
                or words[0] in ("finally", "lastly", "secondly", "thirdly")
                or words[-1] in ("up", "is", "comes")
            )
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
        return words[-2:-1] == ("number",) or any(w in self.words.opens for w in words)

    def _bare_numbers(self) -> Iterator[Opening]:
        """ "One. Cobweb. ... Two. Doormat.": sentences that are nothing but a number, counting up from one."""
        reader = self.reader
        if not reader.talk.punctuated:
            return
        expected, out = 1, []
        for start, end in reader.sentences:
            words = reader.gap(start, end).words
            if len(words) == 1 and _ORDER.get(words[0]) == expected and words[0] not in _ORDINALS:
                out.append(Opening(start, STRONG_ORDER, ordinal=words[0]))
                expected += 1
        if len(out) > 1:
            yield from out

    def counting_nouns(self) -> frozenset[str]:
        """What this speaker counts the drinks in: "bucket" of "three buckets ... the first bucket ... bucket two"."""
        lower = self.reader.lower
        numbers = "|".join(self.words.numbers_heard)
        head = r"(?:^|[.?!,]\s+|\b(?:okay|so|and|then|now|right|alright)\s+)(?:the |my |our )?"
        counted = {w[:-1] for w in re.findall(r"\b(?:two|three|four|five|six|[2-6]) (\w+s)\b", lower)}
        first = set(re.findall(rf"{head}(?:first|1st) (\w+)", lower)) | set(
            re.findall(rf"{head}(\w+) (?:number )?(?:one|1)\b", lower)
        )
        later = set(re.findall(rf"{head}(?:second|third|next|last|final) (\w+)", lower))
        later |= set(re.findall(rf"{head}(\w+) (?:number )?(?:two|three|four|[2-4])\b", lower))
        heard = set(re.findall(rf"{head}(\w+)(?: number)?[ -](?:{numbers})\b", lower))
        names = (first & later) | (counted & (later | (first & heard)))
        parts = [re.search(rf"(?:^|[.?!]\s+)part (?:{n})\b", lower) for n in ("one|1", "two|2")]
        if parts[0] is None or parts[1] is None or self.poured(parts[0].start(), parts[1].start()) < 2:
            # "It has three parts. Part one is the milk, a hundred mil."
            names.discard("part")
        names |= self._counts_them - {"part"}
        held = {w for w in names if len(w) > 2 and w not in self.words.no_counting and w not in self.words.stops}
        return frozenset(
            w
            for w in held
            if not any(m.group == "ingredient" and w in plain(m.name).split()[:1] for m in self.mentions)
        )

    @cached_property
    def _counts_them(self) -> frozenset[str]:
        """ "... is exercise one ... we go to exercise two ... exercise three": counted from one, in order."""
        told: dict[str, list[int]] = {}
        for m in re.finditer(r"(?<![\w'])([a-z]{4,}) (one|two|three|four|five|[1-5])(?!\w)", self.reader.lower):
            told.setdefault(m[1], []).append(_ORDER.get(m[2]) or int(m[2]))
        return frozenset(w for w, ns in told.items() if len(ns) >= COUNTED_UP and ns == list(range(1, len(ns) + 1)))

    def _counted_signs(self) -> Iterator[Opening]:
        reader = self.reader
        nouns = self.counting_nouns()
        if not nouns:
            return
        noun = "|".join(sorted(map(re.escape, nouns)))
        # "Part two" opens a drink; "the second part" of anything may be poured.
        ranked = "|".join(sorted(map(re.escape, nouns - {"part"}))) or "(?!)"
        numbers = "|".join(self.words.numbers_heard)
        pattern = (
            rf"(?<![\w'])(?:(?:and |the |my |our |number )*"
            rf"(first|second|third|fourth|fifth|next|last|final) (?:{ranked})"
            rf"|(?:{noun})(?: number)?[ -]({numbers}|[1-5]))(?!\w)"
        )
        for m in re.finditer(pattern, reader.lower):
            opens = not reader.talk.punctuated and reader.after(m.end(), 1)[:1] in [(w,) for w in self.words.goes_on]
            opens = opens or (not reader.talk.punctuated and bool(m[2]) and m.group().split()[0] in self._counts_them)
            if not (self._at_head(m.start()) or opens) or mode_at(self.extents, m.start()) in NOTHING_HEARD:
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
            r"(?:[\s,:–—-]|(?:is|'s|’s|up|comes|here|we have|we've got|there's|there is|it's|this is|on the docket|"
            r"(?:that )?(?:we're|we are|i'm|i am|you're) (?:doing|making|having|pouring|mixing|getting)"
            r" (?:today )?is)\b)*"
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
        if found is not None and not found[0].capitals and has_capitals(reader.talk.text):
            # "Number four, the big finish, the Crumb Coat.": what is described is named behind the comma.
            behind = re.compile(r"\s?,\s+(?:(?:and )?(?:it's|this is|that's|called|the|a|an|my|our)\s+)*").match(
                lower, found[0].end
            )
            capital = behind is not None and reader.talk.text[behind.end() : behind.end() + 1].isupper()
            named = self.best_at(behind.end(), limit, DIRECT) if behind is not None and capital else None
            if named is not None and named[0].capitals and len(found[0].text.split()) <= 4:
                found = named
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
                if (
                    found is not None
                    and self.reader.before(found[0].start, 1)
                    not in (
                        ("from",),
                        ("in",),
                        ("at",),
                        ("near",),
                    )
                    and not set(self.reader.before(found[0].start, 1)) & self.words.people
                ):  # "my cousin Tobi is driving"
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
                if self._split_number(cue.start, cue.end) or self._explains(cue.start, label):
                    continue
                mine = label == "called" and reader.after(cue.start, 1) in (("i",), ("we",))
                if (told and not mine) or self._not_of_a_drink(cue.start, cue.end, label):
                    continue
                end = self._sentence_end(cue.start)
                at = cue.end
                if label == "called" and (again := _SAID_TWICE.match(reader.lower, at)) is not None:
                    at = again.end()
                found = self.best_at(at, end, base, said_so=label == "called") if at < end else None
                if found is not None and self._of_a_bottle(cue.start, found[0], label):
                    continue
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
                if label == "presenting" and self._has_a(cue.start, name):
                    continue
                if (
                    label == "presenting"
                    and re.search(r"'s$|s'$", name.text.replace("’", "'"))
                    and len(name.text.split()) == 1
                ):
                    continue  # "that's Moira's grandson"
                comment = reader.lower.startswith(("that's", "that is"), cue.start)  # on what was just poured
                if label == "presenting" and name.article == "the" and not comment and self._pours_next(name.end):
                    weight += FRESH
                elif label == "presenting" and name.article == "the" and not comment and self._has_model(name):
                    weight += MODELLED
                yield Opening(cue.start, 0.0, name, weight, kind=label)

    def _explains(self, start: int, label: str) -> bool:
        """ "That's what you call the little kids that ride": where the words of a name come from."""
        return (
            label == "called"
            and self.reader.before(start, 1) == ("what",)
            and self.reader.after(start, 1) in (("you",), ("people",), ("folks",))
        )

    def _has_a(self, start: int, name: Name) -> bool:
        """ "I have a Peruvian on the third floor", "I got a Swede in the bar": one whom the speaker knows."""
        words = self.reader.gap(start, name.start).words
        mine = bool({"have", "got", "'ve", "i've", "we've"} & set(words))
        single = (name.article in ("a", "an") or words[-1:] in (("a",), ("an",))) and len(name.text.split()) == 1
        return mine and single and (not name.capitals or count_said(self.reader, name.text) < 2)

    def _has_model(self, name: Name) -> bool:
        """ "It's the night shift, think of a hot toddy": a classic is told as what the drink is like."""
        if len(name.text.split()) < 2:
            return False
        models = (m for m in self.mentions if m.group == "classic" and name.end < m.start < name.end + 60)
        compared = self.reader.after(name.end, 1) in (("as",), ("like",), ("than",), ("of",))
        return not compared and any({"a", "your", "the"} & set(self.reader.before(m.start, 1)) for m in models)

    def pours_at_once(self, end: int) -> bool:
        """An amount right behind a name and a comma, and nothing else between."""
        at = next((p for p in self.pours if p >= end), None)
        return (
            at is not None and at - end <= 12 and set(self.reader.gap(end, at).words) <= {"so", "and", "then", "with"}
        )

    def _pours_next(self, end: int) -> bool:
        """An amount right behind a name, and another soon: "for him i make the barn cat and that's two ounces of"."""
        return self.poured(end, end + 45) > 0 and self.poured(end, end + 200) > 1

    def _not_of_a_drink(self, start: int, end: int, label: str) -> bool:
        """The name is the speaker's, a maker's, or that of a thing nobody knows the name of."""
        reader = self.reader
        begin, _ = reader.sentence(start) if reader.talk.punctuated else (0, 0)
        if reader.talk.text[end : end + 1].isalnum() or reader.has("promises.unsure name", start - 12, end):
            return True
        words = reader.gap(start, end).words
        if (
            label == "called"
            and (reader.before(start, 1) in (("my",), ("whose",), ("cat",), ("dog",)) or words[:1] == ("my",))
            and "name" in words
        ):
            return True
        if label == "called" and words == ("i", "name"):
            return True  # "I name Clyde": who speaks
        if words[:1] in (("called",), ("named",)) and _of_a_thing(reader.before(start, 2), self.words):
            return True
        near = 120 if reader.talk.punctuated else 60
        return any(reader.has(x, max(begin, start - near), start) for x in ("promises.business", "promises.gift"))

    def _of_a_bottle(self, start: int, name: Name, label: str) -> bool:
        """What is named is a bottle or its maker: "he makes it in the cannery, he calls it Four Barrels", "that bourbon
        is Broken Gate"."""
        reader = self.reader
        if self._is_a_thing(start, name):
            return True
        words = reader.gap(start, name.start).words
        if label != "called" or words[:1] in (("i",), ("we",)):
            return False
        a, b = reader.sentence(start) if reader.talk.punctuated else (start - 80, name.end + 80)
        if reader.has("turns.of a maker", max(a, 0), b) or reader.has("promises.gift", name.end, min(b, name.end + 80)):
            return True
        others = words[:1] in (("he",), ("she",), ("they",))
        return others and reader.has("turns.of a bottle", max(a, 0), b)

    def _is_a_thing(self, start: int, name: Name) -> bool:
        """The name is said of a thing that is poured: "that bourbon is Broken Gate", "the shrub, it's Ginette"."""
        before = [m for m in self.reader.mentions_in(max(0, name.start - 60), name.start) if m.group == "ingredient"]
        before = [m for m in before if m.end <= name.start and m.entry is not None]
        if not before:
            return False
        gap = self.reader.gap(before[-1].end, name.start)
        words = tuple(w for w in gap.words if w not in ("the", "a", "here", "by", "from"))
        if gap.stop and self.reader.talk.punctuated:
            return False
        named = words in (("is",), ("'s",), ("is", "called"), ("called",))
        return named or (gap.comma and words in (("it's",), ("it", "is")))

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
            if any(c.start == name.start and c.end < name.end for c in reader.cues_in("turns.naming", start, name.end)):
                continue  # "We'll do the Lifeguard.": the name stands behind
            parts, key = plain(name.text).split(), plain(name.text)
            tail = reader.gap(name.end, end).words
            # In a run-on sentence "say, Gus, stir" is cut at its commas: that is no sentence of nothing but a name.
            alone = not tail and (text[name.end : name.end + 1] != "," or end >= len(text))
            directed = {"in", "into", "inside", "back"} & set(reader.gap(start, name.start).words)
            if directed and self._said_before(name):
                continue  # "In the Quarter to Six, the bitters."
            if reader.has("turns.return", start, name.end) or "?" in text[name.end : name.end + 2]:
                continue
            if any(t.start == name.start for t in reader.talk.techniques):
                continue
            if _INVERTED.match(reader.lower, name.end):
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
                if self._name_is_told(start):
                    yield Opening(start, 0.0, name, CALLED, kind="called")
                    continue
                if len(parts) < 2:
                    # One word alone may be anything; it names a drink that is opened.
                    led = name.start > start and not self._said_before(name)
                    soon = led and self.poured(name.end, name.end + 260) > 1 and self.poured(0, start) == 0
                    # "Okay, Tallow. Take a chilled glass": the first drink of a talk.
                    sure = said > 1 or soon
                    yield Opening(start, 0.0, name, ALONE if sure else ALONE / 2, kind="title")
                    continue
                if (
                    len(parts) >= 2
                    and said < 2
                    and parts[0] in self.words.chatter
                    and len(parts) == 2
                    and parts[0] not in self.words.order_words
                ):
                    continue
                if said < 2 and self.poured(name.end, name.end + 260) < 2:
                    continue  # "Auf Wiedersehen."
                yield Opening(
                    start,
                    0.0,
                    name,
                    max(ENOUGH if len(parts) > 1 else 0.0, self.worth(name, TITLE - CAPITALS)),
                    kind="title",
                )
                continue
            listed, short = key_of(name.text) in self.listed, len(tail) <= 3
            again = said > 1 and len(parts) > 1 and (short or listed or self._said_before(name))
            if again and (short or listed or text[name.end : name.end + 1] in (",", ":")):
                yield Opening(start, 0.0, name, self.worth(name, DIRECT), kind="title")

    def _ordered_titles(self) -> Iterator[Opening]:
        """ "First through the door, Second Class Stamp.": an order word, where it comes from, and a name to the end."""
        reader, text = self.reader, self.reader.talk.text
        if not reader.talk.punctuated or not has_capitals(text):
            return
        for start, end in reader.sentences:
            m = _ORDERED_TITLE.match(text, start, end + 1)
            if m is None or mode_at(self.extents, start) in NOTHING_HEARD:
                continue
            name = title_name(text, m.start(2), end, self.words)
            if name is None or len(name.text.split()) < 2 or reader.lower[name.end : end].strip(" .!"):
                continue
            if self._holds_more(start, name.start):
                continue
            if could_be(reader, name, self.mentions, self.words, said_so=False, firm=True):
                ordinal = m[1].lower()
                yield Opening(start, STRONG_ORDER, name, self.worth(name, DIRECT), ordinal=ordinal)

    def _small_heads(self) -> Iterator[Opening]:
        """ "Blind hem, two, one, one": a name at the head of a sentence, with the capital that begins it and no other.

        It is said elsewhere too, or it is all of a sentence behind one that numbers the drink ("Number two. Blind
        bake.").
        """
        reader, text = self.reader, self.reader.talk.text
        if not reader.talk.punctuated or not has_capitals(text):
            return
        before: tuple[str, ...] = ()
        for start, end in reader.sentences:
            m = _SMALL_HEAD.match(text, start)
            lead, before = before, reader.gap(start, end).words
            if m is None or mode_at(self.extents, m.start(1)) in NOTHING_HEARD:
                continue
            numbered = len(lead) <= 3 and any(w in _ORDINALS or w in _ORDER for w in lead)
            alone = m.end(1) >= end - 1 and numbered and self.poured(m.end(1), m.end(1) + 260) > 1
            name = Name(text[m.start(1) : m.end(1)], m.start(1), m.end(1), True, None)
            if (count_said(reader, name.text) < 2 and not alone) or not self._small_name(name):
                continue
            yield Opening(name.start, 0.0, name, SMALL, kind="seen")

    def _small_name(self, name: Name) -> bool:
        """Words that can be a name though all but the first are written small."""
        parts, words = plain(name.text).split(), self.words
        if parts[-1] in words.generic | words.stops | words.joiners or all(p in words.chatter for p in parts):
            return False
        talk = words.stops - words.joiners | words.chatter - words.joiners
        if parts[0] == "number" or any(w in _ORDINALS or w in _ORDER for w in parts):
            return False
        if set(parts) & talk or parts[0] in words.order_words | words.joiners | words.vague | words.titles:
            return False
        if self._holds_more(name.start, name.end) or poured_as(self.reader, name) or name.text.lower() in self.known:
            return False
        return could_be(self.reader, name, self.mentions, words, said_so=False, firm=True)

    def _name_is_told(self, start: int) -> bool:
        """ "The name, I forgot the name. Beeswax.": the sentence before says that a name follows."""
        before = self.reader.before(start, 3)
        if before[-2:-1] and before[-2] in ("his", "her", "their", "my", "your"):
            return False  # "he wanted that I say his name. So, Réjean."
        return before[-1:] == ("name",) or before[-2:] in (("call", "it"), ("is", "called"))

    def _labelled_heads(self) -> Iterator[Opening]:
        """ "Now, the queen.": what the speaker announced as a drink, in small letters, at the head of a sentence."""
        reader = self.reader
        for label in sorted({key_of(n.text) for ns in self.labels for n in ns}):
            for at in reader.said_at(label):
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

    def _kind_heads(self) -> Iterator[Opening]:
        """ "Right, the long one.", "okay, kids", "so, ballad": what the intro told the drinks apart by ("one hot, one
        long", "one for the kids", "a ballad and a march").

        Without a list in the intro "right, the long one" is as good; all of them open only where a drink is finished.
        """
        reader = self.reader
        kinds = announced_kinds(reader, self.words)
        for m in _KIND_HEAD.finditer(reader.lower):
            kind, after = m[2], reader.lower[m.end() : m.end() + 8]
            stops = re.match(r"\s*[.,:;?!]|\s+(?:is|this|it's|it|so|that|because|for|now|which|i|you|we)\b", after)
            listed = kind in kinds
            described = m[1] is not None and m[3] is not None and kind not in self.words.order_words
            if not stops or not (listed or (described and kind not in self.words.stops and kind not in _OTHERS)):
                continue
            if not self._at_head(m.start(2)) and reader.talk.punctuated:
                continue
            if mode_at(self.extents, m.start(2)) in NOTHING_HEARD or self.poured(0, m.start()) < 2:
                continue
            yield Opening(m.start(), WEAK_ORDER, kind="kind")

    def _this_one(self) -> Iterator[Opening]:
        """ "This one's up tempo", "this one is for my brother": opens where a drink is finished."""
        reader = self.reader
        for m in _THIS_ONE.finditer(reader.lower):
            begin, _ = reader.sentence(m.start())
            begin = max(begin, 1 + max(reader.lower.rfind(c, begin, m.start()) for c in ",;"))
            heads = set(reader.gap(begin, m.start()).words) <= self.words.head_words
            if heads and mode_at(self.extents, m.start()) not in NOTHING_HEARD:
                yield Opening(m.start(), WEAK_ORDER, kind="kind")

    def _listed_heads(self) -> Iterator[Opening]:
        """Without capitals: "okay so the kind uncle", which the intro has listed, at the head of a sentence."""
        reader = self.reader
        if has_capitals(reader.talk.text):
            return
        lists = [(ns[0].start - 4, ns[-1].end) for ns in self.lists]
        for key in sorted({n.text for ns in self.lists for n in ns}):
            for at in reader.said_at(key):
                begin, _ = reader.sentence(at)
                lead = reader.gap(begin, at).words
                heads = self.words.head_words | self.words.order_words | {"the"}
                if any(a <= at < b for a, b in lists) or lead[-1:] != ("the",) or not set(lead) <= heads:
                    continue
                name = Name(key, at, at + len(key), False, "the")
                yield Opening(begin, 0.0, name, self.worth(name, DIRECT), kind="label")

    def _capital_signs(self) -> Iterator[Opening]:
        """Any name of several capitals, wherever it stands: a weak sign, which opens only where a drink has just
        been finished."""
        reader, text = self.reader, self.reader.talk.text
        if not has_capitals(text):
            return
        lists = [(ns[0].start - 4, ns[-1].end) for ns in self.lists]
        at = 0
        while (m := _TOKEN.search(text, at)) is not None:
            at = m.end()
            low = plain(m.group())
            talk_word = low in self.words.stops or low in self.words.head_words or low in self.words.joiners
            if not m.group()[0].isupper() or (starts_sentence(text, m.start()) and talk_word):
                continue
            limit = min(len(text), m.start() + 90)
            name = title_name(text, m.start(), limit, self.words)
            if name is None or name.start < m.start():
                continue
            name = first_of_two(reader, name)
            at = max(at, name.end)
            begin, _ = reader.sentence(name.start)
            capitals = sum(w[0].isupper() for w in name.text.split())
            the = capitals == 1 and name.article is None and reader.before(name.start, 1) == ("the",)
            if (capitals < 2 and not the) or any(a <= name.start < b for a, b in lists):
                continue
            called = _IS_A_NAME.match(text.lower(), name.end) is not None
            if not called and not self._may_be_a_drink(name, begin):
                continue
            if called or _INVERTED.match(text.lower(), name.end):
                yield Opening(name.start, 0.0, name, self.worth(name, NAMED), kind="naming")
                continue
            if not the and self._has_model(name) and self.poured(name.end, name.end + 400) > 1:
                # "She takes the Cut Stem. You know the Clover Club?"
                yield Opening(name.start, 0.0, name, self.worth(name, NAMED), kind="naming")
                continue
            yield Opening(
                name.start, 0.0, name, self.worth(name, SEEN - CAPITALS - (0.0 if the else SEVERAL)), kind="seen"
            )

    def _may_be_a_drink(self, name: Name, begin: int) -> bool:
        """Not a place, a person, a maker or a model."""
        reader = self.reader
        lead = reader.lower[max(begin, name.start - 40) : name.start]
        comma = max(lead.rfind(c) for c in ",;:")
        words = reader.gap(name.start - len(lead) + comma + 1, name.start).words
        before = [w for w in words if w not in ("the", "a", "an", "our", "my", "this", "that")][-1:]
        places = self.words.places if words[-1:] != ("the",) else self.words.places - self.words.towards
        if (before and before[0] in places) or plain(name.text) in self.known or {"in", "into"} & set(words[-4:]):
            return False
        if self._is_a_thing(begin, name):
            return False
        after = reader.after(name.end, 1)[:1]
        goes_on = reader.lower[name.end : name.end + 1] == " "
        if after and (after[0] in self.words.speaks or (goes_on and after[0] not in self.words.stops)):
            return False  # "Maria Lopes asks", "Roy Boss syrup"
        if plain(name.text.split()[0]) in self.words.titles or mode_at(self.extents, name.start) in (
            *NOTHING_HEARD,
            "riff",
        ):
            return False
        if any(reader.has(x, begin, name.end + 60) for x in ("promises.business", "promises.gift", "turns.greeting")):
            return False
        return any(True for _ in names_at(reader, name.start, name.end + 1, self.mentions, self.words, said_so=False))

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
        return next(iter(self.reader.said_at(name.text)), name.start) < name.start - 100

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
            title = all(w[0].isupper() or w[0].isdigit() or w.lower() in words.joiners for w in n.text.split())
            if n.capitals and title and n.text.split()[-1].lower() not in words.joiners and n.start <= at + 8:
                return n
        return None


def _carried(reader: TalkReader, extents: Sequence[Extent], pours: Sequence[int]) -> list[int]:
    """Bare numbers behind an amount, which take its unit: the twenty of "forty-five mil of rum, twenty of lime
    juice"."""
    known, out = set(pours), []
    last: int | None = None
    for m in reader.talk.measures:
        if m.start in known:
            last = m.end
            continue
        near = m.kind == "number" and last is not None and m.start - last <= CARRIED_WITHIN
        # "Fifty white rum": of a thing not named before, so that nothing is told again.
        named = m.kind == "number" and m.thing is None and last is not None and any(
            x.group == "ingredient" and x.entry is not None and not reader.gap(m.end, x.start).comma
            and reader.gap(m.end, x.start).words in ((), ("of",)) and reader.said_at(x.heard)[:1] == (x.start,)
            for x in reader.mentions_in(m.end, m.end + 6)
        )  # fmt: skip
        if (near or named) and mode_at(extents, m.start) is None:
            out.append(m.start)
            last = m.end
    return out


def _numbered(said: str) -> str | None:
    """ "so the second one is" gives "the second one"; "number three" stays."""
    m = re.search(
        r"(?:the )?(?:first|second|third|fourth|fifth) (?!is|up|on)\w+|"
        r"\w+ (?:number )?(?:one|two|three|four|five|[1-5])\b",
        said,
    )
    return m.group() if m is not None else None


def _of_a_thing(before: Sequence[str], words: NameWords) -> bool:
    """ "A lad called Radek", "a tree called ..."."""
    articles = ("a", "an", "some", "my", "our", "his", "her", "this", "the")
    return len(before) == 2 and before[0] in articles and before[1] not in words.drinks
