"""When a charge will be ready: the date for the customer, with its range, drawn anew from each day's weights."""

import datetime
from dataclasses import dataclass

from kilnlib.errors import BadInput
from kilnlib.physics import air
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.pace import AIR_SPEED_MS, DAY_H, start_profile
from kilnlib.physics.samples import Sheet
from kilnlib.physics.schedules import (
    Kiln,
    code_for,
    depression_before_heat_c,
    dialed,
    ladder,
    opened_at_once_c,
    reach,
    step_at,
)
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.tables import advice
from kilnlib.units import f_to_c

LONGEST_DAYS = advice("longest_days_left")
BULB_C = advice("wet_bulb_is_read_to")
MOST_HEAT_C = advice("most_heat_at_once")
DRIEST_RH_PCT = advice("as_dry_as_it_goes_rh")
MAY_BE_OFF = advice("ready_may_be_off")


@dataclass(frozen=True)
class Ready:
    """When the wettest board will be down to the target: the likely day, and the range [datetimes]."""

    likely: datetime.datetime
    early: datetime.datetime
    late: datetime.datetime
    target_pct: float


def ready_on(
    sheet: Sheet,
    dry_bulb_c: float,
    wet_bulb_c: float,
    rate_factor: float = 1.0,
    kiln: Kiln | None = None,
    pressure_pa: float = air.STANDARD_PA,
    air_speed_ms: float = AIR_SPEED_MS,
) -> Ready:
    """When the wettest board will be down to the target, if the schedule is followed from here.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness, target and weights.
    dry_bulb_c, wet_bulb_c : settings from now on, until the schedule's next change point [°C].
    rate_factor : of the engine, set to these boards, see `forecast.fit_rate`.
    kiln : the kiln whose limits the steps keep, or None.
    pressure_pa : air pressure [Pa].
    air_speed_ms : air speed between the stickers [m/s].

    Returns
    -------
    Ready. Conditioning and cooling come on top.

    Raises
    ------
    BadInput : no target or no weights; a pace at which it would take half a year. NotFound : no schedule for this
    stock. As `board.dry` otherwise.

    Source
    ------
    `board.dry` along `schedules.ladder`, which is *from memory*; one change a day, drier air before heat (Univ. of
    Kentucky FOR-128 p. 48); *computed*.

    Accuracy
    --------
    The range is that of a pace a quarter faster or slower to the end; on charges that the engine itself made it held
    the day as tests/physics/daily/test_ready.py tells. On real ones it was not tried.
    """
    days = [day for day in sheet.days if day.mcs_pct]
    if not days or days[-1].wettest is None:
        raise BadInput("no_weights_yet")
    if sheet.target_pct is None:
        raise BadInput("no_target_yet")
    now, target = days[-1].when, sheet.target_pct
    wettest = max(days[-1].wettest[1], 0.0)
    if wettest <= target:
        return Ready(now, now, now, target)
    days_left = _days(sheet, wettest, (dry_bulb_c, wet_bulb_c), rate_factor, kiln, pressure_pa, air_speed_ms)
    likely, early, late = (
        now + datetime.timedelta(days=days_left * share) for share in (1.0, 1.0 / MAY_BE_OFF, MAY_BE_OFF)
    )
    return Ready(likely, early, late, target)


def _days(sheet, mc_pct, settings, rate_factor, kiln, pressure_pa, air_speed_ms):
    """Days until a board is down to the target, with the settings moved on each day as a person would."""
    code = code_for(sheet.species, sheet.thickness).code
    rungs, thick, target = ladder(code), rough_thickness_m(sheet.thickness), sheet.target_pct
    start, _ = start_profile(sheet.species, sheet.thickness, mc_pct, code, settings, air_speed_ms, pressure_pa)
    hot, wet = settings
    for day in range(int(LONGEST_DAYS)):
        board = Board(sheet.species, thick, start, rate_factor=rate_factor)
        history = dry(board, [Step(hot, wet, None, DAY_H, air_speed_ms, target)], pressure_pa)
        if history.hours[-1] < DAY_H - 1e-6 or history.average_pct[-1] <= target:
            return day + float(history.hours[-1]) / DAY_H
        start = at_hours(history, [history.hours[-1]])
        rung = rungs[step_at(rungs, float(history.average_pct[-1]))]
        held = _held(f_to_c(rung.dry_bulb_f), f_to_c(rung.wet_bulb_f), kiln, pressure_pa)
        hot, wet = _moved_on(hot, wet, *held, pressure_pa)
    raise BadInput("never_ready", target=(target, "percent"))


def _moved_on(hot, wet, step_hot, step_wet, pressure_pa):
    """One change of a day: drier air first, then heat, each by as much as is opened or heated at once."""
    goal = step_hot - step_wet
    if step_hot > hot:
        goal = depression_before_heat_c(hot, step_hot, goal, pressure_pa)
    if goal - (hot - wet) > BULB_C:
        return hot, hot - opened_at_once_c(hot, hot - wet, goal, pressure_pa)
    hotter = min(step_hot, hot + MOST_HEAT_C)
    return (hotter, hotter - (hot - wet)) if hotter > hot else (hot, wet)


def _held(dry_bulb_c, wet_bulb_c, kiln, pressure_pa):
    """A rung as a kiln holds it."""
    if kiln is not None and (held := reach(dry_bulb_c, wet_bulb_c, kiln)).limits:
        return dialed(held.same_rh, kiln)
    return dry_bulb_c, max(wet_bulb_c, float(air.wet_bulb_c(dry_bulb_c, DRIEST_RH_PCT, pressure_pa)))
