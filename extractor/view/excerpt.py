"""The words of the talk around a question, those in question in square brackets."""

from __future__ import annotations

from extractor.record import Question
from extractor.record.talk import Talk
from extractor.visible import line

WORDS = 10
"""So many words are shown before and after."""


def excerpt(question: Question, talk: Talk) -> str:
    """ "… half an ounce of [fuller num] and then …"; "" where a question rests on no words of the talk."""
    evidence = question.evidence
    if evidence is None or not evidence.text.strip():
        return ""
    at = _place(evidence.text, evidence.start_s, talk)
    if at is None:
        return f"[{line(evidence.text)}]"
    before, after = talk.text[:at].split(), talk.text[at + len(evidence.text) :].split()
    parts = [*before[-WORDS:], f"[{line(evidence.text)}]", *after[:WORDS]]
    text = line(" ".join(parts))
    return f"{'… ' if len(before) > WORDS else ''}{text}{' …' if len(after) > WORDS else ''}"


def _place(words: str, start_s: float | None, talk: Talk) -> int | None:
    """Where these words stand in the talk: of several places the one nearest to their second."""
    places = []
    at = talk.text.find(words)
    while at >= 0:
        places.append(at)
        at = talk.text.find(words, at + 1)
    if not places:
        return None
    if start_s is None:
        return places[0]
    return min(places, key=lambda p: abs((talk.second(p) or 0.0) - start_s))
