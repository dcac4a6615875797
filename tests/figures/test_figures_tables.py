"""The rule tables: sound, and all their faults told at once."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from figures_support import TABLES

from extractor.errors import LexiconError
from extractor.figures import load_tables
from extractor.figures.dilution import uptake
from extractor.figures.standard_drinks import ethanol_ml_of_one
from extractor.lexicon import lexicon_folder, plain, read_blocks
from extractor.record import Worked

FOLDER = lexicon_folder() / "figures"
BLOCKS = ("acids", "allergens", "balance", "bounds", "caution_signs", "dilution", "energy", "ice", "keeps", "measures",
          "nuts", "standard_drinks", "syrups")  # fmt: skip


def test_every_file_of_the_folder_is_read() -> None:
    assert {p.stem for p in FOLDER.glob("*.txt")} == set(vars(TABLES)) - {"cautions"}


@pytest.mark.parametrize("name", BLOCKS)
def test_the_rows_stand_in_order(name: str) -> None:
    names = [plain(b.name) for b in read_blocks(FOLDER / f"{name}.txt", [])]
    assert names == sorted(names)


@pytest.mark.parametrize("section", sorted(TABLES.allergen_words))
def test_words_are_in_plain_form_and_unique(section: str) -> None:
    words = TABLES.allergen_words[section]
    assert len(set(words)) == len(words)
    assert [w for w in words if plain(w) != w] == []


def test_every_row_can_be_worked_with() -> None:
    for method in TABLES.dilution:
        found = uptake(method, Worked(25, 25, "% vol"), TABLES).of_initial
        assert 0 <= found.low < (found.high or 0) <= 2, method
    for country in TABLES.standard_drinks:
        # Between the least (UK, 8 g) and the most (20 g) that any country of the table counts as one.
        assert 10 <= ethanol_ml_of_one(country, TABLES)[0] <= 20 / 0.789
    for thing, row in TABLES.energy.items():
        # A calorie is 4.184 J; the law rounds both columns, so they agree within a tenth.
        assert row.figure("kj").low == pytest.approx(4.184 * row.figure("kcal").low, rel=0.1), thing
    for row in TABLES.keeps.values():
        assert row.figure("days").low < row.figure("days").high
    for row in TABLES.nuts.values():
        assert {row.word("us"), row.word("eu")} <= {"yes", "no", "may"}
    for row in TABLES.allergens.values():
        assert any(row.word(key) for key in ("us", "eu"))


def test_the_energy_factors_are_those_of_the_law() -> None:
    # Reg. (EU) No 1169/2011, Annex XIV.
    law = {
        "alcohol": (29, 7), "carbohydrate": (17, 4), "polyols": (10, 2.4), "organic acid": (13, 3),
        "protein": (17, 4), "fat": (37, 9), "fibre": (8, 2), "erythritol": (0, 0),
    }  # fmt: skip
    assert {k: (r.figure("kj").low, r.figure("kcal").low) for k, r in TABLES.energy.items()} == law


def test_all_faults_are_told_together_with_their_place(tmp_path: Path) -> None:
    shutil.copytree(FOLDER, tmp_path / "figures")
    drinks = tmp_path / "figures" / "standard_drinks.txt"
    drinks.write_text(
        "us\n  grams: 14 @nowhere\nuk\n  grams: 9-8 @memory\nau\n  grams: ten @memory\n", encoding="utf-8"
    )
    with pytest.raises(LexiconError) as caught:
        load_tables(tmp_path)
    faults = caught.value.faults
    assert any("standard_drinks.txt:1" in f and "@nowhere" in f for f in faults)
    assert any("standard_drinks.txt:3" in f and "runs from 9 down to 8" in f for f in faults)
    assert any("standard_drinks.txt:5" in f and "neither a number" in f for f in faults)


def test_a_missing_number_is_never_defaulted() -> None:
    with pytest.raises(LookupError, match="gives no grams"):
        TABLES.standard_drinks["uk"].figure("grams")
