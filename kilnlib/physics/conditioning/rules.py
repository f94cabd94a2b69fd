"""Ending a charge: equalizing, then conditioning. When to start, which air, when to stop, can this kiln do it.

Equalizing holds the driest board where it is until the wettest has come down to the target. Conditioning is a short
humid and hot stage after it that relieves stress. The numbers stand in tables/finishing.csv with their sources. What
becomes of a whole charge, and the prong test, are in `charge`, the air in `target_air`.
"""

from dataclasses import dataclass

import numpy as np

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range
from kilnlib.physics.wood import nominal

TARGET_PCT = (4.0, 20.0)
WOODS = ("hardwood", "softwood", "lower-grade hardwood")
PRINTED_PCT = 7.0  # the one target for which a conditioning EMC was seen in print
STAGES = ("equalize", "condition")
SIZES = {
    "4/4": ("4/4",),
    "5/4": ("4/4", "8/4"),
    "6/4": ("4/4", "8/4"),
    "8/4": ("8/4",),
}  # rows that bracket a thickness
_ROWS = tables.records("finishing")


@dataclass(frozen=True)
class Equalize:
    """The three numbers of equalizing [%]; `other` holds those of a second source where it disagrees."""

    target_pct: object
    wood: str
    start_driest_pct: object  # start when the driest sample is here
    emc_pct: object  # hold this EMC
    stop_wettest_pct: object  # stop when the wettest sample is here
    source: str
    how: str
    other: object = None


@dataclass(frozen=True)
class Condition:
    """EMC of the conditioning air [%]."""

    target_pct: object
    wood: str
    emc_pct: object
    source: str
    how: str


@dataclass(frozen=True)
class Duration:
    """From how many hours to how many, and the rows of the table behind it."""

    low_h: float
    high_h: float
    rows: tuple


def equalize(target_pct, wood="hardwood"):
    """When to start equalizing, the EMC to hold, and when to stop.

    Parameters
    ----------
    target_pct : moisture content asked for [%], 4 to 20, any array.
    wood : "hardwood", "softwood" or "lower-grade hardwood".

    Returns
    -------
    Equalize; for the last two woods its `other` has the second source's numbers.

    Raises
    ------
    OutOfRange : target out of range; wood not one of the three.

    Source
    ------
    Wengert, Drying Oak Lumber step 6C (2012), and Univ. of Kentucky FOR-128 p. 50: 2 points below the target,
    *retrieved*. Softwoods and lower grades: 3 points in the first, 2 in the second; both are kept.

    Accuracy
    --------
    A rule, exact as printed for 7 %. Samples are known to half a point at best.
    """
    target = _target(target_pct)
    _known(wood, "The wood", WOODS)
    main, *more = [row for row in _ROWS if row["item"] in ("start_below", "other_start_below") and row["wood"] == wood]
    return _equalize(target, wood, main, _equalize(target, wood, more[0]) if more else None)


def _equalize(target, wood, row, other=None):
    below = target - float(row["low"])
    return Equalize(target, wood, below, below, target, row["source"], row["how"], other)


def condition(target_pct, wood="hardwood"):
    """The EMC of the air that relieves stress after equalizing.

    Parameters
    ----------
    target_pct : moisture content asked for [%], 4 to 20, any array.
    wood : "hardwood", "softwood" or "lower-grade hardwood".

    Returns
    -------
    Condition.

    Raises
    ------
    OutOfRange : target out of range; wood not one of the three.

    Source
    ------
    Hardwood, 4 points above the target: Univ. of Kentucky FOR-128 p. 54 for 7 %, *retrieved*; other targets and
    softwood, 3 points above: AH-188 ch. 7, *from memory*.

    Accuracy
    --------
    A rule; air within half a point of it counts as right.
    """
    target = _target(target_pct)
    _known(wood, "The wood", WOODS)
    (row,) = [row for row in _ROWS if row["item"] == "condition_above" and row["wood"] == wood]
    printed = row["how"] == "memory" or np.all(target == PRINTED_PCT)
    return Condition(target, wood, target + float(row["low"]), row["source"], row["how"] if printed else "memory")


def _target(target_pct):
    target = check_range("The target", target_pct, *TARGET_PCT, "percent")
    return float(target) if target.ndim == 0 else target


def _known(text, what, names):
    if text not in names:
        raise OutOfRange("one_of", what, text, what=what, text=text, names=", ".join(names))


def duration(stage, thickness="4/4"):
    """How long equalizing or conditioning may take, as a range. It is never the sign to stop.

    Parameters
    ----------
    stage : "equalize" or "condition".
    thickness : nominal thickness, "4/4" to "8/4"; conditioning only.

    Returns
    -------
    Duration; 5/4 and 6/4 take the range from the rows on both sides of them.

    Raises
    ------
    OutOfRange : another stage or thickness.

    Source
    ------
    Equalizing: Wengert's columns, *retrieved*. Conditioning: AH-188, *from memory*, with a case of 34 h from NC State
    and FOR-128 p. 56, *retrieved*. Every row is kept.

    Accuracy
    --------
    A few cases, not a law: density, temperature and spread of the load decide. No upper end is printed for thick wood.
    """
    _known(stage, "The stage", STAGES)
    size = nominal(thickness)
    _known(size, "The thickness", tuple(SIZES))
    sizes = SIZES[size] if stage == "condition" else ("",)
    rows = tuple(row for row in _ROWS if row["item"] == f"{stage}_hours" and row["thickness"] in sizes)
    return Duration(min(float(row["low"]) for row in rows), max(float(row["high"]) for row in rows), rows)
