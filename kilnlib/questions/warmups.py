"""Which questions open a lesson: what this learner got wrong before, spaced, or else the pair that the lesson names.

Spacing is Leitner's card box (common practice): a question moves one box on when the first try of a day is right, and
back to the first at every wrong one. In a later box it rests longer, and behind the last it has been learned.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from kilnlib.errors import NotFound
from kilnlib.questions import bank
from kilnlib.questions.bank import Question
from kilnlib.store.record import Event

RESTS = (0, 2, 7, 21)  # days a question rests in each box
POINTS_AWAY = re.compile(r"picture|panel|chart|above|below|log\b", re.IGNORECASE)


@dataclass(frozen=True)
class Standing:
    """Where a question stands with a learner: box (0 first; len(RESTS) is learned) and the day of the last try."""

    question: str
    box: int
    last: date


def standings(events: Iterable[Event]) -> list[Standing]:
    """Where each question stands that was ever answered wrong; `events` as the record returns them, oldest first."""
    standing: dict[str, Standing] = {}  # by question
    ever_wrong = set()
    for event in events:
        day = event.at.astimezone().date()
        before = standing.get(event.about)
        box = before.box if before else 0
        if not event.right:
            ever_wrong.add(event.about)
            box = 0
        elif before is None or before.last != day:
            box = min(box + 1, len(RESTS))
        standing[event.about] = Standing(event.about, box, day)
    return [one for one in standing.values() if one.question in ever_wrong]


def choose(lesson: str, fixed: Sequence[str], events: Iterable[Event], today: date) -> list[str]:
    """The two questions that open a lesson: one from the lesson before it, one older, in the places of the fixed pair.

    `fixed` are the ids the lesson names, `events` what the record holds of answers and predictions. Where nothing is
    due, the fixed question stays. Nothing is chosen that the warm-up of the lesson before asked: what comes every time
    is read past. The same record on the same day gives the same pair.
    """
    before = [name for name in bank.lessons() if name < lesson]
    events = list(events)
    just_asked = {event.about for event in events if before and event.page.startswith(f"{before[-1]}/warm-up/")}
    waiting = [one for one in due(events, today) if one.question not in just_asked]
    if not waiting:
        return list(fixed)  # at once: a page waits for it
    known = {question.id: question for question in map(_question, waiting) if question and question.lesson < lesson}
    fit = [name for name, question in known.items() if stands_alone(question)]
    chosen = list(fixed)
    nearest_first = sorted(range(len(fixed)), key=lambda place: bank.load(fixed[place]).lesson, reverse=True)
    for number, place in enumerate(nearest_first):
        older = before[:-1] or before  # the second lesson has only one lesson before it, which then serves for both
        lessons = before[-1:] if number == 0 else older
        free = [name for name in fit if known[name].lesson in lessons and name not in chosen]
        if chosen[place] in fit and known[chosen[place]].lesson in lessons:
            continue  # the fixed question is due itself
        if free:
            chosen[place] = free[0]
    return chosen


def due(events: Iterable[Event], day: date) -> list[Standing]:
    """What is to be asked again on a day, the least known first."""
    return sorted(
        (one for one in standings(events) if _is_due(one, day)), key=lambda one: (one.box, one.last, one.question)
    )


def stands_alone(question: Question) -> bool:
    """Whether a question can be answered away from its lesson: it needs no panel, picture or log beside it."""
    if question.back:
        return True
    short = question.kind in ("choice", "number", "order") and not question.id.endswith("-fault")
    return short and not POINTS_AWAY.search(question.prompt)


def _question(standing):
    """The question, or None where it is no longer in the bank."""
    try:
        return bank.load(standing.question)
    except NotFound:
        return None


def _is_due(standing, today):
    return standing.box < len(RESTS) and (today - standing.last).days >= RESTS[standing.box]
