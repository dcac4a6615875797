"""Glasses said to have a rim in one word: "in a sugared coupe", "a salt-rimmed tumbler"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from extractor.lexicon import Lexicon
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

_RIMMED = {"sugared": "sugar", "salted": "salt", "salty": "salt"}
_IN_A_WORD = re.compile(
    r"(?<!\w)(?P<word>sugared|salted|(?P<thing>[a-zà-ÿ]{3,12}(?: [a-zà-ÿ]{3,12})?)[- ]rimmed) (?P<next>[a-z]+)"
)
GLASS_WITHIN = 24
"""How far behind the word its glass may be named, in characters."""


def rimmed_glasses(reader: TalkReader, mentions: Sequence[Mention], lexicon: Lexicon) -> list[Mention]:
    """What is on the rims told so, as names of their own; not where the thing is a name already."""
    out: list[Mention] = []
    for m in _IN_A_WORD.finditer(reader.lower):
        what = _RIMMED.get(m["word"]) or _known(m["thing"] or "", lexicon)
        entry = lexicon.named(what) if what is not None else None
        glass = m["next"] in ("rim", "edge", "lip", "glass") or any(
            x.group == "glass" and m.start("next") <= x.start < m.start("next") + GLASS_WITHIN for x in mentions
        )
        start, end = m.span("word")
        if entry is None or not glass or any(x.start < end and start < x.end for x in mentions):
            continue
        out.append(Mention(start, end, entry.name, reader.talk.text[start:end], "ingredient", entry, "exact"))
    return out


def _known(words: str, lexicon: Lexicon) -> str | None:
    """The longest name at the end of the words before "rimmed"."""
    parts = words.split()
    return next((w for k in range(len(parts)) if lexicon.named(w := " ".join(parts[k:])) is not None), None)


def told_in_a_word(mention: Mention) -> bool:
    """Whether a name stands for the rim of "sugared", "salt-rimmed"."""
    heard = mention.heard.lower()
    return heard in _RIMMED or heard.endswith(("-rimmed", " rimmed"))
