"""The sample sheet of one charge: its boards, and what they say together.

`Sheet` holds everything written down about one charge; `kilnlib.store.sheet` keeps it on disk.
"""

import datetime
import functools
import math
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

from kilnlib.errors import BadInput, NotFound, Notice
from kilnlib.physics.arrays import check_range
from kilnlib.physics.samples.board import HIGHEST_SECTION_PCT, PACE_HOURS, SLIP_POINTS_PER_DAY, Air, Note, SampleBoard
from kilnlib.physics.samples.entries import check_order, check_weight_kg, tidy
from kilnlib.physics.samples.rates import DaysLeft, days_left, safe_rate_pct_per_day
from kilnlib.physics.samples.sums import MC_PCT, controlling_mc_pct
from kilnlib.physics.wood import highest_mc_pct, nominal, species
from kilnlib.tables import advice
from kilnlib.units import DAY_S

NAN = float("nan")
RECENT_DAYS = int(advice("days_a_pace_is_taken_from"))
LIGHTER_WOOD = advice("wood_lighter_than_average")
WEIGHT_UNITS = ("lb", "oz", "g", "kg")
TEMPERATURE_UNITS = ("F", "C")


@dataclass(frozen=True)
class Day:
    """One day's weighings: moisture content and points a day by board, and the boards that decide."""

    when: datetime.datetime  # last weighing of the day
    mcs_pct: dict[str, float]  # of every board with a known moisture content
    rates: dict[str, float]  # points a day since its weighing before, of the boards weighed today
    # Boards not weighed today: their last moisture content stands in, which is on the wet side.
    carried: tuple[str, ...]
    # Boards whose weight of today is hardly true: the one before stands in, where one can be true.
    doubted: tuple[str, ...] = ()

    @property
    def controlling_pct(self) -> float:
        """Mean of the wettest half; NaN while nothing is known."""
        return controlling_mc_pct(list(self.mcs_pct.values())) if self.mcs_pct else NAN

    @property
    def average_pct(self) -> float:
        """Mean of all boards; NaN while nothing is known."""
        return sum(self.mcs_pct.values()) / len(self.mcs_pct) if self.mcs_pct else NAN

    @property
    def wettest(self) -> tuple[str, float] | None:
        """(name, MC) of the wettest board, or None."""
        return max(self.mcs_pct.items(), key=lambda pair: pair[1], default=None)

    @property
    def driest(self) -> tuple[str, float] | None:
        """(name, MC) of the driest board, or None."""
        return min(self.mcs_pct.items(), key=lambda pair: pair[1], default=None)

    @property
    def fastest(self) -> tuple[str, float] | None:
        """(name, points a day) of the board that dried fastest, or None."""
        return max(self.rates.items(), key=lambda pair: pair[1], default=None)


@dataclass(frozen=True)
class Sheet:
    """Everything written down about one charge. Units are only what its weights are written in on disk."""

    charge: str = ""
    species: str = ""
    thickness: str = ""
    target_pct: float | None = None
    boards: tuple[SampleBoard, ...] = ()
    air: tuple[Air, ...] = ()
    notes: tuple[Note, ...] = ()
    sample_unit: str = "lb"
    section_unit: str = "g"
    temperature_unit: str = "F"
    scale_step_kg: float | None = None  # smallest difference that the boards' scale shows; None until it was asked

    def __post_init__(self):
        for field in ("charge", "species", "thickness"):
            object.__setattr__(self, field, tidy(getattr(self, field)))
        object.__setattr__(self, "thickness", nominal(self.thickness))
        if self.target_pct is not None:
            if math.isnan(self.target_pct):
                raise BadInput("not_finite", what="The target", example="7")
            check_range("The target", self.target_pct, 3.0, 30.0, "percent")
        for unit, known in (
            (self.sample_unit, WEIGHT_UNITS),
            (self.section_unit, WEIGHT_UNITS),
            (self.temperature_unit, TEMPERATURE_UNITS),
        ):
            if unit not in known:
                raise BadInput("one_of", what="The unit", text=unit, names=" or ".join(known))
        names = [board.name.casefold() for board in self.boards]
        twice = next((board.name for board in self.boards if names.count(board.name.casefold()) > 1), None)
        if twice:
            raise BadInput("board_twice", board=twice)
        if self.scale_step_kg is not None:
            check_weight_kg("The scale's step", self.scale_step_kg)
        limits = highest_board_pct(self.species), self.scale_step_kg or 0.0
        object.__setattr__(self, "boards", tuple(_with_limits(board, *limits) for board in self.boards))
        object.__setattr__(self, "notes", tuple(sorted(self.notes, key=lambda note: note.when)))
        for earlier, later in pairwise(self.air):
            check_order(earlier.when, later.when)

    def board(self, name: str) -> SampleBoard:
        """The sample board of that name; capitals do not matter."""
        folded = tidy(name).casefold()
        for board in self.boards:
            if board.name.casefold() == folded:
                return board
        names = ", ".join(board.name for board in self.boards) or "none yet"
        raise NotFound("unknown_board", board=tidy(name), names=names)

    def with_board(self, board: SampleBoard) -> "Sheet":
        """This sheet with one more board, or with another board under that name."""
        same = board.name.casefold()
        if any(other.name.casefold() == same for other in self.boards):
            return replace(self, boards=tuple(board if b.name.casefold() == same else b for b in self.boards))
        return replace(self, boards=(*self.boards, board))

    def without_board(self, name: str) -> "Sheet":
        """This sheet without the board of that name."""
        gone = self.board(name)
        return replace(self, boards=tuple(board for board in self.boards if board is not gone))

    @property
    def limit_points_per_day(self) -> float:
        """Published daily limit of this species and thickness; NaN where none is known."""
        try:
            return safe_rate_pct_per_day(self.species, self.thickness)
        except NotFound:
            return NAN

    @cached_property
    def days(self) -> tuple[Day, ...]:
        """A Day for every calendar day on which a board was weighed, in order of time."""
        last = [{weighing.when.date(): n for n, weighing in enumerate(board.weighings)} for board in self.boards]
        now: list[int | None] = [None] * len(self.boards)
        days = []
        for date in sorted(set().union(*last)):
            mcs, rates, carried, doubted, moments = {}, {}, [], [], []
            for position, board in enumerate(self.boards):
                number = now[position] = last[position].get(date, now[position])
                if number is None:
                    continue
                stands = board.stands[number]
                mc = NAN if stands is None else board.mcs_pct[stands]
                if not math.isnan(mc):
                    mcs[board.name] = mc
                if stands is None or (stands != number and date in last[position]):
                    doubted.append(board.name)
                if date not in last[position]:
                    carried.append(board.name)
                    continue
                moments.append(board.weighings[number].when)
                rate = board.points_per_day_believed(number)
                # A weight that a recut has proven stands all the same, though its rate cannot be true.
                slip = number in board.questioned and rate > SLIP_POINTS_PER_DAY
                if stands == number and board.name in mcs and not math.isnan(rate) and not slip:
                    rates[board.name] = rate
            days.append(Day(max(moments), mcs, rates, tuple(carried), tuple(doubted)))
        return tuple(days)

    def days_left(self) -> DaysLeft | None:
        """Range of days until the wettest board reaches the target, at the pace of the last few days.

        None while there is no target, fewer than two days of weighings, or no loss in them.
        """
        if self.target_pct is None or not self.days or not self.days[-1].mcs_pct:
            return None
        wettest = max(self.days[-1].mcs_pct.values())
        recent = [day for day in self.days if day.mcs_pct][-1 - RECENT_DAYS :]
        paces = [
            (before.controlling_pct - now.controlling_pct) * DAY_S / (now.when - before.when).total_seconds()
            for before, now in pairwise(recent)
            if now.when - before.when >= datetime.timedelta(hours=PACE_HOURS)
        ]
        paces = [pace for pace in paces if pace > 0] or ([1.0] if wettest <= self.target_pct else [])
        return days_left(max(wettest, 0.0), self.target_pct, min(paces), max(paces)) if paces else None

    def questions(self) -> list[Notice]:
        """Notices about what is kept but looks odd, board by board."""
        notices = []
        wettest_possible = math.inf
        if self.species:
            try:
                wettest_possible = highest_board_pct(self.species, check=True)
            except NotFound as error:
                notices.append(Notice(error.code, **error.fields))
        for board in self.boards:
            cuts = board.sections, *(recut.sections for recut in board.recuts)
            mcs = [section.mc_pct for sections in cuts for section in sections]
            if max(mcs) > wettest_possible:
                fields = {"mc": (max(mcs), "percent"), "limit": (wettest_possible, "percent")}
                notices.append(Notice("ask_too_wet", board=board.name, species=self.species, **fields))
            notices += board.questions()
        return notices


def sheet_until(sheet: Sheet, when: datetime.datetime) -> Sheet:
    """A sheet as it was at a moment.

    Parameters
    ----------
    sheet : Sheet.
    when : moment; what was written down later is left out.

    Returns
    -------
    Sheet.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    Sections are kept, also those that came out of the oven later.
    """
    boards = tuple(
        replace(
            board,
            weighings=tuple(weighing for weighing in board.weighings if weighing.when <= when),
            recuts=tuple(recut for recut in board.recuts if recut.when <= when),
        )
        for board in sheet.boards
    )
    return replace(sheet, boards=boards, air=tuple(reading for reading in sheet.air if reading.when <= when))


def highest_board_pct(name: str, check: bool = False) -> float:
    """Most water that a sample board of a species can hold.

    Parameters
    ----------
    name : name of the species; other names in common use are understood.
    check : whether a name that is not in the tables is refused.

    Returns
    -------
    Moisture content [%], at most 400; 300, as for a section, where the species is not known.

    Raises
    ------
    NotFound : with `check`, a name that is not in the tables; a species whose properties are not in them.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-3, p. 4-3, *retrieved*, for a board 15 percent lighter than the average of
    its species, ours.

    Accuracy
    --------
    Living trees seldom reach it: what is above is a slip.
    """
    limit = _highest_board_pct(name)
    if isinstance(limit, NotFound):
        if check:
            raise limit
        return HIGHEST_SECTION_PCT
    return limit


@functools.lru_cache(maxsize=256)
def _highest_board_pct(name):
    if not name:
        return HIGHEST_SECTION_PCT
    try:
        return min(float(highest_mc_pct(LIGHTER_WOOD * species(name).specific_gravity)), MC_PCT[1])
    except NotFound as error:
        return error


def _with_limits(board, highest_pct, scale_step_kg):
    """A board under the limits of its sheet: itself, where it has them already."""
    if (board.highest_pct, board.scale_step_kg) == (highest_pct, scale_step_kg):
        return board
    return replace(board, highest_pct=highest_pct, scale_step_kg=scale_step_kg)
