"""What the caller knows of the video that the captions do not say: its address, its title, its day."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from urllib.parse import urlsplit

from extractor.errors import PublishError

SECOND = "{second}"


@dataclass(frozen=True)
class Video:
    """Anything unknown is None and is not written.

    `url`, `thumbnail_url`: http or https addresses. `second_link`: how a second of it is linked to, with `{second}`
    for the second; by default the temporal fragment of W3C Media Fragments URI 1.0 (`#t=75`), which is added to
    `url`. `published`: the day as YYYY-MM-DD.
    """

    url: str | None = None
    title: str | None = None
    published: str | None = None
    thumbnail_url: str | None = None
    author: str | None = None
    second_link: str | None = None

    def check(self) -> None:
        """Raises PublishError for an address that is none of http or https, and for a day that is no day."""
        for name, url in (("video", self.url), ("thumbnail", self.thumbnail_url), ("link", self.second_link)):
            if url is not None and not _is_web(url):
                raise PublishError(f"The address of the {name} is none that can be linked to: {url!r}", hint=_HINT)
        if self.second_link is not None and SECOND not in self.second_link:
            raise PublishError(
                "The link into the video does not say where the second goes", hint=f"Write {SECOND} there."
            )
        if self.published is not None:
            try:
                datetime.date.fromisoformat(self.published)
            except ValueError:
                raise PublishError(
                    f"{self.published!r} is no day", hint="Write the day of publishing as 2025-03-14."
                ) from None

    def at(self, second: float) -> str | None:
        """The address of a second of the video, rounded down; None where the video has no address."""
        whole = str(max(0, int(second)))
        if self.second_link is not None:
            return self.second_link.replace(SECOND, whole)
        if self.url is None:
            return None
        return f"{self.url.partition('#')[0]}#t={whole}"


_HINT = "Give an address that begins with https:// or http:// and has no spaces in it."


def _is_web(url: str) -> bool:
    try:
        parts = urlsplit(url.replace(SECOND, "0"))
        return (
            parts.scheme in ("http", "https")
            and bool(parts.hostname)
            and not re.search(r"[\s\x00-\x20<>\"\\^`{|}]", url.replace(SECOND, "0"))
        )
    except ValueError:
        return False
