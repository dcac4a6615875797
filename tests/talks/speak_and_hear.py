"""Speak the written talks with a synthetic voice and write down what a general speech recogniser hears.

usage: speak_and_hear.py MODEL ID.gold.json [ID.gold.json ...]

Makes ID.recognised.vtt beside each gold record. Needs, beside what the tests need: the commands flite and sox, the
library faster-whisper, and MODEL, a folder with a Whisper model in the form that faster-whisper reads. Those in this
folder were made with Whisper tiny.en (8-bit, beam of five). The voice is one of flite's, chosen by the id.
"""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from make_vtt import plain, stamp

VOICES = ("awb", "rms", "slt")
LONGEST = 16  # words of a caption
COMMA_FROM = 12  # words from which a comma ends a caption


def voice(name: str) -> str:
    """Always the same voice for the same talk."""
    return VOICES[int(hashlib.md5(name.encode(), usedforsecurity=False).hexdigest(), 16) % len(VOICES)]


def speak(script: str, who: str, out: Path) -> None:
    """The script as one sound file, a paragraph at a time, 16 kHz."""
    parts = []
    for number, paragraph in enumerate(p for p in plain(script).split("\n\n") if p):
        text, sound = out.with_name(f"{number}.txt"), out.with_name(f"{number}.wav")
        text.write_text(paragraph, encoding="utf-8")
        subprocess.run(["flite", "-voice", who, "-f", str(text), "-o", str(sound)], check=True)
        parts.append(str(sound))
    subprocess.run(["sox", *parts, "-r", "16000", "-c", "1", str(out), "pad", "0", "0.4"], check=True)


def cues(segments: Any) -> list[list[Any]]:
    """The recogniser's words, cut where a sentence ends or a line is full."""
    out: list[list[Any]] = []
    for segment in segments:
        line: list[Any] = []
        for word in segment.words:
            line.append(word)
            ends = re.search(r"[.!?]$", word.word) and not re.fullmatch(r"\s*\d+\.", word.word)
            if ends or len(line) >= LONGEST or (len(line) >= COMMA_FROM and word.word.endswith(",")):
                out.append(line)
                line = []
        if line:
            out.append(line)
    return out


def main(model: str, golds: list[str]) -> None:
    from faster_whisper import WhisperModel  # type: ignore[import-not-found, import-untyped, unused-ignore]

    recogniser = WhisperModel(model, device="cpu", compute_type="int8")
    for gold in map(Path, golds):
        name = gold.name.removesuffix(".gold.json")
        script = json.loads(gold.read_text(encoding="utf-8"))["script"]
        with tempfile.TemporaryDirectory() as folder:
            sound = Path(folder) / "talk.wav"
            speak(script, voice(name), sound)
            segments, _ = recogniser.transcribe(
                str(sound), language="en", beam_size=5, condition_on_previous_text=False, word_timestamps=True
            )
            blocks = [
                f"{stamp(c[0].start)} --> {stamp(c[-1].end)}\n{''.join(w.word for w in c).strip()}"
                for c in cues(segments)
            ]
        text = "\n\n".join(["WEBVTT", *blocks]) + "\n"
        gold.with_name(f"{name}.recognised.vtt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    if len(sys.argv) < 3:
        raise SystemExit(__doc__)
    main(sys.argv[1], sys.argv[2:])
