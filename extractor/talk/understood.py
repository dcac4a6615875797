"""What the first reading of a talk understood: which words lie in a measure, and which in a name."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import TYPE_CHECKING

from extractor.lexicon import Lexicon
from extractor.record.measure import Measure
from extractor.record.talk import Mention

if TYPE_CHECKING:
    from extractor.names import Hearing
    from extractor.talk.mentions import NameWords, Token


class Understood:
    """The tokens of a talk with what the first reading understood of them."""

    def __init__(
        self, tokens: Sequence[Token], covered: Sequence[Measure | None], mentions: Sequence[Mention],
        words: NameWords, lexicon: Lexicon, hearing: Hearing, text: str,
    ) -> None:  # fmt: skip
        self.heads = words.heads | hearing.words["head"]
        self.tokens = tokens
        self.text = text
        self.covered = covered
        self.words = words
        self.lexicon = lexicon
        self.starts = [t.start for t in tokens]
        self.mentions = [(bisect_left(self.starts, m.start), bisect_left(self.starts, m.end), m) for m in mentions]
        self.first = {a: (b, m) for a, b, m in self.mentions}
        self.last = {b: (a, m) for a, b, m in self.mentions}
        self.owner = {i: (a, m) for a, b, m in self.mentions for i in range(a, b)}

    def stops(self, i: int) -> bool:
        """A full stop stands behind token i."""
        return self.text[self.tokens[i].end : self.tokens[i].end + 1] in (".", "?", "!")

    def comma(self, i: int) -> bool:
        """Nothing but a comma stands behind token i: a recogniser sets some where the speaker took breath."""
        return self.text[self.tokens[i].end : self.tokens[i].end + 2] == ", "

    def open(self, i: int) -> bool:
        """Token i lies in no measure and in no name that is sure."""
        return self.covered[i] is None and (i not in self.owner or not sure(self.owner[i][1]))


def sure(m: Mention) -> bool:
    return m.entry is not None and (m.how in ("exact", "other name") or m.apply)
