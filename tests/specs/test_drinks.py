"""Which drinks a talk holds, what they are called, what belongs to which: short talks through the whole pipeline.

The talks and what a listener hears in them are in drinks_corpus.txt.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import pytest

from extractor.lexicon import plain
from extractor.pipeline import draft
from extractor.record import Drink, Episode

WORDS_IN_A_CUE = 12
SECONDS_A_CUE = 4


@dataclass(frozen=True)
class Told:
    id: str
    about: str
    text: str
    drinks: tuple[str | None, ...]
    things: dict[str, tuple[str, ...]] = field(default_factory=dict)
    absent: dict[str, tuple[str, ...]] = field(default_factory=dict)


def corpus() -> list[Told]:
    path = Path(__file__).with_name("drinks_corpus.txt")
    lines = [ln for ln in path.read_text(encoding="utf-8").splitlines() if not ln.startswith("#")]
    out: list[Told] = []
    for block in "\n".join(lines).split("\n== ")[1:]:
        head, _, text = block.partition("\n\n")
        title, *facts = head.splitlines()
        name, _, about = title.partition(": ")
        drinks: tuple[str | None, ...] = ()
        things: dict[str, tuple[str, ...]] = {}
        absent: dict[str, tuple[str, ...]] = {}
        for fact in facts:
            key, _, value = fact.partition(": ")
            values = tuple(value.split("; "))
            if key == "drinks":
                drinks = tuple(None if v == "-" else v for v in values)
            elif key.startswith("not in "):
                absent[key.removeprefix("not in ")] = values
            else:
                things[key.removeprefix("in ")] = values
        out.append(Told(name, about, " ".join(text.split()), drinks, things, absent))
    return out


TALKS = corpus()


def captions(text: str) -> str:
    """A talk as a WebVTT file, a dozen words a cue."""
    words = text.split()
    cues = [" ".join(words[k : k + WORDS_IN_A_CUE]) for k in range(0, len(words), WORDS_IN_A_CUE)]
    out = ["WEBVTT", ""]
    for k, cue in enumerate(cues):
        a, b = k * SECONDS_A_CUE, (k + 1) * SECONDS_A_CUE
        out += [f"00:{a // 60:02}:{a % 60:02}.000 --> 00:{b // 60:02}:{b % 60:02}.000", cue, ""]
    return "\n".join(out)


@lru_cache(maxsize=100)
def read(text: str) -> Episode:
    return draft(captions(text))


def by_name(episode: Episode, name: str) -> Drink:
    found = [d for d in episode.drinks if plain(d.name) == plain(name)]
    assert len(found) == 1, f"{name}: {[d.name for d in episode.drinks]}"
    return found[0]


def holds(drink: Drink, thing: str) -> bool:
    """The drink has the thing, under that name or with more words before it ("honey" is not "honey syrup")."""
    want = plain(thing).split()
    return any(plain(i.name).split()[-len(want) :] == want for i in drink.ingredients)


@pytest.mark.parametrize("talk", TALKS, ids=lambda t: t.id)
def test_the_drinks_of_a_talk_and_their_names(talk: Told) -> None:
    found = [plain(d.name) for d in read(talk.text).drinks]
    assert found == [plain(n) if n is not None else "unnamed drink" for n in talk.drinks], talk.about


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


def test_the_corpus_holds_talks_that_differ() -> None:
    assert len({t.id for t in TALKS}) == len({t.text for t in TALKS}) == len(TALKS) >= 35
    assert all(t.drinks and t.text for t in TALKS)


@pytest.mark.parametrize("talk", TALKS, ids=lambda t: t.id)
def test_the_name_as_heard_is_letter_for_letter(talk: Told) -> None:
    heard = [d.name_heard for d in read(talk.text).drinks if d.name_heard is not None]
    assert all(h in talk.text for h in heard)
    assert heard or set(talk.drinks) == {None}
