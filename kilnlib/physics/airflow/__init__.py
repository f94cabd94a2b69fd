"""Where the air goes in a package kiln, and what it does on its way through the stack."""

from kilnlib.physics.airflow.course_days import AIR_C, AIR_RH_PCT
from kilnlib.physics.airflow.network import Airflow, Opening, solve
from kilnlib.physics.airflow.paths import Fan, Gaps, Stack, fan_pressure_pa

__all__ = [
    "AIR_C",
    "AIR_RH_PCT",
    "Airflow",
    "Fan",
    "Gaps",
    "Opening",
    "Stack",
    "fan_pressure_pa",
    "solve",
]
