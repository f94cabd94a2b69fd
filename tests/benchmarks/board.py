"""Speed of the drying engine against scipy's stiff solver on the same layers: python tests/benchmarks/board.py

The peer gets one call of solve_ivp (BDF, with the sparsity of its Jacobian), the same equations in the same layers, the
same hourly settings, and the loosest of a list of tolerances that makes it at least as exact as ours. Both are held
against a run of our own method with a ten-thousandth of the usual tolerance and no settings joined. `run` adds these
rows to a bigger table.
"""

import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import diags

from kilnlib import units
from kilnlib.physics.air import STANDARD_PA
from kilnlib.physics.drying import board, diffusion
from kilnlib.physics.drying import steps as settings
from kilnlib.physics.drying.diffusivity import Potential, free_water

DAYS, REPEATS = 30, 15
ONE_BUDGET_MS, CHARGE_BUDGET_MS, RATIO = 15.0, 60.0, 3.0
TOLERANCES = [(10.0**-power, 10.0 ** (1 - power)) for power in np.arange(1.0, 6.0, 0.25)]  # relative, absolute
START_PCT = 80.0


def hourly(boards=1):
    """A drying month, no two hours alike: hotter and drier all the time, a daily swing, and a wandering control."""
    random = np.random.default_rng(1)
    hour = np.arange(24 * DAYS)
    swing = np.sin(hour * 2.0 * np.pi / 24.0)
    dry_f = 110.0 + 50.0 * hour / hour[-1] + 3.0 * swing + random.normal(0.0, 0.4, len(hour))
    depression_f = np.maximum(4.0 + 40.0 * hour / hour[-1] + swing + random.normal(0.0, 0.25, len(hour)), 2.0)
    along = np.linspace(0.0, 0.4, boards) if boards > 1 else 0.0  # the air cools on its way through the stack
    return [
        settings.Step(units.f_to_c(d - along * w), units.f_to_c(d - w), hours=1.0)
        for d, w in zip(dry_f, depression_f, strict=True)
    ]


def charge_steps(boards):
    """A schedule of eight steps, entering air to leaving air."""
    rows = ((110, 4), (110, 5), (110, 8), (110, 14), (120, 30), (130, 50), (140, 50), (180, 50))
    return [
        settings.Step(units.f_to_c(d - np.linspace(0.0, 0.4, boards) * w), units.f_to_c(d - w), hours=DAYS * 24 / 8)
        for d, w in rows
    ]


def run(rows, remarks):
    """Add the rows about boards: what, ours, peer, times faster, budget, met or missed."""
    wood = board.Board(start_mc_pct=START_PCT)
    steps = hourly()
    hours = np.arange(0.0, 24.0 * DAYS + 1.0, 6.0)
    fine = _finest(wood, steps, hours)
    ours = board.at_hours(board.dry(wood, steps), hours).average_pct
    our_miss = np.abs(ours - fine).max()
    call, peer_miss, tolerance = _peer(wood, steps, hours, fine, our_miss)
    our_s, peer_s = _best(lambda: board.dry(wood, steps), REPEATS), _best(call, 3)
    ratio = peer_s / our_s
    what = f"one board, {DAYS} days, hourly settings"
    met = "met" if 1e3 * our_s <= ONE_BUDGET_MS and ratio >= RATIO else "MISSED"
    budget = f"at most {ONE_BUDGET_MS:g} ms, at least {RATIO:g}"
    rows.append((what, f"{1e3 * our_s:.1f} ms", f"{1e3 * peer_s:.1f} ms", f"{ratio:.2f}", budget, met))
    remarks.append(
        f"Board: peer is scipy solve_ivp(BDF, jac_sparsity), relative tolerance {tolerance:.1g}. Against very fine "
        f"steps the average misses by at most {our_miss:.3f} point here, {peer_miss:.3f} there."
    )
    charge = [board.Board(start_mc_pct=start) for start in np.linspace(70.0, 95.0, 24)]
    for what, series, budget in (
        (f"charge of 24 boards, {DAYS} days, schedule", charge_steps(24), CHARGE_BUDGET_MS),
        (f"charge of 24 boards, {DAYS} days, hourly", hourly(24), None),
    ):
        one_by_one = [[_for_board(step, number) for step in series] for number in range(24)]
        our_s = _best(lambda series=series: board.dry(charge, series), 5)
        singly_s = _best(lambda parts=one_by_one: [board.dry(*pair) for pair in zip(charge, parts, strict=True)], 1)
        wanted, met = "", ""
        if budget:
            wanted, met = f"at most {budget:g} ms", "met" if 1e3 * our_s <= budget else "MISSED"
        ratio = f"{singly_s / our_s:.2f}"
        rows.append((what, f"{1e3 * our_s:.1f} ms", f"{1e3 * singly_s:.1f} ms", ratio, wanted, met))
    remarks.append("Charge: the other column is the same 24 boards one after another, by the same engine.")


def _for_board(step, number):
    return settings.Step(step.dry_bulb_c[number], step.wet_bulb_c, hours=step.hours)


def _problem(wood, steps):
    """The equations of one board as `board.dry` sets them up, without joining any settings."""
    given = settings.read_steps(steps, 1)
    free = np.array([free_water(wood.species)])
    face = board._faces((wood,), given, np.array([[wood.thickness_m / 2.0]]), free, STANDARD_PA)
    blocks = [diffusion.Block(length, face.block(number)) for number, length in enumerate(given.hours)]
    return Potential(free), blocks


def _finest(wood, steps, hours):
    potential, blocks = _problem(wood, steps)
    start = np.full((1, len(board._GRID.share)), START_PCT)
    record = diffusion.march(start, board._GRID, potential, blocks, 1e-4 * diffusion.TOLERANCE_PCT)
    return np.interp(hours, record.hours, (record.mc_pct @ board._GRID.share)[:, 0])


def _peer(wood, steps, hours, fine, wanted):
    """The loosest call that is as exact as wanted, its miss and its relative tolerance."""
    potential, blocks = _problem(wood, steps)
    grid = board._GRID
    across, last = grid.exchange.T.copy(), len(blocks) - 1
    starts = np.full(len(grid.share), START_PCT)
    sparsity = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(len(starts), len(starts)))

    def change(hour, mc):
        level, _ = potential(mc[None, :])
        loss, _, speed = blocks[min(int(hour), last)].face(level[:, 0])
        gain = (level[0] @ across) * speed[0]
        gain[0] -= loss[0]
        return gain

    for relative, absolute in TOLERANCES:

        def call(relative=relative, absolute=absolute):
            return solve_ivp(change, (0.0, hours[-1]), starts, "BDF", hours, jac_sparsity=sparsity,
                             rtol=relative, atol=absolute)  # fmt: skip

        miss = np.abs(grid.share @ call().y - fine).max()
        if miss <= wanted:
            break
    return call, miss, relative


def _best(function, repeats):
    """Shortest of several runs [s] after one warm one."""
    function()
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        function()
        times.append(time.perf_counter() - begun)
    return min(times)


if __name__ == "__main__":
    table, below = [], []
    run(table, below)
    for what, ours, peer, ratio, budget, met in table:
        print(f"{what:40} ours {ours:>9}  other {peer:>10}  ratio {ratio:>6}  {budget} {met}".rstrip())
    print("\n".join(below))
    sys.exit(0 if all(row[-1] != "MISSED" for row in table) else 1)
