"""The daily decision: from two or more days of sample weights and the two bulbs to hold, ease or advance.

One change at a time: the depression first, the dry bulb after a weighing has shown what the drier air does. No sentence
stands here: its words stand under "daily.…".
"""

import datetime
import math
from dataclasses import dataclass

from kilnlib.errors import BadInput, Fields, NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.daily import rules
from kilnlib.physics.daily.outlook import Behind, looked_back, sheet_until
from kilnlib.physics.samples import Sheet, limit_share_pct, safe_rate
from kilnlib.physics.schedules import Kiln, change_points_pct, code_for, next_change_pct
from kilnlib.physics.setpoint import (
    AIR_SPEED_MS,
    CRITICAL_PCT,
    DRYING,
    GENTLER,
    HARDER,
    LIMIT_FROM_PCT,
    MOST_REASONS,
    ONE_NUMBER,
    OUTSIDE,
    TOO_HARD,
    Reason,
    SetpointCheck,
    check_setpoint,
)
from kilnlib.units import DAY_S

NAN = float("nan")
ACTIONS = ("hold", "ease", "advance", "equalize", "stop", "weigh")
HOLD, EASE, ADVANCE, EQUALIZE, STOP, WEIGH = ACTIONS
# Reasons whose sentence names the fastest board.
WITH_PACE = ("over_limit", "close_and_harder", "harder_but_slow", "due_but_close")
DOUBT = ("faster_than_air", "slower_than_air")
ORDER = (  # places of reasons, the first read first; "decides" is the reason for the action
    "weigh_again", "end_of_drying", "over_limit", "faster_than_air", "too_hard", "slower_than_air", "decides",
    "in_step", "pace", "critical", "next_change", "carried", "pace_no_limit",
)  # fmt: skip
PCT, PTS, DEG, GAP = "percent", "points", "temperature", "temperature_difference"


@dataclass(frozen=True)
class Dial:
    """Settings to dial: what moves (a code), and both bulbs as they stand then."""

    code: str  # "hold", "raise_wet_bulb", "lower_wet_bulb", "raise_dry_bulb", "lower_dry_bulb", "equalize" …
    dry_bulb_c: float
    wet_bulb_c: float


@dataclass(frozen=True)
class Daily:
    """One morning: what the weights say, what to do, and why."""

    action: str  # one of ACTIONS
    when: datetime.datetime
    controlling_pct: float
    controlling_points: float  # a day, since the weighing before
    fastest: tuple[str, float] | None  # (board, points a day)
    limit_points: float  # NaN where none is published
    share_pct: float  # of the limit, by the fastest board
    next_change_pct: float  # where the schedule moves on; NaN on its last step or without one
    dial: Dial
    reasons: tuple[Reason, ...]
    check: SetpointCheck
    rate_factor: float = 1.0  # of the engine, set to these boards where their weights tell one


def daily_decision(
    sheet: Sheet,
    when: datetime.datetime | None = None,
    dry_bulb_c: float | None = None,
    wet_bulb_c: float | None = None,
    pressure_pa: float | None = None,
    kiln: Kiln | None = None,
    code: str | None = None,
    as_checked: bool = False,
) -> Daily:
    """What to do this morning.

    The order of the rule: a weight that is hardly true is weighed again; near the target equalizing begins; a fastest
    board over its limit, or settings that are too hard, are eased, and harder ones unless the boards are slow (at once
    while the faces are whole, which only you can see; with checks open in steps, for damp air drives them deeper);
    settings that have fallen behind the schedule's step are advanced, unless the fastest board is already at 80 % of
    its limit; else hold. The setpoint check says the same once it is given the boards' share of the limit.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness and weighed boards.
    when : the morning's date; entries after that day are not looked at. None: the last day of the sheet.
    dry_bulb_c, wet_bulb_c : settings now [°C], both or neither. Without both: the last ones written on the sheet.
    pressure_pa : air pressure [Pa]. None: that of the kiln's altitude, or of sea level.
    kiln : anything with the fields of kilnlib.store.kiln.ThisKiln. None: no limits.
    code : schedule, such as "T4-D2". None: the one of the index.
    as_checked : judge the settings from what the schedule leaves, and the moisture content to a tenth, as the setpoint
        check does with what is typed into it, so that the two never part; the weights still decide first.

    Returns
    -------
    Daily.

    Raises
    ------
    BadInput : no weights yet, or no bulbs. As `setpoint.check_setpoint` otherwise.

    Source
    ------
    Controlling boards: Bois; Wengert. Limits: Univ. of Kentucky FOR-128 Table 9. Small changes of RH until about 30 to
    35 %, heat last: FOR-128 p. 48. Equalizing: `conditioning.equalize`. All *retrieved*. The 80 % and the order of the
    rule are our choice; the schedules are *from memory*.

    Accuracy
    --------
    As good as weights and bulbs. If the two disagree, a reason says so.
    """
    sheet, day, before = _so_far(sheet, when)
    dry, wet = _settings(sheet, dry_bulb_c, wet_bulb_c)
    if pressure_pa is None:
        pressure_pa = air.pressure_pa(kiln.altitude_m) if kiln is not None else air.STANDARD_PA
    now = max(day.controlling_pct, 0.0)
    speed = AIR_SPEED_MS if kiln is None else kiln.sticker_speed_ms
    behind = looked_back(sheet, code or _code(sheet), pressure_pa, speed) if before else Behind()
    leads, history = (round(now, 1), None) if as_checked else (now, behind.history)
    days = (day.when - before.when).total_seconds() / DAY_S if before else NAN
    pace = (before.controlling_pct - now) / days if before else NAN
    doubtful, fastest, share = _pressed(sheet, day)
    asked = (sheet.species, sheet.thickness, leads, dry, wet, pressure_pa, kiln, history, code, DRYING)
    check = check_setpoint(*asked, share_pct=share)
    limit = check.numbers.limit_points_per_day
    action, decided = _decide(sheet, day, before, doubtful, fastest, share, check, behind)
    change = next_change_pct(change_points_pct(check.numbers.schedule.code), now) if check.numbers.schedule else None
    left = (now - change) / pace if change is not None and pace > 0.0 else NAN
    told_already = decided.code in WITH_PACE
    told = [
        decided,
        *_context(now, change, left, share, None if told_already else fastest, limit, day),
        *behind.reasons,
    ]
    reasons = {reason.code: reason for reason in told}.values()
    return Daily(
        action=action,
        when=day.when,
        controlling_pct=now,
        controlling_points=pace,
        fastest=fastest,
        limit_points=limit,
        share_pct=share,
        next_change_pct=NAN if change is None else change,
        dial=_dial(action, sheet, check, pressure_pa),
        reasons=tuple(sorted(reasons, key=lambda reason: ORDER.index(reason.place))[:MOST_REASONS]),
        check=check,
        rate_factor=behind.rate_factor,
    )


def share_now_pct(sheet: Sheet) -> float:
    """Share of the daily limit that the fastest board used, on the last day of a sheet.

    Parameters
    ----------
    sheet : samples.Sheet.

    Returns
    -------
    Share [%]; NaN where no limit is published, or no weight tells a pace yet.

    Raises
    ------
    BadInput : no weights yet.

    Source
    ------
    `samples.limit_share_pct`; boards whose weight is in doubt are left out, *common practice*.

    Accuracy
    --------
    That of the weighings.
    """
    sheet, day, _ = _so_far(sheet, None)
    return _pressed(sheet, day)[2]


def _pressed(sheet, day):
    """Boards in doubt, the fastest of the others with its pace, and the share of its limit that it used [%]."""
    doubtful = {*day.doubted, *rules.asked_boards(sheet, day, sheet.questions())}
    rates = {name: rate for name, rate in day.rates.items() if name not in doubtful}
    fastest = max(rates.items(), key=lambda pair: pair[1], default=None)
    try:
        limit = safe_rate(sheet.species, sheet.thickness).points_per_day
    except NotFound:
        limit = NAN
    share = limit_share_pct(max(fastest[1], 0.0), limit) if fastest and not math.isnan(limit) else NAN
    return doubtful, fastest, share


def _so_far(sheet, when):
    """The sheet as it was on the morning of `when`, that day, and the day of weighing before it or None."""
    if when is not None:
        sheet = sheet_until(sheet, datetime.datetime.combine(when.date(), datetime.time.max))
    days = [day for day in sheet.days if day.mcs_pct]
    if not days:
        raise BadInput("no_weights_yet")
    return sheet, days[-1], days[-2] if len(days) > 1 else None


def _settings(sheet, dry_bulb_c, wet_bulb_c):
    if dry_bulb_c is not None and wet_bulb_c is not None:
        return dry_bulb_c, wet_bulb_c
    if not sheet.air:
        raise BadInput("no_bulbs")
    return sheet.air[-1].dry_bulb_c, sheet.air[-1].wet_bulb_c


def _decide(sheet, day, before, doubtful, fastest, share, check, behind):
    """Action and the reason for it."""
    now = max(day.controlling_pct, 0.0)
    if before is None or not day.rates:
        return WEIGH, Reason("one_day", {}, "weigh_again")
    if doubtful:
        return WEIGH, Reason("doubtful", {"boards": ", ".join(sorted(doubtful))}, "weigh_again")
    if sheet.target_pct is not None:
        end = rules.end_of_drying(day.driest[1], day.wettest[1], sheet.target_pct, sheet.species)
        if end.action:
            code = {rules.STOP: "all_dry", rules.EQUALIZE: "equalize"}[end.action]
            return end.action, Reason(code, _end_fields(day.driest, day.wettest, end), "end_of_drying")
    if check.verdict == OUTSIDE:
        return HOLD, Reason("outside", {}, "decides")
    binds, level = now > LIMIT_FROM_PCT, rules.limit_level(share)
    fields = _fast_fields(fastest, share, check.numbers.limit_points_per_day)
    if binds and level == rules.OVER:
        return EASE, Reason("over_limit", fields)
    if check.verdict == TOO_HARD:
        return EASE, Reason("too_hard", {})
    if check.verdict == HARDER:
        if check.change.code.startswith("hold"):
            return HOLD, Reason("harder_but_slow" if level == rules.UNDER else "harder", fields, "decides")
        return EASE, Reason("close_and_harder" if level else "harder_ease", fields, "decides")
    if check.verdict == GENTLER:
        if check.change.code == "hold_close":
            return HOLD, Reason("due_but_close", fields, "decides")
        if check.change.code.startswith("hold"):
            return HOLD, Reason(check.change.code, _step_fields(check), "decides")
        if any(reason.code in DOUBT for reason in behind.reasons):
            return HOLD, Reason("look_first", _step_fields(check), "decides")
        return ADVANCE, Reason("behind_step", _step_fields(check), "decides")
    return HOLD, Reason("in_step", _step_fields(check))


def _context(now, change, left, share, fastest, limit, day):
    """What else is good to know."""
    reasons = []
    if change is not None:
        fields = {"change": (change, "share"), "mc": (now, PCT), "days": (max(left, 0.0), "days")}
        reasons.append(Reason("next_change_only" if math.isnan(left) else "next_change", fields, "next_change"))
    level = rules.limit_level(share)
    if fastest and level and now > LIMIT_FROM_PCT:
        reasons.append(Reason(f"pace_{level}", _fast_fields(fastest, share, limit), "pace"))
    elif fastest and math.isnan(limit):
        reasons.append(Reason("pace_no_limit", {"board": fastest[0], "points": (fastest[1], PTS)}))
    if now > CRITICAL_PCT:
        reasons.append(Reason("critical", {"mc": (now, PCT), "critical": (CRITICAL_PCT, "share")}))
    if day.carried:
        reasons.append(Reason("carried", {"boards": ", ".join(day.carried)}))
    return reasons


def _end_fields(driest: tuple[str, float], wettest: tuple[str, float], end: rules.End) -> Fields:
    return {
        "board": driest[0],
        "low": (driest[1], PCT),
        "start": (end.start_pct, PCT),
        "wettest": wettest[0],
        "high": (wettest[1], PCT),
        "target": (end.target_pct, PCT),
        "emc": (end.start_pct, PCT),
    }


def _fast_fields(fastest, share, limit):
    if fastest is None:
        return {}
    return {"board": fastest[0], "points": (fastest[1], PTS), "limit": (limit, PTS), "share": (share, "share")}


def _step_fields(check):
    result = check.numbers
    return {
        "step_dry": (result.step.dry_bulb_c, DEG),
        "step_depression": (result.step_depression_c, GAP),
        "dry": (result.dry_bulb_c, DEG),
        "depression": (result.depression_c, GAP),
        "code": result.schedule.code,
    }


def _dial(action, sheet, check, pressure_pa):
    """What to dial now."""
    result, change = check.numbers, check.change
    dry, wet = result.dry_bulb_c, result.wet_bulb_c
    if action == EQUALIZE:
        start = rules.end_of_drying(NAN, NAN, sheet.target_pct, sheet.species).start_pct
        return Dial("equalize", dry, air.wet_bulb_c(dry, emc.rh_pct_for_emc(dry, start), pressure_pa))
    if action == EASE:
        if not change.code.startswith("hold"):
            return Dial(change.code, change.dry_bulb_c, change.wet_bulb_c)
        return Dial("raise_wet_bulb", dry, dry - result.depression_c / ONE_NUMBER)
    if action == ADVANCE:
        return Dial(change.code.removesuffix("_toward"), change.dry_bulb_c, change.wet_bulb_c)
    return Dial("hold", dry, wet)


def _code(sheet):
    try:
        return code_for(sheet.species, sheet.thickness).code
    except NotFound:
        return None
