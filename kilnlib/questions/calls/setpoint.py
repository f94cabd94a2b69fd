"""Calculator names for the setpoint check, in trade units: °F, feet, moisture content in %."""

from kilnlib.physics import air
from kilnlib.physics.setpoint import VERDICTS, check_setpoint
from kilnlib.units import f_to_c


def setpoint_verdict(
    species: str, thickness: str, mc: float, db_f: float, wb_f: float, altitude_ft: float = 0.0
) -> int:
    """Verdict on a setting as a number: -1 gentler, 0 in step, 1 harder, 2 too hard, 3 outside the tables."""
    pressure = air.pressure_pa(altitude_ft * 0.3048)
    return VERDICTS.index(check_setpoint(species, thickness, mc, f_to_c(db_f), f_to_c(wb_f), pressure).verdict) - 1
