"""A course of the stack: heat and water add up, closed forms for wet wood and for slow air, and the table of days."""

import math

import numpy as np
import pytest

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.airflow import Fan, Gaps, Stack, course_days, course_days_table, solve
from kilnlib.physics.airflow import course as course_module
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.course import dry_course
from kilnlib.physics.airflow.stack_air import leaving_air
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.drying import board as board_module
from kilnlib.physics.drying.face import BARE, film_w_m2k
from kilnlib.physics.wood import species
from kilnlib.units import FT_M, IN_M, f_to_c

FPM = FT_M / 60
DRY_C = f_to_c(120.0)
WET_C = air.wet_bulb_c(DRY_C, 60.0)
STICKER_M, WIDTH_M = 0.75 * IN_M, 8 * FT_M
PINE = course_days_table.PINE
WET = Board("eastern white pine", PINE.thickness_m, 200.0)


def course(fpm, hours=96.0, board=PINE, sticker_m=STICKER_M, width_m=WIDTH_M, **others):
    return dry_course(board, DRY_C, WET_C, np.asarray(fpm) * FPM, sticker_m, width_m, hours, **others)


def dry_air_kgs(fpm):
    """Flow through a course a meter long."""
    return fpm * FPM * STICKER_M * air_density_kgm3(DRY_C, 60.0) / (1 + air.humidity_ratio(DRY_C, 60.0))


def days_to_12(found):
    return [float(np.interp(-12.0, -average, found.hours / 24.0)) for average in found.average_pct.T]


# the course -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fpm", [20, 100, 300])
def test_the_water_in_the_air_is_what_left_the_wood(fpm):
    found = course(fpm)
    taken = np.sum(found.gained * np.diff(found.hours)) * 3600 * dry_air_kgs(fpm)
    wood = PINE.thickness_m * WIDTH_M * species(PINE.species).specific_gravity * 1000
    assert taken == pytest.approx(wood * (80.0 - found.average_pct[-1]) / 100, rel=1e-9)


@pytest.mark.parametrize("fpm", [150, 300, 600])
def test_wet_wood_cools_the_air_as_in_a_heat_exchanger(fpm, monkeypatch):
    """Bare faces at the wet bulb all the way: drop = depression (1 - exp(-NTU)), NTU = film x both faces / (flow x
    heat)."""
    for module in (board_module, course_module):
        monkeypatch.setattr(module, "surface_of", lambda *wood: BARE)
    found = course(fpm, board=WET, hours=2.0)
    heat = dry_air_kgs(fpm) * (1006 + 1860 * air.humidity_ratio(DRY_C, 60.0))
    closed = (DRY_C - WET_C) * -math.expm1(-film_w_m2k(fpm * FPM) * 2 * WIDTH_M / heat)
    assert DRY_C - found.leaving_c[0] == pytest.approx(closed, rel=0.01)


def test_slow_air_leaves_soaked_and_sets_the_pace():
    """All the air can carry, down to its wet bulb, is what the wood loses: the days follow from the flow alone."""
    found = course(10, hours=480.0)
    assert found.leaving_c[:20] == pytest.approx(WET_C, abs=0.05)
    full = air.humidity_ratio(WET_C, 100.0) - air.humidity_ratio(DRY_C, 60.0)
    wood = PINE.thickness_m * WIDTH_M * species(PINE.species).specific_gravity * 1000
    by_hand = wood * 0.2 / (dry_air_kgs(10) * full) / 86400  # 80 to 60 %
    assert np.interp(-60.0, -found.average_pct, found.hours / 24) == pytest.approx(by_hand, rel=0.02)


def test_plenty_of_air_leaves_each_board_alone():
    found = course(1500, sticker_m=0.3, hours=240.0)
    alone = at_hours(dry(PINE, [Step(DRY_C, WET_C, None, 240.0, 1500 * FPM)]), found.hours)
    assert found.average_pct == pytest.approx(alone.average_pct, abs=0.15)
    assert DRY_C - found.leaving_c[5:].max() < 0.3


def test_the_leaving_air_is_that_of_the_heat_balance():
    """As `leaving_air` has it, which is held against a general-purpose library in test_stack_air.py."""
    found = course(200)
    for block in (0, 5, 15):
        left = leaving_air(DRY_C, 60.0, found.gained[block] * dry_air_kgs(200), 200 * FPM * STICKER_M)
        assert found.leaving_c[block] == pytest.approx(left.dry_bulb_c, abs=1e-6)


def test_the_far_edge_dries_later_and_slow_air_more_so():
    spreads = []
    for fpm in (600, 300, 100):
        found = course(fpm)
        assert np.all(np.diff(found.zone_mc_pct[5:], axis=1) > 0)
        spreads.append(found.zone_mc_pct[-1, -1] - found.zone_mc_pct[-1, 0])
    assert spreads == sorted(spreads) and spreads[-1] > 2 * spreads[0]


def test_more_air_thicker_stickers_narrower_stacks_are_sooner():
    speeds = [200, 400, 100, 200, 200, 200, 200]
    stickers = np.array([0.75, 0.75, 0.75, 1.0, 0.5, 0.75, 0.75]) * IN_M
    widths = np.array([8, 8, 8, 8, 8, 4, 12]) * FT_M
    usual, *others = days_to_12(course(speeds, hours=600.0, sticker_m=stickers, width_m=widths))
    assert [days < usual for days in others] == [True, False] * 3


def test_zones_and_rounds_are_enough(monkeypatch):
    usual = days_to_12(course([300, 50], hours=600.0))
    finer = days_to_12(course([300, 50], hours=600.0, zones=16))
    monkeypatch.setattr("kilnlib.physics.airflow.course.ROUNDS", 6)
    longer = days_to_12(course([300, 50], hours=600.0))
    assert usual == pytest.approx(finer, rel=1.5e-3) and usual == pytest.approx(longer, rel=1e-3)


def test_one_course_and_several_agree():
    one, several = course(200), course([200, 400])
    assert one.average_pct.ndim == 1 and one.zone_mc_pct.ndim == 2 and several.zone_mc_pct.ndim == 3
    assert several.average_pct[:, 0] == pytest.approx(one.average_pct, abs=0.05)  # they share their time steps
    assert several.leaving_c[:, 0] == pytest.approx(one.leaving_c, abs=0.05)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"fpm": 0.0}, "range"), ({"fpm": 2000.0}, "range"), ({"fpm": math.nan}, "not_finite"),
        ({"sticker_m": 0.0}, "range"), ({"width_m": 30.0}, "range"), ({"hours": 0.0}, "range"), ({"zones": 0}, "range"),
    ],
)  # fmt: skip
def test_refusals_are_sentences(changes, code):
    with pytest.raises(OutOfRange) as caught:
        course(**{"fpm": 300, **changes})
    assert caught.value.code == code


# the table --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("fpm", "space"), [(9, 0.057), (125, 0.087), (1010, 0.03)])
def test_the_table_is_what_the_engine_says(fpm, space):
    (row,) = (row for row in tables.records("course_days") if row["air_speed_fpm"] == str(fpm)
              and row["space_in_per_ft"] == str(space))  # fmt: skip
    drop, days = course_days_table.example(fpm * FPM, space * IN_M * 8, WIDTH_M)
    assert float(row["drop_f"]) == pytest.approx(drop * 1.8, rel=1e-3)
    printed = [float(row[f"days_to_{level}"]) for level in course_days.LEVELS_PCT]
    assert printed == pytest.approx(days.tolist(), rel=1e-3)


def test_the_table_is_whole():
    rows = tables.records("course_days")
    axes = [(float(row["air_speed_fpm"]), float(row["space_in_per_ft"])) for row in rows]
    assert axes == [(fpm, space) for fpm in course_days.SPEEDS_FPM for space in course_days.SPACES_IN_PER_FT]
    days = np.array([[float(row[f"days_to_{level}"]) for level in course_days.LEVELS_PCT] for row in rows])
    assert np.all(np.diff(days, axis=1) > 0)
    grid = days.reshape(len(course_days.SPEEDS_FPM), len(course_days.SPACES_IN_PER_FT), -1)
    assert np.all(np.diff(grid, axis=0) < 0) and np.all(np.diff(grid, axis=1) < 0)


@pytest.mark.parametrize(
    ("fpm", "sticker_in", "width_ft"), [(250, 0.75, 8), (115, 0.5, 8), (35, 0.8125, 12), (500, 0.3, 8)]
)
def test_between_its_rows_it_reads_true(fpm, sticker_in, width_ft):
    place = (fpm * FPM, sticker_in * IN_M, width_ft * FT_M)
    drop, days = course_days_table.example(*place)
    lag = course_days.drying_lag([place[0]], [place[1]], place[2])
    assert lag.worst_days == pytest.approx(days[-1], rel=0.01)
    assert course_days.wet_drop_c(*place) == pytest.approx(drop, rel=0.02)


def test_the_lag_by_hand():
    """Two spaces on rows of the table. The lower board counts by the first space, the upper by the mean of both."""
    width = 8 * FT_M
    lag = course_days.drying_lag([275 * FPM, 57 * FPM], [0.087 * 8 * IN_M] * 2, width)  # 0.087 in for each foot
    rows = {row["air_speed_fpm"]: row for row in tables.records("course_days") if row["space_in_per_ft"] == "0.087"}
    days = {level: [float(rows[fpm][f"days_to_{level}"]) for fpm in ("275", "57")] for level in (12, 14, 16)}
    best, worst = days[12][0], np.mean(days[12])
    assert (lag.best_days, lag.worst_days) == pytest.approx((best, worst), rel=1e-9)
    earlier, later = np.mean(days[16]), np.mean(days[14])
    assert earlier < best < later
    assert lag.load_days[12] == pytest.approx((best + worst) / 2, rel=1e-9)
    assert lag.worst_mc_pct == pytest.approx(16 - 2 * (best - earlier) / (later - earlier), rel=1e-9)


def test_even_air_means_no_lag_and_an_open_gap_costs_days():
    stack = Stack()
    sizes = (np.array(stack.stickers_m), stack.width_m)
    before, after = (solve(stack, gaps, Fan()) for gaps in (Gaps(), Gaps(above_baffle_pct=0.0)))
    even = course_days.drying_lag(np.full(stack.courses, before.sticker_speed_ms), *sizes)
    assert even.worst_days == pytest.approx(even.best_days, rel=1e-12)
    shut, opened = (course_days.drying_lag(flow.course_speed_ms, *sizes) for flow in (before, after))
    assert opened.worst_days > shut.worst_days + 0.3
    late = lambda level: opened.load_days[level] - shut.load_days[level]  # noqa: E731
    assert late(40) > late(12) / 2  # of the days that the gap costs, most fall into the wet stage
    assert np.mean(course_days.wet_drop_c(after.course_speed_ms, *sizes)) > 1.2 * np.mean(
        course_days.wet_drop_c(before.course_speed_ms, *sizes)
    )


def test_what_the_table_cannot_read():
    assert math.isnan(course_days.drying_lag([1.0, math.nan], [STICKER_M] * 2, WIDTH_M).worst_days)
    assert math.isnan(course_days.wet_drop_c(math.nan, STICKER_M, WIDTH_M))
    for call, code in (
        (lambda: course_days.drying_lag([], [], WIDTH_M), "no_courses"),
        (lambda: course_days.drying_lag([2 * FPM], [STICKER_M], WIDTH_M), "range"),
        (lambda: course_days.wet_drop_c(1.0, 0.1 * IN_M, WIDTH_M), "range"),
    ):
        with pytest.raises(OutOfRange) as caught:
            call()
        assert caught.value.code == code
