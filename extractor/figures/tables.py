"""Reads the rule tables of `lexicon/figures/` into one frozen `Tables`; all their faults are raised together.

The block files have the syntax of the other lexicon files (`extractor.lexicon.read_blocks`); a value is

    14 @source            one number           45-60 @source      a range
    -1.2 1.2 0.1 @source  a row of numbers     milk | egg         words

What a field means is said at the head of each file and used in the module that the file is named for.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from extractor.errors import LexiconError
from extractor.lexicon import Figure, Lexicon, lexicon_folder, read_blocks, read_phrases

BLOCKS = (
    "acids", "allergens", "balance", "bounds", "caution_signs", "dilution", "energy", "ice", "keeps", "measures",
    "nuts", "solubility", "standard_drinks", "syrups",
)  # fmt: skip
PHRASES = ("allergen_words", "contents", "sources")

_NUM = r"-?\d+(?:\.\d+)?"
_RANGE = re.compile(rf"({_NUM})(?:\s*-\s*({_NUM}))?\s+@([a-z0-9-]+)$")
_SERIES = re.compile(rf"({_NUM}(?:\s+{_NUM})+)\s+@([a-z0-9-]+)$")


@dataclass(frozen=True)
class Row:
    """One block of a table: its numbers with their source, its rows of numbers, and its words."""

    name: str
    where: str
    figures: Mapping[str, Figure]
    series: Mapping[str, tuple[tuple[float, ...], str]]
    words: Mapping[str, tuple[str, ...]]

    def figure(self, key: str) -> Figure:
        """The number of that field. Raises LookupError: a table that lacks it is wrong, there is no default."""
        if key not in self.figures:
            raise LookupError(f"{self.where}: {self.name!r} gives no {key}")
        return self.figures[key]

    def listed(self, key: str) -> tuple[str, ...]:
        return self.words.get(key, ())

    def word(self, key: str) -> str | None:
        words = self.words.get(key)
        return words[0] if words else None


Table = Mapping[str, Row]
Phrases = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Tables:
    """The rule tables, one attribute a file of `lexicon/figures/`; `cautions` is `lexicon/cautions.txt`."""

    acids: Table
    allergens: Table
    balance: Table
    bounds: Table
    caution_signs: Table
    dilution: Table
    energy: Table
    ice: Table
    keeps: Table
    measures: Table
    nuts: Table
    solubility: Table
    standard_drinks: Table
    syrups: Table
    allergen_words: Phrases
    contents: Phrases
    sources: Mapping[str, str]
    cautions: Phrases


def _row(name: str, file: str, line: int, fields: Mapping[str, tuple[int, str]]) -> Row:
    figures: dict[str, Figure] = {}
    series: dict[str, tuple[tuple[float, ...], str]] = {}
    words: dict[str, tuple[str, ...]] = {}
    for key, (_, value) in fields.items():
        if m := _RANGE.match(value):
            low = float(m[1])
            figures[key] = Figure(low, float(m[2]) if m[2] else low, m[3])
        elif m := _SERIES.match(value):
            series[key] = (tuple(float(n) for n in m[1].split()), m[2])
        else:
            words[key] = tuple(w.strip() for w in value.split("|"))
    frozen = (MappingProxyType(figures), MappingProxyType(series), MappingProxyType(words))
    return Row(name, f"{file}:{line}", *frozen)


def _table(path: Path, faults: list[str]) -> Table:
    out: dict[str, Row] = {}
    for block in read_blocks(path, faults):
        if block.name in out:
            faults.append(f"{block.file}:{block.line}: {block.name!r} stands twice")
        row = _row(block.name, block.file, block.line, block.fields)
        for key, words in row.words.items():
            if any("@" in w for w in words) or not all(words):
                faults.append(f"{row.where}: {key} of {row.name!r} is neither a number with its source nor words")
        for key, figure in row.figures.items():
            if figure.low > figure.high:
                faults.append(f"{row.where}: {key} of {row.name!r} runs from {figure.low:g} down to {figure.high:g}")
        out[block.name] = row
    return MappingProxyType(out)


@lru_cache(maxsize=8)
def _load(folder: Path, cautions: Path) -> Tables:
    faults: list[str] = []
    blocks = {name: _table(folder / f"{name}.txt", faults) for name in BLOCKS}
    phrases = {name: read_phrases(folder / f"{name}.txt", faults) for name in PHRASES}
    sources = {key: " ".join(words) for key, words in phrases["sources"].items()}
    for table in blocks.values():
        for row in table.values():
            named = [f.source for f in row.figures.values()] + [source for _, source in row.series.values()]
            for source in named:
                if source not in sources:
                    faults.append(f"{row.where}: {row.name!r} names the unknown source @{source}")
    warned = read_phrases(cautions, faults) if cautions.is_file() else MappingProxyType({})
    if faults:
        raise LexiconError(faults)
    return Tables(
        **blocks,
        allergen_words=phrases["allergen_words"],
        contents=phrases["contents"],
        sources=MappingProxyType(sources),
        cautions=warned,
    )


def load_tables(folder: Path | None = None) -> Tables:
    """The tables of a lexicon's folder; the project's own where that folder has none. Read once, then kept.

    Raises LexiconError with every fault of every table.
    """
    own = lexicon_folder()
    folder = folder or own
    figures = folder / "figures"
    cautions = folder / "cautions.txt"
    return _load(
        figures if figures.is_dir() else own / "figures",
        cautions if cautions.is_file() else own / "cautions.txt",
    )


def tables_of(lexicon: Lexicon) -> Tables:
    return load_tables(Path(lexicon.folder))
