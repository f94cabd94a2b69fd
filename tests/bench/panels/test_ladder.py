"""The ladder panel: the list is the schedule, the points stand where the wood is, the kiln's limits are kept."""

import json
import re
from pathlib import Path

import pytest
from matplotlib import font_manager
from matplotlib.text import Text
from PIL import ImageFont

from kilnlib import units
from kilnlib.bench.panels import open_panel
from kilnlib.cases import ladder as case
from kilnlib.physics import schedules
from kilnlib.questions.calls.schedules import times_in_our_kiln

ROOT = Path(__file__).parents[3]


@pytest.fixture
def panel():
    opened = open_panel("ladder")
    yield opened
    opened.close()


def listed(panel):
    """The list as rows of text."""
    columns = [panel.artists["now"][f"list_{key}"].get_text().splitlines() for key in ("until", "dry", "wet", "gap")]
    return list(zip(*columns, strict=True))


def starred(panel):
    """The rows with their mark."""
    marks = panel.artists["now"]["list_other"].get_text().split("\n")
    return [(*row, mark) for row, mark in zip(listed(panel), marks, strict=True)]


@pytest.mark.parametrize(
    ("wood", "code"), [("oak", "T4-D2"), ("maple", "T8-C3"), ("maple_8", "T5-C2"), ("ash", "T8-B4")]
)
def test_the_list_is_the_schedule(panel, wood, code):
    panel.set(wood=wood, mc_pct=100.0)
    table = schedules.assemble(code)
    rows = listed(panel)
    assert len(rows) == len(table)
    for (until, dry, wet, gap), step in zip(rows, table.itertuples(), strict=True):
        assert until.removeprefix("● ") == (f"{step.mc_above_pct:.0f} %" if step.mc_above_pct else "end")
        assert (dry, wet, gap) == (f"{step.dry_bulb_f:.0f}", f"{step.wet_bulb_f:.0f}", f"{step.depression_f:.0f}")
    assert code in panel.artists["now"]["title"].get_text()


@pytest.mark.parametrize(("mc", "step"), [(80, 0), (50.5, 0), (50, 1), (33, 3), (15, 7), (5, 7)])
def test_you_are_here(panel, mc, step):
    panel.set(mc_pct=float(mc))
    assert [row[0].startswith("●") for row in listed(panel)].index(True) == step
    wanted = schedules.setpoint("T4-D2", mc)
    values = [point.get_data()[1][0] for point in panel.artists["now"]["points"]]
    assert values[:2] == pytest.approx([wanted.dry_bulb_c, wanted.wet_bulb_c])
    assert {point.get_data()[0][0] for point in panel.artists["now"]["points"]} == {mc}


def test_two_knobs_at_one_change_point_are_said_in_order(panel):
    panel.pick("thirty")
    said = panel.say(panel.result, "trade")
    first = "At 30 %: 110 °F, depression 28 °F (no drier than the next step)"
    assert f"{first}; next weighing: 120 °F, depression 30 °F." in said
    panel.set(mc_pct=38.0)
    assert "next weighing" not in panel.say(panel.result, "trade")
    panel.set(mc_pct=27.0)
    said = panel.say(panel.result, "trade")
    assert "At 25 %: 120 °F, depression 34 °F (as dry as a small kiln goes); next weighing: 130 °F" in said
    panel.pick("poplar")
    assert "Next change at 50 %: depression first, heat after the next weighing." in panel.say(panel.result, "trade")


def test_shift_and_floor(panel):
    panel.pick("weak")
    assert panel.result.code == "T4-D1"
    panel.set(shift="hotter")
    assert panel.result.code == "T5-D2"
    panel.pick("modified")
    assert [row[2] for row in listed(panel)] == ["106", "105", "102", "96", "90", "90", "90", "130"]


def test_in_the_kiln_no_limit_is_passed_and_days_are_lost(panel):
    for wood in ("oak", "maple", "maple_8", "ash", "poplar"):
        panel.set(wood=wood, limits="kiln")
        for one in panel.result.settings:
            assert one.dry_bulb_c <= units.f_to_c(160) + 1e-6
            assert one.wet_bulb_c <= units.f_to_c(120) + 1e-4
            assert one.rh_pct >= 25 - 1e-6
        shown = " ".join(map(" ".join, panel.readout(panel.result, "trade")))
        assert panel.result.days.same_rh_days > panel.result.days.book_days
        times = panel.result.days.same_rh_days / panel.result.days.book_days
        assert f"{times:.1f} × book" in shown
    panel.pick("poplar")
    assert "Beyond Tamarack Ford (coil 120 °F): 150 °F over 143 °F by the book." in panel.say(panel.result, "trade")


def test_the_same_emc_is_shown_only_where_it_is_another_setting(panel):
    panel.pick("poplar")
    assert ("Same EMC", "127 °F / 120 °F") in panel.readout(panel.result, "trade")
    panel.set(mc_pct=27.0)
    assert "Same EMC" not in dict(panel.readout(panel.result, "trade"))


def test_beside_it_stands_the_same_wood_by_the_book(panel):
    panel.pick("maple")
    panel.pick("weak")
    assert (panel.ghost.code, panel.result.code) == ("T4-D2", "T4-D1")
    assert [row[4] for row in starred(panel)] == ["*"] * 5 + [""] * 3
    assert panel.artists["now"]["legend"].get_text() == "gray: by the book\n* other than the book"
    panel.set(wood="ash")
    assert (panel.ghost.code, panel.result.code) == ("T8-B4", "T8-B3")
    panel.keep()
    panel.set(wood="poplar", shift="none")
    assert panel.ghost.code == "T8-B3"
    assert panel.artists["now"]["legend"].get_text() == "gray: the one you kept"
    panel.reset()
    assert panel.ghost.code == panel.result.code == "T4-D2"
    assert panel.artists["now"]["legend"].get_text() == ""


@pytest.mark.parametrize("system", ["trade", "metric"])
def test_the_gap_is_the_first_less_the_second_as_shown(panel, system):
    panel.switch(system)
    for wood in ("oak", "maple", "maple_8", "ash", "poplar"):
        for limits in ("none", "modified", "kiln"):
            panel.set(wood=wood, limits=limits)
            for _, dry, wet, gap in listed(panel):
                assert float(dry) - float(wet) == pytest.approx(float(gap), abs=1e-9)


def test_the_picture_hangs_on_the_state_alone(panel):
    fresh = panel.picture.value
    panel.pick("poplar")
    panel.set(mc_pct=33.0, shift="milder")
    panel.switch("metric")
    assert panel.picture.value != fresh
    panel.switch("trade")
    panel.set(wood="oak", shift="none", limits="none", mc_pct=83.0)
    assert panel.picture.value == fresh


def test_how_the_schedule_is_known_stands_in_the_line_of_sources_and_not_over_the_list(panel):
    assert panel.result.how == "memory"
    assert not [one for one in panel.chart.figure.findobj(Text) if "memory" in one.get_text()]
    lesson = (ROOT / "workbooks" / "07_schedules.ipynb").read_text(encoding="utf-8")
    sources = next(line for line in lesson.splitlines() if "**Sources.**" in line)
    assert "AH-188 (1991) ch. 7" in sources and "all from memory" in sources


@pytest.mark.parametrize("system", ["trade", "metric"])
def test_the_numbers_fit_beside_their_labels(panel, system):
    """Values stand on one line in 290 px: what a long one takes, its label and the sentence below lack."""
    panel.switch(system)
    font = ImageFont.truetype(font_manager.findfont(font_manager.FontProperties(weight="bold")), 16)
    for wood in ("oak", "maple", "maple_8", "ash", "poplar"):
        for mc in (100.0, 60.0, 33.0, 10.0):
            panel.set(wood=wood, limits="kiln", mc_pct=mc)
            for _, value in panel.readout(panel.result, system):
                assert font.getlength(value) < 160, value


def test_what_the_key_says_of_the_days():
    """Each ratio as the key has it; and the maple begins in the class of its code."""
    notebook = json.loads((ROOT / "answers" / "07_schedules_key.ipynb").read_text(encoding="utf-8"))
    said = "".join(next(cell["source"] for cell in notebook["cells"] if cell["id"] == "look-answers"))
    found = re.findall(r"about ([\d.]+) times the book’s days", said)
    woods = [times_in_our_kiln(wood) for wood in ("maple", "maple_8", "poplar")]
    assert found == [f"{times:.1f}" for times in woods]
    assert 60 < case.GREEN_PCT["maple"] <= 80  # class C


def test_your_own_kiln_keeps_its_own_limits(panel, tmp_path, monkeypatch):
    from dataclasses import replace

    from kilnlib.store import kiln

    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    kiln.save(replace(kiln.ThisKiln(), coil_wet_bulb_limit_c=units.f_to_c(100.0)))
    panel.set(wood="poplar", mc_pct=95.0, limits="own")
    assert panel.last_error is None
    assert "coil 100 °F" in panel.saying.value
    panel.set(limits="kiln")
    assert "coil 120 °F" in panel.saying.value
