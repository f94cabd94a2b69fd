"""Ending a charge: the three numbers, the air, this kiln's reach, a whole charge, the prongs, what is refused."""

from types import SimpleNamespace

import numpy as np
import pytest

from kilnlib import tables, units
from kilnlib.bench.panels import finish as finish_panel
from kilnlib.cases import finish as finish_case
from kilnlib.errors import BadInput, OutOfRange
from kilnlib.physics import air, stress
from kilnlib.physics.air import emc
from kilnlib.physics.conditioning import air_for, condition, equalize, finish, hold, prong_test, uneven
from kilnlib.physics.conditioning.charge import one_board
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.schedules.finishing import WOODS
from kilnlib.questions import calculator
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
KILN = ThisKiln()
PRESSURE_PA = air.pressure_pa(KILN.altitude_m)
EIGHTH_M = 0.125 * units.IN_M
ROWS = [row for row in tables.records("worked_examples") if row["group"].startswith("equalize-")]


# --- the numbers ----------------------------------------------------------------------------------------------------


def test_the_rows_for_seven_percent_are_read_in_print_and_need_no_memory():
    """Everything a hardwood charge for 7 % needs stands in rows that were retrieved; memory only carries it further."""
    printed = {row["id"]: row for row in ROWS if row["how"] == "retrieved"}
    assert {"EQ01", "TR31-EMC", "TR31-STOP", "EQ03-C"} <= set(printed)
    plan = equalize(7.0)
    got = (plan.start_driest_pct, plan.emc_pct, plan.stop_wettest_pct, condition(7.0).emc_pct)
    assert got == tuple(float(printed[name]["expected"]) for name in ("EQ01", "TR31-EMC", "TR31-STOP", "EQ03-C"))
    assert (plan.how, condition(7.0).how, plan.other) == ("retrieved", "retrieved", None)


def test_what_is_from_memory_says_so():
    remembered = [row for row in ROWS if row["how"] == "memory"]
    assert len(remembered) >= 9
    assert all("AH-188" in row["source"] for row in remembered)
    assert condition(8.0).how == "memory"
    assert condition(7.0, "softwood").how == "memory"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_every_row(row):
    assert abs(calculator.value(row["call"]) - float(row["expected"])) <= float(row["tolerance"])


@pytest.mark.parametrize("wood", ["softwood", "lower-grade hardwood"])
def test_two_sources_differ_on_softwoods_and_lower_grades_and_both_are_shown(wood):
    plan = equalize(7.0, wood)
    assert (plan.start_driest_pct, plan.emc_pct) == (5.0, 5.0)
    assert (plan.other.start_driest_pct, plan.other.emc_pct, plan.other.stop_wettest_pct) == (4.0, 4.0, 7.0)
    assert plan.source != plan.other.source


def test_numbers_and_arrays_alike():
    targets = np.array([6.0, 8.0, np.nan])
    assert equalize(targets).start_driest_pct == pytest.approx([4.0, 6.0, np.nan], nan_ok=True)
    assert condition(targets, "softwood").emc_pct == pytest.approx([9.0, 11.0, np.nan], nan_ok=True)
    assert np.isnan(equalize(np.nan).emc_pct)
    assert isinstance(equalize(7).emc_pct, float)


# --- the air, and this kiln -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("wanted", [4.0, 5.0, 8.0, 11.0, 14.0])
@pytest.mark.parametrize("dry_f", [110, 150, 180])
def test_settings_give_the_emc_they_were_asked_for(wanted, dry_f):
    found = air_for(wanted, F(dry_f), PRESSURE_PA)
    assert emc.emc_pct_from_bulbs(found.dry_bulb_c, found.wet_bulb_c, PRESSURE_PA) == pytest.approx(wanted, abs=1e-5)
    assert found.depression_c == pytest.approx(found.dry_bulb_c - found.wet_bulb_c)


def codes(found):
    return [notice.code for notice in found.advice]


def test_equalizing_is_within_reach_of_a_small_kiln_and_conditioning_is_not_with_its_coil_on():
    """FOR-128 p. 54: 150/115 °F is allowed under a coil limit of 120 °F, 160/149 °F is not."""
    ease = hold(air_for(5.0, F(150), PRESSURE_PA), KILN)
    assert (ease.coil_running, ease.coil_resting, codes(ease)) == (True, True, ["reach_yes"])
    relief = hold(air_for(11.0, F(160), PRESSURE_PA), KILN)
    assert (relief.coil_running, relief.coil_resting, codes(relief)) == (False, True, ["reach_coil"])
    said = relief.advice[0].sentence("trade")
    assert "148 °F" in said and "120 °F" in said and "an hour" in said and "mist or steam" in said


def test_the_coil_limit_itself_is_allowed():
    wanted = air_for(5.0, F(150), PRESSURE_PA)
    kiln = SimpleNamespace(**vars(KILN) | {"coil_wet_bulb_limit_c": wanted.wet_bulb_c})
    assert hold(wanted, kiln).coil_running


def test_too_hot_and_too_dry_for_this_kiln():
    hot = hold(air_for(11.0, F(180), PRESSURE_PA), KILN)
    assert not hot.coil_resting and codes(hot) == ["reach_hot", "reach_coil"]
    assert "At 160 °F a wet bulb of 148 °F gives the same EMC" in hot.advice[0].sentence("trade")
    dry_air = hold(air_for(4.0, F(140), PRESSURE_PA), KILN)
    assert not dry_air.coil_running and codes(dry_air) == ["reach_dry_hotter"]
    assert codes(hold(air_for(3.0, F(150), PRESSURE_PA), KILN)) == ["reach_dry"]


# --- a whole charge -------------------------------------------------------------------------------------------------

BOARDS = [
    Board(start_mc_pct=15.0, rate_factor=1.3),
    Board(start_mc_pct=20.0),
    Board(start_mc_pct=28.0, rate_factor=0.7),
]
BOTH_C = (F(150), F(160))


@pytest.fixture(scope="module")
def dried():
    return dry(BOARDS, [Step(F(150), emc_pct=4.0, hours=900.0)], PRESSURE_PA)


def done(dried, **changes):
    given = {"condition_hours": 20.0, "pressure_pa": PRESSURE_PA} | changes
    return finish(BOARDS, dried, equalize(7.0), condition(7.0), BOTH_C, **given)


def test_equalizing_begins_on_the_driest_and_ends_on_the_wettest(dried):
    found = done(dried)
    before, after = (at_hours(found.history, end).average_pct[0] for end in found.ends_h[:2])
    assert found.dried.driest_pct == pytest.approx(5.0, abs=0.01)
    assert before.max() > 7.5
    assert after.max() == pytest.approx(7.0, abs=0.01)
    assert found.equalized.driest_pct >= 4.9
    assert np.ptp(after) < 0.7 * np.ptp(before)
    assert (found.dried.too_wet > 0, found.equalized.too_wet, found.equalized.too_dry) == (True, 0, 0)
    assert found.dried.advice.code == "end_equalize" and found.equalized.advice.code == "end_even"


def test_conditioning_adds_water_and_water_is_kept(dried):
    found = done(dried)
    assert found.conditioned.average_pct > found.equalized.average_pct + 0.5
    history = found.history
    assert np.all(np.diff(history.hours) > 0.0)
    assert history.hours[-1] == pytest.approx(found.ends_h[2])
    gone = history.average_pct[0] - history.average_pct
    assert gone == pytest.approx(history.lost_pct, abs=1e-6)
    single = one_board(history, 2)
    assert single.average_pct == pytest.approx(history.average_pct[:, 2])
    assert single.profile_pct.shape[1] == len(single.depth_m)


def test_the_clock_ends_a_wide_charge_too_soon_and_a_late_start_overdries(dried):
    by_clock = done(dried, equalize_hours=24.0)
    assert at_hours(by_clock.history, by_clock.ends_h[1]).average_pct.max() > 7.3
    assert by_clock.ends_h[1] - by_clock.ends_h[0] == pytest.approx(24.0)
    late = done(dried, start_pct=4.3)
    assert late.dried.too_dry >= 1 and late.dried.advice.code == "end_too_dry"
    skipped = done(dried, equalize_hours=0.0, condition_hours=0.0)
    assert skipped.ends_h[0] == skipped.ends_h[2] == skipped.history.hours[-1]
    assert skipped.conditioned.average_pct == skipped.dried.average_pct


def test_more_hours_of_conditioning_add_more_water(dried):
    gains = [done(dried, condition_hours=hours).conditioned.average_pct for hours in (0.0, 10.0, 20.0, 40.0)]
    assert np.all(np.diff(gains) > 0.0)
    assert gains[-1] < 11.0


def test_a_charge_that_never_gets_there_is_refused(dried):
    with pytest.raises(BadInput) as caught:
        done(dried, start_pct=1.0)
    assert "or start sooner" in str(caught.value)


def test_stages_by_the_samples():
    plan = equalize(7.0)
    assert uneven([9.0, 7.0, 6.0], plan).advice.code == "end_dry_on"
    assert uneven([9.0, 7.0, 5.0], plan).advice.code == "end_equalize"
    assert uneven([7.0, 6.0, 5.2], plan).advice.code == "end_even"
    assert uneven([9.0, 6.0, 4.0], plan).advice.code == "end_too_dry"
    unknown = uneven([9.0, np.nan], plan)
    assert unknown.advice.code == "end_unknown" and np.isnan(unknown.average_pct)
    assert "EMC of 5.0 %" in uneven([9.0, 5.0], plan).advice.sentence("trade")


# --- the published case ---------------------------------------------------------------------------------------------


def gain(first_f, then_f, rate=1.0):
    """Points that an even 4/4 red oak board gains in two steps of 17 h at 170 °F."""
    steps = [Step(F(170), F(wet), hours=17.0) for wet in (first_f, then_f)]
    return dry(Board(start_mc_pct=5.5, rate_factor=rate), steps).average_pct[-1] - 5.5


def test_the_published_conditioning_case():
    """NC State, 4/4 red oak: 5.5 to 6.75 % in 34 h at 170 °F, 149 then 156 °F. Ours gains 1.09 times that.

    Nothing was tuned on it. How the hours were shared is not printed: the ratio runs from 0.7 (all at 149 °F) to 1.4
    (all at 156 °F).
    """
    case = {row["item"]: float(row["low"]) for row in tables.records("finishing") if row["item"].startswith("case_")}
    published = case["case_after"] - case["case_before"]
    assert published == 1.25
    ratio = gain(149, 156) / published
    print(f"gain in the published conditioning case, ours over published: {ratio:.2f}")
    assert ratio == pytest.approx(1.09, abs=0.03)  # what tables/finishing.csv and `finish` say of it
    ends = (gain(149, 149) / published, gain(156, 156) / published)
    assert ends == (pytest.approx(0.7, abs=0.05), pytest.approx(1.36, abs=0.05))


def test_a_middling_board_comes_straight_within_the_hours_in_print():
    """16 to 24 h from memory, 34 in one printed case. The stress is tuned on the first of a board like this one."""
    rows = [row for row in tables.records("finishing") if (row["item"], row["thickness"]) == ("condition_hours", "4/4")]
    low, high = min(float(row["low"]) for row in rows), max(float(row["high"]) for row in rows)
    run = finish_case.run_to_end(7.0, 5.0, "wettest", 72.0, ThisKiln())
    hours = np.arange(73.0)
    bends = [stress.prongs(run.stress, run.finish.ends_h[1] + hour).tip_m[finish_case.SHOWN[1]] for hour in hours]
    straight = hours[np.abs(bends) <= EIGHTH_M]
    print(f"straight from {straight[0]:.0f} to {straight[-1]:.0f} h; in print {low:.0f} to {high:.0f}")
    assert straight[0] == pytest.approx(16.0, abs=2.0) and straight[-1] == pytest.approx(71.0, abs=2.0)
    assert np.any((straight >= low) & (straight <= high))
    assert bends[0] > EIGHTH_M and bends[-1] < -EIGHTH_M  # in before, out when it goes on too long


def test_only_an_equalized_charge_has_hours_in_print_that_suit_all_its_boards():
    """Twelve boards, equalized by the rule, by the clock, or not: how many sections are straight, every four hours."""
    straight = {}
    for stop in finish_case.STOPS:
        results = [
            finish_case.work_out(finish_case.State(stop=stop, condition_h=hours, day=16.0)) for hours in range(0, 73, 4)
        ]
        straight[stop] = [result.count("straight") for result in results]
        wettest = results[0].mcs_pct.max()
        assert wettest == pytest.approx({"wettest": 7.0, "clock": 8.85, "none": 9.65}[stop], abs=0.05)
    print("straight of 12:", straight)
    # What lesson 11 and its key say: by the rule all from 32 h on, by the clock from 56, without equalizing from 64.
    assert [counts.index(12) * 4 for counts in straight.values()] == [32, 56, 64]
    assert [counts[24 // 4] for counts in straight.values()] == [11, 1, 0]


def test_waiting_too_long_saves_no_day_and_overdries():
    rule, late = (finish_case.work_out(finish_case.State(below=below, day=16.0)) for below in (2.0, 2.6))
    assert rule.state.start_pct == 5.0 and late.state.start_pct == 4.4
    assert late.run.ends[1] > rule.run.ends[1]
    assert (rule.lowest_pct, late.lowest_pct) == (pytest.approx(5.0, abs=0.01), pytest.approx(4.4, abs=0.01))
    averages = [result.run.finish.equalized.average_pct for result in (rule, late)]
    assert averages == [pytest.approx(5.6, abs=0.05), pytest.approx(5.0, abs=0.05)]
    assert rule.gain_points == pytest.approx(1.5, abs=0.05)


@pytest.mark.parametrize("target_pct", [6.5, 8.0, 10.0, 12.0])
def test_the_start_moves_with_the_target(target_pct):
    run = finish_case.work_out(finish_case.State(target_pct=target_pct, day=16.0)).run
    assert run.finish.dried.driest_pct == pytest.approx(target_pct - 2.0, abs=0.01)
    assert not run.finish.dried.too_dry and run.ends[2] <= finish_case.LAST_DAY


@pytest.mark.parametrize("typed", ["34", "34 h", "34 hours"])
def test_the_hours_of_conditioning_may_be_typed_with_their_unit(typed):
    panel = finish_panel.Panel()
    panel.type("condition_h", typed)
    assert panel.last_error is None and panel.state.condition_h == 34.0
    panel.close()


def test_the_card_says_low_point_and_gain():
    panel = finish_panel.Panel()
    panel.pick("late")
    said = panel.say(panel.result, "trade")
    low = dict(panel.readout(panel.result, "trade"))["Driest so far"]
    assert (
        low == "4.4 %" and "Before equalizing 1 of 12 were too dry" in said and "Conditioning added 1.6 points" in said
    )
    panel.pick("unrelieved")
    assert "onditioning" not in panel.say(panel.result, "trade")
    panel.close()


# --- prongs ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bends", "verdict"),
    [
        ([EIGHTH_M / 2] * 10, "pass"),  # 1/16 in on ten pieces: accepted in print
        ([EIGHTH_M] * 10, "pass"),  # the edge counts as straight
        ([EIGHTH_M / 2] * 9, "more"),
        ([EIGHTH_M / 2] * 9 + [2 * EIGHTH_M], "more"),
        ([2 * EIGHTH_M] + [0.0] * 29, "pass"),
        ([2 * EIGHTH_M] + [0.0] * 28 + [2 * EIGHTH_M], "longer"),
        ([-2 * EIGHTH_M] * 3 + [0.0] * 7, "reversed"),
        ([-2 * EIGHTH_M, 2 * EIGHTH_M] + [0.0] * 8, "more"),
        ([0.0] * 28 + [-2 * EIGHTH_M, 2 * EIGHTH_M], "mixed"),
        ([0.0] * 27 + [-2 * EIGHTH_M] + [2 * EIGHTH_M] * 2, "mixed"),
        ([-2 * EIGHTH_M] * 2 + [2 * EIGHTH_M] + [0.0] * 27, "reversed"),
        ([], "more"),
    ],
)
def test_the_sampling_rule(bends, verdict):
    assert prong_test(bends).verdict == verdict


def test_one_failure_asks_for_twenty_more_and_an_uneven_section_for_patience():
    found = prong_test([0.0] * 9 + [2 * EIGHTH_M])
    assert found.cut == 10
    assert "1 of 10 sections" in found.advice.sentence("trade") and "Cut 20 more" in found.advice.sentence("trade")
    assert prong_test([2 * EIGHTH_M] * 10, evened=False).verdict == "invalid"
    both = prong_test([0.0] * 27 + [-2 * EIGHTH_M] + [2 * EIGHTH_M] * 2).advice.sentence("trade")
    assert "2 of 30 sections bend inward and 1 outward" in both and "only while more bend inward" in both
    assert "3 of 10 sections bend outward" in prong_test([-2 * EIGHTH_M] * 3 + [0.0] * 7).advice.sentence("trade")


# --- refusals -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: equalize(2.0), "The target 2.0 % is outside 4.0 % to 20.0 %"),
        (lambda: condition(25.0), "is outside 4.0 % to 20.0 %"),
        (lambda: equalize(7.0, "oak"), f"The wood “oak” is not known here. Use {', '.join(WOODS)}."),
        (lambda: condition(7.0, "pine"), "The wood “pine” is not known here"),
        (lambda: air_for(60.0, F(160)), "only brings wood to"),
        (lambda: hold(air_for(np.nan, F(160)), KILN), "Wet bulb must be an ordinary number"),
        (lambda: uneven([], equalize(7.0)), "There are no samples"),
        (lambda: uneven([-1.0], equalize(7.0)), "Moisture content -1.0 % is outside"),
        (lambda: prong_test([0.2]), "The bend of a prong"),
        (lambda: prong_test([np.nan]), "The bend of a prong must be an ordinary number"),
    ],
)
def test_bad_input_ends_in_a_sentence(call, says):
    with pytest.raises((OutOfRange, BadInput)) as caught:
        call()
    assert says in caught.value.sentence("trade").replace("−", "-")
