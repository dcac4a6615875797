"""A JSON text as values that know where they stand in it.

`json.loads` says whether the text is JSON at all; this walks the same text once more for the places.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from json.decoder import scanstring  # type: ignore[attr-defined]
from math import inf, isfinite, nan

from extractor.captions.cues import Piece

_GAP = re.compile(r"[ \t\n\r]*[,:]?[ \t\n\r]*")
_CONSTANTS: dict[str, float | bool | None] = {
    "true": True,
    "false": False,
    "null": None,
    "NaN": nan,
    "Infinity": inf,
    "-Infinity": -inf,
}
_ATOM = re.compile(r"-?Infinity|NaN|true|false|null|-?[0-9][0-9.eE+-]*")
_ESCAPES = re.compile(r"(?:\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}|\\u[0-9a-fA-F]{4}|\\.)")
_UNSHOWN = re.compile("[\x00\ud800-\udfff]")
"""Half a character, as a recogniser writes that cuts one over two words; and NUL."""


@dataclass(slots=True)
class Node:
    """One value: `source[start:stop]`. `items` of an array, `members` of an object, `value` of anything else."""

    start: int
    stop: int
    value: str | float | bool | None = None
    items: list[Node] | None = None
    members: dict[str, Node] | None = field(default=None)

    @property
    def text(self) -> str | None:
        return self.value if isinstance(self.value, str) else None

    @property
    def number(self) -> float | None:
        """A finite number, also one written as a string; None for anything else, NaN too."""
        value = self.value
        if isinstance(value, bool) or value is None:
            return None
        try:
            number = float(value)
        except (ValueError, OverflowError):
            return None
        return number if isfinite(number) else None


def nodes(source: str, start: int) -> Node:
    """The value that begins at `start` (after white space). The text must be JSON."""
    return _value(source, _gap(source, start))


def pieces(source: str, start: int, stop: int) -> list[Piece]:
    """What a string shows: `start` and `stop` are the places just inside its quotes."""
    out: list[Piece] = []
    at = start
    for m in _ESCAPES.finditer(source, start, stop):
        begin, end = m.span()
        if begin > at:
            out.append(Piece(source[at:begin], at, begin - at))
        out.append(Piece(_UNSHOWN.sub("\ufffd", json.loads(f'"{m[0]}"')), begin, end - begin))
        at = end
    if at < stop:
        out.append(Piece(source[at:stop], at, stop - at))
    return out


def _value(source: str, at: int) -> Node:
    """The text is known to be JSON, so a gap may be taken for whatever belongs there."""
    first = source[at]
    if first == '"':
        text, stop = scanstring(source, at + 1)
        return Node(at, stop, text)
    if first == "{":
        members: dict[str, Node] = {}
        here = _gap(source, at + 1)
        while source[here] != "}":
            key, here = scanstring(source, here + 1)
            members[key] = node = _value(source, _gap(source, here))
            here = _gap(source, node.stop)
        return Node(at, here + 1, members=members)
    if first == "[":
        items: list[Node] = []
        here = _gap(source, at + 1)
        while source[here] != "]":
            node = _value(source, here)
            items.append(node)
            here = _gap(source, node.stop)
        return Node(at, here + 1, items=items)
    m = _ATOM.match(source, at)
    assert m is not None
    atom = m[0]
    return Node(at, m.end(), _CONSTANTS[atom] if atom in _CONSTANTS else float(atom))


def _gap(source: str, at: int) -> int:
    """The place after white space and the comma or colon in it."""
    if source[at] not in " \t\n\r,:":
        return at
    m = _GAP.match(source, at)
    assert m is not None
    return m.end()
