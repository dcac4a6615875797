"""How sure a hearing is, and whether a name is put right without asking.

The confidence is a logistic model of a few plain signs, so that of names heard with confidence 0.9 about nine in ten
are right. Its weights are fitted by tests/benchmarks/names_confidence.py on names that two recognisers ruined, some of
them with the right name taken out of the lexicon, and checked name by name on names left out of the fit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractor.names.hearing import Form, Hearing, folded
from extractor.names.pronounce import dictionary
from extractor.names.rank import Match
from extractor.names.spans import Candidate

KEEP = 5
"""So many candidates are given with a span."""

# Weights of the logistic model.
BASE = -0.49
COST = -2.27
GAP = 13.18
WEIGHT = 0.25
CONFLICT = -0.63
AGREE = -0.05
WORD = -0.89
ODD = 0.62
LOCAL = -2.03
WEIGHT_AT_MOST = 8.0
"""Longer names than this (in sounds' weight) are no surer."""
GAP_AT_MOST = 0.2
"""A wider gap to the next name makes no surer."""
LOCAL_OVER = 0.15
"""`local` is counted as if at least this share of the name's letters were in words that were not heard."""

USUAL = 0.9
"""The expectation (Slot.expects) of the names that the weights were fitted on: straight behind a measure."""
APPLY = 0.9
"""From this confidence on a name is put right without asking, if nothing below forbids it."""
ASK = 0.35
"""From this confidence on a misheard name is reported at all; below, the words are left as they are."""
ASK_WORD, ASK_PART = 0.5, 0.75
"""The same where one English word was heard, which may be meant as it stands; and where it is a part of other names
("batter")."""
FAR, ASK_FAR = 0.3, 0.8
"""Where more than FAR of the sounds is off, words are chatter sooner than a name if all are English and none is the
name's, or another name if what they share with this one is all that fits ("naartjie juice" is no noni juice)."""
SPELT, SPELT_NEARER = 0.8, 0.2
"""A name that another's spelling is nearer to what was written ("jalapo": jalapeño, not gelato), by so much and so near
at least (1 is the same letters), is not put right without asking: what a recogniser makes up is near in letters too."""
STRONG = 0.75
"""From this expectation on a name is strongly expected: behind a measure, after "add"."""
ANOTHER = 0.25
"""An English word that differs by so large a share of its sounds from the name's may well be another word."""
HOMOPHONE = 0.04
"""Up to this share of sounds two texts sound alike."""
NEAR = 0.15
"""Up to this share of sounds two texts sound nearly alike."""
SAID_BEFORE = 1.5
"""A name that stands in the talk letter for letter elsewhere: added to the log odds."""
UNPLACED = -2.0
"""A single English word where a name is not expected as strongly as behind a measure: added to the log odds."""
COMMON = -3.0
"""Nothing but the commonest English words ("can be", "the way"): added to the log odds."""
KIN = 0.5
"""A name of whose kind another is said near by: added to the log odds."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """The signs for and against the best match of a heard text.

    share: of its sounds that are off. local: the same, of those words of the name only that were not heard. gap: how
    much more the next name costs. conflict: share of the heard letters in words that belong to other names. agree:
    share in words of this name. odd: share in words that are no English. others:
    how many words are not of this name, and shared: how many are. plausible: the words heard are words of names
    that join freely, so that it may be a new name as it stands. word: one word of the dictionary was heard, small words
    beside it or not ("recipe for"). english: nothing but words of the dictionary. common: nothing but the commonest
    English words.
    """

    share: float
    local: float
    cost: float
    gap: float
    weight: float
    conflict: float
    agree: float
    odd: float
    others: int
    shared: int
    plausible: bool
    word: bool
    english: bool
    common: bool


def evidence(hearing: Hearing, heard: str, found: Sequence[Match]) -> Evidence:
    """The signs for the first of `found` (at least one, best first). `heard` is in plain form."""
    best = found[0]
    small = hearing.words["filler"] | hearing.words["tail"]
    every = heard.split()
    words = [w for w in every if w not in small] or every
    letters = max(1, sum(map(len, words)))
    of_name = {folded(w) for w in best.form.text.split()}
    heard_words = {folded(w) for w in every}
    parts = best.form.text.split()
    unheard = sum(len(w) for w in parts if folded(w) not in heard_words) / max(1, sum(map(len, parts)))
    known = [w for w in words if folded(w) in hearing.vocabulary]
    return Evidence(
        share=best.share,
        local=min(1.0, best.share / max(unheard, LOCAL_OVER)),
        cost=best.cost,
        gap=min(found[1].cost - best.cost, GAP_AT_MOST) if len(found) > 1 else GAP_AT_MOST,
        weight=best.weight,
        conflict=sum(len(w) for w in known if folded(w) not in of_name) / letters,
        agree=sum(len(w) for w in words if folded(w) in of_name) / letters,
        odd=sum(len(w) for w in words if not hearing.is_word(w)) / letters,
        others=sum(folded(w) not in of_name for w in words),
        shared=sum(folded(w) in of_name for w in words),
        plausible=_plausible(hearing, words),
        word=len(words) == 1 and bool(dictionary(words[0])),
        english=all(dictionary(w) for w in every),
        common=all(w in hearing.words["common"] for w in every),
    )


def _plausible(hearing: Hearing, words: Sequence[str]) -> bool:
    """ "caramel tea" may be a name that the lexicon has not; "fino cherry" may not, for only sherry is called fino."""
    keys = [folded(w) for w in words]
    if not all(k in hearing.vocabulary for k in keys):
        return False
    return len(keys) == 1 or (keys[-1] in hearing.closing and all(k in hearing.leading for k in keys[:-1]))


def log_odds(probability: float) -> float:
    p = min(max(probability, 1e-6), 1 - 1e-6)
    return math.log(p / (1 - p))


def probability(odds: float) -> float:
    """Of log odds."""
    return 1 / (1 + math.exp(-odds))


def confidence(e: Evidence, expects: float) -> float:
    """How likely it is that the best match is meant, 0 to 1, where a name is expected with strength `expects`."""
    x = BASE + COST * e.cost + GAP * e.gap + WEIGHT * min(e.weight, WEIGHT_AT_MOST)
    x += CONFLICT * e.conflict + AGREE * e.agree + WORD * e.word + ODD * e.odd + LOCAL * e.local
    x += log_odds(expects) - log_odds(USUAL)
    if e.common:
        x += COMMON
    elif e.word and expects < USUAL:
        x += UNPLACED
    return probability(x)


def worth_asking(e: Evidence, sure: float) -> bool:
    """Whether a hearing is reported at all."""
    if e.word:
        return sure >= (ASK_PART if e.plausible else ASK_WORD)
    doubtful = e.share > FAR and (e.local > 2 * FAR if e.agree else e.english)
    return sure >= (ASK_FAR if doubtful else ASK)


def may_apply(e: Evidence, sure: float, expects: float) -> bool:
    """Whether the best match is written without asking.

    Words that may be a name as they stand ("caramel tea", "cherry vinegar") are changed only for one that sounds alike,
    a single English word ("heat", "orgy") and words of the commonest ("do", "can be") never, other English words that
    share none with the name only where a name is strongly expected, and one English word beside one of the name
    ("cape brandy") only where it sounds like the name's.
    """
    if sure < APPLY or e.common or e.word:
        return False
    if e.english and e.others == 1 and e.shared == 1 and e.local > ANOTHER:
        return False
    if e.english and e.agree == 0 and expects < STRONG:
        return False
    return not (e.plausible and e.share > HOMOPHONE)


def another_spelt_nearer(heard: str, best: Match, found: Sequence[Match]) -> bool:
    """Whether one of the other matches is spelt much more like `heard` than `best` is."""
    from rapidfuzz.fuzz import ratio

    letters = heard.replace(" ", "").replace("'", "")
    least = max(SPELT, ratio(letters, best.form.joined) / 100 + SPELT_NEARER)
    return any(m is not best and ratio(letters, m.form.joined) / 100 >= least for m in found)


def candidates(hearing: Hearing, heard: str, found: Sequence[Match], expects: float) -> list[Candidate]:
    """The matches as candidates. What the first leaves of certainty is parted among the rest by their costs."""
    if not found:
        return []
    e = evidence(hearing, heard, found)
    sure = confidence(e, expects)
    apply = may_apply(e, sure, expects) and not another_spelt_nearer(heard, found[0], found)
    out = [candidate(found[0].form, sure, apply, "sound")]
    parts = [math.exp(-15 * (m.cost - found[0].cost)) for m in found[1:]]
    whole = sum(parts) + 0.5
    out += [
        candidate(m.form, min(sure, (1 - sure) * part / whole), False, "sound")
        for m, part in zip(found[1:], parts, strict=True)
    ]
    return out


def judged(
    hearing: Hearing, heard: str, found: Sequence[Match], expects: float, support: Sequence[float]
) -> tuple[list[Candidate], Evidence]:
    """The matches as candidates, best first, each judged as if it were meant; and the signs for the best.

    `support`: what else speaks for each match, in log odds.
    """
    out = []
    for k, match in enumerate(found):
        e = evidence(hearing, heard, [match, *found[:k], *found[k + 1 :]])
        sure = probability(log_odds(confidence(e, expects)) + support[k])
        out.append((sure, k, e))
    out.sort(key=lambda o: -o[0])
    first, best, signs = out[0]
    left = sum(s for s, _, _ in out[1:])
    share = min(1.0, (1 - first) / left) if left else 1.0
    apply = may_apply(signs, first, expects) and not another_spelt_nearer(heard, found[best], found)
    top = candidate(found[best].form, first, apply, "sound")
    return [top, *(candidate(found[k].form, s * share, False, "sound") for s, k, _ in out[1:KEEP])], signs


def candidate(form: Form, sure: float, apply: bool, how: str) -> Candidate:
    return Candidate(form.entry.name, form.entry.id, sure, apply, how, form.group, form.entry, form.shown)


def raised(candidates: Sequence[Candidate], by: Sequence[float]) -> list[Candidate]:
    """Candidates after `by` has been added to their log odds, best first; the sum of confidences stays at most 1."""
    new = [
        replace(c, confidence=probability(log_odds(c.confidence) + b)) if b else c
        for c, b in zip(candidates, by, strict=True)
    ]
    total = max(1.0, sum(c.confidence for c in new))
    new = [replace(c, confidence=c.confidence / total) for c in new]
    return sorted(new, key=lambda c: -c.confidence)
