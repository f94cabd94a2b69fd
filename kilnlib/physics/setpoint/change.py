"""The one thing to dial next, from where the settings are toward the step of the schedule.

No sentence stands here: the words are in words.py under "setpoint.change.…".
"""

import math

from kilnlib import units
from kilnlib.physics import air
from kilnlib.physics.schedules import ladder, reach
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
from kilnlib.physics.setpoint.result import Change
from kilnlib.tables import advice

WICK_C = advice("dry_wick_below")
DRIEST_SLACK_PCT = advice("driest_air_slack")
MOST_HEAT_C = advice("most_heat_at_once")
MUCH_COOLER_C = advice("much_cooler_than_step")
GAP_LEFT = advice("depression_left_by_cooling")
TOWARD = {"lower_wet_bulb": "lower_wet_bulb_toward", "raise_dry_bulb": "raise_dry_bulb_toward"}  # a step out of reach


def next_change(found, said, kiln):
    """The one thing to dial next: depression first, dry bulb after the next weighing.

    Parameters
    ----------
    found : setpoint_numbers.Numbers.
    said : verdict.
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
    dry, wet, gap = found.dry_bulb_c, found.wet_bulb_c, found.depression_c
    if gap < WICK_C - 1e-6:
        return Change("hold_check_wick", dry, wet, {"depression": (gap, "temperature_difference")})
    if said == OUTSIDE:
        return Change("ask_brown" if stains(found, "brown") else "ask", dry, wet, {})
    code, dry, gap = _toward_step(found, said) or ("hold", dry, gap)
    goal = {}
    if kiln is not None:
        wanted = reach(found.step.dry_bulb_c, found.step.dry_bulb_c - found.step_depression_c, kiln)
        best = wanted.same_rh
        if code == "raise_dry_bulb" and wanted.limits and best.dry_bulb_c > found.dry_bulb_c + BULB_C:
            dry = min(dry, best.dry_bulb_c)
        there = reach(dry, dry - gap, kiln)
        if limits := met(there, kiln):
            same, held = there.same_rh, "within_kiln_driest" if "driest_rh" in limits else "within_kiln"
            moved = math.hypot(same.dry_bulb_c - found.dry_bulb_c, same.wet_bulb_c - found.wet_bulb_c)
            code = held if moved > BULB_C else "hold_at_kiln"
            hotter = said == GENTLER and best.dry_bulb_c > dry + BULB_C and not stains(found, "gray")
            if code == "hold_at_kiln" and hotter:  # as dry as it goes at this heat, but not at more
                code, more = "raise_dry_bulb_driest", min(dry + MOST_HEAT_C, best.dry_bulb_c)
                same = reach(more, air.wet_bulb_c(more, kiln.driest_rh_pct, found.pressure_pa), kiln).same_rh
            dry, wet = dialed(same, kiln)
            gap = dry - wet
        left = math.hypot(best.dry_bulb_c - dry, best.wet_bulb_c - (dry - gap))
        if wanted.limits and code in TOWARD and left > BULB_C:
            code = TOWARD[code]
            there_dry, there_wet = dialed(best, kiln)
            goal = {"there_dry": (there_dry, "temperature"), "there_wet": (there_wet, "temperature")}
    lowest = air.wet_bulb_c(dry, 0.0, found.pressure_pa)
    wet = max(dry - gap, lowest)
    shown = {
        "dry": (dry, "temperature"),
        "wet": (wet, "temperature"),
        "depression": (dry - wet, "temperature_difference"),
    }
    return Change(code, dry, wet, shown | goal)


def met(there, kiln):
    """The limits of a kiln that a setting runs into, as a person dials it.

    Parameters
    ----------
    there : schedule_limits.Reach of the setting.
    kiln : see schedule_limits.

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
    near = there.wanted.rh_pct >= kiln.driest_rh_pct - DRIEST_SLACK_PCT
    return tuple(name for name in there.limits if not (name == "driest_rh" and near))


def dialed(same, kiln):
    """Air at the limits of a kiln as it is dialed: in whole degrees Fahrenheit, the wet bulb rounded up.

    Parameters
    ----------
    same : schedule_limits.Air.
    kiln : see schedule_limits.

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
    dry = min(units.f_to_c(round(units.c_to_f(same.dry_bulb_c))), max(kiln.top_dry_bulb_c, same.dry_bulb_c))
    wet = units.f_to_c(math.ceil(units.c_to_f(same.wet_bulb_c) - 1e-6))
    return dry, min(wet, max(kiln.coil_wet_bulb_limit_c, same.wet_bulb_c), dry)


def _toward_step(found, said):
    """Code, dry bulb and depression of one change toward the step; None to hold. Milder at once, harsher in parts."""
    away, step, dry, gap = found.away, found.step, found.dry_bulb_c, found.depression_c
    if said in HARSH:
        if keeps_white(found) and gap >= DRY_FACES_C - BULB_C - 1e-6:
            return "hold_white", dry, gap
        if away.depression > IN_STEP_NUMBERS and away.temperature <= max(away.depression, IN_STEP_NUMBERS):
            counted = away.numbers - away.depression  # what cooler air makes good for
            wanted = min(found.step_depression_c * ONE_NUMBER ** -min(counted, 0.0), gap)
            cooler = wanted > found.step_depression_c + BULB_C
            return ("raise_wet_bulb_cool" if cooler else "raise_wet_bulb"), dry, wanted
        cooler = min(step.dry_bulb_c, dry)
        left = gap - (dry - cooler)  # with the wet bulb where it is
        if GAP_LEFT * found.step_depression_c <= left <= found.step_depression_c + 1e-6:
            return "lower_dry_bulb_only", cooler, left
        return "lower_dry_bulb", cooler, min(gap, found.step_depression_c)
    if said == GENTLER:
        if (wanted := dry_faces_c(found)) is not None:
            return "lower_wet_bulb_now", dry, wanted
        wanted = found.step_depression_c
        if step.dry_bulb_c - dry > MUCH_COOLER_C + 0.1:  # much cooler than the step: its RH, not its depression
            wanted = dry - air.wet_bulb_c(dry, found.step_rh_pct, found.pressure_pa)
        if wanted > gap + BULB_C:
            first = ladder(found.schedule.code)[0].depression_f / 1.8  # no wood needs less than its first rung
            most = max(gap * MOST_DRIER, first) if found.mc_pct > WET_PCT else wanted
            return "lower_wet_bulb", dry, min(wanted, most)
        if dry >= step.dry_bulb_c - 1e-6:
            return None
        if stains(found, "gray"):
            drier = found.step_depression_c * ONE_NUMBER ** (COOL_CREDIT * -away.temperature)
            return ("lower_wet_bulb", dry, drier) if drier > gap + BULB_C else ("hold_for_color", dry, gap)
        return "raise_dry_bulb", min(step.dry_bulb_c, dry + MOST_HEAT_C), gap
    return None
