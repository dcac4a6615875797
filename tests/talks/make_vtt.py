"""Make the caption file of a written talk.

usage: make_vtt.py ID.gold.json [ID.gold.json ...]
       make_vtt.py --text WORDS.txt OUT.vtt [--words 10] [--keep-sentences]

A gold record's script becomes ID.clean.vtt beside it. With --text a plain text (a talk as misheard) becomes OUT.vtt.
Cues last two to four seconds at PACE words a second (a usual speaking pace: common practice, no source) and break where
a captioner's line is full, so a name and its amount often stand in different cues.
"""

from __future__ import annotations

import argparse
import json
import re
from itertools import pairwise
from pathlib import Path

PACE = 2.7  # words a second
PAUSE = 0.35  # seconds after a sentence


def plain(script: str) -> str:
    """The script without its [[marks]]; paragraphs stay apart, a paragraph is one line."""
    text = script.replace("[[", "").replace("]]", "")
    return "\n\n".join(" ".join(p.split()) for p in re.split(r"\n\s*\n", text.strip()))


def stamp(seconds: float) -> str:
    """Seconds as WebVTT writes them, 00:00:00.000."""
    ms = round(seconds * 1000)
    return f"{ms // 3600000:02d}:{ms // 60000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"


def sentences(paragraph: str) -> list[str]:
    """The sentences of a paragraph; the whole of it where it has no stops."""
    return [s for s in re.split(r"(?<=[.!?])\s+", paragraph) if s]


def lines(sentence: str, words: int) -> list[str]:
    """A sentence cut into lines of nearly even length, none longer than `words` words."""
    said = sentence.split()
    n = -(-len(said) // words)
    cuts = [round(k * len(said) / n) for k in range(n + 1)]
    return [" ".join(said[a:b]) for a, b in pairwise(cuts)]


def captions(script: str, *, words: int = 10, across: bool = False) -> str:
    """A WebVTT file of the script. `across`: cues run on over the ends of sentences, as a recogniser leaves them."""
    out, at = ["WEBVTT"], 0.0
    for paragraph in plain(script).split("\n\n"):
        for sentence in [paragraph] if across else sentences(paragraph):
            for line in lines(sentence, words):
                end = at + len(line.split()) / PACE
                out.append(f"{stamp(at)} --> {stamp(end)}\n{line}")
                at = end
            at += PAUSE
    return "\n\n".join(out) + "\n"


def main() -> None:
    """Read the arguments and write the files."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--text", action="store_true", help="the files are a plain text and the caption file to write")
    parser.add_argument("--words", type=int, default=10, help="words in a cue, at most")
    parser.add_argument("--keep-sentences", action="store_true", help="with --text: end a cue where a sentence ends")
    args = parser.parse_args()
    if args.text:
        if len(args.files) != 2:
            parser.error("--text needs the text and the file to write")
        source, target = args.files
        target.write_text(captions(source.read_text(), words=args.words, across=not args.keep_sentences))
        return
    for gold in args.files:
        target = gold.with_name(gold.name.replace(".gold.json", ".clean.vtt"))
        target.write_text(captions(json.loads(gold.read_text())["script"], words=args.words))


if __name__ == "__main__":
    main()
