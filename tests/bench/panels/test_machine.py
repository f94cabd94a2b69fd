"""The machine panel: its prediction is about the wet bulb, and what it says follows what it shows."""

import re

import pytest

from kilnlib.bench.panels import open_panel
from kilnlib.bench.panels.machine import Panel
from kilnlib.units import f_to_c


@pytest.fixture
def asked():
    panel = open_panel("machine", "machine-predict")
    panel.prediction.answer("A")
    assert panel.prediction.last_error is None
    yield panel
    panel.close()


def verdict(panel):
    return panel.prediction.card.feedback.value


def test_the_wet_bulb_alone_brings_the_verdict(asked):
    assert asked.picture.layout.display == "" and "Wet bulb, set" in verdict(asked)
    asked.pick("summer")
    assert "the strips follow the dry bulb" not in verdict(asked)
    asked.reset()
    before = asked.result.hours
    asked.set(wet_bulb_c=f_to_c(90))
    assert "the strips follow the dry bulb" in verdict(asked)
    assert asked.result.hours > before + 4.0


@pytest.mark.parametrize(
    ("situation", "says"),
    [
        ("oak", "stays at its set point of 98 °F"),
        ("pine", "above its set point of 100 °F: more water comes"),
        ("iced", "above its set point of 98 °F: the coil is iced"),
        ("vent", "has no call to run"),
        ("cold", "a set point of 98 °F protects nothing"),
    ],
)
def test_each_situation_says_how_the_wet_bulb_stands(asked, situation, says):
    asked.pick(situation)
    assert says in asked.saying.value.replace("\u00a0", " ")


@pytest.mark.parametrize("situation", Panel.presets)
def test_kilowatts_and_kilowatt_hours_agree_as_they_are_shown(asked, situation):
    asked.pick(situation)
    shown = re.findall(r"(?:compressor|strips|fans) ([\d.]+).kW", asked.picture.value)
    kwh = float(dict(asked.readout(asked.result, "trade"))["Electricity, a day"].split()[0])
    assert len(shown) == 3 and 24.0 * sum(map(float, shown)) == pytest.approx(kwh, abs=0.5 + 3 * 24 * 0.005)


def test_what_was_before_stands_in_gray(asked):
    assert "before:" not in asked.picture.value
    asked.pick("vent")
    assert "before: 10.3 gal a day, 5.8 h" in asked.picture.value
