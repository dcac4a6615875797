"""From a text to its measures: tries the productions at each term, left to right, and keeps what each one reads."""

from __future__ import annotations

from extractor.measures.grammar import NUMERIC, Reader, Reading
from extractor.measures.measure import Measure
from extractor.measures.numbers import number
from extractor.measures.tokens import tokenize
from extractor.measures.words import (
    ANOTHER,
    ARTICLE,
    CARDINAL,
    COMMA,
    CONVENTION,
    FEW,
    MONEY,
    NOT_NOUN,
    OF,
    SECONDS,
    STOP,
    THE,
    UNIT,
    vocabulary,
    walk,
)
from extractor.units import load_units

_BEFORE_NO = frozenset((
    "number", "take", "no", "episode", "part", "chapter", "step", "page", "season", "version", "volume", "day", "table", "channel",
    "one", "at", "in", "by", "since", "age", "aged", "round", "bar", "top", "until", "before", "after", "around", "than",
    "for", "me", "the", "these", "those", "this", "that", "my", "your", "our", "his", "her", "their", "every", "#", "$",
))  # fmt: skip
_AFTER_NO = frozenset(("of",))
_PEOPLE = frozenset(
    (
        "us",
        "you",
        "them",
        "my",
        "your",
        "our",
        "his",
        "her",
        "their",
        "these",
        "those",
        "the",
        "this",
        "that",
        "it",
        "mine",
        "yours",
        "hers",
        "which",
        "whom",
    )
)


def _reading(r: Reader, i: int) -> Reading | None:
    """measure = relation | equal | juice-of | vague | ratio | amount | strength | temperature | time | counted | number"""
    w = r.w
    cls = w[i].cls
    text = w[i].text
    if text in ("equal", "even"):
        got = r.equal(i)
        if got is not None:
            return got
    if cls & THE or text in ("same", "double", "twice", "half"):
        got = r.relation(i)
        if got is not None:
            return got
    if cls & THE or text in r.v.parts:
        got = r.part_of_thing(i)
        if got is not None:
            return got
        if not cls & UNIT:
            return None
    vague = walk(r.v.vague, w, i)
    if text == "overnight":
        return Reading(i, i + 1, "time", rule="overnight")
    n = number(w, i)
    if n is not None:
        ratio = r.ratio(n, i)
        if ratio is not None:
            return ratio
    amount = r.amount(i)
    if vague is not None and (amount is None or amount.next < vague[1] or vague[0] == amount.unit):
        end = vague[1]
        if w[end - 1].cls & OF and end - i > 1:
            end -= 1
        return Reading(i, end, "vague", unit=vague[0], rule="vague")
    if amount is None or amount.kind == "number":
        counted = r.counted(i)
        if counted is not None:
            return counted
        named = r.named_counter(i, n) if (n is not None or cls & ARTICLE) else None
        if named is not None:
            return named
    if amount is None:
        return None
    if amount.kind == "number":
        heat = r.strength_or_heat(amount)
        if heat is not None:
            return heat if heat.kind != "none" else None
        return amount if _bare(r, i, amount) else None
    if amount.kind == "time" and w[amount.next].text in ("ago", "old", "later", "earlier", "before"):
        return None
    return amount


def _bare(r: Reader, i: int, got: Reading) -> bool:
    """May this number without a unit be an amount whose unit the talk carries over?"""
    w = r.w
    before, after = w[i - 1] if i else None, w[got.next]
    if got.rule == "digits" or got.low is None or got.low == 0 or got.low >= 1000:
        return False
    if (
        before is not None
        and (before.text in _BEFORE_NO or before.cls & MONEY)
        and not (got.rule in ("fraction", "mixed") and before.text not in ("the", "#", "$"))
    ):
        return False
    if after.cls & (MONEY | SECONDS) or after.cls & NOT_NOUN:
        return False
    if after.cls & OF and (w[got.next + 1].text in _PEOPLE):
        return False
    if got.low == 1 and w[i].cls & CARDINAL and not after.cls & (OF | STOP | COMMA):
        return False
    if w[i].cls & ARTICLE and got.rule == "collective":
        return False
    return True


def read_all(text: str, locale: str) -> list[Measure]:
    """All measures of the text, left to right, none over another."""
    known = vocabulary()
    tokens = tokenize(text, known)
    r = Reader(tokens, known)
    w = tokens.terms
    out: list[Measure] = []
    size = len(w) - 6
    i = 0
    starters = NUMERIC | ARTICLE | UNIT | FEW | ANOTHER | THE
    firsts = known.firsts
    while i < size:
        term = w[i]
        if not term.cls & starters and term.text not in firsts:
            i += 1
            continue
        got = _reading(r, i)
        if got is None or got.next <= i:
            # A number that is no measure is passed as a whole: its end is not read again as a number of its own.
            n = number(w, i) if term.cls & NUMERIC else None
            i = n.next if n is not None else i + 1
            continue
        out.append(_measure(r, got, locale))
        i = got.next
    return out


def _measure(r: Reader, got: Reading, locale: str) -> Measure:
    t = r.t
    start, end = t.starts[got.first], t.ends[got.next - 1]
    thing = None if got.thing is None else (t.starts[got.thing[0]], t.ends[got.thing[1] - 1])
    convention, counted = None, None
    if got.unit is not None and got.unit.startswith(CONVENTION):
        convention = got.unit[1:]
        worth = load_units(locale).conventions[convention]
        if got.low is not None and got.high is not None:
            counted = got.low, got.high
            got.low, got.high = got.low * worth.number, got.high * worth.number
        got.unit = worth.unit
    return Measure(
        start=start, end=end, kind=got.kind, low=got.low, high=got.high, unit=got.unit, said=t.text[start:end],  # type: ignore[arg-type]
        approximate=got.approximate, lean=got.lean, relation=got.relation, each=got.each, thing=thing,  # type: ignore[arg-type]
        thing_part=got.thing_part, by=got.by, parts=got.parts, repaired=got.repaired, doubtful=got.doubtful,  # type: ignore[arg-type]
        others=got.others, rule=got.rule, convention=convention, counted=counted,
    )  # fmt: skip
