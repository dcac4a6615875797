"""Glasses that were misheard, known by their place: "strain it into a coop", "in a nick in nora", "a pine glass".

A drink ends in some sixty kinds of glass, so that behind "strain it into" or before "glass" a garbled word tells more
than it would anywhere else. The word lists are lexicon/talk/glasses.txt.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from extractor.lexicon import plain
from extractor.names.decide import confidence, evidence
from extractor.names.exact import numbered
from extractor.names.pronounce import dictionary
from extractor.names.rank import Match, Place, matches
from extractor.names.spans import Candidate, NameSpan, without_overlap

if TYPE_CHECKING:
    from extractor.names import Hearing

LONGEST = 5
"""A misheard glass has at most so many words, LONGEST_LEAD of them before "glass"."""
LONGEST_LEAD = 4
BACK = 7
"""So many words before "into" may the word stand that says that the drink is served."""
SURE, UNSURE = 0.85, 0.8
"""From this confidence on nobody is asked, and the captions are put right where no English word was heard; what is to
be asked about has at most the other."""
HOMOPHONE = 0.06
"""Up to this share of sounds the words sound like the glass, and nobody is asked."""
# How much of the sounds of a name, and of its cost with all else (extractor.names.rank), may be off.
WORD_OFF, WORD_COST = 0.2, 0.42
"""One English word: "cope"."""
STRANGE_OFF, STRANGE_COST = 0.3, 0.5
"""Words of which one at least is no English."""
SEVERAL_OFF, SEVERAL_COST, SEVERAL_WEIGHT = 0.33, 0.6, 5.0
"""Several words, for a name of so much weight of sounds: "nikon nora"."""
SHORT_WEIGHT = 3.0
HEADED_OFF, HEADED_SURE, HEADED_QUIET = 0.36, 0.5, 0.25
"""The words before "glass", how sure the whole must be, and what of the whole may be off where nobody is asked."""
SPELT = 85
"""So much alike (of 100) is a spelling that a recogniser gives one silent letter: "coup"."""
LONGER = 0.1
"""For each word more that a hearing takes in it may cost so much more: "stem list wine glass" is no "stem list"."""
SERVED, GOES, TAKEN = 0.9, 0.6, 0.4
_SMALL = frozenset(("a", "the", "in", "and", "or", "of", "her", "our", "on"))
_INTO = frozenset(("into", "in", "to", "over", "between", "onto", "among"))


class Word(Protocol):
    """A word of the captions, as talk/mentions.py cuts them."""

    @property
    def clean(self) -> str: ...

    @property
    def closes(self) -> bool: ...


@dataclass(frozen=True)
class GlassWords:
    """The word lists of lexicon/talk/glasses.txt."""

    serves: frozenset[str]
    goes: frozenset[str]
    takes: frozenset[str]
    beside: frozenset[str]
    before_glass: frozenset[str]
    own: frozenset[str]
    heads: frozenset[str]
    never: frozenset[str]
    heard: Mapping[str, str]
    """What recognisers make of a glass, each with the glass meant."""

    @classmethod
    def of(cls, sections: Mapping[str, Sequence[str]]) -> GlassWords:
        def read(section: str) -> frozenset[str]:
            return frozenset(" ".join(sections[section]).split())

        return cls(
            read("serves"), read("goes"), read("takes"), read("beside"), read("before glass"), read("own glasses"),
            read("glass words"), read("no glasses"),
            dict(plain_pair(line) for line in sections["heard as"]),
        )  # fmt: skip


def plain_pair(line: str) -> tuple[str, str]:
    """ "goop = coupe": what is heard, and the glass."""
    heard, _, glass = line.partition("=")
    return plain(heard), glass.strip()


def _places(tokens: Sequence[Word], words: GlassWords) -> Iterator[tuple[int, float]]:
    """(the first word of what may be a glass, how strongly one is expected)."""
    for i, t in enumerate(tokens):
        if t.clean not in _INTO or t.closes:
            if t.closes and t.clean in words.serves:
                yield i + 1, GOES  # "stir, strain, coop"
            continue
        place = i + 1
        while place < len(tokens) and tokens[place].clean in words.beside and not tokens[place].closes:
            place += 1
        back = max(0, i - BACK)
        # "Fine strain, into a coup", "strain it over ice, into a coop"
        goes_on = words.serves | {"ice"}
        back = next(
            (k + 1 for k in range(i - 1, back - 1, -1) if tokens[k].closes and tokens[k].clean not in goes_on), back
        )
        before = {tokens[k].clean for k in range(back, i)}
        if before & words.serves:
            yield place, SERVED
        elif t.clean in ("in", "into", "between") and (before & words.goes or back == i):
            yield place, GOES
        elif t.clean in ("in", "into"):
            yield place, TAKEN
    for i, t in enumerate(tokens[:-1]):
        # "The small kind, on a stem, a coop."
        alone = i > 0 and tokens[i - 1].closes and tokens[i + 1].closes
        if t.clean in ("a", "an", "one") and not t.closes and i and (alone or tokens[i - 1].clean in words.takes):
            place = i + 1
            while place < len(tokens) and tokens[place].clean in words.beside and not tokens[place].closes:
                place += 1
            yield place, TAKEN


def misheard_glasses(
    tokens: Sequence[Word], known: Sequence[NameSpan], hearing: Hearing, words: GlassWords
) -> list[NameSpan]:
    """The glasses that were misheard, none over a name in `known` that stands there letter for letter."""
    taken = {i for s in known if s.how in ("exact", "other name", "spelling") for i in range(s.start, s.end)}
    # "Animal mug": a mug by itself is less than the enamel mug that was said.
    glasses = {
        i for s in known if s.group == "glass" and s.how != "sound" and not (s.entry is not None and s.entry.everyday)
        for i in range(s.start, s.end)
    }  # fmt: skip
    stands = {
        i for s in known if s.group == "glass" and s.how in ("exact", "other name") for i in range(s.start, s.end)
    }
    windows: list[tuple[int, int, float, bool]] = []
    for first, expects in _places(tokens, words):
        windows += [
            (first, end, expects, False) for end in _ends(tokens, first, words) if not taken & {*range(first, end)}
        ]
    for i, t in enumerate(tokens):
        if t.clean in words.heads and i not in glasses:
            for first in range(i - 1, max(-1, i - LONGEST_LEAD - 1), -1):
                w, last = tokens[first], tokens[i - 1].clean
                small = last in _SMALL  # "nick and or a glass", "blue in glass"
                if w.closes or (first == i - 1 and last in words.before_glass and not small):
                    break
                if w.clean in words.beside or (w.clean in words.before_glass and first == i - 1):
                    continue
                if first in stands:
                    continue  # "plastic cups" stands there as it is
                if not small or (i - first > 1 and not taken & {*range(first, i)}):
                    windows.append((first, i + 1, SERVED, True))
    apart = [replace(s, apply=True) for s in known if _in_two_words(s, tokens, words)]
    if not windows:
        return apart
    found: list[tuple[float, NameSpan]] = list(_as_heard(tokens, windows, hearing, words))
    places = [Place(tuple(_said(t) for t in tokens[a:b]), (b - a,), "glass") for a, b, _, _ in windows]
    for (a, b, expects, headed), each in zip(windows, matches(hearing, places), strict=True):
        best = _best(tokens[a:b], each[0], expects, headed, hearing, words)
        if best is not None:
            match, sure, quiet = best
            sure = max(sure, SURE) if quiet else min(sure, UNSURE)
            heard = " ".join(t.clean for t in tokens[a:b])
            entry = match.form.entry
            apply = quiet and (b - a > 1 or not dictionary(_said(tokens[a])))
            written = numbered(match.form.shown, heard)
            one = Candidate(entry.name, entry.id, sure, apply, "sound", "glass", entry, written)
            found.append((match.cost - LONGER * (b - a), NameSpan(
                a, b, entry, "glass", entry.name, heard, sure, "sound", apply, (one,), written,
            )))  # fmt: skip
    likeliest = [s for _, s in sorted(found, key=lambda f: f[0])]
    return sorted(without_overlap([*apart, *likeliest]), key=lambda s: s.start)


def _as_heard(
    tokens: Sequence[Word], windows: Sequence[tuple[int, int, float, bool]], hearing: Hearing, words: GlassWords
) -> Iterator[tuple[float, NameSpan]]:
    """ "Strain it into a goop": what is known to be made of a glass, where a drink goes into one."""
    entries = {plain(n): e for e in hearing.lexicon.glasses for n in (e.name, *e.others)}
    for a, b, expects, headed in windows:
        heard = " ".join(t.clean for t in tokens[a:b])
        glass = words.heard.get(plain(heard))
        entry = entries.get(plain(glass)) if glass is not None else None
        if entry is None or glass is None or not (headed or expects >= TAKEN):
            continue
        apply = b - a > 1 or not dictionary(_said(tokens[a]))
        one = Candidate(entry.name, entry.id, SURE, apply, "sound", "glass", entry, glass)
        yield -1.0, NameSpan(a, b, entry, "glass", entry.name, heard, SURE, "sound", apply, (one,), glass)


def _in_two_words(span: NameSpan, tokens: Sequence[Word], words: GlassWords) -> bool:
    """A glass whose name was cut in two, where a glass may stand: "take one high ball", "and a low ball"."""
    if span.group != "glass" or span.how != "spelling" or span.apply or not span.start:
        return False
    before = tokens[span.start - 1]
    return before.closes or before.clean in words.beside | words.takes | _INTO | {"you"}


def _said(token: Word) -> str:
    return plain(token.clean).replace(" ", "")


def _ends(tokens: Sequence[Word], first: int, words: GlassWords) -> Iterator[int]:
    for end in range(first + 1, min(len(tokens), first + LONGEST) + 1):
        if not _said(tokens[end - 1]):
            return
        yield end
        if tokens[end - 1].closes:
            return


def _best(
    said: Sequence[Word], found: Sequence[Match], expects: float, headed: bool, hearing: Hearing, words: GlassWords
) -> tuple[Match, float, bool] | None:
    """(the glass, how sure, whether nobody need be asked) for some words, or None where they are none."""
    text = " ".join(_said(t) for t in said)
    if not found or said[0].clean in words.never or said[-1].clean in ("and", "a", "the", "of", "with", "on", "in"):
        return None
    best = found[0]
    e = evidence(hearing, text, found)
    sure = confidence(e, 0.9)
    ends_alike = plain(best.form.text).split()[-1].rstrip("s") == _said(said[-1]).rstrip("s")
    if headed:
        whole = best.form.text.split()
        own = {t.clean for t in said[:-1]} & words.own
        if not ends_alike or len(whole) < 2 or sure < HEADED_SURE or not own <= set(plain(best.form.text).split()):
            return None
        # "Glass" itself was heard: what is off, is off the words before it.
        lead = best.share * len(best.form.joined) / max(1, len(best.form.joined) - len(whole[-1]))
        if lead > HEADED_OFF:
            return None
        return best, sure, lead <= 2 * HOMOPHONE or (sure >= SURE and best.share <= HEADED_QUIET)
    if best.form.entry.everyday or {t.clean for t in said} & words.never:
        return None
    english = all(dictionary(_said(t)) for t in said)
    single = len(said) == 1
    if single:
        off, cost = (WORD_OFF, WORD_COST) if english else (STRANGE_OFF, STRANGE_COST)
        spelt = best.share <= STRANGE_OFF and _alike(text, best.form.joined)
        if not spelt and (best.share > off or best.cost > cost):
            return None
        if expects < (GOES if not english else SERVED) and best.share > (WORD_OFF / 2 if english else WORD_OFF):
            return None
        if expects < GOES:
            return None if best.share > HOMOPHONE else (best, sure, True)
        return best, max(sure, 0.6), best.share <= HOMOPHONE or spelt
    if best.weight < SHORT_WEIGHT or said[0].clean in words.beside or e.common:
        return None
    near = best.share <= WORD_OFF and best.cost <= WORD_COST
    long = best.weight >= SEVERAL_WEIGHT and best.share <= SEVERAL_OFF and best.cost <= SEVERAL_COST and sure >= 0.6
    if not (near or long) or (expects < GOES and not (near or sure >= SURE)):
        return None
    return best, sure, best.share <= HOMOPHONE or sure >= SURE


def _alike(heard: str, name: str) -> bool:
    from rapidfuzz import fuzz

    return heard[:1] == name[:1] and fuzz.ratio(heard, name) >= SPELT
