"""Foreign text made harmless for the place that it goes to.

All words of a record come from captions that anybody may have written. Each writer here passes every one of them
through one of these functions, or through `line` or `markdown` of visible.py: `line` first, always; then what its own
format asks for.
"""

from __future__ import annotations

import json
from html import escape

from extractor.visible import line


def html(text: str) -> str:
    """For the text or a quoted attribute of an HTML or SVG document."""
    return escape(line(text), quote=True)


def json_in_html(value: object, *, indent: int | None = 1) -> str:
    """JSON that is also safe inside a <script> of an HTML page.

    `<`, `>` and `&` are written as escapes, so that no `</script>` or `<!--` can stand in it, and so are U+2028 and
    U+2029, which end a line in older JavaScript. The value that a reader gets is the same.
    """
    text = json.dumps(value, ensure_ascii=False, indent=indent, allow_nan=False)
    for c in "<>&\u2028\u2029":
        text = text.replace(c, f"\\u{ord(c):04x}")
    return text


def description(text: str) -> str:
    """For the description text of a video: as `line`, and no angle brackets, which hosts refuse or take for markup."""
    return line(text).replace("<", "‹").replace(">", "›")


def capital(text: str) -> str:
    """With a capital first letter, the rest as it is."""
    return f"{text[:1].upper()}{text[1:]}"
