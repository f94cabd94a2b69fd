"""A whole charge through equalizing and conditioning, how uneven it is on the way, and what its prongs say."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from kilnlib import tables
from kilnlib.errors import BadInput, Notice, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.arrays import check_range
from kilnlib.physics.drying import Board, History, Step, at_hours, dry
from kilnlib.physics.schedules import Condition, Equalize
from kilnlib.units import IN_M

TRIED_H = (200.0, 2000.0)  # nearly every charge is even in the first of these
OVERDRIED_POINTS = tables.advice("overdried_from")
_NUMBERS = {row["item"]: float(row["low"]) for row in tables.records("finishing")}
FIRST, MORE, BEND_M = int(_NUMBERS["prong_first"]), int(_NUMBERS["prong_more"]), _NUMBERS["prong_bend"] * IN_M
_ADVICE = {
    "invalid": "prongs_invalid",
    "more": "prongs_more",
    "pass": "prongs_pass",
    "longer": "prongs_longer",
    "mixed": "prongs_mixed",
    "reversed": "prongs_reversed",
}
_BY_TIME = ("average_pct", "shell_pct", "core_pct", "surface_pct", "profile_pct")


@dataclass(frozen=True)
class Uneven:
    """Moisture contents of a charge [%]: the driest, the mean, what is out of the span, what to do."""

    driest_pct: float
    average_pct: float
    too_dry: int  # boards below the start of equalizing, by more than a sample may be wrong
    too_wet: int  # boards above the target
    advice: Notice


@dataclass(frozen=True)
class Finish:
    """A charge from its start to the end of conditioning; `ends_h`: when drying, equalizing and conditioning end."""

    history: History
    ends_h: tuple[float, ...]
    dried: Uneven
    equalized: Uneven
    conditioned: Uneven


@dataclass(frozen=True)
class ProngTest:
    """Sections cut, and what they decide: "invalid", "more", "pass", "longer", "mixed", "reversed"."""

    cut: int
    verdict: str
    advice: Notice


def uneven(mcs_pct: "float | Sequence[float] | np.ndarray", plan: Equalize) -> Uneven:
    """How uneven a charge is near its end, and what that asks for.

    Parameters
    ----------
    mcs_pct : moisture contents of the sample boards [%], 0 to 400.
    plan : conditioning.Equalize, plain numbers.

    Returns
    -------
    Uneven; NaN where a moisture content is unknown.

    Raises
    ------
    BadInput : no samples. OutOfRange : a moisture content out of range.

    Source
    ------
    Start on the driest, stop on the wettest: Wengert, Drying Oak Lumber step 6C (2012), *retrieved*. Half a point of
    grace before a board counts as too dry: our choice.

    Accuracy
    --------
    That of the samples. A few boards never show the extremes of a load: see `sampling.sampling_error_pct`.
    """
    mcs = np.atleast_1d(check_range("Moisture content", mcs_pct, 0.0, 400.0, "percent")).ravel()
    if not len(mcs):
        raise BadInput("no_samples")
    driest, wettest = float(mcs.min()), float(mcs.max())
    too_dry = int(np.sum(mcs < plan.start_driest_pct - OVERDRIED_POINTS - 1e-9))
    too_wet = int(np.sum(mcs > plan.stop_wettest_pct + 1e-9))
    if np.isnan(mcs).any():
        code = "end_unknown"
    elif too_dry:
        code = "end_too_dry"
    elif driest > plan.start_driest_pct + 1e-9 and too_wet:
        code = "end_dry_on"
    else:
        code = "end_equalize" if too_wet else "end_even"
    fields = {
        "driest": (driest, "percent"),
        "wettest": (wettest, "percent"),
        "start": (float(plan.start_driest_pct), "percent"),
        "target": (float(plan.stop_wettest_pct), "percent"),
        "emc": (float(plan.emc_pct), "percent"),
    }
    advice = Notice(code, **fields, too_dry=too_dry)
    return Uneven(driest, float(mcs.mean()), too_dry, too_wet, advice)


def finish(
    boards: Sequence[Board],
    dried: History,
    plan: Equalize,
    treatment: Condition,
    dry_bulbs_c: tuple[float, float],
    start_pct: float | None = None,
    equalize_hours: float | None = None,
    condition_hours: float = 0.0,
    pressure_pa: float = air.STANDARD_PA,
) -> Finish:
    """Take a batch of boards from drying through equalizing and conditioning.

    Parameters
    ----------
    boards : sequence of board.Board, as they were dried.
    dried : board.History of them, going on for longer than is needed.
    plan : conditioning.Equalize.
    treatment : conditioning.Condition.
    dry_bulbs_c : dry bulb of equalizing and of conditioning [°C].
    start_pct : where the driest board stands when equalizing begins [%]; left out, as the plan says.
    equalize_hours : hours of equalizing, 0 for none; left out, until the wettest board is at the target.
    condition_hours : hours of conditioning [h], 0 for none.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Finish.

    Raises
    ------
    BadInput : the drying that is given ends before the driest board is there. OutOfRange : as `board.dry`.

    Source
    ------
    `board.dry`; *computed*.

    Accuracy
    --------
    As `board.dry`, which knows no difference between drying and wetting: in the one published case of conditioning at
    hand, on which nothing was tuned, it gains 1.4 points where 1.25 are printed (`checks.compare`).
    """
    start = float(check_range("The start of equalizing", plan.start_driest_pct if start_pct is None else start_pct,
                              0.0, 400.0, "percent"))  # fmt: skip
    first = _until(dried, dried.average_pct.min(axis=1), start)
    if first is None:
        driest = (float(dried.average_pct[-1].min()), "percent")
        raise BadInput("end_never", driest=driest, start=(start, "percent"))
    parts, ends = [first], [float(first.hours[-1])]
    air_then, hours_then = (plan.emc_pct, treatment.emc_pct), (equalize_hours, condition_hours)
    for dry_c, emc_pct, hours in zip(dry_bulbs_c, air_then, hours_then, strict=True):
        length = 0.0 if hours is None else float(hours)
        if hours is None or length > 0.0:
            going_on = _going_on(boards, parts[-1])
            for tried_h in TRIED_H if hours is None else (length,):
                part = dry(going_on, [Step(dry_c, emc_pct=emc_pct, hours=tried_h)], pressure_pa)
                reached = hours is None and _until(part, part.average_pct.max(axis=1), plan.stop_wettest_pct)
                if reached:
                    part = reached
                    break
            length = float(part.hours[-1])
            if length > 0.0:
                parts.append(part)
        ends.append(ends[-1] + length)
    history = _joined(parts, ends)
    stages = (uneven(at_hours(history, min(end, history.hours[-1])).average_pct[0], plan) for end in ends)
    return Finish(history, tuple(ends), *stages)


def _until(history, curve, level):
    """A history up to where a curve has come down to a level; None if it never does."""
    below = curve <= level
    at = int(np.argmax(below))
    if not below[at]:
        return None
    hour = history.hours[0]
    if at:
        share = (curve[at - 1] - level) / (curve[at - 1] - curve[at])
        hour = history.hours[at - 1] + share * (history.hours[at] - history.hours[at - 1])
    return at_hours(history, np.append(history.hours[history.hours < hour], hour))


def _going_on(boards, history):
    """Boards that start as they stand at the end of a history."""
    return [replace(board, start_mc_pct=one_board(history, number)) for number, board in enumerate(boards)]


def one_board(history: History, number: int) -> History:
    """The history of one board of a batch.

    Parameters
    ----------
    history : board.History of several boards.
    number : which, from 0.

    Returns
    -------
    board.History of that board.

    Raises
    ------
    Nothing.

    Source
    ------
    A choice out of a batch; *computed*.

    Accuracy
    --------
    As `board.dry`.
    """
    curves = {name: getattr(history, name)[:, number] for name in (*_BY_TIME, "lost_pct")}
    return replace(history, depth_m=history.depth_m[number], **curves)


def _joined(parts, ends):
    """Histories that go on from each other, as one; each repeats the last moment of the one before."""
    hours, lost = [parts[0].hours], [parts[0].lost_pct]
    for part in parts[1:]:
        hours.append(hours[-1][-1] + part.hours[1:])
        lost.append(lost[-1][-1] + part.lost_pct[1:])
    curves = {
        name: np.concatenate([getattr(part, name)[min(number, 1) :] for number, part in enumerate(parts)])
        for name in _BY_TIME
    }
    return replace(parts[0], hours=np.concatenate(hours), lost_pct=np.concatenate(lost),
                   step_end_hours=np.array(ends), **curves)  # fmt: skip


def prong_test(bends_m: "float | Sequence[float] | np.ndarray", evened: bool = True) -> ProngTest:
    """What the prongs of the sections cut so far decide.

    Parameters
    ----------
    bends_m : how far each section's prongs bend [m], in the order cut; inward positive, outward negative.
    evened : whether the moisture in the sections was evened out before they were read.

    Returns
    -------
    ProngTest.

    Raises
    ------
    OutOfRange : a bend that is no ordinary number, or beyond 2 inches.

    Source
    ------
    Wengert, column Casehardening, *retrieved*: prongs about 6 in long and a quarter of the thickness each, straight
    within 1/8 in; ten sections, twenty more if any of them fails. That one failure among the twenty sends the charge
    back to conditioning, that conditioning goes on only while more bend inward than outward, and that a charge with
    both is called mixed: our rules.

    Accuracy
    --------
    Of cuts across the board. Lengthwise and growth stress need a board ripped, not a section.
    """
    bends = np.atleast_1d(check_range("The bend of a prong", bends_m, -2 * IN_M, 2 * IN_M, "thickness")).ravel()
    if np.isnan(bends).any():
        raise OutOfRange("not_finite", "bends_m", np.nan, what="The bend of a prong", example=(0.002, "thickness"))
    limit = BEND_M * (1.0 + 1e-9)
    inward, outward = bends > limit, bends < -limit
    bad = inward | outward
    cut = len(bends)
    if not evened:
        verdict = "invalid"
    elif cut < FIRST:
        verdict = "more"
    elif outward.sum() > inward.sum():
        verdict = "reversed"
    elif not bad.any() or (cut >= FIRST + MORE and not bad[FIRST:].any()):
        verdict = "pass"
    else:
        verdict = "more" if cut < FIRST + MORE else "mixed" if outward.any() else "longer"
    still_to_cut = FIRST - cut if cut < FIRST else FIRST + MORE - cut
    largest = float(np.abs(bends).max(initial=0.0))
    sizes = {"limit": (BEND_M, "thickness"), "largest": (largest, "thickness")}
    advice = Notice(_ADVICE[verdict], cut=cut, failed=int(bad.sum()), wanted=still_to_cut, inward=int(inward.sum()),
                    outward=int(outward.sum()), **sizes)  # fmt: skip
    return ProngTest(cut, verdict, advice)
