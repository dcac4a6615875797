"""The answers file of an episode: read, and written so that nothing that was answered is lost.

Every change is made on the file as it stands at that moment, under a lock: read, put in what is new, write whole. Two
programs at once therefore keep each other's answers. For one question the last word holds, and the one before it stays
in the block as `earlier:`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType

from extractor.answers.answer import Answer, Answers, Line, clean
from extractor.answers.text import AnswersFileError, print_answers, read_answers
from extractor.errors import AnswerError, Where
from extractor.files import locked, sweep, write_whole
from extractor.paths import ANSWERS, beside

KEPT_EARLIER = 20
"""How many overwritten answers of one question are kept."""


def answers_path(captions: Path | str) -> Path:
    """Where the answers of a caption file lie: beside it, `brunch.vtt` -> `brunch.answers.txt`."""
    return beside(captions, ANSWERS)


def now() -> str:
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(frozen=True)
class Saved:
    """What the file holds after a change, and what of others' later words the change wrote over."""

    answers: Answers
    overwrote: tuple[Answer, ...] = ()
    """Answers that somebody gave after the writer last looked. They stay in the file as `earlier:`."""


@dataclass(frozen=True)
class Store:
    """One answers file. Cheap to make; it holds nothing but the path, so that any number may be open at once."""

    path: Path
    timeout_s: float = 10.0
    """How long to wait while another program writes."""

    def read(self) -> Answers:
        """What the file holds now; no file is no answers. Raises AnswerError."""
        try:
            data = self.path.read_bytes()
        except FileNotFoundError:
            return Answers()
        except OSError as error:
            raise self._error("cannot be read", error) from error
        return read_answers(decode(data, self.path), file=str(self.path))

    def save(
        self,
        *given: Answer,
        replaces: Mapping[str, str] = MappingProxyType({}),
        episode: str | None = None,
        by: str | None = None,
        on: str | None = None,
    ) -> Saved:
        """Puts these answers into the file, each in place of the one of its id. Raises AnswerError, changing nothing.

        `revision` of each answer is taken as the revision its writer last saw. `replaces` gives for an answer's id the
        other id under which the same question was answered before; that answer becomes one of its `earlier`.
        """
        when = on or now()

        def put(old: Answers) -> tuple[Answers, tuple[Answer, ...]]:
            revision = old.revision + 1
            entries = {a.id: a for a in old.entries}
            overwrote = []
            for answer in given:
                before = entries.get(answer.id)
                other = replaces.get(answer.id)
                moved = entries.pop(other, None) if other is not None and other != answer.id else None
                if before is not None and _is_old_news(answer, before):
                    continue
                earlier = answer.earlier
                if before is not None:
                    earlier = before.earlier
                    if before.given and before.given != answer.given:
                        earlier = (*earlier, before.given)[-KEPT_EARLIER:]
                        if before.revision > answer.revision:
                            overwrote.append(before)
                elif moved is not None:
                    earlier = (*moved.earlier, moved.given)[-KEPT_EARLIER:] if moved.given else moved.earlier
                entries[answer.id] = answer.model_copy(
                    update={
                        "revision": revision,
                        "earlier": earlier,
                        "by": _line(by) or answer.by,
                        "on": _line(when) if answer.given else None,
                        "comments": answer.comments or (before.comments if before is not None else ()),
                    }
                )
            new = old.model_copy(
                update={
                    "entries": tuple(entries.values()),
                    "revision": revision,
                    "episode": old.episode or _line(episode),
                }
            )
            return new, tuple(overwrote)

        return self._change(put)

    def back(self, id: str) -> Saved:
        """Goes one answer back: to what was answered before, or to no answer. The one taken back is gone."""

        def take(old: Answers) -> tuple[Answers, tuple[Answer, ...]]:
            revision = old.revision + 1
            entries = []
            for answer in old.entries:
                if answer.id != id:
                    entries.append(answer)
                elif answer.earlier:
                    *rest, before = answer.earlier
                    update = {"given": before, "earlier": tuple(rest), "revision": revision}
                    entries.append(answer.model_copy(update=update))
            return old.model_copy(update={"entries": tuple(entries), "revision": revision}), ()

        return self._change(take)

    def _change(self, change: Callable[[Answers], tuple[Answers, tuple[Answer, ...]]]) -> Saved:
        try:
            with locked(self.path, timeout_s=self.timeout_s):
                sweep(self.path)
                old = self.read()
                new, overwrote = change(old)
                if new.entries == old.entries:
                    return Saved(old)
                write_whole(self.path, print_answers(new).encode("utf-8"))
        except TimeoutError as error:
            raise AnswerError(
                "The answers file is being written by another program and did not come free",
                where=Where(file=str(self.path)),
                hint="Try again; if no other program is at work, see who holds the hidden lock file beside it.",
            ) from error
        except OSError as error:
            raise self._error("could not be written", error) from error
        return Saved(new, overwrote)

    def _error(self, what: str, error: OSError) -> AnswerError:
        return AnswerError(
            f"The answers file {what}: {error.strerror or error}",
            where=Where(file=str(self.path)),
            hint="What was answered before is untouched. Make room or give leave to write there, then try again.",
        )


def _is_old_news(answer: Answer, before: Answer) -> bool:
    """It stands already, or it was overwritten since on purpose: a form that is handed in twice changes nothing."""
    if before.given == answer.given and before.ground == answer.ground:
        return True
    return bool(before.given) and answer.revision < before.revision and answer.given in before.earlier


def _line(text: str | None) -> Line | None:
    return clean(text) or None if text is not None else None


def decode(data: bytes, path: Path) -> str:
    """UTF-8, with or without a byte-order mark; UTF-16 where a mark says so. Never a guess."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"
    else:
        encoding = "utf-8-sig"
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        name = encoding.removesuffix("-sig").upper()
        fault = (line, f"a byte that is no {name}", "Save the file again as UTF-8.")
        raise AnswersFileError(str(path), [fault]) from error


def read_form(path: Path | str) -> Answers:
    """A form that came back, or any answers file. Raises AnswerError, with every fault of the file."""
    path = Path(path)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise AnswerError(
            f"The answers file cannot be read: {error.strerror or error}",
            where=Where(file=str(path)),
            hint="Check the name; `questions --write` makes a form to fill in.",
        ) from error
    return read_answers(decode(data, path), file=str(path))
