"""What a load costs, beside the worked and printed rows of tests/data/money_values.csv."""

import re
from dataclasses import replace

import oracles
import pytest

from kilnlib.cases.bill import State, work_out
from kilnlib.errors import OutOfRange
from kilnlib.lab import books
from kilnlib.physics.cost import (
    Mill,
    capital_recovery,
    cost_of_load,
    day_saved_usd,
    degrade_that_eats_pct,
    drying_kwh,
    lost_load,
)
from kilnlib.physics.wood import species, water_removed_kg
from kilnlib.questions.bank import load
from kilnlib.units import LB_KG, to_si

ROWS = oracles.rows("money_values")
MBF_M3 = to_si(1000.0, "board_feet")
MILL = Mill(
    electricity_usd_kwh=0.12,
    wage_usd_h=25.0,
    hours_a_load=5.0,
    hours_a_day=0.3,
    kiln_usd=12_000.0,
    upkeep_pct=3.0,
    years=10.0,
    interest_pct=8.0,
    busy_days=300.0,
    green_usd_m3=600.0 / MBF_M3,
    dry_usd_m3=900.0 / MBF_M3,
)


def row(pattern):
    (one,) = [row for row in ROWS if re.search(pattern, row["what"])]
    return float(one["value"]), float(one["tolerance"])


def close(ours, pattern, times=1.0):
    value, tolerance = row(pattern)
    assert ours == pytest.approx(value * times, abs=max(tolerance * times, 0.005)), pattern


def test_the_worked_load():
    """2,000 bf of oak in 30 days: the lines of the cost, a thousand board feet at a time."""
    cost = cost_of_load(MILL, 2 * MBF_M3, 30.0, 30.0, 5.0)
    for name, ours in (
        ("energy", cost.energy_usd),
        ("labour", cost.labor_usd),
        ("capital", cost.capital_usd),
        ("degrade 5 %", cost.degrade_usd),
        ("interest", cost.interest_usd),
        ("total", cost.total_usd),
        ("per day", cost.a_day_usd),
    ):
        close(ours, f"worked cost, 2000 bf oak, 30 d: {name}", 2.0)


def test_ten_points_of_degrade_outweigh_the_electricity():
    worse = cost_of_load(MILL, 2 * MBF_M3, 30.0, 30.0, 15.0)
    close(100 * worse.degrade_usd / worse.total_usd, "degrade share then")
    better = cost_of_load(MILL, 2 * MBF_M3, 30.0, 30.0, 5.0)
    assert worse.total_usd - better.total_usd > better.energy_usd


def test_interest_and_capital():
    assert capital_recovery(8.0, 10.0) * 12_000 == pytest.approx(1788, abs=1)
    assert capital_recovery(0.0, 10.0) == pytest.approx(0.1)
    cost = cost_of_load(MILL, MBF_M3, 1.0, 0.0, 0.0)
    close(cost.interest_usd, "interest on 900 USD/MBF at 8 %")


def test_a_lost_load():
    loss = lost_load(MILL, 2 * MBF_M3, 30.0, 30.0)
    for name, ours in (
        ("wood", loss.green_usd),
        ("energy", loss.energy_usd),
        ("labour", loss.labor_usd),
        ("total", loss.total_usd),
    ):
        close(ours, f"price of a lost 2 MBF load: {name}")
    assert loss.total_usd / loss.energy_usd == pytest.approx(21, abs=0.5)


def test_what_eats_a_saving():
    close(degrade_that_eats_pct(15.0, MBF_M3, MILL), "break-even risk")


def test_a_day_saved_may_cost_more_than_it_brings():
    careful = day_saved_usd(MILL, 2 * MBF_M3, 30.0, 0.0)
    assert careful == pytest.approx(cost_of_load(MILL, 2 * MBF_M3, 30.0, 30.0, 0.0).grows_usd / 30.0)
    assert careful > 0 > day_saved_usd(MILL, 2 * MBF_M3, 30.0, 2.0)


@pytest.mark.parametrize(
    ("wood", "start", "end", "name"),
    [
        ("red oak", 80, 7, "red oak 80-7"),
        ("red oak", 25, 7, "red oak 25-7 .air-dried."),
        ("hard maple", 69, 7, "hard maple 69-7"),
        ("eastern white pine", 100, 10, "eastern white pine 100-10"),
        ("loblolly pine", 100, 10, "loblolly 100-10"),
        (0.37, 55, 12, "red spruce 55-12"),  # its weight, since it is not among our species
    ],
)
def test_electricity_by_water(wood, start, end, name):
    """kWh for a thousand board feet by how much water a machine takes out with each."""
    gravity = wood if isinstance(wood, float) else species(wood).specific_gravity
    water = water_removed_kg(MBF_M3, gravity, start, end)
    looked = 0
    for one in ROWS:
        if match := re.search(rf"^electricity, {name}: SMER ([\d.]+)$", one["what"]):
            assert drying_kwh(water, float(match[1])) == pytest.approx(float(one["value"]), abs=float(one["tolerance"]))
            looked += 1
        if re.search(f"^water out, {name}", one["what"]):
            assert water / LB_KG == pytest.approx(float(one["value"]), abs=float(one["tolerance"]))
    assert looked


def lesson(cell_id):
    """A cell of lesson 13."""
    cells = books.read(books.WORKBOOKS / "13_before_and_after.ipynb")["cells"]
    (text,) = ["".join(cell["source"]) for cell in cells if cell["id"] == cell_id]
    return text


def dollars(pattern, times=1.0):
    return f"{row(pattern)[0] * times:,.0f}"


def test_the_lesson_says_what_a_lost_load_costs():
    said = lesson("money-why")
    for name, words in (("total", "costs {} dollars"), ("labour", "{} for labor"), ("energy", "{} for power")):
        assert words.format(dollars(f"price of a lost 2 MBF load: {name}")) in said
    assert f"{dollars('lost 2 MBF load: wood')} for green lumber" in said
    assert f"{dollars('green to dry difference', 2)} that drying would have added" in said
    assert lost_load(MILL, 2 * MBF_M3, 30.0, 30.0).margin_usd == pytest.approx(600.0)


def test_the_lesson_says_what_ten_points_of_degrade_cost():
    ten = work_out(State()).ten_points_usd
    close(ten, "^10 more points of degrade", 2.0)
    assert f"Ten points of degrade are ${ten:.0f}" in load("store-bill").right
    assert f"Electricity is ${dollars('lost 2 MBF load: energy')}," in load("store-bill").right


def test_the_lesson_says_what_eats_a_saving():
    source = load("store-check-2").source
    most, value = dollars("off-peak saving at most"), dollars("value at risk")
    assert f"at most ${most} a thousand board feet, {row('break-even risk')[0]:g} % of ${value}" in source
    assert row("off-peak saving at most")[0] == 15.0  # what test_what_eats_a_saving begins with


READ = (
    "^electricity, .*: SMER",
    "^water out, ",
    "^worked cost, 2000 bf oak, 30 d: (energy|labour|capital|degrade 5 %|interest|total|per day|degrade share then)$",
    "^interest on 900 USD/MBF at 8 %",
    "^price of a lost 2 MBF load: (wood|energy|labour|total)$",
    "^prices used in one answer: (green to dry difference|off-peak saving at most|value at risk|break-even risk)$",
    "^10 more points of degrade$",
)


def test_every_row_is_read():
    """A row that no test here asks for stands there for nobody."""
    for one in ROWS:
        assert sum(bool(re.search(pattern, one["what"])) for pattern in READ) == 1, one["what"]


def test_what_cannot_be_is_refused():
    for call in (
        lambda: replace(MILL, electricity_usd_kwh=-1.0),
        lambda: replace(MILL, busy_days=0.0),
        lambda: cost_of_load(MILL, MBF_M3, 0.0, 10.0, 0.0),
        lambda: cost_of_load(MILL, MBF_M3, 10.0, 10.0, 120.0),
        lambda: drying_kwh(100.0, 0.0),
    ):
        with pytest.raises(OutOfRange) as caught:
            call()
        assert str(caught.value).endswith(".")
