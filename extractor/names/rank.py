"""Which names sound most like what was heard: a shortlist by cheap means, then the full distance.

Three sieves, so that cost hardly grows with the lexicon: bits of neighbouring sound classes (all rows), plain edit
distance over sounds (ROWS rows a place), weighted distance over sounds and spelling (SHORTLIST rows a window).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from extractor.names.hearing import Form, Hearing, SoundIndex, mark_bits, marks, spelled
from extractor.names.sounds import distances, pad

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ROWS = 1500
"""So many sayings pass the first sieve. Of 700 names heard wrongly, the right one passed in 99 of 100."""
SHORTLIST = 32
"""So many sayings of names are compared in full with each window."""
MATCHES = 8
"""So many names are kept for each window."""

# What else counts beside the sounds, in shares of the sounds of a name. Set on names heard by one recogniser,
# checked on another's (tests/benchmarks/names_hearing.py prints both).
SPELLING = 0.18
"""Letters that differ, as a share of all letters: a recogniser's spelling keeps a trace of what it heard."""
OTHER_NAME = 0.06
"""A second name is said less often than the first."""
WORDS_OFF = 0.025
"""For each word more or less than the name has."""
STRANGE = -0.05
"""Words that no dictionary has are ruined more often than plain ones."""


@dataclass(frozen=True, slots=True)
class Window:
    """A text to be compared. `place` groups windows that begin at the same token: they share the first sieve."""

    text: str
    """In plain form."""
    place: int
    group: str = "ingredient"


@dataclass(frozen=True, slots=True)
class Match:
    """A name that may be meant. `share`: of its sounds that is off, 0 to 1; `cost`: with all else that counts."""

    form: Form
    share: float
    cost: float
    weight: float


def passing(index: SoundIndex, bits: NDArray[np.uint64]) -> NDArray[np.int64]:
    """The first sieve: the ROWS rows with the largest share of their marks in `bits` (64-bit words)."""
    import numpy as np

    if len(index) <= ROWS:
        return np.arange(len(index))
    count = np.bitwise_count(index.marks[0] & bits[0])
    for k in range(1, len(bits)):
        count += np.bitwise_count(index.marks[k] & bits[k])
    level = (count * (index.share * 250)).astype(np.uint8)
    each = np.bincount(level, minlength=256)
    least = 255 - int(np.searchsorted(np.cumsum(each[::-1]), ROWS))
    return np.flatnonzero(level >= max(1, least))


def matches(hearing: Hearing, windows: Sequence[Window]) -> list[list[Match]]:
    """For each window the names that sound most like it, the least cost first."""
    out: list[list[Match]] = [[] for _ in windows]
    for group in sorted({w.group for w in windows}):
        index = hearing.by_sound[group]
        chosen = [i for i, w in enumerate(windows) if w.group == group]
        if len(index):
            for i, found in zip(chosen, _in_group(hearing, index, [windows[i] for i in chosen]), strict=True):
                out[i] = found
    return out


def _in_group(hearing: Hearing, index: SoundIndex, windows: Sequence[Window]) -> list[list[Match]]:
    import numpy as np
    from rapidfuzz.distance import Levenshtein
    from rapidfuzz.process import cdist

    strings = [hearing.say(w.text) for w in windows]
    places: dict[int, list[int]] = {}
    for i, w in enumerate(windows):
        if strings[i]:
            places.setdefault(w.place, []).append(i)
    which: list[NDArray[np.int64]] = []
    row: list[NDArray[np.int64]] = []
    for at in places.values():
        longest = max(at, key=lambda i: len(strings[i]))
        rows = passing(index, mark_bits([marks(hearing.sounds, strings[longest])])[:, 0])
        if not len(rows):
            continue
        far = cdist(
            [spelled(strings[i]) for i in at],
            [index.spelled[r] for r in rows.tolist()],
            scorer=Levenshtein.normalized_distance,
            dtype=np.float32,
        )
        if len(rows) > SHORTLIST:
            best = np.argpartition(far, SHORTLIST - 1, axis=1)[:, :SHORTLIST]
        else:
            best = np.tile(np.arange(len(rows)), (len(at), 1))
        which.append(np.repeat(np.array(at, dtype=np.int64), best.shape[1]))
        row.append(rows[best].ravel())
    if not which:
        return [[] for _ in windows]
    window_of, row_of = np.concatenate(which), np.concatenate(row)
    matrix, lengths = pad(strings)
    weight = hearing.sounds.drop[matrix].sum(axis=1)
    far = distances(hearing.sounds, matrix[window_of], lengths[window_of], index.sound[row_of], index.length[row_of])
    share = far / np.maximum(index.weight[row_of], weight[window_of])
    return _priced(index, windows, window_of, row_of, share)


def _priced(
    index: SoundIndex,
    windows: Sequence[Window],
    window_of: NDArray[np.int64],
    row_of: NDArray[np.int64],
    share: NDArray[np.float32],
) -> list[list[Match]]:
    import numpy as np
    from rapidfuzz.distance import Levenshtein

    found: list[dict[int, Match]] = [{} for _ in windows]
    joined = [w.text.replace(" ", "").replace("'", "") for w in windows]
    count = [w.text.count(" ") + 1 for w in windows]
    taken = [0] * len(windows)
    order = np.lexsort((share, window_of))
    columns = (window_of[order].tolist(), row_of[order].tolist(), share[order].tolist())
    for i, r, s in zip(*columns, strict=True):
        if taken[i] >= 2 * MATCHES:
            continue
        taken[i] += 1
        form = index.forms[index.form_of[r]]
        letters = Levenshtein.normalized_distance(joined[i], form.text.replace(" ", "").replace("'", ""))
        cost = s + SPELLING * letters + WORDS_OFF * abs(form.words - count[i]) + STRANGE * form.strange
        if form.how == "other name":
            cost += OTHER_NAME
        entry = int(index.entry_of[r])
        old = found[i].get(entry)
        if old is None or cost < old.cost:
            found[i][entry] = Match(form, s, cost, float(index.weight[r]))
    return [sorted(f.values(), key=lambda m: m.cost)[:MATCHES] for f in found]
