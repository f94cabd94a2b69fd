"""One sticker space: friction and end losses against exact flow, textbook formulas of two libraries, and a hand sum."""

import math

import numpy as np
import oracles
import pytest
from fluids.fittings import contraction_sharp, diffuser_sharp
from fluids.friction import Blasius, friction_factor
from hypothesis import given
from hypothesis import strategies as st

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.airflow import channel
from kilnlib.units import FT_M, IN_M

FPM = FT_M / 60
OPEN = 0.75 * IN_M  # sticker
BOARD = 1.125 * IN_M  # 4/4 board as cut: open share 0.4
DENSITY, VISCOSITY = 1.06, 1.95e-5


def reynolds(speed_ms, gap_m):
    return DENSITY * speed_ms * 2 * gap_m / VISCOSITY


def test_laminar_friction_is_exact():
    """Between flat plates Newton's law of viscosity alone gives 12 x viscosity x length x speed / gap²."""
    for gap, speed in ((0.01, 0.2), (OPEN, 0.5), (0.004, 3.0)):
        assert reynolds(speed, gap) < 2300
        ends = sum(channel.course_losses(gap, BOARD)) * 0.5 * DENSITY * speed**2
        rubbed = channel.channel_pressure_pa(speed, gap, BOARD, 2.5, DENSITY, VISCOSITY) - ends
        assert rubbed == pytest.approx(12 * VISCOSITY * 2.5 * speed / gap**2, rel=1e-12)


def test_turbulent_friction_against_a_library():
    """The library's own Blasius law carries 0.3164 for 0.316; the full smooth-wall law is 3 % away at most."""
    for number in np.geomspace(4000, 1e5, 30):
        ours = channel.friction_factor(number)
        assert ours == pytest.approx(Blasius(number), rel=0.0013)
        assert ours == pytest.approx(friction_factor(Re=number, eD=0.0), rel=0.03)


def test_friction_has_no_jump():
    for number in (2300.0, 4000.0):
        below, above = channel.friction_factor(number * (1 - 1e-9)), channel.friction_factor(number * (1 + 1e-9))
        assert below == pytest.approx(above, rel=1e-8)
    between = channel.friction_factor(3150.0)
    assert between == pytest.approx(0.5 * (96 / 2300 + 0.316 / 4000**0.25), rel=1e-12)


def test_end_losses_against_a_library():
    """The exit is Borda and Carnot's. At the entrance two textbook formulas stand 18 % apart: both stay here."""
    entrance, exit_loss = channel.course_losses(OPEN, BOARD)
    share = OPEN / (OPEN + BOARD)
    assert share == pytest.approx(0.4, rel=1e-12)
    assert exit_loss == pytest.approx(diffuser_sharp(Di1=math.sqrt(share), Di2=1.0), rel=1e-12)
    assert entrance == pytest.approx(0.5 * 0.6**0.75, rel=1e-12)
    theirs = contraction_sharp(Di1=1.0, Di2=math.sqrt(share))
    assert theirs == pytest.approx(0.414, abs=5e-4) and entrance == pytest.approx(0.341, abs=5e-4)
    assert entrance / theirs - 1 == pytest.approx(-0.18, abs=0.005)


def test_a_hand_sum():
    """8 ft of travel, 300 fpm, K 0.34 + 0.36: Reynolds number 3156, 4.2 Pa (our arithmetic, to 5 %)."""
    speed = 300 * FPM
    assert reynolds(speed, OPEN) == pytest.approx(3156, abs=1)
    assert [round(k, 2) for k in channel.course_losses(OPEN, BOARD)] == [0.34, 0.36]
    whole = channel.channel_pressure_pa(speed, OPEN, BOARD, 8 * FT_M, DENSITY, VISCOSITY)
    assert whole == pytest.approx(4.2, rel=0.05)
    factor = 96 / 2300 + (3156 - 2300) / 1700 * (0.316 / 4000**0.25 - 96 / 2300)
    by_hand = (0.341 + 0.36 + factor * 2.4384 / 0.0381) * 0.5 * 1.06 * 1.524**2
    assert whole == pytest.approx(by_hand, rel=1e-3)
    ends = sum(channel.course_losses(OPEN, BOARD)) * 0.5 * DENSITY * speed**2
    assert ends / whole == pytest.approx(0.2, abs=0.02)


@pytest.mark.parametrize(("fpm", "pascal"), [(100, 0.9), (200, 2.0), (300, 4.2), (400, 7.0), (600, 14.6), (800, 24.6)])
def test_the_same_sum_at_six_speeds(fpm, pascal):
    """Our arithmetic, done before with the same formulas by another hand; 4.2 stands for 4.07 there."""
    ours = channel.channel_pressure_pa(fpm * FPM, OPEN, BOARD, 8 * FT_M, DENSITY, VISCOSITY)
    assert ours == pytest.approx(pascal, rel=0.05)


def test_more_speed_needs_more_pressure_and_a_thicker_sticker_less():
    speeds = np.linspace(0, 10, 2001)
    assert np.all(np.diff(channel.channel_pressure_pa(speeds, OPEN, BOARD, 2.5)) > 0)
    gaps = np.linspace(0.005, 0.05, 200)
    assert np.all(np.diff(channel.channel_pressure_pa(1.5, gaps, BOARD, 2.5)) < 0)
    lengths = np.linspace(0, 10, 50)
    assert np.all(np.diff(channel.channel_pressure_pa(1.5, OPEN, BOARD, lengths)) > 0)


@given(st.floats(1e-6, 5000), st.floats(0.003, 0.1), st.floats(0.005, 0.3), st.floats(0.3, 15), st.floats(0.6, 1.3))
def test_a_slot_is_the_inverse(pressure, gap, board, length, density):
    loss = sum(channel.course_losses(gap, board))
    slot = channel.Slot(1.0, gap, length, loss, density, VISCOSITY)
    speed = slot.speed_ms(pressure)
    if speed < 30:
        back = channel.channel_pressure_pa(speed, gap, board, length, density, VISCOSITY)
        assert back == pytest.approx(pressure, rel=1e-11)


def test_a_slot_at_its_seams():
    loss = sum(channel.course_losses(OPEN, BOARD))
    slot = channel.Slot(1.0, OPEN, 2.5, loss, DENSITY, VISCOSITY)
    assert slot.speed_ms(0.0) == 0.0
    for number in (2300, 4000):
        speed = number * VISCOSITY / (DENSITY * 2 * OPEN)
        pressure = channel.channel_pressure_pa(speed, OPEN, BOARD, 2.5, DENSITY, VISCOSITY)
        around = [slot.speed_ms(pressure * (1 + step)) for step in (-1e-9, 0.0, 1e-9)]
        assert around == pytest.approx([speed] * 3, rel=1e-8) and around == sorted(around)
    fixed = channel.Slot(1.0, OPEN, 2.5, loss, DENSITY, VISCOSITY, friction=0.03)
    assert fixed.speed_ms(8.0) == pytest.approx(2 * fixed.speed_ms(2.0), rel=1e-14)
    by_hand = math.sqrt(8.0 / (0.5 * DENSITY * (loss + 0.03 * 2.5 / (2 * OPEN))))
    assert fixed.speed_ms(8.0) == pytest.approx(by_hand, rel=1e-14)


def test_air_against_a_property_library():
    from CoolProp.CoolProp import PropsSI  # slow to load, see oracles

    for celsius, far in ((20.0, 0.001), (43.0, 0.001), (60.0, 0.001), (80.0, 0.004)):
        for rh in (10.0, 50.0, 85.0, 100.0):
            volume = oracles.moist_air("Vha", "T", celsius + 273.15, "P", 101325, "R", rh / 100)
            assert channel.air_density_kgm3(celsius, rh) == pytest.approx(1 / volume, rel=far)
    for celsius in (0.0, 40.0, 80.0, 120.0):
        dry = PropsSI("V", "T", celsius + 273.15, "P", 101325, "Air")
        assert channel.air_viscosity_pas(celsius) == pytest.approx(dry, rel=0.01)
    for celsius, rh, over in ((43.0, 0.85, 0.021), (60.0, 1.0, 0.076)):
        moist = oracles.moist_air("M", "T", celsius + 273.15, "P", 101325, "R", rh)
        assert channel.air_viscosity_pas(celsius) / moist - 1 == pytest.approx(over, abs=0.003)


def test_numbers_arrays_and_unreadable_ones():
    assert isinstance(channel.channel_pressure_pa(1.0, OPEN, BOARD, 2.5), float)
    assert channel.channel_pressure_pa([0.0, 1.0, np.nan], OPEN, BOARD, 2.5) == pytest.approx(
        [0.0, channel.channel_pressure_pa(1.0, OPEN, BOARD, 2.5), np.nan], nan_ok=True
    )
    assert math.isnan(channel.friction_factor(math.nan)) and math.isnan(channel.air_viscosity_pas(math.nan))
    assert math.isnan(channel.air_density_kgm3(math.nan, 50.0))
    assert all(math.isnan(k) for k in channel.course_losses(math.nan, BOARD))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: channel.channel_pressure_pa(-1.0, OPEN, BOARD, 2.5), "Air speed"),
        (lambda: channel.channel_pressure_pa(1.0, 0.0, BOARD, 2.5), "Sticker thickness"),
        (lambda: channel.channel_pressure_pa(1.0, OPEN, -BOARD, 2.5), "Board thickness"),
        (lambda: channel.channel_pressure_pa(1.0, OPEN, BOARD, 99.0), "Way through the stack"),
        (lambda: channel.channel_pressure_pa(1.0, OPEN, BOARD, 2.5, 1.06, 1.95), "Air viscosity in millionths"),
        (lambda: channel.channel_pressure_pa(1.0, OPEN, BOARD, 2.5, 62.0), "Air density"),
        (lambda: channel.friction_factor(0.0), "Reynolds number"),
        (lambda: channel.channel_pressure_pa(math.inf, OPEN, BOARD, 2.5), "ordinary number"),
    ],
)
def test_refusals_are_sentences(call, says):
    with pytest.raises(OutOfRange, match=says):
        call()


def test_every_coefficient_says_how_it_is_known():
    rows = {row["name"]: row for row in tables.records("airflow_coefficients")}
    assert set(rows) == set(channel.COEFFICIENTS) and len(rows) >= 13
    for name, row in rows.items():
        assert float(row["value"]) == channel.COEFFICIENTS[name]
        assert ("from memory" in row["source"]) <= (row["how"] == "memory"), name
    assert not [name for name, row in rows.items() if row["how"] == "retrieved"]  # every text says so: from memory
