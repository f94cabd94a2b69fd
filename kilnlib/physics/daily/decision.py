"""The daily decision: what two or more days of sample weights and the two bulbs ask for this morning, one of ACTIONS.

One change at a time: the depression first, the dry bulb after a weighing has shown what the drier air does. No sentence
stands here, only codes and what fills them in; the sentences are in the words under "daily.…".
"""

import datetime
import math
from dataclasses import dataclass

from kilnlib.errors import BadInput, Fields, NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.daily import rules
from kilnlib.physics.daily.outlook import Behind, looked_back
from kilnlib.physics.pace import AIR_SPEED_MS
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import Day, Sheet, limit_share_pct, safe_rate, sheet_until
from kilnlib.physics.schedules import Kiln, change_points_pct, code_for, next_change_pct
from kilnlib.physics.setpoint import (
    CRITICAL_PCT,
    DRYING,
    GENTLER,
    HARDER,
    LIMIT_FROM_PCT,
    MOST_REASONS,
    ONE_NUMBER,
    OUTSIDE,
    TOO_HARD,
    SetpointCheck,
    check_setpoint,
)
from kilnlib.units import DAY_S

NAN = float("nan")
ACTIONS = ("hold", "ease", "advance", "equalize", "stop", "weigh")
HOLD, EASE, ADVANCE, EQUALIZE, STOP, WEIGH = ACTIONS
# Reasons whose sentence already names the fastest board and its pace: `_context` adds no second one.
WITH_PACE = ("over_limit", "close_and_harder", "harder_but_slow", "due_but_close")
WEIGHTS_AGAINST_BULBS = ("faster_than_air", "slower_than_air")
ORDER = (  # places of reasons, the first read first; "decides" is the reason for the action
    "weigh_again", "end_of_drying", "over_limit", "faster_than_air", "too_hard", "slower_than_air", "decides",
    "in_step", "pace", "critical", "next_change", "carried", "pace_no_limit",
)  # fmt: skip
PERCENT, POINTS, DEGREES, DEGREES_BETWEEN = "percent", "points", "temperature", "temperature_difference"


@dataclass(frozen=True)
class Dial:
    """Settings to dial: what moves (a code), and both bulbs as they stand then."""

    code: str  # "hold", "equalize", or the code of the change that the setpoint check proposes, without "_toward"
    dry_bulb_c: float
    wet_bulb_c: float


@dataclass(frozen=True)
class DailyDecision:
    """One morning: what the weights say, what to do, and why."""

    action: str  # one of ACTIONS
    when: datetime.datetime
    controlling_pct: float
    controlling_points: float  # points a day since the day of weighing before; NaN on the first one
    fastest: tuple[str, float] | None  # (board, points a day)
    limit_points: float  # points a day; NaN where no limit is published
    share_pct: float  # how much of the limit the fastest board used
    next_change_pct: float  # where the schedule moves on; NaN on its last step or without one
    dial: Dial
    reasons: tuple[Reason, ...]
    check: SetpointCheck
    rate_factor: float = 1.0  # these boards dry so many times as fast as the engine's; 1 where no weight says so


def daily_decision(
    sheet: Sheet,
    when: datetime.datetime | None = None,
    dry_bulb_c: float | None = None,
    wet_bulb_c: float | None = None,
    pressure_pa: float | None = None,
    kiln: Kiln | None = None,
    code: str | None = None,
    as_checked: bool = False,
) -> DailyDecision:
    """What to do this morning.

    The first of these rules that fits decides. Where no pace is known yet, or a weight is hardly true, weigh again. At
    the target, drying stops; near it, equalizing begins. Outside the tables, hold. A fastest board over its limit, or
    settings that are too hard, ask for gentler air. So do settings that are harder than the step, unless the boards are
    slow. Settings that have fallen behind the step are advanced, unless the fastest board is already at 80 % of its
    limit or the weights do not fit the bulbs. Else hold.

    Air is eased at once while the faces are whole, which only the operator can see; with checks open it is eased in
    steps, for damp air drives them deeper. The setpoint check says the same as this rule once it is given the boards'
    share of the limit.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness and weighed boards.
    when : the morning's date; entries after that day are not looked at. None: the last day of the sheet.
    dry_bulb_c, wet_bulb_c : settings now [°C], both or neither. Without both: the last ones written on the sheet.
    pressure_pa : air pressure [Pa]. None: that of the kiln's altitude, or of sea level.
    kiln : anything with the fields of kilnlib.store.kiln.ThisKiln. None: no limits.
    code : schedule, such as "T4-D2". None: the one of the index.
    as_checked : judge the settings as the setpoint check judges what is typed into it, so that the two always agree:
        boards as the schedule would have left them, moisture content to a tenth. The weights still decide first.

    Returns
    -------
    DailyDecision.

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
    morning = _morning(sheet, when, (dry_bulb_c, wet_bulb_c), pressure_pa, kiln, code, as_checked)
    action, main_reason = _decide(morning)
    reasons = (main_reason, *_context(morning, main_reason), *morning.behind.reasons)
    first_of_each = {reason.code: reason for reason in reasons}.values()
    return DailyDecision(
        action=action,
        when=morning.day.when,
        controlling_pct=morning.controlling_pct,
        controlling_points=morning.controlling_points,
        fastest=morning.fastest,
        limit_points=morning.limit_points,
        share_pct=morning.share_pct,
        next_change_pct=morning.next_change_pct,
        dial=_dial(action, morning),
        reasons=tuple(sorted(first_of_each, key=lambda reason: ORDER.index(reason.place))[:MOST_REASONS]),
        check=morning.check,
        rate_factor=morning.behind.rate_factor,
    )


@dataclass(frozen=True)
class _Morning:
    """What is known before anything is decided."""

    sheet: Sheet
    day: Day
    doubtful: tuple[str, ...]  # boards whose weight is asked about
    controlling_pct: float
    controlling_points: float  # points a day since the day of weighing before; NaN on the first one
    fastest: tuple[str, float] | None  # (board, points a day)
    share_pct: float  # how much of the limit the fastest board used
    next_change_pct: float
    check: SetpointCheck
    behind: Behind  # what lies behind this morning: the charge so far by the engine
    pressure_pa: float

    @property
    def limit_points(self):
        return self.check.numbers.limit_points_per_day

    @property
    def days_to_change(self):
        return (self.controlling_pct - self.next_change_pct) / self.controlling_points


def _morning(sheet, when, bulbs_c, pressure_pa, kiln, code, as_checked):
    sheet, day, before = _so_far(sheet, when)
    dry, wet = _settings(sheet, *bulbs_c)
    if pressure_pa is None:
        pressure_pa = air.pressure_pa(kiln.altitude_m) if kiln is not None else air.STANDARD_PA
    controlling = max(day.controlling_pct, 0.0)
    speed = AIR_SPEED_MS if kiln is None else kiln.sticker_speed_ms
    behind = looked_back(sheet, code or _code(sheet), pressure_pa, speed) if before else Behind()
    checked_mc, history = (round(controlling, 1), None) if as_checked else (controlling, behind.history)
    days = (day.when - before.when).total_seconds() / DAY_S if before else NAN
    doubtful, fastest, share = _pressed(sheet, day)
    asked = (sheet.species, sheet.thickness, checked_mc, dry, wet, pressure_pa, kiln, history, code, DRYING)
    check = check_setpoint(*asked, share_pct=share)
    schedule = check.numbers.schedule
    change = next_change_pct(change_points_pct(schedule.code), controlling) if schedule else None
    return _Morning(
        sheet=sheet,
        day=day,
        doubtful=tuple(sorted(doubtful)),
        controlling_pct=controlling,
        controlling_points=(before.controlling_pct - controlling) / days if before else NAN,
        fastest=fastest,
        share_pct=share,
        next_change_pct=NAN if change is None else change,
        check=check,
        behind=behind,
        pressure_pa=pressure_pa,
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
    doubtful = {*day.doubted, *rules.questioned_boards(sheet, day, sheet.questions())}
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
    """Both bulbs as given, or else the last ones written on the sheet."""
    if dry_bulb_c is not None and wet_bulb_c is not None:
        return dry_bulb_c, wet_bulb_c
    if not sheet.air:
        raise BadInput("no_bulbs")
    return sheet.air[-1].dry_bulb_c, sheet.air[-1].wet_bulb_c


def _decide(morning):
    """Action and the reason for it."""
    sheet, day, check = morning.sheet, morning.day, morning.check
    if math.isnan(morning.controlling_points) or not day.rates:
        return WEIGH, Reason("one_day", {}, "weigh_again")
    if morning.doubtful:
        return WEIGH, Reason("doubtful", {"boards": ", ".join(morning.doubtful)}, "weigh_again")
    if sheet.target_pct is not None:
        end = rules.end_of_drying(day.driest[1], day.wettest[1], sheet.target_pct, sheet.species)
        if end.action:
            code = {rules.STOP: "all_dry", rules.EQUALIZE: "equalize"}[end.action]
            return end.action, Reason(code, _end_fields(day.driest, day.wettest, end), "end_of_drying")
    if check.verdict == OUTSIDE:
        return HOLD, Reason("outside", {}, "decides")
    limit_binds, level = morning.controlling_pct > LIMIT_FROM_PCT, rules.limit_level(morning.share_pct)
    fields = _fast_fields(morning)
    if limit_binds and level == rules.OVER:
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
        if any(reason.code in WEIGHTS_AGAINST_BULBS for reason in morning.behind.reasons):
            return HOLD, Reason("look_first", _step_fields(check), "decides")
        return ADVANCE, Reason("behind_step", _step_fields(check), "decides")
    return HOLD, Reason("in_step", _step_fields(check))


def _context(morning, main_reason):
    """What else is good to know."""
    reasons = []
    controlling = {"mc": (morning.controlling_pct, PERCENT)}
    if not math.isnan(morning.next_change_pct):
        days_left = morning.days_to_change if morning.controlling_points > 0.0 else NAN
        shown = max(days_left, 0.0)  # NaN stays NaN
        fields = {"change": (morning.next_change_pct, "share"), **controlling, "days": (shown, "days")}
        reasons.append(Reason("next_change_only" if math.isnan(days_left) else "next_change", fields, "next_change"))
    level = rules.limit_level(morning.share_pct)
    if morning.fastest and main_reason.code not in WITH_PACE:
        if level and morning.controlling_pct > LIMIT_FROM_PCT:
            reasons.append(Reason(f"pace_{level}", _fast_fields(morning), "pace"))
        elif math.isnan(morning.limit_points):
            reasons.append(Reason("pace_no_limit", _fast_fields(morning)))
    if morning.controlling_pct > CRITICAL_PCT:
        reasons.append(Reason("critical", {**controlling, "critical": (CRITICAL_PCT, "share")}))
    if morning.day.carried:
        reasons.append(Reason("carried", {"boards": ", ".join(morning.day.carried)}))
    return reasons


def _end_fields(driest: tuple[str, float], wettest: tuple[str, float], end: rules.End) -> Fields:
    """What fills in the sentences about equalizing and stopping."""
    return {
        "board": driest[0],
        "low": (driest[1], PERCENT),
        "start": (end.start_pct, PERCENT),
        "wettest": wettest[0],
        "high": (wettest[1], PERCENT),
        "target": (end.target_pct, PERCENT),
        "emc": (end.start_pct, PERCENT),  # equalizing holds air of the EMC at which it starts
    }


def _fast_fields(morning):
    """What fills in the sentences about the fastest board; nothing where no board has a pace."""
    if morning.fastest is None:
        return {}
    name, points = morning.fastest
    limit, share = (morning.limit_points, POINTS), (morning.share_pct, "share")
    return {"board": name, "points": (points, POINTS), "limit": limit, "share": share}


def _step_fields(check):
    """What fills in the sentences about the settings beside the schedule's step."""
    result = check.numbers
    return {
        "step_dry": (result.step.dry_bulb_c, DEGREES),
        "step_depression": (result.step_depression_c, DEGREES_BETWEEN),
        "dry": (result.dry_bulb_c, DEGREES),
        "depression": (result.depression_c, DEGREES_BETWEEN),
        "code": result.schedule.code,
    }


def _dial(action, morning):
    """What to dial now."""
    sheet, check = morning.sheet, morning.check
    result, change = check.numbers, check.change
    dry, wet = result.dry_bulb_c, result.wet_bulb_c
    if action == EQUALIZE:
        # Where equalizing starts does not depend on the boards, so none are named.
        start = rules.end_of_drying(NAN, NAN, sheet.target_pct, sheet.species).start_pct
        return Dial("equalize", dry, air.wet_bulb_c(dry, emc.rh_pct_for_emc(dry, start), morning.pressure_pa))
    if action == EASE:
        if not change.code.startswith("hold"):
            return Dial(change.code, change.dry_bulb_c, change.wet_bulb_c)
        # Eased although the check itself would hold: moister by one depression number.
        return Dial("raise_wet_bulb", dry, dry - result.depression_c / ONE_NUMBER)
    if action == ADVANCE:
        # "_toward" says that more is to come later, which is no matter of today's dial.
        return Dial(change.code.removesuffix("_toward"), change.dry_bulb_c, change.wet_bulb_c)
    return Dial("hold", dry, wet)


def _code(sheet):
    """The schedule that the index recommends for the sheet's wood; None where it has none."""
    try:
        return code_for(sheet.species, sheet.thickness).code
    except NotFound:
        return None
