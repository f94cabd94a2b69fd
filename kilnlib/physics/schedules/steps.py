"""Drying schedules led by moisture content: a code such as T4-D2, put together into the steps of a schedule.

A code has three parts: temperature number (1 to 14), class of the wood's green moisture content (A to F), depression
number (1 to 8). Each has a column of its own in a table; the schedule has a step wherever either of them moves. Values
at a change point belong to the drier step. The lessons picture the steps as the rungs of a ladder, hence `ladder`. A
schedule led by the clock is another thing: its changes come at hours, set by how earlier loads of the same wood did in
the same kiln, so it is no use here and none is offered (common practice).

The three tables are from memory. What was retrieved and agrees with them is named in tests/physics/schedules.
"""

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

import numpy as np

from kilnlib import units
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range, result, within
from kilnlib.physics.schedules.codes import (
    CLASSES,
    DEPRESSIONS,
    TEMPERATURES,
    Code,
    Recommendation,
    code_for,
    no_such_air,
    shift,
    thicknesses_for,
    understand,
)

__all__ = ["Code", "Recommendation", "ScheduleStep", "Setpoint", "assemble", "code_for", "ladder",
           "no_such_air", "setpoint", "shift", "step_at", "thicknesses_for", "understand"]  # fmt: skip

if TYPE_CHECKING:
    import pandas as pd  # slow to load, and a panel does without

MODIFIED_FLOOR_F = 90.0  # what "modified" (a small m behind a code) means for the wet bulb: Wengert, retrieved


@dataclass(frozen=True)
class ScheduleStep:
    """One step of a schedule: its settings as printed, held until the wood is down to `mc_above_pct`.

    `mc_below_pct` is where the step before it ended, None on the wettest.
    """

    mc_above_pct: float
    mc_below_pct: float | None
    dry_bulb_f: float
    depression_f: float
    as_dry_as_it_goes: bool  # there is no such air: set the kiln as dry as it will go

    @property
    def wet_bulb_f(self) -> float:
        """Wet bulb as the tables would have it, also where no such air exists."""
        return self.dry_bulb_f - self.depression_f


@dataclass(frozen=True)
class Setpoint:
    """What a schedule sets at a moisture content; arrays for an array of them."""

    code: str
    step: float | np.ndarray  # number from 1, the wettest
    steps: int
    mc_above_pct: float | np.ndarray
    dry_bulb_c: float | np.ndarray
    depression_c: float | np.ndarray  # a difference
    wet_bulb_c: float | np.ndarray
    as_dry_as_it_goes: bool | np.ndarray


def ladder(code: str | Code, wet_bulb_floor_f: float | None = None) -> tuple[ScheduleStep, ...]:
    """The steps of a schedule.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    Tuple of ScheduleStep, wettest first, the last above 0 %. Where the floor is met the depression is smaller than the
    table's.

    Raises
    ------
    BadInput : no code. OutOfRange : a floor that would leave no depression at the first step.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, three tables, *from memory*; floor: Wengert, Hardwood Lumber Kiln
    Schedules, *retrieved*.

    Accuracy
    --------
    As good as that memory, which two retrieved codes and the published settings for Oregon white oak bear out.
    """
    return _schedule_steps(understand(code), _floor(wet_bulb_floor_f))


def assemble(code: str | Code, wet_bulb_floor_f: float | None = None) -> "pd.DataFrame":
    """The steps of a schedule as a table.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    DataFrame with mc_above_pct, dry_bulb_f, depression_f, wet_bulb_f and as_dry_as_it_goes, a row for each step.

    Raises
    ------
    As `ladder`.

    Source
    ------
    As `ladder`: *from memory*.

    Accuracy
    --------
    As `ladder`.
    """
    import pandas as pd

    names = ("mc_above_pct", "dry_bulb_f", "depression_f", "wet_bulb_f", "as_dry_as_it_goes")
    steps = ladder(code, wet_bulb_floor_f)
    return pd.DataFrame({name: [getattr(step, name) for step in steps] for name in names})


@overload
def step_at(steps: Sequence[ScheduleStep], mc_pct: float) -> int: ...
@overload
def step_at(steps: Sequence[ScheduleStep], mc_pct: np.ndarray) -> np.ndarray: ...
def step_at(steps: Sequence[ScheduleStep], mc_pct: float | np.ndarray) -> int | float | np.ndarray:
    """Which step of a schedule holds at a moisture content, counted from 0.

    Parameters
    ----------
    steps : sequence of ScheduleStep.
    mc_pct : moisture content that leads [%], 0 to 400, any array; on a change point the drier step counts.

    Returns
    -------
    Number of the step, NaN for NaN.

    Raises
    ------
    OutOfRange : a moisture content out of range.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*.

    Accuracy
    --------
    Exact.
    """
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    changes = -np.array([step.mc_above_pct for step in steps[:-1]])
    at = np.searchsorted(changes, -mc, side="right")
    at = np.where(np.isnan(mc), np.nan, at)
    return int(at) if np.ndim(at) == 0 and at == at else result(at)


def setpoint(code: str | Code, mc_pct: float | np.ndarray, wet_bulb_floor_f: float | None = None) -> Setpoint:
    """The settings of a schedule at a moisture content.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    mc_pct : moisture content that leads [%]: the wettest half of the sample boards. Any array.
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    Setpoint.

    Raises
    ------
    BadInput : no code. OutOfRange : a moisture content outside 0 to 400 %; a floor too high.

    Source
    ------
    As `ladder`: *from memory*. Which boards lead: Wengert and Bois, *retrieved*.

    Accuracy
    --------
    As `ladder`. The settings are those of the air entering the stack.
    """
    steps = ladder(code, wet_bulb_floor_f)
    at = step_at(steps, mc_pct)
    known = np.where(np.isnan(at), 0, at).astype(int)

    def column(name, blank=np.nan):
        values = np.array([getattr(step, name) for step in steps])[known]
        return np.where(np.isnan(at), blank, values)

    dry, depression = units.f_to_c(column("dry_bulb_f")), column("depression_f") / 1.8
    driest = column("as_dry_as_it_goes", False).astype(bool)
    return Setpoint(
        code=str(understand(code)),
        step=at + 1,
        steps=len(steps),
        mc_above_pct=result(column("mc_above_pct")),
        dry_bulb_c=result(dry),
        depression_c=result(depression),
        wet_bulb_c=result(dry - depression),
        as_dry_as_it_goes=bool(driest) if driest.ndim == 0 else driest,
    )


@functools.lru_cache(512)
def _schedule_steps(code: Code, floor_f: float | None) -> tuple[ScheduleStep, ...]:
    """The steps of a code; where a change point changes nothing, because of the floor or the tables, two become one."""
    starts = [start for start, _ in TEMPERATURES[code.temperature]] + CLASSES[code.mc_class]
    settings = []
    for mc in sorted({0.0, *(start for start in starts if start < np.inf)}, reverse=True):
        dry, depression = _dry_bulb(code, mc), _depression(code, mc)
        if floor_f is not None:
            depression = min(depression, dry - floor_f)
            if depression <= 0.0:
                fields = {"floor": (units.f_to_c(floor_f), "temperature"), "dry": (units.f_to_c(dry), "temperature")}
                raise OutOfRange("schedule_floor", "wet_bulb_floor_f", floor_f, None, dry, **fields)
        settings.append((mc, dry, depression))
    kept = [
        setting
        for setting, after in zip(settings, [*settings[1:], None], strict=True)
        if after is None or setting[1:] != after[1:]
    ]
    below = [None, *(mc for mc, _, _ in kept[:-1])]
    return tuple(
        ScheduleStep(mc, top, dry, depression, no_such_air(dry, depression))
        for top, (mc, dry, depression) in zip(below, kept, strict=True)
    )


def _floor(wet_bulb_floor_f: float | None) -> float | None:
    return None if wet_bulb_floor_f is None else within("The wet-bulb floor", wet_bulb_floor_f, 32.0, 212.0, "ratio")


def _dry_bulb(code: Code, mc_above_pct: float) -> float:
    """Dry bulb just above a moisture content."""
    return [dry for start, dry in TEMPERATURES[code.temperature] if start > mc_above_pct][-1]


def _depression(code: Code, mc_above_pct: float) -> float:
    """Depression just above a moisture content."""
    step = sum(start > mc_above_pct for start in CLASSES[code.mc_class])
    return DEPRESSIONS[code.depression][step - 1]
