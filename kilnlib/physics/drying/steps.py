"""The settings of a kiln as a series of steps, checked, and joined where they hardly differ."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kilnlib.errors import BadInput
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.arrays import check_range

LONGEST_SERIES = 10_000
MOST_ROWS = 300_000  # steps times boards: some 2 GB of memory if no two steps are alike
LONGEST_H = 20_000.0
ALIKE_H = 6.0
ALIKE = {"dry_bulb_c": 2.0, "emc_pct": 1.0, "air_speed_ms": 0.3}
_NAMES = {"dry_bulb_c": "dry bulb", "hours": "length", "air_speed_ms": "air speed", "wet_bulb_c": "wet bulb",
          "emc_pct": "EMC", "until_mc_pct": "moisture content it ends at"}  # fmt: skip


@dataclass(frozen=True)
class Step:
    """A setting of the kiln and the hours it is held: what the engine is driven by.

    (A `schedules.ScheduleStep` is a row of a printed schedule: it has no hours and lasts until the wood is down to its
    moisture content.) Give a wet bulb or an EMC, not both; a value for each board where they differ.

    With `until_mc_pct` the step ends sooner, once the boards that control (see `dry`) are down to that.
    """

    dry_bulb_c: float | Sequence[float] | np.ndarray
    wet_bulb_c: float | Sequence[float] | np.ndarray | None = None
    emc_pct: float | Sequence[float] | np.ndarray | None = None
    hours: float = 24.0
    air_speed_ms: float | Sequence[float] | np.ndarray = 1.8
    until_mc_pct: float | None = None


@dataclass(frozen=True)
class Settings:
    """Air by step and board, hours, and the moisture content a step ends at (NaN where none)."""

    dry_bulb_c: np.ndarray
    rh_pct: np.ndarray
    air_speed_ms: np.ndarray
    hours: np.ndarray
    until_pct: np.ndarray
    last_step: np.ndarray  # number, from 0, of the last of the given steps in each


def read_steps(steps: Sequence[Step], boards: int, pressure_pa: float = air.STANDARD_PA) -> Settings:
    """A series of steps as arrays, refused in a sentence where it cannot be run.

    Parameters
    ----------
    steps : sequence of Step, at most 10,000 (300,000 for all boards together) and 20,000 hours.
    boards : how many boards there are, 1 or more.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Settings.

    Raises
    ------
    BadInput : no step or too many; a value missing (which step); no length. OutOfRange : a value out of range.

    Source
    ------
    `air.rh_pct` and `emc.rh_pct_for_emc`; *computed*.

    Accuracy
    --------
    That of those two.
    """
    if not len(steps):
        raise BadInput("series_empty")
    longest = min(LONGEST_SERIES, MOST_ROWS // boards)
    if len(steps) > longest:
        raise BadInput("series_too_long", count=f"{len(steps):,}", limit=f"{longest:,}")
    values_of = {name: [getattr(step, name) for step in steps] for name in _NAMES}
    missing = {name: np.array([value is None for value in values]) for name, values in values_of.items()}
    arrays = {name: _by_board(name, values, boards) for name, values in values_of.items()}
    for name, what in _NAMES.items():
        optional = name in ("wet_bulb_c", "emc_pct", "until_mc_pct")
        bad = np.isnan(arrays[name]).any(axis=1) & ~(missing[name] if optional else False)
        if bad.any():
            raise BadInput("step_unreadable", number=str(np.argmax(bad) + 1), what=what)
    unclear = missing["wet_bulb_c"] == missing["emc_pct"]
    if unclear.any():
        raise BadInput("step_moisture", number=str(np.argmax(unclear) + 1))
    hours = arrays["hours"][:, 0]
    if not (hours > 0.0).all():
        at = np.argmin(hours > 0.0)
        raise BadInput("step_no_length", number=str(at + 1), hours=f"{hours[at]:g}")
    if hours.sum() > LONGEST_H + 1e-6:
        raise BadInput("series_too_many_hours", hours=f"{hours.sum():,.0f}", limit=f"{LONGEST_H:,.0f}")
    dry = check_range("Dry bulb", arrays["dry_bulb_c"], air.DRY_BULB_C[0], emc.TEMPERATURE_C[1], "temperature")
    speed = check_range("Air speed", arrays["air_speed_ms"], *air.AIR_SPEED_MS, "air_speed")
    until = check_range("The moisture content a step ends at", arrays["until_mc_pct"], 0.0, 400.0, "percent")
    rh = np.empty_like(dry)
    by_bulb = ~missing["wet_bulb_c"]
    if by_bulb.any():
        rh[by_bulb] = air.rh_pct(dry[by_bulb], arrays["wet_bulb_c"][by_bulb], pressure_pa)
    if not by_bulb.all():
        rh[~by_bulb] = emc.rh_pct_for_emc(dry[~by_bulb], arrays["emc_pct"][~by_bulb])
    return Settings(dry, rh, speed, hours, until[:, 0], np.arange(len(steps)))


def join_alike(settings: Settings) -> Settings:
    """The same series with neighboring steps joined: all that are equal, and up to six hours of those hardly apart.

    Parameters
    ----------
    settings : Settings.

    Returns
    -------
    Settings, each with the mean of the steps joined in it. Steps that end at a moisture content stay alone.

    Raises
    ------
    Nothing.

    Source
    ------
    A choice of ours: within 2 °C, 1 % EMC and 0.3 m/s of the first of them; *computed*.

    Accuracy
    --------
    In a wandering series of hourly settings it moves the average by under 0.1 point and the shell by under 0.2
    (tests/physics/drying).
    """
    air_emc = emc.emc_pct(settings.dry_bulb_c, settings.rh_pct)
    widths = [ALIKE["dry_bulb_c"], ALIKE["emc_pct"], ALIKE["air_speed_ms"]]
    columns = (settings.dry_bulb_c, air_emc, settings.air_speed_ms)
    scaled = np.concatenate([column / width for column, width in zip(columns, widths, strict=True)], axis=1)
    alone = ~np.isnan(settings.until_pct)
    count, clock = len(alone), np.append(0.0, np.cumsum(settings.hours))
    within = np.searchsorted(clock, clock[:-1] + ALIKE_H + 1e-9, side="right") - 1
    new = np.any(scaled[1:] != scaled[:-1], axis=1) | alone[1:] | alone[:-1]
    runs = np.append(np.flatnonzero(new) + 1, count)  # where a run of equal steps has ended
    following = runs[np.searchsorted(runs, np.arange(count), side="right")]
    starts, step = [], 0
    while step < count:
        starts.append(step)
        end = following[step]
        if within[step] > end and not alone[step]:
            apart = np.any(np.abs(scaled[end : within[step]] - scaled[step]) > 1.0, axis=1) | alone[end : within[step]]
            end += np.argmax(apart) if apart.any() else len(apart)
        step = int(end)
    hours = np.add.reduceat(settings.hours, starts)
    dry, rh, speed = (
        np.add.reduceat(column * settings.hours[:, None], starts) / hours[:, None]
        for column in (settings.dry_bulb_c, settings.rh_pct, settings.air_speed_ms)
    )
    last = np.array([*starts[1:], count]) - 1
    return Settings(dry, rh, speed, hours, settings.until_pct[starts], settings.last_step[last])


def _by_board(name, values, boards):
    """Values of one setting as an array of steps and boards; None becomes NaN."""
    try:
        array = np.array(values, dtype=float)
    except (TypeError, ValueError):  # some steps hold one value for all boards, others one for each
        array = np.array([_row(name, number, value, boards) for number, value in enumerate(values, 1)])
    if array.ndim == 1:
        array = array[:, None]
    if array.ndim != 2 or array.shape[1] not in (1, boards):
        raise BadInput("step_boards", what=_NAMES[name], count=str(boards))
    return np.broadcast_to(array, (len(values), boards))


def _row(name, number, value, boards):
    """The value of one setting in one step, for each board."""
    try:
        row = np.ravel(np.asarray(value, dtype=float))
    except (TypeError, ValueError):
        raise BadInput("step_unreadable", number=str(number), what=_NAMES[name]) from None
    if len(row) not in (1, boards):
        raise BadInput("step_boards", what=_NAMES[name], count=str(boards))
    return row * np.ones(boards)
