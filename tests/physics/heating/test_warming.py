"""The cross-section step by step: beside the series, with ice, and in air that climbs or fails."""

import math

import numpy as np
import pytest
from physics.heating.reference import F, oak, rows

from kilnlib.physics.heating import minutes_to_core, warming
from kilnlib.units import IN_M

CORE_C = F(133)


@pytest.mark.parametrize(("piece", "film"), [(oak(1, 6), math.inf), (oak(6, 6), math.inf), (oak(2, mc_pct=7.0), 20.0)])
def test_beside_the_series(piece, film):
    exact = minutes_to_core(piece, CORE_C, F(60), F(157), film)
    ours = warming(piece, np.linspace(0, 1.5 * exact, 60), F(157), F(60), film).minutes_to(CORE_C)
    assert ours == pytest.approx(exact, rel=0.02)


def test_frozen_rows():
    """Worked out by a second program of the same idea; 3 % is the tolerance it was given."""
    for match, value, _ in rows(r"^(\d)x(\d) in from (-?\d+) F( frozen)?, (\d+) % MC"):
        thick, wide, start, _, mc = match.groups()
        piece = oak(float(thick), float(wide), float(mc))
        scale = 2.28e-4 * IN_M**2 / piece.diffusivity_m2s  # the rows took the same for every moisture
        ours = warming(piece, np.linspace(0, 1.3 * value, 80), F(157), F(float(start))).minutes_to(CORE_C)
        print(f"{ours:6.1f} min, the row says {value:.0f}: {match.string}")
        assert ours == pytest.approx(value * scale, rel=0.03, abs=0.6), match.string


def test_ice_costs_half_as_much_again_and_its_cold_hardly_matters():
    piece = oak(2, 6)
    minutes = {
        start: warming(piece, np.linspace(0, 120, 60), F(157), F(start)).minutes_to(CORE_C)
        for start in (60, 33, 25, -20)
    }
    assert 1.45 < minutes[25] / minutes[60] < 1.65
    assert 1.3 < minutes[25] / minutes[33] < 1.45
    assert minutes[-20] - minutes[25] < 6


def test_air_that_climbs():
    """2-in oak at 7 %, air from 70 to 145 °F in 150 min: the air is hot an hour before the core."""
    times = np.arange(0.0, 301.0, 5.0)
    air = np.interp(times, [0, 150, 300], [F(70), F(145), F(145)])
    slab = warming(oak(2, mc_pct=7.0), times, air, F(70), 20.0)
    passes = float(np.interp(CORE_C, air[:31], times[:31]))
    quarter, core = slab.minutes_to(CORE_C, 0.25), slab.minutes_to(CORE_C)
    print(f"air {passes:.0f}, quarter of the way in {quarter:.0f}, core {core:.0f} min")
    assert passes == pytest.approx(126) and passes + 40 < quarter < core - 15


def test_the_core_goes_on_rising_when_the_heater_fails():
    times = np.arange(0.0, 241.0, 1.0)
    air = np.where(times < 100, F(157), F(90))
    slab = warming(oak(2, mc_pct=7.0), times, air, F(70), 20.0)
    peak = times[int(np.argmax(slab.core_c))]
    assert 101 < peak < 130
    assert slab.core_c[-1] < F(110)


def test_the_picture_is_hot_outside_and_cold_inside():
    piece = oak(4, 4)
    section = warming(piece, np.array([0.0, 20.0, 60.0]), F(157), F(60)).section_c
    assert np.all(np.diff(section[2], axis=0) < 1e-9) and np.all(np.diff(section[2], axis=1) < 1e-9)
    assert np.allclose(section[0], F(60)) and section[2].max() < F(157)
