"""A small lexicon of known content, and the project's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractor.lexicon import Lexicon, load_lexicon
from extractor.names import Hearing, load_hearing

SMALL = Path(__file__).resolve().parent / "small"


@pytest.fixture(scope="session")
def lexicon() -> Lexicon:
    return load_lexicon()


@pytest.fixture(scope="session")
def small() -> Hearing:
    """The names of tests/names/small, and nothing else: what is found does not hang on the state of the lexicon."""
    return load_hearing(load_lexicon(SMALL))
