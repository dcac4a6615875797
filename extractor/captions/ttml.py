"""TTML: the paragraphs of a timed text document, with the places of their characters.

Source: W3C, Timed Text Markup Language 2 (TTML2), sections 8 (content), 10.3 and 12 (timing). Expat reads the document
and tells where each stretch of characters stands; times are the standard's clock times and offset times, relative to
the parent's begin, with frame and tick rates. Spans with times give their words' times.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from xml.parsers import expat

from extractor.captions.cues import Cue, Piece, Reading, line_number
from extractor.errors import CaptionError, Where

_NAMESPACES = ("http://www.w3.org/ns/ttml", "http://www.w3.org/2006/10/ttaf1", "http://www.w3.org/2006/04/ttaf1")
_XML_ID = "http://www.w3.org/XML/1998/namespace id"
_CLOCK = re.compile(r"([0-9]{2,12}):([0-9]{2}):([0-9]{2})(?:(\.[0-9]+)|:([0-9]{2,12})(?:\.([0-9]{1,12}))?)?")
_USUAL = re.compile(r"([0-9]{2,12}):([0-9]{2}):([0-9]{2})\.([0-9]{3})")
_OFFSET = re.compile(r"([0-9]{1,18}(?:\.[0-9]+)?)(h|ms|m|s|f|t)")
_LENIENT = re.compile(r"(?:([0-9]{1,12}):)?([0-9]{1,2}):([0-9]{1,2})[.,]([0-9]+)|([0-9]{1,18}(?:\.[0-9]+)?)")
_START_TAG = re.compile(r"""<[^<>"']*(?:"[^"]*"[^<>"']*|'[^']*'[^<>"']*)*>""")
_BREAK = re.compile(r"</?(?:[\w.-]+:)?br\b[^<>]*>")
_MARKUP = re.compile(
    r"<!--[\s\S]*?-->|<!\[CDATA\[([\s\S]*?)\]\]>|<\?[\s\S]*?\?>|&(#[0-9a-fA-FxX]+);|&(amp|lt|gt|quot|apos);"
    r"|(<(?:[\w.-]+:)?br\b[^<>]*>)|</[^<>]*>"
)
_ENTITIES = {"amp": "&", "lt": "<", "gt": ">", "quot": '"', "apos": "'"}
_HINT = "Give the captions as TTML (an XML document whose outermost element is tt), or in another caption format."


@dataclass(frozen=True, slots=True)
class _Rates:
    frame: float = 30.0
    subframe: float = 1.0
    tick: float = 1.0


@dataclass(slots=True)
class _Open:
    """An element that is open: its active time, and where its next child of a `seq` container begins."""

    name: str
    begin: float | None
    end: float | None
    seq: bool = False
    next_s: float = 0.0
    agent: str | None = None


@dataclass(slots=True)
class _Paragraph:
    offset: int
    begin: float | None
    end: float | None
    agent: str | None
    seq: bool | None
    """Whether its children follow each other; None once it stands among the open elements, for the first of them."""
    pieces: list[Piece] | None = None
    """None as long as it holds nothing but text and line breaks: then its text in the source tells all."""
    stamps: list[tuple[int, float, float, bool]] | None = None
    """Piece number, time relative to the paragraph, time as written, whether it ends something."""


make = tuple.__new__  # makes a named tuple at a third of the time


def seconds(value: str, rates: _Rates) -> float | None:
    """A TTML time expression in seconds; None where it is none."""
    m = _CLOCK.fullmatch(value)
    if m is not None:
        whole = int(m[1]) * 3600 + int(m[2]) * 60 + int(m[3])
        if m[4]:
            return round(whole + float(m[4]), 6)
        frames = int(m[5] or 0) + int(m[6] or 0) / rates.subframe
        return round(whole + frames / rates.frame, 6)
    m = _OFFSET.fullmatch(value)
    if m is not None:
        number = float(m[1])
        unit = {"h": 3600.0, "m": 60.0, "s": 1.0, "ms": 0.001, "f": 1 / rates.frame, "t": 1 / rates.tick}[m[2]]
        return round(number * unit, 6)
    return None


def _loose(value: str) -> float | None:
    """Times that the standard does not know but that files hold: no hours, a comma, a bare number of seconds."""
    m = _LENIENT.fullmatch(value.strip())
    if m is None:
        return None
    if m[5]:
        return float(m[5])
    return round(int(m[1] or 0) * 3600 + int(m[2]) * 60 + int(m[3]) + float(f"0.{m[4]}"), 6)


def _rates(attributes: Mapping[str, str]) -> _Rates:
    found = {}
    for name, value in attributes.items():
        space, _, local = name.rpartition(" ")
        if space.endswith(("#parameter", "#style-extension", "#parameters")) or not space:
            found[local] = value
    numbers = {k: float(v) for k, v in found.items() if re.fullmatch(r"[0-9]+(\.[0-9]+)?", v) and float(v) > 0}
    rate = numbers.get("frameRate", 30.0)
    multiplier = re.fullmatch(r"([0-9]+)[ :]+([0-9]+)", found.get("frameRateMultiplier", "1 1"))
    if multiplier is not None and int(multiplier[2]) and int(multiplier[1]):
        rate *= int(multiplier[1]) / int(multiplier[2])
    subframe = numbers.get("subFrameRate", 1.0)
    tick = numbers.get("tickRate", rate * subframe if "frameRate" in numbers else 1.0)
    return _Rates(rate, subframe, tick)


class _Reader:
    def __init__(self, source: str, path: str | None) -> None:
        self.source = source
        self.path = path
        self.data = source.encode("utf-8", "surrogatepass")
        self.ascii = len(self.data) == len(source)
        self.seen_byte = self.seen_char = 0
        self.cues: list[Cue] = []
        self.pieces: dict[int, list[Piece]] = {}
        self.cdata: list[int] = []
        self.notes: list[str] = []
        self.bad_times: list[tuple[int, str]] = []
        self.rates = _Rates()
        self.space = ""
        self.br, self.p = "br", "p"
        self.stack: list[_Open] = []
        self.paragraph: _Paragraph | None = None
        self.skip = 0
        self.agents_used = "agent" in source
        self.agents: dict[str, str] = {}
        self.agent: str | None = None
        self.agent_name: list[str] = []
        self.parser = parser = expat.ParserCreate("utf-8", " ")
        parser.buffer_text = False
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.EntityDeclHandler = self.entity
        parser.StartCdataSectionHandler = self.cdata_edge
        parser.EndCdataSectionHandler = self.cdata_edge

    def place(self) -> int:
        """Where the parser stands, as a place in the decoded text."""
        at = self.parser.CurrentByteIndex
        if self.ascii:
            return at
        self.seen_char += len(self.data[self.seen_byte : at].decode("utf-8", "surrogatepass"))
        self.seen_byte = at
        return self.seen_char

    def cdata_edge(self) -> None:
        self.cdata.append(self.place())

    def entity(self, *_: object) -> None:
        raise CaptionError(
            "The document declares entities of its own, which are not read.",
            where=Where(self.path, line_number(self.source, self.place())),
            hint="Write the document without a <!DOCTYPE ...> that declares entities.",
        )

    def start(self, name: str, attributes: dict[str, str]) -> None:
        stack = self.stack
        if not stack:
            self.root(name, attributes)
            return
        paragraph = self.paragraph
        if name == self.br and not self.skip:
            if paragraph is not None and paragraph.pieces is not None:
                paragraph.pieces.append(Piece("\n", self.place(), 0))
            return
        if paragraph is not None:
            self.detail(paragraph)
        if (name != self.p or self.skip) and (self.foreign(name, attributes) or self.skip):
            self.skip += 1
            return
        parent = stack[-1]
        if paragraph is not None and paragraph.seq is not None:
            begin = paragraph.begin
            parent = _Open(self.p, begin, paragraph.end, paragraph.seq, begin or 0.0, paragraph.agent)
            stack.append(parent)
            paragraph.seq = None
        begin, end = self.times(parent, attributes)
        agent = parent.agent
        if self.agents_used:
            for key, value in attributes.items():
                if key.endswith("#metadata agent"):
                    agent = value
        seq = attributes.get("timeContainer") == "seq"
        if name == self.p:
            self.paragraph = _Paragraph(self.place(), begin, end, agent, seq)
            return
        stack.append(_Open(name, begin, end, seq, begin or 0.0, agent))
        if paragraph is not None:
            if agent != parent.agent:
                self.detail(paragraph).append(Piece("", self.place(), 0, speaker=self.name_of(agent), turn=True))
            if "begin" in attributes and begin is not None:
                written = self.time(attributes["begin"])
                self.stamp(paragraph, begin, written or 0.0, False)

    def foreign(self, name: str, attributes: dict[str, str]) -> bool:
        """Whether an element is none of TTML's content; the names of agents are noted on the way."""
        space, _, local = name.rpartition(" ")
        if local == "agent" and space.endswith("#metadata"):
            self.agent = attributes.get(_XML_ID)
        elif local == "name" and space.endswith("#metadata") and self.agent:
            self.agent_name = []
            self.parser.CharacterDataHandler = self.agent_name.append
        return space != self.space or local == "metadata"

    def root(self, name: str, attributes: dict[str, str]) -> None:
        space, _, local = name.rpartition(" ")
        known = space in _NAMESPACES or "ttml" in space or "ttaf" in space or not space
        if local != "tt" or not known:
            kind = "a web page" if local.lower() == "html" else f"an XML document whose outermost element is <{local}>"
            raise CaptionError(
                f"This is {kind}; of XML, only TTML is read, whose outermost element is <tt>.",
                where=Where(self.path, line_number(self.source, self.place())),
                hint=_HINT,
            )
        self.space = space
        self.br, self.p = (f"{space} br", f"{space} p") if space else ("br", "p")
        self.rates = _rates(attributes)
        self.stack.append(_Open(name, None, None))

    def time(self, value: str) -> float | None:
        m = _USUAL.fullmatch(value)
        if m is not None:
            hours, minutes, secs, thousandths = m.groups()
            return ((int(hours) * 60 + int(minutes)) * 60000 + int(secs) * 1000 + int(thousandths)) / 1000
        out = seconds(value.strip(), self.rates)
        if out is None:
            self.bad_times.append((self.place(), value))
            out = _loose(value)
        return out

    def times(self, parent: _Open, attributes: dict[str, str]) -> tuple[float | None, float | None]:
        """The active times of an element: relative to its parent's begin, cut off at its parent's end."""
        if "begin" not in attributes and "end" not in attributes and "dur" not in attributes and not parent.seq:
            return parent.begin, parent.end
        if not parent.seq and parent.begin is None and parent.end is None and "dur" not in attributes:
            first = self.time(attributes["begin"]) if "begin" in attributes else None
            return first or 0.0, self.time(attributes["end"]) if "end" in attributes else None
        origin = parent.next_s if parent.seq else (parent.begin or 0.0)
        first = self.time(attributes["begin"]) if "begin" in attributes else None
        last = self.time(attributes["end"]) if "end" in attributes else None
        length = self.time(attributes["dur"]) if "dur" in attributes else None
        begin = round(origin + (first or 0.0), 6)
        ends = [round(origin + last, 6)] if last is not None else []
        if length is not None:
            ends.append(round(begin + length, 6))
        if parent.end is not None:
            ends.append(parent.end)
        end = min(ends) if ends else None
        if parent.seq and end is not None:
            parent.next_s = end
        return begin, end

    def end(self, name: str) -> None:
        if self.skip:
            self.skip -= 1
            if name.endswith("#metadata name") and self.agent:
                self.agents.setdefault(self.agent, " ".join("".join(self.agent_name).split()))
                self.parser.CharacterDataHandler = self.characters if self.paragraph else None
            return
        if name == self.br:
            return
        paragraph = self.paragraph
        if name == self.p and paragraph is not None:
            if paragraph.seq is None:
                self.stack.pop()
            self.parser.CharacterDataHandler = None
            self.paragraph = None
            self.close(paragraph)
            return
        closed = self.stack.pop()
        if paragraph is None:
            return
        parent = self.stack[-1]
        if closed.agent != parent.agent:
            self.detail(paragraph).append(Piece("", self.place(), 0, speaker=self.name_of(parent.agent), turn=True))
        if closed.end is not None and closed.end != parent.end:
            self.stamp(paragraph, closed.end, closed.end, True)

    def detail(self, paragraph: _Paragraph) -> list[Piece]:
        """The paragraph's pieces so far; from here on its text is taken down as the parser meets it."""
        if paragraph.pieces is None:
            paragraph.pieces = content(self.source, self.inside(paragraph), self.place())
            self.parser.CharacterDataHandler = self.characters
        return paragraph.pieces

    def inside(self, paragraph: _Paragraph) -> int:
        """Where the text of the paragraph begins: after its tag."""
        tag = _START_TAG.match(self.source, paragraph.offset)
        assert tag is not None
        return tag.end()

    def stamp(self, paragraph: _Paragraph, relative: float, written: float, ends: bool) -> None:
        if paragraph.stamps is None:
            paragraph.stamps = []
        paragraph.stamps.append((len(self.detail(paragraph)), relative, written, ends))

    def characters(self, text: str) -> None:
        paragraph = self.paragraph
        if paragraph is None or paragraph.pieces is None or self.skip:
            return
        at = self.place()
        length = len(text)
        if self.source[at] == "&" and len(self.cdata) % 2 == 0:
            length = self.source.index(";", at) + 1 - at
        elif text == "\n" and self.source.startswith("\r\n", at):
            length = 2
        pieces = paragraph.pieces
        if pieces and length == len(text):
            last = pieces[-1]
            if last.length == len(last.text) and last.length and last.offset + last.length == at:
                pieces[-1] = Piece(last.text + text, last.offset, last.length + length)
                return
        pieces.append(Piece(text, at, length))

    def name_of(self, agent: str | None) -> str | None:
        return self.agents.get(agent, agent) if agent is not None else None

    def close(self, paragraph: _Paragraph) -> None:
        begin, end = paragraph.begin, paragraph.end
        pieces = paragraph.pieces
        if pieces is None:
            offset = self.inside(paragraph)
            stop = max(offset, self.place())
        else:
            if paragraph.stamps is not None:
                pieces = self.stamped(paragraph, pieces, paragraph.stamps)
                times = [p.stamp_s for p in pieces if p.stamp_s is not None]
                if begin is None:
                    begin, end = min(times), end if end is not None else max(times)
            offset = stop = paragraph.offset  # with the tag before the text, which tells that it is not plain
            self.pieces[offset] = pieces
            for piece in pieces:
                stop = max(stop, piece.offset + piece.length)
        speaker = self.name_of(paragraph.agent) if paragraph.agent is not None else None
        self.cues.append(make(Cue, (begin, end, offset, stop, speaker, False)))

    def stamped(
        self, paragraph: _Paragraph, pieces: list[Piece], stamps: list[tuple[int, float, float, bool]]
    ) -> list[Piece]:
        """The pieces with the spans' times between them.

        A span's begin counts from its paragraph's; but some writers give every time from the start of the recording.
        Where times read by the standard fall beyond the paragraph and times as written fall inside it, they are those.
        """
        begin, end = paragraph.begin or 0.0, paragraph.end
        starts = [(relative, written) for _, relative, written, ends in stamps if not ends]
        absolute = (
            end is not None
            and begin > 0
            and any(relative >= end for relative, _ in starts)
            and all(begin <= written <= end for _, written in starts)
        )
        out: list[Piece] = []
        at = 0
        for number, relative, written, ends in stamps:
            out += pieces[at:number]
            at = number
            if absolute and ends:
                continue
            out.append(Piece("", 0, 0, stamp_s=written if absolute else relative, ends=ends))
        return out + pieces[at:]

    def in_cdata(self, offset: int) -> bool:
        return bisect_right(self.cdata, offset) % 2 == 1

    def escape(self, text: str, offset: int) -> str:
        if self.in_cdata(offset):
            if "]]>" in text:
                raise CaptionError("A text with ]]> cannot be written here.", hint="Take ]]> out of the replacement.")
            return text
        return text.replace("&", "&amp;").replace("<", "&lt;").replace("]]>", "]]&gt;")


def content(source: str, begin: int, stop: int) -> list[Piece]:
    """The pieces of text that holds nothing but characters and line breaks (and comments, and sections of CDATA)."""
    out: list[Piece] = []
    at = begin
    for m in _MARKUP.finditer(source, begin, stop):
        if m.start() > at:
            out.append(Piece(source[at : m.start()], at, m.start() - at))
        at = m.end()
        section, character, name, line_break = m.groups()
        if section is not None:
            out.append(Piece(section, m.start(1), len(section)))
        elif character is not None:
            hexadecimal = character[1:2] in "xX"
            out.append(
                Piece(chr(int(character[2 if hexadecimal else 1 :], 16 if hexadecimal else 10)), m.start(), len(m[0]))
            )
        elif name is not None:
            out.append(Piece(_ENTITIES[name], m.start(), len(m[0])))
        elif line_break is not None:
            out.append(Piece("\n", m.start(), 0))
    if at < stop:
        out.append(Piece(source[at:stop], at, stop - at))
    return out


def read(source: str, path: str | None) -> Reading:
    """The paragraphs of a TTML document. A document that breaks off is read up to there and marked badly formed."""
    reader = _Reader(source, path)
    broken: expat.ExpatError | None = None
    try:
        reader.parser.Parse(reader.data, True)
    except expat.ExpatError as error:
        broken = error
    if broken is not None and not reader.cues:
        raise CaptionError(
            f"The XML cannot be read: {expat.ErrorString(broken.code)}. Expected TTML.",
            where=Where(path, broken.lineno),
            hint=_HINT,
        )

    def pieces(_: str, cue: Cue) -> list[Piece]:
        known = reader.pieces.get(cue.offset)
        return content(source, cue.offset, cue.stop) if known is None else known

    def text(cue: Cue) -> str | None:
        raw = source[cue.offset : cue.stop]
        if cue.offset in reader.pieces or "&" in raw or "<!" in raw or "<?" in raw:
            return None
        return _BREAK.sub("\n", raw)

    reading = Reading("ttml", reader.cues, pieces, "<&", reader.notes, escape=reader.escape, text=text)
    if broken is not None:
        reading.well_formed = False
        reading.notes.append(
            f"Line {broken.lineno}: the XML breaks here ({expat.ErrorString(broken.code)}); read up to this line."
        )
    for at, value in reader.bad_times[:5]:
        reading.notes.append(f"Line {line_number(source, at)}: the time {value!r} is none that TTML knows.")
    return reading
