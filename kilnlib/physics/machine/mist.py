"""A water mist made for the kiln: liquid water sprayed into the moving air, which has to give the heat it takes.

It is mist and no steam: it brings no heat, so the strips must. It comes on where the wet bulb stands a band under its
set point while the compressor has rested for some time, and goes on to the set point: so it does not fill what the
compressor takes too much in its minutes. It also rests while the dry bulb stands under its set point:
so it never makes the air damper than was asked for, and never drowns a kiln that lacks heat.
"""

from dataclasses import replace

from kilnlib.physics.air.scalars import _AIR_J_KGK, _VAPOR_J_KGK, _WATER_J_KGK, _enthalpy_j_kg, _vapor_enthalpy_j_kg
from kilnlib.physics.machine.control import Setting
from kilnlib.physics.machine.parts import EXAMPLE, Chamber, State

MIST_J_KG = EXAMPLE["mist_water"] * _WATER_J_KGK  # heat that a kilogram brings from its pipe
RESTS_UNDER_K, BAND_K, WAITS_S = EXAMPLE["mist_rests_under"], EXAMPLE["mist_band"], EXAMPLE["mist_waits"]


class Mist:
    """The mist of a run: what it remembers from minute to minute, and what it has given."""

    def __init__(self, chamber: Chamber, setting: Setting, air_kg: float, step_s: float):
        self.chamber, self.setting, self.air_kg, self.step_s = chamber, setting, air_kg, step_s
        self.given_kgs: list[float] = []  # in each step
        self._compressor_ran_s = 0.0  # when it ran last, or the run began

    def into(self, state: State, compressor_runs: bool, time_s: float) -> State:
        """The air of the next step with what the mist gives to it."""
        if compressor_runs:
            self._compressor_ran_s = time_s
        on = bool(self.given_kgs) and self.given_kgs[-1] > 0.0
        given_kgs = 0.0
        if on or time_s >= self._compressor_ran_s + WAITS_S:
            under_k = 0.0 if on else BAND_K
            given_kgs = mist_kgs(self.chamber, self.setting, state, self.air_kg, self.step_s, under_k)
        self.given_kgs.append(given_kgs)
        return misted(state, given_kgs * self.step_s / self.air_kg)


def mist_kgs(chamber: Chamber, setting: Setting, state: State, air_kg: float, step_s: float, under_k: float) -> float:
    """Water that the mist gives in the next step: what the air lacks to its set point, up to the mist's most.

    Parameters
    ----------
    chamber : Chamber, its `mist_kgs` the most that there is.
    setting : Setting.
    state : State.
    air_kg : dry air in the chamber [kg].
    step_s : length of the step [s].
    under_k : how far under its set point the wet bulb has to stand: the band, or nothing where it is on already [K].

    Returns
    -------
    Water [kg/s]; none while the dry bulb stands under its set point or at the high limit, nor while the wet bulb stands
    less than `under_k` under its own.

    Raises
    ------
    Nothing.

    Source
    ------
    Conservation of water; what it gives at most, its band and where it rests (tables/machine.csv) are our own,
    *common practice*.

    Accuracy
    --------
    Exact for the numbers given. All of it evaporates at once: nothing drips, and no nozzle clogs.
    """
    if state.dry_bulb_c < setting.dry_bulb_c - RESTS_UNDER_K or state.dry_bulb_c >= setting.high_limit_c:
        return 0.0
    if under_k > 0.0 and state.humidity_ratio >= setting.ratio(state.dry_bulb_c, -under_k, chamber.pressure_pa):
        return 0.0
    lacks = setting.ratio(state.dry_bulb_c, 0.0, chamber.pressure_pa) - state.humidity_ratio
    return min(max(lacks * air_kg / step_s, 0.0), chamber.mist_kgs)


def misted(state: State, ratio: float) -> State:
    """The air once a mist has evaporated in it: damper, and as much cooler as its heat of evaporation takes.

    Parameters
    ----------
    state : State.
    ratio : water that the mist brings [kg/kg of dry air].

    Returns
    -------
    State with that air; wood and ice as they were.

    Raises
    ------
    Nothing.

    Source
    ------
    Conservation of heat and water, enthalpy as in `physics.air`; *computed*.

    Accuracy
    --------
    Exact: the air's enthalpy grows by what the liquid water brings.
    """
    heat = _enthalpy_j_kg(state.dry_bulb_c, state.humidity_ratio) + ratio * MIST_J_KG
    damper = state.humidity_ratio + ratio
    dry_bulb_c = (heat - damper * _vapor_enthalpy_j_kg(0.0)) / (_AIR_J_KGK + _VAPOR_J_KGK * damper)
    return replace(state, dry_bulb_c=dry_bulb_c, humidity_ratio=damper)
