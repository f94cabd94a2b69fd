"""Every panel without a browser: situations, extremes, random settings, reset, leaks, refusals, longer words."""

import itertools
import random
from dataclasses import fields, replace

import ipywidgets
import numpy as np
import pytest

from kilnlib import units
from kilnlib.bench import app, screen, words
from kilnlib.bench.app import App, Choice, Slider, open_panel
from kilnlib.errors import KilnError

NAMES = [name for name in app.panel_names() if issubclass(type(open_panel(name)), App)]


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
            low, high, step = control.trade
            state[control.field] = units.to_si(low + step * rng.randrange(int((high - low) / step) + 1), control.kind)
        else:
            state[control.field] = rng.choice(control.values)
    return state


def check(panel, before):
    """After a change: either a new finding that equals the computation, or a sentence over the old picture."""
    if panel.last_error is None:
        said = panel.say(panel.compute(panel.state), panel.system)
        assert said in panel.saying.value.replace("&#x27;", "'")
        assert f'alt="{said}"' in picture(panel)
    else:
        assert isinstance(panel.last_error, KilnError), panel.last_error
        assert picture(panel) == before
        assert "⚠" in panel.saying.value
    assert "nan" not in panel.saying.value.lower()


def test_there_are_panels():
    assert {"air", "emc"} <= set(NAMES)


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
        panel.situation.value = situation
        assert panel.last_error is None
        assert panel.state == replace(panel.opening, **panel.presets[situation])
        assert panel.ghost is not None
        check(panel, before)


def test_a_situation_answers_again_after_a_slider_moved(panel):
    situation = next(iter(panel.presets))
    panel.situation.value = situation
    wanted = picture(panel)
    field = next(iter(panel.panel_controls.sliders))
    panel.panel_controls.sliders[field].value = panel.panel_controls.sliders[field].value + 1
    assert picture(panel) != wanted
    panel.situation.value = situation
    assert panel.state == replace(panel.opening, **panel.presets[situation])


def test_every_extreme(panel):
    ends = []
    for control in panel.controls:
        if isinstance(control, Slider):
            ends.append([(control.field, units.to_si(end, control.kind)) for end in control.trade[:2]])
        else:
            ends.append([(control.field, value) for value in control.values])
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
    opening, state = picture(panel), panel.state
    panel.unit_switch.value = "metric"
    assert panel.state == state
    assert picture(panel) != opening
    assert "°F" not in panel.saying.value
    panel.unit_switch.value = "trade"
    assert (picture(panel), panel.state) == (opening, state)


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


def test_progress_bar_shows_only_while_working(panel):
    panel.progress(0.4)
    assert panel.bar.layout.display == ""
    assert panel.bar.value == 0.4
    panel.progress(1.0)
    assert panel.bar.layout.display == "none"


def test_doubled_words_still_fit_the_picture(monkeypatch):
    for key, value in words.TEXT.items():
        if isinstance(value, str):
            monkeypatch.setitem(words.TEXT, key, f"{value} {value}" if len(value) < 30 else f"{value} and so on")
    for name in NAMES:
        panel = open_panel(name)
        panel.pick(next(iter(panel.presets)))
        assert panel.last_error is None
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


def texts(panel):
    """Text artists of the picture that say something."""
    found = panel.chart.figure.findobj(lambda artist: hasattr(artist, "get_fontsize"))
    return [text for text in found if text.get_text().strip()]


def test_chart_text_is_twelve_points_or_more(panel):
    sizes = [text.get_fontsize() for text in texts(panel)]
    assert len(sizes) > 5
    assert min(sizes) >= 12


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
    _, _, rh, moisture, ratio = panel.result.after

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


def test_unknown_panel_is_a_sentence():
    from kilnlib.bench import panel as open_one

    note = open_one("nothing_like_it")
    shown = note.view.children[1].value
    assert "There is no panel called nothing_like_it" in shown
