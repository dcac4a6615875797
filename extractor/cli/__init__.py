"""The command `pourword`: arguments, printing, exit codes. Each command is a call that a Python user could make.

Exit status: 0 done; 1 the answer is no (something is still open, nothing was read, a file has faults); 2 it could not
be done, and the words on standard error say what, where and what to do; 3 a fault of the program; 130 stopped.
One command a file. Nothing heavy is imported before a command runs.
"""

from __future__ import annotations

import os
import sys

import typer
from typer.main import get_command

from extractor.cli import check, confirm, draft, habit, lexicon, measure, name, publish, questions, review
from extractor.cli.encodings import write_plainly
from extractor.errors import PourwordError
from extractor.visible import line, lines

STOPPED = 130
"""128 + SIGINT, as a shell reports it."""
CLOSED = 141
"""128 + SIGPIPE: whoever read our output went away."""

app = typer.Typer(
    name="pourword",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


@app.callback()
def _top() -> None:
    """Turns the captions of a spoken talk-through of drinks into written recipes that are safe to publish."""


app.command("draft", short_help="The drinks of an episode, and what must be asked.")(draft.draft)
app.command("questions", short_help="What is open, or a form to answer it elsewhere.")(questions.questions)
app.command("confirm", short_help="Answer the open questions.")(confirm.confirm)
app.command("review", short_help="Settle it on a page in the browser: listen, look, answer, publish.")(review.review)
app.command("check", short_help="May it be published? One line, one exit status.")(check.check)
app.command("publish", short_help="Captions, cards, description, data, shopping list.")(publish.publish)
app.command("measure", short_help="What a spoken measure is read as, and why.")(measure.measure)
app.command("name", short_help="What a name as heard may mean, and why.")(name.name)
app.command("habit", short_help="Keep what you always mean.")(habit.habit)
app.add_typer(lexicon.app, name="lexicon", short_help="Your own names.")


def main() -> None:
    """Runs the command on the words of the command line and ends with its exit status."""
    import gc

    # A short run that makes many objects and few cycles: to look for those is a tenth of the time, and at the end, when
    # all goes anyway, a quarter.
    gc.set_threshold(100_000, 50, 100)
    status = run(sys.argv[1:])
    gc.freeze()
    raise SystemExit(status)


def run(args: list[str]) -> int:
    """Runs the command; the exit status. No traceback reaches the user: everything is said in words."""
    for stream in (sys.stdout, sys.stderr):
        write_plainly(stream)
    try:
        command = get_command(app)
        with command.make_context("pourword", args) as context:
            status = command.invoke(context)
        sys.stdout.flush()
    except typer.Exit as end:  # --help has been printed.
        return end.exit_code
    except PourwordError as error:
        return _say(str(error), 2)
    except BrokenPipeError:
        _discard_output()
        return CLOSED
    except (KeyboardInterrupt, typer.Abort):
        return _say("Stopped.", STOPPED)
    except OSError as error:
        place = f" ({error.filename})" if error.filename else ""
        _discard_output()
        return _say(f"{error.strerror or error}{place}\nMake room or give leave, then try again.", 2)
    except Exception as error:
        if hasattr(error, "format_message"):  # A wrong option or argument: typer has no public name for these.
            return _usage(error)
        if os.environ.get("POURWORD_TRACE"):
            import traceback

            traceback.print_exc()
        kind = f"{type(error).__name__}: {error}"
        return _say(
            f"Something went wrong that is a fault of the program: {line(kind)[:300]}\n"
            "Please report it, with the command and, if you may, the captions. POURWORD_TRACE=1 shows where it was.",
            3,
        )
    return status if isinstance(status, int) else 0


def _usage(error: Exception) -> int:
    """What is wrong with the command line; of a command without words, its help."""
    words: str = error.format_message()  # type: ignore[attr-defined]
    if words.startswith("Usage:"):
        sys.stderr.write(f"{words}\n")
        return 2
    path = getattr(getattr(error, "ctx", None), "command_path", "pourword")
    return _say(f"{words}\n`{path} --help` shows what can be said.", 2)


def _say(words: str, status: int) -> int:
    """Words on standard error, nothing in them that a terminal would obey; gives the status."""
    try:
        sys.stdout.flush()
    except OSError:
        _discard_output()
    try:
        sys.stderr.write(f"pourword: {lines(words)}\n")
        sys.stderr.flush()
    except OSError:
        pass
    return status


def _discard_output() -> None:
    """Nobody reads standard output any more, or it is full: what is left in its buffer goes nowhere."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    except (OSError, ValueError):
        pass
