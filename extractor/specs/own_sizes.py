"""A speaker's own sizes: "when I say a measure I mean twenty-five mil", "for me one espresso is thirty mil"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from extractor.lexicon import Lexicon
from extractor.numbers import NUMBERS
from extractor.record.measure import Measure
from extractor.record.talk import Mention
from extractor.specs.gaps import TalkReader

# What can be given a size of one's own. "Small peg" and "large peg" are two words.
_WORD = (
    r"(?:(?:small|large|big|little|single|double) )?"
    r"(?:measure|peg|shot|single|double|jigger|ounce|dash|barspoon|bar spoon|(?:egg|tea|coffee|espresso)? ?cup|"
    r"(?:shot|wine|sherry|schnapps)? ?glass|spoon|tot|nip|part|eggcup|teacup|ladle|lid|cap|capful|thimble|finger|mug)s?"
)
_DEFINES = (
    re.compile(
        rf"when i say (?:a |an |one |the )?(?P<word>{_WORD})(?: in this [a-z]+| here)?,? "
        r"(?:i mean|it's|that's|it is|that is) "
    ),
    # "When I say one snaps, then you know, it is four centilitres": in whatever word.
    re.compile(
        r"when i say (?:a|an|one) (?P<word>[a-zà-ÿ]{3,})(?:, | )(?:[a-z']+,? ){0,5}?"
        r"(?:it's|it is|i mean|that's|that is|think) "
    ),
    re.compile(
        rf"(?:my|our|a|an|one|the|for me an?|for me one) (?P<word>{_WORD}) "
        r"(?:here |in this [a-z]+ |for me |with me |in my [a-z]+ )?(?:is|means|equals|holds|takes|=) "
        r"(?:exactly |about |just )?"
    ),
    # "One big side means forty-five mil": in whatever word, with its size or with "means".
    re.compile(
        r"(?:one|a|an|my|our) (?P<word>(?:small|big|large|little|short|full) [a-zà-ÿ]{3,12}) (?:here |for me )?"
        r"(?:is|means|equals|=) (?:exactly |about )?"
    ),
    re.compile(r"(?:one|a|an|my|our) (?P<word>[a-zà-ÿ]{3,12}) means (?:exactly |about )?"),
    # "A part, with the jigger I've got here, is fifteen mil", "my measure's twenty-five mil"
    re.compile(
        rf"(?:my|our|a|an|one|the) (?P<word>{_WORD}),? (?:with|on|in|for|by) [a-z' ]{{2,34}}, (?:is|means|holds) "
    ),
    re.compile(rf"(?:my|our|the|a) (?P<word>{_WORD})'s (?:exactly |about |just )?"),
)
_VOLUMES = ("ml", "cl", "fl_oz", "l", "tbsp", "tsp")
_SPOKEN = {w: n for w, n in NUMBERS.items() if n}
_NUMBER = re.compile(rf"(?:half an?|an?|\d+|(?:{'|'.join(_SPOKEN)})(?: (?:{'|'.join(_SPOKEN)}))?)(?!\w)")
CARRIED_WITHIN = 60
"""A bare number that gives a size takes the unit of a size given so many characters before it."""


_THAT_IS = (("that's",), ("meaning",), ("so",), ("that", "is"), ("which", "is"))
TOLD_BEHIND = 30
TOLD_BEHIND_IN_SENTENCE = 90
"""So many characters behind an amount in words of one's own its size may be told; more where nothing else is named."""


def _told_behind(reader: TalkReader, measures: Sequence[Measure]) -> Iterator[tuple[str, Measure]]:
    """ "A measure of gin, that's twenty-five mil": a word whose size is told where it is used first."""
    for a, b in pairwise(m for m in measures if m.kind == "amount"):
        word = re.search(rf"\b{_WORD}\b", a.said.lower()) if a.counted is not None else None
        if word is None or a.counted is None or a.counted[0] != a.counted[1] or a.counted[0] == 0:
            continue
        gap = reader.gap(a.end, b.start)
        named = any(m.group == "ingredient" and m.how == "exact" for m in reader.mentions_in(a.end, b.start))
        within = TOLD_BEHIND if named else TOLD_BEHIND_IN_SENTENCE
        if b.unit not in ("ml", "cl", "fl_oz") or not b.low or gap.stop or b.start - a.end > within:
            continue
        if not any(gap.words[-len(w) :] == w for w in _THAT_IS) or reader.after(b.end, 1) == ("of",):
            continue
        yield _singular(word.group()), replace(b, low=b.low / a.counted[0], high=(b.high or b.low) / a.counted[0])


def definitions(reader: TalkReader, measures: Sequence[Measure]) -> dict[str, tuple[Measure, int]]:
    """Each word that the talk gives a size, with that size and where it is given."""
    out: dict[str, tuple[Measure, int]] = {w: (size, size.start) for w, size in _told_behind(reader, measures)}
    last: tuple[Measure, int] | None = None
    for m in sorted((m for p in _DEFINES for m in p.finditer(reader.lower)), key=lambda m: m.start()):
        size = next((x for x in measures if m.end() <= x.start <= m.end() + 14 and x.unit in _VOLUMES and x.low), None)
        if size is None and last is not None and m.start() - last[1] <= CARRIED_WITHIN:
            # "A small peg is thirty mil and a large peg is sixty."
            number = _NUMBER.match(reader.lower, m.end())
            low = _number(number.group()) if number is not None else None
            size = replace(last[0], low=low, high=low, start=m.end()) if low is not None else None
        if size is not None:
            last = size, size.start
            out.setdefault(_singular(m["word"]), last)
    if "measure" in out:
        # Who says what a measure is pours two of it for a double.
        size, at = out["measure"]
        out.setdefault("single", (size, at))
        assert size.low is not None
        out.setdefault("double", (replace(size, low=2 * size.low, high=2 * (size.high or size.low)), at))
    return out


def _number(said: str) -> Fraction | None:
    words = said.split()
    if words in (["half", "a"], ["half"]):
        return Fraction(1, 2)
    if words in (["a"], ["an"]):
        return Fraction(1)
    total = Fraction(0)
    for w in words:
        if w not in _SPOKEN and not w.isdigit():
            return None
        total += Fraction(_SPOKEN.get(w, 0) or int(w))
    return total


def _unread(defined: dict[str, tuple[Measure, int]], reader: TalkReader, known: Sequence[Measure]) -> list[Measure]:
    """ "One large peg of gin": amounts in words that no grammar knows, but the speaker has given a size."""
    out: list[Measure] = []
    for word, (size, place) in defined.items():
        assert size.low is not None
        # "Small side of brandy": one of them.
        bare = rf"(?:(?:^|[.?!,;:] )(?:and |then |plus )?)(?P<bare>{re.escape(word)} of)(?!\w)"
        counted = rf"(?<![\w'])(?P<n>{_NUMBER.pattern}) {re.escape(word)}s?(?!\w)"
        for m in re.finditer(f"{counted}|{bare}", reader.lower):
            count = _number(m["n"]) if m["n"] is not None else Fraction(1)
            taken = any(k.start < m.end() and m.start() < k.end for k in known)
            if count is None or taken or m.end() <= place <= m.end() + 30:
                continue
            start, end = m.span("bare") if m["n"] is None else m.span()
            said = reader.talk.text[start:end]
            low, high = count * size.low, count * (size.high or size.low)
            out.append(Measure(start, end, "amount", low, high, size.unit, said, rule="own size"))
    return out


def _singular(word: str) -> str:
    return word[:-1] if word.endswith("s") else word


def own_sizes(measures: Sequence[Measure], reader: TalkReader, everything: Sequence[Measure]) -> list[Measure]:
    """The measures with the speaker's own sizes put in; the sentence that gives a size is no amount itself.

    A number before a word that the grammar does not know ("two large pegs of rum") is widened over the word.
    """
    defined = definitions(reader, everything)
    if not defined:
        return list(measures)
    places = {at for _, at in defined.values()}
    out: list[Measure] = []
    for m in measures:
        if m.start in places or _in_own_words(m, defined):
            continue
        word, end = _own_word(m, reader, defined)
        if word is None:
            out.append(m)
            continue
        size = defined[word][0]
        count_low, count_high = _count(m)
        assert size.low is not None
        out.append(
            replace(
                m,
                low=count_low * size.low,
                high=count_high * (size.high or size.low),
                unit=size.unit,
                kind="amount",
                end=end,
                said=reader.talk.text[m.start : end],
                convention=None,
                counted=(count_low, count_high),
            )
        )
    known = [m for m in everything if not _in_own_words(m, defined)]
    out += _unread(defined, reader, known)
    out = [m for m in out if not any(x is not m and x.start < m.start < m.end <= x.end for x in out)]
    return sorted(out, key=lambda m: m.start)


def _in_own_words(m: Measure, defined: dict[str, tuple[Measure, int]]) -> bool:
    """ "Two ladles" cannot be measured, but by a speaker who has said what the ladle holds."""
    known = [w for w, (_, place) in defined.items() if place < m.start]
    return m.kind == "vague" and any(re.search(rf"\b{re.escape(w)}s?\b", m.said.lower()) for w in known)


def named_behind(
    things: Sequence[Mention], measures: Sequence[Measure], reader: TalkReader, lexicon: Lexicon
) -> list[Mention]:
    """ "One egg cup gin": where the word of an amount was taken for a part of the name, the name begins behind it."""
    out: list[Mention] = []
    for thing in things:
        inside = next((m for m in measures if m.start < thing.start < m.end < thing.end and m.counted), None)
        if inside is None:
            out.append(thing)
            continue
        said = reader.talk.text[inside.end : thing.end]
        start = inside.end + len(said) - len(said.lstrip(" ,"))
        name = re.sub(r"^(?:of|the|my) ", "", said.strip(" ,"))
        entry = lexicon.named(name)
        if entry is None:
            out.append(replace(thing, start=start, name=name, heard=name, core=None))
        else:
            out.append(
                replace(
                    thing, start=start, name=entry.name, heard=name, entry=entry, how="exact", core=None, apply=True
                )
            )
    return out


def _own_word(m: Measure, reader: TalkReader, defined: dict[str, tuple[Measure, int]]) -> tuple[str | None, int]:
    said = m.said.lower()
    for word in sorted(defined, key=len, reverse=True):
        inside = re.search(rf"\b{re.escape(word)}s?\b", said)
        if inside is not None and m.kind == "amount":
            return word, m.end
        behind = re.match(rf"\s+{re.escape(word)}s?\b", reader.lower[m.end : m.end + 30])
        if behind is not None and m.kind in ("number", "amount") and m.unit is None:
            return word, m.end + behind.end()
    return None, m.end


def _count(m: Measure) -> tuple[Fraction, Fraction]:
    """How many of the word were said."""
    if m.counted is not None:
        return m.counted
    low = m.low if m.low is not None else Fraction(1)
    return low, m.high if m.high is not None else low


_UNIT = r"(?P<{}>ounces|mils?|ml|millilit(?:er|re)s|centilit(?:er|re)s|cl|parts)"
_ALL_IN = re.compile(
    "|".join(
        (
            r"(?:everything|all of it|all (?:the )?(?:amounts|measures|numbers))[a-z' ]{0,30}? (?:is|are|in) (?:in )?"
            + _UNIT.format("a") + r"\b",
            # "All in mil.", "that's all millilitres", "it is all in mils"
            r"\b(?:all|always) (?:in )?" + _UNIT.format("b") + r"\b(?=\s*[.,;!]|\s*$)",
            r"\b(?:those|these|they|the numbers)(?: are|'re) (?:all )?(?:in )?" + _UNIT.format("c") + r"\b",
            r"\b(?:i|we)(?:'m|'re| am| are)? (?:work|measur|pour|speak|talk|count)(?:e|ing)? (?:only )?in "
            + _UNIT.format("d") + r"\b",
            r"\bin " + _UNIT.format("e") + r",? (?:always|all of it|everything)\b",
        )
    )
)  # fmt: skip
_UNITS = {"ounces": "fl_oz", "mil": "ml", "mils": "ml", "ml": "ml", "cl": "cl", "milliliters": "ml",
          "millilitres": "ml", "centiliters": "cl", "centilitres": "cl", "parts": "part"}  # fmt: skip
SHARE = 0.8
_ALONE = re.compile(
    r"(?:^|(?<=[.,;:!?] ))(?:(?:all|all in|in|and|that's|that is|those are|these are|it's|i mean|we're talking|we talk|"
    r"obviously|of course|naturally|always),? )*"
    + _UNIT.format("f")
    + r"(?:,? (?:obviously|of course|throughout|always|all of it|all of them|everything|all the way|mind|mind you|"
    r"naturally|that is|by the way|for the avoidance of doubt|i mean|every time|of all of it))*\s*(?=[.,;!?]|$)|"
    + _UNIT.format("g")
    + r",? (?:obviously|throughout|of course|naturally|by the way|all of them|all of it)\b"
)
""" "Mils, obviously.": a unit that stands for itself, behind numbers without one."""


def _unit_alone(reader: TalkReader, measures: Sequence[Measure]) -> str | None:
    for m in _ALONE.finditer(reader.lower):
        group = "f" if m["f"] else "g"
        at = m.start(group)
        if not any(x.start <= at < x.end for x in measures):
            return _UNITS[m[group]]
    return None


def usual_unit(reader: TalkReader, measures: Sequence[Measure]) -> str | None:
    """The unit in which the speaker measures: said outright ("everything is ounces"), or that of nearly all volumes."""
    said = _ALL_IN.search(reader.lower)
    if said is not None:
        return _UNITS[next(unit for unit in said.groupdict().values() if unit)]
    units = [m.unit for m in measures if m.kind == "amount" and m.unit in ("fl_oz", "ml", "cl")]
    alone = _unit_alone(reader, measures)
    if len(units) < 4:
        return units[0] if len(units) > 1 and len(set(units)) == 1 else alone
    most = max(set(units), key=units.count)
    return most if units.count(most) >= SHARE * len(units) else alone
