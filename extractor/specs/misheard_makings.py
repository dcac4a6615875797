"""Makings of things whose name nobody knows, mostly since it was misheard: "The pistachio orja, real quick".

Such a making is known by what is done and by how much of what goes in; its name is what stands where a name is owed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from difflib import SequenceMatcher
from functools import lru_cache
from typing import Protocol

from extractor.lexicon import Lexicon, plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Linked
from extractor.specs.made_names import batch_words, makeable, word_list
from extractor.specs.modes import mode_at
from extractor.specs.same import MADE_HEADS, same_thing, words_of
from extractor.specs.stretches import (
    BY_UNIT,
    LEAST,
    POURED,
    SPOONS,
    Segment,
    Stretch,
    Weigher,
    full_name,
    is_water,
)

LEAST_PARTS = 2
LEAST_ALONE = 4.0
"""So much evidence a making has whose thing is not known by its name."""
AGAINST = -1.0
"""A segment that speaks so much for the drink ends it."""
IDLE_AT_MOST = -1.1
"""Longer talk between two pieces of evidence parts them."""
NAMED_WITHIN, KNOWN_WITHIN = 230, 420
"""How far before the making an unknown name may stand, and a known one."""
ANNOUNCED_WITHIN = 60
"""How far before its first part "I make a ..." may stand."""
REACHES_BACK, RESULT_BEHIND = 160, 30
PARTS_BEFORE, POURED_WITHIN = 80, 900
"""How far before the making a part of it may be named, and how far back the thing may have been poured."""
LONGEST_NAME, SHORTEST_WORD = 4, 3
POURED_BEHIND = 450
"""How soon behind a making the thing is poured by which it is named."""
THAT = ("that", "this", "it")
POINTS_BACK = (("that",), ("this",), ("the",), ("my",), ("our",), ("your",), ("said",))
OF_THIS_WITHIN = 70
"""How soon behind a making "fifty mil of this" is of what was made."""
HEADED_WITHIN = 90
"""How far before the first amount of a making the sentence may end that only names it."""
LEAST_SOUNDS, SHORT = 2, 6
ALIKE, SURELY_ALIKE = 0.72, 0.85
"""How alike two garbled spellings of one name are, at least."""

NO_NAME = ("water", "sweetener", "dairy", "salt", "sour juice", "spirit", "egg")
"""Kinds of parts that a made thing is not called by."""

_WORD = re.compile(r"[\w'’-]+")
_HEADED_NAME = re.compile(
    r"(?<![\w'])(?:the|my|our|this|some|a|an) ((?:[a-zà-ÿ'-]+ ){1,3}(?:syrup|cordial|shrub|brine|orgeat))(?![\w'])"
)
_BREAK = re.compile(r"[.?!,;:…]")


def misheard_makings(weigher: Weigher, segments: Sequence[Segment], found: Sequence[Stretch]) -> list[Stretch]:
    """Stretches in which something is made though no name that can be made stands before them."""
    out: list[Stretch] = []
    for start, end in _evident(weigher, segments, found):
        topic = _name_for(weigher, start, end, found)
        if topic is None:
            near = _by_its_sugar(weigher, start, end) or _poured_near(weigher, start, end, found)
            out += _nameless(weigher, start, end) if near is None else [Stretch(near, start, end)]
            continue
        result = any(start <= g.start < min(topic.start, end) for x in weigher.linked for g in x.groups)
        if not result and not any(s.score <= AGAINST for s in segments if topic.end <= s.start < start):
            start = max(topic.end, start - REACHES_BACK)  # "you get your lime juice, 200 mil", before the work begins
        begin = start if result else max(topic.end, start)
        if begin < end:
            out.append(Stretch(topic, begin, end))
    return out


def _evident(weigher: Weigher, segments: Sequence[Segment], found: Sequence[Stretch]) -> list[tuple[int, int]]:
    """Runs of segments that together tell of a making, whatever it is of."""
    out: list[tuple[int, int]] = []
    first: int | None = None
    end, total, idle = 0, 0.0, 0.0

    def close() -> None:
        nonlocal first
        plainly = first is not None and (
            _in_a_ratio(weigher, first, end) or weigher.told_as_syrup(first, end) is not None
        )
        least = LEAST if plainly else LEAST_ALONE
        if first is not None and (
            (total >= least and _told_as_made(weigher, first, end))
            or (total >= LEAST and _worked_and_poured(weigher, first, end))
        ):
            out.append((first, end))
        first = None

    for s in segments:
        taken = any(f.start < s.end and s.start < f.end for f in found)
        if taken or s.score <= AGAINST or (s.elsewhere and s.score <= 0):
            close()
        elif s.score > 0:
            if first is None:
                first, total, idle = s.start, 0.0, 0.0
            end, total, idle = s.end, total + s.score, 0.0
        elif first is not None:
            idle += s.score
            if idle < IDLE_AT_MOST:
                close()
    close()
    return out


def _worked_and_poured(weigher: Weigher, start: int, end: int) -> bool:
    """ "I infuse mezcal with dried chiles ... an ounce of the chile mezcal": poured by the name of what went in."""
    if mode_at(weigher.extents, start) is not None or weigher.told("homemade.work", start, end) == 0:
        return False
    inside = [x.mention for x in weigher.linked if start <= x.mention.start < end]
    named = _named_when_poured(weigher, start, end) if len(inside) >= LEAST_PARTS else None
    return named is not None and holds_a_part(named, inside, weigher.lexicon)


def _in_a_ratio(weigher: Weigher, start: int, end: int) -> bool:
    return any(start <= m.start < end and m.kind == "ratio" for m in weigher.measures)


def _told_as_made(weigher: Weigher, start: int, end: int) -> bool:
    """Something by the kitchen's measure goes in, and it is worked or left: a bowl of punch is only filled."""
    reader = weigher.reader
    if mode_at(weigher.extents, start) is not None:
        return False
    inside = [(x, g) for x in weigher.linked for g in x.groups if start <= g.start < end]
    if weigher.told_as_syrup(start, end) is not None:
        return True
    if _in_a_ratio(weigher, start, end):
        return sum(start <= x.mention.start < end for x in weigher.linked) >= LEAST_PARTS
    waters = sum(start <= x.mention.start < end and not x.groups and is_water(x.mention) for x in weigher.linked)
    if len({id(x) for x, _ in inside}) + waters < LEAST_PARTS or not any(g.value.unit in BY_UNIT for _, g in inside):
        return False
    if any(g.value.unit in ("dash", "bar_spoon") for _, g in inside):
        return False
    stands = any(start <= m.start < end and weigher.of_measure(m) > 0 for m in weigher.measures)
    announced = reader.has("homemade.names it first", max(0, start - ANNOUNCED_WITHIN), end)
    steeped = stands or reader.has("homemade.steep words", start, end)
    return steeped or weigher.told("homemade.work", start, end) >= (1 if announced else 2)


def _nameless(weigher: Weigher, start: int, end: int) -> list[Stretch]:
    """Something is made, and no name of it was heard: its parts are none of the drink's, and what it is is asked.

    What is warmed in a pan may as well be the drink: only sugar by weight or cup, in water, is surely none.
    """
    amounts = [g for x in weigher.linked for g in x.groups if start <= g.start < end]
    if not amounts or not _sweetened(weigher, start, end):
        return []
    first = min(amounts, key=lambda g: g.start)
    heard = weigher.reader.talk.text[first.start : first.end]
    topic = Mention(first.start, first.end, "unnamed syrup", heard, "ingredient", None, "unknown")
    return [Stretch(topic, start, end, nameless=True)]


def _sweetened(weigher: Weigher, start: int, end: int) -> bool:
    """Is sugar by weight or by the cup let down with water in a stretch, and nothing sour or strong poured?"""
    inside = [x for x in weigher.linked if start <= x.mention.start < end]
    sweet = any(
        weigher.sweet(x.mention) and any(g.value.unit in BY_UNIT for g in x.groups) for x in inside
    )  # fmt: skip
    sour = any(
        x.groups and x.mention.entry is not None and weigher.lexicon.is_a(x.mention.entry, "sour juice") for x in inside
    )  # fmt: skip
    return sweet and not sour and any(is_water(x.mention) for x in inside)


# ---- its name ------------------------------------------------------------------------------------------------------


def _name_for(weigher: Weigher, start: int, end: int, found: Sequence[Stretch]) -> Mention | None:
    """What stands where a name is owed, nearest before the making; else the last thing named that can be made."""
    amounts = [g for x in weigher.linked for g in x.groups if start <= g.start < end]
    first = min((g.start for g in amounts if g.value.unit is not None), default=start)
    low = max([start - NAMED_WITHIN, *(f.end for f in found if f.end <= start)])
    slots = _slots(weigher, low, first)
    if not slots:
        low = max([start - KNOWN_WITHIN, *(f.end for f in found if f.end <= start)])
        spans = _with_a_head(weigher, max(0, low), first)
        slots = [(True, *span) for span in spans if "not" not in weigher.reader.before(span[0], 2)]
    known = [
        t.mention for t in weigher.named
        if start - KNOWN_WITHIN < t.mention.start < start and id(t.mention) not in weigher.perhaps
        and t.mention.start >= max((f.end for f in found if f.end <= start), default=0)
        and not any(g.value.unit in POURED or g.value.unit is None for g in t.groups)
    ]  # fmt: skip
    strong = [s for s in slots if s[0]]
    when_poured = _named_when_poured(weigher, start, end)
    if when_poured is not None and not (strong and _poured_by_name(weigher, strong)):
        inside = [x.mention for x in weigher.linked if start <= x.mention.start < end]
        if not strong or holds_a_part(when_poured, inside, weigher.lexicon):
            return when_poured
    if known and not strong:
        return known[-1]
    if not strong:
        of_parts = _named_by_its_parts(weigher, start, end, found)
        if of_parts is not None:
            return of_parts
        slots = slots or _results(weigher, first, end + RESULT_BEHIND)
    if not slots:
        return None
    _, a, b = max(strong or slots)
    same = next((t.mention for t in weigher.topics if t.mention.start < b and a < t.mention.end), None)
    if same is not None and same.start <= a and same.end >= b:
        return full_name(same, end, weigher)
    heard = weigher.reader.talk.text[a:b]
    name = _with_what_it_is_of(weigher, _head_put_right(heard, weigher.lexicon), a)
    entry = weigher.lexicon.named(name)
    return Mention(a, b, name, heard, "ingredient", entry, "unknown" if entry is None else "sound")


def _named_by_its_parts(weigher: Weigher, start: int, end: int, found: Sequence[Stretch]) -> Mention | None:
    """The elderflower cordial, poured before, of which thirty heads of elderflower go in."""
    told = set(_WORD.findall(weigher.reader.lower[max(0, start - PARTS_BEFORE) : end]))
    made = {words_of(f.topic.name) for f in found}
    for t in reversed(weigher.named):
        words = plain(t.mention.name).split()
        far = not start - POURED_WITHIN < t.mention.start < start
        if far or id(t.mention) in weigher.perhaps or words_of(t.mention.name) in made:
            continue
        if any(len(w) > SHORTEST_WORD and w in told for w in words[:-1]):
            return t.mention
    return None


def _poured_near(weigher: Weigher, start: int, end: int, found: Sequence[Stretch]) -> Mention | None:
    """What is poured behind the making, else before it, under a name that tells of a part of it or that nobody knows:
    "so bo cordial, seventy-five mil"."""
    made = {words_of(f.topic.name) for f in found}
    inside = [x.mention for x in weigher.linked if start <= x.mention.start < end]
    parts = {w for m in inside for w in plain(m.heard).split() if len(w) > SHORTEST_WORD}
    batch = batch_words(weigher.lexicon)
    boiled = _sweetened(weigher, start, end)
    behind: list[Mention] = []
    before: list[Mention] = []
    for x in weigher.linked:
        m = x.mention
        words = plain(m.name).split()
        if not x.groups or len(words) < LEAST_PARTS or words_of(m.name) in made or id(m) in weigher.perhaps:
            continue
        if any(f.start <= m.start < f.end for f in found) or any(plain(m.name) == plain(p.name) for p in inside):
            continue
        of_it = bool(set(words[:-1]) & parts) and makeable(m, weigher.lexicon, batch)
        if not of_it and not (boiled and m.entry is None and words[-1] in batch):
            continue
        if end <= m.start < end + POURED_WITHIN:
            behind.append(m)
        elif start - POURED_WITHIN < m.start < start:
            before.insert(0, m)
    return next(iter([*behind, *before]), None)


def _by_its_sugar(weigher: Weigher, start: int, end: int) -> Mention | None:
    """A cup of honey and a cup of hot water, and nothing else, is honey syrup, whatever was heard for its name."""
    sweet = weigher.told_as_syrup(start, end)
    parts = {words_of(x.mention.name) for x in weigher.linked for g in x.groups if start <= g.start < end}
    if sweet is None or len(parts) > LEAST_PARTS:
        return None
    entry = weigher.lexicon.named(f"{plain(sweet.name)} syrup")
    return (
        None
        if entry is None
        else replace(sweet, name=entry.name, heard=entry.name, entry=entry, how="other name", core=None)
    )


def _named_when_poured(weigher: Weigher, start: int, end: int, besides: Sequence[Mention] = ()) -> Mention | None:
    """What was made gets its name where it is poured: "... two ounces of that cream cheese gin"; "an ounce of that"."""
    inside = [*(x.mention for x in weigher.linked if start <= x.mention.start < end), *besides]
    steeped = _steeped_part(inside, weigher.lexicon)
    for x in weigher.linked:
        m = x.mention
        if not end <= m.start < end + POURED_BEHIND or not _is_pour(x):
            continue
        if holds_a_part(m, inside, weigher.lexicon):
            return m
        if m.how == "pronoun" and m.start - end < OF_THIS_WITHIN and weigher.reader.lower[m.start : m.end] in THAT:
            body = next((p for p in reversed(inside) if _may_be_steeped_in(p, weigher.lexicon)), None)
            if steeped is None or body is None or besides:
                return None
            head = plain(body.name).split()[-1] if "and" not in plain(body.name) else body.name
            return replace(m, name=f"{_as_said(steeped)} {head}", entry=None, how="unknown")
        pointed = weigher.reader.before(m.start, 1) in POINTS_BACK
        stands = pointed and steeped is not None and _may_be_steeped_in(m, weigher.lexicon)
        if stands and steeped is not None and any(same_thing(m, p) for p in inside):
            # "Two cups of gin ... an ounce and a half of that gin."
            name = f"{_as_said(steeped)} {plain(m.name)}"
            return replace(m, name=name, heard=name, entry=None, how="unknown")
        if pointed and m.entry is None and plain(m.name) in bare_heads(weigher.lexicon):
            return replace(m, name=plain(m.name), how="head")
    return None


def _poured_by_name(weigher: Weigher, slots: Sequence[tuple[bool, int, int]]) -> bool:
    """Is anything that stands where a name is owed poured under that name?"""
    names = {words_of(weigher.reader.lower[a:b]) for _, a, b in slots}
    said = (x.mention for x in weigher.linked if x.groups and _is_pour(x))
    return any(words_of(m.name) in names or words_of(m.heard) in names for m in said)


def named_when_poured(weigher: Weigher, stretch: Stretch) -> Stretch:
    """A making whose topic was only near it takes the name under which it is poured.

    "He used simple syrup, which I've improved on: a cup of sorghum ... three quarters of my sorghum syrup"; "brown
    butter, melted, into a bottle of rum ... two ounces of that brown butter rum".
    """
    own = words_of(stretch.topic.name)
    if any(
        words_of(x.mention.name) == own and (x.groups or x.mention.start >= stretch.end)
        for x in weigher.linked if not stretch.start <= x.mention.start < stretch.end
    ):  # fmt: skip
        return stretch
    parts = [x.mention for x in weigher.linked if stretch.start <= x.mention.start < stretch.end]
    if holds_a_part(stretch.topic, parts, weigher.lexicon):
        return stretch  # it has the name of its parts
    named = _named_when_poured(weigher, stretch.start, stretch.end, [stretch.topic])
    if named is None or named.how == "pronoun" or words_of(named.name) == own:
        return stretch
    part = own < words_of(named.name)
    if not part and not holds_a_part(named, parts, weigher.lexicon) and named.how != "unknown":
        return stretch
    return Stretch(named, stretch.topic.start if part else stretch.start, stretch.end)


def _is_pour(item: Linked) -> bool:
    return any(g.value.unit in (*POURED, *SPOONS, "part", "cup", None) for g in item.groups)


def bare_heads(lexicon: Lexicon) -> frozenset[str]:
    """Words that name a made thing by themselves: "the syrup", "the base"."""
    return word_list(lexicon, "named barely") | word_list(lexicon, "named barely where poured")


def holds_a_part(poured: Mention, parts: Sequence[Mention], lexicon: Lexicon) -> bool:
    """ "Cream cheese gin", of cream cheese and gin; "peach syrup", of peaches and sugar."""
    words = plain(poured.name).split()
    if len(words) < LEAST_PARTS or (poured.entry is not None and not makeable(poured, lexicon, batch_words(lexicon))):
        return False
    told = frozenset().union(*(words_of(p.name) | words_of(p.heard) for p in parts))
    if any(words_of(p.heard) == words_of(poured.heard) for p in parts):
        return False
    own = words_of(" ".join(words[:-1]))
    return bool(own & told) and (words[-1] in batch_words(lexicon) or words_of(words[-1]) <= told)


def _steeped_part(parts: Sequence[Mention], lexicon: Lexicon) -> Mention | None:
    """The first part that a made thing may be called by."""
    for p in parts:
        base = lexicon.is_any(p.entry, NO_NAME)
        if not base and p.how in ("exact", "other name", "head") and p.entry is not None:
            return p
    return None


def _as_said(part: Mention) -> str:
    """ "Spruce tips" as the first words of another name: "spruce tip"."""
    first, last = part.heard[: -len(part.heard.split()[-1])], part.heard.split()[-1]
    for many, one in (("leaves", "leaf"), ("ies", "y"), ("oes", "o"), ("ss", "ss"), ("us", "us"), ("s", "")):
        if last.lower().endswith(many) and len(last) > SHORTEST_WORD:
            return first + last[: -len(many)] + one
    return part.heard


def _may_be_steeped_in(m: Mention, lexicon: Lexicon) -> bool:
    """A spirit, milk or cream: what takes the name of the thing that stands in it."""
    return lexicon.is_any(m.entry, ("spirit", "dairy"))


def _results(weigher: Weigher, low: int, high: int) -> list[tuple[bool, int, int]]:
    """ "And then you strain it and you've got boo shoe gin." """
    out: list[tuple[bool, int, int]] = []
    for c in weigher.reader.cues_in("homemade.result", low, high):
        span = _name_after(weigher, c.end)
        ends = span is not None and re.match(r"[.,;!?]| is(?!\w)", weigher.reader.lower[span[1] : span[1] + 4])
        if span is not None and ends and _may_be_a_name(weigher, *span):
            out.append((False, *span))
    return out


def _with_what_it_is_of(weigher: Weigher, head: str, offset: int) -> str:
    """ "For the syrup you take ...": the syrup poured before under a name that nobody knows, "one part of said Ron
    syrup"."""
    if plain(head) not in MADE_HEADS:
        return head
    ends = word_list(weigher.lexicon, "ends a name")
    pattern = re.compile(r"(?<![\w'])((?:[\w'’-]+ ){1,4})" + re.escape(plain(head)) + r"(?![\w'])")
    for m in reversed(list(pattern.finditer(weigher.reader.lower, 0, offset))):
        words = m[1].split()
        last = max((k for k, w in enumerate(words) if w in ends or w[0].isdigit()), default=-1)
        if words[last + 1 :]:
            begin = m.end() - len(" ".join([*words[last + 1 :], plain(head)]))
            return weigher.reader.talk.text[begin : m.end()]
    return head


def _slots(weigher: Weigher, low: int, high: int) -> list[tuple[bool, int, int]]:
    """Where names of made things are owed, each with whether it is sure that one is."""
    reader = weigher.reader
    heads = {c.start for c in reader.talk.clauses}
    out: list[tuple[bool, int, int]] = []
    for label, sure in (("homemade.names it first", True), ("homemade.may name it first", False)):
        for c in reader.cues_in(label, low, high):
            span = _name_after(weigher, c.end)
            if span is not None and (sure or c.start in heads):
                out.append((sure, *span))
    for c in reader.cues_in("homemade.told of it", low, high):
        span = _name_before(weigher, c.start)
        if span is not None:
            out.append((True, *span))
    out += [(True, *span) for span in _headings(weigher, low, high)]
    out += [(True, *span) for span in _with_a_head(weigher, max(low, 0), high)]
    return [s for s in out if low <= s[1] and s[2] <= high and _may_be_a_name(weigher, s[1], s[2])]


def _with_a_head(weigher: Weigher, low: int, high: int) -> list[tuple[int, int]]:
    """ "My choke Jerry syrup", "and the pond on syrup": whatever it is of, a syrup is made."""
    ends = word_list(weigher.lexicon, "ends a name")
    out: list[tuple[int, int]] = []
    for m in _HEADED_NAME.finditer(weigher.reader.lower, low, high):
        if m[1].split()[0] not in ends:  # within a garbled name anything may stand: "pond on syrup"
            out.append(m.span(1))
    return out


def _name_after(weigher: Weigher, offset: int) -> tuple[int, int] | None:
    """The words behind an announcement, up to the first that is no part of a name."""
    text, ends = weigher.reader.lower, word_list(weigher.lexicon, "ends a name")
    span: tuple[int, int] | None = None
    at = offset
    for k, m in enumerate(_WORD.finditer(text, offset, offset + 60)):
        if _BREAK.search(text[at : m.start()]) or m[0] in ends or k >= LONGEST_NAME or m[0][0].isdigit():
            break
        span = (span[0] if span else m.start(), m.end())
        at = m.end()
    return span


def _name_before(weigher: Weigher, offset: int) -> tuple[int, int] | None:
    """The words right before what is told of the thing, back to the article."""
    text, ends = weigher.reader.lower, word_list(weigher.lexicon, "ends a name")
    words = list(_WORD.finditer(text, max(0, offset - 60), offset))
    span: tuple[int, int] | None = None
    at = offset
    for k, m in enumerate(reversed(words)):
        gap = text[m.end() : at]
        if _BREAK.search(gap) and (span is not None or not set(gap.strip()) <= {",", "."}):
            break
        if m[0] in ends or k >= LONGEST_NAME or m[0][0].isdigit():
            break
        span = (m.start(), span[1] if span else m.end())
        at = m.start()
    return span


def _headings(weigher: Weigher, low: int, high: int) -> list[tuple[int, int]]:
    """ "So pepita or jot." A sentence that only names something, right before amounts."""
    reader = weigher.reader
    out: list[tuple[int, int]] = []
    leads = word_list(weigher.lexicon, "leads to a name")
    for a, b in reader.sentences:
        if a < low or b > high:
            continue
        words = list(_WORD.finditer(reader.lower, a, b))
        while words and words[0][0] in leads:
            words.pop(0)
        while words and words[-1][0] in ("then", "now", "first", "next"):
            words.pop()
        if not 1 <= len(words) <= LONGEST_NAME or any(m[0][0].isdigit() for m in words):
            continue
        if {m[0] for m in words} & (word_list(weigher.lexicon, "ends a name") - {"or"}):
            continue
        if high - words[-1].end() > HEADED_WITHIN:
            continue  # right before amounts
        out.append((words[0].start(), words[-1].end()))
    return out


def _may_be_a_name(weigher: Weigher, start: int, end: int) -> bool:
    """A name has a word of some length, holds no amount and is no glass, spirit or plain base by itself."""
    reader = weigher.reader
    heard = reader.lower[start:end]
    words = heard.split()
    if not any(len(w) > SHORTEST_WORD for w in words) or plain(heard).removeprefix("the ") in weigher.drinks:
        return False
    if any(start < m.end and m.start < end for m in reader.talk.measures):
        return False
    if "not" in reader.before(start, 2):
        return False  # "not the pancake syrup from the store"
    if any(m.group in ("glass", "classic") and start < m.end and m.start < end for m in reader.talk.mentions):
        return False
    entry = weigher.lexicon.named(plain(heard))
    if entry is None or any(t.mention.start == start for t in weigher.topics):
        return True
    mention = Mention(start, end, entry.name, heard, "ingredient", entry, "exact")
    return makeable(mention, weigher.lexicon, batch_words(weigher.lexicon))


@lru_cache(maxsize=8)
def _misheard(lines: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    pairs = [tuple(part.strip() for part in line.split("=")) for line in lines]
    return tuple((a, b) for a, b in sorted(pairs, key=lambda p: -len(p[0])))


def _head_put_right(heard: str, lexicon: Lexicon) -> str:
    """ "Pepita or jot" is an orgeat: the last word of what is made at home is one of few."""
    name = plain(heard)
    for wrong, right in _misheard(tuple(lexicon.phrases["making"]["head misheard"])):
        if name.endswith(" " + wrong):
            return heard[: len(name) - len(wrong)].rstrip() + " " + right
    return heard


class Made(Protocol):
    """A making as far as its name goes: text[start:end] is about `topic`."""

    topic: Mention
    start: int
    end: int


def named_by_parts(topic: Mention, parts: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> Mention:
    """ "The pick con bourbon ... a cup of pecans": a garbled name put right by what goes in."""
    words = plain(topic.name).split()
    alone = word_list(lexicon, "named alone")
    if topic.entry is None and len(words) == 1 and words[0] in bare_heads(lexicon) - alone:
        return _by_its_best_part(topic, parts, lexicon)
    if topic.entry is not None or len(words) < LEAST_PARTS:
        return topic
    known = [p for p in parts if p.entry is not None and p.how in ("exact", "other name")]
    before = [w for w in reader.before(topic.start, 2) if w.isalpha()]
    stems = [" ".join([*before[len(before) - k :], *words[:-1]]) for k in range(len(before) + 1)]
    for p in known:
        for w in plain(p.heard).split():
            plural = w.endswith("s") and not w.endswith(("us", "ss", "is")) and len(w) > SHORTEST_WORD + 1
            right = re.sub(r"ie$", "y", w[:-1]) if plural else w
            if len(right) <= SHORTEST_WORD or right in words or w in words:
                continue
            if any(
                len(_skeleton(stem)) >= LEAST_SOUNDS and stem[0] == right[0]
                and SequenceMatcher(None, _skeleton(stem), _skeleton(right), autojunk=False).ratio() >= SURELY_ALIKE
                for stem in stems
            ):  # fmt: skip
                return replace(topic, name=f"{right} {words[-1]}")
    return topic


def _by_its_best_part(topic: Mention, parts: Sequence[Mention], lexicon: Lexicon) -> Mention:
    """ "The syrup: sugar, water, three sprigs of rosemary" is a rosemary syrup; its first part that is no base."""
    for p in parts:
        base = p.entry is None or lexicon.is_any(p.entry, NO_NAME)
        if not base and p.entry is not None:
            return replace(topic, name=f"{plain(p.entry.name).split(' leaves')[0]} {topic.name}")
    return topic


# ---- the drink's word for it ---------------------------------------------------------------------------------------


def sounds_like(a: str, b: str) -> bool:
    """Are two garbled spellings of one name? By their consonants, as far as spelling tells."""
    left, right = plain(a).split(), plain(b).split()
    if len(left) > 1 and len(right) > 1 and left[-1] == right[-1]:
        a, b = " ".join(left[:-1]), " ".join(right[:-1])  # "blanco tequila" is no "cacao tequila"
        if len(a) < SHORT and len(b) < SHORT:  # "line cordial", "lime cordial"
            return SequenceMatcher(None, a, b, autojunk=False).ratio() >= ALIKE
    x, y = _skeleton(a), _skeleton(b)
    if min(len(x), len(y)) < LEAST_SOUNDS:
        return False
    return SequenceMatcher(None, x, y, autojunk=False).ratio() >= ALIKE


_FOLDED = (
    ("ph", "f"), ("gh", "g"), ("ck", "k"), ("qu", "kw"), ("x", "ks"), ("c", "k"), ("q", "k"), ("z", "s"), ("j", "g"),
    ("d", "t"), ("b", "p"), ("v", "f"),
)  # fmt: skip


@lru_cache(maxsize=4096)
def _skeleton(name: str) -> str:
    s = plain(name).replace(" ", "")
    for a, b in _FOLDED:
        s = s.replace(a, b)
    s = s[:1] + re.sub(r"[aeiouyhw]", "", s[1:])
    return re.sub(r"(.)\1+", r"\1", s)


def as_made(linked: Sequence[Linked], topics: Sequence[Made], reader: TalkReader, lexicon: Lexicon) -> list[Linked]:
    """The drink's word for a thing made elsewhere in the talk: "three quarters of pistachio or jot".

    Both spellings may be garbled, each in its own way. Where the drink's is a name by itself it holds for both; where
    it is only a piece of one, or none, the making's.
    """
    poured = {
        words_of(x.mention.name) for x in linked
        if x.groups and not any(t.start <= x.mention.start < t.end for t in topics)
    }  # fmt: skip
    unsure = [t for t in topics if t.topic.entry is None or plain(t.topic.name) != plain(t.topic.heard)]
    unsure = [t for t in unsure if words_of(t.topic.name) not in poured]
    if not topics:
        return list(linked)
    kin = {id(t): _only_one_of_its_kind(t, linked, topics) for t in unsure}
    out: list[Linked] = []
    for x in linked:
        m = x.mention
        apart = x.groups and not any(t.start <= m.start < t.end for t in topics)
        named_here = next((t for t in topics if t.topic.start == m.start and t.end <= m.start), None)
        if apart and named_here is not None and words_of(named_here.topic.name) != words_of(m.name):
            # "An ounce and a half of that gin": where it got its name.
            said = reader.talk.text[m.start : m.end]
            out.append(Linked(replace(named_here.topic, heard=said, core=m.core), x.groups))
            continue
        hit = next((t for t in unsure if kin[id(t)] is x or _means(m, t.topic, reader)), None) if apart else None
        if hit is None and apart and m.how == "pronoun":
            hit = next((t for t in topics if 0 <= m.start - t.end < OF_THIS_WITHIN), None)
            if hit is not None and words_of(m.name) != words_of(hit.topic.name):
                out.append(Linked(replace(hit.topic, start=m.start, end=m.end, core=m.core), x.groups))
                continue
            hit = None
        if hit is None:
            out.append(x)
            continue
        begin, end = _span_said(m, hit.topic, reader)
        # "The batter": a word of such things, or said so in both places.
        word = hit.topic.how == "head" and len(words_of(hit.topic.name)) == 1
        plainly = word or plain(m.heard) == plain(hit.topic.heard)
        # A making put right by its parts is known better than what its garbled name sounds like in the drink.
        guessed = m.how == "sound" and not m.apply
        put_right = (m.entry is None or guessed) and plain(hit.topic.name) != plain(hit.topic.heard)
        # What is only bought was not made: "duka num" is no Dubonnet where two cups of rum went into it.
        bought = m.entry is not None and not makeable(m, lexicon, batch_words(lexicon))
        put_right = put_right or (bought and hit.topic.how == "unknown")
        # "Rubo syrup" in both places, and in the drink, beside its amount, it was understood.
        understood = m.entry is not None and hit.topic.entry is None and hit.topic.how == "unknown" and not bought
        understood = understood and not (guessed and put_right)
        if (begin, end) == (m.start, m.end) and m.how != "unknown" and (understood or not (plainly or put_right)):
            hit.topic = replace(hit.topic, name=m.name, entry=m.entry, how=m.how)
            out.append(x)
            continue
        heard = reader.talk.text[begin:end]
        told = hit.topic
        if not plainly and not put_right and told.entry is None and len(heard.split()) > len(told.heard.split()):
            hit.topic = replace(hit.topic, name=heard)  # "con bourbon" of "pick con bourbon"
        how = hit.topic.how if plainly or hit.topic.entry is not None else "unknown"
        out.append(Linked(replace(hit.topic, start=begin, end=end, heard=heard, how=how, core=None), x.groups))
    return out


def _only_one_of_its_kind(made: Made, linked: Sequence[Linked], topics: Sequence[Made]) -> Linked | None:
    """The one gin poured that no lexicon has, where a gin was made that no lexicon has."""
    if made.topic.entry is not None:
        return None
    head = plain(made.topic.name).split()[-1:]
    if sum(plain(t.topic.name).split()[-1:] == head for t in topics) > 1:
        return None
    same = [
        x for x in linked
        if x.groups and x.mention.entry is None and len(plain(x.mention.name).split()) > 1
        and plain(x.mention.name).split()[-1:] == head
        and not any(t.start <= x.mention.start < t.end or t.topic.start == x.mention.start for t in topics)
    ]  # fmt: skip
    return same[0] if len({plain(x.mention.name) for x in same}) == 1 else None


def _span_said(m: Mention, topic: Mention, reader: TalkReader) -> tuple[int, int]:
    """Where the garbled name stands of which a piece was known: "pistachio" of "pistachio or jot"."""
    sought = _skeleton(topic.heard)
    text = reader.lower
    starts, ends = [m.start], [m.end]
    for w in reversed(list(_WORD.finditer(text, max(0, m.start - 24), m.start))[-2:]):
        if text[w.end() : starts[-1]] != " " or (w.start() and text[w.start() - 1].isalnum()):
            break
        starts.append(w.start())
    for w in list(_WORD.finditer(text, m.end, m.end + 30))[:3]:
        if text[ends[-1] : w.start()] != " ":
            break
        ends.append(w.end())

    def alike(a: int, b: int) -> float:
        return SequenceMatcher(None, sought, _skeleton(text[a:b]), autojunk=False).ratio()

    amounts = [(g.start, g.end) for g in reader.talk.measures]
    spans = [
        (a, b) for a in starts for b in ends
        if (b == m.end or not any(m.end <= s < b for s, _ in amounts))
        and (a == m.start or not any(a < e <= m.start for _, e in amounts))
    ]  # fmt: skip
    best = max(spans, key=lambda s: (alike(*s), s[0] - s[1]))
    return best if alike(*best) > max(alike(m.start, m.end), ALIKE) else (m.start, m.end)


def _means(m: Mention, topic: Mention, reader: TalkReader) -> bool:
    if m.start == topic.start or words_of(m.name) == words_of(topic.name):
        return False
    if not _near(m.heard, topic.heard):
        return False
    wider = _span_said(m, topic, reader) != (m.start, m.end)
    if m.entry is not None and m.how in ("exact", "other name"):
        if wider and words_of(m.heard) < words_of(topic.heard):
            return True  # a known name is it only with the words around it
        heads = plain(m.heard).split()[-1:], plain(topic.heard).split()[-1:]
        return heads[0] == heads[1] and len(words_of(m.heard)) > 1 and sounds_like(m.heard, topic.heard)
    return wider or sounds_like(m.heard, topic.heard)


def _near(a: str, b: str) -> bool:
    """A cheap look first: do they share any two sounds in a row?"""
    x, y = _skeleton(a), _skeleton(b)
    return any(x[k : k + 2] in y for k in range(max(1, len(x) - 1)))
