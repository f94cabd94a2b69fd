"""A save of this kiln's numbers is followed by the line at the top and by every panel that says "your kiln"."""

import pytest

from kilnlib.bench import lesson
from kilnlib.bench.kit import memory
from kilnlib.bench.panels import open_panel
from kilnlib.units import FT_M, f_to_c


@pytest.fixture
def form(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    monkeypatch.setattr(memory, "_page", None)  # what a lesson opens is remembered from then on, but not after this
    opened = open_panel("kiln_form")
    yield opened
    opened.close()


def save(form, **typed):
    for field, words in typed.items():
        form.boxes[field].value = words
    form.save()
    assert form.last_error is None


def test_the_line_at_the_top_follows_a_save(form):
    lines = lesson("07_schedules")
    assert "Your kiln: Tamarack Ford, 900 ft. It is the example" in lines.lines.value
    assert lines.lines.value.count("Tamarack Ford") == 1
    save(form, name="Upper kiln", altitude_m="5200")
    assert "Your kiln: Upper kiln, 5,200 ft. The lessons are worked at Tamarack Ford" in lines.lines.value
    assert "Ready." in lines.lines.value and "does not replace" in lines.lines.value
    lines.close()
    save(form, name="Lower kiln")  # a closed line hears nothing


def test_your_kiln_on_the_ladder_is_the_one_in_the_file(form):
    panel = open_panel("ladder")
    panel.pick("own")
    assert "Beyond Tamarack Ford (coil 120 °F)" in panel.saying.value
    save(form, name="Old barn", coil_wet_bulb_limit_c="100")
    assert "Beyond Old barn (coil 100 °F)" in panel.saying.value
    assert panel.situation.value == "own"
    panel.pick("poplar")  # the one at Tamarack Ford stays what it is
    assert "Beyond Tamarack Ford (coil 120 °F)" in panel.saying.value
    panel.close()


def test_your_coil_at_the_end_of_a_charge_is_the_one_in_the_file(form):
    panel = open_panel("finish")
    panel.pick("rule")
    assert "your coil’s limit of 120 °F" in panel.saying.value
    save(form, coil_wet_bulb_limit_c="100")
    assert "120 °F" not in panel.saying.value.split("coil")[-1]
    assert "your coil’s limit of 100 °F" in panel.saying.value or "beyond your kiln" in panel.saying.value
    panel.close()


def test_the_altitude_of_your_kiln_is_the_one_in_the_file(form):
    panel = open_panel("air")
    panel.pick("own")
    save(form, altitude_m="5200")
    assert panel.state.altitude_m == pytest.approx(5200 * FT_M)
    panel.reset()
    panel.set(dry_bulb_c=f_to_c(120.0))
    save(form, altitude_m="3000")
    assert panel.state.altitude_m == panel.opening.altitude_m  # not chosen: nothing moves
    panel.pick("own")
    assert panel.state.altitude_m == pytest.approx(3000 * FT_M)
    panel.close()
