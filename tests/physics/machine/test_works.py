"""The grid that a run takes the machine's work from, beside the work itself."""

import random

import pytest

from kilnlib.physics.machine import Chamber, Machine, State, machine_work
from kilnlib.physics.machine.balance import Pull
from kilnlib.physics.machine.works import Works

SEA_PA = 101325.0
SHARE = 0.002  # of the water and of the electricity
LEAST_KGS = 1e-4  # about two gallons a day: of less the share is one of next to nothing


def airs(count, seed=1):
    """Airs in which a compressor may run, from 16 to 71 °C."""
    dice = random.Random(seed)
    for _ in range(count):
        dry = dice.uniform(16.0, 71.0)
        yield State.at(dry, dry - dice.uniform(0.0, 25.0), 30.0)


@pytest.mark.parametrize("machine", [Machine(), Machine(coil_air_m3s=0.06 * Machine().coil_air_m3s)])
def test_between_its_points_it_is_the_machine(machine):
    """Ice is taken to the nearest step, so it is on one here."""
    known, freezing = Works(machine, SEA_PA), 0
    for at, state in enumerate(airs(600)):
        ice = (0.0, 0.0, 1.0)[at % 3]
        ours, exact = (of(state.dry_bulb_c, state.humidity_ratio, ice) for of in (known.at, work_of(machine)))
        ours = Pull(*ours)
        if abs(exact.coil_c) < 0.01:  # the heat of ice jumps there, and the coil's heat may be that on either side
            freezing += 1
            continue
        assert ours.compressor_w == pytest.approx(exact.compressor_w, rel=SHARE)
        assert ours.heat_w == pytest.approx(exact.coil.heat_w, rel=SHARE)
        assert ours.water_kgs == pytest.approx(exact.coil.water_kgs, rel=SHARE, abs=SHARE * LEAST_KGS)
        assert ours.ices == exact.ices
    assert freezing < 12


def work_of(machine):
    return lambda dry, ratio, ice: machine_work(machine, dry, ratio, SEA_PA, ice)


def test_a_pull_is_what_the_kiln_feels_of_the_work():
    work = machine_work(Chamber().machine, 43.21, 0.0387, SEA_PA)
    assert work.pull.compressor_w + work.pull.heat_w == pytest.approx(work.condenser_w, rel=1e-12)
    assert work.pull.latent_w == work.coil.latent_w and work.pull.water_kgs == work.coil.water_kgs
