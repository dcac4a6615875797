"use strict";
// The page works without this file: forms are sent, links are followed. With it, a change sends and takes only the parts
// that it touches, the recording follows the words, and the keys work. Markup comes from the server alone, escaped there.
(() => {
  const $ = (what, where = document) => where.querySelector(what);
  const all = (what, where = document) => [...where.querySelectorAll(what)];
  const body = document.body;
  const player = $("#recording");
  const said = $("#said");
  let revision = body.dataset.revision;
  let talk = body.dataset.talk;
  let drawnTalk = talk;
  let drawnOutputs = body.dataset.shown === "publish" ? revision : "";
  let loop = null;
  let busy = 0;

  const say = (words, bad) => {
    said.textContent = words;
    said.classList.toggle("bad", Boolean(bad));
  };

  // ---------------------------------------------------------------- parts of the page

  const place = (e) => {
    // Something by which the same control can be found again in new markup.
    if (!e || e === body) return null;
    if (e.id) return "#" + CSS.escape(e.id);
    const of = e.closest("[data-key]");
    return of && e.matches("summary") ? `[data-key="${CSS.escape(of.dataset.key)}"] > summary` : null;
  };

  const put = (id, html) => {
    const part = document.getElementById(id);
    const open = new Set(all("details[data-key]", part).filter((d) => d.open).map((d) => d.dataset.key));
    const shut = new Set(all("details[data-key]", part).filter((d) => !d.open).map((d) => d.dataset.key));
    const focused = part.contains(document.activeElement) ? place(document.activeElement) : null;
    const typed = new Map(all("input:not([type=hidden]), textarea", part)
      .filter((i) => i.id && i.value !== i.defaultValue && i.closest("details")).map((i) => [i.id, i.value]));
    const top = part.scrollTop;
    part.innerHTML = html;
    for (const d of all("details[data-key]", part)) {
      if (open.has(d.dataset.key)) d.open = true;
      if (shut.has(d.dataset.key)) d.open = false;
    }
    part.scrollTop = top;
    if (focused) ($(focused, part) || part).focus({ preventScroll: true });
    return typed;
  };

  // Of the talk only the lines that changed, so that nothing is lost that is pointed at or in focus.
  const putTalk = (html) => {
    const fresh = new DOMParser().parseFromString(html, "text/html");
    const look = (e) => e.className.replace(/ ?\bnow\b/, "") + e.textContent + all(".m", e).map((m) => m.className + m.dataset.note).join("|");
    const old = all(".lines > *"), now = all(".lines > *", fresh);
    if (!old.length || old.length !== now.length) return put("talk", html);
    now.forEach((e, n) => { if (look(e) !== look(old[n])) { for (const f of all('[tabindex="0"]', e)) f.tabIndex = -1; old[n].replaceWith(e); } });
    if (!$('.lines [tabindex="0"]')) { const first = $(".lines .time, .lines .m"); if (first) first.tabIndex = 0; }
  };

  const take = (got, keep) => {
    revision = String(got.revision);
    if (got.talk) talk = got.talk;
    for (const [id, html] of Object.entries(got.regions || {})) {
      if (id === "ask" && keep) continue;
      const typed = put(id, html);
      if (id === "drinks" && keep) for (const [input, value] of typed) {
        const now = document.getElementById(input);
        if (now) now.value = value;
      }
    }
    catchUp();
  };

  const get = async (url) => {
    const got = await fetch(url, { headers: { "X-Part": "1" }, cache: "no-store" });
    return got;
  };

  // The talk and the outputs are large: they follow only where they are looked at.
  const catchUp = async () => {
    const shown = body.dataset.shown;
    const wide = matchMedia("(min-width: 62rem)").matches;
    try {
      if ((shown === "talk" || (wide && shown === "questions")) && drawnTalk !== talk) {
        drawnTalk = talk;
        const got = await get("/part/talk");
        putTalk(await got.text());
        drawnTalk = got.headers.get("x-version");
        follow(true);
      }
      if (shown === "publish" && drawnOutputs !== revision) {
        drawnOutputs = revision;
        put("publish", await (await get("/part/publish")).text());
      }
    } catch { gone(); }
  };

  const gone = () => say("The program does not answer: it was stopped, or the connection is lost. What was answered is kept.", true);

  const show = (view) => {
    body.dataset.shown = view;
    for (const a of all("nav a")) {
      if (a.dataset.view === view) a.setAttribute("aria-current", "page");
      else a.removeAttribute("aria-current");
    }
    history.replaceState(null, "", "/?view=" + view);
    catchUp();
  };

  const ask = async (id) => {
    if (!matchMedia("(min-width: 62rem)").matches) show("questions");
    try {
      const got = await (await get("/parts?q=" + encodeURIComponent(id))).json();
      if (got.kind === "trouble") return say(got.message, true);
      take(got);
      atQuestion();
    } catch { gone(); }
  };

  const atQuestion = () => {
    const title = $("#question-title");
    if (title) {
      title.focus({ preventScroll: true });
      $("#ask").scrollIntoView({ block: "nearest" });
      const desk = $(".desk");
      if (desk.scrollHeight > desk.clientHeight) desk.scrollTop = 0;
    }
    if (loop) startLoop();
  };

  const send = async (form, button) => {
    const fields = new URLSearchParams(new FormData(form));
    if (button && button.name) fields.set(button.name, button.value);
    const seen = form.elements.seen;
    if (seen) fields.set("seen", form.dataset.newer || seen.value);
    const hand = $("[data-question]");
    if (hand && !fields.has("q") && form.action.endsWith("/edit")) fields.set("q", hand.dataset.question);
    busy += 1;
    let got;
    try {
      got = await (await fetch(form.action, { method: "POST", body: fields, headers: { "X-Part": "1" } })).json();
    } catch {
      gone();
      return;
    } finally { busy -= 1; }
    const input = $("[aria-describedby$=-e], [aria-describedby$=-error]", form);
    if (got.kind !== "ok") {
      if (got.regions) { for (const f of [form]) f.dataset.newer = got.revision; take(got, true); }
      say(got.message, true);
      const error = input && document.getElementById(input.getAttribute("aria-describedby"));
      if (error && form.contains(error)) {
        error.textContent = got.message;
        input.setAttribute("aria-invalid", "true");
        input.focus();
        said.textContent = "";
      }
      return;
    }
    const opened = form.closest("details[data-key]");
    const summary = opened && form.action.endsWith("/edit") ? place($("summary", opened)) : null;
    for (const i of all("input, textarea", form)) if (i.type !== "hidden") i.value = i.defaultValue;
    if (opened && form.action.endsWith("/edit")) opened.open = false;
    take(got);
    say(got.message, false);
    if (form.dataset.answer !== undefined || form.action.endsWith("/undo")) {
      if (form.action.endsWith("/undo") && body.dataset.shown !== "questions" && !matchMedia("(min-width: 62rem)").matches) return;
      atQuestion();
    } else if (summary) ($(summary, $("#drinks")) || $("#drinks-title")).focus?.();
    if (form.action.endsWith("/publish")) { drawnOutputs = ""; catchUp(); }
  };

  document.addEventListener("submit", (e) => {
    if (!e.target.matches("form[data-part]")) return;
    e.preventDefault();
    if (!busy) send(e.target, e.submitter);
  });

  // Another tab or the terminal may have answered something meanwhile.
  const look = async () => {
    if (busy || document.hidden) return;
    try {
      const hand = $("[data-question]");
      const url = "/parts?have=" + revision + (hand ? "&q=" + encodeURIComponent(hand.dataset.question) : "");
      const got = await (await get(url)).json();
      if (got.kind !== "parts" || busy) return;
      const free = $("#free");
      const same = hand && got.question === hand.dataset.question;
      take(got, same && free && free.value !== "");
      say("Something was answered in another place.", false);
    } catch { /* said when something is sent */ }
  };
  addEventListener("focus", look);
  setInterval(look, 5000);

  // ---------------------------------------------------------------- the recording

  const playFrom = (second) => {
    if (!player) return;
    stopLoop();
    player.currentTime = Number(second);
    player.play().catch(() => {});
  };

  const startLoop = () => {
    const q = $("[data-question][data-from]");
    if (!player || !q) return stopLoop();
    loop = { from: Number(q.dataset.from), to: Number(q.dataset.to) };
    for (const b of all("[data-loop]")) { b.setAttribute("aria-pressed", "true"); b.textContent = "Playing this moment, over and over"; }
    player.currentTime = loop.from;
    player.play().catch(() => {});
  };

  const stopLoop = () => {
    if (loop && player) player.pause();
    loop = null;
    for (const b of all("[data-loop]")) { b.setAttribute("aria-pressed", "false"); b.textContent = "Play this moment, over and over"; }
  };

  setInterval(() => {
    if (loop && player && !player.paused && (player.currentTime >= loop.to || player.currentTime < loop.from - 1)) player.currentTime = loop.from;
  }, 60);

  let lines = [];
  const follow = (anew) => {
    if (!player) return;
    if (anew || !lines.length) lines = all(".line[data-at]").map((e) => [Number(e.dataset.at), e]);
    let low = 0, high = lines.length;
    while (low < high) {
      const mid = (low + high) >> 1;
      if (lines[mid][0] <= player.currentTime + 0.05) low = mid + 1; else high = mid;
    }
    const now = low ? lines[low - 1][1] : null;
    const before = $(".line.now");
    if (before !== now) {
      if (before) before.classList.remove("now");
      if (now) now.classList.add("now");
    }
  };
  if (player) player.addEventListener("timeupdate", () => follow(false));

  // The second of the word under the pointer: the words before it are counted.
  const wordSecond = (p, x, y, inside) => {
    const seconds = p.dataset.seconds ? p.dataset.seconds.split(" ") : [];
    if (!seconds.length) return null;
    const range = document.createRange();
    range.selectNodeContents(p);
    if (inside) {
      range.setEnd(inside, 0);
    } else {
      const at = document.caretPositionFromPoint ? document.caretPositionFromPoint(x, y) : null;
      const old = at ? null : document.caretRangeFromPoint ? document.caretRangeFromPoint(x, y) : null;
      const node = at ? at.offsetNode : old && old.startContainer;
      if (!node || !p.contains(node)) return seconds[0];
      range.setEnd(node, at ? at.offset : old.startOffset);
    }
    const skip = $("[data-skip]", p);
    if (skip && range.intersectsNode(skip)) range.setStartAfter(skip);
    const n = range.toString().split(" ").length - 1;
    return seconds[Math.min(n, seconds.length - 1)];
  };

  // At the foot of the talk, or at its head where the mark itself lies low in the window: never over the mark.
  const note = (mark) => {
    const boxes = [$("#note"), $("#note-up")];
    const low = mark && mark.getBoundingClientRect().bottom > innerHeight * 0.55;
    boxes.forEach((box, n) => { if (box) box.textContent = mark && Boolean(n) === low ? mark.dataset.note : ""; });
  };

  document.addEventListener("click", (e) => {
    const link = e.target.closest("a[data-view], a[data-ask]");
    if (link && !e.metaKey && !e.ctrlKey && !e.shiftKey) {
      e.preventDefault();
      if (link.dataset.ask) ask(link.dataset.ask); else show(link.dataset.view);
      return;
    }
    const time = e.target.closest("[data-play]");
    if (time) return playFrom(time.dataset.play);
    if (e.target.closest("[data-loop]")) return loop ? stopLoop() : startLoop();
    const p = e.target.closest(".line > p");
    if (p && getSelection().isCollapsed) {
      const mark = e.target.closest(".m");
      if (mark) { roam(mark); note(mark); }
      const second = wordSecond(p, e.clientX, e.clientY, null);
      if (second !== null) playFrom(second);
      if (mark && mark.dataset.ask) ask(mark.dataset.ask);
    }
  });

  document.addEventListener("pointerover", (e) => {
    const mark = e.target.closest && e.target.closest(".lines .m");
    if (mark) note(mark);
    else if (!e.target.closest?.(".margin-note") && !document.activeElement.matches(".lines .m")) note(null);
  });
  document.addEventListener("focusin", (e) => { if (e.target.matches(".lines .m")) note(e.target); else if (!e.target.closest("#talk")) note(null); });

  // ---------------------------------------------------------------- keys

  const stops = () => all(".lines .m, .lines .time");
  const roam = (to) => {
    for (const e of all('.lines [tabindex="0"]')) e.tabIndex = -1;
    to.tabIndex = 0;
    to.focus();
  };

  const inTalk = (e) => {
    const here = document.activeElement;
    if (!here.closest(".lines")) return false;
    if (e.key === "ArrowRight" || e.key === "ArrowLeft") {
      const every = stops(), n = every.indexOf(here) + (e.key === "ArrowRight" ? 1 : -1);
      if (every[n]) roam(every[n]);
      return true;
    }
    if (e.key === "ArrowDown" || e.key === "ArrowUp") {
      let line = here.closest(".line");
      do line = e.key === "ArrowDown" ? line.nextElementSibling : line.previousElementSibling;
      while (line && !line.matches(".line"));
      const to = line && ($(".time", line) || $(".m", line));
      if (to) roam(to);
      return true;
    }
    if ((e.key === "Enter" || e.key === " ") && here.matches(".m")) {
      const second = wordSecond(here.closest("p"), 0, 0, here);
      if (second !== null) playFrom(second);
      if (here.dataset.ask) ask(here.dataset.ask);
      return true;
    }
    return false;
  };

  const inQuestion = (e) => {
    const here = document.activeElement;
    if (!here.closest("#ask") || here.matches("input, textarea")) {
      if (here.matches("#free") && e.key === "Escape") { $("#question-title").focus(); return true; }
      return false;
    }
    const key = e.key.toLowerCase();
    const press = (what) => { const b = $(what); if (b) b.click(); return Boolean(b); };
    if (/^[1-9]$/.test(key)) return press(`[data-offer="${key}"]`);
    if (key === "e") { const f = $("#free"); if (f) f.focus(); return Boolean(f); }
    if (key === "l" || key === "w") return press(`#ask [data-key="${key}"]`);
    if (key === "p") return press("[data-loop]");
    if (key === "u") return press("#undo");
    if (key === "n" || key === "b") {
      const hand = $("[data-question]"), links = all(".list a[data-ask]");
      const n = links.findIndex((a) => hand && a.dataset.ask === hand.dataset.question) + (key === "n" ? 1 : -1);
      if (links[n]) ask(links[n].dataset.ask);
      return Boolean(links[n]);
    }
    return false;
  };

  document.addEventListener("keydown", (e) => {
    if (e.metaKey || e.ctrlKey || e.altKey || e.isComposing) return;
    if (e.key === "Escape") note(null);
    if (inTalk(e) || inQuestion(e)) e.preventDefault();
  });

  if (body.dataset.shown === "questions") $("#question-title")?.focus({ preventScroll: true });
})();
