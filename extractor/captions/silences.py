"""Long stretches without captions: a recogniser may lose whole sentences, and nobody can ask about what it lost."""

from __future__ import annotations

from collections.abc import Iterable

from extractor.captions.cues import Cue
from extractor.visible import clock

LONG_S = 15.0
"""From here on a silence is told of: longer than a hard shake, the longest thing that is done without a word
(ten to fifteen seconds: common practice, no source)."""
MOST = 3
"""How many are told of, the longest first; the rest are counted."""


def silences(cues: Iterable[Cue]) -> list[tuple[float, float]]:
    """Where no caption is shown for LONG_S seconds or more between two that are: (from, to) in seconds, in order."""
    found: list[tuple[float, float]] = []
    shown_until: float | None = None
    for start, end in sorted((c.start_s, c.end_s) for c in cues if c.start_s is not None and c.end_s is not None):
        if shown_until is not None and start - shown_until >= LONG_S:
            found.append((shown_until, start))
        shown_until = end if shown_until is None else max(shown_until, end)
    return found


def notes(cues: Iterable[Cue]) -> list[str]:
    """What the user is told of the silences of a file."""
    found = silences(cues)
    told = sorted(sorted(found, key=lambda s: s[0] - s[1])[:MOST])
    out = [
        f"No captions from {clock(start)} to {clock(end)}: if something was said there, it is missing here."
        for start, end in told
    ]
    if len(found) > len(told):
        out.append(f"{len(found) - len(told)} shorter stretches have no captions either.")
    return out
