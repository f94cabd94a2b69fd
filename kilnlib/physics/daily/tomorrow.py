"""What each sample board should weigh tomorrow, how far off that was the next morning, and what does not fit the story.

The engine runs each board through the bulbs that were written down, at the pace that the boards of this charge have
shown. What a board then lost beside what the engine gave it in the last days is its own share of the next day; what is
left unexplained is the likely error. No sentence stands here: the words are under "own_morning.misfit.…".
"""

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from kilnlib.errors import BadInput
from kilnlib.physics import air
from kilnlib.physics.daily.forecast import bulb_steps, either_way
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.pace import AIR_SPEED_MS, DAY_H
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import Sheet, sheet_until
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.tables import advice

RECENT_DAYS = int(advice("days_a_pace_is_taken_from"))
ENGINE = advice("engine_is_good_for")
ERRORS = advice("likely_error_is")
LEAST_POINTS = advice("least_pace_compared")
LEAST_ERROR_POINTS = advice("likely_error_at_least")
WETS_APART_C = advice("wet_bulbs_apart")
BUCKET_APART = advice("bulbs_doubted_from_fitted")
LEAST_ALIKE = advice("boards_told_as_one")


@dataclass(frozen=True)
class Expected:
    """What one board should hold and weigh at a moment."""

    board: str
    mc_pct: float
    weight_kg: float
    error_kg: float  # likely, either way


@dataclass(frozen=True)
class Miss:
    """One forecast beside the weight it was for."""

    expected: Expected
    weight_kg: float

    @property
    def off_kg(self) -> float:
        """How much heavier the board is than it was expected to be."""
        return self.weight_kg - self.expected.weight_kg

    @property
    def outside(self) -> bool:
        """Whether that is more than the likely error."""
        return abs(self.off_kg) > self.expected.error_kg


def expected_weights(
    sheet: Sheet,
    when: datetime.datetime,
    dry_bulb_c: float,
    wet_bulb_c: float,
    rate_factor: float = 1.0,
    pressure_pa: float = air.STANDARD_PA,
    air_speed_ms: float = AIR_SPEED_MS,
) -> tuple[Expected, ...]:
    """What the boards weighed on the last day of a sheet should weigh at a later moment.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness, bulbs and two days of weights or more.
    when : the moment, after the last weighing.
    dry_bulb_c, wet_bulb_c : air until then [°C].
    rate_factor : of the engine, set to these boards, see `forecast.fit_rate`.
    pressure_pa : air pressure [Pa].
    air_speed_ms : air speed between the stickers [m/s].

    Returns
    -------
    Expected, one a board, in the order of the sheet; a board whose last weight is in doubt has none.

    Raises
    ------
    BadInput : no pace yet, or no bulbs. As `size.rough_thickness_m` and `board.dry` otherwise.

    Source
    ------
    `board.dry`, and the boards' own losses of the last three days; *computed*.

    Accuracy
    --------
    The likely error is twice what the last days left unexplained, with what the engine may be off where the air is to
    change. On charges that the engine itself made, boards and scale with faults of their own, it held nine in ten
    (tests/physics/daily/test_tomorrow.py); on real ones it was not tried.
    """
    days = [day for day in sheet.days if day.mcs_pct]
    names = [name for name in days[-1].mcs_pct if name in days[-1].rates] if len(days) > 1 else []
    if not names:
        raise BadInput("no_pace_yet")
    recent = days[-1 - RECENT_DAYS :]
    found = np.array([[day.mcs_pct.get(name, math.nan) for name in names] for day in recent])
    lost = -np.diff(found, axis=0)
    known = np.isfinite(lost)
    air_set, tried = (dry_bulb_c, wet_bulb_c), []
    for log in either_way(sheet.air):
        past = bulb_steps(log, days[0].when, days[-1].when, air_speed_ms)
        engine, ahead = _by_engine(sheet, days, names, when, past, air_set, rate_factor, pressure_pa, air_speed_ms)
        given = np.where(known, -np.diff(engine[-len(recent) :], axis=0), 0.0)
        own = _own_shares(np.where(known, lost, 0.0), given)
        left = np.where(known, lost - own * given, 0.0)
        tried.append((float((left**2).sum()), own, ahead))
    square, own, ahead = min(tried, key=lambda one: one[0])
    free = max(int(known.sum()) - len(names), 0)  # what the shares have not used up
    changed = abs(ahead["set"] - ahead["held"]) * (ENGINE - 1.0)
    loss = own * ahead["set"]
    spread = math.sqrt(square / free) if free else 0.0
    error = np.hypot(max(ERRORS * spread, LEAST_ERROR_POINTS), changed)
    if free < len(names):  # one day's loss: nothing has told yet how steady this board is
        error = np.hypot(error, np.abs(loss) * (ENGINE - 1.0))
    made = []
    for column, name in enumerate(names):
        board = sheet.board(name)
        mc, solid = found[-1, column] - loss[column], board.ovendry_kg[-1]
        step_pct = 100.0 * board.scale_step_kg / solid
        weight, off = solid * (1.0 + mc / 100.0), solid * math.hypot(error[column], step_pct) / 100.0
        made.append(Expected(name, float(mc), float(weight), float(off)))
    return tuple(made)


def _own_shares(lost, given):
    """Loss of each board over what the engine gave it, held to that of all boards as if by one more day."""
    typical = max(float(given.mean()), LEAST_POINTS)
    common = max((lost.sum() + typical) / (given.sum() + typical), 0.0)
    return np.maximum((lost.sum(axis=0) + common * typical) / (given.sum(axis=0) + typical), 0.0)


def _by_engine(sheet, days, names, when, past, air_set, rate_factor, pressure_pa, air_speed_ms):
    """Moisture contents by the engine on each day, and what it takes off until `when`, as set and with the air held."""
    first, last = days[0], days[-1]
    start = [first.mcs_pct.get(name, last.mcs_pct[name]) for name in names]
    thick = rough_thickness_m(sheet.thickness)
    boards = [Board(sheet.species, thick, float(mc), rate_factor=rate_factor) for mc in start]
    hours = (when - last.when).total_seconds() / 3600.0
    held = Step(sheet.air[-1].dry_bulb_c, sheet.air[-1].wet_bulb_c, None, hours, air_speed_ms)
    ahead = {}
    for name, step in {"set": Step(*air_set, None, hours, air_speed_ms), "held": held}.items():
        history = dry(boards, [*past, step], pressure_pa)
        ends = [(day.when - first.when).total_seconds() / 3600.0 for day in days]
        there = at_hours(history, np.minimum([*ends, ends[-1] + hours], history.hours[-1])).average_pct
        ahead[name] = there[-2] - there[-1]
    return there[:-1], ahead


def misses(sheet: Sheet, expected: Iterable[Expected]) -> tuple[Miss, ...]:
    """Forecasts beside the weights of the last day.

    Parameters
    ----------
    sheet : samples.Sheet with the weights they were for.
    expected : what `expected_weights` gave.

    Returns
    -------
    Miss, one for each board that was weighed.

    Raises
    ------
    Nothing.

    Source
    ------
    A difference; *computed*.

    Accuracy
    --------
    That of the scale.
    """
    date = sheet.days[-1].when.date()
    weights = {
        board.name: board.weighings[-1].weight_kg
        for board in sheet.boards
        if board.weighings and board.weighings[-1].when.date() == date
        and not any(recut.when.date() == date for recut in board.recuts)
    }  # fmt: skip
    return tuple(Miss(one, weights[one.board]) for one in expected if one.board in weights)


def misfits(sheet: Sheet, found: tuple[Miss, ...]) -> tuple[Reason, ...]:
    """The board, bulb or scale that does not fit the story of this charge.

    Parameters
    ----------
    sheet : samples.Sheet up to this morning.
    found : what `misses` gave; empty where nothing was forecast.

    Returns
    -------
    Reasons, the surest first; codes "wet_bulbs_apart", "no_drop", "scale", "all_off", "board".

    Raises
    ------
    Nothing.

    Source
    ------
    Air that dries wood keeps its wet bulb, so both sides show the same one: Univ. of Kentucky FOR-128 on wet bulbs,
    *from memory*. That all boards off one way point to what they share, and that the bucket then tells the scale from
    the bulbs, is *common practice*; how far apart is far is our choice.

    Accuracy
    --------
    It says where to look first, not what is broken.
    """
    reasons = list(_of_bulbs(sheet.air[-1])) if sheet.air else []
    off = [one for one in found if one.outside]
    ways = {one.off_kg > 0.0 for one in found}
    if len(found) >= LEAST_ALIKE and len(ways) == 1 and 2 * len(off) > len(found):
        fields = {"count": f"{len(off)}", "points": (abs(_mean_points(sheet, found)), "points")}
        heavier = "heavier" if True in ways else "lighter"
        code = "scale" if _bucket_as_before(sheet) else "all_off"
        reasons.append(Reason(f"{code}_{heavier}", fields))
    elif off:
        for one in sorted(off, key=lambda miss: -abs(miss.off_kg) / miss.expected.error_kg):
            heavier = "heavier" if one.off_kg > 0.0 else "lighter"
            fields = {"board": one.expected.board, "off": (abs(one.off_kg), "weight")}
            reasons.append(Reason(f"board_{heavier}", fields | {"error": (one.expected.error_kg, "weight")}))
    return tuple(reasons)


def _mean_points(sheet, found):
    return sum(100.0 * one.off_kg / sheet.board(one.expected.board).ovendry_kg[-1] for one in found) / len(found)


def _of_bulbs(reading):
    """What the bulbs of both sides say about each other."""
    wet, dry_bulb = reading.leaving_wet_bulb_c, reading.leaving_dry_bulb_c
    if wet is not None and abs(wet - reading.wet_bulb_c) > WETS_APART_C + 1e-6:
        apart = (abs(wet - reading.wet_bulb_c), "temperature_difference")
        yield Reason(
            "wet_bulbs_apart", {"wet": (reading.wet_bulb_c, "temperature"), "out": (wet, "temperature"), "apart": apart}
        )
    if dry_bulb is not None and dry_bulb > reading.dry_bulb_c + 1e-6:
        yield Reason("no_drop", {"dry": (reading.dry_bulb_c, "temperature"), "out": (dry_bulb, "temperature")})


def _bucket_as_before(sheet):
    """Whether the bucket has gone on as before while the weights have not: then the scale is asked first."""
    paces = [
        (now.bucket_m3 or math.nan) / ((now.when - before.when).total_seconds() / 3600.0 / DAY_H)
        for before, now in pairwise(sheet.air)
    ]
    last = [pace for pace in paces[-1 - RECENT_DAYS : -1] if math.isfinite(pace)]
    if not last or not math.isfinite(paces[-1]):
        return False
    ratio = paces[-1] / (sum(last) / len(last))
    return 1.0 / BUCKET_APART < ratio < BUCKET_APART


def yesterday(sheet: Sheet) -> Sheet | None:
    """The sheet as it was on the day of weighing before the last one, or None.

    Parameters
    ----------
    sheet : samples.Sheet.

    Returns
    -------
    Sheet, or None where there is no day before.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    As `samples.sheet_until`: sections that were still in the oven then are known now.
    """
    days = [day for day in sheet.days if day.mcs_pct]
    if len(days) < 2:
        return None
    return sheet_until(sheet, datetime.datetime.combine(days[-2].when.date(), datetime.time.max))
