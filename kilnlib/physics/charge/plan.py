"""What a charge is: its wood, its load, its kiln, its season; the boards drawn from it; and what a morning decides."""

import functools
import math
import random
from dataclasses import dataclass, field, replace

import numpy as np

from kilnlib import tables
from kilnlib.errors import BadInput
from kilnlib.physics.airflow import Fan, Gaps, Stack, solve
from kilnlib.physics.arrays import whole, within
from kilnlib.physics.charge.faults import Effects, fault_of, wood_only
from kilnlib.physics.drying import Board
from kilnlib.physics.machine import Chamber, Outdoors
from kilnlib.physics.wood import ROUGH_OVER_NOMINAL, WATER_KG_M3, rough_thickness_m
from kilnlib.physics.wood import species as species_row
from kilnlib.units import BOARD_FOOT_M3, FT_M, f_to_c

NUMBERS = tables.numbers("charge")
DEPTHS = 4  # boards one behind the other, along the way of the air
HOTTEST_C = f_to_c(140.0)  # the most that the card asks for where a kiln can do more; a dial may go further
DIAL_C = (15.0, f_to_c(160.0))  # what the dry bulb of a charge can be dialed to; the kiln's own top is in `store.kiln`
START_MC_PCT = (8.0, 250.0)


@dataclass(frozen=True)
class Weather:
    """The air outside through the year: invented for Tamarack Ford, a sine with warmer and colder days.

    Parameters
    ----------
    mean_c, swing_c : mean of the year, and what the warmest part lies above it [°C].
    day_c : what the afternoon lies above the day's mean [°C].
    rh_pct : its relative humidity [%].
    """

    mean_c: float = NUMBERS["outdoor_mean"]
    swing_c: float = NUMBERS["outdoor_swing"]
    day_c: float = NUMBERS["outdoor_day"]
    rh_pct: float = NUMBERS["outdoor_rh"]

    def at(self, day_of_year: float, by_day: bool, luck: float = 0.0) -> Outdoors:
        """Outdoors by day or by night; `luck` from -1 to 1 makes the day a cold or a warm one."""
        season = -math.cos(2.0 * math.pi * (day_of_year - NUMBERS["coldest_day"]) / 365.25)
        hour = (self.day_c if by_day else -self.day_c) * 0.64  # mean of half a sine
        return Outdoors(self.mean_c + self.swing_c * season + hour + NUMBERS["outdoor_luck"] * luck, self.rh_pct)


@dataclass(frozen=True)
class Plan:
    """A charge before it starts. The defaults are Tamarack Ford's, an invented mill.

    `green_mc_pct` None takes the species' own. `board_feet` is the tally, in m³ as everywhere. `boards` are followed
    one by one, and each stands for its part of the load. `spread` 0 makes them all alike. `held_air` leaves the machine
    out: the air that goes into the stack stands at the dials, for checks.
    """

    wood: str = "red oak, northern"
    thickness: str = "4/4"
    green_mc_pct: float | None = None
    boards: int = 24
    board_feet: float = 2000.0 * BOARD_FOOT_M3
    chamber: Chamber = field(default_factory=Chamber)
    stack: Stack = field(default_factory=Stack)
    gaps: Gaps = field(default_factory=Gaps)
    fan: Fan = field(default_factory=Fan)
    start_day_of_year: int = 100
    weather: Weather = field(default_factory=Weather)
    seed: int = 1
    fault: str | None = None
    fault_day: float = 3.0
    target_pct: float = 7.0
    samples: tuple[int, ...] = ()  # numbers of the boards that are weighed; none given: placed as lesson 04 says
    reverses: bool = False
    spread: float = 1.0
    held_air: bool = False
    hottest_c: float = HOTTEST_C

    def __post_init__(self):
        whole("The count of boards", self.boards, 1, 200)
        within("The load", self.board_feet, 1e-9, 500.0, "board_feet")
        whole("The day of the year", self.start_day_of_year, 1, 366)
        within("The day of the fault", self.fault_day, 0.0, 400.0, "count")
        within("The target", self.target_pct, 4.0, 30.0, "percent")
        within("The spread", self.spread, 0.0, 3.0, "ratio")
        within("The moisture content at the start", self.start_mc_pct, *START_MC_PCT, "percent")
        if self.fault is not None:
            fault_of(self.fault)
        if any(not 0 <= number < self.boards for number in self.samples):
            raise BadInput("no_such_name", name=str(self.samples), names=f"0 – {self.boards - 1}")

    @property
    def start_mc_pct(self) -> float:
        """Mean moisture content of the load as it goes in."""
        return species_row(self.wood).green_average_pct if self.green_mc_pct is None else float(self.green_mc_pct)

    @property
    def has_mist(self) -> bool:
        """Whether the kiln has a mist made for it, so that it can add water."""
        return self.chamber.mist_kgs > 0.0

    @property
    def effects(self) -> Effects:
        """What its fault changes once it has begun; nothing without one."""
        return fault_of(self.fault).effects if self.fault else Effects()


@dataclass(frozen=True)
class Decision:
    """What is dialed for the next day, and the tests and mends made before (their codes, see `acts`)."""

    dry_bulb_c: float
    wet_bulb_c: float
    acts: tuple[str, ...] = ()
    reason: str = ""

    def __post_init__(self):
        within("Dry bulb", self.dry_bulb_c, *DIAL_C, "temperature")
        within("Wet bulb", self.wet_bulb_c, 0.0, self.dry_bulb_c, "temperature")


@dataclass(frozen=True)
class Drawn:
    """One board of the load: what it is, and where it lies."""

    board: Board
    ovendry_kg: float  # of its part of the load
    stream: int  # which of the ways of the air it lies in, from the foot up
    depth: float  # how far along the air, 0 at the edge where the air goes in
    third: int  # of the stack's length, from 0
    kind: str  # "plain", "pocket" or "thick"
    sample_ovendry_kg: float  # of a sample board cut from it
    section_error: float  # error that its two sections leave in the calculated oven-dry weight, as a share of it


@functools.lru_cache(maxsize=64)
def draw(plan: Plan) -> tuple[Drawn, ...]:
    """The boards of a charge: same plan, same boards, on every machine.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Drawn, one a board: the stream and the place in it go round as they are counted.

    Raises
    ------
    NotFound : a wood or a thickness without data.

    Source
    ------
    Spreads in tables/charge.csv, our own choice, *common practice*; the generator is the standard library's, whose
    `random` gives the same numbers for the same seed.

    Accuracy
    --------
    No load was measured for it.
    """
    dice = random.Random(plan.seed)
    wood, thickness_m = species_row(plan.wood), rough_thickness_m(plan.thickness)
    rough = plan.board_feet * ROUGH_OVER_NOMINAL * wood.specific_gravity * WATER_KG_M3 / plan.boards
    wrong = wood_only(plan.effects)
    odd = {kind: round(getattr(wrong, kind) * plan.boards) for kind in ("pockets", "thick")}
    order = sorted(range(plan.boards), key=lambda _: dice.random())
    boards = []
    for number in range(plan.boards):
        density, green, error = (plan.spread * _bell(dice) for _ in range(3))
        heavy = 1.0 + NUMBERS["density_spread"] * density
        mc = plan.start_mc_pct * (1.0 + NUMBERS["green_spread"] * green)
        kind = "pocket" if order[number] < odd["pockets"] else "thick" if order[number] < odd["thick"] else "plain"
        thick = NUMBERS["thick_board"] if kind == "thick" else 1.0
        pace = heavy ** -NUMBERS["pace_by_density"]
        if kind == "pocket":
            mc, pace = mc * NUMBERS["pocket_mc"], pace * NUMBERS["pocket_pace"]
        board = Board(plan.wood, thickness_m * thick, round(mc, 2), rate_factor=round(pace, 4))
        stream, place = divmod(number, DEPTHS)
        depth = (place + 0.5) / min(DEPTHS, plan.boards)
        sample = NUMBERS["sample_length"] * NUMBERS["sample_width"] * board.thickness_m * FT_M * FT_M
        sample *= wood.specific_gravity * heavy * WATER_KG_M3
        error = NUMBERS["section_error"] * error
        boards.append(Drawn(board, rough * heavy * thick, stream, depth, stream % 3, kind, sample, error))
    return tuple(boards)


def _bell(dice):
    """A number of a bell curve about 0, standard deviation 1: a sum of twelve throws, the same on any machine."""
    return sum(dice.random() for _ in range(12)) - 6.0


def sample_numbers(plan: Plan) -> tuple[int, ...]:
    """Numbers of the boards that are weighed: those asked for, or both edges of the foot, the middle and the top.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Numbers, from 0.

    Raises
    ------
    Nothing.

    Source
    ------
    Samples on both edges and at several heights: *common practice*.

    Accuracy
    --------
    Exact.
    """
    if plan.samples:
        return plan.samples
    last = plan.boards - 1
    streams = [0, last // DEPTHS // 2, last // DEPTHS]
    ends = (0, min(DEPTHS, plan.boards) - 1)
    numbers = [min(stream * DEPTHS + place, last) for stream in streams for place in ends]
    return tuple(dict.fromkeys(numbers))


def outdoors_of(plan: Plan, day: int, by_day: bool) -> Outdoors:
    """The air outside on a day of the charge, by day or by night.

    Parameters
    ----------
    plan : Plan.
    day : day of the charge, from 0.
    by_day : the warm half of the day, or the cold one.

    Returns
    -------
    Outdoors.

    Raises
    ------
    Nothing.

    Source
    ------
    `Weather`, with each day's luck drawn from the seed; invented, *common practice*.

    Accuracy
    --------
    The shape of a year; no place's.
    """
    luck = 2.0 * random.Random(plan.seed * 1000 + day).random() - 1.0
    return plan.weather.at(plan.start_day_of_year + day, by_day, luck)


def speeds_ms(plan: Plan, effects: Effects) -> tuple[np.ndarray, float]:
    """Air speed between the stickers of each stream [m/s], from the foot up, and the mean pressure across the load.

    Parameters
    ----------
    plan : Plan.
    effects : what is wrong.

    Returns
    -------
    Speeds [m/s] and pressure [Pa].

    Raises
    ------
    OutOfRange : as `airflow.solve`.

    Source
    ------
    `airflow.solve`; *computed*.

    Accuracy
    --------
    As `airflow.solve`; solved once for the kiln's usual air.
    """
    streams = (plan.boards - 1) // DEPTHS + 1
    return _speeds(plan.stack, plan.gaps, plan.fan, streams, effects.fan_speed, effects.third_speed, effects.baffles)


@functools.lru_cache(maxsize=64)
def _speeds(stack, gaps, fan, streams, fan_speed, third_speed, baffles):
    covers = {f"{where}_baffle_pct": getattr(gaps, f"{where}_baffle_pct") * baffles for where in ("above", "end")}
    fans = replace(fan, speed_pct=max(fan.speed_pct * fan_speed, 5.0))
    flow = solve(stack, replace(gaps, **covers), fans)
    courses = np.array(flow.course_speed_ms)
    speeds = np.array([part.mean() for part in np.array_split(courses, streams)])
    speeds[np.arange(streams) % 3 == 0] *= third_speed
    return speeds, flow.pressure_pa
