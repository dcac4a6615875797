"""The record laid out so that it can be changed in place: each thing knows what the talk gave (`raw`) and what it is.

A record is frozen; answers change many of its fields one after another, and must find their thing by what the talk
said, also when an earlier answer has renamed it. So the drinks become sheets, their ingredients items, their
home-made things kits, and at the end a new record is made of them. Nothing here decides what an answer means.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from extractor.answers.answer import NOTHING, Ground, clean
from extractor.answers.likeness import same_name
from extractor.record import Amount, Component, Correction, Drink, Episode, Ingredient, Question

DRINK_KINDS = ("glass-missing", "method-missing")
KIT_KINDS = ("elsewhere", "component-incomplete")
AMOUNT_KINDS = ("amount-missing", "amount-vague", "amount-conflict", "amount-unlikely", "unit-missing")


@dataclass(eq=False, slots=True)
class Item:
    """An ingredient or garnish. `raw` is None for one that was added by hand."""

    value: Ingredient
    raw: Ingredient | None
    gone: bool = False


@dataclass(eq=False, slots=True)
class Kit:
    """A home-made thing and what is in it."""

    value: Component
    raw: Component | None
    items: list[Item] = field(default_factory=list)
    gone: bool = False
    planned: bool = False
    """Thought of for an answer, and put into the record (`gone` taken off) only when the answer is."""


@dataclass(eq=False, slots=True)
class Sheet:
    """A drink."""

    value: Drink
    raw: Drink | None
    pours: list[Item] = field(default_factory=list)
    garnishes: list[Item] = field(default_factory=list)
    kits: list[Kit] = field(default_factory=list)
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the record. `role` as in Ground; the fields that the role does not use are None."""

    role: str
    sheet: Sheet | None = None
    kit: Kit | None = None
    item: Item | None = None

    @property
    def thing(self) -> Item | Kit | Sheet | None:
        return self.item or self.kit or self.sheet

    def is_spot(self, other: Spot | None) -> bool:
        return other is not None and self.thing is other.thing and (self.thing is not None or self.role == other.role)

    @property
    def siblings(self) -> list[Item] | list[Kit] | list[Sheet]:
        """The list in which the thing stands; empty for a drink or an episode."""
        if self.role == "part" and self.kit is not None:
            return self.kit.items
        if self.sheet is not None and self.role in ("ingredient", "garnish"):
            return self.sheet.pours if self.role == "ingredient" else self.sheet.garnishes
        if self.sheet is not None and self.role == "component":
            return self.sheet.kits
        return []


@dataclass(eq=False, slots=True)
class Asked:
    """An open question and the place that it is about; `spot` is None where there is no such place, or several."""

    question: Question
    spot: Spot | None
    closed: bool = False


@dataclass(eq=False)
class Board:
    episode: Episode
    sheets: list[Sheet]
    asked: list[Asked]
    corrections: list[Correction]
    disclosures: list[str]
    notes: list[str]

    def __init__(self, episode: Episode) -> None:
        self.episode = episode
        self.sheets = [_sheet(d) for d in episode.drinks]
        self.corrections = list(episode.corrections)
        self.disclosures = list(episode.disclosures)
        self.notes = list(episode.notes)
        self.asked = [Asked(q, spot_of(q, self)) for q in episode.questions]

    def spots(self) -> Iterator[Spot]:
        """Every place, in the order of the record."""
        yield Spot("episode")
        for sheet in self.sheets:
            yield Spot("drink", sheet)
            yield from (Spot("ingredient", sheet, None, i) for i in sheet.pours)
            yield from (Spot("garnish", sheet, None, i) for i in sheet.garnishes)
            for kit in sheet.kits:
                yield Spot("component", sheet, kit)
                yield from (Spot("part", sheet, kit, i) for i in kit.items)

    def record(self) -> Episode:
        """The record as it now stands. Figures of a changed drink are taken out: they were of what it was."""
        return self.episode.model_copy(
            update={
                "drinks": tuple(_drink(s) for s in self.sheets if not s.gone),
                "corrections": tuple(self.corrections),
                "questions": tuple(self._question(a) for a in self.asked if not a.closed),
                "disclosures": tuple(self.disclosures),
                "notes": tuple(self.notes),
            }
        )

    def _question(self, asked: Asked) -> Question:
        """The question with the names that its drink and its thing have now, so that it is found under them."""
        q, spot = asked.question, asked.spot
        if spot is None or spot.sheet is None:
            return q
        update: dict[str, str] = {}
        now, before = spot.sheet.value.name, spot.sheet.raw.name if spot.sheet.raw else None
        if q.drink is not None and before is not None and q.drink == before:
            update["drink"] = now
        thing = spot.thing
        if thing is not None and thing.raw is not None and q.about == thing.raw.name:
            update["about"] = thing.value.name
        return q.model_copy(update=update) if any(getattr(q, k) != v for k, v in update.items()) else q


def _sheet(drink: Drink) -> Sheet:
    return Sheet(
        drink,
        drink,
        [Item(i, i) for i in drink.ingredients],
        [Item(i, i) for i in drink.garnishes],
        [Kit(c, c, [Item(i, i) for i in c.ingredients]) for c in drink.components],
    )


def _drink(sheet: Sheet) -> Drink:
    kits = [
        k.value.model_copy(update={"ingredients": tuple(i.value for i in k.items if not i.gone)})
        for k in sheet.kits
        if not k.gone
    ]
    update = {
        "ingredients": tuple(i.value for i in sheet.pours if not i.gone),
        "garnishes": tuple(i.value for i in sheet.garnishes if not i.gone),
        "components": tuple(kits),
    }
    drink = sheet.value.model_copy(update=update)
    if sheet.raw is None or _worked_from(drink) != _worked_from(sheet.raw):
        drink = drink.model_copy(update={"figures": None})
    return drink


def _worked_from(drink: Drink) -> tuple[object, ...]:
    """All of a drink from which its figures are worked out."""

    def of(things: tuple[Ingredient, ...]) -> list[tuple[object, ...]]:
        return [(i.name, i.lexicon_id, i.amount, i.optional, i.alternatives) for i in things]

    kits = [(c.name, c.kind, of(c.ingredients), c.minutes, c.celsius, c.ratio_by) for c in drink.components]
    steps = [(s.technique, s.seconds) for s in drink.steps]
    return (
        drink.servings,
        drink.glass,
        drink.ice,
        drink.mixing,
        of(drink.ingredients),
        of(drink.garnishes),
        kits,
        steps,
    )


# ------------------------------------------------------------------------------------------------ a question's place


def spot_of(question: Question, board: Board) -> Spot | None:
    """The place in the record that a question is about. None where there is none, or where several would do."""
    q = question
    sheets = _sheets_of(q, board)
    if q.drink is not None and len(sheets) != 1:
        return None
    sheet = sheets[0] if q.drink is not None else None
    if sheet is not None and (q.kind in DRINK_KINDS or same_name(q.about, q.drink)):
        kit_or_item = _within(q, [sheet]) if q.kind in KIT_KINDS else []
        return _closest(q, kit_or_item) if kit_or_item else Spot("drink", sheet)
    found = _within(q, [sheet] if sheet is not None else board.sheets)
    if found:
        return _closest(q, found)
    if q.kind in ("claim-mismatch", "disclosure", "glass-missing", "method-missing"):
        return Spot("drink", sheet) if sheet is not None else Spot("episode")
    if q.kind == "name-unsure" and sheet is None:
        named = [s for s in board.sheets if q.about in (s.value.name, s.value.name_heard)]
        return Spot("drink", named[0]) if len(named) == 1 else None
    if q.kind == "name-unsure" and sheet is not None and same_name(q.about, sheet.value.name_heard):
        return Spot("drink", sheet)
    return None


def _sheets_of(q: Question, board: Board) -> list[Sheet]:
    if q.drink is None:
        return list(board.sheets)
    named = [s for s in board.sheets if s.value.name == q.drink] or [
        s for s in board.sheets if same_name(s.value.name, q.drink)
    ]
    if len(named) > 1 and q.at_s is not None:
        timed = [s for s in named if _spans(s, q.at_s)]
        return timed if len(timed) == 1 else named
    return named


def _spans(sheet: Sheet, at_s: float) -> bool:
    d = sheet.value
    return d.start_s is not None and d.end_s is not None and d.start_s <= at_s <= d.end_s


def _within(q: Question, sheets: list[Sheet]) -> list[Spot]:
    """The places that the question's `about` names; those that are likelier for its kind shut out the others."""
    want = q.context.get("component")
    groups: list[list[Spot]] = []
    for sheet in sheets:
        pours = [Spot("ingredient", sheet, None, i) for i in sheet.pours]
        garnishes = [Spot("garnish", sheet, None, i) for i in sheet.garnishes]
        kits = [Spot("component", sheet, k) for k in sheet.kits]
        parts = [
            Spot("part", sheet, k, i)
            for k in sheet.kits
            for i in k.items
            if want is None or same_name(k.value.name, str(want))
        ]
        if want is not None and q.kind not in KIT_KINDS:
            order = [parts]
        elif q.kind in KIT_KINDS:
            order = [kits, pours, garnishes]
        else:
            order = [pours, garnishes, parts, kits]
        for rank, spots in enumerate(order):
            while len(groups) <= rank:
                groups.append([])
            groups[rank] += [s for s in spots if _named(s, q.about)]
    return next((g for g in groups if g), [])


def _named(spot: Spot, about: str) -> bool:
    if spot.item is not None:
        return same_name(spot.item.value.name, about) or same_name(spot.item.value.heard, about)
    return spot.kit is not None and same_name(spot.kit.value.name, about)


def _closest(q: Question, spots: list[Spot]) -> Spot | None:
    """The only one; or the only one with the question's own words or second. A tie is no answer."""
    if len(spots) == 1:
        return spots[0]
    if q.evidence is not None:
        same = [s for s in spots if s.item is not None and s.item.value.evidence == q.evidence]
        if len(same) == 1:
            return same[0]
    if q.at_s is not None:
        near = sorted((abs(at - q.at_s), n) for n, s in enumerate(spots) if (at := _second(s)) is not None)
        if near and (len(near) == 1 or near[0][0] < near[1][0]):
            return spots[near[0][1]]
    return None


def _second(spot: Spot) -> float | None:
    if spot.item is not None:
        return spot.item.value.at_s
    return spot.kit.value.at_s if spot.kit is not None else None


# ------------------------------------------------------------------------------------------------ what a place holds


def amount_key(amount: Amount | None) -> str:
    """An amount in the record's own terms: `0.75 fl_oz`, `2-3 dash`, `? dash`, `1 ?`, `nothing`."""
    if amount is None:
        return NOTHING
    if amount.low is None:
        number = "?"
    elif amount.high is None or amount.high == amount.low:
        number = f"{amount.low:.6g}"
    else:
        number = f"{amount.low:.6g}-{amount.high:.6g}"
    if amount.low is None and amount.unit is None:
        return f"? {clean(amount.said)}".strip()
    return f"{number} {amount.unit or '?'}"


def held_of(field: str, spot: Spot) -> str:
    """What the talk gave for `field` of this place, as text that can be compared. `nothing` where it gave nothing."""
    item = spot.item.raw if spot.item is not None else None
    kit = spot.kit.raw if spot.kit is not None and spot.item is None else None
    drink = spot.sheet.raw if spot.sheet is not None else None
    text: str | None = None
    if field in ("amount", "present") and item is not None:
        text = amount_key(item.amount)
    elif field == "choice" and item is not None:
        text = " / ".join(sorted((item.name, *item.alternatives)))
    elif field == "optional" and item is not None:
        text = "yes" if item.optional else "no"
    elif field == "name":
        text = item.name if item else kit.name if kit else drink.name if drink else None
    elif field in ("component", "present", "minutes", "celsius", "ratio") and kit is not None:
        text = contents(kit)
    elif field == "component" and item is not None:
        text = NOTHING
    elif drink is not None and field == "glass":
        text = drink.glass
    elif drink is not None and field == "ice":
        text = drink.ice
    elif drink is not None and field == "servings":
        text = f"{drink.servings:g}" if drink.servings is not None else None
    elif drink is not None and field in ("mixing", "method"):
        text = ", ".join(drink.mixing)
    elif drink is not None and field == "steps":
        text = " ".join(s.text for s in drink.steps)
    return clean(text or "") or NOTHING


def contents(kit: Component) -> str:
    """A home-made thing in one line: `sugar 1 part + hot water nothing + minutes 20`."""
    parts = [f"{clean(i.name)} {amount_key(i.amount)}" for i in kit.ingredients]
    if kit.minutes is not None:
        parts.append(f"minutes {kit.minutes.low:g}-{kit.minutes.high:g}")
    if kit.celsius is not None:
        parts.append(f"celsius {kit.celsius.low:g}-{kit.celsius.high:g}")
    return " + ".join(parts) or NOTHING


FIELD_OF_KIND = {
    **dict.fromkeys(AMOUNT_KINDS, "amount"),
    "name-unsure": "name",
    "choice-open": "choice",
    "claim-mismatch": "claim",
    "elsewhere": "component",
    "component-incomplete": "component",
    "method-missing": "method",
    "glass-missing": "glass",
    "disclosure": "disclosure",
}
_TIME = re.compile(r"\b(?:\d+:)?\d{1,3}:\d{2}\b|\b\d+(?:\.\d+)?\s*s(?:econds?)?\b")


def claim_key(question: Question) -> str:
    """What a claim and what was found against it, without the minute and second in which it was said."""
    return clean(re.sub(r" *\( *\)", "", _TIME.sub("", question.text))) or NOTHING


def ground_of(spot: Spot | None, field: str, board: Board, question: Question | None = None) -> Ground:
    """The ground for an answer about `field` of this place, as the talk (not an earlier answer) gives it."""
    held = held_of(field, spot) if spot is not None else NOTHING
    values: tuple[str, ...] = ()
    words = heard = about = ""
    at_s: float | None = None
    missing: str | None = None
    told_s: float | None = None
    if question is not None:
        about, at_s = question.about, question.at_s
        words = question.evidence.text if question.evidence is not None else ""
        if field == "claim":
            held = claim_key(question)
        elif field == "disclosure":
            held = clean(words) or NOTHING
        if question.kind == "amount-conflict":
            values = tuple(sorted(clean(str(v)) for v in _against(question)))
        found = question.context.get("missing")
        if found:
            missing = ", ".join(sorted(map(str, found))) if isinstance(found, list | tuple | set) else str(found)
    if spot is None:
        # Nothing in the record is it, or several things: the drink at least can be told.
        sheets = _sheets_of(question, board) if question is not None and question.drink is not None else []
        sheet = sheets[0] if len(sheets) == 1 else None
        return Ground(
            role="episode",
            drink=sheet.value.name if sheet else question.drink if question else None,
            **_drink_marks(sheet, board),
            about=about,
            heard=about,
            held=held,
            values=values,
            missing=missing,
            words=words,
            at_s=_whole(at_s),
            told_s=_whole(at_s),
        )
    before = after = known = None
    turn = turns = None
    thing = spot.thing
    if spot.item is not None and spot.item.raw is not None:
        raw = spot.item.raw
        about, heard, known = raw.name, raw.heard, raw.lexicon_id
        words = words or raw.evidence.text
        told_s = raw.at_s
    elif spot.item is not None:
        about, held = spot.item.value.name, f"{NOTHING}: added by hand"
    elif spot.kit is not None:
        about = heard = (spot.kit.raw or spot.kit.value).name
        told_s = spot.kit.raw.at_s if spot.kit.raw is not None else None
    elif spot.sheet is not None and field not in ("claim", "disclosure"):
        about = (spot.sheet.raw or spot.sheet.value).name
        heard = (spot.sheet.raw.name_heard if spot.sheet.raw else None) or ""
    if told_s is None and spot.sheet is not None and spot.sheet.raw is not None:
        told_s = spot.sheet.raw.start_s
    told = [s for s in spot.siblings if s.raw is not None]
    if thing in told:
        at = told.index(thing)
        before = _raw_name(told[at - 1]) if at else None
        after = _raw_name(told[at + 1]) if at + 1 < len(told) else None
        namesakes = [s for s in told if same_name(_raw_name(s), about)]
        if len(namesakes) > 1 and thing in namesakes:
            turn, turns = namesakes.index(thing) + 1, len(namesakes)
    return Ground(
        role=spot.role,
        drink=(spot.sheet.raw or spot.sheet.value).name if spot.sheet else None,
        **_drink_marks(spot.sheet, board),
        component=(spot.kit.raw or spot.kit.value).name if spot.kit and spot.item else None,
        about=about,
        heard=heard or about,
        known=known,
        before=before,
        after=after,
        turn=turn,
        turns=turns,
        held=held,
        values=values,
        missing=missing,
        words=words,
        at_s=_whole(told_s if at_s is None else at_s),
        told_s=_whole(told_s),
    )


def _drink_marks(sheet: Sheet | None, board: Board) -> dict[str, Any]:
    """What a drink is known by besides its name."""
    if sheet is None:
        return {}
    others = (s.raw for s in board.sheets if s is not sheet)
    return {
        "place": board.sheets.index(sheet) + 1,
        "unnamed": sheet.raw is not None and sheet.raw.name_heard is None,
        "within": tuple(i.raw.name for i in sheet.pours if i.raw),
        "besides": tuple(d.name for d in others if d is not None and d.name_heard is not None),
    }


def _against(question: Question) -> list[object]:
    """The amounts that stand against each other: the questions stage's own list where it gives one, else the offers."""
    said = question.context.get("said")
    if isinstance(said, list | tuple) and said:
        return list(said)
    return [s.answer for s in question.suggestions]


def _raw_name(thing: Item | Kit | Sheet) -> str:
    return thing.raw.name if thing.raw is not None else thing.value.name


def _whole(at_s: float | None) -> int | None:
    return max(0, int(at_s)) if at_s is not None else None
