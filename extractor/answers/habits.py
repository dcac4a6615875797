"""What a person always means: the size of their own bar spoon, how they make simple syrup. A file of the user's own.

    [measures]
    bar_spoon: 5 ml
    [made]
    simple syrup: 1 part sugar, 1 part water

`[measures]` are the user's sizes for `load_units(locale, overrides=habits.measures)`. `[made]` answers the questions
about a home-made thing of that name, in every episode, as a person would have (`Desk(..., habits=...)`); an answer in
an episode's own file goes before it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import get_args

from extractor.answers.answer import Answer, clean
from extractor.answers.board import KIT_KINDS
from extractor.answers.likeness import bare, same_name
from extractor.answers.match import answer_to
from extractor.answers.readers import Readers
from extractor.answers.store import decode
from extractor.answers.text import AnswersFileError
from extractor.errors import AnswerError, Where
from extractor.own_files import change_file
from extractor.paths import OWN_HABITS
from extractor.record import Episode, Question
from extractor.record.episode import Unit

HABIT = "habit"
"""Who answered, where a habit did."""
_HEAD = """\
# What Pourword takes for granted in every episode of yours. `#` begins a comment line.
#
#   [measures]                               the sizes of your own measures, in millilitres
#   bar_spoon: 5 ml
#   [made]                                   how your home-made things are made
#   simple syrup: 1 part sugar, 1 part water
"""
_SECTIONS = ("measures", "made")
_SIZE = re.compile(r"(\d+(?:\.\d+)?)\s*ml$")
_MEANS = re.compile(
    r"(?:my |our |an? |the |one )?(?P<what>.+?)\s+(?:is|are|means|mean|holds|hold|=)\s+(?:always )?(?P<means>.+)$",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Habits:
    """`measures`: a unit of the record to millilitres. `made`: a name to how it is made, in the words of an answer."""

    measures: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    made: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def recipe(self, name: str) -> str | None:
        return next((words for key, words in self.made.items() if same_name(key, name)), None)


@dataclass(frozen=True, slots=True)
class Habit:
    """One line of the file: `section` is measures or made."""

    section: str
    what: str
    means: str

    def __str__(self) -> str:
        return f"{self.what}: {self.means}"


@dataclass(frozen=True, slots=True)
class NoHabit:
    """Why a sentence is none, and how to say it."""

    why: str
    hint: str


def read_habits(folder: Path) -> Habits:
    """The habits file in the user's folder; none is no habits. Raises AnswerError with every fault of the file."""
    path = folder / OWN_HABITS
    try:
        data = path.read_bytes()
    except FileNotFoundError:
        return Habits()
    except OSError as error:
        raise AnswerError(
            f"Your habits file cannot be read: {error.strerror or error}",
            where=Where(file=str(path)),
            hint="Give leave to read it, or take it away.",
        ) from error
    return parse_habits(decode(data, path), file=str(path))


def parse_habits(text: str, *, file: str = OWN_HABITS) -> Habits:
    faults: list[tuple[int, str, str]] = []
    found: dict[str, dict[str, str]] = {s: {} for s in _SECTIONS}
    section: str | None = None
    for number, raw in enumerate(text.splitlines(), 1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        if line.startswith("["):
            section = line.strip("[] ")
            if section not in _SECTIONS:
                faults.append(
                    (number, f"unknown section {line}", f"There is {' and '.join(f'[{s}]' for s in _SECTIONS)}.")
                )
            continue
        what, colon, means = (p.strip() for p in line.partition(":"))
        if section not in _SECTIONS:
            faults.append((number, "a habit outside of a section", "Put `[measures]` or `[made]` above it."))
        elif not colon or not what or not means:
            faults.append(
                (number, f"expected `name: what it means`, found {clean(line)[:60]!r}", "Put a colon between them.")
            )
        elif any(same_name(what, k) for k in found[section]):
            faults.append((number, f"{what} stands twice in [{section}]", "Leave one of the two."))
        elif section == "measures" and (what not in get_args(Unit) or _SIZE.match(means) is None):
            faults.append((number, f"{line!r} is no size of a measure", "Write it so: bar_spoon: 5 ml"))
        else:
            found[section][what] = means
    if faults:
        raise AnswersFileError(file, faults)
    sizes = {k: float(m[1]) for k, v in found["measures"].items() if (m := _SIZE.match(v)) is not None}
    return Habits(MappingProxyType(sizes), MappingProxyType(found["made"]))


def read_habit(sentence: str, readers: Readers) -> Habit | NoHabit:
    """ "my bar spoon is 5 ml", "simple syrup means one to one"."""
    found = _MEANS.match(clean(sentence).rstrip(".!"))
    if found is None:
        return NoHabit(
            f"“{sentence}” is no habit",
            "Say it so: my bar spoon is 5 ml; simple syrup means 1 part sugar, 1 part water.",
        )
    what, means = found["what"].strip(), found["means"].strip()
    one = readers.exact(f"1 {what}")
    if one is not None and one.unit is not None and one.unit != "piece":
        size = readers.exact(means)
        if (
            size is None
            or size.millilitres is None
            or size.millilitres.low != size.millilitres.high
            or size.unit == one.unit
        ):
            return NoHabit(f"“{means}” is no size of a measure", "Give it in millilitres: my bar spoon is 5 ml.")
        return Habit("measures", one.unit, f"{size.millilitres.low:.6g} ml")
    name, _ = readers.known(what)
    if readers.parts(means) is None and readers.ratio(means) is None and readers.time(means) is None:
        return NoHabit(
            f"“{means}” does not say how {name} is made",
            "Name the parts: simple syrup means 1 part sugar, 1 part water.",
        )
    return Habit("made", name, means)


def habit_answers(questions: Sequence[Question], draft: Episode, habits: Habits) -> list[Answer]:
    """The answers that the habits give to open questions about home-made things. They are put in, and not saved."""
    asked = {q.id for q in draft.questions}
    out = []
    for q in questions:
        words = habits.recipe(q.about) if q.kind in KIT_KINDS and q.id in asked else None
        if words is not None:
            out.append(answer_to(q, draft, words).model_copy(update={"by": HABIT}))
    return out


def keep_habit(habit: Habit, folder: Path) -> Path:
    """Writes the habit into the user's file, in place of an older one of the same name. All else in the file stays."""
    path = folder / OWN_HABITS
    if bare(habit.what) == "" or any(c in habit.what for c in ":#[") or "\n" in habit.means:
        raise AnswerError(
            f"{habit.what!r} cannot stand in the habits file", where=Where(file=str(path)), hint="Name it in letters."
        )

    def changed() -> str:
        old = decode(path.read_bytes(), path) if path.exists() else ""
        new = _with(old or _HEAD, habit)
        parse_habits(new, file=str(path))
        return new

    change_file(path, changed, called="habits file", error=AnswerError)
    return path


def _with(text: str, habit: Habit) -> str:
    lines = text.splitlines()
    section, end = None, None
    for n, raw in enumerate(lines):
        line = raw.strip()
        if line.startswith("["):
            section = line.strip("[] ")
            end = n + 1 if section == habit.section else end
        elif section == habit.section and line and not line.startswith("#"):
            end = n + 1
            if same_name(line.partition(":")[0], habit.what):
                lines[n] = str(habit)
                return "\n".join(lines) + "\n"
    if end is None:
        lines += ["", f"[{habit.section}]"] if lines and lines[-1].strip() else [f"[{habit.section}]"]
        end = len(lines)
    lines.insert(end, str(habit))
    return "\n".join(lines) + "\n"
