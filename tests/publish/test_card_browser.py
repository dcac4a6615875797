"""The cards in headless Chromium: one page of print, nothing outside of a phone's width, no label over another."""

from __future__ import annotations

import io
import itertools
from pathlib import Path

import pytest
from publish_browser import CHROMIUM, measure, print_pages
from publish_kit import LEXICON, TABLES, crowd, drink, episode, ingredient, pier_light
from test_cards import CARDS, NASTY, made

from extractor.publish.card_html import card_html
from extractor.publish.sheet import sheet

pypdf = pytest.importorskip("pypdf")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not here")


@pytest.mark.parametrize("page", ["letter", "a4"])
@pytest.mark.parametrize("name", ["pier-light", "low-tide", "pier-light-for-8", "fog-signal-open", "crowd"])
def test_it_prints_on_one_page(name: str, page: str, tmp_path: Path) -> None:
    found = made(crowd(), episode(crowd())) if name == "crowd" else CARDS[name]()
    data = print_pages(card_html(found, TABLES, page=page), tmp_path)  # type: ignore[arg-type]
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert len(reader.pages) == 1
    text = "".join(reader.pages[0].extract_text().split())
    for item in found.items:
        assert "".join(item.name.split()) in text


def test_nothing_lies_outside_of_the_page_at_any_width(tmp_path: Path) -> None:
    word = drink(
        "Wordwithoutanyspacesthatgoesonandonandonandonandonandonandonandonandon",
        ingredient("Anotherwordwithoutanyspacesthatgoesonandonandonandonandonandonandon", 1, "fl_oz"),
        ingredient(NASTY, 1.5, "fl_oz"),
        ingredient(
            "gin", None, None, said="a measure of the sort that my grandmother used to call a thoroughly decent one"
        ),
    )
    for number, found in enumerate(
        (
            made(pier_light()),
            made(crowd(), episode(crowd())),
            CARDS["fog-signal-open"](),
            sheet(word, episode(word), LEXICON, TABLES),
        )
    ):
        folder = tmp_path / str(number)
        folder.mkdir()
        for seen in measure(card_html(found, TABLES), folder, (320, 360, 414, 768, 1200)):
            assert seen["over"] == [], (found.title, seen["width"])
            assert seen["scroll"] <= seen["width"]  # type: ignore[operator]


@pytest.mark.parametrize("name", ["pier", "crowd"])
def test_labels_of_the_picture_lie_in_it_and_not_over_each_other(name: str, tmp_path: Path) -> None:
    one = pier_light() if name == "pier" else crowd()
    (seen,) = measure(card_html(made(one, episode(one)), TABLES), tmp_path, (800,))
    texts: list[list[float]] = seen["texts"]  # type: ignore[assignment]
    box: list[float] = seen["box"]  # type: ignore[assignment]
    assert texts
    for x1, y1, x2, y2 in texts:
        assert x1 >= 0
        assert y1 >= -1
        assert x2 <= box[2] + 1
        assert y2 <= box[3] + 1
    # Letters of two lines may touch by their line boxes, never by a third of one.
    for a, b in itertools.pairwise(texts):
        assert b[1] >= a[3] - 4
