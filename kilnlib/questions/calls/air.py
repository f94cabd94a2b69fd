"""Calculator names for air and EMC, in trade units: °F, feet, percent."""

from kilnlib.physics import air
from kilnlib.physics.air import emc as wood_emc
from kilnlib.units import FT_M, IN_M, LB_KG, c_to_f, f_to_c

PSI_PA = LB_KG * 9.80665 / IN_M**2  # exact, by the definitions of the pound force and the inch


def rh(db_f: float, wb_f: float, altitude_ft: float = 0) -> float:
    """Relative humidity [%] from dry and wet bulb [°F]."""
    return air.rh_pct(f_to_c(db_f), f_to_c(wb_f), _pressure_pa(altitude_ft))


def emc(db_f: float, wb_f: float, altitude_ft: float = 0) -> float:
    """Equilibrium moisture content [%] from dry and wet bulb [°F]."""
    return wood_emc.emc_pct_from_bulbs(f_to_c(db_f), f_to_c(wb_f), _pressure_pa(altitude_ft))


def emc_rh(db_f: float, rh: float) -> float:
    """Equilibrium moisture content [%] from dry bulb [°F] and relative humidity [%]."""
    return wood_emc.emc_pct(f_to_c(db_f), rh)


def rh_for_emc(db_f: float, emc: float) -> float:
    """Relative humidity [%] that holds an equilibrium moisture content [%] at a dry bulb [°F]."""
    return wood_emc.rh_pct_for_emc(f_to_c(db_f), emc)


def wet_bulb(db_f: float, rh: float, altitude_ft: float = 0) -> float:
    """Wet bulb [°F] from dry bulb [°F] and relative humidity [%]."""
    return c_to_f(air.wet_bulb_c(f_to_c(db_f), rh, _pressure_pa(altitude_ft)))


def dew_point(db_f: float, rh: float) -> float:
    """Dew point [°F] from dry bulb [°F] and relative humidity [%]."""
    return c_to_f(air.dew_point_c(f_to_c(db_f), rh))


def ratio(db_f: float, rh: float, altitude_ft: float = 0) -> float:
    """Water in the air [lb per lb of dry air] from dry bulb [°F] and relative humidity [%]."""
    return air.humidity_ratio(f_to_c(db_f), rh, _pressure_pa(altitude_ft))


def pressure_psi(altitude_ft: float) -> float:
    """Air pressure [psi] at an altitude [ft]."""
    return _pressure_pa(altitude_ft) / PSI_PA


def saturation_pa(t_c: float) -> float:
    """Saturation pressure of water vapor [Pa] at a temperature [°C]."""
    return air.saturation_pressure_pa(t_c)


def _pressure_pa(altitude_ft):
    return air.pressure_pa(altitude_ft * FT_M)
