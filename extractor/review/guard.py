"""Who may ask, checked before anything else is done: Host, Origin, token. And the headers of every answer.

The page is for the person at this machine alone. Another page in the same browser can send requests to it (so Origin
and the key inside each form are checked), can point a name of its own at this address (so Host is), and can read
nothing, having no cookie. Source: the OWASP cheat sheets on cross-site request forgery and on HTTP headers; RFC 6454
(Origin); W3C Content Security Policy Level 3.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; connect-src 'self'; "
    "frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
OUTPUT_POLICY = (
    "sandbox; default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'none'; base-uri 'none'; "
    "frame-ancestors 'self'"
)
"""For a file shown in a frame: it is a page of its own with its style inside, and may do nothing at all."""
# Not `no-referrer`: with that, browsers send `Origin: null` with a form (Fetch, "append a request Origin header").
_HEADERS = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
)


def _secret() -> str:
    return secrets.token_urlsafe(32)


@dataclass(frozen=True)
class Secrets:
    """Three of them, so that what lies in the address is of no use without what lies in the page and in the cookie."""

    address: str = field(default_factory=_secret, repr=False)
    cookie: str = field(default_factory=_secret, repr=False)
    form: str = field(default_factory=_secret, repr=False)


def same(a: str, b: str) -> bool:
    """Compares in constant time."""
    return hmac.compare_digest(a.encode("utf-8", "surrogateescape"), b.encode("utf-8", "surrogateescape"))


class Guard:
    """Wraps the app: refuses, or lets through and puts the headers on."""

    def __init__(self, app: ASGIApp, secrets: Secrets, port: int) -> None:
        self.app = app
        self.secrets = secrets
        self.cookie = f"pourword-{port}"
        self.hosts = (f"127.0.0.1:{port}", f"localhost:{port}")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        refused = self.refuses(scope)
        if refused is not None:
            await _say(send, *refused)
            return
        if self._opens(scope):
            cookie = f"{self.cookie}={self.secrets.cookie}; HttpOnly; SameSite=Strict; Path=/"
            headers = [
                (b"location", b"/"),
                (b"set-cookie", cookie.encode()),
                *_HEADERS,
                (b"cache-control", b"no-store"),
            ]
            await send({"type": "http.response.start", "status": 303, "headers": headers})
            await send({"type": "http.response.body", "body": b""})
            return

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                have = {k.lower() for k, _ in message["headers"]}
                more = [*_HEADERS, (b"content-security-policy", PAGE_POLICY.encode()), (b"cache-control", b"no-store")]
                message["headers"] = [*message["headers"], *((k, v) for k, v in more if k not in have)]
            await send(message)

        await self.app(scope, receive, dressed)

    def refuses(self, scope: Scope) -> tuple[int, str] | None:
        """Status and words of a refusal; None where the request may go on."""
        headers: dict[str, list[str]] = {}
        for key, value in scope["headers"]:
            headers.setdefault(key.decode("latin-1").lower(), []).append(value.decode("latin-1"))
        hosts = headers.get("host", [])
        if len(hosts) != 1 or hosts[0].lower() not in self.hosts:
            return 421, "This page answers under its own address only."
        asks = scope["method"] in ("GET", "HEAD")
        origins = headers.get("origin", [])
        if len(origins) > 1 or any(o.lower() != f"http://{hosts[0].lower()}" for o in origins):
            return 403, "Another page asked for this."
        if not asks and not origins:
            return 403, "It is not said which page asks for this."
        if headers.get("sec-fetch-site", ["none"])[0].lower() not in ("same-origin", "none"):
            return 403, "Another page asked for this."
        if self._opens(scope) or self._has_cookie(headers.get("cookie", [])):
            return None
        return 403, "The address is not whole: open the one that the terminal shows."

    def _opens(self, scope: Scope) -> bool:
        """Whether this is the address that the terminal shows."""
        if scope["method"] != "GET" or scope["path"] != "/":
            return False
        key = parse_qs(scope["query_string"].decode("latin-1")).get("key", [])
        return len(key) == 1 and same(key[0], self.secrets.address)

    def _has_cookie(self, lines: list[str]) -> bool:
        for line in lines:
            try:
                found = SimpleCookie(line).get(self.cookie)
            except CookieError:
                continue
            if found is not None and same(found.value, self.secrets.cookie):
                return True
        return False


async def _say(send: Send, status: int, words: str) -> None:
    headers = [
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-security-policy", b"default-src 'none'; frame-ancestors 'none'"),
        (b"cache-control", b"no-store"),
        *_HEADERS,
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": words.encode()})
