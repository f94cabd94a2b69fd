"""The scenes of the machine: what each situation is there to show."""

from dataclasses import replace

import pytest

from kilnlib.cases.machine import FAULTS, LOADS, State, work_out
from kilnlib.units import f_to_c

OAK = State()
PINE = State(f_to_c(130), f_to_c(100), load="pine")


def test_green_oak_asks_little_of_the_machine():
    found = work_out(OAK)
    assert 3 < found.hours < 10 and 0.8 < found.bucket_kg / found.wood_kg < 1.0
    assert found.wet_bulb_c == pytest.approx(OAK.wet_bulb_c, abs=0.6)


def test_wet_pine_is_too_much_for_it():
    found = work_out(PINE)
    assert found.hours == pytest.approx(24.0) and found.wet_bulb_c > PINE.wet_bulb_c + 3.0
    assert found.rh_pct > 50.0  # asked for 36


def test_the_last_points_are_the_dear_ones():
    last = work_out(State(f_to_c(150), f_to_c(110), load="last"))
    assert last.bucket_kg / last.kwh < 0.7 * work_out(OAK).bucket_kg / work_out(OAK).kwh


def test_ice_and_an_open_vent_empty_the_bucket_in_two_ways():
    iced, vent = work_out(replace(OAK, fault="iced")), work_out(replace(OAK, fault="vent"))
    assert iced.hours > 2 * work_out(OAK).hours
    assert vent.bucket_kg == 0.0 and vent.hours == 0.0 and vent.wet_bulb_c < OAK.wet_bulb_c - 3.0


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("outdoor_f", [0, 50, 100])
def test_every_scene_balances(load, fault, outdoor_f):
    for dry, wet in ((80, 70), (110, 98), (150, 110), (110, 110)):
        found = work_out(State(f_to_c(dry), f_to_c(wet), f_to_c(outdoor_f), load, fault))
        flows = found.steady.flows
        assert abs(flows.missing_w) < 1e-3 and abs(flows.missing_kgs) < 1e-9
        assert 0.0 <= found.hours <= 24.0 and 0.0 < found.rh_pct <= 100.0
