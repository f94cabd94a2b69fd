"""The numerical scheme against exact series, against another solver, and against itself. No wood in here."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from kilnlib.physics.drying.diffusion import Block, march, mesh
from kilnlib.physics.samples import controlling_mc_pct

START, END, SPEED = 80.0, 10.0, 0.01  # %, %, 1/h: diffusivity over the square of half the thickness
OURS = mesh(18)  # the layers that board.py uses


def plain(mc):
    """Constant diffusivity: the moisture content itself drives the water."""
    return mc, np.ones_like(mc)


def film(grid, biot, end=END, speed=SPEED):
    """A face that gives off in proportion to its distance from `end`; an infinite Biot number pins it there."""
    rate = speed / (grid.to_face + 1.0 / biot) / grid.share[0]
    return lambda level: (rate * (level - end), np.full(len(level), rate), np.full(len(level), speed))


def dried(grid, biot, hours, **options):
    """Times in units of half thickness squared over diffusivity, and the share of the change that has happened."""
    record = march(np.full((1, len(grid.share)), START), grid, plain, [Block(hours, film(grid, biot))], **options)
    return SPEED * record.hours, (START - (record.mc_pct @ grid.share)[:, 0]) / (START - END)


def crank_fixed(time):
    """Crank, The Mathematics of Diffusion (1975) eq. 4.18, both faces of a sheet held at the end value."""
    odd = 2.0 * np.arange(2000)[:, None] + 1.0
    return 1.0 - (8.0 / (np.pi * odd) ** 2 * np.exp(-((odd * np.pi / 2.0) ** 2) * time)).sum(axis=0)


def crank_resistance(time, biot):
    """Crank (1975) eq. 4.53, evaporation from both faces in proportion to the distance from the end value."""
    edges = [(n * np.pi, (n + 0.5) * np.pi) for n in range(400)]
    beta = np.array([brentq(lambda b: b * np.sin(b) - biot * np.cos(b), *edge) for edge in edges])[:, None]
    parts = 2.0 * biot**2 * np.exp(-(beta**2) * time) / (beta**2 * (beta**2 + biot**2 + biot))
    return 1.0 - parts.sum(axis=0)


@pytest.mark.parametrize("biot", [np.inf, 50.0, 5.0, 0.5])
def test_crank_within_a_thousandth_of_the_change(biot):
    time, share = dried(OURS, biot, 300.0, tolerance_pct=0.005)
    kept = time > 0.002  # 6 % of the change with pinned faces
    exact = crank_fixed(time[kept]) if np.isinf(biot) else crank_resistance(time[kept], biot)
    assert exact[0] < 0.1 and exact[-1] > 0.7
    assert np.abs(share[kept] - exact).max() <= 0.001


def test_crank_catches_a_wrong_diffusivity():
    """Half a percent in the diffusivity is seen."""
    time, share = dried(OURS, 5.0, 100.0, tolerance_pct=0.005)
    assert np.abs(share[1:] - crank_resistance(1.01 * time[1:], 5.0)).max() > 0.001


@pytest.mark.parametrize("biot", [np.inf, 2.0])
def test_second_order_in_space(biot):
    exact = (crank_fixed(np.array([0.3])) if np.isinf(biot) else crank_resistance(np.array([0.3]), biot))[0]
    wrong = [abs(dried(mesh(n, 0.5), biot, 30.0, fixed_h=0.05)[1][-1] - exact) for n in (6, 12, 24, 48)]
    orders = np.log2(np.array(wrong[:-1]) / wrong[1:])
    assert orders == pytest.approx(2.0, abs=0.1)


def test_second_order_in_time():
    ends = [dried(OURS, 2.0, 32.0, fixed_h=step)[1][-1] for step in (2.0, 1.0, 0.5, 0.25, 0.125)]
    gaps = np.abs(np.diff(ends))
    orders = np.log2(gaps[:-1] / gaps[1:])
    assert np.all(np.diff(orders) > 0) and 1.85 < orders[-1] < 2.1


def curved(mc):
    """A potential that is four times as steep at one end as at the other."""
    return mc + 0.02 * mc**2, 1.0 + 0.04 * mc


def test_agrees_with_scipy_on_the_same_layers():
    face = film(OURS, 5.0)
    times = np.linspace(0.0, 150.0, 40)
    across = OURS.exchange.T

    def change(_, mc):
        level, _ = curved(mc[None, :])
        loss, _, speed = face(level[:, 0])
        gain = (level[0] @ across) * speed[0]
        gain[0] -= loss[0]
        return gain

    peer = solve_ivp(change, (0.0, 150.0), np.full(18, START), "BDF", times, rtol=1e-9, atol=1e-9).y
    record = march(np.full((1, 18), START), OURS, curved, [Block(150.0, face)], tolerance_pct=1e-4)
    for layer in (0, 5, 17):
        ours = np.interp(times, record.hours, record.mc_pct[:, 0, layer])
        assert ours == pytest.approx(peer[layer], abs=0.01)
    ends = [march(np.full((1, 18), START), OURS, curved, [Block(150.0, face)], t).mc_pct[-1, 0] for t in (1e-2, 1e-4)]
    assert ends[1] == pytest.approx(peer[:, -1], abs=1e-3) and ends[0] == pytest.approx(peer[:, -1], abs=0.05)


def test_water_is_kept_to_rounding():
    """Whatever the potential, the tolerance, and however rough the steps."""
    start = np.linspace(100.0, 20.0, 18) * np.array([[1.0], [0.3]])
    blocks = [Block(50.0, film(OURS, 3.0)), Block(80.0, film(OURS, 0.4, 60.0)), Block(10.0, film(OURS, np.inf, 5.0))]
    for options in ({}, {"tolerance_pct": 3.0}, {"fixed_h": 7.0}):
        record = march(start, OURS, curved, blocks, **options)
        gone = (start - record.mc_pct) @ OURS.share
        assert np.abs(gone - record.lost_pct).max() <= 1e-10 * np.abs(record.lost_pct).max()
        assert record.lost_pct[-1].max() > 30.0


def test_nothing_happens_at_equilibrium():
    record = march(np.full((3, 18), END), OURS, curved, [Block(100.0, film(OURS, 5.0, curved(END)[0]))])
    assert np.abs(record.mc_pct - END).max() < 1e-9
    assert len(record.hours) < 15  # and it is quick about it


def test_blocks_end_on_time_or_at_their_moisture_content():
    blocks = [Block(10.0, film(OURS, 5.0)), Block(1000.0, film(OURS, 5.0), 50.0), Block(5.0, film(OURS, 5.0), 60.0),
              Block(3.0, film(OURS, 5.0))]  # fmt: skip
    record = march(np.full((1, 18), START), OURS, plain, blocks)
    average = (record.mc_pct @ OURS.share)[:, 0]
    assert record.block_ends_h[0] == pytest.approx(10.0)
    assert np.interp(record.block_ends_h[1], record.hours, average) == pytest.approx(50.0, abs=0.011)
    assert record.block_ends_h[2] == record.block_ends_h[1]  # it was below 60 before it began
    assert record.hours[-1] == pytest.approx(record.block_ends_h[1] + 3.0)
    assert set(record.block_of) == {0, 1, 3}


def test_the_wettest_board_decides_or_another_rule_that_is_handed_in():
    start = np.full((4, 18), START) * np.array([[1.0], [0.9], [0.4], [0.3]])
    record = march(start, OURS, plain, [Block(1000.0, film(OURS, 5.0), 50.0)])
    assert (record.mc_pct[-1, 0] @ OURS.share) == pytest.approx(50.0, abs=0.011)
    record = march(start, OURS, plain, [Block(1000.0, film(OURS, 5.0), 50.0)], controlling=controlling_mc_pct)
    assert (record.mc_pct[-1, :2] @ OURS.share).mean() == pytest.approx(50.0, abs=0.011)


def test_mesh():
    assert OURS.share.sum() == pytest.approx(1.0) and np.all(np.diff(OURS.share) > 0)
    assert OURS.share[OURS.depth < 0.5].sum() == pytest.approx(0.5)  # a border lies halfway
    assert np.abs(OURS.share @ OURS.exchange).max() < 1e-10  # what one layer loses another gains
