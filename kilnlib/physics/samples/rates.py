"""How fast is safe, and how long it will take: published daily limits, the share of them used, days left."""

import math
from dataclasses import dataclass

from kilnlib import tables
from kilnlib.errors import NotFound, Notice, OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, positive, result
from kilnlib.physics.wood import FSP_PCT, joined_name, nominal, species_key, species_names

BELOW_TARGET_POINTS = tables.advice("last_air_below_target")
UPLAND_OAK = "oak, red, upland"  # the limit printed for "red oak" is for this one, slow-grown, alone
WEAK_OAK_4_4 = tables.advice("weak_oak_starts_at")
CLOSE_SHARE_PCT = tables.advice("close_to_the_limit")
POINTS_PER_DAY = (-100.0, 2400.0)  # ours: at most all the water a board can hold (400 points) lost in four hours


@dataclass(frozen=True)
class SafeRate:
    """The most a board may lose in a day [points of MC], and who says so."""

    points_per_day: float
    note: str
    source: str
    how: str


@dataclass(frozen=True)
class DaysLeft:
    """How long it may still take, and the sentence that says why the two numbers differ."""

    low_days: float
    high_days: float
    reason: Notice


def safe_rate(species: str, thickness: str) -> SafeRate:
    """The published limit for a species and thickness, with its source.

    Parameters
    ----------
    species : name of the species, such as "red oak"; other names in common use are understood.
    thickness : thickness as `size.read_thickness` takes it, such as "4/4" (four quarters of an inch).

    Returns
    -------
    SafeRate: points of moisture content a day, note, source, how it is known.

    Raises
    ------
    NotFound : a species that is not in the tables; no limit known for it at that thickness.

    Source
    ------
    4/4 and 8/4: Univ. of Kentucky FOR-128 Table 9 p. 91, *retrieved*. 5/4 and 6/4: power law through those two,
    *computed*. No table for softwoods was found.

    Accuracy
    --------
    Limits, not targets: loads kept within 3.8 points for red oak average about 3.0. The limit matters most above
    about 45 % MC; weak or bacterial oak stands about 1.0.
    """
    name, size = joined_name(species, "rate"), nominal(thickness)
    rows = tables.records("safe_drying_rates")
    for row in rows:
        if row["species"] == name and row["thickness"] == size:
            return SafeRate(float(row["rate_pct_per_day"]), row["note"], row["source"], row["how"])
    sizes = [row["thickness"] for row in rows if row["species"] == name]
    if sizes:
        raise NotFound("no_rate_thickness", species=species_key(species), thickness=size, names=", ".join(sizes))
    raise NotFound("no_rate", species=species_key(species), names="; ".join(species_names("rate")))


def safe_rate_pct_per_day(species: str, thickness: str) -> float:
    """The most a board of this species and thickness may lose in a day.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    thickness : nominal thickness, such as "4/4".

    Returns
    -------
    Limit [points of moisture content a day].

    Raises
    ------
    NotFound : a species that is not in the tables; no limit known for it at that thickness.

    Source
    ------
    As `safe_rate`: Univ. of Kentucky FOR-128 Table 9 p. 91, *retrieved*; 5/4 and 6/4 *computed*.

    Accuracy
    --------
    As `safe_rate`.
    """
    return safe_rate(species, thickness).points_per_day


def weak_oak_points_per_day(thickness: str) -> float:
    """Where fast-grown, bottomland or sour-smelling red oak starts: below the limit that is printed for slow-grown oak.

    Parameters
    ----------
    thickness : nominal thickness, such as "4/4".

    Returns
    -------
    Points of moisture content a day: 1 in 4/4, and in other thicknesses as much less as the limit of upland oak is.

    Raises
    ------
    NotFound : no limit known for upland red oak at that thickness.

    Source
    ------
    "Perhaps 1 % a day" for bacteria-weakened oak: Wengert, Deep surface checking, *retrieved*; other thicknesses by the
    ratio of the limits of `safe_rate`, *computed*.

    Accuracy
    --------
    A place to start from, no limit.
    """
    return WEAK_OAK_4_4 * safe_rate_pct_per_day(UPLAND_OAK, thickness) / safe_rate_pct_per_day(UPLAND_OAK, "4/4")


def limit_share_pct(points_per_day: Values, limit_points_per_day: Values) -> AsGiven:
    """Share of the safe limit a board used.

    Parameters
    ----------
    points_per_day : points of moisture content lost in a day, negative where it gained.
    limit_points_per_day : the safe limit, above 0.

    Returns
    -------
    Share [%]; above 100 the board dried faster than the limit.

    Raises
    ------
    OutOfRange : a limit of zero or less.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    That of the weighings.
    """
    limit = positive("The safe limit", limit_points_per_day, "3.8")
    return result(100.0 * check_range("Points a day", points_per_day, *POINTS_PER_DAY, "points") / limit)


def days_left(mc_pct: float, target_pct: float, slow_points_per_day: float, fast_points_per_day: float) -> DaysLeft:
    """Days until a board reaches its target, as a range, with the reason for its width.

    Parameters
    ----------
    mc_pct : moisture content of the wettest board [%], 0 to 400.
    target_pct : moisture content wanted [%], 3 to 30.
    slow_points_per_day : slowest pace of the last days [points a day], above 0.
    fast_points_per_day : fastest pace of the last days [points a day], at least the slow one.

    Returns
    -------
    DaysLeft. Low: the fast pace kept to the end. High: the slow pace down to fiber saturation, then fading with the
    distance to an EMC 3 points below the target.

    Raises
    ------
    OutOfRange : a percent out of range; a pace of zero or less; the two paces the wrong way round.

    Source
    ------
    Low: Wengert, column Seven tips for kiln drying oak; last-step EMC 2 to 4 points below target: Univ. of Kentucky
    FOR-128 p. 50; both *retrieved*. The fading pace is our own simple model, *computed*.

    Accuracy
    --------
    Not a forecast of the schedule. Hotter steps late in drying shorten the high figure. It is not tuned to any charge.
    """
    mc = float(check_range("Moisture content", mc_pct, 0.0, 400.0, "percent"))
    target = float(check_range("The target", target_pct, BELOW_TARGET_POINTS, FSP_PCT, "percent"))
    slow = float(positive("The pace, in points a day,", slow_points_per_day, "2.4"))
    fast = float(positive("The pace, in points a day,", fast_points_per_day, "2.4"))
    if slow > fast:
        raise OutOfRange("paces_swapped", "slow_points_per_day", slow, None, fast, slow=f"{slow:g}", fast=f"{fast:g}")
    if mc <= target:
        return DaysLeft(0.0, 0.0, Notice("days_left_none", target=(target, "percent")))
    low, steady = (mc - target) / fast, (mc - target) / slow
    floor, start = target - BELOW_TARGET_POINTS, min(mc, FSP_PCT)
    fading = (start - floor) / slow * math.log((start - floor) / (target - floor))
    high = (mc - start) / slow + fading
    days = {"steady": (steady, "days"), "low": (low, "days"), "high": (high, "days")}
    code = "days_left_pace" if steady - low > high - steady else "days_left_fade"
    return DaysLeft(low, high, Notice(code, slow=(slow, "points"), fast=(fast, "points"), **days))
