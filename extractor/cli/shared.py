"""What the commands share: their common arguments, opening an episode, and printing."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from extractor.errors import CaptionError
from extractor.paths import RECORD, beside

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

    from extractor.publish import Sheet
    from extractor.record import Episode
    from extractor.settle import Opened

Captions = Annotated[str, typer.Argument(metavar="CAPTIONS", help="A caption file.")]
_WHOSE = "Whose ounces, cups and spoons: us, bar, metric, uk or au."
GivenLocale = Annotated[str, typer.Option(help=_WHOSE)]
"""For what belongs to no episode."""
Locale = Annotated[str | None, typer.Option(help=f"{_WHOSE} As drafted before, else us.")]
OwnLexicon = Annotated[
    Path | None, typer.Option("--lexicon", metavar="FILE", help="Your own names; in place of your own lexicon file.")
]
Json = Annotated[bool, typer.Option("--json", help="Print it as JSON and nothing else.")]
By = Annotated[str | None, typer.Option(metavar="NAME", help="Who answers; kept with each answer.")]


def open_captions(captions: str, locale: str | None, lexicon: Path | None) -> Opened:
    """The episode of a caption file, with its answers and the user's own names and habits."""
    from extractor.settle import open_episode

    if captions == "-":
        raise CaptionError(
            "This command keeps things beside the captions, so it cannot read them from standard input",
            hint="Name a caption file; `draft` reads standard input.",
        )
    path = Path(captions)
    return open_episode(path, locale=locale or drafted_locale(path) or "us", lexicon=lexicon)


def drafted_locale(captions: Path) -> str | None:
    """The locale of the record beside the captions: what was drafted with British pints stays British."""
    try:
        found = json.loads(beside(captions, RECORD).read_bytes())["source"]["locale"]
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return found if isinstance(found, str) else None


def sheets(opened: Opened, episode: Episode) -> tuple[Sheet, ...]:
    """The drinks in the words of their cards, every gap marked."""
    from extractor.publish import sheets_of

    return sheets_of(episode, opened.lexicon, mark_open=True)


def console() -> Console:
    """Standard output: with colours on a terminal only, and with none where NO_COLOR is set."""
    from rich.console import Console

    class _Ours(Console):
        def on_broken_pipe(self) -> None:
            raise BrokenPipeError  # Said by the exit status, as for every other output.

    return _Ours(file=sys.stdout, highlight=False, markup=False, emoji=False)


def show(parts: Iterable[RenderableType], to: Console) -> None:
    """Prints each part; no line ends in blanks where it goes to a file or a pipe."""
    if to.is_terminal:
        for part in parts:
            to.print(part)
        return
    with to.capture() as captured:
        for part in parts:
            to.print(part)
    write("".join(f"{one.rstrip()}\n" for one in captured.get().splitlines()))


def write(text: str) -> None:
    """Text on standard output."""
    sys.stdout.write(text)


def write_json(text: str) -> None:
    """JSON on standard output: always UTF-8, whatever the terminal speaks."""
    data = f"{text}\n".encode()
    buffer = getattr(sys.stdout, "buffer", None)
    if buffer is None:
        sys.stdout.write(data.decode())
        return
    sys.stdout.flush()
    buffer.write(data)
    buffer.flush()
