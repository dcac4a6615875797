"""What a person reads of a record: strings and rich renderables, made from the record and from its sheets, no more.

terminal.py            a draft, its corrections and its questions, for a terminal
draft_markdown.py      the same as a file beside the captions
questions_markdown.py  the open questions as a file beside the captions
lines.py               what of a sheet stands in which line: shared by the two drafts, so that they cannot differ
excerpt.py             the words of the talk around a question
reading.py             what one phrase is read as, and why
"""

from extractor.view.draft_markdown import draft_markdown
from extractor.view.excerpt import excerpt
from extractor.view.questions_markdown import questions_markdown
from extractor.view.reading import measure_text, name_text
from extractor.view.terminal import draft_view, questions_view

__all__ = [
    "draft_markdown",
    "draft_view",
    "excerpt",
    "measure_text",
    "name_text",
    "questions_markdown",
    "questions_view",
]
