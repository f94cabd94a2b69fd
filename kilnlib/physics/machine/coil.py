"""Moist air over a cold coil: some of it passes untouched, the rest leaves as cold and as full as the coil makes it."""

from typing import NamedTuple

from kilnlib.physics.air import STANDARD_PA, WATER_TO_AIR
from kilnlib.physics.air.scalars import (
    _WATER_J_KGK,
    ICE_J_KG,
    _dry_air_kgm3,
    _enthalpy_j_kg,
    _saturation_ratio,
    _vapor_enthalpy_j_kg,
)
from kilnlib.physics.arrays import within

HIGHEST_RATIO = 0.9  # water in the air; beyond it the air is steam


class Coil(NamedTuple):
    """Air behind a cold coil, and what the coil took.

    Source
    ------
    Result of `coil`; *computed*.
    """

    leaving_c: float
    leaving_ratio: float
    water_kgs: float
    water_heat_j_kg: float  # in a kilogram of that water or ice
    heat_w: float
    air_kgs: float  # dry air

    def leaving_rh_pct(self, pressure_pa: float = STANDARD_PA) -> float:
        """Relative humidity behind the coil [%]; 100 where there is fog."""
        full = _saturation_ratio(self.leaving_c, pressure_pa)
        share = self.leaving_ratio / full * (WATER_TO_AIR + full) / (WATER_TO_AIR + self.leaving_ratio)
        return min(100.0 * share, 100.0)

    @property
    def latent_w(self) -> float:
        """The part that made water of vapor."""
        return self.water_kgs * (_vapor_enthalpy_j_kg(self.leaving_c) - self.water_heat_j_kg)

    @property
    def sensible_w(self) -> float:
        """The part that only made air cooler."""
        return self.heat_w - self.latent_w


def coil(
    dry_bulb_c: float,
    humidity_ratio: float,
    air_m3s: float,
    coil_c: float,
    bypass: float = 0.2,
    pressure_pa: float = STANDARD_PA,
) -> Coil:
    """What a coil of one temperature takes from the air that is blown over it.

    Parameters
    ----------
    dry_bulb_c : dry bulb of the entering air [°C], 0 to 100.
    humidity_ratio : its water [kg/kg], 0 to 0.9.
    air_m3s : air as it enters [m³/s], 0 to 100.
    coil_c : apparatus dew point, the one temperature that stands for the whole coil [°C], -50 to 100.
    bypass : share of the air that leaves as it came [-], 0 to 1.
    pressure_pa : air pressure [Pa], 50,000 to 110,000.

    Returns
    -------
    Coil. A coil warmer than the dew point takes no water; one colder than freezing holds its water as ice. Where the
    mixture is fog, the fog flies on with the air and its relative humidity counts as 100 %.

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Bypass factor of cooling coils, (leaving - coil) / (entering - coil) alike in temperature and in water: a textbook
    page and a public building-energy program; *retrieved*.

    Accuracy
    --------
    Exact for one coil temperature. A real coil is colder where the refrigerant enters, and its bypass changes with the
    speed of the air; neither is in here.
    """
    dry_bulb = within("Dry bulb", dry_bulb_c, 0.0, 100.0, "temperature")
    ratio = within("Water in the air", humidity_ratio, 0.0, HIGHEST_RATIO, "ratio")
    flow = within("Air over the coil", air_m3s, 0.0, 100.0, "air_flow")
    cold = within("Coil", coil_c, -50.0, 100.0, "temperature")
    share = within("Bypass", bypass, 0.0, 1.0, "ratio")
    pressure = within("Air pressure", pressure_pa, 50_000.0, 110_000.0, "pressure")
    return _coil(dry_bulb, ratio, flow * _dry_air_kgm3(dry_bulb, ratio, pressure), cold, share, pressure)


def _coil(dry_bulb, ratio, air_kgs, cold, bypass, pressure):
    return Coil(*_taken(dry_bulb, ratio, air_kgs, cold, bypass, pressure), air_kgs)


def _taken(dry_bulb, ratio, air_kgs, cold, bypass, pressure):
    """Air behind the coil, the water it took and the heat in a kilogram of it, and the heat it took."""
    leaving_c = cold + bypass * (dry_bulb - cold)
    full = min(_saturation_ratio(cold, pressure), ratio)
    leaving_ratio = full + bypass * (ratio - full)
    water = air_kgs * (ratio - leaving_ratio)
    water_heat = _WATER_J_KGK * cold if cold >= 0 else -ICE_J_KG
    heat = air_kgs * (_enthalpy_j_kg(dry_bulb, ratio) - _enthalpy_j_kg(leaving_c, leaving_ratio)) - water * water_heat
    return leaving_c, leaving_ratio, water, water_heat, heat
