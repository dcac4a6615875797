"""Structured data, read by general libraries (pyld, rdflib) and held against schema.org's own vocabulary.

The vocabulary: schema_org.txt beside this file (its source and version stand in it), and the namespace of rdflib,
which is generated from schema.org's own file of 2021-12-01. Durations are read by pydantic's ISO 8601 reader.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from publish_kit import (
    LEXICON,
    TABLES,
    crowd,
    drink,
    episode,
    evening,
    ingredient,
    low_tide,
    pier_light,
    question,
    step,
)
from pydantic import TypeAdapter
from test_cards import GIFT, NASTY

from extractor.errors import PublishError
from extractor.publish.plan import sheets_of
from extractor.publish.structured import clips, document, duration, recipe, script, video_page
from extractor.publish.video import Video
from extractor.record import Episode, Range

pyld = pytest.importorskip("pyld.jsonld")
rdflib = pytest.importorskip("rdflib")

SCHEMA = "https://schema.org/"
VIDEO = Video(
    url="https://video.example/watch?v=12",
    title="An evening on the pier",
    published="2025-03-14",
    thumbnail_url="https://video.example/12.jpg",
    author="Ida Morrow",
)
LOCAL = {
    "@context": {"@vocab": SCHEMA, "url": {"@type": "@id"}, "image": {"@type": "@id"}, "thumbnailUrl": {"@type": "@id"}}
}


def vocabulary() -> dict[str, tuple[list[str], dict[str, list[str]]]]:
    """class -> (parents, property -> what it may hold), as written in schema_org.txt."""
    out: dict[str, tuple[list[str], dict[str, list[str]]]] = {}
    for line in (Path(__file__).parent / "schema_org.txt").read_text(encoding="utf-8").splitlines():
        if not line or line.startswith("#"):
            continue
        if line[0] != " ":
            name, _, parents = line.partition(" < ")
            current = out.setdefault(name, ([p for p in parents.split(" | ") if p], {}))
        else:
            key, _, types = line.strip().partition(": ")
            current[1][key] = types.split(" | ")
    return out


WORDS = vocabulary()


def ancestors(name: str) -> Iterator[str]:
    yield name
    for parent in WORDS[name][0]:
        yield from ancestors(parent)


def holds(kind: str) -> dict[str, list[str]]:
    out: dict[str, list[str]] = {}
    for name in ancestors(kind):
        out |= WORDS[name][1]
    return out


def fits(value: object, types: list[str]) -> bool:
    """Whether a JSON value is of one of these types of schema.org."""
    if isinstance(value, dict):
        return bool(set(ancestors(value["@type"])) & set(types))
    if isinstance(value, bool):
        return "Boolean" in types
    if isinstance(value, int | float):
        return bool({"Number", "Integer"} & set(types))
    assert isinstance(value, str)
    if "Duration" in types:
        return TypeAdapter(datetime.timedelta).validate_python(value) >= datetime.timedelta(0)
    if {"Date", "DateTime"} & set(types):
        return bool(datetime.date.fromisoformat(value))
    if {"Mass", "Energy"} & set(types):
        return re.fullmatch(r"\d+(\.\d+)? \w+", value) is not None
    if "URL" in types or "ImageObject" in types:
        return value.startswith("https://") or "Text" in types
    return "Text" in types


def check_node(node: dict[str, Any]) -> int:
    """Holds a node and all in it against the vocabulary; gives how many properties were looked at."""
    known = holds(node["@type"])
    seen = 0
    for key, value in node.items():
        if key in ("@type", "@context"):
            continue
        assert key in known, f"{node['@type']} has no {key}"
        for one in value if isinstance(value, list) else [value]:
            assert fits(one, known[key]), (node["@type"], key, one, known[key])
            seen += 1
            if isinstance(one, dict):
                seen += check_node(one)
    return seen


def nodes(whole: Episode, video: Video | None = VIDEO, **more: object) -> list[dict[str, Any]]:
    sheets = sheets_of(whole, LEXICON, TABLES, **more)  # type: ignore[arg-type]
    out = [recipe(s, whole, sheets, TABLES, video=video) for s in sheets]
    return [*out, video_page(whole, sheets, TABLES, video=video)]


EPISODES = {
    "evening": evening(disclosures=(GIFT,)),
    "crowd": episode(crowd()),
    "bare": episode(drink("Bare", figures=False), duration_s=None),
    "foreign": episode(
        drink(NASTY, ingredient(NASTY, 1, "fl_oz"), steps=(step(NASTY, 3.5),), glass=NASTY, start_s=1.0)
    ),
}


@pytest.mark.parametrize("video", [VIDEO, None], ids=["video", "no video"])
@pytest.mark.parametrize("name", EPISODES)
def test_every_property_belongs_to_its_class_and_holds_what_it_may(name: str, video: Video | None) -> None:
    for node in nodes(EPISODES[name], video):
        assert node["@context"] == "https://schema.org"
        assert check_node(node) >= 2


def test_the_check_itself_finds_faults() -> None:
    for wrong in (
        {"@type": "Recipe", "alcohol": "12 %"},
        {"@type": "Recipe", "cookTime": "ten minutes"},
        {"@type": "NutritionInformation", "calories": "about 200"},
        {"@type": "Clip", "startOffset": "12"},
        {"@type": "Recipe", "nutrition": {"@type": "Clip"}},
        {"@type": "Recipe", "image": "javascript:alert(1)"},
    ):
        with pytest.raises((AssertionError, ValueError)):
            check_node(wrong)


def _local(url: str, options: object) -> dict[str, object]:
    """In place of schema.org's own context, which would have to be fetched."""
    assert url.rstrip("/") == "https://schema.org"
    return {"contextUrl": None, "documentUrl": url, "document": LOCAL}


@pytest.mark.parametrize("name", EPISODES)
def test_pyld_expands_it_and_loses_nothing(name: str) -> None:
    for node in nodes(EPISODES[name]):
        (expanded,) = pyld.expand(json.loads(document(node)), {"documentLoader": _local})
        assert expanded["@type"] == [f"{SCHEMA}{node['@type']}"]
        assert set(expanded) - {"@type"} == {f"{SCHEMA}{k}" for k in node if not k.startswith("@")}
        back = pyld.compact(expanded, {"@context": "https://schema.org"}, {"documentLoader": _local})
        assert back["name"] == node["name"]
        assert back.get("recipeIngredient", []) in (node.get("recipeIngredient", []), *node.get("recipeIngredient", []))


@pytest.mark.parametrize("name", EPISODES)
def test_rdflib_reads_it_and_knows_every_term(name: str) -> None:
    from rdflib.namespace import SDO

    for node in nodes(EPISODES[name]):
        graph = rdflib.Graph().parse(data=json.dumps({**node, **LOCAL}), format="json-ld")
        assert len(graph) >= 3
        for _, predicate, obj in graph:
            for term in (predicate, obj):
                text = str(term)
                if isinstance(term, rdflib.URIRef) and text.startswith(SCHEMA):
                    assert term in SDO, text  # A DefinedNamespace holds only the terms that it lists.
        assert (None, rdflib.RDF.type, SDO[node["@type"]]) in graph


@given(st.floats(0, 10**7).map(lambda x: round(x, 3)))
def test_durations_are_iso_8601(seconds: float) -> None:
    read = TypeAdapter(datetime.timedelta).validate_python(duration(seconds))
    assert abs(read.total_seconds() - seconds) < 0.0006


@pytest.mark.parametrize(
    ("seconds", "text"),
    # ISO 8601:2004, 4.4.3.2; the designators D, T, H, M, S in that order (from memory).
    [
        (0, "PT0S"),
        (15, "PT15S"),
        (300, "PT5M"),
        (5400, "PT1H30M"),
        (93600, "P1DT2H"),
        (86400, "P1D"),
        (12.5, "PT12.5S"),
        (61, "PT1M1S"),
    ],
)
def test_durations(seconds: float, text: str) -> None:
    assert duration(seconds) == text


class _Scripts(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.scripts: list[str] = []
        self.tags: list[str] = []
        self._in = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self._in = tag == "script"
        if self._in:
            assert attrs == [("type", "application/ld+json")]
            self.scripts.append("")

    def handle_endtag(self, tag: str) -> None:
        self._in = False

    def handle_data(self, data: str) -> None:
        if self._in:
            self.scripts[-1] += data


def test_it_is_safe_inside_a_page() -> None:
    trap = "</script><script>alert(1)</script><!-- \u2028 ]]>"
    whole = episode(drink(trap, ingredient(trap, 1, "fl_oz"), steps=(step(trap),)))
    (node, _) = nodes(whole, Video(title=trap))
    reader = _Scripts()
    reader.feed(f"<body>{script(node)}<p>after</p></body>")
    assert reader.tags == ["body", "script", "p"]
    assert json.loads(reader.scripts[0]) == node


def test_the_recipe_says_what_the_record_says() -> None:
    node = nodes(evening())[0]
    assert node["recipeIngredient"][:2] == ["1¾ oz (52.5 ml) gin", "¾ oz (22.5 ml) lemon juice, fresh"]
    assert node["recipeIngredient"][-1] == "100 g (3½ oz by weight) hot water (for the honey syrup)"
    assert node["recipeYield"] == "1 serving"
    syrup, made = node["recipeInstructions"]
    assert (syrup["name"], syrup["timeRequired"]) == ("Honey syrup", "PT5M")
    assert [s["text"] for s in made["itemListElement"]] == [s.text for s in pier_light().steps]
    assert [s["position"] for s in made["itemListElement"]] == [1, 2, 3, 4, 5]
    assert made["itemListElement"][1]["timeRequired"] == "PT15S"
    assert "Contains eggs (egg white)." in node["description"]
    assert node["isFamilyFriendly"] is False
    assert node["typicalAgeRange"] == "21-"


def test_steps_link_to_their_second() -> None:
    """W3C Media Fragments URI 1.0, 4.2.1: #t=75 is from second 75 on."""
    node = nodes(evening())[0]
    links = [s["url"] for s in node["recipeInstructions"][1]["itemListElement"]]
    assert links == [f"https://video.example/watch?v=12#t={s}" for s in (60, 120, 140, 170, 185)]
    own = nodes(evening(), Video(url=VIDEO.url, second_link="https://video.example/12/{second}s"))[0]
    assert own["recipeInstructions"][1]["itemListElement"][0]["url"] == "https://video.example/12/60s"
    bare = nodes(evening(), None)[0]
    assert "url" not in bare["recipeInstructions"][1]["itemListElement"][0]
    assert "video" not in bare


def test_clips_are_in_order_and_no_two_begin_together() -> None:
    found = clips(evening(), VIDEO)
    assert [(c["name"], c["startOffset"], c["endOffset"]) for c in found] == [
        ("Pier Light", 42, 210),
        ("Low Tide", 215, 400),
        ("Breakwater", 405, 600),
    ]
    same = episode(pier_light(start_s=20.2, end_s=None), low_tide(start_s=20.9, end_s=None), duration_s=90)
    assert [(c["name"], c["startOffset"], c["endOffset"]) for c in clips(same, VIDEO)] == [
        ("Pier Light and Low Tide", 20, 90)
    ]


def test_a_time_that_is_a_range_is_not_made_one_number() -> None:
    one = drink(
        "A",
        ingredient("gin", 1, "fl_oz"),
        steps=(step("Stir.").model_copy(update={"seconds": Range(low=20, high=30)}),),
    )
    (node, _) = nodes(episode(one))
    assert "timeRequired" not in node["recipeInstructions"][0]


def test_nutrition_is_given_only_where_it_is_known_closely_and_for_a_serving() -> None:
    sweet = drink(
        "Sweet", ingredient("simple syrup", 30, "ml"), ingredient("lime juice", 30, "ml"), servings=1, mixing=("shake",)
    )
    (node, _) = nodes(episode(sweet))
    share = sweet.figures.per_serving  # type: ignore[union-attr]
    assert share is not None
    assert share.energy_kcal is not None
    kcal = float(node["nutrition"]["calories"].removesuffix(" kcal"))
    assert share.energy_kcal.low - 1 <= kcal <= (share.energy_kcal.high or 0) + 1
    unknown = drink(
        "Sweet", ingredient("simple syrup", 30, "ml"), ingredient("lime juice", 30, "ml"), mixing=("shake",)
    )
    assert "nutrition" not in nodes(episode(unknown))[0]
    topped = drink(
        "Tall",
        ingredient("simple syrup", 30, "ml"),
        ingredient("tonic water", None, "top"),
        servings=1,
        mixing=("build",),
    )
    assert "nutrition" not in nodes(episode(topped))[0]


@pytest.mark.parametrize(
    "url",
    [
        "javascript:alert(1)",
        "ftp://x.example/",
        "video.example/12",
        "https://",
        "https://x.example/a b",
        "https://x.example/<b>",
    ],
)
def test_an_address_that_is_none_is_refused(url: str) -> None:
    for video in (Video(url=url), Video(thumbnail_url=url), Video(second_link=f"{url}{{second}}")):
        if video.second_link == "https://{second}":
            continue  # A host made of digits: an address, if an odd one.
        with pytest.raises(PublishError) as caught:
            nodes(evening(), video)
        assert caught.value.hint


def test_a_day_that_is_none_is_refused() -> None:
    with pytest.raises(PublishError):
        nodes(evening(), Video(published="14/03/2025"))
    with pytest.raises(PublishError):
        nodes(evening(), Video(second_link="https://video.example/12"))


def test_gaps_are_in_it_when_it_is_written_despite_them() -> None:
    one = drink("A", ingredient("gin", none=True), mixing=("stir",))
    (node, _) = nodes(
        episode(one, questions=(question("amount-missing", "A", "gin", text="How much gin?"),)), mark_open=True
    )
    assert node["recipeIngredient"] == ["gin [AMOUNT NOT SAID — ask]"]
    assert "Not settled: How much gin?" in node["description"]
