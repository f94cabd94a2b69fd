"""What the drawings of lessons 09, 12 and 13 show is read from them and equals the Result, at ten positions."""

import random
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from kilnlib import units
from kilnlib.bench.drawings import machine, shed
from kilnlib.bench.kit.app import Slider
from kilnlib.bench.kit.colors import DARK_WOOD
from kilnlib.bench.panels import open_panel
from kilnlib.bench.panels.bill import PARTS
from kilnlib.bench.panels.core import BANDS, EDGES_C
from kilnlib.units import DAY_S, IN_M


@pytest.fixture
def panel(request, tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "First Charge"))
    opened = open_panel(request.param)
    yield opened
    opened.close()


def positions(panel, seed, count=10):
    """The panel at so many random settings of its controls that it can answer."""
    rng, answered = random.Random(seed), 0
    for _ in range(6 * count):
        state = {}
        for control in panel.controls:
            if isinstance(control, Slider):
                low, high, step = control.range
                number = low + step * rng.randrange(int((high - low) / step) + 1)
                state[control.field] = units.to_si(number, control.kind)
            else:
                state[control.field] = rng.choice(control.values)
        panel.reset()
        panel.set(**state)
        if panel.last_error is None:
            answered += 1
            yield panel.result
        if answered == count:
            return
    raise AssertionError(f"only {answered} positions could be answered")


def svg(panel):
    """The drawing that a panel shows."""
    return ET.fromstring(re.search(r"<svg.*?</svg>", panel.picture.value, re.DOTALL)[0])


@pytest.mark.parametrize("panel", ["machine"], indirect=True)
def test_each_flow_of_the_loop_is_as_wide_as_its_kilowatts_and_the_bucket_as_full_as_its_water(panel):
    for result in positions(panel, 5):
        flows, drawing = result.steady.flows, svg(panel)
        lines = {(line.get("x1"), line.get("y1")): float(line.get("stroke-width")) for line in drawing.iter("line")}
        taken = flows.coil_sensible_w + flows.coil_latent_w
        wanted = {
            ("300", "216"): taken,
            ("529", "196"): taken,
            ("466", "128"): flows.condenser_w,
            ("632", "172"): flows.compressor_w,
            ("100", "372"): flows.strips_w,
            ("230", "372"): flows.fans_w,
            ("40", "200"): flows.walls_w + flows.leak_w,
            ("130", "62"): flows.vent_w,
        }
        for at, heat_w in wanted.items():
            if heat_w <= 1.0:
                assert at not in lines
            else:
                px = max(machine.KW_PX * heat_w / 1e3, machine.LEAST_PX)
                assert lines[at] == pytest.approx(px, abs=0.06), at
        water = [rect for rect in drawing.iter("rect") if rect.get("x") == "482"]
        share = min(flows.drained_kgs * DAY_S / 230.0, 1.0)
        assert sum(float(rect.get("height")) for rect in water) == pytest.approx(36 * max(share, 0.0), abs=0.01)
        boards = [rect for rect in drawing.iter("rect") if rect.get("fill") == DARK_WOOD]
        assert len(boards) == 6


@pytest.mark.parametrize("panel", ["shed"], indirect=True)
def test_the_floor_board_of_the_shed_is_as_much_wider_as_it_grows(panel):
    signs = set()
    for result in positions(panel, 7):
        strips = [one for one in svg(panel).iter("path") if one.get("stroke-width") == "2.5"]
        wide = [
            [float(place.split()[0]) for place in re.findall(r"[ML](\S+ \S+?)(?=[LZ])", one.get("d"))] for one in strips
        ]
        laid, later = (max(places) - min(places) for places in wide)
        assert laid == pytest.approx(shed.BOARD, abs=0.1)
        assert later - laid == pytest.approx(result.grows_m * shed.GROWS_PX_M, abs=0.15)
        words = ["".join(text.itertext()) for text in svg(panel).iter("text")]
        assert f"{result.grows_m / IN_M:.2f} in".replace("-", "−") in words
        signs.add(result.grows_m > 0)
        days, curve = panel.artists["now"]["wood"].get_data()
        assert np.array_equal(days, result.days) and np.array_equal(curve, result.mc_pct)
    assert signs == {True, False}


@pytest.mark.parametrize("panel", ["core"], indirect=True)
def test_the_cut_of_the_piece_is_colored_as_hot_as_it_is(panel):
    for result in positions(panel, 9):
        image = panel.artists["now"]["image"]
        shown = np.asarray(image.get_array(), dtype=float)
        quarter = result.heating.section.section_c[result.picture_index]
        rows, columns = quarter.shape
        for part in (shown[:rows, :columns], shown[::-1][:rows, :columns], shown[:, ::-1][:rows, :columns]):
            assert np.allclose(part, quarter)
        bands = np.clip(np.searchsorted(EDGES_C, quarter, side="right") - 1, 0, len(BANDS) - 1)
        for band, (_, color) in enumerate(BANDS):
            if (bands == band).any():
                where = tuple(np.argwhere(bands == band)[0])
                rgba = image.cmap(image.norm(quarter[where]))
                assert "#" + "".join(f"{round(255 * one):02x}" for one in rgba[:3]) == color
        left, right, low, high = image.get_extent()
        assert abs(right - left) == pytest.approx(result.heating.piece.width_m / IN_M)
        assert abs(high - low) == pytest.approx(result.heating.piece.thickness_m / IN_M)


@pytest.mark.parametrize("panel", ["bill"], indirect=True)
def test_each_bar_of_the_bill_is_as_long_as_its_dollars(panel):
    for result in positions(panel, 11):
        bars = panel.artists["now"]
        assert sum(bars[name].get_width() for name in PARTS) == pytest.approx(result.cost.total_usd)
        assert bars["total"].get_width() == pytest.approx(result.cost.total_usd)
        assert bars["lost"].get_width() == pytest.approx(result.loss.total_usd)
        low, high = bars["lost"].axes.get_xlim()
        assert low <= 0 and max(result.cost.total_usd, result.loss.total_usd) <= high
