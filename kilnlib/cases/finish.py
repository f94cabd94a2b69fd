"""The end of an invented charge, for the panel: twelve boards of red oak, equalized and conditioned as it is asked."""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.tamarack import PRESSURE_PA
from kilnlib.physics import air, conditioning, stress
from kilnlib.physics.air import emc
from kilnlib.physics.drying import Board, History, Step, at_hours, dry
from kilnlib.physics.samples import controlling_mc_pct
from kilnlib.store import kiln
from kilnlib.units import f_to_c

LAST_DAY = 16
LEAD_H = 72.0  # hours before the last step of the schedule at which the picture begins
EQUALIZE_C, CONDITION_C = f_to_c(150.0), f_to_c(160.0)
# Most boards are much alike; one is fast and dry, two are wet and slow: (green MC, how fast beside the average).
# Invented, like the charge, and not chosen so that the prongs come out well.
BOARDS = tuple(
    Board(start_mc_pct=float(green), rate_factor=rate)
    for green, rate in (
        (74, 1.25), (76, 1.06), (78, 1.03), (78, 1.02), (79, 1.01), (80, 1.0),
        (80, 0.99), (81, 0.98), (82, 0.97), (82, 0.96), (84, 0.9), (88, 0.8),
    )
)  # fmt: skip
SHOWN = (0, 6, 11)  # the quickest, a middling one and the slowest
# Dry bulb and depression [°F], and the controlling moisture content that ends the step: gentle, then up to 150 °F.
SCHEDULE = ((110, 4, 50), (110, 5, 40), (110, 8, 35), (110, 14, 30), (120, 30, 25), (130, 40, 20), (140, 45, 13),
            (150, 43, None))  # fmt: skip
ENOUGH_H = 900.0
STOPS = ("wettest", "clock", "none")
CLOCK_H = 24.0


@dataclass(frozen=True)
class State:
    """What the controls set."""

    target_pct: float = 7.0
    below: float = 2.0  # points below the target where the driest board stands when equalizing begins
    stop: str = "wettest"
    condition_h: float = 24.0
    day: float = 6.0

    @property
    def start_pct(self) -> float:
        """Where the driest board stands when equalizing begins [%]."""
        return round(self.target_pct - self.below, 6)


@dataclass(frozen=True)
class Run:
    """A whole end of charge: times in days of the picture, everything else by time and board."""

    days: np.ndarray
    mc_pct: np.ndarray
    air_days: tuple[float, ...]
    air_emc_pct: tuple[float, ...]
    ends: tuple[float, ...]  # days on which drying, equalizing and conditioning end
    finish: conditioning.Finish
    stress: stress.StressHistory
    reach: conditioning.Hold
    condition_air: conditioning.FinishAir
    coil_limit_c: float  # of the user's kiln


@dataclass(frozen=True)
class Result:
    """That run, looked at on one day; after its end it stays as it was then."""

    state: State
    run: Run
    stage: str  # "drying", "equalizing", "conditioning" or "done"
    mcs_pct: np.ndarray
    emc_pct: float
    tips_m: np.ndarray  # travel of the prongs of every board, inward positive
    words: tuple[str, ...]

    @property
    def at(self) -> float:
        """Day that is shown."""
        return min(self.state.day, self.run.ends[2])

    @property
    def lowest_pct(self) -> float:
        """The driest that any board was before conditioning began."""
        finish = self.run.finish
        return min(finish.dried.driest_pct, finish.equalized.driest_pct)

    @property
    def gain_points(self) -> float:
        """What conditioning has added to the average, when it is over."""
        return self.run.finish.conditioned.average_pct - self.run.finish.equalized.average_pct

    def count(self, word: str) -> int:
        """How many of the twelve sections bend that way."""
        return self.words.count(word)


@functools.cache
def dried() -> tuple[History, float]:
    """The charge from green to bone dry, if nobody stopped it, and when its last step begins."""
    steps = [
        Step(f_to_c(d), f_to_c(d - depression), hours=ENOUGH_H if mc is None else 3 * ENOUGH_H, until_mc_pct=mc)
        for d, depression, mc in SCHEDULE
    ]
    history = dry(BOARDS, steps, PRESSURE_PA, controlling=controlling_mc_pct)
    return history, float(history.step_end_hours[-2])


def work_out(state: State) -> Result:
    """Result of a state."""
    run = run_to_end(state.target_pct, state.start_pct, state.stop, state.condition_h, kiln.load())
    at = min(state.day, run.ends[2])
    stage = next((name for name, end in zip(("drying", "equalizing", "conditioning"), run.ends, strict=True)
                  if at < end - 1e-9), "done")  # fmt: skip
    hour = _hour(at)
    bent = stress.prongs(run.stress, min(hour, float(run.stress.hours[-1])))
    mcs = at_hours(run.finish.history, min(hour, float(run.finish.history.hours[-1]))).average_pct[0]
    now = int(np.searchsorted(run.air_days, at - 1e-9, side="right")) - 1
    return Result(
        state, run, stage, mcs, run.air_emc_pct[max(now, 0)], np.asarray(bent.tip_m), tuple(map(str, bent.word))
    )


def _hour(day):
    return 24.0 * day + dried()[1] - LEAD_H


@functools.lru_cache(maxsize=64)
def run_to_end(target_pct: float, start_pct: float, stop: str, condition_h: float, own: kiln.ThisKiln) -> Run:
    """The charge finished by these rules; `own` is the user's kiln, asked whether it can hold the air for it."""
    history, last_step_h = dried()
    plan, treatment = conditioning.equalize(target_pct), conditioning.condition(target_pct)
    hours = {"wettest": None, "clock": CLOCK_H, "none": 0.0}[stop]
    finish = conditioning.finish(
        BOARDS, history, plan, treatment, (EQUALIZE_C, CONDITION_C), start_pct, hours, condition_h, PRESSURE_PA
    )
    ends = tuple((end - last_step_h + LEAD_H) / 24.0 for end in finish.ends_h)
    stresses = stress.stress_history(finish.history, dry_bulb_c=_dry_bulbs(finish.history.hours, finish.ends_h))
    schedule_emc = [
        emc.emc_pct_from_bulbs(f_to_c(d), f_to_c(d - depression), PRESSURE_PA)
        for d, depression, mc in SCHEDULE
        if mc is None or mc < 20
    ]
    air_days = (0.0, min(LEAD_H / 24.0, ends[0]), ends[0], ends[1])
    air_emc = (*schedule_emc, plan.emc_pct, treatment.emc_pct)
    condition_air = conditioning.air_for(float(treatment.emc_pct), CONDITION_C, air.pressure_pa(own.altitude_m))
    reach = conditioning.hold(condition_air, own)
    days = (finish.history.hours - last_step_h + LEAD_H) / 24.0
    kept = days >= -1.0
    return Run(days[kept], finish.history.average_pct[kept], air_days, air_emc, ends, finish, stresses, reach,
               condition_air, own.coil_wet_bulb_limit_c)  # fmt: skip


def _dry_bulbs(hours, ends_h):
    """Dry bulb at every hour: the schedule's, then those of the two last stages."""
    history, _ = dried()
    step = np.minimum(np.searchsorted(history.step_end_hours, hours - 1e-9), len(SCHEDULE) - 1)
    warm = np.array([f_to_c(row[0]) for row in SCHEDULE])[step]
    warm[hours > ends_h[0] + 1e-9] = EQUALIZE_C
    warm[hours > ends_h[1] + 1e-9] = CONDITION_C
    return warm
