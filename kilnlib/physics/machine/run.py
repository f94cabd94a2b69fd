"""A kiln over hours, minute by minute with its control.

A step takes walls, leaks, faces and the wood's warming at its end, so that heat and water close exactly.
"""

import functools
import itertools
from dataclasses import astuple, dataclass, fields

import numpy as np

from kilnlib.physics.air import WATER_TO_AIR, saturation_pressure_pa, wet_bulb_c
from kilnlib.physics.air.scalars import (
    _AIR_J_KGK,
    _EVAPORATION_J_KG,
    _VAPOR_J_KGK,
    _WATER_J_KGK,
    ICE_J_KG,
    _dry_air_kgm3,
    saturation_pa,
    vapor_pa,
)
from kilnlib.physics.arrays import within
from kilnlib.physics.machine.balance import RESTS, Balance, Pull, _Flows, _melted_kgs
from kilnlib.physics.machine.control import Control, Setting
from kilnlib.physics.machine.mist import MIST_J_KG, Mist, misted
from kilnlib.physics.machine.parts import DRY_WOOD_J_KGK, Chamber, Load, Outdoors, Running, State
from kilnlib.physics.machine.works import works

_NAMES = Balance._fields[:-1]  # but for the work
_GAVE = len(fields(State))  # behind the numbers of a State: what wood, faces and ice gave, and what the coil caught
KWH_J = 3.6e6


@dataclass(frozen=True)
class Run:
    """What a run found: states and flows at the end of each step, and how often the compressor started.

    Source
    ------
    Result of `run`; *computed*.
    """

    step_s: float
    minutes: np.ndarray  # step by number of a State, and `_GAVE`; one more than there are steps: the first is the start
    parts: list[Running]  # of each step
    pulls: list[tuple[float, ...]]
    kiln: tuple[Chamber, Load, Outdoors]
    starts_s: tuple[float, ...]
    stops_s: tuple[float, ...]
    tripped: bool
    pressure_pa: float
    mists_kgs: tuple[float, ...] = ()  # what a mist brought in each step, where there is one; the flows of air hold it

    @functools.cached_property
    def states(self) -> tuple[State, ...]:
        """How the kiln stood at the start and at the end of each step."""
        return tuple(State(*row) for row in self.minutes[:, :_GAVE].tolist())

    @property
    def end(self) -> State:
        """The last of them."""
        return State(*self.minutes[-1, :_GAVE].tolist())

    @functools.cached_property
    def shares(self) -> np.ndarray:
        """Which share of each step ran: compressor, strips, vent, fans."""
        of = {running: astuple(running) for running in set(self.parts)}
        return np.array([of[running] for running in self.parts])

    @functools.cached_property
    def flows(self) -> np.ndarray:
        """Every flow of Balance at every step, in its order."""
        chamber, load, outdoors = self.kiln
        before, pull = State(*self.minutes[:-1, :_GAVE].T), Pull(*np.array(self.pulls).T)
        mists_kgs = np.array(self.mists_kgs or 0.0)
        if self.mists_kgs:
            before = misted(before, mists_kgs * self.step_s / _air_kg(chamber, self.states[0]))
        flows = _Flows(chamber, load, before, outdoors, Running(*self.shares.T), pull)
        flows.wood_kgs, faces_kgs, flows.melted_kgs, flows.caught_kgs = self.minutes[1:, _GAVE:].T
        air_c, ratio, wood_c = self.minutes[1:, :3].T
        balance = flows.balance(air_c, ratio, wood_c, faces_kgs)
        kept = balance._replace(air_kgs=balance.air_kgs + mists_kgs, air_w=balance.air_w + mists_kgs * MIST_J_KG)
        return np.stack(np.broadcast_arrays(*kept[:-1]), axis=1)

    def flow(self, name: str) -> np.ndarray:
        """One of them."""
        return self.flows[:, _NAMES.index(name)]

    def total(self, name: str) -> float:
        """One flow summed over the run [J or kg]."""
        return float(self.flow(name).sum() * self.step_s)

    @property
    def hours(self) -> float:
        """How long it was."""
        return len(self.parts) * self.step_s / 3600.0

    @property
    def electricity_kwh(self) -> float:
        """What the meter counted."""
        return sum(self.total(name) for name in ("compressor_w", "strips_w", "fans_w")) / KWH_J

    @property
    def mist_kg(self) -> float:
        """Water that a mist brought."""
        return sum(self.mists_kgs) * self.step_s

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
        return self.minutes[1:, 0]

    @property
    def rhs_pct(self) -> np.ndarray:
        """Relative humidity at the end of each step."""
        vapor = np.asarray(vapor_pa(self.minutes[1:, 1], self.pressure_pa))
        return np.minimum(100.0 * vapor / saturation_pressure_pa(self.dry_bulbs_c), 100.0)

    @property
    def taken_kgs(self) -> float:
        """What the wood gave on the mean."""
        return float(self.minutes[1:, _GAVE:].mean(axis=0)[0])

    def mean_air(self) -> tuple[float, float, float]:
        """Mean dry bulb [°C], water in the air [kg/kg], and vapor pressure over that of full air at the wood."""
        dry_c, ratio, wood_c = self.minutes[1:, :3].T
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
    control, machine = Control(chamber, setting), works(chamber.machine, chamber.pressure_pa)
    air_kg = _air_kg(chamber, state)
    mist = Mist(chamber, setting, air_kg, step) if chamber.mist_kgs > 0.0 else None
    forward = _forward(chamber, load, outdoors, step, air_kg)
    minute = (*astuple(state), 0.0, 0.0, 0.0, 0.0)
    minutes, parts, pulls = [minute], [], []
    for number in range(round(length * 3600.0 / step)):
        air_c, ratio, ice_kg = minute[0], minute[1], minute[4]
        running = control.running(air_c, ratio, number * step)
        pull = machine.at(air_c, ratio, ice_kg) if running.compressor > 0.0 else RESTS
        if mist:
            minute = astuple(mist.into(State(*minute[:_GAVE]), running.compressor > 0.0, number * step))
        minute = forward(minute, running, pull)
        minutes.append(minute)
        parts.append(running)
        pulls.append(pull)
    starts, stops = tuple(control.starts), tuple(control.stops)
    kiln = chamber, load, outdoors
    numbers = np.fromiter(itertools.chain.from_iterable(minutes), float).reshape(len(minutes), -1)
    pressure, mists_kgs = chamber.pressure_pa, tuple(mist.given_kgs) if mist else ()
    return Run(step, numbers, parts, pulls, kiln, starts, stops, control.tripped, pressure, mists_kgs)


def _air_kg(chamber, state):
    return chamber.free_air_m3 * _dry_air_kgm3(state.dry_bulb_c, state.humidity_ratio, chamber.pressure_pa)


DAMPER = 1.001  # air so much damper tells how the wood answers to it


def _forward(chamber, load, outdoors, step, air_kg):
    """What takes a kiln one step forward: the air's water first, then air and wood warm together.

    It takes the numbers of a State, in their order, and gives those of the next, and behind them what wood, faces and
    melting ice gave and what the coil caught.
    """
    pressure, rate, walls_w_k = chamber.pressure_pa, air_kg / step, chamber.walls_w_k
    still = _Flows(chamber, load, State.at(0.0, 0.0, 0.0), outdoors, Running(), RESTS)
    full_heat_w_k, outdoor_ratio, outdoor_j_kg = still.heat_w_k, still.outdoor_ratio, still.outdoor_j_kg
    leak_m3s, vent_m3s, drained = chamber.leak_m3s, chamber.vent_m3s, chamber.machine.drained
    strips_w, fans_w, walls_w = chamber.strips_w, chamber.fans_w, walls_w_k * outdoors.dry_bulb_c
    water_kgs, ovendry_kg, dry_j_k = load.water_kgs, load.ovendry_kg, load.ovendry_kg * DRY_WOOD_J_KGK

    def forward(minute, running, pull):
        air_c, ratio, wood_c, mc_pct, ice_kg, face_kg = minute[:6]
        compressor, fans = running.compressor, running.fans
        compressor_w, _, _, caught_kgs, caught_j_kg, ices = pull
        density = _dry_air_kgm3(air_c, ratio, pressure)
        exchange = density * leak_m3s + density * vent_m3s * running.vent
        caught_kgs = caught_kgs * compressor * (1.0 if ices else drained)
        heat_w_k = full_heat_w_k * fans
        passing, full_pa, film_kgs = rate + exchange, saturation_pa(wood_c), face_kg / step
        gain = rate * ratio - caught_kgs + exchange * outdoor_ratio
        # The wood answers to the air at the end of the step, along its line: else damp air swings from step to step.
        wood_kgs = water_kgs(mc_pct, wood_c, vapor_pa(ratio, pressure), full_pa) * fans
        damper = ratio * DAMPER
        there_kgs = water_kgs(mc_pct, wood_c, damper * pressure / (WATER_TO_AIR + damper), full_pa) * fans
        answers = max((wood_kgs - there_kgs) / (damper - ratio), 0.0)
        wood_kgs += answers * ratio  # of air without water
        after, faces_kgs = (gain + film_kgs + wood_kgs) / (passing + answers), film_kgs
        # No face gives more than a wet one, and what full air cannot keep is dew on it.
        full, wet = WATER_TO_AIR * full_pa / (pressure - full_pa), heat_w_k / _AIR_J_KGK
        if film_kgs + wood_kgs - answers * after > wet * (full - after):
            after = (gain + wet * full) / (passing + wet)
            given_kgs = wet * (full - after)
            wood_kgs = max(given_kgs - film_kgs, min(wood_kgs - answers * after, 0.0))
            faces_kgs = given_kgs - wood_kgs
        else:
            wood_kgs -= answers * after
        left_kg = max(face_kg - faces_kgs * step, 0.0)
        melted_kgs = kept_kg = 0.0
        if ice_kg > 0.0 or ices:
            melted_kgs = _melted_kgs(air_c, ice_kg, compressor, step)
            kept_kg = max(ice_kg + ((caught_kgs if ices else 0.0) - melted_kgs) * step, 0.0)
        given = wood_kgs + faces_kgs
        vapor_w = given * (_EVAPORATION_J_KG + _VAPOR_J_KGK * wood_c)
        still_w = running.strips * strips_w + fans * fans_w + vapor_w - melted_kgs * ICE_J_KG
        still_w = still_w + compressor * compressor_w - caught_kgs * caught_j_kg
        still_w += walls_w + exchange * outdoor_j_kg
        still_w += rate * (_AIR_J_KGK * air_c + ratio * (_EVAPORATION_J_KG + _VAPOR_J_KGK * air_c))
        still_w -= passing * after * _EVAPORATION_J_KG
        air_side = passing * (_AIR_J_KGK + _VAPOR_J_KGK * after) + walls_w_k + heat_w_k
        water_kg = ovendry_kg * mc_pct / 100.0 + face_kg
        wood_side = (dry_j_k + (water_kg - given * step) * _WATER_J_KGK) / step + heat_w_k
        wood_still = (dry_j_k + water_kg * _WATER_J_KGK) * wood_c / step - vapor_w
        determinant = air_side * wood_side - heat_w_k**2
        return (
            (still_w * wood_side + heat_w_k * wood_still) / determinant,
            after,
            (air_side * wood_still + heat_w_k * still_w) / determinant,
            mc_pct - 100.0 * wood_kgs * step / ovendry_kg,
            kept_kg,
            left_kg,
            wood_kgs,
            faces_kgs,
            melted_kgs,
            caught_kgs,
        )

    return forward
