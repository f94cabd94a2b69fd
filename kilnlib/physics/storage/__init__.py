"""Lumber before and after the kiln: outdoor air by place and month, sheds, packs, and opening a hot kiln.

A board that grows or shrinks is `wood.width_after`; boards that sweat lie below `air.dew_point_c` of the room.
"""

from kilnlib.physics.storage.climate import MONTHS, Month, means_emc_pct, monthly_means, outdoor_emc_pct, places
from kilnlib.physics.storage.opening import cooling_hours, drying_by_own_heat_points, water_in_air_kg
from kilnlib.physics.storage.shed import fractional_change, outside_share, regain_points, warmed_rh_pct, warmer_by_k

__all__ = [
    "MONTHS",
    "Month",
    "cooling_hours",
    "drying_by_own_heat_points",
    "fractional_change",
    "means_emc_pct",
    "monthly_means",
    "outdoor_emc_pct",
    "outside_share",
    "places",
    "regain_points",
    "warmed_rh_pct",
    "warmer_by_k",
    "water_in_air_kg",
]
