"""Single boxes of the sample sheet on the screen: weights and dates, read and shown."""

import datetime
import re

from kilnlib import units
from kilnlib.errors import BadInput
from kilnlib.physics.entries import when_text
from kilnlib.sheet_cells import day_first, read_moment, shortest

LONG_NUMBER = 7
CLOCK = re.compile(r"\d{1,2}:\d{2}\s*([ap]\.?m?\.?)?", re.I)
SHORT_DATE = re.compile(r"(\d{1,2}[-/]\d{1,2}|[a-z]{3,9}\.? ?\d{1,2}|\d{1,2}\.? ?[a-z]{3,9})", re.I)


def now():
    """The time on this machine's clock, without seconds."""
    return datetime.datetime.now().replace(second=0, microsecond=0)


def shown_weight(weight_kg, unit):
    """A weight as it stands in a box: exactly as it was typed, or to five digits where another unit was used."""
    known = units.units_for("weight")[unit]
    exact = shortest(weight_kg, known)
    if exact is None or len(exact) > LONG_NUMBER:
        return f"{known.from_si(weight_kg):.5g}"
    return exact


def read_weight(typed, unit):
    """Kilograms of what was typed; a plain number is in `unit`. Raises BadInput."""
    known = units.units_for("weight")
    value, label = units.read(typed, "weight", example="4.46")
    return known[label or unit].to_si(value)


def read_when(typed, like):
    """Date and time of what was typed; the year and the hour may be left out, and are then those of `like`.

    Raises BadInput, also where the date is still to come.
    """
    typed = typed.strip()
    clock = CLOCK.search(typed)
    date = typed[: clock.start()].strip(" ,T") if clock else typed
    if SHORT_DATE.fullmatch(date):
        date = f"{like:%Y}-{date}" if re.fullmatch(r"\d+-\d+", date) else f"{date.rstrip('.')}{_joint(date)}{like:%Y}"
    when = read_moment(f"{date} {clock[0] if clock else f'{like:%H:%M}'}", bool(day_first([date])))
    if when.date() > now().date():
        raise BadInput("date_to_come", when=when_text(when), now=when_text(now())[:10])
    return when


def shorter(words, limit):
    """Words cut to a number of letters, with a sign where something is left out."""
    return words if len(words) <= limit else f"{words[: limit - 1]}…"


def _joint(date):
    """What stands between a date and its year."""
    return "/" if "/" in date else " "
