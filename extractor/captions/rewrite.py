"""A caption file with words put right and every other byte as it was."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from extractor.captions.cues import Cue
from extractor.captions.decode import encode, legacy
from extractor.captions.edits import Edit, check, check_range, edits_of, pending
from extractor.captions.file import CaptionFile
from extractor.captions.read import read_captions, read_text
from extractor.captions.segment_rewrite import list_splices
from extractor.captions.segment_words import whole_line
from extractor.captions.slots import dress, share
from extractor.captions.splices import Splice, apply, line_splices
from extractor.captions.words import WORD, Index, tidy
from extractor.errors import CaptionError, Where
from extractor.record import Correction, Transcript

_BY_LINE = ("webvtt", "subrip", "timed-text", "plain-text")


@dataclass(frozen=True, slots=True)
class Change:
    """One edit as it was made, for a list of what was changed."""

    first: int
    last: int
    heard: str
    written: str
    start_s: float | None
    end_s: float | None
    cue: int
    copies: int
    """In how many places of the file the first of its words was put right."""


def rewrite(captions: Transcript | bytes, edits: Iterable[Edit | Correction]) -> bytes:
    """The file with the edits made: in every copy of each word, and nowhere else.

    Each edit replaces whole words of `Transcript.words`; the punctuation around them and their capitals stay. Without
    edits, or with edits that the file already has, the very same bytes. Raises CaptionError for a badly formed file,
    for an edit that does not fit the file, and for a replacement that would break its form.
    """
    file = as_file(captions)
    wanted = edits_of(edits)
    if wanted and not file.well_formed:
        raise CaptionError(
            f"The file is badly formed, so it is not written over: {file.notes[0] if file.notes else 'see its notes'}",
            where=Where(file.path),
            hint="Put right what the note names and read the file again, or convert it to a new WebVTT or SubRip file.",
        )
    if not wanted and isinstance(captions, bytes):
        return captions
    return encode(edited_text(file, wanted), file.encoding)


def changes(captions: Transcript | bytes, edits: Iterable[Edit | Correction]) -> list[Change]:
    """What `rewrite` would change, edit by edit; edits that the file already has are left out."""
    file = as_file(captions)
    wanted = edits_of(edits)
    out = []
    slots, _ = _slots(file, _checked(file, wanted))
    for edit in _checked(file, wanted):
        words = file.words[edit.first : edit.last + 1]
        heard = " ".join(w.text for w in words)
        written = " ".join(t for n in range(edit.first, edit.last + 1) if (t := slots.get(n, file.words[n].text)))
        if heard != written:
            copies = len(words[0].copies)
            out.append(
                Change(edit.first, edit.last, heard, written, words[0].start_s, words[-1].end_s, words[0].cue, copies)
            )
    return out


def as_file(captions: Transcript | bytes) -> CaptionFile:
    """The file with its cues; a transcript that was copied or made by hand is read again from its source."""
    if isinstance(captions, CaptionFile) and "_reading" in captions.__dict__:
        return captions
    if isinstance(captions, Transcript):
        out = read_text(captions.source, captions.encoding, captions.kind, captions.path)
        if not captions.well_formed:
            out.__dict__.update(well_formed=False, notes=captions.notes)
        return out
    return read_captions(captions)


def edited_text(file: CaptionFile, wanted: Sequence[Edit]) -> str:
    """The decoded text with the edits made."""
    index = file.index
    slots, edit_of = _slots(file, _checked(file, wanted))
    if not slots:
        return file.source
    escape = _escape(file)
    out: list[Splice] = []
    for cue in _cues_with(index, slots):
        if file.segments is not None and cue in file.segments.worded:
            continue  # the list of words is its only text
        out += _cue_splices(file, index, cue, slots, escape)
    if file.segments is not None:
        for words in file.segments.lists:
            out += list_splices(index, words, slots, edit_of, escape)
        line = whole_line(index, file.segments)
        if line is not None:
            out += line_splices(file.source, line, slots, escape, None)
    text = apply(file.source, out)
    if file.kind in ("timed-text", "plain-text"):
        _check_whole(file, slots, text)
    return text


def _checked(file: CaptionFile, wanted: Sequence[Edit]) -> list[Edit]:
    check(wanted, file.path)
    todo = pending(wanted, file.index, file.path)
    check_range(todo, file.index.count, file.path)
    return todo


def _slots(file: CaptionFile, wanted: Sequence[Edit]) -> tuple[dict[int, str], dict[int, int]]:
    """What each changed word becomes, and which edit it belongs to."""
    slots: dict[int, str] = {}
    edit_of: dict[int, int] = {}
    index = file.index
    for number, edit in enumerate(wanted):
        ids = range(edit.first, edit.last + 1)
        old = [index.word(n) for n in ids]
        text = dress(old, edit.text, shouted=_shouted(index, edit))
        tokens = text.split(" ")
        alone = [len(old) != len(tokens) and _alone(index, n) for n in ids]
        for n, before, after in zip(ids, old, share(old, tokens, alone), strict=True):
            edit_of[n] = number
            if before != after:
                slots[n] = after
    return slots, edit_of


def _shouted(index: Index, edit: Edit) -> bool:
    """Whether the words and their neighbours are all in capitals."""
    near = range(max(0, edit.first - 3), min(index.count, edit.last + 4))
    words = [w for w in (index.word(n) for n in near) if sum(c.isalpha() for c in w) > 1]
    return len(words) > 1 and all(w.isupper() for w in words)


def _alone(index: Index, word: int) -> bool:
    """Whether the word is the only one on a line of a caption that shows it."""
    for cue in index.cues_with(word):
        line = index.line(cue)
        a, b = line.words[word - index.shown(cue).low]
        before = re.split(r"[\r\n]", line.text[:a])[-1]
        after = re.split(r"[\r\n]", line.text[b:], maxsplit=1)[0]
        if not before.strip() and not after.strip():
            return True
    return False


def _cues_with(index: Index, slots: Iterable[int]) -> list[int]:
    return sorted({cue for word in slots for cue in index.cues_with(word)})


def _cue_splices(
    file: CaptionFile, index: Index, cue: int, slots: dict[int, str], escape: Callable[[str, int], str]
) -> list[Splice]:
    where = index.reading.cues[cue]
    line = index.line(cue)
    shown = index.shown(cue)
    low = shown.low
    texts = {n: slots[low + n] for n in range(len(line.words)) if low + n in slots}
    bounds = (where.offset, where.stop) if file.kind in _BY_LINE else None
    out = line_splices(file.source, line, texts, escape, bounds)
    if file.kind in ("webvtt", "subrip"):
        _check_cue(file, index, cue, texts, apply(file.source, out, where.offset, where.stop))
    return out


def _check_cue(file: CaptionFile, index: Index, cue: int, texts: dict[int, str], text: str) -> None:
    """The caption's new text must read as the words that are meant: nothing is written that does not."""
    expected = [t for n, word in enumerate(index.tokens[cue]) for t in texts.get(n, word).split()]
    where = index.reading.cues[cue]
    before = file.source[where.offset : where.stop]
    pieces = index.reading.pieces
    assert pieces is not None
    odd = index.odd or "\udc80" <= max(text, default="") <= "\udcff"
    shown = "".join(tidy(p.text, odd, file.kind) for p in pieces(text, Cue(None, None, 0, len(text))))
    if WORD.findall(shown) != expected or text.count("-->") > before.count("-->"):
        number = next(iter(texts))
        raise CaptionError(
            f"The replacement {texts[number]!r} would not read as the same words in this file.",
            where=Where(file.path, cue=cue + 1, second=where.start_s),
            hint="Write the replacement without < > & { } or other signs that mean something in the format.",
        )


def _check_whole(file: CaptionFile, slots: dict[int, str], text: str) -> None:
    """Plain text has no syntax to escape a replacement in, so the new text is read again."""
    expected = [t for n, w in enumerate(file.words) for t in slots.get(n, w.text).split()]
    again = read_captions(encode(text, file.encoding), path=file.path)
    if again.kind != file.kind or [w.text for w in again.words] != expected:
        first = min(slots)
        raise CaptionError(
            f"The replacement {slots[first]!r} would be taken for a time or another sign of the file's form.",
            where=Where(file.path, second=file.words[first].start_s),
            hint="Write the replacement in other words.",
        )


def _escape(file: CaptionFile) -> Callable[[str, int], str]:
    """How a new text is written in this file: the format's escapes, then characters that its encoding has not."""
    of_format = file.index.reading.escape or (lambda text, _: text)
    old_bytes = file.encoding == "utf-8" and legacy(file.source)

    def escape(text: str, offset: int) -> str:
        written = of_format(text, offset)
        if written.isascii():
            return written
        if old_bytes:
            try:
                return written.encode("cp1252").decode("utf-8", "surrogateescape")
            except UnicodeEncodeError:
                pass
        elif file.encoding.startswith("utf-"):
            return written
        elif file.kind == "ttml":
            return "".join(c if _has(file.encoding, c) else f"&#{ord(c)};" for c in written)
        raise CaptionError(
            f"The replacement {text!r} has characters that the file's old encoding has not.",
            where=Where(file.path),
            hint="Save the captions as UTF-8 first, or write the replacement without accents and signs.",
        )

    return escape


def _has(encoding: str, character: str) -> bool:
    try:
        character.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True
