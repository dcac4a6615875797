"""What a unit of the record is worth in a place: exact sizes, chosen by `locale`, every one with its source.

`lexicon/units.txt` holds the sizes in the syntax of pint, `lexicon/conventions.txt` says which size a word has where.
The few multiplications that a measure needs are done here on exact fractions, because pint takes longer to import
than a whole talk to read; `registry()` gives the private pint registry of the same file for every other conversion,
and a test holds the two against each other. Nothing outside of this file knows pint.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from extractor.errors import LexiconError, PourwordError
from extractor.lexicon import lexicon_folder, read_blocks

if TYPE_CHECKING:
    from pint import UnitRegistry

LOCALES = ("us", "bar", "metric", "uk", "au")
ALIASES = MappingProxyType({"imperial": "uk", "gb": "uk", "us-bar": "bar", "nz": "metric"})
RECORD_SIZES = frozenset(("fl_oz", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "pint", "dash", "drop", "splash",
                          "g", "kg", "oz_wt", "lb"))  # fmt: skip
ABBREVIATED = frozenset(("oz", "ozs", "fl", "ml", "cl", "tsp", "tsps", "tbsp", "tbsps", "tbs", "bsp", "qt", "pt", "lb",
                         "lbs"))  # fmt: skip
"""Units as captions shorten them: a full stop behind one need not end a sentence ("16 oz. of gin")."""

Number = float | int | Fraction


class UnitError(PourwordError):
    """A place, a unit or an override that is not known."""


@dataclass(frozen=True, slots=True)
class Convention:
    """One line of conventions.txt: what one `word` is worth in `locale`.

    `number` of `unit` (a unit of the record for a word that is none itself, else None); `millilitres` or `grams` of
    one, exact; `spread` in the same dimension where practice varies; `source` a key of sources.txt.
    """

    word: str
    locale: str
    label: str
    number: Fraction
    unit: str | None
    millilitres: Fraction | None
    grams: Fraction | None
    spread: tuple[Fraction, Fraction] | None
    source: str

    @property
    def key(self) -> str:
        """What an amount of the record names: "bar_spoon/us"."""
        return f"{self.word}/{self.locale}"

    @property
    def standard(self) -> bool:
        """True where a published standard fixes it, False where it is practice (or the user's own) and must be
        shown.
        """
        return not self.source.startswith(("common", "memory", "own"))

    def __str__(self) -> str:
        size = self.millilitres if self.millilitres is not None else self.grams
        unit = "ml" if self.millilitres is not None else "g"
        return f"{self.label} = {_plain(size)} {unit} ({self.locale})"


def _plain(value: Fraction | None) -> str:
    return "?" if value is None else f"{float(value):.4f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class Units:
    """The conventions of one place, frozen."""

    locale: str
    conventions: Mapping[str, Convention]

    def convention(self, unit: str) -> Convention | None:
        """The convention for a unit of the record, or for a word such as "jigger"; None for what has no size (a
        leaf).
        """
        return self.conventions.get(unit)

    def exact_millilitres(self, unit: str) -> Fraction | None:
        """Millilitres of one `unit`, exact; None for what is no volume."""
        found = self.conventions.get(unit)
        return None if found is None else found.millilitres

    def exact_grams(self, unit: str) -> Fraction | None:
        """Grams of one `unit`, exact; None for what is no mass."""
        found = self.conventions.get(unit)
        return None if found is None else found.grams

    def millilitres(self, low: Number | None, high: Number | None, unit: str | None) -> tuple[float, float] | None:
        """(low, high) in millilitres; None where the unit is no volume, or nothing was said to measure."""
        return _times(low, high, None if unit is None else self.exact_millilitres(unit))

    def grams(self, low: Number | None, high: Number | None, unit: str | None) -> tuple[float, float] | None:
        """(low, high) in grams; None where the unit is no mass."""
        return _times(low, high, None if unit is None else self.exact_grams(unit))


def _times(low: Number | None, high: Number | None, size: Fraction | None) -> tuple[float, float] | None:
    if size is None or low is None or high is None:
        return None
    first = _product(low, size)
    return first, first if high is low else _product(high, size)


def _product(value: Number, size: Fraction) -> float:
    """The float nearest to the exact product: one division of whole numbers, which Python rounds once."""
    exact = _exact(value) if isinstance(value, float) else value
    return (exact.numerator * size.numerator) / (exact.denominator * size.denominator)


def _exact(value: Number) -> Fraction:
    """A float of the record as the decimal that it is written as: 0.1 is one tenth."""
    return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)


# -- units.txt ---------------------------------------------------------------------------------------------------------

_SIZE = re.compile(r"([a-z_]+) = (?:\[([a-z]+)\]|(\d+(?:\.\d+)?) \* ([a-z_]+)|([a-z_]+) / (\d+))$")


def read_sizes(path: Path, faults: list[str]) -> Mapping[str, tuple[str, Fraction]]:
    """name -> (dimension, how many milliliter or gram), from the lines of units.txt; bad lines go to `faults`."""
    sizes: dict[str, tuple[str, Fraction]] = {}
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        m = _SIZE.match(line)
        at = f"{path.name}:{number}"
        if m is None:
            faults.append(
                f"{at}: expected `name = number * name`, `name = name / number` or `name = [dimension]`: {line!r}"
            )
            continue
        name, dimension = m[1], m[2]
        if name in sizes:
            faults.append(f"{at}: {name} is defined twice")
            continue
        if dimension:
            sizes[name] = (dimension, Fraction(1))
            continue
        base = m[4] or m[5]
        if base not in sizes:
            faults.append(f"{at}: {base} is not defined above")
            continue
        factor = Fraction(m[3]) if m[3] else 1 / Fraction(m[6])
        sizes[name] = (sizes[base][0], sizes[base][1] * factor)
    return sizes


# -- conventions.txt ---------------------------------------------------------------------------------------------------

_N = r"(\d+(?:\.\d+)?|\d+/\d+)"
_WORTH = re.compile(rf"{_N} ([a-z_]+)(?: \({_N}-{_N} ([a-z_]+)\))? @([a-z0-9-]+)$")


@dataclass(frozen=True, slots=True)
class _Line:
    number: Fraction
    unit: str
    spread: tuple[Fraction, Fraction, str] | None
    source: str
    at: str


@dataclass(frozen=True)
class Table:
    """conventions.txt as read: labels, the words that say each, and a line for each place."""

    labels: Mapping[str, str]
    said: Mapping[str, tuple[str, ...]]
    lines: Mapping[str, Mapping[str, _Line]]
    sizes: Mapping[str, tuple[str, Fraction]]


@lru_cache(maxsize=4)
def read_table(folder: Path | None = None) -> Table:
    """Both files of `folder` (lexicon/ by default). Raises LexiconError with every fault of both."""
    folder = folder or lexicon_folder()
    faults: list[str] = []
    sizes = read_sizes(folder / "units.txt", faults)
    labels: dict[str, str] = {}
    said: dict[str, tuple[str, ...]] = {}
    lines: dict[str, Mapping[str, _Line]] = {}
    for block in read_blocks(folder / "conventions.txt", faults):
        own: dict[str, _Line] = {}
        for key, (number, value) in block.fields.items():
            at = f"{block.file}:{number}"
            if key == "label":
                labels[block.name] = value
            elif key == "said":
                said[block.name] = tuple(v.strip() for v in value.split("|"))
            elif key in LOCALES or key == "all":
                m = _WORTH.match(value)
                if m is None:
                    faults.append(f"{at}: expected `{key}: number unit (low-high unit) @source`, found {value!r}")
                    continue
                spread = (Fraction(m[3]), Fraction(m[4]), m[5]) if m[3] else None
                own[key] = _Line(Fraction(m[1]), m[2], spread, m[6], at)
            else:
                faults.append(f"{at}: unknown field {key!r}; expected label, said, all or one of {', '.join(LOCALES)}")
        if block.name in lines:
            faults.append(f"{block.file}:{block.line}: {block.name} stands twice")
        if block.name not in labels:
            faults.append(f"{block.file}:{block.line}: {block.name} has no label")
        if "all" not in own:
            missing = [x for x in LOCALES if x not in own]
            if missing:
                faults.append(f"{block.file}:{block.line}: {block.name} has no line for {', '.join(missing)}")
        lines[block.name] = own
    for name, places in lines.items():
        for line in places.values():
            for unit in (line.unit, *(line.spread[2:] if line.spread else ())):
                if unit not in sizes and unit not in RECORD_SIZES:
                    faults.append(f"{line.at}: {name} is told in the unknown unit {unit!r}")
                elif unit in RECORD_SIZES and unit not in lines:
                    faults.append(f"{line.at}: {name} is told in {unit!r}, which has no block of its own")
    if faults:
        raise LexiconError(faults)
    return Table(labels, said, lines, sizes)


def _build(table: Table, locale: str, overrides: tuple[tuple[str, Fraction], ...]) -> Units:
    out: dict[str, Convention] = {}
    own = dict(overrides)

    def worth(number: Fraction, unit: str) -> tuple[str, Fraction]:
        """(dimension, size) of `number unit`."""
        if unit in table.sizes:
            dimension, size = table.sizes[unit]
            return dimension, number * size
        inner = make(unit)
        if inner.millilitres is not None:
            return "volume", number * inner.millilitres
        return "mass", number * (inner.grams or 0)

    def make(word: str) -> Convention:
        if word in out:
            return out[word]
        line = table.lines[word].get(locale) or table.lines[word]["all"]
        if word in own:
            found = Convention(word, locale, table.labels[word], own[word], "ml", own[word], None, None, "own")
            if word in RECORD_SIZES:
                found = Convention(word, locale, table.labels[word], Fraction(1), None, own[word], None, None, "own")
            out[word] = found
            return found
        dimension, size = worth(line.number, line.unit)
        spread = None
        if line.spread is not None:
            low, high, told = line.spread
            spread = worth(low, told)[1], worth(high, told)[1]
        volume = dimension == "volume"
        unit = line.unit if line.unit in RECORD_SIZES and word not in RECORD_SIZES else None
        number = line.number if unit else Fraction(1)
        out[word] = Convention(
            word, locale, table.labels[word], number, unit, size if volume else None, None if volume else size,
            spread, line.source,
        )  # fmt: skip
        return out[word]

    for word in table.lines:
        make(word)
    return Units(locale, MappingProxyType(out))


@lru_cache(maxsize=32)
def _load(locale: str, overrides: tuple[tuple[str, Fraction], ...], folder: Path | None) -> Units:
    return _build(read_table(folder), locale, overrides)


def load_units(
    locale: str = "us", *, overrides: Mapping[str, Number] | None = None, folder: Path | None = None
) -> Units:
    """The units of a place: us, bar (us with the 30 ml ounce), metric, uk (or imperial), au.

    `overrides` gives a user's own sizes in millilitres: {"bar_spoon": 5, "jigger": 50}. Read once for each set, then
    kept. Raises UnitError for a place or a word that is not known, or a size that is not above zero.
    """
    place = locale if locale in LOCALES else ALIASES.get(locale.lower(), locale.lower())
    if place not in LOCALES:
        raise UnitError(f"No conventions are known for {locale!r}.", hint=f"Choose one of {', '.join(LOCALES)}.")
    if not overrides:
        return _load(place, (), folder)
    exact: list[tuple[str, Fraction]] = []
    if overrides:
        table = read_table(folder)
        for word, size in sorted(overrides.items()):
            if (
                word not in table.lines
                or table.sizes.get(table.lines[word].get("all", _NONE).unit, ("", 0))[0] == "mass"
            ):
                known = ", ".join(sorted(w for w in table.lines))
                raise UnitError(f"{word!r} is no measure of volume.", hint=f"Override one of {known}.")
            if not size > 0:
                raise UnitError(f"One {word} cannot be {size} ml.", hint="Give its size in millilitres, above zero.")
            exact.append((word, _exact(size)))
    return _load(place, tuple(exact), folder)


_NONE = _Line(Fraction(1), "", None, "", "")


def registry(folder: Path | None = None) -> UnitRegistry[Fraction]:
    """A new private pint registry that knows the sizes of units.txt and nothing else, exact. Imports pint."""
    from pint import UnitRegistry

    path = (folder or lexicon_folder()) / "units.txt"
    return UnitRegistry(str(path), non_int_type=Fraction, on_redefinition="raise")


def convert(value: Number, unit: str, to: str, units: Units) -> Fraction:
    """`value` of one unit in another, both of the record and of one dimension: convert(2, "cup", "ml", units). Exact.

    Raises UnitError where the two are not of one dimension.
    """
    for size in (units.exact_millilitres, units.exact_grams):
        one, other = size(unit), size(to)
        if one is not None and other is not None:
            return _exact(value) * one / other
    raise UnitError(f"{unit} cannot be told in {to}.", hint="Both must be volumes, or both weights.")
