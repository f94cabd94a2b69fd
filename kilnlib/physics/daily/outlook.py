"""Whether the wood has done what the bulbs on the sheet say.

The engine runs the bulbs that were written down since the first weighing, set to these boards where their weights tell
a rate, so that it goes on from the profile this charge has, not from one of the handbook.
"""

import datetime
import functools
from dataclasses import dataclass

import numpy as np

from kilnlib.errors import KilnError
from kilnlib.physics.daily.forecast import bulb_steps, either_way, fit_to_weights
from kilnlib.physics.drying import Board, History, at_hours, dry
from kilnlib.physics.pace import AIR_SPEED_MS, DAY_H, start_profile
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import Sheet, sheet_until
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.tables import advice

NAN = float("nan")
WARMING = datetime.timedelta(hours=advice("warming_up"))
DOUBT, DOUBT_FITTED = advice("bulbs_doubted_from"), advice("bulbs_doubted_from_fitted")
WIDEST_FIT = advice("widest_fit")
LEAST_POINTS = advice("least_pace_compared")


@dataclass(frozen=True)
class Behind:
    """The charge so far by the engine, beside its weights."""

    expected_points: float = NAN  # a day since the weighing before, under the bulbs written down
    rate_factor: float = 1.0  # of the engine, set to the weights: up to now, while they agree with the bulbs
    fitted: bool = False
    history: History | None = None  # up to now; None without bulbs
    reasons: tuple[Reason, ...] = ()


def looked_back(sheet: Sheet, code: str | None, pressure_pa: float, air_speed_ms: float = AIR_SPEED_MS) -> Behind:
    """Whether the wood dried as the bulbs say, and the history to go on from.

    Parameters
    ----------
    sheet : samples.Sheet up to this morning, with two days of weights or more.
    code : schedule of this charge. None: the bulbs as they were, since green.
    pressure_pa : air pressure [Pa].
    air_speed_ms : air speed between the stickers [m/s].

    Returns
    -------
    Behind.

    Raises
    ------
    Nothing.

    Source
    ------
    `board.dry` and `forecast.fit_to_weights`; *computed*. A wick that is not wet reads high, so the air is drier than
    it claims: Univ. of Kentucky FOR-128 p. 94, *retrieved*. The ratios from which to doubt are our choice.

    Accuracy
    --------
    The engine as it is misses by a third either way; set to these boards it compares the days of one charge.
    """
    days = [day for day in sheet.days if day.mcs_pct]
    first, before, now = days[0], days[-2], days[-1]
    if not sheet.air:
        return Behind()
    earlier = _factor(sheet_until(sheet, before.when), pressure_pa, air_speed_ms)
    factor, fitted = earlier or 1.0, earlier is not None
    try:
        thick = rough_thickness_m(sheet.thickness)
        settings = (sheet.air[0].dry_bulb_c, sheet.air[0].wet_bulb_c)
        mc = max(first.controlling_pct, 0.0)
        start, hours = start_profile(sheet.species, sheet.thickness, mc, code, settings, air_speed_ms, pressure_pa)
        board = Board(sheet.species, thick, start, rate_factor=factor)
        pasts = [bulb_steps(air, first.when, now.when, air_speed_ms) for air in either_way(sheet.air)]
        histories = [dry(board, steps, pressure_pa) for steps in pasts]
    except KilnError:
        return Behind(NAN, factor, fitted)  # no weight, four faces or bulbs the engine cannot run
    warming = hours / factor < DAY_H and before.when - first.when < WARMING
    ends = [(day.when - first.when).total_seconds() / 3600.0 for day in (before, now)]
    span = (ends[1] - ends[0]) / 24.0
    points = (before.controlling_pct - now.controlling_pct) / span
    paces = []
    for history in histories:
        there = at_hours(history, np.minimum(ends, history.hours[-1])).average_pct
        paces.append((there[0] - there[1]) / span)
    expected, history = min(zip(paces, histories, strict=True), key=lambda pair: abs(pair[0] - points))
    fields = {"points": (points, "points"), "expected": (expected, "points")}
    level = DOUBT_FITTED if fitted else DOUBT
    reasons: tuple[Reason, ...] = ()
    if points > level * max(expected, LEAST_POINTS):
        reasons = (Reason("faster_than_air", fields),)
    elif not warming and expected > LEAST_POINTS and points < expected / level:
        reasons = (Reason("slower_than_air", fields),)
    if not reasons:
        factor = _factor(sheet, pressure_pa, air_speed_ms) or factor
    return Behind(float(expected), factor, fitted, history, reasons)


@functools.lru_cache(maxsize=64)  # a sheet of yesterday is asked for again at each weight of today
def _factor(sheet, pressure_pa, air_speed_ms):
    """Rate factor that the weights tell, or None where they or the bulbs are too few to tell one."""
    try:
        fit = fit_to_weights(sheet, pressure_pa=pressure_pa, air_speed_ms=air_speed_ms)
    except KilnError:
        return None
    return fit.rate_factor if fit.high / fit.low < WIDEST_FIT else None
