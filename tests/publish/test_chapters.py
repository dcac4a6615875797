"""Chapters: first at 0:00, ascending, at least three, none under ten seconds (common practice of video hosts, no
standard)."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from extractor.publish.chapters import FEWEST, SHORTEST, chapters
from extractor.visible import clock

STARTS = st.lists(st.tuples(st.floats(0, 4000), st.sampled_from(["Ada", "Ben", "Cleo", "Dot", "Eve"])), max_size=12)


@given(STARTS, st.one_of(st.none(), st.floats(1, 4100)))
def test_the_rules_hold_or_there_are_none(starts: list[tuple[float, str]], duration_s: float | None) -> None:
    found = chapters(starts, duration_s, start="Start")
    if not found:
        return
    assert len(found) >= FEWEST == 3
    assert found[0].second == 0
    seconds = [c.second for c in found]
    ends = [*seconds[1:], *([duration_s] if duration_s is not None else [])]
    assert all(b - a >= SHORTEST == 10 for a, b in zip(seconds, ends, strict=False))
    # No drink is lost.
    text = " ".join(c.title for c in found)
    assert all(title in text for _, title in starts)


def test_a_chapter_begins_no_later_than_its_drink() -> None:
    found = chapters([(42.9, "A"), (100.0, "B")], 300, start="Start")
    assert [(c.second, c.title) for c in found] == [(0, "Start"), (42, "A"), (100, "B")]


def test_two_chapters_are_none() -> None:
    assert chapters([(42.9, "A")], 300, start="Start") == ()


def test_a_drink_at_the_very_start_takes_the_first_chapter() -> None:
    found = chapters([(3.0, "A"), (100.0, "B"), (200.0, "C")], 300, start="Start")
    assert [(c.second, c.title) for c in found] == [(0, "A"), (100, "B"), (200, "C")]


def test_two_drinks_told_in_turns_share_a_chapter() -> None:
    found = chapters([(30.0, "Hers"), (34.0, "Mine"), (100.0, "B"), (200.0, "C")], 300, start="Start")
    assert [c.title for c in found] == ["Start", "Hers and Mine", "B", "C"]


def test_a_drink_just_before_the_end_does_not_get_a_chapter_of_its_own() -> None:
    found = chapters([(30.0, "A"), (100.0, "B"), (295.0, "C")], 300, start="Start")
    assert [c.title for c in found] == ["Start", "A", "B and C"]


def test_clock() -> None:
    assert [clock(s) for s in (0, 5, 65, 600, 3599, 3600, 3723)] == [
        "0:00",
        "0:05",
        "1:05",
        "10:00",
        "59:59",
        "1:00:00",
        "1:02:03",
    ]
    assert clock(65, hours=True) == "0:01:05"
