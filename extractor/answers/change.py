"""What each field of an answer does to the record. One function a field: it plans, and says in words what it will do.

Nothing is changed while planning, so that an answer of several parts is put in whole or not at all. Where the words
cannot be read for their field the plan is a Refused with the reason and what to write instead: never a guess.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import get_args

from extractor.answers.answer import clean
from extractor.answers.board import Board, Item, Kit, Sheet, Spot, amount_key
from extractor.answers.likeness import same_name
from extractor.answers.readers import Readers
from extractor.lexicon import plain
from extractor.record import Amount, Component, Correction, Drink, Evidence, Ingredient, Question, Step
from extractor.record.episode import BY_HAND, Technique


@dataclass(frozen=True, slots=True)
class Plan:
    """`said`: what is done, for a person to check at a glance. `do` does it."""

    said: str
    do: Callable[[], None]


@dataclass(frozen=True, slots=True)
class Refused:
    """Why the words can't be put in, and what to write instead."""

    why: str
    hint: str


Planned = Plan | Refused
AMOUNT_HINT = "Write it with its unit, as said or as written: three quarters of an ounce, 22.5 ml, 2 dashes."


def hand(words: str) -> Evidence:
    """Evidence for what no caption said."""
    return Evidence(start_s=None, end_s=None, text=f"{BY_HAND}{clean(words)}")


def together(plans: list[Planned]) -> Planned:
    """All of them or, where one is refused, none."""
    for plan in plans:
        if isinstance(plan, Refused):
            return plan
    good = [p for p in plans if isinstance(p, Plan)]

    def do() -> None:
        for plan in good:
            plan.do()

    return Plan("; ".join(p.said for p in good if p.said), do)


# ------------------------------------------------------------------------------------------------ notes


def note(spot: Spot | None, board: Board, text: str) -> None:
    """Leaves `by hand: ...` with the thing; with the episode where there is no thing."""
    line = f"{BY_HAND}{clean(text)}"
    if spot is not None and spot.item is not None and not spot.item.gone:
        item = spot.item
        item.value = item.value.model_copy(update={"notes": _more(item.value.notes, line)})
    elif spot is not None and spot.kit is not None and not spot.kit.gone:
        kit = spot.kit
        kit.value = kit.value.model_copy(update={"notes": _more(kit.value.notes, line)})
    elif spot is not None and spot.sheet is not None:
        sheet = spot.sheet
        sheet.value = sheet.value.model_copy(update={"notes": _more(sheet.value.notes, line)})
    elif line not in board.notes:
        board.notes.append(line)


def _more(notes: tuple[str, ...], line: str) -> tuple[str, ...]:
    return notes if line in notes else (*notes, line)


# ------------------------------------------------------------------------------------------------ amounts


def read_hand_amount(words: str, held: Amount | None, readers: Readers, name: str = "") -> Amount | Refused:
    """An amount as typed. Only a unit ("ounces") takes the number that was heard, where one was."""
    if held is not None and held.low is not None and _is_unit(words):
        high = held.low if held.high is None else held.high
        number = f"{held.low:g}" if high == held.low else f"{held.low:g} to {high:g}"
        joined = readers.exact(f"{number} {words}")
        if joined is not None and joined.unit is not None and (joined.low, joined.high) == (held.low, high):
            return _by_weight(joined, f"{number} {words}", name, readers)
    amount = readers.exact(words, (name,))
    if amount is None:
        return Refused(f"“{words}” could not be read as an amount", AMOUNT_HINT)
    if amount.unit is None:
        why = "has no unit" if amount.low is not None else "cannot be measured"
        return Refused(f"“{words}” {why}", AMOUNT_HINT)
    if amount.low is None and _is_unit(words) and amount.unit not in ("top", "rinse", "rim", "float", "to_taste"):
        return Refused(f"“{words}” has no number", AMOUNT_HINT)
    return _by_weight(amount, words, name, readers)


def _by_weight(amount: Amount, words: str, name: str, readers: Readers) -> Amount:
    """The amount, said as typed. An ounce of sugar is an ounce by weight: what it is of tells."""
    if amount.unit == "fl_oz" and name and "fl" not in words.lower():
        of_it = readers.exact(f"{words} of {name}", (name,))
        if of_it is not None and of_it.unit == "oz_wt" and (of_it.low, of_it.high) == (amount.low, amount.high):
            amount = of_it
    return amount.model_copy(update={"said": words})


def _is_unit(words: str) -> bool:
    """A unit and nothing that counts: "ounces", "bar spoons"; not "an ounce", not "2 dashes"."""
    found = words.lower().split()
    if re.search(r"[\d½¼¾⅓⅔⅛]", words):
        return False
    return len(found) == 1 or (len(found) == 2 and found[0] in ("bar", "fluid", "table", "tea"))


def set_amount(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    if spot.item is None:
        return Refused("no single ingredient is asked about here", "Name it: `add: half an ounce of falernum`.")
    item = spot.item
    heard = item.raw.amount if item.raw is not None else None
    if heard is not None and heard.unit is not None and clean(heard.said).casefold() == clean(words).casefold():
        # The talk's own words ("half", its unit carried over) mean what they meant in the talk.
        amount: Amount | Refused = heard
    else:
        amount = read_hand_amount(words, item.value.amount, readers, item.value.name)
    if isinstance(amount, Refused):
        return amount
    was = amount_key(item.value.amount)

    def do() -> None:
        item.value = item.value.model_copy(update={"amount": amount})
        note(spot, board, f"amount “{words}” (was {was})")

    return Plan(f"{item.value.name}: {amount_key(amount)}", do)


def no_amount(spot: Spot, board: Board) -> Planned:
    if spot.item is None:
        return Refused("no single ingredient is asked about here", "Name it by its path.")
    item = spot.item
    was = amount_key(item.value.amount)

    def do() -> None:
        item.value = item.value.model_copy(update={"amount": None})
        note(spot, board, f"no amount (was {was})")

    return Plan(f"{item.value.name}: no amount", do)


# ------------------------------------------------------------------------------------------------ names


def set_name(spot: Spot, words: str, board: Board, readers: Readers, question: Question | None = None) -> Planned:
    """The thing's name, wherever the same words were heard for it, in the method's sentences and in the captions."""
    name, lexicon_id = readers.known(clean(words))
    if not plain(name):
        return Refused(f"“{words}” is no name", "Write the name as it is to be published.")
    if spot.item is not None:
        return _rename_item(spot, spot.item, name, lexicon_id, board, question)
    if spot.kit is not None:
        return _rename_kit(spot, spot.kit, name, board)
    if spot.sheet is not None:
        return _rename_drink(spot, spot.sheet, words, board)
    return Refused("nothing in the record bears this name", "Put it in: `add: half an ounce of falernum`.")


def _rename_item(
    spot: Spot, item: Item, name: str, lexicon_id: str | None, board: Board, question: Question | None
) -> Planned:
    spots = [spot, *_same_heard(spot, item, board, question)]
    was = item.value.name

    def do() -> None:
        for each in spots:
            assert each.item is not None
            old = each.item.value.name
            each.item.value = each.item.value.model_copy(update={"name": name, "lexicon_id": lexicon_id})
            note(each, board, f"name “{name}” (was “{old}”)")
            if each.sheet is not None:
                _in_method(each.sheet, each, old, name)
        _kits_named(spot, was, name, board)
        _in_captions(item, name, board, question)

    more = f", {len(spots)} times" if len(spots) > 1 else ""
    return Plan(f"{was} is {name}{more}" if was != name else f"{name}: the name stands{more}", do)


def _same_heard(spot: Spot, item: Item, board: Board, question: Question | None) -> list[Spot]:
    """The other places where the same words were read as the same thing. A garnish is not a pour, and what has a
    question of its own waits for its own answer. Only a question is answered everywhere; an edit is for its place."""
    if question is None or item.raw is None:
        return []
    raw = item.raw
    own = {a.spot.item for a in board.asked if a.question.kind == "name-unsure" and a.spot is not None and a.spot.item}
    out = []
    for other in board.spots():
        it = other.item
        if it is None or it is item or it.raw is None or it.gone or it in own:
            continue
        if (other.role == "garnish") != (spot.role == "garnish"):
            continue
        if it.raw.name == raw.name and it.raw.lexicon_id == raw.lexicon_id and plain(it.raw.heard) == plain(raw.heard):
            out.append(other)
    return out


def _kits_named(spot: Spot, was: str, name: str, board: Board) -> None:
    """The home-made thing of the same name is the same thing: it bears the new name too."""
    if spot.role not in ("ingredient", "garnish"):
        return
    for other in board.spots():
        if other.role == "component" and other.kit is not None and same_name(other.kit.value.name, was):
            kit = other.kit
            kit.value = kit.value.model_copy(update={"name": name})
            note(other, board, f"name “{name}” (was “{was}”)")


def _rename_kit(spot: Spot, kit: Kit, name: str, board: Board) -> Planned:
    was = kit.value.name

    def do() -> None:
        kit.value = kit.value.model_copy(update={"name": name})
        note(spot, board, f"name “{name}” (was “{was}”)")
        for each in board.spots():
            if (
                each.role == "ingredient"
                and each.sheet is spot.sheet
                and each.item
                and same_name(each.item.value.name, was)
            ):
                each.item.value = each.item.value.model_copy(update={"name": name})
                note(each, board, f"name “{name}” (was “{was}”)")

    return Plan(f"{was} is {name}", do)


def _rename_drink(spot: Spot, sheet: Sheet, words: str, board: Board) -> Planned:
    name, was = clean(words), sheet.value.name

    def do() -> None:
        sheet.value = sheet.value.model_copy(update={"name": name})
        note(spot, board, f"name “{name}” (was “{was}”)")

    return Plan(f"the drink {was} is {name}", do)


def _in_method(sheet: Sheet, spot: Spot, old: str, new: str) -> None:
    """Puts the new name into the method's sentences, unless the old one is, or is in, another thing's name."""
    others = [i.value.name for i in (*sheet.pours, *sheet.garnishes) if i is not spot.item and not i.gone]
    if any(f" {plain(old)} " in f" {plain(o)} " for o in others) or plain(old) == plain(new):
        return
    pattern = re.compile(rf"(?<!\w){re.escape(old)}(?!\w)", re.IGNORECASE)
    steps = tuple(s.model_copy(update={"text": pattern.sub(lambda _: new, s.text)}) for s in sheet.value.steps)
    sheet.value = sheet.value.model_copy(update={"steps": steps})


def _in_captions(item: Item, name: str, board: Board, question: Question | None) -> None:
    """What the reading put right in the captions, or offered to, now says the hand's name.

    For a question: wherever those very words were heard. For an edit: only where this thing was told.
    """
    if item.raw is None:
        return
    heard, told = plain(item.raw.heard), item.raw.evidence
    found = False
    for n, c in enumerate(board.corrections):
        if plain(c.heard) != heard or (question is None and not _within_second(c.start_s, told)):
            continue
        found = True
        update = {"written": name, "applied": plain(name) != heard, "confidence": 1.0}
        board.corrections[n] = c.model_copy(update=update)
    place = question.context if question is not None else {}
    first, last = place.get("first_word"), place.get("last_word")
    if not found and isinstance(first, int) and isinstance(last, int) and plain(name) != heard:
        board.corrections.append(
            Correction(
                heard=item.raw.heard,
                written=name,
                start_s=told.start_s,
                end_s=told.end_s,
                confidence=1.0,
                applied=True,
                first_word=first,
                last_word=last,
            )
        )


def _within_second(at_s: float | None, told: Evidence) -> bool:
    if at_s is None or told.start_s is None:
        return False
    return told.start_s <= at_s <= (told.end_s if told.end_s is not None else told.start_s)


def choose(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    """Settles this or that. A third thing may be named; it then takes the place of both."""
    if spot.item is None:
        return Refused("no single ingredient is asked about here", "Name it: `add: half an ounce of falernum`.")
    item = spot.item
    said = plain(words)
    if said in ("both", "either", "any", "all"):
        return Refused(
            f"“{words}” does not say which", "Name one, or `leave as it is`: both are then published as a choice."
        )
    options = (item.value.name, *item.value.alternatives)
    picked = next((o for o in options if plain(o) == said), None)
    name, lexicon_id = readers.known(picked or clean(words))
    if picked == item.value.name:
        name, lexicon_id = item.value.name, item.value.lexicon_id

    def do() -> None:
        item.value = item.value.model_copy(update={"name": name, "lexicon_id": lexicon_id, "alternatives": ()})
        note(spot, board, f"{name}, of {' or '.join(options)}")

    return Plan(f"{name}, not {' or '.join(o for o in options if o != name)}", do)


# ------------------------------------------------------------------------------------------------ the drink itself


def set_glass(spot: Spot, words: str, board: Board) -> Planned:
    if spot.sheet is None:
        return Refused("no drink is asked about here", "Say it by its path: `edit: set drink/1/glass`.")
    sheet = spot.sheet
    glass = re.sub(r"^(?:an?|the)\s+", "", clean(words), flags=re.IGNORECASE)
    here = Spot("drink", sheet)

    def do() -> None:
        sheet.value = sheet.value.model_copy(update={"glass": glass, "glass_evidence": hand(words)})
        note(here, board, f"glass “{words}”")

    return Plan(f"{sheet.value.name}: served in {glass}", do)


def set_ice(spot: Spot, words: str, board: Board) -> Planned:
    if spot.sheet is None:
        return Refused("no drink is asked about here", "Say it by its path: `edit: set drink/1/ice`.")
    sheet = spot.sheet

    def do() -> None:
        sheet.value = sheet.value.model_copy(update={"ice": clean(words)})
        note(Spot("drink", sheet), board, f"ice “{words}”")

    return Plan(f"{sheet.value.name}: {clean(words)}", do)


def set_servings(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    number = readers.number(
        re.sub(r"\s*\b(?:servings?|drinks?|people|glasses)$", "", clean(words), flags=re.IGNORECASE)
    )
    if spot.sheet is None or number is None or number.low != number.high or number.low <= 0:
        return Refused(f"“{words}” is no number of servings", "Write a single number: 8.")
    sheet = spot.sheet

    def do() -> None:
        sheet.value = sheet.value.model_copy(update={"servings": number.low})
        note(Spot("drink", sheet), board, f"servings “{words}”")

    return Plan(f"{sheet.value.name}: {number.low:g} servings", do)


_TECHNIQUES: tuple[Technique, ...] = get_args(Technique)
_NOT = re.compile(r"\b(?:not|never|without|instead|no|don't|do not)\b", re.IGNORECASE)


def techniques_in(words: str) -> tuple[Technique, ...] | None:
    """A bare list of techniques ("shake, fine strain"); None where anything else is in it."""
    pieces = [p for p in re.split(r"\s*(?:,|;|\band\b|\bthen\b)\s*", clean(words).lower().rstrip(".")) if p]
    found = [t for p in pieces for t in _TECHNIQUES if t == p]
    return tuple(found) if pieces and len(found) == len(pieces) else None


def _named_techniques(sentence: str) -> tuple[Technique, ...]:
    """The techniques that a sentence names in so many words, in its order; none where it says what not to do."""
    if _NOT.search(sentence):
        return ()
    text = sentence.lower()
    found: list[tuple[int, Technique]] = []
    for technique in sorted(_TECHNIQUES, key=len, reverse=True):
        for m in re.finditer(rf"\b{technique}\b", text):
            found.append((m.start(), technique))
            text = text[: m.start()] + " " * len(technique) + text[m.end() :]
    return tuple(dict.fromkeys(t for _, t in sorted(found)))


def set_method(spot: Spot, words: str, board: Board) -> Planned:
    """A list of techniques, or a sentence of the method as it is to be published."""
    if spot.kit is not None and spot.item is None:
        return set_recipe(spot, words, board)
    if spot.sheet is None:
        return Refused("no drink is asked about here", "Say it by its path: `edit: set drink/1/mixing`.")
    sheet = spot.sheet
    listed = techniques_in(words)
    update: dict[str, object] = {}
    if listed is not None:
        update["mixing"] = listed
    else:
        step = Step(text=clean(words), at_s=None, evidence=hand(words))
        update["steps"] = (*sheet.value.steps, step)
        update["mixing"] = tuple(dict.fromkeys((*sheet.value.mixing, *_named_techniques(words))))

    def do() -> None:
        sheet.value = sheet.value.model_copy(update=update)
        note(Spot("drink", sheet), board, f"method “{words}”")

    said = ", ".join(listed) if listed is not None else f"“{clean(words)}”"
    return Plan(f"{sheet.value.name}: {said}", do)


def set_steps(spot: Spot, words: str, board: Board) -> Planned:
    """The whole method anew: one sentence a step."""
    if spot.sheet is None:
        return Refused("no drink is asked about here", "Say it by its path.")
    sheet = spot.sheet
    sentences = [s.strip() for s in re.split(r"(?<=[.!?])\s+", clean(words)) if s.strip()]

    def do() -> None:
        steps = tuple(Step(text=s, at_s=None, evidence=hand(s)) for s in sentences)
        sheet.value = sheet.value.model_copy(update={"steps": steps})
        note(Spot("drink", sheet), board, f"method “{words}”")

    return Plan(f"{sheet.value.name}: {len(sentences)} steps", do)


# ------------------------------------------------------------------------------------------------ home-made things


def kit_for(spot: Spot, board: Board) -> tuple[Kit, Callable[[], None]] | None:
    """The home-made thing at this place, and what puts it into the record if it is not there yet."""
    if spot.kit is not None:
        return spot.kit, lambda: None
    if spot.item is None or spot.sheet is None:
        return None
    sheet, name = spot.sheet, spot.item.value.name
    for kit in sheet.kits:
        if same_name(kit.value.name, name) and (kit.planned or not kit.gone):
            return kit, partial(_put, kit)
    new = Kit(Component(name=name, kind="other"), None, gone=True, planned=True)
    sheet.kits.append(new)
    return new, partial(_put, new)


def _put(kit: Kit) -> None:
    if kit.planned:
        kit.gone = kit.planned = False


_NO_KIT = Refused("no home-made thing is asked about here", "Say it by its path: `edit: set drink/1/component/...`.")


def set_ratio(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    """A bare ratio over the parts that were heard. Which is which must be certain: either all are equal, or named."""
    made = kit_for(spot, board)
    if made is None:
        return _NO_KIT
    named = readers.parts(re.sub(r"\s*,?\s*\bby (?:weight|volume)\b", "", words, flags=re.IGNORECASE))
    if named is not None:
        return set_parts(spot, words, board, readers)
    read = readers.ratio(words)
    if read is None:
        return Refused(f"“{words}” could not be read as a ratio", "Write it so: 2 parts sugar, 1 part water.")
    numbers, by = read
    kit, put = made
    items = [i for i in kit.items if not i.gone]
    if len(set(numbers)) > 1:
        names = [i.value.name for i in items] or ["sugar", "water"]
        return Refused(
            f"“{words}” does not say which of them is which",
            "Name them: "
            + ", ".join(f"{n:g} part{'s' if n != 1 else ''} {m}" for n, m in zip(numbers, names, strict=False))
            + ".",
        )
    if items and numbers and len(items) != len(numbers):
        return Refused(
            f"“{words}” has {len(numbers)} numbers, and {kit.value.name} has {len(items)} parts",
            "Name them: 2 parts sugar, 1 part water.",
        )
    if any(i.value.amount is not None and i.value.amount.unit not in (None, "part") for i in items):
        return Refused(
            f"{kit.value.name} has amounts already", "Name the parts with their amounts: 200 g sugar, 200 ml water."
        )
    one = readers.amount("1 part")
    if items and one is None:
        return Refused("a part could not be read", AMOUNT_HINT)

    def do() -> None:
        put()
        here = Spot("component", spot.sheet, kit)
        for item in items:
            assert one is not None
            item.value = item.value.model_copy(update={"amount": one.model_copy(update={"said": words})})
        update: dict[str, object] = {"ratio_by": by} if by else {}
        if not items:
            update["steps"] = (*kit.value.steps, Step(text=_sentence(words), at_s=None, evidence=hand(words)))
        kit.value = kit.value.model_copy(update=update)
        note(here, board, f"ratio “{words}”")

    said = " : ".join(f"{i.value.name} 1 part" for i in items) or f"“{_sentence(words)}”"
    return Plan(f"{kit.value.name}: {said}", do)


def _sentence(words: str) -> str:
    text = clean(words)
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else f"{text}."


def set_parts(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    """Amounts with their names. A part of that name gets the amount; a new name is a new part."""
    made = kit_for(spot, board)
    if made is None:
        return _NO_KIT
    by = re.search(r"\bby (weight|volume)\b", words, re.IGNORECASE)
    parts = readers.parts(re.sub(r"\s*,?\s*\bby (?:weight|volume)\b", "", words, flags=re.IGNORECASE))
    if parts is None:
        return Refused(
            f"“{words}” could not be read as amounts with their names", "Write it so: 2 parts sugar, 1 part water."
        )
    kit, put = made
    targets: list[tuple[Amount, str, Item | None]] = []
    for amount, name in parts:
        found = [i for i in kit.items if not i.gone and _same_part(i.value.name, name)]
        if len(found) > 1:
            return Refused(f"{kit.value.name} has {len(found)} parts that could be {name}", "Name it in full.")
        targets.append((amount, name, found[0] if found else None))

    def do() -> None:
        put()
        for amount, name, item in targets:
            if item is None:
                kit.items.append(_new_item(name, amount, readers))
            else:
                item.value = item.value.model_copy(update={"amount": amount})
                note(Spot("part", spot.sheet, kit, item), board, f"amount “{amount.said}”")
        if by is not None:
            kit.value = kit.value.model_copy(update={"ratio_by": by[1].lower()})
        note(Spot("component", spot.sheet, kit), board, f"parts “{words}”")

    said = ", ".join(f"{amount_key(a)} {i.value.name if i else n}" for a, n, i in targets)
    return Plan(f"{kit.value.name}: {said}", do)


def _same_part(have: str, said: str) -> bool:
    """ "water" means the "hot water" of the record, where the record has but one water."""
    a, b = plain(have).split(), plain(said).split()
    return a == b or (bool(b) and a[-len(b) :] == b)


def _new_item(name: str, amount: Amount | None, readers: Readers) -> Item:
    written, lexicon_id = readers.known(name)
    words = f"{amount.said} {name}" if amount is not None else name
    value = Ingredient(
        name=written,
        lexicon_id=lexicon_id,
        heard=name,
        amount=amount,
        notes=(f"{BY_HAND}added “{clean(words)}”",),
        at_s=None,
        evidence=hand(words),
    )
    return Item(value, None)


def set_time(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    made = kit_for(spot, board)
    if made is None:
        return _NO_KIT
    minutes = readers.time(words)
    if minutes is None:
        return Refused(f"“{words}” could not be read as a time", "Write it so: 20 minutes, 2 to 3 days.")
    kit, put = made

    def do() -> None:
        put()
        kit.value = kit.value.model_copy(update={"minutes": minutes})
        note(Spot("component", spot.sheet, kit), board, f"time “{words}”")

    span = f"{minutes.low:g}" if minutes.low == minutes.high else f"{minutes.low:g}-{minutes.high:g}"
    return Plan(f"{kit.value.name}: {span} minutes", do)


def set_heat(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    made = kit_for(spot, board)
    if made is None:
        return _NO_KIT
    celsius = readers.degrees(words)
    if celsius is None:
        return Refused(f"“{words}” could not be read as a temperature", "Write it with its scale: 80 C, 175 F.")
    kit, put = made

    def do() -> None:
        put()
        kit.value = kit.value.model_copy(update={"celsius": celsius})
        note(Spot("component", spot.sheet, kit), board, f"temperature “{words}”")

    return Plan(f"{kit.value.name}: {celsius.low:.0f} C", do)


def set_recipe(spot: Spot, words: str, board: Board) -> Planned:
    """How a home-made thing is made, in sentences as they are to be published."""
    made = kit_for(spot, board)
    if made is None:
        return _NO_KIT
    kit, put = made

    def do() -> None:
        put()
        step = Step(text=_sentence(words), at_s=None, evidence=hand(words))
        kit.value = kit.value.model_copy(update={"steps": (*kit.value.steps, step)})
        note(Spot("component", spot.sheet, kit), board, f"recipe “{words}”")

    return Plan(f"{kit.value.name}: “{_sentence(words)}”", do)


# ------------------------------------------------------------------------------------------------ adding, leaving out


def add_to(spot: Spot | None, words: str, board: Board, readers: Readers, drink: str | None = None) -> Planned:
    """Puts something with its amount into the drink (or the home-made thing) that is asked about."""
    read = readers.part(words)
    if read is None:
        return Refused(
            f"“{words}” could not be read as an amount with its name", "Write it so: half an ounce of falernum."
        )
    amount, name = read
    sheet = spot.sheet if spot is not None else None
    if sheet is None:
        named = [s for s in board.sheets if s.value.name == drink or (s.raw is not None and s.raw.name == drink)]
        if len(named) != 1:
            return Refused(
                "it is not known which drink it goes into", "Say it by its path: `edit: add drink/1/ingredient/...`."
            )
        sheet = named[0]
    kit = spot.kit if spot is not None and spot.role in ("part", "component") else None
    here = Spot("component", sheet, kit) if kit is not None else Spot("drink", sheet)
    return add_item(here, "ingredient", name, amount, board, readers)


def add_item(spot: Spot, role: str, name: str, amount: Amount | None, board: Board, readers: Readers) -> Planned:
    sheet, kit = spot.sheet, spot.kit
    if sheet is None:
        return Refused("no drink is named", "Begin the path with the drink: drink/1/...")
    into = kit.items if kit is not None else sheet.garnishes if role == "garnish" else sheet.pours
    if any(same_name(i.value.name, name) and not i.gone for i in into):
        owner = kit.value.name if kit is not None else sheet.value.name
        return Refused(f"{owner} has {name} already", "Set its amount instead.")

    def do() -> None:
        into.append(_new_item(name, amount, readers))

    size = f"{amount_key(amount)} " if amount is not None else ""
    return Plan(f"added {size}{name} to {(kit or sheet).value.name}", do)


def drop(spot: Spot, board: Board) -> Planned:
    """Takes the thing out, and the questions about it with it. The drink (or the record) keeps a note."""
    thing = spot.thing
    if thing is None:
        return Refused("there is nothing here to take out", "`leave as it is` closes the question.")
    name = thing.value.name
    above = {
        "part": Spot("component", spot.sheet, spot.kit),
        "drink": None,
    }.get(spot.role, Spot("drink", spot.sheet))

    def do() -> None:
        thing.gone = True
        if spot.role in ("ingredient", "garnish") and spot.sheet is not None:
            for kit in spot.sheet.kits:
                still = any(same_name(i.value.name, name) and not i.gone for s in board.sheets for i in s.pours)
                if same_name(kit.value.name, name) and not still:
                    kit.gone = True
        size = (
            f", {amount_key(thing.value.amount)}" if isinstance(thing.value, Ingredient) and thing.value.amount else ""
        )
        what = f"the recipe of {name}" if isinstance(thing.value, Component) else f"{name}{size}"
        note(above, board, f"left out {what}")
        for asked in board.asked:
            if asked.spot is not None and _inside(asked.spot, thing):
                asked.closed = True

    kind = "the drink " if isinstance(thing.value, Drink) else ""
    return Plan(f"{kind}{name} is left out", do)


def drop_named(spot: Spot | None, words: str, board: Board) -> Planned:
    """Takes the named things out of the drink that is asked about; all that is said must be names of things in it."""
    sheet = spot.sheet if spot is not None else None
    if sheet is None:
        return Refused(
            "it is not known out of which drink", "Say it by its path: `edit: remove drink/1/ingredient/...`."
        )
    spots = [Spot("ingredient", sheet, None, i) for i in sheet.pours if not i.gone]
    spots += [Spot("garnish", sheet, None, i) for i in sheet.garnishes if not i.gone]
    named = _names_in([w for w in plain(words).split() if w != "and"], spots)
    if named is None:
        return Refused(
            f"“{words}” is not what {sheet.value.name} holds",
            f"It holds: {', '.join(s.item.value.name for s in spots if s.item is not None)}.",
        )
    return together([drop(s, board) for s in named])


def _names_in(words: list[str], spots: list[Spot]) -> list[Spot] | None:
    """The things whose names make up the words, one after another; None where any word is left over."""
    if not words:
        return []
    for spot in sorted(spots, key=lambda s: -len(plain(s.item.value.name).split()) if s.item else 0):
        name = plain(spot.item.value.name).split() if spot.item is not None else []
        if name and words[: len(name)] == name:
            rest = _names_in(words[len(name) :], [s for s in spots if s is not spot])
            if rest is not None:
                return [spot, *rest]
    return None


def _inside(spot: Spot, thing: Item | Kit | Sheet) -> bool:
    return thing in (spot.item, spot.kit if spot.item is None or spot.role == "part" else None) or spot.sheet is thing


def disclose(spot: Spot | None, words: str, board: Board) -> Planned:
    line = clean(words)

    def do() -> None:
        if line not in board.disclosures:
            board.disclosures.append(line)
        note(spot, board, f"to be told: “{line}”")

    return Plan(f"to be told: “{line}”", do)


def remark(spot: Spot | None, words: str, board: Board) -> Planned:
    return Plan(f"noted: “{clean(words)}”", lambda: note(spot, board, words))
