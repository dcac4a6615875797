"""Units known by their sound: "scintillator", "sand dilators" and "central litters" are all one unit, misheard.

Long units are written in ever new ways, since a recogniser makes them of whatever words it knows, so no list holds
them. Their consonants stay: those of up to three words together are held against those of the units of
lexicon/measures/sounds.txt. A word that begins as the unit does and runs on ("millivirus": "mil of Irish") has
swallowed the name behind it; the unit is still told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

from extractor.measures.words import FUNCTION, NUMERIC, UNIT, Term

MOST_WORDS = 3
SHORT = 4
# Consonants that a recogniser writes for one another, and letters that it does not keep.
_SAME = str.maketrans("dbvzgcqj", "tpfskkks", "aeiouyhw'")
# "Milligrams" and "millions" are what they are.
_OTHER = ("milligr", "million", "millen", "milit")
# Small words that a recogniser puts where a long unit is cut: "sand till eaters", "send to litters".
_WITHIN = ("till", "until", "to")


@lru_cache(maxsize=4096)
def consonants(word: str) -> str:
    """The consonants of a word as they are heard: those that are taken for one another are one, none is doubled."""
    for soft in ("ce", "ci", "cy"):
        word = word.replace(soft, "s" + soft[1])
    out = ""
    for letter in word.replace("ph", "f").translate(_SAME):
        if letter != out[-1:]:
            out += letter
    return out


def unit_by_sound(w: Sequence[Term], i: int, sounds: Mapping[str, str]) -> tuple[str, int, bool] | None:
    """The unit that the words from i on sound like, the term behind them, and whether they are it alone."""
    best: tuple[int, str, int] | None = None
    letters = ""
    for n in range(MOST_WORDS):
        term = w[i + n]
        if not term.text.isalpha() or (n and (term.cls & NUMERIC or _ends(term))):
            break
        if n and term.cls & UNIT and term.text not in ("l", "liter", "liters", "litre", "litres"):
            break
        letters += term.text
        if letters.startswith(_OTHER):
            return None
        heard = consonants(letters).removesuffix("s")
        for said, unit in sounds.items():
            sound = consonants(said)
            far = _distance(heard, sound)
            # A short sound is not enough by itself: "metres" sounds like millilitres, and "mill gin" begins so.
            near = far <= 1 or (far == 2 and len(sound) > SHORT and heard.startswith(sound[:-2]))
            begins = len(sound) > SHORT or letters.startswith(said[:3])
            if near and begins and heard[0] == sound[0] and (best is None or far < best[0]):
                best = far, unit, i + n + 1
    if best is not None:
        return best[1], best[2], True
    first = w[i].text
    if first.startswith("milli") and len(first) > len("milli"):
        return "ml", i + 1, False
    return None


def _ends(term: Term) -> bool:
    return bool(len(term.text) > 1 and term.cls & FUNCTION) and term.text not in _WITHIN


def _distance(a: str, b: str) -> int:
    """How many letters differ (Levenshtein)."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        last, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            last, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, last + (x != y))
    return row[-1]
