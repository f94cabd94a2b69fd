"""A kiln with a cold coil as the machine panel and its questions ask for it: a load, two set points, the air outdoors.

Our example machine and chamber (tables/machine.csv), no maker's. The loads give water at a pace that is said here and
invented; only the shape and the direction of what follows are to be trusted.
"""

from dataclasses import dataclass, replace

from kilnlib.physics import machine
from kilnlib.physics.air import wet_bulb_c
from kilnlib.physics.machine import (
    EXAMPLE,
    R_VALUES,
    Chamber,
    Load,
    Outdoors,
    Setting,
    Steady,
    load_of,
    saturation_pa,
    steady,
    vapor_pa,
    walls_w_k,
)
from kilnlib.units import DAY_S, f_to_c, to_si

BULBS_C = f_to_c(110.0), f_to_c(98.0)
ICED_KG = EXAMPLE["full_ice"]  # as much as grows by itself once the coil freezes: it leaves hardly any way for the air
LOADS = ("oak", "pine", "last")
FAULTS = ("none", "iced", "vent", "strips", "bare", "good")  # the last two: walls other than ordinary
HELD = {"vent": (("vent", 1.0),), "strips": (("strips", 0.0),)}  # what a fault holds: open, or off
_BOARD_FEET = to_si(2000.0, "board_feet")
_MADE = {
    "oak": (load_of(_BOARD_FEET, 0.56, 1.8, BULBS_C), 70.0),
    "pine": (load_of(_BOARD_FEET, 0.34, 15.0, (f_to_c(110.0), f_to_c(91.2)), "air"), 100.0),
    "last": (load_of(_BOARD_FEET, 0.56, 1.5, BULBS_C), 12.0),
}


@dataclass(frozen=True)
class State:
    """What the sliders stand at, SI."""

    dry_bulb_c: float = BULBS_C[0]
    wet_bulb_c: float = BULBS_C[1]
    outdoor_c: float = f_to_c(50.0)
    load: str = "oak"
    fault: str = "none"


@dataclass(frozen=True)
class Result:
    """Where the kiln settles, with the numbers of a day."""

    kiln: State
    steady: Steady

    @property
    def hours(self) -> float:
        """Running hours of the compressor in a day."""
        return 24.0 * self.steady.running.compressor

    @property
    def bucket_kg(self) -> float:
        """Water in the bucket in a day [kg]."""
        return self.steady.flows.drained_kgs * DAY_S

    @property
    def wood_kg(self) -> float:
        """Water that the wood gave in a day [kg]."""
        return self.steady.flows.wood_kgs * DAY_S

    @property
    def kwh(self) -> float:
        """Electricity of a day."""
        return self.steady.flows.electricity_w * DAY_S / 3.6e6

    @property
    def rh_pct(self) -> float:
        """Relative humidity it settles at."""
        state = self.steady.state
        return min(
            100.0 * vapor_pa(state.humidity_ratio, Chamber().pressure_pa) / saturation_pa(state.dry_bulb_c), 100.0
        )

    @property
    def wet_bulb_c(self) -> float:
        """Wet bulb it settles at."""
        return float(wet_bulb_c(self.steady.state.dry_bulb_c, self.rh_pct))


def load(name: str) -> tuple[Load, float]:
    """A load by its name, and its moisture content [%]."""
    return _MADE[name]


def work_out(kiln: State) -> Result:
    """Result of a kiln."""
    wood, mc = _MADE[kiln.load]
    state = machine.State.at(kiln.dry_bulb_c, min(kiln.wet_bulb_c, kiln.dry_bulb_c), mc)
    setting = Setting(kiln.dry_bulb_c, min(kiln.wet_bulb_c, kiln.dry_bulb_c), held=HELD.get(kiln.fault, ()))
    if kiln.fault == "iced":
        state = replace(state, ice_kg=ICED_KG)
    chamber = Chamber(walls_w_k=walls_w_k(R_VALUES.get(kiln.fault, R_VALUES["ordinary"])))
    return Result(kiln, steady(chamber, wood, state, setting, Outdoors(kiln.outdoor_c)))
