"""Each fault shows the way the day model says, each test tells the truth, and no two faults answer all tests alike."""

import functools
import itertools
from collections import defaultdict

import pytest

from kilnlib.errors import KilnError
from kilnlib.physics import charge
from kilnlib.units import f_to_c

DIAL = charge.Decision(f_to_c(110.0), f_to_c(98.0))
DAYS = 6
SPRING, SUMMER = 80, 190  # days of the year
CODES = tuple(fault.code for fault in charge.faults())
MENDED = [code for code in CODES if charge.fault_of(code).mended_by != "wait_for_the_slow_boards"]
# Signs on day 6 of a load from 40 % in spring, as in a day model of our own: which way each reading moves.
# dry and wet bulb as shown; bucket over what the samples lost; compressor, strips, vent hours; kWh; pace of the boards.
SIGNS = {
    "dry_wick": {"wet": +1, "compressor": +1, "kwh": +1, "pace": +1, "vent": +1},
    "wet_bulb_low": {"wet": 0, "dry": 0, "pace": -1},
    "wet_bulb_high": {"wet": 0, "dry": 0, "pace": +1},
    "iced_coil": {"wet": +1, "bucket": -1, "compressor": +1, "pace": -1},
    "compressor_stopped": {"wet": +1, "bucket": -1, "compressor": -1, "pace": -1},
    "slipping_belt": {"wet": 0, "dry": 0, "bucket": 0, "strips": +1},
    "reversed_fan": {"wet": 0, "dry": 0, "bucket": 0},
    "open_baffle": {"wet": 0, "dry": 0, "bucket": 0},
    "vent_stuck_open": {"wet": -1, "bucket": -1, "strips": +1, "vent": +1, "kwh": +1, "pace": +1},
    "vent_stuck_shut": {"dry": +1},
    "door_leak": {"wet": -1, "bucket": -1, "strips": +1, "kwh": +1, "pace": +1},
    "heater_stuck_on": {"dry": +1, "wet": -1, "bucket": -1, "strips": +1, "vent": +1, "kwh": +1, "pace": +1},
    "heater_dead": {"dry": -1, "strips": -1, "pace": -1, "kwh": -1},
    "blocked_drain": {"bucket": -1, "compressor": +1, "kwh": +1},
    "probe_in_blast": {"wet": 0, "dry": 0, "pace": -1},
    "swapped_leads": {"wet": +1, "compressor": +1, "pace": +1, "kwh": +1},
    "wet_pockets": {"wet": 0, "dry": 0},
    "thick_boards": {"wet": 0, "dry": 0},
}
NO_MARK = {  # how far a reading may move and still count as no sign
    "dry": 0.6, "wet": 1.0, "bucket": 0.08, "compressor": 1.0, "strips": 1.0, "vent": 1.0, "kwh": 3.0, "pace": 0.03,
}  # fmt: skip


@functools.cache
def run(fault, days=DAYS, day_of_year=SPRING, decision=DIAL, **more):
    kiln = charge.start(charge.Plan(green_mc_pct=40.0, fault=fault, start_day_of_year=day_of_year, **more))
    for _ in range(days):
        kiln = charge.next_day(kiln, decision)
    return kiln


def readings(kiln):
    """The signs of the last day, and the pace of all boards since a fault may have begun: the faster they were on its
    first days, the less they have left for its last."""
    day = kiln.log[-1]
    pace = sum(float(one.water_kg.sum()) for one in kiln.truth.stretches[-2 * (DAYS - 3) :]) / (DAYS - 3)
    return {
        "dry": day.dry_bulb_c,
        "wet": day.wet_bulb_c,
        "bucket": day.bucket_ratio,
        "compressor": day.compressor_hours,
        "strips": day.strips_hours,
        "vent": day.vent_hours,
        "kwh": day.electricity_kwh,
        "pace": pace / 50.0,
    }


@pytest.fixture(scope="module")
def healthy():
    return readings(run(None))


def test_there_are_enough():
    assert len(CODES) == len(set(CODES)) >= 16
    assert set(SIGNS) == set(CODES)


@pytest.mark.parametrize("code", CODES)
def test_signs_point_the_way_of_the_day_model(code, healthy):
    season = SUMMER if code == "vent_stuck_shut" else SPRING
    before = readings(run(None, day_of_year=season)) if season != SPRING else healthy
    after = readings(run(code, day_of_year=season))
    moves = {name: after[name] - before[name] for name in SIGNS[code]}
    print(code, {name: round(move, 2) for name, move in moves.items()})
    for name, way in SIGNS[code].items():
        if way:
            assert way * moves[name] > NO_MARK[name], name
        else:
            assert abs(moves[name]) <= NO_MARK[name], name


@pytest.mark.parametrize("code", ["dry_wick", "swapped_leads", "heater_stuck_on"])
def test_these_dry_too_fast(code):
    fault = charge.fault_of(code)
    assert fault.danger == "too_fast"
    green = charge.Plan(fault=code, fault_day=1.0)
    well, ill = charge.start(charge.Plan()), charge.start(green)
    mild = charge.Decision(f_to_c(110.0), f_to_c(106.0))
    for _ in range(4):
        well, ill = charge.next_day(well, mild), charge.next_day(ill, mild)
    assert ill.mean_mc_pct < well.mean_mc_pct - 1.0
    assert max(charge.outcome(ill).check_index) > max(charge.outcome(well).check_index)


@pytest.mark.parametrize("code", ["open_baffle", "slipping_belt", "reversed_fan", "wet_pockets", "thick_boards"])
def test_these_leave_no_mark_on_bulbs_or_bucket(code, healthy):
    after = readings(run(code))
    for name in ("dry", "wet", "bucket", "compressor"):
        assert abs(after[name] - healthy[name]) <= NO_MARK[name], name
    assert charge.fault_of(code).danger == "uneven"


def test_no_two_faults_answer_all_tests_alike():
    tests = [code for code, act in charge.acts().items() if act.kind == "test"]
    answers = defaultdict(list)
    for code in CODES:
        kiln = run(code, days=4)
        answers[tuple(charge.examine(kiln, test).code for test in tests)].append(code)
    assert all(len(codes) == 1 for codes in answers.values()), answers


@pytest.mark.parametrize("code", CODES)
def test_what_finds_it_finds_it_and_a_sound_kiln_is_sound(code):
    fault, kiln, sound = charge.fault_of(code), run(code, days=4), run(None, days=4)
    for test in fault.found_by:
        assert charge.examine(kiln, test).wrong, test
        assert not charge.examine(sound, test).wrong, test
    assert charge.act_of(fault.mended_by).kind == "mend"
    assert all(charge.act_of(test).kind == "test" for test in fault.found_by)


@pytest.mark.parametrize(
    "code", [code for code in CODES if charge.fault_of(code).mended_by != "wait_for_the_slow_boards"]
)
def test_its_mend_mends_it_and_no_other(code):
    kiln = run(code, days=4)
    mends = [name for name, act in charge.acts().items() if act.kind == "mend"]
    right = charge.fault_of(code).mended_by
    wrong = charge.Decision(DIAL.dry_bulb_c, DIAL.wet_bulb_c, tuple(name for name in mends if name != right))
    assert charge.next_day(kiln, wrong).mended_day is None
    mended = charge.next_day(kiln, charge.Decision(DIAL.dry_bulb_c, DIAL.wet_bulb_c, (right,)))
    assert mended.mended_day == 4 and mended.effects == charge.Effects()


def test_a_fault_begins_on_its_day():
    early, none = run("door_leak", days=3), run(None, days=3)
    assert early.log == none.log
    assert charge.next_day(early, DIAL).log != charge.next_day(none, DIAL).log


@pytest.mark.parametrize("act", ["wet_the_wick", "gremlins"])
def test_what_is_no_test_is_refused(act):
    with pytest.raises(KilnError):
        charge.examine(run(None, days=1), act)


def test_a_second_pair_of_bulbs_is_true():
    """The drifted sensors show in a second pair and nowhere else in the tests."""
    for code in ("wet_bulb_low", "wet_bulb_high"):
        kiln = run(code, days=4)
        tests = [name for name, act in charge.acts().items() if act.kind == "test"]
        assert [name for name in tests if charge.examine(kiln, name).wrong] == ["second_thermometer"]


def test_pairs_of_effects_differ():
    for first, second in itertools.combinations(charge.faults(), 2):
        assert first.effects != second.effects, (first.code, second.code)
