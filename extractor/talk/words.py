"""The Doc's tokens as the phrase index wants them: lower case, no punctuation, and where a full stop stands between."""

from __future__ import annotations

from dataclasses import dataclass

from spacy.tokens import Doc

FULL_STOPS = frozenset(".?!…")


@dataclass(frozen=True)
class SpokenWords:
    words: tuple[str, ...]
    stops: tuple[bool, ...]
    """stops[i]: a full stop stands between word i - 1 and word i."""
    commas: tuple[bool, ...]
    starts: tuple[int, ...]
    ends: tuple[int, ...]


def _has_word(text: str) -> bool:
    return any(c.isalnum() for c in text)


def spoken_words(doc: Doc) -> SpokenWords:
    """The tokens that are words, with character offsets into `doc.text`."""
    words, stops, commas, starts, ends = [], [], [], [], []
    stop = comma = False
    for token in doc:
        text = token.text
        if not _has_word(text):
            stop = stop or any(c in FULL_STOPS for c in text) or text in ("\n\n",)
            comma = comma or any(c in ",;:–—-" for c in text)
            continue
        # spaCy splits full stops off but for abbreviations ("oz.") and single letters: "Where was I."
        closes = text in ("I.", "i.", "a.", "A.")
        text = text[:-1] if closes else text
        words.append(text.lower().replace("’", "'"))
        stops.append(stop)
        commas.append(comma or stop)
        starts.append(token.idx)
        ends.append(token.idx + len(text))
        stop, comma = closes, False
    return SpokenWords(tuple(words), tuple(stops), tuple(commas), tuple(starts), tuple(ends))
