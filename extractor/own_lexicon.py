"""The user's own lexicon file: a name added, the file checked as a whole. What stands in it by hand stays as it is."""

from __future__ import annotations

import difflib
from pathlib import Path

from extractor.errors import LexiconError, PourwordError, Where
from extractor.lexicon import identifier, plain

HEAD = """\
# Your own names, on top of Pourword's. A name, and below it what is known of it, each line two blanks in:
#
#   smoked plum oleo
#     kind: syrup
#     other: plum oleo | smoked oleo
#     misheard: smoked plum holy o
"""


def with_name(
    text: str,
    name: str,
    *,
    kind: str | None = None,
    other: tuple[str, ...] = (),
    said: tuple[str, ...] = (),
    misheard: tuple[str, ...] = (),
) -> str:
    """The text of a lexicon file with this name in it: a new block at its end, or the lists of its block made longer.

    A `kind` takes the place of the one in the block. Nothing is checked here.
    """
    lines = text.splitlines() or HEAD.splitlines()
    begin = next((n for n, x in enumerate(lines) if _is_name(x) and identifier(x) == identifier(name)), None)
    if begin is None:
        lines += [""] if lines[-1].strip() else []
        lines.append(name)
        begin = len(lines) - 1
    fields = [("kind", (kind,) if kind else ()), ("other", other), ("said", said), ("misheard", misheard)]
    for key, values in fields:
        if not values:
            continue
        end = next((n for n in range(begin + 1, len(lines)) if _is_name(lines[n])), len(lines))
        while end > begin + 1 and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
            end -= 1
        at = next((n for n in range(begin + 1, end) if lines[n].strip().partition(":")[0].strip() == key), None)
        if at is None:
            lines.insert(end, f"  {key}: {' | '.join(dict.fromkeys(values))}")
        elif key == "kind":
            lines[at] = f"  kind: {kind}"
        else:
            there = [v.strip() for v in lines[at].partition(":")[2].split("|")]
            new = [v for v in dict.fromkeys(values) if plain(v) not in {plain(t) for t in there}]
            lines[at] = " | ".join([lines[at].rstrip(), *new])
    return "\n".join(lines) + "\n"


def add_name(
    path: Path,
    name: str,
    *,
    kind: str | None = None,
    other: tuple[str, ...] = (),
    said: tuple[str, ...] = (),
    misheard: tuple[str, ...] = (),
) -> str:
    """Adds to the file (which is made where it is missing) and gives the block as it now stands there.

    Raises PourwordError for words that cannot stand in a lexicon file, LexiconError with every fault that the file
    would then have; the file is then as it was.
    """
    from extractor.files import locked, sweep, write_whole

    where = Where(str(path))
    name = name.strip()
    for value in (name, *((kind,) if kind is not None else ()), *other, *said, *misheard):
        _check_value(value, where)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with locked(path):
            sweep(path)
            old = _text(path) if path.exists() else ""
            new = with_name(old, name, kind=kind, other=other, said=said, misheard=misheard)
            _check_new(new, path, name, kind)
            write_whole(path, new.encode("utf-8"))
    except TimeoutError as error:
        raise PourwordError(str(error), where=where, hint="Try again in a moment.") from None
    except OSError as error:
        raise PourwordError(
            f"Your lexicon could not be written: {error.strerror or error}",
            where=where,
            hint="It is as it was. Make room or give leave to write there, then try again.",
        ) from None
    return _block(new, name)


def check_file(path: Path) -> int:
    """Checks a user's lexicon file together with ours; the number of its names.

    Raises LexiconError with every fault.
    """
    from extractor.lexicon import load_lexicon
    from extractor.names import load_hearing

    _text(path)
    lexicon = load_lexicon(own=(path,))
    load_hearing(lexicon)
    return len(lexicon.own)


def _check_new(text: str, path: Path, name: str, kind: str | None) -> None:
    """Checks the file as it would be, under its own name so that faults name it."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        trial = Path(folder) / path.name
        trial.write_text(text, encoding="utf-8")
        try:
            check_file(trial)
        except LexiconError as error:
            raise _helped(error, name, kind, path) from None


def _helped(error: LexiconError, name: str, kind: str | None, path: Path) -> PourwordError:
    """For the two slips that are likeliest, what to do; otherwise the faults as they are."""
    from extractor.lexicon import load_lexicon

    kinds = load_lexicon().kinds
    if kind is None and any("has no kind" in f for f in error.faults):
        return PourwordError(
            f"{name!r} is a new name, and it is not said what kind of thing it is",
            where=Where(str(path)),
            hint=f"Add --kind: {', '.join(sorted(kinds)[:60])} ...",
        )
    if kind is not None and kind not in kinds:
        near = difflib.get_close_matches(kind, kinds, 5, 0.5)
        hint = f"Near it: {', '.join(near)}." if near else f"Choose from {', '.join(sorted(kinds))}."
        return PourwordError(f"No kind is called {kind!r}", hint=hint)
    return error


def _check_value(value: str, where: Where) -> None:
    bad = not plain(value) or any(c in value for c in "|#") or not value.isprintable() or value != value.strip()
    if bad:
        raise PourwordError(f"{value!r} cannot stand in a lexicon file", where=where, hint="Write it in plain words.")


def _text(path: Path) -> str:
    from extractor.pipeline import own_lexicon

    return own_lexicon(path).read_text(encoding="utf-8")


def _block(text: str, name: str) -> str:
    lines = text.splitlines()
    begin = next(n for n, x in enumerate(lines) if _is_name(x) and identifier(x) == identifier(name))
    end = next((n for n in range(begin + 1, len(lines)) if _is_name(lines[n])), len(lines))
    return "\n".join(x for x in lines[begin:end] if x.strip()) + "\n"


def _is_name(line: str) -> bool:
    return bool(line.strip()) and not line[0].isspace() and not line.startswith("#")
