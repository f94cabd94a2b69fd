"""The board from green to dry: true to scale, and the water set beside the dry wood."""

import pytest

from kilnlib.bench.panels import open_panel

OAK_TANGENTIAL, OAK_RADIAL = 0.086, 0.040  # Wood Handbook Table 4-3, northern red oak
BELOW = (30 - 7) / 30  # share of the whole shrinkage at 7 %


@pytest.fixture
def panel():
    opened = open_panel("wood")
    yield opened
    opened.close()


def drawn(panel):
    """Lengths in the picture: board across and up, dry wood, bound water, free water."""
    now = panel.artists["now"]
    board = now["board"].get_width(), now["board"].get_height()
    return *board, panel.dry.get_width(), now["bound"].get_width(), now["free"].get_width()


@pytest.mark.parametrize("species", ["red oak", "yellow-poplar", "eastern white pine"])
@pytest.mark.parametrize("mc", [0.0, 7.0, 30.0, 53.0, 106.0])
def test_moisture_content_is_the_bar_of_water_against_the_bar_of_dry_wood(panel, species, mc):
    panel.set(species=species, mc_pct=mc)
    _, _, dry, bound, free = drawn(panel)
    assert (bound + free) / dry == pytest.approx(mc / 100)
    assert bound / dry == pytest.approx(min(mc, 30) / 100)
    assert panel.artists["now"]["free"].get_x() == pytest.approx(panel.dry.get_x() + bound)
    assert panel.artists["now"]["end"].get_xdata()[0] == pytest.approx(panel.dry.get_x() + bound + free)
    assert panel.marks[100].get_position()[0] == pytest.approx(panel.dry.get_x() + dry)


def test_half_the_moisture_content_is_not_half_the_weight(panel):
    assert "25.7 lb on the scale, 12.5 lb of dry wood and 13.2 lb of water" in panel.say(panel.result, "trade")
    panel.set(mc_pct=53.0)
    assert "19.1 lb on the scale, 12.5 lb of dry wood and 6.6 lb of water" in panel.say(panel.result, "trade")


@pytest.mark.parametrize(
    ("grain", "across", "up"),
    [("flatsawn", OAK_TANGENTIAL, OAK_RADIAL), ("quartersawn", OAK_RADIAL, OAK_TANGENTIAL)],
)
def test_the_board_is_drawn_to_its_real_shrinkage(panel, grain, across, up):
    panel.set(species="red oak", grain=grain, mc_pct=30.0)
    green_width, green_thickness, *_ = drawn(panel)
    assert green_width / green_thickness == pytest.approx(8 / 1.125)
    assert "still has its green size" in panel.say(panel.result, "trade")
    panel.set(mc_pct=7.0)
    width, thickness, *_ = drawn(panel)
    assert width / green_width == pytest.approx(1 - across * BELOW)
    assert thickness / green_thickness == pytest.approx(1 - up * BELOW)
    assert f"{8 * across * BELOW:.3f} in narrower" in panel.say(panel.result, "trade")


def test_one_scale_for_both_directions_on_the_screen(panel):
    """A pixel across is a pixel up: the sheet is as many px wide and high as the picture."""
    (axes,) = panel.chart.figure.axes
    assert axes.get_position().bounds == (0, 0, 1, 1)
    assert axes.get_xlim() == (0, panel.chart.width_px)
    assert axes.get_ylim() == (0, panel.chart.height_px)


def test_a_shrinkage_from_memory_says_so(panel):
    for species in panel.controls[0].values:
        panel.set(species=species, mc_pct=7.0)
        assert ("from memory" in panel.say(panel.result, "trade")) == (species == "eastern white pine")


def test_metric(panel):
    panel.set(species="red oak", mc_pct=7.0)
    panel.switch("metric")
    assert "8.48 kg on the scale" in panel.saying.value
    assert "13.4 mm narrower" in panel.saying.value
    assert panel.dry_name.get_text() == "dry wood 7.93 kg"
