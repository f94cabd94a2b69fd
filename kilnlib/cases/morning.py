"""Four invented mornings at Tamarack Ford: what is on the sheet, six things to do, and what each would bring.

The mornings stand in the lesson's question file. What to do comes from `physics.daily`, by the sheet as it was written.
What would follow is computed from the air as it really was: the two differ where the wet bulb lies.
"""

import datetime
import functools
import threading
import tomllib
from dataclasses import dataclass, replace
from importlib import resources

import numpy as np

from kilnlib import units
from kilnlib.cases.tamarack import KILN, PRESSURE_PA
from kilnlib.physics import daily, pace, schedules
from kilnlib.physics.daily import outlook
from kilnlib.physics.daily.decision import DailyDecision
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing
from kilnlib.physics.schedules import limits
from kilnlib.physics.setpoint import DRYING, HARSH, check_setpoint
from kilnlib.physics.wood import ROUGH_OVER_NOMINAL, lumber, species

CHOICES = ("ease", "hold", "look", "drier", "hotter", "both")
EASE, HOLD, LOOK, DRIER, HOTTER = CHOICES[:5]
SECTION_KG = 0.06
WET_BULB_DOUBTED = ("faster_than_air", "slower_than_air")
DAYS = 2
ONE = threading.RLock()  # the panel works ahead in a thread: nothing is computed twice


@dataclass(frozen=True)
class Morning:
    """One morning: the sheet as written, the sheet with the air as it was, and what else is on the page."""

    name: str
    sheet: Sheet
    true_sheet: Sheet
    bucket_m3: tuple[float, ...]  # drained in the day before yesterday, and since yesterday
    meter: tuple[str, float, float] | None  # (board, reading %, wood °C)
    wick: float  # true depression over the one that is read
    dials: dict[str, tuple[float, ...]]  # choice: (dry bulb, wet bulb) as dialed, °C
    note: str
    replies: dict[str, str]  # choice: what to say to whoever makes it

    @property
    def day(self) -> int:
        """Days since the boards were first weighed."""
        return len(self.sheet.days) - 1


@dataclass(frozen=True)
class Outcome:
    """Two days after one choice: the air as it really is, the wettest half, the fastest board, the schedule's word."""

    choice: str
    dry_bulb_c: float
    wet_bulb_c: float
    true_wet_bulb_c: float
    mc_pct: tuple[float, ...]  # of the wettest half, after each day
    fastest_points: tuple[float, ...]  # of each day
    verdict: str  # on the true air: departure.VERDICTS
    over: bool  # the fastest board goes over its limit
    harsh: bool  # the verdict warns


@functools.cache
def mornings() -> dict[str, Morning]:
    """The four mornings by name."""
    file = resources.files("kilnlib.questions") / "08_daily_decision.toml"
    return {row["name"]: _morning(**row) for row in tomllib.loads(file.read_text(encoding="utf-8"))["morning"]}


def _morning(name, species, thickness, target, loaded, boards, bulbs_f, bucket_gal, dials_f, note, replies, true_f=None,
             meter=None, wick=1.0):  # fmt: skip
    def when(day):
        return loaded + datetime.timedelta(days=day)

    def readings(rows):
        return tuple(Air(when(day), units.f_to_c(dry), units.f_to_c(wet)) for day, (dry, wet) in enumerate(rows))

    made = []
    for board in boards:
        section = Section(SECTION_KG * (1.0 + board["green_mc"] / 100.0), SECTION_KG)
        weights = (units.to_si(weight, "weight") for weight in board["weights_lb"])
        weighed = tuple(Weighing(when(day), weight) for day, weight in enumerate(weights))
        made.append(SampleBoard(board["name"], (section, section), weighed))
    sheet = Sheet(name, species, thickness, target, tuple(made), readings(bulbs_f))
    return Morning(
        name,
        sheet,
        replace(sheet, air=readings(true_f or bulbs_f)),
        tuple(units.to_si(gallons, "volume") for gallons in bucket_gal),
        meter and (meter["board"], meter["reading"], units.f_to_c(meter["wood_f"])),
        wick,
        {choice: tuple(units.f_to_c(bulb) for bulb in dials_f[choice]) for choice in CHOICES},
        note,
        replies,
    )


def decision(name: str) -> DailyDecision:
    """What the daily decision makes of the sheet as it was written."""
    with ONE:
        return _decision(name)


@functools.cache
def _decision(name):
    return daily.daily_decision(mornings()[name].sheet, pressure_pa=PRESSURE_PA, kiln=KILN)


def right(name: str) -> tuple[str, ...]:
    """The choices that are right, the one to make first."""
    decided = decision(name)
    if decided.action == daily.ADVANCE:
        return (DRIER,) if decided.dial.code.startswith("lower_wet_bulb") else (HOTTER,)
    if any(reason.code in WET_BULB_DOUBTED for reason in decided.reasons):
        return (LOOK,)
    return (HOLD, LOOK) if decided.action == daily.HOLD else (EASE,)


def outcomes(name: str) -> tuple[Outcome, ...]:
    """What each choice would bring, from where the charge really stands."""
    with ONE:
        return _outcomes(name)


@functools.cache
def _outcomes(name):
    morning, decided = mornings()[name], _decision(name)
    code = schedules.code_for(morning.sheet.species, morning.sheet.thickness).code
    behind = outlook.looked_back(morning.true_sheet, code, PRESSURE_PA, KILN.sticker_speed_ms)
    dry, wet = np.array([morning.dials[choice] for choice in CHOICES]).T
    wrong = np.array([1.0 if choice == LOOK else morning.wick for choice in CHOICES])  # a wetted wick tells the truth
    true_wet = dry - wrong * (dry - wet)
    daily_points = pace.expected_pace(
        morning.sheet.species, morning.sheet.thickness, decided.controlling_pct, dry, true_wet, code, PRESSURE_PA,
        KILN.sticker_speed_ms, behind.history, behind.rate_factor, DAYS,
    ).daily_points  # fmt: skip
    lead = float(np.clip(decided.fastest[1] / decided.controlling_points, 1.0, 3.0))
    results = []
    for number, choice in enumerate(CHOICES):
        points = daily_points[:DAYS, number]
        fastest = tuple((lead * points).tolist())
        verdict = _verdict(morning.sheet, decided.controlling_pct, dry[number], true_wet[number], behind.history)
        results.append(
            Outcome(
                choice,
                float(dry[number]),
                float(wet[number]),
                float(true_wet[number]),
                tuple((decided.controlling_pct - np.cumsum(points)).tolist()),
                fastest,
                verdict,
                max(fastest) > decided.limit_points,
                verdict in HARSH,
            )
        )
    return tuple(results)


def _verdict(sheet, mc, dry, wet, history):
    return check_setpoint(
        sheet.species, sheet.thickness, mc, float(dry), float(wet), PRESSURE_PA, KILN, history, stage=DRYING
    ).verdict  # fmt: skip


def past_fastest(name: str) -> tuple[tuple[str, float], ...]:
    """(board, points) of the fastest board in the day before yesterday and since yesterday."""
    return tuple(day.fastest for day in mornings()[name].sheet.days[-DAYS:] if day.fastest)


@functools.cache
def card(name: str) -> tuple[tuple[float, float, float], ...]:
    """The card on the door, this step and the next: (until %, dry bulb, wet bulb) as far as the kiln can do them."""
    sheet = mornings()[name].sheet
    steps = schedules.ladder(schedules.code_for(sheet.species, sheet.thickness).code)
    at = schedules.step_at(steps, mornings()[name].sheet.days[-1].controlling_pct)
    rows = []
    for step in steps[at : at + 2]:
        held = limits.reach(units.f_to_c(step.dry_bulb_f), units.f_to_c(step.wet_bulb_f), KILN).same_rh
        rows.append((step.mc_above_pct, held.dry_bulb_c, held.wet_bulb_c))
    return tuple(rows)


@functools.cache
def point_m3(name: str) -> float:
    """Water that leaves a full load with one point of moisture content."""
    sheet = mornings()[name].sheet
    volume = KILN.board_feet * units.to_si(1.0, "board_feet") * ROUGH_OVER_NOMINAL
    return lumber.water_removed_kg(volume, species(sheet.species).specific_gravity, 1.0, 0.0) / lumber.WATER_KG_M3
