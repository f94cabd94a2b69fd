"""A cold load warmed: what the panel of lesson 09 is there to show, from the minute-by-minute run and psychrolib."""

from dataclasses import replace

import numpy as np
import psychrolib
import pytest

from kilnlib.bench.panels import open_panel
from kilnlib.bench.panels.warming import Panel
from kilnlib.cases.warming import AN_HOUR, FIRST_STEP_EMC_PCT, HOURS, State, work_out
from kilnlib.units import c_to_f, f_to_c

STEPS, ONCE = State(), State(way="once")


def test_dialed_at_once_the_compressor_rests_for_a_day_in_nearly_full_air():
    result = work_out(ONCE)
    cold = result.wet_bulb_c < f_to_c(98)
    assert result.hours[cold][-1] > 20 and not result.compressor[: 20 * AN_HOUR].any()
    assert result.rh_pct[AN_HOUR : 20 * AN_HOUR].min() > 90.0
    assert (result.wood_c - result.dew_point_c)[2 * AN_HOUR : 20 * AN_HOUR].max() < 1.5 / 1.8


def test_in_steps_the_dew_point_stays_below_the_wood_once_the_compressor_may_run():
    steps, once = work_out(STEPS), work_out(ONCE)
    may_run = (steps.air_c > f_to_c(62)) & (steps.hours < steps.warm_hour)
    assert (steps.wood_c - steps.dew_point_c)[may_run].mean() > 5.0 / 1.8
    assert steps.compressor.argmax() / AN_HOUR < 9 < once.compressor.argmax() / AN_HOUR
    assert steps.warm_hour == pytest.approx(once.warm_hour, abs=1.5)  # it costs no time


def test_nine_degrees_keep_green_oak_above_its_first_step_and_eighteen_do_not():
    assert work_out(STEPS).driest_emc_pct > FIRST_STEP_EMC_PCT
    assert work_out(replace(STEPS, depression_c=10.0)).driest_emc_pct < FIRST_STEP_EMC_PCT - 2.0


def test_water_condenses_on_cold_wood_in_a_warm_damp_kiln():
    """Air of 85/84 °F over wood at 35 °F: its dew point by psychrolib is far above the wood."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    result = work_out(replace(STEPS, air_c=f_to_c(85), wood_c=f_to_c(35)))
    dew = psychrolib.GetTDewPointFromTWetBulb(f_to_c(85), f_to_c(84), 101325)
    assert dew > f_to_c(35) + 20 and result.faces_kg.max() > 0.3 and result.wet_hours > 2.0
    dry = work_out(replace(STEPS, air_c=f_to_c(70), wood_c=f_to_c(80)))
    assert dry.faces_kg.max() < 0.1 and dry.wet_hours < 0.5


def test_the_dew_point_is_that_of_its_air():
    psychrolib.SetUnitSystem(psychrolib.SI)
    result = work_out(STEPS)
    for at in range(50, AN_HOUR * HOURS, 150):
        dew = psychrolib.GetTDewPointFromRelHum(result.air_c[at], result.rh_pct[at] / 100)
        assert result.dew_point_c[at] == pytest.approx(dew, abs=0.1)


def test_a_dial_never_goes_down_nor_beyond_the_first_step():
    result = work_out(STEPS)
    assert (np.diff(result.dial_c) >= 0).all() and result.dial_c[-1] == pytest.approx(f_to_c(110))
    assert result.wet_dial_c.max() <= f_to_c(98) + 1e-9


def test_the_panel_says_what_it_shows():
    panel = open_panel("warming", "machine-cold")
    panel.prediction.answer("B")
    assert panel.last_error is None and "both dials at once" in panel.prediction.card.feedback.value
    panel.chosen("way", "once")
    said = panel.saying.value.replace("\u00a0", " ")
    assert "Yet the compressor rests" in said and "dialed is 98 °F" in said and "drips" in said
    assert "a wet bulb of 98 cannot be" in panel.prediction.card.feedback.value
    panel.pick("warm_kiln")
    assert "it is wet for 9 hours" in panel.saying.value
    panel.pick("too_dry")
    assert "green oak may check" in panel.saying.value
    panel.close()


@pytest.mark.parametrize("name", Panel.presets)
def test_each_situation_is_warm_in_its_time(name):
    result = work_out(replace(STEPS, **Panel.presets[name]))
    assert 20 < result.warm_hour < HOURS and c_to_f(result.wood_c[-1]) > 107


def test_two_minutes_a_step_are_near_enough_to_one(monkeypatch):
    coarse = work_out.__globals__["_warmed"].__wrapped__(STEPS)
    monkeypatch.setattr("kilnlib.cases.warming.STEP_S", 60.0)
    monkeypatch.setattr("kilnlib.cases.warming.AN_HOUR", 60)
    fine = work_out.__globals__["_warmed"].__wrapped__(STEPS)
    assert np.abs(coarse.wood_c - fine.wood_c[1::2]).max() < 1.0 / 1.8
    hours = [one.rh_pct.reshape(HOURS, -1).mean(1) for one in (coarse, fine)]
    assert np.abs(hours[0] - hours[1]).mean() < 3.0
