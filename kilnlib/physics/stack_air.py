"""What the air does on its way through the stack, and what its speed does to the drying of each course.

The rule for speed is a plain one until a model of the board itself replaces it: no effect at 40 % moisture content and
below, full effect from 50 %, a straight line between; in full effect the rate goes with the square root of air speed,
and up to 80 % moisture content it gains nothing more above 650 fpm (from 90 % on there is no such end; a straight line
between). The moisture contents and the speed where it levels off are published for eastern white pine. The square root
is our choice, from memory of textbook heat transfer; dense, slow woods such as oak feel speed less than it says.
"""

from dataclasses import dataclass

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics import air, emc
from kilnlib.physics.arrays import check_range, first_where, positive, result
from kilnlib.physics.channel import COEFFICIENTS, air_density_kgm3
from kilnlib.units import FT_M

_C = COEFFICIENTS
_LEVELS_OFF_MS = _C["levels_off_fpm"] * FT_M / 60
_SPEED_MS = (0.02, 15.0)
_GRID = 801
_DAY_S = 86400.0


def evaporation_kgs(wood_volume_m3, basic_specific_gravity, loss_pct_per_day):
    """Water that a charge gives to the air each second.

    Parameters
    ----------
    wood_volume_m3 : volume of the wood [m³], 0 to 2000.
    basic_specific_gravity : oven-dry weight over green volume [-], 0.1 to 1.2.
    loss_pct_per_day : moisture content lost in a day [points], 0 to 100.

    Returns
    -------
    Water [kg/s].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Definition of moisture content and of basic specific gravity; *computed*.

    Accuracy
    --------
    Exact. Board feet are nominal: 4/4 stock cut 1-1/8 in thick holds an eighth more wood than its tally.
    """
    volume = check_range("Volume of wood", wood_volume_m3, 0.0, 2000.0, "board_feet")
    gravity = check_range("Specific gravity", basic_specific_gravity, 0.1, 1.2, "ratio")
    loss = check_range("Daily loss", loss_pct_per_day, 0.0, 100.0, "points")
    return result(volume * gravity * 1000.0 * loss / 100.0 / _DAY_S)


def temperature_drop_c(
    evaporation_kgs, air_flow_m3s, density_kgm3=1.0732, heat_capacity_jkgk=1025.8, latent_heat_jkg=2.3842e6
):
    """Temperature drop across the load: how much cooler air leaves the stack, for the water it took up.

    Parameters
    ----------
    evaporation_kgs : water given off [kg/s], 0 to 100.
    air_flow_m3s : flow between the stickers, without what goes round the stack [m³/s], above 0 to 10,000.
    density_kgm3 : air density [kg/m³], 0.3 to 1.5; 1.0732 is 0.067 lb/ft³.
    heat_capacity_jkgk : heat capacity of air [J/(kg·K)], 900 to 2500; 1025.8 is 0.245 Btu/(lb·°F).
    latent_heat_jkg : heat to evaporate water [J/kg], 1.5e6 to 3e6; 2.3842e6 is 1,025 Btu/lb.

    Returns
    -------
    Temperature drop [°C].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Heat balance of air and evaporating water, as in Wengert's stack balance; *computed*.

    Accuracy
    --------
    Within 4 % of `leaving_air` from 110 to 140 °F, density and heat left at their trade values
    (tests/test_stack_air.py). Heat lost through walls, and heat that warms the wood, are left out.
    """
    water = check_range("Water given off each day", np.asarray(evaporation_kgs) * _DAY_S, 0.0, 100.0 * _DAY_S, "weight")
    flow = check_range("Air flow", positive("Air flow in m³/s", air_flow_m3s, "4"), 0.0, 10_000.0, "air_flow")
    density = check_range("Air density in kg/m³", density_kgm3, 0.3, 1.5, "ratio")
    capacity = check_range("Heat capacity in kJ/(kg·K)", np.asarray(heat_capacity_jkgk) / 1e3, 0.9, 2.5, "ratio")
    latent = check_range("Latent heat in MJ/kg", np.asarray(latent_heat_jkg) / 1e6, 1.5, 3.0, "ratio")
    return result(water / _DAY_S * latent * 1e3 / (flow * density * capacity))


@dataclass(frozen=True)
class LeavingAir:
    """Air as it leaves the stack: `dry_bulb_c` [°C], `rh_pct` [%], `emc_pct` [%], and its `temperature_drop_c` [°C].

    Source
    ------
    Result of `leaving_air`; *computed*.
    """

    dry_bulb_c: float
    rh_pct: float
    emc_pct: float
    temperature_drop_c: float


def leaving_air(dry_bulb_c, rh_pct, evaporation_kgs, air_flow_m3s, pressure_pa=air.STANDARD_PA):
    """State of the air after it took up the water of the stack, with no heat added on the way.

    Parameters
    ----------
    dry_bulb_c : dry bulb of the entering air [°C], 0 to 100.
    rh_pct : its relative humidity [%], 0 to 100.
    evaporation_kgs : water given off [kg/s], 0 to 100.
    air_flow_m3s : flow between the stickers, at the entering state [m³/s], above 0 to 10,000.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    LeavingAir: dry bulb [°C], RH [%], EMC [%], temperature drop [°C].

    Raises
    ------
    OutOfRange : a number out of range; more water than the air can carry.

    Source
    ------
    Heat and water balance with ASHRAE Fundamentals (2017) ch. 1 enthalpies, the water at the wet bulb: the air moves
    along its own wet-bulb line; *computed*.

    Accuracy
    --------
    The wet bulb of leaving and entering air agree within 0.001 °C (tests/test_stack_air.py). Wood still warming up, or
    too dry to sit at the wet bulb, drops the air a little more or less.
    """
    water = check_range("Water given off each day", np.asarray(evaporation_kgs) * _DAY_S, 0.0, 100.0 * _DAY_S, "weight")
    flow = check_range("Air flow", positive("Air flow in m³/s", air_flow_m3s, "4"), 0.0, 10_000.0, "air_flow")
    dry = check_range("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    before = air.humidity_ratio(dry, rh_pct, pressure_pa)
    wet = air.wet_bulb_c(dry, rh_pct, pressure_pa)
    dry_air = flow * air_density_kgm3(dry, rh_pct, pressure_pa) / (1.0 + before)
    after = before + water / _DAY_S / dry_air
    heat = 1.006 * dry + before * (2501.0 + 1.86 * dry) + (after - before) * 4.186 * wet
    leaving = (heat - 2501.0 * after) / (1.006 + 1.86 * after)
    soaked = leaving < wet - 1e-6  # what a solved wet bulb may miss by
    if np.any(soaked):
        (most,) = first_where(soaked, water + 0.0 * leaving)
        raise OutOfRange("air_soaked", "evaporation_kgs", most / _DAY_S, water=(most, "weight"))
    vapor = np.asarray(pressure_pa) * after / (air.WATER_TO_AIR + after)
    humidity = np.minimum(100.0 * vapor / air.saturation_pressure_pa(leaving), 100.0)
    drop = dry - leaving
    return LeavingAir(*(result(x) for x in (leaving, humidity, np.asarray(emc.emc_pct(leaving, humidity)), drop)))


def speed_effect(air_speed_ms, mc_pct, reference_speed_ms):
    """Drying rate at one air speed against that at another, by the plain rule at the head of this module.

    Parameters
    ----------
    air_speed_ms : air speed between the stickers [m/s], 0.02 to 15.
    mc_pct : moisture content of the wood [%], 0 to 250.
    reference_speed_ms : air speed to compare with [m/s], 0.02 to 15.

    Returns
    -------
    Ratio of drying rates [-]; 1 for wood at 40 % and below.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Simpson, FPL-RN-0266 (1997): eastern white pine gains from air speed only above about 40-50 % moisture content, and
    the gain levels off above 600-700 ft/min below 80-90 %; *retrieved*. Square root of speed: *from memory*
    (tables/airflow_coefficients.csv).

    Accuracy
    --------
    The direction is published; the size is not checked against any measurement. With turbulent heat transfer the power
    would be 0.8, and for slow woods such as oak less than 0.5.
    """
    speed = check_range("Air speed", air_speed_ms, *_SPEED_MS, "air_speed")
    reference = check_range("Reference air speed", reference_speed_ms, *_SPEED_MS, "air_speed")
    mc = check_range("Moisture content", mc_pct, 0.0, 250.0, "percent")
    none, fully = _C["speed_matters_none"], _C["speed_matters_fully"]
    power = _C["speed_exponent"] * np.clip((mc - none) / (fully - none), 0.0, 1.0)
    return result((_useful(speed, mc) / _useful(reference, mc)) ** power)


def _useful(speed, mc):
    below, gone = _C["levels_off_below"], _C["levels_off_gone"]
    share = np.clip((mc - below) / (gone - below), 0.0, 1.0)
    capped = np.minimum(speed, _LEVELS_OFF_MS)
    return capped + share * (speed - capped)


@dataclass(frozen=True)
class DryingLag:
    """Days to the end for the best- and worst-served course, and how far apart they are.

    `extra_days` is the worst course's delay against the reference, below 0 where even that course is faster.
    `worst_mc_pct` is its moisture content at the hour the best course reaches the end; `spread_points` the difference.

    Source
    ------
    Result of `drying_lag`; *computed*.
    """

    best_days: float
    worst_days: float
    extra_days: float
    worst_mc_pct: float
    spread_points: float


def drying_lag(course_speeds_ms, reference_speed_ms, start_mc_pct, end_mc_pct, reference_days):
    """Extra days, and spread of moisture content, when air serves some courses better than others.

    Parameters
    ----------
    course_speeds_ms : air speed of each course [m/s], at least one, 0.02 to 15.
    reference_speed_ms : air speed at which the charge takes `reference_days` [m/s], 0.02 to 15.
    start_mc_pct : moisture content at the start [%], up to 250.
    end_mc_pct : moisture content at the end [%], 2 or more, below the start.
    reference_days : days from start to end at the reference speed [days], 0.1 to 400.

    Returns
    -------
    DryingLag.

    Raises
    ------
    OutOfRange : a number out of range; an end at or above the start; no course at all.

    Source
    ------
    `speed_effect`, on an even daily loss down to 30 % and a loss in proportion to moisture content below: our teaching
    simplification; *computed*.

    Accuracy
    --------
    A comparison of courses, not a forecast of days. The cooler, wetter air on the leaving side is left out, and so is
    what an operator does about a wet sample board.
    """
    start = float(check_range("Moisture content at the start", start_mc_pct, 2.0, 250.0, "percent"))
    end = float(check_range("Moisture content at the end", end_mc_pct, 2.0, 250.0, "percent"))
    days = float(check_range("Days at the reference speed", reference_days, 0.1, 400.0, "days"))
    speeds = np.atleast_1d(np.asarray(course_speeds_ms, dtype=float))
    if speeds.size == 0:
        raise OutOfRange("no_courses", "course_speeds_ms", 0.0)
    if end >= start:
        shown = {"end": (end, "percent"), "start": (start, "percent")}
        raise OutOfRange("end_above_start", "end_mc_pct", end, None, start, **shown)
    mc = np.linspace(start, end, _GRID)
    slowness = np.maximum(1.0, _C["even_loss_down_to"] / mc)  # days for a point, in days for one above 30 %
    unit = days / _elapsed(slowness, mc)[-1]
    best, worst = (
        unit * _elapsed(slowness / speed_effect(speed, mc, reference_speed_ms), mc)
        for speed in (np.max(speeds), np.min(speeds))
    )
    behind = float(np.interp(best[-1], worst, mc))
    return DryingLag(float(best[-1]), float(worst[-1]), float(worst[-1]) - days, behind, behind - end)


def _elapsed(days_per_point, mc):
    steps = 0.5 * (days_per_point[1:] + days_per_point[:-1]) * -np.diff(mc)
    return np.concatenate([[0.0], np.cumsum(steps)])
