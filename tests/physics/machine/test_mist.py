"""A mist in the kiln: heat and water stay closed, the wet bulb comes up to its dial, as far as heat allows."""

from dataclasses import replace

import numpy as np
import pytest
from physics.machine.reference import OAK, F
from physics.machine.test_run import stored_j, stored_kg

from kilnlib.physics.air.scalars import _enthalpy_j_kg
from kilnlib.physics.machine import EXAMPLE, Chamber, Outdoors, Setting, State, run
from kilnlib.physics.machine.mist import MIST_J_KG, misted
from kilnlib.physics.machine.run import _air_kg
from kilnlib.units import c_to_f

DRY_OAK = replace(OAK, pace_points_per_day=0.0)
START = State.at(F(140), F(110), 7.0)
MIST = Chamber(mist_kgs=EXAMPLE["mist"])
DIAL = Setting(F(140), F(128))


def test_heat_and_water_close_with_mist():
    result = run(MIST, DRY_OAK, START, DIAL, Outdoors(), 24)
    start, end = START, result.states[-1]
    water = result.mist_kg
    heat = result.electricity_kwh * 3.6e6
    brought = water * EXAMPLE["mist_water"] * 4186.0
    out = sum(result.total(name) for name in ("walls_w", "leak_w", "vent_w", "drained_w"))
    kept = stored_j(MIST, DRY_OAK, start, end) - stored_j(MIST, DRY_OAK, start, start)
    assert water > 5.0
    assert abs(heat + brought - out - kept) < 1e-6 * heat
    gained = stored_kg(MIST, DRY_OAK, start, end) - stored_kg(MIST, DRY_OAK, start, start)
    left = result.drained_kg + result.total("leak_kgs") + result.total("vent_kgs")
    assert water == pytest.approx(gained + left, rel=1e-6)


def test_each_minute_closes_and_the_air_keeps_what_its_flows_say():
    """Mist, boards and leaks are what the air keeps; the heat that the water brings is the only one not in a flow."""
    result = run(MIST, DRY_OAK, START, DIAL, Outdoors(), 6)
    kept = result.states[-1].humidity_ratio - START.humidity_ratio
    assert result.total("air_kgs") == pytest.approx(_air_kg(MIST, START) * kept, rel=1e-9)
    brought = result.total("air_kgs") + result.total("leak_kgs") - result.total("wood_kgs") - result.total("faces_kgs")
    assert brought == pytest.approx(result.mist_kg, rel=1e-9)
    air = misted(START, 0.01)
    gained = _enthalpy_j_kg(air.dry_bulb_c, air.humidity_ratio) - _enthalpy_j_kg(START.dry_bulb_c, START.humidity_ratio)
    assert (
        gained == pytest.approx(0.01 * MIST_J_KG) and START.dry_bulb_c - 26.0 < air.dry_bulb_c < START.dry_bulb_c - 20.0
    )


def test_its_heat_comes_from_the_strips():
    """A kilogram more of mist asks for the heat of evaporation more: 2.4 to 2.7 MJ, from water at 50 °F."""
    leaky = replace(MIST, leak_m3s=10.0 * MIST.leak_m3s)
    dry, misty = (run(chamber, DRY_OAK, START, DIAL, Outdoors(F(130), 10.0), 48) for chamber in (
        replace(leaky, mist_kgs=0.0), leaky))  # fmt: skip
    more_j = (misty.electricity_kwh - dry.electricity_kwh) * 3.6e6
    more_j -= misty.total("walls_w") - dry.total("walls_w")
    assert 2.3e6 < more_j / misty.mist_kg < 2.8e6


@pytest.mark.parametrize(("most", "reaches"), [(0.0, False), (EXAMPLE["mist"], True)])
def test_the_wet_bulb_comes_up_with_mist_and_not_without(most, reaches):
    wet_f = c_to_f(run(replace(MIST, mist_kgs=most), DRY_OAK, START, DIAL, Outdoors(), 12).wet_bulbs_c[-300:].mean())
    assert (abs(wet_f - 128.0) < 1.0) == reaches


@pytest.mark.parametrize("held", [(("strips", 0.0),), ()])
def test_a_mist_without_heat_rests_and_drowns_nothing(held):
    """Strips that are dead, or a dial beyond them: the wet bulb stays down, and the dry bulb is not pulled down."""
    setting = Setting(F(155), F(143), held=held)
    cold = replace(Chamber(walls_w_k=3.0 * MIST.walls_w_k), mist_kgs=MIST.mist_kgs)
    start = State.at(F(130), F(110), 7.0)
    dry, misty = (run(chamber, DRY_OAK, start, setting, Outdoors(F(20)), 24) for chamber in (
        replace(cold, mist_kgs=0.0), cold))  # fmt: skip
    assert misty.wet_bulbs_c[-1] < F(143) - 3.0
    assert misty.dry_bulbs_c[-1] == pytest.approx(dry.dry_bulbs_c[-1], abs=0.5)
    assert misty.mist_kg == pytest.approx(0.0, abs=0.1)


def test_the_compressor_rests_while_it_mists():
    result = run(MIST, DRY_OAK, START, DIAL, Outdoors(), 24)
    assert result.part_hours("compressor") == 0.0
    assert 0.0 < result.mist_kg <= MIST.mist_kgs * 24 * 3600.0


def test_a_kiln_without_mist_is_as_it_was():
    """Nothing of it is added to any number."""
    result = run(Chamber(), OAK, START, DIAL, Outdoors(), 3)
    assert result.mist_kg == 0.0 and np.isfinite(result.flows).all()
