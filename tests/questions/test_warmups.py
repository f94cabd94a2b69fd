"""The questions that open a lesson: from what this learner got wrong, spaced; the fixed pair where there is nothing."""

import itertools
import re
from datetime import UTC, date, datetime, timedelta

import pytest

from kilnlib.lab import books
from kilnlib.questions import bank
from kilnlib.questions.warmups import RESTS, choose, standings, stands_alone
from kilnlib.store.pages import read_pages
from kilnlib.store.record import Event

TODAY = date(2026, 3, 20)
FIXED = ("emc-predict", "wood-predict")


def tried(question, right, days_ago=1):
    at = datetime(2026, 3, 20, 12, tzinfo=UTC) - timedelta(days=days_ago)
    return Event("answered", question, "a page", "x", right, None, {}, at)


def pick(*events, lesson="04_sample_boards", fixed=FIXED, today=TODAY):
    return choose(lesson, fixed, events, today)


def test_an_empty_record_gives_the_fixed_pair():
    assert pick() == ["emc-predict", "wood-predict"]


def test_what_was_right_at_once_does_not_come_back():
    assert pick(tried("emc-check-1", True), tried("wood-a", True)) == list(FIXED)


def test_one_from_the_last_lesson_and_one_older():
    assert pick(tried("emc-check-1", False), tried("wood-a", False)) == ["emc-check-1", "wood-a"]
    assert pick(tried("emc-check-1", False)) == ["emc-check-1", "wood-predict"]
    assert pick(tried("start-job", False), tried("wood-a", True)) == ["emc-predict", "start-job"]


def test_the_places_of_the_fixed_pair_stay_also_where_the_older_comes_first():
    events = tried("samples-a", False), tried("wood-a", False)
    fixed = ("start-entry", "samples-check-2")
    assert pick(*events, lesson="05_through_the_stack", fixed=fixed) == ["wood-a", "samples-a"]


def test_nothing_of_this_lesson_or_a_later_one_and_nothing_that_needs_its_panel():
    events = [tried(name, False) for name in ("samples-a", "stack-a", "emc-fault", "emc-a", "air-check-3", "no-such")]
    assert pick(*events) == list(FIXED)


def test_the_first_box_first_then_what_rested_longest():
    events = [tried("wood-a", False, 9), tried("wood-a", True, 8), tried("wood-b", False, 3), tried("wood-c", False, 5)]
    assert pick(*events)[1] == "wood-c"


def test_the_second_lesson_takes_both_from_the_first_and_never_one_twice():
    fixed = ("start-job", "start-entry")
    assert sorted(pick(lesson="01_water_in_wood", fixed=fixed)) == sorted(fixed)
    for wrong in fixed:
        assert sorted(pick(tried(wrong, False), lesson="01_water_in_wood", fixed=fixed)) == sorted(fixed)


def test_a_question_climbs_with_the_first_try_of_a_day_and_falls_with_any_wrong_one():
    events = [tried("wood-a", False, 60), tried("wood-a", True, 60)]  # helped to it the same day: still the first box
    assert standings(events)[0].box == 0
    for days, box in ((58, 1), (50, 2), (40, 3), (10, 4)):
        events += [tried("wood-a", True, days), tried("wood-a", True, days)]
        assert standings(events)[0].box == box
    assert pick(*events) == list(FIXED)  # learned
    events.append(tried("wood-a", False, 2))
    assert standings(events)[0].box == 0 and pick(*events)[1] == "wood-a"


@pytest.mark.parametrize("box", range(len(RESTS)))
def test_it_comes_back_when_its_rest_is_over_and_not_before(box):
    events = [tried("wood-a", False, 200), *(tried("wood-a", True, 100 - day) for day in range(box))]
    last = events[-1].at.astimezone().date()
    assert standings(events)[0].box == box
    assert pick(*events, today=last + timedelta(days=RESTS[box]))[1] == "wood-a"
    if RESTS[box]:
        assert pick(*events, today=last + timedelta(days=RESTS[box] - 1))[1] == "wood-predict"


def test_a_question_that_points_at_something_beside_it_does_not_stand_alone():
    alone = {question.id for question in bank.all_questions() if stands_alone(question)}
    assert {"wood-b", "samples-c", "schedules-check-2", "daily-order", "start-entry"} <= alone
    assert not alone & {"air-a", "air-fault", "emc-check-3", "stress-warp", "wood-check-1"}
    for lesson in bank.lessons():
        assert any(question.id in alone for question in bank.questions(lesson)), lesson


LESSONS = [page for page in read_pages(books.WORKBOOKS) if page.kind == "lesson"]
# Whether a learner is right, by question and by how often it was asked before.
LEARNERS = {
    "right at once": lambda question, before: True,
    "wrong once, then right": lambda question, before: before > 0,
    "wrong twice, then right": lambda question, before: before > 1,
    "wrong about entry, for ever": lambda question, before: question not in ENTRY,
    "wrong, for ever": lambda question, before: False,
}
ENTRY = ("start-entry", "start-help")


def fixed_pair(lesson):
    """The pair that a lesson's notebook names."""
    cells = books.sources(books.read(books.WORKBOOKS / f"{lesson}.ipynb"), "code")
    found = re.search(r'^warm_up\("\w+", "([\w-]+)", "([\w-]+)"\)', "\n".join(cells), re.M)
    return found.groups() if found else ()


def warm_ups_of(is_right, days_between):
    """The pairs that the warm-ups ask of a learner who goes through all lessons, so many days from one to the next."""
    day, events, asked = datetime(2026, 1, 5, 12, tzinfo=UTC), [], []
    for page in LESSONS:
        fixed = fixed_pair(page.name)
        chosen = choose(page.name, fixed, events, day.astimezone().date()) if fixed else []
        if chosen:
            asked.append(chosen)
        warm = [(name, f"{page.name}/warm-up/{day.date()}") for name in chosen]
        for question, place in [*warm, *((name, page.name) for part in page.parts for name in part.questions)]:
            before = sum(event.about == question for event in events)
            events.append(Event("answered", question, place, "x", is_right(question, before), None, {}, day))
        day += timedelta(days=days_between)
    return asked


@pytest.mark.parametrize("days_between", [1, 3, 7])
@pytest.mark.parametrize("name", LEARNERS)
def test_nobody_is_asked_the_same_entry_question_in_too_many_warm_ups(name, days_between):
    """Three in a course keep it awake; more, and it is read past. Wrong for ever: at most in every second warm-up."""
    asked = warm_ups_of(LEARNERS[name], days_between)
    assert [len(pair) for pair in asked] == [2] * (len(LESSONS) - 1)
    for question in ENTRY:
        times = [question in pair for pair in asked]
        assert sum(times) <= ((len(asked) + 1) // 2 if "for ever" in name else 3)
        assert (True, True) not in itertools.pairwise(times), "not in two warm-ups running"
    assert any("start-entry" in pair for pair in asked)
