"""How strongly the words around a place tell that a name stands there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from extractor.errors import LexiconError
from extractor.lexicon import plain, read_phrases

MEASURE, UNIT = "#m", "#u"


@dataclass(frozen=True)
class Places:
    """Patterns of words with the expectation (0 to 1) that each gives; the longest that fits counts."""

    measure: frozenset[str]
    unit: frozenset[str]
    before: tuple[tuple[tuple[str, ...], float], ...]
    after: tuple[tuple[tuple[str, ...], float], ...]
    nothing: float
    chatter: float

    def expects(self, before: str, after: str) -> float:
        """How strongly a name of an ingredient is expected between `before` and `after`."""
        left, right = plain(before).split(), plain(after).split()
        if not left and not right:
            return self.nothing
        told = [x for words, x in self.before if self._fits(words, left[len(left) - len(words) :])][:1]
        told += [x for words, x in self.after if self._fits(words, right[: len(words)])][:1]
        return max(told, default=self.chatter)

    def _fits(self, words: Sequence[str], said: Sequence[str]) -> bool:
        if len(words) != len(said):
            return False
        stands_for = {MEASURE: self.measure | self.unit, UNIT: self.unit}
        return all(s in stands_for[w] if w in stands_for else s == w for w, s in zip(words, said, strict=True))


@lru_cache(maxsize=4)
def load_places(folder: Path) -> Places:
    """Reads places.txt of `folder`. Raises LexiconError with every line that cannot be read."""
    faults: list[str] = []
    data = read_phrases(folder / "places.txt", faults)

    def patterns(section: str) -> tuple[tuple[tuple[str, ...], float], ...]:
        out = []
        for line in data.get(section, ()):
            number, *words = line.split()
            try:
                out.append((tuple(words), float(number)))
            except ValueError:
                faults.append(f"places.txt: expected a number from 0 to 1 and words, found {line!r}")
        return tuple(sorted(out, key=lambda p: -len(p[0])))

    rest = {words[0]: x for words, x in patterns("else") if words}
    places = Places(
        measure=frozenset(w for line in data.get("measure", ()) for w in line.split()),
        unit=frozenset(w for line in data.get("unit", ()) for w in line.split()),
        before=patterns("before"),
        after=patterns("after"),
        nothing=rest.get("nothing", 0.5),
        chatter=rest.get("chatter", 0.1),
    )
    if faults:
        raise LexiconError(faults)
    return places
