"""Puts answers into a record: a new record, with the questions that they answer gone and a note of each left behind.

What can't be put in stays a question that says why. Nothing is dropped: every given answer ends as done, as asked
again, as having lost its place, as put off, or as no longer needed, and the report names each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from extractor.answers import change
from extractor.answers.answer import NOTHING, Answer, Answers
from extractor.answers.board import AMOUNT_KINDS, KIT_KINDS, Board, Spot
from extractor.answers.change import Plan, Planned, Refused, together
from extractor.answers.likeness import same_name
from extractor.answers.match import Changed, Holds, Orphaned, asked_again, field_of, match_on
from extractor.answers.paths import BadPath, find
from extractor.answers.readers import ReadAmount, Readers, ReadMinutes, ReadName
from extractor.answers.replies import Drop, Fault, Later, Leave, Part, Reply, Words, read_reply
from extractor.errors import AnswerError
from extractor.record import Episode, Question
from extractor.record.episode import BY_HAND


@dataclass(frozen=True)
class Done:
    """An answer that was put in; `said` tells what that did, for a person to check at a glance."""

    answer: Answer
    said: str
    closed: str | None = None
    """The id of the question that it closed; None where that is no longer asked."""


@dataclass(frozen=True)
class Failed:
    """An answer that holds but could not be put in: its question stays open with the reason."""

    answer: Answer
    why: str
    hint: str


@dataclass(frozen=True)
class Applied:
    """The new record, and what became of each answer."""

    episode: Episode
    done: tuple[Done, ...] = ()
    failed: tuple[Failed, ...] = ()
    changed: tuple[Changed, ...] = ()
    orphaned: tuple[Orphaned, ...] = ()
    settled: tuple[Answer, ...] = ()
    later: tuple[Answer, ...] = ()
    board: Board | None = None


def apply_answers(
    episode: Episode,
    answers: Answers,
    *,
    read_amount: ReadAmount,
    read_name: ReadName,
    read_minutes: ReadMinutes | None = None,
) -> Episode:
    """The record with these answers in it. `episode` is the record as read from the captions, without answers.

    `read_amount(spoken)` gives an Amount or None, `read_name(name)` the candidates of the lexicon, best first.
    """
    return apply_with_report(episode, answers, Readers(read_amount, read_name, read_minutes)).episode


def apply_with_report(episode: Episode, answers: Answers, readers: Readers) -> Applied:
    """As `apply_answers`, with what became of each answer."""
    if has_answers(episode):
        raise AnswerError(
            "This record has answers in it already",
            hint="Answers are put into the record as it is read from the captions: draft it again.",
        )
    board = Board(episode)
    matched = match_on(answers, board, readers.amount)
    done: list[Done] = []
    failed: list[Failed] = []
    later: list[Answer] = []
    extra: list[Question] = []
    # The last word holds: in the order in which they were given.
    for held in sorted(matched.holds, key=lambda h: h.answer.revision):
        reply = read_reply(held.answer.given, held.answer.offers, edit=held.answer.is_edit)
        if isinstance(reply, Later):
            later.append(held.answer)
            _mark(held, {"later": True})
            continue
        plan = plan_for(held, reply, board, readers)
        if isinstance(plan, Refused):
            failed.append(Failed(held.answer, plan.why, plan.hint))
            why = {"not_applied": f"{plan.why}. {plan.hint}", "earlier_answer": held.answer.given}
            if held.asked is not None:
                # Open again, also where an answer before it had closed it: the two don't go together.
                held.asked.closed = False
                _mark(held, why)
            else:
                extra.append(_refused(held, reply, plan, board))
            continue
        plan.do()
        done.append(Done(held.answer, plan.said, held.asked.question.id if held.asked is not None else None))
        if held.asked is not None:
            held.asked.closed = True
    for changed in matched.changed:
        if changed.asked is not None:
            changed.asked.question = changed.question
    extra += [c.question for c in matched.changed if c.asked is None]
    extra += [o.question for o in matched.orphaned]
    record = board.record()
    if extra:
        record = record.model_copy(update={"questions": _in_order(record.questions, extra)})
    return Applied(
        record, tuple(done), tuple(failed), matched.changed, matched.orphaned, matched.settled, tuple(later), board
    )


def has_answers(episode: Episode) -> bool:
    """Whether any note in the record says that something was answered by hand."""

    def notes() -> Iterable[str]:
        yield from episode.notes
        for d in episode.drinks:
            yield from d.notes
            for i in (*d.ingredients, *d.garnishes):
                yield from i.notes
            for c in d.components:
                yield from c.notes
                for i in c.ingredients:
                    yield from i.notes

    return any(n.startswith(BY_HAND) for n in notes())


def _mark(held: Holds, more: Mapping[str, object]) -> None:
    if held.asked is not None:
        q = held.asked.question
        held.asked.question = q.model_copy(update={"context": {**q.context, **more}})


def _refused(held: Holds, reply: Reply | None, plan: Refused, board: Board) -> Question:
    """An answer without an open question that can't be put in: it becomes one, or it would go unseen."""
    spot = held.spot or Spot("episode")
    why = f"it could not be put in: {plan.why}"
    question = asked_again(held.answer, reply or Leave(), why, spot, None, board)
    context = {**question.context, "not_applied": f"{plan.why}. {plan.hint}"}
    return question.model_copy(update={"context": context, "suggestions": question.suggestions[1:]})


def _in_order(questions: tuple[Question, ...], extra: list[Question]) -> tuple[Question, ...]:
    """The questions in their own order, each further one before the first that comes later in the recording."""
    out = list(questions)
    for q in extra:
        at = next(
            (
                n
                for n, other in enumerate(out)
                if q.blocking >= other.blocking
                and (
                    q.blocking > other.blocking
                    or (other.at_s is not None and q.at_s is not None and other.at_s > q.at_s)
                )
            ),
            len(out),
        )
        out.insert(at, q)
    return tuple(out)


# ------------------------------------------------------------------------------------------------ from reply to plan


def plan_for(held: Holds, reply: Reply | None, board: Board, readers: Readers) -> Planned:
    """What this answer does at its place."""
    if isinstance(reply, Fault):
        return Refused(reply.what, reply.hint)
    if held.spot is not None and _gone(held.spot):
        return Refused("it was left out by hand", "Take that answer back first, or leave this one out too.")
    if held.answer.is_edit:
        return _edit(held, reply, board, readers)
    kind, spot = held.answer.kind, held.spot
    question = held.asked.question if held.asked is not None else None
    if isinstance(reply, Leave):
        return _leave(kind, spot, board)
    if isinstance(reply, Drop):
        return _drop(kind, spot, board)
    if not isinstance(reply, Words):
        return Refused("there is no answer", "Answer, or say `later`.")
    return together([_part(kind, p, spot, board, readers, question, held.answer) for p in reply.parts])


def _gone(spot: Spot) -> bool:
    return any(t is not None and t.gone for t in (spot.sheet, spot.kit, spot.item))


def _leave(kind: str, spot: Spot | None, board: Board) -> Planned:
    def do() -> None:
        change.note(spot, board, f"left as it is ({kind})")

    name = spot.thing.value.name if spot is not None and spot.thing is not None else "the episode"
    return Plan(f"{name}: left as it is", do)


def _drop(kind: str, spot: Spot | None, board: Board) -> Planned:
    """Takes out what was asked about. Where that is no thing (a glass, a claim, a gift), nothing is published of it."""
    if kind in ("claim-mismatch", "disclosure", "glass-missing", "method-missing"):
        return _leave(kind, spot, board)
    if spot is None or spot.thing is None:
        return _leave(kind, spot, board)
    if spot.role == "drink":
        return Refused(
            f"this would take out the whole drink {spot.thing.value.name}",
            "If that is meant, say so by its path: `edit: remove drink/...`.",
        )
    if kind in KIT_KINDS and spot.kit is None:
        return _leave(kind, spot, board)
    return change.drop(spot, board)


def _part(
    kind: str,
    part: Part,
    spot: Spot | None,
    board: Board,
    readers: Readers,
    question: Question | None,
    answer: Answer,
) -> Planned:
    where = spot or Spot("episode")
    words = part.words
    drink = question.drink if question is not None else answer.ground.drink if answer.ground is not None else None
    named: dict[str, Callable[[], Planned]] = {
        "name": lambda: change.set_name(where, words, board, readers, question),
        "amount": lambda: change.set_amount(where, words, board, readers),
        "use": lambda: change.choose(where, words, board, readers),
        "glass": lambda: change.set_glass(where, words, board),
        "method": lambda: change.set_method(where, words, board),
        "time": lambda: change.set_time(where, words, board, readers),
        "heat": lambda: change.set_heat(where, words, board, readers),
        "ratio": lambda: change.set_ratio(where, words, board, readers),
        "parts": lambda: change.set_parts(where, words, board, readers),
        "recipe": lambda: change.set_recipe(where, words, board),
        "add": lambda: change.add_to(spot, words, board, readers, drink),
        "drop": lambda: change.drop_named(spot, words, board),
        "line": lambda: change.disclose(spot, words, board),
        "note": lambda: change.remark(spot, words, board),
    }
    if part.field is not None:
        return named[part.field]()
    if kind in AMOUNT_KINDS:
        return named["amount"]()
    default = {
        "name-unsure": "name",
        "choice-open": "use",
        "glass-missing": "glass",
        "method-missing": "method",
        "disclosure": "line",
    }.get(kind)
    if kind == "name-unsure" and where.thing is None and answer.ground is not None:
        return _of_what(answer.ground.about, drink, words, board, readers)
    if default in ("name", "line") and not part.quoted and _is_amount(words, readers):
        return Refused(
            f"“{words}” is an amount, and none is asked for here",
            "If it is meant as it stands, put it in double quotes.",
        )
    if default is not None:
        return named[default]()
    if kind == "claim-mismatch":
        return _claim(where, words, board, readers)
    return _home_made(kind, words, readers, named, question)


def _of_what(about: str, drink: str | None, words: str, board: Board, readers: Readers) -> Planned:
    """An amount was said and not of what: the answer names it. It goes in, or it is what that thing lacked."""
    amount = readers.exact(about)
    if amount is None or amount.unit is None or readers.part(words) is not None:
        return change.add_to(None, words, board, readers, drink)
    sheets = [s for s in board.sheets if s.raw is not None and s.raw.name == drink and not s.gone]
    if len(sheets) != 1:
        return Refused(
            "it is not known which drink it goes into", "Say it by its path: `edit: add drink/1/ingredient/...`."
        )
    here = [i for i in sheets[0].pours if not i.gone and same_name(i.value.name, words)]
    if len(here) == 1 and here[0].value.amount is None:
        return change.set_amount(Spot("ingredient", sheets[0], None, here[0]), about, board, readers)
    return change.add_item(Spot("drink", sheets[0]), "ingredient", words, amount, board, readers)


def _is_amount(words: str, readers: Readers) -> bool:
    amount = readers.exact(words)
    return amount is not None and amount.unit is not None


def _claim(spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    """Words settle no claim, not even offered ones: they may be meant to change the drink, and would change nothing."""
    if readers.exact(words) is not None and spot.item is not None:
        return change.set_amount(spot, words, board, readers)
    return Refused(
        f"“{words}” does not say what is to be done about it",
        "`leave as it is` lets the record stand; `note: ...` does too, and keeps your words; `add: half an ounce of "
        "falernum` puts something in, `drop aromatic bitters` takes something out; all else is "
        "changed at its own place.",
    )


def _home_made(
    kind: str, words: str, readers: Readers, named: dict[str, Callable[[], Planned]], question: Question | None
) -> Planned:
    """A time, a temperature, parts, a ratio: whichever the words can be read as, each by its own unit."""
    if readers.time(words) is not None:
        return named["time"]()
    if readers.degrees(words) is not None:
        return named["heat"]()
    if readers.parts(words) is not None:
        return named["parts"]()
    if readers.ratio(words) is not None:
        return named["ratio"]()
    if kind == "elsewhere" and not _is_amount(words, readers):
        return named["recipe"]()
    missing = str(question.context.get("missing") or "") if question is not None else ""
    if readers.amount(words) is not None or missing == "amount":
        return Refused(f"“{words}” does not say of what", "Name it: 200 g sugar, 200 ml water.")
    return Refused(
        f"“{words}” could not be read",
        "Write parts (2 parts sugar, 1 part water), a time (20 minutes), a temperature (80 C), "
        "or `recipe: ` and a sentence.",
    )


# ------------------------------------------------------------------------------------------------ edits


def _edit(held: Holds, reply: Reply | None, board: Board, readers: Readers) -> Planned:
    subject, spot = field_of(held.answer), held.spot
    added = held.answer.ground is not None and held.answer.ground.held.startswith(f"{NOTHING}: added by hand")
    if subject == "added" or added:
        found = find(held.answer.id, board)
        if isinstance(found, BadPath):
            return Refused(found.why, found.hint)
        if found.new is not None:
            return _add(found.field, found.new, held.spot or found.spot, reply, board, readers)
        spot = found.spot
    if spot is None:
        return Refused("the path leads nowhere", "Draft the episode again and look at the record.")
    if subject == "present":
        if isinstance(reply, Drop):
            return change.drop(spot, board)
        return Refused("what is removed takes no value", "Answer `drop it`, or take the edit back.")
    if isinstance(reply, Drop):
        return _empty(subject, spot, board)
    if not isinstance(reply, Words) or len(reply.parts) != 1 or reply.parts[0].field not in (None, subject):
        return Refused("an edit takes one value", "Write the value alone.")
    return set_field(subject, spot, reply.parts[0].words, board, readers)


def set_field(field: str, spot: Spot, words: str, board: Board, readers: Readers) -> Planned:
    """The field at the end of an edit's path gets what the hand wrote."""
    fields: dict[str, Callable[[], Planned]] = {
        "amount": lambda: change.set_amount(spot, words, board, readers),
        "name": lambda: change.set_name(spot, words, board, readers),
        "optional": lambda: _optional(spot, words, board),
        "note": lambda: change.remark(spot, words, board),
        "glass": lambda: change.set_glass(spot, words, board),
        "ice": lambda: change.set_ice(spot, words, board),
        "servings": lambda: change.set_servings(spot, words, board, readers),
        "mixing": lambda: change.set_method(spot, words, board),
        "steps": lambda: change.set_steps(spot, words, board),
        "minutes": lambda: change.set_time(spot, words, board, readers),
        "celsius": lambda: change.set_heat(spot, words, board, readers),
        "ratio": lambda: change.set_ratio(spot, words, board, readers),
        "parts": lambda: change.set_parts(spot, words, board, readers),
        "recipe": lambda: change.set_recipe(spot, words, board),
    }
    return fields[field]() if field in fields else Refused(f"there is no field {field}", "Look at the path.")


def _add(role: str, name: str, spot: Spot, reply: Reply | None, board: Board, readers: Readers) -> Planned:
    if isinstance(reply, Words) and len(reply.parts) == 1:
        words = reply.parts[0].words
        if words.lower() in ("no amount", "none", "-"):
            return change.add_item(spot, role, name, None, board, readers)
        amount = change.read_hand_amount(words, None, readers, name)
        return amount if isinstance(amount, Refused) else change.add_item(spot, role, name, amount, board, readers)
    return Refused("what is added needs its amount", f"{change.AMOUNT_HINT} Or `no amount`.")


def _optional(spot: Spot, words: str, board: Board) -> Planned:
    item, said = spot.item, words.lower()
    if item is None or said not in ("yes", "no"):
        return Refused(f"“{words}” is neither yes nor no", "Write yes or no.")

    def do() -> None:
        item.value = item.value.model_copy(update={"optional": said == "yes"})
        change.note(spot, board, f"optional: {said}")

    return Plan(f"{item.value.name}: {'optional' if said == 'yes' else 'not optional'}", do)


def _empty(field: str, spot: Spot, board: Board) -> Planned:
    """Takes the value out of a field that may be empty."""
    if field == "amount" and spot.item is not None:
        return change.no_amount(spot, board)
    sheet, kit = spot.sheet, spot.kit
    if kit is not None and spot.item is None and field in ("minutes", "celsius"):

        def empty_kit() -> None:
            kit.value = kit.value.model_copy(update={field: None})
            change.note(spot, board, f"no {field}")

        return Plan(f"{kit.value.name}: no {field}", empty_kit)
    none: dict[str, object] = {"glass": None, "ice": None, "servings": None, "mixing": (), "steps": ()}
    if spot.role == "drink" and sheet is not None and field in none:

        def empty() -> None:
            update = {field: none[field], **({"glass_evidence": None} if field == "glass" else {})}
            sheet.value = sheet.value.model_copy(update=update)
            change.note(spot, board, f"no {field}")

        return Plan(f"{sheet.value.name}: no {field}", empty)
    return Refused(f"{field} cannot be empty", "Write what it is to be.")
