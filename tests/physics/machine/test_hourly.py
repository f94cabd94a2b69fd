"""The hour beside the minute-by-minute run: many loads and outdoors, water and kWh of a day."""

import itertools

import pytest
from physics.machine.reference import BOARD_FOOT_M3, F

from kilnlib.physics.machine import R_VALUES, Chamber, Outdoors, Setting, State, hourly, load_of, run, walls_w_k

OAK = load_of(2000 * BOARD_FOOT_M3, 0.56, 1.8, (F(110), F(98)))
LOADS = {
    "green oak": (OAK, 70.0, (110, 98)),
    "half a load of oak": (load_of(1000 * BOARD_FOOT_M3, 0.56, 1.5, (F(110), F(98))), 45.0, (115, 100)),
    "maple": (load_of(2000 * BOARD_FOOT_M3, 0.56, 3.0, (F(120), F(105))), 50.0, (120, 105)),
    "oak at 12 %": (OAK, 12.0, (150, 110)),
    "some pine": (load_of(500 * BOARD_FOOT_M3, 0.34, 15.0, (F(110), F(91.2)), "air"), 90.0, (120, 95)),
    "much pine": (load_of(2000 * BOARD_FOOT_M3, 0.34, 15.0, (F(110), F(91.2)), "air"), 100.0, (130, 100)),
}
OUTDOORS = {"0 °F": (0, 70), "30 °F": (30, 80), "50 °F": (50, 70), "75 °F": (75, 60), "95 °F": (95, 50)}
WALLS = ("good", "ordinary")
NEAR_KG = 2.0  # a bucket with hardly anything in it: half a gallon a day is no number to hold a percentage to


def day(load, outdoors, walls):
    wood, mc, (dry, wet) = LOADS[load]
    chamber = Chamber(walls_w_k=walls_w_k(R_VALUES[walls]))
    args = chamber, wood, State.at(F(dry), F(wet), mc), Setting(F(dry), F(wet))
    out = Outdoors(F(OUTDOORS[outdoors][0]), OUTDOORS[outdoors][1])
    return run(*args, out, 24), hourly(*args, out, 24)


# A small load in heat, the strips never on and the vent opening and shutting within minutes: the bucket is off by more.
MISSES = {
    ("half a load of oak", "75 °F", "good"),
    ("half a load of oak", "95 °F", "good"),
    ("half a load of oak", "95 °F", "ordinary"),
    ("some pine", "95 °F", "good"),
}
MISSED = pytest.mark.xfail(strict=True, reason="bucket off by 5 to 24 %")
ALL = [pytest.param(*day, marks=MISSED if day in MISSES else ()) for day in itertools.product(LOADS, OUTDOORS, WALLS)]


@pytest.mark.parametrize(("load", "outdoors", "walls"), ALL)
def test_water_and_electricity_of_a_day_agree(load, outdoors, walls):
    minutes, hours = day(load, outdoors, walls)
    assert hours.drained_kg == pytest.approx(minutes.drained_kg, rel=0.05, abs=0.05 * NEAR_KG)
    assert hours.electricity_kwh == pytest.approx(minutes.electricity_kwh, rel=0.05)
    assert hours.total("wood_kgs") == pytest.approx(minutes.total("wood_kgs"), rel=0.05)


@pytest.mark.parametrize(("load", "outdoors", "walls"), sorted(MISSES))
def test_where_the_bucket_misses_the_electricity_is_nearer(load, outdoors, walls):
    minutes, hours = day(load, outdoors, walls)
    assert hours.electricity_kwh == pytest.approx(minutes.electricity_kwh, rel=0.075)
    assert hours.drained_kg == pytest.approx(minutes.drained_kg, rel=0.25)
