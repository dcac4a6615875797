"""Foreign text as one visible line, for a terminal and for Markdown. Core: any stage may use it.

Captions, lexicons and answers may have been written by anybody. What they say is shown, and nothing in it is obeyed:
no control code reaches a terminal, no mark-up a Markdown reader.
"""

from __future__ import annotations

import re
import unicodedata

_JOINERS = "\u200c\u200d"
"""Indic scripts, Persian and emoji need these two: harmless, and words are wrong without them."""
_HIDDEN = frozenset(chr(c) for c in (0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x3164, 0xFFA0))
"""Letters that show nothing, by which a word can be made to look like another."""


def line(text: str) -> str:
    """The text with every run of blanks and line breaks as one space, without anything that hides or commands.

    Control and format characters, direction marks and variation selectors are left out; what is no character at all
    (half a surrogate pair, a private or unassigned code) becomes U+FFFD.
    """
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    out: list[str] = []
    for c in text:
        category = unicodedata.category(c)
        if category in ("Zs", "Zl", "Zp") or c in "\t\n\r\v\f\x85":
            out.append(" ")
        elif category in ("Cs", "Cn", "Co"):
            out.append("\ufffd")
        elif category == "Cc" or (category == "Cf" and c not in _JOINERS) or c in _HIDDEN or "\ufe00" <= c <= "\ufe0e":
            continue
        else:
            out.append(c)
    return " ".join("".join(out).split())


def lines(text: str) -> str:
    """As `line`, for each line of a text; indents of plain spaces stay."""
    return "\n".join(" " * (len(one) - len(one.lstrip(" "))) + line(one) for one in text.split("\n"))


_ANYWHERE = re.compile(r"[\\`*_{}\[\]<>#|~&$@^]|:(?=[/A-Za-z])|(?<=www)\.|==+|!(?=\[)", re.IGNORECASE)
_AT_START = re.compile(r"^(\d{1,9}(?=[.)](?: |$))|(?=[-+](?:[ -]|$)|=))(.)")


def markdown(text: str) -> str:
    """For any place of a Markdown document, the start of a line included: shown as the very same words.

    Source: CommonMark 0.31.2, 2.4: any ASCII punctuation character may be backslash-escaped. Escaped are the marks
    that begin an emphasis, a link, an entity, a table cell, a heading, a list or a quotation, and those that
    extensions of it use (bare addresses, mentions, strike-through, mathematics); all others stay, so that the text
    reads well as it is.
    """
    safe = _ANYWHERE.sub(lambda m: "".join(f"\\{c}" for c in m[0]), line(text))
    return _AT_START.sub(r"\1\\\2", safe)


def clock(second: float | None, *, hours: bool = False) -> str:
    """Minute and second as a viewer types them: 75.2 gives 1:15, from an hour on (or where `hours`) 1:02:03.

    "" where none is known.
    """
    if second is None:
        return ""
    minutes, s = divmod(max(0, int(second)), 60)
    h, m = divmod(minutes, 60)
    return f"{h}:{m:02d}:{s:02d}" if h or hours else f"{m}:{s:02d}"
