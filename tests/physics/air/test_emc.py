"""Equilibrium moisture content against the Wood Handbook, other printed numbers, a real-gas library, and itself."""

import numpy as np
import oracles
import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracles import says

from kilnlib import tables, units
from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc

F = units.f_to_c


def test_wood_handbook_table_4_2(capsys):
    table = tables.load("emc_table_4_2")
    assert len(table) == 259
    apart = emc.emc_pct(F(table["temperature_f"].to_numpy(float)), table["rh_pct"].to_numpy(float)) - table["emc_pct"]
    with capsys.disabled():
        print(
            f"\n  Wood Handbook Table 4-2, {len(table)} cells: ours minus printed, mean {apart.mean():+.3f}, "
            f"spread {apart.std():.3f}, largest {apart.abs().max():.3f}"
        )
    assert apart.abs().max() <= 0.07
    assert abs(apart.mean()) <= 0.01


def test_other_printed_values():
    """Each kind with the window it was found in: none of these sources says how it was worked out."""
    windows = {
        "schedule set point": (-0.25, 0.56),
        "worked example": (-0.1, 0.1),
        "older table": (0.2, 0.5),
        "national table": (-0.55, 0.1),
        "rule of thumb": (-0.05, 0.43),
        "unnamed table": (-0.14, 0.64),
    }
    table = tables.load("emc_printed_examples")
    assert set(table["kind"]) == set(windows)
    for row in table.to_dict("records"):
        low, high = windows[row["kind"]]
        apart = emc.emc_pct(F(row["temperature_f"]), row["rh_pct"]) - row["emc_pct"]
        assert low <= round(apart, 2) <= high, row


def test_emc_from_bulbs_against_a_real_gas():
    dry, rh, pressure = oracles.kiln_grid(step_f=10)
    wet = air.wet_bulb_c(dry, rh, pressure)
    real_rh = 100 * oracles.moist_air("R", "T", dry + 273.15, "B", wet + 273.15, "P", pressure)
    apart = emc.emc_pct_from_bulbs(dry, wet, pressure) - emc.emc_pct(dry, np.minimum(real_rh, 100.0))
    assert len(apart) > 500
    assert apart.min() >= -0.055 and apart.max() <= 0.01


def test_emc_rises_with_humidity():
    dry, rh = np.meshgrid(np.linspace(*emc.TEMPERATURE_C, 80), np.linspace(0, 100, 401))
    assert np.all(np.diff(emc.emc_pct(dry, rh), axis=0) > 0)
    assert np.all(emc.emc_pct(dry[:1], 0.0) == 0)


def test_emc_falls_with_temperature_only_above_40_f():
    """At one humidity up to 95 %, EMC peaks between 30 and 40 °F (35 °F at 50 %), then falls all the way to 212 °F."""
    warm = np.linspace(F(40.0), F(212.0), 500)
    for rh in range(1, 96):
        assert np.all(np.diff(emc.emc_pct(warm, float(rh))) < 0), rh
    cool_f = np.linspace(30.0, 40.0, 1001)
    peaks = np.array([cool_f[np.argmax(emc.emc_pct(F(cool_f), float(rh)))] for rh in range(5, 100, 5)])
    assert peaks.min() == 30.0 and 39.0 < peaks.max() < 39.5
    assert peaks[9] == pytest.approx(35.0, abs=0.5)  # 50 % RH
    assert emc.emc_pct(F(30.0), 50.0) < emc.emc_pct(F(35.0), 50.0) > emc.emc_pct(F(40.0), 50.0)


def test_inverse_over_its_whole_range():
    dry, rh = np.meshgrid(np.linspace(*emc.TEMPERATURE_C, 103), np.linspace(0, 100, 301))
    assert emc.rh_pct_for_emc(dry, emc.emc_pct(dry, rh)) == pytest.approx(rh, abs=1e-8)
    wanted = np.linspace(0, 21.2, 213)[:, None]
    warm = np.linspace(*emc.TEMPERATURE_C, 60)
    assert emc.emc_pct(warm, emc.rh_pct_for_emc(warm, wanted)) == pytest.approx(
        np.broadcast_to(wanted, (213, 60)), abs=1e-9
    )
    top = emc.emc_pct(warm, 100.0)
    assert emc.rh_pct_for_emc(warm, top) == pytest.approx(np.full(60, 100.0), abs=1e-9)


def test_from_bulbs_is_the_two_steps():
    for altitude in (0.0, 274.0, 3048.0):
        pressure = air.pressure_pa(altitude)
        rh = air.rh_pct(F(140.0), F(120.0), pressure)
        assert emc.emc_pct_from_bulbs(F(140.0), F(120.0), pressure) == emc.emc_pct(F(140.0), rh)
    higher = emc.emc_pct_from_bulbs(F(110.0), F(98.0), air.pressure_pa(7000 * units.FT_M))
    assert higher - emc.emc_pct_from_bulbs(F(110.0), F(98.0)) == pytest.approx(0.23, abs=0.01)


def test_beyond_the_table():
    assert emc.beyond_table(95.0) is False
    assert emc.beyond_table(95.01) is True
    assert emc.beyond_table(np.nan) is False
    assert emc.beyond_table(np.array([50.0, 95.0, 99.0])).tolist() == [False, False, True]
    assert says(emc.beyond_table, 101.0).code == "humidity"


CALLS = {
    "emc_pct": (emc.emc_pct, (60.0, 45.0)),
    "rh_pct_for_emc": (emc.rh_pct_for_emc, (60.0, 8.0)),
    "emc_pct_from_bulbs": (emc.emc_pct_from_bulbs, (60.0, 45.0, 90_000.0)),
}


@pytest.mark.parametrize("name", CALLS)
def test_numbers_and_arrays_alike(name):
    function, arguments = CALLS[name]
    one = function(*arguments)
    assert type(one) is float
    assert function(*(np.full((2, 3), value) for value in arguments)) == pytest.approx(np.full((2, 3), one), rel=1e-12)
    for place in range(len(arguments)):
        spread = [value * np.array([[1.0], [1.01]]) if i == place else value for i, value in enumerate(arguments)]
        assert function(*spread).shape == (2, 1)
        assert function(*(np.array([]) if i == place else v for i, v in enumerate(arguments))).shape == (0,)
        mixed = [np.array([value, np.nan]) if i == place else value for i, value in enumerate(arguments)]
        assert function(*mixed) == pytest.approx(np.array([one, np.nan]), nan_ok=True, rel=1e-12)
        for endless in (np.inf, -np.inf):
            refused = says(function, *(endless if i == place else value for i, value in enumerate(arguments)))
            assert refused.code == "not_finite" and "unreadable" not in str(refused)


@given(dry=st.floats(-50, 200), rh=st.floats(-50, 150))
def test_any_air_gives_an_emc_or_a_sentence(dry, rh):
    try:
        moisture = emc.emc_pct(dry, rh)
    except OutOfRange:
        error = says(emc.emc_pct, dry, rh)
        assert not (emc.TEMPERATURE_C[0] <= dry <= 100 and 0 <= rh <= 100)
        assert error.code in ("range", "humidity")
        if error.code == "range":
            assert "°F" in str(error) and "°C" in str(error)
    else:
        assert 0 <= moisture < 29
        assert -1.12 <= dry <= 100.001 and -1e-6 <= rh <= 100.001


@given(dry=st.floats(0, 100), wanted=st.floats(-1e6, 1e6))
def test_any_wanted_emc_gives_a_humidity_or_a_sentence(dry, wanted):
    highest = emc.emc_pct(dry, 100.0)
    if 0 <= wanted <= highest:
        assert 0 <= emc.rh_pct_for_emc(dry, wanted) <= 100
    elif wanted < 0:
        assert says(emc.rh_pct_for_emc, dry, wanted).code == "emc_negative"
    elif wanted > highest + 1e-6:
        error = says(emc.rh_pct_for_emc, dry, wanted)
        assert error.code == "emc_too_high" and error.high == highest
        assert "°F" in str(error) and "°C" in str(error)


def test_the_limits_are_30_and_212_f():
    assert emc.emc_pct(F(30.0), 50.0) > 0 and emc.emc_pct(F(212.0), 50.0) > 0
    assert emc.emc_pct(units.to_si(212.0, "temperature"), 100.0) == pytest.approx(21.25, abs=0.01)
    assert "212 °F" in says(emc.emc_pct, F(213.0), 50.0).sentence()
    assert "30 °F" in says(emc.emc_pct, F(29.0), 50.0).sentence()
