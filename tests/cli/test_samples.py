"""What `pourword draft` prints and saves for the samples, held letter for letter.

`pytest --update-golden` writes them anew; look at the difference before you commit it.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from command_kit import Command

from extractor.record import Episode

SAMPLES = ("boathouse/boathouse.vtt", "potting-shed/potting-shed.srt", "late-kitchen/late-kitchen.json",
           "attic/attic.txt")  # fmt: skip
SAVED = ("record.json", "draft.md", "questions.md")


@pytest.mark.parametrize("sample", SAMPLES)
def test_output_is_as_kept(
    sample: str, command: Command, tmp_path: Path, root: Path, monkeypatch: pytest.MonkeyPatch, update_golden: bool
) -> None:
    captions = tmp_path / "samples" / sample
    captions.parent.mkdir(parents=True)
    shutil.copy(root / "samples" / sample, captions)
    monkeypatch.chdir(tmp_path)
    ran = command("draft", f"samples/{sample}")
    assert (ran.status, ran.err) == (0, "")
    found = {f"{captions.stem}.{what}": captions.with_name(f"{captions.stem}.{what}").read_text() for what in SAVED}
    found["terminal.txt"] = ran.out
    kept = (root / "samples" / sample).parent
    if update_golden:
        for name, text in found.items():
            (kept / name).write_text(text, encoding="utf-8")
        return
    for name, text in found.items():
        assert text == (kept / name).read_text(encoding="utf-8"), f"{kept.name}/{name}: see --update-golden"


@pytest.mark.parametrize("sample", SAMPLES)
def test_kept_record_is_a_record(sample: str, root: Path) -> None:
    path = root / "samples" / sample
    record = Episode.model_validate_json((path.parent / f"{path.stem}.record.json").read_bytes())
    assert record.source.path == f"samples/{sample}"
    assert record.drinks


def test_every_sample_is_held(root: Path) -> None:
    folders = {p.name for p in (root / "samples").iterdir() if p.is_dir()}
    assert folders == {s.split("/")[0] for s in SAMPLES}
    for folder in folders:
        assert (root / "samples" / folder / "README.md").is_file()
