"""Sample boards: sections, weighings and recuts, meters, daily limits, and the sheet of a charge."""

from kilnlib.physics.samples.board import HIGHEST_SECTION_PCT, Air, Note, Recut, SampleBoard, Section, Weighing
from kilnlib.physics.samples.entries import WEIGHT_KG, check_moment, check_order, tidy, when_text
from kilnlib.physics.samples.meters import MeterRange, meter_corrected_pct, meter_ranges, scale_error
from kilnlib.physics.samples.rates import (
    CLOSE_SHARE_PCT,
    UPLAND_OAK,
    DaysLeft,
    SafeRate,
    days_left,
    limit_share_pct,
    safe_rate,
    safe_rate_pct_per_day,
    weak_oak_points_per_day,
)
from kilnlib.physics.samples.sheet import Day, Sheet, sheet_until
from kilnlib.physics.samples.sums import (
    BOARDS,
    controlling_mc_pct,
    ovendry_weight,
    points_per_day,
    sample_mc_pct,
    sampling_error_pct,
    section_mean_pct,
    sections_disagree,
)

__all__ = [
    "BOARDS",
    "CLOSE_SHARE_PCT",
    "HIGHEST_SECTION_PCT",
    "UPLAND_OAK",
    "WEIGHT_KG",
    "Air",
    "Day",
    "DaysLeft",
    "MeterRange",
    "Note",
    "Recut",
    "SafeRate",
    "SampleBoard",
    "Section",
    "Sheet",
    "Weighing",
    "check_moment",
    "check_order",
    "controlling_mc_pct",
    "days_left",
    "limit_share_pct",
    "meter_corrected_pct",
    "meter_ranges",
    "ovendry_weight",
    "points_per_day",
    "safe_rate",
    "safe_rate_pct_per_day",
    "sample_mc_pct",
    "sampling_error_pct",
    "scale_error",
    "section_mean_pct",
    "sections_disagree",
    "sheet_until",
    "tidy",
    "weak_oak_points_per_day",
    "when_text",
]
