"""Which names sound most like what was heard: a shortlist by cheap means, then the full distance.

Three sieves, so that cost hardly grows with the lexicon: bits of neighbouring sound classes (all rows), plain edit
distance over sounds (ROWS rows a place), weighted distance over sounds and spelling (SHORTLIST rows a window). The
windows of a place begin at the same word, so that one run of the weighted distance serves them all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from extractor.names.hearing import Form, Hearing, SoundIndex, mark_bits, marks, spelled
from extractor.names.sounds import NOT_ASKED, distances, pad

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ROWS = 1000
"""So many sayings pass the first sieve."""
SHORTLIST = 24
"""So many sayings of names are compared in full with each window."""
WORTH = 0.3
"""Sayings that differ in so much more of their sounds than the nearest are not compared in full."""
HOPELESS = 0.8
"""Sayings that differ in so much of their sounds are not compared in full."""
MATCHES = 6
"""So many names are kept for each window."""
BEHIND = 0.3
"""Names whose share of sounds is so much worse than the best one's are dropped."""

# What else counts beside the sounds, in shares of the sounds of a name. Set on names heard by one recogniser, checked
# on another's (tests/benchmarks/names_hearing.py prints both).
SPELLING = 0.18
"""Letters that differ, as a share of all letters: a recogniser's spelling keeps a trace of what it heard."""
OTHER_NAME = 0.06
"""A second name is said less often than the first."""
WORDS_OFF = 0.025
"""For each word more or less than the name has."""
STRANGE = -0.05
"""Words that no dictionary has are ruined more often than plain ones."""


@dataclass(frozen=True, slots=True)
class Place:
    """Plain words from a place of the talk on, and how many of them to compare: each of `ends` makes a window."""

    words: tuple[str, ...]
    ends: tuple[int, ...]
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
    level = (count * index.share).astype(np.uint8)
    each = np.bincount(level, minlength=256)
    least = 255 - int(np.searchsorted(np.cumsum(each[::-1]), ROWS))
    return np.flatnonzero(level >= max(1, least))


def matches(hearing: Hearing, places: Sequence[Place]) -> list[list[list[Match]]]:
    """For each place and each of its `ends` the names that sound most like those words, the least cost first."""
    out: list[list[list[Match]]] = [[[] for _ in p.ends] for p in places]
    for group in sorted({p.group for p in places}):
        index = hearing.by_sound[group]
        chosen = [i for i, p in enumerate(places) if p.group == group]
        if len(index):
            for i, found in zip(chosen, _in_group(hearing, index, [places[i] for i in chosen]), strict=True):
                out[i] = found
    return out


def _in_group(hearing: Hearing, index: SoundIndex, places: Sequence[Place]) -> list[list[list[Match]]]:
    import numpy as np
    from rapidfuzz.distance import Levenshtein
    from rapidfuzz.process import cdist

    strings = [hearing.say(" ".join(p.words[: max(p.ends)])) for p in places]
    width = max(len(p.ends) for p in places)
    lengths = np.zeros((len(places), width), dtype=np.int64)
    for i, p in enumerate(places):
        lengths[i, : len(p.ends)] = [len(hearing.say(" ".join(p.words[:n]))) for n in p.ends]
    bits = mark_bits([marks(hearing.sounds, s) for s in strings])
    place_of: list[NDArray[np.int64]] = []
    row_of: list[NDArray[np.int64]] = []
    for i, (p, codes) in enumerate(zip(places, strings, strict=True)):
        rows = passing(index, bits[:, i])
        if not codes or not len(rows):
            continue
        letters = spelled(codes)
        far = cdist(
            [letters[:n] for n in lengths[i, : len(p.ends)]],
            index.spelled[rows].tolist(),
            scorer=Levenshtein.normalized_distance,
            dtype=np.float32,
        )
        if len(rows) > SHORTLIST:
            least = np.partition(far, SHORTLIST - 1, axis=1)[:, SHORTLIST - 1]
        else:
            least = np.full(len(far), 1.0)
        limit = np.minimum(np.minimum(least, far.min(axis=1) + WORTH), HOPELESS)
        kept = rows[(far <= limit[:, None]).any(axis=0)]
        place_of.append(np.full(len(kept), i, dtype=np.int64))
        row_of.append(kept)
    if not place_of:
        return [[[] for _ in p.ends] for p in places]
    where, row = np.concatenate(place_of), np.concatenate(row_of)
    matrix, _ = pad(strings)
    cuts = lengths[where]
    far = distances(hearing.sounds, matrix[where], cuts, index.sound[row], index.length[row])
    lost = np.zeros((len(strings), matrix.shape[1] + 1), dtype=np.float32)
    np.cumsum(hearing.sounds.drop[matrix], axis=1, out=lost[:, 1:])
    share = far / np.maximum(index.weight[row][:, None], lost[where[:, None], cuts])
    share[far >= NOT_ASKED] = np.inf
    return [
        [_priced(index, " ".join(p.words[:n]), row[a:b], share[a:b, k]) for k, n in enumerate(p.ends)]
        for p, a, b in zip(
            places,
            np.searchsorted(where, np.arange(len(places))).tolist(),
            np.searchsorted(where, np.arange(len(places)), side="right").tolist(),
            strict=True,
        )
    ]


def _priced(index: SoundIndex, heard: str, rows: NDArray[np.int64], share: NDArray[np.floating[Any]]) -> list[Match]:
    """The best rows with all that counts beside sounds, one match for each entry."""
    from rapidfuzz.distance import Levenshtein

    if not len(rows):
        return []
    sounds = share.tolist()
    limit = min(min(sounds) + BEHIND, 1.0)
    best = sorted((s, r) for s, r in zip(sounds, rows.tolist(), strict=True) if s <= limit)
    joined, words = heard.replace(" ", "").replace("'", ""), heard.count(" ") + 1
    found: dict[int, Match] = {}
    for s, r in best[: 2 * MATCHES]:
        form = index.forms[index.form_of[r]]
        letters = Levenshtein.normalized_distance(joined, form.joined)
        cost = s + SPELLING * letters + WORDS_OFF * abs(form.words - words) + STRANGE * form.strange
        if form.how == "other name":
            cost += OTHER_NAME
        entry = int(index.entry_of[r])
        old = found.get(entry)
        if old is None or cost < old.cost:
            found[entry] = Match(form, s, cost, float(index.weight[r]))
    return sorted(found.values(), key=lambda m: m.cost)[:MATCHES]
