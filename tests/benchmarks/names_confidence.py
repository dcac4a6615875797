"""Fits the weights of extractor/names/decide.py, and tells how honest the confidence is on names left out of the fit.

usage: python tests/benchmarks/names_confidence.py

Items: the heard names of both recognisers that are no exact names, each once as it is, and once with the right name
taken out of what was found (then every answer is wrong), which counts LEFT_OUT as much; and pieces of clean talks
without a name, where every answer is wrong too, for of the many windows tried in a talk most hold none. Eight folds by
name.
"""

from __future__ import annotations

import re
import sys
import zlib
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "names")]

from names_kit import FILES, items  # noqa: E402

from extractor.lexicon import Lexicon, load_lexicon, plain  # noqa: E402
from extractor.names import decide, exact_spans, load_hearing  # noqa: E402
from extractor.names.rank import Place, matches  # noqa: E402

LEFT_OUT = 0.1
CHATTER = 0.05
"""A piece of chatter counts so much."""
PIECES = 3000
FOLDS = 8
RIDGE = 0.5
SIGNS = ("BASE", "COST", "GAP", "WEIGHT", "CONFLICT", "AGREE", "WORD", "ODD", "LOCAL")
Table = NDArray[np.float64]


def signs(e: decide.Evidence) -> list[float]:
    weight = min(e.weight, decide.WEIGHT_AT_MOST)
    return [1.0, e.cost, e.gap, weight, e.conflict, e.agree, float(e.word), e.odd, e.local]


def chatter(count: int) -> list[tuple[str, ...]]:
    """Pieces of 1 to 5 plain words from clean talks, evenly spread; names among them are sorted out by the caller."""
    words: list[str] = []
    for folder in ("given", "open"):
        for file in sorted((HERE.parent / "talks" / folder).glob("*.clean.vtt")):
            lines = file.read_text(encoding="utf-8").splitlines()[1:]
            words += plain(" ".join(re.sub("<[^>]*>", "", x) for x in lines if "-->" not in x)).split()
    step = len(words) // count
    return [tuple(words[i * step : i * step + 1 + i % 5]) for i in range(count)]


def table(lexicon: Lexicon) -> tuple[Table, Table, Table, list[str]]:
    """Signs, right or not, weight, and name of each item."""
    hearing = load_hearing(lexicon)
    rows: list[tuple[list[float], bool, float, str]] = []
    for item in (i for file in FILES for i in items(file)):
        words = plain(item.heard).split()
        while len(words) > 1 and words[-1] in hearing.words["breath"]:
            words.pop()
        entry = lexicon.named(item.name)
        if entry is None or not words:
            continue
        found = matches(hearing, [Place(tuple(words), (len(words),))])[0][0]
        others = [m for m in found if m.form.entry is not entry]
        exact = "".join(hearing.key(w) for w in words) in hearing.exact
        text = " ".join(words)
        if found and not exact:
            e = decide.evidence(hearing, text, found)
            rows.append((signs(e), found[0].form.entry is entry, 1.0, item.name))
        if others:
            rows.append((signs(decide.evidence(hearing, text, others)), False, LEFT_OUT, item.name))
    for piece in chatter(PIECES):
        found = matches(hearing, [Place(piece, (len(piece),))])[0][0]
        named = any(s.group == "ingredient" for s in exact_spans(piece, hearing, ()))
        if found and not named:
            text = " ".join(piece)
            e = decide.evidence(hearing, text, found)
            if not e.common:
                rows.append((signs(e), False, CHATTER, text))
    columns = list(zip(*rows, strict=True))
    return np.array(columns[0]), np.array(columns[1], dtype=float), np.array(columns[2]), list(columns[3])


def fit(x: Table, y: Table, weight: Table) -> Table:
    """Logistic regression by Newton's method, standardised, with a small ridge."""
    mean, spread = x.mean(axis=0), x.std(axis=0)
    mean[0], spread[0] = 0.0, 1.0
    spread[spread < 1e-9] = 1.0
    z = (x - mean) / spread
    ridge = RIDGE * np.eye(x.shape[1])
    ridge[0, 0] = 1e-6
    w = np.zeros(x.shape[1])
    for _ in range(60):
        p = 1 / (1 + np.exp(-z @ w))
        slope = z.T @ (weight * (y - p)) - ridge @ w
        curve = (z * (weight * p * (1 - p))[:, None]).T @ z + ridge
        w = w + np.linalg.solve(curve, slope)
    out = w / spread
    out[0] = w[0] - (w * mean / spread)[1:].sum()
    return out


def by_name(x: Table, y: Table, weight: Table, names: list[str]) -> Table:
    """The confidence of each item from a fit that has not seen its name."""
    fold = np.array([zlib.crc32(n.encode()) % FOLDS for n in names])
    sure: Table = np.zeros(len(y))
    for k in range(FOLDS):
        rest = fold != k
        w = fit(x[rest], y[rest], weight[rest])
        sure[~rest] = 1 / (1 + np.exp(-x[~rest] @ w))
    return sure


def main(*_: Any) -> None:
    x, y, weight, names = table(load_lexicon())
    print("fitted:", ", ".join(f"{n} {v:.2f}" for n, v in zip(SIGNS, fit(x, y, weight), strict=True)))
    print("in use:", ", ".join(f"{n} {getattr(decide, n):.2f}" for n in SIGNS))
    sure, whole = by_name(x, y, weight, names), weight == 1
    print("\nconfidence   items   right %   mean confidence %")
    for low, high in ((0, 0.1), (0.1, 0.3), (0.3, 0.5), (0.5, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 0.95), (0.95, 1.01)):
        k = whole & (sure >= low) & (sure < high)
        if k.any():
            print(f"{low:.2f}-{min(high, 1):.2f} {k.sum():10d} {100 * y[k].mean():9.1f} {100 * sure[k].mean():12.1f}")
    for least in (0.85, decide.APPLY, 0.95):
        k = whole & (sure >= least)
        print(f"from {least}: {100 * k.sum() / whole.sum():.0f} % of the items, {100 * y[k].mean():.1f} % right")


if __name__ == "__main__":
    main()
