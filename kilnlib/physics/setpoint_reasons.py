"""Why a setpoint check says what it says: reasons with their weights, and the sources behind them.

No sentence stands here, only codes and what fills them in; the words are in bench/words.py under "setpoint.reason.…"
and "setpoint.about.…". A reason about what decided the verdict weighs 70 and more, what may harm the wood or the kiln
besides 50 to 90, what is good to know below 50.
"""

import math

from kilnlib import tables
from kilnlib.errors import NotFound
from kilnlib.physics.departure import GENTLER, HARSH, IN_STEP, IN_STEP_NUMBERS, LIMIT_FROM_PCT, OUTSIDE, WET_PCT
from kilnlib.physics.schedule_limits import reach
from kilnlib.physics.setpoint_numbers import Reason, Source
from kilnlib.physics.species import species as species_row

MOLD_RH_PCT, MOLD_BELOW_C, MOLD_ABOVE_PCT = 70.0, (110.0 - 32.0) / 1.8, 20.0
CRITICAL_PCT = 45.0
FOG_C = 2.0 / 1.8
STALLED_POINTS = 2.0  # between the wood and the EMC of the air
STALLED_PER_DAY = 0.25
BROWN_COOL_C = (120.0 - 32.0) / 1.8
DEG, GAP, PCT, PTS = "temperature", "temperature_difference", "percent", "points"
SOURCES = {
    "air": ("ASHRAE Fundamentals (2017) ch. 1 eqs. 6, 22, 33", "retrieved"),
    "emc": ("Wood Handbook, FPL-GTR-190 (2010) eq. 4-5", "retrieved"),
    "pace": ("Diffusion through the thickness with Simpson's diffusivity of red oak; one number tuned on red oak",
             "computed"),
    "mold": ("Univ. of Kentucky FOR-128 p. 89; AH-188 p. 146 as told by Oregon State Univ. Extension", "retrieved"),
    "heat": ("Univ. of Kentucky FOR-128 p. 48; Wengert, Deep surface checking", "retrieved"),
    "early": ("Wengert, Critical drying time", "retrieved"),
    "checks": ("Wood Handbook, FPL-GTR-190 ch. 13 p. 13-10", "retrieved"),
    "bulb": ("Wengert (2012), Temperature and humidity measurement accuracy", "retrieved"),
    "pitch": ("Wengert, Perfect pitch; Setting the pitch", "retrieved"),
    "reach": ("Practice for dehumidification kilns: the same RH at the lower temperature (AH-188 p. 145, GTR-118)",
              "memory"),
}  # fmt: skip
ABOUT = {  # what a reason rests on
    "mold": "mold", "too_hot_wet": "heat", "early": "early", "check_prone": "checks", "wet_bulb_error": "bulb",
    "pitch": "pitch", "step_out_of_reach": "reach",
}  # fmt: skip


def reasons_for(found, said, refused, kiln):
    """Every reason there is for a check, in no order.

    Parameters
    ----------
    found : setpoint_numbers.Numbers.
    said : verdict.
    refused : NotFound that put the check outside the tables, or None.
    kiln : the kiln, or None.

    Returns
    -------
    List of Reason.

    Raises
    ------
    Nothing.

    Source
    ------
    Which source each rests on stands in `sources_for`; weights are our choice, *common practice* at best.

    Accuracy
    --------
    An order of what to look at first, no more.
    """
    told = [Reason(refused.code, 100.0, refused.fields)] if refused is not None else _against_step(found, said)
    told += _pace(found, said) + _wood(found, said) + _kiln(found, kiln)
    shown = {
        "low": (found.rh_if_wet_bulb_lower_pct, PCT),
        "high": (found.rh_if_wet_bulb_higher_pct, PCT),
        "emc_low": (found.emc_if_wet_bulb_lower_pct, PCT),
        "emc_high": (found.emc_if_wet_bulb_higher_pct, PCT),
    }
    known = not math.isnan(found.points_per_day)
    if known:
        shown |= {"slow": (found.points_if_wet_bulb_higher, PTS), "fast": (found.points_if_wet_bulb_lower, PTS)}
    told.append(Reason("wet_bulb_error" if known else "wet_bulb_error_air", 32.0, shown))
    return told


def _against_step(found, said):
    """How the settings lie beside the step."""
    away, step = found.away, found.step
    shown = {
        "depression": (found.depression_c, GAP),
        "step_depression": (found.step_depression_c, GAP),
        "dry": (found.dry_bulb_c, DEG),
        "step_dry": (step.dry_bulb_c, DEG),
        "emc": (found.emc_pct, PCT),
        "step_emc": (found.step_emc_pct, PCT),
        "code": found.schedule.code,
    }
    told = []
    if said == IN_STEP:
        told.append(Reason("in_step", 60.0, shown))
    for code, numbers in (("depression", away.depression), ("temperature", away.temperature)):
        if abs(numbers) <= IN_STEP_NUMBERS + 1e-6:
            continue
        wet_heat = code == "temperature" and numbers > 0.0 and found.mc_pct > WET_PCT
        name = {"depression": ("too_moist", "too_dry"), "temperature": ("too_cool", "too_hot")}[code][numbers > 0.0]
        decides = (numbers > 0.0) == (said in HARSH) and said != IN_STEP
        weight = min(70.0 + 4.0 * abs(numbers), 92.0) if decides else 46.0
        told.append(Reason("too_hot_wet" if wet_heat else name, weight, shown))
    wet = found.mc_pct > WET_PCT
    if wet and away.depression > 0.5 and away.temperature < -0.5 and away.numbers >= away.depression - 1e-9:
        told.append(Reason("check_prone", 66.0, shown))
    if said in HARSH and found.mc_pct > CRITICAL_PCT:
        told.append(Reason("early", 64.0, {"mc": (found.mc_pct, PCT), "critical": (CRITICAL_PCT, "share")}))
    if step.as_dry_as_it_goes:
        told.append(Reason("as_dry_as_it_goes", 38.0, shown))
    others = [other.code for other in found.schedule.also if other.code != found.schedule.code]
    if others and said == IN_STEP and abs(away.numbers) > IN_STEP_NUMBERS:
        told.append(Reason("other_source", 58.0, shown | {"other": ", ".join(others)}))
    if found.schedule.confidence not in ("", "high"):
        told.append(Reason("less_sure", 30.0, shown | {"confidence": found.schedule.confidence}))
    return told


def _pace(found, said):
    """What the engine expects, beside the limit."""
    if math.isnan(found.points_per_day):
        return [Reason("no_pace", 20.0, {"species": found.species, "thickness": found.thickness})]
    low, high = found.likely_points_per_day
    shown = {
        "points": (found.points_per_day, PTS),
        "low": (low, PTS),
        "high": (high, PTS),
        "step_points": (found.step_points_per_day, PTS),
        "limit": (found.limit_points_per_day, PTS),
        "first": (found.first_day_points, PTS),
        "emc": (found.emc_pct, PCT),
        "mc": (found.mc_pct, PCT),
    }
    told = []
    if not math.isnan(found.first_day_points):
        told.append(Reason("first_day", 56.0, shown))
    if found.emc_pct > found.mc_pct:
        told.append(Reason("takes_up", 84.0, shown))
    elif found.mc_pct - found.emc_pct < STALLED_POINTS or found.points_per_day < STALLED_PER_DAY:
        told.append(Reason("stalled", 68.0, shown))
    if said == OUTSIDE:
        told.append(Reason("pace_range", 72.0, shown))
    elif found.limit is None:
        told.append(Reason("no_limit", 34.0, shown))
    elif found.mc_pct <= LIMIT_FROM_PCT:
        told.append(Reason("limit_fades", 22.0, shown))
    elif found.points_per_day > found.limit_points_per_day:
        told.append(Reason("over_limit", 86.0 if said in HARSH else 48.0, shown))
    else:
        told.append(Reason("within_limit", 42.0, shown))
    return told


def _wood(found, said):
    """Stain, mold, pitch, water that settles."""
    told = []
    mild = said == GENTLER or (found.away is None and found.dry_bulb_c < BROWN_COOL_C)
    shown = {"rh": (found.rh_pct, PCT), "dry": (found.dry_bulb_c, DEG), "depression": (found.depression_c, GAP)}
    for row in tables.records("stain_risks"):
        if row["species"] == found.species and found.mc_pct > float(row["above_mc_pct"]):
            told.append(Reason(f"stain_{row['risk']}", 75.0 if mild or row["risk"] == "brown" else 44.0, shown))
    if found.rh_pct > MOLD_RH_PCT and found.dry_bulb_c < MOLD_BELOW_C - 1e-6 and found.mc_pct > MOLD_ABOVE_PCT:
        told.append(Reason("mold", 62.0, shown))
    if found.depression_c < FOG_C - 1e-6:
        told.append(Reason("condensation", 78.0, shown | {"dew": (found.dew_point_c, DEG)}))
    if _is_softwood(found.species):
        told.append(Reason("pitch", 58.0, shown))
    return told


def _kiln(found, kiln):
    """What this kiln cannot hold."""
    if kiln is None:
        return []
    asked = reach(found.dry_bulb_c, found.wet_bulb_c, kiln)
    limits = {
        "top_dry_bulb": {"limit": (kiln.top_dry_bulb_c, DEG)},
        "coil_wet_bulb": {"limit": (kiln.coil_wet_bulb_limit_c, DEG)},
        "driest_rh": {"limit": (kiln.driest_rh_pct, PCT)},
    }
    shown = {"dry": (found.dry_bulb_c, DEG), "wet": (found.wet_bulb_c, DEG), "rh": (found.rh_pct, PCT)}
    told = [Reason(f"kiln_{name}", 90.0, shown | limits[name]) for name in asked.limits]
    if found.step is not None:
        wanted = reach(found.step.dry_bulb_c, found.step.dry_bulb_c - found.step_depression_c, kiln)
        if wanted.limits:
            there = {"dry": (wanted.same_rh.dry_bulb_c, DEG), "wet": (wanted.same_rh.wet_bulb_c, DEG)}
            step = {"step_dry": (found.step.dry_bulb_c, DEG), "step_wet": (found.step.wet_bulb_c, DEG)}
            told.append(Reason("step_out_of_reach", 54.0, there | step))
    return told


def sources_for(found, reasons):
    """The sources behind what is shown.

    Parameters
    ----------
    found : setpoint_numbers.Numbers.
    reasons : the reasons shown.

    Returns
    -------
    Tuple of Source, without repeats.

    Raises
    ------
    Nothing.

    Source
    ------
    As named in each; *retrieved*, *computed* or *from memory*.

    Accuracy
    --------
    Exact.
    """
    told = [Source(about, *SOURCES[about]) for about in ("air", "emc")]
    if found.schedule is not None:
        for one in (found.schedule, *found.schedule.also):
            told.append(Source("schedule", f"{one.source}: {one.code}" if one.source else one.code, one.how))
    if found.limit is not None:
        told.append(Source("limit", found.limit.source, found.limit.how))
    if not math.isnan(found.points_per_day):
        told.append(Source("pace", *SOURCES["pace"]))
    for reason in reasons:
        if reason.code in ABOUT:
            told.append(Source(ABOUT[reason.code], *SOURCES[ABOUT[reason.code]]))
        elif reason.code.startswith("stain_"):
            told += [
                Source("stain", row["source"], row["how"])
                for row in tables.records("stain_risks")
                if row["species"] == found.species and reason.code == f"stain_{row['risk']}"
            ]
    return tuple(dict.fromkeys(told))


def _is_softwood(key):
    try:
        return species_row(key).group == "softwood"
    except NotFound:
        return False
