"""A long episode: 90 minutes, 3,000 cues. How long the page and an answer may take is the project's own wish."""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from review_kit import Served, served

if TYPE_CHECKING:
    from browser_kit import Browser

CUES, SECONDS, DRINKS = 3000, 5400, 24
CHATTER = (
    "so while that rests I'll tell you about the harbour", "and it rained the whole afternoon if you remember",
    "my neighbour says hello by the way", "that window behind me has never been cleaned", "anyway where were we",
    "the lamp keeps flickering and nobody knows why", "we painted the shelves on Tuesday",
    "and that is how the boat got its name",
)  # fmt: skip
FIRST = ("Slow", "Tin", "Paper", "Copper", "Late", "Quiet")
SECOND = ("Ferry", "Roof", "Lantern", "Ladder")


def told(name: str) -> list[str]:
    return [
        f"the next drink is called the {name}.", "two ounces of gin go into the shaker.",
        "three quarters of an ounce of lime juice.", "then the honey syrup goes in.", "half an ounce of fuller num.",
        "and lemon juice, and two dashes of aromatic bitters.", "shake it with ice and strain it into a coupe.",
    ]  # fmt: skip


def long_captions() -> str:
    each = CUES // DRINKS
    texts: list[str] = []
    for n in range(DRINKS):
        part = told(f"{FIRST[n % 6]} {SECOND[n // 6]}")
        part += [CHATTER[(n + k) % len(CHATTER)] for k in range(each - len(part))]
        texts += part
    step = SECONDS / CUES
    out = ["WEBVTT", ""]
    for n, text in enumerate(texts):
        a, b = n * step, (n + 1) * step - 0.05
        out += [
            " --> ".join(f"{int(t // 3600):02d}:{int(t % 3600 // 60):02d}:{t % 60:06.3f}" for t in (a, b)),
            text,
            "",
        ]
    return "\n".join(out)


@pytest.fixture(scope="module")
def long(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    captions = tmp_path_factory.mktemp("long") / "long.vtt"
    captions.write_text(long_captions(), encoding="utf-8")
    with served(captions) as page:
        yield page


def test_the_page_opens_in_a_second(browser: Browser, long: Served) -> None:
    assert long.job.talk.transcript.cues == CUES
    browser.driver.get(long.server.address)
    took = []
    for _ in range(3):
        browser.driver.get(f"{long.root}/?view=talk")
        browser.wait(
            lambda: browser.js("return performance.getEntriesByType('navigation')[0].loadEventEnd > 0"), "loaded"
        )
        # From the start of the navigation to the end of its load event: W3C Navigation Timing Level 2.
        took.append(browser.js("return performance.getEntriesByType('navigation')[0].duration"))
    print(f"opens in {sorted(round(t) for t in took)} ms; {len(long.ask('GET', '/')[2]) / 1024:.0f} KB")
    assert browser.js("return document.querySelectorAll('.line').length") > 400
    assert statistics.median(took) < 1000


def test_an_answer_takes_a_tenth_of_a_second(long: Served) -> None:
    questions = [q for q in long.job.state().episode.questions if q.blocking]
    assert len(questions) >= DRINKS
    took = []
    for q in questions[:15]:
        form = {"id": q.id, "given": "half an ounce", "seen": "9999"}
        start = time.perf_counter()
        status, _, body = long.ask("POST", "/answer", form=form, headers={"X-Part": "1"})
        took.append((time.perf_counter() - start) * 1000)
        assert (status, json.loads(body)["kind"]) == (200, "ok")
    print(f"answers in {sorted(round(t) for t in took)} ms")
    assert statistics.median(took) < 100


def test_a_look_for_what_others_did_costs_next_to_nothing(long: Served) -> None:
    revision = long.job.state().revision
    start = time.perf_counter()
    for _ in range(20):
        long.ask("GET", f"/parts?have={revision}")
    took = (time.perf_counter() - start) / 20
    print(f"looks in {took * 1000:.1f} ms")
    assert took < 0.05


def test_the_long_file_is_what_it_says(tmp_path: Path) -> None:
    text = long_captions()
    assert text.count(" --> ") == CUES
    assert "01:29:59.950" in text
