"""The chapters of the video: where each drink begins.

Rules (common practice of video hosts, no standard): the first begins at 0:00, they ascend, there are three at least,
and none is shorter than ten seconds. Where they cannot be kept there are no chapters at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

SHORTEST = 10
FEWEST = 3


@dataclass(frozen=True, slots=True)
class Chapter:
    """`second` is whole, rounded down, so that a viewer who goes there misses nothing."""

    second: int
    title: str


def chapters(starts: Sequence[tuple[float, str]], duration_s: float | None, *, start: str) -> tuple[Chapter, ...]:
    """Chapters from (second, title) of each drink, in any order; `start` is the title of what comes before the first.

    A drink that would make a chapter too short shares that of the one before it (or the one after it, at the very
    start): its name is in the title, so no drink is lost.
    """
    begun = sorted((max(0, int(s)), title) for s, title in starts)
    if duration_s is not None:
        begun = [(min(s, max(0, int(duration_s))), title) for s, title in begun]
    if not begun:
        return ()
    found: list[tuple[int, list[str]]] = [(0, [start])] if begun[0][0] >= SHORTEST else [(0, [begun.pop(0)[1]])]
    for second, title in begun:
        if second - found[-1][0] < SHORTEST:
            found[-1][1].append(title)
        else:
            found.append((second, [title]))
    # The end of the recording makes the last one short.
    if duration_s is not None and len(found) > 1 and duration_s - found[-1][0] < SHORTEST:
        _, titles = found.pop()
        found[-1][1].extend(titles)
    if len(found) < FEWEST:
        return ()
    return tuple(Chapter(second, _titles(titles)) for second, titles in found)


def _titles(titles: Sequence[str]) -> str:
    unique = list(dict.fromkeys(titles))
    return unique[0] if len(unique) == 1 else f"{', '.join(unique[:-1])} and {unique[-1]}"
