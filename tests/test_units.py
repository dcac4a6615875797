"""Units against published tables, and our own reading of units.txt against pint's."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pytest

from extractor.errors import LexiconError
from extractor.lexicon import lexicon_folder, read_phrases
from extractor.units import LOCALES, RECORD_SIZES, UnitError, convert, load_units, read_sizes, read_table, registry

# NIST Special Publication 811, Appendix B.8: "to convert from ... to cubic metre, multiply by", here in millilitres.
SP811 = {"fl_oz": 29.57353, "tsp": 4.928922, "tbsp": 14.78676, "cup": 236.5882, "pint": 473.1765}
# The same publication for units that are words of ours: gill (US) 118.2941, quart (US liquid) 946.3529, gallon
# 3785.412 ml.
SP811_WORDS = {"gill": 118.2941, "quart": 946.3529, "gallon": 3785.412}
# 21 CFR 101.9(b)(5)(viii): teaspoon 5 ml, tablespoon 15 ml, cup 240 ml, fluid ounce 30 ml.
CFR_21_101_9 = {"tsp": 5, "tbsp": 15, "cup": 240, "fl_oz": 30}
# UK Weights and Measures Act 1985, Schedule 1: gallon 4.54609 l exactly, pint 1/8 and fluid ounce 1/160 of it.
IMPERIAL = {"fl_oz": Fraction("28.4130625"), "pint": Fraction("568.26125"), "gill": Fraction("142.0653125")}


@pytest.mark.parametrize(("unit", "millilitres"), sorted({**SP811, **SP811_WORDS}.items()))
def test_us_customary_volumes_are_those_of_nist_sp_811(unit: str, millilitres: float) -> None:
    exact = load_units("us").exact_millilitres(unit)
    assert exact is not None
    assert float(exact) == pytest.approx(millilitres, rel=5e-7)


def test_the_us_fluid_ounce_is_exactly_a_128th_of_231_cubic_inches() -> None:
    """NIST Handbook 44, Appendix C: the gallon is 231 cubic inches; the inch is 2.54 cm exactly."""
    assert load_units("us").exact_millilitres("fl_oz") == Fraction(231) * Fraction("2.54") ** 3 / 128
    assert load_units("us").exact_millilitres("fl_oz") == Fraction("29.5735295625")


@pytest.mark.parametrize(("unit", "millilitres"), sorted(CFR_21_101_9.items()))
def test_the_bars_rounded_volumes_are_those_of_21_cfr_101_9(unit: str, millilitres: int) -> None:
    assert load_units("bar").exact_millilitres(unit) == millilitres


@pytest.mark.parametrize(("unit", "millilitres"), sorted(IMPERIAL.items()))
def test_imperial_volumes_are_those_of_the_1985_act(unit: str, millilitres: Fraction) -> None:
    assert load_units("uk").exact_millilitres(unit) == millilitres


def test_the_uk_ounce_is_0_961_us_ounces() -> None:
    """NIST Handbook 44, Appendix C, section 3: 1 British fluid ounce is 0.961 US fluid ounce."""
    assert float(convert(1, "fl_oz", "ml", load_units("uk")) / convert(1, "fl_oz", "ml", load_units("us"))) == (
        pytest.approx(0.961, abs=0.0005)
    )


def test_the_pound_is_exact() -> None:
    """NIST Handbook 44, Appendix C: the avoirdupois pound is 0.453 592 37 kg exactly."""
    assert load_units().exact_grams("lb") == Fraction("453.59237")
    assert load_units().exact_grams("oz_wt") == Fraction("28.349523125")


def test_spirits_by_the_glass_are_those_of_si_1988_2039() -> None:
    """UK SI 1988/2039: 25 ml or 35 ml and multiples; of the two we take 25, the wider used (common practice, no
    source).
    """
    uk = load_units("uk")
    assert uk.millilitres(1, 1, "single") == (25, 25)
    assert uk.millilitres(1, 1, "double") == (50, 50)
    single = uk.convention("single")
    assert single is not None
    assert single.spread == (25, 35)
    assert single.standard


def test_the_australian_tablespoon_is_20_ml() -> None:
    """Usually cited: Australian Standard AS 1325 (its number from memory)."""
    assert load_units("au").millilitres(1, 1, "tbsp") == (20, 20)
    assert load_units("metric").millilitres(1, 1, "tbsp") == (15, 15)


@pytest.mark.parametrize("word", ["bar_spoon", "dash", "jigger", "shot", "finger", "measure", "drop", "splash"])
@pytest.mark.parametrize("locale", ["us", "bar", "metric", "au"])
def test_what_is_only_practice_says_so(word: str, locale: str) -> None:
    convention = load_units(locale).convention(word)
    assert convention is not None
    assert not convention.standard
    assert convention.key == f"{word}/{locale}"


def test_practice_lies_inside_its_own_spread() -> None:
    for locale in LOCALES:
        for convention in load_units(locale).conventions.values():
            if convention.spread is not None:
                size = convention.millilitres if convention.millilitres is not None else convention.grams
                assert size is not None
                # The US dash of 1/32 fl oz and the like are rounded in the sources: allow one per cent.
                assert convention.spread[0] * Fraction(98, 100) <= size <= convention.spread[1] * Fraction(102, 100), (
                    str(convention)
                )


def test_our_reading_of_units_txt_is_pints() -> None:
    pint = registry()
    for name, (dimension, size) in read_table().sizes.items():
        base = "milliliter" if dimension == "volume" else "gram"
        magnitude = pint.Quantity(Fraction(1), name).to(base).magnitude
        assert isinstance(magnitude, Fraction | int), name
        assert magnitude == size, name


def test_millilitres_are_pints_for_every_size_in_every_place() -> None:
    pint = registry()
    for locale in LOCALES:
        units = load_units(locale)
        table = read_table()
        for word in RECORD_SIZES:
            line = table.lines[word].get(locale) or table.lines[word]["all"]
            got = units.millilitres(1.75, 2, word) or units.grams(1.75, 2, word)
            base = "milliliter" if units.exact_millilitres(word) is not None else "gram"
            assert got is not None
            for value, ours in zip((Fraction(7, 4), Fraction(2)), got, strict=True):
                theirs = pint.Quantity(value * line.number, line.unit).to(base).magnitude
                assert ours == float(theirs), (locale, word)


def test_a_registry_knows_our_units_only() -> None:
    from pint import UndefinedUnitError

    for word in ("mil", "pinch", "ounce", "cup", "inch"):
        with pytest.raises(UndefinedUnitError):
            registry().Quantity(1, word)


def test_what_measures_nothing_has_no_millilitres() -> None:
    units = load_units()
    for unit in ("leaf", "piece", "part", "top", "to_taste", "can", "g", None):
        assert units.millilitres(1, 1, unit) is None
    assert units.millilitres(None, None, "dash") is None
    assert units.grams(1, 1, "ml") is None


def test_an_override_holds_and_says_that_it_is_the_users_own() -> None:
    units = load_units("us", overrides={"bar_spoon": 5, "jigger": 50.0})
    assert units.millilitres(2, 2, "bar_spoon") == (10, 10)
    jigger = units.convention("jigger")
    assert jigger is not None
    assert (jigger.number, jigger.unit, jigger.source, jigger.standard) == (50, "ml", "own", False)
    assert load_units("us").millilitres(1, 1, "jigger") == pytest.approx((44.360294, 44.360294))


@pytest.mark.parametrize(
    ("locale", "overrides", "word"),
    [
        ("atlantis", {}, "atlantis"),
        ("us", {"thimble": 3}, "thimble"),
        ("us", {"dash": 0}, "dash"),
        ("us", {"g": 2}, "g"),
    ],
)
def test_what_is_not_known_is_refused_with_a_way_out(locale: str, overrides: dict[str, float], word: str) -> None:
    with pytest.raises(UnitError) as caught:
        load_units(locale, overrides=overrides)
    assert word in caught.value.what
    assert caught.value.hint


def test_imperial_is_another_name_of_uk() -> None:
    assert load_units("imperial") is load_units("uk")


def test_units_that_cannot_be_told_in_each_other_are_refused() -> None:
    with pytest.raises(UnitError):
        convert(1, "lb", "ml", load_units())


def test_every_source_of_a_convention_is_known() -> None:
    faults: list[str] = []
    known = read_phrases(lexicon_folder() / "sources.txt", faults)
    assert not faults
    named = {line.source for places in read_table().lines.values() for line in places.values()}
    assert named <= set(known), named - set(known)


def test_all_faults_of_the_data_come_at_once_with_their_places(tmp_path: Path) -> None:
    (tmp_path / "units.txt").write_text("milliliter = [volume]\ncup = 8 * thimble\ngill = 1 ml\n", encoding="utf-8")
    (tmp_path / "conventions.txt").write_text(
        "ml\n  label: millilitre\n  all: 1 milliliter @si\ndash\n  us: a bit\n  mars: 1 milliliter @si\n",
        encoding="utf-8",
    )
    with pytest.raises(LexiconError) as caught:
        read_table(tmp_path)
    for place in ("units.txt:2", "units.txt:3", "conventions.txt:5", "conventions.txt:6", "conventions.txt:4"):
        assert any(f.startswith(place) for f in caught.value.faults), (place, caught.value.faults)


def test_a_size_defined_twice_is_a_fault(tmp_path: Path) -> None:
    path = tmp_path / "units.txt"
    path.write_text("milliliter = [volume]\nmilliliter = [volume]\n", encoding="utf-8")
    faults: list[str] = []
    read_sizes(path, faults)
    assert faults == ["units.txt:2: milliliter is defined twice"]


def test_pint_is_not_imported_before_it_is_needed() -> None:
    code = "import sys, extractor.units as u; u.load_units().millilitres(1, 1, 'cup'); print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
