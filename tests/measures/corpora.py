"""Reads extractor/measures/corpus/*.txt: phrases grouped under what they mean; says how a reading differs from that."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import extractor.measures
from extractor.measures import Measure

FOLDER = Path(extractor.measures.__file__).parent / "corpus"
KINDS = ("few", "vague", "number", "ratio", "time", "temperature", "strength", "equal", "relation", "nothing")
FLAGS = ("about", "each", "repaired", "doubtful", "thing", "alone")
KEYS = ("lean", "relation", "by", "part", "thing", "convention", "place")
# Each phrase is read alone and inside these.
FRAMES = ("okay so {} and that is it", "well, {}.", "and then i put in {}, you know", "So we go with {}. Then stir.")


@dataclass(frozen=True)
class Answer:
    """What a group of phrases means, as its line says."""

    kind: str
    low: Fraction | None
    high: Fraction | None
    unit: str | None
    parts: tuple[Fraction, ...]
    flags: frozenset[str]
    keys: tuple[tuple[str, str], ...]

    def key(self, name: str) -> str | None:
        return dict(self.keys).get(name)


@dataclass(frozen=True)
class Case:
    file: str
    line: int
    head: str
    answer: Answer
    phrase: str
    start: int
    end: int
    """Where in the phrase the one reading must stand."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line} [{self.head}] {self.phrase}"


def value(text: str) -> tuple[Fraction, Fraction]:
    """`3/4`, `1.5`, `2-3`, `-18` as low and high."""
    m = re.fullmatch(r"(-?[\d./]+)(?:-([\d./]+))?", text)
    if m is None:
        raise ValueError(f"{text!r} is no number")
    low = Fraction(m[1])
    return low, Fraction(m[2]) if m[2] else low


def read_head(head: str) -> Answer:
    """Raises ValueError where the line is not understood."""
    meaning, _, more = head.partition(";")
    words = meaning.split()
    flags, keys = set(), []
    for item in (m.strip() for m in more.split(",") if m.strip()):
        name, equals, text = item.partition("=")
        if equals and name in KEYS:
            keys.append((name, text))
        elif not equals and name in FLAGS:
            flags.add(name)
        else:
            raise ValueError(f"unknown {item!r}; expected one of {', '.join((*FLAGS, *KEYS))}")
    low = high = unit = None
    parts: tuple[Fraction, ...] = ()
    kind = words[0] if words[0] in KINDS else "amount"
    rest = words[1:] if words[0] in KINDS else words
    if kind == "ratio":
        parts = tuple(Fraction(p) for p in rest[0].split(":"))
    elif kind == "relation":
        keys.append(("relation", rest[0]))
    elif kind == "few":
        kind, unit = "amount", rest[0]
    elif kind == "vague":
        unit = rest[0] if rest else None
    elif kind == "time" and rest == ["few"]:
        pass
    elif rest:
        low, high = value(rest[0])
        unit = rest[1] if len(rest) > 1 else None
    return Answer(kind, low, high, unit, parts, frozenset(flags), tuple(keys))


def cases(path: Path) -> Iterator[Case]:
    head, answer = "", None
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        if line.startswith("[") and line.endswith("]"):
            head = line[1:-1]
            answer = read_head(head)
            continue
        if answer is None:
            raise ValueError(f"{path.name}:{number}: a phrase before any [answer]")
        start, end = line.find("{"), line.find("}")
        if start >= 0:
            phrase = line.replace("{", "").replace("}", "")
            yield Case(path.name, number, head, answer, phrase, start, end - 1)
        else:
            yield Case(path.name, number, head, answer, line, 0, len(line))


def all_cases() -> list[Case]:
    return [c for p in sorted(FOLDER.glob("*.txt")) if p.name != "numbers.txt" for c in cases(p)]


def trimmed(text: str, start: int, end: int) -> tuple[int, int]:
    while end > start and text[end - 1] in ".,;: ":
        end -= 1
    return start, end


def differs(case: Case, text: str, at: int, found: list[Measure]) -> str | None:
    """How the readings of `text`, which holds the phrase at `at`, differ from the answer; None where they do not."""
    a = case.answer
    shown = "; ".join(f"{m.said!r} {m.kind} {m.low}-{m.high} {m.unit}" for m in found)
    if a.kind == "nothing":
        return None if not found else f"must give nothing, gave {shown}"
    if not found:
        return "gave nothing"
    if len(found) > 1:
        return f"gave {len(found)} readings: {shown}"
    m = found[0]
    if trimmed(text, m.start, m.end) != trimmed(text, at + case.start, at + case.end):
        return f"reads {m.said!r} instead of {case.phrase[case.start : case.end]!r}"
    if m.kind != a.kind:
        return f"is {shown}, not {a.kind}"
    if a.kind == "temperature":
        if (
            m.low is None
            or m.high is None
            or abs(m.low - a.low) > Fraction(1, 10)
            or abs(m.high - a.high) > Fraction(1, 10)
        ):
            return f"is {shown}"
    elif (m.low, m.high, m.unit, m.parts) != (a.low, a.high, a.unit, a.parts):
        return f"is {shown} {m.parts}"
    if "about" in a.flags and not m.approximate:
        return "is not approximate"
    if "each" in a.flags and not m.each:
        return "does not say each"
    if ("repaired" in a.flags) != bool(m.repaired):
        return f"repaired: {m.repaired}"
    if ("doubtful" in a.flags) != m.doubtful:
        return f"doubtful: {m.doubtful} {m.others}"
    if "thing" in a.flags and m.thing is None:
        return "knows no thing"
    wanted = {"lean": m.lean, "relation": m.relation, "by": m.by, "part": m.thing_part, "convention": m.convention}
    wanted["thing"] = None if m.thing is None else text[slice(*m.thing)]
    for name, text_wanted in a.keys:
        if (
            name != "place"
            and wanted[name] != text_wanted
            and not (name == "part" and (wanted[name] or "").rstrip("s") == text_wanted)
        ):
            return f"{name} is {wanted[name]!r}, not {text_wanted!r}"
    if a.key("relation") is None and m.relation is not None:
        return f"has the relation {m.relation}"
    if a.key("lean") is None and m.lean is not None and not {"about", "each"} & a.flags and a.key("relation") is None:
        return f"has the leaning {m.lean!r}" if case.file in ("ounces.txt", "metric.txt", "ranges.txt") else None
    return None
