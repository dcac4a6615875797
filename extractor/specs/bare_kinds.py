"""A kind that stands for a thing: "fifteen of sweet vermouth, fifteen of dry", "half an ounce each of sweet and dry
vermouth", "three rums, an ounce of white, an ounce of gold"; and things told inside a unit: "a stick of butter".
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from extractor.lexicon import Lexicon, plain
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

HEADS = ("vermouth", "rum", "tequila", "sherry", "port")
"""What is told by its kind alone, once it has been named."""
NAMED_WITHIN = 90
"""So near before, in characters, a thing with the head is named."""
_KIND = re.compile(r",? ?(?:of )?(?:the |a |my )?(?P<kind>[a-zà-ÿ]{3,10})(?=[,.;:!?]|$| and\b| then\b| plus\b| or\b)")
_AND_KIND = re.compile(r"(?P<kind>[a-zà-ÿ]{3,10}) and (?:the |a |some )?$")
_BUTTER = re.compile(r"\b(?:sticks?|knobs?|pats?) of (butter)$")


def bare_kinds(
    mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader, lexicon: Lexicon
) -> list[Mention]:
    """The names with those put in that stand for a thing by its kind; an unknown word that is such a kind is it."""
    found = [
        *_behind_amounts(mentions, measures, reader, lexicon), *_before_the_name(mentions, reader, lexicon),
        *_in_units(measures, reader, lexicon),
    ]  # fmt: skip
    free: list[Mention] = []
    for m in found:
        if m is None:
            continue
        over = [x for x in mentions if x.start < m.end and m.start < x.end]
        if all(x.how == "unknown" for x in over) and all(x.start != m.start for x in free):
            free.append(m)
    kept = [x for x in mentions if not any(x.start < m.end and m.start < x.end for m in free)]
    return sorted([*kept, *free], key=lambda m: m.start)


def _behind_amounts(
    mentions: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader, lexicon: Lexicon
) -> Iterator[Mention | None]:
    for m in measures:
        if m.low is None or m.kind not in ("amount", "number"):
            continue
        found = _KIND.match(reader.lower, m.end)
        if found is None:
            continue
        a, b = found.span("kind")
        near = [
            x for x in mentions if m.start - NAMED_WITHIN < x.end <= m.start or b <= x.start < b + NAMED_WITHIN // 2
        ]
        said = [h for h in HEADS if re.search(rf"\b{h}s\b", reader.lower[max(0, m.start - NAMED_WITHIN) : m.start])]
        heads = [h for h in HEADS if any(plain(x.name).split()[-1] == h for x in near)] or said
        if len(heads) == 1:
            yield kind_of(found["kind"], heads[0], a, b, reader, lexicon)


def _before_the_name(mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> Iterator[Mention | None]:
    """ "Sweet and dry vermouth"."""
    for x in mentions:
        head = plain(x.name).split()[-1]
        found = _AND_KIND.search(reader.lower, max(0, x.start - 24), x.start)
        if head in HEADS and found is not None and len(plain(x.name).split()) > 1:
            yield kind_of(found["kind"], head, *found.span("kind"), reader, lexicon)


def _in_units(measures: Sequence[Measure], reader: TalkReader, lexicon: Lexicon) -> Iterator[Mention]:
    for m in measures:
        found = _BUTTER.search(m.said.lower())
        entry = lexicon.named("butter")
        if found is not None and entry is not None and m.kind == "amount":
            a = m.start + found.start(1)
            yield Mention(a, m.end, entry.name, reader.talk.text[a : m.end], "ingredient", entry, "exact")


def kind_of(kind: str, head: str, start: int, end: int, reader: TalkReader, lexicon: Lexicon) -> Mention | None:
    """The thing of a head that text[start:end] names by its kind alone, if the lexicon has one."""
    entry = lexicon.named(f"{kind} {head}")
    if entry is None:
        return None
    said = reader.talk.text[start:end]
    return Mention(start, end, entry.name, said, "ingredient", entry, "other name", core=(start, end))
