"""Any caption file to one run of timed words that know their place in it."""

from __future__ import annotations

from extractor.captions import plain_text, subrip, timed_text, webvtt
from extractor.captions.cues import Reading
from extractor.captions.decode import decode, undecoded
from extractor.captions.file import CaptionFile, caption_file
from extractor.captions.recognise import recognise, refuse


def read_captions(data: bytes, *, path: str | None = None) -> CaptionFile:
    """Read a caption file in any of the six formats, recognised by its content; `path` is only for messages.

    Gives a Transcript: `words` with times in seconds and their places in `source`, the decoded text. What was badly
    formed stands in `notes`, and such a file is `well_formed` False and is never written over.
    Raises CaptionError for a file that is none of the six, saying what was expected and where reading stopped.
    """
    decoded = decode(data)
    source = decoded.text
    kind = recognise(data, source, path)
    reading = _read(kind, source, path)
    if not decoded.exact:
        reading.well_formed = False
        reading.notes.append(f"The file is not sound {decoded.encoding.upper()}; it was read as far as it is.")
    if undecoded(source):
        reading.notes.append("Some bytes are not UTF-8; they are kept, and shown as what they most likely mean.")
    return caption_file(path, source, decoded.encoding, reading)


def _read(kind: str, source: str, path: str | None) -> Reading:
    if kind == "webvtt":
        return webvtt.read(source)
    if kind == "subrip":
        return subrip.read(source)
    if kind == "timed-text":
        return timed_text.read(source)
    if kind == "plain-text":
        return plain_text.read(source)
    raise refuse(f"{kind} cannot be read yet.", path=path)
