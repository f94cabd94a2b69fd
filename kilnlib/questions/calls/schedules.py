"""Calculator names for drying schedules, in trade units: °F, moisture content in %, codes as text."""

from dataclasses import replace

from kilnlib.physics import schedules
from kilnlib.physics.schedules import limits
from kilnlib.store.kiln import ThisKiln
from kilnlib.units import c_to_f, f_to_c


def schedule_dry(code, mc, floor=None):
    """Dry bulb of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).dry_bulb_f


def schedule_depression(code, mc, floor=None):
    """Depression of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).depression_f


def schedule_wet(code, mc, floor=None):
    """Wet bulb of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).wet_bulb_f


def next_change(code, mc):
    """The next change point on the way down [%]; 0 on the last step."""
    return _step(code, mc).mc_above_pct


def first_heat(code):
    """The moisture content at which the dry bulb first rises [%]."""
    steps = schedules.ladder(code)
    return next(new.mc_below_pct for new in steps if new.dry_bulb_f > steps[0].dry_bulb_f)


def temperature_number(species, thickness):
    """Temperature number of the recommended schedule."""
    return schedules.understand(schedules.code_for(species, thickness).code).temperature


def depression_number(species, thickness):
    """Depression number of the recommended schedule."""
    return schedules.understand(schedules.code_for(species, thickness).code).depression


def same_rh_dry(db_f, wb_f, coil_f=120.0, altitude_ft=0.0):
    """Dry bulb that keeps the RH of these bulbs under a coil's wet-bulb limit [°F]."""
    return c_to_f(_reach(db_f, wb_f, coil_f, altitude_ft).same_rh.dry_bulb_c)


def same_emc_dry(db_f, wb_f, coil_f=120.0, altitude_ft=0.0):
    """Dry bulb that keeps the EMC of these bulbs under a coil's wet-bulb limit [°F]."""
    return c_to_f(_reach(db_f, wb_f, coil_f, altitude_ft).same_emc.dry_bulb_c)


def _step(code, mc, floor=None):
    steps = schedules.ladder(code, floor)
    return steps[schedules.step_at(steps, mc)]


def _reach(db_f, wb_f, coil_f, altitude_ft):
    kiln = replace(ThisKiln(), coil_wet_bulb_limit_c=f_to_c(coil_f), altitude_m=altitude_ft * 0.3048)
    return limits.reach(f_to_c(db_f), f_to_c(wb_f), kiln)
