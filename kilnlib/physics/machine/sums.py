"""Hand sums about a kiln: what a vent throws out, what a crack lets by, what it takes to warm a load."""

import math

from kilnlib.physics.air import STANDARD_PA
from kilnlib.physics.air.scalars import _WATER_J_KGK, ICE_J_KG, _enthalpy_j_kg
from kilnlib.physics.arrays import within
from kilnlib.physics.machine.parts import DRY_WOOD_J_KGK, Load, Outdoors, State
from kilnlib.physics.wood import FSP_PCT

_ORIFICE, _GRAVITY_MS2 = 0.6, 9.80665
_KILN_C = (0.0, 100.0)


def thrown_out_j_kg(
    dry_bulb_c: float, wet_bulb_c: float, outdoors: Outdoors, pressure_pa: float = STANDARD_PA
) -> float:
    """Heat that leaves by an open vent with each kilogram of water.

    Parameters
    ----------
    dry_bulb_c : kiln air [°C], 0 to 100.
    wet_bulb_c : its wet bulb [°C].
    outdoors : Outdoors, drier than the kiln.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Heat [J/kg], water counted from 0 °C.

    Raises
    ------
    OutOfRange : kiln air out of range.

    Source
    ------
    Difference of enthalpy over difference of humidity, ASHRAE Fundamentals (2017) ch. 1; *computed*.

    Accuracy
    --------
    Exact for air that goes out and outdoor air that comes in. To evaporate the water takes about 2.4e6 of it.
    """
    within("Dry bulb", dry_bulb_c, *_KILN_C, "temperature")
    ratio, outside = (
        State.at(dry_bulb_c, wet_bulb_c, 0.0, None, pressure_pa).humidity_ratio,
        outdoors.ratio(pressure_pa),
    )
    heat = _enthalpy_j_kg(dry_bulb_c, ratio) - _enthalpy_j_kg(outdoors.dry_bulb_c, outside)
    return heat / (ratio - outside)


def crack_m3s(width_m: float, height_m: float, dry_bulb_c: float, outdoor_c: float) -> float:
    """Air that warm-air draft pushes through an upright crack, as much out at its top as in at its foot.

    Parameters
    ----------
    width_m : width of the crack [m], 0 to 0.5.
    height_m : its height [m], 0 to 10.
    dry_bulb_c : kiln air [°C], 0 to 100.
    outdoor_c : outdoor air [°C], -45 to the kiln's.

    Returns
    -------
    Air each way [m³/s].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Orifice with a discharge share of 0.6, neutral height at the middle; textbook, *from memory*.

    Accuracy
    --------
    The order of size. Wind and fans push more air through than warmth does, and neither is in here.
    """
    width = within("Width", width_m, 0.0, 0.5, "thickness")
    height = within("Height", height_m, 0.0, 10.0, "length")
    inside = within("Dry bulb", dry_bulb_c, *_KILN_C, "temperature") + 273.15
    outside = within("Outdoors", outdoor_c, -45.0, dry_bulb_c, "temperature") + 273.15
    draft = _GRAVITY_MS2 * (inside - outside) / (0.5 * (inside + outside)) * height
    return _ORIFICE * width * height / 3.0 * math.sqrt(draft)


def warm_up_j(load: Load, mc_pct: float, from_c: float, to_c: float, frozen: bool = False) -> float:
    """Heat that a load and its water take up on the way to a temperature.

    Parameters
    ----------
    load : Load.
    mc_pct : its moisture content [%], 0 to 400.
    from_c : wood at the start [°C], -45 to 100.
    to_c : wood at the end [°C], -45 to 100.
    frozen : whether its free water starts as ice; the bound water never freezes.

    Returns
    -------
    Heat [J].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Bone-dry wood at 0.30 Btu/(lb·°F) and its water at 1, ice at 144 Btu/lb, *from memory*.

    Accuracy
    --------
    About a tenth. Ice counts as warm as water; walls, floor and cars come on top.
    """
    mc = within("Moisture content", mc_pct, 0.0, 400.0, "percent")
    rise = within("Wood", to_c, -45.0, 100.0, "temperature") - within("Wood", from_c, -45.0, 100.0, "temperature")
    ice = load.ovendry_kg * max(mc - FSP_PCT, 0.0) / 100.0 * ICE_J_KG if frozen else 0.0
    return load.ovendry_kg * (DRY_WOOD_J_KGK + mc / 100.0 * _WATER_J_KGK) * rise + ice
