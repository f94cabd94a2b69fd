"""A class in tables: who can do what, which wrong ideas still live, what to ask tomorrow. Read from a trainer's record.

A cell says how many of the objective's questions were answered, and how many of these rightly at the last try. It is
practice on a screen and no more.
"""

import functools
import textwrap
from datetime import date, timedelta

import pandas as pd

from kilnlib import tables
from kilnlib.questions import bank, warmups
from kilnlib.questions.marking import answer_text, given_text
from kilnlib.store.class_book import ClassBook, Miss, Slip
from kilnlib.store.record import Learner
from kilnlib.words import text

LATELY = 400  # tries of a learner that the choice for tomorrow looks back on
EACH = 2  # questions to ask each learner tomorrow
LISTED = 4  # questions of each learner that were answered wrongly
LONGEST = 120  # letters of an answer; a written reason may have more


@functools.cache
def _questions() -> dict[str, bank.Question]:
    return {question.id: question for question in bank.all_questions()}


@functools.cache
def ideas() -> dict[str, set[str]]:
    """Each wrong idea, and the questions that can show it."""
    showing: dict[str, set[str]] = {}
    for question in _questions().values():
        for slip in question.misconceptions:
            if slip.id:
                showing.setdefault(slip.id, set()).add(question.id)
    return showing


def objectives() -> list[dict[str, str]]:
    """The objectives that a lesson asks about: number, what it says, lesson and questions."""
    return [row for row in tables.records("objectives") if row["questions"]]


def glance(book: ClassBook) -> pd.DataFrame:
    """The class at a glance: a row a learner, a column an objective by its number."""
    called = book.labels()
    tried = {(one.learner, one.question): one.right for one in book.tried()}
    rows = {
        name: [_cell([tried[who, q] for q in row["questions"].split() if (who, q) in tried]) for row in objectives()]
        for who, name in called.items()
    }
    columns = [row["objective"] for row in objectives()]
    return pd.DataFrame.from_dict(rows, orient="index", columns=columns, dtype=object)


def _cell(last):
    """Of the questions that were answered, those whose last answer is right."""
    if not last:
        return text("trainer.cell.none")
    key = "all" if all(last) else "some" if any(last) else "no"
    return text(f"trainer.cell.{key}", right=sum(last), tried=len(last))


def of_one(book: ClassBook, who: Learner) -> pd.DataFrame:
    """One learner's objectives: what it says, tries so far, and how the last answers stand."""
    tried = {one.question: one for one in book.tried() if one.learner == who.id}
    rows = []
    for row in objectives():
        mine = [tried[question] for question in row["questions"].split() if question in tried]
        rows.append((row["objective"], row["says"], sum(one.tries for one in mine), _cell([one.right for one in mine])))
    return pd.DataFrame(rows, columns=text("trainer.of_one.columns").split("|"))


def living(book: ClassBook) -> list[Slip]:
    """Wrong ideas that no right answer has followed yet, to a question that can show them; the latest first."""
    return [slip for slip in book.slips() if not slip.is_past(ideas().get(slip.misconception, set()))]


def alive(book: ClassBook, who: Learner | None = None) -> pd.DataFrame:
    """The wrong ideas that still live, of everybody or of one."""
    called = book.labels()
    says = {row["id"]: row["says"] for row in tables.records("misconceptions")}
    rows = [
        (called[slip.learner], says.get(slip.misconception, slip.misconception), slip.times, _day(slip.at))
        for slip in living(book)
        if slip.learner in called and (who is None or slip.learner == who.id)
    ]
    return pd.DataFrame(rows, columns=text("trainer.alive.columns").split("|"))


def missed(book: ClassBook, today: date, who: Learner | None = None) -> pd.DataFrame:
    """What each answered wrongly, of everybody or of one: first what to ask tomorrow, last what was put right since."""
    called = book.labels()
    misses: dict[str, list[Miss]] = {}
    for miss in book.misses():
        if miss.question in _questions():
            misses.setdefault(miss.learner, []).append(miss)
    rows = []
    for one in book.learners() if who is None else [who]:
        ask = _tomorrow(book, one, today)

        def order(miss, ask=ask):
            return miss.question not in ask, miss.right_since

        for miss in sorted(misses.get(one.id, ()), key=order)[:LISTED]:
            now = text("trainer.missed.right" if miss.right_since else "trainer.missed.wrong")
            asked_again = text("trainer.missed.ask") if miss.question in ask else ""
            rows.append((called[one.id], *_in_words(miss), now, asked_again))
    return pd.DataFrame(rows, columns=text("trainer.missed.columns").split("|"))


def _tomorrow(book, who, today):
    """The questions to ask a learner tomorrow: what is due by the card box of `warmups`, the least known first."""
    events = book.events("answered", last=LATELY, of=who)
    due = [one.question for one in warmups.due(events, today + timedelta(days=1)) if one.question in _questions()]
    return [question for question in due if warmups.stands_alone(_questions()[question])][:EACH]


def _in_words(miss):
    """Lesson, question, the wrong answer and the right one, with the numbers it was asked with if they still fit."""
    question = _questions()[miss.question]
    row = miss.asked if miss.asked in question.numbers else question.numbers[0]
    asks = question.fill(question.prompt, question.values(row))
    given = textwrap.shorten(given_text(question, miss.typed, row), LONGEST, placeholder=" …")
    return question.lesson[:2], " ".join(asks.split()), given, answer_text(question, row)


def _day(moment):
    return f"{moment.astimezone():%Y-%m-%d}"
