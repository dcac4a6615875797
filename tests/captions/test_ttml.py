"""TTML: times by the standard, content and nothing else, and the same text as a general XML library finds.

Source of the times: W3C, Timed Text Markup Language 2 (TTML2), 12.3.1 (time expressions), 7.2 (parameters).
"""

from __future__ import annotations

import pytest
from caption_files import Made, ttml_files
from hypothesis import given, settings
from lxml import etree

from extractor.captions import read_captions
from extractor.errors import CaptionError

NAMESPACE = "http://www.w3.org/ns/ttml"
PARAMETER = "http://www.w3.org/ns/ttml#parameter"


def document(body: str, attributes: str = "") -> bytes:
    return f'<tt xmlns="{NAMESPACE}" xmlns:ttp="{PARAMETER}" {attributes}><body><div>{body}</div></body></tt>'.encode()


def times(body: str, attributes: str = "") -> list[tuple[float | None, float | None]]:
    return [(c.start_s, c.end_s) for c in read_captions(document(body, attributes)).index.reading.cues]


@pytest.mark.parametrize(
    ("written", "second"),
    [
        ("00:00:01.500", 1.5),
        ("01:00:00", 3600),
        ("00:00:01.5", 1.5),
        ("100:00:00.000", 360000),
        ("1.5s", 1.5),
        ("1500ms", 1.5),
        ("0.5m", 30),
        ("2h", 7200),
        ("00:00:01:15", 1.5),  # frames, 30 a second unless the document says otherwise
        ("45f", 1.5),
        ("3t", 3),  # ticks, one a second unless it says otherwise
    ],
)
def test_time_expressions(written: str, second: float) -> None:
    assert times(f'<p begin="{written}" end="900h">x</p>') == [(second, 3240000)]


def test_rates_of_frames_and_ticks() -> None:
    assert times('<p begin="25f" end="00:00:02:10">x</p>', 'ttp:frameRate="25"') == [(1, 2.4)]
    multiplied = 'ttp:frameRate="30" ttp:frameRateMultiplier="1000 1001"'
    assert times('<p begin="30f" end="300f">x</p>', multiplied) == [(1.001, 10.01)]
    assert times('<p begin="10000000t" end="25000000t">x</p>', 'ttp:tickRate="10000000"') == [(1, 2.5)]


def test_times_count_from_the_parents_begin_and_end_with_it() -> None:
    body = '<body begin="10s" end="14s"><div begin="1s"><p begin="1s" end="9s">x</p></div></body>'
    text = f'<tt xmlns="{NAMESPACE}">{body}</tt>'
    cues = read_captions(text.encode()).index.reading.cues
    assert [(c.start_s, c.end_s) for c in cues] == [(12, 14)]


def test_durations_and_paragraphs_in_sequence() -> None:
    assert times('<p begin="2s" dur="3s">x</p>') == [(2, 5)]
    body = '<body><div timeContainer="seq"><p dur="2s">a</p><p begin="1s" dur="2s">b</p></div></body>'
    text = f'<tt xmlns="{NAMESPACE}">{body}</tt>'
    assert [(c.start_s, c.end_s) for c in read_captions(text.encode()).index.reading.cues] == [(0, 2), (3, 5)]


def test_a_time_that_is_none_is_told_and_read_as_far_as_can_be() -> None:
    file = read_captions(document('<p begin="1:05,5" end="70">x</p><p begin="soon" end="80s">y</p>'))
    assert [c.start_s for c in file.index.reading.cues] == [65.5, 0]
    assert len(file.notes) == 3


def test_words_of_spans_with_times() -> None:
    words = read_captions(
        document('<p begin="10s" end="14s"><span begin="0s" end="1s">two</span> <span begin="2s">ounces</span></p>')
    ).words
    assert [(w.text, w.start_s, w.end_s) for w in words] == [("two", 10, 11), ("ounces", 12, 14)]


def test_spans_whose_times_count_from_the_start_of_the_recording() -> None:
    words = read_captions(
        document('<p begin="10s" end="14s"><span begin="10s" end="11s">two</span> <span begin="12s">ounces</span></p>')
    ).words
    assert [(w.text, w.start_s) for w in words] == [("two", 10), ("ounces", 12)]


def test_only_content_is_spoken() -> None:
    body = '<p begin="1s">a<metadata>not this</metadata><x xmlns="urn:y">nor this</x> b<!-- nor this --><br/>c</p>'
    assert [w.text for w in read_captions(document(body)).words] == ["a", "b", "c"]


def test_agents_are_speakers() -> None:
    text = (
        f'<tt xmlns="{NAMESPACE}" xmlns:m="{NAMESPACE}#metadata"><head><metadata><m:agent xml:id="a" type="person">'
        '<m:name type="full">Ann Lee</m:name></m:agent></metadata></head><body><div>'
        '<p begin="1s" end="2s" m:agent="a">so <span m:agent="b">no</span> yes</p></div></body></tt>'
    )
    assert [(w.text, w.speaker) for w in read_captions(text.encode()).words] == [
        *(("so", "Ann Lee"), ("no", "b"), ("yes", "Ann Lee")),
    ]


@pytest.mark.parametrize("namespace", ["http://www.w3.org/2006/10/ttaf1", "http://www.w3.org/2006/04/ttaf1", ""])
def test_older_namespaces(namespace: str) -> None:
    text = f'<tt xmlns="{namespace}"><body><div><p begin="1s" end="2s">x</p></div></body></tt>'
    assert [w.text for w in read_captions(text.encode()).words] == ["x"]


def test_a_document_that_breaks_off_is_read_up_to_there() -> None:
    whole = document('<p begin="1s" end="2s">a</p>\n<p begin="3s" end="4s">b</p>\n<p begin="5s" end="6s">c</p>')
    file = read_captions(whole[: whole.index(b"c</p>")])
    assert [w.text for w in file.words] == ["a", "b"]
    assert not file.well_formed
    assert "Line 3" in file.notes[0]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('<?xml version="1.0"?>\n<svg/>', 2),
        ("<html>\n<p>x</p></html>", 1),
        ("<tt>\n<p", 2),
        ('<!DOCTYPE tt [\n<!ENTITY a "b">]>\n<tt><body><div><p begin="1s">&a;</p></div></body></tt>', 2),
    ],
)
def test_other_xml_is_refused(text: str, line: int) -> None:
    with pytest.raises(CaptionError) as caught:
        read_captions(text.encode(), path="x.xml")
    assert caught.value.where is not None
    assert (caught.value.where.file, caught.value.where.line) == ("x.xml", line)


def test_an_old_encoding_that_the_document_names() -> None:
    text = '<?xml version="1.0" encoding="ISO-8859-1"?>' + document('<p begin="1s" end="2s">café</p>').decode()
    file = read_captions(text.encode("latin-1"))
    assert [w.text for w in file.words] == ["café"]
    assert file.well_formed
    japanese = text.replace("ISO-8859-1", "Shift_JIS").replace("café", "ラム")
    file = read_captions(japanese.encode("shift_jis"))
    assert [w.text for w in file.words] == ["ラム"]
    assert not file.well_formed


def text_of(element: etree._Element) -> str:
    if not isinstance(element.tag, str):
        return ""
    out = "\n" if element.tag == f"{{{NAMESPACE}}}br" else element.text or ""
    return out + "".join(text_of(e) + (e.tail or "") for e in element)


@settings(max_examples=200, deadline=None)
@given(ttml_files())
def test_the_same_text_as_a_general_library_finds(made: Made) -> None:
    """lxml: all text inside each paragraph, a line break for each br."""
    data = made.data()
    root = etree.fromstring(data)
    theirs = [(p.get("begin"), text_of(p).split()) for p in root.iter(f"{{{NAMESPACE}}}p")]
    assert read_captions(data).index.tokens == [words for _, words in theirs]
