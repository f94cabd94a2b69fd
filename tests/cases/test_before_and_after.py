"""What lesson 13 and its key say of a year in a shed and of a bill is what the models give."""

import json
import re
from pathlib import Path

import numpy as np
import pytest

from kilnlib.cases import bill
from kilnlib.cases import shed as case
from kilnlib.physics.air.emc import emc_pct, rh_pct_for_emc
from kilnlib.physics.storage import fractional_change, warmed_rh_pct
from kilnlib.physics.wood import width_after
from kilnlib.questions import bank
from kilnlib.units import IN_M, f_to_c, to_si

ROOT = Path(__file__).parents[2]
SITUATIONS = {
    "Unheated shed": {},
    "19 °F warmer": {"warmer_k": 19 / 1.8},
    "35 °F warmer": {"warmer_k": 35 / 1.8},
    "Unheated, solid pack": {"pack": "solid"},
    "Unheated, wrapped, under the roof": {"pack": "wrapped"},
    "Unheated, Phoenix": {"place": "Phoenix, AZ"},
    "Unheated, Seattle in October": {"place": "Seattle-Tacoma, WA", "month": "Oct"},
}


def prose(path, cell):
    cells = json.loads((ROOT / path).read_text(encoding="utf-8"))["cells"]
    return next("".join(one["source"]) for one in cells if one["id"] == cell)


def worked(**changes):
    return case.work_out(case.State(**changes))


def test_the_table_of_the_key():
    key = prose("answers/13_before_and_after_key.ipynb", "look-answers")
    rows = re.findall(r"^\| (.+?) \| ([\d.]+) \| ([\d.]+) \| ([+-][\d.]+) \| (\d+) to (\d+) \|$", key, re.M)
    assert [name for name, *_ in rows] == list(SITUATIONS)
    for name, *printed in rows:
        result = worked(**SITUATIONS[name])
        needed = 1.8 * result.needed_k
        ours = (result.after_three_months_pct, result.farthest_pct, result.grows_m / IN_M, needed.min(), needed.max())
        forms = (".1f", ".1f", "+.2f", ".0f", ".0f")
        assert [f"{value:{form}}" for value, form in zip(ours, forms, strict=True)] == printed, name


def test_the_worked_example_of_the_lesson():
    why = prose("workbooks/13_before_and_after.ipynb", "explain")
    result = worked()
    assert f"{1.8 * result.needed_k[0]:.0f} °F warmer" in why and f"EMC {result.outdoor_pct[0]:.1f} %" in why


def test_the_errand_of_the_oak_in_an_unheated_shed():
    """Dry oak in a shed near Chicago from April: where it goes, how much wider, and the heat that keeps it."""
    result, predicted, kept = worked(), bank.load("store-predict"), bank.load("store-check-1")
    assert f"Near {result.after_three_months_pct:.1f} %" in predicted.right and predicted.answer == "C"
    floor_m, shrinks = case.FLOOR_M, 8.6
    wider = width_after(floor_m, shrinks, 7.0, result.after_three_months_pct) - floor_m
    assert wider / IN_M == pytest.approx(0.1, abs=0.02) and "a tenth of an inch wider" in predicted.right
    needed = 1.8 * result.needed_k
    year = f"over the year, {needed.min():.0f} to {needed.max():.0f} °F above the mean hold 7 %"
    assert f"{year}, and {needed[0]:.0f} °F in April" in " ".join(kept.steps)
    assert emc_pct(f_to_c(60), 37.0) == pytest.approx(7.0, abs=0.4) and "37 % RH" in dict(kept.options)["C"]


def test_heat_of_the_row_holds_the_target_in_that_month():
    for place in ("Chicago, IL", "Boston, MA", "Miami, FL"):
        result = worked(place=place)
        for month in range(12):
            outside = case._outside_c(place, result.months[month])
            inside = outside + result.needed_k[month]
            rh = warmed_rh_pct(outside, rh_pct_for_emc(outside, result.outdoor_pct[month]), inside)
            assert emc_pct(inside, rh) == pytest.approx(7.0, abs=0.01)


def test_changes_of_emc_added_up_are_the_slab_where_the_air_stays():
    mc = case._on_its_way(7.0, np.full(12, 12.0), 2, 21.0)
    days = np.arange(len(mc)) * case.MONTH_DAYS / case.STEPS
    for step in (0, 5, 30, 120):
        assert mc[step] == pytest.approx(7.0 + 5.0 * fractional_change(case.BOARD_M, days[step], 21.0), abs=1e-9)


def test_wood_stays_between_the_driest_and_the_dampest_air_and_a_solid_pack_is_slower():
    for place in case.PLACES:
        open_, solid = worked(place=place), worked(place=place, pack="solid")
        for result in (open_, solid):
            ends = [7.0, *result.shed_pct]
            assert min(ends) - 0.01 <= result.mc_pct.min() and result.mc_pct.max() <= max(ends) + 0.01
        assert abs(solid.mc_pct[5] - 7.0) < abs(open_.mc_pct[5] - 7.0)


def test_a_whole_wrapped_pack_gains_two_tenths_a_month():
    gained = np.diff(worked(pack="wrapped").mc_pct[:: case.STEPS])
    assert gained == pytest.approx(0.2 * case.MONTH_DAYS / 30.0)


BILLS = {
    "30 days, 5 % degrade": {},
    "Ten points more degrade": {"degrade_pct": 15.0},
    "A day faster, two points more": {"days": 29.0, "degrade_pct": 7.0},
    "Done on Saturday, pulled on Monday": {"days": 32.0},
    "Electricity at half price": {"electricity_usd_kwh": 0.06},
    "Wood a third dearer": {"dry_usd_m3": to_si(1200.0, "lumber_price")},
}


def billed(**changes):
    return bill.work_out(bill.State(**changes))


def test_the_bills_of_the_key():
    key = prose("answers/13_before_and_after_key.ipynb", "look-answers")
    rows = [row.strip("| ").split(" | ") for row in key.splitlines() if row.count("|") == 9 and re.search(r"\d", row)]
    assert [name for name, *_ in rows] == list(BILLS)
    for name, *printed in rows:
        result = billed(**BILLS[name])
        cost = result.cost
        parts = (cost.labor_usd, cost.energy_usd, cost.capital_usd, cost.interest_usd, cost.degrade_usd)
        ours = [f"{usd:,.0f}" for usd in (*parts, cost.total_usd, result.loss.total_usd)]
        assert ours == printed, name


def test_what_the_lesson_says_of_days_and_points():
    why = prose("workbooks/13_before_and_after.ipynb", "money-why")
    result = billed()
    assert f"{result.cost.a_day_usd:.0f} dollars a day" in why and f"{result.day_usd:.0f} dollars go away" in why
    assert f"Of the {result.day_usd:.0f}, {result.cost.capital_usd / 30:.0f} are the kiln’s own price" in why
    assert f"degrade is {result.ten_points_usd / 10:.0f} dollars" in why
    assert f"{result.loss.total_usd:,.0f} dollars" in why


def test_a_day_bought_with_a_point_is_too_dear_by_a_little():
    """The day's saving and one point are about the same, so two points lose."""
    usual, faster = billed(), billed(days=29.0, degrade_pct=7.0)
    assert faster.cost.total_usd - usual.cost.total_usd == pytest.approx(2 * 18 - usual.day_usd, abs=0.01)
    assert usual.day_pct == pytest.approx(1.04, abs=0.01)
