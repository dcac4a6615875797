"""How long a draft takes from a cold start, against importing spaCy and making its blank English pipeline.

    python tests/benchmarks/cold_start.py [RUNS]

Both are started in turn as programs of their own; the ratio is taken pair by pair, and medians are printed. Run it with
a Python into which Pourword is installed (`pip install .`): an editable checkout is compiled anew where no byte code
may be written.
"""

from __future__ import annotations

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLE = Path(__file__).resolve().parents[2] / "samples" / "boathouse" / "boathouse.vtt"
YARDSTICK = [sys.executable, "-c", "import spacy; spacy.blank('en')"]


def seconds(command: list[str], folder: str) -> float:
    # Not where we were started: in a checkout Python would take the checkout before what is installed.
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, cwd=folder)
    return time.perf_counter() - start


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 11
    with tempfile.TemporaryDirectory() as folder:
        captions = shutil.copy(SAMPLE, folder)
        draft = [sys.executable, "-m", "extractor", "draft", captions]
        seconds(draft, folder)
        seconds(YARDSTICK, folder)
        pairs = [(seconds(draft, folder), seconds(YARDSTICK, folder)) for _ in range(runs)]
    print(f"draft      {statistics.median(d for d, _ in pairs):.2f} s")
    print(f"spaCy      {statistics.median(s for _, s in pairs):.2f} s")
    print(f"ratio      {statistics.median(d / s for d, s in pairs):.2f}  (median of {runs} pairs)")


if __name__ == "__main__":
    main()
