"""Who may ask. Sources: OWASP cheat sheet "Cross-Site Request Forgery Prevention" (token and Origin), RFC 6454
(Origin), RFC 9110 7.2 (Host) and 14 (ranges), W3C Content Security Policy Level 3."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from review_kit import Served

from extractor.errors import PourwordError
from extractor.review import Server

GETS = ("/", "/parts", "/part/talk", "/part/publish", "/output?path=description.txt", "/static/page.css", "/recording")
POSTS = ("/answer", "/edit", "/undo", "/publish", "/stop")


@pytest.mark.parametrize("path", [*GETS, "/?key=wrong", "/?key=", "/nothing"])
def test_without_the_cookie_nothing_is_told(page: Served, path: str) -> None:
    status, _, body = page.ask("GET", path, headers={"Cookie": None})
    assert status == 403
    assert b"Ferry" not in body


def test_the_address_gives_the_cookie_and_takes_the_token_out_of_the_address(page: Served) -> None:
    path = page.server.address.removeprefix(page.root)
    status, headers, _ = page.ask("GET", path, headers={"Cookie": None})
    assert (status, headers["location"]) == (303, "/")
    assert page.cookie in headers["set-cookie"]
    assert "HttpOnly" in headers["set-cookie"]
    assert "SameSite=Strict" in headers["set-cookie"]
    assert page.ask("GET", "/")[0] == 200
    assert page.server.secrets.address not in page.cookie


@pytest.mark.parametrize(
    "cookie", ["pourword-{port}=", "pourword-{port}=x", "pourword-1={cookie}", "pourword-{port}={address}"]
)
def test_another_cookie_is_refused(page: Served, cookie: str) -> None:
    s = page.server
    made = cookie.format(port=s.port, cookie=s.secrets.cookie, address=s.secrets.address)
    assert page.ask("GET", "/", headers={"Cookie": made})[0] == 403


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", None]
)
def test_another_host_is_refused(page: Served, host: str | None) -> None:
    for path in ("/", page.server.address.removeprefix(page.root)):
        status, headers, _ = page.ask("GET", path, headers={"Host": host and host.format(port=page.server.port)})
        # 400: without a Host the request is none at all (RFC 9110, 7.2).
        assert status == (421 if host else 400) or (host is None and status == 421)
        assert "set-cookie" not in headers


@pytest.mark.parametrize("path", POSTS)
@pytest.mark.parametrize(
    "origin",
    ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://localhost:{port}", "http://127.0.0.1:1", None],
)
def test_another_origin_changes_nothing(page: Served, path: str, origin: str | None) -> None:
    form = {"id": "amount-missing/2/lemon-juice", "given": "1 ounce"}
    sent = origin and origin.format(port=page.server.port)
    assert page.ask("POST", path, form=form, headers={"Origin": sent})[0] == 403
    assert not page.job.answers_file.exists()
    assert page.ask("GET", "/")[0] == 200


def test_a_form_of_another_page_is_refused(page: Served) -> None:
    form = {"id": "amount-missing/2/lemon-juice", "given": "1 ounce"}
    for key in ("", "x", page.server.secrets.cookie, page.server.secrets.address):
        assert page.ask("POST", "/answer", form={**form, "key": key})[0] == 400
    assert page.ask("POST", "/answer", form=form, headers={"Sec-Fetch-Site": "cross-site"})[0] == 403
    assert not page.job.answers_file.exists()
    assert page.ask("POST", "/answer", form=form)[0] == 200
    assert page.job.answers_file.exists()


def test_a_form_that_is_too_long_is_refused(page: Served) -> None:
    assert page.ask("POST", "/answer", form={"id": "x", "given": "a" * 70_000})[0] == 400


OUTSIDE = (
    "/static/../app.py", "/static/..%2fapp.py", "/static/%2e%2e/app.py", "/static//etc/passwd", "//etc/passwd",
    "/output?path=../porch.vtt", "/output?path=/etc/passwd", "/output?path=..%2f..%2fetc%2fpasswd", "/porch.vtt",
    "/recording/../porch.vtt", "/recording?path=/etc/passwd", "/templates/page.html",
)  # fmt: skip


@pytest.mark.parametrize("path", OUTSIDE)
def test_no_other_file_can_be_reached(page: Served, path: str) -> None:
    assert page.ask("GET", path)[0] == 404


def test_every_answer_says_what_may_be_loaded(page: Served) -> None:
    for path in GETS:
        _, headers, _ = page.ask("GET", path)
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe-inline" not in policy or "sandbox" in policy
        assert "unsafe-eval" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"
        assert "access-control-allow-origin" not in headers
    _, headers, card = page.ask("GET", "/output?path=cards/slow-ferry.html")
    assert headers["content-security-policy"].startswith("sandbox;")
    assert b"Slow Ferry" in card


def test_the_page_has_nothing_in_line_and_nothing_from_outside(page: Served) -> None:
    html = page.ask("GET", "/")[2].decode()
    assert re.findall(r"<script(?![^>]*\bsrc=)", html) == []
    assert re.findall(r"<style|\sstyle=|\son[a-z]+=", html) == []
    outside = [u for u in re.findall(r"(?:src|href|action)=\"([^\"]*)\"", html) if not re.match(r"/(?!/)|#", u)]
    assert outside == []
    for name in ("page.css", "page.js"):
        code = page.ask("GET", f"/static/{name}")[2].decode()
        assert re.findall(r"https?://|@import|url\(", code) == []


def test_it_listens_on_this_machine_only(page: Served) -> None:
    assert page.server._socket.getsockname()[0] == "127.0.0.1"


def test_a_port_that_is_taken_is_said_in_words(page: Served) -> None:
    with pytest.raises(PourwordError, match="Port"):
        Server(page.job, port=page.server.port)


def test_a_recording_that_is_not_there_is_said_in_words(page: Served, tmp_path: Path) -> None:
    with pytest.raises(PourwordError, match="recording"):
        Server(page.job, recording=tmp_path / "none.mp4")


def test_parts_of_the_recording_are_sent_when_asked_for(heard: Served) -> None:
    data = (heard.folder / "porch.wav").read_bytes()
    status, headers, body = heard.ask("GET", "/recording", headers={"Range": "bytes=320000-320999"})
    assert status == 206
    assert headers["content-range"] == f"bytes 320000-320999/{len(data)}"
    assert headers["accept-ranges"] == "bytes"
    assert body == data[320000:321000]
    assert heard.ask("GET", "/recording", headers={"Range": "bytes=-100"})[2] == data[-100:]
    assert heard.ask("GET", "/recording", headers={"Range": f"bytes={len(data)}-"})[0] == 416
    assert heard.ask("GET", "/recording")[2] == data


def test_stop_stops_and_says_where_the_answers_are(page: Served) -> None:
    status, _, body = page.ask("POST", "/stop", form={})
    assert status == 200
    assert str(page.job.answers_file) in body.decode()
    page.thread.join(10)
    assert not page.thread.is_alive()


def test_what_the_parts_say_is_the_revision_of_the_file(page: Served) -> None:
    assert json.loads(page.ask("GET", "/parts?have=0")[2])["kind"] == "same"
    assert page.ask("POST", "/answer", form={"id": "amount-missing/2/lemon-juice", "given": "1 ounce"})[0] == 200
    got = json.loads(page.ask("GET", "/parts?have=0")[2])
    assert (got["kind"], got["revision"]) == ("parts", 1)


def test_an_answers_file_that_was_spoilt_is_said_in_words_and_left_alone(page: Served) -> None:
    page.job.answers_file.write_text("not an answers file\n", encoding="utf-8")
    for headers in ({}, {"X-Part": "1"}):
        status, _, body = page.ask("GET", "/parts?have=0", headers=dict(headers))
        assert status == 409
        assert body
    form = {"id": "amount-missing/2/lemon-juice", "given": "1 ounce"}
    assert page.ask("POST", "/answer", form=form)[0] == 409
    assert page.job.answers_file.read_text(encoding="utf-8") == "not an answers file\n"
    page.job.answers_file.unlink()
    assert page.ask("POST", "/answer", form=form)[0] == 200


def test_without_a_script_forms_are_sent_and_answered_as_pages(page: Served) -> None:
    form = {"id": "amount-missing/2/lemon-juice", "given": "1 ounce", "seen": "0"}
    status, headers, body = page.ask("POST", "/answer", form=form)
    assert (status, headers["content-type"]) == (200, "text/html; charset=utf-8")
    assert b"1 must be answered" in body
    status, _, body = page.ask("POST", "/answer", form={**form, "given": "a good deal", "seen": "1"})
    assert status == 422
    assert b"a good deal" in body
    assert b"1 must be answered" in body
