"""The command `pourword`: arguments, printing, exit codes. Each command is a call that a Python user could make."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(add_completion=False, no_args_is_help=True, pretty_exceptions_enable=False, help=__doc__)


@app.callback()
def _top() -> None:
    """Turns the captions of a spoken talk-through of drinks into written recipes that are safe to publish."""


@app.command()
def draft(
    captions: Annotated[str, typer.Argument(help="A caption file, or - for standard input.")],
    as_json: Annotated[bool, typer.Option("--json", help="Print the record and nothing else.")] = False,
    locale: Annotated[str, typer.Option(help="Whose ounces, cups and spoons: us, bar, metric, uk, au.")] = "us",
    lexicon: Annotated[Path | None, typer.Option(help="Your own names, on top of ours.")] = None,
) -> None:
    """Read the captions; print the drinks, what was put right and what must be asked; save the record beside them."""
    from extractor.pipeline import draft as make

    data: str | Path | bytes = sys.stdin.buffer.read() if captions == "-" else Path(captions)
    episode = make(data, locale=locale, lexicon=lexicon)
    if as_json:
        sys.stdout.write(episode.model_dump_json(indent=1) + "\n")
        return


def main() -> None:
    """Runs the command; every error of ours is said in words, with exit code 2."""
    from extractor.errors import PourwordError

    try:
        app()
    except PourwordError as e:
        sys.stderr.write(f"pourword: {e}\n")
        raise SystemExit(2) from None
