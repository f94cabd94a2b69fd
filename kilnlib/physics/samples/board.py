"""One sample board as it was weighed: sections, weighings, recuts, and the moisture contents that follow.

Weights are kilograms, times are datetimes. A board's first weighing is the one taken when its sections were cut: its
calculated oven-dry weight rests on it. After a recut the earlier weighings are worked out again with the better
oven-dry weight, so that the curve has no step.

In doubt is what lies below oven-dry or above what the wood can hold, what fell further than wood can, and a gain above
fiber saturation, where no air makes wood heavier. Such a gain can be true, within a day's reach and below the first
moisture content: the weight before it may be wrong. A recut proves its own weight once its sections are dry. A second
weighing within hours answers a question: one that agrees is believed, and one that raises no question itself lets the
first be a slip.
"""

import datetime
import math
from collections.abc import KeysView
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise

from kilnlib.errors import BadInput, Fields, Notice, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.arrays import check_range
from kilnlib.physics.samples.entries import check_moment, check_order, check_weight_kg, tidy, when_text
from kilnlib.physics.samples.sums import (
    ovendry_weight,
    points_per_day,
    sample_mc_pct,
    section_mean_pct,
    sections_disagree,
)
from kilnlib.physics.wood import FSP_PCT
from kilnlib.tables import advice
from kilnlib.units import DAY_S

NAN = float("nan")
HIGHEST_SECTION_PCT = advice("wettest_believed")
BUCKET_M3 = 1e-6, 100.0  # or none; more than any load holds
SLIP_POINTS_PER_DAY = advice("slip_points_a_day")
PACE_HOURS = advice("pace_taken_over")
AGREE_SHARE = advice("weighings_agree_within")
STEP_SLACK = 1e-6  # so that a difference of exactly one step of the scale, turned to kilograms, counts as one

Question = tuple[str, Fields]  # code of a Notice, and what it is filled with


@dataclass(frozen=True)
class Section:
    """One section: green weight, and oven-dry weight once it is out of the oven."""

    green_kg: float
    ovendry_kg: float | None = None

    def __post_init__(self):
        check_weight_kg("The section's green weight", self.green_kg)
        if self.ovendry_kg is None:
            return
        check_weight_kg("The section's oven-dry weight", self.ovendry_kg)
        fields = {"green": (self.green_kg, "section_weight"), "dry": (self.ovendry_kg, "section_weight")}
        if self.ovendry_kg >= self.green_kg:
            raise OutOfRange("section_swapped", "ovendry_kg", self.ovendry_kg, None, self.green_kg, **fields)
        if self.mc_pct > HIGHEST_SECTION_PCT:
            raise OutOfRange("section_too_wet", "ovendry_kg", self.ovendry_kg, **fields, mc=(self.mc_pct, "percent"))

    @property
    def mc_pct(self) -> float:
        """Moisture content; NaN while the section is still in the oven."""
        return NAN if self.ovendry_kg is None else 100.0 * (self.green_kg / self.ovendry_kg - 1.0)


@dataclass(frozen=True)
class Weighing:
    """One weight of a sample board."""

    when: datetime.datetime
    weight_kg: float
    note: str = ""

    def __post_init__(self):
        check_moment(self.when)
        check_weight_kg("The weight", self.weight_kg)
        _tidy(self, "note")


@dataclass(frozen=True)
class Recut:
    """Fresh sections cut from a sample board at a weighing, and the weight of what is left of it."""

    when: datetime.datetime
    after_kg: float
    sections: tuple[Section, ...]
    note: str = ""

    def __post_init__(self):
        check_moment(self.when)
        check_weight_kg("The weight after the recut", self.after_kg)
        _tidy(self, "note")
        if not self.sections:
            raise BadInput("recut_no_section")

    @property
    def mean_mc_pct(self) -> float:
        """Mean of the new sections; NaN while one is in the oven."""
        return section_mean_pct([section.mc_pct for section in self.sections])


@dataclass(frozen=True)
class SampleBoard:
    """One sample board: sections, weighings in order of time, recuts, and a note (where it lies, why it was chosen).

    What its wood can hold, and the step of the scale, are its sheet's, which sets them.
    """

    name: str
    sections: tuple[Section, ...]
    weighings: tuple[Weighing, ...] = ()
    recuts: tuple[Recut, ...] = ()
    note: str = ""
    highest_pct: float = field(default=HIGHEST_SECTION_PCT, compare=False)
    scale_step_kg: float = field(default=0.0, compare=False)

    def __post_init__(self):
        _tidy(self, "name", "note")
        if not self.name:
            raise BadInput("board_no_name")
        if not self.sections:
            raise BadInput("missing_section", board=self.name)
        for rows in (self.weighings, self.recuts):
            for earlier, later in pairwise(rows):
                check_order(earlier.when, later.when)
        weights = {weighing.when: weighing.weight_kg for weighing in self.weighings}
        for recut in self.recuts:
            if recut.when not in weights:
                raise BadInput("recut_no_weight", board=self.name, when=when_text(recut.when))
            if recut.after_kg >= weights[recut.when]:
                fields = {"after": (recut.after_kg, "weight"), "before": (weights[recut.when], "weight")}
                raise OutOfRange("recut_heavier", "after_kg", recut.after_kg, None, weights[recut.when], **fields)

    @property
    def mean_mc_pct(self) -> float:
        """Moisture content when the board was cut; NaN while a section is in the oven."""
        return section_mean_pct([section.mc_pct for section in self.sections])

    @cached_property
    def ovendry_kg(self) -> tuple[float, ...]:
        """Calculated oven-dry weight before the first recut, between recuts, and after the last one."""
        if not self.weighings:
            return ()
        weights = {weighing.when: weighing.weight_kg for weighing in self.weighings}
        weights_kg = [ovendry_weight(self.weighings[0].weight_kg, self.mean_mc_pct)]
        for recut in self.recuts:
            if not math.isnan(recut.mean_mc_pct):
                weights_kg[-1] = ovendry_weight(weights[recut.when], recut.mean_mc_pct)
            weights_kg.append(weights_kg[-1] * recut.after_kg / weights[recut.when])
        return tuple(weights_kg)

    @cached_property
    def mcs_pct(self) -> tuple[float, ...]:
        """Moisture content at each weighing."""
        weights = [weighing.weight_kg for weighing in self.weighings]
        cuts = [sum(recut.when < weighing.when for recut in self.recuts) for weighing in self.weighings]
        return tuple(sample_mc_pct(weights, [self.ovendry_kg[cut] for cut in cuts]).tolist())

    @property
    def mc_pct(self) -> float:
        """Moisture content at the last weighing; NaN before the first."""
        return self.mcs_pct[-1] if self.weighings else NAN

    def points_per_day(self, first: int = -2, second: int = -1) -> float:
        """Points lost in a day between any two weighings, by their numbers; NaN where there are not two."""
        count = len(self.weighings)
        if not all(-count <= number < count for number in (first, second)) or first % count == second % count:
            return NAN
        earlier, later = sorted((first % count, second % count))
        days = (self.weighings[later].when - self.weighings[earlier].when).total_seconds() / DAY_S
        return points_per_day(self.mcs_pct[earlier], self.mcs_pct[later], days)

    def weigh(self, when: datetime.datetime, weight_kg: float, note: str | None = None) -> "SampleBoard":
        """This board with one more weighing, or another weight at that time; None leaves a note as it is."""
        kept = {weighing.when: weighing for weighing in self.weighings}
        old_note = kept[when].note if when in kept else ""
        kept[when] = Weighing(when, weight_kg, old_note if note is None else note)
        return replace(self, weighings=tuple(kept[moment] for moment in sorted(kept)))

    def without(self, when: datetime.datetime) -> "SampleBoard":
        """This board without the weighing at that time (and without a recut made at it)."""
        return replace(
            self,
            weighings=tuple(weighing for weighing in self.weighings if weighing.when != when),
            recuts=tuple(recut for recut in self.recuts if recut.when != when),
        )

    def questions(self) -> list[Notice]:
        """Notices about what is kept but looks odd: sections apart, weight rising, too low, or falling too fast."""
        notices = []
        for sections in (self.sections, *(recut.sections for recut in self.recuts)):
            mcs = [section.mc_pct for section in sections]
            if sections_disagree(mcs):
                ends = {"low": (min(mcs), "percent"), "high": (max(mcs), "percent")}
                notices.append(Notice("ask_sections", board=self.name, **ends))
        for number, (code, fields) in self._walk[0].items():
            weighing = self.weighings[number]
            shown: Fields = {"when": when_text(weighing.when), "now": (weighing.weight_kg, "weight")}
            notices.append(Notice(code, board=self.name, **shown, **fields))
        return notices

    @property
    def stands(self) -> tuple[int | None, ...]:
        """For each weighing the number of the one whose moisture content stands: itself, unless it is in doubt.

        None where it is in doubt and so is every one before it.
        """
        return self._walk[1]

    @property
    def questioned(self) -> KeysView[int]:
        """Numbers of the weighings that are asked about."""
        return self._walk[0].keys()

    def points_per_day_believed(self, number: int) -> float:
        """Points lost in a day up to a weighing, since the last one hours before it that can be true.

        NaN where there is none; 0 where the weights differ by less than the scale's step.
        """
        before = self._walk[2][number]
        if before is None:
            return NAN
        if abs(self.left_kg(before) - self.weighings[number].weight_kg) < self.scale_step_kg * (1 - STEP_SLACK):
            return 0.0
        return self.points_per_day(before, number)

    @cached_property
    def _walk(self):
        return walk(self)

    def left_kg(self, number: int) -> float:
        """What a weighing left of the board: the weight after the cut, where it was cut then."""
        weighing = self.weighings[number]
        return next((recut.after_kg for recut in self.recuts if recut.when == weighing.when), weighing.weight_kg)

    def ovendry_at(self, number: int) -> float:
        """The calculated oven-dry weight that a weighing is reckoned with."""
        return self.ovendry_kg[sum(recut.when < self.weighings[number].when for recut in self.recuts)]


def walk(board: SampleBoard) -> tuple[dict[int, Question], tuple[int | None, ...], tuple[int | None, ...]]:
    """The weighings of a board one after the other: the odd ones, what stands at each, and what its pace is taken from.

    The odd ones by number, each with its question. For each weighing the number of the one whose moisture content
    stands, and the number of the one its pace is taken from; None where there is none. Ours, *common practice*: a
    weight that cannot be is weighed again. A slip within a day's drying looks like drying.
    """
    proven = {recut.when for recut in board.recuts if not math.isnan(recut.mean_mc_pct)}
    questions: dict[int, Question] = {}
    stands: list[int | None] = []
    compared_with: list[int | None] = []
    believable: list[int] = []  # numbers of the weighings that can be true
    for number, weighing in enumerate(board.weighings):
        before = next((n for n in reversed(believable) if _hours(board, n, number) >= PACE_HOURS), None)
        question, doubt, untrue = _judged(board, number, before, believable, proven)
        possible = not _impossible(board, number)
        soon_after = number > 0 and _hours(board, number - 1, number) < PACE_HOURS
        if soon_after and _agree(board, number - 1, number):
            if possible:
                question, doubt, untrue = None, False, False
            elif number - 1 in questions:
                question = "ask_recut", {"dry": (board.ovendry_at(number), "weight")}
                questions[number - 1] = "ask_recut", {"dry": (board.ovendry_at(number - 1), "weight")}
        if soon_after and question is None and not _impossible(board, number - 1):
            questions.pop(number - 1, None)
        if question is not None:
            questions[number] = question
        sure = possible and weighing.when in proven
        stands.append(number if sure or not doubt else stands[-1] if stands else None)
        compared_with.append(before)
        if sure or not untrue:
            believable.append(number)
    return questions, tuple(stands), tuple(compared_with)


def _judged(board, number, before, believable, proven):
    """(question or None, whether it is in doubt, whether it cannot be true) of one weighing by itself."""
    weighing, mc = board.weighings[number], board.mcs_pct[number]
    if mc < 0:
        better = any(when > weighing.when for when in proven)
        fields = {"dry": (board.ovendry_at(number), "weight")}
        return ("ask_below_recut" if better else "ask_below_ovendry", fields), True, True
    question, doubt, untrue = None, False, False
    if before is not None:
        question, doubt, untrue = _compared(board, number, before, believable)
    elif believable:  # weighed twice within hours
        if not _agree(board, believable[-1], number):
            question, doubt, untrue = ("ask_twice", {"before": (board.left_kg(believable[-1]), "weight")}), True, True
    elif number and weighing.when in proven and weighing.weight_kg > board.left_kg(number - 1):
        question = "ask_recut_weight", {"before": (board.left_kg(number - 1), "weight")}
    if mc > board.highest_pct:
        limit = {"mc": (mc, "percent"), "limit": (board.highest_pct, "percent")}
        return question or ("ask_above_highest", limit), True, True
    return question, doubt, untrue


def _compared(board, number, before, believable):
    """The same of a weighing beside one that was hours before."""
    points, mc, started = board.points_per_day(before, number), board.mcs_pct[number], board.left_kg(before)
    if board.weighings[number].weight_kg > started:
        untrue = mc > board.mcs_pct[believable[0]] or points < -SLIP_POINTS_PER_DAY
        return ("ask_rising", {"before": (started, "weight")}), mc > FSP_PCT, untrue
    if points > SLIP_POINTS_PER_DAY:
        return ("ask_falling", {"points": (points, "points")}), True, True
    return None, False, False


def _impossible(board, number):
    return board.mcs_pct[number] < 0 or board.mcs_pct[number] > board.highest_pct


def _hours(board, first, second):
    return (board.weighings[second].when - board.weighings[first].when).total_seconds() / 3600.0


def _agree(board, first, second):
    """Whether two weighings say the same, but for the scale."""
    before, now = board.left_kg(first), board.weighings[second].weight_kg
    return abs(before - now) <= max(AGREE_SHARE * before, board.scale_step_kg * (1 + STEP_SLACK))


@dataclass(frozen=True)
class Air:
    """The two bulbs of the kiln at one time, those of the leaving air, and the water in the bucket since the last time.

    Only the first two are always there.
    """

    when: datetime.datetime
    dry_bulb_c: float
    wet_bulb_c: float
    leaving_dry_bulb_c: float | None = None
    leaving_wet_bulb_c: float | None = None
    bucket_m3: float | None = None

    def __post_init__(self):
        check_moment(self.when)
        _check_bulbs(self.dry_bulb_c, self.wet_bulb_c)
        _check_bulbs(self.leaving_dry_bulb_c, self.leaving_wet_bulb_c)
        if self.bucket_m3 is not None:
            low, high = BUCKET_M3
            check_range("The water in the bucket", self.bucket_m3, low if self.bucket_m3 else 0.0, high, "volume")


@dataclass(frozen=True)
class Note:
    """A remark about the whole charge."""

    when: datetime.datetime
    text: str

    def __post_init__(self):
        check_moment(self.when)
        _tidy(self, "text")
        if not self.text:
            raise BadInput("note_empty")


def _check_bulbs(dry, wet):
    """Refuse two bulbs, or the one that is there, where they cannot be."""
    for what, value in (("Dry bulb", dry), ("Wet bulb", wet)):
        if value is not None:
            check_range(what, value, *air.DRY_BULB_C, "temperature")
    if dry is not None and wet is not None and wet > dry:
        fields = {"wet": (wet, "temperature"), "dry": (dry, "temperature")}
        raise OutOfRange("wet_above_dry", "wet_bulb_c", wet, None, dry, **fields)


def _tidy(thing, *names):
    for name in names:
        object.__setattr__(thing, name, tidy(getattr(thing, name)))
