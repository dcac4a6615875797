"""What a spoken measure is read as: plain data, exact numbers."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

MeasureKind = Literal["amount", "vague", "number", "ratio", "time", "temperature", "strength", "relation", "equal"]


@dataclass(frozen=True, slots=True)
class Measure:
    """One reading of `text[start:end]`.

    kind
      amount       number and unit ("an ounce and a half"; "two dashes"; "the juice of half a lime" = 0.5 piece;
                   "a few dashes" has low and high None)
      vague        no number, or none that measures: splash, glug, handful, "top with", "to taste", rinse, rim, float.
                   `unit` is the contract's where it has one (splash, pinch, top, rinse, rim, float, to_taste), else
                   None
      number       a bare number that could be an amount whose unit the talk carries over ("three quarters of lime",
                   "dry vermouth ten"); never a year, price, age, ordinal, time, or "one of my favourites"
      ratio        "two to one", "one to one by weight": `parts` holds the numbers in the order said
      time         low/high in seconds
      temperature  low/high in degrees Celsius
      strength     per cent by volume (proof is halved)
      relation     "the same of", "same again", "double that", "another" without a number: `relation` says which
      equal        "equal parts"; low/high/unit hold the amount where it is said with it ("equal parts, one ounce each")
    """

    start: int
    end: int
    kind: MeasureKind
    low: Fraction | None
    high: Fraction | None
    unit: str | None
    """A unit of the contract, or None."""
    said: str
    """text[start:end]."""
    approximate: bool = False
    lean: str | None = None
    """scant, heaping, generous, at least, up to, about ...: kept as said."""
    relation: Literal["same", "double", "half", "another", "each"] | None = None
    each: bool = False
    """ "each" or "apiece" was said with it: it holds for all the names told with it."""
    thing: tuple[int, int] | None = None
    """Where the thing stands that a count counts, when it lies inside the span: the lime in "the juice of half a
    lime"."""
    thing_part: str | None = None
    """juice, zest, peel ... of that thing."""
    by: Literal["weight", "volume"] | None = None
    parts: tuple[Fraction, ...] = ()
    repaired: tuple[tuple[str, str], ...] = ()
    """Misheard units and numbers that were put right: (heard, meant)."""
    doubtful: bool = False
    """Two readings stand; the first is given, the rest in `others`."""
    others: tuple[tuple[Fraction | None, Fraction | None, str | None], ...] = ()
    convention: str | None = None
    """The word of lexicon/conventions.txt that it was said in, where that is no unit of the record: "jigger",
    "single"."""
    counted: tuple[Fraction, Fraction] | None = None
    """How many of that word: two jiggers are 2, though low is 3 fl_oz. With it a user's own jigger can be put in."""
    rule: str = ""
    """The production that read it."""

    @property
    def pours(self) -> bool:
        """Whether it may say how much of a thing goes in."""
        return self.kind in ("amount", "vague", "number", "relation", "equal")
