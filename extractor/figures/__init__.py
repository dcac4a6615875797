"""From a spec to its figures: pure functions, each with its source. One idea a file; `drink.py` joins them.

The arithmetic is in code, what it rests on in lexicon/figures/*.txt; FIGURES.md holds it against published values.
"""

from extractor.figures.balance import is_unusual
from extractor.figures.component import component_figures
from extractor.figures.drink import (
    WithAlcohol,
    alcohol_free_claim,
    amounts_in_millilitres,
    drink_figures,
    sour_sweet_balance,
    total_volume,
)
from extractor.figures.glass import capacity
from extractor.figures.poured import UnitsTable, usual_range
from extractor.figures.tables import Tables, load_tables, tables_of
from extractor.record import Worked

__all__ = [
    "Tables",
    "UnitsTable",
    "WithAlcohol",
    "Worked",
    "alcohol_free_claim",
    "amounts_in_millilitres",
    "capacity",
    "component_figures",
    "drink_figures",
    "is_unusual",
    "load_tables",
    "sour_sweet_balance",
    "tables_of",
    "total_volume",
    "usual_range",
]
