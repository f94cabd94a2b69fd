"""The one thing to dial next, from where the settings are toward the step of the schedule.

No sentence stands here: the words are in bench/words.py under "setpoint.change.…".
"""

import math

from kilnlib import tables
from kilnlib.physics import air
from kilnlib.physics.departure import (
    BULB_C,
    COOL_CREDIT,
    GENTLER,
    HARSH,
    IN_STEP_NUMBERS,
    NUMBER_C,
    ONE_NUMBER,
    OUTSIDE,
    WET_PCT,
)
from kilnlib.physics.schedule_limits import reach
from kilnlib.physics.schedules import ladder
from kilnlib.physics.setpoint_numbers import Change

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
    that leaves, where the kiln cannot hold the step; the change then names it. At most 10 °F at
    once, and above 30 % at most two depression numbers; milder all at once; heat that is the larger part goes first:
    our choice.

    Accuracy
    --------
    Back to the step of the schedule; your sample boards may ask for less.
    """
    dry, wet, gap = found.dry_bulb_c, found.wet_bulb_c, found.depression_c
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
        if there.limits:
            same = there.same_rh
            moved = math.hypot(same.dry_bulb_c - found.dry_bulb_c, same.wet_bulb_c - found.wet_bulb_c)
            code = "within_kiln" if moved > BULB_C else "hold_at_kiln"
            dry, gap = same.dry_bulb_c, same.dry_bulb_c - same.wet_bulb_c
        left = math.hypot(best.dry_bulb_c - dry, best.wet_bulb_c - (dry - gap))
        if wanted.limits and code in TOWARD and left > BULB_C:
            code = TOWARD[code]
            goal = {"there_dry": (best.dry_bulb_c, "temperature"), "there_wet": (best.wet_bulb_c, "temperature")}
    lowest = air.wet_bulb_c(dry, 0.0, found.pressure_pa)
    wet = max(dry - gap, lowest)
    shown = {
        "dry": (dry, "temperature"),
        "wet": (wet, "temperature"),
        "depression": (dry - wet, "temperature_difference"),
    }
    return Change(code, dry, wet, shown | goal)


def stains(found, risk):
    """Whether the wood is known for a stain, and wet enough for it.

    Parameters
    ----------
    found : setpoint_numbers.Numbers.
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
    rows = [row for row in tables.records("stain_risks") if row["species"] == found.species and row["risk"] == risk]
    return any(found.mc_pct > float(row["above_mc_pct"]) for row in rows)


def _toward_step(found, said):
    """Code, dry bulb and depression of one change toward the step; None to hold. Milder at once, harsher in parts."""
    away, step, dry, gap = found.away, found.step, found.dry_bulb_c, found.depression_c
    if said in HARSH:
        if away.temperature > max(away.depression, IN_STEP_NUMBERS):
            return "lower_dry_bulb", step.dry_bulb_c, gap
        if away.depression > IN_STEP_NUMBERS:
            counted = away.numbers - away.depression  # what cooler air makes good for
            return "raise_wet_bulb", dry, min(found.step_depression_c * ONE_NUMBER ** -min(counted, 0.0), gap)
        return "lower_dry_bulb", min(step.dry_bulb_c, dry), gap
    if said == GENTLER:
        wanted = found.step_depression_c
        if step.dry_bulb_c - dry > NUMBER_C + 0.1:  # much cooler than the step: its RH, not its depression
            wanted = dry - air.wet_bulb_c(dry, found.step_rh_pct, found.pressure_pa)
        if wanted > gap + BULB_C:
            first = ladder(found.schedule.code)[0].depression_f / 1.8  # no wood needs less than its first rung
            most = max(gap * ONE_NUMBER**2, first) if found.mc_pct > WET_PCT else wanted
            return "lower_wet_bulb", dry, min(wanted, most)
        if dry >= step.dry_bulb_c - 1e-6:
            return None
        if stains(found, "gray"):
            drier = found.step_depression_c * ONE_NUMBER ** (COOL_CREDIT * -away.temperature)
            return ("lower_wet_bulb", dry, drier) if drier > gap + BULB_C else ("hold_for_color", dry, gap)
        return "raise_dry_bulb", min(step.dry_bulb_c, dry + NUMBER_C), gap
    return None
