"""One reader of quantities, run alone in a process of its own: `python measures_readers.py NAME PHRASES.json`.

Prints JSON: seconds to import and to give a first answer, seconds for all phrases warm, and for each phrase what was
read as [low, high, unit in the reader's own words]. The readers are general-purpose open-source libraries; where one
only turns words into digits, the digits are then taken by a regular expression and the word behind them is taken as
the unit, as a user would do.
"""

from __future__ import annotations

import json
import re
import sys
import time
import warnings
from collections.abc import Callable
from fractions import Fraction
from typing import Any

Read = Callable[[str], list[tuple[float, float, str]]]

_DIGITS = re.compile(r"(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)|(\d[\d,]*(?:\.\d+)?|\.\d+)")
_BEHIND = re.compile(r"\s*(?:of\s+)?(?:an?\s+)?([a-zA-Z]+)")


def by_digits(text: str) -> list[tuple[float, float, str]]:
    """The numbers of a text in digits, each with the word behind it."""
    out = []
    for m in _DIGITS.finditer(text):
        if m[2]:
            if int(m[3]) == 0:
                continue
            value = float(int(m[1] or 0) + Fraction(int(m[2]), int(m[3])))
        else:
            value = float(m[4].replace(",", ""))
        unit = _BEHIND.match(text, m.end())
        out.append((value, value, unit[1].lower() if unit else ""))
    return out


def pourword() -> Read:
    from extractor.measures import find_measures

    def read(text: str) -> list[tuple[float, float, str]]:
        found = [
            m
            for m in find_measures(text)
            if m.kind in ("amount", "number") and m.low is not None and m.high is not None
        ]
        return [(float(m.low or 0), float(m.high or 0), m.unit or "") for m in found]

    return read


def quantulum3(before: Callable[[str], str] | None = None) -> Read:
    from quantulum3 import parser

    def read(text: str) -> list[tuple[float, float, str]]:
        out = []
        for q in parser.parse(before(text) if before else text):
            spread = q.uncertainty or 0
            out.append((q.value - spread, q.value + spread, q.unit.name if q.unit.name != "dimensionless" else ""))
        return out

    return read


def text2num_words() -> Callable[[str], str]:
    from text_to_num import alpha2digit

    return lambda text: str(alpha2digit(text, "en"))


def numerizer_words() -> Callable[[str], str]:
    from numerizer import numerize

    return lambda text: str(numerize(text))


def number_parser_words() -> Callable[[str], str]:
    from number_parser import parse

    return lambda text: str(parse(text, language="en"))


def text2digits_words() -> Callable[[str], str]:
    from text2digits import text2digits

    return lambda text: str(text2digits.Text2Digits().convert(text))


def converted(words: Callable[[], Callable[[str], str]]) -> Read:
    convert = words()
    return lambda text: by_digits(convert(text))


def word2number() -> Read:
    from word2number import w2n

    def read(text: str) -> list[tuple[float, float, str]]:
        value = float(w2n.word_to_num(text))
        return [(value, value, text.split()[-1].lower())]

    return read


def words2num() -> Read:
    from words2num import w2n

    def read(text: str) -> list[tuple[float, float, str]]:
        value = float(w2n(text))
        return [(value, value, "")]

    return read


def unit_parse() -> Read:
    import logging

    from unit_parse import parser

    logging.disable(logging.CRITICAL)

    def read(text: str) -> list[tuple[float, float, str]]:
        got: Any = parser(text)
        if got is None:
            return []
        value = float(got.magnitude)
        return [(value, value, str(got.units))]

    return read


def pint_registry() -> Read:
    from pint import UnitRegistry

    ureg = UnitRegistry()

    def read(text: str) -> list[tuple[float, float, str]]:
        got: Any = ureg.Quantity(text)
        value = float(got.magnitude)
        return [(value, value, str(got.units))]

    return read


def recognizers_dimension() -> Read:
    from recognizers_number_with_unit import recognize_dimension
    from recognizers_text import Culture

    def read(text: str) -> list[tuple[float, float, str]]:
        out = []
        for r in recognize_dimension(text, Culture.English):
            if r.resolution and r.resolution.get("value"):
                value = float(r.resolution["value"])
                out.append((value, value, str(r.resolution.get("unit") or "").lower()))
        return out

    return read


def recognizers_number() -> Read:
    from recognizers_number import recognize_number
    from recognizers_text import Culture

    def read(text: str) -> list[tuple[float, float, str]]:
        out = []
        for r in recognize_number(text, Culture.English):
            value = float(r.resolution["value"])
            unit = _BEHIND.match(text, r.end + 1)
            out.append((value, value, unit[1].lower() if unit else ""))
        return out

    return read


READERS: dict[str, Callable[[], Read]] = {
    "pourword": pourword,
    "quantulum3": quantulum3,
    "text2num, quantulum3": lambda: quantulum3(text2num_words()),
    "numerizer, quantulum3": lambda: quantulum3(numerizer_words()),
    "numerizer": lambda: converted(numerizer_words),
    "text2num": lambda: converted(text2num_words),
    "number-parser": lambda: converted(number_parser_words),
    "text2digits": lambda: converted(text2digits_words),
    "word2number": word2number,
    "words2num": words2num,
    "unit-parse": unit_parse,
    "pint": pint_registry,
    "recognizers-text, numbers": recognizers_number,
    "recognizers-text, dimensions": recognizers_dimension,
}


def main(name: str, path: str) -> None:
    warnings.simplefilter("ignore")
    with open(path, encoding="utf-8") as file:
        phrases: list[str] = json.load(file)
    start = time.process_time()
    try:
        read = READERS[name]()
    except ImportError as error:
        print(json.dumps({"missing": str(error)}))
        return

    def safe(text: str) -> list[tuple[float, float, str]]:
        try:
            return read(text)
        except Exception:  # a reader that refuses a phrase by an error has said nothing
            return []

    safe("one and a half ounces")
    first = time.process_time() - start
    for phrase in phrases[:50]:
        safe(phrase)
    start = time.process_time()
    found = [safe(phrase) for phrase in phrases]
    print(json.dumps({"first": first, "warm": time.process_time() - start, "found": found}))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
