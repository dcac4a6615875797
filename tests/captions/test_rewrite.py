"""What becomes of a word that is put right: its punctuation and capital, its copies, its line, its times."""

from __future__ import annotations

import pickle

import pytest

from extractor.captions import Edit, changes, convert, read_captions, rewrite
from extractor.captions.slots import dress, share
from extractor.errors import CaptionError
from extractor.record import Correction


def webvtt(*texts: str) -> bytes:
    cues = [f"00:{n:02}.000 --> 00:{n + 1:02}.000\n{text}\n" for n, text in enumerate(texts)]
    return "\n".join(["WEBVTT\n", *cues]).encode()


@pytest.mark.parametrize(
    ("old", "new", "written"),
    [
        (["fuller", "num"], "falernum", "falernum"),
        (["fuller", "num,"], "falernum", "falernum,"),
        (["“fuller", "num.”"], "falernum", "“falernum.”"),
        (["(fuller", "num)?"], "falernum", "(falernum)?"),
        (["Fuller", "num"], "falernum", "Falernum"),
        (["Fuller", "Num"], "allspice dram", "Allspice Dram"),
        (["Fuller", "num"], "allspice dram", "Allspice dram"),
        (["fuller,", "num"], "allspice dram", "allspice dram"),
        (["fuller"], "Falernum", "Falernum"),
        (["Fuller"], "pH-neutral", "pH-neutral"),
        (["num,"], "falernum.", "falernum."),
        (["drinkin'"], "drinking", "drinking"),
        (["'drinkin'"], "drinking", "'drinking'"),
        (["I"], "eye", "Eye"),
        (["-Fuller"], "falernum", "-Falernum"),
        (["15%"], "50%", "50%"),
        (["..."], "falernum", "falernum"),
        (["fuller"], "  two   words ", "two words"),
    ],
)
def test_punctuation_and_capitals_stay(old: list[str], new: str, written: str) -> None:
    assert dress(old, new) == written


def test_capitals_throughout_stay() -> None:
    out = rewrite(webvtt("AND THE FULLER NUM, SO"), [Edit(2, 3, "falernum")])
    assert b"AND THE FALERNUM, SO" in out


@pytest.mark.parametrize(
    ("old", "new", "shares"),
    [
        ("fuller num", "falernum", ["falernum", ""]),
        ("a falurnum", "falernum", ["", "falernum"]),
        ("all spice drum", "allspice dram", ["", "allspice", "dram"]),
        ("allspice drum so", "all spice dram", ["all", "spice", "dram"]),
        ("allspicedrum", "allspice dram", ["allspice dram"]),
        ("orange", "dry orange curaçao", ["dry orange curaçao"]),
        ("dry orangecuraçao", "dry orange curaçao", ["dry", "orange curaçao"]),
    ],
)
def test_new_words_come_where_the_old_ones_are_like(old: str, new: str, shares: list[str]) -> None:
    words = old.split()
    assert share(words, new.split(), [False] * len(words)) == shares


def test_no_line_is_emptied_where_another_can_be_shortened() -> None:
    out = rewrite(webvtt("so the fuller\nnum", "and"), [Edit(2, 3, "falernum")])
    assert out == webvtt("so the\nfalernum", "and")


def test_a_line_that_must_go_takes_its_line_break_along() -> None:
    for ending in ("\n", "\r\n", "\r"):
        data = webvtt("so\nfuller\nnum\nand", "x").replace(b"\n", ending.encode())
        out = rewrite(data, [Edit(1, 2, "falernum")])
        assert out == webvtt("so\nfalernum\nand", "x").replace(b"\n", ending.encode())
    assert rewrite(webvtt("fuller\nnum", "x"), [Edit(0, 1, "falernum")]) == webvtt("falernum", "x")


def test_a_caption_that_loses_its_only_word_stays_a_caption() -> None:
    out = rewrite(webvtt("fuller", "num", "so"), [Edit(0, 1, "falernum")])
    assert out == webvtt("falernum", "", "so")
    assert read_captions(out).cues == 3
    blocks = [f"{n}\n00:00:0{n},000 --> 00:00:0{n},900\n{word}\n" for n, word in enumerate(("fuller", "num", "so"))]
    srt = "\n".join(blocks).encode()
    assert rewrite(srt, [Edit(0, 1, "falernum")]) == srt.replace(b"fuller", b"falernum").replace(b"\nnum\n", b"\n\n")


def test_times_of_words_stay_sensible_with_fewer_words() -> None:
    data = webvtt("the<00:00:00.200><c> fuller</c><00:00:00.400><c> num</c><00:00:00.700><c> so</c>")
    out = rewrite(data, [Edit(1, 2, "falernum")])
    assert out == webvtt("the<00:00:00.200><c> falernum</c><00:00:00.400><c></c><00:00:00.700><c> so</c>")
    assert [(w.text, w.start_s, w.end_s) for w in read_captions(out).words] == [
        *(("the", 0, 0.2), ("falernum", 0.2, 0.7), ("so", 0.7, 1.0)),
    ]


def test_times_of_words_stay_sensible_with_more_words() -> None:
    data = webvtt("the<00:00:00.200><c> allspice</c><00:00:00.700><c> so</c>")
    out = rewrite(data, [Edit(1, 1, "all spice")])
    words = read_captions(out).words
    assert [w.text for w in words] == ["the", "all", "spice", "so"]
    assert words[1].start_s == 0.2
    assert words[2].end_s == words[3].start_s == 0.7
    assert 0.2 < (words[2].start_s or 0) < 0.7


def test_a_word_cut_in_syllables() -> None:
    data = webvtt("OF<00:00:00.200><c>FI</c><00:00:00.400><c>CE</c> so")
    assert rewrite(data, [Edit(0, 0, "ORGEAT")]) == webvtt("ORGEAT<00:00:00.200><c></c><00:00:00.400><c></c> so")
    assert rewrite(data, [Edit(0, 0, "A B C")]) == webvtt("A<00:00:00.200><c> B</c><00:00:00.400><c> C</c> so")


@pytest.mark.parametrize("new", ["a<b", "R&D", "a&amp;b", "x > y", "<i>", "&lt;"])
def test_signs_of_the_format_are_escaped(new: str) -> None:
    for data in (webvtt("so fuller and"), b"<tt><body><div><p begin='1s'>so fuller and</p></div></body></tt>"):
        out = rewrite(data, [Edit(1, 1, new)])
        assert [w.text for w in read_captions(out).words] == ["so", *new.split(), "and"]


def test_what_subrip_cannot_say_is_refused() -> None:
    data = b"1\n00:00:01,000 --> 00:00:02,000\nso fuller and\n"
    for new in ("<i>", "{\\an8}"):
        with pytest.raises(CaptionError):
            rewrite(data, [Edit(1, 1, new)])
    assert rewrite(data, [Edit(1, 1, "<3")]) == data.replace(b"fuller", b"<3")
    assert rewrite(data, [Edit(1, 1, "R&D")]) == data.replace(b"fuller", b"R&D")


def test_what_plain_text_would_take_for_a_time_is_refused() -> None:
    data = b"[0:01] so\nfuller and\n[0:05] pour"
    with pytest.raises(CaptionError):
        rewrite(data, [Edit(1, 1, "[0:03]")])


def test_old_bytes_stay_and_new_ones_are_like_them() -> None:
    data = "1\n00:00:01,000 --> 00:00:02,000\ncafé fuller\n".encode("cp1252")
    assert rewrite(data, [Edit(1, 1, "curaçao")]) == data.replace(b"fuller", "curaçao".encode("cp1252"))
    with pytest.raises(CaptionError):
        rewrite(data, [Edit(1, 1, "ラム")])


@pytest.mark.parametrize(
    "data",
    [
        b"\n\nWEBVTT\n\n00:00.000 --> 00:01.000\nso we\n",
        b"WEBVTT\n\n00:00.000 --> 00:01.000\nso we\n\n0:0 --> 1\nbad\n",
        b"1\n00:00:01,000 --> 00:00:02,000\nso we\n\n2\n00:00:0x,000 --> 00:00:02,000\nbad\n",
        b"<tt><body><div><p begin='1s'>so we</p><p>",
        "\ufeff[0:01] so we".encode("utf-16-le") + b"x",
    ],
)
def test_a_badly_formed_file_is_read_and_never_written_over(data: bytes) -> None:
    file = read_captions(data, path="a.vtt")
    assert [w.text for w in file.words][:2] == ["so", "we"]
    assert not file.well_formed
    assert file.notes
    with pytest.raises(CaptionError) as caught:
        rewrite(file, [Edit(0, 0, "and")])
    assert file.notes[0] in caught.value.what
    assert [w.text for w in read_captions(convert(file, [Edit(0, 0, "and")], to="webvtt")).words][:2] == ["and", "we"]


def test_a_second_run_changes_nothing_and_says_so() -> None:
    data = webvtt("so the fuller num, and the fuller num again")
    edits = [Edit(2, 3, "falernum", heard="fuller num"), Edit(6, 7, "falernum", heard="fuller num")]
    out = rewrite(data, edits)
    assert out == webvtt("so the falernum, and the falernum again")
    assert rewrite(out, edits) == out
    assert changes(out, edits) == []
    assert [(c.heard, c.written, c.cue) for c in changes(data, edits)] == [
        *(("fuller num,", "falernum,", 0), ("fuller num", "falernum", 0)),
    ]


def test_one_change_can_be_left_out() -> None:
    data = webvtt("so the fuller num, and the fuller num again")
    assert rewrite(data, [Edit(6, 7, "falernum", heard="fuller num")]) == webvtt(
        "so the fuller num, and the falernum again"
    )


def test_part_of_a_word_can_be_put_right() -> None:
    data = webvtt("so the fuller num's and gin/lym too")
    assert rewrite(data, [Edit(2, 3, "falernum", heard="fuller num")]) == data.replace(b"fuller num", b"falernum")
    edit = Edit(5, 5, "lime", heard="lym")
    assert rewrite(data, [edit]) == data.replace(b"lym", b"lime")
    assert rewrite(rewrite(data, [edit]), [edit]) == data.replace(b"lym", b"lime")


def test_edits_of_another_file_are_refused() -> None:
    with pytest.raises(CaptionError) as caught:
        rewrite(webvtt("so we shake it"), [Edit(1, 2, "falernum", heard="fuller num")])
    assert "'we shake'" in caught.value.what


@pytest.mark.parametrize(
    "edits", [[Edit(3, 4, "x")], [Edit(-1, 0, "x")], [Edit(1, 0, "x")], [Edit(0, 1, "x"), Edit(1, 1, "y")]]
)
def test_edits_that_fit_nowhere_are_refused(edits: list[Edit]) -> None:
    with pytest.raises(CaptionError):
        rewrite(webvtt("so we shake it"), edits)


def test_corrections_are_edits_where_they_are_applied() -> None:
    def correction(first: int, last: int, written: str, applied: bool) -> Correction:
        return Correction(
            heard="fuller num",
            written=written,
            start_s=None,
            end_s=None,
            confidence=1,
            applied=applied,
            first_word=first,
            last_word=last,
        )

    data = webvtt("Fuller num, fuller num")
    made = [correction(0, 1, "falernum", True), correction(2, 3, "falernum", False)]
    assert rewrite(data, made) == webvtt("Falernum, fuller num")


def test_a_transcript_that_was_kept_elsewhere_is_rewritten_too() -> None:
    data = webvtt("so the fuller num").replace(b"\n", b"\r\n")
    file = pickle.loads(pickle.dumps(read_captions(data)))
    assert rewrite(file, [Edit(2, 3, "falernum")]) == data.replace(b"fuller num", b"falernum")
