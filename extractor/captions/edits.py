"""Edits: which spoken words are replaced by what, checked before anything is written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from extractor.captions.words import Index
from extractor.errors import CaptionError, Where
from extractor.record import Correction

_LINE_BREAK = re.compile("[\n\r\x0b\x0c\x1c-\x1e\x85\u2028\u2029]")
_UNWRITABLE = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufeff\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069]")


@dataclass(frozen=True, slots=True)
class Edit:
    """The words `first` to `last` (both included, as indexes of `Transcript.words`) become `text`.

    `heard` is what they are before it; where it is given, an edit that is already in the file changes nothing and an
    edit that belongs to another file is refused.
    """

    first: int
    last: int
    text: str
    heard: str | None = None


def edits_of(edits: Iterable[Edit | Correction]) -> list[Edit]:
    """Edits in the order of the talk; of corrections, those that are applied."""
    out = []
    for edit in edits:
        if isinstance(edit, Edit):
            out.append(edit)
        elif edit.applied:
            out.append(Edit(edit.first_word, edit.last_word, edit.written, edit.heard))
    return sorted(out, key=lambda e: (e.first, e.last))


def core(text: str) -> str:
    """A word or phrase without capitals, punctuation and spaces: what two spellings of the same words share."""
    return "".join(c for c in text.casefold() if c.isalnum())


def check(edits: Sequence[Edit], path: str | None) -> None:
    """Raises CaptionError for an edit that cannot be written anywhere: over another, or with no fit text."""
    end = -1
    for edit in edits:
        if edit.first <= end:
            raise CaptionError(
                f"Two edits replace word {edit.first}.",
                where=Where(path),
                hint="Keep one of the two, or join them into one edit.",
            )
        end = edit.last
        check_text(edit.text, path)


def check_range(edits: Sequence[Edit], count: int, path: str | None) -> None:
    """Raises CaptionError for an edit of words that the captions do not have."""
    for edit in edits:
        if not 0 <= edit.first <= edit.last < count:
            raise CaptionError(
                f"An edit replaces words {edit.first} to {edit.last}; the captions have {count} words, from 0.",
                where=Where(path),
                hint="Make the edits from a fresh reading of these captions.",
            )


def check_text(text: str, path: str | None) -> None:
    """Raises CaptionError for a replacement that would break the captions' form."""
    if "-->" in text:
        what, hint = "holds -->, which stands between a caption's times", "Write the replacement without -->."
    elif _LINE_BREAK.search(text):
        what, hint = "holds a line break", "Write the replacement on one line."
    elif _UNWRITABLE.search(text):
        what, hint = "holds a character that shows nothing", "Write the replacement with visible characters only."
    elif not text.strip():
        what, hint = "is empty", "Give the words that are to stand there."
    else:
        return
    raise CaptionError(f"The replacement {text[:60]!r} {what}.", where=Where(path), hint=hint)


def pending(edits: Sequence[Edit], index: Index, path: str | None) -> list[Edit]:
    """The edits that are not yet in the file: all, or none when the file is one that they were already made in.

    Raises CaptionError where the words at an edit's place are neither what it replaces nor what it writes.
    """
    if all(e.heard is None for e in edits):
        return list(edits)
    whole = [_whole(e, index) for e in edits]
    odd = next((e for e, w in zip(edits, whole, strict=True) if w is None), None)
    if odd is None:
        return [w for w in whole if w is not None]
    shift = 0
    for edit in edits:
        size = len(edit.text.split())
        first = edit.first + shift
        if _whole(replace(edit, first=first, last=first + size - 1, heard=edit.text), index) is None:
            break
        shift += size - (edit.last - edit.first + 1)
    else:
        return []
    check_range([odd], index.count, path)
    found = " ".join(index.word(n) for n in range(odd.first, odd.last + 1))
    cue = index.first_cue(odd.first)
    raise CaptionError(
        f"An edit replaces {odd.heard!r}, but the captions have {found!r} there.",
        where=Where(path, cue=cue + 1, second=index.reading.cues[cue].start_s),
        hint="These captions were changed after they were read: read them again and make the edits anew.",
    )


def _whole(edit: Edit, index: Index) -> Edit | None:
    """The edit if its place has what it replaces; where that is only part of the words, the rest of them stays."""
    if _stands(edit.heard, index, edit.first, edit.last):
        return edit
    if edit.heard is None or not 0 <= edit.first <= edit.last < index.count:
        return None
    words = " ".join(index.word(n) for n in range(edit.first, edit.last + 1))
    heard = edit.heard.strip()
    at = words.casefold().find(heard.casefold()) if len(words.casefold()) == len(words) else words.find(heard)
    if at == -1 or not heard:
        return None
    return replace(edit, text=words[:at] + edit.text.strip() + words[at + len(heard) :])


def _stands(text: str | None, index: Index, first: int, last: int) -> bool:
    if text is None:
        return True
    if not 0 <= first <= last < index.count:
        return False
    return core(text) == "".join(core(index.word(n)) for n in range(first, last + 1))
