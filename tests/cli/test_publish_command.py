"""`pourword publish`: into a folder, all or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from command_kit import CLOSED, Command

MISHEARD = CLOSED.replace("simple syrup", "fuller num")


@pytest.fixture
def closed(tmp_path: Path) -> Path:
    path = tmp_path / "closed.vtt"
    path.write_text(MISHEARD, encoding="utf-8")
    return path


def _files(folder: Path) -> list[str]:
    return sorted(str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file() and not p.name.startswith("."))


def test_refuses_while_a_blocking_question_is_open(command: Command, talk: Path, tmp_path: Path) -> None:
    got = command("publish", talk, "-o", tmp_path / "out")
    assert got.status == 2
    assert "amount-missing/1/orgeat" in got.err
    assert not (tmp_path / "out").exists()
    despite = command("publish", talk, "-o", tmp_path / "out", "--despite-open", "--part", "cards,description")
    assert despite.status == 0
    assert _files(tmp_path / "out") == [
        "cards/pale-harbour.html", "cards/pale-harbour.md", "description.txt", "published.json",
    ]  # fmt: skip
    assert "AMOUNT NOT SAID" in (tmp_path / "out" / "description.txt").read_text()


def test_captions_are_written_in_their_own_form_and_the_usual_ones(
    command: Command, closed: Path, tmp_path: Path
) -> None:
    assert command("publish", closed, "-o", tmp_path / "out", "--part", "captions").status == 0
    assert _files(tmp_path / "out") == ["captions/closed.srt", "captions/closed.vtt", "published.json"]
    written = (tmp_path / "out" / "captions" / "closed.vtt").read_text()
    assert written == MISHEARD.replace("fuller num", "falernum"), "every other byte as it was"


def test_a_change_can_be_listed_and_taken_back(command: Command, closed: Path, tmp_path: Path) -> None:
    listed = command("publish", closed, "--show-changes").out
    assert "fuller num → falernum" in listed
    name = listed.split()[0]
    got = command("publish", closed, "-o", tmp_path / "out", "--part", "captions", "--take-back", name)
    assert got.status == 0
    assert (tmp_path / "out" / "captions" / "closed.vtt").read_text() == MISHEARD


def test_what_others_wrote_is_not_written_over(command: Command, closed: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert command("publish", closed, "-o", out, "--part", "description").status == 0
    (out / "description.txt").write_text("by hand")
    assert command("publish", closed, "-o", out, "--part", "description").status == 2
    assert (out / "description.txt").read_text() == "by hand"
    assert command("publish", closed, "-o", out, "--part", "description", "--force").status == 0
    assert "PALE HARBOUR" in (out / "description.txt").read_text()


def test_wishes_reach_what_is_written(command: Command, closed: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    got = command(
        "publish", closed, "-o", out, "--part", "cards", "--part", "description", "--part", "data,shopping",
        "--servings", "8", "--opening", "For a wet evening.", "--url", "https://video.example/1", "--title", "Harbours",
        "--date", "2025-03-14", "--author", "Marit", "--country", "uk", "--page", "a4",
    )  # fmt: skip
    assert got.status == 0, got.err
    text = (out / "description.txt").read_text()
    assert text.startswith("For a wet evening.\n")
    assert "18 or older" in text
    assert "cards/pale-harbour-for-8.md" in _files(out)
    data = (out / "data" / "video.jsonld").read_text()
    assert "https://video.example/1" in data
    assert "2025-03-14" in data
    short = command("publish", closed, "-o", tmp_path / "short", "--part", "description", "--limit", "30", "--bytes")
    assert short.status == 2
    assert "bytes" in short.err


def test_badly_formed_captions_are_never_written_over(command: Command, tmp_path: Path) -> None:
    path = tmp_path / "odd.vtt"
    path.write_text(MISHEARD.replace("00:00:06.500 --> 00:00:12.000", "00:00:06.500 -> 00:00:12.000"))
    got = command("publish", path, "-o", tmp_path / "out", "--part", "captions", "--despite-open")
    if "captions/odd.vtt" not in _files(tmp_path / "out"):
        assert "not written in their own form" in got.out
    assert path.read_text().count("->") == 3
