"""The lists of words in JSON segments, rewritten with the text: strings, and times where words join or part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from extractor.captions.json_places import Node
from extractor.captions.segment_words import listed, parts_of, string_line
from extractor.captions.segments import Entry, WordList
from extractor.captions.splices import Splice, apply, over
from extractor.captions.words import Index


@dataclass(slots=True)
class _Change:
    """What becomes of one entry: stretches of what it shows, and the edit that it is part of."""

    edit: int
    stretches: list[tuple[int, int, str]] = field(default_factory=list)


def list_splices(
    index: Index,
    words: WordList,
    slots: Mapping[int, str],
    edit_of: Mapping[int, int],
    escape: Callable[[str, int], str],
) -> list[Splice]:
    """`slots[w]` is what spoken word w becomes, `edit_of[w]` the number of its edit."""
    spoken = listed(index, words)
    if not any(word in slots for word in spoken):
        return []
    source = index.source
    entries = words.entries
    changes: dict[int, _Change] = {}
    spaced = any(e.text[:1].isspace() for e in entries)
    for word, parts in zip(spoken, parts_of(index, words), strict=True):
        if word not in slots or not parts:
            continue
        texts = over(slots[word], len(parts), " " if spaced else "")
        for part, text in zip(parts, texts, strict=True):
            change = changes.setdefault(part.entry, _Change(edit_of[word]))
            change.stretches.append((part.begin, part.end, text))
    if not changes:
        return []
    gone = {n for n, change in changes.items() if not _content(entries[n], change).strip()}
    times = _joined_times(source, entries, changes, gone)
    out: dict[int, list[str]] = {}
    for n, change in changes.items():
        if n in gone:
            out[n] = []
            continue
        (_, _, text), *others = change.stretches
        if (
            not others
            and " " in text.strip()
            and _content(entries[n], change).split() == text.split()
            and _single(entries[n])
        ):
            out[n] = _parted(source, entries[n], text.split(), escape, times.get(n, []))
        else:
            node = entries[n].node
            inner = [*_string(source, entries[n], change, escape), *times.get(n, [])]
            out[n] = [apply(source, inner, node.start, node.stop)]
    return [_rebuilt(source, words, out)]


def _single(entry: Entry) -> bool:
    return len(entry.text.split()) == 1


def _content(entry: Entry, change: _Change) -> str:
    text = entry.text
    for begin, end, new in sorted(change.stretches, reverse=True):
        text = text[:begin] + new + text[end:]
    return text


def _string(source: str, entry: Entry, change: _Change, escape: Callable[[str, int], str]) -> list[Splice]:
    line = string_line(entry.pieces)
    out = []
    for begin, end, text in change.stretches:
        if not text:  # with a word that goes, a space beside it
            while begin and entry.text[begin - 1].isspace():
                begin -= 1
            if not begin:
                begin = len(entry.text) - len(entry.text.lstrip())
                while end < len(entry.text) and entry.text[end].isspace():
                    end += 1
        for n, place in enumerate(line.places(begin, end)):
            out.append(Splice(place.offset, place.length, escape(text, place.offset) if n == 0 else ""))
    return out


def _joined_times(
    source: str, entries: list[Entry], changes: Mapping[int, _Change], gone: set[int]
) -> dict[int, list[Splice]]:
    """An entry that stays takes over the time of its neighbours in the same edit that go."""
    out: dict[int, list[Splice]] = {}
    for n in sorted(gone):
        edit = changes[n].edit
        before = n - 1
        while before in gone and changes[before].edit == edit:
            before -= 1
        after = n + 1
        while after in gone and changes[after].edit == edit:
            after += 1
        for kept, name in ((before, "end"), (after, "start")):
            if kept not in changes or kept in gone or changes[kept].edit != edit:
                continue
            new, old = _time(entries[n], name), _time(entries[kept], name)
            if new is not None and old is not None:
                ours = out.setdefault(kept, [])
                ours[:] = [s for s in ours if s.offset != old.start]
                ours.append(Splice(old.start, old.stop - old.start, source[new.start : new.stop]))
            break
    return out


def _time(entry: Entry, name: str) -> Node | None:
    node = (entry.node.members or {}).get(name)
    return node if node is not None and node.number is not None else None


def _parted(
    source: str, entry: Entry, tokens: list[str], escape: Callable[[str, int], str], times: list[Splice]
) -> list[str]:
    """One item as several, one a word, sharing its time by length."""
    node, string = entry.node, entry.string
    text = entry.text
    head, tail = text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]
    first, last = _time(entry, "start"), _time(entry, "end")
    outer = {s.offset: s.text for s in times}  # taken over from neighbours that go
    edges: list[float] = []
    if first is not None and last is not None:
        begin = _value(outer.get(first.start), first)
        span = _value(outer.get(last.start), last) - begin
        size = sum(len(t) for t in tokens)
        edges = [round(begin + span * sum(len(t) for t in tokens[:n]) / size, 3) for n in range(len(tokens) + 1)]
    out = []
    for n, token in enumerate(tokens):
        shown = '"' + escape(head + token + tail, string.start) + '"'
        inner = [Splice(string.start, string.stop - string.start, shown)]
        for at, node_of in ((n, first), (n + 1, last)):
            if not edges or node_of is None:
                continue
            if 0 < at < len(tokens):
                inner.append(Splice(node_of.start, node_of.stop - node_of.start, _number(edges[at], node_of)))
            elif node_of.start in outer:
                inner.append(Splice(node_of.start, node_of.stop - node_of.start, outer[node_of.start]))
        out.append(apply(source, inner, node.start, node.stop))
    return out


def _value(text: str | None, node: Node) -> float:
    number = float(text.strip('"')) if text is not None else node.number
    assert number is not None
    return number


def _number(value: float, like: Node) -> str:
    return f'"{value}"' if like.text is not None else str(value)


def _rebuilt(source: str, words: WordList, changed: Mapping[int, list[str]]) -> Splice:
    """The list from its first item to its last, with the changed items; the separators are the file's own."""
    items = words.node.items or []
    number = {e.node.start: n for n, e in enumerate(words.entries)}
    out: list[str] = []
    between = ", "
    if len(items) > 1:
        between = source[items[0].stop : items[1].start]
    for k, item in enumerate(items):
        separator = source[items[k - 1].stop : item.start] if k else between
        texts = [source[item.start : item.stop]]
        if item.start in number and number[item.start] in changed:
            texts = changed[number[item.start]]
        for n, text in enumerate(texts):
            if out:
                out.append(separator if n == 0 else between)
            out.append(text)
    return Splice(items[0].start, items[-1].stop - items[0].start, "".join(out))
