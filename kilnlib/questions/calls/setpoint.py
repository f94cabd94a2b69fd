"""Calculator names for the setpoint check, in trade units: °F, feet, moisture content in %."""

from kilnlib.physics import air
from kilnlib.physics.setpoint import DRYING, VERDICTS, check_setpoint
from kilnlib.units import f_to_c


def setpoint_verdict(
    species: str, thickness: str, mc: float, db_f: float, wb_f: float, altitude_ft: float = 0.0
) -> int:
    """Verdict by the schedule's step as a number: -1 gentler, 0 in step, 1 harder, 2 too hard, 3 outside the tables."""
    settings = (f_to_c(db_f), f_to_c(wb_f), air.pressure_pa(altitude_ft * 0.3048))
    return VERDICTS.index(check_setpoint(species, thickness, mc, *settings, stage=DRYING).verdict) - 1


def setpoint_held(species: str, thickness: str, mc: float, db_f: float, wb_f: float, altitude_ft: float = 0.0) -> int:
    """Whether a setting is told to be held, the stage being guessed: 1 yes, 0 no."""
    settings = (f_to_c(db_f), f_to_c(wb_f), air.pressure_pa(altitude_ft * 0.3048))
    return int(check_setpoint(species, thickness, mc, *settings).change.code.startswith("hold"))
