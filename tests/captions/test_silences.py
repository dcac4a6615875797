"""Long stretches without captions are told of; pauses are not."""

from __future__ import annotations

from extractor.captions import read_captions
from extractor.captions.silences import LONG_S


def webvtt(*times: tuple[str, str]) -> bytes:
    cues = (f"00:{a}.000 --> 00:{b}.000\nAn ounce of gin.\n" for a, b in times)
    return ("WEBVTT\n\n" + "\n".join(cues)).encode()


def test_a_long_silence_is_told_with_its_place() -> None:
    notes = read_captions(webvtt(("00:00", "00:05"), ("00:40", "00:44"))).notes
    assert notes == ("No captions from 0:05 to 0:40: if something was said there, it is missing here.",)


def test_a_pause_is_not() -> None:
    pause = int(LONG_S) - 1
    assert read_captions(webvtt(("00:00", "00:05"), (f"00:{5 + pause}", "00:30"))).notes == ()


def test_captions_over_each_other_leave_no_silence() -> None:
    assert read_captions(webvtt(("00:00", "00:50"), ("00:01", "00:02"), ("00:49", "00:55"))).notes == ()


def test_only_the_longest_are_told_and_the_rest_counted() -> None:
    times = [(f"{m:02d}:00", f"{m:02d}:{30 - m:02d}") for m in range(6)]
    notes = read_captions(webvtt(*times)).notes
    assert [n.split(": ")[0] for n in notes[:-1]] == [
        "No captions from 2:28 to 3:00",
        "No captions from 3:27 to 4:00",
        "No captions from 4:26 to 5:00",
    ]
    assert notes[-1] == "2 shorter stretches have no captions either."


def test_a_file_with_a_silence_is_still_well_formed() -> None:
    assert read_captions(webvtt(("00:00", "00:05"), ("00:40", "00:44"))).well_formed
