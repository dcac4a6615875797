"""What talks owe: short talks through the whole pipeline, and the questions that they must and must not lead to.

The talks and what a listener would ask are in owed_corpus.txt.
"""

from __future__ import annotations

from functools import cache

import pytest
from talk_corpus import Block, blocks, captions

from extractor.lexicon import plain
from extractor.pipeline import draft

TALKS = {b.id: b for b in blocks("owed_corpus.txt")}


@cache
def asked(talk_id: str) -> frozenset[tuple[str, str]]:
    episode = draft(captions(TALKS[talk_id].text))
    return frozenset((q.kind, plain(q.about).removeprefix("the ")) for q in episode.questions)


def facts(key: str) -> list[tuple[str, str]]:
    return [(b.id, value) for b in TALKS.values() for k, value in b.facts if k == key]


def test_the_facts_are_known_ones() -> None:
    assert {k for b in TALKS.values() for k, _ in b.facts} <= {"asks", "never asks"}
    assert all(_told(b) for b in TALKS.values())


def _told(block: Block) -> bool:
    return bool(block.facts and block.text)


@pytest.mark.parametrize(("talk_id", "fact"), facts("asks"))
def test_asked(talk_id: str, fact: str) -> None:
    kind, _, thing = fact.partition(" of ")
    assert (kind, plain(thing)) in asked(talk_id)


@pytest.mark.parametrize(("talk_id", "fact"), facts("never asks"))
def test_never_asked(talk_id: str, fact: str) -> None:
    kind, _, thing = fact.partition(" of ")
    assert not [q for q in asked(talk_id) if q[0] == kind and (not thing or q[1] == plain(thing))]
