"""What is marked in the talk, how it is cut into paragraphs, and which moment is played.

The expected values are read off the sample (porch.vtt) by hand."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from review_kit import HERE, Served, served

from extractor.lexicon import lexicon_folder, read_phrases
from extractor.record import Evidence, Word
from extractor.review.marks import Mark, Places, reasons
from extractor.review.page import View, environment, visible
from extractor.review.question import asked, in_order
from extractor.review.talk import shown


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> Iterator[View]:
    captions = tmp_path_factory.mktemp("marks") / "porch.vtt"
    captions.write_text((HERE / "porch.vtt").read_text(encoding="utf-8"), encoding="utf-8")
    with served(captions) as page:
        yield View(page.job, Places(page.job.talk), page.job.state())


def words_of(view: View, mark: Mark) -> str:
    return " ".join(w.text for w in view.job.talk.transcript.words[mark.first : mark.last + 1])


def marked(view: View, words: str) -> Mark:
    return next(m for m in view.marks if words_of(view, m).startswith(words))


@pytest.mark.parametrize(
    ("words", "kind", "note"),
    [
        ("Two ounces", "amount", "2 oz (60 ml) gin, in Slow Ferry"),
        ("gin", "name", "2 oz (60 ml) gin, in Slow Ferry"),
        ("fuller num", "fix", "Heard “fuller num”, written “falernum”: put right in the captions"),
        ("coupe", "glass", "The glass of Slow Ferry"),
        ("honey syrup", "asked", "Asked: How much honey syrup goes into Slow Ferry?"),
        ("grapefruit juice", "out", "Left out: told as what one could do"),
    ],
)
def test_marks(view: View, words: str, kind: str, note: str) -> None:
    mark = marked(view, words)
    assert mark.kind == kind
    assert any(n.startswith(note) for n in mark.notes)


def test_no_mark_lies_over_another(view: View) -> None:
    ends = [(m.first, m.last) for m in view.marks]
    assert ends == sorted(ends)
    assert all(a[1] < b[0] for a, b in pairwise(ends))


def test_the_paragraphs_hold_every_word_once_each_with_its_second(view: View) -> None:
    words: tuple[Word, ...] = view.job.talk.transcript.words
    texts = [t for p in view.paragraphs for piece in p.pieces for t in piece.text.split(" ")]
    assert texts == [w.text for w in words]
    seconds = [float(s) for p in view.paragraphs for s in p.seconds.split(" ")]
    assert seconds == pytest.approx([w.start_s for w in words], abs=0.006)
    assert [p.drink for p in view.paragraphs if p.drink] == ["Slow Ferry", "Tin Roof"]


def test_the_moment_holds_the_words_in_question(view: View) -> None:
    for q in view.questions:
        a = asked(q, view.job.talk, view.places, view.job.words)
        assert a.from_s is not None
        assert a.to_s is not None
        assert q.evidence is not None
        assert a.from_s <= (q.evidence.start_s or 0) < a.to_s
        assert 4 <= a.to_s - a.from_s <= 14
        assert a.words.split()[0] == q.evidence.text.split()[0]


def test_the_dangerous_come_first_then_the_order_of_the_recording(view: View) -> None:
    order = in_order(tuple(reversed(view.state.episode.questions)))
    keys = [(not q.blocking, q.at_s) for q in order]
    assert keys == sorted(keys)
    assert len({k[0] for k in keys}) == 2


def test_words_are_found_by_their_seconds(view: View) -> None:
    words = view.job.talk.transcript.words
    for n in (0, 7, 44, len(words) - 1):
        told = Evidence(start_s=words[n].start_s, end_s=words[n].end_s, text=words[n].text)
        assert view.places.of(told) == (n, n)
    assert view.places.of(Evidence(start_s=None, end_s=None, text="by hand")) is None
    assert view.places.of(Evidence(start_s=1e6, end_s=1e6, text="x")) is None


def test_each_reason_is_of_a_turn_of_talk_that_there_is() -> None:
    faults: list[str] = []
    known = read_phrases(lexicon_folder() / "talk" / "modes.txt", faults)
    assert set(reasons()) <= set(known)
    # "optional" and "settled" leave nothing out.
    assert set(known) - set(reasons()) <= {"optional", "settled"}


@pytest.mark.parametrize(
    ("word", "seen"),
    [
        ("gin", "gin"),
        ("two\u00a0parts", "two\u00a0parts"),
        ("\u202e\u2066", "\ufffd"),
        ("a\x1b[31mb", "a[31mb"),
        ("\ud800", "\ufffd"),
    ],
)
def test_a_word_is_one_visible_word(word: str, seen: str) -> None:
    assert shown(word) == seen
    assert " " not in shown(word)
    assert shown(word)


def test_every_text_is_made_visible_and_escaped_on_its_way_out() -> None:
    made = environment().from_string('<p title="{{ x }}">{{ x }}</p>').render(x="<b>\u202e'\"&\x07</b>")
    safe = "&lt;b&gt;&#39;&#34;&amp;&lt;/b&gt;"
    assert made == f'<p title="{safe}">{safe}</p>'
    assert visible(7) == 7


def test_paths_name_one_thing_each(page: Served) -> None:
    names = ["lime juice", "a/b#2", "Lime Juice", "../../x", "gin"]
    steps = page.job.steps(names)
    assert len(set(steps)) == len(names)
    assert steps[0].endswith("#1")
    assert steps[2].endswith("#2")
    assert steps[1] == r"a\/b\#2"


def test_the_page_asks_no_other_stage(tmp_path: Path) -> None:
    """The project's own rule: a stage imports the core and itself."""
    import ast

    import extractor.review

    allowed = {"record", "lexicon", "units", "errors", "visible", "paths", "files", "review"}
    for file in Path(extractor.review.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("extractor."):
                assert (node.module or "").split(".")[1] in allowed, f"{file.name}: {node.module}"
