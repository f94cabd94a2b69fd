"""Which weighings of a sample board can be true, what each is compared with, and what has to be asked.

In doubt is what lies below oven-dry or above what the wood can hold, what fell further than wood can, and a gain above
fiber saturation, where no air makes wood heavier. Such a gain can be true, within a day's reach and below the first
moisture content: the weight before it may be wrong. A recut proves its own weight once its sections are dry. A second
weighing within hours answers a question: one that agrees is believed, and one that raises no question itself lets the
first be a slip.
"""

import math

from kilnlib.physics.wood import FSP_PCT
from kilnlib.tables import advice

NAN = float("nan")
SLIP_POINTS_PER_DAY = advice("slip_points_a_day")
PACE_HOURS = advice("pace_taken_over")
AGREE_SHARE = advice("weighings_agree_within")
STEP_SLACK = 1e-6  # a difference of one step, reckoned in kilograms, is a step


def walk(board):
    """The weighings of a board one after the other.

    Parameters
    ----------
    board : SampleBoard.

    Returns
    -------
    ({number: (code, fields)} of odd weighings; for each weighing the number of the one whose moisture content stands,
    or None; for each the number of the one its pace is taken from, or None).

    Raises
    ------
    Nothing.

    Source
    ------
    Ours; *common practice*: a weight that cannot be is weighed again.

    Accuracy
    --------
    A slip within a day's drying looks like drying.
    """
    proven = {recut.when for recut in board.recuts if not math.isnan(recut.mean_mc_pct)}
    odd, stands, since, true = {}, [], [], []
    for number, weighing in enumerate(board.weighings):
        before = next((n for n in reversed(true) if _hours(board, n, number) >= PACE_HOURS), None)
        question, doubt, wild = _judged(board, number, before, true, proven)
        possible = not _impossible(board, number)
        again = number > 0 and _hours(board, number - 1, number) < PACE_HOURS
        if again and _agree(board, number - 1, number):
            if possible:
                question, doubt, wild = None, False, False
            elif number - 1 in odd:
                question = "ask_recut", {"dry": (board.ovendry_at(number), "weight")}
                odd[number - 1] = "ask_recut", {"dry": (board.ovendry_at(number - 1), "weight")}
        if again and question is None and not _impossible(board, number - 1):
            odd.pop(number - 1, None)
        if question is not None:
            odd[number] = question
        sure = possible and weighing.when in proven
        stands.append(number if sure or not doubt else stands[-1] if stands else None)
        since.append(before)
        if sure or not wild:
            true.append(number)
    return odd, tuple(stands), tuple(since)


def _judged(board, number, before, true, proven):
    """(question or None, whether it is in doubt, whether it cannot be true) of one weighing by itself."""
    weighing, mc = board.weighings[number], board.mcs_pct[number]
    if mc < 0:
        better = any(when > weighing.when for when in proven)
        fields = {"dry": (board.ovendry_at(number), "weight")}
        return ("ask_below_recut" if better else "ask_below_ovendry", fields), True, True
    question, doubt, wild = None, False, False
    if before is not None:
        question, doubt, wild = _compared(board, number, before, true)
    elif true:  # weighed twice within hours
        if not _agree(board, true[-1], number):
            question, doubt, wild = ("ask_twice", {"before": (board.left_kg(true[-1]), "weight")}), True, True
    elif number and weighing.when in proven and weighing.weight_kg > board.left_kg(number - 1):
        question = "ask_recut_weight", {"before": (board.left_kg(number - 1), "weight")}
    if mc > board.highest_pct:
        limit = {"mc": (mc, "percent"), "limit": (board.highest_pct, "percent")}
        return question or ("ask_above_highest", limit), True, True
    return question, doubt, wild


def _compared(board, number, before, true):
    """The same of a weighing beside one that was hours before."""
    points, mc, started = board.points_per_day(before, number), board.mcs_pct[number], board.left_kg(before)
    if board.weighings[number].weight_kg > started:
        wild = mc > board.mcs_pct[true[0]] or points < -SLIP_POINTS_PER_DAY
        return ("ask_rising", {"before": (started, "weight")}), mc > FSP_PCT, wild
    if points > SLIP_POINTS_PER_DAY:
        return ("ask_falling", {"points": (points, "points")}), True, True
    return None, False, False


def _impossible(board, number):
    return board.mcs_pct[number] < 0 or board.mcs_pct[number] > board.highest_pct


def _hours(board, first, second):
    return (board.weighings[second].when - board.weighings[first].when).total_seconds() / 3600.0


def _agree(board, first, second):
    """Whether two weighings say the same, but for the scale."""
    before, now = board.left_kg(first), board.weighings[second].weight_kg
    return abs(before - now) <= max(AGREE_SHARE * before, board.scale_step_kg * (1 + STEP_SLACK))
