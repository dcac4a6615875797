"""Plain text without times: paragraphs of talk, a blank line between them."""

from __future__ import annotations

import re

from extractor.captions.cues import Cue, Reading

_PARAGRAPH = re.compile(r"[^\s\ufeff](?:(?!(?:\r\n|\r|\n)[ \t]*(?:\r\n|\r|\n|\Z))[\s\S])*")


def read(source: str) -> Reading:
    cues = [Cue(None, None, m.start(), m.end(), None, True) for m in _PARAGRAPH.finditer(source)]
    return Reading("plain-text", cues)
