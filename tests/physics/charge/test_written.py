"""A simulated charge on paper, and gone through again from what was kept of it."""

import pytest

from kilnlib.physics import charge
from kilnlib.physics.daily import daily_decision
from kilnlib.store import sheet_keep
from kilnlib.units import f_to_c

DIAL = charge.Decision(f_to_c(110.0), f_to_c(106.0))


@pytest.fixture(scope="module")
def kiln():
    return charge.replay(charge.Plan(), [DIAL] * 3)


def test_the_sheet_says_what_the_log_says(kiln):
    sheet = charge.sample_sheet(kiln)
    assert len(sheet.days) == kiln.day + 1
    for day, one in zip(sheet.days, kiln.log, strict=True):
        assert list(day.mcs_pct.values()) == pytest.approx(one.sample_mc_pct, abs=0.3)
    assert sheet.air[-1].dry_bulb_c == kiln.log[-1].dry_bulb_c
    assert not sheet.questions()


def test_the_daily_decision_reads_it(kiln):
    decided = daily_decision(charge.sample_sheet(kiln))
    assert decided.controlling_pct == pytest.approx(sum(sorted(kiln.log[-1].sample_mc_pct)[3:]) / 3, abs=0.3)
    assert decided.fastest is not None and decided.fastest[1] > 0.0


def test_it_can_be_kept_as_a_file(kiln):
    sheet = charge.sample_sheet(kiln)
    assert [board.name for board in sheet_keep.keep_sheet(sheet).sheet.boards] == [board.name for board in sheet.boards]


def test_a_charge_is_its_plan_and_its_decisions(kiln):
    again = charge.replay(kiln.plan, kiln.decisions)
    assert again.log == kiln.log and again.day == 3


def test_swapped_leads_can_be_written_too():
    """Bulbs that cannot be are not refused by the sheet: the wet one is written no higher than the dry one."""
    kiln = charge.replay(charge.Plan(fault="swapped_leads", fault_day=0.0), [DIAL])
    assert kiln.log[-1].wet_bulb_c > kiln.log[-1].dry_bulb_c
    assert charge.sample_sheet(kiln).air[-1].wet_bulb_c == kiln.log[-1].dry_bulb_c
