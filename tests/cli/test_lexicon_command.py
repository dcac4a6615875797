"""`pourword lexicon` and `pourword habit`: the user's own files."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_kit import Command

from extractor.lexicon import load_lexicon
from extractor.own_files import with_name


def test_add_then_add_to_it(command: Command, own_folder: Path) -> None:
    assert command("lexicon", "add", "smoked plum oleo", "--kind", "syrup").status == 0
    path = own_folder / "lexicon.txt"
    got = command("lexicon", "add", "Smoked Plum Oleo", "--misheard", "smoked plum holy o", "--other", "plum oleo")
    assert got.status == 0
    entry = load_lexicon(own=(path,)).by_id["smoked-plum-oleo"]
    assert (entry.kind, entry.others, entry.misheard) == ("syrup", ("plum oleo",), ("smoked plum holy o",))
    assert command("lexicon", "add", "smoked plum oleo", "--misheard", "Smoked plum holy O").status == 0
    assert path.read_text().count("holy") == 2, "one in the example at the head, one in the entry"


def test_add_to_a_name_of_ours_keeps_what_is_known_of_it(command: Command, own_folder: Path) -> None:
    ours = load_lexicon().by_id["falernum"]
    assert command("lexicon", "add", "falernum", "--misheard", "full of rum").status == 0
    both = load_lexicon(own=(own_folder / "lexicon.txt",)).by_id["falernum"]
    assert "full of rum" in both.misheard
    assert (both.kind, dict(both.figures)) == (ours.kind, dict(ours.figures))


def test_a_saying_is_checked(command: Command, own_folder: Path) -> None:
    got = command("lexicon", "add", "smoked plum oleo", "--kind", "syrup", "--said", "smowkt plum")
    assert got.status == 2
    assert "ARPAbet" in got.err
    assert not (own_folder / "lexicon.txt").exists()


def test_a_clash_with_another_name_is_refused(command: Command, own_folder: Path) -> None:
    got = command("lexicon", "add", "attic rum", "--kind", "nosuchkind")
    assert got.status == 2
    assert not (own_folder / "lexicon.txt").exists()


def test_what_stands_there_by_hand_stays() -> None:
    by_hand = "# mine\n\nplum oleo\n  # from the cellar\n  kind: syrup\n\n# more below\nattic rum\n  kind: rum\n"
    text = with_name(by_hand, "plum oleo", misheard=("plum holy o",))
    assert text == by_hand.replace("  kind: syrup\n", "  kind: syrup\n  misheard: plum holy o\n")
    assert with_name(text, "plum oleo", misheard=("plum holy o",)) == text


def test_check_lists_every_fault(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "mine.txt"
    path.write_text("plum oleo\n  knid: syrup\n\nattic rum\n  kind: rumm\n")
    got = command("lexicon", "check", path)
    assert got.status == 1
    assert "mine.txt:2" in got.err
    assert "mine.txt:4" in got.err
    assert got.out == ""
    path.write_text("plum oleo\n  kind: syrup\n\nattic rum\n  kind: rum\n")
    good = command("lexicon", "check", path)
    assert (good.status, good.err) == (0, "")
    assert good.out.startswith("2 names")


def test_habits_are_kept_and_listed(command: Command, own_folder: Path) -> None:
    assert command("habit").out.startswith("No habits")
    assert command("habit", "my bar spoon is 5 ml").status == 0
    assert command("habit", "simple syrup means one to one").status == 0
    assert command("habit").out.splitlines() == ["bar_spoon: 5 ml", "simple syrup: one to one"]


@pytest.mark.parametrize("name", ["plum\noleo", "  ", "#plum", "plum|oleo", "plum\x1boleo"])
def test_words_that_cannot_stand_in_the_file(name: str, command: Command, own_folder: Path) -> None:
    got = command("lexicon", "add", name, "--kind", "syrup")
    assert got.status == 2
    assert "\x1b" not in got.err
    assert not (own_folder / "lexicon.txt").exists()
