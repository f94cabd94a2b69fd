"""The panel of heat to the core: what it says is what its picture and its record show."""

import re

import numpy as np
import pytest

from kilnlib.bench.panels import open_panel
from kilnlib.cases import core as case
from kilnlib.physics.heating import minutes_to_core
from kilnlib.units import IN_M, f_to_c


@pytest.fixture
def panel():
    opened = open_panel("core")
    yield opened
    opened.close()


def said(panel):
    return panel.say(panel.result, panel.system)


def test_the_core_comes_last(panel):
    panel.pick("post")
    minutes, heating = panel.result.minutes, panel.result.heating
    air = minutes[np.flatnonzero(heating.air_c >= case.NEEDED_C)[0]]
    assert air < 30 and heating.hold.start_min > 240
    section = heating.section.section_c[panel.result.picture_index]
    assert section[0, 0] == section.max() and section[-1, -1] == section.min()
    assert f"done at {heating.hold.done_min:.0f}" in said(panel)


def test_beside_the_series_once_the_climb_is_counted_off(panel):
    """Air that climbs for half an hour costs about the half of it."""
    series = minutes_to_core(panel.result.heating.piece, case.NEEDED_C, f_to_c(60), f_to_c(155))
    assert panel.result.heating.section.minutes_to(case.NEEDED_C) - series == pytest.approx(15, abs=3)


def test_a_probe_halfway_is_fooled(panel):
    panel.pick("halfway")
    core, probe = panel._now(panel.result)
    assert probe >= case.NEEDED_C > core + 2.0
    assert re.search(r"By your probe you would stop at \d+, \d+ minutes too early", said(panel))
    panel.set(depth=100.0, from_end_m=1 * IN_M)
    assert "too early" in said(panel)
    panel.set(from_end_m=24 * IN_M)
    assert "too early" not in said(panel)


def test_green_wood_in_dry_air_stays_near_the_wet_bulb(panel):
    panel.pick("dry_air")
    assert "never stays" in said(panel) and "near 110 °F" in said(panel)
    panel.set(wood="dry")
    assert panel.result.heating.hold.held


def test_two_short_runs_are_not_added(panel):
    panel.pick("trips")
    tripped = panel.result.heating.hold
    panel.set(heater="runs")
    steady = panel.result.heating.hold
    assert tripped.done_min > steady.done_min + 45 and tripped.done_min - tripped.start_min == pytest.approx(30, abs=2)


def test_ice_waits(panel):
    thawed = panel.result.heating.hold.done_min
    panel.pick("frozen")
    assert panel.result.heating.hold.done_min > thawed + 20


def test_the_green_bar_is_the_hold(panel):
    bar, last = panel.artists["now"]["hold"], panel.result.minutes[-1]
    hold = panel.result.heating.hold
    assert bar.get_x() * last == pytest.approx(hold.start_min)
    assert bar.get_width() * last == pytest.approx(hold.done_min - hold.start_min)
