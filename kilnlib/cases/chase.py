"""Three boards of 4/4 yellow-poplar left in one air at Tamarack Ford: what the EMC panel shows of the chase."""

import functools

import numpy as np

from kilnlib.cases.tamarack import KILN, PRESSURE_PA
from kilnlib.physics.drying import Board, Step, at_hours, dry

SPECIES = "yellow-poplar"
START_PCT = {"wet": 20.0, "yours": 12.4, "dry": 4.0}  # "yours": the sample board of the lesson
LAST_DAY = 14


def boards_pct(dry_bulb_c: float, wet_bulb_c: float, day: int) -> dict[str, float]:
    """Moisture content of each board after so many days [%]."""
    return dict(zip(START_PCT, map(float, _mornings(dry_bulb_c, wet_bulb_c)[day]), strict=True))


@functools.lru_cache(maxsize=256)
def _mornings(dry_bulb_c, wet_bulb_c):
    boards = [Board(SPECIES, KILN.board_thickness_m, start) for start in START_PCT.values()]
    air = Step(dry_bulb_c, wet_bulb_c, hours=24.0 * LAST_DAY, air_speed_ms=KILN.sticker_speed_ms)
    return at_hours(dry(boards, [air], PRESSURE_PA), 24.0 * np.arange(LAST_DAY + 1)).average_pct
