"""The figures over the project's own lexicon: any unit, kind and way of mixing gives bounds that hold, and no error."""

from __future__ import annotations

import random
from typing import get_args

import pytest

from extractor.figures import component_figures, drink_figures, tables_of
from extractor.lexicon import Entry, load_lexicon
from extractor.record import Amount, Component, Drink, Evidence, Figures, Ingredient, Worked
from extractor.record.episode import ComponentKind, Technique, Unit
from extractor.units import load_units

UNITS = load_units("us")
UNIT_NAMES: tuple[str | None, ...] = (*get_args(Unit), None)


def _ingredient(entry: Entry | None, amount: Amount | None, name: str = "") -> Ingredient:
    called = entry.name if entry is not None else name
    return Ingredient(
        name=called,
        lexicon_id=None if entry is None else entry.id,
        heard=called,
        amount=amount,
        at_s=None,
        evidence=Evidence(start_s=None, end_s=None, text=called),
    )


def _amount(chance: random.Random) -> Amount | None:
    unit = chance.choice(UNIT_NAMES)
    if chance.random() < 0.1:
        return None
    low = None if chance.random() < 0.15 else round(chance.uniform(0, 4), 2)
    high = low if low is None or chance.random() < 0.8 else low + 1
    return Amount(low=low, high=high, unit=unit, millilitres=None, said="")  # type: ignore[arg-type]


def _all(figures: Figures) -> list[Worked]:
    from extractor.figures.drink import _all_worked

    return list(_all_worked(figures))


def _drink(seed: int) -> Drink:
    chance = random.Random(seed)

    def some(most: int) -> tuple[Ingredient, ...]:
        lines = [
            _ingredient(chance.choice(load_lexicon().ingredients), _amount(chance))
            for _ in range(chance.randint(0, most))
        ]
        if chance.random() < 0.2:
            lines.append(_ingredient(None, _amount(chance), "grandfather's mixture"))
        return tuple(lines)

    made = Component(
        name="thing",
        kind=chance.choice(get_args(ComponentKind)),
        ingredients=some(4),
        ratio_by=chance.choice((None, "weight", "volume")),
    )
    return Drink(
        name="Any",
        name_heard=None,
        start_s=None,
        end_s=None,
        servings=chance.choice((None, 1, 4, 0.5)),
        glass=chance.choice((None, "coupe", "highball glass", "nothing known")),
        ice=chance.choice((None, "none", "crushed ice")),
        mixing=tuple(chance.sample(get_args(Technique), chance.randint(0, 4))),
        ingredients=(*some(6), _ingredient(None, _amount(chance), "thing")),
        garnishes=some(1),
        components=(made,),
    )


@pytest.mark.parametrize("seed", range(150))
def test_any_drink_gives_bounds_that_hold_and_reads_back(seed: int) -> None:
    drink = _drink(seed)
    figures = drink_figures(drink, load_lexicon(), UNITS)
    for worked in _all(figures):
        assert worked.low >= 0
        assert worked.high is None or worked.low <= worked.high + 1e-9
        if worked.unit == "% vol":
            assert worked.high is not None
            assert worked.high <= 100
    assert Figures.model_validate_json(figures.model_dump_json()) == figures
    if figures.volume_ml is not None and figures.volume_diluted_ml is not None:
        assert figures.volume_diluted_ml.low >= figures.volume_ml.low - 1e-3
    component_figures(drink.components[0], load_lexicon(), UNITS)


@pytest.mark.parametrize("seed", range(60))
def test_leaving_an_amount_unsaid_never_narrows_the_strength_beyond_what_it_was(seed: int) -> None:
    # With the usual range in its place, a drink whose amount lay in that range must still be within the bounds.
    chance = random.Random(seed)
    pourable = [
        e for e in load_lexicon().ingredients if (u := load_lexicon().usual(e)) is not None and u.unit == "fl_oz"
    ]
    entries = chance.sample(pourable, 4)
    lines = []
    for entry in entries:
        usual = load_lexicon().usual(entry)
        assert usual is not None
        ounces = chance.uniform(usual.low, usual.high)
        said = Amount(low=ounces, high=ounces, unit="fl_oz", millilitres=None, said="")
        lines.append(_ingredient(entry, said))
    base = _drink(0).model_copy(update={"components": (), "garnishes": (), "servings": None, "mixing": ("shake",)})
    known = drink_figures(base.model_copy(update={"ingredients": tuple(lines)}), load_lexicon(), UNITS)
    lines[0] = lines[0].model_copy(update={"amount": None})
    unsaid = drink_figures(base.model_copy(update={"ingredients": tuple(lines)}), load_lexicon(), UNITS)
    for field in ("volume_ml", "volume_diluted_ml", "abv", "abv_diluted", "sugar_g"):
        inner, outer = getattr(known, field), getattr(unsaid, field)
        if inner is None or outer is None:
            continue
        assert outer.low <= inner.low + 1e-3, field
        assert outer.high is None or inner.high is None or outer.high >= inner.high - 1e-3, field


def test_coconut_of_the_lexicon_is_no_tree_nut() -> None:
    # FDA guidance of 6 January 2025 took coconut off; it never stood in Reg. (EU) 1169/2011, Annex II.
    wrong = [
        e.name
        for e in load_lexicon().ingredients
        if e.name.startswith("coconut")
        and "tree nut" in load_lexicon().listed(e, "allergens")
        and "almond" not in e.name
    ]
    assert wrong == []


def test_the_words_guess_little_that_the_reviewed_lexicon_does_not_say() -> None:
    """The word list is for names outside the lexicon; over the lexicon's own names it can be measured.

    Spirits are left out: their names speak of what they are distilled from, which the EU list exempts.
    """
    from extractor.figures.allergens import allergens_in_name

    tables = tables_of(load_lexicon())
    found = agreed = 0
    for entry in load_lexicon().ingredients:
        if load_lexicon().is_a(entry, "spirit"):
            continue
        listed = {*load_lexicon().listed(entry, "allergens"), *load_lexicon().listed(entry, "may_contain")}
        listed |= {"gluten"} if "wheat" in listed else set()
        guessed = set(allergens_in_name(entry.name, tables))
        found += len(guessed)
        agreed += len(guessed & listed)
    assert found > 200
    assert agreed / found > 0.95


def test_every_caution_that_can_be_called_for_has_its_words_and_their_source() -> None:
    from extractor.figures.cautions import words_of

    lexicon = load_lexicon()
    tables = tables_of(lexicon)
    keys = {*tables.caution_signs, *(k for e in lexicon.ingredients for k in lexicon.listed(e, "cautions"))}
    assert keys <= set(tables.cautions)
    for key in keys:
        words = words_of(key, tables, {})
        assert words.source != "no source given", key
        assert words.text.count("local food code") == 1, key
