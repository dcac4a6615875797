"""The walk, the form and what is learned: as a person meets them."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from answers_kit import READERS, ask, brunch, drink, episode, pour
from rich.console import Console

from extractor.answers import (
    Answer,
    Answers,
    Desk,
    Habit,
    Habits,
    Made,
    Misheard,
    NoHabit,
    Store,
    Walked,
    keep_habit,
    learn,
    lessons_of,
    read_form,
    read_habit,
    read_habits,
    state_of,
    unreadable,
    walk,
    write_form,
)
from extractor.errors import AnswerError, PourwordError
from extractor.lexicon import load_lexicon
from extractor.record import Episode

SYRUP = "amount-missing-sunday-collar-simple-syrup"


def screen() -> Console:
    return Console(file=io.StringIO(), width=100, force_terminal=True, color_system=None)


def shown(console: Console) -> str:
    assert isinstance(console.file, io.StringIO)
    return console.file.getvalue()


def typing(*lines: str | type[BaseException]) -> Callable[[str], str]:
    left: Iterator[str | type[BaseException]] = iter(lines)

    def ask_line(prompt: str) -> str:
        line = next(left, EOFError)
        if isinstance(line, str):
            return line
        raise line

    return ask_line


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "brunch.answers.txt")


def walked(store: Store, *lines: str | type[BaseException], draft: Episode | None = None) -> tuple[Walked, str]:
    console = screen()
    return walk(draft or brunch(), store, console, typing(*lines), readers=READERS), shown(console)


ALL = ("1", "oloroso sherry", "a coupe", "1 ounce", "2 dashes", "1 part plum, 1 part sugar", "shake", "1", "leave")


def test_a_walk_from_the_first_question_to_the_last(store: Store) -> None:
    out, text = walked(store, *ALL)
    assert (out.finished, out.left, len(out.kept)) == (True, 0, 9)
    assert state_of(Desk(brunch(), store, READERS).episode).status == 0
    assert "1 of 9 · must be answered · 1:15 · Sunday Collar" in text
    assert "9 of 9 · advice · 0:05" in text
    assert "“and then simple syrup”" in text
    assert "  1) three quarters of an ounce (usual)" in text
    assert "simple syrup: 0.75 fl_oz" in text  # what was understood
    assert "9 answered, 0 open, 0 of them must be answered before this is published." in text


def test_what_is_not_understood_is_asked_for_again_and_not_saved(store: Store) -> None:
    out, text = walked(store, "lots", "3", "2", EOFError)
    assert "“lots” could not be read as an amount." in text
    assert "'3' picks an offer, and 2 offers were made" in text
    assert [k.answer.given for k in out.kept] == ["half an ounce"]
    assert [a.earlier for a in store.read().entries] == [()]


@pytest.mark.parametrize("end", [EOFError, KeyboardInterrupt, "quit"])
def test_it_can_be_left_at_any_moment(store: Store, end: str | type[BaseException]) -> None:
    out, text = walked(store, "1", "oloroso sherry", end)
    assert (out.finished, len(out.kept), out.left) == (False, 2, 7)
    assert "2 answered, 7 open" in text
    again, text = walked(store, EOFError)
    assert again.left == 7
    assert "1 of 7" in text


def test_back_and_another_answer(store: Store) -> None:
    out, text = walked(store, "1", "back", "2", "back", "back", "later", "oloroso sherry", EOFError)
    assert "Your answer so far: three quarters of an ounce" in text
    assert "This is the first question." in text
    assert {k.answer.id: k.answer.given for k in out.kept}[SYRUP] == "half an ounce"


def test_later_and_an_empty_line_ask_again_the_next_time(store: Store) -> None:
    walked(store, "later", "", EOFError)
    out, text = walked(store, EOFError)
    assert out.left == 9
    assert "1 of 9" in text


def test_the_words_around_are_those_of_the_transcript(store: Store) -> None:
    console = screen()
    walk(
        brunch(), store, console, typing(EOFError), readers=READERS, excerpt=lambda q: f"yes both [{q.about}] trust me"
    )
    assert "“yes both [simple syrup] trust me”" in shown(console)


def test_only_what_blocks(store: Store) -> None:
    console = screen()
    out = walk(brunch(), store, console, typing(EOFError), readers=READERS, only=lambda q: q.blocking)
    assert out.left == 6
    assert "1 of 6" in shown(console)


def test_an_answer_that_settles_others_skips_them(store: Store) -> None:
    draft = episode(
        drink("One", pour("gin", 1, "fl_oz", 1), pour("um", at=2, lexicon_id=None)),
        questions=[ask("name-unsure", "One", "um", at=2), ask("amount-missing", "One", "um", at=2)],
    )
    out, text = walked(store, "drop", draft=draft)
    assert (out.finished, len(out.kept)) == (True, 1)
    assert "2 of 2" not in text


def test_a_disk_that_is_full_for_a_while_loses_nothing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    real, calls = Store.save, 0

    def full(self: Store, *given: Answer, **more: object) -> object:
        nonlocal calls
        calls += 1
        if calls == 1:
            raise AnswerError("The answers file could not be written: No space left on device", hint="Make room.")
        return real(self, *given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Store, "save", full)
    out, text = walked(store, "1", "oloroso sherry", EOFError)
    assert "Not saved: The answers file could not be written" in text
    assert out.unsaved == []
    assert {a.given for a in store.read().entries} == {"three quarters of an ounce", "oloroso sherry"}


def test_a_disk_that_stays_full_leaves_the_answers_on_the_screen(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Store, *given: Answer, **more: object) -> object:
        raise AnswerError("The answers file could not be written: No space left on device", hint="Make room.")

    monkeypatch.setattr(Store, "save", full)
    out, text = walked(store, "half an ounce", EOFError)
    assert [typed for _, typed in out.unsaved] == ["half an ounce"]
    assert "Not saved, to: amount-missing: simple syrup?\n  answer: half an ounce" in text


def test_ctrl_c_in_the_midst_of_saving_saves_first(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    real, calls = Store.save, 0

    def stopped(self: Store, *given: Answer, **more: object) -> object:
        nonlocal calls
        calls += 1
        if calls == 1:
            raise KeyboardInterrupt
        return real(self, *given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Store, "save", stopped)
    out, _ = walked(store, "1", "never asked")
    assert len(out.kept) == 1
    assert store.read().entries[0].given == "three quarters of an ounce"


def test_another_person_answers_meanwhile(store: Store) -> None:
    def ask_line(prompt: str) -> str:
        if not store.read().entries:
            desk = Desk(brunch(), store, READERS, by="Ana")
            desk.answer(SYRUP, "2")
            desk.answer("glass-missing-sunday-collar-sunday-collar", "flute")
            return "1"
        raise EOFError

    console = screen()
    out = walk(brunch(), store, console, ask_line, readers=READERS)
    assert "Meanwhile Ana had answered “half an ounce”; that is kept in the file as earlier." in shown(console)
    assert out.left == 7
    kept = store.read().get(SYRUP)
    assert kept is not None
    assert (kept.given, kept.earlier) == ("three quarters of an ounce", ("half an ounce",))
    assert Desk(brunch(), store, READERS).episode.drinks[0].glass == "flute"


def test_foreign_text_is_text(store: Store) -> None:
    draft = episode(
        drink("[bold]One[/bold]\x1b[2J", pour("gin", at=1)),
        questions=[ask("amount-missing", None, "gin", "1 oz", at=1, text="[red]How much\x1b]0;x\x07[/red]\u202e?")],
    )
    _, text = walked(store, EOFError, draft=draft)
    assert "[red]How much]0;x[/red]?" in text
    assert "\x1b" not in re.sub(r"\x1b\[[0-9;]*m", "", text)


# ------------------------------------------------------------------------------------------------ forms


def test_a_form_goes_by_mail_and_comes_back(store: Store, tmp_path: Path) -> None:
    desk = Desk(brunch(), store, READERS)
    desk.answer(SYRUP, "1")
    form = tmp_path / "form.txt"
    assert write_form(desk, form) == 8
    text = form.read_text()
    assert SYRUP not in text
    for words in ALL[1:]:
        text = re.sub(r"answer:$", f"answer: {words}", text, count=1, flags=re.MULTILINE)
    form.write_text("Dear R.,\n\n" + "".join(f"> {line}\r\n" for line in text.splitlines()) + "\nYours, B.\n")
    taken = Desk(brunch(), store, READERS, by="B.").take_form(read_form(form))
    assert (len(taken.kept), taken.failed, taken.changed, taken.orphaned) == (8, (), (), ())
    after = Desk(brunch(), store, READERS)
    assert after.open == ()
    assert {a.by for a in store.read().entries if a.id != SYRUP} == {"B."}


def test_a_form_half_filled_and_partly_wrong(store: Store, tmp_path: Path) -> None:
    desk = Desk(brunch(), store, READERS)
    form = desk.form()
    fill = {SYRUP: "a bit", "unit-missing-porch-light-lime-juice": "1 ounce"}
    filled = form.model_copy(
        update={"entries": tuple(a.model_copy(update={"given": fill.get(a.id, "")}) for a in form.entries)}
    )
    taken = desk.take_form(filled)
    assert [(f.answer.id, f.why) for f in taken.failed] == [(SYRUP, "“a bit” could not be read as an amount")]
    assert [d.answer.id for d in taken.kept] == ["unit-missing-porch-light-lime-juice"]
    assert [a.id for a in store.read().entries] == ["unit-missing-porch-light-lime-juice"]
    assert SYRUP in [q.id for q in desk.open]


def test_a_form_of_older_captions_is_shown_again_not_applied(store: Store) -> None:
    old = Desk(brunch(), store, READERS).form()
    filled = old.model_copy(
        update={
            "entries": tuple(
                a.model_copy(update={"given": "1 ounce" if a.id.startswith("unit") else ""}) for a in old.entries
            )
        }
    )
    draft = brunch()
    pours = tuple(
        pour("lime juice", 3, None, 172) if i.name == "lime juice" else i for i in draft.drinks[1].ingredients
    )
    draft = draft.model_copy(
        update={"drinks": (draft.drinks[0], draft.drinks[1].model_copy(update={"ingredients": pours}))}
    )
    desk = Desk(draft, store, READERS)
    taken = desk.take_form(filled)
    assert (taken.kept, len(taken.changed)) == ((), 1)
    (question,) = [q for q in desk.open if q.kind == "unit-missing"]
    assert question.suggestions[0].answer == "1 ounce"
    # A fresh form has it as its first offer, with the reason.
    (block,) = [a for a in desk.form().entries if a.id == question.id]
    assert block.offers[0].reason.startswith("answered before")
    assert "Answered before with “1 ounce”" in block.asked


def test_a_form_puts_away_an_answer_that_lost_its_place(store: Store, tmp_path: Path) -> None:
    Desk(brunch(), store, READERS).answer(SYRUP, "half an ounce")
    again = brunch()
    # The old answer's drink is gone, and its question's name now belongs to another question.
    other = ask("amount-missing", "Porch Light", "plum oleo", id=SYRUP, at=175)
    again = again.model_copy(update={"drinks": again.drinks[1:], "questions": (other,)})
    desk = Desk(again, store, READERS)
    assert sorted(q.id for q in desk.open) == [SYRUP, f"{SYRUP}~earlier"]
    write_form(desk, tmp_path / "form.txt")
    text = (tmp_path / "form.txt").read_text()
    for words in ("3 ounces", "1") if text.index(f"{SYRUP}\n") < text.index("~earlier") else ("1", "3 ounces"):
        text = re.sub(r"answer:$", f"answer: {words}", text, count=1, flags=re.MULTILINE)
    (tmp_path / "form.txt").write_text(text)
    desk.take_form(read_form(tmp_path / "form.txt"))
    fresh = Desk(again, store, READERS)
    assert fresh.open == ()
    assert next(i for i in fresh.episode.drinks[0].ingredients if i.name == "plum oleo").amount.low == 3  # type: ignore[union-attr]
    assert "half an ounce" in store.path.read_text()


def test_answers_written_by_hand_need_no_form(store: Store, tmp_path: Path) -> None:
    mine = tmp_path / "mine.txt"
    mine.write_text(
        f"pourword-answers: 1\nquestion: {SYRUP}\nanswer: half an ounce\n"
        "edit: set drink/1/ingredient/gin/amount\nanswer: 2 ounces\nquestion: no-such-question\nanswer: 1 oz\n"
    )
    desk = Desk(brunch(), store, READERS)
    taken = desk.take_form(read_form(mine))
    assert [d.said for d in taken.kept] == ["simple syrup: 0.5 fl_oz", "gin: 2 fl_oz"]
    assert [o.why for o in taken.orphaned] == ["its question is not asked here"]
    assert store.read().get(SYRUP).ground is not None  # type: ignore[union-attr]


def test_a_form_never_writes_over_a_file(store: Store, tmp_path: Path) -> None:
    desk = Desk(brunch(), store, READERS)
    write_form(desk, tmp_path / "form.txt")
    with pytest.raises(AnswerError, match="file of that name already"):
        write_form(desk, tmp_path / "form.txt")
    with pytest.raises(AnswerError, match="cannot be read"):
        read_form(tmp_path / "none.txt")


def test_a_form_taken_in_twice_changes_nothing_more(store: Store) -> None:
    desk = Desk(brunch(), store, READERS)
    form = desk.form()
    filled = form.model_copy(
        update={"entries": tuple(a.model_copy(update={"given": "1 ounce"}) for a in form.entries if a.id == SYRUP)}
    )
    desk.take_form(filled)
    desk.answer(SYRUP, "half an ounce")
    desk.take_form(filled)
    assert store.read().get(SYRUP).given == "half an ounce"  # type: ignore[union-attr]


# ------------------------------------------------------------------------------------------------ learning


def _lessons(draft: Episode, tmp_path: Path, **answers: str) -> list[Misheard | Made]:
    tmp_path.mkdir(exist_ok=True)
    desk = Desk(draft, Store(tmp_path / "a.txt"), READERS)
    for start, words in answers.items():
        (id,) = [q.id for q in draft.questions if q.id.replace("-", "_").startswith(start)]
        desk.answer(id, words)
    return lessons_of(desk.applied, load_lexicon())


def test_a_mishearing_is_learned_and_read_by_the_lexicon(tmp_path: Path) -> None:
    (lesson,) = _lessons(brunch(), tmp_path, name_unsure="oloroso sherry")
    assert str(lesson) == "“all are also cherry” is oloroso sherry"
    own = learn(lesson, tmp_path / "mine")
    learn(Misheard("oloroso sherry", "oh lo row so", "sherry"), tmp_path / "mine")
    learn(lesson, tmp_path / "mine")
    ours = load_lexicon()
    mine = load_lexicon(own=(own,))
    entry = mine.by_id["oloroso-sherry"]
    assert set(entry.misheard) >= {"all are also cherry", "oh lo row so"}
    # What we knew of it is still known.
    before = ours.by_id["oloroso-sherry"]
    assert mine.figure(entry, "strength") == ours.figure(before, "strength")
    assert mine.listed(entry, "allergens") == ours.listed(before, "allergens") == ("sulphites",)
    assert set(before.others) <= set(entry.others)
    assert len(mine.by_id) == len(ours.by_id)


def test_what_the_file_held_by_hand_stays(tmp_path: Path) -> None:
    own = tmp_path / "lexicon.txt"
    own.write_text(
        "# mine\nplum oleo\n  kind: syrup\n  # from the tree\n  other: oleo\n\n"
        "fig rum\n  kind: rum\n  misheard: big rum\n"
    )
    learn(Misheard("plum oleo", "plum holy o", "syrup"), tmp_path)
    learn(Misheard("fig rum", "fig drum", "rum"), tmp_path)
    assert own.read_text() == (
        "# mine\nplum oleo\n  misheard: plum holy o\n  kind: syrup\n  # from the tree\n  other: oleo\n\n"
        "fig rum\n  kind: rum\n  misheard: big rum | fig drum\n"
    )


def test_a_mishearing_that_would_spoil_a_right_word_is_not_learned(tmp_path: Path) -> None:
    for heard in ("cherry", "pork", "lime juice"):
        pours = pour(heard, 1, "fl_oz", 2, lexicon_id=None)
        draft = episode(
            drink("One", pour("gin", 1, "fl_oz", 1), pours), questions=[ask("name-unsure", "One", heard, at=2)]
        )
        assert _lessons(draft, tmp_path / heard.split()[0], name_unsure="oloroso sherry") == [], heard


def test_a_new_name_needs_its_kind(tmp_path: Path) -> None:
    lesson = Misheard("smoked plum oleo", "smoke plum holy o", None)
    with pytest.raises(AnswerError, match="not known what kind"):
        learn(lesson, tmp_path)
    own = learn(lesson, tmp_path, kind="syrup")
    assert load_lexicon(own=(own,)).by_id["smoked-plum-oleo"].misheard == ("smoke plum holy o",)
    with pytest.raises(AnswerError, match="cannot stand in a lexicon file"):
        learn(Misheard("# no", "x y", "syrup"), tmp_path)


def test_habits_of_measure_and_of_making(tmp_path: Path) -> None:
    for sentence, habit in (
        ("my cup is 250 ml", Habit("measures", "cup", "250 ml")),
        ("A dash is 0.8 ml.", Habit("measures", "dash", "0.8 ml")),
        ("simple syrup means one to one", Habit("made", "simple syrup", "one to one")),
        ("orgeat is 2 parts sugar, 1 part water", Habit("made", "orgeat", "2 parts sugar, 1 part water")),
    ):
        got = read_habit(sentence, READERS)
        assert got == habit
        keep_habit(habit, tmp_path)
    keep_habit(Habit("measures", "cup", "240 ml"), tmp_path)
    habits = read_habits(tmp_path)
    assert dict(habits.measures) == {"cup": 240.0, "dash": 0.8}
    assert dict(habits.made) == {"simple syrup": "one to one", "orgeat": "2 parts sugar, 1 part water"}
    assert read_habits(tmp_path / "none") == Habits()
    for sentence in ("hello", "my cup is large", "my cup is 2 cups", "simple syrup is nice"):
        assert isinstance(read_habit(sentence, READERS), NoHabit), sentence


def test_a_measure_of_ones_own_is_what_the_units_take(tmp_path: Path) -> None:
    from extractor.units import load_units

    keep_habit(Habit("measures", "bar_spoon", "5 ml"), tmp_path)
    units = load_units("us", overrides=read_habits(tmp_path).measures)
    assert units.millilitres(2, 2, "bar_spoon") == (10.0, 10.0)


def test_a_broken_habits_file_is_told_with_its_lines(tmp_path: Path) -> None:
    (tmp_path / "habits.txt").write_text(
        "cup: 5 ml\n[measures]\nbarspoon: 5 ml\ncup: big\n[made]\nx\ny: 1\ny: 2\n[other]\n"
    )
    with pytest.raises(AnswerError) as caught:
        read_habits(tmp_path)
    assert [f.split(":")[1] for f in caught.value.faults] == ["1", "3", "4", "6", "8", "9"]  # type: ignore[attr-defined]


def test_a_habit_answers_in_the_next_episode_and_the_episodes_own_answer_goes_before(store: Store) -> None:
    habits = Habits(made={"Plum Oleo": "1 part plum, 1 part sugar"})
    desk = Desk(brunch(), store, READERS, habits=habits)
    assert "component-incomplete" not in [q.kind for q in desk.open]
    assert [i.amount.low for i in desk.episode.drinks[1].components[0].ingredients if i.amount] == [1, 1]
    assert store.read() == Answers()  # it is no answer of this episode
    desk.answer("component-incomplete-porch-light-plum-oleo", "2 parts plum, 1 part sugar")
    assert [i.amount.low for i in desk.episode.drinks[1].components[0].ingredients if i.amount] == [2, 1]
    useless = Desk(brunch(), Store(store.path.with_name("b")), READERS, habits=Habits(made={"plum oleo": "2 to 1"}))
    assert "component-incomplete" in [q.kind for q in useless.open]
    assert useless.applied.failed == ()


def test_a_recipe_answered_is_a_habit_on_offer(tmp_path: Path) -> None:
    (lesson,) = _lessons(brunch(), tmp_path, component_incomplete="1 part plum, 1 part sugar")
    assert lesson == Made("plum oleo", "1 part plum, 1 part sugar")
    learn(lesson, tmp_path)
    assert read_habits(tmp_path).recipe("Plum oleo") == "1 part plum, 1 part sugar"


def test_without_a_folder_it_is_the_systems_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("extractor.answers.lessons.user_folder", lambda: tmp_path / "pourword")
    assert learn(Misheard("fig rum", "fig drum", "rum")) == tmp_path / "pourword" / "lexicon.txt"


def test_what_could_not_be_read_is_two() -> None:
    gate = unreadable(PourwordError("No such file", hint="Check\nthe name."))
    assert (gate.status, gate.line) == (2, "Could not be read: No such file Check the name.")
