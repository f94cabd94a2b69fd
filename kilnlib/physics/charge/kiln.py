"""A kiln that answers: the boards, the air on its way through the stack, and the machine, half a day at a time.

Within a stretch of hours three things must fit: the boards dry in the air that meets them (`drying`), the air takes up
on its way what they give (`airflow`), and the machine settles where that water and its own heat balance (`machine`).
They are gone through in turn until the air no longer moves. What is left between the water of the boards and that of
the machine is carried over and owed to the next stretch, so that nothing is lost.

A Kiln is frozen: keeping an older one is all there is to Undo.
"""

import math
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.stack_air import dry_bulb_after_c
from kilnlib.physics.charge.faults import Effects, act_of, wood_only
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, draw, outdoors_of, speeds_ms
from kilnlib.physics.charge.readings import Morning, morning
from kilnlib.physics.conditioning.charge import one_board
from kilnlib.physics.drying import History, Step, dry
from kilnlib.physics.machine import Balance, Chamber, Outdoors, Running, Setting, State, settle
from kilnlib.physics.machine.scalars import _ratio_at_bulbs, _saturation_pa, _vapor_pa
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.physics.wood import species as species_row

HALVES_H = (12.0, 12.0)
FIRST_DAY_H = (2.0, 4.0, 6.0, 12.0)
MOVES_K, ROUNDS = 0.1, 6  # air that moves less than this has settled
MOST_RESPONSE = 4.0
MILL_C = 15.0  # wood and kiln as they are loaded, or the air outdoors where that is warmer
FAN_POWER = 3.0  # of their speed
HOTTEST_HELD_C = 68.0  # where swapped leads drive the kiln: just under its high limit


@dataclass(frozen=True)
class Stretch:
    """Some hours of a charge as they truly were."""

    hours: float
    history: History  # of every board, from 0
    board_dry_bulb_c: np.ndarray  # of the air that met each board
    speed_ms: np.ndarray
    dry_bulb_c: float  # true air that goes into the stack
    wet_bulb_c: float
    leaving_c: float
    water_kg: np.ndarray  # what each board gave
    pan_kg: float  # what went back into the air from a blocked drain
    balance: Balance | None
    running: Running
    shown: tuple[float, float]  # what the bulbs say
    outdoors: Outdoors

    def total(self, name: str) -> float:
        """One flow of the balance over the stretch [J or kg]; nothing where the air was held."""
        return 0.0 if self.balance is None else float(getattr(self.balance, name)) * 3600.0 * self.hours

    @property
    def bucket_kg(self) -> float:
        """Water that reached the bucket."""
        return self.total("drained_kgs") - self.pan_kg

    @property
    def electricity_kwh(self) -> float:
        """What the meter counted."""
        return sum(self.total(name) for name in ("compressor_w", "strips_w", "fans_w")) / 3.6e6


@dataclass(frozen=True)
class Truth:
    """How the charge really stands, which the operator does not see."""

    boards: tuple[Drawn, ...]
    stretches: tuple[Stretch, ...]
    state: State
    gained: np.ndarray  # water that a kilogram of dry air has taken up where it meets each board [kg]
    per_kg: np.ndarray  # water each board gave to a kilogram of air of its stream in the last stretch
    owed_kg: float
    last_water_kgs: float

    @property
    def mc_pct(self) -> np.ndarray:
        """Moisture content of every board."""
        if not self.stretches:
            return np.array([float(one.board.start_mc_pct) for one in self.boards])
        return self.stretches[-1].history.average_pct[-1]

    @property
    def hours(self) -> float:
        """How long the charge has run."""
        return sum(stretch.hours for stretch in self.stretches)


@dataclass(frozen=True)
class Kiln:
    """A charge on one of its mornings. `log` is what is written down; `truth` is how it really stands."""

    plan: Plan
    day: int
    truth: Truth
    log: tuple[Morning, ...]
    decisions: tuple[Decision, ...]
    mended_day: int | None = None

    @property
    def effects(self) -> Effects:
        """What is wrong with the kiln this morning."""
        begun = self.plan.fault is not None and self.day >= self.plan.fault_day
        return self.plan.effects if begun and self.mended_day is None else wood_only(self.plan.effects)

    @property
    def mean_mc_pct(self) -> float:
        """Mean moisture content of the load, as it truly is."""
        wood = np.array([one.ovendry_kg for one in self.truth.boards])
        return float((self.truth.mc_pct * wood).sum() / wood.sum())


def start(plan: Plan) -> Kiln:
    """A kiln loaded and shut, its fans not yet on; the first morning of the log is written at the start.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Kiln on day 0.

    Raises
    ------
    NotFound : a wood or a thickness without data. OutOfRange : a number of the plan out of range.

    Source
    ------
    `draw`; *computed*.

    Accuracy
    --------
    As `next_day`.
    """
    boards = draw(plan)
    outside = outdoors_of(plan, 0, by_day=True)
    mill_c = max(MILL_C, outside.dry_bulb_c)
    state = State.at(mill_c, mill_c - 1.0, plan.start_mc_pct, pressure_pa=plan.chamber.pressure_pa)
    nothing = np.zeros(len(boards))
    kiln = Kiln(plan, 0, Truth(boards, (), state, nothing, nothing, 0.0, 0.0), (), ())
    return replace(kiln, log=(morning(plan, 0, boards, kiln.truth.mc_pct, (), (mill_c, mill_c - 1.0), nothing),))


def next_day(kiln: Kiln, decision: Decision) -> Kiln:
    """Let a day pass under a decision.

    Parameters
    ----------
    kiln : Kiln.
    decision : Decision: both bulbs as dialed, and the tests and mends made before.

    Returns
    -------
    Kiln on the next morning; the one given stays as it is.

    Raises
    ------
    NotFound : an act that does not exist. OutOfRange : air hotter than the machine's tables.

    Source
    ------
    `drying.dry`, `airflow`, `machine.settle`; *computed*.

    Accuracy
    --------
    Heat and water close to one part in 1e6 over a charge, and with one board in held air it is `drying` itself
    (tests/physics/charge). The air of half a day is taken as one: what swings within it is not seen. A game that keeps
    the laws, not a forecast of any kiln; no measured charge stands behind the whole.
    """
    for code in decision.acts:
        act_of(code)
    mended = kiln.mended_day
    if mended is None and kiln.plan.fault is not None and kiln.day >= kiln.plan.fault_day:
        from kilnlib.physics.charge.faults import fault_of

        if fault_of(kiln.plan.fault).mended_by in decision.acts:
            mended = kiln.day
    kiln = replace(kiln, mended_day=mended)
    effects, truth = kiln.effects, kiln.truth
    parts = FIRST_DAY_H if kiln.day == 0 else HALVES_H
    clock, new = 0.0, []
    for hours in parts:
        outside = outdoors_of(kiln.plan, kiln.day, by_day=clock < 12.0)
        truth, stretch = _stretch(kiln.plan, truth, decision, effects, outside, hours)
        new.append(stretch)
        clock += hours
    lost = sum(stretch.water_kg for stretch in new)
    read = morning(kiln.plan, kiln.day + 1, truth.boards, truth.mc_pct, tuple(new), new[-1].shown, lost)
    return Kiln(kiln.plan, kiln.day + 1, truth, (*kiln.log, read), (*kiln.decisions, decision), mended)


class _Wood:
    """The load as the machine sees it: the water that the boards gave, more of it in drier air and less in wetter."""

    def __init__(self, ovendry_kg, faces_m2, water_kgs, humidity, plus_kgs):
        self.ovendry_kg, self.faces_m2 = ovendry_kg, faces_m2
        self._water, self._room, self._plus = water_kgs, max(1.0 - humidity, 0.02), plus_kgs

    def water_kgs(self, mc_pct, wood_c, vapor_pa):
        """Water that goes into the air [kg/s]."""
        room = max(1.0 - vapor_pa / _saturation_pa(wood_c), 0.0)
        return self._water * min(room / self._room, MOST_RESPONSE) + self._plus


@dataclass(frozen=True)
class _Told(Setting):
    """A setting whose bulbs may lie: the water in the air at which the wet bulb shows what is dialed."""

    wick: float = 1.0
    wet_offset_k: float = 0.0
    dry_offset_k: float = 0.0

    def ratio(self, dry_bulb_c, over_k, pressure_pa):
        """Water in air of this true dry bulb that shows `over_k` above the wet-bulb setting [kg/kg]."""
        wanted = self.wet_bulb_c + over_k - self.wet_offset_k
        wet = dry_bulb_c - (dry_bulb_c - wanted) / self.wick
        return _ratio_at_bulbs(dry_bulb_c, max(wet, -20.0), pressure_pa)


def _setting(decision, effects):
    """What the control holds, in true air."""
    held = {name: getattr(effects, name) for name in ("compressor", "strips", "vent")}
    held = {name: value for name, value in held.items() if value is not None}
    dry, wet = decision.dry_bulb_c, decision.wet_bulb_c
    if effects.swapped:  # heat until the wet bulb reaches the dry one's setting; the compressor is always called
        held |= {"compressor": 1.0, "vent": 0.0}
        dry = HOTTEST_HELD_C
    return _Told(
        dry - effects.dry_offset_k, wet, held=tuple(held.items()), wick=effects.wick, wet_offset_k=effects.wet_offset_k
    )


def _chamber(plan, effects) -> Chamber:
    chamber, machine = plan.chamber, plan.chamber.machine
    return replace(
        chamber,
        machine=replace(machine, coil_air_m3s=machine.coil_air_m3s * effects.coil_air),
        leak_m3s=chamber.leak_m3s + effects.leak_cfm * 0.3048**3 / 60.0,
        fans_w=chamber.fans_w * effects.fan_speed**FAN_POWER,
    )


def shown_bulbs_c(dry_bulb_c: float, wet_bulb_c: float, effects: Effects) -> tuple[float, float]:
    """What the two bulbs say in this air.

    Parameters
    ----------
    dry_bulb_c, wet_bulb_c : true bulbs [°C].
    effects : what is wrong.

    Returns
    -------
    Dry and wet bulb as shown [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    Definition of each fault; *computed*.

    Accuracy
    --------
    Exact.
    """
    dry = dry_bulb_c + effects.dry_offset_k
    wet = dry_bulb_c - effects.wick * (dry_bulb_c - wet_bulb_c) + effects.wet_offset_k
    return (wet, dry) if effects.swapped else (dry, wet)


def _stretch(plan, truth, decision, effects, outside, hours):
    """One stretch: boards, air and machine gone through in turn until they agree."""
    pressure, chamber = plan.chamber.pressure_pa, _chamber(plan, effects)
    setting, place = _setting(decision, effects), _Stack(plan, truth.boards, effects)
    boards = [replace(one.board, start_mc_pct=start) for one, start in zip(truth.boards, _starts(truth), strict=True)]
    ovendry = np.array([one.ovendry_kg for one in truth.boards])
    aim_c = setting.dry_bulb_c - 0.5 * setting.dry_bulb_band_k
    dry_c, ratio, wood_c = truth.state.dry_bulb_c, truth.state.humidity_ratio, truth.state.wood_c
    if plan.held_air:
        dry_c, ratio = decision.dry_bulb_c, _ratio_at_bulbs(decision.dry_bulb_c, decision.wet_bulb_c, pressure)
    elif truth.last_water_kgs:  # the machine's answer to the water of the stretch before is a good first guess
        guess = _Wood(ovendry.sum(), place.faces_m2, truth.last_water_kgs, _humidity(truth.state, pressure), 0.0)
        state, _, _ = settle(chamber, guess, truth.state, setting, outside, hours)
        dry_c, ratio, wood_c = state.dry_bulb_c, state.humidity_ratio, state.wood_c
    else:
        dry_c = max(dry_c, min(aim_c, dry_c + 10.0))
    per_kg, pan_kgs, state, balance, running = truth.per_kg, 0.0, truth.state, None, Running()
    for _ in range(ROUNDS):
        wet_c = _wet_bulb_c(dry_c, ratio, pressure)
        gained, leaving = place.on_the_way(dry_c, wet_c, ratio, per_kg)
        met = np.clip(dry_bulb_after_c(dry_c, wet_c, ratio, gained), wet_c, max(dry_c, wet_c))
        steps = [Step(tuple(met), min(wet_c, float(met.min())), None, hours, tuple(place.speed_ms))]
        history = dry(boards, steps, pressure)
        water = history.lost_pct[-1] * ovendry / 100.0
        given_kgs = float(water.sum()) / (3600.0 * hours)
        fresh = place.to_air(water / (3600.0 * hours), dry_c, ratio, pressure)
        moved_gain = float(np.abs(fresh - per_kg).max(initial=0.0)) * 2400.0  # about the kelvin that it cools the air
        per_kg = fresh if moved_gain < 1.0 else 0.5 * (fresh + per_kg)
        if plan.held_air:
            moved = moved_gain
        else:
            plus = truth.owed_kg / (3600.0 * hours) + pan_kgs
            humidity = min(_vapor_pa(ratio, pressure) / _saturation_pa(wood_c), 1.0)
            load = _Wood(ovendry.sum(), place.faces_m2, given_kgs, humidity, plus)
            start = replace(truth.state, mc_pct=float(truth.mc_pct @ ovendry / ovendry.sum()))
            state, balance, running = settle(chamber, load, start, setting, outside, hours)
            used_pan, pan_kgs = pan_kgs, effects.drained_back * balance.drained_kgs
            moved = max(abs(state.dry_bulb_c - dry_c), 2400.0 * abs(state.humidity_ratio - ratio), moved_gain)
            moved = max(moved, 2000.0 * abs(used_pan - pan_kgs))
            dry_c, ratio, wood_c = state.dry_bulb_c, state.humidity_ratio, state.wood_c
        if moved < MOVES_K:
            break
    owed, pan_kg = truth.owed_kg, 0.0
    if balance is not None:
        pan_kg = used_pan * 3600.0 * hours
        owed += float(water.sum()) + pan_kg - balance.wood_kgs * 3600.0 * hours
    wet_c = _wet_bulb_c(dry_c, ratio, pressure)
    stretch = Stretch(
        hours, history, met, place.speed_ms, dry_c, wet_c, min(leaving, dry_c), water, pan_kg, balance, running,
        shown_bulbs_c(dry_c, wet_c, effects), outside,
    )  # fmt: skip
    then = Truth(truth.boards, (*truth.stretches, stretch), state, gained, per_kg, owed, given_kgs)
    return then, stretch


def _starts(truth):
    """Where each board stands: its moisture as drawn, or its profile at the end of the stretch before."""
    if not truth.stretches:
        return [one.board.start_mc_pct for one in truth.boards]
    history = truth.stretches[-1].history
    return [one_board(history, number) for number in range(len(truth.boards))]


def _humidity(state, pressure):
    return min(_vapor_pa(state.humidity_ratio, pressure) / _saturation_pa(state.wood_c), 1.0)


def _wet_bulb_c(dry_c, ratio, pressure):
    humidity = min(_vapor_pa(ratio, pressure) / _saturation_pa(dry_c), 1.0)
    return min(float(air.wet_bulb_c(dry_c, 100.0 * humidity, pressure)), dry_c)


class _Stack:
    """Where the boards lie in the air: speeds, what is up the stream of each, and how much air takes their water."""

    def __init__(self, plan, boards, effects):
        self.plan = plan
        streams, self.pressure_drop_pa = speeds_ms(plan, effects)
        self.stream = np.array([one.stream for one in boards])
        self.depth = np.array([one.depth for one in boards])
        self.speed_ms = np.minimum(streams[self.stream], 8.0)
        self.flow_m3s = streams * plan.stack.open_area_m2 / len(streams)
        same = self.stream[:, None] == self.stream[None, :]
        self.before = same & (self.depth[None, :] < self.depth[:, None])
        self.behind = same & (self.depth[None, :] > self.depth[:, None])
        wood = species_row(plan.wood).specific_gravity * WATER_KG_M3
        self.faces_m2 = sum(2.0 * one.ovendry_kg / wood / one.board.thickness_m for one in boards)

    def to_air(self, water_kgs, dry_c, ratio, pressure):
        """What each board gives to a kilogram of the dry air of its stream."""
        humidity = min(100.0, 100.0 * _vapor_pa(ratio, pressure) / _saturation_pa(dry_c))
        density = air_density_kgm3(dry_c, humidity, pressure) / (1.0 + ratio)
        return water_kgs / (self.flow_m3s[self.stream] * density)

    def on_the_way(self, dry_c, wet_c, ratio, per_kg):
        """Water that the air has taken up where it meets each board, and its dry bulb when it leaves the stack."""
        gained = self.before @ per_kg + self._own(self.before, dry_c, wet_c, ratio, per_kg) * per_kg
        if self.plan.reverses:
            other = self.behind @ per_kg + self._own(self.behind, dry_c, wet_c, ratio, per_kg) * per_kg
            gained = 0.5 * (gained + other)
        streams = len(self.flow_m3s)
        all_of = np.bincount(self.stream, weights=per_kg, minlength=streams)
        leaving = np.maximum(dry_bulb_after_c(dry_c, wet_c, ratio, all_of), wet_c)
        return gained, float((leaving * self.flow_m3s).sum() / self.flow_m3s.sum())

    def _own(self, before, dry_c, wet_c, ratio, per_kg):
        """Share of what a board gives that is in the air it meets itself: as in `airflow.course`, from its own NTU."""
        room = np.maximum(_ratio_at_bulbs(wet_c, wet_c, self.plan.chamber.pressure_pa) - ratio - before @ per_kg, 1e-9)
        share = np.clip(per_kg / room, 1e-6, 0.999)
        units = -np.log1p(-share)
        return np.where(units < 1e-3, 0.5, -1.0 / np.expm1(-units) - 1.0 / np.maximum(units, 1e-9))


def missing(kiln: Kiln) -> tuple[float, float]:
    """Water [kg] and heat [J] that a charge has lost sight of: zero but for rounding.

    Parameters
    ----------
    kiln : Kiln.

    Returns
    -------
    Water of the boards less bucket, vent, leaks, ice, air and what is owed [kg]; heat of the machine's balance [J].

    Raises
    ------
    Nothing.

    Source
    ------
    Conservation of heat and water; *computed*.

    Accuracy
    --------
    Exact but for rounding and the tolerance of the machine's solver.
    """
    water, heat = 0.0, 0.0
    for one in kiln.truth.stretches:
        if one.balance is not None:
            out = one.bucket_kg + one.total("frozen_kgs") - one.total("melted_kgs")
            out += one.total("leak_kgs") + one.total("vent_kgs") + one.total("air_kgs")
            water += float(one.water_kg.sum()) - out
            heat += one.total("missing_w")
    return water - kiln.truth.owed_kg, heat


def _round_to(value, step):
    return math.floor(value / step + 0.5) * step
