"""Which drinks a talk holds, what they are called, what belongs to which: short talks through the whole pipeline.

The talks and what a listener hears in them are in drinks_corpus.txt.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

import pytest
from talk_corpus import blocks, captions

from extractor.lexicon import plain
from extractor.pipeline import draft
from extractor.record import Drink, Episode


@dataclass(frozen=True)
class Told:
    id: str
    about: str
    text: str
    drinks: tuple[str | None, ...]
    things: dict[str, tuple[str, ...]] = field(default_factory=dict)
    absent: dict[str, tuple[str, ...]] = field(default_factory=dict)
    served: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """What else is said of a drink: "glass of NAME", "mixing of NAME", "on NAME" (its garnishes), each with "not"."""


def corpus() -> list[Told]:
    out: list[Told] = []
    for block in blocks("drinks_corpus.txt"):
        drinks: tuple[str | None, ...] = ()
        things: dict[str, tuple[str, ...]] = {}
        absent: dict[str, tuple[str, ...]] = {}
        served: dict[str, tuple[str, ...]] = {}
        for key, value in block.facts:
            values = tuple(value.split("; "))
            if re.match(r"(?:not )?(?:on|glass of|mixing of) ", key):
                served[key] = values
            elif key == "drinks":
                drinks = tuple(None if v == "-" else v for v in values)
            elif key.startswith("not in "):
                absent[key.removeprefix("not in ")] = values
            else:
                things[key.removeprefix("in ")] = values
        out.append(Told(block.id, block.about, block.text, drinks, things, absent, served))
    return out


TALKS = corpus()
TOLD_IN_PASSING = ("name-in-passing",)
"""Talks of the corpus that tell a name in passing only."""


@lru_cache(maxsize=100)
def read(text: str) -> Episode:
    return draft(captions(text))


def by_name(episode: Episode, name: str) -> Drink:
    wanted = plain(name) if name != "-" else "unnamed drink"
    found = [d for d in episode.drinks if plain(d.name) == wanted]
    assert len(found) == 1, f"{name}: {[d.name for d in episode.drinks]}"
    return found[0]


def holds(drink: Drink, thing: str) -> bool:
    """The drink has the thing, under that name or with more words before it ("honey" is not "honey syrup")."""
    want = plain(thing).split()
    return any(plain(i.name).split()[-len(want) :] == want for i in drink.ingredients)


@pytest.mark.parametrize("talk", TALKS, ids=lambda t: t.id)
def test_the_drinks_of_a_talk_and_their_names(talk: Told) -> None:
    found = [plain(d.name) for d in read(talk.text).drinks]
    # Of several without a name each has its number: "Unnamed drink 2".
    shown = [n.rstrip(" 0123456789") if n.startswith("unnamed drink") else n for n in found]
    assert shown == [plain(n) if n is not None else "unnamed drink" for n in talk.drinks], talk.about


@pytest.mark.parametrize("talk", [t for t in TALKS if t.things or t.absent], ids=lambda t: t.id)
def test_what_belongs_to_which_drink(talk: Told) -> None:
    episode = read(talk.text)
    for name, things in talk.things.items():
        drink = by_name(episode, name)
        missing = [t for t in things if not holds(drink, t)]
        assert not missing, (talk.about, name, [i.name for i in drink.ingredients])
    for name, things in talk.absent.items():
        drink = by_name(episode, name)
        wrong = [t for t in things if holds(drink, t)]
        assert not wrong, (talk.about, name, [i.name for i in drink.ingredients])


@pytest.mark.parametrize("talk", [t for t in TALKS if t.served], ids=lambda t: t.id)
def test_the_glass_the_method_and_the_garnish(talk: Told) -> None:
    episode = read(talk.text)
    for key, values in talk.served.items():
        m = re.match(r"(not )?(on|glass of|mixing of) (.*)", key)
        assert m is not None
        drink = by_name(episode, m[3])
        if m[2] == "glass of":
            assert (plain(drink.glass or "") in values) is not bool(m[1]), (talk.about, drink.glass)
            continue
        said = [plain(g.name) for g in drink.garnishes] if m[2] == "on" else list(drink.mixing)
        missing = [v for v in values if (v not in said) is not bool(m[1])]
        assert not missing, (talk.about, key, said)


def test_a_drink_without_a_name_is_asked_about() -> None:
    """One blocking question for each, about the drink itself; where the drinks are named none, but for a name that was
    told in passing, which the question offers."""
    for talk in TALKS:
        asked = [q for q in read(talk.text).questions if q.kind == "name-unsure" and q.about == q.drink]
        nameless = [q for q in asked if not q.suggestions]
        unnamed = [n for n in talk.drinks if n is None]
        assert len(nameless) == len(unnamed), (talk.about, asked)
        passing = [q for q in asked if q.suggestions]
        assert bool(passing) == (talk.id in TOLD_IN_PASSING), (talk.about, asked)
        assert all([s.answer for s in q.suggestions] == [q.drink] for q in passing)
        assert all(q.blocking for q in asked)


def test_the_corpus_holds_talks_that_differ() -> None:
    assert len({t.id for t in TALKS}) == len({t.text for t in TALKS}) == len(TALKS) >= 35
    assert all(t.drinks and t.text for t in TALKS)


@pytest.mark.parametrize("talk", TALKS, ids=lambda t: t.id)
def test_the_name_as_heard_is_letter_for_letter(talk: Told) -> None:
    heard = [d.name_heard for d in read(talk.text).drinks if d.name_heard is not None]
    assert all(h in talk.text for h in heard)
    assert heard or set(talk.drinks) == {None}


def test_drops_on_top_do_not_go_into_the_shaker() -> None:
    talk = next(t for t in TALKS if t.id == "method-on-top")
    steps = [s.text for s in by_name(read(talk.text), "White Dove").steps]
    assert steps[0] == "Put brandy and lemon juice in a shaker."
    assert steps[-1] == "Finish with rose water on top."
