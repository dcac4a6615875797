"""For all tests: golden outputs that can be written anew, and no sight of the files of whoever runs the tests."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PRINTING = ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE", "COLORTERM", "COLUMNS", "POURWORD_TRACE")
"""What in the environment changes how things are printed."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="Write the golden outputs of samples/ and the generated tables of the docs anew, instead of comparing.",
    )


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    return bool(request.config.getoption("--update-golden"))


@pytest.fixture(scope="session")
def root() -> Path:
    """The top of the checkout."""
    return ROOT


@pytest.fixture(scope="session", autouse=True)
def nobodys_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """An empty place for the user's own files, for code in this process and in the ones that it starts."""
    config = tmp_path_factory.mktemp("config")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(config))
        for name in PRINTING:
            patch.delenv(name, raising=False)
        yield config / "pourword"


@pytest.fixture
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's own folder for one test; it is not there yet."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path / "config" / "pourword"
