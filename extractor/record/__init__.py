"""The episode record and the timed words: frozen data that every stage reads and writes, and nothing else."""

from extractor.record.episode import (
    Amount,
    Component,
    Correction,
    Drink,
    Episode,
    Evidence,
    Figures,
    Ingredient,
    Millilitres,
    Question,
    Range,
    Source,
    Step,
    Suggestion,
)
from extractor.record.words import Place, Transcript, Word

__all__ = [
    "Amount",
    "Component",
    "Correction",
    "Drink",
    "Episode",
    "Evidence",
    "Figures",
    "Ingredient",
    "Millilitres",
    "Place",
    "Question",
    "Range",
    "Source",
    "Step",
    "Suggestion",
    "Transcript",
    "Word",
]
