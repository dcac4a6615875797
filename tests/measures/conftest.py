"""Lets the tests of this folder import measure_corpus.py, the reader of the corpus, by its name."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
