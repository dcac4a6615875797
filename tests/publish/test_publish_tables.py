"""The tables of lexicon/publish: complete, in order, and every fault in them found and named with its place."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import get_args

import pytest
from publish_kit import LEXICON, TABLES

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_phrases
from extractor.publish.tables import load_tables
from extractor.record.episode import QuestionKind, Technique, Unit


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(lexicon_folder(), tmp_path / "lexicon")
    return tmp_path / "lexicon"


def test_every_unit_and_kind_of_question_has_its_words() -> None:
    assert set(TABLES.units) == set(get_args(Unit))
    assert set(get_args(QuestionKind)) <= set(TABLES.gaps)


def test_kinds_and_techniques_are_known_ones() -> None:
    for shelf in TABLES.shelves:
        assert set(shelf.kinds) <= set(LEXICON.kinds), shelf.name
    assert set(TABLES.with_water | TABLES.over_ice) <= set(get_args(Technique))
    assert TABLES.fresh | TABLES.never_cut <= set(LEXICON.kinds)
    for name in (*TABLES.comes_from, *TABLES.comes_from.values()):
        assert LEXICON.named(name) is not None


def test_every_ingredient_finds_a_shelf_and_no_kind_stands_on_two() -> None:
    kinds = [k for shelf in TABLES.shelves for k in shelf.kinds]
    assert len(set(kinds)) == len(kinds)
    # Only the kind `other` and what has no kind of its own is left over.
    left = {e.kind for e in LEXICON.ingredients if not any(k.name in kinds for k in LEXICON.kind_chain(e))}
    assert left <= {"other", "food", "drinkable"}


def test_places_are_those_of_the_standard_drinks() -> None:
    from extractor.figures.tables import load_tables as figures_tables

    assert set(TABLES.places) - {"common"} == set(figures_tables().standard_drinks)


def test_the_closing_sentence_is_the_one_of_the_cautions() -> None:
    from extractor.figures.cautions import CLOSING

    assert TABLES.lines["food code"] == CLOSING


def test_private_notes_are_those_that_the_answers_leave() -> None:
    from extractor.record.episode import BY_HAND

    assert BY_HAND.strip().lower() in TABLES.private


def test_the_sentences_name_only_what_is_put_in() -> None:
    import re

    text = (lexicon_folder() / "publish" / "lines.txt").read_text(encoding="utf-8")
    assert set(re.findall(r"\{(\w*)\}", text)) <= {
        "age",
        "between",
        "count",
        "drinks",
        "each",
        "exact",
        "gives",
        "name",
        "needed",
        "place",
        "size",
        "times",
        "what",
        "whole",
    }
    assert set(TABLES.lines) == set(read_phrases(lexicon_folder() / "publish" / "lines.txt", []))


@pytest.mark.parametrize(
    ("file", "old", "new", "fault"),
    [
        ("units.txt", "dash\n  one: dash\n  many: dashes\n", "dash\n  one: dash\n", "dash"),
        ("units.txt", "scales: taste", "scales: twice", "scales"),
        ("units.txt", "\ndrop\n", "\nthimble\n", "thimble"),
        ("units.txt", "  few: a few cups\n", "", "cup"),
        ("units.txt", "  sums: volume\nbottle", "  sums: volume\n  colour: red\nbottle", "colour"),
        ("rounding.txt", "values: 0 | 1/2", "values: 1/2 | 0", "in order"),
        ("rounding.txt", "  fl_oz: 30", "  fl_oz: thirty", "thirty"),
        ("rounding.txt", "  near: 0.03\n", "", "near"),
        ("rounding.txt", "  more: 50\n", "", "more"),
        ("gaps.txt", "[glass-missing]", "[glass-mising]", "glass-missing"),
        ("lines.txt", "[age]", "[ages]", "age"),
        ("places.txt", "  age: 21", "  age: twenty-one", "us"),
        ("places.txt", "common\n", "all\n", "common"),
        ("places.txt", "\n  drink: UK unit | UK units", "\n  drink: UK units", "uk"),
        ("shopping.txt", "\n  us: 750 ml bottle", "\n  us: a bottle", "a bottle"),
        ("shopping.txt", "Other things\n", "Other things\n  kinds: other\n", "last part"),
        ("shopping.txt", "  kinds: beer | cider", "  kinds: beer | cider\n  aisle: 4", "aisle"),
        ("shopping.txt", "shared\n", "shared\n  cheek: yes\n", "cheek"),
        ("scaling.txt", "\n[over ice]\n", "\n[on ice]\n", "over ice"),
    ],
)
def test_a_fault_is_found_and_named(file: str, old: str, new: str, fault: str, folder: Path) -> None:
    path = folder / "publish" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(LexiconError) as caught:
        load_tables(folder)
    assert any(fault in f and file.removesuffix(".txt") in f for f in caught.value.faults), caught.value.faults


def test_all_faults_come_together(folder: Path) -> None:
    for file, old, new in (("units.txt", "scales: taste", "scales: x"), ("places.txt", "  age: 21", "  age: x")):
        path = folder / "publish" / file
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    with pytest.raises(LexiconError) as caught:
        load_tables(folder)
    files = {f.split(":")[0] for f in caught.value.faults}
    assert files == {"units.txt", "places.txt"}
