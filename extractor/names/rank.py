"""Which names sound most like what was heard: a shortlist by cheap means, then the full distance.

Three sieves, so that cost hardly grows with the lexicon: bits of neighbouring sound classes (all rows), plain edit
distance over sounds (ROWS rows a place), weighted distance over sounds and spelling (SHORTLIST rows a window). The
windows of a place begin at the same word, so that one run of the weighted distance serves them all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from extractor.names.hearing import Form, Hearing, SoundIndex, mark_bits, marks, spelled, syllables
from extractor.names.sounds import NOT_ASKED, VOWEL_AT_MOST, distances, pad

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ROWS = 2000
"""So many sayings pass the first sieve."""
SHORTLIST = 48
"""So many sayings of names are compared in full with each window."""
WORTH, WORTH_SOUNDS = 0.3, 1.5
"""Sayings that differ in such a share more of their sounds than the nearest, and in so many, are left out here."""
HOPELESS = 0.8
"""Sayings that differ in so much of their sounds are not compared in full."""
PRICED = 18
"""So many sayings are compared in spelling too with each window."""
MATCHES = 6
"""So many names are kept for each window."""
BEHIND = 0.3
"""Names whose share of sounds is so much worse than the best one's are dropped."""

# What else counts beside the sounds, in shares of the sounds of a name. Fitted on names that two recognisers heard, and
# checked on names left out of the fit and on the other recogniser (tests/benchmarks/names_hearing.py prints both).
SPELLING = 0.27
"""Letters that differ, as a share of all letters: a recogniser's spelling keeps a trace of what it heard."""
SYLLABLE = 0.023
"""For each syllable more or less than the name has: a recogniser may lose sounds, but it keeps the beat."""
FIRST_VOWEL = 0.1
"""Times what it costs to hear the first vowel for the name's: the head of a name is said clearest."""
OFTEN, STAPLE = -0.035, -0.05
"""A name of lexicon/hearing/usual.txt, which turns up again and again, by its section."""
OTHER_NAME = 0.12
"""A second name is said less often than the first."""
WORDS_OFF = 0.035
"""For each word more or less than the name has."""
STRANGE = -0.058
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


def in_windows(
    hearing: Hearing, words: Sequence[str], windows: Sequence[tuple[int, Sequence[int], str]]
) -> Iterator[tuple[int, int, list[Match]]]:
    """(number of the window, its end, the names that sound most like its words), where any does.

    words: plain. windows: of each the first word, its ends (not included) and the group of names. A misheard name does
    not end in a word of breath.
    """
    breath = hearing.words["breath"]
    places: list[Place] = []
    whose: list[tuple[int, tuple[int, ...]]] = []
    for n, (start, every, group) in enumerate(windows):
        ends = tuple(e for e in every if words[e - 1] and words[e - 1] not in breath)
        if ends and words[start]:
            places.append(Place(tuple(words[start : max(ends)]), tuple(e - start for e in ends), group))
            whose.append((n, ends))
    for (n, ends), each in zip(whose, matches(hearing, places), strict=True):
        for end, found in zip(ends, each, strict=True):
            if found:
                yield n, end, found


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
        worth = np.maximum(WORTH, WORTH_SOUNDS / np.maximum(lengths[i, : len(p.ends)], 1))
        limit = np.minimum(np.minimum(least, far.min(axis=1) + worth), HOPELESS)
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
    told = share + _beside_sounds(hearing, index, matrix, where, row, cuts)
    return [
        [_priced(index, " ".join(p.words[:n]), row[a:b], share[a:b, k], told[a:b, k]) for k, n in enumerate(p.ends)]
        for p, a, b in zip(
            places,
            np.searchsorted(where, np.arange(len(places))).tolist(),
            np.searchsorted(where, np.arange(len(places)), side="right").tolist(),
            strict=True,
        )
    ]


def _beside_sounds(
    hearing: Hearing,
    index: SoundIndex,
    matrix: NDArray[np.uint8],
    where: NDArray[np.int64],
    row: NDArray[np.int64],
    cuts: NDArray[np.int64],
) -> NDArray[np.float32]:
    """What counts beside the sounds and needs no spelling, for each pair of a place and a row, and each cut."""
    import numpy as np

    vowels, first = syllables(hearing.sounds, matrix)
    beat = np.abs(vowels[where[:, None], np.maximum(cuts, 1) - 1] - index.syllables[row][:, None])
    swap = hearing.sounds.swap[first[where], index.first_vowel[row]]
    own = FIRST_VOWEL * np.minimum(swap, VOWEL_AT_MOST) + np.array((0.0, OFTEN, STAPLE))[index.usual[row]]
    own += OTHER_NAME * index.other[row] + STRANGE * index.strange[row]
    out: NDArray[np.float32] = (SYLLABLE * beat + own[:, None]).astype(np.float32)
    return out


def _priced(
    index: SoundIndex,
    heard: str,
    rows: NDArray[np.int64],
    share: NDArray[np.floating[Any]],
    told: NDArray[np.floating[Any]],
) -> list[Match]:
    """The best rows with their spelling, one match for each entry. `told`: what is known of their costs so far."""
    from rapidfuzz.distance import Levenshtein

    if not len(rows):
        return []
    sounds = share.tolist()
    limit = min(min(sounds) + BEHIND, 1.0)
    best = sorted((t, s, r) for t, s, r in zip(told.tolist(), sounds, rows.tolist(), strict=True) if s <= limit)
    joined, words = heard.replace(" ", "").replace("'", ""), heard.count(" ") + 1
    found: dict[int, Match] = {}
    for t, s, r in best[:PRICED]:
        form = index.forms[index.form_of[r]]
        letters = Levenshtein.normalized_distance(joined, form.joined)
        cost = t + SPELLING * letters + WORDS_OFF * abs(form.words - words)
        entry = int(index.entry_of[r])
        old = found.get(entry)
        if old is None or cost < old.cost:
            found[entry] = Match(form, s, cost, float(index.weight[r]))
    return sorted(found.values(), key=lambda m: m.cost)[:MATCHES]
