"""Finds the things named, with the adjectives that belong to them, and names that no lexicon has.

Needs: `doc._.spoken`, `doc._.measures`, `doc._.cues`. Adds: `doc._.mentions` (tuple of record.talk.Mention).

Names are sought by extractor.names, which is told where the talk expects one: behind a measure, before one that follows
its name, after "add", "top with", "garnish with", "into a". What is found is then widened: "roasted" belongs to the
cumin
powder, "cacao nib" to the rye; and where a measure is followed by words that no lexicon has, those words are kept as
said.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from spacy.language import Language
from spacy.tokens import Doc

from extractor.lexicon import Entry, Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Cue, Guess, Mention
from extractor.talk.glasses import GlassWords, misheard_glasses
from extractor.talk.headed import before_amount, headed
from extractor.talk.lexicons import lexicon_for
from extractor.units import ABBREVIATED

if TYPE_CHECKING:
    from extractor.names import Candidate, Hearing, NameSpan, Slot

# How strongly a name is expected (0 to 1) at each place; see extractor.names for what is made of it.
AFTER_MEASURE_OF = 0.95
AFTER_MEASURE = 0.8
AFTER_NUMBER = 0.45
AFTER_NUMBER_OF = 0.6
BEFORE_MEASURE = 0.6
AFTER_CUE: Mapping[str, float] = {
    "places.top": 0.8,
    "places.float": 0.6,
    "places.rinse": 0.6,
    "places.muddle": 0.6,
    "places.garnish": 0.55,
    "places.pour": 0.5,
    "places.rim": 0.45,
    "modes.instead": 0.3,
}
AFTER_MAKE = 0.8
INTO_GLASS = 0.6
NAMED_GLASS = 0.9
# Words that point at something instead of naming it: no name begins with one.
INTRODUCED = ("that's", "called", "make", "made", "making", "have", "got")
"""Behind these a word that nobody knows begins a name: "and that's hajicha bourbon"."""
POINTING = frozenset(
    ["it", "that", "this", "them", "these", "those", "you", "us", "each", "which", "what", "everything"]
)
DOUBTFUL_FROM = 0.75
"""A name that is not sure counts only where one is expected at least so much."""
VOLUMES = ("fl_oz", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "dash", "drop")
POURED_ONLY = ("ml", "cl", "fl_oz", "dash")
"""What is solid is told in other measures."""
OF_WITHIN = 16
"""So many characters at most stand between an amount and a name: "of land"."""
SURE_ANYWHERE = 0.65
"""So sure a hearing counts wherever a name is expected at all."""
SURE_WORDS = 0.8
"""The same where nothing but words that everybody knows was heard."""
WHOLE_FROM = 0.8
WHOLE = 0.5
WHOLE_OVER_WORD = 0.2
"""So sure must the hearing of a whole phrase be to win over a name found in a part of it, or over one everyday word."""
SPELT_ALIKE = 86
"""From this likeness on (of 100) another name is only another spelling of the name."""
LIST_WITHIN = 60
"""Characters between two amounts of one list."""
GARBLED_FROM = 5
"""A bare number is an amount of what no lexicon has only from this on: millilitres, that is."""
LONGEST_NAME = 5
"""An unknown name is at most so many words."""
GUESS, GUESSES = 0.2, 3
"""So sure at least is what is offered for a name that no lexicon has, and at most so many are."""
AS_BEHIND_MEASURE = "an ounce of"
"""What stands beside an amount is heard as what stands behind this."""
LIKELY_UNKNOWN = 0.75
"""The same for what the search for names has left as it was heard."""
# A name that is not sure is still written as the likeliest from this confidence on, with a question; below, as heard.
LIKELY = 0.4

DETERMINERS = frozenset(
    ["the", "a", "an", "my", "our", "your", "some", "of", "that", "this", "these", "those", "his", "her"]
)

PARTS: Mapping[str, str] = {"rind": "peel", "whites": "white", "yolks": "yolk"}
""" "The rind of a lemon" is lemon peel, "the whites of two eggs" egg white."""
_MAKE = re.compile(r"\b(make|made|makes|prepare|prepared)\b")
_WORD = re.compile(r"\S+")
_INITIALS = re.compile(r"^[^\W\d_](?:\.[^\W\d_])*$")


@dataclass(frozen=True, slots=True)
class Token:
    """A word of the captions: `clean` is lower case without the punctuation around it."""

    start: int
    end: int
    clean: str
    closes: bool
    """Punctuation stands behind it."""


@dataclass(frozen=True)
class NameWords:
    drop: frozenset[str]
    keep: frozenset[str]
    stop: frozenset[str]
    heads: frozenset[str]
    of_liquids: frozenset[str]
    """Heads that make one name with a liquid too: "rum syrup"."""
    forms: frozenset[str]
    beside: frozenset[str]


def tokens_of(text: str) -> list[Token]:
    out = []
    for m in _WORD.finditer(text):
        raw = m.group()
        left = re.match(r"^[^\w&%¼½¾⅓⅔]+", raw)
        right = re.search(r"[^\w%'’]+$|(?<=\W)['’]+$", raw)
        start = m.start() + (left.end() if left and left.end() < len(raw) else 0)
        end = m.start() + (right.start() if right and right.start() > 0 else len(raw))
        if start >= end:
            start, end = m.start(), m.end()
        clean = text[start:end].lower().replace("’", "'")
        # "C.R. Medica cup": letters with full stops between go on too.
        initial = text[end : m.end()] == "." and _INITIALS.match(clean) is not None
        # "16 oz. of gin": the full stop is the unit's.
        unit = clean in ABBREVIATED and text[end : m.end()] == "." and text[m.end() + 1 : m.end() + 2].islower()
        out.append(Token(start, end, clean, end < m.end() and not initial and not unit))
    return out


def _covered(tokens: Sequence[Token], measures: Sequence[Measure]) -> list[Measure | None]:
    """The measure that each token lies in."""
    out: list[Measure | None] = [None] * len(tokens)
    k = 0
    for i, t in enumerate(tokens):
        while k < len(measures) and measures[k].end <= t.start:
            k += 1
        if k < len(measures) and measures[k].start < t.end:
            out[i] = measures[k]
    return out


def slots_of(
    tokens: Sequence[Token], measures: Sequence[Measure], cues: Sequence[Cue], covered: Sequence[Measure | None],
    words: NameWords, names_first: bool, doc_lower: str,
) -> list[tuple[int, int, float, str, str | None]]:  # fmt: skip
    """(first token, last token + 1, expectation, group, unit) of each place at which a name is expected, in order.

    names_first: the speaker says the name before its amount.
    """
    from bisect import bisect_left

    starts = [t.start for t in tokens]
    best: dict[int, tuple[int, float, str, str | None]] = {}

    def offer(first: int, expects: float, group: str, longest: int = 6, unit: str | None = None) -> None:
        end = first
        stops = first < len(tokens) and tokens[first].clean in words.stop
        # "Two ounces of all are also cherry": behind "of" even a small word may begin a garbled name.
        if stops and (expects < AFTER_MEASURE_OF or tokens[first].clean in POINTING):
            return
        while end < len(tokens) and end - first < longest:
            if covered[end] is not None or (end > first and tokens[end - 1].closes):
                break
            end += 1
        if end > first and expects > best.get(first, (0, 0.0, "", None))[1]:
            best[first] = (end, expects, group, unit)

    def skip(first: int) -> int:
        while (
            first < len(tokens)
            and tokens[first].clean in words.drop
            and covered[first] is None
            and not tokens[first].closes
        ):
            first += 1
        return first

    listed, list_unit = -LIST_WITHIN, None
    for m in measures:
        if not m.pours:
            continue
        # "Three quarters of lime, half of falernum": behind an amount by volume a bare number is one too.
        in_list = m.kind == "number" and m.start - listed < LIST_WITHIN
        if (m.kind == "amount" and m.unit in VOLUMES) or in_list:
            listed, list_unit = m.end, m.unit or list_unit
        unit = m.unit or (list_unit if in_list else None)
        after = bisect_left(starts, m.end)
        if after < len(tokens):
            of = tokens[after].clean == "of" or (after > 0 and tokens[after - 1].clean == "of")
            comma = after > 0 and tokens[after - 1].closes
            if not comma:
                loose = (m.kind == "number" and not in_list) or (m.kind == "vague" and m.unit is None)
                if loose:
                    expects = AFTER_NUMBER_OF if of else AFTER_NUMBER
                else:
                    expects = AFTER_MEASURE_OF if of else AFTER_NUMBER if names_first else AFTER_MEASURE
                offer(skip(after), expects, "ingredient", unit=unit)
        before = bisect_left(starts, m.start)
        if m.kind in ("amount", "number") and before > 0:
            first = before - 1
            while (
                first > 0
                and before - first < 5
                and covered[first - 1] is None
                and not tokens[first - 1].closes
                and tokens[first - 1].clean not in words.stop
            ):
                first -= 1
            first = skip(first)
            if first < before and covered[first] is None:
                expects = AFTER_MEASURE if names_first and m.kind == "amount" else BEFORE_MEASURE
                offer(first, expects, "ingredient", before - first, unit)
    for c in cues:
        expects = AFTER_CUE.get(c.label, 0.0)
        if c.label in ("homemade.own", "homemade.maker") and _MAKE.search(doc_lower[c.start : c.end]):
            expects = AFTER_MAKE
        if c.label == "places.goes in":
            # "Then the orgeat goes in": the name stands before.
            before = bisect_left(starts, c.start)
            if (
                before >= 2
                and tokens[before - 2].clean in ("the", "my", "your", "our")
                and not tokens[before - 1].closes
            ):
                offer(before - 1, AFTER_MAKE, "ingredient", 1)
        if expects:
            offer(skip(bisect_left(starts, c.end)), expects, "ingredient")
    for i, t in enumerate(tokens):
        if t.clean in ("into", "in") and i + 1 < len(tokens) and not t.closes:
            place = skip(i + 1)
            named = any(tokens[k].clean in ("glass", "glasses") for k in range(place, min(place + 5, len(tokens))))
            expects = NAMED_GLASS if named else INTO_GLASS if t.clean == "into" else INTO_GLASS / 2
            offer(place, expects, "glass", 5)
    return [(first, *rest) for first, rest in sorted(best.items())]


def says_names_first(
    tokens: Sequence[Token], measures: Sequence[Measure], exact: Sequence[NameSpan], names: NameWords
) -> tuple[bool, bool]:
    """Does this speaker say "vodka, forty mil" rather than "forty mil of vodka"? Counted where the names are sure.

    Twice: by amounts with a unit; and by all amounts that have a sure name on one side only, which tells it also where
    one list runs into the next thing without a comma ("white rum 40 so both 60 lime juice 20").
    """
    from bisect import bisect_left

    starts = [t.start for t in tokens]
    begins = {s.start for s in exact}
    ends = {s.end for s in exact}
    before = after = only_before = only_after = 0
    for m in measures:
        united = m.kind == "amount" and m.unit in VOLUMES
        if m.thing is not None or not (united or m.kind == "number"):
            continue
        first, behind = bisect_left(starts, m.start), bisect_left(starts, m.end)
        of = behind < len(tokens) and tokens[behind].clean == "of"
        while behind < len(tokens) and (tokens[behind].clean == "of" or tokens[behind].clean in names.drop):
            behind += 1
        follows = behind in begins and not tokens[behind - 1].closes
        if united and follows:
            after += 1
        elif united and first in ends:
            before += 1
        if first in ends and not follows and not of:
            only_before += 1
        elif of or (follows and first not in ends):
            only_after += 1
    first_by_units = before >= 3 and before > after
    return first_by_units, first_by_units or (only_before >= 2 and only_before > only_after)


class _Builder:
    """Builds the mentions of one talk from what extractor.names found."""

    def __init__(self, text: str, tokens: Sequence[Token], covered: Sequence[Measure | None], words: NameWords,
                 lexicon: Lexicon, is_word: Callable[[str], bool]) -> None:  # fmt: skip
        self.text = text
        self.tokens = tokens
        self.covered = covered
        self.words = words
        self.lexicon = lexicon
        self.is_word = is_word

    def said(self, first: int, end: int) -> str:
        return self.text[self.tokens[first].start : self.tokens[end - 1].end]

    def strange(self, first: int, end: int) -> bool:
        """A word in it is known to no dictionary: "lemon blorp syrup"."""
        return not all(self.is_word(plain(self.tokens[i].clean)) for i in range(first, end))

    def joined(self, i: int) -> bool:
        """Tokens i and i + 1 belong to one phrase: nothing stands between them."""
        return not self.tokens[i].closes and self.covered[i] is None and self.covered[i + 1] is None

    def mention(self, span: NameSpan, floor: int) -> Mention:
        """A span with its adjectives. `floor`: the first token that is free."""
        first, end = span.start, span.end
        name = span.name
        if span.how == "other name" and span.entry is not None:
            name = _said_otherwise(span.entry, self.said(first, end))
        elif span.how in ("sound", "spelling", "misheard") and span.entry is not None and span.group != "classic":
            name = _said_otherwise(span.entry, span.written)
        if not span.apply and span.confidence < LIKELY:
            name = self.said(first, end)
        before: list[str] = []
        at = first
        if span.group == "ingredient":
            while at > floor and self.joined(at - 1) and self.tokens[at - 1].clean in self.words.keep:
                at -= 1
                before.insert(0, self.tokens[at].clean)
        have = plain(name).split()
        extra = [w for w in before if w not in have]
        if extra:
            longer = self.lexicon.named(" ".join([*extra, name]))
            name = longer.name if longer is not None else " ".join([*extra, name])
        return Mention(
            start=self.tokens[at].start,
            end=self.tokens[end - 1].end,
            name=name,
            heard=self.said(at, end),
            group=span.group,
            entry=span.entry,
            how=span.how,
            confidence=span.confidence,
            apply=span.apply if span.how != "head" else not self.strange(first, end),
            guesses=tuple(Guess(c.name, c.lexicon_id, c.confidence) for c in span.candidates),
            core=(self.tokens[first].start, self.tokens[end - 1].end),
            written=span.written,
        )

    def heads_together(self, a: NameSpan, b: NameSpan) -> bool:
        """ "cacao nib" and "rye" are one name; "aperitivo" and "grapefruit juice" are two."""
        if a.end != b.start or not self.joined(a.end - 1) or a.group != "ingredient" or b.group != "ingredient":
            return False
        last = self.tokens[b.end - 1].clean
        if b.end - b.start != 1 or (last not in self.words.heads and last not in self.words.forms):
            return False
        if a.entry is None:
            return True
        if self.lexicon.is_a(a.entry, "ice"):
            return False
        if last in self.words.forms:
            return self.lexicon.state(a.entry) != "liquid"
        solid = self.lexicon.state(a.entry) != "liquid" or self.lexicon.is_a(a.entry, "tea")
        return solid or (b.entry is not None and self.lexicon.is_a(b.entry, "syrup")) or last in self.words.of_liquids

    def compound(self, first: int, end: int, parts: Sequence[NameSpan]) -> Mention:
        said = self.said(first, end)
        sure = min((p.confidence for p in parts), default=1.0)
        names = [p.name if p.apply and p.how in ("sound", "spelling", "misheard") else None for p in parts]
        spoken = " ".join(
            (n if n is not None else self.said(p.start, p.end)) for n, p in zip(names, parts, strict=True)
        )
        lead = self.said(first, parts[0].start) + " " if parts and first < parts[0].start else ""
        # "Great fruit cordial": a head that is no name by itself belongs to it.
        tail = " " + self.said(parts[-1].end, end) if parts and parts[-1].end < end else ""
        spoken = plain_case(lead + spoken + tail if parts else said)
        known = self.lexicon.named(spoken)
        return Mention(
            start=self.tokens[first].start,
            end=self.tokens[end - 1].end,
            name=_said_otherwise(known, spoken) if known else spoken,
            heard=said,
            group="ingredient",
            entry=known,
            how="exact" if known else "head",
            confidence=sure,
            apply=all(p.apply or p.how == "head" for p in parts)
            and (known is not None or not self.strange(first, end)),
            core=(self.tokens[first].start, self.tokens[end - 1].end),
        )


def _said_otherwise(entry: Entry, heard: str) -> str:
    """The spelling to publish of a name under which the lexicon lists it too.

    A short form ("maraschino") is published in full; another name of the thing ("walnut wine", "sugar syrup") as it was
    said, in the lexicon's spelling of that name.
    """
    said = set(plain(heard).split())
    own = set(plain(entry.name).split())
    if said <= own or own <= said or len(said) == 1 or said & {"on", "in", "with"}:
        return entry.name
    from rapidfuzz import fuzz

    if fuzz.ratio(plain(entry.name), plain(heard)) >= SPELT_ALIKE:
        return entry.name  # "Japanese whiskey" is only another spelling
    return next((o for o in entry.others if plain(o) == plain(heard)), plain_case(heard))


def plain_case(text: str) -> str:
    """Words as said, in lower case but for those that carry a capital inside a sentence."""
    return text if text[:1].islower() else text[:1].lower() + text[1:] if text[1:2].islower() else text


def build_mentions(
    text: str, tokens: Sequence[Token], measures: Sequence[Measure], spans: Sequence[NameSpan],
    covered: Sequence[Measure | None], words: NameWords, lexicon: Lexicon, expected: frozenset[int],
    is_word: Callable[[str], bool], names_first: bool, taken_back: frozenset[int],
) -> list[Mention]:  # fmt: skip
    """All mentions, in order, none overlapping. See the module's docstring for what is done.

    expected: the tokens at which a name is so much expected that a doubtful one is better than none. is_word: whether
    a plain word is known at all.
    """

    b = _Builder(text, tokens, covered, words, lexicon, is_word)
    starts = [t.start for t in tokens]
    out: list[Mention] = []
    things = {id(m): m for m in measures if m.thing is not None}
    free = 0
    k = 0
    introduced = {i for i, t in enumerate(tokens) if t.clean in INTRODUCED and not t.closes}
    ordered = sorted((x for s in spans for x in _at_commas(s, tokens, lexicon)), key=lambda s: s.start)
    usable: list[NameSpan] = []
    for s in ordered:
        inside = [covered[i] for i in range(s.start, s.end)]
        whole = all(m is not None and id(m) in things for m in inside)
        if any(m is not None for m in inside) and not whole:
            # "A big bouquet of mint": what stands behind the measure may be a name by itself.
            rest = next((i for i in range(s.start, s.end) if all(covered[k] is None for k in range(i, s.end))), s.end)
            while rest < s.end and (tokens[rest].clean in words.stop or tokens[rest].clean == "of"):
                rest += 1
            entry = lexicon.named(" ".join(t.clean for t in tokens[rest : s.end])) if rest < s.end else None
            if entry is None:
                continue
            s = replace(
                s, start=rest, entry=entry, name=entry.name, how="exact", heard=entry.name, apply=True, confidence=1.0
            )
        if whole:
            continue
        # "Dark or I'm".
        torn = s.torn or (s.start in expected and s.confidence >= SURE_WORDS and s.end - s.start > 2)
        if s.how not in ("exact", "other name") and not torn and all(
            _small(tokens[i].clean, words) for i in range(s.start, s.end)
        ):  # fmt: skip
            continue
        if s.how not in ("exact", "other name") and not (s.apply and s.how != "misheard") and s.start not in expected:
            continue
        usable.append(s)
    usable = [
        s for s in usable
        if not (
            s.group == "ingredient" and s.end < len(tokens) and not tokens[s.end - 1].closes
            and tokens[s.end].clean in words.beside and s.end not in {u.start for u in usable}
        )
    ]  # fmt: skip
    by_start = {s.start: s for s in usable}
    while k < len(usable):
        s = usable[k]
        parts = [s]
        while k + 1 < len(usable) and b.heads_together(parts[-1], usable[k + 1]):
            k += 1
            parts.append(usable[k])
        if len(parts) == 1:
            m = b.mention(s, free)
            # A bare head takes the unknown words before it: "smoked plum" of "smoked plum oleo".
            single = s.end - s.start == 1 and tokens[s.start].clean in words.heads and s.how != "head"
            lead = s.start
            if single and s.group == "ingredient":
                while (
                    lead > free
                    and s.start - lead < 3
                    and b.joined(lead - 1)
                    and tokens[lead - 1].clean not in words.stop
                    and tokens[lead - 1].clean not in words.drop
                    and tokens[lead - 1].clean not in words.keep
                    and (
                        _after_measure(tokens, covered, lead - 1, words)
                        or _determined(tokens, lead - 1)
                        or (
                            b.strange(lead - 1, lead)
                            and (lead - 2 in introduced or before_amount(tokens, covered, s.end - 1, text))
                        )
                    )
                ):
                    lead -= 1
            tail = s.end
            if (
                s.group == "ingredient" and tail < len(tokens) and tail not in by_start and b.joined(tail - 1)
                and tokens[tail].clean in words.heads and tokens[tail].clean not in words.stop
                and (
                    s.entry is None
                    or lexicon.state(s.entry) != "liquid"
                    or tokens[tail].clean in ("syrup", "concentrate")
                )
            ):  # fmt: skip
                tail += 1  # "coconut spirit": a head that is no name by itself
            if lead < s.start or tail > s.end:
                m = b.compound(lead, tail, [s])
                m = replace(m, name=plain_case(m.heard)) if tail > s.end and m.entry is None else m
        else:
            lead = parts[0].start
            while lead > free and b.joined(lead - 1) and tokens[lead - 1].clean in words.keep:
                lead -= 1
            m = b.compound(lead, parts[-1].end, parts)
        out.append(m)
        free = parts[-1].end
        k += 1
    for measure in measures:
        if measure.thing is not None and not _beside(text, measure.thing[1], words):
            out.append(_thing(text, measure, lexicon, ordered, tokens, words))
    out += headed(tokens, covered, out, words, text)
    out += _unknown(b, measures, out, starts, by_start, names_first, taken_back)
    out.sort(key=lambda m: m.start)
    return _without_overlap(out)


def _at_commas(span: NameSpan, tokens: Sequence[Token], lexicon: Lexicon) -> list[NameSpan]:
    """ "Not lemon, lime": names of their own with a comma between are no "lemon-lime soda"."""
    cuts = [i + 1 for i in range(span.start, span.end - 1) if tokens[i].closes]
    if not cuts or span.group != "ingredient":
        return [span]
    out = []
    for a, b in pairwise([span.start, *cuts, span.end]):
        entry = lexicon.named(" ".join(t.clean for t in tokens[a:b]))
        if entry is None:
            return [span]
        named = replace(span, start=a, end=b, entry=entry, name=entry.name, heard=entry.name)
        out.append(replace(named, how="exact", apply=True, confidence=1.0))
    return out


def _beside(text: str, end: int, words: NameWords) -> bool:
    """ "One egg cup" counts no egg."""
    behind = re.match(r"\s+([a-z]+)", text[end : end + 20].lower())
    return behind is not None and behind[1] in words.beside


def _determined(tokens: Sequence[Token], i: int) -> bool:
    """ "The piñon bourbon", "my cataia cachaça": a determiner stands at most one word before token i."""
    for j in (i - 1, i - 2):
        if j >= 0 and not tokens[j].closes and tokens[j].clean in ("the", "my", "our", "this"):
            return True
        if j < 0 or tokens[j].closes:
            return False
    return False


def _small(word: str, words: NameWords) -> bool:
    """A word too small and common to be a misheard name."""
    from extractor.talk.phrases import NUMBERS

    return word in words.stop or word in words.drop or word in words.keep or word in NUMBERS or len(word) < 3


def _after_measure(tokens: Sequence[Token], covered: Sequence[Measure | None], i: int, words: NameWords) -> bool:
    """A measure stands before token i, with nothing between but words that are no part of a name, or other name
    words."""
    for j in range(i - 1, max(-1, i - 6), -1):
        if covered[j] is not None:
            return True
        if tokens[j].closes or (tokens[j].clean in words.stop and tokens[j].clean != "of"):
            return False
    return False


def _thing(
    text: str, measure: Measure, lexicon: Lexicon, spans: Sequence[NameSpan], tokens: Sequence[Token], words: NameWords
) -> Mention:
    """The lime of "the juice of half a lime", as lime juice."""
    assert measure.thing is not None
    start, end = measure.thing
    # "A big mint sprig" is a sprig of mint.
    for word in re.finditer(r"\S+\s+", text[start:end]):
        if word.group().strip().lower() not in words.drop:
            break
        start = measure.thing[0] + word.end()
    heard = text[start:end]
    span = next((s for s in spans if tokens[s.start].start >= start and tokens[s.end - 1].end <= end), None)
    base = lexicon.named(heard)
    if base is None and span is None:
        # "Six scent leaves": of a thing that no lexicon has the counter is a part of the name.
        counted = re.match(r"\s+(leaves|leaf|sprigs?|slices?|pods?|seeds?|petals?|sticks?)\b", text[end:].lower())
        if counted is not None:
            end += counted.end()
            heard = text[start:end]
            base = lexicon.named(heard)
    name = base.name if base else span.name if span else heard.lower()
    entry: Entry | None = base or (span.entry if span else None)
    unit_part = measure.unit if measure.unit in ("peel", "wedge", "wheel", "slice", "cube", "leaf") else None
    if unit_part and not measure.thing_part and re.search(rf"{unit_part}|twist|zest", measure.said.lower()):
        longer = lexicon.named(f"{heard} {unit_part}") or lexicon.named(f"{name} {unit_part}")
        if longer is not None:
            name = _said_otherwise(longer, f"{heard} {unit_part}")
        elif unit_part not in ("cube", "leaf"):
            name = f"{name} {unit_part}"
        entry = longer or entry
    if measure.thing_part:
        part = PARTS.get(measure.thing_part, measure.thing_part)
        one = heard.lower().removesuffix("s")
        longer = lexicon.named(f"{name} {part}") or lexicon.named(f"{one} {part}")
        name = longer.name if longer else f"{name} {part}"
        entry = longer or entry
    return Mention(start, end, name, heard, "ingredient", entry, "exact" if entry else "unknown", core=(start, end))


def _unknown(
    b: _Builder, measures: Sequence[Measure], known: Sequence[Mention], starts: Sequence[int],
    by_start: Mapping[int, NameSpan], names_first: bool, taken_back: frozenset[int],
) -> list[Mention]:  # fmt: skip
    """Names behind a measure, or before one, that no lexicon has."""
    from bisect import bisect_left

    taken = sorted((m.start, m.end) for m in known)
    taken_starts = [t[0] for t in taken]
    out = _unknown_before(b, measures, taken, starts)
    if names_first:
        out += _garbled_before(b, measures, sorted(taken + [(m.start, m.end) for m in out]), starts, taken_back)
    for m in measures:
        if m.kind not in ("amount", "vague", "relation") or m.thing is not None:
            continue
        i = bisect_left(starts, m.end)
        of = (i < len(b.tokens) and b.tokens[i].clean == "of") or m.said.rstrip().lower().endswith(" of")
        if not of or (i > 0 and b.tokens[i - 1].closes):
            continue
        while i < len(b.tokens) and b.tokens[i].clean in b.words.drop and not b.tokens[i].closes:
            i += 1
        first = i
        while i < len(b.tokens) and i - first < LONGEST_NAME:
            t = b.tokens[i]
            at = bisect_left(taken_starts, t.start)
            overlaps = (at < len(taken) and taken[at][0] < t.end) or (at > 0 and taken[at - 1][1] > t.start)
            if overlaps or b.covered[i] is not None or t.clean in b.words.stop:
                break
            i += 1
            if t.closes:
                break
        met = i < len(b.tokens) and i - first < LONGEST_NAME and any(
            s <= b.tokens[i].start < e for s, e in taken[max(0, bisect_left(taken_starts, b.tokens[i].start) - 1) :][:2]
        )  # fmt: skip
        if i > first and not (met and not b.tokens[i - 1].closes):
            said = b.said(first, i)
            if any(c.isalpha() for c in said) and plain(said) not in _OF_NOTHING:
                out.append(
                    Mention(
                        b.tokens[first].start, b.tokens[i - 1].end, said.lower(), said, "ingredient", None, "unknown",
                            confidence=0.0, apply=False, core=(b.tokens[first].start, b.tokens[i - 1].end))
                )  # fmt: skip
    return out


# "Half as much of that" is of what was named before.
_OF_NOTHING = frozenset(("of", "the", "that", "this", "it", "them", "these", "those", "each", "both", "all"))


def _unknown_before(
    b: _Builder, measures: Sequence[Measure], taken: Sequence[tuple[int, int]], starts: Sequence[int]
) -> list[Mention]:
    """ "Ogogoro, forty-five mil.": a fragment of its own, of at most three words, then a comma and nothing but an
    amount."""
    from bisect import bisect_left

    out = []
    first_volume = min((m.start for m in measures if m.kind == "amount" and m.unit in VOLUMES), default=len(b.text))
    for m in measures:
        # "Lima, twenty.": a number where amounts with their units were told before.
        bare = m.kind == "number" and m.low is not None and (m.low >= GARBLED_FROM or m.low.denominator > 1)
        if not (m.kind == "amount" and m.unit in VOLUMES) and not (bare and m.start > first_volume):
            continue
        if m.thing is not None:
            continue
        after = bisect_left(starts, m.end)
        ends_here = after >= len(b.tokens) or (after > 0 and b.tokens[after - 1].closes)
        i = bisect_left(starts, m.start) - 1
        if i < 0 or not b.tokens[i].closes or not ends_here or b.text[b.tokens[i].end : b.tokens[i].end + 1] != ",":
            continue
        first = i
        while first > 0 and i - first < 3 and not b.tokens[first - 1].closes and b.covered[first - 1] is None:
            first -= 1
        while first <= i and (
            b.tokens[first].clean in b.words.drop or b.tokens[first].clean in ("and", "then", "now", "so")
        ):
            first += 1
        words = [b.tokens[k].clean for k in range(first, i + 1)]
        start, end = (b.tokens[first].start, b.tokens[i].end) if words else (0, 0)
        opens = first == 0 or b.tokens[first - 1].closes or b.tokens[first - 1].clean in ("and", "then", "now", "so")
        if not words or len(words) > 3 or not opens or any(w in b.words.stop for w in words):
            continue
        if all(w in b.words.keep for w in words):
            continue  # "mountain tea, cold, fifty mil"
        if any(s < end and start < e for s, e in taken) or b.covered[i] is not None:
            continue
        said = b.text[start:end]
        out.append(
            Mention(start, end, said.lower(), said, "ingredient", None, "unknown", 0.0, False, core=(start, end))
        )
    return out


def _garbled_before(
    b: _Builder,
    measures: Sequence[Measure],
    taken: Sequence[tuple[int, int]],
    starts: Sequence[int],
    taken_back: frozenset[int],
) -> list[Mention]:
    """ "Jim 35, pineapple juice 50, so both 60": of a speaker who says the name first, what stands before an amount is
    a name, though no lexicon has it.

    Only between two amounts, or behind an amount and "and" or "then", and only of one to three words that could be a
    name; so that its amount goes neither to the thing before nor to the one behind.
    """
    from bisect import bisect_left

    taken_starts = [t[0] for t in taken]
    out = []
    for m in measures:
        if m.thing is not None or not ((m.kind == "amount" and m.unit in VOLUMES) or m.kind == "number"):
            continue
        if m.low is None or (m.kind == "number" and m.low < GARBLED_FROM):
            continue
        after = bisect_left(starts, m.end)
        end = bisect_left(starts, m.start)
        if after < len(b.tokens) and b.tokens[after].clean == "of":
            continue
        first = end
        while first > 0 and end - first < 4 and b.covered[first - 1] is None:
            t = b.tokens[first - 1]
            at = bisect_left(taken_starts, t.start + 1) - 1
            if t.clean in b.words.stop or (at >= 0 and taken[at][1] > t.start) or (t.closes and first < end):
                break
            first -= 1
        before = first - 1
        while before >= 0 and b.tokens[before].clean in ("and", "then", "now", "so") and not b.tokens[before].closes:
            before -= 1
        last = b.covered[before] if before >= 0 else None
        listed = last is not None and last.pours
        while first < end and b.tokens[first].clean in b.words.drop:
            first += 1
        words = [b.tokens[k].clean for k in range(first, end)]
        if not listed or not words or len(words) > 3 or b.tokens[end - 1].closes:
            continue
        if any(b.tokens[k].start in taken_back for k in range(first, end)):
            continue  # "ten mil, know, fifteen mil"
        if all(w in b.words.keep or w in b.words.drop for w in words) or not any(len(w) > 2 for w in words):
            continue
        said = b.said(first, end)
        out.append(
            Mention(
                b.tokens[first].start, b.tokens[end - 1].end, said.lower(), said, "ingredient", None, "unknown", 0.0,
                False, core=(b.tokens[first].start, b.tokens[end - 1].end),
            )
        )  # fmt: skip
    return out


def _without_overlap(mentions: Sequence[Mention]) -> list[Mention]:
    out: list[Mention] = []
    for m in mentions:
        if out and m.start < out[-1].end:
            if m.end - m.start > out[-1].end - out[-1].start and m.how != "unknown":
                out[-1] = m
            continue
        out.append(m)
    return out


def _overreaches(span: NameSpan, exact: Sequence[NameSpan], words: Sequence[str], names: NameWords) -> bool:
    """A hearing that takes in a name which stands there, and only small words besides, or another head: "sugar
    while"."""
    if span.how not in ("sound", "spelling"):
        return False
    for e in exact:
        if e.start >= span.end:
            break
        if e.start < span.start or e.end > span.end or (e.start, e.end) == (span.start, span.end):
            continue
        rest = [*words[span.start : e.start], *words[e.end : span.end]]
        if e.start == span.start and all(w in names.stop or w in names.drop for w in rest):
            return True
        # "Honeybush honey": what ends in a name of its own is not another thing.
        if (
            e.end == span.end
            and words[e.end - 1] in names.heads
            and plain(span.name).split()[-1:] != [words[e.end - 1]]
        ):
            return True
    return False


def _new_compound(span: NameSpan, exact: Sequence[NameSpan], words: Sequence[str], names: NameWords) -> bool:
    """ "Lemon myrtle syrup", which no lexicon has: behind an amount it is more than the lemon that it begins with."""
    if span.how != "head" or span.end - span.start < 3:
        return False
    inside = {i for e in exact for i in range(e.start, e.end) if span.start <= e.start and e.end <= span.end}
    new = [words[i] for i in range(span.start, span.end - 1) if i not in inside]
    return bool(new) and not any(w in names.stop or w in names.drop or w in names.heads or not w for w in new)


_ARTICLES = frozenset(("a", "the", "one", "in", "into", "your", "this", "my", "some", "tall"))


def _exact_first(
    spans: Sequence[NameSpan], exact: Sequence[NameSpan], glasses: Mapping[str, Entry], words: Sequence[str],
    expected: frozenset[int], names: NameWords,
) -> list[NameSpan]:  # fmt: skip
    """A doubtful hearing never hides a name that stands there letter for letter. A "highball" behind "a" is the
    glass."""
    spans = [s for s in spans if not _overreaches(s, exact, words, names)]
    # What is not sure right before a head ("buchu" of "buchu gin") is a part of a name that no lexicon has.
    heads = {e.start for e in exact if e.end - e.start == 1 and words[e.start] in names.heads}
    whole = [s for s in exact if s.end - s.start > 1]
    out = [
        s for s in spans
        if s.apply or (s.start in expected and _new_compound(s, exact, words, names)) or (
            s.start in expected and s.confidence >= LIKELY and s.end not in heads
            and not any(s.start <= e.start and e.end <= s.end for e in whole)
        )
    ]  # fmt: skip
    out += [s for s in exact if not any(s.start < o.end and o.start < s.end for o in out)]
    # Unknown words right before a known name belong to it: "Declan's hot sauce".
    begins = {s.start for s in out}
    out += [
        s for s in spans
        if not s.apply and s.end not in begins and not any(s.start < o.end and o.start < s.end for o in out)
    ]  # fmt: skip
    out.sort(key=lambda s: s.start)
    for k, s in enumerate(out):
        glass = glasses.get(plain(s.heard))
        if s.group != "classic" or glass is None:
            continue
        before, behind = words[max(0, s.start - 1) : s.start], words[s.end : s.end + 1]
        if (before and before[0] in (*_ARTICLES, *_INTO)) or (behind and behind[0] in _FILLED):
            out[k] = replace(s, group="glass", name=glass.name, entry=glass)
    return out


# "Highball, ice.", "strained into highball": the glass, and no classic drink.
_INTO = ("in", "into", "tall", "chilled", "frosted", "cold", "empty")
_FILLED = ("ice", "glass", "full", "filled", "fresh", "crushed")


@Language.factory(
    "pourword_mentions",
    requires=["doc._.spoken", "doc._.measures", "doc._.cues"],
    assigns=["doc._.mentions"],
    default_config={"lexicon": "", "own": []},
)
def make_mentions(nlp: Language, name: str, lexicon: str, own: Sequence[str]) -> Mentions:
    return Mentions(lexicon_for(lexicon, own))


class Mentions:
    def __init__(self, lexicon: Lexicon) -> None:
        self.lexicon = lexicon
        sections = lexicon.phrases["names"]
        self.glasses = {plain(n): e for e in lexicon.glasses for n in (e.name, *e.others)}
        self.glass_words = GlassWords.of(lexicon.phrases["glasses"])
        self.words = NameWords(
            drop=frozenset(sections["drop before"]),
            keep=frozenset(sections["keep before"]),
            stop=frozenset(sections["stop"]),
            heads=frozenset(sections["heads"]),
            of_liquids=frozenset(sections["heads of liquids"]),
            forms=frozenset(sections["garnish forms"]),
            beside=frozenset(sections["things beside"]),
        )

    def _whole_phrases(
        self, found: Sequence[NameSpan], tokens: Sequence[Token], slots: Sequence[Slot],
        covered: Sequence[Measure | None], text: str, hearing: Hearing,
    ) -> list[NameSpan]:  # fmt: skip
        """Where a measure is followed by more words than the name that was found in them ("pickle" of "pickle rind",
        "fruit cordial" of "great fruit cordial"), the whole phrase is heard again; what it may be wins over the part.
        """
        from extractor.names import NameSpan as Span
        from extractor.names import read_name

        out = self._with_lead(found, tokens, slots, covered, text)
        for slot in slots:
            if slot.expects < WHOLE_FROM or slot.group != "ingredient":
                continue
            end = slot.start
            while (
                end < slot.end and end - slot.start < LONGEST_NAME and covered[end] is None
                and tokens[end].clean not in self.words.stop
            ):  # fmt: skip
                end += 1
                if tokens[end - 1].closes:
                    break
            inside = [s for s in out if s.start < end and slot.start < s.end]
            if end - slot.start < 2 or any((s.start, s.end) == (slot.start, end) for s in inside):
                continue
            if (
                not inside
                or any(s.start < slot.start or s.end > end for s in inside)
                or any(s.how == "head" for s in inside)
            ):
                continue
            said = {i for s in inside for i in range(s.start, s.end)}
            rest = [tokens[i].clean for i in range(slot.start, end) if i not in said]
            if not rest or all(_small(w, self.words) or w in self.words.heads or w in self.words.forms for w in rest):
                continue
            phrase = text[tokens[slot.start].start : tokens[end - 1].end]
            before = text[max(0, tokens[slot.start].start - 40) : tokens[slot.start].start]
            best = next(iter(read_name(phrase, before=before, lexicon=self.lexicon)), None)
            last = tokens[end - 1].clean
            if best is not None and last in self.words.heads and plain(best.name).split()[-1:] != [last]:
                continue  # "buchu gin" is a gin
            word = all(s.end - s.start == 1 for s in inside)
            if (
                best is None
                or best.confidence < (WHOLE_OVER_WORD if word else WHOLE)
                or best.entry is None
                or best.entry.id in {s.entry.id for s in inside if s.entry}
            ):
                continue
            candidates = tuple(read_name(phrase, before=before, lexicon=self.lexicon))
            out = [s for s in out if s not in inside]
            out.append(
                Span(
                    slot.start,
                    end,
                    best.entry,
                    "ingredient",
                    best.name,
                    phrase,
                    best.confidence,
                    "sound",
                    best.apply,
                    candidates,
                )
            )
        return sorted(out, key=lambda s: s.start)

    def _with_lead(
        self, found: Sequence[NameSpan], tokens: Sequence[Token], slots: Sequence[Slot],
        covered: Sequence[Measure | None], text: str,
    ) -> list[NameSpan]:  # fmt: skip
        """ "Great fruit cordial": a word of praise before a new compound may be a piece of its name."""
        from extractor.names import NameSpan as Span
        from extractor.names import read_name

        out = list(found)
        heard: dict[str, tuple[Candidate, ...]] = {}
        # Where the place tells most, first: the same words elsewhere are the same name.
        for slot in sorted(slots, key=lambda s: -s.expects):
            first = slot.start - 1
            if slot.group != "ingredient" or first < 0 or tokens[first].closes or covered[first] is not None:
                continue
            if tokens[first].clean not in self.words.drop or tokens[first].clean in DETERMINERS:
                continue
            span = next((s for s in out if s.start == slot.start and s.how == "head"), None)
            if span is None:
                continue
            phrase = text[tokens[first].start : tokens[span.end - 1].end]
            before = text[max(0, tokens[first].start - 40) : tokens[first].start]
            candidates = heard.get(plain(phrase)) or tuple(read_name(phrase, before=before, lexicon=self.lexicon))
            best = next(iter(candidates), None)
            if best is None or best.entry is None or best.confidence < WHOLE:
                continue
            heard[plain(phrase)] = candidates
            out[out.index(span)] = Span(
                first, span.end, best.entry, "ingredient", best.name, phrase, best.confidence, "sound", best.apply,
                candidates, best.written,
            )  # fmt: skip
        return out

    def __call__(self, doc: Doc) -> Doc:
        from extractor.names import Slot, find_names, load_hearing
        from extractor.names.exact import exact_spans
        from extractor.talk.again import hear_again
        from extractor.talk.composed import composed

        tokens = tokens_of(doc.text)
        covered = _covered(tokens, doc._.measures)
        hearing = load_hearing(self.lexicon)
        heard = [t.clean for t in tokens]
        names_first, names_mostly_first = says_names_first(
            tokens, doc._.measures, exact_spans(heard, hearing, ()), self.words
        )
        slots = [
            Slot(first, end, expects, group, unit)
            for first, end, expects, group, unit in slots_of(
                tokens, doc._.measures, doc._.cues, covered, self.words, names_first, doc.text.lower()
            )
        ]
        expected = frozenset(s.start for s in slots if s.expects >= DOUBTFUL_FROM)
        found = find_names(heard, slots, hearing)
        found = self._whole_phrases(found, tokens, slots, covered, doc.text, hearing)
        # "Fino cherry, two centilitres": what is likely for all the words before an amount is expected there.
        whole = {(s.start, s.end) for s in slots if s.expects >= BEFORE_MEASURE}
        expected |= {
            s.start for s in found
            if s.how == "sound" and s.confidence >= WHOLE
            and any(s.end == end and first <= s.start <= first + 1 for first, end in whole)
            and doc.text[tokens[s.end - 1].end : tokens[s.end - 1].end + 1] not in (".", "?", "!")
        }  # fmt: skip
        led = {s.start - 1 for s in slots}
        expected |= {s.start for s in found if s.how == "sound" and s.start in led and s.confidence >= WHOLE}
        expected |= {
            s.start for s in found
            if s.how == "sound" and heard[s.end - 1] not in self.words.stop and s.confidence >= (
                SURE_WORDS if all(hearing.is_word(plain(w)) for w in heard[s.start : s.end]) else SURE_ANYWHERE
            )
        }  # fmt: skip
        spans = _exact_first(found, exact_spans(heard, hearing, slots), self.glasses, heard, expected, self.words)
        glasses = misheard_glasses(tokens, spans, hearing, self.glass_words)
        # What only sounds like a glass counts where misheard_glasses finds a place for it.
        spans = [
            s for s in spans
            if not (s.group == "glass" and s.how == "sound")
            and not any(s.start < g.end and g.start < s.end for g in glasses)
        ]  # fmt: skip
        spans = sorted([*spans, *glasses], key=lambda s: s.start)
        expected |= {g.start for g in glasses}

        taken_back = frozenset(c.start for c in doc._.cues if c.label == "turns.correction")

        def build(spans: Sequence[NameSpan], expected: frozenset[int]) -> list[Mention]:
            return build_mentions(
                doc.text,
                tokens,
                doc._.measures,
                spans,
                covered,
                self.words,
                self.lexicon,
                expected,
                hearing.is_word,
                names_mostly_first,
                taken_back,
            )

        mentions = build(spans, expected)
        again = hear_again(tokens, covered, doc._.measures, mentions, self.words, self.lexicon, hearing, doc.text)
        if again:
            spans = [s for s in spans if not any(s.start < a.end and a.start < s.end for a in again)]
            mentions = build([*spans, *again], expected | {a.start for a in again})
        mentions = [self._doubted(m, doc._.measures, hearing) for m in mentions]
        doc._.mentions = tuple(
            self._with_guesses(composed(m, hearing), doc.text, doc._.measures, hearing) for m in mentions
        )
        return doc

    def _doubted(self, m: Mention, measures: Sequence[Measure], hearing: Hearing) -> Mention:
        """ "An ounce of go to keel": plain words that sound like what nobody pours are not put right unasked."""
        if m.how != "sound" or not m.apply or m.entry is None or self.lexicon.state(m.entry) == "liquid":
            return m
        poured = any(x.unit in POURED_ONLY and 0 <= m.start - x.end <= OF_WITHIN for x in measures)
        english = all(hearing.is_word(w) for w in plain(m.heard).split())
        return replace(m, apply=False) if poured and english else m

    def _with_guesses(self, m: Mention, text: str, measures: Sequence[Measure], hearing: Hearing) -> Mention:
        """What a name that no lexicon has may be, for the question about it.

        The name itself stays as it was heard, unless one is likely enough: that is written, and asked about all the
        same. What plain words say ("brown butter bourbon") may be meant as it stands.
        """
        from extractor.names import read_name

        if m.group != "ingredient" or m.entry is not None or m.guesses or (m.apply and m.how != "unknown"):
            return m
        beside = any(_beside_measure(x, m) for x in measures)
        before = AS_BEHIND_MEASURE if beside else text[max(0, m.start - 40) : m.start]
        said = plain(m.heard).split()
        lead = next((k for k, w in enumerate(said) if w not in self.words.keep), 0)
        found = read_name(" ".join(said[lead:]), before=before, lexicon=self.lexicon)
        likely = [Guess(c.name, c.lexicon_id, c.confidence) for c in found if c.confidence >= GUESS]
        m = replace(m, guesses=tuple(likely[:GUESSES]))
        best = found[0] if found and found[0].entry is not None else None
        if best is None or best.group != "ingredient" or best.confidence < LIKELY_UNKNOWN:
            return m
        if all(hearing.is_word(w) for w in said[lead:]):
            return m
        name = plain(best.name).split()
        if m.how == "head" and name[-1:] != said[-1:]:
            return m
        longer = [w for w in said[:lead] if w not in name]
        name_as_meant = " ".join([*longer, best.name])
        sure = best.confidence
        return replace(m, name=name_as_meant, entry=best.entry, how="sound", confidence=sure, apply=False)


def _beside_measure(measure: Measure, m: Mention) -> bool:
    """An amount stands right before or right behind a mention, or it is counted: "two cardamom pods"."""
    return (
        0 <= m.start - measure.end <= OF_WITHIN
        or 0 <= measure.start - m.end <= len(", ")
        or measure.start <= m.start < measure.end
    )
