"""The lexicon of a pipeline component, by the paths in its configuration (spaCy configurations hold plain text
only)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from extractor.lexicon import Lexicon, load_lexicon


def lexicon_for(folder: str, own: Sequence[str]) -> Lexicon:
    return load_lexicon(Path(folder) if folder else None, own=tuple(Path(p) for p in own))
