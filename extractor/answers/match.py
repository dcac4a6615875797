"""Which answers still hold for a talk that was read anew, which must be shown again, and which have lost their place.

An answer holds where its thing is found (locate.py) and the record holds in the field asked about what it held when
the answer was given; then it does not matter whether the question is still asked, or under which id. Where the thing
is another or the record holds something else, the answer is never applied: it becomes a question, with the earlier
answer as the first offer. An answer's id alone proves nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import cast

from extractor.answers.answer import NOTHING, Answer, Answers, Ground, Offer, clean
from extractor.answers.board import (
    AMOUNT_KINDS,
    FIELD_OF_KIND,
    KIT_KINDS,
    Asked,
    Board,
    Spot,
    amount_key,
    claim_key,
    ground_of,
    held_of,
)
from extractor.answers.likeness import SAME_THING, alike, same_name
from extractor.answers.locate import Found, Instead, Located, Lost, locate
from extractor.answers.paths import BadPath, find
from extractor.answers.readers import ReadAmount
from extractor.answers.replies import Fault, Later, Leave, Reply, Words, read_reply
from extractor.record import Episode, Question, Suggestion
from extractor.record.episode import QuestionKind

EARLIER = "~earlier"
"""Ends the id of a question that an answer raises, where the answer's own id is that of another question now."""
_SAME_WORDS = 0.6
"""How like the words of a gift or a sponsor must still be for its answer to hold."""
_FIELD_KINDS: dict[str, QuestionKind] = {
    "amount": "amount-conflict",
    "present": "amount-conflict",
    "name": "name-unsure",
    "glass": "glass-missing",
    "mixing": "method-missing",
    "steps": "method-missing",
    "minutes": "component-incomplete",
    "celsius": "component-incomplete",
    "ratio": "component-incomplete",
    "parts": "component-incomplete",
    "recipe": "component-incomplete",
}
_WITHOUT_GROUND = ("note", "recipe", "line")
"""Fields in which the hand only adds words: there is nothing in the record that could have changed under them."""


@dataclass(frozen=True)
class Holds:
    """To be applied at `spot`; `asked` is the question that it closes, None where that is no longer asked."""

    answer: Answer
    spot: Spot | None
    asked: Asked | None


@dataclass(frozen=True)
class Changed:
    """Not applied: its ground is another now. `question` asks again."""

    answer: Answer
    question: Question
    why: str
    asked: Asked | None = None
    spot: Spot | None = None


@dataclass(frozen=True)
class Orphaned:
    """Not applied: its thing is not in this record. `question` says so, so that it is seen."""

    answer: Answer
    question: Question
    why: str


@dataclass(frozen=True)
class Matched:
    holds: tuple[Holds, ...] = ()
    changed: tuple[Changed, ...] = ()
    orphaned: tuple[Orphaned, ...] = ()
    settled: tuple[Answer, ...] = ()
    """Nothing is left to do: the talk now says the same, or the answer was only about a question that is gone."""


@dataclass
class _Sorted:
    read_amount: ReadAmount | None = None
    twice: dict[tuple[str | None, int | None], str] = field(default_factory=dict)
    """Drinks of the grounds that would all be one drink now, and why none of them is taken for it."""
    holds: list[Holds] = field(default_factory=list)
    changed: list[Changed] = field(default_factory=list)
    orphaned: list[Orphaned] = field(default_factory=list)
    settled: list[Answer] = field(default_factory=list)


def match_answers(answers: Answers, episode: Episode, *, read_amount: ReadAmount | None = None) -> Matched:
    """How each given answer stands to a record as it was read from the captions (before any answer was applied).

    With `read_amount` an amount that the talk itself now gives is seen to be what was answered; without it, it is
    asked about once more.
    """
    return match_on(answers, Board(episode), read_amount)


def match_on(answers: Answers, board: Board, read_amount: ReadAmount | None = None) -> Matched:
    """As `match_answers`, on a board on which nothing has been changed yet."""
    out = _Sorted(read_amount)
    taken: set[int] = set()
    # Those whose id is still asked come first, so that none of them loses its question to a look-alike.
    ids = {a.question.id for a in board.asked}
    names = _given_names(answers)
    out.twice = _run_together(answers, board)
    for answer in sorted(answers.given, key=lambda a: a.id not in ids):
        _sort(answer, board, out, taken, names)
    order = {a.id: n for n, a in enumerate(answers.entries)}
    return Matched(
        holds=tuple(sorted(out.holds, key=lambda h: order[h.answer.id])),
        changed=tuple(sorted(out.changed, key=lambda c: order[c.answer.id])),
        orphaned=tuple(sorted(out.orphaned, key=lambda o: order[o.answer.id])),
        settled=tuple(out.settled),
    )


def field_of(answer: Answer) -> str:
    """The field of the record that an answer is about."""
    if answer.is_edit:
        verb, _, path = answer.id.partition(" ")
        last = re.split(r"(?<!\\)/", path)[-1]
        return {"add": "added", "remove": "present"}.get(verb, last)
    return FIELD_OF_KIND.get(answer.kind, answer.kind)


def bind(answers: Answers, episode: Episode) -> Answers:
    """Gives each answer that was written without a ground the ground of the question of its id, as it stands now.

    One whose id is not asked stays without: it will be shown as having lost its place.
    """
    if all(a.ground is not None for a in answers.entries):
        return answers
    board = Board(episode)
    asked = {a.question.id: a for a in board.asked}
    entries = []
    for answer in answers.entries:
        if answer.ground is None and answer.is_edit:
            edit = find(answer.id, board)
            if not isinstance(edit, BadPath):
                ground = ground_of(edit.spot, field_of(answer), board)
                answer = answer.model_copy(update={"ground": ground})
        elif answer.ground is None and answer.id in asked:
            here = asked[answer.id]
            answer = answer_to(here.question, episode, answer.given, board=board).model_copy(
                update={"by": answer.by, "comments": answer.comments, "revision": answer.revision}
            )
        entries.append(answer)
    return answers.model_copy(update={"entries": tuple(entries)})


def answer_to(question: Question, draft: Episode, given: str = "", *, board: Board | None = None) -> Answer:
    """An answer to this question of this draft (empty: its block in a form), with the ground that it rests on."""
    board = board or Board(draft)
    asked = next((a for a in board.asked if a.question.id == question.id), None)
    spot = asked.spot if asked is not None else None
    ground = ground_of(spot, FIELD_OF_KIND[question.kind], board, question)
    return Answer(
        id=question.id,
        kind=question.kind,
        given=given,
        offers=tuple(Offer(answer=s.answer, reason=s.reason) for s in question.suggestions),
        ground=ground,
        asked=question.text,
        blocking=question.blocking,
    )


# ------------------------------------------------------------------------------------------------ one answer


def _run_together(answers: Answers, board: Board) -> dict[tuple[str | None, int | None], str]:
    """One drink cannot be two: of several drinks that are now found in one, only the one of its very name is it."""
    found: dict[int, list[Ground]] = {}
    grounds = [a.ground for a in answers.given if a.ground is not None and a.ground.place is not None]
    for ground in {(g.drink, g.place): g for g in grounds}.values():
        located = locate(ground.model_copy(update={"role": "drink"}), board) if ground.drink is not None else None
        if isinstance(located, Found) and located.spot.sheet is not None:
            found.setdefault(board.sheets.index(located.spot.sheet), []).append(ground)
    out = {}
    for n, those in found.items():
        name = board.sheets[n].value.name
        own = [g for g in those if same_name(g.drink, name)]
        if len(those) > 1:
            others = [g for g in those if len(own) != 1 or g is not own[0]]
            told = " and ".join(dict.fromkeys(g.drink or "" for g in those))
            out.update({(g.drink, g.place): f"{told} are now read as one drink, {name}" for g in others})
    return out


def _given_names(answers: Answers) -> dict[tuple[str | None, str], list[str]]:
    """What hands have named things: where the talk now gives that very name, it is that thing, however garbled."""
    out: dict[tuple[str | None, str], list[str]] = {}
    for answer in answers.given:
        reply = read_reply(answer.given, answer.offers, edit=answer.is_edit)
        named = field_of(answer) == "name" and answer.ground is not None and isinstance(reply, Words)
        if named and answer.ground is not None and isinstance(reply, Words) and reply.parts[0].field in (None, "name"):
            out.setdefault((answer.ground.drink, answer.ground.about), []).append(reply.parts[0].words)
    return out


def _sort(
    answer: Answer, board: Board, out: _Sorted, taken: set[int], names: dict[tuple[str | None, str], list[str]]
) -> None:
    reply = read_reply(answer.given, answer.offers, edit=answer.is_edit)
    if reply is None or isinstance(reply, Fault):
        return
    ground, subject = answer.ground, field_of(answer)
    if ground is None:
        _lost(answer, reply, "its question is not asked here", board, out)
        return
    if answer.is_edit and (subject == "added" or ground.held.startswith(f"{NOTHING}: added by hand")):
        _hand_made(answer, reply, ground, board, out)
        return
    # Without a drink the thing was never found in the record: only the very same question can be its own.
    asked = None if answer.is_edit else _asked(answer, ground, None, board, taken)
    located: Located
    if ground.drink is not None and ground.role == "episode":
        located = (
            Found(Spot("episode"))
            if asked is not None
            else Lost(f"its question about {ground.about} is not asked here")
        )
    else:
        located = locate(ground, board, names.get((ground.drink, ground.about), ()))
        why = out.twice.get((ground.drink, ground.place))
        if why is not None and isinstance(located, Found):
            located = Instead(located.spot, why)
    if isinstance(located, Lost):
        _lost(answer, reply, located.why, board, out)
        return
    spot = located.spot
    if not answer.is_edit and spot.thing is not None:
        asked = _asked(answer, ground, spot, board, taken)
    if isinstance(located, Instead):
        if subject == "name" and _already(reply, subject, spot, out.read_amount):
            out.settled.append(answer)
        else:
            _changed(answer, reply, located.why, spot, asked, board, out, taken)
        return
    why = _ground_moved(answer, ground, subject, spot, asked, board)
    if why is not None:
        if _already(reply, subject, spot, out.read_amount):
            out.settled.append(answer)
            _take(asked if asked and asked.question.kind == answer.kind else None, taken)
        else:
            _changed(answer, reply, why, spot, asked, board, out, taken)
        return
    if asked is None and isinstance(reply, Leave | Later):
        out.settled.append(answer)
        return
    if asked is None and subject == "claim":
        # What it was about is not claimed, or not found wanting, any more.
        out.settled.append(answer)
        return
    _take(asked, taken)
    out.holds.append(Holds(answer, spot if spot.thing is not None else None, asked))


def _take(asked: Asked | None, taken: set[int]) -> None:
    if asked is not None:
        taken.add(id(asked))


def _asked(answer: Answer, ground: Ground, spot: Spot | None, board: Board, taken: set[int]) -> Asked | None:
    """The open question about the same field of the same thing: that of its id first, then the only one."""
    subject = field_of(answer)
    here = [
        a
        for a in board.asked
        if id(a) not in taken
        and FIELD_OF_KIND[a.question.kind] == subject
        and (_same_spot(a, spot) if spot is not None else a.spot is None or a.spot.thing is None)
    ]
    if spot is None or subject in ("claim", "disclosure"):
        here = [a for a in here if _same_subject(a, ground)]
    if subject == "component":
        # The ratio's answer says nothing of the time: each missing part has its own.
        here = [a for a in here if a.question.kind == answer.kind and _missing(a) in (ground.missing or "", "")]
    for fits in (
        [a for a in here if a.question.id == answer.id and a.question.kind == answer.kind],
        [a for a in here if a.question.kind == answer.kind],
        here,
    ):
        if len(fits) == 1:
            return fits[0]
        if fits:
            return None
    return None


def _same_spot(asked: Asked, spot: Spot) -> bool:
    if asked.spot is None:
        return False
    if asked.spot.is_spot(spot):
        return True
    # A home-made thing may be asked about where it is poured, before it has a recipe, and by its recipe later.
    if asked.question.kind in KIT_KINDS and asked.spot.sheet is spot.sheet:
        mine, theirs = spot.item or spot.kit, asked.spot.item or asked.spot.kit
        return mine is not None and theirs is not None and same_name(mine.value.name, theirs.value.name)
    return False


def _same_subject(asked: Asked, ground: Ground) -> bool:
    q = asked.question
    same_drink = (
        (q.drink is None and ground.drink is None)
        or alike(q.drink, ground.drink) >= SAME_THING
        or asked.spot is not None
    )
    return same_drink and (alike(q.about, ground.about) >= SAME_THING or clean(q.about) == ground.about)


def _missing(asked: Asked) -> str:
    found = asked.question.context.get("missing")
    if not found:
        return ""
    return clean(", ".join(sorted(map(str, found))) if isinstance(found, list | tuple | set) else str(found))


def _ground_moved(
    answer: Answer, ground: Ground, subject: str, spot: Spot, asked: Asked | None, board: Board
) -> str | None:
    """What is different from when the answer was given, in words; None where nothing that it rests on is."""
    now = ground_of(spot, subject, board, asked.question if asked is not None else None)
    if subject in _WITHOUT_GROUND:
        return None
    if subject == "claim":
        if asked is None:
            return None
        return (
            None
            if _claim(ground.held) == _claim(claim_key(asked.question))
            else "what is claimed, or what was found, is different now"
        )
    if subject == "disclosure":
        if asked is None or alike(ground.held, now.held) >= _SAME_WORDS or ground.held == now.held:
            return None
        return "other words are heard now"
    held = now.held if asked is not None else held_of(subject, spot)
    if subject == "name":
        if answer.is_edit or ground.role in ("drink", "component"):
            same = alike(ground.held, held) >= SAME_THING
        else:
            same = max(alike(ground.heard, now.heard), alike(ground.held, held)) >= SAME_THING
            # Heard in quite another way, but what was answered is again what it may be: it is the same name.
            same = same or (asked is not None and _is_offered(answer, asked.question))
        return None if same else f"“{now.heard or held}” is heard now, where “{ground.heard or ground.held}” was"
    if subject == "component":
        same = _same_contents(ground.held, held)
    elif subject == "choice":
        same = _same_names(ground.held.split(" / "), held.split(" / "))
    else:
        same = ground.held == held
    if not same:
        return f"the talk as it is now read gives {_words(held)}, where it gave {_words(ground.held)}"
    if (
        asked is not None
        and answer.kind in AMOUNT_KINDS
        and asked.question.kind != answer.kind
        and asked.question.kind == "amount-conflict"
    ):
        return "two amounts are heard now"
    if asked is not None and answer.kind == asked.question.kind == "amount-conflict" and ground.values != now.values:
        return "other amounts stand against each other now"
    return None


def _is_offered(answer: Answer, question: Question) -> bool:
    reply = read_reply(answer.given, answer.offers)
    return isinstance(reply, Words) and any(same_name(s.answer, reply.parts[0].words) for s in question.suggestions)


def _claim(held: str) -> str:
    return "".join(c for c in held.casefold() if c.isalnum() or c == ".")


def _words(held: str) -> str:
    return "nothing" if held == NOTHING else f"“{held}”"


def _same_contents(a: str, b: str) -> bool:
    """The same parts with the same amounts, each name as it may be garbled."""
    mine, theirs = a.split(" + "), b.split(" + ")
    if len(mine) != len(theirs):
        return False
    for x, y in zip(mine, theirs, strict=True):
        name_x, amount_x = _part(x)
        name_y, amount_y = _part(y)
        if amount_x != amount_y or (name_x != name_y and alike(name_x, name_y) < SAME_THING):
            return False
    return True


def _part(text: str) -> tuple[str, str]:
    found = re.match(r"(.*?)\s*(nothing|[\d.?]\S*(?: \S+)?)$", text)
    return (found[1], found[2]) if found else (text, "")


def _same_names(a: list[str], b: list[str]) -> bool:
    if len(a) != len(b):
        return False
    left = list(b)
    for name in a:
        near = next((n for n in left if alike(name, n) >= SAME_THING), None)
        if near is None:
            return False
        left.remove(near)
    return True


def _already(reply: Reply, subject: str, spot: Spot, read_amount: ReadAmount | None) -> bool:
    """The talk as it is now read says what was answered, or the thing that was dropped is not there."""
    if isinstance(reply, Later):
        return True
    if isinstance(reply, Leave):
        return False
    if not isinstance(reply, Words) or len(reply.parts) != 1:
        return False
    words = reply.parts[0].words
    if subject == "amount" and read_amount is not None:
        return amount_key(read_amount(words)) == held_of(subject, spot)
    if subject in ("name", "choice") and spot.item is not None and spot.item.raw is not None:
        raw = spot.item.raw
        return same_name(words, raw.name) and (subject == "name" or not raw.alternatives)
    if subject in ("name", "glass", "ice") and spot.thing is not None:
        return same_name(re.sub(r"^(?:an?|the)\s+", "", words), held_of(subject, spot))
    return False


# ------------------------------------------------------------------------------------------------ asking again


def _hand_made(answer: Answer, reply: Reply, ground: Ground, board: Board, out: _Sorted) -> None:
    """An edit on what was added by hand: only its drink must still be there; its path does the rest."""
    located = locate(ground.model_copy(update={"role": "drink"}), board)
    if isinstance(located, Found) and ground.role in ("part", "component"):
        located = locate(
            ground.model_copy(update={"role": "component", "about": ground.component or ground.about}), board
        )
    if isinstance(located, Lost):
        _lost(answer, reply, located.why, board, out)
    elif isinstance(located, Instead):
        _changed(answer, reply, located.why, located.spot, None, board, out, set())
    elif isinstance(reply, Leave | Later):
        out.settled.append(answer)
    else:
        out.holds.append(Holds(answer, located.spot, None))


def _changed(
    answer: Answer, reply: Reply, why: str, spot: Spot, asked: Asked | None, board: Board, out: _Sorted, taken: set[int]
) -> None:
    if asked is None and isinstance(reply, Leave | Later):
        out.settled.append(answer)
        return
    if asked is not None and isinstance(reply, Later):
        out.settled.append(answer)
        return
    _take(asked, taken)
    question = asked_again(answer, reply, why, spot, asked, board)
    out.changed.append(Changed(answer, question, why, asked, spot))


def _free_id(answer: Answer, board: Board) -> str:
    """The answer's id for a question of its own; marked where the talk asks something else under that id."""
    return f"{answer.id}{EARLIER}" if any(a.question.id == answer.id for a in board.asked) else answer.id


def _lost(answer: Answer, reply: Reply, why: str, board: Board, out: _Sorted) -> None:
    if isinstance(reply, Leave | Later):
        out.settled.append(answer)
        return
    g = answer.ground or Ground()
    question = Question(
        id=_free_id(answer, board),
        kind=_kind(answer),
        drink=g.drink,
        about=g.about or answer.id,
        blocking=False,
        at_s=g.at_s,
        text=f"An answer has lost its place: {why}. It was “{answer.given}”, to: {answer.asked or answer.id}",
        suggestions=(Suggestion(answer="leave as it is", reason="the answer is not needed any more"),),
        context={"lost": why, "earlier_answer": answer.given},
    )
    out.orphaned.append(Orphaned(answer, question, why))


def _kind(answer: Answer) -> QuestionKind:
    if answer.is_edit or answer.kind not in FIELD_OF_KIND:
        return _FIELD_KINDS.get(field_of(answer), "claim-mismatch")
    return cast(QuestionKind, answer.kind)


def asked_again(answer: Answer, reply: Reply, why: str, spot: Spot, asked: Asked | None, board: Board) -> Question:
    """The question with the earlier answer as its first offer; a new one where the talk no longer raises it."""
    given = reply.parts[0].words if isinstance(reply, Words) and len(reply.parts) == 1 else answer.given
    when = f" for “{answer.ground.words}”" if answer.ground is not None and answer.ground.words else ""
    mine = Suggestion(answer=given, reason=f"answered before{when}; but {why}")
    if asked is not None:
        q = asked.question
        rest = tuple(s for s in q.suggestions if clean(s.answer) != clean(given))
        return q.model_copy(
            update={
                "suggestions": (mine, *rest),
                "context": {**q.context, "changed": why, "earlier_answer": answer.given},
            }
        )
    g = answer.ground or Ground()
    kind = _kind(answer)
    if kind in AMOUNT_KINDS:
        kind = "amount-conflict"
    subject = field_of(answer)
    keep = Suggestion(answer="leave as it is", reason=f"what the captions give now: {held_of(subject, spot)}")
    text = f"This was answered before with “{given}”, but {why}. Which holds?"
    return Question(
        id=_free_id(answer, board),
        kind=kind,
        drink=spot.sheet.value.name if spot.sheet is not None else g.drink,
        about=spot.thing.value.name if spot.thing is not None else g.about,
        blocking=subject in ("amount", "name", "present", "choice", "component", "added"),
        at_s=_second(spot, g),
        text=text,
        suggestions=(mine, keep),
        context={"changed": why, "earlier_answer": answer.given},
    )


def _second(spot: Spot, ground: Ground) -> float | None:
    if spot.item is not None and spot.item.raw is not None:
        return spot.item.raw.at_s
    if spot.sheet is not None and spot.sheet.raw is not None and ground.at_s is None:
        return spot.sheet.raw.start_s
    return float(ground.at_s) if ground.at_s is not None else None
