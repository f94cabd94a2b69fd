"""Rounds of weighing: the boards of a sheet weighed one after the other, and the change of a round's date."""

import datetime
from dataclasses import dataclass, replace

from kilnlib.physics.samples import SampleBoard
from kilnlib.tables import advice

TOGETHER = datetime.timedelta(hours=advice("pace_taken_over"))
LATELY = datetime.timedelta(days=advice("sheet_is_old_after"))
DAY = datetime.timedelta(days=1)


@dataclass(frozen=True)
class Round:
    """One walk to the kiln: when it began, and when each board was weighed on it."""

    when: datetime.datetime
    times: dict


def rounds(sheet, begun=None):
    """The rounds of a sheet in order of time. A board weighed again, or four hours later, begins the next one.

    So does the time `begun`, of a round that a person is writing down.
    """
    moments = {}
    for board in sheet.boards:
        for weighing in board.weighings:
            moments.setdefault(weighing.when, []).append(board.name)
    found = []
    for when, names in sorted(moments.items()):
        fresh = not found or when == begun or when >= found[-1].when + TOGETHER
        if fresh or not found[-1].times.keys().isdisjoint(names):
            found.append(Round(when, {}))
        found[-1].times.update(dict.fromkeys(names, when))
    return found


def next_moment(found, now):
    """When the next round will be: now, or the day after the last one where that is more than a week ago.

    A sheet that old is being copied from paper, where one day follows the other.
    """
    now = now.replace(second=0, microsecond=0)
    if not found or now - LATELY < found[-1].when < now:
        return now
    return found[-1].when + DAY


def today(found, now):
    """The round to show first: the one of this date, to finish or correct it, or a new one."""
    if found and found[-1].when.date() == now.date():
        return found[-1]
    return Round(next_moment(found, now), {})


def with_hour(found, shown, when):
    """A date without an hour, with the hour of the round before it; the round of that day itself, where one is there.

    `shown` is the round whose date it is; with weights in it, it stays a round of its own.
    """
    others = [other.when for other in found if other.when != shown.when]
    same_day = [other for other in others if other.date() == when.date() and not shown.times]
    before = [other for other in others if other.date() < when.date()]
    like = (*same_day[:1], *before[-1:], *others[:1], when)[0]
    return datetime.datetime.combine(when.date(), like.time())


def changed_round(before, after, undone, begun):
    """The round in which an undo changed weighings or a note; where its last weight is gone, the empty round."""
    there = rounds(after, begun)
    for found in there:
        if found.times.items() & undone.weighings:
            return found
    empty = Round(undone.when, {})
    was = next((found for found in rounds(before, begun) if found.times.items() & undone.weighings), empty)
    rest = [found for found in there if found.when == was.when or found.times.items() & was.times.items()]
    return (*rest, Round(was.when, {}))[0]


def moved(sheet, old, when):
    """The sheet with every weighing and recut of a round at another time, and the notes that began it.

    Raises BadInput where a board's rows would no longer go forward in time.
    """
    boards = tuple(_moved(board, old.times.get(board.name), when) for board in sheet.boards)
    notes = tuple(replace(note, when=when) if note.when == old.when else note for note in sheet.notes)
    air = tuple(replace(row, when=when) if row.when == old.when else row for row in sheet.air)
    return replace(sheet, boards=boards, notes=notes, air=air)


def _moved(board: SampleBoard, old, when):
    if old is None:
        return board

    def move(row):
        return replace(row, when=when) if row.when == old else row

    return replace(board, weighings=tuple(map(move, board.weighings)), recuts=tuple(map(move, board.recuts)))
