"""The face of a board in moving air, and how readily wood lets water move."""

import numpy as np
import pytest
from oracles import says

from kilnlib import tables, units
from kilnlib.errors import NotFound
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.drying import diffusivity, face, surface_of
from kilnlib.physics.wood import SAWN

F = units.f_to_c
AIRS = [
    (F(110), 87.3, 2.0),
    (F(110), 30.0, 0.0),
    (F(180), 25.0, 5.0),
    (F(60), 60.0, 1.0),
    (F(200), 80.0, 3.0),
    (3.0, 5.0, 1.0),
]


@pytest.mark.parametrize("conditions", AIRS)
def test_a_wet_face_sits_at_the_wet_bulb_and_a_dry_one_warms_up(conditions):
    dry, rh, speed = conditions
    curve = face.face_curve(dry, rh, speed)
    wet = air.wet_bulb_c(dry, rh)
    assert curve.temperature_c[0, -1] == pytest.approx(wet, abs=1e-9)
    assert np.all(np.diff(curve.temperature_c[0]) < 0) and np.all(np.diff(curve.loss_kg_m2s[0]) > 0)
    assert np.all(np.diff(curve.mc_pct[0]) >= 0)
    taken = curve.loss_kg_m2s[0, -1] * (2501e3 - 2326.0 * wet)  # ASHRAE ch. 1: what evaporation takes at the wet bulb
    assert taken == pytest.approx(face.film_w_m2k(speed) * (dry - wet), rel=1e-9)


@pytest.mark.parametrize("conditions", AIRS)
def test_nothing_leaves_at_the_emc_of_the_air(conditions):
    dry, rh, speed = conditions
    curve = face.face_curve(dry, rh, speed)
    wanted = emc.emc_pct(dry, rh)
    at = np.interp(wanted, curve.mc_pct[0], curve.loss_kg_m2s[0])
    assert abs(at) <= 1e-6 * curve.loss_kg_m2s[0, -1]
    assert np.interp(0.0, curve.loss_kg_m2s[0], curve.temperature_c[0]) == pytest.approx(dry, abs=1e-6)


@pytest.mark.parametrize("conditions", AIRS[:5])
def test_the_curve_solves_both_balances(conditions):
    """Heat and vapor balance by a fine search over the temperature of a face, with Lewis' relation."""
    dry, rh, speed = conditions
    curve, film, water = face.face_curve(dry, rh, speed), face.film_w_m2k(speed), air.humidity_ratio(dry, rh)
    wet_loss, balance = curve.loss_kg_m2s[0, -1], emc.emc_pct(dry, rh)
    for mc in np.linspace(0.7 * balance, 0.98 * curve.mc_pct[0, -1], 9):
        temperature = np.linspace(air.wet_bulb_c(dry, rh) + 1e-6, min(dry + 20.0, 94.0), 20001)
        temperature = temperature[emc.emc_pct(temperature, 100.0) > mc]
        at_face = air.humidity_ratio(temperature, emc.rh_pct_for_emc(temperature, mc))
        leaving = film / (1006.0 + 1860.0 * water) * (at_face - water)
        left_over = film * (dry - temperature) - leaving * (2501e3 - 2326.0 * temperature)
        assert np.all(np.diff(left_over) < 0)
        if mc < balance and left_over[-1] > 0.0:
            assert dry > 90.0  # it would have to be hotter than boiling to take up so fast
            continue
        exact = np.interp(0.0, left_over[::-1], leaving[::-1])
        ours = np.interp(mc, curve.mc_pct[0], curve.loss_kg_m2s[0])
        assert ours == pytest.approx(exact, abs=0.003 * wet_loss + (0.04 * abs(exact) if mc < balance else 0.0))


def test_more_air_more_loss_and_many_at_once():
    dry, rh, speed = (np.array(column) for column in zip(*AIRS, strict=True))
    many = face.face_curve(dry, rh, speed)
    for row, conditions in enumerate(AIRS):
        one = face.face_curve(*conditions)
        assert many.loss_kg_m2s[row] == pytest.approx(one.loss_kg_m2s[0], rel=1e-6)
    thin = face.face_curve(F(110), 60.0, 2.0, air.pressure_pa(3000.0))
    assert thin.temperature_c[0, -1] == pytest.approx(air.wet_bulb_c(F(110), 60.0, air.pressure_pa(3000.0)))
    assert face.film_w_m2k(3.0) > face.film_w_m2k(1.0) > face.film_w_m2k(0.0) > 0


def test_film_beside_two_other_textbook_rules():
    """Turbulent channel of two 3/4-in stickers and laminar plate one board wide, both from memory: within a third."""
    for speed in (1.5, 2.0, 3.0):
        diameter, width, viscosity, conductivity = 0.0381, 0.2, 1.8e-5, 0.027
        channel = 0.023 * (speed * diameter / viscosity) ** 0.8 * 0.7**0.4 * conductivity / diameter
        plate = 0.664 * (speed * width / viscosity) ** 0.5 * 0.7 ** (1 / 3) * conductivity / width
        for other in (channel, plate):
            assert 0.66 < other / face.film_w_m2k(speed) < 1.34


@pytest.mark.parametrize("bad", [-0.1, 8.1, 30.0])
def test_air_speed_out_of_range(bad):
    assert "Air speed" in str(says(face.film_w_m2k, bad))


def test_simpson_diffusivity_at_the_values_of_the_notes():
    """Worked from the published form by hand: 30, 43, 60, 71 °C at 20 % MC, in units of 1e-10 m²/s."""
    for celsius, expected in ((30.0, 0.66), (43.0, 1.35), (60.0, 3.16), (71.0, 5.25)):
        assert 1e10 * diffusivity.diffusivity_m2s(celsius, 20.0) == pytest.approx(expected, rel=0.02)
    twice = diffusivity.diffusivity_m2s(F(140), 20.0) / diffusivity.diffusivity_m2s(F(110), 20.0)
    assert twice == pytest.approx(2.3, abs=0.05)
    assert diffusivity.diffusivity_m2s(43.0, 90.0) == diffusivity.diffusivity_m2s(43.0, 30.0)
    in_engine = diffusivity.base_m2s("red oak") * diffusivity.warmth(43.0) * np.exp(0.0115 * 20.0)
    assert in_engine / diffusivity.diffusivity_m2s(43.0, 20.0) == pytest.approx(1.4)  # tuned, beside the printed form
    flat, quarter = (diffusivity.diffusivity_m2s(43.0, 20.0, sawn=sawn) for sawn in SAWN)
    assert flat / quarter == pytest.approx(1.15)


def test_siau_diffusivity_at_the_values_of_the_notes():
    for gravity, expected in ((0.63, 2.8), (0.45, 5.5)):
        assert 1e10 * diffusivity.siau_diffusivity_m2s(gravity, 43.0, 20.0) == pytest.approx(expected, rel=0.03)
    oak = diffusivity.siau_diffusivity_m2s(0.63, 43.0, np.array([10.0, 20.0]))
    assert oak / diffusivity.diffusivity_m2s(43.0, np.array([10.0, 20.0])) == pytest.approx([0.8, 2.1], abs=0.05)
    scales = [diffusivity.species_scale(name) for name in ("hickory", "red oak", "yellow-poplar", "white pine")]
    assert scales == sorted(scales) and scales[1] == 1.0


def test_potential_is_the_integral_and_never_falls():
    mc = np.linspace(0.0, 120.0, 4001)
    level, slope = diffusivity.potential(mc, 0.14)
    assert np.all(slope > 0) and np.gradient(level, mc)[1:-1] == pytest.approx(slope[1:-1], rel=1e-3)
    assert slope[mc < 15.0] == pytest.approx(np.exp(0.0115 * mc[mc < 15.0]), rel=1e-3)
    assert slope[mc > 60.0] == pytest.approx(0.14 * np.exp(0.345), rel=1e-6)
    rough, rough_slope = diffusivity.Potential(0.14)(mc)
    assert rough == pytest.approx(level, abs=0.01) and rough_slope == pytest.approx(slope, abs=0.04)
    assert diffusivity.potential(100.0, 0.0)[0] == pytest.approx(diffusivity.potential(60.0, 0.0)[0])


def test_bad_wood():
    assert "flatsawn or quartersawn" in str(says(diffusivity.base_m2s, "red oak", "rift"))
    with pytest.raises(NotFound):
        diffusivity.species_scale("boxelder")
    assert np.isnan(diffusivity.diffusivity_m2s(np.nan, 20.0))


def test_tuned_numbers_say_so():
    rows = {row["name"]: row for row in tables.records("drying_coefficients")}
    assert {name for name, row in rows.items() if row["how"] == "tuned"} == {
        "free_water", "free_water_softwood", "corner", "oak_times", "clinging_air", "skin", "skin_tightens",
        "weight_power",
    }  # fmt: skip
    assert all("rows of drying_checks.csv" in rows[name]["source"] for name in ("free_water", "clinging_air", "skin"))


@pytest.mark.parametrize("conditions", AIRS[:5])
def test_behind_clinging_air_and_skin_the_face_gives_off_what_passes_all_three(conditions):
    """Heat and vapor of red oak, worked through the three resistances one after another."""
    dry, rh, speed = conditions
    oak = surface_of("red oak")
    curve = face.face_curve(dry, rh, speed, surface=oak)
    water, film = air.humidity_ratio(dry, rh), face.film_w_m2k(speed)
    clings, tightens = oak.air_kg_m2s * film / face.film_w_m2k(1.778), diffusivity.COEFFICIENTS["skin_tightens"]
    for mc in np.linspace(0.3 * curve.mc_pct[0, 15], 0.99 * curve.mc_pct[0, -1], 9):
        loss = np.interp(mc, curve.mc_pct[0], curve.loss_kg_m2s[0])
        temperature = np.interp(mc, curve.mc_pct[0], curve.temperature_c[0])
        assert film * (dry - temperature) == pytest.approx(loss * (2501e3 - 2326.0 * temperature), rel=0.01, abs=0.05)
        at_film = water + loss * (1006.0 + 1860.0 * water) / film
        saturated = air.saturation_pressure_pa(temperature)
        vapor = 101325.0 * at_film / (0.62194 + at_film) + loss / clings * air.saturation_pressure_pa(43.0)
        outside = emc.emc_pct(temperature, 100.0 * np.clip(vapor / saturated, 0.0, 1.0))
        moistures = np.linspace(outside, mc, 2001)  # through the skin, which passes the less the drier it is
        passed = oak.skin_kg_m2s * np.trapezoid(np.exp(tightens * (moistures - 30.0)), moistures)
        assert passed == pytest.approx(loss, rel=0.02, abs=0.01 * curve.loss_kg_m2s.max())
    assert curve.mc_pct[0, -1] <= 30.0 + 1e-9 and np.all(np.diff(curve.mc_pct[0]) >= 0)
    bare = face.face_curve(dry, rh, speed)
    assert 0.0 < curve.loss_kg_m2s[0, -1] < 0.5 * bare.loss_kg_m2s[0, -1]
    assert curve.temperature_c[0, -1] > bare.temperature_c[0, -1]  # it gives off less, so it is warmer


def test_speed_acts_on_the_air_that_clings_and_not_on_the_skin():
    oak = surface_of("red oak")
    wet = [face.face_curve(F(110), 87.3, speed, surface=oak).loss_kg_m2s.max() for speed in (0.0, 1.778, 3.556, 8.0)]
    assert wet == sorted(wet) and 1.1 < wet[2] / wet[1] < 1.5
    skin = face.Surface(np.inf, oak.skin_kg_m2s)
    only = [face.face_curve(F(110), 87.3, speed, surface=skin).loss_kg_m2s.max() for speed in (1.778, 3.556)]
    assert only[1] / only[0] < 0.5 + 0.5 * wet[2] / wet[1]  # what is left is the film itself


def test_quartersawn_faces_are_slower_and_bad_wood_is_refused():
    flat, quarter = (surface_of("red oak", sawn) for sawn in SAWN)
    assert flat.skin_kg_m2s / quarter.skin_kg_m2s == pytest.approx(1.15)
    assert "flatsawn or quartersawn" in str(says(surface_of, "red oak", "rift"))
    with pytest.raises(NotFound):
        surface_of("boxelder")
