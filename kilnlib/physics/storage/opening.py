"""Opening a hot kiln: how long a load stays hot, what its heat could dry, and the water in the air that comes out."""

import math

from kilnlib.physics.air import STANDARD_PA, WATER_TO_AIR, humidity_ratio_from_bulbs
from kilnlib.physics.air.moist import COOLER_KJ_KGK, EVAPORATION_KJ_KG, heat_capacity_j_kgk
from kilnlib.physics.arrays import AsGiven, Values, check_range, result, within
from kilnlib.physics.heating import wood_heat_capacity_j_kgk

_DRY_AIR_J_KGK = 287.042
_HOT_C = (0.0, 100.0)


def cooling_hours(
    ovendry_kg: float, mc_pct: float, air_m3s: float, walls_w_k: float = 0.0, outdoor_c: float = 15.0
) -> float:
    """Hours in which a load loses 63 % of what it is hotter than the air that is blown through it.

    Parameters
    ----------
    ovendry_kg : oven-dry weight of the load [kg], 1 to 1e6.
    mc_pct : its moisture content [%], 0 to 400.
    air_m3s : outdoor air through the kiln [m³/s], 0 to 100.
    walls_w_k : heat that the walls let out for each degree [W/K], 0 to 1e5.
    outdoor_c : outdoor air [°C], -45 to 50.

    Returns
    -------
    Hours; infinite with neither air nor walls. After t hours exp(-t / this) of the excess is left.

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    One lump of wood, air that leaves as warm as the wood; *computed*.

    Accuracy
    --------
    Air leaves cooler than thick wood is inside, so it takes longer. Fans and drying are left out.
    """
    weight = within("The load", ovendry_kg, 1.0, 1e6, "weight")
    mc = within("Moisture content", mc_pct, 0.0, 400.0, "percent")
    air = within("Air flow", air_m3s, 0.0, 100.0, "air_flow")
    walls = within("Heat through the walls", walls_w_k, 0.0, 1e5, "power")
    outdoor = within("Outdoors", outdoor_c, -45.0, 50.0, "temperature")
    density = STANDARD_PA / (_DRY_AIR_J_KGK * (outdoor + 273.15))
    carried = air * density * float(heat_capacity_j_kgk(0.0)) + walls
    stored = weight * (1.0 + mc / 100.0) * float(wood_heat_capacity_j_kgk(mc))
    return stored / carried / 3600.0 if carried else math.inf


def drying_by_own_heat_points(mc_pct: Values, from_c: Values, to_c: Values) -> AsGiven:
    """Most moisture that hot wood could lose by its own heat while it cools.

    Parameters
    ----------
    mc_pct : moisture content [%], 0 to 400.
    from_c : wood when the doors open [°C], 0 to 100.
    to_c : wood when cool [°C], 0 to 100.

    Returns
    -------
    Moisture content lost [points], if all heat went into evaporation.

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    Heat stored over heat of evaporation at the mean temperature; *computed*.

    Accuracy
    --------
    An upper bound: most of the heat goes into the air. What is lost comes from the skin.
    """
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    start = check_range("Wood", from_c, *_HOT_C, "temperature")
    end = check_range("Wood", to_c, *_HOT_C, "temperature")
    stored = (1.0 + mc / 100.0) * wood_heat_capacity_j_kgk(mc) * (start - end)
    return result(100.0 * stored / (1e3 * (EVAPORATION_KJ_KG - COOLER_KJ_KGK * 0.5 * (start + end))))


def water_in_air_kg(
    volume_m3: Values, dry_bulb_c: Values, wet_bulb_c: Values, pressure_pa: Values = STANDARD_PA
) -> AsGiven:
    """Water in the air of a room, such as comes out as fog when a hot kiln is opened.

    Parameters
    ----------
    volume_m3 : free air [m³], 0 to 1e5.
    dry_bulb_c : dry bulb [°C], 0 to 120.
    wet_bulb_c : wet bulb [°C].
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Water [kg].

    Raises
    ------
    OutOfRange : a value out of range; bulbs that cannot be.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1 eqs. 20, 26, 33; *computed*.

    Accuracy
    --------
    That of `humidity_ratio_from_bulbs`, about 1 %. The fog is kiln air: it says nothing of the wood.
    """
    volume = check_range("The room", volume_m3, 0.0, 1e5, "board_feet")
    ratio = humidity_ratio_from_bulbs(dry_bulb_c, wet_bulb_c, pressure_pa)
    dry = check_range("Dry bulb", dry_bulb_c, 0.0, 120.0, "temperature")
    dry_air = pressure_pa / (_DRY_AIR_J_KGK * (dry + 273.15) * (1.0 + ratio / WATER_TO_AIR))
    return result(volume * dry_air * ratio)
