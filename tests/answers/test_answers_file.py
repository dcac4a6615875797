"""The answers file: round trips, what mail programs do to it, and the oddities of hands."""

from __future__ import annotations

import re
import textwrap

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from extractor.answers import EDIT, Answer, Answers, AnswersFileError, Ground, Offer, print_answers, read_answers
from extractor.answers.answer import clean
from extractor.answers.replies import Fault, Leave, Part, Words, read_reply
from extractor.answers.text import LEAVE, mark_of

# Any text that a caption, a hand or a hostile file could hold; `clean` makes a line of it as the program does.
text = st.text(max_size=120).map(clean)
some = text.filter(bool)
maybe = st.none() | some
comment = some.filter(lambda t: not re.fullmatch(r"\d+ of \d+|end of answers", t) and f"# {t}" != LEAVE)
grounds = st.builds(
    Ground,
    role=some,
    drink=maybe,
    place=st.none() | st.integers(1, 99),
    within=st.lists(text, max_size=5).map(tuple),
    component=maybe,
    about=text,
    heard=text,
    known=maybe,
    before=st.none() | text,
    after=st.none() | text,
    turn=st.just(2),
    turns=st.just(3),
    held=some,
    values=st.lists(text, max_size=3).map(tuple),
    missing=maybe,
    words=text,
    at_s=st.none() | st.integers(0, 400_000),
    told_s=st.none() | st.integers(0, 400_000),
    besides=st.lists(text, max_size=3).map(tuple),
    unnamed=st.booleans(),
)


def _readable(answer: Answer) -> bool:
    return not isinstance(read_reply(answer.given, answer.offers, edit=answer.is_edit), Fault)


answers = st.builds(
    Answer,
    id=some,
    kind=st.sampled_from(["amount-missing", "name-unsure", EDIT]),
    given=text,
    offers=st.lists(st.builds(Offer, answer=text, reason=text), max_size=4).map(tuple),
    ground=grounds,
    asked=text,
    blocking=st.booleans(),
    revision=st.integers(0, 10**9),
    by=maybe,
    on=maybe,
    earlier=st.lists(some, max_size=3).map(tuple),
    comments=st.lists(comment, max_size=2).map(tuple),
).filter(_readable)
files = st.builds(
    Answers,
    entries=st.lists(answers, max_size=4, unique_by=lambda a: a.id).map(tuple),
    revision=st.integers(0, 10**9),
    episode=maybe,
    comments=st.lists(comment, max_size=2).map(tuple),
)


@settings(max_examples=400, deadline=None)
@given(files)
@example(
    Answers(
        entries=(
            Answer(
                id="| # question: x",
                kind=EDIT,
                given="> answer: 2) | \\",
                ground=Ground(within=("-", "", "\\", "a|b", "\\-")),
            ),
        )
    )
)
def test_what_is_written_is_read_back(file: Answers) -> None:
    assert read_answers(print_answers(file)) == file


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=400))
def test_any_text_is_answers_or_a_clear_error(text: str) -> None:
    try:
        read_answers(text, file="x.txt")
    except AnswersFileError as error:
        told = str(error)
    else:
        return
    assert re.match(r"x\.txt:\d+: .+\n.+", told)  # the place, the fault, and below it the hint


@settings(max_examples=200, deadline=None)
@given(files, st.data())
def test_a_damaged_file_never_gives_another_answer_in_silence(file: Answers, data: st.DataObject) -> None:
    """One character struck out or doubled anywhere: a clear error, or the same grounds as were written."""
    printed = print_answers(file)
    at = data.draw(st.integers(0, len(printed) - 1))
    hurt = printed[:at] + data.draw(st.sampled_from(["", printed[at] * 2])) + printed[at + 1 :]
    try:
        read = read_answers(hurt)
    except AnswersFileError:
        return
    whole = {a.id: a for a in file.entries}
    for answer in read.entries:
        if answer.ground is not None and answer.id in whole:
            # The ground (punctuation and blanks aside) is the one that was written, or the block would be a fault.
            assert mark_of(answer) == mark_of(whole[answer.id])


FORM = print_answers(
    Answers(
        episode="brunch.vtt",
        entries=(
            Answer(
                id="amount-missing-1",
                kind="amount-missing",
                offers=(
                    Offer(answer="three quarters of an ounce", reason="the usual amount"),
                    Offer(answer="half an ounce"),
                ),
                ground=Ground(
                    role="ingredient",
                    drink="Sunday Collar",
                    place=1,
                    about="simple syrup",
                    heard="simple syrup",
                    at_s=75,
                    words="and then simple syrup and then one egg white",
                    within=("gin", "simple syrup"),
                ),
                asked="How much simple syrup goes in? No amount was said, and it is the only sweet thing in the drink, "
                "so that the drink cannot be made without it.",
                blocking=True,
            ),
            Answer(
                id="glass-missing-1",
                kind="glass-missing",
                ground=Ground(role="drink", drink="Sunday Collar", place=1),
                asked="Which glass?",
            ),
        ),
    )
)


def _fill(form: str, *given: str) -> str:
    for words in given:
        form = re.sub(r"answer:$", f"answer: {words}", form, count=1, flags=re.MULTILINE)
    return form


def test_a_filled_form_gives_its_answers() -> None:
    read = read_answers(_fill(FORM, "2", "a coupe"))
    assert [a.given for a in read.entries] == ["2", "a coupe"]
    assert read_reply("2", read.entries[0].offers) == Words((Part(None, "half an ounce"),), 2)


@pytest.mark.parametrize(
    "damage",
    [
        lambda t: t.replace("\n", "\r\n"),
        lambda t: "\ufeff" + t,
        lambda t: "".join(f"> {line}\n" for line in t.splitlines()),
        lambda t: "".join(f"> > {line}\n" for line in t.splitlines()),
        lambda t: f"Hello,\n\nhere are mine. Best, R.\n\n{t}\n-- \nR. of the bar\n",
        lambda t: "\n".join(line.strip() for line in t.splitlines()),
        lambda t: t.replace("  ", "\u00a0 "),
        lambda t: "\n".join(
            w for line in t.splitlines() for w in (textwrap.wrap(line, 60) or [""]) if not line.startswith("#")
        ),
        lambda t: t.replace("\n\n", "\n\n\n"),
    ],
    ids=[
        "CRLF",
        "BOM",
        "quoted",
        "twice quoted",
        "letter around it",
        "no indent",
        "hard blanks",
        "broken lines",
        "blank lines",
    ],
)
def test_what_mail_programs_do_changes_no_answer(damage) -> None:  # type: ignore[no-untyped-def]
    filled = _fill(FORM, "three quarters of an ounce", "a coupe")
    assert read_answers(damage(filled)).entries == read_answers(filled).entries


def _faults(text: str) -> list[str]:
    with pytest.raises(AnswersFileError) as caught:
        read_answers(text, file="f.txt")
    return caught.value.faults


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (lambda t: t.replace("answer:\n", "anser: 2\n", 1), "unknown key `anser`"),
        (lambda t: _fill(t, "3"), "'3' picks an offer, and 2 offers were made"),
        (lambda t: _fill(t, "0"), "'0' picks an offer"),
        (lambda t: t.replace("half an ounce", "two ounces"), "more than the answer was changed"),
        (lambda t: t.replace("  held: nothing", "  held: 0.5 fl_oz", 1), "more than the answer was changed"),
        (lambda t: t.replace("  2) half an ounce", "x 2) half an ounce"), "more than the answer was changed"),
        (lambda t: t.replace("  2) half an ounce", "  2) half an ounce <- this"), "more than the answer was changed"),
        (lambda t: t.replace("  2) half", "  3) half"), "offer 3 stands where offer 2 is due"),
        (lambda t: t.replace("glass-missing-1", "amount-missing-1"), "stands twice (first in line"),
        (lambda t: t.replace("answer:\n", "answer: 1\n  answer: 2\n", 1), "`answer` stands twice in one block"),
        (lambda t: t.replace("pourword-answers: 1", "pourword-answers: 2"), "answers of format '2'"),
        (lambda t: t.replace("pourword-answers: 1", ""), "it has no line `pourword-answers: 1`"),
        (lambda t: t + "question: later-1\n  answer: 2\n", "behind the line `# end of answers`"),
        (lambda t: "question: early-1\n" + t, "before the line `pourword-answers: 1`"),
        (lambda t: t.replace("  answer:\n", "", 1), "has no `answer:`"),
        (lambda t: t.replace("question: glass-missing-1", "question:"), "`question:` without its name"),
        (lambda t: t.replace("at: 1:15", "at: 75"), "`at` is minute and second"),
        (lambda t: t.replace("revision: 0", "revision: x"), "`revision` is a whole number"),
        (lambda t: _fill(t, "parts: 2 parts sugar; time:"), "has a field with nothing behind it"),
        (lambda t: re.sub(r"  mark: .*\n", "", _fill(t, "2"), count=1), "this block has lost its `mark:`"),
    ],
)  # fmt: skip
def test_oddities_of_hands_are_told_with_their_line(change, fault) -> None:  # type: ignore[no-untyped-def]
    damaged = change(FORM)
    assert damaged != FORM
    faults = _faults(damaged)
    found = [f for f in faults if fault in f]
    assert found, faults
    line = int(found[0].split(":")[1])
    assert 1 <= line <= len(damaged.splitlines())


def test_all_faults_are_told_at_once_and_the_first_has_a_hint() -> None:
    damaged = _fill(FORM, "7", "x").replace("at: 1:15", "at: noon")
    with pytest.raises(AnswersFileError) as caught:
        read_answers(damaged, file="f.txt")
    assert len(caught.value.faults) == 2
    assert "(and 1 more, see lines" in str(caught.value)
    assert str(caught.value).splitlines()[1] == "Put back what was printed, or take a fresh form."


def test_a_block_written_by_hand_needs_two_lines() -> None:
    read = read_answers("pourword-answers: 1\nquestion: amount-missing-1\nanswer: half an ounce\n")
    assert read.entries == (Answer(id="amount-missing-1", kind="", given="half an ounce"),)


def test_an_answer_may_go_on_below() -> None:
    mine = (
        "pourword-answers: 1\nquestion: a\nanswer: Shake with ice,\n  | then fine strain.\n"
        "question: b\nanswer: parts: 1 part a\n time: 1 hour\n"
    )
    assert [a.given for a in read_answers(mine).entries] == [
        "Shake with ice, then fine strain.",
        "parts: 1 part a; time: 1 hour",
    ]


def test_comments_of_a_hand_stay() -> None:
    mine = "pourword-answers: 1\n# ask Rosa\nquestion: a\n  # she said less\n  answer: 2 dashes\n"
    read = read_answers(mine)
    assert (read.comments, read.entries[0].comments) == (("ask Rosa",), ("she said less",))
    assert "# ask Rosa" in print_answers(read)
    assert read_answers(print_answers(read)) == read


def test_control_codes_never_reach_the_file_or_the_terminal() -> None:
    answer = Answer(id="a\x1b[2Jb", kind="name-unsure", given="x\r\nanswer: y\u202e\u2028z\x00", asked="\x07")
    assert (answer.id, answer.given, answer.asked) == ("a[2Jb", "x answer: y z", "")


@pytest.mark.parametrize(
    ("given", "reply"),
    [
        ("leave as it is", Leave()),
        ("Leave it.", Leave()),
        ('"leave it"', Words((Part(None, "leave it", quoted=True),))),
        ("“Later”", Words((Part(None, "Later", quoted=True),))),
        ("2)", Words((Part(None, "b"),), 2)),
        ("offer 1", Words((Part(None, "a"),), 1)),
        ("3", Leave()),
        ("name: falernum; amount: 2 dashes", Words((Part("name", "falernum"), Part("amount", "2 dashes")))),
        ("a drink; with a semicolon", Words((Part(None, "a drink; with a semicolon"),))),
        ("2 dashes", Words((Part(None, "2 dashes"),))),
        ("", None),
    ],
)
def test_replies(given: str, reply: object) -> None:
    assert read_reply(given, (Offer(answer="a"), Offer(answer="b"), Offer(answer="leave as it is"))) == reply
