"""One drink as it is published, in words: what every format writes, worked out once, so that no two of them can
differ.

All text in a sheet has been through `safe_text.line`; each writer still escapes it for its own format.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from extractor.lexicon import Lexicon, plain
from extractor.publish import gaps
from extractor.publish.allergens import Allergens, allergens_of
from extractor.publish.amounts import Ounce, Shown, ounce_of, show
from extractor.publish.proportions import Proportions, proportions
from extractor.publish.rounding import decimal, exact, spoken
from extractor.publish.safe_text import capital
from extractor.publish.strength import (
    has_no_alcohol,
    more_lines,
    span,
    standard_drinks_line,
    strength_line,
    unknowns,
)
from extractor.publish.tables import Tables
from extractor.record import CautionFound, Component, Drink, Episode, Figures, Ingredient, Question, Range, Step
from extractor.visible import line

_IDLE = frozenset(("a", "an", "the", "our", "my", "your", "that", "this", "some", "homemade", "house", "fresh"))


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a recipe. `details` are its notes and alternatives, `gaps` what is not known of it, in brackets."""

    name: str
    shown: Shown
    details: tuple[str, ...]
    gaps: tuple[str, ...]

    def words(self) -> str:
        """The whole line as text: "1¾ oz (52.5 ml) gin, or vodka [AMOUNT NOT SAID — ask]"."""
        return self.words_without_gaps() + "".join(f" {g}" for g in self.gaps)

    def garnish_words(self) -> str:
        """As a garnish is written, without its gaps: "lemon peel", "2 mint sprigs"; one of a thing is not counted."""
        return ", ".join((self.name if self.shown.ounces == "1" else self._named(), *self.details))

    def words_without_gaps(self) -> str:
        return ", ".join((self._named(), *self.details))

    def _named(self) -> str:
        amount = self.shown.together()
        if self.shown.after:
            return f"{self.name}, {amount}"
        return f"{amount} {self.name}" if amount else self.name


@dataclass(frozen=True, slots=True)
class Sentence:
    text: str
    at_s: float | None
    seconds: Range | None


@dataclass(frozen=True, slots=True)
class HomeMade:
    """Something home-made with its own list. `promised`: the video says that its recipe is to be had elsewhere."""

    name: str
    items: tuple[Item, ...]
    steps: tuple[Sentence, ...]
    facts: tuple[str, ...]
    gaps: tuple[str, ...]
    promised: bool
    told: bool
    minutes: Range | None


@dataclass(frozen=True, slots=True)
class Fact:
    label: str
    text: str
    gap: bool = False


@dataclass(frozen=True)
class Sheet:
    """Everything that is published of one drink.

    `open` are the questions not settled, in their own words (empty unless it is written despite them); `remarks` what
    has to be known of a recipe that was multiplied; `small` the small print.
    """

    drink: Drink
    title: str
    subtitle: str | None
    facts: tuple[Fact, ...]
    items: tuple[Item, ...]
    garnishes: tuple[Item, ...]
    steps: tuple[Sentence, ...]
    home_made: tuple[HomeMade, ...]
    proportions: Proportions
    strength: str | None
    standard_drinks: str | None
    more: tuple[str, ...]
    allergens: Allergens
    cautions: tuple[str, ...]
    disclosures: tuple[str, ...]
    alcohol: bool
    age_line: str | None
    gaps: tuple[str, ...]
    open: tuple[str, ...]
    remarks: tuple[str, ...]
    small: tuple[str, ...]
    ounce: Ounce
    country: str

    @property
    def servings(self) -> float | None:
        return self.drink.servings


def core_name(name: str) -> str:
    """The name in plain form without "our", "fresh" and the like, by which a home-made thing is found."""
    return " ".join(w for w in plain(name).replace("home made", "homemade").split() if w not in _IDLE)


def home_made_of(drink: Drink, others: Iterable[Component] = ()) -> tuple[Component, ...]:
    """The home-made things that a drink uses: its own, and those of other drinks that its lines (or theirs) name."""
    own = list(drink.components)
    known: dict[str, Component] = {}
    for c in (*others, *own):
        if core_name(c.name) and (gaps.told(c) or core_name(c.name) not in known):
            known[core_name(c.name)] = c
    out = {core_name(c.name): c for c in own}
    waiting = [*drink.ingredients, *drink.garnishes, *(i for c in own for i in c.ingredients)]
    while waiting:
        found = known.get(core_name(waiting.pop(0).name))
        if found is not None and core_name(found.name) not in out:
            out[core_name(found.name)] = found
            waiting += found.ingredients
    return tuple(out.values())


def component_of(ingredient: Ingredient, components: Iterable[Component]) -> Component | None:
    return next((c for c in components if core_name(c.name) == core_name(ingredient.name)), None)


def notes_for_all(notes: Iterable[str], tables: Tables) -> tuple[str, ...]:
    """The notes that are for the public."""
    clean = (line(n) for n in notes if not n.lower().startswith(tables.private))
    return tuple(dict.fromkeys(n for n in clean if n))


def is_alcoholic(drink: Drink, components: Iterable[Component], lexicon: Lexicon) -> bool:
    """Whether it has, or may have, alcohol: what is not known counts as having some."""
    figures = drink.figures
    if figures is not None and figures.abv is not None:
        return figures.abv.high is None or figures.abv.high > 0
    parts = tuple(components)
    for i in (*drink.ingredients, *(i for c in parts for i in c.ingredients)):
        entry = lexicon.by_id.get(i.lexicon_id or "")
        if entry is None:
            if component_of(i, parts) is None:
                return True
            continue
        strength = lexicon.figure(entry, "strength")
        if strength is not None and strength.high > 0:
            return True
    return False


def age_line(country: str, tables: Tables) -> str:
    place = tables.places[country]
    if place.age is None:
        return tables.say("age unknown")
    return tables.say("age", age=str(place.age), place=place.name)


def caution_line(found: CautionFound, tables: Tables) -> str:
    """The caution in the figures' words, with what calls for it; the sentence that ends every one is said once,
    elsewhere."""
    because, text = line(found.because), line(found.text.replace(tables.lines["food code"], ""))
    return f"{capital(because)}: {text}" if because else text


def plural(name: str, ingredient: Ingredient, lexicon: Lexicon) -> str:
    """The name of what is counted, for more than one: "egg whites". A name of no lexicon stays as it is."""
    entry = lexicon.by_id.get(ingredient.lexicon_id or "")
    if entry is None:
        return name
    if plain(entry.name) == plain(name) and "plural" in entry.fields:
        return entry.fields["plural"]
    if name.endswith(("s", "x", "ch", "sh")):
        return name if name.endswith("s") else f"{name}es"
    if name.endswith("leaf"):
        return f"{name[:-4]}leaves"
    if name.endswith("y") and name[-2:-1] not in "aeiou":
        return f"{name[:-1]}ies"
    return f"{name}s"


def _repeats(name: str, ingredient: Ingredient, tables: Tables) -> bool:
    """Whether the name ends in the unit: two peels of "lemon peel" are "2 lemon peels"."""
    unit = None if ingredient.amount is None else ingredient.amount.unit
    words = tables.units[unit] if unit is not None else None
    return words is not None and words.sums == "count" and plain(name).split()[-1:] in ([words.one], [words.many])


def item(ingredient: Ingredient, marks: tuple[str, ...], tables: Tables, lexicon: Lexicon, ounce: Ounce) -> Item:
    """One line, as text. `marks` are its gaps."""
    name = line(ingredient.name) or gaps.mark("name-unsure", tables)
    shown = show(ingredient, tables, ounce=ounce, lexicon=lexicon)
    amount = ingredient.amount
    if amount is not None and amount.unit is not None and _repeats(name, ingredient, tables):
        words = tables.units[amount.unit]
        shown = replace(shown, ounces=shown.ounces.removesuffix(words.many).removesuffix(words.one).rstrip())
    counted = amount is not None and amount.unit is not None and shown.ounces[-1:].isnumeric() and not shown.after
    if amount is not None and counted and (amount.high or 0) > 1:
        name = plural(name, ingredient, lexicon)
    details = [f"or {line(a)}" for a in ingredient.alternatives if line(a)]
    details += notes_for_all(ingredient.notes, tables)
    if ingredient.optional:
        details.append("optional")
    said_so = [d for d in details if plain(d) != plain(shown.ounces)]
    return Item(name, shown, tuple(said_so), marks)


def _time(minutes: Range) -> str:
    """ "30 minutes", "1½–2 hours", "2 days"."""
    low, high = exact(minutes.low), exact(minutes.high)
    for size, one, many in ((1440, "day", "days"), (60, "hour", "hours"), (1, "minute", "minutes")):
        fits = all((v / size * 2).denominator == 1 for v in (low, high))
        if (low >= size and fits) or size == 1:
            a, b = low / size, high / size
            text = spoken(a) if a == b else f"{spoken(a)}–{spoken(b)}"
            return f"{text} {one if b <= 1 else many}"
    raise AssertionError


def _heat(celsius: Range) -> str:
    def both(c: float) -> tuple[str, str]:
        value = exact(c)
        return decimal(value), decimal(exact(round(value * 9 / 5 + 32)))

    low, high = both(celsius.low), both(celsius.high)
    c = low[0] if low[0] == high[0] else f"{low[0]}–{high[0]}"
    f = low[1] if low[1] == high[1] else f"{low[1]}–{high[1]}"
    return f"{c} °C ({f} °F)"


def _sentences(steps: Sequence[Step]) -> tuple[Sentence, ...]:
    return tuple(Sentence(line(s.text), s.at_s, s.seconds) for s in steps if line(s.text))


def _home_made(
    component: Component, figures: Figures | None, questions: Sequence[Question], tables: Tables, lexicon: Lexicon,
) -> HomeMade:  # fmt: skip
    ounce = ounce_of(component.ingredients, tables)
    facts = []
    if component.ratio_by is not None:
        facts.append(f"Parts by {component.ratio_by}")
    if component.minutes is not None:
        facts.append(f"Time: {_time(component.minutes)}")
    if component.celsius is not None:
        facts.append(f"At {_heat(component.celsius)}")
    worked = figures.components.get(component.name) if figures is not None else None
    if worked is not None and worked.volume_ml is not None and not worked.volume_ml.rests_on:
        makes = span(worked.volume_ml, 10, "ml")
        if makes is not None:
            facts.append(f"Makes {makes}")
    if worked is not None and worked.keeps_days is not None and worked.keeps_days.low > 0:
        days = worked.keeps_days.low
        facts.append(f"Keeps {decimal(exact(days))} {'day' if days <= 1 else 'days'} in the refrigerator")
    return HomeMade(
        name=line(component.name) or "home-made part",
        items=tuple(
            item(i, gaps.at_ingredient(i, questions, tables), tables, lexicon, ounce) for i in component.ingredients
        ),
        steps=_sentences(component.steps),
        facts=(*facts, *notes_for_all(component.notes, tables)),
        gaps=gaps.at_component(component, questions, tables),
        promised=component.elsewhere is not None or any(q.kind == "elsewhere" for q in _about(component, questions)),
        told=gaps.told(component),
        minutes=component.minutes,
    )


def _about(component: Component, questions: Iterable[Question]) -> tuple[Question, ...]:
    return tuple(q for q in questions if core_name(q.about) == core_name(component.name))


def _serves(servings: float) -> str:
    number = exact(servings)
    return f"{spoken(number)} {'serving' if number <= 1 else 'servings'}"


def _facts(drink: Drink, questions: Sequence[Question], tables: Tables) -> tuple[Fact, ...]:
    out = []
    glass, ice = line(drink.glass or ""), line(drink.ice or "")
    missing = gaps.at_drink("glass-missing", questions, tables)
    if glass:
        out.append(Fact("Glass", glass))
    elif missing is not None:
        out.append(Fact("Glass", missing, gap=True))
    if ice:
        out.append(Fact("Ice", ice))
    if drink.mixing:
        out.append(Fact("Mixed", ", ".join(drink.mixing)))
    if drink.servings is not None:
        out.append(Fact("Makes", _serves(drink.servings)))
    return tuple(out)


def sheet(
    drink: Drink,
    episode: Episode,
    lexicon: Lexicon,
    tables: Tables,
    *,
    mark_open: bool = False,
    subtitle: str | None = None,
    remarks: Sequence[str] = (),
    country: str | None = None,
) -> Sheet:
    """The sheet of one drink of `episode` (or of one that was multiplied, with its `subtitle` and `remarks`).

    `mark_open`: mark every open question at its place and list it. What is empty in the record is marked in any case.
    `country`: a key of places.txt, whose standard drinks, age and allergens are shown; by default that of the locale.
    """
    country = country or tables.country_of(episode.source.locale)
    others = [c for d in episode.drinks if d.name != drink.name for c in d.components]
    components = home_made_of(drink, others)
    questions = gaps.of_drink(drink, episode.questions) if mark_open else ()
    # A home-made thing may stand with another drink, and so may the question about it.
    about_parts = tuple(q for q in episode.questions if any(_about(c, (q,)) for c in components)) if mark_open else ()
    asked = tuple(dict.fromkeys(q.id for q in (*questions, *about_parts)))
    by_id: Mapping[str, Question] = {q.id: q for q in episode.questions}
    figures = drink.figures
    ounce = ounce_of((*drink.ingredients, *drink.garnishes), tables)
    steps = _sentences(drink.steps)
    found = []
    if not drink.ingredients:
        found.append(gaps.mark("no ingredients", tables))
    method = gaps.at_drink("method-missing", questions, tables)
    if method is not None:
        found.append(method)
    elif not steps and not drink.mixing:
        found.append(gaps.mark("method-missing", tables))
    found += [gaps.mark(q.kind, tables, q.about) for q in questions if q.kind in ("claim-mismatch", "disclosure")]
    alcohol = is_alcoholic(drink, components, lexicon)
    small = []
    if any(i.amount is not None and i.amount.unit == "fl_oz" for i in drink.ingredients) or any(
        i.amount is not None and i.amount.millilitres is not None for i in drink.ingredients
    ):
        small.append(tables.say("ounce", size=decimal(ounce.ml)))
    strength = strength_line(figures) if figures is not None else None
    if strength is not None and figures is not None and not has_no_alcohol(figures):
        small.append(tables.say("figures"))
        not_said = "; ".join(line(why) for why in unknowns(figures))
        small += [f"Not said, so counted as a range: {not_said}."] if not_said else []
    items = tuple(item(i, gaps.at_ingredient(i, questions, tables), tables, lexicon, ounce) for i in drink.ingredients)
    # What goes into each glass is no part of a batch's proportions.
    apart = [n for n, i in enumerate(drink.ingredients) if tables.lines["each glass"] in i.notes]
    return Sheet(
        drink=drink,
        title=line(drink.name) or gaps.mark("no name", tables),
        subtitle=line(subtitle) if subtitle else None,
        facts=_facts(drink, questions, tables),
        items=items,
        garnishes=tuple(
            item(i, gaps.at_garnish(i, questions, tables), tables, lexicon, ounce) for i in drink.garnishes
        ),
        steps=steps,
        home_made=tuple(_home_made(c, figures, tuple(by_id[q] for q in asked), tables, lexicon) for c in components),
        proportions=proportions(drink.ingredients, [i.name for i in items], lexicon, leave_out=apart),
        strength=strength,
        standard_drinks=standard_drinks_line(figures, tables, country) if figures is not None else None,
        more=more_lines(figures) if figures is not None else (),
        allergens=allergens_of(drink, components, lexicon, country),
        cautions=tuple(caution_line(c, tables) for c in figures.cautions) if figures is not None else (),
        disclosures=tuple(line(d) for d in episode.disclosures if line(d)),
        alcohol=alcohol,
        age_line=age_line(country, tables) if alcohol else None,
        gaps=tuple(dict.fromkeys(found)),
        open=tuple(line(by_id[q].text) for q in asked),
        remarks=(*(line(r) for r in remarks), *notes_for_all(drink.notes, tables)),
        small=tuple(dict.fromkeys(small)),
        ounce=ounce,
        country=country,
    )
