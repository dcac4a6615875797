"""Foreign text made harmless for the place that it goes to.

All words of a record come from captions that anybody may have written. Each writer here passes every one of them
through one of these functions: `line` first, always; then what its own format asks for.
"""

from __future__ import annotations

import json
import re
import unicodedata
from html import escape

# Joiners that Indic scripts, Persian and emoji need: harmless, and words are wrong without them.
_JOINERS = "\u200c\u200d"
_HIDDEN = frozenset(chr(c) for c in (0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x3164, 0xFFA0))
"""Letters that show nothing, by which a name can be made to look like another."""


def line(text: str) -> str:
    """One line of visible text: no control codes, no overrides of the writing direction, nothing that hides.

    Every run of spaces and line breaks becomes one space. Letters, accents, emoji and joiners stay as they are. What
    is no character at all (half of a surrogate pair, an unassigned or private code) becomes U+FFFD.
    """
    out: list[str] = []
    for c in text:
        category = unicodedata.category(c)
        if category in ("Zs", "Zl", "Zp") or c in "\t\n\r\v\f\x85":
            out.append(" ")
        elif category in ("Cs", "Cn", "Co"):
            out.append("\ufffd")
        elif category == "Cc" or (category == "Cf" and c not in _JOINERS) or c in _HIDDEN or "\ufe00" <= c <= "\ufe0e":
            continue
        elif category == "Cf":
            out.append(c)
        else:
            out.append(c)
    return " ".join("".join(out).split())


def html(text: str) -> str:
    """For the text or a quoted attribute of an HTML or SVG document."""
    return escape(line(text), quote=True)


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


def json_in_html(value: object, *, indent: int | None = 1) -> str:
    """JSON that is also safe inside a <script> of an HTML page.

    `<`, `>` and `&` are written as escapes, so that no `</script>` or `<!--` can stand in it, and so are U+2028 and
    U+2029, which end a line in older JavaScript. The value that a reader gets is the same.
    """
    text = json.dumps(value, ensure_ascii=False, indent=indent, allow_nan=False)
    for c in "<>&\u2028\u2029":
        text = text.replace(c, f"\\u{ord(c):04x}")
    return text


def terminal(text: str) -> str:
    """For a terminal: as `line`, for each of its lines."""
    return "\n".join(line(one) for one in text.split("\n"))


def description(text: str) -> str:
    """For the description text of a video: as `line`, and no angle brackets, which hosts refuse or take for markup."""
    return line(text).replace("<", "‹").replace(">", "›")


def capital(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return f"{text[:1].upper()}{text[1:]}"
