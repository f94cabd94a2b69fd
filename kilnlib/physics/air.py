"""Moist air at kiln temperatures: vapor pressure, relative humidity, wet bulb, dew point, water in the air.

One formulation throughout, ASHRAE's: saturation pressure by Hyland and Wexler, wet bulb as the thermodynamic
(adiabatic saturation) wet bulb. The enhancement factor of moist air is left out, as in that handbook's own worked
equations: relative humidity, wet bulb and EMC are unaffected within 0.14 point, while the humidity ratio at saturation
reads 0.4 to 1.2 % low beside the handbook's real-gas table. Below freezing the same water formula is continued (a wick of
supercooled water), which no kiln meets.
"""

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range, result

DRY_BULB_C = (0.0, 120.0)
TEMPERATURE_C = (-60.0, 130.0)
ALTITUDE_M = (-430.0, 3048.0)
STANDARD_PA = 101325.0
WATER_TO_AIR = 0.621945
_BLOCK = 8192


def _ln_saturation(kelvin):
    return (
        -5800.2206 / kelvin
        + (1.3914993 + kelvin * (-0.048640239 + kelvin * (4.1764768e-5 - 1.4452093e-8 * kelvin)))
        + 6.5459673 * np.log(kelvin)
    )


def saturation_pressure_pa(temperature_c):
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
    -225 to +7 parts per million of IAPWS-95 from 0.01 to 100 °C (tests/test_air.py).
    """
    temperature = check_range("Temperature", temperature_c, *TEMPERATURE_C, "temperature")
    return result(np.exp(_ln_saturation(temperature + 273.15)))


def pressure_pa(altitude_m):
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
    Equal to the printed Table 1 within 1 Pa. Weather moves the real pressure by about 3 %, from memory.
    """
    altitude = check_range("Altitude", altitude_m, *ALTITUDE_M, "altitude")
    return result(STANDARD_PA * (1 - 2.25577e-5 * altitude) ** 5.2559)


def rh_pct(dry_bulb_c, wet_bulb_c, pressure_pa=STANDARD_PA):
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
    Within 0.14 point of a real-gas property library from 80 to 200 °F. A fault of 1 °F in the wet bulb is worth up to
    3 points: the reading, not the formula, sets the accuracy. Printed psychrometer tables read about 0.6 point lower,
    because they use the Weather Bureau's psychrometer equation.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    wet = check_range("Wet bulb", wet_bulb_c, *TEMPERATURE_C, "temperature")
    pressure = _pressure(pressure_pa)
    if np.any(wet > dry):
        at = np.argmax(np.ravel(wet > dry))
        dry_at, wet_at = (float(np.ravel(np.broadcast_arrays(dry, wet)[i])[at]) for i in (0, 1))
        raise OutOfRange(
            "wet_above_dry", "wet_bulb_c", wet_at, None, dry_at, wet=(wet_at, "temperature"), dry=(dry_at, "temperature")
        )
    humidity = _in_blocks(_rh_block, dry, wet, pressure)
    if np.any(humidity < 0) or np.any(np.isinf(humidity)):
        _explain_rh(dry, wet, pressure, humidity)
    return result(np.minimum(humidity, 100.0))


def _rh_block(dry, wet, pressure):
    saturated = np.exp(_ln_saturation(wet + 273.15))
    held = WATER_TO_AIR * saturated / (pressure - saturated)
    ratio = ((2501.0 - 2.326 * wet) * held - 1.006 * (dry - wet)) / (2501.0 + 1.86 * dry - 4.186 * wet)
    vapor = pressure * ratio / (WATER_TO_AIR + ratio)
    humidity = 100.0 * vapor / np.exp(_ln_saturation(dry + 273.15))
    return np.where(saturated >= pressure, np.inf, humidity)


def _explain_rh(dry, wet, pressure, humidity):
    dry, wet, pressure, humidity = (np.ravel(a) for a in np.broadcast_arrays(dry, wet, pressure, humidity))
    at = int(np.argmax((humidity < 0) | np.isinf(humidity)))
    _refuse_boiling(wet[at], pressure[at])
    lowest = float(wet_bulb_c(dry[at], 0.0, pressure[at]))
    raise OutOfRange(
        "wet_too_low",
        "wet_bulb_c",
        float(wet[at]),
        lowest,
        float(dry[at]),
        dry=(float(dry[at]), "temperature"),
        wet=(float(wet[at]), "temperature"),
        lowest=(lowest, "temperature"),
    )


def wet_bulb_c(dry_bulb_c, rh_pct, pressure_pa=STANDARD_PA):
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
    pressure = _pressure(pressure_pa)
    vapor = _vapor_pressure(dry, humidity, pressure)
    return result(_in_blocks(_wet_bulb_block, dry, vapor, pressure))


def _wet_bulb_block(dry, vapor, pressure):
    """Root of the adiabatic saturation balance; the balance rises with the wet bulb, so a bracket always holds it."""
    ratio = WATER_TO_AIR * vapor / (pressure - vapor)
    low, high = np.full(np.shape(ratio), TEMPERATURE_C[0]), dry + np.zeros(np.shape(ratio))
    wet = dry - 0.35 * (dry - low) * (1 - vapor / np.exp(_ln_saturation(dry + 273.15)))
    wet = np.minimum(wet, _boiling_c(pressure) - 1e-3)
    for _ in range(60):
        kelvin = wet + 273.15
        saturated = np.exp(_ln_saturation(kelvin))
        dry_part = np.maximum(pressure - saturated, 1e-3 * pressure)
        held = WATER_TO_AIR * saturated / dry_part
        slope = 5800.2206 / kelvin**2 - 0.048640239 + kelvin * (8.3529536e-5 - 4.3356279e-8 * kelvin) + 6.5459673 / kelvin
        balance = (2501.0 - 2.326 * wet) * held - 1.006 * (dry - wet) - ratio * (2501.0 + 1.86 * dry - 4.186 * wet)
        rise = (2501.0 - 2.326 * wet) * held * slope * pressure / dry_part - 2.326 * held + 1.006 + 4.186 * ratio
        over = balance > 0
        high = np.where(over, wet, high)
        low = np.where(over, low, wet)
        step = balance / rise
        new = wet - step
        new = np.where((new >= low) & (new <= high), new, 0.5 * (low + high))
        moved = np.nanmax(np.abs(new - wet), initial=0.0)
        wet = new
        if moved < 1e-7:
            break
    return wet


def dew_point_c(dry_bulb_c, rh_pct):
    """Temperature at which this air would start to drip, over liquid water.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    rh_pct : relative humidity [%], above 0 to 100.

    Returns
    -------
    Dew point [°C]; NaN for perfectly dry air; not below -60.

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
    with np.errstate(divide="ignore"):
        target = np.log(humidity / 100.0) + _ln_saturation(dry + 273.15)
    return result(_in_blocks(_dew_point_block, dry, np.maximum(target, _ln_saturation(TEMPERATURE_C[0] + 273.15) - 1)))


def _dew_point_block(dry, target):
    low, high = np.full(np.shape(target), TEMPERATURE_C[0]), dry + np.zeros(np.shape(target))
    dew = np.clip(dry - 20.0 * (_ln_saturation(dry + 273.15) - target), low, high)
    for _ in range(60):
        kelvin = dew + 273.15
        over_by = _ln_saturation(kelvin) - target
        slope = 5800.2206 / kelvin**2 - 0.048640239 + kelvin * (8.3529536e-5 - 4.3356279e-8 * kelvin) + 6.5459673 / kelvin
        over = over_by > 0
        high = np.where(over, dew, high)
        low = np.where(over, low, dew)
        new = dew - over_by / slope
        new = np.where((new >= low) & (new <= high), new, 0.5 * (low + high))
        moved = np.nanmax(np.abs(new - dew), initial=0.0)
        dew = new
        if moved < 1e-8:
            break
    return np.where(dew <= TEMPERATURE_C[0] + 1e-6, np.nan, dew)


def humidity_ratio(dry_bulb_c, rh_pct, pressure_pa=STANDARD_PA):
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
    pressure = _pressure(pressure_pa)
    vapor = _vapor_pressure(dry, _humidity(rh_pct), pressure)
    return result(WATER_TO_AIR * vapor / (pressure - vapor))


def boiling_c(pressure_pa=STANDARD_PA):
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
    return result(_boiling_c(_pressure(pressure_pa)))


def _boiling_c(pressure):
    boils = 100.0 + 28.0 * np.log(pressure / STANDARD_PA)
    for _ in range(8):
        kelvin = boils + 273.15
        slope = 5800.2206 / kelvin**2 - 0.048640239 + kelvin * (8.3529536e-5 - 4.3356279e-8 * kelvin) + 6.5459673 / kelvin
        boils = boils - (_ln_saturation(kelvin) - np.log(pressure)) / slope
    return boils


def wet_bulb_reading_c(dry_bulb_c, wet_bulb_c, wick_dry_pct):
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
    OutOfRange : share outside 0 to 100; temperature out of range.

    Source
    ------
    Direction (a poor wick reads high): Univ. of Kentucky FOR-128 p. 94, *retrieved*. The straight-line share is a
    teaching simplification of ours.

    Accuracy
    --------
    Right at both ends; between them it shows the direction, not a calibrated size.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature")
    wet = check_range("Wet bulb", wet_bulb_c, *TEMPERATURE_C, "temperature")
    share = check_range("The dry share of the wick", wick_dry_pct, 0.0, 100.0, "percent")
    return result(wet + (dry - wet) * share / 100.0)


def _pressure(pressure_pa):
    return check_range("Air pressure", pressure_pa, 50_000.0, 110_000.0, "pressure")


def _humidity(rh_pct):
    return check_range("Relative humidity", rh_pct, 0.0, 100.0, "percent", code="humidity")


def _vapor_pressure(dry, humidity, pressure):
    vapor = humidity / 100.0 * np.exp(_ln_saturation(dry + 273.15))
    if np.any(vapor >= pressure):
        at = np.argmax(np.ravel(vapor >= pressure))
        _refuse_boiling(*(float(np.ravel(a)[at]) for a in np.broadcast_arrays(dry, pressure, vapor)[:2]))
    return vapor


def _refuse_boiling(temperature, pressure):
    if float(np.exp(_ln_saturation(temperature + 273.15))) < pressure:
        return
    boils = float(_boiling_c(pressure))
    raise OutOfRange(
        "boiling",
        "temperature_c",
        float(temperature),
        None,
        boils,
        pressure=(float(pressure), "pressure"),
        value=(float(temperature), "temperature"),
        boils=(boils, "temperature"),
    )


def _in_blocks(compute, *arrays):
    """Run `compute` over blocks that stay in the processor's cache; numbers pass straight through."""
    shape = np.broadcast_shapes(*(np.shape(a) for a in arrays))
    size = int(np.prod(shape, dtype=int))
    if size <= _BLOCK:
        return compute(*arrays)
    flat = [a if np.ndim(a) == 0 else np.broadcast_to(a, shape).reshape(-1) for a in arrays]
    out = np.empty(size)
    for start in range(0, size, _BLOCK):
        part = slice(start, start + _BLOCK)
        out[part] = compute(*(a if np.ndim(a) == 0 else a[part] for a in flat))
    return out.reshape(shape)
