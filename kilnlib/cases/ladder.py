"""What the ladder panel shows: the stock of Tamarack Ford, a kiln, and a ladder worked out for a state."""

import functools
from dataclasses import dataclass

from kilnlib import units
from kilnlib.cases.tamarack import KILN
from kilnlib.physics import air, schedules
from kilnlib.physics.drying import Board, Step, days_to
from kilnlib.physics.schedules import changes as schedule_changes
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
LONGEST_STEP_H = 2400.0


@dataclass(frozen=True)
class State:
    """What the controls set."""

    mc_pct: float = 83.0
    wood: str = "oak"
    shift: str = "none"
    limits: str = "none"


@dataclass(frozen=True)
class DaysCost:
    """Days by the engine for one board: by the book, and in this kiln at the same RH and at the same EMC."""

    book_days: float
    same_rh_days: float
    same_emc_days: float


@dataclass(frozen=True)
class Result:
    """The ladder, where we are on it, and what to set on each step."""

    state: State
    kiln: kiln.ThisKiln  # whose limits are asked about: the one at Tamarack Ford, or the user's own
    code: str
    how: str
    steps: tuple[schedules.ScheduleStep, ...]
    at: int
    settings: tuple[schedules.Air, ...]  # for each step: by the book, or what the kiln can do of it
    reaches: tuple[schedules.Reach, ...]
    others: tuple[bool, ...]  # for each step, whether the index has another setting for this wood
    change: schedule_changes.Change | None  # at the foot of this step; None on the last
    days: DaysCost | None  # None by the book

    @property
    def in_kiln(self) -> bool:
        """Whether the settings are what the kiln can do, not the book's."""
        return self.state.limits in ("kiln", "own")


def days_cost(
    code: str, kiln: schedules.Kiln, board: Board, end_mc_pct: float, wet_bulb_floor_f: float | None = None
) -> DaysCost:
    """What the limits of a kiln cost in days.

    Parameters
    ----------
    code : schedule code, such as "T8-C3".
    kiln : of schedules.limits.
    board : board.Board with its moisture content at the start.
    end_mc_pct : moisture content wanted [%], below the start.
    wet_bulb_floor_f : lowest wet bulb to set [°F]. None: no floor.

    Returns
    -------
    DaysCost [days]; NaN where that moisture content is out of reach.

    Raises
    ------
    As `schedules.ladder` and `board.dry`.

    Source
    ------
    `board.days_to`; *computed*.

    Accuracy
    --------
    The difference is better than the days: those leave out warming up and the wetter air inside the stack.
    """
    printed = schedules.ladder(code, wet_bulb_floor_f)
    reaches = [schedules.reach(units.f_to_c(row.dry_bulb_f), units.f_to_c(row.wet_bulb_f), kiln) for row in printed]
    pressure = air.pressure_pa(kiln.altitude_m)

    def days(airs):
        steps = [
            Step(
                setting.dry_bulb_c,
                None,
                setting.emc_pct,
                LONGEST_STEP_H,
                kiln.sticker_speed_ms,
                max(row.mc_above_pct, end_mc_pct),
            )
            for row, setting in zip(printed, airs, strict=True)
        ]
        return days_to(board, steps, end_mc_pct, pressure)

    ways = ([getattr(reach, name) for reach in reaches] for name in ("called_for", "same_rh", "same_emc"))
    return DaysCost(*(days(airs) for airs in ways))


@functools.cache
def _reaches(steps, limits_of=KILN):
    airs = [(units.f_to_c(step.dry_bulb_f), units.f_to_c(step.wet_bulb_f)) for step in steps]
    return tuple(schedules.reach(*bulbs, limits_of) for bulbs in airs)


@functools.cache
def _days(wood, code, limits_of):
    name, size = WOODS[wood]
    board = Board(name, read_thickness(size).rough_m, GREEN_PCT.get(wood, "green"))
    return days_cost(code, limits_of, board, DONE_PCT)


_changes = functools.cache(schedule_changes.changes)


def _others(steps, settings, book):
    """For each step whether a ladder of the book has another setting at its foot."""
    airs = [reach.called_for for reach in _reaches(book)]

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
    this_kiln = kiln.load() if state.limits == "own" else KILN
    reaches, in_kiln = _reaches(steps, this_kiln), state.limits in ("kiln", "own")
    settings = tuple(reach.same_rh if in_kiln else reach.called_for for reach in reaches)
    changes = _changes(code, floor, this_kiln.driest_rh_pct)
    return Result(
        state,
        this_kiln,
        code,
        recommended.how,
        steps,
        at,
        settings,
        reaches,
        _others(steps, settings, schedules.ladder(recommended.code)),
        changes[at] if at < len(changes) else None,
        _days(state.wood, code, this_kiln) if in_kiln else None,
    )
