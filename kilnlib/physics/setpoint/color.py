"""Woods that lose their color while they are wet: who they are, and the cool dry air that keeps them white."""

from kilnlib import tables
from kilnlib.physics.schedules import ladder, understand
from kilnlib.physics.setpoint.departure import BULB_C, CHECK_PRONE, COOL_CREDIT, IN_STEP_NUMBERS, ONE_NUMBER, SLOW_END
from kilnlib.physics.setpoint.result import CheckResult

WHITE_C = tables.advice("white_below"), tables.advice("white_depression")  # dry bulb and depression that keep white
WELL_UNDER = tables.advice("well_under_the_limit")
DRY_FACES_C = tables.advice("white_woods_opened_with")
MOST_DRIER = ONE_NUMBER ** tables.advice("most_numbers_at_once")  # most that a depression is multiplied by at once


def stains(result: CheckResult, risk: str) -> bool:
    """Whether the wood is known for a stain, and wet enough for it.

    Parameters
    ----------
    result : result.CheckResult.
    risk : "gray", "blue" or "brown".

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/stain_risks.csv, row by row: *retrieved* or *common practice*.

    Accuracy
    --------
    The moisture contents there are round numbers.
    """
    rows = [row for row in tables.records("stain_risks") if row["species"] == result.species and row["risk"] == risk]
    return any(result.mc_pct > float(row["above_mc_pct"]) for row in rows)


def keeps_white(result: CheckResult) -> bool:
    """Whether settings drier than the step are those that keep a wood from graying, at a pace inside its limit.

    Parameters
    ----------
    result : result.CheckResult.

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    Below 110 °F, a depression of about 15 °F: Wengert, Interior gray stain, *retrieved*. At most 16 °F, at 110 °F too,
    and never where the schedule's depression number is 1 or 2: our choice.

    Accuracy
    --------
    The pace is the engine's; as in `departure.verdict` it counts as over the limit where even its slow end is.
    """
    cool = result.dry_bulb_c <= WHITE_C[0] + 1e-6 and result.depression_c <= WHITE_C[1] + 1e-6
    return cool and can_keep_white(result) and SLOW_END * result.points_per_day <= result.limit_points_per_day


def can_keep_white(result: CheckResult) -> bool:
    """Whether a wood that grays, and is wet enough for it, stands the setting of `keeps_white` at all.

    Parameters
    ----------
    result : result.CheckResult.

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    Wengert, Interior gray stain, *retrieved*; that thick stock is left out is our choice.

    Accuracy
    --------
    As `keeps_white`.
    """
    return stains(result, "gray") and result.limit is not None and not check_prone(result)


def check_prone(result: CheckResult) -> bool:
    """Whether the schedule is one for woods whose faces check in dry air.

    Parameters
    ----------
    result : result.CheckResult.

    Returns
    -------
    True or False; False without a schedule.

    Raises
    ------
    Nothing.

    Source
    ------
    Depression numbers 1 and 2, as `departure.departure` has them, *from memory*.

    Accuracy
    --------
    Our choice.
    """
    return result.schedule is not None and understand(result.schedule.code).depression <= CHECK_PRONE


def dry_faces_c(result: CheckResult) -> float | None:
    """The depression to bring a wood to that stains blue, while it stands cool, wet and too moist.

    Parameters
    ----------
    result : result.CheckResult, with a step.

    Returns
    -------
    Depression [°C], or None where there is no reason for it.

    Raises
    ------
    Nothing.

    Source
    ------
    10 to 15 °F below 110 °F: Wengert, *retrieved*. Only with a pace of at most half the limit, in two depression
    numbers at once, and never past the step: our choice.

    Accuracy
    --------
    The pace is the engine's; as in `departure.verdict` it counts as over the limit where even its slow end is.
    """
    depression = result.depression_c
    slow = result.points_per_day <= WELL_UNDER * result.limit_points_per_day
    if result.away is None or result.schedule is None:
        return None
    if not (slow and stains(result, "blue") and result.dry_bulb_c <= WHITE_C[0] + 1e-6) or check_prone(result):
        return None
    still_in_step = result.step_depression_c * ONE_NUMBER ** (
        IN_STEP_NUMBERS - COOL_CREDIT * min(result.away.temperature, 0.0)
    )
    first = ladder(result.schedule.code)[0].depression_f / 1.8
    goal = min(DRY_FACES_C, still_in_step, max(depression * MOST_DRIER, first))
    return goal if goal > depression + BULB_C else None
