"""What was understood, as marks over the words of the talk: names, amounts, corrections, and what was left out and why.

A mark is made from the record alone where the record knows it (its evidence tells the second); what the reading of the
talk found besides, and the record does not hold, is what was left out.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from extractor.lexicon import lexicon_folder, plain, read_phrases
from extractor.record import Amount, Drink, Episode, Evidence, Ingredient
from extractor.record.talk import Mention, Talk

QUESTION_WORDS = 14
"""A question that rests on more words than this is marked at its first ones only."""
SLACK_S = 0.01
"""Seconds are rounded where they are written down."""
OUNCES = frozenset(("amount", "vague", "number", "equal"))


@dataclass(frozen=True, slots=True)
class Mark:
    """The words `first` to `last` of the transcript, both included, and what is known of them.

    `kind`: asked, fix, doubt (a correction that is not applied), amount, name, glass, out. `question` is its id.
    """

    first: int
    last: int
    kind: str
    notes: tuple[str, ...]
    question: str | None = None


@dataclass(frozen=True, slots=True)
class _Pour:
    """A line of a list and the words that it rests on."""

    drink: str
    item: Ingredient
    first: int
    last: int


@lru_cache(maxsize=1)
def reasons() -> Mapping[str, str]:
    """Section of lexicon/talk/modes.txt -> why what was said there was left out."""
    faults: list[str] = []
    found = read_phrases(lexicon_folder() / "review" / "reasons.txt", faults)
    if faults:
        from extractor.errors import LexiconError

        raise LexiconError(faults)
    return {key: lines[0] for key, lines in found.items() if lines}


class Places:
    """Finds the words that were said within given seconds."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk
        last, out = 0.0, []
        for w in talk.transcript.words:
            last = max(last, w.start_s if w.start_s is not None else last)
            out.append(last)
        self.seconds = out

    def of(self, told: Evidence | None) -> tuple[int, int] | None:
        """The words of an evidence; None where it has no second (a hand's word, captions without times)."""
        if told is None or told.start_s is None or not self.seconds:
            return None
        first = bisect_left(self.seconds, told.start_s - SLACK_S)
        if first == len(self.seconds):
            return None
        end = told.end_s if told.end_s is not None else told.start_s
        last = max(first, bisect_left(self.seconds, end - SLACK_S) - 1)
        many = len(told.text.split())
        # Several words may bear one second: the text says how many there are.
        return first, min(last, first + many - 1) if many else last

    def at(self, second: float) -> int:
        return max(0, bisect_right(self.seconds, second + SLACK_S) - 1)


def marks(talk: Talk, episode: Episode, amounts: Mapping[int, str], places: Places) -> tuple[Mark, ...]:
    """The marks in the order of the talk; none lies over another (`id(ingredient)` -> its amount in words)."""
    pours = tuple(_pours(episode, places))
    found = _Marks(len(talk.transcript.words))
    for q in episode.questions:
        span = places.of(q.evidence)
        if span is not None:
            last = min(span[1], span[0] + QUESTION_WORDS - 1)
            found.add(Mark(span[0], last, "asked", (f"Asked: {q.text}",), q.id))
    for c in episode.corrections:
        sure = f"{round(c.confidence * 100)}% sure"
        if c.applied:
            notes = (f"Heard “{c.heard}”, written “{c.written}”: put right in the captions ({sure})",)
        else:
            notes = (f"Heard “{c.heard}”, may be “{c.written}” ({sure}): the captions keep what was heard",)
        found.add(Mark(c.first_word, c.last_word, "fix" if c.applied else "doubt", notes))
    for m in talk.measures:
        if m.kind in OUNCES:
            first, last = talk.word_at(m.start), talk.word_at(max(m.start, m.end - 1))
            found.add(Mark(first, last, *_of_amount(m.said, first, last, pours, amounts, talk)))
    for name in talk.mentions:
        if name.group in ("ingredient", "glass"):
            first, last = talk.word_at(name.start), talk.word_at(max(name.start, name.end - 1))
            if name.group == "glass":
                known = _of_glass(name.name, first, episode, talk, places)
            else:
                known = _of_name(name, first, last, pours, episode, amounts, talk)
            found.add(Mark(first, last, *known))
    return found.sorted()


class _Marks:
    """The first over a word has it; what is known of the same words besides is added to its notes."""

    def __init__(self, words: int) -> None:
        self.words = words
        self.by_word: dict[int, Mark] = {}

    def add(self, mark: Mark) -> None:
        if not 0 <= mark.first <= mark.last < self.words:
            return
        below = {id(m): m for n in range(mark.first, mark.last + 1) if (m := self.by_word.get(n)) is not None}
        if not below:
            for n in range(mark.first, mark.last + 1):
                self.by_word[n] = mark
            return
        for old in below.values():
            more = tuple(x for x in mark.notes if x not in old.notes)
            new = Mark(old.first, old.last, old.kind, (*old.notes, *more), old.question or mark.question)
            for n in range(old.first, old.last + 1):
                self.by_word[n] = new

    def sorted(self) -> tuple[Mark, ...]:
        return tuple(sorted({m.first: m for m in self.by_word.values()}.values(), key=lambda m: m.first))


def _pours(episode: Episode, places: Places) -> Iterator[_Pour]:
    def all_of(drink: Drink) -> Iterable[Ingredient]:
        yield from drink.ingredients
        yield from drink.garnishes
        for kit in drink.components:
            yield from kit.ingredients

    for drink in episode.drinks:
        for item in all_of(drink):
            span = places.of(item.evidence)
            if span is not None:
                yield _Pour(drink.name, item, *span)


def _row(pour: _Pour, amounts: Mapping[int, str]) -> str:
    amount = amounts.get(id(pour.item), "")
    return f"{amount} {pour.item.name}".strip() + f", in {pour.drink}"


def _of_amount(
    said: str, first: int, last: int, pours: Sequence[_Pour], amounts: Mapping[int, str], talk: Talk
) -> tuple[str, tuple[str, ...]]:
    over = [p for p in pours if p.first <= last and first <= p.last]
    for pour in over:
        if _says(pour.item.amount, said):
            return "amount", (_row(pour, amounts),)
    if over:
        return "out", (f"Not the last word on it: the list has {_row(over[0], amounts)}",)
    return "out", (f"Left out: {_why(first, talk, 'an amount that goes with nothing in a drink')}",)


def _says(amount: Amount | None, said: str) -> bool:
    if amount is None:
        return False
    a, b = plain(amount.said), plain(said)
    return bool(a and b) and (a in b or b in a)


def _of_name(
    name: Mention,
    first: int,
    last: int,
    pours: Sequence[_Pour],
    episode: Episode,
    amounts: Mapping[int, str],
    talk: Talk,
) -> tuple[str, tuple[str, ...]]:
    wanted = {plain(name.name), plain(name.heard)}
    over = [p for p in pours if p.first <= last and first <= p.last]
    for pour in over:
        if plain(pour.item.name) in wanted or plain(pour.item.heard) in wanted:
            return "name", (_row(pour, amounts),)
        if any(plain(a) in wanted for a in pour.item.alternatives):
            return "name", (f"The other choice for {_row(pour, amounts)}",)
    if over:
        return "name", (f"Said with {_row(over[0], amounts)}",)
    again = [p for p in pours if plain(p.item.name) in wanted or plain(p.item.heard) in wanted]
    if again:
        second = talk.transcript.words[first].start_s or 0.0
        within = [p for p in again if _holds(episode, p.drink, second)]
        pour = (within or again)[0]
        why = _why(first, talk, "")
        return "again", (f"Named besides{f' ({why})' if why else ''}; the list has {_row(pour, amounts)}",)
    return "out", (f"Left out: {_why(first, talk, 'named without going into a drink')}",)


def _holds(episode: Episode, name: str, second: float) -> bool:
    return any(
        d.name == name and d.start_s is not None and d.end_s is not None and d.start_s <= second <= d.end_s
        for d in episode.drinks
    )


def _of_glass(name: str, first: int, episode: Episode, talk: Talk, places: Places) -> tuple[str, tuple[str, ...]]:
    second = talk.transcript.words[first].start_s
    for d in episode.drinks:
        span = places.of(d.glass_evidence)
        inside = second is not None and _holds(episode, d.name, second)
        if d.glass is not None and plain(d.glass) == plain(name) and (inside or (span and span[0] <= first <= span[1])):
            return "glass", (f"The glass of {d.name}",)
    return "out", (f"Left out: {_why(first, talk, 'a glass that no drink is served in')}",)


def _why(first: int, talk: Talk, otherwise: str) -> str:
    """The turn of talk in whose clause it was said; the nearest one before it, else the first behind it."""
    offset = talk.transcript.starts[first]
    sentence = talk.clauses[talk.clause_at(offset)].sentence if talk.clauses else 0
    near = [c for c in talk.cues if c.label.startswith("modes.") and _sentence(talk, c.start) == sentence]
    known = [c for c in near if c.label.removeprefix("modes.") in reasons()]
    before = [c for c in known if c.start <= offset]
    chosen = before[-1] if before else (known[0] if known else None)
    return reasons()[chosen.label.removeprefix("modes.")] if chosen is not None else otherwise


def _sentence(talk: Talk, offset: int) -> int:
    return talk.clauses[talk.clause_at(offset)].sentence if talk.clauses else 0
