"""A cold load of green oak on its way to the first step: both dials at once, or in steps; the panel of lesson 09.

The example kiln of tables/machine.csv. One temperature stands for all the wood: in a real stack some boards are colder.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.machine import BULBS_C, load
from kilnlib.physics.air import dew_point_c, emc_pct, rh_pct, wet_bulb_c
from kilnlib.physics.machine import Chamber, Outdoors, Setting, run
from kilnlib.physics.machine import State as Kiln
from kilnlib.units import f_to_c

WAYS = ("steps", "once")
HOURS, STEP_S = 40, 120.0
AN_HOUR = round(3600.0 / STEP_S)  # steps
NEAR_K = 3.0 / 1.8  # the wood as near as this to the dial: the next step
FIRST_STEP_EMC_PCT = float(emc_pct(BULBS_C[0], rh_pct(*BULBS_C)))
OUTDOORS = Outdoors(f_to_c(45.0))


@dataclass(frozen=True)
class State:
    """What the controls stand at, SI; the air of the start is damp, a degree Fahrenheit of depression."""

    way: str = "steps"
    wood_c: float = f_to_c(40.0)
    air_c: float = f_to_c(45.0)
    step_k: float = 5.0 / 1.8
    depression_c: float = 9.0 / 1.8


@dataclass(frozen=True)
class Result:
    """Every two minutes from the start."""

    state: State
    hours: np.ndarray
    air_c: np.ndarray
    dial_c: np.ndarray  # dry-bulb set point
    wet_dial_c: np.ndarray  # wet-bulb set point
    wood_c: np.ndarray
    dew_point_c: np.ndarray
    rh_pct: np.ndarray
    compressor: np.ndarray  # 1 while it runs
    faces_kg: np.ndarray  # water that stands on the boards' faces

    @functools.cached_property
    def wet_bulb_c(self) -> np.ndarray:
        """Asked for in the trap alone."""
        return np.asarray(wet_bulb_c(self.air_c, self.rh_pct))

    def mean(self, name: str) -> np.ndarray:
        """A curve as the mean of half an hour about each moment, for the compressor starts and stops in minutes."""
        width = np.ones(AN_HOUR // 2 + 1)
        values = getattr(self, name)
        return np.convolve(values, width, mode="same") / np.convolve(np.ones(len(values)), width, mode="same")

    @property
    def wet_hours(self) -> float:
        """How long water stands on the wood from the start on [h]; it came from air with a dew point above the wood."""
        wet = self.faces_kg > 0.0
        return float(self.hours[wet][-1]) if wet.any() else 0.0

    @property
    def warm_hour(self) -> float:
        """When the wood is within the last step of its goal; NaN if not in this time."""
        there = self.wood_c >= BULBS_C[0] - NEAR_K
        return float(self.hours[there.argmax()]) if there.any() else float("nan")

    @property
    def at(self) -> int:
        """Number of the moment that the sentence speaks of: half way to warm, where the dials show what they do."""
        half = 0.5 * (self.wood_c[0] + BULBS_C[0])
        there = self.wood_c >= half
        return int(there.argmax()) if there.any() else len(self.hours) - 1

    @functools.cached_property
    def driest_emc_pct(self) -> float:
        """Lowest EMC of the air over an hour, until the wood is warm."""
        emc = emc_pct(self.air_c, self.rh_pct)
        warm = int(np.searchsorted(self.hours, self.warm_hour)) if self.warm_hour == self.warm_hour else len(emc)
        means = np.convolve(emc[: max(warm, AN_HOUR)], np.ones(AN_HOUR) / AN_HOUR, mode="valid")
        return float(means.min())


def work_out(state: State) -> Result:
    """Result of a state."""
    return _warmed(state)


@functools.lru_cache(maxsize=32)
def _warmed(state):
    wood, mc = load("oak")
    kiln = Kiln.at(state.air_c, state.air_c - 1.0 / 1.8, mc, state.wood_c)
    dial, parts, dials, wets = BULBS_C[0], [], [], []
    if state.way == "steps":
        dial = min(state.wood_c + state.step_k, BULBS_C[0])
    for _ in range(HOURS):
        if state.way == "steps" and kiln.wood_c > dial - NEAR_K:
            dial = min(dial + state.step_k, BULBS_C[0])
        wet = min(dial - state.depression_c, BULBS_C[1]) if state.way == "steps" else BULBS_C[1]
        parts.append(run(Chamber(), wood, kiln, Setting(dial, wet), OUTDOORS, 1.0, STEP_S))
        dials.append(dial)
        wets.append(wet)
        kiln = parts[-1].states[-1]
    states = [one for part in parts for one in part.states[1:]]
    air = np.concatenate([part.dry_bulbs_c for part in parts])
    rh = np.concatenate([part.rhs_pct for part in parts])
    return Result(
        state,
        np.arange(1, len(states) + 1) / AN_HOUR,
        air,
        np.repeat(dials, AN_HOUR),
        np.repeat(wets, AN_HOUR),
        np.array([one.wood_c for one in states]),
        np.asarray(dew_point_c(air, rh)),
        rh,
        np.concatenate([part.shares[:, 0] for part in parts]),
        np.array([one.face_water_kg for one in states]),
    )
