"""Names whose head word was misheard: "hazel nut liquor", "honey's are up", "dark room".

The sound of the whole may be near enough, but nobody looks there: the words before stand for a name by themselves
("honey"), and the misheard head is made of small words in which no name ends. So each place that sounds like a head
word is read as that head, with the words before it; it counts where they make a name of the lexicon, and where words of
names stand between an amount and a head that nothing else is meant by ("two ounces of pecan verbin").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from extractor.lexicon import plain
from extractor.talk.understood import Understood, sure

if TYPE_CHECKING:
    from extractor.names import Hearing, NameSpan
    from extractor.names.heads import HeadPlace
    from extractor.names.hearing import Form

LONGEST = 4
"""So many words at most stand before the head."""
EXACT, LIKELY = 0.95, 0.8
"""How sure a name is whose other words stand there letter for letter; and the same with a head that may be meant as it
stands."""
NEAR = 0.15
"""Up to this share of its sounds a name may be off besides its head."""
LEAST = 0.6
"""How sure the hearing of such a name must be."""
LITTLE = 3
"""One word before the head has at least so many letters."""


def names_by_head(talk: Understood, hearing: Hearing, established: frozenset[int]) -> list[NameSpan]:
    """The names that the misheard heads of a talk make with the words before them, as spans over its tokens."""
    from extractor.names.heads import head_places, load_heads
    from extractor.names.sounds import hearing_folder
    from extractor.names.spans import surest

    words = [t.clean for t in talk.tokens]
    plain_words = [plain(w) for w in words]
    out = []
    for place in head_places(plain_words, load_heads(hearing_folder(talk.lexicon.folder))):
        starts = _starts(talk, place)
        if not starts or any(talk.covered[i] is not None for i in range(place.start, place.end)):
            continue
        span = (
            _spelt(talk, place, starts, plain_words, hearing)
            or _heard(talk, place, starts, plain_words, hearing, established)
            or _compound(talk, place, starts, plain_words, hearing)
        )
        if span is not None and not _known_so(talk, span):
            out.append(replace(span, torn=True))
    return surest(out)


def _known_so(talk: Understood, span: NameSpan) -> bool:
    """The first reading heard the same thing there, and as surely."""
    return any(
        m.entry is not None and m.entry is span.entry and (m.apply or not span.apply)
        for i, (_, m) in talk.owner.items()
        if span.start <= i < span.end
    )


def _starts(talk: Understood, place: HeadPlace) -> list[int]:
    """Where a name with this head may begin, the longest name first."""
    for i in range(place.start, place.end):
        if i in talk.owner and sure(talk.owner[i][1]) and talk.owner[i][1].how in ("exact", "other name"):
            start = talk.owner[i][0]
            if start < place.start or talk.first[start][0] > place.end:
                return []  # "maraschino cherry", "light brown sugar": it is a name as it stands
    out = []
    k = place.start - 1
    while k >= 0 and place.start - k <= LONGEST and talk.covered[k] is None and (
        not talk.tokens[k].closes or (k == place.start - 1 and place.sort == "sure" and talk.comma(k))
    ):  # fmt: skip
        if talk.tokens[k].clean in talk.words.stop or talk.tokens[k].clean in ("and", "of"):
            break
        out.append(k)
        k -= 1
    return out[::-1]


def _poured(talk: Understood, start: int, end: int) -> bool:
    """An amount stands beside the name."""
    return _behind_measure(talk, start) or (end < len(talk.tokens) and talk.covered[end] is not None)


def _behind_measure(talk: Understood, start: int) -> bool:
    k = start - 1
    while k >= 0 and (talk.tokens[k].clean in talk.words.drop or talk.tokens[k].clean == "of"):
        k -= 1
    return k >= 0 and talk.covered[k] is not None and not talk.tokens[k].closes


def _spelt(
    talk: Understood, place: HeadPlace, starts: Sequence[int], words: Sequence[str], hearing: Hearing
) -> NameSpan | None:
    """A name whose other words stand there letter for letter."""
    for start in starts:
        form = _form(hearing, [*words[start : place.start], place.head])
        if form is None or not (place.sort != "likely" or form.words > 2 or _poured(talk, start, place.end)):
            continue
        return _span(talk, start, place, form, EXACT if place.sort == "sure" else LIKELY)
    return None


def _form(hearing: Hearing, words: Sequence[str]) -> Form | None:
    from extractor.names.exact import may_stand
    from extractor.names.hearing import folded

    forms = [f for f in hearing.exact.get("".join(hearing.key(w) for w in words), ()) if f.group == "ingredient"]
    forms = [f for f in forms if f.words > 1 and folded(f.text.split()[-1]) == folded(words[-1])]
    return forms[0] if forms and may_stand(words, forms) else None


def _span(talk: Understood, start: int, place: HeadPlace, form: Form, sure: float) -> NameSpan:
    from extractor.names.decide import candidate
    from extractor.names.spans import span_of

    own = candidate(form, sure, place.sort == "sure", "sound")
    return span_of([t.clean for t in talk.tokens], start, place.end, [own])


def _heard(
    talk: Understood, place: HeadPlace, starts: Sequence[int], words: Sequence[str], hearing: Hearing,
    established: frozenset[int],
) -> NameSpan | None:  # fmt: skip
    """A name whose other words sound nearly like those that stand there, beside an amount."""
    from extractor.names.again import Window, hear_windows
    from extractor.names.hearing import folded

    read = list(words)
    read[place.start : place.end] = [*[""] * (place.end - place.start - 1), place.head]
    windows = [Window(k, start, (place.end,), 0.9, "fl_oz") for k, start in enumerate(starts)]
    best: NameSpan | None = None
    for _, span, signs in hear_windows(read, windows, hearing, established):
        name = plain(span.written or span.name).split()
        if len(name) < 2 or folded(name[-1]) != folded(place.head) or signs.share > NEAR or span.confidence < LEAST:
            continue
        before = place.start - span.start
        if not _poured(talk, span.start, span.end) or (before == 1 and len(words[span.start]) < LITTLE):
            continue
        if place.sort == "likely" and before != len(name) - 1:
            continue  # "gold one from" is no golden rum
        if best is None or span.confidence > best.confidence:
            best = span
    if best is None:
        return None
    said = " ".join(t.clean for t in talk.tokens[best.start : best.end])
    return replace(best, heard=said, confidence=min(best.confidence, LIKELY), apply=False)


def _compound(
    talk: Understood, place: HeadPlace, starts: Sequence[int], words: Sequence[str], hearing: Hearing
) -> NameSpan | None:
    """A name that no lexicon has, of words of names right behind an amount: it is asked about as it was meant."""
    from extractor.names.hearing import folded
    from extractor.names.spans import NameSpan

    for start in starts:
        if place.sort != "sure" or not _behind_measure(talk, start):
            continue
        if all(folded(w) in hearing.vocabulary for w in words[start : place.start]):
            said = " ".join(t.clean for t in talk.tokens[start : place.end])
            name = " ".join([*words[start : place.start], place.head])
            return NameSpan(start, place.end, None, "ingredient", name, said, EXACT, "head", False, (), name)
    return None
