"""The panel of a year in a shed: what it says, draws and writes under the months is the year that was worked out."""

import re

import numpy as np
import pytest

from kilnlib.bench.drawings import shed as drawing
from kilnlib.bench.panels import open_panel
from kilnlib.cases import shed as case
from kilnlib.physics.storage import MONTHS


@pytest.fixture
def panel():
    opened = open_panel("shed")
    yield opened
    opened.close()


def said(panel):
    return panel.say(panel.result, panel.system)


def test_without_heat_the_wood_goes_where_outdoors_is(panel):
    assert np.allclose(panel.result.shed_pct, panel.result.outdoor_pct, atol=0.05)
    assert "After three months the oak is at 11.8 %" in said(panel) and "wider" in said(panel)


def test_heat_of_the_row_keeps_it_within_a_point_and_too_much_dries_it(panel):
    panel.pick("heated")
    assert np.abs(panel.result.mc_pct - 7.0).max() < 1.0
    panel.pick("too_hot")
    assert panel.result.mc_pct[40:].max() < 5.5 and "narrower" in said(panel)


def test_the_row_under_the_months_is_what_is_needed_and_begins_with_its_month(panel):
    panel.set(month="Oct", target_pct=8.0)
    artists = panel.artists["now"]
    assert [text.get_text() for text in artists["months"]][:4] == ["Oct", "Nov", "Dec", "Jan"]
    assert [int(text.get_text()) for text in artists["needed"]] == [round(1.8 * k) for k in panel.result.needed_k]
    panel.switch("metric")
    assert [int(text.get_text()) for text in artists["needed"]] == [round(k) for k in panel.result.needed_k]


def test_curves_are_the_result(panel):
    x, y = panel.artists["now"]["wood"].get_data()
    assert np.array_equal(x, panel.result.days) and np.array_equal(y, panel.result.mc_pct)
    _, outdoors = panel.artists["now"]["outdoors"].get_data()
    assert np.array_equal(outdoors[:12], panel.result.outdoor_pct)


def test_the_floor_board_grows_and_shrinks_on_the_drawing(panel):
    wide = {}
    for situation in ("cold", "solid", "heated", "too_hot"):
        panel.pick(situation)
        strips = re.findall(
            r'd="M([\d.]+) [\d.]+L([\d.]+) [^"]*" fill="#edd9b5" stroke="#[^"]*" stroke-width="2.5"',
            panel.picture.value,
        )
        laid, later = (float(right) - float(left) for left, right in strips)
        assert laid == pytest.approx(drawing.BOARD)
        wide[situation] = later
    assert wide["cold"] > wide["solid"] > wide["heated"] > drawing.BOARD > wide["too_hot"]


def test_every_place_is_its_own_name(panel):
    assert [value for _, value in panel.panel_controls.choices["place"].options] == list(case.PLACES)
    assert panel.word("place.Chicago, IL") == "Chicago, IL"


def test_every_place_and_every_month_answer(panel):
    """The long lists whole, for test_all.py goes to the ends of them alone."""
    for field, names in (("place", case.PLACES), ("month", MONTHS)):
        for name in names:
            panel.set(**{field: name})
            assert panel.last_error is None and panel.say(panel.result, "trade") in panel.saying.value
            assert "nan" not in panel.saying.value and getattr(panel.state, field) == name
        panel.reset()
