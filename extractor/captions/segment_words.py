"""The lists of words in JSON segments: which entries stand for which spoken words, and what times they give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from extractor.captions.cues import Cue, Piece
from extractor.captions.json_places import pieces
from extractor.captions.segments import Entry, Segments, WordList
from extractor.captions.words import WORD, Index, Line
from extractor.record.words import Place, Word


@dataclass(frozen=True, slots=True)
class Part:
    """The characters `begin` to `end` of what entry number `entry` of a list shows."""

    entry: int
    begin: int
    end: int


def align(tokens: list[str], entries: list[Entry]) -> list[tuple[Part, ...]]:
    """For each word of the text, the entries (or parts of entries) that stand for it; none where they differ."""
    texts = [e.text for e in entries]
    if "".join(tokens) == "".join("".join(t.split()) for t in texts):
        return _by_character(tokens, texts)
    from difflib import SequenceMatcher

    ours = [_core(t) for t in tokens]
    pieces_of = [(n, t, text) for n, text in enumerate(texts) for t in _spans(text)]
    theirs = [_core(text[a:b]) for _, (a, b), text in pieces_of]
    out: list[tuple[Part, ...]] = [()] * len(tokens)
    for block in SequenceMatcher(None, ours, theirs, autojunk=False).get_matching_blocks():
        for k in range(block.size):
            n, (a, b), _ = pieces_of[block.b + k]
            out[block.a + k] = (Part(n, a, b),)
    return out


def _by_character(tokens: list[str], texts: list[str]) -> list[tuple[Part, ...]]:
    letters = [(n, at) for n, text in enumerate(texts) for at, c in enumerate(text) if not c.isspace()]
    out = []
    ends = list(accumulate(len(t) for t in tokens))
    for token, end in zip(tokens, ends, strict=True):
        parts: list[Part] = []
        for n, at in letters[end - len(token) : end]:
            if parts and parts[-1].entry == n and parts[-1].end == at:
                parts[-1] = Part(n, parts[-1].begin, at + 1)
            else:
                parts.append(Part(n, at, at + 1))
        out.append(tuple(parts))
    return out


def _spans(text: str) -> list[tuple[int, int]]:
    out, at = [], 0
    for word in text.split():
        at = text.index(word, at)
        out.append((at, at + len(word)))
        at += len(word)
    return out


def _core(word: str) -> str:
    kept = "".join(c for c in word.casefold() if c.isalnum())
    return kept or word


def listed(index: Index, words: WordList) -> list[int]:
    """The spoken words that the cues of a list show, in order: indexes of words."""
    out: list[int] = []
    for cue in range(words.first_cue, words.last_cue + 1):
        low = index.shown(cue).low
        out += range(low, low + len(index.tokens[cue]))
    return out


def parts_of(index: Index, words: WordList) -> list[tuple[Part, ...]]:
    tokens = [t for cue in range(words.first_cue, words.last_cue + 1) for t in index.tokens[cue]]
    return align(tokens, words.entries)


def string_line(pieces: Sequence[Piece]) -> Line:
    """A JSON string as a line, so that its places are found as those of a caption are."""
    text = "".join(p.text for p in pieces)
    ends = accumulate((len(p.text) for p in pieces), initial=0)
    return Line(text, tuple(zip(ends, pieces, strict=False)), tuple(m.span() for m in WORD.finditer(text)))


def whole_line(index: Index, segments: Segments) -> Line | None:
    """The whole text at the top, if it hwords the very words of the segments."""
    whole = segments.whole
    if whole is None or whole.text is None:
        return None
    line = string_line(pieces(index.source, whole.start + 1, whole.stop - 1))
    spoken = [index.word(n) for n in range(index.count)]
    return line if spoken == [line.text[a:b] for a, b in line.words] else None


def with_whole(words: tuple[Word, ...], index: Index, segments: Segments) -> tuple[Word, ...]:
    line = whole_line(index, segments)
    if line is None:
        return words
    spans = zip(words, line.words, strict=True)
    return tuple(replace(word, copies=(*word.copies, line.places(a, b))) for word, (a, b) in spans)


def with_entries(words: tuple[Word, ...], index: Index, segments: Segments) -> tuple[Word, ...]:
    """The words with the times, probabilities, speakers and further places that the lists give."""
    copies: list[list[tuple[Place, ...]]] = [list(w.copies) for w in words]
    found_times: dict[int, tuple[float | None, float | None, float | None, str | None]] = {}
    timed: set[int] = set()
    for each in segments.lists:
        ids = listed(index, each)
        lines = [string_line(e.pieces) for e in each.entries]
        parts = parts_of(index, each)
        for word, found in zip(ids, parts, strict=True):
            places = tuple(p for part in found for p in lines[part.entry].places(part.begin, part.end))
            if places and places not in copies[word]:
                copies[word].append(places)
        if each.first_cue in timed:
            continue
        timed.update(range(each.first_cue, each.last_cue + 1))
        at = 0
        for cue in range(each.first_cue, each.last_cue + 1):
            size = len(index.tokens[cue])
            mine, theirs = ids[at : at + size], parts[at : at + size]
            at += size
            spans = _spread(mine, theirs, each.entries, words, index.reading.cues[cue])
            for word, (start_s, end_s), found in zip(mine, spans, theirs, strict=True):
                if word < index.shown(cue).new:
                    continue  # shown again: its times are those of the first time
                entry = each.entries[found[0].entry] if found else None
                found_times[word] = (
                    start_s,
                    end_s,
                    entry.probability if entry else None,
                    entry.speaker if entry else None,
                )
    out: list[Word] = []
    speaker: str | None = None
    for i, old in enumerate(words):
        start_s, end_s, probability, said = found_times.get(i, (old.start_s, old.end_s, None, None))
        said = said or old.speaker
        turn = old.paragraph or said != speaker
        speaker = said
        out.append(Word(old.text, start_s, end_s, old.cue, tuple(copies[i]), said, turn, probability))
    return tuple(out)


def _spread(
    ids: list[int], parts: list[tuple[Part, ...]], entries: list[Entry], words: tuple[Word, ...], cue: Cue
) -> list[tuple[float | None, float | None]]:
    """Each word's times by its entries; words without any share the time between their neighbours by length."""
    known = [_times(found, entries) for found in parts]
    out: list[tuple[float | None, float | None]] = []
    n = 0
    while n < len(ids):
        here = known[n]
        if here is not None:
            out.append(here)
            n += 1
            continue
        stop = next((k for k in range(n, len(ids)) if known[k] is not None), len(ids))
        begin = out[-1][1] if out else cue.start_s
        after = known[stop] if stop < len(ids) else None
        end = after[0] if after is not None else cue.end_s
        if begin is None or end is None or end < begin:
            out += [(begin, begin)] * (stop - n)
        else:
            sizes = list(accumulate((len(words[k].text) for k in ids[n:stop]), initial=0))
            edges = [round(begin + (end - begin) * s / max(sizes[-1], 1), 3) for s in sizes]
            out += list(pairwise(edges))
        n = stop
    return out


def _times(found: tuple[Part, ...], entries: list[Entry]) -> tuple[float, float] | None:
    if not found:
        return None
    first, last = entries[found[0].entry], entries[found[-1].entry]
    if first.start_s is None or first.end_s is None or last.start_s is None or last.end_s is None:
        return None
    start_s = _inside(first, found[0].begin)
    end_s = _inside(last, found[-1].end)
    return (start_s, end_s) if end_s >= start_s else (start_s, start_s)


def _inside(entry: Entry, at: int) -> float:
    """The time of a position in an entry that may hold more than one word."""
    assert entry.start_s is not None
    assert entry.end_s is not None
    head = len(entry.text) - len(entry.text.lstrip())
    size = len(entry.text.strip())
    share = (at - head) / size if size else 0.0
    return round(entry.start_s + (entry.end_s - entry.start_s) * min(1.0, max(0.0, share)), 3)
