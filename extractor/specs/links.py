"""Which amount goes with which name.

People say "two ounces of gin", "gin, two ounces", "gin two ounces lemon one" and "gin, vermouth and bitter, an ounce
each".
Measures that stand together without a name between ("one ounce, no wait, three quarters") are first gathered into
groups;
then every group is given to the name after it or to the name before it so that the whole stretch of talk fits best.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from extractor.lexicon import Lexicon
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.doubled import doubles_all
from extractor.specs.gaps import TalkReader
from extractor.specs.own_way import holds_instead
from extractor.specs.same import same_thing

# Words that may stand between a measure and its name, or a name and its measure, without weakening the bond.
LIGHT = frozenset(
    [
        "of", "the", "a", "an", "my", "our", "your", "some", "that", "this", "these", "those", "same", "fresh",
        "freshly", "squeezed", "good", "nice", "about", "is", "are", "at", "and", "so", "just", "only", "really",
        "maybe", "around", "roughly", "also", "then", "it's", "like", "little", "small", "bit",
    ]
)  # fmt: skip
_CUTS = ("wheel", "wedge", "slice", "peel", "sprig", "leaf", "cube")
PASSED_OVER = 1.6
TOLD_ANEW = 2.5
"""Against a name behind an amount of which something new is told: "you need two ounces lemon juice is your sour"."""
TOLD_BEHIND_COLON = 4.0
"""Against a name before a colon, where behind it every amount stands before its own name."""
ONLY_NAME = 1.0
AGAIN_WITHIN = 14
"""A number said again with its unit, or without it, within so many words is said of one thing."""
_VOLUMES = ("ml", "cl", "fl_oz", "tsp", "tbsp", "bar_spoon", "dash")
_BEFORE_NAME = ("of", "my", "our", "the", "this", "that", "your")
TOO_FAR = 9
"""With more words between, a measure and a name do not belong together."""


@dataclass
class Group:
    """Measures said of one thing, in order. `value` is the one that holds; `corrected` where the speaker took one
    back."""

    measures: list[Measure]
    value: Measure
    corrected: bool = False
    denies: bool = False
    """It puts right the amount before it, which is denied in its own words: "not sixty, forty-five"."""

    @property
    def start(self) -> int:
        return self.measures[0].start

    @property
    def end(self) -> int:
        return self.measures[-1].end


@dataclass
class Linked:
    """A name with the measures given to it, in the order said."""

    mention: Mention
    groups: list[Group] = field(default_factory=list)


def same_number(a: Measure, b: Measure) -> bool:
    return a.low == b.low and a.high == b.high and (a.unit == b.unit or a.unit is None or b.unit is None)


def _fuller(a: Measure, b: Measure) -> Measure:
    """Of two ways to say one amount, the one with a unit that measures."""
    if a.unit in (None, "piece") and b.unit is not None:
        return b
    return a if a.unit is not None else b


def is_correction(reader: TalkReader, start: int, end: int) -> bool:
    return reader.has("turns.correction", start, end)


def group_measures(measures: Sequence[Measure], mentions: Sequence[Mention], reader: TalkReader) -> list[Group]:
    """Gathers measures between which no name stands and which are said of one thing."""
    groups: list[Group] = []
    names = sorted(m.start for m in mentions)
    passing = _recited(measures, reader) | _sizes(measures, reader)
    for m in measures:
        if m.start in passing or _told_of(m, reader) or not m.pours or _counts_nothing(m, reader, names):
            continue
        if _is_denied(m, names, reader) or doubles_all(m, reader) or _told_behind_list(m, measures, reader):
            continue
        if groups and _taken_back(groups[-1], m, names, reader):
            groups[-1].measures.append(m)
            groups[-1].value = _with_unit(m, groups[-1].value)
            groups[-1].corrected = True
            continue
        if groups and (_denied(groups[-1], m, names, reader) or _instead(groups[-1], m, names, reader)):
            # The unit is of the amount that it puts right, not of another thing's.
            same_one = not any(groups[-1].end <= n < m.start for n in names)
            value = _with_unit(m, groups[-1].value) if same_one else m
            groups.append(Group([m], value, corrected=True, denies=True))
            continue
        if groups and not any(groups[-1].end <= n < m.start for n in names) and not _other_thing(groups[-1], m, reader):
            last = groups[-1]
            gap = reader.gap(last.end, m.start)
            correction = is_correction(reader, last.end, m.start) and len(gap.words) <= 16
            if gap.stop and _named_before(last, mentions, reader) and _name_follows(m, names, reader):
                correction = False  # "Bitters, one dash. Stir it. Now, did I say two ounces of vermouth?"
            follows_of = _of_follows(m.end, reader) or m.said.rstrip().endswith(" of")
            # "Two d, and I never wrote d for drop, so that's two dashes": the number said again, with its unit.
            again = (
                last.value.unit is None and m.unit is not None and m.thing is None and not follows_of
                and len(gap.words) <= AGAIN_WITHIN and gap.words[-1:] in _SO
            )  # fmt: skip
            same = same_number(last.value, m) and (len(gap.words) <= 5 or again)
            if same and last.value.unit != m.unit and (m.thing is not None or m.unit in _CUTS):
                same = False  # "Gin, one. Shake. Big coupe. Hang a lime wheel on it."
            if same and follows_of and gap.stop and holds_instead(reader, last.start - 50, last.start):
                same = False  # "I put half. Half an ounce of agave syrup."
            if same and follows_of and last.corrected and _named_before(last, mentions, reader):
                same = False  # "Quince syrup, half. No, three quarters. So three quarters of quince."
            own = same and _each_its_own(last, m, mentions, reader)
            same = same and not own
            apposed = (
                len(gap.words) <= 3
                and not gap.stop
                and (
                    not gap.words
                    or set(gap.words) <= {"so", "that's", "that", "is", "or", "which", "it's", "i", "mean", "say"}
                )
                and (last.value.unit in (None, "piece")) != (m.unit in (None, "piece"))
                and not follows_of
            )
            exact = m.low is not None or last.value.low is None
            if correction and exact and not (follows_of and last.value.unit != m.unit and gap.stop):
                last.measures.append(m)
                last.value = _with_unit(m, last.value)
                last.corrected = True
                continue
            explained = (
                not gap.stop and not follows_of and gap.words and set(gap.words) <= _THAT_IS and m.unit is not None
            )
            # "A spoon for each cup, a small spoon, so two teaspoons"
            summed_up = gap.words[-1:] in (("so",), ("that's",)) and len(gap.words) <= AGAIN_WITHIN
            explained = explained or (
                summed_up and not gap.stop and not follows_of and last.value.kind == "vague" and m.unit is not None
                and m.kind == "amount" and m.low is not None and not _name_follows(m, names, reader)
            )  # fmt: skip
            repeated = (
                set(gap.words) <= _HESITATING and len(gap.words) <= 1 and not follows_of
                and m.low is not None and last.value.low is not None
                and (m.unit == last.value.unit or m.unit is None) and m.kind in ("amount", "number")
                and last.value.kind in ("amount", "number") and not _name_follows(m, names, reader)
            )  # fmt: skip
            if explained:
                last.measures.append(m)
                last.value = m
                continue
            if repeated and not same and not own:
                last.measures.append(m)
                last.value = _with_unit(m, last.value)
                last.corrected = True
                continue
            if same:
                last.measures.append(m)
                last.value = _fuller(last.value, m)
                continue
            if apposed:
                last.measures.append(m)
                last.value = _fuller(last.value, m)
                continue
        groups.append(Group([m], m))
    return groups


def _told_behind_list(m: Measure, measures: Sequence[Measure], reader: TalkReader) -> bool:
    """ "Same amount: sherry, rum, aperitivo, twenty-five mil each": how much is told behind the list."""
    if m.kind != "relation" or reader.lower[m.end : m.end + 1] not in (":", ","):
        return False
    _, end = reader.sentence(m.start)
    return any(m.end < x.start < end and x.each and x.low is not None and x.kind != "relation" for x in measures)


OWN_WITHIN = len(", that's ")
_IS = frozenset(("that's", "it's", "is"))


def _each_its_own(group: Group, m: Measure, mentions: Sequence[Mention], reader: TalkReader) -> bool:
    """ "Mezcal, an ounce, and an ounce of sloe gin": a name right before one amount, and another right behind the
    next."""
    before = [x for x in mentions if x.group == "ingredient" and group.start - OWN_WITHIN <= x.end <= group.start]
    own = next((x for x in reversed(before) if set(reader.gap(x.end, group.start).words) <= _IS), None)
    follows = next((x for x in mentions if x.group == "ingredient" and x.start >= m.end), None)
    if own is None or follows is None or same_thing(own, follows):
        return False
    gap = reader.gap(m.end, follows.start)
    # "Lemon juice, three quarters. Three quarters as well of the tea syrup."
    if gap.comma or gap.stop or not set(gap.words) <= LIGHT | _TOO or len(gap.words) > SHORT_LEAD + 1:
        return False
    # "Half an ounce of lemon, half an ounce, half an ounce of honey": the name before has its own already.
    told = (x for x in reader.talk.measures if x.pours and own.start - TOLD_BEHIND <= x.end <= own.start)
    return not any(
        set(reader.gap(x.end, own.start).words) <= LIGHT
        and not reader.gap(x.end, own.start).comma
        and not reader.gap(x.end, own.start).stop
        for x in told
    )


_TOO = frozenset(("as", "well", "too", "also", "again", "more", "each"))


def _other_thing(group: Group, m: Measure, reader: TalkReader) -> bool:
    """ "The juice of half a lime and the juice of an orange", "the yolk of an egg, the white of two": each amount is
    told with a thing of its own."""
    things = [
        (reader.lower[v.thing[0] : v.thing[1]].removesuffix("s"), v.thing_part)
        for v in (group.value, m) if v.thing is not None
    ]  # fmt: skip
    return len(set(things)) > 1


def _named_before(group: Group, mentions: Sequence[Mention], reader: TalkReader) -> bool:
    """A name ends right before a group."""
    near = (m for m in mentions if m.group == "ingredient" and group.start - 6 <= m.end <= group.start)
    return any(not reader.gap(m.end, group.start).words for m in near)


def _of_sugar(m: Measure, reader: TalkReader) -> bool:
    """Cubes of sugar, or of whatever is named at once behind or right before."""
    if _of_follows(m.end, reader):
        return True
    near = reader.mentions_in(m.start - 24, m.end + 14)
    return any(
        x.group == "ingredient" and ("sugar" in x.name or 0 <= x.start - m.end <= 1 or m.start <= x.start < m.end)
        for x in near
    )


def _told_of(m: Measure, reader: TalkReader) -> bool:
    """ "A drop would be homeopathy", "over a big cube": an amount that is only spoken of, or of ice."""
    if m.kind != "amount" or m.unit is None:
        return False
    if m.unit == "cube" and m.thing is None and set(reader.before(m.start, 1)) & {"over", "on", "onto", "around"}:
        return True  # "strain it over a big cube": ice
    if m.unit == "cube" and m.thing is None and not _of_sugar(m, reader):
        return True  # "Gin, one. Shake, tumbler, one cube.": ice again
    start, _ = reader.sentence(m.start)
    lead = reader.gap(start, m.start).words
    heads = not lead or (len(lead) <= 2 and set(lead) <= {"and", "but", "because", "well", "so"})
    after = reader.after(m.end, 2)
    return heads and bool(after) and after[0] in _WOULD and not reader.gap(m.end, m.end + 2).comma


def _sizes(measures: Sequence[Measure], reader: TalkReader) -> set[int]:
    """Where the two halves of "a cc is a milliliter" begin: they give a size and pour nothing."""
    units = [m for m in measures if m.kind == "amount" and m.unit is not None]
    out: set[int] = set()
    for a, b in pairwise(units):
        if (a.low == 1 or b.low == 1) and reader.gap(a.end, b.start).words in (("is",), ("equals",)):
            out |= {a.start, b.start}
    return out


_WOULD = frozenset(("would", "wouldn't", "would've", "isn't", "won't"))


def _recited(measures: Sequence[Measure], reader: TalkReader) -> set[int]:
    """ "Six, two, one, a child can remember": bare numbers in a row, three or more, are said again and pour nothing."""
    out: set[int] = set()
    run: list[Measure] = []
    for m in [*measures, None]:
        bare = m is not None and m.kind == "number" and m.unit is None and m.thing is None
        gap = reader.gap(run[-1].end, m.start) if run and m is not None else None
        if bare and m is not None and gap is not None and not gap.words and not gap.stop:
            run.append(m)
            continue
        if len(run) >= 3 or (
            len(run) == 2 and _heads_sentence(run[0], reader) and reader.after(run[1].end, 1) != ("of",)
        ):
            out |= {x.start for x in run}
        run = [m] if bare and m is not None else []
    return out


_HESITATING = frozenset((
    "uh", "um", "er", "erm", "ah", "oh", "eh", "no", "or", "so", "okay", "well", "actually", "sorry", "wait", "rather",
    "make", "maybe", "say", "know", "like", "just", "is", "it's", "that's", "then", "now",
))  # fmt: skip
"""Between a number and the one that puts it right; any other word may be a name that is not known."""
_SO = (("that's",), ("it's",), ("is",), ("means",), ("so",))


def _taken_back(group: Group, m: Measure, names: Sequence[int], reader: TalkReader) -> bool:
    """ "Twenty mil, ah, no, the liqueur has already sugar, fifteen": a correction that names another thing as its
    reason."""
    last = group.value
    between = [n for n in names if group.end <= n < m.start]
    if (
        not between
        or m.low is None
        or last.low is None
        or m.kind not in ("amount", "number")
        or last.kind not in ("amount", "number")
    ):
        return False
    if m.unit is not None and last.unit is not None and m.unit != last.unit:
        return False
    if _so_instead(group, m, reader):
        return True
    cue = next(iter(reader.cues_in("turns.correction", group.end, between[0])), None)
    if cue is None or len(reader.gap(group.end, cue.start).words) > 1 or len(reader.gap(group.end, m.start).words) > 16:
        return False
    if _name_follows(m, names, reader) or reader.after(m.end, 1) == ("of",):
        return False
    named = reader.name_end(between[-1])
    if (
        reader.talk.punctuated
        and not reader.gap(reader.sentence(between[-1])[0], between[-1]).words
        and not (reader.gap(named, m.start).words)
    ):
        return False  # "Make that sixty. It was weak. Lime juice, twenty."
    # Right behind the correcting words a name is the new thing itself ("no, sorry, vermouth, one ounce").
    return len(reader.gap(cue.end, between[0]).words) >= 1


SO_WITHIN = 24
_CLOSES = (".", ",", ";", "!", "")


def _so_instead(group: Group, m: Measure, reader: TalkReader) -> bool:
    """ "Blackberry shrub, an ounce, and hmm, this tonic is sweet already, so three quarters.": an amount that ends the
    sentence, by which the one before it is put right for a reason told between."""
    if not reader.talk.punctuated or reader.before(m.start, 1) != ("so",) or _of_follows(group.end, reader):
        return False
    start, _ = reader.sentence(m.start)
    gap = reader.gap(group.end, m.start)
    closes = reader.lower[m.end : m.end + 1] in _CLOSES
    return group.start >= start and closes and not gap.stop and 3 < len(gap.words) <= SO_WITHIN


_NOT = (("not",), ("not", "the"), ("not", "a"), ("never",))


def _is_denied(m: Measure, names: Sequence[int], reader: TalkReader) -> bool:
    """ "Forty-five of rum, not sixty.": an amount that is not it, and of which no name follows."""
    if m.kind not in ("amount", "number") or m.low is None or m.thing is not None:
        return False
    if not any(reader.before(m.start, len(n)) == n for n in _NOT) or _name_follows(m, names, reader):
        return False
    if reader.lower[m.end : m.end + 1] in (",", ".", ";", "") or reader.after(m.end, 1) == ("but",):
        return True
    return any(not reader.gap(m.end, x.start).words for x in reader.talk.measures if x.start >= m.end)


def _denied(group: Group, m: Measure, names: Sequence[int], reader: TalkReader) -> bool:
    """ "Sixty of rum. Not sixty, forty-five.", "half an ounce of vermouth, not the half, a quarter": the number said
    before is denied in its own words, and another follows."""
    last = group.value
    if m.low is None or last.low is None or m.kind not in ("amount", "number") or same_number(last, m):
        return False
    if m.unit is not None and last.unit is not None and m.unit != last.unit:
        return False
    words = reader.gap(group.end, m.start).words
    k = next((k for k in range(len(words) - 1, -1, -1) if words[k] in ("not", "never")), None)
    if k is None or len(words) - k > 6 or len(words) > AGAIN_WITHIN or _name_follows(m, names, reader):
        return False
    again = [w for w in words[k + 1 :] if w not in _BESIDE]
    said = reader.gap(group.start, group.end).words
    return bool(again) and set(again) <= set(said)


def _instead(group: Group, m: Measure, names: Sequence[int], reader: TalkReader) -> bool:
    """ "The book says an ounce of lime, we do three quarters": the second amount holds, of the same thing."""
    last = group.value
    if m.low is None or last.low is None or m.kind not in ("amount", "number") or same_number(last, m):
        return False
    if m.unit is not None and last.unit is not None and m.unit != last.unit:
        return False
    if (
        sum(group.end <= n < m.start for n in names) != 1
        or _name_follows(m, names, reader)
        or _of_follows(m.end, reader)
    ):
        return False
    name = next(n for n in names if n >= group.end)
    end = reader.name_end(name)
    return len(reader.gap(end, m.start).words) <= INSTEAD_WITHIN and holds_instead(reader, end, m.start)


INSTEAD_WITHIN = 10
_BESIDE = frozenset(("the", "a", "an", "but", "it's", "that's", "no", "and", "so"))


# "A double, so sixty mil": the second way to say it holds.
_THAT_IS = frozenset(("so", "that's", "that", "is", "which", "it's", "meaning", "means"))


def _name_follows(m: Measure, names: Sequence[int], reader: TalkReader) -> bool:
    """A name begins right behind a measure."""
    from bisect import bisect_left

    k = bisect_left(names, m.end)
    if k == len(names):
        return False
    gap = reader.gap(m.end, names[k])
    return len(gap.words) <= 2 and not gap.comma and not gap.stop


def _with_unit(m: Measure, before: Measure) -> Measure:
    """A corrected number keeps the unit of the one it corrects: "twelve dashes. Ten."; not so "top it with tonic"."""
    if m.unit is None and m.kind == "number" and before.unit is not None and before.low is not None:
        from dataclasses import replace

        return replace(m, unit=before.unit, kind="amount")
    return m


_OF_NOTHING = re.compile(r" of[,.;:—–]")


def _forward(group: Group, mention: Mention, reader: TalkReader) -> float:
    """How well a name that follows fits; below zero not at all."""
    if mention.start < group.start:
        return -9.0
    if mention.start < group.end:
        return 9.0  # it lies inside the measure: "the juice of half a lime"
    gap = reader.gap(group.end, mention.start)
    if gap.stop and _cut_off(group, mention, reader):
        return OVER_A_STOP
    if gap.stop or len(gap.words) > 2 * TOO_FAR or _goes_in_with(gap.words) or _REASONS & set(gap.words):
        return -9.0  # "twenty ml because the brandy is shy"
    if len(gap.words) > TOO_FAR and "of" not in gap.words[-3:]:
        return -9.0
    last = group.measures[-1]
    heavy = [w for w in gap.words if w not in LIGHT]
    if _OF_NOTHING.match(reader.lower[group.end : group.end + 6]):
        # "Ginger syrup, a half ounce of, let me taste this melon"; but "half an ounce of, hold up, not gin, a port"
        named = gap.words[-1:] in _A_NAME and len(gap.words) <= TOO_FAR
        return 1.5 if named and _broken_off(group, mention, reader) else -9.0
    if gap.words[:1] != ("of",) and "of" in gap.words[-3:] and len(gap.words) > 3 and gap.words[-1] in _BEFORE_NAME:
        if any(group.end <= m.start < mention.start and m.pours for m in reader.talk.measures):
            return -9.0
        return 3.5  # "two dashes, from a dasher bottle, not from the hip, of my clove tincture"
    of = gap.words[:1] == ("of",) or last.said.rstrip().endswith(" of") or _on_the(group, reader)
    score = 6.0 if of else 3.6
    if last.kind == "number":
        score -= 0.8
    if last.kind == "vague" and not of:
        score -= 0.6
    score -= 0.9 * len(heavy)
    if not of and not reader.talk.punctuated and reader.after(mention.end, 1) in (("is",), ("are",)):
        score -= TOLD_ANEW
    if gap.comma:
        score -= 2.2 if not of else 0.4
    if not of and "and" in gap.words:
        score -= 2.5
    return score


_REASONS = frozenset(("because", "cause", "'cause", "cos", "since", "unless", "although", "though", "whereas"))
_IN_WITH = frozenset(("in", "along", "together"))
_DETERMINES = frozenset(("the", "your", "my", "our", "that", "this", "all"))


def _goes_in_with(words: Sequence[str]) -> bool:
    """ "Three dashes, in with the gin": it is put in where the gin is, and is no amount of it."""
    while words and words[-1] in _DETERMINES:
        words = words[:-1]
    return len(words) > 1 and words[-1] == "with" and words[-2] in _IN_WITH


OVER_A_STOP = 2.2
"""How well a name fits behind a full stop that a recogniser set where none was meant."""


def _cut_off(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """ "Then two dashes. Orange bitters. Shake it": an amount by itself, and behind the full stop a name by itself.

    Also "a quarter. Of the amaro": no sentence begins so.
    """
    if group.value.low is None or group.value.kind not in ("amount", "number"):
        return False
    lead = reader.gap(group.end, mention.start).words
    start, end = reader.sentence(group.start)
    if any(m.group == "ingredient" for m in reader.mentions_in(start, group.start)):
        return False
    if lead[:1] == ("of",) and set(lead) <= LIGHT and len(lead) <= SHORT_LEAD:
        # "Of quince juice, three quarters" has its own.
        between = any(group.end <= m.start < mention.start and m.pours for m in reader.talk.measures)
        return not between and not _has_its_own(mention, reader)
    if lead or group.value.unit is None or not reader.talk.punctuated:
        return False
    stop = reader.sentence(mention.start)[1]
    alone = len(reader.gap(start, group.start).words) <= SHORT_LEAD and not reader.gap(group.end, end).words
    # "Lemon juice. Twenty mil. Honey syrup. Fifteen": there the amount behind is its own.
    told = _has_its_own(mention, reader) and not _amount_first(group, reader)
    return alone and not told and not reader.gap(mention.end, stop).words


def _has_its_own(mention: Mention, reader: TalkReader) -> bool:
    """An amount stands right behind a name, with no other name between."""
    near = (m for m in reader.talk.measures if 0 <= m.start - mention.end < TOLD_BEHIND and m.pours)
    return any(not any(x.group == "ingredient" for x in reader.mentions_in(mention.end, m.start)) for m in near)


def _amount_first(group: Group, reader: TalkReader) -> bool:
    """ "Two ounces. Rye. An ounce. Sweet vermouth.": amounts and names in sentences by themselves, an amount first, a
    name last."""
    number = reader.sentence_number(group.start)
    if not reader.talk.punctuated or _terse(number, reader) != "amount":
        return False
    first, last = number, number
    while first > 0 and _terse(first - 1, reader) == _OTHER.get(_terse(first, reader)):
        first -= 1
    while last + 1 < len(reader.sentences) and _terse(last + 1, reader) == _OTHER.get(_terse(last, reader)):
        last += 1
    return last > first + 1 and _terse(first, reader) == "amount" and _terse(last, reader) == "name"


_OTHER: dict[str | None, str] = {"amount": "name", "name": "amount"}


def _terse(number: int, reader: TalkReader) -> str | None:
    """Is a sentence only an amount, or only a name?"""
    start, end = reader.sentence_span(number)
    names = [m for m in reader.mentions_in(start, end) if m.group == "ingredient"]
    amounts = [m for m in reader.talk.measures if start <= m.start < end and m.pours]
    if len(names) + len(amounts) != 1:
        return None
    a, b = (names[0].start, names[0].end) if names else (amounts[0].start, amounts[0].end)
    if len(reader.gap(start, a).words) > SHORT_LEAD or reader.gap(b, end).words:
        return None
    return "name" if names else "amount"


SHORT_LEAD = 3
TOLD_BEHIND = 16


_A_NAME = (("a",), ("an",), ("the",), ("my",), ("some",))


def _broken_off(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """Between "of" and its name the speaker only stops and puts right."""
    return any(
        not any(group.end <= m.start < mention.start and m.pours for m in reader.talk.measures)
        for label in ("turns.stops short", "turns.denied", "turns.correction")
        for _ in reader.cues_in(label, group.end, mention.start)
    )


def _heads_sentence(said: Group | Measure, reader: TalkReader) -> bool:
    """An amount is the first thing of its sentence; never so where captions have no full stops."""
    start, _ = reader.sentence(said.start)
    return reader.talk.punctuated and not reader.gap(start, said.start).words


def _backward(mention: Mention, group: Group, reader: TalkReader, *, taken: bool) -> float:
    """How well a name that stands before fits."""
    if mention.end > group.start:
        return -9.0
    gap = reader.gap(mention.end, group.start)
    heavy = [w for w in gap.words if w not in LIGHT]
    if _fronted(mention, reader) and not gap.stop:
        heavy = [w for w in heavy if w not in _DONE]
    elif (
        not taken
        and not gap.stop
        and len(gap.words) <= INSTEAD_WITHIN
        and holds_instead(reader, mention.end, group.start)
    ):
        heavy = []  # "lime juice, the recipe calls for an ounce, we go with three quarters"
    if len(gap.words) > 3 * TOO_FAR:
        return -9.0
    correction = group.denies or is_correction(reader, mention.end, group.start)
    follows = any(
        m.start >= group.end and m.group == "ingredient" and len(reader.gap(group.end, m.start).words) <= 2
        for m in reader.mentions_in(group.end, group.end + 40)
    )
    if (_of_follows(group.end, reader) and not correction) or _on_the(group, reader):
        return -9.0
    if gap.stop and not gap.words and _amount_first(group, reader):
        return -9.0
    score = 3.6
    if group.measures[0].kind == "number":
        score -= 0.6
    if group.measures[0].kind == "vague":
        score -= 1.5
    if ":" in reader.lower[mention.end : group.start] and _named_behind(group, reader):
        score -= TOLD_BEHIND_COLON  # "clove syrup, I tell you now: one cup sugar, one cup water"
    if gap.stop and _name_touches(group, reader):
        score -= 3.0  # "... of the honey syrup, no, hang on. Twenty lemon, fifteen syrup."
    at_once = next(iter(reader.cues_in("turns.correction", mention.end, group.start)), None) if correction else None
    amounts = any(mention.end <= m.start < group.start and m.pours for m in reader.talk.measures)
    if (
        at_once is not None and not amounts and len(gap.words) <= 16
        and len(reader.gap(mention.end, at_once.start).words) <= 1
    ):  # fmt: skip
        # "Twenty-five of lemon. No, I'm at work in my head there, twenty-two and a half."
        score -= 0.1 * len(gap.words)
    elif gap.stop and not taken and _heads_sentence(group, reader) and _says_amount(group, mention, reader):
        # "There's rhubarb bitters in that, and I have it in my pocket. Three dashes."
        score -= 0.5 + 0.08 * len(gap.words)
    else:
        if gap.stop:
            score -= 1.8
            if reader.before(mention.start, 1) in (("it's",), ("that's",), ("is",)):
                score -= 3.0  # "it's rhubarb, it's earthy." only says what something is
        score -= (0.3 if gap.comma or not reader.talk.punctuated else 0.6) * len(heavy)
        if gap.comma:
            score -= 0.7
    if "and" in gap.words:
        score -= 1.5
    if (
        not taken
        and not gap.stop
        and (_closes_sentence(group, mention, reader) or _heads_and_closes(group, mention, reader))
    ):
        # "A smoked tea, the kind like a bonfire in a library, brewed and cooled, one hundred mil."
        score = max(score, ONLY_NAME)
    if taken and not correction:
        # "Twelve dashes of hot sauce. Ten.": said again at once, it is put right.
        again = len(gap.words) == 0 and gap.stop and group.value.low is not None and not follows
        # "Twelve dashes of hot sauce 10 10 dashes": the number said twice over.
        twice = not gap.words and not follows and _said_twice(group, reader)
        quoted = gap.words[-1:] in _NOW_IS or gap.words[-2:] in _IT_IS
        # "I said four of gin, but in this glass it's lost. Five."
        quoted = quoted or (gap.stop and _heads_sentence(group, reader) and group.value.kind in ("amount", "number"))
        quoted = quoted and len(gap.words) <= AGAIN_WITHIN and _was_said(mention, reader)
        again = again or _gives_in(group, mention, reader)
        again = again or twice or ((gap.words in _IT_IS or quoted) and not follows and group.value.low is not None)
        score += 2.2 if again else -5.0
        if again and (quoted or _gives_in(group, mention, reader)):
            score = max(score, ONLY_NAME)
    if correction:
        score += 1.0
    return score


_YIELDS = frozenset(
    ("okay", "ok", "fine", "alright", "all", "right", "well", "yes", "yeah", "sure", "then", "so", "have", "it")
)
YIELDS_WITHIN = 14


def _gives_in(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """ "Hot sauce, I do five. She's shaking her head at me. Okay, two.": another number in a sentence of its own."""
    if not reader.talk.punctuated or group.value.low is None or group.value.kind not in ("amount", "number"):
        return False
    start, end = reader.sentence(group.start)
    lead = reader.gap(start, group.start).words
    closed = reader.lower[group.measures[0].end : group.measures[0].end + 1] in (".", "!", ",", "")
    named = any(m.group == "ingredient" for m in reader.mentions_in(mention.end, end))
    return bool(lead) and set(lead) <= _YIELDS and closed and not named and (
        len(reader.gap(mention.end, group.start).words) <= YIELDS_WITHIN
    )  # fmt: skip


# "I said half an ounce of amaro, it's three quarters."
_IT_IS = (("it's",), ("it", "is"), ("that's",), ("should", "be"), ("it", "should", "be"), ("that", "should", "be"),
          ("i", "meant"), ("make", "it"), ("make", "that"), ("but", "it's"))  # fmt: skip


_NOW_IS = (("it's",), ("it",), ("is",), ("be",), ("with",), ("meant",), ("make",))


def _was_said(mention: Mention, reader: TalkReader) -> bool:
    """ "I gave you four ounces of the tea": an amount told before stands with its thing, and is put right behind."""
    for cue in reader.cues_in("turns.said before", max(0, mention.start - 50), mention.start):
        # "Did I say three quarters": the amount may take in the word before it.
        amounts = [m for m in reader.talk.measures if cue.start < m.start and cue.end < m.end <= mention.start]
        if amounts and len(reader.gap(cue.end, max(cue.end, amounts[0].start)).words) <= 2:
            return True
    return False


# Not the "of that" of "falernum, and you want half as much of that".
_OF = re.compile(
    r"\s+of\b(?! (?:that|this|it|them|these|those)(?:[.,;:!?]|$| (?:and|then|so|now|with|plus|in|into)\b))"
)


def _of_follows(end: int, reader: TalkReader) -> bool:
    """ "Two of gin"; not "Of lemon, two. Of grenadine, one."."""
    return _OF.match(reader.lower, end) is not None


_ON_THE = re.compile(r"[^\S\n]+on (?:the|your|my|our) (?!rocks\b|ice\b|side\b|top\b|glass\b|rim\b|edge\b)")
_GOES = frozenset(("go", "going", "went", "do", "doing", "did", "goes"))


def _on_the(group: Group, reader: TalkReader) -> bool:
    """ "I go forty on the rum, twenty on the lime": each amount with the name behind it."""
    if _ON_THE.match(reader.lower, group.end) is None or group.value.kind not in ("amount", "number"):
        return False
    start, _ = reader.sentence(group.start)
    told = [m for m in reader.talk.measures if start <= m.start <= group.start and _ON_THE.match(reader.lower, m.end)]
    return any(set(reader.before(m.start, 2)) & _GOES for m in told[-CHAIN:])


CHAIN = 6
"""Amounts told in one way, one behind another."""


_FRONTED = re.compile(r"(?:^|[.,;:!?]|\b(?:and|then|so|now))\s+of (?:the |my |our |this |that |your )?$")


_DONE = frozenset((
    "i", "we", "you", "put", "take", "use", "pour", "want", "need", "have", "add", "there", "goes", "in", "comes",
    "i'll", "we'll", "you'll", "give", "it", "measure", "one", "people", "they", "can", "must", "should",
))  # fmt: skip


def _fronted(mention: Mention, reader: TalkReader) -> bool:
    """ "Of calvados I put five centilitres": the thing first, then what is done with it."""
    return _FRONTED.search(reader.lower, max(0, mention.start - 16), mention.start) is not None


TERSE = 4
"""So few words has the sentence of a name that stands by itself."""


def _says_amount(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """An amount with its unit, or a number by itself behind a name by itself: "Lemon juice. Twenty. Raspberry syrup.
    Twenty."."""
    if group.value.kind == "amount":
        return True
    if group.value.kind != "number" or reader.gap(mention.end, group.start).words:
        return False
    start, _ = reader.sentence(mention.start)
    _, end = reader.sentence(group.start)
    return len(reader.gap(start, mention.end).words) <= TERSE and not reader.gap(group.end, end).words


def _said_twice(group: Group, reader: TalkReader) -> bool:
    """ "Ten ten dashes": one number, and right behind it the same with its unit."""
    if len(group.measures) < 2 or group.value.low is None or group.measures[1].unit is None:
        return False
    first, second = group.measures[:2]
    return first.low == second.low and first.unit is None and not reader.gap(first.end, second.start).words


def _named_behind(group: Group, reader: TalkReader) -> bool:
    """A name begins right behind an amount, with at most "of" between."""
    named = [m for m in reader.mentions_in(group.end, group.end + 6) if m.group == "ingredient"]
    return any(not reader.gap(group.end, m.start).comma and not reader.gap(group.end, m.start).stop for m in named)


def _name_touches(group: Group, reader: TalkReader) -> bool:
    """A name begins right behind an amount that heads its sentence."""
    if not _heads_sentence(group, reader):
        return False
    named = (m for m in reader.mentions_in(group.end, group.end + 3) if m.group == "ingredient")
    gaps = [reader.gap(group.end, m.start) for m in named]
    return any(not gap.comma and not gap.stop for gap in gaps)


def _closes_sentence(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """An amount is the last thing of a sentence that names nothing else between its name and its end."""
    if not reader.talk.punctuated or group.value.kind != "amount" or group.value.unit not in _VOLUMES:
        return False
    _, end = reader.sentence(group.start)
    others = [m for m in reader.mentions_in(mention.end, end) if m.group == "ingredient"]
    return not others and not reader.gap(group.end, end).words


FEWEST = 10
"""So large a bare number at the end of a sentence is hardly a count."""


def _heads_and_closes(group: Group, mention: Mention, reader: TalkReader) -> bool:
    """ "The orange, it must be squeezed now, so it comes fluffy, a hundred and twenty.": the thing first, its number
    last, and no other thing or amount in the sentence."""
    value = group.value
    if not reader.talk.punctuated or value.kind != "number" or value.low is None or value.low < FEWEST:
        return False
    start, end = reader.sentence(mention.start)
    if len(reader.gap(start, mention.start).words) > 2 or reader.gap(group.end, end).words:
        return False
    if reader.lower[group.start - 2 : group.start] != ", ":
        return False
    others = [m for m in reader.mentions_in(mention.end, end) if m.group == "ingredient"]
    return not others and not any(m.pours and start <= m.start < group.start for m in reader.talk.measures)


def affinity(measure: Measure, mention: Mention, lexicon: Lexicon) -> float:
    """How well a unit fits a kind of thing: dashes and bitters, leaves and herbs; millilitres hardly fit a herb."""
    entry, unit = mention.entry, measure.unit
    if entry is None or unit is None:
        return 0.0
    liquid = lexicon.state(entry) == "liquid"
    if unit in ("dash", "drop"):
        if lexicon.is_a(entry, "bitters") or lexicon.is_a(entry, "flavouring") or lexicon.is_a(entry, "sauce"):
            return 1.0
        return -0.6 if lexicon.is_a(entry, "spirit") or lexicon.is_a(entry, "juice") or not liquid else 0.0
    if unit in ("leaf", "sprig"):
        return 0.8 if not liquid else -2.0
    if unit in ("ml", "cl", "l", "fl_oz") and not liquid:
        return -1.2 if entry.everyday or lexicon.state(entry) == "thing" else -0.6
    if unit in ("g", "kg") and liquid:
        return -0.2
    if unit in ("slice", "wedge", "wheel", "peel") and liquid:
        return -1.5
    return 0.3 if unit in ("ml", "cl", "fl_oz") else 0.0


def link(
    measures: Sequence[Measure], mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon
) -> tuple[list[Linked], list[Group]]:
    """(every name with its measures, the groups that found no name).

    A dynamic programme over the groups in order; linear in their number. State: was the name just before this group
    given a measure already?
    """
    names = sorted((m for m in mentions if m.group == "ingredient"), key=lambda m: m.start)
    groups = group_measures(measures, names, reader)
    starts = [n.start for n in names]
    from bisect import bisect_left

    def neighbours(g: Group) -> tuple[int | None, int | None]:
        k = bisect_left(starts, g.start)
        after = k
        # A name between the measures of a group was only the reason for a correction.
        while after < len(names) and names[after].start < g.end and not any(
            m.start <= names[after].start < m.end for m in g.measures
        ):  # fmt: skip
            after += 1
        return (k - 1 if k > 0 else None), (after if after < len(names) else None)

    # A state is the index of the last name that got a measure, or -1.
    trail: list[dict[int, tuple[int, int | None]]] = []
    style = _style(groups, names, neighbours, reader)
    scores: dict[int, float] = {-1: 0.0}
    touches = [_touches(g, names, neighbours(g)[0], reader) for g in groups]
    for g in groups:
        before, after = neighbours(g)
        step: dict[int, tuple[int, int | None]] = {}
        fresh: dict[int, float] = {}

        f = -9.0
        if after is not None:
            f = (
                _forward(g, names[after], reader)
                + (style if style > 0 else 0.0)
                + affinity(g.value, names[after], lexicon)
            )
        for state, score in scores.items():
            _offer(fresh, step, state, score, (state, None))
            if after is not None and f > 0:
                # "Lime juice one ounce agave syrup": an amount does not pass over the name that it touches.
                touched = (
                    before is not None and state != before and touches[len(trail)]
                    and not same_thing(names[before], names[after])
                )  # fmt: skip
                _offer(fresh, step, after, score + f - (PASSED_OVER if touched else 0.0), (state, after))
            if before is not None:
                taken = state == before and not _made_exact(groups, len(trail), names[before], reader)
                b = _backward(names[before], g, reader, taken=taken) + (-style if style < 0 else 0.0)
                b += affinity(g.value, names[before], lexicon)
                if b > 0:
                    _offer(fresh, step, before, score + b, (state, before))
        # Only the last name matters to what follows: older states are worth no more than the best of them.
        alive = {after, before}
        keep = {s: v for s, v in fresh.items() if s in alive}
        rest = [(v, s) for s, v in fresh.items() if s not in alive]
        if rest:
            v, s = max(rest)
            keep[s] = v
        scores = keep
        trail.append(step)
    linked = {id(n): Linked(n) for n in names}
    loose: list[Group] = []
    state = max(scores, key=lambda s: scores[s]) if scores else -1
    for g, step in zip(reversed(groups), reversed(trail), strict=True):
        came, chose = step[state]
        if chose is None:
            loose.insert(0, g)
        else:
            linked[id(names[chose])].groups.insert(0, g)
        state = came
    return [linked[id(n)] for n in names], loose


def _made_exact(groups: Sequence[Group], k: int, mention: Mention, reader: TalkReader) -> bool:
    """ "Fill it up with hot water, four fluid ounces": a vague amount before the name is made exact right behind it."""
    if k == 0 or groups[k - 1].value.kind != "vague" or groups[k].value.low is None:
        return False
    gap = reader.gap(mention.end, groups[k].start)
    # "A spoon of honey for each cup, small spoon, so two teaspoons"
    summed_up = groups[k].measures[0].kind == "vague" or gap.words[-1:] == ("so",)
    within = AGAIN_WITHIN // 2 if summed_up else 2
    return groups[k - 1].end <= mention.start and len(gap.words) <= within and not gap.stop


def _offer(
    scores: dict[int, float],
    trail: dict[int, tuple[int, int | None]],
    state: int,
    score: float,
    came: tuple[int, int | None],
) -> None:
    """Keeps a way to reach a state if it is better than the one known."""
    if state not in scores or score > scores[state]:
        scores[state] = score
        trail[state] = came


def _touches(group: Group, names: Sequence[Mention], before: int | None, reader: TalkReader) -> bool:
    """A name ends right where a group begins."""
    if before is None or names[before].end > group.start:
        return False
    gap = reader.gap(names[before].end, group.start)
    return not gap.words and not gap.stop and not gap.comma


def _counts_nothing(m: Measure, reader: TalkReader, names: Sequence[int]) -> bool:
    """ "A cold one", "bucket two is": a number that is no amount, by the words around it."""
    if m.kind != "number" or m.unit is not None:
        return False
    before, after = reader.before(m.start, 1), reader.after(m.end, 1)
    gap_before = reader.lower[max(0, m.start - 2) : m.start]
    touching = bool(before) and "," not in gap_before and "." not in gap_before
    from bisect import bisect_left

    k = bisect_left(names, m.start)
    named_before = k > 0 and not reader.gap(reader.name_end(names[k - 1]), m.start).words
    at = before == ("at",)  # "lime comes in at one"
    if m.said.lower() == "one" and touching and not at and not named_before and not _name_follows(m, names, reader):
        return True
    if m.said.lower().split()[-1:] == ["one"] and reader.after(m.end, 2) in _ONE_OF and not _one_poured(m, reader):
        return True  # "one of the mint leaves goes on top"
    if reader.after(m.end, 3)[:2] == ("of", "the") and reader.after(m.end, 3)[2:] in _WHOLES:
        return True  # "a quarter of the volume"
    return bool(after) and after[0] in ("is", "was", "are", "has") and touching and not named_before


def _one_poured(m: Measure, reader: TalkReader) -> bool:
    """ "Two of the lime, one of the simple": the next of a list of such, of what is not counted."""
    before = [x for x in reader.talk.measures if x.end <= m.start and x.low is not None]
    listed = bool(before) and reader.after(before[-1].end, 1) == ("of",) and m.start - before[-1].end < LISTED_WITHIN
    named = [x for x in reader.mentions_in(m.end, m.end + 12) if x.group == "ingredient"]
    return listed and bool(named) and not named[0].heard.lower().endswith("s")


LISTED_WITHIN = 40


_ONE_OF = tuple(("of", w) for w in ("the", "those", "these", "your", "my", "them", "our"))
_WHOLES = tuple((w,) for w in [
    "volume", "total", "rest", "batch", "way", "time", "glass", "whole", "drink", "people", "weight",
])  # fmt: skip


def _style(groups: Sequence[Group], names: Sequence[Mention], neighbours: object, reader: TalkReader) -> float:
    """Does this speaker say the amount before the name (> 0) or after it (< 0)? Counted where only one can be."""
    forward = backward = 0
    for g in groups:
        before, after = neighbours(g)  # type: ignore[operator]
        f = _forward(g, names[after], reader) if after is not None else -9.0
        b = _backward(names[before], g, reader, taken=False) if before is not None else -9.0
        if f >= 4.5:
            forward += 1
        elif b > 2.5 and f < 0:
            backward += 1
    total = forward + backward
    return 0.0 if total < 3 else 0.8 * (forward - backward) / total
