"""Drying schedules led by moisture content: codes, their steps, changes to them, and what a kiln can hold of them."""

from kilnlib.physics.schedules.changes import DRIEST_RH_PCT, change_points_pct, next_change_pct
from kilnlib.physics.schedules.codes import (
    Code,
    Recommendation,
    code_for,
    no_such_air,
    shift,
    thicknesses_for,
    understand,
)
from kilnlib.physics.schedules.limits import Air, Kiln, Reach, reach, rh_asked_pct, widest_depression_c
from kilnlib.physics.schedules.steps import (
    MODIFIED_FLOOR_F,
    ScheduleStep,
    Setpoint,
    assemble,
    ladder,
    setpoint,
    step_at,
)

__all__ = [
    "DRIEST_RH_PCT",
    "MODIFIED_FLOOR_F",
    "Air",
    "Code",
    "Kiln",
    "Reach",
    "Recommendation",
    "ScheduleStep",
    "Setpoint",
    "assemble",
    "change_points_pct",
    "code_for",
    "ladder",
    "next_change_pct",
    "no_such_air",
    "reach",
    "rh_asked_pct",
    "setpoint",
    "shift",
    "step_at",
    "thicknesses_for",
    "understand",
    "widest_depression_c",
]
