"""All names of a lexicon made ready for hearing: by their letters, and by their sounds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from extractor.lexicon import Entry, Lexicon, plain, read_phrases
from extractor.names.pronounce import Letters, dictionary, load_letters
from extractor.names.sounds import Sounds, hearing_folder, load_sounds, pad

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SAYINGS_AT_MOST = 5
"""So many pronunciations of one spelling are kept."""

_IRREGULAR = {"leaves": "leaf", "halves": "half", "loaves": "loaf", "knives": "knife", "calves": "calf"}


@lru_cache(maxsize=65536)
def folded(word: str) -> str:
    """A token as names are compared: plain letters, no spaces or apostrophes, plural taken off."""
    word = plain(word).replace("'", "").replace(" ", "")
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("ches", "shes", "sses", "xes", "toes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


@dataclass(frozen=True, slots=True)
class Form:
    """One spelling under which an entry may be heard."""

    entry: Entry
    group: str
    how: str
    """exact (the publishing name), other name, misheard."""
    text: str
    """In plain form (lower case, no accents, words apart)."""

    @property
    def words(self) -> int:
        return self.text.count(" ") + 1


@dataclass(frozen=True, eq=False)
class Hearing:
    """Names by letters (`exact`: joined folded letters to forms) and by sounds (rows of `sound`)."""

    forms: tuple[Form, ...]
    exact: Mapping[str, tuple[Form, ...]]
    starts: frozenset[str]
    """The first letters (STARTS of them) of every exact key: tells early that no name goes on like this."""
    longest: int
    """Letters of the longest exact key."""
    sounds: Sounds
    letters: Letters
    sound: NDArray[np.uint8]
    sound_length: NDArray[np.int64]
    form_of: NDArray[np.int64]
    weight: NDArray[np.float32]
    """Cost of losing all sounds of each row."""
    postings: Mapping[int, NDArray[np.int32]]
    rarity: NDArray[np.float32]
    norm: NDArray[np.float32]
    vocabulary: frozenset[str]
    """Folded words that occur in names."""
    words: Mapping[str, frozenset[str]]
    """Word lists of lexicon/hearing/words.txt, by section."""

    def say(self, text: str) -> tuple[int, ...]:
        """The sounds of a text as it would most likely be read out."""
        return _say_cached(self.letters, self.sounds, text)


STARTS = 5


def say_word(letters: Letters, word: str) -> tuple[tuple[str, ...], ...]:
    """All ways to say one plain word: the dictionary's, or the one that its letters tell."""
    known = dictionary(word)
    if known:
        return known
    if "'" in word:
        known = dictionary(word.replace("'", ""))
        if known:
            return known
    if any(c.isdigit() for c in word):
        return ((),)
    return (letters.say(word.replace("'", "")),)


@lru_cache(maxsize=65536)
def _say_cached(letters: Letters, sounds: Sounds, text: str) -> tuple[int, ...]:
    return sounds.encode(p for word in text.split() for p in say_word(letters, word)[0])


def sayings(letters: Letters, sounds: Sounds, text: str) -> list[tuple[int, ...]]:
    """Ways to say a plain text: the usual one, then with one word at a time said in another way."""
    words = [say_word(letters, w) for w in text.split()]
    ways = [[w[0] for w in words]]
    for i, w in enumerate(words):
        for other in w[1:]:
            ways.append([x[0] for x in words[:i]] + [other] + [x[0] for x in words[i + 1 :]])
    out = [sounds.encode(p for word in way for p in word) for way in ways]
    return list(dict.fromkeys(out))[:SAYINGS_AT_MOST]


CLASSES = ("P B F V", "T D TH DH", "K G HH", "S Z SH ZH CH JH", "M N NG", "L", "R", "W")
"""Consonants that are easily heard for one another share a class; vowels and Y have none."""


def features(sounds: Sounds, codes: Sequence[int]) -> list[int]:
    """Pairs of neighbouring consonant classes, with the edges, and pairs across one: the keys of the sound index."""
    table = _class_table(sounds)
    edge = len(CLASSES) + 1
    row = [edge, *(c for c in (table[x] for x in codes) if c), edge]
    size = edge + 1
    out = {a * size + b for a, b in pairwise(row)}
    out.update(size * size + a * size + b for a, b in zip(row, row[2:], strict=False))
    return sorted(out)


@lru_cache(maxsize=4)
def _class_table(sounds: Sounds) -> tuple[int, ...]:
    table = [0] * len(sounds.drop)
    for k, phones in enumerate(CLASSES, 1):
        for phone in phones.split():
            table[sounds.codes[phone]] = k
    return tuple(table)


def _forms(lexicon: Lexicon) -> Iterable[Form]:
    groups = (
        ("ingredient", (*lexicon.own, *lexicon.ingredients)),
        ("glass", lexicon.glasses),
        ("classic", lexicon.classics),
    )
    for group, entries in groups:
        for entry in entries:
            yield Form(entry, group, "exact", plain(entry.name))
            for text in (*entry.others, *entry.forms, *filter(None, (entry.fields.get("plural"),))):
                yield Form(entry, group, "other name", plain(text))
            for text in entry.misheard:
                yield Form(entry, group, "misheard", plain(text))


def load_word_lists(folder: str) -> Mapping[str, frozenset[str]]:
    faults: list[str] = []
    data = read_phrases(hearing_folder(folder) / "words.txt", faults)
    return {section: frozenset(w for line in lines for w in line.split()) for section, lines in data.items()}


def build_hearing(lexicon: Lexicon) -> Hearing:
    """Makes the indices of a lexicon's names. Takes about 0.1 s for 1,500 names; `load_hearing` keeps the result."""
    import numpy as np

    folder = hearing_folder(lexicon.folder)
    sounds, letters = load_sounds(folder), load_letters(folder)
    forms = tuple(_forms(lexicon))
    exact: dict[str, list[Form]] = {}
    rank = {"exact": 0, "other name": 1, "misheard": 2}
    for form in forms:
        exact.setdefault("".join(folded(w) for w in form.text.split()), []).append(form)
    rows: list[tuple[int, ...]] = []
    form_of: list[int] = []
    for k, form in enumerate(forms):
        ways = sayings(letters, sounds, form.text)
        if form.how == "exact":
            ways += [sounds.encode(said.split()) for said in form.entry.said]
        for way in dict.fromkeys(ways):
            if way:
                rows.append(way)
                form_of.append(k)
    matrix, lengths = pad(rows)
    posting: dict[int, list[int]] = {}
    each = [features(sounds, row) for row in rows]
    for i, row_features in enumerate(each):
        for f in row_features:
            posting.setdefault(f, []).append(i)
    size = 2 * (len(CLASSES) + 2) ** 2
    rarity = np.full(size, np.log(1.0 + len(rows)), dtype=np.float32)
    for f, ids in posting.items():
        rarity[f] = np.log((1.0 + len(rows)) / (1.0 + len(ids))) + 0.1
    norm = np.array([float(np.sqrt(sum(float(rarity[f]) ** 2 for f in fs))) or 1.0 for fs in each], dtype=np.float32)
    keys = {k: tuple(sorted(v, key=lambda f: rank[f.how])) for k, v in exact.items() if k}
    return Hearing(
        forms=forms,
        exact=keys,
        starts=frozenset(k[:n] for k in keys for n in range(1, STARTS + 1)),
        longest=max(map(len, keys), default=0),
        sounds=sounds,
        letters=letters,
        sound=matrix,
        sound_length=lengths,
        form_of=np.array(form_of, dtype=np.int64),
        weight=sounds.drop[matrix].sum(axis=1),
        postings={f: np.array(ids, dtype=np.int32) for f, ids in posting.items()},
        rarity=rarity,
        norm=norm,
        vocabulary=frozenset(folded(w) for f in forms for w in f.text.split()),
        words=load_word_lists(lexicon.folder),
    )


def load_hearing(lexicon: Lexicon) -> Hearing:
    """The hearing of a lexicon: made once, kept with the lexicon object and gone with it."""
    kept = vars(lexicon).get("_hearing")
    if not isinstance(kept, Hearing):
        kept = build_hearing(lexicon)
        vars(lexicon)["_hearing"] = kept
    return kept
