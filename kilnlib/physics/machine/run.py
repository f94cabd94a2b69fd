"""A kiln over hours, minute by minute with its control.

A step takes walls, leaks, faces and the wood's warming at its end, so that heat and water close exactly.
"""

from dataclasses import dataclass

import numpy as np

from kilnlib.physics.air import saturation_pressure_pa, wet_bulb_c
from kilnlib.physics.arrays import within
from kilnlib.physics.machine.balance import Balance, _Flows
from kilnlib.physics.machine.control import Control, Setting
from kilnlib.physics.machine.mist import MIST_J_KG, mist_kgs, misted
from kilnlib.physics.machine.parts import DRY_WOOD_J_KGK, Chamber, Load, Outdoors, State
from kilnlib.physics.machine.scalars import (
    _AIR_J_KGK,
    _EVAPORATION_J_KG,
    _VAPOR_J_KGK,
    _WATER_J_KGK,
    ICE_J_KG,
    _dry_air_kgm3,
    _enthalpy_j_kg,
    _vapor_enthalpy_j_kg,
    vapor_pa,
)
from kilnlib.physics.machine.works import works

_NAMES = Balance._fields[:-1]  # but for the work
KWH_J = 3.6e6


@dataclass(frozen=True)
class Run:
    """What a run found: states and flows at the end of each step, and how often the compressor started.

    Source
    ------
    Result of `run`; *computed*.
    """

    step_s: float
    states: tuple[State, ...]  # one more than there are steps: the first is the start
    flows: np.ndarray  # step by flow, in the order of Balance
    shares: np.ndarray  # step by part: compressor, strips, vent
    starts_s: tuple[float, ...]
    stops_s: tuple[float, ...]
    tripped: bool
    pressure_pa: float
    mist_kg: float = 0.0  # water that a mist brought; the flows of air hold it

    def flow(self, name: str) -> np.ndarray:
        """One flow of Balance at every step."""
        return self.flows[:, _NAMES.index(name)]

    def total(self, name: str) -> float:
        """One flow summed over the run [J or kg]."""
        return float(self.flow(name).sum() * self.step_s)

    @property
    def hours(self) -> float:
        """How long it was."""
        return len(self.flows) * self.step_s / 3600.0

    @property
    def electricity_kwh(self) -> float:
        """What the meter counted."""
        return sum(self.total(name) for name in ("compressor_w", "strips_w", "fans_w")) / KWH_J

    @property
    def drained_kg(self) -> float:
        """Water in the bucket; a kilogram is a liter."""
        return self.total("drained_kgs")

    def part_hours(self, part: str) -> float:
        """Running hours of "compressor", "strips" or "vent"."""
        column = ("compressor", "strips", "vent").index(part)
        return float(self.shares[:, column].sum() * self.step_s / 3600.0)

    @property
    def starts_per_day(self) -> float:
        """How often the compressor started in a day."""
        return len(self.starts_s) / self.hours * 24.0

    @property
    def dry_bulbs_c(self) -> np.ndarray:
        """Dry bulb at the end of each step."""
        return np.array([state.dry_bulb_c for state in self.states[1:]])

    @property
    def rhs_pct(self) -> np.ndarray:
        """Relative humidity at the end of each step."""
        vapor = np.array([vapor_pa(state.humidity_ratio, self.pressure_pa) for state in self.states[1:]])
        return np.minimum(100.0 * vapor / saturation_pressure_pa(self.dry_bulbs_c), 100.0)

    def mean_air(self) -> tuple[float, float, float]:
        """Mean dry bulb [°C], water in the air [kg/kg], and vapor pressure over that of full air at the wood."""
        states = [(state.dry_bulb_c, state.humidity_ratio, state.wood_c) for state in self.states[1:]]
        dry_c, ratio, wood_c = np.array(states).T
        at_wood = vapor_pa(ratio, self.pressure_pa) / saturation_pressure_pa(wood_c)
        return float(dry_c.mean()), float(ratio.mean()), float(at_wood.mean())

    @property
    def wet_bulbs_c(self) -> np.ndarray:
        """Wet bulb at the end of each step."""
        return np.asarray(wet_bulb_c(self.dry_bulbs_c, self.rhs_pct, self.pressure_pa))


def run(
    chamber: Chamber, load: Load, state: State, setting: Setting, outdoors: Outdoors, hours: float, step_s: float = 60.0
) -> Run:
    """Let the control run the kiln, minute by minute.

    Parameters
    ----------
    chamber : Chamber.
    load : Load.
    state : State at the start.
    setting : Setting.
    outdoors : Outdoors.
    hours : how long [h], above 0 to 2400.
    step_s : one step [s], 1 to 120; beyond 60 humidity is off by some 2 points, wood by half a °F.

    Returns
    -------
    Run.

    Raises
    ------
    OutOfRange : a number out of range; air hotter than the refrigerant's table.

    Source
    ------
    Conservation of heat and water with the flows of `balance`; *computed*.

    Accuracy
    --------
    Heat and water close to one part in 1e6 over the run. A dead band alone would start the compressor about 200 times
    a day: air is a tiny store, and the walls, which store vapor in a real kiln, store none here.
    """
    length = within("Hours", hours, 0.0, 2400.0, "hours")
    step = within("Step in seconds", step_s, 1.0, 120.0, "count")
    air_kg = _air_kg(chamber, state)
    control, machine = Control(chamber, setting), works(chamber.machine, chamber.pressure_pa)
    states, rows, shares, work, mist_kg, misty = [state], [], [], None, 0.0, chamber.mist_kgs > 0.0
    for number in range(round(length * 3600.0 / step)):
        running = control.running(state, number * step)
        if running.compressor > 0.0:
            work = machine.at(state.dry_bulb_c, state.humidity_ratio, state.ice_kg)
        mist = mist_kgs(chamber, setting, state, air_kg, step) if misty else 0.0
        if mist:
            state, mist_kg = misted(state, mist * step / air_kg), mist_kg + mist * step
        state, flows = _step(chamber, load, state, outdoors, running, step, air_kg, work)
        if mist:
            flows = flows._replace(air_kgs=flows.air_kgs + mist, air_w=flows.air_w + mist * MIST_J_KG)
        states.append(state)
        rows.append(flows[:-1])
        shares.append((running.compressor, running.strips, running.vent))
    starts, stops = tuple(control.starts), tuple(control.stops)
    pressure = chamber.pressure_pa
    done = step, tuple(states), np.array(rows), np.array(shares), starts, stops, control.tripped, pressure, mist_kg
    return Run(*done)


def _air_kg(chamber, state):
    return chamber.free_air_m3 * _dry_air_kgm3(state.dry_bulb_c, state.humidity_ratio, chamber.pressure_pa)


def _step(chamber, load, state, outdoors, running, step, air_kg, work):
    """One step forward: the air's water first, then air and wood warm together."""
    flows = _Flows(chamber, load, state, outdoors, running, step, work)
    exchange, rate = flows.leak_kgs + flows.vent_kgs, air_kg / step
    gain = rate * state.humidity_ratio + flows.wood_kgs - flows.caught_kgs + exchange * flows.outdoor_ratio
    wet = flows.wet_kgs
    ratio = (gain + wet * flows.full_ratio) / (rate + exchange + wet)
    faces = wet * (flows.full_ratio - ratio)
    if faces * step > state.face_water_kg:
        faces = state.face_water_kg / step
        ratio = (gain + faces) / (rate + exchange)
    given = flows.wood_kgs + faces
    vapor_w = given * _vapor_enthalpy_j_kg(state.wood_c)
    still_w = running.strips * chamber.strips_w + running.fans * chamber.fans_w + vapor_w
    still_w -= flows.melted_kgs * ICE_J_KG
    if flows.work:
        still_w += running.compressor * flows.work.compressor_w
        still_w -= flows.caught_kgs * flows.work.coil.water_heat_j_kg
    still_w += chamber.walls_w_k * outdoors.dry_bulb_c + exchange * flows.outdoor_j_kg
    still_w += rate * _enthalpy_j_kg(state.dry_bulb_c, state.humidity_ratio)
    still_w -= (rate + exchange) * ratio * _EVAPORATION_J_KG
    moist = _AIR_J_KGK + _VAPOR_J_KGK * ratio
    air_side = (rate + exchange) * moist + chamber.walls_w_k + flows.heat_w_k
    before, after = _wood_heats(load, state, given * step)
    wood_side = after / step + flows.heat_w_k
    wood_still = before * state.wood_c / step - vapor_w
    determinant = air_side * wood_side - flows.heat_w_k**2
    air_c = (still_w * wood_side + flows.heat_w_k * wood_still) / determinant
    wood_c = (air_side * wood_still + flows.heat_w_k * still_w) / determinant
    balance = flows.balance(air_c, ratio, wood_c, faces)
    return _moved(load, state, balance, air_c, ratio, wood_c, step), balance


def _wood_heats(load, state, given_kg):
    """Heat for a degree of the wood with its water, before and after it gave some."""
    dry = load.ovendry_kg * DRY_WOOD_J_KGK
    water = load.ovendry_kg * state.mc_pct / 100.0 + state.face_water_kg
    return dry + water * _WATER_J_KGK, dry + (water - given_kg) * _WATER_J_KGK


def _moved(load, state, balance, air_c, ratio, wood_c, step):
    return State(
        air_c,
        ratio,
        wood_c,
        state.mc_pct - 100.0 * balance.wood_kgs * step / load.ovendry_kg,
        max(state.ice_kg + (balance.frozen_kgs - balance.melted_kgs) * step, 0.0),
        max(state.face_water_kg - balance.faces_kgs * step, 0.0),
    )
