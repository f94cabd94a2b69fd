"""Air and wood inside the stack: heat balance, the air's wet-bulb line, the rule for speed, and days that differ.

The rule for speed is built on FPL-RN-0266; that it says what that note says is a check of the code, not of the rule.
"""

import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlib.errors import OutOfRange
from kilnlib.physics import air, emc
from kilnlib.physics.airflow import Fan, Gaps, Stack, solve
from kilnlib.physics.channel import air_density_kgm3
from kilnlib.physics.stack_air import drying_lag, evaporation_kgs, leaving_air, speed_effect, temperature_drop_c
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


# rule for speed ---------------------------------------------------------------------------------------------------


def test_the_rule_says_what_the_published_note_says():
    """FPL-RN-0266: speed counts above about 40-50 % only; no more gain past 600-700 ft/min below 80-90 %."""
    for mc in (10.0, 30.0, 40.0):
        assert speed_effect(600 * FPM, mc, 200 * FPM) == 1.0
    assert speed_effect(600 * FPM, 60.0, 300 * FPM) > 1.3
    assert speed_effect(900 * FPM, 60.0, 700 * FPM) == 1.0
    assert speed_effect(900 * FPM, 95.0, 700 * FPM) > 1.1
    assert speed_effect(1.0, 45.0, 2.0) == pytest.approx(0.5**0.25, rel=1e-12)


def test_the_rule_by_hand():
    assert speed_effect(150 * FPM, 70.0, 300 * FPM) == pytest.approx(math.sqrt(0.5), rel=1e-12)
    assert speed_effect(1000 * FPM, 70.0, 325 * FPM) == pytest.approx(math.sqrt(2.0), rel=1e-12)
    assert speed_effect(1000 * FPM, 85.0, 650 * FPM) == pytest.approx(math.sqrt(825 / 650), rel=1e-12)


@given(st.floats(0.02, 15), st.floats(0.02, 15), st.floats(0, 250), st.floats(0.02, 15))
def test_the_rule_is_monotone_and_consistent(slow, fast, mc, other):
    slow, fast = sorted((slow, fast))
    assert speed_effect(slow, mc, other) <= speed_effect(fast, mc, other) * (1 + 1e-12)
    there, back = speed_effect(slow, mc, other), speed_effect(other, mc, slow)
    assert there * back == pytest.approx(1.0, rel=1e-12)


def test_the_rule_has_no_jump():
    mc = np.arange(0.0, 120.0, 0.01)
    assert np.max(np.abs(np.diff(speed_effect(7.0, mc, 0.5)))) < 0.003


# days -------------------------------------------------------------------------------------------------------------


def test_the_same_speed_takes_the_same_days():
    lag = drying_lag((1.5, 1.5), 1.5, 80.0, 7.0, 28.0)
    assert (lag.best_days, lag.worst_days, lag.extra_days) == pytest.approx((28.0, 28.0, 0.0), abs=1e-9)
    assert lag.worst_mc_pct == pytest.approx(7.0, abs=1e-9) and lag.spread_points == pytest.approx(0.0, abs=1e-9)


def test_days_by_hand():
    """80 to 7 %: 50 even points, then 30 ln(30/7). Half the speed stretches 80-50 by 1.414, 50-40 by 1.195."""
    units = 50 + 30 * math.log(30 / 7)
    stretch = 2 * (math.sqrt(2) - 1) / math.log(2)  # mean of 2^(x/2) over x from 0 to 1
    extra = 30 * (math.sqrt(2) - 1) + 10 * (stretch - 1)
    lag = drying_lag((0.75,), 1.5, 80.0, 7.0, 28.0)
    assert lag.extra_days == pytest.approx(28 * extra / units, rel=1e-3)
    assert lag.extra_days == pytest.approx(4.3, abs=0.05)


def test_below_forty_percent_all_courses_dry_alike():
    lag = drying_lag((0.3, 3.0), 1.5, 40.0, 7.0, 15.0)
    assert lag.best_days == lag.worst_days and lag.spread_points == pytest.approx(0.0, abs=1e-9)


def test_the_spread_by_hand():
    """Behind by d days, the worst course stands at 7 exp(d x pace / 30) when the best one is done."""
    lag = drying_lag((1.0, 1.5), 1.5, 80.0, 7.0, 28.0)
    pace = (50 + 30 * math.log(30 / 7)) / 28  # points a day above 30 %
    assert lag.worst_mc_pct == pytest.approx(7 * math.exp(lag.extra_days * pace / 30), rel=1e-3)
    assert lag.spread_points == pytest.approx(lag.worst_mc_pct - 7.0, rel=1e-12)


def test_slower_courses_lag_more():
    lags = [drying_lag((speed, 2.0), 1.5, 90.0, 7.0, 30.0) for speed in (2.0, 1.5, 1.0, 0.5, 0.1)]
    for values in ([lag.extra_days for lag in lags], [lag.spread_points for lag in lags]):
        assert np.all(np.diff(values) > 0)
    assert lags[0].extra_days < 0


def test_an_open_gap_costs_days_at_tamarack_ford():
    """From the network to the wood: the gap above the stack opened, red oak-like 80 to 7 % in 28 days before."""
    before, after = (solve(Stack(), gaps, Fan()) for gaps in (Gaps(), Gaps(above_baffle_pct=0.0)))
    lag = drying_lag(after.course_speed_ms, before.sticker_speed_ms, 80.0, 7.0, 28.0)
    assert 1.0 < lag.extra_days < 5.0
    water = evaporation_kgs(Stack().wood_volume_m3, 0.56, 3.0)
    drops = [temperature_drop_c(water, flow.stack_flow_m3s) for flow in (before, after)]
    assert drops[1] / drops[0] == pytest.approx(before.sticker_speed_ms / after.sticker_speed_ms, rel=1e-12)


# numbers, arrays, refusals ----------------------------------------------------------------------------------------


def test_arrays_and_unreadable_numbers():
    assert isinstance(speed_effect(1.0, 60.0, 2.0), float)
    effects = speed_effect([1.0, np.nan, 2.0], 60.0, 2.0)
    assert effects == pytest.approx([math.sqrt(0.5), np.nan, 1.0], nan_ok=True)
    assert math.isnan(temperature_drop_c(math.nan, 1.0)) and math.isnan(evaporation_kgs(1.0, math.nan, 3.0))
    left = leaving_air(np.array([50.0, np.nan]), 50.0, 0.001, 3.0)
    assert left.rh_pct[0] > 50.0 and np.isnan(left.rh_pct[1]) and np.isnan(left.emc_pct[1])
    for lag in (drying_lag((1.0, math.nan), 1.5, 80.0, 7.0, 28.0), drying_lag((1.0,), 1.5, math.nan, 7.0, 28.0)):
        assert math.isnan(lag.extra_days) and math.isnan(lag.spread_points)


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
        (lambda: speed_effect(0.0, 60.0, 1.0), "range"),
        (lambda: speed_effect(1.0, -1.0, 1.0), "range"),
        (lambda: drying_lag((), 1.0, 80.0, 7.0, 28.0), "no_courses"),
        (lambda: drying_lag((1.0,), 1.0, 7.0, 7.0, 28.0), "end_above_start"),
        (lambda: drying_lag((1.0,), 1.0, 80.0, 0.0, 28.0), "range"),
        (lambda: drying_lag((1.0,), 1.0, 80.0, 7.0, -1.0), "range"),
    ],
)
def test_refusals_are_sentences(call, code):
    with pytest.raises(OutOfRange) as caught:
        call()
    assert caught.value.code == code
    assert caught.value.sentence("trade").endswith(".")
