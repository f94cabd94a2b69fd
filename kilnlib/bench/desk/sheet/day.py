"""One day of a sample sheet as it is worked out: the boards that decide, the limit, what comes next, how long it takes.

A board that cannot be worked out is left out of all of it: the others do not wait for it.
"""

import math
from dataclasses import dataclass, field, replace
from functools import cached_property

from kilnlib.errors import KilnError
from kilnlib.physics.samples import BOARDS, Day, DaysLeft, Sheet, limit_share_pct, sampling_error_pct, when_text
from kilnlib.physics.schedules import code_for, ladder

NAN = float("nan")
CHANGE_POINTS_PCT = (50, 40, 35, 30, 25, 20, 15)  # general change points of schedules by MC, from memory
LONGEST_LEFT_DAYS = 180  # ours: no kiln charge takes half a year, so a pace that slow tells nothing
WIDEST_LEFT, SHORT_LEFT_DAYS = 5.0, 14  # ours: a range five times as high as low tells nothing, but near the end


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
        if self.schedule is None:
            return CHANGE_POINTS_PCT
        return tuple(rung.mc_above_pct for rung in ladder(self.schedule.code) if rung.mc_above_pct > 0.0)

    @property
    def next_change_pct(self):
        """The next change point below the controlling MC, or None."""
        if self.day is None:
            return None
        return max((point for point in self.change_points_pct if point < _as_shown(self.day)), default=None)

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
        if self.day is None:
            return False
        last = {}
        for board in self.sheet.boards:
            times = [weighing.when for weighing in board.weighings if weighing.when.date() == self.day.when.date()]
            if times:  # a weight that was taken again on the same day is settled by the last one
                last[board.name] = when_text(times[-1])
        return any(notice.fields.get("when", "-") == last.get(notice.fields.get("board")) for notice in self.questions)

    @cached_property
    def reckoned(self) -> DaysLeft | None:
        """Days left as they are reckoned, on the last day only, and not while a weight of that day is in question."""
        if not self.is_last or self.in_question or self.day is None or self.day.doubted or self.broken:
            return None
        return self.sheet.days_left()

    @property
    def left(self) -> DaysLeft | None:
        """Days left where they say something: no longer than a charge takes, and not a range as wide as the kiln."""
        found = self.reckoned
        if found is None or found.high_days > LONGEST_LEFT_DAYS:
            return None
        return None if found.high_days > max(WIDEST_LEFT * found.low_days, SHORT_LEFT_DAYS) else found

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
