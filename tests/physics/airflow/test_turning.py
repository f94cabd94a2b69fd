"""Fans that turn round: water adds up, an endless turn is no turn, both edges come out alike, and a second solution."""

import math

import numpy as np
import pytest

from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.airflow import turning
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.course import dry_course
from kilnlib.physics.airflow.turning import dry_turning_course
from kilnlib.physics.airflow.turns import turns
from kilnlib.physics.drying import Board
from kilnlib.physics.wood import ROUGH_4_4_M, species
from kilnlib.units import FT_M, IN_M, f_to_c

FPM = FT_M / 60
DRY_C = f_to_c(120.0)
WET_C = air.wet_bulb_c(DRY_C, 60.0)
PINE = Board("eastern white pine", ROUGH_4_4_M, 80.0)
STICKER_M, WIDTH_M = 0.75 * IN_M, 8 * FT_M


def course(turn_h, fpm=200, hours=96.0, **others):
    return dry_turning_course(PINE, DRY_C, WET_C, fpm * FPM, STICKER_M, WIDTH_M, hours, turn_h, **others)


@pytest.mark.parametrize("turn_h", [1.0, 3.0, 7.0, 240.0])
def test_the_water_in_the_air_is_what_left_the_wood(turn_h):
    found = course(turn_h)
    flow = 200 * FPM * STICKER_M * air_density_kgm3(DRY_C, 60.0) / (1 + air.humidity_ratio(DRY_C, 60.0))
    taken = np.sum(found.gained * np.diff(found.hours)) * 3600 * flow
    wood = PINE.thickness_m * WIDTH_M * species(PINE.species).specific_gravity * 1000
    assert taken == pytest.approx(wood * (80.0 - found.average_pct[-1]) / 100, rel=1e-9)


@pytest.mark.parametrize("fpm", [60, 300])
def test_before_the_first_turn_it_is_the_course_of_fans_that_never_turn(fpm):
    """A second solution: zones all at once, beside zone after zone, each in its own blocks of time."""
    turned = course(240.0, fpm, hours=200.0)
    never = dry_course(PINE, DRY_C, WET_C, fpm * FPM, STICKER_M, WIDTH_M, 200.0)
    for at_h in (48.0, 96.0, 192.0):
        ours, theirs = (
            [np.interp(at_h, found.hours, zone) for zone in found.zone_mc_pct.T] for found in (turned, never)
        )
        assert ours == pytest.approx(theirs, abs=0.25)


def test_one_zone_does_not_know_which_way_the_air_blows():
    turned, never = course(3.0, zones=1), course(240.0, zones=1)
    at_h = np.array([24.0, 48.0, 96.0])
    ours, theirs = (np.interp(at_h, found.hours, found.average_pct) for found in (turned, never))
    assert ours == pytest.approx(theirs, abs=0.2)


def test_both_edges_come_out_alike_and_the_more_so_the_sooner_the_fans_turn():
    apart = [abs(found.zone_mc_pct[-1, 0] - found.zone_mc_pct[-1, -1]) for found in map(course, (3.0, 12.0, 48.0))]
    never = course(240.0).zone_mc_pct[-1]
    assert apart == sorted(apart)
    assert apart[0] < 0.1 * (never[-1] - never[0])


def test_the_middle_dries_last_where_the_air_is_slow():
    zones = course(3.0, fpm=100).zone_mc_pct[-1]
    assert zones[3] > zones[0]
    assert zones[4] > zones[-1]


def test_turning_saves_hardly_any_days():
    days = [np.interp(-40.0, -found.average_pct, found.hours / 24) for found in (course(3.0), course(240.0))]
    assert days[0] < days[1]
    assert days[0] == pytest.approx(days[1], rel=0.02)


def test_zones_and_rounds_are_enough(monkeypatch):
    days = lambda found: float(np.interp(-12.0, -found.average_pct, found.hours / 24))  # noqa: E731
    usual, finer = days(course(4.0, hours=600.0)), days(course(4.0, hours=600.0, zones=16))
    monkeypatch.setattr(turning, "ROUNDS", 16)
    assert usual == pytest.approx(finer, rel=5e-3)
    assert usual == pytest.approx(days(course(4.0, hours=600.0)), rel=1e-3)


@pytest.mark.parametrize("changes", [{"turn_h": 0.5}, {"turn_h": math.nan}, {"fpm": 0}, {"hours": 1.0}, {"zones": 0}])
def test_refusals_are_sentences(changes):
    with pytest.raises(OutOfRange) as caught:
        course(**({"turn_h": 4.0} | changes))
    assert caught.value.sentence("trade").endswith(".")


@pytest.mark.parametrize(
    "key", [("eastern white pine", 300, 3), ("northern red oak", 300, 6), ("northern red oak", 150, 0)]
)
def test_the_table_is_what_the_engine_says(key):
    days, zones = turning.example(*key)
    row = turns()[key]
    assert row.days == pytest.approx(days, rel=1e-3)
    assert row.zone_mc_pct == pytest.approx(zones, abs=0.02)
    assert row.apart_pct == pytest.approx(max(zones) - min(zones), abs=0.03)
