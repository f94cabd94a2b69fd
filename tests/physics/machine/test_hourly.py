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


# Days looked at only after the means were settled; those without strips, where a vent opens for a minute, among them.
OTHERS = {
    "oak at 55 %": (load_of(1500 * BOARD_FOOT_M3, 0.56, 2.2, (F(115), F(101))), 55.0, (115, 101)),
    "poplar": (load_of(1800 * BOARD_FOOT_M3, 0.40, 6.0, (F(130), F(118)), "air"), 75.0, (130, 118)),
    "maple at 30 %": (load_of(800 * BOARD_FOOT_M3, 0.56, 3.0, (F(120), F(105))), 28.0, (125, 105)),
}
OTHER_AIR = {"62 °F": (62, 65), "85 °F": (85, 55)}
# Strips and vent within the same hour beside a small load: which of them runs, four hours do not tell.
STRIPS_AND_VENT = pytest.mark.xfail(strict=True, reason="strips and vent take turns: bucket off by up to a fifth")
TURNS = {("maple at 30 %", "62 °F", "ordinary")}
# Bare walls and strips that never rest: the kiln cools for a day, and its first hours are not like its last.
COOLS = pytest.mark.xfail(strict=True, reason="a kiln that cools all day: bucket off by up to a quarter")
COLD = pytest.param("poplar", "62 °F", "bare", marks=COOLS)


def day(load, outdoors, walls):
    wood, mc, (dry, wet) = (LOADS | OTHERS)[load]
    chamber = Chamber(walls_w_k=walls_w_k(R_VALUES[walls]))
    args = chamber, wood, State.at(F(dry), F(wet), mc), Setting(F(dry), F(wet))
    air, humidity = (OUTDOORS | OTHER_AIR)[outdoors]
    out = Outdoors(F(air), humidity)
    return run(*args, out, 24), hourly(*args, out, 24)


def near(minutes, hours):
    assert hours.drained_kg == pytest.approx(minutes.drained_kg, rel=0.05, abs=0.05 * NEAR_KG)
    assert hours.electricity_kwh == pytest.approx(minutes.electricity_kwh, rel=0.05)
    assert hours.total("wood_kgs") == pytest.approx(minutes.total("wood_kgs"), rel=0.05)


@pytest.mark.parametrize(("load", "outdoors", "walls"), list(itertools.product(LOADS, OUTDOORS, WALLS)))
def test_water_and_electricity_of_a_day_agree(load, outdoors, walls):
    near(*day(load, outdoors, walls))


SEEN_LATER = [
    pytest.param(*day, marks=STRIPS_AND_VENT if day in TURNS else ())
    for day in itertools.product(OTHERS, OTHER_AIR, WALLS)
]


@pytest.mark.parametrize(("load", "outdoors", "walls"), [*SEEN_LATER, COLD])
def test_days_that_were_looked_at_later_agree_too(load, outdoors, walls):
    near(*day(load, outdoors, walls))
