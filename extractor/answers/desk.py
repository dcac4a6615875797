"""One episode being settled: its draft, its answers file, and the record that the two make. The terminal's walk, the
page and the commands are thin over this: every change goes through `answer`, `edit`, `undo` and `take_form`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from extractor.answers.answer import EDIT, Answer, Answers, Offer
from extractor.answers.apply import Applied, Done, Failed, apply_with_report
from extractor.answers.board import Board, ground_of
from extractor.answers.habits import Habits, habit_answers
from extractor.answers.match import EARLIER, Changed, Orphaned, answer_to, bind, field_of
from extractor.answers.paths import BadPath, find, path_of
from extractor.answers.readers import Readers
from extractor.answers.replies import Drop, Fault, Leave, Words, read_reply
from extractor.answers.store import Saved, Store
from extractor.answers.text import print_answers
from extractor.errors import AnswerError, Where
from extractor.files import write_whole
from extractor.record import Episode, Question


@dataclass(frozen=True)
class Kept:
    """An answer that was saved, and what it did. `overwrote`: others' answers to it, given since one last looked."""

    answer: Answer
    said: str
    overwrote: tuple[Answer, ...] = ()


@dataclass(frozen=True)
class Taken:
    """What became of a form's answers."""

    kept: tuple[Done, ...]
    failed: tuple[Failed, ...]
    """Not saved: they stand in the form still, to be mended there."""
    changed: tuple[Changed, ...]
    orphaned: tuple[Orphaned, ...]
    overwrote: tuple[Answer, ...]


class Desk:
    """`draft` is the record as read from the captions. What is on the desk is read from the file when it is made, after
    each change, and by `look`; it is never kept longer, so that a desk here and one elsewhere see each other's work."""

    def __init__(
        self, draft: Episode, store: Store, readers: Readers, *, by: str | None = None, habits: Habits | None = None
    ) -> None:
        self.draft = draft
        self.store = store
        self.readers = readers
        self.by = by
        self.habits = habits or Habits()
        self.answers = Answers()
        self.applied = Applied(draft)
        self.look()

    def look(self) -> Applied:
        """Reads the answers file again."""
        self.answers = bind(self.store.read(), self.draft)
        self.applied = self._apply(self.answers)
        return self.applied

    def _apply(self, answers: Answers) -> Applied:
        """With the user's habits for what is then still open. A habit that can't be put in is left out."""
        applied = apply_with_report(self.draft, answers, self.readers)
        taken = {a.id for a in answers.given}
        usual = [a for a in habit_answers(applied.episode.questions, self.draft, self.habits) if a.id not in taken]
        if not usual:
            return applied
        with_all = apply_with_report(self.draft, _before(usual, answers), self.readers)
        failed = {f.answer.id for f in with_all.failed}
        good = [a for a in usual if a.id not in failed]
        return apply_with_report(self.draft, _before(good, answers), self.readers) if failed else with_all

    @property
    def episode(self) -> Episode:
        """The record with all answers in it."""
        return self.applied.episode

    @property
    def open(self) -> tuple[Question, ...]:
        return self.applied.episode.questions

    def question(self, id: str) -> Question | None:
        """An open question, or one of the draft that was answered."""
        return next((q for q in (*self.open, *self.draft.questions) if q.id == id), None)

    def words(self, question: Question) -> str:
        """The words of the talk that a question is about: its own, or those of the thing it asks about."""
        if question.evidence is not None:
            return question.evidence.text
        raw = next((q for q in self.draft.questions if q.id == question.id), None)
        ground = answer_to(raw, self.draft).ground if raw is not None else None
        return ground.words if ground is not None else ""

    # -------------------------------------------------------------------------------------------- changes

    def answer(self, id: str, given: str) -> Kept | Failed:
        """Answers a question (again). What cannot be put in is not saved, and the reason comes back."""
        orphan = next((o for o in self.applied.orphaned if o.question.id == id), None)
        if orphan is not None:
            return self._put_away(orphan, given)
        answer, replaces = self._answer(id, given)
        return self._keep(answer, replaces)

    def edit(self, what: str, given: str) -> Kept | Failed:
        """Puts a field right by hand: `set drink/2/ingredient/lime juice/amount`, `three quarters of an ounce`."""
        blank = Answer(id=what, kind=EDIT, given=given)
        board = self.applied.board
        assert board is not None
        edit = find(what, board)
        if isinstance(edit, BadPath):
            return Failed(blank, edit.why, edit.hint)
        id = path_of(edit, board)
        ground = ground_of(edit.spot, field_of(blank), board)
        return self._keep(Answer(id=id, kind=EDIT, given=given, ground=ground, revision=self.answers.revision), None)

    def undo(self, id: str) -> bool:
        """Goes back to what was answered before, or to nothing. False where there was no answer."""
        entry = self.answers.get(id)
        if entry is None or not (entry.given or entry.earlier):
            return False
        self.store.back(id)
        self.look()
        return True

    def _keep(self, answer: Answer, replaces: str | None) -> Kept | Failed:
        answer = in_words(answer)
        reply = read_reply(answer.given, answer.offers, edit=answer.is_edit)
        if reply is None:
            return Failed(answer, "there is no answer", "Answer, or say `later`.")
        if isinstance(reply, Fault):
            return Failed(answer, reply.what, reply.hint)
        trial = self._with([answer], {replaces} if replaces else set())
        tried = self._apply(trial)
        failed = next((f for f in tried.failed if f.answer.id == answer.id), None)
        if failed is not None:
            return failed
        astray = next((o for o in _astray(tried) if o.answer.id == answer.id), None)
        if astray is not None:
            return Failed(
                answer, astray.why, "It cannot be told apart in this record; put it right where it is published."
            )
        saved = self._save([answer], {answer.id: replaces} if replaces else {})
        self.answers = bind(saved.answers, self.draft)
        # Where nobody else wrote meanwhile, the record is what it was tried to be.
        same = _given(self.answers) == _given(trial)
        self.applied = tried if same else self._apply(self.answers)
        done = next((d for d in tried.done if d.answer.id == answer.id), None)
        return Kept(saved.answers.get(answer.id) or answer, done.said if done else "", saved.overwrote)

    def _save(self, answers: Sequence[Answer], replaces: dict[str, str]) -> Saved:
        name = Path(self.draft.source.path).name if self.draft.source.path else None
        return self.store.save(*answers, replaces=replaces, episode=name, by=self.by)

    def _with(self, new: Sequence[Answer], without: set[str]) -> Answers:
        """What the answers would be with these, nothing being saved."""
        last = self.answers.revision + 1
        entries = {a.id: a for a in self.answers.entries if a.id not in without}
        for a in new:
            entries[a.id] = a.model_copy(update={"revision": last})
        return self.answers.model_copy(update={"entries": tuple(entries.values())})

    def _put_away(self, orphan: Orphaned, given: str) -> Kept | Failed:
        """Closes the question of an answer that lost its place. The answer stays in the file as an earlier one.

        Where its own question is asked again, that is open.
        """
        reply = read_reply(given, tuple(Offer(answer=s.answer) for s in orphan.question.suggestions))
        if not isinstance(reply, Leave | Drop):
            return Failed(orphan.answer, "its place is not in this record", "`leave as it is` puts the answer away.")
        saved = self._save([orphan.answer.model_copy(update={"given": "", "revision": self.answers.revision})], {})
        self.look()
        return Kept(saved.answers.get(orphan.answer.id) or orphan.answer, "put away", saved.overwrote)

    def _answer(self, id: str, given: str) -> tuple[Answer, str | None]:
        """The answer with its ground in the talk as it now is, and the other id that it takes the place of."""
        seen = {"revision": self.answers.revision}
        changed = next((c for c in self.applied.changed if c.question.id == id), None)
        if changed is not None:
            offers = tuple(Offer(answer=s.answer, reason=s.reason) for s in changed.question.suggestions)
            if changed.asked is not None:
                raw = next(q for q in self.draft.questions if q.id == id)
                answer = answer_to(raw, self.draft, given).model_copy(update={"offers": offers, **seen})
                return answer, changed.answer.id if changed.answer.id != id else None
            board = self.applied.board
            assert board is not None
            ground = ground_of(changed.spot, field_of(changed.answer), board)
            update = {"given": given, "ground": ground, "offers": offers, "asked": changed.question.text, **seen}
            return changed.answer.model_copy(update=update), None
        raw_question = next((q for q in self.draft.questions if q.id == id), None)
        entry = self.answers.get(id.removesuffix(EARLIER))
        if raw_question is not None:
            return self._own_id(answer_to(raw_question, self.draft, given)).model_copy(update=seen), None
        if entry is not None:
            return entry.model_copy(update={"given": given, **seen}), None
        raise AnswerError(f"There is no question {id!r}", hint="`questions` lists those that are open.")

    def _own_id(self, answer: Answer) -> Answer:
        """Another id, where this one is that of an answer which holds for another thing: the name went astray."""
        held = next((d for d in self.applied.done if d.answer.id == answer.id), None)
        if held is None or held.closed == answer.id or held.answer.ground == answer.ground:
            return answer
        number = 2
        while self.answers.get(f"{answer.id}~{number}") is not None:
            number += 1
        return answer.model_copy(update={"id": f"{answer.id}~{number}"})

    # -------------------------------------------------------------------------------------------- forms

    def form(self) -> Answers:
        """A form of all that is open, each question with its ground, nothing filled in."""
        board = Board(self.draft)
        entries = []
        for q in self.open:
            orphan = next((o for o in self.applied.orphaned if o.question.id == q.id), None)
            if orphan is not None:
                offers = tuple(Offer(answer=s.answer, reason=s.reason) for s in q.suggestions)
                answer = orphan.answer.model_copy(update={"id": q.id, "offers": offers})
            else:
                answer = self._answer(q.id, "")[0]
            raw = next((r for r in self.draft.questions if r.id == q.id), None)
            if raw is not None and answer.ground is None:
                answer = answer_to(raw, self.draft, board=board)
            asked = {"asked": _asked(q), "blocking": q.blocking, "earlier": (), "by": None, "on": None}
            entries.append(answer.model_copy(update={**asked, "given": "", "revision": self.answers.revision}))
        name = Path(self.draft.source.path).name if self.draft.source.path else None
        return Answers(entries=tuple(entries), revision=self.answers.revision, episode=name)

    def take_form(self, form: Answers) -> Taken:
        """Takes in a form that was filled in. Answers that can't be put in are not saved; the form has them still."""
        astray_before = {o.question.id: o for o in self.applied.orphaned}
        put_away = [(astray_before[a.id], a.given) for a in form.given if a.id in astray_before]
        for orphan, words in put_away:
            self._put_away(orphan, words)
        form = form.model_copy(update={"entries": tuple(a for a in form.entries if a.id not in astray_before)})
        given = tuple(self._own_id(in_words(a)) for a in bind(form, self.draft).given)
        tried = self._apply(self._with(given, set()))
        failed = {f.answer.id for f in tried.failed}
        known = {a.id for a in self.answers.given}
        astray = {o.answer.id for o in _astray(tried)}
        # One that lost its ground is kept so that it is shown again, but never in place of one that has it.
        keep = [a for a in given if a.id not in failed and not (a.id in astray and a.id in known)]
        replaces = {}
        for answer in keep:
            changed = next((c for c in self.applied.changed if c.question.id == answer.id), None)
            if changed is not None and changed.answer.id != answer.id:
                replaces[answer.id] = changed.answer.id
        saved = self._save(keep, replaces) if keep else Saved(self.answers)
        self.look()
        ids = {a.id for a in given}
        return Taken(
            kept=tuple(d for d in tried.done if d.answer.id in ids),
            failed=tuple(f for f in tried.failed if f.answer.id in ids),
            changed=tuple(c for c in tried.changed if c.answer.id in ids),
            orphaned=tuple(o for o in tried.orphaned if o.answer.id in ids),
            overwrote=saved.overwrote,
        )


def in_words(answer: Answer) -> Answer:
    """With the words of the offer in place of its number, where they then mean the same: the file reads better so."""
    reply = read_reply(answer.given, answer.offers, edit=answer.is_edit)
    if isinstance(reply, Words) and reply.offer is not None:
        offered = answer.offers[reply.offer - 1].answer
        again = read_reply(offered, answer.offers, edit=answer.is_edit)
        if isinstance(again, Words) and again.parts == reply.parts and again.offer is None:
            return answer.model_copy(update={"given": offered})
    return answer


def _given(answers: Answers) -> list[tuple[object, ...]]:
    return [(a.id, a.given, a.offers, a.ground) for a in answers.entries]


def _before(usual: Sequence[Answer], answers: Answers) -> Answers:
    return answers.model_copy(update={"entries": (*usual, *answers.entries)})


def _astray(applied: Applied) -> list[Changed | Orphaned]:
    return [*applied.changed, *applied.orphaned]


def _asked(q: Question) -> str:
    changed = q.context.get("changed")
    failed = q.context.get("not_applied")
    if changed and "answered before" not in q.text:
        return f"{q.text} (Answered before with “{q.context.get('earlier_answer', '')}”, but {changed}.)"
    if failed:
        return f"{q.text} (“{q.context.get('earlier_answer', '')}” could not be put in: {failed})"
    return q.text


def write_form(desk: Desk, path: Path | str, *, overwrite: bool = False) -> int:
    """Writes a form of all that is open, to be filled in elsewhere; gives the number of questions in it.

    Raises AnswerError where a file of that name is there already: it may be a form that somebody has filled in.
    """
    target = Path(path)
    if target.exists() and not overwrite:
        raise AnswerError(
            "There is a file of that name already",
            where=Where(file=str(target)),
            hint="Choose another name, or take in its answers first and then remove it.",
        )
    form = desk.form()
    try:
        write_whole(target, print_answers(form).encode("utf-8"))
    except OSError as error:
        raise AnswerError(
            f"The form could not be written: {error.strerror or error}",
            where=Where(file=str(target)),
            hint="Make room or choose another place.",
        ) from error
    return len(form.entries)
