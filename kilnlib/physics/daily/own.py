"""The whole morning on one's own charge: the decision, what the boards should weigh tomorrow, and when it is ready.

Yesterday's forecast is worked out again from the sheet as it was yesterday, so that it is the one that was told, and
set beside the weights of today.
"""

import datetime
import functools
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from kilnlib.errors import KilnError
from kilnlib.physics import air
from kilnlib.physics.daily.decision import ADVANCE, EASE, EQUALIZE, DailyDecision, daily_decision
from kilnlib.physics.daily.ready import Ready, ready_on
from kilnlib.physics.daily.tomorrow import Expected, Miss, expected_weights, misfits, misses, yesterday
from kilnlib.physics.pace import AIR_SPEED_MS
from kilnlib.physics.reason import Reason
from kilnlib.physics.samples import Sheet
from kilnlib.physics.schedules import Kiln
from kilnlib.physics.setpoint import EQUALIZING, SOURCES, Change, Source, check_setpoint
from kilnlib.tables import advice

DAY = datetime.timedelta(days=1)
TOLD_REASONS = 2
AS_TOLD_C = advice("as_told_within")
PRACTICE = Source("practice", "", "common practice")
BEHIND = {  # what stands behind a reason: a source of the setpoint check
    "limit": ("over_limit", "close_and_harder", "harder_but_slow", "due_but_close", "pace_over", "pace_close",
              "pace_under"),
    "schedule": ("too_hard", "harder", "harder_ease", "behind_step", "in_step", "hold_at_kiln", "hold", "next_change",
                 "next_change_only"),
    "pace": ("faster_than_air", "slower_than_air", "look_first"),
    "finish": ("all_dry", "equalize"),
    "early": ("critical",),
    "bulb": ("hold_check_wick",),
    "stain": ("hold_for_color",),
}  # fmt: skip
ABOUT = {code: about for about, codes in BEHIND.items() for code in codes}
Made = TypeVar("Made")
_Told = tuple[Change | None, tuple[Expected, ...], Ready | None]


@dataclass(frozen=True)
class OwnMorning:
    """What a sheet says on its last day. What cannot be told is empty or None."""

    daily: DailyDecision
    change: Change
    reasons: tuple[tuple[Reason, Source], ...]  # those that weigh most
    tomorrow: tuple[Expected, ...]
    missed: tuple[Miss, ...]  # yesterday's forecast, beside the weights of today
    misfits: tuple[Reason, ...]
    ready: Ready | None
    ready_before: Ready | None  # what was told yesterday


def own_morning(sheet: Sheet, kiln: Kiln | None = None) -> OwnMorning:
    """The decision of the last day of a sheet, and what goes with it.

    Parameters
    ----------
    sheet : samples.Sheet with species, thickness, bulbs and weights.
    kiln : anything with the fields of kilnlib.store.kiln.ThisKiln. None: no limits, at sea level.

    Returns
    -------
    OwnMorning.

    Raises
    ------
    As `decision.daily_decision`; where the rest cannot be told it is left out.

    Source
    ------
    `decision.daily_decision`, `tomorrow.expected_weights`, `ready.ready_on`; *computed*.

    Accuracy
    --------
    As theirs.
    """
    daily = daily_decision(sheet, kiln=kiln, as_checked=True)
    change = change_of(daily, sheet, kiln)
    tomorrow, ready = _ahead(sheet, daily, change, daily.when + DAY, kiln)
    before = yesterday(sheet)
    told: _Told = _told(before, daily.when, cast(Hashable, kiln)) if before is not None else (None, (), None)
    missed = misses(sheet, told[1])
    reasons = tuple((reason, source_of(reason.code, daily)) for reason in daily.reasons[:TOLD_REASONS])
    return OwnMorning(
        daily,
        change,
        reasons,
        tomorrow,
        missed,
        misfits(sheet, missed if _as_told(sheet, told[0]) else ()),
        ready,
        told[2],
    )


def _as_told(sheet, change):
    """Whether the bulbs of the last day are those that were to be dialed; true where none were read on it."""
    if change is None or sheet.air[-1].when.date() != sheet.days[-1].when.date():
        return change is not None
    bulbs = sheet.air[-1]
    off = max(abs(bulbs.dry_bulb_c - change.dry_bulb_c), abs(bulbs.wet_bulb_c - change.wet_bulb_c))
    return off <= AS_TOLD_C + 1e-6


@functools.lru_cache(maxsize=8)  # yesterday does not change while the weights of today are typed
def _told(sheet: Any, when: Any, kiln: Any) -> _Told:
    """What was told on the last day of a sheet: to dial, to weigh at a moment, and when it would be ready."""
    daily = _or_none(lambda: daily_decision(sheet, kiln=kiln, as_checked=True))
    if daily is None:
        return None, (), None
    change = change_of(daily, sheet, kiln)
    return (change, *_ahead(sheet, daily, change, when, kiln))


def _ahead(sheet, daily, change, when, kiln):
    """(expected weights at a moment, ready-on date) under the settings that are to be dialed."""
    pressure = air.STANDARD_PA if kiln is None else float(air.pressure_pa(kiln.altitude_m))
    speed = AIR_SPEED_MS if kiln is None else kiln.sticker_speed_ms
    dial, factor = (change.dry_bulb_c, change.wet_bulb_c), daily.rate_factor
    expected = _or_none(lambda: expected_weights(sheet, when, *dial, factor, pressure, speed))
    return expected or (), _or_none(lambda: ready_on(sheet, *dial, factor, kiln, pressure, speed))


def _or_none(make: Callable[[], Made]) -> Made | None:
    """What was made, or None where the sheet does not tell it."""
    try:
        return make()
    except KilnError:
        return None


def change_of(daily: DailyDecision, sheet: Sheet, kiln: Kiln | None = None) -> Change:
    """What to dial, as the setpoint check says it.

    Parameters
    ----------
    daily : DailyDecision.
    sheet : samples.Sheet it was decided for.
    kiln : as in `own_morning`.

    Returns
    -------
    Change, with the bulbs of the decision; that of the check itself where it is the same, and where it is time to
    equalize.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    Exact.
    """
    dial, own = daily.dial, daily.check.change
    if daily.action in (EASE, ADVANCE) and (dial.dry_bulb_c, dial.wet_bulb_c) == (own.dry_bulb_c, own.wet_bulb_c):
        return own
    bulbs = {"dry": (dial.dry_bulb_c, "temperature"), "wet": (dial.wet_bulb_c, "temperature")}
    depression = {"depression": (dial.dry_bulb_c - dial.wet_bulb_c, "temperature_difference")}
    if daily.action == EQUALIZE and sheet.target_pct is not None:
        now = daily.check.numbers
        asked = (sheet.species, sheet.thickness, now.mc_pct, now.dry_bulb_c, now.wet_bulb_c, now.pressure_pa)
        target = sheet.target_pct
        equal = _or_none(lambda: check_setpoint(*asked, kiln, stage=EQUALIZING, target_pct=target).change)
        return equal or Change("hold", dial.dry_bulb_c, dial.wet_bulb_c, bulbs | depression)
    return Change(dial.code, dial.dry_bulb_c, dial.wet_bulb_c, bulbs | depression)


def source_of(code: str, daily: DailyDecision) -> Source:
    """What stands behind a reason.

    Parameters
    ----------
    code : of the reason.
    daily : DailyDecision it belongs to.

    Returns
    -------
    setpoint.Source; about "practice" where it is common practice.

    Raises
    ------
    Nothing.

    Source
    ------
    As named in each; what has no other source is *common practice*.

    Accuracy
    --------
    Exact.
    """
    about = ABOUT.get(code, "")
    if about in SOURCES:
        return Source(about, *SOURCES[about])
    return next((one for one in daily.check.sources if one.about == about), PRACTICE)
