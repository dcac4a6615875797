"""Changes to the files of a user's own: under a lock, in one step, and what stands in them by hand stays as it is.

Core: the lexicon of one's own is added to by a command and by what answers teach.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from extractor.errors import PourwordError, Where
from extractor.files import locked, sweep, write_whole
from extractor.lexicon import identifier, plain

HEAD = """\
# Your own names, on top of Pourword's. A name, and below it what is known of it, each line two blanks in:
#
#   smoked plum oleo
#     kind: syrup
#     other: plum oleo | smoked oleo
#     misheard: smoked plum holy o
"""


def change_file(
    path: Path, text: Callable[[], str], *, called: str, error: type[PourwordError] = PourwordError
) -> None:
    """Puts at `path`, whose folder is made where it is missing, what `text` gives, called while nobody else writes.

    `called` is what the file is for its user ("lexicon"). Raises `error` where it cannot be written, and what `text`
    raises; the file is then as it was.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with locked(path):
            sweep(path)
            write_whole(path, text().encode("utf-8"))
    except TimeoutError as late:
        raise error(str(late), where=Where(file=str(path)), hint="Try again in a moment.") from late
    except OSError as refused:
        raise error(
            f"Your {called} could not be written: {refused.strerror or refused}",
            where=Where(file=str(path)),
            hint="It is as it was. Make room or give leave to write there, then try again.",
        ) from refused


def with_name(
    text: str,
    name: str,
    *,
    kind: str | None = None,
    other: tuple[str, ...] = (),
    said: tuple[str, ...] = (),
    misheard: tuple[str, ...] = (),
    at_top: bool = False,
) -> str:
    """The text of a lexicon file with this name in it: a new block at its end, or the lists of its block made longer.

    A `kind` takes the place of the one in the block. A field that the block has not yet comes to its end, or, `at_top`,
    right below a name that stood there already. Nothing is checked here.
    """
    lines = text.splitlines() or HEAD.splitlines()
    begin = _begin(lines, name)
    at_top = at_top and begin is not None
    if begin is None:
        lines += [""] if lines[-1].strip() else []
        lines.append(name)
        begin = len(lines) - 1
    fields = [("kind", (kind,) if kind else ()), ("other", other), ("said", said), ("misheard", misheard)]
    for key, values in fields:
        if not values:
            continue
        end = _end(lines, begin)
        while end > begin + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
            end -= 1
        at = next((n for n in range(begin + 1, end) if lines[n].strip().partition(":")[0].strip() == key), None)
        if at is None:
            lines.insert(begin + 1 if at_top else end, f"  {key}: {' | '.join(dict.fromkeys(values))}")
        elif key == "kind":
            lines[at] = f"  kind: {kind}"
        else:
            there = [v.strip() for v in lines[at].partition(":")[2].split("|")]
            new = [v for v in dict.fromkeys(values) if plain(v) not in {plain(t) for t in there}]
            lines[at] = " | ".join([lines[at].rstrip(), *new])
    return "\n".join(lines) + "\n"


def block_of(text: str, name: str) -> str | None:
    """The lines of a lexicon file that tell of a name; None where it has no block."""
    lines = text.splitlines()
    begin = _begin(lines, name)
    if begin is None:
        return None
    return "\n".join(x for x in lines[begin : _end(lines, begin)] if x.strip()) + "\n"


def _begin(lines: Sequence[str], name: str) -> int | None:
    return next((n for n, x in enumerate(lines) if _is_name(x) and identifier(x) == identifier(name)), None)


def _end(lines: Sequence[str], begin: int) -> int:
    return next((n for n in range(begin + 1, len(lines)) if _is_name(lines[n])), len(lines))


def _is_name(line: str) -> bool:
    return bool(line.strip()) and not line[0].isspace() and not line.startswith("#")
