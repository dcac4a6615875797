"""Rewriting changes the words that it is to change and no other byte, in files of every format made at random."""

from __future__ import annotations

import re

import pytest
from caption_files import ANY, NEW, Made
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from extractor.captions import Edit, changes, convert, read_captions, rewrite
from extractor.errors import CaptionError
from extractor.record import Transcript

MANY = settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
OPENING = re.compile(r"^[-]?")
CLOSING = re.compile(r"[,.?!…]*$")


def put(old: str, new: str) -> str:
    """The new word where the old one stood: its punctuation and its capital kept."""
    closing = CLOSING.search(old)
    assert closing is not None
    out = new + closing[0]
    return out[0].upper() + out[1:] if old[0].isupper() and out.islower() else out


def skeleton(file: Transcript) -> str:
    """Everything but the words and the space."""
    out, at = [], 0
    places = sorted({(p.offset, p.length) for w in file.words for copy in w.copies for p in copy})
    for offset, length in places:
        out.append(file.source[at:offset])
        at = offset + length
    return "".join("".join([*out, file.source[at:]]).replace("&nbsp;", " ").split())


@MANY
@given(ANY)
def test_every_word_is_read_once_and_knows_its_places(made: Made) -> None:
    file = read_captions(made.data())
    assert file.kind == made.kind
    assert [w.text for w in file.words] == made.words
    assert file.well_formed
    wanted: dict[int, list[str]] = {}
    for part in made.parts:
        if not isinstance(part, str):
            wanted.setdefault(part.word, []).append(part.raw)
    for n, word in enumerate(file.words):
        found = [file.source[p.offset : p.offset + p.length] for copy in word.copies for p in copy]
        assert sorted(found) == sorted(wanted[n])


@MANY
@given(ANY)
def test_times_run_forward_within_a_caption(made: Made) -> None:
    file = read_captions(made.data())
    for word in file.words:
        if word.start_s is not None:
            assert word.end_s is not None
            assert word.start_s <= word.end_s
    for one, two in zip(file.words, file.words[1:], strict=False):
        if one.cue == two.cue and one.start_s is not None and two.start_s is not None and made.kind != "segments":
            assert one.start_s <= two.start_s


@MANY
@given(ANY)
def test_no_edit_no_change(made: Made) -> None:
    data = made.data()
    assert rewrite(data, []) == data
    assert rewrite(read_captions(data), []) == data


@MANY
@given(ANY, st.data())
def test_one_word_for_one_changes_nothing_else(made: Made, data: st.DataObject) -> None:
    file = read_captions(made.data())
    chosen = data.draw(st.sets(st.integers(0, len(made.words) - 1), min_size=1, max_size=4))
    usable = [n for n in chosen if any(c.isalnum() for c in made.words[n])]
    new = {n: put(made.words[n], data.draw(st.sampled_from(NEW))) for n in usable}
    edits = [Edit(n, n, text, heard=made.words[n]) for n, text in new.items()]
    out = rewrite(file, edits)
    assert out == made.data(new)
    assert [w.text for w in read_captions(out).words] == [new.get(n, w) for n, w in enumerate(made.words)]
    assert rewrite(out, edits) == out
    assert [(c.first, c.written) for c in changes(file, edits)] == sorted(
        (n, t) for n, t in new.items() if t != made.words[n]
    )


@MANY
@given(ANY, st.data())
def test_more_or_fewer_words_leave_everything_else(made: Made, data: st.DataObject) -> None:
    file = read_captions(made.data())
    first = data.draw(st.integers(0, len(made.words) - 1))
    last = min(len(made.words) - 1, first + data.draw(st.integers(0, 3)))
    text = " ".join(data.draw(st.lists(st.sampled_from(NEW), min_size=1, max_size=5)))
    edit = Edit(first, last, text, heard=" ".join(made.words[first : last + 1]))
    out = rewrite(file, [edit])
    again = read_captions(out)
    assert (again.kind, again.encoding) == (file.kind, file.encoding)
    if made.kind != "plain-text":  # a paragraph of one word goes with it
        assert again.cues == file.cues
    words = [w.text for w in again.words]
    size = len(text.split())
    assert words[:first] == made.words[:first]
    assert words[first + size :] == made.words[last + 1 :]
    written = "".join(words[first : first + size])
    assert "".join(c for c in written.casefold() if c.isalnum()) == "".join(c for c in text.casefold() if c.isalnum())
    if made.kind != "segments":
        assert skeleton(again) == skeleton(file)
    assert rewrite(out, [edit]) == out
    for word in again.words:
        assert (word.start_s is None) == (word.end_s is None)
        assert word.start_s is None or word.end_s is None or word.start_s <= word.end_s


@MANY
@given(ANY, st.sampled_from(["a --> b", "a\nb", "a\rb", "a\u2028b", "", "  ", "a\0b", "a\x1bb", "a\ud800", "a\u200bb"]))
def test_what_would_break_the_form_is_refused(made: Made, text: str) -> None:
    with pytest.raises(CaptionError) as caught:
        rewrite(made.data(), [Edit(0, 0, text)])
    assert caught.value.hint


@MANY
@given(ANY, st.sampled_from(["webvtt", "subrip"]))
def test_converted_files_have_the_same_words(made: Made, to: str) -> None:
    if made.kind == "plain-text":
        with pytest.raises(CaptionError):
            convert(made.data(), to=to)
        return
    out = read_captions(convert(made.data(), to=to))
    assert out.kind == to
    assert [w.text for w in out.words] == made.words
    before = read_captions(made.data())
    for one, two in zip(before.words, out.words, strict=True):
        assert one.start_s is not None
        assert two.start_s is not None
        cue = before.index.reading.cues[one.cue]
        assert cue.start_s is not None
        assert two.start_s >= cue.start_s - 0.0011
