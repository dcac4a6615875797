"""`pourword confirm`: answers the open questions, in the terminal or from a form."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extractor.cli.shared import By, Captions, Locale, OwnLexicon, console, open_captions, write
from extractor.errors import AnswerError, PourwordError
from extractor.visible import line

if TYPE_CHECKING:
    from collections.abc import Callable

    from extractor.answers import Lesson
    from extractor.settle import Opened


def confirm(
    captions: Captions,
    answers: Annotated[
        Path | None, typer.Option("--answers", metavar="FILE", help="Take the answers from a form that was filled in.")
    ] = None,
    must: Annotated[bool, typer.Option("--must", help="Ask only what must be answered before publishing.")] = False,
    by: By = None,
    locale: Locale = None,
    lexicon: OwnLexicon = None,
) -> int:
    """Walk through the open questions. Each answer is saved at once; it can be left at any moment.

    Answers are kept beside the captions, in NAME.answers.txt, and hold when the captions are corrected or recognised
    again. What they teach for the next episode (a name of yours, how you make a syrup) is offered at the end.
    """
    opened = open_captions(captions, locale, lexicon)
    if answers is not None:
        return _from_form(opened, answers, by)
    from extractor.answers import Store, walk
    from extractor.paths import ANSWERS, beside
    from extractor.view import excerpt

    assert opened.path is not None
    walked = walk(
        opened.draft,
        Store(beside(opened.path, ANSWERS)),
        console(),
        _ask,
        readers=opened.readers(),
        excerpt=lambda q: excerpt(q, opened.talk),
        by=by,
        habits=opened.habits,
        only=(lambda q: q.blocking) if must else (lambda _: True),
    )
    if walked.unsaved:
        raise AnswerError(
            f"{len(walked.unsaved)} answers could not be saved; they are printed above",
            hint="Make room or give leave to write beside the captions, then answer them again.",
        )
    if walked.finished and walked.kept:
        _learn(opened, {k.answer.id for k in walked.kept})
    return 0


def _ask(prompt: str) -> str:
    import contextlib
    import sys

    if sys.stdin.isatty():
        with contextlib.suppress(ImportError):
            import readline  # noqa: F401  (gives the line its arrow keys)
    return input(prompt)


def _from_form(opened: Opened, path: Path, by: str | None) -> int:
    """Takes a form in; every answer that could not be put in is named, and the status is then 2."""
    from extractor.answers import read_form

    taken = opened.desk(by=by).take_form(read_form(path))
    for done in taken.kept:
        write(f"{line(done.said)}\n")
    for over in taken.overwrote:
        who = line(over.by or "somebody")
        write(f"Meanwhile {who} had answered “{line(over.given)}”; that is kept in the file as earlier.\n")
    for kind, lost in (("Its ground has changed", taken.changed), ("Its place is not found", taken.orphaned)):
        for one in lost:
            write(f"{kind}, so it is asked again: {line(one.question.text)}\n")
    if taken.failed:
        listed = "\n".join(
            f"  {line(f.answer.id)}: “{line(f.answer.given)}”: {line(f.why)}. {line(f.hint)}" for f in taken.failed
        )
        raise AnswerError(
            f"{len(taken.failed)} answer{' was' if len(taken.failed) == 1 else 's were'} not taken in:\n{listed}",
            hint="Put them right in the form and hand it in again; the others are kept.",
        )
    kept = len(taken.kept)
    write(f"{kept} answer{'s' if kept != 1 else ''} taken in.\n")
    return 0


def _learn(opened: Opened, ids: set[str], ask: Callable[[str], str] = _ask) -> None:
    """Offers what the answers of this walk teach for the next episode. Nothing is learned without a yes."""
    from extractor.answers import lessons_of

    applied = opened.desk().applied
    of_now = [d for d in applied.done if d.answer.id in ids]
    for lesson in lessons_of(type(applied)(applied.episode, tuple(of_now)), opened.lexicon):
        try:
            if ask(f"For every episode: {line(str(lesson))}? (y/n) ").strip().lower() in ("y", "yes"):
                _keep(lesson, opened, ask)
        except EOFError:
            write("\n")
            return


def _keep(lesson: Lesson, opened: Opened, ask: Callable[[str], str]) -> None:
    from extractor.answers import Misheard, learn

    kind = None
    if isinstance(lesson, Misheard) and lesson.kind is None:
        while kind not in opened.lexicon.kinds:
            kind = ask("What kind of thing is it (syrup, liqueur, fruit ...; empty for none of this)? ").strip().lower()
            if not kind:
                return
            if kind not in opened.lexicon.kinds:
                write(f"No kind is called “{line(kind)}”. {_near(kind, opened)}\n")
    try:
        path = learn(lesson, opened.folder, kind=kind)
    except PourwordError as error:
        write(f"Not kept: {line(str(error))}\n")
        return
    write(f"Kept in {line(str(path))}.\n")


def _near(kind: str, opened: Opened) -> str:
    import difflib

    near = difflib.get_close_matches(kind, opened.lexicon.kinds, 4, 0.5)
    return f"Near it: {', '.join(near)}." if near else "`pourword lexicon add --help` says where they are listed."
