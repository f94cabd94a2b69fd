"""Reading and writing quantities."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kilnlib import units
from kilnlib.errors import BadInput
from kilnlib.typed import parse_quantity

KILN_C = (units.f_to_c(32.0), units.f_to_c(212.0))


def refused(text, kind="temperature", **options):
    """The code and sentence with which a text is refused."""
    with pytest.raises(BadInput) as caught:
        parse_quantity(text, kind, **options)
    sentence = caught.value.sentence()
    assert sentence.endswith((".", "?", ").")), sentence
    assert str(caught.value)
    return caught.value.code, sentence


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("110", "temperature", units.f_to_c(110.0)),
        ("110 F", "temperature", units.f_to_c(110.0)),
        ("110°F.", "temperature", units.f_to_c(110.0)),
        ("43.3 C", "temperature", 43.3),
        ("43.3 ºC", "temperature", 43.3),
        ("−5 °C", "temperature", -5.0),
        ("+5 c", "temperature", 5.0),
        ("12 %", "percent", 12.0),
        ("12.0", "percent", 12.0),
        ("12.", "percent", 12.0),
        (".5", "percent", 0.5),
        ("12 percent", "percent", 12.0),
        ("1-1/8 in", "thickness", 1.125 * 0.0254),
        ("1 1/8", "thickness", 1.125 * 0.0254),
        ('3/4"', "thickness", 0.75 * 0.0254),
        ("3 / 4 inch", "thickness", 0.75 * 0.0254),
        ("27 mm", "thickness", 0.027),
        ("2,500 ft", "altitude", 2500 * 0.3048),
        ("2 500 ft", "altitude", 2500 * 0.3048),
        ("2\u202f500 m", "altitude", 2500.0),
        ("1,234,567.5 bf", "board_feet", 1234567.5 * 0.3048**2 * 0.0254),
        ("1e3", "altitude", 304.8),
        ("12 oz", "weight", 0.75 * 0.45359237),
        ("350 fpm", "air_speed", 350 * 0.3048 / 60),
        ("2.4 %/day", "points", 2.4),
        ("40 m³", "board_feet", 40.0),
        ("27 days", "days", 27.0),
        ("$70", "money", 70.0),
        ("-$1,200", "money", -1200.0),
        ("70 dollars", "money", 70.0),
        ("12", "power_price", 0.12),
        ("12 cents", "power_price", 0.12),
        ("$0.12", "power_price", 0.12),
        ("$900", "lumber_price", 900 / (1000 * 0.3048**2 * 0.0254)),
        ("380 $/m3", "lumber_price", 380.0),
        ("900 $", "lumber_price", 900 / (1000 * 0.3048**2 * 0.0254)),
    ],
)
def test_what_people_type(text, kind, si):
    assert parse_quantity(text, kind) == pytest.approx(si, rel=1e-12)


def test_a_plain_number_is_in_the_shown_unit():
    assert parse_quantity("43", "temperature", "metric") == 43.0
    assert parse_quantity("900", "altitude", "metric") == 900.0
    assert parse_quantity("110 F", "temperature", "metric") == pytest.approx(43.333, abs=0.001)


def test_a_difference_is_not_a_temperature():
    assert parse_quantity("10", "temperature_difference") == pytest.approx(5.5556, abs=1e-4)
    assert parse_quantity("10 C", "temperature_difference") == 10.0
    assert units.show(10 / 1.8, "temperature_difference") == "10 °F"


@pytest.mark.parametrize(
    "text",
    [
        *("ten", "12 3", "1.5.2", "--5", "1/0", "3/", "/3", "½", "inf", "-inf", "nan", "%", "°F", "12 %%", "1,23,4"),
        *("1.234,5", "12 apples", "0x10", "1_000", "1e999", "9" * 500, "1e" + "9" * 6000),
    ],
)
def test_not_a_number(text):
    for kind in ("temperature", "percent", "thickness"):
        code, sentence = refused(text, kind)
        assert code == "not_a_number"
        assert "Type something like" in sentence and len(sentence) < 140


@pytest.mark.parametrize("text", ["", "   ", "\t\n", "\u00a0"])
def test_empty(text):
    assert refused(text) == ("empty", "Nothing was typed. Type a number, such as 110.")
    assert refused(text, "altitude")[1].endswith("such as 900.")


@pytest.mark.parametrize(
    ("text", "point", "whole"), [("1,5", "1.5", "15"), ("0,125", "0.125", "125"), (",5", ".5", "5")]
)
def test_decimal_comma_is_asked_about_or_read(text, point, whole):
    code, sentence = refused(text, "thickness")
    assert code == "decimal_comma"
    assert f"could be {point} or {whole}" in sentence
    assert parse_quantity(text, "thickness", comma="decimal") == pytest.approx(float(point) * 0.0254)


def test_celsius_typed_as_fahrenheit_and_the_reverse():
    low, high = units.f_to_c(70.0), units.f_to_c(200.0)
    code, sentence = refused("43", low=low, high=high)
    assert code == "is_this_celsius"
    assert "43 °F is outside 70 °F to 200 °F. Is this Celsius? Then type 43 C (that is 109 °F)." in sentence
    code, sentence = refused("110", system="metric", low=low, high=high)
    assert code == "is_this_fahrenheit"
    assert "Is this Fahrenheit? Then type 110 F (that is 43.3 °C)." in sentence
    assert parse_quantity("43 C", "temperature", low=low, high=high) == 43.0
    assert refused("43 F", low=low, high=high)[0] == "range"  # said which, so nothing is asked
    assert refused("900", low=low, high=high)[0] == "range"  # fits neither scale


def test_out_of_limits():
    code, sentence = refused("101", "percent", low=0.0, high=100.0, what="Relative humidity")
    assert (code, sentence) == (
        "range",
        "Relative humidity 101 % is outside 0.0 % to 100.0 %. Check the reading, and the unit it was read in.",
    )
    assert refused("-1", "percent", low=0.0)[0] == "range"
    assert parse_quantity("212", "temperature", low=KILN_C[0], high=KILN_C[1]) == pytest.approx(100.0)
    assert parse_quantity("10000", "altitude", high=3048.0) == pytest.approx(3048.0)


def test_a_unit_that_does_not_fit():
    code, sentence = refused("12 lb", "temperature")
    assert (code, sentence) == ("wrong_unit", "“12 lb” carries the unit lb, which does not fit here. Use °F or °C.")
    assert refused("12 °F", "percent")[1].endswith("Use %.")
    assert refused("12 lb", "count")[1].endswith("Use a plain number.")


def test_show():
    assert units.show(43.333, "temperature") == "110 °F"
    assert units.show(43.333, "temperature", "metric") == "43.3 °C"
    assert units.show(43.333, "temperature", "both") == "110 °F (43.3 °C)"
    assert units.show(12.0, "percent", "both") == "12.0 %"
    assert units.show(3048.0, "altitude") == "10,000 ft"
    assert units.show(-0.001, "percent") == "0.0 %"
    assert units.show(43.333, "temperature", decimals=2) == "110.00 °F"
    assert units.show(43.333, "temperature", "both", more=1) == "110.0 °F (43.33 °C)"
    for unread in (math.nan, math.inf, -math.inf):
        assert units.show(unread, "temperature") == "an unreadable value"


@pytest.mark.parametrize("kind", units.KINDS)
@pytest.mark.parametrize("system", ["trade", "metric"])
@given(number=st.floats(-1e6, 1e6))
def test_what_is_shown_can_be_typed(kind, system, number):
    unit = units.unit_of(kind, system)
    shown = units.show(unit.to_si(number), kind, system)
    back = unit.from_si(parse_quantity(shown, kind, system))
    assert abs(back - number) <= 0.5 * 10.0**-unit.decimals + 1e-9 * (1 + abs(number))


@pytest.mark.parametrize("kind", units.KINDS)
def test_both_systems_mean_the_same(kind):
    for number in (-3.0, 0.0, 1.0, 47.5):
        for system in ("trade", "metric"):
            assert units.from_si(units.to_si(number, kind, system), kind, system) == pytest.approx(number, abs=1e-12)
    assert set(units.SPELLINGS.values()) >= {unit.label for unit in units.KINDS[kind] if unit.label}


@given(st.text(max_size=30))
def test_anything_typed_is_read_or_answered(text):
    for kind in units.KINDS:
        try:
            value = parse_quantity(text, kind, low=-100.0, high=100.0)
        except BadInput as error:
            assert error.sentence().endswith((".", "?"))
        else:
            assert -101 < value < 101


def test_scales():
    assert units.f_to_c(212.0) == 100.0 and units.c_to_f(100.0) == 212.0
    assert units.f_to_c(-40.0) == -40.0
    assert units.to_si(212.0, "temperature") == 100.0
    assert units.to_si(29.92, "pressure") == pytest.approx(101321, abs=2)
    assert units.to_si(1000.0, "board_feet") == pytest.approx(2.35974, abs=1e-5)


@pytest.mark.parametrize(
    ("value", "system", "shown"),
    [(110, "trade", "110 °F"), (115.5, "trade", "115.5 °F"), (110, "metric", "43.3 °C"), (50.0, "trade", "50 °F")],
)
def test_what_was_set_is_shown_as_it_was_set(value, system, shown):
    assert units.show_set(units.f_to_c(value), "temperature", system) == shown
