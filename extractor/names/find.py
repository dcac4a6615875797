"""Finding names in talk: exactly everywhere, and through the garble where a name is expected."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from extractor.lexicon import Lexicon, load_lexicon, plain
from extractor.names.hearing import STARTS, Form, Hearing, folded, load_hearing
from extractor.names.rank import Window, matches
from extractor.names.spans import Candidate, NameSpan, Slot

WINDOW = 6
"""A misheard name is sought in windows of at most so many words."""
SHORTLIST = 40
"""So many sayings of names are compared in full with each window."""
KEEP = 5
"""So many candidates are given with a span."""
APPLY = 0.86
"""From this confidence on a name is put right without asking."""
ASK = 0.25
"""From this confidence on a name is worth asking about."""
OUTSIDE = 0.93
"""Where no name is expected it takes this confidence."""


def exact_spans(words: Sequence[str], hearing: Hearing, slots: Sequence[Slot]) -> list[NameSpan]:
    """The longest names that stand in the talk letter for letter; word breaks, accents and plurals are free."""
    keys = [folded(w) for w in words]
    group_at: dict[int, str] = {i: s.group for s in slots for i in range(s.start, min(s.end, len(words)))}
    out: list[NameSpan] = []
    at = 0
    while at < len(keys):
        found: tuple[int, tuple[Form, ...]] | None = None
        joined = ""
        for end in range(at, min(at + 10, len(keys))):
            joined += keys[end]
            if len(joined) > hearing.longest or joined[:STARTS] not in hearing.starts:
                break
            forms = hearing.exact.get(joined)
            if forms and keys[end] and _may_stand(words[at : end + 1], forms):
                found = end + 1, forms
        if found is None or not keys[at]:
            at += 1
            continue
        end, forms = found
        group = group_at.get(at)
        form = next((f for f in forms if f.group == group), forms[0])
        heard = " ".join(words[at:end])
        out.append(_exact_span(at, end, form, heard))
        at = end
    return out


def _may_stand(words: Sequence[str], forms: Sequence[Form]) -> bool:
    """Word breaks are free, but not so that small words grow together to a name ("a corn", "or ange")."""
    count = sum(len(plain(w).split()) for w in words)
    if any(f.words == count for f in forms):
        return True
    return all(len(folded(w)) >= 3 for w in words)


def _exact_span(start: int, end: int, form: Form, heard: str) -> NameSpan:
    how = "spelling" if form.how == "exact" and plain(heard).count(" ") != form.words - 1 else form.how
    confidence = 1.0 if form.how != "misheard" else 0.97
    name = form.entry.name
    own = Candidate(name, form.entry.id, confidence, True, how, form.group, form.entry)
    return NameSpan(start, end, form.entry, form.group, name, heard, confidence, how, True, (own,))


def rank(
    hearing: Hearing, heard: Sequence[str], places: Sequence[int], expects: Sequence[float], groups: Sequence[str]
) -> list[list[Candidate]]:
    """Candidates for each heard text (plain form), best first; only names of its group."""
    windows = [Window(t, p, g) for t, p, g in zip(heard, places, groups, strict=True)]
    out = []
    for k, found in enumerate(matches(hearing, windows)):
        out.append(
            _decided(
                [
                    Candidate(
                        m.form.entry.name,
                        m.form.entry.id,
                        _confidence(m.cost, m.weight, expects[k]),
                        False,
                        "sound",
                        m.form.group,
                        m.form.entry,
                    )
                    for m in found
                ]
            )
        )
    return out


def _confidence(share: float, weight: float, expects: float) -> float:
    """How surely a name is meant whose sounds are `share` off (0: the same; 1: all lost)."""
    x = 4.2 - 11.0 * share + 0.35 * min(weight - 3.5, 4.0) + 2.0 * (expects - 0.8)
    return 1 / (1 + math.exp(-x))


def _decided(found: list[Candidate]) -> list[Candidate]:
    found.sort(key=lambda c: -c.confidence)
    if not found:
        return found
    rival = found[1].confidence if len(found) > 1 else 0.0
    first = found[0]
    confidence = first.confidence * (1 - 0.5 * rival / max(first.confidence, 1e-9) * (1 if rival > 0.5 else 0))
    found[0] = replace(first, confidence=max(confidence, rival), apply=confidence >= APPLY)
    return found[:KEEP]


def find_names(words: Sequence[str], slots: Sequence[Slot], hearing: Hearing) -> list[NameSpan]:
    """All names of a talk. `words` are its tokens in order, punctuation or not; `slots` say where names are expected.

    Exact names are given wherever they stand, also everyday words: the caller judges those by their place. In a slot
    without a good exact name, windows of 1 to 6 words are compared by sound. Spans do not overlap and are in order.
    """
    spans = exact_spans(words, hearing, slots)
    plain_words = [plain(w) for w in words]
    filler = hearing.words.get("filler", frozenset())
    tail = hearing.words.get("tail", frozenset())
    starting = {s.start: s for s in spans}
    windows: list[tuple[int, int, int]] = []
    for k, slot in enumerate(slots):
        end = min(slot.end, len(words))
        start = slot.start
        while start < end and plain_words[start] in filler and start not in starting:
            start += 1
        if start >= end:
            start = slot.start
        known = starting.get(start)
        least = 1
        if known is not None:
            rest = [w for w in plain_words[known.end : end] if w]
            if not rest or rest[0] in tail:
                continue
            least = known.end - start + 1
        for first in (start, start + 1) if known is None and start + 1 < end else (start,):
            for last in range(first + least, min(first + WINDOW, end) + 1):
                if plain_words[last - 1]:
                    windows.append((k, first, last))
    texts = [" ".join(plain_words[a:b]).strip() for _, a, b in windows]
    ranked = rank(
        hearing,
        texts,
        [a for _, a, _ in windows],
        [slots[k].expects for k, _, _ in windows],
        [slots[k].group for k, _, _ in windows],
    )
    best: dict[int, tuple[float, int, int, list[Candidate]]] = {}
    for (k, a, b), candidates in zip(windows, ranked, strict=True):
        if not candidates:
            continue
        known = starting.get(a)
        if known is not None and candidates[0].confidence < APPLY:
            continue
        worth = candidates[0].confidence - 0.02 * (a - slots[k].start)
        if k not in best or best[k][0] < worth:
            best[k] = worth, a, b, candidates
    for _, a, b, candidates in best.values():
        top = candidates[0]
        if top.confidence < ASK:
            continue
        heard = " ".join(words[a:b])
        spans = [s for s in spans if s.end <= a or s.start >= b]
        spans.append(
            NameSpan(a, b, top.entry, top.group, top.name, heard, top.confidence, top.how, top.apply, tuple(candidates))
        )
    spans += _heads(words, plain_words, slots, spans, hearing)
    return sorted(spans, key=lambda s: s.start)


def head_of(words: Sequence[str], hearing: Hearing) -> int | None:
    """Where in `words` a known head word ("syrup", "bitters") ends an unknown compound; None where there is none."""
    heads = hearing.words.get("head", frozenset())
    for i, w in enumerate(words):
        if i and plain(w) in heads:
            return i
    return None


def _heads(
    words: Sequence[str], plain_words: Sequence[str], slots: Sequence[Slot], spans: Sequence[NameSpan], hearing: Hearing
) -> list[NameSpan]:
    taken = {i for s in spans for i in range(s.start, s.end)}
    filler = hearing.words.get("filler", frozenset())
    out = []
    for slot in slots:
        start, end = slot.start, min(slot.end, len(words))
        while start < end and plain_words[start] in filler:
            start += 1
        head = head_of(plain_words[start:end], hearing)
        if head is None or head > 4 or taken & set(range(start, start + head + 1)):
            continue
        heard = " ".join(words[start : start + head + 1])
        name = " ".join(plain_words[start : start + head + 1])
        out.append(NameSpan(start, start + head + 1, None, slot.group, name, heard, 0.5, "head", False, ()))
        taken |= set(range(start, start + head + 1))
    return out


def read_name(
    heard: str, *, before: str = "", after: str = "", lexicon: Lexicon | None = None, group: str = "ingredient"
) -> list[Candidate]:
    """The names that may be meant by `heard`, best first. `before` and `after` are the words around it.

    Where `heard` is right as it stands, the first candidate is that name with confidence 1 and `apply` True: nothing
    needs to be put right. Otherwise `apply` says that the tool would write the first candidate without asking.
    """
    hearing = load_hearing(lexicon if lexicon is not None else load_lexicon())
    words = heard.split()
    tail = hearing.words.get("tail", frozenset())
    texts = [words]
    if len(words) > 1 and plain(words[-1]) in tail:
        texts.append(words[:-1])
    for tokens in texts:
        joined = "".join(folded(w) for w in tokens)
        forms = hearing.exact.get(joined)
        if forms:
            form = next((f for f in forms if f.group == group), forms[0])
            span = _exact_span(0, len(tokens), form, " ".join(tokens))
            return list(span.candidates)
    n = len(texts)
    ranked = rank(hearing, [plain(" ".join(t)) for t in texts], [0] * n, [0.9] * n, [group] * n)
    best: dict[str, Candidate] = {}
    for candidates in ranked:
        for c in candidates:
            if c.name not in best or best[c.name].confidence < c.confidence:
                best[c.name] = c
    return sorted(best.values(), key=lambda c: -c.confidence)[:KEEP]


__all__ = ["exact_spans", "find_names", "head_of", "rank", "read_name"]
