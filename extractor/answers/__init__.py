"""Answers to what the talk left open: kept beside the captions, put into the record, holding when it is read anew.

store = Store(answers_path("brunch.vtt"))
readers = Readers(read_amount, read_name)
walk(draft, store, console, input, readers=readers)          # in a terminal
write_form(Desk(draft, store, readers), "to-fill-in.txt")    # for somebody elsewhere
Desk(draft, store, readers).take_form(read_form("to-fill-in.txt"))
state_of(Desk(draft, store, readers).episode).status         # 0 may be published, 1 not yet
"""

from __future__ import annotations

from extractor.answers.answer import EDIT, Answer, Answers, Ground, Offer
from extractor.answers.apply import Applied, Done, Failed, apply_answers, apply_with_report
from extractor.answers.desk import Desk, Kept, Taken, write_form
from extractor.answers.gate import Gate, state_of, unreadable
from extractor.answers.habits import Habit, Habits, NoHabit, keep_habit, read_habit, read_habits
from extractor.answers.lessons import Lesson, Made, Misheard, learn, lessons_of
from extractor.answers.match import Matched, answer_to, bind, match_answers
from extractor.answers.readers import Readers
from extractor.answers.store import Saved, Store, answers_path, read_form
from extractor.answers.terminal import Walked, walk
from extractor.answers.text import AnswersFileError, print_answers, read_answers

__all__ = [
    "EDIT",
    "Answer",
    "Answers",
    "AnswersFileError",
    "Applied",
    "Desk",
    "Done",
    "Failed",
    "Gate",
    "Ground",
    "Habit",
    "Habits",
    "Kept",
    "Lesson",
    "Made",
    "Matched",
    "Misheard",
    "NoHabit",
    "Offer",
    "Readers",
    "Saved",
    "Store",
    "Taken",
    "Walked",
    "answer_to",
    "answers_path",
    "apply_answers",
    "apply_with_report",
    "bind",
    "keep_habit",
    "learn",
    "lessons_of",
    "match_answers",
    "print_answers",
    "read_answers",
    "read_form",
    "read_habit",
    "read_habits",
    "state_of",
    "unreadable",
    "walk",
    "write_form",
]
