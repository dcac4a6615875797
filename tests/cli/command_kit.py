"""Runs the command, in this process or as a program of its own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from extractor.cli import run

TALK = """WEBVTT

00:00:01.000 --> 00:00:06.000
The first one is called Pale Harbour.

00:00:06.500 --> 00:00:12.000
Two ounces of gin, half an ounce of lemon juice,
three quarters of simple syrup, and then the orgeat.

00:00:12.500 --> 00:00:17.000
Shake it with ice and strain it into a coupe.
"""
"""A drink with an amount missing."""
CLOSED = TALK.replace(", and then the orgeat.", ".")
"""The same without what is missing."""


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str


class Command:
    """`command("draft", "x.vtt")` runs `pourword draft x.vtt` in this process; `given` is its standard input."""

    def __init__(self, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
        self._capsys, self._monkeypatch = capsys, monkeypatch
        monkeypatch.setenv("COLUMNS", "80")

    def __call__(self, *args: str | Path, given: str | bytes = b"") -> Ran:
        data = given.encode() if isinstance(given, str) else given
        self._monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))
        self._capsys.readouterr()
        status = run([str(a) for a in args])
        captured = self._capsys.readouterr()
        return Ran(status, captured.out, captured.err)


def program(*args: str | Path) -> list[str]:
    """The words that start `pourword` as a program of its own."""
    return [sys.executable, "-m", "extractor", *(str(a) for a in args)]


def surroundings(root: Path, **settings: str) -> dict[str, str]:
    """The environment of such a program."""
    return {**os.environ, "PYTHONPATH": str(root), "PYTHONIOENCODING": "utf-8", **settings}


def ran(*args: str | Path, root: Path, cwd: Path, given: bytes = b"", **settings: str) -> Ran:
    """As a program of its own, to its end."""
    done = subprocess.run(
        program(*args), input=given, capture_output=True, cwd=cwd, env=surroundings(root, **settings),
        timeout=120, check=False,
    )  # fmt: skip
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())
