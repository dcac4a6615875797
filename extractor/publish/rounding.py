"""Numbers as they stand on a card: fractions of ounces, millilitres in round steps. The exact value stays in the
record.

Source: common practice of the trade, no source, as set out in lexicon/publish/rounding.txt. Everything is computed on
exact fractions, so that what is written never depends on how a decimal is stored.
"""

from __future__ import annotations

from fractions import Fraction

from extractor.publish.tables import Rounding, Steps

ABOUT = "≈ "
GLYPHS = {
    Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼", Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛", Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip
DECIMALS = 3


def exact(value: float | int | Fraction) -> Fraction:
    """A float of the record as the decimal that it is written as: 0.1 is one tenth; a third as said is a third.

    The record holds a third as 0.3333: what lies within 1/2000 of a third or an eighth is taken for it.
    """
    if isinstance(value, float):
        found = Fraction(repr(value))
        for whole in (3, 8, 6):
            near = Fraction(round(found * whole), whole)
            if found and abs(found - near) <= Fraction(1, 2000):
                return near
        return found
    return Fraction(value)


def decimal(value: Fraction) -> str:
    """1.5 as "1.5", 12 as "12", a third as "0.333"."""
    text = f"{float(round(value, DECIMALS)):.{DECIMALS}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def mixed(value: Fraction) -> str | None:
    """A number with a fraction that has a sign of its own: "1¾", "⅓", "12"; None where it has none."""
    whole, rest = divmod(value, 1)
    if rest == 0:
        return str(whole)
    glyph = GLYPHS.get(rest)
    return None if glyph is None else (f"{whole}{glyph}" if whole else glyph)


def spoken(value: Fraction) -> str:
    """A number as it was said, not rounded: "1¾", "12.5", "0.75"."""
    return mixed(value) or decimal(value)


def _closest(choices: list[Fraction], value: Fraction) -> Fraction:
    """The larger of two that are equally near."""
    return max(choices, key=lambda c: (-abs(c - value), c))


def nearest(value: Fraction, rounding: Rounding) -> tuple[Fraction, bool]:
    """(the nearest amount above 0 that can be measured in fractions, whether it lies near enough to stand for it)."""
    best, best_miss = Fraction(1), Fraction(-1)
    for row in rounding.fractions:
        whole = Fraction(value // 1)
        choices: list[Fraction] = [c for c in (*(whole + f for f in row.values), whole + 1) if c > 0]
        near = _closest(choices, value)
        miss = abs(near - value) / value
        if miss <= row.within:
            return near, True
        if best_miss < 0 or miss < best_miss:
            best, best_miss = near, miss
    return best, False


def in_fractions(value: Fraction, rounding: Rounding) -> str:
    """ "1¾"; "≈ ⅜" where no fraction is near. Never 0 for more than 0."""
    if value <= 0:
        return "0"
    found, near = nearest(value, rounding)
    return spoken(found) if near else f"{ABOUT}{spoken(found)}"


def in_steps(value: Fraction, steps: Steps) -> str:
    """The nearest step: 355. A small number of whole quarters (22.5; the 3.75 ml of an eighth of an ounce) stays as
    it is."""
    if value < 100 and (value * 4).denominator == 1:
        return decimal(value)
    step = steps.of(value)
    return decimal(max(round(value / step), 1 if value > 0 else 0) * step)
