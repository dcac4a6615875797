"""Names given back, by voice and by family, on names that three recognisers heard.

usage: python tests/benchmarks/names_hearing.py
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "names")]

from names_kit import FILES, HEADER, entry_of, family, items, tallies  # noqa: E402

from extractor.lexicon import load_lexicon  # noqa: E402


def main() -> None:
    lexicon = load_lexicon()
    for file in FILES:
        every = items(file)
        lacking = sorted({i.name for i in every if entry_of(lexicon, i.name) is None})
        print(f"\n{file}: {len(every)} heard; not in the lexicon: {', '.join(lacking) or 'none'}")
        print(f"{'voice':16} {HEADER}")
        for voice, t in sorted(tallies(lexicon, every, lambda i, e: i.voice).items()):
            print(f"{voice:16} {t.row()}")
        print(f"{'family':16} {HEADER}")
        for kind, t in sorted(tallies(lexicon, every, lambda i, e: family(lexicon, e)).items()):
            print(f"{kind:16} {t.row()}")


if __name__ == "__main__":
    main()
