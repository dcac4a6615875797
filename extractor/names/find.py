"""Finding the names of a whole talk: exactly everywhere, and through the garble where a name is expected."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from extractor.lexicon import Entry
from extractor.names.decide import (
    APPLY,
    ASK,
    FAR,
    HOMOPHONE,
    KEEP,
    KIN,
    NEAR,
    SAID_BEFORE,
    Evidence,
    candidate,
    confidence,
    evidence,
    judged,
    log_odds,
    may_apply,
    probability,
    worth_asking,
)
from extractor.names.exact import exact_spans, numbered
from extractor.names.hearing import Hearing, coarse, folded, plain_word, spelled
from extractor.names.measured import fitted, load_measured
from extractor.names.rank import Match, Place, in_windows, matches
from extractor.names.sounds import distances, hearing_folder, pad
from extractor.names.spans import Candidate, NameSpan, Slot, span_of, surest

WINDOW = 6
"""A misheard name is sought in windows of at most so many words."""
OVER_EXACT = 0.6
"""So sure must a hearing be that takes in words which are names as they stand."""
REST = 0.4
"""Where a name begins with words that are a name as they stand, at most so much of its other words is off, and at most
FAR of all."""
WHOLE = 0.15
"""So much less sure may a longer hearing be than a shorter one, where the last word of its name was heard as it is."""
KIN_WITHIN = 60
"""A name so many words away is said near by."""
POURED = 0.85
"""From this expectation on a slot is taken for a measure poured, where even an exact everyday word is doubted."""
OUTSIDE = 0.3
"""How strongly a name is expected where the talk gives no sign of one."""
OUTSIDE_SHARE = 0.22
"""Outside slots a misheard name is reported up to this share of sounds, and put right up to NEAR."""
OUTSIDE_NAMES = 3
"""Outside slots a name is put right only in a talk that is sure to name so many others."""
NAMELESS = 300
"""A longer talk that is sure to name fewer than OUTSIDE_NAMES is about something else: nothing is put right."""
OUTSIDE_WORDS = 4
OUTSIDE_WEIGHT = 4.0
"""Outside slots a misheard name has at most so many words, and at least so much weight of sounds."""
HEAD_WITHIN = 5
"""An unknown compound has at most so many words, its head word among them."""


@dataclass(frozen=True)
class _Said:
    """What a talk is sure to name: at which tokens each entry (by its id()) and each kind stands."""

    entries: Mapping[int, Sequence[int]]
    kinds: Mapping[str, Sequence[tuple[int, int]]]
    """Token and entry, in order of tokens."""

    def support(self, entry: Entry, start: int, end: int) -> float:
        """What the rest of the talk adds to the log odds of `entry` at tokens `start` to `end`."""
        if any(not start <= i < end for i in self.entries.get(id(entry), ())):
            return SAID_BEFORE
        near = self.kinds.get(entry.fields.get("kind", ""), ())
        first = bisect_left(near, (start - KIN_WITHIN, 0))
        for i, _ in near[first:]:
            if i > start + KIN_WITHIN:
                break
            if not start <= i < end:
                return KIN
        return 0.0


@dataclass(frozen=True, slots=True)
class _Heard:
    """One slot's best window with its matches."""

    slot: Slot
    start: int
    end: int
    text: str
    found: tuple[Match, ...]
    sure: float


def find_names(words: Sequence[str], slots: Sequence[Slot], hearing: Hearing) -> list[NameSpan]:
    """All names of a talk. `words` are its tokens in order, punctuation or not; `slots` say where names are expected.

    Exact names are given wherever they stand, also everyday words: the caller judges those by their place. In a slot
    without a good exact name, windows of 1 to 6 words are compared by sound; outside slots only words that are no
    English words, or that sound like a name said elsewhere in the talk, are heard as names, and only if very near.
    Names said elsewhere, and names of a kind with those near by, make a hearing surer. Spans do not overlap and are in
    order.
    """
    plain_words = [plain_word(w) for w in words]
    spans = exact_spans(words, hearing, slots)
    heard = _in_slots(plain_words, slots, spans, _established(spans, (), hearing), hearing)
    said = _established(spans, heard, hearing)
    found = []
    for h in heard:
        span = _span(words, h, hearing, said, spans)
        if span is not None:
            found.append(span)
    found = surest(found)
    spans = [s for s in spans if not any(s.start < f.end and f.start < s.end for f in found)] + found
    spans = _compounds(words, plain_words, slots, spans, hearing)
    spans += _outside(words, plain_words, spans, said, hearing)
    if len(words) > NAMELESS and len(said.entries) < OUTSIDE_NAMES:
        spans = [replace(s, apply=False) if s.how == "sound" else s for s in spans]
    spans = [_doubted(s, slots, said, hearing) for s in spans]
    return sorted(spans, key=lambda s: s.start)


def _in_slots(
    words: Sequence[str], slots: Sequence[Slot], exact: Sequence[NameSpan], said: _Said, hearing: Hearing
) -> list[_Heard]:
    """The best hearing of each slot that has no good exact name. A name said elsewhere is heard sooner."""
    filler, tail = hearing.words["filler"], hearing.words["tail"]
    measured = load_measured(hearing_folder(hearing.lexicon.folder))
    starting = {s.start: s for s in exact}
    inside = {i: s for s in exact for i in range(s.start, s.end)}
    opened: list[tuple[Slot, int, int, int]] = []
    for slot in slots:
        end = min(slot.end, len(words))
        start = slot.start
        while start < end and start not in starting and (words[start] in filler or words[start].isdigit()):
            start += 1
        if start >= end or (start in inside and start not in starting):
            continue
        known = starting.get(start)
        if known is None:
            opened.append((slot, start, start + 1, end))
        elif any(words[known.end : end]) and next(w for w in words[known.end : end] if w) not in tail:
            opened.append((slot, start, known.end + 1, end))
    best: dict[int, _Heard] = {}
    for later in (False, True):
        # A stray word may stand before the name: where nothing was heard from the first word on, try the second.
        if later:
            opened = [(s, a + 1, a + 2, end) for s, a, _, end in opened if id(s) not in best and a + 1 < end]
            opened = [o for o in opened if o[1] not in starting and o[1] - 1 not in starting]
        for slot, a, b, found in _windows(words, opened, hearing):
            text = " ".join(w for w in words[a:b] if w)
            found = fitted(hearing.lexicon, measured, found, slot.unit)
            found, e, sure = _best(
                hearing, text, found, slot.expects, [said.support(m.form.entry, a, b) for m in found]
            )
            if not worth_asking(e, sure):
                continue
            if not _outdoes(found[0], e, sure, a, b, [inside[i] for i in range(a, b) if i in inside]):
                continue
            if id(slot) not in best or best[id(slot)].sure < sure + (WHOLE if _ends_in(found[0], words[b - 1]) else 0):
                best[id(slot)] = _Heard(slot, a, b, text, tuple(found), sure)
    return list(best.values())


def _ends_in(match: Match, word: str) -> bool:
    """Whether a name of several words ends in a word as heard ("demerara sugar" for "demorera sugar")."""
    return match.form.words > 1 and folded(match.form.text.split()[-1]) == folded(word)


def _best(
    hearing: Hearing, text: str, found: list[Match], expects: float, support: Sequence[float]
) -> tuple[list[Match], Evidence, float]:
    """The matches with the likeliest first, its signs, and how sure it is: the nearest, or one said elsewhere."""
    e = evidence(hearing, text, found)
    best = found, e, confidence(e, expects)
    for k, match in enumerate(found):
        if support[k] >= SAID_BEFORE:
            order = [match, *found[:k], *found[k + 1 :]]
            e = evidence(hearing, text, order)
            sure = probability(log_odds(confidence(e, expects)) + support[k])
            if sure > best[2]:
                best = order, e, sure
    return best


def _outdoes(match: Match, e: Evidence, sure: float, a: int, b: int, covered: Sequence[NameSpan]) -> bool:
    """Whether a hearing of tokens a to b may take the place of exact names: a longer name, and a sure or near one."""
    of_name = {folded(w) for w in match.form.text.split()}
    for s in covered:
        if s.start < a or s.end > b or s.end - s.start >= match.form.words or sure < OVER_EXACT:
            return False
        if s.start == a and (e.local > REST or match.share > FAR):
            return False
        part = all(folded(w) in of_name for w in s.heard.split())
        everyday = s.entry is not None and s.entry.everyday and s.end - s.start == 1 and s.start > a
        if not part and not everyday and match.share > NEAR:
            return False
    return True


def _windows(
    words: Sequence[str], opened: Sequence[tuple[Slot, int, int, int]], hearing: Hearing
) -> Iterator[tuple[Slot, int, int, list[Match]]]:
    """The windows of each slot with their matches. `opened`: slot, first word, least end, end."""
    windows = [(a, range(least, min(a + WINDOW, end) + 1), slot.group) for slot, a, least, end in opened]
    for n, b, found in in_windows(hearing, words, windows):
        yield opened[n][0], opened[n][1], b, found


def _established(exact: Iterable[NameSpan], heard: Iterable[_Heard], hearing: Hearing) -> _Said:
    """What the talk is sure to name. Everyday words do not count."""
    entries: dict[int, list[int]] = {}
    kinds: dict[str, list[tuple[int, int]]] = {}
    found = [(s.start, s.entry) for s in exact if s.entry is not None and s.how in ("exact", "other name")]
    for h in heard:
        if h.sure >= APPLY and may_apply(evidence(hearing, h.text, h.found), h.sure, h.slot.expects):
            found.append((h.start, h.found[0].form.entry))
    for start, entry in found:
        if not entry.everyday:
            entries.setdefault(id(entry), []).append(start)
            kinds.setdefault(entry.fields.get("kind", ""), []).append((start, id(entry)))
    return _Said(entries, {k: sorted(v) for k, v in kinds.items()})


def _span(
    words: Sequence[str],
    h: _Heard,
    hearing: Hearing,
    said: _Said,
    exact: Sequence[NameSpan],
) -> NameSpan | None:
    support = [said.support(m.form.entry, h.start, h.end) for m in h.found]
    found, _ = judged(hearing, h.text, h.found, h.slot.expects, support)
    top = found[0]
    if top.confidence < ASK:
        return None
    return span_of(words, h.start, h.end, found)


def head_of(words: Sequence[str], hearing: Hearing) -> int | None:
    """The index in `words` (plain) of the head word that ends a compound ("syrup", "bitters"), or None."""
    heads = hearing.words["head"]
    return next((i for i, w in enumerate(words) if i and w in heads), None)


def _compounds(
    words: Sequence[str],
    plain_words: Sequence[str],
    slots: Sequence[Slot],
    spans: Sequence[NameSpan],
    hearing: Hearing,
) -> list[NameSpan]:
    """Adds unknown compounds with a known head word ("smoked plum syrup"), kept as said; they take in solid parts."""
    out = list(spans)
    for slot in slots:
        start, end = slot.start, min(slot.end, len(words))
        while start < end and (not plain_words[start] or plain_words[start] in hearing.words["filler"]):
            start += 1
        head = head_of(plain_words[start : min(end, start + HEAD_WITHIN)], hearing)
        if slot.group != "ingredient" or head is None:
            continue
        stop = start + head + 1
        if any(not w or w in hearing.words["breath"] for w in plain_words[start:stop]):
            continue
        inside = [s for s in out if s.start < stop and start < s.end]
        if any(s.start < start or s.end > stop or not _modifies(s, stop, hearing) for s in inside):
            continue
        guesses = tuple(c for s in inside if s.how == "sound" for c in s.candidates)
        heard = " ".join(words[start:stop])
        name = " ".join(plain_words[start:stop])
        out = [s for s in out if s not in inside]
        out.append(NameSpan(start, stop, None, slot.group, name, heard, 0.0, "head", False, guesses[:KEEP], name))
    return out


def _modifies(span: NameSpan, stop: int, hearing: Hearing) -> bool:
    """Whether a span may be a part of an unknown compound that ends at `stop`: a solid thing, or the bare head word."""
    if span.entry is None or span.group != "ingredient":
        return False
    if span.how == "sound":
        return not span.apply and span.confidence < OVER_EXACT and span.end < stop
    if span.end == stop:
        return span.end - span.start == 1
    return hearing.lexicon.state(span.entry) != "liquid"


def _outside(
    words: Sequence[str],
    plain_words: Sequence[str],
    spans: Sequence[NameSpan],
    said: _Said,
    hearing: Hearing,
) -> list[NameSpan]:
    """Names where none is expected: words that are no English, or that sound like a name said elsewhere in the talk."""
    if len(said.entries) < OUTSIDE_NAMES:
        return []
    taken = {i for s in spans for i in range(s.start, s.end)}
    places: list[tuple[int, Place]] = []
    for i, w in enumerate(plain_words):
        if i in taken or not w or any(c.isdigit() for c in w) or hearing.is_word(w):
            continue
        for first in (i - 1, i):
            if first < 0 or first in taken or not plain_words[first]:
                continue
            stop = next((k for k in range(i + 1, i + 3) if k >= len(words) or k in taken or not plain_words[k]), i + 3)
            ends = tuple(b - first for b in range(i + 1, min(stop, first + OUTSIDE_WORDS) + 1))
            places.append((first, Place(tuple(plain_words[first:stop]), ends)))
    out = []
    for (a, place), each in zip(places, matches(hearing, [p for _, p in places]), strict=True):
        for n, found in zip(place.ends, each, strict=True):
            if not found or found[0].share > OUTSIDE_SHARE or found[0].weight < OUTSIDE_WEIGHT:
                continue
            support = [said.support(m.form.entry, a, a + n) for m in found]
            likely, _ = judged(hearing, " ".join(place.words[:n]), found, OUTSIDE, support)
            if likely[0].confidence >= ASK:
                if found[0].share > NEAR:
                    likely[0] = replace(likely[0], apply=False)
                out.append(_outside_span(words, a, a + n, likely))
    out += _again(words, plain_words, taken, said, hearing)
    return surest(out)


def _outside_span(words: Sequence[str], a: int, b: int, found: Sequence[Candidate]) -> NameSpan:
    span = span_of(words, a, b, found)
    return replace(span, written=numbered(span.written, span.heard))


def _again(
    words: Sequence[str],
    plain_words: Sequence[str],
    taken: set[int],
    said: _Said,
    hearing: Hearing,
) -> list[NameSpan]:
    """Words that sound just like a name of several words which the talk says elsewhere ("orange flour water")."""
    import numpy as np

    index = hearing.by_sound["ingredient"]
    rows_of: dict[str, list[int]] = {}
    for entry in said.entries:
        for r in index.rows_of.get(entry, ()):
            if index.forms[index.form_of[r]].words > 1 and index.weight[r] >= OUTSIDE_WEIGHT:
                rows_of.setdefault(coarse(hearing.sounds, index.spelled[r]), []).append(r)
    keys = [coarse(hearing.sounds, spelled(hearing.say(w))) if w else "" for w in plain_words]
    hits: list[tuple[int, int, int]] = []
    for a in range(len(words)):
        joined = keys[a]
        for b in range(a + 2, min(a + OUTSIDE_WORDS, len(words)) + 1):
            if b - 1 in taken or a in taken or not plain_words[b - 1]:
                break
            more = keys[b - 1]
            joined += more[1:] if joined[-1:] == more[:1] else more
            hits += [(a, b, r) for r in rows_of.get(joined, ())]
    if not hits:
        return []
    codes = [hearing.say(" ".join(plain_words[a:b])) for a, b, _ in hits]
    matrix, lengths = pad(codes)
    rows = np.array([r for _, _, r in hits], dtype=np.int64)
    far = distances(hearing.sounds, matrix, lengths[:, None], index.sound[rows], index.length[rows])[:, 0]
    out = []
    for (a, b, row), share in zip(hits, (far / index.weight[rows]).tolist(), strict=True):
        form = index.forms[index.form_of[row]]
        shared = {folded(w) for w in plain_words[a:b]} & {folded(w) for w in form.text.split()}
        if share <= NEAR and shared:
            sure = APPLY if share <= HOMOPHONE else ASK
            out.append(_outside_span(words, a, b, [candidate(form, sure, share <= HOMOPHONE, "sound")]))
    return out


def _doubted(span: NameSpan, slots: Sequence[Slot], said: _Said, hearing: Hearing) -> NameSpan:
    """An exact everyday word behind a measure, where the talk speaks for a name that sounds alike ("cherry" by fino).

    The span stays as it is; the other name is added as a candidate, and the confidence lowered.
    """
    if span.how != "exact" or span.entry is None or not span.entry.everyday or span.end - span.start != 1:
        return span
    if not any(s.start <= span.start < s.end and s.expects >= POURED for s in slots):
        return span
    if said.support(span.entry, span.start, span.end):
        return span
    found = matches(hearing, [Place((plain_word(span.heard),), (1,))])[0][0]
    rivals = [
        m
        for m in found
        if m.form.entry is not span.entry
        and m.share <= 2 * NEAR
        and said.support(m.form.entry, span.start, span.end) > 0
    ]
    if not rivals:
        return span
    other = candidate(rivals[0].form, 0.4, False, "sound")
    own = replace(span.candidates[0], confidence=0.6)
    return replace(span, confidence=0.6, candidates=(own, other))
