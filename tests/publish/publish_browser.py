"""Headless Chromium for the tests of the cards: printing, and measuring at the width of a phone."""

from __future__ import annotations

import html
import json
import re
import shutil
import subprocess
from pathlib import Path

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)

MEASURE = """
<script>
addEventListener("load", () => {
  const out = [];
  for (const frame of document.querySelectorAll("iframe")) {
    const page = frame.contentDocument, width = frame.clientWidth;
    const over = [];
    for (const e of page.body.querySelectorAll("*")) {
      const box = e.getBoundingClientRect();
      if (box.right > width + 0.5 || box.left < -0.5) over.push(e.tagName + " " + (e.textContent || "").slice(0, 40));
    }
    const texts = [...page.querySelectorAll("svg text")].map(t => {
      const b = t.getBBox(); return [b.x, b.y, b.x + b.width, b.y + b.height];
    });
    const svg = page.querySelector("svg");
    out.push({ width, scroll: page.documentElement.scrollWidth, over, texts,
      box: svg ? svg.getAttribute("viewBox").split(" ").map(Number) : null });
  }
  const pre = document.createElement("pre");
  pre.id = "measured"; pre.textContent = JSON.stringify(out);
  document.body.append(pre);
});
</script>
"""


def _run(arguments: list[str], folder: Path) -> str:
    assert CHROMIUM is not None
    done = subprocess.run(
        [CHROMIUM, *FLAGS, f"--user-data-dir={folder / 'profile'}", *arguments],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return done.stdout


def print_pages(page: str, folder: Path) -> bytes:
    """The PDF that printing the page gives."""
    (folder / "card.html").write_text(page, encoding="utf-8")
    out = folder / "card.pdf"
    _run(["--no-pdf-header-footer", f"--print-to-pdf={out}", f"file://{folder / 'card.html'}"], folder)
    return out.read_bytes()


def measure(page: str, folder: Path, widths: tuple[int, ...]) -> list[dict[str, object]]:
    """What of the page lies outside of a window of each width, and where the labels of its picture lie."""
    frames = "".join(
        f'<iframe srcdoc="{html.escape(page)}" style="width:{w}px;height:600px;border:0"></iframe>' for w in widths
    )
    (folder / "frames.html").write_text(f"<!DOCTYPE html><body>{frames}{MEASURE}", encoding="utf-8")
    dumped = _run(["--virtual-time-budget=4000", "--dump-dom", f"file://{folder / 'frames.html'}"], folder)
    found = re.search(r'<pre id="measured">(.*?)</pre>', dumped, re.DOTALL)
    assert found is not None, dumped[-2000:]
    measured: list[dict[str, object]] = json.loads(html.unescape(found[1]))
    return measured
