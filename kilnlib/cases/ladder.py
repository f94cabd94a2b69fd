"""What the ladder panel shows: the stock and the kiln of Tamarack Ford, and a ladder worked out for a state."""

import functools
from dataclasses import dataclass

from kilnlib import units
from kilnlib.physics import schedules
from kilnlib.physics.drying import Board
from kilnlib.physics.schedules import changes as schedule_changes
from kilnlib.physics.schedules import limits as schedule_limits
from kilnlib.physics.wood import read_thickness
from kilnlib.store.kiln import ThisKiln

KILN = ThisKiln()  # Tamarack Ford
WOODS = {
    "oak": ("oak, red, upland", "4/4"),
    "maple": ("maple, hard", "4/4"),
    "maple_8": ("maple, hard", "8/4"),
    "ash": ("ash, white", "4/4"),
    "poplar": ("yellow-poplar", "4/4"),
}
SHIFTS = {
    "none": {},
    "milder": {"depression": -1},
    "harder": {"depression": 1},
    "cooler": {"temperature": -1},
    "hotter": {"temperature": 1},
}
GREEN_PCT = {"maple": 68.0}  # between heartwood and sapwood: the table’s average is not of its schedule’s class
DONE_PCT = 8.0


@dataclass(frozen=True)
class State:
    """What the controls set."""

    mc_pct: float = 83.0
    wood: str = "oak"
    shift: str = "none"
    limits: str = "none"


@dataclass(frozen=True)
class Result:
    """The ladder, where we are on it, and what to set on each rung."""

    state: State
    code: str
    how: str
    rungs: tuple
    at: int
    settings: tuple  # schedule_limits.Air of each rung: by the book, or what the kiln can do of it
    reaches: tuple
    others: tuple  # for each rung, whether the index has another setting for this wood
    change: object  # schedule_changes.Change at the foot of this rung, None on the last
    days: object  # schedule_limits.DaysCost, None by the book

    @property
    def in_kiln(self):
        """Whether the settings are what the kiln can do, not the book's."""
        return self.state.limits == "kiln"


@functools.cache
def _reaches(rungs):
    return tuple(
        schedule_limits.reach(units.f_to_c(rung.dry_bulb_f), units.f_to_c(rung.wet_bulb_f), KILN) for rung in rungs
    )


@functools.cache
def _days(wood, code):
    name, size = WOODS[wood]
    board = Board(name, read_thickness(size).rough_m, GREEN_PCT.get(wood, "green"))
    return schedule_limits.days_cost(code, KILN, board, DONE_PCT)


_changes = functools.cache(schedule_changes.changes)


def _others(rungs, settings, book):
    """For each rung whether a ladder of the book has another setting at its foot."""
    airs = [one.wanted for one in _reaches(book)]

    def same(rung, one):
        theirs = airs[schedules.rung_at(book, rung.mc_above_pct + 0.1)]
        return max(abs(one.dry_bulb_c - theirs.dry_bulb_c), abs(one.wet_bulb_c - theirs.wet_bulb_c)) < 0.1

    return tuple(not same(rung, one) for rung, one in zip(rungs, settings, strict=True))


def work_out(state):
    """The ladder and the rung for this moisture content."""
    found = schedules.code_for(*WOODS[state.wood])
    code = schedules.shift(found.code, **SHIFTS[state.shift])
    floor = schedules.MODIFIED_FLOOR_F if state.limits == "modified" else None
    rungs = schedules.ladder(code, floor)
    at = schedules.rung_at(rungs, state.mc_pct)
    reaches, here = _reaches(rungs), state.limits == "kiln"
    settings = tuple(one.same_rh if here else one.wanted for one in reaches)
    changes = _changes(code, floor, KILN.driest_rh_pct)
    return Result(
        state,
        code,
        found.how,
        rungs,
        at,
        settings,
        reaches,
        _others(rungs, settings, schedules.ladder(found.code)),
        changes[at] if at < len(changes) else None,
        _days(state.wood, code) if here else None,
    )
