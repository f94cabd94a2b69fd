"""Is this setting all right for this wood today? A verdict against the handbook's schedule, with its reasons.

It compares and advises. It never says that a setting is without risk: sample boards have the last word.
"""

import math
from dataclasses import replace
from functools import partial

from kilnlib.errors import NotFound, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.arrays import within
from kilnlib.physics.drying import History
from kilnlib.physics.pace import AIR_SPEED_MS, DRIEST_RH_PCT, expected_pace
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import safe_rate
from kilnlib.physics.schedules import (
    Kiln,
    Recommendation,
    code_for,
    met,
    reach,
    setpoint,
    understand,
)
from kilnlib.physics.setpoint.change import next_change
from kilnlib.physics.setpoint.color import keeps_white
from kilnlib.physics.setpoint.departure import (
    BEYOND,
    BULB_C,
    HARDER,
    IN_STEP,
    OUTSIDE,
    TOO_HARD,
    TOO_HARD_NUMBERS,
    VERDICTS,
    WICK_C,
    departure,
    with_other_source,
)
from kilnlib.physics.setpoint.departure import verdict as verdict_on
from kilnlib.physics.setpoint.reasons import notes_for, reasons_for
from kilnlib.physics.setpoint.result import Change, CheckResult, SetpointCheck, Source
from kilnlib.physics.setpoint.sources import sources_for
from kilnlib.physics.setpoint.stage import (
    CONDITIONING,
    DRYING,
    EQUALIZING,
    LATE_PCT,
    LOADED_GREEN,
    OFF_SCHEDULE,
    STAGES,
    TARGET_PCT,
    asks_stage,
    guessed_stage,
    off_schedule,
)
from kilnlib.physics.wood import nominal, species_key
from kilnlib.tables import advice
from kilnlib.units import c_to_f, f_to_c

__all__ = ["VERDICTS", "Change", "CheckResult", "Reason", "SetpointCheck", "Source", "check_setpoint"]

NAN = float("nan")
MOST_REASONS = int(advice("reasons_shown"))
SAME_C = 1e-9
DECIMALS = 9  # of a bulb or a depression: less is rounding dust of another unit
OUTSIDE_CODES = ("schedule_softwood", "schedule_none", "schedule_no_thickness", "schedule_air_dry")


def check_setpoint(
    species: str,
    thickness: str,
    mc_pct: float,
    dry_bulb_c: float,
    wet_bulb_c: float,
    pressure_pa: float | None = None,
    kiln: Kiln | None = None,
    history: History | None = None,
    code: str | None = None,
    stage: str | None = None,
    target_pct: float = TARGET_PCT,
    share_pct: float = NAN,
) -> SetpointCheck:
    """Compare a setting with the schedule's step for this wood, thickness and moisture content.

    The verdict is the rule of `departure.verdict` on `departure.departure` and on the engine's pace. It may only become
    harsher with depression, and with dry bulb at one depression. What keeps a wood white, as
    `color.keeps_white` has it, is at most "harder". Air that the kiln cannot hold is never "in step". Equalizing and
    conditioning air, and the first hours of air-dried stock, are judged by `stage.off_schedule`, not by the schedule.

    Parameters
    ----------
    species : name of the species; other names in common use are understood.
    thickness : thickness as `size.read_thickness` takes it, such as "4/4"; "3x3" for squares.
    mc_pct : moisture content that leads [%], wettest half, 0 to 300.
    dry_bulb_c : dry bulb of the air entering the stack [°C], 0 to 100.
    wet_bulb_c : its wet bulb [°C].
    pressure_pa : air pressure [Pa]. None: that of the kiln's altitude, or of sea level.
    kiln : anything with the fields of kilnlib.store.kiln.ThisKiln, for its limits and its air speed. None: no limits.
    history : board.History the charge really had, to start the engine from. None: what the schedule would have left.
    code : schedule to compare with, such as "T4-D2". None: the one of the index.
    stage : one of stage.STAGES. None: guessed from the air, the moisture content and the target.
    target_pct : moisture content the charge is dried to [%], 4 to 20.
    share_pct : share of the daily limit that the fastest board used [%], as the sample sheet knows it. NaN: unknown.

    Returns
    -------
    SetpointCheck.

    Raises
    ------
    OutOfRange : a reading that cannot be. NotFound : a species that is not in the tables. BadInput : a thickness or a
    code that is not written as one.

    Source
    ------
    Schedules: Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*. Limits: Univ. of Kentucky FOR-128 Table 9,
    *retrieved*. Pace: `pace.expected_pace`, *computed*. Everything that was used comes back in `sources`.

    Accuracy
    --------
    The settings are compared to 1 °F. The pace is good to a third either way, so it is given beside the schedule's own.
    """
    if pressure_pa is None:
        pressure_pa = air.pressure_pa(kiln.altitude_m) if kiln is not None else air.STANDARD_PA
    size = nominal(thickness)
    result = _of_the_air(species_key(species), size, mc_pct, dry_bulb_c, wet_bulb_c, pressure_pa)
    refused = None
    try:
        result = _with_step(result, _schedule(species, thickness, size, code), kiln)
    except NotFound as error:
        if error.code not in OUTSIDE_CODES:
            raise
        refused = error
    result = _with_pace(result, kiln, history)
    if kiln is not None:
        result = _with_reach(result, kiln)
    stage = _stage(result, stage, target_pct)
    if stage in OFF_SCHEDULE and result.depression_c >= WICK_C - 1e-6:
        verdict, change = off_schedule(result, stage, target_pct, kiln)
    else:
        verdict = OUTSIDE if refused is not None else _verdict(result, kiln)
        at = partial(_verdict_at, result, kiln, history)
        change = next_change(result, verdict, kiln, at, stage == LOADED_GREEN, share_pct)
    reasons = tuple(reasons_for(result, verdict, refused, kiln, change.code, stage, target_pct)[:MOST_REASONS])
    asks, notes = asks_stage(result, stage, target_pct), notes_for(result)
    return SetpointCheck(
        verdict, reasons, change, result, sources_for(result, reasons, stage), stage, asks, target_pct, notes
    )


def _stage(result, stage, target_pct):
    """The stage that was chosen, or else the guess; nothing is finished that is far from its target."""
    if stage is not None and stage not in STAGES:
        raise OutOfRange("one_of", "stage", stage, what="The stage", text=str(stage), names=", ".join(STAGES))
    if stage in (EQUALIZING, CONDITIONING) and result.mc_pct > target_pct + LATE_PCT:
        return DRYING
    return stage or guessed_stage(result, target_pct)


def _verdict_at(result, kiln, history, dry_bulb_c, wet_bulb_c):
    """The verdict on another setting of the same charge, whether this kiln holds it or not."""
    lowest = air.wet_bulb_c(dry_bulb_c, 0.0, result.pressure_pa)
    wet = max(wet_bulb_c, lowest)
    other = _of_the_air(result.species, result.thickness, result.mc_pct, dry_bulb_c, wet, result.pressure_pa)
    other = _with_step(other, result.schedule, kiln)
    if abs(other.away.numbers) <= TOO_HARD_NUMBERS:  # beyond that the pace changes nothing
        other = _with_pace(other, kiln, history)
    return _verdict(other, kiln)


def _schedule(species, thickness, size, code):
    """What the index recommends, or the code that was given: that may serve woods the index leaves out, no softwood."""
    try:
        recommended = code_for(species, thickness)
    except NotFound as error:
        if code is None or error.code == "schedule_softwood":
            raise
        recommended = Recommendation("", species_key(species), size, "", "", "")
    if code is None:
        return recommended
    return Recommendation(str(understand(code)), recommended.species, recommended.thickness, "", "given", "")


def _verdict(result, kiln):
    """The verdict by the schedule of the index, beside that of other sources and what keeps a wood white."""
    pace = (result.points_per_day, result.limit_points_per_day, result.step_points_per_day)
    verdict = verdict_on(result.away, result.mc_pct, *pace)
    for other in result.schedule.also:
        away = _with_step(result, replace(result.schedule, code=other.code), kiln).away
        verdict = with_other_source(verdict, verdict_on(away, result.mc_pct, *pace))
    if verdict == IN_STEP and result.reach is not None and met(result.reach, kiln):
        return BEYOND
    return HARDER if verdict == TOO_HARD and keeps_white(result) else verdict


def _with_reach(result, kiln):
    """Result with what this kiln can do of the settings and of the step, worked out once where the two are one."""
    settings = reach(result.dry_bulb_c, result.wet_bulb_c, kiln)
    if result.step is None:
        return replace(result, reach=settings)
    dry, wet = result.step.dry_bulb_c, result.step.dry_bulb_c - result.step_depression_c
    same = max(abs(dry - result.dry_bulb_c), abs(wet - result.wet_bulb_c)) < SAME_C
    return replace(result, reach=settings, step_reach=settings if same else reach(dry, wet, kiln))


def _of_the_air(species, thickness, mc_pct, dry_bulb_c, wet_bulb_c, pressure_pa):
    """What the two bulbs say."""
    mc = within("Moisture content", mc_pct, 0.0, 300.0, "percent")
    dry = _as_read(within("Dry bulb", dry_bulb_c, 0.0, emc.TEMPERATURE_C[1], "temperature"))
    wet = _as_read(within("Wet bulb", wet_bulb_c, -20.0, emc.TEMPERATURE_C[1], "temperature"))
    pressure = within("The air pressure", pressure_pa, 50_000.0, 110_000.0, "pressure")
    rh = air.rh_pct(dry, wet, pressure)
    lower, higher = (air.rh_called_for_pct(dry, min(wet + way, dry), pressure) for way in (-BULB_C, BULB_C))
    return CheckResult(
        species, thickness, mc, dry, min(wet, dry), pressure,
        depression_c=round(max(dry - wet, 0.0), DECIMALS),
        rh_pct=rh,
        emc_pct=emc.emc_pct(dry, rh),
        dew_point_c=air.dew_point_c(dry, rh),
        rh_if_wet_bulb_lower_pct=lower,
        rh_if_wet_bulb_higher_pct=higher,
        emc_if_wet_bulb_lower_pct=emc.emc_pct(dry, lower),
        emc_if_wet_bulb_higher_pct=emc.emc_pct(dry, higher),
    )  # fmt: skip


def _as_read(bulb_c):
    """A bulb without rounding dust, so that 115 °F is one number however it was worked out."""
    return f_to_c(round(c_to_f(bulb_c), DECIMALS))


def _with_step(result, chosen, kiln):
    """Result with the schedule's step and how far the settings are from it."""
    step = setpoint(chosen.code, result.mc_pct)
    driest = DRIEST_RH_PCT if kiln is None else max(DRIEST_RH_PCT, kiln.driest_rh_pct)
    depression = step.depression_c
    if step.as_dry_as_it_goes:
        depression = min(depression, step.dry_bulb_c - air.wet_bulb_c(step.dry_bulb_c, driest, result.pressure_pa))
    away = departure(
        result.mc_pct,
        result.dry_bulb_c,
        result.depression_c,
        step.dry_bulb_c,
        depression,
        understand(chosen.code).depression,
        step.as_dry_as_it_goes,
    )
    rh = air.rh_called_for_pct(step.dry_bulb_c, step.dry_bulb_c - depression, result.pressure_pa)
    held = emc.emc_pct(step.dry_bulb_c, rh)
    return replace(
        result,
        thickness=chosen.thickness,
        schedule=chosen,
        step=step,
        step_depression_c=depression,
        step_rh_pct=rh,
        step_emc_pct=held,
        away=away,
    )


def _with_pace(result, kiln, history):
    """Result with the limit and with what the engine expects, where both are known."""
    try:
        result = replace(result, limit=safe_rate(result.species, result.thickness))
        if math.isnan(result.limit.points_per_day):
            result = replace(result, limit=None)
    except NotFound:
        pass
    settings = [(result.dry_bulb_c, result.wet_bulb_c)]
    for rh in (result.rh_if_wet_bulb_lower_pct, result.rh_if_wet_bulb_higher_pct):
        settings.append((result.dry_bulb_c, air.wet_bulb_c(result.dry_bulb_c, rh, result.pressure_pa)))
    if result.step is not None:
        hot, wet = result.step.dry_bulb_c, result.step.dry_bulb_c - result.step_depression_c
        settings.append((hot, max(wet, air.wet_bulb_c(hot, 0.1, result.pressure_pa))))
    dry, wet = zip(*settings, strict=True)
    speed = AIR_SPEED_MS if kiln is None else kiln.sticker_speed_ms
    code = result.schedule.code if result.schedule else None
    try:
        pace = expected_pace(
            result.species, result.thickness, result.mc_pct, dry, wet, code, result.pressure_pa, speed, history
        )
    except NotFound:
        return result
    points = [float(value) for value in pace.points_per_day] + [NAN]
    return replace(
        result,
        points_per_day=points[0],
        points_if_wet_bulb_lower=points[1],
        points_if_wet_bulb_higher=points[2],
        step_points_per_day=points[3],
    )
