"""What every kind of question is given, and the helpers that they share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from extractor import visible
from extractor.lexicon import Entry, Lexicon, plain
from extractor.record.episode import Amount, Drink, Episode, Evidence, Ingredient, Question, Suggestion
from extractor.record.finding import Draft, Finding
from extractor.record.talk import Talk
from extractor.units import Units


@dataclass(frozen=True)
class Context:
    episode: Episode
    draft: Draft
    talk: Talk
    lexicon: Lexicon
    units: Units

    def findings(self, kind: str) -> list[Finding]:
        return [f for f in self.draft.findings if f.kind == kind]

    def drink_number(self, name: str | None) -> int:
        """The place of a drink in the episode, from 1; 0 for the episode as a whole."""
        return next((k for k, d in enumerate(self.episode.drinks, 1) if d.name == name), 0)

    def entry(self, ingredient: Ingredient) -> Entry | None:
        return self.lexicon.by_id.get(ingredient.lexicon_id) if ingredient.lexicon_id is not None else None

    def evidence(self, finding: Finding) -> Evidence:
        return Evidence(
            start_s=self.talk.second(finding.start),
            end_s=self.talk.second_after(finding.end),
            text=self.talk.text[finding.start : finding.end],
        )

    def millilitres(self, amount: Amount) -> float | None:
        return amount.millilitres.high if amount.millilitres is not None else None

    def usual_ml(self, entry: Entry) -> tuple[float, float] | None:
        """The usual amount in one drink in millilitres, where its unit has a size."""
        usual = self.lexicon.usual(entry)
        if usual is None:
            return None
        size = self.units.millilitres(usual.low, usual.high, usual.unit)
        return None if size is None else (float(size[0]), float(size[1]))


def clock(second: float | None) -> str:
    """Minute and second as a viewer types them, for a sentence."""
    return visible.clock(second) or "no time given"


def question(
    context: Context, kind: str, *, drink: str | None, about: str, blocking: bool, text: str, evidence: Evidence | None,
    suggestions: Iterable[Suggestion] = (), at_s: float | None = None,
) -> Question:  # fmt: skip
    """A question whose id is made of its kind, the drink's place and its subject, so that it stays when read again."""
    number = context.drink_number(drink)
    subject = "-".join(plain(about).replace("'", "").split()) or "it"
    when = at_s if at_s is not None else evidence.start_s if evidence is not None else None
    return Question(
        id=f"{kind}/{number}/{subject}",
        kind=kind,  # type: ignore[arg-type]
        drink=drink,
        about=about,
        blocking=blocking,
        at_s=when,
        text=text,
        suggestions=tuple(suggestions),
        evidence=evidence,
    )


def heard(evidence: Evidence | None, longest: int = 90) -> str:
    """The words heard, in quotation marks, with the minute and second."""
    if evidence is None:
        return ""
    words = " ".join(evidence.text.split())
    if len(words) > longest:
        words = words[: longest - 1].rsplit(" ", 1)[0] + " …"
    return f"“{words}” ({clock(evidence.start_s)})"


def said_elsewhere(context: Context, ingredient: Ingredient, drink: Drink) -> list[Suggestion]:
    """What the same speaker said for the same thing in another drink."""
    out = []
    for other in context.episode.drinks:
        if other.name == drink.name:
            continue
        for i in other.ingredients:
            if i.amount is not None and i.amount.low is not None and plain(i.name) == plain(ingredient.name):
                out.append(Suggestion(answer=i.amount.said, reason=f"said for {i.name} in {other.name}"))
    return out


def usual_suggestion(context: Context, ingredient: Ingredient) -> list[Suggestion]:
    """The usual amount of the lexicon, as a range."""
    entry = context.entry(ingredient)
    usual = context.lexicon.usual(entry) if entry is not None else None
    if usual is None:
        return []
    span = f"{usual.low:g}" if usual.low == usual.high else f"{usual.low:g} to {usual.high:g}"
    return [Suggestion(answer=f"{span} {UNIT_WORDS.get(usual.unit, usual.unit)}", reason="usual in one drink")]


UNIT_WORDS = {
    "fl_oz": "oz", "oz_wt": "oz", "bar_spoon": "bar spoon", "dash": "dashes", "leaf": "leaves", "pinch": "pinches",
    "piece": "pieces", "drop": "drops",
}  # fmt: skip
