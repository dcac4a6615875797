"""Captions of a spoken talk-through of drinks in, written recipes and open questions out.

    from extractor import draft, read_amount, read_name

    episode = draft("brunch.vtt")                       # a path, or the text or bytes of a caption file
    read_amount("an ounce and three quarters")          # an Amount, or None
    read_name("fuller num", before="half an ounce of")  # candidates, best first

`extractor.record` holds the models of the record. Nothing is loaded before it is used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from extractor import record
    from extractor.measures import read_amount
    from extractor.names import read_name
    from extractor.pipeline import draft

__all__ = ["draft", "read_amount", "read_name", "record"]

_FROM = {"draft": "extractor.pipeline", "read_amount": "extractor.measures", "read_name": "extractor.names"}


def __getattr__(name: str) -> object:
    if name in _FROM:
        return getattr(import_module(_FROM[name]), name)
    if name == "record":
        return import_module("extractor.record")
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted((*globals(), *__all__))
