"""How full the glass is.

Source: capacities to the brim from the lexicon (settings from memory; makers differ), the share that ice takes from
lexicon/figures/ice.txt (common practice). Good for "this does not fit", not for a serving line.
"""

from __future__ import annotations

from extractor.figures.dilution import is_without_ice
from extractor.figures.tables import Tables
from extractor.figures.worked import over, sources
from extractor.lexicon import Entry, Lexicon, plain
from extractor.record import Worked


def glass_entry(lexicon: Lexicon, name: str) -> Entry | None:
    """The lexicon's glass of that name, with or without "glass" at its end."""
    wanted = {plain(name), plain(name).removesuffix(" glass"), f"{plain(name)} glass"}
    for entry in lexicon.glasses:
        if plain(entry.name) in wanted:
            return entry
    for entry in lexicon.glasses:
        if any(plain(other) in wanted for other in entry.others):
            return entry
    return None


def capacity(lexicon: Lexicon, name: str | None) -> Worked | None:
    """Millilitres to the brim; None for a glass that was not said or has no capacity in the lexicon."""
    entry = None if name is None else glass_entry(lexicon, name)
    if entry is None or "capacity" not in entry.figures:
        return None
    found = entry.figures["capacity"]
    return Worked(found.low, found.high, "ml", (), found.source)


def never_iced(lexicon: Lexicon, name: str | None, tables: Tables) -> bool:
    """Whether the glass is one of those that hold no ice (a coupe)."""
    entry = None if name is None else glass_entry(lexicon, name)
    return entry is not None and plain(entry.name) in map(plain, tables.contents["no ice in"])


def room(holds: Worked, ice: str | None, tables: Tables) -> Worked:
    """What the glass holds beside its ice; whether there is ice in it is an unknown where it was not said."""
    share = tables.ice["share of glass"].figure("range")
    if is_without_ice(ice) or holds.high is None:
        return holds
    low, high = holds.low * (1 - share.high), holds.high * (1 - share.low)
    source = sources(holds, share.source)
    if ice is None:
        return Worked(low, holds.high, "ml", ("whether there is ice in the glass",), source)
    return Worked(low, high, "ml", (), source)


def glass_fill(volume_ml: Worked, holds: Worked, ice: str | None, tables: Tables) -> Worked:
    """Share of the room in the glass that `volume_ml` of finished drink takes: over 1 does not fit."""
    return over(volume_ml, room(holds, ice, tables), "of the room in the glass")
