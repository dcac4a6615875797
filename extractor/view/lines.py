"""What stands in which line of a draft, in the terminal and in the file: worked out once for both."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from extractor.lexicon import plain
from extractor.record import Correction, Drink, Episode, Ingredient, Question
from extractor.view.sheets import HomeMade, Item, Sheet
from extractor.visible import clock, line

MADE = "Made by `pourword draft` and written anew each time: answer the questions, do not change it here."
MUST, ADVICE = "must be answered", "advice"
KINDS = {
    "webvtt": "WebVTT", "subrip": "SubRip", "ttml": "TTML", "timed-text": "text with times", "plain-text": "plain text",
    "segments": "JSON segments",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a recipe. `said` is how the amount was said, `heard` the name as heard where that is another."""

    at: str
    ounces: str
    metric: str
    name: str
    details: tuple[str, ...]
    gaps: tuple[str, ...]
    said: str
    heard: str

    def words(self) -> str:
        return ", ".join((self.name, *self.details))

    def told(self) -> str:
        """What the captions say, in quotation marks: “an ounce and a half”, heard “fuller num”."""
        parts = [f"“{self.said}”"] if self.said else []
        parts += [f"heard “{self.heard}”"] if self.heard else []
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Fix:
    """Words of the captions that are, or would be, put right, and every time they stand there."""

    heard: str
    written: str
    at: tuple[str, ...]
    applied: bool
    confidence: float


def rows(items: Sequence[Item], ingredients: Sequence[Ingredient]) -> list[Row]:
    """The lines of a list, each with what was said of it. `ingredients` are those that the items were made from."""
    return [_row(item, of) for item, of in zip(items, ingredients, strict=True)]


def _row(item: Item, of: Ingredient | None) -> Row:
    amount = of.amount if of is not None else None
    return Row(
        at=clock(of.at_s) if of is not None else "",
        ounces=item.shown.ounces,
        metric=item.shown.metric,
        name=item.name,
        details=tuple(item.details),
        gaps=tuple(item.gaps),
        said=line(amount.said) if amount is not None else "",
        heard=line(of.heard) if of is not None and _another(of.heard, of.name) else "",
    )


def _another(heard: str, name: str) -> bool:
    """Whether what was heard is more than a shorter word for the name: "soda" is not, for "soda water"."""
    return not set(plain(heard).split()) <= set(plain(name).split())


def part_rows(part: HomeMade, episode: Episode) -> list[Row]:
    """The lines of a home-made thing. Where the record has several of its name, that with the same names in it."""
    names = [item.name for item in part.items]
    made = [c for d in episode.drinks for c in d.components if line(c.name) == part.name]
    made = [c for c in made if len(c.ingredients) == len(names)]
    if not made:
        return [_row(item, None) for item in part.items]
    # Names may differ where a card has the plural: then the first of as many lines.
    same = next((c for c in made if [line(i.name) for i in c.ingredients] == names), made[0])
    return rows(part.items, same.ingredients)


def part_of(sheets: Sequence[Sheet]) -> list[tuple[HomeMade, ...]]:
    """The home-made things to tell with each drink: each is told once, with the first drink that uses it."""
    told: set[str] = set()
    out = []
    for sheet in sheets:
        new = tuple(p for p in sheet.home_made if p.name not in told)
        told.update(p.name for p in new)
        out.append(new)
    return out


def head(episode: Episode) -> str:
    """ "WebVTT, 62 captions, 2:45": what was read."""
    source = episode.source
    kind = KINDS.get(source.kind, source.kind)
    parts = [kind, f"{source.cues} caption{'s' if source.cues != 1 else ''}"]
    parts += [clock(source.duration_s)] if source.duration_s is not None else []
    return ", ".join(parts)


def counts(episode: Episode) -> str:
    """ "2 drinks, 5 questions, 3 of them must be answered"."""
    drinks, questions = len(episode.drinks), len(episode.questions)
    must = sum(q.blocking for q in episode.questions)
    out = f"{drinks} drink{'s' if drinks != 1 else ''}, "
    if not questions:
        return f"{out}no open questions"
    out += f"{questions} open question{'s' if questions != 1 else ''}"
    if must == questions:
        return f"{out}, to be answered before publishing"
    return f"{out}, {must or 'none'} of them to be answered before publishing"


def name_line(drink: Drink) -> str:
    """How the name was heard, where that is another: `heard “…”`."""
    heard = line(drink.name_heard or "")
    return f"heard “{heard}”" if heard and _another(heard, drink.name) else ""


def fixes(corrections: Iterable[Correction]) -> tuple[list[Fix], list[Fix]]:
    """What was put right, and what was left as heard; the same words once, with all their times."""
    groups: dict[tuple[str, str, bool], list[Correction]] = {}
    for c in corrections:
        groups.setdefault((line(c.heard), line(c.written), c.applied), []).append(c)
    found = [
        Fix(heard, written, tuple(clock(c.start_s) for c in cs if c.start_s is not None), applied,
            min(c.confidence for c in cs))
        for (heard, written, applied), cs in groups.items()
    ]  # fmt: skip
    return [f for f in found if f.applied], [f for f in found if not f.applied]


def question_head(q: Question) -> tuple[str, ...]:
    """("1:15", "Pale Harbour", "must be answered")"""
    parts = (clock(q.at_s), line(q.drink or ""), MUST if q.blocking else ADVICE)
    return tuple(p for p in parts if p)


def offers(q: Question) -> list[str]:
    """The offered answers in order, each with its reason."""
    return [f"{line(s.answer)} ({line(s.reason)})" if line(s.reason) else line(s.answer) for s in q.suggestions]


def remarks(q: Question) -> list[str]:
    """What became of an answer given before, where that is why it is asked again."""
    out = []
    for key, words in (("not_applied", "Answered, but"), ("changed", "Answered before, but")):
        if q.context.get(key):
            earlier = line(str(q.context.get("earlier_answer", "")))
            out.append(f"{words} “{earlier}”: {line(str(q.context[key]))}")
    return out


def short(caution: str) -> str:
    """The first sentence."""
    return re.split(r"(?<=[.!]) (?=[A-Z])", caution, maxsplit=1)[0]
