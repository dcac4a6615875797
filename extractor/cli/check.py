"""`pourword check`: may this episode be published?"""

from __future__ import annotations

import sys

from extractor.cli.shared import Captions, Locale, OwnLexicon, open_captions, write
from extractor.errors import PourwordError


def check(captions: Captions, locale: Locale = None, lexicon: OwnLexicon = None) -> int:
    """Say in one line whether the episode may be published; for a script, say it by the exit status.

    0: nothing that blocks is open. 1: something is. 2: it could not be read.
    """
    from extractor.answers import state_of, unreadable

    try:
        gate = state_of(open_captions(captions, locale, lexicon).episode)
    except PourwordError as error:
        gate = unreadable(error)
        sys.stderr.write(f"{gate.line}\n")
        return gate.status
    write(f"{gate.line}\n")
    return gate.status
