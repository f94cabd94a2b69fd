"""The drying engine beside published numbers: times, daily limits, the effect of air speed. Nothing is left out.

Red oak is the wood the engine is tuned on, and one row of yellow-poplar (tables/drying_checks.csv). Their rows show how
well that went and are no validation; all other times are. The daily limits for 4/4 tuned the faces of each wood.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib import tables, units
from kilnlib.errors import NotFound
from kilnlib.physics.drying.board import Board, Step, dry, points_per_day
from kilnlib.physics.drying.steps import LONGEST_H
from kilnlib.physics.samples import safe_rate
from kilnlib.physics.wood import OAK, species_key, species_names

SPEED_LEVELS_PCT = (100.0, 90.0, 80.0, 70.0, 60.0, 50.0, 40.0, 30.0, 20.0)


@dataclass(frozen=True)
class TimeRow:
    """One published drying time and ours; days are NaN where nothing is printed or can be computed."""

    id: str
    wood: str
    kiln: str
    low_days: float
    high_days: float
    days: float
    ratio: float  # ours over the middle of the published range
    role: str  # "validation", "tuning wood" or "not computed"
    assumed: str  # what the source does not say and was taken
    explained: str  # why a ratio is far from 1
    source: str
    how: str


@dataclass(frozen=True)
class LimitRow:
    """The most a 4/4 board loses in a day on its own schedule, beside the published limit."""

    species: str
    settings: str
    first_day_points: float
    highest_points: float
    limit_points: float


def schedule_steps(name: str, end_pct: float, air_speed_ms: float = 1.8) -> list[Step]:
    """Steps of one set of conditions of tables/drying_time_settings.csv, each until the moisture content it ends at.

    Parameters
    ----------
    name : name there, such as "T4-D2".
    end_pct : moisture content the last of them ends at [%].
    air_speed_ms : air speed [m/s].

    Returns
    -------
    List of Step.

    Raises
    ------
    NotFound : a name that is not there.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*, and others named in each row of that table.

    Accuracy
    --------
    As good as that memory. Equalizing and conditioning are not in it.
    """
    rows = [row for row in tables.records("drying_time_settings") if row["settings"] == name]
    if not rows:
        known = sorted({row["settings"] for row in tables.records("drying_time_settings")})
        raise NotFound("unknown_settings", name=name, names=", ".join(known))
    steps = []
    for row in rows:
        dry_f = float(row["dry_bulb_f"])
        wet_c = units.f_to_c(dry_f - float(row["depression_f"]))
        until = max(float(row["until_pct"] or 0.0), end_pct)
        steps.append(Step(units.f_to_c(dry_f), wet_c, None, 0.8 * LONGEST_H / len(rows), air_speed_ms, until))
    return steps


def compare_times() -> list[TimeRow]:
    """Every published drying time beside ours.

    Returns
    -------
    List of TimeRow, in the order of tables/drying_time_points.csv.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/drying_time_points.csv: *retrieved* or *from memory*, row by row.

    Accuracy
    --------
    The published times are of whole charges, with warming up, the wetter air inside the stack and mostly with
    equalizing and conditioning. Ours are of one average board in the entering air at full conditions.
    """
    return [_time_row(row) for row in tables.records("drying_time_points")]


def _time_row(row):
    low, high = float(row["low_days"]), float(row["high_days"] or "nan")
    days = np.nan
    if row["settings"]:
        start = float(row["start_pct"]) if row["start_pct"] else "green"
        board = Board(row["species"], float(row["thickness_in"]) * units.IN_M, start)
        speed = float(row["air_speed_fpm"]) * units.FT_M / 60.0
        end = float(row["end_pct"])
        history = dry(board, schedule_steps(row["settings"], end, speed))
        if history.average_pct[-1] <= end + 0.1:
            days = history.hours[-1] / 24.0
    middle = low if np.isnan(high) else 0.5 * (low + high)
    role = "not computed" if np.isnan(days) else "validation"
    if role == "validation" and (row["species"] == species_key(OAK) or row["id"] in _tuning()):
        role = "tuning wood"
    texts = (row["assumed"], row["explained"], row["source"], row["how"])
    wood = f"{row['printed_species']}, {row['printed_thickness']}"
    return TimeRow(row["id"], wood, row["kiln"], low, high, float(days), float(days / middle), role, *texts)


@functools.cache
def own_schedules() -> dict[str, str]:
    """Settings of each species with a 4/4 limit and a row of kiln drying among the published times.

    Returns
    -------
    Dictionary: key of the species to the name of its settings in tables/drying_time_settings.csv.

    Raises
    ------
    Nothing.

    Source
    ------
    Schedules of AH-188 (1991) ch. 7, *from memory*.

    Accuracy
    --------
    As good as that memory.
    """
    runs = [row for row in tables.records("drying_time_points") if row["settings"] and row["kiln"].startswith("conv")]
    schedules = {row["species"]: row["settings"] for row in runs}
    return {name: schedules[name] for name in species_names("rate") if name in schedules}


@functools.cache
def _tuning():
    return {row["of"] for row in tables.records("drying_checks") if row["use"] == "tunes"}


def compare_limits() -> list[LimitRow]:
    """The fastest day of each species on its own schedule beside its published daily limit, fastest limit first.

    Returns
    -------
    List of LimitRow for every species with a 4/4 limit and a row of kiln drying among the published times.

    Raises
    ------
    Nothing.

    Source
    ------
    Limits: Univ. of Kentucky FOR-128 Table 9, *retrieved*; schedules *from memory*, tables/drying_time_settings.csv.

    Accuracy
    --------
    The faces of each wood are tuned so that it keeps its limit as red oak does: these rows check nothing. Those of 8/4
    do, see `checks.compare`. Take limits from the table, never from this engine.
    """
    rows = []
    for name, settings in own_schedules().items():
        loss = points_per_day(dry(Board(name), schedule_steps(settings, 6.0)))
        limit = safe_rate(name, "4/4").points_per_day
        rows.append(LimitRow(name, settings, float(loss[0]), float(loss.max()), limit))
    return sorted(rows, key=lambda row: -row.limit_points)


def compare_air_speed(
    species: str,
    start_pct: float,
    dry_bulb_c: float,
    wet_bulb_c: float,
    slow_ms: float = 2.0,
    fast_ms: float = 4.0,
) -> dict[float, float]:
    """How much faster a board dries in twice the wind, at falling moisture contents.

    Parameters
    ----------
    species : name of the species.
    start_pct : moisture content at the start [%].
    dry_bulb_c : dry bulb [°C].
    wet_bulb_c : wet bulb [°C].
    slow_ms : one air speed [m/s].
    fast_ms : the other [m/s].

    Returns
    -------
    Dictionary: average moisture content [%] to the rate in the fast air over that in the slow, at the same average.

    Raises
    ------
    As `board.dry`.

    Source
    ------
    `board.dry`; *computed*. To be set beside Simpson, FPL-RN-0266 (1997): speed matters above about 40 to 50 % MC.

    Accuracy
    --------
    The effect fades as published, but at other moisture contents: see tests/questions/test_published.py.
    """
    curves = []
    for speed in (slow_ms, fast_ms):
        settings = [Step(dry_bulb_c, wet_bulb_c, None, 720.0, speed)]
        history = dry(Board(species, start_mc_pct=start_pct), settings, tolerance_pct=0.02)
        curves.append((history.average_pct[::-1], -np.gradient(history.average_pct, history.hours)[::-1]))
    lowest = max(average[0] for average, _ in curves)
    levels = [level for level in SPEED_LEVELS_PCT if lowest + 1.0 < level < start_pct - 5.0]
    slow, fast = (np.interp(levels, *curve) for curve in curves)
    return dict(zip(levels, (fast / slow).tolist(), strict=True))
