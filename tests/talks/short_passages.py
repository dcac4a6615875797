"""Short passages, one or two drinks each, with what a careful editor writes down: as gold records of the talks' form.

A line of a .jsonl file is one passage: `id`, `speaker`, `locale`, `text` and `drinks`. A drink has `name` (null where
it is never told), `glass` (several that would do stand with "|"), `mixing`, `servings`, `ingredients` (name, low, high,
unit; other names that would do behind "|"), `garnishes`, `components` and `asks` (kind, about).

usage: short_passages.py FILE.jsonl ...   prints the figures of each file
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from scorer import Tally, score_episode, vessel

UNNAMED = ["Unnamed drink", "Unnamed drink 2"]


def passages(path: Path) -> Iterator[dict[str, Any]]:
    """The passages of a file, in order."""
    for line in path.read_text(encoding="utf-8").splitlines():
        yield json.loads(line)


def as_gold(passage: dict[str, Any], record: dict[str, Any]) -> dict[str, Any]:
    """The gold record of a passage; of several glasses that would do, the one that the record has."""
    served = {vessel(d["glass"]) for d in record["drinks"]}
    return {"script": passage["text"], "drinks": [_drink(d, served) for d in passage["drinks"]]}


def _drink(drink: dict[str, Any], served: set[str]) -> dict[str, Any]:
    name = drink["name"] or UNNAMED[0]
    glasses = (drink["glass"] or "").split("|")
    return {
        "name": name,
        "also": (drink.get("also") or []) + ([] if drink["name"] else UNNAMED),
        "glass": next((g for g in glasses if vessel(g) in served), glasses[0]) or None,
        "mixing": drink["mixing"],
        "ingredients": [_thing(*i) for i in drink["ingredients"]],
        "garnishes": [_thing(g) for g in drink.get("garnishes") or []],
        "components": [
            {**_thing(c["name"]), "ingredients": [_thing(*i) for i in c["ingredients"]]}
            for c in drink.get("components") or []
        ],
        "asks": [{"kind": kind, "about": about or name} for kind, about, *_ in drink.get("asks") or []],
    }


def _thing(names: str, low: float | None = None, high: float | None = None, unit: str | None = None) -> dict[str, Any]:
    name, *also = names.split("|")
    return {"name": name, "also": also, "low": low, "high": high, "unit": unit}


def measured_passages(path: Path) -> tuple[Any, list[str]]:
    """The tally over all passages of a file, and what was wrong in each."""
    from extractor import draft

    tally: Any = Tally()
    notes: list[str] = []
    for passage in passages(path):
        record = json.loads(draft(passage["text"], locale=passage["locale"]).model_dump_json())
        here: list[str] = []
        score_episode(as_gold(passage, record), record, passage["text"], "clean", tally, here)
        notes += [f"{passage['id']}: {note}" for note in here]
    return tally, notes


def main(files: list[str]) -> None:
    for file in files:
        t, notes = measured_passages(Path(file))
        print(f"-- {file}")
        print(f"drinks found     {t['drinks found']} of {t['drinks gold']}, invented {t.get('drinks extra', 0)}")
        print(f"ingredient F1    {200 * t['ing hit'] / (t['ing gold'] + t['ing got']):.1f} %")
        print(f"amounts right    {100 * t['amount right'] / t['amount gold']:.1f} %")
        print(f"silent errors    {t['silent']} of {t['ing gold']} ingredients")
        print(f"asks recalled    {t['asks hit']} of {t['asks gold']}, not in gold {t['questions not in gold']}")
        print(f"components right {t['component hit']} of {t['component gold']}")
        print(*("   " + n for n in notes), sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
