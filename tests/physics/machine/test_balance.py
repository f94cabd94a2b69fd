"""Where heat and water go: closed, and beside the sums of the notes."""

import math
from dataclasses import replace

import pytest
from physics.machine.reference import BOARD_FOOT_M3, HEALTHY, OAK, F, numbers, row, rows

from kilnlib.errors import OutOfRange
from kilnlib.physics.machine import (
    R_VALUES,
    Chamber,
    Outdoors,
    Running,
    State,
    balance,
    crack_m3s,
    load_of,
    thrown_out_j_kg,
    walls_w_k,
    warm_up_j,
)
from kilnlib.physics.storage import water_in_air_kg
from kilnlib.units import FT_M, LB_KG, to_si

W_K = 0.5275279  # 1 Btu/(h·°F)
BTU_LB = 2326.0
GAL_KG = 3.785411784
CFM = to_si(1.0, "air_flow")


@pytest.mark.parametrize("running", [Running(), Running(1), Running(0.3, 0.5), Running(1, 1, 1), Running(0, 0, 1)])
@pytest.mark.parametrize(
    "state", [HEALTHY, State.at(F(50), F(46), 80), State.at(F(150), F(110), 12), State.at(F(80), F(80), 60, F(60))]
)
def test_heat_and_water_close(running, state):
    found = balance(Chamber(), OAK, state, Outdoors(), running)
    gross = found.electricity_w + abs(found.brought_w) + abs(found.wood_w) + abs(found.air_w)
    assert abs(found.missing_w) < 1e-6 * gross
    assert abs(found.missing_kgs) < 1e-9
    assert found.condenser_w == pytest.approx(found.coil_sensible_w + found.coil_latent_w + found.compressor_w)


def test_the_sum_by_hand():
    """Written out from the parts for one running kiln: what warms the air, and its water, by kilograms and degrees."""
    chamber, density = Chamber(), 1.059  # kg of dry air in a cubic meter at 110/98 °F
    found = balance(chamber, OAK, HEALTHY, Outdoors(), Running(1.0, 0.5))
    walls, leak = chamber.walls_w_k * 60 / 1.8, 4 * CFM * density
    assert found.walls_w == pytest.approx(walls)
    assert found.strips_w == 2000 and found.fans_w == 750
    assert found.evaporation_w == pytest.approx(found.wood_kgs * 2.399e6, rel=0.003)  # steam table, 110 °F
    sensible = found.electricity_w + found.coil_latent_w - walls - leak * 1006 * 60 / 1.8
    sensible += found.drained_kgs * 1860 * (F(110) - found.work.coil.leaving_c)  # the vapor came in as warm as the air
    vapor = found.wood_kgs - found.drained_kgs - found.leak_kgs
    assert found.leak_kgs == pytest.approx(leak * (HEALTHY.humidity_ratio - 0.0053), rel=0.01)
    assert found.air_w - vapor * (2.501e6 + 1860 * F(110)) == pytest.approx(sensible, abs=5)


def test_walls():
    for name, words in (("good", "UA, walls R20"), ("ordinary", "UA, R11"), ("bare", "UA, bare")):
        value, tolerance = row(words)
        assert walls_w_k(R_VALUES[name]) / W_K == pytest.approx(value, abs=tolerance)
    value, tolerance = row("wall loss 60 F")
    assert Chamber().walls_w_k * 60 / 1.8 / 1e3 == pytest.approx(value, abs=tolerance)
    value, tolerance = row("power to hold 160")
    assert Chamber().walls_w_k * 110 / 1.8 / 1e3 == pytest.approx(value, abs=tolerance)


def test_a_vent_throws_out():
    for what, value, tolerance in rows("^vent heat per lb"):
        dry, wet, out = numbers(r"(\d+)/(\d+) F, outdoors (\d+) F", what)
        (rh,) = numbers(r"outdoors \d+ F (\d+) %", what)
        heat = thrown_out_j_kg(F(dry), F(wet), Outdoors(F(out), rh)) / BTU_LB
        assert heat == pytest.approx(value, abs=tolerance)
    state = State.at(F(110), F(95), 30)
    found = balance(replace(Chamber(), leak_m3s=0.0), OAK, state, Outdoors(), Running(vent=1.0))
    value, tolerance = row("thrown out, .* water")
    assert found.vent_kgs * 86400 / GAL_KG == pytest.approx(value, abs=tolerance)
    value, tolerance = row("thrown out, .* total heat")
    assert found.vent_w / 1e3 == pytest.approx(value, abs=tolerance)
    assert found.leak_kgs == 0.0


def test_what_a_gallon_takes_and_what_the_air_holds():
    dried = balance(Chamber(), OAK, HEALTHY, Outdoors(), Running())
    value, tolerance = row("latent heat in one gallon at 110 F")
    assert dried.evaporation_w / dried.wood_kgs * GAL_KG / 3.6e6 == pytest.approx(value, abs=tolerance)
    value, tolerance = row("water vapour in 900 ft3 of free air at 110/95 F")
    assert water_in_air_kg(Chamber().free_air_m3, F(110), F(95)) / GAL_KG == pytest.approx(value, abs=tolerance)


def test_a_crack():
    flow = crack_m3s(0.25 * 0.0254, 8 * FT_M, F(110), F(50))
    assert flow / CFM == pytest.approx(10.7, abs=0.6)
    found = balance(replace(Chamber(), leak_m3s=flow), OAK, State.at(F(110), F(95), 30), Outdoors(), Running())
    value, tolerance = row("that crack: water")
    assert found.leak_kgs * 86400 / GAL_KG == pytest.approx(value, abs=tolerance)
    value, tolerance = row("that crack: heat")
    assert found.leak_w / 1e3 == pytest.approx(value, abs=tolerance)


def test_warming_a_load():
    for words, gravity, mc, to_f in (("green red oak", 0.56, 80, 100), ("green white pine", 0.34, 100, 110)):
        load = load_of(2000 * BOARD_FOOT_M3, gravity, 1.0, (F(110), F(98)))
        value, tolerance = row("warm-up 2000 bf", words)
        assert warm_up_j(load, mc, F(40), F(to_f)) / 3.6e6 == pytest.approx(value, abs=tolerance)
    value, tolerance = row("ice melt in 2000 bf")
    ice = warm_up_j(OAK, 80, F(30), F(40), frozen=True) - warm_up_j(OAK, 80, F(30), F(40))
    assert ice / 3.6e6 == pytest.approx(value, abs=tolerance)


def test_gallons_of_a_point():
    for what, value, tolerance in rows("water per point of MC per 1000 bf"):
        (gravity,) = numbers(r"\(SG ([\d.]+)\)", what)
        load = load_of(1000 * BOARD_FOOT_M3, gravity, 1.0, (F(110), F(98)))
        assert load.ovendry_kg / 100 / (8.33 * LB_KG) == pytest.approx(value, abs=tolerance)


def test_the_pace_holds_in_its_own_air():
    vapor = 0.65 * 8786
    for decides in ("wood", "air"):
        load = load_of(2000 * BOARD_FOOT_M3, 0.56, 1.5, (F(110), F(98)), decides)
        state = State.at(F(110), F(98), 60)
        vapor = 101325 * state.humidity_ratio / (0.621945 + state.humidity_ratio)
        assert load.water_kgs(60, F(110), vapor) == pytest.approx(load.ovendry_kg * 0.015 / 86400, rel=1e-3)
        assert load.water_kgs(60, F(130), vapor) > 1.3 * load.water_kgs(60, F(110), vapor)
        assert load.water_kgs(15, F(110), vapor) < load.water_kgs(25, F(110), vapor)
        assert load.water_kgs(60, F(90), vapor * 2) == 0.0
    assert math.isfinite(vapor)


def test_out_of_range_is_said():
    with pytest.raises(OutOfRange):
        balance(Chamber(), OAK, HEALTHY, Outdoors(F(200)), Running())
    with pytest.raises(OutOfRange):
        balance(Chamber(), OAK, State.at(95.0, 60.0, 10), Outdoors(), Running())
