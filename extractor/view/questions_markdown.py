"""The open questions as a Markdown file, to keep beside the captions or to send to whoever can answer them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from extractor.record import Episode, Question
from extractor.view.lines import MADE, counts, offers, question_head, remarks
from extractor.visible import line, markdown

HOW = (
    "Answer them with `pourword confirm`, or have a form written with `pourword questions --write` and hand it back "
    "with `pourword confirm --answers`."
)


def questions_markdown(episode: Episode, words: Callable[[Question], str] = lambda _: "") -> str:
    """The questions in their order; ends in a line break. `words` gives the talk around a question (excerpt.py)."""
    name = PurePath(line(episode.source.path or "")).name or "the draft"
    out = [f"# Questions about {markdown(name)}", "", f"{counts(episode).capitalize()}.", "", MADE, ""]
    if episode.questions:
        out += [HOW, ""]
    for number, q in enumerate(episode.questions, 1):
        out += [f"## {number}. {markdown(' · '.join(question_head(q)))}", "", markdown(q.text), ""]
        heard = line(words(q))
        out += [f"> {markdown(heard)}", ""] if heard else []
        out += [x for r in remarks(q) for x in (markdown(r), "")]
        out += [*(f"{n}. {markdown(o)}" for n, o in enumerate(offers(q), 1)), ""] if q.suggestions else []
    return "\n".join(out).rstrip("\n") + "\n"
