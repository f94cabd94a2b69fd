"""The ladder panel: the list is the schedule, the points stand where the wood is, the kiln's limits are kept."""

import pytest

from kilnlib import units
from kilnlib.bench.panels import open_panel
from kilnlib.physics import schedules


@pytest.fixture
def panel():
    opened = open_panel("ladder")
    yield opened
    opened.close()


def listed(panel):
    """The list as rows of text."""
    columns = [panel.artists["now"][f"list_{key}"].get_text().splitlines() for key in ("until", "dry", "wet", "gap")]
    return list(zip(*columns, strict=True))


@pytest.mark.parametrize(
    ("wood", "code"), [("oak", "T4-D2"), ("maple", "T8-C3"), ("maple_8", "T5-C2"), ("ash", "T8-B4")]
)
def test_the_list_is_the_schedule(panel, wood, code):
    panel.set(wood=wood, mc_pct=100.0)
    table = schedules.assemble(code)
    rows = listed(panel)
    assert len(rows) == len(table)
    for (until, dry, wet, gap), rung in zip(rows, table.itertuples(), strict=True):
        assert until.removeprefix("● ") == (f"{rung.mc_above_pct:.0f} %" if rung.mc_above_pct else "end")
        assert (dry, wet, gap) == (f"{rung.dry_bulb_f:.0f}", f"{rung.wet_bulb_f:.0f}", f"{rung.depression_f:.0f}")
    assert code in panel.artists["now"]["title"].get_text()


@pytest.mark.parametrize(("mc", "rung"), [(80, 0), (50.5, 0), (50, 1), (33, 3), (15, 7), (5, 7)])
def test_you_are_here(panel, mc, rung):
    panel.set(mc_pct=float(mc))
    assert [row[0].startswith("●") for row in listed(panel)].index(True) == rung
    wanted = schedules.setpoint("T4-D2", mc)
    values = [point.get_data()[1][0] for point in panel.artists["now"]["points"]]
    assert values[:2] == pytest.approx([wanted.dry_bulb_c, wanted.wet_bulb_c])
    assert {point.get_data()[0][0] for point in panel.artists["now"]["points"]} == {mc}


def test_two_knobs_at_one_change_point_are_said_in_order(panel):
    panel.pick("thirty")
    said = panel.say(panel.result, "trade")
    assert "At 30 %: 110 °F, depression 30 °F; next weighing: 120 °F, depression 30 °F." in said
    panel.set(mc_pct=38.0)
    assert "next weighing" not in panel.say(panel.result, "trade")


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
        assert panel.result.days.same_rh_days > panel.result.days.book_days
    panel.pick("poplar")
    assert "Beyond this kiln (coil 120 °F): 150 °F over 143 °F by the book." in panel.say(panel.result, "trade")
    assert all(line.get_visible() for line in panel.artists["now"]["book"])
    panel.reset()
    assert not any(line.get_visible() for line in panel.artists["now"]["book"])
