"""How far settings stand from a step of a schedule, counted in the schedule's own numbers, and the verdict on that.

The tables have a ruler built in: depression numbers 1 to 8 and temperature numbers 1 to 14 run from mild to harsh, and
handbook practice is to move by one of them at a time. So a departure is counted in numbers, and what a number is worth
is read off the tables. Everything here may only rise with depression and with dry bulb.
"""

import math
from dataclasses import dataclass

from kilnlib.physics.arrays import within
from kilnlib.tables import advice

VERDICTS = ("gentler", "in step", "harder", "too hard", "outside the tables", "beyond this kiln")
GENTLER, IN_STEP, HARDER, TOO_HARD, OUTSIDE, BEYOND = VERDICTS
HARSH = (HARDER, TOO_HARD)

ONE_NUMBER = advice("one_depression_number")
BULB_C = advice("wet_bulb_is_read_to")
WICK_C = advice("dry_wick_below")
DIALED_C = advice("bulbs_are_dialed_to")
NUMBER_C = advice("one_temperature_number")
NUMBER_WET_C = advice("one_temperature_number_wet")
COOL_CREDIT = advice("cool_air_makes_good")
WET_PCT = advice("wood_is_wet_above")
CHECK_PRONE = advice("check_prone_numbers")
DECIMALS = 6  # of a number away: less is rounding dust, so that 5 °F is half a number in every unit
IN_STEP_NUMBERS = advice("in_step_within")
TOO_HARD_NUMBERS = advice("too_hard_above")
LIMIT_FROM_PCT = advice("limit_binds_above")
FASTER = advice("faster_than_step")
LIKELY = (1.0 / advice("engine_is_good_for"), advice("engine_is_good_for"))  # tests/physics/drying/test_published.py
SLOW_END = LIKELY[0]


@dataclass(frozen=True)
class Departure:
    """Numbers away from the step by depression, by temperature, and together; above 0 is harsher."""

    depression: float
    temperature: float
    numbers: float


def departure(
    mc_pct: float,
    dry_bulb_c: float,
    depression_c: float,
    step_dry_bulb_c: float,
    step_depression_c: float,
    depression_number: int,
    as_dry_as_it_goes: bool = False,
) -> Departure:
    """How many numbers settings are away from the step of a schedule.

    Parameters
    ----------
    mc_pct : moisture content that leads [%], 0 to 400.
    dry_bulb_c, depression_c : the settings [°C]; the depression is a difference.
    step_dry_bulb_c, step_depression_c : the step [°C].
    depression_number : that of the schedule, 1 to 8.
    as_dry_as_it_goes : whether the step asks for air as dry as the kiln can make it; then no depression is too deep.

    Returns
    -------
    Departure.

    Raises
    ------
    OutOfRange : a number that is not ordinary.

    Source
    ------
    One depression number is a factor of 1.35: the median of the 30 ratios of neighbors in the depression table that are
    not capped, *computed* from a table *from memory*. Equal within 1 °F, because a wet bulb is hardly read better than
    that (common practice). Ten degrees Fahrenheit are one temperature number, as most steps of the temperature table
    are; five while the wood is wetter than 30 %, since heat is to be kept low until then (Univ. of Kentucky FOR-128
    p. 48) and wet wood that is too hot collapses or honeycombs (Wengert; Wood Handbook ch. 13), all *retrieved*. There
    moist air does not make good for heat. Nor does cool air make good for dry air in woods of depression numbers 1 and
    2: their faces check in dry air, whatever the pace (Wood Handbook ch. 13 p. 13-10, *retrieved*). Otherwise cool air
    makes good for half of its numbers. That lies between two guides: a cooler kiln keeps the schedule's RH or EMC, so
    coolness buys no drier air (AH-188 p. 145, *from memory*); white woods are opened below 110 °F with 10 to 15 °F
    where their schedules have 7 at 130 (Wengert, *retrieved*). What is left of drier air after that is nothing up to
    1.5 °F, as a wet bulb is read to 1 °F and dialed in whole ones. The half, and that a number of one kind weighs as
    much as one of the other, are our choice.

    Accuracy
    --------
    A ruler, not a law: half a number either way means nothing.
    """
    mc = within("Moisture content", mc_pct, 0.0, 400.0, "percent")
    hotter = within("The dry bulb", dry_bulb_c, -20.0, 120.0, "temperature") - step_dry_bulb_c
    deeper = depression_c - step_depression_c
    numbers = 0.0
    if abs(deeper) > BULB_C + 1e-6:
        numbers = math.log(max(depression_c, 0.1) / max(step_depression_c, 0.1)) / math.log(ONE_NUMBER)
    by_depression = min(numbers, 0.0) if as_dry_as_it_goes else numbers
    wet = mc > WET_PCT
    by_temperature = hotter / (NUMBER_WET_C if wet and hotter > 0.0 else NUMBER_C)
    dry_part, hot_part = by_depression, by_temperature
    if wet and hot_part > 0.0:
        dry_part = max(dry_part, 0.0)
    if dry_part > 0.0 and hot_part < 0.0:
        hot_part *= 0.0 if wet and depression_number <= CHECK_PRONE else COOL_CREDIT
        allowed_c = max(step_depression_c, 0.1) * ONE_NUMBER**-hot_part
        if depression_c - allowed_c <= DIALED_C:
            dry_part = min(dry_part, IN_STEP_NUMBERS - hot_part)
    parts = (by_depression, by_temperature, dry_part + hot_part)
    return Departure(*(round(part, DECIMALS) for part in parts))


def verdict(
    away: Departure,
    mc_pct: float,
    points_per_day: float = math.nan,
    limit_points: float = math.nan,
    schedule_points: float = math.nan,
) -> str:
    """What a departure amounts to.

    Parameters
    ----------
    away : Departure.
    mc_pct : moisture content that leads [%].
    points_per_day : expected under these settings [points a day]; NaN where unknown.
    limit_points : published daily limit [points a day]; NaN where there is none.
    schedule_points : expected under the schedule's own step [points a day].

    Returns
    -------
    "gentler", "in step", "harder" or "too hard".

    Raises
    ------
    Nothing.

    Source
    ------
    In step: up to half a number, nearer to this step than to its neighbor. Harder: up to two. One number more is what a
    handbook allows an operator to try on a later charge, *from memory*; from two on it is another wood's schedule. Too
    hard as well: settings whose pace is above the published limit (Univ. of Kentucky FOR-128 Table 9, *retrieved*) even
    at the slow end of what the engine is good for (see `board.dry`), and a fifth above the schedule's own, while the
    limit binds (above 15 % MC: Wengert, *retrieved*). A fifth is what three points of RH do to wet oak (Wengert,
    *retrieved*). So the engine alone never convicts the schedule's own settings. Gentler as well: in step by numbers,
    but slower than the schedule's own step by more than the engine may be off. The bounds of half and two numbers are
    our choice.

    Accuracy
    --------
    On 60 situations judged by hand before this rule existed, its first form agreed in 50. Looking at the other ten then
    led to changes, so the 55 of today check nothing: tests/test_setpoint.py names them and the five that stay apart.
    """
    surely_over = SLOW_END * points_per_day > limit_points and points_per_day > FASTER * schedule_points
    over = mc_pct > LIMIT_FROM_PCT and surely_over
    if over or away.numbers > TOO_HARD_NUMBERS:
        return TOO_HARD
    if away.numbers > IN_STEP_NUMBERS:
        return HARDER
    surely_slow = mc_pct > LIMIT_FROM_PCT and points_per_day < SLOW_END * schedule_points
    return GENTLER if surely_slow or away.numbers < -IN_STEP_NUMBERS else IN_STEP


def with_other_source(index: str, other: str) -> str:
    """The verdict where a second source recommends another schedule.

    Parameters
    ----------
    index : verdict by the schedule of the index.
    other : verdict by the schedule of the other source.

    Returns
    -------
    "in step" where the settings lie on the step of either, or between the two; else the verdict by the index.

    Raises
    ------
    Nothing.

    Source
    ------
    Two sources that disagree stand side by side: red oak is T4-D2 in the index (*from memory*) and T3-D2 with Wengert
    (*retrieved*).

    Accuracy
    --------
    As `verdict`.
    """
    low, high = sorted((VERDICTS.index(index), VERDICTS.index(other)))
    return IN_STEP if low <= VERDICTS.index(IN_STEP) <= high else index
