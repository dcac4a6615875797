"""Foreign text in every format, held against general readers of each: markdown-it-py (CommonMark), Python's html and
json."""

from __future__ import annotations

import html as standard_html
import json
import unicodedata
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from extractor.publish.safe_text import description, html, json_in_html
from extractor.visible import line, lines, markdown

NASTY = [
    "<script>alert(1)</script>",
    "</script><img src=x onerror=alert(1)>",
    '" onmouseover="x',
    "&lt;b&gt; &amp; &#x3c;",
    "[a](javascript:alert(1)) ![b](http://x.example/y.png)",
    "`code` *a* _b_ **c** ~~d~~ | e | #f @g $h$ ==i==",
    "http://x.example www.x.example me@x.example",
    "1. one",
    "1986. A great year",
    "- a",
    "+ a",
    "> a",
    "# a",
    "=== ",
    "---",
    "***",
    "\\",
    "a\\",
    "\x1b[31mred\x1b[0m\x07\x9b31m",
    "gin \u202egnp.exe\u202c and \u2066more\u2069",
    "a\u2028b\u2029c\x85d\r\ne\tf\x0bg",
    "zero\u200bwidth\ufeff\u00ad\u2060",
    "Piña colada, Crème, Größe, 酒, चाय, 👩\u200d🍳",
    "\ud800 half",
    "{{ 7 * 7 }} {% raw %} {x}",
    "<!-- a --> ]]> <![CDATA[",
    "0:00 A chapter that is none",
]
TEXT = st.one_of(
    st.text(max_size=60), st.sampled_from(NASTY), st.lists(st.sampled_from(NASTY), max_size=3).map(" ".join)
)


class _Text(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.text, self.tags = "", []

    def handle_data(self, data: str) -> None:
        self.text += data

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, attrs))


def read_html(text: str) -> tuple[str, list[str]]:
    reader = _Text()
    reader.feed(text)
    reader.close()
    return reader.text, [tag for tag, _ in reader.tags]


@given(TEXT)
def test_a_line_is_one_line_of_visible_text(text: str) -> None:
    out = line(text)
    assert out == line(out)
    assert out == " ".join(out.split())
    for c in out:
        # Unicode 15, general categories: controls, surrogates, unassigned, private; formats but for the joiners.
        assert unicodedata.category(c) not in ("Cc", "Cs", "Cn", "Co", "Zl", "Zp")
        assert unicodedata.category(c) != "Cf" or c in "\u200c\u200d"


def test_words_of_any_script_stay_as_they_are() -> None:
    text = "Piña colada, Crème, Größe, 酒, चाय क्‍ष, 👩\u200d🍳, ½ oz"
    assert line(text) == text


def test_an_override_of_direction_does_not_get_through() -> None:
    # Unicode Standard Annex #9: these are the explicit directional controls.
    for code in (0x202A, 0x202B, 0x202C, 0x202D, 0x202E, 0x2066, 0x2067, 0x2068, 0x2069, 0x200E, 0x200F, 0x061C):
        assert line(f"a{chr(code)}b") == "ab"


@given(TEXT)
def test_markdown_shows_the_very_words_and_makes_nothing_of_them(text: str) -> None:
    reader = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    shown, tags = read_html(reader.render(markdown(text)))
    assert shown.strip("\n") == line(text)
    assert set(tags) <= {"p"}


@given(TEXT)
def test_markdown_in_the_middle_of_a_table_cell(text: str) -> None:
    reader = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    tokens = reader.parse(f"| a | b |\n| :-- | :-- |\n| x {markdown(text)} | y |\n")
    cells = [t.content for t in tokens if t.type == "inline"]
    assert len(cells) == 4
    assert read_html(reader.renderInline(cells[2]))[0] == f"x {line(text)}".rstrip()


def test_markdown_makes_no_link_of_a_bare_address() -> None:
    """Extended autolinks of GitHub Flavored Markdown 0.29, 6.9, as far as linkify-like readers act on plain text."""
    for text in ("http://x.example/a", "www.x.example", "me@x.example"):
        assert text not in markdown(text)


def test_markdown_reads_well_where_there_is_nothing_to_escape() -> None:
    for text in (
        "1¾ oz (52.5 ml) gin, fresh",
        "Stir for 30 seconds.",
        "2-3 dashes; keep at 4 °C",
        "Time: 5 minutes",
        "1:03",
    ):
        assert markdown(text) == text


@given(TEXT)
def test_html_shows_the_very_words(text: str) -> None:
    assert read_html(f"<p title='{html(text)}'>{html(text)}</p>") == (line(text), ["p"])
    assert standard_html.unescape(html(text)) == line(text)


@given(
    st.recursive(
        TEXT, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXT, inner, max_size=3), max_leaves=5
    )
)
def test_json_is_the_same_value_and_safe_in_a_page(value: object) -> None:
    out = json_in_html(value)
    assert json.loads(out) == value
    # HTML Standard, 4.12.1.3 (contents of script elements); ECMAScript before 2019 for U+2028 and U+2029.
    assert not set("<>&\u2028\u2029") & set(out)


def test_numbers_that_json_has_not_are_refused() -> None:
    with pytest.raises(ValueError):
        json_in_html({"a": float("nan")})


@given(TEXT)
def test_no_control_code_reaches_a_terminal(text: str) -> None:
    # ECMA-48: C0, DEL and C1.
    assert not [c for c in lines(text) if c != "\n" and (ord(c) < 32 or 127 <= ord(c) < 160)]


@given(TEXT)
def test_a_description_has_no_angle_brackets(text: str) -> None:
    assert not set("<>") & set(description(text))
