"""File names made of names of drinks: Windows' reserved names and POSIX limits are the outside rules."""

from __future__ import annotations

import unicodedata
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from extractor.publish.file_names import stem, stems

HARD = [
    "../../x",
    "..",
    ".",
    "",
    " ",
    "/etc/passwd",
    "C:\\x",
    "\\\\server\\share",
    "con",
    "CON",
    "Nul",
    "com1",
    "LPT9",
    "aux.txt",
    "a/b",
    "a\0b",
    "a\nb",
    "x" * 500,
    "é" * 300,
    "👩‍🍳" * 60,
    "‮gnp.exe",
    "...",
    "-rf",
    "~",
    '*?<>|:"',
    "Piña Colada",
    "İstanbul",
    "ﬁzz",
    "\u0301",
    "酒の海",
    "COM¹",
]
NAMES = st.one_of(st.text(max_size=40), st.sampled_from(HARD))
# Microsoft, "Naming Files, Paths, and Namespaces" (from memory): reserved with any ending.
DEVICES = {"con", "prn", "aux", "nul", *(f"com{n}" for n in "123456789¹²³"), *(f"lpt{n}" for n in "123456789¹²³")}


@given(NAMES)
def test_a_stem_is_one_harmless_name(name: str) -> None:
    out = stem(name)
    assert out
    assert len(f"{out}-for-1000.jsonld".encode()) <= 255
    assert PurePosixPath(out).parts == (out,)
    assert PureWindowsPath(f"{out}.html").parts == (f"{out}.html",)
    assert out.lower() not in DEVICES
    assert not out.startswith(("-", "."))
    assert not set(out) & set('<>:"/\\|?*.\0 ')
    assert out == unicodedata.normalize("NFC", out)
    assert all(unicodedata.category(c)[0] in "LNM" or c == "-" for c in out)


@given(st.lists(NAMES, max_size=8))
def test_no_two_meet_on_a_disk_that_folds_case_and_accents(names: list[str]) -> None:
    out = stems(names)
    assert len(out) == len(names)
    folded = [unicodedata.normalize("NFKD", s).casefold() for s in out]
    assert len(set(folded)) == len(folded)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Pier Light", "pier-light"),
        ("Piña on the Pier!", "piña-on-the-pier"),
        ("The Keeper's Number 2", "the-keepers-number-2"),
        ("../../x", "x"),
        ("", "drink"),
        ("CON", "drink-con"),
        ("酒の海", "酒の海"),
    ],
)
def test_names(name: str, expected: str) -> None:
    assert stem(name) == expected


@pytest.mark.parametrize("name", HARD)
def test_every_name_can_be_made_on_this_disk(name: str, tmp_path: Path) -> None:
    path = tmp_path / f"{stem(name)}.html"
    path.write_text("x")
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


def test_the_same_name_twice_gets_a_number() -> None:
    assert stems(["Low Tide", "low tide", "LOW-TIDE!"]) == ("low-tide", "low-tide-2", "low-tide-3")
