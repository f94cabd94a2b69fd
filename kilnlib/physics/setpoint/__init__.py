"""Is this setting all right for this wood today? A verdict against the schedule, with its reasons."""

from kilnlib.physics.pace import AIR_SPEED_MS, DAY_H, expected_pace, start_profile
from kilnlib.physics.reason import Reason
from kilnlib.physics.setpoint.change import depression_on_the_way_c
from kilnlib.physics.setpoint.check import MOST_REASONS, check_setpoint
from kilnlib.physics.setpoint.departure import (
    BEYOND,
    BULB_C,
    GENTLER,
    HARDER,
    HARSH,
    IN_STEP,
    IN_STEP_NUMBERS,
    LIMIT_FROM_PCT,
    NUMBER_C,
    NUMBER_WET_C,
    ONE_NUMBER,
    OUTSIDE,
    TOO_HARD,
    TOO_HARD_NUMBERS,
    VERDICTS,
    WET_PCT,
)
from kilnlib.physics.setpoint.reasons import CRITICAL_PCT, upland_oak_note
from kilnlib.physics.setpoint.result import Change, CheckResult, SetpointCheck, Source
from kilnlib.physics.setpoint.sources import SOURCES
from kilnlib.physics.setpoint.stage import CONDITIONING, DRYING, EQUALIZING, OFF_SCHEDULE, STAGES, TARGET_PCT

__all__ = [
    "AIR_SPEED_MS",
    "BEYOND",
    "BULB_C",
    "CONDITIONING",
    "CRITICAL_PCT",
    "DAY_H",
    "DRYING",
    "EQUALIZING",
    "GENTLER",
    "HARDER",
    "HARSH",
    "IN_STEP",
    "IN_STEP_NUMBERS",
    "LIMIT_FROM_PCT",
    "MOST_REASONS",
    "NUMBER_C",
    "NUMBER_WET_C",
    "OFF_SCHEDULE",
    "ONE_NUMBER",
    "OUTSIDE",
    "SOURCES",
    "STAGES",
    "TARGET_PCT",
    "TOO_HARD",
    "TOO_HARD_NUMBERS",
    "VERDICTS",
    "WET_PCT",
    "Change",
    "CheckResult",
    "Reason",
    "SetpointCheck",
    "Source",
    "check_setpoint",
    "depression_on_the_way_c",
    "expected_pace",
    "start_profile",
    "upland_oak_note",
]
