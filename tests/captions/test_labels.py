"""Who speaks, where captions begin with a name and a colon (sendrec/sendrec#158, onyx-dot-app/onyx#14861)."""

from __future__ import annotations

from extractor.captions import Edit, convert, read_captions, rewrite


def webvtt(*texts: str) -> bytes:
    cues = [f"{n}\n00:{n:02}.000 --> 00:{n + 1:02}.000\n{text}\n" for n, text in enumerate(texts)]
    return "\n".join(["WEBVTT\n", *cues]).encode()


MEETING = webvtt(
    "Ann Lee: so two ounces", "Ann Lee: of fuller", "Bo: nice", "Bo: and then", "Ann Lee: num", "Bo: go on"
)


def test_names_are_speakers_and_no_words() -> None:
    words = read_captions(MEETING).words
    assert " ".join(w.text for w in words) == "so two ounces of fuller nice and then num go on"
    assert [(w.text, w.speaker) for w in words if w.paragraph] == [
        *(("so", "Ann Lee"), ("nice", "Bo"), ("num", "Ann Lee"), ("go", "Bo")),
    ]


def test_names_stay_in_the_file() -> None:
    assert rewrite(MEETING, [Edit(4, 4, "falernum")]) == MEETING.replace(b"fuller", b"falernum")
    assert b"Ann Lee: so two ounces\n" in convert(MEETING, to="subrip")
    assert b"<v Ann Lee>so two ounces\n" in convert(convert(MEETING, to="subrip"), to="webvtt")


def test_a_colon_in_talk_is_talk() -> None:
    data = webvtt(
        "Step one: we shake", "And then: we pour", "Note: it is cold", "so that is it", "Cheers: to you", "all"
    )
    assert [w.text for w in read_captions(data).words][:2] == ["Step", "one:"]
    assert {w.speaker for w in read_captions(data).words} == {None}
