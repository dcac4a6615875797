"""Sounds as small numbers, and how far two strings of sounds are apart.

A word's sounds are ARPAbet phones without stress. They are compared by a weighted edit distance: near sounds cost
little to exchange, weak sounds cost little to lose, and losing the end of a name costs less than losing its middle.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_phrases

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

PLACE, MANNER, VOICE, SWAP_AT_MOST = 0.45, 0.6, 0.25, 1.1
"""What a difference of place (lips to soft palate), manner and voice costs where a consonant is heard for another."""
VOWEL_BASE, VOWEL_FAR, VOWEL_AT_MOST = 0.08, 0.28, 0.48
"""A vowel heard for another costs the base and its way across the vowel chart, up to a most."""
SWALLOWED = 0.7
"""Losing a sound at the end of a name costs this share of what losing it elsewhere does."""
NOT_ASKED = 1e6
"""Stands in a table of distances where none was asked for."""
SWALLOWED_AT_MOST = 3
"""So many of the last sounds count as the end."""


@dataclass(frozen=True, eq=False)
class Sounds:
    """The table of sounds. Code 0 is "no sound" (padding); codes from 1 are phones.

    swap[a, b]: cost of hearing b for a, 0 to 1. drop[a]: cost of losing or adding a.
    """

    codes: Mapping[str, int]
    split: Mapping[str, tuple[str, ...]]
    vowels: frozenset[int]
    classes: tuple[int, ...]
    """Class of each code, from 1: sounds easily heard for one another share one."""
    swap: NDArray[np.float32]
    drop: NDArray[np.float32]

    @cached_property
    def _codes_of(self) -> dict[str, tuple[int, ...]]:
        """The codes of every phone, with each stress and without."""
        named: dict[str, tuple[int, ...]] = {p: (c,) for p, c in self.codes.items()}
        named.update((p, tuple(self.codes[x] for x in parts)) for p, parts in self.split.items())
        return {p + stress: codes for p, codes in named.items() for stress in ("", "0", "1", "2")}

    def encode(self, phones: Iterable[str]) -> tuple[int, ...]:
        """Phones, with or without stress, as codes. A doubled sound at a join counts once. Unknown phones raise."""
        out: list[int] = []
        last = 0
        known = self._codes_of
        for phone in phones:
            for code in known[phone if phone in known else phone.rstrip("012")]:
                if code != last:
                    out.append(code)
                    last = code
        return tuple(out)


def hearing_folder(folder: str | None = None) -> Path:
    """Where the hearing data of a lexicon lies; the project's own where that lexicon has none."""
    if folder is not None and (Path(folder) / "hearing").is_dir():
        return Path(folder) / "hearing"
    return lexicon_folder() / "hearing"


@lru_cache(maxsize=4)
def load_sounds(folder: Path) -> Sounds:
    """Reads sounds.txt of `folder`. Raises LexiconError for a line that cannot be read."""
    import numpy as np

    faults: list[str] = []
    data = read_phrases(folder / "sounds.txt", faults)
    rows_c = [line.split() for line in data.get("consonants", ())]
    rows_v = [line.split() for line in data.get("vowels", ())]
    faults += [f"sounds.txt: expected 5 columns, found {' '.join(r)!r}" for r in (*rows_c, *rows_v) if len(r) != 5]
    if faults:
        raise LexiconError(faults)
    codes = {r[0]: i for i, r in enumerate((*rows_c, *rows_v), 1)}
    n = len(codes) + 1
    swap = np.ones((n, n), dtype=np.float32)
    drop = np.zeros(n, dtype=np.float32)
    for r in (*rows_c, *rows_v):
        drop[codes[r[0]]] = float(r[4])
    for a in rows_c:
        for b in rows_c:
            place = min(abs(float(a[1]) - float(b[1])) / 4, 1.0)
            cost = PLACE * place + (0.0 if a[2] == b[2] else MANNER) + (0.0 if a[3] == b[3] else VOICE)
            swap[codes[a[0]], codes[b[0]]] = min(cost, SWAP_AT_MOST)
    for a in rows_v:
        for b in rows_v:
            far = sum((float(x) - float(y)) ** 2 for x, y in zip(a[1:4], b[1:4], strict=True)) ** 0.5
            swap[codes[a[0]], codes[b[0]]] = min(VOWEL_BASE + VOWEL_FAR * far, VOWEL_AT_MOST) if a[0] != b[0] else 0.0
    for line in data.get("near", ()):
        x, y, text = line.split()
        swap[codes[x], codes[y]] = swap[codes[y], codes[x]] = float(text)
    np.fill_diagonal(swap, 0.0)
    split = {line.split()[0]: tuple(line.split()[1:]) for line in data.get("split", ())}
    vowels = frozenset(codes[r[0]] for r in rows_v)
    classes = [0] * n
    for k, line in enumerate(data.get("classes", ()), 1):
        for phone in line.split():
            classes[codes[phone]] = k
    return Sounds(codes, split, vowels, tuple(classes), swap, drop)


def pad(strings: Sequence[Sequence[int]]) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    """Strings of codes as a matrix (strings x longest), padded with 0, and their lengths."""
    import numpy as np

    lengths = np.fromiter((len(s) for s in strings), dtype=np.int64, count=len(strings))
    out = np.zeros((len(strings), max(1, int(lengths.max()) if len(strings) else 1)), dtype=np.uint8)
    # Row by row, left to right: the order in which the codes come.
    flat = np.fromiter(chain.from_iterable(strings), dtype=np.uint8, count=int(lengths.sum()))
    out[np.arange(out.shape[1])[None, :] < lengths[:, None]] = flat
    return out, lengths


def distances(
    sounds: Sounds,
    heard: NDArray[np.uint8],
    cuts: NDArray[np.int64],
    name: NDArray[np.uint8],
    name_length: NDArray[np.int64],
) -> NDArray[np.float32]:
    """What it costs to hear the first sounds of `heard` for `name`, for each pair of rows and each cut.

    heard, name: pairs x sounds, codes padded with 0. cuts: pairs x cuts, how many sounds of `heard` count (0: none
    asked). Gives pairs x cuts, NOT_ASKED where none was asked. All pairs advance together, a sound of `heard` a step.
    """
    import numpy as np

    pairs, longest = name.shape
    result = np.full(cuts.shape, NOT_ASKED, dtype=np.float32)
    if pairs == 0:
        return result
    # Sounds x pairs: so each step works on whole rows of pairs.
    codes = np.ascontiguousarray(name.T).astype(np.intp)
    before = np.zeros((longest + 1, pairs), dtype=np.float32)
    np.cumsum(sounds.drop[codes], axis=0, out=before[1:])
    # What is left of the name once heard has ended: its last few sounds are cheap to lose.
    left = before[name_length, np.arange(pairs)][None, :] - before
    column = np.arange(longest + 1)[:, None]
    tail = np.where(name_length[None, :] - column <= SWALLOWED_AT_MOST, left * np.float32(SWALLOWED), left)
    tail[column > name_length[None, :]] = NOT_ASKED
    swap, size = sounds.swap.ravel(), len(sounds.drop)
    row = before.copy()
    best = np.empty_like(row)
    other = np.empty((longest, pairs), dtype=np.float32)
    at, which = np.nonzero(cuts)
    ends = cuts[at, which]
    order = np.argsort(ends, kind="stable")
    at, which, ends = at[order], which[order], ends[order]
    steps = min(int(cuts.max(initial=0)), heard.shape[1])
    bounds = np.searchsorted(ends, np.arange(1, steps + 2))
    for i in range(steps):
        code = heard[:, i].astype(np.intp)
        swap.take(codes + code * size, out=other, mode="clip")
        other += row[:-1]
        np.add(row, sounds.drop[code], out=best)
        np.minimum(best[1:], other, out=best[1:])
        best -= before
        for k in range(longest):
            np.minimum(best[k + 1], best[k], out=best[k + 1])
        best += before
        row, best = best, row
        a, b = bounds[i], bounds[i + 1]
        if a < b:
            result[at[a:b], which[a:b]] = (row[:, at[a:b]] + tail[:, at[a:b]]).min(axis=0)
    return result
