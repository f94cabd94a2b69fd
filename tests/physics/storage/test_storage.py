"""Sheds, packs, places, cooling, sweating and width beside the rows of tests/data; psychrolib where it can tell."""

import math
import re

import oracles
import psychrolib
import pytest

from kilnlib import tables
from kilnlib.errors import NotFound, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.storage import (
    MONTHS,
    cooling_hours,
    drying_by_own_heat_points,
    fractional_change,
    means_emc_pct,
    monthly_means,
    outdoor_emc_pct,
    outside_share,
    places,
    regain_points,
    warmed_rh_pct,
    warmer_by_k,
    water_in_air_kg,
)
from kilnlib.physics.wood import species, width_after
from kilnlib.units import FT_M, IN_M, LB_KG, c_to_f, f_to_c, to_si

F = f_to_c
ROWS = oracles.rows("storage_values")
CLIMATE = oracles.rows("city_climate")
CFM = to_si(1.0, "air_flow")
OAK_LB = 2912 * 5  # oven-dry weight of 5 MBF of red oak, as the rows count it


def rows(pattern, table=None):
    """Match and the numbers of the value of each row; at least one must be there."""
    matched = [(re.search(pattern, row["what"]), row) for row in table or ROWS]
    chosen = [
        (match, [float(part) for part in row["value"].split("/")], row["tolerance"]) for match, row in matched if match
    ]
    assert chosen, pattern
    return chosen


def over_ice(celsius):
    """The rows count humidity below freezing over ice; weather stations and ours over water."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    return psychrolib.GetSatVapPres(celsius) / air.saturation_pressure_pa(celsius)


def test_a_shed_warmer_than_dawn():
    for match, (rh, points), _ in rows(r"dawn (\d+) F at 90 % RH, store (\d+) F warmer"):
        dawn, rise = (float(part) for part in match.groups())
        inside = F(dawn + rise)
        ours = warmed_rh_pct(F(dawn), 90.0, inside)
        if dawn < 32:
            ours *= over_ice(F(dawn))
        assert ours == pytest.approx(rh, abs=1.0), match.string
        assert emc.emc_pct(inside, ours) == pytest.approx(points, abs=0.2), match.string


def test_degrees_above_outdoors():
    """Where the shed would stay under 30 °F our EMC table ends, and it says so."""
    cold = 0
    for match, rises, _ in rows(r"outside (\d+) F, (\d+) % RH: degrees above"):
        outside, rh = (float(part) for part in match.groups())
        for target, rise in zip((6.0, 7.0, 8.0), rises, strict=True):
            if outside + rise < 30.0:
                with pytest.raises(OutOfRange) as caught:
                    warmer_by_k(F(outside), rh, target)
                assert str(caught.value).endswith(".")
                cold += 1
            else:
                over = over_ice(F(outside)) if outside < 32 else 1.0
                assert warmer_by_k(F(outside), rh * over, target) * 1.8 == pytest.approx(rise, abs=1.0), match.string
    assert cold == 9
    assert warmer_by_k(F(100), 20.0, 7.0) == 0.0


def test_fog_warmed():
    ((_, (rh,), tolerance),) = rows("foggy 55 F air heated 35 F")
    assert warmed_rh_pct(F(55), 100.0, F(90)) == pytest.approx(rh, abs=float(tolerance))


def test_outdoor_air_on_hot_wood():
    for match, (rh, points), tolerance in rows(r"outside 60 F 70 % RH against wood at (\d+) F"):
        wood = F(float(match[1]))
        ours = warmed_rh_pct(F(60), 70.0, wood)
        assert ours == pytest.approx(rh, abs=float(tolerance))
        assert emc.emc_pct(wood, ours) == pytest.approx(points, abs=float(tolerance))


def test_beside_psychrolib():
    psychrolib.SetUnitSystem(psychrolib.SI)
    for outside, rh, inside in ((F(20), 90, F(45)), (F(50), 65, F(65)), (F(80), 80, F(100))):
        vapor = rh / 100 * psychrolib.GetSatVapPres(outside)
        if outside > 0.5:  # below freezing it counts over ice, we over water
            assert warmed_rh_pct(outside, rh, inside) == pytest.approx(
                100 * vapor / psychrolib.GetSatVapPres(inside), abs=0.05
            )
    for room, rh in ((70, 40), (75, 60), (80, 70)):
        assert air.dew_point_c(F(room), rh) == pytest.approx(
            psychrolib.GetTDewPointFromRelHum(F(room), rh / 100), abs=0.02
        )
    for dry, wet in ((120, 104), (180, 170)):
        ratio = psychrolib.GetHumRatioFromTWetBulb(F(dry), F(wet), 101325.0)
        kilograms = 10.0 / psychrolib.GetMoistAirVolume(F(dry), ratio, 101325.0) * ratio
        assert water_in_air_kg(10.0, F(dry), F(wet)) == pytest.approx(kilograms, rel=0.002)


def test_sweating():
    for match, (dew,), tolerance in rows(r"boards colder than this sweat in a (\d+) F, (\d+) % room"):
        room, rh = (float(part) for part in match.groups())
        assert c_to_f(air.dew_point_c(F(room), rh)) == pytest.approx(dew, abs=float(tolerance))
    for match, (dew,), tolerance in rows(r"dew point of kiln air (\d+)/(\d+) F"):
        dry, wet = (F(float(part)) for part in match.groups())
        assert c_to_f(air.dew_point_c(dry, air.rh_pct(dry, wet))) == pytest.approx(dew, abs=float(tolerance))


def test_water_that_comes_out_with_the_air():
    for match, (pounds,), tolerance in rows(r"water in 1,000 ft3 of kiln air at (\d+)/(\d+) F"):
        dry, wet = (F(float(part)) for part in match.groups())
        assert water_in_air_kg(1000 * FT_M**3, dry, wet) / LB_KG == pytest.approx(pounds, abs=float(tolerance))


def test_cooling_a_load():
    for match, (hours, left), _ in rows(r"5 MBF oak at 7 %, (\d+) cfm"):
        ours = cooling_hours(OAK_LB * LB_KG, 7.0, float(match[1]) * CFM, outdoor_c=F(110))  # the row counts it hot
        assert cooling_hours(OAK_LB * LB_KG, 7.0, float(match[1]) * CFM) < ours
        assert ours == pytest.approx(hours, rel=0.05)
        assert 100 * math.exp(-12 / ours) == pytest.approx(left, abs=2.0)
    assert cooling_hours(1000.0, 7.0, 0.0) == math.inf


def test_drying_by_its_own_heat():
    for match, (points,), tolerance in rows(r"cooling from (\d+) to (\d+) F at 7 %"):
        start, end = (F(float(part)) for part in match.groups())
        assert drying_by_own_heat_points(7.0, start, end) == pytest.approx(points, abs=float(tolerance))


def test_how_far_boards_go():
    for pattern, thick, faces, temperature in (
        ("1 in, both faces open, 70 F", 1, 2, 70),
        ("1 in, one face .outside", 1, 1, 70),
        ("1 in, one face, 40 F", 1, 1, 40),
        ("2 in, both faces, 70 F", 2, 2, 70),
    ):
        ((_, shares, tolerance),) = rows(pattern)
        for days, share in zip((30, 90), shares, strict=True):
            ours = 100 * fractional_change(thick * IN_M, days, F(temperature), open_faces=faces)
            assert ours == pytest.approx(share, abs=float(tolerance)), (pattern, days)
    assert fractional_change(IN_M, 0, 20.0) == 0.0


def test_outside_boards_of_a_pack():
    ((_, (share,), tolerance),) = rows("pack 8 boards wide x 32 courses")
    assert 100 * outside_share(8, 32) == pytest.approx(share, abs=float(tolerance))
    assert outside_share(1, 1) == outside_share(2, 9) == 1.0


def test_printed_regain():
    ((_, (wrapped,), _),) = rows("complete wrapped package")
    ((_, (pile,), _),) = rows("solid pile, good pile roof")
    ((_, (then,), _),) = rows("^then$")
    ((_, (shed,), _),) = rows("^closed shed$")
    assert regain_points("whole wrapped pack", 30) == pytest.approx(wrapped)
    assert regain_points("closed shed", 30) == pytest.approx(shed)
    assert regain_points("solid pile under a good roof", 75) == pytest.approx(1.5 * pile + then)
    with pytest.raises(NotFound):
        regain_points("barn", 30)


def test_width_change():
    names = {"loblolly pine": "loblolly pine", "Douglas-fir, coast": "Douglas-fir", "sugar maple": "hard maple"}
    for match, coefficients, tolerance in rows(r"^(.+): change per 1 % MC, radial / tangential"):
        if "Douglas" in match[1]:
            continue  # not among our species
        wood = species(names.get(match[1], match[1]))
        for total, printed in zip((wood.radial_pct, wood.tangential_pct), coefficients, strict=True):
            assert width_after(1.0, total, 10.0, 11.0) - 1.0 == pytest.approx(printed, abs=float(tolerance))
    for match, widths, tolerance in rows(r"^(.+): 6 in flatsawn board, 7 to 9 / 10 / 12 %"):
        wood = species(names.get(match[1], match[1]).replace("northern ", ""))
        for mc, grows in zip((9.0, 10.0, 12.0), widths, strict=True):
            ours = width_after(6.0, wood.tangential_pct, 7.0, mc) - 6.0
            assert ours == pytest.approx(grows, abs=float(tolerance)), match.string
    ((_, (gap,), tolerance),) = rows("red oak floor 10 ft wide laid at 10 %")
    assert 120 - width_after(120.0, species("red oak").tangential_pct, 10.0, 7.0) == pytest.approx(
        gap, abs=float(tolerance)
    )


def test_recalled_places_beside_published_means():
    """The recalled table is never the only check: four places from monthly means, five quoted ranges."""
    off = []
    for place in places(measured=True):
        for month in MONTHS:
            ours = means_emc_pct(place, month)
            if not math.isnan(ours):
                off.append(outdoor_emc_pct(place, month) - ours)
    print(
        f"recalled less computed, {len(off)} months: mean {sum(off) / len(off):+.2f}, largest {max(map(abs, off)):.2f}"
    )
    assert len(off) >= 20
    assert abs(sum(off) / len(off)) < 0.5 and math.sqrt(sum(x * x for x in off) / len(off)) < 1.0
    cheyenne = [outdoor_emc_pct("Cheyenne, WY", month) for month in MONTHS]
    quoted = {row["what"]: row["value"] for row in CLIMATE if "Cheyenne" in row["what"]}
    low, high = (float(part) for part in quoted["WY Cheyenne Jul-Oct outdoor EMC"].split("-"))
    assert all(low - 1e-9 <= value <= high + 1e-9 for value in cheyenne[6:10])
    low, high = (float(part) for part in quoted["WY Cheyenne Nov-Jun outdoor EMC"].split("-"))
    assert all(abs(value - (low + high) / 2) < 1.0 for value in cheyenne[10:] + cheyenne[:6])


def test_store_heat_by_month():
    """Degrees above the mean and above the coolest hour, for 7 % EMC, where the published means are whole."""
    names = {
        "IL Chicago": "Chicago, IL",
        "FL Miami": "Miami, FL",
        "CA Fresno": "Fresno, CA",
        "AZ Phoenix": "Phoenix, AZ",
    }
    looked = 0
    for match, (rise,), tolerance in rows(
        r"(.+) TMY2 (\w+) store heat above the (coolest hour|monthly mean) for 7 %", CLIMATE
    ):
        month = monthly_means(names[match[1]], match[2])
        whole = match[3] == "monthly mean"
        outside, rh = (month.mean_c, month.rh_pct) if whole else (month.coolest_c, month.coolest_rh_pct)
        if math.isnan(outside) or math.isnan(rh):
            continue
        over = over_ice(outside) if outside < 0.0 else 1.0
        assert warmer_by_k(outside, rh * over, 7.0) * 1.8 == pytest.approx(rise, abs=float(tolerance)), match.string
        looked += 1
    print(f"{looked} months looked at")
    assert looked >= 20
    for match, (points,), tolerance in rows(r"(.+) TMY2 (\w+) EMC of the monthly means", CLIMATE):
        ours = means_emc_pct(names[match[1]], match[2])
        assert math.isnan(ours) or ours == pytest.approx(points, abs=float(tolerance) + 0.05), match.string


def test_an_oak_load_in_an_unheated_shed_near_chicago_in_april():
    """The question the lesson must answer: where it goes, and how much warmer the shed must be."""
    april = monthly_means("Chicago, IL", "Apr")
    assert means_emc_pct("Chicago, IL", "Apr") == pytest.approx(12.6, abs=0.4)
    assert 15 < warmer_by_k(april.mean_c, april.rh_pct, 7.0) * 1.8 < 21


def test_what_is_not_known_is_said():
    for call in (
        lambda: outdoor_emc_pct("Nowhere", "Apr"),
        lambda: outdoor_emc_pct("Chicago, IL", "source"),
        lambda: monthly_means("Juneau, AK", "Apr"),
        lambda: warmed_rh_pct(20.0, 50.0, 10.0),
        lambda: fractional_change(IN_M, 10, 20.0, open_faces=3),
        lambda: cooling_hours(0.0, 7.0, 1.0),
    ):
        with pytest.raises((OutOfRange, NotFound)) as caught:
            call()
        assert str(caught.value).endswith(".")
    assert {row["how"] for row in tables.records("city_emc")} == {"memory"}
