"""A page served for a test, and headless Chromium to use it with."""

from __future__ import annotations

import contextlib
import http.client
import math
import re
import shutil
import struct
import threading
import wave
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

from extractor.cli.review_job import Reviewing
from extractor.review import Server
from extractor.settle import open_episode

HERE = Path(__file__).parent
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
DRIVER = shutil.which("chromedriver")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--autoplay-policy=no-user-gesture-required",
    "--mute-audio",
)  # fmt: skip
AXE = HERE / "node_modules" / "axe-core" / "axe.min.js"


@dataclass
class Served:
    """A running page. `cookie` and `key` are what a browser would have after opening the address."""

    server: Server
    job: Reviewing
    folder: Path
    captions: Path
    thread: threading.Thread = field(repr=False)

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.server.port}"

    @property
    def root(self) -> str:
        return f"http://{self.host}"

    @property
    def cookie(self) -> str:
        return f"pourword-{self.server.port}={self.server.secrets.cookie}"

    def ask(
        self,
        method: str,
        path: str,
        *,
        headers: dict[str, str | None] | None = None,
        form: dict[str, str] | None = None,
    ) -> tuple[int, dict[str, str], bytes]:
        """A request as the page itself sends it; a header given as None is left out."""
        sent: dict[str, str | None] = {"Host": self.host, "Cookie": self.cookie}
        body = None
        if form is not None:
            body = urlencode({"key": self.server.secrets.form, **form}).encode()
            sent |= {"Origin": self.root, "Content-Type": "application/x-www-form-urlencoded"}
        sent |= headers or {}
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=30)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for key, value in sent.items():
                if value is not None:
                    connection.putheader(key, value)
            if body is not None:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            got = connection.getresponse()
            return got.status, {k.lower(): v for k, v in got.getheaders()}, got.read()
        finally:
            connection.close()


@contextlib.contextmanager
def served(captions: Path, *, recording: Path | None = None) -> Iterator[Served]:
    """The page of a caption file, in a thread of its own; what the user has at home is left out of it."""
    home = captions.parent / "home"
    job = Reviewing(open_episode(captions, folder=home))
    server = Server(job, recording=recording)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield Served(server, job, captions.parent, captions, thread)
    finally:
        server.stop()
        thread.join(10)


def copied(folder: Path, name: str = "porch.vtt") -> Path:
    """A sample in a folder of its own, so that its answers lie there too."""
    return Path(shutil.copy(HERE / name, folder / name))


def tone(path: Path, seconds: int) -> Path:
    """A recording: a tone of so many seconds, one channel of 8 kHz."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8000)
        one = b"".join(struct.pack("<h", int(6000 * math.sin(2 * math.pi * 440 * n / 8000))) for n in range(8000))
        for _ in range(seconds):
            out.writeframes(one)
    return path


def why_no_browser() -> str | None:
    if CHROMIUM is None or DRIVER is None:
        return "no chromium and chromedriver on this machine"
    return None


def words_of(html: str) -> str:
    """The text of markup, blanks drawn together: for looking for words only."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", html))
