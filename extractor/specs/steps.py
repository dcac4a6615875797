"""The method as sentences fit to publish: in the order in which it was told, of what was said and of nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from extractor.record.episode import Range, Step
from extractor.record.talk import Technique as Said
from extractor.specs.gaps import TalkReader
from extractor.specs.method import Vessel, evidence, time_near
from extractor.specs.statements import FINISH, FLOAT, GARNISH, MUDDLE, POUR, RIM, RINSE, TOP

SHAKES = ("shake", "dry shake", "reverse dry shake")
STRAINS = ("strain", "fine strain", "open pour")
# Said of what is told behind the straining and goes in before it.
BEFORE_THE_MIXING = frozenset(("shaker", "shakers", "tin", "tins", "jug", "mixing", "forgot", "before"))


@dataclass(frozen=True)
class Put:
    """What is put into a drink: its name, its role, and where it was first told (None: only told again)."""

    name: str
    role: str
    at: int | None


def steps(
    reader: TalkReader, techniques: Sequence[Said], mix: Sequence[str], *, glass: Vessel | None, ice: str | None,
    puts: Sequence[Put], at: int, batch: bool = False,
) -> list[Step]:  # fmt: skip
    """The steps of one drink. `techniques` are those that are done, in the order told; `mix` is the record's list of
    them; `at` is where the talk of the drink begins; a `batch` is stirred in no mixing glass."""
    first: dict[str, Said] = {}
    for t in techniques:
        first.setdefault(t.name, t)
    talk = reader.talk
    start_s = talk.second(at)
    vessel = f"the {glass.name}" if glass is not None else "the glass"
    over = f" over {ice}" if ice else ""
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

    def names(role: str) -> list[str]:
        return [p.name for p in puts if p.role == role]

    later = _behind_the_mixing(reader, techniques, puts)
    muddled = names(MUDDLE) or ([p.name for p in _muddled(first, puts)] if "muddle" in mix else [])
    poured = [n for n in names(POUR) if n not in later and n not in muddled]
    if names(RIM):
        add(f"Rim {vessel} with {_listed(names(RIM))}.", "rim", first.get("rim"))
    if names(RINSE):
        add(f"Rinse {vessel} with {_listed(names(RINSE))}.", "rinse", first.get("rinse"))
    if muddled or "muddle" in mix:
        add(f"Muddle {_listed(muddled)}." if muddled else "Muddle.", "muddle", first.get("muddle"))
    built = "build" in mix
    if poured:
        if "blend" in mix:
            add(f"Put {_listed(poured)} in a blender.")
        elif any(n in mix for n in SHAKES):
            add(f"Put {_listed(poured)} in a shaker.")
        elif built:
            add(f"Pour {_listed(poured)} into {vessel}{over}.", "build", first.get("build"))
        elif "stir" in mix and not batch:
            add(f"Pour {_listed(poured)} into a mixing glass.")
        else:
            add(f"Combine {_listed(poured)}.")

    def top_up() -> None:
        add(f"Top up with {_listed(names(TOP))}.", "top", first.get("top"))

    stirred_last = built and _stirred_behind_the_top(techniques, puts)
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
            case "heat":
                add("Heat.", name, said)
            case "flame":
                add("Flame the peel over the drink.", name, said)
            case "stir":
                if stirred_last:
                    top_up()
                add(f"Stir{'' if built or batch else ' with ice'}{span}.", name, said, seconds)
            case "blend":
                add(f"Blend{span} until smooth." if not span else f"Blend{span}.", name, said, seconds)
            case "swizzle" | "throw" | "roll":
                add(f"{name.capitalize()} with ice{span}.", name, said, seconds)
            case "strain":
                add(f"Strain into {vessel}{over}.", name, said)
            case "fine strain":
                add(f"Fine strain into {vessel}{over}.", name, said)
            case "open pour":
                add(f"Pour everything into {vessel} without straining.", name, said)
            case _:
                pass
    if later:
        add(f"Add {_listed(later)}.")
    if names(TOP) and not stirred_last:
        top_up()
    if names(FLOAT):
        add(f"Float {_listed(names(FLOAT))} on top.", "float", first.get("float"))
    if names(FINISH):
        add(f"Finish with {_listed(names(FINISH))} on top.")
    if names(GARNISH):
        add(f"Garnish with {_listed(names(GARNISH))}.")
    return out


def _listed(names: Sequence[str]) -> str:
    if len(names) <= 1:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def _muddled(first: dict[str, Said], puts: Sequence[Put]) -> list[Put]:
    """ "One sugar cube, three dashes of bitters, and muddle that": what was in by then."""
    said = first.get("muddle")
    return [p for p in puts if p.role == POUR and said is not None and p.at is not None and p.at < said.start]


def _behind_the_mixing(reader: TalkReader, techniques: Sequence[Said], puts: Sequence[Put]) -> list[str]:
    """ "Strain it into the flute, and then ten of violet": what goes in when the rest is in its glass.

    Not where most is told behind it (then the method was told first), nor what was only forgotten.
    """
    mixed = [t.start for t in techniques if t.name in STRAINS] or [t.start for t in techniques if t.name == "stir"]
    if not mixed:
        return []
    pours = [p for p in puts if p.role == POUR and p.at is not None]
    behind = [p for p in pours if p.at is not None and p.at > mixed[-1]]
    if len(pours) - len(behind) < 2 or len(behind) * 2 > len(pours):
        return []
    return [p.name for p in behind if p.at is not None and not _left_out_before(reader, p.at)]


def _left_out_before(reader: TalkReader, at: int) -> bool:
    start, end = reader.sentence(at)
    if not reader.talk.punctuated:
        start, end = max(start, at - 120), min(end, at + 120)
    told = reader.cues_in("turns.forgotten", start, end) or reader.cues_in("turns.correction", start, at)
    return bool(told) or bool(BEFORE_THE_MIXING & set(reader.gap(start, end).words))


def _stirred_behind_the_top(techniques: Sequence[Said], puts: Sequence[Put]) -> bool:
    """ "Top with hot water, stir": the last that is done with a spoon is done to the whole drink."""
    topped = [p.at for p in puts if p.role == TOP and p.at is not None]
    stirred = [t.start for t in techniques if t.name == "stir"]
    return bool(topped and stirred) and max(topped) < stirred[-1] and not any(s < min(topped) for s in stirred)
