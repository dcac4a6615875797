"""The reading of talk, held against episodes with gold records: given ones, and open ones written for this project.

The floors are what was measured when they were last raised, less a little; they keep a change from costing
more than it brings. The held episodes (tests/talks/held) are measured only by hand:
`python tests/talks/measure.py tests/talks/held`.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from scorer import Tally, caption_text, score_episode
from short_passages import measured_passages

HERE = Path(__file__).parent
FLOORS = {
    ("given", "clean"): {"drinks": 0.98, "f1": 0.98, "amounts": 0.98, "silent": 0.02, "harmed": 0},
    ("open", "clean"): {"drinks": 0.98, "f1": 0.91, "amounts": 0.90, "silent": 0.11, "harmed": 0},
    ("given", "heard"): {"drinks": 0.93, "f1": 0.88, "amounts": 0.85, "silent": 0.18, "harmed": 1},
    ("open", "heard"): {"drinks": 0.95, "f1": 0.79, "amounts": 0.74, "silent": 0.29, "harmed": 1},
    ("given", "recognised"): {"drinks": 0.96, "f1": 0.88, "amounts": 0.79, "silent": 0.17, "harmed": 1},
    ("open", "recognised"): {"drinks": 0.94, "f1": 0.76, "amounts": 0.67, "silent": 0.35, "harmed": 1},
}

SHORT = {"f1": 0.85, "amounts": 0.76, "silent": 0.25}


def measured(folder: Path, kind: str) -> tuple[Tally, list[str]]:
    """The tally over all episodes of a folder that have captions of a kind, and what was wrong in each."""
    from extractor import draft

    tally: Any = Tally()
    notes: list[str] = []
    for gold_file in sorted(folder.glob("*.gold.json")):
        gold = json.loads(gold_file.read_text(encoding="utf-8"))
        captions = gold_file.with_name(gold_file.name.replace(".gold.json", f".{kind}.vtt"))
        if not captions.exists():
            continue
        record = json.loads(draft(captions).model_dump_json())
        score_episode(gold, record, caption_text(captions), kind, tally, notes)
        drinks = {d["name"] for d in record["drinks"]} | {None}
        tally.add("questions of no drink", sum(q["drink"] not in drinks for q in record["questions"]))
    return tally, notes


@pytest.mark.parametrize(("name", "kind"), list(FLOORS))
def test_talks_are_read_at_least_as_well_as_before(name: str, kind: str) -> None:
    floors = FLOORS[name, kind]
    tally, notes = measured(HERE / name, kind)
    told = "\n".join(notes)
    assert not tally["questions of no drink"]
    assert tally["drinks found"] >= floors["drinks"] * tally["drinks gold"], told
    f1 = 2 * tally["ing hit"] / (tally["ing gold"] + tally["ing got"])
    assert f1 >= floors["f1"], f"{f1:.3f}\n{told}"
    amounts = tally["amount right"] / tally["amount gold"]
    assert amounts >= floors["amounts"], f"{amounts:.3f}\n{told}"
    assert tally["silent"] <= floors["silent"] * tally["ing gold"], told
    assert tally["mentions harmed"] <= floors["harmed"], told


def test_short_passages_are_read_at_least_as_well_as_before() -> None:
    tally, notes = measured_passages(HERE / "short" / "open.jsonl")
    told = "\n".join(notes)
    f1 = 2 * tally["ing hit"] / (tally["ing gold"] + tally["ing got"])
    assert f1 >= SHORT["f1"], f"{f1:.3f}\n{told}"
    amounts = tally["amount right"] / tally["amount gold"]
    assert amounts >= SHORT["amounts"], f"{amounts:.3f}\n{told}"
    assert tally["silent"] <= SHORT["silent"] * tally["ing gold"], told
