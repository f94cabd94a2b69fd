"""Dry lumber in a shed: what a few degrees of heat do to its air, and how fast boards and packs take water up."""

import math

import numpy as np

from kilnlib import tables
from kilnlib.errors import NotFound, OutOfRange
from kilnlib.physics.air import emc_pct, saturation_pressure_pa
from kilnlib.physics.air.emc import TEMPERATURE_C
from kilnlib.physics.arrays import AsGiven, Values, check_range, falling_root, result, within
from kilnlib.physics.drying.diffusivity import diffusivity_m2s
from kilnlib.physics.wood import OAK
from kilnlib.units import DAY_S

OUTDOOR_C = (-45.0, 50.0)
MONTH_DAYS = 30.0
_TERMS = 200


def warmed_rh_pct(outdoor_c: Values, outdoor_rh_pct: Values, indoor_c: Values) -> AsGiven:
    """Relative humidity of outdoor air after it was warmed, no water added or taken.

    Parameters
    ----------
    outdoor_c : outdoor air [°C], -45 to 50.
    outdoor_rh_pct : its relative humidity [%], 0 to 100.
    indoor_c : the same air warmed, or as it touches hot wood [°C], the outdoor air to 100.

    Returns
    -------
    Relative humidity [%].

    Raises
    ------
    OutOfRange : a value out of range, as air that is cooled.

    Source
    ------
    Same vapor pressure, ASHRAE Fundamentals (2017) ch. 1 eq. 6; *computed*.

    Accuracy
    --------
    Exact for air alone. Lumber, floors and open doors add water. Below freezing humidity counts over water, as weather
    stations give it; over ice it would be up to a tenth drier.
    """
    outside = check_range("Outdoors", outdoor_c, *OUTDOOR_C, "temperature")
    rh = check_range("Relative humidity", outdoor_rh_pct, 0.0, 100.0, "percent", code="humidity")
    inside = check_range("The shed", indoor_c, float(np.nanmin(outside)), 100.0, "temperature")
    return result(rh * saturation_pressure_pa(outside) / saturation_pressure_pa(inside))


def warmer_by_k(outdoor_c: float, outdoor_rh_pct: float, target_pct: float) -> float:
    """How much warmer than outdoors a shed must be for wood in it to stay at a moisture content.

    Parameters
    ----------
    outdoor_c : outdoor air [°C], -45 to 50.
    outdoor_rh_pct : its relative humidity [%], above 0 to 100.
    target_pct : moisture content to hold [%], 3 to 20.

    Returns
    -------
    Degrees above outdoors [K]; 0 where outdoor air is dry enough.

    Raises
    ------
    OutOfRange : a value out of range; a shed that would still be below 30 °F, where the EMC table begins.

    Source
    ------
    Same vapor, ASHRAE Fundamentals (2017) ch. 1 eq. 6 and Wood Handbook eq. 4-5; *computed*.

    Accuracy
    --------
    1 °F. Trade columns ask for 10 to 25 °F, above the mean or above the low of the morning, and agree with it.
    """
    outside = within("Outdoors", outdoor_c, *OUTDOOR_C, "temperature")
    rh = within("Relative humidity", outdoor_rh_pct, 0.0, 100.0, "percent")
    target = within("Moisture content", target_pct, 3.0, 20.0, "percent")
    lowest = max(TEMPERATURE_C[0] - outside, 0.0)

    def over(rise):
        return float(emc_pct(outside + rise, warmed_rh_pct(outside, rh, outside + rise))) - target

    if over(lowest) <= 0.0 and lowest > 0.0:
        limits = {"low": (TEMPERATURE_C[0], "temperature"), "high": (OUTDOOR_C[1], "temperature")}
        fields = {"what": "The shed for this target would stay so cold that no table holds: air", **limits}
        raise OutOfRange("range", "outdoor_c", outside, *TEMPERATURE_C, value=(outside, "temperature"), **fields)
    return falling_root(over, lowest, 49.0, target, 1e-9)


def fractional_change(
    thickness_m: float, days: float, temperature_c: float, mc_pct: float = 9.5, open_faces: int = 2, species: str = OAK
) -> float:
    """Share of the way to the EMC of the air that the average of a board has gone.

    Parameters
    ----------
    thickness_m : thickness [m], 0.005 to 0.6.
    days : time [days], 0 to 3650.
    temperature_c : wood [°C], 0 to 100.
    mc_pct : moisture content halfway [%], 0 to 30.
    open_faces : 2 on stickers, 1 for the outside of a pack without stickers.
    species : name of the species; other names in common use are understood.

    Returns
    -------
    Share, 0 to 1.

    Raises
    ------
    OutOfRange : a value out of range. NotFound : an unknown species.

    Source
    ------
    Slab without resistance at its faces, Simpson's diffusivity for northern red oak at the mean moisture; *computed*.

    Accuracy
    --------
    Too fast where air hardly moves, and in the middle of a pack nothing happens for months.
    """
    thickness = within("The thickness", thickness_m, 0.005, 0.6, "thickness")
    time = within("The time", days, 0.0, 3650.0, "days")
    if open_faces not in (1, 2):
        raise OutOfRange("one_of", "open_faces", open_faces, what="Open faces", text=str(open_faces), names="1 or 2")
    half = thickness / open_faces
    fourier = float(diffusivity_m2s(temperature_c, mc_pct, species)) * time * DAY_S / half**2
    root = math.pi * (np.arange(_TERMS) + 0.5)
    return float(1.0 - np.sum(2.0 / root**2 * np.exp(-(root**2) * fourier))) if time else 0.0


def regain_points(where: str, days: float) -> float:
    """Points of moisture that dry lumber takes up in storage, by published rules.

    Parameters
    ----------
    where : a name of tables/storage_regain.csv, such as "closed shed" or "whole wrapped pack".
    days : time [days], 0 to 365.

    Returns
    -------
    Gain [points].

    Raises
    ------
    NotFound : another name. OutOfRange : time out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) ch. 13 and trade magazines that quote the same laboratory; *retrieved*.

    Accuracy
    --------
    1-in softwood in humid weather; it ends where the air's EMC is reached, which the rules do not say. Outer boards
    gain more.
    """
    row = next((row for row in tables.records("storage_regain") if row["where"] == where), None)
    if row is None:
        names = ", ".join(row["where"] for row in tables.records("storage_regain"))
        raise NotFound("unknown_storage", name=where, names=names)
    time = within("The time", days, 0.0, 365.0, "days")
    first = min(time, float(row["first_days"]))
    return (
        first * float(row["first_points_per_month"]) + (time - first) * float(row["then_points_per_month"])
    ) / MONTH_DAYS


def outside_share(boards_wide: int, courses: int) -> float:
    """Share of the boards of a pack without stickers that have a face outside.

    Parameters
    ----------
    boards_wide : boards side by side, 1 or more.
    courses : layers, 1 or more.

    Returns
    -------
    Share, 0 to 1.

    Raises
    ------
    OutOfRange : a count below 1.

    Source
    ------
    Counting; *computed*.

    Accuracy
    --------
    Exact.
    """
    wide = within("Boards side by side", boards_wide, 1, 1000, "count")
    high = within("Courses", courses, 1, 1000, "count")
    return 1.0 - max(wide - 2, 0) * max(high - 2, 0) / (wide * high)
