"""The series beside worked-out rows: sizes, starts, probes in the wrong place, films; and a second program."""

import math
import re

import numpy as np
import pytest
from physics.heating.reference import F, oak, rows, size

from kilnlib.errors import OutOfRange
from kilnlib.physics.heating import (
    Piece,
    Probe,
    core_temperature_c,
    face,
    face_to_face_m,
    minutes_to_core,
    share_left,
)
from kilnlib.units import IN_M, c_to_f

SLOWER = 2.28 / 2.2509  # the rows were worked out with 2.28e-4 in²/s, green red oak here has 2.25e-4
CORE_C = F(133)


def test_minutes_by_size_surface_and_start():
    for match, value, _ in rows(r"^\d x \d in, (from|surface) .*minutes to (\d+) F core"):
        text = match.string
        start = float(re.search(r"from (\d+) F", text)[1])
        surface, target = float(re.search(r"surface (\d+) F", text)[1]), float(match[2])
        ours = minutes_to_core(oak(*size(text)), F(target), F(start), F(surface))
        assert ours == pytest.approx(value * SLOWER, abs=0.6), text


def test_a_probe_part_of_the_way_in():
    for match, value, _ in rows(r"minutes when a probe (\S+) of the way in"):
        share = {"1/4": 0.25, "1/2": 0.5, "3/4": 0.75, "all": 1.0}[match[1]]
        thick, wide = size(match.string)
        probe = Probe(share, share if thick == wide else 1.0)
        ours = minutes_to_core(oak(thick, wide), CORE_C, F(60), F(157), probe=probe)
        either = minutes_to_core(oak(thick, wide), CORE_C, F(60), F(157), probe=Probe(share))
        assert min(abs(ours - value * SLOWER), abs(either - value * SLOWER)) < 1.0, match.string


def test_halfway_reads_133_when_the_core_does_not():
    ((_, value, tolerance),) = rows("core temperature when a probe halfway")
    piece = oak(2, 6)
    minutes = minutes_to_core(piece, CORE_C, F(60), F(157), probe=Probe(0.5))
    assert c_to_f(core_temperature_c(minutes, piece, F(60), F(157))) == pytest.approx(value, abs=float(tolerance))


def test_near_the_end():
    for match, value, tolerance in rows(r"mid-thickness reading (\d+) in from the end"):
        piece = oak(*size(match.string), length_in=96)
        minutes = minutes_to_core(oak(*size(match.string)), CORE_C, F(60), F(157))
        reading = core_temperature_c(minutes, piece, F(60), F(157), probe=Probe(from_end_m=float(match[1]) * IN_M))
        assert c_to_f(reading) == pytest.approx(value, abs=float(tolerance)), match.string


def test_how_fast_the_core_warms_and_what_a_high_probe_costs():
    for match, value, tolerance in rows("core warming rate at 133 F"):
        piece = oak(*size(match.string))
        minutes = minutes_to_core(piece, CORE_C, F(60), F(157))
        rate = (core_temperature_c(minutes + 0.05, piece, F(60), F(157)) - CORE_C) * 1.8 / 0.05
        assert rate * SLOWER == pytest.approx(value, abs=float(tolerance) + 0.02)
    for match, value, tolerance in rows("minutes too early with a probe reading 2 F high"):
        piece = oak(*size(match.string))
        early = minutes_to_core(piece, CORE_C, F(60), F(157)) - minutes_to_core(piece, F(131), F(60), F(157))
        assert early == pytest.approx(value, abs=float(tolerance))


def test_dry_wood_in_dry_air():
    """Two boards at three airs; the last row is a condensing face. The rows count dry wood as light as green wood.

    Three rows of the 2-in board are missed by up to 5 minutes: they stored about a twentieth less heat in dry wood.
    """
    missed = {}
    as_light = 0.56 / (1.0 + 0.265 * 0.56 * (1.0 - 7.0 / 30.0))
    for match, value, tolerance in rows(r"red oak 7 % MC, (\d) in board, from 70 F, air (\d+) F, h = (\d+)"):
        thick, air_f, film = (float(part) for part in match.groups())
        board = Piece(thick * IN_M, specific_gravity=as_light, mc_pct=7.0)
        ours = minutes_to_core(board, CORE_C, F(70), F(air_f), film)
        if abs(ours - value) > float(tolerance):
            missed[match.groups()] = ours - value
        assert minutes_to_core(oak(thick, mc_pct=7.0), CORE_C, F(70), F(air_f), film) > ours
    assert set(missed) == {("2", "140", "20"), ("2", "150", "20"), ("2", "140", "1000")}
    assert all(2.0 < minutes < 5.0 for minutes in missed.values())


def test_two_boards_face_to_face():
    assert face_to_face_m(0.75 * IN_M, 0.75 * IN_M) == pytest.approx(1.5 * IN_M)
    one, two = (minutes_to_core(oak(thick, 6), CORE_C, F(60), F(157)) for thick in (1, 2))
    assert 3.5 < two / one < 4.05
    with pytest.raises(OutOfRange):
        face_to_face_m()


def test_never_where_the_air_is_no_hotter():
    assert minutes_to_core(oak(2, 6), CORE_C, F(60), CORE_C) == math.inf
    assert minutes_to_core(oak(2, 6), CORE_C, F(140), F(157)) == 0.0
    assert minutes_to_core(oak(6, 6), CORE_C, F(60), F(134)) == pytest.approx(638 * SLOWER, abs=2)


def test_at_the_start_the_whole_is_still_cold():
    """The printed form of the series says 0.725 there."""
    assert core_temperature_c(0.0, oak(2, 6), 10.0, 70.0) == 10.0
    assert core_temperature_c(0.2, oak(2, 6), 10.0, 70.0) == pytest.approx(10.0, abs=1e-6)


def test_the_face_lies_between_the_bulbs():
    wet, half, dry = (face(F(140), F(115), mc) for mc in (60.0, 19.0, 7.0))
    assert wet.surface_c == pytest.approx(F(115)) and math.isinf(wet.film_w_m2k)
    assert F(115) < half.surface_c < F(140) and half.film_w_m2k > dry.film_w_m2k
    assert dry.surface_c > F(139) and dry.film_w_m2k == pytest.approx(5.7 + 3.8 * 1.5, rel=0.05)
    assert face(F(157), F(157), 7.0).surface_c == pytest.approx(F(157))


@pytest.mark.parametrize("biot", [0.05, 0.7, 4.0, math.inf])
def test_a_slab_beside_scipy(biot):
    """The same slab by the method of lines and a stiff solver."""
    from scipy.integrate import solve_ivp

    count = 200
    step = 1.0 / count

    def rate(_, left):
        padded = np.concatenate([left, left[-1:]])
        flow = np.diff(padded) / step
        outer = left[0] / (0.5 * step + (0.0 if math.isinf(biot) else 1.0 / biot))
        return (flow - np.concatenate([[outer], flow[:-1]])) / step

    times = np.array([0.05, 0.2, 0.6, 1.5])
    lines = solve_ivp(rate, (0, 1.5), np.ones(count), "BDF", times, rtol=1e-7, atol=1e-9).y
    for number, time in enumerate(times):
        middle = lines[-1, number]
        assert share_left(time, 1.0, biot) == pytest.approx(middle, abs=3e-4)
        assert share_left(time, 0.5, biot) == pytest.approx(0.5 * (lines[99, number] + lines[100, number]), abs=3e-4)


def test_out_of_range_is_said():
    for call in (
        lambda: Piece(0.0),
        lambda: Piece(0.05, specific_gravity=0.5, mc_pct=500).diffusivity_m2s,
        lambda: minutes_to_core(oak(2, 6), 56.0, 10.0, 500.0),
        lambda: core_temperature_c(-1.0, oak(2, 6), 10.0, 70.0),
        lambda: face(60.0, 70.0, 20.0),
    ):
        with pytest.raises(OutOfRange) as caught:
            call()
        assert str(caught.value).endswith(".")
    assert np.isnan(core_temperature_c(np.array([np.nan, 5.0]), oak(2, 6), 10.0, 70.0)[0])
