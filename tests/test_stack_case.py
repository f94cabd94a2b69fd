"""The kiln that stack panel, presenter and questions share: its chamber stays, its numbers are the network’s."""

from dataclasses import fields, replace

import pytest

from kilnlib.bench import stack_case as case
from kilnlib.bench.calculators import airflow as calculators
from kilnlib.physics import stack_air
from kilnlib.physics.airflow import Fan, Gaps, Stack, solve
from kilnlib.units import FT_M, IN_M

FPM = FT_M / 60


@pytest.mark.parametrize("load", case.LOADS)
@pytest.mark.parametrize("sticker_in", [0.5, 0.75, 1.0])
def test_the_chamber_stays_as_it_is(load, sticker_in):
    result = case.work_out(case.State(load, sticker_in * IN_M))
    height = result.gaps.under_m + result.stack.height_m + result.gaps.above_m
    assert height == pytest.approx(97.75 * IN_M, rel=1e-12)
    assert result.stack.width_m + 2 * result.stack.plenum_width_m == pytest.approx(14 * FT_M, rel=1e-12)
    assert result.gaps.above_m > 0


def test_the_full_baffled_load_is_tamarack_ford():
    result = case.work_out(case.State())
    for ours, default in ((result.stack, Stack()), (result.gaps, Gaps())):
        for field in fields(default):
            assert getattr(ours, field.name) == pytest.approx(getattr(default, field.name), rel=1e-12), field.name
    flow = solve(Stack(), Gaps(), Fan(), case.AIR_C, case.AIR_RH_PCT)
    assert result.flow.sticker_speed_ms == pytest.approx(flow.sticker_speed_ms, rel=1e-9)
    assert flow.sticker_speed_ms == pytest.approx(300 * FPM, rel=0.01)


@pytest.mark.parametrize("load", case.LOADS)
def test_each_gap_opened_takes_air_from_the_wood(load):
    shut = case.work_out(case.State(load))
    for gap in case.GAPS:
        opened = case.work_out(replace(shut.state, **{gap: True}))
        assert opened.state.open_gaps == (gap,)
        assert opened.flow.bypass_pct > shut.flow.bypass_pct
        assert opened.flow.sticker_speed_ms < shut.flow.sticker_speed_ms
        assert opened.share_pct(gap) > shut.share_pct(gap)
        assert opened.worst_days > shut.worst_days
        assert opened.temperature_drop_c > shut.temperature_drop_c
        shares = sum(opened.share_pct(name) for name in ("stack", "above", "under", "ends", "short"))
        assert shares == pytest.approx(100.0, rel=1e-9)


def test_the_worse_served_course_takes_longer_where_stickers_are_mixed():
    mixed, even = (case.work_out(case.State(load)) for load in ("mixed", "full"))
    assert mixed.worst_days - mixed.best_days > 3 * (even.worst_days - even.best_days)
    assert sorted(set(mixed.stack.stickers_m)) == pytest.approx([0.375 * IN_M, 0.75 * IN_M])


def test_daily_loss_and_days_agree():
    """The loss at 300 fpm, even down to 30 % and in proportion below, gives the days that it was taken from."""
    lag = stack_air.drying_lag(case.REFERENCE_MS, case.REFERENCE_MS, case.START_PCT, case.END_PCT, case.REFERENCE_DAYS)
    assert lag.best_days == pytest.approx(case.REFERENCE_DAYS)
    steady = (case.START_PCT - 30) / case.WET_LOSS_PCT
    assert 0 < steady < case.REFERENCE_DAYS
    loss = case.WET_LOSS_PCT
    assert loss == pytest.approx(8.296, abs=0.001)  # (50 + 30 ln 3) / 10


def test_soaked_air_is_no_number_and_no_refusal():
    starved = case.work_out(case.State("short", 0.5 * IN_M, 50.0, above=True, ends=True, under=True))
    assert starved.temperature_drop_c is None
    assert starved.flow.bypass_pct > 80


def test_questions_ask_the_same_kiln():
    result = case.work_out(case.State("short", 0.875 * IN_M, above=True))
    assert calculators.kiln_misses(above=1, sticker_in=0.875, load="short") == result.flow.bypass_pct
    assert calculators.kiln_fpm(above=1, sticker_in=0.875, load="short") * FPM == pytest.approx(
        result.flow.sticker_speed_ms, rel=1e-12
    )
