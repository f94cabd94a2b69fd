"""Makes the table of `course_days` anew, after a change to the drying engine.

python -m kilnlib.physics.airflow.course_days_table > kilnlib/tables/course_days.csv
"""

from collections.abc import Iterator

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.airflow.course import dry_course
from kilnlib.physics.airflow.course_days import (
    AIR_C,
    AIR_RH_PCT,
    FPM_MS,
    IN_PER_FT,
    LEVELS_PCT,
    SPACES_IN_PER_FT,
    SPEEDS_FPM,
    START_MC_PCT,
    WET_PCT,
)
from kilnlib.physics.drying import Board
from kilnlib.physics.wood import ROUGH_4_4_M
from kilnlib.units import FT_M

PINE = Board("eastern white pine", ROUGH_4_4_M, START_MC_PCT)
SOURCE = "Drying engine with the air followed across the course: kilnlib.physics.airflow.course"


def table_rows() -> Iterator[list[str]]:
    """Rows of the table, its head first.

    Returns
    -------
    Lists of text.

    Raises
    ------
    Nothing.

    Source
    ------
    `course.dry_course`; *computed*.

    Accuracy
    --------
    As `course.dry_course`.
    """
    width = 8.0 * FT_M
    yield ["air_speed_fpm", "space_in_per_ft", "drop_f", *(f"days_to_{level}" for level in LEVELS_PCT), "source", "how"]
    for fpm in SPEEDS_FPM:
        for space in SPACES_IN_PER_FT:
            drop_f, days = example(fpm * FPM_MS, space * IN_PER_FT * width, width)
            yield [f"{fpm:g}", f"{space:g}", f"{drop_f * 1.8:.4g}", *(f"{day:.4g}" for day in days), SOURCE, "computed"]


def example(air_speed_ms: float, sticker_thickness_m: float, width_m: float) -> tuple[float, np.ndarray]:
    """One course of the example load, worked out.

    Parameters
    ----------
    air_speed_ms : air speed between the stickers [m/s], 0.02 to 8.
    sticker_thickness_m : thickness of the stickers [m].
    width_m : width of the stack [m].

    Returns
    -------
    Temperature drop of the air [°C] when the course averages 60 %, and days [days] to each of LEVELS_PCT.

    Raises
    ------
    As `course.dry_course`.

    Source
    ------
    `course.dry_course`; *computed*.

    Accuracy
    --------
    As `course.dry_course`.
    """
    wet = air.wet_bulb_c(AIR_C, AIR_RH_PCT)
    days, hours = np.array([np.inf]), 1500.0
    while not np.isfinite(days[-1]):
        hours *= 2.0
        course = dry_course(PINE, AIR_C, wet, air_speed_ms, sticker_thickness_m, width_m, hours)
        days = np.interp(-np.array(LEVELS_PCT), -course.average_pct, course.hours / 24.0, right=np.inf)
    middles = (course.hours[1:] + course.hours[:-1]) / 2.0
    drop = float(np.interp(24.0 * days[LEVELS_PCT.index(WET_PCT)], middles, AIR_C - course.leaving_c))
    return drop, days


if __name__ == "__main__":
    import csv
    import sys

    csv.writer(sys.stdout, lineterminator="\n").writerows(table_rows())
