"""What the ladder panel shows: the stock of Tamarack Ford, a kiln, and a ladder worked out for a state."""

import functools
from dataclasses import dataclass

from kilnlib import units
from kilnlib.cases.tamarack import KILN
from kilnlib.physics import schedules
from kilnlib.physics.drying import Board
from kilnlib.physics.schedules import changes as schedule_changes
from kilnlib.physics.schedules import limits as schedule_limits
from kilnlib.physics.wood import read_thickness
from kilnlib.store import kiln

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
    """The ladder, where we are on it, and what to set on each step."""

    state: State
    kiln: kiln.ThisKiln  # whose limits are asked about: the one at Tamarack Ford, or the user's own
    code: str
    how: str
    steps: tuple[schedules.ScheduleStep, ...]
    at: int
    settings: tuple[schedule_limits.Air, ...]  # for each step: by the book, or what the kiln can do of it
    reaches: tuple[schedule_limits.Reach, ...]
    others: tuple[bool, ...]  # for each step, whether the index has another setting for this wood
    change: schedule_changes.Change | None  # at the foot of this step; None on the last
    days: schedule_limits.DaysCost | None  # None by the book and for thick stock

    @property
    def in_kiln(self) -> bool:
        """Whether the settings are what the kiln can do, not the book's."""
        return self.state.limits in ("kiln", "own")


@functools.cache
def _reaches(steps, of=KILN):
    airs = [(units.f_to_c(step.dry_bulb_f), units.f_to_c(step.wet_bulb_f)) for step in steps]
    return tuple(schedule_limits.reach(*bulbs, of) for bulbs in airs)


@functools.cache
def _days(wood, code, of):
    name, size = WOODS[wood]
    board = Board(name, read_thickness(size).rough_m, GREEN_PCT.get(wood, "green"))
    return schedule_limits.days_cost(code, of, board, DONE_PCT)


_changes = functools.cache(schedule_changes.changes)


def _others(steps, settings, book):
    """For each step whether a ladder of the book has another setting at its foot."""
    airs = [reach.wanted for reach in _reaches(book)]

    def same(step, setting):
        theirs = airs[schedules.step_at(book, step.mc_above_pct + 0.1)]
        return max(abs(setting.dry_bulb_c - theirs.dry_bulb_c), abs(setting.wet_bulb_c - theirs.wet_bulb_c)) < 0.1

    return tuple(not same(step, setting) for step, setting in zip(steps, settings, strict=True))


def work_out(state: State) -> Result:
    """The ladder and the step for this moisture content."""
    recommended = schedules.code_for(*WOODS[state.wood])
    code = schedules.shift(recommended.code, **SHIFTS[state.shift])
    floor = schedules.MODIFIED_FLOOR_F if state.limits == "modified" else None
    steps = schedules.ladder(code, floor)
    at = schedules.step_at(steps, state.mc_pct)
    own = kiln.load() if state.limits == "own" else KILN
    reaches, in_kiln = _reaches(steps, own), state.limits in ("kiln", "own")
    settings = tuple(reach.same_rh if in_kiln else reach.wanted for reach in reaches)
    changes = _changes(code, floor, own.driest_rh_pct)
    return Result(
        state,
        own,
        code,
        recommended.how,
        steps,
        at,
        settings,
        reaches,
        _others(steps, settings, schedules.ladder(recommended.code)),
        changes[at] if at < len(changes) else None,
        _days(state.wood, code, own) if in_kiln else None,
    )
