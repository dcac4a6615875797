"""What is written down of home-made things: short talks through the whole pipeline.

The talks and what a listener hears in them are in homemade_corpus.txt.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache

import pytest
from talk_corpus import Block, blocks, captions

from extractor.lexicon import plain
from extractor.pipeline import draft
from extractor.record import Component, Drink, Episode, Ingredient


@dataclass(frozen=True)
class Part:
    name: str
    number: float | None
    unit: str | None


@dataclass(frozen=True)
class Told:
    id: str
    about: str
    text: str
    components: dict[str, tuple[Part, ...]] = field(default_factory=dict)
    none_told: bool = False
    minutes: dict[str, float | None] = field(default_factory=dict)
    celsius: dict[str, float] = field(default_factory=dict)
    things: dict[str, tuple[str, ...]] = field(default_factory=dict)
    absent: dict[str, tuple[str, ...]] = field(default_factory=dict)
    asks: tuple[tuple[str, str], ...] = ()
    never: tuple[str, ...] = ()


def _part(text: str) -> Part:
    name, _, amount = text.partition(" = ")
    if amount == "-":
        return Part(name, None, None)
    number, unit = amount.split()
    return Part(name, float(number), unit)


def corpus() -> list[Told]:
    return [_told(block) for block in blocks("homemade_corpus.txt")]


def _told(block: Block) -> Told:
    told = Told(block.id, block.about, block.text)
    asks: list[tuple[str, str]] = []
    never: list[str] = []
    none_told = False
    for key, value in block.facts:
        if key == "component" and value == "-":
            none_told = True
        elif key.startswith("component ") and value != "-":
            told.components[key.removeprefix("component ")] = tuple(_part(p) for p in value.split("; "))
        elif key.startswith("minutes "):
            told.minutes[key.removeprefix("minutes ")] = None if value == "-" else float(value)
        elif key.startswith("celsius "):
            told.celsius[key.removeprefix("celsius ")] = float(value)
        elif key.startswith("not in "):
            told.absent[key.removeprefix("not in ")] = tuple(value.split("; "))
        elif key.startswith("in "):
            told.things[key.removeprefix("in ")] = tuple(value.split("; "))
        elif key == "asks":
            asks += [(kind, thing) for kind, _, thing in (a.partition(" ") for a in value.split("; "))]
        elif key == "never asks":
            never += value.split("; ")
    return replace(told, none_told=none_told, asks=tuple(asks), never=tuple(never))


TALKS = corpus()
BY_ID = {t.id: t for t in TALKS}


@cache
def heard(talk_id: str) -> Episode:
    return draft(captions(BY_ID[talk_id].text))


def component(episode: Episode, name: str) -> Component:
    found = [c for d in episode.drinks for c in d.components if plain(c.name) == plain(name)]
    assert len(found) == 1, f"{name}: {[c.name for d in episode.drinks for c in d.components]}"
    return found[0]


def amount(part: Ingredient) -> tuple[float | None, str | None]:
    return (None, None) if part.amount is None else (part.amount.low, part.amount.unit)


def drink(episode: Episode, name: str) -> Drink:
    return next(d for d in episode.drinks if plain(d.name).removeprefix("the ") == plain(name))


def ids(talks: list[Told]) -> list[str]:
    return [t.id for t in talks]


MADE = [t for t in TALKS if t.components]
NOT_MADE = [t for t in TALKS if t.none_told and not t.components]
TIMED = [t for t in TALKS if t.minutes or t.celsius]
POURED = [t for t in TALKS if t.things or t.absent]
ASKED = [t for t in TALKS if t.asks]
NEVER = [t for t in TALKS if t.never]


@pytest.mark.parametrize("told", MADE, ids=ids(MADE))
def test_parts_of_a_making_are_all_and_only_those_said(told: Told) -> None:
    for name, parts in told.components.items():
        got = {plain(i.name): amount(i) for i in component(heard(told.id), name).ingredients}
        assert got == {plain(p.name): (p.number, p.unit) for p in parts}


@pytest.mark.parametrize("told", NOT_MADE, ids=ids(NOT_MADE))
def test_no_making_where_none_is_told(told: Told) -> None:
    assert [c.name for d in heard(told.id).drinks for c in d.components] == []


@pytest.mark.parametrize("told", TIMED, ids=ids(TIMED))
def test_times_and_heat_of_a_making(told: Told) -> None:
    for name, minutes in told.minutes.items():
        held = component(heard(told.id), name).minutes
        assert (held.low if held is not None else None) == minutes
    for name, celsius in told.celsius.items():
        heat = component(heard(told.id), name).celsius
        assert (heat.low if heat is not None else None) == celsius


@pytest.mark.parametrize("told", POURED, ids=ids(POURED))
def test_makings_and_drinks_keep_their_own(told: Told) -> None:
    for name, things in told.things.items():
        assert {plain(t) for t in things} <= {plain(i.name) for i in drink(heard(told.id), name).ingredients}
    for name, things in told.absent.items():
        assert not {plain(t) for t in things} & {plain(i.name) for i in drink(heard(told.id), name).ingredients}


@pytest.mark.parametrize("told", ASKED, ids=ids(ASKED))
def test_what_is_owed_is_asked_once(told: Told) -> None:
    questions = [(str(q.kind), plain(q.about)) for q in heard(told.id).questions]
    for kind, about in told.asks:
        assert questions.count((kind, plain(about))) == 1


@pytest.mark.parametrize("told", NEVER, ids=ids(NEVER))
def test_what_is_not_owed_is_not_asked(told: Told) -> None:
    assert not {q.kind for q in heard(told.id).questions} & set(told.never)
