"""One board of 4/4 red oak on T4-D2 at Tamarack Ford, and what four decisions do to its stress: for the stress panel.

The ladder is followed as far as that kiln goes: no drier than its driest air, no hotter than the state says, each
change spread over a day. On the first day kiln and wood warm up. Everything is worked out once per set of decisions;
the day that is looked at costs nothing.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.board import MILL_C, MILL_DEPRESSION_C
from kilnlib.physics import air
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.schedules import ladder, widest_depression_c
from kilnlib.physics.stress import Peak, peak, prongs, stress_history
from kilnlib.store import kiln
from kilnlib.units import f_to_c

SPECIES, SCHEDULE, START_PCT, END_PCT = "red oak", "T4-D2", 80.0, 7.0
LAST_DAY = 35
KILN = kiln.ThisKiln()
PRESSURE_PA = air.pressure_pa(KILN.altitude_m)
WICK_FROM_H, WICK_DRY = 24.0, 0.7  # share of the true depression that the bulb does not see
CHANGE_H, PARTS = 24.0, 6
RUNG_H = 2000.0  # more than any rung lasts


@dataclass(frozen=True)
class State:
    """Four decisions, and the day that is looked at."""

    start_depression_c: float = 4 / 1.8
    end_dry_bulb_c: float = f_to_c(140.0)
    heat_at_pct: float = 15.0  # average at which the last rung of the ladder is set
    wick_days: float = 0.0
    day: float = 2.0


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
    place: np.ndarray  # 0 at one face, 1 at the other
    day_profile_pct: np.ndarray  # day, place
    day_stress_pa: np.ndarray  # day, place
    day_tip_m: np.ndarray


@dataclass(frozen=True)
class Result:
    """A run, looked at on one of its days; after the last one the board lies as it came out."""

    state: State
    number: int
    run: Run


def work_out(state):
    """The run of a state, on its day."""
    run = _run(state.start_depression_c, state.end_dry_bulb_c, state.heat_at_pct, state.wick_days)
    return Result(state, round(state.day), run)


def settings(state, schedule=SCHEDULE):
    """The steps of a state: warming up, the days of the bad wick, then the ladder, changed gradually."""
    rungs = list(_rungs(state, schedule))
    until, dry_c, apart_c = rungs[0]
    steps = [_step(*setting, 24.0 / PARTS, until) for setting in _between((MILL_C, MILL_DEPRESSION_C), rungs[0][1:])]
    if state.wick_days:
        steps.append(_step(dry_c, _possible(dry_c, apart_c / (1.0 - WICK_DRY)), 24.0 * state.wick_days, until))
    before = rungs[0]
    for rung in rungs:
        steps += [_step(*setting, CHANGE_H / PARTS, rung[0]) for setting in _between(before[1:], rung[1:])]
        steps.append(_step(*rung[1:], RUNG_H, rung[0]))
        before = rung
    return steps


def _rungs(state, schedule):
    """(average at which it ends, dry bulb, depression) of each rung, as this kiln and this state have them."""
    rungs = ladder(schedule)
    printed = rungs[0].depression_f / 1.8
    for rung in rungs:
        last = rung is rungs[-1] or (rung.mc_below_pct or np.inf) <= state.heat_at_pct
        dry_c = state.end_dry_bulb_c if last else min(f_to_c(rung.dry_bulb_f), state.end_dry_bulb_c)
        apart_c = (rungs[-1] if last else rung).depression_f / 1.8
        if state.start_depression_c < printed:
            apart_c *= state.start_depression_c / printed  # the whole ladder milder
        apart_c = _possible(dry_c, max(apart_c, state.start_depression_c))
        yield (END_PCT if last else max(rung.mc_above_pct, state.heat_at_pct)), dry_c, apart_c
        if last:
            return


def _possible(dry_c, apart_c):
    """A depression, or the widest that the kiln's driest air allows."""
    return min(apart_c, widest_depression_c(dry_c, KILN))


def _between(before, after):
    """Settings on the way from one to another, none if they are the same."""
    shares = (np.arange(PARTS) + 0.5) / PARTS if before != after else ()
    return [tuple(a + share * (b - a) for a, b in zip(before, after, strict=True)) for share in shares]


def _step(dry_c, apart_c, hours, until):
    return Step(dry_c, dry_c - apart_c, None, hours, KILN.sticker_speed_ms, until)


@functools.lru_cache(maxsize=128)
def _run(*decisions):
    steps = settings(State(*decisions))
    board = Board(SPECIES, KILN.board_thickness_m, START_PCT)
    history = dry(board, steps, PRESSURE_PA)
    stress = stress_history(history, SPECIES, dry_bulb_c=[step.dry_bulb_c for step in steps])
    hours, end = history.hours, float(history.hours[-1])
    highest = peak(stress)
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
        np.concatenate([place, 1.0 - place[::-1]]),
        np.concatenate([profile, profile[:, ::-1]], axis=1),
        np.concatenate([day_stress, day_stress[:, ::-1]], axis=1),
        np.array([prongs(stress, hour).tip_m for hour in mornings]),
    )
