"""The one thing to dial next, from where the settings are toward the step of the schedule.

No sentence stands here: the words are in the words under "setpoint.change.…".
"""

import math

from kilnlib import units
from kilnlib.physics import air
from kilnlib.physics.schedules import Air, Kiln, Reach, ladder, reach, widest_depression_c
from kilnlib.physics.setpoint.color import DRY_FACES_C, MOST_DRIER, dry_faces_c, keeps_white, stains
from kilnlib.physics.setpoint.departure import (
    BULB_C,
    COOL_CREDIT,
    GENTLER,
    HARSH,
    IN_STEP_NUMBERS,
    ONE_NUMBER,
    OUTSIDE,
    WET_PCT,
)
from kilnlib.physics.setpoint.result import Change, CheckResult
from kilnlib.tables import advice

WICK_C = advice("dry_wick_below")
DRIEST_SLACK_PCT = advice("driest_air_slack")
MOST_HEAT_C = advice("most_heat_at_once")
MUCH_COOLER_C = advice("much_cooler_than_step")
SAME_C = 1e-7
GAP_LEFT = advice("depression_left_by_cooling")
TOWARD = {"lower_wet_bulb": "lower_wet_bulb_toward", "raise_dry_bulb": "raise_dry_bulb_toward"}  # a step out of reach


def next_change(result: CheckResult, verdict: str, kiln: Kiln | None) -> Change:
    """The one thing to dial next: depression first, dry bulb after the next weighing.

    Parameters
    ----------
    result : result.CheckResult.
    verdict : verdict.
    kiln : the kiln, or None; nothing it cannot hold is proposed.

    Returns
    -------
    Change.

    Raises
    ------
    Nothing.

    Source
    ------
    One change at a time, RH in small amounts and heat last: Univ. of Kentucky FOR-128 p. 48, *retrieved*. More than
    10 °F below the step's dry bulb the step's RH is aimed at, *from memory* (AH-188 p. 145). So it is, at the dry bulb
    that leaves, where the kiln cannot hold the step; the change then names it. White woods are opened below 110 °F with
    10 to 15 °F (Wengert, *retrieved*): held where it was chosen, aimed at where one that stains blue stands too moist.
    At most 10 °F at once, and above 30 % at most two depression numbers; milder all at once, but with no wet bulb below
    the step's; heat that is the larger part goes first; a depression of less than 1.5 °F is a dry wick until it was
    read again: our choice.

    Accuracy
    --------
    Back to the step of the schedule; your sample boards may ask for less.
    """
    dry, wet, depression = result.dry_bulb_c, result.wet_bulb_c, result.depression_c
    if depression < WICK_C - 1e-6:
        return Change("hold_check_wick", dry, wet, {"depression": (depression, "temperature_difference")})
    if verdict == OUTSIDE:
        return Change("ask_brown" if stains(result, "brown") else "ask", dry, wet, {})
    code, dry, depression = _toward_step(result, verdict) or ("hold", dry, depression)
    step_in_kiln = {}
    if kiln is not None:
        code, dry, depression = _as_the_kiln_can(result, verdict, kiln, code, dry, depression)
        code, step_in_kiln = _toward_what(result, kiln, code, dry, depression)
    wet = max(dry - depression, air.wet_bulb_c(dry, 0.0, result.pressure_pa))
    fields = {
        "dry": (dry, "temperature"),
        "wet": (wet, "temperature"),
        "depression": (dry - wet, "temperature_difference"),
    }
    return Change(code, dry, wet, fields | step_in_kiln)


def _as_the_kiln_can(result, verdict, kiln, code, dry, depression):
    """Code, dry bulb and depression of a change as far as this kiln can follow it."""
    best = result.step_reach.same_rh
    if code == "raise_dry_bulb" and result.step_reach.limits and best.dry_bulb_c > result.dry_bulb_c + BULB_C:
        dry = min(dry, best.dry_bulb_c)
    proposed = _reach(result, dry, dry - depression, kiln)
    limits = met(proposed, kiln)
    if not limits:
        return code, dry, depression
    held = proposed.same_rh
    moved = math.hypot(held.dry_bulb_c - result.dry_bulb_c, held.wet_bulb_c - result.wet_bulb_c)
    code = "hold_at_kiln"
    if moved > BULB_C:
        code = "within_kiln_driest" if "driest_rh" in limits else "within_kiln"
    hotter = verdict == GENTLER and best.dry_bulb_c > dry + BULB_C and not stains(result, "gray")
    if code == "hold_at_kiln" and hotter:  # as dry as it goes at this heat, but not at more
        code, hot = "raise_dry_bulb_driest", min(dry + MOST_HEAT_C, best.dry_bulb_c)
        held = reach(hot, hot - widest_depression_c(hot, kiln), kiln).same_rh
    dry, wet = dialed(held, kiln)
    return code, dry, dry - wet


def _toward_what(result, kiln, code, dry, depression):
    """Code and fields of a change that names the step as this kiln can hold it, where there is more to come."""
    best = result.step_reach.same_rh
    left = math.hypot(best.dry_bulb_c - dry, best.wet_bulb_c - (dry - depression))
    if not result.step_reach.limits or code not in TOWARD or left <= BULB_C:
        return code, {}
    there_dry, there_wet = dialed(best, kiln)
    return TOWARD[code], {"there_dry": (there_dry, "temperature"), "there_wet": (there_wet, "temperature")}


def _reach(result, dry_bulb_c, wet_bulb_c, kiln):
    """What the kiln can do of a setting: carried along where it is that of today or of the step, else worked out."""
    for carried in (result.reach, result.step_reach):
        wanted = carried.wanted
        if max(abs(wanted.dry_bulb_c - dry_bulb_c), abs(wanted.wet_bulb_c - wet_bulb_c)) < SAME_C:
            return carried
    return reach(dry_bulb_c, wet_bulb_c, kiln)


def met(proposed: Reach, kiln: Kiln) -> tuple[str, ...]:
    """The limits of a kiln that a setting runs into, as a person dials it.

    Parameters
    ----------
    proposed : limits.Reach of the setting.
    kiln : see limits.

    Returns
    -------
    Tuple of names, as in Reach.

    Raises
    ------
    Nothing.

    Source
    ------
    Half a percent of RH below the driest air is let pass, as bulbs in whole degrees are no finer, *computed*.

    Accuracy
    --------
    That of the kiln's limits.
    """
    near = proposed.wanted.rh_pct >= kiln.driest_rh_pct - DRIEST_SLACK_PCT
    return tuple(name for name in proposed.limits if not (name == "driest_rh" and near))


def dialed(held: Air, kiln: Kiln) -> tuple[float, float]:
    """Air at the limits of a kiln as it is dialed: in whole degrees Fahrenheit, the wet bulb rounded up.

    Parameters
    ----------
    held : limits.Air.
    kiln : see limits.

    Returns
    -------
    Dry bulb and wet bulb [°C], not above the limits.

    Raises
    ------
    Nothing.

    Source
    ------
    A convenience of ours, *computed*.

    Accuracy
    --------
    Within 1 °F of the air.
    """
    dry = min(units.f_to_c(round(units.c_to_f(held.dry_bulb_c))), max(kiln.top_dry_bulb_c, held.dry_bulb_c))
    wet = units.f_to_c(math.ceil(units.c_to_f(held.wet_bulb_c) - 1e-6))
    return dry, min(wet, max(kiln.coil_wet_bulb_limit_c, held.wet_bulb_c), dry)


def _toward_step(result, verdict):
    """Code, dry bulb and depression of one change toward the step; None to hold. Milder at once, harsher in parts."""
    away, step, dry, depression = result.away, result.step, result.dry_bulb_c, result.depression_c
    if verdict in HARSH:
        if keeps_white(result) and depression >= DRY_FACES_C - BULB_C - 1e-6:
            return "hold_white", dry, depression
        if away.depression > IN_STEP_NUMBERS and away.temperature <= max(away.depression, IN_STEP_NUMBERS):
            counted = away.numbers - away.depression  # what cooler air makes good for
            goal = min(result.step_depression_c * ONE_NUMBER ** -min(counted, 0.0), depression)
            cooler = goal > result.step_depression_c + BULB_C
            return ("raise_wet_bulb_cool" if cooler else "raise_wet_bulb"), dry, goal
        cooler = min(step.dry_bulb_c, dry)
        left = depression - (dry - cooler)  # with the wet bulb where it is
        if GAP_LEFT * result.step_depression_c <= left <= result.step_depression_c + 1e-6:
            return "lower_dry_bulb_only", cooler, left
        return "lower_dry_bulb", cooler, min(depression, result.step_depression_c)
    if verdict == GENTLER:
        if (goal := dry_faces_c(result)) is not None:
            return "lower_wet_bulb_now", dry, goal
        goal = result.step_depression_c
        if step.dry_bulb_c - dry > MUCH_COOLER_C + 0.1:  # much cooler than the step: its RH, not its depression
            goal = dry - air.wet_bulb_c(dry, result.step_rh_pct, result.pressure_pa)
        if goal > depression + BULB_C:
            first = ladder(result.schedule.code)[0].depression_f / 1.8  # no wood needs less than its first rung
            most = max(depression * MOST_DRIER, first) if result.mc_pct > WET_PCT else goal
            return "lower_wet_bulb", dry, min(goal, most)
        if dry >= step.dry_bulb_c - 1e-6:
            return None
        if stains(result, "gray"):
            drier = result.step_depression_c * ONE_NUMBER ** (COOL_CREDIT * -away.temperature)
            if drier > depression + BULB_C:
                return "lower_wet_bulb", dry, drier
            return "hold_for_color", dry, depression
        return "raise_dry_bulb", min(step.dry_bulb_c, dry + MOST_HEAT_C), depression
    return None
