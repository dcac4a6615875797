""" "Lime or lemon", "bourbon or rye, I'm using rye": alternatives, and whether the speaker settles which it is."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader
from extractor.specs.links import Linked
from extractor.specs.same import same_thing

_BETWEEN = frozenset(
    [
        "or", "a", "an", "the", "some", "one", "of", "your", "my", "even", "maybe", "half", "ounce", "ounces",
        "tablespoon", "teaspoon", "either", "with", "it", "it's", "is", "else", "you", "top", "put", "use",
        "light",
    ]
)  # fmt: skip
KIND_WITHIN = 420
"""How far behind the thing its two kinds may be left open, in characters. Our own estimate."""
SETTLED_WITHIN = 220
"""Characters behind the choice in which it may be settled."""


@dataclass
class Choice:
    first: Mention
    other: Mention
    settled: bool
    either: bool = False
    """ "Then either lemonade or soda water": one of the two goes in though no amount is said."""


def choices(reader: TalkReader, linked: Sequence[Linked]) -> list[Choice]:
    """All pairs told as "this or that". Where the second is the one taken, it stands as `first`."""
    out: list[Choice] = []
    for a, b in itertools.pairwise(linked):
        first, other = a.mention, b.mention
        gap = reader.gap(first.end, other.start)
        measured = sum(g.end - g.start for g in b.groups if first.end <= g.start < other.start)
        words = list(gap.words)
        either = words == ["either"] and "either" in reader.before(first.start, 2)
        # "A bottle of cognac. Or aged rum, honestly."
        behind = gap.stop and words == ["or"] and not b.groups
        if (
            (gap.stop and not behind)
            or ("or" not in words and not either)
            or same_thing(first, other)
            or len(words) > (3 if not measured else 7) + (2 if either_or(words) else 0)
        ):
            continue
        if words[0] != "or" and not either:
            continue
        if not measured and not set(words) <= _BETWEEN:
            continue
        taken = _taken(reader, first, other)
        if taken is other:
            if b.groups == [] and a.groups:
                b.groups = a.groups
                a.groups = []
            out.append(Choice(other, first, True, "either" in reader.before(first.start, 2)))
        else:
            if not a.groups and b.groups:
                a.groups = b.groups
            out.append(Choice(first, other, taken is first, "either" in reader.before(first.start, 2)))
    return [*out, *_of_two_kinds(reader, linked)]


_THIS_OR_THAT = re.compile(r"(?<![\w'])([a-z]+) or (?:the )?([a-z]+),?(?: one)?,? $")


def _of_two_kinds(reader: TalkReader, linked: Sequence[Linked]) -> list[Choice]:
    """ "White or green, do what you want", of a white crème de menthe: the kind alone is left open."""
    out: list[Choice] = []
    for cue in reader.cues("promises.open choice"):
        found = _THIS_OR_THAT.search(reader.lower[max(0, cue.start - 40) : cue.start])
        if found is None:
            continue
        for item in reversed([x for x in linked if cue.start - KIND_WITHIN < x.mention.end <= cue.start]):
            kind, *rest = plain(item.mention.heard).split()
            if not rest or kind not in found.groups() or not item.groups:
                continue
            other = next(w for w in (found[2], found[1]) if w != kind)
            at = cue.start - (len(found[0])) + found[0].find(other)
            name = " ".join((other, *rest))
            mention = replace(
                item.mention,
                start=at,
                end=at + len(other),
                heard=other,
                name=name,
                entry=None,
                how="unknown",
                core=None,
            )
            out.append(Choice(item.mention, mention, False))
            break
    return out


def either_or(words: Sequence[str]) -> bool:
    """ "Or you top it with": the second of two is said with its verb again."""
    return "you" in words or "it" in words


def _taken(reader: TalkReader, first: Mention, other: Mention) -> Mention | None:
    """The one that the speaker says to use."""
    end = other.end + SETTLED_WITHIN
    for cue in reader.cues_in("modes.settled", other.end, end):
        if reader.lower[cue.start : cue.end].split()[-1] in (
            "ruling",
            "choice",
            "pick",
            "vote",
            "answer",
            "verdict",
            "decision",
        ):
            before = [
                m for m in reader.talk.mentions if cue.start - 30 < m.end <= cue.start and m.group == "ingredient"
            ]
            if before and same_thing(before[-1], other):
                return other
            if before and same_thing(before[-1], first):
                return first
        following = [m for m in reader.talk.mentions if cue.end <= m.start < cue.end + 40 and m.group == "ingredient"]
        for m in following[:1]:
            if reader.gap(cue.end, m.start).stop or len(reader.gap(cue.end, m.start).words) > 3:
                continue
            if same_thing(m, other):
                return other
            if same_thing(m, first):
                return first
    return None
