"""The samples against what their READMEs say that a careful editor would write down."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractor import draft
from extractor.record import Episode

FILES = {"boathouse": "boathouse.vtt", "potting-shed": "potting-shed.srt", "late-kitchen": "late-kitchen.json",
         "attic": "attic.txt"}  # fmt: skip
Amount = tuple[float | None, str | None] | None


@pytest.fixture(scope="module")
def read() -> dict[str, Episode]:
    root = Path(__file__).resolve().parents[2] / "samples"
    return {name: draft(root / name / file) for name, file in FILES.items()}


DRINKS = [
    ("boathouse", "Third Lantern", {
        "rye whiskey": (2, "fl_oz"), "lemon juice": (0.75, "fl_oz"), "falernum": (0.5, "fl_oz"),
        "honey syrup": (0.5, "fl_oz"), "aromatic bitters": (2, "dash"),
    }),
    ("boathouse", "Low Tide Letter", {
        "aged rum": (1.5, "fl_oz"), "oloroso sherry": (1, "fl_oz"), "allspice dram": (0.25, "fl_oz"), "orgeat": None,
    }),
    ("potting-shed", "Beanpole", {
        "gin": (2, "fl_oz"), "lime juice": (0.75, "fl_oz"), "simple syrup": (0.75, "fl_oz"),
        "cucumber juice": (1, "fl_oz"), "salt": (1, "pinch"),
    }),
    ("potting-shed", "Wheelbarrow", {
        "tawny port": (1.5, "fl_oz"), "bourbon": (1, "fl_oz"), "falernum": (0.5, "fl_oz"),
        "allspice dram": (0.25, "fl_oz"), "aromatic bitters": (2, "dash"),
    }),
    ("late-kitchen", "Copper Kettle", {
        "ginger syrup": (30, "ml"), "lemon juice": (20, "ml"), "apple cider vinegar": (None, None),
        "strong black tea": (100, "ml"), "soda water": (None, "top"),
    }),
    ("late-kitchen", "Last Table", {"mezcal": (30, "ml"), "sweet vermouth": (30, "ml"), "aperitivo": (30, "ml")}),
    ("attic", "Eiderdown", {
        "lemon peels": (4, "piece"), "sugar": (1, "cup"), "cognac": (1, "bottle"), "lemon juice": (1, "cup"),
        "strong black tea": (2, "cup"), "orange liqueur": (0.5, "cup"), "pimento dram": (12, None),
        "sparkling wine": (1, "bottle"),
    }),
]  # fmt: skip


@pytest.mark.parametrize(("sample", "name", "wanted"), DRINKS)
def test_drink(sample: str, name: str, wanted: dict[str, Amount], read: dict[str, Episode]) -> None:
    drink = next((d for d in read[sample].drinks if d.name == name), None)
    assert drink is not None, f"{name} was not found"
    found = {i.name: None if i.amount is None else (i.amount.low, i.amount.unit) for i in drink.ingredients}
    assert found == wanted


@pytest.mark.parametrize(
    ("sample", "kind", "about"),
    [
        ("boathouse", "amount-missing", "orgeat"),
        ("boathouse", "elsewhere", "orgeat"),
        ("boathouse", "disclosure", "falernum"),
        ("potting-shed", "claim-mismatch", "episode"),
        ("late-kitchen", "amount-vague", "apple cider vinegar"),
        ("attic", "unit-missing", "pimento dram"),
        ("attic", "choice-open", "cognac"),
    ],
)  # fmt: skip
def test_question(sample: str, kind: str, about: str, read: dict[str, Episode]) -> None:
    assert (kind, about) in [(q.kind, q.about) for q in read[sample].questions]


@pytest.mark.parametrize(
    ("sample", "kind"),
    [
        ("late-kitchen", "claim-mismatch"),
        ("attic", "amount-conflict"),
        ("boathouse", "amount-conflict"),
        ("potting-shed", "name-unsure"),
    ],
)
def test_needless_question(sample: str, kind: str, read: dict[str, Episode]) -> None:
    assert kind not in [q.kind for q in read[sample].questions]


@pytest.mark.parametrize(
    ("heard", "written"),
    [("tawny pork", "tawny port"), ("fuller num", "falernum"), ("allspice drum", "allspice dram"),
     ("arrow matic bitters", "aromatic bitters")],
)  # fmt: skip
def test_misheard_name_is_put_right(heard: str, written: str, read: dict[str, Episode]) -> None:
    assert (heard, written) in [(c.heard, c.written) for c in read["potting-shed"].corrections if c.applied]


@pytest.mark.parametrize("sample", ["boathouse", "late-kitchen", "attic"])
def test_right_names_are_left_alone(sample: str, read: dict[str, Episode]) -> None:
    assert [c.heard for c in read[sample].corrections if c.applied] == []
