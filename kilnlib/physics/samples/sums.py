"""The sums of a sample board: sections, calculated oven-dry weight, moisture content today, the board that decides.

A sample board is a short weighed board that stands for the load. A section is the inch cut off beside it, dried in an
oven at once to learn how wet the board is. Weights may be in any unit, as long as both of a sum are in the same one.
"""

import math

import numpy as np

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, positive, result

SECTION_SPREAD_POINTS = tables.advice("sections_apart")
MC_PCT = (0.0, 400.0)
BOARDS = (2.0, 1000.0)  # the counts of sample boards for which a sampling error is given


def section_mean_pct(section_mcs: Values) -> AsGiven:
    """Moisture content of a sample board when it was cut: the mean of the sections from its two ends.

    Parameters
    ----------
    section_mcs : moisture contents of the sections [%], 0 to 400, along the last axis.

    Returns
    -------
    Their mean [%].

    Raises
    ------
    OutOfRange : no sections; a moisture content out of range.

    Source
    ------
    Wengert, Drying Oak Lumber, step 3B; *retrieved*.

    Accuracy
    --------
    Half of what the two sections differ by. When they differ by more than 10 points, see `sections_disagree`.
    """
    return result(np.mean(_some(section_mcs), axis=-1))


def sections_disagree(section_mcs: Values) -> AsGiven:
    """Whether the sections of one board differ so much that their mean cannot be trusted.

    Parameters
    ----------
    section_mcs : moisture contents of the sections [%], 0 to 400, along the last axis.

    Returns
    -------
    True where the wettest and the driest are more than 10 points apart; an array for an array of boards.

    Raises
    ------
    OutOfRange : no sections; a moisture content out of range.

    Source
    ------
    Common practice: a wet pocket, a slip at the balance or a section left too short in the oven.

    Accuracy
    --------
    A warning, not a proof: boards with a wet heart do differ by more.
    """
    mcs = _some(section_mcs)
    apart = np.max(mcs, axis=-1) - np.min(mcs, axis=-1) > SECTION_SPREAD_POINTS + 1e-9
    return bool(apart) if np.ndim(apart) == 0 else apart


def ovendry_weight(weight: Values, mc_pct: Values) -> AsGiven:
    """Calculated oven-dry weight of a sample board: what it would weigh bone dry, without drying it.

    Parameters
    ----------
    weight : weight when its sections were cut [any unit], above 0.
    mc_pct : mean moisture content of the sections [%], 0 to 400.

    Returns
    -------
    Oven-dry weight [the same unit].

    Raises
    ------
    OutOfRange : a weight of zero or less; moisture content out of range.

    Source
    ------
    Wengert, Drying Oak Lumber, step 3B; *retrieved*.

    Accuracy
    --------
    2 points of error in the sections move a board at 60 % MC by 1.2 % of its oven-dry weight, and every later reading
    with it.
    """
    heavy = positive("The weight", weight)
    mc = check_range("Moisture content", mc_pct, *MC_PCT, "percent")
    return result(100.0 * heavy / (100.0 + mc))


def sample_mc_pct(weight: Values, ovendry_weight: Values) -> AsGiven:
    """Moisture content of a sample board today.

    Parameters
    ----------
    weight : weight today [any unit], above 0.
    ovendry_weight : its calculated oven-dry weight [the same unit], above 0.

    Returns
    -------
    Moisture content [%]; below zero where the board weighs less than its calculated oven-dry weight. That cannot be:
    a slip, or an oven-dry weight that needs a recut.

    Raises
    ------
    OutOfRange : a weight of zero or less.

    Source
    ------
    Wengert, Drying Oak Lumber, step 3B; *retrieved*.

    Accuracy
    --------
    Weigh to four digits: 0.01 lb on a board of 2.75 lb oven-dry is 0.4 point.
    """
    return result(100.0 * (positive("The weight", weight) / positive("The oven-dry weight", ovendry_weight) - 1.0))


def points_per_day(mc_before_pct: Values, mc_now_pct: Values, days: Values) -> AsGiven:
    """How fast a board loses water between any two weighings.

    Parameters
    ----------
    mc_before_pct : moisture content at the first weighing [%].
    mc_now_pct : moisture content at the second [%].
    days : days between them, above 0; 12 hours are 0.5.

    Returns
    -------
    Points of moisture content lost in a day; negative where the board gained.

    Raises
    ------
    OutOfRange : no time between the weighings.

    Source
    ------
    Limits are in points a day: Univ. of Kentucky FOR-128 Table 9 p. 91, *retrieved*.

    Accuracy
    --------
    A day's mean can hide a few hours of faster drying.
    """
    time = positive("The time between the weighings, in days,", days, "1")
    return result((np.asarray(mc_before_pct, dtype=float) - np.asarray(mc_now_pct, dtype=float)) / time)


def controlling_mc_pct(mcs: Values) -> AsGiven:
    """The moisture content that decides the next change: the mean of the wettest half of the samples.

    Parameters
    ----------
    mcs : moisture contents of the samples [%], along the last axis; with an odd count the middle board counts as wet.

    Returns
    -------
    Mean of the wettest half [%].

    Raises
    ------
    OutOfRange : no samples.

    Source
    ------
    Bois, Some Considerations in Drying Oak; Wengert, columns on schedules; both *retrieved*. FPL-GTR-57 p. 9
    (*retrieved*) writes of the average of the wood instead: this workbook follows the wettest half. The rule for the
    odd board is ours.

    Accuracy
    --------
    No better than the samples stand for the load: see `sampling_error_pct`.
    """
    wettest = np.sort(_some(mcs, None), axis=-1)[..., ::-1]
    return result(np.mean(wettest[..., : math.ceil(wettest.shape[-1] / 2)], axis=-1))


def sampling_error_pct(boards: Values) -> AsGiven:
    """How far the mean of so many sample boards may be from the mean of the load.

    Parameters
    ----------
    boards : number of sample boards, 2 to 1,000.

    Returns
    -------
    Error either way [% of the mean moisture content].

    Raises
    ------
    OutOfRange : fewer than 2 boards: one alone says nothing about the others.

    Source
    ------
    Forest Products Society, Estimating the moisture content of lumber during the drying process, abstract: 38, 15.9
    and 10.8 % for 2, 6 and 12 boards of redwood; *retrieved*. Between them a straight line on logarithmic scales, above
    12 the square root of the count; *computed*, ours.

    Accuracy
    --------
    One species, one study; the abstract does not say at which confidence. Use it to compare counts of boards.
    """
    count = check_range("The number of sample boards", boards, *BOARDS, "count")
    rows = tables.records("sampling_error")
    counts, errors = (np.array([float(row[column]) for row in rows]) for column in ("boards", "error_pct"))
    between = np.exp(np.interp(np.log(count), np.log(counts), np.log(errors)))
    return result(np.where(count > counts[-1], errors[-1] * np.sqrt(counts[-1] / count), between))


def _some(mcs, low=MC_PCT[0], high=MC_PCT[1]):
    """Moisture contents as float array with at least one along the last axis."""
    array = np.atleast_1d(np.asarray(mcs, dtype=float))
    if array.shape[-1] == 0:
        raise OutOfRange("no_samples", "mcs", 0)
    return array if low is None else check_range("Moisture content", array, low, high, "percent")
