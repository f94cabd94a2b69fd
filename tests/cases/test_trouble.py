"""The logs of lesson 14: each has one cause, shows it on a known day, and the looks tell it from all others."""

from dataclasses import replace

import pytest

from kilnlib.cases import trouble as case
from kilnlib.physics import charge

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
