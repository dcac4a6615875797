"""Small whole numbers as words: enough to count drinks, people and parts. Core. Amounts are read in measures/."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_COUNTED = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen twenty"
)
NUMBERS: Mapping[str, int] = MappingProxyType(
    {word: number for number, word in enumerate(_COUNTED.split())}
    | {"thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}
    | {"dozen": 12, "couple": 2, "pair": 2}
)

NUMBER_WORDS = "|".join(sorted((w for w, n in NUMBERS.items() if n), key=len, reverse=True))
"""The words of NUMBERS but nought, the longest first, as alternatives of a pattern."""


def is_number(word: str) -> bool:
    """Whether a lower-case word is a small number, in a word or in digits."""
    return word in NUMBERS or word.isdigit()
