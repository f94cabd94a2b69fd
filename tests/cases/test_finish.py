"""The end of a charge: what is said of the user's kiln follows the kiln's file."""

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kilnlib.bench.panels import panel_class
from kilnlib.cases import finish as case
from kilnlib.physics.drying import at_hours
from kilnlib.questions import bank, stress_checks
from kilnlib.store import kiln
from kilnlib.units import IN_M, f_to_c

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))


def test_a_kiln_saved_anew_is_read_again_after_reset():
    panel = panel_class("finish")()
    done = {"day": 14.0}
    panel.set(**done)
    assert "120 °F" in panel.saying.value and panel.result.run.coil_limit_c == pytest.approx(f_to_c(120.0))
    kiln.save(replace(kiln.ThisKiln(), coil_wet_bulb_limit_c=f_to_c(170.0), top_dry_bulb_c=f_to_c(180.0)))
    panel.reset()
    panel.set(**done)
    assert panel.last_error is None
    assert "120 °F" not in panel.saying.value and "170 °F" in panel.saying.value
    panel.close()


# --- lesson 11 and its key -------------------------------------------------------------------------------------------

SITUATIONS = {
    "Pulled on its average": {"stop": "none", "condition_h": 0.0},
    "Equalized, not conditioned": {"condition_h": 0.0},
    "By the rule": {},
    "Equalized by the clock": {"stop": "clock"},
    "Not equalized at all": {"stop": "none"},
    "Equalizing too late": {"below": 2.6},
    "Conditioned too long": {},
}


def prose(path, cell_id):
    """One cell of a notebook."""
    cells = json.loads((ROOT / path).read_text(encoding="utf-8"))["cells"]
    return next("".join(cell["source"]) for cell in cells if cell["id"] == cell_id)


def finished(situation, hours=None):
    """The end of a charge in one of these situations, conditioned for so many hours."""
    changes = SITUATIONS[situation] | ({} if hours is None else {"condition_h": float(hours)})
    return case.work_out(case.State(day=float(case.LAST_DAY), **changes))


def all_straight(situation):
    """Hours of the slider at which all twelve sections are straight."""
    return [hours for hours in range(0, 73, 4) if finished(situation, hours).count("straight") == 12]


KEY = prose("answers/11_equalize_and_condition_key.ipynb", "look-answers")
LOOK = prose("workbooks/11_equalize_and_condition.ipynb", "look")


def test_the_table_of_the_key_is_what_the_panel_shows():
    rows = re.findall(r"^\| ([A-Z].*?) \| ([\d.]+) % \| ([\d.]+) % \| (\d+) / (\d+) / (\d+) \|$", KEY, re.M)
    assert len(rows) == 11
    for name, driest, wettest, *counts in rows:
        situation = next(one for one in SITUATIONS if name.startswith(one))
        hours = re.search(r"(\d+) hours", name)
        result = finished(situation, hours and hours[1])
        assert [result.mcs_pct.min(), result.mcs_pct.max()] == pytest.approx([float(driest), float(wettest)], abs=0.051)
        assert [result.count(word) for word in ("in", "straight", "out")] == [int(one) for one in counts], name


def test_the_hours_that_suit_all_twelve():
    rule, clock, none = map(all_straight, ("By the rule", "Equalized by the clock", "Not equalized at all"))
    assert f"from {rule[0]} to {rule[-1]} h all" in LOOK and f"from {clock[0]} h on all of them are" in LOOK
    assert f"From {rule[0]} to {rule[-1]} hours all twelve are straight" in KEY
    assert f"all twelve from {clock[0]} hours, and without any equalizing from {none[0]}" in KEY
    averages = [f"{finished('By the rule', hours).mcs_pct.mean():.1f} %" for hours in (rule[0], rule[-1])]
    assert f"at {rule[0]} hours the load averages {averages[0]}, at {rule[-1]} hours {averages[1]}" in KEY


def test_what_the_key_says_of_days_and_points():
    rule, late, clock = map(finished, ("By the rule", "Equalizing too late", "Equalized by the clock"))
    days = (rule.run.ends[1] - rule.run.ends[0], late.run.ends[1], rule.run.ends[1])
    assert f"{days[0]:.1f} days for these twelve" in KEY and 4 < days[0] < 5
    assert "on day {:.1f} instead of {:.1f}".format(*days[1:]) in KEY
    average = [result.run.finish.equalized.average_pct for result in (late, rule)]
    assert "the average at {:.1f} instead of {:.1f}".format(*average) in KEY
    assert f"leaves at {late.mcs_pct.mean():.1f} instead of {rule.mcs_pct.mean():.1f}" in KEY
    equalized = at_hours(clock.run.finish.history, clock.run.finish.ends_h[1]).average_pct[0]
    assert f"leaves equalizing at {equalized.max():.1f} %" in KEY
    gains = rule.mcs_pct - finished("By the rule", 0).mcs_pct
    told = f"{rule.gain_points:.1f} points on average in 24 hours, {gains[-1]:.1f} for the wettest, {gains[0]:.1f} for"
    assert told in KEY
    assert f"bends in by {rule.tips_m[-1] / IN_M:.2f} in" in KEY


def test_answer_c_of_the_prediction_saves_less_than_a_day():
    """Left in the dry air until the wettest is at 7 %: sooner, and too dry. Key, hint and lesson say the same."""
    history, last_step_h = case.dried()
    hour = np.interp(-7.0, -history.average_pct.max(axis=1), history.hours)
    day = (hour - last_step_h + case.LEAD_H) / 24.0
    driest = np.interp(hour, history.hours, history.average_pct.min(axis=1))
    assert f"that is day {day:.1f}, less than a day sooner than by the rule, with the driest at {driest:.1f} %" in KEY
    assert 0 < finished("By the rule").run.ends[1] - day < 1
    hint = next(one.hint for one in bank.load("equalize-predict").misconceptions if one.option == "C")
    assert f"to {driest:.1f} %, and less than a day is saved" in hint


def test_the_lesson_says_that_thick_wood_comes_straight_too_soon():
    thick, thin = (stress_checks.MEASURES["condition_hours"](size) for size in ("8/4", "4/4"))
    assert f"Our model says {thick:.0f}, and it is wrong" in prose(
        "workbooks/11_equalize_and_condition.ipynb", "after-reach"
    )
    discussion = prose("answers/11_equalize_and_condition_key.ipynb", "discussion")
    assert f"comes out at {thick:.0f} hours, sooner than the {thin:.0f} it takes for 4/4" in discussion
