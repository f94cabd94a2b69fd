"""How fast a board is going to dry from where its schedule has brought it: the engine, started in mid-charge.

A board that has dried to 38 % is not 38 % all through: its faces are near the EMC of the kiln and its middle is still
wet. So the engine first runs the schedule from green down to the moisture content asked about, and goes on from the
profile that leaves. The first day of a green charge counts like any other, against the limit too.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kilnlib import units
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.arrays import within
from kilnlib.physics.drying import Board, History, Step, at_hours, dry
from kilnlib.physics.schedules import ladder
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.physics.wood import species as species_row
from kilnlib.tables import advice

DAY_H = 24.0
DRIEST_RH_PCT = advice("as_dry_as_it_goes_rh")
AIR_SPEED_MS = 1.8  # 350 fpm: middle of what FPL-GTR-57 (1988) p. 6 gives for hardwoods, retrieved
LOWEST_PCT = 3.0
STEP_H = 1500.0  # longest stay on one step of a schedule
NO_SCHEDULE_H = 8000.0


@dataclass(frozen=True)
class Pace:
    """What the engine expects of one or several settings.

    `daily_points` : points of moisture content lost in each of the coming days (day, setting).
    """

    daily_points: np.ndarray
    start: History  # it begins from: one moment

    @property
    def points_per_day(self) -> np.ndarray:
        """Points of the coming day, to hold beside a daily limit, by setting."""
        return self.daily_points[0]


@functools.lru_cache(256)
def left_by_schedule(
    species: str, thickness_m: float, code: str, start_mc_pct: float, pressure_pa: float = air.STANDARD_PA
) -> History:
    """A board on its schedule from green to nearly dry.

    Parameters
    ----------
    species : name of the species.
    thickness_m : thickness [m], 0.002 to 0.3.
    code : schedule code, such as "T4-D2".
    start_mc_pct : green moisture content [%].
    pressure_pa : air pressure [Pa].

    Returns
    -------
    board.History.

    Raises
    ------
    As `board.dry` and `schedules.ladder`.

    Source
    ------
    `board.dry` and `schedules.ladder`; *computed*, on schedules *from memory*.

    Accuracy
    --------
    As `board.dry`. Steps drier than 10 % RH are run at 10 %.
    """
    steps = []
    for printed in ladder(code):
        hot, until = units.f_to_c(printed.dry_bulb_f), max(printed.mc_above_pct, LOWEST_PCT)
        lowest = air.wet_bulb_c(hot, DRIEST_RH_PCT, pressure_pa)
        steps.append(Step(hot, max(units.f_to_c(printed.wet_bulb_f), lowest), None, STEP_H, AIR_SPEED_MS, until))
    return dry(Board(species, thickness_m, start_mc_pct), steps, pressure_pa)


def expected_pace(
    species: str,
    thickness: str,
    mc_pct: float,
    dry_bulb_c: float | Sequence[float] | np.ndarray,
    wet_bulb_c: float | Sequence[float] | np.ndarray,
    code: str | None = None,
    pressure_pa: float = air.STANDARD_PA,
    air_speed_ms: float = AIR_SPEED_MS,
    history: History | None = None,
    rate_factor: float = 1.0,
    days: int = 1,
) -> Pace:
    """How fast a board of a charge will dry under one or several settings, from the profile its schedule has left.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    thickness : nominal thickness, such as "4/4".
    mc_pct : moisture content now [%], average through the thickness, 0 to 300.
    dry_bulb_c, wet_bulb_c : settings [°C], a number or a row of them each.
    code : schedule the charge has been on. None: the first of the settings, held since green.
    pressure_pa : air pressure [Pa].
    air_speed_ms : air speed between the stickers [m/s].
    history : board.History to go on from instead of a schedule; its profile counts, brought to `mc_pct`.
    rate_factor : speeds everything up, see `forecast.fit_rate`.
    days : how many days to look ahead, 1 to 60.

    Returns
    -------
    Pace.

    Raises
    ------
    NotFound : a species without weight, a thickness the engine cannot run. OutOfRange : as `board.dry`.

    Source
    ------
    `board.dry`; *computed*.

    Accuracy
    --------
    Three published times in four lie between 2/3 and 3/2 of ours (tests/test_published.py). Two settings beside each
    other compare better than that.
    """
    mc = within("Moisture content", mc_pct, 0.0, 300.0, "percent")
    thick = rough_thickness_m(thickness)
    hot, wet = np.broadcast_arrays(np.atleast_1d(dry_bulb_c).astype(float), np.atleast_1d(wet_bulb_c).astype(float))
    key = species_row(species).name
    if history is None:
        start, _ = start_profile(key, thickness, mc, code, (hot[0], wet[0]), air_speed_ms, pressure_pa)
        start = _brought_to(start, mc, emc.emc_pct(hot[0], air.rh_pct(hot[0], wet[0], pressure_pa)))
    else:
        start = _brought_to(history, mc)
    boards = [Board(key, thick, start, rate_factor=rate_factor)] * len(hot)
    ahead = int(within("The days", days, 1.0, 60.0, "count"))
    done = dry(boards, [Step(hot.copy(), wet.copy(), None, ahead * DAY_H, air_speed_ms)], pressure_pa)
    average = at_hours(done, np.minimum(DAY_H * np.arange(ahead + 1), done.hours[-1])).average_pct
    return Pace(-np.diff(average, axis=0), start)


def start_profile(
    species: str,
    thickness: str,
    mc_pct: float,
    code: str | None,
    settings: tuple[float, float],
    air_speed_ms: float = AIR_SPEED_MS,
    pressure_pa: float = air.STANDARD_PA,
) -> tuple[History, float]:
    """What a board looks like inside once its schedule has brought it from green to a moisture content.

    Parameters
    ----------
    species : name of the species.
    thickness : nominal thickness, such as "4/4".
    mc_pct : moisture content [%], average through the thickness.
    code : schedule code. None: `settings`, held since green.
    settings : dry bulb and wet bulb [°C], for woods without a schedule.
    air_speed_ms : air speed between the stickers [m/s], for those settings.
    pressure_pa : air pressure [Pa], for those settings.

    Returns
    -------
    History of one moment, and the hours it took to come there.

    Raises
    ------
    As `expected_pace`.

    Source
    ------
    `left_by_schedule`; *computed*.

    Accuracy
    --------
    The shape is that of the moisture content nearest to it, stretched so that the average is exact.
    """
    key, thick, mc = species_row(species).name, rough_thickness_m(thickness), mc_pct
    green = species_row(key).green_average_pct
    green = mc if np.isnan(green) else max(green, mc)
    if code is not None:
        path = left_by_schedule(key, thick, str(code), float(green))
    else:
        path = dry(
            Board(key, thick, green), [Step(*settings, None, NO_SCHEDULE_H, air_speed_ms, max(mc, 0.5))], pressure_pa
        )
    below = np.flatnonzero(path.average_pct <= mc)
    if len(below) == 0 or below[0] == 0:
        hours = 0.0 if len(below) else path.hours[-1]
    else:
        at = below[0]
        after, before = path.average_pct[at], path.average_pct[at - 1]
        hours = path.hours[at] - (path.hours[at] - path.hours[at - 1]) * (mc - after) / (before - after)
    return _brought_to(at_hours(path, np.array([hours])), mc), float(hours)


def _brought_to(history, mc, air_emc_pct=0.0):
    """The last moment of a history, its rise from the face inward stretched until the average is a moisture content.

    The face stays as it is, for it belongs to the air; only wood drier than its face is scaled as a whole. Faces are no
    drier than the EMC of the air they stand in: a charge behind its schedule has not had the air of later steps.
    """
    last = at_hours(history, [history.hours[-1]]) if len(history.hours) > 1 else history
    average, face = last.average_pct[-1], last.surface_pct[-1]
    if not 0.0 <= face < min(mc, average):
        face = 0.0
    now = max(face, air_emc_pct) if air_emc_pct < mc else face
    factor = (mc - now) / (average - face) if average > face else 0.0
    names = ("average_pct", "shell_pct", "core_pct", "surface_pct", "profile_pct")
    return replace(last, **{name: now + (getattr(last, name) - face) * factor for name in names})
