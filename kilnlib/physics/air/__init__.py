"""Moist air: what two bulbs tell, the water in the air, and the moisture content wood would come to in it."""

from kilnlib.physics.air.emc import emc_pct, emc_pct_from_bulbs
from kilnlib.physics.air.moist import (
    AIR_SPEED_MS,
    DRY_BULB_C,
    STANDARD_PA,
    WATER_TO_AIR,
    boiling_c,
    dew_point_c,
    humidity_ratio,
    humidity_ratio_from_bulbs,
    pressure_pa,
    rh_called_for_pct,
    rh_pct,
    saturation_pressure_pa,
    wet_bulb_c,
    wet_bulb_reading_c,
)

__all__ = [
    "AIR_SPEED_MS",
    "DRY_BULB_C",
    "STANDARD_PA",
    "WATER_TO_AIR",
    "boiling_c",
    "dew_point_c",
    "emc_pct",
    "emc_pct_from_bulbs",
    "humidity_ratio",
    "humidity_ratio_from_bulbs",
    "pressure_pa",
    "rh_called_for_pct",
    "rh_pct",
    "saturation_pressure_pa",
    "wet_bulb_c",
    "wet_bulb_reading_c",
]
