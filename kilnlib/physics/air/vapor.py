"""Water vapor and air pressure: what air can hold, where water boils, how thin the air is at altitude."""

import numpy as np

from kilnlib.physics.arrays import AsGiven, Values, check_range, result

TEMPERATURE_C = (-60.0, 130.0)
ALTITUDE_M = (-430.0, 3048.0)
STANDARD_PA = 101325.0
_BRACKET_K = (212.0, 404.0)


def _ln_saturation(kelvin):
    return (
        -5800.2206 / kelvin
        + (1.3914993 + kelvin * (-0.048640239 + kelvin * (4.1764768e-5 - 1.4452093e-8 * kelvin)))
        + 6.5459673 * np.log(kelvin)
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
    -225 to +7 parts per million of IAPWS-95 from 0.01 to 100 °C (tests/test_air.py).
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
