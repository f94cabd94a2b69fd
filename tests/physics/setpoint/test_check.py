"""The setpoint check against situations judged beforehand, the handbook's own steps, and settings drawn at random.

Sixty situations were judged by hand before the rule existed (tests/data/setpoint_situations.csv). On its first run,
written down and unchanged, the rule agreed in 50. The other ten were then read, and led to these changes:

- SIT22: "3x3 in squares" is how the index writes a size; ours did not read it. A slip, mended.
- SIT19: 160 over 110 °F is the last step of T3-D2, which a retrieved source gives for red oak; ours had the index.
- SIT46: the engine's pace convicted a setting one step early; it now has to be over the limit at its slow end too.
- SIT04, SIT23, SIT24: cooler air made good for all of its numbers of drier air. Neither way of running a cooler kiln
  (same RH, same EMC) allows drier air, and white woods are opened cool and dry all the same; now it makes good for
  half. That made SIT03 come out in step, at 0.6 of the schedule's pace: so much slower is now called gentler.

Later changes, made because a fresh reader found advice that endangers a load or contradicts itself, moved none of the
sixty: a depression under 1.5 °F asks for the wick, what keeps a wood white is at most "harder", and cool air within
1.5 °F of what it may have is in step.

The other four stay apart, in KNOWN. What agrees now was partly made to: only the 50 of the first run test the rule.
"""

import dataclasses
import math
import re
from pathlib import Path

import numpy as np
import oracles
import pytest

from kilnlib import tables, units, words
from kilnlib.errors import BadInput, KilnError, NotFound, OutOfRange, worded
from kilnlib.physics import air, pace, softwoods
from kilnlib.physics.air import emc
from kilnlib.physics.drying import Board, Step, dry
from kilnlib.physics.schedules import code_for, ladder, setpoint, thicknesses_for
from kilnlib.physics.setpoint import VERDICTS, check_setpoint, departure, reasons, sources, stage
from kilnlib.physics.setpoint import change as setpoint_change
from kilnlib.physics.setpoint.departure import Departure, verdict, with_other_source
from kilnlib.physics.wood import rough_thickness_m, species_key, species_names
from kilnlib.questions import published
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
ROWS = oracles.rows("setpoint_situations")
KNOWN = {  # id: what ours says, and why both stay
    "SIT03": (
        "in step",
        "by the table a number too mild; the engine puts its pace at that of the schedule, since its air is drier",
    ),
    "SIT08": (
        "gentler",
        "6 °F is published for Oregon white oak; the index has 8 for upland white oak at 33 %: 2 °F milder",
    ),
    "SIT58": (
        "in step",
        "the settings are the schedule's own; that this air is moister than wood at 2 % is a reason beside it",
    ),
    "SIT59": ("wet_above_dry", "readings that cannot be are refused with a sentence; no verdict is given on them"),
    "SIT60": ("wet_too_low", "readings that cannot be are refused with a sentence; no verdict is given on them"),
}
HARSH = ("harder", "too hard")
NEVER = re.compile(r"\b(safe|certified|compliant|guarantee|no risk|simply|just|obviously)\b", re.I)


def check(species, thickness, mc, dry_f, wet_f, **more):
    """By the schedule's step; tests/physics/setpoint/test_stage.py has the other stages."""
    return check_setpoint(species, thickness, mc, F(dry_f), F(wet_f), **{"stage": "drying"} | more)


def codes(found):
    return [reason.code for reason in found.reasons]


def ours(row):
    pressure = air.pressure_pa(float(row["altitude_ft"]) * units.FT_M)
    settings = (float(row[name]) for name in ("mc_pct", "dry_bulb_f", "wet_bulb_f"))
    try:
        return check(row["species"], row["thickness"], *settings, pressure_pa=pressure).verdict
    except KilnError as error:
        return error.code


def test_there_are_sixty_situations():
    assert len(ROWS) >= 60 and {row["verdict"] for row in ROWS} == set(VERDICTS) - {"beyond this kiln"}
    assert len(KNOWN) <= 5 and set(KNOWN) < {row["id"] for row in ROWS}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_situation(row):
    if row["id"] in KNOWN:
        assert ours(row) == KNOWN[row["id"]][0] != row["verdict"]
    else:
        assert ours(row) == row["verdict"]


@pytest.mark.parametrize("species", species_names("schedule"))
def test_every_wood_is_in_step_on_its_own_step(species):
    """In the middle of each rung and on its change point; air that does not exist is set as dry as it goes."""
    thicknesses = {code_for(species, thickness).code: thickness for thickness in thicknesses_for(species)}
    assert thicknesses
    for code, thickness in thicknesses.items():
        for rung in ladder(code):
            top = rung.mc_below_pct or rung.mc_above_pct + 20.0
            for mc in (top, 0.5 * (top + rung.mc_above_pct)):
                step = setpoint(code, mc)
                hot = step.dry_bulb_c
                wet = air.wet_bulb_c(hot, 10.0) if step.as_dry_as_it_goes else step.wet_bulb_c
                found = check_setpoint(species, thickness, mc, hot, wet)
                assert found.verdict == "in step", (species, thickness, mc)
                assert found.change.code == "hold" and "in_step" in codes(found)[:4]


@pytest.mark.parametrize(
    ("species", "green", "expected"),
    [("red oak", 80, "too hard"), ("hard maple", 65, "harder"), ("white ash", 45, "harder"),
     ("yellow-poplar", 95, "in step"), ("eastern white pine", 110, "outside the tables")],
)  # fmt: skip
def test_which_wood_the_common_opening_suits(species, green, expected):
    """110 over 98 °F is common practice: it suits yellow-poplar, is brisk for ash and maple, and checks red oak."""
    found = check(species, "4/4", green, 110, 98, kiln=ThisKiln())
    assert found.verdict == expected
    if expected == "harder":  # by the schedule; the pace is not surely over the limit
        assert departure.SLOW_END * found.numbers.points_per_day < found.numbers.limit_points_per_day
    if expected == "too hard":
        assert found.numbers.points_per_day > found.numbers.limit_points_per_day


def test_a_slip_of_paper():
    """8/4 hard maple, 38 %, 120 over 112: T5-C2 has 5 °F between 40 and 35 %, here there are 8."""
    found = check("hard maple", "8/4", 38, 120, 112)
    assert found.verdict == "harder" and codes(found)[:2] == ["step_early", "too_dry"]
    assert found.numbers.schedule.code == "T5-C2" and found.numbers.step_depression_c * 1.8 == pytest.approx(5.0)
    assert found.numbers.rh_pct == pytest.approx(77.5, abs=0.6)
    change = found.change
    assert change.code == "raise_wet_bulb_steps"  # 115 at once would be three points of EMC
    assert (units.c_to_f(change.dry_bulb_c), units.c_to_f(change.wet_bulb_c)) == pytest.approx((120.0, 114.0))
    assert "115 °F" in worded("setpoint.change", change)
    assert "46.1 °C" in worded("setpoint.change", change, "metric")


def sentences(found, system="trade"):
    return {reason.code: worded("setpoint.reason", reason, system) for reason in found.reasons}


def test_the_settings_of_another_step_are_named_first():
    early = check("hard maple", "8/4", 38, 120, 112)
    said = sentences(early)["step_early"]
    assert "step 3 of schedule T5-C2 (120 °F over 112 °F)" in said and "begins at 35 %. You are 3 points early." in said
    late = check("red oak", "4/4", 38, 110, 106)
    assert (late.verdict, codes(late)[0]) == ("gentler", "step_late")
    assert "step 1" in sentences(late)["step_late"] and "ends at 50 %. You are at 38 %." in sentences(late)["step_late"]
    for other in (check("red oak", "4/4", 80, 110, 98), check("red oak", "4/4", 80, 110, 106)):
        assert not {"step_early", "step_late"} & set(codes(other))
    assert "1.0 points early" in sentences(check("hard maple", "8/4", 36, 120, 112))["step_early"]


def test_a_pace_over_the_limit_leads():
    """Green or later: the step itself stays under the limit, so the pace says something about the setting."""
    for mc in (80, 65):
        found = check("red oak", "4/4", mc, 110, 98)
        assert found.verdict == "too hard" and codes(found)[:2] == ["over_limit", "too_dry"]
        assert found.numbers.step_points_per_day < found.numbers.limit_points_per_day < found.numbers.points_per_day


def test_no_wood_is_over_its_limit_on_its_own_step():
    for species in published.own_schedules():
        code = code_for(species, "4/4").code
        for mc in (33, 45, 60, 78):
            step = setpoint(code, mc)
            numbers = check_setpoint(species, "4/4", mc, step.dry_bulb_c, step.wet_bulb_c).numbers
            assert numbers.points_per_day <= 1.05 * numbers.limit_points_per_day, (species, mc)


def test_the_first_green_day_counts_against_the_limit():
    """No day stands outside: under the schedule's own step red oak keeps its limit from the first morning on."""
    green, later = check("red oak", "4/4", 80, 110, 106), check("red oak", "4/4", 60, 110, 106)
    assert green.verdict == "in step" and "within_limit" in codes(green)
    assert green.numbers.points_per_day == pytest.approx(3.6, abs=0.1)
    assert later.numbers.points_per_day < green.numbers.points_per_day < green.numbers.limit_points_per_day == 3.8


def test_a_change_names_where_it_leads_in_a_kiln_that_cannot_hold_the_step():
    kiln = ThisKiln()
    found = check("yellow-poplar", "4/4", 95, 110, 100, kiln=kiln)
    assert found.change.code == "raise_dry_bulb_toward" and found.change.dry_bulb_c == pytest.approx(F(120))
    told = worded("setpoint.change", found.change)
    assert "120 °F" in told and "toward 126 °F over 120 °F" in told
    assert "126 °F over 120 °F" in sentences(found)["step_out_of_reach"]
    last = check("yellow-poplar", "4/4", 95, 122, 113, kiln=kiln).change  # never hotter than there on this way
    assert last.code == "raise_dry_bulb_toward" and units.c_to_f(last.dry_bulb_c) == pytest.approx(126.3, abs=0.3)
    able = check("yellow-poplar", "4/4", 95, 110, 100)
    assert able.change.code == "raise_dry_bulb" and "there_dry" not in able.change.fields


def test_the_reason_behind_the_change_comes_first_among_equals():
    found = check("white ash", "4/4", 20, 140, 110)
    assert found.change.code == "lower_wet_bulb" and codes(found)[:3] == ["too_moist", "too_cool", "costs_days"]
    assert "costs_days" not in codes(check("basswood", "4/4", 60, 95, 91))  # there slow does harm
    assert "costs_days" not in codes(check("hard maple", "8/4", 38, 120, 112))


def test_warm_moist_air_browns_pine():
    moist, drier = (check("eastern white pine", "4/4", 80, 110, wet_bulb) for wet_bulb in (106, 90))
    assert "stain_brown_now" in codes(moist) and "This is warm moist air" in sentences(moist)["stain_brown_now"]
    assert "stain_brown" in codes(drier) and "stain_brown_now" not in codes(drier)
    assert any(source.about == "stain" for source in moist.sources)


def test_reasons_keep_to_one_decimal():
    for row in (("red oak", "4/4", 80, 110, 98), ("hard maple", "8/4", 38, 120, 112), ("ash", "4/4", 20, 140, 110)):
        found = check(*row)
        for system in ("trade", "metric"):
            said = " ".join(sentences(found, system).values())
            assert not re.search(r"\d\.\d\d", said) and not re.search(r"(\d+\.\d) to \1\b", said)
            assert "points to" not in said and "0.0 %" not in said and "nan" not in said
    near = sentences(check("red oak", "4/4", 60, 110.01, 106.03))["in_step"]  # as a typed RH makes them
    assert "110 °F with a depression of 4 °F; you have 110 °F with 4 °F" in near
    stopped = check("red oak", "8/4", 16, 110, 106)  # wood that takes up water is told no negative loss
    assert stopped.numbers.points_per_day < 0.0 and "-" not in sentences(stopped)["takes_up"]
    found = check("red oak", "4/4", 60, 110, 106)
    assert "off by 0.6 °C" in sentences(found, "metric")["wet_bulb_error"]
    assert "a model fitted to red oak" in sentences(found)["within_limit"]


def test_the_rule_may_only_rise():
    """Deeper or hotter never counts as milder, wherever the edges of the rule lie."""
    gaps, heats = np.linspace(0.1, 40.0, 41), np.linspace(-50.0, 50.0, 51)
    for mc in (60.0, 20.0):
        for number in (1, 2, 3, 7):
            for dry_goes in (False, True):
                got = np.array([
                    [departure.departure(mc, 50 + heat, gap, 50, 6, number, dry_goes).numbers for heat in heats]
                    for gap in gaps
                ])  # fmt: skip
                assert (np.diff(got, axis=0) >= -1e-9).all() and (np.diff(got, axis=1) >= -1e-9).all()


def test_settings_drawn_at_random():
    """No error without a sentence, every number a number, never milder with depression or heat, words for all of it."""
    rng = np.random.default_rng(6)
    inside, outside, rank = species_names("schedule"), ("pine, eastern white", "sassafras"), VERDICTS.index
    seen, refused = set(), 0
    for number in range(50):
        wood = str(rng.choice(outside if number % 10 == 0 else inside))
        thickness = str(rng.choice(thicknesses_for(wood) or ("4/4", "12/4")))
        mc = float(rng.choice([rng.uniform(0, 120), rng.uniform(3, 40)]))
        kiln = [None, ThisKiln(), ThisKiln(altitude_m=2500.0, top_dry_bulb_c=50.0, coil_wet_bulb_limit_c=45.0)][
            int(rng.integers(3))
        ]
        hot, gap = rng.uniform(60, 205), rng.choice([rng.uniform(0, 55), rng.uniform(0, 12)])
        rows = ([(hot, g) for g in sorted(rng.uniform(0, 60, 4))], [(h, gap) for h in sorted(rng.uniform(60, 211, 5))])
        for row in rows:
            last = 0
            for dry_f, depression in row:
                try:
                    found = check(wood, thickness, mc, dry_f, dry_f - depression, kiln=kiln)
                except KilnError as error:
                    refused += 1
                    assert error.code in ("wet_too_low", "boiling")
                    continue
                verdict = found.verdict if found.verdict != "beyond this kiln" else "in step"  # but for the kiln
                assert rank(verdict) >= last, (wood, thickness, mc, row)
                last = rank(verdict)
                seen.add(found.verdict)
                places = [reasons.ORDER.index(reason.place) for reason in found.reasons]
                assert 1 <= len(places) <= 5 and places == sorted(places)
                known = dataclasses.asdict(found.numbers)
                for name in ("rh_pct", "emc_pct", "depression_c", "emc_if_wet_bulb_lower_pct"):
                    assert math.isfinite(known[name])
                air.rh_pct(found.change.dry_bulb_c, found.change.wet_bulb_c, found.numbers.pressure_pa)
                if kiln is not None and not found.change.code.startswith(("ask", "hold_check_wick")):
                    assert found.change.dry_bulb_c <= kiln.top_dry_bulb_c + 1e-3
                    assert found.change.wet_bulb_c <= kiln.coil_wet_bulb_limit_c + 1e-3
                for system in ("trade", "metric"):
                    said = [worded("setpoint.reason", reason, system) for reason in found.reasons]
                    said.append(worded("setpoint.change", found.change, system))
                    assert not any(NEVER.search(text) or "unreadable" in text for text in said)
                for source in found.sources:
                    assert source.source and words.text(f"how.{source.how}")
                    assert words.text(f"setpoint.about.{source.about}")
    assert seen == set(VERDICTS) and refused > 20


def test_the_engine_starts_from_what_the_schedule_left():
    """At 45 % the faces of red oak are near the EMC, the middle is wet; from a flat start it would dry far faster."""
    found = pace.expected_pace("red oak", "4/4", 45.0, F(110), F(105), "T4-D2")
    profile = found.start.profile_pct[0]
    assert profile[0] < 22.0 and profile[-1] > 55.0 and found.start.average_pct[0] == pytest.approx(45.0)
    flat = dry(Board("red oak", rough_thickness_m("4/4"), 45.0), [Step(F(110), F(105))])
    assert 45.0 - flat.average_pct[-1] > 1.8 * found.points_per_day[0]
    given = pace.expected_pace("red oak", "4/4", 45.0, F(110), F(105), history=flat)
    assert given.points_per_day[0] != pytest.approx(found.points_per_day[0], rel=0.05)
    assert check("red oak", "4/4", 45, 110, 105, history=flat).numbers.points_per_day == pytest.approx(
        given.points_per_day[0], rel=0.002
    )  # run beside other settings, in other time steps


def test_one_degree_in_the_wet_bulb():
    """At 110 over 106 °F about 3 points of RH, and about a fifth of the pace of wet oak (Wengert)."""
    numbers = check("red oak", "4/4", 60, 110, 106).numbers
    assert numbers.rh_pct - numbers.rh_if_wet_bulb_lower_pct == pytest.approx(3.0, abs=0.3)
    assert numbers.rh_if_wet_bulb_higher_pct - numbers.rh_pct == pytest.approx(3.0, abs=0.3)
    faster = numbers.points_if_wet_bulb_lower / numbers.points_per_day
    assert 1.1 < faster < 1.3


def test_the_pace_convicts_only_beyond_its_own_error():
    step = Departure(1.0, 0.0, 1.0)
    assert verdict(step, 60.0, 5.8, 3.8, 3.0) == "too hard"
    assert verdict(step, 60.0, 5.6, 3.8, 3.0) == "harder"  # two thirds of it are within the limit
    assert verdict(step, 60.0, 5.8, 3.8, 5.0) == "harder"  # the schedule itself comes out nearly as fast
    assert verdict(step, 14.0, 5.8, 3.8, 3.0) == "harder"  # late: the limit no longer binds
    level = Departure(0.0, 0.0, 0.0)
    assert verdict(level, 60.0, 1.9, 3.8, 3.0) == "gentler" and verdict(level, 60.0, 2.1, 3.8, 3.0) == "in step"
    assert verdict(level, 60.0) == "in step"  # without a pace


@pytest.mark.parametrize(
    ("index", "other", "said"),
    [("gentler", "in step", "in step"), ("gentler", "too hard", "in step"), ("in step", "harder", "in step"),
     ("gentler", "gentler", "gentler"), ("too hard", "harder", "too hard"), ("harder", "too hard", "harder")],
)  # fmt: skip
def test_two_sources(index, other, said):
    assert with_other_source(index, other) == said


def test_red_oak_by_either_source():
    for last in (160, 180):
        assert check("red oak", "4/4", 10, last, last - 50).verdict == "in step"
    assert check("red oak", "4/4", 10, 140, 90).verdict == "gentler"
    assert check("red oak", "4/4", 10, 160, 110, code="T4-D2").verdict == "gentler"  # one schedule, given


def test_dry_air_is_not_made_mild_by_coolness_in_wood_that_checks():
    cool = check("red oak", "4/4", 60, 90, 78)
    assert cool.verdict == "too hard" and "check_prone" in codes(cool)
    hot = check("red oak", "4/4", 60, 125, 123)
    assert hot.verdict == "too hard" and codes(hot)[0] == "too_hot_wet" and hot.change.code == "lower_dry_bulb"


def test_slow_is_not_careful_for_white_wood():
    found = check("basswood", "4/4", 60, 95, 91)
    assert found.verdict == "gentler" and {"stain_blue", "mold"} <= set(codes(found))
    assert found.change.code == "lower_wet_bulb_parts"
    maple = check("hard maple", "4/4", 60, 110, 105)
    assert maple.verdict == "gentler" and "stain_gray" in codes(maple)
    assert maple.change.dry_bulb_c == pytest.approx(F(110))  # no heat while it is wet
    late = check("hard maple", "4/4", 28, 120, 101)
    assert "stain_gray" not in codes(late) and late.change.code == "raise_dry_bulb"
    assert late.change.dry_bulb_c <= F(130) + 1e-6


def test_stalled_wet_and_dripping():
    assert {"takes_up", "condensation"} <= set(codes(check("hard maple", "4/4", 7, 110, 108.2)))
    assert "stalled" in codes(check("red oak", "4/4", 18, 110, 106))
    assert "condensation" not in codes(check("hard maple", "4/4", 40, 120, 116))


def test_what_this_kiln_cannot_hold():
    kiln = ThisKiln()
    hot = check("red oak", "4/4", 10, 180, 130, kiln=kiln)
    assert {"kiln_top_dry_bulb", "kiln_coil_wet_bulb", "step_out_of_reach"} <= set(codes(hot))
    assert hot.change.code == "within_kiln"
    assert (hot.change.dry_bulb_c, hot.verdict) == (pytest.approx(kiln.top_dry_bulb_c), "beyond this kiln")
    there = hot.change
    again = check_setpoint("red oak", "4/4", 10, there.dry_bulb_c, there.wet_bulb_c, kiln=kiln)
    assert again.change.code in ("hold", "hold_at_kiln") and "kiln_top_dry_bulb" not in codes(again)
    assert "kiln_driest_rh" in codes(check("red oak", "4/4", 22, 130, 80, kiln=kiln))
    assert check("red oak", "4/4", 60, 110, 106, kiln=kiln).numbers.pressure_pa == air.pressure_pa(kiln.altitude_m)


@pytest.mark.parametrize(
    ("row", "verdict"),
    [(("white oak", "8/4", 60, 110, 110), "gentler"), (("ash", "4/4", 22, 120, 119), "gentler"),
     (("red oak", "4/4", 60, 125, 123.6), "too hard"), (("white pine", "4/4", 40, 120, 119), "outside the tables")],
)  # fmt: skip
def test_next_to_no_depression_is_a_dry_wick_until_read_again(row, verdict):
    """A dry wick reads the dry bulb: a change made on it dries the load blind."""
    for kiln in (None, ThisKiln()):
        found = check(*row, kiln=kiln)
        assert (found.verdict, found.change.code, codes(found)[0]) == (verdict, "hold_check_wick", "check_wick")
        settings = [units.c_to_f(bulb) for bulb in (found.change.dry_bulb_c, found.change.wet_bulb_c)]
        assert settings == pytest.approx(row[3:])
        told = worded("setpoint.change", found.change)
        assert (
            told.startswith("Change nothing on the kiln. Wet the wick, read again") and "your site’s procedure" in told
        )
        assert "our choice" in sentences(found)["check_wick"] and "condensation" not in codes(found)
    assert check(*row[:4], row[3] - 1.6).change.code != "hold_check_wick"


def test_back_from_too_hot_the_faces_are_not_soaked():
    """Heat goes at once, the EMC rises by little, and the wet bulb does not rise."""
    one = check("red oak", "4/4", 32, 114, 100).change  # the step is 110 over 96
    assert one.code == "lower_dry_bulb_only"
    assert [units.c_to_f(bulb) for bulb in (one.dry_bulb_c, one.wet_bulb_c)] == pytest.approx([110, 100])
    rng = np.random.default_rng(3)
    seen = set()
    for _ in range(60):
        mc, hot, gap = rng.uniform(15, 80), rng.uniform(105, 160), rng.uniform(3, 40)
        found = check("red oak", "4/4", mc, hot, hot - gap)
        if found.change.code.startswith("lower_dry_bulb"):
            seen.add(found.change.code)
            there = found.change
            step_wet = found.numbers.step.dry_bulb_c - found.numbers.step_depression_c
            rise = emc.emc_pct(there.dry_bulb_c, air.rh_pct(there.dry_bulb_c, there.wet_bulb_c)) - found.numbers.emc_pct
            assert rise <= 2.6
            assert there.wet_bulb_c >= step_wet - 1e-6 or there.code.endswith("_steps")
            assert there.wet_bulb_c <= found.numbers.wet_bulb_c + 1e-6
    assert {"lower_dry_bulb", "lower_dry_bulb_steps"} <= seen


@pytest.mark.parametrize(
    "row", [("hard maple", "4/4", 60, 105, 90), ("hard maple", "4/4", 41, 109, 94), ("ash", "4/4", 42, 108, 93)]
)
def test_the_keep_white_setting_is_held_on_purpose(row):
    found = check(*row)
    assert departure.SLOW_END * found.numbers.points_per_day < found.numbers.limit_points_per_day
    assert (found.verdict, found.change.code, codes(found)[0]) == ("harder", "hold_white", "white_on_purpose")
    assert any(source.about == "stain" for source in found.sources)
    assert not {"stain_gray", "stain_gray_thick"} & set(codes(found))


def test_the_keep_white_setting_is_not_for_thick_stock_nor_past_its_bounds():
    thick = check("hard maple", "8/4", 60, 105, 90)
    assert thick.verdict == "too hard" and thick.change.code == "raise_wet_bulb_steps"
    assert "15 °F" not in sentences(thick).get("stain_gray_thick", "")
    for hot, wet in ((112, 97), (105, 85)):
        assert check("hard maple", "4/4", 60, hot, wet).change.code != "hold_white"
    assert check("hard maple", "4/4", 38, 105, 90).change.code != "hold_white"  # no longer wet enough to gray
    wait = check("ash", "4/4", 42, 120, 112)
    assert wait.change.code == "hold_for_color" and codes(wait)[0] == "stain_gray_wait"


def test_in_step_the_step_comes_first_and_oak_is_not_dried_against_mold():
    for row in (("white oak", "4/4", 75, 105, 102), ("red oak", "4/4", 75, 105, 101)):
        found = check(*row)
        assert found.verdict == "in step" and codes(found)[0] == "in_step"
        assert "mold" not in codes(found)
        assert "Do not dry the air" in sentences(found)["mold_fans"]


@pytest.mark.parametrize(("wet", "gap"), [(105, 9.1), (107, 7.0)])
def test_wood_that_stains_blue_is_dried_now(wet, gap):
    found = check("yellow-poplar", "4/4", 60, 110, wet)
    assert found.change.code == "lower_wet_bulb_now" and codes(found)[0] == "stain_blue"
    assert 1.8 * (found.change.dry_bulb_c - found.change.wet_bulb_c) == pytest.approx(gap, abs=0.1)
    there = check_setpoint("yellow-poplar", "4/4", 60, found.change.dry_bulb_c, found.change.wet_bulb_c)
    assert there.verdict in ("gentler", "in step")


def test_the_kiln_does_not_scold_what_it_was_told():
    kiln = ThisKiln()
    told = check("hard maple", "8/4", 12, 140, 105, kiln=kiln).change
    assert told.code == "lower_wet_bulb_toward"
    settings = [units.c_to_f(bulb) for bulb in (told.dry_bulb_c, told.wet_bulb_c)]
    assert settings == pytest.approx([round(bulb) for bulb in settings])
    dialed = check_setpoint("hard maple", "8/4", 12, told.dry_bulb_c, told.wet_bulb_c, kiln=kiln)
    assert dialed.numbers.rh_pct >= kiln.driest_rh_pct and "kiln_driest_rh" not in codes(dialed)
    assert dialed.change.code == "raise_dry_bulb_driest"  # drier only with more heat, which this kiln has
    assert "kiln_driest_rh" not in codes(check("hard maple", "8/4", 12, 140, 99, kiln=kiln))
    assert "kiln_driest_rh" in codes(check("hard maple", "8/4", 12, 140, 97, kiln=kiln))


def test_no_air_adds_water_above_fiber_saturation():
    found = check("red oak", "4/4", 60, 110, 110)
    assert found.numbers.points_per_day < 0.0  # the engine's faces do
    assert "about 0.0 points" in sentences(found)["stalled"]
    assert not re.search(r"(?<!\d)[-−]\d", " ".join(sentences(found).values()))


def test_cool_air_within_what_a_wet_bulb_is_good_for_is_in_step():
    found = check("ash", "8/4", 55, 100, 92)
    assert found.verdict == "in step" and codes(found)[0] == "in_step_cool"
    further = check("cherry", "8/4", 55, 100, 88)
    assert further.verdict in HARSH and further.change.code == "raise_wet_bulb_steps"


def test_on_the_change_point_the_next_weighing_confirms():
    on = check("red oak", "4/4", 30, 110, 96)
    assert codes(on)[0] == "step_late_now" and "let the next weighing confirm" in sentences(on)["step_late_now"]
    assert codes(check("red oak", "4/4", 28, 110, 96))[0] == "step_late"


def test_pine_gets_numbers_and_notes_and_no_ladder():
    found = check("eastern white pine", "4/4", 80, 140, 125)
    assert found.verdict == "outside the tables" and found.numbers.step is None
    assert {"schedule_softwood", "stain_brown", "pitch", "pace_range"} <= set(codes(found))
    low, high = found.numbers.likely_points_per_day
    assert 0.0 < low < found.numbers.points_per_day < high and math.isfinite(found.numbers.emc_pct)
    said = worded("setpoint.change", found.change)
    assert found.change.code == "ask_first" and "130 °F over 100 °F" in said and "mild" not in said
    past = check("eastern white pine", "4/4", 25, 140, 125)
    assert past.change.code in ("ask", "ask_brown")
    assert check("sassafras", "4/4", 40, 130, 120).change.code == "ask"
    assert not any(source.about == "schedule" for source in found.sources)


def test_outside_and_refused():
    assert codes(check("sassafras", "4/4", 40, 130, 120))[0] == "schedule_none"
    assert codes(check("southern red oak", "8/4", 40, 100, 97))[0] == "schedule_air_dry"
    assert codes(check("red oak", "12/4", 70, 105, 102))[0] == "schedule_no_thickness"
    given = check("sassafras", "4/4", 60, 130, 123, code="T8-D4")
    assert given.verdict == "in step" and given.numbers.schedule.how == "given"
    assert check("white pine", "4/4", 60, 130, 123, code="T8-D4").verdict == "outside the tables"
    with pytest.raises(NotFound):
        check("unobtainium", "4/4", 40, 110, 106)
    with pytest.raises(BadInput):
        check("red oak", "thick", 40, 110, 106)
    for bad in (
        (40, 110, 112),
        (40, 110, 20),
        (math.nan, 110, 106),
        (40, math.nan, 106),
        (500, 110, 106),
        (40, 260, 200),
    ):
        with pytest.raises(OutOfRange):
            check("red oak", "4/4", *bad)


def test_woods_without_weight_or_with_four_faces_have_no_pace():
    for found in (check("boxelder", "4/4", 60, 130, 123), check("yellow birch", "3x3 in squares", 50, 110, 105)):
        assert found.verdict == "in step" and "no_pace" in codes(found) and math.isnan(found.numbers.points_per_day)
    with pytest.raises(NotFound):
        pace.expected_pace("yellow birch", "3x3", 50, F(110), F(105), "T3-B3")


def test_one_number_is_what_the_table_says():
    """The ruler: the middle ratio of neighboring depressions that are not capped at the deepest."""
    from kilnlib.physics.schedules.steps import DEPRESSIONS

    pairs = [(a, b) for n in range(1, 8) for a, b in zip(DEPRESSIONS[n], DEPRESSIONS[n + 1], strict=True) if b > a]
    assert np.median([b / a for a, b in pairs]) == pytest.approx(departure.ONE_NUMBER, abs=0.01)
    assert len(pairs) == 30


def test_stain_is_told_of_woods_that_are_known():
    for row in tables.records("stain_risks"):
        assert species_key(row["species"]) == row["species"] and row["risk"] in ("gray", "blue", "brown")
        assert 20.0 < float(row["above_mc_pct"]) <= 40.0


NOTES = {"upland_oak", "index"}  # told beside the reasons


def test_every_code_has_words_and_every_word_a_code():
    source = "".join(
        Path(module.__file__).read_text(encoding="utf-8")
        for module in (reasons, setpoint_change, sources, departure, stage, softwoods)
    )
    milder = ("raise_wet_bulb", "white_way", "lower_dry_bulb", "lower_dry_bulb_only")
    source += " ".join(f'"{way}_steps"' for way in milder)
    source += " ".join(f'"{what}_{name}"' for what in ("hold", "set") for name in stage.OFF_SCHEDULE)
    source += " ".join(f'"{about}"' for about in sources.SOURCES)
    stain = {"stain_gray", "stain_blue", "stain_brown", "kiln_top_dry_bulb", "kiln_coil_wet_bulb", "kiln_driest_rh"}
    for part in ("reason", "change", "about"):
        prefix = f"setpoint.{part}."
        for code in (key.removeprefix(prefix) for key in words.TEXT if key.startswith(prefix)):
            assert f'"{code}"' in source or code in stain, code
    made = set(re.findall(r'Reason\(\s*"(\w+)"', source)) | {
        "too_dry",
        "too_moist",
        "too_hot",
        "too_cool",
        "too_hot_wet",
    }
    assert {f"setpoint.reason.{code}" for code in (made | stain) - NOTES} <= set(words.TEXT)
    assert {f"setpoint.note.{code}" for code in NOTES} <= set(words.TEXT)
    assert {f"setpoint.verdict.{said}" for said in VERDICTS} <= set(words.TEXT)


def test_reasons_do_not_hang_on_rounding_dust():
    """Bulbs at exactly 5 and 10 °F from a step, and a breath beside it, give the same answer in every word."""
    count = 0
    for species, thickness in (("red oak", "4/4"), ("hard maple", "8/4"), ("yellow-poplar", "4/4")):
        for rung in ladder(code_for(species, thickness).code):
            mc = rung.mc_above_pct + 0.5
            for hotter, deeper in ((-10, 0), (-5, 0), (-5, 5), (0, -1), (0, 1), (5, 0), (5, 2), (10, -2)):
                dry, wet = F(rung.dry_bulb_f + hotter), F(rung.dry_bulb_f + hotter - max(rung.depression_f + deeper, 2))
                if rung.as_dry_as_it_goes:
                    continue
                dust = [(0, 0), (1e-12, 0), (-1e-12, 0), (0, 1e-12), (0, -1e-12)]
                found = [check_setpoint(species, thickness, mc, dry + a, wet + b) for a, b in dust]
                said = {(one.verdict, one.change.code, tuple(reason.code for reason in one.reasons)) for one in found}
                assert len(said) == 1, (species, thickness, mc, hotter, deeper, said)
                count += 1
    assert count > 80
