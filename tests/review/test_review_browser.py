"""The page in real headless Chromium: the whole job, by hand and by keyboard alone, on a phone, with sound, and with
captions that mean harm."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from review_kit import AXE, Served, copied, served

if TYPE_CHECKING:
    from browser_kit import Browser

RIGHT, DOWN, UP, ENTER, TAB, ESCAPE, END = "\ue014", "\ue015", "\ue013", "\ue007", "\ue004", "\ue00c", "\ue010"
CONTROL, KEY_A = "\ue009", "a"
HONEY, LEMON, GLASS = "amount-missing/1/honey-syrup", "amount-missing/2/lemon-juice", "glass-missing/2/tin-roof"


def opened(browser: Browser, page: Served, view: str = "") -> None:
    browser.driver.get(page.server.address)
    if view:
        browser.driver.get(f"{page.root}/?view={view}")
    browser.wait(lambda: browser.text("#question-title"), "a question stands there")


def at_hand(browser: Browser) -> str:
    return str(browser.js("return document.querySelector('[data-question]')?.dataset.question ?? ''"))


def at(browser: Browser, id: str) -> None:
    browser.wait(lambda: at_hand(browser) == id, f"{id} is at hand, not {at_hand(browser)}")


def test_the_whole_job(browser: Browser, page: Served) -> None:
    opened(browser, page)
    assert "2 must be answered" in browser.text("#count")
    # The dangerous first, and those in the order of the recording.
    assert at_hand(browser) == HONEY
    assert "honey syrup" in browser.text("blockquote mark")
    browser.one("#free").send_keys("three quarters of an ounce")
    browser.button("Answer", "#ask").click()
    at(browser, LEMON)
    browser.says("#said", "honey syrup")
    assert "1 must be answered" in browser.text("#count")
    # Closed while a question that blocks is open; the gap is marked in what is shown.
    browser.click("nav [data-view=publish]")
    browser.says("#gate", "Not to be published")
    publish = "#publishing button"
    assert not browser.one(publish).is_enabled()
    browser.wait(lambda: "AMOUNT NOT SAID" in browser.text("#publish") or browser.all("#publish iframe"), "outputs")
    browser.driver.switch_to.frame(browser.all("#publish iframe")[0])
    assert "Slow Ferry" in browser.text("h1")
    browser.driver.switch_to.default_content()
    browser.one("#free").send_keys("22.5 ml")
    browser.button("Answer", "#ask").click()
    at(browser, GLASS)
    browser.wait(lambda: browser.one(publish).is_enabled(), "it may be published")
    browser.button("1", "#ask").click()
    browser.says("#question-title", "Nothing is left")
    browser.click(publish)
    browser.says("#said", "written to")
    folder = page.job.folder
    card = (folder / "cards" / "tin-roof.md").read_text()
    assert re.search(r"22\.5 ml.*lemon juice", card)
    assert "coupe" in card
    assert "falernum" in (folder / "captions" / "porch.vtt").read_text()
    assert "fuller num" not in (folder / "captions" / "porch.vtt").read_text()
    assert json.loads((folder / "published.json").read_text())["files"]


def test_a_change_of_the_captions_can_be_left_as_heard(browser: Browser, page: Served) -> None:
    for id, given in ((HONEY, "1 oz"), (LEMON, "1 oz"), (GLASS, "coupe")):
        assert page.ask("POST", "/answer", form={"id": id, "given": given, "seen": "99"})[0] == 200
    browser.driver.get(page.server.address)
    browser.driver.get(f"{page.root}/?view=publish")
    assert browser.text("#publish del") == "fuller num"
    assert browser.text("#publish ins") == "falernum"
    browser.click("#publish .changes input")
    browser.click("#publishing button")
    browser.says("#said", "written to")
    assert "fuller num" in (page.job.folder / "captions" / "porch.vtt").read_text()
    assert "falernum" in (page.job.folder / "cards" / "slow-ferry.md").read_text()


def test_a_refused_answer_says_why_and_stays(browser: Browser, page: Served) -> None:
    opened(browser, page)
    browser.one("#free").send_keys("quite a lot, really")
    browser.button("Answer", "#ask").click()
    browser.says("#free-error", ".")
    assert browser.one("#free").get_attribute("aria-invalid") == "true"
    assert browser.one("#free").get_attribute("value") == "quite a lot, really"
    assert browser.focused() == "free"
    assert at_hand(browser) == HONEY
    assert not page.job.answers_file.exists()


def test_a_field_shows_its_words_and_is_put_right_by_hand(browser: Browser, page: Served) -> None:
    opened(browser, page, "drinks")
    row = "#drinks .item[data-key*='lime juice']"
    browser.click(f"{row} summary")
    assert "hree quarters of an ounce of lime juice" in browser.text(f"{row} .told")
    browser.one(f"{row} input[name=given]").send_keys("an ounce")
    browser.button("Put right", row).click()
    browser.wait(lambda: "1 oz" in browser.text(f"{row} .amount"), "the row holds an ounce")
    assert "lime juice" in browser.text("#said")
    assert "edit: set drink/Slow Ferry/ingredient/lime juice/amount" in page.job.answers_file.read_text()
    # Undone by the button, and the talk's words hold again.
    browser.click("#undo")
    browser.wait(lambda: "¾ oz" in browser.text(f"{row} .amount"), "the talk's amount holds again")


def test_something_is_added_and_taken_out(browser: Browser, page: Served) -> None:
    opened(browser, page, "drinks")
    adding = "#drinks .sheet .add"
    browser.click(f"{adding} summary")
    browser.one(f"{adding} input[name=name]").send_keys("soda water")
    browser.one(f"{adding} input[name=given]").send_keys("2 oz")
    browser.button("Add", adding).click()
    row = "#drinks .item[data-key*='soda water']"
    browser.wait(lambda: "2 oz" in browser.text(row), "it is on the list")
    browser.click(f"{row} summary")
    browser.button("Take it out", row).click()
    browser.wait(lambda: not browser.all(row), "it is off the list")


def test_later_comes_last_and_stays_open(browser: Browser, page: Served) -> None:
    opened(browser, page)
    browser.button("Later", "#ask").click()
    at(browser, LEMON)
    browser.button("Later", "#ask").click()
    at(browser, GLASS)
    assert "2 must be answered" in browser.text("#count")
    browser.button("Leave", "#ask").click()
    at(browser, HONEY)
    assert "put off" in browser.text(".where")


def test_by_keyboard_alone(browser: Browser, page: Served) -> None:
    opened(browser, page)
    assert browser.focused() == "question-title"
    browser.keys("n")
    at(browser, LEMON)
    browser.keys("b")
    at(browser, HONEY)
    browser.keys("e")
    browser.keys("half an ounce", ENTER)
    at(browser, LEMON)
    browser.wait(lambda: browser.focused() == "question-title", "the focus is on the question")
    browser.keys("e")
    browser.keys("l1w", ESCAPE)  # in a field the keys are letters
    assert browser.one("#free").get_attribute("value") == "l1w"
    assert browser.focused() == "question-title"
    browser.keys("u")
    browser.says("#said", "Taken back")
    at(browser, HONEY)
    browser.keys("e")
    browser.keys("half an ounce", ENTER)
    at(browser, LEMON)
    browser.keys("e")
    browser.keys("1 oz", ENTER)
    at(browser, GLASS)
    browser.keys("1")
    browser.says("#question-title", "Nothing is left")
    # On to the outputs and the step itself, by Tab and Enter only.
    for _ in range(12):
        if browser.js("return document.activeElement.matches('#ask a[data-view=publish]')"):
            break
        browser.keys(TAB)
    browser.keys(ENTER)
    browser.wait(lambda: browser.text("#gate"), "the step is shown")
    for _ in range(40):
        if browser.js("return document.activeElement.matches('#publishing button')"):
            break
        browser.keys(TAB)
    browser.keys(ENTER)
    browser.says("#said", "written to")
    assert (page.job.folder / "cards" / "tin-roof.md").exists()


def test_the_keys_of_the_talk(browser: Browser, heard: Served) -> None:
    opened(browser, heard, "talk")
    browser.js("document.querySelector('.lines [tabindex=\"0\"]').focus()")
    for _ in range(30):
        if browser.js("return document.activeElement.textContent") == "fuller num.":
            break
        browser.keys(RIGHT)
    assert "Heard “fuller num”, written “falernum”" in browser.text("#note") + browser.text("#note-up")
    browser.keys(ENTER)
    second = browser.js("const r = document.querySelector('#recording'); r.pause(); return r.currentTime")
    assert second == pytest.approx(15.657, abs=1.0)
    assert second >= 15.6
    browser.keys(ESCAPE)
    assert browser.text("#note") + browser.text("#note-up") == ""
    assert browser.js("return document.querySelectorAll('.lines [tabindex=\"0\"]').length") == 1


def test_a_note_moves_nothing_and_is_never_over_its_word(browser: Browser, page: Served) -> None:
    """WCAG 2.2, 1.4.13: what comes up on hover can be dismissed, and hides not the word itself."""
    browser.size(360, 740)
    opened_view(browser, page, "talk")
    where = "const b = arguments[0].getBoundingClientRect(); return [b.left, b.top, scrollY]"
    for mark in browser.all(".lines .m"):
        browser.js("arguments[0].scrollIntoView({block: 'nearest'}); document.activeElement.blur()", mark)
        before = browser.js(where, mark)
        point = browser.js(
            "const b = arguments[0].getClientRects()[0]; return [b.left + b.width / 2, b.top + b.height / 2]", mark
        )
        moved = {"type": "mouseMoved", "x": point[0], "y": point[1]}
        browser.driver.execute_cdp_cmd("Input.dispatchMouseEvent", moved)
        browser.wait(lambda: browser.text("#note") + browser.text("#note-up"), "a note")
        assert browser.js(where, mark) == before
        assert browser.js(
            "return arguments[0].contains(document.elementFromPoint(arguments[1], arguments[2]))", mark, *point
        )
    browser.keys(ESCAPE)
    assert browser.text("#note") + browser.text("#note-up") == ""


def test_the_talk_says_what_was_left_out_and_why(browser: Browser, page: Served) -> None:
    opened(browser, page, "talk")
    out = [e for e in browser.all(".lines .m.out") if "grapefruit" in e.text]
    assert out
    assert out[0].is_displayed()
    assert out[0].get_attribute("data-note") == "Left out: told as what one could do"


@pytest.mark.parametrize(("word", "second"), [("Odile,", None), ("gin", None), ("bitters.", None), ("today.", None)])
def test_a_click_on_a_word_goes_to_its_second(browser: Browser, heard: Served, word: str, second: float | None) -> None:
    opened(browser, heard, "talk")
    browser.wait(lambda: browser.js("return document.querySelector('#recording').readyState") >= 1, "it can be played")
    wanted = next(w.start_s for w in heard.job.talk.transcript.words if w.text == word)
    box = browser.js(
        """
        const word = arguments[0];
        const walk = document.createTreeWalker(document.querySelector('.lines'), NodeFilter.SHOW_TEXT);
        let range = null;
        while (!range && walk.nextNode()) {
          const at = walk.currentNode.data.indexOf(word);
          if (at >= 0 && walk.currentNode.parentElement.closest('.line > p')) {
            range = document.createRange();
            range.setStart(walk.currentNode, at);
            range.setEnd(walk.currentNode, at + word.length);
          }
        }
        range.startContainer.parentElement.scrollIntoView({ block: 'center' });
        const b = range.getBoundingClientRect();
        return [b.left + b.width / 2, b.top + b.height / 2];
        """,
        word,
    )
    # `seeking` tells the second that was asked for, before the recording plays on from it.
    browser.js(
        "window.asked = []; const r = document.querySelector('#recording');"
        " r.addEventListener('seeking', () => window.asked.push(r.currentTime))"
    )
    for kind in ("mousePressed", "mouseReleased"):
        at_point = {"type": kind, "x": box[0], "y": box[1], "button": "left", "clickCount": 1}
        browser.driver.execute_cdp_cmd("Input.dispatchMouseEvent", at_point)
    browser.wait(lambda: browser.js("return window.asked.length"), "it seeks")
    assert browser.js("return window.asked[0]") == pytest.approx(wanted, abs=0.05)
    browser.wait(
        lambda: browser.js("return document.querySelector('#recording').currentTime") > wanted + 0.1, "it plays"
    )


def test_the_moment_is_played_over_and_over(browser: Browser, heard: Served) -> None:
    opened(browser, heard)
    start, end = browser.js("const q = document.querySelector('[data-question]').dataset; return [+q.from, +q.to]")
    assert start < 12.345 < 13.255 < end
    assert end - start < 15
    browser.js(
        "const r = document.querySelector('#recording'); r.playbackRate = 8; window.times = [];"
        " setInterval(() => window.times.push(r.currentTime), 20)"
    )
    browser.keys("p")
    browser.wait(lambda: browser.one("[data-loop]").get_attribute("aria-pressed") == "true", "it plays")
    turns = "return window.times.filter((t, i) => i && t < window.times[i - 1] - 1).length"
    browser.wait(lambda: browser.js(turns) >= 2, "it came round twice")
    inside = browser.js(
        "return window.times.filter((t) => t > 0 && (t < arguments[0] - 0.05 || t > arguments[1] + 1.5)).length",
        start,
        end,
    )
    assert inside == 0
    browser.keys("p")
    assert browser.js("return document.querySelector('#recording').paused")


def test_two_tabs_lose_nothing(browser: Browser, page: Served) -> None:
    opened(browser, page)
    # Another tab, and the terminal, answer meanwhile; then this one sends its own.
    assert page.ask("POST", "/answer", form={"id": LEMON, "given": "1 oz", "seen": "0"})[0] == 200
    browser.one("#free").send_keys("half an ounce")
    browser.button("Answer", "#ask").click()
    at(browser, GLASS)
    given = {a.id: a.given for a in page.job.desk.store.read().entries}
    assert given == {LEMON: "1 oz", HONEY: "half an ounce"}
    # The same question answered in both: the second is told, and decides.
    status, _, body = page.ask(
        "POST", "/answer", form={"id": LEMON, "given": "2 oz", "seen": "0"}, headers={"X-Part": "1"}
    )
    assert (status, json.loads(body)["kind"]) == (200, "meanwhile")
    assert "1 oz" in json.loads(body)["message"]
    assert {a.id: a.given for a in page.job.desk.store.read().entries}[LEMON] == "1 oz"


def test_what_the_terminal_answers_comes_to_the_page(browser: Browser, page: Served) -> None:
    from extractor.settle import open_episode

    opened(browser, page)
    browser.one("#free").send_keys("being typed")
    other = open_episode(page.captions, folder=page.folder / "home").desk(by="Ines")
    other.answer(LEMON, "1 oz")
    browser.says("#count", "1 must be answered")
    assert browser.one("#free").get_attribute("value") == "being typed"


def test_killed_amid_answers_nothing_is_lost(browser: Browser, tmp_path: Path) -> None:
    captions = copied(tmp_path)
    command = [sys.executable, "-m", "extractor", "review", str(captions), "--no-open"]
    home = {**os.environ, "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=home) as process:
        try:
            assert process.stdout is not None
            address = re.search(r"http://127\.0\.0\.1:\d+/\?key=\S+", process.stdout.readline())
            assert address is not None
            assert str(tmp_path / "porch.answers.txt") in process.stdout.readline()
            browser.driver.get(address[0])
            browser.one("#free").send_keys("half an ounce")
            browser.button("Answer", "#ask").click()
            at(browser, LEMON)
            browser.one("#free").send_keys("22.5 ml")
            browser.button("Answer", "#ask").click()
            at(browser, GLASS)
        finally:
            process.send_signal(signal.SIGKILL)
    browser.one("#free").send_keys("a teacup")
    browser.button("Answer", "#ask").click()
    browser.says("#said", "does not answer")
    assert browser.one("#free").get_attribute("value") == "a teacup"
    browser.complaints()  # that the connection is lost is what was wanted
    with served(captions) as again:
        opened(browser, again)
        assert at_hand(browser) == GLASS
        assert "Nothing must be answered" in browser.text("#count")


def test_stopped_in_the_terminal_it_says_where_the_answers_are(tmp_path: Path) -> None:
    captions = copied(tmp_path)
    command = [sys.executable, "-m", "extractor", "review", str(captions), "--no-open"]
    home = {**os.environ, "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=home) as process:
        assert process.stdout is not None
        for _ in range(3):
            process.stdout.readline()
        time.sleep(0.5)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
    assert "porch.answers.txt" in out
    assert err == ""
    assert process.returncode == 0


def test_stop_says_where_the_answers_are(browser: Browser, page: Served) -> None:
    opened(browser, page)
    browser.button("Stop", ".top").click()
    browser.says("h1", "Stopped")
    assert str(page.job.answers_file) in browser.text("main")
    page.thread.join(10)
    assert not page.thread.is_alive()


HOSTILE = """WEBVTT

00:00:00.500 --> 00:00:05.800
The first drink is called the <script>window.owned=1</script>Slow Ferry.

00:00:06.000 --> 00:00:09.000
Two ounces of &lt;img src=x onerror=window.owned=1&gt; gin go into the shaker.

00:00:09.000 --> 00:00:12.000
Half an ounce of \u202eyrrehc\u202c \x1b[31mred\x1b[0m \u2066lime\u2069 juice.

00:00:12.000 --> 00:00:15.000
Then the {{ 7*7 }} &lt;/script&gt;&lt;script&gt;window.owned=1&lt;/script&gt; \u05d0\u05d1\u05d2 honey syrup goes in.

00:00:16.000 --> 00:00:19.000
Shake it with ice and strain it into a coupe.

00:00:20.000 --> 00:00:22.000
The second drink is called the ../../x.

00:00:23.000 --> 00:00:26.000
Two ounces of rum and an ounce of lemon juice. Stir.
"""


def test_captions_that_mean_harm_stay_text(browser: Browser, tmp_path: Path) -> None:
    captions = tmp_path / "talks" / "<b>..&amp; porch.vtt"
    captions.parent.mkdir()
    captions.write_text(HOSTILE, encoding="utf-8")
    with served(captions) as page:
        for view in ("questions", "talk", "drinks", "publish"):
            opened(browser, page, view)
            assert browser.js("return window.owned ?? null") is None
            assert browser.js("return [...document.scripts].map((s) => s.getAttribute('src'))") == ["/static/page.js"]
            assert browser.js("return document.querySelectorAll('main img, main b:not(.speaker), h1 b').length") == 0
            raw = browser.js("return document.documentElement.outerHTML")
            assert re.findall(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069\u200e\u200f]", raw) == []
        opened(browser, page, "talk")
        assert "<img src=x onerror=window.owned=1>" in browser.text("#talk").replace("\n", " ")
        assert "{{ 7*7 }}" in browser.text("#talk")
        assert browser.text("h1").startswith("<b>..&amp; porch")
        # A drink by hand whose name leads out of the folder, or is markup, publishes inside it.
        browser.click("nav [data-view=drinks]")
        for name in ("../../x", "<i>..\\..\\y</i>\u202e"):
            got = page.ask("POST", "/edit", form={"what": "set drink/1/name", "given": name, "seen": "999"})
            assert got[0] == 200
        form = {"seen": "999", "given": "leave as it is"}
        for q in list(page.job.state().episode.questions):
            page.ask("POST", "/answer", form={**form, "id": q.id})
        before = {p for p in tmp_path.rglob("*") if "published" not in p.parts and "published" not in str(p)}
        page.ask("POST", "/publish", form={})
        after = {p for p in tmp_path.rglob("*") if "published" not in str(p)}
        assert {p.name for p in after - before} <= {"home"}
        if page.job.state().may_publish:
            assert all(p.resolve().is_relative_to(page.job.folder) for p in page.job.folder.rglob("*"))
            assert (page.job.folder / "published.json").exists()
        browser.driver.get(f"{page.root}/?view=publish")
        assert browser.js("return window.owned ?? null") is None
        browser.complaints()


# 320: WCAG 2.2, 1.4.10 (reflow).
WIDTHS = ((320, 640), (360, 740), (820, 1180), (1366, 768))


@pytest.mark.parametrize(("width", "height"), WIDTHS)
def test_nothing_lies_outside_of_the_window(browser: Browser, heard: Served, width: int, height: int) -> None:
    browser.size(width, height)
    for view in ("questions", "talk", "drinks", "publish"):
        opened_view(browser, heard, view)
        browser.js("for (const d of document.querySelectorAll('details')) d.open = true")
        over = browser.js(
            """
            return [...document.querySelectorAll('body *')].filter((e) => {
              if (e.closest('.aloud, .skip, pre, [hidden]') || !e.checkVisibility()) return false;
              const b = e.getBoundingClientRect();
              return b.width && (b.right > innerWidth + 0.5 || b.left < -0.5);
            }).map((e) => e.outerHTML.slice(0, 80))
            """
        )
        assert over == [], f"{view} at {width}"
        assert browser.js("return document.documentElement.scrollWidth") <= width


def opened_view(browser: Browser, page: Served, view: str) -> None:
    browser.driver.get(page.server.address)
    browser.driver.get(f"{page.root}/?view={view}")
    shown = {"questions": "#ask", "talk": "#talk", "drinks": "#drinks", "publish": "#publish"}[view]
    browser.wait(lambda: browser.one(shown).is_displayed(), f"{view} is shown")


def test_the_whole_job_on_a_phone(browser: Browser, heard: Served) -> None:
    browser.size(360, 740)
    opened(browser, heard)
    browser.one("#free").send_keys("half an ounce")
    browser.button("Answer", "#ask").click()
    at(browser, LEMON)
    browser.click("nav [data-view=talk]")
    browser.wait(
        lambda: browser.one("#talk").is_displayed() and not browser.one("#ask").is_displayed(), "the talk alone"
    )
    mark = f".lines .m.asked[data-ask='{LEMON}']"
    browser.js("document.querySelector(arguments[0]).scrollIntoView({block: 'center'})", mark)
    browser.click(mark)
    browser.wait(lambda: browser.one("#ask").is_displayed(), "its question")
    at(browser, LEMON)
    browser.one("#free").send_keys("1 oz")
    browser.button("Answer", "#ask").click()
    at(browser, GLASS)
    browser.click("nav [data-view=publish]")
    browser.wait(lambda: browser.all("#publishing button") and browser.one("#publishing button").is_enabled(), "open")
    browser.one("#publishing button").click()
    browser.says("#said", "written to")


# Targets of at least 24 by 24 CSS pixels, or as much room: WCAG 2.2, success criterion 2.5.8.
AXE_RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], iframes: false,
  rules: { 'target-size': { enabled: true } } })
  .then((r) => done({
      bad: r.violations.map((v) => [v.id, v.help, v.nodes.slice(0, 4).map((n) => n.html.slice(0, 160))]),
                      passed: r.passes.map((p) => p.id) }), (e) => done({ bad: [String(e)], passed: [] }));
"""


@pytest.mark.skipif(not AXE.exists(), reason="axe-core is not there: npm --prefix tests/review ci")
@pytest.mark.parametrize(("width", "height"), [(360, 740), (1366, 768)])
def test_wcag_by_a_general_checker(browser: Browser, heard: Served, width: int, height: int) -> None:
    browser.size(width, height)
    for view in ("questions", "talk", "drinks", "publish"):
        opened_view(browser, heard, view)
        browser.js("for (const d of document.querySelectorAll('details')) d.open = true")
        browser.js(AXE.read_text(encoding="utf-8"))
        found: dict[str, Any] = browser.driver.execute_async_script(AXE_RUN)
        assert found["bad"] == [], f"{view} at {width}"
        # That it looked at all: these hold of any page with text, forms and a title.
        assert {"color-contrast", "document-title", "button-name", "label", "html-has-lang"} <= set(found["passed"]) | (
            {"label"} if view != "questions" else set()
        )


def test_the_checker_sees_what_is_wrong(browser: Browser, page: Served) -> None:
    """The check itself can fail: grey on grey is seen."""
    if not AXE.exists():
        pytest.skip("axe-core is not there: npm --prefix tests/review ci")
    opened(browser, page)
    browser.js("document.querySelector('#question-title').style.color = '#ddd'")
    browser.js(AXE.read_text(encoding="utf-8"))
    assert "color-contrast" in [b[0] for b in browser.driver.execute_async_script(AXE_RUN)["bad"]]


def test_focus_is_seen_and_never_hidden(browser: Browser, page: Served) -> None:
    """WCAG 2.2, 2.4.7 and 2.4.11: each stop of Tab shows an outline and is not under what stays in place."""
    opened(browser, page, "drinks")
    browser.js("document.activeElement.blur()")
    for _ in range(45):
        browser.keys(TAB)
        seen = browser.js(
            """
            const e = document.activeElement; if (e === document.body || e.matches('video, audio, iframe')) return true;
            const s = getComputedStyle(e), b = e.getBoundingClientRect();
            const ring = (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2) || s.boxShadow !== 'none';
            const x = b.left + Math.min(b.width / 2, 20), y = b.top + b.height / 2;
            const top = document.elementFromPoint(x, y);
            return ring && top && (e === top || e.contains(top) || top.contains(e)) ? true : e.outerHTML.slice(0, 120);
            """
        )
        assert seen is True


def test_motion_is_only_for_those_who_do_not_mind_it(browser: Browser, page: Served) -> None:
    browser.driver.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]}
    )
    try:
        opened(browser, page, "drinks")
        moving = browser.js(
            """
            const moves = (s) => s.animationName !== 'none'
              || s.transitionDuration.split(',').some((t) => parseFloat(t) > 0);
            return [...document.querySelectorAll('*')]
              .filter((e) => moves(getComputedStyle(e)) || moves(getComputedStyle(e, '::after'))).length;
            """
        )
        assert moving == 0
    finally:
        browser.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
