"""Answers when the talk is read anew: they hold where it does, are shown again where it changed, and never move."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from answers_kit import READERS, ask, brunch, drink, episode, pour, read_amount, read_name

from extractor.answers import Answers, Desk, Store, answer_to, apply_answers, apply_with_report, match_answers
from extractor.errors import AnswerError
from extractor.record import Component, Drink, Episode, Ingredient, Question

SYRUP = "amount-missing-sunday-collar-simple-syrup"
CHERRY = "name-unsure-sunday-collar-all-are-also-cherry"


def given(draft: Episode, **answers: str) -> Answers:
    """Answers by the id's first letters, as given on this draft."""
    out = []
    for start, words in answers.items():
        (question,) = [q for q in draft.questions if q.id.replace("-", "_").startswith(start)]
        out.append(answer_to(question, draft, words))
    return Answers(entries=tuple(out))


def with_pours(draft: Episode, number: int, pours: Sequence[Ingredient], **more: Any) -> Episode:
    drinks = list(draft.drinks)
    drinks[number] = drinks[number].model_copy(update={"ingredients": tuple(pours), **more})
    return draft.model_copy(update={"drinks": tuple(drinks)})


def swap(pours: Sequence[Ingredient], name: str, new: Ingredient) -> list[Ingredient]:
    assert any(p.name == name for p in pours)
    return [new if p.name == name else p for p in pours]


def amounts(episode: Episode, name: str) -> list[float | None]:
    return [i.amount.low if i.amount else None for d in episode.drinks for i in d.ingredients if i.name == name]


def ids(outcome: Sequence[Any]) -> list[str]:
    return [o.answer.id for o in outcome]


# ------------------------------------------------------------------------------------------------ holds


def test_the_same_talk_read_again_holds_every_answer() -> None:
    draft = brunch()
    answers = Answers(entries=tuple(answer_to(q, draft, "leave as it is") for q in draft.questions))
    matched = match_answers(answers, draft)
    assert ids(matched.holds) == [q.id for q in draft.questions]
    assert (matched.changed, matched.orphaned, matched.settled) == ((), (), ())


def test_another_garble_of_the_same_word_holds() -> None:
    answers = given(brunch(), name_unsure="oloroso sherry", amount_missing="half an ounce")
    again = brunch()
    pours = swap(
        again.drinks[0].ingredients,
        "all are also cherry",
        pour("all arrow so cherry", 0.5, "fl_oz", 85, lexicon_id=None),
    )
    pours = swap(pours, "simple syrup", pour("simple sir up", at=75, lexicon_id=None))
    again = with_pours(again, 0, pours).model_copy(
        update={
            "questions": (
                ask("name-unsure", "Sunday Collar", "all arrow so cherry", id="n1", at=85),
                ask("amount-missing", "Sunday Collar", "simple sir up", id="n2", at=75),
            )
        }
    )
    done = apply_with_report(again, answers, READERS)
    assert [(d.answer.id, d.closed) for d in done.done] == [(CHERRY, "n1"), (SYRUP, "n2")]
    assert done.episode.questions == ()
    assert amounts(done.episode, "oloroso sherry") == [0.5]
    assert amounts(done.episode, "simple sir up") == [0.5]


def test_an_answer_holds_when_its_question_is_no_longer_asked_and_the_ground_is_the_same() -> None:
    answers = given(brunch(), amount_missing="half an ounce")
    again = brunch().model_copy(update={"questions": ()})
    assert amounts(apply_answers(again, answers, read_amount=read_amount, read_name=read_name), "simple syrup") == [0.5]


def test_a_drink_more_and_another_order_move_no_answer() -> None:
    answers = given(brunch(), amount_missing="half an ounce", glass_missing="a coupe", unit_missing="1 ounce")
    again = brunch()
    first = drink("Cold Open", pour("gin", 2, "fl_oz", 10), pour("simple syrup", at=12), at=5)
    again = again.model_copy(
        update={
            "drinks": (first, again.drinks[1], again.drinks[0]),
            "questions": (ask("amount-missing", "Cold Open", "simple syrup", at=12), *again.questions),
        }
    )
    done = apply_with_report(again, answers, READERS)
    assert len(done.done) == 3
    cold, light, collar = done.episode.drinks
    assert cold.ingredients[1].amount is None
    assert collar.ingredients[2].amount.low == 0.5  # type: ignore[union-attr]
    assert (collar.glass, light.glass, cold.glass) == ("coupe", "coupe", None)


def test_a_drink_whose_name_was_garbled_is_known_by_what_is_in_it() -> None:
    answers = given(brunch(), amount_missing="half an ounce", glass_missing="a coupe")
    again = brunch()
    renamed = again.drinks[0].model_copy(update={"name": "Some Day Caller", "name_heard": "some day caller"})
    questions = tuple(
        q.model_copy(update={"drink": "Some Day Caller", "id": f"x{n}"})
        for n, q in enumerate(again.questions)
        if q.drink == "Sunday Collar"
    )
    again = again.model_copy(update={"drinks": (renamed, again.drinks[1]), "questions": questions})
    done = apply_with_report(again, answers, READERS)
    assert len(done.done) == 2
    assert (done.episode.drinks[0].glass, done.episode.drinks[0].ingredients[2].amount.low) == ("coupe", 0.5)  # type: ignore[union-attr]


def test_of_two_of_one_name_each_keeps_its_own() -> None:
    def twice(questions: tuple[Question, ...] = ()) -> Episode:
        return episode(
            drink(
                "Two Limes",
                pour("gin", 2, "fl_oz", 1),
                pour("lime juice", at=2),
                pour("orgeat", 1, "fl_oz", 3),
                pour("lime juice", at=4),
            ),
            questions=questions,
        )

    questions = (
        ask("amount-missing", "Two Limes", "lime juice", id="first", at=2),
        ask("amount-missing", "Two Limes", "lime juice", id="second", at=4),
    )
    draft = twice(questions)
    answers = Answers(entries=(answer_to(questions[0], draft, "1 ounce"), answer_to(questions[1], draft, "2 ounces")))
    # The names of the two questions are swapped in the new draft: the names prove nothing.
    again = twice((questions[0].model_copy(update={"id": "second"}), questions[1].model_copy(update={"id": "first"})))
    for of in (draft, again):
        assert amounts(apply_answers(of, answers, read_amount=read_amount, read_name=read_name), "lime juice") == [
            1.0,
            2.0,
        ]


def test_two_drinks_run_together_take_over_neither_glass() -> None:
    """The second drink's opening was lost: its things now stand in the first, under the first's name, or under none."""
    first = drink("Porch Light", pour("gin", 1, "fl_oz", 1), pour("lime juice", 1, "fl_oz", 2), at=0)
    second = drink(
        "Second Alarm",
        pour("aged rum", 2, "fl_oz", 101),
        pour("orgeat", 1, "fl_oz", 102),
        pour("sugar", at=103),
        at=100,
    )
    draft = episode(
        first,
        second,
        questions=[ask("glass-missing", d, d, at=at) for d, at in (("Porch Light", 0), ("Second Alarm", 100))],
    )
    answers = Answers(
        entries=tuple(answer_to(q, draft, g) for q, g in zip(draft.questions, ("flute", "mug"), strict=True))
    )
    both = first.model_copy(update={"ingredients": (*first.ingredients[:1], *second.ingredients), "end_s": 200.0})
    kept = apply_with_report(episode(both, questions=draft.questions[:1]), answers, READERS)
    assert kept.episode.drinks[0].glass == "flute"
    assert [o.answer.given for o in kept.orphaned] == ["mug"]
    nameless = both.model_copy(
        update={"name": "Unnamed drink", "name_heard": None, "ingredients": (*first.ingredients, *second.ingredients)}
    )
    neither = apply_with_report(episode(nameless), answers, READERS)
    assert neither.episode.drinks[0].glass is None
    assert len(neither.changed) + len(neither.orphaned) == 2


def test_a_stopgap_for_a_name_is_no_name() -> None:
    def nameless(*pours: Ingredient) -> Drink:
        return drink("Unnamed drink", *pours, name_heard=None)

    draft = episode(
        nameless(pour("gin", 1, "fl_oz", 1), pour("orgeat", at=2)),
        questions=[ask("amount-missing", "Unnamed drink", "orgeat", at=2)],
    )
    answers = given(draft, amount_missing="1 ounce")
    other = nameless(pour("aged rum", 1, "fl_oz", 201), pour("orgeat", at=202))
    assert apply_with_report(episode(other), answers, READERS).done == ()
    named = drink("Quiet Acre", pour("gin", 1, "fl_oz", 1), pour("orgeat", at=2))
    assert len(apply_with_report(episode(other, named), answers, READERS).done) == 1


# ------------------------------------------------------------------------------------------------ changed ground


def test_another_amount_heard_is_shown_again_and_not_applied() -> None:
    answers = given(brunch(), unit_missing="1 ounce")
    again = brunch()
    again = with_pours(again, 1, swap(again.drinks[1].ingredients, "lime juice", pour("lime juice", 2, None, 172)))
    done = apply_with_report(again, answers, READERS)
    assert done.done == ()
    (changed,) = done.changed
    assert changed.why == "the talk as it is now read gives “2 ?”, where it gave “1 ?”"
    (question,) = [q for q in done.episode.questions if q.kind == "unit-missing"]
    assert question.suggestions[0].answer == "1 ounce"
    assert question.context["changed"] == changed.why
    assert amounts(done.episode, "lime juice") == [2.0]


def test_an_amount_now_heard_where_none_was_is_asked_about_though_nothing_asks() -> None:
    answers = given(brunch(), amount_missing="half an ounce")
    again = brunch()
    again = with_pours(
        again, 0, swap(again.drinks[0].ingredients, "simple syrup", pour("simple syrup", 1, "fl_oz", 75))
    )
    again = again.model_copy(update={"questions": tuple(q for q in again.questions if q.id != SYRUP)})
    done = apply_with_report(again, answers, READERS)
    assert amounts(done.episode, "simple syrup") == [1.0]
    (question,) = [q for q in done.episode.questions if q.about == "simple syrup"]
    assert (question.kind, question.blocking, question.drink) == ("amount-conflict", True, "Sunday Collar")
    assert [s.answer for s in question.suggestions] == ["half an ounce", "leave as it is"]
    assert "half an ounce" in question.text
    assert "1 fl_oz" in question.text


def test_an_amount_now_heard_that_is_the_answer_settles_it() -> None:
    answers = given(brunch(), amount_missing="half an ounce")
    again = with_pours(
        brunch(), 0, swap(brunch().drinks[0].ingredients, "simple syrup", pour("simple syrup", 0.5, "fl_oz", 75))
    )
    again = again.model_copy(update={"questions": ()})
    done = apply_with_report(again, answers, READERS)
    assert [a.id for a in done.settled] == [SYRUP]
    assert done.episode.questions == ()


def test_a_name_now_read_right_settles_it_and_another_name_is_asked_about() -> None:
    answers = given(brunch(), name_unsure="oloroso sherry")
    for name, settled in (("oloroso sherry", True), ("maraschino cherry", False)):
        again = with_pours(
            brunch(), 0, swap(brunch().drinks[0].ingredients, "all are also cherry", pour(name, 0.5, "fl_oz", 85))
        )
        again = again.model_copy(update={"questions": ()})
        done = apply_with_report(again, answers, READERS)
        assert done.done == ()
        assert bool(done.settled) is settled
        assert [q.kind for q in done.episode.questions] == ([] if settled else ["name-unsure"])
        assert amounts(done.episode, name) == [0.5]


def test_lime_heard_for_lemon_takes_no_amount_over() -> None:
    """Near in spelling, in the same place, and both known: another thing."""
    draft = episode(
        drink("Sharp", pour("gin", 2, "fl_oz", 1), pour("lime juice", at=2), pour("orgeat", 1, "fl_oz", 3)),
        questions=[ask("amount-missing", "Sharp", "lime juice", at=2)],
    )
    answers = given(draft, amount_missing="1 ounce")
    again = with_pours(draft, 0, swap(draft.drinks[0].ingredients, "lime juice", pour("lemon juice", at=2)))
    again = again.model_copy(
        update={"questions": (ask("amount-missing", "Sharp", "lemon juice", id=draft.questions[0].id, at=2),)}
    )
    done = apply_with_report(again, answers, READERS)
    assert amounts(done.episode, "lemon juice") == [None]
    (question,) = done.episode.questions
    assert question.context["changed"] == "where lime juice stood, lemon juice is now heard"
    assert question.suggestions[0].answer == "1 ounce"


def test_the_same_id_on_another_thing_is_not_answered_by_it() -> None:
    draft = brunch()
    answers = given(draft, amount_missing="half an ounce")
    again = draft.model_copy(
        update={"questions": (ask("amount-missing", "Porch Light", "plum oleo", id=SYRUP, at=175),)}
    )
    done = apply_with_report(again, answers, READERS)
    assert [q.id for q in done.episode.questions] == [SYRUP]
    assert amounts(done.episode, "plum oleo") == [0.5]
    assert amounts(done.episode, "simple syrup") == [0.5]  # where it was given


def test_other_amounts_against_each_other_are_shown_again() -> None:
    def draft(*offers: str) -> Episode:
        return episode(
            drink("Both", pour("gin", 1, "fl_oz", 1), pour("orgeat", 1, "fl_oz", 2)),
            questions=[ask("amount-conflict", "Both", "orgeat", *offers, at=2)],
        )

    answers = given(draft("1 ounce", "half an ounce"), amount_conflict="half an ounce")
    assert apply_with_report(draft("half an ounce", "1 ounce"), answers, READERS).episode.questions == ()
    done = apply_with_report(draft("1 ounce", "two ounces"), answers, READERS)
    assert done.changed[0].why == "other amounts stand against each other now"


def test_a_home_made_thing_that_gained_a_part_is_shown_again() -> None:
    draft = brunch()
    answers = given(draft, component_incomplete="2 parts plum, 1 part sugar")
    assert len(apply_with_report(draft, answers, READERS).done) == 1
    kit = draft.drinks[1].components[0]
    more = kit.model_copy(update={"ingredients": (*kit.ingredients, pour("water", at=178))})
    again = with_pours(draft, 1, draft.drinks[1].ingredients, components=(more,))
    done = apply_with_report(again, answers, READERS)
    assert done.done == ()
    assert "water nothing" in done.changed[0].why


def test_a_claim_with_other_numbers_is_shown_again_and_another_second_is_not() -> None:
    draft = brunch()
    answers = given(draft, claim_mismatch="leave as it is")
    claim = draft.questions[-1]
    later = claim.model_copy(update={"text": claim.text.replace("0:05", "0:07"), "at_s": 7.0})
    assert len(apply_with_report(draft.model_copy(update={"questions": (later,)}), answers, READERS).done) == 1
    other = claim.model_copy(update={"text": claim.text.replace("Three", "Four")})
    done = apply_with_report(draft.model_copy(update={"questions": (other,)}), answers, READERS)
    assert (done.done, len(done.changed)) == ((), 1)


def test_a_gift_told_in_other_words_holds_and_another_gift_does_not() -> None:
    draft = brunch()
    answers = given(draft, disclosure="leave as it is")
    (gift,) = [q for q in draft.questions if q.kind == "disclosure"]
    near = gift.model_copy(
        update={"evidence": gift.evidence.model_copy(update={"text": "nice people at the distillery sent me the rum"})}
    )  # type: ignore[union-attr]
    far = gift.model_copy(
        update={"evidence": gift.evidence.model_copy(update={"text": "this episode is paid for by my cousin"})}
    )  # type: ignore[union-attr]
    assert len(apply_with_report(draft.model_copy(update={"questions": (near,)}), answers, READERS).done) == 1
    assert apply_with_report(draft.model_copy(update={"questions": (far,)}), answers, READERS).done == ()


# ------------------------------------------------------------------------------------------------ lost


def test_an_answer_without_a_place_is_shown_as_advice_and_can_be_put_away(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.txt")
    Desk(brunch(), store, READERS).answer(SYRUP, "half an ounce")
    again = brunch()
    again = again.model_copy(update={"drinks": again.drinks[1:], "questions": ()})
    desk = Desk(again, store, READERS)
    (question,) = desk.open
    assert (question.blocking, question.context["lost"]) == (False, "no drink here is Sunday Collar")
    assert "half an ounce" in question.text
    assert desk.episode.drinks == again.drinks
    desk.answer(SYRUP, "leave")
    assert Desk(again, store, READERS).open == ()
    # Back at the old captions the question is open, and what was answered is still in the file.
    assert SYRUP in [q.id for q in Desk(brunch(), store, READERS).open]
    assert store.read().entries[0].earlier == ("half an ounce",)


def test_a_record_with_answers_in_it_is_not_answered_twice() -> None:
    answers = given(brunch(), amount_missing="half an ounce")
    once = apply_with_report(brunch(), answers, READERS).episode
    with pytest.raises(AnswerError, match="has answers in it already"):
        apply_with_report(once, answers, READERS)


# ------------------------------------------------------------------------------------------------ answered again


def test_a_changed_question_that_is_answered_again_stays_answered(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.txt")
    Desk(brunch(), store, READERS).answer(SYRUP, "half an ounce")
    again = with_pours(
        brunch(), 0, swap(brunch().drinks[0].ingredients, "simple syrup", pour("simple syrup", 1, "fl_oz", 75))
    )
    again = again.model_copy(update={"questions": ()})
    for words, low in (("1", 0.5), ("leave", 1.0), ("three quarters of an ounce", 0.75)):
        desk = Desk(again, store, READERS)
        desk.answer(SYRUP, words)
        fresh = Desk(again, store, READERS)
        assert fresh.open == ()
        assert amounts(fresh.episode, "simple syrup") == [low]
    assert len(store.read().entries) == 1


def test_a_changed_question_under_a_new_id_takes_the_old_answers_place(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.txt")
    Desk(brunch(), store, READERS).answer(SYRUP, "half an ounce")
    again = with_pours(
        brunch(), 0, swap(brunch().drinks[0].ingredients, "simple syrup", pour("simple syrup", 1, None, 75))
    )
    again = again.model_copy(
        update={"questions": (ask("unit-missing", "Sunday Collar", "simple syrup", id="new", at=75),)}
    )
    desk = Desk(again, store, READERS)
    assert [q.id for q in desk.open] == ["new"]
    desk.answer("new", "ounces")
    assert Desk(again, store, READERS).open == ()
    assert [(a.id, a.earlier) for a in store.read().entries] == [("new", ("half an ounce",))]


def test_a_changed_edit_is_asked_about_and_can_be_settled(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.txt")
    draft = brunch().model_copy(update={"questions": ()})
    Desk(draft, store, READERS).edit("set drink/1/ingredient/gin/amount", "2 ounces")
    again = with_pours(draft, 0, swap(draft.drinks[0].ingredients, "gin", pour("gin", 1, "fl_oz", 70)))
    desk = Desk(again, store, READERS)
    (question,) = desk.open
    assert (question.kind, question.blocking) == ("amount-conflict", True)
    assert amounts(desk.episode, "gin") == [1.0]
    desk.answer(question.id, "1")
    assert Desk(again, store, READERS).open == ()
    assert amounts(Desk(again, store, READERS).episode, "gin") == [2.0]


def test_edits_follow_their_thing_through_a_renaming(tmp_path: Path) -> None:
    store = Store(tmp_path / "a.txt")
    desk = Desk(brunch(), store, READERS)
    desk.answer(CHERRY, "oloroso sherry")
    desk.edit("set drink/1/ingredient/oloroso sherry/amount", "1 ounce")
    desk.edit("set drink/1/name", "Monday Collar")
    desk.edit("set drink/Monday Collar/glass", "a flute")
    desk.answer(CHERRY, "falernum")  # thought better of
    fresh = Desk(brunch(), store, READERS).episode
    assert amounts(fresh, "falernum") == [1.0]
    assert (fresh.drinks[0].name, fresh.drinks[0].glass) == ("Monday Collar", "flute")
    assert [a.id for a in store.read().entries if a.is_edit] == [
        "set drink/Sunday Collar/ingredient/all are also cherry/amount",
        "set drink/Sunday Collar/name",
        "set drink/Sunday Collar/glass",
    ]


# ------------------------------------------------------------------------------------------------ many episodes


PAIRS = [
    tuple(p.strip() for p in line.split("|"))
    for line in (Path(__file__).parent / "heard_pairs.txt").read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]


@dataclass
class Thing:
    """One pour of the talk as it truly is: what both recognitions are held against."""

    uid: int
    name: str
    heard: tuple[str, str]
    repaired: tuple[bool, bool]
    low: float | None
    unit: str | None
    at_s: float


@dataclass
class Talk:
    drinks: list[tuple[str, tuple[str, str], list[Thing]]] = field(default_factory=list)


def a_talk(rng: random.Random) -> Talk:
    names = rng.sample(PAIRS, 24)
    talk, uid = Talk(), 0
    for n in range(rng.randint(2, 4)):
        things = []
        for _ in range(rng.randint(3, 6)):
            name, first, second = names.pop()
            low, unit = rng.choice([(None, None), (1.0, None), (0.5, "fl_oz"), (2.0, "dash"), (1.5, "fl_oz")])
            things.append(
                Thing(uid, name, (first, second), (rng.random() < 0.6, rng.random() < 0.6), low, unit, 10.0 * uid)
            )
            uid += 1
        called = ("Harbour Bell", "Quiet Acre", "Second Ferry", "Paper Moth")[n]
        garbled = ("harbor bell", "quite a car", "second fairy", "papa moth")[n]
        talk.drinks.append((called, (called, garbled if rng.random() < 0.4 else called), things))
    return talk


def as_read(talk: Talk, which: int, rng: random.Random) -> Episode:
    """One recognition of it, with its questions. Their ids are dealt out anew each time, so that they mean nothing."""
    drinks: list[Drink] = []
    questions: list[Question] = []
    for _, names, things in talk.drinks:
        pours = []
        for t in things:
            heard = t.heard[which]
            right = heard == t.name.lower() or t.repaired[which]
            name, known = (t.name, t.name) if right else (heard, None)
            more = {"lexicon_id": known, "notes": (f"uid {t.uid}",), "text": f"some of the {heard}"}
            pours.append(pour(name, t.low, t.unit, t.at_s, heard=heard, **more))
            if not right:
                offers = [rng.choice(PAIRS)[0], *([t.name] if rng.random() < 0.8 else [])]
                questions.append(ask("name-unsure", names[which], name, *offers, at=t.at_s))
            if t.low is None:
                questions.append(ask("amount-missing", names[which], name, at=t.at_s))
            elif t.unit is None:
                questions.append(ask("unit-missing", names[which], name, at=t.at_s))
        drinks.append(drink(names[which], *pours))
        questions.append(ask("glass-missing", names[which], names[which]))
    dealt = list(range(len(questions)))
    rng.shuffle(dealt)
    return episode(
        *drinks, questions=[q.model_copy(update={"id": f"q{n}"}) for n, q in zip(dealt, questions, strict=True)]
    )


def uid_of(item: Ingredient) -> int:
    return int(next(n for n in item.notes if n.startswith("uid ")).removeprefix("uid "))


def answer_all(draft: Episode, true: dict[str, str]) -> tuple[Answers, dict[str, tuple[int | str, str]]]:
    """Every question answered with a value of its own, and for each the thing (or the drink) that it is of."""
    entries, truth = [], {}
    for n, q in enumerate(draft.questions):
        (of,) = [d for d in draft.drinks if d.name == q.drink]
        if q.kind == "glass-missing":
            words, owner = f"glass number {n}", of.ingredients[0].notes[0]
        else:
            (item,) = [i for i in of.ingredients if i.name == q.about]
            owner = item.notes[0]
            words = true[owner] if q.kind == "name-unsure" else f"{n + 100} ml"
        entries.append(answer_to(q, draft, words))
        truth[words] = (owner, q.kind)
    return Answers(entries=tuple(entries)), truth  # type: ignore[return-value]


def values_in(episode: Episode) -> dict[str, str]:
    """Each of those values that stands in the record, and the thing (or the drink's first thing) at which it stands."""
    out = {}
    for d in episode.drinks:
        if d.glass:
            out[d.glass] = d.ingredients[0].notes[0]
        for i in d.ingredients:
            if i.amount is not None and i.amount.unit == "ml":
                out[i.amount.said] = i.notes[0]
            out[i.name] = i.notes[0]
    return out


def test_answers_carry_over_to_another_recognition_and_none_to_a_wrong_place() -> None:
    """300 talks, each heard twice by real recognisers' spellings, all question ids dealt anew."""
    rng = random.Random(11)
    total: dict[str, int] = {}
    held: dict[str, int] = {}
    seen = 0
    for _ in range(300):
        talk = a_talk(rng)
        first, second = as_read(talk, 0, rng), as_read(talk, 1, rng)
        answers, truth = answer_all(first, {f"uid {t.uid}": t.name for _, _, things in talk.drinks for t in things})
        outcome = apply_with_report(second, answers, READERS)
        found = values_in(outcome.episode)
        for words, (owner, kind) in truth.items():
            total[kind] = total.get(kind, 0) + 1
            if words in found:
                assert found[words] == owner, (words, owner, found[words])
                held[kind] = held.get(kind, 0) + 1
        # Nothing is lost from sight: each answer is put in, asked again, told as lost, or no longer needed.
        ends = [*outcome.done, *outcome.changed, *outcome.orphaned, *outcome.failed]
        assert len(ends) + len(outcome.settled) == len(answers.entries)
        seen += len(outcome.changed) + len(outcome.orphaned)
    shares = {k: held[k] / total[k] for k in total}
    told = ", ".join(f"{k} {v:.1%} of {total[k]}" for k, v in shares.items())
    print(f"\ncarried over: {told}; shown again or lost: {seen}")
    assert sum(held.values()) / sum(total.values()) > 0.9
    assert shares["glass-missing"] > 0.9


def test_in_a_talk_that_changed_no_answer_lands_on_another_thing() -> None:
    """500 talks with drinks and things put in, taken out, swapped and told in another order, and amounts changed."""
    rng = random.Random(23)
    applied = 0
    refused = 0
    for _ in range(500):
        talk = a_talk(rng)
        first = as_read(talk, 0, rng)
        answers, truth = answer_all(first, {f"uid {t.uid}": t.name for _, _, things in talk.drinks for t in things})
        before = {uid_of(i): i.amount for d in first.drinks for i in d.ingredients}
        hurt(talk, rng)
        second = as_read(talk, rng.randint(0, 1), rng)
        outcome = apply_with_report(second, answers, READERS)
        raw = {i.notes[0]: i for d in second.drinks for i in d.ingredients}
        names = {d.answer.given for d in outcome.done}
        for words, where in values_in(outcome.episode).items():
            if words not in names:
                continue
            owner, kind = truth[words]
            assert where == owner, (words, owner, where)
            if kind in ("amount-missing", "unit-missing"):
                was, now = before[int(str(owner).removeprefix("uid "))], raw[where].amount
                assert (was and (was.low, was.unit)) == (now and (now.low, now.unit)), (
                    "the amount that it rested on is another"
                )
            applied += 1
        refused += len(outcome.changed) + len(outcome.orphaned)
    print(f"\napplied {applied}, all in place; shown again or as lost {refused}")
    assert applied > 2000
    assert refused > 1000


def hurt(talk: Talk, rng: random.Random) -> None:
    """What a corrected caption file or another recogniser may do to a talk, three times over."""
    told = {t.name for _, _, things in talk.drinks for t in things}
    others = [p for p in PAIRS if p[0] not in told]
    rng.shuffle(others)
    for _ in range(3):
        called, names, things = rng.choice(talk.drinks)
        kind = rng.randrange(7)
        if kind == 0 and len(talk.drinks) > 1:
            talk.drinks.remove((called, names, things))
        elif kind == 1:
            talk.drinks.reverse()
        elif kind == 2 and len(things) > 2:
            things.pop(rng.randrange(1, len(things)))
        elif kind == 3:
            name, a, b = others.pop()
            things.insert(
                rng.randrange(1, len(things) + 1),
                Thing(
                    900 + 100 * rng.randrange(9) + rng.randrange(99),
                    name,
                    (a, b),
                    (True, True),
                    None,
                    None,
                    rng.choice(things).at_s + 1,
                ),
            )
        elif kind == 4:
            thing = rng.choice(things)
            thing.low, thing.unit = rng.choice([(0.25, "fl_oz"), (3.0, None), (None, None)])
        elif kind == 5:
            # Another thing in the place of one, under an amount of the same kind.
            at = rng.randrange(1, len(things))
            name, a, b = others.pop()
            old = things[at]
            things[at] = Thing(
                800 + rng.randrange(99), name, (a, b), (rng.random() < 0.5,) * 2, old.low, old.unit, old.at_s
            )
        else:
            rest = things[1:]
            rng.shuffle(rest)
            things[1:] = rest


def test_kits_are_told_apart_from_what_is_poured() -> None:
    kit = Component(name="plum oleo", kind="other", ingredients=(pour("plum oleo", at=1, lexicon_id=None),))
    draft = episode(
        drink("Deep", pour("plum oleo", at=5, lexicon_id=None), components=(kit,)),
        questions=[
            ask("amount-missing", "Deep", "plum oleo", id="poured", at=5),
            ask("amount-missing", "Deep", "plum oleo", id="part", at=1, context={"component": "plum oleo"}),
        ],
    )
    answers = Answers(
        entries=tuple(answer_to(q, draft, w) for q, w in zip(draft.questions, ("1 ounce", "3 parts"), strict=True))
    )
    done = apply_with_report(draft, answers, READERS).episode.drinks[0]
    assert (done.ingredients[0].amount.unit, done.components[0].ingredients[0].amount.unit) == ("fl_oz", "part")  # type: ignore[union-attr]
