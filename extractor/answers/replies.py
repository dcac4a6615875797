"""What may stand behind `answer:`, before anything is known of the question.

    reply  = "" | "later" | "leave as it is" | "drop it" | pick | text
    pick   = a bare number, also "2)", "2." or "offer 2": one of the numbered offers
    text   = part (";" part)*
    part   = [field ":"] words
    field  = name | amount | use | glass | method | time | heat | ratio | parts | add | drop | line | note | recipe

"drop" and a name ("drop aromatic bitters") is a part of the field drop: that thing goes, not the one asked about.

Words in double quotes are taken as they stand, so that a drink called "Later" can be named. A part without a field
is read by the kind of the question: an amount for a missing amount, a glass for a missing glass.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractor.answers.answer import Offer, clean

FIELDS = (
    "name", "amount", "use", "glass", "method", "time", "heat", "ratio", "parts", "add", "drop", "line",
    "note", "recipe",
)  # fmt: skip

_LATER = {"later", "not now", "ask later"}
_LEAVE = {"leave as it is", "leave it as it is", "leave it", "leave", "as it is", "leave as is"}
_DROP = {"drop it", "drop", "drop this"}
_PICK = re.compile(r"(?:(?:offer|pick|number)\s+)?#?(\d{1,3})\s*[.)]?$", re.IGNORECASE)
_DROP_NAMED = re.compile(r"drop(?: the)?\s+(?!it\b|this\b)(?=\w)", re.IGNORECASE)
_FIELD = re.compile(rf"({'|'.join(FIELDS)})\s*:\s*", re.IGNORECASE)
_NEXT = re.compile(rf";\s*(?=(?:{'|'.join(FIELDS)})\s*:)", re.IGNORECASE)
_QUOTES = str.maketrans({"“": '"', "”": '"', "„": '"', "‟": '"', "«": '"', "»": '"'})


@dataclass(frozen=True, slots=True)
class Later:
    """Not answered yet; asked again the next time."""


@dataclass(frozen=True, slots=True)
class Leave:
    """What the record holds is right as it stands, also where it holds nothing."""


@dataclass(frozen=True, slots=True)
class Drop:
    """The thing asked about does not belong in the record."""


@dataclass(frozen=True, slots=True)
class Part:
    """`words` for `field`; field is None where the kind of the question says which it is."""

    field: str | None
    words: str
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """What to write. `offer` is the number of the offer that was picked, where one was."""

    parts: tuple[Part, ...]
    offer: int | None = None


@dataclass(frozen=True, slots=True)
class Fault:
    """Not a reply at all, and what to do instead."""

    what: str
    hint: str


Reply = Later | Leave | Drop | Words | Fault


def _part(text: str) -> Part:
    found = _FIELD.match(text)
    field = found[1].lower() if found else None
    if found is None and (found := _DROP_NAMED.match(text)):
        field = "drop"
    words = text[found.end() :] if found else text
    marked = words.translate(_QUOTES).strip()
    if len(marked) > 2 and marked[0] == marked[-1] == '"' and '"' not in marked[1:-1]:
        return Part(field, marked[1:-1].strip(), quoted=True)
    return Part(field, words.strip())


def read_reply(given: str, offers: Sequence[Offer] = (), *, edit: bool = False) -> Reply | None:
    """The reply that `given` is; None where nothing was answered. In an edit a number beyond the offers is a value."""
    text = clean(given)
    if not text:
        return None
    word = text.rstrip(".!").lower()
    if word in _LATER:
        return Later()
    if word in _LEAVE:
        return Leave()
    if word in _DROP:
        return Drop()
    found = _PICK.match(text)
    if found and (offers or not text.isdigit()):
        number = int(found[1])
        if 1 <= number <= len(offers):
            picked = offers[number - 1].answer
            inner = read_reply(picked) if not _PICK.match(picked) else Words((Part(None, picked),))
            return Words(inner.parts, number) if isinstance(inner, Words) else inner
        if not edit:
            return Fault(
                f"{text!r} picks an offer, and {_count(len(offers))} made",
                "Write the number of an offer, or the answer in words; an amount needs its unit (2 dashes, 22.5 ml).",
            )
    parts = tuple(_part(p) for p in _NEXT.split(text))
    if not all(p.words for p in parts):
        return Fault(f"{text!r} has a field with nothing behind it", "Write the value behind its colon.")
    return Words(parts)


def _count(offers: int) -> str:
    return {0: "no offer was", 1: "one offer was"}.get(offers, f"{offers} offers were")
