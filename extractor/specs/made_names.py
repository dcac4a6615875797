"""Names of things that can be home-made, and names that only the talk makes: "lovage aquavit", "buchu gin"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from extractor.lexicon import Lexicon, plain
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

MAKEABLE_KINDS = ("syrup", "cordial", "shrub", "plant milk", "brine", "puree")
# Poured as it is or steeped at home: only the talk around it can tell.
PERHAPS_KINDS = ("tea", "aromatised wine")
# What a spirit is steeped with.
STEEPED_KINDS = ("herb", "spice", "fruit", "nut", "tea", "flower", "seed", "vegetable", "coffee", "chocolate", "food")
STEEP_NEAR = 260
"""How near words of steeping, or a long time, must stand for two names to be one infusion. Our own estimate."""


@lru_cache(maxsize=64)
def _words_of_lines(lines: tuple[str, ...]) -> frozenset[str]:
    return frozenset(w for line in lines for w in line.split())


def word_list(lexicon: Lexicon, section: str) -> frozenset[str]:
    """A list of words of lexicon/talk/making.txt."""
    return _words_of_lines(tuple(lexicon.phrases["making"][section]))


def batch_words(lexicon: Lexicon) -> frozenset[str]:
    """Last words of names of things that are made in batches."""
    return word_list(lexicon, "made in batches")


def makeable(mention: Mention, lexicon: Lexicon, batch: frozenset[str]) -> bool:
    """Can this be home-made? By its entry or kind, its last word, or as a thing and a bottle in one name."""
    words = plain(mention.name).split()
    last = words[-1] if words else ""
    if mention.entry is not None:
        if mention.entry.house:
            return True
        if lexicon.is_any(mention.entry, MAKEABLE_KINDS):
            return True
    if "infused" in words:
        return True
    if last in batch and mention.entry is None and (len(words) > 1 or last in word_list(lexicon, "named alone")):
        return True
    return mention.how == "head" or (last == "honey" and len(words) > 1 and mention.entry is None)


def perhaps_makeable(mention: Mention, lexicon: Lexicon) -> bool:
    """A tea, a tincture, a walnut wine: mostly poured, sometimes made; the making must be told the more clearly."""
    words = plain(mention.name).split()
    if mention.entry is None:
        return False
    if words[-1] in word_list(lexicon, "perhaps made") and len(words) > 1:
        return True
    if len(words) > 1 and steeped_spirit(mention, lexicon):
        return True
    return lexicon.is_any(mention.entry, PERHAPS_KINDS)


def steeped_spirit(mention: Mention, lexicon: Lexicon) -> bool:
    """ "Dill aquavit", "chilli vodka": a plant and a spirit in one name of the lexicon."""
    words = plain(mention.name).split()
    plant, spirit = lexicon.named(" ".join(words[:-1])), lexicon.named(words[-1])
    if plant is None or spirit is None or not lexicon.is_a(spirit, "spirit"):
        return False
    return lexicon.is_any(plant, STEEPED_KINDS)


_BEFORE_A_NAME = (("the",), ("my",), ("our",), ("this",), ("a",), ("make",), ("made",), ("of",), ("some",))
_UNKNOWN_BEFORE = re.compile(r"(?<![\w'])(?:the|my|our|of|make|made|called) ([a-zà-ÿ]{4,}) $")


def form_of(mention: Mention, reader: TalkReader, lexicon: Lexicon) -> str | None:
    """The form that a thing is put in: the "leaves" of "green tea leaves"."""
    forms = word_list(lexicon, "forms")
    heard = plain(mention.heard).split()
    behind = reader.after(mention.end, 1)
    touching = reader.lower[mention.end : mention.end + 1] == " "
    whole = reader.after(mention.end, 3)[1:] in (("and", "all"), ("and", "everything"))  # "peaches, skins and all"
    if touching and behind and behind[0] in forms and behind[0] not in heard and not whole:
        return behind[0]
    return heard[-1] if len(heard) > 1 and heard[-1] in forms else None


def compounds(mentions: Sequence[Mention], reader: TalkReader, lexicon: Lexicon) -> list[Mention]:
    """Two names that are one: a plant right before a spirit, where the talk tells that one was steeped in the other.

    "You must make lovage aquavit": the pair is one name wherever it stands together. Also where the plant is a word
    that is in no dictionary ("cataia cachaça"), if the talk names it again beside the making.
    """
    mentions = [_with_its_head(m, lexicon) for m in mentions]
    pairs: set[tuple[str, str]] = set()
    unknown: set[tuple[str, str]] = set()
    for k, m in enumerate(mentions):
        if m.how == "head" and m.entry is None and len(m.heard.split()) == 2:
            plant, spirit = m.heard.lower().split()
            entry = lexicon.named(spirit)
            if entry is not None and lexicon.is_a(entry, "spirit"):
                unknown.add((plant, plain(spirit)))
        if not _is_spirit(m, lexicon):
            continue
        before = mentions[k - 1] if k else None
        if before is not None and _touching(before, m, reader) and _is_steeped(before, lexicon):
            if _introduced(before.start, reader) and _steeped_near(m, reader):
                pairs.add((plain(before.heard), plain(m.heard)))
            continue
        found = _UNKNOWN_BEFORE.search(reader.lower[max(0, m.start - 40) : m.start])
        word = found[1] if found is not None else None
        if before is not None and before.how in ("sound", "spelling") and _touching(before, m, reader):
            word = before.heard.lower()  # what sounds like a name right before a spirit is hardly that
        if word is not None and word not in word_list(lexicon, "no plant") and _steeped_near(m, reader):
            again = re.compile(
                r"(?:of|the|some|dried|called|leaves|it's|push|put) "
                + re.escape(word)
                + r"(?!\w| "
                + re.escape(m.heard.lower())
                + ")"
            )
            if again.search(reader.lower):
                unknown.add((word, plain(m.heard)))
    if not pairs and not unknown:
        return list(mentions)
    out: list[Mention] = []
    plants = {w for w, _ in unknown}
    for m in mentions:
        joins = any(m.end + 1 == n.start and _is_spirit(n, lexicon) for n in mentions)
        if m.how in ("sound", "spelling") and joins and m.heard.lower() in plants:
            continue
        if m.how in ("sound", "spelling") and plants & set(m.heard.lower().split()):
            word = next(w for w in m.heard.lower().split() if w in plants)
            out.append(replace(m, name=word, entry=None, how="unknown", guesses=(), core=None))
            continue
        if _is_spirit(m, lexicon):
            before = out[-1] if out else None
            if before is not None and _touching(before, m, reader) and (plain(before.heard), plain(m.heard)) in pairs:
                out[-1] = _joined(m, before.start, f"{before.heard} {m.name}", reader)
                continue
            said = next(
                (w for w, s in unknown if s == plain(m.heard) and reader.lower[: m.start].endswith(f" {w} ")), None
            )
            if said is not None:
                start = m.start - len(said) - 1
                out.append(_joined(m, start, f"{reader.talk.text[start : m.start - 1]} {m.name}", reader))
                continue
        out.append(m)
    return out


def _with_its_head(m: Mention, lexicon: Lexicon) -> Mention:
    """ "Heather honey syrup" is no heather honey: the words said are the name if they end in a head that it lacks."""
    heard, name = plain(m.heard).split(), plain(m.name).split()
    if m.how != "exact" or not heard or not name or heard[-1] not in batch_words(lexicon) or heard[-1] in name:
        return m
    if len(heard) <= len(name) or heard[: len(name)] != name:
        return m
    return replace(m, name=m.heard, entry=None, how="head", core=None)


def _joined(spirit: Mention, start: int, name: str, reader: TalkReader) -> Mention:
    return replace(
        spirit,
        start=start,
        name=name,
        heard=reader.talk.text[start : spirit.end],
        entry=None,
        how="head",
        core=None,
        guesses=(),
    )


def _touching(a: Mention, b: Mention, reader: TalkReader) -> bool:
    return reader.lower[a.end : b.start] == " "


def _is_spirit(m: Mention, lexicon: Lexicon) -> bool:
    return m.entry is not None and m.how in ("exact", "other name") and lexicon.is_a(m.entry, "spirit")


def _is_steeped(m: Mention, lexicon: Lexicon) -> bool:
    return lexicon.is_any(m.entry, STEEPED_KINDS)


def _introduced(start: int, reader: TalkReader) -> bool:
    return reader.before(start, 1)[-1:] in _BEFORE_A_NAME


def _steeped_near(m: Mention, reader: TalkReader) -> bool:
    low, high = m.start - STEEP_NEAR, m.end + STEEP_NEAR
    if reader.has("homemade.steep words", max(0, low), high):
        return True
    return any(m.end <= x.start < high and x.kind == "time" and (x.high or 0) >= 600 for x in reader.talk.measures)
