"""Two drinks told in turns: "hers is the Jack High, and mine is the Wrong Bias. Hers starts with two measures of ..."

What the speaker tells the drinks apart by (a label: "hers", "the tall one", "the first") is said once with the
names; from
then on a label, a name or the label's pronoun with a verb of getting ("she gets", "I take") switches the drink in hand.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from extractor.record.talk import Mention
from extractor.specs.drink_names import Name, NameWords, key_of, names_at
from extractor.specs.gaps import TalkReader

DEFINED_WITHIN = 0.4
"""The labels are told in the first part of the talk."""
APART = 160
"""Both in one breath: so many characters."""
SWITCHES = 3
"""Names that only stand in a list are told in turns where the talk goes to and fro so many times, amounts each time."""
_IN = ("in", "into", "for", "to", "on", "with", "of")


@dataclass(frozen=True)
class Turns:
    """Two drinks told in turns: where they are named, and from which offsets which of them (0 or 1) is in hand."""

    start: int
    names: tuple[Name, Name]
    labels: tuple[frozenset[str], frozenset[str]]
    switches: tuple[tuple[int, int], ...]


def _families(words: NameWords) -> Mapping[str, tuple[str, ...]]:
    """label -> the pronouns that stand for it ("hers" -> "she")."""
    out: dict[str, tuple[str, ...]] = {}
    for line in words.sections.get("labels", ()):
        label, _, pronouns = line.partition(":")
        out[label.strip()] = tuple(pronouns.split())
    return out


def _alternatives(words: NameWords, section: str) -> str:
    return "|".join(re.escape(p) for p in sorted(words.sections.get(section, ()), key=len, reverse=True))


def _label_pattern(words: NameWords) -> str:
    return rf"(?:{'|'.join(map(re.escape, _families(words)))}|the \w+ one|the (?:first|second|other|left|right))"


def defined(reader: TalkReader, mentions: Sequence[Mention], words: NameWords) -> list[tuple[str, Name]]:
    """The two labels and their names, where a speaker gives both in one breath; else nothing."""
    found: list[tuple[str, Name]] = []
    is_ = _alternatives(words, "label is")
    pattern = rf"(?<![\w'])({_label_pattern(words)})(?:\s+|(?='s))(?:{is_})(?![\w])"
    for m in re.finditer(pattern, reader.lower[: int(DEFINED_WITHIN * len(reader.lower))]):
        limit = reader.sentence(m.end())[1] if reader.talk.punctuated else m.end() + 60
        name = next((n for n in names_at(reader, m.end(), limit, mentions, words, said_so=True)), None)
        if name is None or (reader.talk.punctuated and not name.capitals and name.article != "the"):
            continue
        if name.article in ("a", "an") or (len(name.text.split()) == 1 and name.text in words.describing):
            continue
        if any(found and x[0] == m[1] for x in found):
            continue
        if found and m.start() - found[-1][1].end > APART:
            found = []
        found.append((m[1], name))
        if len(found) == 2:
            a, b = found
            if any(a[1].end <= x.start < b[1].start and x.kind == "amount" for x in reader.talk.measures):
                found = [found[1]]
                continue
            return found
    return []


def _hits(
    reader: TalkReader, start: int, end: int, labels: Sequence[frozenset[str]], names: Sequence[Name], words: NameWords
) -> list[tuple[int, int, int]]:
    """(start, end, drink) of every label, name and pronoun with a verb of getting."""
    out: list[tuple[int, int, int]] = []
    families = _families(words)
    verbs = _alternatives(words, "label gets")
    text = reader.lower
    for k in (0, 1):
        said = [re.escape(x) for x in labels[k]] + [re.escape(names[k].text.lower())]
        out += [
            (m.start() + start, m.end() + start, k)
            for m in re.finditer(rf"(?<![\w'])(?:{'|'.join(said)})(?!\w)", text[start:end])
        ]
        pronouns = [p for x in labels[k] for p in families.get(x, ())]
        if pronouns:
            spoken = rf"(?<![\w'])(?:{'|'.join(map(re.escape, pronouns))})(?:\s+|(?='))(?:{verbs})(?!\w)"
            out += [(m.start() + start, m.end() + start, k) for m in re.finditer(spoken, text[start:end])]
    return sorted(out)


def switches(
    reader: TalkReader, start: int, end: int, labels: Sequence[frozenset[str]], names: Sequence[Name], words: NameWords
) -> list[tuple[int, int]]:
    """From which offsets which drink is in hand. "Twenty mil of cordial in hers" takes the amount before it along."""
    measures = sorted(m.start for m in reader.talk.measures if m.kind in ("amount", "number", "vague", "equal"))

    def measured(a: int, b: int) -> bool:
        return bisect_left(measures, b) > bisect_left(measures, a)

    out: list[tuple[int, int]] = []
    hits = _hits(reader, start, end, labels, names, words)
    for k, (a, b, drink) in enumerate(hits):
        s0, s1 = reader.sentence(a)
        previous = hits[k - 1][1] if k and hits[k - 1][1] > s0 else s0
        following = hits[k + 1][0] if k + 1 < len(hits) and hits[k + 1][0] < s1 else s1
        before = [w for w in reader.before(a, 2) if w not in ("the", "a", "my", "our")][-1:]
        behind = bool(before) and before[0] in _IN
        at = a
        # "Three quarters in mine, half an ounce in his": at the end of its clause it takes the amount before it.
        closes = re.match(r"\s*(?:[,.;]|and\b|$)", reader.lower[b : b + 5]) is not None
        if behind and measured(previous, a) and (closes or not measured(b, following)):
            first = next(m for m in measures if m >= previous)
            comma = max(reader.lower.rfind(",", previous, first), reader.lower.rfind(" and ", previous, first))
            at = comma + 1 if comma >= 0 else previous
        elif behind:
            at = max(s0, reader.lower.rfind(before[0], s0, a))
        out.append((max(at, out[-1][0] + 1) if out else at, drink))
    return out


def find_turns(
    reader: TalkReader, mentions: Sequence[Mention], words: NameWords, lists: Sequence[Sequence[Name]], end: int
) -> Turns | None:
    """The two drinks that are told in turns, or None. end: where the talk of them ends at the latest."""
    pairs = defined(reader, mentions, words)
    if pairs:
        (first, a), (second, b) = pairs
        labels = (frozenset((first,)), frozenset((second,)))
        found = switches(reader, b.end, end, labels, (a, b), words)
        if len({d for _, d in found}) == 2:
            return Turns(min(a.start, b.start), (a, b), labels, tuple(found))
    for group in lists:
        if (
            len(group) != 2
            or group[0].start > DEFINED_WITHIN * len(reader.lower)
            or key_of(group[0].text) == key_of(group[1].text)
        ):
            continue
        first, second = (n.text.lower() for n in group)
        labels = (
            frozenset(("the first", "the first one", first)),
            frozenset(("the second", "the second one", second)),
        )
        found = switches(reader, group[1].end, end, labels, (group[0], group[1]), words)
        if _to_and_fro(reader, found, end) >= SWITCHES:
            return Turns(group[0].start, (group[0], group[1]), labels, tuple(found))
    return None


def _to_and_fro(reader: TalkReader, found: Sequence[tuple[int, int]], end: int) -> int:
    """How often the talk changes to the other drink with an amount of something new, in quick turns."""
    count, last = 0, None
    for k, (at, drink) in enumerate(found):
        until = found[k + 1][0] if k + 1 < len(found) else end
        poured = [m for m in reader.talk.measures if m.kind == "amount" and at <= m.start < until]
        if not poured:
            continue
        if len(poured) > 4:
            return 0  # told one after the other
        count += drink != last
        last = drink
    return count
