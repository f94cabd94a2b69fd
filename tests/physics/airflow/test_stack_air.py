"""Air inside the stack: heat balance, and the air's wet-bulb line."""

import math

import numpy as np
import psychrolib
import pytest

from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.airflow import Fan, Gaps, Stack, solve
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.stack_air import evaporation_kgs, leaving_air, temperature_drop_c
from kilnlib.units import FT_M, LB_KG, f_to_c

FPM = FT_M / 60
CHARGE = 5120 / 12 * FT_M**3  # 5,120 board feet, as tallied
OPEN_AREA = 36.9 * FT_M**2
SOAKED_STEPS = ((43.3, 60.0, 3.0, 0.56), (60.0, 40.0, 6.5, 0.56), (60.0, 40.0, 13.8, 0.4), (43.3, 87.0, 3.0, 0.56))


# temperature drop -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("board_feet", "fpm", "gravity", "loss", "drop_f"),
    [
        (5120, 350, 0.56, 3.0, 1.5),
        (5000, 150, 0.56, 3.0, 3.4),
        (5120, 200, 0.56, 3.0, 2.6),
        (5120, 500, 0.56, 3.0, 1.1),
        (5120, 350, 0.56, 6.5, 3.3),
        (5120, 350, 0.40, 13.8, 4.9),
    ],
)
def test_temperature_drop_by_hand(board_feet, fpm, gravity, loss, drop_f):
    """Our arithmetic: 36.9 ft² open, air 0.067 lb/ft³ and 0.245 Btu/lb°F, 1,025 Btu/lb."""
    water = evaporation_kgs(board_feet / 12 * FT_M**3, gravity, loss)
    drop = temperature_drop_c(water, OPEN_AREA * fpm * FPM)
    assert drop * 1.8 == pytest.approx(drop_f, abs=0.1)
    pounds_an_hour = board_feet / 12 * gravity * 62.428 * loss / 100 / 24
    by_hand = pounds_an_hour * 1025 / (36.9 * fpm * 60 * 0.067 * 0.245)
    assert drop * 1.8 == pytest.approx(by_hand, rel=1e-3)
    assert water * 3600 / LB_KG == pytest.approx(pounds_an_hour, rel=1e-3)


@pytest.mark.parametrize(("celsius", "rh", "loss", "gravity"), SOAKED_STEPS)
def test_the_air_moves_along_its_wet_bulb_line(celsius, rh, loss, gravity):
    water, flow = evaporation_kgs(CHARGE, gravity, loss), OPEN_AREA * 350 * FPM
    left = leaving_air(celsius, rh, water, flow)
    assert left.dry_bulb_c == pytest.approx(celsius - left.temperature_drop_c, rel=1e-12)
    assert left.rh_pct > rh and left.emc_pct == pytest.approx(emc.emc_pct(left.dry_bulb_c, left.rh_pct), rel=1e-12)
    assert air.wet_bulb_c(left.dry_bulb_c, left.rh_pct) == pytest.approx(air.wet_bulb_c(celsius, rh), abs=1e-3)
    assert temperature_drop_c(water, flow) == pytest.approx(left.temperature_drop_c, rel=0.04)
    own = temperature_drop_c(water, flow, air_density_kgm3(celsius, rh))
    assert own == pytest.approx(left.temperature_drop_c, rel=0.015)


def test_leaving_air_against_a_library():
    """The water taken up, and the wet bulb that stays, seen through psychrolib."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    water, flow = evaporation_kgs(CHARGE, 0.56, 6.5), OPEN_AREA * 350 * FPM
    left = leaving_air(60.0, 40.0, water, flow)
    before, after = (psychrolib.GetHumRatioFromRelHum(t, rh / 100, 101325) for t, rh in
                     ((60.0, 40.0), (left.dry_bulb_c, left.rh_pct)))  # fmt: skip
    dry_air = flow / psychrolib.GetMoistAirVolume(60.0, before, 101325)
    assert (after - before) * dry_air == pytest.approx(water, rel=2e-3)
    wet = [psychrolib.GetTWetBulbFromRelHum(t, rh / 100, 101325) for t, rh in
           ((60.0, 40.0), (left.dry_bulb_c, left.rh_pct))]  # fmt: skip
    assert wet[0] == pytest.approx(wet[1], abs=0.01)


def test_no_water_changes_nothing():
    for rh in (0.0, 50.0, 100.0):
        left = leaving_air(50.0, rh, 0.0, 3.0)
        assert left.dry_bulb_c == pytest.approx(50.0, abs=1e-9)
        assert left.rh_pct == pytest.approx(rh, abs=1e-9) and left.temperature_drop_c == pytest.approx(0.0, abs=1e-9)


def test_soaked_air_is_refused():
    with pytest.raises(OutOfRange, match="cannot carry") as caught:
        leaving_air(43.3, 87.0, evaporation_kgs(CHARGE, 0.4, 13.8), OPEN_AREA * 350 * FPM)
    assert caught.value.code == "air_soaked"
    assert "1,470.30 lb" in caught.value.sentence("trade")


def test_less_air_means_a_bigger_drop_and_wetter_air():
    water = evaporation_kgs(CHARGE, 0.56, 3.0)
    lefts = [leaving_air(f_to_c(110), 80.0, water, OPEN_AREA * fpm * FPM) for fpm in (600, 400, 300, 200, 150)]
    assert np.all(np.diff([left.temperature_drop_c for left in lefts]) > 0)
    assert np.all(np.diff([left.emc_pct for left in lefts]) > 0)


def test_half_the_air_drops_twice():
    """From the network to the air: the gap above the stack opened at Tamarack Ford."""
    before, after = (solve(Stack(), gaps, Fan()) for gaps in (Gaps(), Gaps(above_baffle_pct=0.0)))
    stack = Stack()
    volume = stack.courses * stack.board_thickness_m * stack.length_m * stack.width_m
    water = evaporation_kgs(volume, 0.56, 3.0)
    drops = [temperature_drop_c(water, flow.stack_flow_m3s) for flow in (before, after)]
    assert drops[1] / drops[0] == pytest.approx(before.sticker_speed_ms / after.sticker_speed_ms, rel=1e-12)


# numbers, arrays, refusals ----------------------------------------------------------------------------------------


def test_arrays_and_unreadable_numbers():
    assert math.isnan(temperature_drop_c(math.nan, 1.0)) and math.isnan(evaporation_kgs(1.0, math.nan, 3.0))
    left = leaving_air(np.array([50.0, np.nan]), 50.0, 0.001, 3.0)
    assert left.rh_pct[0] > 50.0 and np.isnan(left.rh_pct[1]) and np.isnan(left.emc_pct[1])


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: evaporation_kgs(-1.0, 0.56, 3.0), "range"),
        (lambda: evaporation_kgs(1.0, 56.0, 3.0), "range"),
        (lambda: temperature_drop_c(0.001, 0.0), "not_positive"),
        (lambda: temperature_drop_c(-0.001, 1.0), "range"),
        (lambda: leaving_air(50.0, 60.0, 0.001, -1.0), "not_positive"),
        (lambda: leaving_air(50.0, 101.0, 0.0, 1.0), "humidity"),
        (lambda: leaving_air(150.0, 50.0, 0.0, 1.0), "range"),
    ],
)
def test_refusals_are_sentences(call, code):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.sentence("trade").endswith(".")
