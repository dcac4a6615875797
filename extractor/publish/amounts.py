"""An amount of the record as it stands on a card: ounces and millilitres side by side, each rounded as bars round."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from extractor.lexicon import Lexicon
from extractor.publish.rounding import ABOUT, decimal, exact, in_fractions, in_steps, nearest, spoken
from extractor.publish.tables import Steps, Tables
from extractor.record import Amount, Ingredient
from extractor.visible import line

GRAMS = {"g": Fraction(1), "kg": Fraction(1000), "oz_wt": Fraction(28349523125, 10**9), "lb": Fraction(45359237, 10**5)}
"""Exact: the international avoirdupois pound of 1959 is 0.45359237 kg."""
WORTH_MEASURING = 3
"""Millilitres: fewer dashes and drops than this comes to are counted, not poured."""
MULTIPLIED = ""
"""What `Amount.said` holds where nobody said the amount: it was multiplied, and so it may be rounded. What was said
is not."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One amount in words. `ounces` and `metric` are the two columns of a card; `said` tells which of them the
    speaker used.

    What is neither (two dashes, a sprig, "to top up") stands in `ounces` alone, and `metric` may say what that comes
    to. Empty strings where there is nothing to say.
    """

    ounces: str
    metric: str
    said: Literal["ounces", "metric", "both"]
    after: bool = False
    """Whether it reads better after the name: "ginger beer, to top up"."""

    @property
    def first(self) -> str:
        """The said measure, for places with room for one."""
        return self.metric if self.said == "metric" else self.ounces

    @property
    def other(self) -> str:
        return self.ounces if self.said == "metric" else self.metric

    def together(self) -> str:
        """Both, as they stand in a line of text: "1¾ oz (52.5 ml)"."""
        return f"{self.first} ({self.other})" if self.other else self.first


@dataclass(frozen=True, slots=True)
class Ounce:
    """What an ounce of this recipe counts for. `bar` where that is the bar's round 30 ml."""

    ml: Fraction
    bar: bool


BAR_OUNCE = Ounce(Fraction(30), True)


def ounce_of(ingredients: tuple[Ingredient, ...], tables: Tables) -> Ounce:
    """The ounce in which a recipe was told; the bar's where it was told in none.

    A talk has one locale, so the first ounce said settles it.
    """
    for ingredient in ingredients:
        amount = ingredient.amount
        if amount is not None and amount.unit == "fl_oz" and amount.low and amount.millilitres is not None:
            each = exact(amount.millilitres.low) / exact(amount.low)
            worth = tables.rounding.worth["fl_oz"]
            return Ounce(worth, True) if _near(each, worth, tables) else Ounce(each, False)
    return Ounce(tables.rounding.worth["fl_oz"], True)


def _near(value: Fraction, worth: Fraction, tables: Tables) -> bool:
    return abs(value - worth) <= worth * tables.rounding.near


def _worth_ml(amount: Amount, tables: Tables) -> tuple[Fraction, Fraction] | None:
    """Millilitres from low to high: the record's, or those that a bar counts for the unit where the two are near."""
    if amount.millilitres is None or amount.low is None or amount.high is None:
        return None
    low, high = exact(amount.low), exact(amount.high)
    record = Fraction(repr(amount.millilitres.low)), Fraction(repr(amount.millilitres.high))
    worth = tables.rounding.worth.get(amount.unit or "")
    if worth is None or not low or not _near(record[0] / low, worth, tables):
        return record
    return low * worth, high * worth


def _span(low: str, high: str) -> str:
    """ "1–2"; one of the two where they are written alike."""
    if low == high:
        return low
    if low.startswith(ABOUT) or high.startswith(ABOUT):
        return f"{ABOUT}{low.removeprefix(ABOUT)}–{high.removeprefix(ABOUT)}"
    return f"{low}–{high}"


def in_ounces(low_ml: Fraction, high_ml: Fraction, ounce: Ounce, tables: Tables) -> str:
    """ "1¾ oz"; in teaspoons where no fraction of an ounce is near ("1 tsp" for 5 ml)."""
    words = tables.units["fl_oz"]
    values = (low_ml / ounce.ml, high_ml / ounce.ml)
    if not all(v > 0 and nearest(v, tables.rounding)[1] for v in values):
        spoons = (low_ml / tables.rounding.worth["tsp"], high_ml / tables.rounding.worth["tsp"])
        small = high_ml < ounce.ml / 2
        if all(v > 0 and (small or nearest(v, tables.rounding)[1]) for v in spoons) and high_ml < ounce.ml:
            values, words = spoons, tables.units["tsp"]
    return f"{_span(*(in_fractions(v, tables.rounding) for v in values))} {words.many}"


def in_millilitres(low_ml: Fraction, high_ml: Fraction, tables: Tables) -> str:
    return _metric(low_ml, high_ml, tables.rounding.millilitres, "ml", "l")


def in_grams(low: Fraction, high: Fraction, tables: Tables) -> str:
    return _metric(low, high, tables.rounding.grams, "g", "kg")


def _metric(low: Fraction, high: Fraction, steps: Steps, small: str, large: str) -> str:
    """In the small unit, or in the large one from a thousand on."""
    if low < 1000:
        return f"{_span(in_steps(low, steps), in_steps(high, steps))} {small}"
    return f"{_span(*(decimal(Fraction(in_steps(v, steps)) / 1000) for v in (low, high)))} {large}"


def _whole_millilitres(low: Fraction, high: Fraction) -> str:
    """What is not known closely: "≈ 43 ml"."""
    return f"{ABOUT}{_span(str(round(low)), str(round(high)))} ml"


def _lean(amount: Amount, text: str) -> str:
    """With what the speaker said about it: "about", "scant", "heaping"."""
    if amount.lean:
        text = f"{line(amount.lean)} {text}"
    elif amount.approximate and not text.startswith(ABOUT):
        text = f"about {text}"
    return text


def _counted(amount: Amount, low: Fraction, high: Fraction, tables: Tables) -> str:
    words = tables.units[amount.unit or ""]
    number = _span(spoken(low), spoken(high))
    if not words.one:
        return number
    return f"{number} {words.one if high <= 1 else words.many}"


def show(ingredient: Ingredient, tables: Tables, *, ounce: Ounce = BAR_OUNCE, lexicon: Lexicon | None = None) -> Shown:
    """The amount of a line in words, rounded. Nothing is invented: what was not said is not shown.

    `lexicon` says what one piece of a fruit gives, where the amount is the juice of a lime.
    """
    amount = ingredient.amount
    if amount is None:
        return Shown("", "", "both")
    if amount.unit is None:
        return Shown(_lean(amount, _said_or_number(amount)), "", "both")
    words = tables.units[amount.unit]
    if amount.low is None or amount.high is None:
        if words.bare is not None and not _says_few(amount):
            return Shown(words.bare, "", "both", after=not words.one)
        return Shown(words.few, "", "both", after=not words.one and amount.unit != "piece")
    low, high = exact(amount.low), exact(amount.high)
    if amount.unit in GRAMS:
        return _weight(amount, low, high, tables)
    ml = _worth_ml(amount, tables)
    if words.sums == "volume" and words.column != "both" and ml is not None:
        return _volume(amount, low, high, ml, ounce, tables)
    if words.bare is not None and not words.one:
        # "an ounce to rinse the glass" is told in ounces; a number with a bare rinse is no measure of anything.
        return Shown(words.bare, "", "both", after=True)
    if amount.unit == "piece":
        return _pieces(ingredient, amount, low, high, tables, lexicon)
    text = _lean(amount, _counted(amount, low, high, tables))
    volume = ""
    if ml is not None and words.sums == "volume" and ml[0] >= WORTH_MEASURING:
        volume = _whole_millilitres(*ml)
    return Shown(text, volume, "both")


def _says_few(amount: Amount) -> bool:
    """ "a few dashes", where "a dash" without a number would be one or so."""
    return any(w in ("few", "couple", "some", "several", "handful") for w in amount.said.lower().split())


def _said_or_number(amount: Amount) -> str:
    if amount.low is not None and amount.high is not None:
        return _span(spoken(exact(amount.low)), spoken(exact(amount.high)))
    said = line(amount.said)
    return f"“{said}”" if said else ""


def _weight(amount: Amount, low: Fraction, high: Fraction, tables: Tables) -> Shown:
    unit = amount.unit or ""
    grams = low * GRAMS[unit], high * GRAMS[unit]
    words = tables.units[unit]
    if amount.said == MULTIPLIED:
        ounces = _span(*(in_fractions(g / GRAMS["oz_wt"], tables.rounding) for g in grams))
        return Shown(_lean(amount, f"{ounces} {tables.units['oz_wt'].many}"), in_grams(*grams, tables), "both")
    said = _lean(amount, f"{_span(spoken(low), spoken(high))} {words.one if high <= 1 else words.many}")
    if words.column == "metric":
        ounces = _span(*(in_fractions(g / GRAMS["oz_wt"], tables.rounding) for g in grams))
        return Shown(f"{ounces} {tables.units['oz_wt'].many}", said, "metric")
    return Shown(said, in_grams(*grams, tables), "ounces")


def _volume(
    amount: Amount, low: Fraction, high: Fraction, ml: tuple[Fraction, Fraction], ounce: Ounce, tables: Tables
) -> Shown:
    words = tables.units[amount.unit or ""]
    if words.column == "metric":
        # Metric as it was said, in its own unit, never rounded.
        if amount.said == MULTIPLIED:
            said = in_millilitres(*ml, tables)
            return Shown(in_ounces(*ml, ounce, tables), _lean(amount, said), "both")
        said = _span(*(decimal(v) for v in (low, high)))
        return Shown(in_ounces(*ml, ounce, tables), _lean(amount, f"{said} {words.many}"), "metric")
    number = _span(spoken(low), spoken(high))
    if amount.said == MULTIPLIED:
        number = _span(*(in_fractions(v, tables.rounding) for v in (low, high)))
    text = _lean(amount, f"{number} {words.one if high <= 1 else words.many}")
    return Shown(text, in_millilitres(*ml, tables), "both" if amount.said == MULTIPLIED else "ounces")


def _pieces(
    ingredient: Ingredient, amount: Amount, low: Fraction, high: Fraction, tables: Tables, lexicon: Lexicon | None
) -> Shown:
    """ "2" eggs; the juice of half a lime as "juice of ½" with about the millilitres that gives."""
    number = _lean(amount, _span(spoken(low), spoken(high)))
    entry = None if lexicon is None or ingredient.lexicon_id is None else lexicon.by_id.get(ingredient.lexicon_id)
    if lexicon is None or entry is None or not lexicon.is_a(entry, "juice"):
        return Shown(number, "", "both")
    each = lexicon.figure(entry, "piece")
    volume = ""
    if each is not None:
        volume = _whole_millilitres(low * exact(each.low), high * exact(each.high))
    return Shown(f"juice of {number}", volume, "both", after=True)
