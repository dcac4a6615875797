"""Output to a terminal or pipe that cannot write every sign: what it cannot write is said in signs that it can.

A fraction must never become a question mark: "3½ oz" is "3 1/2 oz" where there is no ½.
"""

from __future__ import annotations

import codecs
import unicodedata
from types import MappingProxyType
from typing import TextIO

HANDLER = "pourword-plain"
_PLAIN = MappingProxyType(
    {"“": '"', "”": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "·": "-", "…": "...", "→": "->", "≈": "~",
     "×": "x", "°": " degrees "}
)  # fmt: skip


def plain(text: str) -> str:
    """The text in ASCII: signs in words, letters without their accents, anything else as its escape."""
    out = []
    for c in text:
        if c in _PLAIN:
            out.append(_PLAIN[c])
            continue
        whole = unicodedata.normalize("NFKD", c).replace("\u2044", "/")
        kept = "".join(x for x in whole if x.isascii())
        if "/" in kept:
            kept = f" {kept}"  # "1½" is "1 1/2", never "11/2".
        out.append(kept or c.encode("ascii", "backslashreplace").decode())
    return "".join(out)


def _handle(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeEncodeError)
    return plain(error.object[error.start : error.end]), error.end


def write_plainly(stream: TextIO) -> None:
    """From now on the stream never fails over a sign that its encoding has not."""
    codecs.register_error(HANDLER, _handle)
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors=HANDLER)
