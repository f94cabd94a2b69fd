"""What a kiln's control does with its readings: set points, dead bands, rests, vent, and the limits beside it."""

from collections.abc import Callable
from dataclasses import dataclass

from kilnlib.physics.air import WATER_TO_AIR, wet_bulb_c
from kilnlib.physics.air.scalars import _saturation_ratio, ratio_at_bulbs, saturation_pa, vapor_pa
from kilnlib.physics.machine.parts import EXAMPLE, Chamber, Running, State

Sensors = Callable[[float, float], tuple[float, float]]  # true dry and wet bulb [°C] to what the control reads


@dataclass(frozen=True)
class Setting:
    """Set points and how the control keeps them; give a wet bulb or a relative humidity.

    `held` names parts that a fault or a hand holds: (("vent", 1.0),) is a vent stuck open, (("compressor", 0.0),) a
    compressor that does not run. `sensors` turns the true bulbs into what the control reads.
    """

    dry_bulb_c: float
    wet_bulb_c: float | None = None
    rh_pct: float | None = None
    wet_bulb_band_k: float = EXAMPLE["wet_bulb_band"]
    dry_bulb_band_k: float = EXAMPLE["dry_bulb_band"]
    off_delay_s: float = EXAMPLE["off_delay"]
    vent_over_k: float = EXAMPLE["vent_over"]
    vent_shuts_over_k: float = EXAMPLE["vent_shuts_over"]
    high_limit_c: float = EXAMPLE["high_limit"]
    held: tuple[tuple[str, float], ...] = ()
    sensors: Sensors | None = None

    def ratio(self, dry_bulb_c: float, over_k: float, pressure_pa: float) -> float:
        """Water in air of this dry bulb that stands `over_k` above the wet-bulb set point [kg/kg].

        With a humidity set point a degree counts as 3 points. Never more than the air can hold.
        """
        if self.wet_bulb_c is not None:
            return ratio_at_bulbs(dry_bulb_c, self.wet_bulb_c + over_k, pressure_pa)
        share = min((self.rh_pct or 0.0) + 3.0 * over_k, 100.0) / 100.0
        vapor = share * saturation_pa(dry_bulb_c)
        return WATER_TO_AIR * vapor / (pressure_pa - vapor)


def may_run(chamber: Chamber, setting: Setting, dry_bulb_c: float) -> bool:
    """Whether the compressor's own limits and the high limit let it run in this air.

    Parameters
    ----------
    chamber : Chamber.
    setting : Setting.
    dry_bulb_c : kiln air [°C].

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    Limits of the example in tables/machine.csv; *common practice*, a maker's own count.

    Accuracy
    --------
    Exact for the limits given.
    """
    machine = chamber.machine
    too_hot = dry_bulb_c + machine.condensing_over_k > machine.highest_condensing_c + 1e-9
    return machine.lowest_air_c <= dry_bulb_c < setting.high_limit_c and not too_hot


class Control:
    """The control of a run: what it has on, and what it remembers from minute to minute."""

    def __init__(self, chamber: Chamber, setting: Setting):
        self.chamber, self.setting = chamber, setting
        self.compressor = self.strips = self.vent = self.tripped = False
        self.rests_until_s = 0.0
        self.starts: list[float] = []
        self.stops: list[float] = []
        self._parts: dict[tuple[bool, ...], Running] = {}

    def running(self, dry_bulb_c: float, humidity_ratio: float, time_s: float) -> Running:
        """Which parts run from now on in this air."""
        setting, air_c, wet_c = self.setting, dry_bulb_c, None
        if setting.sensors is not None and setting.wet_bulb_c is not None:
            air_c, wet_c = self._reads(dry_bulb_c, humidity_ratio)
        allowed = may_run(self.chamber, setting, dry_bulb_c)
        self.tripped = self.tripped or dry_bulb_c >= setting.high_limit_c
        if self.compressor or time_s >= self.rests_until_s:
            wanted = allowed and not self.tripped and self._too_wet(dry_bulb_c, humidity_ratio, wet_c)
            self._switch_compressor(wanted, time_s)
        if air_c < setting.dry_bulb_c - setting.dry_bulb_band_k:
            self.strips = True
        elif air_c >= setting.dry_bulb_c:
            self.strips = False
        if air_c > setting.dry_bulb_c + setting.vent_over_k:
            self.vent = True
        elif air_c < setting.dry_bulb_c + setting.vent_shuts_over_k:
            self.vent = False
        on = self.compressor, self.strips and not self.tripped, self.vent, allowed
        if on not in self._parts:
            parts = Running(*map(float, on[:3])).but(**dict(setting.held))
            self._parts[on] = parts if allowed else parts.but(compressor=0.0)
        return self._parts[on]

    def _reads(self, dry, ratio):
        """Both bulbs as read."""
        pressure = self.chamber.pressure_pa
        full = min(vapor_pa(ratio, pressure) / saturation_pa(dry), 1.0)
        return self.setting.sensors(dry, float(wet_bulb_c(dry, 100.0 * full, pressure)))

    def _too_wet(self, dry, ratio, wet_c):
        """Whether the air is: the compressor starts above the band and stops at its set point."""
        setting = self.setting
        over_k = 0.0 if self.compressor else setting.wet_bulb_band_k
        if wet_c is None:
            return ratio > setting.ratio(dry, over_k, self.chamber.pressure_pa)
        return wet_c > setting.wet_bulb_c + over_k

    def _switch_compressor(self, wanted, time_s):
        if self.compressor and not wanted:
            self.compressor = False
            self.stops.append(time_s)
            self.rests_until_s = time_s + self.setting.off_delay_s
        elif wanted and not self.compressor:
            self.compressor = True
            self.starts.append(time_s)


def is_full(state: State, pressure_pa: float) -> bool:
    """Whether this air holds all the water it can.

    Parameters
    ----------
    state : State.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    Saturation as in `physics.air`; *computed*.

    Accuracy
    --------
    To one part in 1e9.
    """
    return state.humidity_ratio >= _saturation_ratio(state.dry_bulb_c, pressure_pa) * (1.0 - 1e-9)
