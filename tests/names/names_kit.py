"""Heard names for tests and benchmarks.

heard_names.jsonl: 214 names, each spoken by two synthetic voices (joe, slt) in a sentence and heard by a general
speech recogniser ("tiny"). heard_elsewhere.jsonl: other names and some of those, spoken by three synthetic voices (joe,
rms, awb) and heard by the recogniser pocketsphinx with its own English model, which knows only words of its dictionary;
where the words around the name were lost too, the sentence was left out. heard_tiny_en.jsonl: names of the written
talks and those of heard_names.jsonl, spoken by awb, rms and slt and heard by Whisper tiny.en. heard_fresh.jsonl: the
same voices and recogniser on other names, some from talks that were held, most from anywhere in the lexicon; nothing
was fitted on these: they tell what to expect of names never seen. `before` and `after` are the words around the name
as they were heard.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from extractor.lexicon import Entry, Lexicon, plain
from extractor.names import Candidate, read_name

HERE = Path(__file__).resolve().parent
FILES = ("heard_names.jsonl", "heard_elsewhere.jsonl", "heard_tiny_en.jsonl", "heard_fresh.jsonl")


@dataclass(frozen=True)
class Item:
    name: str
    heard: str
    before: str
    after: str
    voice: str
    recogniser: str

    @property
    def right(self) -> bool:
        """Heard as it was said."""
        return plain(self.heard) == plain(self.name)


def items(file: str) -> list[Item]:
    out = []
    for line in (HERE / file).read_text(encoding="utf-8").splitlines():
        r = json.loads(line)
        at = r["said"].index(r["name"])
        before = r.get("before", r["said"][:at].strip())
        after = r.get("after", r["said"][at + len(r["name"]) :].strip(" ,."))
        out.append(Item(r["name"], r["heard"], before, after, r["voice"], r["recogniser"]))
    return out


def entry_of(lexicon: Lexicon, name: str) -> Entry | None:
    glasses = (g for g in lexicon.glasses if plain(g.name) == plain(name))
    return lexicon.named(name) or next(glasses, None)


def family(lexicon: Lexicon, entry: Entry) -> str:
    """The name of the entry's kind, the widest but one ("fortified wine", not "drinkable")."""
    if entry.fields.get("kind") not in lexicon.kinds:
        return "glass"
    chain = [k.name for k in lexicon.kind_chain(entry)]
    return chain[-2] if len(chain) > 1 else chain[-1]


@dataclass
class Tally:
    """What came of a set of names. Shares are of the ruined ones."""

    ruined: int = 0
    first: int = 0
    three: int = 0
    applied: int = 0
    wrong: int = 0
    another: int = 0
    """Heard letter for letter as another name ("soda" for sotol): nothing is put right, and nothing in the words tells.
    Counted among those applied, not among the wrong."""
    right: int = 0
    spoiled: int = 0

    def share(self, key: str) -> float:
        return float(getattr(self, key)) / max(1, self.ruined)

    def row(self) -> str:
        shares = ("first", "three", "applied", "wrong", "another")
        parts = [f"{self.ruined:6d}"] + [f"{100 * self.share(k):7.1f}" for k in shares]
        return " ".join([*parts, f"{self.right:6d} {self.spoiled:4d}"])


HEADER = "ruined   first   three applied   wrong another  right  spoiled   (first to another: % of the ruined)"

Reader = Callable[[Item, str], Sequence[Candidate]]


def reader(lexicon: Lexicon) -> Reader:
    def read(item: Item, group: str) -> Sequence[Candidate]:
        return read_name(item.heard, before=item.before, after=item.after, lexicon=lexicon, group=group)

    return read


def tallies(lexicon: Lexicon, every: Iterable[Item], key: Callable[[Item, Entry], str]) -> dict[str, Tally]:
    """Tallies by whatever `key` tells of an item; names that the lexicon has not are left out."""
    out: dict[str, Tally] = {}
    read = reader(lexicon)
    for item in every:
        entry = entry_of(lexicon, item.name)
        if entry is None:
            continue
        t = out.setdefault(key(item, entry), Tally())
        found = read(item, "glass" if entry in lexicon.glasses else "ingredient")
        hits = [c.entry is entry for c in found]
        applied = bool(found) and found[0].apply
        if item.right:
            t.right += 1
            t.spoiled += hits[:1] != [True] or (applied and not hits[0])
        else:
            t.ruined += 1
            t.first += hits[:1] == [True]
            t.three += any(hits[:3])
            t.applied += applied
            as_another = bool(found) and found[0].how in ("exact", "other name")
            t.another += applied and not hits[0] and as_another
            t.wrong += applied and not hits[0] and not as_another
    return out
