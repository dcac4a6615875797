"""Reads the same phrases with Pourword and with the general-purpose readers that a user could pick instead.

    python tests/benchmarks/measures.py [--python OTHER/bin/python] [--write extractor/measures/BENCHMARK.md]

The other readers are no dependency of the project; they are looked for with `--python`, an interpreter that has them:

    python -m venv /somewhere && /somewhere/bin/pip install quantulum3 text2num numerizer number-parser text2digits \\
        word2number words2num unit-parse pint recognizers-text-number recognizers-text-number-with-unit

Phrases: those of extractor/measures/corpus with one amount or number, and those that must give nothing; apart from
them the phrases of tests/measures/fresh.txt, which were written after the rules.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
sys.path[:0] = [str(ROOT), str(HERE.parent / "measures"), str(HERE)]

from measure_corpus import FOLDER, Case, all_cases, cases  # noqa: E402
from measures_readers import READERS  # noqa: E402

UNITS = {
    "fl_oz": ("fl_oz", "ounce", "fluid ounce", "fluid_ounce", "oz", "ounces", "floz", "fl oz"),
    "oz_wt": ("oz_wt", "ounce", "ounces", "oz"),
    "ml": (
        "ml",
        "millilitre",
        "milliliter",
        "mil",
        "mils",
        "mls",
        "millilitres",
        "milliliters",
        "cc",
        "cubic centimetre",
    ),
    "cl": ("cl", "centilitre", "centiliter", "centilitres", "centiliters", "cls"),
    "l": ("l", "litre", "liter", "litres", "liters"),
    "g": ("g", "gram", "grams", "gm", "gms", "gramme", "grammes"),
    "kg": ("kg", "kilogram", "kilo", "kilos", "kilograms", "kilogramme"),
    "lb": ("lb", "pound", "pounds", "lbs", "pound-mass"),
    "leaf": ("leaf", "leaves"),
    "dash": ("dash", "dashes"),
    "pinch": ("pinch", "pinches"),
    "splash": ("splash", "splashes"),
    "bar_spoon": ("bar_spoon", "bar spoon", "barspoon", "bar", "barspoons", "bar spoons"),
    "tsp": ("tsp", "teaspoon", "teaspoons", "tsps"),
    "tbsp": ("tbsp", "tablespoon", "tablespoons", "tbs", "tbsps"),
}


@dataclass(frozen=True)
class Score:
    """Shares in per cent: value right, value and unit right, a wrong number given."""

    value: float
    both: float
    wrong: float


def told(unit: str | None) -> tuple[str, ...]:
    if unit is None:
        return ("",)
    return UNITS.get(unit, (unit, unit + "s", unit + "es"))


def wanted() -> list[tuple[str, list[Case]]]:
    """The sets of phrases, each with the cases that every reader can be asked: one amount or number, or nothing."""

    def fit(c: Case) -> bool:
        a = c.answer
        plain = a.kind in ("amount", "number") and a.low is not None and a.key("convention") is None
        return (plain and not a.flags & {"doubtful", "thing"}) or a.kind == "nothing"

    corpus = [c for c in all_cases() if fit(c)]
    fresh = [c for c in cases(HERE.parent / "measures" / "fresh.txt") if fit(c)]
    return [("corpus", corpus), ("fresh", fresh)]


def score(asked: list[Case], found: list[list[tuple[float, float, str]]]) -> Score:
    value = both = wrong = 0
    for case, got in zip(asked, found, strict=True):
        low, high = case.answer.low, case.answer.high
        if low is None or high is None:
            value, both, wrong = value + (not got), both + (not got), wrong + bool(got)
            continue
        ends = (got[0][0], got[-1][1]) if len(got) in (1, 2) else None
        right = ends is not None and (len(got) == 1 or low != high)
        right = (
            right
            and ends is not None
            and abs(ends[0] - low) < 1e-6 * (1 + low)
            and abs(ends[1] - high) < 1e-6 * (1 + high)
        )
        unit = right and got[-1][2] in told(case.answer.unit)
        value, both, wrong = value + bool(right), both + bool(unit), wrong + bool(got and not right)
    n = len(asked)
    return Score(100 * value / n, 100 * both / n, 100 * wrong / n)


def run(python: str, name: str, phrases: list[str]) -> dict[str, object]:
    with tempfile.NamedTemporaryFile("w", suffix=".json", encoding="utf-8", delete=False) as file:
        json.dump(phrases, file)
    try:
        here = {**os.environ, "PYTHONPATH": str(ROOT)} if name == "pourword" else dict(os.environ)
        done = subprocess.run(
            [python, str(HERE / "measures_readers.py"), name, file.name],
            capture_output=True,
            text=True,
            env=here,
            check=False,
        )
        if done.returncode:
            return {"missing": done.stderr.strip().splitlines()[-1]}
        return dict(json.loads(done.stdout.strip().splitlines()[-1]))
    finally:
        os.unlink(file.name)


def version(python: str, names: str) -> str:
    out = []
    for name in names.split(","):
        package = {"recognizers-text": "recognizers-text-number"}.get(name.strip(), name.strip())
        if package in ("numbers", "dimensions"):
            continue
        if package == "pourword":
            out.append(metadata.version("pourword") if _installed("pourword") else "this")
            continue
        code = f"from importlib.metadata import version; print(version({package!r}))"
        done = subprocess.run([python, "-c", code], capture_output=True, text=True, check=False)
        out.append(done.stdout.strip())
    return " + ".join(v for v in out if v)


def _installed(name: str) -> bool:
    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def table(python: str) -> str:
    sets = wanted()
    phrases = [c.phrase for _, asked in sets for c in asked]
    rows = []
    for name in READERS:
        got = run(sys.executable if name == "pourword" else python, name, phrases)
        if "missing" in got:
            print(f"{name}: not here ({got['missing']})", file=sys.stderr)
            continue
        found, at, cells = got["found"], 0, []
        assert isinstance(found, list)
        for _, asked in sets:
            s = score(asked, found[at : at + len(asked)])
            at += len(asked)
            cells += [f"{s.value:.1f}", f"{s.both:.1f}", f"{s.wrong:.1f}"]
        speed = len(phrases) / float(str(got["warm"]))
        rows.append([name, version(python, name), *cells, f"{speed:,.0f}", f"{float(str(got['first'])):.2f}"])
        print(" | ".join(rows[-1]), file=sys.stderr)
    counts = [f"{len(asked)} {name}" for name, asked in sets]
    heads = ["reader", "version"]
    heads += [f"{label}, {name}" for name, _ in sets for label in ("value", "value and unit", "wrong")]
    heads += ["phrases/s", "first answer, s"]
    lines = [" | ".join(heads), " | ".join("---" if n < 2 else "---:" for n in range(len(heads)))]
    lines += [" | ".join(row) for row in rows]
    return f"Phrases: {' and '.join(counts)}.\n\n" + "\n".join(f"| {line} |" for line in lines) + "\n"


HEAD = """# Reading measures: Pourword and general-purpose readers on the same phrases

Made by `python tests/benchmarks/measures.py` (its head says how to install the others). Shares are per cent of the
phrases: `value` the number, or both ends of the range, right and no other number given (for a phrase that holds no
measure: nothing given); `value and unit` the unit too; `wrong` a number given that is not the one said. The corpus
stands beside the rules and was mended with them, so its figures for Pourword are no estimate; the `fresh` phrases
were written after the rules and read blind once, and what they showed was mended since, so that they too flatter
Pourword: on the blind reading 171 of 177 were as written down beforehand, and of 163 further phrases (in
tests/measures/fresh_amounts.txt) 159. Speed is CPU time, warm; `first answer` is import and one phrase, CPU time too.
Readers that know no units are given the word behind the number.

"""


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--python", default=sys.executable, help="an interpreter that has the other readers")
    ask.add_argument("--write", type=Path, help="the file to write the table to, as Markdown")
    given = ask.parse_args()
    assert FOLDER.is_dir()
    text = HEAD + table(given.python)
    if given.write:
        given.write.write_text(text, encoding="utf-8")
    else:
        print(text)


if __name__ == "__main__":
    main()
