"""Rows of tables/drying_checks.csv about stress, set and conditioning, worked out on the board of the stress panel."""

import dataclasses

import numpy as np

from kilnlib.cases import stress as case
from kilnlib.physics.drying import Board, Step, dry
from kilnlib.physics.stress import STRAIGHT_M, prongs, stress_history
from kilnlib.questions.checks import QUARTERS_M
from kilnlib.units import f_to_c

STARTS = {
    "mild": case.State(start_depression_c=3 / 1.8, end_dry_bulb_c=f_to_c(130.0)),
    "schedule": case.State(),
    "too hard": case.State(start_depression_c=12 / 1.8),
}
SCHEDULES = {"4/4": "T4-D2", "8/4": "T3-D1"}
SET_AT_PCT = 38.0
CONDITION_C, DRIED_PCT, EQUALIZE_EMC, CONDITION_EMC, LONGEST_H = f_to_c(160.0), 6.5, 5.0, 11.0, 96.0


def _run(steps, size):
    board = Board(case.SPECIES, QUARTERS_M[size], case.START_PCT)
    history = dry(board, steps, case.PRESSURE_PA)
    return history, stress_history(history, case.SPECIES, dry_bulb_c=[step.dry_bulb_c for step in steps])


def _early(start, size, schedule):
    """Highest check index while the average is early."""
    history, stresses = _run(case.settings(STARTS[start], schedule), size)
    return float(stresses.check_index[history.average_pct >= case.EARLY_PCT].max())


def _index_order(of):
    size, gentle, hard = of.split("|")
    return _early(hard, size, SCHEDULES[size]) / _early(gentle, size, SCHEDULES[size])


def _index_thick(_):
    return _early("schedule", "8/4", SCHEDULES["4/4"]) / _early("schedule", "4/4", SCHEDULES["4/4"])


def _set_order(of):
    bends_m = []
    for start in of.split("|"):
        history, stresses = _run(case.settings(STARTS[start]), "4/4")
        hour = np.interp(-SET_AT_PCT, -history.average_pct, history.hours)
        bends_m.append(prongs(stresses, hour).tip_m)
    return bends_m[1] / bends_m[0]


def _swap(_):
    history, stresses = _run(case.settings(case.State()), "4/4")
    return float(np.interp(stresses.reversal_h, history.hours, history.average_pct))


def _condition_hours(size):
    """Hours of conditioning until the prongs are straight, after two days of equalizing."""
    steps = case.settings(case.State(end_dry_bulb_c=CONDITION_C), SCHEDULES[size])
    steps[-1] = dataclasses.replace(steps[-1], until_mc_pct=DRIED_PCT)
    speed = case.KILN.sticker_speed_ms
    steps.append(Step(CONDITION_C, None, EQUALIZE_EMC, 48.0, speed))
    steps.append(Step(CONDITION_C, None, CONDITION_EMC, LONGEST_H, speed))
    history, stresses = _run(steps, size)
    hours = np.arange(LONGEST_H)
    bends_m = np.array([prongs(stresses, history.step_end_hours[-2] + hour).tip_m for hour in hours])
    straight = hours[np.abs(bends_m) <= STRAIGHT_M]
    return straight[0] if len(straight) else np.nan


MEASURES = {
    "index_order": _index_order,
    "index_thick": _index_thick,
    "set_order": _set_order,
    "swap": _swap,
    "condition_hours": _condition_hours,
}
