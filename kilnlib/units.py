"""Conversions, and writing of quantities: the only place that knows two unit systems.

A quantity has a *kind* (`"temperature"`, `"altitude"` …). Inside everything is SI; `show` writes it in the trade's
units or in metric ones, and `kilnlib.typed` reads what a person typed back to SI. Factors are exact definitions
(international yard and pound agreement of 1959; NIST SP 811, Appendix B), *retrieved*.
"""

import math
import re
from dataclasses import dataclass
from typing import Any

IN_M = 0.0254
FT_M = 0.3048
LB_KG = 0.45359237
GALLON_M3 = 3.785411784e-3
BOARD_FOOT_M3 = FT_M**2 * IN_M
PER_1000_BF = 1e-3 / BOARD_FOOT_M3  # a price of 1,000 board feet to one of a cubic meter
INHG_PA = 3386.389
DAY_S = 86400.0
# The space between a number and its unit, at which no line ends; the second, for print and the wall, knows words too.
UNIT_SPACE = re.compile(r"(?<=\d) (?=[%°])")
UNIT_SPACE_IN_PRINT = re.compile(r"(?<=[\d½]) (?=[%°]|(?:in|ft|lb|gal|days?)\b)")

Numbers = Any  # a number or a numpy array of them, and what comes back is the same; numpy is not loaded here


@dataclass(frozen=True)
class Unit:
    """One unit: how it is written and how it turns to SI (si = value * factor + offset)."""

    label: str
    factor: float = 1.0
    offset: float = 0.0
    decimals: int = 1

    def to_si(self, value: Numbers) -> Numbers:
        """SI value of a number in this unit."""
        return value * self.factor + self.offset

    def from_si(self, value: Numbers) -> Numbers:
        """Number in this unit of an SI value."""
        return (value - self.offset) / self.factor


F = Unit("°F", 5 / 9, -160 / 9, 0)
C = Unit("°C", decimals=1)
PERCENT = Unit("%", decimals=1)
ONE = Unit("", decimals=3)

# kind: (trade unit, metric unit)
KINDS = {
    "temperature": (F, C),
    "temperature_difference": (Unit("°F", 5 / 9, 0, 0), Unit("°C", decimals=1)),
    "percent": (PERCENT, PERCENT),
    "share": (Unit("%", decimals=0), Unit("%", decimals=0)),
    "points": (Unit("points", decimals=1), Unit("points", decimals=1)),
    "altitude": (Unit("ft", FT_M, 0, 0), Unit("m", decimals=0)),
    "length": (Unit("ft", FT_M, 0, 1), Unit("m", decimals=2)),
    "thickness": (Unit("in", IN_M, 0, 3), Unit("mm", 1e-3, 0, 1)),
    "inches": (Unit("in", IN_M, 0, 0), Unit("mm", 1e-3, 0, 0)),
    "pressure": (Unit("inHg", INHG_PA, 0, 1), Unit("kPa", 1e3, 0, 1)),
    "fan_pressure": (Unit("in wc", 249.0889, 0, 3), Unit("Pa", decimals=1)),
    "air_speed": (Unit("fpm", FT_M / 60, 0, 0), Unit("m/s", decimals=2)),
    "air_flow": (Unit("cfm", FT_M**3 / 60, 0, 0), Unit("m³/s", decimals=2)),
    "weight": (Unit("lb", LB_KG, 0, 2), Unit("kg", decimals=3)),
    "section_weight": (Unit("g", 1e-3, 0, 2), Unit("g", 1e-3, 0, 2)),
    "volume": (Unit("gal", GALLON_M3, 0, 0), Unit("L", 1e-3, 0, 0)),
    "board_feet": (Unit("bf", BOARD_FOOT_M3, 0, 0), Unit("m³", decimals=2)),
    "power": (Unit("kW", 1e3, 0, 1), Unit("kW", 1e3, 0, 1)),
    "ratio": (ONE, ONE),
    "days": (Unit("days", decimals=1), Unit("days", decimals=1)),
    "hours": (Unit("h", decimals=0), Unit("h", decimals=0)),
    "minutes": (Unit("min", decimals=0), Unit("min", decimals=0)),
    "count": (Unit("", decimals=0), Unit("", decimals=0)),
    "money": (Unit("$", decimals=0), Unit("$", decimals=0)),
    "power_price": (Unit("¢", 0.01, 0, 1), Unit("¢", 0.01, 0, 1)),
    "lumber_price": (Unit("$", PER_1000_BF, 0, 0), Unit("$/m³", decimals=0)),
}

# What may be typed behind a number, for every kind it can belong to.
SPELLINGS = {
    spelling: unit
    for unit, spellings in {
        "°F": ("f", "°f", "deg f", "degf", "degrees f", "fahrenheit", "degrees fahrenheit"),
        "°C": ("c", "°c", "deg c", "degc", "degrees c", "celsius", "degrees celsius"),
        "%": ("%", "percent", "per cent", "pct", "% mc", "percent mc", "% rh", "percent rh", "% emc"),
        "points": (
            *("points", "point", "pts", "pt", "percentage points", "points/day", "point/day", "pts/day", "pt/day"),
            *("%/day", "percent/day", "pct/day", "% points", "points mc"),
        ),
        "ft": ("ft", "feet", "foot", "'"),
        "in": ("in", "inch", "inches", '"'),
        "m": ("m", "meter", "meters", "metre", "metres"),
        "cm": ("cm",),
        "mm": ("mm",),
        "lb": ("lb", "lbs", "pound", "pounds"),
        "oz": ("oz", "ounce", "ounces"),
        "g": ("g", "gram", "grams"),
        "kg": ("kg",),
        "gal": ("gal", "gallon", "gallons"),
        "L": ("l", "liter", "liters", "litre", "litres"),
        "bf": ("bf", "board feet", "board foot"),
        "fpm": ("fpm", "ft/min", "ft/minute", "feet/min", "feet/minute"),
        "m/s": ("m/s",),
        "cfm": ("cfm",),
        "days": ("days", "day", "d"),
        "h": ("h", "hr", "hrs", "hours", "hour"),
        "min": ("min", "mins", "minute", "minutes"),
        "kPa": ("kpa",),
        "Pa": ("pa",),
        "inHg": ("inhg",),
        "in wc": ("in wc",),
        "kW": ("kw",),
        "m³": ("m³", "m3"),
        "$": ("$", "dollars", "dollar", "usd"),
        "$/m³": ("$/m³", "$/m3"),
        "¢": ("¢", "cents", "cent", "cents/kwh", "c/kwh", "¢/kwh"),
        "m³/s": ("m³/s", "m3/s"),
    }.items()
    for spelling in spellings
}
EXTRA_UNITS = {
    "weight": {"oz": Unit("oz", LB_KG / 16), "g": Unit("g", 1e-3)},
    "section_weight": {"oz": Unit("oz", LB_KG / 16), "lb": Unit("lb", LB_KG), "kg": Unit("kg")},
    "thickness": {"cm": Unit("cm", 1e-2), "m": Unit("m")},
    "inches": {"cm": Unit("cm", 1e-2), "m": Unit("m")},
    "length": {"in": Unit("in", IN_M), "mm": Unit("mm", 1e-3), "cm": Unit("cm", 1e-2)},
    "points": {"%": PERCENT},
    "power_price": {"$": Unit("$")},
}
LONGEST = 1e12  # a number from here on is written with an exponent


def f_to_c(temperature_f: Numbers) -> Numbers:
    """Celsius temperature of a Fahrenheit one; numbers or arrays."""
    return (temperature_f - 32.0) * (5.0 / 9.0)


def c_to_f(temperature_c: Numbers) -> Numbers:
    """Fahrenheit temperature of a Celsius one; numbers or arrays."""
    return temperature_c * 1.8 + 32.0


def unit_of(kind: str, system: str = "trade") -> Unit:
    """The `Unit` in which a kind is shown."""
    return KINDS[kind][system == "metric"]


def to_si(value: Numbers, kind: str, system: str = "trade") -> Numbers:
    """SI value of a number in the shown unit of `kind`."""
    return unit_of(kind, system).to_si(value)


def from_si(value: Numbers, kind: str, system: str = "trade") -> Numbers:
    """Number in the shown unit of `kind` for an SI value."""
    return unit_of(kind, system).from_si(value)


def show(value: float, kind: str, system: str = "trade", decimals: int | None = None, more: int = 0) -> str:
    """An SI value as text with its unit; `system` "both" gives trade with metric in brackets.

    `decimals` replaces the unit's usual number of them, `more` adds to it.
    """
    if system == "both":
        trade, metric = show(value, kind, "trade", decimals, more), show(value, kind, "metric", decimals, more)
        return trade if trade == metric else f"{trade} ({metric})"
    unit = unit_of(kind, system)
    number = unit.from_si(float(value))
    if not math.isfinite(number):
        return "an unreadable value"
    places = (unit.decimals if decimals is None else decimals) + more
    text = f"{number:,.{places}f}" if abs(number) < LONGEST else f"{number:.4g}"
    if float(text.replace(",", "")) == 0:
        text = text.lstrip("-")
    return f"{text} {unit.label}".strip()


def show_set(value: float, kind: str, system: str = "trade") -> str:
    """A value that a person has set, as `show` writes it, but with a decimal where it is not whole."""
    number, places = from_si(value, kind, system), unit_of(kind, system).decimals
    return show(value, kind, system, places or int(abs(number - round(number)) > 0.04))


def units_for(kind: str) -> dict[str, Unit]:
    """Every unit that may be typed for a kind, by label."""
    return {unit.label: unit for unit in KINDS[kind] if unit.label} | EXTRA_UNITS.get(kind, {})
