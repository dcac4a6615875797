"""The stages of the reading in order: from a Talk to a Draft."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from extractor.lexicon import Lexicon, plain
from extractor.numbers import is_number
from extractor.record.episode import Component, Correction, Drink, Ingredient, Range
from extractor.record.finding import Draft, Finding
from extractor.record.measure import Measure
from extractor.record.talk import Mention, Talk, Technique
from extractor.specs import method, notices
from extractor.specs.as_before import told_as_before
from extractor.specs.bare_kinds import bare_kinds
from extractor.specs.bitters import as_bitters, bare_bitters
from extractor.specs.choices import Choice, choices
from extractor.specs.compared import compared
from extractor.specs.detours import Detour, detours, drink_at, drink_named, recap_extents, tail_of
from extractor.specs.drink_names import NameWords
from extractor.specs.drinks import DrinkSpan, drink_spans
from extractor.specs.fold import AmountOf, Line, as_cut, carry_units, fold, ingredient
from extractor.specs.gaps import TalkReader
from extractor.specs.garnishes import (
    beside_the_drink,
    by_its_cut,
    listed_on,
    next_to_the_glass,
    stands_alone,
    with_its_cut,
)
from extractor.specs.homemade import Making, batch_words, compounds, makeable, makings
from extractor.specs.ices import ice_of
from extractor.specs.juices import as_juice, bare_juice, poured_juice, with_juice
from extractor.specs.links import Group, Linked, link
from extractor.specs.misheard_makings import as_made
from extractor.specs.misnamed import renamed
from extractor.specs.modes import Extent, extents, left_out, mode_at
from extractor.specs.of_them import of_them
from extractor.specs.own_sizes import named_behind, own_sizes, usual_unit
from extractor.specs.own_way import held_instead
from extractor.specs.put_right import named_again, put_right
from extractor.specs.respective import respectively
from extractor.specs.rims import rimmed_glasses
from extractor.specs.same import (
    described,
    listed_bare,
    meant,
    pronouns,
    resolve_heads,
    same_thing,
    told_first,
    told_of,
    words_of,
)
from extractor.specs.shares import in_shares
from extractor.specs.statements import (
    FLOAT,
    GARNISH,
    POUR,
    RIM,
    RINSE,
    TOP,
    Statement,
    filled_up,
    goes_in,
    is_placed,
    is_volume,
    no_rim,
    of_the_rim,
    role_of,
    settle_unit,
    wets_the_rim,
)
from extractor.specs.steps import Put
from extractor.specs.steps import steps as read_steps
from extractor.specs.stretches import BASES, not_meant

UNNAMED = "Unnamed drink"
FLOATED_WITHIN = 30
"""What is floated is named so many characters behind "float" at most."""
_APART = re.compile(
    r"\bmixing (?:glass|tin)\b|\b(?:stir|mix)\b[^.?!]{0,40}\b(?:in|into) (?:the|a|my|your|this|that) (?:[a-z]+ )?"
    r"(?:jug|pitcher)\b|\b(?:in|into) (?:the|a|my|your|this|that) (?:[a-z]+ )?(?:jug|pitcher)\b[^.?!]{0,40}\bstir\b"
)
_NO_MIXING_GLASS = re.compile(
    r"\b(?:no|not|without|haven't got|ain't got|don't have|don't need)(?: a| any| the)? mixing glass\b"
)
_SAME_GLASS = re.compile(
    r"\b(?:the )?same (?:kind of |sort of |little |big |tall |small )?(?:glass|glasses|cup|cups|mug)\b"
)
# Units that a bare number in a making takes over: "forty grams of salt, twenty of sugar".
CARRIED = ("g", "kg", "oz_wt", "lb", "ml", "cl", "l", "fl_oz", "part", "cup", "tbsp", "tsp")
LIST_WITHIN = 3
"""So many sentences behind a list its amount may be told."""
_OF_ALL = tuple((a, "of", b) for a in ("all", "each", "both") for b in ("them", "these", "those"))
_TIMES = {"same": Fraction(1), "half": Fraction(1, 2), "double": Fraction(2)}
TOLD_ABOUT = ("riff", "history", "hypothetical", "tasting", "sip", "aside")
_WHEN_THE = tuple((w, "the") for w in ("when", "because", "since", "while", "if", "until"))
_WAS = (("was",), ("is",), ("were",), ("are",), ("wasn't",), ("isn't",), ("gets",), ("got",), ("comes",), ("came",))
MIXES = ("shake", "dry shake", "reverse dry shake", "stir", "heat", "blend", "swizzle", "muddle")
SAID_BEFORE = 160
"""What is said so many characters before a talk's first drink is opened is said of it."""
DENIED_WITHIN = 260
"""What is denied was put in so many characters before."""
NAMELESS_SHOWN = 60
"""So many characters of a making whose name was not heard are shown where it is asked about."""
SURE_GLASS = 0.85
"""A glass heard by its sound alone is asked about below."""
COUNTED = (None, "piece", "leaf", "sprig", "slice", "dash", "drop", "pinch", "tsp", "tbsp")
"""Units of what goes into a making beside the shares of its bases."""
SKIPPED_WITHIN = 90
REPLACED_WITHIN = 130
"""What is put right as the old way stands so many characters before, and what replaces it so many behind."""
_WAS_BEFORE = re.compile(
    r" (?:was|is from|is) (?:for |from )?(?:last (?:year|time|week|month|summer|winter)|before|the old)"
)
_NOW_IT_IS = re.compile(
    r"(?:it's|it is|we use|i use|we take|i take|we have|i have|it's now|now it's|it is now|comes|instead|there is)"
    r" (?:the |a |an |some |my |our )?$"
)
_PERHAPS = frozenset(("can", "could", "may", "might", "if", "or", "don't", "never", "you", "not", "people", "some"))
_TAKES_BACK = frozenset(("no", "actually", "wait", "sorry", "nope", "oh", "nah"))


def read_specs(
    talk: Talk, lexicon: Lexicon, *, amount_of: AmountOf, millilitres: Callable[[float, str], float | None]
) -> Draft:
    """Reads the whole talk.

    amount_of turns a measure into the record's amount (given whether a liquid is measured, None where unknown);
    millilitres gives the size of a number of a unit, None where it has none.
    """
    return _Reading(talk, lexicon, amount_of, millilitres).draft()


class _Reading:
    def __init__(
        self, talk: Talk, lexicon: Lexicon, amount_of: AmountOf, millilitres: Callable[[float, str], float | None]
    ) -> None:
        self.talk = talk
        self.lexicon = lexicon
        self.amount_of = amount_of
        self.millilitres = millilitres
        self.reader = TalkReader(talk)
        self.names = NameWords(lexicon.phrases["drinks"])
        self.tools = frozenset(plain(n) for e in lexicon.tools for n in (e.name, *e.others))
        self.classics = frozenset(plain(n) for e in lexicon.classics for n in (e.name, *e.others))
        self.extents: list[Extent] = extents(self.reader, self.classics)
        self.findings: list[Finding] = []

    # ---- the stages ----------------------------------------------------------------------------------------------

    def draft(self) -> Draft:
        reader, talk = self.reader, self.talk
        things = [
            of_the_rim(m, self.lexicon) for m in talk.mentions
            # The thirty of "two lots of thirty" is no thing.
            if m.group == "ingredient" and not (m.how == "unknown" and is_number(plain(m.heard)))
        ]  # fmt: skip
        things = sorted([*things, *rimmed_glasses(reader, talk.mentions, self.lexicon)], key=lambda m: m.start)
        tail = tail_of(reader)
        pours = [m.start for m in talk.measures if m.kind in ("amount", "equal") and self.told(m.start) is None]
        self.usual_unit = usual_unit(reader, talk.measures)
        self.drinks, announced = drink_spans(
            reader, self.extents, pours, talk.mentions, self.classics, tail, self.names
        )
        starts = sorted([d.start for d in self.drinks] + [tail])
        self.unmade = [(a.start, next((x for x in starts if x > a.start), tail)) for a in announced]
        things = self.without_drink_names(things, [*self.drinks, *announced])
        things = compounds(things, reader, self.lexicon)
        things = resolve_heads(things, reader, self.lexicon)
        things = bare_juice(meant(things, reader), reader, self.lexicon)
        things = renamed(things, reader, self.lexicon)
        told = [m for m in things if self.told(m.start) in ("riff", "history", "hypothetical")]
        said = sorted([*talk.measures, *put_right(things, talk.measures, reader)], key=lambda m: m.start)
        held = held_instead(told, things, said, reader, lambda at: self.told(at) is None)
        things = [m for m in things if self.told(m.start) is None and not self.not_poured(m)]
        said = [m for m in said if self.told(m.start) is None]
        again, numbers = named_again(things, said, reader)
        said = sorted([*said, *(m for m in numbers if self.told(m.start) is None)], key=lambda m: m.start)
        again = [m for m in again if all(m.start != x.start for x in held)]
        things = sorted([*things, *held, *again], key=lambda m: m.start)
        things = described(things, talk.measures, reader)
        things = listed_bare(told_first(things, talk.measures, reader), talk.measures, reader)
        things = bare_bitters(things, talk.measures, reader, self.lexicon)
        things = bare_kinds(things, said, reader, self.lexicon)
        batch = batch_words(self.lexicon)
        things = pronouns(things, talk.measures, reader, lambda m: makeable(m, self.lexicon, batch))
        measures = [m for m in said if not self._in_a_name(m)]
        counts = of_them(things, measures, reader)
        measures = [m for m in measures if not any(c.start <= m.start < c.end for c in counts)]
        measures = sorted([*measures, *counts], key=lambda m: m.start)
        measures = own_sizes(measures, reader, talk.measures)
        things = named_behind(things, measures, reader, self.lexicon)
        measures, things = compared(measures, things, reader)
        measures, told_in_turn = respectively(measures, things, reader)
        measures = in_shares(measures, things, reader, self.lexicon, lambda m: makeable(m, self.lexicon, batch))
        linked, loose = link(measures, things, reader, self.lexicon)
        for item in linked:
            amount = told_in_turn.get(item.mention.start)
            if amount is not None and not item.groups:
                item.groups.append(Group([amount], amount))
        as_juice(linked, reader, self.lexicon, self.usual_unit)
        linked = with_juice(linked, reader, self.lexicon)
        linked = self.distribute(linked)
        as_juice(linked, reader, self.lexicon)
        as_bitters(linked, reader, self.lexicon)
        loose = self._told_of_list(linked, loose)
        self.makings: list[Making] = makings(
            reader, linked, self.extents, self.lexicon, [d.start for d in self.drinks], loose,
            [d.name for d in self.drinks if d.name],
        )  # fmt: skip
        linked = as_made(linked, self.makings, reader, self.lexicon)
        loose = sorted([*loose, *(g for x in linked if told_of(x.mention) for g in x.groups)], key=lambda g: g.start)
        linked = [x for x in linked if not told_of(x.mention)]
        self._behind_the_glass()
        self._before_the_egg()
        self.detours: list[Detour] = detours(reader, self.drinks)
        self.recaps = recap_extents(reader, self.drinks)
        self.tail = tail
        self.choices: list[Choice] = choices(reader, linked)
        self.linked = linked
        statements = self.statements(linked)
        self.retract(statements)
        self.told_again(statements, served=self.served(linked))
        spans = [(d.index, d.start, d.end) for d in self.drinks]
        statements += told_as_before(reader, spans, statements, lambda m: left_out(reader, m) is not None)
        drinks, lines = self.build(statements)
        self.notices(drinks, lines, loose)
        return Draft(
            drinks=tuple(drinks),
            # What stands outside of all drinks may be noticed twice.
            findings=tuple(sorted(dict.fromkeys(self.findings), key=lambda f: f.start)),
            corrections=self.corrections(things),
            announced=tuple(a.name or "" for a in announced if a.name),
        )

    def _in_a_name(self, measure: Measure) -> bool:
        """ "Two Cups Short" is a drink."""
        return any(
            d.name_start is not None and d.name_end is not None and d.name_start <= measure.start < d.name_end
            for d in self.drinks
        )

    def told(self, offset: int) -> str | None:
        mode = mode_at(self.extents, offset)
        return mode if mode in TOLD_ABOUT else None

    def not_poured(self, mention: Mention) -> bool:
        if not_meant(mention, self.reader):
            return True  # "it's simple, four ingredients"
        if self.reader.before(mention.start, 2) in _WHEN_THE and self.reader.after(mention.end, 1) in _WAS:
            return True  # "in May, when the fruit was angry"
        return left_out(self.reader, mention) is not None or wets_the_rim(self.reader, mention, self.lexicon)

    def without_drink_names(self, things: Sequence[Mention], spans: Sequence[DrinkSpan]) -> list[Mention]:
        """Things inside a drink's name ("Jasmine Over the Fence") are not poured."""
        taken: list[tuple[int, int]] = []
        for s in spans:
            if s.name and len(s.name) > 2:
                pattern = r"(?<!\w)" + re.escape(s.name.lower().replace("’", "'")) + r"(?!\w)"
                taken += [m.span() for m in re.finditer(pattern, self.reader.lower)]
        return [
            t for t in things if not any((a <= t.start and t.end <= b) or (t.start < b and a < t.end) for a, b in taken)
        ]

    def distribute(self, linked: Sequence[Linked]) -> list[Linked]:
        """ "Gin, vermouth and bitter, an ounce each": the amount goes to every name of its list."""
        out = list(linked)
        for k, item in enumerate(out):
            for g in list(item.groups):
                value = g.value
                if value.kind == "equal" and value.low is None:
                    follower = next((x for x in g.measures if x.low is not None), None)
                    if follower is None:
                        self._one_part_each(out, k, g)
                        continue
                    g.value = value = replace(follower, each=True)
                if not (value.each or value.kind == "equal" or any(m.kind == "equal" for m in g.measures)):
                    if not self._all_the_same(g):
                        continue
                    g.value = value = replace(value, each=True)
                if value.kind == "equal":
                    g.value = value = replace(value, kind="amount", each=True)
                self._spread(out, k, g)
        return out

    def _one_part_each(self, linked: list[Linked], k: int, group: Group) -> None:
        """ "Equal parts gin, vermouth and bitter.": with no amount behind, one part of each thing of the list."""
        if linked[k].mention.start < group.start:
            self._one_part_of_list(linked, k, group)
            return
        _, end = self.reader.sentence(group.start)
        here, listed = linked[k].mention, 0
        for other in linked[k + 1 :]:
            gap = self.reader.gap(here.end, other.mention.start)
            if gap.stop or not _listed(gap.words) or other.mention.start >= end:
                break
            if other.groups:
                return  # an amount stands in the list: it is for all, or for that one
            here, listed = other.mention, listed + 1
        if not listed or not self.talk.punctuated:
            return
        group.value = replace(group.value, kind="amount", low=Fraction(1), high=Fraction(1), unit="part", each=True)
        self._spread(linked, k, group)

    def _one_part_of_list(self, linked: list[Linked], k: int, group: Group) -> None:
        """ "Gin, bitter and vermouth. They're in equal parts." """
        alone = linked[k].groups == [group]
        if not alone:
            return
        linked[k].groups.clear()
        listed = self._last_list(linked, group.start)
        if linked[k] not in listed:
            linked[k].groups.append(group)
            return
        group.value = replace(group.value, kind="amount", low=Fraction(1), high=Fraction(1), unit="part", each=True)
        for item in listed:
            item.groups.append(Group(group.measures, group.value))

    def _told_of_list(self, linked: Sequence[Linked], loose: list[Group]) -> list[Group]:
        """ "Sloe gin, sherry and vermouth. My uncle had cream sherry. They're in equal parts.": the last list is meant,
        if its things have no amounts."""
        kept: list[Group] = []
        for g in loose:
            equal = g.value.kind == "equal"
            listed = self._last_list(linked, g.start) if equal or g.value.each or self._all_the_same(g) else []
            if len(listed) < 2 or not (equal or g.value.unit is not None):
                kept.append(g)
                continue
            value = replace(g.value, kind="amount", each=True)
            if value.low is None:
                value = replace(value, low=Fraction(1), high=Fraction(1), unit="part")
            for item in listed:
                item.groups.append(Group(g.measures, value))
        return kept

    def _last_list(self, linked: Sequence[Linked], before: int) -> list[Linked]:
        """The things of the last list before an offset, if none of them has an amount."""
        number = self.reader.sentence_number(before)
        if not self.talk.punctuated:
            return []
        for n in range(number, max(-1, number - LIST_WITHIN - 1), -1):
            start, end = self.reader.sentence_span(n)
            here = [x for x in linked if start <= x.mention.start < min(end, before)]
            if any(x.groups for x in here):
                return []
            runs: list[list[Linked]] = [[]]
            for x in here:
                gap = self.reader.gap(runs[-1][-1].mention.end, x.mention.start) if runs[-1] else None
                if gap is not None and not (_listed(gap.words) and (gap.comma or gap.words[:1] == ("and",))):
                    runs.append([])
                runs[-1].append(x)
            longest = max(runs, key=len)
            if len(longest) > 2 or (len(longest) == 2 and n == number):
                return longest
        return []

    def _all_the_same(self, group: Group) -> bool:
        """ "Mezcal, amaro, curaçao, lemon juice. All of them the same, three quarters of an ounce"."""
        if group.value.kind != "amount" or group.value.unit is None:
            return False
        if self.reader.before(group.start, 1) in (("all",), ("both",)) and self.reader.after(group.end, 1) != ("of",):
            return True  # "gin, vermouth, bitter and lime juice, all twenty mil"
        if self.reader.after(group.end, 2) in (("for", "each"), ("for", "both"), ("in", "each")):
            return True  # "bitter and vermouth, you put half an ounce for each one"
        if self.reader.before(group.start, 3) in _OF_ALL and self.reader.after(group.end, 1) != ("of",):
            return True
        cues = self.reader.cues_in("promises.all the same", max(0, group.start - 60), group.start)
        gaps = (self.reader.gap(c.end, group.start) for c in cues if c.end <= group.start)
        return any(not gap.stop and len(gap.words) <= 3 for gap in gaps)

    def _spread(self, linked: list[Linked], k: int, group: Group) -> None:
        item = linked[k]
        if item.mention.start >= group.start:  # "an ounce each of A, B and C"
            here = item.mention
            for other in linked[k + 1 :]:
                gap = self.reader.gap(here.end, other.mention.start)
                if gap.stop or other.groups or not _listed(gap.words):
                    break
                other.groups.append(Group(group.measures, group.value))
                here = other.mention
        else:  # "A, B and C, an ounce each"
            here = item.mention
            for other in reversed(linked[:k]):
                gap = self.reader.gap(other.mention.end, here.start)
                if gap.stop or not (_listed(gap.words) or _each_is(gap.words)):
                    break
                if other.groups and all(g.value.kind == "equal" and g.value.low is None for g in other.groups):
                    other.groups.clear()  # "equal parts A, B and C, an ounce each"
                if other.groups:
                    break
                other.groups.append(Group(group.measures, group.value))
                here = other.mention

    # ---- statements ----------------------------------------------------------------------------------------------

    def _behind_the_glass(self) -> None:
        """What is served is no longer made: a making that reaches back over the glass of a drink begins behind it.

        "A punch with nothing sour behind it will just lay there. You ladle it up in the punch cups, and each one gets
        a peach slice. ... Oh, the shrub. It's one pound of peaches": of the shrub is told from there on.
        """
        for making in self.makings:
            told = sorted(x.mention.start for x in making.parts)
            served = [
                m for m in self.talk.mentions
                if m.group == "glass" and making.start < m.start < making.end and plain(m.heard) not in self.tools
                and not any(t < m.start for t in told)
                and plain(m.name).split()[-1] not in self.names.mixed_in
                and method.serves_in(self.reader, m, self.names) >= method.INTO - 0.5
            ]  # fmt: skip
            if not served:
                end = self._served_behind(making, told)
                making.end = making.end if end is None else end
                continue
            if not told:
                continue
            punctuated = self.reader.talk.punctuated
            start = self.reader.sentence(served[-1].start)[1] if punctuated else served[-1].end
            topic = making.topic.start
            if start <= topic < told[-1]:
                start = self.reader.sentence(topic)[0] if punctuated else topic
            if start <= told[-1]:
                making.start = start
                making.parts = [x for x in making.parts if x.mention.start >= start]
                making.plain_parts = [m for m in making.plain_parts if m.start >= start]

    def _served_behind(self, making: Making, told: Sequence[int]) -> int | None:
        """ "Twenty minutes, lid on. Ladle it into teacups, and grate nutmeg over each": there the making has ended."""
        for m in self.talk.mentions:
            inside = m.group == "glass" and making.start < m.start < making.end and plain(m.heard) not in self.tools
            if not inside or not told or told[-1] > m.start or plain(m.name).split()[-1] in self.names.mixed_in:
                continue
            if method.serves_in(self.reader, m, self.names) < method.INTO - 0.5:
                continue
            start = self.reader.sentence(m.start)[0] if self.talk.punctuated else m.start
            return m.start if start <= told[-1] else start
        return None

    def _before_the_egg(self) -> None:
        """ "Sugar syrup, the same weight of sugar and water, and the white of one egg": no egg is cooked in a syrup."""
        for making in self.makings:
            if notices.component_kind(making.topic, self.lexicon) not in ("syrup", "cordial", "shrub"):
                continue
            eggs = [
                min(x.mention.start, *(g.start for g in x.groups)) if x.groups else x.mention.start
                for x in making.parts
                if x.mention.entry is not None
                and (self.lexicon.is_a(x.mention.entry, "egg") or self._dashed_bitters(x))
            ]
            if eggs and any(x.mention.start < min(eggs) for x in making.parts):
                making.end = min(making.end, *eggs)
                making.parts = [x for x in making.parts if x.mention.start < making.end]
                making.plain_parts = [m for m in making.plain_parts if m.start < making.end]

    def _dashed_bitters(self, item: Linked) -> bool:
        """ "Warm it till it goes clear, and orange bitters, four dashes": nor are bitters by the dash."""
        bitters = item.mention.entry is not None and self.lexicon.is_a(item.mention.entry, "bitters")
        return bitters and any(g.value.unit == "dash" for g in item.groups)

    def _made_here(self, mention: Mention) -> bool:
        return any(not k.amends and same_thing(mention, k.topic) for k in self.makings)

    def making_at(self, offset: int) -> Making | None:
        return next((m for m in self.makings if m.start <= offset < m.end), None)

    def mode_of(self, item: Linked, group: Group | None) -> str:
        at = group.start if group is not None else item.mention.start
        reader = self.reader
        recap = any(a <= at < b for a, b in self.recaps)
        if group is not None:
            first = min(item.mention.start, group.start)
            start, _ = reader.sentence(first)
            if recap:
                start = max(start, first - 40)
            elif reader.talk.punctuated:
                number = reader.sentence_number(first)
                start = max(reader.sentence_span(max(0, number - 1))[0], first - 70)
            else:
                start = max(start, first - 60)
            last = max(item.mention.end, group.end)
            # A correction that was used up inside the group is not one of an earlier amount.
            before = [
                c
                for c in reader.cues_in("turns.correction", start, last + 25)
                if not (group.start < c.start < group.end)
            ]
            at_once = (
                item.groups and group is not item.groups[0] and not reader.gap(item.mention.end, group.start).words
                and group.start > item.mention.end
            )  # fmt: skip
            quoted = (
                item.groups and group is not item.groups[0]
                and reader.has("turns.said before", item.groups[0].start - 40, item.groups[0].start)
            )  # fmt: skip
            if before or group.corrected or at_once or quoted:
                return "correct"
        return "recap" if recap else "make"

    def statements(self, linked: Sequence[Linked]) -> list[Statement]:
        reader = self.reader
        served = self.served(linked)
        alternatives = {id(c.other): c for c in self.choices}
        by_first: dict[int, list[Choice]] = {}
        for c in self.choices:
            by_first.setdefault(id(c.first), []).append(c)
        measured: dict[int, list[Mention]] = {}
        raw: list[tuple[Linked, int | None]] = []
        for item in linked:
            m = item.mention
            if self.making_at(m.start) is not None or id(m) in alternatives:
                continue
            if any(x.mention.start == m.start for k in self.makings for x in k.parts):
                continue  # named right before its making
            at = item.groups[0].start if item.groups else m.start
            drink = self.drink_of(m, min(at, m.start))
            raw.append((item, drink))
            if drink is not None and item.groups:
                measured.setdefault(drink, []).append(m)
        out: list[Statement] = []
        for item, drink in raw:
            m = item.mention
            if drink is None:
                if item.groups and any(is_volume(g.value) for g in item.groups) and m.start < self.tail:
                    g = item.groups[-1]
                    if reader.before(item.groups[0].start, 1) in (("is",), ("means",), ("mean",)):
                        continue  # "one espresso is thirty mil" gives a size
                    self.findings.append(Finding("unplaced", None, m.name, min(m.start, g.start), max(m.end, g.end)))
                continue
            if not item.groups and any(a <= m.start < b for a, b in self.unmade):
                continue  # named with a drink that is never made
            is_served = m.start > served.get(drink, len(reader.lower))
            said: list[Group | None] = [*item.groups] or [None]
            for group in said:
                if group is not None and reader.before(group.start, 1) == ("from",):
                    continue  # "juice from about five lemons" tells where it comes from
                measure = self.resolve(group, linked, m) if group is not None else None
                if measure is not None and measure.unit == "rim" and no_rim(reader, m):
                    continue  # "salt, not on the rim"
                measure_settled = settle_unit(measure, m, self.lexicon) if measure is not None else None
                role = role_of(reader, m, measure_settled, served=is_served, lexicon=self.lexicon)
                mode = self.mode_of(item, group)
                if role == GARNISH and group is not None and beside_the_drink(reader, m):
                    continue  # "a piece of shortbread by it"
                named = with_its_cut(reader, m, self.lexicon) if role == GARNISH and group is None else m
                s = Statement(
                    named,
                    measure,
                    [group] if group else [],
                    role,
                    mode,
                    min(m.start, group.start if group else m.start),
                )
                s.drink = self.drink_of_group(m, group, drink)
                # What is made at home and measured only in the list read out again does go in.
                s.forced = measure is not None and measure.kind == "amount" and self._made_here(m)
                for c in by_first.get(id(m), ()):
                    s.alternatives.append(c.other)
                    s.settled = c.settled
                start, end = reader.sentence(m.start)
                s.optional = reader.has("modes.optional", start, end) and reader.has(
                    "modes.optional", m.start, min(end, m.end + 60)
                )
                before = next((x for x in reversed(out) if x.drink == s.drink and x.mention is not m), None)
                listed = (
                    before is not None
                    and before.role == GARNISH
                    and before.sure
                    and listed_on(reader, before.mention, m, self.lexicon)
                )
                either = any(c.either for c in by_first.get(id(m), ()))
                really = either or self.really_in(s, measured.get(drink, ()), is_served)
                if group is None and not really and not (role == GARNISH and listed):
                    s.sure = False
                s.retold = m.start >= self.tail or any(a <= m.start < b for a, b in self.recaps)
                if s.retold and group is None:
                    s.sure = False
                if m.start >= self.tail and mode != "correct":
                    s.mode = "recap"
                s.placed = role == GARNISH and is_served and not s.retold and is_placed(reader, m)
                out.append(s)
        self._whole_lists(out)
        return out

    def _whole_lists(self, statements: Sequence[Statement]) -> None:
        """ "It's gin, vermouth, bitter and lime juice, all twenty mil": where one thing of a list goes in, all do."""
        ordered = sorted((s for s in statements if not s.retold), key=lambda s: s.mention.start)
        pairs = list(itertools.pairwise(ordered))
        for a, b in [*reversed(pairs), *pairs]:
            if (
                a.sure == b.sure
                or a.drink != b.drink
                or not (a.role == b.role == POUR)
                or same_thing(a.mention, b.mention)
            ):
                continue
            doubtful = a if not a.sure else b
            entry = doubtful.mention.entry
            if (
                entry is None
                or entry.everyday
                or doubtful.mention.how == "unknown"
                or not self.lexicon.is_liquid(entry)
            ):
                continue
            if self.lexicon.is_a(entry, "egg"):
                continue  # "one whole egg, yolk and white"
            gap = self.reader.gap(a.mention.end, b.mention.start)
            between = any(a.mention.end <= m.start < b.mention.start for m in self.talk.measures)
            if not gap.stop and not between and _listed(gap.words) and (gap.comma or gap.words):
                doubtful.sure = True

    def really_in(self, s: Statement, neighbours: Sequence[Mention], served: bool) -> bool:
        """Does a name without an amount go in?"""
        reader, m = self.reader, s.mention
        if m.how == "unknown":
            return False
        if s.role in (TOP, FLOAT, RINSE, RIM):
            return True
        if s.role == GARNISH:
            if m.group != "ingredient" or beside_the_drink(reader, m):
                return False
            cue = any(
                not reader.gap(c.end, m.start).stop and len(reader.gap(c.end, m.start).words) <= 3
                for c in reader.cues_in("places.garnish", max(0, m.start - 70), m.start)
                if c.end <= m.start
            ) or any(
                not reader.gap(m.end, c.start).stop and len(reader.gap(m.end, c.start).words) <= 6
                for c in reader.cues_in("places.garnished", m.end, m.end + 60)
            )
            before = reader.before(m.start, 2)
            determined = before[-1:] and before[-1] in ("a", "an", "one", "some", "with")
            kind = m.entry is not None and self.lexicon.is_a(m.entry, "garnish")
            start, _ = reader.sentence(m.start)
            serves = any(t.name in method.SERVING and start <= t.start < m.start for t in self.talk.techniques)
            alone = (served or by_its_cut(m)) and m.how != "unknown" and stands_alone(reader, m, self.lexicon)
            alone = alone or (kind and m.how == "exact" and self._all_poured(m))
            behind = served and m.how != "unknown" and next_to_the_glass(reader, m, self.lexicon)
            cue = cue or plain(m.heard).endswith(" on top")  # a name that takes its place in: "nutmeg on top"
            return bool(cue or alone or behind or (determined and (kind or (served and serves))))
        if self._told_to_go_in(m, neighbours):
            return True
        if (
            m.entry is not None
            and self.lexicon.is_a(m.entry, "egg")
            and any(n.entry is not None and self.lexicon.is_a(n.entry, "egg") for n in neighbours)
        ):
            return False  # "one whole egg, yolk and everything"
        return goes_in(reader, m, neighbours)

    def _all_poured(self, m: Mention) -> bool:
        """ "Orange twist. Oh, stirred, over ice": said before the method, when everything has been poured."""
        reader = self.reader
        start, end = reader.sentence(m.start)
        if not reader.talk.punctuated or reader.gap(start, m.start).words or reader.lower[m.end : m.end + 1] != ".":
            return False
        here = drink_at(m.start, self.drinks, self.detours)
        volumes = [
            x.start for x in self.talk.measures
            if x.kind in ("amount", "number") and drink_at(x.start, self.drinks, self.detours) == here
            and self.making_at(x.start) is None and (is_volume(x) or x.unit is None)
        ]  # fmt: skip
        return len(volumes) > 1 and max(volumes) < m.start and end - m.end < 3

    def _told_to_go_in(self, m: Mention, neighbours: Sequence[Mention]) -> bool:
        """ "And then ginger, I like plenty of it, just peel it and throw it in": the first thing of a sentence, put
        in later."""
        reader = self.reader
        start, end = reader.sentence(m.start)
        if not reader.talk.punctuated or len(reader.gap(start, m.start).words) > 3:
            return False
        if not any(n.start < m.start for n in neighbours):
            return False
        look = end
        number = reader.sentence_number(m.start)
        if number + 1 < len(reader.sentences):
            look = reader.sentence_span(min(number + 3, len(reader.sentences) - 1))[1]
        for cue in reader.cues_in("places.goes in", m.end, look + 60):
            words = reader.gap(cue.start, cue.end).words
            if not any(w in words for w in ("it", "that", "them", "is")):
                continue
            if not any(
                m.end <= x.start < cue.start and x.group == "ingredient" and not same_thing(x, m)
                for x in self.talk.mentions
            ):
                return True
        return False

    def resolve(self, group: Group, linked: Sequence[Linked], mention: Mention) -> Measure:
        """ "The same again", "half that": by the amount said last before it, or by that of the thing it is held
        against ("twice as much soda as gin")."""
        value = group.value
        if value.kind != "relation" or value.relation not in _TIMES:
            return value
        before = [(x, g) for x in linked for g in x.groups if g.end <= group.start and x.mention is not mention]
        against = self._held_against(group, mention)
        if against is None and value.relation == "same":
            again = self._poured_before(group, mention, linked)
            if again is not None:
                return replace(again, start=value.start, end=value.end, said=value.said)
        if against is not None:
            before = [(x, g) for x, g in before if same_thing(x.mention, against)]
        if not before:
            return value
        item, told = max(before, key=lambda p: p[1].start)
        last = self.resolve(told, linked, item.mention)
        factor = _TIMES[value.relation]
        if last.low is None or last.high is None:
            return value
        bare = last.unit is None
        return replace(
            value,
            kind="number" if bare else "amount",
            low=last.low * factor,
            high=last.high * factor,
            unit=last.unit,
        )

    def _poured_before(self, group: Group, mention: Mention, linked: Sequence[Linked]) -> Measure | None:
        """ "The same again of the vodka", in the second drink: what the first takes of it."""
        if self.reader.after(group.end, 2) not in _OF_THE and self.reader.after(group.end, 1) not in _OF_IT:
            return None
        here = drink_at(mention.start, self.drinks, self.detours)
        for x in reversed(linked):
            if x.mention.end > group.start or not same_thing(x.mention, mention):
                continue
            exact = [g.value for g in x.groups if g.value.low is not None and g.value.kind in ("amount", "number")]
            if exact and drink_at(x.mention.start, self.drinks, self.detours) != here:
                return exact[-1]
        return None

    def _held_against(self, group: Group, mention: Mention) -> Mention | None:
        """The bourbon of "twice as much ginger ale as bourbon", the gin of "vermouth, half of the gin"."""
        inside = [
            m for m in self.reader.mentions_in(group.start, group.end)
            if m.group == "ingredient" and group.value.rule == "compared"
        ]  # fmt: skip
        if inside:
            return inside[-1]
        end = max(group.end, mention.end)
        other = next((m for m in self.reader.mentions_in(end, end + 30) if m.group == "ingredient"), None)
        if other is None or self.reader.gap(end, other.start).stop:
            return None
        words = self.reader.gap(end, other.start).words
        return other if words[:1] == ("as",) and set(words[1:]) <= _LISTING else None

    def served(self, linked: Sequence[Linked]) -> dict[int, int]:
        """For each drink the offset from which it is in its glass."""
        out: dict[int, int] = {}
        # "Once more: rum forty, lime twenty, shake, strain" serves nothing a second time.
        techniques = [
            t for t in method.usable(self.reader, self.talk.techniques, self.extents)
            if not any(a <= t.start < b for a, b in self.recaps)
        ]  # fmt: skip
        for d in self.drinks:
            mine = [
                (g.start, is_volume(g.value) or g.value.unit == "part") for x in linked for g in x.groups
                if self._poured(x.mention, g.value) and self.making_at(g.start) is None
                and drink_at(g.start, self.drinks, self.detours) == d.index
                # What was forgotten and is told later goes in before.
                and (d.turns or not any(b.start <= g.start < b.end for b in self.detours))
            ]  # fmt: skip
            sure = [at for at, by_volume in mine if by_volume]
            # A speaker who weighs, or says bare numbers: there these are the pours.
            told = [at for at, _ in mine if at < self.tail and not any(a <= at < b for a, b in self.recaps)]
            volumes = sorted(sure if len(sure) > 1 else told or sure)
            if not volumes:
                continue
            second = volumes[1] if len(volumes) > 1 else volumes[0]
            events = [
                t.start for t in techniques
                if t.name in method.SERVING and t.start > second and self.making_at(t.start) is None
                and drink_at(t.start, self.drinks, self.detours) == d.index
            ]  # fmt: skip
            heated = [
                t.start for t in techniques
                if t.name == "heat" and t.start > second and self.making_at(t.start) is None
                and drink_at(t.start, self.drinks, self.detours) == d.index and t.start < self.tail
            ]  # fmt: skip
            events += [
                m.start for m in self.talk.mentions
                if m.group == "glass" and m.start > second and drink_at(m.start, self.drinks, self.detours) == d.index
                and not (m.entry is not None and m.entry.everyday) and self.making_at(m.start) is None
            ]  # fmt: skip
            # What is named before it is shaken, stirred or warmed is no garnish.
            vessel = min(
                (m.start for m in self.talk.mentions if m.group == "glass" and m.start > volumes[-1]),
                default=len(self.reader.lower),
            )
            mixed = [
                t.start for t in techniques
                # "Whisky, a cinnamon stick and two cloves. Top with boiling water."
                if t.name in (*MIXES, "top") and t.start < min(vessel, self.tail) and self.making_at(t.start) is None
                and drink_at(t.start, self.drinks, self.detours) == d.index
            ]  # fmt: skip
            at = min(events) if events else max([volumes[-1], *mixed])
            # What goes in before the heat is cooked with it: cloves in the pan are no garnish.
            out[d.index] = max([at, *heated])
        return out

    def _poured(self, mention: Mention, m: Measure) -> bool:
        """An amount of a drink: a volume, a part, a weight, or a bare number of a liquid."""
        if is_volume(m) or m.unit in ("part", "g", "oz_wt"):
            return True
        bare = m.unit is None and m.kind == "number" and m.low is not None
        return bare and self.lexicon.is_liquid(mention.entry)

    def drink_of(self, mention: Mention, at: int) -> int | None:
        """The drink that a naming belongs to: by detour, by a drink named in the same sentence, or the one in hand."""
        for d in self.detours:
            if d.start <= at < d.end:
                return d.drink
        here = drink_at(at, self.drinks, self.detours)
        start, end = self.reader.sentence(at)
        recap = any(a <= at < b for a, b in self.recaps) or at >= self.tail
        if recap:
            for a, b in self.recaps:
                if a <= at < b:
                    named = drink_named(self.reader, self.drinks, a, min(at, len(self.reader.lower)))
                    if named is not None:
                        last = _last_named(self.reader, self.drinks, a, at)
                        told = last if last is not None else named[0]
                        knowing = [d.index for d in self.drinks if self._knows(d.index, mention)]
                        return told if told in knowing or not knowing else knowing[0]
            best = [d.index for d in self.drinks if self._knows(d.index, mention)]
            if best and here not in best:
                return best[0]
            return here
        others = [d for d in self.drinks if d.index != here and d.start < at]
        went_back = any(start <= d.start < end for d in self.detours)  # only from there on is it about another drink
        if others and self.reader.talk.punctuated and not went_back:
            named = drink_named(self.reader, others, start, end)
            if named is not None and self._directed(named[1]):
                return named[0]
        return here

    def drink_of_group(self, mention: Mention, group: Group | None, drink: int) -> int:
        """ "Hers gets a measure of lemon juice, mine gets half": told in turns, the second amount is the other
        drink's."""
        if group is None or group.start < mention.end or not any(d.turns for d in self.drinks):
            return drink
        there = drink_at(group.start, self.drinks, self.detours)
        return there if there is not None else drink

    def _knows(self, index: int, mention: Mention) -> bool:
        span = self.drinks[index]
        return any(
            m is not mention and span.start <= m.start < span.end and m.group == "ingredient" and same_thing(m, mention)
            for m in self.talk.mentions
        )

    def _directed(self, offset: int) -> bool:
        """ "in the Reef", "the Reef gets": the sentence is about putting something in that drink."""
        before = self.reader.before(offset, 2)
        return any(w in ("in", "into", "for", "to") for w in before)

    def told_again(self, statements: list[Statement], served: dict[int, int]) -> None:
        """A run of amounts behind a finished drink, all of things that another drink has, is that drink told again."""
        ordered = sorted((s for s in statements if s.measure is not None and s.drink is not None), key=lambda s: s.at)
        known: dict[int, list[Mention]] = {}
        run: list[Statement] = []
        for s in ordered:
            assert s.drink is not None
            mine = any(same_thing(s.mention, m) for m in known.get(s.drink, ()))
            late = s.at > served.get(s.drink, len(self.reader.lower))
            others = [d for d, ms in known.items() if d != s.drink and any(same_thing(s.mention, m) for m in ms)]
            near = not run or (s.at - run[-1].at < 160 and s.drink == run[-1].drink)
            if late and not mine and others and near:
                run.append(s)
            else:
                self._give_back(run, known)
                run = [s] if late and not mine and others else []
                if not run:
                    known.setdefault(s.drink, []).append(s.mention)
        self._give_back(run, known)
        self._by_amount(statements)

    def _by_amount(self, statements: Sequence[Statement]) -> None:
        """What is told again of a thing that several drinks have belongs to the one whose amount it is."""
        made = [s for s in statements if s.measure is not None and not s.retold and s.drink is not None]
        for s in statements:
            if not s.retold or s.measure is None or s.mode == "correct":
                continue
            same = [m for m in made if same_thing(m.mention, s.mention)]
            equal = {m.drink for m in same if m.measure is not None and m.measure.low == s.measure.low}
            if equal and s.drink not in equal and len(equal) == 1:
                s.drink = equal.pop()

    def _give_back(self, run: Sequence[Statement], known: dict[int, list[Mention]]) -> None:
        if not run:
            return
        home: int | None = None
        for s in run:
            knowing = [
                d for d, ms in known.items() if d != s.drink and any(same_thing(s.mention, m) for m in ms)
            ]  # fmt: skip
            if len(run) < 2:
                home = None
            elif home not in knowing:
                home = knowing[0]
            if home is not None:
                s.drink, s.retold = home, True
                s.mode = "recap" if s.mode == "make" else s.mode
            elif s.drink is not None:
                known.setdefault(s.drink, []).append(s.mention)

    def retract(self, statements: list[Statement]) -> None:
        """ "Half an ounce of the overproof, no, sorry, wrong recipe, half an ounce of black rum": the first is taken
        back.

        Also "lemon, no, lime": a name that replaces the one before it, with its amount.
        """
        ordered = sorted(statements, key=lambda s: s.mention.start)
        self._replace_the_old(ordered)
        self._deny(ordered)
        self._skip(ordered)
        for a, b in itertools.pairwise(ordered):
            if a.mode == "retracted" or a.drink != b.drink or same_thing(a.mention, b.mention):
                continue
            a_end = max(a.mention.end, a.measure.end if a.measure else 0)
            b_start = min(b.mention.start, b.measure.start if b.measure else b.mention.start)
            if a_end > b_start:
                continue
            cue = next(iter(self.reader.cues_in("turns.correction", a_end, b_start)), None)
            if cue is None or len(self.reader.gap(a_end, cue.start).words) > 1:
                continue
            if self.reader.has("turns.forgotten", cue.start, b_start):
                continue  # "an ounce of sherry, wait, I forgot the bitters" adds something
            words = self.reader.gap(cue.start, b_start).words
            if a.measure is not None and b.measure is None and len(words) <= 6:
                b.measure, b.groups, b.role, b.sure = a.measure, a.groups, a.role, True
                b.mention = poured_juice(b.mention, a.measure, self.lexicon)
                a.sure, a.measure, a.mode = False, None, "retracted"
            elif (
                a.measure is not None and b.measure is not None and len(words) <= 8
                and a.measure.low == b.measure.low and a.measure.unit == b.measure.unit
            ):  # fmt: skip
                a.sure, a.measure, a.mode = False, None, "retracted"

    def _replace_the_old(self, statements: Sequence[Statement]) -> None:
        """ "Eight centilitres of dark rum. No, the dark rum was last year. This year it is Calvados.": the thing is put
        right, its amount stays."""
        reader = self.reader
        for m in self.talk.mentions:
            if m.group != "ingredient" or not _WAS_BEFORE.match(reader.lower, m.end):
                continue
            drink = drink_at(m.start, self.drinks, self.detours)
            old = next(
                (
                    s for s in reversed(statements)
                    if s.drink == drink and s.measure is not None and s.mode != "retracted"
                    and 0 < m.start - s.mention.end < REPLACED_WITHIN and same_thing(s.mention, m)
                ), None,
            )  # fmt: skip
            if old is None or not reader.has("turns.correction", old.mention.end, m.start):
                continue
            new = next(
                (s for s in statements if 0 < s.mention.start - m.end < REPLACED_WITHIN and s.drink == drink), None
            )
            is_it = new is not None and _NOW_IT_IS.search(reader.lower, m.end, new.mention.start) is not None
            if new is not None and is_it and new.measure is None:
                new.measure, new.groups, new.role, new.sure = old.measure, old.groups, old.role, True
                new.mention = poured_juice(new.mention, new.measure, self.lexicon) if new.measure else new.mention
                old.sure, old.measure, old.mode = False, None, "retracted"

    def _deny(self, statements: Sequence[Statement]) -> None:
        """ "Honey syrup, half an ounce ... there's no honey syrup. It's out.": it is not put in."""
        reader = self.reader
        for m in self.talk.mentions:
            if m.group != "ingredient" or left_out(reader, m) is None:
                continue
            drink = drink_at(m.start, self.drinks, self.detours)
            for s in statements:
                if s.drink != drink or not 0 < m.start - s.mention.end < DENIED_WITHIN or not same_thing(s.mention, m):
                    continue
                if reader.has("turns.left out after all", s.mention.end, min(len(reader.lower), m.end + 30)):
                    s.sure, s.measure, s.mode = False, None, "retracted"

    def _skip(self, statements: Sequence[Statement]) -> None:
        """ "Three drops of saline, no, I'm out of saline, skip it": the thing named last is not put in."""
        reader = self.reader
        for cue in reader.cues("turns.skipped"):
            # "No, wait, that was last year's one, leave that out."
            if self.told(cue.start) not in (None, "history") or set(reader.before(cue.start, 3)) & _PERHAPS:
                continue
            # The thing may be named again between, and in the cue itself: "leave the bitters out".
            before = [s for s in statements if s.mention.end <= cue.start and s.measure is not None]
            if not before:
                continue
            s = before[-1]
            end = max(s.mention.end, s.measure.end if s.measure is not None else 0)
            if end > cue.start or cue.start - end > SKIPPED_WITHIN or s.drink != drink_at(
                cue.start, self.drinks, self.detours
            ):  # fmt: skip
                continue
            others = [
                m for m in reader.mentions_in(end, cue.end)
                if m.group == "ingredient" and not same_thing(m, s.mention)
            ]  # fmt: skip
            taken_back = set(reader.gap(end, cue.start).words) & _TAKES_BACK
            if not others and taken_back:
                s.sure, s.measure, s.mode = False, None, "retracted"
                for again in statements:
                    if s.mention.end <= again.mention.start < cue.end and same_thing(again.mention, s.mention):
                        again.sure, again.mode = False, "retracted"

    # ---- drinks --------------------------------------------------------------------------------------------------

    def build(self, statements: Sequence[Statement]) -> tuple[list[Drink], list[list[Line]]]:
        drinks: list[Drink] = []
        all_lines: list[list[Line]] = []
        kept: list[DrinkSpan] = []
        for span in self.drinks:
            mine = [s for s in statements if s.drink == span.index and s.mode != "retracted"]
            certain = [s for s in mine if s.measure is not None or s.sure]
            certain.sort(key=lambda s: (s.mode == "recap", s.at))
            lines, findings = fold(certain, self.reader, self.lexicon, drink=self._name_of(span, title=True))
            carry_units(
                lines,
                self._size,
                self._usual,
                self._is_liquid,
                servings=self._servings(span) or 1.0,
                usual_unit=self.usual_unit,
            )
            self.findings += findings
            lines = self._without_ice(span, lines)
            if not any(ln.role != GARNISH for ln in lines):
                continue
            span_lines = lines
            kept.append(span)
            all_lines.append(span_lines)
            drinks.append(self._drink(span, lines, drinks))
        self.kept = kept
        return self._with_components(drinks, all_lines), all_lines

    def _name_of(self, span: DrinkSpan, *, title: bool = False) -> str:
        """The drink's name; of several without one each has its number, so that a question keeps to its drink."""
        if span.name:
            return _title(span.name) if title else span.name
        before = sum(not d.name for d in self.drinks[: span.index])
        return f"{UNNAMED} {before + 1}" if before else UNNAMED

    def _without_ice(self, span: DrinkSpan, lines: Sequence[Line]) -> list[Line]:
        """Ice is an ingredient only of what is blended; elsewhere it is a tool."""
        blended = any(
            t.name == "blend" and drink_at(t.start, self.drinks, self.detours) == span.index
            for t in method.usable(self.reader, self.talk.techniques, self.extents)
        )  # fmt: skip
        ices = {plain(n) for e in self.lexicon.ices for n in (e.name, *e.others)}
        out = []
        for ln in lines:
            if blended and ln.role == GARNISH and ln.measure is not None:
                ln.role = "pour" if plain(ln.mention.name) in ices else ln.role
            is_ice = plain(ln.mention.name) in ices or (
                ln.mention.entry is not None and self.lexicon.is_a(ln.mention.entry, "ice")
            )
            if is_ice and (not blended or ln.measure is None):
                continue
            out.append(ln)
        return out

    def _size(self, measure: Measure) -> float | None:
        if measure.low is None or measure.unit is None:
            return None
        return self.millilitres(float(measure.low), measure.unit)

    def _usual(self, mention: Mention) -> tuple[float, float] | None:
        usual = self.lexicon.usual(mention.entry) if mention.entry is not None else None
        if usual is None:
            return None
        low, high = self.millilitres(usual.low, usual.unit), self.millilitres(usual.high, usual.unit)
        return (low, high) if low is not None and high is not None else None

    def _is_liquid(self, mention: Mention) -> bool:
        return mention.entry is None or self.lexicon.is_liquid(mention.entry)

    def _drink(self, span: DrinkSpan, lines: Sequence[Line], before: Sequence[Drink]) -> Drink:
        reader, talk = self.reader, self.talk
        mine = [
            t for t in method.usable(reader, talk.techniques, self.extents)
            if drink_at(t.start, self.drinks, self.detours) == span.index and self.making_at(t.start) is None
            and t.start < self.tail and not any(a <= t.start < b for a, b in self.recaps)
        ]  # fmt: skip
        glass = self._glass(span) or self._same_glass(span, before)
        if glass is not None and glass.mention.how == "sound" and glass.mention.confidence < SURE_GLASS:
            drink = self._name_of(span, title=True)
            at = glass.mention
            self.findings.append(Finding("glass", drink, drink, at.start, at.end, values=(glass.name,)))
        pours = [ln for ln in lines if ln.role != GARNISH]
        roles = {ln.role for ln in lines}
        if any(filled_up(reader, s.mention, s.measure, self.lexicon) for ln in pours for s in ln.statements):
            roles.add(TOP)
        if any(t.name == "float" and self._floats(t) for t in mine):
            roles.add(FLOAT)
        batch = (self._servings(span) or 1) >= 4
        # "No stirring, it does its own": what is said not to be mixed is built in its glass.
        denied = any(
            t.name in ("stir", "shake") and reader.before(t.start, 1) in (("no",), ("don't",), ("never",), ("without",))
            and drink_at(t.start, self.drinks, self.detours) == span.index and t.start < self.tail
            for t in talk.techniques
        )  # fmt: skip
        in_glass = glass is not None or denied
        ice = self._ice(span, built=False)
        stemmed = glass is not None and plain(glass.name) in self.lexicon.phrases["glasses"]["served up"]
        up = ice == "up" or (stemmed and ice is None) or self._mixed_apart(span, glass)
        mix = method.mixing(reader, mine, roles=sorted(roles), glass=in_glass, batch=batch, up=up)
        ice = self._ice(span, built="build" in mix)
        ingredients = [ingredient(ln, reader, self.lexicon, self.amount_of) for ln in pours]
        garnishes = [ingredient(ln, reader, self.lexicon, self.amount_of) for ln in lines if ln.role == GARNISH]

        puts = [
            Put(as_cut(ln, self.lexicon)[0], ln.role, min((s.at for s in ln.statements if not s.retold), default=None))
            for ln in lines
        ]
        steps = read_steps(reader, mine, mix, glass=glass, ice=ice, puts=puts, at=span.start, batch=batch)
        heard = (
            talk.text[span.name_start : span.name_end]
            if span.name_start is not None and span.name_end is not None
            else None
        )
        return Drink(
            name=self._name_of(span, title=True),
            name_heard=heard,
            start_s=talk.second(span.start),
            end_s=talk.second_after(span.end),
            servings=self._servings(span),
            glass=glass.name if glass is not None else None,
            ice=ice,
            mixing=tuple(mix),  # type: ignore[arg-type]
            ingredients=tuple(ingredients),
            garnishes=tuple(garnishes),
            steps=tuple(steps),
            glass_evidence=method.evidence(reader, glass.mention.start, glass.mention.end)
            if glass is not None
            else None,
            evidence=method.evidence(reader, span.start, min(span.end, span.start + 200)),
        )

    def _glass(self, span: DrinkSpan) -> method.Vessel | None:
        """The glass that the drink ends in: that of "strain it into", "divide it between", else one named behind "in",
        "your glass is", "take", or standing alone; what it is mixed in or kept in only where no other is named."""
        names = self.names
        best: tuple[float, Mention] | None = None
        here = [
            m for m in self.talk.mentions
            if m.group == "glass" and m.start < self.tail and self.making_at(m.start) is None
            and drink_at(m.start, self.drinks, self.detours) == span.index
            and left_out(self.reader, m) is None and not any(a <= m.start < b for a, b in self.recaps)
            and plain(m.heard) not in self.tools
        ]  # fmt: skip
        for m in here:
            # A stretch told about that begins with the glass ("in a highball") is about what comes behind.
            told = self.told(m.start) if self.told(max(0, m.start - 2)) is not None else None
            # Without full stops a tasting sentence reaches into the next; "strain it in" tells where it ends.
            rank = method.serves_in(self.reader, m, names)
            if told is not None and (told != "tasting" or (self.talk.punctuated and rank < method.SERVED)):
                continue
            if told is not None:
                rank = min(rank, 1.0) if rank >= method.HELD else 0.0
            if rank and (best is None or rank > best[0]):
                best = rank, m
        if best is not None:
            # "In the tall glass, the highball": what is said behind says it better.
            # So does "a mug, a thick one, an enamel mug".
            behind = next((m for m in here if m.start > best[1].end), None)
            if behind is not None and (
                set(self.reader.gap(best[1].end, behind.start).words) <= {"the", "a", "an"}
                or (
                    behind.name == best[1].name
                    and len(behind.heard) > len(best[1].heard)
                    and not self.reader.gap(best[1].end, behind.start).stop
                )
            ):
                best = best[0], behind
            best = best[0], self._called(best[1])
        everyday = best is not None and best[1].entry is not None and best[1].entry.everyday
        if best is None or (best[1].how != "sound" and (best[0] < method.INTO or everyday)):
            named = method.unknown_vessel(self.reader, *self._stretch_of(span), names) or self._little_glass(span)
            if named is not None and (best is None or best[0] < method.SERVED or named.mention.start == best[1].start):
                return named
        return method.said_as(self.reader, best[1], names) if best is not None else None

    def _floats(self, said: Technique) -> bool:
        """ "Float it on top off a spoon": a liquid is floated, where a slice only swims."""
        behind = next(
            (m for m in self.reader.mentions_in(said.end, said.end + FLOATED_WITHIN) if m.group == "ingredient"), None
        )
        if self.reader.lower[said.start : said.end] in ("floats", "floating"):
            # "You lay the cream on over a spoon, so it floats"; not "a leaf on the top, it floats".
            before = [
                m
                for m in self.reader.mentions_in(max(0, said.start - 200), said.start)
                if m.group == "ingredient" and plain(m.heard).split()[-1:] not in (["ice"], ["cube"], ["cubes"])
            ]
            return bool(before) and self.lexicon.is_liquid(before[-1].entry)
        if behind is not None and not self.reader.gap(said.end, behind.start).stop:
            return self.lexicon.is_liquid(behind.entry)
        return bool({"it", "'em", "them", "on", "spoon"} & set(self.reader.gap(said.start, said.end + 8).words))

    def _mixed_apart(self, span: DrinkSpan, glass: method.Vessel | None) -> bool:
        """ "Stir it in the jug, pour it in a tall glass": it is mixed in another vessel than its glass."""
        if glass is None or plain(glass.name).split()[-1] in self.names.mixed_in:
            return False
        place = self._stretch_of(span)
        denied = _NO_MIXING_GLASS.search(self.reader.lower, *place) is not None
        return not denied and _APART.search(self.reader.lower, *place) is not None

    def _called(self, glass: Mention) -> Mention:
        """ "A tall glass with ice in it, what they call a collins glass": by its second name."""
        _, end = self.reader.sentence(glass.start)
        behind = [m for m in self.reader.mentions_in(glass.end, end) if m.group == "glass"]
        said = self.reader.lower[glass.end : behind[0].start] if behind else ""
        return behind[0] if re.search(r"(?:what (?:they|you|we|i) call|this is|it's called) an? $", said) else glass

    def _same_glass(self, span: DrinkSpan, before: Sequence[Drink]) -> method.Vessel | None:
        """ "Strain it, the same glass and all": that of the drink before."""
        m = _SAME_GLASS.search(self.reader.lower, *self._stretch_of(span))
        if m is None or not before or before[-1].glass is None:
            return None
        heard = self.talk.text[m.start() : m.end()]
        mention = Mention(m.start(), m.end(), before[-1].glass, heard, "glass", None, "exact", core=m.span())
        return method.Vessel(before[-1].glass, mention)

    def _little_glass(self, span: DrinkSpan) -> method.Vessel | None:
        """ "Into a little Nick and Nora": the words before are taken for an amount, and the glass for no name."""
        known = [n for e in self.lexicon.glasses if not e.everyday for n in (e.name, *e.others)]
        pattern = "|".join(re.escape(plain(n)) for n in sorted(known, key=len, reverse=True))
        m = re.compile(
            rf"\b(?:in|into|to|over|between) (?:a |an |the |this |these |two |my )?(?:little|small|tiny) ({pattern})\b"
        ).search(self.reader.lower, *self._stretch_of(span))
        if m is None:
            return None
        entry = next(e for e in self.lexicon.glasses if m[1] in (plain(n) for n in (e.name, *e.others)))
        heard = self.talk.text[m.start(1) : m.end(1)]
        mention = Mention(m.start(1), m.end(1), entry.name, heard, "glass", entry, "exact", core=m.span(1))
        return method.Vessel(entry.name, mention)

    def _stretch_of(self, span: DrinkSpan) -> tuple[int, int]:
        return span.start, min(span.end, self.tail)

    def _ice(self, span: DrinkSpan, *, built: bool) -> str | None:
        def usable(at: int) -> bool:
            return (
                drink_at(at, self.drinks, self.detours) == span.index and self.making_at(at) is None
                and at < self.tail and self.told(at) in (None, "tasting")
                and not any(a <= at < b for a, b in self.recaps)
            )  # fmt: skip

        return ice_of(self.reader, self.lexicon.ices, [self._stretch_of(span)], usable=usable, built=built)

    def _servings(self, span: DrinkSpan) -> float | None:
        for c in self.talk.counts:
            if (
                c.label == "servings"
                and c.start < self.tail
                and (drink_at(c.start, self.drinks, self.detours) == span.index or self._right_before(c.start, span))
            ):
                if self.told(c.start) in ("history", "hypothetical"):
                    continue
                return float(c.number)
        return None

    def _right_before(self, at: int, span: DrinkSpan) -> bool:
        """ "This serves fifteen. It's called Choir Practice": said before the first drink is opened."""
        return span.index == 0 and 0 < span.start - at < SAID_BEFORE and not span.turns

    def _with_components(self, drinks: Sequence[Drink], lines: Sequence[Sequence[Line]]) -> list[Drink]:
        out = list(drinks)
        for making in self.makings:
            if making.amends:
                continue
            uses = self._uses(making, lines)
            here = drink_at(making.start, self.drinks, self.detours)
            if uses:
                target = uses[0]
            else:
                target = next((k for k, s in enumerate(self.kept) if s.index == here), 0)
            if not out:
                continue
            component = self._component(making, out[target].name)
            if any(c.name == component.name for c in out[target].components):
                continue
            update: dict[str, object] = {"components": (*out[target].components, component)}
            if making.nameless:
                drink, topic = out[target].name, making.topic
                stop = min(making.end, topic.end + NAMELESS_SHOWN)
                self.findings.append(Finding("unplaced", drink, topic.name, topic.start, stop))
            elif not uses and not any(c.name == making.topic.name for c in out[target].ingredients):
                line = Line(making.topic)
                update["ingredients"] = (
                    *out[target].ingredients,
                    ingredient(line, self.reader, self.lexicon, self.amount_of),
                )
            out[target] = out[target].model_copy(update=update)
        return out

    def _uses(self, making: Making, lines: Sequence[Sequence[Line]]) -> list[int]:
        """The drinks that a home-made thing is poured in, the first first.

        "Cataia cachaça" is not in a drink of plain cachaça: what goes into the making is no use of it, unless no drink
        names it any better.
        """
        parts = [*(x.mention for x in making.parts), *making.plain_parts]
        found: list[tuple[int, int]] = []
        for k, ls in enumerate(lines):
            for name in (n for ln in ls for n in ln.names()):
                if same_thing(making.topic, name):
                    alike = words_of(name.name) == words_of(making.topic.name)
                    part = any(words_of(name.name) == words_of(p.name) for p in parts)
                    found.append((0 if alike else 2 if part else 1, k))
        best = min((rank for rank, _ in found), default=0)
        return [k for rank, k in found if rank == best]

    def _component(self, making: Making, drink: str) -> Component:
        reader = self.reader
        parts: list[tuple[int, Ingredient]] = []
        ratio = list(making.ratio.parts) if making.ratio is not None else []
        parts_measured = any(
            g.value.low is not None and g.value.unit not in COUNTED for x in making.parts for g in x.groups
        )
        for item in making.parts:
            line = Line(item.mention)
            value: Measure | None = None
            for g in item.groups:
                resolved = self.resolve(g, making.parts, item.mention)
                value = settle_unit(resolved, item.mention, self.lexicon)
            if (
                value is not None
                and value.low is None
                and value.kind in ("equal", "relation")
                and making.equal is not None
            ):
                value = making.equal
            line.measure = self._carried_mass(value, making, item) if value is not None else None
            parts.append((item.mention.start, ingredient(line, reader, self.lexicon, self.amount_of)))
        plain_parts = sorted(making.plain_parts, key=lambda m: m.start)
        if making.ratio is not None and not making.parts and not plain_parts:
            plain_parts = self._by_its_name(making)
        shares = self._shares(plain_parts, len(ratio))
        equals = self._shares(plain_parts, 2)
        equals = equals if len(equals) == 2 and self._bases(plain_parts) == equals else list(range(len(plain_parts)))
        for k, m in enumerate(plain_parts):
            line = Line(m)
            if making.ratio is not None and k in shares:
                share = ratio[shares.index(k)]
                line.measure = replace(making.ratio, kind="amount", low=share, high=share, unit="part")
            elif making.equal is not None and making.ratio is None and not parts_measured and k in equals:
                line.measure = making.equal
            parts.append((m.start, ingredient(line, reader, self.lexicon, self.amount_of)))
        parts.sort(key=lambda p: p[0])
        minutes = None
        if making.time is not None and making.time.low is not None and making.time.high is not None:
            minutes = Range(low=float(making.time.low) / 60, high=float(making.time.high) / 60)
        celsius = None
        if making.heat is not None and making.heat.low is not None and making.heat.high is not None:
            celsius = Range(low=float(making.heat.low), high=float(making.heat.high))
        self.findings += notices.of_making(making, tuple(i for _, i in parts), drink, self.lexicon)
        return Component(
            name=making.topic.name,
            kind=notices.component_kind(making.topic, self.lexicon),  # type: ignore[arg-type]
            ingredients=tuple(i for _, i in parts),
            minutes=minutes,
            celsius=celsius,
            ratio_by=making.ratio.by if making.ratio is not None else None,
            at_s=reader.talk.second(making.start),
            evidence=method.evidence(reader, making.topic.start, making.end),
        )

    def _shares(self, parts: Sequence[Mention], number: int) -> list[int]:
        """Of which parts a ratio is: "dried hibiscus and sugar and water, one to one" is of the sugar and the water."""
        bases = self._bases(parts)
        return bases if len(bases) == number < len(parts) else list(range(min(number, len(parts))))

    def _bases(self, parts: Sequence[Mention]) -> list[int]:
        kinds = [k for k in BASES if k in self.lexicon.kinds]
        return [
            k for k, m in enumerate(parts)
            if m.entry is not None and any(self.lexicon.is_a(m.entry, kind) for kind in kinds)
        ]  # fmt: skip

    def _by_its_name(self, making: Making) -> list[Mention]:
        """ "My simple's two to one", "honey syrup, three to one": of the sweetener that the name tells, and water."""
        assert making.ratio is not None
        topic = making.topic
        words = [w for w in plain(topic.name).split() if w not in ("syrup", "simple", "rich")]
        shares = making.ratio.parts
        sweet = self.lexicon.named(" ".join(words) or "sugar")
        if sweet is not None and plain(sweet.name).split()[-1] == "syrup":  # "demerara" alone is the syrup
            sweet = self.lexicon.named(" ".join([*words, "sugar"]))
        if (
            plain(topic.name).split()[-1] not in ("syrup", "simple")
            or sweet is None
            or not self.lexicon.is_a(sweet, "sweetener")
            or len(shares) != 2
            or shares[0] < shares[1]  # "one to two": which of them is the one?
        ):
            return []
        water = self.lexicon.named("water")
        return [
            replace(topic, name=entry.name, entry=entry, how="exact", start=topic.start + k, core=None)
            for k, entry in enumerate(e for e in (sweet, water) if e is not None)
        ]

    def _carried_mass(self, value: Measure, making: Making, item: Linked) -> Measure:
        """ "forty grams of salt, twenty of sugar": a bare number in a making takes the unit before it."""
        if value.kind != "number" or value.unit is not None or value.low is None:
            return value
        if plain(item.mention.name).split()[-1:] in (["bag"], ["bags"], ["pods"], ["peels"]):
            return replace(value, unit="piece", kind="amount")
        before = [g.value for x in making.parts for g in x.groups if g.end <= value.start and g.value.unit in CARRIED]
        return replace(value, unit=before[-1].unit, kind="amount") if before else value

    def notices(self, drinks: Sequence[Drink], lines: Sequence[Sequence[Line]], loose: Sequence[Group]) -> None:
        context = notices.Context(
            reader=self.reader, lexicon=self.lexicon, drinks=drinks, spans=self.kept, all_spans=self.drinks,
            lines=lines,
            makings=self.makings, choices=self.choices, extents=self.extents, detours=self.detours, tail=self.tail,
            loose=loose, recaps=self.recaps, linked=self.linked,
        )  # fmt: skip
        self.findings += notices.all_notices(context)

    def corrections(self, things: Sequence[Mention]) -> tuple[Correction, ...]:
        """The names put right in the captions: those whose words were something else."""
        out = []
        for m in self.talk.mentions:
            if m.how not in ("sound", "spelling", "misheard") or m.entry is None:
                continue
            start, end = m.core or (m.start, m.end)
            heard = self.talk.text[start:end]
            if plain(heard) == plain(m.name):
                continue
            written = m.written or (m.entry.name if m.group != "ingredient" or m.core is None else _core_name(m))
            if plain(heard) == plain(written):
                continue
            first, last = self.talk.word_at(start), self.talk.word_at(max(start, end - 1))
            out.append(
                Correction(
                    heard=heard,
                    written=written,
                    start_s=self.talk.second(start),
                    end_s=self.talk.second_after(end),
                    confidence=round(m.confidence, 3),
                    applied=m.apply,
                    first_word=first,
                    last_word=last,
                )
            )
        return tuple(out)


def _core_name(m: Mention) -> str:
    return m.written or (m.entry.name if m.entry is not None else m.name)


def _last_named(reader: TalkReader, drinks: Sequence[DrinkSpan], start: int, end: int) -> int | None:
    """The drink named last before `end`."""
    best: tuple[int, int] | None = None
    for d in drinks:
        for alias in d.aliases:
            at = reader.lower.rfind(alias, start, end)
            if at >= 0 and (best is None or at > best[0]):
                best = at, d.index
    return best[1] if best is not None else None


_LISTING = frozenset([
    "and", "the", "a", "an", "some", "my", "our", "your", "of", "plus", "then", "also", "fresh", "good", "with",
    "or", "it's",
])  # fmt: skip


def _listed(words: Sequence[str]) -> bool:
    return len(words) <= 5 and set(words) <= _LISTING


# "It's gin it's lemon and the third one is vermouth, an ounce of each".
_EACH_IS = frozenset(
    ("it's", "is", "the", "then", "and", "one", "thing", "second", "third", "fourth", "fifth", "last", "that's")
)


_OF_THE = tuple(("of", w) for w in ("the", "that", "my", "our", "your"))
_OF_IT = (("of",),)


def _each_is(words: Sequence[str]) -> bool:
    return len(words) <= 6 and words[-1:] in (("it's",), ("is",), ("that's",)) and set(words) <= _EACH_IS


def _title(name: str) -> str:
    """A drink's name as a title; capitals that the captions have are kept."""
    if name != name.lower():
        return name
    small = {"of", "the", "a", "an", "in", "on", "and", "to", "for", "at", "with", "from", "de", "la", "le"}
    words = name.split()
    return " ".join(w if 0 < k < len(words) - 1 and w in small else w[:1].upper() + w[1:] for k, w in enumerate(words))
