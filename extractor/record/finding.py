"""What the reading of the talk noticed and could not settle: raw material for questions."""

from __future__ import annotations

from dataclasses import dataclass, field

from extractor.record.episode import Correction, Drink, Ingredient


@dataclass(frozen=True)
class Finding:
    """`kind` is a word of the stage that found it, not yet a kind of question; see extractor/questions for who reads
    it.

    kind          what
    conflict      two amounts stand for one thing: `values` holds both as said
    choice        this or that: `values` holds the names
    unit          a number without a unit
    unsure        the speaker or the recogniser is not sure of a name: `values` holds the candidates, likeliest first
    unknown       a name that no lexicon has
    unnamed       a drink whose name was not heard, or only told in passing (`values` holds it)
    glass         a glass that was misheard: `values` holds the likeliest
    unplaced      an amount that belongs to nothing: `about` is empty
    elsewhere     a recipe is promised in another place
    gift          something was given, or belongs to a friend who sells it
    drinks        so many drinks are promised (`number`)
    ingredients   so many ingredients are promised (`number`)
    equal         equal parts are promised
    no alcohol    a drink without alcohol is promised
    untold        a home-made thing whose making is not told
    time          a home-made thing that needs time, and none is said
    vague         an amount that cannot be measured
    carried       a number took the unit of the ones before it
    """

    kind: str
    drink: str | None
    about: str
    start: int
    """Offset into the transcript's text: the words that it rests on are text[start:end]."""
    end: int
    values: tuple[str, ...] = ()
    number: int | None = None
    component: bool = False


@dataclass(frozen=True)
class Draft:
    """What specs gives: the drinks, what it noticed, and the names put right in the captions."""

    drinks: tuple[Drink, ...]
    findings: tuple[Finding, ...]
    corrections: tuple[Correction, ...]
    loose: tuple[Ingredient, ...] = field(default=())
    """Things said with an amount for which no drink was found."""
    announced: tuple[str, ...] = ()
    """Drinks that were named and never made."""
