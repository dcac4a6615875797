"""Reads the wording and rounding tables of `lexicon/publish/` into one frozen `Tables`; all their faults are raised
together.

Blocks and phrases have the syntax of the other lexicon files (`extractor.lexicon`); what a field means is said at the
head of each file.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal, get_args

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_blocks, read_phrases
from extractor.record.episode import QuestionKind, Unit

Column = Literal["ounces", "metric", "both"]
Scales = Literal["measure", "taste", "half", "whole", "stays"]
Sums = Literal["volume", "mass", "count"]


@dataclass(frozen=True, slots=True)
class UnitWords:
    """How one unit is written and multiplied."""

    one: str
    many: str
    bare: str | None
    few: str
    column: Column
    scales: Scales
    sums: Sums


@dataclass(frozen=True, slots=True)
class Fractions:
    """Fractions of one (0 <= value < 1), and by what share of the amount they may miss it."""

    values: tuple[Fraction, ...]
    within: Fraction


@dataclass(frozen=True, slots=True)
class Steps:
    """(below, step) smallest first, and the step of all that is larger."""

    below: tuple[tuple[Fraction, Fraction], ...]
    more: Fraction

    def of(self, value: Fraction) -> Fraction:
        return next((step for limit, step in self.below if value < limit), self.more)


@dataclass(frozen=True, slots=True)
class Rounding:
    """rounding.txt. `worth`: millilitres that one of a unit counts for."""

    worth: Mapping[str, Fraction]
    near: Fraction
    fractions: tuple[Fractions, ...]
    millilitres: Steps
    grams: Steps


@dataclass(frozen=True, slots=True)
class Place:
    name: str
    drink: tuple[str, str] | None
    age: int | None
    locales: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Pack:
    """One size in which something is sold."""

    size: Fraction
    unit: Literal["ml", "g"]
    name: str


@dataclass(frozen=True, slots=True)
class Shelf:
    """One part of a shopping list."""

    name: str
    kinds: tuple[str, ...]
    us: tuple[Pack, ...]
    metric: tuple[Pack, ...]


@dataclass(frozen=True)
class Tables:
    units: Mapping[str, UnitWords]
    rounding: Rounding
    gaps: Mapping[str, str]
    lines: Mapping[str, str]
    private: tuple[str, ...]
    places: Mapping[str, Place]
    shelves: tuple[Shelf, ...]
    cuts: Mapping[str, Fraction]
    """How many peels, slices ... one fruit gives."""
    shared_cuts: frozenset[str]
    """Those that a fruit gives as well as its juice."""
    comes_from: Mapping[str, str]
    """What is bought for a part of it: the egg of an egg white."""
    poured_last: frozenset[str]
    """Kinds that are poured when the ice has done its work: what fizzes. From the figures' own table."""
    with_water: frozenset[str]
    over_ice: frozenset[str]
    """Ways of mixing: their water is put into a batch, or it is served on ice and gets none."""
    fresh: frozenset[str]
    never_cut: frozenset[str]

    def country_of(self, locale: str) -> str:
        """The country of a record's locale; `common` for one that is none's (metric)."""
        return next((key for key, place in self.places.items() if locale in place.locales), "common")

    def say(self, key: str, **words: str) -> str:
        """The sentence `key` of lines.txt, with `words` put in. Raises LookupError for one that is not there."""
        return self.lines[key].format(**words)


GAPS = (*get_args(QuestionKind), "no ingredients", "no name")
LINES = (
    "opening one", "opening many", "opening none", "chapter start", "age", "age unknown", "pregnancy", "food code",
    "left out", "figures", "bold as said", "ounce", "batch first", "batch pour", "batch pour over ice",
    "batch servings",
    "batch water", "batch shaken", "batch fresh", "batch egg", "each glass", "ice stays", "one by one", "dashes",
    "whole",
    "servings assumed", "parts", "made for", "made enough", "made unknown",
)  # fmt: skip


def _units(path: Path, faults: list[str]) -> Mapping[str, UnitWords]:
    out: dict[str, UnitWords] = {}
    for block in read_blocks(path, faults):
        at = f"{block.file}:{block.line}"
        fields = {k: v for k, (_, v) in block.fields.items()}
        for key in fields.keys() - {"one", "many", "bare", "few", "column", "scales", "sums"}:
            faults.append(f"{at}: unknown field {key!r} in {block.name!r}")
        for key, choices in (("column", get_args(Column)), ("scales", get_args(Scales)), ("sums", get_args(Sums))):
            if fields.get(key) not in choices:
                faults.append(f"{at}: {key} of {block.name!r} is none of {', '.join(choices)}")
        if "few" not in fields:
            faults.append(f"{at}: {block.name!r} does not say how `a few` of it is written")
        if ("one" in fields) != ("many" in fields):
            faults.append(f"{at}: {block.name!r} has one of `one` and `many`, and not the other")
        out[block.name] = UnitWords(
            fields.get("one", ""), fields.get("many", ""), fields.get("bare"), fields.get("few", ""),
            fields.get("column", "both"), fields.get("scales", "stays"), fields.get("sums", "count"),  # type: ignore[arg-type]
        )  # fmt: skip
    for unit in get_args(Unit):
        if unit not in out:
            faults.append(f"{path.name}: the unit {unit} of the record has no block")
    for unit in out:
        if unit not in get_args(Unit):
            faults.append(f"{path.name}: {unit} is no unit of the record")
    return MappingProxyType(out)


def _number(text: str, at: str, faults: list[str]) -> Fraction:
    try:
        return Fraction(text)
    except (ValueError, ZeroDivisionError):
        faults.append(f"{at}: {text!r} is no number")
        return Fraction(1)


def _rounding(path: Path, faults: list[str]) -> Rounding:
    worth: dict[str, Fraction] = {}
    fractions: list[Fractions] = []
    steps: dict[str, Steps] = {}
    for block in read_blocks(path, faults):
        numbers = {k: _number(v, f"{block.file}:{n}", faults) for k, (n, v) in block.fields.items() if "|" not in v}
        if block.name == "worth":
            worth = numbers
        elif block.name.startswith("fractions "):
            number, values = block.fields.get("values", (block.line, ""))
            found = tuple(_number(v.strip(), f"{block.file}:{number}", faults) for v in values.split("|") if v.strip())
            if not found or sorted(found) != list(found) or not all(0 <= f < 1 for f in found):
                faults.append(f"{block.file}:{number}: fractions are given in order, from 0 to less than 1")
            fractions.append(Fractions(found, numbers.get("within", Fraction(0))))
        elif block.name.startswith("steps "):
            below = tuple((Fraction(k[6:]), v) for k, v in numbers.items() if re.fullmatch(r"below \d+", k))
            if "more" not in numbers or list(below) != sorted(below):
                faults.append(f"{block.file}:{block.line}: steps are given smallest first, and end in `more`")
            steps[block.name[6:]] = Steps(below, numbers.get("more", Fraction(1)))
        else:
            faults.append(f"{block.file}:{block.line}: unknown block {block.name!r}")
    for name, missing in (("near", "near" not in worth), ("fractions", not fractions)):
        if missing:
            faults.append(f"{path.name}: {name} is missing")
    for name in {"millilitres", "grams"} - steps.keys():
        faults.append(f"{path.name}: the steps of {name} are missing")
    near = worth.pop("near", Fraction(0))
    none = Steps((), Fraction(1))
    return Rounding(
        MappingProxyType(worth), near, tuple(fractions), steps.get("millilitres", none), steps.get("grams", none)
    )


def _places(path: Path, faults: list[str]) -> Mapping[str, Place]:
    out: dict[str, Place] = {}
    for block in read_blocks(path, faults):
        fields = {k: v for k, (_, v) in block.fields.items()}
        drink = tuple(w.strip() for w in fields["drink"].split("|")) if "drink" in fields else None
        if drink is not None and len(drink) != 2:
            faults.append(f"{block.file}:{block.line}: the drink of {block.name!r} is given as `one | many`")
            drink = None
        age = fields.get("age")
        if "name" not in fields or (age is not None and not age.isdigit()):
            faults.append(f"{block.file}:{block.line}: {block.name!r} has no name, or an age that is no number")
        locales = tuple(x.strip() for x in fields.get("locales", "").split("|") if x.strip())
        out[block.name] = Place(
            fields.get("name", ""),
            (drink[0], drink[1]) if drink else None,
            int(age) if age and age.isdigit() else None,
            locales,
        )
    if "common" not in out:
        faults.append(f"{path.name}: the place `common` is missing")
    return MappingProxyType(out)


_PACK = re.compile(r"(\d+) (ml|g) (.+)$")


@dataclass
class _Shop:
    shelves: tuple[Shelf, ...]
    cuts: Mapping[str, Fraction]
    shared: frozenset[str]
    comes_from: Mapping[str, str]


def _shop(path: Path, faults: list[str]) -> _Shop:
    out: list[Shelf] = []
    cuts: dict[str, Fraction] = {}
    shared: frozenset[str] = frozenset()
    comes_from: dict[str, str] = {}
    for block in read_blocks(path, faults):
        if block.name == "cuts":
            cuts = {k: _number(v, f"{block.file}:{n}", faults) for k, (n, v) in block.fields.items()}
            continue
        if block.name == "shared":
            shared = frozenset(block.fields)
            continue
        if block.name == "comes from":
            comes_from = {k: v for k, (_, v) in block.fields.items()}
            continue
        packs: dict[str, tuple[Pack, ...]] = {}
        for key in ("us", "metric", "sold"):
            number, value = block.fields.get(key, (block.line, ""))
            found = []
            for one in value.split("|") if value else ():
                m = _PACK.match(one.strip())
                if m is None:
                    faults.append(f"{block.file}:{number}: expected `750 ml bottle`, found {one.strip()!r}")
                else:
                    found.append(Pack(Fraction(m[1]), m[2], m[3]))  # type: ignore[arg-type]
            packs[key] = tuple(found)
        for key in block.fields.keys() - {"kinds", "us", "metric", "sold"}:
            faults.append(f"{block.file}:{block.fields[key][0]}: unknown field {key!r}")
        kinds = tuple(k.strip() for k in block.fields.get("kinds", (0, ""))[1].split("|") if k.strip())
        out.append(Shelf(block.name, kinds, packs["us"] or packs["sold"], packs["metric"] or packs["sold"]))
    if not out or out[-1].kinds:
        faults.append(f"{path.name}: the last part has no kinds, so that nothing is left over")
    for cut in shared - cuts.keys():
        faults.append(f"{path.name}: {cut} is shared, and how many a fruit gives is not said")
    return _Shop(tuple(out), MappingProxyType(cuts), shared, MappingProxyType(comes_from))


def _one_each(path: Path, wanted: tuple[str, ...], faults: list[str]) -> Mapping[str, str]:
    found = {key: " ".join(words) for key, words in read_phrases(path, faults).items()}
    for key in wanted:
        if not found.get(key):
            faults.append(f"{path.name}: section [{key}] is missing")
    return MappingProxyType(found)


@lru_cache(maxsize=4)
def _load(folder: Path, figures: Path) -> Tables:
    faults: list[str] = []
    shop = _shop(folder / "shopping.txt", faults)
    scaling = read_phrases(folder / "scaling.txt", faults)
    for key in ("with water", "over ice", "fresh", "whole"):
        if not scaling.get(key):
            faults.append(f"scaling.txt: section [{key}] is missing")
    tables = Tables(
        units=_units(folder / "units.txt", faults),
        rounding=_rounding(folder / "rounding.txt", faults),
        gaps=_one_each(folder / "gaps.txt", GAPS, faults),
        lines=_one_each(folder / "lines.txt", LINES, faults),
        private=read_phrases(folder / "private.txt", faults).get("begins with", ()),
        places=_places(folder / "places.txt", faults),
        shelves=shop.shelves,
        cuts=shop.cuts,
        shared_cuts=shop.shared,
        comes_from=shop.comes_from,
        with_water=frozenset(scaling.get("with water", ())),
        over_ice=frozenset(scaling.get("over ice", ())),
        fresh=frozenset(scaling.get("fresh", ())),
        never_cut=frozenset(scaling.get("whole", ())),
        poured_last=frozenset(read_phrases(figures / "contents.txt", faults).get("after ice", ())),
    )
    if not tables.poured_last:
        faults.append("contents.txt: section [after ice] is missing")
    if faults:
        raise LexiconError(faults)
    return tables


def load_tables(folder: Path | None = None) -> Tables:
    """The tables of a lexicon's folder; the project's own where that folder has none. Read once, then kept.

    Raises LexiconError with every fault of every table.
    """
    own = lexicon_folder()
    folder = folder or own
    publish, figures = folder / "publish", folder / "figures"
    return _load(publish if publish.is_dir() else own / "publish", figures if figures.is_dir() else own / "figures")
