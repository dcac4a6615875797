"""Which amounts a talk gives to which things, and what is asked: short talks through the whole pipeline.

The talks and what a careful listener would write down are in lines_corpus.txt.
"""

from __future__ import annotations

from functools import lru_cache

import pytest
from talk_corpus import Block, blocks, captions

from extractor.lexicon import plain
from extractor.pipeline import draft
from extractor.record import Amount, Episode

TALKS = list(blocks("lines_corpus.txt"))
ASKED = ("asks", "never asks")


@lru_cache(maxsize=200)
def read(text: str) -> Episode:
    return draft(captions(text))


def _shown(amount: Amount | None) -> str:
    """An amount as the corpus writes it."""
    if amount is None or (amount.low is None and amount.unit is None):
        return "-"
    if amount.low is None:
        return str(amount.unit)
    number = f"{amount.low:g}" if amount.low == amount.high else f"{amount.low:g}-{amount.high:g}"
    return f"{number} {amount.unit}" if amount.unit else number


@pytest.mark.parametrize("talk", TALKS, ids=lambda t: t.id)
def test_lines(talk: Block) -> None:
    wanted = {
        plain(name): dict(line.split(" = ") for line in lines.split("; "))
        for name, lines in talk.facts
        if name not in ASKED
    }
    found = {plain(d.name): {i.name: _shown(i.amount) for i in d.ingredients} for d in read(talk.text).drinks}
    assert found == wanted, talk.about


@pytest.mark.parametrize("talk", [t for t in TALKS if any(k == "asks" for k, _ in t.facts)], ids=lambda t: t.id)
def test_asks(talk: Block) -> None:
    asked = {f"{q.kind} {q.about}" for q in read(talk.text).questions}
    assert set(dict(talk.facts)["asks"].split("; ")) <= asked, talk.about


@pytest.mark.parametrize("talk", [t for t in TALKS if any(k == "never asks" for k, _ in t.facts)], ids=lambda t: t.id)
def test_never_asks(talk: Block) -> None:
    asked = {q.kind for q in read(talk.text).questions}
    assert not set(dict(talk.facts)["never asks"].split("; ")) & asked, talk.about
