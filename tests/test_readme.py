"""The docs say what the program does: their commands, options, output and Python are tried."""

from __future__ import annotations

import contextlib
import io
import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command

from extractor.cli import app

DOCS = ("README.md", "DEVELOPERS.md", "samples/README.md")
OUTPUT = ("<!-- output: made by tests/test_readme.py -->", "<!-- end of output -->")
COMMANDS = ("<!-- commands: made by tests/test_readme.py -->", "<!-- end of commands -->")


def _text(root: Path, name: str = "README.md") -> str:
    return (root / name).read_text(encoding="utf-8")


def _leaves(command: Any = None, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    """(words, command) of every command that does something."""
    command = command if command is not None else get_command(app)
    if not hasattr(command, "commands"):
        yield path, command
        return
    for name, inner in command.commands.items():
        yield from _leaves(inner, (*path, name))


LEAVES = dict(_leaves())


def _options(command: Any) -> list[Any]:
    return [p for p in command.params if p.param_type_name == "option" and p.name != "help"]


def _commands_of_docs(text: str) -> Iterator[list[str]]:
    """Every `pourword ...` of a code block or of code in a line, as words."""
    blocks = re.findall(r"(?m)^(?: {4}|\t)(.+)$", text) + re.findall(r"`([^`\n]+)`", text)
    for block in blocks:
        for one in re.split(r"&&|\|", block):
            words = shlex.split(one.split("  #")[0], comments=False)
            if words[:1] == ["pourword"]:
                yield words[1:]


@pytest.mark.parametrize("name", DOCS)
def test_every_command_in_the_docs_exists(name: str, root: Path) -> None:
    for words in _commands_of_docs(_text(root, name)):
        path = next((p for p in LEAVES if tuple(words[: len(p)]) == p), None)
        assert path is not None, f"{name}: no command is called {' '.join(words)}"
        known = {o for p in _options(LEAVES[path]) for o in p.opts} | {"--help"}
        said = {w for w in words if w.startswith("-") and w != "-"}
        assert said <= known, f"{name}: {' '.join(words)}"


def test_the_docs_hold_commands(root: Path) -> None:
    """The test above would notice: it finds what is there."""
    found = [words[0] for words in _commands_of_docs(_text(root)) if words]
    assert {"draft", "confirm", "check", "publish", "measure", "name", "lexicon", "habit", "review"} <= set(found)
    assert list(_commands_of_docs("    pip install . && pourword drift x\n")) == [["drift", "x"]]


def _between(text: str, marks: tuple[str, str]) -> tuple[str, str, str]:
    before, begin, rest = text.partition(marks[0])
    inner, end, after = rest.partition(marks[1])
    assert begin, f"the README has lost {marks[0]}"
    assert end, f"the README has lost {marks[1]}"
    return before + begin, inner, end + after


def _held(root: Path, marks: tuple[str, str], wanted: str, update: bool) -> None:
    before, inner, after = _between(_text(root), marks)
    if update:
        (root / "README.md").write_text(f"{before}\n{wanted}\n{after}", encoding="utf-8")
        return
    assert inner == f"\n{wanted}\n", "see --update-golden"


def test_output_is_what_is_printed(root: Path, update_golden: bool) -> None:
    """terminal.txt is held to what `draft` prints by tests/cli/test_samples.py."""
    kept = (root / "samples" / "boathouse" / "terminal.txt").read_text(encoding="utf-8")
    _held(root, OUTPUT, f"\n```text\n{kept}```\n", update_golden)


def _table() -> str:
    out = []
    for path, command in LEAVES.items():
        arguments = " ".join(
            f"[{p.metavar}]" if not p.required else str(p.metavar)
            for p in command.params
            if p.param_type_name == "argument"
        )
        first = " ".join(str(command.help).strip().split("\n\n")[0].split())
        out += [f"### `pourword {' '.join(path)} {arguments}`", "", first, ""]
        for p in _options(command):
            value = "" if p.is_flag else f" {p.metavar or p.name.upper()}"
            out.append(f"- `{', '.join(p.opts)}{value}` {' '.join(str(p.help).split())}")
        out += [""] if _options(command) else []
    return "\n".join(out)


def test_commands_and_options_are_those_of_the_program(root: Path, update_golden: bool) -> None:
    _held(root, COMMANDS, f"\n{_table()}", update_golden)


def test_every_option_says_what_it_is_for() -> None:
    for path, command in LEAVES.items():
        assert command.help, path
        for p in command.params:
            assert getattr(p, "help", None) or p.name == "help", f"{' '.join(path)} {p.name}"


def test_first_command_does_the_main_job(root: Path) -> None:
    first = re.search(r"(?m)^    (pip install \. && pourword draft (\S+))$", _text(root))
    assert first is not None
    assert (root / first[2]).is_file()


def test_second_command_is_what_the_checks_run(root: Path) -> None:
    second = re.search(r"(?m)^    pip install '\.\[dev\]' && (python -m pytest)$", _text(root))
    assert second is not None
    checks = (root / ".ci" / "run").read_text(encoding="utf-8")
    assert "pip install" in checks
    assert second[1] in checks


def test_python_of_the_readme_runs(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    code = re.search(r"(?s)```python\n(.+?)```", _text(root))
    assert code is not None
    (tmp_path / "samples" / "boathouse").mkdir(parents=True)
    shutil.copy(root / "samples" / "boathouse" / "boathouse.vtt", tmp_path / "samples" / "boathouse")
    monkeypatch.chdir(tmp_path)
    with contextlib.redirect_stdout(io.StringIO()) as out:
        exec(compile(code[1], "README.md", "exec"), {})
    assert "Third Lantern" in out.getvalue()
    assert out.getvalue().splitlines()[-2:] == ["1.75", "falernum"]


@pytest.mark.parametrize("name", [*DOCS, *(f"samples/{s}/README.md" for s in ("boathouse", "potting-shed", "attic"))])
def test_links_lead_somewhere(name: str, root: Path) -> None:
    for target in re.findall(r"\]\((?!https?:)([^)#]+)", _text(root, name)):
        assert (root / name).parent.joinpath(target).exists(), f"{name}: {target}"


def test_files_named_in_developers_exist(root: Path) -> None:
    """Paths in code marks, as they stand in the table of what lives where."""
    text = _text(root, "DEVELOPERS.md")
    named = set(re.findall(r"`((?:[a-z_]+/)+(?:[a-z_]+\.(?:py|txt))?|[a-z_]+\.(?:py|txt))`", text))
    missing = [
        n for n in sorted(named)
        if not any((root / base / n).exists() for base in ("", "extractor"))
        and not list((root / "extractor").rglob(n)) and not n.startswith("measures/corpus")
    ]  # fmt: skip
    assert named
    assert missing == []
