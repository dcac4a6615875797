"""The path of a field in the record, for edits: what a person puts right without having been asked.

    path  = "drink/" which ["/" rest]
    rest  = "name" | "glass" | "ice" | "servings" | "mixing" | "steps" | "note"
          | ("ingredient" | "garnish") "/" which ["/" ("amount" | "name" | "optional" | "note")]
          | "component/" which ["/" ("name" | "minutes" | "celsius" | "ratio" | "parts" | "recipe" | "note"
                                     | "ingredient/" which ["/" ...])]
    which = a name, a name and "#2" for the second of that name, or a number from 1
    verb  = set (a field) | add (something under its name) | remove (the thing at the path)

`set drink/2/ingredient/lime juice/amount`. A slash or a `#` inside a name has a backslash before it. An edit is
kept under the names that the talk gave, so that renaming one thing does not cut the edits of another loose.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractor.answers.answer import clean
from extractor.answers.board import Board, Item, Kit, Sheet, Spot
from extractor.answers.likeness import same_name

VERBS = ("set", "add", "remove")
ITEM_FIELDS = ("amount", "name", "optional", "note")
KIT_FIELDS = ("name", "minutes", "celsius", "ratio", "parts", "recipe", "note")
DRINK_FIELDS = ("name", "glass", "ice", "servings", "mixing", "steps", "note")
_FORM = "Write it so: set drink/1/ingredient/lime juice/amount (or add, or remove)."


@dataclass(frozen=True, slots=True)
class Edit:
    """An edit whose path was found. `new` is the name of what is added; `spot` is then what it is added to."""

    verb: str
    spot: Spot
    field: str
    """A field's name; `present` where the thing itself is removed; `ingredient` or `garnish` where one is added."""
    new: str | None = None


@dataclass(frozen=True, slots=True)
class BadPath:
    """Why a path leads nowhere, and what there is instead."""

    why: str
    hint: str


def split(path: str) -> list[str]:
    """The steps of a path, without their backslashes taken off."""
    return [s.strip() for s in re.findall(r"(?:^|(?<=/))((?:\\.|[^/\\])*)(?=/|$)", clean(path))]


def escape(name: str) -> str:
    return re.sub(r"([\\/#])", r"\\\1", clean(name))


def _unescape(step: str) -> str:
    return re.sub(r"\\(.)", r"\1", step)


def find(id: str, board: Board) -> Edit | BadPath:
    """The place that `verb path` names in the record as it stands: names of now first, names of the talk next."""
    verb, _, path = clean(id).partition(" ")
    if verb not in VERBS:
        return BadPath(f"“{verb}” is none of {', '.join(VERBS)}", _FORM)
    steps = split(path)
    if len(steps) < 2 or steps[0] != "drink":
        return BadPath(f"“{path}” does not begin with a drink", _FORM)
    sheet = _which(steps[1], [s for s in board.sheets if not s.gone], "drink")
    if isinstance(sheet, BadPath):
        return sheet
    assert isinstance(sheet, Sheet)
    rest = steps[2:]
    if not rest:
        return Edit(verb, Spot("drink", sheet), "present") if verb == "remove" else _no_field(path, DRINK_FIELDS)
    if rest[0] in ("ingredient", "garnish"):
        items = sheet.pours if rest[0] == "ingredient" else sheet.garnishes
        return _item(verb, rest, items, Spot("drink", sheet), path)
    if rest[0] == "component" and len(rest) > 1:
        kit = _which(rest[1], [k for k in sheet.kits if not k.gone], "home-made thing")
        if isinstance(kit, BadPath):
            return kit
        assert isinstance(kit, Kit)
        if len(rest) == 2:
            return (
                Edit(verb, Spot("component", sheet, kit), "present")
                if verb == "remove"
                else _no_field(path, KIT_FIELDS)
            )
        if rest[2] == "ingredient":
            return _item(verb, rest[2:], kit.items, Spot("component", sheet, kit), path)
        return _field(verb, rest[2:], Spot("component", sheet, kit), KIT_FIELDS, path)
    return _field(verb, rest, Spot("drink", sheet), DRINK_FIELDS, path)


def _item(verb: str, rest: list[str], items: list[Item], within: Spot, path: str) -> Edit | BadPath:
    role = rest[0]
    if len(rest) < 2 or not rest[1]:
        return BadPath(f"“{path}” does not say which {role}", _FORM)
    if verb == "add":
        if len(rest) > 2:
            return BadPath("what is added is given by its name alone", "Write the amount behind `answer:`.")
        return Edit(verb, within, role, new=_unescape(rest[1]))
    item = _which(rest[1], [i for i in items if not i.gone], role)
    if isinstance(item, BadPath):
        return item
    assert isinstance(item, Item)
    spot = Spot("part" if within.kit is not None else role, within.sheet, within.kit, item)
    if len(rest) == 2:
        return Edit(verb, spot, "present") if verb == "remove" else _no_field(path, ITEM_FIELDS)
    return _field(verb, rest[2:], spot, ITEM_FIELDS, path)


def _field(verb: str, rest: list[str], spot: Spot, fields: tuple[str, ...], path: str) -> Edit | BadPath:
    if len(rest) != 1 or rest[0] not in fields:
        return _no_field(path, fields)
    if verb != "set":
        return BadPath(f"a field is set, not {verb}ed", "To empty a field, answer `drop it`.")
    return Edit(verb, spot, rest[0])


def _no_field(path: str, fields: tuple[str, ...]) -> BadPath:
    return BadPath(f"“{path}” names no field", f"End the path with one of: {', '.join(fields)}.")


def _which(step: str, things: Sequence[Item | Kit | Sheet], what: str) -> Item | Kit | Sheet | BadPath:
    turn = re.search(r"(?<!\\)#(\d{1,3})$", step)
    name = _unescape(step[: turn.start()] if turn else step)
    found = [t for t in things if same_name(t.value.name, name)]
    found = found or [t for t in things if t.raw is not None and same_name(t.raw.name, name)]
    if not found and name.isdigit() and turn is None and 1 <= int(name) <= len(things):
        return things[int(name) - 1]
    if turn is not None and 1 <= int(turn[1]) <= len(found):
        return found[int(turn[1]) - 1]
    if len(found) == 1 and turn is None:
        return found[0]
    if found and turn is None:
        return BadPath(
            f"there are {len(found)} of the name {name}",
            f"Write {name}#1 for the first of them, {name}#2 for the second.",
        )
    names = ", ".join(dict.fromkeys(t.value.name for t in things))
    return BadPath(
        f"there is no {what} {_unescape(step)}", f"There is: {names}." if names else f"There is no {what} at all."
    )


def path_of(edit: Edit, board: Board) -> str:
    """`verb path` under the names that the talk gave: the id under which the edit is kept."""
    spot, steps = edit.spot, ["drink"]
    assert spot.sheet is not None
    steps.append(_step(spot.sheet, board.sheets))
    if spot.kit is not None:
        steps += ["component", _step(spot.kit, spot.sheet.kits)]
    if spot.item is not None:
        steps += ["garnish" if spot.role == "garnish" else "ingredient"]
        steps.append(_step(spot.item, spot.siblings))
    if edit.new is not None:
        steps += [edit.field, escape(edit.new)]
    elif edit.field != "present":
        steps.append(edit.field)
    return f"{edit.verb} {'/'.join(steps)}"


def _step(thing: Item | Kit | Sheet, things: Sequence[Item | Kit | Sheet]) -> str:
    name = (thing.raw or thing.value).name
    same = [t for t in things if same_name((t.raw or t.value).name, name)]
    return escape(name) + (f"#{same.index(thing) + 1}" if len(same) > 1 else "")
