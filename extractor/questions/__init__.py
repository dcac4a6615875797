"""What must be asked before publishing: one kind a file, each with an example that must ask and one that must not.

`ask(...)` gives the questions in the order of the recording; `KINDS` lists the kinds with their modules.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from extractor.questions import (
    amount_conflict,
    amount_missing,
    amount_unlikely,
    amount_vague,
    choice_open,
    claim_mismatch,
    component_incomplete,
    disclosure,
    elsewhere,
    glass_missing,
    method_missing,
    name_unsure,
    unit_missing,
)
from extractor.questions.context import Context
from extractor.record.episode import Question

if TYPE_CHECKING:
    from extractor.lexicon import Lexicon
    from extractor.record.episode import Episode
    from extractor.record.finding import Draft
    from extractor.record.talk import Talk
    from extractor.units import Units

KINDS = (
    amount_conflict, amount_missing, amount_unlikely, amount_vague, choice_open, claim_mismatch, component_incomplete,
    disclosure, elsewhere, glass_missing, method_missing, name_unsure, unit_missing,
)  # fmt: skip
__all__ = ["KINDS", "ask"]


def ask(episode: Episode, draft: Draft, talk: Talk, lexicon: Lexicon, units: Units) -> tuple[Question, ...]:
    """All questions of an episode, each once, in the order of the recording; at one place the blocking ones first."""
    context = Context(episode, draft, talk, lexicon, units)
    out: dict[str, Question] = {}
    for kind in KINDS:
        for q in kind.check(context):
            key, n = q.id, 2
            while key in out:
                key, n = f"{q.id}-{n}", n + 1
            out[key] = q if key == q.id else q.model_copy(update={"id": key})
    return tuple(sorted(out.values(), key=lambda q: (q.at_s if q.at_s is not None else 0.0, not q.blocking, q.id)))
