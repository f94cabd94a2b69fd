"""What the air does on its way through the stack: it gives up heat, takes on water, and keeps its wet bulb."""

from dataclasses import dataclass

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.air.moist import AIR_KJ_KGK, EVAPORATION_KJ_KG, VAPOR_KJ_KGK, WATER_KJ_KGK
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.arrays import check_range, first_where, positive, result
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.units import DAY_S


def evaporation_kgs(
    wood_volume_m3: float | np.ndarray, basic_specific_gravity: float | np.ndarray, loss_pct_per_day: float | np.ndarray
) -> float | np.ndarray:
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
    return result(volume * gravity * WATER_KG_M3 * loss / 100.0 / DAY_S)


def temperature_drop_c(
    evaporation_kgs: float | np.ndarray,
    air_flow_m3s: float | np.ndarray,
    density_kgm3: float = 1.0732,
    heat_capacity_jkgk: float = 1025.8,
    latent_heat_jkg: float = 2.3842e6,
) -> float | np.ndarray:
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
    (tests/physics/airflow/test_stack_air.py). Heat lost through walls, and heat that warms the wood, are left out.
    """
    water = check_range("Water given off each day", np.asarray(evaporation_kgs) * DAY_S, 0.0, 100.0 * DAY_S, "weight")
    flow = check_range("Air flow", positive("Air flow in m³/s", air_flow_m3s, "4"), 0.0, 10_000.0, "air_flow")
    density = check_range("Air density in kg/m³", density_kgm3, 0.3, 1.5, "ratio")
    capacity = check_range("Heat capacity in kJ/(kg·K)", np.asarray(heat_capacity_jkgk) / 1e3, 0.9, 2.5, "ratio")
    latent = check_range("Latent heat in MJ/kg", np.asarray(latent_heat_jkg) / 1e6, 1.5, 3.0, "ratio")
    return result(water / DAY_S * latent * 1e3 / (flow * density * capacity))


@dataclass(frozen=True)
class LeavingAir:
    """Air as it leaves the stack: `dry_bulb_c` [°C], `rh_pct` [%], `emc_pct` [%], and its `temperature_drop_c` [°C].

    Source
    ------
    Result of `leaving_air`; *computed*.
    """

    dry_bulb_c: float | np.ndarray
    rh_pct: float | np.ndarray
    emc_pct: float | np.ndarray
    temperature_drop_c: float | np.ndarray


def leaving_air(
    dry_bulb_c: float | np.ndarray,
    rh_pct: float | np.ndarray,
    evaporation_kgs: float | np.ndarray,
    air_flow_m3s: float | np.ndarray,
    pressure_pa: float = air.STANDARD_PA,
) -> LeavingAir:
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
    The wet bulb of leaving and entering air agree within 0.001 °C (tests/physics/airflow/test_stack_air.py).
    Wood still warming up, or too dry to sit at the wet bulb, drops the air a little more or less.
    """
    water = check_range("Water given off each day", np.asarray(evaporation_kgs) * DAY_S, 0.0, 100.0 * DAY_S, "weight")
    flow = check_range("Air flow", positive("Air flow in m³/s", air_flow_m3s, "4"), 0.0, 10_000.0, "air_flow")
    dry = check_range("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    before = air.humidity_ratio(dry, rh_pct, pressure_pa)
    wet = air.wet_bulb_c(dry, rh_pct, pressure_pa)
    dry_air = flow * air_density_kgm3(dry, rh_pct, pressure_pa) / (1.0 + before)
    gained = water / DAY_S / dry_air
    after = before + gained
    leaving = np.asarray(dry_bulb_after_c(dry, wet, before, gained))
    soaked = leaving < wet - 1e-6  # a solved wet bulb may be so far off
    if np.any(soaked):
        (most,) = first_where(soaked, water + 0.0 * leaving)
        raise OutOfRange("air_soaked", "evaporation_kgs", most / DAY_S, water=(most, "weight"))
    vapor = np.asarray(pressure_pa) * after / (air.WATER_TO_AIR + after)
    humidity = np.minimum(100.0 * vapor / air.saturation_pressure_pa(leaving), 100.0)
    drop = dry - leaving
    return LeavingAir(*(result(x) for x in (leaving, humidity, np.asarray(emc.emc_pct(leaving, humidity)), drop)))


def dry_bulb_after_c(
    dry_bulb_c: float | np.ndarray,
    wet_bulb_c: float | np.ndarray,
    humidity_ratio: float | np.ndarray,
    gained: float | np.ndarray,
) -> float | np.ndarray:
    """Dry bulb of air that has taken up water from the wood, with no heat added.

    Parameters
    ----------
    dry_bulb_c : dry bulb before [°C].
    wet_bulb_c : its wet bulb, at which the water is taken to leave the wood [°C].
    humidity_ratio : water in the air before [kg/kg dry air].
    gained : water taken up [kg/kg dry air], below 0 where the wood takes some; not checked.

    Returns
    -------
    Dry bulb after [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    Enthalpy of moist air, ASHRAE Fundamentals (2017) ch. 1, kept with that of the water added; *computed*.

    Accuracy
    --------
    As `leaving_air`. More water than the air can carry gives a number below the wet bulb: the caller looks.
    """
    after = humidity_ratio + gained
    heat = AIR_KJ_KGK * dry_bulb_c + humidity_ratio * (EVAPORATION_KJ_KG + VAPOR_KJ_KGK * dry_bulb_c)
    heat += gained * WATER_KJ_KGK * wet_bulb_c
    return result((heat - EVAPORATION_KJ_KG * after) / (AIR_KJ_KGK + VAPOR_KJ_KGK * after))
