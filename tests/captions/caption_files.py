"""Caption files made at random, that know which of their characters are which spoken word.

A file is a list of parts: a string stands as it is; a `Cut` is a stretch of a spoken word, in the form in which the
file has it. So the file with a word replaced can be written down without the code under test.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass

from hypothesis import assume
from hypothesis import strategies as st

Draw = Callable[[st.SearchStrategy], object]

CORES = ("gin", "lime", "Fuller", "num", "ounce", "café", "3/4", "it's", "naïve", "B", "two", "rinse", "日本")
MARKS = ("", "", "", ",", ".", "?", "!", "…")
NEW = ("falernum", "allspice", "dram", "curaçao", "orgeat", "x", "R&D", "7", "½", "a<b")


@dataclass(frozen=True)
class Cut:
    word: int
    raw: str
    first: bool = True
    """The stretch that holds the word when it is replaced; later stretches of the same copy then hold nothing."""
    literal: bool = False
    """Here nothing is escaped."""


@dataclass
class Made:
    kind: str
    parts: list[str | Cut]
    words: list[str]
    """As a viewer sees them."""
    escape: Callable[[str], str]
    encoding: str = "utf-8"

    def text(self, new: dict[int, str] | None = None) -> str:
        out = []
        for part in self.parts:
            if isinstance(part, str):
                out.append(part)
            elif new and part.word in new:
                text = new[part.word] if part.first else ""
                out.append(text if part.literal else self.escape(text))
            else:
                out.append(part.raw)
        return "".join(out)

    def data(self, new: dict[int, str] | None = None) -> bytes:
        return self.text(new).encode(self.encoding)


def xml_escape(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def plain(text: str) -> str:
    return text


class Maker:
    """Draws the words and parts of one file."""

    def __init__(self, draw: Draw, escape: Callable[[str], str], references: bool) -> None:
        self.draw = draw
        self.escape = escape
        self.references = references
        self.words: list[str] = []
        self.parts: list[str | Cut] = []

    def choose(self, *options: str) -> str:
        return str(self.draw(st.sampled_from(options)))

    def number(self, low: int, high: int) -> int:
        return int(str(self.draw(st.integers(low, high))))

    def word(self) -> int:
        """A new spoken word; its number in it keeps it from being like another by chance."""
        core = self.choose(*CORES)
        self.words.append(f"{core}{len(self.words)}{self.choose(*MARKS)}")
        return len(self.words) - 1

    def raw(self, text: str) -> str:
        """The text in one of the ways in which the file may hold it."""
        out = self.escape(text)
        if self.references and "é" in out:
            out = out.replace("é", self.choose("é", "&#233;", "&#xE9;"))
        return out

    def put(self, word: int, cut: tuple[str, ...] = ()) -> None:
        """One copy of a word, cut by `cut` (tags) where its letters allow it."""
        text = self.words[word]
        if cut and len(text) > len(cut) + 1 and "&" not in self.escape(text):
            self.parts.append(Cut(word, text[0]))
            at = 1
            for n, tag in enumerate(cut):
                end = at + 1 if n + 1 < len(cut) else len(text)
                self.parts += [tag, Cut(word, text[at:end], first=False)]
                at = end
        else:
            self.parts.append(Cut(word, self.raw(text)))


def clock(ms: int, point: str, hours: bool = True) -> str:
    head = f"{ms // 3600000:02}:" if hours or ms >= 3600000 else ""
    return f"{head}{ms // 60000 % 60:02}:{ms // 1000 % 60:02}{point}{ms % 1000:03}"


@st.composite
def webvtt_files(draw: Draw) -> Made:
    make = Maker(draw, xml_escape, references=True)
    parts = make.parts
    parts.append(make.choose("", "\ufeff") + "WEBVTT" + make.choose("", " a title", "\tx") + "\n")
    parts.append(make.choose("", "Kind: captions\nLanguage: en\n") + "\n")
    parts.append(make.choose("", "STYLE\n::cue { color: red }\n\n", "REGION\nid:a width:40%\n\n", "NOTE gin, lime\n\n"))
    hours = make.choose("yes", "no") == "yes"
    at = 0
    for n in range(make.number(1, 6)):
        parts.append(make.choose("", "", "NOTE two\nlines of it\n\n", "\n\n"))
        parts.append(make.choose("", f"{n}\n", f"id-{n} gin\n", "NOTE this is an id\n"))
        end = at + make.number(0, 4000)
        settings = make.choose("", " align:start position:0%", "  line:90%,end region:a")
        parts.append(f"{clock(at, '.', hours)} --> {clock(end, '.', hours)}{settings}\n")
        voice = make.choose("", "", "<v Ann>", "<v.loud Bo &amp; Co>")
        parts.append(voice)
        for row in range(make.number(1, 3)):
            if row:
                parts.append("\n")
            if make.choose("no", "no", "yes") == "yes":
                parts.append(" ")
            for k in range(make.number(1, 4)):
                if k:
                    parts.append(make.choose(" ", " ", "  ", "\t", "&nbsp;", "<c> </c>"))
                tag = make.choose("", "", "", "i", "c.yellow", "b", f"{clock(at + 1, '.', hours)}")
                stamp = tag[:1].isdigit()
                parts.append(f"<{tag}>" if tag else "")
                make.put(make.word(), draw(st.sampled_from([(), (), ("<c>",), ("</c><c>", f"<{clock(at + 2, '.')}>")])))
                parts.append("</c>" if tag.startswith("c") else f"</{tag}>" if tag and not stamp else "")
        parts.append("\n\n")
        at = end + make.number(0, 2000)
    return _finished(draw, Made("webvtt", parts, make.words, xml_escape))


@st.composite
def subrip_files(draw: Draw) -> Made:
    make = Maker(draw, plain, references=False)
    parts = make.parts
    parts.append(make.choose("", "\ufeff"))
    at = 0
    point = make.choose(",", ",", ".")
    indexed = make.choose("yes", "yes", "no")
    for n in range(make.number(1, 6)):
        end = at + make.number(0, 4000)
        parts.append(f"{n + 1}\n" if indexed == "yes" else "")
        tail = make.choose("", "", " X1:0 X2:99 Y1:1 Y2:2")
        parts.append(f"{clock(at, point)} --> {clock(end, point)}{tail}\n")
        for row in range(make.number(1, 3)):
            if row:
                parts.append("\n")
            tag = make.choose("", "", "i", 'font color="#ff0"')
            parts.append(make.choose("", "{\\an8}", "- ") if row == 0 and not tag else "")
            if parts[-1] == "- ":
                make.words.append("-")
                parts[-1:] = [Cut(len(make.words) - 1, "-"), " "]
            parts.append(f"<{tag}>" if tag else "")
            for k in range(make.number(1, 4)):
                if k:
                    parts.append(make.choose(" ", " ", "  "))
                make.put(make.word(), draw(st.sampled_from([(), (), ("<b>",)])))
            parts.append(f"</{tag[:4].strip()}>" if tag else "")
        parts.append(make.choose("\n\n", "\n\n", "\n\n\n", "\n"))
        at = end + make.number(0, 2000)
    return _finished(draw, Made("subrip", parts, make.words, plain))


@st.composite
def ttml_files(draw: Draw) -> Made:
    make = Maker(draw, xml_escape, references=True)
    parts = make.parts
    prefix = make.choose("", "tt:")
    name = f'xmlns{":tt" if prefix else ""}="http://www.w3.org/ns/ttml"'
    encoding = make.choose("utf-8", "utf-8", "utf-16")
    parts.append(f'<?xml version="1.0" encoding="{encoding}"?>\n<{prefix}tt {name} xml:lang="en">\n')
    parts.append(make.choose("", f"<{prefix}head><{prefix}metadata>gin</{prefix}metadata></{prefix}head>\n"))
    parts.append(f"<{prefix}body><{prefix}div>\n<!-- lime <p> -->\n")
    at = 0
    for n in range(make.number(1, 6)):
        end = at + make.number(1, 4000)
        times = make.choose(
            f'begin="{clock(at, ".")}" end="{clock(end, ".")}"',
            f"begin='{at / 1000}s' end='{end / 1000}s'",
            f'begin="{at}ms" dur="{end - at}ms"',
        )
        parts.append(make.choose(f'<{prefix}p xml:id="p{n}" {times}>', f"<{prefix}p\n  {times} >"))
        for k in range(make.number(1, 7)):
            if k:
                parts.append(make.choose(" ", " ", f"<{prefix}br/>", "\n    ", f"{f'<{prefix}br />'}\n"))
            span = make.choose("", "", f'<{prefix}span begin="0.1s">', f"<{prefix}span style='s'>", "<![CDATA[")
            parts.append(span)
            if span.startswith("<!"):
                word = make.word()
                parts.append(Cut(word, make.words[word], literal=True))
                parts += ["]]>", "<!-- & -->"]
                continue
            make.put(make.word(), draw(st.sampled_from([(), (), ("<!-- x -->",), (f"<{prefix}span></{prefix}span>",)])))
            parts.append(f"</{prefix}span>" if span else "")
        parts.append(f"</{prefix}p>\n")
        at = end
    parts.append(f"</{prefix}div></{prefix}body>\n</{prefix}tt>\n")
    made = _finished(draw, Made("ttml", parts, make.words, xml_escape))
    made.encoding = encoding
    return made


@st.composite
def timed_text_files(draw: Draw) -> Made:
    make = Maker(draw, plain, references=False)
    parts = make.parts
    shape = make.choose("[{}] ", "{} ", "{}\n", "{}\t", "({}) ", "[{} - {}] ", "{}: ")
    second = 0
    for _ in range(make.number(1, 6)):
        length = make.number(1, 40)
        parts.append(shape.format(_minutes(second), _minutes(second + length)))
        for k in range(make.number(1, 6)):
            if k:
                parts.append(make.choose(" ", " ", "  ") if "\t" in shape else make.choose(" ", "  ", "\n"))
            make.put(make.word())
        parts.append(make.choose("\n", "\n\n"))
        second += length
    return _finished(draw, Made("timed-text", parts, make.words, plain))


@st.composite
def plain_text_files(draw: Draw) -> Made:
    make = Maker(draw, plain, references=False)
    make.parts.append(make.choose("", "\ufeff", "\n\n"))
    for _ in range(make.number(1, 4)):
        for k in range(make.number(1, 8)):
            if k:
                make.parts.append(make.choose(" ", " ", "  ", "\n"))
            make.put(make.word())
        make.parts.append(make.choose("\n\n", "\n \n", "\n\n\n"))
    base = len(make.words)
    make.words += ["so", "that", "was", "talk,", "and", "this", "is", "the", "end", "of", "it"]
    for n in range(base, len(make.words)):
        make.parts += [Cut(n, make.words[n]), " "]
    letters = "".join(make.words)
    assume(sum(map(str.isalpha, letters)) > 0.6 * len(letters))  # mostly figures is no talk, and is refused
    return _finished(draw, Made("plain-text", make.parts, make.words, plain))


@st.composite
def segment_files(draw: Draw) -> Made:
    ascii_only = draw(st.booleans())

    def escape(text: str) -> str:
        return json.dumps(text, ensure_ascii=bool(ascii_only))[1:-1]

    make = Maker(draw, escape, references=False)
    parts = make.parts
    gap = make.choose(" ", "", "\n  ")
    lead = make.choose(" ", "")
    parts.append('{"language": "en",' + gap + '"segments":' + gap + "[")
    at = 0.0
    spoken: list[list[int]] = []
    listed = make.choose("yes", "no", "yes")
    for n in range(make.number(1, 5)):
        words = [make.word() for _ in range(make.number(1, 5))]
        spoken.append(words)
        parts.append("," + gap if n else "")
        parts.append(f'{{"id": {n},{gap}"start": {at}, "end": {at + len(words)}, "text": "{lead}')
        for k, word in enumerate(words):
            parts.append(" " if k else "")
            parts.append(Cut(word, escape(make.words[word])))
        parts.append('"')
        if listed == "yes":
            parts.append(f',{gap}"words": [')
            for k, word in enumerate(words):
                parts.append("," + gap if k else "")
                parts.append(f'{{"word": "{lead}')
                parts.append(Cut(word, escape(make.words[word])))
                times = make.choose(
                    f'"start": {at + k}, "end": {at + k + 0.5}', '"start": NaN, "end": NaN', '"score": 0.5'
                )
                parts.append(f'", {times}}}')
            parts.append("]")
        parts.append("}")
        at += len(words)
    parts.append("]")
    if make.choose("yes", "no") == "yes":
        parts.append(f',{gap}"text": "')
        for word in range(len(make.words)):
            parts += [" ", Cut(word, escape(make.words[word]))]
        parts.append('"')
    parts.append("}" + make.choose("", "\n"))
    made = Made("segments", parts, make.words, escape)
    if ascii_only and not made.text().isascii():
        raise AssertionError("the file was to be ASCII")
    if not ascii_only and made.text().isascii():
        made.escape = lambda text: json.dumps(text)[1:-1]
    return made


@st.composite
def rollup_files(draw: Draw) -> Made:
    """WebVTT in which two or three lines roll up, with word times or without, held between or not."""
    make = Maker(draw, xml_escape, references=False)
    parts = make.parts
    stamps = make.choose("yes", "no") == "yes"
    holds = make.choose("yes", "no") == "yes"
    depth = make.number(2, 3)
    parts.append("WEBVTT\nKind: captions\n\n")
    rows = [[make.word() for _ in range(make.number(2, 5))] for _ in range(make.number(4, 8))]
    at = 0
    for n, row in enumerate(rows):
        end = at + 2000
        parts.append(f"{clock(at, '.')} --> {clock(end, '.')} align:start position:0%\n")
        for old in rows[max(0, n - depth + 1) : n]:
            _line(make, old)
            parts.append("\n")
        if n == 0 and stamps:
            parts.append(" \n")
        for k, word in enumerate(row):
            if k and stamps:
                parts.append(f"<{clock(at + 300 * k, '.')}><c> ")
                make.put(word)
                parts.append("</c>")
            else:
                parts.append(" " if k else "")
                make.put(word)
        parts.append("\n\n")
        if holds:
            parts.append(f"{clock(end, '.')} --> {clock(end + 10, '.')} align:start position:0%\n")
            shown = rows[max(0, n - depth + 2) : n + 1]
            for k, old in enumerate(shown):
                parts.append("\n" if k else "")
                _line(make, old)
            parts.append("\n \n\n")
        at = end + (10 if holds else 0)
    return _finished(draw, Made("webvtt", parts, make.words, xml_escape))


def _line(make: Maker, row: list[int]) -> None:
    for k, word in enumerate(row):
        make.parts.append(" " if k else "")
        make.put(word)


def _minutes(second: int) -> str:
    return f"{second // 60}:{second % 60:02}"


def _finished(draw: Draw, made: Made) -> Made:
    """With the line ends and the encoding that the file has."""
    ending = draw(st.sampled_from(["\n", "\n", "\r\n", "\r"]))
    made.parts = [p.replace("\n", str(ending)) if isinstance(p, str) else p for p in made.parts]
    if made.text().startswith("\ufeff"):
        made.encoding = str(draw(st.sampled_from(["utf-8", "utf-16-le", "utf-16-be"])))
    return made


TEXTS = (webvtt_files(), subrip_files(), ttml_files(), timed_text_files(), plain_text_files())
ANY = st.one_of(*TEXTS, segment_files(), rollup_files())
