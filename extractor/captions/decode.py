"""Bytes to text and back without losing one byte.

A byte-order mark decides; else the file is UTF-8, and bytes that are not valid UTF-8 become lone surrogates
(Python's `surrogateescape`), which go back to the very same bytes. The byte-order mark stays in the text as its first
character, so that encoding the text gives the file again.
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

_MARKS = (
    (b"\xff\xfe\x00\x00", "utf-32-le"),
    (b"\x00\x00\xfe\xff", "utf-32-be"),
    (b"\xff\xfe", "utf-16-le"),
    (b"\xfe\xff", "utf-16-be"),
    (b"\xef\xbb\xbf", "utf-8"),
)
_UNDECODED = re.compile("[\udc80-\udcff]")


@dataclass(frozen=True, slots=True)
class Decoded:
    text: str
    encoding: str
    exact: bool
    """Encoding the text again gives the very same bytes."""


def decode(data: bytes) -> Decoded:
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _decoded(data, encoding)
    return _decoded(data, _unmarked(data))


def encode(text: str, encoding: str) -> bytes:
    """The bytes of a decoded text: the inverse of `decode` wherever `Decoded.exact` holds."""
    if encoding.startswith("utf-8"):
        return text.encode("utf-8", "surrogateescape")
    if encoding.startswith("utf-"):
        return text.encode(encoding, "surrogatepass")
    return text.encode(encoding)


def legacy(text: str) -> bool:
    """Whether a text decoded as UTF-8 is really in some one-byte encoding: bytes left over, and no UTF-8 among them."""
    return _UNDECODED.search(text) is not None and not re.search("[^\x00-\x7f\udc80-\udcff\ufeff]", text)


def undecoded(text: str) -> bool:
    return _UNDECODED.search(text) is not None


def guessed(character: str) -> str:
    """What an undecodable byte most likely shows: its character in Windows-1252, as old caption files have it."""
    byte = bytes([ord(character) - 0xDC00])
    return byte.decode("cp1252", "replace")


def declared(data: bytes, decoded: Decoded) -> Decoded:
    """An XML document again by the encoding that it names itself; one whose characters have several bytes in an old
    encoding is read, but `exact` is False: in such a text a place is not always a place of the file."""
    named = re.match("""<\\?xml[^<>]*?encoding\\s*=\\s*["']([A-Za-z0-9._-]+)""", decoded.text)
    if named is None or data.startswith((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")) or decoded.encoding != "utf-8":
        return decoded
    try:
        name = codecs.lookup(named[1]).name
        if name in ("utf-8", "ascii") or name.startswith("utf-"):
            return decoded
        text = data.decode(name)
    except (LookupError, UnicodeDecodeError):
        return decoded
    one_byte = name.startswith(("iso8859", "cp125", "koi8", "mac-", "latin")) or name == "cp437"
    return Decoded(text, name, one_byte and text.encode(name) == data)


def _decoded(data: bytes, encoding: str) -> Decoded:
    if encoding == "utf-8":
        return Decoded(data.decode("utf-8", "surrogateescape"), encoding, True)
    try:
        text = data.decode(encoding, "surrogatepass")
    except UnicodeDecodeError as error:  # cut in the middle of a character: what stands before it is read
        text = data[: error.start].decode(encoding, "surrogatepass")
    return Decoded(text, encoding, encode(text, encoding) == data)


def _unmarked(data: bytes) -> str:
    """UTF-16 without a mark shows as a zero in every second byte, since caption syntax is ASCII."""
    head = data[:400]
    if len(head) >= 8 and b"\x00" in head:
        even, odd = head[0::2], head[1::2]
        if odd.count(0) >= 0.7 * len(odd) and even.count(0) <= 0.1 * len(even):
            return "utf-16-le"
        if even.count(0) >= 0.7 * len(even) and odd.count(0) <= 0.1 * len(odd):
            return "utf-16-be"
    return "utf-8"
