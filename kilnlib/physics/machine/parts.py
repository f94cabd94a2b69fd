"""A kiln that dries by a cold coil, in parts: chamber and machine, the load inside, the air outdoors, how it stands.

The example is First Charge's own and stands in tables/machine.csv: no maker's machine.
"""

import functools
from dataclasses import dataclass, field, replace

from kilnlib.physics.air import STANDARD_PA, WATER_TO_AIR, rh_pct
from kilnlib.physics.air.scalars import _emc_pct, _saturation_ratio, ratio_at_bulbs, saturation_pa
from kilnlib.physics.wood import FSP_PCT, wood_weight_kg
from kilnlib.tables import records
from kilnlib.units import DAY_S, FT_M, IN_M, f_to_c, to_si

_TO_SI = {
    "cfm": lambda value: to_si(value, "air_flow"),
    "°F": f_to_c,
    "°F difference": lambda value: value / 1.8,
    "ft²": lambda value: value * FT_M**2,
    "ft³": lambda value: value * FT_M**3,
    "m³/h": lambda value: value / 3600.0,
    "gal/h": lambda value: 1e3 * to_si(value, "volume") / 3600.0,  # of water, in kg/s
    "min": lambda value: 60.0 * value,
}
EXAMPLE = {row["name"]: _TO_SI.get(row["unit"], float)(float(row["value"])) for row in records("machine")}
R_M2K_W = 0.1761102  # 1 h·ft²·°F/Btu, NIST SP 811 Appendix B; retrieved
R_VALUES = {"good": (20.0, 30.0, 10.0), "ordinary": (11.0, 19.0, 5.0), "bare": (3.0, 3.0, 2.0)}  # walls, roof, floor
DRY_WOOD_J_KGK = 0.30 * 4186.8  # Btu/(lb·°F) of bone-dry wood near 110 °F, rounded; from memory


def walls_w_k(r_values: tuple[float, float, float]) -> float:
    """Heat that the example chamber's walls, roof and floor let out for each degree.

    Parameters
    ----------
    r_values : R-values of walls, roof and floor [h·ft²·°F/Btu], as insulation is sold.

    Returns
    -------
    Heat loss [W/K].

    Raises
    ------
    Nothing.

    Source
    ------
    Sum of area over R-value, areas from tables/machine.csv; *computed*.

    Accuracy
    --------
    Exact for flat layers. Studs, corners and doors let out more than the R-value says.
    """
    areas = EXAMPLE["wall_area"], EXAMPLE["roof_area"], EXAMPLE["floor_area"]
    return sum(area / (r * R_M2K_W) for area, r in zip(areas, r_values, strict=True))


@dataclass(frozen=True)
class Machine:
    """Cold coil, compressor and condenser; the default is the example's."""

    displacement_m3s: float = EXAMPLE["displacement"]
    filling: float = EXAMPLE["filling"]
    motor_efficiency: float = EXAMPLE["motor_efficiency"]
    idle_w: float = EXAMPLE["idle"]
    coil_air_m3s: float = EXAMPLE["coil_air"]
    bypass: float = EXAMPLE["bypass"]
    evaporating_below_k: float = EXAMPLE["evaporating_below_coil"]
    condensing_over_k: float = EXAMPLE["condensing_over_air"]
    condenser_air_m3s: float = EXAMPLE["condenser_air"]
    full_ice_kg: float = EXAMPLE["full_ice"]
    lowest_air_c: float = EXAMPLE["lowest_air"]
    highest_condensing_c: float = EXAMPLE["highest_condensing"]
    drained: float = 1.0  # share of the coil's water that reaches the bucket; the rest stands in the pan and evaporates


@dataclass(frozen=True)
class Chamber:
    """The box with its machine; the default is the example's, ordinarily insulated, at sea level."""

    machine: Machine = field(default_factory=Machine)
    walls_w_k: float = walls_w_k(R_VALUES["ordinary"])
    free_air_m3: float = EXAMPLE["free_air"]
    leak_m3s: float = EXAMPLE["leak"]
    vent_m3s: float = EXAMPLE["vent"]
    strips_w: float = EXAMPLE["strips"]
    fans_w: float = EXAMPLE["fans"]
    pressure_pa: float = STANDARD_PA
    mist_kgs: float = 0.0  # most that a mist made for the kiln gives, see `mist`; `run` alone knows it


@dataclass(frozen=True)
class Outdoors:
    """The air outside."""

    dry_bulb_c: float = f_to_c(50.0)
    rh_pct: float = 70.0

    def ratio(self, pressure_pa: float) -> float:
        """Water in that air [kg/kg]."""
        vapor = self.rh_pct / 100.0 * saturation_pa(self.dry_bulb_c)
        return WATER_TO_AIR * vapor / (pressure_pa - vapor)


@dataclass(frozen=True)
class Load:
    """Wood in the kiln, and how fast it gives up water: a pace in one air, and what decides it in another.

    "wood": the way through the board decides (oak); the pace follows the moisture difference to the air's EMC.
    "air": the faces are wet and the air decides (green pine); the pace follows the room left in the air.
    Both follow the saturation pressure at the wood's temperature.
    """

    ovendry_kg: float
    pace_points_per_day: float
    pace_dry_bulb_c: float
    pace_wet_bulb_c: float
    decides: str = "wood"
    faces_m2: float = 370.0

    def water_kgs(self, mc_pct: float, wood_c: float, vapor_pa: float, full_pa: float | None = None) -> float:
        """Water the wood gives now [kg/s]; none in air that is full at the wood's temperature, whose pressure is
        `full_pa` where that is known.
        """
        full = full_pa or saturation_pa(wood_c)
        humidity = min(vapor_pa / full, 1.0)
        room = self._room(mc_pct, wood_c, 100.0 * humidity)
        if room <= 0.0:
            return 0.0
        reference = self._reference_in_air if self._air_decides(mc_pct) else self._reference_in_wood
        pace = self.pace_points_per_day * room * full / reference
        return self.ovendry_kg * pace / 100.0 / DAY_S

    def _room(self, mc_pct, temperature_c, humidity_pct):
        """What drives the water: the room left in the air, or the moisture from here to the air's EMC."""
        if self._air_decides(mc_pct):
            return 100.0 - humidity_pct
        return min(mc_pct, _emc_pct(temperature_c, 100.0)) - _emc_pct(temperature_c, humidity_pct)

    def _air_decides(self, mc_pct):
        return self.decides == "air" and mc_pct >= FSP_PCT

    @functools.cached_property
    def _reference_in_air(self):
        """The same for wet wood in the air of the pace, while the air decides."""
        return self._reference(FSP_PCT)

    @functools.cached_property
    def _reference_in_wood(self):
        """The same while the wood decides."""
        return self._reference(FSP_PCT - 1e-9)

    def _reference(self, mc_pct):
        humidity = float(rh_pct(self.pace_dry_bulb_c, self.pace_wet_bulb_c))
        room = self._room(mc_pct, self.pace_dry_bulb_c, humidity)
        return room * saturation_pa(self.pace_dry_bulb_c)


def load_of(
    board_feet_m3: float,
    basic_specific_gravity: float,
    pace_points_per_day: float,
    bulbs_c: tuple[float, float],
    decides: str = "wood",
) -> Load:
    """A load of 4/4 lumber counted at its nominal size.

    Parameters
    ----------
    board_feet_m3 : its tally [m³].
    basic_specific_gravity : of the wood on green volume, 0.1 to 1.2.
    pace_points_per_day : moisture content it loses in a day [points], above 0.
    bulbs_c : dry and wet bulb in which it loses that [°C].
    decides : "wood" or "air", see `Load`.

    Returns
    -------
    Load, with two faces of each inch of thickness.

    Raises
    ------
    OutOfRange : volume or specific gravity out of range.

    Source
    ------
    Definition of basic specific gravity; the pace is what sample boards say; *computed*.

    Accuracy
    --------
    That of the pace. One temperature and one moisture content stand for the whole load.
    """
    ovendry = float(wood_weight_kg(board_feet_m3, basic_specific_gravity))
    return Load(ovendry, pace_points_per_day, *bulbs_c, decides, 2.0 * board_feet_m3 / IN_M)


@dataclass(frozen=True)
class State:
    """How the kiln stands: its air, its wood, water on the boards' faces, ice on the coil."""

    dry_bulb_c: float
    humidity_ratio: float
    wood_c: float
    mc_pct: float
    ice_kg: float = 0.0
    face_water_kg: float = 0.0

    @classmethod
    def at(
        cls,
        dry_bulb_c: float,
        wet_bulb_c: float,
        mc_pct: float,
        wood_c: float | None = None,
        pressure_pa: float = STANDARD_PA,
    ) -> "State":
        """A kiln with this air, the wood as warm as the air unless said."""
        ratio = ratio_at_bulbs(dry_bulb_c, wet_bulb_c, pressure_pa)
        return cls(dry_bulb_c, ratio, dry_bulb_c if wood_c is None else wood_c, mc_pct)

    def full_ratio(self, pressure_pa: float) -> float:
        """Water in this air if it were full [kg/kg]."""
        return _saturation_ratio(self.dry_bulb_c, pressure_pa)


@dataclass(frozen=True)
class Running:
    """Which parts run: 1 all of the time, 0 never, between for a share of it."""

    compressor: float = 0.0
    strips: float = 0.0
    vent: float = 0.0
    fans: float = 1.0

    def but(self, **parts: float) -> "Running":
        """The same with some parts otherwise."""
        return replace(self, **parts)
