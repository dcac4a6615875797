"""The episode as the page of `pourword review` asks for it: the desk, the sheets and the outputs, joined."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.answers import EDIT, Answer, Failed, state_of
from extractor.answers import Kept as KeptAnswer
from extractor.answers.paths import BadPath, escape, find, path_of
from extractor.errors import AnswerError, CaptionError, PublishError
from extractor.paths import ANSWERS, beside
from extractor.review import Given, Kept, Meanwhile, Published, Refused, State
from extractor.review.job import Previews

if TYPE_CHECKING:
    from extractor.answers import Desk
    from extractor.publish import Sheet
    from extractor.record import Drink, Episode, Question
    from extractor.record.talk import Talk
    from extractor.settle import Opened

PUBLISHED = "published"
"""The folder beside the captions into which it publishes where none is named."""
SHOWN_PARTS = ("captions", "cards", "description", "shopping")
"""What is shown before it is written. A PDF is the card again and slow to make; data are for machines."""


class Reviewing:
    """A `review.Job`. One desk, which looks at the answers file anew whenever that has changed."""

    def __init__(self, opened: Opened, *, folder: Path | None = None, by: str | None = None) -> None:
        if opened.path is None:
            raise CaptionError("There is no caption file", hint="Name one: answers are kept beside it.")
        self.opened = opened
        self.path = opened.path
        self.talk: Talk = opened.talk
        self.folder = folder or beside(opened.path, PUBLISHED)
        self.answers_file = beside(opened.path, ANSWERS)
        self.desk: Desk = opened.desk(by=by)
        self._stamp = self._file_stamp()
        self._made: tuple[int, State] | None = None
        self._log: list[str] = []
        self._figured: dict[Hashable, Drink] = {}
        self._sheets: dict[Hashable, Sheet] = {}

    @property
    def name(self) -> str:
        return self.path.stem

    # ------------------------------------------------------------------------------------------------ looking

    def _file_stamp(self) -> tuple[int, int, int] | None:
        try:
            found = self.answers_file.stat()
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size, found.st_ino

    def look(self) -> None:
        """Reads the answers file again where another program or a hand has changed it."""
        stamp = self._file_stamp()
        if stamp != self._stamp:
            self.desk.look()
            self._stamp = stamp
            self._made = None

    def state(self) -> State:
        self.look()
        key = id(self.desk.applied)
        if self._made is None or self._made[0] != key:
            episode = self._with_figures(self.desk.episode)
            gate = state_of(episode)
            given = tuple(
                Given(
                    a.id,
                    a.given,
                    a.asked or _asked(self.opened.draft, a.id),
                    a.kind == EDIT,
                    a.revision,
                    a.by,
                    a.earlier,
                )
                for a in self.desk.answers.given
            )
            self._made = key, State(episode, self.desk.answers.revision, given, gate.may_publish, gate.line)
        return self._made[1]

    def words(self, question: Question) -> str:
        return self.desk.words(question)

    def _with_figures(self, episode: Episode) -> Episode:
        """As `Opened.with_figures`, but drinks that an answer left alone keep theirs: most of an answer's time."""
        from extractor.pipeline import with_figures

        made = tuple(c for d in episode.drinks for c in d.components)
        bare = [d.model_copy(update={"figures": None}) for d in episode.drinks]
        keys: list[Hashable] = [(d, made) for d in bare]
        known = tuple(self._figured.get(key, d) for key, d in zip(keys, bare, strict=True))
        out = with_figures(episode.model_copy(update={"drinks": known}), self.opened.lexicon, self.opened.units)
        self._figured = dict(zip(keys, out.drinks, strict=True))
        return out

    def sheets(self, state: State) -> Sequence[Sheet]:
        """Made anew for a drink that has changed, or of which something else in the episode may tell another thing."""
        from extractor.lexicon import plain
        from extractor.publish import load_tables
        from extractor.publish.sheet import sheet

        episode, tables = state.episode, load_tables()
        made = tuple(c for d in episode.drinks for c in d.components)
        names = tuple(d.name for d in episode.drinks)
        fresh: dict[Hashable, Sheet] = {}
        out = []
        for d in episode.drinks:
            asked = tuple(
                (q.id, q.text, q.about) for q in episode.questions if plain(q.drink or d.name) == plain(d.name)
            )
            key = (d.model_copy(update={"figures": None}), made, names, asked, episode.disclosures, episode.notes)
            one = self._sheets.get(key) or sheet(d, episode, self.opened.lexicon, tables, mark_open=True)
            fresh[key] = one
            out.append(one)
        self._sheets = fresh
        return out

    def steps(self, names: Sequence[str]) -> Sequence[str]:
        from extractor.answers.likeness import same_name

        out = []
        for n, name in enumerate(names):
            alike = [m for m, other in enumerate(names) if same_name(other, name)]
            out.append(escape(name) + (f"#{alike.index(n) + 1}" if len(alike) > 1 and n in alike else ""))
        return out

    # ------------------------------------------------------------------------------------------------ changing

    def answer(self, id: str, given: str, *, seen: int) -> Kept | Refused | Meanwhile:
        self.look()
        other = self._meanwhile(id, given, seen)
        if other is not None:
            return other
        try:
            return self._kept(self.desk.answer(id, given))
        except AnswerError as error:
            return Refused(error.what, error.hint)

    def edit(self, what: str, given: str, *, seen: int) -> Kept | Refused | Meanwhile:
        self.look()
        board = self.desk.applied.board
        place = find(what, board) if board is not None else None
        if place is not None and not isinstance(place, BadPath) and board is not None:
            other = self._meanwhile(path_of(place, board), given, seen)
            if other is not None:
                return other
        try:
            return self._kept(self.desk.edit(what, given))
        except AnswerError as error:
            return Refused(error.what, error.hint)

    def undo(self, id: str | None) -> Kept | None:
        self.look()
        if id is None:
            # What was done on this page, the last first; when that is all taken back, what is newest in the file.
            while self._log and id is None:
                last = self._log.pop()
                id = last if self._entry(last) is not None else None
            if id is None:
                newest = max(self.desk.answers.given, key=lambda a: a.revision, default=None)
                id = newest.id if newest is not None else None
        elif id in self._log:
            self._log.reverse()
            self._log.remove(id)
            self._log.reverse()
        entry = self._entry(id) if id is not None else None
        if id is None or entry is None or not self.desk.undo(id):
            return None
        self._seen()
        left = self._entry(id)
        now = f"; “{left.given}” holds again" if left is not None and left.given else ""
        return Kept(id, f"Taken back: “{entry.given}”{now}.")

    def _entry(self, id: str) -> Answer | None:
        return self.desk.answers.get(id)

    def _meanwhile(self, id: str, given: str, seen: int) -> Meanwhile | None:
        entry = self._entry(id)
        if entry is None or entry.revision <= seen or entry.given in ("", "later", given):
            return None
        return Meanwhile(entry.given, entry.by)

    def _kept(self, got: KeptAnswer | Failed) -> Kept | Refused:
        if isinstance(got, Failed):
            return Refused(got.why[:1].upper() + got.why[1:], got.hint)
        self._seen()
        self._log.append(got.answer.id)
        return Kept(got.answer.id, got.said or "Kept.")

    def _seen(self) -> None:
        """The file as it is now is what the desk has read: it looked after its own change."""
        self._stamp = self._file_stamp()

    # ------------------------------------------------------------------------------------------------ publishing

    def _captions(self, episode: Episode, remarks: list[str]) -> dict[str, bytes]:
        from extractor.cli.publish import caption_files

        return caption_files(self.talk.transcript, episode.corrections, self.path.name, remarks)

    def previews(self) -> Previews:
        from extractor.publish import Wishes, plan

        episode = self.state().episode
        remarks: list[str] = []
        try:
            captions = self._captions(episode, remarks)
            wishes = Wishes(parts=SHOWN_PARTS, despite_open=True)  # type: ignore[arg-type]  # plan checks them
            files = plan(episode, self.opened.lexicon, wishes, captions=captions)
        except (PublishError, CaptionError) as error:
            return Previews({}, f"{error.what} {error.hint}", tuple(remarks))
        return Previews(files, None, tuple(remarks))

    def publish(self, as_heard: Sequence[str] = ()) -> Published:
        from extractor.publish import Wishes, plan, take_back, write_all

        state = self.state()
        if not state.may_publish:
            raise PublishError(state.line, hint="Answer what must be answered; then it can be published.")
        episode = take_back(state.episode, as_heard)
        captions = self._captions(episode, [])
        done = write_all(plan(episode, self.opened.lexicon, Wishes(), captions=captions), self.folder)
        return Published(done.folder, done.written, done.unchanged)


def _asked(draft: Episode, id: str) -> str:
    return next((q.text for q in draft.questions if q.id == id), "")


__all__ = ["Reviewing"]
