"""Moist air one number at a time, for a run that asks for it thousands of times; the formulas are those beside it.

Enthalpy counts from dry air and liquid water at 0 °C, so that water carries heat with it wherever it goes.
"""

import functools
import math

import numpy as np

from kilnlib.physics.air.emc import TEMPERATURE_C as _EMC_C
from kilnlib.physics.air.emc import _coefficients, _emc, emc_pct
from kilnlib.physics.air.moist import (
    AIR_KJ_KGK,
    EVAPORATION_KJ_KG,
    VAPOR_KJ_KGK,
    WATER_KJ_KGK,
    WATER_TO_AIR,
    _ln_saturation,
)
from kilnlib.physics.air.moist import COOLER_KJ_KGK as _COOLER
from kilnlib.physics.arrays import AsGiven

_AIR_J_KGK, _VAPOR_J_KGK, _WATER_J_KGK = 1e3 * AIR_KJ_KGK, 1e3 * VAPOR_KJ_KGK, 1e3 * WATER_KJ_KGK
_EVAPORATION_J_KG = 1e3 * EVAPORATION_KJ_KG
ICE_J_KG = 333.5e3  # heat that melts a kilogram of ice, ASHRAE Fundamentals, from memory
_DRY_AIR_J_KGK = 287.042


def saturation_pa(temperature_c: float) -> float:
    """Vapor pressure of full air.

    Parameters
    ----------
    temperature_c : temperature [°C], -100 to 200, not checked.

    Returns
    -------
    Vapor pressure [Pa].

    Raises
    ------
    Nothing.

    Source
    ------
    As `air.saturation_pressure_pa`, one number at a time; *computed*.

    Accuracy
    --------
    As there.
    """
    return math.exp(_ln_saturation(temperature_c + 273.15, math.log))


def _saturation_ratio(temperature_c, pressure_pa):
    vapor = saturation_pa(temperature_c)
    return WATER_TO_AIR * vapor / (pressure_pa - vapor)


def vapor_pa(ratio: float | np.ndarray, pressure_pa: float) -> AsGiven:
    """Vapor pressure of air by the water in it.

    Parameters
    ----------
    ratio : water in the air [kg/kg], 0 or more, not checked.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Vapor pressure [Pa].

    Raises
    ------
    Nothing.

    Source
    ------
    Definition of the humidity ratio; *computed*.

    Accuracy
    --------
    Exact.
    """
    return pressure_pa * ratio / (WATER_TO_AIR + ratio)


def _enthalpy_j_kg(dry_bulb_c, ratio):
    return _AIR_J_KGK * dry_bulb_c + ratio * _vapor_enthalpy_j_kg(dry_bulb_c)


def _vapor_enthalpy_j_kg(temperature_c):
    return _EVAPORATION_J_KG + _VAPOR_J_KGK * temperature_c


def _dry_air_kgm3(dry_bulb_c, ratio, pressure_pa):
    return pressure_pa / (_DRY_AIR_J_KGK * (dry_bulb_c + 273.15) * (1.0 + ratio / WATER_TO_AIR))


def ratio_at_bulbs(dry_bulb_c: float, wet_bulb_c: float, pressure_pa: float) -> float:
    """Water in the air at two bulbs; full air where the wet bulb is above the dry one.

    Parameters
    ----------
    dry_bulb_c, wet_bulb_c : bulbs [°C], not checked.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Water [kg/kg], 0 or more.

    Raises
    ------
    Nothing.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eq. 33 as in `physics.air`, one number at a time; *computed*.

    Accuracy
    --------
    As there.
    """
    if wet_bulb_c >= dry_bulb_c:
        return _saturation_ratio(dry_bulb_c, pressure_pa)
    water = _at_wet_bulb(wet_bulb_c, pressure_pa) - AIR_KJ_KGK * (dry_bulb_c - wet_bulb_c)
    brought = EVAPORATION_KJ_KG + VAPOR_KJ_KGK * dry_bulb_c - WATER_KJ_KGK * wet_bulb_c
    return max(water / brought, 0.0)


@functools.lru_cache(maxsize=8)  # a set point's is asked for every minute
def _at_wet_bulb(wet_bulb_c, pressure_pa):
    """Heat that the water in full air at the wet bulb took."""
    return (EVAPORATION_KJ_KG - _COOLER * wet_bulb_c) * _saturation_ratio(wet_bulb_c, pressure_pa)


def _emc_pct(temperature_c, humidity_pct):
    """As `emc_pct`, which says what is wrong with a number outside its limits."""
    if _EMC_C[0] <= temperature_c <= _EMC_C[1] and 0.0 <= humidity_pct <= 100.0:
        return _emc(_coefficients(temperature_c * 1.8 + 32.0), humidity_pct / 100.0)
    return float(emc_pct(temperature_c, humidity_pct))
