"""A charge in a kiln with mist: closed, its prongs straight after conditioning, nothing gained by it early."""

import collections
import random
from dataclasses import replace

import charge_players
import numpy as np
import pytest

from kilnlib.physics import charge
from kilnlib.physics.charge.players import reference
from kilnlib.physics.machine import EXAMPLE, Chamber
from kilnlib.tables import advice
from kilnlib.units import f_to_c

MIST = Chamber(mist_kgs=EXAMPLE["mist"])
SMALL = charge.Plan(green_mc_pct=30.0, board_feet=500.0 / 423.776, seed=1)
OAK = replace(SMALL, chamber=MIST)
MAPLE = charge.Plan(wood="hard maple", board_feet=1000.0 / 423.776, chamber=MIST)


def even(plan):
    """The reference's charge up to the morning on which it is even."""
    return charge.play(plan, lambda kiln: None if charge.even_day(kiln) is not None else reference(kiln))


def conditioned(kiln, days, dry_f=140.0):
    dry = f_to_c(dry_f)
    for _ in range(days):
        kiln = charge.next_day(kiln, charge.Decision(dry, charge.conditioning_wet_bulb_c(kiln.plan, dry), (), "even"))
    return kiln


@pytest.fixture(scope="module")
def finished():
    return charge.play(OAK, reference)


def ways(kiln):
    return collections.Counter(charge.outcome(kiln).prongs)


def test_water_and_heat_close_with_mist(finished):
    """Also of the boards alone: what they weigh more is of the mist, which is more than they took."""
    stretches = finished.truth.stretches
    lost = sum(float(np.abs(one.water_kg).sum()) for one in stretches)
    used = sum(one.electricity_kwh for one in stretches) * 3.6e6
    water, heat = charge.missing(finished)
    assert abs(water) < 1e-6 * lost and abs(heat) < 1e-6 * used
    last = stretches[-1]
    took = -float(last.water_kg.sum())
    assert 0.0 < took < last.mist_kg
    assert abs(finished.truth.owed_kg) < 1e-3 * lost
    wood = np.array([one.ovendry_kg for one in finished.truth.boards])
    start = np.array([one.board.start_mc_pct for one in finished.truth.boards])
    net = sum(float(one.water_kg.sum()) for one in stretches)
    assert net == pytest.approx(float(wood @ (start - finished.truth.mc_pct) / 100.0), rel=1e-6)


def test_with_mist_the_prongs_come_straight_and_without_they_stay_in(finished):
    dry = charge.play(OAK, lambda kiln: None if charge.ends(kiln)[1] else reference(kiln))
    assert ways(dry).most_common(1)[0][0] == "in"
    assert ways(finished)["straight"] >= 18
    assert charge.relieved(charge.sections(finished)) or charge.gained_enough(finished)
    assert ways(conditioned(finished, 1))["straight"] == 24
    assert finished.log[-1].mist_kg > 0.0
    assert 7.0 - 1.5 <= charge.outcome(finished).mean_mc_pct <= 7.0 + 1.5
    without = conditioned(even(replace(OAK, chamber=Chamber())), 3)
    assert ways(without)["straight"] <= 2 and without.log[-1].mist_kg == 0.0


def test_too_long_turns_maple_out_and_too_damp_turns_oak_out():
    """At 140 °F oak comes to rest at the air's EMC before it turns; damper air turns it."""
    kiln = even(MAPLE)
    assert ways(conditioned(kiln, 1))["out"] == 0 < ways(conditioned(kiln, 6))["out"]
    kiln = even(OAK)
    for _ in range(5):
        kiln = charge.next_day(kiln, charge.Decision(f_to_c(140.0), f_to_c(136.0)))
    assert ways(kiln)["out"] >= 12


def test_conditioning_before_equalizing_is_not_rewarded(finished):
    """Two days at 12 % and once more dried: the stress is back. Two days uneven at the end: the boards are off."""
    early = charge.play(OAK, lambda kiln: None if kiln.mean_mc_pct < 12.0 else reference(kiln))
    back = conditioned(early, 2)
    while not charge.ends(back)[1]:
        back = charge.next_day(back, reference(back))
    assert ways(back)["in"] >= 20
    uneven = conditioned(early, 2)
    best = charge.score(finished, finished)
    assert charge.score(back, finished).wood < best.wood - 3.0
    assert charge.score(uneven, finished).wood < best.wood - 3.0


def test_a_mist_on_drying_faces_over_wet_cores_costs_and_is_named():
    """Green maple in dry air for two days, then in damp: faces gain more than the row of advice.csv allows."""
    plan = charge.Plan(wood="hard maple", board_feet=500.0 / 423.776, chamber=MIST)
    days = [(110, 88), (110, 88), (110, 107), (110, 107), (110, 88)]
    misty, dry = (
        charge.replay(one, [charge.Decision(f_to_c(d), f_to_c(w)) for d, w in days])
        for one in (plan, replace(plan, chamber=Chamber()))
    )
    (loss,) = [one for one in charge.outcome(misty).losses if one.kind == "rewetted"]
    assert loss.boards and loss.day == 2 and loss.share_pct >= 5.0
    assert "rewetted" not in [one.kind for one in charge.outcome(dry).losses]
    wetted = [float(charge.rewetted_points(one).max()) for one in misty.truth.stretches]
    assert max(wetted) > advice("most_moister_at_once") and wetted.index(max(wetted)) // 2 <= 3


def test_the_reference_rewets_nothing_and_steps_of_the_card_do_not(finished):
    green = charge.play(charge.Plan(chamber=MIST, board_feet=500.0 / 423.776), reference, days=20)
    for kiln in (finished, green):
        assert "rewetted" not in [one.kind for one in charge.outcome(kiln).losses]


@pytest.mark.parametrize("wood", ["red oak, northern", "hard maple"])
def test_in_drying_the_mist_rests(wood):
    """By the card, up to equalizing: the wood gives the water, and the compressor takes it."""
    plan = charge.Plan(wood=wood, board_feet=1000.0 / 423.776, chamber=MIST)
    kiln = charge.play(plan, lambda kiln: None if charge.ends(kiln)[0] else reference(kiln))
    gallons = [one.mist_kg / 3.785 for one in kiln.log]
    assert len(gallons) > 10 and max(gallons) < 0.2


def test_dead_strips_leave_the_wet_bulb_down():
    plan = replace(OAK, green_mc_pct=8.0, fault="heater_dead", fault_day=0.0, start_day_of_year=15)
    kiln = conditioned(charge.start(plan), 3)
    assert kiln.log[-1].mist_kg < 2.0
    assert kiln.log[-1].wet_bulb_c < kiln.decisions[-1].wet_bulb_c - 5.0


def test_crossed_leads_call_no_mist():
    kiln = conditioned(charge.start(replace(OAK, fault="swapped_leads", fault_day=0.0)), 2)
    assert all(one.mist_kg == 0.0 for one in kiln.log)


def test_random_players_with_mist():
    for seed in range(6):
        plan = replace(charge_players.any_plan(random.Random(seed)), chamber=MIST)
        kiln = charge.play(plan, charge.PLAYERS["at_random"], days=4)
        charge_players.possible(kiln)
        charge.outcome(kiln)
