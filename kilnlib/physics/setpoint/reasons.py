"""Why a setpoint check says what it says: reasons with their weights.

No sentence stands here, only codes and what fills them in; the words are in words.py under "setpoint.reason.…".
A reason about what decided the verdict weighs 70 and more, what may harm the wood or the kiln besides 50 to 90, what
is good to know below 50.
"""

import math
from dataclasses import replace

from kilnlib.physics.schedules import ladder, reach, understand
from kilnlib.physics.setpoint.change import WICK_C, dialed, met
from kilnlib.physics.setpoint.color import can_keep_white, check_prone, stains
from kilnlib.physics.setpoint.departure import (
    BULB_C,
    FASTER,
    GENTLER,
    HARSH,
    IN_STEP,
    IN_STEP_NUMBERS,
    LIMIT_FROM_PCT,
    OUTSIDE,
    WET_PCT,
    departure,
)
from kilnlib.physics.setpoint.result import Reason
from kilnlib.physics.wood import is_softwood
from kilnlib.tables import advice

MOLD_RH_PCT, MOLD_BELOW_C, MOLD_ABOVE_PCT = advice("mold_above_rh"), advice("mold_below"), advice("mold_above_mc")
CRITICAL_PCT = advice("critical_above")
FOG_C = advice("condensation_below")
STALLED_POINTS = advice("stalled_within")
STALLED_PER_DAY = advice("stalled_below")
BROWN_COOL_C = advice("brown_stain_cool_below")
WARM_C, MOIST_RH_PCT = advice("warm_from"), advice("moist_from_rh")
WEIGHED_PCT = advice("mc_by_weight_is_good_to")
DEG, GAP, SHARE = "temperature", "temperature_difference", "share"
BEHIND = {  # a change, and the reason behind it
    "raise_wet_bulb": ("too_dry",), "raise_wet_bulb_cool": ("too_dry",),
    "lower_wet_bulb": ("too_moist",), "lower_wet_bulb_toward": ("too_moist",),
    "lower_wet_bulb_now": ("stain_blue",), "lower_dry_bulb": ("too_hot", "too_hot_wet"),
    "lower_dry_bulb_only": ("too_hot", "too_hot_wet"), "raise_dry_bulb": ("too_cool",),
    "raise_dry_bulb_toward": ("too_cool",), "raise_dry_bulb_driest": ("too_cool",),
}  # fmt: skip
SLOW_HARMS = ("stain_", "mold", "takes_up", "stalled", "condensation")


def reasons_for(found, said, refused, kiln, change):
    """Every reason there is for a check, in no order.

    Parameters
    ----------
    found : setpoint_numbers.Numbers.
    said : verdict.
    refused : NotFound that put the check outside the tables, or None.
    kiln : the kiln, or None.
    change : code of the one change that is proposed; among equals the reason behind it comes first.

    Returns
    -------
    List of Reason.

    Raises
    ------
    Nothing.

    Source
    ------
    Which source each rests on: `setpoint_sources.sources_for`. Weights are our choice, *common practice* at best.

    Accuracy
    --------
    An order of what to look at first, no more.
    """
    told = [Reason(refused.code, 100.0, refused.fields)] if refused else _against_step(found, said, change)
    if change == "hold_check_wick":
        told.insert(0, Reason("check_wick", 100.0, {"depression": (found.depression_c, GAP)}))
    told += _pace(found, said) + _wood(found, said, change) + _kiln(found, kiln)
    if said == GENTLER and change in BEHIND and not any(reason.code.startswith(SLOW_HARMS) for reason in told):
        told.append(Reason("costs_days", 69.0, {}))
    slow, fast = (_lost(found, value) for value in (found.points_if_wet_bulb_higher, found.points_if_wet_bulb_lower))
    shown = {
        "degree": (BULB_C, GAP),
        "low": f"{found.rh_if_wet_bulb_lower_pct:.0f}",
        "high": f"{found.rh_if_wet_bulb_higher_pct:.0f}",
        "emc_low": _one(found.emc_if_wet_bulb_lower_pct),
        "emc_high": _one(found.emc_if_wet_bulb_higher_pct),
        "slow": slow,
        "fast": fast,
    }
    told.append(Reason("wet_bulb_error" if slow != fast else "wet_bulb_error_air", 32.0, shown))
    return told


def _one(value):
    """A number with one decimal, for words that name its unit; "nan" where it is not known."""
    return f"{round(value, 1) + 0.0:.1f}"  # never "-0.0"


def _lost(found, points):
    """Points a day as they are told: above fiber saturation no air makes wood wetter."""
    return _one(max(points, 0.0) if found.mc_pct > WET_PCT else points)


def _tenth(value_c):
    """A bulb or a depression to 0.1 °F [°C]: less is not set, and words show it as it is set."""
    return round(value_c * 18.0) / 18.0


def _short(value):
    """The same without a zero behind the point, but for one, so that it is never "1 points"."""
    return _one(value) if _one(value) == "1.0" else _one(value).removesuffix(".0")


def _against_step(found, said, change):
    """How the settings lie beside the step."""
    away, step = found.away, found.step
    shown = {
        "depression": (_tenth(found.depression_c), GAP),
        "step_depression": (_tenth(found.step_depression_c), GAP),
        "dry": (_tenth(found.dry_bulb_c), DEG),
        "step_dry": (step.dry_bulb_c, DEG),
        "emc": _one(found.emc_pct),
        "step_emc": _one(found.step_emc_pct),
        "code": found.schedule.code,
    }
    told = []
    if said == IN_STEP:
        cooler = away.temperature < -IN_STEP_NUMBERS and away.depression > IN_STEP_NUMBERS
        told.append(Reason("in_step_cool" if cooler else "in_step", 89.0, shown))
    for code, numbers in (("depression", away.depression), ("temperature", away.temperature)):
        if abs(numbers) <= IN_STEP_NUMBERS:
            continue
        wet_heat = code == "temperature" and numbers > 0.0 and found.mc_pct > WET_PCT
        name = {"depression": ("too_moist", "too_dry"), "temperature": ("too_cool", "too_hot")}[code][numbers > 0.0]
        decides = (numbers > 0.0) == (said in HARSH) and said != IN_STEP
        weight = min(70.0 + 4.0 * abs(numbers), 92.0) if decides else 46.0
        told.append(Reason("too_hot_wet" if wet_heat else name, weight, shown))
    heaviest = max((reason.weight for reason in told), default=0.0)
    told = [
        replace(reason, weight=heaviest + 0.5) if reason.code in BEHIND.get(change, ()) else reason for reason in told
    ]
    told += _other_step(found, said)
    wet = found.mc_pct > WET_PCT
    if (
        wet
        and away.depression > IN_STEP_NUMBERS
        and away.temperature < -IN_STEP_NUMBERS
        and away.numbers >= away.depression - 1e-9
    ):
        told.append(Reason("check_prone", 66.0, shown))
    if said in HARSH and found.mc_pct > CRITICAL_PCT:
        told.append(Reason("early", 64.0, {"mc": _short(found.mc_pct), "critical": (CRITICAL_PCT, SHARE)}))
    if step.as_dry_as_it_goes:
        told.append(Reason("as_dry_as_it_goes", 38.0, shown))
    others = [other.code for other in found.schedule.also if other.code != found.schedule.code]
    if others and said == IN_STEP and abs(away.numbers) > IN_STEP_NUMBERS:
        told.append(Reason("other_source", 58.0, shown | {"other": ", ".join(others)}))
    if found.schedule.confidence not in ("", "high"):
        told.append(Reason("less_sure", 30.0, shown | {"confidence": found.schedule.confidence}))
    return told


def _other_step(found, said):
    """A later step whose settings these are, where they are harsh, or an earlier one where they are gentle."""
    if said not in (GENTLER, *HARSH):
        return []
    code, mc, hot, gap = found.schedule.code, found.mc_pct, found.dry_bulb_c, found.depression_c
    near = []
    for number, rung in enumerate(ladder(code), 1):
        side = number < found.step.step if said == GENTLER else number > found.step.step
        dry, depression = (rung.dry_bulb_f - 32.0) / 1.8, rung.depression_f / 1.8
        away = departure(mc, hot, gap, dry, depression, understand(code).depression)
        if side and not rung.as_dry_as_it_goes and max(abs(away.depression), abs(away.temperature)) <= IN_STEP_NUMBERS:
            near.append((math.hypot(hot - dry, gap - depression), number, rung, dry, depression))
    if not near:
        return []
    _, number, rung, dry, depression = min(near)
    shown = {"number": str(number), "code": code, "at_dry": (dry, DEG), "at_wet": (dry - depression, DEG)}
    if said == GENTLER:
        now = number == found.step.step - 1 and rung.mc_above_pct - mc <= WEIGHED_PCT
        ends = {"ends": _short(rung.mc_above_pct), "mc": _short(mc)}
        return [Reason("step_late_now" if now else "step_late", 93.0, shown | ends)]
    return [
        Reason(
            "step_early", 93.0, shown | {"begins": _short(rung.mc_below_pct), "points": _short(mc - rung.mc_below_pct)}
        )
    ]


def _pace(found, said):
    """What the engine expects, beside the limit."""
    if math.isnan(found.points_per_day):
        return [Reason("no_pace", 20.0, {"species": found.species, "thickness": found.thickness})]
    low, high = found.likely_points_per_day
    shown = {
        "points": _lost(found, found.points_per_day),
        "low": _lost(found, low),
        "high": _lost(found, high),
        "step_points": _one(found.step_points_per_day),
        "limit": _one(found.limit_points_per_day),
        "emc": _one(found.emc_pct),
        "mc": _short(found.mc_pct),
    }
    told = []
    if found.emc_pct > found.mc_pct:
        told.append(Reason("takes_up", 84.0, shown))
    elif found.mc_pct - found.emc_pct < STALLED_POINTS or found.points_per_day < STALLED_PER_DAY:
        told.append(Reason("stalled", 68.0, shown | {"points": _one(max(found.points_per_day, 0.0))}))
    if found.points_per_day <= 0.0 and told:
        return told  # no water comes off, and that is said
    if said == OUTSIDE:
        told.append(Reason("pace_range", 72.0, shown))
    elif found.limit is None:
        told.append(Reason("no_limit", 34.0, shown))
    elif found.mc_pct <= LIMIT_FROM_PCT:
        told.append(Reason("limit_fades", 22.0, shown))
    elif found.points_per_day > found.limit_points_per_day:
        step, in_step = found.step_points_per_day, 59.0 if said == IN_STEP else 48.0
        clear = said in HARSH and found.points_per_day > FASTER * step
        told.append(Reason("over_limit", 86.0 if clear else in_step, shown))
    else:
        told.append(Reason("within_limit", 42.0, shown))
    return told


def _wood(found, said, change):
    """Stain, mold, pitch, water that settles."""
    told = []
    mild = said == GENTLER or (found.away is None and found.dry_bulb_c < BROWN_COOL_C)
    shown = {"rh": (found.rh_pct, SHARE), "dry": (found.dry_bulb_c, DEG), "depression": (found.depression_c, GAP)}
    shown |= {"points": _one(found.points_per_day), "limit": _one(found.limit_points_per_day)}
    for risk in ("gray", "blue", "brown"):
        if stains(found, risk):
            code, weight = f"stain_{risk}", 75.0 if mild or risk == "brown" else 44.0
            if risk == "brown" and found.dry_bulb_c >= WARM_C - 1e-6 and found.rh_pct >= MOIST_RH_PCT:
                code = "stain_brown_now"
            elif risk == "gray":
                code, weight = _gray(found, change, weight)
            elif code in BEHIND.get(change, ()):
                weight = 94.0
            told.append(Reason(code, weight, shown))
    if found.rh_pct > MOLD_RH_PCT and found.dry_bulb_c < MOLD_BELOW_C - 1e-6 and found.mc_pct > MOLD_ABOVE_PCT:
        fans = check_prone(found) and said != GENTLER
        told.append(Reason("mold_fans" if fans else "mold", 33.0 if said == IN_STEP else 62.0, shown))
    if WICK_C - 1e-6 <= found.depression_c < FOG_C - 1e-6:
        told.append(Reason("condensation", 78.0, shown | {"dew": (found.dew_point_c, DEG)}))
    if is_softwood(found.species):
        told.append(Reason("pitch", 58.0, shown))
    return told


def _gray(found, change, weight):
    """Code and weight of what is said of a wood that turns gray: no advice that the change beside it contradicts."""
    if change == "hold_white":
        return "white_on_purpose", 94.0
    if change == "hold_for_color":
        return "stain_gray_wait", 94.0
    return "stain_gray" if can_keep_white(found) else "stain_gray_thick", weight


def _kiln(found, kiln):
    """What this kiln cannot hold."""
    if kiln is None:
        return []
    asked = reach(found.dry_bulb_c, found.wet_bulb_c, kiln)
    limits = {
        "top_dry_bulb": {"limit": (kiln.top_dry_bulb_c, DEG)},
        "coil_wet_bulb": {"limit": (kiln.coil_wet_bulb_limit_c, DEG)},
        "driest_rh": {"limit": (kiln.driest_rh_pct, SHARE)},
    }
    shown = {"dry": (found.dry_bulb_c, DEG), "wet": (found.wet_bulb_c, DEG), "rh": (found.rh_pct, SHARE)}
    told = [Reason(f"kiln_{name}", 90.0, shown | limits[name]) for name in met(asked, kiln)]
    if found.step is not None:
        wanted = reach(found.step.dry_bulb_c, found.step.dry_bulb_c - found.step_depression_c, kiln)
        if wanted.limits:
            dry, wet = dialed(wanted.same_rh, kiln)
            step = {"step_dry": (found.step.dry_bulb_c, DEG), "step_wet": (found.step.wet_bulb_c, DEG)}
            told.append(Reason("step_out_of_reach", 54.0, {"dry": (dry, DEG), "wet": (wet, DEG)} | step))
    return told
