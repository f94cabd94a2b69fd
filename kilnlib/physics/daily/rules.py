"""The rulebook of a sample sheet: how near its limit a board is, which weights are in doubt, when drying ends.

The decision of a morning and the sample sheet on the desk both ask here.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from kilnlib.errors import NotFound, Notice
from kilnlib.physics.samples import CLOSE_SHARE_PCT, Day, Sheet, when_text
from kilnlib.physics.schedules import start_below_points
from kilnlib.physics.wood import species as species_row

LEVELS = ("under", "close", "over")
UNDER, CLOSE, OVER = LEVELS
STOP, EQUALIZE = "stop", "equalize"


@dataclass(frozen=True)
class End:
    """How a charge ends [%], and whether it is time: "stop", "equalize", or "" while drying goes on."""

    action: str
    start_pct: float  # equalizing starts when the driest board is here, and holds air of this EMC
    target_pct: float  # and stops when the wettest board is here


def limit_level(share_pct: float) -> str:
    """How near its daily limit a board is.

    Parameters
    ----------
    share_pct : share of the limit that it used [%]; NaN where there is none.

    Returns
    -------
    One of LEVELS; "" where the share is not known.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/advice.csv, *common practice*: from so much of the limit on, nothing is made harsher.

    Accuracy
    --------
    A weighing of a day is good to a few percent of the limit.
    """
    if math.isnan(share_pct):
        return ""
    return OVER if share_pct > 100.0 else CLOSE if share_pct > CLOSE_SHARE_PCT else UNDER


def questioned_boards(sheet: Sheet, day: Day, questions: Iterable[Notice]) -> tuple[str, ...]:
    """Boards whose last weight of a day is asked about; one weighed again that day is settled by the last weight.

    Parameters
    ----------
    sheet : samples.Sheet.
    day : samples.Day of it.
    questions : what `sheet.questions()` gave.

    Returns
    -------
    Names, in the order of the sheet.

    Raises
    ------
    Nothing.

    Source
    ------
    *Common practice*: a weight that cannot be is weighed again, see `samples.board`.

    Accuracy
    --------
    As `samples.board.walk`.
    """
    asked = {(notice.fields.get("board"), notice.fields.get("when")) for notice in questions}
    names = []
    for board in sheet.boards:
        moments = [weighing.when for weighing in board.weighings if weighing.when.date() == day.when.date()]
        if moments and (board.name, when_text(moments[-1])) in asked:
            names.append(board.name)
    return tuple(names)


def end_of_drying(driest_pct: float, wettest_pct: float, target_pct: float, species: str) -> End:
    """Whether it is time to equalize a charge, or to stop.

    Parameters
    ----------
    driest_pct, wettest_pct : moisture content of the driest and the wettest sample board [%].
    target_pct : moisture content asked for [%].
    species : name of the species; one that is not known counts as a hardwood.

    Returns
    -------
    End.

    Raises
    ------
    Nothing.

    Source
    ------
    As `conditioning.equalize`; *retrieved*.

    Accuracy
    --------
    As `conditioning.equalize`. Below and above the targets it was printed for, the same points are taken off.
    """
    start = target_pct - start_below_points(_wood(species))
    action = STOP if wettest_pct <= target_pct else EQUALIZE if driest_pct <= start else ""
    return End(action, start, target_pct)


def _wood(species):
    try:
        return species_row(species).group
    except NotFound:
        return "hardwood"
