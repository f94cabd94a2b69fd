"""Equilibrium moisture content: where this air would take thin wood in the end. It belongs to the air."""

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.air import moist
from kilnlib.physics.arrays import AsGiven, Values, check_range, finite, first_where, result

TEMPERATURE_C = ((30.0 - 32.0) / 1.8, 100.0)
HIGHEST_TABLE_RH_PCT = 95.0


def _coefficients(temperature_f):
    t = temperature_f
    return (
        330.0 + t * (0.452 + 0.00415 * t),
        0.791 + t * (0.000463 - 0.000000844 * t),
        6.34 + t * (0.000775 - 0.0000935 * t),
        1.09 + t * (0.0284 - 0.0000904 * t),
    )


def _emc(coefficients, h):
    w, k, k1, k2 = coefficients
    kh = k * h
    both = k1 * k2 * kh * kh
    return 1800.0 / w * (kh / (1.0 - kh) + (k1 * kh + 2.0 * both) / (1.0 + k1 * kh + both))


def emc_pct(dry_bulb_c: Values, rh_pct: Values) -> AsGiven:
    """Moisture content at which wood neither gains nor loses water in this air.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], -1.1 to 100 (30 to 212 °F).
    rh_pct : relative humidity [%], 0 to 100. Above 95 nothing is claimed: see `beyond_table`.

    Returns
    -------
    Equilibrium moisture content [% of oven-dry weight].

    Raises
    ------
    OutOfRange : temperature or humidity outside those limits.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) and FPL-GTR-282 (2021), eq. 4-5, Fahrenheit coefficients; *retrieved*.

    Accuracy
    --------
    Within 0.07 of every cell of Table 4-2 that was retrieved. A real board may differ by about 1 point: the equation
    stands for one species midway between drying and wetting. At one humidity it falls as temperature rises, but only
    above about 40 °F.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *TEMPERATURE_C, "temperature")
    humidity = check_range("Relative humidity", rh_pct, 0.0, 100.0, "percent", code="humidity")
    return result(_emc(_coefficients(dry * 1.8 + 32.0), humidity / 100.0))


def beyond_table(rh_pct: Values) -> AsGiven:
    """Whether a humidity lies above 95 %, where the handbook's table ends and nothing is claimed.

    Parameters
    ----------
    rh_pct : relative humidity [%], 0 to 100.

    Returns
    -------
    True or an array of them.

    Raises
    ------
    OutOfRange : humidity outside 0 to 100.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) Table 4-2 (last column 95 %); *retrieved*.

    Accuracy
    --------
    Exact.
    """
    humidity = check_range("Relative humidity", rh_pct, 0.0, 100.0, "percent", code="humidity")
    above = humidity > HIGHEST_TABLE_RH_PCT
    return bool(above) if np.ndim(above) == 0 else above


def rh_pct_for_emc(dry_bulb_c: Values, emc_pct: Values) -> AsGiven:
    """Relative humidity that holds wood at a wanted EMC.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], -1.1 to 100 (30 to 212 °F).
    emc_pct : wanted equilibrium moisture content [%], 0 to what saturated air gives at this temperature.

    Returns
    -------
    Relative humidity [%].

    Raises
    ------
    OutOfRange : temperature out of range; EMC below 0 or above what saturated air can give.

    Source
    ------
    Inverse of Wood Handbook (2010) eq. 4-5, by halving a bracket; *computed*.

    Accuracy
    --------
    Solved to 1e-9 % over the whole range.
    """
    dry = check_range("Dry bulb", dry_bulb_c, *TEMPERATURE_C, "temperature")
    target_emc = finite("EMC", emc_pct, (8.0, "percent"))
    coefficients = _coefficients(dry * 1.8 + 32.0)
    highest = _emc(coefficients, 1.0)
    if np.any(target_emc < 0):
        (value,) = first_where(target_emc < 0, target_emc)
        raise OutOfRange("emc_negative", "emc_pct", value, 0.0, None, value=(value, "percent"))
    above = target_emc > highest + 1e-9
    if np.any(above):
        value, limit, temperature = first_where(above, target_emc, highest, dry)
        fields = {
            "temperature": (temperature, "temperature"),
            "highest": (limit, "percent"),
            "value": (value, "percent"),
        }
        raise OutOfRange("emc_too_high", "emc_pct", value, 0.0, limit, **fields)
    shape = np.broadcast_shapes(np.shape(dry), np.shape(target_emc))
    low, high = np.zeros(shape), np.ones(shape)
    for _ in range(52):
        middle = 0.5 * (low + high)
        over = _emc(coefficients, middle) > target_emc
        high = np.where(over, middle, high)
        low = np.where(over, low, middle)
    return result(np.where(np.isnan(target_emc + dry), np.nan, 100.0 * 0.5 * (low + high)))


def emc_pct_from_bulbs(dry_bulb_c: Values, wet_bulb_c: Values, pressure_pa: Values = moist.STANDARD_PA) -> AsGiven:
    """Equilibrium moisture content of the air from its two bulbs.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 100.
    wet_bulb_c : wet bulb [°C], at most the dry bulb.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Equilibrium moisture content [%].

    Raises
    ------
    OutOfRange : as `air.rh_pct` and `emc_pct`.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eq. 33, then Wood Handbook (2010) eq. 4-5; *retrieved*.

    Accuracy
    --------
    Within 0.05 of the same EMC taken from a real-gas property library. A fault of 1 °F in the wet bulb is worth up to
    1.6 points at 110/106 °F.
    """
    return emc_pct(dry_bulb_c, moist.rh_pct(dry_bulb_c, wet_bulb_c, pressure_pa))
