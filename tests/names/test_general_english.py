"""English that has nothing to do with drinks is left alone."""

from __future__ import annotations

import re

from extractor.lexicon import Lexicon, lexicon_folder, plain
from extractor.names import Slot, find_names, load_hearing
from extractor.names.places import load_places

PER_WORDS = 10_000
AT_MOST = 0.2
TALK = 2000
EXPECTED = 0.4


def slots(words: list[str]) -> list[Slot]:
    """Every place at which the words before tell of a name, as lexicon/hearing/places.txt has it."""
    places = load_places(lexicon_folder() / "hearing")
    clean = [plain(w) for w in words]
    out = []
    for i in range(1, len(words)):
        expects = places.expects(" ".join(clean[max(0, i - 5) : i]), "")
        if expects >= EXPECTED:
            end = i + 1
            while end < min(len(words), i + 6) and not words[end - 1].endswith((".", ",", ";", ":", "!", "?")):
                end += 1
            out.append(Slot(i, end, expects))
    return out


def test_nothing_is_put_right_in_the_manual_of_python(lexicon: Lexicon) -> None:
    """The text: pydoc_data.topics, the language reference that every Python ships, in pieces of 2,000 words."""
    from pydoc_data.topics import topics

    words = re.findall(r"\S+", "\n".join(topics[k] for k in sorted(topics)))
    assert len(words) > 50_000
    hearing = load_hearing(lexicon)
    changed, places = [], 0
    for at in range(0, len(words), TALK):
        piece = words[at : at + TALK]
        here = slots(piece)
        places += len(here)
        spans = find_names(piece, here, hearing)
        changed += [s for s in spans if s.apply and s.how in ("sound", "spelling", "misheard")]
    assert places > 100
    assert len(changed) * PER_WORDS / len(words) <= AT_MOST, [(s.heard, s.written) for s in changed]
