"""Single cells of a sample sheet on disk: dates, numbers with units, and words that a spreadsheet could run.

Forgiving in form: several ways to write a date, a decimal comma, a unit behind the number. Strict in meaning: what
could be read in two ways is refused, or read one way for the whole file with a notice.
"""

import datetime
import re
from collections.abc import Iterable
from decimal import Decimal

from kilnlib import units
from kilnlib.errors import BadInput
from kilnlib.physics.samples import WEIGHT_KG
from kilnlib.typed import read_quantity

MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
TIME = re.compile(r"[\sT,]+(\d{1,2}):(\d{2})(?::(\d{2}))?(?:[.,]0+)?\s*([ap])?\.?m?\.?$", re.I)
YEAR_FIRST = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")
YEAR_LAST = re.compile(r"^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})$")
DAY_WORD = re.compile(r"^(\d{1,2})[\s.-]*([a-z]{3})[a-z]*[\s.,-]+(\d{4}|\d{2})$", re.I)
WORD_DAY = re.compile(r"^([a-z]{3})[a-z]*[\s.-]*(\d{1,2})(?:st|nd|rd|th)?[\s,]+(\d{4}|\d{2})$", re.I)
POUNDS_OUNCES = re.compile(r"(\d{1,4}) ?(?:lbs?|pounds?)\.?,? ?(\d{1,3}(?:[.,]\d{1,6})?) ?(?:oz|ounces?)\.?", re.I)
OUNCES = 16  # make a pound
THOUSANDS = re.compile(r"^\d{1,3}(,\d{3})+$")
RUNS = "=+-@＝＋－＠\t\r'#"  # a cell that starts with one of these may run as a formula, or make a remark of its row


def day_first(cells: Iterable[str]) -> bool | None:
    """Whether dates such as 3/4/2026 of one file put the day first: True, False, or None where nothing tells."""
    for cell in cells:
        date = YEAR_LAST.match(TIME.sub("", cell.strip()))
        if date and date[2] != "." and max(int(date[1]), int(date[3])) > 12:
            return int(date[1]) > 12
    return None


def is_two_way(cell: str) -> bool:
    """Whether a date could be read with day or month first."""
    date = YEAR_LAST.match(TIME.sub("", cell.strip()))
    return date is not None and date[2] != "." and date[1] != date[3]


def read_moment(cell: str, day_comes_first: bool = False) -> datetime.datetime:
    """Date and time of a cell; midnight where no hour is written. Raises BadInput."""
    text = cell.strip()
    clock = TIME.search(text)
    date = text[: clock.start()].strip() if clock else text
    try:
        return datetime.datetime(*_date(date, day_comes_first), *(_clock(clock) if clock else ()))
    except (ValueError, TypeError):
        raise BadInput("not_a_date", text=text[:40]) from None


def _date(text, day_comes_first):
    """(year, month, day) of a date, or None."""
    if parts := YEAR_FIRST.match(text):
        return int(parts[1]), int(parts[2]), int(parts[3])
    if parts := YEAR_LAST.match(text):
        first, second = int(parts[1]), int(parts[3])
        day, month = (first, second) if parts[2] == "." or day_comes_first else (second, first)
        return _year(parts[4]), month, day
    if parts := DAY_WORD.match(text):
        return _year(parts[3]), MONTHS.index(parts[2].lower()) + 1, int(parts[1])
    if parts := WORD_DAY.match(text):
        return _year(parts[3]), MONTHS.index(parts[1].lower()) + 1, int(parts[2])
    return None


def _year(text):
    return int(text) + (2000 if len(text) == 2 else 0)


def _clock(parts):
    hour = int(parts[1])
    if parts[4]:
        if not 1 <= hour <= 12:
            raise ValueError
        hour = hour % 12 + (12 if parts[4].lower() == "p" else 0)
    return hour, int(parts[2]), int(parts[3] or 0)


def decimal_mark(cells: Iterable[str], delimiter: str) -> str:
    """The decimal mark of one file: "." or ",", or "?" where 1,250 could mean either."""
    doubtful = False
    for cell in cells:
        digits = (re.match(r"[+-]?([\d.,]*\d)", cell.strip()) or ["", ""])[1]
        if THOUSANDS.match(digits):
            doubtful = True
        elif "," in digits and digits.rfind(",") > digits.rfind("."):
            return ","
        elif "." in digits:
            return "."
    if doubtful:
        return "," if delimiter == ";" else "?"
    return "."


def read_number(cell: str, kind: str, mark: str) -> tuple[float, str | None]:
    """(number, unit label or None) of a cell, as `read_quantity`. Raises BadInput."""
    text = cell.strip()
    digits = re.split(r"[^\d.,]", text, maxsplit=1)[0].rstrip(".,")
    if mark == "?" and THOUSANDS.match(digits):
        raise BadInput("decimal_comma", text=text[:40], a=digits.replace(",", "."), b=digits.replace(",", ""))
    if mark == ",":
        if "." in digits and "," not in digits:
            raise BadInput("decimal_mixed", text=text[:40])
        text = digits.replace(".", "").replace(",", ".") + text[len(digits) :]
    return read_quantity(text, kind, example={"temperature": "110", "percent": "7"}.get(kind, "4.46"))


def pounds_ounces(text: str) -> float | None:
    """Pounds of a weight such as "4 lb 7 oz", or None where it is not written so. Raises BadInput from 16 oz on."""
    parts = POUNDS_OUNCES.fullmatch(text.strip())
    if parts is None:
        return None
    ounces = float(parts[2].replace(",", "."))
    if ounces >= OUNCES:
        raise BadInput("ounces_over", text=text.strip()[:40], pounds=f"{int(parts[1]) + int(ounces // OUNCES)}",
                       ounces=f"{ounces % OUNCES:g}")  # fmt: skip
    return int(parts[1]) + ounces / OUNCES


def check_weight_typed(value: float, label: str, weight_kg: float) -> None:
    """Refuse a weight that no sample board or section has, with the number and unit as they were written."""
    known = units.units_for("weight")[label]
    fields = {"what": "The weight", "value": f"{value:,.10g} {label}", "example": "4.46"}
    if not value > 0:
        raise BadInput("not_positive", **fields)
    if weight_kg < WEIGHT_KG[0]:
        raise BadInput("weight_too_small", **fields)
    if weight_kg > WEIGHT_KG[1]:
        raise BadInput("weight_too_big", **fields, limit=f"{known.from_si(WEIGHT_KG[1]):,.0f} {label}")


def shortest(value_si: float, unit: units.Unit) -> str | None:
    """The shortest decimal number that reads back to exactly this SI value in a unit, or None."""
    number = unit.from_si(value_si)
    for digits in range(1, 18):
        text = f"{number:.{digits}g}"
        if unit.to_si(float(text)) == value_si:
            return f"{Decimal(text):f}"
    return None


def guarded(text: str) -> str:
    """Words as they stand in a cell: a mark in front keeps a spreadsheet from running them."""
    return f"'{text}" if text and text[0] in RUNS else text


def unguarded(cell: str) -> str:
    """Words of a cell, without that mark."""
    text = cell.strip()
    return text[1:] if text[:1] == "'" and text[1:2] and text[1] in RUNS else text


def harmless(text: str) -> str:
    """Any text as a cell that a spreadsheet does not run, and that `unharmed` gives back letter for letter."""
    marked = {*RUNS, "'"}
    return f"'{text}" if marked & {text[:1], text.lstrip()[:1]} else text


def unharmed(cell: str) -> str:
    """The text of a cell that `harmless` made."""
    return cell.removeprefix("'")
