"""What is said behind a comma of the thing just named: "mastiha, the liqueur from the tree that cries, thirty"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

# A name that is only one of these words names nothing by itself, so it is the same as nothing longer.
HEADS_ALONE = frozenset(
    [
        "juice", "syrup", "bitters", "liqueur", "water", "milk", "cream", "tea", "salt", "sugar", "oil", "peel",
        "twist", "wheel", "wedge", "slice", "sprig", "leaf", "leaves", "shrub", "cordial", "brine", "vinegar",
        "sauce", "ice", "rim", "puree", "solution",
    ]
)  # fmt: skip
# Of these a thing is said to be one: "singani, the brandy from up there".
_KINDS_OF_THINGS = HEADS_ALONE | {
    "spirit", "brandy", "wine", "herb", "flower", "root", "berry", "seed", "fruit", "spice", "gin", "rum",
}  # fmt: skip
NEAR = 40

_KIND_BEHIND = re.compile(
    r" (?:kind|kinds|sort|type|style|version|variety|stuff|brand|ones|one)"
    r"(?:[,.;:!?]|$| (?:of|that|you|from|with|and)\b)"
)
_KIND_WITHIN = re.compile(r" (?:kind|sort|type|style|version|variety|brand)$")
_THE_KIND = frozenset(("the", "a", "that", "this", "those", "your", "some", "really", "good", "nice", "old"))
_OUT_OF = (("from",), ("made", "from"), ("made", "of"), ("out", "of"), ("made", "with"))
_ARTICLES = (("the",), ("a",), ("an",), ("that",))
_SAYS_WHAT = re.compile(r" (?:from|that|which|made|they|you|with|of) ")
_NAME_BEFORE = re.compile(
    r"(?:^|[.!?;,] |[.!?;,] (?:and |then |now |next |so )+)"
    r"(?P<name>[a-zà-ÿ'-]{4,}(?: [a-zà-ÿ'-]{3,})?), (?:the|a|an|it's a|which is a) $"
)
_NO_NAME = frozenset(
    [
        "right", "okay", "well", "next", "then", "first", "second", "third", "last", "finally", "listen", "look",
        "also", "again", "there", "here", "this", "that", "them", "everything",
    ]
)  # fmt: skip


def of_a_kind(mentions: Sequence[Mention], amounts: Sequence[int], reader: TalkReader) -> list[Mention]:
    """Leaves out what only tells the kind of the thing named before it; `amounts`: where amounts begin, in order.

    "Yellow herbal liqueur, the honey kind, one ounce"; "mastiha, the liqueur from the tree that cries, thirty".
    "Bitters, three dashes of the clove kind" names the bitters again.
    """
    out: list[Mention] = []
    for m in mentions:
        before = out[-1] if out else None
        if before is None or m.start - before.end > NEAR or m.group != "ingredient":
            out.append(_by_the_name_before(m, reader))
            continue
        gap = reader.gap(before.end, m.start)
        kind = _KIND_BEHIND.match(reader.lower, m.end)
        if kind is None and m.entry is None:
            kind = _KIND_WITHIN.search(m.heard.lower())
        between = any(before.end <= s < m.start for s in amounts)
        if gap.words in _OUT_OF and not gap.stop and not gap.comma and any(m.end <= s <= m.end + 2 for s in amounts):
            continue  # "a gin from wheat, six centilitres"
        if gap.stop or not gap.comma:
            out.append(_by_the_name_before(m, reader))
        elif kind is not None and not between and gap.words[:1] in _ARTICLES and set(gap.words) <= _THE_KIND:
            continue
        elif kind is not None and between and gap.words[-2:] in (("of", "the"), ("the", "plain"), ("the", "good")):
            out.append(replace(before, start=m.start, end=m.end, core=(m.start, m.end), how="pronoun"))
        elif not between and gap.words in _ARTICLES and _tells_what(m, reader):
            continue
        else:
            out.append(m)
    return out


def _tells_what(m: Mention, reader: TalkReader) -> bool:
    return plain(m.heard) in _KINDS_OF_THINGS and _SAYS_WHAT.match(reader.lower, m.end) is not None


def _by_the_name_before(m: Mention, reader: TalkReader) -> Mention:
    """ "Singani, the brandy from up there, two ounces": of a name that no lexicon has only the kind was known."""
    if m.group != "ingredient" or m.how != "exact" or not _tells_what(m, reader):
        return m
    low = max(0, m.start - 50)
    found = _NAME_BEFORE.search(reader.lower[low : m.start])
    if found is None or any(x.start < m.start for x in reader.mentions_in(low + found.start("name"), m.start)):
        return m
    a, b = low + found.start("name"), low + found.end("name")
    if any(a <= x.start < m.start for x in reader.talk.measures) or set(found["name"].split()) & _NO_NAME:
        return m
    said = reader.talk.text[a:b]
    return replace(
        m, start=a, end=b, core=(a, b), name=said.lower(), heard=said, entry=None, how="unknown", apply=False
    )
