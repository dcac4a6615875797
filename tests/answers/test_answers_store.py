"""The answers file under kills, faults, full disks and several writers: old or new, whole, and nothing lost.

The kills are real: a forked process is ended by SIGKILL at each step that it takes in the operating system while it
saves, half of a write done where the step is a write, and at moments picked at random. POSIX only.
"""

from __future__ import annotations

import errno
import fcntl
import os
import random
import resource
import shutil
import signal
import stat
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from extractor.answers import Answer, Answers, Store, answers_path, print_answers, read_answers
from extractor.errors import AnswerError
from extractor.files import locked, write_whole

CALLS = ("open", "write", "fsync", "close", "replace", "stat", "fstat", "fchmod", "listdir", "unlink")
"""What the saving asks of the operating system, the lock included (`fcntl.flock` is added below)."""


def answer(id: str, given: str = "2 dashes", revision: int = 0) -> Answer:
    return Answer(id=id, kind="amount-missing", given=given, revision=revision)


@contextmanager
def each_step(step: Callable[[str, int, Callable[[], Any], tuple[Any, ...]], Any]) -> Iterator[list[str]]:
    """Calls `step(name, number, call, arguments)` in place of each call to the operating system."""
    names: list[str] = []
    kept = {name: getattr(os, name) for name in CALLS}
    flock = fcntl.flock

    def wrap(name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def stepped(*given: Any, **named: Any) -> Any:
            names.append(name)
            return step(name, len(names), lambda: call(*given, **named), given)

        return stepped

    try:
        for name, call in kept.items():
            setattr(os, name, wrap(name, call))
        fcntl.flock = wrap("flock", flock)  # type: ignore[assignment]
        yield names
    finally:
        for name, call in kept.items():
            setattr(os, name, call)
        fcntl.flock = flock


def forked(work: Callable[[], None]) -> int:
    """Runs `work` in a forked process; gives how it ended: -9 for a kill, 0 for an end."""
    pid = os.fork()
    if pid == 0:
        try:
            work()
            os._exit(0)
        except BaseException:
            os._exit(1)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def old_answers(store: Store) -> Answers:
    store.save(*(answer(f"q{n}", f"{n} dashes") for n in range(1, 6)), on="2026-01-01T00:00:00Z")
    return store.read()


def new_answers(store: Store) -> None:
    store.save(answer("q3", "half an ounce", 1), answer("q9", "a coupe"), on="2026-01-02T00:00:00Z")


def steps_of_a_save(folder: Path) -> list[str]:
    store = Store(folder / "count.answers.txt")
    old_answers(store)
    with each_step(lambda name, number, call, given: call()) as names:
        new_answers(store)
    return list(names)


def test_a_kill_at_every_step_of_saving_loses_nothing(tmp_path: Path) -> None:
    """Before and after each step, and in the midst of each write: over a file that is there already, a file that is not
    there yet, and one that a link points at."""
    kills = {"old": 0, "new": 0}
    steps = steps_of_a_save(tmp_path)
    assert steps.index("fsync") < steps.index("replace")
    for shape in ("there", "not there", "link", "leftovers"):
        for number in range(1, len(steps) + 1):
            for when in ("before", "after", *(("half",) if steps[number - 1] == "write" else ())):
                path = tmp_path / f"{shape}-{number}-{when}.answers.txt"
                _kill_one(path, shape, number, when, kills)
    print(f"\nkills: {sum(kills.values())} ({kills['old']} left the old file, {kills['new']} the new one), "
          f"{len(steps)} steps a save")  # fmt: skip
    assert sum(kills.values()) >= 150
    assert min(kills.values()) >= 10  # both outcomes were tried


def test_a_kill_at_every_line_of_our_own_code_loses_nothing(tmp_path: Path) -> None:
    """The same, line by line: wherever in files.py and store.py it dies, the file is the old or the new."""
    kills = {"old": 0, "new": 0}
    number = 0
    while True:
        number += 1
        folder = tmp_path / str(number)
        folder.mkdir()
        store = Store(folder / "a.answers.txt")
        old = old_answers(store)
        before = store.path.read_bytes()

        def work(store: Store = store, number: int = number) -> None:
            seen = 0

            def trace(frame: Any, event: str, _: Any) -> Any:
                nonlocal seen
                if not frame.f_code.co_filename.endswith(("extractor/files.py", "answers/store.py")):
                    return None
                if event == "line":
                    seen += 1
                    if seen == number:
                        os.kill(os.getpid(), signal.SIGKILL)
                return trace

            sys.settrace(trace)
            new_answers(store)
            sys.settrace(None)

        if forked(work) == 0:
            break
        after = store.path.read_bytes()
        kills["old" if after == before else "new"] += 1
        if after != before:
            assert {a.id for a in read_answers(after.decode()).entries} == {a.id for a in old.entries} | {"q9"}
        store.save(answer("q7"))
        assert {a.id for a in old.entries} | {"q7"} <= {a.id for a in store.read().entries}
    print(f"\nkills by line: {sum(kills.values())} ({kills['old']} left the old file, {kills['new']} the new one)")
    assert sum(kills.values()) >= 80
    assert min(kills.values()) >= 3


def _kill_one(path: Path, shape: str, number: int, when: str, kills: dict[str, int]) -> None:
    store = Store(path)
    if shape == "link":
        real = path.with_name(f"real-{path.name}")
        path.symlink_to(real)
    old = old_answers(store) if shape != "not there" else Answers()
    if shape == "leftovers":
        (path.parent / "keep.txt").write_text("not ours")
    before = path.read_bytes() if path.exists() else None

    def step(name: str, at: int, call: Callable[[], Any], given: tuple[Any, ...]) -> Any:
        if at == number and when == "before":
            os.kill(os.getpid(), signal.SIGKILL)
        if at == number and when == "half" and name == "write":
            REAL_WRITE(given[0], bytes(given[1])[: len(given[1]) // 2])
            os.kill(os.getpid(), signal.SIGKILL)
        try:
            return call()
        finally:
            if at == number:
                os.kill(os.getpid(), signal.SIGKILL)

    def work() -> None:
        with each_step(step):
            new_answers(store)

    ended = forked(work)
    if ended == 0:
        # A save of a file that is not there takes fewer steps: this one was never reached.
        assert shape == "not there"
        return
    assert ended == -signal.SIGKILL
    after = path.read_bytes() if path.exists() else None
    if after == before:
        kills["old"] += 1
    else:
        kills["new"] += 1
        assert after is not None
        whole = read_answers(after.decode())
        assert whole.get("q3").given == "half an ounce"  # type: ignore[union-attr]
        assert whole.get("q9").given == "a coupe"  # type: ignore[union-attr]
        for kept in old.entries:
            assert whole.get(kept.id) is not None
    # The dead one's lock is free, what it left is swept, and nothing that was answered is gone.
    store.save(answer("q7", "1 drop"))
    now = store.read()
    assert {a.id for a in old.entries} <= {a.id for a in now.entries}
    assert now.get("q7").given == "1 drop"  # type: ignore[union-attr]
    own = path.resolve()
    left = [p.name for p in path.parent.iterdir() if p.name.endswith(".new") and own.name in p.name]
    assert left == []
    if shape == "leftovers":
        assert (path.parent / "keep.txt").read_text() == "not ours"


REAL_WRITE = os.write


def test_kills_at_random_moments_lose_no_answer_that_was_reported_saved(tmp_path: Path) -> None:
    rng = random.Random(7)
    store = Store(tmp_path / "a.answers.txt")
    start = time.perf_counter()
    for n in range(5):
        store.save(answer(f"warm{n}"))
    one = (time.perf_counter() - start) / 5
    reported: set[str] = set()
    kills = 0
    for round in range(40):
        read, write = os.pipe()
        pid = os.fork()
        if pid == 0:
            os.close(read)
            n = 0
            while True:
                n += 1
                store.save(answer(f"r{round}-{n}"))
                REAL_WRITE(write, f"r{round}-{n}\n".encode())
        os.close(write)
        with os.fdopen(read) as pipe:
            for _ in range(rng.randrange(4)):
                reported.add(pipe.readline().strip())
            time.sleep(rng.uniform(0, 3 * one))
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
            kills += 1
            reported |= set(pipe.read().split())
        assert reported <= {a.id for a in store.read().entries}
    assert kills == 40
    assert len(reported) >= 40


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EDQUOT, errno.EROFS, errno.EINTR])
def test_every_call_that_fails_leaves_old_or_new(tmp_path: Path, code: int) -> None:
    steps = steps_of_a_save(tmp_path)
    seen = {"old": 0, "new": 0, "fine": 0}
    for number in range(1, len(steps) + 1):
        store = Store(tmp_path / f"{code}-{number}.answers.txt", timeout_s=0.2)
        old = old_answers(store)
        before = store.path.read_bytes()

        def step(name: str, at: int, call: Callable[[], Any], given: tuple[Any, ...], number: int = number) -> Any:
            if at == number:
                if name == "close":
                    call()
                raise OSError(code, os.strerror(code))
            return call()

        told = None
        with each_step(step):
            try:
                new_answers(store)
            except AnswerError as error:
                told = str(error)
        assert told is None or str(store.path) in told
        after = store.path.read_bytes()
        if told is None:
            seen["fine"] += 1  # such as the sweep, or the mode of the old file: not needed for the saving
            assert store.read().get("q9") is not None
        elif after == before:
            seen["old"] += 1
        else:
            seen["new"] += 1
            assert steps.index("replace") < number
        store.save(answer("q7"))
        assert {a.id for a in old.entries} | {"q7"} <= {a.id for a in store.read().entries}
        assert [p for p in tmp_path.iterdir() if p.name.endswith(".new")] == []
    assert seen["old"] >= 5
    assert seen["new"] >= 1


def test_a_write_that_takes_only_some_bytes_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "write", lambda fd, data: REAL_WRITE(fd, bytes(data)[:7]))
    write_whole(tmp_path / "a", b"0123456789" * 5)
    assert (tmp_path / "a").read_bytes() == b"0123456789" * 5
    monkeypatch.setattr(os, "write", lambda fd, data: 0)
    with pytest.raises(OSError, match="No space"):
        write_whole(tmp_path / "a", b"new")
    assert (tmp_path / "a").read_bytes() == b"0123456789" * 5


def test_data_is_on_the_disk_before_the_name_and_the_name_before_the_end(tmp_path: Path) -> None:
    """What a kill cannot show, and a power cut would: no rename before the new file's flush; the folder's last."""
    order: list[tuple[str, str]] = []
    names: dict[int, str] = {}

    def step(name: str, at: int, call: Callable[[], Any], given: tuple[Any, ...]) -> Any:
        result = call()
        if name == "open":
            names[result] = os.path.basename(os.fspath(given[0]))
        if name in ("write", "fsync", "replace"):
            order.append((name, names.get(given[0], "") if isinstance(given[0], int) else os.path.basename(given[1])))
        return result

    with each_step(step):
        write_whole(tmp_path / "a.txt", b"x" * 100)
    new = order[0][1]
    assert new.endswith(".new")
    assert order == [("write", new), ("fsync", new), ("replace", "a.txt"), ("fsync", tmp_path.name)]


def test_a_file_size_limit_of_the_system_leaves_the_old_file(tmp_path: Path) -> None:
    """The kernel itself stops the write in the midst (RLIMIT_FSIZE), as a full disk would."""
    store = Store(tmp_path / "a.answers.txt")
    old_answers(store)
    before = store.path.read_bytes()

    def work() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
        try:
            new_answers(store)
        except AnswerError as error:
            os._exit(7 if "File too large" in str(error) else 8)

    assert len(before) > 1000
    assert forked(work) == 7
    assert store.path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith(".new")] == []


def test_a_disk_that_is_really_full_leaves_the_old_file(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    if mount is None or os.geteuid() != 0:
        pytest.skip("needs leave to mount a small disk")
    done = subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], check=False, capture_output=True
    )
    if done.returncode:
        pytest.skip("needs leave to mount a small disk")
    try:
        store = Store(disk / "a.answers.txt")
        old_answers(store)
        before = store.path.read_bytes()
        (disk / "ballast").write_bytes(b"x" * (shutil.disk_usage(disk).free))
        with pytest.raises(AnswerError, match="No space left"):
            store.save(*(answer(f"long{n}", "x" * 500) for n in range(20)))
        assert store.path.read_bytes() == before
        assert [p.name for p in disk.iterdir() if p.name.endswith(".new")] == []
        (disk / "ballast").unlink()
        new_answers(store)
        assert store.read().get("q9") is not None
    finally:
        subprocess.run(["umount", str(disk)], check=False)


# ------------------------------------------------------------------------------------------------ several writers


WRITER = """
import sys
from pathlib import Path
from extractor.answers import Answer, Store
store, me = Store(Path(sys.argv[1]), timeout_s=60), sys.argv[2]
sys.stdin.readline()
for n in range(25):
    store.save(Answer(id=f"{me}{n}", kind="amount-missing", given=f"{n} dashes"))
    store.save(Answer(id="both", kind="amount-missing", given=f"{me} {n}"))
"""


def test_programs_at_once_keep_each_others_answers(tmp_path: Path) -> None:
    path = tmp_path / "a.answers.txt"
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), who], stdin=subprocess.PIPE, env=environment, text=True
        )
        for who in "xyz"
    ]
    for writer in writers:
        assert writer.stdin is not None
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        writer.communicate()
        assert writer.returncode == 0
    read = Store(path).read()
    assert {a.id for a in read.entries} == {f"{who}{n}" for who in "xyz" for n in range(25)} | {"both"}
    assert read.revision == 150  # each of the writes saw the one before it
    both = read.get("both")
    assert both is not None
    assert len({both.given, *both.earlier}) == 21  # the last, and the twenty before it


def test_threads_at_once_keep_each_others_answers(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt", timeout_s=60)
    threads = [
        threading.Thread(target=lambda k=k: [store.save(answer(f"{k}-{n}")) for n in range(15)]) for k in range(4)
    ]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    assert len(store.read().entries) == 60


def test_the_last_word_holds_and_says_what_it_wrote_over(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt")
    first = store.save(answer("q", "1 dash"), by="Ana").answers
    second = store.save(answer("q", "2 dashes", revision=0), by="Ben")
    assert [a.given for a in second.overwrote] == ["1 dash"]  # Ben had not seen it
    third = store.save(answer("q", "3 dashes", revision=second.answers.revision))
    assert third.overwrote == ()
    kept = store.read().get("q")
    assert kept is not None
    assert (kept.given, kept.earlier, first.revision, kept.revision) == ("3 dashes", ("1 dash", "2 dashes"), 1, 3)


def test_a_form_handed_in_twice_does_not_undo_what_came_after(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt")
    store.save(answer("q", "from the form"))
    store.save(answer("q", "thought better of", revision=1))
    store.save(answer("q", "from the form"))
    assert store.read().get("q").given == "thought better of"  # type: ignore[union-attr]


def test_an_answer_moves_to_its_questions_new_name(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt")
    store.save(answer("old", "1 dash"))
    store.save(answer("new", "2 dashes"), replaces={"new": "old"})
    assert [(a.id, a.earlier) for a in store.read().entries] == [("new", ("1 dash",))]


def test_a_hand_that_edits_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt")
    store.save(answer("q1"))
    mine = (
        print_answers(store.read())
        .replace("answer: 2 dashes", "answer: 3 dashes")
        .replace("\nquestion:", "\n# mine\nquestion:")
    )
    store.path.write_text(mine)
    store.save(answer("q2"))
    read = store.read()
    assert [(a.id, a.given) for a in read.entries] == [("q1", "3 dashes"), ("q2", "2 dashes")]
    assert "mine" in read.comments


def test_a_file_that_a_hand_broke_is_never_written_over(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt")
    store.save(answer("q1"))
    broken = store.path.read_text().replace("answer:", "anser:")
    store.path.write_text(broken)
    with pytest.raises(AnswerError, match=r"a\.answers\.txt:\d+: unknown key `anser`"):
        store.save(answer("q2"))
    assert store.path.read_text() == broken


def test_one_that_holds_the_lock_too_long_is_named(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.answers.txt", timeout_s=0.1)
    with locked(store.path), pytest.raises(AnswerError, match="being written by another program"):
        store.save(answer("q"))
    store.save(answer("q"))
    assert len(store.read().entries) == 1


def test_permissions_and_links_are_kept(tmp_path: Path) -> None:
    real = tmp_path / "real.txt"
    write_whole(real, b"1")
    assert stat.S_IMODE(real.stat().st_mode) == 0o666 & ~_umask()
    real.chmod(0o640)
    link = tmp_path / "link.txt"
    link.symlink_to(real)
    write_whole(link, b"2")
    assert link.is_symlink()
    assert real.read_bytes() == b"2"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def _umask() -> int:
    old = os.umask(0o022)
    os.umask(old)
    return old


def test_long_and_odd_names(tmp_path: Path) -> None:
    for name in ("é" * 100 + ".vtt", "x" * 235 + ".vtt", "a b;c$d.vtt", ".hidden.vtt", "noending"):
        store = Store(answers_path(tmp_path / name))
        store.save(answer("q"))
        assert len(store.read().entries) == 1
    assert answers_path("d/brunch.en.vtt") == Path("d/brunch.en.answers.txt")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(AnswerError, match="could not be written: No such file"):
        Store(tmp_path / "none" / "a.answers.txt").save(answer("q"))


def test_an_encoding_that_is_not_utf8_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "a.answers.txt"
    path.write_bytes("pourword-answers: 1\nquestion: a\nanswer: ½ oz\n".encode("latin-1"))
    with pytest.raises(AnswerError, match=r"a\.answers\.txt:3: a byte that is no UTF-8"):
        Store(path).read()
    path.write_bytes("pourword-answers: 1\nquestion: a\nanswer: ½ oz\n".encode("utf-16"))
    assert Store(path).read().entries[0].given == "½ oz"
