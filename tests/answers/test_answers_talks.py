"""Answers on whole talks: read as spoken, and as a general recogniser heard the same recording."""

from __future__ import annotations

from pathlib import Path

import pytest

from extractor.answers import Answers, Readers, answer_to, apply_with_report, print_answers, read_answers
from extractor.answers.apply import Applied
from extractor.measures import read_amount
from extractor.names import read_name
from extractor.pipeline import draft
from extractor.record import Episode

TALKS = Path(__file__).resolve().parents[1] / "talks" / "open"
NAMES = sorted(p.name.removesuffix(".clean.vtt") for p in TALKS.glob("*.clean.vtt"))[:8]
READERS = Readers(read_amount, read_name)


def all_answered(episode: Episode) -> Answers:
    """Every question answered by a value of its own where it takes one: 101 ml, 102 ml ..."""
    words = {
        "name-unsure": "falernum",
        "choice-open": "leave as it is",
        "claim-mismatch": "leave as it is",
        "elsewhere": "Steep it for a day.",
        "component-incomplete": "recipe: Steep it.",
        "method-missing": "stir",
        "glass-missing": "flute",
        "disclosure": "It was a gift.",
    }
    return Answers(
        entries=tuple(answer_to(q, episode, words.get(q.kind, f"{n} ml")) for n, q in enumerate(episode.questions, 101))
    )


@pytest.mark.parametrize("name", NAMES)
def test_on_the_same_captions_every_answer_holds(name: str) -> None:
    as_spoken = draft(TALKS / f"{name}.clean.vtt")
    answers = all_answered(as_spoken)
    assert read_answers(print_answers(answers)) == answers
    got = apply_with_report(as_spoken, answers, READERS)
    assert (got.changed, got.orphaned, got.settled) == ((), (), ())
    assert len(got.done) + len(got.failed) == len(as_spoken.questions)
    # What could not be put in is still open, and says why; nothing else is.
    assert {q.id for q in got.episode.questions} == {f.answer.id for f in got.failed}
    assert all(q.context["not_applied"] for q in got.episode.questions)


def test_on_what_was_heard_no_answer_lands_on_another_thing() -> None:
    """The same recording: an amount is in its place where it stands at the second of the thing it was given for.

    (The times as spoken are reckoned from the script; they run up to a tenth ahead of the recording's.)
    """
    ends = {"done": 0, "shown again": 0, "lost": 0, "settled": 0, "asked": 0}
    placed = 0
    for name in NAMES:
        as_spoken, as_heard = draft(TALKS / f"{name}.clean.vtt"), draft(TALKS / f"{name}.heard.vtt")
        answers = all_answered(as_spoken)
        got = apply_with_report(as_heard, answers, READERS)
        ends["asked"] += len(as_spoken.questions)
        ends["done"] += len(got.done) + len(got.failed)
        ends["shown again"] += len(got.changed)
        ends["lost"] += len(got.orphaned)
        ends["settled"] += len(got.settled)
        placed += _in_place(got, answers)
    print(f"\n{ends}, amounts whose place was checked by the second: {placed}")
    assert sum(ends.values()) == 2 * ends["asked"]
    assert ends["done"] >= ends["asked"] // 3
    assert placed >= 3


def _in_place(got: Applied, answers: Answers) -> int:
    assert got.board is not None
    seen = 0
    for spot in got.board.spots():
        amount = spot.item.value.amount if spot.item is not None else None
        given = next((a for a in answers.entries if amount is not None and amount.said == a.given), None)
        if given is None or given.ground is None or spot.item is None or spot.item.raw is None:
            continue
        told, now = given.ground.told_s, spot.item.raw.at_s
        assert told is not None
        assert now is not None
        assert 0.88 * told - 3 <= now <= 1.02 * told + 3, (given.ground.about, told, spot.item.raw.name, now)
        seen += 1
    return seen
