# ruff: noqa: E501 (one row a line reads as a table)
"""Every published value that the figures are held against, as one table: the tests check it, FIGURES.md prints it.

`python tests/figures/published_figures.py` writes extractor/figures/FIGURES.md anew.
Standing: "published" was read in a published text; "worked out" follows from a published definition by arithmetic;
"memory" could not be found in print: those rows show where a setting lies and are no check on their own.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from figures_support import TABLES, UNITS, drink, ingredient, lexicon

from extractor.figures import drink_figures, ethanol, mixing, sucrose
from extractor.figures.cautions import quinine_mg
from extractor.figures.dilution import fitted, least_melt, of_final
from extractor.figures.energy import energy
from extractor.figures.makeup import citrus_acid
from extractor.figures.standard_drinks import ethanol_ml_of_one
from extractor.figures.syrup import syrup_of, syrup_ratio
from extractor.record import Drink, Worked

FILE = Path(__file__).resolve().parents[2] / "extractor" / "figures" / "FIGURES.md"
Standing = Literal["published", "worked out", "memory"]

R22 = "OIML R 22 (1975); Dir. 76/766/EEC"
USP_TABLE = "USP 29 Alcoholometric Table (NBS Bull. 9; at 15.56 C)"
GAUGING = "Alcohol reduction table from the US Gauging Manual (engineersedge.com)"
SPS4 = "ICUMSA SPS-4 (1998) density of sucrose solutions"
CRC = "CRC Handbook, Concentrative properties of aqueous solutions"
NIAAA = "NIAAA, standard drink 14 g"
NHS = "UK NHS, alcohol units: % vol x ml / 1000"
AUSTRALIA = "Australian Government, standard drink 10 g"
ANNEX = "Reg. (EU) 1169/2011, Annex XIV"
MOHOS = "Mohos (2010), Table A2.2"
FIT = "D. Arnold, Liquid Intelligence (2014)"
PENNISTON = "Penniston et al., J Endourol 2008;22:567"


@dataclass(frozen=True)
class Row:
    group: str
    what: str
    published: float
    within: float
    source: str
    standing: Standing
    worked: Callable[[], float]

    @property
    def holds(self) -> bool:
        return abs(self.worked() - self.published) <= self.within + 1e-9


def _middle(w: Worked | None) -> float:
    if w is None or w.high is None:
        raise AssertionError("no bounded figure")
    return (w.low + w.high) / 2


def _point(w: Worked | None) -> float:
    if w is None or w.high is None or abs(w.high - w.low) > 1e-6:
        raise AssertionError(f"expected one value, found {w}")
    return w.low


def _drink(*amounts: tuple[str, float, str], mixing_: tuple[str, ...] = (), ice: str | None = None) -> Drink:
    return drink(*(ingredient(name, n, unit) for name, n, unit in amounts), mixing=mixing_, ice=ice)


SOUR = _drink(("rum", 2, "fl_oz"), ("simple syrup", 1, "fl_oz"), ("lime juice", 1, "fl_oz"))
SOUR_30 = _drink(("rum", 60, "ml"), ("simple syrup", 30, "ml"), ("lime juice", 30, "ml"))
NEGRONI = _drink(("gin", 30, "ml"), ("aperitivo bitter", 30, "ml"), ("red vermouth", 30, "ml"), mixing_=("stir",))
DAIQUIRI = _drink(("rum", 45, "ml"), ("lime juice", 25, "ml"), ("simple syrup", 15, "ml"), mixing_=("shake",))
MARTINI = _drink(("gin", 60, "ml"), ("dry vermouth", 10, "ml"), mixing_=("stir",))
MANHATTAN = _drink(("bourbon", 50, "ml"), ("red vermouth", 20, "ml"), mixing_=("stir",))
SIDECAR = _drink(("cognac", 50, "ml"), ("orange liqueur", 20, "ml"), ("lemon juice", 20, "ml"), mixing_=("shake",))
KIR = _drink(("white wine", 90, "ml"), ("crème de cassis", 10, "ml"), mixing_=("build",), ice="none")
WINE = _drink(("white wine", 100, "ml"), mixing_=("build",), ice="none")


def _f(d: Drink, field: str) -> Callable[[], float]:
    return lambda: _point(getattr(drink_figures(d, lexicon(), UNITS), field))


def _std(d: Drink, country: str) -> Callable[[], float]:
    return lambda: _point(drink_figures(d, lexicon(), UNITS).standard_drinks[country])


def _drinks_of(ml: float, abv: float, country: str) -> Callable[[], float]:
    return lambda: ml * abv / 100 / ethanol_ml_of_one(country, TABLES)[0]


def _fit_volume(d: Drink, method: str) -> Callable[[], float]:
    def one() -> float:
        f = drink_figures(d, lexicon(), UNITS)
        return _point(f.volume_ml) * (1 + fitted(method, _point(f.abv) / 100, TABLES))

    return one


def _fit_abv(d: Drink, method: str) -> Callable[[], float]:
    def one() -> float:
        abv = _point(drink_figures(d, lexicon(), UNITS).abv)
        return abv / (1 + fitted(method, abv / 100, TABLES))

    return one


def _one_to_one_by_volume() -> float:
    return syrup_ratio(1, 1, TABLES, by="volume", unit=236.5882365)[0].brix


OZ = 29.5735295625
ROWS: tuple[Row, ...] = (
    # -- ethanol and water
    Row("Ethanol and water", "density of ethanol, g/ml", 0.78924, 0.00001, R22, "worked out", lambda: ethanol.ETHANOL_DENSITY),
    Row("Ethanol and water", "density of water, g/ml", 0.998201, 0.000001, R22, "published", lambda: ethanol.WATER_DENSITY),
    *(
        Row("Ethanol and water", f"{abv:g} % vol in % mass", mass, 0.01, R22, "worked out", lambda a=abv: ethanol.mass_from_abv(a))
        for abv, mass in (
            (5, 3.982), (10, 8.015), (12, 9.641), (15, 12.093), (16, 12.914), (20, 16.214), (25, 20.381), (30, 24.607),
            (35, 28.907), (40, 33.300), (43, 35.986), (45, 37.801), (50, 42.426), (57, 49.128), (60, 52.088),
            (63, 55.105), (75.5, 68.375), (95, 92.408),
        )
    ),
    *(
        Row("Ethanol and water", f"{abv:g} % vol, kg/m3", d, 0.05, R22, "worked out", lambda a=abv: 1000 * ethanol.density_at(a))
        for abv, d in ((5, 991.06), (12, 982.36), (20, 973.56), (40, 948.05), (60, 909.12), (95, 811.38))
    ),
    *(
        Row("Ethanol and water", f"{abv:g} % vol in % mass", mass, 0.07, USP_TABLE, "published", lambda a=abv: ethanol.mass_from_abv(a))
        for abv, mass in ((5, 4.00), (10, 8.05), (15, 12.14), (20, 16.27), (25, 20.44), (30, 24.67))
    ),
    *(
        Row("Ethanol and water", f"{mass:g} % mass in % vol", abv, 0.09, USP_TABLE, "published", lambda m=mass: ethanol.abv_from_mass(m))
        for mass, abv in ((10, 12.39), (20, 24.47), (30, 36.18))
    ),
    Row("Ethanol and water", "40 % vol, g per 100 g", 33.27, 0.04, "Pharmacy worked example (qualenica.be, converting alcohol percentages)", "published",
        lambda: ethanol.mass_from_abv(40)),
    Row("Ethanol and water", "40 % vol, g per 100 ml", 31.57, 0.01, "Pharmacy worked example (qualenica.be, converting alcohol percentages)", "published",
        lambda: ethanol.grams(40)),
    Row("Ethanol and water", "96.2 % vol, g per 100 g", 94.10, 0.05, "Pharmacy worked example (qualenica.be, converting alcohol percentages)", "published",
        lambda: ethanol.mass_from_abv(96.2)),
    *(
        Row("Letting down with water", f"100 ml of {a} % to {b} %: ml of water", ml, 0.5, GAUGING, "published",
            lambda a=a, b=b: mixing.let_down(100, a, b)[0])
        for a, b, ml in (
            (50, 40, 25.6), (60, 40, 51.4), (40, 20, 100), (40, 30, 33.5), (30, 20, 49.9), (20, 10, 100), (80, 40, 104),
            (95, 50, 95.9), (95, 40, 144), (75, 25, 204),
        )
    ),
    Row("Letting down with water", "50 ml ethanol + 50 ml water: ml", 96.46, 0.01, R22, "worked out",
        lambda: mixing.blend_by_mass([(50, 100), (50, 0)])[0]),
    Row("Letting down with water", "50 ml ethanol + 50 ml water: % vol", 51.83, 0.01, R22, "worked out",
        lambda: mixing.blend_by_mass([(50, 100), (50, 0)])[1]),
    Row("Letting down with water", "E10: 100 ml of 40 % to 20 %: ml in the end", 200, 0.3, GAUGING, "published",
        lambda: mixing.let_down(100, 40, 20)[1]),
    # -- Pearson's square
    Row("Pearson's square", "E2: 40 % and 15 % to 20 %: share of spirit", 5 / 25, 1e-9, "Winemaking text on fortification (address not kept)", "published",
        lambda: mixing.pearson_square(40, 15, 20, by="volume").share_of_high),
    Row("Pearson's square", "E2b: 90 % and 10 % to 25 %: share of strong", 3 / 16, 1e-9, "Home-brewing text on blending (address not kept)", "published",
        lambda: mixing.pearson_square(90, 10, 25, by="volume").share_of_high),
    Row("Pearson's square", "E3: 12 and 65 Brix to 24: share of syrup by mass", 12 / 53, 1e-9, "Pearson square analysis (foodrecap.net)", "published",
        lambda: mixing.brix_square(65, 12, 24).share_of_high),
    Row("Pearson's square", "E3: the same by volume", 0.189, 0.0005, SPS4, "worked out",
        lambda: mixing.by_volume(mixing.brix_square(65, 12, 24), 65, 12).share_of_high),
    # -- sucrose
    *(
        Row("Sucrose and water", f"{bx} Brix, g/ml", d, 0.0002, CRC, "published", lambda b=bx: sucrose.density(b))
        for bx, d in ((10, 1.0381), (20, 1.0810), (30, 1.1270), (40, 1.1764), (50, 1.2296))
    ),
    *(
        Row("Sucrose and water", f"{bx:g} Brix, g/ml", d, 0.0005, "NBS Circular 440", "memory", lambda b=bx: sucrose.density(b))
        for bx, d in ((60, 1.2865), (65, 1.3163), (66.67, 1.3265), (70, 1.3472))
    ),
    Row("Sucrose and water", "maple sirup of 65 Brix at the least, g/ml", 1.3181, 0.0016, "7 CFR 52.5961: 11 lb in 231 cubic inches", "published",
        lambda: sucrose.density(65)),
    Row("Sucrose and water", "E7: 850 g of sucrose in 1000 ml: Brix", 64.66, 0.01, "USP-NF monograph Syrup", "worked out",
        lambda: sucrose.brix_from_sugar_per_litre(850)),
    Row("Sucrose and water", "E7: its water, g per 100 ml", 46.3, 0.2, "Pharmacy calculation on USP Syrup (thepharmacistpharma, Feb 2009)", "published",
        lambda: 100 * sucrose.density(sucrose.brix_from_sugar_per_litre(850)) - 85),
    *(
        Row("Sucrose and water", f"what water holds at {c} C, Brix", bx, 0.01, MOHOS, "published", lambda c=c: sucrose.saturation_brix(c, TABLES))
        for c, bx in ((0, 64.18), (5, 64.88), (10, 65.58), (15, 66.33), (20, 67.09), (25, 67.89))
    ),
    # -- syrups
    *(
        Row("Syrups", f"{s} g + {w} g: {what}", value, within, SPS4, "worked out", lambda s=s, w=w, k=key: getattr(syrup_of(s, w, TABLES), k))
        for s, w, key, what, value, within in (
            (100, 200, "volume_ml", "ml", 262.4, 0.8), (100, 100, "brix", "E8: Brix", 50.0, 0.001),
            (100, 100, "volume_ml", "E8: ml", 162.65, 0.5), (100, 100, "sugar_per_ml", "g/ml", 0.6148, 0.002),
            (150, 100, "volume_ml", "ml", 194.3, 0.6), (200, 100, "volume_ml", "ml", 226.1, 0.7),
            (200, 100, "sugar_per_ml", "g/ml", 0.8845, 0.003), (200, 100, "brix", "Brix", 66.667, 0.001),
        )
    ),
    Row("Syrups", "E9: 1 cup + 1 cup: Brix", 45.85, 0.02, "USDA SR Legacy: a cup of sugar is 200 g", "worked out", _one_to_one_by_volume),
    Row("Syrups", "E9: 1 cup + 1 cup: ml", 361.3, 1.1, "USDA SR Legacy: a cup of sugar is 200 g", "worked out",
        lambda: syrup_ratio(1, 1, TABLES, by="volume", unit=236.5882365)[0].volume_ml),
    Row("Syrups", "2 cups + 1 cup: ml", 488.0, 1.5, "USDA SR Legacy: a cup of sugar is 200 g", "worked out",
        lambda: syrup_ratio(2, 1, TABLES, by="volume", unit=236.5882365)[0].volume_ml),
    # -- acid
    Row("Acid", "lemon juice, g/l as measured", 48.0, 1e-9, PENNISTON, "published", lambda: citrus_acid("lemon juice", TABLES)),
    Row("Acid", "lime juice, g/l as measured", 45.86, 1e-9, PENNISTON, "published", lambda: citrus_acid("lime juice", TABLES)),
    Row("Acid", "lemon juice, g in a US fl oz", 1.44, 0.03, PENNISTON, "published",
        lambda: citrus_acid("lemon juice", TABLES) * OZ / 1000),
    Row("Acid", "lime juice, g in a US fl oz", 1.38, 0.03, PENNISTON, "published",
        lambda: citrus_acid("lime juice", TABLES) * OZ / 1000),
    # -- energy
    Row("Energy", "14 g of alcohol, kcal", 98, 1e-9, ANNEX, "worked out", lambda: energy({"alcohol": 14}, TABLES)),
    Row("Energy", "100 ml of wine of 12 %, 3 g/l sugar, 6 g/l acid: kcal", 69.3, 0.05, ANNEX, "worked out",
        lambda: energy({"alcohol": ethanol.grams(12), "carbohydrate": 0.3, "organic acid": 0.6}, TABLES)),
    Row("Energy", "the same, kJ", 287.6, 0.1, ANNEX, "worked out",
        lambda: energy({"alcohol": ethanol.grams(12), "carbohydrate": 0.3, "organic acid": 0.6}, TABLES, unit="kj")),
    Row("Energy", "the same as a drink: kcal", 69.3, 0.05, ANNEX, "worked out", _f(WINE, "energy_kcal")),
    Row("Energy", "30 ml of 1:1 syrup, kcal", 73.8, 0.3, ANNEX, "worked out",
        lambda: energy({"carbohydrate": 30 * syrup_of(100, 100, TABLES).sugar_per_ml}, TABLES)),
    Row("Energy", "100 g of lime juice by sugar and acid, kcal", 25, 10, "USDA SR Legacy FDC 168156", "published",
        lambda: energy({"carbohydrate": 1.69, "organic acid": 45.86 / 10.3}, TABLES)),
    # -- standard drinks
    *(
        Row("Standard drinks", f"E4: {oz:g} fl oz of {abv:g} %: US", 1.0, 0.001, NIAAA, "published", _drinks_of(oz * OZ, abv, "us"))
        for oz, abv in ((12, 5), (5, 12), (1.5, 40))
    ),
    Row("Standard drinks", "E4: 12 fl oz of 5 %: UK", 1.77, 0.005, NHS, "worked out", _drinks_of(12 * OZ, 5, "uk")),
    Row("Standard drinks", "E4: 12 fl oz of 5 %: AU", 1.40, 0.005, AUSTRALIA, "worked out", _drinks_of(12 * OZ, 5, "au")),
    *(
        Row("Standard drinks", f"{ml} ml of {abv:g} %: UK", n, 0.005, NHS, "published", _drinks_of(ml, abv, "uk"))
        for ml, abv, n in ((568, 5.2, 2.95), (500, 5, 2.5), (750, 13, 9.75), (25, 40, 1.0))
    ),
    *(
        Row("Standard drinks", f"{ml} ml of {abv:g} %: AU", n, within, AUSTRALIA, "published", _drinks_of(ml, abv, "au"))
        for ml, abv, n, within in (
            (375, 5, 1.5, 0.05), (285, 4.8, 1.1, 0.05), (425, 4.8, 1.6, 0.05), (150, 13.5, 1.6, 0.05),
            (750, 13.5, 8, 0.05), (30, 40, 1, 0.1), (300, 7, 1.6, 0.1),
        )
    ),
    *(
        Row("Standard drinks", f"{ml} ml of {abv:g} %: CA", 1, 0.01, "Canadian guidance (13.45 g from memory)", "published", _drinks_of(ml, abv, "ca"))
        for ml, abv in ((341, 5), (142, 12), (43, 40))
    ),
    # -- dilution
    *(
        Row("Dilution (of the volume before ice)", f"{method} at {a:.0%} vol", d, 0.0001, FIT, "memory", lambda m=method, a=a: fitted(m, a, TABLES))
        for method, a, d in (
            ("stir", 0.20, 0.3458), ("stir", 0.25, 0.3809), ("stir", 0.30, 0.4099), ("stir", 0.40, 0.4498),
            ("shake", 0.20, 0.4887), ("shake", 0.25, 0.5406), ("shake", 0.30, 0.5846), ("shake", 0.40, 0.6491),
        )
    ),
    Row("Dilution (of the volume before ice)", "0.41 of initial, as a share of the finished drink", 0.2908, 0.0001, "arithmetic", "worked out",
        lambda: of_final(0.41)),
    Row("Dilution (of the volume before ice)", "70 g of 40 % shaken: g of water (fit)", 46, 4, "Magazine experiment, ANI, 1 April 2012", "published",
        lambda: fitted("shake", 0.40, TABLES) * 70 / ethanol.density_at(40)),
    Row("Dilution (of the volume before ice)", "70 g of 40 % stirred from 22.8 to 3.4 C: least melt, g", 16, 3, "Magazine experiment, ANI, 1 April 2012", "published",
        lambda: least_melt(70 / ethanol.density_at(40), 40, from_celsius=22.8, to_celsius=3.4)),
    # -- whole drinks
    Row("Whole drinks", "E1: 2 oz at 40 % + 1 oz + 1 oz: ml", 118.294, 0.001, "NIST SP 811", "worked out", _f(SOUR, "volume_ml")),
    Row("Whole drinks", "E1: % vol", 20.0, 0.001, "arithmetic", "worked out", _f(SOUR, "abv")),
    Row("Whole drinks", "E1: g of alcohol", 18.67, 0.005, R22, "worked out", _f(SOUR, "alcohol_g")),
    Row("Whole drinks", "E1: US standard drinks", 1.33, 0.005, NIAAA, "worked out", _std(SOUR, "us")),
    Row("Whole drinks", "E1: UK units", 2.37, 0.005, NHS, "worked out", _std(SOUR, "uk")),
    Row("Whole drinks", "E1: AU standard drinks", 1.87, 0.005, AUSTRALIA, "worked out", _std(SOUR, "au")),
    Row("Whole drinks", "E1b: with 25 % of initial water: % vol", 16.0, 0.001, "arithmetic", "worked out",
        lambda: _point(drink_figures(SOUR, lexicon(), UNITS).abv) / 1.25),
    Row("Whole drinks", "E1c: with ounces of 30 ml: g of alcohol", 18.94, 0.005, "21 CFR 101.9(b)(5)(viii)", "worked out", _f(SOUR_30, "alcohol_g")),
    Row("Whole drinks", "E1c: US standard drinks", 1.35, 0.005, NIAAA, "worked out", _std(SOUR_30, "us")),
    Row("Whole drinks", "E1c: UK units", 2.40, 0.005, NHS, "worked out", _std(SOUR_30, "uk")),
    Row("Whole drinks", "E12: Negroni 30/30/30: % vol", 27.0, 0.001, "arithmetic on assumed strengths", "worked out", _f(NEGRONI, "abv")),
    Row("Whole drinks", "E12: g of alcohol", 19.18, 0.005, R22, "worked out", _f(NEGRONI, "alcohol_g")),
    Row("Whole drinks", "E12: US standard drinks", 1.37, 0.005, NIAAA, "worked out", _std(NEGRONI, "us")),
    Row("Whole drinks", "E12: UK units", 2.43, 0.005, NHS, "worked out", _std(NEGRONI, "uk")),
    Row("Whole drinks", "E12: stirred by the fit: ml", 125.4, 0.05, FIT, "memory", _fit_volume(NEGRONI, "stir")),
    Row("Whole drinks", "E12: stirred by the fit: % vol", 19.4, 0.05, FIT, "memory", _fit_abv(NEGRONI, "stir")),
    Row("Whole drinks", "E13: Daiquiri 45/25/15: % vol", 21.18, 0.005, "arithmetic on assumed strengths", "worked out", _f(DAIQUIRI, "abv")),
    Row("Whole drinks", "E13: g of alcohol", 14.21, 0.005, R22, "worked out", _f(DAIQUIRI, "alcohol_g")),
    Row("Whole drinks", "E13: US standard drinks", 1.01, 0.01, NIAAA, "worked out", _std(DAIQUIRI, "us")),
    Row("Whole drinks", "E13: g of sugar (9.22 syrup, 0.43 lime)", 9.65, 0.02, SPS4, "worked out", _f(DAIQUIRI, "sugar_g")),
    Row("Whole drinks", "E13: shaken by the fit: ml", 127.6, 0.05, FIT, "memory", _fit_volume(DAIQUIRI, "shake")),
    Row("Whole drinks", "E13: shaken by the fit: % vol", 14.1, 0.05, FIT, "memory", _fit_abv(DAIQUIRI, "shake")),
    Row("Whole drinks", "E14: Dry Martini 60/10: % vol", 36.86, 0.005, "arithmetic on assumed strengths", "worked out", _f(MARTINI, "abv")),
    Row("Whole drinks", "E14: g of alcohol", 20.36, 0.005, R22, "worked out", _f(MARTINI, "alcohol_g")),
    Row("Whole drinks", "E14: US standard drinks", 1.45, 0.005, NIAAA, "worked out", _std(MARTINI, "us")),
    Row("Whole drinks", "E14: stirred by the fit: ml", 100.8, 0.05, FIT, "memory", _fit_volume(MARTINI, "stir")),
    Row("Whole drinks", "E14: stirred by the fit: % vol", 25.6, 0.05, FIT, "memory", _fit_abv(MARTINI, "stir")),
    Row("Whole drinks", "E15: Manhattan 50/20: % vol", 33.14, 0.005, "arithmetic on assumed strengths", "worked out", _f(MANHATTAN, "abv")),
    Row("Whole drinks", "E15: g of alcohol", 18.31, 0.005, R22, "worked out", _f(MANHATTAN, "alcohol_g")),
    Row("Whole drinks", "E15: stirred by the fit: ml", 99.8, 0.05, FIT, "memory", _fit_volume(MANHATTAN, "stir")),
    Row("Whole drinks", "E15: stirred by the fit: % vol", 23.3, 0.05, FIT, "memory", _fit_abv(MANHATTAN, "stir")),
    Row("Whole drinks", "E16: Sidecar 50/20/20: % vol", 31.11, 0.005, "arithmetic on assumed strengths", "worked out", _f(SIDECAR, "abv")),
    Row("Whole drinks", "E16: g of alcohol", 22.10, 0.005, R22, "worked out", _f(SIDECAR, "alcohol_g")),
    Row("Whole drinks", "E16: US standard drinks", 1.58, 0.005, NIAAA, "worked out", _std(SIDECAR, "us")),
    Row("Whole drinks", "E16: shaken by the fit: ml", 143.4, 0.05, FIT, "memory", _fit_volume(SIDECAR, "shake")),
    Row("Whole drinks", "E16: shaken by the fit: % vol", 19.5, 0.05, FIT, "memory", _fit_abv(SIDECAR, "shake")),
    Row("Whole drinks", "E17: Kir 90/10: % vol", 12.3, 0.001, "arithmetic on assumed strengths", "worked out", _f(KIR, "abv")),
    Row("Whole drinks", "E17: Kir after no ice: % vol", 12.3, 0.001, "arithmetic on assumed strengths", "worked out", _f(KIR, "abv_diluted")),
    Row("Whole drinks", "E17: g of alcohol", 9.71, 0.005, R22, "worked out", _f(KIR, "alcohol_g")),
    Row("Whole drinks", "E17: US standard drinks", 0.69, 0.005, NIAAA, "worked out", _std(KIR, "us")),
    Row("Whole drinks", "E19: 150 g of tonic at 83 ppm: mg of quinine", 12.45, 0.001, "21 CFR 172.575", "worked out", lambda: quinine_mg(150)),
)  # fmt: skip


def table() -> str:
    """FIGURES.md: every row with what the code gives and by how much it differs."""
    lines = [
        "# Figures against published values",
        "",
        "Made by `python tests/figures/published_figures.py`; the tests check every row and that this file is current.",
        "",
        "*published*: read in a published text. *worked out*: follows from a published definition by arithmetic.",
        "*memory*: not found in print, so it shows a setting (with a range in `lexicon/figures/`) and checks nothing alone.",
        "",
    ]
    counts = {s: sum(1 for r in ROWS if r.standing == s) for s in ("published", "worked out", "memory")}
    held = sum(1 for r in ROWS if r.holds)
    by = ", ".join(f"{n} {s}" for s, n in counts.items())
    lines += [f"{len(ROWS)} values ({by}); {held} agree within the difference allowed.", ""]
    group = None
    for row in ROWS:
        if row.group != group:
            group = row.group
            lines += [
                f"## {group}",
                "",
                "| what | value | here | differs | allowed | source | standing |",
                "|---|--:|--:|--:|--:|---|---|",
            ]
        here = row.worked()
        lines.append(
            f"| {row.what} | {row.published:.6g} | {here:.6g} | {round(abs(here - row.published), 7):.2g} | {row.within:.2g} "
            f"| {row.source} | {row.standing} |"
        )
        if row is ROWS[-1] or ROWS[ROWS.index(row) + 1].group != group:
            lines.append("")
    return "\n".join(lines).rstrip() + "\n"


if __name__ == "__main__":
    FILE.write_text(table(), encoding="utf-8")
    failing = [row.what for row in ROWS if not row.holds]
    print(f"{FILE.name}: {len(ROWS)} values, {len(failing)} outside: {failing}")
