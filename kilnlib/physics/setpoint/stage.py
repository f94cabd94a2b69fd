"""Where a charge is: just loaded, drying, equalizing or conditioning; and what is right off the schedule.

The schedule is the rule while wood dries. Before and after, other air is right on purpose: milder for the first hours
of air-dried stock, EMC two points below the target to equalize, four above it to condition. The stage is guessed from
the moisture content, the target and the air, so that an answer never waits for it; the person at the kiln knows better.
No sentence stands here: the words are under "setpoint.stage.…" and "setpoint.change.…".
"""

from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.schedules import Kiln, condition, dialed, equalize, ladder, met, reach, understand
from kilnlib.physics.setpoint.departure import (
    BEYOND,
    BULB_C,
    GENTLER,
    HARDER,
    IN_STEP,
    IN_STEP_NUMBERS,
    WET_PCT,
    departure,
)
from kilnlib.physics.setpoint.result import Change, CheckResult
from kilnlib.physics.wood import is_softwood
from kilnlib.tables import advice
from kilnlib.units import c_to_f, f_to_c

STAGES = ("loaded_green", "loaded_air_dried", "drying", "equalizing", "conditioning")
LOADED_GREEN, LOADED_AIR_DRIED, DRYING, EQUALIZING, CONDITIONING = STAGES
OFF_SCHEDULE = (LOADED_AIR_DRIED, EQUALIZING, CONDITIONING)  # stages in which the schedule is not the rule
TARGET_PCT = advice("target_where_none_is_typed")
LATE_PCT = advice("late_from_target")
EQUALIZING_PCT = advice("equalizing_air_within")
CONDITIONING_PCT = advice("conditioning_air_from")
CONDITIONING_OVER_PCT = advice("conditioning_air_over")
STEP_EMC_PCT = advice("step_air_within")
AIR_DRIED_FACES_PCT = advice("faces_of_air_dried_stock")
BELOW_FACES_PCT = advice("first_air_below_the_faces")
FIRST_AIR_PCT = advice("first_air_within")
PCT, DEG = "percent", "temperature"


def guessed_stage(result: CheckResult, target_pct: float) -> str:
    """The stage that air and moisture content look like.

    Parameters
    ----------
    result : result.CheckResult, with a step where there is a schedule.
    target_pct : moisture content the charge is dried to [%].

    Returns
    -------
    One of STAGES. Green stock is not told from drying stock by a single reading, so it is never guessed.

    Raises
    ------
    OutOfRange : as `conditioning.equalize`.

    Source
    ------
    EMC of equalizing and conditioning air: Wengert, Drying Oak Lumber step 6C; Univ. of Kentucky FOR-128 pp. 50 and 54,
    *retrieved*. How near the target is near, and that mild air around wood under 30 % is a start, are our choice.

    Accuracy
    --------
    A guess. The driest air of a small kiln may be the EMC to equalize with; it is called equalizing only where it is
    moister than the step as this kiln can hold it.
    """
    if result.mc_pct <= target_pct + LATE_PCT:
        if result.emc_pct >= target_pct + CONDITIONING_PCT:
            return CONDITIONING
        off = result.emc_pct - _equalizing(result, target_pct).emc_pct
        held = result.step_emc_pct if result.step_reach is None else result.step_reach.same_rh.emc_pct
        drying = result.mc_pct > target_pct and result.emc_pct <= held + STEP_EMC_PCT
        return EQUALIZING if abs(off) <= EQUALIZING_PCT and not drying else DRYING
    if result.step is None or result.mc_pct >= WET_PCT:
        return DRYING
    _, low, high = stage_emc_pct(result, LOADED_AIR_DRIED, target_pct)
    mild = low <= result.emc_pct <= high and result.dry_bulb_c <= _hottest_start_c(result) + 1.5 * BULB_C
    behind = result.step_emc_pct < result.emc_pct - FIRST_AIR_PCT
    return LOADED_AIR_DRIED if mild and behind and not _of_earlier_step(result) else DRYING


def _hottest_start_c(result):
    """The dry bulb that air-dried stock starts with at most: that of the first step of its schedule."""
    if result.schedule is None:
        return result.dry_bulb_c
    return f_to_c(ladder(result.schedule.code)[0].dry_bulb_f)


def _of_earlier_step(result):
    """Whether the settings are those of an earlier step of the schedule: then the charge is on it, and behind."""
    code = result.schedule.code
    steps = ladder(code)[: int(result.step.step) - 1]
    dials = [(f_to_c(step.dry_bulb_f), step.depression_f / 1.8) for step in steps]
    number = understand(code).depression
    aways = [departure(result.mc_pct, result.dry_bulb_c, result.depression_c, *dial, number) for dial in dials]
    return any(max(abs(away.depression), abs(away.temperature)) <= IN_STEP_NUMBERS for away in aways)


def asks_stage(result: CheckResult, stage: str, target_pct: float) -> bool:
    """Whether it matters so much where the charge is that the screen asks.

    Parameters
    ----------
    result : result.CheckResult.
    stage : the one that is taken.
    target_pct : moisture content the charge is dried to [%].

    Returns
    -------
    True or False.

    Raises
    ------
    Nothing.

    Source
    ------
    Near the target, and in air-dried stock: our choice, *common practice*.

    Accuracy
    --------
    Exact.
    """
    return result.mc_pct <= target_pct + LATE_PCT or result.mc_pct < WET_PCT or stage == LOADED_GREEN


def stage_emc_pct(result: CheckResult, stage: str, target_pct: float) -> tuple[float, float, float]:
    """The EMC that a stage asks for, and the lowest and highest that are right all the same.

    Parameters
    ----------
    result : result.CheckResult.
    stage : one of OFF_SCHEDULE.
    target_pct : moisture content the charge is dried to [%].

    Returns
    -------
    EMC wanted, lowest, highest [%].

    Raises
    ------
    OutOfRange : as `conditioning.equalize`.

    Source
    ------
    Equalizing and conditioning: `conditioning.equalize` and `conditioning.condition`; a first, drier conditioning air
    is a published practice (NC State Wood Products Note), *retrieved*. Air-dried stock: two points below the moisture
    content of the faces, a forum reply quoting GTR-118, *retrieved* second-hand. What faces from the yard hold at most
    is *from memory*.

    Accuracy
    --------
    Half a point of EMC is what a wet bulb is good for.
    """
    if stage == EQUALIZING:
        want = _equalizing(result, target_pct).emc_pct
        return want, want - EQUALIZING_PCT, want + EQUALIZING_PCT
    if stage == CONDITIONING:
        want = float(condition(target_pct, _wood(result)).emc_pct)
        return want, target_pct + CONDITIONING_PCT, want + CONDITIONING_OVER_PCT
    want = min(result.mc_pct, AIR_DRIED_FACES_PCT) - BELOW_FACES_PCT
    return want, want - FIRST_AIR_PCT, want + FIRST_AIR_PCT


def off_schedule(result: CheckResult, stage: str, target_pct: float, kiln: Kiln | None) -> tuple[str, Change]:
    """Verdict and change where the schedule is not the rule: hold with when to stop, or the air to set.

    Parameters
    ----------
    result : result.CheckResult.
    stage : one of OFF_SCHEDULE.
    target_pct : moisture content the charge is dried to [%].
    kiln : the kiln, or None. Conditioning may be moister than its coil bears, for the coil rests then.

    Returns
    -------
    Verdict, and Change.

    Raises
    ------
    OutOfRange : as `conditioning.equalize`.

    Source
    ------
    As `stage_emc_pct`. Air-dried stock is warmed no further than the first step of its schedule while it starts: our
    choice, *common practice*.

    Accuracy
    --------
    As `stage_emc_pct`.
    """
    want, low, high = stage_emc_pct(result, stage, target_pct)
    hottest = _hottest_start_c(result) if stage == LOADED_AIR_DRIED else result.dry_bulb_c
    too_hot = result.dry_bulb_c > hottest + 1.5 * BULB_C
    limits = () if kiln is None or result.reach is None else met(result.reach, kiln)
    beyond = [name for name in limits if stage != CONDITIONING or name != "coil_wet_bulb"]
    if low <= result.emc_pct <= high and not too_hot and not beyond:
        return IN_STEP, _change(result, f"hold_{stage}", result.dry_bulb_c, result.wet_bulb_c, target_pct)
    hottest = hottest if kiln is None else min(hottest, kiln.top_dry_bulb_c)
    dry, wet = _air(result, min(result.dry_bulb_c, hottest), want)
    if kiln is not None and (there := reach(dry, wet, kiln)).limits and stage != CONDITIONING:
        dry, wet = dialed(there.same_emc, kiln)
    off = result.emc_pct - want
    verdict = (
        GENTLER if (off < 0.0) == (stage == CONDITIONING) and not too_hot else HARDER
    )  # fog, too, is hard on faces
    if beyond and low <= result.emc_pct <= high:
        verdict = BEYOND
    return verdict, _change(result, f"set_{stage}", dry, wet, target_pct)


def _equalizing(result, target_pct):
    return equalize(target_pct, _wood(result))


def _wood(result):
    return "softwood" if is_softwood(result.species) else "hardwood"


def _air(result, dry_bulb_c, emc_pct):
    """Dry bulb, and wet bulb of the wanted EMC, in whole degrees Fahrenheit."""
    wet = air.wet_bulb_c(dry_bulb_c, emc.rh_pct_for_emc(dry_bulb_c, emc_pct), result.pressure_pa)
    return dry_bulb_c, f_to_c(round(c_to_f(wet)))


def _change(result, code, dry, wet, target_pct):
    rh = air.rh_pct(dry, wet, result.pressure_pa)
    fields = {
        "dry": (dry, DEG),
        "wet": (wet, DEG),
        "target": (target_pct, PCT),
        "emc": (emc.emc_pct(dry, rh), PCT),
    }
    return Change(code, dry, wet, fields)
