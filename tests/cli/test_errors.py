"""Every error is said in words on standard error: what, where, and what to do. No traceback reaches a user."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest
from command_kit import Command, program, ran, surroundings

EPISODE_COMMANDS = (["draft"], ["questions"], ["confirm"], ["publish", "-o", "out"], ["publish", "--show-changes"])


@pytest.mark.parametrize("words", EPISODE_COMMANDS, ids=" ".join)
@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("missing.vtt", None, "no such file"),
        ("empty.vtt", b"", "empty"),
        ("picture.vtt", b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(60), "picture.vtt"),
        ("broken.json", b'{"segments": [', "broken.json"),
    ],
)
def test_captions_that_cannot_be_read(
    words: list[str], name: str, data: bytes | None, said: str, command: Command, tmp_path: Path
) -> None:
    path = tmp_path / name
    if data is not None:
        path.write_bytes(data)
    got = command(words[0], path, *words[1:])
    assert got.status == 2
    assert said in got.err
    assert name in got.err
    assert got.err.startswith("pourword: ")
    assert len(got.err.splitlines()) >= 2, "a hint follows"
    assert got.out == ""
    assert "Traceback" not in got.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["frobnicate"], "frobnicate"),
        (["draft"], "CAPTIONS"),
        (["draft", "{talk}", "--bogus"], "--bogus"),
        (["draft", "{talk}", "--locale", "mars"], "us, bar, metric, uk, au"),
        (["draft", "{talk}", "--lexicon", "{folder}/none.txt"], "none.txt"),
        (["draft", "{folder}"], "folder"),
        (["questions", "-"], "Name a caption file"),
        (["publish", "{talk}"], "-o FOLDER"),
        (["publish", "{talk}", "-o", "{folder}/out"], "--despite-open"),
        (["publish", "{talk}", "-o", "{folder}/out", "--despite-open", "--part", "posters"], "posters"),
        (["publish", "{talk}", "-o", "{folder}/out", "--despite-open", "--page", "a3"], "letter or a4"),
        (["publish", "{talk}", "-o", "{folder}/out", "--despite-open", "--servings", "many"], "--servings"),
        (["publish", "{talk}", "-o", "{folder}/out", "--take-back", "w999"], "w999"),
        (["confirm", "{talk}", "--answers", "{folder}/none.txt"], "none.txt"),
        (["lexicon", "add", "smoked plum oleo"], "--kind"),
        (["lexicon", "add", "smoked plum oleo", "--kind", "syrupp"], "syrup"),
        (["lexicon", "add", "a|b", "--kind", "syrup"], "a|b"),
        (["lexicon", "check", "{folder}/none.txt"], "none.txt"),
        (["habit", "nothing of the sort"], "5 ml"),
        (["measure", "an ounce", "--locale", "mars"], "us, bar, metric, uk, au"),
    ],
    ids=lambda x: " ".join(x) if isinstance(x, list) else "",
)
def test_what_cannot_be_done(words: list[str], said: str, command: Command, talk: Path, own_folder: Path) -> None:
    before = {p: p.read_bytes() for p in talk.parent.rglob("*") if p.is_file()}
    got = command(*(w.format(talk=talk, folder=talk.parent) for w in words))
    assert got.status == 2
    assert said in got.err
    assert got.out == ""
    assert "Traceback" not in got.err
    after = {p: p.read_bytes() for p in talk.parent.rglob("*") if p.is_file() and not p.name.endswith(".lock")}
    assert {p: d for p, d in after.items() if d} == before, "nothing was written"


def test_faulty_own_lexicon_names_the_line(command: Command, talk: Path, own_folder: Path) -> None:
    own_folder.mkdir(parents=True)
    (own_folder / "lexicon.txt").write_text("smoked plum oleo\n  knid: syrup\n")
    got = command("draft", talk)
    assert got.status == 2
    assert "lexicon.txt:2" in got.err


def test_own_lexicon_that_is_not_utf8(command: Command, talk: Path, tmp_path: Path) -> None:
    path = tmp_path / "latin.txt"
    path.write_bytes(b"cr\xe8me\n  kind: liqueur\n")
    got = command("draft", talk, "--lexicon", path)
    assert got.status == 2
    assert "UTF-8" in got.err
    assert "line 1" in got.err


def test_faulty_habits_name_the_line(command: Command, talk: Path, own_folder: Path) -> None:
    own_folder.mkdir(parents=True)
    (own_folder / "habits.txt").write_text("[measures]\nbar_spoon: large\n")
    got = command("draft", talk)
    assert got.status == 2
    assert "habits.txt:2" in got.err


def test_fault_of_the_program_asks_to_report(command: Command, talk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("the \x1b[31mkettle\x1b[0m is out")

    monkeypatch.setattr("extractor.settle.open_episode", fail)
    got = command("draft", talk)
    assert got.status == 3
    assert "RuntimeError" in got.err
    assert "report" in got.err
    assert "Traceback" not in got.err
    assert "\x1b" not in got.err
    monkeypatch.setenv("POURWORD_TRACE", "1")
    assert "Traceback" in command("draft", talk).err


def test_stopping_is_no_error(command: Command, talk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("extractor.settle.open_episode", stop)
    got = command("draft", talk)
    assert (got.status, got.err) == (130, "pourword: Stopped.\n")


@pytest.mark.skipif(os.name != "posix", reason="signals of POSIX")
def test_interrupt_while_it_waits_for_an_answer(talk: Path, root: Path) -> None:
    with subprocess.Popen(
        program("confirm", talk), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env=surroundings(root, PYTHONUNBUFFERED="1"),
    ) as process:  # fmt: skip
        assert process.stdout is not None
        seen = b""
        while b"Answer (" not in seen and process.poll() is None:
            seen += os.read(process.stdout.fileno(), 4096)
        time.sleep(0.2)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert b"Traceback" not in err
    assert b"0 answered" in seen + out


@pytest.mark.skipif(os.name != "posix", reason="pipes of POSIX")
def test_reader_that_goes_away(talk: Path, root: Path) -> None:
    """Whoever reads may stop: `pourword draft x.vtt | head -1`. 141 is 128 + SIGPIPE, as a shell gives it."""
    readable, writable = os.pipe()
    os.close(readable)
    done = subprocess.run(
        program("draft", talk),
        stdout=writable,
        stderr=subprocess.PIPE,
        env=surroundings(root),
        timeout=120,
        check=False,
    )
    os.close(writable)
    assert (done.returncode, done.stderr) == (141, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [["draft"], ["draft", "--json"], ["check"]], ids=" ".join)
def test_output_that_is_full(words: list[str], talk: Path, root: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            program(words[0], talk, *words[1:]), stdout=full, stderr=subprocess.PIPE, env=surroundings(root),
            timeout=120, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert b"No space left" in done.stderr
    assert b"Traceback" not in done.stderr
    assert b"Exception ignored" not in done.stderr


def test_help_is_quick_and_loads_nothing_heavy(root: Path, tmp_path: Path) -> None:
    got = ran("--help", root=root, cwd=tmp_path)
    assert got.status == 0
    for name in ("draft", "questions", "confirm", "check", "publish", "measure", "name", "habit", "lexicon"):
        assert f"  {name} " in got.out
