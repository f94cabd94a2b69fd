"""Whole charges beside the four of a small dehumidification kiln that are in print: nothing is tuned on them here.

The abstract names no settings: ours are those of the card, no hotter than 120 °F and no drier than a depression of
35 °F, as tables/drying_time_points.csv assumes of the same charges, in Tamarack's kiln with 650 board feet. Red oak of
this report helped to tune the drying engine (tables/drying_checks.csv), so it proves little.
"""

import csv
from pathlib import Path

import numpy as np
import pytest

from kilnlib import tables
from kilnlib.physics import charge
from kilnlib.units import f_to_c, to_si

ROWS = {
    row["charge"]: row
    for row in csv.DictReader((Path(__file__).parents[2] / "data" / "small_kiln_charges.csv").open(encoding="utf-8"))
}
MODELED = [name for name, row in ROWS.items() if row["wood"]]
HOTTEST_C, WIDEST_K = f_to_c(120.0), 35.0 / 1.8


def days_of(row):
    """Days until the mean of the load is down to the printed end."""
    plan = charge.Plan(
        wood=row["wood"],
        thickness=row["thickness"],
        green_mc_pct=float(row["start_pct"]),
        board_feet=to_si(650.0, "board_feet"),
    )
    kiln, means = charge.start(plan), [float(row["start_pct"])]
    end = float(row["end_pct"])
    while means[-1] > end and kiln.day < 90:
        dry, wet = charge.card_bulbs_c(plan, charge.controlling(kiln))
        cool = min(dry, HOTTEST_C)
        kiln = charge.next_day(kiln, charge.Decision(cool, cool - min(dry - wet, WIDEST_K)))
        means.append(kiln.mean_mc_pct)
    return float(np.interp(-end, -np.array(means), np.arange(len(means)))) if means[-1] <= end else np.inf


@pytest.mark.parametrize("name", MODELED)
def test_a_published_charge_takes_about_as_long(name, capsys):
    row = ROWS[name]
    days = days_of(row)
    with capsys.disabled():
        print(
            f"\n  {row['printed_wood']}, {row['start_pct']} to {row['end_pct']} %: {row['days']} days, ours {days:.1f}"
        )
    assert float(row["low_days"]) <= days <= float(row["high_days"])


def test_the_bands_are_those_the_engine_states():
    stated = {row["id"]: (row["allowed_low"], row["allowed_high"]) for row in tables.records("drying_checks")}
    for name in MODELED:
        low, high = stated[f"RN0310-{name}"]
        assert (float(low), float(high)) == (float(ROWS[name]["low_days"]), float(ROWS[name]["high_days"]))


def test_the_mixed_charge_lies_between_our_quickest_and_our_slowest_wood(capsys):
    """The abstract does not say which woods were in it, so it cannot be told more closely."""
    row = ROWS["mixed"]
    quick, slow = (days_of({**row, "wood": wood}) for wood in ("yellow-poplar", "red oak, northern"))
    with capsys.disabled():
        print(f"\n  mixed: {row['days']} days, ours {quick:.1f} (yellow-poplar) to {slow:.1f} (red oak)")
    assert quick < float(row["days"]) < slow
