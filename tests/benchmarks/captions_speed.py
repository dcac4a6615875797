"""How fast caption files are read and rewritten, against general caption libraries that only read them.

    python tests/benchmarks/captions_speed.py [CUES]

Each figure is the best of several rounds over a file of 20,000 cues made here. "ratio" is the time that the quickest
caption library takes for reading alone over the time that Pourword takes: 1 or more is as quick. lxml stands beside
them for scale: it knows no captions and reads no times.
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections.abc import Callable

from extractor.captions import Edit, read_captions, rewrite

VOCABULARY = [
    *("the", "a", "gin", "lime", "ounce", "of", "half", "shake", "stir", "we"),
    *("and", "then", "today", "really", "cucumber", "syrup", "falernum", "because", "so"),
]
ROUNDS = 5


def clock(second: float, point: str) -> str:
    ms = round(second * 1000)
    return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}{point}{ms % 1000:03}"


def made(kind: str, cues: int, words: int = 8) -> bytes:
    """A file of captions with two lines each, every tenth with a tag and a reference."""
    rng = random.Random(7)
    out: list[str] = []
    for n in range(cues):
        tokens = rng.choices(VOCABULARY, k=words)
        if n % 10 == 0:
            tokens[1] = f"<i>{tokens[1]}</i>" if kind != "ttml" else f"<span>{tokens[1]}</span>"
            tokens[2] = "&amp;"
        first, last = 2.0 * n, 2.0 * n + 1.9
        half = words // 2
        if kind == "ttml":
            lines = " ".join(tokens[:half]) + "<br/>" + " ".join(tokens[half:])
            out.append(f'<p begin="{clock(first, ".")}" end="{clock(last, ".")}">{lines}</p>')
            continue
        lines = " ".join(tokens[:half]) + "\n" + " ".join(tokens[half:])
        point = "." if kind == "webvtt" else ","
        index = f"{n + 1}\n" if kind == "subrip" else ""
        out.append(f"{index}{clock(first, point)} --> {clock(last, point)}\n{lines}\n")
    if kind == "ttml":
        body = "\n".join(out)
        return f'<tt xmlns="http://www.w3.org/ns/ttml" xml:lang="en"><body><div>\n{body}\n</div></body></tt>'.encode()
    return "\n".join(["WEBVTT\n", *out] if kind == "webvtt" else out).encode()


def best(calls: dict[str, Callable[[], object]], rounds: int = ROUNDS) -> dict[str, float]:
    """The least processor time of each call; they take turns, so that a busy machine slows all of them alike."""
    least = dict.fromkeys(calls, float("inf"))
    for _ in range(rounds):
        for name, call in calls.items():
            gc.collect()
            start = time.process_time()
            call()
            least[name] = min(least[name], time.process_time() - start)
    return least


def libraries(kind: str, data: bytes) -> dict[str, Callable[[], object]]:
    """General libraries that are installed, each reading the file and doing nothing else."""
    text = data.decode()
    out: dict[str, Callable[[], object]] = {}
    try:
        import pysubs2

        name = {"webvtt": "vtt", "subrip": "srt", "ttml": "ttml"}[kind]
        out["pysubs2"] = lambda: pysubs2.SSAFile.from_string(text, format_=name)
    except ImportError:
        pass
    try:
        import webvtt

        if kind == "webvtt":
            out["webvtt-py"] = lambda: webvtt.from_string(text)
    except ImportError:
        pass
    try:
        import srt

        if kind == "subrip":
            out["srt"] = lambda: list(srt.parse(text))
    except ImportError:
        pass
    try:
        import pycaption

        reader = {"webvtt": pycaption.WebVTTReader, "subrip": pycaption.SRTReader, "ttml": None}[kind]
        if reader is not None:  # of TTML it reads a few hundred cues a second
            out["pycaption"] = lambda: reader().read(text)
    except ImportError:
        pass
    try:
        from lxml import etree

        if kind == "ttml":
            tag = "{http://www.w3.org/ns/ttml}p"
            out["lxml (XML, no times)"] = lambda: [
                (p.get("begin"), p.get("end"), "".join(p.itertext())) for p in etree.fromstring(data).iter(tag)
            ]
    except ImportError:
        pass
    return out


def measure(kind: str, cues: int) -> list[tuple[str, float]]:
    data = made(kind, cues)
    count = len(read_captions(data).words)
    edits = [Edit(n, n, "allspice dram") for n in range(50, count, count // 40)]
    assert len(read_captions(rewrite(data, edits)).words) == count + len(edits)
    calls = {f"{name} reads": call for name, call in libraries(kind, data).items()}
    calls["Pourword reads"] = lambda: read_captions(data)
    calls["Pourword reads and rewrites"] = lambda: rewrite(data, edits)
    calls["Pourword reads every word with its times and places"] = lambda: read_captions(data).words
    return list(best(calls).items())


def main() -> None:
    cues = int(sys.argv[1]) if len(sys.argv) > 1 else 20_000
    for kind in ("webvtt", "subrip", "ttml"):
        rows = measure(kind, cues)
        quickest = min((s for name, s in rows if "Pourword" not in name and "lxml" not in name), default=float("nan"))
        print(f"{kind}, {cues} cues")
        for name, second in rows:
            ratio = f"   ratio {quickest / second:.2f}" if "Pourword" in name else ""
            print(f"  {name:52} {cues / second / 1000:7.0f} thousand cues a second{ratio}")


if __name__ == "__main__":
    main()
