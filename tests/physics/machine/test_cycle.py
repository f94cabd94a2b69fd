"""The refrigerant's table: beside its own property library, worked-out rows, and its own sums."""

import csv
import io

import pytest
import refrigerant_table
from CoolProp.CoolProp import PropsSI
from physics.machine.reference import numbers, row, rows

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.machine import cycle


def test_the_file_is_what_its_script_prints():
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(refrigerant_table.rows())
    printed = list(csv.reader(io.StringIO(text.getvalue())))
    kept = [list(row.values()) for row in tables.records("refrigerant_cycle")]
    assert [one[:2] for one in kept] == [one[:2] for one in printed]
    for ours, theirs in zip(kept, printed, strict=True):
        assert [float(x) for x in ours[2:10]] == pytest.approx([float(x) for x in theirs[2:10]], rel=2e-4)


def test_every_row_balances():
    for one in tables.records("refrigerant_cycle"):
        heat = float(one["cooling_kj_kg"]) + float(one["work_kj_kg"])
        assert float(one["rejected_kj_kg"]) == pytest.approx(heat, rel=1e-4)


@pytest.mark.parametrize(("what", "value", "tolerance"), rows("^R134a (ideal|realistic) COP"))
def test_cop_rows(what, value, tolerance):
    evaporating, condensing = numbers(r"evap (\d+) C cond (\d+) C", what)
    found = cycle(evaporating, condensing)
    cop = found.ideal_cop if "ideal" in what else found.cop(0.90)
    assert cop == pytest.approx(value, abs=tolerance)


def test_the_remembered_ideal_cycle():
    value, tolerance = row("ideal cycle COP")
    assert cycle(-15, 30).ideal_cop == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize("evaporating", [-22.5, -7.3, 3.0, 12.5, 22.5, 31.7, 42.5, 63.0])
@pytest.mark.parametrize("condensing", [37.5, 52.4, 62.5, 77.5, 88.8])
def test_between_the_rows(evaporating, condensing):
    """At points between the table's own, against the library itself."""
    if condensing < evaporating + 15:
        with pytest.raises(OutOfRange):
            cycle(condensing - 5, condensing)
        return
    found = cycle(evaporating, condensing)
    theirs = [float(number) for number in refrigerant_table.cycle(evaporating, condensing)[2:10]]
    _, _, density, cooling, work, rejected, discharge, ideal = theirs
    assert found.suction_kgm3 == pytest.approx(density, rel=0.004)
    assert found.cooling_j_kg == pytest.approx(1e3 * cooling, rel=0.005)
    assert found.rejected_j_kg == pytest.approx(1e3 * rejected, rel=0.005)
    assert found.cop() == pytest.approx(cooling / work, rel=0.01)
    assert found.discharge_c == pytest.approx(discharge, abs=0.5)
    assert found.ideal_cop == pytest.approx(ideal, rel=0.02)


def test_pressures_and_gas():
    for what, value, tolerance in rows("^R134a pressure"):
        (temperature,) = numbers(r"at (?:evap|cond) (\d+) C", what)
        name = "evaporating" if "evap" in what else "condensing"
        one = next(row for row in tables.records("refrigerant_cycle") if float(row[f"{name}_c"]) == temperature)
        assert float(one[f"{name}_kpa"]) / 100 == pytest.approx(value, abs=tolerance)
        assert PropsSI("P", "T", temperature + 273.15, "Q", 1, "R134a") / 1e5 == pytest.approx(value, abs=tolerance)
    for what, value, tolerance in rows("^R134a discharge"):
        assert cycle(*numbers(r"evap (\d+) C cond (\d+) C", what)).discharge_c == pytest.approx(value, abs=tolerance)
    for what, value, tolerance in rows("^R134a cooling per m3"):
        found = cycle(*numbers(r"evap (\d+) C cond (\d+) C", what))
        assert found.suction_kgm3 * found.cooling_j_kg / 1e3 == pytest.approx(value, abs=tolerance)
