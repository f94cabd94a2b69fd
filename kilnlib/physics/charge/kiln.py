"""A kiln that answers: the boards, the air on its way through the stack, and the machine, half a day at a time.

Within a stretch of hours three things must fit: the boards dry in the air that meets them (`drying`), the air takes up
on its way what they give (`airflow`), and the control runs the machine minute by minute on that water (`machine.run`).
To the machine the boards are a straight line, so much water and less of it in wetter air; to the boards the air of a
stretch is its mean. They are gone through in turn until the machine took what the boards gave. What is left between the
two is owed to the next stretch, so that nothing is lost.

A Kiln is frozen: keeping an older one is all there is to Undo.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.air import WATER_TO_AIR
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.stack_air import dry_bulb_after_c
from kilnlib.physics.charge.faults import THAWS, Effects, act_of, fault_of, wood_only
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, draw, outdoors_of, speeds_ms
from kilnlib.physics.charge.readings import Morning, morning
from kilnlib.physics.conditioning.charge import one_board
from kilnlib.physics.drying import History, Step, dry
from kilnlib.physics.machine import (
    MIST_J_KG,
    Balance,
    Chamber,
    Outdoors,
    Running,
    Setting,
    State,
    ratio_at_bulbs,
    run,
    saturation_pa,
    vapor_pa,
)
from kilnlib.physics.wood import WATER_KG_M3
from kilnlib.physics.wood import species as species_row
from kilnlib.units import DAY_S

HALVES_H = (12.0, 12.0)
FIRST_DAY_H = (2.0, 4.0, 6.0, 12.0)
MOVES_K, WAY_K, ROUNDS = 0.3, 0.1, 4  # air that moves less stands still; and what one board cools it on its way
FIRST_STEP_H, TOLERANCE_PCT = 1.5, 0.4  # of the boards' drying: half a day goes on from much the same air
COOLED_K = 2400.0  # a kilogram of water that evaporates into a kilogram of air would cool it by about this
FIRST_SLOPE = 0.1  # points of moisture content over 100 that a day of bone-dry air would take, before it is known
SOAKS = 0.4  # share of the water in the air, taken as a kilogram a cubic meter, that wood takes in a minute at most
MINUTE_S = 60.0
AGREE = 0.01  # share of the boards' water by which the machine may miss it before it runs once more
FADES = (0.7, 1.1)  # what boards may give in a stretch beside the one before, in the same air, as it is guessed
LEARNED_FROM = 0.004  # two rounds whose relative humidity differs by more tell how the boards answer to it
MILL_C = 15.0  # wood and kiln as they are loaded, or the air outdoors where that is warmer
BELT_POWER = 2.0  # under a slipping belt the motor keeps its speed, and the fan resists as the square of its own
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
    balance: Balance | None  # mean flows of all its minutes
    running: Running  # each part's share of them
    starts: int  # of the compressor
    bulb_readings_c: tuple[float, float]
    outdoors: Outdoors
    mist_kg: float = 0.0  # water that a mist brought

    def total(self, name: str) -> float:
        """One flow of the balance over the stretch [J or kg]; nothing where the air was held."""
        return 0.0 if self.balance is None else float(getattr(self.balance, name)) * 3600.0 * self.hours

    @property
    def bucket_kg(self) -> float:
        """Water that reached the bucket."""
        return self.total("drained_kgs")

    @property
    def electricity_kwh(self) -> float:
        """What the meter counted."""
        return sum(self.total(name) for name in ("compressor_w", "strips_w", "fans_w")) / 3.6e6


@dataclass(frozen=True)
class Gives:
    """What all boards give in a stretch: a straight line over the humidity of the air at the wood."""

    water_kgs: float
    humidity: float  # vapor pressure over that of full air at the wood's temperature, where they give it
    slope_kgs: float  # how much more they give where it is 1 less
    fades: float = 1.0  # what they give beside the same half of the day before in the same air

    def at(self, humidity: float) -> float:
        """Water in air of another humidity [kg/s]; below 0 where the wood takes some."""
        return self.water_kgs + self.slope_kgs * (self.humidity - humidity)


@dataclass(frozen=True, eq=False)
class Truth:
    """How the charge really stands, which the operator does not see."""

    boards: tuple[Drawn, ...]
    stretches: tuple[Stretch, ...]
    state: State
    per_kg: np.ndarray  # water each board gave to a kilogram of air of its stream in the last stretch
    owed_kg: float
    gives: tuple["Gives", "Gives"]  # in the last two stretches

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
    slope_kgs = sum(one.ovendry_kg for one in boards) * FIRST_SLOPE / DAY_S
    gives = Gives(0.0, _humidity(state.humidity_ratio, state.wood_c, plan.chamber.pressure_pa), slope_kgs)
    kiln = Kiln(plan, 0, Truth(boards, (), state, nothing, 0.0, (gives, gives)), (), ())
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
    `drying.dry`, `airflow`, `machine.run`; *computed*.

    Accuracy
    --------
    Heat and water close to one part in 1e6 over a charge, and with one board in held air it is `drying` itself
    (tests/physics/charge). The machine runs by the minute; to the boards the air of half a day is its mean. The control
    forgets at noon and in the morning what it had on, and a high limit that tripped is then reset. A game that keeps
    the laws, not a forecast of any kiln; no measured charge stands behind the whole.
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
    """The load as the machine sees it: what the boards give, and what is owed."""

    def __init__(self, ovendry_kg, faces_m2, gives, owed_kgs, chamber):
        self.ovendry_kg, self.faces_m2 = ovendry_kg, faces_m2
        self._gives, self._owed_kgs = gives, owed_kgs
        self._soaks = SOAKS * chamber.free_air_m3 * WATER_TO_AIR / chamber.pressure_pa / MINUTE_S

    def water_kgs(self, mc_pct, wood_c, vapor_pa, full_pa):
        """Water that goes into the air [kg/s]; of the air's own it never takes more than a part in a minute."""
        line = self._gives  # its `at`, written out: it is asked for twice a minute
        gives_kgs = line.water_kgs + line.slope_kgs * (line.humidity - vapor_pa / full_pa)
        return max(self._owed_kgs + gives_kgs, -self._soaks * vapor_pa)


@dataclass(frozen=True)
class _MisreadSetting(Setting):
    """A setting whose bulbs may lie: the water in the air at which the wet bulb shows what is dialed."""

    wick: float = 1.0
    wet_offset_k: float = 0.0
    dry_offset_k: float = 0.0

    def ratio(self, dry_bulb_c, over_k, pressure_pa):
        """Water in air of this true dry bulb that shows `over_k` above the wet-bulb setting [kg/kg]."""
        wanted = self.wet_bulb_c + over_k - self.wet_offset_k
        wet = wanted if self.wick == 1.0 else dry_bulb_c - (dry_bulb_c - wanted) / self.wick
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
        mist_kgs=0.0 if effects.swapped else chamber.mist_kgs,  # to crossed leads the air is never too dry
        machine=replace(
            machine,
            coil_air_m3s=machine.coil_air_m3s * effects.coil_air,
            drained=machine.drained * (1.0 - effects.drained_back),
        ),
        leak_m3s=chamber.leak_m3s + effects.leak_cfm * 0.3048**3 / 60.0,
        fans_w=chamber.fans_w * effects.fan_speed**BELT_POWER,
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
    """One stretch: machine and boards gone through in turn until they agree."""
    pressure, seconds = plan.chamber.pressure_pa, 3600.0 * hours
    place = _Stack(plan, truth.boards, effects)
    boards = [replace(one.board, start_mc_pct=mc) for one, mc in zip(truth.boards, _starts(truth), strict=True)]
    ovendry = np.array([one.ovendry_kg for one in truth.boards])
    if plan.held_air:
        machine = _HeldAir(plan, decision)
    else:
        machine = _Minutes(plan, truth, decision, effects, outside, hours, place.faces_m2)
    per_kg = truth.per_kg * machine.fades
    for _ in range(ROUNDS):
        dry_c, ratio = machine.dry_c, machine.ratio
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
        water = history.lost_pct[-1] * ovendry / 100.0
        fresh = place.to_air(water / seconds, dry_c, ratio, pressure)
        on_the_way = float(np.abs(fresh - per_kg).max()) * COOLED_K
        per_kg = 0.5 * (fresh + per_kg) if on_the_way > 1.0 else fresh
        if machine.moves(float(water.sum()) / seconds) < MOVES_K and on_the_way < WAY_K:
            break
        per_kg = per_kg * machine.more()
    dry_c, wet_c = machine.dry_c, _wet_bulb_c(machine.dry_c, machine.ratio, pressure)
    state, balance, running, starts, mist_kg = machine.ended()
    stretch = Stretch(
        hours, history, met, place.speed_ms, dry_c, wet_c, min(leaving, dry_c), water, balance,
        running, starts, bulb_readings_c(dry_c, wet_c, effects), outside, mist_kg,
    )  # fmt: skip
    owed_kg = truth.owed_kg + float(water.sum()) - machine.taken_kgs * seconds if balance else 0.0
    gives = truth.gives[1], machine.gives
    return Truth(truth.boards, (*truth.stretches, stretch), state, per_kg, owed_kg, gives), stretch


class _HeldAir:
    """Air that stands at the dials whatever the boards give."""

    fades, taken_kgs = 1.0, 0.0

    def __init__(self, plan, decision):
        self.dry_c = decision.dry_bulb_c
        self.ratio = ratio_at_bulbs(self.dry_c, decision.wet_bulb_c, plan.chamber.pressure_pa)
        self.start = State(self.dry_c, self.ratio, self.dry_c, plan.start_mc_pct)
        self.gives = Gives(0.0, 0.0, 0.0)

    def ended(self):
        """State, flows, running and starts: none but the air."""
        return self.start, None, Running(), 0, 0.0

    def moves(self, water_kgs):
        """It does not."""
        return 0.0

    def more(self):
        """Nor do the boards give more for it."""
        return 1.0


class _Minutes:
    """The machine's minutes on what the boards give, and what they are thought to give in another air."""

    def __init__(self, plan, truth, decision, effects, outside, hours, faces_m2):
        wood_kg = sum(one.ovendry_kg for one in truth.boards)
        mean_pct = float(truth.mc_pct @ np.array([one.ovendry_kg for one in truth.boards])) / wood_kg
        self.chamber, self.setting, self.outside = _chamber(plan, effects), _setting(decision, effects), outside
        self.wood = wood_kg, float(faces_m2)
        self.hours, self.owed_kgs = hours, truth.owed_kg / (3600.0 * hours)
        self.start = replace(truth.state, mc_pct=mean_pct)
        self.alike = [one.hours for one in truth.stretches[-2:]] == [hours, hours]  # a half of the day before
        self.usual = truth.gives[0 if self.alike else 1]
        self.gave, self.fades = None, self.usual.fades if self.alike else 1.0
        self.gives = replace(
            self.usual, water_kgs=self.usual.water_kgs * self.fades, slope_kgs=truth.gives[1].slope_kgs
        )
        self._run()

    def _run(self):
        load = _Wood(*self.wood, self.gives, self.owed_kgs, self.chamber)
        found = run(self.chamber, load, self.start, self.setting, self.outside, self.hours)
        self.found, self.taken_kgs = found, found.taken_kgs
        self.dry_c, self.ratio, self.humidity = found.mean_air()

    def moves(self, water_kgs):
        """How far the air moves [K] where the machine must run again, for the boards gave something else."""
        before, dry_c, ratio, humidity = self.gave, self.dry_c, self.ratio, self.humidity
        off_kgs = water_kgs - (self.taken_kgs - self.owed_kgs)
        slope_kgs = self.gives.slope_kgs
        if before is not None and abs(humidity - before.humidity) > LEARNED_FROM:
            learned = (water_kgs - before.water_kgs) / (before.humidity - humidity)
            slope_kgs = float(np.clip(learned, slope_kgs / 4.0, slope_kgs * 4.0))
        self.gave = self.gives = Gives(water_kgs, humidity, slope_kgs, self._fades(water_kgs, humidity))
        if abs(off_kgs) <= AGREE * abs(water_kgs):
            return 0.0
        self._run()
        return max(abs(self.dry_c - dry_c), COOLED_K * abs(self.ratio - ratio))

    def ended(self):
        """State at the end, mean flows, each part's share, and starts of the compressor."""
        found = self.found
        flows, shares = found.flows.mean(axis=0).tolist(), found.shares.mean(axis=0).tolist()
        return found.end, Balance(*flows, None), Running(*shares), len(found.starts_s), found.mist_kg

    def more(self):
        """How much more the boards are thought to give in the air that was just found than they gave."""
        if self.gives.water_kgs <= 0.0:
            return 1.0
        return float(np.clip((self.taken_kgs - self.owed_kgs) / self.gives.water_kgs, 0.25, 4.0))

    def _fades(self, water_kgs, humidity):
        """What the boards gave beside what they usually would have in the same air."""
        usual_kgs = self.usual.at(humidity)
        return float(np.clip(water_kgs / usual_kgs, *FADES)) if self.alike and usual_kgs > 0.0 else 1.0


def _humidity(ratio, wood_c, pressure):
    """Vapor pressure of the air over that of full air at the wood."""
    return vapor_pa(ratio, pressure) / saturation_pa(wood_c)


def _starts(truth):
    """Where each board stands: its moisture as drawn, or its profile at the end of the stretch before."""
    if not truth.stretches:
        return [one.board.start_mc_pct for one in truth.boards]
    history = truth.stretches[-1].history
    return [one_board(history, number) for number in range(len(truth.boards))]


@functools.lru_cache(maxsize=8)  # an air that stood still is asked for again
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
    Water of boards and mist less bucket, vent, leaks, ice, air and what is owed [kg]; heat of the balance [J].

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
            out += one.total("leak_kgs") + one.total("vent_kgs") + one.total("air_kgs") - one.total("faces_kgs")
            out -= one.mist_kg  # the flows of air hold it, and the heat that it brought
            water += float(one.water_kg.sum()) - out
            heat += one.total("missing_w") + one.mist_kg * MIST_J_KG
    return water - kiln.truth.owed_kg, heat
