"""Any caption file to one run of timed words that know their place in it."""

from __future__ import annotations

from extractor.captions import plain_text, silences, subrip, timed_text, ttml, webvtt
from extractor.captions import segments as json_segments
from extractor.captions.decode import declared, decode, undecoded
from extractor.captions.file import CaptionFile, caption_file
from extractor.captions.labels import take_labels
from extractor.captions.recognise import recognise
from extractor.captions.segments import Segments


def read_captions(data: bytes, *, path: str | None = None) -> CaptionFile:
    """Read a caption file in any of the six formats, recognised by its content; `path` is only for messages.

    Gives a Transcript: `words` with times in seconds and their places in `source`, the decoded text. `notes`
    tell of what was badly formed (such a file is `well_formed` False and is never written over) and of long stretches
    without captions.
    Raises CaptionError for a file that is none of the six, saying what was expected and where reading stopped.
    """
    decoded = decode(data)
    kind = recognise(data, decoded.text, decoded.encoding, path)
    if kind == "ttml":
        decoded = declared(data, decoded)
    return read_text(decoded.text, decoded.encoding, kind, path, exact=decoded.exact)


def read_text(source: str, encoding: str, kind: str, path: str | None, *, exact: bool = True) -> CaptionFile:
    """Read a decoded text whose format is known. `exact`: encoding it gives the very bytes of the file."""
    segments: Segments | None = None
    if kind == "segments":
        segments = json_segments.read(source, path)
        reading = segments.reading
    elif kind == "ttml":
        reading = ttml.read(source, path)
    elif kind == "webvtt":
        reading = webvtt.read(source)
    elif kind == "subrip":
        reading = subrip.read(source)
    elif kind == "timed-text":
        reading = timed_text.read(source)
    else:
        reading = plain_text.read(source)
    if kind not in ("segments", "ttml") and ": " in source:
        reading.labelled = take_labels(source, reading.cues)
    if not exact:
        reading.well_formed = False
        name = encoding.upper()
        reading.notes.append(
            f"As {name}, the text cannot be turned back into the very same bytes: read, never written."
        )
    if undecoded(source):
        reading.notes.append("Some bytes are not UTF-8; they are kept, and shown as what they most likely mean.")
    reading.notes += silences.notes(reading.cues)
    return caption_file(path, source, encoding, reading, segments)
