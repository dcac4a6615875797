"""Glass, ice, techniques and the method as sentences fit to publish, from what was said while making one drink."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractor.record.episode import Evidence, Range, Step
from extractor.record.talk import Mention
from extractor.record.talk import Technique as Said
from extractor.specs.gaps import TalkReader
from extractor.specs.modes import Extent, mode_at

NEGATIONS = ("don't", "dont", "never", "no", "not", "without", "nobody", "n't", "cannot", "won't", "can't")
# Techniques after which a drink is not simply built in its glass.
NOT_BUILT = frozenset(
    ("shake", "dry shake", "reverse dry shake", "blend", "roll", "throw", "strain", "fine strain", "open pour")
)


@dataclass(frozen=True)
class Vessel:
    name: str
    mention: Mention


def usable(reader: TalkReader, techniques: Sequence[Said], extents: Sequence[Extent]) -> list[Said]:
    """The techniques that are done: not denied, not only told about."""
    out = []
    for t in techniques:
        if any(m.start <= t.start and t.end <= m.end for m in reader.mentions_in(t.start - 30, t.end)):
            continue  # the "blended" of blended Scotch
        before = reader.before(t.start, 3)
        if any(w in NEGATIONS for w in before) and "ice" not in before:
            continue
        if mode_at(extents, t.start) in ("hypothetical", "history", "riff", "tasting"):
            continue
        after = reader.after(t.end, 4)
        if t.name == "throw" and any(
            w in ("away", "out", "in", "on", "that", "them", "together")
            for w in (*after, *reader.gap(t.start, t.end).words)
        ):
            continue
        if t.name == "build" and (before[-1:] in (("to",), ("of",)) and "up" in after):
            continue
        if t.name in ("shake", "stir") and after[:2] in (
            ("the", "can"),
            ("the", "tin"),
            ("the", "bottle"),
            ("the", "carton"),
        ):
            continue
        if t.name == "shake" and (before[-1:] in (("few",), ("good",), ("couple",)) and after[:1] == ("of",)):
            continue
        if t.name in ("stir", "shake") and before[-1:] in (("the",),) and reader.lower[t.start : t.end].endswith("s"):
            continue
        out.append(t)
    return out


def mixing(
    reader: TalkReader, techniques: Sequence[Said], *, roles: Sequence[str], glass: bool, batch: bool = False
) -> list[str]:
    """The techniques in the order done, each once; "build" where nothing else makes the drink."""
    out: list[str] = []
    for t in techniques:
        name = t.name
        if name in ("heat", "chill", "flame", "rinse", "rim", "top", "float", "muddle"):
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
        and (glass or "build" in out or "stir" in out)
        and "build" not in out
        and not batch
    ):
        out.insert(1 if out[:1] == ["muddle"] else 0, "build")
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


def _listed(names: Sequence[str]) -> str:
    if len(names) <= 1:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def steps(
    reader: TalkReader, techniques: Sequence[Said], mix: Sequence[str], *, glass: Vessel | None, ice: str | None,
    poured: Sequence[str], muddled: Sequence[str], topped: Sequence[str], floated: Sequence[str], rinsed: Sequence[str],
    rimmed: Sequence[str], garnished: Sequence[str], at: int,
) -> list[Step]:  # fmt: skip
    """The method as sentences, in the order in which a drink is made; made of what was said and of nothing else."""
    first: dict[str, Said] = {}
    for t in techniques:
        first.setdefault(t.name, t)
    talk = reader.talk
    start_s = talk.second(at)
    vessel = f"the {glass.name}" if glass is not None else "the glass"
    out: list[Step] = []

    def add(text: str, technique: str | None = None, said: Said | None = None, seconds: Range | None = None) -> None:
        ev = evidence(reader, *reader.sentence(said.start)) if said is not None else None
        at_s = talk.second(said.start) if said is not None else start_s
        out.append(Step(text=text, at_s=at_s, seconds=seconds, technique=technique, evidence=ev))  # type: ignore[arg-type]

    def how_long(name: str) -> tuple[Range | None, str]:
        said = first.get(name)
        if said is None:
            return None, ""
        seconds, _ = time_near(reader, said)
        if seconds is None:
            return None, ""
        span = f"{seconds.low:g}" if seconds.low == seconds.high else f"{seconds.low:g} to {seconds.high:g}"
        return seconds, f" for {span} seconds"

    if rimmed:
        add(f"Rim {vessel} with {_listed(rimmed)}.", "rim", first.get("rim"))
    if rinsed:
        add(f"Rinse {vessel} with {_listed(rinsed)}.", "rinse", first.get("rinse"))
    if muddled:
        add(f"Muddle {_listed(muddled)}.", "muddle", first.get("muddle"))
    shaken = any(n in mix for n in ("shake", "dry shake", "reverse dry shake"))
    built = "build" in mix
    if poured:
        if "blend" in mix:
            add(f"Put {_listed(poured)} in a blender.")
        elif shaken:
            add(f"Put {_listed(poured)} in a shaker.")
        elif built:
            add(f"Pour {_listed(poured)} into {vessel}{' over ' + ice if ice else ''}.", "build", first.get("build"))
        elif "stir" in mix:
            add(f"Pour {_listed(poured)} into a mixing glass.")
        else:
            add(f"Combine {_listed(poured)}.")
    for name in mix:
        seconds, span = how_long(name)
        said = first.get(name)
        match name:
            case "dry shake":
                add(f"Shake without ice{span}.", name, said, seconds)
            case "reverse dry shake":
                add(f"Strain off the ice and shake again without ice{span}.", name, said, seconds)
            case "shake":
                add(f"Shake with ice{span}.", name, said, seconds)
            case "stir":
                add(f"Stir{'' if built else ' with ice'}{span}.", name, said, seconds)
            case "blend":
                add(f"Blend{span} until smooth." if not span else f"Blend{span}.", name, said, seconds)
            case "swizzle" | "throw" | "roll":
                add(f"{name.capitalize()} with ice{span}.", name, said, seconds)
            case "strain":
                add(f"Strain into {vessel}{' over ' + ice if ice else ''}.", name, said)
            case "fine strain":
                add(f"Fine strain into {vessel}{' over ' + ice if ice else ''}.", name, said)
            case "open pour":
                add(f"Pour everything into {vessel} without straining.", name, said)
            case _:
                pass
    if topped:
        add(f"Top up with {_listed(topped)}.", "top", first.get("top"))
    if floated:
        add(f"Float {_listed(floated)} on top.", "float", first.get("float"))
    if garnished:
        add(f"Garnish with {_listed(garnished)}.")
    return out


_VESSEL = re.compile(
    r"\b(?:in|into|over|to|up in) (?:(?:a|an|the|another|one|two|three|four|these|this|your|my|our|small|little|big|"
    r"tall|nice|good|old|clean|cold|chilled|frozen|large|short|same) )+"
    r"(?P<name>(?P<kind>[a-z]+) (?P<head>glass|glasses|cup|cups|"
    r"mug|mugs|jar|jars|tumbler|tumblers|goblet|goblets|bowl|bowls))\b"
)
_NO_VESSEL = frozenset(
    [
        "mixing", "measuring", "shaking", "of", "the", "a", "an", "this", "that", "my", "your", "same", "cold",
        "hot", "tall", "short", "big", "small", "egg", "other", "tea",
    ]
)  # fmt: skip


def unknown_vessel(reader: TalkReader, start: int, end: int) -> Vessel | None:
    """A glass that no lexicon has, by its place: "strain it into a tooth glass", "in two enamel cups"."""
    for m in _VESSEL.finditer(reader.lower, start, end):
        if m["kind"] in _NO_VESSEL:
            continue
        head = m["head"]
        one = head[:-2] if head == "glasses" else head.rstrip("s") if not head.endswith("glass") else head
        a, b = m.span("name")
        text = reader.talk.text[a:b]
        name = f"{m['kind']} {one}"
        return Vessel(name, Mention(a, b, name, text, "glass", None, "unknown", core=(a, b)))
    return None
