"""What a litre (liquids) or a kilogram (the rest) of something brings: strength, sugar, acid, energy.

Source: the lexicon's figures, each with its own source; a strength that was said wins over them; kinds that have no
sugar or no acid from lexicon/figures/contents.txt. What neither gives is unknown, with no upper bound.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from extractor.figures.poured import entry_of, figure, kind_in
from extractor.figures.tables import Tables
from extractor.figures.worked import either, exact
from extractor.lexicon import Entry, Lexicon
from extractor.record import Ingredient, Worked

PERCENT, PER_LITRE = "% vol", "g/l"


@dataclass(frozen=True)
class Makeup:
    """Per litre of a liquid, per kilogram of anything else; `strength` in % vol.

    `energy` is kcal per litre or kilogram where a table gives it for the whole thing, else None: then alcohol, sugar
    and acid are counted and `other_energy` says what fat, protein and starch may add to them.
    """

    strength: Worked
    sugar: Worked
    acid: Worked
    energy: Worked | None
    other_energy: Worked


_SAID_ABV = re.compile(r"(\d+(?:\.\d+)?)\s*(?:%|per ?cent|percent)(?:\s*(?:vol|abv|alcohol))", re.I)
_SAID_PERCENT = re.compile(r"(\d+(?:\.\d+)?)\s*(?:%|per ?cent|percent)", re.I)
_SAID_PROOF = re.compile(r"(\d+(?:\.\d+)?)[\s-]*proof\b", re.I)


def said_strength(ingredient: Ingredient, *, alcoholic: bool) -> float | None:
    """A strength in % vol told in the notes or the name ("100 proof", "57 % vol"); US proof is twice the % vol.

    A bare per cent (2 % milk, a 20 % saline) is one only for a thing known to be `alcoholic`.
    """
    for text in (*ingredient.notes, ingredient.name):
        if m := _SAID_PROOF.search(text):
            return float(m[1]) / 2
        if m := _SAID_ABV.search(text):
            return float(m[1])
        if alcoholic and (m := _SAID_PERCENT.search(text)):
            return float(m[1])
    return None


def _acid_of_table(entry: Entry, tables: Tables) -> Worked | None:
    """Lemon and lime: from what was measured to what the trade is taught, which disagree by a quarter."""
    row = tables.acids.get(entry.name)
    if row is None:
        return None
    measured, taught = row.figure("measured"), row.figure("taught")
    return Worked(measured.low, taught.high, PER_LITRE, (), f"{measured.source}, {taught.source}")


def citrus_acid(name: str, tables: Tables, *, basis: str = "measured") -> float:
    """g/l of acid in lemon or lime juice as `measured` or as `taught` (6 %). Source: lexicon/figures/acids.txt."""
    return tables.acids[name].figure(basis).low


def not_known(thing: str, unit: str, why: str, tables: Tables, *, kinds: Sequence[str] = ()) -> Worked:
    """From nothing to what nothing that is poured can exceed (lexicon/figures/bounds.txt), resting on `why`.

    `kinds`, nearest first: the kinds of the thing, of which a nearer bound may be known.
    """
    row = tables.bounds[thing]
    most = next((row.figures[kind] for kind in kinds if kind in row.figures), row.figure("most"))
    return Worked(0.0, most.high, unit, (why,), most.source)


def of_entry(entry: Entry, lexicon: Lexicon, tables: Tables) -> Makeup:
    """From the lexicon. `Lexicon.figure` takes a kind's figure where the entry has none: then it is a range."""
    name = entry.name
    kinds = [kind.name for kind in lexicon.kind_chain(entry)]
    liquid = lexicon.state(entry) == "liquid"
    strength = figure(entry, "strength", PERCENT, lexicon)
    if strength is None:
        none = not liquid or kind_in(entry, tables.contents["no alcohol"], lexicon)
        strength = (
            exact(0.0, PERCENT)
            if none
            else not_known("strength", PERCENT, f"{name}: its strength", tables, kinds=kinds)
        )
    sugar = figure(entry, "sugar", PER_LITRE, lexicon)
    if sugar is None:
        none = kind_in(entry, tables.contents["no sugar"], lexicon)
        sugar = (
            exact(0.0, PER_LITRE) if none else not_known("sugar", PER_LITRE, f"{name}: its sugar", tables, kinds=kinds)
        )
    acid = _acid_of_table(entry, tables) or figure(entry, "acid", PER_LITRE, lexicon)
    if acid is None:
        none = kind_in(entry, tables.contents["no acid"], lexicon)
        acid = exact(0.0, PER_LITRE) if none else not_known("acid", PER_LITRE, f"{name}: its acid", tables, kinds=kinds)
    per_100_g = figure(entry, "energy", "kcal", lexicon)
    energy = None
    if per_100_g is not None and per_100_g.high is not None:
        density = figure(entry, "density", "g/ml", lexicon) if liquid else exact(1.0, "")
        # Without a density of its own: juice and milk lie between these.
        low, high = (0.99, 1.07) if density is None or density.high is None else (density.low, density.high)
        energy = Worked(per_100_g.low * 10 * low, per_100_g.high * 10 * high, "kcal/l", (), per_100_g.source)
    if kind_in(entry, tables.contents["no other energy"], lexicon):
        other = exact(0.0, "kcal/l")
    else:
        why = f"{name}: what energy its fat, protein and starch bring"
        other = not_known("other energy", "kcal/l", why, tables)
    return Makeup(strength, sugar, acid, energy, other)


def of_unlisted(name: str, tables: Tables) -> Makeup:
    """A name that the lexicon does not have: nothing is known of it but what nothing can exceed."""
    why = f"{name}: not in the lexicon"
    return nothing_known(why, tables)


def nothing_known(why: str, tables: Tables) -> Makeup:
    return Makeup(
        not_known("strength", PERCENT, why, tables),
        not_known("sugar", PER_LITRE, why, tables),
        not_known("acid", PER_LITRE, why, tables),
        None,
        not_known("other energy", "kcal/l", why, tables),
    )


def is_known(worked: Worked, thing: str, tables: Tables) -> bool:
    """Whether anything is known of it beyond what nothing can exceed."""
    most = tables.bounds[thing].figure("most").high
    return worked.low > 0 or (worked.high is not None and worked.high < most)


def _one_of(a: Makeup, b: Makeup, why: str) -> Makeup:
    energy = None if a.energy is None or b.energy is None else either(a.energy, b.energy, why)
    return Makeup(
        either(a.strength, b.strength, why) if a.strength != b.strength else a.strength,
        either(a.sugar, b.sugar, why) if a.sugar != b.sugar else a.sugar,
        either(a.acid, b.acid, why) if a.acid != b.acid else a.acid,
        energy,
        either(a.other_energy, b.other_energy, why) if a.other_energy != b.other_energy else a.other_energy,
    )


def tighter(made: Worked, listed: Worked) -> Worked:
    """What its own recipe gives; what the lexicon says of things of that name where the recipe leaves it open.

    Open: the recipe's bounds are wider than half of its upper one, and the lexicon's are closer.
    """
    if made.high is None or listed.high is None:
        return listed if made.high is None else made
    wide = made.high - made.low > made.high / 2
    return listed if wide and made.rests_on and listed.high - listed.low < made.high - made.low else made


def _of_made(made: Makeup, listed: Makeup | None) -> Makeup:
    if listed is None:
        return made
    return Makeup(
        tighter(made.strength, listed.strength),
        tighter(made.sugar, listed.sugar),
        tighter(made.acid, listed.acid),
        made.energy if made.energy is not None and made.energy.high is not None else listed.energy,
        tighter(made.other_energy, listed.other_energy),
    )


def makeup(ingredient: Ingredient, lexicon: Lexicon, tables: Tables, *, made: Makeup | None = None) -> Makeup:
    """What `ingredient` is: its strength as said, else its recipe's (`made`), else the lexicon's, else unknown.

    With alternatives that were never settled it may be any of them.
    """
    entry = entry_of(ingredient, lexicon)
    listed = None if entry is None else of_entry(entry, lexicon, tables)
    if made is not None:
        out = _of_made(made, listed)
    else:
        out = of_unlisted(ingredient.name, tables) if listed is None else listed
    for name in ingredient.alternatives:
        other = lexicon.named(name)
        choice = of_unlisted(name, tables) if other is None else of_entry(other, lexicon, tables)
        out = _one_of(out, choice, f"{ingredient.name} or {name}")
    alcoholic = out.strength.high is not None and out.strength.high > 0
    said = said_strength(ingredient, alcoholic=alcoholic)
    if said is not None and 0 <= said <= 100:
        out = Makeup(exact(said, PERCENT), out.sugar, out.acid, out.energy, out.other_energy)
    return out
