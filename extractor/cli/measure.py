"""`pourword measure`: what a spoken measure is read as, and why."""

from __future__ import annotations

from typing import Annotated

import typer

from extractor.cli.shared import GivenLocale, Json, write, write_json


def measure(
    spoken: Annotated[str, typer.Argument(metavar="WORDS", help='A measure as it is said: "an ounce and a half".')],
    locale: GivenLocale = "us",
    as_json: Json = False,
) -> int:
    """Show what a spoken measure is read as: the amount, its millilitres, and the rule and convention behind them.

    Exit status 1 where the words are not read as one amount, a ratio, a time, a temperature or a strength.
    """
    from extractor.lexicon import lexicon_folder, read_phrases
    from extractor.measures import find_measures, read_amount, read_measure
    from extractor.units import load_units
    from extractor.view import measure_text

    units = load_units(locale)
    found = find_measures(spoken, locale=units.locale)
    amount = read_amount(spoken, locale=units.locale)
    if as_json:
        write_json(amount.model_dump_json(indent=1) if amount is not None else "null")
    else:
        sources = {k: " ".join(v) for k, v in read_phrases(lexicon_folder() / "sources.txt", []).items()}
        write(measure_text(spoken, amount, found, convention=units.convention, sources=sources))
    return 0 if amount is not None or (not as_json and read_measure(spoken, locale=units.locale) is not None) else 1
