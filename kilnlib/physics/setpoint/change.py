"""The one thing to dial next, from where the settings are toward the step of the schedule.

Two rules hold whatever is proposed. Nothing is proposed that the same check would call harsher than in step, so that
following the advice leads somewhere good. And wood that dries is not soaked: coming back from air that is too hard, the
EMC rises by little at a time. No sentence stands here: the words are under "setpoint.change.…".
"""

import math
from collections.abc import Callable, Iterator

from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.samples import CLOSE_SHARE_PCT
from kilnlib.physics.schedules import (
    Kiln,
    depression_before_heat_c,
    dialed,
    ladder,
    met,
    opened_at_once_c,
    reach,
    widest_depression_c,
)
from kilnlib.physics.setpoint.color import DRY_FACES_C, MOST_DRIER, can_keep_white, dry_faces_c, keeps_white, stains
from kilnlib.physics.setpoint.departure import (
    BULB_C,
    COOL_CREDIT,
    DIALED_C,
    GENTLER,
    HARDER,
    HARSH,
    IN_STEP_NUMBERS,
    LIMIT_FROM_PCT,
    ONE_NUMBER,
    OUTSIDE,
    WET_PCT,
    WICK_C,
)
from kilnlib.physics.setpoint.result import Change, CheckResult
from kilnlib.physics.softwoods import softwood_fact
from kilnlib.tables import advice
from kilnlib.units import c_to_f, f_to_c

MOST_HEAT_C = advice("most_heat_at_once")
MUCH_COOLER_C = advice("much_cooler_than_step")
MOST_MOISTER_PCT = advice("most_moister_at_once")
FRESH_PINE = ("softwood_first_setting", "softwood_at_first")
WHITE_C = advice("white_dry_bulb")
GAP_LEFT = advice("depression_left_by_cooling")
MOVED_C = 0.6 / 1.8  # less is no move: bulbs are dialed in whole degrees
PARTS = (1.0, 0.5, 0.25)  # of a move, where all of it would be too hard
TOWARD = {"lower_wet_bulb": "lower_wet_bulb_toward", "raise_dry_bulb": "raise_dry_bulb_toward"}  # a step out of reach
DEG, GAP = "temperature", "temperature_difference"

VerdictAt = Callable[[float, float], str]  # the same check's verdict on another dry and wet bulb


def next_change(
    result: CheckResult,
    verdict: str,
    kiln: Kiln | None,
    verdict_at: VerdictAt,
    at_once: bool = False,
    share_pct: float = math.nan,
) -> Change:
    """The one thing to dial next: depression first, dry bulb after the next weighing.

    Parameters
    ----------
    result : result.CheckResult.
    verdict : verdict.
    kiln : the kiln, or None; nothing it cannot hold is proposed.
    verdict_at : what the check says of another setting of the same charge.
    at_once : whether too hard a setting may be taken back in one move: in a charge that was just loaded green.
    share_pct : share of the daily limit that the fastest board used [%]; NaN where nothing is known of the boards.

    Returns
    -------
    Change.

    Raises
    ------
    Nothing.

    Source
    ------
    One change at a time, RH in small amounts and heat last: Univ. of Kentucky FOR-128 p. 48; never rewet partly dried
    stock: p. 50, and Wengert, Preventing Drying Damage to Oak (2009), all *retrieved*. So a harsh setting goes back by
    2.5 points of EMC at a time, heat at once, and air is opened as `schedules.opened_at_once_c` has it: our choice.
    More than 10 °F below the step's dry bulb the step's RH is aimed at, *from memory* (AH-188 p. 145), and
    so it is where the kiln cannot hold the step; the change then names it. Woods that gray are eased toward 110 °F with
    a depression of 10 °F (Wengert, 20 Steps to Drying Hard White Maple, *retrieved*). At most 10 °F of heat at once,
    and above 30 % at most two depression numbers; a depression of less than 1.5 °F is a dry wick until it was read
    again: our choice. What the boards lose weighs more than a schedule (common practice): a board over its limit eases
    the air, one close to it holds back a step that is due, and boards that are slow leave a harder setting as it is.

    Accuracy
    --------
    Back to the step of the schedule; your sample boards may ask for less.
    """
    dry, wet, depression = result.dry_bulb_c, result.wet_bulb_c, result.depression_c
    if depression < WICK_C - 1e-6:
        return Change("hold_check_wick", dry, wet, {"depression": (depression, GAP)})
    if verdict == OUTSIDE:
        return _without_schedule(result)
    there: dict[str, tuple[float, str]] = {}
    if by_boards := _by_the_boards(result, verdict, share_pct):
        code, wet = by_boards
        there = {"share": (share_pct, "share")}
    elif verdict in HARSH:
        code, dry, wet, there = _eased(result, kiln, at_once, share_pct)
    elif kiln is not None and result.reach is not None and (limits := met(result.reach, kiln)):
        code = "within_kiln_driest" if "driest_rh" in limits else "within_kiln"
        dry, wet = dialed(result.reach.same_rh, kiln)
        if verdict_at(dry, wet) in HARSH:  # cooler at the same RH is not always milder: less depression is
            wet = max(wet, min(dry - result.step_depression_c, kiln.coil_wet_bulb_limit_c))
    elif _at_held_step(result, kiln):
        code = "hold_at_kiln"
    elif verdict == GENTLER:
        code, dry, wet = _moved_on(result, kiln, verdict_at)
        code, there = _toward_what(result, kiln, code, dry, wet)
    else:
        code = "hold"
    if kiln is not None:
        dry, wet = min(dry, kiln.top_dry_bulb_c), min(wet, kiln.coil_wet_bulb_limit_c)
    wet = max(min(wet, dry), air.wet_bulb_c(dry, 0.0, result.pressure_pa))
    return Change(code, dry, wet, {"dry": (dry, DEG), "wet": (wet, DEG), "depression": (dry - wet, GAP)} | there)


def _by_the_boards(result, verdict, share_pct):
    """Code and wet bulb where what the boards lose decides against the schedule; else None."""
    close, wet = share_pct > CLOSE_SHARE_PCT, result.wet_bulb_c
    if verdict == HARDER and share_pct <= CLOSE_SHARE_PCT and not keeps_white(result):
        return "hold_slow", wet
    if result.mc_pct > LIMIT_FROM_PCT and verdict not in HARSH and share_pct > 100.0:
        return "raise_wet_bulb_over", result.dry_bulb_c - result.depression_c / ONE_NUMBER
    if result.mc_pct > LIMIT_FROM_PCT and verdict == GENTLER and close:
        return "hold_close", wet
    return None


def _without_schedule(result):
    """What is said where no schedule is printed: where one test's first setting is, begin as it did."""
    known = softwood_fact(result.species, result.mc_pct, result.dry_bulb_c, result.wet_bulb_c, result.rh_pct)
    code = "ask_brown" if stains(result, "brown") else "ask"
    there: dict[str, tuple[float, str]] = {}
    if known is not None and known.code in FRESH_PINE:
        code, there = "ask_first", {name: known.fields[name] for name in ("first_dry", "first_wet")}
    return Change(code, result.dry_bulb_c, result.wet_bulb_c, there)


def _at_held_step(result, kiln):
    """Whether this is the step as the kiln can hold it: what its wall card says."""
    if kiln is None or result.step_reach is None or not result.step_reach.limits:
        return False
    best = result.step_reach.same_rh
    apart = max(abs(best.dry_bulb_c - result.dry_bulb_c), abs(best.wet_bulb_c - result.wet_bulb_c))
    return apart <= DIALED_C + 1e-6


# milder ---------------------------------------------------------------------------------------------------------------


def _eased(result, kiln, at_once, share_pct):
    """Code, both bulbs, and where it leads: milder, but no wetter than the faces can take."""
    close = share_pct > CLOSE_SHARE_PCT  # so near the limit nothing is held
    if not close and keeps_white(result) and result.depression_c >= DRY_FACES_C - BULB_C - 1e-6:
        return "hold_white", result.dry_bulb_c, result.wet_bulb_c, {}
    code, dry, depression = _milder(result)
    wet, in_steps = dry - depression, False
    if not at_once:
        most = result.emc_pct + MOST_MOISTER_PCT
        driest = dry - air.wet_bulb_c(dry, emc.rh_pct_for_emc(dry, most), result.pressure_pa)
        in_steps = depression < driest - 1e-6
        wet = _down(dry - driest) if in_steps else wet
    if kiln is not None and met(held := reach(dry, wet, kiln), kiln):
        dry, wet = dialed(held.same_rh, kiln)
    if math.hypot(dry - result.dry_bulb_c, wet - result.wet_bulb_c) < MOVED_C:  # it has to lead somewhere
        wet = min(wet + BULB_C, dry)
        if kiln is not None and wet > kiln.coil_wet_bulb_limit_c:
            dry, wet = result.dry_bulb_c - BULB_C, min(result.wet_bulb_c, kiln.coil_wet_bulb_limit_c)
    if code.startswith("raise_wet_bulb") and dry < result.dry_bulb_c - MOVED_C:
        code = "lower_dry_bulb"
    if not in_steps:
        return code, dry, wet, {}
    there = dry - depression
    return f"{code.removesuffix('_cool')}_steps", dry, wet, {"there_dry": (dry, DEG), "there_wet": (there, DEG)}


def _milder(result):
    """Code, dry bulb and depression of the step, or of the cool way of a wood that grays: where easing leads."""
    away, step, dry, depression = result.away, result.step, result.dry_bulb_c, result.depression_c
    if can_keep_white(result) and dry <= step.dry_bulb_c + BULB_C:
        cool = min(dry, WHITE_C)
        return "white_way", cool, min(depression, max(DRY_FACES_C, result.step_depression_c))
    if away.depression > IN_STEP_NUMBERS and away.temperature <= max(away.depression, IN_STEP_NUMBERS):
        counted = away.numbers - away.depression  # what cooler air makes good for
        goal = min(result.step_depression_c * ONE_NUMBER ** -min(counted, 0.0), depression)
        cooler = goal > result.step_depression_c + BULB_C
        return ("raise_wet_bulb_cool" if cooler else "raise_wet_bulb"), dry, goal
    cooler = min(step.dry_bulb_c, dry)
    left = depression - (dry - cooler)  # with the wet bulb where it is
    if GAP_LEFT * result.step_depression_c <= left <= result.step_depression_c + 1e-6 and cooler < dry - MOVED_C:
        return "lower_dry_bulb_only", cooler, left
    if cooler < dry - MOVED_C:
        return "lower_dry_bulb", cooler, min(depression, result.step_depression_c)
    return "raise_wet_bulb", dry, min(depression / ONE_NUMBER, result.step_depression_c)  # by its pace alone


# on to the step -------------------------------------------------------------------------------------------------------


def _moved_on(result, kiln, verdict_at):
    """Code and both bulbs of one change on, the first that this check itself does not call harsh; else hold."""
    dry, wet = result.dry_bulb_c, result.wet_bulb_c
    for code, hotter, deeper in _ways_on(result, kiln):
        for part in PARTS:
            there = _as_held(result, kiln, dry + part * (hotter - dry), result.depression_c + part * deeper)
            if max(there[0] - dry, wet - there[1]) < MOVED_C or there[0] - there[1] < result.depression_c - MOVED_C:
                break
            if verdict_at(*there) not in HARSH:
                return code, *there
    limited = result.step_reach is not None and result.step_reach.limits
    waits = stains(result, "gray") and result.step is not None and dry < result.step.dry_bulb_c - BULB_C
    return ("hold_for_color" if waits else "hold_at_kiln" if limited else "hold"), dry, wet


def _ways_on(result, kiln) -> Iterator[tuple[str, float, float]]:
    """Code, dry bulb, and by how much more depression: drier air first, then heat."""
    dry, depression = result.dry_bulb_c, result.depression_c
    blue = dry_faces_c(result)
    goal = blue if blue is not None else _goal_c(result, kiln, dry)
    if goal > depression + BULB_C:
        once = opened_at_once_c(dry, depression, goal, result.pressure_pa) if blue is None else goal
        opening = once - depression
        if result.mc_pct > WET_PCT:
            first = ladder(result.schedule.code)[0].depression_f / 1.8  # no wood needs less than its first step
            opening = min(opening, max(depression * MOST_DRIER, first) - depression)
        yield ("lower_wet_bulb" if blue is None else "lower_wet_bulb_now"), dry, opening
    hottest = _held_step(result, kiln)[0]
    if dry < hottest - BULB_C and not stains(result, "gray"):
        hotter = min(hottest, dry + MOST_HEAT_C)
        driest = kiln is not None and depression >= widest_depression_c(dry, kiln) - BULB_C
        if driest:
            deeper = min(widest_depression_c(hotter, kiln), max(_goal_c(result, kiln, hotter), depression)) - depression
            yield "raise_dry_bulb_driest", hotter, max(deeper, 0.0)
        yield "raise_dry_bulb", hotter, 0.0


def _held_step(result, kiln):
    """Dry bulb, depression and RH of the step, or of what this kiln makes of it."""
    if kiln is not None and result.step_reach is not None and result.step_reach.limits:
        dry, wet = dialed(result.step_reach.same_rh, kiln)
        return dry, dry - wet, result.step_reach.same_rh.rh_pct
    return result.step.dry_bulb_c, result.step_depression_c, result.step_rh_pct


def _goal_c(result, kiln, dry_bulb_c):
    """The depression to aim at with a dry bulb [°C]."""
    hot, depression, rh = _held_step(result, kiln)
    limited = kiln is not None and result.step_reach is not None and bool(result.step_reach.limits)
    if dry_bulb_c > result.step.dry_bulb_c + 1e-6:  # hotter than the step: less, so that the two make up for it
        return depression * ONE_NUMBER ** -max(result.away.temperature, 0.0)
    if stains(result, "gray"):  # no more heat while it is wet, so drier air instead
        edge = IN_STEP_NUMBERS if can_keep_white(result) and dry_bulb_c <= WHITE_C + 1e-6 else 0.0
        drier = result.step_depression_c * ONE_NUMBER ** (edge + COOL_CREDIT * -result.away.temperature)
        return min(drier, max(DRY_FACES_C, result.step_depression_c)) if edge else drier
    return depression_on_the_way_c(dry_bulb_c, hot, depression, rh, result.pressure_pa, limited)


def depression_on_the_way_c(
    dry_bulb_c: float, step_dry_bulb_c: float, step_depression_c: float, step_rh_pct: float, pressure_pa: float,
    limited: bool,
) -> float:  # fmt: skip
    """The depression to aim at with a dry bulb that is not yet up at that of the step.

    Parameters
    ----------
    dry_bulb_c : dry bulb now [°C].
    step_dry_bulb_c, step_depression_c, step_rh_pct : the step, or what the kiln makes of it [°C, °C, %].
    pressure_pa : air pressure [Pa].
    limited : whether it is what the kiln makes of it.

    Returns
    -------
    Depression [°C]: at the RH of a step that is much hotter or out of reach, else as `depression_before_heat_c`.

    Raises
    ------
    OutOfRange : as `air.wet_bulb_c`.

    Source
    ------
    As `depression_before_heat_c`; *computed*, and when to go by the RH is our choice.

    Accuracy
    --------
    That of `air.wet_bulb_c`.
    """
    hotter = step_dry_bulb_c - dry_bulb_c
    if hotter > (BULB_C if limited else MUCH_COOLER_C + 0.1):  # its RH, not its depression
        return dry_bulb_c - float(air.wet_bulb_c(dry_bulb_c, step_rh_pct, pressure_pa))
    if hotter > 0.0:
        return depression_before_heat_c(dry_bulb_c, step_dry_bulb_c, step_depression_c, pressure_pa)
    return step_depression_c


def _as_held(result, kiln, dry_bulb_c, depression_c):
    """Both bulbs as they are dialed in this kiln, no drier than asked for: in whole degrees Fahrenheit."""
    same = abs(dry_bulb_c - result.dry_bulb_c) < MOVED_C
    dry = result.dry_bulb_c if same else f_to_c(round(c_to_f(dry_bulb_c)))
    wet = _up(dry - depression_c)
    if kiln is not None:
        driest = _up(dry - widest_depression_c(dry, kiln))
        wet = min(max(wet, driest), max(kiln.coil_wet_bulb_limit_c, result.wet_bulb_c))
    return dry, wet


def _up(wet_bulb_c):
    return f_to_c(math.ceil(c_to_f(wet_bulb_c) - 1e-6))


def _down(wet_bulb_c):
    return f_to_c(math.floor(c_to_f(wet_bulb_c) + 1e-6))


def _toward_what(result, kiln, code, dry, wet):
    """Code and fields of a change that names what it leads to: the rest of a big opening, or the step as held here."""
    if code not in TOWARD:
        return code, {}
    there_dry, depression, _ = _held_step(result, kiln)
    left = math.hypot(there_dry - dry, (there_dry - depression) - wet)
    there = {"there_dry": (there_dry, DEG), "there_wet": (there_dry - depression, DEG)}
    if kiln is not None and result.step_reach.limits:
        return (TOWARD[code], there) if left > BULB_C else (code, {})
    goal = _goal_c(result, kiln, dry)
    if code == "lower_wet_bulb" and dry - wet < goal - BULB_C:  # a big opening, in two or three days
        return "lower_wet_bulb_parts", {"there_wet": (dry - goal, DEG), "there_dry": (dry, DEG)}
    return code, {}
