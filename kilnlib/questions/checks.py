"""Every published row that tunes the drying engine or checks it, beside ours: tables/drying_checks.csv, worked out.

The table was written before the engine was fitted. `use` says what a row does: `tunes` (it helped to choose a number,
so that it proves nothing), `checks`, or `apart` (remembered ranges, shown and not counted). What was changed after the
fit is said in the note of its row.
"""

import functools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from kilnlib import tables, units
from kilnlib.errors import NotFound
from kilnlib.physics.drying import Board, Step, days_to, dry, points_per_day
from kilnlib.physics.schedules import code_for, ladder
from kilnlib.questions.published import compare_air_speed, compare_times, own_schedules, schedule_steps

F = units.f_to_c
FPM_MS = units.FT_M / 60.0
SLOW_MS, FAST_MS = 350.0 * FPM_MS, 700.0 * FPM_MS
QUARTERS_M = {"4/4": 1.125 * units.IN_M, "8/4": 2.25 * units.IN_M}
OAK_PCT, END_PCT = 80.0, 7.0
STEP_H = 2000.0


@dataclass(frozen=True)
class CheckRow:
    """One row of the table and ours; NaN where nothing is printed.

    `low`, `high` : as published. `allowed_low`, `allowed_high` : what was to be met, written down before the fit.

    Source
    ------
    Result of `compare`; *computed*.
    """

    id: str
    use: str
    what: str
    unit: str
    low: float
    high: float
    allowed_low: float
    allowed_high: float
    ours: float
    note: str
    source: str
    how: str

    @property
    def over_low(self) -> float:
        """Ours over the low end of what is published."""
        return self.ours / self.low

    @property
    def over_high(self) -> float:
        """Ours over the high end of what is published."""
        return self.ours / self.high

    @property
    def inside(self) -> bool:
        """Whether ours is as was to be met."""
        return not (self.ours < self.allowed_low or self.ours > self.allowed_high or np.isnan(self.ours))


def compare(measures: Mapping[str, Callable[[str], float]] | None = None) -> list[CheckRow]:
    """Rows of the table that can be worked out with some measures.

    Parameters
    ----------
    measures : dictionary of functions by the name in column `measure`, each of the text in column `of`; without it the
        measures of drying.

    Returns
    -------
    List of CheckRow, in the order of the table.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/drying_checks.csv: *retrieved*, *from memory*, *computed* or *common practice*, row by row.

    Accuracy
    --------
    That of the engine: it is what they show.
    """
    measures = MEASURES if measures is None else measures
    rows = []
    for row in tables.records("drying_checks"):
        if row["measure"] not in measures:
            continue
        low, high, allowed_low, allowed_high = (
            float(row[name] or "nan") for name in ("low", "high", "allowed_low", "allowed_high")
        )
        ours = float(measures[row["measure"]](row["of"]))
        about, source = (row["id"], row["use"], row["what"], row["unit"]), (row["note"], row["source"], row["how"])
        rows.append(CheckRow(*about, low, high, allowed_low, allowed_high, ours, *source))
    return rows


def share_inside(rows: Iterable[CheckRow], use: str = "checks") -> tuple[int, int]:
    """How many rows of one use are as was to be met, and how many there are.

    Parameters
    ----------
    rows : sequence of CheckRow.
    use : "tunes", "checks" or "apart".

    Returns
    -------
    Pair of counts.

    Raises
    ------
    Nothing.

    Source
    ------
    A count; *computed*.

    Accuracy
    --------
    Exact.
    """
    chosen = [row for row in rows if row.use == use]
    return sum(row.inside for row in chosen), len(chosen)


def _steps(code, end_pct):
    """Steps of a schedule, from the settings of the published times or, where those lack it, from its code."""
    try:
        return schedule_steps(code, end_pct)
    except NotFound:
        return [
            Step(F(r.dry_bulb_f), F(r.wet_bulb_f), None, STEP_H, SLOW_MS, max(r.mc_above_pct, end_pct))
            for r in ladder(code)
        ]


def _board(species, thickness="4/4"):
    """A green board; red oak with 80 %, as all its rows."""
    return Board(species, QUARTERS_M[thickness], OAK_PCT if species.startswith("oak, red") else "green")


def _days(of):
    (row,) = [row for row in _times() if row.id == of]
    return row.days


@functools.cache
def _times():
    return compare_times()


def _days_on(of):
    species, inches, start, end, settings = of.split("|")
    board = Board(species, float(inches) * units.IN_M, float(start))
    return days_to(board, schedule_steps(settings, float(end)), float(end))


def _first_day(of):
    return points_per_day(dry(_board(of), schedule_steps(own_schedules()[of], END_PCT)))[0]


def _late_days(of):
    steps = schedule_steps(own_schedules()[of], END_PCT)
    return _between(dry(_board(of), steps), 30.0, END_PCT + 0.02) / 24.0


def _between(history, start_pct, end_pct):
    """Hours from one average to another."""
    first, last = (np.interp(-mc, -history.average_pct, history.hours) for mc in (start_pct, end_pct))
    return last - first


def _thicker(of):
    species, thick, thin = of.split("|")
    days = [
        days_to(_board(species, size), _steps(code, END_PCT), END_PCT) for size, code in (("8/4", thick), ("4/4", thin))
    ]
    return days[0] / days[1]


def _thicker_tenth(of):
    species, code = of.split("|")
    thin = _board(species)
    thick = Board(species, 1.1 * thin.thickness_m, thin.start_mc_pct)
    days = [days_to(board, _steps(code, END_PCT), END_PCT) for board in (thick, thin)]
    return days[0] / days[1]


def _speed(of):
    species, start, high, low = of.split("|")
    dry_f, wet_f = (110.0, 106.0) if float(low) > 40.0 else (130.0, 100.0)
    hours = [
        _between(
            dry(Board(species, start_mc_pct=float(start)), [Step(F(dry_f), F(wet_f), None, 2000.0, speed)],
                tolerance_pct=0.02),
            float(high), float(low),
        )
        for speed in (SLOW_MS, FAST_MS)
    ]  # fmt: skip
    return hours[0] / hours[1]


def _speed_at(of):
    species, start, level = of.split("|")
    gains = compare_air_speed(species, float(start), F(130.0), F(115.0), 400.0 * FPM_MS, 800.0 * FPM_MS)
    return gains[float(level)]


def _wet_bulb(of):
    hours = [
        _between(dry(_board(of), [Step(F(110.0), F(wet_f), None, 2000.0, SLOW_MS)]), 78.0, 60.0)
        for wet_f in (106.0, 105.0)
    ]
    return hours[0] / hours[1]


def _most_a_day(of):
    species, size = of.split("|")
    code = own_schedules()[species] if size == "4/4" else code_for(species, size)
    return points_per_day(dry(_board(species, size), _steps(getattr(code, "code", code), 6.0))).max()


def _condition_gain(of):
    steps = [Step(F(170.0), F(wet_f), hours=17.0) for wet_f in (149.0, 156.0)]
    return dry(Board(start_mc_pct=5.5, rate_factor=float(of)), steps).average_pct[-1] - 5.5


MEASURES = {
    "days": _days,
    "days_on": _days_on,
    "first_day": _first_day,
    "late_days": _late_days,
    "thicker": _thicker,
    "thicker_tenth": _thicker_tenth,
    "speed": _speed,
    "speed_at": _speed_at,
    "wet_bulb": _wet_bulb,
    "most_a_day": _most_a_day,
    "condition_gain": _condition_gain,
}
