"""Names that no lexicon has, of a misheard thing and a head word: "chokichari syrup", "hajicha bourbon".

The whole sounds like no name, for there is none of it; but what stands before the head sounds like a thing that the
lexicon has, and things are called by what they are made of. It is asked about, as the likeliest name.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from extractor.lexicon import plain
from extractor.record.talk import Guess, Mention

if TYPE_CHECKING:
    from extractor.names import Hearing

EXPECTS = 0.9
"""How strongly a thing is expected before such a head."""
LEAST = 0.6
"""So sure its hearing must be."""
SHARE = 0.22
"""At most so much of its sounds may be off."""


def composed(mention: Mention, hearing: Hearing) -> Mention:
    """A mention of words that no lexicon has, with the name that they likely make."""
    from extractor.names.decide import confidence, evidence
    from extractor.names.rank import Place, matches

    *lead, head = plain(mention.heard).split()
    if mention.entry is not None or mention.how != "head" or not lead or head not in hearing.words["head"]:
        return mention
    if all(hearing.is_word(w) for w in lead):
        return mention  # "brown butter bourbon" may be meant as it stands
    found = matches(hearing, [Place(tuple(lead), (len(lead),))])[0][0]
    if not found or found[0].share > SHARE:
        return mention
    sure = confidence(evidence(hearing, " ".join(lead), found), EXPECTS)
    of = found[0].form.entry
    lexicon = hearing.lexicon
    if sure < LEAST or (lexicon.state(of) == "liquid" and not lexicon.is_a(of, "tea")):
        return mention
    name = f"{of.name.removesuffix(' tea')} {head}"
    known = lexicon.named(name)
    name = known.name if known is not None else name
    guess = Guess(name, known.id if known is not None else None, sure)
    return replace(
        mention, name=name, entry=known, how="sound" if known is not None else "head", confidence=sure, apply=False,
        guesses=(guess, *(g for g in mention.guesses if g.name != name)),
    )  # fmt: skip
