"""Days of each course of the example load, read off a table, for pictures that move: `course` itself takes too long.

The load: 4/4 eastern white pine, rough green, from 80 % in air that goes into the stack at 120 °F and 60 % RH and is
held so. One wood in one air: it compares one way of loading with another. It is no forecast of days.

The table is made by `course_days_table`. It is read here, so that a picture needs the table and not the engine.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range, result
from kilnlib.units import FT_M, IN_M, f_to_c

START_MC_PCT = 80.0
AIR_C, AIR_RH_PCT = f_to_c(120.0), 60.0
WET_PCT = 60  # one of LEVELS_PCT
LEVELS_PCT = (70, 60, 50, 40, 35, 30, 25, 20, 18, 16, 14, 13, 12)  # days to each stand in the table
FPM_MS, IN_PER_FT = FT_M / 60.0, IN_M / FT_M
SPEEDS_FPM = (4, 5, 7, 9, 12, 16, 20, 26, 34, 44, 57, 74, 96, 125, 160, 210, 275, 355, 460, 600, 780, 1010)
SPACES_IN_PER_FT = (0.03, 0.037, 0.046, 0.057, 0.07, 0.087, 0.107, 0.132)  # sticker thickness for each foot of width


@functools.cache
def _table():
    """Temperature drops [°C] and logarithms of the days, by logarithm of speed and of space."""
    rows = tables.records("course_days")
    shape = (len(SPEEDS_FPM), len(SPACES_IN_PER_FT))
    drops = np.array([float(row["drop_f"]) / 1.8 for row in rows]).reshape(*shape, 1)
    days = np.array([[float(row[f"days_to_{level}"]) for level in LEVELS_PCT] for row in rows]).reshape(*shape, -1)
    return np.concatenate([drops, np.log(days)], axis=2)


def _read(air_speed_ms, sticker_thickness_m, width_m):
    """Temperature drop [°C] and days to each level of courses, on straight lines between the rows."""
    speed = check_range("Air speed", air_speed_ms, *(SPEEDS_FPM[i] * FPM_MS for i in (0, -1)), "air_speed")
    width = check_range("Width of the stack", width_m, 0.1, 20.0, "length")
    ends = [SPACES_IN_PER_FT[i] * IN_PER_FT * float(width) for i in (0, -1)]
    sticker = check_range("Sticker thickness", sticker_thickness_m, *ends, "thickness")
    (i, a), (j, b) = (
        _between(axis, np.log(value))
        for axis, value in ((SPEEDS_FPM, speed / FPM_MS), (SPACES_IN_PER_FT, sticker / width / IN_PER_FT))
    )
    table = _table()
    low, high = ((1.0 - b) * table[row, j] + b * table[row, j + 1] for row in (i, i + 1))
    read = (1.0 - a) * low + a * high
    return read[..., 0], np.exp(read[..., 1:])


def _between(axis, value):
    """Number of the row before a logarithm on an axis, and how far it lies toward the next one."""
    rows = np.log(axis)
    at = np.clip(np.searchsorted(rows, value, side="right") - 1, 0, len(rows) - 2)
    return at, ((value - rows[at]) / (rows[at + 1] - rows[at]))[..., None]


@dataclass(frozen=True)
class DryingLag:
    """Days until the boards served best and worst average 12 %, and what else the load shows.

    `worst_mc_pct` is what the worst boards average at the hour the best are done. `load_days` tells for each of
    LEVELS_PCT the days until a board is there, the mean of all boards.

    Source
    ------
    Result of `drying_lag`; *computed*.
    """

    best_days: float
    worst_days: float
    worst_mc_pct: float
    load_days: dict[int, float]


def drying_lag(
    air_speed_ms: Sequence[float] | np.ndarray, sticker_thickness_m: Sequence[float] | np.ndarray, width_m: float
) -> DryingLag:
    """Days of the boards of the example load that the air serves best, and of those it serves worst.

    A board has two faces, each in its own space: to every moisture content it takes the mean of the days that it would
    take with both faces in the space below it, and with both in the one above. The lowest lies on bolsters, in air not
    counted here, and takes the days of the space above it.

    Parameters
    ----------
    air_speed_ms : air speed of each space [m/s], from the foot up, 4 to 1,010 fpm, at least one.
    sticker_thickness_m : sticker thickness of each [m], 0.03 to 0.132 in for each foot of width.
    width_m : width of the stack [m].

    Returns
    -------
    DryingLag.

    Raises
    ------
    OutOfRange : a number out of range; no course at all.

    Source
    ------
    tables/course_days.csv, written by `course_days_table`; *computed*.

    Accuracy
    --------
    Between its rows the table is within 1 % of `course.dry_course` (tests/physics/airflow/test_course.py). The mean of
    two spaces is within 2 % of boards worked out with two different faces, in slow air (60 ft/min) 6 % too long
    (tests/physics/drying/test_two_faces.py). A comparison, not a forecast; what an operator does about a wet sample
    board is left out.
    """
    if np.size(air_speed_ms) == 0:
        raise OutOfRange("no_courses", "air_speed_ms", 0.0)
    _, days = _read(np.atleast_1d(air_speed_ms), np.atleast_1d(sticker_thickness_m), width_m)
    days = (days + np.concatenate([days[:1], days[:-1]])) / 2.0
    last, load_days = days[:, -1], dict(zip(LEVELS_PCT, days.mean(axis=0).tolist(), strict=True))
    if np.isnan(last).any():
        return DryingLag(float("nan"), float("nan"), float("nan"), load_days)
    best, worst = float(last.min()), days[np.argmax(last)]
    behind = float(np.interp(best, np.append(0.0, worst), np.append(START_MC_PCT, LEVELS_PCT)))
    return DryingLag(best, float(worst[-1]), behind, load_days)


def wet_drop_c(
    air_speed_ms: float | np.ndarray, sticker_thickness_m: float | np.ndarray, width_m: float
) -> float | np.ndarray:
    """Temperature drop across courses of the example load while they average 60 %.

    Parameters
    ----------
    air_speed_ms : air speed between the stickers [m/s], 4 to 1,010 fpm; one or many.
    sticker_thickness_m : sticker thickness [m], 0.03 to 0.132 in for each foot of width; one or many.
    width_m : width of the stack [m].

    Returns
    -------
    Temperature drop [°C].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    tables/course_days.csv, written by `course_days_table`; *computed*.

    Accuracy
    --------
    As `drying_lag`.
    """
    return result(_read(np.asarray(air_speed_ms), np.asarray(sticker_thickness_m), width_m)[0])
