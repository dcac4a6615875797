"""`pourword draft`: the main job."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extractor.cli.shared import Locale, OwnLexicon, console, drafted_locale, sheets, show, write_json
from extractor.errors import PourwordError, Where
from extractor.paths import DRAFT, QUESTIONS, RECORD, beside
from extractor.visible import line

if TYPE_CHECKING:
    from extractor.publish import Sheet
    from extractor.record import Episode
    from extractor.settle import Opened


def draft(
    captions: Annotated[str, typer.Argument(metavar="CAPTIONS", help="A caption file, or - for standard input.")],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print the record as JSON and nothing else; save nothing.")
    ] = False,
    locale: Locale = None,
    lexicon: OwnLexicon = None,
) -> None:
    """Read the captions; print the drinks, what was put right in the captions and what must be asked.

    The record, the draft and the questions are saved beside the captions, as NAME.record.json, NAME.draft.md and
    NAME.questions.md. Answers given before (`pourword confirm`) are put in.
    """
    from extractor.settle import open_episode

    path = None if captions == "-" else Path(captions)
    place = locale or (drafted_locale(path) if path is not None else None) or "us"
    opened = open_episode(path or sys.stdin.buffer.read(), locale=place, lexicon=lexicon)
    episode = opened.episode
    if as_json:
        write_json(episode.model_dump_json(indent=1))
        return
    from extractor.view import draft_view

    out = console()
    made = sheets(opened, episode)
    show(draft_view(episode, made, width=out.width), out)
    if path is not None:
        out.print()
        saved = save(opened, path, episode, made)
        out.print(f"Saved {', '.join(line(p.name) for p in saved)}.", style="dim", soft_wrap=True)


def save(opened: Opened, path: Path, episode: Episode, made: tuple[Sheet, ...]) -> list[Path]:
    """Writes the record, the draft and the questions beside the captions, each whole or not at all."""
    from extractor.files import write_whole
    from extractor.view import draft_markdown, excerpt, questions_markdown

    files = {
        RECORD: episode.model_dump_json(indent=1) + "\n",
        DRAFT: draft_markdown(episode, made),
        QUESTIONS: questions_markdown(episode, lambda q: excerpt(q, opened.talk)),
    }
    for what in files:
        _check_ours(beside(path, what), what)
    saved: list[Path] = []
    for what, text in files.items():
        target = beside(path, what)
        try:
            write_whole(target, text.encode("utf-8", "replace"))
        except OSError as error:
            done = f" ({', '.join(p.name for p in saved)} {'was' if len(saved) == 1 else 'were'})" if saved else ""
            raise PourwordError(
                f"{target.name} could not be saved: {error.strerror or error}{done}",
                where=Where(str(target.parent)),
                hint="All is printed above. Make room or give leave to write there; --json prints the record instead.",
            ) from None
        saved.append(target)
    return saved


_MARKS = {RECORD: b'"pourword.episode/', DRAFT: b"Made by `pourword draft`", QUESTIONS: b"Made by `pourword draft`"}
"""What stands near the head of each file that we wrote."""


def _check_ours(target: Path, what: str) -> None:
    """Raises PourwordError where a file of that name is there which is somebody else's."""
    try:
        with open(target, "rb") as file:
            head = file.read(4096)
    except OSError:
        return  # It is not there, or it will be said when it cannot be written.
    if head and _MARKS[what] not in head:
        raise PourwordError(
            f"Nothing was saved: {target.name} is there already, and Pourword did not write it",
            where=Where(str(target.parent)),
            hint="All is printed above. Move that file away or rename it; --json prints the record instead.",
        )
