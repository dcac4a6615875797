"""The WebVTT parser as the standard writes it, step for step and slowly: what our own reader is checked against.

Source: W3C, WebVTT: The Web Video Text Tracks Format, "WebVTT file parsing", "cue timings and settings parsing" and
"cue text parsing rules" (w3c/webvtt, index.bs). Settings, regions and style sheets hold no words and are left out.
"""

from __future__ import annotations

import html
import re

SPACE = "\t\n\f\r "
DIGITS = "0123456789"


class Failure(Exception):
    pass


def parse(data: bytes) -> list[tuple[float, float, str]] | None:
    """Start, end and cue text of every cue; None where the signature is wrong."""
    text = data.decode("utf-8", "replace")
    text = text.removeprefix("\ufeff")
    text = text.replace("\0", "\ufffd").replace("\r\n", "\n").replace("\r", "\n")
    if len(text) < 6 or text[:6] != "WEBVTT" or (len(text) > 6 and text[6] not in " \t\n"):
        return None
    return _Parser(text).run()


class _Parser:
    def __init__(self, text: str) -> None:
        self.input = text
        self.position = 0

    def line(self) -> str:
        end = self.input.find("\n", self.position)
        end = len(self.input) if end == -1 else end
        out = self.input[self.position : end]
        self.position = end
        return out

    def past_end(self) -> bool:
        return self.position >= len(self.input)

    def skip_line_feeds(self) -> None:
        while not self.past_end() and self.input[self.position] == "\n":
            self.position += 1

    def run(self) -> list[tuple[float, float, str]]:
        out: list[tuple[float, float, str]] = []
        self.line()
        if self.past_end():
            return out
        self.position += 1
        if self.past_end():
            return out
        if self.input[self.position] != "\n":
            self.block(in_header=True)
        else:
            self.position += 1
        self.skip_line_feeds()
        while not self.past_end():
            cue = self.block()
            if cue is not None:
                out.append(cue)
            self.skip_line_feeds()
        return out

    def block(self, in_header: bool = False) -> tuple[float, float, str] | None:
        line_count = 0
        previous = self.position
        buffer = ""
        seen_end = seen_arrow = False
        cue: tuple[float, float] | None = None
        while True:
            line = self.line()
            line_count += 1
            if self.past_end():
                seen_end = True
            else:
                self.position += 1
            if "-->" in line:
                if not in_header and (line_count == 1 or (line_count == 2 and not seen_arrow)):
                    seen_arrow = True
                    previous = self.position
                    try:
                        cue = timings(line)
                        buffer = ""
                    except Failure:
                        cue = None
                else:
                    self.position = previous
                    break
            elif line == "":
                break
            else:
                if buffer:
                    buffer += "\n"
                buffer += line
                previous = self.position
            if seen_end:
                break
        return (*cue, buffer) if cue is not None else None


def timings(line: str) -> tuple[float, float]:
    at = _skip(line, 0)
    start, at = timestamp(line, at)
    at = _skip(line, at)
    if line[at : at + 3] != "-->":
        raise Failure
    at = _skip(line, at + 3)
    end, _ = timestamp(line, at)
    return start, end


def _skip(text: str, at: int) -> int:
    while at < len(text) and text[at] in SPACE:
        at += 1
    return at


def _number(text: str, at: int) -> tuple[str, int]:
    end = at
    while end < len(text) and text[end] in DIGITS:
        end += 1
    return text[at:end], end


def timestamp(text: str, at: int) -> tuple[float, int]:
    units = "minutes"
    if at >= len(text) or text[at] not in DIGITS:
        raise Failure
    string, at = _number(text, at)
    one = int(string)
    if len(string) != 2 or one > 59:
        units = "hours"
    at = _expect(text, at, ":")
    string, at = _number(text, at)
    if len(string) != 2:
        raise Failure
    two = int(string)
    if units == "hours" or (at < len(text) and text[at] == ":"):
        at = _expect(text, at, ":")
        string, at = _number(text, at)
        if len(string) != 2:
            raise Failure
        three = int(string)
    else:
        one, two, three = 0, one, two
    at = _expect(text, at, ".")
    string, at = _number(text, at)
    if len(string) != 3 or two > 59 or three > 59:
        raise Failure
    return one * 3600 + two * 60 + three + int(string) / 1000, at


def _expect(text: str, at: int, sign: str) -> int:
    if at >= len(text) or text[at] != sign:
        raise Failure
    return at + 1


def cue_text(text: str) -> tuple[str, list[tuple[int, float]], list[tuple[int, str]]]:
    """What a cue shows: its characters, the timestamps and where they stand among them, and the voices that begin.

    Character references are decoded by Python's `html`, as the standard refers to HTML's own rules.
    """
    shown = ""
    stamps: list[tuple[int, float]] = []
    voices: list[tuple[int, str]] = []
    at = 0
    while at < len(text):
        if text[at] != "<":
            end = text.find("<", at)
            end = len(text) if end == -1 else end
            shown += html.unescape(text[at:end])
            at = end
            continue
        end = text.find(">", at)
        tag = text[at + 1 :] if end == -1 else text[at + 1 : end]
        at = len(text) if end == -1 else end + 1
        if tag[:1] in DIGITS and tag:
            try:
                value, stop = timestamp(tag, 0)
            except Failure:
                continue
            if stop == len(tag):
                stamps.append((len(shown), value))
        elif tag and tag[0] not in SPACE + "./":
            name = re.split(r"[\t\n\f .]", tag)[0]
            rest = re.split(r"[\t\n\f ]", tag, maxsplit=1)
            if name == "v":
                annotation = html.unescape(rest[1]) if len(rest) > 1 else ""
                voices.append((len(shown), " ".join(annotation.split())))
    return shown, stamps, voices
