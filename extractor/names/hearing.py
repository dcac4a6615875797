"""All names of a lexicon made ready for hearing: by their letters, and by their sounds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import chain, pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.errors import LexiconError
from extractor.lexicon import Entry, Lexicon, plain, read_phrases
from extractor.names.pronounce import Letters, dictionary, load_letters, say_word
from extractor.names.sounds import Sounds, hearing_folder, load_sounds, pad

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

GROUPS = ("ingredient", "glass", "classic")
USUAL = ("", "often", "staple")
"""How often a name turns up in drinks: the sections of usual.txt, and before them every other name."""
SAYINGS_AT_MOST = 4
"""So many pronunciations are made of one spelling; those that the lexicon tells come on top."""
STARTS = 5
"""Letters by which it is told early that no name goes on like this."""

_IRREGULAR = {"leaves": "leaf", "halves": "half", "loaves": "loaf", "knives": "knife", "calves": "calf"}


@lru_cache(maxsize=65536)
def plain_word(word: str) -> str:
    """`extractor.lexicon.plain` of one token, kept."""
    return plain(word)


@lru_cache(maxsize=65536)
def folded(word: str) -> str:
    """A token as names are compared: plain letters, no spaces or apostrophes, plural taken off."""
    word = plain_word(word).replace("'", "").replace(" ", "")
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("ches", "shes", "sses", "xes", "toes")):
        return word[:-2]
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


SAID_AS = 0.2
"""A saying is another name's where that one is nearer by so much of the sounds."""


@dataclass(frozen=True, slots=True)
class Form:
    """One spelling under which an entry may be heard."""

    entry: Entry
    group: str
    how: str
    """exact (the publishing name), other name, misheard."""
    text: str
    """In plain form (lower case, no accents, words apart)."""
    shown: str
    """As it is written: this spelling, or for a mishearing the publishing name."""
    strange: float
    """Share of its words that the CMU dictionary has not: a recogniser is more likely to ruin those."""

    joined: str
    """`text` without spaces and apostrophes."""
    words: int


@dataclass(frozen=True, eq=False)
class SoundIndex:
    """The sayings of all names of one group: a row each.

    sound: rows x longest, codes padded with 0. weight: what losing all sounds of a row costs.
    marks: 64-bit words x rows, one bit for each pair of neighbouring classes that the row has.
    """

    forms: tuple[Form, ...]
    form_of: NDArray[np.int64]
    entry_of: NDArray[np.int64]
    rows_of: Mapping[int, Sequence[int]]
    """The rows of each entry, by the entry's id()."""
    sound: NDArray[np.uint8]
    length: NDArray[np.int64]
    weight: NDArray[np.float32]
    spelled: NDArray[np.object_]
    """The codes of each row as letters (str), for the quick comparison."""
    marks: NDArray[np.uint64]
    share: NDArray[np.float32]
    """250 / number of marks of each row."""
    syllables: NDArray[np.int64]
    first_vowel: NDArray[np.uint8]
    """The code of the first vowel of each row, 0 where it has none."""
    usual: NDArray[np.uint8]
    """How usual the name of each row is: an index into USUAL."""
    other: NDArray[np.bool_]
    """Rows of second names."""
    strange: NDArray[np.float32]
    """`Form.strange` of each row."""

    def __len__(self) -> int:
        return len(self.spelled)


@dataclass(frozen=True, eq=False)
class Hearing:
    """Names by letters (`exact`: joined folded letters to forms) and by sounds (`by_sound`: one index a group)."""

    lexicon: Lexicon
    exact: Mapping[str, tuple[Form, ...]]
    starts: frozenset[str]
    """The first letters (up to STARTS of them) of every exact key."""
    longest: int
    """Letters of the longest exact key."""
    sounds: Sounds
    letters: Letters
    by_sound: Mapping[str, SoundIndex]
    vocabulary: frozenset[str]
    """Folded words that occur in names of ingredients."""
    leading: frozenset[str]
    closing: frozenset[str]
    """Folded words that begin, and that end, names together with at least FREE others: of them new names are made."""
    words: Mapping[str, frozenset[str]]
    """Word lists of lexicon/hearing/words.txt, by section."""
    same: Mapping[str, str]
    """Folded words of several right spellings, each to the first of them."""

    def key(self, word: str) -> str:
        """A token as exact names are keyed: its words folded, in the first of their right spellings, joined."""
        return _key(self, word)

    def say(self, text: str) -> tuple[int, ...]:
        """The sounds of a plain text as it would most likely be read out."""
        return _say(self.letters, self.sounds, text)

    def is_word(self, word: str) -> bool:
        """Whether a plain token is known: its words are in the CMU dictionary, parts of names, or units of measure."""
        return all(_is_word(w) or folded(w) in self.vocabulary or w in self.words["unit"] for w in word.split())


@lru_cache(maxsize=65536)
def _key(hearing: Hearing, word: str) -> str:
    parts = [folded(w) for w in plain_word(word).split()]
    return "".join(hearing.same.get(w, w) for w in parts)


@lru_cache(maxsize=65536)
def _is_word(word: str) -> bool:
    return bool(dictionary(word) or dictionary(word.removesuffix("'s")) or dictionary(folded(word)))


@lru_cache(maxsize=65536)
def _word_codes(letters: Letters, sounds: Sounds, word: str) -> tuple[tuple[int, ...], ...]:
    """All ways to say one plain word, as codes; the usual one first."""
    return tuple([sounds.encode(way) for way in say_word(letters, word)])


def _joined(words: Iterable[tuple[int, ...]]) -> tuple[int, ...]:
    """The codes of words as one string; a sound doubled at a join counts once."""
    out: list[int] = []
    for codes in words:
        out += codes[1:] if out and codes and out[-1] == codes[0] else codes
    return tuple(out)


_LETTERS = re.compile(r"\b[a-z](?: [a-z])+\b")


def _say(letters: Letters, sounds: Sounds, text: str) -> tuple[int, ...]:
    # "C.R. medica cup": a recogniser writes single letters for what it hears as a piece of no word.
    text = _LETTERS.sub(lambda m: m[0].replace(" ", ""), text)
    return _joined([_word_codes(letters, sounds, word)[0] for word in text.split()])


def sayings(letters: Letters, sounds: Sounds, text: str) -> list[tuple[int, ...]]:
    """Ways to say a plain text: the usual one, then with one word at a time said in another way."""
    words = [_word_codes(letters, sounds, w) for w in text.split()]
    usual = [w[0] for w in words]
    out = {_joined(usual): None}
    for i, w in enumerate(words):
        for other in w[1:]:
            out[_joined([*usual[:i], other, *usual[i + 1 :]])] = None
    return list(out)[:SAYINGS_AT_MOST]


def marks(sounds: Sounds, codes: Sequence[int]) -> set[int]:
    """The pairs of neighbouring classes in a string of sounds, as numbers below MARKS: what rows are shortlisted by.

    Consonants are paired with the next consonant and the next but one, edges counting as one; all sounds also with
    their neighbour where one of the two is a vowel.
    """
    size = max(sounds.classes) + 1
    whole = [0, *(c for c in (sounds.classes[x] for x in codes) if c), 0]
    hard = [0, *(sounds.classes[x] for x in codes if sounds.classes[x] and x not in sounds.vowels), 0]
    out = {a * size + b for a, b in pairwise(hard)}
    out.update(size * size + a * size + b for a, b in zip(hard, hard[2:], strict=False))
    soft = {sounds.classes[x] for x in sounds.vowels}
    out.update(a * size + b for a, b in pairwise(whole) if a in soft or b in soft)
    return {m % MARKS for m in out}


FREE = 3
"""A word joins freely with others if it stands in names with at least so many ("caramel" does, "fino" does not)."""
MARKS = 320
"""Bits of a row's marks; more than two pairings of 12 classes give."""


def mark_bits(rows: Sequence[set[int]]) -> NDArray[np.uint64]:
    """Marks as bits: (MARKS / 64) x rows."""
    import numpy as np

    flat = np.zeros((len(rows), MARKS), dtype=bool)
    for i, row in enumerate(rows):
        flat[i, list(row)] = True
    return _packed(flat)


def _packed(flat: NDArray[np.bool_]) -> NDArray[np.uint64]:
    """rows x MARKS as bits: (MARKS / 64) x rows."""
    import numpy as np

    return np.ascontiguousarray(np.packbits(flat, axis=1).view(np.uint64).T)


def all_marks(sounds: Sounds, matrix: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """`marks` of every row of a matrix of codes padded with 0, all at once: rows x MARKS."""
    import numpy as np

    table = np.array(sounds.classes, dtype=np.int64)
    size = int(table.max()) + 1
    vowel = np.zeros(len(table), dtype=bool)
    vowel[list(sounds.vowels)] = True
    soft = np.zeros(size, dtype=bool)
    soft[table[vowel]] = True
    classes = table[matrix]
    flat = np.zeros((len(matrix), MARKS), dtype=bool)

    def put(keep: NDArray[np.bool_], apart: int, offset: int, beside: NDArray[np.bool_] | None) -> None:
        """Marks each pair of kept classes `apart` from one another, the edges being a class 0 of their own."""
        at, column = np.nonzero(keep)
        ends = keep.sum(axis=1) + 2
        row = np.repeat(np.arange(len(matrix)), ends)
        flow = np.zeros(len(row), dtype=np.int64)
        flow[np.arange(len(at)) + 2 * at + 1] = classes[at, column]
        a, b = flow[:-apart], flow[apart:]
        there = row[:-apart] == row[apart:]
        if beside is not None:
            there &= beside[a] | beside[b]
        flat[row[:-apart][there], (offset + a[there] * size + b[there]) % MARKS] = True

    hard = (classes > 0) & ~vowel[matrix]
    put(hard, 1, 0, None)
    put(hard, 2, size * size, None)
    put(classes > 0, 1, 0, soft)
    return flat


def spelled(codes: Sequence[int]) -> str:
    """Codes as a string, one letter a sound."""
    return "".join([chr(64 + c) for c in codes])


@lru_cache(maxsize=65536)
def coarse(sounds: Sounds, letters: str) -> str:
    """A key under which strings of sounds meet that differ in vowels, in near consonants or in doubled ones only."""
    codes = [sounds.classes[ord(c) - 64] for c in letters if ord(c) - 64 not in sounds.vowels]
    return "".join(chr(64 + c) for i, c in enumerate(codes) if c and (i == 0 or codes[i - 1] != c))


def _forms(lexicon: Lexicon) -> Iterable[Form]:
    groups = (
        ("ingredient", (*lexicon.own, *lexicon.ingredients)),
        ("glass", lexicon.glasses),
        ("classic", lexicon.classics),
    )
    for group, entries in groups:
        for entry in entries:
            plural = entry.fields.get("plural")
            named = [("exact", entry.name)]
            named += [("other name", t) for t in (*entry.others, *entry.forms, *((plural,) if plural else ()))]
            named += [("misheard", t) for t in entry.misheard]
            for how, name in named:
                text = plain(name)
                words = text.split()
                strange = sum(not dictionary(w) for w in words) / max(1, len(words))
                shown = entry.name if how == "misheard" else name
                joined = text.replace(" ", "").replace("'", "")
                yield Form(entry, group, how, text, shown, strange, joined, len(words))


def _told(sounds: Sounds, entry: Entry, faults: list[str]) -> list[tuple[int, ...]]:
    """The sayings that the lexicon gives for an entry."""
    out = []
    for said in entry.said:
        unknown = [p for p in said.split() if p.rstrip("012") not in sounds.codes and p not in sounds.split]
        if unknown:
            at = f"{entry.file}:{entry.line}"
            faults.append(f"{at}: {entry.name!r} is said with {unknown[0]!r}, which is no ARPAbet phone")
        else:
            out.append(sounds.encode(said.split()))
    return out


def load_word_lists(folder: str) -> Mapping[str, frozenset[str]]:
    """The sections of words.txt as sets of words."""
    faults: list[str] = []
    data = read_phrases(hearing_folder(folder) / "words.txt", faults)
    if faults:
        raise LexiconError(faults)
    return {section: frozenset(w for line in lines for w in line.split()) for section, lines in data.items()}


def load_spellings(folder: Path) -> Mapping[str, str]:
    """The folded words of spellings.txt, each with the first of its line."""
    faults: list[str] = []
    data = read_phrases(folder / "spellings.txt", faults)
    if faults:
        raise LexiconError(faults)
    lines = [[folded(w) for w in line.split()] for line in data.get("same", ())]
    return {w: words[0] for words in lines for w in words[1:]}


def _free(names: Iterable[Sequence[str]], *, first: bool) -> frozenset[str]:
    """Folded words that begin (or end) names of several words together with at least FREE others."""
    beside: dict[str, set[str]] = {}
    for words in names:
        if len(words) > 1:
            for w in words[:-1] if first else words[-1:]:
                beside.setdefault(w, set()).add(words[-1] if first else words[-2])
    return frozenset(w for w, others in beside.items() if len(others) >= FREE)


def load_usual(folder: Path) -> Mapping[str, int]:
    """The names of usual.txt, each with the index of its section in USUAL; none where a lexicon has no such file."""
    if not (folder / "usual.txt").is_file():
        return {}
    faults: list[str] = []
    data = read_phrases(folder / "usual.txt", faults)
    faults += [f"usual.txt: [{section}] is no section of it" for section in data if section not in USUAL[1:]]
    if faults:
        raise LexiconError(faults)
    return {n.strip(): USUAL.index(k) for k, lines in data.items() for line in lines for n in line.split("|")}


def syllables(sounds: Sounds, matrix: NDArray[np.uint8]) -> tuple[NDArray[np.int64], NDArray[np.uint8]]:
    """Of every row of a matrix of codes the vowels up to each sound (rows x sounds), and its first vowel."""
    import numpy as np

    vowel = np.zeros(len(sounds.drop), dtype=bool)
    vowel[list(sounds.vowels)] = True
    there = vowel[matrix]
    first = np.where(there.any(axis=1), matrix[np.arange(len(matrix)), there.argmax(axis=1)], 0)
    return np.cumsum(there, axis=1), first.astype(np.uint8)


def _said_as(way: tuple[int, ...], named: Sequence[tuple[Form, tuple[int, ...]]]) -> str:
    """Which of an entry's names a saying is of: "M OW L EY B IH T ER Z" is mole bitters, not chocolate bitters."""
    from rapidfuzz.distance import Levenshtein

    far = [Levenshtein.normalized_distance(way, other) for _, other in named]
    # The published name unless another fits clearly better: "pilsner" and "pilsener" are said alike.
    return named[0 if far[0] < min(far) + SAID_AS else far.index(min(far))][0].shown


def _index(
    forms: Sequence[Form], usual: Mapping[int, int], letters: Letters, sounds: Sounds, faults: list[str]
) -> SoundIndex:
    """`usual`: the index in USUAL of each entry that turns up again and again, by the entry's id()."""
    import numpy as np

    rows: list[tuple[int, ...]] = []
    form_of: list[int] = []
    entry_number: dict[int, int] = {}
    named: dict[int, list[tuple[Form, tuple[int, ...]]]] = {}
    forms = list(forms)
    told: list[tuple[Form, tuple[int, ...]]] = []
    for k, form in enumerate(forms):
        entry_number.setdefault(id(form.entry), len(entry_number))
        ways = sayings(letters, sounds, form.text)
        if form.how != "misheard" and form.entry.said:
            named.setdefault(id(form.entry), []).extend((form, way) for way in ways[:1])
        if form.how == "exact":
            told += [(form, w) for w in dict.fromkeys(_told(sounds, form.entry, faults)) if w and w not in ways]
        for way in dict.fromkeys(ways):
            if way:
                rows.append(way)
                form_of.append(k)
    for form, way in told:
        shown = _said_as(way, named[id(form.entry)])
        forms.append(form if shown == form.shown else replace(form, shown=shown))
        rows.append(way)
        form_of.append(len(forms) - 1)
    matrix, lengths = pad(rows)
    # `spelled` of all rows at once: the matrix read as letters, cut where each row ends.
    letters_of = (matrix + 64).tobytes().decode("latin-1")
    wide = matrix.shape[1]
    each = all_marks(sounds, matrix)
    vowels, first_vowel = syllables(sounds, matrix)
    rows_of: dict[int, list[int]] = {}
    for r, k in enumerate(form_of):
        rows_of.setdefault(id(forms[k].entry), []).append(r)
    return SoundIndex(
        forms=tuple(forms),
        form_of=np.array(form_of, dtype=np.int64),
        entry_of=np.array([entry_number[id(forms[k].entry)] for k in form_of], dtype=np.int64),
        rows_of=rows_of,
        sound=matrix,
        length=lengths,
        weight=sounds.drop[matrix].sum(axis=1),
        spelled=np.array([letters_of[r * wide : r * wide + len(row)] for r, row in enumerate(rows)], dtype=object),
        marks=_packed(each),
        share=(250.0 / np.maximum(1, each.sum(axis=1))).astype(np.float32),
        syllables=vowels[:, -1],
        first_vowel=first_vowel,
        usual=np.array([usual.get(id(forms[k].entry), 0) for k in form_of], dtype=np.uint8),
        other=np.array([forms[k].how == "other name" for k in form_of], dtype=bool),
        strange=np.array([forms[k].strange for k in form_of], dtype=np.float32),
    )


def build_hearing(lexicon: Lexicon) -> Hearing:
    """Makes the indices of a lexicon's names; `load_hearing` keeps the result.

    Raises LexiconError where a `said` field holds what is no ARPAbet phone.
    """
    folder = hearing_folder(lexicon.folder)
    sounds, letters = load_sounds(folder), load_letters(folder)
    forms = tuple(_forms(lexicon))
    same = load_spellings(folder)
    exact: dict[str, list[Form]] = {}
    names: list[list[str]] = []
    for form in forms:
        keys = [folded(w) for w in form.text.split()]
        exact.setdefault("".join([same.get(k, k) for k in keys]), []).append(form)
        if form.group == "ingredient":
            names.append(keys)
    order = {"exact": 0, "other name": 1, "misheard": 2}
    named = {k: tuple(sorted(v, key=lambda f: order[f.how])) for k, v in exact.items() if k}
    faults: list[str] = []
    names_usual = load_usual(folder)
    # What a user has put in by hand is what that user pours.
    usual = {id(e): USUAL.index("often") for e in lexicon.own}
    usual.update((id(e), names_usual[e.name]) for e in lexicon.ingredients if e.name in names_usual)
    by_sound = {g: _index([f for f in forms if f.group == g], usual, letters, sounds, faults) for g in GROUPS}
    if faults:
        raise LexiconError(faults)
    return Hearing(
        lexicon=lexicon,
        exact=named,
        starts=frozenset(k[:n] for k in named for n in range(1, STARTS + 1)),
        longest=max(map(len, named), default=0),
        sounds=sounds,
        letters=letters,
        by_sound=by_sound,
        vocabulary=frozenset(chain.from_iterable(names)),
        leading=_free(names, first=True),
        closing=_free(names, first=False),
        words=load_word_lists(lexicon.folder),
        same=same,
    )


def load_hearing(lexicon: Lexicon) -> Hearing:
    """The hearing of a lexicon: made once, kept with the lexicon object and gone with it."""
    kept = vars(lexicon).get("_hearing")
    if not isinstance(kept, Hearing):
        kept = build_hearing(lexicon)
        vars(lexicon)["_hearing"] = kept
    return kept
