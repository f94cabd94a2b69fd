"""Which weighings of a sample board can be true, what each is compared with, and what has to be asked.

In doubt is what lies below oven-dry or above what the wood can hold, what fell further than wood can, and a gain above
fiber saturation, where no air makes wood heavier. Such a gain can be true, within a day's reach and below the first
moisture content: the weight before it may be wrong. A recut proves its own weight once its sections are dry. A second
weighing within hours answers a question: one that agrees is believed, and one that raises no question itself lets the
first be a slip.
"""

import math
from typing import TYPE_CHECKING

from kilnlib.errors import Fields
from kilnlib.physics.wood import FSP_PCT
from kilnlib.tables import advice

if TYPE_CHECKING:
    from kilnlib.physics.samples.board import SampleBoard

NAN = float("nan")
SLIP_POINTS_PER_DAY = advice("slip_points_a_day")
PACE_HOURS = advice("pace_taken_over")
AGREE_SHARE = advice("weighings_agree_within")
STEP_SLACK = 1e-6  # so that a difference of exactly one step of the scale, turned to kilograms, counts as one

Question = tuple[str, Fields]  # code of a Notice, and what it is filled with


def walk(board: "SampleBoard") -> tuple[dict[int, Question], tuple[int | None, ...], tuple[int | None, ...]]:
    """The weighings of a board one after the other: the odd ones, what stands at each, and what its pace is taken from.

    The odd ones by number, each with its question. For each weighing the number of the one whose moisture content
    stands, and the number of the one its pace is taken from; None where there is none. Ours, *common practice*: a
    weight that cannot be is weighed again. A slip within a day's drying looks like drying.
    """
    proven = {recut.when for recut in board.recuts if not math.isnan(recut.mean_mc_pct)}
    questions: dict[int, Question] = {}
    stands: list[int | None] = []
    compared_with: list[int | None] = []
    believable: list[int] = []  # numbers of the weighings that can be true
    for number, weighing in enumerate(board.weighings):
        before = next((n for n in reversed(believable) if _hours(board, n, number) >= PACE_HOURS), None)
        question, doubt, untrue = _judged(board, number, before, believable, proven)
        possible = not _impossible(board, number)
        soon_after = number > 0 and _hours(board, number - 1, number) < PACE_HOURS
        if soon_after and _agree(board, number - 1, number):
            if possible:
                question, doubt, untrue = None, False, False
            elif number - 1 in questions:
                question = "ask_recut", {"dry": (board.ovendry_at(number), "weight")}
                questions[number - 1] = "ask_recut", {"dry": (board.ovendry_at(number - 1), "weight")}
        if soon_after and question is None and not _impossible(board, number - 1):
            questions.pop(number - 1, None)
        if question is not None:
            questions[number] = question
        sure = possible and weighing.when in proven
        stands.append(number if sure or not doubt else stands[-1] if stands else None)
        compared_with.append(before)
        if sure or not untrue:
            believable.append(number)
    return questions, tuple(stands), tuple(compared_with)


def _judged(board, number, before, believable, proven):
    """(question or None, whether it is in doubt, whether it cannot be true) of one weighing by itself."""
    weighing, mc = board.weighings[number], board.mcs_pct[number]
    if mc < 0:
        better = any(when > weighing.when for when in proven)
        fields = {"dry": (board.ovendry_at(number), "weight")}
        return ("ask_below_recut" if better else "ask_below_ovendry", fields), True, True
    question, doubt, untrue = None, False, False
    if before is not None:
        question, doubt, untrue = _compared(board, number, before, believable)
    elif believable:  # weighed twice within hours
        if not _agree(board, believable[-1], number):
            question, doubt, untrue = ("ask_twice", {"before": (board.left_kg(believable[-1]), "weight")}), True, True
    elif number and weighing.when in proven and weighing.weight_kg > board.left_kg(number - 1):
        question = "ask_recut_weight", {"before": (board.left_kg(number - 1), "weight")}
    if mc > board.highest_pct:
        limit = {"mc": (mc, "percent"), "limit": (board.highest_pct, "percent")}
        return question or ("ask_above_highest", limit), True, True
    return question, doubt, untrue


def _compared(board, number, before, believable):
    """The same of a weighing beside one that was hours before."""
    points, mc, started = board.points_per_day(before, number), board.mcs_pct[number], board.left_kg(before)
    if board.weighings[number].weight_kg > started:
        untrue = mc > board.mcs_pct[believable[0]] or points < -SLIP_POINTS_PER_DAY
        return ("ask_rising", {"before": (started, "weight")}), mc > FSP_PCT, untrue
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
