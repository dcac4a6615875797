"""`pourword lexicon`: the user's own names, added and checked."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from extractor.cli.shared import write
from extractor.errors import LexiconError
from extractor.paths import OWN_LEXICON, user_folder
from extractor.visible import line

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)


@app.callback()
def _top() -> None:
    """Your own names, on top of those that Pourword knows."""


@app.command("add")
def add(
    name: Annotated[str, typer.Argument(metavar="NAME", help="The name as it is to be published.")],
    kind: Annotated[
        str | None, typer.Option(metavar="KIND", help="What it is: syrup, liqueur, fruit ... Needed for a new name.")
    ] = None,
    other: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="Another name or spelling of it; may be given again.")
    ] = None,
    said: Annotated[
        list[str] | None,
        typer.Option(metavar="PHONES", help='How it is said, in ARPAbet: "F AH0 L ER1 N AH0 M"; may be given again.'),
    ] = None,
    misheard: Annotated[
        list[str] | None, typer.Option(metavar="WORDS", help="How captions get it wrong; may be given again.")
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option("--lexicon", metavar="FILE", help="The file to add to; your own lexicon file if none."),
    ] = None,
) -> None:
    """Add a name of yours, or another saying or mishearing of one that is known.

    The file is checked as a whole before it is written, and what stands in it by hand stays as it is.
    """
    from extractor.own_lexicon import add_name

    path = file or user_folder() / OWN_LEXICON
    entry = add_name(
        path, name, kind=kind, other=tuple(other or ()), said=tuple(said or ()), misheard=tuple(misheard or ())
    )
    write(f"Kept in {line(str(path))}:\n{entry}")


@app.command("check")
def check(file: Annotated[Path, typer.Argument(metavar="FILE", help="A lexicon file of yours.")]) -> int:
    """Check a lexicon file and name every fault with its line. Exit status 1 where there are any."""
    from extractor.own_lexicon import check_file

    try:
        number = check_file(file)
    except LexiconError as error:
        for fault in error.faults:
            sys.stderr.write(f"{line(fault)}\n")
        count = len(error.faults)
        sys.stderr.write(f"{count} fault{'s' if count != 1 else ''} in {line(str(file))}.\n")
        return 1
    write(f"{number} name{'s' if number != 1 else ''} in {line(str(file))}, no faults.\n")
    return 0
