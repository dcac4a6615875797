"""What each answer does to the record: every kind of question, every kind of reply, edits, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from answers_kit import READERS, amount, ask, brunch, drink, episode, pour, read_amount, read_name

from extractor.answers import (
    Answers,
    Desk,
    Failed,
    Kept,
    Readers,
    Store,
    answer_to,
    apply_answers,
    apply_with_report,
    state_of,
)
from extractor.answers.board import Board
from extractor.answers.paths import BadPath, Edit, find, path_of, split
from extractor.record import Component, Correction, Drink, Episode, Figures, Ingredient, Range, Step


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(brunch(), Store(tmp_path / "brunch.answers.txt"), READERS)


def of(desk: Desk, kind: str) -> str:
    return next(q.id for q in desk.draft.questions if q.kind == kind)


def said(got: Kept | Failed) -> str:
    assert isinstance(got, Kept), got
    return got.said


def why(got: Kept | Failed) -> str:
    assert isinstance(got, Failed), got
    assert got.hint
    return got.why


def item(episode: Episode, name: str) -> Ingredient:
    found = [
        i
        for d in episode.drinks
        for i in (*d.ingredients, *d.garnishes, *(i for c in d.components for i in c.ingredients))
        if i.name == name
    ]
    assert len(found) == 1, [i.name for i in found]
    return found[0]


def one(kind: str, about: str = "orgeat", *offers: str, **more: object) -> Episode:
    """One drink with one question about one pour."""
    pours = (pour("gin", 2, "fl_oz", 1), more.pop("pour", pour(about, at=2)), pour("lime juice", 1, "fl_oz", 3))
    question = ask(kind, "Small Hours", about, *offers, id="q", at=2, **more)  # type: ignore[arg-type]
    return episode(drink("Small Hours", *pours), questions=[question])  # type: ignore[arg-type]


def answered(draft: Episode, given: str) -> Episode:
    answers = Answers(entries=(answer_to(draft.questions[0], draft, given),))
    return apply_answers(draft, answers, read_amount=read_amount, read_name=read_name)


# ------------------------------------------------------------------------------------------------ amounts


@pytest.mark.parametrize(
    ("given", "low", "high", "unit"),
    [
        ("three quarters of an ounce", 0.75, 0.75, "fl_oz"),
        ("22.5 ml", 22.5, 22.5, "ml"),
        ("2 dashes", 2, 2, "dash"),
        ("2 to 3 dashes", 2, 3, "dash"),
        ("about 2 ounces", 2, 2, "fl_oz"),
        ("2 ounces of orgeat", 2, 2, "fl_oz"),
        ("amount: 1 oz", 1, 1, "fl_oz"),
        ("1", 0.5, 0.5, "fl_oz"),
    ],
)
def test_an_amount_in_any_form(given: str, low: float, high: float, unit: str) -> None:
    record = answered(one("amount-missing", "orgeat", "half an ounce"), given)
    got = item(record, "orgeat")
    assert got.amount is not None
    assert (got.amount.low, got.amount.high, got.amount.unit) == (low, high, unit)
    assert record.questions == ()
    assert got.notes[0].startswith("by hand: amount “")
    assert "(was nothing)" in got.notes[0]


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        ("2", "“2” has no unit"),
        ("falernum", "“falernum” could not be read as an amount"),
        ("not 2 ounces, it is lime", "could not be read as an amount"),
        ("2 ounces of lime juice", "could not be read as an amount"),
        ("a coupe", "could not be read as an amount"),
    ],
)
def test_what_is_no_amount_keeps_the_question_with_the_reason(given: str, reason: str) -> None:
    record = answered(one("amount-missing"), given)
    assert item(record, "orgeat").amount is None
    (question,) = record.questions
    assert reason in question.context["not_applied"]
    assert question.context["earlier_answer"] == given
    assert question.blocking


def test_a_unit_alone_takes_the_number_that_was_heard() -> None:
    for low, high in ((0.75, 0.75), (2.0, 3.0)):
        heard = pour("orgeat", at=2, amount=amount(low, None, high))
        got = item(answered(one("unit-missing", pour=heard), "ounces"), "orgeat").amount
        assert got is not None
        assert (got.low, got.high, got.unit) == (low, high, "fl_oz")
        assert got.millilitres == Range(low=low * 29.5735, high=high * 29.5735)
    bare = answered(one("amount-missing"), "ounces")
    assert item(bare, "orgeat").amount is None


def test_the_talks_own_words_mean_what_they_meant_there() -> None:
    heard = pour("orgeat", at=2, amount=amount(0.5, "fl_oz", said="Half"))
    got = item(answered(one("amount-conflict", "orgeat", "half", "two", pour=heard), "1"), "orgeat")
    assert got.amount is not None
    assert (got.amount.low, got.amount.unit) == (0.5, "fl_oz")
    other = answered(one("amount-conflict", "orgeat", "half", "two", pour=heard), "2")
    assert "“two” could not be read as an amount" in other.questions[0].context["not_applied"]


def test_an_ounce_of_a_solid_is_one_by_weight() -> None:
    def by_weight(spoken: str):  # type: ignore[no-untyped-def]
        got = read_amount(spoken)
        solid = got is not None and got.unit == "fl_oz" and spoken.endswith("sugar")
        return got.model_copy(update={"unit": "oz_wt", "millilitres": None}) if got and solid else got

    draft = one("amount-missing", "sugar")
    answers = Answers(entries=(answer_to(draft.questions[0], draft, "3 ounces"),))
    record = apply_with_report(draft, answers, Readers(by_weight, read_name)).episode
    assert item(record, "sugar").amount.unit == "oz_wt"  # type: ignore[union-attr]


def test_leaving_an_unlikely_amount_closes_its_question_and_says_so() -> None:
    record = answered(
        one("amount-unlikely", "orange bitters", pour=pour("orange bitters", 0.5, "cup", 2)), "leave as it is"
    )
    got = item(record, "orange bitters")
    assert (got.amount.low, got.amount.unit) == (0.5, "cup")  # type: ignore[union-attr]
    assert got.notes == ("by hand: left as it is (amount-unlikely)",)
    assert record.questions == ()


def test_figures_of_a_changed_drink_are_taken_out_and_others_stay() -> None:
    draft = one("amount-missing")
    other = drink("Other", pour("gin", 1, "fl_oz", 100)).model_copy(update={"figures": Figures()})
    first = draft.drinks[0].model_copy(update={"figures": Figures()})
    draft = draft.model_copy(update={"drinks": (first, other)})
    assert [d.figures for d in answered(draft, "1 oz").drinks] == [None, Figures()]
    assert [d.figures for d in answered(draft, "leave").drinks] == [Figures(), Figures()]


# ------------------------------------------------------------------------------------------------ names


def garbled() -> Episode:
    """One garble in three places, and once as a garnish; its lexicon id unknown, with its correction on offer."""

    def bad(at: float) -> Ingredient:
        return pour("holly um", 0.5, "fl_oz", at, lexicon_id=None)

    steps = (Step(text="Shake the holly um with ice.", at_s=9),)
    kit = Component(name="holly um", kind="syrup", ingredients=(pour("sugar", at=4),), at_s=4)
    first = drink("One", pour("gin", 2, "fl_oz", 1), bad(2), at=0, steps=steps, components=(kit,))
    second = drink("Two", bad(102), at=100, garnishes=(pour("holly um", at=110, lexicon_id=None),))
    offered = Correction(
        heard="holly um", written="holly", start_s=2, end_s=3, confidence=0.4, applied=False, first_word=5, last_word=6
    )
    return episode(
        first,
        second,
        questions=[ask("name-unsure", "One", "holly um", "falernum", id="q", at=2)],
        corrections=(offered,),
    )


def test_a_name_is_put_right_wherever_those_words_were_heard() -> None:
    record = answered(garbled(), "falernum")
    one, two = record.drinks
    assert [i.name for i in one.ingredients] == ["gin", "falernum"]
    assert [i.lexicon_id for i in (*one.ingredients, *two.ingredients)] == ["gin", "falernum", "falernum"]
    assert one.steps[0].text == "Shake the falernum with ice."
    assert one.components[0].name == "falernum"
    assert [i.name for i in two.garnishes] == ["holly um"]  # a garnish is no pour
    assert all(i.heard == "holly um" for i in (one.ingredients[1], two.ingredients[0]))
    assert [(c.heard, c.written, c.applied) for c in record.corrections] == [("holly um", "falernum", True)]
    assert record.questions == ()


def test_what_has_a_question_of_its_own_waits_for_its_own_answer() -> None:
    draft = garbled()
    own = ask("name-unsure", "Two", "holly um", id="q2", at=102)
    record = answered(draft.model_copy(update={"questions": (*draft.questions, own)}), "falernum")
    assert record.drinks[1].ingredients[0].name == "holly um"
    assert [q.id for q in record.questions] == ["q2"]


def test_the_method_keeps_a_right_word_that_is_another_things_name() -> None:
    draft = garbled()
    one = draft.drinks[0].model_copy(
        update={"garnishes": (pour("holly um leaf", at=8),), "steps": (Step(text="Top with a holly um leaf.", at_s=9),)}
    )
    record = answered(draft.model_copy(update={"drinks": (one, draft.drinks[1])}), "falernum")
    assert record.drinks[0].steps[0].text == "Top with a holly um leaf."


def test_the_captions_get_a_correction_where_the_question_says_which_words() -> None:
    draft = garbled()
    q = draft.questions[0].model_copy(update={"context": {"first_word": 7, "last_word": 8}})
    record = answered(draft.model_copy(update={"corrections": (), "questions": (q,)}), "falernum")
    assert [(c.written, c.first_word, c.last_word, c.applied) for c in record.corrections] == [("falernum", 7, 8, True)]


@pytest.mark.parametrize(
    ("given", "name", "known"),
    [
        ("falernum", "falernum", "falernum"),
        ("CREME DE NOYAUX", "crème de noyaux", "creme-de-noyaux"),  # the lexicon's accents
        ("oloroso", "oloroso", "oloroso-sherry"),  # another name of a known thing stays as written
        ("smoked plum oleo", "smoked plum oleo", None),
        ('"Later"', "Later", None),
    ],
)
def test_the_hands_word_stands(given: str, name: str, known: str | None) -> None:
    got = answered(garbled(), given).drinks[0].ingredients[1]
    assert (got.name, got.lexicon_id) == (name, known)


def test_a_drink_gets_its_name_and_its_questions_follow() -> None:
    draft = episode(
        drink("Quite a Car", pour("gin", 2, "fl_oz", 1)),
        questions=[
            ask("name-unsure", "Quite a Car", "Quite a Car", id="q"),
            ask("glass-missing", "Quite a Car", "Quite a Car"),
        ],
    )
    record = answered(draft, "Quiet Acre")
    assert record.drinks[0].name == "Quiet Acre"
    assert [(q.kind, q.drink, q.about) for q in record.questions] == [("glass-missing", "Quiet Acre", "Quiet Acre")]


def test_a_choice_is_settled_left_or_asked_for_again() -> None:
    def draft() -> Episode:
        return one(
            "choice-open", "lime juice", pour=pour("lemon juice", 1, "fl_oz", 2, alternatives=("orgeat",))
        ).model_copy(update={"questions": (ask("choice-open", "Small Hours", "lemon juice", id="q", at=2),)})

    got = answered(draft(), "orgeat").drinks[0].ingredients[1]
    assert (got.name, got.lexicon_id, got.alternatives) == ("orgeat", "orgeat", ())
    assert answered(draft(), "use: lemon juice").drinks[0].ingredients[1].alternatives == ()
    assert answered(draft(), "leave").drinks[0].ingredients[1].alternatives == ("orgeat",)
    record = answered(draft(), "both")
    assert "does not say which" in record.questions[0].context["not_applied"]


# ------------------------------------------------------------------------------------------------ the drink


def test_glass_method_and_gift(desk: Desk) -> None:
    assert said(desk.answer(of(desk, "glass-missing"), "a coupe")) == "Sunday Collar: served in coupe"
    first = desk.episode.drinks[0]
    assert first.glass == "coupe"
    assert first.glass_evidence is not None
    assert first.glass_evidence.text == "by hand: a coupe"
    desk.answer(of(desk, "method-missing"), "Shake with ice and fine strain.")
    light = desk.episode.drinks[1]
    assert light.mixing == ("shake", "fine strain")
    assert light.steps[-1].text == "Shake with ice and fine strain."
    desk.answer(of(desk, "method-missing"), "Don't shake it, pour it in the glass.")
    assert desk.episode.drinks[1].mixing == ()
    desk.answer(of(desk, "disclosure"), "The rum was a gift of a friend.")
    assert desk.episode.disclosures == ("The rum was a gift of a friend.",)
    desk.answer(of(desk, "disclosure"), "drop it")
    assert desk.episode.disclosures == ()


def test_a_claim_takes_no_free_words(desk: Desk) -> None:
    claim = of(desk, "claim-mismatch")
    assert "does not say what is to be done" in why(desk.answer(claim, "there are really two"))
    assert claim in [q.id for q in desk.open]
    assert said(desk.answer(claim, "note: the third is on the next episode")).startswith("noted")
    assert claim not in [q.id for q in desk.open]
    assert desk.episode.notes == ("by hand: the third is on the next episode",)


def test_something_left_out_of_the_record_is_put_in_where_the_question_is(tmp_path: Path) -> None:
    draft = one("amount-missing").model_copy(
        update={"questions": (ask("name-unsure", "Small Hours", "half an ounce of um", id="q", at=2),)}
    )
    desk = Desk(draft, Store(tmp_path / "a"), READERS)
    assert "could not be read as an amount with its name" in why(desk.answer("q", "falernum"))
    assert said(desk.answer("q", "add: half an ounce of falernum")) == "added 0.5 fl_oz falernum to Small Hours"
    got = item(desk.episode, "falernum")
    assert (got.lexicon_id, got.at_s, got.evidence.text) == ("falernum", None, "by hand: half an ounce falernum")
    assert desk.open == ()


def test_a_drink_promised_without_alcohol_loses_it_by_name() -> None:
    def draft(*offers: str) -> Episode:
        pours = (pour("zobo", 1, "cup", 1), pour("aged rum", 1, "fl_oz", 2), pour("orange bitters", 2, "dash", 3))
        claim = ask("claim-mismatch", "Gele", "Gele", *offers, id="q", text="No alcohol, and Gele holds aged rum.")
        return episode(drink("Gele", *pours), questions=[claim])

    def names(record: Episode) -> list[str]:
        return [i.name for i in record.drinks[0].ingredients]

    assert names(answered(draft("drop aged rum"), "1")) == ["zobo", "orange bitters"]
    for both in ("drop aged rum, orange bitters", "drop orange bitters and aged rum", "drop: aged rum orange bitters"):
        record = answered(draft(), both)
        assert names(record) == ["zobo"]
        assert record.questions == ()
        assert record.drinks[0].notes == tuple(sorted(record.drinks[0].notes, key=lambda n: both.index(n[18:24])))
    # What names nothing that is there, or is only words, changes nothing and closes nothing.
    for words in ("drop whiskey", "drop aged rum and whiskey", "take out the rum", "1"):
        record = answered(draft("the rum is left out"), words)
        assert len(record.drinks[0].ingredients) == 3
        assert [q.id for q in record.questions] == ["q"]


def test_an_amount_typed_at_the_wrong_question_is_not_taken() -> None:
    for kind, about in (("name-unsure", "orgeat"), ("disclosure", "orgeat"), ("elsewhere", "orgeat")):
        record = answered(one(kind, about), "2 dashes")
        assert [q.kind for q in record.questions] == [kind]
        assert record.disclosures == ()
    assert answered(one("name-unsure"), '"2 dashes"').drinks[0].ingredients[1].name == "2 dashes"


def test_an_amount_said_of_nothing_gets_its_thing() -> None:
    def draft(*pours: Ingredient) -> Episode:
        return episode(
            drink("Small Hours", *pours), questions=[ask("name-unsure", "Small Hours", "half an ounce", id="q", at=2)]
        )

    gin, bare = pour("gin", 2, "fl_oz", 1), pour("orgeat", at=2)
    assert item(answered(draft(gin), "falernum"), "falernum").amount.low == 0.5  # type: ignore[union-attr]
    assert item(answered(draft(gin), "1 ounce of falernum"), "falernum").amount.low == 1  # type: ignore[union-attr]
    lacked = answered(draft(gin, bare), "orgeat")
    assert [(i.name, i.amount and i.amount.low) for i in lacked.drinks[0].ingredients] == [("gin", 2), ("orgeat", 0.5)]
    twice = answered(draft(gin), "gin")
    assert item(twice, "gin").amount.low == 2  # type: ignore[union-attr]
    assert "has gin already" in twice.questions[0].context["not_applied"]
    for put_away in ("leave", "drop"):
        assert answered(draft(gin), put_away).questions == ()


# ------------------------------------------------------------------------------------------------ home-made


@pytest.mark.parametrize(
    ("given", "plum", "sugar", "by"),
    [
        ("2 parts plum to 1 part sugar", 2, 1, None),
        ("1 part sugar, 2 parts plum by weight", 2, 1, "weight"),
        ("ratio: one to one", 1, 1, None),
        ("equal parts by volume", 1, 1, "volume"),
    ],
)
def test_a_ratio(desk: Desk, given: str, plum: float, sugar: float, by: str | None) -> None:
    said(desk.answer(of(desk, "component-incomplete"), given))
    kit = desk.episode.drinks[1].components[0]
    assert [i.amount.low if i.amount else None for i in kit.ingredients] == [plum, sugar]
    assert {i.amount.unit for i in kit.ingredients if i.amount} == {"part"}
    assert kit.ratio_by == by


def test_a_bare_unequal_ratio_is_never_guessed(desk: Desk) -> None:
    got = desk.answer(of(desk, "component-incomplete"), "2 to 1")
    assert "does not say which of them is which" in why(got)
    assert isinstance(got, Failed)
    assert got.hint == "Name them: 2 parts plum, 1 part sugar."


def test_time_heat_and_several_at_once(desk: Desk) -> None:
    said(
        desk.answer(
            of(desk, "component-incomplete"), "parts: 1 part plum, 1 part sugar; time: 2 to 3 days; heat: 175 F"
        )
    )
    kit = desk.episode.drinks[1].components[0]
    assert kit.minutes == Range(low=2880, high=4320)
    assert kit.celsius is not None
    assert round(kit.celsius.low, 1) == 79.4
    assert [i.amount.low for i in kit.ingredients if i.amount] == [1, 1]
    # All or nothing: one part that cannot be read leaves the others out too.
    assert "could not be read as a time" in why(
        desk.answer(of(desk, "component-incomplete"), "ratio: 1 to 1; time: a while")
    )


@pytest.mark.parametrize(
    ("given", "low"), [("half an hour", 30), ("an hour", 60), ("20 minutes", 20), ("2 days", 2880)]
)
def test_times(desk: Desk, given: str, low: float) -> None:
    said(desk.answer(of(desk, "component-incomplete"), given))
    assert desk.episode.drinks[1].components[0].minutes == Range(low=low, high=low)


def test_a_recipe_from_elsewhere_makes_the_home_made_thing() -> None:
    draft = one("elsewhere")
    record = answered(draft, "2 parts sugar, 1 part water; time: 20 minutes")
    (kit,) = record.drinks[0].components
    assert (kit.name, kit.minutes) == ("orgeat", Range(low=20, high=20))
    assert [(i.name, i.amount.low, i.amount.unit) for i in kit.ingredients if i.amount] == [
        ("sugar", 2, "part"),
        ("water", 1, "part"),
    ]
    words = answered(draft, "soak the almonds overnight, then press them").drinks[0].components[0]
    assert words.steps[0].text == "Soak the almonds overnight, then press them."
    assert answered(draft, "leave").drinks[0].components == ()


def test_an_amount_is_never_taken_for_a_name() -> None:
    assert READERS.parts("one and a half ounces of sugar") is not None
    assert [(a.low, n) for a, n in READERS.parts("one and a half ounces of sugar, 1 ounce water") or []] == [
        (1.5, "sugar"),
        (1.0, "water"),
    ]
    assert READERS.parts("one and a half ounces sugar and 1 ounce water") is None
    assert READERS.parts("sugar and water") is None


# ------------------------------------------------------------------------------------------------ dropping


def test_dropping_takes_the_thing_and_its_other_questions_out() -> None:
    draft = one("name-unsure")
    draft = draft.model_copy(
        update={"questions": (*draft.questions, ask("amount-missing", "Small Hours", "orgeat", id="q2", at=2))}
    )
    record = answered(draft, "drop it")
    assert [i.name for i in record.drinks[0].ingredients] == ["gin", "lime juice"]
    assert record.questions == ()
    assert record.drinks[0].notes == ("by hand: left out orgeat",)


def test_dropping_never_takes_out_a_drink_by_the_way() -> None:
    draft = episode(drink("One", pour("gin", 1, "fl_oz", 1)), questions=[ask("name-unsure", "One", "One", id="q")])
    record = answered(draft, "drop it")
    assert len(record.drinks) == 1
    assert "whole drink" in record.questions[0].context["not_applied"]
    glass = episode(drink("One", pour("gin", 1, "fl_oz", 1)), questions=[ask("glass-missing", "One", "One", id="q")])
    assert len(answered(glass, "drop it").drinks) == 1


def test_an_answer_on_what_was_left_out_is_not_lost_from_sight() -> None:
    draft = one("name-unsure")
    more = ask("amount-missing", "Small Hours", "orgeat", id="q2", at=2)
    draft = draft.model_copy(update={"questions": (*draft.questions, more)})
    answers = Answers(entries=(answer_to(draft.questions[0], draft, "drop it"), answer_to(more, draft, "1 oz")))
    outcome = apply_with_report(draft, answers, READERS)
    assert [f.why for f in outcome.failed] == ["it was left out by hand"]
    assert [q.id for q in outcome.episode.questions] == ["q2"]


def test_later_stays_open_and_blocking() -> None:
    record = answered(one("amount-missing"), "later")
    assert [q.context for q in record.questions] == [{"later": True}]
    assert state_of(record).status == 1


# ------------------------------------------------------------------------------------------------ edits


def test_edits_of_every_field(desk: Desk) -> None:
    for what, given in (
        ("set drink/1/ingredient/gin/amount", "2 ounces"),
        ("set drink/1/ingredient/gin/name", "aged rum"),
        ("set drink/1/ingredient/egg white/optional", "yes"),
        ("set drink/1/ingredient/egg white/note", "from a fresh egg"),
        ("set drink/1/ice", "one big cube"),
        ("set drink/1/servings", "8"),
        ("set drink/1/mixing", "dry shake, shake"),
        ("set drink/1/steps", "Shake. Strain into the glass."),
        ("set drink/2/name", "Back Porch"),
        ("set drink/Back Porch/component/plum oleo/minutes", "2 days"),
        ("set drink/Porch Light/component/plum oleo/ingredient/sugar/amount", "200 g"),
        ("add drink/2/garnish/mint sprig", "no amount"),
        ("add drink/2/component/plum oleo/ingredient/water", "20 ml"),
        ("remove drink/2/garnish/lime wheel", "drop it"),
        ("remove drink/2/ingredient/orange bitters", "drop it"),
        ("set drink/2/glass", "drop it"),
        ("add drink/1/ingredient/falernum", "2 dashes"),
        ("set drink/1/ingredient/falernum/amount", "3 dashes"),
    ):
        assert isinstance(got := desk.edit(what, given), Kept), (what, got)
    one, two = Desk(desk.draft, desk.store, READERS).episode.drinks
    rum = one.ingredients[0]
    assert (rum.name, rum.lexicon_id, rum.amount and rum.amount.low) == ("aged rum", "aged-rum", 2)
    assert item_of(one, "egg white").optional
    assert item_of(one, "egg white").notes == ("by hand: optional: yes", "by hand: from a fresh egg")
    assert (one.ice, one.servings, one.mixing) == ("one big cube", 8, ("dry shake", "shake"))
    assert [s.text for s in one.steps] == ["Shake.", "Strain into the glass."]
    assert item_of(one, "falernum").amount.low == 3  # type: ignore[union-attr]
    assert (two.name, two.glass) == ("Back Porch", None)
    kit = two.components[0]
    assert kit.minutes == Range(low=2880, high=2880)
    assert [(i.name, i.amount and i.amount.low) for i in kit.ingredients] == [
        ("plum", None),
        ("sugar", 200),
        ("water", 20),
    ]
    assert [g.name for g in two.garnishes] == ["mint sprig"]
    assert "orange bitters" not in [i.name for i in two.ingredients]
    assert "by hand: left out orange bitters, 0.5 cup" in two.notes


def item_of(drink: Drink, name: str) -> Ingredient:
    return next(i for i in drink.ingredients if i.name == name)


@pytest.mark.parametrize(
    ("what", "given", "reason"),
    [
        ("set drink/3/glass", "coupe", "there is no drink 3"),
        ("set drink/1/ingredient/rye/amount", "1 oz", "there is no ingredient rye"),
        ("set drink/1/colour", "red", "names no field"),
        ("set drink/1", "x", "names no field"),
        ("change drink/1/glass", "x", "is none of set, add, remove"),
        ("set recipe/1/glass", "x", "does not begin with a drink"),
        ("add drink/1/ingredient/gin", "1 oz", "Sunday Collar has gin already"),
        ("add drink/1/ingredient/rye/amount", "1 oz", "given by its name alone"),
        ("remove drink/1/glass", "drop it", "a field is set, not removeed"),
        ("set drink/1/ingredient/gin/amount", "a lot", "could not be read as an amount"),
        ("set drink/1/servings", "a few", "is no number of servings"),
        ("set drink/1/ingredient/gin/optional", "perhaps", "neither yes nor no"),
        ("set drink/1/name", "drop it", "name cannot be empty"),
        ("set drink/1/glass", "", "there is no answer"),
        ("remove drink/1/ingredient/gin", "2 oz", "what is removed takes no value"),
    ],
)
def test_edits_that_lead_nowhere_say_why_and_are_not_kept(desk: Desk, what: str, given: str, reason: str) -> None:
    assert reason in why(desk.edit(what, given))
    assert desk.store.read().entries == ()


def test_the_hands_last_word_holds_whether_asked_or_not(desk: Desk) -> None:
    lime = of(desk, "unit-missing")
    desk.answer(lime, "1 ounce")
    desk.edit("set drink/2/ingredient/lime juice/amount", "2 ounces")
    assert item(desk.episode, "lime juice").amount.low == 2  # type: ignore[union-attr]
    desk.answer(lime, "half an ounce")
    assert item(desk.episode, "lime juice").amount.low == 0.5  # type: ignore[union-attr]


def test_undo_goes_back_answer_by_answer(desk: Desk) -> None:
    lime = of(desk, "unit-missing")
    for words in ("1 ounce", "2 ounces"):
        desk.answer(lime, words)
    assert desk.undo(lime)
    assert item(desk.episode, "lime juice").amount.low == 1  # type: ignore[union-attr]
    assert (desk.answers.get(lime).given, desk.answers.get(lime).earlier) == ("1 ounce", ())  # type: ignore[union-attr]
    assert desk.undo(lime)
    assert lime in [q.id for q in desk.open]
    assert not desk.undo(lime)


def test_paths_with_slashes_and_namesakes_find_their_way_back() -> None:
    odd = episode(drink("50/50 #2", pour("a\\b", 1, "fl_oz", 1), pour("lime juice", at=2), pour("lime juice", at=3)))
    board = Board(odd)
    for spot in board.spots():
        if spot.item is None:
            continue
        path = path_of(Edit("set", spot, "amount"), board)
        found = find(path, board)
        assert isinstance(found, Edit), (path, found)
        assert found.spot.item is spot.item
    assert split(r"drink/50\/50 \#2/glass") == ["drink", r"50\/50 \#2", "glass"]
    missing = find("set drink/1/ingredient/lime juice/amount", board)
    assert isinstance(missing, BadPath)
    assert missing.hint == "Write lime juice#1 for the first of them, lime juice#2 for the second."


# ------------------------------------------------------------------------------------------------ places and gate


def test_a_question_that_could_be_about_two_things_changes_neither() -> None:
    draft = episode(
        drink("Two", pour("lime juice", at=2), pour("gin", 1, "fl_oz", 3), pour("lime juice", at=2)),
        questions=[ask("amount-missing", "Two", "lime juice", id="q", at=2)],
    )
    record = answered(draft, "1 ounce")
    assert [i.amount for i in record.drinks[0].ingredients if i.name == "lime juice"] == [None, None]
    assert "no single ingredient" in record.questions[0].context["not_applied"]


def test_the_gate() -> None:
    clear = episode(drink("One", pour("gin", 1, "fl_oz", 1)))
    assert (state_of(clear).status, state_of(clear).line) == (0, "May be published: nothing that blocks is open.")
    gate = state_of(brunch())
    assert gate.status == 1
    assert not gate.may_publish
    assert gate.line == (
        "Not to be published: 6 questions must be answered; 3 pieces of advice open. "
        "First (1:15, Sunday Collar): amount-missing: simple syrup?"
    )
    assert "\n" not in gate.line
    assert state_of(episode()).line == "Not to be published: no drink was found."
