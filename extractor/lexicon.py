"""Reads and checks the data files of `lexicon/` and gives frozen tables.

Two shapes of file, both plain text, `#` begins a comment line:

Blocks (ingredients/*.txt, kinds.txt, glasses.txt, techniques.txt, tools.txt, ice.txt, classics.txt, a user's own file):

    oloroso sherry
      kind: sherry
      other: oloroso | sherry oloroso
      said: OW L AH R OW S OW SH EH R IY
      strength: 17-22 @eu-sherry

Phrases (talk/*.txt, words.txt): a `[section]` line, then one phrase a line.

All faults of all files are gathered and raised together as one LexiconError, each as `file:line: what`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path
from types import MappingProxyType

from extractor.errors import LexiconError

STATES = ("liquid", "solid", "foam", "thing")
FIGURES = ("strength", "sugar", "acid", "density", "energy", "caffeine", "ph", "capacity", "piece")
LISTS = ("other", "said", "misheard", "forms", "allergens", "may_contain", "cautions", "modifiers")
FLAGS = ("everyday", "house")
SINGLE = ("kind", "parent", "state", "usual", "note", "plural", "technique", "homemade")
# How much a user must be told of a field before it is believed: every figure names its source.
ALLERGENS = (
    "milk", "egg", "fish", "crustacean", "mollusc", "tree nut", "peanut", "wheat", "gluten", "soy", "sesame",
    "celery", "mustard", "sulphites", "lupin",
)  # fmt: skip


_ODD = re.compile(r"[^a-z0-9'%&]+")


@lru_cache(maxsize=8192)  # The same few names are compared all the time.
def plain(text: str) -> str:
    """Lower case, no accents, hyphens and odd apostrophes unified: the form in which names are compared."""
    if not text.isascii():
        text = text.replace("’", "'").replace("œ", "oe").replace("æ", "ae").replace("ø", "o")
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join(_ODD.sub(" ", text.lower()).replace("&", " and ").split())


def identifier(name: str) -> str:
    return plain(name).replace("'", "").replace(" ", "-")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its source key (lexicon/sources.txt); low == high where one value is meant."""

    low: float
    high: float
    source: str


@dataclass(frozen=True, slots=True)
class Usual:
    """The usual amount in one drink."""

    low: float
    high: float
    unit: str
    source: str


@dataclass(frozen=True)
class Entry:
    """One name: an ingredient, a kind, a glass, a technique, a tool, an ice or a classic drink."""

    name: str
    id: str
    file: str
    line: int
    fields: Mapping[str, str]
    lists: Mapping[str, tuple[str, ...]]
    figures: Mapping[str, Figure]
    usual: Usual | None = None
    everyday: bool = False
    """An everyday English word (cherry, port, mint): a name only where its place makes it one."""
    house: bool = False
    """Often home-made: its recipe is worth asking for."""

    @property
    def kind(self) -> str:
        return self.fields["kind"]

    @property
    def others(self) -> tuple[str, ...]:
        return self.lists.get("other", ())

    @property
    def said(self) -> tuple[str, ...]:
        return self.lists.get("said", ())

    @property
    def misheard(self) -> tuple[str, ...]:
        return self.lists.get("misheard", ())

    @property
    def forms(self) -> tuple[str, ...]:
        return self.lists.get("forms", ())


@dataclass(frozen=True)
class Lexicon:
    """All names, frozen. `entry(id)`, `named(text)` and the sections of phrases; nothing here reads talk."""

    ingredients: tuple[Entry, ...]
    kinds: Mapping[str, Entry]
    glasses: tuple[Entry, ...]
    techniques: tuple[Entry, ...]
    tools: tuple[Entry, ...]
    ices: tuple[Entry, ...]
    classics: tuple[Entry, ...]
    sources: Mapping[str, str]
    phrases: Mapping[str, Mapping[str, tuple[str, ...]]]
    folder: str
    own: tuple[Entry, ...] = field(default=())
    """What the user added: read after the lexicon, wins over it."""

    @cached_property
    def by_id(self) -> Mapping[str, Entry]:
        return MappingProxyType({e.id: e for e in (*self.ingredients, *self.own)})

    @cached_property
    def by_name(self) -> Mapping[str, Entry]:
        """Every spelling of every ingredient, in plain form. The publishing name wins over another's other-name."""
        out: dict[str, Entry] = {}
        for e in (*self.ingredients, *self.own):
            for name in e.others:
                out.setdefault(plain(name), e)
        for e in (*self.ingredients, *self.own):
            out[plain(e.name)] = e
        return MappingProxyType(out)

    def named(self, text: str) -> Entry | None:
        return self.by_name.get(plain(text))

    def kind_chain(self, entry: Entry) -> Iterator[Entry]:
        """The entry's kind and that kind's parents, nearest first."""
        key: str | None = entry.fields.get("kind")
        while key is not None:
            kind = self.kinds[key]
            yield kind
            key = kind.fields.get("parent")

    def is_a(self, entry: Entry, kind: str) -> bool:
        return any(k.name == kind for k in self.kind_chain(entry))

    def is_any(self, entry: Entry | None, kinds: Collection[str]) -> bool:
        """Whether an entry is of one of some kinds; what is no entry is of none."""
        return entry is not None and any(k.name in kinds for k in self.kind_chain(entry))

    def is_liquid(self, entry: Entry | None) -> bool:
        """A thing that the lexicon knows to be poured."""
        return entry is not None and self.state(entry) == "liquid"

    def state(self, entry: Entry) -> str:
        """liquid, solid, foam or thing: the entry's own, or that of its kind; a glass, a tool, ice is a thing."""
        if "state" in entry.fields:
            return entry.fields["state"]
        if "kind" not in entry.fields:
            return "thing"
        for kind in self.kind_chain(entry):
            if "state" in kind.fields:
                return kind.fields["state"]
        raise LookupError(f"kind {entry.kind!r} gives no state")

    def figure(self, entry: Entry, key: str) -> Figure | None:
        """The entry's own figure, or that of its kind; None where neither has one."""
        for e in (entry, *self.kind_chain(entry)):
            if key in e.figures:
                return e.figures[key]
        return None

    def usual(self, entry: Entry) -> Usual | None:
        for e in (entry, *self.kind_chain(entry)):
            if e.usual is not None:
                return e.usual
        return None

    def listed(self, entry: Entry, key: str) -> tuple[str, ...]:
        """A list field (allergens, may_contain, cautions) with what its kinds add; `none` in the entry stops that."""
        out: list[str] = []
        for e in (entry, *self.kind_chain(entry)):
            values = e.lists.get(key, ())
            if values == ("none",):
                break
            out += [v for v in values if v not in out]
        return tuple(out)


_NUMBER = r"(\d+(?:\.\d+)?|\d+/\d+)"
_FIGURE = re.compile(rf"{_NUMBER}(?:\s*-\s*{_NUMBER})?\s+@([a-z0-9-]+)$")
_USUAL = re.compile(rf"{_NUMBER}(?:\s*-\s*{_NUMBER})?\s+([a-z_]+)\s+@([a-z0-9-]+)$")


def _number(text: str) -> float:
    return float(Fraction(text)) if "/" in text else float(text)


@dataclass
class _Block:
    name: str
    file: str
    line: int
    fields: dict[str, tuple[int, str]]


def read_blocks(path: Path, faults: list[str]) -> list[_Block]:
    """The blocks of one file; bad lines go to `faults` as `file:line: what`."""
    blocks: list[_Block] = []
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        line = raw.rstrip()
        if not line or line.lstrip().startswith("#"):
            continue
        if not line[0].isspace():
            blocks.append(_Block(line, path.name, number, {}))
            continue
        if not blocks:
            faults.append(f"{path.name}:{number}: a field before any name")
            continue
        key, colon, value = line.strip().partition(":")
        key, value = key.strip(), value.strip()
        if not colon or not value:
            faults.append(f"{path.name}:{number}: expected `field: value`, found {line.strip()!r}")
        elif key in blocks[-1].fields:
            faults.append(f"{path.name}:{number}: {key} stands twice in {blocks[-1].name!r}")
        else:
            blocks[-1].fields[key] = (number, value)
    return blocks


def _entry(block: _Block, faults: list[str]) -> Entry:
    fields: dict[str, str] = {}
    lists: dict[str, tuple[str, ...]] = {}
    figures: dict[str, Figure] = {}
    usual = None
    flags = dict.fromkeys(FLAGS, False)
    for key, (number, value) in block.fields.items():
        at = f"{block.file}:{number}"
        if key in LISTS:
            lists[key] = tuple(v.strip() for v in value.split("|"))
            if not all(lists[key]):
                faults.append(f"{at}: an empty item in {key}")
            for v in lists[key]:
                if key in ("allergens", "may_contain") and v != "none" and v not in ALLERGENS:
                    faults.append(f"{at}: {v!r} is no allergen; expected one of {', '.join(ALLERGENS)}")
        elif key in FLAGS:
            if value != "yes":
                faults.append(f"{at}: {key} is `yes` or not there at all, found {value!r}")
            flags[key] = True
        elif key == "usual":
            m = _USUAL.match(value)
            if m is None:
                faults.append(f"{at}: expected `usual: 0.5-2 fl_oz @source`, found {value!r}")
            else:
                low, high = _number(m[1]), _number(m[2] or m[1])
                usual = Usual(low, high, m[3], m[4])
        elif key in FIGURES:
            m = _FIGURE.match(value)
            if m is None:
                faults.append(f"{at}: expected `{key}: 40 @source` or `{key}: 17-22 @source`, found {value!r}")
            else:
                low, high = _number(m[1]), _number(m[2] or m[1])
                if low > high:
                    faults.append(f"{at}: {key} runs from {low:g} down to {high:g}")
                figures[key] = Figure(low, high, m[3])
        elif key in SINGLE:
            fields[key] = value
        else:
            known = ", ".join(sorted((*LISTS, *FLAGS, *FIGURES, *SINGLE)))
            faults.append(f"{at}: unknown field {key!r}; expected one of {known}")
    if "state" in fields and fields["state"] not in STATES:
        faults.append(f"{block.file}:{block.line}: state {fields['state']!r} is none of {', '.join(STATES)}")
    return Entry(
        name=block.name,
        id=identifier(block.name),
        file=block.file,
        line=block.line,
        fields=MappingProxyType(fields),
        lists=MappingProxyType(lists),
        figures=MappingProxyType(figures),
        usual=usual,
        everyday=flags["everyday"],
        house=flags["house"],
    )


def read_phrases(path: Path, faults: list[str]) -> Mapping[str, tuple[str, ...]]:
    """`[section]` lines and the phrases below each, in order."""
    out: dict[str, list[str]] = {}
    section: str | None = None
    for number, raw in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        if line.startswith("[") and line.endswith("]"):
            section = line[1:-1].strip()
            if section in out:
                faults.append(f"{path.name}:{number}: section [{section}] stands twice")
            out.setdefault(section, [])
        elif section is None:
            faults.append(f"{path.name}:{number}: a phrase before any [section]")
        else:
            out[section].append(line)
    return MappingProxyType({k: tuple(v) for k, v in out.items()})


def lexicon_folder() -> Path:
    """Where the data lies: inside the package when installed, beside it in a checkout."""
    here = Path(__file__).resolve().parent
    inside = here / "_lexicon"
    return inside if inside.is_dir() else here.parent / "lexicon"


def read_entries(path: Path, faults: list[str]) -> tuple[Entry, ...]:
    return tuple(_entry(b, faults) for b in read_blocks(path, faults)) if path.is_file() else ()


_ADDED = ("other", "said", "misheard", "forms")
"""Lists to which a user's block adds; in every other field its word takes the place of ours."""


def _over(own: Entry, ours: Entry) -> Entry:
    """A user's block about a thing that we have: what it says, on top of what we know.

    Otherwise a block that adds one misheard spelling would cost the thing its strength and its allergens.
    """
    lists = dict(ours.lists)
    for key, values in own.lists.items():
        before = lists.get(key, ()) if key in _ADDED else ()
        lists[key] = (*before, *(v for v in values if v not in before))
    return Entry(
        name=own.name,
        id=own.id,
        file=own.file,
        line=own.line,
        fields=MappingProxyType({**ours.fields, **own.fields}),
        lists=MappingProxyType(lists),
        figures=MappingProxyType({**ours.figures, **own.figures}),
        usual=own.usual or ours.usual,
        everyday=own.everyday or ours.everyday,
        house=own.house or ours.house,
    )


def _check(lexicon: Lexicon, faults: list[str]) -> None:
    """Faults that only show once all is read: unknown kinds and sources, and two entries of one name."""
    for e in (*lexicon.ingredients, *lexicon.own):
        at = f"{e.file}:{e.line}"
        if "kind" not in e.fields:
            faults.append(f"{at}: {e.name!r} has no kind")
        elif e.kind not in lexicon.kinds:
            faults.append(f"{at}: {e.name!r} has the unknown kind {e.kind!r}; kinds.txt lists those that are known")
    for k in lexicon.kinds.values():
        parent = k.fields.get("parent")
        if parent is not None and parent not in lexicon.kinds:
            faults.append(f"{k.file}:{k.line}: kind {k.name!r} has the unknown parent {parent!r}")
    groups = (lexicon.ingredients, lexicon.glasses, lexicon.techniques, lexicon.tools, lexicon.ices, lexicon.classics)
    for group in (*groups, tuple(lexicon.kinds.values())):
        seen: dict[str, Entry] = {}
        for e in group:
            if e.id in seen:
                faults.append(f"{e.file}:{e.line}: {e.name!r} stands already at {seen[e.id].file}:{seen[e.id].line}")
            seen.setdefault(e.id, e)
            sources = [(k, f.source) for k, f in e.figures.items()]
            if e.usual is not None:
                sources.append(("usual", e.usual.source))
            for key, source in sources:
                if source not in lexicon.sources:
                    faults.append(f"{e.file}:{e.line}: {key} of {e.name!r} names the unknown source @{source}")
        names = {plain(e.name): e for e in group}
        others: dict[str, Entry] = {}
        for e in group:
            for other in e.others:
                key = plain(other)
                clash = names.get(key) or others.get(key)
                if clash is not None:
                    faults.append(f"{e.file}:{e.line}: other name {other!r} is also {clash.name!r} ({clash.file})")
                others.setdefault(key, e)


@lru_cache(maxsize=4)
def _load(folder: Path, own: tuple[Path, ...], stamps: tuple[int, ...]) -> Lexicon:
    faults: list[str] = []
    ingredients: list[Entry] = []
    for path in sorted((folder / "ingredients").glob("*.txt")):
        ingredients += read_entries(path, faults)
    sources = read_phrases(folder / "sources.txt", faults)
    phrases = {p.stem: read_phrases(p, faults) for p in sorted((folder / "talk").glob("*.txt"))}
    mine: list[Entry] = []
    for path in own:
        mine += read_entries(path, faults)
    ours = {e.id: e for e in ingredients}
    mine = [_over(e, ours[e.id]) if e.id in ours else e for e in mine]
    taken = {e.id for e in mine}
    lexicon = Lexicon(
        ingredients=tuple(e for e in ingredients if e.id not in taken),
        kinds=MappingProxyType({e.name: e for e in read_entries(folder / "kinds.txt", faults)}),
        glasses=read_entries(folder / "glasses.txt", faults),
        techniques=read_entries(folder / "techniques.txt", faults),
        tools=read_entries(folder / "tools.txt", faults),
        ices=read_entries(folder / "ice.txt", faults),
        classics=read_entries(folder / "classics.txt", faults),
        sources=MappingProxyType({k: " ".join(v) for k, v in sources.items()}),
        phrases=MappingProxyType(phrases),
        folder=str(folder),
        own=tuple(mine),
    )
    _check(lexicon, faults)
    if faults:
        raise LexiconError(faults)
    return lexicon


def load_lexicon(folder: Path | None = None, *, own: tuple[Path, ...] = ()) -> Lexicon:
    """The lexicon of `folder` (the project's own by default) with a user's files on top. Read once, then kept.

    Raises LexiconError with every fault of every file.
    """
    folder = folder or lexicon_folder()
    stamps = tuple(p.stat().st_mtime_ns for p in own)
    return _load(folder, own, stamps)
