"""`pourword questions`, `confirm`, `check`: from open to settled."""

from __future__ import annotations

import json
from pathlib import Path

from command_kit import CLOSED, Command

from extractor.answers import Store, answers_path


def test_check_is_one_line_and_a_status(command: Command, talk: Path, tmp_path: Path) -> None:
    blocked = command("check", talk)
    assert (blocked.status, blocked.err) == (1, "")
    assert len(blocked.out.splitlines()) == 1
    assert "orgeat" in blocked.out
    closed = tmp_path / "closed.vtt"
    closed.write_text(CLOSED)
    clear = command("check", closed)
    assert (clear.status, clear.err) == (0, "")
    assert len(clear.out.splitlines()) == 1
    missing = command("check", tmp_path / "none.vtt")
    assert (missing.status, missing.out) == (2, "")
    assert len(missing.err.splitlines()) == 1


def test_questions_are_listed_in_order(command: Command, talk: Path) -> None:
    listed = command("questions", talk).out
    assert "How much orgeat" in listed
    found = json.loads(command("questions", talk, "--json").out)
    assert [q["at_s"] for q in found] == sorted(q["at_s"] for q in found)
    assert "amount-missing" in [q["kind"] for q in found]


def test_nothing_open_says_so(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "closed.vtt"
    path.write_text(CLOSED)
    assert "Nothing is left to ask." in command("questions", path).out
    assert command("questions", path, "--json").out == "[]\n"


def test_form_is_not_written_over(command: Command, talk: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.txt"
    first = command("questions", talk, "--write", form)
    assert first.status == 0
    assert first.out.startswith("1 question written")
    before = form.read_bytes()
    assert command("questions", talk, "--write", form).status == 2
    assert form.read_bytes() == before


def test_walk_saves_answers_and_shows_the_words(command: Command, talk: Path) -> None:
    got = command("confirm", talk, "--by", "Marit", given="three quarters of an ounce\n")
    assert got.status == 0
    assert "[orgeat]" in got.out
    kept = Store(answers_path(talk)).read().given
    assert [(a.given, a.by) for a in kept] == [("three quarters of an ounce", "Marit")]
    assert command("check", talk).status == 0


def test_walk_can_be_left_at_any_moment(command: Command, talk: Path) -> None:
    for given in ("", "quit\n", "?\n"):
        got = command("confirm", talk, given=given)
        assert got.status == 0
        assert not answers_path(talk).exists()


def test_form_with_a_fault_is_refused_in_words(command: Command, talk: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.txt"
    command("questions", talk, "--write", form)
    form.write_text(form.read_text().replace("\n  answer:\n", "\n  answer: a fistful\n"))
    got = command("confirm", talk, "--answers", form)
    assert got.status == 2
    assert "a fistful" in got.err
    assert not answers_path(talk).exists()


def test_faulty_answers_file_is_an_error_of_every_command(command: Command, talk: Path) -> None:
    answers_path(talk).write_text("pourword-answers: 1\n\nquestion: x\n  answr: 2\n")
    for words in (["draft"], ["questions"], ["confirm"], ["check"], ["publish", "--show-changes"]):
        got = command(words[0], talk, *words[1:])
        assert got.status == 2
        assert f"{answers_path(talk).name}:4" in got.err


UNKNOWN = CLOSED.replace("of simple syrup", "of an ounce of blorp tangle")


def test_an_answer_can_be_learned_for_the_next_episode(command: Command, tmp_path: Path, own_folder: Path) -> None:
    first = tmp_path / "first.vtt"
    first.write_text(UNKNOWN)
    asked = json.loads(command("questions", first, "--json").out)
    assert [q["kind"] for q in asked if q["blocking"]] == ["name-unsure"]
    got = command("confirm", first, "--must", given='"plum tangle"\ny\nsyrupp\nsyrup\n')
    assert got.status == 0, got
    assert "No kind is called “syrupp”" in got.out
    assert "plum tangle" in (own_folder / "lexicon.txt").read_text()
    second = tmp_path / "second.vtt"
    second.write_text(UNKNOWN)
    assert command("check", second).status == 0


def test_nothing_is_learned_without_a_yes(command: Command, tmp_path: Path, own_folder: Path) -> None:
    path = tmp_path / "first.vtt"
    path.write_text(UNKNOWN)
    for given in ('"plum tangle"\n', '"plum tangle"\nn\n', '"plum tangle"\n\n'):
        command("confirm", path, "--must", given=given)
        assert not (own_folder / "lexicon.txt").exists()
        answers_path(path).unlink()


def test_habits_answer_what_they_are_about(command: Command, tmp_path: Path, own_folder: Path) -> None:
    path = tmp_path / "made.vtt"
    path.write_text(CLOSED.replace("simple syrup", "my homemade honey syrup"))

    def asked() -> list[str]:
        return [q["about"] for q in json.loads(command("questions", path, "--json").out)
                if q["kind"] == "component-incomplete"]  # fmt: skip

    assert asked() == ["honey syrup"]
    command("habit", "honey syrup means 2 parts honey, 1 part water")
    assert asked() == []
