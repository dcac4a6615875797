"""The readable outputs: complete, in order, and safe whatever the captions say."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from view_kit import episode, ounces, printed, sheets

from extractor.lexicon import load_lexicon
from extractor.pipeline import with_figures
from extractor.record import Correction, Episode, Range
from extractor.units import load_units
from extractor.view import draft_markdown, excerpt, questions_markdown
from extractor.view.lines import fixes
from extractor.visible import clock

CONTROL = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]")
STYLE = re.compile(r"\x1b\[[0-9;]*m")
"""Select Graphic Rendition of ECMA-48: the one thing that a terminal is told."""
HOSTILE = (
    "\x1b[2J\x1b]0;owned\x07", "\x1b]8;;http://x.example\x1b\\here\x1b]8;;\x1b\\", "\x9b31mred", "a\rb\x08c\x00d",
    "[bold red]x[/]", "[link=http://x.example]x[/link]", ":skull:", "\u202egnp.exe", "\ud800",
    "<script>alert(1)</script>", "[x](javascript:alert(1))", "![x](http://x.example/p)", "|a|b|", "`rm -rf`",
    "# head", "1. one", "- two", "&lt;b&gt;", "http://x.example", "www.x.example", "*a* _b_ ~~c~~", "$x$", "^[note]",
)  # fmt: skip
WORDS = st.one_of(st.sampled_from(HOSTILE), st.text(min_size=1, max_size=12))


def test_draft_says_everything_in_order() -> None:
    out = printed(with_figures(episode("Low Tide"), load_lexicon(), load_units()), width=240)
    places = [
        "Low Tide.vtt", "WebVTT, 12 captions, 1:30", "1 drink, 1 open question", "read Low Tide", "Low Tide  0:10",
        "heard “heard Low Tide”", "glass: glass Low Tide", "ice: ice Low Tide", "mixed: stir", "2 oz", "60 ml", "gin",
        "“two ounces Low Tide”", "oleo Low Tide", "[AMOUNT NOT SAID", "Garnish", "Method", "Home-made oleo Low Tide",
        "Strength", "Allergens", "Put right in the captions", "0:12 heard Low Tide → right Low Tide", "Left as heard",
        "0:40 heard Low Tide may be right Low Tide", "given by Low Tide", "Questions",
        "1 0:12 · Low Tide · must be answered", "How much Low Tide?", "Answered before, but “2 oz Low Tide”",
        "1) 1 oz Low Tide (usual Low Tide)",
    ]  # fmt: skip
    at = 0
    for words in places:
        found = out.find(words, at)
        assert found >= 0, f"{words!r} is missing behind {out[max(0, at - 40) : at]!r}"
        at = found


def test_every_ingredient_stands_in_both_drafts() -> None:
    record = episode("Tide")
    for out in (printed(record), draft_markdown(record, sheets(record))):
        for name in ("gin", "oleo Tide", "peel Tide", "sugar Tide"):
            assert name in out


@given(WORDS)
@settings(deadline=None, max_examples=60)
@example("\x1b[31m")
def test_nothing_in_the_captions_commands_a_terminal(word: str) -> None:
    record = episode(word)
    assert not CONTROL.search(printed(record))
    sent = STYLE.sub("", printed(record, terminal=True))
    assert not CONTROL.search(sent)


@given(WORDS)
@settings(deadline=None, max_examples=60)
def test_nothing_in_the_captions_is_mark_up(word: str) -> None:
    """Read by a general CommonMark library with tables: the words are text, never HTML, a link, a picture or code."""
    record = episode(word)
    allowed = {"code_inline"}
    for text in (draft_markdown(record, sheets(record)), questions_markdown(record, lambda _: word)):
        assert not CONTROL.search(text)
        tokens = (
            MarkdownIt("commonmark", {"html": True, "linkify": False}).enable(["table", "strikethrough"]).parse(text)
        )
        found = {t.type for t in tokens} | {c.type for t in tokens for c in t.children or ()}
        assert not found & {"html_block", "html_inline", "link_open", "image", "fence", "code_block", "s_open", "hr"}
        code = [c.content for t in tokens for c in t.children or () if c.type in allowed]
        assert set(code) <= {
            "pourword draft", "pourword confirm", "pourword questions --write", "pourword confirm --answers",
        }  # fmt: skip


@pytest.mark.parametrize(
    ("second", "said"), [(None, ""), (0, "0:00"), (75.9, "1:15"), (3599, "59:59"), (3723, "1:02:03"), (-4, "0:00")]
)
def test_clock(second: float | None, said: str) -> None:
    assert clock(second) == said


def test_the_same_correction_is_told_once_with_all_its_times() -> None:
    def fix(at_s: float, applied: bool) -> Correction:
        return Correction(
            heard="fuller num", written="falernum", start_s=at_s, end_s=at_s + 1, confidence=0.9, applied=applied,
            first_word=0, last_word=1,
        )  # fmt: skip

    applied, left = fixes([fix(5, True), fix(65, True), fix(70, False)])
    assert [(f.heard, f.at) for f in applied] == [("fuller num", ("0:05", "1:05"))]
    assert [(f.heard, f.at) for f in left] == [("fuller num", ("1:10",))]


def test_a_range_and_a_vague_amount_show_what_was_said() -> None:
    record = episode("Tide")
    drink = record.drinks[0]
    amount = ounces(1, "twenty to twenty-five mil").model_copy(
        update={"low": 20.0, "high": 25.0, "unit": "ml", "millilitres": Range(low=20, high=25)}
    )
    gin = drink.ingredients[0].model_copy(update={"amount": amount})
    vague = drink.ingredients[1].model_copy(
        update={"amount": amount.model_copy(update={"low": None, "high": None, "unit": None, "millilitres": None,
                                                    "said": "a glug"})}
    )  # fmt: skip
    changed = record.model_copy(update={"drinks": (drink.model_copy(update={"ingredients": (gin, vague)}),)})
    out = printed(changed)
    assert "20–25 ml" in out
    assert "“twenty to twenty-five mil”" in out
    assert "“a glug”" in out


def test_nothing_open_is_said() -> None:
    record = episode().model_copy(update={"questions": ()})
    assert "Nothing is left to ask." in printed(record)
    assert "no open questions" in printed(record).lower()
    assert "##" not in questions_markdown(record)


def test_empty_episode_is_shown() -> None:
    record = Episode.model_validate({"source": {"path": None, "kind": "plain-text", "duration_s": None, "cues": 1}})
    out = printed(record, ())
    assert "standard input" in out
    assert "0 drinks" in out


def test_excerpt_marks_the_words_in_question() -> None:
    from extractor.pipeline import draft_stages

    talk = (
        "The first one is called Pale Harbour. Two ounces of gin, half an ounce of lemon juice, and then add the "
        "orgeat. Shake it and strain it into a coupe."
    )
    record, read, _ = draft_stages(talk)
    question = next(q for q in record.questions if q.kind == "amount-missing")
    shown = excerpt(question, read)
    assert "[orgeat]." in shown
    assert shown.replace("[", "").replace("]", "").strip("… ") in talk
    far = question.model_copy(update={"evidence": question.evidence.model_copy(update={"text": "never said"})})  # type: ignore[union-attr]
    assert excerpt(far, read) == "[never said]"
    assert excerpt(question.model_copy(update={"evidence": None}), read) == ""
