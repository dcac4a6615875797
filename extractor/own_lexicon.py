"""The user's own lexicon file: a name added, the file checked as a whole. What stands in it by hand stays as it is."""

from __future__ import annotations

import difflib
from pathlib import Path

from extractor.errors import LexiconError, PourwordError, Where
from extractor.lexicon import plain
from extractor.own_files import block_of, change_file, with_name


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
    where = Where(str(path))
    name = name.strip()
    for value in (name, *((kind,) if kind is not None else ()), *other, *said, *misheard):
        _check_value(value, where)

    def changed() -> str:
        new = with_name(
            _text(path) if path.exists() else "", name, kind=kind, other=other, said=said, misheard=misheard
        )
        _check_new(new, path, name, kind)
        return new

    change_file(path, changed, called="lexicon")
    return block_of(_text(path), name) or ""


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
