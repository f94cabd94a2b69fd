"""The days of a charge beside the same days minute by minute: bucket and kWh of days charges have.

Each charge goes by its card at Tamarack Ford. On the first day at or below a moisture content the machine is given the
same load, air and dials as in the charge, and run for the day once more: its work exact and not from a grid, the second
half from where its own first half ended. And the machine must have had the water that the boards gave.
"""

import functools
import importlib
from types import SimpleNamespace

import pytest

from kilnlib.physics import charge
from kilnlib.physics.machine import machine_work, run

KILN = importlib.import_module("kilnlib.physics.charge.kiln")
RUN = importlib.import_module("kilnlib.physics.machine.run")
WOODS = {"oak": "red oak, northern", "maple": "hard maple", "poplar": "yellow-poplar"}
SEASONS = {"winter": 15, "spring": 100, "summer": 200}  # day of the year at the start
MARKS_PCT = (60, 40, 25, 12)
WARM_DAY = 2  # the first two days warm the load
LONGEST_DAYS = 60
DAYS = [(wood, season, mark) for wood in WOODS for season in SEASONS for mark in MARKS_PCT]


@functools.lru_cache
def days(wood, season):
    """The first day at or below each mark: what the machine was last asked in each half, and what is then owed."""
    plan = charge.Plan(wood=WOODS[wood], start_day_of_year=SEASONS[season])
    kiln, found, asked = charge.start(plan), {}, []

    def run_and_note(*args):
        answer = run(*args)
        asked.append((args, answer.drained_kg))
        return answer

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(KILN, "run", run_and_note)
        while len(found) < len(MARKS_PCT) and kiln.day < LONGEST_DAYS:
            asked.clear()
            before = kiln
            kiln = charge.next_day(kiln, charge.Decision(*charge.card_bulbs_c(plan, charge.controlling(kiln))))
            halves = kiln.truth.stretches[len(before.truth.stretches) :]
            last = [next(args for args, kg in reversed(asked) if near(kg, one.bucket_kg)) for one in halves]
            reached = [mark for mark in MARKS_PCT if mark not in found and before.mean_mc_pct <= mark]
            if reached and before.day >= WARM_DAY:
                found[reached[0]] = halves, last, kiln.truth.owed_kg
    return found


def near(one, other):
    return one == pytest.approx(other, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(("wood", "season", "mark"), DAYS)
def test_bucket_and_kwh_of_a_day_agree(wood, season, mark, monkeypatch):
    exact = SimpleNamespace(at=None)

    def work_of(machine, pressure_pa):
        exact.at = lambda dry, ratio, ice: machine_work(machine, dry, ratio, pressure_pa, ice).pull
        return exact

    monkeypatch.setattr(RUN, "works", work_of)
    halves, asked, _ = days(wood, season)[mark]
    bucket_kg, kwh, state = 0.0, 0.0, None
    for chamber, load, start, setting, outdoors, hours in asked:
        by_minute = run(chamber, load, state or start, setting, outdoors, hours)
        state = by_minute.states[-1]
        bucket_kg += by_minute.drained_kg
        kwh += by_minute.electricity_kwh
    assert sum(one.bucket_kg for one in halves) == pytest.approx(bucket_kg, rel=0.05)
    assert sum(one.electricity_kwh for one in halves) == pytest.approx(kwh, rel=0.05)


@pytest.mark.parametrize(("wood", "season", "mark"), DAYS)
def test_the_machine_had_what_the_boards_gave(wood, season, mark):
    """Within 3 % of a day's water, which it is owed."""
    halves, _, owed_kg = days(wood, season)[mark]
    assert abs(owed_kg) < 0.03 * sum(float(one.water_kg.sum()) for one in halves)
