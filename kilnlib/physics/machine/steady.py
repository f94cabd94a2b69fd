"""Where a kiln settles while its wood stays as wet as it is: each part with its share of the time, nothing stored."""

import math
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.physics.air.scalars import _WATER_J_KGK, _saturation_ratio, _vapor_enthalpy_j_kg, vapor_pa
from kilnlib.physics.arrays import falling_root
from kilnlib.physics.machine.balance import AIR_C, Balance, _Flows
from kilnlib.physics.machine.control import Setting, may_run
from kilnlib.physics.machine.parts import Chamber, Load, Outdoors, Running, State

SHARE_K = 4.0  # what a whole share of strips, vent or compressor counts on the way from cold air to hot
NEAR_RATIO = 0.005  # first step from the water in the air that was last found, a share of it
MEAN_OVER = 0.25  # of the dead band: where the wet bulb stands on the mean of a minute-by-minute day; computed
CLOSE = 1e-9


@dataclass(frozen=True)
class Steady:
    """The kiln once it has settled: its air, the share each part runs, and the mean flows."""

    state: State
    running: Running
    flows: Balance


def steady(chamber: Chamber, load: Load, state: State, setting: Setting, outdoors: Outdoors) -> Steady:
    """Where the kiln settles while the wood stays as wet as it is.

    Parameters
    ----------
    chamber : Chamber.
    load : Load.
    state : State; only its wood and its ice count.
    setting : Setting, its sensors taken as true.
    outdoors : Outdoors.

    Returns
    -------
    Steady.

    Raises
    ------
    OutOfRange : air hotter than the refrigerant's table, or a number out of range.

    Source
    ------
    Conservation of heat and water with the flows of `balance`, the shares found by false position; *computed*.

    Accuracy
    --------
    Heat and water balance to one part in 1e6 where parts run a share of the time. The air's swings about its mean are
    not seen; over hours ask `run`.
    """
    return _Settling(chamber, load, state, outdoors, setting).settled()


def _along_the_way(air_c, *shares):
    return air_c + SHARE_K * sum(shares)


class _Settling:
    """Looks for the air: at the set points where the machine holds them, else where the flows balance."""

    def __init__(self, chamber, load, state, outdoors, setting):
        self.chamber, self.load, self.state, self.outdoors, self.setting = chamber, load, state, outdoors, setting
        self.held, self.ratio, self.waters = dict(setting.held), state.humidity_ratio, {}

    def settled(self):
        air_c, vent = self._air_and_vent()
        ratio, compressor, flows = self._water(air_c, vent)
        need = -flows.air_w / self.chamber.strips_w
        strips = self.held.get("strips", 0.0 if air_c >= self.setting.high_limit_c else min(max(need, 0.0), 1.0))
        running = Running(compressor, strips, vent)
        trial, wood_c = self._without_fog(air_c, ratio, running)
        found = replace(self.state, dry_bulb_c=air_c, humidity_ratio=ratio, wood_c=wood_c)
        return Steady(found, running, trial.balance(air_c, ratio, wood_c))

    def _air_and_vent(self):
        """The dry bulb, and the share of the time the vent stands open, on the way from cold to hot: the strips run all
        of the time up to their mark, where they rest more and more; at the vent's mark the vent opens, and at its limit
        the compressor rests.
        """
        setting, strips, vent = self.setting, self.held.get("strips"), self.held.get("vent")
        most = self.held.get("compressor", 1.0)
        aim = setting.dry_bulb_c - 0.5 * setting.dry_bulb_band_k
        vented = setting.dry_bulb_c + 0.5 * (setting.vent_over_k + setting.vent_shuts_over_k)
        limit = max(self._limit_c(), vented)
        low = max(min(self.outdoors.dry_bulb_c, self.state.dry_bulb_c, aim) - 1.0, AIR_C[0])
        resting, rested = (0.0, 1.0) if strips is None else (1.0 - strips, 1.0 - strips)
        shut, opened = (0.0, 1.0) if vent is None else (vent, vent)
        corners = [  # air, rest of the strips, opening of the vent, rest of the compressor
            (low, resting, shut, 0.0),
            (aim, resting, shut, 0.0),
            (aim, rested, shut, 0.0),
            (vented, rested, shut, 0.0),
            (vented, rested, opened, 0.0),
            (limit, rested, opened, 0.0),
            (limit, rested, opened, most),
            (max(AIR_C[1] - 0.5, limit), rested, opened, most),
        ]
        marks = [_along_the_way(*corner) for corner in corners]

        def at(mark):
            air_c, rest, vent, off = (float(np.interp(mark, marks, column)) for column in zip(*corners, strict=True))
            self.held = dict(setting.held) | ({"compressor": most - off} if off > 0.0 else {})
            return air_c, rest, vent

        def surplus_w(mark):
            air_c, rest, vent = at(mark)
            return self._water(air_c, vent)[-1].air_w + (1.0 - rest) * self.chamber.strips_w

        leg = next((leg for leg in range(1, len(marks) - 1) if surplus_w(marks[leg]) <= 0.0), len(marks) - 1)
        air_c, _, vent = at(falling_root(surplus_w, marks[leg - 1], marks[leg], 1e3, CLOSE))
        return air_c, vent

    def _limit_c(self):
        """The hottest air in which the compressor may run, by a hair."""
        machine = self.chamber.machine
        return min(self.setting.high_limit_c, machine.highest_condensing_c - machine.condensing_over_k) - 0.01

    def _water(self, air_c, vent):
        """Water in the air, the compressor's share, and the flows without strips, at one dry bulb."""
        key = air_c, vent, self.held.get("compressor")
        if key not in self.waters:
            self.ratio, share = self._ratio_and_share(air_c, vent)
            trial, wood_c = self._without_fog(air_c, self.ratio, Running(share, 0.0, vent))
            self.waters[key] = self.ratio, share, trial.balance(air_c, self.ratio, wood_c)
        return self.waters[key]

    def _ratio_and_share(self, air_c, vent):
        """Water in the air and the compressor's share, at one dry bulb."""
        pressure = self.chamber.pressure_pa
        full = _saturation_ratio(air_c, pressure)
        aim = self.setting.ratio(air_c, MEAN_OVER * self.setting.wet_bulb_band_k, pressure)
        most = 1.0 if may_run(self.chamber, self.setting, air_c) else 0.0
        held = self.held.get("compressor")
        if held is not None:
            most = min(most, held)

        def gain(ratio, compressor):
            return self._gain(self._trial(air_c, ratio, Running(compressor, 0.0, vent))[0], ratio)

        if held is None:
            dry_gain = gain(aim, 0.0)
            trap = aim >= full * (1.0 - 1e-9)
            if dry_gain > 0.0 and most and not trap:
                wet_gain = gain(aim, 1.0)
                if wet_gain <= 0.0:
                    return aim, dry_gain / (dry_gain - wet_gain)
                low, high, share = aim, full, 1.0
            elif dry_gain > 0.0:
                low, high, share = min(aim, full), full, 0.0
            else:
                low, high, share = 0.0, aim, 0.0
        else:
            low, high, share = 0.0, full, most
        near = self.ratio, NEAR_RATIO * self.ratio
        return falling_root(lambda ratio: gain(ratio, share), low, high, 1e-4, CLOSE, near=near), share

    def _gain(self, trial, ratio):
        """Water that the air is given beyond what goes out [kg/s]."""
        return trial.air_kgs(ratio, trial.wood_kgs)

    def _without_fog(self, air_c, ratio, running):
        """As `_trial`; what full air cannot keep stays on the wood."""
        trial, wood_c = self._trial(air_c, ratio, running)
        if ratio >= _saturation_ratio(air_c, self.chamber.pressure_pa) * (1.0 - 1e-9):
            trial.wood_kgs -= max(self._gain(trial, ratio), 0.0)
            wood_c = self._wood_c(trial, air_c, trial.state.wood_c)
        return trial, wood_c

    def _trial(self, air_c, ratio, running):
        """The flows in this air, and the wood's temperature."""
        wood_c, vapor = air_c, vapor_pa(ratio, self.chamber.pressure_pa)
        flows = _Flows.now(self.chamber, self.load, self._at(air_c, ratio, wood_c), self.outdoors, running, math.inf)
        flows.wet_kgs = 0.0  # what is steady knows no dew
        for _ in range(3):
            met_c = wood_c
            flows.wood_kgs = self.load.water_kgs(self.state.mc_pct, met_c, vapor) * running.fans
            wood_c = self._wood_c(flows, air_c, met_c)
        flows.state = self._at(air_c, ratio, met_c)
        return flows, wood_c

    def _wood_c(self, flows, air_c, met_c):
        """Temperature of wood that takes from the air what its water needs, from what it gives at `met_c`."""
        return air_c - flows.wood_kgs * (_vapor_enthalpy_j_kg(met_c) - _WATER_J_KGK * met_c) / flows.heat_w_k

    def _at(self, air_c, ratio, wood_c):
        return State(air_c, ratio, wood_c, self.state.mc_pct, self.state.ice_kg, 0.0)
