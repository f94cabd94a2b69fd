"""Calculator names for ending a charge, in trade units: percent, °F, feet."""

from kilnlib.physics import air, conditioning
from kilnlib.units import FT_M, IN_M, c_to_f, f_to_c


def equalize_start(target: float, wood: str = "hardwood") -> float:
    """Where the driest sample stands when equalizing begins [%]."""
    return float(conditioning.equalize(target, wood).start_driest_pct)


def equalize_start_other(target: float, wood: str) -> float:
    """The same by the second source [%]; where it does not differ, the one number."""
    plan = conditioning.equalize(target, wood)
    return float((plan.other or plan).start_driest_pct)


def equalize_emc(target: float, wood: str = "hardwood") -> float:
    """EMC of the air of equalizing [%]."""
    return float(conditioning.equalize(target, wood).emc_pct)


def equalize_stop(target: float, wood: str = "hardwood") -> float:
    """Where the wettest sample stands when equalizing ends [%]."""
    return float(conditioning.equalize(target, wood).stop_wettest_pct)


def condition_emc(target: float, wood: str = "hardwood") -> float:
    """EMC of the air of conditioning [%]."""
    return float(conditioning.condition(target, wood).emc_pct)


def wet_bulb_for_emc(db_f: float, emc: float, altitude_ft: float = 0) -> float:
    """Wet bulb [°F] that gives an EMC [%] at a dry bulb [°F]."""
    target = conditioning.air_for(emc, f_to_c(db_f), air.pressure_pa(altitude_ft * FT_M))
    return c_to_f(target.wet_bulb_c)


def coil_may_run(wet_bulb_f: float, limit_f: float) -> int:
    """1 where a wet bulb [°F] stands at or below the coil's limit [°F], else 0."""
    return int(wet_bulb_f <= limit_f)


def more_sections(cut: int, failed: int) -> int:
    """Sections still to cut for the prong test, when so many of those cut bend too far inward."""
    limit = 0.125 * IN_M
    test = conditioning.prong_test([2 * limit] * failed + [0.0] * (cut - failed))
    return test.advice.fields["wanted"] if test.verdict == "more" else 0
