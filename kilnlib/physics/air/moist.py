"""Moist air at kiln temperatures: relative humidity, wet bulb, dew point, water in the air.

One formulation throughout, ASHRAE's: saturation pressure by Hyland and Wexler, wet bulb as the thermodynamic
(adiabatic saturation) wet bulb. The enhancement factor of moist air is left out, as in that handbook's own worked
equations. That leaves relative humidity within 0.14 point of a real gas at sea level (0.22 at altitude above 185 °F)
and EMC within 0.05, while the humidity ratio at saturation reads 0.4 to 1.2 % low beside the handbook's real-gas
table. Below freezing the same water formula is continued (a wick of supercooled water), which no kiln meets.
"""

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, first_where, in_blocks, result

TEMPERATURE_C = (-60.0, 130.0)
ALTITUDE_M = (-430.0, 3048.0)
STANDARD_PA = 101325.0
_BRACKET_K = (212.0, 404.0)
DRY_BULB_C = (0.0, 120.0)
AIR_SPEED_MS = (0.0, 8.0)  # along the boards
WATER_TO_AIR = 0.621945
# Of the balance at a wet bulb, ASHRAE Fundamentals (2017) ch. 1 eq. 33: heat to evaporate water at 0 °C and how much
# less it is for each degree of the wet bulb, and the heat capacities of dry air, vapor and water.
EVAPORATION_KJ_KG, COOLER_KJ_KGK, AIR_KJ_KGK, VAPOR_KJ_KGK, WATER_KJ_KGK = 2501.0, 2.326, 1.006, 1.86, 4.186
_ROUNDING = 1e-6  # what a solved wet bulb may miss by


def _ln_saturation(kelvin, log=np.log):
    return (
        -5800.2206 / kelvin
        + (1.3914993 + kelvin * (-0.048640239 + kelvin * (4.1764768e-5 - 1.4452093e-8 * kelvin)))
        + 6.5459673 * log(kelvin)
    )


def _ln_saturation_slope(kelvin):
    return 5800.2206 / kelvin**2 - 0.048640239 + kelvin * (8.3529536e-5 - 4.3356279e-8 * kelvin) + 6.5459673 / kelvin


def _saturation_temperature_c(ln_pressure):
    """Inverse of _ln_saturation: Newton steps in 1/T, where the curve is nearly straight, kept in a bracket."""
    kelvin = np.clip(5200.0 / (25.46 - ln_pressure), *_BRACKET_K)
    for _ in range(3):
        ratio = (_ln_saturation(kelvin) - ln_pressure) / (kelvin**2 * _ln_saturation_slope(kelvin))
        kelvin = np.clip(1.0 / (1.0 / kelvin + ratio), *_BRACKET_K)
    return kelvin - 273.15


def saturation_pressure_pa(temperature_c: Values) -> AsGiven:
    """Pressure of water vapor in air that can hold no more, over liquid water.

    Parameters
    ----------
    temperature_c : temperature [°C], -60 to 130. Below 0 the water formula is continued.

    Returns
    -------
    Saturation pressure [Pa].

    Raises
    ------
    OutOfRange : temperature outside -60 to 130 °C.

    Source
    ------
    Hyland and Wexler (1983), as ASHRAE Fundamentals (2017) ch. 1 eq. 6; *retrieved*.

    Accuracy
    --------
    -225 to +7 parts per million of IAPWS-95 from 0.01 to 100 °C (tests/physics/air/test_moist.py).
    """
    temperature = check_range("Temperature", temperature_c, *TEMPERATURE_C, "temperature")
    return result(np.exp(_ln_saturation(temperature + 273.15)))


def pressure_pa(altitude_m: Values) -> AsGiven:
    """Air pressure in the standard atmosphere.

    Parameters
    ----------
    altitude_m : height above sea level [m], -430 (below the Dead Sea) to 3048 (10,000 ft).

    Returns
    -------
    Air pressure [Pa].

    Raises
    ------
    OutOfRange : altitude outside that range.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eq. 3; *retrieved*.

    Accuracy
    --------
    Equal to the printed metric Table 1 within 1 Pa; the inch-pound table is printed up to 0.003 psi (20 Pa) higher.
    Weather moves the real pressure by about 3 %, *from memory*.
    """
    altitude = check_range("Altitude", altitude_m, *ALTITUDE_M, "altitude")
    return result(STANDARD_PA * (1 - 2.25577e-5 * altitude) ** 5.2559)


def boiling_c(pressure_pa: Values = STANDARD_PA) -> AsGiven:
    """Temperature at which water boils at this air pressure.

    Parameters
    ----------
    pressure_pa : air pressure [Pa], 50,000 to 110,000.

    Returns
    -------
    Boiling temperature [°C].

    Raises
    ------
    OutOfRange : pressure out of range.

    Source
    ------
    Inverse of ASHRAE Fundamentals (2017) ch. 1 eq. 6; *computed*.

    Accuracy
    --------
    Solved to 1e-6 °C.
    """
    return result(_saturation_temperature_c(np.log(_check_pressure(pressure_pa))))


def _check_pressure(pressure_pa):
    return check_range("Air pressure", pressure_pa, 50_000.0, 110_000.0, "pressure")


def rh_pct(dry_bulb_c: Values, wet_bulb_c: Values, pressure_pa: Values = STANDARD_PA) -> AsGiven:
    """Relative humidity from the two bulbs.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    wet_bulb_c : wet bulb [°C], at most the dry bulb and at least what bone-dry air would give.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Relative humidity [%], 0 to 100.

    Raises
    ------
    OutOfRange : wet bulb above dry bulb, or too low to exist; temperature out of range; water boiling.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eqs. 12, 22, 33; *retrieved*.

    Accuracy
    --------
    Within 0.14 point of a real-gas property library from 75 to 200 °F at sea level, 0.22 up to 10,000 ft. A fault of
    1 °F in the wet bulb is worth up to 3 points: the reading, not the formula, sets the accuracy. Printed psychrometer
    tables read about 0.6 point lower, because they use the Weather Bureau's psychrometer equation.
    """
    dry, wet = _check_bulbs(dry_bulb_c, wet_bulb_c)
    pressure = _check_pressure(pressure_pa)
    humidity = in_blocks(_rh_block, dry, wet, pressure)
    impossible = humidity < -_ROUNDING
    if np.any(impossible):
        _refuse_bulbs(*first_where(impossible, dry, wet, pressure))
    return result(np.clip(humidity, 0.0, 100.0))


def rh_called_for_pct(dry_bulb_c: float, wet_bulb_c: float, pressure_pa: float = STANDARD_PA) -> float:
    """Relative humidity that a setting asks for: 0 where even bone-dry air has a higher wet bulb.

    Parameters
    ----------
    dry_bulb_c, wet_bulb_c : the setting [°C].
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Relative humidity [%].

    Raises
    ------
    OutOfRange : as `rh_pct`, but for a wet bulb that is too low.

    Source
    ------
    `rh_pct`; *computed*.

    Accuracy
    --------
    That of `rh_pct`.
    """
    try:
        return rh_pct(dry_bulb_c, wet_bulb_c, pressure_pa)
    except OutOfRange as error:
        if error.code != "wet_too_low":
            raise
        return 0.0


def _rh_block(dry, wet, pressure):
    """The adiabatic saturation balance solved for vapor pressure; -inf marks a wet bulb at or above boiling."""
    saturated = np.exp(_ln_saturation(wet + 273.15))
    dry_air = pressure - saturated
    evaporates, heats = _heats_kj_kg(dry, wet)
    water = evaporates * WATER_TO_AIR * saturated - AIR_KJ_KGK * (dry - wet) * dry_air
    vapor = pressure * water / (water + heats * WATER_TO_AIR * dry_air)
    return np.where(dry_air <= 0, -np.inf, 100.0 * vapor / np.exp(_ln_saturation(dry + 273.15)))


def _heats_kj_kg(dry, wet):
    """What the balance counts for a kilogram: of water evaporated at the wet bulb, and of vapor the air brought."""
    evaporates = EVAPORATION_KJ_KG - COOLER_KJ_KGK * wet
    return evaporates, EVAPORATION_KJ_KG + VAPOR_KJ_KGK * dry - WATER_KJ_KGK * wet


def heat_capacity_j_kgk(humidity_ratio: float | np.ndarray) -> AsGiven:
    """Heat capacity of moist air, a kilogram of dry air with its vapor.

    Parameters
    ----------
    humidity_ratio : water in the air [kg/kg], 0 or more; not checked, because solvers ask it often.

    Returns
    -------
    Heat capacity [J/K for each kg of dry air].

    Raises
    ------
    Nothing.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1, the enthalpy of moist air; *retrieved*.

    Accuracy
    --------
    Constant heat capacities, as that handbook takes them for its equations; not measured here beyond that.
    """
    return 1e3 * (AIR_KJ_KGK + VAPOR_KJ_KGK * humidity_ratio)


def _check_bulbs(dry_bulb_c, wet_bulb_c):
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    wet = check_range("Wet bulb", wet_bulb_c, *TEMPERATURE_C, "temperature")
    above = wet > dry + _ROUNDING
    if np.any(above):
        hot, cool = first_where(above, wet, dry)
        fields = {"wet": (hot, "temperature"), "dry": (cool, "temperature")}
        raise OutOfRange("wet_above_dry", "wet_bulb_c", hot, None, cool, **fields)
    return dry, wet


def _refuse_bulbs(dry, wet, pressure):
    if saturation_pressure_pa(wet) >= pressure:
        raise _boiling(wet, pressure)
    lowest = wet_bulb_c(dry, 0.0, pressure)
    fields = {"dry": (dry, "temperature"), "wet": (wet, "temperature"), "lowest": (lowest, "temperature")}
    raise OutOfRange("wet_too_low", "wet_bulb_c", wet, lowest, dry, **fields)


def wet_bulb_c(dry_bulb_c: Values, rh_pct: Values, pressure_pa: Values = STANDARD_PA) -> AsGiven:
    """Wet bulb that goes with a dry bulb and a relative humidity.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    rh_pct : relative humidity [%], 0 to 100.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Thermodynamic wet bulb [°C].

    Raises
    ------
    OutOfRange : humidity or temperature out of range; vapor pressure at or above air pressure.

    Source
    ------
    Inverse of ASHRAE Fundamentals (2017) ch. 1 eq. 33, by Newton steps kept inside a bracket; *computed*.

    Accuracy
    --------
    Solved to 1e-6 °C over the whole range.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    humidity = _humidity(rh_pct)
    pressure = _check_pressure(pressure_pa)
    vapor = _vapor_pressure(dry, humidity, pressure)
    return result(in_blocks(_wet_bulb_block, dry, humidity, vapor, pressure))


def _wet_bulb_block(dry, humidity, vapor, pressure):
    """Root of the adiabatic saturation balance, multiplied out so that it stays finite up to boiling and beyond.

    The balance rises with the wet bulb and is negative at the cold end, so the bracket always holds the root.
    """
    dry_air, held = pressure - vapor, WATER_TO_AIR * vapor
    low, high = TEMPERATURE_C[0] + 0.0 * dry_air, dry + 0.0 * dry_air
    wet = high - (0.41 * high + 5.7) * (1.0 - humidity / 100.0)
    for _ in range(60):
        saturated = np.exp(_ln_saturation(wet + 273.15))
        latent, brought = _heats_kj_kg(dry, wet)
        evaporates = latent * WATER_TO_AIR * dry_air
        heats = AIR_KJ_KGK * (dry - wet) * dry_air + brought * held
        balance = evaporates * saturated - heats * (pressure - saturated)
        rise = (
            (evaporates + heats) * saturated * _ln_saturation_slope(wet + 273.15)
            - COOLER_KJ_KGK * WATER_TO_AIR * dry_air * saturated
            + (AIR_KJ_KGK * dry_air + WATER_KJ_KGK * held) * (pressure - saturated)
        )
        over = balance > 0
        high, low = np.where(over, wet, high), np.where(over, low, wet)
        new = wet - balance / rise
        new = np.where((new >= low) & (new <= high), new, 0.5 * (low + high))
        moved, wet = np.abs(new - wet), new
        if not np.any(moved > 1e-7):
            break
    return wet


def dew_point_c(dry_bulb_c: Values, rh_pct: Values) -> AsGiven:
    """Temperature at which this air would start to drip, over liquid water.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    rh_pct : relative humidity [%], above 0 to 100.

    Returns
    -------
    Dew point [°C]; NaN where it would lie below -60, as in perfectly dry air.

    Raises
    ------
    OutOfRange : humidity or temperature out of range.

    Source
    ------
    Inverse of ASHRAE Fundamentals (2017) ch. 1 eq. 6; *computed*.

    Accuracy
    --------
    Solved to 1e-6 °C. Below 0 °C it is the dew point over supercooled water, not the frost point.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    humidity = _humidity(rh_pct)
    return result(in_blocks(_dew_point_block, dry, humidity))


def _dew_point_block(dry, humidity):
    with np.errstate(divide="ignore"):
        ln_vapor = np.log(humidity / 100.0) + _ln_saturation(dry + 273.15)
    dew = np.minimum(_saturation_temperature_c(ln_vapor), dry)
    return np.where(dew < TEMPERATURE_C[0], np.nan, dew)


def humidity_ratio(dry_bulb_c: Values, rh_pct: Values, pressure_pa: Values = STANDARD_PA) -> AsGiven:
    """Water in the air: weight of vapor for each unit weight of dry air.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    rh_pct : relative humidity [%], 0 to 100.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Humidity ratio [kg/kg, the same number as lb/lb].

    Raises
    ------
    OutOfRange : humidity or temperature out of range; vapor pressure at or above air pressure.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eq. 20, without the enhancement factor; *retrieved*.

    Accuracy
    --------
    0.4 to 1.2 % below the same handbook's real-gas Table 2 at saturation, 5 to 85 °C.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    pressure = _check_pressure(pressure_pa)
    vapor = _vapor_pressure(dry, _humidity(rh_pct), pressure)
    return result(WATER_TO_AIR * vapor / (pressure - vapor))


def humidity_ratio_from_bulbs(dry_bulb_c: Values, wet_bulb_c: Values, pressure_pa: Values = STANDARD_PA) -> AsGiven:
    """Water in the air from the two bulbs; with the wet bulb held, a line of constant wet bulb on the chart.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    wet_bulb_c : wet bulb [°C], at most the dry bulb and at least what bone-dry air would give.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Humidity ratio [kg/kg, the same number as lb/lb].

    Raises
    ------
    OutOfRange : wet bulb above dry bulb, or too low to exist; temperature out of range; water boiling.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eq. 33, by way of the relative humidity; *retrieved*.

    Accuracy
    --------
    That of `rh_pct` and `humidity_ratio`.
    """
    return humidity_ratio(dry_bulb_c, rh_pct(dry_bulb_c, wet_bulb_c, pressure_pa), pressure_pa)


def wet_bulb_reading_c(dry_bulb_c: Values, wet_bulb_c: Values, wick_dry_pct: Values) -> AsGiven:
    """What the wet bulb shows when part of its wick has dried out or crusted over.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    wet_bulb_c : true wet bulb [°C].
    wick_dry_pct : share of the wick that no longer cools [%], 0 (clean and wet) to 100 (dry: both bulbs alike).

    Returns
    -------
    Reading of the wet-bulb sensor [°C], never below the true one.

    Raises
    ------
    OutOfRange : share outside 0 to 100; temperature out of range; wet bulb above dry bulb.

    Source
    ------
    Direction (a poor wick reads high): Univ. of Kentucky FOR-128 p. 94, *retrieved*. The straight-line share is a
    teaching simplification of ours.

    Accuracy
    --------
    Right at both ends; between them it shows the direction, not a calibrated size.
    """
    dry, wet = _check_bulbs(dry_bulb_c, wet_bulb_c)
    share = check_range("The dry share of the wick", wick_dry_pct, 0.0, 100.0, "percent")
    return result(wet + (dry - wet) * share / 100.0)


def _humidity(rh_pct):
    return check_range("Relative humidity", rh_pct, 0.0, 100.0, "percent", code="humidity")


def _vapor_pressure(dry, humidity, pressure):
    vapor = humidity / 100.0 * np.exp(_ln_saturation(dry + 273.15))
    boils = vapor >= pressure
    if np.any(boils):
        raise _boiling(*first_where(boils, dry, pressure))
    return vapor


def _boiling(temperature, pressure):
    limit = boiling_c(pressure)
    fields = {
        "pressure": (pressure, "pressure"),
        "value": (temperature, "temperature"),
        "boils": (limit, "temperature"),
    }
    return OutOfRange("boiling", "temperature_c", temperature, None, limit, **fields)
