"""Air over a cold coil, and the machine that keeps it cold: worked-out rows, psychrolib, CoolProp, limits."""

import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from physics.machine.reference import F, numbers, row, rows

from kilnlib.physics.air import pressure_pa, rh_pct
from kilnlib.physics.machine import EXAMPLE, Machine, State, coil, machine_work
from kilnlib.units import FT_M, LB_KG, c_to_f, to_si

CFM = to_si(1.0, "air_flow")
GALLON_KG = 8.33 * LB_KG
SEA_PA = 101325.0


def over(dry_f, wet_f, cold_f, bypass=0.2, pressure=SEA_PA):
    ratio = State.at(F(dry_f), F(wet_f), 0.0, None, pressure).humidity_ratio
    return coil(F(dry_f), ratio, 1000 * CFM, F(cold_f), bypass, pressure)


@pytest.mark.parametrize(("what", "value", "tolerance"), rows(r"^coil .* 1000 cfm: condensate( \(gal/h\))?$"))
def test_condensate_rows(what, value, tolerance):
    dry, wet, cold, bypass = numbers(r"coil (\d+)/(\d+) F, ADP (\d+) F, BF ([\d.]+)", what)
    water = over(dry, wet, cold, bypass).water_kgs * 3600 / GALLON_KG
    assert water == pytest.approx(value, abs=tolerance)


def test_the_worked_case():
    found = over(110, 95, 60)
    pounds = found.water_kgs * 3600 / LB_KG
    btu_h = found.heat_w * 3.412142
    kbtu = {"sensible": found.sensible_w * 3.412142e-3, "latent": found.latent_w * 3.412142e-3}
    for name, ours in (
        ("leaving DB", c_to_f(found.leaving_c)),
        ("leaving W", found.leaving_ratio),
        ("leaving RH", found.leaving_rh_pct()),
        ("lb/h", pounds),
        (r"gal/day\)", pounds / 8.33 * 24),
        ("tons", btu_h / 12000),
        ("sensible heat", kbtu["sensible"]),
        ("latent heat$", kbtu["latent"]),
    ):
        value, tolerance = row("coil 110/95 F, ADP 60 F, BF 0.2", name)
        assert ours == pytest.approx(value, abs=tolerance), name


def test_the_air_before_the_coil():
    state, found = State.at(F(110), F(95), 0.0), over(110, 95, 60)
    for name, ours in (
        ("entering RH", rh_pct(F(110), F(95))),
        ("entering W", state.humidity_ratio),
        ("specific volume", 1000 * 60 / (found.air_kgs / LB_KG * 3600)),
    ):
        value, tolerance = row("coil 110/95 F, ADP 60 F, BF 0.2", name)
        assert ours == pytest.approx(value, abs=tolerance), name


def test_thin_air():
    value, tolerance = row("same coil at 5000 ft")
    found = over(110, 95, 60, pressure=pressure_pa(5000 * FT_M))
    assert found.water_kgs * 3600 / GALLON_KG == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize(("dry", "wet", "cold"), [(80, 75, 45), (110, 95, 60), (130, 100, 60), (150, 110, 75)])
def test_beside_psychrolib(dry, wet, cold):
    """Leaving air and heat by psychrolib's functions alone."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromTWetBulb(F(dry), F(wet), SEA_PA)
    full = psychrolib.GetSatHumRatio(F(cold), SEA_PA)
    leaving = 0.2 * ratio + 0.8 * full
    dry_air = 1000 * CFM / psychrolib.GetMoistAirVolume(F(dry), ratio, SEA_PA)
    found = over(dry, wet, cold)
    assert found.water_kgs == pytest.approx(dry_air * (ratio - leaving), rel=2e-3)
    leaving_c = F(cold) + 0.2 * (F(dry) - F(cold))
    heat = psychrolib.GetMoistAirEnthalpy(F(dry), ratio) - psychrolib.GetMoistAirEnthalpy(leaving_c, leaving)
    assert found.heat_w == pytest.approx(dry_air * (heat - (ratio - leaving) * 4186 * F(cold)), rel=2e-3)


def test_beside_a_real_gas():
    """The humid air of a property library holds 0.5 % more water here."""
    entering = {"T": F(110) + 273.15, "B": F(95) + 273.15, "P": SEA_PA}
    ratio, volume = (HAPropsSI(name, *(x for pair in entering.items() for x in pair)) for name in ("W", "Vda"))
    full = HAPropsSI("W", "T", F(60) + 273.15, "R", 1.0, "P", SEA_PA)
    water = 0.8 * (ratio - full) * 1000 * CFM / volume
    assert over(110, 95, 60).water_kgs == pytest.approx(water, rel=0.01)


def test_a_coil_warmer_than_the_dew_point_makes_no_water():
    for what, dew, _ in rows(r"^dew point at \d+/\d+ F: the coil must be colder"):
        dry, wet = numbers(r"(\d+)/(\d+) F", what)
        assert over(dry, wet, dew + 0.4).water_kgs == 0.0
        assert over(dry, wet, dew - 0.4).water_kgs > 0.0
        assert over(dry, wet, dew + 0.4).latent_w == pytest.approx(0.0, abs=1e-6)


def test_fog_flies_on():
    found = over(110, 109.5, 35, 0.5)
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert found.leaving_ratio > psychrolib.GetSatHumRatio(found.leaving_c, SEA_PA)
    assert found.leaving_rh_pct() == 100.0


def work(dry_f, wet_f, machine=None, ice_kg=0.0):
    state = State.at(F(dry_f), F(wet_f), 0.0)
    return machine_work(machine or Machine(), state.dry_bulb_c, state.humidity_ratio, SEA_PA, ice_kg)


@pytest.mark.parametrize(("what", "value", "tolerance"), rows(r"^example machine at \d+/\d+ F \("))
def test_the_example_machine(what, value, tolerance):
    """Its coil and compressor agree with the sums of the notes; below freezing ours also pays for the ice."""
    found = work(*numbers(r"at (\d+)/(\d+) F", what))
    ours = {
        "ADP": c_to_f(found.coil_c),
        "power": found.compressor_w / 1e3,
        "condensate": found.coil.water_kgs * 86400 / 3.785411784,
        "SMER": found.smer_kg_kwh,
    }
    name = next(name for name in ours if name in what)
    if found.ices and name == "SMER":
        assert value - 2 * tolerance < ours[name] < value  # freezing takes an eighth more heat than condensing
    else:
        assert ours[name] == pytest.approx(value, abs=tolerance)


def test_half_the_air_over_the_coil():
    for what, value, tolerance in rows("coil air .* cfm: condensate"):
        (cfm,) = numbers(r"coil air (\d+) cfm", what)
        found = work(110, 95, Machine(coil_air_m3s=cfm * CFM))
        assert found.coil.water_kgs * 86400 / 3.785411784 == pytest.approx(value, abs=tolerance)


def test_coil_and_compressor_agree():
    for dry, wet in ((50, 46), (110, 98), (150, 110)):
        found = work(dry, wet)
        assert found.condenser_w == pytest.approx(found.coil.heat_w + found.compressor_w)
        assert found.condensing_c - F(dry) == pytest.approx(25 / 1.8)
    assert work(110, 95).condenser_rise_k * 1.8 == pytest.approx(15.0, abs=0.2)
    assert EXAMPLE["condenser_air"] / CFM == pytest.approx(1740)


def test_ice_takes_the_air_away():
    free, iced = work(110, 98), work(110, 98, ice_kg=3.0)
    assert iced.coil.water_kgs < 0.7 * free.coil.water_kgs and iced.coil_c < free.coil_c
    assert work(50, 46).ices and not work(110, 98).ices
