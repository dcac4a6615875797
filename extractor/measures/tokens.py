"""Cuts a talk into terms that know their place. One pass, one regular expression, linear in the length of the text."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from extractor.measures.words import (
    COLON,
    COMMA,
    FILLER,
    FRACTION,
    HYPHEN,
    LAST,
    LITERAL,
    MONEY,
    OPENER,
    ORDINAL,
    STOP,
    UNIT,
    Term,
    Vocabulary,
)

# Every repetition is bounded, so that no text makes the expression go back over more than a few characters.
_TOKEN = re.compile(
    r"""
      (?P<word>[^\W\d_¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+(?:['’][^\W\d_¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]+)*)
    | (?P<ordinal>\d{1,6}(?:st|nd|rd|th|'?s|am|pm)\b
                 |\d{1,2}:\d\d(?::\d\d)?(?:am|pm)?\b
                 |\d{1,4}(?:/\d{1,4}){2,3})
    | (?P<fraction>\d{1,2}\s?[/⁄]\s?\d{1,2}(?![\d/]))
    | (?P<unicode>[¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
    | (?P<number>\d{1,3}(?:,\d{3}){1,4}(?:\.\d{1,9})?(?!\d)|\d{0,12}\.\d{1,12}|\d{1,15})
    | (?P<other>\S)
    """,
    re.VERBOSE,
)
_WORD, _OF_ORDER, _WRITTEN, _UNICODE, _NUMBER = (
    _TOKEN.groupindex[name] for name in ("word", "ordinal", "fraction", "unicode", "number")
)
_DENOMINATORS = frozenset((2, 3, 4, 5, 6, 8, 10, 12, 16, 32))
_STOP = Term(".", STOP)
_COMMA = Term(",", COMMA)
_COLON = Term(":", COLON)
_HYPHEN = Term("-", HYPHEN)
_MONEY = Term("$", MONEY)
_ORDINAL = Term("\0ordinal", ORDINAL)
_SIGNS = {
    ".": _STOP, "!": _STOP, "?": _STOP, ";": _STOP, ",": _COMMA, "(": _COMMA, ")": _COMMA, ":": _COLON,
    "-": _HYPHEN, "–": _HYPHEN, "—": _COMMA, "−": _HYPHEN, "‐": _HYPHEN, "‑": _HYPHEN, "…": _COMMA,
    "$": _MONEY, "£": _MONEY, "€": _MONEY, "/": Term("/"), "*": Term("*"), "#": Term("#"), "[": _COMMA, "]": _COMMA,
}  # fmt: skip
_HYPHENS = frozenset("-–−‐‑")
# After these a full stop is part of the word, not the end of a sentence.
_ABBREVIATIONS = frozenset(
    ("oz", "ozs", "fl", "tsp", "tsps", "tbsp", "tbsps", "tbs", "pt", "lb", "lbs", "approx", "ml", "g")
)
PAD = 6
_PADDING = [LAST] * PAD


class Mend(NamedTuple):
    """A misheard word that was put right: its place, what was heard, what is meant, and the number without it if in
    doubt.
    """

    start: int
    end: int
    heard: str
    meant: str
    otherwise: Fraction | None = None


class Tokens:
    """`terms[i]` stands at `text[starts[i]:ends[i]]`; the list ends with PAD LAST terms, so that looking ahead is safe.

    `joined[i]` is True where a hyphen, or nothing at all, stands between term i and the one before it. `mends` are the
    misheard words put right, left to right.
    """

    __slots__ = ("ends", "joined", "mends", "starts", "terms", "text")

    def __init__(self, text: str, terms: list[Term], starts: list[int], ends: list[int], joined: list[bool]) -> None:
        self.text = text
        self.terms = terms
        self.starts = starts
        self.ends = ends
        self.joined = joined
        self.mends: list[Mend] = []

    def add(self, term: Term, start: int, end: int, joined: bool) -> None:
        self.terms.append(term)
        self.starts.append(start)
        self.ends.append(end)
        self.joined.append(joined)


@lru_cache(maxsize=4096)
def _literal(digits: str) -> Term:
    value = Fraction(digits.replace(",", ""))
    return Term(digits, LITERAL, num=int(value) if value.denominator == 1 and "." not in digits else value)


@lru_cache(maxsize=1024)
def _fraction(written: str) -> Term:
    if len(written) == 1:
        value = Fraction(unicodedata.numeric(written)).limit_denominator(10)
        return Term(written, FRACTION, num=value)
    top, bottom = (int(p) for p in re.split(r"\s?[/⁄]\s?", written))
    if bottom in _DENOMINATORS and 0 < top <= 15:
        return Term(written, FRACTION, num=Fraction(top, bottom))
    return Term(written, ORDINAL | OPENER if top == bottom == 50 else ORDINAL)


def tokenize(text: str, vocabulary: Vocabulary) -> Tokens:
    """All terms of the text but fillers ("um"), which only stretch the span of what they stand in."""
    known = vocabulary.terms
    terms: list[Term] = []
    starts: list[int] = []
    ends: list[int] = []
    joined: list[bool] = []
    glue = False
    last_end = -1
    numeric = LITERAL | FRACTION
    for match in _TOKEN.finditer(text):
        group = match.lastindex
        start, end = match.span()
        if group == _WORD:
            word = match.group().lower()
            if "’" in word:
                word = word.replace("’", "'")
            term = known.get(word)
            if term is None:
                term = Term(word)
            elif term.cls & FILLER:
                glue = False
                continue
            if word in _SUFFIXES and terms and start == last_end and terms[-1].cls & FRACTION:
                last_end = end  # "3/4ths"
                continue
            if (
                terms
                and start == last_end
                and not glue
                and terms[-1].cls & numeric
                and not term.cls & UNIT
                and word not in _AFTER_DIGITS
            ):
                terms[-1] = _ORDINAL  # "3D", "4K": no number
        elif group == _NUMBER:
            term = _literal(match.group())
            if start == last_end and terms and (terms[-1].text[-1:].isalpha() or terms[-1].cls & (LITERAL | ORDINAL)):
                term = _ORDINAL  # "B12", "h2o", an endless row of digits
                if terms[-1].cls & LITERAL:
                    terms[-1] = _ORDINAL
        elif group in (_WRITTEN, _UNICODE):
            term = _fraction(match.group())
        elif group == _OF_ORDER:
            term = _ORDINAL
        else:
            sign = match.group()
            if sign in _HYPHENS and start == last_end and terms:
                after = text[end : end + 1]
                if after.isalnum() and not (after.isdigit() and terms[-1].cls & UNIT):
                    digits = terms[-1].cls & numeric and after.isnumeric()
                    if not digits or _mixed(text, end, terms[-1]):
                        glue = True
                        last_end = end
                        continue
            if sign == "." and terms and start == last_end and terms[-1].text in _ABBREVIATIONS:
                continue
            known_sign = known.get(sign)
            term = _SIGNS.get(sign) or known_sign or Term(sign)
        terms.append(term)
        starts.append(start)
        ends.append(end)
        joined.append(glue or start == last_end)
        glue = False
        last_end = end
    terms += _PADDING
    starts += [len(text)] * PAD
    ends += [len(text)] * PAD
    joined += [False] * PAD
    return Tokens(text, terms, starts, ends, joined)


_SUFFIXES = frozenset(("th", "ths", "rd", "rds", "nd", "nds", "s"))
_AFTER_DIGITS = frozenset(("f", "c", "s", "sec", "secs", "min", "mins", "hr", "hrs", "h", "x", "percent", "ish", "mm"))
_MIXED = re.compile(r"\d{1,2}\s?[/⁄]\s?\d|[¼½¾⅓⅔⅛⅜⅝⅞]")


def _mixed(text: str, end: int, before: Term) -> bool:
    """Is the hyphen at text[end - 1] that of "1-1/2" (joins) and not that of "20-25" (a range)?"""
    return bool(before.cls & LITERAL) and _MIXED.match(text, end) is not None
