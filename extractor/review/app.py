"""The routes. Each reads the answers file as it is at that moment; each change is in it before the answer goes out."""

from __future__ import annotations

import mimetypes
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from secrets import token_hex
from threading import Lock
from urllib.parse import parse_qs

from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import Route

from extractor.errors import PourwordError
from extractor.review.drink import DrinkSheet
from extractor.review.guard import OUTPUT_POLICY, Secrets, same
from extractor.review.job import Job, Kept, Meanwhile, Previews, Refused
from extractor.review.marks import Places
from extractor.review.outputs import media_type
from extractor.review.page import VIEWS, View, render

LARGEST_FORM = 64 * 1024
"""Bytes."""
MOST_FIELDS = 2000
PARTS = ("count", "ask", "drinks")
"""What is sent anew after each change; the talk and the outputs follow only where they are looked at."""
STATIC = {"page.css": "text/css", "page.js": "text/javascript", "mark.svg": "image/svg+xml"}


class BadForm(Exception):
    """A form that this page did not make."""


def make_app(job: Job, secrets: Secrets, *, recording: Path | None, stop: Callable[[], None]) -> Starlette:
    pages = Pages(job, secrets, recording, stop)
    routes = [
        Route("/", pages.page, methods=["GET"]),
        Route("/parts", pages.parts, methods=["GET"]),
        Route("/part/talk", pages.talk, methods=["GET"]),
        Route("/part/publish", pages.outputs, methods=["GET"]),
        Route("/output", pages.output, methods=["GET"]),
        Route("/recording", pages.play, methods=["GET"]),
        Route("/static/{name}", pages.static, methods=["GET"]),
        Route("/answer", pages.change, methods=["POST"]),
        Route("/edit", pages.change, methods=["POST"]),
        Route("/undo", pages.change, methods=["POST"]),
        Route("/publish", pages.publish, methods=["POST"]),
        Route("/stop", pages.stop, methods=["POST"]),
    ]
    return Starlette(routes=routes, exception_handlers={BadForm: _bad_form, PourwordError: _trouble})


async def _bad_form(_: Request, error: Exception) -> Response:
    return PlainTextResponse(str(error), status_code=400)


async def _trouble(request: Request, error: Exception) -> Response:
    """What cannot be gone on from, in words: an answers file that was spoilt by hand, a full disk."""
    assert isinstance(error, PourwordError)
    if "x-part" in request.headers:
        return JSONResponse({"kind": "trouble", "message": f"{error.what}. {error.hint}"}, status_code=409)
    return HTMLResponse(render("trouble.html", error=error), status_code=409)


class Pages:
    def __init__(self, job: Job, secrets: Secrets, recording: Path | None, stop: Callable[[], None]) -> None:
        self.job, self.secrets, self.recording, self.stop_server = job, secrets, recording, stop
        self.lock = Lock()
        self.places = Places(job.talk)
        self.previews: tuple[int, Previews] | None = None
        self.talk_html: tuple[str, str] = ("", "")
        self.sheets: dict[DrinkSheet, str] = {}
        self.seen_here = token_hex(16)
        self.assets = {name: files("extractor.review").joinpath("static", name).read_bytes() for name in STATIC}

    # ------------------------------------------------------------------------------------------------ showing

    def view(self, question: str | None = None) -> View:
        return View(self.job, self.places, self.job.state(), question=question)

    def values(self, view: View) -> dict[str, object]:
        kind = (mimetypes.guess_type(self.recording.name)[0] or "") if self.recording is not None else ""
        return {
            "v": view, "job": self.job, "key": self.secrets.form, "seen": view.state.revision,
            "recording": None if self.recording is None else "audio" if kind.startswith("audio/") else "video",
        }  # fmt: skip

    def part(self, name: str, view: View) -> str:
        if name == "talk":
            version = view.talk_version
            if self.talk_html[0] != version:
                self.talk_html = version, render("talk.html", **self.values(view))
            return self.talk_html[1]
        if name == "publish":
            return render("publish.html", o=view.outputs(self.looked(view)), **self.values(view))
        if name == "drinks":
            return self.drinks(view)
        return render(f"{name}.html", **self.values(view))

    def drinks(self, view: View) -> str:
        """Only the sheets that changed are made anew. The revision stands in each of their forms and is put in last."""
        from markupsafe import Markup

        values, kept = {**self.values(view), "seen": self.seen_here}, self.sheets
        self.sheets = {d: kept.get(d) or render("sheet.html", d=d, **values) for d in view.drinks}
        made = render("drinks.html", sheet_of=lambda d: Markup(self.sheets[d]), **values)
        return made.replace(self.seen_here, str(view.state.revision))

    def looked(self, view: View) -> Previews:
        """The files as they would be now, made once a revision."""
        if self.previews is None or self.previews[0] != view.state.revision:
            self.previews = view.state.revision, self.job.previews()
        return self.previews[1]

    def whole(self, view: View, *, shown: str = "talk", said: str = "", bad: bool = False) -> Response:
        from markupsafe import Markup

        parts = {name: Markup(self.part(name, view)) for name in (*PARTS, "talk")}
        parts["publish"] = Markup(self.part("publish", view)) if shown == "publish" else Markup("")
        page = render("page.html", parts=parts, shown=shown, said=said, bad=bad, **self.values(view))
        return HTMLResponse(page, status_code=422 if bad else 200)

    def some(self, view: View, **more: object) -> dict[str, object]:
        return {
            "revision": view.state.revision, "talk": view.talk_version,
            "regions": {name: self.part(name, view) for name in PARTS}, **more,
        }  # fmt: skip

    async def page(self, request: Request) -> Response:
        shown = request.query_params.get("view", "")

        def make() -> Response:
            with self.lock:
                view = self.view(request.query_params.get("q"))
                return self.whole(view, shown=shown if shown in VIEWS else "questions")

        return await run_in_threadpool(make)

    async def parts(self, request: Request) -> Response:
        """What changed since `have`, for a tab that comes back to the front, or another question."""
        have, wanted = request.query_params.get("have"), request.query_params.get("q")

        def make() -> Response:
            with self.lock:
                view = self.view(wanted)
                if have == str(view.state.revision):
                    return JSONResponse({"revision": view.state.revision, "kind": "same"})
                return JSONResponse(self.some(view, kind="parts", question=view.at_hand.id if view.at_hand else None))

        return await run_in_threadpool(make)

    async def talk(self, _: Request) -> Response:
        def make() -> Response:
            with self.lock:
                view = self.view()
                return HTMLResponse(self.part("talk", view), headers={"x-version": view.talk_version})

        return await run_in_threadpool(make)

    async def outputs(self, _: Request) -> Response:
        def make() -> Response:
            with self.lock:
                return HTMLResponse(self.part("publish", self.view()))

        return await run_in_threadpool(make)

    async def output(self, request: Request) -> Response:
        """One of the files that would be written, from memory: the path is a name in that list and nothing else."""
        path = request.query_params.get("path", "")

        def make() -> Response:
            with self.lock:
                data = self.looked(self.view()).files.get(path)
            if data is None:
                return PlainTextResponse("There is no such file.", status_code=404)
            headers = {"content-security-policy": OUTPUT_POLICY}
            return Response(data, media_type=media_type(path), headers=headers)

        return await run_in_threadpool(make)

    async def play(self, _: Request) -> Response:
        if self.recording is None or not self.recording.is_file():
            return PlainTextResponse("There is no recording.", status_code=404)
        # Kept by the browser while the page is open, so that a loop is not sent again and again.
        return FileResponse(self.recording, headers={"cache-control": "private, max-age=3600"})

    async def static(self, request: Request) -> Response:
        name = request.path_params["name"]
        if name not in STATIC:
            return PlainTextResponse("There is no such file.", status_code=404)
        return Response(self.assets[name], media_type=STATIC[name], headers={"cache-control": "private, max-age=3600"})

    # ------------------------------------------------------------------------------------------------ changing

    async def form(self, request: Request) -> dict[str, str]:
        data = b""
        async for piece in request.stream():
            data += piece
            if len(data) > LARGEST_FORM:
                raise BadForm("That is too long.")
        try:
            found = parse_qs(data.decode("ascii"), keep_blank_values=True, errors="replace", max_num_fields=MOST_FIELDS)
        except (UnicodeDecodeError, ValueError):
            raise BadForm("That is no form of this page.") from None
        fields = {key: values[0] for key, values in found.items()}
        fields["as_heard"] = " ".join(found.get("as_heard", ()))
        if not same(fields.get("key", ""), self.secrets.form):
            raise BadForm("This page was made before the program was started anew: open the new address.")
        return fields

    async def change(self, request: Request) -> Response:
        fields = await self.form(request)
        return await run_in_threadpool(self._change, request.url.path, fields, "x-part" in request.headers)

    def _change(self, path: str, fields: dict[str, str], part: bool) -> Response:
        with self.lock:
            before = self.view(fields.get("id"))
            ahead = [q.id for q in before.questions[before.place + 1 :]]
            got = self._do(path, fields)
            bad = isinstance(got, Refused | Meanwhile)
            if isinstance(got, Refused):
                kind, said = "refused", f"{got.why.rstrip('.')}. {got.hint}"
            elif isinstance(got, Meanwhile):
                who = got.by or "somebody"
                kind = "meanwhile"
                said = f"Not saved: meanwhile {who} answered “{got.given}”. Send yours again to put it in its place."
            elif got is None:
                kind, said = "ok", "There is nothing to take back."
            else:
                kind, said = "ok", got.said
            after = self.view(self._next(path, fields, ahead, bad, got))
            if not part:
                shown = {"/answer": "questions", "/edit": "drinks"}.get(path, "questions")
                return self.whole(after, shown=shown, said=said, bad=bad)
            if kind == "refused":
                return JSONResponse({"kind": kind, "message": said, "revision": after.state.revision})
            hand = after.at_hand
            return JSONResponse(self.some(after, kind=kind, message=said, question=hand.id if hand else None))

    def _next(self, path: str, fields: dict[str, str], ahead: list[str], bad: bool, got: object) -> str | None:
        """The question that stands at hand afterwards: the next one, or the one that came back."""
        if path == "/undo" and isinstance(got, Kept):
            return got.id
        if path != "/answer" or bad:
            return fields.get("q") or fields.get("id")
        still = {q.id for q in self.job.state().episode.questions}
        return next((q for q in ahead if q in still), None)

    def _do(self, path: str, fields: dict[str, str]) -> Kept | Refused | Meanwhile | None:
        given = fields.get("given", "")
        seen = int(fields["seen"]) if fields.get("seen", "").isdecimal() else 0
        if path == "/undo":
            return self.job.undo(fields.get("id") or None)
        if path == "/answer":
            return self.job.answer(fields.get("id", ""), given, seen=seen)
        what = fields.get("what", "")
        if "name" in fields:
            name = fields["name"].strip()
            if not name:
                return Refused("What is added has no name", "Write its name and its amount.")
            what = f"{what}/{self.job.steps([name])[0]}"
        return self.job.edit(what, given, seen=seen)

    async def publish(self, request: Request) -> Response:
        as_heard = (await self.form(request))["as_heard"].split()
        part = "x-part" in request.headers

        def make() -> Response:
            with self.lock:
                try:
                    done = self.job.publish(as_heard)
                except PourwordError as error:
                    bad, said = True, f"{error.what} {error.hint}"
                else:
                    bad, count = False, len(done.written)
                    said = f"{count} file{'s' if count != 1 else ''} written to {done.folder}."
                    if done.unchanged:
                        said += f" {len(done.unchanged)} stood there as they are."
                view = self.view()
                if not part:
                    return self.whole(view, shown="publish", said=said, bad=bad)
                return JSONResponse(self.some(view, kind="refused" if bad else "ok", message=said))

        return await run_in_threadpool(make)

    async def stop(self, request: Request) -> Response:
        await self.form(request)
        page = render("stopped.html", file=str(self.job.answers_file))
        return HTMLResponse(page, background=BackgroundTask(self.stop_server))
