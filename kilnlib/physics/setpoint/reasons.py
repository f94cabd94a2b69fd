"""Why a setpoint check says what it says: its reasons, in the order in which they are to be read.

No sentence stands here, only codes and what fills them in; the sentences are in the words under "setpoint.reason.…".
"""

import math

from kilnlib.errors import NotFound
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import UPLAND_OAK, weak_oak_points_per_day
from kilnlib.physics.schedules import Kiln, dialed, ladder, met, understand
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
    WICK_C,
    departure,
)
from kilnlib.physics.setpoint.result import CheckResult
from kilnlib.physics.setpoint.stage import CONDITIONING, DRYING, OFF_SCHEDULE, TARGET_PCT, stage_emc_pct
from kilnlib.physics.softwoods import softwood_fact
from kilnlib.physics.wood import is_softwood
from kilnlib.tables import advice

MOLD_RH_PCT, MOLD_BELOW_C, MOLD_ABOVE_PCT = advice("mold_above_rh"), advice("mold_below"), advice("mold_above_mc")
CRITICAL_PCT = advice("critical_above")
FOG_C = advice("condensation_below")
STALLED_POINTS = advice("stalled_within")
STALLED_PER_DAY = advice("stalled_below")
BROWN_COOL_C = advice("mild_without_a_schedule_below")  # of every stain, not of the brown one alone
WARM_C, MOIST_RH_PCT = advice("warm_from"), advice("moist_from_rh")  # of brown stain
WEIGHED_PCT = advice("mc_by_weight_is_good_to")
DEG, GAP, SHARE = "temperature", "temperature_difference", "share"  # kinds of numbers; SHARE is a % without decimals
BEHIND = {  # code of a change, and the codes of the reasons that may lie behind it
    "raise_wet_bulb": ("too_dry",), "raise_wet_bulb_cool": ("too_dry",), "raise_wet_bulb_steps": ("too_dry",),
    "white_way": ("too_dry",), "white_way_steps": ("too_dry",), "lower_wet_bulb_parts": ("too_moist",),
    "lower_dry_bulb_steps": ("too_hot", "too_hot_wet"),
    "lower_dry_bulb_only_steps": ("too_hot", "too_hot_wet"),
    "lower_wet_bulb": ("too_moist",), "lower_wet_bulb_toward": ("too_moist",),
    "lower_wet_bulb_now": ("stain_blue",), "lower_dry_bulb": ("too_hot", "too_hot_wet"),
    "lower_dry_bulb_only": ("too_hot", "too_hot_wet"), "raise_dry_bulb": ("too_cool",),
    "raise_dry_bulb_toward": ("too_cool",), "raise_dry_bulb_driest": ("too_cool",),
}  # fmt: skip
ORDER = (  # places of reasons, the first read first; where a reason names no place, its own code is its place
    "check_wick", "stage", "outside_the_tables", "on_purpose", "another_step", "beyond_this_kiln", "over_limit",
    "behind_the_change", "decides", "in_step",
    "takes_up", "condensation", "stain", "pace_range", "costs_days", "stalled",
    "check_prone", "early", "mold", "over_limit_in_step", "other_source", "pitch", "step_out_of_reach",
    "over_limit_besides", "besides", "stain_besides", "within_limit", "as_dry_as_it_goes", "no_limit",
    "mold_in_step", "wet_bulb_error", "less_sure", "limit_fades", "no_pace",
)  # fmt: skip
# With what the codes of those reasons begin that tell what slow drying harms.
SLOW_HARMS = ("stain_", "mold", "takes_up", "stalled", "condensation")


def reasons_for(
    result: CheckResult,
    verdict: str,
    refused: NotFound | None,
    kiln: Kiln | None,
    change: str,
    stage: str = DRYING,
    target_pct: float = TARGET_PCT,
) -> list[Reason]:
    """Every reason there is for a check, the first to read first.

    Parameters
    ----------
    result : result.CheckResult.
    verdict : one of departure.VERDICTS.
    refused : NotFound that put the check outside the tables, or None.
    kiln : the kiln, or None.
    change : code of the one change that is proposed; among equals the reason behind it comes first.
    stage : where the charge is, one of stage.STAGES. In a stage that no schedule rules, the step gives no reasons.
    target_pct : moisture content the charge is dried to [%].

    Returns
    -------
    List of Reason.

    Raises
    ------
    Nothing.

    Source
    ------
    What each reason rests on: `sources.sources_for`. Their order is our choice, *common practice* at best.

    Accuracy
    --------
    An order of what to look at first, no more.
    """
    if stage in OFF_SCHEDULE and change != "hold_check_wick":
        reasons = [*_of_the_stage(result, stage, target_pct), *_kiln(result, kiln, stage), _bulb_error(result)]
        return sorted(reasons, key=lambda reason: ORDER.index(reason.place))
    reasons = _against_step(result, verdict, change) if refused is None else []
    if refused is not None:
        reasons.append(Reason(refused.code, refused.fields, "outside_the_tables"))
        known = softwood_fact(result.species, result.mc_pct, result.dry_bulb_c, result.wet_bulb_c, result.rh_pct)
        reasons += [Reason(known.code, known.fields, "outside_the_tables")] if known else []
    if change == "hold_check_wick":
        reasons.append(Reason("check_wick", {"depression": (result.depression_c, GAP)}))
    reasons += _pace(result, verdict) + _wood(result, verdict, change) + _kiln(result, kiln, stage)
    if verdict == GENTLER and change in BEHIND and not any(reason.code.startswith(SLOW_HARMS) for reason in reasons):
        reasons.append(Reason("costs_days", {}))
    reasons.append(_bulb_error(result))
    return sorted(reasons, key=lambda reason: ORDER.index(reason.place))


def notes_for(result: CheckResult) -> tuple[Reason, ...]:
    """Conditions that travel with a number, told whenever it is shown.

    Parameters
    ----------
    result : result.CheckResult.

    Returns
    -------
    Tuple of Reason.

    Raises
    ------
    Nothing.

    Source
    ------
    Upland oak: Wengert, Seven tips for kiln drying oak, tip 3, and Deep surface checking, *retrieved*. What the index
    says beside a code: tables/species_schedules.csv.

    Accuracy
    --------
    Exact.
    """
    notes = []
    if result.limit is not None and result.species == UPLAND_OAK:
        notes.append(upland_oak_note(result.limit_points_per_day, result.thickness))
    if result.schedule is not None and result.schedule.note:
        note = result.schedule.note
        notes.append(Reason("index", {"note": note[0].upper() + note[1:]}))
    return tuple(notes)


def upland_oak_note(limit_points_per_day: float, thickness: str) -> Reason:
    """Whose limit the printed one of red oak is, and where weaker oak starts.

    Parameters
    ----------
    limit_points_per_day : the limit that is shown [points a day].
    thickness : nominal thickness, such as "4/4".

    Returns
    -------
    Reason.

    Raises
    ------
    NotFound : as `samples.weak_oak_points_per_day`.

    Source
    ------
    As `notes_for`, *retrieved*; the start of thicker oak *computed*.

    Accuracy
    --------
    Exact.
    """
    weak = weak_oak_points_per_day(thickness)
    return Reason("upland_oak", {"limit": (limit_points_per_day, "points"), "weak": (weak, "points")})


def _of_the_stage(result, stage, target_pct):
    """What a stage that no schedule rules asks of the air."""
    want, low, high = stage_emc_pct(result, stage, target_pct)
    numbers = {"want": want, "low": low, "high": high, "emc": result.emc_pct}
    fields = {name: _one(value) for name, value in numbers.items()}
    fields |= {"target": (target_pct, "percent"), "mc": _short(result.mc_pct)}
    return [Reason(stage, fields, "stage")]


def _bulb_error(result):
    """What it would mean if the wet bulb were off by what it is read to."""
    slow, fast = (_lost(value) for value in (result.points_if_wet_bulb_higher, result.points_if_wet_bulb_lower))
    fields = {
        "degree": (BULB_C, GAP),
        "low": f"{result.rh_if_wet_bulb_lower_pct:.0f}",
        "high": f"{result.rh_if_wet_bulb_higher_pct:.0f}",
        "emc_low": _one(result.emc_if_wet_bulb_lower_pct),
        "emc_high": _one(result.emc_if_wet_bulb_higher_pct),
        "slow": slow,
        "fast": fast,
    }
    code = "wet_bulb_error" if slow != fast else "wet_bulb_error_air"
    return Reason(code, fields, "wet_bulb_error")


def _one(value):
    """A number with one decimal, for words that name its unit; "nan" where it is not known."""
    return f"{round(value, 1) + 0.0:.1f}"  # never "-0.0"


def _lost(points):
    """Points lost in a day, for words: a board that gains is said to lose none; "nan" where not known."""
    return _one(max(points, 0.0))


def _tenth(value_c):
    """A bulb or a depression [°C] rounded to 0.1 °F: no finer is dialed, and words show it as it was dialed."""
    return round(value_c * 18.0) / 18.0


def _short(value):
    """A number with one decimal, or with none where it is whole; "1.0" stays, for "1 points" is no English."""
    return _one(value) if _one(value) == "1.0" else _one(value).removesuffix(".0")


def _against_step(result, verdict, change):
    """How the settings lie beside the step."""
    away, step = result.away, result.step
    fields = {
        "depression": (_tenth(result.depression_c), GAP),
        "step_depression": (_tenth(result.step_depression_c), GAP),
        "dry": (_tenth(result.dry_bulb_c), DEG),
        "step_dry": (step.dry_bulb_c, DEG),
        "emc": _one(result.emc_pct),
        "step_emc": _one(result.step_emc_pct),
        "code": result.schedule.code,
    }
    reasons = []
    cool_and_dry = away.depression > IN_STEP_NUMBERS and away.temperature < -IN_STEP_NUMBERS
    if verdict == IN_STEP:
        reasons.append(Reason("in_step_cool" if cool_and_dry else "in_step", fields, "in_step"))
    reasons += _departures(result, verdict, change, fields)
    reasons += _other_step(result, verdict)
    # Where all of the drier air counts, the cool air made good for none of it.
    if result.mc_pct > WET_PCT and cool_and_dry and away.numbers >= away.depression - 1e-9:
        reasons.append(Reason("check_prone", fields))
    if verdict in HARSH and result.mc_pct > CRITICAL_PCT:
        reasons.append(Reason("early", {"mc": _short(result.mc_pct), "critical": (CRITICAL_PCT, SHARE)}))
    if step.as_dry_as_it_goes:
        reasons.append(Reason("as_dry_as_it_goes", fields))
    others = [other.code for other in result.schedule.also if other.code != result.schedule.code]
    if others and verdict == IN_STEP and abs(away.numbers) > IN_STEP_NUMBERS:
        reasons.append(Reason("other_source", fields | {"other": ", ".join(others)}))
    if result.schedule.confidence not in ("", "high"):
        reasons.append(Reason("less_sure", fields | {"confidence": result.schedule.confidence}))
    return reasons


def _departures(result, verdict, change, fields):
    """Drier or moister, hotter or cooler than the step: first what decides the verdict, the larger of two in front."""
    away, reasons = result.away, []
    for names, numbers in ((("too_moist", "too_dry"), away.depression), (("too_cool", "too_hot"), away.temperature)):
        if abs(numbers) <= IN_STEP_NUMBERS:
            continue
        code = names[numbers > 0.0]
        if code == "too_hot" and result.mc_pct > WET_PCT:
            code = "too_hot_wet"
        decides = (numbers > 0.0) == (verdict in HARSH) and verdict != IN_STEP
        behind = code in BEHIND.get(change, ())
        place = "behind_the_change" if behind else "decides" if decides else "besides"
        reasons.append((-abs(numbers) if decides else 0.0, Reason(code, fields, place)))
    return [reason for _, reason in sorted(reasons, key=lambda pair: pair[0])]


def _other_step(result, verdict):
    """A later step whose settings these are, where they are harsh, or an earlier one where they are gentle."""
    if verdict not in (GENTLER, *HARSH):
        return []
    code, mc = result.schedule.code, result.mc_pct
    dry_now, depression_now = result.dry_bulb_c, result.depression_c
    near = []
    for number, rung in enumerate(ladder(code), 1):
        asked_for = number < result.step.step if verdict == GENTLER else number > result.step.step
        dry, depression = (rung.dry_bulb_f - 32.0) / 1.8, rung.depression_f / 1.8
        away = departure(mc, dry_now, depression_now, dry, depression, understand(code).depression)
        alike = max(abs(away.depression), abs(away.temperature)) <= IN_STEP_NUMBERS
        if asked_for and alike and not rung.as_dry_as_it_goes:
            near.append((math.hypot(dry_now - dry, depression_now - depression), number, rung, dry, depression))
    if not near:
        return []
    _, number, rung, dry, depression = min(near)
    fields = {"number": str(number), "code": code, "at_dry": (dry, DEG), "at_wet": (dry - depression, DEG)}
    if verdict == GENTLER:
        just_past = number == result.step.step - 1 and rung.mc_above_pct - mc <= WEIGHED_PCT
        ends = {"ends": _short(rung.mc_above_pct), "mc": _short(mc)}
        return [Reason("step_late_now" if just_past else "step_late", fields | ends, "another_step")]
    begins = {"begins": _short(rung.mc_below_pct), "points": _short(mc - rung.mc_below_pct)}
    return [Reason("step_early", fields | begins, "another_step")]


def _pace(result, verdict):
    """What the engine expects, beside the limit."""
    if math.isnan(result.points_per_day):
        return [Reason("no_pace", {"species": result.species, "thickness": result.thickness})]
    low, high = result.likely_points_per_day
    fields = {
        "points": _lost(result.points_per_day),
        "low": _lost(low),
        "high": _lost(high),
        "step_points": _one(result.step_points_per_day),
        "limit": _one(result.limit_points_per_day),
        "emc": _one(result.emc_pct),
        "mc": _short(result.mc_pct),
    }
    reasons = []
    if result.emc_pct > result.mc_pct:
        reasons.append(Reason("takes_up", fields))
    elif result.mc_pct - result.emc_pct < STALLED_POINTS or result.points_per_day < STALLED_PER_DAY:
        reasons.append(Reason("stalled", fields | {"points": _one(max(result.points_per_day, 0.0))}))
    if result.points_per_day <= 0.0 and reasons:
        return reasons  # no water comes off, and that is said
    if verdict == OUTSIDE:
        reasons.append(Reason("pace_range", fields))
    elif result.limit is None:
        reasons.append(Reason("no_limit", fields))
    elif result.mc_pct <= LIMIT_FROM_PCT:
        reasons.append(Reason("limit_fades", fields))
    elif result.points_per_day > result.limit_points_per_day:
        by_settings = verdict in HARSH and result.points_per_day > FASTER * result.step_points_per_day
        place = "over_limit_in_step" if verdict == IN_STEP else "over_limit_besides"
        reasons.append(Reason("over_limit", fields, "over_limit" if by_settings else place))
    else:
        reasons.append(Reason("within_limit", fields))
    return reasons


def _wood(result, verdict, change):
    """What else the air may do to the wood: stain, mold, water that settles on cold surfaces, pitch that stays soft."""
    reasons = []
    mild = verdict == GENTLER or (result.away is None and result.dry_bulb_c < BROWN_COOL_C)
    fields = {"rh": (result.rh_pct, SHARE), "dry": (result.dry_bulb_c, DEG), "depression": (result.depression_c, GAP)}
    fields |= {"points": _one(result.points_per_day), "limit": _one(result.limit_points_per_day)}
    fields |= {"code": result.schedule.code if result.schedule else ""}
    fields |= {"mold_rh": (MOLD_RH_PCT, SHARE), "mold_dry": (MOLD_BELOW_C, DEG)}
    for risk in ("gray", "blue", "brown"):
        if stains(result, risk):
            code, place = f"stain_{risk}", "stain" if mild or risk == "brown" else "stain_besides"
            if risk == "brown" and result.dry_bulb_c >= WARM_C - 1e-6 and result.rh_pct >= MOIST_RH_PCT:
                code = "stain_brown_now"
            elif risk == "gray":
                code, place = _gray(result, change, place)
            elif code in BEHIND.get(change, ()):
                place = "on_purpose"
            reasons.append(Reason(code, fields, place))
    if result.rh_pct > MOLD_RH_PCT and result.dry_bulb_c < MOLD_BELOW_C - 1e-6 and result.mc_pct > MOLD_ABOVE_PCT:
        no_drier = check_prone(result) and verdict != GENTLER  # then moving the air is all that helps
        place = "mold_in_step" if verdict == IN_STEP else "mold"
        reasons.append(Reason("mold_fans" if no_drier else "mold", fields, place))
    if WICK_C - 1e-6 <= result.depression_c < FOG_C - 1e-6:
        reasons.append(Reason("condensation", fields | {"dew": (result.dew_point_c, DEG)}))
    if is_softwood(result.species):
        reasons.append(Reason("pitch", fields))
    return reasons


def _gray(result, change, place):
    """Code and place of what is said of a wood that turns gray, so that it fits the change that stands beside it."""
    if change == "hold_white":
        return "white_on_purpose", "on_purpose"
    if change == "hold_for_color":
        return "stain_gray_wait", "on_purpose"
    return "stain_gray" if can_keep_white(result) else "stain_gray_thick", place


def _kiln(result, kiln, stage):
    """What this kiln cannot hold."""
    if kiln is None:
        return []
    limits = {
        "top_dry_bulb": {"limit": (kiln.top_dry_bulb_c, DEG)},
        "coil_wet_bulb": {"limit": (kiln.coil_wet_bulb_limit_c, DEG)},
        "driest_rh": {"limit": (kiln.driest_rh_pct, SHARE)},
    }
    fields = {"dry": (result.dry_bulb_c, DEG), "wet": (result.wet_bulb_c, DEG), "rh": (result.rh_pct, SHARE)}
    names = met(result.reach, kiln)
    reasons = [Reason(f"kiln_{name}", fields | limits[name], "beyond_this_kiln") for name in names]
    if stage == CONDITIONING and "coil_wet_bulb" in names:
        reasons = [Reason("conditioning_coil", fields | limits["coil_wet_bulb"], "beyond_this_kiln")]
    if stage not in OFF_SCHEDULE and result.step is not None and result.step_reach.limits:
        dry, wet = dialed(result.step_reach.same_rh, kiln)
        step = {"step_dry": (result.step.dry_bulb_c, DEG), "step_wet": (result.step.wet_bulb_c, DEG)}
        reasons.append(Reason("step_out_of_reach", {"dry": (dry, DEG), "wet": (wet, DEG)} | step))
    return reasons
