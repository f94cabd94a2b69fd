"""The change points of a schedule, and the order of two changes that fall on one of them."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from kilnlib import tables, units
from kilnlib.physics import air
from kilnlib.physics.arrays import within
from kilnlib.physics.schedules.codes import Code, no_such_air
from kilnlib.physics.schedules.steps import ladder

DRIEST_RH_PCT = tables.advice("first_part_stops_at_rh")


@dataclass(frozen=True)
class Dial:
    """One setting to dial, as printed."""

    dry_bulb_f: float
    depression_f: float
    as_dry_as_it_goes: bool
    stopped: str = ""  # what kept the depression from opening all the way before the heat: "floor" or "driest_rh"

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
    dry bulb the new depression can mean air far drier than the new step has: it goes as far as floor and driest air
    let it, and the rest comes with the heat. Where they let it go nowhere, both move at once.

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
            first = _depression_first(old.dry_bulb_f, new.depression_f, wet_bulb_floor_f, driest, pressure_pa)
            if first.depression_f > old.depression_f:
                dials.insert(0, first)
        change_points.append(Change(old.mc_above_pct, tuple(dials)))
    return tuple(change_points)


def _depression_first(dry_bulb_f, depression_f, floor_f, driest_rh_pct, pressure_pa):
    """The drier air before the heat, as far as the lowest wet bulb and the driest air let it go."""
    lowest = {"driest_rh": units.c_to_f(air.wet_bulb_c(units.f_to_c(dry_bulb_f), driest_rh_pct, pressure_pa))}
    if floor_f is not None:
        lowest["floor"] = floor_f
    stopped, lowest_wet = max(lowest.items(), key=lambda limit: limit[1])
    if dry_bulb_f - depression_f >= lowest_wet:
        return Dial(dry_bulb_f, depression_f, no_such_air(dry_bulb_f, depression_f))
    return Dial(dry_bulb_f, float(np.floor(dry_bulb_f - lowest_wet)), False, stopped)
