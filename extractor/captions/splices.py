"""Splices: stretches of the decoded text that are replaced, everything else staying as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from extractor.captions.words import Line


class Splice(NamedTuple):
    offset: int
    length: int
    text: str


def apply(source: str, splices: Iterable[Splice], begin: int = 0, stop: int | None = None) -> str:
    """`source[begin:stop]` with the splices made. Splices that take away the same text twice take it once."""
    out: list[str] = []
    at = begin
    for splice in sorted(splices):
        end = splice.offset + splice.length
        if splice.offset > at:
            out.append(source[at : splice.offset])
        out.append(splice.text)
        at = max(at, end)
    out.append(source[at:stop])
    return "".join(out)


def over(text: str, count: int, space: str) -> list[str]:
    """The words of a text over the `count` stretches of a word that was cut: first words first, "" for none.

    `space` stands before every word but the first.
    """
    tokens = text.split(" ")
    out = [""] * count
    for n, token in enumerate(tokens):
        at = n * count // len(tokens) if len(tokens) <= count else min(n, count - 1)
        if out[at]:
            out[at] += f" {token}"
        else:
            out[at] = f"{space}{token}" if n else token
    return out


def line_splices(
    source: str,
    line: Line,
    texts: Mapping[int, str],
    escape: Callable[[str, int], str],
    bounds: tuple[int, int] | None,
) -> list[Splice]:
    """What changes in one caption where its word number n (as shown) becomes `texts[n]`, "" for none.

    With a word that goes, the space before it goes (after it, at the beginning of a line). Where a whole line goes,
    its line break goes too if `bounds` gives the stretch of the source in which lines count: an empty line would
    end a caption.
    """
    out: list[Splice] = []
    gone: list[int] = []
    for n, text in texts.items():
        if not text:
            gone.append(n)
            continue
        places = line.places(*line.words[n])
        parts = over(text, len(places), " ")
        for place, part in zip(places, parts, strict=True):
            written = escape(part, place.offset)
            if written != source[place.offset : place.offset + place.length]:
                out.append(Splice(place.offset, place.length, written))
    for begin, stop, whole in _stretches(line, sorted(gone)):
        places = line.places(begin, stop)
        out += [Splice(p.offset, p.length, "") for p in places]
        if whole and bounds is not None and len(places) == 1:
            out += _line_break(source, places[0].offset, places[0].offset + places[0].length, bounds)
    return out


def _stretches(line: Line, gone: Sequence[int]) -> list[tuple[int, int, bool]]:
    """The stretches of the shown text that go, and whether each is a whole line."""
    out: list[tuple[int, int, bool]] = []
    left = set(gone)
    for n in gone:
        if n not in left:
            continue
        begin = max(line.text.rfind("\n", 0, line.words[n][0]), line.text.rfind("\r", 0, line.words[n][0])) + 1
        ends = [e for e in (line.text.find("\n", begin), line.text.find("\r", begin)) if e != -1]
        stop = min(ends, default=len(line.text))
        here = [k for k, (a, b) in enumerate(line.words) if begin <= a and b <= stop]
        if all(k in left for k in here):
            out.append((begin, stop, True))
            left -= set(here)
            continue
        last = n
        while last + 1 in left and last + 1 in here:
            last += 1
        if n == here[0]:
            out.append((line.words[n][0], line.words[last + 1][0], False))
        else:
            out.append((line.words[n - 1][1], line.words[last][1], False))
        left -= set(range(n, last + 1))
    return out


def _line_break(source: str, begin: int, stop: int, bounds: tuple[int, int]) -> list[Splice]:
    """The line break after an emptied line, or before it when it is the last; none where tags stay on the line."""
    low, high = bounds
    if (begin > low and source[begin - 1] not in "\r\n") or (stop < high and source[stop] not in "\r\n"):
        return []
    if stop < high:
        return [Splice(stop, 2 if source.startswith("\r\n", stop) else 1, "")]
    if begin > low:
        size = 2 if source.startswith("\r\n", begin - 2) and begin - 2 >= low else 1
        return [Splice(begin - size, size, "")]
    return []
