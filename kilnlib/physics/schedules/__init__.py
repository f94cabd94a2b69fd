"""Drying schedules led by moisture content: codes, their steps, changes to them, and what a kiln can hold of them."""

from kilnlib.physics.schedules.changes import DRIEST_RH_PCT, change_points_pct, next_change_pct
from kilnlib.physics.schedules.finishing import Condition, Equalize, condition, equalize, start_below_points
from kilnlib.physics.schedules.limits import Air, Kiln, Reach, dialed, met, reach, rh_asked_pct, widest_depression_c
from kilnlib.physics.schedules.steps import (
    MODIFIED_FLOOR_F,
    Code,
    Recommendation,
    ScheduleStep,
    Setpoint,
    assemble,
    code_for,
    ladder,
    no_such_air,
    setpoint,
    shift,
    step_at,
    thicknesses_for,
    understand,
)

__all__ = [
    "DRIEST_RH_PCT",
    "MODIFIED_FLOOR_F",
    "Air",
    "Code",
    "Condition",
    "Equalize",
    "Kiln",
    "Reach",
    "Recommendation",
    "ScheduleStep",
    "Setpoint",
    "assemble",
    "change_points_pct",
    "code_for",
    "condition",
    "dialed",
    "equalize",
    "ladder",
    "met",
    "next_change_pct",
    "no_such_air",
    "reach",
    "rh_asked_pct",
    "setpoint",
    "shift",
    "start_below_points",
    "step_at",
    "thicknesses_for",
    "understand",
    "widest_depression_c",
]
