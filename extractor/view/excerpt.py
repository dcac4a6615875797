"""The words of the talk around a question, those in question in square brackets."""

from __future__ import annotations

from extractor.record import Question
from extractor.record.talk import Talk
from extractor.visible import line

WORDS = 10
"""So many words are shown before and after."""
LONGEST = 24
"""Of longer evidence only so many words are shown."""
_PUNCTUATION = ".,;:!?…)”"


def excerpt(question: Question, talk: Talk) -> str:
    """ "… half an ounce of [fuller num] and then …"; "" where a question rests on no words of the talk."""
    evidence = question.evidence
    if evidence is None or not evidence.text.strip():
        return ""
    at = _place(evidence.text, evidence.start_s, talk)
    if at is None:
        return f"[{line(evidence.text)}]"
    text, start, end = talk.text, at, at + len(evidence.text)
    # Whole words, and their punctuation outside of the brackets.
    while start > 0 and not text[start - 1].isspace():
        start -= 1
    while end < len(text) and not text[end].isspace():
        end += 1
    while end - 1 > start and text[end - 1] in _PUNCTUATION:
        end -= 1
    words = text[start:end].split()
    told = " ".join(words) if len(words) <= LONGEST else f"{' '.join(words[:LONGEST])} …"
    before, after = text[:start].split(), text[end:].split()
    glued = "" if end >= len(text) or text[end].isspace() else after.pop(0)
    parts = [*before[-WORDS:], f"[{told}]{glued}", *after[:WORDS]]
    return f"{'… ' if len(before) > WORDS else ''}{line(' '.join(parts))}{' …' if len(after) > WORDS else ''}"


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
