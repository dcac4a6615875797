"""Garnishes told without a word for it: alone in a sentence, next behind the glass, listed on with another; and what is
only eaten beside the drink."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.method import SERVING

# Before a garnish in a list or at the head of a sentence: "and then a curl of".
CUT_WORDS = frozenset(
    [
        "and", "then", "so", "now", "last", "finally", "also", "plus", "a", "an", "the", "one", "two", "three", "four",
        "some", "of", "your", "my", "just", "little", "small", "big", "long", "thin", "nice", "fresh", "curl", "strip",
        "piece", "coin", "swath", "bit", "slice", "wheel", "wedge", "half", "sprig", "leaf", "grating", "dusting",
        "pinch", "handful", "bouquet", "couple", "few", "lump", "more", "shaving", "twist", "stick", "spear", "branch",
    ]
)  # fmt: skip
GARNISHING = ("garnish", "spice", "herb", "flower")
"""Kinds that decorate a drink which is in its glass: alone in their sentence they need no other word."""
CUTS = frozenset(
    (
        "wheel", "wheels", "wedge", "wedges", "twist", "peel", "zest", "slice", "slices", "sprig", "leaf", "leaves",
        "ribbon", "stick", "petal", "spear", "coin", "fan",
    )
)  # fmt: skip
"""A thing named by its cut is a garnish wherever it is named next to a drink that is in its glass."""
_ICE_BEFORE = re.compile(r"\b(?P<ice>ice|cubes?|rock)\b[^.?!;]{0,20}$")
_NOTED = re.compile(
    r"\b(?:notes?|tastes?|nose|smells?|palate|finish|get|getting|hint|aroma|flavou?rs?)\b[^.?!]{0,12}[.:] $"
)
_BESIDE = re.compile(
    r"(?:,? ?(?:and [\w' ]{2,20} )?(?:is |are |goes |go )?(?:lovely |good |great |nice |well )?"
    r"(?:with (?:it|this|that|them|one|him|her)|alongside|by it|beside (?:it|them|the glass|the drink)|next to it|"
    r"by the side|to eat|to nibble|to dip|for dipping))\b"
)
_WITH_IT = re.compile(
    r"\b(?:(?:lovely|good|great|nice|perfect|best|well|goes|eat|ate|have|drink|serve) (?:it |this |that )?with|"
    r"(?:eat|have|take|needs?|wants?) (?:an? |some |the |your )?(?:plate|bowl|dish|piece|slice) of|"
    r"with (?:it|this|that)|a plate of|a bowl of)(?: you need| i eat| we eat)?[, ](?:[\w'-]+ ){0,3}$"
)


def beside_the_drink(reader: TalkReader, mention: Mention) -> bool:
    """ "Quince paste alongside", "a piece of shortbread by it", "lovely with a scone": eaten with it, not put on it."""
    if _BESIDE.match(reader.lower, mention.end):
        return True
    start, _ = reader.sentence(mention.start)
    return _WITH_IT.search(reader.lower, max(start, mention.start - 60), mention.start) is not None


def stands_alone(reader: TalkReader, mention: Mention, lexicon: Lexicon) -> bool:
    """ "Orange twist.", "Then nutmeg.", "Celery leaf in the top.": a thing that is the head of a short sentence."""
    if not reader.talk.punctuated or lexicon.is_liquid(mention.entry):
        return False
    start, end = reader.sentence(mention.start)
    lead, tail = reader.gap(start, mention.start).words, reader.gap(mention.end, end)
    if "?" in reader.lower[start:end] or not set(lead) <= CUT_WORDS:
        return False
    cream = mention.entry is not None and plain(mention.entry.name) == "whipped cream"
    decorates = (cream or lexicon.is_any(mention.entry, GARNISHING)) and _NOTED.search(reader.lower, 0, start) is None
    kind = lexicon.is_any(mention.entry, ("garnish",)) or decorates or by_its_cut(mention)
    stop = reader.lower[mention.end : mention.end + 1]
    ends = stop in (".", "!") and (kind or bool(lead))  # "Raisin." is a taste
    placed = tail.words[:1] in (("in",), ("on",), ("for",), ("over",), ("inside",), ("down",))
    told = kind and (stop == "," or tail.words[:1] == ("if",))
    # "Pineapple wedge and a cherry.": the list goes on.
    listed = kind and tail.words[:1] in (("and",), ("plus",)) and len(tail.words) <= 8
    rest = [x for x in reader.talk.mentions if x.group == "ingredient" and mention.end <= x.start < end]
    # "Peach slice, mint sprig.": nothing but such things.
    only = (
        bool(rest)
        and all(lexicon.is_any(x.entry, GARNISHING) or by_its_cut(x) for x in rest)
        and not _other_words(reader, rest, end)
    )
    others = bool(rest) and not (told and only and reader.lower[rest[0].start - 2] == ",")
    joined = listed or (told and tail.words[:1] in (("and",), ("plus",), ("a",), ("one",)))
    return (ends or placed or told or listed) and len(tail.words) <= (24 if told else 12) and (
        not others or ends or joined
    )  # fmt: skip


def _other_words(reader: TalkReader, rest: Sequence[Mention], end: int) -> bool:
    """Whether anything but words of how things are cut stands between the last things of a sentence, or behind."""
    ends = [*(x.start for x in rest[1:]), end]
    return any(set(reader.gap(x.end, to).words) - CUT_WORDS for x, to in zip(rest, ends, strict=True))


def next_to_the_glass(reader: TalkReader, mention: Mention, lexicon: Lexicon) -> bool:
    """ "Strain it into a coupe, lemon twist", "tall glass on ice, nutmeg", "top it with tonic, lime wedge": what
    decorates, named next behind the glass, its ice, or what fills it up."""
    if not lexicon.is_any(mention.entry, GARNISHING):
        return False
    if not reader.talk.punctuated and by_its_cut(mention) and reader.before(mention.start, 1) == ("and",):
        return True  # "stir it a good minute i got no mixing glass and orange peel"
    near = max(0, mention.start - 60)
    ends = [g.end for g in reader.mentions_in(near, mention.start) if g.group == "glass" and g.end <= mention.start]
    ends += [t.end for t in reader.talk.techniques if t.name in SERVING and near <= t.start and t.end <= mention.start]
    # "Rocks glass, salt rim, lime wedge"
    rims = [r.end for r in reader.mentions_in(near, mention.start) if r.heard.lower().endswith("rim")]
    ends += [e for e in rims if e <= mention.start]
    iced = _ICE_BEFORE.search(reader.lower[near : mention.start])
    ends += [near + iced.end("ice")] if iced is not None else []
    if by_its_cut(mention):
        ends += [m.end for m in reader.mentions_in(near, mention.start) if _tops(reader, m) and m.end <= mention.start]
        # "Give it a stir and orange peel": what is done last to a drink in its glass.
        ends += [
            t.end for t in reader.talk.techniques
            if t.name in ("stir", "top") and near <= t.start and t.end <= mention.start
        ]  # fmt: skip
    return bool(ends) and only_cut_between(reader, max(ends), mention.start)


def _tops(reader: TalkReader, mention: Mention) -> bool:
    gaps = [
        reader.gap(c.end, mention.start)
        for c in reader.cues_in("places.top", max(0, mention.start - 40), mention.start)
        if c.end <= mention.start
    ]
    return mention.group == "ingredient" and any(not g.stop and len(g.words) < 3 for g in gaps)


def by_its_cut(mention: Mention) -> bool:
    """Whether a thing is named by its cut: "lime wheel", "mint sprig"."""
    return bool(CUTS & {*plain(mention.name).split()[-1:], *plain(mention.heard).split()[-1:]})


def only_cut_between(reader: TalkReader, end: int, start: int) -> bool:
    """Whether nothing stands between two places but words of how something is cut."""
    gap = reader.gap(end, start)
    return not gap.stop and len(gap.words) <= 5 and set(gap.words) <= CUT_WORDS | {"with"}


def listed_on(reader: TalkReader, before: Mention, mention: Mention, lexicon: Lexicon) -> bool:
    """ "A long cucumber ribbon, and one cornflower": in one list with a garnish."""
    if mention.start < before.end or lexicon.is_liquid(mention.entry):
        return False
    gap = reader.gap(before.end, mention.start)
    return (gap.comma or "and" in gap.words) and only_cut_between(reader, before.end, mention.start)


_CUT_OF = frozenset(("slice", "wheel", "wedge", "sprig", "leaf", "peel", "zest", "twist", "petal", "ribbon"))


def with_its_cut(reader: TalkReader, mention: Mention, lexicon: Lexicon) -> Mention:
    """ "Wedge of lime.", "slice of apple in it": a lime wedge, an apple slice."""
    words = reader.before(mention.start, 2)
    if len(words) < 2 or words[1] != "of" or words[0] not in _CUT_OF or mention.entry is None:
        return mention
    said = {*plain(mention.name).split(), *plain(mention.heard).split()}
    if words[0] in said or CUTS & said or lexicon.is_liquid(mention.entry):
        return mention
    name = f"{mention.name} {words[0]}"
    return replace(mention, name=name, entry=lexicon.named(name) or mention.entry)
