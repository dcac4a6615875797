"""Every kind of question asks about its own example and is silent about its counter-example, through the whole program.

The examples stand in the modules (`ASKS`, `SILENT`), the table of the kinds in DEVELOPERS.md is made from their
docstrings: `pytest --update-golden` writes it anew.
"""

from __future__ import annotations

import re
from pathlib import Path
from types import ModuleType
from typing import get_args

import pytest

from extractor import draft
from extractor.questions import KINDS
from extractor.record import Episode
from extractor.record.episode import QuestionKind

BEGIN, END = "<!-- kinds: made by tests/questions/test_kinds.py -->", "<!-- end of kinds -->"


def _id(kind: object) -> str:
    return str(getattr(kind, "KIND", kind))


@pytest.fixture(params=KINDS, ids=_id)
def kind(request: pytest.FixtureRequest) -> ModuleType:
    found = request.param
    assert isinstance(found, ModuleType)
    return found


def _asked(talk: str) -> Episode:
    return draft(talk)


def test_asks_about_its_example(kind: ModuleType) -> None:
    asked = [q for q in _asked(kind.ASKS).questions if q.kind == kind.KIND]
    assert len(asked) == 1, "one root cause gives one question"
    question = asked[0]
    assert question.text[:1].isupper() or question.text[0] in "“0123456789" or question.about in question.text
    assert question.evidence is None or " ".join(question.evidence.text.split()) in " ".join(kind.ASKS.split())
    for suggestion in question.suggestions:
        assert suggestion.answer
        assert suggestion.reason, "each offer says why"


def test_is_silent_about_its_counter_example(kind: ModuleType) -> None:
    assert kind.KIND not in [q.kind for q in _asked(kind.SILENT).questions]


def test_example_asks_nothing_else(kind: ModuleType) -> None:
    asked = {q.kind for q in _asked(kind.ASKS).questions}
    assert asked == {kind.KIND}, "one root cause gives one question, not four"


def test_question_keeps_its_id(kind: ModuleType) -> None:
    first, again = _asked(kind.ASKS).questions, _asked(kind.ASKS).questions
    assert [q.id for q in first] == [q.id for q in again]
    assert len({q.id for q in first}) == len(first)


def test_every_kind_of_the_record_has_its_module() -> None:
    assert sorted(k.KIND for k in KINDS) == sorted(get_args(QuestionKind))


def test_every_kind_says_why(kind: ModuleType) -> None:
    assert kind.__doc__
    assert re.search(r"^Why: ", kind.__doc__, re.MULTILINE)


def _table() -> str:
    rows = ["| Kind | Asked when | Why |", "| :-- | :-- | :-- |"]
    for kind in KINDS:
        first, _, rest = (kind.__doc__ or "").strip().partition("\n")
        why = " ".join(rest.partition("Why:")[2].split("\n\n")[0].split())
        file = Path(str(kind.__file__)).name
        rows.append(f"| [`{kind.KIND}`](extractor/questions/{file}) | {first.rstrip('.')} | {why.rstrip('.')} |")
    return "\n".join(rows)


def test_table_of_the_docs_is_made_from_the_modules(root: Path, update_golden: bool) -> None:
    path = root / "DEVELOPERS.md"
    text = path.read_text(encoding="utf-8")
    before, begin, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    assert begin, "DEVELOPERS.md has lost the mark where the table begins"
    assert end, "DEVELOPERS.md has lost the mark where the table ends"
    wanted = f"{before}{BEGIN}\n\n{_table()}\n\n{END}{after}"
    if update_golden:
        path.write_text(wanted, encoding="utf-8")
        return
    assert text == wanted, "see --update-golden"
