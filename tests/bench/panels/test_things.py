"""The thing itself beside a chart: what is read from its SVG equals the Result, at ten positions of the sliders."""

import random
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from kilnlib.bench.drawings import bulbs, chase, cup, pull, slice
from kilnlib.bench.panels import open_panel
from kilnlib.units import f_to_c


def svg(panel):
    """The drawing that a panel shows."""
    return ET.fromstring(re.search(r"<svg.*?</svg>", panel.picture.value, re.DOTALL)[0])


def parts(panel, name):
    """Shapes of that name in the drawing."""
    return [shape for shape in svg(panel).iter() if shape.get("data-part") == name]


def words(panel):
    """All that is written in the drawing."""
    return [text.text for text in svg(panel).iter("text")]


def places(shape):
    """Corners of a path of straight lines."""
    return [tuple(map(float, place.split())) for place in re.findall(r"[ML]?(-?[\d.]+ -?[\d.]+)", shape.get("d"))]


@pytest.fixture
def opened(request):
    panel = open_panel(request.param)
    yield panel
    panel.close()


def rim(shape):
    """Height of a cup, in px."""
    top, base = map(float, re.match(r"M\S+ (\S+)V(\S+)H", shape.get("d")).groups())
    return base - top


def full(panel, name):
    """Share of a cup that its water fills [%]."""
    (water,), (glass,) = parts(panel, f"{name}-water"), parts(panel, f"{name}-cup")
    return 100 * float(water.get("height")) / rim(glass)


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_the_water_level_is_the_relative_humidity(opened):
    rng = random.Random(2)
    for _ in range(10):
        dry = rng.randint(75, 195)
        wet = max(dry - rng.randint(0, 30), 60)
        opened.set(dry_bulb_c=f_to_c(dry), wet_bulb_c=f_to_c(wet), what_if="heat")
        assert opened.last_error is None
        result, scale = opened.result, rim(parts(opened, "now-cup")[0]) / opened.result.full_pa
        assert full(opened, "now") == pytest.approx(result.rh_pct, abs=0.4)
        assert full(opened, "after") == pytest.approx(result.after.rh_pct, abs=0.4)
        assert rim(parts(opened, "after-cup")[0]) == pytest.approx(scale * result.after.full_pa, rel=0.01)
        heights = [float(parts(opened, f"{name}-water")[0].get("height")) for name in ("now", "after")]
        assert heights[0] == pytest.approx(heights[1], abs=0.15)  # the water stays
        assert {f"{result.rh_pct:.0f} %", f"{result.after.rh_pct:.0f} %"} <= set(words(opened))


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_cups_of_one_scale_are_as_tall_as_what_the_air_can_hold(opened):
    tall = {}
    for fahrenheit in (80, 110, 140):
        opened.set(dry_bulb_c=f_to_c(fahrenheit), wet_bulb_c=f_to_c(75))
        tall[fahrenheit] = rim(parts(opened, "now-cup")[0]) / opened.result.full_pa
        assert "drawn a quarter as tall" not in words(opened)
    assert min(tall.values()) == pytest.approx(max(tall.values()), rel=0.01)
    opened.set(dry_bulb_c=f_to_c(190), wet_bulb_c=f_to_c(130))
    assert rim(parts(opened, "now-cup")[0]) == pytest.approx(0.25 * tall[110] * opened.result.full_pa, rel=0.01)
    assert "drawn a quarter as tall" in words(opened)


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_no_word_in_the_cup_lies_on_a_line_of_the_cup_before(opened):
    named = 0
    for situation in opened.presets:
        opened.reset()
        opened.pick(situation)
        ghost = opened.ghost
        tall = cup.PA_PX * ghost.full_pa
        lines = [cup.BASE - tall, cup.BASE - tall * ghost.rh_pct / 100]
        for text in svg(opened).iter("text"):
            if text.text in ("room", "water"):
                named += 1
                base = float(text.get("y"))
                assert not any(base - 0.72 * cup.SIZE < line < base + 3 for line in lines), (situation, text.text)
    assert named >= 5


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_water_out_lowers_the_level_and_a_bad_wick_only_claims(opened):
    opened.set(what_if="dry")
    assert rim(parts(opened, "after-cup")[0]) == rim(parts(opened, "now-cup")[0])
    assert full(opened, "after") == pytest.approx(0.8 * full(opened, "now"), abs=0.5)
    opened.set(what_if="wick")
    assert full(opened, "after") == full(opened, "now")
    (claim,) = parts(opened, "claim")
    claimed = 100 * (cup.BASE - float(re.match(r"M\S+ (\S+)h", claim.get("d"))[1])) / rim(parts(opened, "after-cup")[0])
    assert claimed == pytest.approx(opened.result.after.rh_pct, abs=0.5)
    assert claimed > full(opened, "now") + 5


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_the_large_number_is_the_answer_to_the_task(opened):
    assert "<td>87 %</td>" in opened.numbers.value
    opened.set(what_if="heat")
    assert "<td>87 % → 66 %</td>" in opened.numbers.value


@pytest.mark.parametrize("opened", ["air"], indirect=True)
def test_arrow_and_mark_lie_in_front_of_the_dot(opened):
    order = [opened.chart._moving.index(opened.artists["now"][name]) for name in ("point", "arrow", "after")]
    assert order == sorted(order)


@pytest.mark.parametrize("opened", ["bulbs"], indirect=True)
def test_two_columns_stand_at_their_temperatures_beside_one_number(opened):
    rng = random.Random(4)
    for _ in range(10):
        dry = rng.randint(75, 160)
        wet = max(dry - rng.randint(0, 30), 50)
        opened.set(dry_bulb_c=f_to_c(dry), wet_bulb_c=f_to_c(wet))
        assert opened.last_error is None
        for name, fahrenheit in (("dry", dry), ("wet", wet)):
            (column,) = parts(opened, name)
            assert float(column.get("y")) == pytest.approx(bulbs.y(f_to_c(fahrenheit)), abs=0.01)
        assert [shape.text for shape in parts(opened, "rh")] == [f"{opened.result.rh_pct:.0f} %"]
        assert {f"{dry} °F", f"{wet} °F", f"The bulbs stand {dry - wet} °F apart."} <= set(words(opened))


@pytest.mark.parametrize("opened", ["bulbs"], indirect=True)
def test_nothing_on_the_first_panel_waits_for_a_later_lesson(opened):
    shown = opened.picture.value + opened.saying.value + opened.numbers.value
    assert not any(word in shown for word in ("EMC", "dew point", "epression", "lb per lb"))
    assert len(opened.controls) == 2 and opened.numbers.value.count("<tr>") == 1


def mc_at(y):
    """Moisture content at a height of the chase."""
    return (chase.FLOOR - y) / chase.PX


@pytest.mark.parametrize("opened", ["emc"], indirect=True)
def test_boards_hang_at_their_moisture_content_and_the_line_at_the_emc(opened):
    rng = random.Random(3)
    for _ in range(10):
        dry, day = rng.randint(75, 180), rng.randint(0, 14)
        opened.set(dry_bulb_c=f_to_c(dry), depression_c=rng.randint(3, 20) / 1.8, day=float(day))
        assert opened.last_error is None
        (level,) = parts(opened, "emc")
        assert mc_at(float(level.get("d").split()[1].split("H")[0])) == pytest.approx(opened.result.emc_pct, abs=0.02)
        for name, mc in opened.result.boards_pct.items():
            (board,) = parts(opened, name)
            middle = float(board.get("y")) + 0.5 * float(board.get("height"))
            assert mc_at(middle) == pytest.approx(mc, abs=0.02)
            assert f"{mc:.1f}" in words(opened)


@pytest.mark.parametrize("opened", ["emc"], indirect=True)
def test_every_board_that_still_moves_has_an_arrow_to_the_line(opened):
    for dry_f, depression_f in ((110, 8), (140, 24), (70, 21), (90, 5)):
        opened.set(dry_bulb_c=f_to_c(dry_f), depression_c=depression_f / 1.8, day=0.0)
        for name, mc in opened.result.boards_pct.items():
            away = mc - opened.result.emc_pct
            assert len(parts(opened, f"{name}-way")) == (abs(away) > chase.STOPPED_PCT), (name, away)


@pytest.mark.parametrize("opened", ["emc"], indirect=True)
def test_boards_chase_the_line_from_both_sides_and_never_pass_it(opened):
    opened.set(depression_c=8 / 1.8)
    goal, gaps = opened.result.emc_pct, []
    for day in range(15):
        opened.passed(day)
        wet, _, dry = opened.result.boards_pct.values()
        assert dry < goal < wet
        gaps.append(wet - dry)
    assert gaps == sorted(gaps, reverse=True) and gaps[-1] < 0.25 * gaps[0]


@pytest.mark.parametrize("opened", ["emc"], indirect=True)
def test_the_line_runs_on_into_the_chart(opened):
    """The heights of the drawing are those of the chart beside it."""
    axes = opened.panes
    for mc in (0.0, opened.result.emc_pct, 25.0):
        _, y = axes.transData.transform((50.0, mc)) / opened.chart.figure.dpi * 96
        assert chase.HEIGHT - y == pytest.approx(chase.y(mc), abs=0.5)
    assert opened.chart.height_px == chase.HEIGHT and opened.chart.width_px + chase.WIDTH == 640


@pytest.mark.parametrize("opened", ["stress"], indirect=True)
def test_cracks_are_as_wide_as_the_pull_on_a_torn_skin(opened):
    seen = set()
    for situation in ("hard", "wick", "late", "schedule"):
        opened.pick(situation)
        run = opened.result.run
        for day in (1, 3, 5, 8, 12, 18, 22, 30):
            opened.passed(day)
            torn = parts(opened, "crack")
            hours = run.hours[: np.searchsorted(run.hours, min(24.0 * day, run.end_h)) + 1]
            assert bool(torn) == bool((run.index[: len(hours)] > 1.0).any()), (situation, day)
            skin = np.interp(min(24.0 * day, run.end_h), run.hours, run.surface_pa)
            for crack in torn:
                (x, _), _, (far, _) = places(crack)
                assert far - x == pytest.approx(max(pull.opening_px(max(skin, 0.0)), 0.8), abs=0.15)
            state = "open" if torn and skin > 0 else "closed" if torn else "none"
            assert opened.word(f"cracks.{state}") in words(opened)
            seen.add(state)
    assert seen == {"open", "closed", "none"}


@pytest.mark.parametrize("opened", ["stress"], indirect=True)
def test_arrows_part_where_it_is_stretched_and_meet_where_it_is_squeezed(opened):
    opened.pick("hard")
    for day in (2, 3, 5, 8, 10, 12, 15, 20, 25, 30):
        opened.passed(day)
        run = opened.result.run
        for name, stress in (("skin", run.day_surface_pa[day]), ("core", run.day_core_pa[day])):
            arrows = parts(opened, name)
            assert len(arrows) == (2 if abs(stress) > pull.SHORTEST_PA else 0)
            for arrow in arrows:
                (tail, _), (tip, _) = places(arrow)
                outward = abs(tip - pull.MIDDLE) > abs(tail - pull.MIDDLE)
                assert outward == (stress > 0)
                assert abs(tip - tail) == pytest.approx(pull.arrow_px(stress) - 5.4, abs=0.2)


@pytest.mark.parametrize("opened", ["air", "board", "emc", "stress"], indirect=True)
def test_words_of_the_drawing_fit_in_it(opened):
    from matplotlib import font_manager
    from PIL import ImageFont

    for situation in opened.presets:
        opened.pick(situation)
        drawing = svg(opened)
        width, height = float(drawing.get("width")), float(drawing.get("height"))
        for text in drawing.iter("text"):
            size = float(text.get("font-size"))
            assert size >= 16
            font = ImageFont.truetype(font_manager.findfont("DejaVu Sans"), round(0.92 * size))  # as wide as Helvetica
            long, x, y = font.getlength(text.text), float(text.get("x")), float(text.get("y"))
            left = x - long * {"start": 0.0, "middle": 0.5}[text.get("text-anchor", "start")]
            assert left >= -1 and left + long <= width + 1, (situation, text.text, left, long)
            assert y - size >= -1 and y <= height


@pytest.mark.parametrize("opened", ["board"], indirect=True)
def test_the_slice_is_colored_as_wet_as_the_board_is(opened):
    for situation in opened.presets:
        opened.pick(situation)
        for day in (0, 1, 3, 10, 40):
            opened.passed(day)
            run, layers = opened.result.run, parts(opened, "layer")
            wanted = [chase.wetness(mc, slice.FULL_PCT) for mc in run.profile_pct[opened.result.number]]
            assert [layer.get("fill") for layer in layers] == wanted
            middles = [float(layer.get("x")) + 0.5 * float(layer.get("width")) for layer in layers]
            assert middles == sorted(middles)
    blue = lambda color: int(color[5:], 16) - int(color[1:3], 16)  # noqa: E731
    opened.pick("drier")
    opened.passed(3)
    colors = [layer.get("fill") for layer in parts(opened, "layer")]
    assert blue(colors[len(colors) // 2]) > blue(colors[0]) + 60  # a wet core in a dry shell


@pytest.mark.parametrize("opened", ["board"], indirect=True)
def test_the_slice_stands_over_the_faces_of_its_chart(opened):
    axes = opened.panes[0]
    for place, x in ((0.0, slice.LEFT), (1.0, slice.RIGHT)):
        assert axes.transData.transform((place, 50.0))[0] / opened.chart.figure.dpi * 96 == pytest.approx(x, abs=0.5)
    assert opened.chart.height_px + slice.HEIGHT == 400
