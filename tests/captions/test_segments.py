"""JSON segments: times by the entries, text and lists of words kept alike, whatever recognisers do to them."""

from __future__ import annotations

import json
from typing import Any

import pytest

from extractor.captions import Edit, read_captions, rewrite


def entry(word: str, start: float | None = None, end: float | None = None, **more: Any) -> dict[str, Any]:
    out: dict[str, Any] = {"word": word}
    if start is not None:
        out |= {"start": start, "end": end}
    return out | more


def document(said: str, words: list[dict[str, Any]] | None, **top: Any) -> bytes:
    segment: dict[str, Any] = {"start": 1.0, "end": 5.0, "text": said}
    if words is not None:
        segment["words"] = words
    return json.dumps({"segments": [segment], **top}).encode()


def times(data: bytes) -> list[tuple[str, float | None, float | None]]:
    return [(w.text, w.start_s, w.end_s) for w in read_captions(data).words]


def test_times_and_probabilities_come_from_the_entries() -> None:
    data = document(" two ounces", [entry(" two", 1.5, 1.8, probability=0.9), entry(" ounces", 2.0, 3.0, score=0.4)])
    words = read_captions(data).words
    assert times(data) == [("two", 1.5, 1.8), ("ounces", 2.0, 3.0)]
    assert [w.probability for w in words] == [0.9, 0.4]
    assert [len(w.copies) for w in words] == [2, 2]


def test_without_entries_words_share_the_segment() -> None:
    assert times(document("abc defg", None)) == [("abc", 1.0, 2.5), ("defg", 3.0, 5.0)]


def test_an_entry_without_times_lies_between_its_neighbours() -> None:
    """Numbers and prices: m-bain/whisperX#409."""
    data = document("for 5 $10 now", [entry("for", 1, 2), entry("5"), entry("$10"), entry("now", 4, 5)])
    assert times(data) == [("for", 1, 2), ("5", 2, 2.5), ("$10", 2.5, 4), ("now", 4, 5)]


@pytest.mark.parametrize("bad", ["NaN", "null", '"soon"', "Infinity", "1e999", "true"])
def test_times_that_are_no_numbers(bad: str) -> None:
    """tmoroney/auto-subs#210."""
    data = document("so we shake", [entry("so", 1, 2), entry("we", 7, 8), entry("shake", 3, 4)])
    data = data.replace(b'"start": 7, "end": 8', f'"start": {bad}, "end": {bad}'.encode())
    assert times(data) == [("so", 1, 2), ("we", 2, 3), ("shake", 3, 4)]


def test_a_segment_without_times_takes_its_words() -> None:
    data = b'{"segments": [{"text": "so we", "words": [{"word": "so", "start": "1.5", "end": "2"}, {"word": "we"}]}]}'
    assert times(data)[0] == ("so", 1.5, 2)
    assert read_captions(b'{"segments": [{"text": "so we"}]}').words[0].start_s is None


def test_a_word_over_several_entries() -> None:
    """ggml-org/whisper.cpp#1798."""
    data = document(
        " falernum, yes", [entry(" fal", 1, 1.5), entry("ern", 1.5, 2), entry("um,", 2, 3), entry(" yes", 3, 4)]
    )
    words = read_captions(data).words
    assert times(data) == [("falernum,", 1, 3), ("yes", 3, 4)]
    assert [len(c) for c in words[0].copies] == [1, 3]


def test_an_entry_of_several_words() -> None:
    assert times(document("two ounces", [entry("two ounces", 1, 3)])) == [("two", 1, 1.6), ("ounces", 1.8, 3)]


def test_punctuation_with_entries_of_its_own() -> None:
    """bbc/react-transcript-editor#110."""
    data = document("so, yes.", [entry("so", 1, 2), entry(","), entry("yes", 3, 4), entry(".")])
    assert [w for w, _, _ in times(data)] == ["so,", "yes."]


def test_a_text_that_differs_from_its_words() -> None:
    """ggml-org/whisper.cpp#2872: the text counts, and entries that are like its words give their times."""
    data = document(
        "So we shake it, hard.", [entry("so", 1, 2), entry("shake", 3, 4), entry("it", 4, 4.5), entry("uh", 4.5, 5)]
    )
    assert times(data) == [("So", 1, 2), ("we", 2, 3), ("shake", 3, 4), ("it,", 4, 4.5), ("hard.", 4.5, 5)]


def test_half_characters_do_no_harm() -> None:
    """ggml-org/whisper.cpp#3760."""
    data = b'{"segments": [{"start": 0, "end": 1, "text": "caf\\ud83d so"}]}'
    assert [w.text for w in read_captions(data).words] == ["caf\ufffd", "so"]
    assert rewrite(data, [Edit(1, 1, "and")]) == data.replace(b" so", b" and")


def test_segments_that_have_only_words() -> None:
    data = (
        b'{"segments": [{"words": [{"word": " so", "start": 1, "end": 2}, {"word": " fuller", "start": 2, "end": 3}]}]}'
    )
    assert times(data) == [("so", 1, 2), ("fuller", 2, 3)]
    assert rewrite(data, [Edit(1, 1, "falernum")]) == data.replace(b"fuller", b"falernum")


def test_speakers() -> None:
    data = b'{"segments": [{"start": 0, "end": 1, "text": "so", "speaker": "A"}, {"start": 1, "end": 2, "text": "no"}]}'
    assert [(w.speaker, w.paragraph) for w in read_captions(data).words] == [("A", True), (None, True)]


def edited(data: bytes, first: int, last: int, text: str) -> Any:
    return json.loads(rewrite(data, [Edit(first, last, text)]))


def test_two_words_become_one_in_text_and_list() -> None:
    words = [
        entry(" the", 1, 1.5),
        entry(" fuller", 1.5, 2.25, probability=0.3),
        entry(" num,", 2.5, 3),
        entry(" so", 3, 4),
    ]
    out = edited(document(" the fuller num, so", words, text=" the fuller num, so"), 1, 2, "falernum")
    assert out["segments"][0]["text"] == out["text"] == " the falernum, so"
    assert out["segments"][0]["words"] == [
        entry(" the", 1, 1.5),
        entry(" falernum,", 1.5, 3, probability=0.3),
        entry(" so", 3, 4),
    ]


def test_the_second_word_stays_when_it_is_the_one_that_is_like() -> None:
    words = [entry(" a", 1, 1.5), entry(" falurnum", 1.5, 3)]
    assert edited(document(" a falurnum", words), 0, 1, "falernum")["segments"][0]["words"] == [
        entry(" falernum", 1, 3)
    ]


def test_one_word_becomes_two_that_share_its_time() -> None:
    out = edited(document("allspice", [entry("allspice", 1, 3, probability=0.5)]), 0, 0, "all spices")
    assert out["segments"][0]["text"] == "all spices"
    assert out["segments"][0]["words"] == [
        entry("all", 1, 1.667, probability=0.5),
        entry("spices", 1.667, 3, probability=0.5),
    ]


def test_a_word_over_several_entries_is_put_right() -> None:
    words = [entry(" fal", 1, 1.5), entry("er", 1.5, 2), entry("num.", 2, 3), entry(" yes", 3, 4)]
    out = edited(document(" falernum. yes", words), 0, 0, "orgeat")
    assert out["segments"][0]["words"] == [entry(" orgeat.", 1, 3), entry(" yes", 3, 4)]
    assert out["segments"][0]["text"] == " orgeat. yes"


def test_two_words_over_three_entries() -> None:
    words = [entry("Kake", 1, 1.2), entry("-own", 1.2, 1.4), entry("-ids", 1.4, 1.6), entry("so", 2, 3)]
    out = edited(document("Kake-own-ids so", words), 0, 0, "cacao nibs")
    assert out["segments"][0]["text"] == "Cacao nibs so"
    assert out["segments"][0]["words"] == [entry("Cacao", 1, 1.2), entry("nibs", 1.2, 1.6), entry("so", 2, 3)]


def test_two_words_in_the_place_of_one_beside_one_that_goes() -> None:
    words = [entry("allspicedrum", 1, 2), entry("uh", 2, 4), entry("so", 4, 5)]
    out = edited(document("allspicedrum uh so", words), 0, 1, "allspice drum")
    assert " ".join(w["word"] for w in out["segments"][0]["words"]) == "allspice drum so"
    times = [(w["start"], w["end"]) for w in out["segments"][0]["words"]]
    assert times[0][0] == 1
    assert times[-2][1] == times[-1][0] == 4


def test_part_of_an_entry_is_put_right() -> None:
    out = edited(document("two fuller num so", [entry("two fuller num so", 1, 3)]), 1, 2, "falernum")
    assert out["segments"][0]["words"] == [entry("two falernum so", 1, 3)]


def test_a_list_of_all_words_at_the_top() -> None:
    words = [entry("fuller", 1, 2), entry("num", 2, 3)]
    out = edited(document("fuller num", words, word_segments=words), 0, 1, "falernum")
    assert out["segments"][0]["words"] == out["word_segments"] == [entry("falernum", 1, 3)]


def test_a_whole_text_that_is_another_stays_as_it_is() -> None:
    out = edited(document("fuller num", None, text="Quite another text."), 0, 1, "falernum")
    assert out["text"] == "Quite another text."
    assert out["segments"][0]["text"] == "falernum"


def test_everything_else_stays_byte_for_byte() -> None:
    segment = '{"end":2.0,"start":0,"text":"caf\\u00e9 fuller \\/ é"}'
    data = f'{{\r\n\t"x": [1.50, 1e3, NaN],"segments":[ {segment} ] , "y":{{}}}}\n'.encode()
    assert rewrite(data, [Edit(1, 1, "orgéat")]) == data.replace(b"fuller", "orgéat".encode())
    plain = data.replace("é".encode(), b"e")
    assert rewrite(plain, [Edit(1, 1, 'or"géat')]) == plain.replace(b"fuller", b'or\\"g\\u00e9at')
