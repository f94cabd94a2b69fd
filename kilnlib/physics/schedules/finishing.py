"""Ending a charge: equalizing, then conditioning. When to start, which air, when to stop, can this kiln do it.

Equalizing holds the driest board where it is until the wettest has come down to the target. Conditioning is a short
humid and hot stage after it that relieves stress. The numbers stand in tables/finishing.csv with their sources. What
becomes of a whole charge, the prong test and the air to set are in the package `conditioning`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range

TARGET_PCT = (4.0, 20.0)
WOODS = ("hardwood", "softwood", "lower-grade hardwood")
PRINTED_PCT = 7.0  # the one target for which a conditioning EMC was seen in print
_ROWS = tables.records("finishing")


@dataclass(frozen=True)
class Equalize:
    """The three numbers of equalizing [%]; `other` holds those of a second source where it disagrees."""

    target_pct: float | np.ndarray
    wood: str
    start_driest_pct: float | np.ndarray  # start when the driest sample is here
    emc_pct: float | np.ndarray  # hold this EMC
    stop_wettest_pct: float | np.ndarray  # stop when the wettest sample is here
    source: str
    how: str
    other: "Equalize | None" = None


@dataclass(frozen=True)
class Condition:
    """EMC of the conditioning air [%]."""

    target_pct: float | np.ndarray
    wood: str
    emc_pct: float | np.ndarray
    source: str
    how: str


def equalize(target_pct: ArrayLike, wood: str = "hardwood") -> Equalize:
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
    main, *more = _below_rows(wood)
    return _equalize(target, wood, main, _equalize(target, wood, more[0]) if more else None)


def start_below_points(wood: str = "hardwood") -> float:
    """How far below the target the driest board stands when equalizing begins.

    Parameters
    ----------
    wood : "hardwood", "softwood" or "lower-grade hardwood".

    Returns
    -------
    Points of moisture content below the target [%].

    Raises
    ------
    OutOfRange : wood not one of the three.

    Source
    ------
    As `equalize`, the first source; *retrieved*.

    Accuracy
    --------
    As `equalize`.
    """
    return float(_below_rows(wood)[0]["low"])


def _below_rows(wood):
    _known(wood, "The wood", WOODS)
    return [row for row in _ROWS if row["item"] in ("start_below", "other_start_below") and row["wood"] == wood]


def _equalize(target, wood, row, other=None):
    below = target - float(row["low"])
    return Equalize(target, wood, below, below, target, row["source"], row["how"], other)


def condition(target_pct: ArrayLike, wood: str = "hardwood") -> Condition:
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
