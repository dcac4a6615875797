"""What goes into and comes out of the search for names: plain frozen values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from extractor.lexicon import Entry


@dataclass(frozen=True, slots=True)
class Slot:
    """Tokens `start` to `end` (end not included) in which the talk expects a name.

    `expects` is how strongly, 0 to 1: behind a measure about 0.9, after "add" 0.8, "like in a" 0.3.
    `group` is what is expected: "ingredient", "glass" or "classic". `unit`: that of the amount beside it, if any.
    """

    start: int
    end: int
    expects: float
    group: str = "ingredient"
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One name that may be meant. `confidence` 0 to 1; `apply`: put right without asking."""

    name: str
    lexicon_id: str | None
    confidence: float
    apply: bool
    how: str = "sound"
    group: str = "ingredient"
    entry: Entry | None = field(default=None, repr=False, compare=False)
    written: str = ""
    """The spelling of what was heard: `name`, or that other name of it which was heard."""


@dataclass(frozen=True, slots=True)
class NameSpan:
    """Tokens `start` to `end` (end not included) heard as a name.

    `name` is the spelling to publish, `heard` the tokens as they stand. `how`: "exact" (the publishing spelling),
    "other name", "misheard" (listed as such by the lexicon), "spelling" (other word breaks or letters), "sound", or
    "head" (unknown, but ends in a head word such as "syrup": `entry` is None and `name` are the words as said).
    `apply`: the tool would go on with `name` without asking. Only "misheard", "spelling" and "sound" put the captions
    right, and then with `written`, the spelling of the very name that was heard ("pimento dram", where `name` is
    "allspice dram"); for "exact" and "other name" the captions stay as they are, and `apply` is True.
    """

    start: int
    end: int
    entry: Entry | None
    group: str
    name: str
    heard: str
    confidence: float
    how: str
    apply: bool
    candidates: tuple[Candidate, ...] = ()
    written: str = ""
    torn: bool = False
    """It counts though nothing but small words was heard ("dark from" of dark rum)."""


def span_of(words: Sequence[str], start: int, end: int, found: Sequence[Candidate]) -> NameSpan:
    """Words `start` to `end` as the first of the candidates."""
    top = found[0]
    heard = " ".join(w for w in words[start:end] if w)
    # A recogniser that writes "cedrón" with its accent knew the word.
    knew = any(c.isalpha() and not c.isascii() for c in heard)
    return NameSpan(
        start,
        end,
        top.entry,
        top.group,
        top.name,
        heard,
        top.confidence,
        top.how,
        top.apply and not knew,
        tuple(found),
        top.written,
    )


def without_overlap(spans: Iterable[NameSpan]) -> list[NameSpan]:
    """Of spans that overlap the first."""
    out: list[NameSpan] = []
    for s in spans:
        if not any(s.start < o.end and o.start < s.end for o in out):
            out.append(s)
    return out


def surest(spans: Iterable[NameSpan]) -> list[NameSpan]:
    """Of spans that overlap the surest one."""
    return without_overlap(sorted(spans, key=lambda s: -s.confidence))
