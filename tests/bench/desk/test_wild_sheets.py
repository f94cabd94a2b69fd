"""Whatever was typed, a sheet says only what can be, and asks about the rest."""

import datetime
import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wild_sheets import look, wild_sheet

from kilnlib.bench.desk.sheet import findings
from kilnlib.errors import KilnError
from kilnlib.physics.daily import own_morning
from kilnlib.physics.samples import HIGHEST_SECTION_PCT, Air, Recut, SampleBoard, Section, Sheet, Weighing
from kilnlib.physics.wood import highest_mc_pct
from kilnlib.store.kiln import ThisKiln
from kilnlib.store.sheet_read import read_csv
from kilnlib.store.sheet_write import write_csv
from kilnlib.units import LB_KG

START = datetime.datetime(2026, 3, 10, 7, 30)
SECTIONS = (Section(0.09855, 0.0592), Section(0.08692, 0.05502))  # 62.2 %


def board(*weighed, recuts=(), name="1"):
    """A board weighed at (hours from the first, pounds)."""
    weighings = (Weighing(START + datetime.timedelta(hours=hours), pounds * LB_KG) for hours, pounds in weighed)
    return SampleBoard(name, SECTIONS, tuple(weighings), recuts)


def recut(hours, after, *sections):
    return Recut(START + datetime.timedelta(hours=hours), after * LB_KG, sections or (Section(0.08, 0.057),))


def codes(thing):
    return [asked.code for asked in thing.questions()]


def oak(*boards, **fields):
    return Sheet("c", "red oak", "4/4", 7.0, boards, **fields)


def found(sheet):
    return findings.finding(sheet, datetime.datetime.max)


def watched(sheet):
    return " ".join(words for _, words in findings.watch(found(sheet)))


@settings(max_examples=150)
@given(st.integers(0, 10**9).map(random.Random))
def test_no_wild_sheet_says_what_cannot_be(rng):
    look(wild_sheet(rng))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**9).map(random.Random))
def test_the_morning_of_a_wild_sheet_is_told_or_refused_in_words(rng):
    """Numbers that can be, or a sentence: never anything else, however wild weights, bulbs and hours are."""
    sheet, log, when = wild_sheet(rng), [], START
    for _ in range(rng.randrange(1, 9)):
        when += datetime.timedelta(hours=rng.choice((0.5, 12, 24, 24, 300)))
        dry = rng.uniform(20.0, 90.0)
        leaving = rng.choice(((), (dry - 2.0, dry - 5.0), (dry + 3.0, None)))
        log.append(Air(when, dry, dry - rng.choice((0.0, 0.4, 3.0, 15.0)), *leaving))
    try:
        said = own_morning(replace(sheet, air=tuple(log)), rng.choice((None, ThisKiln())))
    except KilnError as error:
        assert error.sentence()
        return
    for one in said.tomorrow:
        assert 0.0 < one.weight_kg < 10_000.0 and 0.0 < one.error_kg < math.inf
    assert said.ready is None or said.ready.early <= said.ready.likely <= said.ready.late
    assert all(miss.off_kg == miss.off_kg for miss in said.missed)


@settings(max_examples=60)
@given(st.integers(0, 10**9).map(random.Random))
def test_a_wild_sheet_comes_back_from_disk(rng):
    sheet = wild_sheet(rng)
    assert read_csv(write_csv(sheet))[0] == sheet


def test_a_recut_on_a_mis_keyed_first_weight_asks_about_the_first_weight():
    one = board((0, 2.46), (24, 4.38), recuts=(recut(24, 4.0),))
    assert one.mcs_pct[1] == pytest.approx(40.35, abs=0.01) and one.mcs_pct[0] < 0
    assert one.stands == (None, 1) and codes(one) == ["ask_below_recut", "ask_recut_weight"]
    first, last = oak(one).days
    assert first.mcs_pct == {} and first.doubted == ("1",) and last.mcs_pct == {"1": one.mcs_pct[1]}
    assert "2.46 lb is less than the oven-dry weight 3.12 lb that its recut gives" in one.questions()[0].sentence()


def test_a_slip_at_the_recut_moves_no_number_of_the_days_before_below_zero():
    heavy = board((0, 4.46), (24, 4.38), (48, 44.6), recuts=(recut(48, 4.0),))
    assert codes(heavy) == ["ask_below_recut", "ask_below_recut", "ask_recut_weight"]
    light = board((0, 4.46), (24, 4.38), (48, 0.43), recuts=(recut(48, 0.4),))
    assert codes(light) == ["ask_above_highest", "ask_above_highest"]
    for one in (heavy, light):
        assert [day.mcs_pct for day in oak(one).days[:2]] == [{}, {}]


def test_a_recut_proves_nothing_while_its_sections_are_in_the_oven():
    waiting = board((0, 4.46), (24, 4.38), (48, 44.6), recuts=(recut(48, 4.0, Section(0.08)),))
    assert waiting.stands == (0, 1, 1) and codes(waiting) == ["ask_rising"]
    assert "1522" not in " ".join(look(oak(waiting)))


def test_what_a_species_can_hold_is_what_its_cavities_hold():
    """Wood Handbook eq. 4-3, for a board 15 % lighter than its species; 300 % where the wood is not known."""
    wet = board((0, 4.46), (24, 4.40))
    assert oak(wet).boards[0].highest_pct == pytest.approx(highest_mc_pct(0.85 * 0.56), abs=8)
    assert Sheet(boards=(wet,)).boards[0].highest_pct == HIGHEST_SECTION_PCT
    assert oak(wet).boards[0] == wet, "the limits are the sheet's, no part of what was written down"


@pytest.mark.parametrize("again", [4.29, 4.30, 4.31])
def test_a_second_weighing_minutes_later_is_no_alarm_and_no_pace(again):
    one = board((0, 4.46), (24, 4.38), (48, 4.30), (48.2, again))
    assert codes(one) == [] and one.stands == (0, 1, 2, 3)
    assert one.points_per_day_believed(3) == pytest.approx((one.mcs_pct[1] - one.mcs_pct[3]) / (24.2 / 24)), (
        "against the day before"
    )
    assert "Weigh again" not in watched(oak(one))
    assert one.points_per_day(2, 3) != one.points_per_day_believed(3)


def test_a_second_weighing_answers_the_alarm():
    slip = board((0, 4.46), (24, 4.38), (48, 3.30))
    assert codes(slip) == ["ask_falling"]
    settled = board((0, 4.46), (24, 4.38), (48, 3.30), (48.2, 4.29))
    assert codes(settled) == [] and settled.stands == (0, 1, 1, 3)
    sure = board((0, 4.46), (24, 4.38), (48, 3.30), (48.2, 3.31))
    assert codes(sure) == [] and sure.stands == (0, 1, 1, 3), "two weighings that agree are believed"
    assert oak(sure).days[-1].rates["1"] > 30 and "over the safe limit" in watched(oak(sure))
    unsure = board((0, 4.46), (24, 4.38), (48, 3.30), (48.2, 2.95))
    assert codes(unsure) == ["ask_falling", "ask_falling"]


def test_weighed_twice_below_oven_dry_asks_for_a_recut_not_for_a_third_weighing():
    one = board((0, 4.46), (480, 2.80), (504, 2.70), (504.2, 2.70))
    assert codes(one) == ["ask_recut", "ask_recut"] and one.stands == (0, 1, 1, 1)
    for question in one.questions():
        assert "Weigh again" not in question.sentence() and "a recut" in question.sentence()
    assert "equalize" not in watched(oak(one))


def test_twice_on_the_first_morning_a_slip_is_asked_about_without_a_pace():
    one = board((0, 4.46), (0.2, 2.96))
    assert codes(one) == ["ask_twice"] and one.stands == (0, 0)
    assert oak(one).days[0].rates == {}
    assert codes(board((0, 4.46), (0.2, 4.45))) == []


def test_a_recut_minutes_after_the_morning_weight_leaves_the_pace_alone():
    one = board((0, 4.46), (24, 4.38), (24.02, 4.36), recuts=(recut(24.02, 4.0),))
    assert codes(one) == [] and 0 < oak(one).days[-1].fastest[1] < 4
    assert found(oak(one)).share_pct < 110


def test_less_than_the_scale_can_show_is_no_loss():
    one = board((0, 4.46), (24, 4.43))
    assert oak(one).days[-1].rates["1"] == pytest.approx(1.09, abs=0.01)
    assert oak(one, scale_step_kg=0.01 * LB_KG).days[-1].rates["1"] == pytest.approx(1.09, abs=0.01)
    assert oak(one, scale_step_kg=0.05 * LB_KG).days[-1].rates["1"] == 0
    same = board((0, 4.46), (24, 4.45))
    assert oak(same, scale_step_kg=0.01 * LB_KG).days[-1].rates["1"] > 0, "one step is told"


def test_days_left_beyond_any_charge_are_not_said():
    slow = board((0, 4.46), (240, 4.45), (480, 4.44))
    assert dict(findings.numbers(found(oak(slow))))["Days left"] == "not while the boards lose so little"
    assert found(oak(slow)).left is None
    fast = board((0, 4.46), (24, 4.30), (48, 4.20), (72, 4.12))
    assert "only at a pace over the limit" in dict(findings.numbers(found(oak(fast))))["Days left"]
    calm = board((0, 4.46), (24, 4.38), (48, 4.31), (72, 4.24))
    assert "over the limit" not in dict(findings.numbers(found(oak(calm))))["Days left"]


def test_midnight_between_two_boards_is_no_pace_of_the_charge():
    """One round from 23:55 to 0:05 is two dates, ten minutes apart."""
    one, two = (board((0, 4.46), (16.4 + n, 4.40), (40.4 + n, 4.33), name=str(n)) for n in (0, 0.2))
    left = oak(one, two).days_left()
    assert left is None or left.low_days > 3


def test_more_boards_than_the_study_still_open():
    many = tuple(board((0, 4.46), (24, 4.38), name=str(number)) for number in range(1001))
    assert "Sampling error" not in dict(findings.numbers(found(oak(*many))))
    assert "Controlling MC" in dict(findings.numbers(found(oak(*many))))


def test_the_scale_step_is_kept_on_disk_in_the_boards_unit():
    sheet = oak(board((0, 4.46)), scale_step_kg=0.02 * LB_KG)
    assert "scale step,,,,,,,,0.02 lb" in write_csv(sheet)
    assert read_csv(write_csv(sheet))[0].scale_step_kg == 0.02 * LB_KG
    assert "\nscale step" not in write_csv(oak(board((0, 4.46))))
