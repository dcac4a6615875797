"""What each replaced word becomes: the new text shared out over the words that it replaces.

Word by word, because a phrase may be cut by a line, by word times, or between two captions, and each of its words may
be shown again in other captions than the next. A word may become several, or none.
"""

from __future__ import annotations

from collections.abc import Sequence

from extractor.captions.edits import core

_OPENING = "\"'“‘«‹([{¿¡*♪-–—"
_CLOSING = "\"'”’»›)]}.,;:!?…*♪-–—"
_QUOTES = "'‘’"
_EMPTY_LINE = 1000
"""Cost of a word that becomes none where it stands alone on its line: any other way is better."""


def dress(old: Sequence[str], text: str, *, shouted: bool = False) -> str:
    """The new text with the punctuation around the old words, and their capitals.

    Punctuation that the new text brings itself wins. `shouted`: the talk around is all in capitals.
    """
    text = " ".join(text.split())
    opening, closing = _around(old)
    if text[0] not in _OPENING:
        text = opening + text
    if text[-1] not in _CLOSING:
        text = text + closing
    if shouted:
        return text.upper()
    capital = [w.lstrip(_OPENING)[:1].isupper() for w in old if core(w)]
    if not capital or not capital[0]:
        return text
    words = text.split(" ")
    most = len(words) if len(capital) > 1 and all(capital) else 1
    return " ".join(_capital(w) if n < most else w for n, w in enumerate(words))


def share(old: Sequence[str], tokens: Sequence[str], alone: Sequence[bool]) -> list[str]:
    """The new words shared out over the old ones, in order; "" for an old word that goes.

    Old and new words that look alike come together. `alone[i]`: word i is the only one on its line somewhere.
    """
    if len(old) == len(tokens):
        return list(tokens)
    if len(old) == 1:
        return [" ".join(tokens)]
    from rapidfuzz.distance import Levenshtein

    # best[i][j]: the least cost of sharing the first j new words over the first i old ones, and the last word's share
    m, n = len(old), len(tokens)
    best: list[list[tuple[int, int]]] = [[(0, 0)] + [(1 << 30, 0)] * n]
    for i in range(1, m + 1):
        row: list[tuple[int, int]] = []
        heard = core(old[i - 1])
        for j in range(n + 1):
            options = []
            for size in range(j + 1):
                cost = best[i - 1][j - size][0]
                if cost >= 1 << 30:
                    continue
                group = core("".join(tokens[j - size : j]))
                cost += Levenshtein.distance(heard, group)
                if not size and alone[i - 1]:
                    cost += _EMPTY_LINE
                options.append((cost, size))
            row.append(min(options, default=(1 << 30, 0)))
        best.append(row)
    out: list[str] = []
    j = n
    for i in range(m, 0, -1):
        size = best[i][j][1]
        out.append(" ".join(tokens[j - size : j]))
        j -= size
    return out[::-1]


def _around(old: Sequence[str]) -> tuple[str, str]:
    """The punctuation before the first of the old words and after the last. An apostrophe is part of a word (drinkin')
    unless there is one at either end."""
    first, last = old[0], old[-1]
    opening = first[: len(first) - len(first.lstrip(_OPENING))]
    closing = last[len(last.rstrip(_CLOSING)) :]
    if len(opening) == len(first) or len(closing) == len(last):
        opening = opening if len(opening) < len(first) else ""
        closing = closing if len(closing) < len(last) else ""
    if not (set(opening) & set(_QUOTES) and set(closing) & set(_QUOTES)):
        while opening and opening[-1] in _QUOTES:
            opening = opening[:-1]
        while closing and closing[0] in _QUOTES:
            closing = closing[1:]
    return opening, closing


def _capital(word: str) -> str:
    """The word with its first letter large, unless it has large letters of its own."""
    for n, c in enumerate(word):
        if c.isalpha():
            return word[:n] + c.upper() + word[n + 1 :] if word.islower() else word
    return word
