"""The scenes of the machine: what each situation is there to show."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from physics.machine.reference import HEALTHY as OAK_AT_40
from physics.machine.reference import OAK as SLOW_OAK

from kilnlib.bench.panels.machine import Panel
from kilnlib.cases.machine import FAULTS, ICED_KG, LOADS, Result, State, load, work_out
from kilnlib.physics.machine import EXAMPLE, Chamber, Outdoors, Setting, load_of, run, steady
from kilnlib.physics.machine import State as PhysicsState
from kilnlib.units import c_to_f, f_to_c, to_si
from kilnlib.words import text

ROOT = Path(__file__).parents[2]
GALLON_KG = 3.785411784

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
    assert iced.hours == pytest.approx(24.0) and iced.bucket_kg == 0.0 and iced.wet_bulb_c > OAK.wet_bulb_c + 3.0
    assert vent.bucket_kg == 0.0 and vent.hours == 0.0 and vent.wet_bulb_c < OAK.wet_bulb_c - 3.0


def test_ice_grows_by_itself_to_what_the_situation_shows():
    """From a little ice more than a running coil thaws: no rest melts it, no water drains, and the wet bulb climbs."""
    wood, mc = load("oak")
    start = replace(PhysicsState.at(OAK.dry_bulb_c, f_to_c(101), mc), ice_kg=3.7)
    day = run(Chamber(), wood, start, Setting(OAK.dry_bulb_c, OAK.wet_bulb_c), Outdoors(OAK.outdoor_c), 24)
    assert day.states[-1].ice_kg > ICED_KG and day.drained_kg == 0.0 and day.part_hours("compressor") > 23.9
    assert day.wet_bulbs_c[-1] > OAK.wet_bulb_c + 3.0
    thin = run(Chamber(), wood, replace(start, ice_kg=2.0), Setting(OAK.dry_bulb_c, OAK.wet_bulb_c), Outdoors(), 24)
    assert thin.states[-1].ice_kg == 0.0 and thin.drained_kg > 20.0


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("outdoor_f", [0, 50, 100])
def test_every_scene_balances(load, fault, outdoor_f):
    for dry, wet in ((80, 70), (110, 98), (150, 110), (110, 110)):
        found = work_out(State(f_to_c(dry), f_to_c(wet), f_to_c(outdoor_f), load, fault))
        flows = found.steady.flows
        assert abs(flows.missing_w) < 1e-3 and abs(flows.missing_kgs) < 1e-9
        assert 0.0 <= found.hours <= 24.0 and 0.0 < found.rh_pct <= 100.0


def test_a_bare_kiln_never_gets_hot_and_a_good_one_has_heat_to_spare():
    bare, good = (work_out(State(f_to_c(150), f_to_c(110), load="last", fault=fault)) for fault in ("bare", "good"))
    assert bare.steady.state.dry_bulb_c < f_to_c(120) and bare.steady.flows.strips_w == pytest.approx(4000)
    assert good.steady.flows.strips_w < 1.0 and good.steady.flows.vent_w > 200


def test_with_the_strips_out_a_fixed_wet_bulb_keeps_the_compressor_off_in_full_air():
    cold = work_out(replace(OAK, fault="strips"))
    assert cold.hours == 0.0 and cold.bucket_kg == 0.0 and cold.rh_pct > 95
    assert cold.wet_bulb_c < OAK.wet_bulb_c - 5


# What lesson 09 and its key say of the example


def said(page, cell_id):
    cells = json.loads((ROOT / f"{page}.ipynb").read_text(encoding="utf-8"))["cells"]
    return "".join(next(cell["source"] for cell in cells if cell["id"] == cell_id))


def swapped(high_limit_f):
    setting = Setting(f_to_c(110), f_to_c(98), high_limit_c=f_to_c(high_limit_f), sensors=lambda dry, wet: (wet, dry))
    return run(Chamber(), SLOW_OAK, OAK_AT_40, setting, Outdoors(f_to_c(50)), 96)


def test_the_log_of_the_swapped_leads_is_a_run():
    log = re.findall(
        r"^\| (\d+) \| (\d+) \| (\d+) \| ([\d.]+) \|$", said("workbooks/09_the_machine", "find-the-fault"), re.M
    )
    days = swapped(c_to_f(EXAMPLE["high_limit"]))
    assert len(log) == 4 and not days.tripped
    for hour, dry, wet, lost in log:
        at = 60 * int(hour)
        assert c_to_f(days.wet_bulbs_c[at - 1]) == pytest.approx(float(dry), abs=0.6)
        assert c_to_f(days.dry_bulbs_c[at - 1]) == pytest.approx(float(wet), abs=0.6)
        assert 40.0 - days.states[at].mc_pct == pytest.approx(float(lost), abs=0.06)
    assert c_to_f(days.wet_bulbs_c.max()) < 115  # what the screen shows as dry bulb
    healthy = run(Chamber(), SLOW_OAK, OAK_AT_40, Setting(f_to_c(110), f_to_c(98)), Outdoors(f_to_c(50)), 24)
    assert 40.0 - healthy.states[-1].mc_pct == pytest.approx(1.4, abs=0.06)


@pytest.mark.parametrize(("limit_f", "within_h"), [(130, 6), (140, 12)])
def test_a_lower_high_limit_stops_it_in_time(limit_f, within_h):
    days = swapped(limit_f)
    assert days.tripped and days.dry_bulbs_c.argmax() < 60 * within_h


def test_with_the_vent_shut_in_summer_it_passes_150_on_the_third_day():
    wood, mc = load("oak")
    setting = Setting(f_to_c(110), f_to_c(98), held=(("vent", 0.0),))
    week = run(Chamber(), wood, PhysicsState.at(f_to_c(110), f_to_c(98), mc), setting, Outdoors(f_to_c(90)), 96)
    over = (week.dry_bulbs_c > f_to_c(150)).argmax() / (24 * 60)
    assert 2.0 < over < 3.0


def test_how_much_pine_the_example_can_hold():
    discussion = said("answers/09_the_machine_key", "discussion")
    assert "500 board feet hold that air; 1,000 stand at a wet bulb of 110, 2,000 at 118" in discussion
    setting = Setting(f_to_c(130), f_to_c(100))
    for feet, wet_f in ((500, 100), (1000, 110), (2000, 118)):
        pine = load_of(to_si(feet, "board_feet"), 0.34, 15.0, (f_to_c(110), f_to_c(91.2)), "air")
        start = PhysicsState.at(f_to_c(130), f_to_c(100), 100)
        found = Result(PINE, steady(Chamber(), pine, start, setting, Outdoors(f_to_c(50))))
        assert c_to_f(found.wet_bulb_c) == pytest.approx(wet_f, abs=0.6)


def test_the_key_lists_what_each_situation_shows():
    shown = said("answers/09_the_machine_key", "look-answers")
    for name, changes in Panel.presets.items():
        made = work_out(replace(OAK, **changes))
        air = f"{c_to_f(made.steady.state.dry_bulb_c):.0f} over {c_to_f(made.wet_bulb_c):.0f}"
        gallons = " | ".join(f"{mass / GALLON_KG:.1f}" for mass in (made.wood_kg, made.bucket_kg))
        row = f"| {text(f'machine.preset.{name}')} | {air} | {gallons} | {made.hours:.1f} | {made.kwh:.0f} |"
        assert row in shown
    look = said("workbooks/09_the_machine", "look")
    situations = {text(f"machine.preset.{name}") for name in Panel.presets}
    for words in ("Wet pine, too much for it", "Last points at 150 °F", "Coil iced over", "Vent stuck open",
                  "Green oak in summer", "Bare walls, 150 °F wanted"):  # fmt: skip
        assert words in situations and f"*{words}*" in look
