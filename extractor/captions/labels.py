"""Captions that begin with who speaks: `Ann Lee: and then we shake`, as meeting programs write them.

A name before a colon is a label, not speech, where most captions have one and the same few names come again; a single
"Step one: shake" is speech.
"""

from __future__ import annotations

import re
from collections import Counter

from extractor.captions.cues import Cue

_LABEL = re.compile(r"[ \t]*([A-Z][\w.'’-]*(?: [A-Z0-9(][\w.'’)-]*){0,3}):[ \t]+(?=\S)")
LEAST_SHARE = 0.5
LEAST_TIMES = 3
"""Each name comes so often."""


def take_labels(source: str, cues: list[Cue]) -> bool:
    """Moves the labels out of the cues' text and into their speakers; whether there are any."""
    found = {}
    for i, cue in enumerate(cues):
        m = _LABEL.match(source, cue.offset, cue.stop)
        if m is not None:
            found[i] = m
    times = Counter(m[1] for m in found.values())
    labels = {i: m for i, m in found.items() if times[m[1]] >= LEAST_TIMES}
    if len(labels) < LEAST_SHARE * sum(cue.stop > cue.offset for cue in cues) or not labels:
        return False
    speaker: str | None = None
    for i, cue in enumerate(cues):
        if i in labels:
            speaker = labels[i][1]
            cues[i] = cue._replace(offset=labels[i].end(), speaker=speaker)
        else:
            cues[i] = cue._replace(speaker=speaker)  # who spoke before goes on
    return True
