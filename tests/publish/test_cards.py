"""The cards: golden outputs that were looked at, every line in every format, gaps that cannot be missed, foreign text.

The golden cards are made from a record that is kept beside them (evening.json), so that they change with the writing
of cards and with nothing else. To write them anew after a change that is meant, and look at the difference:
`POURWORD_GOLDEN=write pytest tests/publish/test_cards.py`.
"""

from __future__ import annotations

import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markdown_it import MarkdownIt
from publish_kit import (
    LEXICON,
    TABLES,
    breakwater,
    crowd,
    drink,
    episode,
    evening,
    ingredient,
    low_tide,
    pier_light,
    question,
    step,
)

from extractor.publish.card_html import card_html
from extractor.publish.card_markdown import card_markdown
from extractor.publish.scaling import scale
from extractor.publish.sheet import Sheet, sheet
from extractor.record import Component, Drink, Episode

GOLDEN = Path(__file__).parent / "golden"
GIFT = "The honey was given to us free of charge."


def made(one: Drink, whole: Episode | None = None, **more: object) -> Sheet:
    return sheet(one, whole or evening(), LEXICON, TABLES, **more)  # type: ignore[arg-type]


def settled_not() -> Sheet:
    """A drink of which hardly anything is settled."""
    one = drink(
        "Fog Signal",
        ingredient("gin", none=True),
        ingredient("lemon juice", 2, None),
        ingredient("falernum", 0.5, "fl_oz"),
        ingredient("cinnamon syrup", 0.5, "fl_oz"),
        ingredient("soda water", none=True, optional=True),
        components=(Component(name="cinnamon syrup", kind="syrup", elsewhere="the recipe is in the description"),),
    )
    asked = (
        question("amount-missing", "Fog Signal", "gin", text="How much gin goes into it?"),
        question("unit-missing", "Fog Signal", "lemon juice", text="Two what of lemon juice?"),
        question("amount-conflict", "Fog Signal", "falernum", text="Half an ounce or three quarters?"),
        question("glass-missing", "Fog Signal", "Fog Signal", blocking=False, text="In which glass?"),
        question("disclosure", "Fog Signal", "falernum", text="The falernum was sent by a friend. How is that told?"),
    )
    return made(one, episode(one, questions=asked), mark_open=True)


def multiplied() -> Sheet:
    found = scale(pier_light(), LEXICON, TABLES, servings=8)
    return made(found.drink, subtitle=found.title, remarks=found.remarks)


def bottled() -> Sheet:
    found = scale(pier_light(), LEXICON, TABLES, litres=3)
    return made(found.drink, subtitle=found.title, remarks=found.remarks)


CARDS = {
    "pier-light": lambda: made(pier_light(), evening(disclosures=(GIFT,))),
    "low-tide": lambda: made(low_tide()),
    "breakwater": lambda: made(breakwater()),
    "fog-signal-open": settled_not,
    "pier-light-for-8": multiplied,
    "pier-light-3-litres": bottled,
}


def golden(name: str) -> Sheet:
    whole = Episode.model_validate_json((GOLDEN / "evening.json").read_text(encoding="utf-8"))
    first = whole.drinks[0]
    if name.startswith("pier-light-"):
        wanted: dict[str, float] = {"servings": 8} if name.endswith("8") else {"litres": 3}
        found = scale(first, LEXICON, TABLES, **wanted)  # type: ignore[arg-type]
        return made(found.drink, whole, subtitle=found.title, remarks=found.remarks)
    one = next(d for d in whole.drinks if d.name.lower().replace(" ", "-") == name.removesuffix("-open"))
    return made(one, whole, mark_open=name.endswith("-open"))


@pytest.mark.parametrize("name", CARDS)
@pytest.mark.parametrize("ending", ["md", "html"])
def test_golden_cards(name: str, ending: str) -> None:
    one = golden(name)
    text = card_markdown(one, TABLES) if ending == "md" else card_html(one, TABLES)
    path = GOLDEN / f"{name}.{ending}"
    if os.environ.get("POURWORD_GOLDEN") == "write":
        path.write_text(text, encoding="utf-8")
    assert text == path.read_text(encoding="utf-8")


class Reader(HTMLParser):
    """The text of a page by element, and every address and handler in it."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.steps: list[str] = []
        self.body = ""
        self.tags: list[str] = []
        self.asks: list[str] = []
        self._open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self._open.append(tag)
        self.asks += [f"{k}={v}" for k, v in attrs if k in ("src", "href", "srcset", "action") or k.startswith("on")]
        if tag == "tr":
            self.rows.append([])
        if tag == "td":
            self.rows[-1].append("")
        if tag == "li" and "ol" in self._open:
            self.steps.append("")

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if "style" in self._open or "script" in self._open:
            return
        self.body += data
        if "td" in self._open:
            self.rows[-1][-1] += data
        if "li" in self._open and "ol" in self._open:
            self.steps[-1] += data


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    return reader


def squeezed(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("one", [pier_light(), low_tide(), breakwater(), crowd()], ids=lambda d: d.name[:12])
def test_every_line_of_the_record_is_on_both_cards(one: Drink) -> None:
    found = made(one, episode(one))
    page = read(card_html(found, TABLES))
    rows = [squeezed(" ".join(r)) for r in page.rows if r]
    lines = [*found.items, *(i for part in found.home_made for i in part.items)]
    assert len(rows) == len(lines) == len(one.ingredients) + sum(len(c.ingredients) for c in one.components)
    for row, item in zip(rows, lines, strict=True):
        expected = squeezed(f"{item.shown.ounces} {item.shown.metric} {', '.join((item.name, *item.details))}")
        assert row == expected
    assert [squeezed(s) for s in page.steps] == [
        s.text for s in (*found.steps, *(s for p in found.home_made for s in p.steps))
    ]
    tokens = MarkdownIt("commonmark").enable("table").parse(card_markdown(found, TABLES))
    cells = [t for t in tokens if t.type == "td_open"]
    assert len(cells) == 3 * len(lines)
    shown = squeezed(MarkdownIt("commonmark").enable("table").render(card_markdown(found, TABLES)))
    text = squeezed(read(shown).body)
    for item in lines:
        assert item.name in text
        assert item.shown.ounces in text
        assert item.shown.metric in text


def test_a_gap_cannot_be_missed() -> None:
    found = settled_not()
    for text in (read(card_html(found, TABLES)).body, card_markdown(found, TABLES).replace("\\", "")):
        for gap in (
            "[AMOUNT NOT SAID — ask]",
            "[UNIT NOT SAID — ask]",
            "[TWO AMOUNTS WERE SAID — ask]",
            "[GLASS NOT SAID — ask]",
            "[DISCLOSURE NOT SETTLED: falernum — ask]",
            "[RECIPE PROMISED, NOT GIVEN YET — ask]",
            "[HOW IT IS MIXED NOT SAID — ask]",
        ):
            assert gap in text
        for asked in ("How much gin goes into it?", "Two what of lemon juice?", "Half an ounce or three quarters?"):
            assert asked in text


def test_what_the_record_leaves_empty_is_marked_though_nobody_asks() -> None:
    one = drink("Bare", ingredient("gin", none=True), ingredient("sugar", 2, None))
    found = made(one, episode(one))
    assert found.items[0].gaps == ("[AMOUNT NOT SAID — ask]",)
    assert found.items[1].gaps == ("[UNIT NOT SAID — ask]",)
    assert "[HOW IT IS MIXED NOT SAID — ask]" in found.gaps


def test_a_drink_without_anything_still_says_so() -> None:
    one = drink("", figures=False)
    text = card_markdown(made(one, episode(one)), TABLES).replace("\\", "")
    assert "[DRINK WITHOUT A NAME — ask]" in text
    assert "[NO INGREDIENTS KNOWN — ask]" in text


def test_notes_that_are_not_for_the_public_are_left_out() -> None:
    one = drink(
        "Kept",
        ingredient("gin", 1, "fl_oz", notes=("by hand: amount 1 oz", "unit carried over: fl_oz", "chilled")),
        notes=("by hand: glass coupe",),
        mixing=("stir",),
    )
    for text in (card_markdown(made(one, episode(one)), TABLES), card_html(made(one, episode(one)), TABLES)):
        assert "by hand" not in text
        assert "carried over" not in text
        assert "chilled" in text


NASTY = '<script>alert("1")</script> | *x* [y](javascript:z) \x1b[31m \u202eevil'


def test_foreign_text_is_only_text_on_the_cards() -> None:
    one = drink(
        NASTY,
        ingredient(NASTY, 1, "fl_oz", notes=(NASTY,), alternatives=(NASTY,)),
        ingredient("gin", None, None, said=NASTY),
        glass=NASTY,
        ice=NASTY,
        garnishes=(ingredient(NASTY, 1, "piece"),),
        steps=(step(NASTY),),
        components=(Component(name=NASTY, kind="other", ingredients=(ingredient(NASTY, 1, "g"),), notes=(NASTY,)),),
        notes=(NASTY,),
    )
    asked = (question("name-unsure", NASTY, NASTY, text=NASTY),)
    found = made(
        one, episode(one, questions=asked, disclosures=(NASTY,)), mark_open=True, subtitle=NASTY, remarks=(NASTY,)
    )
    page = card_html(found, TABLES)
    reader = read(page)
    assert "script" not in reader.tags
    assert reader.asks == []
    assert reader.body.count('<script>alert("1")</script>') >= 12
    shown = read(MarkdownIt("commonmark").enable(["table", "strikethrough"]).render(card_markdown(found, TABLES)))
    assert not {"script", "a", "img"} & set(shown.tags)
    assert shown.body.count("javascript:z") >= 12
    for text in (page, card_markdown(found, TABLES)):
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text)


def test_a_page_asks_for_nothing_from_outside() -> None:
    page = card_html(made(pier_light()), TABLES)
    assert read(page).asks == []
    assert not re.search(r"url\(|@import|@font-face|<link|<script", page)


def test_the_said_measure_is_the_bold_one() -> None:
    rows = re.findall(
        r'<td class="measure( said)?">([^<]*)</td>\s*<td class="measure( said)?">([^<]*)</td>',
        card_html(made(low_tide()), TABLES),
    )
    assert rows[0] == ("", "1⅔ oz", " said", "50 ml")
    rows = re.findall(
        r'<td class="measure( said)?">([^<]*)</td>\s*<td class="measure( said)?">([^<]*)</td>',
        card_html(made(pier_light()), TABLES),
    )
    assert rows[0] == (" said", "1¾ oz", "", "52.5 ml")


def test_allergens_are_those_of_the_figures_and_the_unknown_is_named() -> None:
    one = drink("Odd", ingredient("egg white", 1, "piece"), ingredient("moonweed tincture", 1, "dash"))
    lines = made(one, episode(one)).allergens.lines()
    assert lines[0] == "Contains eggs (egg white)."
    assert "Allergens not known of: moonweed tincture." in lines
    assert made(drink("Odd", ingredient("gin", 1, "fl_oz"), figures=False)).allergens.lines() == (
        "Allergens: not looked up.",
    )


def test_alcohol_is_assumed_where_it_is_not_known() -> None:
    odd = drink("Odd", ingredient("moonweed tincture", 1, "fl_oz"), figures=False)
    assert made(odd, episode(odd)).age_line is not None
    dry = drink("Dry", ingredient("lime juice", 1, "fl_oz"), ingredient("soda water", 3, "fl_oz"), figures=False)
    assert made(dry, episode(dry)).age_line is None
    assert made(breakwater()).age_line is None
    assert made(pier_light()).age_line is not None


def test_a_home_made_thing_of_another_drink_comes_along() -> None:
    other = drink(
        "Second", ingredient("our honey syrup", 0.5, "fl_oz"), ingredient("gin", 2, "fl_oz"), mixing=("stir",)
    )
    found = made(other, episode(pier_light(), other))
    assert [p.name for p in found.home_made] == ["honey syrup"]
    assert [i.name for i in found.home_made[0].items] == ["honey", "hot water"]
