"""The word lists of lexicon/measures: well formed, nothing twice, every section one that the code knows."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_phrases
from extractor.measures.repair import RULES
from extractor.measures.words import vocabulary
from extractor.record.episode import Unit

FOLDER = lexicon_folder() / "measures"
FILES = sorted(p.name for p in FOLDER.glob("*.txt"))
UNITS = set(Unit.__args__)  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", FILES)
def test_a_list_says_what_it_holds_gives_an_example_and_holds_no_word_twice(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert text.startswith("# ")
    assert "# Example:" in text
    faults: list[str] = []
    sections = read_phrases(FOLDER / name, faults)
    assert not faults
    twice = [f"[{s}] {w}" for s, words in sections.items() for w in {w for w in words if words.count(w) > 1}]
    assert not twice


def test_every_unit_of_the_lists_is_one_of_the_record() -> None:
    faults: list[str] = []
    assert set(read_phrases(FOLDER / "units.txt", faults)) <= UNITS
    vague = {
        s.partition(" ")[2]
        for s in read_phrases(FOLDER / "vague.txt", faults)
        if s.startswith(("phrase", "last", "with"))
    }
    assert vague - {"none"} <= UNITS


def test_no_word_means_two_units() -> None:
    faults: list[str] = []
    seen: dict[str, str] = {}
    for unit, words in read_phrases(FOLDER / "units.txt", faults).items():
        for line in words:
            word = line.rstrip("* ")
            assert word not in seen, f"{word} is both {seen.get(word)} and {unit}"
            seen[word] = unit


def test_every_section_of_misheard_words_has_its_rule_and_every_rule_its_section() -> None:
    faults: list[str] = []
    assert set(read_phrases(FOLDER / "misheard.txt", faults)) == set(RULES)


@pytest.mark.parametrize(
    ("name", "section", "said"),
    [
        ("classes.txt", "clas", "classes.txt: unknown section [clas]"),
        ("leans.txt", "beside", "leans.txt: unknown section [beside]"),
        ("vague.txt", "dunno", "vague.txt: unknown section [dunno]"),
        ("not_measures.txt", "nowhere", "not_measures.txt: unknown section [nowhere]"),
        ("neighbours.txt", "far", "neighbours.txt: unknown section [far]"),
    ],
)
def test_a_section_that_the_code_does_not_know_is_a_fault(tmp_path: Path, name: str, section: str, said: str) -> None:
    folder = tmp_path / "measures"
    shutil.copytree(FOLDER, folder)
    with (folder / name).open("a", encoding="utf-8") as file:
        file.write(f"\n[{section}]\nword\n")
    with pytest.raises(LexiconError) as caught:
        vocabulary(folder)
    assert any(f.startswith(said) for f in caught.value.faults), caught.value.faults


def test_a_missing_section_of_neighbours_is_a_fault(tmp_path: Path) -> None:
    folder = tmp_path / "measures"
    shutil.copytree(FOLDER, folder)
    path = folder / "neighbours.txt"
    path.write_text(path.read_text(encoding="utf-8").replace("[herb]\nbasil", "[powder2]\nbasil"), encoding="utf-8")
    with pytest.raises(LexiconError) as caught:
        vocabulary(folder)
    assert "neighbours.txt: section [herb] is missing" in caught.value.faults
