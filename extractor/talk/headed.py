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
        out.append(Mention(start, end, said.lower(), said, "ingredient", None, "head", 0.0, False, core=(start, end)))
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
