"""The logs of lesson 14: each has one cause, shows it on a known day, and the looks tell it from all others."""

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from kilnlib.cases import trouble as case
from kilnlib.physics import charge
from kilnlib.units import c_to_f, from_si
from kilnlib.words import text

ROOT = Path(__file__).parents[2]
LOGS = [one.name for one in case.CASES]


@pytest.fixture(scope="module")
def told():
    """What every look says on the last morning, by log."""
    return {name: {test: case.look(name, test).code for test in case.tests()} for name in case.names()}


def wrong(name):
    """The looks that say that something is wrong."""
    return {test for test in case.tests() if case.look(name, test).wrong}


def test_sixteen_cases_of_sixteen_causes_and_three_quiet_logs():
    faults = [one.fault for one in case.CASES]
    assert len(faults) == len(set(faults)) == 16 and set(faults) <= set(case.causes())
    assert [one.fault for one in case.QUIET] == [None] * 3
    assert {fault.danger for fault in charge.faults() if fault.code in faults} == {
        "too_fast",
        "too_slow",
        "uneven",
        "costly",
    }


@pytest.mark.parametrize("name", case.names())
def test_a_log_shows_its_trouble_on_the_morning_after_and_not_before(name):
    recipe, log = case.trouble(name), case.log(name)
    assert len(log.mornings) == case.DAYS
    assert log.first_day == (recipe.after + 1 if recipe.fault else None)


def test_no_log_fits_two_causes_after_all_its_looks(told):
    """The looks of each case say another thing than those of any other log, and only its own cause says the same."""
    for name in LOGS:
        for other in case.names():
            if case.trouble(other).fault != case.trouble(name).fault:
                assert told[name] != told[other], (name, other)
        found = charge.fault_of(case.trouble(name).fault).found_by
        assert wrong(name) & set(found), name
        fits = [fault.code for fault in charge.faults() if _fits(name, fault)]
        assert fits == [case.trouble(name).fault]


def _fits(name, fault):
    """Whether a cause fits all that the looks say: the kiln with that fault instead says the same to each look."""
    kiln = case.log(name).kiln
    other = replace(kiln, plan=replace(kiln.plan, fault=fault.code))
    return all(charge.examine(other, test).code == charge.examine(kiln, test).code for test in case.tests())


def test_on_a_quiet_log_every_look_says_that_all_is_well():
    for one in case.QUIET:
        assert wrong(one.name) == set()


def test_a_marked_day_is_judged():
    first = case.log("case-5").first_day
    assert case.day_verdict("case-5", first) == "right"
    assert case.day_verdict("case-5", first + 1) == "near"
    assert case.day_verdict("case-5", first + 3) == "late"
    assert case.day_verdict("case-5", first - 1) == "early"
    assert case.day_verdict("case-5", None) == "missed"
    assert case.day_verdict("quiet-1", None) == "quiet"
    assert case.day_verdict("quiet-1", 4) == "nothing_there"


def test_a_wrong_cause_is_answered_by_what_was_overlooked():
    assert case.overlooked("case-5", "iced_coil", ("look_at_coil",)) == ("against", "look_at_coil")
    assert case.overlooked("case-5", "iced_coil", ("look_at_drain",)) == ("told", "look_at_drain")
    assert case.overlooked("case-5", "iced_coil", ("look_at_vent",)) == ("look", "look_at_drain")


def test_a_new_log_is_the_same_for_the_same_number_and_another_for_the_next():
    drawn = [case.trouble(f"new-{number}") for number in range(case.NEW_FROM, case.NEW_FROM + 200)]
    assert drawn == [case.trouble(one.name) for one in drawn]
    faults = [one.fault for one in drawn]
    assert set(case.causes()) | {None} == set(faults)
    assert 0.05 < faults.count(None) / len(faults) < 0.25
    for name in ("new-101", "new-102"):
        assert case.log(name).first_day == (case.trouble(name).after + 1 if case.trouble(name).fault else None)


# what lesson 14 and its key print of the logs


def prose(path, cell):
    cells = json.loads((ROOT / path).read_text(encoding="utf-8"))["cells"]
    return next("".join(one["source"]) for one in cells if one["id"] == cell)


def gallons(weight_kg):
    return from_si(weight_kg * 1e-3, "volume")


def test_the_log_to_find_the_fault_in_is_that_of_the_model():
    words = prose("workbooks/14_find_the_trouble.ipynb", "find-the-fault")
    printed = re.findall(r"^\| (\d+) \|" + r" ([\d.]+) \|" * 7 + "$", words, re.M)
    log = case.log("table")
    assert [int(row[0]) for row in printed] == [2, 3, 4, 5, 6]
    for day, *row in printed:
        one, points = log.mornings[int(day) - 1], log.points[int(day) - 1]
        bulbs = [f"{c_to_f(bulb):.0f}" for bulb in (one.dry_bulb_c, one.wet_bulb_c, one.dry_bulb_leaving_c)]
        water = [f"{gallons(weight):.1f}" for weight in (one.bucket_kg, one.load_loss_kg)]
        assert row == [*bulbs, *water, f"{one.compressor_hours:.0f}", f"{sum(points) / len(points):.1f}"], day


def test_the_worked_example_is_case_5():
    words = prose("workbooks/14_find_the_trouble.ipynb", "worked-example")
    log = case.log("case-5")
    one, points = log.mornings[4], log.points[4]
    assert log.first_day == 5 and f"ratio {one.bucket_ratio:.2f}" in words
    assert f"compressor {one.compressor_hours:.0f} h" in words
    assert f"wet bulb {c_to_f(one.wet_bulb_c):.0f} °F" in words
    assert f"{sum(points) / len(points):.1f} points" in words
    quiet = log.mornings[3]
    assert f"ratio {quiet.bucket_ratio:.1f}, compressor {quiet.compressor_hours:.0f} h" in words


def test_the_key_names_day_cause_look_action_and_danger_of_every_case():
    words = prose("answers/14_find_the_trouble_key.ipynb", "cases")
    for one in case.CASES:
        fault = charge.fault_of(one.fault)
        looks = " or ".join(text(f"trouble.test.{test}") for test in fault.found_by)
        cells = [one.name[5:], str(case.log(one.name).first_day), text(f"trouble.fault.{one.fault}"), looks,
                 text(f"trouble.mend.{fault.mended_by}"), fault.danger.replace("_", " ")]  # fmt: skip
        assert f"| {' | '.join(cells)} |" in words, one.name


def test_the_numbers_in_the_questions_are_those_of_the_logs():
    """Dry wick: the boards' points and the kWh a day; door leak: strips all day and a wet bulb of 89 °F."""
    wick, before = (sum(case.log("case-2").points[day]) / 6 for day in (5, 4))
    assert (f"{wick:.1f}", f"{before:.1f}") == ("2.5", "1.4")
    more = case.log("case-2").mornings[5].electricity_kwh - case.log("case-2").mornings[4].electricity_kwh
    assert more == pytest.approx(20.0, abs=2.0)
    leak = case.log("case-4").mornings[6]
    assert round(c_to_f(leak.wet_bulb_c)) == 89 and leak.strips_hours == 24.0 and leak.bucket_kg == 0.0
