"""A year of dry red oak in a shed, for the panel: place, month, degrees of heat, and how the lumber lies.

The month's air comes from the recalled table of outdoor EMC. Where the monthly means of temperature are known they are
used; elsewhere the air counts as 50 °F, which changes the degrees by one or two (a cold month needs a few less).
"""

import functools
import math
from dataclasses import dataclass

import numpy as np

from kilnlib.physics.air.emc import TEMPERATURE_C, emc_pct, rh_pct_for_emc
from kilnlib.physics.storage import (
    MONTHS,
    fractional_change,
    monthly_means,
    outdoor_emc_pct,
    places,
    regain_points,
    warmed_rh_pct,
    warmer_by_k,
)
from kilnlib.physics.wood import species, width_after
from kilnlib.units import IN_M, f_to_c

PLACES = tuple(places())
PACKS = {"stickers": 2, "solid": 1, "wrapped": 0}  # faces that a board of its outside shows to the air
MONTH_DAYS, STEPS = 365.0 / 12.0, 10
BOARD_M, FLOOR_M, OAK = 1.0 * IN_M, 6.0 * IN_M, "northern red oak"
MILD_C = f_to_c(50.0)


@dataclass(frozen=True)
class State:
    """What the controls set; lumber goes in at the target."""

    place: str = "Chicago, IL"
    month: str = "Apr"
    pack: str = "stickers"
    target_pct: float = 7.0
    warmer_k: float = 0.0


@dataclass(frozen=True)
class Result:
    """Twelve months from the one in which it goes in; `mc_pct` stands at `days`."""

    state: State
    months: tuple[str, ...]
    outdoor_pct: np.ndarray
    shed_pct: np.ndarray
    needed_k: np.ndarray  # warmer than outdoors, to hold the target
    days: np.ndarray
    mc_pct: np.ndarray
    grows_m: float  # a floor board, from the target to the moisture farthest from it

    @property
    def farthest_pct(self) -> float:
        """Moisture content farthest from the target in the year."""
        return float(self.mc_pct[np.argmax(np.abs(self.mc_pct - self.state.target_pct))])

    @property
    def after_three_months_pct(self) -> float:
        """Moisture content after three months."""
        return float(self.mc_pct[3 * STEPS])


def work_out(state: State) -> Result:
    """Result of a state."""
    first = MONTHS.index(state.month)
    months = MONTHS[first:] + MONTHS[:first]
    outdoor = np.array([outdoor_emc_pct(state.place, month) for month in months])
    outside = np.array([_outside_c(state.place, month) for month in months])
    rh = rh_pct_for_emc(outside, outdoor)
    inside = outside + state.warmer_k
    shed = emc_pct(inside, warmed_rh_pct(outside, rh, inside))
    needed = np.array([warmer_by_k(*air, state.target_pct) for air in zip(outside, rh, strict=True)])
    days = np.arange(12 * STEPS + 1) * MONTH_DAYS / STEPS
    if state.pack == "wrapped":
        mc = _wrapped(state.target_pct, shed)
    else:
        mc = _on_its_way(state.target_pct, shed, PACKS[state.pack], round(float(np.mean(inside)), 1))
    farthest = mc[np.argmax(np.abs(mc - state.target_pct))]
    total = species(OAK).tangential_pct
    grows = float(width_after(FLOOR_M, total, state.target_pct, farthest)) - FLOOR_M
    return Result(state, months, outdoor, shed, needed, days, mc, grows)


def _outside_c(place, month):
    """Mean air of a month, not under 30 °F, where the table of EMC begins; 50 °F where no mean was seen."""
    mean = monthly_means(place, month).mean_c if place in places(measured=True) else math.nan
    return MILD_C if math.isnan(mean) else max(mean, TEMPERATURE_C[0])


def _on_its_way(start_pct, shed_pct, faces, inside_c):
    """Average of a board through months of one EMC each: the answers to each change of EMC, added up."""
    closed = _closed(faces, inside_c)
    changes = np.diff(shed_pct, prepend=start_pct)
    mc = np.full(len(closed), float(start_pct))
    for month, change in enumerate(changes):
        begins = month * STEPS
        mc[begins:] += change * closed[: len(mc) - begins]
    return mc


@functools.lru_cache(maxsize=128)
def _closed(faces, inside_c):
    """Share of the way to a new EMC after each step of the year."""
    days = np.arange(12 * STEPS + 1) * MONTH_DAYS / STEPS
    return np.array([fractional_change(BOARD_M, float(day), inside_c, open_faces=faces) for day in days])


def _wrapped(start_pct, shed_pct):
    """A whole wrapped pack, dry and off the ground: a little a month, by the printed rule."""
    most = regain_points("whole wrapped pack", MONTH_DAYS) / STEPS
    mc = [start_pct]
    for goal in np.repeat(shed_pct, STEPS):
        mc.append(mc[-1] + min(max(goal - mc[-1], -most), most))
    return np.array(mc)
