"""Names that no lexicon has, told by their last word before their amount: "there's my chokeberry syrup, half a part".

Behind an amount the search for names expects one; before an amount it has nothing to go by but the words. A head word
("syrup", "cordial") with other words before it and an amount right behind it is a thing that is poured.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from extractor.record.measure import Measure
from extractor.record.talk import Mention

if TYPE_CHECKING:
    from extractor.talk.mentions import NameWords, Token

LONGEST = 3
"""So many words at most stand before the head."""
BETWEEN = frozenset(("a", "an", "the", "that's", "it's", "is", "about", "just", "at", "like", "and", "of"))
"""What may stand between a name and the amount behind it."""
BETWEEN_AT_MOST = 2
LOST, LOST_WORDS = 2, frozenset(("and", "in", "an", "on", "or", "him", "them", "at", "if", "are", "as", "to"))
"""So many words at most, and of these, are what is left of the name before its head."""


def headed(
    tokens: Sequence[Token], covered: Sequence[Measure | None], known: Sequence[Mention], words: NameWords, text: str
) -> list[Mention]:
    """The mentions that such names make, where nothing was understood yet."""
    taken = sorted((m.start, m.end) for m in known)
    out = []
    for i, token in enumerate(tokens):
        if token.clean not in words.heads or covered[i] is not None or not before_amount(tokens, covered, i, text):
            continue
        first = i
        while first > 0 and i - first < LONGEST and _of_a_name(tokens[first - 1], words) and covered[first - 1] is None:
            first -= 1
        start, end = tokens[first].start, token.end
        if first == i or any(a < end and start < b for a, b in taken):
            continue
        said = text[start:end]
        out.append(_named(start, end, said.lower(), said))
    return [*out, *_lost_before_head(tokens, covered, taken, words, text)]


def _named(start: int, end: int, name: str, said: str) -> Mention:
    return Mention(start, end, name, said, "ingredient", None, "head", 0.0, False, core=(start, end))


def _lost_before_head(
    tokens: Sequence[Token], covered: Sequence[Measure | None], taken: Sequence[tuple[int, int]], words: NameWords,
    text: str,
) -> list[Mention]:  # fmt: skip
    """ "Three quarters of and juice": of the name only its head is left, and the amount is of nothing else."""
    out = []
    for i, token in enumerate(tokens):
        behind = covered[i - 1] if i else None
        within = behind is not None and behind.pours and behind.said.rstrip().lower().endswith(" of")
        of = token.clean == "of" and behind is not None and behind.pours and not tokens[i - 1].closes
        if covered[i] is not None or not (of or within):
            continue
        first = head = i + 1 if of else i
        while head < len(tokens) and head - first < LOST and tokens[head].clean in LOST_WORDS:
            if tokens[head].closes:
                break
            head += 1
        if head == first or head >= len(tokens) or tokens[head].clean not in words.heads or covered[head] is not None:
            continue
        start, end = tokens[first].start, tokens[head].end
        if any(a < end and start < b for a, b in taken) or tokens[head - 1].closes:
            continue
        out.append(_named(start, end, tokens[head].clean, text[start:end]))
    return out


def _of_a_name(token: Token, words: NameWords) -> bool:
    small = token.clean in words.stop or token.clean in words.drop
    return not token.closes and not small and token.clean not in words.heads and token.clean[:1].isalpha()


def before_amount(tokens: Sequence[Token], covered: Sequence[Measure | None], i: int, text: str) -> bool:
    """An amount by a unit stands behind token i, with nothing but a comma or small words between."""
    if tokens[i].closes and text[tokens[i].end : tokens[i].end + 2] != ", ":
        return False
    k = i + 1
    while k < len(tokens) and k - i <= BETWEEN_AT_MOST and tokens[k].clean in BETWEEN and covered[k] is None:
        if tokens[k].closes:
            return False
        k += 1
    behind = covered[k] if k < len(tokens) else None
    if behind is None or behind.kind != "amount" or behind.unit is None or behind.thing is not None:
        return False
    # "Ginger syrup, half an ounce of rum": the amount is of what stands behind it.
    return not _of_another(tokens, covered, k)


def _of_another(tokens: Sequence[Token], covered: Sequence[Measure | None], k: int) -> bool:
    measure = covered[k]
    while k < len(tokens) and covered[k] is measure:
        k += 1
    of = measure is not None and measure.said.rstrip().lower().endswith(" of")
    if k < len(tokens) and not tokens[k - 1].closes and (of or tokens[k].clean == "of"):
        behind = tokens[k + (tokens[k].clean == "of")].clean if k + (tokens[k].clean == "of") < len(tokens) else ""
        return behind not in ("that", "it", "this", "them", "those")
    return False
