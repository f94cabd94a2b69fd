"""The change points of a schedule, and the order of two changes that fall on one of them."""

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kilnlib import tables, units
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.arrays import within
from kilnlib.physics.schedules.steps import Code, ladder, no_such_air

DRIEST_RH_PCT = tables.advice("first_part_stops_at_rh")
MOST_DRIER_PCT = tables.advice("most_drier_at_once")
MOST_OPENED_C = tables.advice("most_opened_at_once")
READ_TO_C = tables.advice("wet_bulb_is_read_to")
MOST_DAYS = tables.advice("opened_in_days")
SLACK = 1e-6


@dataclass(frozen=True)
class Dial:
    """One setting to dial, as printed."""

    dry_bulb_f: float
    depression_f: float
    as_dry_as_it_goes: bool
    stopped: str = ""  # what kept the depression from opening all the way before the heat: "floor", "driest_rh", "emc"

    @property
    def wet_bulb_f(self) -> float:
        """Wet bulb [°F]."""
        return self.dry_bulb_f - self.depression_f


@dataclass(frozen=True)
class Change:
    """A change point, and what to dial there, in order; each after the first waits for the next weighing."""

    mc_pct: float
    dials: tuple[Dial, ...]


def change_points_pct(code: str | None) -> tuple[float, ...]:
    """The moisture contents at which a schedule moves on.

    Parameters
    ----------
    code : schedule code, such as "T4-D2". None: the general change points, for a wood without a schedule.

    Returns
    -------
    Moisture contents [%], falling.

    Raises
    ------
    As `schedules.ladder`.

    Source
    ------
    `schedules.ladder`; the general ones stand in tables/change_points.csv, *from memory*.

    Accuracy
    --------
    Exact, as tables; sample boards are known to a point at best.
    """
    if code is None:
        return tuple(float(row["mc_pct"]) for row in tables.records("change_points"))
    return tuple(step.mc_above_pct for step in ladder(code) if step.mc_above_pct > 0.0)


def next_change_pct(points_pct: Iterable[float], mc_pct: float) -> float | None:
    """The next change point below a moisture content.

    Parameters
    ----------
    points_pct : change points [%].
    mc_pct : moisture content that leads [%]; a point that it has reached, in tenths as it is shown, is passed.

    Returns
    -------
    Moisture content [%], or None where there is none.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    Exact.
    """
    return max((point for point in points_pct if point < round(mc_pct, 1)), default=None)


def changes(
    code: str | Code,
    wet_bulb_floor_f: float | None = None,
    driest_rh_pct: float = DRIEST_RH_PCT,
    pressure_pa: float = air.STANDARD_PA,
) -> tuple[Change, ...]:
    """The change points of a schedule, and what to dial at each, one change at a time.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]. None: no floor.
    driest_rh_pct : relative humidity [%] at which the depression stops while it waits for the heat, 0 to 100.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Tuple of Change. Where both move, the depression comes first and the dry bulb after the next weighing. At the old
    dry bulb the new depression means air drier than the new step has: it goes as far as the step's EMC, floor and
    driest air let it, and the rest comes with the heat. Where they let it go nowhere, both move at once.

    Raises
    ------
    As `schedules.ladder`; OutOfRange : a humidity out of range.

    Source
    ------
    Change relative humidity in small amounts and keep the heat down until the wettest samples average 30 %: Univ. of
    Kentucky FOR-128 p. 48, *retrieved*. Splitting one change point in two, and where the first part stops, are choices
    of ours.

    Accuracy
    --------
    The order is for safety: the wood shows what the drier air does before heat is added.
    """
    driest = within("The driest air", driest_rh_pct, 0.0, 100.0, "percent")
    change_points = []
    for old, new in itertools.pairwise(ladder(code, wet_bulb_floor_f)):
        dials = [Dial(new.dry_bulb_f, new.depression_f, no_such_air(new.dry_bulb_f, new.depression_f))]
        if new.dry_bulb_f != old.dry_bulb_f and new.depression_f > old.depression_f:
            first = _depression_first(old.dry_bulb_f, new, wet_bulb_floor_f, driest, pressure_pa)
            if first.depression_f > old.depression_f:
                dials.insert(0, first)
        change_points.append(Change(old.mc_above_pct, tuple(dials)))
    return tuple(change_points)


def depression_before_heat_c(
    dry_bulb_c: float, step_dry_bulb_c: float, step_depression_c: float, pressure_pa: float = air.STANDARD_PA
) -> float:
    """How far the depression opens while the dry bulb is not yet up at that of the step.

    Parameters
    ----------
    dry_bulb_c : dry bulb now [°C], not above that of the step.
    step_dry_bulb_c, step_depression_c : the step [°C]; the depression is a difference.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Depression [°C]: that of the step, or less, so that the EMC is not below the step's own; the rest comes with heat.
    What a wet bulb is not read to makes no difference.

    Raises
    ------
    OutOfRange : as `emc.emc_pct`.

    Source
    ------
    Change relative humidity in small amounts: Univ. of Kentucky FOR-128 p. 48, *retrieved*. That the air before the
    heat is no drier than the step it leads to is our choice.

    Accuracy
    --------
    That of `emc.emc_pct`.
    """
    rh = air.rh_called_for_pct(step_dry_bulb_c, step_dry_bulb_c - step_depression_c, pressure_pa)
    same_emc = emc.rh_pct_for_emc(dry_bulb_c, emc.emc_pct(step_dry_bulb_c, rh))
    apart = dry_bulb_c - float(air.wet_bulb_c(dry_bulb_c, same_emc, pressure_pa))
    return apart if step_depression_c - apart > READ_TO_C else step_depression_c


def opened_at_once_c(
    dry_bulb_c: float, depression_c: float, goal_c: float, pressure_pa: float = air.STANDARD_PA
) -> float:
    """The depression to open to at once, on the way to a deeper one: all the way, or the first of two or three parts.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C].
    depression_c, goal_c : depression now, and the one to come to [°C]; differences.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Depression [°C], at most `goal_c`. Equal parts of the depression, and none that lowers the EMC by too much.

    Raises
    ------
    OutOfRange : as `emc.emc_pct`.

    Source
    ------
    RH in small amounts: Univ. of Kentucky FOR-128 p. 48, *retrieved*. Three points and a half of EMC at once are just
    above the largest step down that the schedules of depression number 1 and 2 take while the wood is above 30 %:
    *computed* from tables *from memory*. Ten degrees Fahrenheit of depression, or a third: our choice.

    Accuracy
    --------
    That of `emc.emc_pct`.
    """
    opening = goal_c - depression_c
    parts = min(MOST_DAYS, math.ceil(opening / MOST_OPENED_C - SLACK))
    now = emc.emc_pct(dry_bulb_c, air.rh_called_for_pct(dry_bulb_c, dry_bulb_c - depression_c, pressure_pa))
    least = emc.rh_pct_for_emc(dry_bulb_c, max(now - MOST_DRIER_PCT, 0.0))
    driest = dry_bulb_c - float(air.wet_bulb_c(dry_bulb_c, least, pressure_pa))
    return min(depression_c + opening / max(parts, 1), max(driest, depression_c))


def _depression_first(dry_bulb_f, step, floor_f, driest_rh_pct, pressure_pa):
    """The drier air before the heat, as far as the step's EMC, the lowest wet bulb and the driest air let it go."""
    dry, whole = units.f_to_c(dry_bulb_f), step.depression_f / 1.8
    apart = depression_before_heat_c(dry, units.f_to_c(step.dry_bulb_f), whole, pressure_pa)
    lowest = {
        "driest_rh": units.c_to_f(air.wet_bulb_c(dry, driest_rh_pct, pressure_pa)),
        "emc": dry_bulb_f - 1.8 * apart,
    }
    if floor_f is not None:
        lowest["floor"] = floor_f
    stopped, lowest_wet = max(lowest.items(), key=lambda limit: limit[1])
    if dry_bulb_f - step.depression_f >= lowest_wet - SLACK:
        return Dial(dry_bulb_f, step.depression_f, no_such_air(dry_bulb_f, step.depression_f))
    return Dial(dry_bulb_f, float(np.floor(dry_bulb_f - lowest_wet + SLACK)), False, stopped)
