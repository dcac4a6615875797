"""Techniques and the glass, from what was said while making one drink."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from extractor.lexicon import plain
from extractor.record.episode import Evidence, Range
from extractor.record.talk import Mention
from extractor.record.talk import Technique as Said
from extractor.specs.drink_names import NameWords
from extractor.specs.gaps import TalkReader
from extractor.specs.modes import Extent, mode_at

NEGATIONS = ("don't", "dont", "never", "no", "not", "without", "nobody", "n't", "cannot", "won't", "can't")
# Techniques after which a drink is not simply built in its glass.
NOT_BUILT = frozenset(
    ("heat", "shake", "dry shake", "reverse dry shake", "blend", "roll", "throw", "strain", "fine strain", "open pour")
)

SERVING = ("strain", "fine strain", "open pour")
"""With one of these the drink goes into its glass."""


@dataclass(frozen=True)
class Vessel:
    name: str
    mention: Mention


def usable(reader: TalkReader, techniques: Sequence[Said], extents: Sequence[Extent]) -> list[Said]:
    """The techniques that are done: not denied, not only told about."""
    out: list[Said] = []
    for t in techniques:
        if any(m.start <= t.start and t.end <= m.end for m in reader.mentions_in(t.start - 30, t.end)):
            continue  # the "blended" of blended Scotch
        before = reader.before(t.start, 3)
        if reader.talk.punctuated:  # "it goes in, not on top. Stir it": what stands before the full stop denies nothing
            before = before[
                len(before) - min(len(before), len(reader.gap(reader.sentence(t.start)[0], t.start).words)) :
            ]
        if any(w in NEGATIONS for w in before) and "ice" not in before:
            continue
        after = reader.after(t.end, 4)
        mode = mode_at(extents, t.start)
        if mode in ("hypothetical", "history", "riff") or (mode == "tasting" and not _bids(reader, t, before)):
            continue
        if not _of_the_drink(reader, t, before, after):
            continue
        shaken = next((x for x in reversed(out[-3:]) if x.name == "shake"), None)
        if t.name == "shake" and _ICELESS_BEFORE.search(reader.lower, max(0, t.start - 24), t.start):
            t = replace(t, name="dry shake")  # "without ice you shake, then with ice"
        elif t.name in ("shake", "dry shake") and _without_ice(reader, t):
            again = "again" in reader.gap(t.start, t.end + 40).words
            t = replace(t, name="reverse dry shake" if again and shaken is not None else "dry shake")
        elif t.name == "shake" and shaken is not None and _ice_taken_out(reader, shaken, t):
            t = replace(t, name="reverse dry shake")
        if t.name == "throw" and any(
            w in ("away", "out", "in", "on", "that", "them", "together")
            for w in (*after, *reader.gap(t.start, t.end).words)
        ):
            continue
        if t.name == "blend" and _OF_THE_SPIRIT.search(reader.lower, max(0, t.start - 24), t.start):
            continue  # "fifty of Scotch, blended, since nothing finer would notice"
        if t.name == "build" and (before[-1:] in (("to",), ("of",)) and "up" in after):
            continue
        if t.name in ("shake", "stir") and after[:2] in (
            ("the", "can"),
            ("the", "tin"),
            ("the", "bottle"),
            ("the", "carton"),
        ):
            continue
        if t.name == "shake" and after[:1] == ("of",):
            continue  # "a shake of bitters"
        if t.name in ("stir", "shake") and before[-1:] in (("the",),) and reader.lower[t.start : t.end].endswith("s"):
            continue
        out.append(t)
        if t.name == "dry shake":
            with_ice = _THEN_WITH_ICE.match(reader.lower, t.end) or _THEN_ICE.match(reader.lower, t.end)
            if with_ice is not None:
                out.append(Said(*with_ice.span(1), "shake"))
    return out


# "Shake it without ice, then with ice": the second shake is said without its verb.
_THEN_WITH_ICE = re.compile(
    r"(?: (?:it|this|that|them|all|first|once|hard|well|with no ice|without (?:the |any )?ice|for [a-z]+ seconds|"
    r"like [a-z]+))*[,.;]? (?:(?:and|then|again|after|afterwards|once|more|it|that|a|second|time)[ ,]+)+"
    r"((?:with|on|over) (?:the |some |plenty of |lots of |your )?ice\b|with(?= and |[.,;]))"
)
# "First I shake with no ice, the egg must agree. Then ice, again."
_THEN_ICE = re.compile(
    r"[^.]{0,50}\. (?:and )?(?:then|now|after|after that,?) (?:comes |in goes )?((?:the |with )?ice,? again)\b"
)
_ICELESS_BEFORE = re.compile(r"\b(?:without(?: any| the)?|with no|no) ice,? (?:you|we|i|first|one)(?: first)? $")
_OF_THE_SPIRIT = re.compile(r"\b(?:scotch|whisky|whiskey|rum|tea)s?, $")
_ICE_OUT = re.compile(
    r"\b(?:take|throw|tip|dump|strain|pick|fish|get|discard|bin|remove|chuck|lose)(?: it| that)?(?: out| off| away)?,?"
    r" (?:all )?(?:the|that|your|this|its) ice\b"
)


def _ice_taken_out(reader: TalkReader, first: Said, second: Said) -> bool:
    """ "Shake it, throw out the ice and shake it again": between two shakes the ice goes, and none comes in."""
    gone = _ICE_OUT.search(reader.lower, first.end, second.start)
    if gone is None:
        return False
    behind = reader.gap(gone.end(), second.start).words + reader.after(second.end, 4)
    return not {"fresh", "new", "ice"} & set(behind)


def _bids(reader: TalkReader, technique: Said, before: Sequence[str]) -> bool:
    """ "... like a hospital shake it up, fine strain it": without full stops a tasting reaches into what is done."""
    words = (*reader.gap(technique.start, technique.end).words, *reader.after(technique.end, 1))
    bidden = "it" in words[1:] and words[0] in ("shake", "stir", "strain", "fine", "double", "blend", "build", "top")
    return bidden and not reader.talk.punctuated and before[-1:] not in (("to",), ("they",), ("he",), ("she",))


_NO_HEAT = tuple((w,) for w in [
    "is", "it's", "was", "nice", "very", "too", "so", "be", "he", "she", "they", "man", "woman", "who", "people", "are",
])  # fmt: skip


def _of_the_drink(reader: TalkReader, technique: Said, before: Sequence[str], after: Sequence[str]) -> bool:
    """Whether the words of a technique are about the drink: not "sleeves rolled up", "my hands stopped shaking"."""
    said = reader.gap(technique.start, technique.end).words
    last, following = before[-1:], after[:1]
    match technique.name:
        case "roll":
            # "Roll it in salt", "a pecan roll": rolled is a drink between two tins, or gently.
            here = (*said, *reader.after(technique.end, 6))
            if re.match(r"(?: it| this| that)?[.,;]", reader.lower[technique.end : technique.end + 6]) and (
                said[-1] == "it" or following == ("it",)
            ):
                return True  # "You roll it. Two jugs, ice in the one"
            return len(said) > 2 or bool({"between", "back", "forth", "tins", "tin", "gently", "twice"} & set(here))
        case "throw":
            things = reader.mentions_in(technique.end, technique.end + 26)
            return len(said) > 1 or not any(m.group == "ingredient" for m in things)
        case "shake" | "dry shake":
            # "Shake in some cinnamon"; not "shaken, in a coupe".
            sprinkled = following in (("in",), ("some",), ("over",), ("on",)) or after[:2] in (
                ("a", "little"),
                ("a", "bit"),
            )
            in_jar = re.match(
                r" in (?:a |the |my |your )?(?:\w+ )?(?:jar|tin|shaker|bottle|flask|thermos)\b",
                reader.lower[technique.end :][:30],
            )
            sprinkled = (
                sprinkled
                and in_jar is None
                and said[-1:] != ("shaken",)
                and reader.lower[technique.end : technique.end + 1] == " "
            )
            return not sprinkled and not {"hands", "hand", "knees", "stopped", "stop", "head"} & set(before)
        case "stir":
            if said[0] in _LOOSELY:  # "you mix it", "you move it"; not "mix it with cola", "move it to the fridge"
                ends = re.match(
                    r"[.,;]| (?:and|then|well|good|a good|again|gently|slowly|long|around|round|all|up)\b|"
                    r" with (?:the |a |some )?(?:long |bar |little )?(?:spoon|ice)\b",
                    reader.lower[technique.end :][:24],
                )
                return ends is not None and last not in (("don't",), ("you'll",), ("to",), ("i'd",), ("can",))
            return last != ("own",) and not (last == ("to",) and following == ("with",))
        case "heat":
            if last in _NO_HEAT or following == ("something",):
                return False  # "this is warm", "the man boils it"
            # The glass that is warmed: "a glass mug, warm it first".
            near = reader.mentions_in(technique.start - 24, technique.end + 24)
            return not any(m.group == "glass" for m in near) and not {"glass", "mug", "cup"} & set(after)
        case "flame":
            start, _ = reader.sentence(technique.start)
            before_it = reader.lower[max(start, technique.start - 70) : technique.end + 20]
            wanted = "going to" in before_it or "like in" in before_it
            return not wanted and re.search(r"\b(?:peel|twist|coin|zest|skin|rind|disc)\b", before_it) is not None
        case "top":
            return following == ("with",) or last not in (("the",), ("cut",))
    return True


_LOOSELY = frozenset(("mix", "mixes", "mixed", "mixing", "move", "moves", "moved", "moving"))


def _without_ice(reader: TalkReader, technique: Said) -> bool:
    """ "Shake it first with no ice", "you shake without the ice"."""
    m = re.match(
        r"(?: (?:it|this|that|them|all|first|again|once|hard|well|up|one time|like [a-z]+))*,? ?(?:with |and )?"
        r"(?:(?:no ice|without (?:the |any )?ice|with nothing)\b|without(?=[.,;]))",
        reader.lower[technique.end : technique.end + 60],
    )
    return m is not None


def mixing(
    reader: TalkReader, techniques: Sequence[Said], *, roles: Sequence[str], glass: bool, batch: bool = False,
    up: bool = False,
) -> list[str]:  # fmt: skip
    """The techniques in the order done, each once; "build" where nothing else makes the drink.

    What is stirred and served up, without ice, was not built in its glass.
    """
    out: list[str] = []
    for t in techniques:
        name = t.name
        if name in ("chill", "rinse", "rim", "top", "float", "muddle"):
            continue
        if name == "strain" and "fine strain" in out:
            continue
        if name == "fine strain" and "strain" in out:
            out[out.index("strain")] = "fine strain"
            continue
        if name not in out:
            out.append(name)
    if "dry shake" in out and "shake" not in out and sum(t.name in ("dry shake", "shake") for t in techniques) > 1:
        out.insert(out.index("dry shake") + 1, "shake")
    if "muddle" in roles or any(t.name == "muddle" for t in techniques):
        out.insert(0, "muddle")
    if (
        not any(n in NOT_BUILT or n == "swizzle" for n in out)
        and (glass or "build" in out or "stir" in out or "top" in roles)
        and "build" not in out
        and not batch
        and not (up and "stir" in out)
    ):
        out.insert(1 if out[:1] == ["muddle"] else 0, "build")
    if "build" in out and any(n in NOT_BUILT - {"heat"} for n in out):
        out.remove("build")  # what is shaken, blended or strained was not built in its glass
    for role in ("rim", "rinse", "top", "float"):
        if role in roles:
            out.append(role)
    return out


def evidence(reader: TalkReader, start: int, end: int) -> Evidence:
    talk = reader.talk
    return Evidence(start_s=talk.second(start), end_s=talk.second_after(end), text=talk.text[start:end])


def time_near(reader: TalkReader, technique: Said) -> tuple[Range | None, str | None]:
    """The seconds said with a technique: "shake it ten seconds", "stir, about forty seconds"; and "thirty turns"."""
    _, end = reader.sentence(technique.start)
    limit = min(end, technique.end + 110)
    for m in reader.talk.measures:
        if technique.start <= m.start < limit and m.kind == "time" and m.low is not None and (m.high or 0) <= 600:
            others = [t for t in reader.talk.techniques if technique.end <= t.start < m.start]
            if any(t.name in ("shake", "stir", "blend", "dry shake", "swizzle", "strain") for t in others):
                return None, None
            return Range(low=float(m.low), high=float(m.high or m.low)), m.said
    return None, None


# How surely a glass named in a place is the one that the drink ends in.
SERVED, INTO, TAKEN, HELD = 4.0, 3.0, 2.0, 1.6
KEPT = 1.5
"""Less for what a drink is mixed or kept in: a jug, a jar."""
_PREPOSITION = r"(?:in|into|over|to|onto|between|among|inside)"
_SERVE = re.compile(
    r"\b(?:(?:re)?strain|strained|straining|straighten|straightened|pour|poured|pouring|serve|serves|served|serving|"
    r"ladle|label|divide|split|tip|decant|goes|go)\b"
    rf"(?:(?![.?!]).){{0,60}}\b{_PREPOSITION} (?:[\w'-]+ ){{0,4}}$"
)
_STRAINED = re.compile(
    r"\b(?:strain|shake|stir)(?: it| that| up)?(?:, (?:a |in a )?|"
    r",? (?:two|three|four|both) (?:small |little |big |chilled |cold )?)$"
)
# "So big wine glass, loads of ice" in talk without full stops; "now your mason jar".
_NEXT = re.compile(
    r"\b(?:so|okay|ok|right|then|now|aye|alright|strain|strain it|strain that)"
    r"(?: (?:a|an|the|your|one|big|small|nice|tall|little|old|large|short))* $"
)
_ONLY_THE_GLASS = re.compile(r"^(?:(?:a|an|the|one|your|my|big|small|tall|little|large|short|old|tin|yes|so|now) )*$")
_IN = re.compile(rf"\b{_PREPOSITION}(?: [\w'-]+){{0,3}} $")
_YOURS = re.compile(
    r"\b(?:your|my|the|our|its|our) (?:glass|vessel|cup)(?: here| today| tonight)?(?: is|'s|,|:) (?:[\w'-]+ ){0,3}$"
)
_TAKE = re.compile(
    r"\b(?:take|grab|use|get|got|want|need|find|fetch|fill|like|your|build|built)\b(?: [\w'-]+){0,4} $|"
    r"\b(?:a|an|the|one)(?: [\w'-]+){0,2} $"
)
_HELD = re.compile(r"\b(?:take|grab|use|get|want|need|find|fetch|fill|build|got)\b(?: [\w'-]+){0,4} $")
# "Warm your mug", "the rim of a Collins glass": made ready for the drink.
_READIED = re.compile(
    r"\b(?:(?:warm|heat|preheat|pre-heat|chill|frost|freeze|rinse|wet|wash)(?: up| out)?|(?:rim|edge|lip) of|rim) "
    r"(?:a|an|your|the|my|our|each|that)(?: [\w'-]+){0,2} $"
)
_MIXED = re.compile(
    r"\b(?:shake|shaken|stir|stirred|strain|strained|build|built|blend|roll|swizzle)\b(?: [a-z]+){0,3}, $"
)
_ICED = re.compile(
    r",? ?(?:is |goes )?(?:full of|filled with|packed with|with|and put|and) "
    r"(?:some |the |fresh |crushed |a lot of |plenty of )*ice\b"
)


def serves_in(reader: TalkReader, mention: Mention, names: NameWords) -> float:
    """How surely a drink ends in a glass, by the words around it; 0 where nothing says so."""
    start, _ = reader.sentence(mention.start)
    lead = reader.lower[max(start, mention.start - 90) : mention.start]
    clause = re.split(r"[,;:]", lead)[-1]
    everyday = mention.entry is not None and mention.entry.everyday
    readied = _READIED.search(lead) is not None
    if (
        not readied and re.search(r"\b(?:be|(?<!i )(?<!we )like|of|per|each) (?:a|an|the|one|every) $", lead)
    ) or "mixing" in lead.split()[-1:]:
        return 0.0  # "a part can be a shot glass"
    iced = _ICED.match(reader.lower, mention.end) is not None
    if _SERVE.search(lead) or _STRAINED.search(lead):
        value = SERVED
    elif _YOURS.search(lead) or _IN.search(lead):
        value = INTO
    elif readied:
        value = HELD
    elif (
        len(clause.split()) <= (2 if reader.talk.punctuated else 0)
        or iced
        or (not reader.talk.punctuated and _NEXT.search(lead) is not None)
    ):
        value = TAKEN
    elif _HELD.search(lead):
        value = HELD
    elif _TAKE.search(lead) and not everyday:
        value = 1.0
    else:
        return 0.0
    words = plain(mention.name).split()
    done = not clause.strip() and _MIXED.search(lead) is not None  # "Shake, tumbler, one cube."
    if (
        everyday
        and value == TAKEN
        and not iced
        and len(words) < 2
        and len(plain(mention.heard).split()) < 2
        and not done
    ):
        # "Take a flute.", "Mug."; not "a jug for the party, a spoon".
        ends = reader.lower[mention.end : mention.end + 1] in (".", ",")
        if not (_HELD.search(lead) or (ends and _ONLY_THE_GLASS.match(lead))) or words[-1] in names.mixed_in:
            return 0.0
        value = HELD
    if words and words[-1] in names.mixed_in:
        value -= KEPT
    return value if not everyday else value - 0.5


def said_as(reader: TalkReader, mention: Mention, names: NameWords) -> Vessel:
    """The glass by its name, with what it is made of where that was said: "an enamel mug", "a stemless wine glass"."""
    heard = plain(reader.lower[mention.start : mention.end])
    before = reader.before(mention.start, 1)
    name = mention.name
    if mention.entry is None:
        name = re.sub(r"(glass)es$|(cup|mug|jar|bowl|pot|tumbler|goblet)s$", lambda m: m[1] or m[2], name)
    name = re.sub(r" mugs$", " mug", name)
    head = plain(name).split()[-1]
    if mention.how == "sound":
        heard = plain(mention.written)  # "an animal mug": as it was meant, not as it was heard
    if before and before[0] in names.made_of and not (before[0] == "glass" and heard.endswith("glass")):
        return Vessel(f"{before[0]} {heard}", mention)
    if heard != plain(name) and set(heard.split()[:-1]) & names.made_of and heard.split()[-1] == head:
        return Vessel(heard, mention)
    return Vessel(name, mention)


_ADJECTIVES = (
    r"(?:(?:a|an|the|another|one|two|three|four|these|this|those|your|my|our|small|little|big|tiny|thick|wee|plain|"
    r"tall|nice|good|old|clean|cold|chilled|frozen|large|short|same|proper|decent|empty|fancy) )+"
)
_VESSEL = re.compile(
    r"\b(?:(?:in|into|over|to|up in|between|among|inside)(?:,[\w' ]{2,20},)? |"
    r"(?:want|get|take|grab|use|need|find|fetch) )"
    rf"{_ADJECTIVES}(?P<name>(?P<kind>[a-z]+) (?P<head>glass|glasses|cup|cups|pot|pots|tin|tins|beaker|beakers|shell|"
    r"shells|tankard|tankards|flask|flasks|bucket|buckets|"
    r"mug|mugs|jar|jars|tumbler|tumblers|goblet|goblets|bowl|bowls))\b"
)
# "In the big cup, the jarrito, with a lot of ice": the cup has a name of its own.
_OWN_VESSEL = re.compile(
    rf"\b(?:in|into|between) {_ADJECTIVES}(?:glass|glasses|cup|cups|mug|mugs|bowl|bowls), "
    r"the (?P<name>[a-z]{4,})(?=,)"
)
_NO_VESSEL = frozenset(
    [
        "mixing", "measuring", "shaking", "of", "the", "a", "an", "this", "that", "my", "your", "same", "cold",
        "hot", "tall", "short", "big", "small", "egg", "other", "tea", "shaker", "cocktail", "boston", "plastic",
        "two", "three", "four", "six", "eight", "thick", "thin", "heavy", "good", "nice", "old",
        "hotel", "melting", "sauce", "stock", "cooking", "blender", "half", "clean", "wide", "large", "little",
    ]
)  # fmt: skip
_NEVER_SERVED = frozenset(("pot", "pots", "tin", "tins", "bucket", "buckets"))


def unknown_vessel(reader: TalkReader, start: int, end: int, names: NameWords) -> Vessel | None:
    """A glass that no lexicon has, by its place: "strain it into a tooth glass", "in two enamel cups"."""
    for m in _VESSEL.finditer(reader.lower, start, end):
        known = any(
            x.group == "glass" and x.entry is not None and not x.entry.everyday and x.start < m.end("name")
            for x in reader.mentions_in(m.start("name") - 12, m.end("name"))
        )  # "in an old fashioned glass"
        if m["kind"] in _NO_VESSEL or known:
            continue
        head = m["head"]
        if head in _NEVER_SERVED and m["kind"] not in ("pint", *names.made_of):
            continue  # "in a small pot" it is cooked
        one = head[:-2] if head == "glasses" else head.rstrip("s") if not head.endswith("glass") else head
        return _vessel(reader, f"{m['kind']} {one}", *m.span("name"))
    own = _OWN_VESSEL.search(reader.lower, start, end)
    if own is not None and own["name"] not in ("ones", "kind", "sort", "same", "good"):
        return _vessel(reader, own["name"], *own.span("name"))
    return None


def _vessel(reader: TalkReader, name: str, a: int, b: int) -> Vessel:
    return Vessel(name, Mention(a, b, name, reader.talk.text[a:b], "glass", None, "unknown", core=(a, b)))
