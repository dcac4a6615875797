"""Writes a set of files into a folder: all of them or none, and never over what it did not write itself.

`published.json` in the folder holds the hash of every file that was written. A file that is not in there, or that
somebody has changed since, is not written over unless that is asked for. New files are made in a hidden folder beside
the old ones, with a copy of what they replace and a journal of what is to be done; only then are they renamed into
place. An error takes every step back; after a kill or a power cut the next run does, by the journal.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from extractor.errors import PublishError, Where
from extractor.files import locked, write_whole

MANIFEST = "published.json"
FORMAT = "pourword.published/1"
STAGE = ".publishing"
JOURNAL = "journal.json"


@dataclass(frozen=True)
class Written:
    """What became of the files: paths in the folder, with `/` between.

    `left`: files of an earlier run that this one did not write; they are still there.
    """

    folder: Path
    written: tuple[str, ...]
    unchanged: tuple[str, ...]
    left: tuple[str, ...]


def write_all(files: Mapping[str, bytes], folder: Path | str, *, force: bool = False) -> Written:
    """Writes `files` (path inside the folder -> bytes) into `folder`, which is made where it is missing.

    `force` writes over files that something else wrote or changed. Raises PublishError, and then nothing in the
    folder has changed: for a path that leads out of it, for a file in the way, and where the system refuses.
    """
    target = Path(os.path.abspath(folder))
    for path in files:
        _check_path(path)
    if not files:
        return Written(target, (), (), ())
    try:
        if not os.path.lexists(target):
            _write_new(files, target)
            return Written(target, tuple(sorted(files)), (), ())
        if not target.is_dir():
            raise PublishError(
                "There is a file where the folder should be", where=Where(str(target)), hint="Name another."
            )
        with _only_writer(target):
            recover(target)
            return _write_into(files, target, force)
    except OSError as error:
        why = error.strerror or str(error)
        raise PublishError(
            f"The files could not be written: {why}",
            where=Where(str(error.filename or target)),
            hint="Nothing was changed. Check the folder, its permissions and the room on the disk.",
        ) from error


@contextlib.contextmanager
def _only_writer(folder: Path) -> Iterator[None]:
    try:
        with locked(folder / MANIFEST):
            yield
    except TimeoutError:
        raise PublishError(
            "Another program is publishing into this folder", where=Where(str(folder)), hint="Wait until it is done."
        ) from None


def _check_path(path: str) -> None:
    parts = PurePosixPath(path).parts
    bad = not parts or PurePosixPath(path).is_absolute() or "\\" in path or "\0" in path
    if bad or any(p in ("..", ".", "") or ":" in p for p in parts) or parts[0] in (STAGE, MANIFEST):
        raise PublishError(f"{path!r} is no path inside a folder", hint="This is a fault of the program: report it.")


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _manifest(files: Mapping[str, str]) -> bytes:
    return (
        json.dumps({"format": FORMAT, "files": dict(sorted(files.items()))}, indent=1, ensure_ascii=False) + "\n"
    ).encode()


def read_manifest(folder: Path) -> dict[str, str]:
    """Path -> hash of all that was written here before; empty where nothing was.

    Raises PublishError for a manifest that is none: without it nothing in the folder is known to be ours.
    """
    path = folder / MANIFEST
    try:
        data = json.loads(path.read_bytes())
        found = data["files"] if data["format"] == FORMAT else None
        if not isinstance(found, dict) or not all(isinstance(v, str) for v in found.values()):
            raise ValueError("it is not of this format")
    except FileNotFoundError:
        return {}
    except (ValueError, KeyError, TypeError) as error:
        raise PublishError(
            f"{MANIFEST} cannot be read: {error}",
            where=Where(str(path)),
            hint="It tells which files were written by this program. Move it away, or publish into another folder.",
        ) from None
    return dict(found)


# ------------------------------------------------------------------------------------------------ a new folder


def _write_new(files: Mapping[str, bytes], target: Path) -> None:
    """Under another name first; then the folder is renamed, which is one step."""
    target.parent.mkdir(parents=True, exist_ok=True)
    stage = target.parent / f".{target.name[:60]}.{secrets.token_hex(6)}.new"
    stage.mkdir()
    try:
        for path, data in files.items():
            _put(stage / path, data)
        _put(stage / MANIFEST, _manifest({p: _hash(d) for p, d in files.items()}))
        os.rename(stage, target)
    except BaseException:
        shutil.rmtree(stage, ignore_errors=True)
        raise


def _put(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, data)


# ---------------------------------------------------------------------------------------- a folder that is there


@dataclass(frozen=True)
class _Move:
    """One file of a run: `number` is its name in the stage; `before` the hash of what stood there, None where nothing
    did."""

    path: str
    number: int
    before: str | None
    after: str


def _in_the_way(folder: Path, path: str) -> str | None:
    """Why nothing can be written at `path`, whatever is asked for; None where it can."""
    at = folder
    for part in PurePosixPath(path).parts[:-1]:
        at = at / part
        if at.is_symlink():
            return f"{at.relative_to(folder)} is a link, which may lead out of the folder"
        if os.path.lexists(at) and not at.is_dir():
            return f"{at.relative_to(folder)} is a file, and a folder is needed there"
    if (folder / path).is_dir() and not (folder / path).is_symlink():
        return f"{path} is a folder"
    return None


def _write_into(files: Mapping[str, bytes], folder: Path, force: bool) -> Written:
    known = read_manifest(folder)
    blocked = [why for path in sorted(files) if (why := _in_the_way(folder, path)) is not None]
    if blocked:
        raise PublishError(f"Nothing was written: {'; '.join(blocked)}", where=Where(str(folder)), hint="Move it away.")
    moves: list[_Move] = []
    unchanged: list[str] = []
    foreign: list[str] = []
    for path, data in sorted(files.items()):
        at = folder / path
        before = None
        if os.path.lexists(at):
            old = None if at.is_symlink() else at.read_bytes()
            if old == data:
                unchanged.append(path)
                continue
            before = _hash(old) if old is not None else ""
            if before != known.get(path):
                foreign.append(path)
        moves.append(_Move(path, len(moves), before, _hash(data)))
    if foreign and not force:
        raise PublishError(
            f"Nothing was written: {', '.join(foreign)} {'was' if len(foreign) == 1 else 'were'} not written by this "
            "program, or changed since",
            where=Where(str(folder)),
            hint="Move it away, publish into another folder, or say that it may be written over (--force).",
        )
    manifest = {**known, **{p: _hash(d) for p, d in files.items()}}
    everything = {**files, MANIFEST: _manifest(manifest)}
    old_manifest = (folder / MANIFEST).read_bytes() if (folder / MANIFEST).exists() else None
    if moves or old_manifest != everything[MANIFEST]:
        before = None if old_manifest is None else _hash(old_manifest)
        # The manifest comes last: where it is new, everything is.
        moves.append(_Move(MANIFEST, len(moves), before, _hash(everything[MANIFEST])))
        _carry_out(moves, everything, folder)
    left = sorted(p for p in known if p not in files and (folder / p).exists())
    return Written(folder, tuple(m.path for m in moves if m.path != MANIFEST), tuple(unchanged), tuple(left))


def _carry_out(moves: list[_Move], files: Mapping[str, bytes], folder: Path) -> None:
    stage = folder / STAGE
    try:
        stage.mkdir()
        for m in moves:
            _put(stage / f"{m.number}.new", files[m.path])
            at = folder / m.path
            if at.is_symlink():
                os.symlink(os.readlink(at), stage / f"{m.number}.old")
            elif m.before is not None:
                _put(stage / f"{m.number}.old", at.read_bytes())
        journal = [{"path": m.path, "number": m.number, "before": m.before, "after": m.after} for m in moves]
        write_whole(stage / JOURNAL, json.dumps(journal).encode())
        for m in moves:
            at = folder / m.path
            at.parent.mkdir(parents=True, exist_ok=True)
            os.replace(stage / f"{m.number}.new", at)
    except BaseException:
        recover(folder)
        raise
    shutil.rmtree(stage, ignore_errors=True)


def recover(folder: Path) -> None:
    """Takes back what a run left half done, or clears up after one that was done. Only while no other run writes
    here."""
    stage = folder / STAGE
    if not stage.is_dir() or stage.is_symlink():
        return
    try:
        entries = json.loads((stage / JOURNAL).read_bytes())
        moves = [_Move(str(e["path"]), int(e["number"]), e["before"], str(e["after"])) for e in entries]
    except (OSError, ValueError, KeyError, TypeError):
        moves = []  # No journal: nothing was moved yet.
    for m in moves:
        if m.path != MANIFEST:
            _check_path(m.path)
    if any(os.path.lexists(stage / f"{m.number}.new") for m in moves):
        for m in moves:
            _take_back(m, stage, folder)
    shutil.rmtree(stage, ignore_errors=True)


def _take_back(move: _Move, stage: Path, folder: Path) -> None:
    at = folder / move.path
    if os.path.lexists(stage / f"{move.number}.new"):
        return  # It was never moved.
    if at.is_symlink() or not at.is_file() or _hash(at.read_bytes()) != move.after:
        return  # Somebody has changed it since: it is theirs.
    old = stage / f"{move.number}.old"
    if os.path.lexists(old):
        os.replace(old, at)
        return
    at.unlink()
    # Folders that were made for it.
    for parent in at.relative_to(folder).parents:
        if parent == Path("."):
            break
        with contextlib.suppress(OSError):
            (folder / parent).rmdir()
