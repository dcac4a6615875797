"""Simple ways to find a misheard name, beside ours: right and wrong first answers, and time for one name.

usage: python tests/benchmarks/names_baselines.py

    spelling     rapidfuzz ratio over all spellings of all names
    keys         Metaphone-style keys (consonants by their sound, no vowels), nearest key by edit distance
    CMU phones   edit distance over phones, from the dictionary, and from the project's letter rules where it has none
    Pourword     read_name, with the words around

Each way answers with one name for every ruined one; "right" and "first three" are shares of those. Times are of the
processor, warm.
"""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "names")]

from names_kit import FILES, Item, items  # noqa: E402
from rapidfuzz import fuzz, process  # noqa: E402
from rapidfuzz.distance import Levenshtein  # noqa: E402

from extractor.lexicon import Entry, Lexicon, load_lexicon, plain  # noqa: E402
from extractor.names import load_hearing, read_name  # noqa: E402

Way = Callable[[Item], Sequence[Entry | None]]
KEY_RULES = (
    ("gh|(?<=w)h", ""), ("ph", "f"), ("sch|sh|ch|tch", "x"), ("th", "0"), ("c(?=[eiy])", "s"), ("ck|[cq]", "k"),
    ("g(?=[eiy])", "j"), ("dg", "j"), ("x$", "ks"), ("z", "s"), ("v", "f"), ("d", "t"), ("b", "p"),
    ("(?<=.)[aeiouyhw]", ""),
)  # fmt: skip


def key(text: str) -> str:
    """A Metaphone-style key: letters by their usual sound, doubles once, vowels only at the head."""
    letters = re.sub(r"[^a-z]", "", plain(text))
    for pattern, instead in KEY_RULES:
        letters = re.sub(pattern, instead, letters)
    return re.sub(r"(.)\1+", r"\1", letters)


def spellings(lexicon: Lexicon) -> list[tuple[str, Entry]]:
    return [(plain(n), e) for e in lexicon.ingredients for n in (e.name, *e.others)]


def nearest(choices: Sequence[str], entries: Sequence[Entry], text: str, scorer: object) -> list[Entry]:
    found = process.extract(text, choices, scorer=scorer, limit=12)  # type: ignore[call-overload]
    out: list[Entry] = []
    for _, _, i in found:
        if entries[i] not in out:
            out.append(entries[i])
    return out


def ways(lexicon: Lexicon) -> dict[str, Way]:
    every = spellings(lexicon)
    entries = [e for _, e in every]
    texts = [t for t, _ in every]
    keys = [key(t) for t in texts]
    hearing = load_hearing(lexicon)

    def phones(text: str) -> str:
        return "".join(chr(64 + c) for c in hearing.say(plain(text)))

    said = [phones(t) for t in texts]
    distance = Levenshtein.normalized_distance
    return {
        "spelling": lambda i: nearest(texts, entries, plain(i.heard), fuzz.ratio),
        "keys": lambda i: nearest(keys, entries, key(i.heard), distance),
        "CMU phones": lambda i: nearest(said, entries, phones(i.heard), distance),
        "Pourword": lambda i: [c.entry for c in read_name(i.heard, before=i.before, after=i.after, lexicon=lexicon)],
    }


def main() -> None:
    lexicon = load_lexicon()
    for file in FILES:
        ruined = [i for i in items(file) if not i.right and lexicon.named(i.name) is not None]
        print(f"\n{file}: {len(ruined)} ruined names\n{'way':12} right %  first three %  wrong %  ms a name")
        for name, way in ways(lexicon).items():
            way(ruined[0])
            start = time.process_time()
            answers = [way(i) for i in ruined]
            spent = 1000 * (time.process_time() - start) / len(ruined)
            wanted = [lexicon.named(i.name) for i in ruined]
            first = sum(a[:1] == [w] for a, w in zip(answers, wanted, strict=True)) / len(ruined)
            three = sum(w in a[:3] for a, w in zip(answers, wanted, strict=True)) / len(ruined)
            print(f"{name:12} {100 * first:7.1f} {100 * three:14.1f} {100 * (1 - first):8.1f} {spent:10.2f}")


if __name__ == "__main__":
    main()
