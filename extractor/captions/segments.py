"""JSON segments, as speech recognisers write them.

    {"segments": [{"start": 0.0, "end": 2.5, "text": "...", "words": [{"word", "start", "end", "probability"}]}]}

`words` may be absent, their times missing or NaN, a word cut over several entries, and the text may differ from its
words. The segment's text is what was said; entries that stand for the same characters give the times. A whole text
at the top, and a list `word_segments` of all words, are copies of the same.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field

from extractor.captions.cues import Cue, Piece, Reading, line_number
from extractor.captions.json_places import Node, nodes, pieces
from extractor.errors import CaptionError, Where

SHAPE = '{"segments": [{"start": 0.0, "end": 2.5, "text": "..."}]}'
_HINT = f"JSON captions look like {SHAPE}; each segment may have a list of words with their times."


@dataclass(frozen=True, slots=True)
class Entry:
    """One item of a list of words: its node, the node of its string, and what that shows without space around."""

    node: Node
    string: Node
    pieces: tuple[Piece, ...]
    text: str
    start_s: float | None
    end_s: float | None
    probability: float | None
    speaker: str | None


@dataclass(slots=True)
class WordList:
    """A list of words in the file, and the cues whose words it holds: `cues` from first to last."""

    node: Node
    entries: list[Entry]
    first_cue: int
    last_cue: int


@dataclass(slots=True)
class Segments:
    reading: Reading
    lists: list[WordList] = field(default_factory=list)
    worded: set[int] = field(default_factory=set)
    """Cues without a text of their own: they show what their list of words holds."""
    whole: Node | None = None
    """The string at the top that holds the whole talk."""


def read(source: str, path: str | None) -> Segments:
    """Raises CaptionError where the text is no JSON, or JSON of another shape."""
    start = 1 if source.startswith("\ufeff") else 0
    try:
        json.loads(source[start:])
        top = nodes(source, start)
    except json.JSONDecodeError as error:
        raise CaptionError(
            f"The JSON breaks off or is not sound: {error.msg} (column {error.colno}). Expected {SHAPE}.",
            where=Where(path, error.lineno),
            hint=_HINT,
        ) from None
    except ValueError:  # a number too long to be read
        raise _other("The JSON holds a number of thousands of digits", source, start, path) from None
    except RecursionError:
        raise _other("The JSON is nested too deeply to be captions", source, 0, path) from None
    if top.members is None or "segments" not in top.members:
        raise _other("The JSON has no segments", source, top.start, path)
    listed = top.members["segments"]
    if listed.items is None:
        raise _other("The segments are no list", source, listed.start, path)
    reading = Reading("segments", [], marks='\\"')
    out = Segments(reading)
    shown: dict[int, list[Piece]] = {}
    skipped = 0
    for number, segment in enumerate(listed.items, 1):
        members = segment.members
        if members is None:
            raise _other("A segment is no object", source, segment.start, path, number)
        text = members.get("text")
        words = members.get("words")
        entries = _entries(source, words)
        if (text is None or text.text is None) and words is None:
            raise _other("A segment has neither text nor words", source, segment.start, path, number)
        start_s, end_s = _number(members, "start"), _number(members, "end")
        if start_s is None:
            start_s = next((e.start_s for e in entries if e.start_s is not None), None)
        if end_s is None:
            end_s = next((e.end_s for e in reversed(entries) if e.end_s is not None), None)
        speaker = members["speaker"].text if "speaker" in members else None
        if text is not None and text.text is not None and (text.text.strip() or not entries):
            offset, stop = text.start + 1, text.stop - 1
            found = pieces(source, offset, stop)
            if any(p.length != len(p.text) for p in found):
                shown[offset] = found
        else:  # no text of its own: what its words show
            found = []
            for entry in entries:
                found += [*entry.pieces, Piece(" ", entry.string.stop, 0)]
            offset = entries[0].string.start if entries else segment.start
            stop = entries[-1].string.stop if entries else segment.start
            shown[offset] = found
            out.worded.add(len(reading.cues))
        if not entries and not found:
            skipped += 1
        if words is not None and words.items is not None and entries:
            cue = len(reading.cues)
            out.lists.append(WordList(words, entries, cue, cue))
        reading.cues.append(Cue(start_s, end_s, offset, stop, speaker))
    whole = top.members.get("text")
    if whole is not None and whole.text is not None:
        out.whole = whole
    again = top.members.get("word_segments")
    entries = _entries(source, again)
    if again is not None and entries and reading.cues:
        out.lists.append(WordList(again, entries, 0, len(reading.cues) - 1))
    if skipped:
        reading.notes.append(f"{skipped} segments have no words.")

    def found_pieces(source: str, cue: Cue) -> list[Piece]:
        return shown.get(cue.offset) or pieces(source, cue.offset, cue.stop)

    reading.pieces = found_pieces
    plain = source.isascii()
    reading.escape = lambda text, _: json.dumps(text, ensure_ascii=plain)[1:-1]
    return out


def _other(what: str, source: str, at: int, path: str | None, cue: int | None = None) -> CaptionError:
    where = Where(path, line_number(source, at), cue)
    return CaptionError(f"{what.rstrip('.')}. Expected {SHAPE}.", where=where, hint=_HINT)


def _number(members: dict[str, Node], *names: str) -> float | None:
    for name in names:
        if name in members:
            return members[name].number
    return None


def _entries(source: str, words: Node | None) -> list[Entry]:
    """The items that have a word; others (a time without a word) are passed over."""
    out = []
    for item in (words.items or []) if words is not None else []:
        members = item.members
        if members is None:
            continue
        string = next((members[k] for k in ("word", "text", "punctuated_word") if k in members), None)
        if string is None or string.text is None:
            continue
        shown = tuple(pieces(source, string.start + 1, string.stop - 1))
        speaker = members["speaker"].text if "speaker" in members else None
        start_s, end_s = _number(members, "start"), _number(members, "end")
        probability = _number(members, "probability", "score", "confidence")
        out.append(Entry(item, string, shown, "".join(p.text for p in shown), start_s, end_s, probability, speaker))
    return out
