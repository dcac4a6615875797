"""Which stretches of talk are about making a home-made thing: the likeliest run over weighed segments."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Linked
from extractor.specs.made_names import batch_words, form_of, makeable, perhaps_makeable, steeped_spirit, word_list
from extractor.specs.modes import Extent, left_out, mode_at
from extractor.specs.same import words_of

# A drink's own techniques: where one is told, the home-made thing is done.
OF_A_DRINK = frozenset(("shake", "dry shake", "reverse dry shake", "swizzle", "roll", "fine strain"))
# What goes into a making by the millilitre as well as into a drink.
BASES = ("water", "vinegar", "dairy", "sweetener", "sour juice", "salt")
POURED = ("fl_oz", "ml", "cl")
BY_EYE = ("dash", "drop")
BY_COUNT = ("piece", "leaf", "sprig")
SPOONS = ("tsp", "tbsp", "bar_spoon")

# Evidence for a stretch of talk being about a making (> 0) or about the drink (< 0). Common practice, no source; set on
# the episodes with gold records.
BY_UNIT = {"g": 2.0, "kg": 2.0, "lb": 2.0, "cup": 0.8, "pint": 1.0, "l": 0.8, "can": 0.3, "bottle": 0.8}
BASE_PART, OTHER_PART, PART_OF_DRINK = 2.0, 0.3, 0.5
BY_WEIGHT = ("g", "kg", "lb")
WEIGHED_POUR, WEIGHED_LIQUID, WEIGHED_BATCH_G = -2.2, 0.3, 190
"""Of a speaker who weighs what is poured: a spirit by the gram, another liquid, and how much of a spirit is a batch."""
SPIRIT_BY_THE_BOTTLE = -2.2
"""A bottle of a spirit, where nothing is steeped in one, fills a bowl."""
STEEPED_WITHIN = 700
FILLED_WITHIN = 250
"""How soon behind "the dill aquavit" the bottle of plain spirit is told that it stands in."""
LEFT_WITHIN, LEFT_S = 170, 1200
"""How soon behind a spirit by the bottle it is said that it stands, and for how many seconds at least."""
JAR_WITHIN = 70
CLOTH_WITHIN = 50
EQUALLY = ("promises.equal parts", "homemade.as much of each")
ICE = -1.5
"""Ice by the cup goes in a drink."""
SPOON = 0.4
WORK, MAKER, OWN = 1.3, 0.7, 1.5
LONG_TIME, HEAT, RATIO, DEFINED = 2.0, 2.0, 2.5, 2.8
OF_ITS_NAME, OF_ITS_NAME_WITHIN = 0.7, 40
HEADED, HEADED_WITHIN, LEAST_LISTED = 1.6, 44, 2
"""A list by the kitchen's measures right behind the name of what it makes: "the syrup is two cups sugar, one water"."""
SYRUP, SYRUP_WITHIN = 1.6, 12
"""Sugar and water by one kitchen's measure, and how many words at most stand between the one amount and the other."""
LONG_TIME_S = 100
OVERNIGHT = ("overnight", "over night")
STRONG_POUR, WEAK_POUR, DASHES = -2.2, -1.0, -1.6
DRAWN = -2.5
"""An amount of what was just made: "six cups of that goes in the bowl"."""
DRINK_WORK, GLASS, BACK, ITSELF = -2.2, -2.0, -3.0, -2.5
BATCH_ML = 190
"""So much of one thing may fill a bottle as well as a bowl of punch: it speaks for neither."""
TOLD = -1.5
ENTER, LEAVE, OVER_OPENING = 1.2, 0.3, 4.0
ENTER_POURED = 2.6
"""What it costs to begin right behind an amount of the thing itself, with no word that it is home-made."""
ENTER_PERHAPS = 2.4
"""For a thing that is mostly bought: a tea, an aromatised wine."""
STEEPED_BEHIND = 24
"""How soon behind "an ounce of sweet tea" it may be said that it is steeped."""
ENTER_BOUGHT = 6.0
"""The same right behind an amount of it."""
LISTED = 20.0
"""More where the next thing poured is joined to it: "twelve ounces of oat milk, and six grams of tea"."""
NEXT_POUR = 6.0
"""What it costs to go on with a making told while its thing is poured, over the next thing poured."""
POURED_BEFORE = 100
BOUGHT_WITHIN = 80
"""That a thing is bought is said so many characters behind it, in its sentence."""
AFTER_RESULT, RESULT = 2.0, 1.0
AFTER_ELSEWHERE = 3.0
"""What it costs to go on when the rest was promised in another place."""
ANOTHER = 2.2
"""What it costs to go on with one making when another thing has been brought up."""
IDLE = 0.03
"""What each word costs that speaks neither for nor against."""
LEAST = 2.4
"""A making has at least so much evidence."""
MOST_WORK = 3.9
MADE_WITHIN = 34
"""How far before "from raspberries and sugar" it may be said that it was made."""
NAMED_BEFORE = 130
"""A making begins at most so many characters behind the name of its thing."""
NAMED_BEHIND = 450
OWN_BEHIND = 34
"""How far behind a name "I make my own" may begin, and how far before it "for the"."""
AS_MUCH_WITHIN = 34
"""How far before the two things of which there is as much "the same weight of" may begin."""
AT_ONCE = 40


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch that says one thing.

    `topic`: the home-made thing that a making beginning here would be of; `fresh`: one newly brought up in it.
    """

    start: int
    end: int
    score: float
    topic: Mention | None
    enter: float = ENTER
    fresh: Mention | None = None
    next_pour: bool = False
    """It begins with "then" and the next thing of a drink."""
    named: Mention | None = None
    """What was made is named in it as the result: "and that's your batter"."""
    poured: Mention | None = None
    """Such a thing poured in it by the measure of a drink."""
    elsewhere: bool = False
    """How it is made, or the rest of it, is promised in another place."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """text[start:end] tells how `topic` is made."""

    topic: Mention
    start: int
    end: int
    nameless: bool = False
    """No name of it was heard."""


def is_topic(mention: Mention, topic: Mention) -> bool:
    """Is the home-made thing itself named? "Rye" in the making of "cacao nib rye" is not it."""
    if words_of(mention.name) == words_of(topic.name) or words_of(mention.heard) == words_of(topic.heard):
        return True
    if mention.entry is not None and mention.how == "exact":
        return False
    return words_of(topic.name) < words_of(mention.name)


class Weigher:
    """Weighs stretches of one talk."""

    def __init__(
        self, reader: TalkReader, linked: Sequence[Linked], extents: Sequence[Extent], lexicon: Lexicon,
        drinks: Sequence[str] = (),
    ) -> None:  # fmt: skip
        self.drinks = frozenset(plain(d).removeprefix("the ") for d in drinks)
        """Names of drinks: no thing made is called so."""
        self.reader, self.linked, self.extents, self.lexicon = reader, linked, extents, lexicon
        self.measures = [
            m for m in reader.talk.measures if mode_at(extents, m.start) not in ("hypothetical", "history", "riff")
        ]
        batch = batch_words(lexicon)
        sure = [x for x in linked if makeable(x.mention, lexicon, batch) and not not_meant(x.mention, reader)]
        sure = [x for x in sure if form_of(x.mention, reader, lexicon) is None]
        # "I make a big pot of sorrel first": anything that is made by the pot.
        batches = {c.end for c in reader.cues("homemade.batch of")}
        by_name = {
            plain(x.mention.name) for x in linked
            if any(0 <= x.mention.start - end <= 1 for end in batches) and mode_at(extents, x.mention.start) is None
        }  # fmt: skip
        sure += [x for x in linked if plain(x.mention.name) in by_name and not any(x is s for s in sure)]
        told = [x for x in linked if self._told_as_own(x) and mode_at(extents, x.mention.start) is None]
        told = [_by_its_full_name(x, sure) for x in told]
        said_to_be = [x for x in linked if self._said_to_be(x) is not None]
        told += [x for x in said_to_be if not any(x is t for t in told)]
        self.own = {id(x.mention) for x in told}
        sure += [x for x in told if not any(x is s for s in sure)]
        perhaps = [
            x for x in linked
            if not any(x is s for s in sure)
            and perhaps_makeable(x.mention, lexicon)
            and form_of(x.mention, reader, lexicon) is None
            and (not steeped_spirit(x.mention, lexicon) or self._filled_with_spirit(x))
        ]  # fmt: skip
        self.perhaps = {id(x.mention) for x in perhaps}
        sure += self._bare([*sure, *perhaps])
        named = [*sure, *perhaps, *_echoes(sure, linked, reader)]
        named = [x for x in named if mode_at(extents, x.mention.start) is None and not left_out(reader, x.mention)]
        self.topics = sorted(named, key=lambda x: x.mention.start)
        # "I'll come to that", "that I take from a bottle": no making begins at this naming.
        self.named = [x for x in self.topics if not self._deferred(x)]
        self.glasses = [
            m.start for m in reader.talk.mentions
            if m.group == "glass"
            and not (m.entry is not None and m.entry.everyday)
            and mode_at(extents, m.start) is None
        ]  # fmt: skip
        self.servings = [c.start for c in reader.talk.counts if c.label == "servings"]
        ices = {plain(n) for e in lexicon.ices for n in (e.name, *e.others)}
        self.ices = {id(x.mention) for x in linked if plain(x.mention.name) in ices}
        spirits = [g.value for x in linked for g in x.groups if self._strong(x.mention)]
        weighed = sum(v.unit == "g" and (v.low or 0) < WEIGHED_BATCH_G for v in spirits)
        self.weighs_pours = weighed > sum(v.unit in POURED for v in spirits)
        self.in_parts = any(g.value.unit == "part" and self._strong(x.mention) for x in linked for g in x.groups)
        pairs = self._definitions()
        self.defined = [a.start for a, _ in pairs]
        self.defined += [start for x in said_to_be if (start := self._said_to_be(x)) is not None]
        """Where a thing is said to be two others, of which one is a base: "that's just honey and hot water"."""
        # What it is made of is no thing made: the tea of "tea syrup, that's just tea and sugar".
        of_it = {id(m) for pair in pairs for m in pair}
        of_it |= {id(x.mention) for x in linked if self._starts_what_another_is(x)}
        self.topics = [t for t in self.topics if id(t.mention) not in of_it]
        self.named = [t for t in self.named if id(t.mention) not in of_it]
        self.syrups = self._sugar_and_water()
        """Where a sweetener and water are told by one kitchen's measure: "a cup of honey and a cup of hot water"."""
        self.share_ends = [b.end for _, b in pairs] + self._equal_shares()
        # "Three parts honey to one part water, one egg white": by parts nothing else is told of a syrup.
        self.share_ends += [
            end for start, end, _ in self.syrups
            if any(start <= m.start < end and m.unit == "part" for m in self.measures)
        ]  # fmt: skip

    def _told_as_own(self, item: Linked) -> bool:
        """ "An ounce of falernum. I make my own"; "for the cold brew I use": whatever it is."""
        reader, m = self.reader, item.mention
        if m.how not in ("exact", "other name"):
            return False
        end = max([m.end, *(g.end for g in item.groups if 0 <= g.end - m.end < POURED_BEFORE // 2)])
        in_batches = plain(m.name).split()[-1] in batch_words(self.lexicon) and not self._base(m)
        if in_batches and item.groups and self.reader.has("homemade.steep words", end, end + STEEPED_BEHIND):
            return True  # "an ounce of sweet tea. You steep six bags"
        behind = self.reader.cues_in("homemade.own behind it", end, end + OWN_BEHIND)
        for c in behind:
            gap = reader.gap(end, c.start)
            if set(gap.words) <= {"and", "which", "that", "that's", "now", "so", "the"}:
                return True
        if item.groups or self._strong(m) or not _NAME_ENDS.match(reader.lower, m.end):
            return False  # "first the fennel Bryan" names no fennel
        for label in ("homemade.names it first", "homemade.may name it first"):
            for c in reader.cues_in(label, max(0, m.start - OWN_BEHIND), m.start):
                if c.end <= m.start and not reader.gap(c.end, m.start).words:
                    taken = reader.after(m.end, 3)
                    return label.endswith(".names it first") or (bool(_TAKEN & set(taken[1:])) and taken[0] in _WHO)
        return False

    def _filled_with_spirit(self, item: Linked) -> bool:
        """ "The dill aquavit: seventy centilitres of plain spirit": such a thing is mostly bought, but not so told."""
        end = item.mention.end
        for x in self.linked:
            if not end <= x.mention.start < end + FILLED_WITHIN:
                continue
            words = set(plain(x.mention.name).split())
            own = words < set(plain(item.mention.name).split()) and self._strong(x.mention)
            spirit = own or words & _PLAIN_SPIRIT
            for g in x.groups if spirit else ():
                if g.value.unit in ("bottle", "cup", "pint", "l") or _millilitres(g.value) >= BATCH_ML:
                    return True
        return False

    def _bare(self, named: Sequence[Linked]) -> list[Linked]:
        """ "First the syrup: a cup of sugar, a cup of water": a bare head, in a talk that names no such thing fully."""
        reader = self.reader
        full = {plain(x.mention.name).split()[-1] for x in named}
        behind = [_OF_THE.match(reader.lower, m.end) for m in self.measures]
        poured = {m[1] for m in behind if m} & word_list(self.lexicon, "named barely where poured")
        heads = [h for h in word_list(self.lexicon, "named barely") | poured if h not in full]
        if not heads:
            return []
        out: list[Linked] = []
        for m in re.finditer(
            r"(?<![\w'])(?:a|the|my|our|this|your|first) (" + "|".join(sorted(heads)) + r")(?![\w'])", reader.lower
        ):
            a, b = m.span(1)
            at_once = _BARE_ENDS.match(reader.lower, b)
            if at_once is None or mode_at(self.extents, a) is not None:
                continue
            out.append(Linked(Mention(a, b, reader.talk.text[a:b], m[1], "ingredient", None, "head")))
        return out

    def _said_to_be(self, item: Linked) -> int | None:
        """ "The walnut bitters are a hundred grams of walnuts in half a litre": where the first of its parts begins.

        A name and at once, behind "is" or "are", two or more amounts by the measures of a making.
        """
        reader, m = self.reader, item.mention
        if item.groups or m.how not in ("exact", "other name", "head"):
            return None
        is_ = _IS_MADE_OF.match(reader.lower, m.end)
        if is_ is None or mode_at(self.extents, m.start) is not None:
            return None
        _, stop = reader.sentence(m.start)
        parts = [
            (g.start, x) for x in self.linked for g in x.groups
            if is_.end() <= g.start < stop and g.value.unit in (*BY_UNIT, "part") and id(x.mention) != id(m)
        ]  # fmt: skip
        first = min((start for start, _ in parts), default=stop)
        return first if first == is_.end() and len({id(x.mention) for _, x in parts}) >= LEAST_LISTED else None

    def _starts_what_another_is(self, item: Linked) -> bool:
        """The second honey of "my honey is two parts honey to one part water"."""
        return any(g.start in self.defined for g in item.groups)

    def _deferred(self, item: Linked) -> bool:
        end = max([item.mention.end, *(g.end for g in item.groups if g.end - item.mention.end < 40)])
        if self.reader.has("homemade.later", end, end + 60):
            return True
        _, stop = self.reader.sentence(item.mention.start)
        cues = self.reader.cues_in("homemade.bought", end, min(stop, end + BOUGHT_WITHIN))
        return any("if" not in self.reader.before(c.start, 2) for c in cues)

    def _strong(self, mention: Mention) -> bool:
        if mention.entry is None:
            return False
        figure = self.lexicon.figure(mention.entry, "strength")
        return figure is not None and figure.low > 5

    def _base(self, mention: Mention) -> bool:
        return self.lexicon.is_any(mention.entry, BASES)

    def _definitions(self) -> list[tuple[Mention, Mention]]:
        """The two things that another is said to be, one of them a base: "that's just honey and hot water"."""
        out: list[tuple[Mention, Mention]] = []
        for a, b in pairwise(self.linked):
            gap = self.reader.gap(a.mention.end, b.mention.start)
            joined = gap.words in (("and",), ("with",), ("to",))
            # "It's honey, it's hot water, it's thyme", "that's honey, water and some sage"
            joined = joined or (gap.comma and not gap.stop and gap.words in ((), ("it's",), ("and", "it's")))
            if a.groups or b.groups or not joined:
                continue
            before = self.reader.before(a.mention.start, 1)
            told = before[-1:] in _DEFINES or (before[-1:] in _MADE_FROM and self._just_made(a.mention.start))
            if not told or not (self._base(a.mention) or self._base(b.mention)):
                continue
            if mode_at(self.extents, a.mention.start) is not None:
                continue
            if any(0 < a.mention.start - t.mention.end < 90 for t in self.named):
                out.append((a.mention, b.mention))
        return out

    def _equal_shares(self) -> list[int]:
        """Where "the same weight of sugar and water" ends: what is poured behind it is of the drink again."""
        out: list[int] = []
        for a, b in pairwise(self.linked):
            if self.reader.gap(a.mention.end, b.mention.start).words != ("and",) or a.groups or b.groups:
                continue
            low = a.mention.start - AS_MUCH_WITHIN
            cues = [c for label in EQUALLY for c in self.reader.cues_in(label, low, a.mention.start)]
            if cues and self._base(a.mention) and self._base(b.mention):
                out.append(b.mention.end)
        return out

    def _sugar_and_water(self) -> list[tuple[int, int, Mention]]:
        """From where to where a syrup is told by its two parts, whatever it is called, and its sweetener."""
        out: list[tuple[int, int, Mention]] = []
        for a, b in pairwise(x for x in self.linked if x.groups):
            sweet, water = (a, b) if self.sweet(a.mention) else (b, a)
            if not self.sweet(sweet.mention) or not is_water(water.mention):
                continue
            first, second = a.groups[-1], b.groups[0]
            units = {first.value.unit, second.value.unit}
            alike = units <= {"cup"} or units <= {"lb"} or units <= {"pint", "l"} or units <= {"kg", "l"}
            weighed = units & {"g", "kg"} and units <= {"g", "kg", "ml", "cl", "l"}
            start, end = min(first.start, a.mention.start), max(second.end, b.mention.end)
            # "Two parts whiskey, one part honey, four parts hot water" is a toddy told in parts.
            parts = units <= {"part"} and (not self.in_parts or bool(_JUST & set(self.reader.before(start, 2))))
            if not (alike or weighed or parts) or mode_at(self.extents, start) is not None:
                continue
            if len(self.reader.gap(min(first.end, a.mention.end), second.start).words) <= SYRUP_WITHIN:
                out.append((start, end, sweet.mention))
        return out

    def sweet(self, mention: Mention) -> bool:
        """A sweetener that is let down with water: sugar, honey; not what is a syrup already."""
        sweetener = mention.entry is not None and self.lexicon.is_a(mention.entry, "sweetener")
        return sweetener and plain(mention.name).split()[-1] not in ("syrup", "water")

    def told_as_syrup(self, start: int, end: int) -> Mention | None:
        """The sweetener of a syrup told by its two parts in a stretch."""
        return next((sweet for a, b, sweet in self.syrups if start <= a and b <= end), None)

    def _just_made(self, offset: int) -> bool:
        """ "That I cooked from raspberries and sugar"."""
        low = max(0, offset - MADE_WITHIN)
        return self.reader.has("homemade.maker", low, offset) or self.reader.has("homemade.own", low, offset)

    # ---- one stretch ---------------------------------------------------------------------------------------------

    def cuts(self) -> list[int]:
        """Where segments begin: at clauses, behind a topic (and its amount), before words leading back to the drink."""
        cuts = {c.start for c in self.reader.talk.clauses}
        for t in self.topics:
            if t.mention.start in self.defined:
                continue  # "it's jasmine tea and sugar" is not cut behind the tea
            cuts.add(max([t.mention.end, *(g.end for g in t.groups if g.end - t.mention.end < 40)]))
        cuts |= {c.start for c in self.reader.cues("homemade.done")}
        cuts |= {e for e in self.share_ends if self.reader.lower[e : e + 1] in (",", ".", ";")}
        return sorted(cuts)

    def score(self, start: int, end: int) -> float:
        reader = self.reader
        score = min(
            MOST_WORK,
            WORK * self.told("homemade.work", start, end)
            + MAKER * self.told("homemade.maker", start, end)
            + OWN * self.told("homemade.own", start, end),
        )
        score += sum(self.of_measure(m) for m in self.measures if start <= m.start < end)
        score += sum(
            self._of_amount(x, g.value.unit, _millilitres(g.value), float(g.value.low or 0))
            for x in self.linked
            for g in x.groups
            if start <= g.start < end
        )
        score += sum(
            STRONG_POUR for x in self.linked for g in x.groups
            if start <= g.start < end and g.value.kind == "number" and g.value.unit is None and self._strong(x.mention)
        )  # fmt: skip
        score += DEFINED * sum(start <= d < end for d in self.defined)
        score += SYRUP * sum(
            start <= a < end and any(0 <= a - t.mention.end < NAMED_BEFORE for t in self.named)
            for a, _, _ in self.syrups
        )
        score += OF_ITS_NAME * self._counted_of_its_name(start, end)
        score += HEADED * self._headed(start, end) + OF_ITS_NAME * self._ratio_of_its_name(start, end)
        if self._shares_equally(start, end):
            score += DEFINED + (OF_ITS_NAME if self._of_its_name(start, end) else 0.0)
        for t in reader.talk.techniques:
            if (
                start <= t.start < end
                and t.name in OF_A_DRINK
                and not (_negated(reader, t.start) or self._in_a_jar(t.start) or self._through_cloth(t.start))
            ):
                score += DRINK_WORK
        score += GLASS * sum(start <= g < end for g in self.glasses)
        score += RESULT * (self._result(start, end) is not None)
        score += BACK * len(reader.cues_in("homemade.done", start, end))
        score += BACK * sum(start <= s < end for s in self.servings)
        if score <= 0 and mode_at(self.extents, start) in ("riff", "tasting", "history"):
            score += TOLD
        return score

    def _in_a_jar(self, offset: int) -> bool:
        """ "In a jar with a cup of bourbon, lid on, shake it": that is no shaker."""
        return self.reader.has("homemade.in a jar", max(0, offset - JAR_WITHIN), offset)

    def _through_cloth(self, offset: int) -> bool:
        """ "Strain through cheesecloth twice": nothing is served so."""
        return _CLOTH.search(self.reader.lower, offset, offset + CLOTH_WITHIN) is not None

    def told(self, label: str, start: int, end: int) -> int:
        """How many cues stand in a stretch; "if you don't want it, leave it" tells of no making."""
        lower = self.reader.lower
        cues = [c for c in self.reader.cues_in(label, start, end) if not _TO_THE_TOP.fullmatch(lower[c.start : c.end])]
        return sum(mode_at(self.extents, c.start) != "hypothetical" for c in cues)

    def of_measure(self, m: Measure) -> float:
        if m.kind == "ratio":
            return RATIO
        if m.kind == "temperature":
            return HEAT
        if m.kind == "time" and ((m.high or 0) >= LONG_TIME_S or m.said.lower() in OVERNIGHT):
            return LONG_TIME
        return 0.0

    def _of_amount(self, item: Linked, unit: str | None, millilitres: float, grams: float) -> float:
        mention = item.mention
        topic = any(t is item for t in self.topics)
        if mention.how == "pronoun" and unit in (*POURED, *SPOONS, "part", "cup", None):
            return DRAWN
        if id(mention) in self.ices:
            return ICE
        if self.weighs_pours and unit == "g" and (self.lexicon.is_liquid(mention.entry) or self._strong(mention)):
            if self._strong(mention):
                return 0.0 if grams >= WEIGHED_BATCH_G else WEIGHED_POUR
            return WEIGHED_LIQUID if grams < WEIGHED_BATCH_G else BY_UNIT["g"]
        if unit in SPOONS and mention.entry is not None and self.lexicon.is_a(mention.entry, "tea"):
            return BY_UNIT["cup"]  # "four tablespoons of loose rooibos" are leaves
        if id(mention) in self.perhaps and unit in BY_WEIGHT:
            return BY_UNIT[unit]  # "eight grams of Darjeeling tea" are leaves
        if topic and (unit in (*POURED, *BY_EYE, *SPOONS, "part") or (unit in BY_UNIT and self._again(item))):
            if unit == "part" and not self.in_parts:
                return BASE_PART / 2  # "so I thin it, two parts sorghum and one part hot water"
            if id(mention) not in self.perhaps or self._again(item):
                return ITSELF if self._again(item) else WEAK_POUR
            if unit != "part" or not self._base(mention):
                return 0.0  # "two parts honey" is more often of a syrup, "one part of strong tea" is not
        if unit in ("bottle", "cup", "l") and self._strong(mention) and not self._steeped(mention.start):
            return SPIRIT_BY_THE_BOTTLE
        if unit in POURED:
            much = millilitres >= BATCH_ML and (self._strong(mention) or mention.entry is None)
            if much and _PLAIN_SPIRIT & set(plain(mention.name).split()) and self._steeped(mention.start):
                return BY_UNIT["bottle"]
            return 0.0 if much else self._pour(mention)
        if unit in BY_EYE or (unit in SPOONS and self._strong(mention)):
            return DASHES
        if unit == "part":
            if self._strong(mention):
                return STRONG_POUR
            return PART_OF_DRINK if self.in_parts else BASE_PART if self._base(mention) else OTHER_PART
        if unit in SPOONS:
            return SPOON if not topic and unit != "bar_spoon" else 0.0
        return BY_UNIT.get(unit or "", 0.0)

    def _steeped(self, offset: int) -> bool:
        """Is a thing of spirit made around here: a "pecan bourbon", a tincture, something named behind?"""
        infused = word_list(self.lexicon, "of spirit")
        for t in self.named:
            m = t.mention
            if not offset - STEEPED_WITHIN < m.start < offset + NAMED_BEHIND:
                continue
            if id(m) in self.perhaps and t.groups:
                continue  # "a quarter cup of peach brandy" is bought
            last = plain(m.name).split()[-1:]
            entry = self.lexicon.named(last[0]) if last and m.entry is None else m.entry
            figure = self.lexicon.figure(entry, "strength") if entry is not None else None
            if (figure is not None and figure.low > 5) or infused & set(plain(m.name).split()):
                return True
        return self._left_long(offset)

    def _left_long(self, offset: int) -> bool:
        """ "A litre of it and fifteen leaves, and you forget it three weeks", "two spoons of leaves into two cups of
        gin. Ninety minutes": told right behind."""
        poured = [m.start for m in self.measures if 0 <= offset - m.end <= len(" of the ")]
        put_into = any(self.reader.before(at, 1) in (("into",), ("in",), ("to",), ("over",)) for at in poured)
        if not put_into and not self.reader.has("homemade.steep words", offset, offset + LEFT_WITHIN):
            return False
        return any(
            m.kind == "time" and (m.high or 0) >= LEFT_S and offset <= m.start < offset + LEFT_WITHIN
            for m in self.measures
        )

    def _again(self, item: Linked) -> bool:
        """Was the thing named before?"""
        words, last = words_of(item.mention.name), plain(item.mention.name).split()[-1:]
        return any(
            t is not item and t.mention.start < item.mention.start and plain(t.mention.name).split()[-1:] == last
            and (words_of(t.mention.name) <= words or words <= words_of(t.mention.name))
            for t in self.topics
        )  # fmt: skip

    def _pour(self, mention: Mention) -> float:
        """How much a pour by volume speaks for the drink: spirits much, water not at all."""
        if mention.entry is None:
            return WEAK_POUR
        if self._strong(mention):
            return STRONG_POUR
        return 0.0 if self._base(mention) else WEAK_POUR

    def _shares_equally(self, start: int, end: int) -> bool:
        """ "Equal parts sugar and water": equal shares of which one is a base, near a thing that can be made."""
        reader = self.reader
        equal = any(start <= m.start < end and m.kind == "equal" for m in self.measures)
        if not equal and not any(reader.has(label, start, end) for label in EQUALLY):
            return False
        if not any(0 <= start - t.mention.end < NAMED_BEFORE or start <= t.mention.start < end for t in self.named):
            return False
        # What was poured before the thing itself was named is none of its parts.
        low = max([start - 40, *(t.mention.end for t in self.named if t.mention.end <= start)])
        near = [x.mention for x in self.linked if low <= x.mention.start < end + 40]
        return any(self._base(m) for m in near) and not any(self._strong(m) for m in near)

    def _headed(self, start: int, end: int) -> bool:
        """Does a list by the kitchen's measures stand right behind a name: "honey syrup. One cup honey"?"""
        listed = [
            (x, g) for x in self.linked for g in x.groups if start <= g.start < end and id(x.mention) not in self.ices
        ]
        if len(listed) < LEAST_LISTED or not any(g.value.unit in BY_UNIT for _, g in listed):
            return False
        first = min(min(g.start, x.mention.start) for x, g in listed)
        for t in self.named:
            poured = max([t.mention.end, *(g.end for g in t.groups)])
            if not 0 <= first - poured < HEADED_WITHIN or any(x is t for x, _ in listed):
                continue
            words = set(self.reader.gap(poured, first).words)
            if words <= word_list(self.lexicon, "leads to parts") and (not t.groups or words & _IS):
                return True
        return False

    def _counted_of_its_name(self, start: int, end: int) -> bool:
        """ "Thirty elderflower heads", behind the name of an elderflower cordial."""
        counted = [
            x for x in self.linked for g in x.groups
            if start <= g.start < end and (g.value.unit in BY_COUNT or g.value.kind == "vague")
        ]  # fmt: skip
        topic = self.topic_for(start, end) if counted else None
        if topic is None or topic.start >= end:
            return False
        plants = set(plain(topic.name).split()[:-1])
        poured = [x for x in counted if plain(x.mention.heard).split()[-1] not in _GARNISHES]
        poured = [x for x in poured if not set(self.reader.after(x.mention.end, 1)) & _GARNISHES]
        return any(plants & set(plain(x.mention.heard).split()) and not is_topic(x.mention, topic) for x in poured)

    def _ratio_of_its_name(self, start: int, end: int) -> bool:
        """ "Demerara syrup, two to one": a ratio at once behind the name."""
        ends = [max([t.mention.end, *(g.end for g in t.groups)]) for t in self.named]
        return any(
            m.kind == "ratio" and start <= m.start < end
            and any(0 <= m.start - e < OF_ITS_NAME_WITHIN // 2 for e in ends)
            for m in self.measures
        )  # fmt: skip

    def _of_its_name(self, start: int, end: int) -> bool:
        """The honey of "honey syrup, equal parts honey and water": a part that the thing is called by."""
        topics = [t.mention for t in self.named if 0 <= start - t.mention.end < OF_ITS_NAME_WITHIN]
        return any(
            start <= x.mention.start < end and words_of(x.mention.name) < words_of(t.name)
            for x in self.linked for t in topics
        )  # fmt: skip

    # ---- the topic -----------------------------------------------------------------------------------------------

    def topic_for(self, start: int, end: int) -> Mention | None:
        """The thing that a making which begins in a segment is of: named last before it (or in it), not long ago."""
        best: Mention | None = None
        for t in self.named:
            m = t.mention
            if m.start < start - NAMED_BEFORE:
                continue
            if m.start >= end:
                # "... you stir until it's clear, and what you have now is acid-adjusted orange juice": named behind.
                result = m.start - end < NAMED_BEHIND and self._is_result(m)
                if best is None and result:
                    return m
                if best is None and m.start - end < NAMED_BEHIND:
                    continue
                return best
            before = self.reader.before(m.start, 1)
            part = any(g.value.unit in ("g", "kg", "cup", "pint", "part", "l") for g in t.groups)
            lead = len(self.reader.gap(start, m.start).words) if m.start >= start else 0
            if (
                id(m) in self.perhaps
                and (part or (best is not None and id(best) not in self.perhaps))
                and before[-1:] not in _MINE
            ):
                continue
            if best is None or m.start < start or (not part and (before[-1:] in _MINE or lead <= 4)):
                best = m
        return best

    def enter(self, topic: Mention, end: int) -> float:
        """What it costs to begin a making of a topic here."""
        poured = any(t.mention is topic and t.groups for t in self.topics)
        start, _ = self.reader.sentence(topic.start)
        told = self.reader.has("homemade.own", max(start, topic.start - 50), topic.end + 90) or self.reader.has(
            "homemade.maker", topic.start, topic.end + 60
        )
        mine = self.reader.before(topic.start, 1)[-1:] in (("my",), ("our",))
        if told or mine:
            return ENTER
        if id(topic) in self.perhaps:
            steeped = self.reader.has("homemade.steep words", topic.end, topic.end + STEEPED_BEHIND)
            return ENTER_BOUGHT if poured and not steeped else ENTER_PERHAPS
        if poured and plain(topic.name).split()[-1:] == ["juice"]:
            return ENTER_BOUGHT  # pressed, not cooked: "cashew fruit juice, forty mil, it's amazing"
        return ENTER_POURED if poured else ENTER

    def fresh(self, start: int, end: int) -> Mention | None:
        """A thing that is brought up in a segment: unmeasured, near its beginning, "the other is mountain tea"."""
        for t in self.named:
            m = t.mention
            if start <= m.start < end and not t.groups:
                before = self.reader.before(m.start, 1)
                again = before[-1:] in (("the",), ("my",)) and self._again(t)
                if len(self.reader.gap(start, m.start).words) > 5 and not again:
                    continue
                if m.start == start or before[-1:] in (*_MINE, ("is",), ("make",), ("now",), ("then",)):
                    return m
        return None

    def segments(self) -> list[Segment]:
        cuts = self.cuts()
        out: list[Segment] = []
        for k, start in enumerate(cuts):
            end = cuts[k + 1] if k + 1 < len(cuts) else len(self.reader.lower)
            score = self.score(start, end)
            topic = self.topic_for(start, end)
            if score == 0.0:
                score = -IDLE * len(self.reader.gap(start, end).words)
            enter = ENTER if topic is None else self.enter(topic, end)
            if topic is not None and self._goes_on_pouring(topic):
                enter += LISTED
            out.append(
                Segment(
                    start,
                    end,
                    score,
                    topic,
                    enter,
                    self.fresh(start, end),
                    self._next_pour(start, end),
                    self._result(start, end),
                    self._poured_in(start, end),
                    self.reader.has("promises.elsewhere", start, end),
                )
            )
        return out

    def _goes_on_pouring(self, topic: Mention) -> bool:
        """ "Twelve ounces of oat milk, and six grams of tea": the list of what is poured goes on behind it."""
        poured = next((t for t in self.topics if t.mention is topic), None)
        if poured is None or not poured.groups:
            return False
        last = max(topic.end, *(g.end for g in poured.groups))
        lead = _AND_THEN.match(self.reader.lower, last)
        return lead is not None and any(0 <= g.start - lead.end() <= 2 for x in self.linked for g in x.groups)

    def _poured_in(self, start: int, end: int) -> Mention | None:
        return next(
            (
                t.mention for t in self.named for g in t.groups
                if start <= g.start < end and g.value.unit in POURED and _millilitres(g.value) < BATCH_ML
                and id(t.mention) not in self.perhaps and not self._base(t.mention)
            ), None,
        )  # fmt: skip

    def _next_pour(self, start: int, end: int) -> bool:
        lead = self.reader.after(start, 2)
        if lead[:1] != ("then",) and lead not in (("and", "then"), ("now", "then")):
            return False
        return any(
            start <= x.mention.start < end and any(g.value.unit in (*POURED, *BY_EYE, None) for g in x.groups)
            and not self._base(x.mention)
            for x in self.linked
        )  # fmt: skip

    def _is_result(self, m: Mention) -> bool:
        """ "And what you have now is", "that's your": words before the thing just made."""
        return any(
            c.end <= m.start
            and set(self.reader.gap(c.end, m.start).words) <= _A
            and not self.reader.gap(c.end, m.start).stop
            for c in self.reader.cues_in("homemade.result", max(0, m.start - 48), m.start)
        )  # fmt: skip

    def _result(self, start: int, end: int) -> Mention | None:
        return next(
            (
                t.mention for t in self.named
                if start <= t.mention.start < end and self._is_result(t.mention)
            ), None,
        )  # fmt: skip

    def stuff(self, start: int, end: int) -> bool:
        """Is anything measured in it as makings are: by weight, cup or part, in a ratio, or as this and that?"""
        if any(start <= d < end for d in self.defined) or self._shares_equally(start, end):
            return True
        if any(start <= m.start < end and m.kind == "ratio" for m in self.measures):
            return True
        units = (*BY_UNIT, *SPOONS, "part", "bottle")
        return any(start <= g.start < end and g.value.unit in units for x in self.linked for g in x.groups)

    def poured(self, topic: Mention) -> bool:
        """Does a making of a topic interrupt its being poured?"""
        last = plain(topic.name).split()[-1:]
        return any(
            topic.start - POURED_BEFORE < t.mention.start <= topic.start and plain(t.mention.name).split()[-1:] == last
            and any(g.value.unit in (*POURED, *SPOONS, "part", None) for g in t.groups)
            for t in self.named
        )  # fmt: skip


_OF_THE = re.compile(r" of (?:the|that|this|my|our) ([a-z]+)")
_PLAIN_SPIRIT = frozenset(("spirit", "spirits", "alcohol", "everclear", "vodka"))
_CLOTH = re.compile(r"(?<!\w)through (?:[a-z]+ ){0,2}(?:cheesecloth|cloth|muslin|coffee filter|towel|stocking)")
_AND_THEN = re.compile(r",? (?:and|plus|with)(?: then| also)? ")
# A glass is filled till there; nothing is cooked.
_TO_THE_TOP = re.compile(r"(?:till|until) the (?:top|brim|rim|edge|line|lip)")
_BARE_ENDS = re.compile(r"[,.:;?]| (?:is|first|ahead|beforehand|goes|itself|that's|it's|you|i|we|for|with|of)(?![\w'])")
_IS_MADE_OF = re.compile(
    r"(?: itself| here)?(?: is|'s| are|, that's|, it's)(?: just| only| simply| basically| nothing but| about)* "
)
_MINE = (("my",), ("our",), ("the",), ("this",), ("that",))
_DEFINES = tuple((w,) for w in ("just", "only", "is", "it's", "that's", "basically", "simply", "'s", "of", "parts"))
_IS = frozenset(("is", "it's", "that's", "'s", "are", "they're", "it", "which", "goes"))
_NAME_ENDS = re.compile(r"[,.:;?]| (?:is|are|you|i|we|first|now|takes|itself|that's|it's)(?!\w)|$")
_WHO = frozenset(("i", "you", "we"))
_TAKEN = frozenset(
    ("take", "use", "put", "start", "want", "need", "steep", "soak", "boil", "simmer", "combine", "do", "make")
)
_GARNISHES = frozenset(("wheel", "wedge", "twist", "slice", "peel", "sprig"))
_MADE_FROM = tuple((w,) for w in ("from", "with", "of", "using"))
_A = frozenset(("some", "a", "an", "the", "my", "your", "our"))


def _millilitres(m: Measure) -> float:
    return float(m.low or 0) * {"ml": 1.0, "cl": 10.0, "fl_oz": 30.0}.get(m.unit or "", 0.0)


def _by_its_full_name(item: Linked, topics: Sequence[Linked]) -> Linked:
    """ "Six ounces of the hibiscus syrup, and for the hibiscus you take": the syrup is meant."""
    words = words_of(item.mention.heard)
    before = [t.mention for t in topics if t.mention.start < item.mention.start]
    full = [m for m in before if words < words_of(m.heard) or words < words_of(m.name)]
    return Linked(replace(item.mention, name=full[-1].name, entry=full[-1].entry, how="other name")) if full else item


def is_water(mention: Mention) -> bool:
    """Water as it comes, hot or cold; no soda, no coconut water."""
    words = plain(mention.name).split()
    return words[-1:] == ["water"] and set(words[:-1]) <= _PLAIN_WATER


_PLAIN_WATER = frozenset(("hot", "boiling", "boiled", "warm", "cold", "lukewarm", "filtered", "tap"))
_JUST = frozenset(("is", "it's", "that's", "just", "only", "but", "simply"))


def _negated(reader: TalkReader, offset: int) -> bool:
    return any(w in ("don't", "never", "no", "not", "without") for w in reader.before(offset, 3))


def not_meant(mention: Mention, reader: TalkReader) -> bool:
    """ "It's simple": no syrup."""
    return plain(mention.heard) == "simple" and reader.before(mention.start, 1)[-1:] in tuple(
        (w,) for w in ("it's", "is", "that's", "very", "so", "pretty", "really", "quite", "keep", "dead", "'s")
    )


def _echoes(topics: Sequence[Linked], linked: Sequence[Linked], reader: TalkReader) -> list[Linked]:
    """Other places where a thing is named that no dictionary has: "nobody does the batter right"."""
    out: list[Linked] = []
    taken = [(x.mention.start, x.mention.end) for x in linked]
    for name, t in {plain(t.mention.heard): t for t in topics if t.mention.entry is None}.items():
        if not name:
            continue
        for m in re.finditer(r"(?<![\w'])" + re.escape(t.mention.heard.lower()) + r"(?![\w'])", reader.lower):
            if not any(a < m.end() and m.start() < b for a, b in taken):
                out.append(Linked(replace(t.mention, start=m.start(), end=m.end(), core=None)))
                taken.append(m.span())
    return out


def weighed(weigher: Weigher, segments: Sequence[Segment], openings: Sequence[int]) -> list[Stretch]:
    """The stretches in which makings are told, in order, without overlap.

    The talk is cut into segments, each weighed for and against; then the likeliest run of "making" and "drink" over all
    segments is taken (Viterbi). A making may begin only where a thing that can be home-made is named, right before or
    in the segment, and hardly goes on over the opening of a drink or when another such thing is brought up.
    """
    reader = weigher.reader
    out: list[Stretch] = []
    for first, last in runs(segments, sorted(openings), weigher.poured):
        topic = segments[first].topic
        while last > first and segments[last].score <= 0:
            last -= 1
        if topic is None or sum(max(0.0, s.score) for s in segments[first : last + 1]) < LEAST:
            continue
        if out and out[-1].start <= topic.start < out[-1].end:
            continue  # a name said inside a making begins no second one
        told = any(words_of(o.topic.name) == words_of(topic.name) for o in out)
        if told and reader.before(topic.start, 1)[-1:] not in _MINE:
            continue  # "who boils green tea is a fool" neither
        if (
            weigher.poured(topic)
            and id(topic) not in weigher.own
            and not weigher.stuff(segments[first].start, segments[last].end)
        ):
            continue
        inside = segments[first].start <= topic.start < segments[first].end
        # "Simmer two cups of apple juice down to half a cup, that's your apple reduction."
        result = any(topic.start - 4 <= c.end <= topic.start for c in reader.cues_in(
            "homemade.result", max(0, topic.start - 24), topic.start
        ))  # fmt: skip
        start = max(segments[first].start, topic.end) if inside and not result else segments[first].start
        if start < segments[last].end:
            out.append(Stretch(full_name(topic, segments[last].end, weigher), start, segments[last].end))
    return out


def full_name(topic: Mention, end: int, weigher: Weigher) -> Mention:
    """ "You start with your tea ... six cups of the black tea": a bare head takes the fuller name said right behind.

    Or right before: "thirty mil of butterfly pea tea. The tea is just".
    """
    if len(words_of(topic.name)) > 1:
        return topic
    fuller = [
        t.mention for t in weigher.topics
        if words_of(topic.name) < words_of(t.mention.name)
        and plain(t.mention.name).split()[-1] == plain(topic.name).split()[-1]
    ]  # fmt: skip
    # "The bramble shrub, and a shrub has nothing to do with hedges": at once behind it even with "a".
    article = weigher.reader.before(topic.start, 1)[-1:]
    within = NAMED_BEFORE if article in _MINE else AT_ONCE if article in (("a",), ("an",)) else 0
    before = [m for m in fuller if 0 <= topic.start - m.end < within]
    behind = [m for m in fuller if end - NAMED_BEFORE < m.start < end + NAMED_BEFORE and m.start > topic.start]
    # "The shrub" in a talk that names one shrub only.
    only = fuller[:1] if len({plain(m.name) for m in fuller}) == 1 else []
    return next(iter([*reversed(before), *behind, *only]), topic)


def runs(
    segments: Sequence[Segment], openings: Sequence[int], poured: Callable[[Mention], bool]
) -> list[tuple[int, int]]:
    """The likeliest stretches of making: pairs of first and last segment.

    Two states, in a making and not; from a making the talk may go straight into another one.
    """
    drink, making = 0.0, float("-inf")
    topic: Mention | None = None
    trail: list[tuple[bool, str]] = []
    """For each segment: did it come from a making, if in none; how did it come into one: stay, enter, again."""
    previous_end = 0
    named: Mention | None = None
    owed = False
    for s in segments:
        opened = any(previous_end <= o <= s.start for o in openings)
        stay = making - (OVER_OPENING if opened else 0.0)
        another = (
            s.fresh is not None and topic is not None and not is_topic(s.fresh, topic) and not is_topic(topic, s.fresh)
        )
        if another:
            stay -= ANOTHER
        if s.poured is not None and topic is not None and not is_topic(s.poured, topic):
            stay -= ANOTHER
        if s.next_pour and topic is not None and poured(topic):
            stay -= NEXT_POUR
        if named is not None and topic is not None and is_topic(named, topic):
            stay -= AFTER_RESULT
        if owed:
            stay -= AFTER_ELSEWHERE
        nothing = float("-inf")
        enter = s.enter
        if s.topic is not None and s.topic.end < s.start and any(s.topic.end < o <= s.start for o in openings):
            enter = float("inf")  # the thing was of the drink before
        options = {
            "stay": stay,
            "enter": drink - enter if s.topic is not None else nothing,
            "again": making - LEAVE - s.enter if another and s.topic is s.fresh else nothing,
        }
        how = max(options, key=lambda k: options[k])
        leave = making - LEAVE
        trail.append((leave > drink, how))
        if how != "stay":
            topic = s.topic
        drink, making = max(drink, leave), options[how] + s.score
        previous_end, named, owed = s.start + 1, s.named, s.elsewhere
    out: list[tuple[int, int]] = []
    in_making = making > drink
    last = len(segments) - 1
    for k in range(len(segments) - 1, -1, -1):
        from_making, how = trail[k]
        if in_making:
            if how == "stay":
                continue
            out.append((k, last))
            last = k - 1
            in_making = how == "again"
        elif from_making:
            last = k - 1
            in_making = True
    out.reverse()
    return out
