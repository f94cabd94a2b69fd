"""The engine set to a mill's own boards: one rate factor from the weighings so far."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from kilnlib.errors import BadInput
from kilnlib.physics import air
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.samples import Air, Sheet
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.tables import advice

FACTORS = np.geomspace(0.2, 5.0, 25)
READING_PCT = advice("mc_by_weight_is_good_to")
WIDTH = 4.0  # squared misfit above the best, in squared spreads, that still counts as possible (two standard errors)
START_WITHIN = datetime.timedelta(hours=advice("first_weighed_together"))


@dataclass(frozen=True)
class Fit:
    """The rate factor that fits the weighings best, the range that fits about as well, and the boards it was set to."""

    rate_factor: float
    low: float
    high: float
    misfit_pct: float  # root mean square
    readings: int
    boards: tuple[Board, ...]  # with the best factor


def fit_rate(
    boards: Sequence[Board],
    steps: Sequence[Step],
    hours: ArrayLike,
    mc_pct: ArrayLike,
    pressure_pa: float = air.STANDARD_PA,
) -> Fit:
    """One rate factor for a set of boards from what they were found to hold.

    Parameters
    ----------
    boards : sequence of Board, each with its moisture content at the start.
    steps : sequence of Step since then, as long as the readings or longer.
    hours : times of the readings [h].
    mc_pct : moisture contents found [%], a row for each time, a column for each board; NaN where none.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Fit.

    Raises
    ------
    BadInput : readings that do not tell a pace yet. As `board.dry` otherwise.

    Source
    ------
    Least squares; the range holds every factor whose squared misfit is within two standard errors of the best,
    *computed*. That a reading is good to one point of moisture content is our estimate.

    Accuracy
    --------
    Readings made by the engine itself give their factor back within 1 % (tests/test_forecast.py). Real boards are
    covered only as far as one factor can: wrong bulbs or a wrong start become part of it.
    """
    times_h = np.asarray(hours, dtype=float)
    found = np.asarray(mc_pct, dtype=float).reshape(len(times_h), len(boards))
    known = np.isfinite(found) & (times_h > 0.0)[:, None]  # what the boards start from tells no pace
    count = int(known.sum())
    if not count:
        raise BadInput("no_pace_yet")

    def misfit(factors):
        batch = [replace(b, rate_factor=b.rate_factor * factor) for factor in factors for b in boards]
        ours = at_hours(dry(batch, steps, pressure_pa), times_h).average_pct.reshape(len(times_h), len(factors), -1)
        return np.where(known[:, None], (ours - found[:, None]) ** 2, 0.0).sum(axis=(0, 2))

    coarse = misfit(FACTORS)
    best = int(np.argmin(coarse))
    if best in (0, len(FACTORS) - 1):
        raise BadInput("no_pace_yet")
    fine = np.geomspace(FACTORS[best - 1], FACTORS[best + 1], 17)
    factors = np.concatenate([FACTORS, fine])
    order = np.argsort(factors)
    factors, square = factors[order], np.concatenate([coarse, misfit(fine)])[order]
    level = square.min() + WIDTH * max(square.min() / max(count - 1, 1), READING_PCT**2)
    possible = np.flatnonzero(square <= level)
    if possible[0] == 0 or possible[-1] == len(factors) - 1:
        raise BadInput("no_pace_yet")
    low, high = (
        float(np.exp(np.interp(level, square[list(pair)], np.log(factors[list(pair)]))))
        for pair in ((possible[0], possible[0] - 1), (possible[-1], possible[-1] + 1))
    )
    factor = float(factors[np.argmin(square)])
    tuned = tuple(replace(b, rate_factor=b.rate_factor * factor) for b in boards)
    return Fit(factor, low, high, float(np.sqrt(square.min() / count)), count, tuned)


def fit_to_weights(
    sheet: Sheet,
    steps: Sequence[Step] | None = None,
    pressure_pa: float = air.STANDARD_PA,
    air_speed_ms: float = 1.8,
) -> Fit:
    """One rate factor from the sample sheet of a charge.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness and weighed boards.
    steps : sequence of Step since the first weighing; without it the bulbs written on the sheet, each held to the next.
    pressure_pa : air pressure [Pa].
    air_speed_ms : air speed for the bulbs of the sheet [m/s].

    Returns
    -------
    Fit, with one board for each sample board that has two weighings or more.

    Raises
    ------
    BadInput : too few weighings, or no bulbs, or weighings that do not tell a pace yet. As `size.rough_thickness_m`
    and `board.dry` otherwise.

    Source
    ------
    `fit_rate`; *computed*. Rough green lumber: `size.rough_thickness_m` (from memory).

    Accuracy
    --------
    As `fit_rate`.
    """
    first = {board.name: _first(board) for board in sheet.boards if np.isfinite(board.mcs_pct).sum() > 1}
    if not first:
        raise BadInput("no_pace_yet")
    zero = min(board.weighings[at].when for board in sheet.boards if (at := first.get(board.name)) is not None)
    used = [b for b in sheet.boards if b.name in first and b.weighings[first[b.name]].when - zero <= START_WITHIN]
    times = sorted({weighing.when for board in used for weighing in board.weighings if weighing.when >= zero})
    found = np.full((len(times), len(used)), np.nan)
    for column, board in enumerate(used):
        for weighing, mc in zip(board.weighings, board.mcs_pct, strict=True):
            if weighing.when >= zero:
                found[times.index(weighing.when), column] = mc
    thickness = rough_thickness_m(sheet.thickness)
    boards = [Board(sheet.species, thickness, board.mcs_pct[first[board.name]]) for board in used]
    hours = [(when - zero).total_seconds() / 3600.0 for when in times]
    return fit_rate(boards, steps or bulb_steps(sheet.air, zero, times[-1], air_speed_ms), hours, found, pressure_pa)


def _first(board):
    """Number of the first weighing with a known moisture content."""
    return int(np.isfinite(board.mcs_pct).argmax())


def bulb_steps(
    readings: Sequence[Air], zero: datetime.datetime, end: datetime.datetime, air_speed_ms: float = 1.8
) -> list[Step]:
    """Steps from bulbs that were written down, each held until the next.

    Parameters
    ----------
    readings : sequence of weighings.Air in order of time.
    zero : moment the steps begin; the first reading counts from here too.
    end : moment they end.
    air_speed_ms : air speed between the stickers [m/s].

    Returns
    -------
    List of board.Step.

    Raises
    ------
    BadInput : no readings.

    Source
    ------
    That bulbs stay as they were read until they are read again is an assumption of ours, *computed*.

    Accuracy
    --------
    That of the log: what happened between two readings is not in it.
    """
    if not readings:
        raise BadInput("no_bulbs")
    starts = [max(reading.when, zero) for reading in readings]
    starts[0] = zero
    ends = [*starts[1:], max(end, starts[-1])]
    lengths = [(end - start).total_seconds() / 3600.0 for start, end in zip(starts, ends, strict=True)]
    return [
        Step(reading.dry_bulb_c, reading.wet_bulb_c, None, hours, air_speed_ms)
        for reading, hours in zip(readings, lengths, strict=True)
        if hours > 0.0
    ]


def either_way(readings: Sequence[Air]) -> list[tuple[Air, ...]]:
    """The bulbs of a log as they may have stood between two readings: as at the first of them, or as at the second.

    Parameters
    ----------
    readings : samples.Air in order of time.

    Returns
    -------
    One or two logs, to be held from each reading to the next.

    Raises
    ------
    Nothing.

    Source
    ------
    Bulbs may be read before the setting of the day is changed or after it; *common practice*.

    Accuracy
    --------
    Bulbs that moved in between are in neither.
    """
    log = tuple(readings)
    moved = [replace(one, dry_bulb_c=after.dry_bulb_c, wet_bulb_c=after.wet_bulb_c) for one, after in pairwise(log)]
    shifted = (*moved, *log[-1:])
    return [log] if shifted == log else [log, shifted]
