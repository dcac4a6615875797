"""The episode record: `pourword.episode/1`.

Times are seconds from the start of the recording. Numbers are plain decimals. Unknown is None, never a guess and
never an empty string. Every model is frozen; a changed record is a new record (`model_copy(update=...)`).
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Unit = Literal[
    "fl_oz", "ml", "cl", "l", "tsp", "tbsp", "bar_spoon", "cup", "pint", "dash", "drop", "splash", "pinch", "part",
    "piece", "leaf", "sprig", "slice", "wedge", "wheel", "peel", "cube", "scoop", "g", "kg", "oz_wt", "lb", "can",
    "bottle", "top", "rinse", "rim", "float", "to_taste",
]  # fmt: skip
Technique = Literal[
    "build", "stir", "shake", "dry shake", "reverse dry shake", "swizzle", "blend", "throw", "roll", "muddle",
    "strain", "fine strain", "open pour", "float", "rinse", "rim", "top", "heat", "chill", "flame",
]  # fmt: skip
ComponentKind = Literal["syrup", "infusion", "cordial", "shrub", "juice", "batter", "mix", "other"]
QuestionKind = Literal[
    "amount-missing", "amount-vague", "amount-conflict", "amount-unlikely", "unit-missing", "name-unsure",
    "choice-open", "claim-mismatch", "elsewhere", "component-incomplete", "method-missing", "glass-missing",
    "disclosure",
]  # fmt: skip


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Range(_Frozen):
    """A number that was said, or two with low <= high."""

    low: float
    high: float


Millilitres = Range


class Evidence(_Frozen):
    """The words that a value came from, letter for letter, and when they were said."""

    start_s: float | None
    end_s: float | None
    text: str


class Amount(_Frozen):
    """What was said of how much. `low` and `high` are None for a vague amount; `unit` None where none was said."""

    low: float | None
    high: float | None
    unit: Unit | None
    millilitres: Range | None
    said: str
    approximate: bool = False
    lean: str | None = None
    """scant, heaping, generous, at least, up to ...: kept, never turned into a number."""
    convention: str | None = None
    """The key of the convention by which millilitres were worked out, where conventions differ."""


class Ingredient(_Frozen):
    name: str
    lexicon_id: str | None
    heard: str
    amount: Amount | None
    notes: tuple[str, ...] = ()
    optional: bool = False
    alternatives: tuple[str, ...] = ()
    at_s: float | None
    evidence: Evidence


class Component(_Frozen):
    """Something home-made and what is in it."""

    name: str
    kind: ComponentKind
    ingredients: tuple[Ingredient, ...] = ()
    minutes: Range | None = None
    celsius: Range | None = None
    elsewhere: str | None = None
    """The words that promise its recipe in another place, where they do."""
    ratio_by: Literal["weight", "volume"] | None = None
    at_s: float | None = None
    evidence: Evidence | None = None
    steps: tuple[Step, ...] = ()


class Step(_Frozen):
    """One sentence of the method, fit to publish."""

    text: str
    at_s: float | None
    seconds: Range | None = None
    technique: Technique | None = None
    evidence: Evidence | None = None


class Figures(_Frozen):
    """What is worked out from a drink. Filled by the figures stage; see extractor/figures for each value's source."""

    model_config = ConfigDict(frozen=True, extra="allow")


class Drink(_Frozen):
    name: str
    name_heard: str | None
    start_s: float | None
    end_s: float | None
    servings: float | None
    glass: str | None
    ice: str | None
    mixing: tuple[Technique, ...] = ()
    ingredients: tuple[Ingredient, ...] = ()
    garnishes: tuple[Ingredient, ...] = ()
    components: tuple[Component, ...] = ()
    steps: tuple[Step, ...] = ()
    figures: Figures | None = None
    glass_evidence: Evidence | None = None
    evidence: Evidence | None = None


class Correction(_Frozen):
    """A name the recogniser misheard: `heard` is replaced by `written` in the captions where `applied`."""

    heard: str
    written: str
    start_s: float | None
    end_s: float | None
    confidence: float
    applied: bool
    first_word: int
    last_word: int
    """The words of the transcript that it replaces, both included."""


class Suggestion(_Frozen):
    """One likely answer: what would be written, and why it is offered."""

    answer: str
    reason: str


class Question(_Frozen):
    """`id` stays the same when the same captions are read again, so that an answer stays with its question."""

    id: str
    kind: QuestionKind
    drink: str | None
    about: str
    blocking: bool
    at_s: float | None
    text: str
    suggestions: tuple[Suggestion, ...] = ()
    evidence: Evidence | None = None
    context: dict[str, Any] = Field(default_factory=dict)


class Source(_Frozen):
    path: str | None
    kind: str
    duration_s: float | None
    cues: int
    notes: tuple[str, ...] = ()
    locale: str = "us"


class Episode(_Frozen):
    format: Literal["pourword.episode/1"] = "pourword.episode/1"
    source: Source
    drinks: tuple[Drink, ...] = ()
    corrections: tuple[Correction, ...] = ()
    questions: tuple[Question, ...] = ()


Component.model_rebuild()
