"""`pourword habit`: what a person always means."""

from __future__ import annotations

from typing import Annotated

import typer

from extractor.cli.shared import GivenLocale, write
from extractor.errors import AnswerError
from extractor.paths import OWN_HABITS, user_folder
from extractor.visible import line


def habit(
    sentence: Annotated[
        str | None, typer.Argument(metavar="SENTENCE", help='"my bar spoon is 5 ml", "simple syrup means one to one".')
    ] = None,
    locale: GivenLocale = "us",
) -> None:
    """Keep what you always mean, so that no episode asks for it again; without a sentence, list what is kept."""
    folder = user_folder()
    if sentence is None:
        from extractor.answers import read_habits

        kept = read_habits(folder)
        for measure, size in kept.measures.items():
            write(f"{line(measure)}: {size:g} ml\n")
        for name, words in kept.made.items():
            write(f"{line(name)}: {line(words)}\n")
        if not kept.measures and not kept.made:
            write(f"No habits are kept in {line(str(folder / OWN_HABITS))}.\n")
        return
    from extractor.answers import NoHabit, Readers, keep_habit, read_habit
    from extractor.measures import read_amount
    from extractor.names import read_name

    found = read_habit(sentence, Readers(lambda s: read_amount(s, locale=locale), read_name))
    if isinstance(found, NoHabit):
        raise AnswerError(found.why, hint=found.hint)
    path = keep_habit(found, folder)
    write(f"Kept in {line(str(path))}: {line(str(found))}\n")
