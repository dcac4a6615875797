"""Writing a small file so that a crash, a kill or a full disk leaves the old one or the new one, never a part of it.

The order of the calls is the whole of the matter: write a new file beside the old one, flush it to the disk, rename it
over the old one, flush the folder. Before the rename the old file is untouched; the rename is one step to every reader.
Core: any stage may use it. Nothing in here knows what the file holds.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

_PREFIX_LETTERS = 60
"""Of the file's own name, kept in the name of its new file, so that both fit the 255 bytes a folder allows."""


def _new_name(target: Path) -> tuple[str, str]:
    """How the names of `target`'s unfinished new files begin and end; no other file's do."""
    mark = hashlib.sha256(os.fsencode(target.name)).hexdigest()[:8]
    short = target.name.encode("ascii", "ignore").decode()[:_PREFIX_LETTERS]
    return f".{short}.{mark}.", ".new"


def _open_new(target: Path) -> tuple[int, str]:
    """A new, empty file beside `target`, with the permissions that any new file gets."""
    begin, end = _new_name(target)
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    while True:
        name = os.path.join(target.parent, f"{begin}{secrets.token_hex(8)}{end}")
        try:
            return os.open(name, flags, 0o666), name
        except FileExistsError:
            continue


def _flush(fd: int) -> None:
    """To the disk itself. fsync on macOS stops at the drive's own memory; F_FULLFSYNC does not."""
    os.fsync(fd)
    if sys.platform == "darwin":
        import fcntl

        with contextlib.suppress(OSError):
            fcntl.fcntl(fd, fcntl.F_FULLFSYNC)


def _flush_folder(folder: Path) -> None:
    """Makes the rename last. Windows has no such call, and some network drives refuse it: there it is left out."""
    if os.name != "posix":
        return
    try:
        fd = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return
    try:
        os.fsync(fd)
    except OSError as error:
        if error.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(fd)


def write_whole(path: Path | str, data: bytes) -> None:
    """Puts `data` at `path` in one step. Raises OSError, and then `path` is as it was.

    The one exception: where the last call, the flush of the folder, fails, the new file stands already and is whole,
    but a power cut could still bring back the old one. A link is followed, so that what it points at is replaced;
    permissions of an old file are kept.
    """
    target = Path(os.path.realpath(path))
    fd, name = _open_new(target)
    try:
        try:
            rest = memoryview(data)
            while rest:
                written = os.write(fd, rest)
                if written == 0:
                    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), os.fspath(target))
                rest = rest[written:]
            with contextlib.suppress(FileNotFoundError):
                old = stat.S_IMODE(os.stat(target).st_mode)
                if os.name == "posix" and stat.S_IMODE(os.fstat(fd).st_mode) != old:
                    os.fchmod(fd, old)
            _flush(fd)
        finally:
            os.close(fd)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _flush_folder(target.parent)


def sweep(path: Path | str) -> None:
    """Removes what killed writers of `path` left behind. Only while holding `locked(path)`."""
    target = Path(os.path.realpath(path))
    begin, end = _new_name(target)
    with contextlib.suppress(OSError):
        for name in os.listdir(target.parent):
            if name.startswith(begin) and name.endswith(end):
                with contextlib.suppress(OSError):
                    os.unlink(os.path.join(target.parent, name))


@contextlib.contextmanager
def locked(path: Path | str, *, timeout_s: float = 10.0) -> Iterator[None]:
    """Keeps out every other process and thread that also asks before it writes `path`. Raises TimeoutError.

    The lock is a hidden empty file beside `path`; the system lets go of it when its holder dies. It stays behind on
    purpose: to remove it would let two holders in.
    """
    import filelock

    target = Path(os.path.realpath(path))
    if not target.parent.is_dir():
        # The lock would make the folder: a slip of the pen in a name must not.
        raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), os.fspath(target.parent))
    begin, _ = _new_name(target)
    lock = filelock.FileLock(target.parent / f"{begin}lock", timeout=timeout_s, thread_local=False)
    try:
        lock.acquire(poll_interval=0.01)
    except filelock.Timeout as error:
        raise TimeoutError(f"{target} is being written by another program") from error
    try:
        yield
    finally:
        lock.release()
