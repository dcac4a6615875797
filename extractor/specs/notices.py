"""What the talk promises, owes or leaves open: findings for the questions stage."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from extractor.lexicon import Lexicon, plain
from extractor.record.episode import Drink, Ingredient
from extractor.record.finding import Finding
from extractor.record.talk import Mention
from extractor.specs.choices import Choice
from extractor.specs.detours import BACK_CUES, Detour, drink_at
from extractor.specs.drinks import DrinkSpan
from extractor.specs.fold import Line
from extractor.specs.gaps import TalkReader
from extractor.specs.homemade import Making
from extractor.specs.links import Group, Linked
from extractor.specs.made_names import batch_words, makeable, perhaps_makeable, word_list
from extractor.specs.modes import Extent, mode_at
from extractor.specs.same import same_thing
from extractor.specs.statements import GARNISH, RIM, is_volume

NEAR_BEFORE = 320
NEAR_AFTER = 260


@dataclass(frozen=True)
class Context:
    reader: TalkReader
    lexicon: Lexicon
    drinks: Sequence[Drink]
    spans: Sequence[DrinkSpan]
    """The span of each of `drinks`."""
    all_spans: Sequence[DrinkSpan]
    lines: Sequence[Sequence[Line]]
    makings: Sequence[Making]
    choices: Sequence[Choice]
    extents: Sequence[Extent]
    detours: Sequence[Detour]
    tail: int
    loose: Sequence[Group]
    recaps: Sequence[tuple[int, int]]
    linked: Sequence[Linked]

    def drink_name(self, offset: int) -> str | None:
        index = drink_at(offset, self.all_spans, self.detours)
        return next((d.name for d, s in zip(self.drinks, self.spans, strict=True) if s.index == index), None)

    def users(self, mention: Mention) -> list[int]:
        """The drinks (by place in `drinks`) that a thing is in."""
        return [k for k, ls in enumerate(self.lines) if any(same_thing(mention, n) for ln in ls for n in ln.names())]

    def poured(self, mention: Mention) -> bool:
        """Does it go in a drink other than as its garnish?"""
        return any(
            ln.role not in (GARNISH, RIM) and any(same_thing(mention, n) for n in ln.names())
            for ls in self.lines for ln in ls
        )  # fmt: skip

    def home(self, mention: Mention) -> str | None:
        """The drink that a thing is asked about with: the one in hand where it is in it, else the first that has it."""
        users = self.users(mention)
        here = self.drink_name(mention.start)
        for k in users:
            if self.drinks[k].name == here:
                return here
        return self.drinks[users[0]].name if users else here

    def line_name(self, mention: Mention) -> str:
        """The name under which a thing stands in a spec."""
        for ls in self.lines:
            for ln in ls:
                if any(same_thing(mention, n) for n in ln.names()):
                    return ln.mention.name
        return mention.name


def all_notices(c: Context) -> list[Finding]:
    out: list[Finding] = []
    parts = (
        unnamed, promises, elsewhere, gifts, open_choices, unsure_names, unplaced, left_over, of_which_drink,
        told_perhaps, untold,
    )  # fmt: skip
    for part in parts:
        out += part(c)
    return out


def component_kind(topic: Mention, lexicon: Lexicon) -> str:
    """syrup, infusion, cordial, shrub, juice, batter, mix or other, by the name and its kind."""
    words = plain(topic.name).split()
    last = words[-1] if words else ""
    if {"infused", "infusion", "tincture", "tea", "bitters"} & set(words):
        return "infusion" if last not in ("syrup", "cordial", "shrub") else last
    if last in ("syrup", "cordial", "shrub", "juice", "batter", "mix"):
        return last
    if topic.entry is not None:
        for kind in ("cordial", "shrub", "syrup", "juice"):
            if kind in lexicon.kinds and lexicon.is_a(topic.entry, kind):
                return kind
        if lexicon.is_a(topic.entry, "spirit") or lexicon.is_a(topic.entry, "liqueur"):
            return "infusion"
    entry = lexicon.named(last)
    if entry is not None and (lexicon.is_a(entry, "spirit") or lexicon.is_a(entry, "fortified wine")):
        return "infusion"
    return "syrup" if last in ("honey", "orgeat", "grenadine", "falernum", "oleo", "saccharum") else "other"


def _untimed(making: Making) -> bool:
    return making.time is None and not making.overnight and making.ratio is None


def of_making(making: Making, parts: Sequence[Ingredient], drink: str, lexicon: Lexicon) -> list[Finding]:
    """What is missing where a home-made thing is told."""
    topic = making.topic
    out: list[Finding] = []
    vague = word_list(lexicon, "no measure")
    missing = [
        i.name for i in parts
        if i.amount is None or (i.amount.low is None and i.amount.unit is None)
        or vague & set(plain(i.amount.said).split())
    ]  # fmt: skip
    short = making.ratio is not None and len(parts) < len(making.ratio.parts)
    if missing or not parts or short:
        out.append(Finding("untold", drink, topic.name, topic.start, making.end, tuple(missing), component=True))
    elif (making.steep or component_kind(topic, lexicon) == "infusion") and _untimed(making):
        out.append(Finding("time", drink, topic.name, topic.start, making.end, component=True))
    return out


def unnamed(c: Context) -> Iterator[Finding]:
    for drink, span in zip(c.drinks, c.spans, strict=True):
        if span.name is None:
            start = span.start
            if start == 0 and c.lines:  # nothing opened it: it begins with the first thing poured
                start = min((ln.mention.start for ln in c.lines[c.drinks.index(drink)]), default=0)
            yield Finding("unnamed", drink.name, drink.name, start, c.reader.sentence(start)[1])
        elif span.name_doubtful and span.name_start is not None and span.name_end is not None:
            yield Finding("unnamed", drink.name, drink.name, span.name_start, span.name_end, values=(drink.name,))


def promises(c: Context) -> Iterator[Finding]:
    reader = c.reader
    length = len(reader.lower)
    for count in reader.talk.counts:
        if count.label == "drinks" and count.start < 0.35 * length and mode_at(c.extents, count.start) != "history":
            words = reader.gap(count.start, count.end).words
            if words[:1] == ("first",):
                continue
            yield Finding("drinks", None, "episode", count.start, count.end, number=count.number)
            break
    claims: dict[str, tuple[int, int, int]] = {}
    for count in reader.talk.counts:
        if count.label == "ingredients" and count.start < c.tail:
            name = c.drink_name(count.start)
            if name is not None and mode_at(c.extents, count.start) not in ("history", "riff", "hypothetical"):
                claims[name] = count.start, count.end, count.number
    for name, (start, end, number) in claims.items():
        yield Finding("ingredients", name, name, start, end, number=number)
    for cue in reader.cues("promises.equal parts"):
        if _of_a_making(c, cue.start):
            continue  # "the honey syrup's just honey and hot water, the same amount of each"
        name = c.drink_name(cue.start)
        if name is not None and mode_at(c.extents, cue.start) is None and cue.start < c.tail:
            yield Finding("equal", name, name, cue.start, cue.end)
    for cue in reader.cues("promises.no alcohol"):
        if any(m.start <= cue.start < m.end for m in c.makings):
            continue  # what goes into a syrup has none
        if mode_at(c.extents, cue.start) is None:
            about = _without_alcohol(c, cue.start)
            if about is not None or _of_all(c, cue.start):
                yield Finding("no alcohol", about, about or "episode", cue.start, cue.end)


def _of_a_making(c: Context, offset: int) -> bool:
    """Is it said in a making, or right behind it?"""
    return any(m.start - 4 <= offset < m.end + 4 for m in c.makings)


NEXT_DRINK_WITHIN = 420
"""A promise behind the pours of one drink may be of the next, if that begins so many characters on. Our estimate."""


def _without_alcohol(c: Context, offset: int) -> str | None:
    """The drink that is said to have no alcohol: the one in hand, or the one that begins now.

    "And he who drives? No alcohol, not a drop. This is the Tall Mate" is said before the name. Where one of the two has
    none, that one is meant: a promise that is kept owes nothing.
    """
    starts = sorted((s.start, k) for k, s in enumerate(c.spans))
    here = next((k for start, k in reversed(starts) if start <= offset), None)
    by_detour = c.drink_name(offset)
    behind = next((k for start, k in starts if offset < start < offset + NEXT_DRINK_WITHIN), None)
    if here is None:
        # Before the first drink: of all of them, or of the one that follows at once.
        return None if _of_all(c, offset) or not starts else c.drinks[starts[0][1]].name
    if by_detour is not None and by_detour != c.drinks[here].name:
        return by_detour
    poured_later = any(
        ln.measure is not None and offset < ln.measure.start < (c.spans[behind].start if behind is not None else c.tail)
        for ln in c.lines[here]
    )
    if behind is None or poured_later:
        return c.drinks[here].name
    for k in (here, behind):
        if not any(_bottled(c, ln.mention) for ln in c.lines[k] if ln.role not in (GARNISH, RIM)):
            return c.drinks[k].name
    return c.drinks[behind].name


def _of_all(c: Context, offset: int) -> bool:
    """ "All of them without alcohol", "two mocktails tonight"."""
    if any(s.start <= offset for s in c.spans):
        return False
    start, end = c.reader.sentence(offset)
    return bool(_ALL & set(c.reader.gap(start, end).words))


_ALL = frozenset([
    "all", "both", "drinks", "cocktails", "mocktails", "everything", "tonight", "today", "two", "three", "four", "week",
])  # fmt: skip


def _candidates(c: Context, start: int, end: int) -> list[Mention]:
    """Things named near a cue, the likeliest first: those before it, latest first, then those behind it."""
    usable = [m for m in c.reader.talk.mentions if m.group == "ingredient" and mode_at(c.extents, m.start) != "tasting"]
    before = [m for m in usable if start - NEAR_BEFORE <= m.start < start]
    after = [m for m in usable if end <= m.start < end + NEAR_AFTER]
    return [*reversed(before), *after]


def elsewhere(c: Context) -> Iterator[Finding]:
    reader = c.reader
    batch = batch_words(c.lexicon)
    seen: set[str] = set()
    other = reader.cues("promises.no-recipe")
    for cue in reader.cues("promises.elsewhere"):
        if any(o.start <= cue.start <= o.end for o in other):
            continue
        words = reader.gap(cue.start, cue.end).words
        near = _candidates(c, cue.start, cue.end)
        making = next((m for m in c.makings if m.topic.start <= cue.start <= m.end + 120), None)
        topic: Mention | None = None
        if making is not None:
            topic = making.topic
        else:
            used = [m for m in near if c.users(m)]
            # "The masala salt I have shown last week": what stands right before is what is shown.
            topic = next((m for m in used if _subject(reader, m, cue.start)), None)
        if topic is None:
            topic = next((m for m in used if makeable(m, c.lexicon, batch) or perhaps_makeable(m, c.lexicon)), None)
            before = reader.before(cue.start, 12)
            of_a_recipe = "recipe" in words or any(w.startswith(("ratio", "recipe", "spec")) for w in before)
            if topic is None and (of_a_recipe or "ratio" in words):
                topic = next(iter(used), None)
        if topic is None:
            continue
        name = c.line_name(topic)
        if plain(name) in seen:
            continue
        seen.add(plain(name))
        yield Finding("elsewhere", c.home(topic), name, cue.start, cue.end, (reader.talk.text[cue.start : cue.end],))


def gifts(c: Context) -> Iterator[Finding]:
    reader = c.reader
    seen: set[str] = set()
    last = -1
    told_at: list[int] = []
    for label in ("promises.gift", "promises.business", "promises.sponsor"):
        for cue in reader.cues(label):
            if mode_at(c.extents, cue.start) in ("riff", "aside"):
                continue
            if any(n.start <= cue.start and cue.start <= n.end + 4 for n in reader.cues("promises.not given")):
                continue  # "nobody is paying me", "that's not a sponsor"
            known = _candidates(c, cue.start, cue.end)
            near = [m for m in known if c.users(m) and not _is_ice(c, m)]
            near = _can_be_given(c, near, reader.lower[cue.start : cue.end])
            if label == "promises.sponsor" and not near:
                yield Finding("gift", None, "episode", cue.start, cue.end, (label,))
                continue
            object_ = next((m for m in reader.mentions_in(cue.end, cue.end + 40) if m.group == "ingredient"), None)
            if object_ is not None:
                gap = reader.gap(cue.end, object_.start)
                object_ = object_ if len(gap.words) <= 2 and not gap.stop and not gap.comma else None
            if label == "promises.gift" and _from_family(c, cue.start):
                continue
            number = reader.sentence_number(cue.start)
            low = reader.sentence_span(max(0, number - 4))[0]
            before = [m for m in near if low <= m.start < cue.start]
            after = [m for m in near if m.start >= cue.end]
            # "He gave me it ... he gave me three bottles": told of already.
            again = 0 <= last <= cue.start < last + SAME_GIFT and not any(last <= m.start for m in before)
            told = any(0 <= t - cue.start < SAME_GIFT and not _named_between(near, cue.start, t) for t in told_at)
            if (again or told) and object_ is None:
                continue
            if object_ is not None and c.users(object_):
                topic: Mention | None = object_
            else:
                within = [m for m in reader.mentions_in(cue.start, cue.end) if c.users(m)]  # "the sotol I did not buy"
                # A bottle pointed at is meant though no amount of it was understood.
                pointed = [m for m in known if low <= m.start < cue.start and (c.users(m) or _bottled(c, m))]
                liquid = [m for m in (*before, *after) if c.poured(m)]
                # "Started making a liqueur from it": the liqueur named before.
                like = [m for m in near if object_ is not None and _last_word(m) == _last_word(object_)]
                beside = [m for m in before if _told_beside(c, m, cue.start)]
                topic = (
                    next(iter(within or like or beside), None)
                    or _owner(c, pointed, cue.start)
                    or next(iter(liquid), None)
                )
            if topic is None:
                continue
            last = cue.end
            told_at.append(cue.start)
            name = c.line_name(topic)
            if plain(name) in seen:
                continue
            seen.add(plain(name))
            yield Finding("gift", c.home(topic), name, cue.start, cue.end, (label,))


def _subject(reader: TalkReader, mention: Mention, offset: int) -> bool:
    """Is a thing named right before, as what is talked of: "that syrup", "my salt, which"?"""
    gap = reader.gap(mention.end, offset)
    named = reader.before(mention.start, 1)[-1:] in tuple((w,) for w in ("the", "that", "this", "my", "our", "and"))
    return named and not gap.stop and mention.end <= offset and set(gap.words) <= _AND_THAT


_AND_THAT = frozenset(("and", "that", "which", "one", "it's", "it", "is", "the", "recipe", "for"))
SAME_GIFT = 160


def _from_family(c: Context, offset: int) -> bool:
    """ "My sister-in-law sent me": a present within the family, which no buyer need be told of."""
    return any(
        len(c.reader.gap(f.end, offset).words) <= 1 and not c.reader.gap(f.end, offset).stop
        for f in c.reader.cues_in("promises.family", max(0, offset - 40), offset)
    )


def _owner(c: Context, before: Sequence[Mention], cue: int) -> Mention | None:
    """The thing that the talk about its giver is of: "the falernum is from my buddy", "about plum bitters", "that gin".

    It is pointed at, and no amount of it is said there: that keeps apart "that malt powder" and "a cup of ice". What
    was poured last stands before what was pointed at earlier.
    """
    for m in before:
        start, _ = c.reader.sentence(m.start)
        lead = c.reader.gap(start, m.start).words
        if _is_ice(c, m):
            continue
        if _measured(c, m):
            break
        pointed = lead[-1:] and (lead[-1] in _POINTS or (lead[-1] in _POINTS_FIRST and len(lead) <= 4))
        if pointed or (not lead and c.reader.talk.punctuated and m.start != cue and _told_of(c, m)):
            return m
    return next((m for m in before if not _measured(c, m) and _in_order(c, m)), None)


def _last_word(mention: Mention) -> str:
    return plain(mention.name).split()[-1]


def _told_beside(c: Context, mention: Mention, cue: int) -> bool:
    """ "There's some as sell honey, and Ken gives it, I get a jar": named in the same breath, with no amount."""
    near = c.reader.talk.punctuated and cue - mention.end <= BESIDE
    return near and not c.reader.gap(mention.end, cue).stop and not _measured(c, mention)


BESIDE = 90


def _named_between(near: Sequence[Mention], start: int, end: int) -> bool:
    return any(start < m.start < end for m in near)


def _is_ice(c: Context, mention: Mention) -> bool:
    return mention.entry is not None and c.lexicon.is_a(mention.entry, "ice")


def _can_be_given(c: Context, near: list[Mention], cue: str) -> list[Mention]:
    """ "He gave me two bottles": of what comes in bottles, where something of the kind is named near; never the juice
    that the speaker has just squeezed, where anything else is named."""
    near = [m for m in near if m.entry is None or not c.lexicon.is_a(m.entry, "sour juice")] or near
    if not _IN_BOTTLES & set(cue.split()):
        return near
    return [m for m in near if m.entry is None or c.lexicon.is_liquid(m.entry)] or near


_IN_BOTTLES = frozenset(("bottle", "bottles", "litre", "litres", "liter", "liters", "keg", "barrel", "flask", "jug"))


def _bottled(c: Context, mention: Mention) -> bool:
    figure = c.lexicon.figure(mention.entry, "strength") if mention.entry is not None else None
    return figure is not None and figure.low > BOTTLED


BOTTLED = 0.5
"""Percent: above that it is a drink with alcohol."""


def _measured(c: Context, mention: Mention) -> bool:
    """Is an amount said right by it?"""
    return any(
        m.kind in ("amount", "number") and (0 <= mention.start - m.end <= 12 or 0 <= m.start - mention.end <= 3)
        for m in c.reader.talk.measures
    )


_POINTS = frozenset(("the", "that", "this", "these", "those", "about", "my", "our"))
_POINTS_FIRST = frozenset(("now", "and", "on"))


def _told_of(c: Context, mention: Mention) -> bool:
    """Does a sentence begin with it that goes on about it: "Sotol comes from"?"""
    return c.reader.after(mention.end, 1) in (("is",), ("comes",), ("came",), ("i",), ("we",), ("they",), ("by",))


def _in_order(c: Context, mention: Mention) -> bool:
    start, _ = c.reader.sentence(mention.start)
    lead = c.reader.gap(start, mention.start).words
    return len(lead) <= 4 and any(w in ("the", "about", "my", "this", "now") for w in lead)


def open_choices(c: Context) -> Iterator[Finding]:
    for choice in c.choices:
        if choice.settled or not c.users(choice.first):
            continue
        yield Finding(
            "choice", c.home(choice.first), c.line_name(choice.first), choice.first.start, choice.other.end,
            (choice.first.name, choice.other.name),
        )  # fmt: skip


def unsure_names(c: Context) -> Iterator[Finding]:
    reader = c.reader
    seen: set[str] = set()
    for cue in reader.cues("promises.unsure name"):
        near = [m for m in _candidates(c, cue.start, cue.end) if c.users(m) and abs(m.start - cue.start) < 140]
        if not near:
            continue
        topic = near[0]
        name = c.line_name(topic)
        if plain(name) in seen:
            continue
        _, end = reader.sentence(cue.start)
        others = [
            m.name for m in reader.talk.mentions
            if cue.start <= m.start < end + 80 and m.group == "ingredient" and not same_thing(m, topic)
        ]  # fmt: skip
        asked = reader.lower[cue.start : cue.end]
        if "in english" not in asked and not others and "call" not in asked:
            continue
        seen.add(plain(name))
        yield Finding("unsure", c.home(topic), name, cue.start, cue.end, (topic.name, *dict.fromkeys(others)))
    for ls, drink in zip(c.lines, c.drinks, strict=True):
        for line in ls:
            m = line.mention
            if m.how == "unknown" or (m.how == "head" and not m.apply):
                yield Finding("unknown", drink.name, m.name, m.start, m.end, tuple(g.name for g in m.guesses))
            elif not m.apply and m.entry is not None:
                yield Finding("unsure", drink.name, m.name, m.start, m.end, tuple(g.name for g in m.guesses))
            bare = line.measure is not None and line.measure.unit is None and line.measure.kind == "number"
            if line.measure is not None and bare and line.role != GARNISH:
                yield Finding("unit", drink.name, m.name, line.measure.start, line.measure.end)
            if line.measure is not None and line.measure.doubtful:
                said = [_spoken(low, high, unit) for low, high, unit in line.measure.others]
                values = (line.measure.said, *said)
                yield Finding("conflict", drink.name, m.name, line.measure.start, line.measure.end, values)


def _spoken(low: object, high: object, unit: str | None) -> str:
    number = f"{float(low):g}" if low is not None else "?"  # type: ignore[arg-type]
    if high is not None and high != low:
        number += f" to {float(high):g}"  # type: ignore[arg-type]
    return f"{number} {unit}" if unit else number


def unplaced(c: Context) -> Iterator[Finding]:
    """Amounts that belong to nothing."""
    reader = c.reader
    for g in c.loose:
        m = g.value
        if not is_volume(m) and m.unit not in ("dash", "g") and not _told_bare(c, g):
            continue
        if g.start >= c.tail or any(a <= g.start < b for a, b in c.recaps):
            continue
        if any(k.start <= g.start < k.end for k in c.makings):
            continue
        after = reader.has("turns.correction", g.end, g.end + 12)
        if _only_again(c, g) or _said_otherwise(c, g) or _shared_out(c, g) or _broken_off(c, g):
            continue
        if after or mode_at(c.extents, g.start) is not None or c.drink_name(g.start) is None:
            continue
        yield Finding("unplaced", c.drink_name(g.start), m.said, g.start, g.end)


LEAST_BARE = 10
"""So large a bare number is an amount in millilitres rather than a count."""


def _told_bare(c: Context, g: Group) -> bool:
    """ "Gin, forty mil. Of the syrup, fifteen.": a round number alone at the end of its clause, where amounts were
    told in millilitres."""
    m = g.value
    if m.kind != "number" or m.unit is not None or m.low is None or m.low < LEAST_BARE or m.low % 5:
        return False
    closes = c.reader.lower[g.end : g.end + 1] in (",", ".", ";") or c.reader.after(g.end, 1) == ("of",)
    if not closes or not c.reader.talk.punctuated:
        return False
    here = c.drink_name(g.start)
    told = [
        x.measure for ls, d in zip(c.lines, c.drinks, strict=True) if d.name == here for x in ls
        if x.measure is not None
    ]  # fmt: skip
    # "I told you fifty of cane?" is said again.
    return any(x.unit == "ml" for x in told) and not any(x.low == m.low for x in told)


def left_over(c: Context) -> Iterator[Finding]:
    """Things with an amount that came into no drink and no making: nothing measured is dropped without a trace."""
    placed = {m.start for ls in c.lines for ln in ls for s in ln.statements for g in s.groups for m in g.measures}
    placed |= {m.start for k in c.makings for x in k.parts for g in x.groups for m in g.measures}
    others = {id(choice.other) for choice in c.choices}
    seen: set[tuple[str | None, str]] = set()
    for x in c.linked:
        groups = [g for g in x.groups if (is_volume(g.value) or g.value.unit in ("dash", "part")) and g.value.low]
        if not groups or id(x.mention) in others or any(g.start in placed for g in groups):
            continue
        if any(k.topic is x.mention or (k.amends and k.start <= x.mention.start < k.end) for k in c.makings):
            continue
        if any(same_thing(x.mention, n) for ls in c.lines for ln in ls for n in ln.names()):
            continue  # told of again, and held against what was said before
        if any(same_thing(x.mention, p.mention) for k in c.makings for p in k.parts):
            continue
        where = c.drink_name(groups[0].start)
        if (where, x.mention.name) in seen:
            continue
        seen.add((where, x.mention.name))
        start, end = min(x.mention.start, groups[0].start), max(x.mention.end, groups[0].end)
        yield Finding("unplaced", where, x.mention.name, start, end)


_GOES_ON_WITH = frozenset(
    ("and", "then", "plus", "so", "to", "this", "in", "into", "the", "mixing", "glass", "tin", "shaker")
)
PERHAPS_TOLD = ("hypothetical", "history", "aside")


def told_perhaps(c: Context) -> Iterator[Finding]:
    """ "If you like it sweet, use more syrup, and two dashes of bitters, stir it": told about with the rest of its
    sentence, though it may be the next thing of the list."""
    reader = c.reader
    known = [n for ls in c.lines for ln in ls for n in ln.names()]
    known += [p.mention for k in c.makings for p in k.parts]
    for m in reader.talk.measures:
        if m.kind != "amount" or m.low is None or not (is_volume(m) or m.unit == "dash") or m.start >= c.tail:
            continue
        if mode_at(c.extents, m.start) not in PERHAPS_TOLD or any(a <= m.start < b for a, b in c.recaps):
            continue
        start, _ = reader.sentence(m.start)
        comma = reader.lower.rfind(",", start, m.start)
        lead = reader.gap(comma, m.start).words
        if comma < 0 or not set(lead) <= _GOES_ON_WITH or c.drink_name(m.start) is None:
            continue
        behind = [x for x in reader.mentions_in(m.end, m.end + 12) if x.group == "ingredient" and x.how != "unknown"]
        if behind and not reader.gap(m.end, behind[0].start).comma and not any(same_thing(behind[0], n) for n in known):
            yield Finding("unplaced", c.drink_name(m.start), behind[0].name, m.start, behind[0].end)


OF_ANOTHER_WITHIN = 90


def of_which_drink(c: Context) -> Iterator[Finding]:
    """ "I've missed something, see the tackle, there should have been bitters in that": it seems to be of an earlier
    drink, whose name was not understood."""
    reader = c.reader
    for cue in reader.cues("turns.is in that"):
        here = next((d for d in reversed(c.all_spans) if d.start <= cue.start), None)
        if here is None or here.index == 0 or cue.start >= c.tail or here.turns:
            continue
        if any(d.start <= cue.start < d.end for d in c.detours) or reader.before(cue.end, 1) not in _IN_THAT:
            continue
        start = max(here.start, cue.start - OF_ANOTHER_WITHIN)
        if not any(reader.has(label, start, cue.start) for label in BACK_CUES):
            continue
        for m in reader.mentions_in(cue.start, cue.end):
            if m.group == "ingredient" and m.how != "unknown":
                yield Finding("unplaced", None, m.name, cue.start, cue.end)


_IN_THAT = (("that",), ("it",), ("there",))


def _only_again(c: Context, g: Group) -> bool:
    """An amount that was said of the thing named last before it, or was just taken back: "half an ounce, Dale"."""
    m = g.value
    if c.reader.after(g.end, 1) == ("of",):
        return False
    near = [
        (x.end, ln) for ls in c.lines for ln in ls for x in ln.names() if g.start - 220 < x.end <= g.start
    ]  # fmt: skip
    if not near:
        return False
    line = max(near, key=lambda p: p[0])[1]
    amounts = [line.measure, *line.superseded]
    return any(a is not None and a.low == m.low and (a.unit == m.unit or m.unit is None) for a in amounts)


SAID_BEFORE = 140
"""Characters around an amount of nothing in which the same one is said of something. Our estimate."""


def _said_otherwise(c: Context, g: Group) -> bool:
    """ "That's five mil", "it isn't fifty mil", "two. Two cups": an amount just said, explained or insisted on."""
    reader, m = c.reader, g.value
    if m.low is None:
        return False
    said = [x for ls in c.lines for ln in ls for x in (ln.measure, *ln.superseded) if x is not None]
    said += [y.value for k in c.makings for p in k.parts for y in p.groups]
    near = ((x, abs(g.start - x.start)) for x in said if x.low == m.low)
    if any(away <= (SAID_BEFORE if x.unit in (None, m.unit) else NEAR_EXPLAINED) for x, away in near):
        return True
    cues = reader.cues_in("turns.in other words", max(0, g.start - 40), g.start)
    explained = [x for x in cues if x.end <= g.start and not reader.gap(x.end, g.start).words]
    weighed = any(reader.lower.startswith("weigh", x.start) for x in explained)  # "weighing in at four ounces"
    return weighed or (bool(explained) and any(0 <= g.start - x.end <= NEAR_EXPLAINED for x in said))


NEAR_EXPLAINED = 70


def _shared_out(c: Context, g: Group) -> bool:
    """ "Three ounces each into a little glass": so much of the whole is poured for one."""
    behind = c.reader.after(g.end, 2)
    each = (g.value.each or "each" in behind) and "of" not in behind and bool(_TO_A_GLASS & set(behind))
    # "Half an ounce each, into the shaker" is of things whose names were not heard.
    drunk_from = any(
        m.group == "glass" and plain(m.heard) not in _tools(c) for m in c.reader.mentions_in(g.end, g.end + 50)
    )
    return each and (drunk_from or bool(_FOR_ONE & set(c.reader.after(g.end, 5))))


def _tools(c: Context) -> frozenset[str]:
    return frozenset(plain(n) for e in c.lexicon.tools for n in (e.name, *e.others))


_TO_A_GLASS = frozenset(("in", "into", "to", "for", "per"))
_FOR_ONE = frozenset(("glass", "cup", "mug", "person", "guest", "grown-ups", "everybody", "everyone"))


def _broken_off(c: Context, g: Group) -> bool:
    """ "A half ounce of, let me taste this. No. A quarter ounce of the syrup": begun, taken back and said anew.

    Or "we'll take sixty. Na, na, take forty-five": nothing is named between, and another amount follows the words of
    taking back.
    """
    reader = c.reader
    following = next((x for x in reader.talk.measures if x.start >= g.end and x.kind in ("amount", "number")), None)
    if following is None or following.start - g.end > SAID_BEFORE:
        return False
    named = any(m.group == "ingredient" for m in reader.mentions_in(g.end, following.start))
    if not reader.has("turns.correction", g.end, following.start):
        return False
    return not named or reader.after(g.end, 1) == ("of",)


def untold(c: Context) -> Iterator[Finding]:
    """Things that are said to be home-made and whose making is told nowhere."""
    reader = c.reader
    told = [m.topic for m in c.makings]
    batch = batch_words(c.lexicon)
    for ls, drink in zip(c.lines, c.drinks, strict=True):
        for line in ls:
            if line.role in (GARNISH, RIM) or any(same_thing(line.mention, t) for t in told):
                continue
            for n in line.names():
                start, end = reader.sentence(n.start)
                own = reader.cues_in("homemade.own", max(start, n.start - 30), min(end, n.end + 60))
                could = makeable(n, c.lexicon, batch) or perhaps_makeable(n, c.lexicon)
                if own and could and "made" not in plain(n.name).split():
                    yield Finding("untold", drink.name, line.mention.name, n.start, own[0].end, component=True)
                    break
