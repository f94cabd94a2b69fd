"""The panel of a load's bill: bars that stand on each other, what a day and ten points are, and prices of one's own."""

from dataclasses import replace

import pytest

from kilnlib.bench.panels import open_panel
from kilnlib.bench.panels.bill import PARTS
from kilnlib.physics.cost import Mill
from kilnlib.store import kiln
from kilnlib.store.mill import load_mill, save_mill


@pytest.fixture
def panel(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "First Charge"))
    opened = open_panel("bill")
    yield opened
    opened.close()


def test_each_bar_begins_where_the_one_before_ends_and_the_last_is_all(panel):
    bars, ends = panel.artists["now"], 0.0
    for name in PARTS:
        assert bars[name].get_x() == pytest.approx(ends)
        ends += bars[name].get_width()
    assert bars["total"].get_width() == pytest.approx(ends) == pytest.approx(panel.result.cost.total_usd)
    assert bars["lost"].get_width() == pytest.approx(panel.result.loss.total_usd)
    assert f"costs ${ends:,.0f}" in panel.say(panel.result, "trade")


def test_money_has_no_switch_of_units(panel):
    def inside(view):
        return {view, *(one for child in getattr(view, "children", ()) for one in inside(child))}

    assert panel.reset_button in inside(panel.view) and panel.unit_switch.layout.display == "none"


def test_ten_points_outweigh_the_electricity_and_half_its_price_moves_little(panel):
    usual = panel.result.cost.total_usd
    panel.pick("ten_more")
    dearer = panel.result.cost.total_usd - usual
    panel.pick("cheap_power")
    assert dearer == pytest.approx(180.0) and usual - panel.result.cost.total_usd == pytest.approx(54.0)
    assert dearer > 108.0


def test_kept_prices_come_back_and_nothing_is_written_before(panel):
    panel.set(electricity_usd_kwh=0.2)
    assert not kiln.kiln_file().exists()
    panel.write()
    assert panel.last_error is None
    assert str(kiln.kiln_file()) in panel.note.value
    assert load_mill().electricity_usd_kwh == pytest.approx(0.2)
    panel.reset()
    panel.take()
    assert panel.state.mill == "own" and panel.state.electricity_usd_kwh == pytest.approx(0.2)


def test_the_wage_of_the_file_counts(panel):
    save_mill(replace(Mill(), wage_usd_h=50.0))
    before = panel.result.cost.labor_usd
    panel.take()
    assert panel.result.cost.labor_usd == pytest.approx(2.0 * before)


def test_a_file_that_cannot_be_read_is_a_sentence_and_the_picture_stays(panel):
    save_mill(Mill())
    kiln.kiln_file().write_text("[mill]\nwage_usd_h = lots\n", encoding="utf-8")
    picture = panel.picture.value
    panel.take()
    assert panel.last_error is not None and panel.picture.value == picture
    panel.write()
    assert kiln.kiln_file().read_text(encoding="utf-8") == "[mill]\nwage_usd_h = lots\n"
