"""The walk through the open questions in a terminal. Each answer is saved before the next question is shown.

The terminal is handed in (a rich console to print on, a function that asks for a line), so that the walk can be tried
without one. Text of the talk is foreign text: it is printed as text, never as markup, and with nothing in it that a
terminal would obey.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from extractor.answers.answer import Answer, clean
from extractor.answers.apply import Failed
from extractor.answers.desk import Desk, Kept
from extractor.answers.habits import Habits
from extractor.answers.readers import Readers
from extractor.answers.store import Store
from extractor.errors import AnswerError
from extractor.record import Episode, Question
from extractor.visible import clock, lines

if TYPE_CHECKING:
    from rich.console import Console

Ask = Callable[[str], str]
"""Shows a prompt and gives the line that was typed; raises EOFError or KeyboardInterrupt when the person is done."""
Excerpt = Callable[[Question], str]
"""The words of the talk around a question, the ones in question in square brackets where they are known."""

PROMPT = "Answer (? for help): "
HELP = """\
a number         takes that offer
an amount        in any form, with its unit: three quarters of an ounce, 22.5 ml, 2 dashes
a name           as it is to be published; in double quotes it is taken as it stands
leave            what the record holds stands
later            ask again the next time (so does an empty line)
drop             the thing does not belong in the drink
back             the question before
quit             stop here; all that was answered is kept
more than one    each with its name: parts: 2 parts sugar, 1 part water; time: 20 minutes"""


@dataclass
class Walked:
    """How a walk ended. `unsaved` is what could not be written, in the words given: never dropped without a word."""

    kept: list[Kept] = field(default_factory=list)
    passed: int = 0
    left: int = 0
    finished: bool = False
    unsaved: list[tuple[Question, str]] = field(default_factory=list)


def walk(
    episode: Episode,
    store: Store,
    console: Console,
    ask: Ask,
    *,
    readers: Readers,
    excerpt: Excerpt | None = None,
    by: str | None = None,
    habits: Habits | None = None,
    only: Callable[[Question], bool] = lambda _: True,
) -> Walked:
    """Walks through the open questions of `episode` (as read from the captions; what `store` holds is put in first).

    `only` picks questions: `lambda q: q.blocking`. Ctrl-C and the end of input leave the walk; nothing is lost by it.
    """
    return _Walk(Desk(episode, store, readers, by=by, habits=habits), console, ask, excerpt).run(only)


class _Walk:
    def __init__(self, desk: Desk, console: Console, ask: Ask, excerpt: Excerpt | None) -> None:
        self.desk = desk
        self.console = console
        self.ask = ask
        self.excerpt = excerpt
        self.out = Walked()
        self.waiting: dict[str, tuple[Question, str]] = {}
        """Answers that could not be written yet: tried again with each further one, shown at the end."""

    def run(self, only: Callable[[Question], bool]) -> Walked:
        ids = [q.id for q in self.desk.open if only(q)]
        at = 0
        try:
            while at < len(ids):
                at = self.step(ids, at)
        except (KeyboardInterrupt, EOFError):
            self.say("")
        self.again()
        self.out.unsaved = list(self.waiting.values())
        self.out.left = sum(only(q) for q in self.desk.open)
        self.out.finished = at >= len(ids)
        self.end()
        return self.out

    def step(self, ids: list[str], at: int) -> int:
        """Asks one question; gives the place of the next, or the length of the list to stop."""
        question = self.desk.question(ids[at])
        still = {q.id for q in self.desk.open}
        answered = question is not None and question.id not in still
        if question is None or (answered and ids[at] not in self.seen()):
            return at + 1
        self.show(question, at, len(ids))
        while True:
            typed = clean(self.ask(PROMPT))
            word = typed.lower()
            if word in ("quit", "q", "exit", "stop"):
                raise EOFError
            if word in ("?", "help"):
                self.console.print(HELP, markup=False, highlight=False)
                continue
            if word == "back":
                return self.before(ids, at)
            if word in ("", "later", "skip") and answered:
                return at + 1
            if self.take(question, typed or "later"):
                return at + 1

    def seen(self) -> set[str]:
        """The questions answered in this walk: `back` may come to them again."""
        return {k.answer.id for k in self.out.kept}

    def before(self, ids: list[str], at: int) -> int:
        known = {q.id for q in self.desk.open} | self.seen()
        for n in range(at - 1, -1, -1):
            if ids[n] in known:
                return n
        self.say("This is the first question.")
        return at

    def take(self, question: Question, typed: str) -> bool:
        """Saves the answer; False where it could not be understood and must be asked for again."""
        try:
            got = self.uninterrupted(lambda: self.desk.answer(question.id, typed))
        except AnswerError as error:
            # What was typed is kept in hand, and tried again with the next answer.
            self.waiting[question.id] = (question, typed)
            self.say(f"Not saved: {error}", "bold")
            return True
        if isinstance(got, Failed):
            self.say(f"{got.why}. {got.hint}", "bold")
            return False
        self.waiting.pop(question.id, None)
        self.kept(got)
        self.again()
        return True

    def uninterrupted(self, save: Callable[[], Kept | Failed]) -> Kept | Failed:
        """A Ctrl-C in the midst of saving stops the walk, but not before what was typed is saved."""
        try:
            return save()
        except KeyboardInterrupt:
            got = save()
            if isinstance(got, Kept):
                self.kept(got)
            raise

    def again(self) -> None:
        for id, (_, typed) in list(self.waiting.items()):
            try:
                got = self.desk.answer(id, typed)
            except AnswerError:
                return
            if isinstance(got, Kept):
                del self.waiting[id]
                self.kept(got)

    def kept(self, got: Kept) -> None:
        self.out.kept = [k for k in self.out.kept if k.answer.id != got.answer.id] + [got]
        if got.said:
            self.say(f"  {got.said}")
        for other in got.overwrote:
            self.say(
                f"  Meanwhile {_who(other)} had answered “{other.given}”; that is kept in the file as earlier.", "bold"
            )

    # -------------------------------------------------------------------------------------------- showing

    def show(self, q: Question, at: int, of: int) -> None:
        head = [f"{at + 1} of {of}", "must be answered" if q.blocking else "advice"]
        head += [clock(q.at_s)] if q.at_s is not None else []
        head += [q.drink] if q.drink else []
        self.say("")
        self.say(" · ".join(head), "bold")
        self.say(q.text)
        for key, what in (("not_applied", "Answered, but"), ("changed", "Answered before, but")):
            if q.context.get(key):
                self.say(f"{what} “{q.context.get('earlier_answer', '')}”: {q.context[key]}")
        words = self.excerpt(q) if self.excerpt is not None else self.desk.words(q)
        if words:
            self.say(f"  “{clean(words)}”", "italic")
        for number, offer in enumerate(q.suggestions, 1):
            reason = f" ({offer.reason})" if offer.reason else ""
            self.say(f"  {number}) {offer.answer}{reason}")
        now = self.desk.answers.get(q.id)
        if now is not None and now.given:
            self.say(f"  Your answer so far: {now.given}")

    def end(self) -> None:
        for question, typed in self.out.unsaved:
            self.say(f"Not saved, to: {question.text}\n  answer: {typed}", "bold")
        must = sum(q.blocking for q in self.desk.open)
        kept = len(self.out.kept)
        self.say(
            f"{kept} answered, {len(self.desk.open)} open, {must} of them must be answered before this is published."
        )

    def say(self, text: str, style: str = "") -> None:
        from rich.text import Text

        self.console.print(Text(lines(text), style=style), highlight=False)


def _who(answer: Answer) -> str:
    return answer.by or "somebody"
