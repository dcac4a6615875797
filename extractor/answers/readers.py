"""The readings that answers need and that other stages own: handed in by whoever joins the stages, never imported."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from extractor.record import Amount, Range


class NameRead(Protocol):
    """One candidate for a name: what names/ gives."""

    @property
    def name(self) -> str: ...
    @property
    def lexicon_id(self) -> str | None: ...
    @property
    def confidence(self) -> float: ...


ReadAmount = Callable[[str], Amount | None]
ReadName = Callable[[str], Sequence[NameRead]]
ReadMinutes = Callable[[str], Range | None]

_MINUTES = {"second": 1 / 60, "sec": 1 / 60, "minute": 1.0, "min": 1.0, "hour": 60.0, "hr": 60.0, "day": 1440.0,
            "week": 10080.0}  # fmt: skip
_TIME = re.compile(rf"(.+?)\s*\b({'|'.join(_MINUTES)})s?\.?$", re.IGNORECASE)
_DEGREES = re.compile(r"(.+?)\s*(?:°|degrees?)?\s*(celsius|centigrade|fahrenheit|c|f)\.?$", re.IGNORECASE)
_RATIO = re.compile(r"\s*(?::|\bto\b)\s*", re.IGNORECASE)
_BETWEEN = (
    re.compile(r"\s*[,;+]\s*|\s+(?:to|and)\s+", re.IGNORECASE),
    re.compile(r"\s*[,;+]\s*|\s+to\s+", re.IGNORECASE),
    re.compile(r"\s*[,;+]\s*"),
)
_BY = re.compile(r"\s*,?\s*\bby (weight|volume)\b", re.IGNORECASE)


_SMALL = frozenset(("of", "the", "a", "an", "about", "around", "roughly", "just", "exactly", "its", "it", "is"))
"""Words round an amount that change nothing of it."""


def _tokens(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold().replace("'", "").replace("’", ""))


@dataclass(frozen=True)
class Readers:
    """`amount` and `name` as the project's own `read_amount` and `read_name`, the locale already chosen."""

    amount: ReadAmount
    name: ReadName
    minutes: ReadMinutes | None = None

    def exact(self, spoken: str, also: Sequence[str] = ()) -> Amount | None:
        """An amount where the words are an amount and nothing else but the name of what is measured (`also`).

        `read_amount` finds an amount among other words; from a hand's answer that would pick 2 ounces out of "not 2
        ounces, it is lime".
        """
        amount = self.amount(spoken)
        if amount is None:
            return None
        left = Counter(_tokens(spoken)) - Counter(_tokens(amount.said))
        return None if left.keys() - _SMALL - {t for name in also for t in _tokens(name)} else amount

    def number(self, spoken: str) -> Range | None:
        """A bare number or range of numbers, in words or digits; None where it is anything else."""
        spoken = spoken.strip()
        if not spoken:
            return None
        for counted in (f"{spoken} parts", f"{spoken} part"):
            amount = self.exact(counted)
            if amount is not None and amount.unit == "part" and amount.low is not None:
                return Range(low=amount.low, high=amount.high if amount.high is not None else amount.low)
        return None

    def time(self, spoken: str) -> Range | None:
        """Minutes. "half an hour", "2 to 3 days"; None where no time unit ends it."""
        if self.minutes is not None:
            return self.minutes(spoken)
        found = _TIME.match(spoken.strip())
        if found is None:
            return None
        many = re.sub(r"(?:^|\s)(?:of )?an?$", "", found[1].strip(), flags=re.IGNORECASE).strip()
        number = self.number(many) if many else Range(low=1, high=1)
        each = _MINUTES[found[2].lower()]
        return Range(low=number.low * each, high=number.high * each) if number is not None else None

    def degrees(self, spoken: str) -> Range | None:
        """Degrees Celsius; the scale must be said."""
        found = _DEGREES.match(spoken.strip())
        number = self.number(found[1]) if found else None
        if found is None or number is None:
            return None
        if found[2].lower().startswith("f"):
            return Range(low=(number.low - 32) / 1.8, high=(number.high - 32) / 1.8)
        return number

    def ratio(self, spoken: str) -> tuple[tuple[float, ...], str | None] | None:
        """The numbers of a bare ratio in the order said, and weight or volume where said: "two to one by weight"."""
        by = _BY.search(spoken)
        text = _BY.sub("", spoken).strip()
        if re.fullmatch(r"(?:in )?equal (?:parts|amounts|measures)(?: of each)?", text, re.IGNORECASE):
            return (), by[1].lower() if by else None
        pieces = _RATIO.split(text)
        if len(pieces) < 2:
            return None
        numbers = [self.number(p) for p in pieces]
        if any(n is None or n.low != n.high or n.low <= 0 for n in numbers):
            return None
        return tuple(n.low for n in numbers if n is not None), by[1].lower() if by else None

    def parts(self, spoken: str) -> list[tuple[Amount, str]] | None:
        """A list of amounts with their names: "2 parts sugar, 1 part water"; None where any piece is not that.

        "and" and "to" part the pieces only where all the pieces then read: "one and a half ounces of sugar" is one.
        """
        for between in _BETWEEN:
            pieces = [re.sub(r"^and\s+", "", p.strip(), flags=re.IGNORECASE) for p in between.split(spoken)]
            read = [self.part(p) for p in pieces if p]
            if read and all(p is not None for p in read):
                return [p for p in read if p is not None]
        return None

    def part(self, spoken: str) -> tuple[Amount, str] | None:
        """One amount with its name: "half an ounce of falernum", "200 g sugar". None where the name has one too."""
        words = spoken.split()
        cuts = [(n, n + 1) for n, w in enumerate(words) if w.lower() == "of" and 0 < n < len(words) - 1]
        cuts += [(n, n) for n in range(1, len(words))]
        for end, start in cuts:
            amount = self.exact(" ".join(words[:end]))
            if amount is None or amount.unit is None or (amount.unit == "piece" and start == end):
                # Without "of", a count swallows the first word of its name ("one egg" of "one egg white").
                continue
            name = words[start:]
            return None if self._holds_amount(name) else (amount, " ".join(name))
        return None

    def _holds_amount(self, words: list[str]) -> bool:
        found = (self.amount(" ".join(words[i:j])) for i in range(len(words)) for j in range(i + 1, len(words) + 1))
        return any(a is not None and a.low is not None and a.unit not in (None, "piece") for a in found)

    def known(self, name: str) -> tuple[str, str | None]:
        """The spelling to publish and the lexicon's id. The hand's word stands; the lexicon adds its accents."""
        from extractor.lexicon import plain

        candidates = list(self.name(name))
        for candidate in candidates:
            if plain(candidate.name) == plain(name):
                return candidate.name, candidate.lexicon_id
        # Another name of a known thing ("oloroso"): kept as written, but known, so that its figures are not lost.
        if candidates and candidates[0].confidence >= 0.999 and getattr(candidates[0], "how", "") != "misheard":
            return name, candidates[0].lexicon_id
        return name, None
