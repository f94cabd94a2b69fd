"""One rate factor from a mill's own weighings, and what it makes of the days to come."""

import dataclasses
import datetime

import numpy as np
import pytest

from kilnlib import units
from kilnlib.errors import BadInput, OutOfRange
from kilnlib.physics.daily import forecast
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing

F = units.f_to_c
STEPS = [Step(F(110), F(105), hours=240.0), Step(F(110), F(98), hours=240.0), Step(F(140), F(105), hours=1200.0)]
WOODS = [Board(start_mc_pct=start) for start in (85.0, 80.0, 72.0)]
HOURS = np.arange(0.0, 241.0, 48.0)


def readings(factor, noise=0.0, seed=1):
    boards = [dataclasses.replace(wood, rate_factor=factor) for wood in WOODS]
    found = at_hours(dry(boards, STEPS, tolerance_pct=0.01), HOURS).average_pct
    return found + np.random.default_rng(seed).normal(0.0, noise, found.shape) * (HOURS > 0)[:, None]


@pytest.mark.parametrize("factor", [0.5, 0.83, 1.0, 1.6])
def test_its_own_readings_give_the_factor_back(factor):
    fit = forecast.fit_rate(WOODS, STEPS, HOURS, readings(factor))
    assert fit.rate_factor == pytest.approx(factor, rel=0.01)
    assert fit.low < factor < fit.high and fit.misfit_pct < 0.3 and fit.readings == 15
    assert [wood.rate_factor for wood in fit.boards] == [fit.rate_factor] * 3


def test_noise_is_covered_and_widens_the_range():
    """Readings off by a point or four: the true factor lies in the range, which grows with them."""
    inside, widths = 0, []
    for seed in range(10):
        fit = forecast.fit_rate(WOODS, STEPS, HOURS, readings(0.8, 1.0, seed))
        inside += fit.low <= 0.8 <= fit.high
        widths.append(fit.high / fit.low)
    assert inside >= 9
    rough = forecast.fit_rate(WOODS, STEPS, HOURS, readings(0.8, 4.0))
    assert rough.high / rough.low > max(widths) > 1.02


def test_more_readings_narrow_the_range():
    few = forecast.fit_rate(WOODS, STEPS, HOURS[:3], readings(1.0)[:3])
    many = forecast.fit_rate(WOODS, STEPS, HOURS, readings(1.0))
    assert many.high / many.low < few.high / few.low


def test_missing_readings_are_left_out():
    found = readings(1.2)
    found[2, 1] = np.nan
    found[:, 2] = np.nan
    fit = forecast.fit_rate(WOODS, STEPS, HOURS, found)
    assert fit.rate_factor == pytest.approx(1.2, rel=0.01) and fit.readings == 9


def test_weights_that_tell_nothing_are_refused():
    for found in (readings(1.0)[:1], np.full((6, 3), 80.0), np.full((6, 3), np.nan)):
        with pytest.raises(BadInput) as caught:
            forecast.fit_rate(WOODS, STEPS, HOURS[: len(found)], found)
        assert "Weigh again" in str(caught.value)
    with pytest.raises(OutOfRange):
        forecast.fit_rate(WOODS, STEPS, HOURS + 5000.0, readings(1.0))


START = datetime.datetime(2024, 3, 4, 7, 30)


def sheet(factor=0.9, air=True):
    """Three sample boards weighed every second day, and the bulbs of the same kiln."""
    found = readings(factor)
    boards = []
    for column, start in enumerate(found[0]):
        sections = (Section(0.1 * (1.0 + start / 100.0), 0.1),) * 2
        weighings = tuple(Weighing(START + datetime.timedelta(hours=float(hour)), 1.2 * (1.0 + mc / 100.0))
                          for hour, mc in zip(HOURS, found[:, column], strict=True))  # fmt: skip
        boards.append(SampleBoard(f"S{column + 1}", sections, weighings))
    bulbs = tuple(Air(START + datetime.timedelta(hours=hour), F(110), F(105)) for hour in (-5, 20, 100)) if air else ()
    return Sheet("Charge 7", "red oak", "4/4", 7.0, tuple(boards), bulbs)


def test_from_a_sample_sheet():
    for steps in (None, STEPS):
        fit = forecast.fit_to_weights(sheet(), steps)
        assert fit.rate_factor == pytest.approx(0.9, rel=0.015)
        assert [board.start_mc_pct for board in fit.boards] == pytest.approx([85.0, 80.0, 72.0])
        assert fit.boards[0].thickness_m == pytest.approx(1.125 * units.IN_M)


def test_sheets_that_cannot_be_used():
    with pytest.raises(BadInput) as caught:
        forecast.fit_to_weights(sheet(air=False))
    assert "bulb" in str(caught.value)
    for poor in (Sheet(), dataclasses.replace(sheet(), boards=())):
        with pytest.raises(BadInput):
            forecast.fit_to_weights(poor)
    one = sheet()
    late = dataclasses.replace(one.boards[2], weighings=one.boards[2].weighings[3:])
    fit = forecast.fit_to_weights(dataclasses.replace(one, boards=(*one.boards[:2], late)))
    assert len(fit.boards) == 2  # a board that came in days later has another start
