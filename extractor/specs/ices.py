"""The ice that a drink is served on, from the words around it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence

from extractor.lexicon import Entry, plain
from extractor.specs.gaps import TalkReader

PLAIN = "ice"
# Names of ice so short or so common ("cubes", "used ice") that only their place could tell are left to the plain word.
SHORTEST = 4
_MANY = (
    r"(?:(?:some|the|fresh|new|more|good|clean|plenty of|lots of|a lot of|loads of|a bit of|a handful of|all that) )*"
)
# "Strain it over ice", "build it on ice": behind these the ice is in the glass, where "stir over ice" is in the mixing.
_SERVED_ON = re.compile(
    r"\b(?:(?:re)?strain\w*|pour\w*|buil[dt]\w*|serv\w+|tip|dump\w*)\b"
    r"(?:(?!\b(?:shak|stir|tins?\b|mixing))[^.?!;]){0,60}?\b(?:over|on|onto|on to) " + _MANY + "$"
)
# "Fill it with ice", but not the shaker.
_FILLED = re.compile(
    r"\b(?:fill|filled|fills|filling|pack|packed|load|loaded)\b"
    r"(?:(?!\b(?:shaker|tins?|mixing|jug|blender|pitcher)\b)[^.?!;]){0,40}?\b(?:with|full of) " + _MANY + "$"
)
_FULL = re.compile(
    r"^,? ?(?:is |goes |it's |that's )?(?:already )?(?:full of|filled with|packed with|with|over|and put|and|on) "
    + _MANY + "$"
)  # fmt: skip
_IN_THE_GLASS = re.compile(
    r"^(?: cubes?)?(?: goes| going)? (?:in|into) (?:the|your|a|each|that|it's own) ?(?:[\w-]+ ){0,2}$"
)
_DENIED = frozenset(("no", "without", "not", "never", "don't", "less", "skip"))
_SHAKEN = frozenset(("shake", "shaken", "shaking", "shook"))


def ice_of(
    reader: TalkReader, ices: Sequence[Entry], places: Iterable[tuple[int, int]], *, usable: Callable[[int], bool],
    built: bool,
) -> str | None:  # fmt: skip
    """The kind of ice ("crushed ice", "large cube"; "ice" where only that it is on ice was said), or None.

    places: the stretches of talk about the drink. usable: whether what stands at an offset is meant of it. built: the
    drink is made in its glass, so that all ice is in the glass.
    """
    stretches = list(places)
    names = sorted(
        ((plain(n), e.name) for e in ices for n in (e.name, *e.others)), key=lambda pair: -len(pair[0])
    )  # fmt: skip
    for name, kind in names:
        if kind in (PLAIN, "dry ice") or len(name) < SHORTEST:
            continue
        for at, _ in _found(reader, name, stretches):
            shaken = kind == "no ice" and bool(_SHAKEN & set(reader.before(at, 5)))  # that is a dry shake
            if usable(at) and not shaken and not _denied(reader, at) and not _of_a_thing(reader, at):
                return kind
    for at, end in _found(reader, PLAIN, stretches):
        if usable(at) and not _denied(reader, at) and (built or _served(reader, at, end)):
            return PLAIN
    return None


def _found(reader: TalkReader, name: str, stretches: Iterable[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    pattern = re.compile(r"(?<![\w-])" + re.escape(name) + r"(?![\w-])")
    for start, end in stretches:
        for m in pattern.finditer(reader.lower, start, end):
            yield m.span()


def _of_a_thing(reader: TalkReader, at: int) -> bool:
    """The spear of "a cucumber spear"."""
    near = reader.mentions_in(max(0, at - 30), at)
    return any(m.group == "ingredient" and m.start < at < m.end for m in near)


def _denied(reader: TalkReader, at: int) -> bool:
    return bool(_DENIED & set(reader.before(at, 3)))


def _served(reader: TalkReader, at: int, end: int) -> bool:
    start, stop = reader.sentence(at)
    lead = reader.lower[max(start, at - 90) : at]
    if _SERVED_ON.search(lead) or _FILLED.search(lead):
        return True
    glasses = [
        m for m in reader.mentions_in(max(start, at - 60), min(stop, end + 60))
        if m.group == "glass" and plain(m.heard).split()[:1] != ["mixing"]
    ]  # fmt: skip
    return any(
        (m.end <= at and _FULL.match(reader.lower[m.end : at]))
        or (m.start >= end and _IN_THE_GLASS.match(reader.lower[end : m.start]))
        for m in glasses
    )
