"""What may stand in a sample sheet: times, weights and words, each checked the same way wherever it is entered."""

import datetime
import math

from kilnlib.errors import BadInput, OutOfRange
from kilnlib.physics.arrays import check_range, positive

WEIGHT_KG = (1e-6, 1000.0)
TEXT_LIMIT = 300
EARLIEST, LATEST = datetime.datetime(1950, 1, 1), datetime.datetime(2200, 1, 1)
LONGEST = datetime.timedelta(days=366)


def check_order(earlier: datetime.datetime, later: datetime.datetime) -> None:
    """Refuse a time that does not come after the one before it, or comes more than a year after it. Raises BadInput."""
    if earlier < later <= earlier + LONGEST:
        return
    code = "date_far" if later > earlier else "date_backward" if later < earlier else "date_twice"
    raise BadInput(code, earlier=when_text(earlier), later=when_text(later))


def when_text(when: datetime.datetime) -> str:
    """A time as the shortest text that says it all: 2026-03-17, 2026-03-17 08:00 or 2026-03-17 08:00:30.

    Midnight stands for a day whose hour was not written down.
    """
    if when.second:
        return f"{when:%Y-%m-%d %H:%M:%S}"
    return f"{when:%Y-%m-%d}" if when.hour == when.minute == 0 else f"{when:%Y-%m-%d %H:%M}"


def check_moment(when: datetime.datetime) -> None:
    """Refuse what cannot be the time of a weighing: a time zone, parts of a second, years before 1950 or from 2200 on.

    Raises BadInput.
    """
    if when.tzinfo is not None or when.microsecond or not EARLIEST <= when < LATEST:
        raise BadInput("bad_moment", text=str(when)[:40])


def check_weight_kg(what: str, weight_kg: float) -> None:
    """Refuse what cannot be the weight of a sample board or a section.

    Parameters
    ----------
    what : what it is, first letter a capital.
    weight_kg : weight [kg], 1 mg to 1,000 kg.

    Returns
    -------
    Nothing, where a weight [kg] will do.

    Raises
    ------
    OutOfRange : no number; zero or less; outside 1 mg to 1,000 kg.

    Source
    ------
    Ours; *common practice*.

    Accuracy
    --------
    Exact.
    """
    if WEIGHT_KG[0] <= weight_kg <= WEIGHT_KG[1]:
        return
    if math.isnan(weight_kg):
        raise OutOfRange("not_finite", what, weight_kg, what=what, example="4.46")
    positive(what, weight_kg)
    check_range(what, weight_kg, *WEIGHT_KG, "weight")


def tidy(text: str) -> str:
    """Words on one line: no control characters, no doubled blanks, at most 300 characters; tidy text stays as it is."""
    plain = " ".join(str(text).split())
    if not plain.isprintable():
        plain = " ".join("".join(character for character in plain if character.isprintable()).split())
    return plain[:TEXT_LIMIT].rstrip()
