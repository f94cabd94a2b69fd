"""Players: none breaks the kiln, the careful one does best, and nothing is gained by Undo or by going in hot."""

import charge_players
import numpy as np
import pytest

from kilnlib.physics import charge
from kilnlib.physics.charge.players import reference
from kilnlib.physics.charge.score import MOST
from kilnlib.units import f_to_c

SEEDS = (1, 2, 3)  # charge_players.py takes fifty of red oak


@pytest.mark.parametrize("first", range(0, 30, 10))
def test_random_players(first):
    """Three days each of anything at all, in any season, with any fault; charge_players.py runs two hundred."""
    for seed in range(first, first + 10):
        charge_players.any_player(seed, days=3)


def test_the_reference_beats_the_others():
    medians = charge_players.medians(SEEDS, "yellow-poplar")
    print({name: round(value, 1) for name, value in medians.items()})
    for name in charge.PLAYERS:
        if name != "reference":
            assert medians["reference"] > medians[name] + 5.0, name


def test_nothing_is_gained_by_undo_or_by_going_in_hot():
    plan = charge.Plan(wood="yellow-poplar")
    best = charge.play(plan, reference)
    plain = charge.score(best, best)
    assert charge.score(best, best, undone=1).total < plain.total
    assert charge.score(best, best, entered_hot=1).total == 0.0
    assert plain.total <= sum(MOST.values()) == 100.0


def test_each_part_can_be_lost():
    """A charge dried too hard, without reasons, stopped wet: each part is less than the reference's."""
    plan = charge.Plan(wood="yellow-poplar")
    best = charge.play(plan, reference)
    poor = charge.play(plan, charge.PLAYERS["always_hard"], days=6)
    good, bad = charge.score(best, best), charge.score(poor, best)
    for part in ("wood", "log", "decisions", "days_and_energy"):
        assert getattr(bad, part) < getattr(good, part), part


def lost_in_five_days(dry_f, wet_f):
    """Value that green oak lost on its faces and in its core in five days of one setting [% of its price]."""
    kiln = charge.replay(charge.Plan(), [charge.Decision(f_to_c(dry_f), f_to_c(wet_f))] * 5)
    return sum(loss.share_pct for loss in charge.outcome(kiln).losses if loss.kind != "wet")


def test_the_hotter_the_start_the_more_is_lost():
    """A start at 140/100 is not kinder to green oak than one at 120/90, though its check index is lower."""
    mild, hard, hot = (lost_in_five_days(*bulbs) for bulbs in ((110, 106), (120, 90), (140, 100)))
    assert mild < 1.0 and 10.0 < hard < hot


def test_a_charge_that_lost_a_third_has_failed():
    """With a reason each day, the card followed afterward and an even end, a load spoiled by its first days fails."""
    plan = charge.Plan(board_feet=1000.0 / 423.776)
    best, hard = charge.play(plan, reference), charge.Decision(f_to_c(120.0), f_to_c(90.0), (), "quick")
    spoiled = charge.play(plan, lambda kiln: hard if kiln.day < 5 else reference(kiln))
    points = charge.score(spoiled, best)
    assert charge.outcome(spoiled).lost_pct > 20.0
    assert points.log == MOST["log"] and points.failed and points.total < 40.0
    assert not charge.score(best, best).failed
    assert list(MOST.values()) == sorted(MOST.values(), reverse=True), "wood, log, decisions, days and energy"


def test_each_loss_names_its_morning():
    """A dry wick from day 4 of green oak opens checks, and none before that day."""
    plan = charge.Plan(fault="dry_wick", fault_day=4.0)
    mild = charge.Decision(43.3, 41.1)
    kiln = charge.start(plan)
    for _ in range(9):
        kiln = charge.next_day(kiln, mild)
    checks = next(loss for loss in charge.outcome(kiln).losses if loss.kind == "surface_checks")
    assert checks.boards and checks.day >= 4
    looks = charge.faces(kiln)
    assert len(looks) == kiln.day + 1
    assert not any(look.checked for look in looks[:5]) and looks[-1].checked


def test_a_charge_stopped_too_soon_is_wet_and_too_late_is_overdried():
    plan = charge.Plan(green_mc_pct=14.0, target_pct=10.0)
    dry_air = charge.Decision(60.0, 35.0)
    early = charge.next_day(charge.start(plan), dry_air)
    assert {loss.kind for loss in charge.outcome(early).losses} == {"wet"}
    late = early
    for _ in range(12):
        late = charge.next_day(late, dry_air)
    kinds = {loss.kind: loss for loss in charge.outcome(late).losses}
    assert "overdried" in kinds and "wet" not in kinds
    assert 1 <= kinds["overdried"].day < 12


def test_a_sheet_of_parts_is_joined_without_a_gap():
    kiln = charge.play(charge.Plan(wood="yellow-poplar"), reference, days=4)
    from kilnlib.physics.charge.outcome import _joined

    history = _joined(kiln.truth.stretches)
    assert (np.diff(history.hours) > 0.0).all() and history.hours[-1] == pytest.approx(96.0)
    assert history.average_pct[-1] == pytest.approx(kiln.truth.mc_pct)
    start = np.array([one.board.start_mc_pct for one in kiln.truth.boards])
    assert history.lost_pct[-1] == pytest.approx(start - kiln.truth.mc_pct, abs=1e-6)


def test_the_reference_brings_oak_to_target():
    kiln = charge.play(charge.Plan(), reference)
    end = charge.outcome(kiln)
    assert 5.0 <= end.mean_mc_pct <= 8.0
    assert not any(loss.kind == "surface_checks" for loss in end.losses)
