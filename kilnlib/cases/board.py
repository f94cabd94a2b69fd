"""One board in one setting for forty days: what the board panel, its questions and its handbook cells ask.

On the first day kiln and wood warm up from the mill's air, as they must: without that, day one comes out too fast. Then
the setting is held, which no schedule does; here it shows what each setting does by itself.
"""

import functools
import math
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.tamarack import MILL_C, MILL_DEPRESSION_C, PRESSURE_PA
from kilnlib.errors import NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.samples import safe_rate
from kilnlib.physics.wood import QUARTERS_TEXT, ROUGH_4_4_M, read_thickness
from kilnlib.units import FT_M, IN_M, f_to_c

LAST_DAY = 40
SPECIES = ("red oak", "hard maple", "yellow-poplar", "white ash", "eastern white pine")
THICKNESS_M = (ROUGH_4_4_M, 2 * ROUGH_4_4_M)
WARM_UP_STEPS = 6


@dataclass(frozen=True)
class State:
    """The wood, the setting, and the day that is looked at."""

    species: str = "red oak"
    dry_bulb_c: float = f_to_c(110.0)
    depression_c: float = 4 / 1.8
    thickness_m: float = ROUGH_4_4_M
    air_speed_ms: float = 350 * FT_M / 60
    day: float = 3.0


@dataclass(frozen=True)
class Run:
    """Forty days of a board, morning by morning from day 0."""

    average_pct: np.ndarray
    face_pct: np.ndarray
    middle_pct: np.ndarray
    profile_pct: np.ndarray  # day, place
    place: np.ndarray  # 0 at one face, 1 at the other
    lost_points: np.ndarray  # in the day that ends on that morning; the first is day 1
    limit_points: float  # NaN where none is published
    rh_pct: float
    emc_pct: float


@dataclass(frozen=True)
class Result:
    """A run, looked at on one of its days."""

    state: State
    number: int
    run: Run


def work_out(state: State) -> Result:
    """The run of a state, on its day."""
    fields = (state.species, state.dry_bulb_c, state.depression_c, state.thickness_m, state.air_speed_ms)
    return Result(state, round(state.day), _run(*fields))


def limit_points(species: str, thickness_m: float) -> float:
    """Published daily limit, between 4/4 and 8/4 on the power law through the two; NaN where there is none."""
    try:
        thin, thick = (safe_rate(species, nominal).points_per_day for nominal in ("4/4", "8/4"))
    except NotFound:
        return math.nan
    return thin * (thick / thin) ** math.log2(thickness_m / ROUGH_4_4_M)


def as_sawn(typed: str) -> str:
    """A thickness as typed; the name of a lumber size becomes what it is sawn green. Plain inches are measured here."""
    if QUARTERS_TEXT.fullmatch(str(typed).strip().lower()) is None:
        return typed
    return f"{read_thickness(typed).rough_m / IN_M:g} in"


def size_name(thickness_m: float) -> str | None:
    """Name of the lumber sawn at a thickness, such as "8/4"; None between the names."""
    quarters = 4 * thickness_m / ROUGH_4_4_M
    return f"{quarters:.0f}/4" if abs(quarters - round(quarters)) < 0.002 else None


@functools.lru_cache(maxsize=128)
def _run(species, dry_bulb_c, depression_c, thickness_m, air_speed_ms):
    rh = air.rh_pct(dry_bulb_c, dry_bulb_c - depression_c, PRESSURE_PA)
    moisture = emc.emc_pct(dry_bulb_c, rh)
    steps = [*_warm_up(dry_bulb_c, depression_c), (dry_bulb_c, depression_c, 24.0 * (LAST_DAY - 1))]
    history = dry(
        Board(species, thickness_m),
        [Step(db, db - apart, hours=hours, air_speed_ms=air_speed_ms) for db, apart, hours in steps],
        PRESSURE_PA,
    )
    days = at_hours(history, np.minimum(24.0 * np.arange(LAST_DAY + 1), history.hours[-1]))
    half = days.profile_pct
    depth = 0.5 * history.depth_m / history.depth_m[-1] * (1.0 - 1e-9)
    middle = half[:, -1]
    return Run(
        days.average_pct,
        days.surface_pct,
        middle,
        np.concatenate([half, half[:, ::-1]], axis=1),
        np.concatenate([depth, 1.0 - depth[::-1]]),
        -np.diff(days.average_pct),
        limit_points(species, thickness_m),
        float(rh),
        float(moisture),
    )


def _warm_up(dry_bulb_c, depression_c):
    """A day from the mill's air to the setting, in even steps: (dry bulb, depression, hours)."""
    start = min(MILL_DEPRESSION_C, depression_c)
    for number in range(WARM_UP_STEPS):
        share = (number + 0.5) / WARM_UP_STEPS
        warmed = MILL_C + share * (dry_bulb_c - MILL_C)
        yield warmed, start + share * (depression_c - start), 24.0 / WARM_UP_STEPS
