"""What the schedule on the door asks of a plan, as far as a small kiln goes, and what a board may lose in a day."""

import functools

from kilnlib.errors import NotFound
from kilnlib.physics import air
from kilnlib.physics.charge.plan import Plan
from kilnlib.physics.samples import safe_rate_pct_per_day
from kilnlib.physics.schedules import ScheduleStep, code_for, ladder, step_at
from kilnlib.tables import advice
from kilnlib.units import f_to_c

DRIEST_RH_PCT = 25.0  # the most that the card asks for; a dial goes further
HEAT_AT_ONCE_K = advice("one_temperature_number")


@functools.lru_cache(maxsize=64)
def card(plan: Plan) -> tuple[ScheduleStep, ...]:
    """The schedule on the door: of the plan's wood and thickness, or T3-C2 where the tables hold none."""
    try:
        return ladder(code_for(plan.wood, plan.thickness).code)
    except NotFound:
        return ladder("T3-C2")


def limit_points(plan: Plan) -> float:
    """The most that a board of the plan may lose in a day.

    Parameters
    ----------
    plan : Plan.

    Returns
    -------
    Moisture content a day [points]; infinite where no limit is published.

    Raises
    ------
    Nothing.

    Source
    ------
    `samples.safe_rate_pct_per_day`; *retrieved*.

    Accuracy
    --------
    As there.
    """
    try:
        return safe_rate_pct_per_day(plan.wood, plan.thickness)
    except NotFound:
        return float("inf")


def card_bulbs_c(plan: Plan, mc_pct: float) -> tuple[float, float]:
    """What the card asks for at a moisture content, as far as a small kiln goes.

    Parameters
    ----------
    plan : Plan.
    mc_pct : controlling moisture content [%].

    Returns
    -------
    Dry and wet bulb [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    `schedules.ladder`, *from memory*; at most the plan's `hottest_c` and at least 25 % RH, our choice.

    Accuracy
    --------
    That of the schedule.
    """
    step, dry = _step(plan, mc_pct), card_dry_bulb_c(plan, mc_pct)
    driest = float(air.wet_bulb_c(dry, DRIEST_RH_PCT))
    return dry, max(dry - step.depression_f / 1.8, driest)


def printed_bulbs_c(plan: Plan, mc_pct: float) -> tuple[float, float]:
    """What the card itself asks for at a moisture content, also where a small kiln cannot.

    Parameters
    ----------
    plan : Plan.
    mc_pct : controlling moisture content [%].

    Returns
    -------
    Dry and wet bulb [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    `schedules.ladder`, *from memory*.

    Accuracy
    --------
    That of the schedule.
    """
    step = _step(plan, mc_pct)
    return f_to_c(step.dry_bulb_f), f_to_c(step.wet_bulb_f)


def next_step_pct(plan: Plan, mc_pct: float) -> float | None:
    """From which moisture content the next step of the card counts.

    Parameters
    ----------
    plan : Plan.
    mc_pct : controlling moisture content [%].

    Returns
    -------
    Moisture content [%]; None on the last step.

    Raises
    ------
    Nothing.

    Source
    ------
    `schedules.ladder`, *from memory*.

    Accuracy
    --------
    That of the schedule.
    """
    step = _step(plan, mc_pct)
    return None if step is card(plan)[-1] else step.mc_above_pct


def card_is_capped(plan: Plan, mc_pct: float) -> bool:
    """Whether the card would go hotter or drier at a moisture content than a small kiln can.

    Parameters
    ----------
    plan : Plan.
    mc_pct : controlling moisture content [%].

    Returns
    -------
    Whether `card_bulbs_c` gives less than the card.

    Raises
    ------
    Nothing.

    Source
    ------
    As `card_bulbs_c`, *from memory*.

    Accuracy
    --------
    That of the schedule.
    """
    step, (dry, wet) = _step(plan, mc_pct), card_bulbs_c(plan, mc_pct)
    return f_to_c(step.dry_bulb_f) > dry + 0.01 or step.depression_f / 1.8 > dry - wet + 0.01


def card_dry_bulb_c(plan: Plan, mc_pct: float) -> float:
    """Dry bulb that the card asks for at a moisture content, as far as a small kiln goes.

    Parameters
    ----------
    plan : Plan.
    mc_pct : moisture content [%].

    Returns
    -------
    Dry bulb [°C].

    Raises
    ------
    Nothing.

    Source
    ------
    As `card_bulbs_c`, *from memory*.

    Accuracy
    --------
    That of the schedule.
    """
    return min(f_to_c(_step(plan, mc_pct).dry_bulb_f), plan.hottest_c)


def _step(plan, mc_pct):
    steps = card(plan)
    return steps[step_at(steps, max(mc_pct, 0.1))]
