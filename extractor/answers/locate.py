"""Finds the thing that an answer was given for, in a record that was made of other captions of the same talk.

Three outcomes, and the middle one is why this exists:
  found      the same thing, its name perhaps garbled in another way
  instead    something else stands where it stood, or it moved: to be shown, never applied
  lost       nothing here is it
Names alone don't decide (a recogniser garbles them), places alone don't either (a drink more shifts them all).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractor.answers.answer import Ground, clean
from extractor.answers.board import Board, Item, Kit, Sheet, Spot
from extractor.answers.likeness import FIRM, IN_PLACE, SAME_THING, alike, overlap

SAME_SECOND = 2.0
"""Seconds by which two recognitions of one recording may differ about when a thing was said."""
_AHEAD = 0.1
"""By how much the best must lead the next, to be it."""


@dataclass(frozen=True, slots=True)
class Found:
    spot: Spot


@dataclass(frozen=True, slots=True)
class Instead:
    """`spot` is where the thing would be; `why` says in words why it is not taken for it."""

    spot: Spot
    why: str


@dataclass(frozen=True, slots=True)
class Lost:
    why: str


Located = Found | Instead | Lost


def locate(ground: Ground, board: Board, also: Sequence[str] = ()) -> Located:
    """Where the thing of `ground` is in the talk as it is now read. `also`: names that a hand has given it."""
    if ground.drink is None:
        return Found(Spot("episode")) if ground.role == "episode" else Lost("it names no drink")
    found = _sheet(ground, board)
    if not isinstance(found, Found):
        return found
    sheet = found.spot.sheet
    assert sheet is not None
    if ground.role in ("drink", "episode"):
        return found
    if ground.role == "component":
        return _among(ground, [Spot("component", sheet, k) for k in sheet.kits if k.raw], sheet, also)
    if ground.role == "part":
        return _part(ground, sheet, also)
    pours = [Spot("ingredient", sheet, None, i) for i in sheet.pours if i.raw]
    garnishes = [Spot("garnish", sheet, None, i) for i in sheet.garnishes if i.raw]
    here, there = (pours, garnishes) if ground.role == "ingredient" else (garnishes, pours)
    located = _among(ground, here, sheet, also)
    if isinstance(located, Lost):
        moved = [s for s in there if alike(ground.about, _name(s)) == 1.0]
        if len(moved) == 1:
            return Instead(moved[0], f"{ground.about} is now read as {_as(moved[0])}")
    return located


# ------------------------------------------------------------------------------------------------ the drink


def _sheet(ground: Ground, board: Board) -> Located:
    sheets = [s for s in board.sheets if s.raw is not None]
    exact = [s for s in sheets if _sheet_name(ground, s) == 1.0]
    if len(exact) == 1:
        return _checked(ground, exact[0])
    if exact:
        ranked = sorted(exact, key=lambda s: (-_shared(ground, s), not _in_place(ground, s, board)))
        first, second = ranked[0], ranked[1]
        if _shared(ground, first) > _shared(ground, second) + _AHEAD or (
            _in_place(ground, first, board) and not any(_in_place(ground, s, board) for s in ranked[1:])
        ):
            return _checked(ground, first)
        return Lost(f"there are {len(exact)} drinks named {ground.drink}, and it cannot be told which is meant")
    scored = sorted(((_score(ground, s, board), n) for n, s in enumerate(sheets)), reverse=True)
    if scored and scored[0][0] > 0 and (len(scored) == 1 or scored[0][0] >= scored[1][0] + _AHEAD):
        return Found(Spot("drink", sheets[scored[0][1]]))
    return Lost(f"no drink here is {ground.drink}")


def _checked(ground: Ground, sheet: Sheet) -> Located:
    """The same name on a drink that shares nothing with it is another drink."""
    names = _pours(sheet)
    if len(ground.within) >= 2 and len(names) >= 2 and _shared(ground, sheet) == 0:
        return Instead(Spot("drink", sheet), f"the drink named {ground.drink} holds other things than it did")
    return Found(Spot("drink", sheet))


def _score(ground: Ground, sheet: Sheet, board: Board) -> float:
    """How sure it is that a drink of another name is the one; 0 where it must not be taken for it."""
    name, shared, place = _sheet_name(ground, sheet), _shared(ground, sheet), _in_place(ground, sheet, board)
    inside = _inside(ground, sheet)
    if _is_besides(ground, sheet):
        return 0.0
    if name >= SAME_THING - 0.05 and (shared >= 0.3 or inside or (place and not ground.within)):
        return 1 + name + shared
    several = shared * max(len(ground.within), len(_pours(sheet))) > 1.5  # one thing in common makes no drink
    if several and (shared >= 0.75 or (shared >= 0.5 and (place or inside))):
        return 1 + shared
    # Never named, and read just as before: in its place, at its time, with what it held, be it one thing.
    if ground.unnamed and place and inside and ground.within and list(ground.within) == _pours(sheet):
        return 1.0
    # Told at the same time of the recording, with most of the same things: its list has grown or shrunk.
    return 0.5 + shared if inside and _contained(ground, sheet) >= 0.5 else 0.0


def _is_besides(ground: Ground, sheet: Sheet) -> bool:
    """It bears the name of another drink of the talk: there two have been run together, or this one is gone."""
    name = _sheet_name(ground, sheet)
    raw = sheet.raw
    return raw is not None and any(alike(raw.name, other) >= max(SAME_THING, name + _AHEAD) for other in ground.besides)


def _inside(ground: Ground, sheet: Sheet) -> bool:
    raw = sheet.raw
    if raw is None or raw.start_s is None or raw.end_s is None or ground.told_s is None:
        return False
    return raw.start_s - SAME_SECOND <= ground.told_s <= raw.end_s


def _contained(ground: Ground, sheet: Sheet) -> float:
    """The share of the shorter list of ingredients that the other holds; one thing in common is none."""
    few, many = sorted((list(ground.within), _pours(sheet)), key=len)
    common = overlap(few, many) * len(many)
    return common / len(few) if common > 1.5 else 0.0


def _sheet_name(ground: Ground, sheet: Sheet) -> float:
    """A stopgap for a drink that was never named is no name."""
    raw = sheet.raw
    if raw is None or ground.unnamed or raw.name_heard is None:
        return 0.0
    return max(alike(ground.drink, raw.name), alike(ground.drink, raw.name_heard))


def _pours(sheet: Sheet) -> list[str]:
    return [i.raw.name for i in sheet.pours if i.raw is not None]


def _shared(ground: Ground, sheet: Sheet) -> float:
    return overlap(ground.within, _pours(sheet))


def _in_place(ground: Ground, sheet: Sheet, board: Board) -> bool:
    return ground.place == board.sheets.index(sheet) + 1


# ------------------------------------------------------------------------------------------------ the thing in it


def _part(ground: Ground, sheet: Sheet, also: Sequence[str]) -> Located:
    kits = [Spot("component", sheet, k) for k in sheet.kits if k.raw]
    kit = _best([(alike(ground.component, _name(s)), s) for s in kits], SAME_THING)
    if kit is None or kit.kit is None:
        return Lost(f"{ground.drink} has no home-made {ground.component} here")
    return _among(ground, [Spot("part", sheet, kit.kit, i) for i in kit.kit.items if i.raw], sheet, also)


def _among(ground: Ground, spots: list[Spot], sheet: Sheet, also: Sequence[str]) -> Located:
    exact = [s for s in spots if alike(ground.about, _name(s)) == 1.0]
    if len(exact) == 1 and (ground.turn is None or len(spots) == 1):
        return _known(ground, exact[0])
    if exact:
        return _namesake(ground, exact, sheet)
    scored = []
    for spot in spots:
        like, support = _like(ground, spot, also), _support(ground, spot)
        if not _other_thing(ground, spot) and like >= _least(ground, spot, support):
            scored.append((like + 0.05 * support, spot))
    found = _best(scored, 0.0)
    if found is not None:
        return Found(found)
    if scored:
        return Lost(f"several things in {ground.drink} could be the {ground.about}")
    standing = [s for s in spots if _sides(ground, s) == 2]
    if len(standing) == 1 and (ground.before is not None or ground.after is not None):
        return Instead(standing[0], f"where {ground.about} stood, {_name(standing[0])} is now heard")
    likely = _best([(_like(ground, s, also), s) for s in spots if _support(ground, s) >= 1], SAME_THING)
    if likely is not None:
        return Instead(likely, f"where {ground.about} stood, {_name(likely)} is now heard")
    return Lost(f"no {ground.about} is heard in {_title(sheet)} now")


def _known(ground: Ground, spot: Spot) -> Located:
    if _other_thing(ground, spot):
        return Instead(spot, f"{ground.about} is now read as another thing of that name")
    return Found(spot)


def _namesake(ground: Ground, exact: list[Spot], sheet: Sheet) -> Located:
    """Several of one name, or fewer of them than there were: its neighbours and its words must tell which it is."""
    if len(exact) == 1:
        spot = exact[0]
        if _sides(ground, spot) == 2:
            return _known(ground, spot)
        return Instead(spot, f"{ground.about} was told more than once in {ground.drink}, and is told once now")
    by_sides = sorted(exact, key=lambda s: -_sides(ground, s))
    if _sides(ground, by_sides[0]) > _sides(ground, by_sides[1]):
        return _known(ground, by_sides[0])
    if ground.turn is not None and len(exact) == ground.turns and ground.turn <= len(exact):
        return _known(ground, exact[ground.turn - 1])
    return Lost(f"{ground.about} is told {len(exact)} times in {_title(sheet)}, and it cannot be told which is meant")


def _best(scored: list[tuple[float, Spot]], least: float) -> Spot | None:
    ranked = sorted(scored, key=lambda pair: -pair[0])
    if not ranked or ranked[0][0] < least or ranked[0][0] == 0:
        return None
    if len(ranked) > 1 and ranked[0][0] < ranked[1][0] + _AHEAD:
        return None
    return ranked[0][1]


def _least(ground: Ground, spot: Spot, support: int) -> float:
    """How like the spellings must be, with so many signs of the place for them.

    Two garbles of one name are often far from each other (half of them below 0.7), so the place has to help. It only
    may where the new name is unknown: then its own question is open too, and a person looks at it. A known name in the
    place of an unknown one may be another thing misheard for it.
    """
    known_now = spot.item is not None and spot.item.raw is not None and spot.item.raw.lexicon_id is not None
    if known_now and ground.known is None:
        return SAME_THING if support else FIRM
    return (FIRM, SAME_THING, IN_PLACE, IN_PLACE)[support]


def _support(ground: Ground, spot: Spot) -> int:
    """Signs that it is the place: a neighbour before, a neighbour behind, the same second of the recording."""
    item = spot.item.raw if spot.item is not None else None
    at_s = item.at_s if item is not None else None
    same = ground.told_s is not None and at_s is not None and abs(at_s - ground.told_s) <= SAME_SECOND
    return _sides(ground, spot) + int(same)


def _like(ground: Ground, spot: Spot, also: Sequence[str] = ()) -> float:
    """The best of name and words heard, each against each: either recognition may have had it right."""
    mine = {ground.about, ground.heard, *also}
    theirs = {_name(spot), _heard(spot)}
    return max((alike(a, b) for a in mine for b in theirs), default=0.0)


def _other_thing(ground: Ground, spot: Spot) -> bool:
    """Both are known to the lexicon, as different things: lime juice is no other spelling of lemon juice."""
    now = spot.item.raw.lexicon_id if spot.item is not None and spot.item.raw is not None else None
    return ground.known is not None and now is not None and ground.known != now


def _sides(ground: Ground, spot: Spot) -> int:
    """On how many sides its neighbour is the one it had; the end of the list is a neighbour too."""
    told: list[Item] | list[Kit] = [s for s in spot.siblings if s.raw is not None]  # type: ignore[assignment]
    at = told.index(spot.thing)  # type: ignore[arg-type]
    before = told[at - 1] if at else None
    after = told[at + 1] if at + 1 < len(told) else None
    return int(_side(ground.before, before)) + int(_side(ground.after, after))


def _side(name: str | None, thing: Item | Kit | None) -> bool:
    if name is None or thing is None:
        return name is None and thing is None
    return thing.raw is not None and alike(name, thing.raw.name) >= SAME_THING


def _name(spot: Spot) -> str:
    if spot.item is not None:
        return (spot.item.raw or spot.item.value).name
    return (spot.kit.raw or spot.kit.value).name if spot.kit is not None else ""


def _heard(spot: Spot) -> str:
    return (spot.item.raw or spot.item.value).heard if spot.item is not None else _name(spot)


def _as(spot: Spot) -> str:
    return {"garnish": "a garnish", "ingredient": "an ingredient"}.get(spot.role, spot.role)


def _title(sheet: Sheet) -> str:
    return clean((sheet.raw or sheet.value).name)
