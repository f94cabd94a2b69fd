"""A kiln that answers: the boards, the air on its way through the stack, and the machine, half a day at a time.

Within a stretch of hours three things must fit: the boards dry in the air that meets them (`drying`), the air takes up
on its way what they give (`airflow`), and the machine settles where that water and its own heat balance (`machine`).
They are gone through in turn until the air no longer moves. What is left between the water of the boards and that of
the machine is carried over and owed to the next stretch, so that nothing is lost.

A Kiln is frozen: keeping an older one is all there is to Undo.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.stack_air import dry_bulb_after_c
from kilnlib.physics.arrays import falling_root
from kilnlib.physics.charge.faults import THAWS, Effects, act_of, fault_of, wood_only
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, draw, outdoors_of, speeds_ms
from kilnlib.physics.charge.readings import Morning, morning
from kilnlib.physics.conditioning.charge import one_board
from kilnlib.physics.drying import History, Step, dry
from kilnlib.physics.machine import (
    Balance,
    Chamber,
    Outdoors,
    Running,
    Setting,
    State,
    ratio_at_bulbs,
    saturation_pa,
    settle,
    vapor_pa,
)
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.physics.wood import species as species_row
from kilnlib.units import DAY_S

HALVES_H = (12.0, 12.0)
FIRST_DAY_H = (2.0, 4.0, 6.0, 12.0)
MOVES_K, WAY_K, ROUNDS = 0.3, 0.1, 4  # air that moves less has settled; and what one board cools it on its way
FIRST_STEP_H, TOLERANCE_PCT = 1.5, 0.4  # of the boards' drying: half a day goes on from much the same air
COOLED_K = 2400.0  # a kilogram of water that evaporates into a kilogram of air would cool it by about this
FIRST_SLOPE = 0.1  # points of moisture content over 100 that a day of bone-dry air would take, before it is known
AGREE = 0.01  # share of the boards' water by which the machine may miss it before it is settled once more
PAN_KGS, MOST_PAN_KGS = 5e-5, 1.0  # how closely the water that comes back from a pan is looked for, and its bound
LEARNED_FROM = 0.004  # two rounds whose relative humidity differs by more tell how the boards answer to it
MILL_C = 15.0  # wood and kiln as they are loaded, or the air outdoors where that is warmer
FAN_POWER = 3.0  # the fans take power as the third power of their speed
HOTTEST_HELD_C = 68.0  # where swapped leads drive the kiln: just under its high limit


@dataclass(frozen=True, eq=False)
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
    bulb_readings_c: tuple[float, float]
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


@dataclass(frozen=True, eq=False)
class Truth:
    """How the charge really stands, which the operator does not see."""

    boards: tuple[Drawn, ...]
    stretches: tuple[Stretch, ...]
    state: State
    per_kg: np.ndarray  # water each board gave to a kilogram of air of its stream in the last stretch
    owed_kg: float
    water_kgs: float  # what all of them gave in that stretch
    slope_kgs: float  # how much more they give where the relative humidity is 1 less

    @property
    def mc_pct(self) -> np.ndarray:
        """Moisture content of every board."""
        if not self.stretches:
            return np.asarray([one.board.start_mc_pct for one in self.boards], dtype=float)
        return self.stretches[-1].history.average_pct[-1]

    @property
    def hours(self) -> float:
        """How long the charge has run."""
        return sum(stretch.hours for stretch in self.stretches)


@dataclass(frozen=True, eq=False)
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
    kiln = Kiln(plan, 0, Truth(boards, (), state, nothing, 0.0, 0.0, 0.0), (), ())
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
    (tests/physics/charge). The air of half a day is taken as one: what swings within it is not seen, and bucket and
    kWh of a day of wet wood may be far from those by the minute, see `settle`. A game that keeps the laws, not a
    forecast of any kiln; no measured charge stands behind the whole.
    """
    for code in decision.acts:
        act_of(code)
    fault, mended = kiln.plan.fault, kiln.mended_day
    begun = fault is not None and kiln.day >= kiln.plan.fault_day
    if begun and mended is None and fault_of(fault or "").mended_by in decision.acts:
        mended = kiln.day
    kiln = replace(kiln, mended_day=mended)
    effects, truth = kiln.effects, kiln.truth
    if THAWS in decision.acts:  # its water has run down the drain before the day begins
        truth = replace(truth, state=replace(truth.state, ice_kg=0.0))
    parts = FIRST_DAY_H if kiln.day == 0 else HALVES_H
    clock, new = 0.0, []
    for hours in parts:
        outside = outdoors_of(kiln.plan, kiln.day, by_day=clock < 12.0)
        truth, stretch = _stretch(kiln.plan, truth, decision, effects, outside, hours)
        new.append(stretch)
        clock += hours
    lost = sum(stretch.water_kg for stretch in new)
    read = morning(kiln.plan, kiln.day + 1, truth.boards, truth.mc_pct, tuple(new), new[-1].bulb_readings_c, lost)
    return Kiln(kiln.plan, kiln.day + 1, truth, (*kiln.log, read), (*kiln.decisions, decision), mended)


def replay(plan: Plan, decisions: Sequence[Decision]) -> Kiln:
    """A charge worked out again from its plan and its decisions, which are all that has to be stored of it.

    Parameters
    ----------
    plan : Plan.
    decisions : one for each day.

    Returns
    -------
    Kiln on the morning after the last of them.

    Raises
    ------
    As `next_day`.

    Source
    ------
    `next_day`; *computed*.

    Accuracy
    --------
    The same log on the same machine; on another one to the decimals that are written down.
    """
    kiln = start(plan)
    for decision in decisions:
        kiln = next_day(kiln, decision)
    return kiln


class _Wood:
    """The load as the machine sees it: the water that the boards gave, more of it in drier air and less in wetter."""

    def __init__(self, ovendry_kg, faces_m2, water_kgs, humidity, answers_kgs):
        self.ovendry_kg, self.faces_m2 = ovendry_kg, faces_m2
        self._water, self._humidity, self._answers = water_kgs, humidity, answers_kgs

    def water_kgs(self, mc_pct, wood_c, vapor_pa):
        """Water that goes into the air [kg/s]; below 0 where the wood takes some."""
        return self._water + self._answers * (self._humidity - vapor_pa / saturation_pa(wood_c))


@dataclass(frozen=True)
class _MisreadSetting(Setting):
    """A setting whose bulbs may lie: the water in the air at which the wet bulb shows what is dialed."""

    wick: float = 1.0
    wet_offset_k: float = 0.0
    dry_offset_k: float = 0.0

    def ratio(self, dry_bulb_c, over_k, pressure_pa):
        """Water in air of this true dry bulb that shows `over_k` above the wet-bulb setting [kg/kg]."""
        wanted = self.wet_bulb_c + over_k - self.wet_offset_k
        wet = dry_bulb_c - (dry_bulb_c - wanted) / self.wick
        return ratio_at_bulbs(dry_bulb_c, max(wet, -20.0), pressure_pa)


def _setting(decision, effects):
    """What the control holds, in true air."""
    held = {name: getattr(effects, name) for name in ("compressor", "strips", "vent")}
    held = {name: value for name, value in held.items() if value is not None}
    dry, wet = decision.dry_bulb_c, decision.wet_bulb_c
    if effects.swapped:  # heat until the wet bulb reaches the dry one's setting; the compressor is always called
        held |= {"compressor": 1.0, "vent": 0.0}
        dry = HOTTEST_HELD_C
    return _MisreadSetting(
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


def bulb_readings_c(dry_bulb_c: float, wet_bulb_c: float, effects: Effects) -> tuple[float, float]:
    """What the two bulbs say in this air.

    Parameters
    ----------
    dry_bulb_c, wet_bulb_c : true bulbs [°C].
    effects : what is wrong.

    Returns
    -------
    What is read off the dry and the wet bulb [°C].

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
    pressure, seconds = plan.chamber.pressure_pa, 3600.0 * hours
    place = _Stack(plan, truth.boards, effects)
    boards = [replace(one.board, start_mc_pct=mc) for one, mc in zip(truth.boards, _starts(truth), strict=True)]
    answer = _Answer(plan, truth, decision, effects, outside, hours, place.faces_m2)
    per_kg = truth.per_kg
    for _ in range(ROUNDS):
        dry_c, ratio = answer.dry_c, answer.ratio
        wet_c = _wet_bulb_c(dry_c, ratio, pressure)
        gained, leaving = place.on_the_way(dry_c, wet_c, ratio, per_kg)
        met = np.clip(dry_bulb_after_c(dry_c, wet_c, ratio, gained), wet_c, max(dry_c, wet_c))
        history = dry(
            boards,
            [Step(tuple(met), wet_c, None, hours, tuple(place.speed_ms))],
            pressure,
            TOLERANCE_PCT,
            first_h=FIRST_STEP_H,
        )
        water = history.lost_pct[-1] * answer.ovendry / 100.0
        fresh = place.to_air(water / seconds, dry_c, ratio, pressure)
        on_the_way = float(np.abs(fresh - per_kg).max()) * COOLED_K
        per_kg = 0.5 * (fresh + per_kg) if on_the_way > 1.0 else fresh
        if answer.moves(float(water.sum()) / seconds) < MOVES_K and on_the_way < WAY_K:
            break
        per_kg = per_kg * answer.more()
    answer.agree(float(water.sum()) / seconds)
    dry_c, ratio = answer.dry_c, answer.ratio
    wet_c = _wet_bulb_c(dry_c, ratio, pressure)
    stretch = Stretch(
        hours, history, met, place.speed_ms, dry_c, wet_c, min(leaving, dry_c), water, answer.pan_kgs * seconds,
        answer.balance, answer.running, bulb_readings_c(dry_c, wet_c, effects), outside,
    )  # fmt: skip
    owed = answer.owed_kg(float(water.sum()))
    then = Truth(truth.boards, (*truth.stretches, stretch), answer.state, per_kg, owed, answer.water_kgs, answer.slope)
    return then, stretch


class _Answer:
    """Settles the machine on the water of the boards, and learns on the way how that water follows from the air."""

    def __init__(self, plan, truth, decision, effects, outside, hours, faces_m2):
        self.plan, self.truth, self.outside, self.hours = plan, truth, outside, hours
        self.chamber, self.setting = _chamber(plan, effects), _setting(decision, effects)
        self.back, self.faces_m2, self.owed = effects.drained_back, float(faces_m2), truth.owed_kg / (3600.0 * hours)
        self.ovendry = np.array([one.ovendry_kg for one in truth.boards])
        self.wood_kg = float(self.ovendry.sum())
        self.start = replace(truth.state, mc_pct=float(truth.mc_pct @ self.ovendry) / self.wood_kg)
        self.state, self.balance, self.running = truth.state, None, Running()
        last = truth.stretches[-1] if truth.stretches else None
        self.pan_kgs = last.pan_kg / (3600.0 * last.hours) if last and self.back else 0.0
        self.slope, self.water_kgs, self.humidity = truth.slope_kgs, truth.water_kgs, None
        self.dry_c, self.ratio = truth.state.dry_bulb_c, truth.state.humidity_ratio
        if plan.held_air:
            self.dry_c = decision.dry_bulb_c
            self.ratio = ratio_at_bulbs(self.dry_c, decision.wet_bulb_c, plan.chamber.pressure_pa)
        else:  # the answer to the water of the stretch before is a good first guess
            self.slope = self.slope or self.wood_kg * FIRST_SLOPE / DAY_S
            self._settle(self.water_kgs, self._stands())

    def moves(self, water_kgs):
        """How far the air moves [K] when the boards give so much."""
        if self.plan.held_air:
            self.water_kgs = water_kgs
            return 0.0
        dry_c, ratio, stood = self.dry_c, self.ratio, self._stands()
        if self.humidity is not None and abs(stood - self.humidity) > LEARNED_FROM:
            slope = (water_kgs - self.water_kgs) / (self.humidity - stood)
            self.slope = float(np.clip(slope, self.slope / 4.0, self.slope * 4.0))
        self.water_kgs, self.humidity = water_kgs, stood
        self._settle(water_kgs, stood)
        return max(abs(self.dry_c - dry_c), COOLED_K * abs(self.ratio - ratio))

    def more(self):
        """How much more the boards are thought to give in the air that was just found than they gave."""
        if self.balance is None or self.water_kgs <= 0.0:
            return 1.0
        return float(np.clip((self.balance.wood_kgs - self.owed - self.pan_kgs) / self.water_kgs, 0.25, 4.0))

    def agree(self, water_kgs):
        """Settle once more where the machine took noticeably more or less than the boards gave."""
        if self.balance is not None:
            taken = self.balance.wood_kgs - self.owed - self.pan_kgs
            if abs(taken - water_kgs) > AGREE * abs(water_kgs):
                self._settle(water_kgs, self._stands())

    def owed_kg(self, water_kg):
        """Water that the boards and the pan gave and the machine has not yet had."""
        if self.balance is None:
            return 0.0
        seconds = 3600.0 * self.hours
        return self.truth.owed_kg + water_kg + (self.pan_kgs - self.balance.wood_kgs) * seconds

    def _settle(self, water_kgs, humidity):
        """The machine's answer; behind a blocked drain with the water that comes back from the pan."""
        if not self.back:
            self._settle_with(0.0, water_kgs, humidity)
            return

        def more(pan_kgs):
            self._settle_with(pan_kgs, water_kgs, humidity)
            return self.back * self.balance.drained_kgs - pan_kgs

        near = max(self.pan_kgs, self.back * water_kgs, PAN_KGS)
        pan_kgs = falling_root(more, 0.0, MOST_PAN_KGS, PAN_KGS, 1.0, near=(near, 0.07 * near))
        if pan_kgs != self.pan_kgs:
            self._settle_with(pan_kgs, water_kgs, humidity)

    def _settle_with(self, pan_kgs, water_kgs, humidity):
        self.pan_kgs = pan_kgs
        load = _Wood(self.wood_kg, self.faces_m2, water_kgs + self.owed + pan_kgs, humidity, self.slope)
        self.state, self.balance, self.running = settle(
            self.chamber, load, self.start, self.setting, self.outside, self.hours, (self.state, self.running)
        )
        self.dry_c, self.ratio = self.state.dry_bulb_c, self.state.humidity_ratio

    def _stands(self):
        """Humidity of the air at the wood."""
        return vapor_pa(self.state.humidity_ratio, self.plan.chamber.pressure_pa) / saturation_pa(self.state.wood_c)


def _starts(truth):
    """Where each board stands: its moisture as drawn, or its profile at the end of the stretch before."""
    if not truth.stretches:
        return [one.board.start_mc_pct for one in truth.boards]
    history = truth.stretches[-1].history
    return [one_board(history, number) for number in range(len(truth.boards))]


def _wet_bulb_c(dry_c, ratio, pressure):
    humidity = min(vapor_pa(ratio, pressure) / saturation_pa(dry_c), 1.0)
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
        humidity = min(100.0, 100.0 * vapor_pa(ratio, pressure) / saturation_pa(dry_c))
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
        """Share of a board's own water in the air it meets, by its number of transfer units, as in `airflow.course`."""
        room = np.maximum(ratio_at_bulbs(wet_c, wet_c, self.plan.chamber.pressure_pa) - ratio - before @ per_kg, 1e-9)
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
