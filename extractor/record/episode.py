"""The episode record: `pourword.episode/1`.

Times are seconds from the start of the recording. Numbers are plain decimals. Unknown is None, never a guess and
never an empty string. Every model is frozen; a changed record is a new record (`model_copy(update=...)`).
"""

from __future__ import annotations

from dataclasses import dataclass
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


BY_HAND = "by hand: "
"""What each note that an answer leaves in the record begins with, so that nobody takes it for a word of the talk."""


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
    notes: tuple[str, ...] = ()


class Step(_Frozen):
    """One sentence of the method, fit to publish."""

    text: str
    at_s: float | None
    seconds: Range | None = None
    technique: Technique | None = None
    evidence: Evidence | None = None


@dataclass(frozen=True, slots=True)
class Worked:
    """A number worked out: between `low` and `high`, in `unit`.

    `high` is None where nothing that is known bounds it ("at least `low`"). `rests_on` names each unknown that widens
    it; with none, low == high unless the data themselves are a range. `source` holds source keys joined by ", ";
    `Figures.sources` gives their words.
    """

    low: float
    high: float | None
    unit: str
    rests_on: tuple[str, ...] = ()
    source: str = ""


class Dilution(_Frozen):
    """Water taken up from ice. Two different percentages go by the name, so both are kept, each named.

    `of_initial` is water / volume before ice; `of_final` is water / volume after. Both are fractions (0.41, 0.29) of
    the part of the drink that met the ice, and describe the same water.
    """

    method: str
    of_initial: Worked
    of_final: Worked


class Balance(_Frozen):
    """Sour against sweet: millilitres poured of each, and grams of sugar to a gram of acid (None without acid)."""

    sour_ml: Worked
    sweet_ml: Worked
    sugar_per_acid: Worked | None = None
    usual: tuple[float, float] | None = None
    """Where that ratio usually lies in a sour, where the drink is one."""


class Portion(_Frozen):
    """The figures that scale with how much is drunk, for one serving. None where they cannot be worked out."""

    volume_ml: Worked | None = None
    volume_diluted_ml: Worked | None = None
    alcohol_g: Worked | None = None
    standard_drinks: dict[str, Worked] = Field(default_factory=dict)
    sugar_g: Worked | None = None
    acid_g: Worked | None = None
    energy_kcal: Worked | None = None


class AllergenFound(_Frozen):
    """One allergen of one list. `because` names the ingredient (and the component it is in) that brings it."""

    list: Literal["us", "eu"]
    allergen: str
    certainty: Literal["contains", "may contain"]
    because: str


class CautionFound(_Frozen):
    """Something to warn of, in plain words, with where the words come from and what in the drink calls for them."""

    key: str
    text: str
    source: str
    because: str


class ComponentFigures(_Frozen):
    """What is worked out of something home-made. Brix and density (g/ml at 20 C) only of what is sugar and water."""

    volume_ml: Worked | None = None
    """What the batch yields."""
    abv: Worked | None = None
    sugar_g_per_l: Worked | None = None
    acid_g_per_l: Worked | None = None
    energy_kcal_per_l: Worked | None = None
    brix: Worked | None = None
    density: Worked | None = None
    keeps_days: Worked | None = None
    """In the refrigerator, unless a note says otherwise; the shorter end is the one to follow."""
    allergens: tuple[AllergenFound, ...] = ()
    cautions: tuple[CautionFound, ...] = ()
    notes: tuple[str, ...] = ()


class Figures(_Frozen):
    """What is worked out from a drink. Filled by the figures stage; see extractor/figures for each value's source.

    All for the whole recipe; `per_serving` is there only where servings were said. None: it cannot be worked out, and
    `notes` says why. ABV is per cent by volume at 20 C.
    """

    model_config = ConfigDict(frozen=True, extra="allow")

    country: str | None = None
    volume_ml: Worked | None = None
    volume_diluted_ml: Worked | None = None
    dilution: Dilution | None = None
    abv: Worked | None = None
    abv_diluted: Worked | None = None
    alcohol_g: Worked | None = None
    standard_drinks: dict[str, Worked] = Field(default_factory=dict)
    """By country: us, uk, au, ..."""
    sugar_g: Worked | None = None
    acid_g: Worked | None = None
    balance: Balance | None = None
    energy_kcal: Worked | None = None
    glass_fill: Worked | None = None
    """Share of the room in the glass (to the brim, less the ice where there is ice) that one serving takes."""
    per_serving: Portion | None = None
    allergens: tuple[AllergenFound, ...] = ()
    cautions: tuple[CautionFound, ...] = ()
    components: dict[str, ComponentFigures] = Field(default_factory=dict)
    """By the component's name."""
    notes: tuple[str, ...] = ()
    sources: dict[str, str] = Field(default_factory=dict)
    """The words of every source key that a figure names."""


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
    notes: tuple[str, ...] = ()


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
    disclosures: tuple[str, ...] = ()
    """Lines that the public must be told (a gift, a sponsor), as they are to be published."""
    notes: tuple[str, ...] = ()


Component.model_rebuild()
