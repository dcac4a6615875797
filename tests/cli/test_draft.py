"""`pourword draft`: what it prints, what it saves, and what it reads besides the captions."""

from __future__ import annotations

import json
import os
import pty
import re
import subprocess
import threading
from pathlib import Path

import pytest
from command_kit import CLOSED, TALK, Command, program, ran, surroundings

from extractor.record import Episode

CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
COLOUR = re.compile(r"\x1b\[(?:[0-9]*;)*(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9]*)*m")
"""ECMA-48 and what terminals added to it: 30-38 and 40-48, 90-97 and 100-107 set a colour."""


def test_drinks_are_printed_for_a_person(command: Command, talk: Path) -> None:
    out = command("draft", talk).out
    assert "Pale Harbour" in out
    assert "glass: coupe" in out
    gin = next(x for x in out.splitlines() if "gin" in x and "“" in x)
    assert gin.split() == ["0:06", "2", "oz", "60", "ml", "gin", "“Two", "ounces”"]
    assert "[AMOUNT NOT SAID — ask]" in out
    assert "must be answered" in out
    assert out.index("gin") < out.index("Questions") < out.index("How much orgeat")


def test_record_draft_and_questions_are_saved_beside_the_captions(command: Command, talk: Path) -> None:
    out = command("draft", talk).out
    assert out.splitlines()[-1] == "Saved harbour.record.json, harbour.draft.md, harbour.questions.md."
    names = ["harbour.draft.md", "harbour.questions.md", "harbour.record.json", "harbour.vtt"]
    assert sorted(p.name for p in talk.parent.iterdir()) == names
    record = Episode.model_validate_json(talk.with_name("harbour.record.json").read_bytes())
    assert [d.name for d in record.drinks] == ["Pale Harbour"]
    assert talk.with_name("harbour.draft.md").read_text().startswith("# harbour.vtt\n")
    assert "orgeat" in talk.with_name("harbour.questions.md").read_text()


def test_json_is_the_record_and_nothing_else(command: Command, talk: Path) -> None:
    got = command("draft", talk, "--json")
    assert (got.status, got.err) == (0, "")
    record = Episode.model_validate_json(got.out)
    assert [p.name for p in talk.parent.iterdir()] == ["harbour.vtt"]
    command("draft", talk)
    assert json.loads(talk.with_name("harbour.record.json").read_text()) == json.loads(got.out)
    assert record.source.path == str(talk)


def test_dash_reads_standard_input_and_saves_nothing(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    got = command("draft", "-", given=TALK)
    assert got.status == 0
    assert "Pale Harbour" in got.out
    assert "Saved" not in got.out
    assert list((tmp_path / "here").iterdir()) == []
    assert json.loads(command("draft", "-", "--json", given=TALK).out)["source"]["path"] is None


def test_what_cannot_be_saved_is_said_after_printing(command: Command, talk: Path) -> None:
    in_the_way = talk.with_name("harbour.draft.md")
    in_the_way.mkdir()
    got = command("draft", talk)
    assert got.status == 2
    assert "Pale Harbour" in got.out
    assert "harbour.draft.md could not be saved" in got.err
    assert "--json" in got.err
    assert not list(talk.parent.glob(".harbour*")), "nothing half written is left"


@pytest.mark.parametrize("what", ["record.json", "draft.md", "questions.md"])
def test_somebody_elses_file_is_not_written_over(what: str, command: Command, talk: Path) -> None:
    theirs = talk.with_name(f"harbour.{what}")
    theirs.write_text("my own notes")
    got = command("draft", talk)
    assert got.status == 2
    assert "Pale Harbour" in got.out
    assert theirs.name in got.err
    assert theirs.read_text() == "my own notes"
    assert len(list(talk.parent.glob("harbour.*"))) == 2, "nothing else was saved either"
    theirs.unlink()
    assert command("draft", talk).status == 0
    assert command("draft", talk).status == 0, "what it wrote itself it writes anew"


def test_answers_beside_the_captions_are_put_in(command: Command, talk: Path) -> None:
    form = talk.with_name("form.txt")
    command("questions", talk, "--write", form)
    text = form.read_text()
    block = text.index("amount-missing")
    form.write_text(text[:block] + text[block:].replace("\n  answer:\n", "\n  answer: three quarters of an ounce\n", 1))
    assert command("confirm", talk, "--answers", form).status == 0
    got = json.loads(command("draft", talk, "--json").out)
    orgeat = next(i for i in got["drinks"][0]["ingredients"] if i["name"] == "orgeat")
    assert orgeat["amount"]["low"] == 0.75
    assert not [q for q in got["questions"] if q["kind"] == "amount-missing"]
    # Figures rest on the answer too: 2 + 1/2 + 3/4 + 3/4 US fluid ounces (29.5735 ml, NIST Handbook 44, appendix C).
    volume = got["drinks"][0]["figures"]["volume_ml"]
    assert volume["low"] == pytest.approx(4 * 29.5735, rel=1e-3)


def test_locale_is_kept_with_the_record(command: Command, tmp_path: Path) -> None:
    """A pint of the UK is 568.26 ml, of the US 473.18 ml (Weights and Measures Act 1985; NIST Handbook 44)."""
    path = tmp_path / "cup.vtt"
    path.write_text(TALK.replace("Two ounces of gin", "A pint of cider"), encoding="utf-8")

    def pint(*more: str) -> float:
        record = json.loads(command("draft", path, "--json", *more).out)
        cider = next(i for i in record["drinks"][0]["ingredients"] if "cider" in i["name"])
        return float(cider["amount"]["millilitres"]["low"])

    assert pint() == pytest.approx(473.176, abs=0.01)
    assert command("draft", path, "--locale", "uk").status == 0
    assert pint() == pytest.approx(568.261, abs=0.01)
    assert pint("--locale", "us") == pytest.approx(473.176, abs=0.01)


def test_own_names_are_read_from_the_users_folder(command: Command, tmp_path: Path, own_folder: Path) -> None:
    path = tmp_path / "own.vtt"
    path.write_text(CLOSED.replace("simple syrup", "smoked plum holy o"), encoding="utf-8")

    def names(*more: str | Path) -> list[str]:
        record = json.loads(command("draft", path, "--json", *more).out)
        return [i["name"] for i in record["drinks"][0]["ingredients"]]

    assert "smoked plum oleo" not in names()
    command("lexicon", "add", "smoked plum oleo", "--kind", "syrup", "--misheard", "smoked plum holy o")
    assert (own_folder / "lexicon.txt").is_file()
    assert "smoked plum oleo" in names()
    empty = tmp_path / "empty.txt"
    empty.write_text("# none\n")
    assert "smoked plum oleo" not in names("--lexicon", empty)


def test_own_sizes_are_read_from_the_users_folder(command: Command, tmp_path: Path, own_folder: Path) -> None:
    path = tmp_path / "own.vtt"
    path.write_text(CLOSED.replace("three quarters of simple syrup", "two bar spoons of simple syrup"))

    def millilitres() -> float:
        record = json.loads(command("draft", path, "--json").out)
        syrup = next(i for i in record["drinks"][0]["ingredients"] if i["name"] == "simple syrup")
        return float(syrup["amount"]["millilitres"]["low"])

    before = millilitres()
    assert command("habit", "my bar spoon is 7 ml").status == 0
    assert before != 14
    assert millilitres() == 14


HOSTILE = "\x1b[31mred\x1b[0m \x1b]8;;http://x.example\x07link\x1b]8;;\x07 \x9b31m \u202egnp.exe\u202c \x08\x08\x00"


def test_text_of_captions_is_never_obeyed_by_the_terminal(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "hostile.vtt"
    path.write_text(TALK.replace("Pale Harbour", f"Pale {HOSTILE} Harbour").replace("orgeat", f"org{HOSTILE}eat"))
    got = command("draft", path)
    assert got.status == 0
    assert not CONTROL.search(got.out)
    for what in ("draft.md", "questions.md"):
        assert not CONTROL.search(path.with_name(f"hostile.{what}").read_text())


def _on_a_terminal(path: Path, root: Path, **settings: str) -> str:
    """What a terminal 80 columns wide is sent."""
    ours, theirs = pty.openpty()
    got: list[bytes] = []

    def read() -> None:
        while True:
            try:
                data = os.read(ours, 65536)
            except OSError:
                return
            if not data:
                return
            got.append(data)

    reader = threading.Thread(target=read)
    reader.start()
    env = surroundings(root, TERM="xterm-256color", COLUMNS="80", **settings)
    done = subprocess.run(program("draft", path), stdout=theirs, stdin=theirs, env=env, timeout=120, check=False)
    os.close(theirs)
    reader.join(30)
    os.close(ours)
    assert done.returncode == 0
    return b"".join(got).decode()


def test_colours_on_a_terminal_only_and_not_where_they_are_unwanted(talk: Path, root: Path) -> None:
    assert COLOUR.search(_on_a_terminal(talk, root))
    assert not COLOUR.search(_on_a_terminal(talk, root, NO_COLOR="1"))
    assert "\x1b" not in ran("draft", talk, root=root, cwd=talk.parent).out


@pytest.mark.parametrize("columns", ["36", "40", "63", "64", "200"])
def test_any_width_holds_every_word(
    columns: str, command: Command, talk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    got = command("draft", talk)
    assert got.status == 0
    joined = re.sub(r"\s", "", got.out)
    for words in ("PaleHarbour", "gin", "lemonjuice", "AMOUNTNOTSAID", "Twoounces"):
        assert words in joined
    longest = max(len(x) for x in got.out.splitlines() if not x.startswith("Saved"))
    assert longest <= int(columns)


def test_output_that_cannot_write_fractions_says_them(talk: Path, root: Path) -> None:
    got = ran("draft", talk, root=root, cwd=talk.parent, PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert got.status == 0
    lemon = next(x for x in got.out.splitlines() if "lemon juice" in x and "15 ml" in x)
    assert "1/2 oz" in lemon
    assert '"half an ounce"' in lemon
