"""File names made of the names of drinks: they stay inside their folder, on every common file system."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from extractor.visible import line

MOST_BYTES = 100
"""Of UTF-8, without the ending: well under the 255 bytes that file systems allow."""
# Names that Windows keeps for devices, whatever their ending (Microsoft, "Naming Files, Paths, and Namespaces").
RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)", re.IGNORECASE)
INSTEAD = "drink"


def stem(name: str) -> str:
    """Letters and digits of any script in lower case, all else a hyphen: "Piña on the Pier!" is "piña-on-the-pier".

    Never empty, never with a dot or a separator, never a reserved name; cut at a whole letter.
    """
    text = unicodedata.normalize("NFC", line(name)).casefold()
    kept = "".join(c if unicodedata.category(c)[0] in "LNM" else "'" if c in "'’" else " " for c in text)
    out = "-".join(kept.replace("'", "").split())
    while len(out.encode("utf-8")) > MOST_BYTES:
        out = out[:-1]
    # A mark that lost its letter, or one that never had any, would stand alone.
    out = out.strip("-")
    while out and unicodedata.category(out[0])[0] == "M":
        out = out[1:].lstrip("-")
    out = unicodedata.normalize("NFC", out)
    if not out:
        return INSTEAD
    return f"{INSTEAD}-{out}" if RESERVED.fullmatch(out) else out


def _folded(text: str) -> str:
    """How a file system that folds case and accents may see it: two names that fold alike may be one file there."""
    return unicodedata.normalize("NFKD", text).casefold()


def stems(names: Iterable[str]) -> tuple[str, ...]:
    """One stem a name, in order; those that could meet get a number: "low-tide", "low-tide-2"."""
    out: list[str] = []
    taken: set[str] = set()
    for name in names:
        first = stem(name)
        found, number = first, 1
        while _folded(found) in taken:
            number += 1
            found = f"{first}-{number}"
        taken.add(_folded(found))
        out.append(found)
    return tuple(out)
