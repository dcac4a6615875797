"""`pourword questions`: what is open, and a form to answer it elsewhere."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from extractor.cli.shared import Captions, Json, Locale, OwnLexicon, console, open_captions, show, write, write_json
from extractor.visible import line


def questions(
    captions: Captions,
    form: Annotated[
        Path | None, typer.Option("--write", metavar="FILE", help="Write a form of what is open, to be filled in.")
    ] = None,
    locale: Locale = None,
    lexicon: OwnLexicon = None,
    as_json: Json = False,
) -> None:
    """List the open questions of an episode, or write them as a form for somebody elsewhere.

    The form is plain text: it can be filled in with any editor, sent by mail, and handed back with
    `pourword confirm CAPTIONS --answers FILE`. A file that is there already is not written over.
    """
    opened = open_captions(captions, locale, lexicon)
    if form is not None:
        from extractor.answers import write_form

        number = write_form(opened.desk(), form)
        write(f"{number} question{'s' if number != 1 else ''} written to {line(str(form))}.\n")
        return
    found = opened.episode.questions
    if as_json:
        write_json("[" + ",\n".join(q.model_dump_json(indent=1) for q in found) + "]")
        return
    from extractor.view import questions_view

    show(questions_view(found)[1:], console())
