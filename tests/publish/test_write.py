"""Writing: all or nothing, and never over what somebody else wrote; also under errors and kills at every step."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

from extractor.errors import PublishError
from extractor.publish import write
from extractor.publish.write import MANIFEST, STAGE, write_all

OLD = {"description.txt": b"old words\n", "cards/pier.md": b"old card\n", "cards/gone.md": b"left over\n"}
NEW = {"description.txt": b"new words\n", "cards/pier.md": b"new card\n", "data/pier.jsonld": b"{}\n"}


def content(folder: Path) -> dict[str, bytes]:
    """All visible files but the manifest; the lock of the folder is hidden."""
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and not p.name.startswith(".") and p.name != MANIFEST and STAGE not in p.parts
    }


def test_a_new_folder_holds_everything(tmp_path: Path) -> None:
    found = write_all(NEW, tmp_path / "a" / "b")
    assert content(tmp_path / "a" / "b") == NEW
    assert found.written == tuple(sorted(NEW))
    assert sorted(p.name for p in (tmp_path / "a").iterdir()) == ["b"]


def test_writing_again_changes_nothing(tmp_path: Path) -> None:
    write_all(NEW, tmp_path / "out")
    before = {p: p.stat().st_mtime_ns for p in (tmp_path / "out").rglob("*") if p.is_file()}
    found = write_all(NEW, tmp_path / "out")
    assert found.written == ()
    assert found.unchanged == tuple(sorted(NEW))
    assert {p: p.stat().st_mtime_ns for p in before} == before


def test_own_files_are_brought_up_to_date_and_others_left(tmp_path: Path) -> None:
    write_all(OLD, tmp_path / "out")
    (tmp_path / "out" / "notes.txt").write_text("mine")
    found = write_all(NEW, tmp_path / "out")
    assert content(tmp_path / "out") == {**OLD, **NEW, "notes.txt": b"mine"}
    assert found.left == ("cards/gone.md",)


def test_a_file_that_was_there_before_is_not_written_over(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "description.txt").write_text("by hand")
    with pytest.raises(PublishError, match=r"description\.txt") as caught:
        write_all(NEW, out)
    assert caught.value.hint
    assert content(out) == {"description.txt": b"by hand"}


def test_a_file_that_was_changed_since_is_not_written_over(tmp_path: Path) -> None:
    write_all(OLD, tmp_path / "out")
    (tmp_path / "out" / "cards" / "pier.md").write_bytes(b"put right by hand\n")
    before = content(tmp_path / "out")
    with pytest.raises(PublishError, match=r"cards/pier\.md"):
        write_all(NEW, tmp_path / "out")
    assert content(tmp_path / "out") == before
    write_all(NEW, tmp_path / "out", force=True)
    assert content(tmp_path / "out") == {**OLD, **NEW}


def test_the_very_same_bytes_by_hand_are_no_conflict(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "description.txt").write_bytes(NEW["description.txt"])
    write_all(NEW, out)
    assert content(out) == NEW


@pytest.mark.parametrize(
    "path", ["../x", "/x", "a/../../x", "a\\..\\x", "", ".", "..", "C:/x", "a\0b", f"{STAGE}/x", MANIFEST]
)
def test_no_path_leads_out_of_the_folder(path: str, tmp_path: Path) -> None:
    with pytest.raises(PublishError):
        write_all({path: b"x"}, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


def test_a_link_in_the_way_is_not_followed(tmp_path: Path) -> None:
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    out.mkdir()
    elsewhere.mkdir()
    (out / "cards").symlink_to(elsewhere)
    for force in (False, True):
        with pytest.raises(PublishError, match="link"):
            write_all(NEW, out, force=force)
    assert list(elsewhere.iterdir()) == []


def test_a_link_instead_of_a_file_is_replaced_only_when_asked_and_never_followed(tmp_path: Path) -> None:
    out, victim = tmp_path / "out", tmp_path / "victim.txt"
    out.mkdir()
    victim.write_text("keep me")
    (out / "description.txt").symlink_to(victim)
    with pytest.raises(PublishError):
        write_all(NEW, out)
    write_all(NEW, out, force=True)
    assert victim.read_text() == "keep me"
    assert content(out) == NEW


def test_a_folder_or_a_file_in_the_way(tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "description.txt").mkdir(parents=True)
    with pytest.raises(PublishError, match="folder"):
        write_all(NEW, out, force=True)
    (tmp_path / "file").write_text("x")
    with pytest.raises(PublishError):
        write_all(NEW, tmp_path / "file")
    other = tmp_path / "other"
    other.mkdir()
    (other / "cards").write_text("a file")
    with pytest.raises(PublishError, match="cards"):
        write_all(NEW, other)
    assert content(other) == {"cards": b"a file"}


def test_a_manifest_that_is_none_stops_the_writing(tmp_path: Path) -> None:
    write_all(OLD, tmp_path / "out")
    (tmp_path / "out" / MANIFEST).write_text("{")
    with pytest.raises(PublishError, match=MANIFEST.replace(".", r"\.")):
        write_all(NEW, tmp_path / "out")


def test_a_folder_that_may_not_be_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(write, "write_whole", full)
    with pytest.raises(PublishError, match="No space left"):
        write_all(NEW, tmp_path / "out")
    assert list(tmp_path.iterdir()) == []


class Stop(BaseException):
    pass


@pytest.mark.parametrize("kind", ["error", "interrupt"])
@pytest.mark.parametrize("step", range(12))
def test_an_error_at_any_step_leaves_everything_as_it_was(
    step: int, kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """os.replace is the call that each write and each move goes through: the one of number `step` fails."""
    out = tmp_path / "out"
    write_all(OLD, out)
    before = {**content(out), MANIFEST: (out / MANIFEST).read_bytes()}
    calls = 0
    real = os.replace

    def failing(a: object, b: object) -> None:
        nonlocal calls
        calls += 1
        if calls == step + 1:
            raise OSError(5, "Input/output error") if kind == "error" else Stop
        real(a, b)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "replace", failing)
    try:
        write_all(NEW, out)
        failed = False
    except (PublishError, Stop):
        failed = True
    monkeypatch.undo()
    after = {**content(out), MANIFEST: (out / MANIFEST).read_bytes()}
    if failed:
        assert after == before
    else:
        assert calls <= step
        assert content(out) == {**OLD, **NEW}
    assert not (out / STAGE).exists()


KILLED = """
    import os, sys
    from pathlib import Path
    from extractor.publish.write import write_all
    real, calls, step = os.replace, 0, int(sys.argv[2])
    def killing(a, b):
        global calls
        calls += 1
        if calls == step + 1:
            os._exit(9)
        real(a, b)
    os.replace = killing
    new = {"description.txt": b"new words\\n", "cards/pier.md": b"new card\\n", "data/pier.jsonld": b"{}\\n"}
    write_all(new, Path(sys.argv[1]))
"""


@pytest.mark.parametrize("step", [0, 2, 4, 6, 7, 8, 9, 10, 11])
def test_after_a_kill_at_any_step_the_next_run_takes_back_or_is_done(step: int, tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_all(OLD, out)
    before = content(out)
    ran = subprocess.run([sys.executable, "-c", textwrap.dedent(KILLED), str(out), str(step)], check=False)
    assert ran.returncode in (0, 9)
    write.recover(out)
    assert content(out) in (before, {**OLD, **NEW})
    assert not (out / STAGE).exists()
    manifest = json.loads((out / MANIFEST).read_bytes())["files"]
    assert set(manifest) == set(content(out)), "the manifest names what is there"
    write_all(NEW, out)
    assert content(out) == {**OLD, **NEW}


def test_recovery_leaves_what_somebody_changed_since(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_all(OLD, out)
    # Past the copies and the journal: two files are moved, then it is killed.
    subprocess.run([sys.executable, "-c", textwrap.dedent(KILLED), str(out), "9"], check=False)
    assert (out / STAGE).exists()
    (out / "cards" / "pier.md").write_text("by hand, after the kill")
    write.recover(out)
    assert (out / "cards" / "pier.md").read_text() == "by hand, after the kill"


def test_two_writers_at_once_do_not_mix(tmp_path: Path) -> None:
    script = textwrap.dedent("""
        import sys
        from extractor.publish.write import write_all
        for n in range(15):
            write_all({f"f{k}.txt": sys.argv[2].encode() for k in range(4)}, sys.argv[1])
    """)
    out = tmp_path / "out"
    write_all({f"f{k}.txt": b"start" for k in range(4)}, out)
    runs = [subprocess.Popen([sys.executable, "-c", script, str(out), name]) for name in ("one", "two")]
    assert [r.wait(timeout=120) for r in runs] == [0, 0]
    assert len(set(content(out).values())) == 1
