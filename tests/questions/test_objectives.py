"""What each lesson must make a learner able to do, and each wrong idea: asked where it belongs, and again later."""

from pathlib import Path

import pytest

from kilnlib import tables
from kilnlib.questions import bank

BOOKS = Path(__file__).parents[2] / "workbooks"
LESSONS = {name[:2]: name for name in bank.lessons()}
QUESTIONS = {question.id: question for question in bank.all_questions()}
SAID = {lesson: (BOOKS / f"{name}.ipynb").read_text(encoding="utf-8") for lesson, name in LESSONS.items()}


OBJECTIVES, WRONG_IDEAS = tables.records("objectives"), tables.records("misconceptions")


def places(question):
    """The lessons whose notebook asks a question, as their own or as a warm-up."""
    return [lesson for lesson, words in SAID.items() if f'\\"{question.id}\\"' in words]


def asked_by(wrong_idea):
    """Ids of the questions with a hint for that wrong idea."""
    return [q.id for q in QUESTIONS.values() if any(slip.id == wrong_idea for slip in q.misconceptions)]


@pytest.mark.parametrize("row", OBJECTIVES, ids=lambda row: row["objective"])
def test_each_objective_is_asked_in_its_lesson_and_again_in_a_later_one(row):
    asked = [QUESTIONS[name] for name in row["questions"].split()]
    if row["lesson"] not in LESSONS:
        assert not any(place >= row["lesson"] for question in asked for place in places(question))
        return
    where = {place for question in asked for place in places(question)}
    assert row["lesson"] in where, row["says"]
    assert max(where) > row["lesson"] or row["lesson"] == max(LESSONS), row["says"]


@pytest.mark.parametrize("row", WRONG_IDEAS, ids=lambda row: row["id"])
def test_each_wrong_idea_has_a_distractor_with_a_hint(row):
    if row["waits_for"]:
        assert row["waits_for"] not in LESSONS, f"lesson {row['waits_for']} is here: ask about {row['id']}"
        return
    assert asked_by(row["id"]), row["says"]


def test_every_question_practises_an_objective():
    named = {name for row in OBJECTIVES for name in row["questions"].split()}
    free = {"start-job"}  # what the job is: the tour's own
    assert set(QUESTIONS) - named - free <= UNNAMED, set(QUESTIONS) - named - free - UNNAMED


UNNAMED = {  # the idea of their lesson, which no objective names: shrinkage, the order of changes, whom to trust
    "wood-check-1", "board-predict", "schedules-predict", "schedules-order", "schedules-check-2", "schedules-check-3",
    "daily-predict", "daily-off",
}  # fmt: skip


def test_every_question_is_asked_where_its_file_says():
    """In its own lesson, but for the tour's question that waits for lesson 01; and in each that it comes back in."""
    for question in QUESTIONS.values():
        own = set() if question.id == "start-job" else {question.lesson[:2]}
        assert set(places(question)) == own | {lesson[:2] for lesson in question.back}, question.id


def test_the_map(capsys):
    """Printed, so that a hole is seen; what waits for a lesson still to come stands in it by name."""
    for row in OBJECTIVES:
        waits = "" if row["lesson"] in LESSONS else f" waits for lesson {row['lesson']}"
        print(f"{row['objective']:>4} {row['says']} [{row['lesson']}]{waits}: {row['questions']}")
    for row in WRONG_IDEAS:
        waits = f"waits for lesson {row['waits_for']}" if row["waits_for"] else " ".join(asked_by(row["id"]))
        print(f"{row['id']} {row['says']}: {waits}")
    printed = capsys.readouterr().out.splitlines()
    assert len(printed) == 27 + 46
    assert not [line for line in printed if line.rstrip().endswith(":") and "waits" not in line]
    with capsys.disabled():
        print("\n" + "\n".join(printed))
