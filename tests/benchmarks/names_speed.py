"""How long it takes to find the names of a talk, and how that grows with the lexicon.

usage: python tests/benchmarks/names_speed.py

A talk of 2,000 words is made of chatter and of names of the lexicon behind measures, every third name ruined. It is
read against 1,500 names, and against the same with made-up names added up to 15,000. Times are of the processor, the
best of several warm runs.
"""

from __future__ import annotations

import random
import time
from dataclasses import replace
from types import MappingProxyType

from extractor.lexicon import Entry, Lexicon, load_lexicon, plain
from extractor.names import Slot, find_names, load_hearing

CHATTER = """so the thing is that my aunt had this lovely little bar down by the harbour and everybody who came in
wanted the same drink and we never wrote it down and now you give that a good long stir until the outside of the glass
is frosty and if you only take one thing from today it is that you should taste it before you pour it out for people
because the ice in your freezer is not the same as mine and that really does matter more than anything else we talk
about"""
ONSETS = "b d f g k l m n p r s t v z ch sh br tr kl"
VOWELS = "a e i o u ai ou"
CODAS = ("", "n", "r", "l", "s", "t", "m")
MEASURE = "then three quarters of an ounce of"
HEADS = ("syrup", "liqueur", "bitters", "juice", "cordial", "vermouth", "rum", "")


def made_up(count: int, rng: random.Random) -> tuple[Entry, ...]:
    """Entries with invented names of one or two words."""
    syllables = [a + b + c for a in ONSETS.split() for b in VOWELS.split() for c in CODAS]
    names: set[str] = set()
    while len(names) < count:
        word = "".join(rng.choice(syllables) for _ in range(rng.choice((2, 2, 3))))
        names.add(f"{word} {rng.choice(HEADS)}".strip())
    empty = MappingProxyType({})
    return tuple(
        Entry(n, plain(n).replace(" ", "-"), "made up", 1, MappingProxyType({"kind": "liqueur"}), empty, empty)
        for n in sorted(names)
    )


def garbled(name: str, rng: random.Random) -> str:
    """A name with a few letters changed, and sometimes broken in two."""
    letters = list(plain(name))
    for _ in range(2):
        i = rng.randrange(len(letters))
        if letters[i] != " ":
            letters[i] = rng.choice("aeioubdgkmnprstvlz")
    if rng.random() < 0.4 and len(letters) > 5:
        letters.insert(len(letters) // 2, " ")
    return "".join(letters)


def talk(lexicon: Lexicon, rng: random.Random, length: int = 2000) -> tuple[list[str], list[Slot]]:
    """Words and slots: about 90 measures in 2,000 words, every third name ruined."""
    words: list[str] = []
    slots: list[Slot] = []
    chatter = CHATTER.split()
    while len(words) < length:
        start = rng.randrange(len(chatter) - 30)
        words += chatter[start : start + rng.randrange(15, 30)]
        for _ in range(2):
            name = rng.choice(lexicon.ingredients).name
            said = garbled(name, rng) if rng.random() < 0.33 else plain(name)
            words += MEASURE.split()
            slots.append(Slot(len(words), len(words) + len(said.split()) + 2, 0.9))
            words += [*said.split(), "and", "then"]
    return words[:length], [s for s in slots if s.end <= length]


def lexicons() -> tuple[Lexicon, Lexicon]:
    """One of 1,500 names, and the same with made-up ones up to 15,000."""
    whole = load_lexicon()
    rng = random.Random(3)
    few = tuple(rng.sample(whole.ingredients, min(1500, len(whole.ingredients))))
    small = replace(whole, ingredients=few)
    return small, replace(whole, ingredients=(*few, *made_up(15000 - len(few), rng)))


def fastest(lexicon: Lexicon, words: list[str], slots: list[Slot], runs: int = 7) -> float:
    """Seconds of processor time of the fastest warm run."""
    hearing = load_hearing(lexicon)
    find_names(words, slots, hearing)
    times = []
    for _ in range(runs):
        start = time.process_time()
        find_names(words, slots, hearing)
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    small, large = lexicons()
    words, slots = talk(small, random.Random(7))
    start = time.process_time()
    load_hearing(small)
    print(f"made ready: {1000 * (time.process_time() - start):.0f} ms for {len(small.ingredients)} names")
    for lexicon in (small, large):
        seconds = fastest(lexicon, words, slots)
        print(f"{len(words)} words, {len(slots)} slots, {len(lexicon.ingredients)} names: {1000 * seconds:.0f} ms")


if __name__ == "__main__":
    main()
