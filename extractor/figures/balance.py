"""Sour against sweet.

Source: millilitres as poured; grams of sugar and of acid from the lexicon. Where the ratio usually lies in a sour is
worked out from the sours of a published list (lexicon/figures/balance.txt).
"""

from __future__ import annotations

from collections.abc import Sequence

from extractor.figures.contents import Contents
from extractor.figures.poured import kind_in
from extractor.figures.tables import Tables
from extractor.figures.worked import over, total
from extractor.lexicon import Lexicon
from extractor.record import Balance, Worked

SOUR_FROM = 30.0
"""g/l of acid: between orange or pineapple juice (about 10) and lemon or lime (46-60)."""
SWEET_FROM = 180.0
"""g/l of sugar: over juice and sweet vermouth (up to 160), under whatever sweetens (200 and more). A liqueur always
does: by Regulation (EU) 2019/787 it has at least 100 g/l (some 70)."""


def is_sour(line: Contents, lexicon: Lexicon) -> bool:
    return kind_in(line.entry, ("sour juice",), lexicon) or line.acid.low >= SOUR_FROM


def is_sweet(line: Contents, lexicon: Lexicon) -> bool:
    if kind_in(line.entry, ("bitters", "sour juice"), lexicon):
        return False
    return kind_in(line.entry, ("syrup", "cordial", "sweetener", "liqueur"), lexicon) or line.sugar.low >= SWEET_FROM


def balance(lines: Sequence[Contents], lexicon: Lexicon, tables: Tables) -> Balance | None:
    """None where nothing in the drink is sour or sweet enough to weigh. Ratio in grams of sugar to a gram of acid."""
    sour = [c for c in lines if is_sour(c, lexicon)]
    sweet = [c for c in lines if is_sweet(c, lexicon)]
    if not sour and not sweet:
        return None
    acid = total([c.acid_g for c in lines], "g")
    sugar = total([c.sugar_g for c in lines], "g")
    ratio: Worked | None = None
    if acid.low > 0:
        ratio = over(sugar, acid, "g sugar per g acid")
    usual = None
    if sour and sweet:
        span = tables.balance["sour"].figure("sugar_per_acid")
        usual = (span.low, span.high)
    return Balance(
        sour_ml=total([c.ml for c in sour], "ml"),
        sweet_ml=total([c.ml for c in sweet], "ml"),
        sugar_per_acid=ratio,
        usual=usual,
    )


def is_unusual(found: Balance) -> str | None:
    """ "too sour" or "too sweet" where the whole range lies beyond what is usual; None where it may be in it."""
    if found.usual is None or found.sugar_per_acid is None:
        return None
    ratio = found.sugar_per_acid
    if ratio.high is not None and ratio.high < found.usual[0]:
        return "too sour"
    if ratio.low > found.usual[1]:
        return "too sweet"
    return None
