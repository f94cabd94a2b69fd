"""Drying schedules led by moisture content: a code such as T4-D2, put together into a ladder of settings.

A code has three parts: temperature number (1 to 14), class of the wood's green moisture content (A to F), depression
number (1 to 8). Each has a column of steps in its table; the ladder has a rung wherever either of them moves. Values at
a change point belong to the drier rung. A ladder led by the clock is another thing: its changes come at hours, set by
how earlier loads of the same wood did in the same kiln, so it is no use here and none is offered (common practice).

The three tables are from memory. What was retrieved and agrees with them is named in tests/test_schedules.py.
"""

import functools
from dataclasses import dataclass

import numpy as np

from kilnlib import units
from kilnlib.errors import BadInput, OutOfRange
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

__all__ = ["Code", "Recommendation", "Rung", "Setpoint", "assemble", "code_for", "ladder", "mixed_ladder",
           "no_such_air", "rung_at", "setpoint", "shift", "thicknesses_for", "understand"]  # fmt: skip

MODIFIED_FLOOR_F = 90.0  # what "modified" (a small m behind a code) means for the wet bulb: Wengert, retrieved


@dataclass(frozen=True)
class Rung:
    """Settings above a moisture content, as printed; `mc_below_pct` is None on the wettest."""

    mc_above_pct: float
    mc_below_pct: float | None
    dry_bulb_f: float
    depression_f: float
    as_dry_as_it_goes: bool  # there is no such air: set the kiln as dry as it will go

    @property
    def wet_bulb_f(self):
        """Wet bulb as the tables would have it, also where no such air exists."""
        return self.dry_bulb_f - self.depression_f


@dataclass(frozen=True)
class Setpoint:
    """The rung for a moisture content; arrays for an array of them."""

    code: str
    step: object  # number from 1, the wettest
    steps: int
    mc_above_pct: object
    dry_bulb_c: object
    depression_c: object  # a difference
    wet_bulb_c: object
    as_dry_as_it_goes: object


def ladder(code, wet_bulb_floor_f=None):
    """The rungs of a schedule.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    Tuple of Rung, wettest first, the last above 0 %. Where the floor is met the depression is smaller than the table's.

    Raises
    ------
    BadInput : no code. OutOfRange : a floor that would leave no depression at the first rung.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, three tables, *from memory*; floor: Wengert, Hardwood Lumber Kiln
    Schedules, *retrieved*.

    Accuracy
    --------
    As good as that memory, which two retrieved codes and the published settings for Oregon white oak bear out.
    """
    return _floored((understand(code),), _floor(wet_bulb_floor_f))


def mixed_ladder(codes, wet_bulb_floor_f=None):
    """The rungs for several woods in one load: of every step the coolest and the moistest.

    Parameters
    ----------
    codes : sequence of schedule codes, one for each wood or thickness of the load.
    wet_bulb_floor_f : lowest wet bulb to set [°F]. None: no floor.

    Returns
    -------
    Tuple of Rung. The moisture content that leads is that of the slowest wood.

    Raises
    ------
    BadInput : no code, or none given. OutOfRange : as `ladder`.

    Source
    ------
    A careful reading of Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*.

    Accuracy
    --------
    Gentle on all of them, quick for none: the easy wood waits for the slow one.
    """
    parts = tuple(understand(code) for code in ([codes] if isinstance(codes, str) else codes))
    if not parts:
        raise BadInput("schedule_code", text="")
    return _floored(parts, _floor(wet_bulb_floor_f))


def assemble(code, wet_bulb_floor_f=None):
    """The ladder of a schedule as a table.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    DataFrame with mc_above_pct, dry_bulb_f, depression_f, wet_bulb_f and as_dry_as_it_goes, a row for each rung.

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
    import pandas as pd  # slow to load, and a panel does without

    names = ("mc_above_pct", "dry_bulb_f", "depression_f", "wet_bulb_f", "as_dry_as_it_goes")
    rungs = ladder(code, wet_bulb_floor_f)
    return pd.DataFrame({name: [getattr(rung, name) for rung in rungs] for name in names})


def rung_at(rungs, mc_pct):
    """Which rung of a ladder holds at a moisture content, counted from 0.

    Parameters
    ----------
    rungs : sequence of Rung.
    mc_pct : moisture content that leads [%], 0 to 400, any array; on a change point the drier rung counts.

    Returns
    -------
    Number of the rung, NaN for NaN.

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
    changes = -np.array([rung.mc_above_pct for rung in rungs[:-1]])
    at = np.searchsorted(changes, -mc, side="right")
    at = np.where(np.isnan(mc), np.nan, at)
    return int(at) if np.ndim(at) == 0 and at == at else result(at)


def setpoint(code, mc_pct, wet_bulb_floor_f=None):
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
    rungs = ladder(code, wet_bulb_floor_f)
    at = rung_at(rungs, mc_pct)
    known = np.where(np.isnan(at), 0, at).astype(int)

    def taken(name, blank=np.nan):
        values = np.array([getattr(rung, name) for rung in rungs])[known]
        return np.where(np.isnan(at), blank, values)

    dry, depression = units.f_to_c(taken("dry_bulb_f")), taken("depression_f") / 1.8
    driest = taken("as_dry_as_it_goes", False).astype(bool)
    return Setpoint(
        code=str(understand(code)),
        step=at + 1,
        steps=len(rungs),
        mc_above_pct=result(taken("mc_above_pct")),
        dry_bulb_c=result(dry),
        depression_c=result(depression),
        wet_bulb_c=result(dry - depression),
        as_dry_as_it_goes=bool(driest) if driest.ndim == 0 else driest,
    )


@functools.lru_cache(512)
def _floored(codes, floor):
    """Rungs for the most careful of several codes, equal neighbors joined."""
    changes = {0.0}
    for code in codes:
        for steps in (TEMPERATURES[code.temperature], CLASSES[code.mc_class]):
            changes |= {mc for mc in (step if isinstance(step, float) else step[0] for step in steps) if mc < np.inf}
    settings = []
    for mc in sorted(changes, reverse=True):
        dry = min(_dry_bulb(code, mc) for code in codes)
        depression = min(_depression(code, mc) for code in codes)
        if floor is not None:
            depression = min(depression, dry - floor)
            if depression <= 0.0:
                fields = {"floor": (units.f_to_c(floor), "temperature"), "dry": (units.f_to_c(dry), "temperature")}
                raise OutOfRange("schedule_floor", "wet_bulb_floor_f", floor, None, dry, **fields)
        settings.append((mc, dry, depression))
    kept = [
        one for one, after in zip(settings, [*settings[1:], None], strict=True) if after is None or one[1:] != after[1:]
    ]
    below = [None, *(mc for mc, _, _ in kept[:-1])]
    return tuple(
        Rung(mc, top, dry, gap, no_such_air(dry, gap)) for top, (mc, dry, gap) in zip(below, kept, strict=True)
    )


def _floor(wet_bulb_floor_f):
    return None if wet_bulb_floor_f is None else within("The wet-bulb floor", wet_bulb_floor_f, 32.0, 212.0, "ratio")


def _dry_bulb(code, mc_above):
    """Dry bulb just above a moisture content."""
    return [dry for start, dry in TEMPERATURES[code.temperature] if start > mc_above][-1]


def _depression(code, mc_above):
    """Depression just above a moisture content."""
    step = sum(start > mc_above for start in CLASSES[code.mc_class])
    return DEPRESSIONS[code.depression][step - 1]
