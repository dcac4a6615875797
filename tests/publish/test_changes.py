"""The words put right in the captions: listed with their places, and taken back one by one."""

from __future__ import annotations

import pytest
from publish_kit import correction, evening

from extractor.errors import PublishError
from extractor.publish.changes import caption_changes, changes_text, take_back
from extractor.record import Transcript, Word

EPISODE = evening(
    corrections=(
        correction("fuller num", "falernum", 7, 8, at_s=75.0),
        correction("all spice drum", "allspice dram", 2, 4, at_s=61.0),
        correction("gin", "ginger", 11, 11, applied=False),
    )
)


def test_the_list_stands_in_the_order_of_the_talk() -> None:
    found = caption_changes(EPISODE)
    assert [(c.id, c.heard, c.written, c.applied) for c in found] == [
        ("w2", "all spice drum", "allspice dram", True),
        ("w7", "fuller num", "falernum", True),
        ("w11", "gin", "ginger", False),
    ]


def test_with_a_transcript_it_names_cue_and_copies() -> None:
    words = tuple(
        Word(text=f"w{n}", start_s=1.0, end_s=2.0, cue=n // 4, copies=((), ()) if n == 7 else ((),)) for n in range(12)
    )
    transcript = Transcript(None, "webvtt", "", "utf-8", words, 3, 10.0)
    found = caption_changes(EPISODE, transcript)
    assert [(c.cue, c.copies) for c in found] == [(1, 1), (2, 2), (3, 1)]
    assert "in 2 places" in changes_text(found)


def test_taking_one_back_leaves_the_others() -> None:
    after = take_back(EPISODE, ["w7"])
    assert [(c.id, c.applied) for c in caption_changes(after)] == [("w2", True), ("w7", False), ("w11", False)]
    assert take_back(after, ["w7"]) == after
    assert after.drinks == EPISODE.drinks


def test_an_unknown_id_is_an_error_that_names_the_known() -> None:
    with pytest.raises(PublishError, match="w99") as caught:
        take_back(EPISODE, ["w99"])
    assert "w7" in caught.value.hint


def test_the_text_is_safe_in_a_terminal() -> None:
    nasty = evening(corrections=(correction("\x1b[2Jgin\r\nx", "\u202egin\x9b", 1, 1),))
    text = changes_text(caption_changes(nasty))
    assert not [c for c in text if c != "\n" and (ord(c) < 32 or 127 <= ord(c) < 160 or c == "\u202e")]
    assert text.count("\n") == 1


def test_nothing_to_change_is_said() -> None:
    assert changes_text(caption_changes(evening())) == "No words of the captions are changed.\n"
