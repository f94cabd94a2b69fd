"""How the faces of each wood compare with those of red oak: each keeps its daily limit for 4/4 as red oak keeps its.

The table is worked out anew, after a change to the engine, by
python -m kilnlib.questions.surface_scales > kilnlib/tables/drying_surface.csv
"""

from collections.abc import Iterator

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.drying.board import SECONDS, Board
from kilnlib.physics.drying.diffusivity import COEFFICIENTS
from kilnlib.physics.drying.face import WET_PCT, Surface, face_curve
from kilnlib.physics.samples import safe_rate
from kilnlib.physics.wood import OAK, WATER_KG_M3, species_key
from kilnlib.physics.wood import species as species_row
from kilnlib.questions.published import own_schedules, schedule_steps

SCALES = np.geomspace(0.05, 20.0, 2001)
SOURCE = "Tuned here on the daily limit for 4/4 of Univ. of Kentucky FOR-128 Table 9, at the first step of its schedule"


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
    On the first step of its schedule a wet 4/4 board of each wood loses the same share of its limit as one of red oak;
    *computed* on limits that were *retrieved*, and so *tuned*.

    Accuracy
    --------
    A thousandth of the scale.
    """
    limits = {name: safe_rate(name, "4/4").points_per_day for name in own_schedules()}
    oak = species_key(OAK)
    share = float(np.interp(1.0, SCALES, wet_points(oak))) / limits[oak]
    yield ["species", "scale", "limit_points", "settings", "source", "how"]
    for name, limit in sorted(limits.items()):
        scale = float(np.interp(share * limit, wet_points(name), SCALES))
        yield [name, f"{scale:.4g}", f"{limit:g}", own_schedules()[name], SOURCE, "tuned"]


def wet_points(species: str) -> np.ndarray:
    """What a wet 4/4 board loses in a day on the first step of its schedule, for each of SCALES.

    Parameters
    ----------
    species : key of a species among `published.own_schedules`.

    Returns
    -------
    Points [% of oven-dry weight].

    Raises
    ------
    Nothing.

    Source
    ------
    `face.face_curve`; *computed*.

    Accuracy
    --------
    As `face.face_curve`.
    """
    step = schedule_steps(own_schedules()[species], 6.0)[0]
    wood = WATER_KG_M3 * species_row(species).specific_gravity / 100.0
    surface = Surface(COEFFICIENTS["clinging_air"] * WET_PCT * wood * SCALES, COEFFICIENTS["skin"] * wood * SCALES)
    dry_c, wet_c, speed_ms = (np.asarray(value) for value in (step.dry_bulb_c, step.wet_bulb_c, step.air_speed_ms))
    loss = face_curve(dry_c, air.rh_pct(dry_c, wet_c), speed_ms, surface=surface).loss_kg_m2s.max(axis=1)
    return loss * 24.0 * SECONDS / (wood * Board().thickness_m / 2.0)


if __name__ == "__main__":
    import csv
    import sys

    csv.writer(sys.stdout, lineterminator="\n").writerows(table_rows())
