"""The whole of what is published: refused while a question blocks, complete, the same each time, and safe to write."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path

import pytest
from publish_kit import LEXICON, crowd, drink, episode, evening, ingredient, pier_light, question

from extractor.errors import PublishError
from extractor.publish import PARTS, Video, Wishes, default_parts, pdf_available, plan, write_all
from extractor.record import Episode

QUICK = ("captions", "cards", "description", "data", "shopping")
BLOCKED = episode(
    pier_light(),
    questions=(
        question("amount-missing", "Pier Light", "gin", id="am-1", text="How much gin goes into Pier Light?"),
        question("disclosure", "Pier Light", "honey", id="di-2", text="How is the gift told?"),
        question("glass-missing", "Pier Light", "Pier Light", blocking=False, id="gl-3", text="Which glass?"),
    ),
)


def names(files: dict[str, bytes]) -> set[str]:
    return set(files)


def test_everything_is_there() -> None:
    files = plan(evening(), LEXICON, Wishes(parts=QUICK), captions={"pier.en.vtt": b"WEBVTT\n"})
    assert names(files) == {
        "captions/pier.en.vtt",
        "description.txt",
        "shopping-list.md",
        "data/video.jsonld",
        *(f"cards/{n}.{e}" for n in ("pier-light", "low-tide", "breakwater") for e in ("md", "html")),
        *(f"data/{n}.jsonld" for n in ("pier-light", "low-tide", "breakwater")),
    }
    assert files["captions/pier.en.vtt"] == b"WEBVTT\n"
    for path, data in files.items():
        data.decode("utf-8")
        assert data.endswith(b"\n") or path.endswith(".html")
        if path.endswith(".jsonld"):
            json.loads(data)


@pytest.mark.skipif(not pdf_available(), reason="WeasyPrint is missing")
def test_by_default_all_that_can_be_made() -> None:
    assert default_parts() == PARTS
    files = plan(episode(pier_light()), LEXICON)
    assert files["cards/pier-light.pdf"].startswith(b"%PDF-")
    assert files == plan(episode(pier_light()), LEXICON)


@pytest.mark.parametrize("part", QUICK)
def test_one_part_alone(part: str) -> None:
    files = plan(evening(), LEXICON, Wishes(parts=(part,)), captions={"pier.vtt": b"x"})  # type: ignore[arg-type]
    folder = {
        "captions": "captions/",
        "cards": "cards/",
        "data": "data/",
        "description": "description",
        "shopping": "shopping",
    }
    assert files
    assert all(f.startswith(folder[part]) for f in files)


def test_a_blocking_question_refuses_and_is_named() -> None:
    with pytest.raises(PublishError) as caught:
        plan(BLOCKED, LEXICON, Wishes(parts=QUICK))
    text = str(caught.value)
    for words in ("2 questions are open", "am-1", "How much gin goes into Pier Light?", "di-2", "--despite-open"):
        assert words in text
    assert "gl-3" not in text


def test_a_question_that_does_not_block_refuses_nothing() -> None:
    open_only = BLOCKED.model_copy(update={"questions": BLOCKED.questions[2:]})
    files = plan(open_only, LEXICON, Wishes(parts=QUICK))
    assert "cards/pier-light.md" in files


def test_despite_open_every_output_marks_the_gaps() -> None:
    one = drink("Pier Light", ingredient("gin", none=True), ingredient("lime juice", 1, "fl_oz"), mixing=("shake",))
    whole = episode(one, questions=BLOCKED.questions)
    files = plan(whole, LEXICON, Wishes(parts=QUICK, despite_open=True))
    for path in (
        "cards/pier-light.md",
        "cards/pier-light.html",
        "description.txt",
        "shopping-list.md",
        "data/pier-light.jsonld",
    ):
        assert "AMOUNT NOT SAID — ask" in files[path].decode()
    for path in ("cards/pier-light.md", "cards/pier-light.html", "description.txt", "data/pier-light.jsonld"):
        text = files[path].decode()
        assert "DISCLOSURE NOT SETTLED: honey — ask" in text
        assert "How is the gift told?" in text
        assert "Which glass?" in text


def test_an_error_text_is_safe_in_a_terminal() -> None:
    nasty = episode(
        pier_light(), questions=(question("name-unsure", None, "x", id="\x1b]0;x\x07", text="\x1b[2J\u202eWhat?"),)
    )
    with pytest.raises(PublishError) as caught:
        plan(nasty, LEXICON)
    assert not [c for c in str(caught.value) if c != "\n" and (ord(c) < 32 or c == "\u202e")]


def test_multiplied_cards_stand_beside_those_as_told() -> None:
    told = plan(evening(), LEXICON, Wishes(parts=QUICK))
    eight = plan(evening(), LEXICON, Wishes(parts=QUICK, servings=8))
    assert {p: d for p, d in eight.items() if p in told and p != "shopping-list.md"} == {
        p: d for p, d in told.items() if p != "shopping-list.md"
    }
    assert names(eight) - names(told) == {
        f"cards/{n}-for-8.{e}" for n in ("pier-light", "low-tide", "breakwater") for e in ("md", "html")
    }
    assert b"8 servings" in eight["shopping-list.md"]
    litres = plan(evening(), LEXICON, Wishes(parts=("cards",), litres=1.5))
    assert "cards/low-tide-1-5-litres.md" in litres


def test_drinks_of_one_name_do_not_overwrite_each_other() -> None:
    twice = episode(pier_light(), pier_light())
    assert {"cards/pier-light.md", "cards/pier-light-2.md"} <= names(plan(twice, LEXICON, Wishes(parts=("cards",))))


@pytest.mark.parametrize("name", ["../../x", "/etc/passwd", "CON", "", "a/b", "x" * 400, "\u202egnp", "..", "👩‍🍳"])
def test_whatever_a_drink_is_called_its_files_stay_in_the_folder(name: str, tmp_path: Path) -> None:
    one = pier_light().model_copy(update={"name": name})
    files = plan(
        episode(one),
        LEXICON,
        Wishes(parts=QUICK, despite_open=True),
        captions={"../../up.vtt": b"x", "..\\b.srt": b"y"},
    )
    out = tmp_path / "deep" / "out"
    write_all(files, out)
    written = {p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file()}
    assert names(files) <= written
    assert sorted(p.name for p in tmp_path.rglob("*") if p.is_file() and out not in p.parents) == []
    assert "captions/up.vtt" in files


def test_a_part_that_is_not_known() -> None:
    with pytest.raises(PublishError, match="posters"):
        plan(evening(), LEXICON, Wishes(parts=("posters",)))  # type: ignore[arg-type]


def test_structured_data_is_in_the_page_and_says_the_same() -> None:
    video = Video(url="https://video.example/12", title="An evening")
    files = plan(evening(), LEXICON, Wishes(parts=QUICK, video=video))
    page = files["cards/pier-light.html"].decode()
    inside = page.split('<script type="application/ld+json">')[1].split("</script>")[0]
    assert json.loads(inside) == json.loads(files["data/pier-light.jsonld"])


def test_pages_are_letter_in_the_us_and_a4_elsewhere() -> None:
    whole = evening()
    uk = whole.model_copy(update={"source": whole.source.model_copy(update={"locale": "uk"})})
    wishes = Wishes(parts=("cards",))
    assert b"size: letter" in plan(whole, LEXICON, wishes)["cards/low-tide.html"]
    assert b"size: A4" in plan(uk, LEXICON, wishes)["cards/low-tide.html"]
    assert b"size: A4" in plan(whole, LEXICON, dataclasses.replace(wishes, page="a4"))["cards/low-tide.html"]


def test_an_episode_without_drinks_and_one_with_a_crowd() -> None:
    empty = Episode.model_validate_json(episode().model_dump_json())
    assert names(plan(empty, LEXICON, Wishes(parts=QUICK))) == {
        "description.txt",
        "data/video.jsonld",
        "shopping-list.md",
    }
    assert len(plan(episode(crowd()), LEXICON, Wishes(parts=QUICK))) == 6


def test_the_plan_of_a_record_that_went_through_json_is_the_same() -> None:
    whole = evening()
    again = Episode.model_validate_json(whole.model_dump_json())
    assert plan(again, LEXICON, Wishes(parts=QUICK)) == plan(whole, LEXICON, Wishes(parts=QUICK))


def test_the_country_is_that_of_the_locale_or_the_one_wished_for() -> None:
    whole = evening()

    def card(locale: str, country: str | None = None) -> str:
        here = whole.model_copy(update={"source": whole.source.model_copy(update={"locale": locale})})
        return plan(here, LEXICON, Wishes(parts=("cards",), country=country))["cards/low-tide.md"].decode()

    assert "US standard drinks" in card("us")
    assert "21 or older in the United States" in card("bar")
    assert "UK units" in card("uk")
    assert "18 or older in the United Kingdom" in card("uk")
    assert "g of alcohol a serving" in card("metric")
    assert "legal drinking age where you are" in card("metric")
    assert "20 or older in Japan" in card("us", "jp")
    with pytest.raises(PublishError, match="atlantis"):
        card("us", "atlantis")


def test_only_the_drinks_that_are_named_are_multiplied() -> None:
    told = drink("Unmixed", ingredient("gin", 2, "fl_oz"), servings=1)
    whole = episode(*evening().drinks, told)
    with pytest.raises(PublishError, match="Unmixed"):
        plan(whole, LEXICON, Wishes(parts=("cards",), litres=2))
    files = plan(whole, LEXICON, Wishes(parts=QUICK, litres=2, multiply=("low tide",)))
    assert [f for f in files if "litres" in f] == ["cards/low-tide-2-litres.md", "cards/low-tide-2-litres.html"]
    assert b"Unmixed" in files["shopping-list.md"]
    with pytest.raises(PublishError, match="high tide"):
        plan(whole, LEXICON, Wishes(parts=("cards",), litres=2, multiply=("High Tide",)))
