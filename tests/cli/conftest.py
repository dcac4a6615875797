from __future__ import annotations

from pathlib import Path

import pytest
from command_kit import TALK, Command


@pytest.fixture
def command(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    return Command(capsys, monkeypatch)


@pytest.fixture
def talk(tmp_path: Path) -> Path:
    """A caption file of one drink with an amount missing."""
    path = tmp_path / "harbour.vtt"
    path.write_text(TALK, encoding="utf-8")
    return path
