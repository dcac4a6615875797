"""The picture of the proportions: true to the amounts, complete in itself, legible without colour."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from publish_kit import LEXICON, crowd, ingredient, low_tide, pier_light

from extractor.publish.proportions import MOST_LAYERS, PATTERNS, bars, percent, proportions, svg
from extractor.record import Drink

NAMESPACE = {"s": "http://www.w3.org/2000/svg"}


def of(drink: Drink) -> object:
    return proportions(drink.ingredients, [i.name for i in drink.ingredients], LEXICON)


def test_shares_are_those_of_the_record() -> None:
    found = proportions(low_tide().ingredients, ["rye", "sherry", "maraschino", "saline"], LEXICON)
    assert [layer.name for layer in found.layers] == ["rye", "sherry", "maraschino"]
    # 50, 25 and a bar spoon of 2.46 ml (half a US teaspoon of 4.92892 ml, NIST SP 811), three drops on top.
    total = 50 + 25 + 4.92892159375 / 2
    assert abs(float(found.layers[0].share or 0) - 50 / total) < 0.005
    assert found.thin == ("saline",)


@given(st.lists(st.floats(0.25, 8).map(lambda x: round(x, 2)), min_size=2, max_size=30))
def test_all_that_is_measured_is_drawn_once(sizes: list[float]) -> None:
    lines = [ingredient("gin", size, "fl_oz") for size in sizes]
    names = [f"thing {n}" for n in range(len(lines))]
    found = proportions(lines, names, LEXICON)
    drawn = sum((layer.share or Fraction(0)) for layer in found.layers)
    thin = Fraction(0)
    whole = sum((Fraction(i.amount.millilitres.low) for i in lines if i.amount and i.amount.millilitres), Fraction(0))
    for name, i in zip(names, lines, strict=True):
        if name in found.thin and i.amount is not None and i.amount.millilitres is not None:
            thin += Fraction(i.amount.millilitres.low) / whole
    assert abs(drawn + thin - 1) < Fraction(1, 10**9)
    assert len(found.layers) <= MOST_LAYERS


def test_what_is_not_measured_is_named_and_not_drawn() -> None:
    lines = (
        ingredient("gin", 1, "fl_oz"),
        ingredient("lime juice", 1, "fl_oz"),
        ingredient("soda water", None, "top"),
        ingredient("sugar", none=True),
    )
    found = proportions(lines, ["gin", "lime juice", "soda water", "sugar"], LEXICON)
    assert found.unmeasured == ("sugar",)
    assert [(layer.name, layer.share is None) for layer in found.layers] == [
        ("soda water", True),
        ("gin", False),
        ("lime juice", False),
    ]


def test_parts_are_compared_as_parts() -> None:
    lines = (
        ingredient("gin", 3, "part"),
        ingredient("dry vermouth", 1, "part"),
        ingredient("orange bitters", 2, "dash"),
    )
    found = proportions(lines, ["gin", "vermouth", "bitters"], LEXICON)
    assert [(layer.name, layer.share) for layer in found.layers] == [
        ("gin", Fraction(3, 4)),
        ("vermouth", Fraction(1, 4)),
    ]
    assert found.unmeasured == ("bitters",)


def test_the_picture_is_well_formed_and_asks_for_nothing() -> None:
    for drink in (pier_light(), low_tide(), crowd()):
        found = proportions(drink.ingredients, [i.name for i in drink.ingredients], LEXICON)
        root = ET.fromstring(svg(found, title=drink.name))
        text = svg(found, title=drink.name)
        assert not re.search(r"href|url\(|<style|<script|<image|<foreignObject|@import", text)
        texts = ["".join(t.itertext()) for t in root.findall("s:text", NAMESPACE)]
        assert len(texts) == 2 * len(found.layers)
        for layer in found.layers:
            if layer.share is not None:
                assert percent(layer.share) in texts
        width, height = (float(x) for x in root.attrib["viewBox"].split()[2:])
        for t in root.findall("s:text", NAMESPACE):
            assert 0 <= float(t.attrib["y"]) <= height
            assert 0 <= float(t.attrib["x"]) < width
        ys = [float(t.attrib["y"]) for t in root.findall("s:text", NAMESPACE)]
        assert ys == sorted(ys)
        assert all(b - a >= 9 for a, b in itertools.pairwise(ys)), "labels lie over each other"


def test_layers_that_touch_have_different_patterns() -> None:
    assert len(set(PATTERNS)) == len(PATTERNS)
    assert len(PATTERNS) >= MOST_LAYERS


def test_heights_follow_the_shares() -> None:
    lines = (ingredient("gin", 3, "fl_oz"), ingredient("lime juice", 1, "fl_oz"))
    root = ET.fromstring(svg(proportions(lines, ["gin", "lime"], LEXICON), title="x"))
    heights = [float(r.attrib["height"]) for r in root.findall("s:rect", NAMESPACE) if r.attrib["fill"] == "none"]
    assert abs(heights[0] / heights[1] - 3) < 0.05


def test_foreign_names_are_only_text() -> None:
    lines = (ingredient("gin", 1, "fl_oz"), ingredient("rum", 1, "fl_oz"))
    text = svg(proportions(lines, ["<script>x</script>", '"&\x1b[31m'], LEXICON), title="</svg><script>")
    root = ET.fromstring(text)
    assert not root.findall(".//s:script", NAMESPACE)
    assert "\x1b" not in text


def test_bars_of_text_have_one_width() -> None:
    found = proportions(low_tide().ingredients, ["rye", "sherry", "maraschino", "saline"], LEXICON)
    rows = bars(found)
    assert len({row.index(name) for row, name in zip(rows, ("rye", "sherry", "maraschino"), strict=True)}) == 1
    assert rows[0].count("█") > rows[1].count("█") > rows[2].count("█") >= 1
