"""One board of 4/4 red oak on T4-D2 at Tamarack Ford, and what four decisions do to its stress: for the stress panel.

The ladder is followed as far as that kiln goes: no drier than its driest air, no hotter than the state says, each
change spread over a day. On the first day kiln and wood warm up. Everything is worked out once per set of decisions;
the day that is looked at costs nothing.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.tamarack import KILN, MILL_C, MILL_DEPRESSION_C, PRESSURE_PA
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.schedules import ladder, widest_depression_c
from kilnlib.physics.stress import Peak, peak, prongs, stress_history
from kilnlib.units import f_to_c

SPECIES, SCHEDULE, START_PCT, END_PCT = "red oak", "T4-D2", 80.0, 7.0
LAST_DAY = 40
EARLY_PCT = 50.0  # above this average the index orders the starts; later it peaks at each step of the schedule
WICK_DRY = 0.7  # share of the true depression that a dry wick does not show
CHANGE_H, PARTS = 24.0, 6
LONGEST_STEP_H = 2000.0  # more than any step of the schedule lasts


@dataclass(frozen=True)
class State:
    """Four decisions, and the day that is looked at."""

    start_depression_c: float = 4 / 1.8
    end_dry_bulb_c: float = f_to_c(140.0)
    heat_at_pct: float = 15.0  # average at which the last step of the schedule is set
    wick_days: float = 0.0
    day: float = 6.0  # on schedule the surface pulls from the fourth day on


@dataclass(frozen=True, eq=False)
class Run:
    """The whole drying of that board, morning by morning and at every step."""

    hours: np.ndarray
    surface_pa: np.ndarray
    core_pa: np.ndarray
    index: np.ndarray
    core_index: np.ndarray
    average_pct: np.ndarray
    end_h: float
    reversal_h: float
    reversal_pct: float  # average then
    peak: Peak
    peak_pct: float  # average then
    early_index: float  # the highest above EARLY_PCT
    early_h: float
    early_end_h: float  # the average has come down to EARLY_PCT
    place: np.ndarray  # 0 at one face, 1 at the other
    day_profile_pct: np.ndarray  # day, place
    day_stress_pa: np.ndarray  # day, place
    day_surface_pa: np.ndarray
    day_core_pa: np.ndarray
    day_opening_pa: np.ndarray  # pull on the skin that opens the checks in the faces; NaN before they are torn
    day_tip_m: np.ndarray


@dataclass(frozen=True)
class Result:
    """A run, looked at on one of its days; after the last one the board lies as it came out."""

    state: State
    number: int
    run: Run


def work_out(state: State) -> Result:
    """The run of a state, on its day."""
    run = _run(state.start_depression_c, state.end_dry_bulb_c, state.heat_at_pct, state.wick_days)
    return Result(state, round(state.day), run)


def settings(state: State, schedule: str = SCHEDULE) -> list[Step]:
    """The settings of a state: warming up, the days of the bad wick, then the schedule, changed gradually."""
    stages = list(_stages(state, schedule))
    until, dry_c, depression_c = stages[0]
    steps = [_step(setting, 24.0 / PARTS, until) for setting in _between((MILL_C, MILL_DEPRESSION_C), stages[0][1:])]
    if state.wick_days:
        true_depression_c = _possible(dry_c, depression_c / (1.0 - WICK_DRY))
        steps.append(_step((dry_c, true_depression_c), 24.0 * state.wick_days, until))
    before = stages[0]
    for stage in stages:
        steps += [_step(setting, CHANGE_H / PARTS, stage[0]) for setting in _between(before[1:], stage[1:])]
        steps.append(_step(stage[1:], LONGEST_STEP_H, stage[0]))
        before = stage
    return steps


def _stages(state, schedule):
    """(average at which it ends, dry bulb, depression) of each schedule step, as this kiln and this state have them."""
    printed = ladder(schedule)
    first_c = printed[0].depression_f / 1.8
    for step in printed:
        last = step is printed[-1] or (step.mc_below_pct or np.inf) <= state.heat_at_pct
        dry_c = state.end_dry_bulb_c if last else min(f_to_c(step.dry_bulb_f), state.end_dry_bulb_c)
        depression_c = (printed[-1] if last else step).depression_f / 1.8
        if state.start_depression_c < first_c:
            depression_c *= state.start_depression_c / first_c  # the whole schedule milder
        depression_c = _possible(dry_c, max(depression_c, state.start_depression_c))
        yield (END_PCT if last else max(step.mc_above_pct, state.heat_at_pct)), dry_c, depression_c
        if last:
            return


def _possible(dry_c, depression_c):
    """A depression, or the widest that the kiln's driest air allows."""
    return min(depression_c, widest_depression_c(dry_c, KILN))


def _between(before, after):
    """Settings on the way from one to another, none if they are the same."""
    shares = (np.arange(PARTS) + 0.5) / PARTS if before != after else ()
    return [tuple(a + share * (b - a) for a, b in zip(before, after, strict=True)) for share in shares]


def _step(setting, hours, until):
    dry_c, depression_c = setting
    return Step(dry_c, dry_c - depression_c, None, hours, KILN.sticker_speed_ms, until)


def _torn_h(stress, board):
    """The hour at which the index first passes 1 in the outer quarter of the thickness, if it does."""
    torn = (stress.check_index > 1.0) & (stress.index_depth_m < board.thickness_m / 4)
    return float(stress.hours[torn.argmax()]) if torn.any() else np.inf


@functools.lru_cache(maxsize=128)
def _run(*decisions):
    steps = settings(State(*decisions))
    board = Board(SPECIES, KILN.board_thickness_m, START_PCT)
    history = dry(board, steps, PRESSURE_PA)
    stress = stress_history(history, SPECIES, dry_bulb_c=[step.dry_bulb_c for step in steps])
    hours, end = history.hours, float(history.hours[-1])
    highest = peak(stress)
    early = int(np.argmax(np.where(history.average_pct >= EARLY_PCT, stress.check_index, -np.inf)))
    mornings = np.minimum(24.0 * np.arange(LAST_DAY + 1), end)
    day_stress = np.stack([np.interp(mornings, hours, layer) for layer in stress.stress_pa.T], axis=1)
    place = history.depth_m / board.thickness_m
    profile = at_hours(history, mornings).profile_pct

    def average(hour):
        return float(np.interp(hour, hours, history.average_pct))

    return Run(
        hours,
        stress.surface_stress_pa,
        stress.core_stress_pa,
        stress.check_index,
        stress.core_index,
        history.average_pct,
        end,
        stress.reversal_h,
        average(stress.reversal_h),
        highest,
        average(highest.hour),
        float(stress.check_index[early]),
        float(hours[early]),
        float(np.interp(-EARLY_PCT, -history.average_pct, hours)),
        np.concatenate([place, 1.0 - place[::-1]]),
        np.concatenate([profile, profile[:, ::-1]], axis=1),
        np.concatenate([day_stress, day_stress[:, ::-1]], axis=1),
        surface := np.interp(mornings, hours, stress.surface_stress_pa),
        np.interp(mornings, hours, stress.core_stress_pa),
        np.where(mornings >= _torn_h(stress, board), np.maximum(surface, 0.0), np.nan),
        np.array([prongs(stress, hour).tip_m for hour in mornings]),
    )
