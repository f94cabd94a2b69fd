"""Every panel without a browser: situations, extremes, random settings, reset, leaks, refusals, longer words."""

import io
import itertools
import random
import re
import threading
import xml.etree.ElementTree as ET
from dataclasses import fields, replace
from pathlib import Path

import ipywidgets
import numpy as np
import pytest
from matplotlib import font_manager
from PIL import Image, ImageFont

from kilnlib import units, words
from kilnlib.bench.kit import screen
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.panels import open_panel, panel_class, panel_names
from kilnlib.bench.panels.emc import CURVES
from kilnlib.errors import KilnError
from kilnlib.questions.bank import load

BOOKS = Path(__file__).parents[3] / "workbooks"
NAMES = [name for name in panel_names() if issubclass(panel_class(name), App)]


@pytest.fixture(params=NAMES)
def panel(request):
    opened = open_panel(request.param)
    yield opened
    opened.close()


def picture(panel):
    return panel.picture.value


def settings(panel, rng):
    """A random state inside the controls' ranges."""
    state = {}
    for control in panel.controls:
        if isinstance(control, Slider):
            low, high, step = control.range
            state[control.field] = units.to_si(low + step * rng.randrange(int((high - low) / step) + 1), control.kind)
        else:
            state[control.field] = rng.choice(control.values)
    return state


def check(panel, before):
    """After a change: either a new finding that equals the computation, or a sentence over the old picture."""
    if panel.last_error is None:
        said = panel.say(panel.compute(panel.state), panel.system)
        assert said in panel.saying.value.replace("&#x27;", "'")
        assert re.search(r'<(img alt|svg role="img" aria-label)="(.*?)"', picture(panel))[2] == said
    else:
        assert isinstance(panel.last_error, KilnError), panel.last_error
        assert picture(panel) == before
        assert "⚠" in panel.saying.value
    assert "nan" not in panel.saying.value.lower()


def test_there_are_panels():
    assert {"air", "emc"} <= set(NAMES)


@pytest.mark.parametrize("book", sorted(BOOKS.glob("[0-9]*.ipynb")), ids=lambda book: book.stem)
def test_the_prediction_of_a_lesson_is_taken_and_opens_its_panel(book):
    for name, question in re.findall(r'panel\(\\"(\w+)\\", predict=\\"([\w-]+)\\"', book.read_text("utf-8")):
        opened = open_panel(name, question)
        opened.prediction.answer(load(question).answer if load(question).options else "1")
        assert opened.prediction.last_error is None and opened.last_error is None
        assert "⚠" not in opened.prediction.card.feedback.value
        opened.close()


@pytest.mark.parametrize(
    ("name", "question", "before", "then"),
    [
        ("wood", "wood-predict", {"mc_pct": 98.0}, {"mc_pct": 53.0}),
        ("emc", "emc-predict", {"depression_c": 12 / 1.8, "day": 5.0}, {"depression_c": 10 / 1.8, "day": 5.0}),
    ],
)
def test_the_verdict_comes_when_the_picture_bears_it_out_and_not_before(name, question, before, then):
    opened = open_panel(name, question)
    opened.prediction.answer("A")
    opened.set(**before)
    assert "It came out" not in opened.prediction.card.feedback.value
    opened.set(**then)
    assert "It came out otherwise" in opened.prediction.card.feedback.value
    opened.close()


def test_no_handle_carries_the_noise_of_rounding(panel):
    for situation in panel.presets:
        panel.pick(situation)
        for system in ("metric", "trade"):
            panel.switch(system)
            assert all(len(repr(slider.value)) <= 9 for slider in panel.panel_controls.sliders.values())


def test_sliders_are_four_at_most(panel):
    assert sum(isinstance(control, Slider) for control in panel.controls) <= 4


def test_state_is_frozen_and_si(panel):
    assert {control.field for control in panel.controls} <= {field.name for field in fields(panel.State)}
    with pytest.raises(AttributeError):
        setattr(panel.state, fields(panel.State)[0].name, 0)


def test_every_situation_answers_and_leaves_a_ghost(panel):
    assert 2 <= len(panel.presets) <= 8
    for situation in panel.presets:
        before = picture(panel)
        if panel.situation.value == situation:  # it opens so
            panel.pick(situation)
        panel.situation.value = situation
        assert panel.last_error is None
        assert panel.state == replace(panel.opening, **panel.presets[situation])
        assert panel.ghost is not None
        check(panel, before)


def test_a_mark_that_was_left_stays_through_situations_and_moves(panel):
    first, second = list(panel.presets)[:2]
    panel.pick(second)
    panel.keep()
    mark = panel.ghost
    assert mark is panel.result
    panel.pick(first)
    assert panel.ghost is mark
    for control in panel.controls:
        if not isinstance(control, Slider):
            other = next(value for value in control.values if value != getattr(panel.state, control.field))
            panel.chosen(control.field, other)
    assert panel.ghost is mark
    panel.reset()
    panel.pick(second)
    assert panel.ghost is not mark


def test_a_situation_is_named_from_the_start_and_after_a_reset(panel):
    named = panel.situation.label
    assert named and named != "Your own setting"
    assert replace(panel.opening, **panel.presets.get(panel.situation.value, {})) == panel.opening
    slider = next(iter(panel.panel_controls.sliders.values()))
    slider.value = slider.value + (1 if slider.value < slider.max else -1)
    assert panel.situation.label == "Your own setting"
    panel.reset()
    assert panel.situation.label == named


def test_the_unit_switch_names_a_temperature_only_where_there_is_one(panel):
    names = " ".join(name for name, _ in panel.unit_switch.options)
    assert ("°" in names) == (panel.name not in ("wood", "samples", "bill"))


def test_a_situation_answers_again_after_a_slider_moved(panel):
    situation = list(panel.presets)[1]
    panel.situation.value = situation
    wanted = picture(panel)
    field = next(iter(panel.panel_controls.sliders))
    panel.panel_controls.sliders[field].value = panel.panel_controls.sliders[field].value + 1
    assert picture(panel) != wanted
    panel.situation.value = situation
    assert panel.state == replace(panel.opening, **panel.presets[situation])


def test_every_extreme(panel):
    """Of the long lists of the shed, its places and months, the first and the last; tests/cases goes through all."""
    ends = []
    for control in panel.controls:
        if isinstance(control, Slider):
            ends.append([(control.field, units.to_si(end, control.kind)) for end in control.range[:2]])
        else:
            values = control.values if len(control.values) < 12 else control.values[:: len(control.values) - 1]
            ends.append([(control.field, value) for value in values])
    answered = 0
    for corner in itertools.product(*ends):
        before = picture(panel)
        panel.set(**dict(corner))
        check(panel, before)
        answered += panel.last_error is None
    assert answered


def test_fifty_random_settings(panel):
    rng = random.Random(20)
    answered = 0
    for _ in range(50):
        before = picture(panel)
        panel.set(**settings(panel, rng))
        check(panel, before)
        answered += panel.last_error is None
    assert answered >= 5


def test_reset_is_exact(panel):
    opening, said, numbers = picture(panel), panel.saying.value, panel.numbers.value
    panel.pick(next(iter(panel.presets)))
    rng = random.Random(3)
    for _ in range(5):
        panel.set(**settings(panel, rng))
    panel.keep()
    panel.reset_button.click()
    assert panel.state == panel.opening
    assert (picture(panel), panel.saying.value, panel.numbers.value) == (opening, said, numbers)
    for field, slider in panel.panel_controls.sliders.items():
        kind = next(c.kind for c in panel.controls if c.field == field)
        assert slider.value == pytest.approx(units.from_si(getattr(panel.opening, field), kind))


def test_unit_switch_moves_no_state_and_comes_back(panel):

    def seen():
        return picture(panel), panel.numbers.value, [box.value for box in panel.panel_controls.typed.values()]

    opening, state = seen(), panel.state
    panel.unit_switch.value = "metric"
    assert panel.state == state
    assert seen() != opening
    assert "°F" not in panel.saying.value
    panel.unit_switch.value = "trade"
    assert (seen(), panel.state) == (opening, state)


def test_five_rebuilds_leave_no_widgets():
    registry = ipywidgets.widgets.widget._instances
    for name in NAMES:
        open_panel(name)
        count = len(registry)
        for _ in range(5):
            open_panel(name)
        assert len(registry) == count
        screen.View.close_earlier((name, None))
        assert len(registry) < count


def test_any_other_error_becomes_a_sentence_and_is_kept(panel, monkeypatch):
    before = picture(panel)

    def fail(state):
        raise ZeroDivisionError("inside")

    monkeypatch.setattr(panel, "compute", fail)
    field = next(iter(panel.panel_controls.sliders))
    panel.panel_controls.sliders[field].value = panel.panel_controls.sliders[field].value + 1
    assert isinstance(panel.last_error, ZeroDivisionError)
    assert "Press Reset" in panel.saying.value
    assert picture(panel) == before
    monkeypatch.undo()
    panel.reset()
    assert panel.last_error is None
    assert "⚠" not in panel.saying.value


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("43", "Is this Celsius"),
        ("abc", "not a number"),
        ("", "Nothing was typed"),
        ("1,5", "Write the decimal with a point"),
        ("inf", "not a number"),
        ("1e400", "not a number"),
        ("110 kg", "carries the unit kg"),
        ("500", "outside"),
    ],
)
def test_bad_typing_is_refused_in_words_and_kept(typed, says):
    panel = open_panel("air")
    before = picture(panel)
    box = panel.panel_controls.typed["dry_bulb_c"]
    box.value = typed
    assert says in panel.saying.value
    assert box.value == typed
    assert picture(panel) == before
    assert panel.state == panel.opening
    box.value = "120"
    assert panel.last_error is None
    assert panel.state.dry_bulb_c == pytest.approx(units.f_to_c(120))
    assert box.value == "120 °F"


def test_fahrenheit_typed_in_a_celsius_box_is_asked_about():
    panel = open_panel("air")
    panel.switch("metric")
    panel.panel_controls.typed["dry_bulb_c"].value = "110"
    assert "Is this Fahrenheit" in panel.saying.value
    panel.panel_controls.typed["dry_bulb_c"].value = "115 F"
    assert panel.state.dry_bulb_c == pytest.approx(units.f_to_c(115))


@pytest.mark.parametrize("typed", ["-2000", "12000", "-500 m"])
def test_altitude_below_the_dead_sea_or_above_the_limit(typed):
    panel = open_panel("air")
    panel.panel_controls.typed["altitude_m"].value = typed
    assert "outside" in panel.saying.value
    assert panel.state == panel.opening


def test_wet_bulb_above_dry_bulb_keeps_picture_and_both_settings():
    panel = open_panel("air")
    before = picture(panel)
    panel.panel_controls.sliders["wet_bulb_c"].value = 120
    assert "Wet bulb 120 °F is above dry bulb 110 °F" in panel.saying.value
    assert "°C" not in panel.saying.value
    assert picture(panel) == before
    panel.panel_controls.sliders["dry_bulb_c"].value = 130
    assert panel.last_error is None
    assert panel.state.wet_bulb_c == pytest.approx(units.f_to_c(120))


def test_doubled_words_still_fit_the_picture(monkeypatch):
    for key, value in words.TEXT.items():
        if isinstance(value, str):
            monkeypatch.setitem(words.TEXT, key, f"{value} {value}" if len(value) < 30 else f"{value} and so on")
    for name in NAMES:
        panel = open_panel(name)
        panel.pick(next(iter(panel.presets)))
        assert panel.last_error is None
        if "<svg" in picture(panel):
            check_drawn_words(panel)
        if panel.chart is None:
            continue
        width, height = panel.chart.canvas.get_width_height()
        renderer = panel.chart.canvas.get_renderer()
        ticks = {t for axes in panel.chart.figure.axes for t in axes.get_xticklabels() + axes.get_yticklabels()}
        checked = 0
        for text in texts(panel):
            if text.get_visible() and text not in ticks:
                box = text.get_window_extent(renderer)
                assert box.x0 >= -1 and box.x1 <= width + 1, (name, text.get_text(), box)
                assert box.y0 >= -1 and box.y1 <= height + 1, (name, text.get_text(), box)
                checked += 1
        assert checked >= 3


def drawn(panel):
    """The drawing of a panel drawn by hand, and its texts."""
    svg = ET.fromstring(re.search(r"<svg.*</svg>", picture(panel), re.DOTALL)[0])
    return svg, [text for text in svg.iter("text") if "".join(text.itertext()).strip()]


def check_drawn_words(panel):
    """Every text of a drawing lies inside it, measured in a font that is not narrower than what a browser takes."""
    svg, found = drawn(panel)
    _, _, width, height = map(float, svg.get("viewBox").split())
    assert len(found) >= 3
    for text in found:
        font = ImageFont.truetype(font_manager.findfont("DejaVu Sans"), round(float(text.get("font-size"))))
        long, x, y = font.getlength("".join(text.itertext())), float(text.get("x")), float(text.get("y"))
        left = x - long * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        assert left >= -1 and left + long <= width + 1, (panel.name, text.text, left, long)
        assert y - font.size >= -1 and y <= height + 1, (panel.name, text.text, y)


def texts(panel):
    """Text artists of the picture that say something."""
    found = panel.chart.figure.findobj(lambda artist: hasattr(artist, "get_fontsize"))
    return [text for text in found if text.get_text().strip()]


def test_chart_text_is_twelve_points_or_more(panel):
    if panel.chart is None:
        svg, found = drawn(panel)
        points = 0.75 * float(svg.get("width")) / float(svg.get("viewBox").split()[2])  # 12 pt are 16 px
        sizes = [points * float(text.get("font-size")) for text in found]
    else:
        sizes = [text.get_fontsize() for text in texts(panel)]
    assert len(sizes) > 5
    assert min(sizes) >= 12


def test_a_key_shows_a_line_unbroken_dashed_or_dotted_and_no_other_way():
    said = [one for one in words.TEXT.values() if isinstance(one, str)] + [mark for _, _, mark, _ in CURVES.values()]
    marks = [mark for one in said for mark in re.findall("(?:^|[ \n])([━╍╌╸┅·–-]{2,4}|━)(?= |$)", one)]
    assert len(marks) >= 20 and set(marks) == {"━━", "╸╸╸", "····"}


def test_lines_differ_by_more_than_color():
    panel = open_panel("emc")
    styles = {panel.artists["now"][key].get_linestyle() for key in ("cooler", "curve", "warmer")}
    assert len(styles) >= 2
    names = {panel.artists["now"][f"{key}_name"].get_text() for key in ("cooler", "curve", "warmer")}
    assert len(names) == 3


def test_air_point_stands_where_the_handbook_equation_puts_it():
    panel = open_panel("air")
    (x,), (y,) = panel.artists["now"]["point"].get_data()
    assert x == panel.state.dry_bulb_c
    assert y**2 == pytest.approx(panel.result.ratio)


@pytest.mark.parametrize(
    ("what_if", "rh_moves", "ratio_moves"), [("heat", "down", "same"), ("dry", "down", "down"), ("wick", "up", "up")]
)
def test_what_if_arrows_point_the_right_way(what_if, rh_moves, ratio_moves):
    panel = open_panel("air")
    panel.panel_controls.choices["what_if"].value = what_if
    after = panel.result.after
    rh, moisture, ratio = after.rh_pct, after.emc_pct, after.ratio

    def moves(new, old):
        return "same" if np.isclose(new, old, rtol=1e-6) else "up" if new > old else "down"

    assert moves(rh, panel.result.rh_pct) == rh_moves
    assert moves(ratio, panel.result.ratio) == ratio_moves
    assert moves(moisture, panel.result.emc_pct) == rh_moves
    assert panel.artists["now"]["arrow"].get_visible()


def test_every_choice_has_a_word(panel):
    for control in panel.controls:
        if isinstance(control, Choice):
            for value in control.values:
                assert panel.word(f"{control.field}.{value}")
        assert panel.word(control.field)


def stack_drawing(**changes):
    """The stack panel's picture after some changes, and what is in it."""
    panel = open_panel("stack")
    panel.set(**changes)
    assert panel.last_error is None
    return panel, drawn(panel)[0]


def test_streams_are_as_wide_as_their_flow_and_keep_the_air():
    panel, svg = stack_drawing(above=True, ends=True, under=True)
    flow = panel.result.flow
    wide = {"stack": 0.0}
    for path in svg.iter("path"):
        if path.get("data-way"):
            wide[path.get("data-way")] = wide.get(path.get("data-way"), 0.0) + float(path.get("stroke-width")) + 0.3
    assert sum(wide.values()) == pytest.approx(8.0 * flow.total_flow_m3s, rel=0.02)
    for way in ("above", "ends", "under", "stack"):
        assert wide[way] == pytest.approx(8.0 * flow.opening(way).flow_m3s, rel=0.02, abs=0.05)


@pytest.mark.parametrize(("gap", "baffles"), [("above", 3), ("under", 3), ("ends", 2)])
def test_a_switch_takes_the_baffle_out_of_the_drawing_and_leaves_a_ghost(gap, baffles):
    panel = open_panel("stack")
    count = lambda: picture(panel).count("fc-baffle")  # noqa: E731
    assert (count(), panel.ghost) == (4, None)
    before = panel.result
    panel.panel_controls.switches[gap].value = True
    assert getattr(panel.state, gap) is True
    assert count() == baffles
    assert panel.ghost is before
    assert "before: 6 % missed" in picture(panel)
    assert panel.result.flow.bypass_pct > before.flow.bypass_pct + 15
    panel.panel_controls.switches[gap].value = False
    assert count() == 4


def test_a_switch_that_contradicts_a_situation_takes_its_name_away():
    panel = open_panel("stack")
    panel.situation.value = "short"
    panel.panel_controls.switches["above"].value = False
    assert panel.situation.label == "Your own setting"
    assert panel.state.load == "short"


def test_courses_are_shaded_by_their_own_speed():
    from kilnlib.bench.drawings.stack import SPEED_TOP_MS, shade

    panel, svg = stack_drawing(load="mixed")
    fills = [rect.get("fill") for rect in svg.iter("rect")]
    for speed in panel.result.flow.course_speed_ms:
        assert shade(speed) in fills
    assert shade(0.0) == "#f0f6fc" and shade(SPEED_TOP_MS) == shade(2 * SPEED_TOP_MS) == "#0b4580"


def test_the_stack_is_drawn_to_scale():
    """Widths of stack and kiln, heights of stack and gaps, at one scale."""
    panel, svg = stack_drawing(above=True)
    result = panel.result
    boards = next(rect for rect in svg.iter("rect") if rect.get("fill") == "#e3bd8a")
    scale = float(boards.get("width")) / result.stack.width_m
    assert float(boards.get("height")) / scale == pytest.approx(result.stack.height_m, rel=2e-3)
    room = next(rect for rect in svg.iter("rect") if rect.get("stroke") == "#66717a")
    assert float(room.get("width")) / scale == pytest.approx(14 * units.FT_M, rel=2e-3)
    floor = float(room.get("y")) + float(room.get("height"))
    under = floor - float(boards.get("y")) - float(boards.get("height"))
    assert under / scale == pytest.approx(result.gaps.under_m, rel=0.01)


@pytest.mark.parametrize("load", ["full", "short", "mixed", "overfull"])
def test_baffles_stand_on_the_edge_of_the_stack_and_the_scale_holds_the_speed(load):
    for fans in (50.0, 100.0, 150.0):
        panel, svg = stack_drawing(load=load, fan_speed_pct=fans)
        boards = next(rect for rect in svg.iter("rect") if rect.get("fill") == "#e3bd8a")
        baffles = [rect for rect in svg.iter("rect") if rect.get("data-gap")]
        assert {rect.get("data-gap") for rect in baffles} == {"above", "under"}
        assert {rect.get("x") for rect in baffles} == {boards.get("x")}
        mark = next(rect for rect in svg.iter("rect") if rect.get("data-part") == "mean")
        shades = [rect for rect in svg.iter("rect") if rect.get("y") == f"{float(mark.get('y')) + 3:.1f}"]
        left = min(float(rect.get("x")) for rect in shades)
        right = max(float(rect.get("x")) + float(rect.get("width")) for rect in shades) - 0.2
        share = (float(mark.get("x")) + 1.5 - left) / (right - left)
        assert share * 600 == pytest.approx(panel.result.flow.sticker_speed_ms / units.FT_M * 60, abs=3)
        assert max(panel.result.flow.course_speed_ms) < 600 * units.FT_M / 60


def test_air_and_fan_move_with_the_fans_and_stand_still_for_whoever_asks():
    pictures = [picture(stack_drawing(fan_speed_pct=fans)[0]) for fans in (50.0, 100.0)]
    paces = [re.search(r'class="fc-air".*?duration: ([\d.]+)s', drawn)[1] for drawn in pictures]
    assert float(paces[0]) == 2 * float(paces[1])
    assert "@media (prefers-reduced-motion: reduce) {.fc-air, .fc-fan {animation: none;}}" in screen.CSS


def test_unknown_panel_is_a_sentence():
    from kilnlib.bench import panel as open_one

    note = open_one("nothing_like_it")
    shown = note.view.children[1].value
    assert "There is no panel called nothing_like_it" in shown


def test_what_the_browser_does_to_a_handle_moves_nothing():
    """A browser puts a handle on the nearest step and says so; that must not change what was typed or shown."""
    panel = open_panel("air")
    panel.panel_controls.typed["dry_bulb_c"].value = "115.5"
    assert panel.panel_controls.sliders["dry_bulb_c"].value == 116
    typed = panel.state
    assert panel.panel_controls.typed["dry_bulb_c"].value == "115.5 °F"
    panel.slid("dry_bulb_c", 116.0)
    assert panel.state == typed
    panel.slid("dry_bulb_c", 115.0)
    assert panel.state.dry_bulb_c == pytest.approx(units.f_to_c(115))
    for field, slider in panel.panel_controls.sliders.items():
        before = slider.min, slider.max, slider.step, slider.value
        panel.switch("metric")
        panel.slid(field, slider.value)
        assert (slider.min, slider.max, slider.step, slider.value) == before
        panel.switch("trade")
    assert panel.state.dry_bulb_c == pytest.approx(units.f_to_c(115))


def test_a_refused_box_stays_refused_until_it_is_right():
    panel = open_panel("air")
    panel.panel_controls.typed["dry_bulb_c"].value = "inf"
    assert "fc-stale" in panel.picture._dom_classes
    panel.panel_controls.sliders["altitude_m"].value = 1000
    assert "not a number" in panel.saying.value
    assert panel.panel_controls.typed["dry_bulb_c"].value == "inf"
    assert "fc-stale" not in panel.picture._dom_classes
    panel.panel_controls.typed["dry_bulb_c"].value = "120"
    assert "not a number" not in panel.saying.value


def test_two_threads_draw_one_picture():
    """The notebook answers from two threads: the picture must be that of one state, not a mixture."""
    panel = open_panel("air")
    seen = []

    def move(field, values):
        for value in values:
            panel.slid(field, value)

    threads = [
        threading.Thread(target=move, args=("dry_bulb_c", range(111, 131))),
        threading.Thread(target=move, args=("altitude_m", range(1000, 3000, 100))),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    seen.append(picture(panel))
    assert panel.last_error is None
    fresh = open_panel("air")
    fresh.set(**{field: getattr(panel.state, field) for field in ("dry_bulb_c", "wet_bulb_c", "altitude_m")})
    assert seen == [picture(fresh)]


def test_the_picture_sent_has_the_colors_drawn():
    """The picture is packed in 256 colors: none may be far from the one that was drawn."""
    for name in NAMES:
        panel = open_panel(name)
        if panel.chart is None:
            continue
        panel.pick(list(panel.presets)[-1])
        sent = np.asarray(Image.open(io.BytesIO(panel.chart.png())).convert("RGB")).astype(int)
        drawn = np.asarray(panel.chart.canvas.buffer_rgba())[..., :3].astype(int)
        assert np.abs(sent - drawn).mean() < 0.5, name
        assert np.abs(sent - drawn).max() < 80, name
