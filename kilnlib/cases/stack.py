"""The kiln at Tamarack Ford with its gaps opened and closed: what the stack panel, the presenter and the questions ask.

The chamber stays as it is: thinner stickers or fewer courses lower the stack and leave a wider gap above it, and a load
pushed in too wide leaves less plenum. Days and temperature drop are those of one kind of wood in one air, see
`course_days`: they compare, and forecast nothing. A board between two unlike spaces takes the mean of their days.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from kilnlib.physics.airflow import AIR_C, AIR_RH_PCT, Airflow, Fan, Gaps, Stack, course_days, solve
from kilnlib.units import FT_M, IN_M

FULL = Stack()
UNDER_M = Gaps().under_m
DECK_M = UNDER_M + FULL.height_m + Gaps().above_m  # floor to fan deck
INSIDE_M = FULL.width_m + 2 * FULL.plenum_width_m
SHORT_COURSES = 30
WIDE_M = 12 * FT_M
THIN_EVERY, THIN_SHARE = 3, 0.5  # mixed stickers: each third space, half as thick
WEIGH_ROUNDS = 4  # speed and drop know each other after so many: to 0.1 % of a speed
LOADS = ("full", "short", "mixed", "overfull")
GAPS = ("above", "ends", "under")
FAULTS = ("mixed", "askew", "hole", "lane")  # in how the load is put up, no gap round it open; "mixed" is a load too
ASKEW_M, HOLE_M, LANE_M = 6 * IN_M, 12 * IN_M, 3 * IN_M  # a hole is as high as wide, a lane as high as the load


@dataclass(frozen=True)
class State:
    """The load (of LOADS or FAULTS), the stickers, the fans, and which gaps stand open."""

    load: str = "full"
    sticker_thickness_m: float = 0.75 * IN_M
    fan_speed_pct: float = 100.0
    above: bool = False
    ends: bool = False
    under: bool = False
    end_m: float = Gaps().end_m  # how far each end stands from the wall

    @property
    def open_gaps(self) -> tuple[str, ...]:
        """Names of the gaps that stand open."""
        return tuple(name for name in GAPS if getattr(self, name))


@dataclass(frozen=True)
class Result:
    """Where the air goes, and what the wood pays."""

    state: State
    stack: Stack
    gaps: Gaps
    flow: Airflow
    temperature_drop_c: float  # of all the air that goes through the stack, with the wood at 60 %
    best_days: float
    worst_days: float
    worst_mc_pct: float  # of the worst boards when the best are done
    load_days: dict[int, float]  # to each moisture content, mean of all boards

    @property
    def wet_days(self) -> float:
        """Days while the wood is wet: until the boards average 60 %."""
        return self.load_days[course_days.WET_PCT]

    def share_pct(self, opening: str) -> float:
        """Share of all the air that takes an opening [%]."""
        return 100.0 * self.flow.opening(opening).flow_m3s / self.flow.total_flow_m3s


def stack_of(state: State) -> Stack:
    """The load as a Stack."""
    courses = SHORT_COURSES if state.load == "short" else FULL.courses
    width = WIDE_M if state.load == "overfull" else FULL.width_m
    thick = state.sticker_thickness_m
    stickers: float | tuple[float, ...] = thick
    if state.load == "mixed":
        stickers = tuple(thick * (THIN_SHARE if i % THIN_EVERY == 1 else 1.0) for i in range(courses))
    askew = ASKEW_M if state.load == "askew" else 0.0
    plenum = (INSIDE_M - width) / 2
    return Stack(courses, width_m=width, sticker_thickness_m=stickers, plenum_width_m=plenum, sticker_askew_m=askew)


def gaps_of(state: State, stack: Stack) -> Gaps:
    """The gaps around the stack, baffled where they are shut."""
    shut = {name: 0.0 if getattr(state, name) else 100.0 for name in GAPS}
    lane_m, lane_height_m = {"hole": (HOLE_M, HOLE_M), "lane": (LANE_M, stack.height_m)}.get(state.load, (0.0, 0.0))
    return Gaps(
        above_m=DECK_M - UNDER_M - stack.height_m,
        under_m=UNDER_M,
        above_baffle_pct=shut["above"],
        under_baffle_pct=shut["under"],
        end_m=state.end_m,
        end_baffle_pct=shut["ends"],
        lane_m=lane_m,
        lane_height_m=lane_height_m,
    )


def work_out(state: State, weighed: bool = False) -> Result:
    """Result of a state; `weighed` counts that the air which has left wet wood is cooler, so heavier."""
    stack = stack_of(state)
    gaps = gaps_of(state, stack)
    result = _result(state, stack, gaps, 0.0)
    for _ in range(WEIGH_ROUNDS if weighed else 0):
        flow = result.flow
        beside = flow.total_flow_m3s - flow.opening("above").flow_m3s  # what goes up beside the stack, all mixed
        result = _result(state, stack, gaps, result.temperature_drop_c * flow.stack_flow_m3s / beside)
    return result


@dataclass(frozen=True)
class Own:
    """Somebody's own kiln as it stands: its gaps without baffles, its load, its fans; a stack as wide as our own."""

    above_m: float = Gaps().above_m
    under_m: float = UNDER_M
    end_m: float = Gaps().end_m
    lane_m: float = 0.0
    lane_height_m: float | None = None  # None: from the foot of the load to its top; less is a hole
    sticker_thickness_m: float = 0.75 * IN_M
    courses: int = FULL.courses
    plenum_width_m: float = FULL.plenum_width_m
    fans: int = Fan().count


OWN_GAPS = {"above": "above_m", "under": "under_m", "ends": "end_m", "lane": "lane_m"}  # openings, by what they widen


@dataclass(frozen=True)
class OwnResult:
    """One's own kiln: as it is, with its worst gap shut, with all of them shut; `worst` names an opening, or none.

    `wide_plenum` is the same with plenums as wide as all sticker spaces together, where they are narrower than that.
    """

    now: Result
    worst: str | None
    without_worst: Result
    shut: Result
    wide_plenum: "OwnResult | None" = None

    @property
    def has_hole(self) -> bool:
        """Whether its lane is lower than the load: a hole where boards are missing."""
        return self.now.gaps.lane_height_m < self.now.stack.height_m


def work_out_own(own: Own) -> OwnResult:
    """Result of one's own kiln; a plenum is narrow by the rule of thumb, *from memory*, that the screens name too."""
    now = _own(own)
    shares = {name: now.share_pct(name) for name, field in OWN_GAPS.items() if getattr(own, field) > 0}
    worst = max(shares, key=shares.__getitem__) if shares else None
    without: dict[str, Any] = {OWN_GAPS[worst]: 0.0} if worst else {}
    none_open: dict[str, Any] = dict.fromkeys(OWN_GAPS.values(), 0.0)
    spaces_m = now.stack.total_opening_m
    narrow = own.plenum_width_m < spaces_m - 0.5 * IN_M  # both are shown in whole inches
    wide = work_out_own(replace(own, plenum_width_m=spaces_m)) if narrow else None
    return OwnResult(now, worst, _own(replace(own, **without)), _own(replace(own, **none_open)), wide)


def _own(own):
    stack = Stack(own.courses, sticker_thickness_m=own.sticker_thickness_m, plenum_width_m=own.plenum_width_m)
    lane_height_m = stack.height_m if own.lane_height_m is None else own.lane_height_m
    lane = {"lane_m": own.lane_m, "lane_height_m": lane_height_m}
    bare = {f"{name}_baffle_pct": 0.0 for name in ("above", "under", "end")}
    gaps = Gaps(own.above_m, own.under_m, own.end_m, **lane, **bare)
    return _result(State(), stack, gaps, 0.0, Fan(count=own.fans))


def _result(state, stack, gaps, return_cooler_c, fan=None):
    fan = fan or Fan(speed_pct=state.fan_speed_pct)
    flow = solve(stack, gaps, fan, AIR_C, AIR_RH_PCT, return_cooler_c=return_cooler_c)
    speeds, stickers = np.array(flow.course_speed_ms), np.array(stack.stickers_m)
    lag = course_days.drying_lag(speeds, stickers, stack.width_m)
    drops = course_days.wet_drop_c(speeds, stickers, stack.width_m)
    drop = float(np.average(drops, weights=speeds * stickers))
    return Result(state, stack, gaps, flow, drop, lag.best_days, lag.worst_days, lag.worst_mc_pct, lag.load_days)
