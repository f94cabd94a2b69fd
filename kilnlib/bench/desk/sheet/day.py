"""One day of a sample sheet as it is worked out: the boards that decide, the limit, what comes next, how long it takes.

A board that cannot be worked out is left out of all of it: the others do not wait for it.
"""

import math
from dataclasses import dataclass, field, replace
from functools import cached_property

from kilnlib.errors import KilnError
from kilnlib.physics.daily.rules import questioned_boards
from kilnlib.physics.samples import BOARDS, Day, DaysLeft, Sheet, limit_share_pct, sampling_error_pct
from kilnlib.physics.schedules import change_points_pct, code_for, next_change_pct
from kilnlib.tables import advice

NAN = float("nan")
LONGEST_LEFT_DAYS = advice("longest_days_left")
WIDEST_LEFT, SHORT_LEFT_DAYS = advice("widest_days_left"), advice("near_the_end")


@dataclass(frozen=True)
class Finding:
    """One day of a sheet."""

    sheet: Sheet
    day: Day | None
    limit: float  # points a day, NaN where none is known
    is_last: bool
    before: Day | None = None  # the day of weighing before
    broken: dict = field(default_factory=dict)  # board: why it could not be worked out; `sheet` is without it

    @property
    def share_pct(self):
        """Share of the limit that the fastest board used; NaN where there is none."""
        return self.share_of(self.day.fastest[0]) if self.day and self.day.fastest else NAN

    def share_of(self, board):
        """Share of the limit that a board used; NaN without a limit, or without a weight that can be true."""
        if math.isnan(self.limit) or board not in self.day.rates:
            return NAN
        return limit_share_pct(max(self.day.rates[board], 0.0), self.limit)

    @cached_property
    def questions(self):
        """Every notice about the sheet."""
        return self.sheet.questions()

    @cached_property
    def schedule(self):
        """Recommendation of the index for this wood and thickness, or None: the one that the setpoint check uses."""
        try:
            return code_for(self.sheet.species, self.sheet.thickness)
        except KilnError:
            return None

    @cached_property
    def change_points_pct(self):
        """Where the schedule moves on, or the general points where there is none; downward."""
        return change_points_pct(self.schedule and self.schedule.code)

    @property
    def next_change_pct(self):
        """The next change point below the controlling MC, or None."""
        if self.day is None:
            return None
        return next_change_pct(self.change_points_pct, self.day.controlling_pct)

    @property
    def crossed_pct(self):
        """The last change point that the controlling MC came down to since the day before; None if none or in doubt."""
        if self.day is None or self.before is None or self.day.doubted or self.in_question:
            return None
        now, was = _as_shown(self.day), _as_shown(self.before)
        return min((point for point in self.change_points_pct if now <= point < was), default=None)

    @property
    def in_question(self):
        """Whether a weight of this day is asked about: then a pace says little."""
        return self.day is not None and bool(questioned_boards(self.sheet, self.day, self.questions))

    @cached_property
    def reckoned(self) -> DaysLeft | None:
        """Days left as they are reckoned, on the last day only, and not while a weight of that day is in question."""
        if not self.is_last or self.in_question or self.day is None or self.day.doubted or self.broken:
            return None
        return self.sheet.days_left()

    @property
    def left(self) -> DaysLeft | None:
        """Days left where they say something: no longer than a charge takes, and not a range as wide as the kiln."""
        left = self.reckoned
        if left is None or left.high_days > LONGEST_LEFT_DAYS:
            return None
        return None if left.high_days > max(WIDEST_LEFT * left.low_days, SHORT_LEFT_DAYS) else left

    @property
    def left_too_fast(self):
        """Whether the low end of days left is reckoned with a pace over the limit."""
        return self.left is not None and self.left.reason.fields.get("fast", (NAN,))[0] > self.limit

    @property
    def error_pct(self):
        """Sampling error in percent of the MC; NaN with fewer than two boards, and with more than were studied."""
        known = len(self.day.mcs_pct) if self.day else 0
        return sampling_error_pct(known) if BOARDS[0] <= known <= BOARDS[1] else NAN


def _as_shown(day):
    """Controlling MC as it is shown, and as it is typed into the setpoint check."""
    return round(day.controlling_pct, 1)


def finding(sheet, when):
    """What a sheet says on the day of `when`, or on the last day before it."""
    sheet, broken = sound(sheet)
    days = [day for day in sheet.days if day.when.date() <= when.date()]
    day = days[-1] if days and days[-1].mcs_pct else None
    before = days[-2] if day and len(days) > 1 and days[-2].mcs_pct else None
    return Finding(sheet, day, sheet.limit_points_per_day, bool(sheet.days) and day is sheet.days[-1], before, broken)


def sound(sheet):
    """(the sheet without the boards that cannot be worked out, {board: error} of those)."""
    broken = {}
    for board in sheet.boards:
        try:
            board.questions()
        except Exception as error:  # whatever it is, it concerns this board only
            broken[board.name] = error
    if not broken:
        return sheet, broken
    return replace(sheet, boards=tuple(board for board in sheet.boards if board.name not in broken)), broken
