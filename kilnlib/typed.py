"""Reading a number and its unit as a person typed it: "110", "43.3 C", "1-1/8 in", "1,5"."""

import math
import re

from kilnlib import units
from kilnlib.errors import BadInput

NUMBER = re.compile(r"^([+-]?)\s*((?:\d+[\s-]+)?\d+\s*/\s*\d+|\d[\d,. ]*|[.,]\d+)(?:e([+-]?\d+))?\s*(.*)$", re.I)

PER = re.compile(r"\s*(?:/|\b(?:a|an|per|each|every)\b(?!\s*cent))\s*")


def _number(text, sign, exponent, comma):
    """Value of the digits in `text`: fractions, decimal comma, thousands groups."""
    fraction = re.fullmatch(r"(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)", text)
    if fraction:
        whole, top, bottom = (int(part or 0) for part in fraction.groups())
        if bottom == 0:
            raise ValueError
        value = whole + top / bottom
    elif re.fullmatch(r"[1-9]\d{0,2}([, ]\d{3})+(\.\d+)?", text):
        value = float(re.sub("[, ]", "", text))
    elif re.fullmatch(r"\d*,\d+", text):
        if comma == "ask":
            raise BadInput(
                "decimal_comma", text=text, a=text.replace(",", "."), b=text.replace(",", "").lstrip("0") or "0"
            )
        value = float(text.replace(",", "."))
    else:
        value = float(text)
    value *= 10.0 ** int(exponent or 0)
    return -value if sign == "-" else value


def _without_sign_in_front(text, kind):
    """An amount of money without the $ before it; a price of power, which is shown in cents, says dollars."""
    amount = re.match(r"([+-]?)\s*\$\s*(?=[\d.,])(.*)$", text)
    if not amount or kind not in ("money", "lumber_price", "power_price"):
        return text
    return amount[1] + amount[2] + (" dollars" if kind == "power_price" and "/" not in amount[2] else "")


def read_quantity(text: str, kind: str, comma: str = "ask", example: str | None = None) -> tuple[float, str | None]:
    """Number and unit label typed by a person, before any conversion: "1-1/8 in" gives (1.125, "in").

    Returns (value, label or None). Raises BadInput with a sentence. `comma`: "ask" refuses "1,5", "decimal" reads it.
    """
    example_shown = example or {"temperature": "110", "altitude": "900"}.get(kind, "12")
    stripped = re.sub("[\u00a0\u2009\u202f]", " ", str(text)).strip().replace("−", "-").replace("º", "°")
    if not stripped:
        raise BadInput("empty", example=example_shown)
    parts = NUMBER.match(_without_sign_in_front(stripped, kind))
    if not parts:
        raise BadInput("not_a_number", text=stripped[:40], example=example_shown)
    sign, digits, exponent, tail = parts.groups()
    try:
        value = _number(digits.strip(), sign, exponent, comma)
    except BadInput:
        raise
    except (ValueError, OverflowError):
        raise BadInput("not_a_number", text=stripped[:40], example=example_shown) from None
    if not math.isfinite(value):
        raise BadInput("not_a_number", text=stripped[:40], example=example_shown)
    label = PER.sub("/", " ".join(tail.lower().replace(".", " ").split()))
    if not label:
        return value, None
    if label in ("degrees", "degree", "deg", "°") and kind.startswith("temperature"):
        return value, None  # of the scale that is shown
    if label not in units.SPELLINGS:
        raise BadInput("not_a_number", text=stripped[:40], example=example_shown)
    unit = units.SPELLINGS[label]
    if unit not in units.units_for(kind):
        expected = " or ".join(dict.fromkeys(u.label for u in units.KINDS[kind] if u.label)) or "a plain number"
        raise BadInput("wrong_unit", text=stripped[:40], unit=unit, expected=expected)
    return value, unit


def parse_quantity(
    text: str,
    kind: str,
    system: str = "trade",
    low: float | None = None,
    high: float | None = None,
    comma: str = "ask",
    example: str | None = None,
    what: str | None = None,
) -> float:
    """SI value of what a person typed ("110", "43.3 C", "1-1/8 in").

    A plain number is taken in the shown unit of `system`. `low` and `high` are SI limits; a temperature outside them
    that would fit in the other scale is asked about. Raises BadInput with a sentence.
    """
    value, label = read_quantity(text, kind, comma, example)
    usual_unit = units.unit_of(kind, system)
    unit = units.units_for(kind)[label] if label else usual_unit
    si = unit.to_si(value)
    slack = 1e-9 * max(1.0, abs(si))
    if (low is None or si >= low - slack) and (high is None or si <= high + slack):
        return si
    typed = f"{value:g} {unit.label}".strip()
    limits = {"low": (low, kind) if low is not None else "…", "high": (high, kind) if high is not None else "…"}
    if kind == "temperature" and not label and low is not None and high is not None:
        other = units.C if usual_unit is units.F else units.F
        if low <= other.to_si(value) <= high:
            code = "is_this_celsius" if other is units.C else "is_this_fahrenheit"
            raise BadInput(
                code,
                typed=typed,
                suggestion=f"{value:g} {other.label[-1]}",
                converted=f"{usual_unit.from_si(other.to_si(value)):.{usual_unit.decimals}f} {usual_unit.label}",
                **limits,
            )
    raise BadInput("range", what=what or kind.replace("_", " ").capitalize(), value=typed, **limits)
