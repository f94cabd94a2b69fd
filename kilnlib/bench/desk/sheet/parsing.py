"""Single boxes of the sample sheet on the screen: weights and dates, read and shown."""

import datetime
import math
import re

from kilnlib import units
from kilnlib.errors import BadInput
from kilnlib.physics.samples import HIGHEST_SECTION_PCT, when_text
from kilnlib.store.csv_cells import check_weight_typed, day_first, pounds_ounces, read_moment, shortest
from kilnlib.typed import read_quantity
from kilnlib.words import text

LONG_NUMBER = 7
WIDEST_POINTS = 99.9
DECIMALS = {"lb": 2, "oz": 1, "g": 0, "kg": 3}  # that a scale shows at least
CLOCK = re.compile(r"\d{1,2}:\d{2}\s*([ap]\.?m?\.?)?", re.I)
SHORT_DATE = re.compile(r"(\d{1,2}[-/]\d{1,2}|[a-z]{3,9}\.? ?\d{1,2}|\d{1,2}\.? ?[a-z]{3,9})", re.I)


def now():
    """The time on this machine's clock, without seconds."""
    return datetime.datetime.now().replace(second=0, microsecond=0)


def shown_weight(weight_kg, unit, more=0):
    """A weight as a scale in this unit shows it, with `more` decimals; to five digits where it was typed in another."""
    known = units.units_for("weight")[unit]
    exact = shortest(weight_kg, known)
    if exact is None or len(exact) > LONG_NUMBER:
        return f"{known.from_si(weight_kg):.5g}"
    whole, _, decimals = exact.partition(".")
    return f"{whole}.{decimals.ljust(DECIMALS[unit] + more, '0')}".rstrip(".")


def guessed_step(sheet):
    """The step of the scale as the weights of a sheet look, as text in the unit of its boards."""
    known = units.units_for("weight")[sheet.sample_unit]
    exact = [shortest(weighing.weight_kg, known) or "" for board in sheet.boards for weighing in board.weighings]
    places = [len(words.partition(".")[2]) for words in exact if len(words) <= LONG_NUMBER]
    count = max(places, default=DECIMALS[sheet.sample_unit])
    return f"{10.0**-count:.{count}f}"


def shown_mc(mc_pct):
    """A moisture content in a narrow column; a question mark where no wood can be so."""
    if math.isnan(mc_pct):
        return ""
    return f"{mc_pct:.1f}" if 0 <= mc_pct <= HIGHEST_SECTION_PCT else "?"


def shown_points(points, limit=math.nan):
    """Points lost in a day in a narrow column, with a mark where they are over the limit; in words where gained."""
    if math.isnan(points):
        return ""
    if abs(points) > WIDEST_POINTS:
        return "?"
    if points < 0:
        return text("sheet.gained", points=f"{-points:.1f}")
    return f"{points:.1f}{' ▲' if points > limit else ''}"


def read_weight(typed, unit):
    """Kilograms of what was typed; a plain number is in `unit`. Raises BadInput with the number as it was typed."""
    if (pounds := pounds_ounces(typed)) is not None:
        value, label = pounds, "lb"
    else:
        value, label = read_quantity(typed, "weight", example="4.46")
    label = label or unit
    weight_kg = units.units_for("weight")[label].to_si(value)
    check_weight_typed(value, label, weight_kg)
    return weight_kg


def read_when(typed, like):
    """Date and time of what was typed; the year and the hour may be left out, and are then those of `like`.

    Raises BadInput with the words that were typed, also where the date is still to come.
    """
    typed = typed.strip()
    clock = CLOCK.search(typed)
    date = typed[: clock.start()].strip(" ,T") if clock else typed
    if SHORT_DATE.fullmatch(date):
        date = f"{like:%Y}-{date}" if re.fullmatch(r"\d+-\d+", date) else f"{date.rstrip('.')}{_joint(date)}{like:%Y}"
    try:
        when = read_moment(f"{date} {clock[0] if clock else f'{like:%H:%M}'}", bool(day_first([date])))
    except BadInput:
        raise BadInput("not_a_date_here", text=typed[:40]) from None
    if when.date() > now().date():
        code = "clock_behind" if like.date() > now().date() else "date_to_come"
        raise BadInput(code, when=when_text(when), last=when_text(like)[:10], now=when_text(now())[:10])
    return when


def has_hour(typed):
    """Whether an hour was typed with a date."""
    return bool(CLOCK.search(typed))


def shorter(words, limit):
    """Words cut to a number of letters, with a sign where something is left out."""
    return words if len(words) <= limit else f"{words[: limit - 1]}…"


def _joint(date):
    """What stands between a date and its year."""
    return "/" if "/" in date else " "
