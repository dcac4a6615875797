"""The corpus beside the rules: every phrase read alone and inside sentences, and the corpus itself checked."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from measure_corpus import FOLDER, FRAMES, Case, all_cases, cases, differs, read_head, value

from extractor.measures import find_measures
from extractor.measures.numbers import read_number

CASES = all_cases()
FRESH = list(cases(Path(__file__).with_name("fresh.txt")))
FILES = sorted({c.file for c in CASES})


def place(case: Case) -> str:
    return case.answer.key("place") or "us"


@pytest.mark.parametrize("file", FILES)
def test_each_phrase_alone_gives_its_one_answer(file: str) -> None:
    wrong = []
    for case in (c for c in CASES if c.file == file):
        difference = differs(case, case.phrase, 0, find_measures(case.phrase, locale=place(case)))
        if difference:
            wrong.append(f"{case}: {difference}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("file", FILES)
@pytest.mark.parametrize("frame", FRAMES)
def test_each_phrase_inside_a_sentence_gives_the_same_answer(file: str, frame: str) -> None:
    wrong = []
    for case in (c for c in CASES if c.file == file and "alone" not in c.answer.flags):
        text = frame.format(case.phrase)
        difference = differs(case, text, text.index(case.phrase), find_measures(text, locale=place(case)))
        if difference:
            wrong.append(f"{case}: {difference}")
    assert not wrong, "\n".join(wrong)


def test_capitals_change_nothing() -> None:
    wrong = [
        str(c)
        for c in CASES
        if [(m.start, m.end, m.low, m.unit) for m in find_measures(c.phrase.upper(), locale=place(c))]
        != [(m.start, m.end, m.low, m.unit) for m in find_measures(c.phrase, locale=place(c))]
    ]
    assert not wrong, "\n".join(wrong)


def test_phrases_written_after_the_rules_are_read_too() -> None:
    wrong = [f"{c}: {d}" for c in FRESH if (d := differs(c, c.phrase, 0, find_measures(c.phrase)))]
    assert not wrong, "\n".join(wrong)


def number_cases() -> list[tuple[str, str]]:
    head, out = "", []
    for raw in (FOLDER / "numbers.txt").read_text(encoding="utf-8").splitlines():
        line = raw.strip()
        if line.startswith("["):
            head = line[1:-1]
        elif line and not line.startswith("#"):
            out.append((head, line))
    return out


@pytest.mark.parametrize("head", sorted({h for h, _ in number_cases()}))
def test_numbers_alone(head: str) -> None:
    for phrase in (p for h, p in number_cases() if h == head):
        got = read_number(phrase)
        if head == "none":
            assert got is None, phrase
            continue
        low, high = value(head)
        assert got == (low if low == high else (low, high)), phrase


# -- the corpus itself
# ---------------------------------------------------------------------------------------------------


def test_the_corpus_holds_800_phrases_with_answers_and_200_without() -> None:
    kinds = Counter(c.answer.kind == "nothing" for c in CASES)
    assert kinds[False] >= 800
    assert kinds[True] >= 200


def test_no_phrase_stands_under_two_answers_or_twice() -> None:
    seen: dict[tuple[str, str], Case] = {}
    wrong = []
    for case in CASES:
        key = (case.phrase, place(case))
        if key in seen:
            wrong.append(f"{case} stands already at {seen[key].file}:{seen[key].line}")
        seen[key] = case
    assert not wrong, "\n".join(wrong)


def test_no_answer_stands_twice_in_a_file() -> None:
    wrong = []
    for path in sorted(FOLDER.glob("*.txt")):
        heads = Counter(line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.startswith("["))
        wrong += [f"{path.name}: {head}" for head, n in heads.items() if n > 1]
    assert not wrong, "\n".join(wrong)


def test_every_file_begins_by_saying_what_it_holds() -> None:
    for path in sorted(FOLDER.glob("*.txt")):
        assert path.read_text(encoding="utf-8").startswith("# "), path.name


@pytest.mark.parametrize("head", ["2 fl_oz; leen=scant", "2 fl_oz; abuot", "two fl_oz"])
def test_the_reader_of_the_corpus_refuses_an_answer_it_does_not_understand(head: str) -> None:
    with pytest.raises(ValueError):
        read_head(head)


def test_the_check_of_the_corpus_fails_where_the_reading_differs() -> None:
    case = next(c for c in CASES if c.phrase == "an ounce and a half")
    for text in ("two ounces", "an ounce and a half or an ounce", "a drink", "an ounce"):
        assert differs(case, text.ljust(40), 0, find_measures(text)) is not None, text
