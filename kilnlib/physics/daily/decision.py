"""The daily decision: from two or more days of sample weights and the two bulbs to hold, ease or advance.

One change at a time: the depression first, the dry bulb after a weighing has shown what the drier air does. No sentence
stands here: the words are in words.py under "daily.…".
"""

import datetime
import math
from dataclasses import dataclass

from kilnlib.errors import BadInput, NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.conditioning import equalize
from kilnlib.physics.daily.outlook import Behind, looked_ahead, looked_back, sheet_until
from kilnlib.physics.samples import HIGHEST_SECTION_PCT, limit_share_pct, when_text
from kilnlib.physics.schedules import code_for
from kilnlib.physics.setpoint import (
    AIR_SPEED_MS,
    GENTLER,
    HARDER,
    HARSH,
    LIMIT_FROM_PCT,
    ONE_NUMBER,
    OUTSIDE,
    TOO_HARD,
    Reason,
    SetpointCheck,
    check_setpoint,
)
from kilnlib.physics.wood import species as species_row
from kilnlib.units import DAY_S

NAN = float("nan")
ACTIONS = ("hold", "ease", "advance", "equalize", "stop", "weigh")
HOLD, EASE, ADVANCE, EQUALIZE, STOP, WEIGH = ACTIONS
CLOSE_SHARE_PCT = 80.0  # of the limit: from here on nothing is made harsher; our choice
CRITICAL_PCT = 45.0
MOST_REASONS = 5
WITH_PACE = ("over_limit", "close_and_harder", "harder_but_slow", "due_but_close")  # they name the fastest board
DOUBT = ("faster_than_air", "slower_than_air")
PCT, PTS, DEG, GAP = "percent", "points", "temperature", "temperature_difference"


@dataclass(frozen=True)
class Dial:
    """Settings to dial: what moves (a code), and both bulbs as they stand then."""

    code: str  # "hold", "raise_wet_bulb", "lower_wet_bulb", "raise_dry_bulb", "lower_dry_bulb", "equalize" …
    dry_bulb_c: float
    wet_bulb_c: float
    fields: dict


@dataclass(frozen=True)
class Daily:
    """One morning: what the weights say, what to do, why, and what the next two days would bring."""

    action: str  # one of ACTIONS
    when: datetime.datetime
    controlling_pct: float
    before_pct: float  # controlling moisture content at the weighing before; NaN on the first day
    controlling_points: float  # a day, since then
    fastest: tuple | None  # (board, points a day)
    limit_points: float  # NaN where none is published
    share_pct: float  # of the limit, by the fastest board
    next_change_pct: float  # where the schedule moves on; NaN on its last rung or without one
    days_to_change: float  # at the pace of the controlling boards; NaN where that cannot be told
    dry_bulb_c: float  # as they are set
    wet_bulb_c: float
    dial: Dial
    then: Dial | None  # after the next weighing
    outlooks: tuple  # Outlook of the settings as they are, and as dialed
    reasons: tuple
    check: SetpointCheck


def daily_decision(sheet, when=None, dry_bulb_c=None, wet_bulb_c=None, pressure_pa=None, kiln=None, code=None):
    """What to do this morning.

    The order of the rule: a weight that is hardly true is weighed again; near the target equalizing begins; a fastest
    board over its limit, or settings that are too hard, are eased (at once while the faces are whole, which only you
    can see; with checks open in steps, for damp air drives them deeper); settings that have fallen behind the
    schedule's step are advanced, unless the fastest board is already at 80 % of its limit; else hold.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness and weighed boards.
    when : moment of the decision; later entries are not looked at. None: the last day of the sheet.
    dry_bulb_c, wet_bulb_c : settings now [°C]. None: the last ones written on the sheet.
    pressure_pa : air pressure [Pa]. None: that of the kiln's altitude, or of sea level.
    kiln : anything with the fields of kilnlib.store.kiln.ThisKiln. None: no limits.
    code : schedule, such as "T4-D2". None: the one of the index.

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
    As good as weights and bulbs. Where the wood does not do what the bulbs say, the reasons tell so.
    """
    sheet, day, before = _so_far(sheet, when)
    dry, wet = _settings(sheet, dry_bulb_c, wet_bulb_c)
    if pressure_pa is None:
        pressure_pa = air.pressure_pa(kiln.altitude_m) if kiln is not None else air.STANDARD_PA
    now = max(day.controlling_pct, 0.0)
    speed = AIR_SPEED_MS if kiln is None else kiln.sticker_speed_ms
    behind = looked_back(sheet, code or _code(sheet), pressure_pa, speed) if before else Behind()
    check = check_setpoint(sheet.species, sheet.thickness, now, dry, wet, pressure_pa, kiln, behind.history, code)
    days = (day.when - before.when).total_seconds() / DAY_S if before else NAN
    pace = (before.controlling_pct - now) / days if before else NAN
    limit = check.numbers.limit_points_per_day
    doubtful = _doubtful(sheet, day)
    rates = {name: rate for name, rate in day.rates.items() if name not in doubtful}
    fastest = max(rates.items(), key=lambda pair: pair[1], default=None)
    share = limit_share_pct(max(fastest[1], 0.0), limit) if fastest and not math.isnan(limit) else NAN
    step = check.numbers.step
    change = step.mc_above_pct if step is not None and step.mc_above_pct > 0.0 else NAN
    left = (now - change) / pace if pace > 0.0 else NAN
    action, told = _decide(sheet, day, before, doubtful, fastest, share, check, behind)
    dial, then = _dials(action, sheet, check, pressure_pa, kiln)
    shown = None if told[0].code in WITH_PACE else fastest
    told += _context(now, change, left, share, shown, limit, day, behind)
    told = sorted({reason.code: reason for reason in told}.values(), key=lambda reason: -reason.weight)
    ahead = looked_ahead(check, dial, behind, pace, fastest, speed)
    return Daily(
        action=action,
        when=day.when,
        controlling_pct=now,
        before_pct=before.controlling_pct if before else NAN,
        controlling_points=pace,
        fastest=fastest,
        limit_points=limit,
        share_pct=share,
        next_change_pct=change,
        days_to_change=left,
        dry_bulb_c=dry,
        wet_bulb_c=wet,
        dial=dial,
        then=then,
        outlooks=ahead,
        reasons=tuple(told[:MOST_REASONS]),
        check=check,
    )


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


def _doubtful(sheet, day):
    """Boards whose weight of this day is hardly true."""
    today = when_text(day.when)[:10]
    codes = ("ask_below_ovendry", "ask_falling", "ask_rising")
    asked = [notice for notice in sheet.questions() if notice.fields.get("when", "").startswith(today)]
    slips = {notice.fields["board"] for notice in asked if notice.code in codes}
    return slips | {name for name, mc in day.mcs_pct.items() if mc > HIGHEST_SECTION_PCT}


def _decide(sheet, day, before, doubtful, fastest, share, check, behind):
    """Action and the reasons for it."""
    now = max(day.controlling_pct, 0.0)
    if before is None or not day.rates:
        return WEIGH, [Reason("one_day", 95.0, {})]
    if doubtful:
        return WEIGH, [Reason("doubtful", 95.0, {"boards": ", ".join(sorted(doubtful))})]
    if sheet.target_pct is not None:
        plan = equalize(max(sheet.target_pct, 4.0), _wood(sheet))
        low, high = day.driest, day.wettest
        shown = {
            "board": low[0],
            "low": (low[1], PCT),
            "start": (plan.start_driest_pct, PCT),
            "wettest": high[0],
            "high": (high[1], PCT),
            "target": (sheet.target_pct, PCT),
            "emc": (plan.emc_pct, PCT),
        }
        if high[1] <= plan.stop_wettest_pct:
            return STOP, [Reason("all_dry", 95.0, shown)]
        if low[1] <= plan.start_driest_pct:
            return EQUALIZE, [Reason("equalize", 95.0, shown)]
    if check.verdict == OUTSIDE:
        return HOLD, [Reason("outside", 80.0, {})]
    binds = now > LIMIT_FROM_PCT
    shown = _fast_fields(fastest, share, check.numbers.limit_points_per_day)
    if binds and share > 100.0:
        return EASE, [Reason("over_limit", 92.0, shown)]
    if check.verdict == TOO_HARD and now > LIMIT_FROM_PCT:
        return EASE, [Reason("too_hard", 88.0, {})]
    if check.verdict == HARDER:
        if binds and share > CLOSE_SHARE_PCT:
            return EASE, [Reason("close_and_harder", 86.0, shown)]
        return HOLD, [Reason("harder_but_slow" if share <= CLOSE_SHARE_PCT else "harder", 84.0, shown)]
    if check.verdict == GENTLER:
        if check.change.code.startswith("hold"):
            return HOLD, [Reason(check.change.code, 80.0, _step_fields(check))]
        if any(reason.code in DOUBT for reason in behind.reasons):
            return HOLD, [Reason("look_first", 85.0, _step_fields(check))]
        if binds and share > CLOSE_SHARE_PCT:
            return HOLD, [Reason("due_but_close", 86.0, shown)]
        return ADVANCE, [Reason("behind_step", 84.0, _step_fields(check))]
    return HOLD, [Reason("in_step", 70.0, _step_fields(check))]


def _context(now, change, left, share, fastest, limit, day, behind):
    """What else is good to know."""
    told = []
    if not math.isnan(change):
        shown = {"change": (change, "share"), "mc": (now, PCT), "days": (max(left, 0.0), "days")}
        told.append(Reason("next_change" if left == left else "next_change_only", 50.0, shown))
    if fastest and not math.isnan(share) and now > LIMIT_FROM_PCT:
        level = "over" if share > 100.0 else "close" if share > CLOSE_SHARE_PCT else "under"
        told.append(Reason(f"pace_{level}", 60.0, _fast_fields(fastest, share, limit)))
    elif fastest and math.isnan(limit):
        told.append(Reason("pace_no_limit", 40.0, {"board": fastest[0], "points": (fastest[1], PTS)}))
    if now > CRITICAL_PCT:
        told.append(Reason("critical", 52.0, {"mc": (now, PCT), "critical": (CRITICAL_PCT, "share")}))
    if day.carried:
        told.append(Reason("carried", 45.0, {"boards": ", ".join(day.carried)}))
    return [*told, *behind.reasons]


def _fast_fields(fastest, share, limit):
    if fastest is None:
        return {}
    return {"board": fastest[0], "points": (fastest[1], PTS), "limit": (limit, PTS), "share": (share, "share")}


def _step_fields(check):
    found = check.numbers
    return {
        "step_dry": (found.step.dry_bulb_c, DEG),
        "step_depression": (found.step_depression_c, GAP),
        "dry": (found.dry_bulb_c, DEG),
        "depression": (found.depression_c, GAP),
        "code": found.schedule.code,
    }


def _dials(action, sheet, check, pressure_pa, kiln):
    """What to dial now, and what after the next weighing or None."""
    found = check.numbers
    dry, wet = found.dry_bulb_c, found.wet_bulb_c
    held = _dial("hold", dry, wet)
    if action == EQUALIZE:
        rh = emc.rh_pct_for_emc(dry, equalize(max(sheet.target_pct, 4.0), _wood(sheet)).emc_pct)
        return _dial("equalize", dry, air.wet_bulb_c(dry, rh, pressure_pa)), None
    if action == EASE:
        if check.verdict in HARSH and check.change.code != "hold_white":  # so near the limit nothing is held
            return _dial(check.change.code, check.change.dry_bulb_c, check.change.wet_bulb_c), None
        return _dial("raise_wet_bulb", dry, dry - found.depression_c / ONE_NUMBER), None
    if action != ADVANCE:
        return held, None
    now = _dial(check.change.code.removesuffix("_toward"), check.change.dry_bulb_c, check.change.wet_bulb_c)
    gap = dry - now.wet_bulb_c
    hottest = found.step.dry_bulb_c
    if kiln is not None:
        hottest = min(hottest, kiln.top_dry_bulb_c, kiln.coil_wet_bulb_limit_c + gap)
    if not now.code.startswith("lower_wet_bulb") or hottest - now.dry_bulb_c <= 0.5:
        return now, None
    return now, _dial("raise_dry_bulb", hottest, hottest - gap)


def _dial(code, dry, wet):
    shown = {"dry": (round(dry, 6), DEG), "wet": (round(wet, 6), DEG), "depression": (round(dry - wet, 6), GAP)}
    return Dial(code, dry, wet, shown)


def _code(sheet):
    try:
        return code_for(sheet.species, sheet.thickness).code
    except NotFound:
        return None


def _wood(sheet):
    try:
        return species_row(sheet.species).group
    except NotFound:
        return "hardwood"
